//! Figures that cannot be, and what a motor's driver and case must not meet.

use super::{Job, Line, codes};
use crate::finding::Severity;
use crate::model::MotorKind;
use crate::units::print::decimal;

/// What gears usually pass on (common practice, no source).
const USUAL: std::ops::RangeInclusive<f64> = 0.2..=0.8;

impl Job<'_, '_> {
    /// Whether free running and standstill fit together.
    pub(super) fn data(&mut self) {
        let motor = &self.actuator().motor;
        if !matches!(motor.kind, MotorKind::Brushed | MotorKind::Spool) {
            return;
        }
        let all = [motor.voltage.map(|v| v.0), motor.free.map(|v| v.0), motor.stall.map(|v| v.0)];
        let currents = (motor.free_current, motor.stall_current);
        let (Some(i0), Some(is)) = currents else { return };
        if all.contains(&None) {
            return;
        }
        let name = motor.name.clone();
        let Some(line) = Line::of(motor) else {
            let message = format!(
                "`{name}` is said to draw {} A without load and {} A when stopped; the second is many \
                 times the first in any motor.",
                decimal(i0.0, 2),
                decimal(is.0, 2)
            );
            let found = self.report(&codes::DATA_IMPLAUSIBLE, message);
            found.severity = Severity::Error;
            found.help = Some("look which of the two is which on its sheet.".to_owned());
            return;
        };
        let share = line.efficiency();
        let (message, severity) = if share > 1.0 {
            let text = format!(
                "the figures of `{name}` make {} times the power they take: one of them is wrong.",
                decimal(share, 2)
            );
            (text, Severity::Error)
        } else if share < *USUAL.start() {
            let text = format!(
                "by its figures `{name}` loses {} % in its gears; those of such motors lose 20 to 80.",
                decimal((1.0 - share) * 100.0, 0)
            );
            // What was measured is believed before what such motors usually do.
            (text, if motor.measured { Severity::Advice } else { Severity::Warning })
        } else if share > *USUAL.end() {
            let text = format!(
                "by its figures `{name}` loses only {} % in its gears; those of such motors lose 20 to 80.",
                decimal((1.0 - share) * 100.0, 0)
            );
            (text, Severity::Advice)
        } else {
            return;
        };
        let help = if motor.measured {
            "measure once more: a warm motor, the same voltage in both, a weight that slows it by a \
             fifth or more."
        } else {
            "free speed and both currents are quickly measured: count 20 turns against a clock, and \
             let it lift a weight (`counted`, `lifted`)."
        };
        let found = self.report(&codes::DATA_IMPLAUSIBLE, message);
        found.severity = severity;
        found.help = Some(help.to_owned());
    }
}
