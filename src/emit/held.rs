//! A limb that is held: what its motor pushes with, and what gives first.

use super::Finite;
use super::inputs::InputReport;
use crate::loads::jam::{Gives, Held};
use crate::loads::{Effort, Grade};
use crate::units::{Newton, System, print};

/// Something that gives way.
#[derive(Clone, Debug, serde::Serialize)]
pub struct GivesReport {
    what: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    at_motor_torque_nm: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    at_motor_force_n: Option<Finite>,
    grade: Grade,
    /// The numbers it was computed from.
    inputs: Vec<InputReport>,
    /// What was taken for a part that nobody named.
    #[serde(skip_serializing_if = "Option::is_none")]
    assumes: Option<&'static str>,
}

/// A held limb of any kind of motor.
#[derive(Clone, Debug, serde::Serialize)]
pub struct HeldReport {
    #[serde(skip_serializing_if = "Option::is_none")]
    motor_torque_nm: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    motor_force_n: Option<Finite>,
    /// 100 mm from the bolt, or along the guide.
    #[serde(skip_serializing_if = "Option::is_none")]
    force_n: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    limb_torque_nm: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    rod_force_n: Option<Finite>,
    gives: Vec<GivesReport>,
}

/// The effort as torque, or as force.
fn either(effort: Effort, value: f64) -> [Option<Finite>; 2] {
    match effort {
        Effort::Force => [None, Finite::new(value)],
        Effort::Torque | Effort::Winding => [Finite::new(value), None],
    }
}

/// What gives, the first first.
pub(super) fn gives(held: &Held) -> Vec<GivesReport> {
    let report = |g: &Gives| {
        let [at_motor_torque_nm, at_motor_force_n] = either(held.effort, g.at);
        GivesReport {
            what: g.what,
            at_motor_torque_nm,
            at_motor_force_n,
            grade: g.grade(),
            inputs: g.inputs.iter().filter_map(InputReport::new).collect(),
            assumes: g.assumed,
        }
    };
    held.gives.iter().map(report).collect()
}

impl HeldReport {
    /// Of a held limb.
    #[must_use]
    pub fn new(held: &Held) -> Self {
        let [motor_torque_nm, motor_force_n] = either(held.effort, held.motor);
        Self {
            motor_torque_nm,
            motor_force_n,
            force_n: held.push.and_then(Finite::new),
            limb_torque_nm: held.torque.and_then(Finite::new),
            rod_force_n: held.rod.and_then(Finite::new),
            gives: gives(held),
        }
    }
}

/// "held it pushes 360 N; from 220 N on its rod bends (rod of M8 thread, class 4.6, assumed)".
pub(super) fn words(held: &Held, system: System) -> Option<String> {
    let push = held.push?;
    // Told as the push at the same place, so that the two can be compared.
    let first = held.first().map(|first| {
        let at = push * first.at / held.motor;
        let assumed = first.assumed.map_or(String::new(), |what| format!(" ({what}, assumed)"));
        format!("; from {} on {}{assumed}", print::force(Newton(at), system), first.what)
    });
    let first = first.unwrap_or_default();
    Some(format!("held it pushes {}{first}", print::force(Newton(push), system)))
}
