//! As built: which dimension explains what the maker measured on the finished limb.
//!
//! A measurement gives one or two numbers and a linkage has eight dimensions, so many
//! explanations are possible. The simplest that explains it is taken: nothing at all;
//! one dimension; one length together with the clamp. Of equally simple ones that
//! explain it within what can be measured, the one that asks for the smallest change
//! against ordinary errors. Where sizes were left open, they are what is looked for.
//! Each is found by the method of Levenberg and Marquardt (D. W. Marquardt, J. SIAM
//! 11 (1963) 431-441) on the ends of the whole mechanism.

use nalgebra::{DMatrix, DVector};

use super::Bench;
use super::builds::{LENGTH_ERROR, Recipe};
use super::checks::fine;
use super::codes::{BUILT_OTHERWISE, MEASURED_UNEXPLAINED};
use crate::finding::Place;
use crate::mechanism::{Course, Travel};
use crate::units::print::decimal;
use crate::units::{Deg, Mm, System};

/// An angle in whole degrees is read to this (common practice, no source: a protractor
/// on plywood); one with decimals to its last one.
const READ_ANGLE: Deg = Deg(1.0);
/// A length in whole millimetres is read to this (common practice, no source: a tape);
/// one with decimals to its last one.
const READ_LENGTH: Mm = Mm(2.0);
/// By how much a clamp that slips is usually off (common practice, no source).
const SLIP: Deg = Deg(3.0);

/// What explains a measurement.
#[derive(Clone, Debug, PartialEq)]
pub struct AsBuilt {
    /// The dimensions that are otherwise than drawn: name, drawn, built, and whether
    /// it is an angle.
    pub changes: Vec<(&'static str, f64, f64, bool)>,
    /// How far the ends still are from what was measured: degrees, or mm.
    pub off: f64,
    /// Single dimensions that explain it as well: name, built, angle.
    pub others: Vec<(&'static str, f64, bool)>,
    /// The dimensions as built, in the order of the recipe.
    pub values: Vec<f64>,
}

/// What was measured.
#[derive(Clone, Copy)]
enum Seen {
    /// The two ends, deg, read to so much.
    Ends(f64, f64, f64),
    /// From end to end, deg or mm, read to so much.
    Range(f64, f64),
}

impl Seen {
    /// By how much ends miss it, each in units of what can be read.
    fn off(self, (low, high): (f64, f64)) -> Vec<f64> {
        match self {
            Self::Ends(a, b, read) => {
                let turn = 360.0 * libm::round(((a + b) - (low + high)) / 720.0);
                vec![(low + turn - a) / read, (high + turn - b) / read]
            }
            Self::Range(range, read) => vec![(high - low - range) / read],
        }
    }
}

/// The ends of the motion; `None` where it does not go through it.
fn ends(recipe: &Recipe, values: &[f64]) -> Option<(f64, f64)> {
    let (mechanism, way) = recipe.made(values)?;
    Some(match Course::of(&*mechanism, &way).ok()?.travel {
        Travel::Swing(l) => (l.low.0, l.high.0),
        Travel::Stroke(l) => (l.low.0, l.high.0),
    })
}

/// Steps of the differences: mm, or degrees.
const STEP: f64 = 1e-4;
/// Rounds of the search.
const ROUNDS: usize = 60;

/// The values at which some dimensions explain a measurement best, and how far off
/// they leave it, in units of what can be read.
fn explained(recipe: &Recipe, seen: Seen, free: &[usize]) -> Option<(Vec<f64>, f64)> {
    let mut at = recipe.drawn();
    let miss = |values: &[f64]| Some(DVector::from_vec(seen.off(ends(recipe, values)?)));
    let mut off = miss(&at)?;
    let mut damping = 1e-3;
    for _ in 0..ROUNDS {
        if off.norm() < 1e-9 || free.is_empty() {
            break;
        }
        let mut slopes = DMatrix::zeros(off.len(), free.len());
        for (column, &index) in free.iter().enumerate() {
            let moved = |by: f64| {
                let mut values = at.clone();
                values[index] += by;
                miss(&values)
            };
            slopes.set_column(column, &((moved(STEP)? - moved(-STEP)?) / (2.0 * STEP)));
        }
        let square = slopes.transpose() * &slopes;
        let pull = slopes.transpose() * &off;
        let mut better = false;
        while damping < 1e12 {
            let mut damped = square.clone();
            for i in 0..free.len() {
                damped[(i, i)] += damping * (square[(i, i)] + 1e-12);
            }
            let step = damped.lu().solve(&pull);
            let tried = step.map(|step| {
                let mut values = at.clone();
                for (i, &index) in free.iter().enumerate() {
                    values[index] -= step[i];
                }
                values
            });
            match tried.and_then(|v| Some((miss(&v)?, v))) {
                Some((left, values)) if left.norm() < off.norm() => {
                    (at, off) = (values, left);
                    damping = (damping * 0.1).max(1e-12);
                    better = true;
                    break;
                }
                _ => damping *= 10.0,
            }
        }
        if !better {
            break;
        }
    }
    // The worst of the numbers measured, so that one good end hides no bad one.
    Some((at, off.amax()))
}

/// The simplest explanation; `None` where nothing was measured that the mechanism
/// can be held against, `Err` with how far the best one stays off where none is good.
fn explain(recipe: &Recipe, seen: Seen, open: &[usize]) -> Option<Result<AsBuilt, f64>> {
    let drawn = recipe.drawn();
    let usual = |index: usize| match recipe.dimensions[index].angle {
        true => SLIP.0,
        false => LENGTH_ERROR.0,
    };
    let weight = |values: &[f64], free: &[usize]| {
        let each = free.iter().map(|&i| ((values[i] - drawn[i]) / usual(i)).abs());
        each.fold(0.0, f64::max)
    };
    // Places are drilled on the board and are seen; what is hidden comes first.
    // A limb above has measurements of its own.
    let hidden = |i: &usize| {
        let d = &recipe.dimensions[*i];
        d.above == 0 && !d.name.contains(',')
    };
    let sizes: Vec<usize> = (0..drawn.len()).filter(hidden).collect();
    let clamp = sizes.iter().copied().find(|&i| recipe.dimensions[i].angle);
    let moves_ends = matches!(seen, Seen::Ends(..));
    let singles: Vec<Vec<usize>> =
        sizes.iter().filter(|&&i| moves_ends || Some(i) != clamp).map(|&i| vec![i]).collect();
    let pairs: Vec<Vec<usize>> = match clamp.filter(|_| moves_ends) {
        Some(c) => sizes.iter().filter(|&&i| i != c).map(|&i| vec![i, c]).collect(),
        None => Vec::new(),
    };
    let rounds = if open.is_empty() {
        vec![vec![Vec::new()], singles, pairs]
    } else {
        vec![vec![open.to_vec()]]
    };
    let mut nearest = f64::INFINITY;
    for round in rounds {
        let mut found: Vec<(f64, Vec<usize>, Vec<f64>, f64)> = Vec::new();
        for free in round {
            let Some((values, off)) = explained(recipe, seen, &free) else { continue };
            nearest = nearest.min(off);
            let sane = free.iter().all(|&i| recipe.dimensions[i].angle || values[i] > 0.0);
            if off <= 1.0 && sane {
                found.push((weight(&values, &free), free, values, off));
            }
        }
        found.sort_by(|a, b| a.0.total_cmp(&b.0).then_with(|| a.1.cmp(&b.1)));
        let mut found = found.into_iter();
        let Some((_, free, values, off)) = found.next() else { continue };
        let read = match seen {
            Seen::Ends(.., read) | Seen::Range(_, read) => read,
        };
        let others = found.map(|(_, free, values, _)| {
            let d = &recipe.dimensions[free[0]];
            (d.name, values[free[0]], d.angle)
        });
        let changes = free.iter().map(|&i| {
            let d = &recipe.dimensions[i];
            (d.name, drawn[i], values[i], d.angle)
        });
        return Some(Ok(AsBuilt {
            changes: changes.collect(),
            off: off * read,
            others: others.take(3).collect(),
            values,
        }));
    }
    nearest.is_finite().then_some(Err(nearest))
}

impl Bench<'_> {
    /// What was measured on the built limb.
    fn seen(&self) -> Option<(Seen, Place)> {
        let measured = &self.limb.measured;
        if let Some(ends) = measured.ends {
            let read = measured.ends_read.unwrap_or(READ_ANGLE);
            return Some((Seen::Ends(ends.value.0.0, ends.value.1.0, read.0), ends.place));
        }
        let (chord, place) = measured.tip_to_tip.map(|t| (t.value, t.place))?;
        let tape = measured.tip_to_tip_read.unwrap_or(READ_LENGTH);
        let pivot = match self.limb.joint {
            crate::model::Joint::Slide { .. } => {
                return Some((Seen::Range(chord.0, tape.0), place));
            }
            crate::model::Joint::Pivot { at, .. } => at?,
        };
        let reach = pivot.distance(self.limb.tip?);
        let half = chord.0 / (2.0 * reach.0);
        if !(0.0..1.0).contains(&half) {
            return None;
        }
        // A tape's error as an angle, at this chord.
        let read = tape.0 / (reach.0 * (1.0 - half * half).sqrt());
        let range = crate::units::Rad(2.0 * libm::asin(half)).deg();
        Some((Seen::Range(range.0, crate::units::Rad(read).deg().0), place))
    }

    /// Explains what was measured, if anything was: tells it, and gives the
    /// dimensions as built. `open` names the sizes that were left open.
    pub(super) fn as_built(&mut self, recipe: &Recipe, open: &[&str]) -> Option<AsBuilt> {
        let (seen, place) = self.seen()?;
        let open: Vec<usize> = (0..recipe.dimensions.len())
            .filter(|&i| {
                let d = &recipe.dimensions[i];
                d.above == 0 && open.contains(&d.name)
            })
            .collect();
        let numbers = if matches!(seen, Seen::Ends(..)) { 2 } else { 1 };
        let open = if open.len() <= numbers { open } else { Vec::new() };
        let system = self.figure.system;
        match explain(recipe, seen, &open)? {
            Ok(built) => {
                if !built.changes.is_empty() {
                    self.tell_built(&built, place, system);
                }
                Some(built)
            }
            Err(off) => {
                let message = format!(
                    "no single dimension of {} explains what was measured on it; the nearest stays off by {} times what can be read.",
                    self.name(),
                    decimal(off, 1)
                );
                self.report(&MEASURED_UNEXPLAINED, place, message).help = Some(
                    "measure again: with the crank turned slowly by hand, both ends of the tip against the board."
                        .to_owned(),
                );
                None
            }
        }
    }

    fn tell_built(&mut self, built: &AsBuilt, place: Place, system: System) {
        let size = |value: f64, angle: bool| match angle {
            true => format!("{} deg", decimal(value, 1)),
            false => fine(Mm(value), system),
        };
        let changes: Vec<String> = built
            .changes
            .iter()
            .map(|&(name, drawn, now, angle)| {
                format!("{name} {} instead of {}", size(now, angle), size(drawn, angle))
            })
            .collect();
        let unit = match self.limb.joint {
            crate::model::Joint::Slide { .. } => "mm",
            crate::model::Joint::Pivot { .. } => "deg",
        };
        let message = format!(
            "what was measured on {} is explained by {}, to {} {unit}.",
            self.name(),
            changes.join(" and "),
            decimal(built.off, if built.off < 0.05 { 3 } else { 1 })
        );
        let others: Vec<String> = built
            .others
            .iter()
            .map(|&(name, value, angle)| format!("{name} {}", size(value, angle)))
            .collect();
        let help = match others.as_slice() {
            [] => "all that follows is computed for the limb as built.".to_owned(),
            others => format!(
                "all that follows is computed for the limb as built; it could as well be {}: measure that one.",
                others.join(" or ")
            ),
        };
        self.report(&BUILT_OTHERWISE, place, message).help = Some(help);
    }
}
