//! How long cranks, rods and levers are cut, and which holes they get on trial: one rule for
//! what they weigh and for the bench.

use super::chart::{self, Holes, Rows};
use super::{FittedFigure, SizeName};
use crate::model::{BarStock, Limb, Sized};
use crate::units::{Mm, System};

/// How far a bar goes on beyond its last hole, mm (common practice, no source: twice the
/// pin and a little).
pub const BEYOND: f64 = 14.0;

/// How many holes of a bar that comes drilled are left beyond the one in use, for trying
/// (common practice, no source).
const FURTHER: usize = 2;

/// Diameter of the holes for pins of M6 (ISO 273, medium), mm.
const HOLE: f64 = 6.6;

/// Between the edges of two holes in one bar at least, mm (common practice, no source).
const WALL: f64 = 1.5;

/// Width of a saw's cut where nobody says: 3 mm and 1/8 in (common practice, no source).
#[must_use]
pub const fn saw_cut(system: System) -> Mm {
    match system {
        System::Inch => Mm(3.175),
        System::Metric | System::Both => Mm(3.0),
    }
}

/// How far a bar goes on beyond its outermost holes, mm. One that comes drilled is cut half
/// way to the next hole, so that every piece has its holes and none is lost.
#[must_use]
pub fn reach(stock: Option<&BarStock>, system: System) -> f64 {
    let Some((pitch, stock)) = stock.and_then(|s| Some((s.holes?.0, s))) else { return BEYOND };
    let cut = stock.kerf.unwrap_or_else(|| saw_cut(system));
    ((pitch - cut).0 / 2.0).max(0.0)
}

/// The rows of a limb's trial holes, of its crank and of its lever.
#[must_use]
pub fn trial_rows(fitted: &FittedFigure, index: usize) -> Vec<Holes> {
    let (written, rows) = asked(fitted, index);
    let sound = fitted.limbs[index].mechanism.as_ref().filter(|m| !m.faulty());
    sound.map_or(Vec::new(), |m| chart::rows(m, written, rows))
}

/// What was written of a limb's crank and lever, and the rows where nothing was.
#[must_use]
pub fn asked(fitted: &FittedFigure, index: usize) -> ((Option<&Sized>, Option<&Sized>), Rows) {
    let figure = &fitted.figure;
    let motor = figure.motor_of(index).and_then(|m| figure.actuators.get(m));
    let crank = motor.and_then(|m| m.motor.crank_holes);
    let limb = &figure.limbs[index];
    let rows = Rows { crank, system: figure.system, asked: None, near: chart::near(limb) };
    (written(limb), rows)
}

fn written(limb: &Limb) -> (Option<&Sized>, Option<&Sized>) {
    match limb.drive.as_ref().and_then(|d| d.mechanism.bars()) {
        Some(bars) => (Some(&bars.crank), Some(&bars.lever)),
        None => (None, None),
    }
}

/// Of a row of holes those that leave a wall to the one in use and to each other.
#[must_use]
pub fn apart(mut row: Vec<f64>, used: f64) -> Vec<f64> {
    let least = HOLE + WALL;
    row.sort_by(f64::total_cmp);
    let mut kept: Vec<f64> = Vec::new();
    for hole in row {
        let free = |other: f64| (hole - other).abs() >= least;
        if free(used) && kept.last().is_none_or(|k| free(*k)) {
            kept.push(hole);
        }
    }
    kept
}

/// Of trial holes those that a bar has: one that comes drilled goes on and on, and not the
/// whole of it is cut for one lever.
pub fn keep(trial: &mut Vec<f64>, used: f64, stock: &BarStock) {
    if stock.holes.is_some() {
        let near = trial.iter().filter(|t| **t < used).count();
        trial.truncate(near + FURTHER);
    }
}

/// A bar as it is cut, before it is bent.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cut {
    /// Both ends included, mm.
    pub long: f64,
    /// From its first hole to its middle, mm.
    pub middle: f64,
    /// How many holes it has.
    pub holes: usize,
}

/// The crank (0), rod (1) or lever (2) of a limb whose hole in use is so far from its first.
#[must_use]
pub fn cut(fitted: &FittedFigure, index: usize, nth: usize, used: f64) -> Cut {
    let stock = fitted.figure.limbs[index].build.bars[nth].as_deref();
    let name = [Some(SizeName::Crank), None, Some(SizeName::Lever)][nth];
    let rows = name.map_or(Vec::new(), |_| trial_rows(fitted, index));
    let own = rows.iter().filter(|r| Some(r.name) == name).flat_map(|r| r.at.iter().copied());
    let mut trial = apart(own.collect(), used);
    if let Some(stock) = stock {
        keep(&mut trial, used, stock);
    }
    let last = trial.iter().copied().fold(used, f64::max);
    let long = last + 2.0 * reach(stock, fitted.figure.system);
    let drilled = stock.and_then(|s| s.holes).map(|(pitch, _)| (long / pitch.0) as usize);
    Cut { long, middle: last / 2.0, holes: drilled.unwrap_or(2 + trial.len()) }
}

/// A bar with nothing but its two holes, and as far beyond them: what a maker has who weighs
/// one and names no stock.
#[must_use]
pub fn plain(used: f64) -> Cut {
    Cut { long: used + 2.0 * BEYOND, middle: used / 2.0, holes: 2 }
}

/// The share of a bar's weight that its holes take at most.
#[must_use]
pub fn holes_take(cut: &Cut, width: Mm) -> f64 {
    let one = std::f64::consts::PI / 4.0 * HOLE * HOLE;
    cut.holes as f64 * one / (cut.long * width.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn trial_holes_leave_a_wall() {
        // Holes of 6.6 mm (ISO 273, M6 medium) every quarter of an inch run into each other.
        let row = vec![25.4, 31.75, 38.1, 44.45, 50.8];
        assert_eq!(apart(row, 38.1), [25.4, 50.8]);
        assert_eq!(apart(vec![30.0, 40.0, 50.0, 60.0], 39.0), [30.0, 50.0, 60.0]);
    }
}
