//! The cables from a supply to those that hang on it: what all that hangs there takes
//! through them together.

use super::cables::{CAUTION, DROP, NEARER, blows, judged_by, lost};
use super::draw::{Draws, converts, ratio, voltage};
use super::sweep::{Stretch, top};
use super::{Scene, amps, codes};
use crate::finding::Finding;
use crate::loads::{cable, site};
use crate::units::print::{self, decimal};
use crate::units::{Amp, Mm, Mm2, Ohm, Volt};

/// A cable from one supply to another.
pub(super) struct Feeder {
    /// The supply at its end, by index.
    child: usize,
    /// The supply it comes from.
    parent: usize,
    /// One conductor.
    conductor: Option<Mm2>,
    /// Its length, one way.
    run: Option<Mm>,
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
        let carried = given * ratio(scene, child);
        Some(Feeder { child, parent, conductor, run: supply.run, ohm, given, carried })
    };
    supplies.iter().enumerate().filter_map(one).collect()
}

/// Volts that a figure on a supply loses on the way to it by what others take, up to the
/// next regulated source.
pub(super) fn shared(scene: &Scene<'_>, supply: &str, own: Amp, feeders: &[Feeder]) -> Volt {
    let passed = passed(scene, supply, feeders);
    let lost = passed.iter().filter_map(|f| Some(f.ohm?.0 * (f.given.0 - own.0).max(0.0)));
    Volt(lost.sum())
}

/// The feeders between a supply and the next regulated source above it.
fn passed<'f>(scene: &Scene<'_>, supply: &str, feeders: &'f [Feeder]) -> Vec<&'f Feeder> {
    let supplies = &scene.yard.supplies;
    let chain = site::chain(scene.yard, supply);
    let names = (0..chain.len()).take_while(|&n| site::passes_on(&chain[n..]));
    let of = |n: usize| {
        let name = &chain[n].name.value;
        feeders.iter().find(|f| supplies[f.child].name.value == *name)
    };
    names.filter_map(of).collect()
}

/// What would do for the one feeder that stands between a figure's supply and its source,
/// where the figure's own cable leaves it so many volts.
pub(super) fn thicker(
    scene: &Scene<'_>,
    supply: &str,
    left: f64,
    feeders: &[Feeder],
) -> Option<String> {
    let passed = passed(scene, supply, feeders);
    let [feeder] = passed.as_slice() else { return None };
    feeder.would_do(scene, feeder.given, left)
}

impl Feeder {
    /// The conductor that keeps it within so many volts, in words.
    fn would_do(&self, scene: &Scene<'_>, amps: Amp, volts: f64) -> Option<String> {
        let run = self.run.filter(|_| volts > 0.0 && amps.0 > 0.0)?;
        let conductor = cable::conductor_for(run, amps, volts, scene.yard.system)?;
        let supplies = &scene.yard.supplies;
        Some(format!(
            "{} from {} to {} keeps it below 10 %.",
            print::conductor(conductor, scene.yard.system),
            supplies[self.parent].name.value,
            supplies[self.child].name.value
        ))
    }

    /// What a converter at its end is left: where none stands there, the figures behind it
    /// are told.
    pub fn dropped(&self, scene: &Scene<'_>, feeders: &[Feeder]) -> Option<Finding> {
        if !converts(scene, self.child) {
            return None;
        }
        let supplies = &scene.yard.supplies;
        let (parent, child) = (&supplies[self.parent], &supplies[self.child]);
        let (ohm, run, conductor) = (self.ohm?, self.run?, self.conductor?);
        let volts = voltage(scene, self.parent)?;
        let before = shared(scene, &parent.name.value, Amp(0.0), feeders);
        let own = ohm.0 * self.carried.0;
        let drop = own + before.0;
        if drop <= DROP * volts.0 {
            return None;
        }
        let system = scene.yard.system;
        let message = format!(
            "{} takes up to {} A through {} of {} from {}: {} of {} V are lost on the way, {} %.",
            child.name.value,
            amps(self.carried),
            print::cable_run(run, system, 1),
            print::conductor(conductor, system),
            parent.name.value,
            decimal(drop, 1),
            decimal(volts.0, 1),
            decimal(drop / volts.0 * 100.0, 0)
        );
        let help = self
            .would_do(scene, self.carried, DROP * volts.0 - before.0)
            .unwrap_or_else(|| NEARER.to_owned());
        let found = Finding::new(&codes::CABLE_DROP, child.name.place, message)
            .help(help)
            .given("at most at one moment", format!("{} A", decimal(self.carried.0, 3)))
            .given("cable, one way", print::cable_run(run, system, 2))
            .given("conductor", print::conductor(conductor, system));
        let found = found.steps([lost(self.carried, run, conductor)]);
        let found = match before.0 > 0.0 {
            true => found
                .given("lost before it, by all that runs", format!("{} V", decimal(before.0, 2)))
                .sum("together", format!("{} + {}", decimal(own, 2), decimal(before.0, 2)), {
                    format!("{} V", decimal(drop, 2))
                }),
            false => found,
        };
        Some(found.steps(judged_by(Volt(drop), volts)))
    }

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
