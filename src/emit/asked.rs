//! What a limb was asked for, and the turn in which its maker speaks of its angles.

use crate::model::{Action, Limb};

/// The sweep its first gesture asks for that counts as the angles do that are told of it:
/// from the limb that carries it (`bends`) or on the board.
pub fn sweep(limb: &Limb, bends: bool) -> Option<(f64, f64)> {
    limb.gestures.iter().filter(|g| g.relative == bends).find_map(|g| match &g.action {
        Action::Sweep { from, to, .. } => Some((from.value.0, to.value.0)),
        _ => None,
    })
}

/// Whole turns in degrees to add to an angle of it, so that it is told as its maker would:
/// 200 to 250 rather than -160 to -110. `low` is the lower end of its swing.
pub fn turns(limb: &Limb, bends: bool, low: f64) -> f64 {
    sweep(limb, bends).map_or(0.0, |(from, to)| ((from.min(to) - low) / 360.0).round() * 360.0)
}
