//! Another motor on a limb, tried without a change to the file.

use std::sync::Arc;

use crate::finding::{closest, list_of};
use crate::model::{MotorType, Yard};
use crate::resolve::Scope;

/// A motor to try.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Swap {
    /// The limb, as `figure.limb`.
    pub limb: String,
    /// The motor it is tried with.
    pub motor: String,
}

/// Puts each motor in the place of the one that moves its limb; what cannot be done is
/// said, a sentence each. Holes and rows stay as they were read with the old motor.
pub(super) fn swap(yard: &mut Yard, scope: &Scope, swaps: &[Swap]) -> Vec<String> {
    swaps.iter().filter_map(|s| one(yard, scope, s).err()).collect()
}

fn one(yard: &mut Yard, scope: &Scope, swap: &Swap) -> Result<(), String> {
    let motor = known(scope, &swap.motor)?;
    let (figure, limb) = swap.limb.split_once('.').unwrap_or((&swap.limb, ""));
    let placed = yard.figures.iter_mut().find(|p| p.name.value == figure);
    let placed = placed.ok_or_else(|| format!("There is no figure {figure}."))?;
    let index = placed.figure.limb(limb).ok_or_else(|| {
        let limbs = placed.figure.limbs.iter().map(|l| l.name.value.as_str());
        format!("{figure} has no limb {limb}. It has {}.", list_of(limbs, "and", 8))
    })?;
    let own =
        placed.figure.motor_of(index).ok_or_else(|| format!("No motor moves {}.", swap.limb))?;
    let now = &placed.figure.actuators[own].motor;
    if now.kind != motor.kind {
        return Err(format!(
            "{} is a {} motor, and {} is moved by a {} one.",
            motor.name,
            motor.kind.word(),
            swap.limb,
            now.kind.word()
        ));
    }
    let mut changed = (*placed.figure).clone();
    changed.actuators[own].motor = motor;
    placed.figure = Arc::new(changed);
    Ok(())
}

/// A motor by name.
fn known(scope: &Scope, name: &str) -> Result<Arc<MotorType>, String> {
    let all = &scope.parts.motors;
    all.get(name).cloned().ok_or_else(|| match closest(name, all.keys().map(String::as_str)) {
        Some(near) => format!("There is no motor {name}. Did you mean {near}?"),
        None => format!("There is no motor {name}."),
    })
}
