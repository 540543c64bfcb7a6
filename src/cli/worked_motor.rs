//! A limb's motor worked out line by line, with its own numbers.

use super::pipeline::Sums;
use super::sizes::decimal;
use crate::check::Compiled;
use crate::finding::Step;
use crate::loads::cable::COPPER;
use crate::loads::motor::{BrushedLoad, SLOWER, Work};
use crate::loads::{Effort, Feed, LimbLoad, TorqueCurve};
use crate::model::MotorType;
use crate::units::{Share, System, print};

/// All that is shown of a motor.
pub const ALL: &[Sums] =
    &[Sums::Hardest, Sums::Cable, Sums::Sheet, Sums::There, Sums::Loaded, Sums::Held];

/// These sums of the motor that moves a limb; none where nothing is known of it.
#[must_use]
pub fn steps(
    compiled: &Compiled,
    (figure, index): (usize, usize),
    wanted: &[Sums],
    asked: Option<System>,
) -> Vec<Step> {
    let own = &compiled.yard.figures[figure].figure;
    let Some(motor) = own.motor_of(index) else { return Vec::new() };
    let loaded = &compiled.loads[figure];
    let cycle = loaded.limbs[index].cycle.as_ref();
    let work = loaded.motors.get(motor).and_then(|m| m.work.as_ref());
    let sheet = &own.actuators[motor].motor;
    let of = |sums: &Sums| match (sums, work) {
        (Sums::Hardest, _) => cycle.map_or_else(Vec::new, hardest),
        (Sums::Cable, _) => cable(loaded.site.feed_of(motor)),
        (_, None) => Vec::new(),
        (_, Some(Work::Brushed(load))) => brushed(sheet, load, *sums),
        (Sums::Loaded, Some(work)) => of_work(work),
        (_, Some(_)) => Vec::new(),
    };
    let all = wanted.iter().flat_map(of);
    match asked.unwrap_or(own.system) {
        System::Inch => all.map(beside).collect(),
        System::Metric | System::Both => all.collect(),
    }
}

/// With its result in an inch household's unit beside: what a motor makes of its current is
/// reckoned in newtons and metres.
fn beside(step: Step) -> Step {
    let told = step.result.split_once(' ').and_then(|(value, unit)| {
        let (inch, per) = print::inch_unit(unit)?;
        let value: f64 = value.parse().ok()?;
        Some(format!("{} ({} {inch})", step.result, decimal(value / per, 3)))
    });
    Step { result: told.unwrap_or(step.result), ..step }
}

/// What the hardest place of a cycle is made of.
fn hardest(load: &LimbLoad) -> Vec<Step> {
    let motor = &load.motor;
    let (unit, place) = match motor.effort {
        Effort::Torque => ("N.m", format!("{} deg", decimal(motor.peak_at, 1))),
        Effort::Winding => ("N.m", format!("{} mm of cord", decimal(motor.peak_at, 1))),
        Effort::Force => ("N", format!("{} mm", decimal(motor.peak_at, 1))),
    };
    let parts = motor.parts;
    let all = [
        ("against weight", parts.gravity),
        ("against inertia", parts.inertia),
        ("against friction", parts.friction),
        ("against loads and springs", parts.load),
    ];
    let what = format!("most of its motor, at {place}");
    let sum = all.iter().map(|(_, v)| decimal(*v, 4)).collect::<Vec<_>>().join(" + ");
    let mut steps: Vec<Step> = all.iter().map(|(w, v)| step(w, "", *v, unit, 4)).collect();
    steps.push(step(&what, &sum, motor.peak, unit, 4));
    steps.push(step("root mean square over the cycle", "", motor.rms, unit, 4));
    steps
}

/// What a motor without brushes is asked for, against what it has.
fn of_work(work: &Work) -> Vec<Step> {
    match work {
        Work::Brushed(_) => Vec::new(),
        Work::Synchronous(load) => {
            let mut steps = vec![step("rated torque", "as its sheet says", load.rated.0, "N.m", 3)];
            if let Some(peak) = load.peak {
                steps.push(step("largest torque of a turn", "of all its limbs", peak.0, "N.m", 3));
                let sum = format!("{}/{}", decimal(load.rated.0, 3), decimal(peak.0, 3));
                steps.push(step("margin", &sum, load.rated / peak, "times", 1));
            }
            steps
        }
        Work::Servo(load) => {
            let sum = format!("{}/{}", decimal(load.hold.0, 4), decimal(load.stall.0, 4));
            vec![
                step(
                    "torque to stand still",
                    "weight at the worst place it is told to hold",
                    load.hold.0,
                    "N.m",
                    4,
                ),
                step("stall torque", "as its sheet says", load.stall.0, "N.m", 4),
                step("share", &sum, load.share() * 100.0, "%", 1),
            ]
        }
        Work::Strut(load) => {
            let mut steps = vec![
                step("largest push", "over its whole way", load.push.0, "N", 1),
                step("largest pull", "over its whole way", load.pull.0, "N", 1),
            ];
            if let Some(can) = load.can_push {
                steps.push(step("it can push", "rated, or pressure x area", can.0, "N", 1));
            }
            steps
        }
    }
}

fn step(what: &str, sum: &str, value: f64, unit: &str, digits: usize) -> Step {
    Step {
        what: what.into(),
        sum: sum.into(),
        result: format!("{} {unit}", decimal(value, digits)),
    }
}

/// The cable's resistance, there and back.
fn cable(feed: Option<&Feed>) -> Vec<Step> {
    let Some((feed, ohm)) = feed.and_then(|f| Some((f, f.ohm()?))) else { return Vec::new() };
    let (Some(run), Some(conductor)) = (feed.run, feed.conductor) else { return Vec::new() };
    let before = if feed.upstream.0 > 0.0 {
        format!(" + {} before it", decimal(feed.upstream.0, 4))
    } else {
        String::new()
    };
    let sum = format!(
        "2 x {} m x {COPPER} ohm mm2/m / {} mm2{before}",
        decimal(run.0 * 1e-3, 2),
        decimal(conductor.0, 2)
    );
    vec![step("cable, there and back", &sum, ohm.0, "ohm", 4)]
}

fn brushed(sheet: &MotorType, load: &BrushedLoad, sums: Sums) -> Vec<Step> {
    match sums {
        Sums::Hardest | Sums::Cable => Vec::new(),
        Sums::Sheet => constants(sheet, load),
        Sums::There => there(load),
        Sums::Loaded => with_its_load(sheet, load),
        Sums::Held => held(load),
    }
}

fn say(value: f64) -> String {
    decimal(value, 4)
}

/// The motor's constants.
fn constants(sheet: &MotorType, load: &BrushedLoad) -> Vec<Step> {
    let line = &load.line;
    let (volts, i0) = (sheet.voltage.map_or(0.0, |v| v.0), line.free_current.0);
    let (stall, amps) =
        (sheet.stall.map_or(0.0, |t| t.0), sheet.stall_current.map_or(0.0, |a| a.0));
    let w0 = sheet.free.map_or(0.0, |f| f.rad_per_sec());
    let free = sheet.free.map_or(0.0, |f| f.0);
    vec![
        step("free speed w0", &format!("{} rpm x pi/30", say(free)), w0, "rad/s", 4),
        step(
            "winding R = V/Is",
            &format!("{}/{}", say(volts), say(amps)),
            line.resistance.0,
            "ohm",
            4,
        ),
        step(
            "Ke = (V - I0 R)/w0",
            &format!("({} - {} x {})/{}", say(volts), say(i0), say(line.resistance.0), say(w0)),
            line.ke,
            "V.s",
            4,
        ),
        step(
            "Kt = Ts/(Is - I0)",
            &format!("{}/({} - {})", say(stall), say(amps), say(i0)),
            line.kt,
            "N.m/A",
            4,
        ),
        step(
            "gears pass on Kt/Ke",
            &format!("{}/{}", say(line.kt), say(line.ke)),
            line.efficiency(),
            "",
            3,
        ),
    ]
}

/// What it does at the end of its cable with nothing on it.
fn there(load: &BrushedLoad) -> Vec<Step> {
    let (line, feeding) = (&load.line, load.feeding);
    let i0 = line.free_current.0;
    let all = line.resistance.0 + feeding.ohm.0;
    let drawn = line.start_current(feeding);
    let (stops, amps) = match load.limit.filter(|l| *l < drawn) {
        Some(limit) => ("stops at its limit, Kt (I - I0)", say(limit.0)),
        None => {
            ("stops at Kt (V/(R + cable) - I0)", format!("{}/{}", say(feeding.volts.0), say(all)))
        }
    };
    vec![
        step(
            "free speed there",
            &format!(
                "({} - {} x {})/{} x 30/pi",
                say(feeding.volts.0),
                say(all),
                say(i0),
                say(line.ke)
            ),
            load.free.0,
            "rpm",
            2,
        ),
        step(stops, &format!("{} x ({amps} - {})", say(line.kt), say(i0)), load.stall.0, "N.m", 3),
    ]
}

/// What it does with its limbs on it.
fn with_its_load(sheet: &MotorType, load: &BrushedLoad) -> Vec<Step> {
    let mut steps = Vec::new();
    let peak = load.load.as_ref().map(TorqueCurve::peak);
    if let Some(peak) = peak {
        steps.push(step("largest torque of a turn", "of all its limbs", peak, "N.m", 4));
    }
    if let (Some(margin), Some(peak)) = (load.margin, peak) {
        let sum = format!("{}/{}", say(load.stall.0), say(peak));
        steps.push(step("margin, stops at / largest torque", &sum, margin, "times", 1));
    }
    if let Some(running) = load.running {
        let sum = "turn over its time, (V - (R + cable)(I0 + T/Kt))/Ke at each place";
        steps.push(step("speed with its load", sum, running.mean.0, "rpm", 2));
    }
    if let Some(worst) = load.worst {
        let percent = |share: Share| decimal(share.0 * 100.0, 1);
        let cold = match sheet.cold {
            Some(cold) => format!("{} % in the cold", percent(cold)),
            None => "its free current doubled in the cold".to_owned(),
        };
        let sum = format!(
            "{} of {} V, {} % slower of its kind, {cold}",
            decimal(load.feeding.sagged().volts.0, 2),
            decimal(load.feeding.volts.0, 2),
            percent(sheet.spread.unwrap_or(SLOWER)),
        );
        steps.push(step("slow one, cold, low voltage", &sum, worst.0, "rpm", 2));
    }
    steps
}

/// What it does when something holds it.
fn held(load: &BrushedLoad) -> Vec<Step> {
    let (line, jam) = (&load.line, load.jam);
    let i0 = line.free_current.0;
    let sum = format!("{} x ({} - {})", say(line.kt), say(jam.current.0), say(i0));
    let mut steps = vec![
        step("goes up to", "its own stall, or its limit", jam.current.0, "A", 2),
        step("held, Kt (I - I0)", &sum, jam.torque.0, "N.m", 3),
    ];
    if let Some(force) = jam.force {
        steps.push(step(
            "held, at the limb",
            "in the middle of its way, 0.1 m from a bolt",
            force.0,
            "N",
            1,
        ));
    }
    steps
}
