//! Many positions at once, and the sampled defaults of the trait.

use std::f64::consts::FRAC_PI_2;

use super::{Blocked, Guide, Limits, Solved, Span, Stand, Travel};
use crate::geometry::{Bracket, Dir, Jet, root};

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

/// Steps of the sampled defaults over their span.
pub(super) const STEPS: usize = 720;

/// The coordinate of a sample, 0 to [`STEPS`].
pub(super) fn sample(span: Span, i: usize) -> f64 {
    span.from + (span.to - span.from) / STEPS as f64 * i as f64
}

/// Extremes by sampling, each refined: turning points of the limb by roots of
/// its speed, the rest by parabolas through the best three samples.
pub(super) fn sampled_limits(
    motion: &dyn Fn(f64) -> Result<Solved<Jet>, Blocked>,
    span: Span,
    guide: Guide,
) -> Result<Travel, Blocked> {
    let rows = (0..=STEPS).map(|i| motion(sample(span, i)));
    limits_between(&rows.collect::<Result<Vec<_>, Blocked>>()?, motion, span, guide)
}

/// The same from samples that are there already: the motion at each [`sample`].
pub(super) fn limits_between(
    samples: &[Solved<Jet>],
    motion: &dyn Fn(f64) -> Result<Solved<Jet>, Blocked>,
    span: Span,
    guide: Guide,
) -> Result<Travel, Blocked> {
    let step = (span.to - span.from) / STEPS as f64;
    let at = |i: usize| sample(span, i);
    let rows: Vec<Row> = samples.iter().map(|s| Row::of(s, guide)).collect();
    let mut now = 0.0;
    let (mut low, mut high) = ((now, span.from), (now, span.from));
    for i in 1..=STEPS {
        let (l, r) = (&rows[i - 1], &rows[i]);
        if let Some(b) = Bracket::new(at(i - 1), l.speed, at(i), r.speed) {
            let turning = |t| motion(t).map_or(f64::NAN, |s| guide.motion(&s.limb).1);
            let there = root(b, 1e-12, turning);
            let value = now + Row::of(&motion(there)?, guide).stand.after(l.stand);
            low = if value < low.0 { (value, there) } else { low };
            high = if value > high.0 { (value, there) } else { high };
        }
        now += r.stand.after(l.stand);
        low = if now < low.0 { (now, at(i)) } else { low };
        high = if now > high.0 { (now, at(i)) } else { high };
    }
    let most = |of: &dyn Fn(&Row) -> f64| peak(&rows, span, of);
    let (least_push, least_push_at) = peak(&rows, span, &|r| -r.push);
    let raw = Limits {
        low: low.0,
        high: high.0,
        at_low: low.1,
        at_high: high.1,
        least_push: (-least_push).clamp(0.0, 1.0),
        least_push_at: at(0) + least_push_at * step,
        most_speed: most(&|r| r.speed.abs()).0,
        most_acceleration: most(&|r| r.second.abs()).0,
    };
    Ok(Travel::of(rows[0].stand, raw))
}

struct Row {
    stand: Stand,
    push: f64,
    speed: f64,
    second: f64,
}

impl Row {
    fn of(s: &Solved<Jet>, guide: Guide) -> Self {
        let (stand, speed, second) = guide.motion(&s.limb);
        Self { stand, push: s.push.v.abs(), speed, second }
    }
}

/// The highest value of a quantity and the index (with a fraction) it is at: the
/// top of the parabola through the best sample and its neighbours.
fn peak(rows: &[Row], span: Span, of: &dyn Fn(&Row) -> f64) -> (f64, f64) {
    let mut best = 0;
    for i in 1..rows.len() {
        if of(&rows[i]) > of(&rows[best]) {
            best = i;
        }
    }
    let last = rows.len() - 1;
    let around = match best {
        0 if span.closed => Some((last - 1, 1)),
        b if b == last && span.closed => Some((last - 1, 1)),
        0 => None,
        b if b == last => None,
        b => Some((b - 1, b + 1)),
    };
    let top = of(&rows[best]);
    let Some((l, r)) = around else { return (top, best as f64) };
    let (l, r) = (of(&rows[l]), of(&rows[r]));
    let bend = l - 2.0 * top + r;
    let hill = bend < 0.0;
    if !hill {
        return (top, best as f64);
    }
    let off = (0.5 * (l - r) / bend).clamp(-0.5, 0.5);
    (top - 0.25 * (l - r) * off, best as f64 + off)
}

/// All inputs that bring the limb to a stand, by sampling and bracketing.
pub(super) fn sampled_inverse(
    stand: &dyn Fn(f64) -> Result<Stand, Blocked>,
    wanted: Stand,
    span: Span,
) -> Result<Vec<f64>, Blocked> {
    let step = (span.to - span.from) / STEPS as f64;
    let off = |t: f64| stand(t).map(|s| s.after(wanted));
    // Near the wanted direction only: the short way round jumps at the opposite one.
    let near = |off: f64| matches!(wanted, Stand::Slid(_)) || off.abs() < FRAC_PI_2;
    let mut found: Vec<f64> = Vec::new();
    let (mut at, mut here) = (span.from, off(span.from)?);
    for i in 1..=STEPS {
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
