//! A limb moved by another limb through a second rod: open sizes found, both loops
//! checked.
//!
//! The limb either rides on the one above, and the rod's far end is pinned to the
//! board; or it turns on the board, and the rod's far end rides on the limb above.

use std::sync::Arc;

use super::asked::Motion;
use super::builds::{self, Dimension, Recipe};
use super::checks::BUILD_ERROR;
use super::cranked::PushRule;
use super::drive::{Built, Figure, FittedDrive, FittedSize, Measure, Other, SizeName};
use super::seen::Seen;
use super::upper::{self, Chain, Upper};
use super::{Bench, Fitted, bar_holes, codes, forearm_words as words};
use crate::finding::Place;
use crate::geometry::{Body, Dir};
use crate::mechanism::solve::{self, ForearmChoice, ForearmWish, solve_forearm};
use crate::mechanism::{
    Above, Assembly, Closing, Course, Forearm, ForearmAnalysis, Limits, Mechanism, Path, Rod, Role,
    Size, Travel, Way,
};
use crate::model::{Action, Drive, ForearmDrive, Joint, Note, Sized};
use crate::units::print::{decimal, length};
use crate::units::{Deg, Mm};

/// Push of a rod on a lever, as for every four-bar (textbook custom; the floor
/// common practice, no source).
const PUSH: PushRule = PushRule {
    code: &codes::WEAK_PUSH,
    fine: Deg(45.0),
    weak: Deg(40.0),
    floor: solve::PUSH_FLOOR,
};

/// Where a forearm is fixed.
struct Fixed {
    upper: Upper,
    /// The rod's near pin in its body, and the pivot in its.
    pin: [f64; 2],
    pivot: [f64; 2],
}

impl Fixed {
    fn rod(&self, (length, lever, clamp): (Mm, Mm, Deg), assembly: Assembly) -> Rod {
        let clamp = Dir::degrees(clamp);
        Rod { pin: self.pin, pivot: self.pivot, length, lever, clamp, assembly }
    }

    fn analyse(&self, chain: &Chain, rod: Rod) -> Option<ForearmAnalysis> {
        (Forearm { above: chain.above(), rod }).analyse().ok()
    }
}

/// Looks over the whole way to tell two assemblies apart: those lie on either side of
/// a line, not a degree from each other.
const LOOKS: u32 = 24;

impl Fixed {
    /// About where the middle of its swing, or of its bend, lies; `None` where it does
    /// not go all along.
    fn middle(&self, rod: Rod, bends: bool) -> Option<Deg> {
        let above = self.upper.exact.above();
        let span = above.span();
        let (mut first, mut low, mut high) = (None, Deg(0.0), Deg(0.0));
        for i in 0..=LOOKS {
            let at = span.from + (span.to - span.from) * f64::from(i) / f64::from(LOOKS);
            let input = above.at(at).ok()?;
            let axis = rod.position(&input).ok()?.limb.axis();
            let axis = if bends { axis.from(input.host.axis()) } else { axis };
            // Near its middle so far, it is in the same turn.
            let from = *first.get_or_insert(axis);
            let so_far = (low + high) / 2.0;
            let off = so_far + (axis.from(from).deg() - so_far).signed();
            (low, high) = (low.min(off), high.max(off));
        }
        Some(first?.deg() + (low + high) / 2.0)
    }
}

/// The sizes: exact, as marked out, and the next best.
struct Sizes {
    exact: (Mm, Mm, Deg),
    drilled: (Mm, Mm, Deg),
    assembly: Assembly,
    others: Vec<ForearmChoice>,
    /// Whether they were found here.
    found: bool,
    /// What the exact sizes do, where it came with them.
    analysis: Option<ForearmAnalysis>,
}

impl<'a> Bench<'a> {
    pub(super) fn forearm(
        &mut self,
        drive: &Drive,
        said: &ForearmDrive,
        above: usize,
    ) -> Option<Fitted> {
        self.refuse_gestures(
            "a rod from another limb",
            |a| matches!(a, Action::Sweep { .. } | Action::On | Action::Off),
            "`sweep A to B  cycle T`, or `bend A to B  cycle T` on a limb that rides on another",
        );
        let before = self.errors();
        let upper = self.upper(above)?;
        let fixed = self.fixed(said, upper)?;
        if self.rod_moves_nothing(drive, said, above) {
            return None;
        }
        let asked = self.motion_asked();
        let sizes = self.forearm_sizes(drive, said, &fixed, asked.as_ref())?;
        let rod = fixed.rod(sizes.exact, sizes.assembly);
        let known = sizes.analysis;
        let Some(analysis) = known.or_else(|| fixed.analyse(&fixed.upper.exact, rod)) else {
            self.not_checked
                .push(Note::new("mechanism (the limb above does not go all round)", ""));
            return None;
        };
        self.check_forearm(drive, said, &fixed, (&sizes, &analysis), asked.as_ref());
        let exact = built(&fixed.upper.exact, rod, &analysis)?;
        let rounded = fixed.rod(sizes.drilled, sizes.assembly);
        let drilled = if rounded == rod && fixed.upper.alike {
            exact.clone()
        } else {
            let analysis = fixed.analyse(&fixed.upper.drilled, rounded);
            let own = analysis.and_then(|a| built(&fixed.upper.drilled, rounded, &a));
            own.unwrap_or_else(|| exact.clone())
        };
        let mut others =
            others(&fixed, &sizes.others, asked.as_ref().filter(|_| said.clamp.is_open()));
        let (length, lever, clamp) = sizes.exact;
        let mut sizes = vec![
            FittedSize::length(SizeName::Rod, length, said.rod),
            FittedSize::length(SizeName::Lever, lever, said.lever),
            FittedSize::angle(SizeName::Clamp, clamp, said.clamp),
        ];
        let anchored = self.anchor_found(said);
        if let Some((_, size)) = &anchored {
            others.iter_mut().for_each(|o| o.sizes.push(size.exact));
            sizes.push(*size);
        }
        let anchored = anchored.map(|(place, _)| place);
        let (analysis, exact, drilled) = match self.built_forearm(&fixed, rounded, &sizes) {
            Some((analysis, built)) => (analysis, built.clone(), built),
            None => (analysis, exact, drilled),
        };
        let recipe = recipe(&fixed.upper, rounded).map(|r| self.recipe_as_built(r));
        Some(Fitted::Drive(Box::new(FittedDrive {
            figures: figures(&analysis).into_iter().chain(anchored.into_iter().flatten()).collect(),
            others,
            exact,
            drilled,
            sizes,
            fit: None,
            recipe,
            pin: fixed.upper.pin,
            faulty: fixed.upper.faulty || self.errors() > before,
        })))
    }

    /// The rod as built, where something was measured on the limb. What stands above it
    /// is what that was found to be by its own measurements.
    fn built_forearm(
        &mut self,
        fixed: &Fixed,
        drawn: Rod,
        sizes: &[FittedSize],
    ) -> Option<(ForearmAnalysis, Built)> {
        let above = fixed.upper.recipe.clone().unwrap_or_else(|| fixed.upper.drilled.as_it_is());
        let recipe = of_rod(above, drawn, fixed.upper.drilled.role());
        let found = self.explained(&recipe, sizes)?;
        let own = found.values.len().checked_sub(OWN)?;
        let &[length, lever, clamp, ..] = &found.values[own..] else { return None };
        let rod = fixed.rod((Mm(length), Mm(lever), Deg(clamp)), drawn.assembly);
        let analysis = fixed.analyse(&fixed.upper.drilled, rod)?;
        let built = built(&fixed.upper.drilled, rod, &analysis)?;
        self.as_built = Some(found);
        Some((analysis, built))
    }

    /// The anchor as a place and as a size from the pivot on the drawing, where it was
    /// open and found.
    fn anchor_found(&self, said: &ForearmDrive) -> Option<([Figure; 2], FittedSize)> {
        let (open, at) = (said.anchor_open?, said.anchor?);
        let size = Sized {
            size: Size::Free,
            place: None,
            // What is written of it on the limb itself is not its image's.
            ask: self.limb.mirrors.is_none().then_some(open.place),
            system: self.figure.system,
            row: None,
            cuts: None,
        };
        let far = super::motor_place::home(self.limb)?.distance(at);
        let size = FittedSize::length(SizeName::Ground, far, size);
        Some((super::strut_figures::anchor_at(at), FittedSize { drilled: far.0, ..size }))
    }

    /// Where rod and pivot are fixed, from the drawing.
    fn fixed(&mut self, said: &ForearmDrive, upper: Upper) -> Option<Fixed> {
        let pivot = match &self.limb.joint {
            Joint::Pivot { at, .. } => *at,
            Joint::Slide { .. } => return None,
        };
        let (Some(anchor), Some(pivot)) = (said.anchor, pivot) else {
            let (what, clause) = match pivot {
                None => ("pivot's place", "pivot (x, y) mm"),
                Some(_) => ("anchor of its rod", "anchor (x, y) mm"),
            };
            self.not_checked
                .push(Note::new(format!("mechanism (the {what} is not known)"), clause));
            return None;
        };
        let board = Body::still(0.0, 0.0, Dir::EAST);
        let (driver, host) = match self.limb.carrier {
            Some(_) => (board, upper.drawn),
            None => (upper.drawn, board),
        };
        let (pin, pivot) = (upper::inside(&driver, anchor), upper::inside(&host, pivot));
        Some(Fixed { upper, pin, pivot })
    }

    /// Reports a rod whose end stands on the pivot of the limb above: that place never
    /// moves against the limb, whatever the limb does.
    fn rod_moves_nothing(&mut self, drive: &Drive, said: &ForearmDrive, above: usize) -> bool {
        let limb = &self.figure.limbs[above];
        let Joint::Pivot { at: Some(pivot), .. } = limb.joint else { return false };
        let on_it = said.anchor.is_some_and(|a| a.distance(pivot) < Mm(0.1));
        if on_it {
            let above = limb.said();
            let does = match self.limb.carrier {
                Some(_) => "the rod only holds it stiff",
                None => "the rod never pushes",
            };
            let message = format!(
                "the rod of {} is pinned where {above} has its pivot: turning about that place, {does}.",
                self.name()
            );
            let help =
                format!("put the anchor beside the pivot of {above}; 30 mm away is a start.");
            let place = said.anchor_place.unwrap_or(drive.place);
            self.report(&codes::PARTS_DO_NOT_REACH, place, message).help = Some(help);
        }
        on_it
    }

    fn forearm_sizes(
        &mut self,
        drive: &Drive,
        said: &ForearmDrive,
        fixed: &Fixed,
        asked: Option<&Motion<'a>>,
    ) -> Option<Sizes> {
        let given = [said.rod, said.lever, said.clamp].map(|s| match s.size {
            Size::Given(v) => Some(v),
            _ => None,
        });
        if let [Some(rod), Some(lever), Some(clamp)] = given {
            let sizes = (Mm(rod), Mm(lever), Deg(clamp));
            let assembly = said.assembly.unwrap_or_else(|| self.likelier_side(fixed, sizes, asked));
            return Some(Sizes {
                exact: sizes,
                drilled: sizes,
                assembly,
                others: Vec::new(),
                found: false,
                analysis: None,
            });
        }
        let Some(asked) = asked else {
            self.nothing_asked("rod, lever, clamp");
            return None;
        };
        if let Some(mirrored) = self.mirrored_forearm(fixed) {
            return Some(mirrored);
        }
        let seen = fixed.upper.exact.seen();
        let wish = wish(said, (fixed, &seen), asked);
        match solve_forearm(&wish) {
            Ok(answer) => {
                let (best, others) = answer.choices.split_first()?;
                let exact = (best.rod.length, best.rod.lever, best.clamp);
                let drilled = (
                    said.rod.size.marked_length(exact.0, said.rod.system),
                    said.lever.size.marked_length(exact.1, said.lever.system),
                    said.clamp.size.marked_angle(exact.2),
                );
                let assembly = best.rod.assembly;
                let (others, analysis) = (others.to_vec(), Some(answer.analysis));
                // Of a bend the solver saw the forearm from the limb above.
                let analysis = analysis.filter(|_| !asked.gesture.relative);
                Some(Sizes { exact, drilled, assembly, others, found: true, analysis })
            }
            Err(no) => {
                let no = bar_holes::of_forearm((&said.rod, &said.lever), &wish, *no);
                let system = self.figure.system;
                let open = [said.rod, said.lever, said.clamp];
                let place = open.iter().find_map(|s| s.ask).unwrap_or(drive.place);
                let message = format!(
                    "nothing within the ranges {} {} from {}: {}.",
                    asked.moves(),
                    self.name(),
                    asked.words(),
                    words::reason(&no, system)
                );
                let help = words::nearest(&no, system);
                let found = self.report(&codes::NOTHING_FITS, place, message);
                found.help = help;
                found.related.push(("the motion asked for".to_owned(), asked.gesture.place));
                None
            }
        }
    }

    /// What was found for the limb this one mirrors, seen in the mirror; `None` where
    /// it does not make the mirrored motion here.
    fn mirrored_forearm(&self, fixed: &Fixed) -> Option<Sizes> {
        let mirrors = self.limb.mirrors.as_ref()?;
        let twin = self.done.get(self.figure.limb(&mirrors.limb)?)?.as_ref()?.mechanism.as_ref()?;
        let Fitted::Drive(twin) = twin else { return None };
        let [rod, lever, clamp, ..] = twin.sizes.as_slice() else { return None };
        let sizes = |of: fn(&FittedSize) -> f64| (Mm(of(rod)), Mm(of(lever)), Deg(-of(clamp)));
        let (exact, assembly) = (sizes(|s| s.exact), twin.exact.mechanism.assembly()?.other());
        let own = fixed.analyse(&fixed.upper.exact, fixed.rod(exact, assembly))?.motion?.limits?;
        let other = twin.exact.course.travel.swing()?;
        let across = |angle: Deg| Deg(180.0) - angle;
        let ends = [(own.low, across(other.high)), (own.high, across(other.low))];
        ends.iter().all(|(a, b)| (*a - *b).signed().abs().0 < 1e-6).then(|| Sizes {
            exact,
            drilled: sizes(|s| s.drilled),
            assembly,
            others: Vec::new(),
            found: true,
            analysis: None,
        })
    }

    /// With every size given and no assembly said: the one whose middle comes nearer
    /// to what is asked, or to the drawn pose where nothing is.
    fn likelier_side(
        &self,
        fixed: &Fixed,
        sizes: (Mm, Mm, Deg),
        asked: Option<&Motion<'_>>,
    ) -> Assembly {
        let wanted = match asked {
            Some(asked) => Some(Deg((asked.from + asked.to) / 2.0)),
            None => upper::axis(self.limb).map(Dir::deg),
        };
        let bends = asked.is_some_and(|a| a.gesture.relative);
        let miss = |assembly| {
            let middle = fixed.middle(fixed.rod(sizes, assembly), bends)?;
            Some((middle - wanted?).signed().abs())
        };
        match (miss(Assembly::Open), miss(Assembly::Crossed)) {
            (Some(open), Some(crossed)) if crossed < open => Assembly::Crossed,
            _ => Assembly::Open,
        }
    }
}

/// One rod against what is asked of it.
impl Bench<'_> {
    fn check_forearm(
        &mut self,
        drive: &Drive,
        said: &ForearmDrive,
        fixed: &Fixed,
        (sizes, analysis): (&Sizes, &ForearmAnalysis),
        asked: Option<&Motion<'_>>,
    ) {
        let place = said.rod.place.unwrap_or(drive.place);
        let Some(motion) = analysis.motion else {
            return self.runs_out(place, fixed, sizes, &analysis.closing);
        };
        let spare = analysis.closing.margin;
        if spare < BUILD_ERROR * 4.0 {
            let message = format!(
                "{} the rod of {} reaches by {} mm only; four holes each 1 mm off can take 4 mm.",
                fixed.upper.exact.when(analysis.closing.margin_at),
                self.name(),
                decimal(spare.0, 1)
            );
            let help = self.rods_that_reach(sizes, &analysis.closing);
            self.report(&codes::ROD_MAY_RUN_OUT, place, message).help = help;
        }
        self.second_push(said.lever.place.unwrap_or(drive.place), fixed, (sizes, &motion), asked);
        let Some(asked) = asked else { return };
        let both = [Some((*asked, true)), self.also_asked(asked).map(|a| (a, false))];
        for (asked, first) in both.into_iter().flatten() {
            let limits = if asked.gesture.relative { motion.bend } else { motion.limits };
            let Some(limits) = limits else {
                self.no_such_motion(&asked);
                continue;
            };
            if sizes.found && first {
                continue;
            }
            let help = self.forearm_that_does(said, fixed, sizes, (&asked, &limits));
            self.motion_missed(drive.place, &asked, &Travel::Swing(limits), help);
        }
    }

    /// A bend of a limb that rides on none, or a swing of one that goes round.
    fn no_such_motion(&mut self, asked: &Motion<'_>) {
        let (message, help) = if asked.gesture.relative && self.limb.carrier.is_none() {
            (
                format!("{} rides on no other limb, so it has no bend.", self.name()),
                "write `sweep A to B`, in angles of the board.",
            )
        } else {
            (
                format!("{} goes right round and does not swing to and fro.", self.name()),
                "a longer lever makes it swing.",
            )
        };
        self.report(&codes::SWEEP_MISSED, asked.gesture.place, message).help =
            Some(help.to_owned());
    }

    fn runs_out(&mut self, place: Place, fixed: &Fixed, sizes: &Sizes, closing: &Closing) {
        let system = self.figure.system;
        let (rod, lever, _) = sizes.exact;
        let folded = (rod - lever).abs();
        let message = if closing.nearest < folded {
            format!(
                "the rod of {} runs out: {} anchor and pivot are {} apart, and rod {} and lever {} cannot come nearer than {}.",
                self.name(),
                fixed.upper.exact.when(closing.nearest_at),
                length(closing.nearest, system),
                length(rod, system),
                length(lever, system),
                length(folded, system)
            )
        } else {
            format!(
                "the rod of {} runs out: {} anchor and pivot are {} apart, and rod {} and lever {} reach {}.",
                self.name(),
                fixed.upper.exact.when(closing.farthest_at),
                length(closing.farthest, system),
                length(rod, system),
                length(lever, system),
                length(rod + lever, system)
            )
        };
        let help = self.rods_that_reach(sizes, closing);
        self.report(&codes::ROD_RUNS_OUT, place, message).help = help;
    }

    /// The rods with which this lever goes all the way, four hole errors in hand; or
    /// the lever that has any.
    fn rods_that_reach(&self, sizes: &Sizes, closing: &Closing) -> Option<String> {
        let system = self.figure.system;
        let (lever, spare) = (sizes.exact.1, BUILD_ERROR * 4.0);
        let least = (closing.farthest - lever).max(lever - closing.nearest) + spare;
        let most = lever + closing.nearest - spare;
        if least <= most {
            return Some(format!(
                "it reaches all the way with a rod between {} and {}.",
                length(least, system),
                length(most, system)
            ));
        }
        let lever = (closing.farthest - closing.nearest) / 2.0 + spare;
        Some(format!(
            "with a lever of {} or more there is a rod that reaches all the way.",
            length(Mm(lever.0.ceil()), system)
        ))
    }

    fn second_push(
        &mut self,
        place: Place,
        fixed: &Fixed,
        (sizes, motion): (&Sizes, &crate::mechanism::ForearmMotion),
        asked: Option<&Motion<'_>>,
    ) {
        let worst = motion.least_push;
        let Some(severity) = PUSH.severity(worst) else { return };
        let message = format!(
            "{} the second rod of {} pushes at {} deg to the lever; 45 or more is wanted.",
            fixed.upper.exact.when(motion.least_push_at),
            self.name(),
            decimal(worst.0, 1)
        );
        let help = match asked {
            Some(_) if sizes.found => Some(
                "this is the best the open sizes allow; widen their ranges or move the anchor."
                    .to_owned(),
            ),
            Some(asked) => self
                .freely(fixed, sizes, asked)
                .filter(|b| b.push.0 > worst.0 + 1.0)
                .map(|best| self.pushes(&best)),
            None => None,
        };
        let found = self.report(PUSH.code, place, message);
        found.severity = severity;
        found.help = help;
    }

    fn pushes(&self, best: &ForearmChoice) -> String {
        format!("{} pushes at {} deg at worst.", self.forearm_words(best), decimal(best.push.0, 0))
    }

    /// "rod 110 mm, lever 40 mm at 180 deg".
    fn forearm_words(&self, choice: &ForearmChoice) -> String {
        let system = self.figure.system;
        format!(
            "rod {}, lever {} at {} deg",
            length(choice.rod.length, system),
            length(choice.rod.lever, system),
            decimal(choice.clamp.0, 0)
        )
    }

    /// What would move it as asked.
    fn forearm_that_does(
        &self,
        said: &ForearmDrive,
        fixed: &Fixed,
        sizes: &Sizes,
        (asked, limits): (&Motion<'_>, &Limits<Deg>),
    ) -> Option<String> {
        let (low, high) = asked.told(&Travel::Swing(*limits));
        if ((high - low) - asked.range()).abs() <= asked.within {
            let turn = Deg((asked.from + asked.to - low - high) / 2.0);
            let clamp = (sizes.exact.2 - turn).signed();
            return (!said.clamp.is_open()).then(|| {
                format!(
                    "it moves as far as asked, but elsewhere: clamp the lever at {} deg.",
                    decimal(clamp.0, 0)
                )
            });
        }
        let best = self.freely(fixed, sizes, asked)?;
        Some(format!("{} does it.", self.forearm_words(&best)))
    }

    /// What the solver finds with rod and clamp open and the lever up to half as long
    /// again or as short.
    fn freely(&self, fixed: &Fixed, sizes: &Sizes, asked: &Motion<'_>) -> Option<ForearmChoice> {
        let step = if self.figure.system == crate::units::System::Inch { 6.35 } else { 5.0 };
        let lever = sizes.exact.1.0;
        let fewer = libm::floor(lever / (2.0 * step)).min(8.0);
        let row = Size::Row { lo: lever - fewer * step, hi: lever + fewer * step, step };
        let open = |size| Sized {
            size,
            place: None,
            ask: None,
            system: self.figure.system,
            row: None,
            cuts: None,
        };
        let said = ForearmDrive {
            anchor_open: None,
            anchor: None,
            anchor_place: None,
            rod: open(Size::Free),
            lever: open(row),
            clamp: open(Size::Free),
            assembly: None,
        };
        let seen = fixed.upper.exact.seen();
        solve_forearm(&wish(&said, (fixed, &seen), asked)).ok()?.choices.into_iter().next()
    }
}

/// The question: in angles of the board, or of the limb above where it asks for a
/// bend; one that rides on no limb asks in angles of the board all the same.
fn wish<'w>(
    said: &ForearmDrive,
    (fixed, seen): (&'w Fixed, &'w Seen<'_>),
    asked: &Motion<'_>,
) -> ForearmWish<'w> {
    let above = fixed.upper.exact.above();
    let bends = asked.gesture.relative && above.role == Role::Host;
    ForearmWish {
        above: if bends { Above { mechanism: seen, role: Role::Driver, ..above } } else { above },
        pins: std::slice::from_ref(&fixed.pin),
        pivot: fixed.pivot,
        rod: said.rod.size,
        lever: said.lever.size,
        clamp: said.clamp.size,
        sweep: asked.sweep(),
        within: Some(Deg(asked.within)),
        assembly: said.assembly,
    }
}

/// The rod on its way, with the analysis' own extremes; `None` where it does not
/// close all along.
fn built(chain: &Chain, rod: Rod, analysis: &ForearmAnalysis) -> Option<Built> {
    let motion = analysis.motion?;
    let way = chain.way();
    let course = match motion.limits {
        Some(limits) => {
            let least_push = libm::sin(motion.least_push.rad().0);
            let limits = Limits { least_push, least_push_at: motion.least_push_at, ..limits };
            Course::known(way.span(), Travel::Swing(limits))
        }
        None => Course::of(&rod, &way).ok()?,
    };
    let course = Course { worst_push: motion.least_push, ..course };
    Some(Built::known(rod, way, course))
}

/// How it is made, where that of the limb above is known.
fn recipe(upper: &Upper, rod: Rod) -> Option<Recipe> {
    upper.recipe.clone().map(|above| of_rod(above, rod, upper.drilled.role()))
}

/// So many dimensions are its own: rod, lever, clamp, and the places of its two ends.
const OWN: usize = 7;

/// How it is made: all of the limb above, then its own rod, lever and two places.
fn of_rod(above: Recipe, rod: Rod, role: Role) -> Recipe {
    let riding = |names: [[&'static str; 2]; 2], at: [f64; 2], rides: bool| {
        let [along, left] = names[usize::from(rides)];
        [Dimension::length(along, Mm(at[0])), Dimension::length(left, Mm(at[1]))]
    };
    let anchor = [
        ["anchor, across", "anchor, up"],
        ["anchor, along the limb above", "anchor, beside its axis"],
    ];
    let pivot = [builds::PIVOT, ["pivot, along the limb above", "pivot, beside its axis"]];
    let mut dimensions: Vec<Dimension> =
        above.dimensions.iter().map(|d| d.of_the_limb_above()).collect();
    dimensions.extend([
        Dimension::length("rod", rod.length),
        Dimension::length("lever", rod.lever),
        Dimension::angle("clamp", rod.clamp.deg()),
    ]);
    dimensions.extend(riding(anchor, rod.pin, role == Role::Driver));
    dimensions.extend(riding(pivot, rod.pivot, role == Role::Host));
    let first = above.dimensions.len();
    Recipe::new(dimensions, move |v| {
        let (upper, own) = v.split_at_checked(first)?;
        let &[length, lever, clamp, ax, ay, px, py] = own else { return None };
        let (mechanism, way) = above.made(upper)?;
        let clamp = Dir::degrees(Deg(clamp));
        let (pin, pivot) = ([ax, ay], [px, py]);
        let made = Rod { pin, pivot, length: Mm(length), lever: Mm(lever), clamp, ..rod };
        Some((Arc::new(made), Way::Above { mechanism, way: Box::new(way), role }))
    })
}

/// What only a forearm has: what is to spare, and how far it bends.
fn figures(analysis: &ForearmAnalysis) -> Vec<Figure> {
    let spare = Measure::Length(analysis.closing.margin);
    let mut figures =
        vec![Figure { name: "rod_to_spare", words: "its rod has to spare", value: spare }];
    if let Some(bend) = analysis.motion.and_then(|m| m.bend) {
        let angle = |name, words, a| Figure { name, words, value: Measure::Angle(a) };
        figures.push(angle("bend_low", "bends from", bend.low));
        figures.push(angle("bend_high", "bends to", bend.high));
    }
    figures
}

/// The other answers; with an open clamp each lies about the middle that is asked for.
fn others(fixed: &Fixed, choices: &[ForearmChoice], centred: Option<&Motion<'_>>) -> Vec<Other> {
    let row = |c: &ForearmChoice| {
        let (low, high) = match centred.filter(|m| !m.gesture.relative) {
            Some(asked) => {
                let middle = (asked.from + asked.to) / 2.0;
                (middle - c.swing.0 / 2.0, middle + c.swing.0 / 2.0)
            }
            None => {
                let limits = *c.rod.limits(&fixed.upper.exact.way()).ok()?.swing()?;
                (limits.low.0, limits.high.0)
            }
        };
        let sizes = vec![c.rod.length.0, c.rod.lever.0, c.clamp.0];
        Some(Other { sizes, low, high, push: c.push, fit: None })
    };
    choices.iter().filter_map(row).collect()
}
