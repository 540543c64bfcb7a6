//! Checks of a cord: it follows, pulls across its lever, moves the limb as asked,
//! stays taut, runs freely and keeps its length.

use super::asked::Motion;
use super::cord::Chosen;
use super::drive::{Built, Figure, Measure};
use super::puller::{By, CordSizes, DEAD_PUSH, Puller, SQUARE};
use super::{Bench, StrutPace, codes};
use crate::finding::{Place, Severity, Step};
use crate::geometry::{Dir, cosines};
use crate::mechanism::solve::{CordWish, Drawer, PUSH_FLOOR, solve_cord};
use crate::mechanism::{Cord, LastRun, Mechanism, Path, Shaft, Size, Span, Stand, Tension, Way};
use crate::model::{Action, CordDrive, Drive, Gesture, Note, Return};
use crate::units::print::{decimal, length};
use crate::units::{Deg, Mm, Newton, NewtonMetre, Rad, print};

/// A cord pulled less than this jumps off its eyes (common practice, no source).
const TAUT: Newton = Newton(0.5);
/// So many times the pull at the limb the motor may have to pull (common practice,
/// no source).
const DRAG: f64 = 1.5;
/// By which share a polyester cord grows (common practice, no source).
const CREEP: f64 = 0.015;
/// Standard gravity, m/s2 (ISO 80000-3).
const GRAVITY: f64 = 9.806_65;
/// Push angles as for every lever (textbook custom).
const FINE: Deg = Deg(45.0);
/// Below this it is a warning.
const WEAK: Deg = Deg(40.0);

/// What turns the limb back against its cord, counter-clockwise positive.
#[derive(Clone, Copy)]
struct Back {
    /// Weight in N times the distance of its centre in m.
    weight: f64,
    /// From the limb's axis to that centre.
    centre: Dir,
    /// Against the cord: spring less friction, N.m; and the sign of that way.
    spring: f64,
    way: f64,
    /// The maker's own load.
    load: f64,
    /// Inertia times the square of the motor's speed, N.m.
    inertia: f64,
    /// How far the limb's plane stands turned on the board, at least and at most.
    tilt: (Deg, Deg),
}

/// Which pull is looked for, of all that the tilts of a limb's plane make.
#[derive(Clone, Copy, PartialEq)]
enum Pull {
    Least,
    Most,
}

impl Back {
    fn moment(&self, axis: Dir, second: f64, pull: Pull) -> NewtonMetre {
        let centre = axis.turned(self.centre);
        let weight = if self.tilt == (Deg(0.0), Deg(0.0)) {
            -self.weight * centre.x()
        } else {
            let at = centre.deg();
            let (least, most) = cosines(at + self.tilt.0, at + self.tilt.1);
            // What draws the cord tight turns the limb `way`.
            let slack = if self.way > 0.0 { most } else { least };
            let tight = if self.way > 0.0 { least } else { most };
            -self.weight * if pull == Pull::Least { slack } else { tight }
        };
        NewtonMetre(weight + self.way * self.spring + self.load - self.inertia * second)
    }
}

impl Bench<'_> {
    /// Reports a cord that does not follow all along.
    pub(super) fn lies_dead(&mut self, place: Place, puller: &Puller, sizes: &CordSizes) {
        let system = self.figure.system;
        if let Some((message, help)) = puller.cannot_pull(&self.name(), sizes, system) {
            self.report(&codes::CORD_LIES_DEAD, place, message).help = Some(help);
            self.works(puller.pull_sum(sizes, system));
            return;
        }
        let lengths = puller.lengths(sizes);
        let help = lengths.map_or_else(
            || "take a shorter crank, or a longer lever.".to_owned(),
            |(least, most)| {
                format!(
                    "it follows with a cord between {} and {}.",
                    length(least + Mm(1.0), system),
                    length(most - Mm(1.0), system)
                )
            },
        );
        let long = lengths.is_some_and(|(_, most)| sizes.length >= most);
        let message = if long {
            format!(
                "the cord of {} is too long: let out, its lever points away from the eye and it hangs loose.",
                self.name()
            )
        } else {
            format!(
                "the cord of {} is too short: drawn in, its lever points at the eye and the motor pulls against it.",
                self.name()
            )
        };
        self.report(&codes::CORD_LIES_DEAD, place, message).help = Some(help);
        self.works([Step::given("cord", print::fine(sizes.length, system))]);
        if let Some((least, most)) = lengths {
            self.works([
                Step::given("it follows with a cord longer than", print::fine(least, system)),
                Step::given("and shorter than", print::fine(most, system)),
            ]);
        }
    }

    /// Everything a cord that follows must do; the figures that come of it.
    pub(super) fn check_cord(
        &mut self,
        drive: &Drive,
        said: &CordDrive,
        puller: &Puller,
        (chosen, made): (&Chosen, &(Cord, Built)),
        asked: Option<&Motion<'_>>,
    ) -> Vec<Figure> {
        let used = used(puller, made, asked);
        let run = puller.last_run(&chosen.exact);
        if let (Some(run), Some(ends)) = (&run, used.1) {
            self.pulls_across(drive, said, run, ends);
        }
        if let Some(asked) = asked.filter(|_| !chosen.found && !is_horn(puller)) {
            let help = self.cord_that_does(said, puller, asked);
            self.motion_missed(drive.place, asked, &made.1.course.travel, help);
        }
        if !puller.guides.is_empty() {
            self.rubs(drive, said, made, &used.0);
            self.lies_round(puller, made, &used.0);
        }
        if let (Some(run), Some(ends), Some(asked)) = (&run, used.1, asked) {
            self.creeps(drive, said, run, (ends, &chosen.exact), asked.within);
        }
        self.dies_in_travel(drive.place, puller, &made.1);
        self.taut(drive, said, puller, made, &used.0)
    }

    /// Reports a servo whose horn takes its cord out of its pull before the end of its pulses,
    /// where nothing says that it stops earlier: then its whole travel counts.
    fn dies_in_travel(&mut self, place: Place, puller: &Puller, made: &Built) {
        let By::Horn { travel, sign } = puller.by else { return };
        let whole = |g: &Gesture| matches!(g.action, Action::Follow { range: None, .. });
        let gestures = &self.limb.gestures;
        let said = gestures.iter().any(|g| !super::servo::angles(g).is_empty());
        if said && !gestures.iter().any(whole) {
            return;
        }
        let Some(zero) = puller.horn_at_zero(sign) else { return };
        let Span { from, to, .. } = made.way.span();
        let own = [from, to].map(|at| (Rad(at) - zero.angle()).deg() * sign);
        let reached = (own[0].min(own[1]), own[0].max(own[1]));
        let (least, most) = (travel.0.max(-SQUARE), travel.1.min(SQUARE));
        let deg = |d: Deg| format!("{} deg", decimal(d.0, 1));
        for (at, end, wanted) in [(reached.0, travel.0, least), (reached.1, travel.1, most)] {
            if (wanted - at).abs() < Deg(1e-6) {
                continue;
            }
            let message = format!(
                "with its servo beyond {} the cord of {} all but lies in line with its lever and pulls no more; its \
                 pulses go on to {}, and no gesture says that it stops before.",
                deg(at),
                self.name(),
                deg(end)
            );
            let help = "say in a gesture how far the limb turns, take a shorter horn or a longer lever, or a cord \
                        of another length.";
            self.report(&codes::CORD_LIES_DEAD, place, message).help = Some(help.to_owned());
            self.works([
                Step::given("its cord pulls as far as the servo's", deg(at)),
                Step::given("its pulses end at", deg(end)),
                Step::given("taken as lying in line below a push of", deg(DEAD_PUSH)),
            ]);
        }
        if travel.0 < -SQUARE || travel.1 > SQUARE {
            let what = format!(
                "servo used from {} to {} only: farther round its horn lets the cord out again",
                decimal(least.0, 0),
                deg(most)
            );
            self.assumed.push(Note::new(what, "gesture wave { turn to A deg over T }"));
        }
    }

    /// The cord pulls well across its lever at both ends.
    fn pulls_across(&mut self, drive: &Drive, said: &CordDrive, run: &LastRun, ends: (Deg, Deg)) {
        let push = |at: Deg| run.cord(Dir::degrees(at)).and_then(|l| run.push(l)).map(|p| (p, at));
        let both = [push(ends.0), push(ends.1)].into_iter().flatten();
        let Some((worst, at)) = both.min_by(|a, b| a.0.0.total_cmp(&b.0.0)) else { return };
        if worst.0 >= FINE.0 - 1e-9 {
            return;
        }
        let message = format!(
            "at {} deg the cord of {} pulls at {} deg to its lever; 45 or more is wanted.",
            decimal(at.0, 1),
            self.name(),
            decimal(worst.0, 1)
        );
        let place = said.lever.place.unwrap_or(drive.place);
        let found = self.report(&codes::WEAK_PUSH, place, message);
        found.severity = match worst {
            w if w < PUSH_FLOOR => Severity::Error,
            w if w < WEAK => Severity::Warning,
            _ => Severity::Advice,
        };
        found.help = Some(
            "let the lever stand square to the cord in mid-swing; a smaller swing pulls better."
                .to_owned(),
        );
    }

    /// Sizes that move it as asked.
    fn cord_that_does(
        &self,
        said: &CordDrive,
        puller: &Puller,
        asked: &Motion<'_>,
    ) -> Option<String> {
        let By::Crank = puller.by else { return None };
        let system = self.figure.system;
        let any = Size::Between { lo: 5.0, hi: 200.0 };
        let wish = CordWish {
            drawer: Drawer::Crank { shaft: puller.at, radius: any },
            guides: &puller.guides,
            across: puller.across,
            pivot: puller.pivot,
            lever: said.lever.size,
            clamp: Size::Free,
            sweep: asked.sweep(),
            within: Some(Deg(asked.within)),
            assembly: said.assembly,
        };
        let best = solve_cord(&wish).ok()?.into_iter().next()?;
        Some(format!(
            "crank {}, lever {} at {} deg and a cord of {} do it.",
            length(best.radius?, system),
            length(best.cord.lever(), system),
            decimal(best.clamp.0, 0),
            length(best.cord.length(), system)
        ))
    }

    /// Whether a cord lies round its pulleys all along.
    fn lies_round(&mut self, puller: &Puller, made: &(Cord, Built), used: &Way) {
        let Some(across) = puller.across else { return };
        let span = used.span();
        let least = (0..=72).try_fold(f64::INFINITY, |least: f64, i| {
            let at = span.from + (span.to - span.from) * f64::from(i) / 72.0;
            let (first, last) = made.0.wraps(&made.1.way.at(at).ok()?).ok()??;
            Some(least.min(first.0).min(last.0))
        });
        let what = match least {
            Some(least) if least >= 0.0 => return,
            Some(_) => "how its limb moves where its cord comes off a pulley that does not bend it"
                .to_owned(),
            None => format!(
                "how its cord lies round pulleys of {} (they have no room where they stand; it is taken over \
                 their middles)",
                length(across, self.figure.system)
            ),
        };
        self.not_checked.push(Note::new(what, "pulleys 20 mm"));
    }

    /// The corners at the eyes.
    fn rubs(&mut self, drive: &Drive, said: &CordDrive, made: &(Cord, Built), used: &Way) {
        let what = if said.pulleys.is_some() {
            "cord on pulleys, friction 0.05 (0.2 on an axle a quarter as thick)"
        } else {
            "cord on plain eyes, friction 0.2"
        };
        let settle = if said.pulleys.is_some() { "" } else { "pulleys 20 mm" };
        self.assumed.push(Note::new(what, settle));
        let span = used.span();
        let most = (0..=72).filter_map(|i| {
            let at = span.from + (span.to - span.from) * f64::from(i) / 72.0;
            made.0.drag(&made.1.way.at(at).ok()?, said.rubs()).ok()
        });
        let most = most.fold(1.0, f64::max);
        if most < DRAG {
            return;
        }
        let message = format!(
            "the motor of {} pulls {} times as hard as its cord needs: the rest rubs off at {} {}.",
            self.name(),
            decimal(most, 1),
            said.guides.len(),
            match (said.pulleys, said.guides.len()) {
                (None, 1) => "eye",
                (None, _) => "eyes",
                (Some(_), 1) => "pulley",
                (Some(_), _) => "pulleys",
            }
        );
        self.report(&codes::CORD_DRAG, said.length.place.unwrap_or(drive.place), message).help =
            Some(match said.pulleys {
                None => {
                    let turning = CordDrive::ON_PULLEYS / CordDrive::ON_EYES;
                    let and = if libm::pow(most, turning) < DRAG { "or" } else { "and" };
                    format!("take gentler corners, {and} pulleys that turn (`pulleys 20 mm`).")
                }
                Some(_) => "take fewer and gentler corners.".to_owned(),
            });
        let mu = if said.pulleys.is_some() { 0.05 } else { 0.2 };
        let turned = libm::log(most) / mu;
        self.works([
            Step::given("it goes round", said.guides.len().to_string()),
            Step::given("friction of each", decimal(mu, 2)),
            Step::given("corners together, where they are most", {
                format!("{} deg", decimal(turned.to_degrees(), 1))
            }),
            Step::new(
                "motor's pull over the limb's, e^(friction x corners in rad)",
                format!("e^({} x {})", decimal(mu, 2), decimal(turned, 4)),
                format!("{} times", decimal(most, 3)),
            ),
            Step::given("let pass", format!("{} times", decimal(DRAG, 2))),
        ]);
    }

    /// A week's growth against the tolerance.
    fn creeps(
        &mut self,
        drive: &Drive,
        said: &CordDrive,
        run: &LastRun,
        (ends, sizes): ((Deg, Deg), &CordSizes),
        within: f64,
    ) {
        let grown = sizes.length * CREEP;
        let moved = [ends.0, ends.1].map(|at| {
            let longer = run.cord(Dir::degrees(at))? + grown;
            run.limb(longer).map(|to| (to - at).signed().abs())
        });
        // An end that comes to lie dead moves without bound.
        let moved = moved.map(|m| m.map_or(f64::INFINITY, |m| m.0)).into_iter().fold(0.0, f64::max);
        if moved <= within + 1e-9 {
            return;
        }
        let system = self.figure.system;
        let by = if moved.is_finite() {
            format!("moves an end of its swing by {} deg", decimal(moved, 1))
        } else {
            "lets its lever fall into line with it".to_owned()
        };
        let message = format!(
            "the cord of {} grows by {} in a week, 1.5 % of {}, and that {by}; {} may be missed.",
            self.name(),
            print::fine(grown, system),
            print::fine(sizes.length, system),
            decimal(within, 1)
        );
        self.report(&codes::CORD_CREEP, said.length.place.unwrap_or(drive.place), message).help =
            Some(
                "fasten its end so that it can be set anew, or give it a longer lever.".to_owned(),
            );
        let sum = format!("{} x {}", decimal(CREEP, 3), print::fine_in(sizes.length, system));
        self.works([
            Step::given("it grows in a week by", format!("{} %", decimal(CREEP * 100.0, 1))),
            Step::new("that is", sum, print::fine(grown, system)),
            Step::given("an end of the swing moves by", format!("{} deg", decimal(moved, 1))),
            Step::given("may be off by", format!("{} deg", decimal(within, 1))),
        ]);
    }

    /// The pull over the way that is used.
    fn taut(
        &mut self,
        drive: &Drive,
        said: &CordDrive,
        puller: &Puller,
        (cord, made): &(Cord, Built),
        used: &Way,
    ) -> Vec<Figure> {
        let Some(side) = cord.assembly() else { return Vec::new() };
        let Some(back) = self.back(said, puller, side.sign()) else { return Vec::new() };
        // One that rides is held tight wherever its carrier is.
        let places = self.carrier_places();
        let held = |spring: f64, pull: Pull| {
            let back = Back { spring: back.spring + spring, ..back };
            move |axis: Dir, _: f64, second: f64| back.moment(axis, second, pull)
        };
        // Of all places only the slackest and the tightest are looked at closely.
        let pulled = |spring: f64, pull: Pull| {
            let moment = held(spring, pull);
            let own = (cord.tension(used, &moment).ok()?, places.first().copied());
            let mut rough = Vec::with_capacity(places.len());
            for place in &places {
                rough.push((cord.moved(place.1)?.pulls(used, &moment).ok()?, place));
            }
            let slackest = rough.iter().min_by(|a, b| a.0[0].0.total_cmp(&b.0[0].0));
            let tightest = rough.iter().max_by(|a, b| a.0[1].0.total_cmp(&b.0[1].0));
            slackest.into_iter().chain(tightest).try_fold(own, |(worst, at), (_, place)| {
                let there = cord.moved(place.1)?.tension(used, &moment).ok()?;
                let at = if there.least < worst.least { Some(**place) } else { at };
                Some((worst.and_with(&there), at))
            })
        };
        let with = |spring: f64| pulled(spring, Pull::Least).map(|(tension, _)| tension);
        let (Some((tension, slackest)), Some((most, _))) =
            (pulled(0.0, Pull::Least), pulled(0.0, Pull::Most))
        else {
            return Vec::new();
        };
        if !tension.taut(TAUT) {
            let place = said.length.place.unwrap_or(drive.place);
            // Where the carrier is when it is slackest, and the limb then.
            let there = slackest.and_then(|(_, pivot)| cord.moved(pivot));
            let there = there.unwrap_or_else(|| cord.clone());
            let pose = made.way.at(tension.least_at).and_then(|input| there.position(&input));
            let at = pose.map_or(Deg(0.0), |s| s.limb.axis().deg());
            // In the turn of the circle in which its gestures speak of it.
            let at = made.course.travel.swing().map_or(at, |limits| {
                let (low, high) = (limits.low, limits.low + limits.range());
                let middle = (low + high) / 2.0 + self.turn_of_the_gestures((low, high));
                middle + (at - middle).signed()
            });
            let with_it = match (&self.aboard, slackest) {
                (Some(on), Some((at, _))) => {
                    format!(" (with {} at {} deg)", on.name, decimal(at.0, 0))
                }
                _ => self.tilted(),
            };
            self.slack((place, said), &tension, (at, &with_it), &with);
            self.works(slackest.map(|(at, _)| {
                Step::given("the limb that carries it at", format!("{} deg", decimal(at.0, 0)))
            }));
        }
        let force = |name, words, n| Figure { name, words, value: Measure::Force(n) };
        vec![
            force("least_pull", "cord pulled by at least", tension.least),
            force("most_pull", "cord pulled by at most", most.most),
        ]
    }

    fn slack(
        &mut self,
        (place, said): (Place, &CordDrive),
        tension: &Tension,
        (at, tilted): (Deg, &str),
        with: &dyn Fn(f64) -> Option<Tension>,
    ) {
        let (at, loose) = (decimal(at.0, 0), tension.least.0 < 0.0);
        let message = if loose {
            format!(
                "the cord of {} goes slack: at {at} deg nothing draws it tight{tilted}.",
                self.name()
            )
        } else {
            format!(
                "the cord of {} is held by {} only at {at} deg{tilted}; {} keep it on its eyes.",
                self.name(),
                print::force(tension.least, self.figure.system),
                print::force(TAUT, self.figure.system)
            )
        };
        let spring = match said.back {
            Some(Return::Moment(m)) => m.0,
            _ => 0.0,
        };
        // In thousandths of a newton metre: the first that holds.
        let holds = |n: u32| with(f64::from(n) * 1e-3).is_some_and(|t| t.taut(TAUT));
        let needed = first(holds, 20_000);
        let help = needed.map(|n| {
            format!(
                "a spring of {} about the pivot holds it: `return spring {} N.m`.",
                print::torque(NewtonMetre(spring + f64::from(n) * 1e-3), self.figure.system),
                decimal(spring + f64::from(n) * 1e-3, 3)
            )
        });
        let found = self.report(&codes::CORD_SLACK, place, message);
        found.severity = if loose { Severity::Error } else { Severity::Warning };
        found.help = help;
        let system = self.figure.system;
        self.works([
            Step::given("least pull with the limb at", format!("{at} deg")),
            Step::given("it is pulled there with", print::force(tension.least, system)),
            Step::given("wanted", print::force(TAUT, system)),
        ]);
    }

    /// What brings the limb back, where it is known; noted where not.
    fn back(&mut self, said: &CordDrive, puller: &Puller, side: f64) -> Option<Back> {
        const WHAT: &str = "whether the cord stays taut";
        if said.back == Some(Return::Spring) {
            let what = format!("{WHAT} (how strong its spring is is not said)");
            self.not_checked.push(Note::new(what, "return spring 0.01 N.m"));
            return None;
        }
        let Some(tilt) = self.tilt() else {
            let first = "the way of the limb that carries it is known";
            self.not_checked.push(Note::after(WHAT, first));
            return None;
        };
        let measured = &self.limb.measured;
        let centre = measured.centre.or(measured.balance.map(|at| (at, Deg(0.0))));
        let (Some(mass), Some((arm, angle))) = (measured.mass, centre) else {
            let missing = if measured.mass.is_none() { "weight" } else { "centre" };
            self.not_checked.push(Note::new(
                format!("{WHAT} (the limb's {missing} is not known)"),
                "weighed 0.02 kg  balances 25 mm",
            ));
            return None;
        };
        let spring = match said.back {
            Some(Return::Moment(moment)) => moment.0,
            Some(Return::Gravity) => 0.0,
            Some(Return::Force(_) | Return::Spring) => {
                self.not_checked.push(Note::new(
                    format!("{WHAT} (its spring is a force and no moment about the pivot)"),
                    "return spring 0.01 N.m",
                ));
                return None;
            }
            None => {
                self.assumed.push(Note::new("brought back by its own weight", "return gravity"));
                0.0
            }
        };
        let friction = self.limb.friction.map_or(0.0, |f| f.0.abs());
        if self.limb.friction.is_none() {
            self.not_checked.push(Note::new(
                "friction at the pivot in the pull of the cord",
                "friction 0.002 N.m",
            ));
        }
        let speed = self.turn_speed(puller).or_else(|| self.wound_speed(said, puller));
        let inertia = match (measured.inertia, speed) {
            (Some(i), Some(speed)) => i.0 * speed * speed,
            (inertia, _) => {
                // With its inertia the time it takes is told with the music's own, later.
                let clause = match inertia {
                    None => Some("inertia 0.00002 kg.m2"),
                    Some(_) if self.is_timed() => None,
                    Some(_) => Some("gesture wave { sweep 10 deg to 60 deg  cycle 2 s }"),
                };
                let what = "whether the limb falls back as fast as its cord";
                self.not_checked.extend(clause.map(|clause| Note::new(what, clause)));
                0.0
            }
        };
        Some(Back {
            weight: mass.0 * GRAVITY * arm.0 * 1e-3,
            centre: Dir::degrees(angle),
            spring: spring - friction,
            // Open: the cord turns the limb counter-clockwise.
            way: -side,
            load: self.limb.load.map_or(0.0, |l| l.0),
            inertia,
            tilt,
        })
    }

    /// How fast a spool, a ram or a cylinder lets its cord out, without load, mm/s.
    fn wound_speed(&self, said: &CordDrive, puller: &Puller) -> Option<f64> {
        let By::Wound { most, .. } = puller.by else { return None };
        let motor = self.figure.motor_of(self.figure.limb(&self.limb.name.value)?)?;
        let drawn = most.unwrap_or_default();
        let pace = StrutPace::of_cord(said, &self.figure.actuators[motor].motor, drawn)?;
        Some(pace.cord_speeds(drawn).1)
    }

    /// Whether one of its gestures says how long its way takes.
    fn is_timed(&self) -> bool {
        self.limb.gestures.iter().any(|g| {
            matches!(
                g.action,
                Action::Sweep { cycle: Some(_), .. } | Action::Turn { over: Some(_), .. }
            )
        })
    }

    /// The fastest a crank turns by a gesture timed in seconds, rad/s.
    fn turn_speed(&self, puller: &Puller) -> Option<f64> {
        let By::Crank = puller.by else { return None };
        let cycles = self.limb.gestures.iter().filter_map(|g| match &g.action {
            Action::Sweep { cycle: Some(cycle), .. } => match cycle.value {
                crate::model::Span::Time(t) if t.0 > 0.0 => Some(t.0),
                _ => None,
            },
            _ => None,
        });
        cycles.reduce(f64::min).map(|t| 2.0 * std::f64::consts::PI / t)
    }
}

/// Whether a servo's horn pulls.
const fn is_horn(puller: &Puller) -> bool {
    matches!(puller.by, By::Horn { .. })
}

/// The part of its way that is used, and the limb's angles at its ends: all of a
/// crank's turn; of a servo what lies between the asked angles.
pub(super) fn used(
    puller: &Puller,
    (cord, made): &(Cord, Built),
    asked: Option<&Motion<'_>>,
) -> (Way, Option<(Deg, Deg)>) {
    let whole = made.course.travel.swing().map(|l| (l.low, l.low + l.range()));
    let Some(asked) = asked.filter(|_| is_horn(puller)) else { return (made.way.clone(), whole) };
    let ends = asked.sweep();
    let at = |angle: Deg| {
        let found = cord.inverse(Stand::Turned(Dir::degrees(angle)), &made.way).ok()?;
        found.first().copied()
    };
    match (at(ends.0), at(ends.1)) {
        (Some(a), Some(b)) if a != b => {
            let span = Span::part(a.min(b), a.max(b));
            (Way::Shaft(Shaft { at: puller.at, span }), Some(ends))
        }
        _ => (made.way.clone(), whole),
    }
}

/// The least number up to `most` of which something holds that holds of all above
/// it too.
fn first(holds: impl Fn(u32) -> bool, most: u32) -> Option<u32> {
    if !holds(most) {
        return None;
    }
    let (mut lo, mut hi) = (0, most);
    while lo + 1 < hi {
        let middle = lo + (hi - lo) / 2;
        if holds(middle) { hi = middle } else { lo = middle }
    }
    Some(hi)
}
