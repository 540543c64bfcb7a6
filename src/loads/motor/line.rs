//! The straight line of a brushed motor: speed against torque and current.
//!
//! From free running (w0, I0) and standstill (Ts, Is) at the sheet's voltage V:
//! R = V/Is, Ke = (V - I0 R)/w0, Kt = Ts/(Is - I0), all at the output shaft, so that
//! Kt/Ke is what the gear passes on (permanent-magnet motor line: MIT, "Understanding
//! D.C. Motor Characteristics").

use crate::loads::TorqueCurve;
use crate::model::MotorType;
use crate::units::{Amp, NewtonMetre, Ohm, Rpm, Volt};

/// Below this share passed on by the gear the limb cannot turn the motor back, and
/// above the next it can (2 - 1/share, back-efficiency of a gear; the band between is
/// uncertain: seva-tec.de, gear maker's questions, 2.1.3).
pub const LOCKS: f64 = 0.45;
/// See [`LOCKS`].
pub const TURNS_BACK: f64 = 0.55;

/// A motor's line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// Resistance of its winding.
    pub resistance: Ohm,
    /// Volts for each rad/s of the output shaft, V.s.
    pub ke: f64,
    /// Torque at the output shaft for each ampere, N.m/A.
    pub kt: f64,
    /// Current without load.
    pub free_current: Amp,
}

/// What stands at the end of a cable: the source's voltage, and what lies between.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Feeding {
    /// The source's voltage.
    pub volts: Volt,
    /// Resistance of cable, there and back, and driver.
    pub ohm: Ohm,
}

/// What a load makes of a motor over one turn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Running {
    /// Mean speed over a turn: 60 s over the time of the turn.
    pub mean: Rpm,
    /// Slowest speed in the turn.
    pub slowest: Rpm,
    /// Fastest.
    pub fastest: Rpm,
    /// Mean current over the angle of the turn.
    pub current: Amp,
    /// Largest current.
    pub peak_current: Amp,
}

impl Running {
    /// How much the speed swings about its mean, peak to peak, as a share. The motor's
    /// own flywheel, not counted here, makes it less.
    #[must_use]
    pub fn ripple(&self) -> f64 {
        (self.fastest.0 - self.slowest.0) / self.mean.0
    }
}

impl Line {
    /// From a motor's sheet; `None` where a figure is missing or they contradict each
    /// other so far that there is no line.
    #[must_use]
    pub fn of(motor: &MotorType) -> Option<Self> {
        let (volts, free) = (motor.voltage?, motor.free?);
        let (i0, ts, is) = (motor.free_current?, motor.stall?, motor.stall_current?);
        Self::new(volts, free, i0, ts, is)
    }

    /// From the figures themselves.
    #[must_use]
    pub fn new(
        volts: Volt,
        free: Rpm,
        free_current: Amp,
        stall: NewtonMetre,
        stall_current: Amp,
    ) -> Option<Self> {
        let resistance = volts.0 / stall_current.0;
        let back = volts.0 - free_current.0 * resistance;
        let amps = stall_current.0 - free_current.0;
        (back > 0.0 && amps > 0.0).then(|| Self {
            resistance: Ohm(resistance),
            ke: back / free.rad_per_sec(),
            kt: stall.0 / amps,
            free_current,
        })
    }

    /// The share of the motor's own torque that its gear passes on.
    #[must_use]
    pub fn efficiency(&self) -> f64 {
        self.kt / self.ke
    }

    /// What the line sees of a torque at the shaft: all of it where the motor pushes;
    /// where the limb pushes the gear gives only a part back, and one that locks still
    /// takes some.
    #[must_use]
    pub fn seen(&self, torque: f64) -> f64 {
        if torque >= 0.0 { torque } else { (1.0 - 2.0 * self.efficiency()) * -torque }
    }

    /// Current under a torque at the shaft, N.m.
    #[must_use]
    pub fn current(&self, torque: f64) -> Amp {
        Amp(self.free_current.0 + self.seen(torque) / self.kt)
    }

    /// Speed under a torque at the shaft, at a duty of 0 to 1; negative where the motor
    /// cannot bear it.
    #[must_use]
    pub fn speed(&self, feeding: Feeding, duty: f64, torque: f64) -> Rpm {
        let lost = (self.resistance.0 + feeding.ohm.0) * self.current(torque).0;
        Rpm::from_rad_per_sec((duty * feeding.volts.0 - lost) / self.ke)
    }

    /// Current when it is held, at full duty: that of the first moment too.
    #[must_use]
    pub fn start_current(&self, feeding: Feeding) -> Amp {
        Amp(feeding.volts.0 / (self.resistance.0 + feeding.ohm.0))
    }

    /// Torque at a current when it stands.
    #[must_use]
    pub fn torque_at(&self, current: Amp) -> NewtonMetre {
        NewtonMetre((self.kt * (current.0 - self.free_current.0)).max(0.0))
    }

    /// Torque that stops it.
    #[must_use]
    pub fn stall(&self, feeding: Feeding) -> NewtonMetre {
        self.torque_at(self.start_current(feeding))
    }

    /// What it does under a load; `None` where it stands still somewhere in the turn.
    #[must_use]
    pub fn running(&self, feeding: Feeding, duty: f64, load: &TorqueCurve) -> Option<Running> {
        let speeds = load.torque.iter().map(|t| self.speed(feeding, duty, *t).0);
        let (slowest, fastest) =
            speeds.fold((f64::INFINITY, 0.0_f64), |(a, b), s| (a.min(s), b.max(s)));
        if !(slowest > 0.0 && slowest.is_finite()) {
            return None;
        }
        let per_turn = load.mean(|t| 1.0 / self.speed(feeding, duty, t).0);
        let peak = load.torque.iter().map(|t| self.current(*t).0).fold(0.0, f64::max);
        Some(Running {
            mean: Rpm(1.0 / per_turn),
            slowest: Rpm(slowest),
            fastest: Rpm(fastest),
            current: Amp(load.mean(|t| self.current(t).0)),
            peak_current: Amp(peak),
        })
    }

    /// The duty that gives a mean speed under a load; above 1 where it cannot.
    #[must_use]
    pub fn duty(&self, feeding: Feeding, load: &TorqueCurve, wanted: Rpm) -> f64 {
        let amps = load.mean(|t| self.current(t).0);
        let lost = (self.resistance.0 + feeding.ohm.0) * amps;
        (self.ke * wanted.rad_per_sec() + lost) / feeding.volts.0
    }

    /// The same motor on a cold night: its grease takes twice the free current
    /// (common practice for -10 C, no source).
    #[must_use]
    pub fn chilled(&self) -> Self {
        Self { free_current: self.free_current * 2.0, ..*self }
    }
}
