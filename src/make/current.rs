//! What servos and rams draw: one rule for the bench and for the yard's supplies.

use crate::loads::motor::{MotorPoint, Work};
use crate::model::{MotorKind, MotorType};
use crate::units::Amp;

/// Stall current of a hobby servo whose sheet gives none, A (published for an
/// HS-311-class servo at 6 V).
pub const SERVO_STALL: f64 = 0.8;
/// A servo that moves without much load draws this share of its stall current (180 of
/// 800 mA, the same sheet).
pub const SERVO_RUNS: f64 = 0.225;
/// A ram turns this share of its electric power into push (common practice, no source).
pub const RAM_EFFICIENCY: f64 = 0.25;
/// A ram's first current, times its running current (common practice, no source).
pub const RAM_START: f64 = 3.0;

/// The current of a motor that is not measured by its own line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Drawn {
    /// While it moves.
    pub running: Amp,
    /// At its first moment.
    pub start: Amp,
    /// Whether more than its sheet went into it.
    pub assumed: bool,
}

/// What a servo or a ram draws; `None` for others, and where its sheet does not say enough.
#[must_use]
pub fn drawn(sheet: &MotorType, point: &MotorPoint) -> Option<Drawn> {
    match sheet.kind {
        MotorKind::Servo => {
            let stall = sheet.stall_current.map_or(SERVO_STALL, |a| a.0);
            let share = match &point.work {
                Some(Work::Servo(load)) => load.share(),
                _ => 0.0,
            };
            let running = stall * (SERVO_RUNS + share).min(1.0);
            let assumed = sheet.stall_current.is_none();
            Some(Drawn { running: Amp(running), start: Amp(stall), assumed })
        }
        MotorKind::Ram => {
            let (force, speed) = (sheet.force?, sheet.speed_mm_s?);
            let running = force.0 * speed * 1e-3 / RAM_EFFICIENCY / sheet.voltage?.0;
            let start = Amp(RAM_START * running);
            Some(Drawn { running: Amp(running), start, assumed: true })
        }
        _ => None,
    }
}
