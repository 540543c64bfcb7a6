//! What draws current, when, and how much.

use std::collections::{BTreeMap, BTreeSet};

use super::{Scene, inputs};
use crate::loads::wind_limit::Input;
use crate::make::{Drawn, SERVO_STALL, drawn};
use crate::model::{Actuator, MotorKind, MotorType, Note};
use crate::timing::{Channel, ChannelKind};
use crate::units::print::decimal;
use crate::units::{Amp, Sec, Volt};

/// A motor's first current has died down after this long: some three times constants of
/// a small gear motor (20 to 60 ms; common practice, no source).
const START: Sec = Sec(0.1);
/// Servo commands this close to each other, deg/s, are a standstill.
const STILL: f64 = 0.5;

/// One stretch of current.
#[derive(Clone, Debug, PartialEq)]
pub struct Draw {
    /// The supply it comes from, by index.
    pub supply: usize,
    /// The show, by index.
    pub show: usize,
    /// The figure, by index.
    pub figure: usize,
    /// What draws it: `bear.drum`.
    pub name: String,
    /// Start, after the start signal.
    pub from: Sec,
    /// End.
    pub to: Sec,
    /// Current at the supply's own voltage.
    pub amps: Amp,
    /// Mean current, for the energy.
    pub mean: Amp,
    /// Whether it is only what a start takes on top.
    pub start: bool,
    /// The converter or tap that it comes through, where it hangs on another supply.
    pub through: Option<usize>,
}

/// What the currents rest on.
#[derive(Clone, Debug, Default)]
pub struct Draws {
    /// All stretches.
    pub all: Vec<Draw>,
    /// What the currents follow from, by the name of what draws them.
    pub inputs: BTreeMap<String, Vec<Input>>,
    /// What was assumed, by supply.
    pub assumed: Vec<(usize, Note)>,
    /// What could not be counted, by supply.
    pub not_counted: Vec<(usize, Note)>,
}

/// Currents of one motor.
#[derive(Clone, Copy, Debug)]
struct Amps {
    /// Largest while it runs.
    running: f64,
    /// Mean while it runs.
    mean: f64,
    /// At each start.
    start: f64,
}

impl Amps {
    fn of(drawn: Drawn) -> Self {
        let running = drawn.running.0;
        Self { running, mean: running, start: drawn.start.0 }
    }
}

/// Everything that draws current in any show.
pub(super) fn all(scene: &Scene<'_>) -> Draws {
    let mut draws = Draws::default();
    for (show, played) in scene.performances.iter().enumerate() {
        for part in &played.figures {
            let Some(figure) = scene.figure(&part.figure) else { continue };
            for channel in &part.channels {
                of_channel(scene, show, figure, channel, &mut draws);
            }
        }
        for figure in 0..scene.yard.figures.len() {
            lamps(scene, show, figure, played.duration, &mut draws);
        }
    }
    pass_on(scene, &mut draws);
    for notes in [&mut draws.assumed, &mut draws.not_counted] {
        notes.sort();
        notes.dedup();
    }
    draws
}

/// The supply of a motor, by index.
fn supply_of(scene: &Scene<'_>, figure: usize, motor: usize) -> Option<usize> {
    let name = &scene.loads[figure].site.feed_of(motor)?.supply;
    scene.yard.supplies.iter().position(|s| s.name.value == *name)
}

fn of_channel(scene: &Scene<'_>, show: usize, figure: usize, channel: &Channel, draws: &mut Draws) {
    let placed = &scene.yard.figures[figure];
    let motor = placed.figure.actuators.iter().position(|a| a.name == channel.name);
    let Some(motor) = motor else { return };
    let Some(supply) = supply_of(scene, figure, motor) else { return };
    let name = format!("{}.{}", placed.name.value, channel.name);
    let actuator = &placed.figure.actuators[motor];
    let Some(amps) = amps(scene, figure, motor, actuator, supply, draws) else {
        if actuator.motor.kind != MotorKind::Cylinder {
            let what = format!("{name} (its current is not given)");
            draws.not_counted.push((supply, Note::new(what, current_of(&actuator.motor))));
        }
        return;
    };
    if !draws.inputs.contains_key(&name) {
        let (loaded, own) = (&scene.loads[figure], &placed.figure);
        let cycle = own.driven_by(motor).find_map(|l| loaded.limbs[l].cycle.as_ref());
        let graded = cycle.map(|c| c.motor.grade);
        let feed = loaded.site.feed_of(motor);
        let point = loaded.motors.get(motor);
        let found = point.map(|p| inputs::of_motor(actuator, p, graded, feed));
        draws.inputs.insert(name.clone(), found.unwrap_or_default());
    }
    for (from, to) in busy(channel) {
        let base = Draw {
            supply,
            show,
            figure,
            name: name.clone(),
            from,
            to,
            amps: Amp(amps.running),
            mean: Amp(amps.mean),
            start: false,
            through: None,
        };
        if amps.start > amps.running {
            draws.all.push(Draw {
                to: (from + START).min(to),
                amps: Amp(amps.start - amps.running),
                mean: Amp(0.0),
                start: true,
                ..base.clone()
            });
        }
        draws.all.push(base);
    }
}

/// What a motor draws.
fn amps(
    scene: &Scene<'_>,
    figure: usize,
    motor: usize,
    actuator: &Actuator,
    supply: usize,
    draws: &mut Draws,
) -> Option<Amps> {
    let sheet = &actuator.motor;
    let point = scene.loads[figure].motors.get(motor)?;
    match sheet.kind {
        MotorKind::Brushed | MotorKind::Spool => {
            let load = point.brushed()?;
            let (running, mean) = (load.current().0, load.mean_current().0);
            Some(Amps { running, mean, start: load.start.0 })
        }
        MotorKind::Servo => {
            if sheet.stall_current.is_none() {
                let what = format!(
                    "{} stalls at {SERVO_STALL} A, as an HS-311-class servo does",
                    sheet.name
                );
                let words = sheet.stall.map_or_else(
                    || "stall 0.3 N.m 0.8 A".to_owned(),
                    |t| format!("stall {} N.m {SERVO_STALL} A", decimal(t.0, 3)),
                );
                draws.assumed.push((supply, Note::new(what, sheet.settle(&words))));
            }
            Some(Amps::of(drawn(sheet, point)?))
        }
        MotorKind::Ram => {
            let amps = Amps::of(drawn(sheet, point)?);
            let what = format!(
                "{} draws what its rated push takes at 25 % efficiency, three times that at its start",
                sheet.name
            );
            draws.assumed.push((supply, Note::new(what, "")));
            Some(amps)
        }
        MotorKind::Synchronous => {
            let running = sheet.free_current?.0;
            Some(Amps { running, mean: running, start: running })
        }
        MotorKind::Cylinder => None,
    }
}

/// The clause that says what a motor draws, with what its sheet says already.
fn current_of(sheet: &MotorType) -> String {
    let free = sheet.free.map_or_else(|| "45".to_owned(), |n| decimal(n.0, 2));
    let stall = sheet.stall.map_or_else(|| "14".to_owned(), |t| decimal(t.0, 3));
    let words = match sheet.kind {
        MotorKind::Synchronous => format!("free {free} rpm 0.2 A"),
        MotorKind::Servo => format!("stall {stall} N.m 0.8 A"),
        MotorKind::Ram | MotorKind::Cylinder => {
            "voltage 12 V  force 500 N  speed 10 mm/s".to_owned()
        }
        MotorKind::Brushed | MotorKind::Spool => {
            format!("voltage 12 V  free {free} rpm 1.2 A  stall {stall} N.m 16 A")
        }
    };
    sheet.settle(&words)
}

/// When a channel asks for current.
fn busy(channel: &Channel) -> Vec<(Sec, Sec)> {
    let pairs = channel.keys.windows(2);
    let moving = pairs.filter(|pair| match channel.kind {
        ChannelKind::Angle => {
            let time = (pair[1].at - pair[0].at).0;
            time > 0.0 && (pair[1].value - pair[0].value).abs() / time > STILL
        }
        _ => pair[0].value != 0.0,
    });
    let mut all: Vec<(Sec, Sec)> = Vec::new();
    for pair in moving {
        let turned = match channel.kind {
            // A servo that turns round starts anew; one that goes on does not.
            ChannelKind::Angle => false,
            _ => pair[0].value < 0.0,
        };
        match all.last_mut() {
            Some(last) if (pair[0].at - last.1).0 < 1e-6 && !turned => last.1 = pair[1].at,
            _ => all.push((pair[0].at, pair[1].at)),
        }
    }
    all
}

/// Lights burn for the whole show.
fn lamps(scene: &Scene<'_>, show: usize, figure: usize, to: Sec, draws: &mut Draws) {
    let placed = &scene.yard.figures[figure];
    let Some(feed) = &scene.loads[figure].site.feed else { return };
    let supply = scene.yard.supplies.iter().position(|s| s.name.value == feed.supply);
    let (Some(supply), Some(volts)) = (supply, feed.voltage) else { return };
    if placed.idle() {
        return;
    }
    for lamp in &placed.figure.lamps {
        let name = format!("{}.{}", placed.name.value, lamp.name);
        let Some(power) = lamp.power else {
            let what = format!("{name} (its power is not given)");
            draws
                .not_counted
                .push((supply, Note::new(what, format!("lamp {} power 5 W", lamp.name))));
            continue;
        };
        let amps = Amp(power.0 / volts.0);
        let from = Sec(0.0);
        draws.inputs.entry(name.clone()).or_insert_with(|| inputs::of_lamp(lamp, volts));
        let (start, through) = (false, None);
        draws.all.push(Draw {
            supply,
            show,
            figure,
            name,
            from,
            to,
            amps,
            mean: amps,
            start,
            through,
        });
    }
}

/// What a converter or tap takes is drawn from the supply it hangs on too.
fn pass_on(scene: &Scene<'_>, draws: &mut Draws) {
    let supplies = &scene.yard.supplies;
    let mut from = 0;
    // Each round passes what the last one added one step up; a circle was reported.
    for _ in 0..supplies.len() {
        let added: Vec<Draw> = draws.all[from..]
            .iter()
            .filter_map(|d| {
                let child = &supplies[d.supply];
                let name = child.from.as_ref()?;
                let parent = supplies.iter().position(|s| s.name.value == name.value)?;
                let share = ratio(scene, d.supply);
                Some(Draw {
                    supply: parent,
                    amps: d.amps * share,
                    mean: d.mean * share,
                    through: Some(d.supply),
                    ..d.clone()
                })
            })
            .collect();
        if added.is_empty() {
            break;
        }
        draws.assumed.extend(lost_by(scene, &draws.all[from..]));
        from = draws.all.len();
        draws.all.extend(added);
    }
}

/// What converters are taken to lose, of those that give something.
fn lost_by(scene: &Scene<'_>, given: &[Draw]) -> Vec<(usize, Note)> {
    let busy: BTreeSet<usize> = given.iter().map(|d| d.supply).collect();
    let note = |supply: usize| {
        let from = scene.yard.supplies[supply].from.as_ref()?;
        let what = format!(
            "of what it takes from {}, {} % comes out",
            from.value,
            decimal(super::CONVERTED * 100.0, 0)
        );
        converts(scene, supply).then(|| (supply, Note::new(what, "")))
    };
    busy.into_iter().filter_map(note).collect()
}

/// The voltage a supply gives: its own, or what it passes on.
pub(super) fn voltage(scene: &Scene<'_>, supply: usize) -> Option<Volt> {
    let name = &scene.yard.supplies[supply].name.value;
    crate::loads::site::chain(scene.yard, name).iter().find_map(|s| s.voltage)
}

/// Whether a supply makes another voltage or sort of current of what it hangs on.
pub(super) fn converts(scene: &Scene<'_>, supply: usize) -> bool {
    let supply = &scene.yard.supplies[supply];
    let chain = crate::loads::site::chain(scene.yard, &supply.name.value);
    chain.len() > 1 && !crate::loads::site::passes_on(&chain)
}

/// Current that a supply takes of the one it hangs on for each ampere that it gives.
pub(super) fn ratio(scene: &Scene<'_>, supply: usize) -> f64 {
    let name = &scene.yard.supplies[supply].name.value;
    let chain = crate::loads::site::chain(scene.yard, name);
    let above = chain.iter().skip(1).find_map(|s| s.voltage);
    match (chain.first().and_then(|s| s.voltage), above) {
        (Some(own), Some(above)) if converts(scene, supply) => own / above / super::CONVERTED,
        _ => 1.0,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::timing::Key;

    fn channel(kind: ChannelKind, keys: &[(f64, f64)]) -> Channel {
        let keys = keys.iter().map(|&(at, value)| Key { at: Sec(at), value }).collect();
        Channel { name: "drum".to_owned(), limbs: Vec::new(), kind, keys, error: 0.0 }
    }

    #[test]
    fn current_flows_while_a_channel_asks_for_motion() {
        let motor = channel(
            ChannelKind::Speed,
            &[(0.0, 0.0), (1.0, 29.0), (3.0, 30.0), (4.0, 0.0), (5.0, 9.0), (6.0, 0.0)],
        );
        assert_eq!(busy(&motor), [(Sec(1.0), Sec(4.0)), (Sec(5.0), Sec(6.0))]);
        let servo =
            channel(ChannelKind::Angle, &[(0.0, 10.0), (1.0, 10.0), (2.0, 50.0), (3.0, 50.0)]);
        assert_eq!(busy(&servo), [(Sec(1.0), Sec(2.0))]);
        let ram = channel(ChannelKind::Travel, &[(0.0, 1.0), (1.0, -1.0), (2.0, 0.0)]);
        assert_eq!(busy(&ram), [(Sec(0.0), Sec(1.0)), (Sec(1.0), Sec(2.0))]);
    }
}
