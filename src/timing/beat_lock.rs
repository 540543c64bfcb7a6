//! How far an accent may be off, and how far a motor will be.
//!
//! Sign: + where the limb is late, which is where the sound is early.

use crate::model::Switch;
use crate::units::Sec;

/// Latest an accent may be before people notice: sound 45 ms early (ITU-R
/// BT.1359-1 (1998), recommends 2, detectability).
pub const LATEST: Sec = Sec(0.045);
/// Earliest: sound 125 ms late (the same).
pub const EARLIEST: Sec = Sec(-0.125);

/// How a motor is kept on the beat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Lock {
    /// Its angle at power-up is unknown: no accents.
    None,
    /// A park contact: it runs a little fast, stops at the contact every cycle and
    /// waits there for the next.
    Park {
        /// Share by which single motors differ.
        spread: f64,
    },
    /// One pulse a turn, its period corrected once a turn.
    Index,
}

impl Lock {
    /// From the motor's contact and spread.
    #[must_use]
    pub fn of(switch: Switch, spread: Option<f64>) -> Self {
        match switch {
            Switch::None => Self::None,
            Switch::Park => Self::Park { spread: spread.unwrap_or(0.0) },
            Switch::Index => Self::Index,
        }
    }

    /// The share of a cycle a middling motor is in motion.
    #[must_use]
    pub fn share(self) -> f64 {
        match self {
            // A motor slower by the whole spread just makes the cycle.
            Self::Park { spread } => 1.0 - spread,
            Self::None | Self::Index => 1.0,
        }
    }

    /// Earliest and latest that single motors can make of an accent that lies
    /// `fraction` of a turn behind the last contact, in cycles of `period`,
    /// against the middling one.
    ///
    /// Park: the slow one takes 1/(1 - s) times as long over a run of
    /// `fraction` (1 - s) T, so it is s f T late; the fast one is
    /// s f T (1 - s)/(1 + s) early. Index: twice the jitter of a period after one
    /// correction a turn, jitter 0.5 % (estimate, no source).
    #[must_use]
    pub fn spread(self, fraction: f64, period: Sec) -> (Sec, Sec) {
        match self {
            Self::None => (Sec(0.0), Sec(0.0)),
            Self::Park { spread: s } => {
                let late = period * (s * fraction);
                (-(late * ((1.0 - s) / (1.0 + s))), late)
            }
            Self::Index => {
                let off = period * (2.0 * JITTER);
                (-off, off)
            }
        }
    }
}

/// How much the period of one turn of a brushed motor varies from the last
/// (estimate, no source).
const JITTER: f64 = 0.005;

/// The worse of the earliest and the latest, measured against what people notice.
#[must_use]
pub fn worst(early: Sec, late: Sec) -> Sec {
    if late.0 / LATEST.0 >= early.0 / EARLIEST.0 { late } else { early }
}

/// Whether people notice.
#[must_use]
pub fn noticed(off: Sec) -> bool {
    off.0 > LATEST.0 + 1e-9 || off.0 < EARLIEST.0 - 1e-9
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Arithmetic from the definition of the park lock: 10 % of half a cycle of
    /// 2.07 s is 103 ms, a motor measured to 2 % is 21 ms.
    #[test]
    fn a_park_contact_makes_the_spread_of_one_run() {
        let late = |s: f64| Lock::Park { spread: s }.spread(0.5, Sec(2.069)).1.0 * 1000.0;
        assert!((late(0.10) - 103.4).abs() < 0.1);
        assert!((late(0.02) - 20.7).abs() < 0.1);
        assert!(noticed(Sec(0.046)) && !noticed(Sec(0.044)));
        assert!(noticed(Sec(-0.126)) && !noticed(Sec(-0.124)));
    }
}
