//! How long a ram, a spool or an air cylinder takes, from what the maker and the sheet
//! say.

use std::f64::consts::PI;

use crate::mechanism::{Size, Strut};
use crate::model::{Actuator, AirSaid, CordDrive, MotorKind, MotorType, StrutDrive};
use crate::units::{Mm, Sec};

/// A small valve takes this long to open (common practice, no source).
pub const VALVE: Sec = Sec(0.020);
/// A small cylinder's air takes this long to build up (common practice, no source).
pub const FILL: Sec = Sec(0.030);
/// Mean speed of a piston where no throttle time is said, mm/s (common practice, no
/// source).
pub const USUAL_SPEED: f64 = 300.0;

/// How fast a strut changes its length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum StrutPace {
    /// A ram, or a spool.
    Ram(RamPace),
    /// A cylinder.
    Air(AirPace),
}

/// A ram's one speed, or that of the cord on a spool, mm/s.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RamPace {
    /// "ram", "spool".
    pub word: &'static str,
    /// Without load, as its sheet says.
    pub speed: f64,
    /// A slow one of its kind on a warm night.
    pub warm: f64,
    /// A slow one on a cold night.
    pub cold: f64,
    /// The share of these that its load leaves it, growing longer and shorter: means over
    /// the whole way. 1 where that is not known.
    pub under: [f64; 2],
}

/// The times of a cylinder's piston.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AirPace {
    /// From drawn in to pushed out.
    pub up: Sec,
    /// Back.
    pub down: Sec,
}

impl RamPace {
    /// From a ram's sheet; `None` where it gives no speed.
    #[must_use]
    pub fn of(motor: &MotorType) -> Option<Self> {
        Some(Self::at("ram", motor.speed_mm_s.filter(|s| *s > 0.0)?, motor))
    }

    /// Of a cord: the ram's own speed, or that at which its spool winds, the spool's
    /// turns times its circumference. `None` where speed or spool is not known, and
    /// for what neither winds nor draws in.
    #[must_use]
    pub fn of_cord(said: &CordDrive, motor: &MotorType) -> Option<Self> {
        match (motor.kind, said.spool.size) {
            (MotorKind::Ram, _) => Self::of(motor),
            (MotorKind::Spool, Size::Given(diameter)) => {
                let free = motor.free.filter(|f| f.0 > 0.0)?;
                Some(Self::at("spool", PI * diameter * free.0 / 60.0, motor))
            }
            _ => None,
        }
    }

    fn at(word: &'static str, speed: f64, motor: &MotorType) -> Self {
        let warm = speed * (1.0 - motor.spread.map_or(0.0, |s| s.0));
        let cold = warm * (1.0 - motor.cold.map_or(0.0, |c| c.0));
        Self { word, speed, warm, cold, under: [1.0; 2] }
    }

    /// The same with its load on it: the shares of its speed that are left, where known.
    #[must_use]
    pub fn loaded(self, under: Option<[f64; 2]>) -> Self {
        Self { under: under.unwrap_or(self.under), ..self }
    }

    /// Times for ways at a speed without load; a negative way shortens it.
    #[must_use]
    pub fn at_speed(&self, speed: f64, ways: &[Mm]) -> Sec {
        let time = |way: &Mm| {
            let left = if way.0 >= 0.0 { self.under[0] } else { self.under[1] };
            way.0.abs() / (speed * left)
        };
        Sec(ways.iter().map(time).sum())
    }

    /// The time for a way; a negative one shortens it.
    #[must_use]
    pub fn time(&self, way: Mm) -> Sec {
        self.at_speed(self.speed, &[way])
    }

    /// The time the slowest takes for a way.
    #[must_use]
    pub fn longest(&self, way: Mm) -> Sec {
        self.at_speed(self.cold, &[way])
    }
}

impl AirPace {
    /// From the throttle's times, else by [`USUAL_SPEED`].
    #[must_use]
    pub fn of(said: &AirSaid, stroke: Mm) -> Self {
        let usual = Sec(stroke.0 / USUAL_SPEED);
        let time = |t: Option<Sec>| t.filter(|t| t.0 > 0.0).unwrap_or(usual);
        Self { up: time(said.up), down: time(said.down) }
    }

    /// How long before it is out the valve must be told.
    #[must_use]
    pub fn lead_up(&self) -> Sec {
        VALVE + FILL + self.up
    }

    /// How long before it is in again the valve must be told.
    #[must_use]
    pub fn lead_down(&self) -> Sec {
        VALVE + FILL + self.down
    }
}

impl StrutPace {
    /// The same with its load on it; a cylinder's times are those of its throttle.
    #[must_use]
    pub fn loaded(self, under: Option<[f64; 2]>) -> Self {
        match self {
            Self::Ram(ram) => Self::Ram(ram.loaded(under)),
            Self::Air(_) => self,
        }
    }

    /// The pace of a strut with this stroke; `None` for a ram whose sheet gives no
    /// speed.
    #[must_use]
    pub fn of(said: &StrutDrive, actuator: &Actuator, stroke: Mm) -> Option<Self> {
        match said.strut {
            Strut::Ram => RamPace::of(&actuator.motor).map(Self::Ram),
            Strut::Cylinder => Some(Self::Air(AirPace::of(&said.air, stroke))),
        }
    }

    /// The pace of a cord that is drawn in so far; `None` where ram, spool or cylinder say
    /// too little, and for what neither winds nor draws in.
    #[must_use]
    pub fn of_cord(said: &CordDrive, motor: &MotorType, drawn: Mm) -> Option<Self> {
        match motor.kind {
            MotorKind::Cylinder => Some(Self::Air(AirPace::of(&said.air, drawn))),
            _ => RamPace::of_cord(said, motor).map(Self::Ram),
        }
    }

    /// How fast a cord is drawn in and let out without load, mm/s.
    #[must_use]
    pub fn cord_speeds(&self, drawn: Mm) -> (f64, f64) {
        match self {
            Self::Ram(ram) => (ram.speed, ram.speed),
            Self::Air(air) => (drawn.0 / air.up.0, drawn.0 / air.down.0),
        }
    }
}
