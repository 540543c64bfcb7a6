//! How careful one has to be with a servo's arm, rod and lever.
//!
//! The servo is sent to the angles that the drawn sizes need, so what an error does is
//! what it does with the servo held there.

use super::builds::{self, Dimension, STEP, Slope};
use super::drive::{Ends, Pose};
use super::servo_built::{ARM, ARM_ANGLE};
use super::{FittedServo, range};
use crate::geometry::BoardPoint;
use crate::mechanism::{FourBar, ServoRod};
use crate::model::Limb;
use crate::units::{Deg, Mm};

/// What each dimension does to the ends that gestures ask for, or to those of the reach
/// where none do; `None` where rod and lever lock at one of them, since there the least
/// error moves it without limit.
pub(super) fn slopes(limb: &Limb, servo: &FittedServo) -> Option<(Vec<Slope>, Ends)> {
    let (linkage, arm) = (servo.linkage?, servo.arm_at_zero?);
    let (low, high) = range::asked(limb, Some(servo), (servo.low, servo.high));
    let own = (servo.shaft_for(low), servo.shaft_for(high));
    let bars = linkage.bars();
    let mut dimensions = vec![
        Dimension::length(ARM, bars.crank),
        Dimension::length("rod", bars.rod),
        Dimension::length("lever", bars.lever),
        Dimension::angle("clamp", linkage.clamp()),
        Dimension::angle(ARM_ANGLE, arm),
    ];
    dimensions.extend(builds::place(builds::MOTOR, linkage.motor()));
    dimensions.extend(builds::place(builds::PIVOT, linkage.pivot()));
    let drawn: Vec<f64> = dimensions.iter().map(|d| d.drawn).collect();
    let limb_at = |values: &[f64], own: Deg| {
        let &[crank, rod, lever, clamp, arm, mx, my, px, py] = values else { return None };
        let ends = (BoardPoint::mm(mx, my), BoardPoint::mm(px, py));
        let lengths = (Mm(crank), Mm(rod), Mm(lever));
        let bar = FourBar::new(ends, lengths, Deg(clamp), linkage.assembly()).ok()?;
        let built = ServoRod::new(bar, Deg(arm), servo.turns.sign());
        // At a lock it does not close with some of the errors.
        (built.push(own).0 > 1e-3).then(|| built.limb(own))
    };
    let mut slopes = Vec::with_capacity(dimensions.len());
    for (index, &dimension) in dimensions.iter().enumerate() {
        let end = |own: Deg| {
            let moved = |by: f64| {
                let mut values = drawn.clone();
                values[index] += by;
                limb_at(&values, own)
            };
            Some((moved(STEP)? - moved(-STEP)?).signed().0 / (2.0 * STEP))
        };
        slopes.push(Slope { dimension, low: end(own.0)?, high: end(own.1)? });
    }
    let pose = Pose::Turned;
    let ends = Ends { low: pose(low), high: pose(high), at_low: own.0.0, at_high: own.1.0 };
    Some((slopes, ends))
}
