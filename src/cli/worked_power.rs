//! What a limb's supply is asked for at its worst moment, sum by sum.

use super::sizes::decimal;
use crate::check::Compiled;
use crate::finding::Step;
use crate::power::{AirUse, CableLoad, FUSED, SupplyLoad, drop_steps};

/// The supply that feeds a limb's motor.
fn supply_of(compiled: &Compiled, place: (usize, usize)) -> Option<&SupplyLoad> {
    let motor = compiled.yard.figures[place.0].figure.motor_of(place.1)?;
    let name = &compiled.loads[place.0].site.feed_of(motor)?.supply;
    compiled.power.supplies.iter().find(|s| s.name == *name)
}

/// The cable that feeds a limb's motor.
fn fed_by(compiled: &Compiled, place: (usize, usize)) -> Option<&CableLoad> {
    let placed = &compiled.yard.figures[place.0];
    let motor = placed.figure.motor_of(place.1);
    let supply = motor.and_then(|m| compiled.loads[place.0].site.feed_of(m)).map(|f| &f.supply);
    let mut cables = compiled.power.cables.iter().filter(|c| c.figure == placed.name.value);
    cables.find(|c| supply.is_none_or(|s| *s == c.supply))
}

/// What a figure's cable loses at its highest current, and what is let pass.
#[must_use]
pub fn cable(compiled: &Compiled, place: (usize, usize)) -> Vec<Step> {
    let load = fed_by(compiled, place);
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
    let Some(supply) = supply_of(compiled, place) else { return Vec::new() };
    let name = &supply.name;
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
    let limit = compiled.yard.supplies.iter().find(|s| s.name.value == *name).and_then(|s| s.limit);
    if let Some(limit) = limit {
        steps.push(amps("it gives".into(), String::new(), limit.0));
        let result = format!("{} s", decimal(peak.over.0, 2));
        steps.push(Step { what: "above that, in all".into(), sum: String::new(), result });
    }
    steps
}

/// The fuse before a limb's cable, against what runs through it and what the cable may carry.
#[must_use]
pub fn fuse(compiled: &Compiled, place: (usize, usize)) -> Vec<Step> {
    let Some(load) = fed_by(compiled, place) else { return Vec::new() };
    let amps = |a: f64| format!("{} A", decimal(a, 2));
    let mut steps = Vec::new();
    if load.running.0 > 0.0 {
        steps.push(Step::given("at most at one moment", amps(load.running.0)));
        let sum = format!("{FUSED} x {}", amps(load.running.0));
        steps.push(Step::new("for hours its fuse is to carry", sum, amps(FUSED * load.running.0)));
    }
    let fuses = [
        ("its fuse", load.fuse),
        ("the smallest one sold that does", load.fuse_advised.filter(|_| load.fuse.is_none())),
        ("largest fuse of such a conductor, by table", load.fuse_largest),
    ];
    steps.extend(fuses.into_iter().filter_map(|(what, a)| Some(Step::given(what, amps(a?.0)))));
    steps
}

/// What a night takes from a limb's supply, by what hangs on it.
#[must_use]
pub fn night(compiled: &Compiled, place: (usize, usize)) -> Vec<Step> {
    let Some(supply) = supply_of(compiled, place) else { return Vec::new() };
    let Some(charge) = supply.charge else { return Vec::new() };
    let ah = |v: f64| format!("{} Ah", decimal(v, 4));
    let each = supply.drawers.iter().map(|d| {
        let sum = format!("{} A x {} h", decimal(d.mean.0, 3), decimal(d.night, 4));
        Step::new(d.name.clone(), sum, ah(d.mean.0 * d.night))
    });
    let mut steps: Vec<Step> = each.collect();
    steps.push(Step::new("a night, all together", "", ah(charge.0)));
    let named = compiled.yard.supplies.iter().find(|s| s.name.value == supply.name);
    if let Some(full) = named.and_then(|s| s.battery) {
        steps.push(Step::given("its charge", format!("{} Ah", decimal(full.0, 3))));
    }
    steps
}

/// What a night leaves in the tank that a limb's cylinder takes its air from.
#[must_use]
pub fn tank(compiled: &Compiled, place: (usize, usize)) -> Vec<Step> {
    let placed = &compiled.yard.figures[place.0];
    let Some(motor) = placed.figure.motor_of(place.1) else { return Vec::new() };
    let name = format!("{}.{}", placed.name.value, placed.figure.actuators[motor].name);
    let fed = |air: &&AirUse| air.strokes.iter().any(|s| s.name == name);
    let Some(air) = compiled.power.air.iter().find(fed) else { return Vec::new() };
    let Some(level) = &air.level else { return Vec::new() };
    let mut steps: Vec<Step> =
        level.inputs.iter().map(crate::loads::wind_limit::Input::step).collect();
    let strokes = air.strokes.iter().filter(|s| s.show == level.show);
    steps.extend(strokes.map(|s| {
        let count = f64::from(u32::try_from(s.count).unwrap_or(u32::MAX));
        let all = decimal(s.each.0 * count, 3);
        let sum = format!("{} strokes x {} standard l", s.count, decimal(s.each.0, 3));
        Step::new(format!("{} takes in {}", s.name, s.show), sum, format!("{all} standard l"))
    }));
    let least = format!("{} kPa", decimal(level.least.0 * 1e-3, 1));
    let sum = format!(
        "{} s into run {} of {}: what it held, with what its pump gave since, less each stroke",
        decimal(level.at.0, 1),
        level.run,
        level.show
    );
    steps.push(Step::new("it falls to", sum, least));
    let own = air.strokes.iter().find(|s| s.name == name);
    let fed = own.and_then(|s| s.inputs.iter().find(|i| i.name == "pressure"));
    steps.extend(fed.map(|i| Step::given(format!("{name} is fed with"), i.step().result)));
    if let Some(refill) = level.refill {
        steps.push(Step::given("filled again after", format!("{} s", decimal(refill.0, 1))));
    }
    steps
}

/// How much a limb moves, show by show.
#[must_use]
pub fn wear(compiled: &Compiled, place: (usize, usize)) -> Vec<Step> {
    let wear = compiled.power.wear.get(place.0).and_then(|w| w.get(place.1));
    let Some(wear) = wear.filter(|w| w.cycles > 0.0) else { return Vec::new() };
    let mut steps = Vec::new();
    for of in &wear.shows {
        let cycles = decimal(of.cycles * f64::from(of.runs), 1);
        let sum = format!("{} x {} runs", decimal(of.cycles, 2), of.runs);
        steps.push(Step::new(format!("to and fro in {}", of.show), sum, cycles));
        let sum = format!("{} s x {} runs / 3600", decimal(of.time.0, 2), of.runs);
        let hours = of.time.0 * f64::from(of.runs) / 3600.0;
        let hours = format!("{} h", decimal(hours, 2));
        steps.push(Step::new(format!("in motion in {}", of.show), sum, hours));
    }
    steps.extend(wear.inputs.iter().map(crate::loads::wind_limit::Input::step));
    let share = format!("{} %", decimal(wear.duty * 100.0, 2));
    steps.push(Step::new("share of the busiest ten minutes in motion", "", share));
    steps
}
