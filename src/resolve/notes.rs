//! Defaults, and the notes that say what was assumed and what was not checked.
//!
//! Each note names the clause that would settle it. Nothing is invented: what has
//! no honest default stays `None` and is listed as not checked.

use crate::mechanism::Size;

use crate::model::{
    Drive, DriveKind, Joint, Limb, MotorType, Mount, Note, Shape, Sized, Source, usual_crank_holes,
    usual_lever_holes,
};
use crate::units::{Mm, System};

use super::figure::Making;
use super::limb::{Around, axis_length};
use super::names::NameKind;
use super::say;

/// What a default part is called in the library.
const SHEET: &str = "corrugated-4";
const BUSHING: &str = "nylon";

/// What a note says this version leaves out.
const LATER: &str = "this version does not compute it yet";

/// Which words stand in a limb's block, or in the block of the limb it mirrors.
#[derive(Clone, Copy, Default)]
pub(super) struct Said {
    /// `mount`.
    pub mount: bool,
    /// `drive`, and the library's motor that is usual for it.
    pub drive: Option<&'static str>,
}

/// Fills in what was left out, and notes it.
pub(super) fn defaults(limb: &mut Limb, said: Said, making: &mut Making<'_, '_>) {
    let system = making.system;
    body(limb, making);
    tail(limb, making.system);
    let direct = limb.drive.as_ref().is_some_and(on_shaft);
    if matches!(limb.joint, Joint::Pivot { .. }) && !direct {
        bolt(limb, making);
    }
    if !said.mount && !direct && matches!(limb.joint, Joint::Pivot { .. }) {
        limb.assumed.push(Note::new("front mount", "mount front"));
    }
    let motor = limb.drive.as_ref().and_then(|d| match d.source {
        Source::Motor(m) => making.actuators.get(m).map(|a| a.motor.clone()),
        Source::Limb(_) => None,
    });
    if let Some(drive) = &mut limb.drive
        && matches!(limb.joint, Joint::Pivot { .. }) | drive.mechanism.is_turned()
    {
        rows(&mut drive.mechanism, motor.as_deref(), limb.mount, system, &mut limb.assumed);
    }
}

/// A limb straight on a shaft needs no bolt of its own.
fn on_shaft(drive: &Drive) -> bool {
    match &drive.mechanism {
        DriveKind::Servo(s) => s.rod.is_none(),
        DriveKind::Spin(s) => s.by == "direct",
        _ => false,
    }
}

/// Sheet and shape: "arm a strip 4 in wide, corrugated-4".
fn body(limb: &mut Limb, making: &mut Making<'_, '_>) {
    let name = limb.name.value.clone();
    let system = making.system;
    let strip = match (&limb.shape, axis_length(limb)) {
        (None, Some(length)) if length.0 > 0.0 => {
            let width = Mm(length.0 / 4.0);
            limb.shape = Some(Shape::Strip { width, tail: Mm(0.0) });
            Some(width)
        }
        _ => None,
    };
    let sheet = limb.sheet.is_none() && making.lookups.knows(NameKind::Sheet, SHEET);
    if sheet {
        limb.sheet = making.lookups.parts().sheets.get(SHEET).cloned();
    }
    let unit = say::unit(system);
    let note = match (strip, sheet) {
        (Some(w), true) => Note::new(
            format!("{name} a strip {} wide, {SHEET}", say::about(w, system)),
            format!("sheet {SHEET}  outline (x, y) (x, y) (x, y) {unit}"),
        ),
        (Some(w), false) => Note::new(
            format!("{name} a strip {} wide", say::about(w, system)),
            format!("outline (x, y) (x, y) (x, y) {unit}"),
        ),
        (None, true) => Note::new(format!("{name} of {SHEET}"), format!("sheet {SHEET}")),
        (None, false) => return,
    };
    limb.assumed.push(note);
}

/// A strip whose tail nobody said: "arm cut with a tail of 2 in behind its pivot".
fn tail(limb: &mut Limb, system: System) {
    let Some(tail) = limb.assumed_tail(None) else { return };
    let tail = say::about(tail, system);
    let what =
        format!("{} cut with a tail of {tail} behind its pivot, not weighed", limb.name.value);
    limb.assumed.push(Note::new(what, format!("tail {tail}")));
}

/// Bolt and bushing: "bolt 5/16-18 in nylon".
fn bolt(limb: &mut Limb, making: &mut Making<'_, '_>) {
    let size = if making.system == System::Inch { "5/16-18" } else { "M8" };
    let bolt = limb.bolt.is_none() && making.lookups.knows(NameKind::Bolt, size);
    let bushing = limb.bushing.is_none() && making.lookups.knows(NameKind::Bushing, BUSHING);
    if bolt {
        limb.bolt = making.lookups.parts().bolts.get(size).cloned();
    }
    if bushing {
        limb.bushing = making.lookups.parts().bushings.get(BUSHING).cloned();
    }
    let note = match (bolt, bushing) {
        (true, true) => Note::new(
            format!("bolt {size} in {BUSHING}"),
            format!("bolt {size}  bushing {BUSHING}"),
        ),
        (true, false) => Note::new(format!("bolt {size}"), format!("bolt {size}")),
        (false, true) => Note::new(format!("bushing of {BUSHING}"), format!("bushing {BUSHING}")),
        (false, false) => return,
    };
    limb.assumed.push(note);
}

/// Rows of holes where a crank or lever is open without one.
fn rows(
    mechanism: &mut DriveKind,
    motor: Option<&MotorType>,
    mount: Mount,
    system: System,
    assumed: &mut Vec<Note>,
) {
    let crank = motor.and_then(|m| m.crank_holes).map(|(a, b, s)| (a.0, b.0, s.0));
    if let DriveKind::Servo(servo) = mechanism {
        // Arm and lever of a servo are told with what was looked for: each may be as long
        // as the other.
        if let (Some(rod), Some(holes)) = (&mut servo.rod, crank) {
            row(&mut rod.crank, holes, "arm", system, assumed);
        }
        return;
    }
    let crank_row = crank.unwrap_or_else(|| usual_crank_holes(system));
    let lever_word = if mount == Mount::Behind { "tail-hole" } else { "lever" };
    let (crank, lever) = mechanism.holes_mut();
    if let Some(crank) = crank {
        row(crank, crank_row, "crank", system, assumed);
    }
    if let Some(lever) = lever {
        row(lever, usual_lever_holes(system), lever_word, system, assumed);
    }
}

fn row(
    sized: &mut Sized,
    (lo, hi, step): (f64, f64, f64),
    word: &str,
    system: System,
    assumed: &mut Vec<Note>,
) {
    if sized.size != Size::Free {
        return;
    }
    let unit = say::unit(system);
    let (a, b) = (say::bare(Mm(lo), system), say::bare(Mm(hi), system));
    let name = word.trim_end_matches("-hole");
    if step > 0.0 && hi > lo {
        sized.size = Size::Row { lo, hi, step };
        sized.row = Some((lo, hi, step));
        let step = say::length(Mm(step), system);
        assumed.push(Note::new(
            format!("{name} holes every {step} from {a} to {b} {unit}"),
            format!("{word} ? {a} to {b} {unit} by {step}"),
        ));
    } else {
        sized.size = Size::Given(lo);
        assumed.push(Note::new(format!("{name} hole at {a} {unit}"), format!("{word} {a} {unit}")));
    }
}

/// What cannot be checked, and the clause that would settle it.
pub(super) fn not_checked(
    limb: &mut Limb,
    said: Said,
    making: &mut Making<'_, '_>,
    around: &Around,
) {
    let unit = say::unit(making.system);
    let mut notes = Vec::new();
    motion(limb, said, making, unit, &mut notes);
    let frame = if making.system == System::Inch {
        "frame 1 1/2 in by 1 1/2 in"
    } else {
        "frame 38 mm by 38 mm"
    };
    if !around.framed {
        notes.push(Note::new(
            "wood behind the pivot (no frame)",
            format!("{frame} {{ (x, y) to (x, y) {unit} }}"),
        ));
    }
    if !around.fed {
        notes.push(Note::new("cable, fuse (no supply)", "power SUPPLY run 14 m"));
    }
    if !around.song {
        notes.push(Note::new("music (no song)", "song NAME \"file.wav\" { … }"));
    }
    limb.not_checked.append(&mut notes);
}

/// What keeps the motion itself from being computed.
fn motion(limb: &Limb, said: Said, making: &Making<'_, '_>, unit: &str, notes: &mut Vec<Note>) {
    if limb.poisoned {
        return;
    }
    let Some(drive) = &limb.drive else {
        let (what, settle) = match said.drive {
            Some(usual) => {
                ("motion (its drive names no motor)", format!("motor {usual} at (x, y) {unit}"))
            }
            None => {
                ("motion (no drive)", format!("drive four-bar {{ motor wiper at (x, y) {unit} }}"))
            }
        };
        notes.push(Note::new(what, settle));
        return;
    };
    if limb.tip.is_none() && matches!(limb.joint, Joint::Pivot { .. }) {
        notes.push(Note::new("reach, shape (no tip)", format!("tip (x, y) {unit}")));
    }
    let rides = match drive.source {
        Source::Motor(m) => {
            drive.mechanism.may_ride() && making.actuators.get(m).is_some_and(|a| a.rides)
        }
        Source::Limb(_) => true,
    };
    if limb.carrier.is_some() && !rides {
        let what = "another with a motor on the board: both move it";
        notes.push(Note::new(
            format!("motion of a limb that rides on {what} ({LATER})"),
            "motor NAME at (x, y) mm rides",
        ));
    } else if let Source::Motor(m) = drive.source
        && let Some(motor) = making.actuators.get(m)
        && motor.at.is_none()
        && motor.at_open.is_none()
        && !matches!(&drive.mechanism, DriveKind::Spin(_) | DriveKind::Strut(_))
    {
        let what = "motion (the motor's place is not given)";
        notes.push(Note::new(what, format!("motor {} at (x, y) {unit}", motor.motor.name)));
    }
    if limb.gestures.is_empty() {
        let gesture = "gesture wave { sweep 10 deg to 55 deg  cycle 2 s }";
        notes.push(Note::new("the swing that is wanted (no gesture)", gesture));
    }
}
