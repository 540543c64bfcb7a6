//! `drive spin`: a limb that turns on and on.

use crate::model::{DriveKind, SpinDrive};
use crate::syntax::words::{Row, Sign, Table, Take, flag, key, many, must};
use crate::syntax::{Block, Clause};
use crate::units::Dimension as D;

use super::Context;

/// Its words.
pub static SPIN: Table = Table {
    name: "spin",
    title: "Continuous turning: on the motor's shaft, or by belt, chain or gears.",
    rows: &[
        super::MOTOR,
        Row::new("direct", "On the motor's own shaft.", &[]),
        Row::new(
            "belt",
            "A toothed belt: teeth on the motor, teeth on the limb; `crossed` turns the other way. \
             `length ?` takes the nearest whole number of teeth, or of a row of stocked lengths. \
             `width` is that of its pulleys with their hubs.",
            WHEELS,
        ),
        Row::new(
            "chain",
            "A chain: teeth on the motor, teeth on the limb; `width` of its sprockets.",
            WHEELS,
        ),
        Row::new(
            "gears",
            "Gears that mesh in this order, the motor's first; every mesh turns the other way.",
            &[
                many("teeth", Take::Count),
                key("module", "module", Take::Quantity(D::Length, Sign::Positive)),
                key("width", "width", Take::Quantity(D::Length, Sign::Positive)),
            ],
        ),
        Row::new(
            "ratio",
            "Turns of the limb per turn of the motor, where no teeth are said.",
            &[must("ratio", Take::Number), flag("reversed")],
        ),
        Row::new(
            "breaks",
            "The pull at which its belt jumps over its teeth, or its chain breaks.",
            &[must("force", Take::Quantity(D::Force, Sign::Positive))],
        ),
    ],
    bare: None,
};

const WHEELS: &[crate::syntax::words::Part] = &[
    many("teeth", Take::Count),
    flag("crossed"),
    key("pitch", "pitch", Take::Quantity(D::Length, Sign::Positive)),
    key("length", "length", Take::Open(D::Length, Sign::Positive)),
    key("width", "width", Take::Quantity(D::Length, Sign::Positive)),
];

fn teeth(clause: Clause<'_>) -> Vec<u32> {
    clause.values("teeth").filter_map(|v| v.count()).collect()
}

/// First teeth over last: what a train with idlers comes to; nought where a wheel has no
/// teeth, which the fit refuses.
fn ratio(teeth: &[u32]) -> f64 {
    match teeth {
        [first, .., last] if *last > 0 => f64::from(*first) / f64::from(*last),
        [_, .., _] => 0.0,
        _ => 1.0,
    }
}

/// The drive; without a word it is direct.
pub(super) fn read(block: Option<Block<'_>>, context: &Context) -> DriveKind {
    let said = train(block, context).unwrap_or(SpinDrive::of_ratio(1.0));
    let breaks = super::clause(block, "breaks").and_then(|c| c.size("force"));
    DriveKind::Spin(SpinDrive { breaks, ..said })
}

fn train(block: Option<Block<'_>>, context: &Context) -> Option<SpinDrive> {
    for by in ["belt", "chain"] {
        if let Some(c) = super::clause(block, by) {
            let (teeth, crossed) = (teeth(c), c.has("crossed"));
            let sign = if crossed { -1.0 } else { 1.0 };
            return Some(SpinDrive {
                by,
                teeth: teeth.clone(),
                crossed,
                pitch: c.size("pitch"),
                width: c.size("width"),
                length: super::said(block, (by, "length"), context),
                place: Some(c.place()),
                ..SpinDrive::of_ratio(sign * ratio(&teeth))
            });
        }
    }
    if let Some(c) = super::clause(block, "gears") {
        let teeth = teeth(c);
        let meshes = teeth.len().saturating_sub(1);
        let sign = if meshes % 2 == 1 { -1.0 } else { 1.0 };
        let ratio = sign * ratio(&teeth);
        return Some(SpinDrive {
            by: "gears",
            teeth,
            module: c.size("module"),
            width: c.size("width"),
            place: Some(c.place()),
            ..SpinDrive::of_ratio(ratio)
        });
    }
    let c = super::clause(block, "ratio")?;
    let sign = if c.has("reversed") { -1.0 } else { 1.0 };
    Some(SpinDrive::of_ratio(sign * c.value("ratio")?.number()?))
}
