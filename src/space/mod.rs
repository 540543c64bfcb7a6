//! Space: what would touch, what shows, what stands behind what.
//!
//! One figure at a time from its fitted mechanisms; how figures stand to each other
//! in the yard is looked at once for all.

pub mod bisect;
pub mod distance;

use std::sync::Arc;

use crate::finding::{Code, Finding};
use crate::fit::FittedFigure;
use crate::model::{Note, Yard};

/// The codes this stage raises.
pub const CODES: &[&Code] = &[];

/// A figure with its room.
#[derive(Clone, Debug)]
pub struct SpacedFigure {
    /// Its limbs, in the figure's order.
    pub limbs: Vec<SpacedLimb>,
    /// What was found wrong.
    pub findings: Vec<Finding>,
}

/// A limb with its room.
#[derive(Clone, Debug, Default)]
pub struct SpacedLimb {
    /// What was assumed here.
    pub assumed: Vec<Note>,
    /// What could not be checked here.
    pub not_checked: Vec<Note>,
}

/// The room a figure's parts have.
#[must_use]
pub fn space(fitted: &Arc<FittedFigure>) -> SpacedFigure {
    SpacedFigure { limbs: vec![SpacedLimb::default(); fitted.limbs.len()], findings: Vec::new() }
}

/// How the figures stand to each other and to the viewers.
#[must_use]
pub fn yard(_yard: &Yard, _fitted: &[Arc<FittedFigure>]) -> Vec<Finding> {
    Vec::new()
}
