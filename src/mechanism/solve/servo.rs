//! Open sizes of a servo's arm, rod and lever.
//!
//! A servo goes where it is told, so any sizes do that take the limb to all angles it is
//! sent to, inside the servo's travel and without coming near a place where two bars lie
//! in line. For a pair of holes the lever's angle on the limb says where its pin stands
//! at each of those angles; a rod then puts the arm's pin there in closed form (two
//! circles), and with it the push angles, how far the servo turns, and how far the bars
//! are from a line. Two numbers are left per pair, clamp and rod: a net of them is
//! looked at, the best of it climbed from, the best rod for each clamp, and from the best
//! pairs to those beside them (`climb`); that it is the best there is is not proved. What
//! is told is as it is marked out (`marks`). The places where arm and lever both stand
//! square to the rod in the middle of the motion are tried beside the net, the
//! parallelogram of two equal arms among them.

mod climb;
mod marks;

use std::cmp::Ordering;
use std::f64::consts::PI;

use self::marks::MARKED;
use super::ram::{clamp_stands, nearest_clamp};
use super::search::positive;
use super::servo_pose::{Levers, Limb, Pair, Verdict};
use super::{PUSH_FLOOR, PUSH_GOOD, PUSH_TIE, Prefer, ROW_LIMIT, Size, Sizes, fit};
use crate::geometry::BoardPoint;
use crate::mechanism::{Assembly, Bars, Degenerate, FourBar};
use crate::units::{Deg, Mm, Rad, Share, System};

/// Found sizes keep arm and rod at least so far from one line: near it the limb hardly
/// moves while the servo turns, and turns back beyond (common practice, no source).
pub const LEAN_FLOOR: Deg = Deg(20.0);

/// Where an open arm has its holes if nothing is said, mm: horns of hobby servos are
/// drilled so far out (common practice, no source).
#[must_use]
pub const fn usual_arm_holes(system: System) -> (f64, f64, f64) {
    match system {
        System::Inch => (12.7, 31.75, 6.35),
        System::Metric | System::Both => (10.0, 30.0, 5.0),
    }
}

/// Where an open lever of a servo has its holes if nothing is said, mm (common practice,
/// no source).
#[must_use]
pub const fn usual_arm_lever_holes(system: System) -> (f64, f64, f64) {
    match system {
        System::Inch => (12.7, 63.5, 6.35),
        System::Metric | System::Both => (10.0, 60.0, 5.0),
    }
}

/// What is asked of a servo's rod.
#[derive(Clone, Copy, Debug)]
pub struct ServoWish {
    /// The servo's shaft.
    pub servo: BoardPoint,
    /// The limb's pivot.
    pub pivot: BoardPoint,
    /// Arm (`crank`), rod, lever and clamp.
    pub sizes: Sizes,
    /// The lowest and the highest limb angle it is sent to.
    pub used: (Deg, Deg),
    /// The servo's own least and greatest angle, as its pulses count them.
    pub travel: (Deg, Deg),
    /// +1 where its angle counts counter-clockwise seen from the front, else -1.
    pub sign: f64,
    /// The limb's angle at the servo's own 0.
    pub zero: Size,
    /// By how much the swing of a build may miss, for the share of good builds.
    pub within: Deg,
    /// What makes an answer better: `light` turns the limb least for a turn of the
    /// servo, `even` most evenly.
    pub prefer: Prefer,
    /// Fixed, or whichever is better.
    pub assembly: Option<Assembly>,
    /// By how much a built length may be off.
    pub error: Mm,
    /// What the maker measures with.
    pub system: System,
}

/// A linkage that fits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ServoChoice {
    /// With the sizes as they are drilled: a servo is sent to what these need, so
    /// rounding them costs nothing.
    pub linkage: FourBar,
    /// The limb's angle at the servo's own 0.
    pub zero: Deg,
    /// Where the arm points there.
    pub arm_at_zero: Deg,
    /// The limb angles it was found for.
    pub used: (Deg, Deg),
    /// The servo's own angles at them.
    pub servo: (Deg, Deg),
    /// Worst push angle between rod and lever over them.
    pub push: Deg,
    /// Of builds whose arm, rod and lever are each off by anything up to
    /// [`ServoWish::error`], the share that swings as far as asked, to first order.
    pub fit: Share,
    /// Whether limb and arm turn alike: equal arms and a rod as long as shaft and pivot
    /// are apart.
    pub parallel: bool,
}

/// Sizes that fit, the best first; never empty.
#[derive(Clone, Debug, PartialEq)]
pub struct ServoAnswer {
    /// The best.
    pub best: ServoChoice,
    /// The best of each of the next best hole pairs.
    pub others: Vec<ServoChoice>,
}

/// The best arm, rod, lever, clamp and zero for a wish.
///
/// Every answer takes the limb to both ends inside the servo's travel, with a push of at
/// least [`PUSH_FLOOR`] and arm and rod at least [`LEAN_FLOOR`] off a line. With
/// [`Prefer::Usual`] a parallelogram that pushes at [`PUSH_GOOD`] or better leads: the
/// limb then turns as its servo does, degree for degree. Else the best push.
///
/// # Errors
/// Where nothing fits: what is in the way, and the nearest that works.
pub fn solve_servo(wish: &ServoWish) -> Result<ServoAnswer, Box<super::ServoNoFit>> {
    find_servo(wish).ok_or_else(|| super::explain_servo(wish))
}

/// As [`solve_servo`], for whoever does not ask why nothing fits: that takes many times as
/// long to find out.
#[must_use]
pub fn find_servo(wish: &ServoWish) -> Option<ServoAnswer> {
    Plan::of(wish).ok()?.answer().or_else(|| Plan::of(&wish.at_edge()?).ok()?.answer())
}

impl ServoWish {
    /// With the limb, at the servo's own 0, at the angle of a range that lies nearest to the
    /// middle of what it is used for: where the best of any zero has none in the range,
    /// other arms may reach from there. `None` where no range is said.
    pub(super) fn at_edge(&self) -> Option<Self> {
        let middle = (self.used.0 + self.used.1) / 2.0;
        let zero = middle + (nearest_clamp(self.zero, middle) - middle).signed();
        let ranged = matches!(self.zero, Size::Between { .. } | Size::Row { .. });
        ranged.then_some(Self { zero: Size::Given(zero.0), ..*self })
    }
}

/// A pair with the best clamp and rod that were found for it.
#[derive(Clone, Copy, Debug)]
pub(super) struct Found {
    pub pair: Pair,
    /// rad.
    pub clamp: f64,
    pub rod: f64,
    elbow: f64,
    pub verdict: Verdict,
    /// By how much the servo would have to turn beyond its travel, rad.
    pub beyond: f64,
    /// What ranks it among those that fit: smaller is better.
    key: [f64; 2],
    parallel: bool,
}

/// The best of a pair for each side of the arm and each assembly: between them lie places
/// where two bars are in line.
type Hills = [Option<Found>; 4];

impl Found {
    fn hill(&self) -> usize {
        usize::from(self.elbow > 0.0) + 2 * usize::from(self.verdict.side == Assembly::Open)
    }

    fn order(&self, other: &Self) -> Ordering {
        let total = |a: f64, b: f64| a.total_cmp(&b);
        total(self.beyond, other.beyond)
            .then(total(self.key[0], other.key[0]))
            .then(total(self.key[1], other.key[1]))
    }
}

/// What a size may be.
#[derive(Clone, Copy, Debug)]
enum Allowed {
    Any,
    Between(f64, f64),
    Row(f64, f64, f64),
}

/// A wish turned into numbers: mm and rad, angles from the line of centres.
pub(super) struct Plan<'a> {
    wish: &'a ServoWish,
    ground: f64,
    /// The direction from shaft to pivot.
    toward: f64,
    limb: Limb,
    /// The travel.
    least: f64,
    most: f64,
    arms: Vec<f64>,
    levers: Vec<f64>,
    rods: Allowed,
    /// The cosine of a push that is good, and sine and cosine of the least lean.
    good: f64,
    lean: f64,
    upright: f64,
}

/// Clamps round the whole circle, and rods over what reaches.
const CLAMPS: usize = 18;
const RODS: usize = 4;
/// So many of the best pairs are climbed from, down to steps of the clamp this part of the
/// first, no two of them beside each other; those that are told then go on. Fewer where
/// rates or shares of builds have to be worked out for every step.
const CLIMBED: usize = 20;
const FEWER: usize = 8;
const COARSE: f64 = 4.0;
/// Steps of the clamp this small, rad, are enough: it is marked out in whole degrees.
const EXACT: f64 = 1e-3;
/// Rows longer than this are looked at with holes left out first, then about the best.
const THINNED: usize = 12;
/// Angles this little beyond a travel, rad, are on its edge.
const EDGE: f64 = 1e-9;

impl<'a> Plan<'a> {
    pub(super) fn of(wish: &'a ServoWish) -> Result<Self, Degenerate> {
        let ground = wish.pivot - wish.servo;
        let toward = ground.dir().ok_or(Degenerate::CentresMeet)?.angle().0;
        let length = ground.length().0;
        positive(length)?;
        let ends = [wish.used.0, wish.used.1, wish.travel.0, wish.travel.1];
        let fine = ends.iter().all(|e| e.0.abs() < 1e5)
            && wish.used.0 < wish.used.1
            && wish.travel.0 < wish.travel.1;
        if !fine {
            return Err(Degenerate::NotFinite);
        }
        clamp_stands(wish.sizes.clamp)?;
        clamp_stands(wish.zero)?;
        let given = |size: Size| match size {
            Size::Given(v) => Some(v),
            _ => None,
        };
        let (arm, lever) = (wish.sizes.crank, wish.sizes.lever);
        let arms = lengths(arm, usual_arm_holes(wish.system), given(lever))?;
        let levers = lengths(lever, usual_arm_lever_holes(wish.system), given(arm))?;
        let rods = match wish.sizes.rod {
            Size::Free => Allowed::Any,
            Size::Given(v) => Allowed::Between(positive(v)?, v),
            Size::Between { lo, hi } if lo <= hi => Allowed::Between(positive(lo)?, positive(hi)?),
            Size::Row { lo, hi, step } if lo <= hi && step > 0.0 => {
                Allowed::Row(positive(lo)?, positive(hi)?, step)
            }
            _ => return Err(Degenerate::Length),
        };
        let rad = |a: Deg| a.rad().0 - toward;
        let ends = (rad(wish.used.0), rad(wish.used.1));
        let zero = given(wish.zero).map(|z| rad(Deg(z)));
        let limb = Limb::new(ends, zero, matches!(wish.prefer, Prefer::Light | Prefer::Even));
        Ok(Self {
            wish,
            ground: length,
            toward,
            limb,
            least: wish.travel.0.rad().0,
            most: wish.travel.1.rad().0,
            arms,
            levers,
            rods,
            good: libm::cos(PUSH_GOOD.rad().0) + 1e-9,
            lean: libm::sin(LEAN_FLOOR.rad().0),
            upright: libm::cos(LEAN_FLOOR.rad().0),
        })
    }

    /// Whether it is an answer.
    pub(super) fn fits(&self, found: &Found) -> bool {
        found.beyond <= 0.0 && found.verdict.cos <= libm::cos(PUSH_FLOOR.rad().0) + 1e-12
    }

    /// The best of every pair that closes at all, one for each way to put it together, the
    /// best first.
    pub(super) fn search(&self) -> Vec<Found> {
        let thin = |list: &[f64]| list.len().div_ceil(THINNED).max(1);
        let (by_arm, by_lever) = (thin(&self.arms), thin(&self.levers));
        let mut seen: Vec<(usize, usize)> = Vec::new();
        let mut found: Vec<Found> = Vec::new();
        let mut look = |i: usize, j: usize, found: &mut Vec<Found>| {
            if !seen.contains(&(i, j)) {
                seen.push((i, j));
                found.extend(self.of_pair(self.arms[i], self.levers[j]).into_iter().flatten());
            }
        };
        for i in (0..self.arms.len()).step_by(by_arm) {
            for j in (0..self.levers.len()).step_by(by_lever) {
                look(i, j, &mut found);
            }
        }
        found.sort_by(Found::order);
        if by_arm.max(by_lever) > 1 {
            let index = |list: &[f64], v: f64| list.iter().position(|l| *l == v).unwrap_or(0);
            let about = |list: &[f64], v: f64, by: usize| {
                let at = index(list, v);
                at.saturating_sub(by - 1)..(at + by).min(list.len())
            };
            for hill in found.iter().take(3).copied().collect::<Vec<_>>() {
                for i in about(&self.arms, hill.pair.arm, by_arm) {
                    for j in about(&self.levers, hill.pair.lever, by_lever) {
                        look(i, j, &mut found);
                    }
                }
            }
            // Equal arms, which thinning may have missed.
            for (i, arm) in self.arms.iter().enumerate().take(ROW_LIMIT) {
                if let Some(j) = self.levers.iter().position(|l| (l - arm).abs() < 1e-9)
                    && i % by_arm.max(2) == 0
                {
                    look(i, j, &mut found);
                }
            }
            found.sort_by(Found::order);
        }
        let first = PI / CLAMPS as f64;
        let mut starts: Vec<usize> = Vec::with_capacity(CLIMBED);
        let climbed = if self.smooth() { CLIMBED } else { FEWER };
        for (n, f) in found.iter().enumerate() {
            let apart = |start: &usize| !(self.smooth() && self.beside(f, &found[*start]));
            if starts.len() < climbed && starts.iter().all(apart) {
                starts.push(n);
            }
        }
        for n in starts {
            found[n] = self.climbed(found[n], (first, first / COARSE));
        }
        if self.smooth() {
            self.walked(&mut found, (first, first / COARSE));
        }
        let told = found.len().min(MARKED);
        found.sort_by(Found::order);
        for f in &mut found[..told] {
            *f = self.climbed(*f, (first / COARSE, EXACT));
            if self.limb.quarters()
                && let Some(rates) = self.rates(f)
            {
                f.verdict.rates = rates;
            }
        }
        found[..told].sort_by(|f, g| self.ranked(f, g));
        found
    }

    /// Of equals the longer arm, whose play counts less; then the longer lever, the open
    /// assembly.
    fn ranked(&self, f: &Found, g: &Found) -> Ordering {
        let near = |a: f64, b: f64| {
            let tie = PUSH_TIE.rad().0;
            libm::round(a / tie).total_cmp(&libm::round(b / tie))
        };
        let told = |f: &Found| self.key(&f.verdict, f.parallel, libm::acos(f.verdict.cos.min(1.0)));
        let (a, b) = (told(f), told(g));
        f.beyond
            .total_cmp(&g.beyond)
            .then(near(a[0], b[0]))
            .then(near(a[1], b[1]))
            .then(g.pair.arm.total_cmp(&f.pair.arm))
            .then(g.pair.lever.total_cmp(&f.pair.lever))
            .then(f.verdict.side.cmp(&g.verdict.side))
    }

    /// The best clamp and rod of a pair on the net, and of the places where both arms
    /// stand square to the rod.
    fn of_pair(&self, arm: f64, lever: f64) -> Hills {
        let pair = Pair { arm, lever, ground: self.ground };
        let mut best: Hills = [None; 4];
        let middle = 0.5 * (self.limb.low + self.limb.high);
        for (at, rod) in pair.square() {
            self.look(&pair, self.clamp(at - middle), rod, &mut best);
        }
        // One number alone is looked at more closely.
        let one_rod = matches!(self.rods, Allowed::Between(lo, hi) if hi - lo < 1e-9);
        let net = if one_rod { 3 * CLAMPS } else { CLAMPS };
        let (from, to, count) = match self.wish.sizes.clamp {
            Size::Given(v) => (Deg(v).rad().0, Deg(v).rad().0, 1),
            Size::Between { lo, hi } | Size::Row { lo, hi, .. } if hi - lo < 360.0 => {
                let count = libm::ceil((hi - lo) / (360.0 / net as f64)) as usize + 1;
                (Deg(lo).rad().0, Deg(hi).rad().0, count.max(3))
            }
            _ => (-PI, PI - 2.0 * PI / net as f64, net),
        };
        let rods = if count == 1 { 4 * RODS } else { RODS };
        for n in 0..count {
            let share = n as f64 / (count.max(2) - 1) as f64;
            let clamp = self.clamp(from + (to - from) * share);
            let Some(levers) = Levers::at(&pair, &self.limb, clamp) else { continue };
            // Where none keeps off a line the nearest to it still tells why.
            let off = levers.leaning(&pair, (self.lean, self.upright));
            let reach = if off.0 < off.1 { off } else { levers.rods };
            for rod in self.rods_in(reach, rods) {
                self.judged(&pair, (&levers, clamp), rod, &mut best);
            }
        }
        best
    }

    /// The allowed clamp nearest to one, rad.
    fn clamp(&self, near: f64) -> f64 {
        match self.wish.sizes.clamp {
            Size::Free => near,
            size => nearest_clamp(size, Rad(near).deg()).rad().0,
        }
    }

    /// The allowed rod nearest to one; `None` where that is far off.
    fn rod(&self, near: f64) -> f64 {
        match self.rods {
            Allowed::Any => near,
            Allowed::Between(lo, hi) => near.clamp(lo, hi),
            Allowed::Row(lo, hi, step) => {
                let last = libm::floor((hi - lo) / step + 1e-9);
                lo + step * libm::round((near - lo) / step).clamp(0.0, last)
            }
        }
    }

    /// Rods to look at of those that reach.
    fn rods_in(&self, (lo, hi): (f64, f64), many: usize) -> impl Iterator<Item = f64> + use<> {
        let (from, to) = match self.rods {
            Allowed::Any => {
                let edge = (hi - lo) / (2 * many) as f64;
                (lo + edge, hi - edge)
            }
            Allowed::Between(a, b) => (a.max(lo), b.min(hi)),
            Allowed::Row(..) => (self.rod(lo), self.rod(hi)),
        };
        let count = match self.rods {
            _ if to < from => 0,
            Allowed::Row(_, _, step) => {
                (libm::round((to - from) / step) as usize + 1).min(2 * many)
            }
            _ if to - from < 1e-9 => 1,
            _ => many,
        };
        (0..count).map(move |n| {
            let share = n as f64 / (count.max(2) - 1) as f64;
            from + (to - from) * share
        })
    }

    fn look(&self, pair: &Pair, clamp: f64, rod: f64, best: &mut Hills) {
        if let Some(levers) = Levers::at(pair, &self.limb, clamp) {
            self.judged(pair, (&levers, clamp), rod, best);
        }
    }

    /// Keeps a rod, with the arm on either side, where it is better.
    fn judged(&self, pair: &Pair, (levers, clamp): (&Levers, f64), rod: f64, best: &mut Hills) {
        let rod = self.rod(rod);
        if !(Bars::SHORTEST.0..=Bars::LONGEST.0).contains(&rod) {
            return;
        }
        let promising = levers.promising(pair, rod, self.to_beat(best));
        let sides = [1.0, -1.0].into_iter().zip(promising).filter(|side| side.1);
        for (elbow, _) in sides {
            let Some(found) = self.at(pair, (levers, clamp), (rod, elbow)) else { continue };
            let hill = &mut best[found.hill()];
            if hill.as_ref().is_none_or(|b| found.order(b) == Ordering::Less) {
                *hill = Some(found);
            }
        }
    }

    fn found(&self, pair: &Pair, (clamp, rod, elbow): (f64, f64, f64), verdict: Verdict) -> Found {
        let lean = self.lean - verdict.lean;
        let beyond = (self.beyond(&verdict) - EDGE).max(0.0) + lean.max(0.0);
        let alike = (pair.arm - pair.lever).abs() < 1e-9 && (rod - pair.ground).abs() < 1e-9;
        // A bow-tie of the same bars turns the other way.
        let parallel = alike && (verdict.turned - (self.limb.high - self.limb.low)).abs() < 1e-9;
        // What grows with the push angle will do to compare two of them.
        let key = self.key(&verdict, parallel, 1.0 - verdict.cos);
        Found { pair: *pair, clamp, rod, elbow, verdict, beyond, key, parallel }
    }

    /// What ranks one that fits by its push, smaller is better.
    fn key(&self, verdict: &Verdict, parallel: bool, push: f64) -> [f64; 2] {
        let good = verdict.cos <= self.good;
        let (least, most) = verdict.rates;
        match self.wish.prefer {
            Prefer::Usual if parallel && good => [-10.0, -push],
            Prefer::Usual | Prefer::Push => [-push, 0.0],
            _ if !good => [10.0 - push, 0.0],
            Prefer::Build => [-self.share(verdict), -push],
            Prefer::Light => [most, -push],
            Prefer::Even => [most / least, -push],
        }
    }

    fn share(&self, verdict: &Verdict) -> f64 {
        fit::share(&verdict.slopes, self.wish.error.0, 0.0, self.wish.within.rad().0)
    }

    /// By how much the servo would have to turn beyond its travel, rad.
    fn beyond(&self, verdict: &Verdict) -> f64 {
        match verdict.to_zero {
            None => verdict.turned.abs() - (self.most - self.least),
            Some(to_zero) => {
                let (p, q) =
                    (-to_zero * self.wish.sign, (verdict.turned - to_zero) * self.wish.sign);
                (self.least - p.min(q)).max(p.max(q) - self.most)
            }
        }
    }

    /// The cosine of the push that what is found with the arm on the left or the right has
    /// already, crossed and open: none worse need be looked at.
    fn to_beat(&self, best: &Hills) -> [[f64; 2]; 2] {
        [[1, 3], [0, 2]].map(|hills| {
            hills.map(|hill| match &best[hill] {
                Some(b) if b.beyond <= 0.0 && self.wish.prefer.by_push() => b.verdict.cos,
                _ => f64::MAX,
            })
        })
    }

    /// One rod with the arm on one side.
    fn at(
        &self,
        pair: &Pair,
        (levers, clamp): (&Levers, f64),
        (rod, elbow): (f64, f64),
    ) -> Option<Found> {
        let verdict = levers.judge(pair, rod, elbow, !self.wish.prefer.by_push())?;
        let allowed = self.wish.assembly.is_none_or(|side| side == verdict.side);
        allowed.then(|| self.found(pair, (clamp, rod, elbow), verdict))
    }
}

/// The lengths to try of an arm or a lever: a row as it is; of an open one the usual
/// holes and what the other one has, since equal arms are the common answer.
fn lengths(size: Size, usual: (f64, f64, f64), other: Option<f64>) -> Result<Vec<f64>, Degenerate> {
    let row = |lo: f64, hi: f64, step: f64| -> Result<Vec<f64>, Degenerate> {
        let last = libm::floor((hi - lo) / step + 1e-9);
        let fine = step > 0.0 && lo <= hi && last < ROW_LIMIT as f64;
        if !fine {
            return Err(Degenerate::Length);
        }
        Ok((0..=last as usize).map(|i| lo + step * i as f64).collect())
    };
    let mut list = match size {
        Size::Given(v) => vec![positive(v)?],
        Size::Row { lo, hi, step } => row(positive(lo)?, positive(hi)?, step)?,
        Size::Free => row(usual.0, usual.1, usual.2)?,
        Size::Between { lo, hi } if lo <= hi => {
            let (lo, hi) = (positive(lo)?, positive(hi)?);
            // Half a millimetre is as fine as a hole is marked.
            let step = (libm::ceil((hi - lo) / 8.0 / 0.5) * 0.5).max(0.5);
            let mut all = row(lo, hi, step)?;
            all.push(hi);
            all
        }
        Size::Between { .. } => return Err(Degenerate::Length),
    };
    let open = match size {
        Size::Free => true,
        Size::Between { lo, hi } => other.is_some_and(|o| (lo..=hi).contains(&o)),
        Size::Given(_) | Size::Row { .. } => false,
    };
    list.extend(other.filter(|_| open));
    list.sort_by(f64::total_cmp);
    list.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
    Ok(list)
}
