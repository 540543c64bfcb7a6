//! `drive cylinder`: an air cylinder between frame and limb.

use crate::mechanism::Strut;
use crate::model::DriveKind;
use crate::syntax::Block;
use crate::syntax::words::{Row, Sign, Table, Take, must};
use crate::units::Dimension as D;

use super::Context;

/// Its words.
pub static CYLINDER: Table = Table {
    name: "cylinder",
    title: "An air cylinder between frame and limb; pressures are gauge.",
    rows: &[
        super::MOTOR,
        super::ANCHOR,
        super::LEVER,
        super::STANDOFF,
        super::ASSEMBLY,
        super::PREFER,
        super::strut::BORE,
        super::strut::STROKE,
        Row::new(
            "length",
            "Shortest and longest length, pin to pin.",
            &[must("length", Take::Range(D::Length, Sign::Positive))],
        ),
        super::strut::CLEVISES,
        super::strut::AIR,
        super::strut::THROTTLE,
    ],
    bare: None,
};

/// The drive.
pub(super) fn read(block: Option<Block<'_>>, context: &Context) -> DriveKind {
    DriveKind::Strut(Box::new(super::strut::strut(Strut::Cylinder, block, context)))
}
