//! `drive cord`: read and kept; not computed yet.

use crate::mechanism::Kind;
use crate::model::DriveKind;
use crate::syntax::Block;
use crate::syntax::words::{Row, Sign, Table, Take, must};
use crate::units::Dimension as D;

use super::Context;

/// Its words.
pub static CORD: Table = Table {
    name: "cord",
    title: "A cord that pulls one way; gravity or a spring brings the limb back.",
    rows: &[
        super::MOTOR,
        super::CRANK,
        super::ANCHOR,
        super::LEVER,
        super::PREFER,
        super::RETURN,
        Row::new(
            "spool",
            "Diameter of the spool that winds it.",
            &[must("diameter", Take::Open(D::Length, Sign::Positive))],
        ),
        Row::new("guides", "Pulleys and eyes it runs over.", &[must("at", Take::Points)]),
    ],
    bare: None,
};

/// The drive.
pub(super) fn read(_: Option<Block<'_>>, _: &Context) -> DriveKind {
    DriveKind::Kept(Kind::Cord)
}
