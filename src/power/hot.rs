//! Motors that run longer than their duty allows.

use rayon::prelude::*;

use super::{Scene, Wear, codes};
use crate::finding::Finding;
use crate::model::{MotorKind, Placed};
use crate::units::print::decimal;

/// Ten minutes, s.
const WINDOW: f64 = 600.0;

/// Holds the busiest ten minutes of every motor that turns against its duty. (A ram's is
/// held in the show itself, cue by cue.)
pub(super) fn check(scene: &Scene<'_>, wear: &[Vec<Wear>], findings: &mut Vec<Finding>) {
    let of_figure = |(placed, limbs): (&Placed, &Vec<Wear>)| {
        let mut own = Vec::new();
        let figure = &*placed.figure;
        for (index, actuator) in figure.actuators.iter().enumerate() {
            let kind = actuator.motor.kind;
            if matches!(kind, MotorKind::Ram | MotorKind::Cylinder | MotorKind::Servo) {
                continue;
            }
            let Some(duty) = actuator.motor.duty else { continue };
            let driven =
                limbs.iter().enumerate().filter(|(l, _)| figure.motor_of(*l) == Some(index));
            let busiest = driven.reduce(|a, b| if b.1.duty > a.1.duty { b } else { a });
            let Some((limb, wear)) = busiest.filter(|(_, w)| w.duty > duty.0 * (1.0 + 1e-9)) else {
                continue;
            };
            let limb = &figure.limbs[limb];
            let message = format!(
                "{}.{} runs its `{}` for {} s of some ten minutes; its duty of {} % allows {} s.",
                placed.name.value,
                limb.name.value,
                actuator.motor.name,
                decimal(wear.duty * WINDOW, 0),
                decimal(duty.0 * 100.0, 0),
                decimal(duty.0 * WINDOW, 0)
            );
            own.push(
                Finding::new(&codes::MOTOR_RUNS_HOT, limb.name.place, message)
                    .help("let it rest while others play, or take a motor made to run on and on.")
                    .given("share of the busiest ten minutes in motion", {
                        format!("{} %", decimal(wear.duty * 100.0, 2))
                    })
                    .sum(
                        "that is",
                        format!("{WINDOW} s x {}/100", decimal(wear.duty * 100.0, 2)),
                        format!("{} s", decimal(wear.duty * WINDOW, 1)),
                    )
                    .sum(
                        "its duty allows",
                        format!("{WINDOW} s x {}/100", decimal(duty.0 * 100.0, 1)),
                        format!("{} s", decimal(duty.0 * WINDOW, 1)),
                    )
                    .about(&placed.name.value, Some(&limb.name.value)),
            );
        }
        own
    };
    let found: Vec<Vec<Finding>> = scene.yard.figures.par_iter().zip(wear).map(of_figure).collect();
    findings.extend(found.into_iter().flatten());
}
