//! A rod between two moving bodies: the group that closes almost every linkage.
//!
//! The rod's near end is a pin on the driver, its far end a pin on the limb's
//! lever, and the limb turns on a pivot carried by the host. Motor crank, servo
//! arm or another limb drive it alike; a forearm whose pivot rides on the upper
//! arm is the same code with another host.

use std::ops::{Add, Mul, Sub};

use super::{Assembly, Blocked, Input, Kind, Mechanism, Pins, Solved, Thrust};
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

/// What the triangle near pin, far pin, pivot needs to know of rod b and lever c.
/// The rod may grow as it goes: a ram, or the free end of a cord. One that does not is
/// told in plain numbers, so that nothing is spent on derivatives that are nought.
pub(super) struct Sides<B> {
    /// (b + c)^2 and (b - c)^2.
    far: B,
    near: B,
    /// c^2 - b^2.
    excess: B,
    /// b c.
    product: B,
    /// 1/(2 b c)^2.
    per_square: B,
    /// 1/c.
    per_lever: f64,
}

/// A triangle that does not close: the squared sine of the push angle, not
/// positive, and the squared distance from near pin to pivot.
pub(super) struct Short {
    sine: f64,
    square: f64,
}

impl<R: Real> Sides<R> {
    /// With a rod that moves; the lever in mm.
    #[inline]
    pub(super) fn growing(b: R, c: f64) -> Self {
        let (sum, difference, product) = (b + c, b - c, b * c);
        Self {
            far: sum * sum,
            near: difference * difference,
            excess: R::constant(c * c) - b * b,
            product,
            per_square: R::constant(0.25) / (product * product),
            per_lever: 1.0 / c,
        }
    }
}

impl<B: Copy + Mul<f64, Output = B>> Sides<B> {
    /// With `r` from pivot to near pin, the far pin is at `(k r +- q Jr)/r^2` from
    /// the pivot, `k = (r^2 + c^2 - b^2)/2`, `q = b c sin mu`, J a quarter turn.
    /// One root, and no angle.
    #[inline]
    pub(super) fn close<R>(
        &self,
        (ax, ay): (R, R),
        (px, py): (R, R),
        clamp: Dir,
        assembly: Assembly,
    ) -> Result<Solved<R>, Short>
    where
        R: Real + Add<B, Output = R> + Sub<B, Output = R> + Mul<B, Output = R>,
    {
        let (rx, ry) = (ax - px, ay - py);
        let square = rx * rx + ry * ry;
        // Both factors vanish at a dead centre; kept apart they keep their digits.
        let room = -(square - self.far);
        let slack = square - self.near;
        let sine = room * slack * self.per_square;
        // Not numbers are stopped here too.
        let alive = sine.value() > DEAD;
        if !alive {
            return Err(Short { sine: sine.value(), square: square.value() });
        }
        let push = sine.sqrt();
        let side = assembly.sign();
        let k = (square + self.excess) * 0.5;
        let q = push * (self.product * -side);
        let unit = R::constant(self.per_lever) / square;
        let (lx, ly) = ((k * rx - q * ry) * unit, (k * ry + q * rx) * unit);
        let (wx, wy) = (clamp.x(), clamp.y());
        Ok(Solved {
            limb: Body { x: px, y: py, cos: lx * wx + ly * wy, sin: ly * wx - lx * wy },
            push: push * side,
            margin: if room.value() < slack.value() { room } else { slack },
        })
    }
}

impl Short {
    /// What is in the way, for rod b and lever c.
    pub(super) fn blocked(&self, b: f64, c: f64) -> Blocked {
        if self.sine >= -FORGIVEN {
            return Blocked::DeadCentre;
        }
        let distance = self.square.sqrt();
        let gap = if distance > b + c { distance - b - c } else { distance - (b - c).abs() };
        // Too near: the rod is too long if it is the longer of the two bars.
        Blocked::Open { gap: Mm(if distance <= b + c && b < c { -gap } else { gap }) }
    }
}

/// The pose with rod b and lever c in one line, where a position still exists.
pub(super) fn straight(
    (ax, ay): (f64, f64),
    (x, y): (f64, f64),
    (b, c): (f64, f64),
    clamp: Dir,
) -> Option<Solved<f64>> {
    let square = (ax - x) * (ax - x) + (ay - y) * (ay - y);
    let toward = Dir::along(ax - x, ay - y)?;
    let lever = if square + c * c - b * b >= 0.0 { toward } else { toward.reversed() };
    Some(Solved { limb: Body::still(x, y, lever.from(clamp)), push: 0.0, margin: 0.0 })
}

impl Rod {
    /// Closes the group.
    ///
    /// # Errors
    /// Where the bars do not close or stand in one line.
    pub fn close<R: Real>(&self, driver: &Body<R>, host: &Body<R>) -> Result<Solved<R>, Blocked> {
        let (b, c) = (self.length.0, self.lever.0);
        let per_bc = 1.0 / (b * c);
        let sides = Sides {
            far: (b + c) * (b + c),
            near: (b - c) * (b - c),
            excess: c * c - b * b,
            product: b * c,
            per_square: 0.25 * per_bc * per_bc,
            per_lever: b * per_bc,
        };
        let near = driver.place(self.pin[0], self.pin[1]);
        let pivot = host.place(self.pivot[0], self.pivot[1]);
        let close = sides.close(near, pivot, self.clamp, self.assembly);
        close.map_err(|short| short.blocked(b, c))
    }

    /// The pose, dead centres included.
    pub(super) fn pose(&self, at: &Input<f64>) -> Result<Solved<f64>, Blocked> {
        match self.close(&at.driver, &at.host) {
            Err(Blocked::DeadCentre) => {
                let near = at.driver.place(self.pin[0], self.pin[1]);
                let pivot = at.host.place(self.pivot[0], self.pivot[1]);
                straight(near, pivot, (self.length.0, self.lever.0), self.clamp)
                    .ok_or(Blocked::DeadCentre)
            }
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

    fn pins(&self, at: &Input<f64>, limb: &Body<f64>) -> Pins {
        self.pins_at(at, limb)
    }

    fn thrust(&self, at: &Input<f64>, limb: &Body<f64>) -> Option<Thrust> {
        self.thrust_on(&at.driver, limb)
    }

    fn rod(&self) -> Option<[[f64; 2]; 2]> {
        Some(self.ends())
    }

    fn motion(&self, at: &Input<Jet>) -> Result<Solved<Jet>, Blocked> {
        self.close(&at.driver, &at.host)
    }

    fn assembly(&self) -> Option<Assembly> {
        Some(self.assembly)
    }
}
