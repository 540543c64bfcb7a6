//! Two measurements of one motion that cannot both be right: the ends of the swing or the
//! stroke, and how far apart the tip stands at them; and one that no swing can be.

use super::Bench;
use super::as_built::{READ_ANGLE, READ_LENGTH, READ_STROKE};
use super::checks::fine;
use super::codes::{MEASURED_TOO_FAR, MEASURED_TWICE};
use crate::finding::{Place, Step};
use crate::model::Joint;
use crate::units::{Deg, Mm};

/// Straight from one end of a swing to the other, so far from the pivot.
fn chord(reach: Mm, swing: Deg) -> Mm {
    let half = libm::sin(swing.rad().0.abs() / 2.0);
    reach * (2.0 * half.abs())
}

impl Bench<'_> {
    /// Refuses a tip-to-tip that no swing of the limb makes: across its pivot its tip goes
    /// twice its length, and no further.
    pub(super) fn measured_too_far(&mut self) {
        let (Some(tip), None) = (self.limb.measured.tip_to_tip, &self.limb.mirrors) else { return };
        let tape = self.limb.measured.tip_to_tip_read.unwrap_or(READ_LENGTH);
        let Joint::Pivot { at: Some(pivot), .. } = self.limb.joint else { return };
        let Some(reach) = self.limb.tip.map(|end| pivot.distance(end)) else { return };
        let most = reach * 2.0;
        if tip.value <= most + tape {
            return;
        }
        let system = self.figure.system;
        let message = format!(
            "tip to tip {} is measured {}, and its tip, {} from the pivot, comes {} from itself at the most.",
            self.name(),
            fine(tip.value, system),
            fine(reach, system),
            fine(most, system)
        );
        let found = self.report(&MEASURED_TOO_FAR, tip.place, message);
        found.help = Some(
            "measure straight from where the tip stands at one end of the swing to where it stands at the other."
                .to_owned(),
        );
        self.works([
            Step::given("tip to tip, measured", fine(tip.value, system)),
            Step::given("pivot to tip", fine(reach, system)),
            Step::new(
                "half a turn of it",
                format!("2 x {}", fine(reach, system)),
                fine(most, system),
            ),
        ]);
    }

    /// Tells ends and a tip-to-tip that contradict each other beyond what can be read.
    pub(super) fn measured_twice(&mut self) {
        let measured = &self.limb.measured;
        let Some(tip) = measured.tip_to_tip else { return };
        let tape = measured.tip_to_tip_read.unwrap_or(READ_LENGTH);
        let (least, most, place) = match &self.limb.joint {
            Joint::Slide { .. } => {
                let Some(stroke) = measured.stroke else { return };
                let read = measured.stroke_read.unwrap_or(READ_STROKE) * 2.0;
                let long = (stroke.value.1 - stroke.value.0).abs();
                (long - read, long + read, stroke.place)
            }
            Joint::Pivot { at, .. } => {
                let (Some(pivot), Some(end), Some(ends)) = (*at, self.limb.tip, measured.ends)
                else {
                    return;
                };
                let read = measured.ends_read.unwrap_or(READ_ANGLE) * 2.0;
                let (reach, swing) = (pivot.distance(end), (ends.value.1 - ends.value.0).abs());
                let [a, b] = [swing - read, swing + read].map(|s| chord(reach, s));
                // Across half a turn the tip stands farthest apart on the way.
                let across = (swing - read).0 < 180.0 && (swing + read).0 > 180.0;
                let most = if across { reach * 2.0 } else { a.max(b) };
                (a.min(b), most, ends.place)
            }
        };
        let agree = tip.value >= least - tape && tip.value <= most + tape;
        if !agree {
            self.tell_measured_twice(tip.value, (least + most) / 2.0, (tip.place, place));
        }
    }

    fn tell_measured_twice(&mut self, tip: Mm, ends: Mm, (at, other): (Place, Place)) {
        let system = self.figure.system;
        let slides = matches!(self.limb.joint, Joint::Slide { .. });
        let (what, put) = match slides {
            true => ("stroke", "its stroke goes over"),
            false => ("ends", "its ends put its tip apart by"),
        };
        let far = fine(ends, system);
        let told = match slides {
            true => format!("its stroke goes over {far}"),
            false => format!("its ends put its tip {far} apart"),
        };
        let message = format!(
            "measured twice {} moves differently: {told}, and tip to tip is {}.",
            self.name(),
            fine(tip, system)
        );
        let found = self.report(&MEASURED_TWICE, at, message);
        found.help = Some(
            "measure both again and leave the wrong one out; all that follows is computed by the ends."
                .to_owned(),
        );
        found.related.push((format!("the {what} measured"), other));
        let apart = fine((tip - ends).abs(), system);
        self.works([
            Step::given(put, far),
            Step::given("tip to tip", fine(tip, system)),
            Step::given("apart, more than can be read wrong", apart),
        ]);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 60 deg at 400 mm: an equilateral triangle.
    #[test]
    fn the_chord_of_a_sixth_of_a_turn_is_its_radius() {
        assert!((chord(Mm(400.0), Deg(60.0)).0 - 400.0).abs() < 1e-9);
        assert!((chord(Mm(400.0), Deg(-180.0)).0 - 800.0).abs() < 1e-9);
    }
}
