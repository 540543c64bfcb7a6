//! `counterweight ? at 120 mm`: the mass that makes the motor's peak least.
//!
//! At each instant weight and inertia grow evenly with the mass, so the peak over a
//! cycle, the largest of many rising or falling lines, has one valley; it is found by
//! golden section. Friction of the bolt bends the lines by less than a hundredth.

use super::cycle;
use super::mass::weighed;
use super::standing::Standing;
use super::{Bench, works};
use crate::geometry::highest;
use crate::model::Note;
use crate::units::{Kg, print};

/// Counterweights up to so many times the one that balances the limb at rest.
const MOST: f64 = 3.0;
/// The mass is found to this share of the largest that is tried.
const FINE: f64 = 1e-4;

impl Bench<'_> {
    /// Finds every counterweight that is asked for.
    pub(super) fn balance_weights(&mut self) {
        for index in 0..self.limbs.len() {
            let limb = &self.fitted.figure.limbs[index];
            let open = limb
                .build
                .counterweight
                .as_ref()
                .is_some_and(|w| w.open.is_some() && w.mass.is_none());
            if !open || limb.poisoned {
                continue;
            }
            match self.balancing(index) {
                Some(Kg(0.0)) => self.limbs[index].not_checked.push(Note::new(
                    "a counterweight (none makes the motor's work less)",
                    "take the counterweight out",
                )),
                Some(mass) => {
                    self.limbs[index].counterweight = Some(mass);
                    self.limbs[index].mass = weighed(limb, Some(mass));
                }
                None => self.limbs[index].not_checked.push(Note::new(
                    "the counterweight that is asked for",
                    "counterweight 100 g at 60 mm",
                )),
            }
        }
    }

    /// The best mass for one limb, to a gram.
    fn balancing(&self, index: usize) -> Option<Kg> {
        let figure = &self.fitted.figure;
        let limb = &figure.limbs[index];
        let motor = figure.motor_of(index)?;
        let bare = self.limbs[index].mass?;
        let at = limb.build.counterweight.as_ref()?.at;
        let far = libm::hypot(bare.centre.x, bare.centre.y);
        let most = MOST * bare.mass.0 * (far / at.0);
        let peak = |mass: f64| -> f64 {
            let mut masses: Vec<_> = self.limbs.iter().map(|l| l.mass).collect();
            masses[index] = weighed(limb, Some(Kg(mass)));
            works::of(self.fitted, self.site, motor, &masses, &Standing::default())
                .and_then(|w| cycle::peak(&w))
                .unwrap_or(f64::INFINITY)
        };
        if !(most > 0.0 && most.is_finite() && peak(0.0).is_finite()) {
            return None;
        }
        let (best, _) = highest(0.0, most, most * FINE, |m| -peak(m));
        let grams = |kg: f64| Kg(libm::round(kg * 1e3) * 1e-3);
        // Without one is best where the far side is the heavier one, or speed counts most.
        Some(if peak(0.0) <= peak(best) { Kg(0.0) } else { grams(best) })
    }
}

/// "120 g at 120 mm", as the text is written.
#[must_use]
pub fn written(mass: Kg) -> String {
    format!("{} g", print::decimal(mass.0 * 1e3, 0))
}
