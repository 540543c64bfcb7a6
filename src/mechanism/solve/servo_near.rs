//! Why no arm, rod and lever fit a servo, and the nearest that do.

use super::servo::{Plan, ServoChoice, ServoWish};
use super::{PUSH_FLOOR, Size, Sizes};
use crate::mechanism::Degenerate;
use crate::units::{Deg, Mm, Rad};

/// What is in the way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ServoReason {
    /// The wish itself makes no sense.
    Nonsense(Degenerate),
    /// With the limb where it is said to be at the servo's own 0 an end lies beyond the
    /// travel.
    Zero {
        /// By how much at least.
        by: Deg,
    },
    /// The servo does not turn far enough.
    Travel {
        /// How far it would have to, at least.
        needs: Deg,
        /// How far it turns.
        has: Deg,
    },
    /// No rod within the ranges joins arm and lever over the whole motion.
    Apart,
    /// It goes all the way, but rod and lever come too near a line.
    WeakPush {
        /// The best worst push angle.
        best: Deg,
    },
    /// It goes all the way, but arm and rod come too near a line.
    Lean {
        /// The best least angle between them.
        best: Deg,
    },
}

/// One change that makes it work.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ServoChange {
    /// Another limb angle at the servo's own 0.
    Zero(Deg),
    /// Another clamp angle.
    Clamp(Deg),
    /// Another rod.
    Rod(Mm),
    /// Another arm.
    Arm(Mm),
    /// Another lever.
    Lever(Mm),
    /// Ask for other ends.
    Ends {
        /// The lower.
        from: Deg,
        /// The higher.
        to: Deg,
    },
}

/// Nothing fits.
#[derive(Clone, Debug, PartialEq)]
pub struct ServoNoFit {
    /// What is in the way.
    pub reason: ServoReason,
    /// Single changes that work, each found by solving.
    pub nearest: Vec<(ServoChange, ServoChoice)>,
}

/// Why a wish that nothing fits has no answer, and the nearest that have one.
#[must_use]
pub fn explain_servo(wish: &ServoWish) -> Box<ServoNoFit> {
    let tried = wish.at_edge().unwrap_or(*wish);
    Box::new(match Plan::of(&tried) {
        Err(why) => ServoNoFit { reason: ServoReason::Nonsense(why), nearest: Vec::new() },
        Ok(plan) => ServoNoFit { reason: reason(&tried, &plan), nearest: nearest(wish) },
    })
}

fn reason(wish: &ServoWish, plan: &Plan<'_>) -> ServoReason {
    let found = plan.search();
    let Some(best) = found.first() else { return ServoReason::Apart };
    if best.beyond <= 0.0 {
        let pushes = found.iter().filter(|f| f.beyond <= 0.0).map(|f| f.verdict.cos);
        let cos = pushes.fold(1.0, f64::min);
        return ServoReason::WeakPush {
            best: Rad(libm::acos(cos.clamp(0.0, 1.0))).deg().min(PUSH_FLOOR),
        };
    }
    let over = Rad(best.beyond).deg();
    let free = ServoWish { zero: Size::Free, ..*wish };
    if matches!(wish.zero, Size::Given(_)) && Plan::of(&free).is_ok_and(|p| works(&p)) {
        return ServoReason::Zero { by: over };
    }
    let has = wish.travel.1 - wish.travel.0;
    let turned = found.iter().map(|f| f.verdict.turned.abs()).fold(f64::INFINITY, f64::min);
    match Rad(turned).deg() {
        needs if needs > has => ServoReason::Travel { needs, has },
        _ if matches!(wish.zero, Size::Given(_)) => ServoReason::Zero { by: over },
        _ => ServoReason::Lean { best: Rad(libm::asin(best.verdict.lean.min(1.0))).deg() },
    }
}

fn works(plan: &Plan<'_>) -> bool {
    plan.search().first().is_some_and(|f| plan.fits(f))
}

/// Single changes that work: what was said of one size forgotten, or a smaller motion.
fn nearest(wish: &ServoWish) -> Vec<(ServoChange, ServoChoice)> {
    let mut found = Vec::new();
    let mut take = |changed: ServoWish, told: fn(&ServoChoice) -> ServoChange| {
        if let Some(best) = solved(&changed) {
            found.push((told(&best), best));
        }
    };
    let with = |sizes: Sizes| ServoWish { sizes, ..*wish };
    let said = |size: Size| size != Size::Free;
    if said(wish.zero) {
        take(ServoWish { zero: Size::Free, ..*wish }, |c| ServoChange::Zero(c.zero));
    }
    if said(wish.sizes.clamp) {
        take(with(Sizes { clamp: Size::Free, ..wish.sizes }), |c| {
            ServoChange::Clamp(c.linkage.clamp())
        });
    }
    if said(wish.sizes.rod) {
        take(with(Sizes { rod: Size::Free, ..wish.sizes }), |c| {
            ServoChange::Rod(c.linkage.bars().rod)
        });
    }
    for change in [other_arm, other_lever, smaller] {
        found.extend(change(wish));
    }
    found
}

fn solved(wish: &ServoWish) -> Option<ServoChoice> {
    super::find_servo(wish).map(|found| found.best)
}

/// So many holes further out and in are tried.
const HOLES: u32 = 24;

/// The nearest other hole of a size.
fn other_hole(size: Size, with: impl Fn(Size) -> Option<ServoChoice>) -> Option<ServoChoice> {
    let (lo, hi, step) = match size {
        Size::Given(v) => (v, v, 2.5),
        Size::Row { lo, hi, step } => (lo, hi, step),
        Size::Between { lo, hi } => (lo, hi, 2.5),
        Size::Free => return None,
    };
    (1..=HOLES).find_map(|i| {
        let by = f64::from(i) * step;
        let smaller = (lo - by > 4.0).then(|| with(Size::Given(lo - by))).flatten();
        smaller.or_else(|| with(Size::Given(hi + by)))
    })
}

fn other_arm(wish: &ServoWish) -> Option<(ServoChange, ServoChoice)> {
    let with = |crank| solved(&ServoWish { sizes: Sizes { crank, ..wish.sizes }, ..*wish });
    let found = other_hole(wish.sizes.crank, with)?;
    Some((ServoChange::Arm(found.linkage.bars().crank), found))
}

fn other_lever(wish: &ServoWish) -> Option<(ServoChange, ServoChoice)> {
    let with = |lever| solved(&ServoWish { sizes: Sizes { lever, ..wish.sizes }, ..*wish });
    let found = other_hole(wish.sizes.lever, with)?;
    Some((ServoChange::Lever(found.linkage.bars().lever), found))
}

/// The widest motion about the same middle that works, in whole degrees.
fn smaller(wish: &ServoWish) -> Option<(ServoChange, ServoChoice)> {
    let middle = (wish.used.0 + wish.used.1) / 2.0;
    let asked = wish.used.1 - wish.used.0;
    let with = |swing: Deg| {
        let used = (middle - swing / 2.0, middle + swing / 2.0);
        let found = solved(&ServoWish { used, ..*wish })?;
        Some((ServoChange::Ends { from: used.0, to: used.1 }, found))
    };
    let (mut works, mut fails) = (0_u32, libm::ceil(asked.0) as u32);
    let mut best = None;
    while fails - works > 1 {
        let swing = works.midpoint(fails);
        match with(Deg(f64::from(swing))) {
            Some(found) => (works, best) = (swing, Some(found)),
            None => fails = swing,
        }
    }
    best
}
