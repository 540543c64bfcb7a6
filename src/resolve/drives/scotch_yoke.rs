//! `drive scotch-yoke`: read and kept; not computed yet.

use crate::mechanism::Kind;
use crate::model::DriveKind;
use crate::syntax::Block;
use crate::syntax::words::{Row, Sign, Table, Take, must};
use crate::units::Dimension as D;

use super::Context;

/// Its words.
pub static SCOTCH_YOKE: Table = Table {
    name: "scotch-yoke",
    title: "A crank pin in the cross slot of a limb that slides.",
    rows: &[
        super::MOTOR,
        super::CRANK,
        super::STANDOFF,
        super::PREFER,
        Row::new(
            "offset",
            "How far the shaft lies beside the guide.",
            &[must("offset", Take::Quantity(D::Length, Sign::Any))],
        ),
        Row::new(
            "tilt",
            "How far the cross slot leans away from square.",
            &[must("tilt", Take::Quantity(D::Angle, Sign::Any))],
        ),
    ],
    bare: None,
};

/// The drive.
pub(super) fn read(_: Option<Block<'_>>, _: &Context) -> DriveKind {
    DriveKind::Kept(Kind::ScotchYoke)
}
