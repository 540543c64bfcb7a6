//! Open sizes of a forearm: its lever hole, the second rod, the clamp.
//!
//! The limb above is solved already and moves as it does. For each hole pair its
//! direction and distance, seen from the lower pivot, are tabled once over the
//! motor's turn; a rod then costs one triangle for each row. Rods that swing as
//! asked are found by bracketing over the rods that close all round, and made exact
//! with the forearm's own turning points.

use std::f64::consts::PI;

use super::forearm_table::{Ends, Table};
use super::search::{Axis, positive};
use super::{FREE_LEVER, KEPT, PUSH_FLOOR, Size};
use crate::geometry::{Bracket, Dir, highest};
use crate::mechanism::{Above, Assembly, Blocked, Degenerate, Forearm, ForearmAnalysis, Rod};
use crate::units::{Deg, Mm, Rad};

/// What is asked of a forearm.
#[derive(Clone, Copy)]
pub struct ForearmWish<'a> {
    /// The limb above and what it is to the forearm.
    pub above: Above<'a>,
    /// Where the second rod's near pin may be, in its body (the limb above, or the
    /// board): one place, or a row of holes.
    pub pins: &'a [[f64; 2]],
    /// The forearm's pivot in its body.
    pub pivot: [f64; 2],
    /// Pin to pin, mm.
    pub rod: Size,
    /// Forearm pivot to its pin, mm.
    pub lever: Size,
    /// From the forearm's axis to its lever, degrees counter-clockwise.
    pub clamp: Size,
    /// The forearm angles to swing between, absolute; the second is the higher.
    pub sweep: (Deg, Deg),
    /// By how much swing and ends may miss; absent: 2 degrees or 5 %.
    pub within: Option<Deg>,
    /// Fixed, or whichever is better.
    pub assembly: Option<Assembly>,
}

impl ForearmWish<'_> {
    /// By how much swing and ends may miss.
    #[must_use]
    pub fn tolerance(&self) -> Deg {
        self.within.unwrap_or_else(|| super::usual_tolerance(self.asked()))
    }

    /// The swing asked for.
    #[must_use]
    pub fn asked(&self) -> Deg {
        self.sweep.1 - self.sweep.0
    }
}

/// One forearm that fits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ForearmChoice {
    /// With exact sizes.
    pub rod: Rod,
    /// The clamp, as an angle.
    pub clamp: Deg,
    /// Its swing.
    pub swing: Deg,
    /// The worst push angle of the second rod.
    pub push: Deg,
    /// By how much the second loop closes at the tightest place.
    pub margin: Mm,
}

/// Why nothing fits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ForearmReason {
    /// The wish itself makes no sense.
    Nonsense(Degenerate),
    /// The limb above does not go all the way.
    Above(Blocked),
    /// No hole and rod close all round.
    CannotClose,
    /// Every hole swings further than asked.
    SwingsTooMuch {
        /// The least.
        least: Deg,
    },
    /// No hole swings as far as asked.
    SwingsTooLittle {
        /// The most.
        most: Deg,
    },
    /// Some swing too little, the others too much.
    BetweenHoles,
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
    /// It swings as asked but pushes worse than [`PUSH_FLOOR`].
    WeakPush {
        /// The best worst push angle.
        best: Deg,
    },
}

/// One change that makes it work.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ForearmChange {
    /// Ask for another swing, about the same middle.
    Sweep {
        /// Lower end.
        from: Deg,
        /// Higher end.
        to: Deg,
    },
    /// Another hole in the lever.
    Lever(Mm),
    /// Another rod.
    Rod(Mm),
    /// Another clamp angle.
    Clamp(Deg),
}

/// Nothing fits.
#[derive(Clone, Debug, PartialEq)]
pub struct ForearmNoFit {
    /// What is in the way.
    pub reason: ForearmReason,
    /// Single changes that work, with what they lead to, each found by solving.
    pub nearest: Vec<(ForearmChange, ForearmChoice)>,
}

/// The best forearm with its analysis, and the best of up to four other holes.
#[derive(Clone, Debug, PartialEq)]
pub struct ForearmAnswer {
    /// Best first: by worst push angle.
    pub choices: Vec<ForearmChoice>,
    /// The analysis of the best.
    pub analysis: ForearmAnalysis,
}

/// The best forearm for a wish. An open rod is found for exactly the asked swing, or
/// where the swing turns back within the tolerance of it; where neither is, at the
/// tolerance's edge. A given rod or one of a row has to swing within the tolerance.
///
/// # Errors
/// Where nothing fits: what is in the way, and the nearest that works.
pub fn solve_forearm(wish: &ForearmWish<'_>) -> Result<ForearmAnswer, Box<ForearmNoFit>> {
    let refused = |reason| Box::new(ForearmNoFit { reason, nearest: Vec::new() });
    let plan = Plan::of(wish).map_err(refused)?;
    let choices = plan.search(Limits::ALL).0;
    let Some(best) = choices.first() else { return Err(Box::new(explain(wish, &plan))) };
    let analysis = (Forearm { above: wish.above, rod: best.rod }).analyse();
    let analysis = analysis.map_err(|why| refused(ForearmReason::Above(why)))?;
    Ok(ForearmAnswer { choices, analysis })
}

/// The worst push of the best forearm for a wish; `None` where nothing fits. For whoever
/// looks among many places of its pin.
#[must_use]
pub fn forearm_push(wish: &ForearmWish<'_>) -> Option<Deg> {
    Some(Plan::of(wish).ok()?.search(Limits::ALL).0.first()?.push)
}

/// Rods tried between the shortest and the longest that close.
const RODS: usize = 12;

/// Which limits a search keeps to.
#[derive(Clone, Copy)]
struct Limits {
    rod: bool,
    clamp: bool,
    push: bool,
}

impl Limits {
    const ALL: Self = Self { rod: true, clamp: true, push: true };
}

/// What the swings of all tried rods were.
#[derive(Clone, Copy, Debug)]
struct Seen {
    least: f64,
    most: f64,
    /// The swing nearest to the asked one, of rods that push well enough.
    nearest: Option<f64>,
}

struct Plan<'a> {
    wish: &'a ForearmWish<'a>,
    tables: Vec<Table<'a>>,
    levers: Axis,
    asked: f64,
    tolerance: f64,
}

impl<'a> Plan<'a> {
    fn of(wish: &'a ForearmWish<'a>) -> Result<Self, ForearmReason> {
        let (asked, tolerance) = (wish.asked().rad().0, wish.tolerance().rad().0);
        let sensible = asked > 0.0 && asked < 2.0 * PI && tolerance >= 0.0;
        let finite = wish.pins.iter().flatten().chain(&wish.pivot).all(|v| v.is_finite());
        if !(sensible && finite && wish.sweep.0.0.is_finite()) {
            return Err(ForearmReason::Nonsense(Degenerate::NotFinite));
        }
        let levers = Axis::of(wish.lever, FREE_LEVER).map_err(ForearmReason::Nonsense)?;
        if let Size::Given(v) = wish.rod {
            positive(v).map_err(ForearmReason::Nonsense)?;
        }
        let tables = wish.pins.iter().map(|pin| Table::of(wish, *pin));
        let tables = tables.collect::<Result<Vec<_>, Blocked>>().map_err(ForearmReason::Above)?;
        Ok(Self { wish, tables, levers, asked, tolerance })
    }

    /// Everything that fits, ranked, one for each hole, and the swings seen.
    fn search(&self, limits: Limits) -> (Vec<ForearmChoice>, Option<Seen>) {
        let (mut found, mut seen) = (Vec::new(), None);
        let both = [Assembly::Open, Assembly::Crossed];
        for table in &self.tables {
            for &c in &self.levers.values {
                for side in both {
                    if self.wish.assembly.is_none_or(|w| w == side) {
                        self.hole(table, (c, side), limits, &mut found, &mut seen);
                    }
                }
            }
        }
        found.sort_by(|a: &ForearmChoice, b| {
            let push = |c: &ForearmChoice| libm::round(c.push.0 * 1e6);
            (push(b).total_cmp(&push(a)))
                .then(b.rod.lever.0.total_cmp(&a.rod.lever.0))
                .then(a.rod.length.0.total_cmp(&b.rod.length.0))
                .then(a.rod.assembly.cmp(&b.rod.assembly))
        });
        let mut kept: Vec<ForearmChoice> = Vec::new();
        for f in found {
            let apart = |k: &ForearmChoice| {
                (k.rod.lever - f.rod.lever).abs().0 > 0.5 || k.rod.pin != f.rod.pin
            };
            if kept.len() < KEPT && kept.iter().all(apart) {
                kept.push(f);
            }
        }
        (kept, seen)
    }

    /// The rods of one hole on one side that swing as asked.
    fn hole(
        &self,
        table: &Table<'_>,
        (c, side): (f64, Assembly),
        limits: Limits,
        found: &mut Vec<ForearmChoice>,
        seen: &mut Option<Seen>,
    ) {
        let Some((lo, hi)) = table.closing(c) else { return };
        let mut see = |b: f64, swing: f64| {
            let push = table.push(b, c) >= PUSH_FLOOR.rad().0;
            let s = seen.get_or_insert(Seen { least: swing, most: swing, nearest: None });
            (s.least, s.most) = (s.least.min(swing), s.most.max(swing));
            let nearer =
                s.nearest.is_none_or(|n| (swing - self.asked).abs() < (n - self.asked).abs());
            if push && nearer {
                s.nearest = Some(swing);
            }
        };
        let given = match self.wish.rod {
            Size::Given(v) if limits.rod => Some(vec![v]),
            Size::Row { lo: first, hi: last, step } if limits.rod => {
                Some(row_between((first, last, step), (lo, hi)))
            }
            _ => None,
        };
        if let Some(rods) = given {
            for b in rods.into_iter().filter(|b| *b > lo && *b < hi) {
                see(b, table.ends((b, c), side).swing());
                found.extend(self.choice(table, (b, c), side, limits));
            }
            return;
        }
        let (lo, hi) = match self.wish.rod {
            Size::Between { lo: l, hi: h } if limits.rod => (lo.max(l), hi.min(h)),
            _ => (lo, hi),
        };
        // Clear of the dead centres at both ends, where the swing jumps.
        let inset = 1e-6 * (hi - lo);
        let place = |i: usize| lo + inset + (hi - lo - 2.0 * inset) * i as f64 / RODS as f64;
        if lo + 1e-6 >= hi {
            return;
        }
        let ends = |b: f64| table.ends((b, c), side);
        let swing = |b: f64| ends(b).swing();
        let mut tried: Vec<(f64, f64)> = (0..=RODS).map(|i| (place(i), swing(place(i)))).collect();
        for (b, s) in &tried {
            see(*b, *s);
        }
        // Between two rods the swing may turn back just short of the asked one.
        for (b, s) in self.turning_rods(&tried, &swing) {
            see(b, s);
            found.extend(self.choice(table, (b, c), side, limits));
            tried.push((b, s));
        }
        tried.sort_by(|p, q| p.0.total_cmp(&q.0));
        let slack = self.tolerance * (1.0 - 1e-6);
        for off in [0.0, slack, -slack] {
            let before = found.len();
            let want = self.asked + off;
            for pair in tried.windows(2) {
                let ((a, p), (b, q)) = (pair[0], pair[1]);
                let Some(bracket) = Bracket::new(a, p - want, b, q - want) else { continue };
                let exact = rod_for(bracket, want, &ends);
                found.extend(self.choice(table, (exact, c), side, limits));
            }
            if found.len() > before {
                break;
            }
        }
    }

    /// The rods at which the swing turns back, where it does so near the asked one.
    fn turning_rods(&self, tried: &[(f64, f64)], swing: &dyn Fn(f64) -> f64) -> Vec<(f64, f64)> {
        let mut turns = Vec::new();
        for three in tried.windows(3) {
            let [(a, l), (_, m), (b, r)] = [three[0], three[1], three[2]];
            let sign = if m < l && m <= r {
                -1.0
            } else if m > l && m >= r {
                1.0
            } else {
                continue;
            };
            let beyond = 0.125 * (l - r) * (l - r) / (l - 2.0 * m + r).abs();
            let reaches = (m - self.asked).abs() <= self.tolerance + 3.0 * beyond;
            if reaches {
                let (rod, top) = highest(a, b, 1e-4 * (b - a), |x| sign * swing(x));
                turns.push((rod, sign * top));
            }
        }
        turns
    }

    fn rod(&self, table: &Table<'_>, (b, c): (f64, f64), side: Assembly, clamp: Dir) -> Rod {
        Rod {
            pin: table.pin,
            pivot: self.wish.pivot,
            length: Mm(b),
            lever: Mm(c),
            clamp,
            assembly: side,
        }
    }

    /// The forearm with a rod, if it keeps to the limits.
    fn choice(
        &self,
        table: &Table<'_>,
        (b, c): (f64, f64),
        side: Assembly,
        limits: Limits,
    ) -> Option<ForearmChoice> {
        let Ends { low, high, .. } = table.ends((b, c), side);
        let (swing, push) = (high - low, table.push(b, c));
        let margin = table.margin(b, c);
        let weak = limits.push && push < PUSH_FLOOR.rad().0;
        let misses = (swing - self.asked).abs() > self.tolerance + 1e-9;
        if weak || misses || margin <= 0.0 {
            return None;
        }
        let middle = 0.5 * (self.wish.sweep.0 + self.wish.sweep.1).rad().0;
        let centred = Rad(0.5 * (low + high) - middle).deg().signed();
        let clamp = if limits.clamp { self.clamp_near(centred) } else { centred };
        let miss = (clamp - centred).signed().abs().rad().0;
        if miss > self.tolerance - 0.5 * (swing - self.asked).abs() + 1e-9 {
            return None;
        }
        Some(ForearmChoice {
            rod: self.rod(table, (b, c), side, Dir::degrees(clamp)),
            clamp,
            swing: Rad(swing).deg(),
            push: Rad(push).deg(),
            margin: Mm(margin),
        })
    }

    fn clamp_near(&self, centred: Deg) -> Deg {
        super::ram::nearest_clamp(self.wish.clamp, centred)
    }
}

/// The rod in a bracket that swings exactly so far: Newton's steps while they stay
/// inside it, the middle where they do not.
fn rod_for(at: Bracket, want: f64, ends: &dyn Fn(f64) -> Ends) -> f64 {
    if at.fa == 0.0 || at.fb == 0.0 {
        return if at.fa == 0.0 { at.a } else { at.b };
    }
    let (mut short, mut long, rising) = (at.a, at.b, at.fa < at.fb);
    let mut rod = at.a - at.fa * (at.b - at.a) / (at.fb - at.fa);
    for _ in 0..60 {
        let there = ends(rod);
        let off = there.swing() - want;
        if (off < 0.0) == rising {
            short = rod
        } else {
            long = rod
        }
        let next = rod - off / there.slope;
        let near = (next - rod).abs() < 1e-9;
        let inside = next >= short && next <= long;
        rod = if inside { next } else { short + (long - short) / 2.0 };
        if (near && inside) || long - short < 1e-10 {
            break;
        }
    }
    rod
}

/// The values of a row that lie in a stretch.
fn row_between((first, last, step): (f64, f64, f64), (lo, hi): (f64, f64)) -> Vec<f64> {
    let usable = step > 0.0 && first.is_finite() && last.is_finite();
    if !usable {
        return Vec::new();
    }
    let from = libm::ceil(((lo - first) / step).max(0.0));
    let to = libm::floor((last.min(hi) - first) / step + 1e-9);
    let count = (to - from + 1.0).clamp(0.0, super::ROW_LIMIT as f64) as usize;
    (0..count).map(|i| first + step * (from + i as f64)).collect()
}

fn explain(wish: &ForearmWish<'_>, plan: &Plan<'_>) -> ForearmNoFit {
    let first = |rod, clamp, push| plan.search(Limits { rod, clamp, push }).0.into_iter().next();
    let (_, seen) = plan.search(Limits { rod: false, clamp: false, push: false });
    let asked = plan.asked;
    let reason = if let Some(c) = first(true, false, true) {
        ForearmReason::Clamp { needs: c.clamp }
    } else if let Some(c) = first(false, true, true).or_else(|| first(false, false, true)) {
        ForearmReason::Rod { needs: c.rod.length }
    } else if let Some(c) = first(false, false, false) {
        ForearmReason::WeakPush { best: c.push }
    } else {
        match seen {
            None => ForearmReason::CannotClose,
            Some(s) if s.least > asked => {
                ForearmReason::SwingsTooMuch { least: Rad(s.least).deg() }
            }
            Some(s) if s.most < asked => ForearmReason::SwingsTooLittle { most: Rad(s.most).deg() },
            Some(_) => ForearmReason::BetweenHoles,
        }
    };
    let tried = |change: ForearmChange, wish: ForearmWish<'_>| {
        let choice = Plan::of(&wish).ok()?.search(Limits::ALL).0.into_iter().next()?;
        Some((change, choice))
    };
    let mut nearest = Vec::new();
    match reason {
        ForearmReason::Clamp { needs } => nearest.extend(tried(
            ForearmChange::Clamp(needs),
            ForearmWish { clamp: Size::Given(needs.0), ..*wish },
        )),
        ForearmReason::Rod { needs } => nearest.extend(tried(
            ForearmChange::Rod(needs),
            ForearmWish { rod: Size::Given(needs.0), ..*wish },
        )),
        _ => {}
    }
    if let Some(swing) = plan.search(Limits::ALL).1.and_then(|s| s.nearest) {
        let middle = (wish.sweep.0 + wish.sweep.1) / 2.0;
        let swing = Rad(swing).deg().0;
        let sweep = (middle - Deg(swing / 2.0), middle + Deg(swing / 2.0));
        let change = ForearmChange::Sweep { from: sweep.0, to: sweep.1 };
        let within = Some(wish.tolerance());
        nearest.extend(tried(change, ForearmWish { sweep, within, ..*wish }));
    }
    nearest.extend(other_lever(wish, &tried));
    ForearmNoFit { reason, nearest }
}

/// Solves a changed wish.
type Tried<'a> =
    &'a dyn Fn(ForearmChange, ForearmWish<'_>) -> Option<(ForearmChange, ForearmChoice)>;

/// The nearest hole beside those given or on the row.
fn other_lever(wish: &ForearmWish<'_>, tried: Tried<'_>) -> Option<(ForearmChange, ForearmChoice)> {
    let (lo, hi, step) = match wish.lever {
        Size::Given(v) => (v, v, 2.0),
        Size::Row { lo, hi, step } => (lo, hi, step),
        Size::Between { lo, hi } => (lo, hi, 2.0),
        Size::Free => return None,
    };
    let with = |v: f64| {
        positive(v).ok()?;
        tried(ForearmChange::Lever(Mm(v)), ForearmWish { lever: Size::Given(v), ..*wish })
    };
    (1..=40).find_map(|i| {
        let by = f64::from(i) * step;
        with(lo - by).or_else(|| with(hi + by))
    })
}
