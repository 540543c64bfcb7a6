//! `?` of a slider-crank: the rods of each crank in closed form.

use super::ranked::{Candidate, Goal, Obstacle, Pick, Ranked, Remedy, Unfit, Values};
use super::scotch_yoke::{SLIDE_FINE, SLIDE_FLOOR, tolerance};
use super::{FREE_CRANK, Prefer, Size};
use crate::geometry::{BoardPoint, Vector};
use crate::mechanism::{Bars, Degenerate, Side, Slide, SliderCrank};
use crate::units::Mm;

/// What is asked of a slider-crank.
#[derive(Clone, Copy, Debug)]
pub struct SliderWish {
    /// The motor shaft.
    pub motor: BoardPoint,
    /// The line the limb's rod pin runs on.
    pub slide: Slide,
    /// Shaft to crank pin, mm.
    pub crank: Size,
    /// Pin to pin, mm.
    pub rod: Size,
    /// Fixed, or whichever is better.
    pub side: Option<Side>,
    /// The places of the pin along the slide to move between; the second is the higher.
    pub stroke: (Mm, Mm),
    /// By how much stroke and ends may miss; absent: 2 mm or 5 % of the stroke,
    /// whichever is less.
    pub within: Option<Mm>,
    /// What makes an answer better.
    pub prefer: Prefer,
    /// By how much a built length may be off.
    pub error: Mm,
}

/// The best slider-cranks for a wish: the crank goes right round, stroke and ends
/// miss by at most the tolerance, the pressure angle is at most 45 degrees.
///
/// With the far end `x` and the near end `y` from the foot of the shaft on the
/// slide, crank and rod are half the difference and half the sum of
/// `hypot(x, e)` and `hypot(y, e)`. For each crank the rods that put stroke and both
/// ends within the tolerance are one stretch; the pressure angle
/// `asin((a + |e|)/b)` is best at its longest. A crank that may take any value is
/// searched on a grid that is narrowed about the best.
///
/// # Errors
/// Where nothing fits: what is in the way, and single changes that work.
pub fn solve_slider_crank(
    wish: &SliderWish,
) -> Result<Ranked<SliderCrank>, Box<Unfit<SliderCrank>>> {
    match ranked(wish) {
        Ok(Ok(ranked)) => Ok(ranked),
        Ok(Err(why)) => Err(Box::new(Unfit { why, nearest: nearest(wish) })),
        Err(why) => Err(Box::new(Unfit { why: Obstacle::Nonsense(why), nearest: Vec::new() })),
    }
}

/// Values per narrowing of a free crank, and how often it is narrowed.
const GRID: usize = 64;
const NARROWED: usize = 5;

/// One assembly of a wish: distances from the foot of the shaft on the slide.
struct Plan<'a> {
    wish: &'a SliderWish,
    goal: Goal,
    side: Side,
    /// Wanted far and near end.
    far: f64,
    near: f64,
    /// The shaft beside the slide.
    off: f64,
    rods: Values,
}

fn goal(wish: &SliderWish) -> Goal {
    Goal {
        asked: (wish.stroke.1 - wish.stroke.0).0,
        tolerance: tolerance(wish.stroke, wish.within).0,
        floor: SLIDE_FLOOR,
        fine: SLIDE_FINE,
        prefer: wish.prefer,
        error: wish.error,
    }
}

fn ranked(wish: &SliderWish) -> Result<Result<Ranked<SliderCrank>, Obstacle>, Degenerate> {
    let goal = goal(wish);
    if !(goal.asked > 0.0 && goal.asked.is_finite() && goal.tolerance >= 0.0) {
        return Err(Degenerate::NotFinite);
    }
    let (along, left) = wish.slide.place(wish.motor)?;
    let mut all = Vec::new();
    let sides = [Side::Ahead, Side::Behind];
    for side in sides.into_iter().filter(|s| wish.side.is_none_or(|w| w == *s)) {
        let (low, high) = (wish.stroke.0.0 - along, wish.stroke.1.0 - along);
        let (far, near) = if side == Side::Ahead { (high, low) } else { (-low, -high) };
        let rods = Values::of(wish.rod, (Bars::SHORTEST.0, Bars::LONGEST.0))?;
        let plan = Plan { wish, goal: self::goal(wish), side, far, near, off: left.abs(), rods };
        plan.search(&Values::of(wish.crank, FREE_CRANK)?, &mut all);
    }
    Ok(goal.rank(&all, SliderCrank::analyse).ok_or_else(|| goal.obstacle(&all)))
}

impl Plan<'_> {
    fn search(&self, cranks: &Values, all: &mut Vec<Candidate<SliderCrank>>) {
        let exact = libm::hypot(self.far, self.off) - libm::hypot(self.near, self.off);
        for a in cranks.tried(&[exact / 2.0]) {
            self.rods_for(a, all);
        }
        let Values::Any(lo, hi) = *cranks else { return };
        // No stroke is shorter than twice its crank.
        let (mut lo, mut hi) = (lo, hi.min((self.goal.asked + self.goal.tolerance) / 2.0));
        for _ in 0..NARROWED {
            if lo > hi {
                return;
            }
            let step = (hi - lo) / GRID as f64;
            let mut best: Option<(f64, f64)> = None;
            for i in 0..=GRID {
                let a = lo + step * i as f64;
                let first = all.len();
                self.rods_for(a, all);
                let fitting = all[first..].iter().filter(|c| self.goal.fits(c)).map(|c| c.push);
                if let Some(push) = fitting.reduce(f64::max)
                    && best.is_none_or(|b| push > b.1)
                {
                    best = Some((a, push));
                }
            }
            let about = best.map_or(exact / 2.0, |b| b.0).clamp(lo, hi);
            (lo, hi) = ((about - step).max(lo), (about + step).min(hi));
        }
    }

    /// The rods of a crank worth ranking.
    fn rods_for(&self, a: f64, all: &mut Vec<Candidate<SliderCrank>>) {
        let (e, t, asked) = (self.off, self.goal.tolerance, self.goal.asked);
        let reach = |x: f64| libm::hypot(x.max(0.0), e);
        // Rod for a stroke: it falls as the rod grows, down to twice the crank.
        let rod_for = |stroke: f64| {
            let h = stroke / 2.0;
            if h > a { (h * h + e * e * h * h / ((h - a) * (h + a))).sqrt() } else { f64::INFINITY }
        };
        let longest = [rod_for(asked - t), reach(self.far + t) - a, reach(self.near + t) + a];
        let longest = longest.into_iter().fold(f64::INFINITY, f64::min);
        let shortest = [rod_for(asked + t), reach(self.far - t) - a, reach(self.near - t) + a];
        let shortest = shortest.into_iter().filter(|r| r.is_finite()).fold(a + e, f64::max);
        let exact = 0.5 * (reach(self.far) + reach(self.near));
        match &self.rods {
            Values::Any(least, most) => {
                let (lo, hi) = (least.max(shortest), most.min(longest));
                // Where the stretch is empty its ends still tell what is in the way: as far
                // as the range goes, and no further.
                for rod in [hi, exact.clamp(lo.min(hi), lo.max(hi)), lo, 0.5 * (lo + hi)] {
                    all.extend(self.candidate(a, rod.clamp(*least, *most)));
                }
            }
            Values::Listed(rods) => {
                let mut inside = rods.iter().filter(|r| **r <= longest + 1e-9).rev();
                let few = inside.by_ref().take(3).chain(rods.first()).chain(rods.last());
                for &rod in few {
                    all.extend(self.candidate(a, rod));
                }
            }
        }
    }

    fn candidate(&self, a: f64, b: f64) -> Option<Candidate<SliderCrank>> {
        let (wish, e) = (self.wish, self.off);
        let turns = b > a + e;
        if !turns {
            return None;
        }
        let mechanism = SliderCrank::new(wish.motor, wish.slide, (Mm(a), Mm(b)), self.side).ok()?;
        let along = |reach: f64| ((reach - e) * (reach + e)).sqrt();
        let (far, near) = (along(b + a), along(b - a));
        let miss = (far - self.far).abs().max((near - self.near).abs());
        let push = libm::acos(((a + e) / b).min(1.0));
        let (df, dn) = ((b + a) / far, (b - a) / near);
        let slopes = [df + dn, df - dn, 0.0];
        let ends = [(far - self.far, [df, df, 1.0, 1.0]), (near - self.near, [-dn, dn, 1.0, 1.0])];
        let ends = Some(ends);
        Some(Candidate { mechanism, crank: a, range: far - near, miss, push, slopes, ends })
    }
}

/// Single changes that work, each solved.
fn nearest(wish: &SliderWish) -> Vec<(Remedy, Pick<SliderCrank>)> {
    let mut found = Vec::new();
    let mut take = |change: &dyn Fn(&SliderCrank) -> Remedy, changed: &SliderWish| {
        if let Ok(Ok(ranked)) = ranked(changed) {
            found.push((change(&ranked.best.mechanism), ranked.best));
        }
    };
    let any = Size::Between { lo: 1.0, hi: 1e4 };
    take(&|m| Remedy::Crank(m.crank()), &SliderWish { crank: any, ..*wish });
    take(&|m| Remedy::Rod(m.rod()), &SliderWish { rod: Size::Free, ..*wish });
    // The ends of each crank with the rod it would have, or with the given one.
    let (Ok(cranks), Ok((along, left))) =
        (Values::of(wish.crank, FREE_CRANK), wish.slide.place(wish.motor))
    else {
        return found;
    };
    let (middle, asked) = ((wish.stroke.0 + wish.stroke.1).0 / 2.0, goal(wish).asked);
    let within = Some(tolerance(wish.stroke, wish.within));
    let e = left.abs();
    let mut ends: Option<(f64, f64)> = None;
    for a in cranks.tried(&[asked / 2.0]) {
        let b = match wish.rod {
            Size::Given(b) => b,
            _ => libm::hypot(middle - along, e),
        };
        let side = wish.side.unwrap_or(if middle < along { Side::Behind } else { Side::Ahead });
        let reach = |r: f64| along + side.sign() * ((r - e) * (r + e)).sqrt();
        let (p, q) = (reach(b + a), reach(b - a));
        let better = |old: (f64, f64)| {
            let off = |(lo, hi): (f64, f64)| (hi - lo - asked).abs();
            off((p.min(q), p.max(q))) < off(old)
        };
        if p.is_finite() && q.is_finite() && ends.is_none_or(better) {
            ends = Some((p.min(q), p.max(q)));
        }
    }
    if let Some((from, to)) = ends {
        let stroke = (Mm(from), Mm(to));
        let change = |_: &SliderCrank| Remedy::Ends { from, to };
        take(&change, &SliderWish { stroke, within, ..*wish });
        let by = Mm(middle - (from + to) / 2.0);
        let motor = wish.motor + Vector::polar(by, wish.slide.along);
        take(&|_| Remedy::Motor(motor), &SliderWish { motor, ..*wish });
    }
    found
}
