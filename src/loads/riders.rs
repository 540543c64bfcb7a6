//! Limbs that ride on others with a motor of their own: what their poses change in the
//! torque of the motor that carries them, and where its load found things at their worst.
//!
//! In the carrier's cycle a rider whose motor rides with it is a weight that stands still
//! where it is drawn. Here it is turned right round its pivot in steps, and the least and
//! largest peak are told, so that the pose of the rider bounds the answer instead of
//! hiding in it.

use super::cycle::{Effort, MotorLoad, peak};
use super::mass::MassProperties;
use super::standing::{Free, Standing};
use super::{Bench, works};
use crate::geometry::Point;
use crate::model::{Note, Source};
use crate::units::print::{self, decimal};
use crate::units::{Deg, Newton, NewtonMetre, System};

/// Steps of a turn. Between two of them the rider's centre moves by its distance times
/// 0.26, and the torque at a hump by less than a hundredth of the rider's share.
const STEPS: usize = 24;

/// The same weight turned about its pivot.
fn turned(mass: &MassProperties, share: f64) -> MassProperties {
    let (sin, cos) = libm::sincos(std::f64::consts::TAU * share);
    let c = mass.centre;
    MassProperties { centre: Point::mm(c.x * cos - c.y * sin, c.x * sin + c.y * cos), ..*mass }
}

/// An effort in its figure's own household.
fn told(effort: Effort, value: f64, system: System) -> String {
    match effort {
        Effort::Force => print::force(Newton(value), system),
        Effort::Torque | Effort::Winding => print::torque(NewtonMetre(value), system),
    }
}

impl Bench<'_> {
    /// Tells where everything stands in a motor's load that the motor does not move, and
    /// what it would be without.
    pub(super) fn stood(
        &mut self,
        load: &MotorLoad,
        free: &[Free],
        standing: &Standing,
        masses: &[Option<MassProperties>],
    ) {
        let figure = &self.fitted.figure;
        let value = |v: f64| told(load.effort, v, figure.system);
        let name = |limb: usize| figure.limbs[limb].name.value.as_str();
        for place in free {
            // In one turn with the least, which people count from 0.
            let least = match *place {
                Free::Carrier { range, .. } => range.0,
                Free::Crank { .. } => Deg(0.0),
            };
            let angle = |a: Deg| decimal((least.positive() + (a - least)).0, 0);
            let at = match *place {
                Free::Carrier { .. } => angle(standing.at(*place)),
                Free::Crank { .. } => angle(standing.at(*place).positive()),
            };
            match *place {
                Free::Carrier { carrier, range: (low, high) } => {
                    let rides = |l: &&usize| figure.limbs[**l].carrier == Some(carrier);
                    for &limb in load.limbs.iter().filter(rides) {
                        let what = format!(
                            "torque with {} at {at} deg, where it is worst between {} and {} deg",
                            name(carrier),
                            angle(low),
                            angle(high)
                        );
                        let moving =
                            format!("torque while {} moves at the same time", name(carrier));
                        self.limbs[limb].assumed.push(Note::new(what, ""));
                        self.limbs[limb].not_checked.push(Note::new(moving, ""));
                    }
                }
                Free::Crank { rider } => {
                    let Some(carrier) = figure.limbs[rider].carrier else { continue };
                    let mut bare = standing.clone();
                    bare.without.push(rider);
                    let mut masses = masses.to_vec();
                    masses[rider] = None;
                    let bare = works::of(self.fitted, self.site, load.motor, &masses, &bare)
                        .and_then(|w| peak(&w))
                        .map_or(String::new(), |p| format!(", and {} without it", value(p)));
                    let what = format!(
                        "{} with its crank standing at {at} deg, where it is worst: its carrier's motor \
                         peaks at {}{bare}",
                        name(rider),
                        value(load.peak)
                    );
                    self.limbs[carrier].assumed.push(Note::new(what, ""));
                }
            }
        }
    }

    /// Tells for each rider with a motor of its own the least and largest peak that its
    /// poses make of its carrier's motor.
    pub(super) fn riders(
        &mut self,
        load: &MotorLoad,
        at: &Standing,
        masses: &[Option<MassProperties>],
    ) {
        let figure = &self.fitted.figure;
        let mut notes: Vec<(usize, Note)> = Vec::new();
        for (index, rider) in figure.limbs.iter().enumerate() {
            let Some(carrier) = rider.carrier.filter(|c| load.limbs.contains(c)) else { continue };
            let own = rider.drive.as_ref().is_some_and(|d| matches!(d.source, Source::Motor(_)));
            if !own || load.limbs.contains(&index) || self.fitted.carried(index).is_some() {
                continue;
            }
            let Some(mass) = masses.get(index).copied().flatten() else { continue };
            let peaks = (0..STEPS).filter_map(|k| {
                let mut other = masses.to_vec();
                other[index] = Some(turned(&mass, k as f64 / STEPS as f64));
                peak(&works::of(self.fitted, self.site, load.motor, &other, at)?)
            });
            let ends = peaks.fold((f64::INFINITY, 0.0_f64), |(l, h), p| (l.min(p), h.max(p)));
            if ends.0.is_finite() {
                let value = |v: f64| told(load.effort, v, figure.system);
                let what = format!(
                    "{} as it is drawn; turned any other way its carrier's motor peaks at {} to {}",
                    rider.name.value,
                    value(ends.0),
                    value(ends.1)
                );
                notes.push((carrier, Note::new(what, "")));
            }
        }
        for (carrier, note) in notes {
            self.limbs[carrier].assumed.push(note);
        }
    }
}
