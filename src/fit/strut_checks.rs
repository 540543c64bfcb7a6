//! Checks of a ram or an air cylinder on a lever: lengths, reach, dead centres,
//! push, and whether it comes where it is asked to.

use super::checks::turns_between;
use super::strut::{Said, built, wish};
use super::strut_asked::Wanted;
use super::strut_pace::RamPace;
use super::{Bench, codes};
use crate::finding::{Place, Severity, Step};
use crate::geometry::{Dir, Vector};
use crate::mechanism::solve::{Anchor, RAM_PUSH_FLOOR, solve_ram};
use crate::mechanism::{Lengths, Ram, Size, Strut, Travel};
use crate::model::{Action, Sized, Span, StrutDrive};
use crate::units::print::{decimal, length};
use crate::units::{Deg, Mm, Sec, System, print};

/// Lengths are told and measured to about this.
const FINE: Mm = Mm(0.5);

impl<'a> Bench<'a> {
    /// Two lengths as a stroke, where they make one.
    pub(super) fn strut_lengths(
        &mut self,
        said: &Said<'_>,
        (short, long): (Mm, Mm),
    ) -> Option<Lengths> {
        let system = self.figure.system;
        let place = said.drive.place;
        let way = long - short;
        if let Some(stroke) = said.stroke().filter(|s| way - *s > FINE) {
            let message = format!(
                "the {} of {} moves {}, and from {} to {} it would have to move {}.",
                said.word(),
                self.name(),
                length(stroke, system),
                length(short, system),
                length(long, system),
                length(way, system)
            );
            self.report(&codes::STROKE_TOO_SHORT, place, message).help = Some(format!(
                "measure it pin to pin, drawn in and pushed out: `length {} to {}` has its stroke.",
                length(short, system),
                length(short + stroke, system)
            ));
            self.works(way_sum((short, long), system));
            self.works([Step::given("its stroke", print::fine(stroke, system))]);
            return None;
        }
        if way < FINE {
            let message = format!(
                "the {} of {} is {} long drawn in and {} pushed out: it moves nothing.",
                said.word(),
                self.name(),
                length(short, system),
                length(long, system)
            );
            self.report(&codes::STROKE_TOO_SHORT, place, message).help = Some(format!(
                "measure it pin to pin, drawn in and pushed out: `length {} to {}`, for instance.",
                length(short, system),
                length(short * 1.5, system)
            ));
            return None;
        }
        let lengths = match Lengths::new(short, long) {
            Ok(lengths) => lengths,
            Err(why) => {
                self.no_mechanism(place, why);
                return None;
            }
        };
        if way > short + FINE {
            let message = format!(
                "the {} of {} is {} long drawn in, and is to push out by {}: its rod would not fit into it.",
                said.word(),
                self.name(),
                length(short, system),
                length(way, system)
            );
            self.report(&codes::BODY_TOO_SHORT, place, message).help =
                Some("measure it pin to pin, drawn in and pushed out.".to_owned());
            self.works(way_sum((short, long), system));
        }
        Some(lengths)
    }

    /// Reports a strut that is too short or too long at every length it has.
    pub(super) fn strut_does_not_reach(&mut self, said: &Said<'_>, ram: &Ram) {
        let system = self.figure.system;
        let a = ram.analyse();
        let Lengths { short, long } = ram.lengths();
        let (bound, least) = if long < a.folded_at {
            ("never less than", a.folded_at)
        } else {
            ("never more than", a.stretched_at)
        };
        let message = format!(
            "the {} of {} is {} to {} long, and from its anchor to the lever's pin it is {bound} {}.",
            said.word(),
            self.name(),
            length(short, system),
            length(long, system),
            length(least, system)
        );
        let help = self.anchor_help(ram);
        self.report(&codes::DOES_NOT_REACH, said.drive.place, message).help = help;
        self.works(way_sum((short, long), system));
        self.works(dead_sum(ram, system));
    }

    /// How far from the pivot the anchor may lie so that the whole stroke is clear of
    /// dead centres: |lever - distance| < shortest, longest < lever + distance.
    fn anchor_help(&self, ram: &Ram) -> Option<String> {
        let system = self.figure.system;
        let Lengths { short, long } = ram.lengths();
        let near = (long - ram.lever()).max(ram.lever() - short) + Mm(1.0);
        let far = ram.lever() + short - Mm(1.0);
        (near < far).then(|| {
            format!(
                "with this lever the anchor lies between {} and {} from the pivot.",
                length(near, system),
                length(far, system)
            )
        })
    }

    /// Everything a strut on a lever must do.
    pub(super) fn check_strut(&mut self, said: &Said<'_>, ram: &Ram, wanted: Option<&Wanted<'a>>) {
        let system = self.figure.system;
        let place = said.strut.lever.place.unwrap_or(said.drive.place);
        let analysis = ram.analyse();
        let Some(motion) = analysis.motion else { return };
        if analysis.dead_centre() {
            let at = if analysis.folded { analysis.folded_at } else { analysis.stretched_at };
            let message = format!(
                "{} long the {} of {} lies in one line with its lever: it pushes nothing there, and the \
                 limb may go on either way.",
                print::fine(at, system),
                said.word(),
                self.name()
            );
            let instead = wanted.and_then(|wanted| self.strut_instead(said, ram, wanted));
            let help = instead.or_else(|| self.anchor_help(ram));
            self.report(&codes::DEAD_CENTRE, place, message).help = help;
            let Lengths { short, long } = ram.lengths();
            self.works(way_sum((short, long), system));
            self.works(dead_sum(ram, system));
            return;
        }
        if motion.least_push.0 < RAM_PUSH_FLOOR.0 - 1e-9 {
            let message = format!(
                "with its {} {} long {} is pushed at {} deg; {} or more is wanted.",
                said.word(),
                length(motion.least_push_at, system),
                self.name(),
                decimal(motion.least_push.0, 1),
                decimal(RAM_PUSH_FLOOR.0, 0)
            );
            let help = match wanted {
                Some(wanted) => self.strut_instead(said, ram, wanted),
                None => Some("let the other end stand more to the side of the lever.".to_owned()),
            };
            self.report(&codes::WEAK_PUSH, place, message).help = help;
            self.works(dead_sum(ram, system));
            self.works([
                Step::given("worst with a length of", print::fine(motion.least_push_at, system)),
                Step::given("push there", format!("{} deg", decimal(motion.least_push.0, 2))),
                Step::given("wanted", format!("{} deg", decimal(RAM_PUSH_FLOOR.0, 0))),
            ]);
        }
        let Some(wanted) = wanted else { return };
        let Some(course) = built(*ram).map(|b| b.course) else { return };
        self.strut_times(said, ram, wanted);
        if wanted.ends && !wanted.motion.met(&course.travel) {
            let help = self.strut_instead(said, ram, wanted);
            self.motion_missed(said.drive.place, &wanted.motion, &course.travel, help);
        } else {
            self.strut_stops(said, ram, wanted, &course.travel);
        }
    }

    /// Lever and clamp that do what is asked from the same anchor, put together as the file
    /// says, as a help.
    fn strut_instead(&self, said: &Said<'_>, ram: &Ram, wanted: &Wanted<'_>) -> Option<String> {
        let free = |s: Sized, size| Sized { size, ..s };
        let open = StrutDrive {
            lever: free(said.strut.lever, Size::Between { lo: 20.0, hi: 1000.0 }),
            clamp: free(said.strut.clamp, Size::Free),
            ..said.strut.clone()
        };
        let ends = (ram.pivot(), Anchor::At(ram.anchor()));
        let better = solve_ram(&wish(&open, ends, ram.lengths(), &wanted.motion)).ok()?;
        let best = &better[0].ram;
        Some(format!(
            "a lever of {} at {} deg does it (push {} deg at worst).",
            length(best.lever(), self.figure.system),
            decimal(best.clamp().signed().0, 0),
            decimal(better[0].push.0, 0)
        ))
    }

    /// Whether it comes to each place it is to turn to, and stops there by its own
    /// ends.
    fn strut_stops(&mut self, said: &Said<'_>, ram: &Ram, wanted: &Wanted<'a>, travel: &Travel) {
        let (low, high) = wanted.motion.told(travel);
        let within = wanted.motion.within;
        let mut by_time: Vec<(String, f64, Place)> = Vec::new();
        for (gesture, angle) in self.stops().collect::<Vec<_>>() {
            let words = gesture.map_or("`rest`".to_owned(), |g| format!("`{}`", g.name.value));
            let turns = turns_between(Deg(f64::midpoint(low, high)), angle.value);
            let at = angle.value.0 + 360.0 * turns;
            if (low - at).max(at - high) > within + 1e-9 {
                let message = format!(
                    "{words} asks {} for {} deg, and its {} takes it from {} to {} deg.",
                    self.name(),
                    decimal(at, 1),
                    said.word(),
                    decimal(low, 1),
                    decimal(high, 1)
                );
                let help = self.strut_instead(said, ram, wanted);
                let found = self.report(&codes::BEYOND_STROKE, angle.place, message);
                found.help = help;
                found.related.push(("this drive".to_owned(), said.drive.place));
                self.works(ends_sum(at, (low, high), within));
            } else if (at - low).min(high - at) > within + 1e-9 {
                by_time.push((words, at, angle.place));
            }
        }
        let Some((words, at, place)) = by_time.into_iter().next() else { return };
        let (name, at) = (self.name(), decimal(at, 1));
        let ends = format!("{} and {} deg", decimal(low, 1), decimal(high, 1));
        let (severity, message, help) = match said.strut.strut {
            Strut::Cylinder => (
                Severity::Error,
                format!(
                    "{words} asks {name} for {at} deg, and a cylinder stops only at its ends, {ends}."
                ),
                "ask for its ends, or change lever and clamp so that they are what you want.",
            ),
            Strut::Ram => (
                Severity::Advice,
                format!(
                    "{words} stops {name} at {at} deg, between its ends at {ends}: by time alone, so each stop \
                     is a little off until it runs to an end again."
                ),
                "let it run to an end now and then, or take a ram that tells where it is.",
            ),
        };
        let found = self.report(&codes::STOPS_BETWEEN, place, message);
        found.severity = severity;
        found.help = Some(help.to_owned());
        self.works([
            Step::given("asked", format!("{at} deg")),
            Step::given("its ends", format!("{} and {} deg", decimal(low, 2), decimal(high, 2))),
        ]);
    }

    /// Holds times in seconds against a ram's own speed, without a show.
    fn strut_times(&mut self, said: &Said<'_>, ram: &Ram, wanted: &Wanted<'a>) {
        let Some(pace) =
            RamPace::of(&said.actuator.motor).filter(|_| said.strut.strut == Strut::Ram)
        else {
            return;
        };
        let stops: Vec<Deg> = self.stops().map(|(_, a)| a.value).collect();
        let stroke = ram.lengths().stroke();
        for gesture in &self.limb.gestures {
            let (time, place, way) = match &gesture.action {
                Action::Sweep { cycle: Some(cycle), .. } if wanted.ends => {
                    (cycle.value, cycle.place, stroke * 2.0)
                }
                Action::Turn { to, over: Some(over) } => {
                    // The nearest of the other places it may come from.
                    let here = length_at(ram, to.value);
                    let from = stops.iter().map(|&s| (length_at(ram, s) - here).abs());
                    let way = from.filter(|w| *w > FINE).fold(Mm(f64::INFINITY), Mm::min);
                    (over.value, over.place, way)
                }
                _ => continue,
            };
            let Span::Time(given) = time else { continue };
            if way.0.is_finite() && given.0 * pace.warm < way.0 * (1.0 - 1e-4) {
                let message = ram_too_slow(&self.name(), (way, given), &pace, self.figure.system);
                let steps = ram_sum((way, given), &pace, self.figure.system);
                let found = self.report(&codes::TOO_FAST_FOR_RAM, place, message);
                found.help = Some(ram_takes(pace.longest(way)));
                found.worked = steps;
            }
        }
    }
}

/// The way a strut has between its two lengths.
fn way_sum((short, long): (Mm, Mm), system: System) -> Vec<Step> {
    let less = format!("{} - {}", print::fine_in(long, system), print::fine_in(short, system));
    vec![
        Step::given("drawn in", print::fine(short, system)),
        Step::given("pushed out", print::fine(long, system)),
        Step::new("between the two", less, print::fine(long - short, system)),
    ]
}

/// The lengths at which a strut lies in one line with its lever.
fn dead_sum(ram: &Ram, system: System) -> Vec<Step> {
    let (lever, far) = (ram.lever(), ram.anchor().distance(ram.pivot()));
    let (bare, fine) = (|l| print::fine_in(l, system), |l| print::fine(l, system));
    vec![
        Step::given("lever", fine(lever)),
        Step::given("anchor to pivot", fine(far)),
        Step::new("in one line, folded", format!("|{} - {}|", bare(lever), bare(far)), {
            fine((lever - far).abs())
        }),
        Step::new("in one line, stretched", format!("{} + {}", bare(lever), bare(far)), {
            fine(lever + far)
        }),
    ]
}

/// A place asked for against the ends of the motion.
fn ends_sum(at: f64, (low, high): (f64, f64), within: f64) -> Vec<Step> {
    let deg = |v: f64| format!("{} deg", decimal(v, 2));
    vec![
        Step::given("asked", deg(at)),
        Step::given("its ends", format!("{} to {}", decimal(low, 2), deg(high))),
        Step::given("may be off by", deg(within)),
    ]
}

/// The length nearest to the one that holds the limb at an angle.
fn length_at(ram: &Ram, limb: Deg) -> Mm {
    let pin = ram.pivot() + Vector::polar(ram.lever(), Dir::degrees(limb + ram.clamp()));
    let Lengths { short, long } = ram.lengths();
    pin.distance(ram.anchor()).max(short).min(long)
}

/// A ram that cannot go so far in the time given.
#[must_use]
pub fn ram_too_slow(name: &str, (way, given): (Mm, Sec), pace: &RamPace, system: System) -> String {
    let single = if pace.warm < pace.speed {
        format!(", single ones {}", print::pace_in(pace.warm, system))
    } else {
        String::new()
    };
    let single = match pace.under {
        [1.0, 1.0] => single,
        [out, back] => format!(
            "{single}, and against its load {} out and {} in",
            print::pace_in(pace.warm * out, system),
            print::pace_in(pace.warm * back, system)
        ),
    };
    format!(
        "{name} is to move its {} by {} in {} s; without load it makes {}{single}.",
        pace.word,
        print::size(way, 0, system),
        decimal(given.0, 2),
        print::pace(pace.speed, system)
    )
}

/// The sum behind a ram's time, its ways told as one.
#[must_use]
pub fn ram_sum((way, given): (Mm, Sec), pace: &RamPace, system: System) -> Vec<Step> {
    let speed = |mm_per_s: f64| print::pace_in(mm_per_s, system);
    let told = |mm_per_s: f64| print::pace(mm_per_s, system);
    let time = |mm_per_s: f64| format!("{} s", decimal(way.0 / mm_per_s, 2));
    let long = print::fine_in(way, system);
    let mut steps = vec![
        Step::new("its way", "", print::fine(way, system)),
        Step::new("in", "", format!("{} s", decimal(given.0, 3))),
        Step::new("asked, way/time", format!("{long}/{}", decimal(given.0, 3)), {
            told(way.0 / given.0)
        }),
        Step::new("without load, by its sheet", "", told(pace.speed)),
        Step::new("takes, way/speed", format!("{long}/{}", speed(pace.speed)), time(pace.speed)),
    ];
    let slower = [("a slow one, warm", pace.warm), ("a slow one, on a cold night", pace.cold)];
    for (what, slow) in slower.into_iter().filter(|(_, s)| *s < pace.speed) {
        let less = format!("{} x {}", speed(pace.speed), decimal(slow / pace.speed, 4));
        steps.push(Step::new(what, less, told(slow)));
        steps.push(Step::new("takes", format!("{long}/{}", speed(slow)), time(slow)));
    }
    if pace.under != [1.0, 1.0] {
        for (what, share) in ["out", "in"].into_iter().zip(pace.under) {
            let sum = format!("{} x {}", speed(pace.warm), decimal(share, 4));
            steps.push(Step::new(
                format!("against its load, {what}"),
                sum,
                told(pace.warm * share),
            ));
        }
    }
    steps
}

/// The time a ram takes, as a help.
#[must_use]
pub fn ram_takes(longest: Sec) -> String {
    let takes = libm::ceil(longest.0 * 100.0) / 100.0;
    format!("give it {} s or more, or a shorter way.", decimal(takes, 2))
}
