//! What a limb's supply is asked for at its worst moment, sum by sum.

use super::sizes::decimal;
use crate::check::Compiled;
use crate::finding::Step;
use crate::power::drop_steps;

/// What a figure's cable loses at its highest current, and what is let pass.
#[must_use]
pub fn cable(compiled: &Compiled, place: (usize, usize)) -> Vec<Step> {
    let name = &compiled.yard.figures[place.0].name.value;
    let load = compiled.power.cables.iter().find(|c| c.figure == *name);
    let Some((load, sums)) = load.and_then(|l| Some((l, drop_steps(l)?))) else {
        return Vec::new();
    };
    let running = format!("{} A", decimal(load.running.0, 3));
    let mut steps = vec![Step::given("at most at one moment", running)];
    steps.extend(sums);
    steps
}

/// The highest current of the supply that feeds a limb's motor, and what it is made of.
#[must_use]
pub fn steps(compiled: &Compiled, place: (usize, usize)) -> Vec<Step> {
    let figure = &compiled.yard.figures[place.0].figure;
    let loaded = &compiled.loads[place.0];
    let feed = figure.motor_of(place.1).and_then(|m| loaded.site.feed_of(m));
    let Some(name) = feed.map(|f| f.supply.as_str()) else { return Vec::new() };
    let Some(supply) = compiled.power.supplies.iter().find(|s| s.name == name) else {
        return Vec::new();
    };
    let Some(peak) = &supply.peak else { return Vec::new() };
    let amps = |what: String, sum: String, value: f64| Step {
        what,
        sum,
        result: format!("{} A", decimal(value, 2)),
    };
    let shares = peak.of.iter().zip(&peak.shares);
    let mut steps: Vec<Step> =
        shares.map(|(what, a)| amps(what.clone(), String::new(), a.0)).collect();
    let sum: Vec<String> = peak.shares.iter().map(|a| decimal(a.0, 2)).collect();
    let at = format!("{name}, {} s into {}", decimal(peak.at.0, 1), peak.show);
    steps.push(amps(at, sum.join(" + "), peak.amps.0));
    steps.push(amps("running alone, without starts".into(), String::new(), peak.running.0));
    let limit = compiled.yard.supplies.iter().find(|s| s.name.value == name).and_then(|s| s.limit);
    if let Some(limit) = limit {
        steps.push(amps("it gives".into(), String::new(), limit.0));
        let result = format!("{} s", decimal(peak.over.0, 2));
        steps.push(Step { what: "above that, in all".into(), sum: String::new(), result });
    }
    steps
}
