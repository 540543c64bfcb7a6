//! What a preference does not choose: told where it is written and changes nothing.

use super::Bench;
use crate::mechanism::solve::Prefer;
use crate::model::{Drive, DriveKind, Note, Source};

/// What is preferred among answers, of the kinds that say it.
pub(super) fn preferred(kind: &DriveKind) -> Prefer {
    match kind {
        DriveKind::FourBar(d) => d.prefer,
        DriveKind::SlottedArm(d) => d.prefer,
        DriveKind::SliderCrank(d) => d.prefer,
        DriveKind::ScotchYoke(d) => d.prefer,
        DriveKind::Cam(d) => d.prefer,
        DriveKind::Servo(d) => d.rod.as_ref().map_or(Prefer::Usual, |r| r.prefer),
        DriveKind::Strut(d) => d.prefer,
        DriveKind::Forearm(d) => d.prefer,
        DriveKind::Cord(_) | DriveKind::Spin(_) => Prefer::Usual,
    }
}

impl Bench<'_> {
    /// Notes a preference that does not choose.
    pub(super) fn preferred_in_vain(&mut self, drive: &Drive) {
        let prefer = preferred(&drive.mechanism);
        let word = match prefer {
            Prefer::Usual | Prefer::Push => return,
            Prefer::Build => "build",
            Prefer::Light => "light",
            Prefer::Even => "even",
        };
        let told = match (&drive.mechanism, prefer) {
            (DriveKind::Cam(_), _) => {
                "chooses nothing of a cam: the smallest base circle that pushes and is cut well is taken"
            }
            (DriveKind::Forearm(_), _) => {
                "chooses nothing of a rod from another limb: the best push is taken"
            }
            (DriveKind::Strut(_), Prefer::Light | Prefer::Even) => {
                "chooses nothing of a ram: the longest arm at its worst is taken"
            }
            _ => {
                let Source::Motor(motor) = drive.source else { return };
                if self.figure.actuators[motor].at_open.is_none() {
                    return;
                }
                "chooses the sizes at each place: the place itself is taken by the best push"
            }
        };
        self.assumed.push(Note::new(format!("`prefer {word}` {told}"), ""));
    }
}
