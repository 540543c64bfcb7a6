//! Gears with idle ones between motor and limb: how far apart their shafts may stand.
//!
//! Idle gears may lie in a bow, so any distance up to the straight row fits; the first and
//! the last must not touch each other, or the train locks.

use super::{Bench, codes};
use crate::finding::Place;
use crate::model::SpinDrive;
use crate::units::Mm;
use crate::units::print;

/// The tips of two gears that do not mesh stay clear of each other by their two heads, a
/// module each.
const HEADS: f64 = 2.0;

/// Least and most distance of the shafts of the first and the last of a row of gears of
/// three or more.
pub(super) fn reach(teeth: &[u32], module: Mm) -> Option<(Mm, Mm)> {
    let (&first, &last) = (teeth.first()?, teeth.last()?);
    let halves: u32 = teeth.windows(2).map(|two| two[0] + two[1]).sum();
    let of = |halves: f64| module * (halves / 2.0);
    (teeth.len() > 2).then(|| (of(f64::from(first + last)) + module * HEADS, of(f64::from(halves))))
}

/// A place is told to a tenth of a millimetre, and lies within the limits for all that.
const TOLD: Mm = Mm(0.1);

impl Bench<'_> {
    /// Holds a train with idle gears against the shafts as they are drawn.
    pub(super) fn idle_gears(&mut self, place: Place, said: &SpinDrive, motor: usize) {
        let Some((least, most)) = said.module.and_then(|m| reach(&said.teeth, m)) else { return };
        let Some(shafts) = self.shafts(place, motor, "whether the gears mesh") else { return };
        let (apart, system) = (shafts.apart(), self.figure.system);
        let told = |v: Mm| print::size(v, 2, system);
        let (message, wanted) = if apart > most {
            let message = format!(
                "laid in a row, the gears of {} reach {} from shaft to shaft; they are {} apart.",
                self.name(),
                told(most),
                told(apart)
            );
            (message, most - TOLD)
        } else if apart < least {
            let message = format!(
                "the first and the last gear of {} would touch: their shafts are {} apart, and {} is the least.",
                self.name(),
                told(apart),
                told(least)
            );
            (message, least + TOLD)
        } else {
            return;
        };
        self.report(&codes::CENTRES_OFF, place, message).help = Some(format!(
            "put the motor {}, or take gears of another size.",
            shafts.motor_at(wanted, system)
        ));
    }
}
