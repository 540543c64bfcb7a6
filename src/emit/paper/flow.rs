//! Blocks laid on as many sheets as they take, row after row.

use super::{BODY, Drawing};
use crate::emit::svg::P;

/// Room between blocks and to the border, mm.
pub const GAP: f64 = 4.0;

/// Something that stays on one sheet; drawn from its left top corner.
#[derive(Clone, Debug)]
pub struct Block {
    /// What it shows.
    pub drawing: Drawing,
    /// Width and height it takes.
    pub size: P,
}

/// The widest and highest that a block may be.
pub const MOST: P = (BODY.w - 2.0 * GAP, BODY.h - 2.0 * GAP);

/// The bodies of the sheets that the blocks take, in their order. A block larger than a
/// sheet begins a sheet of its own.
#[must_use]
pub fn flow(blocks: &[Block]) -> Vec<Drawing> {
    let mut sheets: Vec<Drawing> = Vec::new();
    // Where the next block goes, and where the next row begins, on the last sheet.
    let (mut at, mut row) = ((0.0, 0.0), 0.0);
    for block in blocks {
        let (w, h) = block.size;
        if at.0 > 0.0 && at.0 + w > MOST.0 + 1e-6 {
            at = (0.0, row);
        }
        if sheets.is_empty() || (at.1 > 0.0 && at.1 + h > MOST.1 + 1e-6) {
            sheets.push(Drawing::default());
            (at, row) = ((0.0, 0.0), 0.0);
        }
        if let Some(sheet) = sheets.last_mut() {
            sheet.lay(&block.drawing, (BODY.x + GAP + at.0, BODY.y + GAP + at.1));
        }
        row = f64::max(row, at.1 + h + GAP);
        at.0 += w + GAP;
    }
    sheets
}
