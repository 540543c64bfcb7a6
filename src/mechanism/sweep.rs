//! Many positions at once, and the sampled defaults of the trait.

use std::f64::consts::FRAC_PI_2;

use super::{Blocked, Guide, Limits, Solved, Span, Stand, Travel};
use crate::geometry::{Bracket, Dir, Jet, highest, root};

/// Directions in two columns, as the fastest kernel wants them.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Dirs {
    pub(super) x: Vec<f64>,
    pub(super) y: Vec<f64>,
}

impl Dirs {
    /// How many there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.x.len()
    }

    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.x.is_empty()
    }

    /// One of them; `None` past the end.
    #[must_use]
    pub fn get(&self, i: usize) -> Option<Dir> {
        Some(Dir::unit(*self.x.get(i)?, *self.y.get(i)?))
    }
}

impl FromIterator<Dir> for Dirs {
    fn from_iter<I: IntoIterator<Item = Dir>>(iter: I) -> Self {
        let (x, y) = iter.into_iter().map(|d| (d.x(), d.y())).unzip();
        Self { x, y }
    }
}

/// Limb directions and push angles for a list of inputs.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sweep {
    pub(super) limb: Vec<Dir>,
    pub(super) push: Vec<f64>,
}

/// What stands for a blocked entry: no sine is 2.
pub(super) const NO_PUSH: f64 = 2.0;

impl Sweep {
    /// How many inputs there were.
    #[must_use]
    pub fn len(&self) -> usize {
        self.limb.len()
    }

    /// Whether there were none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.limb.is_empty()
    }

    /// The limb's direction and the signed sine of the push angle; `None` where
    /// the mechanism is blocked, or past the end.
    #[must_use]
    pub fn get(&self, i: usize) -> Option<(Dir, f64)> {
        let push = *self.push.get(i)?;
        (push < NO_PUSH).then(|| (self.limb[i], push))
    }

    /// Empties it, keeping its room.
    pub fn clear(&mut self) {
        self.limb.clear();
        self.push.clear();
    }

    pub(super) fn push(&mut self, limb: Dir, push: f64) {
        self.limb.push(limb);
        self.push.push(push);
    }

    pub(super) fn push_blocked(&mut self) {
        self.push(Dir::EAST, NO_PUSH);
    }
}

/// Steps over a span between which a motion's extremes are looked for. A limb that turns
/// there and back within one of them and goes on less far than it came has three stands
/// within about two: its end is missed by their rates' fourth power, 3e-9 rad a degree.
pub(super) const STEPS: usize = 360;
/// Steps between which the inputs for a stand are looked for: two of them may lie near
/// each other, beside an end of the motion.
const INVERSE_STEPS: usize = 720;

/// The coordinate of a sample, 0 to [`STEPS`].
pub(super) fn sample(span: Span, i: usize) -> f64 {
    span.from + (span.to - span.from) / STEPS as f64 * i as f64
}

/// Extremes by sampling, each refined: turning points of the limb by roots of
/// its speed, the rest by climbing every hill of the samples.
pub(super) fn sampled_limits(
    motion: &dyn Fn(f64) -> Result<Solved<Jet>, Blocked>,
    span: Span,
    guide: Guide,
) -> Result<Travel, Blocked> {
    let rows = (0..=STEPS).map(|i| Ok(Row::of(&motion(sample(span, i))?, guide)));
    limits_between(&rows.collect::<Result<Vec<_>, Blocked>>()?, motion, span, guide)
}

/// The same from samples that are there already: the motion at each [`sample`].
pub(super) fn limits_between(
    rows: &[Row],
    motion: &dyn Fn(f64) -> Result<Solved<Jet>, Blocked>,
    span: Span,
    guide: Guide,
) -> Result<Travel, Blocked> {
    let at = |i: usize| sample(span, i);
    let mut now = 0.0;
    let mut ends = Ends::new(span.from);
    for i in 1..=STEPS {
        let (l, r) = (&rows[i - 1], &rows[i]);
        if let Some(b) = Bracket::new(at(i - 1), l.speed, at(i), r.speed) {
            let turning = |t| motion(t).map_or(f64::NAN, |s| guide.motion(&s.limb).1);
            let there = root(b, 1e-12, turning);
            let value = now + Row::of(&motion(there)?, guide).stand.after(l.stand);
            ends.stops.push((value, there));
        }
        now += r.stand.after(l.stand);
        ends.pass(now, at(i));
    }
    if !span.closed {
        ends.stops.push((now, span.to));
    }
    let hills = Hills { rows, motion, span, guide };
    let (least_push, least_push_at) = hills.highest(&|r| -r.push, None);
    // Rates may spike where the push is worst, between two samples.
    let most = |of: &dyn Fn(&Row) -> f64| hills.highest(of, Some(least_push_at)).0;
    let (low, high) = (ends.end(-1.0), ends.end(1.0));
    let raw = Limits {
        low: low.0,
        high: high.0,
        at_low: low.1,
        at_high: high.1,
        least_push: (-least_push).clamp(0.0, 1.0),
        least_push_at,
        most_speed: most(&|r| r.speed.abs()),
        most_acceleration: most(&|r| r.second.abs()),
    };
    Ok(Travel::of(rows[0].stand, raw))
}

/// What may be the ends of a motion, as it is come upon, the coordinate ascending.
struct Ends {
    /// Turning points and the ends of the stretch: stand, coordinate.
    stops: Vec<(f64, f64)>,
    /// The lowest and the highest sample.
    low: (f64, f64),
    high: (f64, f64),
}

/// Stands that differ by less are one, rad or mm: of two coordinates that lead to
/// one end the smaller is told.
const SAME: f64 = 1e-10;

impl Ends {
    fn new(from: f64) -> Self {
        Self { stops: vec![(0.0, from)], low: (0.0, from), high: (0.0, from) }
    }

    /// A sample.
    fn pass(&mut self, value: f64, at: f64) {
        self.low = if value < self.low.0 { (value, at) } else { self.low };
        self.high = if value > self.high.0 { (value, at) } else { self.high };
    }

    /// Which stop or sample is the end that way: `up` is 1 or -1.
    fn end(&self, up: f64) -> (f64, f64) {
        let sample = if up > 0.0 { self.high } else { self.low };
        let most = self.stops.iter().map(|(v, _)| v * up).fold(f64::NEG_INFINITY, f64::max);
        let stop = self.stops.iter().find(|(v, _)| v * up >= most - SAME);
        // A sample beyond every stop: the limb turned there and back between two.
        stop.copied().filter(|(v, _)| v * up >= sample.0 * up - SAME).unwrap_or(sample)
    }
}

/// What is looked at of a limb's motion at a sample.
pub(super) struct Row {
    stand: Stand,
    push: f64,
    speed: f64,
    second: f64,
}

impl Row {
    pub(super) fn of(s: &Solved<Jet>, guide: Guide) -> Self {
        let (stand, speed, second) = guide.motion(&s.limb);
        Self { stand, push: s.push.v.abs(), speed, second }
    }
}

/// A motion with its samples: where a quantity of it is highest.
struct Hills<'a> {
    rows: &'a [Row],
    motion: &'a dyn Fn(f64) -> Result<Solved<Jet>, Blocked>,
    span: Span,
    guide: Guide,
}

/// How closely the top of a hill is come upon, rad or mm: its height is right to the
/// square of that.
const CLOSE: f64 = 1e-7;

/// Hills whose sample is lower by more than this share of all that lies between the
/// lowest sample and the highest are not climbed.
const LOW: f64 = 0.1;

impl Hills<'_> {
    /// The highest value of a quantity and where it is: every hill that is nearly as
    /// high as the highest sample is climbed, and the one at `spike`.
    fn highest(&self, of: &dyn Fn(&Row) -> f64, spike: Option<f64>) -> (f64, f64) {
        let heights: Vec<f64> = self.rows.iter().map(of).collect();
        let last = heights.len() - 1;
        let (mut top, mut floor) = (0, f64::INFINITY);
        for (i, h) in heights.iter().enumerate() {
            top = if *h > heights[top] { i } else { top };
            floor = floor.min(*h);
        }
        let worth = heights[top] - LOW * (heights[top] - floor);
        let mut best = (heights[top], sample(self.span, top));
        // Level all along but for rounding: nothing to climb.
        if heights[top] - floor <= SAME * heights[top].abs() {
            return (heights[0], sample(self.span, 0));
        }
        let height =
            |t: f64| (self.motion)(t).map_or(f64::NEG_INFINITY, |s| of(&Row::of(&s, self.guide)));
        let whole = self.span.to - self.span.from;
        let step = whole / STEPS as f64;
        let (from, to) = match self.span.closed {
            true => (f64::NEG_INFINITY, f64::INFINITY),
            false => (self.span.from, self.span.to),
        };
        let mut climb = |here: f64| {
            let (lo, hi) = ((here - step).max(from), (here + step).min(to));
            let (at, value) = highest(lo, hi, CLOSE, height);
            if value > best.0 + SAME * best.0.abs() {
                best = (value, if at < self.span.from { at + whole } else { at });
            }
        };
        for i in 0..last {
            // The last sample of a whole turn is the first one again.
            let before = match i {
                0 if self.span.closed => last - 1,
                0 => continue,
                _ => i - 1,
            };
            let hill = heights[i] >= heights[before] && heights[i] >= heights[i + 1];
            if hill && heights[i] >= worth {
                climb(sample(self.span, i));
            }
        }
        spike.into_iter().for_each(climb);
        best
    }
}

/// All inputs that bring the limb to a stand, by sampling and bracketing.
pub(super) fn sampled_inverse(
    stand: &dyn Fn(f64) -> Result<Stand, Blocked>,
    wanted: Stand,
    span: Span,
) -> Result<Vec<f64>, Blocked> {
    let step = (span.to - span.from) / INVERSE_STEPS as f64;
    let off = |t: f64| stand(t).map(|s| s.after(wanted));
    // Near the wanted direction only: the short way round jumps at the opposite one.
    let near = |off: f64| matches!(wanted, Stand::Slid(_)) || off.abs() < FRAC_PI_2;
    let mut found: Vec<f64> = Vec::new();
    let (mut at, mut here) = (span.from, off(span.from)?);
    for i in 1..=INVERSE_STEPS {
        let next = span.from + step * i as f64;
        let there = off(next)?;
        if near(here)
            && near(there)
            && let Some(b) = Bracket::new(at, here, next, there)
        {
            let t = root(b, 1e-13, |t| off(t).unwrap_or(f64::NAN));
            if found.last().is_none_or(|f| (t - f).abs() > 1e-9) {
                found.push(t);
            }
        }
        (at, here) = (next, there);
    }
    Ok(found)
}
