//! Small things that a mechanism cannot do without and nobody draws: pins, rollers, rails,
//! eyes, springs, what a cylinder hangs on. Of what nobody said the size is "not said".

use std::collections::BTreeMap;

use super::bolts::pinned;
use super::{List, Part, Scene, Shelf};
use crate::fit::Fitted;
use crate::make::CamPlate;
use crate::model::{DriveKind, Joint, Limb, MotorKind, Return, Tank};
use crate::units::{Mm, System, print};

/// Pins and fittings of every limb, then the tanks of the yard's cylinders.
pub(super) fn add(scene: &Scene<'_>, list: &mut List) {
    let mut tanks: BTreeMap<&str, Vec<Part>> = BTreeMap::new();
    for (n, placed) in scene.yard.figures.iter().enumerate() {
        let name = &placed.name.value;
        let system = System::first_of([placed.figure.system, scene.yard.system]);
        let one = |shelf, what: String| Part::one(shelf, what, name, system);
        for (index, limb) in placed.figure.limbs.iter().enumerate().filter(|(_, l)| !l.poisoned) {
            if let Joint::Slide { from, to } = limb.joint {
                list.add(rail(limb, from.distance(to), &one));
            }
            let Some(drive) = &limb.drive else { continue };
            let mechanism = scene.fitted[n].limbs[index].mechanism.as_ref();
            let plate = scene.cams[n][index].as_ref();
            for (count, about) in pins(&drive.mechanism, mechanism, plate) {
                pinned(count, about, &|what| one(Shelf::Bolt, what), list);
            }
            if let Some(roller) = plate.and_then(|p| p.roller) {
                let wide = print::fine(roller * 2.0, system);
                let about = "on a cam, its width not said: no less than the cam is thick";
                list.add(one(Shelf::Motor, format!("roller {wide} across")).told(about));
            }
            if let DriveKind::Cord(cord) = &drive.mechanism
                && !cord.guides.is_empty()
            {
                let eyes = one(Shelf::Bolt, "eye for a cord".to_owned());
                list.add(eyes.times(cord.guides.len() as u32).told("size not said"));
            }
            if let Some(about) = spring(&drive.mechanism, system) {
                list.add(one(Shelf::Motor, "return spring".to_owned()).told(about));
            }
            let own = &placed.figure;
            let motor = own.motor_of(index).map(|m| own.actuators[m].motor.kind);
            let air = match &drive.mechanism {
                DriveKind::Strut(strut) if strut.strut == crate::mechanism::Strut::Cylinder => {
                    Some(&strut.air)
                }
                DriveKind::Cord(cord) if motor == Some(MotorKind::Cylinder) => Some(&cord.air),
                _ => None,
            };
            if let Some(air) = air {
                let part = |what: &str| one(Shelf::Motor, what.to_owned());
                list.add(part("air valve").told("one for each cylinder; size not said"));
                list.add(part("air tubing").told("tank to valve to cylinder; length not said"));
                let throttles = [air.up, air.down].iter().flatten().count() as u32;
                if throttles > 0 {
                    list.add(part("air throttle").times(throttles).told("size not said"));
                }
                let tank = air.tank.as_deref().unwrap_or("");
                tanks.entry(tank).or_default().push(part("air tank"));
            }
        }
    }
    for (name, parts) in tanks {
        // One tank for all that take from it.
        let figures = parts.iter().flat_map(|p| p.figures.clone());
        let mut all: Vec<String> = Vec::new();
        for figure in figures {
            if !all.contains(&figure) {
                all.push(figure);
            }
        }
        let about = match name {
            "" => "with its pressure regulator; size not said".to_owned(),
            name => {
                let said = scene.yard.tanks.iter().find(|t| t.name.value == name);
                let size = said.map_or("size not said".to_owned(), |t| held(t, scene.yard.system));
                format!("{name}, with its pressure regulator; {size}")
            }
        };
        list.add(Part { figures: all, ..parts[0].clone() }.told(about));
    }
}

/// "24 l, filled to 800 kPa, with a pump of 30 l/min".
fn held(tank: &Tank, system: System) -> String {
    let pump = tank
        .pump
        .map_or(String::new(), |p| format!(", with a pump of {}", print::air_flow(p, system)));
    let [volume, full] =
        [print::air_volume(tank.volume, system), print::air(tank.full.0 * 1e-3, system)];
    format!("{volume}, filled to {full}{pump}")
}

/// The two rails of a guide.
fn rail(limb: &Limb, stroke: Mm, one: &dyn Fn(Shelf, String) -> Part) -> Part {
    let rails = one(Shelf::Bolt, "guide rail".to_owned()).times(2);
    match &limb.build.guide {
        Some(hold) => rails
            .long(stroke + hold.length)
            .told("as long as the way and what is held; section not said"),
        None => rails
            .long(stroke)
            .told("as long as the way, without what is held of the limb; section not said")
            .guessed(true),
    }
}

/// Pins of a mechanism besides those at the ends of its rod: how many, and where.
fn pins(
    kind: &DriveKind,
    mechanism: Option<&Fitted>,
    cam: Option<&CamPlate>,
) -> Vec<(u32, &'static str)> {
    use crate::fit::SizeName;
    let has = |name: SizeName| mechanism.is_some_and(|m| m.drilled(name).is_some());
    match kind {
        DriveKind::SlottedArm(_) | DriveKind::ScotchYoke(_) => vec![(
            1,
            "crank pin in a slot, with a roller or a washer on each side; length by crank and slot",
        )],
        DriveKind::Strut(_) => {
            vec![(2, "at both ends of a ram or cylinder; length by its eyes and what they join")]
        }
        DriveKind::Cam(_) if cam.is_some_and(|c| c.roller.is_some()) => {
            vec![(1, "axle of a cam's roller; length by lever and roller")]
        }
        DriveKind::Cord(_) => {
            let mut pins = vec![(1, "end of a cord on its limb or lever; length by what it is on")];
            if has(SizeName::Crank) {
                pins.push((1, "end of a cord on its crank or horn; length by what it is on"));
            }
            pins
        }
        _ => Vec::new(),
    }
}

/// What is said of the spring that brings a limb back; `None` where none does.
fn spring(kind: &DriveKind, system: System) -> Option<String> {
    let back = match kind {
        DriveKind::Cam(cam) => cam.back?,
        DriveKind::Cord(cord) => cord.back?,
        _ => return None,
    };
    match back {
        Return::Gravity => None,
        Return::Moment(torque) => {
            Some(format!("{} about the pivot; size not said", print::torque(torque, system)))
        }
        Return::Force(force) => {
            Some(format!("{} along the slide; size not said", print::force(force, system)))
        }
        Return::Spring => Some("how strong is not said".to_owned()),
    }
}
