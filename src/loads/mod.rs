//! Loads: what each limb weighs, what its motor must bear, what the wind does to it.
//!
//! One figure at a time, from its fitted mechanisms and the [`Site`] it stands on.

pub mod cable;
mod curve;
pub mod mass;
pub mod motor;
pub mod site;

pub use curve::TorqueCurve;
pub use mass::{Grade, MassProperties};
pub use motor::MotorPoint;
pub use site::{Feed, Site};

use std::sync::Arc;

use crate::finding::{Code, Finding};
use crate::fit::FittedFigure;
use crate::model::Note;

/// The codes this stage raises.
pub const CODES: &[&Code] = motor::codes::CODES;

/// A figure with its loads.
#[derive(Clone, Debug)]
pub struct LoadedFigure {
    /// What the yard gives the figure.
    pub site: Site,
    /// Its limbs, in the figure's order.
    pub limbs: Vec<LoadedLimb>,
    /// Its motors, in the figure's order.
    pub motors: Vec<MotorPoint>,
    /// What was found wrong.
    pub findings: Vec<Finding>,
}

/// A limb with its loads.
#[derive(Clone, Debug, Default)]
pub struct LoadedLimb {
    /// What it weighs; `None` where its shape or sheet is not known.
    pub mass: Option<MassProperties>,
    /// What was assumed here.
    pub assumed: Vec<Note>,
    /// What could not be checked here.
    pub not_checked: Vec<Note>,
}

/// One figure at work: its data and where its results go.
pub(crate) struct Bench<'a> {
    /// The figure with its mechanisms.
    pub fitted: &'a FittedFigure,
    /// What the yard gives it.
    pub site: &'a Site,
    /// What was found wrong.
    pub findings: Vec<Finding>,
    /// The results, limb by limb.
    pub limbs: Vec<LoadedLimb>,
    /// The results, motor by motor.
    pub motors: Vec<MotorPoint>,
}

/// The loads of a figure.
#[must_use]
pub fn load(fitted: &Arc<FittedFigure>, site: &Site) -> LoadedFigure {
    let limbs = vec![LoadedLimb::default(); fitted.limbs.len()];
    let mut bench = Bench { fitted, site, findings: Vec::new(), limbs, motors: Vec::new() };
    bench.weigh();
    bench.motors(&[]);
    let Bench { findings, limbs, motors, .. } = bench;
    LoadedFigure { site: site.clone(), limbs, motors, findings }
}
