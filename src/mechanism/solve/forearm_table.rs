//! The limb above as a forearm's solver sees it: from the lower pivot to the rod's
//! near pin, tabled once, for every lever and rod.
//!
//! With r the vector from pivot to near pin, s its square and K = c^2 - b^2, the
//! lever c stands at `psi = arg r - side gamma`, `cos gamma = (s + K)/(2 c |r|)`, and
//! turns at
//!
//! ```text
//! psi' = (r x r' + side (s - K) s'/(2 q))/s,    q^2 = 4 c^2 s - (s + K)^2.
//! ```
//!
//! So its turning points cost one root for each row of the table. Between rows r is
//! the quintic through both ends with their derivatives; where a turning point is
//! found there, the two loops themselves make it exact.

use std::f64::consts::PI;

use super::forearm::ForearmWish;
use crate::geometry::{Bracket, Dir, Jet, root};
use crate::mechanism::{Above, Assembly, Blocked, Mechanism, Path, Rod, Solved, Triangle};
use crate::units::{Mm, Rad};

/// Even rows over the path.
const ROWS: usize = 32;
/// A turning point is found to this share of a row between the rows; the loops do
/// the rest.
const NEAR: f64 = 1e-4;

/// One row: where it is, and the vector there.
#[derive(Clone, Copy)]
struct Row {
    at: f64,
    x: Jet,
    y: Jet,
    /// Direction from pivot to near pin, unwrapped, and their distance.
    toward: f64,
    distance: f64,
    /// The square of the distance and half its slope, and r x r'.
    square: f64,
    half_slope: f64,
    cross: f64,
}

/// The lever's two ends.
#[derive(Clone, Copy, Debug)]
pub(super) struct Ends {
    /// The lower, rad.
    pub low: f64,
    /// The higher, rad.
    pub high: f64,
    /// By how much the swing grows with the rod, rad/mm; not a number where the
    /// ends are no turning points.
    pub slope: f64,
}

impl Ends {
    /// From end to end, rad.
    pub(super) fn swing(&self) -> f64 {
        self.high - self.low
    }
}

/// The limb above from the lower pivot, row by row.
pub(super) struct Table<'a> {
    above: Above<'a>,
    /// The rod's near pin, in its body.
    pub(super) pin: [f64; 2],
    pivot: [f64; 2],
    rows: Vec<Row>,
    nearest: f64,
    farthest: f64,
    /// Whether the path ends where it begins, and whether the vector has gone round
    /// there.
    closed: bool,
    round: bool,
}

impl<'a> Table<'a> {
    /// # Errors
    /// What stops the limb above along its path.
    pub(super) fn of(wish: &ForearmWish<'a>, pin: [f64; 2]) -> Result<Self, Blocked> {
        let span = wish.above.span();
        let step = (span.to - span.from) / ROWS as f64;
        let vector = |t: f64| vector(&wish.above, (pin, wish.pivot), t);
        let mut rows: Vec<Row> = Vec::with_capacity(ROWS + 9);
        let mut push = |t: f64, (x, y): (Jet, Jet)| {
            let before = rows.last().map(|r| r.toward);
            rows.push(Row::new(t, (x, y), before));
        };
        let mut last: Option<(f64, f64)> = None;
        for i in 0..=ROWS {
            let t = span.from + step * i as f64;
            let here = vector(t)?;
            let slope = here.0.v * here.0.d + here.1.v * here.1.d;
            // Nearest and farthest are rows too: near a dead centre the lever turns
            // back there within a hair.
            if let Some((u, before)) = last
                && let Some(b) = Bracket::new(u, before, t, slope)
            {
                let slope = |t: f64| vector(t).map_or(f64::NAN, |(x, y)| x.v * x.d + y.v * y.d);
                let there = root(b, 1e-10, slope);
                if there > u && there < t {
                    push(there, vector(there)?);
                }
            }
            last = Some((t, slope));
            push(t, here);
        }
        let distances = || rows.iter().map(|r| r.distance);
        let round = rows.last().map_or(0.0, |r| r.toward) - rows[0].toward;
        Ok(Self {
            above: wish.above,
            pin,
            pivot: wish.pivot,
            nearest: distances().fold(f64::INFINITY, f64::min),
            farthest: distances().fold(0.0, f64::max),
            closed: span.closed,
            round: span.closed && round.abs() > 1.0,
            rows,
        })
    }

    /// The rods that close all round with a lever.
    pub(super) fn closing(&self, c: f64) -> Option<(f64, f64)> {
        let (lo, hi) = ((self.farthest - c).max(c - self.nearest), c + self.nearest);
        (lo.max(0.0) < hi).then_some((lo.max(1e-3), hi))
    }

    /// By how much the loop closes at the tightest place, mm.
    pub(super) fn margin(&self, b: f64, c: f64) -> f64 {
        (self.nearest - (b - c).abs()).min(b + c - self.farthest)
    }

    /// The worst push angle, rad: at the nearest or the farthest.
    pub(super) fn push(&self, b: f64, c: f64) -> f64 {
        let at = |ground| Triangle { lever: c, ground }.push(b).map_or(0.0, |mu| mu.min(PI - mu));
        at(self.nearest).min(at(self.farthest))
    }

    /// The lever's lowest and highest angle for a rod `b` and a lever `c`.
    pub(super) fn ends(&self, (b, c): (f64, f64), side: Assembly) -> Ends {
        self.turned(&Loop::new((b, c), side)).unwrap_or_else(|| self.of_rows((b, c), side))
    }

    /// The same from the rows alone: for a lever that goes round, or one whose loop
    /// hardly closes.
    fn of_rows(&self, sizes: (f64, f64), side: Assembly) -> Ends {
        let angles = || self.rows.iter().map(|r| r.angle(sizes, side));
        let (low, high) = (angles().fold(f64::INFINITY, f64::min), angles().fold(-1e300, f64::max));
        Ends { low, high, slope: f64::NAN }
    }

    /// At the lever's own turning points; `None` where it has none or they do not
    /// come out.
    fn turned(&self, of: &Loop) -> Option<Ends> {
        if self.round {
            return None;
        }
        let (first, last) = (self.rows.first()?, self.rows.last()?);
        // Each with how it moves with the rod.
        let mut low = (f64::INFINITY, 0.0);
        let mut high = (f64::NEG_INFINITY, 0.0);
        let mut see = |end: (f64, f64)| {
            low = if end.0 < low.0 { end } else { low };
            high = if end.0 > high.0 { end } else { high };
        };
        if !self.closed {
            for end in [first, last] {
                see((end.angle((of.b, of.c), of.side), of.with_the_rod(end.square)));
            }
        }
        // Over the seam the limb has come back to where it began: one speed for both.
        let mut before = of.speed(if self.closed { last } else { first })?;
        for pair in self.rows.windows(2) {
            let speed = of.speed(&pair[1])?;
            if let Some(b) = Bracket::new(0.0, before, 1.0, speed) {
                see(self.turning(of, (&pair[0], &pair[1]), b)?);
            }
            before = speed;
        }
        let (low, high, slope) = (low.0, high.0, high.1 - low.1);
        (low <= high).then_some(Ends { low, high, slope })
    }

    /// The lever's angle where it turns back between two rows, and how that moves
    /// with the rod.
    fn turning(&self, of: &Loop, (l, r): (&Row, &Row), bracket: Bracket) -> Option<(f64, f64)> {
        let width = r.at - l.at;
        let between = Between::new(l, r);
        let near = root(bracket, NEAR, |u| {
            let ((x, dx), (y, dy)) = (between.x.at(u), between.y.at(u));
            of.turning(x * x + y * y, x * dx + y * dy, x * dy - y * dx)
        });
        let (x, y) = (between.x.at(near).0, between.y.at(near).0);
        let with_the_rod = of.with_the_rod(x * x + y * y);
        let rod = self.rod((of.b, of.c), of.side);
        let motion = |t: f64| rod.motion(&self.above.motion(t).ok()?).ok();
        let row = if near < 0.5 { l } else { r };
        let base = row.angle((of.b, of.c), of.side);
        let angle =
            |s: &Solved<Jet>| unwrapped(Dir::unit(s.limb.cos.v, s.limb.sin.v).angle().0, base);
        let mut t = l.at + near * width;
        for _ in 0..4 {
            let solved = motion(t)?;
            let (speed, second) = solved.limb.turn_rates();
            let step = speed / second;
            if step.abs() < 1e-5 {
                // The rest of the way to second order: to 1e-15 rad.
                return Some((angle(&solved) - 0.5 * speed * step, with_the_rod));
            }
            t -= step;
            let inside = t >= l.at && t <= r.at;
            if !inside {
                break;
            }
        }
        // A kink: it is narrowed down on the loops.
        let speed = |t: f64| motion(t).map_or(f64::NAN, |s| s.limb.turn_rates().0);
        let exact = Bracket::new(l.at, speed(l.at), r.at, speed(r.at))?;
        Some((angle(&motion(root(exact, 1e-12, speed))?), with_the_rod))
    }

    /// The rod alone, its lever along the forearm's axis.
    fn rod(&self, (b, c): (f64, f64), assembly: Assembly) -> Rod {
        let (length, lever) = (Mm(b), Mm(c));
        Rod { pin: self.pin, pivot: self.pivot, length, lever, clamp: Dir::EAST, assembly }
    }
}

/// From the lower pivot to the near pin.
fn vector(
    above: &Above<'_>,
    (pin, pivot): ([f64; 2], [f64; 2]),
    t: f64,
) -> Result<(Jet, Jet), Blocked> {
    let at = above.motion(t)?;
    let (near, pivot) = (at.driver.place(pin[0], pin[1]), at.host.place(pivot[0], pivot[1]));
    Ok((near.0 - pivot.0, near.1 - pivot.1))
}

/// An angle in the turn nearest to another, rad.
fn unwrapped(angle: f64, near: f64) -> f64 {
    near + Rad(angle - near).deg().signed().rad().0
}

impl Row {
    fn new(at: f64, (x, y): (Jet, Jet), before: Option<f64>) -> Self {
        let square = x.v * x.v + y.v * y.v;
        let angle = libm::atan2(y.v, x.v);
        Self {
            at,
            x,
            y,
            toward: before.map_or(angle, |before| unwrapped(angle, before)),
            distance: square.sqrt(),
            square,
            half_slope: x.v * x.d + y.v * y.d,
            cross: x.v * y.d - y.v * x.d,
        }
    }

    /// The lever's angle, unwrapped.
    fn angle(&self, (b, c): (f64, f64), side: Assembly) -> f64 {
        self.toward - side.sign() * Triangle { lever: c, ground: self.distance }.gamma(b)
    }
}

/// A rod and a lever on one side.
struct Loop {
    b: f64,
    c: f64,
    side: Assembly,
    sign: f64,
    /// c^2 - b^2.
    excess: f64,
    /// 4 c^2.
    four: f64,
}

impl Loop {
    fn new((b, c): (f64, f64), side: Assembly) -> Self {
        let (excess, four) = ((c - b) * (c + b), 4.0 * c * c);
        Self { b, c, side, sign: side.sign(), excess, four }
    }

    /// What has the sign of the lever's speed; `None` at a dead centre.
    fn speed(&self, row: &Row) -> Option<f64> {
        let v = self.turning(row.square, row.half_slope, row.cross);
        v.is_finite().then_some(v)
    }

    fn q(&self, square: f64) -> f64 {
        let sum = square + self.excess;
        (self.four * square - sum * sum).sqrt()
    }

    /// `s psi'`.
    fn turning(&self, square: f64, half_slope: f64, cross: f64) -> f64 {
        cross + self.sign * (square - self.excess) * half_slope / self.q(square)
    }

    /// How the lever's angle moves with the rod, rad/mm: `-side 2 b/q`.
    fn with_the_rod(&self, square: f64) -> f64 {
        -2.0 * self.sign * self.b / self.q(square)
    }
}

/// The vector between two rows, as far as `u`, 0 to 1.
struct Between {
    x: Quintic,
    y: Quintic,
}

impl Between {
    fn new(l: &Row, r: &Row) -> Self {
        let width = r.at - l.at;
        Self { x: Quintic::new(l.x, r.x, width), y: Quintic::new(l.y, r.y, width) }
    }
}

/// The polynomial of fifth degree that has value and both derivatives of either end
/// (Hermite's interpolation; any numerical analysis book).
struct Quintic([f64; 6]);

impl Quintic {
    fn new(l: Jet, r: Jet, width: f64) -> Self {
        let (p, q) = (width * l.d, 0.5 * width * width * l.dd);
        let d = r.v - l.v - p - q;
        let e = width * r.d - p - 2.0 * q;
        let f = width * width * r.dd - 2.0 * q;
        let cubic = 10.0 * d - 4.0 * e + 0.5 * f;
        Self([l.v, p, q, cubic, -15.0 * d + 7.0 * e - f, 6.0 * d - 3.0 * e + 0.5 * f])
    }

    /// The value and its derivative by `u`.
    fn at(&self, u: f64) -> (f64, f64) {
        let mut v = (0.0, 0.0);
        for k in self.0.iter().rev() {
            v = (v.0 * u + k, v.1 * u + v.0);
        }
        v
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::BoardPoint;
    use crate::mechanism::solve::Size;
    use crate::mechanism::{FourBar, Role, Shaft};
    use crate::units::Deg;

    struct Random(u64);

    impl Random {
        fn between(&mut self, lo: f64, hi: f64) -> f64 {
            self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
            lo + (hi - lo) * (self.0 >> 11) as f64 / (1u64 << 53) as f64
        }
    }

    /// The slow way: the loops themselves at many places, each turning point between
    /// two of them narrowed down on the loops.
    fn slow(above: &Above<'_>, rod: &Rod, places: usize) -> Option<(f64, f64)> {
        let span = above.span();
        let at = |i: usize| span.from + (span.to - span.from) * i as f64 / places as f64;
        let solved = |t: f64| rod.motion(&above.motion(t).ok()?).ok();
        let speed = |s: &Solved<Jet>| s.limb.turn_rates().0;
        let axis = |s: &Solved<Jet>| Dir::unit(s.limb.cos.v, s.limb.sin.v);
        let mut before = solved(at(0))?;
        let mut now = axis(&before).angle().0;
        let mut ends = (now, now);
        for i in 1..=places {
            let here = solved(at(i))?;
            if let Some(b) = Bracket::new(at(i - 1), speed(&before), at(i), speed(&here)) {
                let there = root(b, 1e-12, |t| solved(t).map_or(f64::NAN, |s| speed(&s)));
                let top = now + axis(&solved(there)?).from(axis(&before)).angle().0;
                ends = (ends.0.min(top), ends.1.max(top));
            }
            now += axis(&here).from(axis(&before)).angle().0;
            ends = (ends.0.min(now), ends.1.max(now));
            before = here;
        }
        Some(ends)
    }

    /// Random limbs above, on a whole turn and on a part of one, random levers and
    /// rods all the way to their dead centres.
    #[test]
    fn turning_points_are_those_of_the_slow_way() {
        let mut random = Random(5);
        let (mut seen, mut tight) = (0, 0);
        while seen < 1500 {
            let motor = BoardPoint::mm(420.0, 500.0);
            let pivot = BoardPoint::mm(random.between(250.0, 370.0), random.between(620.0, 710.0));
            let crank = random.between(20.0, 50.0);
            let lengths = (
                Mm(crank),
                motor.distance(pivot) + Mm(random.between(-30.0, 30.0)),
                Mm(random.between(55.0, 135.0)),
            );
            let (clamp, assembly) = (Deg(random.between(-180.0, 180.0)), Assembly::Open);
            let Ok(upper) = FourBar::new((motor, pivot), lengths, clamp, assembly) else {
                continue;
            };
            let from = random.between(0.0, 6.0);
            let shaft = match random.between(0.0, 3.0) as u32 {
                0 => Shaft {
                    at: motor,
                    span: crate::mechanism::Span::part(from, from + random.between(0.1, 3.0)),
                },
                _ => Shaft::turning(motor),
            };
            let role = if seen % 2 == 0 { Role::Host } else { Role::Driver };
            let above = Above { mechanism: &upper, path: &shaft, role };
            let wish = ForearmWish {
                above,
                pins: &[],
                pivot: [random.between(40.0, 240.0), random.between(-30.0, 30.0)],
                rod: Size::Free,
                lever: Size::Free,
                clamp: Size::Free,
                sweep: (Deg(0.0), Deg(60.0)),
                within: None,
                assembly: None,
            };
            let pin = [random.between(150.0, 400.0), random.between(450.0, 800.0)];
            let Ok(table) = Table::of(&wish, pin) else { continue };
            let c = random.between(20.0, 120.0);
            let Some((lo, hi)) = table.closing(c) else { continue };
            let share = libm::pow(10.0, random.between(-5.0, -0.5));
            let share = if seen % 3 == 0 { 1.0 - share } else { share };
            let (b, side) = (
                lo + (hi - lo) * share,
                if seen % 5 < 3 { Assembly::Open } else { Assembly::Crossed },
            );
            let Some(slow) = slow(&above, &table.rod((b, c), side), 4000) else { continue };
            let Ends { low, high, slope } = table.ends((b, c), side);
            // A lever that goes round has no ends.
            if slow.1 - slow.0 > 6.2 {
                continue;
            }
            seen += 1;
            if table.margin(b, c) > 1.0 {
                let by = |e: f64| table.ends((b + e, c), side).swing();
                let numeric = (by(1e-4) - by(-1e-4)) / 2e-4;
                assert!((slope - numeric).abs() < 1e-4 * (1.0 + slope.abs()), "{slope} {numeric}");
            }
            tight += i32::from(table.margin(b, c) < 0.01);
            let off = (low - slow.0) - (2.0 * PI) * libm::round((low - slow.0) / (2.0 * PI));
            assert!(off.abs() < 1e-9, "{lengths:?} {b} {c} {low} {slow:?}");
            assert!(
                (high - low - slow.1 + slow.0).abs() < 1e-9,
                "{lengths:?} {clamp:?} {pin:?} {b} {c} {side:?} {low} {high} {slow:?}"
            );
        }
        assert!(tight > 50, "{tight}: none is near a dead centre");
    }
}
