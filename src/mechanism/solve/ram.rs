//! Open sizes of a ram or an air cylinder on a limb's lever.
//!
//! The lever pin's two ends, h = lever sin(swing/2) either side, and the strut's two
//! lengths leave the anchor two places: on both circles, x = (long^2 - short^2)/4h,
//! y^2 = short^2 - (x - h)^2, with the pivot e = lever cos(swing/2) behind. Lever
//! and anchor distance may change parts: the triangle does not tell them apart.

use super::fit;
use super::search::{Axis, positive};
use super::{OTHERS, Prefer, Size};
use crate::geometry::{BoardPoint, Vector};
use crate::mechanism::{Assembly, Degenerate, Lengths, Ram, Strut, Triangle};
use crate::units::{Deg, Mm, Rad, Share};

/// No answer has a worse push angle (common practice, no source).
pub const RAM_PUSH_FLOOR: Deg = Deg(30.0);
/// A lever left free without a row is looked for in this stretch, mm.
pub const FREE_RAM_LEVER: (f64, f64) = (40.0, 150.0);
/// An anchor left free is looked for at most this far from the pivot, mm.
pub const FREE_ANCHOR: (f64, f64) = (20.0, 2000.0);

/// The strut's pin that is not on the limb.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Anchor {
    /// Known.
    At(BoardPoint),
    /// Open: so far from the pivot, in a direction or, without one, wherever the
    /// clamp leads (with an open clamp the lever then lies along the limb).
    Open {
        /// Pivot to anchor, mm.
        distance: Size,
        /// Direction from pivot to anchor.
        bearing: Option<Deg>,
    },
}

/// What is asked of a strut.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RamWish {
    /// Ram or cylinder.
    pub strut: Strut,
    /// The limb's pivot.
    pub pivot: BoardPoint,
    /// The anchor.
    pub anchor: Anchor,
    /// Shortest and longest.
    pub lengths: Lengths,
    /// Limb pivot to lever pin, mm.
    pub lever: Size,
    /// From the limb's axis to the lever, degrees counter-clockwise.
    pub clamp: Size,
    /// The limb angles to swing between; the second is the higher.
    pub sweep: (Deg, Deg),
    /// By how much swing and ends may miss; absent: 2 degrees or 5 %.
    pub within: Option<Deg>,
    /// Fixed, or whichever is better.
    pub assembly: Option<Assembly>,
    /// `push` and the others: the largest least moment arm, hence the least force;
    /// `build`: the nearest swing first.
    pub prefer: Prefer,
    /// By how much a built length may be off.
    pub error: Mm,
}

impl RamWish {
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

/// One strut that fits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RamChoice {
    /// With exact sizes.
    pub ram: Ram,
    /// Its swing.
    pub swing: Deg,
    /// Its worst push angle.
    pub push: Deg,
    /// Its least moment arm: force times this is the torque.
    pub arm: Mm,
    /// Of builds whose lever and anchor distance are each off by anything up to
    /// [`RamWish::error`], the share that swings as wanted. To first order.
    pub fit: Share,
}

/// Why nothing fits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum RamReason {
    /// The wish itself makes no sense.
    Nonsense(Degenerate),
    /// No hole lets the strut go through its whole stroke: it comes to a dead
    /// centre or does not reach.
    DeadCentre,
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
    /// Each hole swings too much or too little.
    BetweenHoles {
        /// The most of those that swing too little.
        below: Deg,
        /// The least of those that swing too much.
        above: Deg,
    },
    /// The lever would have to be clamped at another angle.
    Clamp {
        /// The best one.
        needs: Deg,
    },
    /// It swings as asked but pushes worse than [`RAM_PUSH_FLOOR`].
    WeakPush {
        /// The best worst push angle.
        best: Deg,
    },
}

/// One change that makes it work.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum RamChange {
    /// Ask for another swing, about the same middle.
    Sweep {
        /// Lower end.
        from: Deg,
        /// Higher end.
        to: Deg,
    },
    /// Another hole in the lever.
    Lever(Mm),
    /// Another clamp angle.
    Clamp(Deg),
    /// The anchor nearer or further, on the same line from the pivot.
    Anchor {
        /// Where to.
        at: BoardPoint,
        /// From the pivot.
        distance: Mm,
    },
    /// The anchor elsewhere, with another hole or another clamp where that takes them.
    Several {
        /// Another hole in the lever.
        lever: Option<Mm>,
        /// Another clamp angle.
        clamp: Option<Deg>,
        /// Where the anchor goes.
        at: BoardPoint,
    },
}

/// Nothing fits.
#[derive(Clone, Debug, PartialEq)]
pub struct RamNoFit {
    /// What is in the way.
    pub reason: RamReason,
    /// The best that was seen, though it does not fit.
    pub best_seen: Option<RamChoice>,
    /// Single changes that work, with what they lead to, each found by solving.
    pub nearest: Vec<(RamChange, RamChoice)>,
}

/// The best strut for a wish, then the best of up to four other holes.
///
/// Where lever or anchor distance is open the swing is met exactly; where both are
/// given or on rows it is met within the tolerance.
///
/// # Errors
/// Where nothing fits: what is in the way, and the nearest that works.
pub fn solve_ram(wish: &RamWish) -> Result<Vec<RamChoice>, Box<RamNoFit>> {
    let nonsense = |why| {
        let reason = RamReason::Nonsense(why);
        Box::new(RamNoFit { reason, best_seen: None, nearest: Vec::new() })
    };
    let found = Plan::of(wish).map_err(nonsense)?.search(Limit::All);
    if !found.is_empty() {
        return Ok(found);
    }
    Err(Box::new(explain(wish).map_err(nonsense)?))
}

/// Which limits a search keeps to.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Limit {
    All,
    AnyClamp,
    AnyPush,
    /// Only the swing has to be right.
    SwingOnly,
}

impl Limit {
    fn clamp(self) -> bool {
        matches!(self, Self::All | Self::AnyPush)
    }
    fn push(self) -> bool {
        matches!(self, Self::All | Self::AnyClamp)
    }
}

struct Plan<'a> {
    wish: &'a RamWish,
    levers: Axis,
    grounds: Axis,
    /// Direction from pivot to anchor, where it is known.
    bearing: Option<f64>,
    asked: f64,
    tolerance: f64,
}

impl<'a> Plan<'a> {
    fn of(wish: &'a RamWish) -> Result<Self, Degenerate> {
        let (asked, tolerance) = (wish.asked().rad().0, wish.tolerance().rad().0);
        let sensible = asked > 0.0 && asked < std::f64::consts::PI && tolerance >= 0.0;
        if !(sensible && wish.sweep.0.0.is_finite()) {
            return Err(Degenerate::NotFinite);
        }
        clamp_stands(wish.clamp)?;
        let (grounds, bearing) = match wish.anchor {
            Anchor::At(at) => {
                let away = at - wish.pivot;
                let dir = away.dir().ok_or(Degenerate::CentresMeet)?;
                (Axis::of(Size::Given(away.length().0), FREE_ANCHOR)?, Some(dir.angle().0))
            }
            Anchor::Open { distance, bearing } => {
                (Axis::of(distance, FREE_ANCHOR)?, bearing.map(|b| b.rad().0))
            }
        };
        if bearing.is_some_and(|b| !b.is_finite()) {
            return Err(Degenerate::NotFinite);
        }
        let levers = Axis::of(wish.lever, FREE_RAM_LEVER)?;
        Ok(Self { wish, levers, grounds, bearing, asked, tolerance })
    }

    /// Everything that fits, ranked, one for each hole.
    fn search(&self, limit: Limit) -> Vec<RamChoice> {
        let mut found = Vec::new();
        let (mut levers, open) = (self.levers.clone(), self.levers.is_open());
        if open && !self.grounds.is_open() {
            // The anchor is known: the lever follows from the swing.
            for &d in &self.grounds.values {
                for c in self.partners(d) {
                    if self.levers.holds(c) {
                        self.take(Triangle { lever: c, ground: d }, limit, &mut found);
                    }
                }
            }
            return self.ranked(found);
        }
        loop {
            for &c in &levers.values {
                self.with_lever(c, limit, &mut found);
            }
            let Some(best) = self.best(&found) else { break };
            let Some(next) = levers.finer(best.ram.lever().0) else { break };
            levers = next;
        }
        self.ranked(found)
    }

    fn with_lever(&self, c: f64, limit: Limit, found: &mut Vec<RamChoice>) {
        if self.grounds.is_open() {
            for d in self.partners(c) {
                if self.grounds.holds(d) {
                    self.take(Triangle { lever: c, ground: d }, limit, found);
                }
            }
        } else {
            for &d in &self.grounds.values {
                self.take(Triangle { lever: c, ground: d }, limit, found);
            }
        }
    }

    /// The anchor distances that swing a lever exactly as asked; where none does,
    /// the one that swings it least, if the tolerance allows; else those at the
    /// tolerance's edge.
    fn partners(&self, c: f64) -> Vec<f64> {
        let lengths = self.wish.lengths;
        let exact = partners(c, lengths, self.asked);
        if !exact.is_empty() {
            return exact;
        }
        // The swing's valley, where d^2 - c^2 = +-short long.
        let product = lengths.short.0 * lengths.long.0;
        let mut near: Vec<f64> = [product, -product]
            .into_iter()
            .map(|p| (c * c + p).max(0.0).sqrt())
            .filter(|d| {
                let swing = reach(Triangle { lever: c, ground: *d }, lengths);
                swing.is_some_and(|(p, q)| (q - p - self.asked).abs() <= self.tolerance)
            })
            .collect();
        if near.is_empty() {
            let slack = self.tolerance * (1.0 - 1e-9);
            near.extend(partners(c, lengths, self.asked + slack));
            near.extend(partners(c, lengths, self.asked - slack));
        }
        near
    }

    /// Adds what a triangle makes.
    fn take(&self, triangle: Triangle, limit: Limit, found: &mut Vec<RamChoice>) {
        let Some((near, far)) = reach(triangle, self.wish.lengths) else { return };
        if (far - near - self.asked).abs() > self.tolerance + 1e-9 {
            return;
        }
        let both = [Assembly::Open, Assembly::Crossed];
        let sides = both.into_iter().filter(|a| self.wish.assembly.is_none_or(|w| w == *a));
        for assembly in sides {
            found.extend(self.choice(triangle, (near, far), assembly, limit));
        }
    }

    /// The strut a triangle makes on one side.
    fn choice(
        &self,
        triangle: Triangle,
        (near, far): (f64, f64),
        assembly: Assembly,
        limit: Limit,
    ) -> Option<RamChoice> {
        let wish = self.wish;
        let middle = 0.5 * (wish.sweep.0 + wish.sweep.1).rad().0;
        // From the anchor's direction to the middle of the lever's swing.
        let off = -assembly.sign() * 0.5 * (near + far);
        let allowed = self.tolerance - 0.5 * ((far - near) - self.asked).abs() + 1e-9;
        let (bearing, clamp) = match (self.bearing, wish.clamp) {
            (Some(bearing), size) => {
                let centred = Rad(bearing + off - middle).deg().signed();
                let clamp = nearest_clamp(size, centred);
                let miss = (clamp - centred).signed().abs().rad().0;
                match (limit.clamp(), miss <= allowed) {
                    (false, _) => (bearing, centred),
                    (true, true) => (bearing, clamp),
                    (true, false) => return None,
                }
            }
            (None, size) => {
                let clamp = nearest_clamp(size, Deg(0.0));
                (middle + clamp.rad().0 - off, clamp)
            }
        };
        let anchor = match wish.anchor {
            Anchor::At(at) => at,
            Anchor::Open { .. } => {
                let (y, x) = libm::sincos(bearing);
                wish.pivot + Vector::mm(x, y) * triangle.ground
            }
        };
        let size = (Mm(triangle.lever), clamp);
        let ram = Ram::new(wish.strut, (anchor, wish.pivot), wish.lengths, size, assembly).ok()?;
        let m = ram.analyse();
        let usable = m.whole_stroke && !m.dead_centre();
        let m = m.motion.filter(|_| usable)?;
        if limit.push() && m.least_push < RAM_PUSH_FLOOR {
            return None;
        }
        Some(RamChoice {
            ram,
            swing: m.sweep,
            push: m.least_push,
            arm: m.least_arm,
            fit: self.fit(triangle, m.sweep.rad().0),
        })
    }

    fn fit(&self, t: Triangle, swing: f64) -> Share {
        let Lengths { short, long } = self.wish.lengths;
        // d gamma by c at a fixed third side, and the same with the parts changed.
        let slope = |c: f64, d: f64, x: f64| {
            let sin = libm::sin(t.gamma(x)).max(1e-9);
            (d * d - x * x - c * c) / (2.0 * c * c * d * sin)
        };
        let by = |c: f64, d: f64| slope(c, d, short.0) - slope(c, d, long.0);
        let slopes = [by(t.lever, t.ground), by(t.ground, t.lever), 0.0];
        let off = swing - self.asked;
        Share(fit::share(&slopes, self.wish.error.0, off, self.tolerance))
    }

    fn order(&self, a: &RamChoice, b: &RamChoice) -> std::cmp::Ordering {
        let off = |c: &RamChoice| (c.swing.rad().0 - self.asked).abs();
        let nearest = |c: &RamChoice| libm::round(off(c) * 1e9);
        let first = match self.wish.prefer {
            Prefer::Build => nearest(a).total_cmp(&nearest(b)),
            _ => std::cmp::Ordering::Equal,
        };
        let arm = |c: &RamChoice| libm::round(c.arm.0 * 1e6);
        first
            .then(arm(b).total_cmp(&arm(a)))
            .then(off(a).total_cmp(&off(b)))
            .then(b.ram.lever().0.total_cmp(&a.ram.lever().0))
            .then(a.ram.assembly().cmp(&b.ram.assembly()))
    }

    fn best(&self, found: &[RamChoice]) -> Option<RamChoice> {
        found.iter().min_by(|a, b| self.order(a, b)).copied()
    }

    /// The best, then the best of other holes.
    fn ranked(&self, mut found: Vec<RamChoice>) -> Vec<RamChoice> {
        found.sort_by(|a, b| self.order(a, b));
        let mut kept: Vec<RamChoice> = Vec::new();
        for f in found {
            let apart = |k: &RamChoice| {
                (k.ram.lever() - f.ram.lever()).abs().0 > 0.5
                    || (k.ram.ground() - f.ram.ground()).abs().0 > 0.5
            };
            if kept.len() <= OTHERS && kept.iter().all(apart) {
                kept.push(f);
            }
        }
        kept
    }

    /// The swings of all holes that go through the whole stroke.
    fn swings(&self) -> Vec<f64> {
        let pairs = self.levers.values.iter().flat_map(|&c| {
            self.grounds.values.iter().map(move |&d| Triangle { lever: c, ground: d })
        });
        pairs.filter_map(|t| reach(t, self.wish.lengths)).map(|r| r.1 - r.0).collect()
    }
}

/// The angles at the pivot over the stroke, where it stays clear of dead centres.
fn reach(t: Triangle, lengths: Lengths) -> Option<(f64, f64)> {
    let (near, far) = t.dead_lengths();
    let inside = lengths.short.0 > near && lengths.long.0 < far;
    inside.then(|| (t.gamma(lengths.short.0), t.gamma(lengths.long.0)))
}

/// The distances that make a swing with a lever, exactly, ascending.
fn partners(c: f64, lengths: Lengths, swing: f64) -> Vec<f64> {
    let usable = swing > 0.0 && swing < std::f64::consts::PI;
    if !usable {
        return Vec::new();
    }
    let (sin, cos) = libm::sincos(swing / 2.0);
    let (h, e) = (c * sin, c * cos);
    let (short, long) = (lengths.short.0, lengths.long.0);
    let x = (long - short) * (long + short) / (4.0 * h);
    let square = (short - (x - h)) * (short + (x - h));
    if square < 0.0 {
        return Vec::new();
    }
    let y = square.sqrt();
    let mut found: Vec<f64> = [y, -y].into_iter().map(|y| libm::hypot(x, y + e)).collect();
    // Where the lever would cross the line to the anchor the swing is another.
    found.retain(|d| {
        let t = Triangle { lever: c, ground: *d };
        reach(t, lengths).is_some_and(|r| (r.1 - r.0 - swing).abs() < 1e-9)
    });
    found.sort_by(f64::total_cmp);
    found.dedup();
    found
}

/// The allowed angle nearest to the wanted one, on the circle.
#[must_use]
pub fn nearest_clamp(size: Size, wanted: Deg) -> Deg {
    match size {
        Size::Given(v) => Deg(v),
        Size::Free => wanted,
        Size::Between { lo, hi } => {
            let over = (wanted - Deg(lo)).positive();
            let width = hi - lo;
            if over.0 <= width {
                Deg(lo) + over
            } else if over.0 - width < 360.0 - over.0 {
                Deg(hi)
            } else {
                Deg(lo)
            }
        }
        Size::Row { lo, hi, step } => {
            let last = libm::floor((hi - lo) / step + 1e-9);
            let over = (wanted - Deg(lo)).positive().0;
            let hole = libm::round(over / step);
            let wraps = hole > last && 360.0 - over < over - last * step;
            Deg(lo + step * if wraps { 0.0 } else { hole.min(last) })
        }
    }
}

pub(super) fn clamp_stands(size: Size) -> Result<(), Degenerate> {
    let fine = match size {
        Size::Given(v) => v.is_finite(),
        Size::Free => true,
        Size::Between { lo, hi } => lo.is_finite() && hi.is_finite() && lo <= hi,
        Size::Row { lo, hi, step } => {
            lo.is_finite() && hi.is_finite() && lo <= hi && step > 0.0 && step.is_finite()
        }
    };
    if fine { Ok(()) } else { Err(Degenerate::NotFinite) }
}

fn explain(wish: &RamWish) -> Result<RamNoFit, Degenerate> {
    let plan = Plan::of(wish)?;
    let first = |limit| plan.search(limit).into_iter().next();
    let (reason, best_seen) = if let Some(c) = first(Limit::AnyClamp) {
        (RamReason::Clamp { needs: c.ram.clamp() }, Some(c))
    } else if let Some(c) = first(Limit::AnyPush).or_else(|| first(Limit::SwingOnly)) {
        (RamReason::WeakPush { best: c.push }, Some(c))
    } else {
        (swing_reason(&plan), None)
    };
    let mut nearest = Vec::new();
    let tried = |change: RamChange, wish: RamWish| {
        let choice = Plan::of(&wish).ok()?.search(Limit::All).into_iter().next()?;
        Some((change, choice))
    };
    if let RamReason::Clamp { needs } = reason {
        let wish = RamWish { clamp: Size::Given(needs.0), ..*wish };
        nearest.extend(tried(RamChange::Clamp(needs), wish));
    }
    nearest.extend(other_sweep(wish, &tried));
    nearest.extend(other_lever(wish, &tried));
    nearest.extend(other_anchor(wish, &tried));
    Ok(RamNoFit { reason, best_seen, nearest })
}

/// Solves a changed wish.
type Tried<'a> = &'a dyn Fn(RamChange, RamWish) -> Option<(RamChange, RamChoice)>;

fn swing_reason(plan: &Plan<'_>) -> RamReason {
    let swings = plan.swings();
    let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
    let (mut below, mut above) = (f64::NEG_INFINITY, f64::INFINITY);
    for &s in &swings {
        (least, most) = (least.min(s), most.max(s));
        if s < plan.asked { below = below.max(s) } else { above = above.min(s) }
    }
    let deg = |v: f64| Rad(v).deg();
    if swings.is_empty() {
        RamReason::DeadCentre
    } else if least > plan.asked {
        RamReason::SwingsTooMuch { least: deg(least) }
    } else if most < plan.asked {
        RamReason::SwingsTooLittle { most: deg(most) }
    } else {
        RamReason::BetweenHoles { below: deg(below), above: deg(above) }
    }
}

/// The smallest change of the swing about the same middle, in half degrees.
fn other_sweep(wish: &RamWish, tried: Tried<'_>) -> Option<(RamChange, RamChoice)> {
    let middle = (wish.sweep.0 + wish.sweep.1) / 2.0;
    let within = Some(wish.tolerance());
    let with = |swing: f64| {
        let usable = swing > 1.0 && swing < 180.0;
        let sweep = (middle - Deg(swing / 2.0), middle + Deg(swing / 2.0));
        let change = RamChange::Sweep { from: sweep.0, to: sweep.1 };
        usable.then(|| tried(change, RamWish { sweep, within, ..*wish })).flatten()
    };
    let asked = wish.asked().0;
    (1..=240).find_map(|i| {
        let by = 0.5 * f64::from(i);
        with(asked - by).or_else(|| with(asked + by))
    })
}

/// The nearest hole beside those given or on the row.
fn other_lever(wish: &RamWish, tried: Tried<'_>) -> Option<(RamChange, RamChoice)> {
    let (lo, hi, step) = match wish.lever {
        Size::Given(v) => (v, v, 1.0),
        Size::Row { lo, hi, step } => (lo, hi, step),
        Size::Between { lo, hi } => (lo, hi, 1.0),
        Size::Free => return None,
    };
    let with = |v: f64| {
        positive(v).ok()?;
        tried(RamChange::Lever(Mm(v)), RamWish { lever: Size::Given(v), ..*wish })
    };
    (1..=100).find_map(|i| {
        let by = f64::from(i) * step;
        with(lo - by).or_else(|| with(hi + by))
    })
}

/// The nearest place of a known anchor on its line from the pivot, in millimetres.
fn other_anchor(wish: &RamWish, tried: Tried<'_>) -> Option<(RamChange, RamChoice)> {
    let Anchor::At(at) = wish.anchor else { return None };
    let away = at - wish.pivot;
    let (distance, dir) = (away.length().0, away.dir()?);
    let with = |d: f64| {
        positive(d).ok()?;
        let at = wish.pivot + Vector::polar(Mm(d), dir);
        let change = RamChange::Anchor { at, distance: Mm(d) };
        tried(change, RamWish { anchor: Anchor::At(at), ..*wish })
    };
    (1..=300).find_map(|i| with(distance - f64::from(i)).or_else(|| with(distance + f64::from(i))))
}

/// What a maker marks out near to a place or a length, the nearest first.
type Marks<'a, T> = &'a dyn Fn(T) -> Vec<T>;

/// No longer lever is named, mm: half a limb of the largest figures (common practice, no
/// source).
const LONGEST_LEVER: f64 = 600.0;

/// Where no single change works: another anchor, anywhere, with another lever or another
/// clamp, or both, as far as it takes them. `marks` are the places and holes nearest to one
/// that a maker marks out, the nearest first; what is told is solved with them.
#[must_use]
pub fn solve_ram_otherwise(
    wish: &RamWish,
    marks: (Marks<'_, BoardPoint>, Marks<'_, Mm>),
) -> Option<(RamChange, RamChoice)> {
    let Anchor::At(at) = wish.anchor else { return None };
    let bearing = (at - wish.pivot).dir()?.angle().deg();
    let given = matches!(wish.clamp, Size::Given(_));
    let clamps = [Some(wish.clamp), given.then_some(Size::Free)];
    let long = Size::Between { lo: FREE_RAM_LEVER.1, hi: LONGEST_LEVER };
    let levers = [wish.lever, Size::Free, long];
    let sizes = clamps.into_iter().flatten().flat_map(|c| levers.map(|l| (l, c)));
    let anchors = [Some(bearing), None].map(|b| Anchor::Open { distance: Size::Free, bearing: b });
    let mut open = sizes
        .flat_map(|(lever, clamp)| anchors.map(|anchor| RamWish { anchor, lever, clamp, ..*wish }));
    open.find_map(|open| {
        let found = Plan::of(&open).ok()?.search(Limit::All).into_iter().next()?.ram;
        let holes: Vec<Option<Mm>> = match open.lever == wish.lever {
            true => vec![None],
            false => (marks.1)(found.lever()).into_iter().map(Some).collect(),
        };
        let clamp = (open.clamp != wish.clamp).then(|| Deg(libm::round(found.clamp().signed().0)));
        let places = (marks.0)(found.anchor());
        holes.iter().flat_map(|h| places.iter().map(move |at| (*h, *at))).find_map(|(lever, at)| {
            let size = |told: Option<f64>, said: Size| told.map_or(said, Size::Given);
            let changed = RamWish {
                anchor: Anchor::At(at),
                lever: size(lever.map(|l| l.0), wish.lever),
                clamp: size(clamp.map(|c| c.0), wish.clamp),
                ..*wish
            };
            let choice = Plan::of(&changed).ok()?.search(Limit::All).into_iter().next()?;
            Some((RamChange::Several { lever, clamp, at }, choice))
        })
    })
}
