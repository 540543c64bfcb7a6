//! A ram or a cylinder from its dimensions: its lever, its places, and its own lengths.

use super::builds::{self, Dimension, Recipe};
use super::strut::built;
use crate::geometry::BoardPoint;
use crate::mechanism::{Lengths, Ram};
use crate::units::{Deg, Mm};

/// What an anchor's place is called.
pub(super) const ANCHOR: [&str; 2] = ["anchor, across", "anchor, up"];

/// How many dimensions [`own`] gives.
const OWN: usize = 3;

/// Its own lengths, pin to pin, as three ways in which they are found otherwise: it does
/// not draw in as far, or not push out as far, as its sheet says; or its pins stand
/// further apart at both ends, by an eye that is screwed out, with the same stroke.
///
/// A recipe has them last.
pub(super) fn own(of: Lengths) -> [Dimension; OWN] {
    [
        Dimension::bought("length drawn in", of.short),
        Dimension::bought("length pushed out", of.long),
        Dimension::bought("length with the same stroke", of.short),
    ]
}

/// The lengths that the last values of a recipe make of those drawn; `None` where they
/// make none.
pub(super) fn lengths(drawn: Lengths, values: &[f64]) -> Option<Lengths> {
    let &[.., short, long, both] = values else { return None };
    let further = Mm(both) - drawn.short;
    Lengths::new(Mm(short) + further, Mm(long) + further).ok()
}

/// How one on a lever is made: lever, clamp, where anchor and pivot are, and its own
/// lengths.
pub(super) fn recipe(drawn: &Ram) -> Recipe {
    let mut dimensions =
        vec![Dimension::length("lever", drawn.lever()), Dimension::angle("clamp", drawn.clamp())];
    dimensions.extend(builds::place(ANCHOR, drawn.anchor()));
    dimensions.extend(builds::place(builds::PIVOT, drawn.pivot()));
    dimensions.extend(own(drawn.lengths()));
    let drawn = *drawn;
    Recipe::new(dimensions, move |v| {
        let made = built(ram(&drawn, v)?)?;
        Some((made.mechanism, made.way))
    })
}

/// The strut of these values.
pub(super) fn ram(drawn: &Ram, values: &[f64]) -> Option<Ram> {
    let &[lever, clamp, ax, ay, px, py, ..] = values else { return None };
    let ends = (BoardPoint::mm(ax, ay), BoardPoint::mm(px, py));
    let size = (Mm(lever), Deg(clamp));
    let lengths = lengths(drawn.lengths(), values)?;
    Ram::new(drawn.strut(), ends, lengths, size, drawn.assembly()).ok()
}
