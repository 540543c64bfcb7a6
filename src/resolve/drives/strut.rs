//! What `drive ram` and `drive cylinder` share: a strut between frame and limb.

use crate::mechanism::Strut;
use crate::model::StrutDrive;
use crate::syntax::Block;
use crate::units::Mm;

use super::super::plane;
use super::{Context, assembly, clamp, given, part, prefer, said};

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
        bore: given(block, "bore", "bore"),
        stroke: given(block, "stroke", "stroke"),
        tank: block.and_then(|b| b.find("air")?.text("tank")).map(|t| t.value.to_owned()),
        pressure: given(block, "air", "pressure"),
        up: given(block, "throttle", "up"),
        down: given(block, "throttle", "down"),
    }
}
