//! Blades of a limb that spins, set at an angle: a gust turns them, and they its motor.

use super::Bench;
use super::codes_turning::SPIN_BLOWN;
use super::motor::Work;
use super::wind_area::{LIMB_FORCE, PRESSURE};
use super::wind_limb::left_out;
use super::wind_limit::{Limit, When, input};
use crate::fit::Fitted;
use crate::geometry::Point;
use crate::model::Note;
use crate::units::Deg;

/// A gust may bring so much of what stops the motor (common practice, no source).
const SEEN: f64 = 0.1;

/// Torque of the wind on blades at an angle about their shaft, N.m for each (m/s)^2: area,
/// m2; the radius at which it acts, m.
#[must_use]
pub fn torque(area: f64, radius: f64, pitch: Deg) -> f64 {
    LIMB_FORCE * PRESSURE * area * radius * libm::sin(pitch.rad().0)
}

impl Bench<'_> {
    /// What a gust makes of every limb that spins; noted where nothing says whether its
    /// blades are flat.
    pub(super) fn wind_on_blades(&mut self) {
        for index in 0..self.limbs.len() {
            let Some(Fitted::Spin(spin)) = &self.fitted.limbs[index].mechanism else { continue };
            let limb = &self.fitted.figure.limbs[index];
            let Some(pitch) = limb.build.pitched else {
                let what = "whether its blades are set at an angle and the wind turns its motor";
                self.limbs[index].not_checked.push(Note::new(what, "pitched 0 deg"));
                continue;
            };
            let limit = self.blown(index, pitch, spin.ratio.abs());
            if let (Some(limit), Some(wind)) = (limit, &mut self.limbs[index].wind) {
                wind.limits.push(limit);
            }
        }
    }

    fn blown(&self, index: usize, pitch: Deg, ratio: f64) -> Option<Limit> {
        let figure = &*self.fitted.figure;
        let limb = &figure.limbs[index];
        let outline = limb.silhouette()?;
        let motor = figure.motor_of(index)?;
        let own = !figure.actuators.get(motor)?.motor.typical;
        let stall = match &self.motors.get(motor)?.work {
            Some(Work::Brushed(load)) => load.line.stall(load.feeding).0,
            Some(Work::Synchronous(load)) => load.rated.0,
            _ => return None,
        };
        let area = outline.area().0;
        // Never less than the mean distance of its area.
        let radius = (outline.polar_moment(Point::origin()) / area).sqrt() * 1e-3;
        let limb_torque = torque(area * 1e-6, radius, pitch);
        (limb_torque > 0.0 && stall > 0.0).then(|| Limit {
            code: &SPIN_BLOWN,
            when: When::Run,
            severity: SPIN_BLOWN.severity,
            goes: "the wind turns its motor",
            says: [
                format!("turns the blades of {} against or with their motor by ", limb.said()),
                " of torque at its shaft, and ".into(),
                " is a tenth of what stops it".into(),
            ],
            calm: 0.0,
            per_gust2: limb_torque * ratio,
            bears: SEEN * stall,
            unit: "N.m",
            inputs: vec![
                input("area", area * 1e-6, "m2"),
                input("radius", radius, "m"),
                input("pitch", pitch.0, "deg").given(),
                input("turns_per_motor_turn", ratio, "1"),
                input("stall", stall, "N.m").worked_or_typical(own),
            ],
            typical: Vec::new(),
            left_out: left_out(limb, "outline"),
            help: "set them flat, or gear the motor down further.".into(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn by_hand() {
        // 1.3 x 0.613 x 0.1156 m2 x 0.1388 m x sin 30 = 0.006393 N.m for each (m/s)^2.
        assert!((torque(0.1156, 0.1388, Deg(30.0)) - 0.006_393).abs() < 1e-5);
        assert_eq!(torque(0.1156, 0.1388, Deg(0.0)), 0.0);
    }
}
