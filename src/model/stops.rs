//! Mechanical stops of a limb.

use crate::units::{Deg, Mm};

/// Blocks that hold a limb at either end, by the place it then stands at, the lower first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Stops {
    /// The direction of its axis.
    Turned(Deg, Deg),
    /// So far along its slide.
    Slid(Mm, Mm),
}
