//! `drive ram`: an electric linear actuator between frame and limb.

use crate::mechanism::Strut;
use crate::model::DriveKind;
use crate::syntax::Block;
use crate::syntax::words::{Row, Sign, Table, Take, must};
use crate::units::Dimension as D;

use super::Context;

/// Its words.
pub static RAM: Table = Table {
    name: "ram",
    title: "An electric linear actuator between frame and limb.",
    rows: &[
        super::MOTOR,
        super::ANCHOR,
        super::LEVER,
        super::STANDOFF,
        super::ASSEMBLY,
        super::PREFER,
        super::strut::CLEVISES,
        Row::new(
            "length",
            "Shortest and longest length, pin to pin.",
            &[must("length", Take::Range(D::Length, Sign::Positive))],
        ),
    ],
    bare: None,
};

/// The drive.
pub(super) fn read(block: Option<Block<'_>>, context: &Context) -> DriveKind {
    DriveKind::Strut(Box::new(super::strut::strut(Strut::Ram, block, context)))
}
