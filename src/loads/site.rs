//! What the yard gives a figure: wind, ground, power.

use crate::model::{Placed, Winds, Yard};
use crate::units::{Mm, Mm2, Volt};

/// What a figure meets where it stands. Two figures of one kind on equal sites
/// have equal loads.
#[derive(Clone, Debug, PartialEq)]
pub struct Site {
    /// Gusts.
    pub winds: Winds,
    /// Whether both gusts were said in the yard, or one was assumed.
    pub winds_said: bool,
    /// Soil, as written.
    pub soil: Option<String>,
    /// The figure's feed; `None` where no supply is named.
    pub feed: Option<Feed>,
}

/// The cable from a supply to a figure.
#[derive(Clone, Debug, PartialEq)]
pub struct Feed {
    /// The supply.
    pub supply: String,
    /// Its voltage at its terminals.
    pub voltage: Option<Volt>,
    /// Length of the cable, one way: as said, or the straight line and a fifth.
    pub run: Option<Mm>,
    /// Whether that length was said.
    pub measured: bool,
    /// Cross-section of one conductor.
    pub conductor: Option<Mm2>,
}

impl Site {
    /// Where a figure stands.
    #[must_use]
    pub fn of(yard: &Yard, placed: &Placed) -> Self {
        Self {
            winds: yard.winds,
            winds_said: !yard.assumed.iter().any(|n| n.settle.starts_with("wind ")),
            soil: yard.soil.as_ref().map(|s| s.value.clone()),
            feed: feed(yard, placed),
        }
    }
}

fn feed(yard: &Yard, placed: &Placed) -> Option<Feed> {
    let said = placed.figure.feed.as_ref()?;
    let supply = yard.supplies.iter().find(|s| s.name.value == said.supply.value)?;
    let straight = supply.at.map(|at| at.distance(placed.at) * 1.2);
    Some(Feed {
        supply: supply.name.value.clone(),
        voltage: said.voltage.or(supply.voltage),
        run: said.run.or(straight),
        measured: said.run.is_some(),
        conductor: supply.cable,
    })
}
