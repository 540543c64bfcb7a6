//! Directions as unit vectors.
//!
//! A direction is not an angle: it turns and compares by + - x / and a square
//! root, gives the same bits on every machine, and vectorises. Angles are made
//! only when something is read or reported.

use crate::units::{Deg, Rad};

/// A unit vector: a direction in a plane, or the turn from +x to it.
#[derive(Clone, Copy, Debug, PartialEq)]
#[repr(C)]
pub struct Dir {
    x: f64,
    y: f64,
}

impl Dir {
    /// +x, and the turn by nothing.
    pub const EAST: Self = Self { x: 1.0, y: 0.0 };
    /// +y: a quarter turn counter-clockwise.
    pub const NORTH: Self = Self { x: 0.0, y: 1.0 };
    /// -x: half a turn.
    pub const WEST: Self = Self { x: -1.0, y: 0.0 };
    /// -y.
    pub const SOUTH: Self = Self { x: 0.0, y: -1.0 };

    /// The direction at an angle, exact at multiples of 90 degrees and equal in
    /// its bits at angles a whole turn apart. An angle that is not finite gives
    /// [`Dir::EAST`].
    #[must_use]
    pub fn degrees(angle: Deg) -> Self {
        if !angle.0.is_finite() {
            return Self::EAST;
        }
        let turned = angle.0 % 360.0;
        let quarter = libm::floor(turned / 90.0 + 0.5);
        // Within 45 degrees of an axis; the subtraction is exact.
        let (y, x) = libm::sincos(Deg(turned - quarter * 90.0).rad().0);
        match (quarter as i64).rem_euclid(4) {
            0 => Self { x, y },
            1 => Self { x: -y + 0.0, y: x },
            2 => Self { x: -x, y: -y + 0.0 },
            _ => Self { x: y + 0.0, y: -x },
        }
    }

    /// The direction at an angle in radians; not finite gives [`Dir::EAST`].
    #[must_use]
    pub fn radians(angle: Rad) -> Self {
        if !angle.0.is_finite() {
            return Self::EAST;
        }
        let (y, x) = libm::sincos(angle.0);
        Self { x, y }
    }

    /// The direction of `(x, y)`; `None` where both are nought or one is not
    /// finite.
    #[must_use]
    pub fn along(x: f64, y: f64) -> Option<Self> {
        let big = x.abs().max(y.abs());
        if !(big > 0.0 && x.is_finite() && y.is_finite()) {
            return None;
        }
        // Scaled first: neither tiny nor huge vectors lose their direction.
        let (x, y) = (x / big, y / big);
        let n = (x * x + y * y).sqrt();
        Some(Self { x: x / n, y: y / n })
    }

    /// Made from components that are already of unit length by construction.
    #[inline]
    pub(crate) const fn unit(x: f64, y: f64) -> Self {
        Self { x, y }
    }

    /// Cosine of its angle.
    #[must_use]
    #[inline]
    pub const fn x(self) -> f64 {
        self.x
    }

    /// Sine of its angle.
    #[must_use]
    #[inline]
    pub const fn y(self) -> f64 {
        self.y
    }

    /// Turned on by `by`: the angles add.
    #[must_use]
    #[inline]
    pub fn turned(self, by: Self) -> Self {
        Self { x: self.x * by.x - self.y * by.y, y: self.x * by.y + self.y * by.x }
    }

    /// The turn that undoes this one: the angle with the other sign.
    #[must_use]
    #[inline]
    pub fn inverse(self) -> Self {
        Self { x: self.x, y: -self.y }
    }

    /// The opposite direction.
    #[must_use]
    #[inline]
    pub fn reversed(self) -> Self {
        Self { x: -self.x, y: -self.y }
    }

    /// The turn that leads from `from` to this direction.
    #[must_use]
    #[inline]
    pub fn from(self, from: Self) -> Self {
        self.turned(from.inverse())
    }

    /// Cosine of the angle to another direction.
    #[must_use]
    #[inline]
    pub fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y
    }

    /// Sine of the angle to another direction, positive to the left.
    #[must_use]
    #[inline]
    pub fn cross(self, other: Self) -> f64 {
        self.x * other.y - self.y * other.x
    }

    /// The angle in (-pi, pi].
    #[must_use]
    pub fn angle(self) -> Rad {
        // + 0.0 turns -0 into 0, which would give -pi for west.
        Rad(libm::atan2(self.y + 0.0, self.x))
    }

    /// The angle in (-180, 180] degrees, for reports.
    #[must_use]
    pub fn deg(self) -> Deg {
        let d = self.angle().deg();
        // The last rounding may pass half a turn by a bit.
        if d.0 <= -180.0 { Deg(180.0) } else { d.min(Deg(180.0)) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn quarter_turns_are_exact() {
        for (k, want) in [Dir::EAST, Dir::NORTH, Dir::WEST, Dir::SOUTH].into_iter().enumerate() {
            for turns in -3..=3 {
                let got = Dir::degrees(Deg(k as f64 * 90.0 + f64::from(turns) * 360.0));
                assert_eq!(got, want, "{k} quarters, {turns} turns");
                assert!(!(got.x == 0.0 && got.x.is_sign_negative()), "no -0");
            }
        }
    }

    #[test]
    fn degrees_come_back() {
        for i in -1799..=1800 {
            let a = f64::from(i) / 10.0;
            let back = Dir::degrees(Deg(a)).deg().0;
            assert!((back - a).abs() < 1e-12, "{a} came back as {back}");
        }
    }

    #[test]
    fn turning_adds_and_undoes() {
        let (a, b) = (Dir::degrees(Deg(200.0)), Dir::degrees(Deg(230.0)));
        assert!((a.turned(b).deg().0 - 70.0).abs() < 1e-12);
        assert!((b.from(a).deg().0 - 30.0).abs() < 1e-12);
        assert_eq!(Dir::along(0.0, 0.0), None);
        assert_eq!(Dir::along(f64::NAN, 1.0), None);
        assert_eq!(Dir::along(1e-300, 0.0), Some(Dir::EAST));
    }
}
