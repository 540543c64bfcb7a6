//! Where the far ends of struts and of second rods are fastened.

use super::{FittedDrive, FittedFigure, Measure};
use crate::geometry::BoardPoint;
use crate::model::DriveKind;

impl FittedFigure {
    /// The place on the drawing where a limb's strut or second rod is fastened: as written,
    /// or as found where it was asked for; `None` where it has none or none was found.
    #[must_use]
    pub fn anchor(&self, limb: usize) -> Option<BoardPoint> {
        self.anchor_written(limb).or_else(|| self.anchor_found(limb))
    }

    /// As [`FittedFigure::anchor`], but only one that is written or was put in its place.
    #[must_use]
    pub fn anchor_written(&self, limb: usize) -> Option<BoardPoint> {
        match &self.figure.limbs.get(limb)?.drive.as_ref()?.mechanism {
            DriveKind::Strut(strut) => strut.anchor,
            DriveKind::Forearm(forearm) => forearm.anchor,
            _ => None,
        }
    }

    /// One that was found with the mechanism.
    fn anchor_found(&self, limb: usize) -> Option<BoardPoint> {
        self.limbs.get(limb)?.mechanism.as_ref()?.as_drive()?.anchor_found()
    }
}

impl FittedDrive {
    /// The anchor that was found for it, on the board; it stands among its figures.
    #[must_use]
    pub fn anchor_found(&self) -> Option<BoardPoint> {
        let named = |name: &str| {
            self.figures.iter().find(|f| f.name == name).and_then(|f| match f.value {
                Measure::Length(l) => Some(l),
                _ => None,
            })
        };
        Some(BoardPoint::new(named("anchor_x")?, named("anchor_y")?))
    }
}
