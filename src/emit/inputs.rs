//! The numbers that results were computed from, each with its unit and where it comes from.

use super::Finite;
use crate::check::Compiled;
use crate::loads::mass;
use crate::loads::motor::{BrushedLoad, Work};
use crate::loads::wind_limit::{Input, Source, input};
use crate::model::{DriveKind, Limb, MotorType};

/// One number that went into a result.
#[derive(Clone, Debug, serde::Serialize)]
pub struct InputReport {
    name: &'static str,
    value: Finite,
    unit: &'static str,
    /// Whether it was given, is a usual value, follows from others, or is the check's own.
    grade: Source,
}

impl InputReport {
    /// A number of a check.
    #[must_use]
    pub fn new(input: &Input) -> Option<Self> {
        Some(Self {
            name: input.name,
            value: Finite::new(input.value)?,
            unit: input.unit,
            grade: input.source,
        })
    }
}

/// Those of a list that are numbers.
#[must_use]
pub fn all(inputs: &[Input]) -> Vec<InputReport> {
    inputs.iter().filter_map(InputReport::new).collect()
}

/// What a limb's mass is computed from; nothing where it was weighed.
#[must_use]
pub fn of_mass(limb: &Limb) -> Vec<InputReport> {
    if limb.measured.mass.is_some() {
        return Vec::new();
    }
    all(&mass::inputs(limb))
}

/// What a motor's numbers are computed from, beside its line and its load.
#[must_use]
pub fn of_motor(compiled: &Compiled, figure: usize, limb: usize) -> Vec<InputReport> {
    let own = &compiled.yard.figures[figure].figure;
    let Some(motor) = own.motor_of(limb) else { return Vec::new() };
    let sheet = &own.actuators[motor].motor;
    let work = compiled.loads[figure].motors.get(motor).and_then(|m| m.work.as_ref());
    match work {
        Some(Work::Brushed(load)) => brushed(sheet, load),
        Some(Work::Strut(_)) => cylinder(&own.limbs[limb], sheet),
        _ => Vec::new(),
    }
}

/// Its line as the maker or the library has it, a slow one on a cold night at low voltage,
/// and how far a held limb's push reaches.
fn brushed(sheet: &MotorType, load: &BrushedLoad) -> Vec<InputReport> {
    let own = |field| sheet.says(field);
    let said = |name, value: Option<f64>, unit, said: bool| {
        value.map(|value| input(name, value, unit).given_or_typical(said))
    };
    let mut inputs: Vec<Input> = [
        said("rated_voltage", sheet.voltage.map(|v| v.0), "V", own("voltage")),
        said("free_speed", sheet.free.map(|n| n.0), "rpm", own("free") || sheet.measured),
        said("free_current", sheet.free_current.map(|i| i.0), "A", own("free_current")),
        said("stall_torque", sheet.stall.map(|t| t.0), "N.m", own("stall")),
        said("stall_current", sheet.stall_current.map(|i| i.0), "A", own("stall_current")),
        // A slow one is slower by a tenth where no spread is said.
        said(
            "spread",
            Some(sheet.spread.map_or(0.1, |s| s.0)),
            "1",
            sheet.spread.is_some() && (own("spread") || sheet.measured),
        ),
        said("low_voltage", Some(load.feeding.sagged().volts.0), "V", false),
        said("cold", sheet.cold.map(|c| c.0), "1", own("cold")),
    ]
    .into_iter()
    .flatten()
    .collect();
    if let Some(moves) = load.jam.moves {
        let unit = if moves.slides { "mm/rad" } else { "rad/rad" };
        inputs.push(input("limb_per_motor_at_its_fastest", moves.rate, unit));
    }
    all(&inputs)
}

/// Bore, rod and pressure of a cylinder.
fn cylinder(limb: &Limb, sheet: &MotorType) -> Vec<InputReport> {
    let Some(DriveKind::Strut(said)) = limb.drive.as_ref().map(|d| &d.mechanism) else {
        return Vec::new();
    };
    let Some(bore) = said.air.bore.or(sheet.bore) else { return Vec::new() };
    let pressure = said.air.pressure.unwrap_or(crate::fit::USUAL_PRESSURE);
    let own = sheet.says("bore") || said.air.bore.is_some();
    let bore = input("bore", bore.0, "mm").given_or_typical(own);
    let rod = sheet
        .piston_rod
        .map(|rod| input("rod", rod.0, "mm").given_or_typical(sheet.says("piston_rod")));
    let pressure =
        input("pressure", pressure.0 * 1e-3, "kPa").given_or_typical(said.air.pressure.is_some());
    let known: Vec<Input> = [Some(bore), rod, Some(pressure)].into_iter().flatten().collect();
    all(&known)
}
