//! How fast a linear actuator is under load: as its sheet says, or as it was timed.

use super::parts::GRAVITY;
use crate::model::MotorType;
use crate::syntax::Block;
use crate::syntax::words::{Row, Sign, Take, must, must_key};
use crate::units::{Dimension as D, Kg, MetrePerSec, Mm, Newton, Sec};

/// `loaded 0.007 m/s at 150 N`.
pub(super) const LOADED: Row = Row::new(
    "loaded",
    "Speed of a linear actuator against a force, as on its sheet.",
    &[
        must("speed", Take::Quantity(D::Speed, Sign::Positive)),
        must_key("at", "force", Take::Quantity(D::Force, Sign::Positive)),
    ],
);

/// `raised 10 kg  100 mm in 14 s`.
pub(super) const RAISED: Row = Row::new(
    "raised",
    "A weight that a linear actuator lifted straight up, how far, and in what time.",
    &[
        must("mass", Take::Quantity(D::Mass, Sign::Positive)),
        must("way", Take::Quantity(D::Length, Sign::Positive)),
        must_key("in", "time", Take::Quantity(D::Time, Sign::Positive)),
    ],
);

/// The loaded point; what was timed beats what the sheet says.
pub(super) fn under_load(block: Block<'_>, motor: &mut MotorType) {
    if let Some(c) = block.find("loaded")
        && let (Some(speed), Some(force)) = (c.size::<MetrePerSec>("speed"), c.size("force"))
    {
        motor.loaded = Some((speed.0 * 1000.0, force));
    }
    if let Some(c) = block.find("raised")
        && let (Some(mass), Some(way), Some(time)) =
            (c.size::<Kg>("mass"), c.size::<Mm>("way"), c.size::<Sec>("time"))
    {
        motor.loaded = Some((way.0 / time.0, Newton(mass.0 * GRAVITY)));
    }
    if block.find("loaded").or(block.find("raised")).is_some() {
        motor.said.push("loaded");
    }
}
