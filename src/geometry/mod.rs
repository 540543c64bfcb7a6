//! Points, directions, poses and roots on intervals.

use std::marker::PhantomData;

/// The board's plane seen from the front: x right, y up, y = 0 the ground.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default)]
pub struct Board;
/// The yard from above: x east, y north.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default)]
pub struct Yard;

/// A point in mm.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd, Default)]
pub struct Point<S> {
    /// mm
    pub x: f64,
    /// mm
    pub y: f64,
    space: PhantomData<S>,
}
impl<S> Point<S> {
    /// From coordinates in mm.
    pub const fn new(x: f64, y: f64) -> Self {
        Self { x, y, space: PhantomData }
    }
}
/// On a figure's board.
pub type BoardPoint = Point<Board>;
/// In the yard.
pub type YardPoint = Point<Yard>;

/// A closed polygon on the board.
#[derive(Clone, Debug, PartialEq, Default)]
pub struct Outline {
    /// Corners in order.
    pub points: Vec<BoardPoint>,
}
