//! Continuous turning: direct, or through a belt, a chain or gears.

use super::{Blocked, Degenerate, Input, Kind, Mechanism, Solved};
use crate::geometry::{BoardPoint, Body, Dir, Jet};
use crate::units::{Deg, Rad};

/// What leads from the motor's shaft to the limb. The two numbers are teeth or
/// pitch diameters: only their ratio counts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Transfer {
    /// The limb sits on the shaft.
    Direct,
    /// A belt over two pulleys: both turn the same way.
    Belt {
        /// Pulley on the motor.
        motor: f64,
        /// Pulley on the limb.
        limb: f64,
    },
    /// A chain over two sprockets: both turn the same way.
    Chain {
        /// Sprocket on the motor.
        motor: f64,
        /// Sprocket on the limb.
        limb: f64,
    },
    /// Two gears in mesh: they turn opposite ways.
    Gears {
        /// Gear on the motor.
        motor: f64,
        /// Gear on the limb.
        limb: f64,
    },
}

impl Transfer {
    /// Turns of the limb per turn of the motor, negative where it runs backwards.
    ///
    /// # Errors
    /// [`Degenerate::Length`] where a wheel is not a positive, finite size.
    pub fn ratio(self) -> Result<f64, Degenerate> {
        let of = |motor: f64, limb: f64| {
            let fine = |v: f64| (1e-3..=1e6).contains(&v);
            if fine(motor) && fine(limb) { Ok(motor / limb) } else { Err(Degenerate::Length) }
        };
        match self {
            Self::Direct => Ok(1.0),
            Self::Belt { motor, limb } | Self::Chain { motor, limb } => of(motor, limb),
            Self::Gears { motor, limb } => of(motor, limb).map(|r| -r),
        }
    }
}

/// A limb that goes round and round with a motor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Spin {
    pivot: BoardPoint,
    ratio: f64,
    zero: Deg,
}

impl Spin {
    /// A limb on `pivot` that points at `zero` when the shaft points along +x.
    ///
    /// # Errors
    /// As [`Transfer::ratio`]; [`Degenerate::NotFinite`] for the angle.
    pub fn new(pivot: BoardPoint, transfer: Transfer, zero: Deg) -> Result<Self, Degenerate> {
        if !zero.0.is_finite() {
            return Err(Degenerate::NotFinite);
        }
        Ok(Self { pivot, ratio: transfer.ratio()?, zero })
    }

    /// Turns of the limb per turn of the motor, negative where it runs backwards.
    #[must_use]
    pub const fn ratio(&self) -> f64 {
        self.ratio
    }

    fn axis(&self, turn: f64) -> Dir {
        Dir::radians(Rad(turn * self.ratio)).turned(Dir::degrees(self.zero))
    }
}

impl Mechanism for Spin {
    fn kind(&self) -> Kind {
        Kind::Spin
    }

    fn position(&self, at: &Input<f64>) -> Result<Solved<f64>, Blocked> {
        let limb = Body::still(self.pivot.x, self.pivot.y, self.axis(at.coordinate));
        Ok(Solved { limb, push: 1.0, margin: f64::INFINITY })
    }

    fn motion(&self, at: &Input<Jet>) -> Result<Solved<Jet>, Blocked> {
        let Jet { v, d, dd } = at.coordinate;
        let axis = self.axis(v);
        let (c, s) = (axis.x(), axis.y());
        let (w, a) = (d * self.ratio, dd * self.ratio);
        let limb = Body {
            x: Jet { v: self.pivot.x, ..Jet::default() },
            y: Jet { v: self.pivot.y, ..Jet::default() },
            cos: Jet { v: c, d: -s * w, dd: -c * w * w - s * a },
            sin: Jet { v: s, d: c * w, dd: -s * w * w + c * a },
        };
        let still = |v| Jet { v, ..Jet::default() };
        Ok(Solved { limb, push: still(1.0), margin: still(f64::INFINITY) })
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Path, Shaft};
    use super::*;

    #[test]
    fn gears_reverse_and_belts_do_not() {
        let (motor, limb) = (20.0, 40.0);
        assert_eq!(Transfer::Belt { motor, limb }.ratio(), Ok(0.5));
        assert_eq!(Transfer::Chain { motor, limb }.ratio(), Ok(0.5));
        assert_eq!(Transfer::Gears { motor, limb }.ratio(), Ok(-0.5));
        assert_eq!(Transfer::Gears { motor: 0.0, limb }.ratio(), Err(Degenerate::Length));
        assert_eq!(Transfer::Belt { motor: f64::NAN, limb }.ratio(), Err(Degenerate::Length));
    }

    #[test]
    fn half_a_turn_of_a_geared_motor_is_a_quarter_back() {
        let pivot = BoardPoint::mm(10.0, 20.0);
        let spin = Spin::new(pivot, Transfer::Gears { motor: 10.0, limb: 20.0 }, Deg(90.0));
        let spin = spin.unwrap();
        let shaft = Shaft::turning(pivot);
        let at = shaft.at(std::f64::consts::PI).unwrap();
        assert!(spin.position(&at).unwrap().limb.axis().dot(Dir::EAST) > 1.0 - 1e-15);
        let (speed, second) = spin.motion(&shaft.motion(2.0).unwrap()).unwrap().limb.turn_rates();
        assert!((speed + 0.5).abs() < 1e-12 && second.abs() < 1e-12);
    }
}
