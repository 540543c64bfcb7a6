//! How careful one has to be with a limb, and how it was built: for programs and for
//! people.

use std::borrow::Cow;

use super::Finite;
use super::words::decimal;
use crate::fit::builds::{ANGLE_ERROR, BUILDS, Care, LENGTH_ERROR, SEED, Slope, Spread};
use crate::fit::{Also, Apart, AsBuilt, At, OtherBuilt};
use crate::model::{Joint, Limb};
use crate::units::System;

/// What single dimensions do to the ends of a limb's motion.
#[derive(Clone, Debug, serde::Serialize)]
pub struct CareReport {
    /// Every length and place is taken to be off by up to this.
    error_mm: f64,
    /// Every angle by up to this.
    error_deg: f64,
    /// Whether the middle of the motion is set by hand on the finished limb.
    set_by_hand: bool,
    /// How many builds were tried, and from which seed.
    builds: u32,
    seed: u64,
    /// The share of them that moves as asked.
    #[serde(skip_serializing_if = "Option::is_none")]
    share: Option<Finite>,
    /// All errors at their worst at once.
    worst_case: Ends,
    /// The root of the sum of their squares.
    rss: Ends,
    /// The dimension to be most careful with; left out where none needs care.
    #[serde(skip_serializing_if = "Option::is_none")]
    careful_with: Option<Cow<'static, str>>,
    /// Each dimension's effect.
    dimensions: Vec<Row>,
}

/// By how much ends and range may be off; degrees, or mm of a slide.
#[derive(Clone, Debug, Default, serde::Serialize)]
struct Ends {
    #[serde(skip_serializing_if = "Option::is_none")]
    low_deg: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    high_deg: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    sweep_deg: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    low_mm: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    high_mm: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    stroke_mm: Option<Finite>,
}

/// What a millimetre, or a degree, of one dimension does.
#[derive(Clone, Debug, serde::Serialize)]
struct Row {
    name: Cow<'static, str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    drawn_mm: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    drawn_deg: Option<Finite>,
    /// To the lower end, the upper end and the range.
    #[serde(flatten)]
    moves: Ends,
}

impl Ends {
    fn of(slides: bool, (low, high, range): (f64, f64, f64)) -> Self {
        let [low, high, range] = [low, high, range].map(Finite::new);
        if slides {
            Self { low_mm: low, high_mm: high, stroke_mm: range, ..Self::default() }
        } else {
            Self { low_deg: low, high_deg: high, sweep_deg: range, ..Self::default() }
        }
    }
}

impl CareReport {
    /// For programs.
    #[must_use]
    pub fn new(care: &Care) -> Self {
        let spread = |s: &Spread| Ends::of(care.slides, (s.low, s.high, s.range));
        let row = |s: &Slope| Row {
            name: s.dimension.words(),
            drawn_mm: (!s.dimension.angle).then(|| Finite::new(s.dimension.drawn)).flatten(),
            drawn_deg: s.dimension.angle.then(|| Finite::new(s.dimension.drawn)).flatten(),
            moves: Ends::of(care.slides, (s.low, s.high, s.range())),
        };
        Self {
            error_mm: LENGTH_ERROR.0,
            error_deg: ANGLE_ERROR.0,
            set_by_hand: care.set_by_hand,
            builds: BUILDS,
            seed: SEED,
            share: care.share.and_then(Finite::new),
            worst_case: spread(&care.worst),
            rss: spread(&care.rss),
            careful_with: care.careful.map(|i| care.slopes[i].dimension.words()),
            dimensions: care.slopes.iter().map(row).collect(),
        }
    }
}

/// What explains the maker's measurements.
#[derive(Clone, Debug, serde::Serialize)]
pub struct BuiltReport {
    /// Which dimensions are otherwise than drawn; empty where the drawing explains
    /// them.
    changes: Vec<Change>,
    /// How far the ends still are from what was measured.
    #[serde(flatten)]
    off: Off,
    /// What explains it alone where `changes` are two, none, or meet it only nearly, and
    /// nothing is computed with: where something stands, or a size of a limb above.
    #[serde(skip_serializing_if = "Option::is_none")]
    alone: Option<Change>,
    /// What explains it as well, or nearly: single dimensions first.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    or: Vec<Change>,
}

#[derive(Clone, Debug, Default, serde::Serialize)]
struct Off {
    #[serde(skip_serializing_if = "Option::is_none")]
    off_deg: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    off_mm: Option<Finite>,
}

/// One dimension as drawn and as built.
#[derive(Clone, Debug, Default, serde::Serialize)]
struct Change {
    name: Cow<'static, str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    drawn_mm: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    built_mm: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    drawn_deg: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    built_deg: Option<Finite>,
    /// The other length at which it explains the measurement too.
    #[serde(skip_serializing_if = "Option::is_none")]
    also_mm: Option<Finite>,
    /// The other angle.
    #[serde(skip_serializing_if = "Option::is_none")]
    also_deg: Option<Finite>,
    /// What tells the two apart.
    #[serde(skip_serializing_if = "Option::is_none")]
    apart: Option<ApartReport>,
    /// The other dimension that another explanation changes too.
    #[serde(skip_serializing_if = "Option::is_none")]
    with: Option<Box<Change>>,
    /// How far an explanation leaves the ends from what was measured.
    #[serde(flatten)]
    off: Off,
}

/// Where a limb stands with one of two builds and with the other, stopped on its way.
#[derive(Clone, Debug, Default, serde::Serialize)]
struct ApartReport {
    #[serde(skip_serializing_if = "Option::is_none")]
    crank_deg: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    length_mm: Option<Finite>,
    /// Degrees, or mm along its guide: built as is told first, and the other way.
    stands: Vec<Finite>,
}

impl ApartReport {
    fn new(apart: &Apart) -> Self {
        let (crank, length) = match apart.at {
            At::Crank(angle) => (Some(angle.0), None),
            At::Long(length) => (None, Some(length.0)),
        };
        Self {
            crank_deg: crank.and_then(Finite::new),
            length_mm: length.and_then(Finite::new),
            stands: apart.stands.iter().filter_map(|v| Finite::new(*v)).collect(),
        }
    }
}

impl Change {
    /// The same with the other size that explains it too.
    fn or(self, also: Option<&Also>, angle: bool) -> Self {
        let Some(also) = also else { return self };
        let built = Finite::new(also.built);
        let (also_deg, also_mm) = if angle { (built, None) } else { (None, built) };
        let apart = also.apart.as_ref().map(ApartReport::new);
        Self { also_mm, also_deg, apart, ..self }
    }

    fn of(name: impl Into<Cow<'static, str>>, drawn: Option<f64>, built: f64, angle: bool) -> Self {
        let name = name.into();
        let (drawn, built) = (drawn.and_then(Finite::new), Finite::new(built));
        if angle {
            Self { name, drawn_deg: drawn, built_deg: built, ..Self::default() }
        } else {
            Self { name, drawn_mm: drawn, built_mm: built, ..Self::default() }
        }
    }
}

impl BuiltReport {
    /// For programs.
    #[must_use]
    pub fn new(limb: &Limb, built: &AsBuilt) -> Self {
        let off = |by: f64| match limb.joint {
            Joint::Slide { .. } => Off { off_mm: Finite::new(by), ..Off::default() },
            Joint::Pivot { .. } => Off { off_deg: Finite::new(by), ..Off::default() },
        };
        let other = |o: &OtherBuilt| Change {
            with: o.with.map(|(name, now, angle)| Box::new(Change::of(name, None, now, angle))),
            off: off(o.off),
            ..Change::of(o.name.clone(), Some(o.drawn), o.built, o.angle)
                .or(o.also.as_ref(), o.angle)
        };
        let changes = built.changes.iter();
        Self {
            changes: changes
                .map(|&(n, drawn, now, a)| {
                    Change::of(n, Some(drawn), now, a).or(built.also.as_ref(), a)
                })
                .collect(),
            off: off(built.off),
            alone: built.alone.as_ref().map(other),
            or: built.others.iter().map(other).collect(),
        }
    }
}

/// For people: "most with the crank: 1 mm off makes 1.6 deg", "99 of 100 builds with
/// errors up to 1 mm move as asked".
#[must_use]
pub fn words(care: &Care, limb: &Limb, system: System) -> Vec<String> {
    let inch = system == System::Inch;
    let mut parts = vec![match care.careful {
        Some(careful) => most(care, &care.slopes[careful], inch),
        // A limb that is sent to one angle is set there by hand.
        None if care.set_by_hand => {
            format!(
                "no size needs care: what they are off is set right on the finished {}",
                limb.name.value
            )
        }
        None => format!(
            "no size needs care: {} off in any makes next to nothing",
            if inch { "1/32 in" } else { "1 mm" }
        ),
    }];
    parts.extend(care.share.map(|share| {
        let set = if care.set_by_hand {
            format!(", its middle set on the finished {}", limb.name.value)
        } else {
            String::new()
        };
        format!(
            "about {} of 100 builds with errors up to {} move as {}{set}",
            decimal((share * 100.0).floor(), 0),
            if inch { "0.04 in" } else { "1 mm" },
            if care.as_drawn { "drawn" } else { "asked" }
        )
    }));
    parts
}

/// "most with the crank: 1 mm off makes 1.6 deg".
fn most(care: &Care, slope: &Slope, inch: bool) -> String {
    // One mark of the ruler people use.
    let (step, length) = match (slope.dimension.angle, inch) {
        (true, _) => ("1 deg", 1.0),
        (false, true) => ("1/32 in", 25.4 / 32.0),
        (false, false) => ("1 mm", 1.0),
    };
    let ends = if care.set_by_hand { 0.0 } else { slope.low.abs().max(slope.high.abs()) };
    let effect = slope.range().abs().max(ends) * length;
    let effect = match (care.slides, inch) {
        (true, true) => format!("{} in", decimal(effect / 25.4, 2)),
        (true, false) => format!("{} mm", decimal(effect, 1)),
        (false, _) => format!("{} deg", decimal(effect, 1)),
    };
    format!("most with the {}: {step} off makes {effect}", slope.dimension.words())
}
