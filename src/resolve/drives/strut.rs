//! What `drive ram` and `drive cylinder` share: a strut between frame and limb.

use crate::mechanism::Strut;
use crate::model::{AirSaid, StrutDrive};
use crate::syntax::Block;
use crate::syntax::words::{Row, Sign, Take, flag, key, must, must_key};
use crate::units::{Deg, Dimension as D, Mm};

use super::super::plane;
use super::{Context, assembly, clamp, clause, given, part, prefer, said};

/// `clevises within 1 deg`.
pub(super) const CLEVISES: Row = Row::new(
    "clevises",
    "How far the planes of its two clevises are out of line, as built.",
    &[must_key("within", "angle", Take::Quantity(D::Angle, Sign::NotNegative))],
);

/// `bore 16 mm`, of a cylinder.
pub(super) const BORE: Row = Row::new(
    "bore",
    "Its cylinder's bore.",
    &[must("bore", Take::Quantity(D::Length, Sign::Positive))],
);

/// `stroke 100 mm`, of a cylinder.
pub(super) const STROKE: Row = Row::new(
    "stroke",
    "Its cylinder's stroke.",
    &[must("stroke", Take::Quantity(D::Length, Sign::Positive))],
);

/// `air TANK at 400 kPa`.
pub(super) const AIR: Row = Row::new(
    "air",
    "The tank its cylinder is fed from, and its pressure; `dried` where a dryer or a water trap is in its line.",
    &[
        must("tank", Take::Stock),
        must_key("at", "pressure", Take::Quantity(D::Pressure, Sign::Positive)),
        flag("dried"),
    ],
);

/// `throttle up 0.6 s down 1.0 s`.
pub(super) const THROTTLE: Row = Row::new(
    "throttle",
    "How long its cylinder takes to move the limb (`up`) and back (`down`).",
    &[
        key("up", "up", Take::Quantity(D::Time, Sign::Positive)),
        key("down", "down", Take::Quantity(D::Time, Sign::Positive)),
    ],
);

/// The strut as written; a ram has none of a cylinder's words.
pub(super) fn strut(kind: Strut, block: Option<Block<'_>>, context: &Context) -> StrutDrive {
    let anchor = part(block, "anchor", "at").and_then(|a| a.open());
    let length = part(block, "length", "length").and_then(|l| l.range::<Mm>());
    StrutDrive {
        strut: kind,
        anchor: anchor.and_then(|a| a.value.point).map(plane::board),
        anchor_open: anchor.filter(|a| a.value.asked),
        length: length.map(|r| (r.value.0.min(r.value.1), r.value.0.max(r.value.1))),
        lever: said(block, ("lever", "length"), context),
        clamp: clamp(block, context),
        assembly: assembly(block),
        prefer: prefer(block),
        air: air(block),
        clevises: clause(block, "clevises").and_then(|c| c.get::<Deg>("angle")),
    }
}

/// What is said of a cylinder and its air.
pub(super) fn air(block: Option<Block<'_>>) -> AirSaid {
    AirSaid {
        bore: given(block, "bore", "bore"),
        stroke: given(block, "stroke", "stroke"),
        tank: block.and_then(|b| b.find("air")?.text("tank")).map(|t| t.value.to_owned()),
        pressure: given(block, "air", "pressure"),
        dried: clause(block, "air").is_some_and(|c| c.has("dried")),
        up: given(block, "throttle", "up"),
        down: given(block, "throttle", "down"),
    }
}
