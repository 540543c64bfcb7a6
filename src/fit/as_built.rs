//! As built: which dimension explains what the maker measured on the finished limb.
//!
//! A measurement gives one or two numbers and a linkage has eight dimensions, so many
//! explanations are possible. The simplest that explains it is taken: nothing at all;
//! one dimension; one length together with the clamp. Of equally simple ones that
//! explain it within what can be measured, the likeliest: how far it stays off what was
//! measured counts with how large a change it asks for against ordinary errors. Of sizes
//! that were left open one that explains it stands first; two of them, that can be made to
//! meet any two numbers, stand behind every size that explains it alone. Where motor, pivot
//! or guide stand and what the limbs above are built to is named too, and never computed
//! with: the one is seen on the board, the others have measurements of their own. Where
//! nothing else explains it alone, or only nearly where this meets it, it is named first all
//! the same, and what comes nearest is computed with.
//! Each is found by the method of Levenberg and Marquardt (D. W. Marquardt, J. SIAM
//! 11 (1963) 431-441) on the ends of the whole mechanism.

use std::borrow::Cow;

use nalgebra::{DMatrix, DVector};

use super::Bench;
use super::apart::Also;
use super::builds::Recipe;
use super::codes::MEASURED_UNEXPLAINED;
use crate::finding::{Place, Severity, Step};
use crate::mechanism::{Course, Travel};
use crate::model::Note;
use crate::units::print::decimal;
use crate::units::{Deg, Mm, System};

/// An angle in whole degrees is read to this (common practice, no source: a protractor
/// on plywood); one with decimals to its last one.
pub(super) const READ_ANGLE: Deg = Deg(1.0);
/// A length in whole millimetres is read to this (common practice, no source: a tape);
/// one with decimals to its last one.
pub(super) const READ_LENGTH: Mm = Mm(2.0);
/// Each end of a stroke in whole millimetres is read to this (common practice, no source:
/// a rule along the guide, from one mark); one with decimals to its last one.
pub(super) const READ_STROKE: Mm = Mm(1.0);
/// Nobody reads finer than this share of those, however finely it is written: a digital
/// gauge is good to 0.2 deg, a steel rule to half a millimetre (common practice, no source).
/// Within it one cause is told, and not two that meet every digit: two sizes can be made to
/// meet any two numbers.
const STEADY: f64 = 0.2;
/// By how much a clamp that slips is usually off (common practice, no source).
const SLIP: Deg = Deg(3.0);

/// A slot or a guide that leans further from how it is drawn is seen at a glance, unless its
/// tilt was forgotten or cut the other way round, and a clamp or an arm that sits further from
/// where it is drawn is another limb: nobody built that of this drawing (common practice, no
/// source).
const ASKEW: Deg = Deg(30.0);
const SITS: Deg = Deg(45.0);

/// What explains a measurement.
#[derive(Clone, Debug, PartialEq)]
pub struct AsBuilt {
    /// The dimensions that are otherwise than drawn: name, drawn, built, and whether
    /// it is an angle.
    pub changes: Vec<(&'static str, f64, f64, bool)>,
    /// How far the ends still are from what was measured: degrees, or mm.
    pub off: f64,
    /// The other length, or angle, at which the one of `changes` explains it too.
    pub also: Option<Also>,
    /// What explains it alone where `changes` are two, none, or meet it only nearly: where
    /// something stands, or a size of a limb above, which nothing is computed with.
    pub alone: Option<OtherBuilt>,
    /// What explains it as well, or nearly: single dimensions first.
    pub others: Vec<OtherBuilt>,
    /// The dimensions as built, in the order of the recipe.
    pub values: Vec<f64>,
}

/// Another explanation of a measurement: one dimension, or two.
#[derive(Clone, Debug, PartialEq)]
pub struct OtherBuilt {
    /// The dimension, and of which limb.
    pub name: Cow<'static, str>,
    /// As drawn: mm, or degrees.
    pub drawn: f64,
    /// As built: mm, or degrees.
    pub built: f64,
    /// Whether it is an angle.
    pub angle: bool,
    /// The other length, or angle, at which it explains the measurement too.
    pub also: Option<Also>,
    /// The other dimension that is otherwise than drawn too: name, built, angle.
    pub with: Option<(&'static str, f64, bool)>,
    /// How far the ends then are from what was measured: degrees, or mm.
    pub off: f64,
}

/// What was measured.
#[derive(Clone, Copy)]
pub(super) enum Seen {
    /// The two ends, deg, read to so much.
    Ends(f64, f64, f64),
    /// From end to end, deg or mm, read to so much.
    Range(f64, f64),
}

/// So many other explanations are named at most, but for single ones that meet what was
/// read: any of those may be the true one.
const MOST_OTHERS: usize = 5;

impl Seen {
    /// The same as the first lines of a sum.
    pub(super) fn sum(self) -> Vec<Step> {
        let number = |v: f64| decimal(v, 2);
        match self {
            Self::Ends(low, high, read) => vec![
                Step::given("measured, one end", number(low)),
                Step::given("measured, the other end", number(high)),
                Step::given("read to", number(read)),
            ],
            Self::Range(range, read) => vec![
                Step::given("measured, from end to end", number(range)),
                Step::given("read to", number(read)),
            ],
        }
    }

    /// What one unit of its misses is: degrees, or mm.
    pub(super) const fn read(self) -> f64 {
        match self {
            Self::Ends(.., read) | Self::Range(_, read) => read,
        }
    }

    /// By how much ends miss it, each in units of what can be read; of a limb that
    /// turns in the same turn of the circle.
    fn off(self, (low, high): (f64, f64), turns: bool) -> Vec<f64> {
        match self {
            Self::Ends(a, b, read) => {
                let turn = match turns {
                    true => 360.0 * libm::round(((a + b) - (low + high)) / 720.0),
                    false => 0.0,
                };
                vec![(low + turn - a) / read, (high + turn - b) / read]
            }
            Self::Range(range, read) => vec![(high - low - range) / read],
        }
    }
}

/// The ends of the motion, and whether it turns; `None` where it does not go through
/// it.
fn ends(recipe: &Recipe, values: &[f64]) -> Option<((f64, f64), bool)> {
    let (mechanism, way) = recipe.made(values)?;
    Some(match Course::of(&*mechanism, &way).ok()?.travel {
        Travel::Swing(l) => ((l.low.0, l.high.0), true),
        Travel::Stroke(l) => ((l.low.0, l.high.0), false),
    })
}

/// Steps of the differences: mm, or degrees.
const STEP: f64 = 1e-4;
/// Rounds of the search.
const ROUNDS: usize = 60;

/// From how much less and more of a length the search starts anew where it ended in a
/// hollow that explains nothing.
const ANEW: [f64; 10] = [0.97, 1.03, 0.92, 1.08, 0.85, 1.15, 0.75, 1.25, 0.6, 1.4];
/// The same for what is drawn at nought as well as elsewhere, an angle or an offset: by so
/// many mm or deg. At nought both ends may stand still to first order.
const ASIDE: [f64; 8] = [2.0, -2.0, 5.0, -5.0, 10.0, -10.0, 20.0, -20.0];

/// An explanation: which dimensions are otherwise, all values, and how far off they
/// leave the measurement, in units of what can be read.
#[derive(Clone)]
pub(super) struct Found {
    pub(super) free: Vec<usize>,
    pub(super) values: Vec<f64>,
    pub(super) off: f64,
    /// The sum of the squares of all that it leaves off, in the same units.
    misfit: f64,
}

/// That nothing hidden explains a measurement.
pub(super) struct Unexplained {
    /// How far the nearest stays off, in units of what can be read.
    pub(super) off: f64,
}

/// A measurement on a mechanism.
#[derive(Clone, Copy)]
pub(super) struct Puzzle<'a> {
    pub(super) recipe: &'a Recipe,
    pub(super) seen: Seen,
    /// In whose units it is told.
    pub(super) system: System,
}

impl Puzzle<'_> {
    pub(super) fn miss(&self, values: &[f64]) -> Option<DVector<f64>> {
        let (ends, turns) = ends(self.recipe, values)?;
        Some(DVector::from_vec(self.seen.off(ends, turns)))
    }

    /// What the misses do as one value changes; to one side where the mechanism does
    /// not go through its motion on the other.
    fn slope(&self, at: &[f64], off: &DVector<f64>, index: usize) -> Option<DVector<f64>> {
        let moved = |by: f64| {
            let mut values = at.to_vec();
            values[index] += by;
            self.miss(&values)
        };
        match (moved(STEP), moved(-STEP)) {
            (Some(more), Some(less)) => Some((more - less) / (2.0 * STEP)),
            (Some(more), None) => Some((more - off) / STEP),
            (None, Some(less)) => Some((off - less) / STEP),
            (None, None) => None,
        }
    }

    /// The values near `at` at which some dimensions explain it best.
    pub(super) fn nearest(&self, mut at: Vec<f64>, free: &[usize]) -> Option<Found> {
        let mut off = self.miss(&at)?;
        let mut damping = 1e-3;
        for _ in 0..ROUNDS {
            if off.norm() < 1e-9 || free.is_empty() {
                break;
            }
            let mut slopes = DMatrix::zeros(off.len(), free.len());
            for (column, &index) in free.iter().enumerate() {
                let Some(slope) = self.slope(&at, &off, index) else { break };
                slopes.set_column(column, &slope);
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
                match tried.and_then(|v| Some((self.miss(&v)?, v))) {
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
        let misfit = off.norm_squared();
        Some(Found { free: free.to_vec(), values: at, off: off.amax(), misfit })
    }

    /// The values at which some dimensions explain it best: from those drawn; where
    /// that explains nothing, from the best of other lengths.
    fn best(&self, free: &[usize]) -> Option<Found> {
        let drawn = self.recipe.drawn();
        let near = self.nearest(drawn.clone(), free);
        let moved = |&i: &usize| {
            let d = &self.recipe.dimensions[i];
            d.signed || !d.angle || free.len() == 1
        };
        let moved = free.iter().copied().find(moved);
        let (Some(moved), false) = (moved, near.as_ref().is_some_and(|n| good(n) && self.sane(n)))
        else {
            return near;
        };
        let d = &self.recipe.dimensions[moved];
        let others: Vec<f64> = match d.signed || d.angle || d.name.contains(',') {
            true => ASIDE.iter().map(|by| d.drawn + by).collect(),
            false => ANEW.iter().map(|by| d.drawn * by).collect(),
        };
        let starts = others.into_iter().filter_map(|value| {
            let mut values = drawn.clone();
            values[moved] = value;
            Some((self.miss(&values)?.norm(), values))
        });
        let (_, start) = starts.min_by(|a, b| a.0.total_cmp(&b.0))?;
        let far = self.nearest(start, free);
        match (near, far) {
            (Some(near), Some(far))
                if (!self.sane(&near), near.off) <= (!self.sane(&far), far.off) =>
            {
                Some(near)
            }
            (near, far) => far.or(near),
        }
    }

    /// Whether the values can be built of this drawing: an offset may lie on either side, a
    /// length not, and an angle is about what is drawn.
    pub(super) fn sane(&self, found: &Found) -> bool {
        found.free.iter().all(|&i| {
            let d = &self.recipe.dimensions[i];
            let value = found.values[i];
            let about = |angle: f64, most: Deg| {
                let by = value - angle;
                (by - 360.0 * libm::round(by / 360.0)).abs() <= most.0
            };
            match (d.angle, d.set_by_hand()) {
                (true, true) => about(d.drawn, SITS),
                (true, false) => about(d.drawn, ASKEW) || about(0.0, SLIP) || about(-d.drawn, SLIP),
                (false, _) => d.signed || d.name.contains(',') || value > 0.0,
            }
        })
    }

    /// Whether each change can be seen in what is told of it: one that cannot is none.
    fn shows(&self, found: &Found) -> bool {
        found.free.iter().all(|&i| {
            let d = &self.recipe.dimensions[i];
            let told = |value| super::built_told::size(value, d.angle, self.system);
            told(found.values[i]) != told(d.drawn)
        })
    }

    /// How much a change asks for, against ordinary errors.
    fn weight(&self, found: &Found) -> f64 {
        let each = found.free.iter().map(|&i| {
            let d = &self.recipe.dimensions[i];
            let usual = if d.set_by_hand() { SLIP.0 } else { d.error() };
            ((found.values[i] - d.drawn) / usual).abs()
        });
        each.fold(0.0, f64::max)
    }

    /// The less the likelier. What is read is off by a bell curve of which one unit is two
    /// deviations; of how much a size is off only the order counts, since nobody drills a
    /// wrong hole by ordinary errors.
    fn unlikely(&self, found: &Found) -> f64 {
        let weight = self.weight(found);
        libm::log1p(weight * weight) + 2.0 * found.misfit
    }

    /// Explanations of equal kind, the likeliest first.
    fn ranked(&self, of: Vec<Vec<usize>>) -> Vec<Found> {
        let found = of.iter().filter_map(|free| self.best(free));
        let found = found.filter(|f| self.sane(f) && self.shows(f));
        let mut found: Vec<(f64, Found)> = found.map(|f| (self.unlikely(&f), f)).collect();
        found.sort_by(|a, b| a.0.total_cmp(&b.0).then_with(|| a.1.free.cmp(&b.1.free)));
        found.into_iter().map(|(_, f)| f).collect()
    }

    fn other(&self, found: &Found) -> Option<OtherBuilt> {
        let (&first, more) = found.free.split_first()?;
        let d = &self.recipe.dimensions[first];
        Some(OtherBuilt {
            name: d.words(),
            drawn: d.drawn,
            built: found.values[first],
            angle: d.angle,
            also: self.also(found),
            with: more.first().map(|&i| {
                let d = &self.recipe.dimensions[i];
                (d.name, found.values[i], d.angle)
            }),
            off: found.off * self.seen.read(),
        })
    }

    /// What is told: what is computed with, what explains it alone beside that, and the
    /// others, of which each that meets the reading alone is kept.
    fn told(&self, best: Found, alone: Option<&Found>, others: &[&Found]) -> AsBuilt {
        let changes = best.free.iter().map(|&i| {
            let d = &self.recipe.dimensions[i];
            (d.name, d.drawn, best.values[i], d.angle)
        });
        let kept = others.iter().enumerate();
        let kept = kept.filter(|(at, f)| *at < MOST_OTHERS || (good(f) && f.free.len() == 1));
        AsBuilt {
            changes: changes.collect(),
            off: best.off * self.seen.read(),
            also: if alone.is_none() { self.also(&best) } else { None },
            alone: alone.and_then(|f| self.other(f)),
            others: kept.filter_map(|(_, f)| self.other(f)).collect(),
            values: best.values,
        }
    }

    /// The simplest explanation; `None` where nothing was measured that the mechanism
    /// can be held against, `Err` with how far the best one stays off where none is
    /// good.
    ///
    /// A single dimension that comes as near as a protractor reads is named too, before
    /// pairs, however finely the measurement is written: what is written `106.0` may
    /// have been read to a degree.
    pub(super) fn explain(
        &self,
        open: &[usize],
        coarse: f64,
    ) -> Option<Result<AsBuilt, Unexplained>> {
        let dimensions = &self.recipe.dimensions;
        let hidden = |i: &usize| dimensions[*i].above == 0 && !dimensions[*i].name.contains(',');
        let sizes: Vec<usize> = (0..dimensions.len()).filter(hidden).collect();
        let clamp = sizes.iter().copied().find(|&i| dimensions[i].set_by_hand());
        let moves_ends = matches!(self.seen, Seen::Ends(..));
        let mut nearest = f64::INFINITY;
        let mut see = |found: &[Found]| {
            nearest = found.iter().fold(nearest, |n, f| n.min(f.off));
        };
        let drawn = self.ranked(vec![Vec::new()]);
        see(&drawn);
        let as_drawn = drawn.first();
        if let Some(drawn) = as_drawn.filter(|f| good(f)) {
            return Some(Ok(self.told(drawn.clone(), None, &[])));
        }
        let free = open.iter().copied().filter(|&i| moves_ends || Some(i) != clamp);
        let free: Vec<usize> = free.collect();
        let opened = if free.is_empty() { None } else { self.best(&free) };
        let opened = opened.filter(|f| self.sane(f) && self.shows(f));
        see(opened.as_slice());
        let opened = opened.filter(good);
        let singles = sizes.iter().filter(|&&i| moves_ends || Some(i) != clamp);
        let singles = self.ranked(singles.map(|&i| vec![i]).collect());
        see(&singles);
        let read = self.seen.read();
        let steady = |f: &Found| f.off * read <= (STEADY * coarse).max(read);
        // Named only: where things stand first, then what a limb above is built to.
        let seen = |above: bool| {
            let not_hidden = (0..dimensions.len()).filter(|i| !hidden(i));
            let of = not_hidden.filter(move |&i| (dimensions[i].above > 0) == above);
            self.ranked(of.map(|i| vec![i]).collect())
        };
        let elsewhere: Vec<Found> =
            seen(false).into_iter().chain(seen(true)).filter(steady).collect();
        let nearly = |f: &&Found| f.off * read <= coarse.max(read);
        let was_open = |f: &&Found| f.free.iter().all(|i| open.contains(i));
        let fine_singles = || singles.iter().filter(|f| good(f));
        let one = fine_singles().find(was_open).or(fine_singles().next());
        let one = one.or(opened.as_ref()).or(singles.iter().find(|f| steady(f)));
        if let Some(best) = one {
            let meets = elsewhere.iter().find(|f| good(f));
            let alone = meets.filter(|_| !good(best) || best.free.len() > 1);
            // Where one of two open sizes does it, both do: that tells nothing more.
            let both = opened.as_ref().filter(|_| !was_open(&best));
            let all = singles.iter().chain(&elsewhere).chain(both);
            let mut others: Vec<&Found> = all
                .filter(|f| f.free != best.free && alone.is_none_or(|a| a.free != f.free))
                .collect();
            others.retain(|f| steady(f) || nearly(f));
            // What meets the reading first, then what stays off as little as nobody sees; one
            // size before two, and the likeliest first.
            others.sort_by(|a, b| {
                let kind = |f: &&Found| (!good(f), !steady(f), f.free.len());
                kind(a).cmp(&kind(b)).then(self.unlikely(a).total_cmp(&self.unlikely(b)))
            });
            return Some(Ok(self.told(best.clone(), alone, &others)));
        }
        let pairs = match clamp {
            _ if !moves_ends => Vec::new(),
            Some(c) => sizes.iter().filter(|&&i| i != c).map(|&i| vec![i, c]).collect(),
            // Of a limb that slides nothing is set by hand: any two of its sizes.
            None => sizes
                .iter()
                .enumerate()
                .flat_map(|(n, &i)| sizes[n + 1..].iter().map(move |&j| vec![i, j]))
                .collect(),
        };
        let pairs = self.ranked(pairs);
        see(&pairs);
        let fine = || pairs.iter().filter(|f| good(f));
        if let Some(best) = fine().next().or(singles.iter().find(nearly)) {
            let nearly = singles.iter().filter(nearly);
            let others = elsewhere.iter().skip(1).chain(nearly).chain(fine());
            let others: Vec<&Found> = others.filter(|f| f.free != best.free).collect();
            return Some(Ok(self.told(best.clone(), elsewhere.first(), &others)));
        }
        if let (Some(first), Some(drawn)) = (elsewhere.first(), as_drawn) {
            let others: Vec<&Found> = elsewhere.iter().skip(1).collect();
            return Some(Ok(self.told(drawn.clone(), Some(first), &others)));
        }
        nearest.is_finite().then_some(Err(Unexplained { off: nearest }))
    }
}

/// Whether it meets what was measured within what can be read.
fn good(found: &Found) -> bool {
    found.off <= 1.0
}

impl Bench<'_> {
    /// What was measured on the built limb, where, and what a protractor or a tape reads
    /// at best, in the same unit.
    pub(super) fn seen(&self) -> Option<(Seen, Place, f64)> {
        let measured = &self.limb.measured;
        let tape = measured.tip_to_tip_read.unwrap_or(READ_LENGTH);
        let chord = measured.tip_to_tip.map(|t| (t.value, t.place));
        let pivot = match self.limb.joint {
            crate::model::Joint::Slide { .. } => {
                if let Some(stroke) = measured.stroke {
                    let read = measured.stroke_read.unwrap_or(READ_STROKE);
                    let (low, high) = (stroke.value.0.0, stroke.value.1.0);
                    return Some((Seen::Ends(low, high, read.0), stroke.place, READ_STROKE.0));
                }
                let (chord, place) = chord?;
                return Some((Seen::Range(chord.0, tape.0), place, READ_LENGTH.0));
            }
            crate::model::Joint::Pivot { at, .. } => at?,
        };
        if let Some(ends) = measured.ends {
            let read = measured.ends_read.unwrap_or(READ_ANGLE);
            let (low, high) = (ends.value.0.0, ends.value.1.0);
            return Some((Seen::Ends(low, high, read.0), ends.place, READ_ANGLE.0));
        }
        let (chord, place) = chord?;
        let reach = pivot.distance(self.limb.tip?);
        let half = chord.0 / (2.0 * reach.0);
        if !(0.0..1.0).contains(&half) {
            return None;
        }
        // A tape's error as an angle, at this chord.
        let angle =
            |tape: Mm| crate::units::Rad(tape.0 / (reach.0 * (1.0 - half * half).sqrt())).deg().0;
        let range = crate::units::Rad(2.0 * libm::asin(half)).deg();
        Some((Seen::Range(range.0, angle(tape)), place, angle(READ_LENGTH)))
    }

    /// Whether a mechanism as drawn moves as was measured, if anything was.
    pub(super) fn moves_as_measured(&self, recipe: &Recipe) -> bool {
        self.seen().is_some_and(|(seen, ..)| {
            let drawn = Puzzle { recipe, seen, system: self.figure.system }.miss(&recipe.drawn());
            drawn.is_some_and(|off| off.amax() <= 1.0)
        })
    }

    /// Notes a measurement that explains nothing: of a kind that is not explained, or a
    /// swing of a limb that slides.
    pub(super) fn measured_in_vain(&mut self, told: usize) {
        let m = &self.limb.measured;
        let measured = m.ends.is_some() || m.stroke.is_some() || m.tip_to_tip.is_some();
        let said = self.findings[told..]
            .iter()
            .any(|f| f.code.word == MEASURED_UNEXPLAINED.word || f.severity == Severity::Error);
        if measured && self.as_built.is_none() && !said {
            let what = "what was measured on it (nothing of its drive is worked out from that)";
            self.not_checked.push(Note::new(what, "measured A to B deg, or stroke A to B mm"));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::BoardPoint;
    use crate::mechanism::{Assembly, FourBar};

    /// Of two sizes that are otherwise by nearly as much, the one that meets the readings
    /// comes before the one that misses both by all that can be read.
    #[test]
    fn what_meets_the_readings_comes_before_a_slightly_smaller_change_that_does_not() {
        let ends = (BoardPoint::mm(300.0, 600.0), BoardPoint::mm(300.0, 900.0));
        let sizes = (Mm(30.0), Mm(288.0), Mm(90.0));
        let bar = FourBar::new(ends, sizes, Deg(176.0), Assembly::Open).unwrap();
        let recipe = Recipe::of_bar(&bar);
        let puzzle =
            Puzzle { recipe: &recipe, seen: Seen::Ends(0.0, 39.0, 1.0), system: System::Metric };
        let found = |index: usize, by: f64, off: f64| {
            let mut values = recipe.drawn();
            values[index] += by;
            Found { free: vec![index], values, off, misfit: 2.0 * off * off }
        };
        let (near, far) = (found(0, 4.0, 0.05), found(2, 3.0, 0.95));
        assert!(puzzle.weight(&far) < puzzle.weight(&near));
        assert!(puzzle.unlikely(&near) < puzzle.unlikely(&far));
        // As near, the smaller change.
        assert!(puzzle.unlikely(&found(2, 3.0, 0.05)) < puzzle.unlikely(&near));
    }
}
