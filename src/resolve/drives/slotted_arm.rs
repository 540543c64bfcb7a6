//! `drive slotted-arm`: read and kept; not computed yet.

use crate::mechanism::Kind;
use crate::model::DriveKind;
use crate::syntax::Block;
use crate::syntax::words::{Row, Sign, Table, Take, key, may};
use crate::units::Dimension as D;

use super::Context;

/// Its words.
pub static SLOTTED_ARM: Table = Table {
    name: "slotted-arm",
    title: "A crank pin in a slot of the limb or of its lever: quick return.",
    rows: &[
        super::MOTOR,
        super::CRANK,
        super::LEVER,
        super::STANDOFF,
        super::PREFER,
        Row::new(
            "slot",
            "Length of the slot, and how far it lies beside the pivot.",
            &[
                may("length", Take::Open(D::Length, Sign::Positive)),
                key("offset", "offset", Take::Quantity(D::Length, Sign::Any)),
                key("at", "at", Take::Open(D::Angle, Sign::Any)),
            ],
        ),
    ],
    bare: None,
};

/// The drive.
pub(super) fn read(_: Option<Block<'_>>, _: &Context) -> DriveKind {
    DriveKind::Kept(Kind::SlottedArm)
}
