//! Whether a limb as it hangs there still does what is asked: the drawing may, and the
//! limb that was measured not.

use super::checks::{RIGHT_SWING, turns_between};
use super::{Bench, Fitted, codes};
use crate::finding::{Severity, Step};
use crate::mechanism::Travel;
use crate::model::{Drive, Source};
use crate::units::Deg;
use crate::units::print::decimal;

/// What helps whatever drives it.
const HELP: &str = "as built it moves so: correct the size that is named at `measured`.";

impl Bench<'_> {
    /// Holds a limb that was explained as built otherwise against its gestures, where its
    /// drawing meets them: its sweep or stroke, and the angles it is to turn to. Four-bars
    /// and servos are checked as built from the start.
    pub(super) fn built_as_asked(&mut self, drive: &Drive, mechanism: &mut Fitted, told: usize) {
        let otherwise = self.as_built.as_ref().is_some_and(|b| !b.changes.is_empty());
        if otherwise {
            self.helps_as_built(told);
        }
        let said = self.findings[told..].iter().any(|f| f.severity == Severity::Error);
        let Fitted::Drive(made) = mechanism else { return };
        if !otherwise || said {
            return;
        }
        let before = self.errors();
        self.hold_built(drive, made.made().course.travel);
        made.faulty |= self.errors() > before;
    }

    /// Sizes that would do it are those of the drawing, and it is not built so: only where the
    /// clamp turned does it is that told.
    fn helps_as_built(&mut self, told: usize) {
        let missed = [codes::SWEEP_MISSED.word, codes::STROKE_MISSED.word];
        for found in self.findings[told..].iter_mut().filter(|f| missed.contains(&f.code.word)) {
            if !found.help.as_ref().is_some_and(|h| h.starts_with(RIGHT_SWING)) {
                found.help = Some(HELP.to_owned());
            }
        }
    }

    /// Reports each gesture that this travel does not meet.
    fn hold_built(&mut self, drive: &Drive, travel: Travel) {
        // A bend of a limb that another pushes counts from that one, its travel from the
        // board.
        let counts = |relative: bool| !relative || matches!(drive.source, Source::Motor(_));
        if let Some(asked) = self.first_asked() {
            if counts(asked.gesture.relative) {
                self.motion_missed(drive.place, &asked, &travel, Some(HELP.to_owned()));
            }
            return;
        }
        let (Travel::Swing(ends), Some(asked)) = (travel, self.angles_asked()) else { return };
        for (gesture, angle) in self.stops().collect::<Vec<_>>() {
            if gesture.is_some_and(|g| !counts(g.relative)) {
                continue;
            }
            let turn = Deg(360.0 * turns_between(angle.value, (ends.low + ends.high) / 2.0));
            let (low, high) = (ends.low + turn, ends.high + turn);
            if (low - angle.value).max(angle.value - high).0 <= asked.within + 1e-9 {
                continue;
            }
            let words = gesture.map_or("`rest`".to_owned(), |g| format!("`{}`", g.name.value));
            let message = format!(
                "{words} asks {} for {} deg, and as built it goes from {} to {} deg.",
                self.name(),
                decimal(angle.value.0, 1),
                decimal(low.0, 1),
                decimal(high.0, 1)
            );
            let found = self.report(&codes::BEYOND_STROKE, angle.place, message);
            found.help = Some(HELP.to_owned());
            found.related.push(("this drive".to_owned(), drive.place));
            let deg = |d: Deg| format!("{} deg", decimal(d.0, 2));
            self.works([
                Step::given("asked", deg(angle.value)),
                Step::given(
                    "its ends, as built",
                    format!("{} to {}", decimal(low.0, 2), deg(high)),
                ),
                Step::given("may be off by", deg(Deg(asked.within))),
            ]);
        }
    }
}
