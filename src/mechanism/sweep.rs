//! Many positions at once, and the sampled defaults of the trait.

use super::{Blocked, Solved, Span};
use crate::geometry::{Body, Bracket, Dir, Jet, root};
use crate::units::{Deg, Rad};

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

/// A limb's extremes along a path.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits {
    /// Lowest limb angle, in (-180, 180].
    pub low: Deg,
    /// Highest: `low` + swing.
    pub high: Deg,
    /// The input's turn at the lowest.
    pub at_low: Rad,
    /// The input's turn at the highest.
    pub at_high: Rad,
    /// Smallest sine of the push angle, without its sign.
    pub least_push: f64,
    /// The input's turn there.
    pub least_push_at: Rad,
    /// Largest |d limb / d input|.
    pub most_speed: f64,
    /// Largest |d2 limb / d input2|, per radian.
    pub most_acceleration: f64,
}

impl Limits {
    /// The swing.
    #[must_use]
    pub fn swing(&self) -> Deg {
        self.high - self.low
    }
}

/// Steps of the sampled defaults over their span.
const STEPS: usize = 720;

/// Extremes by sampling, each refined: turning points of the limb by roots of
/// its speed, the rest by parabolas through the best three samples.
pub(super) fn sampled_limits(
    motion: &dyn Fn(f64) -> Result<Solved<Jet>, Blocked>,
    span: Span,
) -> Result<Limits, Blocked> {
    let step = (span.to - span.from).0 / STEPS as f64;
    let turn = |i: usize| span.from.0 + step * i as f64;
    let rows = (0..=STEPS)
        .map(|i| motion(turn(i)).map(|s| Row::of(&s)))
        .collect::<Result<Vec<Row>, Blocked>>()?;
    let mut angle = rows[0].axis.angle().0;
    let (mut low, mut high) = ((angle, span.from.0), (angle, span.from.0));
    for i in 1..=STEPS {
        let (l, r) = (&rows[i - 1], &rows[i]);
        if let Some(b) = Bracket::new(turn(i - 1), l.speed, turn(i), r.speed) {
            let at = root(b, 1e-12, |t| motion(t).map_or(f64::NAN, |s| s.limb.turn_rates().0));
            let there = Row::of(&motion(at)?).axis;
            let value = angle + there.from(l.axis).angle().0;
            low = if value < low.0 { (value, at) } else { low };
            high = if value > high.0 { (value, at) } else { high };
        }
        angle += r.axis.from(l.axis).angle().0;
        low = if angle < low.0 { (angle, turn(i)) } else { low };
        high = if angle > high.0 { (angle, turn(i)) } else { high };
    }
    let most = |of: &dyn Fn(&Row) -> f64| peak(&rows, span, of);
    let (least_push, least_push_at) = peak(&rows, span, &|r| -r.push);
    let base = Rad(low.0).deg().signed();
    Ok(Limits {
        low: base,
        high: base + Rad(high.0 - low.0).deg(),
        at_low: Rad(low.1),
        at_high: Rad(high.1),
        least_push: (-least_push).clamp(0.0, 1.0),
        least_push_at: Rad(turn(0) + least_push_at * step),
        most_speed: most(&|r| r.speed.abs()).0,
        most_acceleration: most(&|r| r.second.abs()).0,
    })
}

struct Row {
    axis: Dir,
    push: f64,
    speed: f64,
    second: f64,
}

impl Row {
    fn of(s: &Solved<Jet>) -> Self {
        let (speed, second) = s.limb.turn_rates();
        let Body { cos, sin, .. } = s.limb;
        Self { axis: Dir::unit(cos.v, sin.v), push: s.push.v.abs(), speed, second }
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
        0 if span.is_turn() => Some((last - 1, 1)),
        b if b == last && span.is_turn() => Some((last - 1, 1)),
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

/// All inputs that put the limb at a direction, by sampling and bracketing.
pub(super) fn sampled_inverse(
    position: &dyn Fn(f64) -> Result<Solved<f64>, Blocked>,
    limb: Dir,
    span: Span,
) -> Result<Vec<Rad>, Blocked> {
    let step = (span.to - span.from).0 / STEPS as f64;
    let off = |t: f64| position(t).map(|s| s.limb.axis().from(limb));
    let mut found: Vec<Rad> = Vec::new();
    let (mut at, mut here) = (span.from.0, off(span.from.0)?);
    for i in 1..=STEPS {
        let next = span.from.0 + step * i as f64;
        let there = off(next)?;
        // Near the wanted direction only: its sine also vanishes at the opposite.
        if here.x() > 0.0
            && there.x() > 0.0
            && let Some(b) = Bracket::new(at, here.y(), next, there.y())
        {
            let t = root(b, 1e-13, |t| off(t).map_or(f64::NAN, |d| d.y()));
            if found.last().is_none_or(|f| (t - f.0).abs() > 1e-9) {
                found.push(Rad(t));
            }
        }
        (at, here) = (next, there);
    }
    Ok(found)
}
