//! The numbers that results were computed from, each with its unit and where it comes from.

use super::Finite;
use crate::check::Compiled;
use crate::loads::motor::{BrushedLoad, Work};
use crate::loads::wind_limit::Input;
use crate::loads::{Grade, mass};
use crate::model::{DriveKind, Limb, MotorType};

/// One number that went into a result.
#[derive(Clone, Debug, serde::Serialize)]
pub struct InputReport {
    name: &'static str,
    value: Finite,
    unit: &'static str,
    /// Whether it was given, or is a usual value where nothing was.
    #[serde(skip_serializing_if = "Option::is_none")]
    grade: Option<Grade>,
}

impl InputReport {
    /// A number of a check, whose grade stands beside it for all of them.
    #[must_use]
    pub fn new(input: &Input) -> Option<Self> {
        Some(Self {
            name: input.name,
            value: Finite::new(input.value)?,
            unit: input.unit,
            grade: None,
        })
    }

    fn graded(name: &'static str, value: f64, unit: &'static str, given: bool) -> Option<Self> {
        let grade = Some(if given { Grade::Given } else { Grade::Typical });
        Some(Self { name, value: Finite::new(value)?, unit, grade })
    }
}

/// What a limb's mass is computed from; nothing where it was weighed.
#[must_use]
pub fn of_mass(limb: &Limb) -> Vec<InputReport> {
    if limb.measured.mass.is_some() {
        return Vec::new();
    }
    mass::inputs(limb).iter().filter_map(InputReport::new).collect()
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

/// A slow one on a cold night at low voltage, and how far a held limb's push reaches.
fn brushed(sheet: &MotorType, load: &BrushedLoad) -> Vec<InputReport> {
    let mut inputs = vec![
        // A slow one is slower by a tenth where no spread is said.
        InputReport::graded(
            "spread",
            sheet.spread.map_or(0.1, |s| s.0),
            "1",
            sheet.spread.is_some(),
        ),
        InputReport::graded("low_voltage", load.feeding.sagged().volts.0, "V", false),
    ];
    if let Some(cold) = sheet.cold {
        inputs.push(InputReport::graded("cold", cold.0, "1", true));
    }
    if let Some(moves) = load.jam.moves {
        let (rate, unit) = match moves.slides {
            true => (moves.rate, "mm/rad"),
            false => (moves.rate, "rad/rad"),
        };
        inputs.push(InputReport::graded("limb_per_motor_at_its_fastest", rate, unit, true));
    }
    inputs.into_iter().flatten().collect()
}

/// Bore, rod and pressure of a cylinder.
fn cylinder(limb: &Limb, sheet: &MotorType) -> Vec<InputReport> {
    let Some(DriveKind::Strut(said)) = limb.drive.as_ref().map(|d| &d.mechanism) else {
        return Vec::new();
    };
    let Some(bore) = said.air.bore.or(sheet.bore) else { return Vec::new() };
    let pressure = said.air.pressure.unwrap_or(crate::fit::USUAL_PRESSURE);
    let all = [
        InputReport::graded("bore", bore.0, "mm", true),
        sheet.piston_rod.and_then(|rod| InputReport::graded("rod", rod.0, "mm", true)),
        InputReport::graded("pressure", pressure.0 * 1e-3, "kPa", said.air.pressure.is_some()),
    ];
    all.into_iter().flatten().collect()
}
