//! Bolts with all that is on them, and what holds the figures up.

use super::{List, Part, Scene, Shelf, household};
use crate::fit::{Fitted, FittedFigure};
use crate::model::{Anchor, Limb, Mount, Stays};
use crate::space::{self, Role, SpacedFigure};
use crate::units::{Mm, System, print};

/// A washer under a head (ISO 7089: 1.6 mm for M8; from memory).
const WASHER: f64 = 1.6;
/// Pins at the ends of rods (common practice, no source; the loads reckon with it).
const PIN: &str = "M6";
/// Lengths bolts are sold in, mm (ISO 888; from memory).
const METRIC: [f64; 29] = [
    16.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 55.0, 60.0, 65.0, 70.0, 75.0, 80.0, 90.0,
    100.0, 110.0, 120.0, 130.0, 140.0, 150.0, 160.0, 180.0, 200.0, 220.0, 240.0, 260.0, 280.0,
    300.0,
];

/// Bolts, washers, nuts, bushings and pins of every limb.
pub(super) fn add(scene: &Scene<'_>, list: &mut List) {
    for (n, placed) in scene.yard.figures.iter().enumerate() {
        let name = &placed.name.value;
        let system = household(placed.figure.system, scene.yard.system);
        let fitted = &scene.fitted[n];
        for (index, limb) in placed.figure.limbs.iter().enumerate() {
            let one = |what: String| Part::one(Shelf::Bolt, what, name, system);
            if limb.drawn().is_some() && limb.carrier.is_none() && !space::on_shaft(limb) {
                limb_bolt(fitted, &scene.spaces[n], limb, &one, list);
            }
            let ends = fitted.limbs[index].mechanism.as_ref().map_or(0, pins);
            if ends > 0 {
                let about = "at the ends of rods; length by the bars it joins";
                list.add(one(format!("bolt {PIN}")).times(ends).told(about).guessed(true));
                let nut = one(format!("locknut {PIN}")).times(ends).told("at the ends of rods");
                list.add(nut.guessed(true));
            }
        }
    }
}

/// The bolt a limb turns with, and what is on it.
fn limb_bolt(
    fitted: &FittedFigure,
    spaced: &SpacedFigure,
    limb: &Limb,
    one: &dyn Fn(String) -> Part,
    list: &mut List,
) {
    let size = limb.bolt.as_ref().map_or("M8", |b| b.name.as_str());
    let bolt_named = limb.assumed.iter().all(|n| !n.settle.starts_with("bolt "));
    let system = if size.contains('/') { System::Inch } else { System::Metric };
    let Some(needs) = needed(spaced, limb) else { return };
    let (length, sold) = match limb.build.bolt_length {
        Some(said) => (said, true),
        None => (sold_for(needs, system).unwrap_or(Mm(needs)), false),
    };
    let bolt = one(format!("bolt {size}")).long(length);
    list.add(Part { system, ..bolt }.guessed(!(sold && bolt_named)));
    let diameter = limb.build.washer.or_else(|| limb.bolt.as_ref().and_then(|b| b.washer));
    let large = diameter.map_or("large".to_owned(), |d| print::length(d, system));
    // On the limb's front; on both its faces where it hangs behind the board.
    let washers = if limb.mount == Mount::Front { 1 } else { 2 };
    list.add(
        one(format!("washer {size}, {large} wide"))
            .times(washers)
            .guessed(limb.build.washer.is_none()),
    );
    list.add(one(format!("washer {size}")).times(2).told("between faces that pass").guessed(true));
    // The second is locked against the first.
    list.add(one(format!("nut {size}")).times(2).guessed(true));
    if let Some(bushing) = &limb.bushing {
        let (end, guessed) = space::bushing_end(fitted, limb);
        let part = one(format!("bushing {} for {size}", bushing.name)).long(Mm(end));
        list.add(part.guessed(guessed));
    }
}

/// From under a bolt's head to the end of its nuts: the limb and everything behind it, as
/// the figure's depth has it, and a washer; `None` where the bolt is not in that stack.
fn needed(spaced: &SpacedFigure, limb: &Limb) -> Option<f64> {
    let name = &limb.name.value;
    let layer =
        |role: Role, name: &str| spaced.stack.iter().find(|l| l.role == role && l.name == *name);
    let bolt = layer(Role::Bolt, &format!("{name} bolt"))?;
    let plate = layer(Role::Limb, name)?;
    // Behind the board the head is on the board's front.
    Some(bolt.depth.back - plate.depth.front.min(0.0) + WASHER)
}

/// The shortest bolt that is sold and long enough: ISO 888, or in quarters of an inch up
/// to 6 in and halves up to 12 (ASME B18.2.1; from memory).
fn sold_for(needs: f64, system: System) -> Option<Mm> {
    if system == System::Inch {
        let quarters = libm::ceil(needs / 6.35 - 1e-9);
        let step = if quarters <= 24.0 { quarters } else { libm::ceil(quarters / 2.0) * 2.0 };
        return (step <= 48.0).then_some(Mm(step * 6.35));
    }
    METRIC.iter().find(|l| **l + 1e-9 >= needs).map(|l| Mm(*l))
}

/// How many ends of rods a mechanism has.
fn pins(mechanism: &Fitted) -> u32 {
    let rod =
        |d: &crate::fit::FittedDrive| d.sizes.iter().any(|s| s.name == crate::fit::SizeName::Rod);
    match mechanism {
        Fitted::FourBar(_) => 2,
        Fitted::Servo(s) if s.linkage.is_some() => 2,
        Fitted::Drive(d) if rod(d) => 2,
        _ => 0,
    }
}

/// Stakes, braces, guys, ballast and screws.
pub(super) fn anchors(scene: &Scene<'_>, list: &mut List) {
    for placed in &scene.yard.figures {
        let Some(anchor) = &placed.figure.anchor else { continue };
        let system = household(placed.figure.system, scene.yard.system);
        let one = |what: &str| Part::one(Shelf::Anchor, what, &placed.name.value, system);
        anchored(anchor, &one, system, list);
    }
}

fn anchored(anchor: &Anchor, one: &dyn Fn(&str) -> Part, system: System, list: &mut List) {
    if let Some(stakes) = &anchor.stakes {
        let thick = stakes
            .diameter
            .map_or(String::new(), |d| format!(", {} thick", print::length(d, system)));
        let part = one(&format!("stake{thick}")).times(stakes.count);
        let about = "in the ground; add what stands out of it";
        let part = match stakes.depth {
            Some(depth) => part.long(depth),
            None => part,
        };
        list.add(part.clone().told(about));
        // The loads take it so, and say so.
        if let Some(braces) = &anchor.braces {
            let feet = part.times(braces.count).told("at the foot of a brace");
            list.add(feet.guessed(true));
        }
    }
    let stays = [("brace", &anchor.braces), ("guy line", &anchor.guys)];
    for (what, stays) in stays {
        let Some(stays) = stays else { continue };
        let part = one(what).times(stays.count);
        list.add(slope(stays).map_or(part.clone(), |l| part.long(l).told("from foot to figure")));
    }
    if let Some(ballast) = anchor.ballast {
        list.add(one("ballast").told(print::mass(ballast)));
    }
    if let Some(screws) = anchor.wall_screws {
        list.add(one("screw into the wall, with washer").times(screws));
    }
}

/// From its foot to where it is fixed.
fn slope(stays: &Stays) -> Option<Mm> {
    Some(Mm(libm::hypot(stays.at?.0, stays.out?.0)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bolts_are_taken_as_they_are_sold() {
        assert_eq!(sold_for(80.4, System::Metric), Some(Mm(90.0)));
        assert_eq!(sold_for(80.0, System::Metric), Some(Mm(80.0)));
        assert_eq!(sold_for(301.0, System::Metric), None);
        assert_eq!(sold_for(80.0, System::Inch), Some(Mm(82.55)));
        assert_eq!(sold_for(153.0, System::Inch), Some(Mm(165.1)));
    }

    #[test]
    fn a_brace_is_as_long_as_its_slope() {
        let stays = |at, out| Stays { count: 2, at, out };
        assert_eq!(slope(&stays(Some(Mm(700.0)), Some(Mm(2400.0)))), Some(Mm(2500.0)));
        assert_eq!(slope(&stays(None, Some(Mm(1200.0)))), None);
    }
}
