//! From pairs of millimetres to points and outlines.

use crate::geometry::{Board, BoardPoint, Outline, YardPoint};

/// A point on the board.
pub(super) fn board((x, y): (f64, f64)) -> BoardPoint {
    BoardPoint::mm(x, y)
}

/// A point in the yard.
pub(super) fn yard((x, y): (f64, f64)) -> YardPoint {
    YardPoint::mm(x, y)
}

/// An outline changed corner by corner.
pub(super) fn moved(
    outline: &Outline<Board>,
    by: impl Fn(BoardPoint) -> BoardPoint,
) -> Option<Outline<Board>> {
    Outline::new(outline.corners().iter().map(|&p| by(p)).collect())
}
