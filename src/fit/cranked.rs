//! What the kinds with a crank and no lever bars have in common: the crank goes
//! round, the push is good, the limb moves as asked, and why nothing fits.

use super::asked::{Counted, Motion, range_words};
use super::builds::{self, Dimension, Recipe};
use super::drive::{Built, FittedDrive, FittedSize, Other};
use super::no_fit::works;
use super::slider_crank::DRAWN;
use super::{AsBuilt, Bench, Fitted, bar_holes, codes};
use crate::finding::{Code, Place, Severity, Step};
use crate::mechanism::solve::{Obstacle, Pick, Ranked, Remedy, Unfit};
use crate::mechanism::{Course, Cycle, Degenerate, Mechanism, Shaft, Size, Travel, Way};
use crate::model::{Drive, Joint, Limb, Sized};
use crate::units::print::{decimal, length};
use crate::units::{Deg, Mm, System, print};

/// A crank's mechanism with its sizes found: exact, as drilled, and the next best.
pub(super) struct Chosen<M> {
    pub exact: M,
    pub drilled: M,
    pub others: Vec<M>,
    pub fit: Option<f64>,
}

impl<M: Copy> Chosen<M> {
    /// All sizes given: as they are.
    pub fn given(mechanism: M) -> Self {
        Self { exact: mechanism, drilled: mechanism, others: Vec::new(), fit: None }
    }

    /// Found, with the sizes a maker marks out; the next best with theirs.
    pub fn found(ranked: Ranked<M>, drilled: impl Fn(&M) -> Option<M>) -> Self {
        let exact = ranked.best.mechanism;
        let others = ranked.others.iter().filter_map(|p| drilled(&p.mechanism)).collect();
        let drilled = drilled(&exact).unwrap_or(exact);
        Self { exact, drilled, others, fit: Some(ranked.best.fit.0) }
    }
}

/// From the shaft, on the stretch its crank can be in.
pub(super) fn built<M: Mechanism + Copy + 'static>(
    mechanism: M,
    shaft: Shaft,
    cycle: &Cycle,
) -> Built {
    let course: Course = cycle.course;
    Built::known(mechanism, Way::Shaft(Shaft { span: course.span, ..shaft }), course)
}

/// The other answers as they are drilled.
pub(super) fn others<M>(
    limb: &Limb,
    others: &[M],
    sizes: impl Fn(&M) -> Vec<f64>,
    made: impl Fn(&M) -> (Recipe, Cycle),
) -> Vec<Other> {
    let row = |m: &M| {
        let (recipe, cycle) = made(m);
        Other::of(limb, sizes(m), &recipe, &cycle.course)
    };
    others.iter().map(row).collect()
}

/// How weak a push is said to be.
pub(super) struct PushRule {
    /// The finding.
    pub code: &'static Code,
    /// From here on it is fine.
    pub fine: Deg,
    /// Below this it is a warning, above it advice.
    pub weak: Deg,
    /// Below this it is an error.
    pub floor: Deg,
}

impl PushRule {
    /// How bad a worst push is; `None` where it is fine.
    pub fn severity(&self, worst: Deg) -> Option<Severity> {
        // An angle that is a limit but for rounding keeps to it.
        let below = |limit: Deg| worst.0 < limit.0 - 1e-9;
        let bad = [(self.floor, Severity::Error), (self.weak, Severity::Warning)];
        let worst = bad.into_iter().find(|(limit, _)| below(*limit)).map(|(_, much)| much);
        below(self.fine).then_some(worst.unwrap_or(Severity::Advice))
    }
}

impl Bench<'_> {
    /// The fitted mechanism, faulty where an error was found since `before`.
    pub(super) fn fitted(
        &mut self,
        drive: &Drive,
        before: usize,
        (exact, drilled): (Built, Built),
        (sizes, recipe): (Vec<FittedSize>, Recipe),
        (others, fit): (Vec<Other>, Option<f64>),
    ) -> Option<Fitted> {
        // The share that `check` tells of the chosen one.
        let share = || match self.as_built {
            None => builds::share_over(self.limb, &recipe, &drilled.course.travel),
            Some(_) => builds::share(self.limb, &recipe),
        };
        let fit = fit.and_then(|_| share()).or(fit);
        Some(Fitted::Drive(Box::new(FittedDrive {
            exact,
            drilled,
            sizes: self.sizes_as_built(&recipe, sizes),
            figures: Vec::new(),
            others,
            fit,
            recipe: Some(self.recipe_as_built(recipe)),
            pin: super::pin(drive),
            faulty: self.errors() > before,
        })))
    }

    /// The same as it hangs there, where something was measured on it: from then on that
    /// is checked and told.
    pub(super) fn as_it_hangs<M: Copy>(
        &mut self,
        chosen: Chosen<M>,
        (recipe, sizes): (&Recipe, &[FittedSize]),
        made: impl Fn(&[f64]) -> Option<M>,
    ) -> Chosen<M> {
        let built = self.explained(recipe, sizes);
        let Some((built, hangs)) = built.and_then(|b| Some((made(&b.values)?, b))) else {
            return chosen;
        };
        self.as_built = Some(hangs);
        Chosen { exact: built, drilled: built, ..chosen }
    }

    /// The mechanism as built, where something was measured on it.
    pub(super) fn built_drive(
        &mut self,
        recipe: &Recipe,
        sizes: &[FittedSize],
    ) -> Option<(Built, Built)> {
        let built = self.explained(recipe, sizes)?;
        let (mechanism, way) = recipe.made(&built.values)?;
        let course = Course::of(&*mechanism, &way).ok()?;
        self.as_built = Some(built);
        let built = Built { mechanism, way, course };
        Some((built.clone(), built))
    }

    /// What explains the measurements, if anything was measured; what was left open is
    /// what is looked for.
    pub(super) fn explained(&mut self, recipe: &Recipe, sizes: &[FittedSize]) -> Option<AsBuilt> {
        let asked = |d: &&Dimension| sizes.iter().any(|s| s.solved() && s.name.is(d));
        let open = recipe.dimensions.iter().filter(asked).map(|d| d.name);
        self.as_built(recipe, &open.collect::<Vec<_>>())
    }

    /// Its sizes as they hang there, where something was measured: those are told, listed
    /// and moved through the room, not those of the drawing.
    pub(super) fn sizes_as_built(
        &self,
        recipe: &Recipe,
        mut sizes: Vec<FittedSize>,
    ) -> Vec<FittedSize> {
        let values = self.as_built.iter().flat_map(|b| &b.values);
        for (dimension, &value) in recipe.dimensions.iter().zip(values) {
            for size in sizes.iter_mut().filter(|s| s.name.is(dimension)) {
                (size.exact, size.drilled) = (value, value);
            }
        }
        sizes
    }

    /// The recipe of the limb as built, so that all that is made of it starts there.
    pub(super) fn recipe_as_built(&self, recipe: Recipe) -> Recipe {
        match &self.as_built {
            Some(built) => recipe.with(&built.values),
            None => recipe,
        }
    }

    /// Reports a crank that does not go right round; `help` says what would.
    pub(super) fn crank_blocked(&mut self, place: Place, cycle: &Cycle, help: Option<String>) {
        let at: Vec<String> =
            cycle.blocked_at.iter().flatten().map(|a| format!("{} deg", decimal(a.0, 0))).collect();
        let message = format!(
            "the crank of {} cannot go right round: it is stopped with the crank at {}.",
            self.name(),
            at.join(" and at ")
        );
        self.report(&codes::CRANK_BLOCKED, place, message).help = help;
        for at in cycle.blocked_at.iter().flatten() {
            self.works([Step::given("it is stopped with the crank at", {
                format!("{} deg", decimal(at.0, 1))
            })]);
        }
    }

    /// Reports a push that is weak somewhere in the turn; `help` says what is better.
    pub(super) fn push_is_weak(
        &mut self,
        rule: &PushRule,
        place: Place,
        course: &Course,
        help: Option<String>,
    ) {
        let worst = course.worst_push;
        let Some(severity) = rule.severity(worst) else { return };
        let (at, sideways) = match &course.travel {
            Travel::Swing(l) => (l.least_push_at, false),
            Travel::Stroke(l) => (l.least_push_at, true),
        };
        let at = decimal(crate::units::Rad(at).deg().positive().0, 0);
        let message = if sideways {
            format!(
                "with the crank at {at} deg {} is pushed {} deg to the side of its guide; {} or less is wanted.",
                self.name(),
                decimal(90.0 - worst.0, 1),
                decimal(90.0 - rule.fine.0, 0)
            )
        } else {
            format!(
                "with the crank at {at} deg {} is pushed at {} deg; {} or more is wanted.",
                self.name(),
                decimal(worst.0, 1),
                decimal(rule.fine.0, 0)
            )
        };
        let found = self.report(rule.code, place, message);
        found.severity = severity;
        found.help = help;
        let deg = |v: f64| format!("{} deg", decimal(v, 2));
        self.works([
            Step::given("worst with the crank at", format!("{at} deg")),
            Step::given("push there, 90 is square", deg(worst.0)),
        ]);
        self.works(match sideways {
            true => vec![
                Step::new("to the side", format!("90 - {}", decimal(worst.0, 2)), {
                    deg(90.0 - worst.0)
                }),
                Step::given("wanted at most", deg(90.0 - rule.fine.0)),
            ],
            false => vec![Step::given("wanted", deg(rule.fine.0))],
        });
    }

    /// Reports a motion that is not the one asked for; `help` says what would do it.
    pub(super) fn motion_missed(
        &mut self,
        place: Place,
        asked: &Motion<'_>,
        travel: &Travel,
        help: Option<String>,
    ) {
        if asked.met(travel) {
            return;
        }
        let system = self.figure.system;
        let (low, high) = asked.told(travel);
        let told = range_words((low, high), asked.counted, system);
        let off = match self.limb.joint {
            Joint::Slide { from, to } => {
                let over = (-low).max(high - from.distance(to).0);
                Some(Mm(over)).filter(|o| *o >= DRAWN)
            }
            Joint::Pivot { .. } => None,
        };
        let message = format!(
            "{} {} {}, and `{}` asks for {} (within {}).",
            self.name(),
            asked.moves(),
            told,
            asked.gesture.name.value,
            asked.words(self.figure.system),
            asked.counted.number(asked.within, self.figure.system)
        );
        // A limb that is dragged right round sweeps nowhere.
        let round = asked.counted == Counted::Degrees && high - low >= 359.0;
        let found = self.report(missed(asked.counted), asked.gesture.place, message);
        found.help = help.or_else(|| {
            Some(match off {
                // What leaves the guide cannot be asked for.
                Some(off) => format!(
                    "no single size makes it move so, and as it is it leaves its guide by {}: move the motor \
                     along the guide, or make the guide longer.",
                    length(off, system)
                ),
                None if ((high - low).abs() >= LEAST) && !round => {
                    format!("no single size makes it move so: ask for {told}, as it does.")
                }
                None => "no single size makes it move so: leave its sizes open with `?`.".to_owned(),
            })
        });
        found.related.push(("this drive".to_owned(), place));
        let system = self.figure.system;
        let unit = asked.counted.unit(system);
        let within = asked.counted.number(asked.within, system);
        self.works([
            Step::given("its ends", told),
            Step::given("ends asked for", asked.words(system)),
            Step::given("may be off by", format!("{within} {unit}")),
        ]);
    }

    /// Reports that nothing fits: what is in the way, and the nearest that works; `opened`
    /// is what does it with every size open, where no single change does.
    pub(super) fn unfit<M>(
        &mut self,
        drive: &Drive,
        said: &[Sized],
        asked: &Motion<'_>,
        (unfit, again): (&Unfit<M>, &dyn Fn(Remedy) -> Option<Pick<M>>),
        opened: Option<String>,
    ) {
        // Crank and rod, or crank and clamp: the crank leads, a rod is the other length.
        let there = |change: &Remedy| match *change {
            Remedy::Crank(at) => said.first().is_none_or(|s| bar_holes::has(s, at)),
            Remedy::Rod(at) => said.get(1).is_none_or(|s| bar_holes::has(s, at)),
            _ => true,
        };
        let (limb, system) = (self.limb, self.figure.system);
        let place = said.iter().find_map(|s| s.ask).unwrap_or(drive.place);
        let verb = match asked.counted {
            Counted::Degrees => "swings",
            Counted::Millimetres => "slides",
        };
        let message = format!(
            "nothing within the ranges {verb} {} from {}: {}.",
            self.name(),
            asked.words(self.figure.system),
            obstacle(&unfit.why, asked.counted, system)
        );
        // As it is told it must work too.
        let changes = unfit.nearest.iter().map(|(change, _)| marked(*change, system));
        let changes = changes
            .filter(|change| there(change) && can_be_asked(limb, change, asked.counted))
            .filter_map(|change| Some((change, again(change)?)))
            .map(|(change, pick)| remedy(&change, &pick, asked.counted, system));
        let found = self.report(&codes::NOTHING_FITS, place, message);
        found.help = works(changes).or(opened).or_else(|| match unfit.why {
            Obstacle::Nonsense(why) => Some(instead(why).to_owned()),
            Obstacle::CannotTurn => Some(
                "take a shorter crank, or move the motor farther from where the limb turns."
                    .to_owned(),
            ),
            Obstacle::Elsewhere { by } if asked.counted == Counted::Millimetres => {
                Some(format!("move the motor {} along the guide.", length(Mm(by.abs()), system)))
            }
            _ => None,
        });
        found.related.push(("the motion asked for".to_owned(), asked.gesture.place));
        let told = Step::given("asked", asked.words(system));
        let within = match asked.counted {
            Counted::Degrees => format!("{} deg", decimal(asked.within, 2)),
            Counted::Millimetres => print::fine(Mm(asked.within), system),
        };
        let why = obstacle(&unfit.why, asked.counted, system);
        self.works([told, Step::given("may be off by", within), Step::given("in the way", why)]);
    }

    /// Reports sizes that make no mechanism at all.
    pub(super) fn no_mechanism(&mut self, place: Place, why: Degenerate) {
        let strut = matches!(
            self.limb.drive.as_ref().map(|d| &d.mechanism),
            Some(crate::model::DriveKind::Strut(_))
        );
        let what = match why {
            Degenerate::CentresMeet if strut => "anchor and pivot stand on one another",
            other => degenerate(other),
        };
        let message = format!("{}: {what}.", self.name());
        self.report(&codes::PARTS_DO_NOT_REACH, place, message).help =
            Some(instead(why).to_owned());
    }
}

/// Whether a motion that is named instead can be written: it has an extent, and what
/// slides stays on its guide.
fn can_be_asked(limb: &Limb, change: &Remedy, counted: Counted) -> bool {
    let Remedy::Ends { from, to } = *change else { return true };
    let guide = match limb.joint {
        Joint::Slide { from, to } if counted == Counted::Millimetres => from.distance(to).0,
        _ => f64::INFINITY,
    };
    let on_it = guide.is_infinite() || (from >= -OFF_GUIDE && to <= guide + OFF_GUIDE);
    to - from >= LEAST && on_it
}

/// A motion of less, deg or mm, is none (as that of a sweep from an end to itself).
const LEAST: f64 = 1.0;
/// So far off its guide a limb may be told to slide, mm: less than anyone draws.
const OFF_GUIDE: f64 = 0.5;

/// What helps against sizes that make no mechanism.
pub(super) const fn instead(why: Degenerate) -> &'static str {
    match why {
        Degenerate::Length => "take lengths a saw can cut: a millimetre or more.",
        Degenerate::CentresMeet => "move one of them away, farther than its lever is long.",
        Degenerate::NotFinite => "look for a figure too many in a place or an angle.",
        Degenerate::PinThroughPivot => {
            "take a shorter crank, or move the motor farther from the pivot."
        }
        Degenerate::OutOfReach => {
            "take a longer crank or rod, or move the motor nearer to where the limb moves."
        }
        Degenerate::SlotAlongSlide => "let the slot stand across the guide: `tilt 0 deg`.",
    }
}

/// The finding for a motion of the other kind than asked.
const fn missed(counted: Counted) -> &'static Code {
    match counted {
        Counted::Degrees => &codes::SWEEP_MISSED,
        Counted::Millimetres => &codes::STROKE_MISSED,
    }
}

/// Why sizes make no mechanism.
pub(super) const fn degenerate(why: Degenerate) -> &'static str {
    match why {
        Degenerate::Length => "a length is too small or too large to build",
        Degenerate::CentresMeet => "motor and pivot stand on one another",
        Degenerate::NotFinite => "an angle or a place is too large to compute with",
        Degenerate::PinThroughPivot => "the crank pin would run through the limb's bolt",
        Degenerate::OutOfReach => "the crank never comes near enough to move it",
        Degenerate::SlotAlongSlide => "the slot lies along the guide, so its pin pushes nothing",
    }
}

fn obstacle(why: &Obstacle, counted: Counted, system: System) -> String {
    let n = |v: f64| format!("{} {}", counted.number(v, system), counted.unit(system));
    match *why {
        Obstacle::Nonsense(why) => degenerate(why).to_owned(),
        Obstacle::CannotTurn => "with no size within them does the crank go right round".to_owned(),
        Obstacle::TooFar { least } => format!("each moves it further, {} at the least", n(least)),
        Obstacle::TooLittle { most } => format!("none moves it so far, {} at the most", n(most)),
        Obstacle::BetweenSizes { below, above } => {
            format!("each moves it too little (up to {}) or too far (from {})", n(below), n(above))
        }
        Obstacle::Elsewhere { by } => {
            format!("it moves as far as asked, but {} away from there", n(by))
        }
        Obstacle::WeakPush { best } => {
            format!("it moves as asked, but is pushed at {} deg at worst", decimal(best.0, 1))
        }
    }
}

/// A change to what it is told as: to half a millimetre or 1/32 in, whole degrees, a place
/// to a millimetre or 1/16 in, ends to a tenth.
fn marked(change: Remedy, system: System) -> Remedy {
    let length = |l: Mm| Size::Free.marked_length(l, system);
    let tenth = |v: f64| libm::round(v * 10.0) / 10.0;
    match change {
        Remedy::Ends { from, to } => Remedy::Ends { from: tenth(from), to: tenth(to) },
        Remedy::Crank(hole) => Remedy::Crank(length(hole)),
        Remedy::Rod(rod) => Remedy::Rod(length(rod)),
        Remedy::Clamp(angle) => Remedy::Clamp(Size::Free.marked_angle(angle)),
        Remedy::Motor(at) => Remedy::Motor(super::place_search::marked(at, system)),
    }
}

fn remedy<M>(change: &Remedy, pick: &Pick<M>, counted: Counted, system: System) -> String {
    let what = match *change {
        Remedy::Ends { from, to } => {
            format!("ask for {}", range_words((from, to), counted, system))
        }
        Remedy::Crank(hole) => format!("a crank hole at {}", length(hole, system)),
        Remedy::Rod(rod) => format!("a rod of {}", length(rod, system)),
        Remedy::Clamp(angle) => format!("the slot at {} deg", decimal(angle.0, 0)),
        Remedy::Motor(at) => {
            format!("the motor at {}", print::place((at.x, at.y), 0, system))
        }
    };
    format!("{what} (push {} deg at worst)", decimal(pick.cycle.course.worst_push.0, 0))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A yoke tilted by 45 deg pushes at 44.99999999999999 by its closed form.
    #[test]
    fn a_limit_but_for_rounding_is_kept() {
        let rule = super::super::slider_crank::SIDEWAYS;
        let at = |push: f64| rule.severity(Deg(push));
        assert_eq!(at(60.0 - 1e-12), None);
        assert_eq!(at(45.0 - 1e-12), Some(Severity::Warning));
        assert_eq!(at(44.999), Some(Severity::Error));
    }
}
