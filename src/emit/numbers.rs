//! What a solved mechanism comes to, in the words of the JSON contract.
//!
//! This is the one door between the mechanisms and every output: report, text
//! and plan all read [`MechanismNumbers`], so they cannot disagree.

use super::Finite;
use crate::fit::{
    Built, Fitted, FittedDrive, FittedFourBar, FittedServo, FittedSize, KindFigure, Measure,
};
use crate::mechanism::{Analysis, Assembly, FourBar, Kind, Travel};
use crate::units::{Deg, Mm, Rad};

/// Lengths in mm, by the textbook's names.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Lengths(Vec<(&'static str, Finite)>);

impl Lengths {
    fn of(lengths: impl IntoIterator<Item = (&'static str, Mm)>) -> Self {
        let finite = lengths.into_iter().filter_map(|(n, l)| Some((n, Finite::new(l.0)?)));
        Self(finite.collect())
    }

    /// The length of a name.
    #[must_use]
    pub fn get(&self, name: &str) -> Option<Finite> {
        self.0.iter().find(|(n, _)| *n == name).map(|(_, l)| *l)
    }

    /// All of them, in the order of the reports.
    pub fn iter(&self) -> impl Iterator<Item = (&'static str, Finite)> + '_ {
        self.0.iter().copied()
    }
}

impl serde::Serialize for Lengths {
    fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_map(self.iter())
    }
}

/// The figures that only one kind of mechanism has, by name with their unit:
/// `least_arm_mm`.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct KindNumbers(Vec<(String, Finite)>);

impl KindNumbers {
    fn of(figures: &[KindFigure]) -> Self {
        let named = figures.iter().filter_map(|f| {
            let (value, unit) = match f.value {
                Measure::Length(l) => (l.0, "_mm"),
                Measure::Angle(a) => (a.0, "_deg"),
                Measure::Force(n) => (n.0, "_n"),
                Measure::Time(t) => (t.0, "_s"),
                Measure::Air(l) => (l.0, "_l"),
                Measure::Energy(e) => (e.0, "_j"),
                Measure::Number(n) => (n, ""),
            };
            Some((format!("{}{unit}", f.name), Finite::new(value)?))
        });
        Self(named.collect())
    }

    fn is_empty(&self) -> bool {
        self.0.is_empty()
    }
}

impl serde::Serialize for KindNumbers {
    fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        to.collect_map(self.0.iter().map(|(n, v)| (n, v)))
    }
}

/// Everything computed about one mechanism. A value that was not computed is
/// `None` and is left out of every output.
#[derive(Clone, Debug, Default, PartialEq, serde::Serialize)]
pub struct MechanismNumbers {
    /// The kind of mechanism: `four-bar`, `slider-crank`, …
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
    /// Least place of a limb that slides, along its guide.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub low_mm: Option<Finite>,
    /// Farthest place: low plus stroke.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub high_mm: Option<Finite>,
    /// From one end to the other.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stroke_mm: Option<Finite>,
    /// Largest angle between the push and the guide, 0 to 90.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub max_pressure_deg: Option<Finite>,
    /// Crank angle where that is, in [0, 360).
    #[serde(skip_serializing_if = "Option::is_none")]
    pub max_pressure_at_deg: Option<Finite>,
    /// Length of a ram or cylinder at the low end.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub length_at_low_mm: Option<Finite>,
    /// Its length at the high end.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub length_at_high_mm: Option<Finite>,
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
    /// Largest speed of a limb that slides, mm per radian of its crank.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub max_speed_mm_per_rad: Option<Finite>,
    /// Largest acceleration of a limb that slides, mm per radian squared.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub max_acceleration_mm_per_rad2: Option<Finite>,
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
    /// The limb's angle at its servo's own 0, where that was open and found here.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub zero_deg: Option<Finite>,
    /// What only its kind has.
    #[serde(skip_serializing_if = "KindNumbers::is_empty")]
    pub figures: KindNumbers,
    /// The share of builds inside the tolerance, sizes off by the usual error.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub fit_share: Option<Finite>,
    /// Which sizes were open and found here, with the textbook's names.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub solved: Vec<&'static str>,
    /// The same with the sizes a maker marks out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub as_drilled: Option<Box<MechanismNumbers>>,
}

impl MechanismNumbers {
    /// Those that people see: with the sizes a maker marks out, where they are others.
    #[must_use]
    pub fn made(&self) -> &Self {
        self.as_drilled.as_deref().unwrap_or(self)
    }
}

/// The numbers of a solved mechanism.
#[must_use]
pub fn mechanism_numbers(fitted: &Fitted) -> MechanismNumbers {
    match fitted {
        Fitted::FourBar(bar) => four_bar(bar),
        Fitted::Servo(servo) => servo_numbers(servo),
        Fitted::Drive(drive) => drive_numbers(drive),
        Fitted::Spin(spin) => MechanismNumbers {
            kind: Some("spin"),
            turn_ratio: Finite::new(spin.ratio),
            figures: KindNumbers::of(&spin.figures),
            solved: spin
                .length
                .filter(FittedSize::solved)
                .map(|l| l.name.textbook())
                .into_iter()
                .collect(),
            ..MechanismNumbers::default()
        },
    }
}

/// A mechanism of any other kind, exact and as drilled.
fn drive_numbers(drive: &FittedDrive) -> MechanismNumbers {
    let rounded = drive.sizes.iter().any(|s| s.exact != s.drilled);
    let drilled = || Box::new(built(&drive.drilled, &drive.sizes, |s| s.drilled));
    MechanismNumbers {
        figures: KindNumbers::of(&drive.figures),
        fit_share: drive.fit.and_then(Finite::new),
        solved: drive.solved().collect(),
        as_drilled: rounded.then(drilled),
        ..built(&drive.exact, &drive.sizes, |s| s.exact)
    }
}

/// A mechanism of known sizes and what it does.
fn built(
    built: &Built,
    sizes: &[FittedSize],
    value: impl Fn(&FittedSize) -> f64,
) -> MechanismNumbers {
    let angle = |a: Deg| Finite::new(a.0);
    let length = |l: Mm| Finite::new(l.0);
    let lengths = sizes.iter().filter(|s| !s.name.is_angle());
    let mut angles = sizes.iter().filter(|s| s.name.is_angle());
    let course = &built.course;
    let numbers = MechanismNumbers {
        kind: Some(built.mechanism.kind().name()),
        assembly: built.mechanism.assembly().map(Assembly::word),
        // A cam has no crank that could be blocked.
        crank_turns_fully: built.turns_fully().filter(|_| built.mechanism.kind() != Kind::Cam),
        lengths_mm: Some(Lengths::of(lengths.map(|s| (s.name.textbook(), Mm(value(s)))))),
        rocker_at_deg: angles.next().and_then(|s| Finite::new(value(s))),
        time_ratio: course.time_ratio.and_then(Finite::new),
        ..MechanismNumbers::default()
    };
    let turned = built.turns_fully().is_some();
    let shaft = |at: f64| turned.then(|| Rad(at).deg().positive()).and_then(angle);
    let strut = |at: f64| (!turned).then_some(Mm(at)).and_then(length);
    match &course.travel {
        Travel::Swing(l) => MechanismNumbers {
            low_deg: angle(l.low),
            high_deg: angle(l.high),
            sweep_deg: angle(l.range()),
            crank_at_low_deg: shaft(l.at_low),
            crank_at_high_deg: shaft(l.at_high),
            length_at_low_mm: strut(l.at_low),
            length_at_high_mm: strut(l.at_high),
            min_transmission_deg: angle(course.worst_push),
            min_transmission_at_deg: shaft(l.least_push_at),
            max_speed_ratio: turned.then_some(l.most_speed).and_then(Finite::new),
            max_acceleration_ratio: turned.then_some(l.most_acceleration).and_then(Finite::new),
            ..numbers
        },
        Travel::Stroke(l) => MechanismNumbers {
            low_mm: length(l.low),
            high_mm: length(l.high),
            stroke_mm: length(l.range()),
            crank_at_low_deg: shaft(l.at_low),
            crank_at_high_deg: shaft(l.at_high),
            length_at_low_mm: strut(l.at_low),
            length_at_high_mm: strut(l.at_high),
            max_pressure_deg: angle(Deg(90.0) - course.worst_push),
            max_pressure_at_deg: shaft(l.least_push_at),
            max_speed_mm_per_rad: turned.then_some(l.most_speed).and_then(Finite::new),
            max_acceleration_mm_per_rad2: turned
                .then_some(l.most_acceleration)
                .and_then(Finite::new),
            ..numbers
        },
    }
}

/// A four-bar, exact and as drilled.
fn four_bar(bar: &FittedFourBar) -> MechanismNumbers {
    MechanismNumbers {
        solved: bar.solved.iter().map(|&word| textbook(word)).collect(),
        figures: KindNumbers::of(&bar.figures),
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
    Lengths::of([
        ("ground", bars.ground),
        ("crank", bars.crank),
        ("coupler", bars.rod),
        ("rocker", bars.lever),
    ])
}

/// A servo and what it reaches.
fn servo_numbers(servo: &FittedServo) -> MechanismNumbers {
    if let Some(cord) = &servo.cord {
        // A horn is not meant to go round.
        let mut numbers = MechanismNumbers {
            max_servo_rpm: servo.fastest.and_then(|s| Finite::new(s.0)),
            crank_turns_fully: None,
            figures: KindNumbers::of(&[&cord.figures[..], &servo.figures[..]].concat()),
            ..drive_numbers(cord)
        };
        if let Some(drilled) = &mut numbers.as_drilled {
            drilled.crank_turns_fully = None;
        }
        return numbers;
    }
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
        zero_deg: servo.zero.and_then(|a| Finite::new(a.0)),
        solved: servo.solved.iter().map(|&word| textbook(word)).collect(),
        figures: KindNumbers::of(&servo.figures),
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
