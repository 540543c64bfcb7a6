//! What moves the figures, what feeds them, and what tells them when.

use super::{List, Part, Scene, Shelf};
use crate::fit::{Fitted, SizeName};
use crate::model::{Actuator, DriveKind, MotorKind, SpinDrive};
use crate::units::print::decimal;
use crate::units::{Mm, System, print};

/// Motors, belts, gears and cords.
pub(super) fn motion(scene: &Scene<'_>, list: &mut List) {
    for (n, placed) in scene.yard.figures.iter().enumerate() {
        let (figure, name) = (&placed.figure, &placed.name.value);
        let system = System::first_of([figure.system, scene.yard.system]);
        let one = |what: String| Part::one(Shelf::Motor, what, name, system);
        for actuator in &figure.actuators {
            list.add(
                one(kind(actuator))
                    .told(about(actuator, system))
                    .guessed(actuator.motor.typical && !actuator.motor.measured),
            );
            if let Some(holes) = &actuator.motor.mounting {
                let bolt = format!("bolt {}", holes.bolt.value);
                let screws = Part::one(Shelf::Bolt, bolt, name, system);
                let about = "screws of a motor; length by what it is screwed to";
                list.add(screws.times(holes.at.len() as u32).told(about));
            }
        }
        for (index, limb) in figure.limbs.iter().enumerate() {
            let Some(drive) = &limb.drive else { continue };
            let fitted = scene.fitted[n].limbs[index].mechanism.as_ref();
            if let DriveKind::Spin(spin) = &drive.mechanism {
                let length = match fitted {
                    Some(Fitted::Spin(found)) => found.length.as_ref().map(|l| Mm(l.drilled)),
                    _ => None,
                };
                train(spin, length, &one, list);
            }
            let sizes = fitted.and_then(|m| m.as_drive()).into_iter().flat_map(|d| &d.sizes);
            for cord in sizes.filter(|s| s.name == SizeName::Cord) {
                list.add(
                    one("cord".to_owned()).long(Mm(cord.drilled)).told("pin to pin, without knots"),
                );
            }
        }
    }
}

/// "servo servo-standard".
fn kind(actuator: &Actuator) -> String {
    let word = match actuator.motor.kind {
        MotorKind::Brushed => "motor",
        MotorKind::Synchronous => "synchronous motor",
        MotorKind::Servo => "servo",
        MotorKind::Ram => "ram",
        MotorKind::Cylinder => "cylinder",
        MotorKind::Spool => "spool motor",
    };
    format!("{word} {}", actuator.motor.name)
}

/// "12 V, 45 rpm, stalls at 14 N.m".
fn about(actuator: &Actuator, system: System) -> String {
    let motor = &actuator.motor;
    let parts = [
        motor.voltage.map(|v| format!("{} V", decimal(v.0, 1))),
        motor.free.map(|r| format!("{} rpm free", decimal(r.0, 1))),
        motor.stall.map(|t| format!("stalls at {}", print::torque(t, system))),
        motor.force.map(|f| print::force(f, system)),
        motor.bore.map(|b| format!("bore {}", print::fine(b, system))),
        motor.stroke.map(|s| format!("stroke {}", print::fine(s, system))),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// Wheels and belt, chain or gears.
fn train(spin: &SpinDrive, length: Option<Mm>, one: &dyn Fn(String) -> Part, list: &mut List) {
    let Some(wheel) = spin.wheel() else { return };
    let loop_ = match spin.by {
        "belt" => Some("toothed belt"),
        "chain" => Some("chain"),
        _ => None,
    };
    let step = match (spin.pitch, spin.module) {
        (Some(pitch), _) => format!("pitch {} mm", decimal(pitch.0, 3)),
        (None, Some(module)) => format!("module {} mm", decimal(module.0, 3)),
        (None, None) => String::new(),
    };
    let wide = spin.width.map(|w| format!("{} mm wide", decimal(w.0, 1)));
    let about = [Some(step.clone()).filter(|s| !s.is_empty()), wide];
    let about = about.into_iter().flatten().collect::<Vec<_>>().join(", ");
    for teeth in &spin.teeth {
        list.add(one(format!("{wheel} of {teeth} teeth")).told(about.clone()));
    }
    if let Some(name) = loop_ {
        let part = one(name.to_owned()).told(step);
        list.add(match length {
            Some(length) => part.long(length),
            None => part,
        });
    }
}

/// Supplies, fuses, cables and lamps.
pub(super) fn power(scene: &Scene<'_>, list: &mut List) {
    let yard = scene.yard;
    for supply in &yard.supplies {
        let volts = supply.voltage.map_or(String::new(), |v| format!(" {} V", decimal(v.0, 1)));
        let kind = match (&supply.from, supply.battery, supply.alternating) {
            (Some(_), _, _) => "converter to",
            (None, Some(_), _) => "battery",
            (None, None, true) => "transformer",
            (None, None, false) => "supply",
        };
        let kind = if volts.is_empty() { kind.trim_end_matches(" to") } else { kind };
        let mut about = vec![supply.name.value.clone()];
        about.extend(supply.limit.map(|a| format!("{} A", decimal(a.0, 1))));
        about.extend(supply.battery.map(|c| format!("{} Ah", decimal(c.0, 1))));
        let part = Part::one(Shelf::Supply, format!("{kind}{volts}"), "", yard.system);
        let fed = scene.power.cables.iter().filter(|c| c.supply == supply.name.value);
        let figures = fed.map(|c| c.figure.clone()).collect();
        list.add(Part { figures, ..part }.told(about.join(", ")));
        if let (Some(run), Some(from)) = (supply.run, &supply.from) {
            let name = cable(supply.cable, yard.system);
            let about = format!("{} to {}", from.value, supply.name.value);
            let row = Part::one(Shelf::Cable, name, "", yard.system).long(run);
            let row = Part { figures: Vec::new(), ..row };
            list.add(Part { shelf: Shelf::Run, ..row.clone() }.told(about));
            list.add(row);
        }
    }
    for load in &scene.power.cables {
        let one = |shelf, what: String| Part::one(shelf, what, &load.figure, yard.system);
        if let Some(fuse) = load.fuse.or(load.fuse_advised) {
            let name = format!("fuse {} A with holder", decimal(fuse.0, 1));
            list.add(
                one(Shelf::Supply, name)
                    .told("at the supply's end of a cable")
                    .guessed(load.fuse.is_none()),
            );
        }
        if let Some(run) = load.run {
            let about = format!("{} to {}", load.supply, load.feeds());
            let row = one(Shelf::Cable, cable(load.conductor, yard.system))
                .long(run)
                .guessed(!load.measured);
            list.add(Part { shelf: Shelf::Run, ..row.clone() }.told(about));
            list.add(row);
        }
    }
    for placed in &yard.figures {
        for lamp in &placed.figure.lamps {
            let watts = lamp.power.map_or(String::new(), |w| format!(" {} W", decimal(w.0, 1)));
            let row =
                Part::one(Shelf::Supply, format!("lamp{watts}"), &placed.name.value, yard.system);
            list.add(row.told(lamp.name.clone()));
        }
    }
}

/// "cable 2 x 2.5 mm2".
fn cable(conductor: Option<crate::units::Mm2>, system: System) -> String {
    match conductor {
        Some(c) => format!("cable 2 x {}", print::conductor(c, system)),
        None => "cable of two wires".to_owned(),
    }
}

/// Controllers.
pub(super) fn control(scene: &Scene<'_>, list: &mut List) {
    for controller in &scene.yard.controllers {
        let about = match controller.outputs.len() {
            0 => controller.name.value.clone(),
            1 => format!("{}, 1 output named", controller.name.value),
            n => format!("{}, {n} outputs named", controller.name.value),
        };
        let row = Part::one(Shelf::Controller, "controller", "", System::Metric).told(about);
        let mut figures: Vec<String> = Vec::new();
        let ends = controller.outputs.iter().map(|o| &o.target.value);
        for end in ends.chain(controller.inputs.iter().map(|i| &i.target.value)) {
            let figure = end.split('.').next().unwrap_or(end).to_owned();
            if !figures.contains(&figure) {
                figures.push(figure);
            }
        }
        list.add(Part { figures, ..row });
    }
}
