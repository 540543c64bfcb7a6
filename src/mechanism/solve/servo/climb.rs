//! From the best places of the net to the best there are.
//!
//! With the lever clamped, only the rod is left. What has to be small are then a few smooth
//! functions of it, and the worst of them counts: the push at either end, in the middle and
//! on the line of centres; how far the servo turns and how near arm and rod come to a line
//! are kept to their limits alike. Each is taken for a straight line near a rod, of these
//! the lowest place of the highest is found exactly, and from there it is begun again
//! (sequential linear programming: R. E. Griffith, R. A. Stewart, Management Science 7
//! (1961) 379-392). So the best rod comes in a few steps, on a kink too, and the clamp is
//! one number with one hill.

use std::cmp::Ordering;

use super::super::servo_pose::{Line, Pieces};
use super::{Allowed, CLIMBED, Found, Levers, Pair, Plan, Size};
use crate::geometry::highest;

/// The most steps of clamp and of rod in a climb, and the least of the rod, mm.
const TURNS: usize = 20;
const STEPS: usize = 16;
pub(super) const FINEST: f64 = 0.02;
/// The steps of the rod end at this part of the first.
const FINER: f64 = 32.0;

impl Plan<'_> {
    /// Climbed from in ever smaller steps of the clamp, `first` to `finest` rad, with the
    /// best rod for each: the best often lies where the travel ends, a line that single
    /// steps of both would not follow.
    pub(super) fn climbed(&self, from: Found, (first, finest): (f64, f64)) -> Found {
        if from.parallel && from.key[0] < -9.0 && from.beyond <= 0.0 {
            return from;
        }
        if self.smooth() {
            return self.topped(from, (2.0 * first, finest));
        }
        let mut turn = first;
        let reach = |turn: f64| from.pair.lever * turn;
        let mut best = self.best_rod(from, from.clamp, reach(turn));
        for _ in 0..TURNS {
            let about = best;
            for by in [turn, -turn] {
                let here = self.best_rod(about, self.clamp(about.clamp + by), reach(turn));
                if here.order(&best) == Ordering::Less {
                    best = here;
                    break;
                }
            }
            if best.order(&about) != Ordering::Less {
                turn /= 2.0;
            }
            if turn < finest {
                break;
            }
        }
        best
    }

    /// The best rod near that of a find, with another clamp, looked for in steps from
    /// `reach` down; the find itself where none reaches.
    fn best_rod(&self, from: Found, clamp: f64, reach: f64) -> Found {
        let Some(levers) = Levers::at(&from.pair, &self.limb, clamp) else { return from };
        let row = match self.rods {
            Allowed::Row(_, _, step) => step,
            _ => 0.0,
        };
        let (lo, hi) = levers.rods;
        let at = |rod: f64| self.at(&from.pair, (&levers, clamp), (self.rod(rod), from.elbow));
        let own = |f: &Found| f.hill() == from.hill();
        let mut best = at(from.rod.clamp(lo, hi)).filter(own);
        let mut rod = best.map_or(from.rod.clamp(lo, hi), |b| b.rod);
        let mut step = reach.max(row);
        let finest = (reach / FINER).max(FINEST).max(row / 2.0);
        for _ in 0..STEPS {
            let better = [step, -step].into_iter().find_map(|by| {
                let here = at(rod + by).filter(own)?;
                best.is_none_or(|b| here.order(&b) == Ordering::Less).then_some(here)
            });
            match better {
                Some(here) => (rod, best) = (here.rod, Some(here)),
                None => step /= 2.0,
            }
            if step < finest {
                break;
            }
        }
        best.unwrap_or(from)
    }
}

/// So many of the best are walked from to the pairs beside them, and so far.
const WALKS: usize = 6;
const PACES: usize = 8;

impl Plan<'_> {
    /// From the best pairs to those beside them, of the next hole of arm or lever, as long
    /// as it gets better: what is best for a pair is near what is best for the next one, and
    /// the net of each alone is wide.
    pub(super) fn walked(&self, found: &mut Vec<Found>, steps: (f64, f64)) {
        let mut been: Vec<(f64, f64, usize)> = Vec::new();
        found.sort_by(Found::order);
        let starts: Vec<Found> = found.iter().take(CLIMBED).copied().collect();
        let mut walks = 0;
        for start in starts {
            let place = |f: &Found| (f.pair.arm, f.pair.lever, f.hill());
            if walks == WALKS {
                break;
            }
            if been.contains(&place(&start)) {
                continue;
            }
            walks += 1;
            been.push(place(&start));
            let mut here = start;
            for _ in 0..PACES {
                let mut best = here;
                for (arm, lever) in self.next_to(&here) {
                    if been.contains(&(arm, lever, here.hill())) {
                        continue;
                    }
                    been.push((arm, lever, here.hill()));
                    let Some(next) = self.at_pair(&here, (arm, lever)) else { continue };
                    let next = self.climbed(next, steps);
                    found.push(next);
                    if next.order(&best) == Ordering::Less {
                        best = next;
                    }
                }
                if best.order(&here) != Ordering::Less {
                    break;
                }
                here = best;
            }
        }
    }

    /// Where a pair has its holes in their lists.
    fn holes(&self, at: &Found) -> [usize; 2] {
        let find = |list: &[f64], v: f64| list.iter().position(|l| *l == v).unwrap_or(0);
        [find(&self.arms, at.pair.arm), find(&self.levers, at.pair.lever)]
    }

    /// Whether two are put together alike, with the same holes or the next ones: one is
    /// walked to from the other.
    pub(super) fn beside(&self, a: &Found, b: &Found) -> bool {
        let near = |(a, b): (usize, usize)| a.abs_diff(b) <= 1;
        a.hill() == b.hill() && self.holes(a).into_iter().zip(self.holes(b)).all(near)
    }

    /// The pairs of the next hole of either.
    fn next_to(&self, at: &Found) -> impl Iterator<Item = (f64, f64)> {
        let next = |list: &[f64], at: usize| {
            [at.checked_sub(1), Some(at + 1)].map(|i| i.and_then(|i| list.get(i).copied()))
        };
        let ([i, j], (arm, lever)) = (self.holes(at), (at.pair.arm, at.pair.lever));
        let arms = next(&self.arms, i).into_iter().flatten().map(move |a| (a, lever));
        let levers = next(&self.levers, j).into_iter().flatten().map(move |l| (arm, l));
        arms.chain(levers)
    }

    /// What is found for one pair with the clamp and the rod of another, or the rod that
    /// reaches nearest to it.
    fn at_pair(&self, from: &Found, (arm, lever): (f64, f64)) -> Option<Found> {
        let pair = Pair { arm, lever, ..from.pair };
        let levers = Levers::at(&pair, &self.limb, from.clamp)?;
        let rod = self.rod(from.rod.clamp(levers.rods.0, levers.rods.1));
        let there = self.at(&pair, (&levers, from.clamp), (rod, from.elbow))?;
        (there.hill() == from.hill()).then_some(there)
    }
}

/// So many hills' breadths the clamp may lie from where its climb starts.
const WIDTHS: usize = 3;
/// Steps of the rod at most, and how much smaller the next one is where one was no good.
const AGAIN: usize = 12;
const SHORTER: f64 = 0.25;
/// So much inside its limits a step goes, rad: what is taken for a line bends a little.
const INSIDE: f64 = 1e-4;
/// What does not fit at all is worse than all that pushes badly.
const UNFIT: f64 = 10.0;

impl Plan<'_> {
    /// Whether any rod of a range will do, and nothing but the push counts.
    pub(super) fn smooth(&self) -> bool {
        self.wish.prefer.by_push() && !matches!(self.rods, Allowed::Row(..))
    }

    /// The best clamp within some widths, each with its best rod.
    fn topped(&self, from: Found, (width, finest): (f64, f64)) -> Found {
        let lever = from.pair.lever;
        let steps = (width * lever, (lever * finest / 4.0).max(FINEST));
        let mut best = self.rod_for(&from, from.clamp, steps).unwrap_or(from);
        if let Size::Given(_) = self.wish.sizes.clamp {
            return best;
        }
        let mut tried = 0;
        loop {
            let (lo, hi) = (best.clamp - width, best.clamp + width);
            let mut last = best;
            let mut top = best;
            highest(lo, hi, finest, |clamp| {
                let here = self.rod_for(&last, self.clamp(clamp), steps);
                let Some(here) = here else { return -2.0 * UNFIT };
                if here.order(&top) == Ordering::Less {
                    top = here;
                }
                last = here;
                self.worth(&here)
            });
            let on_edge = (top.clamp - lo).abs().min((hi - top.clamp).abs()) < 0.1 * width;
            let better = top.order(&best) == Ordering::Less;
            best = if better { top } else { best };
            tried += 1;
            if !(better && on_edge && tried < WIDTHS) {
                return best;
            }
        }
    }

    /// What is climbed to: a good push, once it fits.
    fn worth(&self, found: &Found) -> f64 {
        if found.beyond > 0.0 { -UNFIT - found.beyond } else { -found.verdict.cos }
    }

    /// The best rod near that of a find, with another clamp; `None` where none near it goes
    /// all the way.
    pub(super) fn rod_for(
        &self,
        near: &Found,
        clamp: f64,
        (reach, finest): (f64, f64),
    ) -> Option<Found> {
        let levers = Levers::at(&near.pair, &self.limb, clamp)?;
        let (mut lo, mut hi) = levers.rods;
        if let Allowed::Between(least, most) = self.rods {
            (lo, hi) = (lo.max(least), hi.min(most));
        }
        let own = |rod: f64| {
            let pieces = levers.pieces(&near.pair, rod, near.elbow)?;
            let found = self.found(&near.pair, (clamp, rod, near.elbow), pieces.verdict());
            (found.hill() == near.hill()).then_some((found, pieces))
        };
        let (mut best, mut pieces) = own(near.rod.clamp(lo, hi.max(lo)))?;
        let mut step = reach.min(hi - lo);
        for _ in 0..AGAIN {
            if step < finest {
                break;
            }
            let stretch = ((lo - best.rod).max(-step), (hi - best.rod).min(step));
            let by = self.lowest(&pieces, stretch);
            match own(best.rod + by).filter(|next| next.0.order(&best) == Ordering::Less) {
                Some(next) => (best, pieces) = next,
                None => step = SHORTER * step.min(by.abs()),
            }
            if by.abs() < finest {
                break;
            }
        }
        Some(best)
    }

    /// How much longer a rod is best, all taken for straight lines.
    fn lowest(&self, at: &Pieces, stretch: (f64, f64)) -> f64 {
        let over = |l: Line, sign: f64, most: f64| (sign * l.0 - most, sign * l.1);
        let both = |l: Line, most: f64| [over(l, 1.0, most), over(l, -1.0, most)];
        let pushes = at.push.map(|l| both(l, 0.0));
        let leans = at.lean.map(|l| both(l, self.upright - INSIDE));
        let sign = self.wish.sign;
        let travel = match at.to_zero {
            Some(zero) => {
                let ends = [(-zero.0, -zero.1), (at.turned.0 - zero.0, at.turned.1 - zero.1)];
                let (most, least) = (self.most - INSIDE, -self.least - INSIDE);
                ends.map(|end| [over(end, sign, most), over(end, -sign, least)])
            }
            None => [both(at.turned, self.most - self.least - INSIDE); 2],
        };
        lowest(pushes.as_flattened(), &[leans.as_flattened(), travel.as_flattened()], stretch)
    }
}

/// Where within a stretch the highest of some lines is lowest, with all of some others at
/// nought or below; where they cannot be, where the highest of those is lowest.
fn lowest(lines: &[Line], kept: &[&[Line]], (lo, hi): (f64, f64)) -> f64 {
    let (mut from, mut to) = (lo, hi);
    for &(height, rise) in kept.iter().copied().flatten() {
        let at = -height / rise;
        if rise > 0.0 {
            to = to.min(at);
        } else if rise < 0.0 {
            from = from.max(at);
        }
    }
    if from <= to {
        return valley(lines.iter().copied(), (from, to));
    }
    valley(kept.iter().copied().flatten().copied(), (lo, hi))
}

/// Where the highest of some lines is lowest: on one that falls and one that rises.
fn valley(lines: impl Iterator<Item = Line> + Clone, (lo, hi): (f64, f64)) -> f64 {
    let at = |l: Line, x: f64| l.0 + l.1 * x;
    let top = |x: f64| {
        let higher = |a: Line, b: Line| if at(b, x) > at(a, x) { b } else { a };
        lines.clone().reduce(higher).unwrap_or_default()
    };
    let (mut falls, mut rises) = (top(lo), top(hi));
    if falls.1 >= 0.0 {
        return lo;
    }
    if rises.1 <= 0.0 {
        return hi;
    }
    for _ in 0..AGAIN {
        let x = (falls.0 - rises.0) / (rises.1 - falls.1);
        let between = top(x);
        if at(between, x) <= at(falls, x) + 1e-12 {
            return x;
        }
        *(if between.1 < 0.0 { &mut falls } else { &mut rises }) = between;
    }
    (falls.0 - rises.0) / (rises.1 - falls.1)
}
