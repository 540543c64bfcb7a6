//! From the yard to the paper and back.

use super::place::Footprint;
use super::sheet::{Layout, origin};
use crate::emit::svg::P;
use crate::model::{Supply, Yard};

/// Where the yard lies on the sheet.
#[derive(Clone, Copy, Debug)]
pub struct Field {
    /// Paper place of the yard's south-west extreme.
    origin: P,
    /// The south-west extreme, yard mm.
    low: P,
    /// Paper mm to a yard mm.
    pub k: f64,
}

impl Field {
    /// The field of a layout that shows `low` to `high`.
    pub fn new(low: P, high: P, layout: &Layout) -> Self {
        let size = (high.0 - low.0, high.1 - low.1);
        Self { origin: origin(size, layout), low, k: 1.0 / layout.scale }
    }

    /// The paper place of a point of the yard.
    pub fn at(&self, (east, north): P) -> P {
        (
            self.origin.0 + (east - self.low.0) * self.k,
            self.origin.1 - (north - self.low.1) * self.k,
        )
    }
}

/// Everything with a place must be on the sheet: the corners of what is shown.
pub fn extent(yard: &Yard, prints: &[Option<Footprint>]) -> (P, P) {
    let size = (yard.size.0.0, yard.size.1.0);
    let mut points = vec![(0.0, 0.0), size];
    for print in prints.iter().flatten() {
        for part in [Some(print.board), print.before, print.behind].into_iter().flatten() {
            points.extend([print.point(part.lo, 0.0), print.point(part.hi, 0.0)]);
        }
        points.push(print.origin());
    }
    points.extend(yard.supplies.iter().filter_map(|s| s.at).map(|p| (p.x, p.y)));
    points.extend(yard.controllers.iter().filter_map(|c| c.at).map(|p| (p.x, p.y)));
    points.extend(yard.pegs.iter().map(|p| (p.at.x, p.at.y)));
    points.extend(yard.shows.iter().filter_map(|s| s.sound.speaker).map(|p| (p.x, p.y)));
    points.retain(|p| p.0.is_finite() && p.1.is_finite());
    points.iter().fold(((0.0, 0.0), (1000.0, 1000.0)), |(lo, hi): (P, P), p| {
        ((lo.0.min(p.0), lo.1.min(p.1)), (hi.0.max(p.0), hi.1.max(p.1)))
    })
}

/// Where a supply stands: its own place, or that of what feeds it.
pub fn supply_place(yard: &Yard, supply: &Supply) -> Option<P> {
    let mut at = supply;
    for _ in 0..=yard.supplies.len() {
        if let Some(p) = at.at {
            return Some((p.x, p.y)).filter(|p| p.0.is_finite() && p.1.is_finite());
        }
        let from = at.from.as_ref()?;
        at = yard.supplies.iter().find(|s| s.name.value == from.value)?;
    }
    None
}
