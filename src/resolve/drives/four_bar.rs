//! `drive four-bar`: motor crank, rod, and a lever or the limb's own tail.

use crate::model::{DriveKind, FourBarDrive};
use crate::syntax::Block;
use crate::syntax::words::Table;

use super::{Context, assembly, part, prefer, sized};

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
    let of = |word, name| sized(part(block, word, name), context.system);
    let clamp = part(block, "lever", "at").or_else(|| part(block, "lever", "clamp"));
    FourBarDrive {
        crank: of("crank", "length"),
        rod: of("rod", "length"),
        lever: of("lever", "length"),
        clamp: sized(clamp, context.system),
        standoff: block.and_then(|b| b.find("standoff")).and_then(|c| c.size("depth")),
        assembly: assembly(block),
        prefer: prefer(block),
    }
}

/// The drive.
pub(super) fn read(block: Option<Block<'_>>, context: &Context) -> DriveKind {
    DriveKind::FourBar(linkage(block, context))
}
