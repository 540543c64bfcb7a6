//! `?` of a Scotch yoke: the crank from the stroke.

use super::ranked::{Candidate, Goal, Obstacle, Pick, Ranked, Remedy, Unfit, Values};
use super::{FREE_CRANK, Prefer, Size};
use crate::geometry::{BoardPoint, Vector};
use crate::mechanism::{Degenerate, ScotchYoke, Slide};
use crate::units::{Deg, Mm};

/// No answer pushes at a worse angle: more than 45 degrees of pressure jams a plain
/// guide (common practice, no source).
pub(super) const SLIDE_FLOOR: Deg = Deg(45.0);
/// Up to 30 degrees of pressure a plain guide runs well (common practice, no source).
pub(super) const SLIDE_FINE: Deg = Deg(60.0);

/// What is asked of a Scotch yoke.
#[derive(Clone, Copy, Debug)]
pub struct YokeWish {
    /// The motor shaft.
    pub motor: BoardPoint,
    /// The line the limb slides on.
    pub slide: Slide,
    /// Shaft to crank pin, mm.
    pub crank: Size,
    /// How far the slot leans from the square to the slide.
    pub tilt: Deg,
    /// The places along the slide to move between; the second is the higher.
    pub stroke: (Mm, Mm),
    /// By how much stroke and ends may miss; absent: 2 mm or 5 % of the stroke,
    /// whichever is less.
    pub within: Option<Mm>,
    /// What makes an answer better.
    pub prefer: Prefer,
    /// By how much a built length may be off.
    pub error: Mm,
}

impl YokeWish {
    fn goal(&self) -> Goal {
        Goal {
            asked: (self.stroke.1 - self.stroke.0).0,
            tolerance: tolerance(self.stroke, self.within).0,
            floor: SLIDE_FLOOR,
            fine: SLIDE_FINE,
            prefer: self.prefer,
            error: self.error,
        }
    }
}

/// By how much a stroke and its ends may miss.
pub(super) fn tolerance(stroke: (Mm, Mm), within: Option<Mm>) -> Mm {
    within.unwrap_or_else(|| Mm(2.0).min((stroke.1 - stroke.0) * 0.05))
}

/// The best yokes for a wish: stroke and ends miss by at most the tolerance. The
/// stroke is `2 a/cos(tilt)`; the push angle is the same for every crank, so the
/// nearest stroke is the best.
///
/// # Errors
/// Where nothing fits: what is in the way, and single changes that work.
pub fn solve_scotch_yoke(wish: &YokeWish) -> Result<Ranked<ScotchYoke>, Box<Unfit<ScotchYoke>>> {
    match ranked(wish) {
        Ok(Ok(ranked)) => Ok(ranked),
        Ok(Err(why)) => Err(Box::new(Unfit { why, nearest: nearest(wish) })),
        Err(why) => Err(Box::new(Unfit { why: Obstacle::Nonsense(why), nearest: Vec::new() })),
    }
}

fn ranked(wish: &YokeWish) -> Result<Result<Ranked<ScotchYoke>, Obstacle>, Degenerate> {
    let goal = wish.goal();
    if !(goal.asked > 0.0 && goal.asked.is_finite() && goal.tolerance >= 0.0) {
        return Err(Degenerate::NotFinite);
    }
    // Says what is wrong with place and tilt, whatever the crank.
    let unit = ScotchYoke::new(wish.motor, wish.slide, Mm(1.0), wish.tilt)?;
    let per_mm = unit.stroke().0;
    let wanted: Vec<f64> = [-goal.tolerance, 0.0, goal.tolerance]
        .into_iter()
        .map(|by| (goal.asked + by) / per_mm)
        .collect();
    let beside = (unit.middle() - (wish.stroke.0 + wish.stroke.1) / 2.0).0;
    let middle = beside.abs();
    let candidate = |a: f64| {
        let mechanism = ScotchYoke::new(wish.motor, wish.slide, Mm(a), wish.tilt).ok()?;
        let range = mechanism.stroke().0;
        let miss = middle + (range - goal.asked).abs() / 2.0;
        let push = std::f64::consts::FRAC_PI_2 - mechanism.pressure().rad().0;
        let (half, by) = (per_mm / 2.0, (range - goal.asked) / 2.0);
        // Its crank moves both ends apart, motor and guide move them together.
        let ends = [(beside + by, [half, 0.0, 1.0, 1.0]), (beside - by, [-half, 0.0, 1.0, 1.0])];
        let slopes = [per_mm, 0.0, 0.0];
        Some(Candidate { mechanism, crank: a, range, miss, push, slopes, ends: Some(ends) })
    };
    let cranks = Values::of(wish.crank, FREE_CRANK)?.tried(&wanted);
    let all: Vec<_> = cranks.into_iter().filter_map(candidate).collect();
    Ok(goal.rank(&all, ScotchYoke::analyse).ok_or_else(|| goal.obstacle(&all)))
}

/// Single changes that work, each solved.
fn nearest(wish: &YokeWish) -> Vec<(Remedy, Pick<ScotchYoke>)> {
    let mut found = Vec::new();
    let mut take = |change: &dyn Fn(&ScotchYoke) -> Remedy, changed: &YokeWish| {
        if let Ok(Ok(ranked)) = ranked(changed) {
            found.push((change(&ranked.best.mechanism), ranked.best));
        }
    };
    let any = Size::Between { lo: 1.0, hi: 1e4 };
    take(&|yoke| Remedy::Crank(yoke.crank()), &YokeWish { crank: any, ..*wish });
    let Ok(unit) = ScotchYoke::new(wish.motor, wish.slide, Mm(1.0), wish.tilt) else {
        return found;
    };
    let off = (wish.stroke.0 + wish.stroke.1) / 2.0 - unit.middle();
    let motor = wish.motor + Vector::polar(off, wish.slide.along);
    take(&|_| Remedy::Motor(motor), &YokeWish { motor, ..*wish });
    // The stroke of the nearest crank, about the middle it has.
    let cranks = match Values::of(wish.crank, FREE_CRANK) {
        Ok(Values::Listed(all)) => all,
        Ok(Values::Any(lo, hi)) => vec![lo, hi],
        Err(_) => return found,
    };
    let asked = wish.goal().asked;
    let strokes = cranks.into_iter().map(|a| a * unit.stroke().0);
    let nearer = strokes.min_by(|p, q| (p - asked).abs().total_cmp(&(q - asked).abs()));
    if let Some(stroke) = nearer {
        let ends = (unit.middle() - Mm(stroke / 2.0), unit.middle() + Mm(stroke / 2.0));
        let within = Some(tolerance(wish.stroke, wish.within));
        let change = |_: &ScotchYoke| Remedy::Ends { from: ends.0.0, to: ends.1.0 };
        take(&change, &YokeWish { stroke: ends, within, ..*wish });
    }
    found
}
