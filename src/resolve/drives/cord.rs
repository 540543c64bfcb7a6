//! `drive cord`: a cord that pulls one way.

use crate::model::{CordDrive, DriveKind};
use crate::syntax::Block;
use crate::syntax::words::{Row, Sign, Table, Take, must};
use crate::units::Dimension as D;

use super::super::plane;
use super::Context;

const LENGTH: Take = Take::Quantity(D::Length, Sign::Positive);

/// Its words.
pub static CORD: Table = Table {
    name: "cord",
    title: "A cord that pulls one way; gravity or a spring brings the limb back.",
    rows: &[
        super::MOTOR,
        super::CRANK,
        super::LEVER,
        super::ASSEMBLY,
        super::PREFER,
        super::RETURN,
        Row::new(
            "spool",
            "Diameter of the spool that winds it.",
            &[must("diameter", Take::Open(D::Length, Sign::Positive))],
        ),
        Row::new(
            "length",
            "Its whole length, pin to pin.",
            &[must("length", Take::Open(D::Length, Sign::Positive))],
        ),
        Row::new(
            "breaks",
            "The pull at which it breaks.",
            &[must("force", Take::Quantity(D::Force, Sign::Positive))],
        ),
        Row::new("thickness", "Its own diameter.", &[must("diameter", LENGTH)]),
        Row::new("guides", "Pulleys or eyes it runs over.", &[must("at", Take::Points)]),
        Row::new(
            "pulleys",
            "Diameter of its guides where they are pulleys that turn; left out: plain eyes.",
            &[must("diameter", LENGTH)],
        ),
        super::strut::BORE,
        super::strut::STROKE,
        super::strut::AIR,
        super::strut::THROTTLE,
    ],
    bare: None,
};

/// The drive.
pub(super) fn read(block: Option<Block<'_>>, context: &Context) -> DriveKind {
    let eyes = super::clause(block, "guides").into_iter().flat_map(|c| c.values("at"));
    let guides = eyes.filter_map(|v| v.point()).map(|p| plane::board(p.value)).collect();
    DriveKind::Cord(Box::new(CordDrive {
        crank: super::said(block, ("crank", "length"), context),
        spool: super::said(block, ("spool", "diameter"), context),
        lever: super::said(block, ("lever", "length"), context),
        clamp: super::clamp(block, context),
        length: super::said(block, ("length", "length"), context),
        guides,
        assembly: super::assembly(block),
        prefer: super::prefer(block),
        back: super::back(block),
        breaks: super::clause(block, "breaks").and_then(|c| c.size("force")),
        thickness: super::clause(block, "thickness").and_then(|c| c.size("diameter")),
        pulleys: super::clause(block, "pulleys").and_then(|c| c.size("diameter")),
        air: super::strut::air(block),
    }))
}
