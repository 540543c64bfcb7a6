//! Bolts with all that is on them, as they are made, and what holds the figures up.

use super::{List, Part, Scene, Shelf};
use crate::make::BarKind;
use crate::model::{Anchor, Limb, PIN, Stays};
use crate::space::{BoltStack, OnBolt, TUBE, WASHER, bolt_stack};
use crate::units::{Mm, System, print};

/// Bolts, washers, nuts, bushings and pins of every limb.
pub(super) fn add(scene: &Scene<'_>, list: &mut List) {
    for (n, placed) in scene.yard.figures.iter().enumerate() {
        let name = &placed.name.value;
        let system = System::first_of([placed.figure.system, scene.yard.system]);
        let one = |what: String| Part::one(Shelf::Bolt, what, name, system);
        for (index, limb) in placed.figure.limbs.iter().enumerate() {
            if let Some(stack) = bolt_stack(&scene.fitted[n], &scene.spaces[n].stack, index) {
                limb_bolt(&stack, limb, &one, list);
            }
        }
        let rods = scene.bars[n].iter().filter(|b| b.kind == BarKind::Rod);
        let ends = 2 * rods.map(crate::make::Bar::count).sum::<usize>() as u32;
        if ends > 0 {
            pinned(ends, "at the ends of rods; length by the bars it joins", &one, list);
        }
    }
}

/// So many pins with their nuts; what is said of them before `;` is said of both.
pub(super) fn pinned(count: u32, about: &str, one: &dyn Fn(String) -> Part, list: &mut List) {
    let part = |what: &str| one(format!("{what} M{}", PIN.0)).times(count).guessed(true);
    list.add(part("bolt").told(about));
    list.add(part("locknut").told(about.split(';').next().unwrap_or(about)));
}

/// The bolt a limb turns with, and what is on it, step by step.
fn limb_bolt(stack: &BoltStack, limb: &Limb, one: &dyn Fn(String) -> Part, list: &mut List) {
    let (size, system) = (&stack.bolt, stack.system);
    let named = limb.bolt.is_some() && limb.assumed.iter().all(|n| !n.settle.starts_with("bolt "));
    let bolt = one(format!("bolt {size}"));
    let bolt = match (stack.length(), stack.wheel) {
        (Some(length), _) => bolt.long(length),
        (None, wheel) => bolt.told(format!(
            "as long as {} and its {} is wide",
            print::length(Mm(stack.needs), system),
            wheel.unwrap_or("wheel")
        )),
    };
    list.add(Part { system, ..bolt }.guessed(!(stack.said.is_some() && named)));
    for step in &stack.steps {
        let part = match step.item {
            OnBolt::Washer => {
                let wide = print::length(Mm(2.0 * step.half), system);
                one(format!("washer {size}, {wide} wide"))
            }
            OnBolt::Spacer if step.thick >= TUBE => {
                one(format!("spacer tube over {size}")).long(Mm(step.thick))
            }
            // As many as come nearest to it.
            OnBolt::Spacer => one(format!("washer {size}"))
                .times((step.thick / WASHER).round().max(1.0) as u32)
                .told("between faces that pass"),
            OnBolt::Nut => one(format!("nut {size}")).guessed(true),
            OnBolt::Bushing => match &limb.bushing {
                Some(bushing) => {
                    one(format!("bushing {} for {size}", bushing.name)).long(Mm(step.thick))
                }
                None => continue,
            },
            // The drive lists its wheels.
            OnBolt::Plate | OnBolt::Wheel => continue,
        };
        let assumed = part.assumed || step.assumed;
        list.add(part.guessed(assumed));
    }
}

/// Stakes, braces, guys, ballast and screws.
pub(super) fn anchors(scene: &Scene<'_>, list: &mut List) {
    for placed in &scene.yard.figures {
        let Some(anchor) = &placed.figure.anchor else { continue };
        let system = System::first_of([placed.figure.system, scene.yard.system]);
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
        list.add(one("ballast").told(print::mass(ballast, system)));
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
    fn a_brace_is_as_long_as_its_slope() {
        let stays = |at, out| Stays { count: 2, at, out };
        assert_eq!(slope(&stays(Some(Mm(700.0)), Some(Mm(2400.0)))), Some(Mm(2500.0)));
        assert_eq!(slope(&stays(None, Some(Mm(1200.0)))), None);
    }
}
