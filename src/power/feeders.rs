//! The cables from a supply to those that hang on it: what all that hangs there takes
//! through them together.

use super::cables::{CAUTION, blows};
use super::draw::{Draws, ratio, voltage};
use super::sweep::{Stretch, top};
use super::{Scene, codes};
use crate::finding::Finding;
use crate::loads::{cable, site};
use crate::units::print::{self, decimal};
use crate::units::{Amp, Mm2, Ohm, Volt};

/// A cable from one supply to another.
pub(super) struct Feeder {
    /// The supply at its end, by index.
    child: usize,
    /// The supply it comes from.
    parent: usize,
    /// One conductor.
    conductor: Option<Mm2>,
    /// Resistance there and back, where its length is known too.
    ohm: Option<Ohm>,
    /// Highest running current at the child's own voltage, in any show.
    given: Amp,
    /// The same in the cable, at the parent's voltage.
    carried: Amp,
}

/// Every such cable.
pub(super) fn all(scene: &Scene<'_>, draws: &Draws) -> Vec<Feeder> {
    let supplies = &scene.yard.supplies;
    let one = |(child, supply): (usize, &crate::model::Supply)| {
        let from = supply.from.as_ref()?;
        let parent = supplies.iter().position(|s| s.name.value == from.value)?;
        let conductor = supplies[parent].cable.or(supply.cable);
        let ohm = supply.run.zip(conductor).map(|(run, c)| cable::resistance(run, c));
        let in_show = |show: usize| {
            let own = draws.all.iter().filter(|d| d.show == show && d.supply == child && !d.start);
            top(own.map(|d| Stretch { from: d.from, to: d.to, amps: d.amps }), None)
        };
        let shows = (0..scene.performances.len()).filter_map(in_show);
        let given = shows.map(|t| t.amps).fold(Amp(0.0), Amp::max);
        let carried = given * ratio(supply.voltage, voltage(scene, parent));
        Some(Feeder { child, parent, conductor, ohm, given, carried })
    };
    supplies.iter().enumerate().filter_map(one).collect()
}

/// Volts that a figure on a supply loses on the way to it by what others take, up to the
/// next regulated source.
pub(super) fn shared(scene: &Scene<'_>, supply: &str, own: Amp, feeders: &[Feeder]) -> Volt {
    let supplies = &scene.yard.supplies;
    let passed = site::chain(scene.yard, supply).into_iter().take_while(|s| s.voltage.is_none());
    let lost = passed.filter_map(|s| {
        let feeder = feeders.iter().find(|f| supplies[f.child].name.value == s.name.value)?;
        Some(feeder.ohm?.0 * (feeder.given.0 - own.0).max(0.0))
    });
    Volt(lost.sum())
}

impl Feeder {
    /// The fuse before it, against what it may carry and what it does.
    pub fn judged(&self, scene: &Scene<'_>) -> Option<Finding> {
        let supplies = &scene.yard.supplies;
        let (parent, child) = (&supplies[self.parent], &supplies[self.child]);
        let fuse = parent.fuse?;
        let largest = self.conductor.and_then(cable::largest_fuse);
        let what = format!("the feeder from {} to {}", parent.name.value, child.name.value);
        let place = child.name.place;
        if let (Some(largest), Some(conductor)) = (largest.filter(|l| fuse > *l), self.conductor) {
            let message = format!(
                "a fuse of {} A does not protect {what} of {}: it may carry {} A.",
                decimal(fuse.0, 1),
                print::conductor(conductor, scene.yard.system),
                decimal(largest.0, 1)
            );
            let help =
                format!("take one of {} A, or a thicker cable; {CAUTION}.", decimal(largest.0, 1));
            return Some(Finding::new(&codes::CABLE_UNPROTECTED, place, message).help(help));
        }
        let found = blows(fuse, self.carried, largest, &what)?;
        Some(Finding { place: Some(place), ..found })
    }
}
