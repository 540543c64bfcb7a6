//! Open sizes of a servo's arm, rod and lever.
//!
//! A servo goes where it is told, so any sizes do that take the limb to all angles it is
//! sent to, inside the servo's travel and without coming near a place where two bars lie
//! in line. For a pair of holes the lever's angle on the limb says where its pin stands
//! at each of those angles; a rod then puts the arm's pin there in closed form (two
//! circles), and with it the push angles, how far the servo turns, and how far the bars
//! are from a line. Two numbers are left per pair, clamp and rod: a net of them is
//! looked at, and the best of it climbed from in ever smaller steps; that it is the best
//! there is is not proved. The places where arm and lever both stand square to the rod
//! in the middle of the motion are tried beside the net, the parallelogram of two equal
//! arms among them.

mod climb;

use std::cmp::Ordering;
use std::f64::consts::PI;

use super::ram::{clamp_stands, nearest_clamp};
use super::search::positive;
use super::servo_pose::{Levers, Limb, Pair, Verdict};
use super::{OTHERS, PUSH_FLOOR, PUSH_GOOD, PUSH_TIE, Prefer, ROW_LIMIT, Size, Sizes, fit};
use crate::geometry::{BoardPoint, Dir};
use crate::mechanism::{Assembly, Bars, Degenerate, FourBar, ServoRod};
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
    /// The cosine of a push that is good, and the sine of the least lean.
    good: f64,
    lean: f64,
}

/// Clamps round the whole circle, and rods over what reaches.
const CLAMPS: usize = 18;
const RODS: usize = 6;
/// So many of the best pairs are climbed from, down to steps of the clamp this part of the
/// first; those of them that are told then go on.
const CLIMBED: usize = 8;
const COARSE: f64 = 4.0;
/// Steps of the clamp this small, rad, are no more than rounding: a thousandth of a degree.
const EXACT: f64 = 1.7e-5;
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
        let limb = Limb {
            low: rad(wish.used.0),
            high: rad(wish.used.1),
            zero: given(wish.zero).map(|z| rad(Deg(z))),
            quarters: matches!(wish.prefer, Prefer::Light | Prefer::Even),
        };
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
        })
    }

    fn answer(&self) -> Option<ServoAnswer> {
        let mut kept: Vec<ServoChoice> = Vec::with_capacity(OTHERS + 1);
        for found in self.search() {
            if kept.len() > OTHERS || !self.fits(&found) {
                break;
            }
            kept.extend(self.choice(&found));
        }
        let mut kept = kept.into_iter();
        Some(ServoAnswer { best: kept.next()?, others: kept.collect() })
    }

    /// Whether it is an answer.
    pub(super) fn fits(&self, found: &Found) -> bool {
        found.beyond <= 0.0 && found.verdict.cos <= libm::cos(PUSH_FLOOR.rad().0) + 1e-12
    }

    /// The best of every pair that closes at all, the best pair first; pairs nearer than
    /// half a millimetre count as one.
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
        for f in found.iter_mut().take(CLIMBED) {
            *f = self.climbed(*f, (first, first / COARSE));
        }
        found.sort_by(|f, g| self.ranked(f, g));
        let told = found.len().min(OTHERS + 1);
        for f in &mut found[..told] {
            *f = self.climbed(*f, (first / COARSE, EXACT));
            if self.limb.quarters
                && let Some(rates) = self.rates(f)
            {
                f.verdict.rates = rates;
            }
        }
        found[..told].sort_by(|f, g| self.ranked(f, g));
        let mut kept: Vec<Found> = Vec::new();
        for f in found {
            let apart = |g: &Found| {
                (f.pair.arm - g.pair.arm).abs() > 0.5 || (f.pair.lever - g.pair.lever).abs() > 0.5
            };
            if kept.iter().all(apart) {
                kept.push(f);
            }
        }
        kept
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
            for rod in self.rods_in(levers.rods, rods) {
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
        for elbow in [1.0, -1.0] {
            let Some(found) = self.at(pair, (levers, clamp), rod, elbow) else { continue };
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

    /// One rod with the arm on one side.
    fn at(
        &self,
        pair: &Pair,
        (levers, clamp): (&Levers, f64),
        rod: f64,
        elbow: f64,
    ) -> Option<Found> {
        let verdict = levers.judge(pair, rod, elbow, !self.wish.prefer.by_push())?;
        let allowed = self.wish.assembly.is_none_or(|side| side == verdict.side);
        allowed.then(|| self.found(pair, (clamp, rod, elbow), verdict))
    }

    /// As it is marked out and fitted on the servo, checked on the finished linkage;
    /// `None` where that does not go all the way.
    pub(super) fn choice(&self, found: &Found) -> Option<ServoChoice> {
        let sizes = &self.wish.sizes;
        let turned = |clamp: f64| Rad(clamp).deg().signed();
        let marks = |open: bool| if open { &[0.0, 1.0, -1.0][..] } else { &[0.0][..] };
        let loose = |size: Size| matches!(size, Size::Free | Size::Between { .. });
        let step = if self.wish.system == System::Inch { 25.4 / 32.0 } else { 0.5 };
        // A parallelogram is one only with its very rod.
        let rod_marks = marks(loose(sizes.rod) && !found.parallel);
        let mut hills: Hills = [None; 4];
        for by in rod_marks {
            for turn in marks(loose(sizes.clamp)) {
                let rod = match found.parallel {
                    true => found.rod,
                    false => sizes.rod.marked_length(Mm(found.rod), self.wish.system).0 + by * step,
                };
                let clamp = sizes.clamp.marked_angle(turned(found.clamp)) + Deg(*turn);
                let (clamp, rod) = (self.clamp(clamp.rad().0), self.rod(rod));
                self.look(&found.pair, clamp, rod, &mut hills);
            }
        }
        let marked = hills[found.hill()].filter(|b| self.fits(b) && b.parallel == found.parallel);
        marked.and_then(|b| self.finished(&b)).or_else(|| self.finished(found))
    }

    /// The linkage, and where its arm points with the limb at its low end.
    fn linkage(&self, found: &Found) -> Option<(FourBar, Dir)> {
        let wish = self.wish;
        let lengths = (Mm(found.pair.arm), Mm(found.rod), Mm(found.pair.lever));
        let clamp = Rad(found.clamp).deg().signed();
        let side = found.verdict.side;
        let linkage = FourBar::new((wish.servo, wish.pivot), lengths, clamp, side).ok()?;
        // The arm at the low end is the one that turns to an arm at the high end.
        let arms = linkage.cranks_for(Dir::degrees(wish.used.0));
        let arm = arms.into_iter().find(|a| {
            let (sin, cos) = libm::sincos(self.limb.low + found.clamp);
            let (x, y) = (self.ground + found.pair.lever * cos, found.pair.lever * sin);
            let (s, c) = libm::sincos(a.angle().0 - self.toward);
            (x * s - y * c) * found.elbow >= 0.0
        })?;
        Some((linkage, arm))
    }

    /// How fast the limb turns by the arm, at least and at most over its whole swing.
    fn rates(&self, found: &Found) -> Option<(f64, f64)> {
        let (linkage, arm) = self.linkage(found)?;
        let turned = Rad(found.verdict.turned).deg() * self.wish.sign;
        let (from, to) = (turned.min(Deg(0.0)), turned.max(Deg(0.0)));
        ServoRod::new(linkage, arm.deg(), self.wish.sign).rates(from, to)
    }

    /// The linkage with its servo's zero, looked at as a whole.
    fn finished(&self, found: &Found) -> Option<ServoChoice> {
        let wish = self.wish;
        let (linkage, arm) = self.linkage(found)?;
        let turned = Rad(found.verdict.turned).deg() * wish.sign;
        // Counted by the servo from where the limb is at its low end.
        let from_low = ServoRod::new(linkage, arm.deg(), wish.sign);
        let (zero, own) = self.zero(found, &from_low, turned)?;
        let arm_at_zero = arm.deg() + own * wish.sign;
        let rod = ServoRod::new(linkage, arm_at_zero, wish.sign);
        let servo = (-own, turned - own);
        let (least, most) = (servo.0.min(servo.1), servo.0.max(servo.1));
        let hair = Deg(1e-6);
        let near = |a: Deg, b: Deg| (a - b).signed().abs() < hair;
        let stands = near(rod.limb(servo.0), wish.used.0)
            && near(rod.limb(servo.1), wish.used.1)
            && near(rod.limb(Deg(0.0)), zero)
            && least >= wish.travel.0 - hair
            && most <= wish.travel.1 + hair;
        let free = rod.locks(least.min(Deg(0.0)), most.max(Deg(0.0))).is_empty()
            && rod.turns_back(least + hair, most - hair).is_empty();
        let push = rod.least_push(least, most).0;
        let levers = Levers::at(&found.pair, &self.limb, found.clamp)?;
        let verdict = levers.judge(&found.pair, found.rod, found.elbow, true)?;
        (stands && free && push >= PUSH_FLOOR - Deg(1e-6)).then(|| ServoChoice {
            linkage,
            zero,
            arm_at_zero,
            used: wish.used,
            servo,
            push,
            fit: Share(self.share(&verdict)),
            parallel: found.parallel,
        })
    }

    /// The limb's angle at the servo's own 0, and how far from the low end the servo has
    /// turned there.
    fn zero(&self, found: &Found, from_low: &ServoRod, turned: Deg) -> Option<(Deg, Deg)> {
        let wish = self.wish;
        if let (Size::Given(zero), Some(to_zero)) = (wish.zero, found.verdict.to_zero) {
            return Some((Deg(zero), Rad(to_zero).deg() * wish.sign));
        }
        // Where the servo's 0 may be, so that both ends are inside its travel.
        let (p, q) = (turned.min(Deg(0.0)), turned.max(Deg(0.0)));
        let (lo, hi) = (q - wish.travel.1, p - wish.travel.0);
        let wanted = ((lo + hi) / 2.0).max(p).min(q).max(lo).min(hi);
        let limb = |own: Deg| {
            let at = from_low.limb(own) + (wish.used.0 - from_low.limb(Deg(0.0)));
            Some(at)
        };
        let exact = limb(wanted)?;
        let marked = wish.zero.marked_angle(exact);
        let size = |near: Deg| nearest_clamp(wish.zero, near);
        [size(marked), size(exact)].into_iter().find_map(|zero| {
            let near = zero - exact - (zero - exact).signed();
            let own = from_low.servo_at(zero, lo.max(p - Deg(90.0)), hi.min(q + Deg(90.0)))?;
            let inside = own >= lo - Deg(1e-6) && own <= hi + Deg(1e-6);
            inside.then_some((zero - near, own))
        })
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
