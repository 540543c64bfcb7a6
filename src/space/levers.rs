//! The bar that is clamped on a limb's bolt behind the board: its lever, or the slotted one
//! that a crank pin runs in. One rule for the bars that are cut, the bolt they sit on, and
//! the room they take.

use super::stack::BAR;
use crate::fit::{Fitted, FittedFigure, Measure, SizeName};
use crate::geometry::{Dir, OnLimb, Point};
use crate::model::{DriveKind, Joint, Limb, Mount};
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

/// The slot that a crank pin runs in.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slot {
    /// From the foot of the pivot on its middle line to both of its ends, mm.
    pub ends: (f64, f64),
    /// The direction of its middle line from the limb's axis.
    clamp: Deg,
    /// How far that line passes beside the pivot, mm.
    offset: f64,
    /// Whether it is cut in a lever of its own behind the board, and not in the limb.
    pub in_lever: bool,
}

impl Slot {
    /// The slot of a limb that has one; `None` where nothing is known of its mechanism.
    #[must_use]
    pub fn of(limb: &Limb, mechanism: &Fitted) -> Option<Self> {
        let DriveKind::SlottedArm(said) = &limb.drive.as_ref()?.mechanism else { return None };
        let drive = mechanism.as_drive()?;
        let length = |name: &str| {
            drive.figures.iter().find(|f| f.name == name).and_then(|f| match f.value {
                Measure::Length(l) => Some(l.0),
                _ => None,
            })
        };
        Some(Self {
            ends: (length("slot_from")?, length("slot_to")?),
            clamp: Deg(mechanism.drilled(SizeName::Clamp).unwrap_or(0.0)),
            offset: said.offset.0,
            // One that lies beside the pivot is always cut in the limb.
            in_lever: said.offset.0 == 0.0 && limb.mount == Mount::Front && limb.carrier.is_none(),
        })
    }

    /// The place on its middle line so far out, in the limb's own plane.
    #[must_use]
    pub fn at(&self, along: f64) -> Point<OnLimb> {
        let dir = Dir::degrees(self.clamp);
        let (x, y) = (along * dir.x(), along * dir.y());
        Point::mm(x - self.offset * dir.y(), y + self.offset * dir.x())
    }
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
    let slotted = Slot::of(limb, mechanism).filter(|s| s.in_lever).map(|s| s.ends.1);
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
