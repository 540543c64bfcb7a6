//! A cord over round pulleys: how much of it lies from end to end, in closed form.
//!
//! A cord bends round a pulley on its outer side, so its straight stretches are tangents:
//! between two circles on one side of it the outer ones, where it changes sides the inner
//! ones, and from a pin to a circle that through the pin. Between the first and the last
//! pulley nothing moves. At either end the pin goes round a centre, a motor's shaft or a
//! limb's pivot; on the line through the centre that touches the pulley its cord is as long
//! as the way along that line, and from there on it changes by [`Tangent`].

use std::f64::consts::PI;

use super::{Assembly, Triangle};
use crate::geometry::{BoardPoint, Dir, Real, Vector};
use crate::units::{Mm, Rad};

/// A cord over pulleys of one diameter.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Pulleys {
    /// From the motor's shaft, or where a spool or ram lets the cord go, to the first pulley.
    pub near: End,
    /// From the limb's pivot to the last one.
    pub far: End,
    /// Between the places where those two lines touch, arcs and all, mm.
    pub between: f64,
    /// Their diameter.
    pub across: Mm,
    /// How far round the first and the last pulley it lies then, rad.
    wraps: (f64, f64),
    /// Whether the first is the last.
    one: bool,
    /// The arcs of those between, rad.
    arcs: f64,
}

/// One end of a cord: a centre, and the line through it that touches the pulley.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct End {
    centre: BoardPoint,
    /// Along that line, from the centre to the pulley.
    pub toward: Dir,
    /// What is seen with `toward` to the right and its left (or, of a limb that is pulled
    /// counter-clockwise, its right) upwards.
    pub line: Tangent,
    up: f64,
}

/// A line along +x that touches a pulley, and what cord lies from there to a pin at another
/// place.
///
/// With the line's foot on the pulley at (L, 0) and its middle at (L, w), the pin at (x, y),
/// the distance D of pin and middle and the radius |w|, the free stretch is
/// T = sqrt(D^2 - w^2), and it leads off the line by
/// psi = atan2(w, T) + atan2(y - w, L - x); so much more or less lies round the pulley, and
/// all of it is T + w psi long. Moving the pin lengthens it by what it moves along the cord,
/// and turns the free stretch by what it moves across over T (elementary geometry; the
/// involute of a circle).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tangent {
    /// L, mm.
    pub along: f64,
    /// w, mm: positive where the middle lies above the line; nought for an eye.
    pub wheel: f64,
}

/// The cord from a pulley to a pin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Taut {
    /// T + w psi, mm.
    pub length: f64,
    /// T, mm.
    pub free: f64,
    /// psi, rad.
    pub off: f64,
}

impl Tangent {
    /// The cord to a pin outside the pulley.
    pub(super) fn taut(&self, x: f64, y: f64) -> Taut {
        let (dx, dy) = (self.along - x, y - self.wheel);
        let free = (dx * dx + dy * dy - self.wheel * self.wheel).max(0.0).sqrt();
        let off = libm::atan2(self.wheel, free) + libm::atan2(dy, dx);
        Taut { length: free + self.wheel * off, free, off }
    }
}

/// A lever and the cord that pulls it from a pulley or an eye: the angle gamma from the line
/// that touches the pulley to the lever, the cord from that line's foot on, the push between
/// the two. It lies dead on the line, on either side of the pivot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pulled {
    /// Pivot to pin, mm.
    pub lever: f64,
    /// The line through the pivot.
    pub line: Tangent,
}

/// Halvings after which an angle is known as well as it can be.
const HALVINGS: usize = 80;

impl Pulled {
    /// The plain triangle of an eye and a lever; of a pulley that of its line's foot.
    #[must_use]
    pub const fn triangle(&self) -> Triangle {
        Triangle { lever: self.lever, ground: self.line.along }
    }

    /// The lengths with lever and cord in one line, mm.
    #[must_use]
    pub fn dead_lengths(&self) -> (f64, f64) {
        self.triangle().dead_lengths()
    }

    pub(super) fn taut(&self, gamma: f64) -> Taut {
        let (sin, cos) = libm::sincos(gamma);
        self.line.taut(self.lever * cos, self.lever * sin)
    }

    /// The cord at an angle, mm.
    #[must_use]
    pub fn length(&self, gamma: f64) -> f64 {
        if self.line.wheel == 0.0 {
            return self.triangle().length(gamma);
        }
        self.taut(gamma).length
    }

    /// The angle at which the cord is so long, rad in 0..pi; the length is held to what
    /// there can be. Over a pulley by Newton's rule, held inside a bracket: the cord grows
    /// by its arm about the pivot, lever sin(gamma + psi), all the way.
    #[must_use]
    pub fn gamma(&self, length: f64) -> f64 {
        let start = self.triangle().gamma(length);
        let (near, far) = self.dead_lengths();
        if self.line.wheel == 0.0 || !(length > near && length < far) {
            return start;
        }
        let (mut lo, mut hi, mut at) = (0.0, PI, start);
        for _ in 0..HALVINGS {
            let taut = self.taut(at);
            let off = taut.length - length;
            if off > 0.0 {
                hi = at
            } else {
                lo = at
            }
            let next = at - off / (self.lever * libm::sin(at + taut.off));
            let next = if next > lo && next < hi { next } else { 0.5 * (lo + hi) };
            let by = (next - at).abs();
            at = next;
            if by < 1e-15 * PI {
                break;
            }
        }
        at
    }

    /// The push angle between cord and lever at a length, rad in 0..pi; `None` where there
    /// is none.
    #[must_use]
    pub fn push(&self, length: f64) -> Option<f64> {
        if self.line.wheel == 0.0 {
            return self.triangle().push(length);
        }
        let (near, far) = self.dead_lengths();
        (length >= near && length <= far).then(|| {
            let gamma = self.gamma(length);
            (gamma + self.taut(gamma).off).clamp(0.0, PI)
        })
    }
}

impl End {
    /// From a centre to a pulley of a signed radius: positive where its middle lies left of
    /// a cord that runs from `centre` to it.
    fn of(centre: BoardPoint, pulley: BoardPoint, radius: f64, up: f64) -> Option<Self> {
        let away = pulley - centre;
        let d = away.length().0;
        let along = ((d - radius) * (d + radius)).sqrt();
        let wheel = radius * up;
        let lead = Dir::along(along, radius)?;
        let toward = away.dir()?.from(lead);
        Some(Self { centre, toward, line: Tangent { along, wheel }, up })
    }

    /// A place as seen along the line.
    fn seen<R: Real>(&self, (x, y): (R, R)) -> (R, R) {
        let (dx, dy) = (x - self.centre.x, y - self.centre.y);
        let (ex, ey) = (self.toward.x(), self.toward.y());
        (dx * ex + dy * ey, (dy * ex - dx * ey) * self.up)
    }

    /// The cord to a pin, exact to the second derivative: along the free stretch, and across
    /// it, as the stretch turns.
    pub fn length<R: Real>(&self, pin: (R, R)) -> R {
        let (x, y) = self.seen(pin);
        let taut = self.line.taut(x.value(), y.value());
        let (sin, cos) = libm::sincos(taut.off);
        let (dx, dy) = (x - x.value(), y - y.value());
        let (along, across) = (dy * sin - dx * cos, dx * sin + dy * cos);
        along + across * across * (0.5 / taut.free) + taut.length
    }

    /// Where the free stretch to a pin leaves the pulley.
    pub fn foot(&self, pin: (f64, f64)) -> (f64, f64) {
        let (x, y) = self.seen(pin);
        let taut = self.line.taut(x, y);
        let (sin, cos) = libm::sincos(taut.off);
        let (fx, fy) = (x + taut.free * cos, (y - taut.free * sin) * self.up);
        let (ex, ey) = (self.toward.x(), self.toward.y());
        (self.centre.x + fx * ex - fy * ey, self.centre.y + fx * ey + fy * ex)
    }

    /// By how much more a cord to a pin lies round the pulley than one along the line, rad.
    fn wrapped(&self, pin: (f64, f64)) -> f64 {
        let (x, y) = self.seen(pin);
        self.line.taut(x, y).off * self.line.wheel.signum()
    }

    /// What goes round the centre on an arm of this length.
    pub const fn pulled(&self, lever: f64) -> Pulled {
        Pulled { lever, line: self.line }
    }

    /// The directions in which an arm stands with so much cord from the pulley on; one, where
    /// it lies on the line, and none where it does not reach.
    pub fn arms(&self, arm: f64, length: f64) -> Vec<Dir> {
        let (near, far) = self.pulled(arm).dead_lengths();
        let slip = 1e-9 * far;
        if !(length >= near - slip && length <= far + slip) {
            return Vec::new();
        }
        let other = Tangent { wheel: -self.line.wheel, ..self.line };
        let up = Pulled { lever: arm, line: self.line }.gamma(length);
        let down = Pulled { lever: arm, line: other }.gamma(length);
        [up, -down].map(|gamma| self.toward.turned(Dir::radians(Rad(gamma * self.up)))).to_vec()
    }
}

impl Pulleys {
    /// A cord that comes from about `from`, runs over `pulleys` and pulls a lever about
    /// `pivot` on its side; `None` without pulleys, where two of them, or a pulley and what
    /// turns about `from` or `pivot`, share room.
    pub fn new(
        (from, arm): (BoardPoint, Mm),
        pulleys: &[BoardPoint],
        (pivot, lever, side): (BoardPoint, Mm, Assembly),
        across: Mm,
    ) -> Option<Self> {
        let (first, last) = (*pulleys.first()?, *pulleys.last()?);
        let size = across.0 / 2.0;
        let clear = |centre: BoardPoint, pulley: BoardPoint, arm: Mm| {
            centre.distance(pulley).0 > arm.0 + size * (1.0 + 1e-9)
        };
        let apart = pulleys.windows(2).all(|p| p[0].distance(p[1]) > across);
        if !(size > 0.0 && apart && clear(from, first, arm) && clear(pivot, last, lever)) {
            return None;
        }
        // On which side it passes each pulley is seen with its lever square to it: from there
        // on it stays on that side, however little it is bent.
        let (toward, d) = ((pivot - last).dir()?, pivot.distance(last).0);
        let lead = Dir::radians(Rad(libm::asin((lever.0 / d).min(1.0)) * side.sign()));
        let far = ((d - lever.0) * (d + lever.0)).sqrt();
        let square = last + Vector::polar(Mm(far), toward.turned(lead));
        let line = |end| [&[from], pulleys, &[end]].concat();
        let signed = |bend: f64| if bend < 0.0 { -size } else { size };
        let radii: Vec<f64> = turns(line(square).iter()).map(signed).collect();
        let (_, seen) = round(&line(square), &radii)?;
        let (mut length, mut arcs) = round(&line(pivot), &radii)?;
        // From there to the line through the pivot it turns by less than half a turn: where
        // that takes it past straight back, the arc goes on.
        if let (Some(arc), Some(seen)) = (arcs.last_mut(), seen.last()) {
            let on = 2.0 * PI * libm::round((seen - *arc) / (2.0 * PI));
            *arc += on;
            length += size * on;
        }
        let near = End::of(from, first, *radii.first()?, 1.0)?;
        // Seen from the pivot the cord runs the other way, and has on its right what it had on
        // its left.
        let far = End::of(pivot, last, -*radii.last()?, -side.sign())?;
        Some(Self {
            between: length - near.line.along - far.line.along,
            wraps: (*arcs.first()?, *arcs.last()?),
            one: arcs.len() == 1,
            arcs: arcs.get(1..arcs.len() - 1).map_or(0.0, |a| a.iter().map(|a| a.max(0.0)).sum()),
            across,
            near,
            far,
        })
    }

    /// About where what draws it in turns, or where it comes from.
    pub const fn from(&self) -> BoardPoint {
        self.near.centre
    }

    /// How far round the first and the last pulley it lies with its pins there, rad: below
    /// nought it stands off one of them.
    pub fn wraps(&self, near: (f64, f64), far: (f64, f64)) -> (f64, f64) {
        let (more, less) = (self.near.wrapped(near), self.far.wrapped(far));
        if self.one {
            let all = self.wraps.0 + more + less;
            return (all, all);
        }
        (self.wraps.0 + more, self.wraps.1 + less)
    }

    /// What it is bent by in all with its pins there, rad.
    pub fn bent(&self, near: (f64, f64), far: (f64, f64)) -> f64 {
        let (first, last) = self.wraps(near, far);
        let both = if self.one { first.max(0.0) } else { first.max(0.0) + last.max(0.0) };
        both + self.arcs
    }
}

/// The length of a cord from its first point to its last round pulleys of these radii at
/// those between, and how far round each of them it lies, rad; `None` where two of them, or a
/// pin and a pulley, share room.
///
/// With r counted positive where the pulley's middle lies left of the cord and the distance
/// d of two middles, a stretch is sqrt(d^2 - (r2 - r1)^2) long and leads off the line of the
/// middles by asin((r2 - r1)/d); what it leads off by at both ends is added to the bend of
/// the middles for the arc (elementary geometry).
fn round(points: &[BoardPoint], radii: &[f64]) -> Option<(f64, Vec<f64>)> {
    // Pins have no size.
    let radius = |i: usize| i.checked_sub(1).and_then(|i| radii.get(i)).copied().unwrap_or(0.0);
    let (mut length, mut leads) = (0.0, Vec::new());
    for (i, pair) in points.windows(2).enumerate() {
        let (d, by) = (pair[0].distance(pair[1]).0, radius(i + 1) - radius(i));
        if d <= by.abs() {
            return None;
        }
        let run = (d * d - by * by).sqrt();
        length += run;
        leads.push(Dir::along(run, by)?.angle().0);
    }
    let arcs: Vec<f64> = turns(points.iter())
        .zip(leads.windows(2).zip(radii))
        .map(|(bend, (leads, radius))| radius.signum() * (bend - leads[1] + leads[0]))
        .collect();
    let round: f64 = arcs.iter().zip(radii).map(|(arc, radius)| arc * radius.abs()).sum();
    Some((length + round, arcs))
}

/// The turn at each inner point of a line, rad, counter-clockwise positive.
pub(super) fn turns<'a>(points: impl Iterator<Item = &'a BoardPoint>) -> impl Iterator<Item = f64> {
    let after = |last: &mut Option<BoardPoint>, next: &'a BoardPoint| {
        Some(last.replace(*next).map(|last| *next - last))
    };
    let mut dirs = points.scan(None, after).flatten().filter_map(Vector::dir);
    let mut last = dirs.next();
    std::iter::from_fn(move || {
        let next = dirs.next()?;
        Some(next.from(last.replace(next)?).angle().0)
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(points: &[(f64, f64)]) -> Vec<BoardPoint> {
        points.iter().map(|&(x, y)| BoardPoint::mm(x, y)).collect()
    }

    /// Passed on the inner side of every bend.
    fn along(points: &[(f64, f64)], size: f64) -> Option<f64> {
        let points = mm(points);
        let side = |bend: f64| if bend < 0.0 { -size } else { size };
        let radii: Vec<f64> = turns(points.iter()).map(side).collect();
        round(&points, &radii).map(|r| r.0)
    }

    /// A square corner with 100 mm to both sides round 20 mm across: tangents of
    /// sqrt(100^2 - 10^2) = 99.4987 mm, and an arc of 270 deg less two of acos(10/100) =
    /// 84.2608 deg: 101.4783 deg, 17.7113 mm. Together 216.7087 mm, by hand.
    #[test]
    fn a_square_corner() {
        for side in [100.0, -100.0] {
            let long = along(&[(0.0, -100.0), (0.0, 0.0), (side, 0.0)], 10.0).unwrap();
            assert!((long - 216.7087).abs() < 1e-4, "{long}");
        }
    }

    /// Two of 20 mm across, 100 mm apart. Passed on one side, their tangent is as long as
    /// they are apart, and only the stretches to the pins lead off: each arc 90 deg and
    /// asin(10/100). Passed on both sides, the inner tangent of sqrt(100^2 - 20^2) mm leads
    /// off by asin(20/100) more at both ends.
    #[test]
    fn outer_and_inner_tangents() {
        let (pin, cross) = (libm::asin(0.1), libm::asin(0.2));
        let square = std::f64::consts::FRAC_PI_2;
        let outer = [(-100.0, 0.0), (0.0, 0.0), (0.0, 100.0), (-100.0, 100.0)];
        let want = 100.0 + 2.0 * (9900.0_f64.sqrt() + 10.0 * (square + pin));
        assert!((along(&outer, 10.0).unwrap() - want).abs() < 1e-9);
        let inner = [(-100.0, 0.0), (0.0, 0.0), (0.0, 100.0), (100.0, 100.0)];
        let want = 9600.0_f64.sqrt() + 2.0 * (9900.0_f64.sqrt() + 10.0 * (square + pin + cross));
        assert!((along(&inner, 10.0).unwrap() - want).abs() < 1e-9);
    }

    /// A pulley with its middle on the line is in the way: two tangents of 99.4987 mm and an
    /// arc of two of asin(10/100) = 0.100167 rad, by hand. One in which a pin stands has no
    /// way round it.
    #[test]
    fn in_the_way_and_no_way() {
        let straight = [(0.0, 0.0), (100.0, 0.0), (200.0, 0.0)];
        assert!((along(&straight, 10.0).unwrap() - 201.0008).abs() < 1e-4);
        assert_eq!(along(&[(0.0, 0.0), (5.0, 0.0), (5.0, 90.0)], 10.0), None);
    }

    /// From end to end against the round of the whole line, and a pose from its length.
    #[test]
    fn ends_and_between_are_the_whole_round() {
        let pulleys = mm(&[(0.0, 0.0), (80.0, 150.0)]);
        let (from, pivot) = (BoardPoint::mm(-200.0, -30.0), BoardPoint::mm(300.0, 120.0));
        for side in [Assembly::Open, Assembly::Crossed] {
            let over = Pulleys::new((from, Mm(30.0)), &pulleys, (pivot, Mm(60.0), side), Mm(24.0));
            let over = over.unwrap();
            for turn in 0..12 {
                let pin = from + Vector::polar(Mm(30.0), Dir::radians(Rad(f64::from(turn) * 0.5)));
                let gamma = 0.3 + f64::from(turn) * 0.2;
                let lever = over.far.toward.turned(Dir::radians(Rad(-side.sign() * gamma)));
                let far = pivot + Vector::polar(Mm(60.0), lever);
                let points = [&[pin], pulleys.as_slice(), &[far]].concat();
                let side_of = |bend: f64| if bend < 0.0 { -12.0 } else { 12.0 };
                let radii: Vec<f64> = turns(points.iter()).map(side_of).collect();
                let (whole, arcs) = round(&points, &radii).unwrap();
                let ends = [(over.near, pin), (over.far, far)].map(|(e, p)| e.length((p.x, p.y)));
                assert!((ends[0] + over.between + ends[1] - whole).abs() < 1e-9, "{turn}");
                assert!((over.far.pulled(60.0).gamma(ends[1]) - gamma).abs() < 1e-9);
                let wraps = over.wraps((pin.x, pin.y), (far.x, far.y));
                assert!((wraps.0 - arcs[0]).abs() + (wraps.1 - arcs[1]).abs() < 1e-9);
                let arms = over.near.arms(30.0, ends[0]);
                let there = (pin - from).dir().unwrap();
                assert!(arms.iter().any(|a| a.dot(there) > 1.0 - 1e-9), "{turn}");
            }
        }
    }

    /// Led straight back, a cord lies more than half round its pulley: it touches above and
    /// below, acos(radius/way) off the ways to both pins.
    #[test]
    fn more_than_half_round() {
        let (from, pivot) = (BoardPoint::mm(-200.0, -10.0), BoardPoint::mm(-200.0, 20.0));
        let (size, arm, lever) = (12.0, 8.0, 60.0);
        let limb = (pivot, Mm(lever), Assembly::Open);
        let middle = [BoardPoint::mm(0.0, 0.0)];
        let over = Pulleys::new((from, Mm(arm)), &middle, limb, Mm(2.0 * size)).unwrap();
        for turn in 0..10 {
            let turn = f64::from(turn) * 0.3;
            let pin = from + Vector::polar(Mm(arm), Dir::radians(Rad(2.0 * turn)));
            let lever_at = over.far.toward.turned(Dir::radians(Rad(-turn)));
            let far = pivot + Vector::polar(Mm(lever), lever_at);
            let way =
                |p: BoardPoint| (libm::hypot(p.x, p.y), libm::atan2(p.y, p.x).rem_euclid(2.0 * PI));
            let ((la, a), (lb, b)) = (way(pin), way(far));
            let arc = 2.0 * PI + a - b - libm::acos(size / la) - libm::acos(size / lb);
            let free = (la * la - size * size).sqrt() + (lb * lb - size * size).sqrt();
            let ends = [(over.near, pin), (over.far, far)].map(|(e, p)| e.length((p.x, p.y)));
            assert!((ends[0] + over.between + ends[1] - free - size * arc).abs() < 1e-9, "{turn}");
            let wraps = over.wraps((pin.x, pin.y), (far.x, far.y));
            assert!((wraps.0 - arc).abs() < 1e-9 && (arc > PI || turn > 0.2), "{turn}: {arc}");
        }
    }
}
