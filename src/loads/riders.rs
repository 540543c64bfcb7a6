//! Limbs that ride on others with a motor of their own: what their poses change in the
//! torque of the motor that carries them.
//!
//! In the carrier's cycle a rider is a weight that stands still where it is drawn. Here
//! it is turned right round its pivot in steps, and the least and largest peak are told,
//! so that the pose of the rider bounds the answer instead of hiding in it.

use super::cycle::{MotorLoad, hardest};
use super::mass::MassProperties;
use super::{Bench, works};
use crate::geometry::Point;
use crate::model::{Note, Source};
use crate::units::print::decimal;

/// Steps of a turn. Between two of them the rider's centre moves by its distance times
/// 0.26, and the torque at a hump by less than a hundredth of the rider's share.
const STEPS: usize = 24;

/// The same weight turned about its pivot.
fn turned(mass: &MassProperties, share: f64) -> MassProperties {
    let (sin, cos) = libm::sincos(std::f64::consts::TAU * share);
    let c = mass.centre;
    MassProperties { centre: Point::mm(c.x * cos - c.y * sin, c.x * sin + c.y * cos), ..*mass }
}

impl Bench<'_> {
    /// Tells for each rider with a motor of its own the least and largest peak that its
    /// poses make of its carrier's motor.
    pub(super) fn riders(&mut self, load: &MotorLoad, masses: &[Option<MassProperties>]) {
        let figure = &self.fitted.figure;
        let mut notes: Vec<(usize, Note)> = Vec::new();
        for (index, rider) in figure.limbs.iter().enumerate() {
            let Some(carrier) = rider.carrier.filter(|c| load.limbs.contains(c)) else { continue };
            let own = rider.drive.as_ref().is_some_and(|d| matches!(d.source, Source::Motor(_)));
            if !own || load.limbs.contains(&index) {
                continue;
            }
            let Some(mass) = masses.get(index).copied().flatten() else { continue };
            let peaks = (0..STEPS).filter_map(|k| {
                let mut other = masses.to_vec();
                other[index] = Some(turned(&mass, k as f64 / STEPS as f64));
                let works = works::of(self.fitted, self.site, load.motor, &other)?;
                let train = works.train();
                hardest(&train, &works.asked, works.effort).map(|(load, _)| load.peak)
            });
            let ends = peaks.fold((f64::INFINITY, 0.0_f64), |(l, h), p| (l.min(p), h.max(p)));
            if ends.0.is_finite() {
                let unit = match load.effort {
                    super::Effort::Force => ("N", 0),
                    super::Effort::Torque | super::Effort::Winding => ("N.m", 3),
                };
                let what = format!(
                    "{} as it is drawn; turned any other way its carrier's motor peaks at {} to {} {}",
                    rider.name.value,
                    decimal(ends.0, unit.1),
                    decimal(ends.1, unit.1),
                    unit.0
                );
                notes.push((carrier, Note::new(what, "")));
            }
        }
        for (carrier, note) in notes {
            self.limbs[carrier].assumed.push(note);
        }
    }
}
