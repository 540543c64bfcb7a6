//! `drive slider-crank`: crank and rod to a limb that slides.

use crate::mechanism::Side;
use crate::model::{DriveKind, SliderDrive};
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
            "How far the shaft lies beside the line its rod's pin runs on: left of it, looking from the \
             guide's first end to its second; negative: right. Left out, as far as it is drawn beside \
             the guide.",
            &[must("offset", Take::Quantity(D::Length, Sign::Any))],
        ),
        Row::new(
            "tilt",
            "How far the guide leans away from the line it is drawn on, counter-clockwise about its first \
             end; negative: clockwise.",
            &[must("tilt", Take::Quantity(D::Angle, Sign::Any))],
        ),
        Row::new(
            "side",
            "On which side of the crank the limb lies: ahead along its slide, or behind.",
            &[must("side", Take::Choice(&["ahead", "behind"]))],
        ),
    ],
    bare: None,
};

/// The drive.
pub(super) fn read(block: Option<Block<'_>>, context: &Context) -> DriveKind {
    DriveKind::SliderCrank(SliderDrive {
        crank: super::said(block, ("crank", "length"), context),
        rod: super::said(block, ("rod", "length"), context),
        offset: super::given(block, "offset", "offset"),
        tilt: super::given(block, "tilt", "tilt").unwrap_or_default(),
        side: super::clause(block, "side").and_then(|c| c.choice("side")).map(|side| match side {
            "behind" => Side::Behind,
            _ => Side::Ahead,
        }),
        prefer: super::prefer(block),
    })
}
