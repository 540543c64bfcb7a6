//! What an air cylinder's bore, rod and pressure make of it.

use super::{Bars, Degenerate};
use crate::units::{Litre, Mm, Newton, Pascal, Sec};

/// Absolute pressure of the air that standard litres are counted at (ISO 8778,
/// 100 kPa and 20 C); from memory.
pub const REFERENCE_AIR: Pascal = Pascal(100_000.0);

/// A cylinder and the air it is fed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Air {
    bore: Mm,
    rod: Mm,
    stroke: Mm,
    pressure: Pascal,
}

impl Air {
    /// A cylinder with this bore, rod diameter (nought: not known or none) and
    /// stroke, at a gauge pressure.
    ///
    /// # Errors
    /// [`Degenerate::Length`] where a size is no length or the rod fills the bore,
    /// [`Degenerate::NotFinite`] for a pressure that is not above nought.
    pub fn new(bore: Mm, rod: Mm, stroke: Mm, pressure: Pascal) -> Result<Self, Degenerate> {
        let fine = |v: Mm| v >= Bars::SHORTEST && v <= Bars::LONGEST;
        if !(fine(bore) && fine(stroke) && rod.0 >= 0.0 && rod < bore) {
            return Err(Degenerate::Length);
        }
        let flows = pressure.0 > 0.0 && pressure.0.is_finite();
        if !flows {
            return Err(Degenerate::NotFinite);
        }
        Ok(Self { bore, rod, stroke, pressure })
    }

    /// Area of the piston, mm2.
    #[must_use]
    pub fn push_area(&self) -> f64 {
        std::f64::consts::FRAC_PI_4 * self.bore.0 * self.bore.0
    }

    /// Area of the ring round the rod, mm2.
    #[must_use]
    pub fn pull_area(&self) -> f64 {
        let (d, r) = (self.bore.0, self.rod.0);
        std::f64::consts::FRAC_PI_4 * (d - r) * (d + r)
    }

    /// Force when pushing out, without friction.
    #[must_use]
    pub fn push_force(&self) -> Newton {
        Newton(self.push_area() * self.pressure.0 * 1e-6)
    }

    /// Force when drawing in, without friction.
    #[must_use]
    pub fn pull_force(&self) -> Newton {
        Newton(self.pull_area() * self.pressure.0 * 1e-6)
    }

    /// Air for one stroke out and back, standard litres: swept volume times the
    /// absolute pressure over [`REFERENCE_AIR`]; hoses are not counted.
    #[must_use]
    pub fn air_per_cycle(&self) -> Litre {
        let swept = (self.push_area() + self.pull_area()) * self.stroke.0 * 1e-6;
        Litre(swept * (self.pressure + REFERENCE_AIR).0 / REFERENCE_AIR.0)
    }

    /// Mean piston speed of a throttled stroke, m/s; `None` for a time that is not
    /// above nought.
    #[must_use]
    pub fn speed(&self, throttle: Sec) -> Option<f64> {
        (throttle.0 > 0.0).then(|| self.stroke.0 * 1e-3 / throttle.0)
    }

    /// How long before the limb arrives the valve must be told: valve, filling, and
    /// the stroke at a mean speed in m/s; `None` for a speed that is not above
    /// nought.
    #[must_use]
    pub fn lead(&self, valve: Sec, fill: Sec, speed: f64) -> Option<Sec> {
        (speed > 0.0).then(|| valve + fill + Sec(self.stroke.0 * 1e-3 / speed))
    }
}
