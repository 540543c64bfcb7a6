//! Finding the sizes of a cam that a maker leaves open (`?`).
//!
//! The law and the travel are fixed by what is asked; open are the base circle
//! (the smallest that can be pushed and cut is taken), the lever, and the angle it
//! is clamped at (which follows exactly). Where nothing fits, what is in the way is
//! named with its numbers, and every change offered has been solved.

use super::facts::{Samples, curve};
use super::{
    Cam, Facts, Limb, Plan, Programme, Refusal, Runs, Sliding, SlidingFoot, Swinging, SwingingFoot,
};
use crate::geometry::{BoardPoint, Dir};
use crate::mechanism::solve::{FREE_LEVER, ROW_LIMIT, nearest_clamp};
use crate::mechanism::{Size, Slide};
use crate::units::{Deg, Mm, Rad};

/// Largest pressure angle of a limb that slides (common practice in textbooks).
pub const PRESSURE_SLIDING: Deg = Deg(30.0);
/// Largest pressure angle of a limb that swings (from memory).
pub const PRESSURE_SWINGING: Deg = Deg(45.0);
/// Least radius of curvature of the pitch curve, in roller radii (course practice:
/// 2 to 3; below 1 the cam is undercut).
pub const ROLLERS: f64 = 2.0;
/// Least radius of a cam under a flat face (common practice, no source).
pub const FLAT_RADIUS: Mm = Mm(3.0);

/// What a cam must keep to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rules {
    /// Largest pressure angle.
    pub pressure: Deg,
    /// Least bulging radius of the pitch curve, in roller radii.
    pub rollers: f64,
    /// Least radius of a cam under a flat face.
    pub flat: Mm,
    /// Smallest base circle: what bore and bolts need around them.
    pub hub: Mm,
    /// Largest base circle.
    pub most: Mm,
    /// What must stay free between the cam and the pivot of a swinging limb.
    pub clear: Mm,
    /// An open base circle and an open lever are found to so much, where one of these
    /// fits; nought: to any length.
    pub mark: Mm,
}

impl Rules {
    /// The usual ones, for a limb that slides or swings.
    #[must_use]
    pub const fn usual(slides: bool) -> Self {
        Self {
            pressure: if slides { PRESSURE_SLIDING } else { PRESSURE_SWINGING },
            rollers: ROLLERS,
            flat: FLAT_RADIUS,
            hub: Mm(15.0),
            most: Mm(400.0),
            clear: Mm(12.0),
            mark: Mm(0.0),
        }
    }
}

/// The limb and how it is to move.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Asked {
    /// Along a slide.
    Slides {
        /// The slide.
        slide: Slide,
        /// Where it is with the cam at its lowest.
        low: Mm,
        /// Where it is with the cam at its highest.
        high: Mm,
        /// What runs on the cam.
        foot: SlidingFoot,
    },
    /// About a pivot, with a roller on a lever.
    Rolls {
        /// The pivot.
        pivot: BoardPoint,
        /// The limb's angle with the cam at its lowest.
        low: Deg,
        /// Its angle with the cam at its highest, counted on from `low`.
        high: Deg,
        /// From the limb's axis to the lever, degrees.
        clamp: Size,
        /// Radius of the roller.
        roller: Mm,
        /// Pivot to roller, mm.
        lever: Size,
    },
    /// About a pivot, with a flat face.
    Faces {
        /// The pivot.
        pivot: BoardPoint,
        /// The limb's angle with the cam at its lowest.
        low: Deg,
        /// Its angle with the cam at its highest, counted on from `low`.
        high: Deg,
        /// From the limb's axis to the face, degrees.
        clamp: Size,
        /// How much nearer to the shaft than the pivot the face is.
        stand_off: Mm,
    },
}

/// What is asked of a cam.
#[derive(Clone, Debug, PartialEq)]
pub struct Wish {
    /// The shaft.
    pub shaft: BoardPoint,
    /// Which way it turns.
    pub runs: Runs,
    /// The motor's turn at which the programme begins.
    pub start: Deg,
    /// What the cam does in a turn.
    pub programme: Programme,
    /// The base circle, mm.
    pub base: Size,
    /// The limb.
    pub limb: Asked,
    /// What to keep to.
    pub rules: Rules,
}

/// A cam that fits.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// With exact sizes.
    pub cam: Cam,
    /// Its figures.
    pub facts: Facts,
}

/// Why nothing fits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Reason {
    /// The sizes make no cam.
    Refused(Refusal),
    /// An open size has nothing to choose from.
    NoChoice,
    /// The pressure angle is too large, even with the largest base circle that may
    /// be.
    Steep {
        /// It is this.
        pressure: Deg,
        /// It may be this.
        most: Deg,
    },
    /// The curve bulges too sharply.
    Sharp {
        /// Its least radius.
        radius: Mm,
        /// What is wanted.
        wants: Mm,
    },
    /// No stock is left around bore and bolts.
    Hub {
        /// The base circle.
        base: Mm,
        /// What is wanted.
        wants: Mm,
    },
    /// The cam comes over the limb's pivot.
    OverPivot {
        /// How far the cam reaches from the shaft.
        reach: Mm,
        /// How far it may.
        most: Mm,
    },
    /// The lever lies at another angle with the limb where it is to be.
    Clamp {
        /// The one that fits.
        needs: Deg,
    },
    /// The given clamp needs another base circle.
    Base {
        /// The one that fits.
        needs: Mm,
    },
}

/// One change that makes it work.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Change {
    /// This base circle.
    Base(Mm),
    /// This roller radius.
    Roller(Mm),
    /// This lever.
    Lever(Mm),
    /// This share of the travel asked for, from the lowest on.
    Travel(f64),
    /// This clamp.
    Clamp(Deg),
}

/// Nothing fits.
#[derive(Clone, Debug, PartialEq)]
pub struct NoFit {
    /// What is in the way of the cam that comes nearest.
    pub reason: Reason,
    /// Single changes that work, each with the cam it gives.
    pub nearest: Vec<(Change, Answer)>,
}

/// The cam with the smallest base circle, of open levers the one whose cam reaches
/// least far.
///
/// # Errors
/// [`NoFit`], with what would work.
pub fn solve(wish: &Wish) -> Result<Answer, NoFit> {
    find(wish).map_err(|reason| NoFit { reason, nearest: nearest(wish, reason) })
}

/// Angles nearer than this are one.
const SAME: Deg = Deg(1e-6);

/// What works, as it is told: a base circle or a lever as it is marked out, where the cam is
/// still one with it. A clamp, and a base circle that a clamp settles, have no freedom: they
/// are told to be left open, and stay as they are.
pub fn told(
    wish: &Wish,
    nearest: Vec<(Change, Answer)>,
    mark: impl Fn(Mm) -> [Mm; 3],
) -> Vec<(Change, Answer)> {
    let marked = |change: Change, answer: Answer| match change {
        Change::Base(base) if wish.clamped().is_none() => mark(base).into_iter().find_map(|base| {
            let found = find(&Wish { base: Size::Given(base.0), ..wish.clone() }).ok()?;
            Some((Change::Base(base), found))
        }),
        Change::Lever(lever) => mark(lever)
            .into_iter()
            .find_map(|length| Some((Change::Lever(length), find(&wish.on_lever(length)).ok()?))),
        other => Some((other, answer)),
    };
    nearest.into_iter().filter_map(|(change, answer)| marked(change, answer)).collect()
}

/// Steps of a search over base circles grow by this factor.
const GROW: f64 = 1.12;

pub(super) fn find(wish: &Wish) -> Result<Answer, Reason> {
    let (Asked::Rolls { clamp, .. } | Asked::Faces { clamp, .. }) = wish.limb else {
        return with_levers(wish);
    };
    if matches!(clamp, Size::Given(_) | Size::Free) {
        return with_levers(wish);
    }
    // The base circle that is best leaves no choice of the angle: where that one is not
    // allowed, each that is settles a base circle of its own.
    let free = with_levers(&wish.at_clamp(Size::Free))?;
    let Limb::Swings(Swinging { clamp: needs, .. }) = free.cam.plan.limb else { return Ok(free) };
    if (nearest_clamp(clamp, needs) - needs).signed().abs() < SAME {
        return Ok(free);
    }
    let all = choices(clamp, (0.0, 0.0)).into_iter();
    let found = all.filter_map(|a| with_levers(&wish.at_clamp(Size::Given(a))).ok());
    let nearer = |a: Answer, b: Answer| if b.facts.farthest < a.facts.farthest { b } else { a };
    found.reduce(nearer).ok_or(Reason::Clamp { needs: needs.signed() })
}

fn with_levers(wish: &Wish) -> Result<Answer, Reason> {
    let Asked::Rolls { lever, .. } = wish.limb else { return with_lever(wish, Mm(0.0)) };
    let mut best: Result<Answer, Reason> = Err(Reason::NoChoice);
    for lever in choices(lever, FREE_LEVER).into_iter().map(|v| wish.marked(lever, v)) {
        match (with_lever(wish, Mm(lever)), &best) {
            (Ok(a), Ok(b)) if a.facts.farthest >= b.facts.farthest => {}
            (Ok(a), _) => best = Ok(a),
            (Err(why), Err(Reason::NoChoice | Reason::Refused(_))) => best = Err(why),
            (Err(_), _) => {}
        }
    }
    best
}

/// The values an open size may take: of a stretch 24.
pub(super) fn choices(size: Size, free: (f64, f64)) -> Vec<f64> {
    let between = |lo: f64, hi: f64| (0..24).map(move |i| lo + (hi - lo) * f64::from(i) / 23.0);
    match size {
        Size::Given(v) => vec![v],
        Size::Free => between(free.0, free.1).collect(),
        Size::Between { lo, hi } => between(lo, hi).collect(),
        Size::Row { lo, hi, step } => {
            let holes = (0..ROW_LIMIT).map(|i| lo + step * i as f64);
            holes.take_while(|v| *v <= hi + 1e-9).collect()
        }
    }
}

fn with_lever(wish: &Wish, lever: Mm) -> Result<Answer, Reason> {
    if let Some((clamp, low)) = wish.clamped() {
        return clamped(wish, lever, (clamp, low));
    }
    let rules = &wish.rules;
    match wish.base {
        Size::Given(v) => wish.judge(Mm(v), lever),
        Size::Row { .. } => {
            let mut last = Err(Reason::NoChoice);
            for base in choices(wish.base, (0.0, 0.0)) {
                last = wish.judge(Mm(base), lever);
                if last.is_ok() {
                    break;
                }
            }
            last
        }
        Size::Free => smallest(wish, lever, (rules.hub.0, rules.most.0)),
        Size::Between { lo, hi } => {
            smallest(wish, lever, (lo.max(rules.hub.0), hi.min(rules.most.0)))
        }
    }
}

/// The smallest base circle of a stretch: the first that fits on a widening scale,
/// then halved back towards the last that did not.
fn smallest(wish: &Wish, lever: Mm, (lo, hi): (f64, f64)) -> Result<Answer, Reason> {
    let open = lo > 0.0 && lo <= hi;
    if !open {
        return Err(Reason::NoChoice);
    }
    let fits = |base: f64| wish.rough(Mm(base), lever);
    let (mut bad, mut good) = (None, lo);
    let mut why = None;
    while let Err(reason) = fits(good) {
        // A lever out of reach says least.
        if why.is_none() || !matches!(reason, Reason::Refused(_)) {
            why = Some(reason);
        }
        if good >= hi {
            return Err(why.unwrap_or(reason));
        }
        bad = Some(good);
        good = (good * GROW).min(hi);
    }
    if let Some(mut bad) = bad {
        while good - bad > 1e-6 * good {
            let middle = 0.5 * (bad + good);
            if fits(middle).is_ok() { good = middle } else { bad = middle }
        }
    }
    // The fine look may find a hair more than the rough one: the same again, near it.
    let mut bad = good;
    let mut more = 1e-5;
    let mut found = wish.judge(Mm(good), lever);
    while found.is_err() && good < hi && more < 0.5 {
        (bad, good) = (good, (good * (1.0 + more)).min(hi));
        more *= 4.0;
        found = wish.judge(Mm(good), lever);
    }
    while found.is_ok() && good - bad > 1e-5 * good {
        let middle = 0.5 * (bad + good);
        match wish.judge(Mm(middle), lever) {
            Ok(better) => (good, found) = (middle, Ok(better)),
            Err(_) => bad = middle,
        }
    }
    match found {
        Ok(exact) => Ok(rounded(wish, &exact, (lever, hi)).unwrap_or(exact)),
        Err(why) => Err(why),
    }
}

/// The same on the next base circle that a maker marks out, where that fits too.
fn rounded(wish: &Wish, exact: &Answer, (lever, most): (Mm, f64)) -> Option<Answer> {
    let mark = wish.rules.mark.0;
    let next = (mark > 0.0).then(|| wish.on_a_mark(exact.cam.plan.base.0))?;
    // A bulge may come a little sharper on one circle and not on the next.
    (0..8)
        .map(|n| next + mark * f64::from(n))
        .take_while(|base| *base <= most)
        .find_map(|base| wish.judge(Mm(base), lever).ok())
}

/// The clamp is given: it settles the base circle.
fn clamped(wish: &Wish, lever: Mm, (clamp, low): (Deg, Deg)) -> Result<Answer, Reason> {
    let base = wish.settled(lever, clamp, low);
    if let Size::Given(given) = wish.base
        && (given - base.0).abs() > 0.01
    {
        return Err(Reason::Base { needs: base });
    }
    if let Size::Between { lo, hi } = wish.base
        && !(lo - 0.01..=hi + 0.01).contains(&base.0)
    {
        return Err(Reason::Base { needs: base });
    }
    if let Size::Row { .. } = wish.base
        && !choices(wish.base, (0.0, 0.0)).iter().any(|hole| (hole - base.0).abs() <= 0.01)
    {
        return Err(Reason::Base { needs: base });
    }
    let answer = wish.judge(base, lever)?;
    let Some(axis) = answer.cam.lowest() else { return Ok(answer) };
    // The lever may lie on the other side of the shaft.
    let off = axis.from(Dir::degrees(low)).deg();
    if off.abs().0 > 1e-6 {
        return Err(Reason::Clamp { needs: (clamp + off).signed() });
    }
    Ok(answer)
}

impl Wish {
    /// One of the values of an open lever, as a maker marks it out.
    pub(super) fn marked(&self, lever: Size, value: f64) -> f64 {
        let mark = self.rules.mark.0;
        let near = libm::round(value / mark) * mark;
        match lever {
            Size::Free if mark > 0.0 => near,
            Size::Between { lo, hi } if mark > 0.0 && near >= lo && near <= hi => near,
            _ => value,
        }
    }

    /// The clamp, where it is given, and the limb's lowest angle.
    pub(super) const fn clamped(&self) -> Option<(Deg, Deg)> {
        match self.limb {
            Asked::Rolls { clamp: Size::Given(a), low, .. }
            | Asked::Faces { clamp: Size::Given(a), low, .. } => Some((Deg(a), low)),
            _ => None,
        }
    }

    /// A base circle as a maker marks it out, no smaller.
    pub(super) fn on_a_mark(&self, base: f64) -> f64 {
        let mark = self.rules.mark.0;
        if mark > 0.0 { libm::ceil(base / mark - 1e-6) * mark } else { base }
    }

    /// The same with a lever of this length.
    pub(super) fn on_lever(&self, length: Mm) -> Self {
        let mut changed = self.clone();
        if let Asked::Rolls { lever, .. } = &mut changed.limb {
            *lever = Size::Given(length.0);
        }
        changed
    }

    /// The same with the lever clamped otherwise.
    fn at_clamp(&self, to: Size) -> Self {
        let mut changed = self.clone();
        if let Asked::Rolls { clamp, .. } | Asked::Faces { clamp, .. } = &mut changed.limb {
            *clamp = to;
        }
        changed
    }

    /// The base circle on which the lever lies so.
    fn settled(&self, lever: Mm, clamp: Deg, low: Deg) -> Mm {
        let a = Dir::degrees(low + clamp);
        match self.limb {
            Asked::Slides { .. } => Mm(0.0),
            Asked::Rolls { pivot, roller, .. } => {
                let (x, y) = (pivot.x - self.shaft.x, pivot.y - self.shaft.y);
                Mm(libm::hypot(x + lever.0 * a.x(), y + lever.0 * a.y())) - roller
            }
            Asked::Faces { pivot, low, high, stand_off, .. } => {
                let n = a.turned(if high >= low { Dir::NORTH } else { Dir::SOUTH });
                let d = pivot - self.shaft;
                Mm(d.x * n.x() + d.y * n.y()) - stand_off
            }
        }
    }

    /// The cam on a base circle, its limb clamped as it must be.
    fn make(&self, base: Mm, lever: Mm) -> Result<Cam, Refusal> {
        let swinging = |pivot, low: Deg, high: Deg, foot, clamp| {
            Limb::Swings(Swinging { pivot, clamp, lift: high - low, foot })
        };
        let (limb, low, given) = match self.limb {
            Asked::Slides { slide, low, high, foot } => {
                (Limb::Slides(Sliding { slide, low, lift: high - low, foot }), Deg(0.0), None)
            }
            Asked::Rolls { pivot, low, high, clamp, roller, .. } => {
                let foot = SwingingFoot::Roller { radius: roller, lever };
                (swinging(pivot, low, high, foot, Deg(0.0)), low, Some(clamp))
            }
            Asked::Faces { pivot, low, high, clamp, stand_off } => {
                let foot = SwingingFoot::Flat { stand_off };
                (swinging(pivot, low, high, foot, Deg(0.0)), low, Some(clamp))
            }
        };
        let plan = Plan {
            shaft: self.shaft,
            base,
            limb,
            programme: self.programme.clone(),
            runs: self.runs,
            start: self.start,
        };
        let cam = Cam::new(plan)?;
        let Some(axis) = cam.lowest() else { return Ok(cam) };
        let clamp = match given {
            Some(Size::Given(a)) => Deg(a),
            _ => axis.from(Dir::degrees(low)).deg(),
        };
        let mut plan = cam.plan;
        if let Limb::Swings(s) = &mut plan.limb {
            s.clamp = clamp;
        }
        Cam::new(plan)
    }

    /// A cheap look.
    fn rough(&self, base: Mm, lever: Mm) -> Result<(), Reason> {
        let cam = self.make(base, lever).map_err(Reason::Refused)?;
        let all = Samples::of(&cam, 3.0 * std::f64::consts::PI / 180.0, 8);
        // The worst tangent of the pressure angle, and the sharpest bulge.
        let steep = all.rough(&|t| if t.push > 0.0 { t.side / t.push } else { f64::INFINITY });
        let pressure = Rad(libm::atan(steep)).deg();
        let radius = if cam.flat() {
            -all.rough(&|t| -curve(t))
        } else {
            let bend = all.rough(&curve);
            if bend > 0.0 { 1.0 / bend } else { f64::INFINITY }
        };
        let reach = all.rough(&|t| t.contact[0] * t.contact[0] + t.contact[1] * t.contact[1]);
        self.keeps(&cam, pressure, Mm(radius), Mm(reach.sqrt()))
    }

    /// The whole look.
    pub(super) fn judge(&self, base: Mm, lever: Mm) -> Result<Answer, Reason> {
        let cam = self.make(base, lever).map_err(Reason::Refused)?;
        let facts = cam.facts();
        self.judged(cam, facts)
    }

    /// The whole look at one that is wanted only where it pushes no less squarely than that.
    pub(super) fn judge_below(&self, base: Mm, lever: Mm, pressure: Deg) -> Option<Answer> {
        let cam = self.make(base, lever).ok()?;
        let facts = cam.facts_below(pressure)?;
        self.judged(cam, facts).ok()
    }

    fn judged(&self, cam: Cam, facts: Facts) -> Result<Answer, Reason> {
        let radius = facts.convex.map_or(Mm(f64::INFINITY), |c| c.value);
        self.keeps(&cam, facts.pressure.value, radius, facts.farthest)?;
        Ok(Answer { cam, facts })
    }

    fn keeps(&self, cam: &Cam, pressure: Deg, radius: Mm, reach: Mm) -> Result<(), Reason> {
        let rules = &self.rules;
        // So much rounding may lie between two ways to the same limit.
        const HAIR: f64 = 1e-7;
        let base = cam.plan.base;
        if base.0 < rules.hub.0 - HAIR {
            return Err(Reason::Hub { base, wants: rules.hub });
        }
        if pressure.0 > rules.pressure.0 + HAIR {
            return Err(Reason::Steep { pressure, most: rules.pressure });
        }
        let wants = if cam.flat() { rules.flat } else { cam.roller() * rules.rollers };
        if radius.0 < wants.0 - HAIR {
            return Err(Reason::Sharp { radius, wants });
        }
        if let Limb::Swings(s) = cam.plan.limb {
            let most = s.pivot.distance(self.shaft) - rules.clear;
            if reach.0 > most.0 + HAIR {
                return Err(Reason::OverPivot { reach, most });
            }
        }
        Ok(())
    }
}

/// Single changes, each solved.
pub(super) fn nearest(wish: &Wish, reason: Reason) -> Vec<(Change, Answer)> {
    let mut all = Vec::new();
    let mut offer = |changed: Wish, change: &dyn Fn(&Answer) -> Change| {
        if let Ok(answer) = find(&changed) {
            all.push((change(&answer), answer));
        }
    };
    if wish.base != Size::Free {
        let changed = Wish { base: Size::Free, ..wish.clone() };
        offer(changed, &|a| Change::Base(a.cam.plan.base));
    }
    if wish.at_clamp(Size::Free).limb != wish.limb {
        offer(wish.at_clamp(Size::Free), &|a| match a.cam.plan.limb {
            Limb::Swings(s) => Change::Clamp(s.clamp),
            Limb::Slides(_) => Change::Clamp(Deg(0.0)),
        });
    }
    if let Asked::Rolls { lever: Size::Given(_), .. } = wish.limb {
        let mut changed = wish.clone();
        if let Asked::Rolls { lever, .. } = &mut changed.limb {
            *lever = Size::Free;
        }
        offer(changed, &|a| match a.cam.plan.limb {
            Limb::Swings(Swinging { foot: SwingingFoot::Roller { lever, .. }, .. }) => {
                Change::Lever(lever)
            }
            _ => Change::Lever(Mm(0.0)),
        });
    }
    if matches!(reason, Reason::Sharp { .. })
        && let Some((roller, answer)) = smaller_roller(wish)
    {
        all.push((Change::Roller(roller), answer));
    }
    if let Some((share, answer)) = less_travel(wish) {
        all.push((Change::Travel(share), answer));
    }
    all
}

/// The largest roller, in whole millimetres, that works.
fn smaller_roller(wish: &Wish) -> Option<(Mm, Answer)> {
    let now = match wish.limb {
        Asked::Slides { foot: SlidingFoot::Roller { radius, .. }, .. } => radius,
        Asked::Rolls { roller, .. } => roller,
        _ => return None,
    };
    let mut radius = (now.0 - 1e-9).floor().min(100.0);
    while radius >= 2.0 {
        let mut changed = wish.clone();
        match &mut changed.limb {
            Asked::Slides { foot: SlidingFoot::Roller { radius: r, .. }, .. }
            | Asked::Rolls { roller: r, .. } => *r = Mm(radius),
            _ => {}
        }
        if let Ok(answer) = find(&changed) {
            return Some((Mm(radius), answer));
        }
        radius -= 1.0;
    }
    None
}

/// The largest share of the travel, in hundredths, that works.
fn less_travel(wish: &Wish) -> Option<(f64, Answer)> {
    let at = |hundredths: u32| {
        let share = f64::from(hundredths) / 100.0;
        let mut changed = wish.clone();
        match &mut changed.limb {
            Asked::Slides { low, high, .. } => *high = *low + (*high - *low) * share,
            Asked::Rolls { low, high, .. } | Asked::Faces { low, high, .. } => {
                *high = *low + (*high - *low) * share;
            }
        }
        find(&changed).ok().map(|a| (share, a))
    };
    let (mut good, mut bad) = (1, 100);
    let mut best = at(good)?;
    while bad - good > 1 {
        let middle = u32::midpoint(good, bad);
        match at(middle) {
            Some(found) => (good, best) = (middle, found),
            None => bad = middle,
        }
    }
    Some(best)
}
