//! `drive ram`: read and kept; not computed yet.

use crate::mechanism::Kind;
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
        super::PREFER,
        Row::new(
            "length",
            "Shortest and longest length, pin to pin.",
            &[must("length", Take::Range(D::Length, Sign::Positive))],
        ),
    ],
    bare: None,
};

/// The drive.
pub(super) fn read(_: Option<Block<'_>>, _: &Context) -> DriveKind {
    DriveKind::Kept(Kind::Ram)
}
