//! The line along which a mechanism pushes its limb: what rods, pins and bolts carry.

use super::Rod;
use crate::geometry::{BoardPoint, Body, Dir};

/// A push on a limb. A force has a line, not a point: `at` is one point of it, where
/// the limb is touched.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Thrust {
    /// Where the limb is pushed, on the board.
    pub at: BoardPoint,
    /// The direction of a push (a pull is a negative one).
    pub along: Dir,
}

impl Thrust {
    /// From a pin to a pin on the limb; `None` where the two are one point.
    #[must_use]
    pub fn between(near: (f64, f64), far: (f64, f64)) -> Option<Self> {
        let along = Dir::along(far.0 - near.0, far.1 - near.1)?;
        Some(Self { at: BoardPoint::mm(far.0, far.1), along })
    }

    /// How far the line passes beside a point, mm: positive where a push turns the
    /// limb counter-clockwise about it.
    #[must_use]
    pub fn arm(&self, about: BoardPoint) -> f64 {
        let r = self.at - about;
        r.x * self.along.y() - r.y * self.along.x()
    }
}

/// The far end of a lever on a limb, on the board.
pub(super) fn lever_end(limb: &Body<f64>, lever: f64, clamp: Dir) -> (f64, f64) {
    limb.place(lever * clamp.x(), lever * clamp.y())
}

impl Rod {
    /// Its pin on the driver, and its pin on the limb.
    pub(super) fn ends(&self) -> [[f64; 2]; 2] {
        let c = self.lever.0;
        [self.pin, [c * self.clamp.x(), c * self.clamp.y()]]
    }

    /// Along the rod.
    pub(super) fn thrust_on(&self, driver: &Body<f64>, limb: &Body<f64>) -> Option<Thrust> {
        let far = lever_end(limb, self.lever.0, self.clamp);
        Thrust::between(driver.place(self.pin[0], self.pin[1]), far)
    }
}

#[cfg(test)]
mod tests {
    use super::super::*;
    use super::*;

    /// Power in is power out: what a push does on the limb's pin per radian of the
    /// shaft is the same from both ends of the rod.
    #[test]
    fn a_push_of_one_newton_does_the_same_work_at_both_ends() {
        let motor = BoardPoint::mm(310.0, 806.0);
        let pivot = BoardPoint::mm(150.0, 880.0);
        let bar = FourBar::new(
            (motor, pivot),
            (Mm(30.0), Mm(160.0), Mm(80.0)),
            Deg(127.0),
            Assembly::Open,
        )
        .unwrap();
        let shaft = Shaft::turning(motor);
        for n in 0..36 {
            let turn = f64::from(n) * 0.17;
            let limb = bar.motion(&shaft.motion(turn).unwrap()).unwrap().limb;
            let at = shaft.at(turn).unwrap();
            let still = bar.position(&at).unwrap().limb;
            let thrust = bar.thrust(&at, &still).unwrap();
            let out = thrust.arm(pivot) * limb.turn_rates().0;
            assert!((out - thrust.arm(motor)).abs() < 1e-9 * 30.0, "{turn}: {out}");
        }
    }
}
