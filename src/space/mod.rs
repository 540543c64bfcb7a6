//! Space: what would touch, what shows, what stands behind what.
//!
//! One figure at a time from its fitted mechanisms; how figures stand to each other
//! in the yard is looked at once for all.

pub mod bisect;
mod bolts;
mod cams;
mod clash;
pub mod codes;
mod codes_stops;
pub mod distance;
mod elevation;
mod fingers;
mod ground;
mod held;
mod levers;
mod near;
mod ride;
mod shafts;
mod shows;
mod stack;
pub mod stops;
mod sums;
mod told;
mod track;
mod wheels;
mod yard;

pub use bolts::{BoltStack, BoltStep, OnBolt, TUBE, WASHER, bolt_of, bolt_stack, nut_height};
pub use clash::{By, Gap, Stands};
pub use elevation::{Drawn, Stand};
pub use fingers::{Catch, FINGER, HAND, Pinch};
pub use levers::{PivotBar, Slot, pivot_bar};
pub use near::Neighbour;
pub use shafts::mounting;
pub use stack::{
    BAR, BAR_HALF, Depth, Layer, ROD, Role, SPACER, bushing_end, nut_radius, on_shaft, standoff,
};
pub use yard::{Reach, reach, yard};

use std::sync::Arc;

use crate::finding::{Code, Finding};
use crate::fit::FittedFigure;
use crate::model::Note;

/// The codes this stage raises.
pub const CODES: &[&Code] = codes::ALL;

/// A figure with its room.
#[derive(Clone, Debug)]
pub struct SpacedFigure {
    /// Its limbs, in the figure's order.
    pub limbs: Vec<SpacedLimb>,
    /// Its parts in depth, front to back.
    pub stack: Vec<Layer>,
    /// The pairs of parts that share a depth and come near each other.
    pub gaps: Vec<Gap>,
    /// What its limbs pass at another depth.
    pub neighbours: Vec<Neighbour>,
    /// Where a hand may be caught.
    pub pinches: Vec<Pinch>,
    /// What comes out from behind the board.
    pub shown: Vec<Shown>,
    /// Its parts from the front, at both ends of their motion.
    pub elevation: Vec<Drawn>,
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
    /// What it can cover on its board; `None` where that is not known.
    pub covers: Option<Covers>,
    /// How far out it stands over the board somewhere on its way, mm on its arm and on its
    /// tail; `None` where that is not known, and for limbs that slide or ride.
    pub over_board: Option<[f64; 2]>,
}

/// Everything that a limb can cover on its board, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Covers {
    /// Least x.
    pub left: f64,
    /// Largest x.
    pub right: f64,
    /// Largest y.
    pub top: f64,
}

/// A part that comes out from behind the board.
#[derive(Clone, Debug, PartialEq)]
pub struct Shown {
    /// The limb it belongs to, or that its motor moves.
    pub limb: usize,
    /// What comes out.
    pub part: Role,
    /// How far beyond the board's edge, mm; for a limb as a whole the gap.
    pub by: f64,
    /// Where on its way.
    pub at: f64,
    /// What that counts.
    pub how: By,
    /// Whether nothing of it is behind the board any more.
    pub whole: bool,
}

/// The room a figure's parts have.
#[must_use]
pub fn space(fitted: &Arc<FittedFigure>) -> SpacedFigure {
    let mut stack = stack::Stack::of(fitted);
    let notes: Vec<_> = stack.assumed.drain(..).zip(stack.not_checked.drain(..)).collect();
    let notes = notes.into_iter();
    let boxes: Vec<_> = stack.parts.iter().map(clash::swept).collect();
    let over = near::over_board(fitted, &stack);
    let limb = |(index, ((assumed, not_checked), over_board))| SpacedLimb {
        assumed,
        not_checked,
        covers: ground::covers(fitted, index),
        over_board,
    };
    let limbs = notes.zip(over).enumerate().map(limb).collect();
    let mut spaced = SpacedFigure {
        limbs,
        stack: stack.layers(),
        gaps: clash::gaps(fitted, &stack, &boxes),
        neighbours: near::neighbours(fitted, &stack, &boxes),
        pinches: Vec::new(),
        shown: Vec::new(),
        elevation: elevation::elevation(fitted, &stack),
        findings: Vec::new(),
    };
    told::Told { fitted, stack: &stack, to: &mut spaced }.all(&boxes);
    spaced
}
