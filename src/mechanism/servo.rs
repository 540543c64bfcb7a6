//! A hobby servo: direct, through a parallelogram, or through arm and rod.

use super::{Blocked, FourBar, Input, Kind, Mechanism, Pins, Solved, Thrust};
use crate::geometry::{BoardPoint, Body, Dir, Jet, Real};
use crate::units::{Deg, Mm, Rad};

/// How the servo's shaft moves the limb.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ServoLink {
    /// The limb sits on the shaft, or on a bolt in line with it.
    Direct {
        /// Limb angle less arm angle.
        offset: Deg,
    },
    /// Arm and lever of one length and a rod as long as shaft and pivot are
    /// apart: the limb turns as the arm does.
    Parallelogram {
        /// The servo's shaft.
        shaft: BoardPoint,
        /// Arm and lever.
        arm: Mm,
        /// Limb angle less arm angle.
        offset: Deg,
    },
    /// Arm and rod in general: a four-bar driven over a part of a turn.
    Rod(FourBar),
}

/// A servo and its linkage. The input's turn is the arm's angle, absolute,
/// counter-clockwise from +x seen from the front.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Servo {
    /// The limb's pivot.
    pub pivot: BoardPoint,
    /// How the shaft moves it.
    pub link: ServoLink,
    /// The arm angles the servo can take, lowest and highest.
    pub travel: (Deg, Deg),
}

/// Travel is checked to this much of a radian, so that its own ends are inside.
const ROUNDING: f64 = 1e-12;

impl Servo {
    fn inside(&self, turn: f64) -> Result<(), Blocked> {
        let (low, high) = (self.travel.0.rad().0, self.travel.1.rad().0);
        let by = (low - turn).max(turn - high);
        if by <= ROUNDING { Ok(()) } else { Err(Blocked::Outside { by: Rad(by).deg() }) }
    }

    /// Limb turned with the arm; push and margin are those of the parallelogram.
    fn parallel<R: Real>(&self, arm: &Body<R>, offset: Deg, push: R, margin: R) -> Solved<R> {
        let w = Dir::degrees(offset);
        let (wx, wy) = (w.x(), w.y());
        let limb = Body {
            x: R::constant(self.pivot.x),
            y: R::constant(self.pivot.y),
            cos: arm.cos * wx - arm.sin * wy,
            sin: arm.cos * wy + arm.sin * wx,
        };
        Solved { limb, push, margin }
    }

    fn solve<R: Real>(&self, driver: &Body<R>) -> Result<Solved<R>, Blocked> {
        match self.link {
            ServoLink::Direct { offset } => {
                let (push, margin) = (R::constant(1.0), R::constant(f64::INFINITY));
                Ok(self.parallel(driver, offset, push, margin))
            }
            ServoLink::Parallelogram { shaft, arm, offset } => {
                let ground = self.pivot - shaft;
                let Some(along) = ground.dir() else { return Err(Blocked::DeadCentre) };
                let (gx, gy) = (along.x(), along.y());
                // The rod stays parallel to the ground line.
                let push = driver.sin * gx - driver.cos * gy;
                let cos = driver.cos * gx + driver.sin * gy;
                let (d, a) = (ground.length().0, arm.0);
                let square = R::constant(d * d + a * a) - cos * (2.0 * a * d);
                if square.value() <= 0.0 {
                    return Err(Blocked::DeadCentre);
                }
                let far = R::constant((d + a) * (d + a)) - square;
                let near = square - (d - a) * (d - a);
                let margin = if far.value() < near.value() { far } else { near };
                Ok(self.parallel(driver, offset, push, margin))
            }
            ServoLink::Rod(f) => f.group().close(driver, &Body::still(0.0, 0.0, Dir::EAST)),
        }
    }
}

impl Mechanism for Servo {
    fn kind(&self) -> Kind {
        Kind::Servo
    }

    fn position(&self, at: &Input<f64>) -> Result<Solved<f64>, Blocked> {
        self.inside(at.coordinate)?;
        match self.link {
            ServoLink::Rod(f) => f.group().pose(at),
            _ => self.solve(&at.driver),
        }
    }

    fn pins(&self, at: &Input<f64>, limb: &Body<f64>) -> Pins {
        match self.link {
            ServoLink::Rod(f) => f.pins_at(at, limb),
            ServoLink::Direct { .. } | ServoLink::Parallelogram { .. } => Pins::new(),
        }
    }

    fn thrust(&self, at: &Input<f64>, limb: &Body<f64>) -> Option<Thrust> {
        match self.link {
            ServoLink::Rod(f) => f.thrust(at, limb),
            ServoLink::Direct { .. } | ServoLink::Parallelogram { .. } => None,
        }
    }

    fn rod(&self) -> Option<[[f64; 2]; 2]> {
        match self.link {
            ServoLink::Rod(f) => f.rod(),
            ServoLink::Direct { .. } | ServoLink::Parallelogram { .. } => None,
        }
    }

    fn motion(&self, at: &Input<Jet>) -> Result<Solved<Jet>, Blocked> {
        self.inside(at.coordinate.v)?;
        self.solve(&at.driver)
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Assembly, Path, Shaft, Span};
    use super::*;

    fn travel(from: f64, to: f64) -> Span {
        Span::part(Deg(from).rad().0, Deg(to).rad().0)
    }

    #[test]
    fn direct_turns_with_the_arm_inside_its_travel() {
        let pivot = BoardPoint::mm(100.0, 900.0);
        let link = ServoLink::Direct { offset: Deg(90.0) };
        let servo = Servo { pivot, link, travel: (Deg(-45.0), Deg(45.0)) };
        let path = Shaft { at: pivot, span: travel(-45.0, 45.0) };
        let travel = servo.limits(&path).unwrap();
        let limits = travel.swing().unwrap();
        assert!((limits.low.0 - 45.0).abs() < 1e-9 && (limits.high.0 - 135.0).abs() < 1e-9);
        assert!((limits.most_speed - 1.0).abs() < 1e-12);
        let out = servo.position(&path.at(Deg(50.0).rad().0).unwrap());
        assert!(matches!(out, Err(Blocked::Outside { by }) if (by.0 - 5.0).abs() < 1e-9));
    }

    #[test]
    fn a_parallelogram_is_a_four_bar_with_equal_sides() {
        // Push angle 90 - 35 at the ends of +-35 degrees about square, by hand.
        let (shaft, pivot) = (BoardPoint::mm(0.0, 0.0), BoardPoint::mm(60.0, 0.0));
        let link = ServoLink::Parallelogram { shaft, arm: Mm(20.0), offset: Deg(0.0) };
        let servo = Servo { pivot, link, travel: (Deg(55.0), Deg(125.0)) };
        let path = Shaft { at: shaft, span: travel(55.0, 125.0) };
        let travel = servo.limits(&path).unwrap();
        let limits = travel.swing().unwrap();
        let push = Rad(libm::asin(limits.least_push)).deg();
        assert!((push.0 - 55.0).abs() < 1e-6, "{push:?}");
        // Crank pin to pivot, the lever pin lies to the right: crossed.
        let bars = (Mm(20.0), Mm(60.0), Mm(20.0));
        let same = FourBar::new((shaft, pivot), bars, Deg(0.0), Assembly::Open);
        let rod = Servo { link: ServoLink::Rod(same.unwrap()), ..servo };
        let crossed =
            FourBar::new((shaft, pivot), bars, Deg(0.0), Assembly::Crossed).map(ServoLink::Rod);
        let either = [rod, Servo { link: crossed.unwrap(), ..servo }];
        let want = servo.position(&path.at(1.3).unwrap()).unwrap();
        let agree = either.iter().filter(|s| {
            let got = s.position(&path.at(1.3).unwrap()).unwrap();
            got.limb.axis().dot(want.limb.axis()) > 1.0 - 1e-12
                && (got.push.abs() - want.push.abs()).abs() < 1e-12
                && (got.margin - want.margin).abs() < 1e-9 * want.margin
        });
        assert_eq!(agree.count(), 1);
    }
}
