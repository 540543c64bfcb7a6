//! How a lever is clamped on its limb's bolt: the angle that sets where the swing lies.

use crate::fit::{FittedFigure, bar_length};
use crate::space::{PivotBar, pivot_bar};
use crate::units::{Deg, Mm};

/// A lever on its limb's bolt, as it is set.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClampSet {
    /// The bar: where its pin is, how long and how thick it is.
    pub bar: PivotBar,
    /// From the line pivot to tip to the line pivot to lever pin, counter-clockwise seen
    /// from the front, in (-180, 180] deg.
    pub angle: Deg,
    /// How far the bar goes on beyond its holes, mm.
    pub beyond: f64,
    /// Straight from the lever's pin, of a slotted one the far end of its slot, to the
    /// limb's tip, in the board's plane.
    pub to_tip: Option<Mm>,
}

/// How the lever of a limb is set; `None` for a limb without one on its bolt.
pub(super) fn clamp_set(fitted: &FittedFigure, index: usize) -> Option<ClampSet> {
    let limb = &fitted.figure.limbs[index];
    let bar = pivot_bar(fitted, index)?;
    let to_tip = limb.tip.and_then(|tip| Some(limb.own(tip)?.distance(bar.pin)));
    let stock = limb.build.bars[2].as_deref().filter(|_| !bar.slotted);
    let beyond = bar_length::reach(stock, fitted.figure.system);
    Some(ClampSet { bar, angle: bar.clamp.signed(), beyond, to_tip })
}
