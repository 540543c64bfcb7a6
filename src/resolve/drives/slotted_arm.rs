//! `drive slotted-arm`: a crank pin in a slot of the limb or of its lever.

use crate::model::{DriveKind, SlottedDrive};
use crate::syntax::Block;
use crate::syntax::words::{Row, Sign, Table, Take, key, may};
use crate::units::Dimension as D;

use super::Context;

/// Its words.
pub static SLOTTED_ARM: Table = Table {
    name: "slotted-arm",
    title: "A crank pin in a slot of the limb or of its lever: quick return.",
    rows: &[
        super::MOTOR,
        super::CRANK,
        super::LEVER,
        super::STANDOFF,
        super::PREFER,
        Row::new(
            "slot",
            "Length of the slot; how far it lies beside the pivot (`offset`: left of it, looking outwards \
             along the slot; negative: right); its angle from the limb's axis, counter-clockwise (`at`); \
             the diameter of a roller on the crank pin (left out: the bare pin runs in it); and how wide the \
             lever is that it is cut in, behind the board of a limb in front (`lever-width`).",
            &[
                may("length", Take::Open(D::Length, Sign::Positive)),
                key("offset", "offset", Take::Quantity(D::Length, Sign::Any)),
                key("at", "at", Take::Open(D::Angle, Sign::Any)),
                key("roller", "roller", Take::Quantity(D::Length, Sign::Positive)),
                key("lever-width", "lever-width", Take::Quantity(D::Length, Sign::Positive)),
            ],
        ),
    ],
    bare: None,
};

/// The drive; the slot's angle is said with the slot or with the lever it is cut in.
pub(super) fn read(block: Option<Block<'_>>, context: &Context) -> DriveKind {
    let of_slot = super::part(block, "slot", "at").map(|at| super::sized(Some(at), context.system));
    DriveKind::SlottedArm(SlottedDrive {
        crank: super::said(block, ("crank", "length"), context),
        clamp: of_slot.unwrap_or_else(|| super::clamp(block, context)),
        slot: super::said(block, ("slot", "length"), context),
        lever: super::said(block, ("lever", "length"), context),
        offset: super::given(block, "slot", "offset").unwrap_or_default(),
        roller: super::clause(block, "slot").and_then(|c| c.size("roller")),
        lever_width: super::clause(block, "slot").and_then(|c| c.size("lever-width")),
        prefer: super::prefer(block),
    })
}
