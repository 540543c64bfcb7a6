//! A belt or chain round two wheels: its length, what it wraps, the centres it wants;
//! and the centres of two gears.
//!
//! With pitch radii r (small) and R on centres C, and sin b = (R - r)/C for an open
//! belt, (R + r)/C for a crossed one, the straight parts are C cos b each and touch
//! where the radii turn by b (R. L. Norton, Machine Design, belts; R. S. Khurmi and
//! J. K. Gupta, Theory of Machines, ch. 11).

use std::f64::consts::PI;

use crate::units::{Deg, Mm, Rad};

/// Two wheels and what runs round them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Loop {
    /// Teeth of the wheel on the motor.
    pub motor: u32,
    /// Teeth of the wheel on the limb.
    pub limb: u32,
    /// From tooth to tooth, or from link to link.
    pub pitch: Mm,
    /// Whether it crosses itself, so that the limb turns the other way.
    pub crossed: bool,
}

impl Loop {
    /// Pitch radius of a wheel: its teeth are a pitch apart along the belt's own line.
    fn radius(&self, teeth: u32) -> f64 {
        f64::from(teeth) * self.pitch.0 / (2.0 * PI)
    }

    /// Radii of the smaller and the larger wheel.
    fn radii(&self) -> (f64, f64) {
        let (a, b) = (self.radius(self.motor), self.radius(self.limb));
        (a.min(b), a.max(b))
    }

    /// By how much the points where it touches lie beside the square to the centres.
    fn lean(&self, centres: Mm) -> Option<f64> {
        let (r, big) = self.radii();
        let apart = if self.crossed { big + r } else { big - r };
        // The wheels must not touch either.
        (centres.0 > r + big).then(|| libm::asin(apart / centres.0))
    }

    /// Its length on given centres; `None` where the wheels would overlap.
    #[must_use]
    pub fn length(&self, centres: Mm) -> Option<Mm> {
        let lean = self.lean(centres)?;
        let (r, big) = self.radii();
        let straight = 2.0 * centres.0 * libm::cos(lean);
        let round = if self.crossed {
            (PI + 2.0 * lean) * (r + big)
        } else {
            PI * (r + big) + 2.0 * lean * (big - r)
        };
        Some(Mm(straight + round))
    }

    /// How much of the smaller wheel it goes round; `None` as [`Loop::length`].
    #[must_use]
    pub fn wrap(&self, centres: Mm) -> Option<Deg> {
        let lean = self.lean(centres)?;
        let wrap = if self.crossed { PI + 2.0 * lean } else { PI - 2.0 * lean };
        Some(Rad(wrap).deg())
    }

    /// How many teeth of the smaller wheel it holds; `None` as [`Loop::length`].
    #[must_use]
    pub fn teeth_in_mesh(&self, centres: Mm) -> Option<f64> {
        let teeth = f64::from(self.motor.min(self.limb));
        Some(teeth * self.wrap(centres)?.0 / 360.0)
    }

    /// The centres that a length wants, to a millionth of a millimetre; `None` where
    /// the wheels would overlap. The length grows with the centres.
    #[must_use]
    pub fn centres(&self, length: Mm) -> Option<Mm> {
        let (r, big) = self.radii();
        let (mut low, mut high) = ((r + big) * (1.0 + 1e-9), length.0 / 2.0);
        if !(length.0.is_finite() && low < high && self.length(Mm(low))? <= length) {
            return None;
        }
        while high - low > 1e-7 {
            let middle = 0.5 * (low + high);
            // Neighbouring numbers: of very long belts a millionth is finer than they.
            if middle <= low || middle >= high {
                break;
            }
            match self.length(Mm(middle)) {
                Some(l) if l > length => high = middle,
                _ => low = middle,
            }
        }
        Some(Mm(0.5 * (low + high)))
    }
}

/// Centres of two gears in mesh: half the sum of their pitch diameters, which are
/// module times teeth (ISO 54, ISO 21771).
#[must_use]
pub fn gear_centres((motor, limb): (u32, u32), module: Mm) -> Mm {
    module * (f64::from(motor) + f64::from(limb)) / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Pulleys of these diameters: a pitch of pi makes a tooth of one millimetre.
    fn pulleys(motor: u32, limb: u32, crossed: bool) -> Loop {
        Loop { motor, limb, pitch: Mm(PI), crossed }
    }

    /// R. S. Khurmi and J. K. Gupta, Theory of Machines, Example 11.5 (from memory):
    /// pulleys of 450 and 200 mm, 1.95 m apart, crossed: 4.975 m, contact 199 deg.
    #[test]
    fn a_crossed_belt_as_in_the_book() {
        let belt = pulleys(450, 200, true);
        assert!((belt.length(Mm(1950.0)).unwrap().0 - 4975.0).abs() < 1.0);
        assert!((belt.wrap(Mm(1950.0)).unwrap().0 - 199.2).abs() < 0.1);
    }

    /// A belt round the world is met to the last bit, and comes to an end.
    #[test]
    fn a_belt_too_long_for_its_decimals_ends() {
        let belt = Loop { motor: 20, limb: 40, pitch: Mm(5.0), crossed: false };
        let centres = belt.centres(Mm(2e15)).unwrap();
        assert!((centres.0 / 1e15 - 1.0).abs() < 1e-12);
    }

    /// Equal wheels: twice the centres and once round one of them, half of each wrapped.
    #[test]
    fn equal_wheels_have_parallel_sides() {
        let belt = Loop { motor: 30, limb: 30, pitch: Mm(5.0), crossed: false };
        assert!((belt.length(Mm(100.0)).unwrap().0 - 350.0).abs() < 1e-9);
        assert!((belt.wrap(Mm(100.0)).unwrap().0 - 180.0).abs() < 1e-9);
        assert!((belt.teeth_in_mesh(Mm(100.0)).unwrap() - 15.0).abs() < 1e-9);
    }

    /// 20 and 40 teeth of 5 mm on a belt of 550 mm: the long-belt approximation
    /// C = (B + sqrt(B^2 - 8 (R-r)^2))/4, B = L - pi (R + r) gives 199.37 mm; 171 deg and
    /// 9.5 teeth.
    #[test]
    fn a_belt_of_a_length_wants_its_centres() {
        let belt = Loop { motor: 20, limb: 40, pitch: Mm(5.0), crossed: false };
        let centres = belt.centres(Mm(550.0)).unwrap();
        assert!((centres.0 - 199.37).abs() < 0.01, "{centres:?}");
        assert!((belt.wrap(centres).unwrap().0 - 170.8).abs() < 0.1);
        assert!((belt.teeth_in_mesh(centres).unwrap() - 9.49).abs() < 0.01);
        for crossed in [false, true] {
            let belt = Loop { crossed, ..belt };
            for c in [60.0, 199.4, 1000.0] {
                let back = belt.centres(belt.length(Mm(c)).unwrap()).unwrap();
                assert!((back.0 - c).abs() < 1e-5, "{c} {back:?}");
            }
        }
        assert_eq!(belt.centres(Mm(200.0)), None, "shorter than round both wheels");
        assert_eq!(belt.length(Mm(40.0)), None, "the wheels overlap");
        assert_eq!(belt.centres(Mm(f64::NAN)), None);
    }

    #[test]
    fn gears_mesh_on_half_the_sum_of_their_diameters() {
        assert_eq!(gear_centres((20, 60), Mm(1.5)), Mm(60.0));
    }
}
