//! The play in the ends of a servo's rod: clevises and ball ends wag as pins do, and how much
//! only the maker can feel.

use super::Bench;
use super::rattle::rattles;
use super::wind_limit::{Limit, input};
use crate::fit::{Fitted, SizeName};
use crate::model::Note;
use crate::units::{Deg, print};

/// How far a lever turns, deg, where its rod goes to and fro by `play` mm and pushes it at
/// this angle at worst.
#[must_use]
pub fn wags(play: f64, lever: f64, push: Deg) -> f64 {
    (play / (lever * libm::sin(push.rad().0))).to_degrees()
}

impl Bench<'_> {
    /// The play in the ends of a limb's servo rod, seen at the limb; a note where nobody
    /// said it.
    pub(super) fn rod_ends(&mut self, index: usize) -> Option<Limit> {
        let figure = &*self.fitted.figure;
        let limb = &figure.limbs[index];
        let mechanism = self.fitted.limbs[index].mechanism.as_ref()?;
        let Fitted::Servo(servo) = mechanism else { return None };
        servo.linkage.as_ref()?;
        let Some(play) = limb.build.rod_ends else {
            let what = "how far it wags in the ends of its servo's rod (hold its horn and feel)";
            self.limbs[index].not_checked.push(Note::new(what, "rod-ends 0.3 mm"));
            return None;
        };
        let (lever, push) = (mechanism.drilled(SizeName::Lever)?, servo.min_transmission?);
        let deg = Some(wags(play.0, lever, push)).filter(|d| d.is_finite())?;
        let says = [
            format!(
                "{} in the ends of its servo's rod lets {} wag by ",
                print::size(play, 1, figure.system),
                limb.said()
            ),
            ", and ".into(),
        ];
        let inputs = vec![
            input("play", play.0, "mm").given(),
            input("lever", lever, "mm"),
            input("worst_push", push.0, "deg"),
        ];
        let help = "take ball ends that fit, or a longer lever with a longer arm.".into();
        Some(Limit { help, ..rattles(deg, says, inputs) })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn by_hand() {
        // 0.5/(20 x sin 60) = 0.028868 rad = 1.6540 deg.
        assert!((wags(0.5, 20.0, Deg(60.0)) - 1.6540).abs() < 1e-3);
    }
}
