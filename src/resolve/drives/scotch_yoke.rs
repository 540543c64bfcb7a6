//! `drive scotch-yoke`: a crank pin in the cross slot of a limb that slides.

use crate::model::{DriveKind, YokeDrive};
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
            "How far the shaft lies beside the line the limb is held on: left of it, looking from the \
             guide's first end to its second; negative: right. It moves no end of the stroke.",
            &[must("offset", Take::Quantity(D::Length, Sign::Any))],
        ),
        Row::new(
            "tilt",
            "How far the cross slot leans from square to the guide, seen from the front: 0 lies straight \
             across it; positive turns it counter-clockwise, so that on a guide that runs upwards its left \
             end hangs lower than its right one; negative: clockwise. The limb stands where the middle line \
             of the slot crosses the line of the guide, counted from the guide's first end; it is furthest \
             along where the crank points along the guide turned by the tilt, and its stroke is twice the \
             crank over the tilt's cosine.",
            &[must("tilt", Take::Quantity(D::Angle, Sign::Any))],
        ),
    ],
    bare: None,
};

/// The drive.
pub(super) fn read(block: Option<Block<'_>>, context: &Context) -> DriveKind {
    DriveKind::ScotchYoke(YokeDrive {
        crank: super::said(block, ("crank", "length"), context),
        tilt: super::given(block, "tilt", "tilt").unwrap_or_default(),
        offset: super::given(block, "offset", "offset"),
        prefer: super::prefer(block),
    })
}
