//! `?` of a slotted arm: crank from the swing in closed form, clamp from its place.

use std::f64::consts::{FRAC_PI_2, PI};

use super::ranked::{Candidate, Goal, Obstacle, Ranked, Remedy, Unfit, Values};
use super::{FREE_CRANK, PUSH_FLOOR, Prefer, Size};
use crate::geometry::{BoardPoint, Vector};
use crate::mechanism::{Degenerate, SlottedArm};
use crate::units::{Deg, Mm, Rad};

/// What is asked of a slotted arm.
#[derive(Clone, Copy, Debug)]
pub struct SlottedWish {
    /// The motor shaft.
    pub motor: BoardPoint,
    /// The limb's pivot.
    pub pivot: BoardPoint,
    /// Shaft to crank pin, mm.
    pub crank: Size,
    /// From the limb's axis to the slot, degrees counter-clockwise.
    pub clamp: Size,
    /// How far the slot lies left of the pivot.
    pub offset: Mm,
    /// The limb angles to swing between; the second is the higher.
    pub sweep: (Deg, Deg),
    /// By how much swing and ends may miss; absent: 2 degrees or 5 % of the sweep,
    /// whichever is less.
    pub within: Option<Deg>,
    /// What makes an answer better.
    pub prefer: Prefer,
    /// By how much a built length may be off.
    pub error: Mm,
}

/// The best slotted arms for a wish: the crank goes right round, the limb swings to
/// and fro, swing and ends miss by at most the tolerance.
///
/// The swing is `asin((a - e)/d) + asin((a + e)/d)`, so a crank `a` follows from a
/// swing `s`: `a = sin(s/2) sqrt(d^2 - (e/cos(s/2))^2)`; the worst push angle falls
/// with the crank, so the best of all is on the edge of the window.
///
/// # Errors
/// Where nothing fits: what is in the way, and single changes that work.
pub fn solve_slotted_arm(wish: &SlottedWish) -> Result<Ranked<SlottedArm>, Box<Unfit<SlottedArm>>> {
    match ranked(wish) {
        Ok(Ok(ranked)) => Ok(ranked),
        Ok(Err(why)) => Err(Box::new(Unfit { why, nearest: nearest(wish) })),
        Err(why) => Err(Box::new(Unfit { why: Obstacle::Nonsense(why), nearest: Vec::new() })),
    }
}

impl SlottedWish {
    fn ground(&self) -> f64 {
        (self.pivot - self.motor).length().0
    }

    fn asked(&self) -> Deg {
        self.sweep.1 - self.sweep.0
    }

    fn tolerance(&self) -> Deg {
        self.within.unwrap_or_else(|| super::usual_tolerance(self.asked()))
    }

    /// The crank for a swing, rad; not a number where there is none.
    fn crank_for(&self, swing: f64) -> f64 {
        let (sin, cos) = libm::sincos(swing / 2.0);
        let off = self.offset.0 / cos;
        sin * ((self.ground() - off) * (self.ground() + off)).sqrt()
    }
}

fn ranked(wish: &SlottedWish) -> Result<Result<Ranked<SlottedArm>, Obstacle>, Degenerate> {
    let (asked, tolerance) = (wish.asked(), wish.tolerance());
    if !(asked.0 > 0.0 && asked.0.is_finite() && tolerance.0 >= 0.0 && wish.offset.0.is_finite()) {
        return Err(Degenerate::NotFinite);
    }
    // Places that make no mechanism with any crank.
    let away = (wish.motor - wish.pivot).dir().ok_or(Degenerate::CentresMeet)?.angle();
    let goal = Goal {
        asked: asked.0,
        tolerance: tolerance.0,
        floor: PUSH_FLOOR,
        fine: Deg(180.0),
        prefer: wish.prefer,
        error: wish.error,
    };
    let mut wanted: Vec<f64> = [asked - tolerance, asked, asked + tolerance]
        .into_iter()
        .filter(|s| s.0 > 0.0 && s.0 < 180.0)
        .map(|s| wish.crank_for(s.rad().0))
        .collect();
    if let Size::Given(clamp) = wish.clamp {
        // Cranks that put one end where it should be, or as far off as it may be.
        for by in [-tolerance, Deg(0.0), tolerance] {
            let slot = |end: Deg| (end + by + Deg(clamp)).rad() - away;
            wanted.push(wish.ground() * libm::sin(slot(wish.sweep.1).0) + wish.offset.0);
            wanted.push(wish.ground() * libm::sin(-slot(wish.sweep.0).0) - wish.offset.0);
        }
    }
    let cranks = Values::of(wish.crank, FREE_CRANK)?.tried(&wanted);
    let all: Vec<_> = cranks.into_iter().filter_map(|a| candidate(wish, a)).collect();
    Ok(goal.rank(&all, SlottedArm::analyse).ok_or_else(|| goal.obstacle(&all)))
}

/// A crank with the clamp that puts its swing nearest to the one asked for.
fn candidate(wish: &SlottedWish, a: f64) -> Option<Candidate<SlottedArm>> {
    let (d, e) = (wish.ground(), wish.offset.0);
    let turns = a > 0.0 && a + e.abs() < d;
    if !turns {
        return None;
    }
    let rise = |off: f64| libm::atan2(off, ((d - off) * (d + off)).sqrt());
    let (low, high) = (-rise(a + e), rise(a - e));
    let away = (wish.motor - wish.pivot).dir()?.angle().0;
    let centred = Rad(away + (low + high) / 2.0).deg() - (wish.sweep.0 + wish.sweep.1) / 2.0;
    let clamp = clamp_near(wish.clamp, centred)?;
    let arm = SlottedArm::new((wish.motor, wish.pivot), Mm(a), wish.offset, clamp).ok()?;
    let range = Rad(high - low).deg().0;
    let off = (clamp - centred).signed().abs().0;
    let miss = off + (range - (wish.sweep.1 - wish.sweep.0).0).abs() / 2.0;
    let sine = e / (d - a);
    let slope = |off: f64| Rad(1.0 / ((d - off) * (d + off)).sqrt()).deg().0;
    let slopes = [slope(a + e) + slope(a - e), slope(a + e) - slope(a - e), 0.0];
    let push = FRAC_PI_2 - libm::asin(sine.abs().min(1.0));
    Some(Candidate { mechanism: arm, crank: a, range, miss, push, slopes, ends: None })
}

/// The allowed clamp nearest to one.
fn clamp_near(size: Size, to: Deg) -> Option<Deg> {
    Some(match size {
        Size::Free => to.signed(),
        Size::Given(v) if v.is_finite() => Deg(v),
        Size::Between { lo, hi } if lo <= hi && hi.is_finite() && lo.is_finite() => {
            let from_lo = (to - Deg(lo)).positive().0;
            let beyond = from_lo - (hi - lo);
            if beyond <= 0.0 {
                Deg(lo + from_lo)
            } else if beyond <= 360.0 - from_lo {
                Deg(hi)
            } else {
                Deg(lo)
            }
        }
        Size::Row { lo, hi, step } if step > 0.0 && lo <= hi && (hi - lo) / step < 2000.0 => {
            let count = libm::floor((hi - lo) / step + 1e-9) as usize;
            let all = (0..=count).map(|i| Deg(lo + step * i as f64));
            let off = |v: &Deg| (*v - to).signed().abs().0;
            all.min_by(|p, q| off(p).total_cmp(&off(q)))?
        }
        _ => return None,
    })
}

/// Single changes that work, each solved.
fn nearest(wish: &SlottedWish) -> Vec<(Remedy, super::Pick<SlottedArm>)> {
    let mut found = Vec::new();
    let mut take = |change: Remedy, changed: &SlottedWish| {
        if let Ok(Ok(ranked)) = ranked(changed) {
            found.push((told(&ranked.best.mechanism, change), ranked.best));
        }
    };
    let within = Some(wish.tolerance());
    let free = (1.0, wish.ground());
    let any = Size::Between { lo: free.0, hi: free.1.max(1.0) };
    take(Remedy::Crank(Mm(0.0)), &SlottedWish { crank: any, ..*wish });
    take(Remedy::Clamp(Deg(0.0)), &SlottedWish { clamp: Size::Free, ..*wish });
    let cranks = match Values::of(wish.crank, FREE_CRANK) {
        Ok(Values::Listed(all)) => all,
        Ok(Values::Any(lo, hi)) => vec![lo, hi],
        Err(_) => return found,
    };
    // The hole whose motor would move least, and the hole whose swing is nearest.
    let half = (wish.asked().rad().0 / 2.0).clamp(0.0, PI);
    let (sin, cos) = libm::sincos(half);
    let distance = |a: f64| libm::hypot(a / sin, wish.offset.0 / cos);
    let off = |a: &&f64| (distance(**a) - wish.ground()).abs();
    let motor = cranks.iter().min_by(|p, q| off(p).total_cmp(&off(q)));
    if let (Some(&a), Some(dir)) = (motor, (wish.motor - wish.pivot).dir()) {
        let at = wish.pivot + Vector::polar(Mm(distance(a)), dir);
        take(Remedy::Motor(at), &SlottedWish { motor: at, ..*wish });
    }
    let swings = cranks.iter().filter_map(|&a| candidate(wish, a)).map(|c| c.range);
    let off = |s: &f64| (s - wish.asked().0).abs();
    if let Some(swing) = swings.min_by(|p, q| off(p).total_cmp(&off(q))) {
        let middle = (wish.sweep.0 + wish.sweep.1) / 2.0;
        let sweep = (middle - Deg(swing / 2.0), middle + Deg(swing / 2.0));
        let change = Remedy::Ends { from: sweep.0.0, to: sweep.1.0 };
        take(change, &SlottedWish { sweep, within, ..*wish });
    }
    found
}

/// What was left to the solver is told as it was found.
fn told(arm: &SlottedArm, change: Remedy) -> Remedy {
    match change {
        Remedy::Crank(_) => Remedy::Crank(arm.crank()),
        Remedy::Clamp(_) => Remedy::Clamp(arm.clamp()),
        other => other,
    }
}
