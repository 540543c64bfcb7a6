//! Points and vectors that know the plane they lie in.

use std::marker::PhantomData;

use super::Dir;
use crate::units::Mm;

/// The plane of one figure's board, seen from the front; y = 0 is the ground.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Board;

/// The yard seen from above; the origin is its south-west corner.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Yard;

/// The plane of one limb, moving with it: the origin is its pivot (on a slide: the
/// guide's first end), x runs along its axis.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct OnLimb;

/// A place in the plane `S`, coordinates in millimetres.
///
/// Point minus point is a [`Vector`]; point plus point does not compile: add a
/// vector, or use [`Point::toward`] for what lies between two points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Point<S> {
    /// To the right (board) or east (yard), mm.
    pub x: f64,
    /// Up (board) or north (yard), mm.
    pub y: f64,
    plane: PhantomData<S>,
}

/// A displacement in the plane `S`, components in millimetres.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Vector<S> {
    /// Component along +x, mm.
    pub x: f64,
    /// Component along +y, mm.
    pub y: f64,
    plane: PhantomData<S>,
}

/// A point on a figure's board.
pub type BoardPoint = Point<Board>;
/// A point in the yard.
pub type YardPoint = Point<Yard>;

impl<S> Point<S> {
    /// The point at these coordinates.
    #[must_use]
    pub const fn new(x: Mm, y: Mm) -> Self {
        Self { x: x.0, y: y.0, plane: PhantomData }
    }

    /// The point at these coordinates in millimetres.
    #[must_use]
    pub const fn mm(x: f64, y: f64) -> Self {
        Self { x, y, plane: PhantomData }
    }
}

impl<S: Copy> Point<S> {
    /// The origin of the plane.
    #[must_use]
    pub const fn origin() -> Self {
        Self::mm(0.0, 0.0)
    }

    /// The straight distance to another point.
    #[must_use]
    pub fn distance(self, other: Self) -> Mm {
        (other - self).length()
    }

    /// The point a share of the way to another: 0 is here, 1 is there.
    #[must_use]
    pub fn toward(self, other: Self, share: f64) -> Self {
        self + (other - self) * share
    }

    /// Mirrored about the vertical line at `x`.
    #[must_use]
    pub fn mirrored(self, x: Mm) -> Self {
        Self::mm(2.0 * x.0 - self.x, self.y)
    }
}

impl<S: Copy> Vector<S> {
    /// The displacement with these components in millimetres.
    #[must_use]
    pub const fn mm(x: f64, y: f64) -> Self {
        Self { x, y, plane: PhantomData }
    }

    /// `length` along `dir`.
    #[must_use]
    pub fn polar(length: Mm, dir: Dir) -> Self {
        Self::mm(length.0 * dir.x(), length.0 * dir.y())
    }

    /// Its length, without overflow or underflow.
    #[must_use]
    pub fn length(self) -> Mm {
        Mm(libm::hypot(self.x, self.y))
    }

    /// Its direction; `None` for a vector of no length or that is not finite.
    #[must_use]
    pub fn dir(self) -> Option<Dir> {
        Dir::along(self.x, self.y)
    }

    /// Scalar product, mm2.
    #[must_use]
    pub fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y
    }

    /// z of the vector product, mm2: positive where `other` lies to the left.
    #[must_use]
    pub fn cross(self, other: Self) -> f64 {
        self.x * other.y - self.y * other.x
    }

    /// Turned by `by`, counter-clockwise.
    #[must_use]
    pub fn turned(self, by: Dir) -> Self {
        Self::mm(self.x * by.x() - self.y * by.y(), self.x * by.y() + self.y * by.x())
    }
}

impl<S: Copy> std::ops::Sub for Point<S> {
    type Output = Vector<S>;
    fn sub(self, o: Self) -> Vector<S> {
        Vector::mm(self.x - o.x, self.y - o.y)
    }
}
impl<S: Copy> std::ops::Add<Vector<S>> for Point<S> {
    type Output = Self;
    fn add(self, v: Vector<S>) -> Self {
        Self::mm(self.x + v.x, self.y + v.y)
    }
}
impl<S: Copy> std::ops::Sub<Vector<S>> for Point<S> {
    type Output = Self;
    fn sub(self, v: Vector<S>) -> Self {
        Self::mm(self.x - v.x, self.y - v.y)
    }
}
impl<S: Copy> std::ops::Add for Vector<S> {
    type Output = Self;
    fn add(self, o: Self) -> Self {
        Self::mm(self.x + o.x, self.y + o.y)
    }
}
impl<S: Copy> std::ops::Sub for Vector<S> {
    type Output = Self;
    fn sub(self, o: Self) -> Self {
        Self::mm(self.x - o.x, self.y - o.y)
    }
}
impl<S: Copy> std::ops::Neg for Vector<S> {
    type Output = Self;
    fn neg(self) -> Self {
        Self::mm(-self.x, -self.y)
    }
}
impl<S: Copy> std::ops::Mul<f64> for Vector<S> {
    type Output = Self;
    fn mul(self, k: f64) -> Self {
        Self::mm(self.x * k, self.y * k)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_vector_leads_from_point_to_point() {
        let (a, b) = (BoardPoint::mm(10.0, 20.0), BoardPoint::mm(13.0, 24.0));
        assert_eq!((b - a).length(), Mm(5.0));
        assert_eq!(a + (b - a), b);
        assert_eq!(a.toward(b, 0.5), BoardPoint::mm(11.5, 22.0));
        assert_eq!(a.mirrored(Mm(310.0)).mirrored(Mm(310.0)), a);
    }

    #[test]
    fn left_is_positive() {
        let east = Vector::<Board>::mm(2.0, 0.0);
        let north = Vector::<Board>::mm(0.0, 3.0);
        assert_eq!(east.cross(north), 6.0);
        assert_eq!(east.turned(Dir::NORTH), Vector::mm(0.0, 2.0));
    }
}
