//! The torque of a motor once its limbs' bushings run dry, or dirt gets in.

use super::cycle::{Looks, worst};
use super::pace::Pace;
use super::train::{Friction, Train};

/// Friction of steel on dry nylon: tables give 0.11 (calculation guidelines of a maker of
/// nylon bearings) to 0.45 (a table of static and sliding friction values).
pub const DRY: f64 = 0.45;

/// The largest torque or push over a cycle with every bushing as rough as [`DRY`]; `None`
/// where nothing turns in a bushing that is reckoned smoother.
pub(super) fn peak(mut train: Train<'_>, pace: &Pace, looks: &Looks) -> Option<f64> {
    let mut smoother = false;
    for part in &mut train.parts {
        if let Friction::Bushing { coefficient, .. } = &mut part.friction
            && *coefficient < DRY
        {
            (*coefficient, smoother) = (DRY, true);
        }
    }
    if !smoother {
        return None;
    }
    Some(worst(&train, pace, looks, |now| now).ok()?.0)
}
