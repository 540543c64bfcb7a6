//! The bar that is clamped on a limb's bolt behind the board: its lever, or the slotted one
//! that a crank pin runs in. One rule for the bars that are cut, the bolt they sit on, and
//! the room they take.

use super::stack::BAR;
use crate::fit::{Fitted, FittedFigure, Measure, SizeName};
use crate::geometry::{Dir, OnLimb, Point};
use crate::model::{DriveKind, Joint, Mount};
use crate::units::{Deg, Mm};

/// A bar on a limb's bolt.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PivotBar {
    /// Where its pin is in the limb's own plane; of a slotted one the far end of the slot.
    pub pin: Point<OnLimb>,
    /// From the pivot to that place.
    pub long: Mm,
    /// How it is clamped: its angle counter-clockwise from the limb's axis, seen from the
    /// front.
    pub clamp: Deg,
    /// Along the bolt.
    pub thick: Mm,
    /// Whether nobody said what it is cut from.
    pub assumed: bool,
    /// Whether a crank pin runs in a slot of it.
    pub slotted: bool,
}

impl PivotBar {
    /// What it is called on the sheets.
    #[must_use]
    pub const fn name(&self) -> &'static str {
        if self.slotted { "slotted lever" } else { "lever" }
    }
}

/// From the pivot to both ends of the slot that a crank pin runs in, mm.
#[must_use]
pub fn slot_ends(mechanism: &Fitted) -> Option<(f64, f64)> {
    let drive = mechanism.as_drive()?;
    let length = |name: &str| {
        drive.figures.iter().find(|f| f.name == name).and_then(|f| match f.value {
            Measure::Length(l) => Some(l.0),
            _ => None,
        })
    };
    Some((length("slot_from")?, length("slot_to")?))
}

/// The bar on the bolt of a limb that turns before the board; `None` for one whose own tail
/// is pushed, because it hangs behind the board or rides on another, and where nothing sound
/// is known of its mechanism.
#[must_use]
pub fn pivot_bar(fitted: &FittedFigure, index: usize) -> Option<PivotBar> {
    let limb = &fitted.figure.limbs[index];
    let before = limb.mount == Mount::Front && limb.carrier.is_none() && !limb.poisoned;
    if !before || !matches!(limb.joint, Joint::Pivot { .. }) {
        return None;
    }
    let mechanism = fitted.limbs[index].mechanism.as_ref().filter(|m| !m.faulty())?;
    let clamp = Deg(mechanism.drilled(SizeName::Clamp).unwrap_or(0.0));
    // A slot that lies beside its pivot is cut in the limb itself.
    let slotted = match &limb.drive.as_ref()?.mechanism {
        DriveKind::SlottedArm(s) if s.offset.0 == 0.0 => Some(slot_ends(mechanism)?.1),
        _ => None,
    };
    let stock = limb.build.bars[2].as_ref().filter(|_| slotted.is_none());
    let long = match slotted {
        Some(long) => long,
        None => mechanism.drilled(SizeName::Lever)?,
    };
    let dir = Dir::degrees(clamp);
    Some(PivotBar {
        pin: Point::mm(long * dir.x(), long * dir.y()),
        long: Mm(long),
        clamp,
        thick: stock.map_or(Mm(BAR), |s| s.depth),
        assumed: stock.is_none(),
        slotted: slotted.is_some(),
    })
}
