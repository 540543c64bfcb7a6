//! Whether a crank takes as long one way as the other, where that is asked for.

use super::{Bench, Fitted, codes};
use crate::finding::{Place, Step};
use crate::mechanism::solve::Prefer;
use crate::model::DriveKind;
use crate::units::print::decimal;

/// From here on the slower way is told beside the quicker one: an eye sees a seventh (common
/// practice, no source).
pub const UNEVEN: f64 = 1.15;

impl Bench<'_> {
    /// Holds the two ways of a swing against `shape natural` and `prefer even`.
    pub(super) fn check_even(&mut self, fitted: &Fitted) {
        let Some(drive) = &self.limb.drive else { return };
        let Some(ratio) = fitted.time_ratio().filter(|r| *r >= UNEVEN) else { return };
        let written = self.limb.gestures.iter().find_map(|g| g.natural);
        let (prefer, help) = match &drive.mechanism {
            DriveKind::FourBar(d) => (
                d.prefer,
                "put the motor on the line through both end places of the lever's pin, or leave rod and clamp \
                 open with `prefer even`.",
            ),
            DriveKind::SliderCrank(d) => (
                d.prefer,
                "put the shaft on the line of the slide's pin (`offset 0 mm`), or take a longer rod.",
            ),
            DriveKind::SlottedArm(d) => (
                d.prefer,
                "of a slotted arm the swing alone decides it: ask for a smaller one, or take a four-bar.",
            ),
            DriveKind::Cam(_) => {
                (Prefer::Usual, "let it rise over about as many degrees as it falls.")
            }
            _ => (Prefer::Usual, "let another mechanism move it: a four-bar or a servo."),
        };
        let (place, asks): (Place, _) = match (written, prefer) {
            (Some(place), _) => (place, "`shape natural`"),
            (None, Prefer::Even) => (drive.place, "`prefer even`"),
            (None, _) => return,
        };
        let message = format!(
            "{} takes {} times as long one way as back, and {asks} asks for about as long ({} is let pass).",
            self.name(),
            decimal(ratio, 2),
            decimal(UNEVEN, 2)
        );
        self.report(&codes::RETURN_UNEVEN, place, message).help = Some(help.to_owned());
        self.works([
            Step::given("longer way over shorter way", decimal(ratio, 3)),
            Step::given("let pass", decimal(UNEVEN, 2)),
        ]);
    }
}
