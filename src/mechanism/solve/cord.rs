//! Open sizes of a cord: crank, lever hole, clamp and the cord's length.
//!
//! Between the two ends of the swing the cord from the last eye grows by a pull
//! that lever, clamp and swing fix; a crank gives twice its radius, a spool what it
//! winds. The cord's length then sets where the swing lies.

use std::f64::consts::PI;

use super::ram::{clamp_stands, nearest_clamp};
use super::search::{Axis, positive};
use super::{FREE_CRANK, FREE_LEVER, KEPT, PUSH_FLOOR, Size};
use crate::geometry::{BoardPoint, Bracket, highest, root};
use crate::mechanism::pulleys::Pulleys;
use crate::mechanism::{Assembly, Cord, Degenerate, Pull, Pulled, Tangent};
use crate::units::{Deg, Mm, Rad};

/// What draws the cord in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Drawer {
    /// A crank that turns fully at this shaft, its pin so far out.
    Crank {
        /// The shaft.
        shaft: BoardPoint,
        /// Shaft to pin, mm.
        radius: Size,
    },
    /// A spool (or a ram) that winds as much as is wanted: where the cord leaves
    /// it, and mm for each unit of its coordinate.
    Spool {
        /// Where the cord leaves it.
        from: BoardPoint,
        /// mm for each unit of the coordinate, positive.
        per: f64,
        /// How much it draws in, where it stops at its ends alone: an air cylinder.
        draws: Option<Mm>,
    },
}

/// What is asked of a cord.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CordWish<'a> {
    /// What draws it in.
    pub drawer: Drawer,
    /// The eyes it runs through, in order; at least one.
    pub guides: &'a [BoardPoint],
    /// Their diameter where they are pulleys.
    pub across: Option<Mm>,
    /// The limb's pivot.
    pub pivot: BoardPoint,
    /// Limb pivot to the cord's pin, mm.
    pub lever: Size,
    /// From the limb's axis to the lever, degrees counter-clockwise.
    pub clamp: Size,
    /// The limb angles to swing between; the second is the higher.
    pub sweep: (Deg, Deg),
    /// By how much swing and ends may miss; absent: 2 degrees or 5 %.
    pub within: Option<Deg>,
    /// On which side the cord pulls: open turns the limb counter-clockwise.
    pub assembly: Option<Assembly>,
}

impl CordWish<'_> {
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

/// One cord that fits.
#[derive(Clone, Debug, PartialEq)]
pub struct CordChoice {
    /// With exact sizes; a spool's coordinate is 0 with the cord let out.
    pub cord: Cord,
    /// The crank's radius; absent for a spool.
    pub radius: Option<Mm>,
    /// From the limb's axis to the lever.
    pub clamp: Deg,
    /// How much cord is drawn in.
    pub pull: Mm,
    /// Its swing.
    pub swing: Deg,
    /// The lowest limb angle.
    pub low: Deg,
    /// The worst push angle between cord and lever.
    pub push: Deg,
    /// The least moment arm.
    pub arm: Mm,
}

/// Why nothing fits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CordReason {
    /// The wish itself makes no sense, or there is no eye.
    Nonsense(Degenerate),
    /// The lever would pass in line with the cord within the swing: with this clamp
    /// it lies dead at one end, on either side.
    LiesDead,
    /// The cranks draw in too little or too much: it takes a pull between these.
    Pull {
        /// The least that swings as asked.
        least: Mm,
        /// The most.
        most: Mm,
    },
    /// It swings as asked but pulls at a worse angle than [`PUSH_FLOOR`].
    WeakPush {
        /// The best worst push angle.
        best: Deg,
    },
}

/// One change that makes it work.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum CordChange {
    /// Another crank.
    Crank(Mm),
    /// Another hole in the lever.
    Lever(Mm),
    /// Another clamp angle.
    Clamp(Deg),
}

/// Nothing fits.
#[derive(Clone, Debug, PartialEq)]
pub struct CordNoFit {
    /// What is in the way.
    pub reason: CordReason,
    /// Single changes that work, with what they lead to, each found by solving.
    pub nearest: Vec<(CordChange, CordChoice)>,
}

/// The best cord for a wish by worst push angle, then the best of up to four other
/// holes.
///
/// # Errors
/// Where nothing fits: what is in the way, and the nearest that works.
pub fn solve_cord(wish: &CordWish<'_>) -> Result<Vec<CordChoice>, Box<CordNoFit>> {
    let nonsense =
        |why| Box::new(CordNoFit { reason: CordReason::Nonsense(why), nearest: Vec::new() });
    let plan = Plan::of(wish).map_err(nonsense)?;
    let found = plan.search(PUSH_FLOOR);
    if found.is_empty() { Err(Box::new(explain(wish, &plan))) } else { Ok(found) }
}

/// Places of the middle of the swing that are tried where the clamp is open.
const MIDDLES: usize = 36;

/// A lever and what pulls it.
#[derive(Clone, Copy)]
struct Run {
    pulled: Pulled,
    /// From the pivot along the line on which the cord lies dead, rad.
    toward: f64,
    side: Assembly,
    /// Over pulleys: the cord up to where it is counted from, drawn from where it is drawn in.
    over: Option<f64>,
}

struct Plan<'a> {
    wish: &'a CordWish<'a>,
    levers: Axis,
    /// The crank's radii, or half of what a cylinder draws in; absent for a spool.
    cranks: Option<Axis>,
    /// Pivot to last eye: how far, and which way (rad).
    ground: f64,
    toward: f64,
    asked: f64,
    tolerance: f64,
}

impl<'a> Plan<'a> {
    fn of(wish: &'a CordWish<'a>) -> Result<Self, Degenerate> {
        let (asked, tolerance) = (wish.asked().rad().0, wish.tolerance().rad().0);
        let sensible = asked > 0.0 && asked < PI && tolerance >= 0.0;
        if !(sensible && wish.sweep.0.0.is_finite()) {
            return Err(Degenerate::NotFinite);
        }
        clamp_stands(wish.clamp)?;
        let eye = *wish.guides.last().ok_or(Degenerate::Length)?;
        let away = eye - wish.pivot;
        let toward = away.dir().ok_or(Degenerate::CentresMeet)?.angle().0;
        let cranks = match wish.drawer {
            Drawer::Crank { radius, .. } => Some(Axis::of(radius, FREE_CRANK)?),
            Drawer::Spool { per, draws, .. } => {
                positive(per)?;
                // It draws in as a crank of half its stroke does.
                draws.map(|d| Axis::of(Size::Given(0.5 * d.0), FREE_CRANK)).transpose()?
            }
        };
        let levers = Axis::of(wish.lever, FREE_LEVER)?;
        let ground = positive(away.length().0).map_err(|_| Degenerate::CentresMeet)?;
        Ok(Self { wish, levers, cranks, ground, toward, asked, tolerance })
    }

    fn sides(&self) -> impl Iterator<Item = Assembly> + '_ {
        let both = [Assembly::Open, Assembly::Crossed];
        both.into_iter().filter(|a| self.wish.assembly.is_none_or(|w| w == *a))
    }

    fn search(&self, floor: Deg) -> Vec<CordChoice> {
        let mut found = Vec::new();
        for &c in &self.levers.values {
            for side in self.sides() {
                let t = self.run(c, side);
                for middle in self.middles(t) {
                    self.take(t, middle, &mut found);
                }
            }
        }
        found.retain(|f: &CordChoice| f.push >= floor);
        found.sort_by(|a, b| {
            let push = |c: &CordChoice| libm::round(c.push.0 * 1e6);
            push(b).total_cmp(&push(a)).then(b.cord.lever().0.total_cmp(&a.cord.lever().0))
        });
        let mut kept: Vec<CordChoice> = Vec::new();
        for f in found {
            let apart = |k: &CordChoice| (k.cord.lever() - f.cord.lever()).abs().0 > 0.5;
            if kept.len() < KEPT && kept.iter().all(apart) {
                kept.push(f);
            }
        }
        kept
    }

    /// The pull of the asked swing about a middle, rad from the eye's direction.
    fn pull(&self, t: Run, middle: f64) -> f64 {
        t.pulled.length(middle + 0.5 * self.asked) - t.pulled.length(middle - 0.5 * self.asked)
    }

    /// The worst push angle of the asked swing about a middle, rad.
    fn push(&self, t: Run, middle: f64) -> f64 {
        let at =
            |gamma: f64| t.pulled.push(t.pulled.length(gamma)).map_or(0.0, |mu| mu.min(PI - mu));
        at(middle + 0.5 * self.asked).min(at(middle - 0.5 * self.asked))
    }

    /// Middles of the swing worth a look: as the clamp says; or, where it is open,
    /// those that pull at the best angle and those that suit a crank exactly.
    fn middles(&self, t: Run) -> Vec<f64> {
        let (lo, hi) = (0.5 * self.asked, PI - 0.5 * self.asked);
        let middle = 0.5 * (self.wish.sweep.0 + self.wish.sweep.1).rad().0;
        let of_clamp = |clamp: Deg| {
            let lever = Rad(middle + clamp.rad().0 - t.toward).deg().signed().rad().0;
            lever * -t.side.sign()
        };
        if let Size::Given(v) = self.wish.clamp {
            let m = of_clamp(Deg(v));
            return if m > lo && m < hi { vec![m] } else { Vec::new() };
        }
        let place = |i: usize| lo + (hi - lo) * i as f64 / MIDDLES as f64;
        let mut all = Vec::new();
        let best =
            (1..MIDDLES).max_by(|a, b| self.push(t, place(*a)).total_cmp(&self.push(t, place(*b))));
        if let Some(i) = best {
            all.push(highest(place(i - 1), place(i + 1), 1e-9, |m| self.push(t, m)).0);
        }
        for &r in self.cranks.iter().filter(|a| !a.is_open()).flat_map(|a| &a.values) {
            let off = |m: f64| self.pull(t, m) - 2.0 * r;
            for i in 1..=MIDDLES {
                let (a, b) = (place(i - 1), place(i));
                if let Some(bracket) = Bracket::new(a, off(a), b, off(b)) {
                    all.push(root(bracket, 1e-12, off));
                }
            }
        }
        if let Size::Free = self.wish.clamp {
            return all;
        }
        // A row or a stretch of clamps: the nearest allowed.
        let held = |m: &f64| {
            let lever = t.toward - t.side.sign() * m;
            of_clamp(nearest_clamp(self.wish.clamp, Rad(lever - middle).deg().signed()))
        };
        all.iter().map(held).filter(|m| *m > lo && *m < hi).collect()
    }

    /// Adds the cords of a lever about a middle.
    fn take(&self, t: Run, middle: f64, found: &mut Vec<CordChoice>) {
        let exact = self.pull(t, middle);
        match &self.cranks {
            None => found.extend(self.choice(t, middle, exact)),
            Some(axis) if axis.is_open() => {
                if axis.holds(0.5 * exact) {
                    found.extend(self.choice(t, middle, exact));
                }
            }
            Some(axis) => {
                // About one middle the swing grows with the pull.
                let slack = self.tolerance + 1e-9;
                let most = self.asked + slack;
                let ends = [self.asked - slack, most.min(2.0 * middle).min(2.0 * (PI - middle))];
                let [least, most] = ends.map(|swing| {
                    let half = 0.5 * swing.max(0.0);
                    t.pulled.length(middle + half) - t.pulled.length(middle - half)
                });
                let suits = |r: &&f64| 2.0 * **r >= least - 1e-6 && 2.0 * **r <= most + 1e-6;
                for &r in axis.values.iter().filter(suits) {
                    found.extend(self.choice(t, middle, 2.0 * r));
                }
            }
        }
    }

    /// The cord that draws in so much, its swing laid about the middle.
    fn choice(&self, t: Run, middle: f64, pull: f64) -> Option<CordChoice> {
        let (near, far) = t.pulled.dead_lengths();
        // The shorter end: lengths grow with the angle, so the middle does too.
        let off =
            |short: f64| 0.5 * (t.pulled.gamma(short) + t.pulled.gamma(short + pull)) - middle;
        let (lo, hi) = (near, far - pull);
        if lo >= hi {
            return None;
        }
        let short = root(Bracket::new(lo, off(lo), hi, off(hi))?, 1e-12, off);
        let (g, h) = (t.pulled.gamma(short), t.pulled.gamma(short + pull));
        let swing = h - g;
        // About the middle both ends miss by half of what the swing does.
        if (swing - self.asked).abs() > self.tolerance + 1e-9 {
            return None;
        }
        let wanted = 0.5 * (self.wish.sweep.0 + self.wish.sweep.1).rad().0;
        let clamp = Rad(t.toward - t.side.sign() * middle - wanted).deg().signed();
        let push_at = |l: f64| t.pulled.push(l).map_or(0.0, |mu| mu.min(PI - mu));
        let push = push_at(short).min(push_at(short + pull));
        let length = self.led(&t, pull) + short + pull;
        let (radius, drawn) = match self.wish.drawer {
            Drawer::Crank { .. } => (Some(Mm(0.5 * pull)), Pull::Pin(Mm(0.5 * pull))),
            Drawer::Spool { from, per, .. } => (None, Pull::Wound { from, per, zero: 0.0 }),
        };
        let limb = (self.wish.pivot, Mm(t.pulled.lever), clamp);
        let guides = self.wish.guides.to_vec();
        let cord = Cord::new(drawn, guides, limb, Mm(length), t.side).ok()?;
        let cord = match (t.over, self.wish.across) {
            (Some(_), Some(across)) => cord.over(self.from(), across)?,
            _ => cord,
        };
        Some(CordChoice {
            cord,
            radius,
            clamp,
            pull: Mm(pull),
            swing: Rad(swing).deg(),
            low: Rad(wanted - 0.5 * swing).deg(),
            push: Rad(push).deg(),
            arm: Mm(t.pulled.lever * libm::sin(push)),
        })
    }

    /// A lever on one side with what leads its cord.
    fn run(&self, lever: f64, side: Assembly) -> Run {
        let wish = self.wish;
        let limb = (wish.pivot, Mm(lever), side);
        let over = wish
            .across
            .and_then(|across| Pulleys::new((self.from(), Mm(0.0)), wish.guides, limb, across));
        match over {
            Some(over) => Run {
                pulled: over.far.pulled(lever),
                toward: over.far.toward.angle().0,
                side,
                over: Some(over.near.line.along + over.between),
            },
            None => {
                let line = Tangent { along: self.ground, wheel: 0.0 };
                Run { pulled: Pulled { lever, line }, toward: self.toward, side, over: None }
            }
        }
    }

    /// Where the cord is drawn in: the crank's shaft, the spool or ram.
    const fn from(&self) -> BoardPoint {
        match self.wish.drawer {
            Drawer::Crank { shaft, .. } => shaft,
            Drawer::Spool { from, .. } => from,
        }
    }

    /// Cord up to the last eye with the limb let out.
    fn led(&self, run: &Run, pull: f64) -> f64 {
        let from = self.from();
        let guides = self.wish.guides;
        let between: f64 = guides.windows(2).map(|p| p[0].distance(p[1]).0).sum();
        let first = guides.first().map_or(0.0, |first| from.distance(*first).0);
        // Let out with the crank toward the first eye.
        match (self.wish.drawer, run.over) {
            (Drawer::Crank { .. }, Some(led)) => led - 0.5 * pull,
            (Drawer::Spool { .. }, Some(led)) => led,
            (Drawer::Crank { .. }, None) => between + (first - 0.5 * pull).abs(),
            (Drawer::Spool { .. }, None) => between + first,
        }
    }
}

fn explain(wish: &CordWish<'_>, plan: &Plan<'_>) -> CordNoFit {
    let (mut least, mut most) = (f64::INFINITY, f64::NEG_INFINITY);
    for &c in &plan.levers.values {
        for side in plan.sides() {
            let t = plan.run(c, side);
            for m in plan.middles(t) {
                let pull = plan.pull(t, m);
                (least, most) = (least.min(pull), most.max(pull));
            }
        }
    }
    let weak = plan.search(Deg(0.0)).into_iter().next();
    let reason = match weak {
        Some(c) => CordReason::WeakPush { best: c.push },
        None if least > most => CordReason::LiesDead,
        None => CordReason::Pull { least: Mm(least), most: Mm(most) },
    };
    let tried = |change: CordChange, wish: CordWish<'_>| {
        let choice = Plan::of(&wish).ok()?.search(PUSH_FLOOR).into_iter().next()?;
        Some((change, choice))
    };
    let mut nearest = Vec::new();
    let free = |wish: CordWish<'_>| Plan::of(&wish).ok()?.search(PUSH_FLOOR).into_iter().next();
    if wish.clamp != Size::Free
        && let Some(c) = free(CordWish { clamp: Size::Free, ..*wish })
    {
        // As it is told it must work too.
        let at = Deg(libm::round(c.clamp.0));
        let clamp = Size::Given(at.0);
        nearest.extend(tried(CordChange::Clamp(at), CordWish { clamp, ..*wish }));
    }
    if let Drawer::Crank { shaft, .. } = wish.drawer {
        let wide = Size::Between { lo: 1.0, hi: 500.0 };
        let any = CordWish { drawer: Drawer::Crank { shaft, radius: wide }, ..*wish };
        if let Some(radius) = free(any).and_then(|c| c.radius) {
            let radius = Mm(libm::round(radius.0 * 2.0) / 2.0);
            let drawer = Drawer::Crank { shaft, radius: Size::Given(radius.0) };
            nearest.extend(tried(CordChange::Crank(radius), CordWish { drawer, ..*wish }));
        }
    }
    let (lo, hi) = match wish.lever {
        Size::Given(v) => (v, v),
        Size::Row { lo, hi, .. } | Size::Between { lo, hi } => (lo, hi),
        Size::Free => (f64::NAN, f64::NAN),
    };
    nearest.extend((1..=100).find_map(|i| {
        let with = |v: f64| {
            positive(v).ok()?;
            tried(CordChange::Lever(Mm(v)), CordWish { lever: Size::Given(v), ..*wish })
        };
        with(lo - 2.0 * f64::from(i)).or_else(|| with(hi + 2.0 * f64::from(i)))
    }));
    CordNoFit { reason, nearest }
}
