//! A limb that is held: what gives first while its motor pushes.
//!
//! Everything is told as the torque at the motor's shaft at which it happens, with the
//! limb in the middle of its way, where the linkage passes on least: the same push grows
//! without bound towards either end. Strengths are those of the parts themselves, without
//! the factors that the checks put on them.

use super::clamp::{comes_loose, lever_holds, through_bolt};
use super::hole::{self, Forces};
use super::motor::fastest;
use super::wind_limb::left_out;
use crate::fit::{Fitted, FittedFigure};
use crate::model::Mount;

/// Something that gives way.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gives {
    /// What happens, in few words: "its crank pin bends".
    pub what: &'static str,
    /// The torque at the motor's shaft at which it does, N.m.
    pub at: f64,
    /// Whether that rests on a typical part or on a word that was left out.
    pub assumed: bool,
}

/// A limb that is held.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Held {
    /// What its motor can push with, N.m.
    pub motor: f64,
    /// Torque on the limb then, in the middle of its way, N.m.
    pub torque: Option<f64>,
    /// Force along its rod then, N.
    pub rod: Option<f64>,
    /// What gives, the first first, whether the motor gets so far or not.
    pub gives: Vec<Gives>,
}

impl Held {
    /// What gives first, where the motor pushes so hard.
    #[must_use]
    pub fn first(&self) -> Option<&Gives> {
        self.gives.first().filter(|g| g.at < self.motor)
    }
}

/// What happens when a limb is held; `None` where nothing says how hard its motor pushes.
pub(super) fn held(fitted: &FittedFigure, index: usize, forces: &Forces) -> Option<Held> {
    let figure = &*fitted.figure;
    let limb = &figure.limbs[index];
    let motor = forces.jam?;
    let mechanism = fitted.limbs[index].mechanism.as_ref().filter(|m| !m.faulty())?;
    let mut gives = Vec::new();
    let mut add = |what, at: Option<f64>, assumed| {
        gives.extend(at.filter(|t| t.is_finite()).map(|at| Gives { what, at, assumed }));
    };
    let actuator = figure.motor_of(index).and_then(|m| figure.actuators.get(m));
    add("its motor's gears give way", actuator.and_then(|a| a.motor.survives).map(|t| t.0), false);
    // From torque on the limb to torque of the motor.
    let rate = fastest(mechanism).filter(|f| !f.slides).map(|f| f.rate);
    if let Some((what, torque)) = comes_loose(limb) {
        let words = ["sheet", "bolt", "outline"];
        let assumed = words.iter().any(|w| left_out(limb, w))
            || limb.build.washer.is_none()
            || limb.build.clamp.is_none();
        add(what, rate.map(|r| torque * r), assumed);
    }
    if limb.mount == Mount::Front && through_bolt(limb) {
        let holds = lever_holds(limb).zip(rate).map(|((t, _), r)| t * r);
        add("its lever slips on the bolt", holds, true);
    }
    if let Fitted::FourBar(bar) = mechanism {
        // From force along the rod to torque of the motor: crank and rod square.
        let (crank, rod) = (bar.drilled.bars().crank.0 * 1e-3, bar.drilled.bars().rod.0);
        add("its crank pin bends", Some(hole::pin_gives() * crank), true);
        let standoff = hole::standoff(figure, index);
        let bends = hole::rod_gives(rod, standoff.unwrap_or(0.0));
        add("its rod bends", Some(bends * crank), true);
        let tears = hole::tail_tears(fitted, index, forces);
        add("the rod tears its hole out", tears.map(|f| f * crank), left_out(limb, "sheet"));
    }
    gives.sort_by(|a, b| a.at.total_cmp(&b.at));
    Some(Held { motor, torque: forces.jam_torque, rod: forces.jam_rod, gives })
}
