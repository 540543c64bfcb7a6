//! A rod between two moving bodies: the group that closes almost every linkage.
//!
//! The rod's near end is a pin on the driver, its far end a pin on the limb's
//! lever, and the limb turns on a pivot carried by the host. Motor crank, servo
//! arm or another limb drive it alike; a forearm whose pivot rides on the upper
//! arm is the same code with another host.

use super::{Assembly, Blocked, Input, Kind, Mechanism, Solved};
use crate::geometry::{Body, Dir, Jet, Real};
use crate::units::Mm;

/// The rod group's sizes. Lengths are positive and finite by the constructors of
/// the mechanisms that own one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rod {
    /// The near pin in the driver: along its axis and left of it, mm.
    pub pin: [f64; 2],
    /// The limb's pivot in the host: along its axis and left of it, mm. The board
    /// is a host with its axis along +x.
    pub pivot: [f64; 2],
    /// Pin to pin.
    pub length: Mm,
    /// Limb pivot to far pin.
    pub lever: Mm,
    /// From the limb's axis to the lever, counter-clockwise.
    pub clamp: Dir,
    /// On which side the far pin lies.
    pub assembly: Assembly,
}

/// How near to a dead centre counts as being there: the square of the sine of
/// the push angle. Below it speeds would be made of rounding errors.
pub(super) const DEAD: f64 = 1e-20;
/// How far past a dead centre is forgiven as rounding when only a position is
/// asked for, same measure.
const FORGIVEN: f64 = 1e-13;

impl Rod {
    /// Closes the group: with `r` from pivot to near pin, the far pin is at
    /// `(k r +- q Jr)/r^2` from the pivot, `k = (r^2 + c^2 - b^2)/2`,
    /// `q = b c sin mu`, J a quarter turn. One root, and no angle.
    ///
    /// # Errors
    /// Where the bars do not close or stand in one line.
    pub fn close<R: Real>(&self, driver: &Body<R>, host: &Body<R>) -> Result<Solved<R>, Blocked> {
        let (b, c) = (self.length.0, self.lever.0);
        let (ax, ay) = driver.place(self.pin[0], self.pin[1]);
        let (px, py) = host.place(self.pivot[0], self.pivot[1]);
        let (rx, ry) = (ax - px, ay - py);
        let square = rx * rx + ry * ry;
        let num = |v: f64| R::constant(v);
        // Both factors vanish at a dead centre; kept apart they keep their digits.
        let room = num((b + c) * (b + c)) - square;
        let slack = square - num((b - c) * (b - c));
        let per_bc = 1.0 / (b * c);
        let sine = room * slack * num(0.25 * per_bc * per_bc);
        // Not numbers are stopped here too.
        let alive = sine.value() > DEAD;
        if !alive {
            return Err(self.obstacle(sine.value(), square.value()));
        }
        let push = sine.sqrt();
        let side = self.assembly.sign();
        let k = (square + num(c * c - b * b)) * num(0.5);
        let q = push * num(-side * b * c);
        let unit = num(b * per_bc) / square;
        let (lx, ly) = ((k * rx - q * ry) * unit, (k * ry + q * rx) * unit);
        let (wx, wy) = (num(self.clamp.x()), num(self.clamp.y()));
        Ok(Solved {
            limb: Body { x: px, y: py, cos: lx * wx + ly * wy, sin: ly * wx - lx * wy },
            push: push * num(side),
            margin: if room.value() < slack.value() { room } else { slack },
        })
    }

    /// What is in the way where the squared sine of the push angle is not positive.
    fn obstacle(&self, sine: f64, square: f64) -> Blocked {
        if sine >= -FORGIVEN {
            return Blocked::DeadCentre;
        }
        let (b, c) = (self.length.0, self.lever.0);
        let distance = square.sqrt();
        let gap = if distance > b + c { distance - b - c } else { distance - (b - c).abs() };
        // Too near: the rod is too long if it is the longer of the two bars.
        Blocked::Open { gap: Mm(if distance <= b + c && b < c { -gap } else { gap }) }
    }

    /// The pose with rod and lever in one line, where a position still exists.
    fn straight(&self, at: &Input<f64>) -> Option<Solved<f64>> {
        let (ax, ay) = at.driver.place(self.pin[0], self.pin[1]);
        let (x, y) = at.host.place(self.pivot[0], self.pivot[1]);
        let (b, c) = (self.length.0, self.lever.0);
        let square = (ax - x) * (ax - x) + (ay - y) * (ay - y);
        let toward = Dir::along(ax - x, ay - y)?;
        let lever = if square + c * c - b * b >= 0.0 { toward } else { toward.reversed() };
        let axis = lever.from(self.clamp);
        Some(Solved { limb: Body::still(x, y, axis), push: 0.0, margin: 0.0 })
    }

    /// The pose, dead centres included.
    pub(super) fn pose(&self, at: &Input<f64>) -> Result<Solved<f64>, Blocked> {
        match self.close(&at.driver, &at.host) {
            Err(Blocked::DeadCentre) => self.straight(at).ok_or(Blocked::DeadCentre),
            other => other,
        }
    }
}

impl Mechanism for Rod {
    fn kind(&self) -> Kind {
        Kind::FourBarFrom
    }

    fn position(&self, at: &Input<f64>) -> Result<Solved<f64>, Blocked> {
        self.pose(at)
    }

    fn motion(&self, at: &Input<Jet>) -> Result<Solved<Jet>, Blocked> {
        self.close(&at.driver, &at.host)
    }
}
