//! What drives a limb: its mechanism, and the motor or limb that pushes it.

use crate::finding::{Finding, Place, Spanned};
use crate::mechanism::Size;
use crate::model::{Drive, DriveKind, Joint, Limb, MotorKind, MotorType, Pin, Sized, Source};
use crate::syntax::Clause;
use crate::units::{Deg, Mm, Rpm, Share};

use super::drives::{self, Context};
use super::figure::{self, Making};
use super::limb::{Named, index};
use super::names::NameKind;
use super::{codes, contradict, plane, stock};

/// What drives a limb; `None` where it is not said enough of it (noted) or
/// something is wrong (reported).
pub(super) fn drive(
    named: &[Named<'_>],
    n: Named<'_>,
    c: Clause<'_>,
    limb: &mut Limb,
    making: &mut Making<'_, '_>,
) -> Option<Drive> {
    let word = c.choice("kind")?;
    let Some(known) = drives::find(word) else {
        let place = c.value("kind").map_or(c.head(), |k| k.place());
        making.findings.push(refused(word, place));
        return None;
    };
    joint_fits(known.word, c, limb, making);
    let driven = pushed(known, named, n, c, limb, making);
    let motor = match driven.as_ref().map(|d| d.source) {
        Some(Source::Motor(m)) => Some(std::sync::Arc::clone(&making.actuators[m].motor)),
        _ => None,
    };
    let slides = matches!(limb.joint, Joint::Slide { .. });
    if !limb.poisoned {
        let said = contradict::Said { drive: c, slides, motor: motor.as_deref() };
        making.findings.extend(contradict::faults(&said, making.system));
    }
    driven
}

/// The library's motor that is usual for a drive as it is written: a cord with words of an
/// air cylinder is pulled by one.
pub(super) fn usual_motor(c: Clause<'_>) -> Option<&'static str> {
    let known = drives::find(c.choice("kind")?)?;
    let air = known.word == "cord"
        && c.block().is_some_and(|b| ["bore", "air"].iter().any(|w| b.find(w).is_some()));
    Some(if air { "cylinder-16" } else { known.usual })
}

/// The mechanism with the motor or limb that pushes it.
fn pushed(
    known: &drives::DriveWord,
    named: &[Named<'_>],
    n: Named<'_>,
    c: Clause<'_>,
    limb: &mut Limb,
    making: &mut Making<'_, '_>,
) -> Option<Drive> {
    let from = c.text("from");
    let context = Context { system: making.system, from_limb: from.is_some() };
    let mut mechanism = (known.read)(c.block(), &context);
    let standoff = drives::given(c.block(), "standoff", "depth");
    stock::cut(c.block(), &mut mechanism, limb, making)?;
    if let Some(from) = from {
        let source = Source::Limb(index(named, from, n.name.value, making)?);
        let pin = Pin::At(Deg(0.0));
        return Some(Drive { place: c.place(), source, pin, pin_said: None, standoff, mechanism });
    }
    let motor = c.block().and_then(|b| b.find("motor"));
    let source = match motor {
        Some(m) => own_or_shared(known, m, limb, making)?,
        None => Source::Motor(without_motor(known, c, limb, making)?),
    };
    // A ram is where its anchor is.
    if let (Source::Motor(m), Some(anchor)) = (source, c.block().and_then(|b| b.find("anchor"))) {
        let rides = motor.is_some() && rides(anchor, limb, making);
        making.actuators[m].rides |= rides && m >= making.shared;
    }
    // A limb straight on a servo's shaft takes the servo along.
    let on_shaft = matches!(&mechanism, DriveKind::Servo(servo) if servo.rod.is_none());
    if let (true, Source::Motor(m)) = (on_shaft && limb.carrier.is_some(), source) {
        making.actuators[m].rides |= m >= making.shared;
    }
    let said = motor.and_then(|m| m.value("pin")).map(|p| drives::sized(Some(p), making.system));
    let pin = motor.map_or(Pin::At(Deg(0.0)), |m| pin(m, said.as_ref()));
    let pin_said = said.filter(Sized::is_open);
    Some(Drive { place: c.place(), source, pin, pin_said, standoff, mechanism })
}

/// Ten turns of the motor in place, counted against a clock: its own speed from then
/// on, whatever its sheet says.
pub(super) fn counted_turns(limb: &Limb, making: &mut Making<'_, '_>) {
    let Some(ten) = limb.measured.ten_turns.filter(|t| t.0 > 0.0) else { return };
    let Some(Source::Motor(m)) = limb.drive.as_ref().map(|d| d.source) else { return };
    let Some(actuator) = making.actuators.get_mut(m) else { return };
    let speed = Rpm(600.0 / ten.0);
    actuator.motor = std::sync::Arc::new(MotorType {
        free: Some(speed),
        spread: Some(COUNTED),
        measured: true,
        ..(*actuator.motor).clone()
    });
}

/// How far a speed that was counted over ten turns may be off (common practice, no
/// source: a fifth of a second each at start and end of some twenty).
const COUNTED: Share = Share(0.02);

/// A slide needs a mechanism that slides it, a pivot one that turns it.
fn joint_fits(word: &str, c: Clause<'_>, limb: &Limb, making: &mut Making<'_, '_>) {
    let slides = matches!(limb.joint, Joint::Slide { .. });
    let wanted = match word {
        "slider-crank" | "scotch-yoke" => true,
        "four-bar" | "slotted-arm" | "servo" | "spin" | "cord" => false,
        _ => return,
    };
    if slides == wanted || limb.poisoned {
        return;
    }
    let place = c.value("kind").map_or(c.head(), |k| k.place());
    let finding = if wanted {
        Finding::new(&codes::JOINT_UNFIT, place, format!("a {word} moves a limb that slides; this one turns about a pivot."))
            .help("write `slide from (300, 60) mm to (300, 410) mm` instead of `pivot`, or take a four-bar.")
    } else {
        Finding::new(
            &codes::JOINT_UNFIT,
            place,
            format!("a {word} moves a limb that turns; this one slides."),
        )
        .help("take a slider-crank or scotch-yoke, or write `pivot (x, y) mm` instead of `slide`.")
    };
    making.findings.push(finding);
}

/// The pin's angle on a shared motor.
fn pin(m: Clause<'_>, said: Option<&Sized>) -> Pin {
    match (said.map(|s| s.size), m.choice("phase")) {
        (Some(Size::Given(at)), _) => Pin::At(Deg(at)),
        (_, Some("together")) => Pin::Together,
        (Some(_), _) | (None, Some(_)) => Pin::Alternate,
        (None, None) => Pin::At(Deg(0.0)),
    }
}

/// `motor drum`, one of the figure's, or `motor wiper at (…)`, the limb's own.
fn own_or_shared(
    drive: &drives::DriveWord,
    m: Clause<'_>,
    limb: &Limb,
    making: &mut Making<'_, '_>,
) -> Option<Source> {
    let name = m.text("name")?;
    let shared = making.actuators[..making.shared].iter().position(|a| a.name == name.value);
    if let (Some(i), Some(at)) = (shared, m.value("at"))
        && !making.lookups.knows(NameKind::Motor, name.value)
    {
        let first = making.actuators[i].place;
        making.findings.push(has_its_place(name.value, at.place(), first));
        return None;
    }
    let shared = shared.filter(|_| !m.has("at"));
    let (source, motor) = match shared {
        Some(i) => (i, making.actuators[i].motor.clone()),
        None => {
            let motor = making.motor_type(name, Some((&limb.name.value, drive)))?;
            figure::fed(m, making);
            let mut own = figure::actuator(m, limb.name.value.clone(), m.place(), motor.clone());
            sits_on_pivot(drive, m, limb, &mut own);
            own.rides |= rides(m, limb, making);
            making.actuators.push(own);
            (making.actuators.len() - 1, motor)
        }
    };
    if !drives::fits(drive, &motor) {
        making.findings.push(unfit(drive, name, &motor));
    }
    Some(Source::Motor(source))
}

fn has_its_place(name: &str, again: Place, first: Place) -> Finding {
    Finding::new(
        &codes::PLACED_TWICE,
        again,
        format!("the motor {name} belongs to the figure and has its place there."),
    )
    .help(format!("write `motor {name}` here without a place."))
    .related(format!("{name} is placed here"), first)
}

/// A limb straight on a shaft turns where the shaft stands.
fn sits_on_pivot(
    drive: &drives::DriveWord,
    m: Clause<'_>,
    limb: &Limb,
    own: &mut crate::model::Actuator,
) {
    let direct = matches!(drive.word, "servo" | "spin");
    if direct
        && !m.has("at")
        && let Joint::Pivot { at, .. } = limb.joint
    {
        own.at = at;
        own.rides = limb.carrier.is_some();
    }
}

/// Whether a motor or an anchor is said to ride; reported where nothing carries it.
fn rides(c: Clause<'_>, limb: &Limb, making: &mut Making<'_, '_>) -> bool {
    let said = c.has("rides");
    if said && limb.carrier.is_none() && !limb.poisoned {
        making.findings.push(
            Finding::new(
                &codes::RIDES_ON_NOTHING,
                c.head(),
                format!("this rides on the limb that carries {}, and none does.", limb.name.value),
            )
            .help("write `limb NAME on LIMB` for the limb it rides on, or leave `rides` out."),
        );
    }
    said && limb.carrier.is_some()
}

fn unfit(drive: &drives::DriveWord, name: Spanned<&str>, motor: &MotorType) -> Finding {
    let wanted: Vec<&str> = drive.motors.iter().map(|k| k.word()).collect();
    Finding::new(
        &codes::MOTOR_UNFIT,
        name.place,
        format!(
            "{} is a {} motor and cannot push a {}.",
            motor.name,
            motor.kind.word(),
            drive.word
        ),
    )
    .help(format!("take one of kind {}.", crate::finding::list_of(wanted, "or", 8)))
    .related(format!("{} is described here", motor.name), motor.place)
}

/// A cylinder or ram whose sizes stand in the drive itself needs no motor of the
/// library.
fn without_motor(
    drive: &drives::DriveWord,
    c: Clause<'_>,
    limb: &Limb,
    making: &mut Making<'_, '_>,
) -> Option<usize> {
    let kind = match drive.word {
        "cylinder" => MotorKind::Cylinder,
        "ram" => MotorKind::Ram,
        _ => return None,
    };
    let block = c.block()?;
    let at = block.find("anchor").and_then(|a| a.value("at")).and_then(|v| v.open());
    let range = block.find("length").and_then(|l| l.value("length")?.range::<Mm>());
    let rides = block.find("anchor").is_some_and(|a| rides(a, limb, making));
    making.actuators.push(crate::model::Actuator {
        name: limb.name.value.clone(),
        place: c.place(),
        motor: std::sync::Arc::new(MotorType {
            length: range.map(|r| (r.value.0.min(r.value.1), r.value.0.max(r.value.1))),
            ..MotorType::bare(drive.word, c.place(), kind)
        }),
        at: at.and_then(|o| o.value.point).map(plane::board),
        at_open: at.filter(|o| o.value.asked),
        turns: crate::model::Turn::Ccw,
        rides,
        limit: None,
        supply: None,
        standoff: None,
        plate: None,
    });
    Some(making.actuators.len() - 1)
}

/// A joint or drive that this version does not know.
pub(super) fn refused(word: &str, place: Place) -> Finding {
    let why = match word {
        "hinge" => "a hinge that swings out of the board's plane",
        _ => "a turntable",
    };
    Finding::new(
        &codes::NOT_BUILT_YET,
        place,
        format!("this version does not know {why}; it will not take it for a pivot."),
    )
    .help("leave the limb out for now, or let it turn in the board's plane with `pivot (x, y) mm`.")
}
