//! Limbs that ride on others with a motor of their own: what their poses change in the
//! torque of the motor that carries them, and where its load found things at their worst.
//!
//! In the carrier's cycle a rider whose motor rides with it is a weight that stands still.
//! Where it stands is looked for over the rider's own range: what the motor is held
//! against is the pose that is worst for it.

use super::cycle::{Effort, MotorLoad, peak};
use super::mass::MassProperties;
use super::standing::{Free, Standing};
use super::{Bench, works};
use crate::fit::Fitted;
use crate::geometry::Point;
use crate::model::{Note, Source};
use crate::units::print::{self, decimal};
use crate::units::{Deg, Mm, Newton, NewtonMetre, System};

/// Steps over a rider's range, both ends among them. Over a whole turn its centre moves by
/// its distance times 0.26 from one to the next, and the torque at a hump by less than a
/// hundredth of the rider's share.
const STEPS: usize = 24;

/// The same weight turned about its pivot.
fn turned(mass: &MassProperties, by: Deg) -> MassProperties {
    let (sin, cos) = libm::sincos(by.rad().0);
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
                Free::Crank { .. } | Free::Length { .. } => Deg(0.0),
            };
            let angle = |a: Deg| decimal((least.positive() + (a - least)).0, 0);
            let at = match *place {
                Free::Carrier { .. } => angle(Deg(standing.at(*place))),
                Free::Crank { .. } => angle(Deg(standing.at(*place)).positive()),
                Free::Length { .. } => print::length(Mm(standing.at(*place)), figure.system),
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
                        let instead = "let both move, and feel how warm the motor gets";
                        self.limbs[limb].not_checked.push(Note::beyond(&moving, instead));
                    }
                }
                Free::Crank { rider, .. } | Free::Length { rider, .. } => {
                    let Some(carrier) = figure.limbs[rider].carrier else { continue };
                    let mut bare = standing.clone();
                    bare.without.push(rider);
                    let mut masses = masses.to_vec();
                    masses[rider] = None;
                    let bare = works::of(self.fitted, self.site, load.motor, &masses, &bare)
                        .and_then(|w| peak(&w))
                        .map_or(String::new(), |p| format!(", and {} without it", value(p)));
                    let stands = match (*place, self.fitted.carried(rider)) {
                        (Free::Length { .. }, _) => format!("what draws or pushes it at {at}"),
                        (_, Some(Fitted::Servo(_))) => {
                            format!("its servo's arm standing at {at} deg")
                        }
                        _ => format!("its crank standing at {at} deg"),
                    };
                    let what = format!(
                        "{} with {stands}, where it is worst: its carrier's motor \
                         peaks at {}{bare}",
                        name(rider),
                        value(load.peak)
                    );
                    self.limbs[carrier].assumed.push(Note::new(what, ""));
                }
            }
        }
    }

    /// The weights of a motor's limbs with each rider that has a motor of its own turned,
    /// within its range, to where it makes the carrier's motor peak highest; and what is
    /// told of it. A rider whose range is not known stays as it is drawn.
    pub(super) fn worst_riders(
        &self,
        load: &MotorLoad,
        at: &Standing,
        masses: &[Option<MassProperties>],
    ) -> (Vec<Option<MassProperties>>, Vec<(usize, Note)>) {
        let figure = &self.fitted.figure;
        let (mut posed, mut notes) = (masses.to_vec(), Vec::new());
        let riders: Vec<(usize, usize)> = self.riders_of(load).collect();
        // The worst of one may move with the pose of another: a second look finds most.
        for round in 0..riders.len().min(2) {
            notes.clear();
            for &(index, carrier) in &riders {
                let name = &figure.limbs[index].name.value;
                let range = self.fitted.limbs[index].turned_from_drawing(index);
                let (Some(mass), Some((low, high))) = (masses[index], range) else {
                    let what = format!("{name} as it is drawn in its carrier's torque");
                    notes.push((carrier, Note::new(what, "")));
                    continue;
                };
                let mut seen = (0..=STEPS).filter_map(|k| {
                    let by = low + (high - low) * (k as f64 / STEPS as f64);
                    let mut other = posed.clone();
                    other[index] = Some(turned(&mass, by));
                    let works = works::of(self.fitted, self.site, load.motor, &other, at)?;
                    Some((peak(&works)?, by))
                });
                let Some(first) = seen.next() else { continue };
                let (least, most) = seen.fold((first, first), |(least, most), one| {
                    (
                        if one.0 < least.0 { one } else { least },
                        if one.0 > most.0 { one } else { most },
                    )
                });
                posed[index] = Some(turned(&mass, most.1));
                let value = |v: f64| told(load.effort, v, figure.system);
                let what = format!(
                    "{name} turned by {} deg from where it is drawn, where it is worst for the motor of \
                     {}: {}, and {} where it is least",
                    decimal(most.1.0, 0),
                    figure.limbs[carrier].name.value,
                    value(most.0),
                    value(least.0)
                );
                notes.push((carrier, Note::new(what, "")));
            }
            if riders.len() == 1 && round == 0 {
                break;
            }
        }
        (posed, notes)
    }

    /// The riders with motors of their own on the limbs of a motor, with what carries them.
    fn riders_of<'a>(&'a self, load: &'a MotorLoad) -> impl Iterator<Item = (usize, usize)> + 'a {
        let limbs = self.fitted.figure.limbs.iter().enumerate();
        limbs.filter_map(|(index, rider)| {
            let carrier = rider.carrier.filter(|c| load.limbs.contains(c))?;
            let drive = rider.drive.as_ref()?;
            let own = matches!(drive.source, Source::Motor(_)) && !load.limbs.contains(&index);
            (own && self.fitted.carried(index).is_none()).then_some((index, carrier))
        })
    }
}
