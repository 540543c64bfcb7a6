//! Power: what each supply gives in a show, what each cable costs, what a night and a
//! season use.
//!
//! The performances say when each motor runs; the loads say what it then draws. All
//! currents are of the direct current side, as if a motor slowed by its duty drew its
//! full current all the time: the cable and the fuse see it so.

mod air;
mod cables;
pub mod codes;
mod draw;
mod feeders;
mod fits;
mod hot;
mod inputs;
mod nights;
mod season;
mod supplies;
mod sweep;
mod tank;
mod unplayed;

pub use air::{AirUse, Strokes};
pub(crate) use cables::steps as drop_steps;
pub use cables::{CableLoad, FUSED};
pub use codes::CODES;
pub use draw::Draw;
pub use inputs::grade_of;
pub use nights::{Evening, Season};
pub use season::{Moved, Wear};
pub use supplies::{Drawer, Peak, SupplyLoad};
pub use tank::Level;

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::finding::Finding;
use crate::fit::FittedFigure;
use crate::loads::LoadedFigure;
use crate::model::Yard;
use crate::timing::{FigurePart, Performance};
use crate::units::Amp;
use crate::units::print::decimal;

/// A conversion from one voltage to another keeps this share (common practice, no source).
pub const CONVERTED: f64 = 0.85;

/// A current as a maker reads it: small ones do not read as none.
pub(crate) fn amps(current: Amp) -> String {
    let digits = match current.0.abs() {
        a if a < 0.1 => 3,
        a if a < 1.0 => 2,
        _ => 1,
    };
    decimal(current.0, digits)
}

/// What a yard's shows take.
#[derive(Clone, Debug, Default)]
pub struct Power {
    /// In the order of `yard.supplies`.
    pub supplies: Vec<SupplyLoad>,
    /// One for each figure that is fed, in the yard's order.
    pub cables: Vec<CableLoad>,
    /// Air by tank, sorted by name.
    pub air: Vec<AirUse>,
    /// How often and how long each limb moves, by figure and limb of the yard.
    pub wear: Vec<Vec<Wear>>,
    /// What was found wrong.
    pub findings: Vec<Finding>,
}

/// Everything the stage looks at.
#[derive(Clone, Copy)]
pub(crate) struct Scene<'a> {
    /// The yard.
    pub yard: &'a Yard,
    /// Its figures' mechanisms.
    pub fitted: &'a [Arc<FittedFigure>],
    /// Their loads.
    pub loads: &'a [Arc<LoadedFigure>],
    /// Its shows played out.
    pub performances: &'a [Arc<Performance>],
    /// Its figures by name.
    pub names: &'a BTreeMap<&'a str, usize>,
    /// What each figure does in every show that it plays in.
    pub played: &'a [Vec<&'a FigurePart>],
}

impl Scene<'_> {
    /// The index of a figure by its name in the yard.
    fn figure(&self, name: &str) -> Option<usize> {
        self.names.get(name).copied()
    }
}

/// Adds up a yard; `worked_out` are the nights of the seasons whose starts are known.
#[must_use]
pub fn power(
    yard: &Yard,
    fitted: &[Arc<FittedFigure>],
    loads: &[Arc<LoadedFigure>],
    performances: &[Arc<Performance>],
    worked_out: &[(String, Vec<Evening>)],
) -> Power {
    let figures = yard.figures.iter().enumerate();
    let names: BTreeMap<&str, usize> =
        figures.rev().map(|(n, p)| (p.name.value.as_str(), n)).collect();
    let mut played = vec![Vec::new(); yard.figures.len()];
    for part in performances.iter().flat_map(|p| &p.figures) {
        if let Some(&figure) = names.get(part.figure.as_str()) {
            played[figure].push(&**part);
        }
    }
    let scene = Scene { yard, fitted, loads, performances, names: &names, played: &played };
    let season = Season::of(yard, performances, worked_out);
    // Wires on one side, motors on the other; their findings keep one order.
    let wires = || {
        let mut findings = Vec::new();
        let draws = draw::all(&scene);
        let supplies = supplies::add_up(&scene, &draws, &season, &mut findings);
        let cables = cables::all(&scene, &draws, &mut findings);
        (supplies, cables, findings)
    };
    let motors = || {
        let mut findings = Vec::new();
        fits::check(&scene, &mut findings);
        unplayed::check(&scene, &mut findings);
        let wear = season::wear(&scene, &season);
        hot::check(&scene, &wear, &mut findings);
        let air = air::all(&scene, &season, &mut findings);
        (wear, air, findings)
    };
    let ((supplies, cables, mut findings), (wear, air, more)) = rayon::join(wires, motors);
    findings.extend(more);
    Power { supplies, cables, air, wear, findings }
}
