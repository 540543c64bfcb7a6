//! What a solved mechanism comes to, in the words of the JSON contract.
//!
//! This is the one door between the mechanisms and every output: report, text
//! and plan all read [`MechanismNumbers`], so they cannot disagree.

use super::Finite;
use crate::fit::{Fitted, FittedCam, FittedFourBar, FittedServo};
use crate::mechanism::{Analysis, FourBar, Mechanism, Shaft, Travel};
use crate::units::Deg;

/// Sizes of a four-bar in mm, with the textbook's names.
#[derive(Clone, Debug, Default, PartialEq, serde::Serialize)]
pub struct Lengths {
    /// Motor shaft to limb pivot.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ground: Option<Finite>,
    /// Crank.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub crank: Option<Finite>,
    /// Rod.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub coupler: Option<Finite>,
    /// Lever.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rocker: Option<Finite>,
}

/// Everything computed about one mechanism. A value that was not computed is
/// `None` and is left out of every output.
#[derive(Clone, Debug, Default, PartialEq, serde::Serialize)]
pub struct MechanismNumbers {
    /// `four-bar`, `servo`, `spin`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub kind: Option<&'static str>,
    /// Grashof class of a four-bar: `crank-rocker`, …
    #[serde(skip_serializing_if = "Option::is_none")]
    pub class: Option<&'static str>,
    /// Whether it can be put together at all.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub assembles: Option<bool>,
    /// Whether the crank goes right round.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub crank_turns_fully: Option<bool>,
    /// `open` or `crossed`, seen from the front.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub assembly: Option<&'static str>,
    /// Least limb angle, in (-180, 180].
    #[serde(skip_serializing_if = "Option::is_none")]
    pub low_deg: Option<Finite>,
    /// Largest limb angle: low plus sweep.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub high_deg: Option<Finite>,
    /// From one end to the other.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub sweep_deg: Option<Finite>,
    /// Crank angle at the low end, in [0, 360).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub crank_at_low_deg: Option<Finite>,
    /// Crank angle at the high end, in [0, 360).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub crank_at_high_deg: Option<Finite>,
    /// Worst push angle, 0 to 90.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub min_transmission_deg: Option<Finite>,
    /// Crank angle where the push is worst, in [0, 360).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub min_transmission_at_deg: Option<Finite>,
    /// Slower swing over faster, at least 1.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub time_ratio: Option<Finite>,
    /// Largest |d limb / d crank|.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub max_speed_ratio: Option<Finite>,
    /// Largest |d2 limb / d crank2|, per radian.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub max_acceleration_ratio: Option<Finite>,
    /// Limb turns per motor turn of a continuous drive, negative where it reverses.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub turn_ratio: Option<Finite>,
    /// Fastest speed of a servo's shaft without load.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub max_servo_rpm: Option<Finite>,
    /// Sizes.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub lengths_mm: Option<Lengths>,
    /// Lever pin counter-clockwise from the limb's axis.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub rocker_at_deg: Option<Finite>,
    /// Which sizes were open and found here, with the textbook's names.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub solved: Vec<&'static str>,
    /// The same with the sizes a maker marks out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub as_drilled: Option<Box<MechanismNumbers>>,
}

/// The numbers of a solved mechanism.
#[must_use]
pub fn mechanism_numbers(fitted: &Fitted) -> MechanismNumbers {
    match fitted {
        Fitted::FourBar(bar) => four_bar(bar),
        Fitted::Servo(servo) => servo_numbers(servo),
        Fitted::Cam(cam) => cam_numbers(cam),
        Fitted::Spin(spin) => MechanismNumbers {
            kind: Some("spin"),
            turn_ratio: Finite::new(spin.ratio),
            ..MechanismNumbers::default()
        },
    }
}

/// A cam: of a limb that swings, its angles.
fn cam_numbers(cam: &FittedCam) -> MechanismNumbers {
    let mut numbers = MechanismNumbers {
        kind: Some("cam"),
        solved: cam.solved.clone(),
        ..MechanismNumbers::default()
    };
    let path = Shaft::turning(cam.cam.plan().shaft);
    if let Ok(Travel::Swing(limits)) = cam.cam.limits(&path) {
        numbers.low_deg = Finite::new(limits.low.0);
        numbers.high_deg = Finite::new(limits.high.0);
        numbers.sweep_deg = Finite::new(limits.range().0);
    }
    numbers
}

/// A four-bar, exact and as drilled.
fn four_bar(bar: &FittedFourBar) -> MechanismNumbers {
    MechanismNumbers {
        solved: bar.solved.iter().map(|&word| textbook(word)).collect(),
        as_drilled: Some(Box::new(linkage(&bar.drilled, &bar.as_drilled))),
        ..linkage(&bar.exact, &bar.analysis)
    }
}

/// One linkage of known sizes and what it does.
fn linkage(bar: &FourBar, analysis: &Analysis) -> MechanismNumbers {
    let angle = |a: Deg| Finite::new(a.0);
    let sizes = MechanismNumbers {
        kind: Some("four-bar"),
        class: Some(analysis.class.word()),
        assembles: Some(analysis.assembles),
        crank_turns_fully: Some(analysis.crank_turns_fully),
        assembly: Some(bar.assembly().word()),
        lengths_mm: Some(lengths(bar)),
        rocker_at_deg: angle(bar.clamp()),
        ..MechanismNumbers::default()
    };
    let Some(motion) = &analysis.motion else { return sizes };
    MechanismNumbers {
        low_deg: motion.low.and_then(angle),
        high_deg: motion.high.and_then(angle),
        sweep_deg: angle(motion.sweep),
        crank_at_low_deg: motion.crank_at_low.and_then(angle),
        crank_at_high_deg: motion.crank_at_high.and_then(angle),
        min_transmission_deg: angle(motion.min_transmission),
        min_transmission_at_deg: angle(motion.min_transmission_at),
        time_ratio: motion.time_ratio.and_then(Finite::new),
        max_speed_ratio: motion.max_speed_ratio.and_then(Finite::new),
        max_acceleration_ratio: motion.max_acceleration_ratio.and_then(Finite::new),
        ..sizes
    }
}

fn lengths(bar: &FourBar) -> Lengths {
    let bars = bar.bars();
    Lengths {
        ground: Finite::new(bars.ground.0),
        crank: Finite::new(bars.crank.0),
        coupler: Finite::new(bars.rod.0),
        rocker: Finite::new(bars.lever.0),
    }
}

/// A servo and what it reaches.
fn servo_numbers(servo: &FittedServo) -> MechanismNumbers {
    let linkage = servo.linkage.as_ref();
    MechanismNumbers {
        kind: Some("servo"),
        assembly: linkage.map(|l| l.assembly().word()),
        low_deg: Finite::new(servo.low.signed().0),
        high_deg: Finite::new(servo.low.signed().0 + (servo.high - servo.low).0),
        sweep_deg: Finite::new((servo.high - servo.low).0),
        min_transmission_deg: servo.min_transmission.and_then(|a| Finite::new(a.0)),
        max_servo_rpm: servo.fastest.and_then(|s| Finite::new(s.0)),
        lengths_mm: linkage.map(lengths),
        rocker_at_deg: linkage.and_then(|l| Finite::new(l.clamp().0)),
        solved: servo.solved.iter().map(|&word| textbook(word)).collect(),
        ..MechanismNumbers::default()
    }
}

/// The textbook's name of a size.
fn textbook(maker: &'static str) -> &'static str {
    match maker {
        "rod" => "coupler",
        "lever" => "rocker",
        "clamp" => "rocker_at",
        other => other,
    }
}
