//! What the sums of supplies, cables, air and wear are made of, each number with where it
//! comes from, so that a person can work them out again.

use super::CONVERTED;
use super::cables::{CableLoad, DROP, FUSED};
use crate::fit::USUAL_PRESSURE;
use crate::loads::motor::{BrushedLoad, MotorPoint, Work};
use crate::loads::wind_limit::{Input, Source, input};
use crate::loads::{Feed, Grade, cable};
use crate::make::{RAM_EFFICIENCY, RAM_START, SERVO_RUNS, SERVO_STALL};
use crate::mechanism::REFERENCE_AIR;
use crate::model::{Actuator, AirSaid, Lamp, MotorKind, MotorType};
use crate::units::{Amp, Mm, Volt};

/// Typical where one of the numbers is.
#[must_use]
pub fn grade_of(inputs: &[Input]) -> Grade {
    match inputs.iter().any(|i| i.source == Source::Typical) {
        true => Grade::Typical,
        false => Grade::Given,
    }
}

/// What a motor's currents follow from; `loaded` is how its limbs' weights are known, `feed`
/// what feeds it.
pub(super) fn of_motor(
    actuator: &Actuator,
    point: &MotorPoint,
    loaded: Option<Grade>,
    feed: Option<&Feed>,
) -> Vec<Input> {
    let sheet = &actuator.motor;
    match sheet.kind {
        MotorKind::Brushed | MotorKind::Spool => {
            point.brushed().map_or_else(Vec::new, |load| brushed(actuator, load, loaded, feed))
        }
        MotorKind::Servo => servo(sheet, point, loaded),
        MotorKind::Ram => {
            let force = sheet.force.map(|f| input("rated_push", f.0, "N"));
            let speed = sheet.speed_mm_s.map(|s| input("free_speed", s, "mm/s"));
            let volts = sheet.voltage.map(|v| input("rated_voltage", v.0, "V"));
            let said = [(force, "force"), (speed, "speed"), (volts, "voltage")];
            let said = said.map(|(i, field)| i.map(|i| i.given_or_typical(sheet.says(field))));
            let usual = [
                input("share_turned_into_push", RAM_EFFICIENCY, "1").typical(),
                input("start_over_running", RAM_START, "1").typical(),
            ];
            said.into_iter().flatten().chain(usual).collect()
        }
        MotorKind::Synchronous => {
            let amps = sheet.free_current.map(|a| input("free_current", a.0, "A"));
            let said = sheet.says("free_current");
            amps.map(|i| i.given_or_typical(said)).into_iter().collect()
        }
        MotorKind::Cylinder => Vec::new(),
    }
}

/// A line: free current and what its torque takes on top; held, what its resistance and its
/// cable's let through.
fn brushed(
    actuator: &Actuator,
    load: &BrushedLoad,
    loaded: Option<Grade>,
    feed: Option<&Feed>,
) -> Vec<Input> {
    let (sheet, line) = (&actuator.motor, &load.line);
    let own = |field| sheet.measured || sheet.says(field);
    let of_line = ["voltage", "free", "free_current", "stall", "stall_current"];
    let line_said = of_line.into_iter().all(own);
    // Of a cable that nobody measured the length is taken; of one not known at all, nothing.
    let laid = feed.is_none_or(|f| f.measured || f.ohm().is_none());
    let seen = |amps: Amp| (amps.0 - line.free_current.0) * line.kt;
    let weighed = line_said && loaded == Some(Grade::Given);
    let mut all = vec![
        input("free_current", line.free_current.0, "A").given_or_typical(own("free_current")),
        input("torque_per_current", line.kt, "N.m/A").worked_or_typical(line_said),
        input("largest_torque", seen(load.current()), "N.m").worked_or_typical(weighed),
        input("mean_torque", seen(load.mean_current()), "N.m").worked_or_typical(weighed),
        input("supply_voltage", load.feeding.volts.0, "V").given(),
        input("resistance", line.resistance.0, "ohm").worked_or_typical(line_said),
        input("cable_resistance", load.feeding.ohm.0, "ohm").worked_or_typical(laid),
    ];
    all.extend(actuator.limit.map(|a| input("driver_limit", a.0, "A").given()));
    all
}

fn servo(sheet: &MotorType, point: &MotorPoint, loaded: Option<Grade>) -> Vec<Input> {
    let said = sheet.stall_current.is_some() && sheet.says("stall_current");
    let stall = sheet.stall_current.map_or(SERVO_STALL, |a| a.0);
    let share = match &point.work {
        Some(Work::Servo(load)) => load.share(),
        _ => 0.0,
    };
    let known = loaded == Some(Grade::Given) && sheet.says("stall");
    vec![
        input("stall_current", stall, "A").given_or_typical(said),
        input("share_to_move_unloaded", SERVO_RUNS, "1").typical(),
        input("share_of_stall_torque_held", share, "1").worked_or_typical(known),
    ]
}

/// A lamp.
pub(super) fn of_lamp(lamp: &Lamp, volts: Volt) -> Vec<Input> {
    let power = lamp.power.map(|p| input("power", p.0, "W").given());
    power.into_iter().chain([input("supply_voltage", volts.0, "V").given()]).collect()
}

/// A current that comes through a converter, or a tap, of its own voltage.
pub(super) fn passed_on(
    behind: Amp,
    known: Grade,
    (own, above): (Option<Volt>, Option<Volt>),
    converts: bool,
) -> Vec<Input> {
    let amps = input("current_behind_it", behind.0, "A").worked_or_typical(known == Grade::Given);
    let volts = [("voltage_behind_it", own), ("supply_voltage", above)];
    let volts = volts.into_iter().filter_map(|(name, v)| Some(input(name, v?.0, "V").given()));
    let share = input("share_that_comes_out", CONVERTED, "1").typical();
    let converted = volts.chain([share]).filter(|_| converts);
    [amps].into_iter().chain(converted).collect()
}

/// A cable with its drop and its fuse; `known` is how the currents in it are.
pub(super) fn of_cable(load: &CableLoad, feed: &Feed, known: Grade) -> Vec<Input> {
    let counted = load.running.0 > 0.0;
    let current = |name, amps: Amp| {
        let amps = input(name, amps.0, "A").worked_or_typical(known == Grade::Given);
        counted.then_some(amps)
    };
    let shared = input("lost_by_what_others_take_on_its_feeders", load.shared.0, "V");
    let feeder = input("resistance_of_its_feeders", feed.upstream.0, "ohm");
    let all = [
        load.volts.map(|v| input("supply_voltage", v.0, "V").given()),
        load.run.map(|r| input("run", r.0 * 1e-3, "m").given_or_typical(load.measured)),
        load.conductor.map(|c| input("conductor", c.0, "mm2").given()),
        Some(input("resistivity_of_copper", cable::COPPER, "ohm.mm2/m").fixed()),
        Some(feeder).filter(|i| i.value > 0.0),
        Some(shared).filter(|i| i.value > 0.0),
        current("running_current", load.running),
        current("peak_current", load.peak),
        Some(input("drop_let_pass", DROP, "1").fixed()),
        load.fuse.map(|a| input("fuse", a.0, "A").given()),
        Some(input("fuse_over_running", FUSED, "1").fixed()),
        load.fuse_largest.map(|a| input("largest_fuse_by_table", a.0, "A").fixed()),
    ];
    all.into_iter().flatten().collect()
}

/// The air of one stroke out and back.
pub(super) fn of_air(said: &AirSaid, sheet: &MotorType, stroke: Mm) -> Vec<Input> {
    let bore = said.bore.or(sheet.bore).map(|b| {
        input("bore", b.0, "mm").given_or_typical(said.bore.is_some() || sheet.says("bore"))
    });
    let rod = sheet
        .piston_rod
        .map(|r| input("rod", r.0, "mm").given_or_typical(sheet.says("piston_rod")));
    let own = said.stroke.is_some() || sheet.says("stroke");
    let stroke = input("stroke", stroke.0, "mm").given_or_worked(own);
    let pressure = said.pressure.unwrap_or(USUAL_PRESSURE);
    let pressure =
        input("pressure", pressure.0 * 1e-3, "kPa").given_or_typical(said.pressure.is_some());
    let still = input("pressure_of_the_air", REFERENCE_AIR.0 * 1e-3, "kPa").fixed();
    [bore, rod, Some(stroke), Some(pressure), Some(still)].into_iter().flatten().collect()
}
