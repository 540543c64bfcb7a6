//! Points, directions, jets, outlines and roots on intervals.
//!
//! Conventions, for the whole program: the board is seen from the front, x runs
//! to the viewer's right, y up, lengths in millimetres; the yard is seen from
//! above, x east, y north. Angles are counter-clockwise from +x. Points of
//! different planes are different types and do not mix.

mod dir;
mod jet;
mod outline;
mod point;
mod roots;
mod tilt;

pub use dir::Dir;
pub use jet::{Body, Jet, Real};
pub use outline::{Bounds, Outline, Transform};
pub use point::{Board, BoardPoint, OnLimb, Point, Vector, Yard, YardPoint};
pub use roots::{Bracket, highest, least, root};
pub use tilt::cosines;
