//! Every `?` is answered: a size that a drive leaves open was found, and lies in the
//! range that was left for it; else it is refused, with what to write.

use super::drive::SizeName;
use super::{Bench, Fitted, codes};
use crate::finding::{Finding, Severity, Spanned};
use crate::mechanism::Size;
use crate::model::{CamFoot, Drive, DriveKind, Figure, Joint, Limb, MotorKind, Sized, Source};
use crate::syntax::Open;
use crate::units::print::{decimal, length};
use crate::units::{Deg, Mm, System};

impl Bench<'_> {
    /// Reports each `?` of a drive that was not answered. `told`: the findings before its
    /// mechanism was looked at; where that has an error, or is not computed, its sizes are
    /// told of there.
    pub(super) fn open_sizes(&mut self, drive: &Drive, fitted: Option<&Fitted>, told: usize) {
        for (name, said) in asked(&drive.mechanism) {
            if let Some((why, write)) = self.never(name, &drive.mechanism) {
                self.not_looked_for(&said, why, &write);
            }
        }
        let faulty = self.findings[told..].iter().any(|f| f.severity == Severity::Error);
        // What was measured on the built limb stands for what was left open.
        let settled = faulty || self.as_built.is_some() || self.motor_is_nowhere(drive);
        let Some(fitted) = fitted.filter(|_| !settled) else { return };
        for (name, said) in asked(&drive.mechanism) {
            match found(fitted, name) {
                None => {
                    let why = format!(
                        "the {} of {} is open, and nothing here decides it",
                        word(name),
                        self.name()
                    );
                    self.not_looked_for(&said, why, "write the size, or leave the word out.");
                }
                Some(value) if !holds(said.size, value, name.is_angle()) => {
                    self.outside(name, &said, value);
                }
                Some(_) => {}
            }
        }
    }

    /// Whether its motor's place is open and none was found: that is told.
    fn motor_is_nowhere(&self, drive: &Drive) -> bool {
        let Source::Motor(motor) = drive.source else { return false };
        let actuator = &self.figure.actuators[motor];
        actuator.at.is_none() && actuator.at_open.is_some()
    }

    /// Why a size of a kind is never looked for, and what to write; `None` where it is.
    fn never(&self, name: SizeName, kind: &DriveKind) -> Option<(String, String)> {
        let slides = matches!(self.limb.joint, Joint::Slide { .. });
        let motor = self.figure.limb(&self.limb.name.value).and_then(|l| self.figure.motor_of(l));
        let wound = motor.is_some_and(|m| {
            use MotorKind::{Cylinder, Ram, Spool};
            matches!(self.figure.actuators[m].motor.kind, Spool | Ram | Cylinder)
        });
        let name_of_limb = self.name();
        let (why, write): (&str, &str) = match (kind, name) {
            (DriveKind::Cam(c), SizeName::Roller) if c.foot == CamFoot::Roller => (
                "a roller is what you have: its radius is not looked for",
                "write the radius of yours, `roller 8 mm`.",
            ),
            (DriveKind::Cam(_), SizeName::Roller) => {
                ("this follower has no roller", "leave `roller` out.")
            }
            (DriveKind::Cam(_), SizeName::Lever) if slides => {
                ("a limb on a guide has no lever", "leave `lever` out.")
            }
            (DriveKind::Cam(_), SizeName::Clamp) if slides => {
                ("a limb on a guide has no lever to be set at an angle", "leave `lever` out.")
            }
            (DriveKind::Cam(c), SizeName::Lever) if c.foot == CamFoot::Flat => (
                "a flat face is as long as its cam pushes along it: its lever is not looked for",
                "leave the length out: `lever 100 mm at ?` for the lever you have, or nothing.",
            ),
            (DriveKind::Cam(c), SizeName::Lift) if c.foot == CamFoot::Flat && !slides => (
                "how far a face that turns is lifted follows from the sweep, not from a size",
                "leave `lift` out.",
            ),
            (DriveKind::SlottedArm(_), SizeName::Lever) => (
                "the slot decides how long this arm is: its lever is not looked for",
                "write how long yours is, `lever 120 mm at ?`, or only `slot ? at ?`, which tells where the slot begins and ends.",
            ),
            (DriveKind::Cord(_), SizeName::Spool) if wound => (
                "a spool of any diameter winds the cord, with more turns or fewer: it is not looked for",
                "write the diameter of yours, `spool 40 mm`.",
            ),
            (DriveKind::Cord(_), SizeName::Spool) => {
                ("this cord hangs on a crank or a horn and has no spool", "leave `spool` out.")
            }
            (DriveKind::Cord(_), SizeName::Crank) if wound => {
                ("a spool or a ram has no crank", "leave `crank` out.")
            }
            (DriveKind::Strut(s), SizeName::Lever)
                if slides && matches!(s.clamp.size, Size::Given(a) if beside(a)) =>
            {
                (
                    "a pin beside the limb's own line is not looked for",
                    "write how far it is, `lever 30 mm at 90 deg`, or look for it `at 0 deg`.",
                )
            }
            (DriveKind::Strut(_), SizeName::Clamp) if slides => (
                "on a guide the pin sits on the limb's own line where nothing else is said",
                "leave the angle out, or write it: `lever ? at 0 deg`.",
            ),
            _ => return None,
        };
        Some((format!("{name_of_limb}: {why}"), write.to_owned()))
    }

    fn not_looked_for(&mut self, said: &Sized, why: String, write: &str) {
        let Some(place) = said.ask.or(said.place) else { return };
        self.report(&codes::NOT_LOOKED_FOR, place, format!("{why}.")).help = Some(write.to_owned());
    }

    /// What was found lies outside the range that was left for it.
    fn outside(&mut self, name: SizeName, said: &Sized, value: f64) {
        let Some(place) = said.ask.or(said.place) else { return };
        let system = said.system;
        let message = format!(
            "nothing within the range does it: the {} of {} would be {}, and {} is left for it.",
            word(name),
            self.name(),
            worded(name, value, system),
            range(name, said.size, system)
        );
        let help = format!("leave more room, or `?` alone: {} then.", worded(name, value, system));
        self.report(&codes::NOTHING_FITS, place, message).help = Some(help);
    }
}

/// Refuses each pivot that is left open: what a limb is follows from where it turns.
pub(super) fn pivots(figure: &Figure) -> Vec<Finding> {
    let open = figure.limbs.iter().filter(|l| !l.poisoned && l.mirrors.is_none());
    let open = open.filter_map(|limb| match &limb.joint {
        Joint::Pivot { at: None, open: Some(open) } => Some((limb, open)),
        _ => None,
    });
    let finding = |(limb, open): (&Limb, &Spanned<Open>)| {
        let (figure, limb) = (&figure.name.value, &limb.name.value);
        let message = format!(
            "{figure}.{limb}: where a limb turns is drawn with it, its pivot is not looked for."
        );
        Finding::new(&codes::NOT_LOOKED_FOR, open.place, message)
            .about(figure, Some(limb))
            .help("write the place, `pivot (x, y) mm`; the motor's place may be `?`.")
    };
    open.map(finding).collect()
}

/// The sizes a drive asks for with a `?`.
fn asked(kind: &DriveKind) -> Vec<(SizeName, Sized)> {
    use SizeName as N;
    let all = match kind {
        DriveKind::FourBar(f) => {
            vec![(N::Crank, f.crank), (N::Rod, f.rod), (N::Lever, f.lever), (N::Clamp, f.clamp)]
        }
        DriveKind::Servo(s) => {
            let rod = s.rod.iter().flat_map(|f| {
                [(N::Crank, f.crank), (N::Rod, f.rod), (N::Lever, f.lever), (N::Clamp, f.clamp)]
            });
            rod.chain([(N::Zero, s.zero)]).collect()
        }
        DriveKind::Spin(s) => vec![(N::Loop, s.length)],
        DriveKind::SlottedArm(s) => {
            vec![(N::Crank, s.crank), (N::Clamp, s.clamp), (N::Slot, s.slot), (N::Lever, s.lever)]
        }
        DriveKind::SliderCrank(s) => vec![(N::Crank, s.crank), (N::Rod, s.rod)],
        DriveKind::ScotchYoke(y) => vec![(N::Crank, y.crank)],
        DriveKind::Cam(c) => vec![
            (N::Base, c.base),
            (N::Lift, c.lift),
            (N::Roller, c.roller),
            (N::Lever, c.lever),
            (N::Clamp, c.clamp),
        ],
        DriveKind::Forearm(f) => {
            vec![(N::Rod, f.rod), (N::Lever, f.lever), (N::Clamp, f.clamp)]
        }
        DriveKind::Strut(s) => vec![(N::Lever, s.lever), (N::Clamp, s.clamp)],
        DriveKind::Cord(c) => vec![
            (N::Crank, c.crank),
            (N::Spool, c.spool),
            (N::Lever, c.lever),
            (N::Clamp, c.clamp),
            (N::Cord, c.length),
        ],
    };
    all.into_iter().filter(|(_, s)| s.is_open() && s.place.is_some()).collect()
}

/// What was found for a size, exactly; `None` where it was not looked for.
fn found(fitted: &Fitted, name: SizeName) -> Option<f64> {
    if let Some(drive) = fitted.as_drive() {
        return drive.sizes.iter().find(|s| s.name == name).map(|s| s.exact);
    }
    let bar = match fitted {
        Fitted::FourBar(f) => f.exact,
        Fitted::Servo(s) if name == SizeName::Zero => return s.zero.map(|z| z.0),
        Fitted::Servo(s) => s.linkage?,
        Fitted::Spin(s) => return s.length.map(|l| l.exact),
        Fitted::Drive(_) => return None,
    };
    match name {
        SizeName::Crank => Some(bar.bars().crank.0),
        SizeName::Rod => Some(bar.bars().rod.0),
        SizeName::Lever => Some(bar.bars().lever.0),
        SizeName::Clamp => Some(bar.clamp().0),
        _ => None,
    }
}

/// Sizes this near to an end of their range are on it.
const EDGE: f64 = 1e-3;

/// Whether a value is one of those that were left open.
pub(super) fn holds(size: Size, value: f64, angle: bool) -> bool {
    // An angle is the same a whole turn on.
    let from = |lo: f64| {
        let off = value - lo;
        if angle { off - 360.0 * libm::floor((off + EDGE) / 360.0) } else { off }
    };
    match size {
        Size::Given(_) | Size::Free => true,
        Size::Between { lo, hi } => (-EDGE..=hi - lo + EDGE).contains(&from(lo)),
        Size::Row { lo, hi, step } => {
            let hole = from(lo) / step;
            (hole - libm::round(hole)).abs() * step <= EDGE
                && (-EDGE..=hi - lo + EDGE).contains(&from(lo))
        }
    }
}

/// Whether an angle from the limb's own line leads off it.
pub(super) fn beside(angle: f64) -> bool {
    libm::sin(Deg(angle).rad().0).abs() > 1e-9
}

/// What people call a size.
const fn word(name: SizeName) -> &'static str {
    match name {
        SizeName::Base => "base circle",
        SizeName::Cord => "cord's length",
        SizeName::Clamp => "lever's angle",
        SizeName::Loop => "belt's length",
        SizeName::Slot => "slot's length",
        other => other.word(),
    }
}

fn worded(name: SizeName, value: f64, system: System) -> String {
    if name.is_angle() { format!("{} deg", decimal(value, 1)) } else { length(Mm(value), system) }
}

fn range(name: SizeName, size: Size, system: System) -> String {
    let to = |v| worded(name, v, system);
    match size {
        Size::Between { lo, hi } => format!("{} to {}", to(lo), to(hi)),
        Size::Row { lo, hi, step } => format!("{} to {} by {}", to(lo), to(hi), to(step)),
        Size::Given(v) => to(v),
        Size::Free => "any".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_range_holds_its_ends_and_angles_go_round() {
        let between = Size::Between { lo: 100.0, hi: 150.0 };
        assert!(holds(between, 150.0, false) && !holds(between, 158.0, false));
        assert!(holds(Size::Between { lo: 350.0, hi: 370.0 }, 5.0, true));
        assert!(!holds(Size::Between { lo: 0.0, hi: 45.0 }, -80.0, true));
        let row = Size::Row { lo: 30.0, hi: 60.0, step: 10.0 };
        assert!(holds(row, 50.0, false) && !holds(row, 45.0, false) && !holds(row, 70.0, false));
    }
}
