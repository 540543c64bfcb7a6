//! The room of a limb: how near its parts come to others, and what shows; for
//! programs and for people.

use super::Finite;
use super::words::{decimal, length};
use crate::model::Figure;
use crate::space::{By, Gap, Layer, Shown, SpacedFigure};
use crate::units::{Mm, Rad, System};

/// A part in depth, mm behind the board's front face.
#[derive(Clone, Debug, serde::Serialize)]
pub struct LayerReport<'a> {
    part: &'a str,
    kind: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    front_mm: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    back_mm: Option<Finite>,
    /// Whether a usual size went into it.
    assumed: bool,
}

impl<'a> LayerReport<'a> {
    /// One layer.
    #[must_use]
    pub fn new(layer: &'a Layer) -> Self {
        Self {
            part: &layer.name,
            kind: layer.role.word(),
            front_mm: Finite::new(layer.depth.front),
            back_mm: Finite::new(layer.depth.back),
            assumed: layer.assumed,
        }
    }
}

/// The room of one limb.
#[derive(Clone, Debug, serde::Serialize)]
pub struct RoomReport<'a> {
    #[serde(skip_serializing_if = "Vec::is_empty")]
    gaps: Vec<GapReport<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    shows: Vec<ShowsReport>,
}

/// Where something is on its way: one of the three.
#[derive(Clone, Debug, Default, serde::Serialize)]
struct At {
    #[serde(skip_serializing_if = "Option::is_none")]
    at_deg: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    at_mm: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    crank_deg: Option<Finite>,
}

/// The least gap of a pair, from two sides.
#[derive(Clone, Debug, serde::Serialize)]
struct GapReport<'a> {
    part: &'static str,
    other: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    other_limb: Option<&'a str>,
    /// It is at least this.
    #[serde(skip_serializing_if = "Option::is_none")]
    least_from_mm: Option<Finite>,
    /// And at most this.
    #[serde(skip_serializing_if = "Option::is_none")]
    least_to_mm: Option<Finite>,
    #[serde(flatten)]
    at: At,
    /// From where to where they touch, in the unit of `at`.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    touching: Vec<[Finite; 2]>,
    /// Whether each moves without regard to the other.
    unlocked: bool,
    /// Whether a usual size went into their depths.
    assumed: bool,
}

/// What comes out beside the board.
#[derive(Clone, Debug, serde::Serialize)]
struct ShowsReport {
    part: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    by_mm: Option<Finite>,
    #[serde(flatten)]
    at: At,
}

/// A coordinate in the unit people read: degrees, or mm.
fn unit(by: By, at: f64) -> Option<Finite> {
    match by {
        By::Way | By::Length => Finite::new(at),
        By::Angle | By::Shaft => Finite::new(Rad(at).deg().0),
        By::Both | By::Still => None,
    }
}

impl At {
    fn new(by: By, at: f64) -> Self {
        let at = unit(by, at);
        match by {
            By::Angle => Self { at_deg: at, ..Self::default() },
            By::Way | By::Length => Self { at_mm: at, ..Self::default() },
            By::Shaft => Self { crank_deg: at, ..Self::default() },
            By::Both | By::Still => Self::default(),
        }
    }
}

impl<'a> RoomReport<'a> {
    /// The room of a limb; `None` where nothing comes near it and nothing shows.
    #[must_use]
    pub fn new(figure: &'a Figure, spaced: &SpacedFigure, limb: usize) -> Option<Self> {
        let gaps = spaced.gaps.iter().filter(|g| g.limb == limb).map(|g| gap(figure, g));
        let shows = spaced.shown.iter().filter(|s| s.limb == limb).map(shows);
        let room = Self { gaps: gaps.collect(), shows: shows.collect() };
        (!(room.gaps.is_empty() && room.shows.is_empty())).then_some(room)
    }
}

fn gap<'a>(figure: &'a Figure, gap: &Gap) -> GapReport<'a> {
    let ends = |&(a, b): &(f64, f64)| Some([unit(gap.by, a)?, unit(gap.by, b)?]);
    GapReport {
        part: gap.part.word(),
        other: gap.other.word(),
        other_limb: gap.other_limb.map(|l| figure.limbs[l].name.value.as_str()),
        least_from_mm: Finite::new(gap.least.low.max(0.0)),
        least_to_mm: Finite::new(gap.least.high.max(0.0)),
        at: At::new(gap.by, gap.least.at[0]),
        touching: gap.touching.iter().filter_map(ends).collect(),
        unlocked: gap.by == By::Both,
        assumed: gap.assumed,
    }
}

fn shows(shown: &Shown) -> ShowsReport {
    ShowsReport {
        part: shown.part.word(),
        by_mm: Finite::new(shown.by),
        at: At::new(shown.how, shown.at),
    }
}

/// The nearest things in a few words: "12 mm to the frame at 132 deg".
#[must_use]
pub fn words(figure: &Figure, spaced: &SpacedFigure, limb: usize, system: System) -> Vec<String> {
    const FEW: usize = 2;
    let mut gaps: Vec<&Gap> = spaced.gaps.iter().filter(|g| g.limb == limb).collect();
    gaps.sort_by(|a, b| a.least.high.total_cmp(&b.least.high));
    let gap = |g: &&Gap| {
        let own = match g.part {
            crate::space::Role::Limb => String::new(),
            part => format!("{} ", part.word()),
        };
        let other = match g.other_limb.filter(|&l| l != limb) {
            Some(l) => format!("{} ({})", figure.limbs[l].name.value, g.other.word()),
            None => format!("the {}", g.other.word()),
        };
        let size = length(Mm(g.least.high.max(0.0)), system);
        let at = match unit(g.by, g.least.at[0]) {
            Some(at) if g.by == By::Angle => format!(" at {} deg", decimal(at.get(), 0)),
            Some(at) if g.by == By::Shaft => format!(", crank at {} deg", decimal(at.get(), 0)),
            Some(at) if g.by == By::Length => {
                format!(", its drive at {}", length(Mm(at.get()), system))
            }
            Some(at) => format!(" at {} on its slide", length(Mm(at.get()), system)),
            None => String::new(),
        };
        format!("{own}{size} to {other}{at}")
    };
    gaps.iter().take(FEW).map(gap).collect()
}
