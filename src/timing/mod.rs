//! Timing: cues fitted to the music and to what each motor can do.
//!
//! All times here count in seconds from the start signal. A moment of the song
//! comes [`sound_delay`] after its place in the song, so that a limb moves when
//! people hear the note and not when the player sends it out.

mod beat_lock;
mod carried;
mod codes;
mod drawing;
mod driven;
mod driven_findings;
mod easing;
mod expand;
mod follow;
mod keys;
mod linkage;
mod motion;
pub mod nights;
mod perform;
mod reach;
mod rehearsal;
mod riding;
mod runs;
mod seed;
mod servo;
mod servo_pace;
mod shaft;
mod stage;
mod strut;
mod strut_air;
mod strut_ram;

pub use beat_lock::{EARLIEST, LATEST};
pub use codes::{CODES, COLD, TOO_FAST_FOR_MOTOR, TOO_FAST_FOR_SERVO};
pub use drawing::{Alone, Counts, Drawing, DrawnLimb, Row, Table, course, drive_course};
pub use expand::sound_delay;
pub use keys::{Sample, error as line_error, fewest};
pub use perform::{COLD_SPEED, assumed, not_checked, perform, perform_again};
pub use reach::{Cycles, Reach, Verdict};
pub use rehearsal::Rehearsal;
pub use servo::TOLERANCE as SERVO_TOLERANCE;
pub use servo_pace::BRISK;

use std::sync::Arc;

use crate::finding::Place;
use crate::fit::Pose;
use crate::units::{Deg, Mm, Sec};

/// A show played out: every limb's motion and every channel's commands.
#[derive(Clone, Debug, Default)]
pub struct Performance {
    /// The show.
    pub show: String,
    /// Its length.
    pub duration: Sec,
    /// How long after the start signal people hear the song's first sample; all
    /// times count from the start signal.
    pub sound_delay: Sec,
    /// Per figure, in the yard's order; figures without cues are left out.
    pub figures: Vec<Arc<FigurePart>>,
    /// Every accent, in order of time.
    pub accents: Vec<Accent>,
}

/// What one figure does in a show.
#[derive(Clone, Debug)]
pub struct FigurePart {
    /// The figure.
    pub figure: String,
    /// Commands, one channel per motor or switched output.
    pub channels: Vec<Channel>,
    /// Predicted motion, one per moving limb.
    pub limbs: Vec<LimbMotion>,
}

/// What a channel's numbers mean.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ChannelKind {
    /// Motor speed in rpm of the output shaft, held until the next key.
    Speed,
    /// Servo angle in degrees, straight lines between keys.
    Angle,
    /// 1 on, 0 off, held until the next key; an air valve likewise.
    Switch,
    /// A ram: 1 out, -1 in, 0 off, held until the next key; at either end its own
    /// switch stops it. A spool: 1 lets its cord out, -1 winds it in.
    Travel,
}

/// The commands of one motor.
#[derive(Clone, Debug)]
pub struct Channel {
    /// The motor's name.
    pub name: String,
    /// The limbs it moves.
    pub limbs: Vec<String>,
    /// What the numbers mean.
    pub kind: ChannelKind,
    /// Fewest keys within `error`.
    pub keys: Vec<Key>,
    /// Largest difference from the wanted curve, in the kind's unit.
    pub error: f64,
}

/// One command.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Key {
    /// After the start signal.
    pub at: Sec,
    /// Value in the channel's unit.
    pub value: f64,
}

/// The predicted motion of one limb.
#[derive(Clone, Debug)]
pub struct LimbMotion {
    /// The limb.
    pub limb: String,
    /// Pieces in order; each starts where the last one ended.
    pub pieces: Vec<Piece>,
}

/// A stretch of motion.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// Start, after the start signal.
    pub from: Sec,
    /// End.
    pub to: Sec,
    /// What happens.
    pub path: Path,
}

/// What happens in a stretch.
#[derive(Clone, Debug, PartialEq)]
pub enum Path {
    /// Still, here.
    Still(Pose),
    /// The crank turns evenly between two absolute angles (unwrapped, ccw
    /// positive); the limb follows its mechanism.
    Crank {
        /// At the start.
        from: Deg,
        /// At the end.
        to: Deg,
    },
    /// A ram's or cylinder's length pin to pin changes evenly; the limb follows its
    /// mechanism.
    Length {
        /// At the start.
        from: Mm,
        /// At the end.
        to: Mm,
    },
    /// Straight lines between limb angles.
    Line(Vec<(Sec, Deg)>),
    /// The limb turns evenly between two unwrapped angles.
    Turn {
        /// At the start.
        from: Deg,
        /// At the end.
        to: Deg,
    },
}

/// A moment that must be met.
#[derive(Clone, Debug, PartialEq)]
pub struct Accent {
    /// The figure.
    pub figure: String,
    /// The limb.
    pub limb: String,
    /// When people hear the moment it belongs to, after the start signal.
    pub wanted: Sec,
    /// Predicted time minus wanted, with the motor as described; + = late.
    pub nominal: Sec,
    /// The worst the unit's spread can make of it, largest size; + = late.
    pub worst: Sec,
    /// The cue that asks for it.
    pub cue: Place,
}

impl Accent {
    /// Whether people notice, should it come as badly as it may.
    #[must_use]
    pub fn noticed(&self) -> bool {
        beat_lock::noticed(self.worst)
    }
}
