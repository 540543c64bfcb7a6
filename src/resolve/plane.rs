//! From pairs of millimetres to points and outlines.

use crate::geometry::{BoardPoint, Outline, YardPoint};

/// A point on the board.
pub(super) fn board((x, y): (f64, f64)) -> BoardPoint {
    BoardPoint::new(x, y)
}

/// A point in the yard.
pub(super) fn yard((x, y): (f64, f64)) -> YardPoint {
    YardPoint::new(x, y)
}

/// A closed outline; `None` for fewer than three corners.
pub(super) fn outline(points: Vec<BoardPoint>) -> Option<Outline> {
    (points.len() >= 3).then_some(Outline { points })
}

/// The corners of an outline.
pub(super) fn corners(outline: &Outline) -> &[BoardPoint] {
    &outline.points
}

/// The straight distance of two points on the board, mm.
pub(super) fn distance(a: BoardPoint, b: BoardPoint) -> f64 {
    libm::hypot(b.x - a.x, b.y - a.y)
}
