//! A motor in step with the mains: it keeps its speed up to its rated torque, and then
//! stops.

use super::{Job, Work, codes};
use crate::finding::Severity;
use crate::loads::TorqueCurve;
use crate::units::NewtonMetre;
use crate::units::print::decimal;

/// What a synchronous motor bears.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SynchronousLoad {
    /// Its rated torque: above it, it falls out of step.
    pub rated: NewtonMetre,
    /// The most its limbs ask; `None` where that is not known.
    pub peak: Option<NewtonMetre>,
}

impl Job<'_, '_> {
    pub(super) fn synchronous(&mut self, curve: Option<&TorqueCurve>) -> Option<Work> {
        let motor = self.actuator().motor.name.clone();
        let Some(rated) = self.actuator().motor.stall else {
            self.not_made(
                "whether the motor is strong enough (its rated torque is not given)",
                "stall 1.07 N.m",
            );
            return None;
        };
        let peak = curve.map(|c| NewtonMetre(c.peak()));
        match peak {
            Some(peak) if peak > rated => {
                let message = format!(
                    "{} needs {} N.m; `{motor}` is rated for {} and stops above it.",
                    self.name(),
                    decimal(peak.0, 2),
                    decimal(rated.0, 2)
                );
                let found = self.report(&codes::MOTOR_STALLS, message);
                found.severity = Severity::Error;
                found.help =
                    Some("take a stronger one, a shorter crank, or a counterweight.".to_owned());
            }
            Some(_) => {}
            None => self.not_made(
                "whether the motor is strong enough (the limb's torque is not known)",
                "weighed 0.31 kg  balances 148 mm",
            ),
        }
        self.not_made(
            format!("whether `{motor}` brings the limb's weight up to speed in one half wave (its sheet names a largest inertia)"),
            "",
        );
        Some(Work::Synchronous(SynchronousLoad { rated, peak }))
    }
}
