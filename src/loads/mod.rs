//! Loads: what each limb weighs, what its motor must bear, what the wind does to it.
//!
//! One figure at a time, from its fitted mechanisms and the [`Site`] it stands on.

pub mod cable;
mod codes_mass;
mod codes_wear;
pub mod counterweight;
mod curve;
pub mod cycle;
pub mod gust;
pub mod mass;
pub mod motor;
pub mod pace;
pub mod scan;
pub mod site;
pub mod train;
pub mod wear;
pub mod works;

pub use curve::TorqueCurve;
pub use cycle::{Effort, LimbLoad, MotorLoad, Rubs};
pub use mass::{Grade, MassProperties, Origin};
pub use motor::MotorPoint;
pub use site::{Feed, Music, Site};
pub use train::Work;
pub use wear::Rubbing;

use std::sync::Arc;

use crate::finding::{Code, Finding};
use crate::fit::FittedFigure;
use crate::model::Note;
use crate::units::Kg;

/// The codes this stage raises, subject by subject.
#[must_use]
pub fn codes() -> Vec<&'static Code> {
    [codes_mass::CODES, codes_wear::CODES, motor::codes::CODES].concat()
}

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
    /// The counterweight that was asked for and found.
    pub counterweight: Option<Kg>,
    /// What moving it takes; `None` where its motor, its weight or its mechanism is not
    /// known.
    pub cycle: Option<LimbLoad>,
    /// How hard it rubs in its bushing; `None` where it has none or its speed is not known.
    pub rubbing: Option<Rubbing>,
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
    /// The torque each motor must give over a turn, where it turns round and that is
    /// known; empty for those after the last.
    pub curves: Vec<Option<TorqueCurve>>,
    /// The largest push and pull of each ram or cylinder, N; likewise.
    pub rods: Vec<Option<(f64, f64)>>,
}

/// The loads of a figure.
#[must_use]
pub fn load(fitted: &Arc<FittedFigure>, site: &Site) -> LoadedFigure {
    let limbs = vec![LoadedLimb::default(); fitted.limbs.len()];
    let mut bench = Bench {
        fitted,
        site,
        findings: Vec::new(),
        limbs,
        motors: Vec::new(),
        curves: Vec::new(),
        rods: Vec::new(),
    };
    bench.weigh();
    bench.turn();
    bench.motors();
    bench.rub();
    let Bench { findings, limbs, motors, .. } = bench;
    LoadedFigure { site: site.clone(), limbs, motors, findings }
}
