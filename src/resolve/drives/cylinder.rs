//! `drive cylinder`: an air cylinder between frame and limb.

use crate::mechanism::Strut;
use crate::model::DriveKind;
use crate::syntax::Block;
use crate::syntax::words::{Row, Sign, Table, Take, flag, key, must, must_key};
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
        Row::new("bore", "Its bore.", &[must("bore", Take::Quantity(D::Length, Sign::Positive))]),
        Row::new(
            "stroke",
            "Its stroke.",
            &[must("stroke", Take::Quantity(D::Length, Sign::Positive))],
        ),
        Row::new(
            "length",
            "Shortest and longest length, pin to pin.",
            &[must("length", Take::Range(D::Length, Sign::Positive))],
        ),
        super::strut::CLEVISES,
        Row::new(
            "air",
            "The tank it is fed from, and its pressure; `dried` where a dryer or a water trap is in its line.",
            &[
                must("tank", Take::Stock),
                must_key("at", "pressure", Take::Quantity(D::Pressure, Sign::Positive)),
                flag("dried"),
            ],
        ),
        Row::new(
            "throttle",
            "How long it takes up and down.",
            &[
                key("up", "up", Take::Quantity(D::Time, Sign::Positive)),
                key("down", "down", Take::Quantity(D::Time, Sign::Positive)),
            ],
        ),
    ],
    bare: None,
};

/// The drive.
pub(super) fn read(block: Option<Block<'_>>, context: &Context) -> DriveKind {
    DriveKind::Strut(Box::new(super::strut::strut(Strut::Cylinder, block, context)))
}
