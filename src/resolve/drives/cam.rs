//! `drive cam`: read and kept; not computed yet.

use crate::mechanism::Kind;
use crate::model::DriveKind;
use crate::syntax::Block;
use crate::syntax::words::{Row, Sign, Table, Take, must};
use crate::units::Dimension as D;

use super::Context;

/// Its words.
pub static CAM: Table = Table {
    name: "cam",
    title: "A plate cam and its follower; the profile is made from the gesture.",
    rows: &[
        super::MOTOR,
        super::LEVER,
        super::PREFER,
        super::RETURN,
        Row::new(
            "base",
            "Radius of the base circle.",
            &[must("radius", Take::Open(D::Length, Sign::Positive))],
        ),
        Row::new(
            "lift",
            "How far the follower rises.",
            &[must("lift", Take::Open(D::Length, Sign::Positive))],
        ),
        Row::new(
            "roller",
            "Radius of the follower's roller.",
            &[must("radius", Take::Open(D::Length, Sign::Positive))],
        ),
        Row::new(
            "follower",
            "What runs on the cam.",
            &[must("follower", Take::Choice(&["roller", "flat"]))],
        ),
        Row::new(
            "offset",
            "How far the follower lies beside the shaft.",
            &[must("offset", Take::Quantity(D::Length, Sign::Any))],
        ),
    ],
    bare: None,
};

/// The drive.
pub(super) fn read(_: Option<Block<'_>>, _: &Context) -> DriveKind {
    DriveKind::Kept(Kind::Cam)
}
