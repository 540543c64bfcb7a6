//! Rod, lever and clamp of a limb moved by another limb: as given, or found.

use super::asked::Motion;
use super::drive::{FittedSize, Other, borne};
use super::forearm::{Fixed, built};
use super::prefers::in_order;
use super::seen::Seen;
use super::{Bench, Fitted, bar_holes, codes, forearm_recipe, forearm_words as words, upper};
use crate::geometry::Dir;
use crate::mechanism::solve::{ForearmChoice, ForearmWish, OTHERS, solve_forearm};
use crate::mechanism::{Above, Assembly, ForearmAnalysis, Mechanism, Path, Rod, Role, Size};
use crate::model::{Drive, ForearmDrive};
use crate::units::{Deg, Mm};

/// The sizes: exact, as marked out, and the next best.
pub(super) struct Sizes {
    pub exact: (Mm, Mm, Deg),
    pub drilled: (Mm, Mm, Deg),
    pub assembly: Assembly,
    pub others: Vec<ForearmChoice>,
    /// Whether they were found here.
    pub found: bool,
    /// What the exact sizes do, where it came with them.
    pub analysis: Option<ForearmAnalysis>,
}

impl<'a> Bench<'a> {
    /// Rod, lever and clamp as given; else what is open found.
    pub(super) fn forearm_sizes(
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
                let does = |c: &ForearmChoice| other(said, fixed, c);
                let first = answer.choices.first().map(|c| c.rod);
                let choices = in_order(said.prefer, self.limb, answer.choices, does);
                let (best, others) = choices.split_first()?;
                let exact = (best.rod.length, best.rod.lever, best.clamp);
                let drilled = marked(said, exact);
                let assembly = best.rod.assembly;
                let others = others.iter().take(OTHERS).cloned().collect();
                // Of the best push; and of a bend the solver saw the forearm from the limb above.
                let known = first == Some(best.rod) && !asked.gesture.relative;
                let analysis = known.then_some(answer.analysis);
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
                    asked.words(self.figure.system),
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

/// The question: in angles of the board, or of the limb above where it asks for a
/// bend; one that rides on no limb asks in angles of the board all the same.
pub(super) fn wish<'w>(
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

/// Sizes as a maker marks them out.
fn marked(said: &ForearmDrive, (rod, lever, clamp): (Mm, Mm, Deg)) -> (Mm, Mm, Deg) {
    (
        said.rod.size.marked_length(rod, said.rod.system),
        said.lever.size.marked_length(lever, said.lever.system),
        said.clamp.size.marked_angle(clamp),
    )
}

/// The other answers, as they are marked out.
pub(super) fn others(said: &ForearmDrive, fixed: &Fixed, choices: &[ForearmChoice]) -> Vec<Other> {
    choices.iter().filter_map(|c| other(said, fixed, c)).collect()
}

/// What an answer does as it is marked out.
pub(super) fn other(said: &ForearmDrive, fixed: &Fixed, c: &ForearmChoice) -> Option<Other> {
    let chain = &fixed.upper.drilled;
    let sizes = marked(said, (c.rod.length, c.rod.lever, c.clamp));
    let rod = fixed.rod(sizes, c.rod.assembly);
    let made = built(chain, rod, &fixed.analyse(chain, rod)?)?;
    let speed = borne(&made.way, &made.course, None);
    let recipe = forearm_recipe::recipe(&fixed.upper, rod);
    let sizes = vec![sizes.0.0, sizes.1.0, sizes.2.0];
    Some(Other { recipe, ..Other::moving(sizes, &made.course, speed) })
}
