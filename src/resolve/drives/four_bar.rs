//! `drive four-bar`: motor crank, rod, and a lever or the limb's own tail.

use crate::model::{DriveKind, ForearmDrive, FourBarDrive};
use crate::syntax::Block;
use crate::syntax::words::Table;

use super::super::plane;
use super::{Context, assembly, clamp, part, prefer, said};

/// Its words.
pub static FOUR_BAR: Table = Table {
    name: "four-bar",
    title: "Motor crank, rod, and a lever (front mount) or a tail hole (behind): the common swing.",
    rows: &[
        super::MOTOR,
        super::CRANK,
        super::ROD,
        super::LEVER,
        super::STANDOFF,
        super::ASSEMBLY,
        super::PREFER,
        super::ANCHOR,
    ],
    bare: None,
};

/// The sizes as written; what is left out stays open.
pub(super) fn linkage(block: Option<Block<'_>>, context: &Context) -> FourBarDrive {
    let of = |word, name| said(block, (word, name), context);
    FourBarDrive {
        crank: of("crank", "length"),
        rod: of("rod", "length"),
        lever: of("lever", "length"),
        clamp: clamp(block, context),
        assembly: assembly(block),
        prefer: prefer(block),
    }
}

/// The drive; pushed by another limb it is a second rod.
pub(super) fn read(block: Option<Block<'_>>, context: &Context) -> DriveKind {
    if !context.from_limb {
        return DriveKind::FourBar(linkage(block, context));
    }
    let anchor = part(block, "anchor", "at").and_then(|a| a.open());
    DriveKind::Forearm(Box::new(ForearmDrive {
        anchor: anchor.and_then(|a| a.value.point).map(plane::board),
        anchor_place: anchor.map(|a| a.place),
        anchor_open: anchor.filter(|a| a.value.asked),
        rod: said(block, ("rod", "length"), context),
        lever: said(block, ("lever", "length"), context),
        clamp: clamp(block, context),
        assembly: assembly(block),
        prefer: prefer(block),
    }))
}
