//! When nothing fits: what is in the way, and the nearest that works.

use super::search::{Found, Plan};
use super::window::Pair;
use super::{Choice, PUSH_FLOOR, Size, Sizes, Wish};
use crate::geometry::{BoardPoint, Vector};
use crate::mechanism::Degenerate;
use crate::units::{Deg, Mm, Rad};

/// Why nothing fits, with the numbers.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reason {
    /// The wish itself makes no sense.
    Nonsense(Degenerate),
    /// No crank-rocker swings so far with a worst push angle of [`PUSH_FLOOR`]:
    /// its push is at most 90 degrees less half the swing.
    SweepTooWide {
        /// What was asked.
        asked: Deg,
        /// The widest that could ever be.
        most: Deg,
    },
    /// No pair of holes lets the crank go round.
    CannotTurn,
    /// Every pair of holes swings further than asked.
    SwingsTooMuch {
        /// The least that the pairs can swing with a usable push angle.
        least: Deg,
    },
    /// No pair of holes swings as far as asked with a usable push angle.
    SwingsTooLittle {
        /// The most that the pairs can swing.
        most: Deg,
    },
    /// Each pair of holes swings too much or too little.
    BetweenHoles {
        /// The most of those that swing too little.
        below: Deg,
        /// The least of those that swing too much.
        above: Deg,
    },
    /// The rod would have to have another length.
    Rod {
        /// The best one.
        needs: Mm,
    },
    /// The lever would have to be clamped at another angle.
    Clamp {
        /// The best one.
        needs: Deg,
    },
    /// It swings as asked, but pushes at a worse angle than [`PUSH_FLOOR`].
    WeakPush {
        /// The best worst push angle.
        best: Deg,
    },
}

/// One change that makes it work.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Change {
    /// Ask for another swing, about the same middle.
    Sweep {
        /// Lower end.
        from: Deg,
        /// Higher end.
        to: Deg,
    },
    /// Another hole in the crank.
    Crank(Mm),
    /// Another hole in the lever.
    Lever(Mm),
    /// Another rod.
    Rod(Mm),
    /// Another clamp angle.
    Clamp(Deg),
    /// The motor nearer to the pivot or further from it, on the same line.
    Motor {
        /// Where to.
        at: BoardPoint,
        /// From shaft to pivot then.
        distance: Mm,
    },
}

/// A change and the answer it leads to, found by solving.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Nearest {
    /// What to change.
    pub change: Change,
    /// What one gets.
    pub choice: Choice,
}

/// Nothing fits.
#[derive(Clone, Debug, PartialEq)]
pub struct NoFit {
    /// What is in the way.
    pub reason: Reason,
    /// The best that was seen, though it does not fit.
    pub best_seen: Option<Choice>,
    /// Single changes that work, each verified.
    pub nearest: Vec<Nearest>,
}

impl NoFit {
    pub(super) fn nonsense(why: Degenerate) -> Box<Self> {
        Box::new(Self { reason: Reason::Nonsense(why), best_seen: None, nearest: Vec::new() })
    }
}

/// Sweeps are changed in steps of this.
const SWEEP_STEP: f64 = 0.5;
/// The motor is moved in steps of this, mm.
const MOTOR_STEP: f64 = 2.0;
/// Holes are looked for so many steps beyond the row, and down to nothing below it.
const HOLE_STEPS: i32 = 40;
/// So many steps down at most: nobody drills a hole further out.
const MOST_STEPS: f64 = 500.0;

/// Explains a wish that nothing fits.
pub(super) fn explain(wish: &Wish<'_>, plan: &Plan<'_>) -> Box<NoFit> {
    let (reason, best_seen) = reason(wish, plan);
    let mut nearest = Vec::new();
    match reason {
        Reason::Rod { needs } => {
            let sizes = Sizes { rod: Size::Given(needs.0), ..wish.sizes };
            nearest.extend(verified(&Wish { sizes, ..*wish }, Change::Rod(needs)));
        }
        Reason::Clamp { needs } => {
            let sizes = Sizes { clamp: Size::Given(needs.0), ..wish.sizes };
            nearest.extend(verified(&Wish { sizes, ..*wish }, Change::Clamp(needs)));
        }
        _ => {}
    }
    nearest.extend(other_sweep(wish));
    nearest.extend(other_hole(wish, true));
    nearest.extend(other_hole(wish, false));
    nearest.extend(other_motor(wish));
    Box::new(NoFit { reason, best_seen, nearest })
}

/// Lifts one limit after the other until something fits.
fn reason(wish: &Wish<'_>, plan: &Plan<'_>) -> (Reason, Option<Choice>) {
    let asked = wish.asked();
    let widest = (Deg(90.0) - PUSH_FLOOR) * 2.0;
    if asked - wish.tolerance() > widest {
        return (Reason::SweepTooWide { asked, most: widest }, None);
    }
    let best = |rod, clamp, push| {
        let plan = Plan::of(wish).ok()?.relaxed(rod, clamp, push);
        let found: Vec<Found> = plan.search();
        plan.rank(&found)?.into_iter().next()
    };
    if let Some(choice) = best(false, true, false) {
        return (Reason::Clamp { needs: freed_clamp(wish, &choice) }, Some(choice));
    }
    if let Some(choice) = best(true, false, false).or_else(|| best(true, true, false)) {
        return (Reason::Rod { needs: choice.linkage.bars().rod }, Some(choice));
    }
    if let Some(choice) = best(true, true, true) {
        return (Reason::WeakPush { best: choice.push }, Some(choice));
    }
    (swing_reason(wish, plan), None)
}

/// The clamp of a choice that was found with any clamp allowed.
fn freed_clamp(wish: &Wish<'_>, choice: &Choice) -> Deg {
    let sizes = Sizes { clamp: Size::Free, ..wish.sizes };
    let free = Wish { sizes, ..*wish };
    super::solve(&free).map_or(choice.linkage.clamp(), |a| a.best.linkage.clamp())
}

/// No pair reaches the swing, whatever the rod: from which side do they miss?
fn swing_reason(wish: &Wish<'_>, plan: &Plan<'_>) -> Reason {
    let asked = wish.asked().rad().0;
    let floor = libm::cos(PUSH_FLOOR.rad().0);
    let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
    let (mut below, mut above) = (f64::NEG_INFINITY, f64::INFINITY);
    let mut turning = false;
    for pair in plan.pairs() {
        turning |= pair.turning().is_some();
        let Some((low, high)) = reachable(&pair, floor) else { continue };
        (least, most) = (least.min(low), most.max(high));
        if high < asked {
            below = below.max(high);
        }
        if low > asked {
            above = above.min(low);
        }
    }
    let deg = |v: f64| Rad(v).deg();
    if !turning {
        Reason::CannotTurn
    } else if !least.is_finite() {
        Reason::WeakPush { best: Deg(0.0) }
    } else if least > asked {
        Reason::SwingsTooMuch { least: deg(least) }
    } else if most < asked {
        Reason::SwingsTooLittle { most: deg(most) }
    } else {
        Reason::BetweenHoles { below: deg(below.max(least)), above: deg(above.min(most)) }
    }
}

/// The least and the most a pair swings with a usable push angle.
pub(super) fn reachable(pair: &Pair, floor: f64) -> Option<(f64, f64)> {
    let rods = pair.turning()?.cut(pair.pushing(floor)?)?;
    let ends = (pair.swing(rods.lo), pair.swing(rods.hi));
    Some((pair.swing(pair.valley().clamp(rods.lo, rods.hi)), ends.0.max(ends.1)))
}

/// Solves a changed wish.
fn verified(wish: &Wish<'_>, change: Change) -> Option<Nearest> {
    let plan = Plan::of(wish).ok()?;
    let choice = plan.rank(&plan.search())?.into_iter().next()?;
    Some(Nearest { change, choice })
}

/// The smallest change of the swing, in steps, about the same middle, its ends in tenths
/// of a degree as they are told. A narrower swing that says no tolerance of its own has a
/// smaller one.
fn other_sweep(wish: &Wish<'_>) -> Option<Nearest> {
    let tried = |swing: f64| {
        if swing <= 1.0 || swing >= 180.0 {
            return None;
        }
        let within = Some(wish.tolerance().min(super::usual_tolerance(Deg(swing))));
        let middle = (wish.sweep.0 + wish.sweep.1) / 2.0;
        let tenth = |a: Deg| Deg(libm::round(a.0 * 10.0) / 10.0);
        let sweep = (tenth(middle - Deg(swing / 2.0)), tenth(middle + Deg(swing / 2.0)));
        let change = Change::Sweep { from: sweep.0, to: sweep.1 };
        verified(&Wish { sweep, within, ..*wish }, change)
    };
    let asked = wish.asked().0;
    let steps = (asked.clamp(60.0, 360.0) / SWEEP_STEP) as i32;
    (1..=steps).find_map(|i| {
        let by = f64::from(i) * SWEEP_STEP;
        tried(asked - by).or_else(|| tried(asked + by))
    })
}

/// The nearest hole beside those given or on the row.
fn other_hole(wish: &Wish<'_>, crank: bool) -> Option<Nearest> {
    let size = if crank { wish.sizes.crank } else { wish.sizes.lever };
    let (lo, hi, step) = match size {
        Size::Given(v) => (v, v, 1.0),
        Size::Row { lo, hi, step } => (lo, hi, step),
        Size::Between { lo, hi } => (lo, hi, 1.0),
        Size::Free => return None,
    };
    let tried = |v: f64| {
        if v <= 0.0 {
            return None;
        }
        let (sizes, change) = if crank {
            (Sizes { crank: Size::Given(v), ..wish.sizes }, Change::Crank(Mm(v)))
        } else {
            (Sizes { lever: Size::Given(v), ..wish.sizes }, Change::Lever(Mm(v)))
        };
        verified(&Wish { sizes, ..*wish }, change)
    };
    let down = (lo / step).clamp(0.0, MOST_STEPS) as i32;
    (1..=HOLE_STEPS.max(down)).find_map(|i| {
        let by = f64::from(i) * step;
        tried(lo - by).or_else(|| (i <= HOLE_STEPS).then(|| tried(hi + by)).flatten())
    })
}

/// The nearest place of the motor on the line through pivot and motor: of one too near the
/// pivot for any crank to go round too.
fn other_motor(wish: &Wish<'_>) -> Option<Nearest> {
    let away = wish.motor - wish.pivot;
    let (distance, dir) = (away.length().0, away.dir()?);
    let tried = |d: f64| {
        if d <= 0.2 * distance {
            return None;
        }
        let at = wish.pivot + Vector::polar(Mm(d), dir);
        verified(&Wish { motor: at, ..*wish }, Change::Motor { at, distance: Mm(d) })
    };
    let steps = (distance / MOTOR_STEP).clamp(100.0, 150.0) as i32;
    (1..=steps).find_map(|i| {
        let by = f64::from(i) * MOTOR_STEP;
        tried(distance - by).or_else(|| tried(distance + by))
    })
}
