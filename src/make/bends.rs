//! Bends: how long a bar must be cut so that it comes out right when it is bent twice
//! to step from one plane to another.

use crate::model::RodBent;

/// Where the layer lies that is neither stretched nor pressed, as a share of the
/// thickness from the inside of the bend: soft steel, (0.64 T + 1.57 R) for a square bend
/// (Machinery's Handbook, "Allowances for bends in sheet metal", from memory): 0.64 over
/// a quarter turn.
const NEUTRAL: f64 = 0.64 / (std::f64::consts::PI / 2.0);

/// Inside radius of a bend as a multiple of the bar's thickness (common practice, no
/// source): tighter ones crack zinc and weaken the bar.
const RADIUS: f64 = 1.5;

/// The steepest bend that is used where there is room: 45 deg.
const STEEPEST: f64 = std::f64::consts::PI / 4.0;

/// Two equal bends, one each way, that step a bar aside.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bends {
    /// How far its ends' planes are apart, mm.
    pub step: f64,
    /// Angle of each bend, deg.
    pub angle: f64,
    /// Inside radius, mm.
    pub radius: f64,
    /// From pin to pin along the bar before it is bent, mm.
    pub developed: f64,
    /// The same once it is bent, square to the planes: as the mechanism wants it, mm.
    pub straight: f64,
    /// What the bends and the slope between them take of that, mm.
    pub over: f64,
    /// Where the first bend begins on the straight bar, from the first pin, mm.
    pub first: f64,
    /// Where the second begins.
    pub second: f64,
    /// Length of each bend on the straight bar, mm.
    pub allowance: f64,
}

/// Length of bar that goes into a bend of `angle` rad with an inside radius, mm: the arc
/// of the layer that keeps its length.
#[must_use]
pub fn bend_allowance(angle: f64, radius: f64, thick: f64) -> f64 {
    angle * (radius + NEUTRAL * thick)
}

/// The bar of a thickness that reaches over `straight` mm from pin to pin and steps aside
/// by `step`, in its middle or right behind its first end; `None` where there is no room for
/// the two bends between pins that need `flat` mm on either side.
#[must_use]
pub fn developed(
    (straight, step): (f64, f64),
    thick: f64,
    flat: f64,
    bent: RodBent,
) -> Option<Bends> {
    let step = step.abs();
    if step <= 1e-9 {
        return None;
    }
    let radius = RADIUS * thick;
    // The middle line of the bar runs on this radius; two arcs alone step aside by
    // 2 r (1 - cos angle).
    let middle = radius + thick / 2.0;
    let alone = 2.0 * middle * (1.0 - libm::cos(STEEPEST));
    let angle = if step >= alone { STEEPEST } else { libm::acos(1.0 - step / (2.0 * middle)) };
    let (sin, cos) = (libm::sin(angle), libm::cos(angle));
    let slope = ((step - 2.0 * middle * (1.0 - cos)) / sin).max(0.0);
    let over = 2.0 * middle * sin + slope * cos;
    if straight < over + 2.0 * flat {
        return None;
    }
    let allowance = bend_allowance(angle, radius, thick);
    let first = match bent {
        RodBent::Middle => (straight - over) / 2.0,
        RodBent::End => flat,
    };
    Some(Bends {
        step,
        angle: angle.to_degrees(),
        radius,
        developed: straight - over + slope + 2.0 * allowance,
        straight,
        over,
        first,
        second: first + allowance + slope,
        allowance,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Machinery's Handbook, "Allowances for bends in sheet metal", the example of a soft
    /// steel part 0.125 in thick (from memory): a half turn on 0.375 in takes 1.338 in, 60
    /// deg on 0.625 in take 0.707 in.
    #[test]
    fn allowances_are_those_of_the_handbook() {
        let half = bend_allowance(std::f64::consts::PI, 0.375, 0.125);
        assert!((half - 1.338).abs() < 0.001, "{half}");
        let sixty = bend_allowance(std::f64::consts::PI / 3.0, 0.625, 0.125);
        assert!((sixty - 0.7075).abs() < 0.001, "{sixty}");
    }

    /// The bent bar, walked along piece by piece, ends where it must.
    #[test]
    fn a_bent_bar_steps_aside_and_reaches_over() {
        for (straight, step, thick) in [(160.0, 20.0, 8.0), (300.0, 3.0, 5.0), (90.0, 11.0, 3.0)] {
            for bent in [RodBent::Middle, RodBent::End] {
                let b = developed((straight, step), thick, 10.0, bent).unwrap();
                let middle = b.radius + thick / 2.0;
                let (mut x, mut y, mut turn) = (b.first, 0.0, 0.0_f64);
                let steps = 20_000;
                let part = b.angle.to_radians() / f64::from(steps);
                let slope = b.second - b.first - b.allowance;
                for way in [1.0, -1.0] {
                    for _ in 0..steps {
                        turn += way * part / 2.0;
                        x += middle * part * libm::cos(turn);
                        y += middle * part * libm::sin(turn);
                        turn += way * part / 2.0;
                    }
                    if way > 0.0 {
                        x += slope * libm::cos(turn);
                        y += slope * libm::sin(turn);
                    }
                }
                assert!((y - step).abs() < 1e-6, "{y} {step}");
                let over = x + straight - b.over - b.first;
                assert!((over - straight).abs() < 1e-6, "{over} {straight}");
                // Never shorter than the straight line between the two pins, and never longer
                // than going across and down square.
                assert!(b.developed > libm::hypot(straight, step) - thick);
                assert!(b.developed < straight + step);
                assert_eq!(b.first == 10.0, bent == RodBent::End);
            }
        }
    }

    #[test]
    fn a_short_bar_has_no_room_for_bends() {
        assert_eq!(developed((30.0, 20.0), 8.0, 10.0, RodBent::Middle), None);
        assert_eq!(developed((100.0, 0.0), 8.0, 10.0, RodBent::End), None);
    }
}
