//! A value with its first two derivatives, and moving bodies made of them.

use std::ops::{Add, Div, Mul, Neg, Sub};

use super::Dir;

/// What a mechanism's formulas are written over: numbers, or [`Jet`]s that carry
/// derivatives along. Only + - x / and the square root; sizes stand in them as plain
/// numbers, which have no derivatives to carry.
pub trait Real:
    Copy
    + Add<Output = Self>
    + Sub<Output = Self>
    + Mul<Output = Self>
    + Div<Output = Self>
    + Neg<Output = Self>
    + Add<f64, Output = Self>
    + Sub<f64, Output = Self>
    + Mul<f64, Output = Self>
{
    /// A constant.
    fn constant(v: f64) -> Self;
    /// The value alone.
    fn value(self) -> f64;
    /// The square root of a positive number.
    fn sqrt(self) -> Self;
}

impl Real for f64 {
    #[inline]
    fn constant(v: f64) -> Self {
        v
    }
    #[inline]
    fn value(self) -> f64 {
        self
    }
    #[inline]
    fn sqrt(self) -> Self {
        self.sqrt()
    }
}

/// A value and its first two derivatives by one coordinate, usually the turn of
/// a motor in radians.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Jet {
    /// The value.
    pub v: f64,
    /// The first derivative.
    pub d: f64,
    /// The second derivative.
    pub dd: f64,
}

impl Jet {
    /// The coordinate itself at `v`.
    #[must_use]
    #[inline]
    pub const fn variable(v: f64) -> Self {
        Self { v, d: 1.0, dd: 0.0 }
    }
}

impl Add for Jet {
    type Output = Self;
    #[inline]
    fn add(self, o: Self) -> Self {
        Self { v: self.v + o.v, d: self.d + o.d, dd: self.dd + o.dd }
    }
}
impl Sub for Jet {
    type Output = Self;
    #[inline]
    fn sub(self, o: Self) -> Self {
        Self { v: self.v - o.v, d: self.d - o.d, dd: self.dd - o.dd }
    }
}
impl Neg for Jet {
    type Output = Self;
    #[inline]
    fn neg(self) -> Self {
        Self { v: -self.v, d: -self.d, dd: -self.dd }
    }
}
impl Mul for Jet {
    type Output = Self;
    #[inline]
    fn mul(self, o: Self) -> Self {
        Self {
            v: self.v * o.v,
            d: self.d * o.v + self.v * o.d,
            dd: self.dd * o.v + 2.0 * self.d * o.d + self.v * o.dd,
        }
    }
}
impl Div for Jet {
    type Output = Self;
    #[inline]
    fn div(self, o: Self) -> Self {
        let (v, per) = (self.v / o.v, 1.0 / o.v);
        let d = (self.d - v * o.d) * per;
        Self { v, d, dd: (self.dd - 2.0 * d * o.d - v * o.dd) * per }
    }
}

impl Add<f64> for Jet {
    type Output = Self;
    #[inline]
    fn add(self, k: f64) -> Self {
        Self { v: self.v + k, ..self }
    }
}
impl Sub<f64> for Jet {
    type Output = Self;
    #[inline]
    fn sub(self, k: f64) -> Self {
        Self { v: self.v - k, ..self }
    }
}
impl Mul<f64> for Jet {
    type Output = Self;
    #[inline]
    fn mul(self, k: f64) -> Self {
        Self { v: self.v * k, d: self.d * k, dd: self.dd * k }
    }
}

impl Real for Jet {
    #[inline]
    fn constant(v: f64) -> Self {
        Self { v, d: 0.0, dd: 0.0 }
    }
    #[inline]
    fn value(self) -> f64 {
        self.v
    }
    #[inline]
    fn sqrt(self) -> Self {
        let v = self.v.sqrt();
        let per = 0.5 / v;
        let d = self.d * per;
        Self { v, d, dd: (self.dd - 2.0 * d * d) * per }
    }
}

/// Where a rigid body is: the place of its origin and the direction of its axis.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Body<R> {
    /// x of the origin on the board, mm.
    pub x: R,
    /// y of the origin on the board, mm.
    pub y: R,
    /// Cosine of the axis.
    pub cos: R,
    /// Sine of the axis.
    pub sin: R,
}

impl<R: Real> Body<R> {
    /// A body that does not move: the board is `Body::still(0.0, 0.0, Dir::EAST)`.
    #[must_use]
    #[inline]
    pub fn still(x: f64, y: f64, axis: Dir) -> Self {
        Self {
            x: R::constant(x),
            y: R::constant(y),
            cos: R::constant(axis.x()),
            sin: R::constant(axis.y()),
        }
    }

    /// Where a point fixed in the body is on the board: `along` its axis and
    /// `left` of it, mm.
    #[must_use]
    #[inline]
    pub fn place(&self, along: f64, left: f64) -> (R, R) {
        (self.x + self.cos * along - self.sin * left, self.y + self.sin * along + self.cos * left)
    }
}

impl Body<f64> {
    /// The direction of the axis.
    #[must_use]
    #[inline]
    pub fn axis(&self) -> Dir {
        Dir::unit(self.cos, self.sin)
    }
}

impl Body<Jet> {
    /// A body turning about its own fixed origin with the coordinate: at
    /// direction `axis`, one radian per radian times `ratio`.
    #[must_use]
    #[inline]
    pub fn turning(x: f64, y: f64, axis: Dir, ratio: f64) -> Self {
        let (c, s) = (axis.x(), axis.y());
        Self {
            x: Jet::constant(x),
            y: Jet::constant(y),
            cos: Jet { v: c, d: -s * ratio, dd: -c * ratio * ratio },
            sin: Jet { v: s, d: c * ratio, dd: -s * ratio * ratio },
        }
    }

    /// Derivatives of the axis's angle by the coordinate: first (rad per unit)
    /// and second.
    #[must_use]
    #[inline]
    pub fn turn_rates(&self) -> (f64, f64) {
        let (c, s) = (self.cos, self.sin);
        (c.v * s.d - s.v * c.d, c.v * s.dd - s.v * c.dd)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn derivatives_agree_with_differences() {
        let f = |x: Jet| (x * x + 3.0).sqrt() / (x - 7.0) * 2.0;
        let (at, h) = (1.3, 1e-4);
        let [l, m, r] = [at - h, at, at + h].map(|x| f(Jet::variable(x)));
        assert!((m.d - (r.v - l.v) / (2.0 * h)).abs() < 1e-8);
        assert!((m.dd - (r.v - 2.0 * m.v + l.v) / (h * h)).abs() < 1e-6);
    }

    #[test]
    fn a_turning_body_turns_at_its_ratio() {
        let b = Body::turning(1.0, 2.0, Dir::degrees(crate::units::Deg(33.0)), -2.5);
        let (first, second) = b.turn_rates();
        assert!((first + 2.5).abs() < 1e-12 && second.abs() < 1e-12);
    }
}
