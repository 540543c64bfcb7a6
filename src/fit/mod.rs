//! Fit: the model with every open length found and every mechanism analysed.
//!
//! Timing, checks and outputs read a figure's mechanisms here and nowhere else.

use std::sync::Arc;

use crate::finding::Finding;
use crate::mechanism::FourBar;
use crate::model::{Figure, Note};
use crate::units::{Deg, Rpm};

/// A figure with its mechanisms solved and analysed.
#[derive(Clone, Debug)]
pub struct FittedFigure {
    /// The figure.
    pub figure: Arc<Figure>,
    /// Its limbs, in the figure's order.
    pub limbs: Vec<FittedLimb>,
    /// What was found wrong.
    pub findings: Vec<Finding>,
}

/// A limb with its mechanism.
#[derive(Clone, Debug)]
pub struct FittedLimb {
    /// The mechanism; `None` where there is none, it is not computed yet, or it
    /// has an error (reported).
    pub mechanism: Option<Fitted>,
    /// Everything assumed for it, the model's notes first.
    pub assumed: Vec<Note>,
    /// Everything not checked, the model's notes first.
    pub not_checked: Vec<Note>,
}

/// A solved mechanism.
#[derive(Clone, Debug)]
pub enum Fitted {
    /// Crank, rod, lever.
    FourBar(Box<FittedFourBar>),
    /// Servo.
    Servo(FittedServo),
    /// Continuous turning.
    Spin(FittedSpin),
}

/// A four-bar: exact, and as drilled.
#[derive(Clone, Debug)]
pub struct FittedFourBar {
    /// With exact sizes: what the JSON contract carries.
    pub exact: FourBar,
    /// As drilled: sizes rounded to what a maker marks out; people see its swing.
    pub drilled: FourBar,
    /// Which of crank, rod, lever, clamp were left open and found here.
    pub solved: Vec<&'static str>,
    /// The crank pin's angle after the shared motor's first pin.
    pub pin: Deg,
}

/// A servo and the limb angles it can reach.
#[derive(Clone, Debug)]
pub struct FittedServo {
    /// Arm, rod and lever; `None` for a limb straight on the shaft.
    pub linkage: Option<FourBar>,
    /// Least limb angle.
    pub low: Deg,
    /// Largest limb angle.
    pub high: Deg,
    /// Fastest limb speed without load, where the servo's speed is known.
    pub fastest: Option<Rpm>,
}

/// Continuous turning.
#[derive(Clone, Debug)]
pub struct FittedSpin {
    /// Limb turns per motor turn, negative where it reverses.
    pub ratio: f64,
}
