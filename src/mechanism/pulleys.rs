//! How much cord lies round pulleys: what is straight between two of them, and the arcs.
//!
//! A cord bends round a pulley on its outer side, so its straight stretches are tangents:
//! between two circles on one side of it the outer ones, where it changes sides the inner
//! ones, and from a pin to a circle that through the pin.

use super::cord::turns;
use crate::geometry::{BoardPoint, Dir};
use crate::units::Mm;

/// The length of a cord from its first point to its last, round pulleys of one diameter at
/// those between; `None` where two of them, or a pin and a pulley, share room.
///
/// With r counted positive where the pulley's middle lies left of the cord and the distance
/// d of two middles, a stretch is sqrt(d^2 - (r2 - r1)^2) long and leads off the line of the
/// middles by asin((r2 - r1)/d); what it leads off by at both ends is added to the bend of
/// the middles for the arc (elementary geometry).
#[must_use]
pub fn round(points: &[BoardPoint], across: Mm) -> Option<Mm> {
    let bends: Vec<f64> = turns(points.iter()).collect();
    let size = across.0 / 2.0;
    // Pins have no size.
    let radius = |i: usize| match i.checked_sub(1).and_then(|i| bends.get(i)) {
        Some(bend) => size * if *bend < 0.0 { -1.0 } else { 1.0 },
        None => 0.0,
    };
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
    let arcs = bends.iter().zip(leads.windows(2)).map(|(bend, leads)| {
        let side = if *bend < 0.0 { -1.0 } else { 1.0 };
        side * (bend - leads[1] + leads[0])
    });
    Some(Mm(length + size * arcs.sum::<f64>()))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mm(points: &[(f64, f64)]) -> Vec<BoardPoint> {
        points.iter().map(|&(x, y)| BoardPoint::mm(x, y)).collect()
    }

    /// A square corner with 100 mm to both sides round 20 mm across: tangents of
    /// sqrt(100^2 - 10^2) = 99.4987 mm, and an arc of 270 deg less two of acos(10/100) =
    /// 84.2608 deg: 101.4783 deg, 17.7113 mm. Together 216.7087 mm, by hand.
    #[test]
    fn a_square_corner() {
        for side in [100.0, -100.0] {
            let long = round(&mm(&[(0.0, -100.0), (0.0, 0.0), (side, 0.0)]), Mm(20.0)).unwrap();
            assert!((long.0 - 216.7087).abs() < 1e-4, "{long:?}");
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
        let outer = mm(&[(-100.0, 0.0), (0.0, 0.0), (0.0, 100.0), (-100.0, 100.0)]);
        let want = 100.0 + 2.0 * (9900.0_f64.sqrt() + 10.0 * (square + pin));
        assert!((round(&outer, Mm(20.0)).unwrap().0 - want).abs() < 1e-9);
        let inner = mm(&[(-100.0, 0.0), (0.0, 0.0), (0.0, 100.0), (100.0, 100.0)]);
        let want = 9600.0_f64.sqrt() + 2.0 * (9900.0_f64.sqrt() + 10.0 * (square + pin + cross));
        assert!((round(&inner, Mm(20.0)).unwrap().0 - want).abs() < 1e-9);
    }

    /// A pulley with its middle on the line is in the way: two tangents of 99.4987 mm and an
    /// arc of two of asin(10/100) = 0.100167 rad, by hand. One in which a pin stands has no
    /// way round it; no pulleys, no difference.
    #[test]
    fn in_the_way_and_no_way() {
        let straight = mm(&[(0.0, 0.0), (100.0, 0.0), (200.0, 0.0)]);
        assert!((round(&straight, Mm(20.0)).unwrap().0 - 201.0008).abs() < 1e-4);
        assert_eq!(round(&straight, Mm(0.0)), Some(Mm(200.0)));
        assert_eq!(round(&mm(&[(0.0, 0.0), (5.0, 0.0), (5.0, 90.0)]), Mm(20.0)), None);
    }
}
