//! `drive slider-crank`: read and kept; not computed yet.

use crate::mechanism::Kind;
use crate::model::DriveKind;
use crate::syntax::Block;
use crate::syntax::words::{Row, Sign, Table, Take, must};
use crate::units::Dimension as D;

use super::Context;

/// Its words.
pub static SLIDER_CRANK: Table = Table {
    name: "slider-crank",
    title: "Motor crank and rod to a limb that slides.",
    rows: &[
        super::MOTOR,
        super::CRANK,
        super::ROD,
        super::STANDOFF,
        super::PREFER,
        Row::new(
            "offset",
            "How far the shaft lies beside the line of the slide pin.",
            &[must("offset", Take::Quantity(D::Length, Sign::Any))],
        ),
        Row::new(
            "tilt",
            "How far the guide leans away from the line it is drawn on.",
            &[must("tilt", Take::Quantity(D::Angle, Sign::Any))],
        ),
    ],
    bare: None,
};

/// The drive.
pub(super) fn read(_: Option<Block<'_>>, _: &Context) -> DriveKind {
    DriveKind::Kept(Kind::SliderCrank)
}
