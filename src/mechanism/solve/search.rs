//! Going through hole pairs and ranking what fits.

use std::cmp::Ordering;
use std::f64::consts::PI;

use super::fit;
use super::window::{HalfSwing, Pair, Stretch};
use super::{
    Choice, FREE_CRANK, FREE_LEVER, OTHERS, PUSH_FLOOR, PUSH_GOOD, PUSH_TIE, Prefer, ROW_LIMIT,
    Size, Wish,
};
use crate::mechanism::{Assembly, Bars, Degenerate, FourBar};
use crate::units::{Deg, Mm, Rad, Share};

/// Windows are narrowed by this, so that what is on their edge is inside when it
/// is computed again.
const EDGE: f64 = 1e-9 * PI / 180.0;

/// A wish turned into numbers: mm and rad.
pub(super) struct Plan<'a> {
    pub wish: &'a Wish<'a>,
    /// Motor to pivot.
    pub ground: f64,
    /// Direction from pivot to motor.
    toward_motor: f64,
    /// The wanted ends.
    from: f64,
    to: f64,
    pub tolerance: f64,
    least: HalfSwing,
    most: HalfSwing,
    exact: HalfSwing,
    cranks: Axis,
    levers: Axis,
    rods: Rods,
    /// Stretches of allowed clamps; empty where any will do.
    clamps: Vec<Stretch>,
    floor_cos: f64,
}

/// Values to try for crank or lever.
#[derive(Clone)]
pub(super) struct Axis {
    pub values: Vec<f64>,
    /// Distance between values that stand for all between them; none on a row.
    spacing: Option<f64>,
    lo: f64,
    hi: f64,
}

/// Rods allowed.
#[derive(Clone, Copy)]
pub(super) enum Rods {
    /// Any length in a stretch.
    Any(Stretch),
    /// A row of lengths.
    Row { lo: f64, hi: f64, step: f64 },
}

/// One linkage that fits, before it is analysed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Found {
    pub pair: Pair,
    pub rod: f64,
    /// Cosine of the worst push angle.
    pub cos: f64,
    /// rad; the middle of the allowed ones.
    pub clamp: f64,
    pub assembly: Assembly,
}

/// Of so many pairs the lightest rods are looked for, to so many mm.
const LIGHTENED: usize = 3;
const LIGHT_ENOUGH: f64 = 0.05;
/// Values per continuous axis.
const GRID: usize = 25;

impl Axis {
    pub(super) fn of(size: Size, free: (f64, f64)) -> Result<Self, Degenerate> {
        let row = |values: Vec<f64>| {
            let (lo, hi) = (values[0], values[values.len() - 1]);
            Self { values, spacing: None, lo, hi }
        };
        match size {
            Size::Given(v) => positive(v).map(|v| row(vec![v])),
            Size::Row { lo, hi, step } => Ok(row(row_of(positive(lo)?, hi, step)?)),
            Size::Free => Self::even(free.0, free.1),
            Size::Between { lo, hi } => Self::even(positive(lo)?, positive(hi)?),
        }
    }

    fn even(lo: f64, hi: f64) -> Result<Self, Degenerate> {
        if lo > hi {
            return Err(Degenerate::Length);
        }
        let spacing = (hi - lo) / (GRID - 1) as f64;
        let values = (0..GRID).map(|i| (lo + spacing * i as f64).min(hi)).collect();
        Ok(Self { values, spacing: Some(spacing), lo, hi })
    }

    /// Whether it stands for all values between its ends.
    pub(super) const fn is_open(&self) -> bool {
        self.spacing.is_some()
    }

    /// Whether a value lies between its ends.
    pub(super) fn holds(&self, v: f64) -> bool {
        v >= self.lo && v <= self.hi
    }

    /// Narrowed about a value; `None` for a row, and once it is fine enough.
    pub(super) fn finer(&self, about: f64) -> Option<Self> {
        self.spacing.filter(|s| *s > 0.01).map(|_| self.narrowed(about))
    }

    /// The same axis with five values about one of them, twice as near.
    fn narrowed(&self, about: f64) -> Self {
        let Some(spacing) = self.spacing.map(|s| s / 2.0) else {
            return self.clone();
        };
        let mut values: Vec<f64> =
            (-2..=2).map(|i| (about + spacing * f64::from(i)).clamp(self.lo, self.hi)).collect();
        values.dedup();
        Self { values, spacing: Some(spacing), lo: self.lo, hi: self.hi }
    }
}

pub(super) fn positive(v: f64) -> Result<f64, Degenerate> {
    let fine = (Bars::SHORTEST.0..=Bars::LONGEST.0).contains(&v);
    if fine { Ok(v) } else { Err(Degenerate::Length) }
}

/// Whether a row has a first hole, a last one not before it, and a step.
fn row_stands(lo: f64, hi: f64, step: f64) -> bool {
    step > 0.0 && step.is_finite() && lo.is_finite() && hi.is_finite() && lo <= hi
}

/// The values of a row; the last hole may be off by rounding.
fn row_of(lo: f64, hi: f64, step: f64) -> Result<Vec<f64>, Degenerate> {
    let count = libm::floor((hi - lo) / step + 1e-9) + 1.0;
    if !row_stands(lo, hi, step) || count > ROW_LIMIT as f64 {
        return Err(Degenerate::Length);
    }
    Ok((0..count as usize).map(|i| lo + step * i as f64).collect())
}

impl<'a> Plan<'a> {
    /// Checks and converts a wish.
    pub(super) fn of(wish: &'a Wish<'a>) -> Result<Self, Degenerate> {
        let ground = wish.pivot - wish.motor;
        let (from, to, tolerance) = (wish.sweep.0.rad().0, wish.sweep.1.rad().0, wish.tolerance());
        let tolerance = tolerance.rad().0;
        let d = ground.length().0;
        if ![d, from, to, tolerance].iter().all(|v| v.is_finite()) {
            return Err(Degenerate::NotFinite);
        }
        if !(to > from && tolerance >= 0.0) {
            return Err(Degenerate::NotFinite);
        }
        let toward_motor = (-ground).dir().ok_or(Degenerate::CentresMeet)?.angle().0;
        let asked = to - from;
        let slack = (tolerance - EDGE).max(tolerance / 2.0);
        let half = |swing: f64| HalfSwing::of(swing.clamp(1e-9, PI));
        Ok(Self {
            wish,
            ground: positive(d).map_err(|_| Degenerate::CentresMeet)?,
            toward_motor,
            from,
            to,
            tolerance,
            least: half(asked - slack),
            most: half(asked + slack),
            exact: half(asked),
            cranks: Axis::of(wish.sizes.crank, FREE_CRANK)?,
            levers: Axis::of(wish.sizes.lever, FREE_LEVER)?,
            rods: rods_of(wish.sizes.rod)?,
            clamps: clamps_of(wish.sizes.clamp)?,
            floor_cos: libm::cos(PUSH_FLOOR.rad().0),
        })
    }

    /// The same plan with any rod, any clamp, or any push angle allowed: to see
    /// what is in the way.
    pub(super) fn relaxed(mut self, rod: bool, clamp: bool, push: bool) -> Self {
        if rod {
            self.rods = Rods::Any(Stretch { lo: 0.0, hi: f64::INFINITY });
        }
        if clamp {
            self.clamps.clear();
        }
        if push {
            self.floor_cos = 1.0;
        }
        self
    }

    /// Every hole pair.
    pub(super) fn pairs(&self) -> impl Iterator<Item = Pair> + '_ {
        let d = self.ground;
        let cranks = self.cranks.values.iter();
        cranks.flat_map(move |&a| self.levers.values.iter().map(move |&c| Pair { a, c, d }))
    }

    /// Everything that fits: the best by push of each pair, or for the other
    /// preferences several rods of each.
    pub(super) fn search(&self) -> Vec<Found> {
        let mut found = Vec::new();
        for pair in self.pairs() {
            self.fit_pair(pair, &mut found);
        }
        if self.cranks.spacing.is_some() || self.levers.spacing.is_some() {
            found = self.refine(found);
        }
        if self.wish.prefer == Prefer::Light {
            self.lighten(&mut found);
        }
        found
    }

    /// Looks between the rods of the best pairs: the lightest lies at none of those that are
    /// tried of every pair.
    fn lighten(&self, found: &mut Vec<Found>) {
        if !self.clamps.is_empty() || !matches!(self.rods, Rods::Any(_)) {
            return;
        }
        let mut pairs: Vec<Found> = Vec::new();
        for f in self.order(found) {
            if pairs.len() < LIGHTENED && pairs.iter().all(|p| p.pair != f.pair) {
                pairs.push(f);
            }
        }
        for mut best in pairs {
            let windows = best.pair.swinging(self.least, self.most).into_iter().flatten();
            let Some(window) = windows.into_iter().find(|w| w.holds(best.rod)) else { continue };
            let mut near = (window.hi - window.lo) / 8.0;
            while near > LIGHT_ENOUGH {
                let about = Stretch { lo: best.rod - near, hi: best.rod + near };
                let Some(about) = window.cut(about) else { break };
                let first = found.len();
                self.fit_window(best.pair, about, None, found);
                let mut near_it = vec![best];
                near_it.extend_from_slice(&found[first..]);
                best = self.order(&near_it).into_iter().next().unwrap_or(best);
                near /= 4.0;
            }
        }
    }

    /// Narrows continuous axes about the best pair until the spacing is below a
    /// hundredth of a millimetre.
    fn refine(&self, mut found: Vec<Found>) -> Vec<Found> {
        let wide = |axis: &Axis| axis.spacing.is_some_and(|s| s > 0.01);
        let (mut cranks, mut levers) = (self.cranks.clone(), self.levers.clone());
        while wide(&cranks) || wide(&levers) {
            let Some(best) = self.order(&found).first().map(|f| f.pair) else { break };
            cranks = cranks.narrowed(best.a);
            levers = levers.narrowed(best.c);
            for (&a, &c) in
                cranks.values.iter().flat_map(|a| levers.values.iter().map(move |c| (a, c)))
            {
                self.fit_pair(Pair { a, c, d: self.ground }, &mut found);
            }
        }
        found
    }

    /// The usable rods of a pair.
    #[inline]
    pub(super) fn fit_pair(&self, pair: Pair, found: &mut Vec<Found>) {
        let windows = pair.swinging(self.least, self.most);
        if windows == [None, None] {
            return;
        }
        if !self.clamps.is_empty() {
            return self.fit_clamped(pair, windows, found);
        }
        let first = found.len();
        for window in windows.into_iter().flatten() {
            self.fit_window(pair, window, None, found);
        }
        if self.wish.prefer.by_push() && found.len() > first + 1 {
            keep_best(found, first);
        }
    }

    /// The rods of a window that are worth ranking. `clamp`: the allowed clamps
    /// (rad, unwrapped) and the assembly; absent where any will do.
    fn fit_window(
        &self,
        pair: Pair,
        window: Stretch,
        clamp: Option<(Stretch, Assembly)>,
        found: &mut Vec<Found>,
    ) {
        let hill = pair.hill();
        let mut take = |rod: f64| {
            let cos = pair.worst_cos(rod);
            if cos > self.floor_cos {
                return;
            }
            let Some((clamp, assembly)) = self.clamp_for(pair, rod, clamp) else { return };
            found.push(Found { pair, rod, cos, clamp, assembly });
        };
        match self.rods {
            Rods::Row { lo, hi, step } => {
                let last = libm::floor((hi - lo) / step + 1e-9);
                let index = |v: f64| (v - lo) / step;
                let first_in = libm::ceil(index(window.lo) - 1e-9).max(0.0);
                let last_in = libm::floor(index(window.hi) + 1e-9).min(last);
                if first_in > last_in {
                    return;
                }
                if self.wish.prefer.by_push() {
                    // The hill falls off on both sides: its two neighbours.
                    let below = libm::floor(index(hill)).clamp(first_in, last_in);
                    let above = (below + 1.0).min(last_in);
                    take(lo + step * below);
                    if above > below {
                        take(lo + step * above);
                    }
                } else {
                    let stride = libm::ceil((last_in - first_in + 1.0) / 200.0).max(1.0);
                    let mut i = first_in;
                    while i <= last_in {
                        take(lo + step * i);
                        i += stride;
                    }
                }
            }
            Rods::Any(allowed) => {
                let Some(window) = window.cut(allowed) else { return };
                take(hill.clamp(window.lo, window.hi));
                if !self.wish.prefer.by_push() {
                    self.more_rods(pair, window, &mut take);
                }
            }
        }
    }

    /// For the preferences other than push: exact swings, the least swing, the
    /// borders of good push, and nine rods between.
    fn more_rods(&self, pair: Pair, window: Stretch, take: &mut dyn FnMut(f64)) {
        let good = pair.pushing(libm::cos(PUSH_GOOD.rad().0));
        let window = good.and_then(|g| g.cut(window)).unwrap_or(window);
        let (short, long, _) = pair.rods_for(self.exact);
        for rod in [short, long, Some(pair.valley())].into_iter().flatten() {
            if window.holds(rod) {
                take(rod);
            }
        }
        for i in 0..=8 {
            take(window.lo + (window.hi - window.lo) * f64::from(i) / 8.0);
        }
    }

    /// The windows cut by what the clamp allows, for each allowed assembly.
    fn fit_clamped(&self, pair: Pair, windows: [Option<Stretch>; 2], found: &mut Vec<Found>) {
        let first = found.len();
        let both = [Assembly::Open, Assembly::Crossed];
        for assembly in both.into_iter().filter(|a| self.wish.assembly.is_none_or(|w| w == *a)) {
            for window in windows.into_iter().flatten() {
                let reach = self.clamps_over(pair, window, assembly);
                for allowed in &self.clamps {
                    // The first whole turn that can bring it into reach, and on.
                    let mut by = 2.0 * PI * libm::ceil((reach.lo - allowed.hi) / (2.0 * PI));
                    while allowed.lo + by <= reach.hi {
                        let turned = Stretch { lo: allowed.lo + by, hi: allowed.hi + by };
                        let rods = self.rods_for_clamp(pair, turned, assembly);
                        if let Some(window) = rods.and_then(|rods| window.cut(rods)) {
                            self.fit_window(pair, window, Some((turned, assembly)), found);
                        }
                        by += 2.0 * PI;
                    }
                }
            }
        }
        if self.wish.prefer.by_push() && found.len() > first + 1 {
            keep_best(found, first);
        }
    }

    /// All clamps with which some rod of a window puts both ends within tolerance
    /// (and perhaps a few more): both ends move one way with the rod.
    fn clamps_over(&self, pair: Pair, window: Stretch, assembly: Assembly) -> Stretch {
        let (p, q) = (
            self.lever_ends(pair, window.lo, assembly),
            self.lever_ends(pair, window.hi, assembly),
        );
        let slack = self.tolerance + EDGE;
        Stretch {
            lo: (p.0.min(q.0) - self.from).max(p.1.min(q.1) - self.to) - slack,
            hi: (p.0.max(q.0) - self.from).min(p.1.max(q.1) - self.to) + slack,
        }
    }

    /// The lever's ends with a rod: (low, high), absolute, not wrapped.
    fn lever_ends(&self, pair: Pair, rod: f64, assembly: Assembly) -> (f64, f64) {
        let (near, far) = (pair.gamma(rod - pair.a), pair.gamma(rod + pair.a));
        match assembly {
            Assembly::Open => (self.toward_motor - far, self.toward_motor - near),
            Assembly::Crossed => (self.toward_motor + near, self.toward_motor + far),
        }
    }

    /// The rods with which some allowed clamp puts both ends within tolerance.
    ///
    /// Both ends move one way with the rod, so each condition on an end is a
    /// bound on the rod by the cosine rule.
    fn rods_for_clamp(&self, pair: Pair, clamp: Stretch, assembly: Assembly) -> Option<Stretch> {
        let tolerance = self.tolerance - EDGE.min(self.tolerance / 2.0);
        let (motor, a) = (self.toward_motor, pair.a);
        // Bounds on low and high lever end.
        let low =
            Stretch { lo: clamp.lo + self.from - tolerance, hi: clamp.hi + self.from + tolerance };
        let high =
            Stretch { lo: clamp.lo + self.to - tolerance, hi: clamp.hi + self.to + tolerance };
        // The same as bounds on gamma with the rod folded and stretched.
        let (folded, stretched) = match assembly {
            Assembly::Open => (
                Stretch { lo: motor - high.hi, hi: motor - high.lo },
                Stretch { lo: motor - low.hi, hi: motor - low.lo },
            ),
            Assembly::Crossed => (
                Stretch { lo: low.lo - motor, hi: low.hi - motor },
                Stretch { lo: high.lo - motor, hi: high.hi - motor },
            ),
        };
        if folded.hi < 0.0 || stretched.hi < 0.0 || folded.lo > PI || stretched.lo > PI {
            return None;
        }
        let f = Stretch { lo: pair.side(folded.lo) + a, hi: pair.side(folded.hi) + a };
        let s = Stretch { lo: pair.side(stretched.lo) - a, hi: pair.side(stretched.hi) - a };
        f.cut(s)
    }

    /// The clamp for a rod: nearest the one that centres the swing.
    fn clamp_for(
        &self,
        pair: Pair,
        rod: f64,
        allowed: Option<(Stretch, Assembly)>,
    ) -> Option<(f64, Assembly)> {
        let assembly = allowed.map(|a| a.1).or(self.wish.assembly).unwrap_or(Assembly::Open);
        let Some((allowed, _)) = allowed else {
            // Worked out once the linkage is chosen.
            return Some((f64::NAN, assembly));
        };
        let (low, high) = self.lever_ends(pair, rod, assembly);
        let slack = self.tolerance + EDGE;
        let range = Stretch {
            lo: (low - self.from).max(high - self.to) - slack,
            hi: (low - self.from).min(high - self.to) + slack,
        };
        let range = range.cut(allowed)?;
        let centred = 0.5 * (low + high - self.from - self.to);
        Some((centred.clamp(range.lo, range.hi), assembly))
    }

    /// The clamp that centres the swing.
    fn centred_clamp(&self, found: &Found) -> f64 {
        if found.clamp.is_finite() {
            return found.clamp;
        }
        let (low, high) = self.lever_ends(found.pair, found.rod, found.assembly);
        0.5 * (low + high - self.from - self.to)
    }

    /// The linkage of a find.
    fn linkage(&self, found: &Found) -> Option<FourBar> {
        let lengths = (Mm(found.pair.a), Mm(found.rod), Mm(found.pair.c));
        let clamp = match self.wish.sizes.clamp {
            Size::Given(v) => Deg(v),
            _ => Rad(self.centred_clamp(found)).deg().signed(),
        };
        FourBar::new((self.wish.motor, self.wish.pivot), lengths, clamp, found.assembly).ok()
    }

    /// What people are told about a find.
    pub(super) fn choice(&self, found: &Found) -> Option<Choice> {
        let swing = found.pair.swing(found.rod);
        let off = swing - (self.to - self.from);
        let slopes = fit::slopes(&found.pair, found.rod);
        Some(Choice {
            linkage: self.linkage(found)?,
            swing: Rad(swing).deg(),
            push: Rad(libm::acos(found.cos.clamp(0.0, 1.0))).deg(),
            time_ratio: found.pair.time_ratio(found.rod),
            fit: Share(fit::share(&slopes, self.wish.error.0, off, self.tolerance)),
        })
    }

    /// The best choice and the best of the next best hole pairs.
    pub(super) fn rank(&self, found: &[Found]) -> Option<Vec<Choice>> {
        let ordered = self.order(found);
        let mut chosen: Vec<Found> = Vec::with_capacity(OTHERS + 1);
        let apart = |f: &Found, g: &Found| {
            (f.pair.a - g.pair.a).abs() > 0.5 || (f.pair.c - g.pair.c).abs() > 0.5
        };
        for f in ordered {
            if chosen.iter().all(|g| apart(&f, g)) {
                chosen.push(f);
            }
            if chosen.len() > OTHERS {
                break;
            }
        }
        let choices: Vec<Choice> = chosen.iter().filter_map(|f| self.choice(f)).collect();
        (!choices.is_empty()).then_some(choices)
    }

    /// Finds in the order of the wish's preference, ties broken among the first.
    fn order(&self, found: &[Found]) -> Vec<Found> {
        if found.is_empty() {
            return Vec::new();
        }
        let mut list = match self.wish.prefer {
            Prefer::Usual | Prefer::Push => {
                let mut list = found.to_vec();
                list.sort_by(|f, g| f.cos.total_cmp(&g.cos));
                list
            }
            prefer => self.order_by(prefer, found),
        };
        let top = libm::acos(list[0].cos.clamp(0.0, 1.0));
        let tie = libm::cos((top - PUSH_TIE.rad().0).max(0.0));
        let ties = match self.wish.prefer {
            Prefer::Usual | Prefer::Push => list.iter().take_while(|f| f.cos <= tie).count(),
            _ => 1,
        };
        let mut first = self.both_assemblies(&list[..ties]);
        if first.len() > 1 {
            first.sort_by(|f, g| self.tie_break(f, g));
        }
        list.splice(..ties, first);
        list
    }

    /// With a free clamp both assemblies push alike: a rating may tell them apart.
    fn both_assemblies(&self, ties: &[Found]) -> Vec<Found> {
        let open = self.wish.assembly.is_none() && self.clamps.is_empty();
        if !open || self.wish.rate.is_none() {
            return ties.to_vec();
        }
        let with = |assembly| ties.iter().map(move |f| Found { assembly, ..*f });
        with(Assembly::Open).chain(with(Assembly::Crossed)).collect()
    }

    fn tie_break(&self, f: &Found, g: &Found) -> Ordering {
        let rate = |f: &Found| match (self.wish.rate, self.linkage(f)) {
            (Some(rate), Some(linkage)) => rate(&linkage),
            _ => 0,
        };
        let off = |f: &Found| (f.pair.swing(f.rod) - (self.to - self.from)).abs();
        let even = |f: &Found| f.pair.time_ratio(f.rod);
        rate(f)
            .cmp(&rate(g))
            .then(off(f).total_cmp(&off(g)))
            .then(even(f).total_cmp(&even(g)))
            .then(g.pair.c.total_cmp(&f.pair.c))
            .then(f.assembly.cmp(&g.assembly))
            .then(f.rod.total_cmp(&g.rod))
    }

    /// Build, light, even: good push first, then the preference's own measure.
    fn order_by(&self, prefer: Prefer, found: &[Found]) -> Vec<Found> {
        let good = libm::cos(PUSH_GOOD.rad().0) + 1e-12;
        let mut keyed: Vec<(bool, f64, f64, Found)> = found
            .iter()
            .map(|f| {
                let off = f.pair.swing(f.rod) - (self.to - self.from);
                let key = match prefer {
                    Prefer::Build => {
                        let slopes = fit::slopes(&f.pair, f.rod);
                        -fit::share(&slopes, self.wish.error.0, off, self.tolerance)
                    }
                    Prefer::Light => self.speed(f),
                    Prefer::Even => f.pair.time_ratio(f.rod),
                    Prefer::Usual | Prefer::Push => f.cos,
                };
                let poor = f.cos > good;
                // Without good push the best push is the better answer.
                if poor { (poor, f.cos, 0.0, *f) } else { (poor, key, off.abs(), *f) }
            })
            .collect();
        keyed.sort_by(|p, q| {
            p.0.cmp(&q.0)
                .then(p.1.total_cmp(&q.1))
                .then(p.2.total_cmp(&q.2))
                .then(p.3.cos.total_cmp(&q.3.cos))
                .then(q.3.pair.c.total_cmp(&p.3.pair.c))
        });
        keyed.into_iter().map(|k| k.3).collect()
    }

    /// The largest speed ratio of a find.
    fn speed(&self, f: &Found) -> f64 {
        let motion = self.linkage(f).and_then(|l| l.analyse().motion);
        motion.and_then(|m| m.max_speed_ratio).unwrap_or(f64::INFINITY)
    }
}

/// Keeps the best-pushing of the finds from `first` on.
fn keep_best(found: &mut Vec<Found>, first: usize) {
    let mut best = first;
    for i in first + 1..found.len() {
        if found[i].cos < found[best].cos {
            best = i;
        }
    }
    found.swap(first, best);
    found.truncate(first + 1);
}

fn rods_of(size: Size) -> Result<Rods, Degenerate> {
    Ok(match size {
        Size::Given(v) => positive(v).map(|v| Rods::Any(Stretch { lo: v, hi: v }))?,
        Size::Free => Rods::Any(Stretch { lo: 0.0, hi: f64::INFINITY }),
        Size::Between { lo, hi } if lo <= hi => {
            Rods::Any(Stretch { lo: positive(lo)?, hi: positive(hi)? })
        }
        Size::Between { .. } => return Err(Degenerate::Length),
        Size::Row { lo, hi, step } => {
            if !row_stands(positive(lo)?, hi, step) {
                return Err(Degenerate::Length);
            }
            Rods::Row { lo, hi, step }
        }
    })
}

/// An angle beyond a hundred turns has lost the digits that say where it points,
/// deg.
const WINDING: f64 = 36_000.0;

fn clamps_of(size: Size) -> Result<Vec<Stretch>, Degenerate> {
    let winding = match size {
        Size::Free => false,
        Size::Given(v) => v.abs() > WINDING,
        Size::Between { lo, hi } | Size::Row { lo, hi, .. } => lo < -WINDING || hi > WINDING,
    };
    if winding {
        return Err(Degenerate::NotFinite);
    }
    let rad = |v: f64| Deg(v).signed().rad().0;
    Ok(match size {
        Size::Free => Vec::new(),
        Size::Given(v) if v.is_finite() => vec![Stretch { lo: rad(v), hi: rad(v) }],
        Size::Between { lo, hi } if lo <= hi && hi - lo < 360.0 => {
            let from = rad(lo);
            vec![Stretch { lo: from, hi: from + Deg(hi - lo).rad().0 }]
        }
        Size::Between { lo, hi } if hi - lo >= 360.0 => Vec::new(),
        Size::Row { lo, hi, step } => {
            row_of(lo, hi, step)?.iter().map(|&v| Stretch { lo: rad(v), hi: rad(v) }).collect()
        }
        _ => return Err(Degenerate::NotFinite),
    })
}
