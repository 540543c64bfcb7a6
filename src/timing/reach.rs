//! Which speeds and cycles a motor can keep, without load.
//!
//! The free speed of the sheet is one motor's; single motors are slower by their
//! spread, and all are slower on a cold night. What fails here fails for
//! certain; what passes is held against the motor with its limbs on it when the power is
//! added up.

use crate::model::{MotorKind, MotorType};
use crate::units::{Bpm, Rpm, Sec};

/// The speeds of one motor type. Where the sheet is silent a limit is left out.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reach {
    /// Free speed of a middling motor.
    pub free: Rpm,
    /// What a slow one of its kind still does on a warm night.
    pub warm: Rpm,
    /// What a slow one does on a cold night.
    pub cold: Rpm,
    /// Below this it no longer turns evenly; `None` where the sheet is silent.
    pub least: Option<Rpm>,
    /// The only speed it has: a motor in step with the mains.
    pub fixed: bool,
    /// Share by which single motors differ; `None` where the sheet is silent.
    pub spread: Option<f64>,
}

/// What a motor makes of a wanted speed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Verdict {
    /// It can keep it.
    Kept,
    /// Faster than a slow one of its kind turns even when warm.
    TooFast,
    /// Kept on a warm night, not on a cold one.
    TooFastCold,
    /// Below the duty at which it turns evenly.
    TooSlow,
    /// Not the one speed it has; the turn takes longer than wanted by this much
    /// (shorter where negative).
    Drifts(Sec),
}

impl Reach {
    /// From a motor's sheet; `None` where it gives no speed.
    #[must_use]
    pub fn of(motor: &MotorType) -> Option<Self> {
        let free = motor.free?;
        let fixed = motor.kind == MotorKind::Synchronous;
        let spread = if fixed { Some(0.0) } else { motor.spread.map(|s| s.0) };
        let warm = free * (1.0 - spread.unwrap_or(0.0));
        let chill = if fixed { 0.0 } else { motor.cold.map_or(0.0, |c| c.0) };
        let cold = warm * (1.0 - chill);
        let least = motor.least_duty.filter(|_| !fixed).map(|d| free * d.0);
        Some(Self { free, warm, cold, least, fixed, spread })
    }

    /// Whether it can turn so fast.
    #[must_use]
    pub fn verdict(&self, wanted: Rpm) -> Verdict {
        // A ten-thousandth is far inside what any sheet is good for.
        let hair = 1.0 + 1e-4;
        if self.fixed {
            let (Some(own), Some(want)) = (self.free.period(), wanted.period()) else {
                return Verdict::Kept;
            };
            // The mains hold it to its speed within half a millisecond a turn.
            return if (own - want).abs().0 <= 0.5e-3 {
                Verdict::Kept
            } else {
                Verdict::Drifts(own - want)
            };
        }
        if wanted.0 > self.warm.0 * hair {
            Verdict::TooFast
        } else if wanted.0 > self.cold.0 * hair {
            Verdict::TooFastCold
        } else if self.least.is_some_and(|l| wanted.0 * hair < l.0) {
            Verdict::TooSlow
        } else {
            Verdict::Kept
        }
    }

    /// The cycles in whole beats it can keep at a tempo, at `turns` motor turns a
    /// cycle.
    #[must_use]
    pub fn cycles(&self, tempo: Bpm, turns: f64) -> Cycles {
        let beats_at = |rpm: Rpm| turns * tempo.0 / rpm.0;
        let up = |x: f64| (x - 1e-4).ceil().max(1.0) as u32;
        Cycles {
            warm: up(beats_at(self.warm)),
            always: up(beats_at(self.cold)),
            longest: self.least.map(|l| (beats_at(l) + 1e-4).floor() as u32),
        }
    }
}

/// Cycles in whole beats.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Cycles {
    /// The shortest a slow motor keeps on a warm night.
    pub warm: u32,
    /// The shortest it keeps always.
    pub always: u32,
    /// The longest at which it still turns evenly, where that is known.
    pub longest: Option<u32>,
}

impl Cycles {
    /// "3 beats on a warm night, 4 beats always".
    #[must_use]
    pub fn words(&self) -> String {
        if self.longest.is_some_and(|l| l < self.always) {
            return "no cycle of whole beats; choose another motor or gear".to_owned();
        }
        if self.warm == self.always {
            format!("{} or more", beats(self.always))
        } else {
            format!("{} on a warm night, {} always", beats(self.warm), beats(self.always))
        }
    }
}

/// "1 beat", "4 beats".
#[must_use]
pub fn beats(n: u32) -> String {
    if n == 1 { "1 beat".to_owned() } else { format!("{n} beats") }
}
