//! The disc of a cam in depth.

use super::stack::{Carried, Depth, Layer, Role, Stack, carry};
use crate::fit::{FittedFigure, Measure};
use crate::model::DriveKind;
use crate::units::Mm;

impl<'a> Stack<'a> {
    /// The disc of a limb's cam, as large as its farthest place all round, from this depth on:
    /// where how thick it is was said. Without a `standoff` its depth is a guess.
    pub(super) fn cam(
        &mut self,
        fitted: &'a FittedFigure,
        index: usize,
        (front, said): (f64, bool),
        carried: &mut Carried,
    ) {
        let figure = &fitted.figure;
        let limb = &figure.limbs[index];
        let Some(DriveKind::Cam(cam)) = limb.drive.as_ref().map(|d| &d.mechanism) else { return };
        let drive = fitted.limbs[index].mechanism.as_ref().and_then(|m| m.as_drive());
        let far = drive.and_then(|d| {
            let figure = d.figures.iter().find(|f| f.name == "farthest_radius")?;
            match figure.value {
                Measure::Length(far) => Some(far.0),
                _ => None,
            }
        });
        let motor = figure.motor_of(index);
        let at = motor.and_then(|m| figure.actuators[m].at.or_else(|| fitted.place_of(m)));
        let (Some(Mm(thick)), Some(far), Some(at)) = (cam.disc.thick, far, at) else { return };
        // In which depth one that rides lies nothing says.
        if limb.carrier.is_some() {
            return;
        }
        let depth = Depth::from(front, thick);
        carry(carried, motor, depth);
        let name = format!("{} cam", limb.name.value);
        let layer = Layer { name, role: Role::Wheel, depth, assumed: !said };
        let part = self.push(layer, vec![[at.x, at.y]], far);
        (part.limb, part.motor) = (Some(index), motor);
    }
}
