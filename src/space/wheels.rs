//! Pulleys, sprockets and gears in depth, and the belt or chain between two.

use super::bolts::spin;
use super::distance::Corner;
use super::stack::{Carried, Depth, Layer, Role, Stack, carry, pivot};
use crate::fit::FittedFigure;
use crate::model::{Mount, Note};

impl Stack<'_> {
    /// The wheels of a limb that turns round and round, in the depth in which its lever
    /// would be; how far back its own wheel ends, where its width is said.
    pub(super) fn wheels(
        &mut self,
        fitted: &FittedFigure,
        index: usize,
        held: Depth,
        carried: &mut Carried,
    ) -> Option<f64> {
        let figure = &fitted.figure;
        let limb = &figure.limbs[index];
        let spin = spin(limb)?;
        let wheel = spin.wheel()?;
        if limb.carrier.is_some() {
            let what = format!("room of its {wheel}s, which ride on another limb");
            self.not_checked[index].push(Note::beyond(&what, "turn it by hand and look"));
            return None;
        }
        let Some(width) = spin.width else {
            let settle = format!("{} width 12 mm", spin.by);
            let what = format!("room of its {wheel}s (their width is not said)");
            self.not_checked[index].push(Note::new(what, settle));
            return None;
        };
        let front = match limb.mount {
            Mount::Front => held.front,
            Mount::Behind => held.back,
        };
        let depth = Depth::from(front, width.0);
        let motor = figure.motor_of(index);
        // The motor's shaft carries its wheel as it would carry a crank.
        carry(carried, motor, depth);
        let (_, assumed) = super::bushing_end(fitted, limb);
        let name = &limb.name.value;
        let layer = |what: &str| Layer {
            name: format!("{name} {what}"),
            role: Role::Wheel,
            depth,
            assumed,
        };
        let at = pivot(limb).map(|p| [p.x, p.y]);
        let shaft = motor.and_then(|m| figure.actuators[m].at.or_else(|| fitted.place_of(m)));
        let shaft = shaft.map(|p| [p.x, p.y]);
        let radii = spin.radii();
        let (Some(near), Some(far)) = (radii.first().copied(), radii.last().copied()) else {
            let settle = match spin.by {
                "gears" => "gears 20 40 module 1.5 mm".to_owned(),
                by => format!("{by} 20 40 pitch 5 mm"),
            };
            let what = format!("room of its {wheel}s (how large they are is not said)");
            self.not_checked[index].push(Note::new(what, settle));
            return Some(depth.back);
        };
        let mut put = |what: &str, corners: Vec<Corner>, radius: f64| {
            let part = self.push(layer(what), corners, radius);
            (part.limb, part.motor) = (Some(index), motor);
        };
        if let Some(at) = at {
            put(wheel, vec![at], far);
        }
        if let Some(shaft) = shaft {
            put(&format!("motor {wheel}"), vec![shaft], near);
        }
        if let (Some(at), Some(shaft), "belt" | "chain") = (at, shaft, spin.by)
            && let Some(corners) = straights(shaft, near, at, far)
        {
            put(spin.by, corners, 0.0);
        }
        Some(depth.back)
    }
}

/// What lies between the two straight parts of a belt round two circles, from where they
/// touch the one to where they touch the other; those of a crossed one lie inside it.
/// `None` where one circle lies in the other.
fn straights(a: Corner, ra: f64, b: Corner, rb: f64) -> Option<Vec<Corner>> {
    let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
    let long = libm::hypot(dx, dy);
    if long <= (ra - rb).abs() {
        return None;
    }
    let (ux, uy) = (dx / long, dy / long);
    // The radii to where it touches lean by this from the square to the centres.
    let lean = (ra - rb) / long;
    let square = (1.0 - lean * lean).sqrt();
    let at = |centre: Corner, r: f64, side: f64| {
        let (nx, ny) = (lean * ux - side * square * uy, lean * uy + side * square * ux);
        [centre[0] + r * nx, centre[1] + r * ny]
    };
    Some(vec![at(a, ra, 1.0), at(b, rb, 1.0), at(b, rb, -1.0), at(a, ra, -1.0)])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::mechanism::belt::Loop;
    use crate::units::Mm;

    /// Both straights are as long as the belt's formula has them (its length less what
    /// lies on the wheels), and stand square on the radii.
    #[test]
    fn the_straights_of_a_belt_touch_both_wheels() {
        let belt = Loop { motor: 20, limb: 40, pitch: Mm(5.0), crossed: false };
        let (r, big) = (20.0 * 5.0 / std::f64::consts::TAU, 40.0 * 5.0 / std::f64::consts::TAU);
        let (a, b) = ([10.0, -5.0], [130.0, 155.0]);
        let c = straights(a, r, b, big).unwrap();
        let long = |p: Corner, q: Corner| libm::hypot(q[0] - p[0], q[1] - p[1]);
        for (p, q) in [(c[0], c[1]), (c[3], c[2])] {
            let (x, y) = (q[0] - p[0], q[1] - p[1]);
            assert!(((p[0] - a[0]) * x + (p[1] - a[1]) * y).abs() < 1e-9);
            assert!(((q[0] - b[0]) * x + (q[1] - b[1]) * y).abs() < 1e-9);
            assert!((long(p, a) - r).abs() < 1e-9 && (long(q, b) - big).abs() < 1e-9);
        }
        let lean = libm::asin((big - r) / 200.0);
        let arcs = std::f64::consts::PI * (r + big) + 2.0 * lean * (big - r);
        let straight = (belt.length(Mm(200.0)).unwrap().0 - arcs) / 2.0;
        assert!((long(c[0], c[1]) - straight).abs() < 1e-9);
        assert_eq!(straights(a, 5.0, a, 20.0), None);
    }
}
