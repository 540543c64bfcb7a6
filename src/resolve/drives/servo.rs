//! `drive servo`: a limb on a servo's shaft, or moved through its arm and a rod.

use crate::model::{DriveKind, ServoDrive};
use crate::syntax::Block;
use crate::syntax::words::{Row, Sign, Table, Take, must};
use crate::units::Dimension as D;

use super::super::{part_words, parts};
use super::Context;

/// Its words.
pub static SERVO: Table = Table {
    name: "servo",
    title: "A hobby servo: the limb on its shaft, or through its arm and a rod.",
    rows: &[
        super::MOTOR,
        super::CRANK,
        super::ROD,
        super::LEVER,
        super::STANDOFF,
        super::ASSEMBLY,
        super::PREFER,
        part_words::PULSE,
        part_words::SLEW,
        Row::new(
            "zero",
            "The limb's angle where the servo's own angle is 0; left out: as it is drawn.",
            &[must("angle", Take::Open(D::Angle, Sign::Any))],
        ),
    ],
    bare: None,
};

/// The drive; any word of the linkage makes it one with arm and rod.
pub(super) fn read(block: Option<Block<'_>>, context: &Context) -> DriveKind {
    let linked = ["crank", "rod", "lever"].into_iter().any(|w| super::clause(block, w).is_some());
    DriveKind::Servo(ServoDrive {
        rod: linked.then(|| super::four_bar::linkage(block, context)),
        pulses: block.into_iter().flat_map(|b| b.all("pulse")).flat_map(parts::pulses).collect(),
        slew: super::clause(block, "slew").and_then(|c| Some((c.size("time")?, c.size("angle")?))),
        zero: super::said(block, ("zero", "angle"), context),
    })
}
