//! A cord that pulls one way: open sizes found, what pulls it put in its place.
//!
//! A crank draws it in and lets it out once a turn; a servo's horn as far as the
//! servo turns; a spool or a ram as far as the gesture asks; a cylinder by its stroke.

use super::asked::Motion;
use super::builds::Recipe;
use super::checks::BUILD_ERROR;
use super::cord_checks::used;
use super::cord_told::{as_told, enough_with, reaches};
use super::drive::{Built, Figure, FittedDrive, FittedSize, Measure, Other, SizeName, borne};
use super::prefers::in_order;
use super::puller::{By, CordSizes, Puller, built};
use super::servo::Shaft;
use super::{
    Bench, Fitted, FittedServo, codes, cord_recipe, cord_words as words, open_sizes, upper,
};
use crate::finding::Place;
use crate::geometry::Dir;
use crate::mechanism::solve::{CordChoice, CordWish, Drawer, OTHERS, PUSH_FLOOR, solve_cord};
use crate::mechanism::{Assembly, Cord, Path, Size};
use crate::model::{Action, CordDrive, Drive, MotorKind, Note, Sized};
use crate::syntax::codes::LENGTH_UNBUILDABLE;
use crate::units::print::length;
use crate::units::{Deg, Mm, Rpm};

/// A spool wider than this is a slip of the pen (common practice, no source).
const WIDEST_SPOOL: Mm = Mm(1000.0);

/// Sizes as they are and as marked out, and the next best.
pub(super) struct Chosen {
    /// Exact.
    pub exact: CordSizes,
    /// As marked out.
    pub drilled: CordSizes,
    /// The other holes.
    pub others: Vec<CordSizes>,
    /// Whether they were found here.
    pub found: bool,
}

impl<'a> Bench<'a> {
    pub(super) fn cord(&mut self, drive: &Drive, said: &CordDrive, motor: usize) -> Option<Fitted> {
        let before = self.errors();
        if self.spool_unturned(said, motor) {
            return None;
        }
        let puller = self.puller(said, motor)?;
        match puller.by {
            By::Crank => self.refuse_gestures(
                "a cord on a crank",
                |a| matches!(a, Action::Sweep { .. } | Action::On | Action::Off),
                "`sweep A to B  cycle T`",
            ),
            By::Wound { .. } => self.refuse_gestures(
                "a cord on a spool, a ram or a cylinder",
                |a| !matches!(a, Action::Spin { .. } | Action::Stroke { .. } | Action::Follow { .. }),
                "`turn to A over T`, `pose A`, `sweep A to B  cycle T`, `pulse up for T`, `on` or `off`",
            ),
            By::Horn { .. } => self.refuse_gestures(
                "a cord",
                |a| !matches!(a, Action::Spin { .. } | Action::Stroke { .. }),
                "`turn to A over T`, `pose A` or `sweep A to B  cycle T`",
            ),
        }
        if let (By::Wound { .. }, Size::Given(spool)) = (puller.by, said.spool.size)
            && spool > WIDEST_SPOOL.0
        {
            let message = format!(
                "the spool of {} is {} across: nobody turns one so large.",
                self.name(),
                length(Mm(spool), self.figure.system)
            );
            let place = said.spool.place.unwrap_or(drive.place);
            self.report(&LENGTH_UNBUILDABLE, place, message).help = Some(format!(
                "20 to 100 mm are usual, {} the most that is let pass.",
                length(WIDEST_SPOOL, self.figure.system)
            ));
            return None;
        }
        let said = &self.with_rows(said, &puller, motor);
        let asked = self.span_asked();
        let chosen = self.cord_sizes(drive, said, &puller, asked.as_ref())?;
        let place = said.length.place.unwrap_or(drive.place);
        let exact = self.pulled(place, &puller, &chosen.exact)?;
        let other = chosen.drilled != chosen.exact;
        let drilled = other.then(|| built(&puller, &chosen.drilled)).flatten();
        let drilled = drilled.unwrap_or_else(|| exact.clone());
        let horn = matches!(puller.by, By::Crank | By::Horn { .. });
        let size = |name, of: fn(&CordSizes) -> Mm, said: Sized| FittedSize {
            name,
            exact: of(&chosen.exact).0,
            drilled: of(&chosen.drilled).0,
            said,
        };
        let radius = horn.then(|| size(SizeName::Crank, |s| s.radius, said.crank));
        let spool = self.spool(said, &puller);
        let mut sizes: Vec<FittedSize> = radius.into_iter().chain(spool).collect();
        sizes.extend([
            size(SizeName::Cord, |s| s.length, said.length),
            size(SizeName::Lever, |s| s.lever, said.lever),
            FittedSize {
                name: SizeName::Clamp,
                exact: chosen.exact.clamp.0,
                drilled: chosen.drilled.clamp.0,
                said: said.clamp,
            },
        ]);
        let way = used(&puller, &drilled, asked.as_ref()).0;
        let recipe = cord_recipe::recipe(&puller, &chosen.drilled, said.spool.size, &way);
        let (chosen, exact, drilled) = match self.cord_as_built(&recipe, &puller, &chosen, &sizes) {
            Some((sizes, made)) => {
                (Chosen { exact: sizes, drilled: sizes, ..chosen }, made.clone(), made)
            }
            None => (chosen, exact, drilled),
        };
        let mut figures = figures(&puller, &exact.0, &exact.1);
        figures.extend(self.bent_cord(drive, said, &puller));
        figures.extend(self.air_of_cord(drive, said, motor, &exact.1));
        figures.extend(self.check_cord(drive, said, &puller, (&chosen, &exact), asked.as_ref()));
        // What winds it up draws in as much as it was told with the sizes as drawn.
        let wound = match puller.by {
            By::Wound { .. } => self.built_drive(&recipe, &sizes),
            By::Crank | By::Horn { .. } => None,
        };
        let (exact, drilled) = wound.unwrap_or((exact.1, drilled.1));
        let fitted = FittedDrive {
            exact,
            drilled,
            others: others(said, (&puller, asked.as_ref()), &chosen.others, &sizes),
            sizes: self.sizes_as_built(&recipe, sizes),
            figures,
            fit: None,
            recipe: Some(self.recipe_as_built(recipe)),
            pin: super::pin(drive),
            faulty: self.errors() > before,
        };
        Some(match puller.by {
            By::Horn { travel, sign } => {
                let servo = self.horn(drive, &puller, (travel, sign), fitted, motor)?;
                Fitted::Servo(Box::new(servo))
            }
            By::Crank | By::Wound { .. } => Fitted::Drive(Box::new(fitted)),
        })
    }

    /// Motor, eyes and pivot, where they are known.
    fn puller(&mut self, said: &CordDrive, motor: usize) -> Option<Puller> {
        if self.limb.carrier.is_some() {
            let what = match self.figure.actuators[motor].motor.kind {
                MotorKind::Servo => "a servo's horn on the board to a limb that rides on another",
                _ if said.on_pulleys() => {
                    "the board over pulleys to a limb that rides on another: lead it through eyes"
                }
                _ if self.limb.gestures.iter().any(|g| g.relative) => {
                    "the board to a limb that rides on another and is told bends"
                }
                _ => {
                    "the board to a limb whose carrier rides or slides itself, or shares its motor"
                }
            };
            self.not_checked.push(Note::new(
                format!("mechanism (a cord from {what}; this version does not compute it yet)"),
                "",
            ));
            return None;
        }
        let (at, pivot) = self.centres(motor)?;
        if at.distance(pivot) < BUILD_ERROR {
            let message = format!(
                "the motor of {} stands on its limb's pivot, where the bolt is: a cord from there pulls nothing.",
                self.name()
            );
            let place = self.limb.drive.as_ref().map_or(self.limb.name.place, |d| d.place);
            self.report(&codes::PARTS_DO_NOT_REACH, place, message).help = Some(
                "move the motor away, to where its cord stands square to the lever in mid-swing."
                    .to_owned(),
            );
            return None;
        }
        let actuator = &self.figure.actuators[motor];
        let kind = &actuator.motor;
        let by = match kind.kind {
            MotorKind::Brushed | MotorKind::Synchronous => By::Crank,
            MotorKind::Servo => {
                let travel = self.travel(&kind.pulses.clone());
                By::Horn { travel, sign: actuator.turns.sign() }
            }
            MotorKind::Ram => {
                By::Wound { most: kind.length.map(|(short, long)| long - short), whole: false }
            }
            MotorKind::Cylinder => {
                let stroke = said.air.stroke.or(kind.stroke);
                let between = kind.length.map(|(short, long)| long - short);
                let Some(stroke) = stroke.or(between) else {
                    self.not_checked
                        .push(Note::new("mechanism (the stroke of its cylinder)", "stroke 100 mm"));
                    return None;
                };
                By::Wound { most: Some(stroke), whole: true }
            }
            MotorKind::Spool => By::Wound { most: None, whole: false },
        };
        if said.guides.is_empty() && matches!(by, By::Horn { .. }) {
            self.not_checked.push(Note::new(
                "mechanism (a cord on a horn is computed only with an eye)",
                "guides (x, y) mm",
            ));
            return None;
        }
        if matches!(by, By::Horn { .. }) {
            self.assumed.push(Note::new(
                "horn square to the line from its shaft to the first eye at the servo's 0, counting up draws it in",
                "",
            ));
        }
        let across = said.pulleys.filter(|_| !said.guides.is_empty());
        Some(Puller { at, by, guides: said.guides.clone(), across, pivot })
    }

    /// An open crank takes the holes its motor has.
    fn with_rows(&mut self, said: &CordDrive, puller: &Puller, motor: usize) -> CordDrive {
        let holes = self.figure.actuators[motor].motor.crank_holes;
        let mut said = said.clone();
        if let (By::Crank, Size::Free, Some((lo, hi, step))) = (puller.by, said.crank.size, holes) {
            said.crank.size = if step.0 > 0.0 && hi > lo {
                Size::Row { lo: lo.0, hi: hi.0, step: step.0 }
            } else {
                Size::Given(lo.0)
            };
            self.assumed.push(Note::new("crank holes as its motor's", "crank ?"));
        }
        said
    }

    /// The angles it is asked for: of its sweep, or from the lowest to the highest
    /// that a horn or spool is sent to.
    fn span_asked(&mut self) -> Option<Motion<'a>> {
        self.motion_asked().or_else(|| self.angles_asked())
    }

    fn cord_sizes(
        &mut self,
        drive: &Drive,
        said: &CordDrive,
        puller: &Puller,
        asked: Option<&Motion<'a>>,
    ) -> Option<Chosen> {
        let given = |s: &Sized| match s.size {
            Size::Given(v) => Some(v),
            _ => None,
        };
        let radius = match puller.by {
            By::Wound { .. } => Some(0.0),
            By::Crank | By::Horn { .. } => given(&said.crank),
        };
        if let (Some(radius), Some(lever), Some(clamp), Some(length)) =
            (radius, given(&said.lever), given(&said.clamp), given(&said.length))
        {
            let sizes = |side| CordSizes {
                radius: Mm(radius),
                lever: Mm(lever),
                clamp: Deg(clamp),
                length: Mm(length),
                drawn: Mm(0.0),
                side,
            };
            let exact = self.drawn(puller, said, &sizes, asked)?;
            return Some(Chosen { exact, drilled: exact, others: Vec::new(), found: false });
        }
        let Some(asked) = asked else {
            self.nothing_asked("crank, lever, clamp, cord");
            return None;
        };
        let eyes = puller.eyes();
        let open = [said.crank, said.length, said.lever, said.clamp];
        let at = open.iter().find_map(|s| s.ask).unwrap_or(drive.place);
        if eyes.is_empty() && puller.by == By::Crank {
            return self.straight(at, said, (puller, asked));
        }
        if eyes.is_empty() {
            self.not_checked.push(Note::new(
                "horn, lever, clamp, cord: of a servo they are found only for a cord through an eye",
                "guides (x, y) mm",
            ));
            return None;
        }
        let wish = CordWish {
            drawer: match puller.by {
                By::Crank => Drawer::Crank { shaft: puller.at, radius: said.crank.size },
                By::Horn { .. } => Drawer::Spool { from: puller.at, per: 1.0, draws: None },
                By::Wound { most, whole } => {
                    Drawer::Spool { from: puller.at, per: 1.0, draws: most.filter(|_| whole) }
                }
            },
            guides: &eyes,
            across: puller.across,
            pivot: puller.pivot,
            lever: said.lever.size,
            clamp: said.clamp.size,
            sweep: asked.sweep(),
            within: Some(Deg(asked.within)),
            assembly: said.assembly.or_else(|| self.image_side()),
        };
        match solve_cord(&wish) {
            Ok(choices) => self.taken_up((at, &wish), said, (puller, asked), &choices),
            Err(mut no) => {
                no.nearest.retain(|(change, _)| as_told(said, &wish, (puller, asked), *change));
                let system = self.figure.system;
                let why = words::reason(&no, puller.by, system);
                self.no_cord_fits(at, asked, &why, words::nearest(&no, system));
                None
            }
        }
    }

    /// Reports that no sizes move the limb as asked, why, and what would.
    pub(super) fn no_cord_fits(
        &mut self,
        at: Place,
        asked: &Motion<'_>,
        why: &str,
        help: Option<String>,
    ) {
        let motion = asked.words(self.figure.system);
        let message =
            format!("nothing within the ranges moves {} from {motion}: {why}.", self.name());
        let found = self.report(&codes::NOTHING_FITS, at, message);
        found.help = help;
        found.related.push(("the motion asked for".to_owned(), asked.gesture.place));
    }

    /// The best choice as sizes; a given length is kept and judged later.
    fn taken_up(
        &mut self,
        (at, wish): (Place, &CordWish<'_>),
        said: &CordDrive,
        (puller, asked): (&Puller, &Motion<'_>),
        choices: &[CordChoice],
    ) -> Option<Chosen> {
        let all = drawing_enough(&said.crank, puller, choices);
        let (there, short): (Vec<_>, Vec<_>) =
            all.into_iter().partition(|s| reaches(said, (puller, asked), s));
        let all: Vec<_> = there.into_iter().chain(short).collect();
        let all = in_order(said.prefer, self.limb, all, |s| other(said, (puller, Some(asked)), s));
        let cut = |s: &CordSizes| open_sizes::holds(said.length.size, s.length.0, false);
        let first = all.iter().position(&cut).or((!all.is_empty()).then_some(0));
        let Some((index, mut exact)) = first.map(|i| (i, all[i])) else {
            let pull = choices.first().map_or(Mm(0.0), |c| c.pull);
            let message =
                words::pulls_too_little(&self.name(), puller.by, pull, self.figure.system);
            let help = match self.quick {
                true => None,
                false => enough_with(said, wish, (puller, asked), self.figure.system),
            };
            let slower = "ask for a smaller swing: it needs less cord.".to_owned();
            self.report(&codes::NOTHING_FITS, at, message).help = help.or(Some(slower));
            return None;
        };
        let found = !matches!(said.length.size, Size::Given(_));
        if let Size::Given(length) = said.length.size {
            exact.length = Mm(length);
        }
        let drilled = marked(said, &exact);
        let after = all[index + 1..].iter().filter(|s| cut(s));
        let others = after.copied().take(OTHERS).collect();
        Some(Chosen { exact, drilled, others, found })
    }

    /// With every size given: the side on which it pulls, and how much a spool or
    /// ram draws in.
    fn drawn(
        &mut self,
        puller: &Puller,
        said: &CordDrive,
        sizes: &dyn Fn(Assembly) -> CordSizes,
        asked: Option<&Motion<'_>>,
    ) -> Option<CordSizes> {
        let with_pull = |side: Assembly| -> Option<CordSizes> {
            let s = sizes(side);
            let By::Wound { most, .. } = puller.by else { return Some(s) };
            if let Some(most) = most {
                return Some(CordSizes { drawn: most, ..s });
            }
            // A spool stops where the gesture ends: at the shorter cord.
            let (run, asked) = (puller.last_run(&s)?, asked?);
            let ends = [asked.from, asked.to].map(|a| run.cord(Dir::degrees(Deg(a))));
            let shorter = ends.into_iter().flatten().fold(f64::INFINITY, |m, l| m.min(l.0));
            let led = puller.taken(&puller.cord(&s)?, Mm(0.0), None).0;
            let drawn = s.length - led - Mm(shorter);
            (drawn.0 > 0.0 && drawn.0.is_finite()).then_some(CordSizes { drawn, ..s })
        };
        if let (By::Wound { most: None, .. }, None) = (puller.by, asked) {
            self.nothing_asked("how much the spool winds");
            return None;
        }
        if let Some(side) = said.assembly.or_else(|| self.image_side()) {
            return with_pull(side).or_else(|| Some(sizes(side)));
        }
        let wanted = match asked {
            Some(asked) => Some(Deg((asked.from + asked.to) / 2.0)),
            None => upper::axis(self.limb).map(Dir::deg),
        };
        let miss = |side| {
            let limits = built(puller, &with_pull(side)?)?.1.course.travel;
            let limits = *limits.swing()?;
            Some((limits.low + limits.range() / 2.0 - wanted?).signed().abs())
        };
        let side = match (miss(Assembly::Open), miss(Assembly::Crossed)) {
            (Some(open), Some(crossed)) if crossed < open => Assembly::Crossed,
            (None, Some(_)) => Assembly::Crossed,
            _ => Assembly::Open,
        };
        with_pull(side).or_else(|| Some(sizes(side)))
    }

    /// The side of the limb this one mirrors, seen in the mirror.
    pub(super) fn image_side(&self) -> Option<Assembly> {
        let mirrors = self.limb.mirrors.as_ref()?;
        let twin = self.done.get(self.figure.limb(&mirrors.limb)?)?.as_ref()?.mechanism.as_ref()?;
        Some(twin.as_drive()?.exact.mechanism.assembly()?.other())
    }

    /// The spool's diameter, where it is known.
    fn spool(&self, said: &CordDrive, puller: &Puller) -> Option<FittedSize> {
        match (puller.by, said.spool.size) {
            (By::Wound { .. }, Size::Given(v)) => {
                Some(FittedSize::length(SizeName::Spool, Mm(v), said.spool))
            }
            _ => None,
        }
    }

    /// The servo around a cord.
    fn horn(
        &mut self,
        drive: &Drive,
        puller: &Puller,
        (travel, sign): ((Deg, Deg), f64),
        cord: FittedDrive,
        motor: usize,
    ) -> Option<FittedServo> {
        let limits = *cord.made().course.travel.swing()?;
        let zero = puller.horn_at_zero(sign)?.angle().0;
        let own = |at: f64| crate::units::Rad((at - zero) * sign).deg();
        let actuator = &self.figure.actuators[motor];
        let fastest =
            actuator.motor.slew.map(|(time, angle)| Rpm(angle / Deg(360.0) / (time.0 / 60.0)));
        let ends = (limits.low, limits.low + limits.range());
        let turn = self.turn_of_the_gestures(ends);
        let inside = |a: Deg| a.max(travel.0).min(travel.1);
        let mut servo = FittedServo {
            linkage: None,
            solved: cord.solved().collect(),
            low: ends.0 + turn,
            high: ends.1 + turn,
            shaft_at_low: inside(own(limits.at_low)),
            shaft_at_high: inside(own(limits.at_high)),
            ends: [super::ServoEnd::Travel; 2],
            arm_at_zero: Some(crate::units::Rad(zero).deg()),
            travel,
            turns: actuator.turns,
            min_transmission: Some(cord.made().course.worst_push),
            fastest,
            zero: None,
            answer: None,
            cord: Some(Box::new(cord)),
            figures: Vec::new(),
        };
        let drawn = self.drawn_angle().unwrap_or(ends.0);
        let shaft = Shaft { zero: drawn, drawn, travel, turns: actuator.turns };
        self.check_travel(drive, motor, &shaft, &servo);
        self.check_trim(drive, motor, &shaft, &mut servo);
        Some(servo)
    }
}

/// What only a cord has: how much is drawn in, and the least moment arm.
fn figures(puller: &Puller, cord: &Cord, built: &Built) -> Vec<Figure> {
    let length = |name, words, v| Figure { name, words, value: Measure::Length(v) };
    let push = libm::sin(built.course.worst_push.rad().0);
    let mut figures = vec![length("least_arm", "pulls on an arm of at least", cord.lever() * push)];
    let span = built.way.span();
    if let By::Wound { .. } = puller.by {
        figures.push(length("drawn_in", "draws in", Mm(span.to - span.from)));
    }
    figures
}

/// The other answers, as they are marked out; only those that pull well all along.
fn others(
    said: &CordDrive,
    of: (&Puller, Option<&Motion<'_>>),
    choices: &[CordSizes],
    sizes: &[FittedSize],
) -> Vec<Other> {
    let row = |exact: &CordSizes| {
        let made = marked(said, exact);
        let size = |s: &FittedSize| match s.name {
            SizeName::Crank => made.radius.0,
            SizeName::Cord => made.length.0,
            SizeName::Lever => made.lever.0,
            SizeName::Clamp => made.clamp.0,
            _ => s.drilled,
        };
        let sizes = sizes.iter().map(size).collect();
        other(said, of, exact).filter(|o| o.push >= PUSH_FLOOR).map(|o| Other { sizes, ..o })
    };
    choices.iter().filter_map(row).collect()
}

/// What an answer does as it is marked out; its sizes are left to whoever lists them.
fn other(
    said: &CordDrive,
    (puller, asked): (&Puller, Option<&Motion<'_>>),
    exact: &CordSizes,
) -> Option<Other> {
    let made = marked(said, exact);
    let built = built(puller, &made)?;
    let spool = match (puller.by, said.spool.size) {
        (By::Wound { .. }, Size::Given(v)) => Some(Mm(v)),
        _ => None,
    };
    let speed = borne(&built.1.way, &built.1.course, spool);
    let way = used(puller, &built, asked).0;
    let recipe = Some(cord_recipe::recipe(puller, &made, said.spool.size, &way));
    Some(Other { recipe, ..Other::moving(Vec::new(), &built.1.course, speed) })
}

/// Sizes as a maker marks them out.
pub(super) fn marked(said: &CordDrive, exact: &CordSizes) -> CordSizes {
    let length = |s: &Sized, v: Mm| s.size.marked_length(v, s.system);
    CordSizes {
        radius: length(&said.crank, exact.radius),
        lever: length(&said.lever, exact.lever),
        clamp: said.clamp.size.marked_angle(exact.clamp),
        length: length(&said.length, exact.length),
        ..*exact
    }
}

impl Bench<'_> {
    /// The cord on a crank or horn as built, where something was measured on it: that is
    /// checked and told from then on. A horn goes as far as the built cord lets it.
    fn cord_as_built(
        &mut self,
        recipe: &Recipe,
        puller: &Puller,
        drawn: &Chosen,
        sizes: &[FittedSize],
    ) -> Option<(CordSizes, (Cord, Built))> {
        if let By::Wound { .. } = puller.by {
            return None;
        }
        let found = self.explained(recipe, sizes)?;
        let (sizes, puller) = cord_recipe::of_values(&found.values, puller, &drawn.drilled)?;
        let made = built(&puller, &sizes)?;
        self.as_built = Some(found);
        Some((sizes, made))
    }

    /// The cord on its way, or what is in the way.
    fn pulled(
        &mut self,
        place: Place,
        puller: &Puller,
        sizes: &CordSizes,
    ) -> Option<(Cord, Built)> {
        if let Some((cord, built)) = built(puller, sizes) {
            let dead = built.course.travel.swing().is_none_or(|l| l.least_push < 1e-6);
            if !dead {
                return Some((cord, built));
            }
        }
        self.lies_dead(place, puller, sizes);
        None
    }
}

/// Those choices for which enough cord is drawn in.
pub(super) fn drawing_enough(
    crank: &Sized,
    puller: &Puller,
    choices: &[CordChoice],
) -> Vec<CordSizes> {
    let short = |s: &CordSizes| match puller.by {
        By::Wound { most: Some(most), .. } => s.drawn > most + Mm(1e-6),
        _ => false,
    };
    choices.iter().filter_map(|c| puller.completed(c, crank)).filter(|s| !short(s)).collect()
}
