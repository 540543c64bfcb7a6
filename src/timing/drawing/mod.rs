//! What a drawing that moves needs: tables of where limbs and pins are over what moves
//! them, and that over time.
//!
//! A page that shows a figure moving keeps no mechanism of its own. It reads the limb's
//! table at the coordinate of the moment, straight lines between the rows; how far that
//! is off is measured when the table is made and stands in it.

mod alone;
mod course;
mod table;

pub use alone::Alone;
pub use course::{course, drive_course};
pub use table::{Counts, Row, Table};

use super::{FigurePart, carried};
use crate::fit::FittedFigure;
use crate::geometry::{Body, Dir};
use crate::model::{Joint, Source};
use crate::units::{Deg, Sec};

/// A figure as it is drawn moving.
#[derive(Clone, Debug)]
pub struct Drawing {
    /// Its limbs, in the figure's order.
    pub limbs: Vec<DrawnLimb>,
}

/// A limb as it is drawn moving.
#[derive(Clone, Debug)]
pub struct DrawnLimb {
    /// The limb in whose own plane its places and angles are counted; the board where
    /// none is said.
    pub on: Option<usize>,
    /// Whether its angle counts on the board although its pivot is carried.
    pub level: bool,
    /// Where it is over what moves it; `None` where nothing does, or it is not known.
    pub table: Option<Table>,
    /// What moves it from the board where a limb carries it too, over its own coordinate.
    pub drive: Option<Table>,
    /// Where it stands without that, its angle in degrees; `None` where its joint is not
    /// known.
    pub still: Option<[f64; 3]>,
    /// How it moves where no show tells it anything.
    pub alone: Option<Alone>,
}

impl Drawing {
    /// Of a figure.
    #[must_use]
    pub fn of(fitted: &FittedFigure) -> Self {
        Self { limbs: (0..fitted.figure.limbs.len()).map(|l| limb(fitted, l)).collect() }
    }
}

fn limb(fitted: &FittedFigure, index: usize) -> DrawnLimb {
    let limb = &fitted.figure.limbs[index];
    let rides = fitted.limbs[index].riding.as_ref().map(|r| r.carrier);
    let carried = carried::plays(fitted, index);
    // Two motors move it, and how they add up is not computed: it stands on what carries it.
    let driven = limb.drive.as_ref().map(|d| d.source);
    let lost = limb.carrier.is_some() && matches!(driven, Some(Source::Motor(_)));
    let lost = lost && rides.is_none() && !carried;
    let table = Table::of(fitted, index).filter(|_| !limb.poisoned && !lost);
    // A chain of two limbs on one motor is computed on the board as a whole.
    // One whose motor stands on the board rides all the same.
    let on = rides.or(limb.carrier.filter(|_| table.is_none() || carried));
    let alone = table.as_ref().filter(|_| !carried).and_then(|t| Alone::of(fitted, index, t));
    let level = on.is_some() && rides.is_none();
    let drive = table.as_ref().and_then(|_| Table::of_drive(fitted, index));
    DrawnLimb { on, level, drive, still: still(fitted, index, on), table, alone }
}

/// A limb at rest in the plane it is counted in.
fn still(fitted: &FittedFigure, index: usize, on: Option<usize>) -> Option<[f64; 3]> {
    let nobody = FigurePart { figure: String::new(), channels: Vec::new(), limbs: Vec::new() };
    let name = |l: usize| fitted.figure.limbs[l].name.value.as_str();
    let own = nobody.body(name(index), Sec(0.0), fitted)?;
    let told = |b: Body<f64>| [b.x, b.y, b.axis().deg().0];
    let Some(carrier) = on else { return Some(told(own)) };
    let limb = &fitted.figure.limbs[index];
    let (joint, host) = match limb.joint {
        Joint::Pivot { at, .. } => (at?, nobody.body(name(carrier), Sec(0.0), fitted)?),
        Joint::Slide { from, .. } => (from, nobody.body(name(carrier), Sec(0.0), fitted)?),
    };
    let at = fitted.figure.limbs[carrier].own(joint)?;
    let rides = fitted.limbs[index].riding.is_some();
    let axis: Dir = if rides { own.axis().from(host.axis()) } else { own.axis() };
    Some([at.x, at.y, axis.deg().0])
}

/// How far the plane in which a riding limb is computed lies from its carrier's own
/// plane: the two are parallel.
fn shift(fitted: &FittedFigure, index: usize) -> Option<[f64; 2]> {
    let Some(riding) = &fitted.limbs[index].riding else { return Some([0.0, 0.0]) };
    let centre = match fitted.figure.limbs[index].joint {
        Joint::Pivot { at, .. } => at?,
        Joint::Slide { from, .. } => from,
    };
    let own = fitted.figure.limbs[riding.carrier].own(centre)?;
    Some([own.x - centre.x, own.y - centre.y])
}

/// An angle in the turn nearest to another.
fn nearest(angle: f64, near: f64) -> f64 {
    near + Deg(angle - near).signed().0
}
