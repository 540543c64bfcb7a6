//! Loads: what each limb weighs, what its motor must bear, what the wind does to it.
//!
//! One figure at a time, from its fitted mechanisms, its parts in depth and the [`Site`]
//! it stands on.

mod at_stop;
mod bars;
pub mod blades;
pub mod bolt_pull;
pub mod cable;
mod cam_codes;
pub mod cam_disc;
mod cam_hold;
pub mod clamp;
pub mod clamp_codes;
mod codes_crank;
mod codes_fingers;
mod codes_mass;
mod codes_slot;
mod codes_turning;
mod codes_wear;
mod cord_codes;
pub mod cord_return;
pub mod counterweight;
mod crank_seat;
mod curve;
pub mod cycle;
pub mod dry;
pub mod fingers;
pub mod from_rest;
pub mod guide;
pub mod guided;
pub mod gust;
pub mod heat;
pub mod hole;
pub mod hole_end;
pub mod jam;
pub mod mass;
pub mod motor;
pub mod pace;
mod pin;
mod rattle;
mod riders;
pub mod rod_ends;
pub mod rod_stock;
pub mod scan;
mod sheet_notes;
pub mod site;
pub mod slot;
pub mod standing;
pub mod train;
pub mod turning;
pub mod wear;
pub mod whip;
pub mod works;

pub use bars::{Bars, Piece};
pub use curve::TorqueCurve;
pub use cycle::{Effort, LimbLoad, MotorLoad, Rubs};
pub use mass::{Grade, MassProperties, Origin};
pub use motor::MotorPoint;
pub use site::{Feed, Music, Site};
pub use train::Work;
pub use wear::Rubbing;
pub mod stand;
pub mod stand_codes;
pub mod stand_soil;
mod wind;
pub mod wind_area;
pub mod wind_bending;
pub mod wind_codes;
pub mod wind_guide;
pub mod wind_limb;
pub mod wind_limit;
mod wind_motor;
mod wind_near;
mod wind_servo;
mod wires;

pub use stand::FigureWind;
pub use wind_limb::LimbWind;
pub use wind_limit::{Limit, When};

use std::sync::Arc;

use crate::finding::{Code, Finding, Step};
use crate::fit::FittedFigure;
use crate::model::Note;
use crate::space::SpacedFigure;
use crate::units::{Kg, MetrePerSec};

/// The codes this stage raises, subject by subject.
#[must_use]
pub fn codes() -> Vec<&'static Code> {
    let lists = [
        codes_crank::CODES,
        codes_fingers::CODES,
        codes_mass::CODES,
        codes_slot::CODES,
        codes_turning::CODES,
        cam_codes::CODES,
        cord_codes::CODES,
        codes_wear::CODES,
        motor::codes::CODES,
        wind_codes::CODES,
        stand_codes::CODES,
        clamp_codes::CODES,
    ];
    lists.concat()
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
    /// The whole figure in the wind; `None` where nothing is said to hold it, or its
    /// outline is not known.
    pub wind: Option<FigureWind>,
    /// What was found wrong.
    pub findings: Vec<Finding>,
}

impl LoadedFigure {
    /// The first thing to go of the figure and its limbs, with the limb's index where it
    /// is a limb's, and the gust: while it moves, or parked.
    #[must_use]
    pub fn first_to_go(&self, when: When) -> Option<(&Limit, Option<usize>, MetrePerSec)> {
        let own = self.wind.iter().flat_map(|w| &w.limits).map(|l| (l, None));
        let limbs = self.limbs.iter().enumerate().flat_map(|(n, limb)| {
            limb.wind.iter().flat_map(|w| &w.limits).map(move |l| (l, Some(n)))
        });
        own.chain(limbs)
            .filter(|(l, _)| when == When::Run || l.when == When::Stand)
            .map(|(l, limb)| (l, limb, l.gust()))
            .filter(|(_, _, gust)| *gust < wind_limit::STRONGEST)
            .reduce(|first, next| if next.2.0 < first.2.0 { next } else { first })
    }
}

/// A check that found nothing.
#[derive(Clone, Debug)]
pub struct Passed {
    /// What it would have found.
    pub code: &'static Code,
    /// The sum it rests on, with this limb's numbers.
    pub steps: Vec<Step>,
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
    /// The wind on it; `None` where its shape is not known.
    pub wind: Option<LimbWind>,
    /// What its clamp, holes, rod and pins bear, in calm air.
    pub grips: Vec<Limit>,
    /// Checks that were made and found nothing, with their sums.
    pub passed: Vec<Passed>,
    /// What gives first when it is held; `None` where nothing says how hard its motor
    /// pushes.
    pub held: Option<jam::Held>,
    /// What was assumed here.
    pub assumed: Vec<Note>,
    /// What could not be checked here.
    pub not_checked: Vec<Note>,
}

/// One figure at work: its data and where its results go.
pub(crate) struct Bench<'a> {
    /// The figure with its mechanisms.
    pub fitted: &'a FittedFigure,
    /// Its parts in depth.
    pub spaced: &'a SpacedFigure,
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
    /// How fast each motor's gestures ask it to turn; likewise.
    pub wanted: Vec<Vec<motor::Wanted>>,
    /// The largest push and pull of each ram or cylinder; likewise.
    pub rods: Vec<Option<cycle::Rod>>,
    /// The whole figure in the wind.
    pub figure_wind: Option<FigureWind>,
}

/// The loads of a figure.
#[must_use]
pub fn load(fitted: &Arc<FittedFigure>, spaced: &SpacedFigure, site: &Site) -> LoadedFigure {
    let limbs = vec![LoadedLimb::default(); fitted.limbs.len()];
    let mut bench = Bench {
        fitted,
        spaced,
        site,
        findings: Vec::new(),
        limbs,
        motors: Vec::new(),
        curves: Vec::new(),
        wanted: Vec::new(),
        rods: Vec::new(),
        figure_wind: None,
    };
    bench.weigh();
    bench.turn();
    bench.motors();
    bench.rub();
    bench.wind();
    bench.heat();
    bench.clamps();
    bench.turning();
    bench.cams();
    bench.cam_discs();
    bench.fingers();
    let Bench { findings, limbs, motors, figure_wind, .. } = bench;
    LoadedFigure { site: site.clone(), limbs, motors, wind: figure_wind, findings }
}
