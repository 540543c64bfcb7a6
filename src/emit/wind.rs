//! Wind for programs and for people: every check with its numbers, and up to which gust
//! to run and to stand.

use super::Finite;
use super::inputs::InputReport;
use crate::check::Compiled;
use crate::loads::wind_limit::STRONGEST;
use crate::loads::{Grade, Limit, LoadedFigure, When};
use crate::model::Winds;
use crate::units::{MetrePerSec, System, print};

/// One check with everything it was computed from.
#[derive(Clone, Debug, serde::Serialize)]
pub struct CheckReport<'a> {
    code: &'static str,
    when: When,
    passes: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    gust_mps: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    max_gust_mps: Option<Finite>,
    asked: Finite,
    calm: Finite,
    per_gust2: Finite,
    bears: Finite,
    unit: &'static str,
    grade: Grade,
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    typical: &'a [&'static str],
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    left_out: bool,
    inputs: Vec<InputReport>,
}

/// A number of a check; a limit is never made of what is no number, and nought stands
/// where one slips through.
fn number(value: f64) -> Finite {
    Finite::new(value).unwrap_or_default()
}

impl<'a> CheckReport<'a> {
    /// A check at the yard's gusts.
    #[must_use]
    pub fn new(limit: &'a Limit, winds: Winds) -> Self {
        let gust = if limit.when == When::Run { winds.run } else { winds.stand };
        let windy = limit.per_gust2 > 0.0;
        Self {
            code: limit.code.word,
            when: limit.when,
            passes: limit.passes(gust),
            gust_mps: Finite::new(gust.0).filter(|_| windy),
            max_gust_mps: Finite::new(limit.gust().0).filter(|_| windy),
            asked: number(limit.asked(gust)),
            calm: number(limit.calm),
            per_gust2: number(limit.per_gust2),
            bears: number(limit.bears),
            unit: limit.unit,
            grade: limit.grade(),
            typical: &limit.typical,
            left_out: limit.left_out,
            inputs: limit.inputs.iter().filter_map(InputReport::new).collect(),
        }
    }
}

/// A gust that something limits.
pub(super) fn limited(gust: MetrePerSec) -> Option<Finite> {
    Finite::new(gust.0).filter(|_| gust < STRONGEST)
}

/// A limb in the wind.
#[derive(Clone, Debug, serde::Serialize)]
pub struct WindReport<'a> {
    area_m2: Finite,
    centre_m: Finite,
    force_n_per_gust2: Finite,
    #[serde(skip_serializing_if = "Option::is_none")]
    moment_nm_per_gust2: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    flutters_mps: Option<Finite>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    flutter_inputs: Vec<InputReport>,
    #[serde(skip_serializing_if = "Option::is_none")]
    max_run_wind_mps: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    max_stand_wind_mps: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    first_to_go: Option<&'static str>,
    checks: Vec<CheckReport<'a>>,
}

impl<'a> WindReport<'a> {
    /// For programs; `None` where the limb's shape is not known.
    #[must_use]
    pub fn new(loaded: &'a LoadedFigure, index: usize) -> Option<Self> {
        let wind = loaded.limbs[index].wind.as_ref()?;
        Some(Self {
            area_m2: Finite::new(wind.area)?,
            centre_m: Finite::new(wind.centre)?,
            force_n_per_gust2: Finite::new(wind.force)?,
            moment_nm_per_gust2: wind.moment.and_then(Finite::new),
            flutters_mps: wind.flutters.and_then(|v| Finite::new(v.0)),
            flutter_inputs: wind.flutter_inputs.iter().filter_map(InputReport::new).collect(),
            max_run_wind_mps: limited(wind.max_run),
            // What a limb bears parked is no gust for a figure that nothing is known to hold.
            max_stand_wind_mps: loaded.wind.as_ref().and_then(|_| limited(wind.max_stand)),
            first_to_go: first(loaded, index, When::Run).map(|(l, _)| l.code.word),
            checks: wind.limits.iter().map(|l| CheckReport::new(l, loaded.site.winds)).collect(),
        })
    }
}

/// A figure in the wind.
#[derive(Clone, Debug, serde::Serialize)]
pub struct FigureWindReport<'a> {
    area_m2: Finite,
    height_m: Finite,
    width_m: Finite,
    weight_n: Finite,
    fixings: u32,
    #[serde(skip_serializing_if = "Option::is_none")]
    max_run_wind_mps: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    max_stand_wind_mps: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    first_to_go: Option<&'static str>,
    checks: Vec<CheckReport<'a>>,
}

impl<'a> FigureWindReport<'a> {
    /// For programs; `None` where nothing is said to hold the figure.
    #[must_use]
    pub fn new(loaded: &'a LoadedFigure) -> Option<Self> {
        let wind = loaded.wind.as_ref()?;
        Some(Self {
            area_m2: Finite::new(wind.area)?,
            height_m: Finite::new(wind.height)?,
            width_m: Finite::new(wind.width)?,
            weight_n: Finite::new(wind.weight)?,
            fixings: wind.fixings,
            max_run_wind_mps: limited(wind.max_run),
            max_stand_wind_mps: limited(wind.max_stand),
            first_to_go: loaded.first_to_go(When::Run).map(|(l, ..)| l.code.word),
            checks: wind.limits.iter().map(|l| CheckReport::new(l, loaded.site.winds)).collect(),
        })
    }
}

/// What goes first of a limb and its figure.
fn first(loaded: &LoadedFigure, index: usize, when: When) -> Option<(&Limit, MetrePerSec)> {
    let own = loaded.limbs[index].wind.iter().flat_map(|w| &w.limits);
    let figure = loaded.wind.iter().flat_map(|w| &w.limits);
    let asked = own.chain(figure).filter(|l| when == When::Run || l.when == When::Stand);
    crate::loads::wind_limit::first_to_go(asked).filter(|(_, gust)| *gust < STRONGEST)
}

/// Up to which gust a yard's limbs move, and the figures that must stop before, the weakest
/// first: what stands on the pages people hold in their hands on the night.
#[must_use]
pub fn run_words(compiled: &Compiled) -> String {
    let run = compiled.yard.winds.run;
    let figures = compiled.yard.figures.iter().zip(&compiled.loads);
    let mut weak: Vec<(MetrePerSec, &str)> = figures
        .filter(|(placed, _)| !placed.idle())
        .filter_map(|(p, l)| Some((l.first_to_go(When::Run)?.2, p.name.value.as_str())))
        .filter(|(gust, _)| gust.0 < run.0)
        .collect();
    weak.sort_by(|a, b| a.0.0.total_cmp(&b.0.0).then_with(|| a.1.cmp(b.1)));
    let system = compiled.yard.system;
    let mut text = format!("Moving parts run up to gusts of {}", print::wind(run, system));
    let mut verb = " stops above";
    for (at, (gust, name)) in weak.iter().take(NAMED).enumerate() {
        let before = if at == 0 { ", but" } else { "," };
        if gust.0 <= 0.0 {
            text.push_str(&format!("{before} {name} {STILL}"));
            continue;
        }
        text.push_str(&format!("{before} {name}{verb} {}", print::gust(*gust, system)));
        verb = "";
    }
    if let Some(more) = weak.len().checked_sub(NAMED).filter(|n| *n > 0) {
        text.push_str(&format!(" and {more} more as the weather page says"));
    }
    text
}

/// Said of what does not pass its checks without any wind.
pub(super) const STILL: &str = "not even in still air";

/// So many figures are named before the weather page is pointed at.
const NAMED: usize = 6;

/// "stop above 7.4 m/s: it bends and scrapes", "bring in above 21 m/s: it tips over", "not to
/// run, not even in still air: its cylinder is too weak".
#[must_use]
pub fn words(loaded: &LoadedFigure, index: usize, system: System) -> Vec<String> {
    let Some(wind) = &loaded.limbs[index].wind else { return Vec::new() };
    let tell = |(verb, not): (&str, &str), when: When| {
        let (limit, gust) = first(loaded, index, when)?;
        let assumed = if limit.left_out { ", as assumed" } else { "" };
        let told = match gust.0 > 0.0 {
            true => format!("{verb} above {}", print::gust(gust, system)),
            false => format!("{not}, {STILL}"),
        };
        Some(format!("{told}: {}{assumed}", limit.goes))
    };
    let run = tell(("stop", "not to run"), When::Run);
    let stand = tell(("bring in", "not to stand out"), When::Stand);
    let sooner = wind.max_run.0 < wind.max_stand.0;
    run.filter(|_| sooner).into_iter().chain(stand).collect()
}
