//! Answers in the order of a preference, and what none chooses: told where it is written and
//! changes nothing.

use super::Bench;
use super::drive::Other;
use crate::mechanism::solve::{PUSH_GOOD, Prefer};
use crate::model::{Drive, DriveKind, Joint, Limb, MotorKind, Note, Source};

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
        DriveKind::Cord(d) => d.prefer,
        DriveKind::Spin(_) => Prefer::Usual,
    }
}

/// The same as if nobody asked for anything.
pub(super) const fn ask_nothing(kind: &mut DriveKind) {
    let own = match kind {
        DriveKind::FourBar(d) => &mut d.prefer,
        DriveKind::SlottedArm(d) => &mut d.prefer,
        DriveKind::SliderCrank(d) => &mut d.prefer,
        DriveKind::ScotchYoke(d) => &mut d.prefer,
        DriveKind::Cam(d) => &mut d.prefer,
        DriveKind::Strut(d) => &mut d.prefer,
        DriveKind::Forearm(d) => &mut d.prefer,
        DriveKind::Cord(d) => &mut d.prefer,
        DriveKind::Servo(d) => match &mut d.rod {
            Some(rod) => &mut rod.prefer,
            None => return,
        },
        DriveKind::Spin(_) => return,
    };
    *own = Prefer::Usual;
}

/// Puts answers that are ranked by their push in the order of what is preferred, those that
/// push well first; `does` says what one does as it is marked out.
pub(super) fn in_order<T>(
    prefer: Prefer,
    limb: &Limb,
    answers: Vec<T>,
    does: impl Fn(&T) -> Option<Other>,
) -> Vec<T> {
    if matches!(prefer, Prefer::Usual | Prefer::Push) {
        return answers;
    }
    let rank = |answer: &T| {
        let Some(other) = does(answer) else { return [f64::INFINITY; 2] };
        let value = match prefer {
            Prefer::Usual | Prefer::Push => None,
            Prefer::Build => other.share(limb).map(|s| -s),
            Prefer::Light => other.speed,
            Prefer::Even => other.time_ratio,
        };
        [(PUSH_GOOD - other.push).0.max(0.0), value.unwrap_or(f64::INFINITY)]
    };
    let mut ranked: Vec<_> = answers.into_iter().map(|a| (rank(&a), a)).collect();
    // Of equal ones that with the better push stays before.
    ranked.sort_by(|(a, _), (b, _)| a[0].total_cmp(&b[0]).then(a[1].total_cmp(&b[1])));
    ranked.into_iter().map(|(_, a)| a).collect()
}

impl Bench<'_> {
    /// Whether a crank that goes round moves it.
    fn on_crank(&self, drive: &Drive) -> bool {
        let Source::Motor(motor) = drive.source else { return false };
        let kind = self.figure.actuators[motor].motor.kind;
        matches!(kind, MotorKind::Brushed | MotorKind::Synchronous)
    }

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
            (DriveKind::Cam(_), Prefer::Light | Prefer::Even) => {
                "chooses nothing of a cam: how fast it moves its limb is settled by its rises and falls"
            }
            (DriveKind::Cord(_), Prefer::Even) if !self.on_crank(drive) => {
                "chooses nothing of a cord that no crank draws in: it goes as it is told"
            }
            // On a guide the one that leans least is the lightest and the most even too.
            (DriveKind::Strut(_), _) if matches!(self.limb.joint, Joint::Slide { .. }) => return,
            (DriveKind::Strut(_), Prefer::Light | Prefer::Even) => {
                "chooses nothing of a ram or a cylinder: the longest arm at its worst is taken"
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
