//! Making: what a maker drills, cuts, bends and bolts of a figure, and what can be
//! measured on the bench to see that it came out.
//!
//! One figure at a time, from its mechanisms, its loads and its parts in depth. Sizes
//! are those as drilled. What is drawn of it, and how, is no matter of this stage.

mod bars;
mod bench;
mod bends;
mod clamp;
mod current;
mod datum;
mod holes;
mod plates;

pub use crate::fit::bar_length::saw_cut;
pub use bars::{Bar, BarKind, bars};
pub use bench::{BenchCard, Tape, pulse_at};
pub use bends::{Bends, bend_allowance, developed};
pub use clamp::ClampSet;
pub use current::{Drawn, RAM_EFFICIENCY, RAM_START, SERVO_RUNS, SERVO_STALL, drawn};
pub use datum::{Batten, Datum, Found};
pub use holes::{Drill, Hole, Spacing, clearance};
pub use plates::{CamPlate, LimbPlate, PlateHole, Twin, cam};

use crate::fit::bar_length::asked;
use crate::fit::chart::{self, Chart};
use crate::fit::{Fitted, FittedFigure};
use crate::geometry::{BoardPoint, Bounds};
use crate::loads::LoadedFigure;
use crate::model::Figure;
use crate::space::{BoltStack, SpacedFigure, bolt_stack};

/// Everything to make of a figure.
#[derive(Clone, Debug)]
pub struct Made {
    /// Holes and places on the board, in the order of the file.
    pub holes: Vec<Hole>,
    /// How far apart holes are that one mechanism spans: what must be right above all.
    pub spacings: Vec<Spacing>,
    /// The bars; equal ones once.
    pub bars: Vec<Bar>,
    /// Its limbs, in the figure's order.
    pub limbs: Vec<MadeLimb>,
    /// The board's box; round the holes where it has no outline.
    pub board: Bounds<crate::geometry::Board>,
    /// The board's corners as it is cut, in the outline's order; empty without an outline.
    pub corners: Vec<BoardPoint>,
    /// Whether these are all there are: else curves run between them.
    pub straight: bool,
    /// What holes are measured from.
    pub datum: Datum,
    /// The battens of the frame.
    pub battens: Vec<Batten>,
}

/// What to make of a limb.
#[derive(Clone, Debug)]
pub struct MadeLimb {
    /// The limb itself; `None` where its shape is not known.
    pub plate: Option<LimbPlate>,
    /// Its cam.
    pub cam: Option<CamPlate>,
    /// How its lever is clamped on its bolt.
    pub clamp: Option<ClampSet>,
    /// What is on its bolt; `None` where it has none of its own.
    pub stack: Option<BoltStack>,
    /// What to measure on the bench.
    pub bench: BenchCard,
    /// Its trial holes; `None` where it has no rows of them.
    pub chart: Option<Chart>,
}

/// What to make of a figure.
#[must_use]
pub fn made(fitted: &FittedFigure, loaded: &LoadedFigure, spaced: &SpacedFigure) -> Made {
    let figure = &*fitted.figure;
    let charts: Vec<Option<Chart>> =
        (0..figure.limbs.len()).map(|limb| trial_holes(fitted, limb)).collect();
    let mut plates = plates::all(fitted);
    for (plate, own) in plates.iter_mut().zip(&loaded.limbs) {
        // A counterweight that was asked for is found with the loads.
        if let Some((_, mass)) = plate.as_mut().and_then(|p| p.counterweight.as_mut()) {
            *mass = mass.or(own.counterweight);
        }
    }
    let limbs = charts.into_iter().enumerate().map(|(index, chart)| MadeLimb {
        plate: plates[index].take(),
        cam: cam(fitted, index),
        clamp: clamp::clamp_set(fitted, index),
        stack: bolt_stack(fitted, &spaced.stack, index),
        bench: bench::card(fitted, loaded, index),
        chart,
    });
    let limbs = limbs.collect();
    let holes = holes::all(fitted);
    let spacings = holes::spacings(fitted);
    let board = holes::bounds(figure, &holes);
    let datum = datum::datum(figure, &board, &holes);
    let (corners, straight) = datum::corners(figure);
    let battens = datum::battens(figure);
    let bars = bars(fitted);
    Made { holes, spacings, bars, limbs, board, corners, straight, datum, battens }
}

impl Made {
    /// A place as it is measured on the back of the board: from its datum across to the
    /// right of who stands behind it, and up, mm.
    #[must_use]
    pub fn behind(&self, at: BoardPoint) -> (f64, f64) {
        (self.datum.at.x - at.x, at.y - self.datum.at.y)
    }

    /// A place on the back of the board from the left lower corner of the board's box,
    /// where drawings of it begin: across and up, mm.
    #[must_use]
    pub fn in_box(&self, at: BoardPoint) -> (f64, f64) {
        (self.board.high.x - at.x, at.y - self.board.low.y)
    }
}

/// The chart of a limb's trial holes; none of a servo's, whose arm is bought with its
/// holes: `rows` drills none for it either.
fn trial_holes(fitted: &FittedFigure, index: usize) -> Option<Chart> {
    let (written, rows) = asked(fitted, index);
    let chart = chart::chart(sound(fitted, index)?, written, rows).ok()?;
    let one = chart.down.at.len() * chart.across.as_ref().map_or(1, |a| a.at.len()) < 2;
    (!one && !chart.servo).then_some(chart)
}

/// The mechanism of a limb against which no error stands.
fn sound(fitted: &FittedFigure, limb: usize) -> Option<&Fitted> {
    fitted.limbs[limb].mechanism.as_ref().filter(|m| !m.faulty())
}

/// Where a motor's shaft stands on the board.
fn shaft(fitted: &FittedFigure, motor: usize) -> Option<BoardPoint> {
    let figure: &Figure = &fitted.figure;
    let actuator = figure.actuators.get(motor).filter(|a| !a.rides)?;
    actuator.at.or_else(|| fitted.place_of(motor))
}

/// Where the far end of a limb's strut or second rod is pinned, as drawn.
fn anchor(fitted: &FittedFigure, limb: usize) -> Option<BoardPoint> {
    fitted.anchor_written(limb).or_else(|| sound(fitted, limb).and_then(|_| fitted.anchor(limb)))
}
