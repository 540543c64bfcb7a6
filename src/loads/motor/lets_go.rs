//! Where a limb comes to lie when what moves it lets go: a servo without power or pulses, a
//! cylinder without air.

use super::{Job, pull};
use crate::fit::{Fitted, FittedServo};
use crate::loads::MassProperties;
use crate::mechanism::{Limits, Travel};
use crate::model::{Joint, Limb, MotorKind, Note, Unpowered};
use crate::units::print::{decimal, size};
use crate::units::{Deg, System};

/// Steps, deg, in which a limb is let fall.
const STEP: f64 = 1.0;

impl Job<'_, '_> {
    /// Notes what nobody said of it, with where its weight takes it.
    pub(super) fn lets_go(&mut self, kind: MotorKind) {
        let index = self.limb();
        let fitted = self.bench.fitted;
        let limb = &fitted.figure.limbs[index];
        let Some(mechanism) = fitted.limbs[index].mechanism.as_ref() else { return };
        let (what, stops) = match kind {
            MotorKind::Servo => ("its servo lets go", "power or pulses"),
            MotorKind::Cylinder => ("its cylinder lets go", "air"),
            _ => return,
        };
        if let Some(lies) = limb.unpowered {
            if let (Unpowered::Turned(at), Fitted::Servo(servo)) = (lies, mechanism)
                && servo.beyond(at + servo.turn_for((at, at))).0 > STEP
            {
                let at = decimal(at.0, 0);
                let what = format!(
                    "whether it has room at {at} deg, where it lies without {stops} (beyond its servo's travel)"
                );
                self.not_made(what, "");
            }
            return;
        }
        // On a limb that moves weight takes it one way and another; a cord's spring too.
        let alone = fitted.limbs[index].riding.is_none() && limb.carrier.is_none();
        let mass = self.bench.limbs[index].mass.filter(|_| alone);
        let falls = mass.and_then(|mass| match mechanism {
            Fitted::Servo(servo) if servo.cord.is_none() => Some(of_servo(limb, &mass, servo)),
            Fitted::Drive(drive) => of_strut(limb, &mass, &drive.made().course.travel),
            _ => None,
        });
        let system = self.system();
        let (toward, settle) = match falls {
            Some(lies) => {
                let (told, typed) = (told(lies, system), told(lies, System::Metric));
                (format!(", and its weight takes it to {told}"), format!("unpowered {typed}"))
            }
            None => (String::new(), "unpowered 0 deg".to_owned()),
        };
        let what = format!("where it lies without {stops} ({what}{toward})");
        self.bench.limbs[index].not_checked.push(Note::new(what, settle));
    }
}

fn told(lies: Unpowered, system: System) -> String {
    match lies {
        Unpowered::Turned(at) => format!("{} deg", decimal(at.0, 0)),
        Unpowered::Slid(at) => size(at, 0, system),
    }
}

/// From where it rests, down to where its weight no longer turns it, or its travel ends.
fn of_servo(limb: &Limb, mass: &MassProperties, servo: &FittedServo) -> Unpowered {
    let rest = limb.rest.map_or((servo.low + servo.high) / 2.0, |r| r.value);
    let turn = servo.turn_for((rest, rest));
    Unpowered::Turned(falls(limb, mass, (servo.low, servo.high), rest + turn) - turn)
}

fn of_strut(limb: &Limb, mass: &MassProperties, travel: &Travel) -> Option<Unpowered> {
    match (travel, &limb.joint) {
        (Travel::Swing(Limits { low, high, .. }), _) => {
            Some(Unpowered::Turned(falls(limb, mass, (*low, *high), (*low + *high) / 2.0)))
        }
        (Travel::Stroke(l), Joint::Slide { from, to }) => {
            // Level it stays.
            let (down, up) = (to.y < from.y, to.y > from.y);
            (down || up).then_some(Unpowered::Slid(if down { l.high } else { l.low }))
        }
        (Travel::Stroke(_), Joint::Pivot { .. }) => None,
    }
}

fn falls(limb: &Limb, mass: &MassProperties, (low, high): (Deg, Deg), from: Deg) -> Deg {
    let mut at = from.max(low).min(high);
    // What holds it turns it one way, its weight the other.
    let way = |at: Deg| -pull::holding(limb, mass, at).signum();
    let first = way(at);
    while way(at) == first && at >= low && at <= high {
        at += Deg(first * STEP);
    }
    at.max(low).min(high)
}
