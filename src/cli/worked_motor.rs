//! A limb's motor worked out line by line, with its own numbers.

use super::explain::Step;
use super::sizes::decimal;
use crate::check::Compiled;
use crate::loads::cable::COPPER;
use crate::loads::motor::{BrushedLoad, Work};
use crate::loads::{Effort, Feed, LimbLoad, TorqueCurve};
use crate::model::MotorType;

/// The sums of the motor that moves a limb; none where nothing is known of it.
#[must_use]
pub fn steps(compiled: &Compiled, (figure, index): (usize, usize)) -> Vec<Step> {
    let own = &compiled.yard.figures[figure].figure;
    let Some(motor) = own.motor_of(index) else { return Vec::new() };
    let loaded = &compiled.loads[figure];
    let cycle = loaded.limbs[index].cycle.as_ref();
    let mut steps = cycle.map_or_else(Vec::new, hardest);
    if let Some(work) = loaded.motors.get(motor).and_then(|m| m.work.as_ref()) {
        steps.extend(of_work(work, loaded.site.feed_of(motor), &own.actuators[motor].motor));
    }
    steps
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

fn of_work(work: &Work, feed: Option<&Feed>, sheet: &MotorType) -> Vec<Step> {
    match work {
        Work::Brushed(load) => {
            let mut steps = cable(feed);
            steps.extend(brushed(sheet, load));
            steps
        }
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

fn brushed(sheet: &MotorType, load: &BrushedLoad) -> Vec<Step> {
    let (line, feeding) = (&load.line, load.feeding);
    let say = |v: f64| decimal(v, 4);
    let (volts, i0) = (sheet.voltage.map_or(0.0, |v| v.0), line.free_current.0);
    let (stall, amps) =
        (sheet.stall.map_or(0.0, |t| t.0), sheet.stall_current.map_or(0.0, |a| a.0));
    let w0 = sheet.free.map_or(0.0, |f| f.rad_per_sec());
    let all = line.resistance.0 + feeding.ohm.0;
    let mut steps = vec![
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
        step(
            "stops at Kt (V/(R + cable) - I0)",
            &format!("{} x ({}/{} - {})", say(line.kt), say(feeding.volts.0), say(all), say(i0)),
            load.stall.0,
            "N.m",
            3,
        ),
    ];
    if let Some(peak) = load.load.as_ref().map(TorqueCurve::peak) {
        steps.push(step("largest torque of a turn", "of all its limbs", peak, "N.m", 4));
    }
    if let Some(margin) = load.margin {
        steps.push(step("margin", "stops at / largest torque", margin, "times", 1));
    }
    if let Some(running) = load.running {
        let sum = "turn over its time, (V - (R + cable)(I0 + T/Kt))/Ke at each place";
        steps.push(step("speed with its load", sum, running.mean.0, "rpm", 2));
    }
    if let Some(worst) = load.worst {
        steps.push(step(
            "slow one, cold, low voltage",
            "11.5 of 12 V, its spread, its cold",
            worst.0,
            "rpm",
            2,
        ));
    }
    let jam = load.jam;
    let sum = format!("{} x ({} - {})", say(line.kt), say(jam.current.0), say(i0));
    steps.push(step("held, Kt (I - I0)", &sum, jam.torque.0, "N.m", 3));
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
