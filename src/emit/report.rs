//! `report.json`: everything one compile found out, for programs.
//!
//! The fields and their meaning are a contract (`grammar/report.schema.json`).
//! What was not computed is absent: never null, never nought.

use rayon::prelude::*;

use super::cam::CamReport;
use super::care::{BuiltReport, CareReport};
use super::cautions::{self, Caution};
use super::loads::LoadsReport;
use super::motor::WearReport;
use super::nights::SeasonReport;
use super::numbers::{MechanismNumbers, mechanism_numbers};
use super::power::{AirReport, CableReport, SupplyReport};
use super::room::{LayerReport, RoomReport};
use super::wind::{CheckReport, FigureWindReport, WindReport};
use super::wiring::WiringReport;
use super::{Finite, Output};
use crate::check::Compiled;
use crate::finding::{Finding, Fix, Locate, Location, Severity, Spanned, Step};
use crate::fit::builds::care;
use crate::model::Note;
use crate::timing::Performance;

/// Version of the report's shape.
pub const SCHEMA: u32 = 1;

/// The whole report.
#[derive(Debug, serde::Serialize)]
pub struct Report<'a> {
    schema: u32,
    file: &'a str,
    ok: bool,
    counts: Counts,
    diagnostics: Vec<Diagnostic<'a>>,
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    assumed: &'a [Note],
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    not_checked: &'a [Note],
    figures: Vec<FigureReport<'a>>,
    shows: Vec<ShowReport<'a>>,
    supplies: Vec<SupplyReport<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    wiring: Vec<WiringReport<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    cables: Vec<CableReport<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    air: Vec<AirReport<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    seasons: Vec<SeasonReport<'a>>,
    /// What to mind of it, where something of the yard calls for it.
    cautions: Vec<&'static Caution>,
}

/// How much was found, and how much could not be checked.
#[derive(Debug, serde::Serialize)]
struct Counts {
    errors: usize,
    warnings: usize,
    advice: usize,
    not_checked: usize,
}

/// A stretch of a file. All absent for what has no place in a text.
#[derive(Debug, serde::Serialize)]
struct Span {
    file: String,
    line: u32,
    column: u32,
    end_line: u32,
    end_column: u32,
}

impl From<Location> for Span {
    fn from(at: Location) -> Self {
        let Location { file, line, column, end_line, end_column } = at;
        Self { file, line, column, end_line, end_column }
    }
}

/// One finding.
#[derive(Debug, serde::Serialize)]
struct Diagnostic<'a> {
    code: &'a str,
    severity: Severity,
    message: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    help: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    label: Option<&'a str>,
    #[serde(flatten)]
    span: Option<Span>,
    #[serde(skip_serializing_if = "Option::is_none")]
    figure: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    limb: Option<&'a str>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    related: Vec<Related<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    fixes: Vec<FixReport<'a>>,
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    also: &'a [String],
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    worked: &'a [Step],
}

/// Another place that matters.
#[derive(Debug, serde::Serialize)]
struct Related<'a> {
    message: &'a str,
    #[serde(flatten)]
    span: Option<Span>,
}

/// A mend.
#[derive(Debug, serde::Serialize)]
struct FixReport<'a> {
    title: &'a str,
    edits: Vec<EditReport<'a>>,
}

/// One replacement of a mend.
#[derive(Debug, serde::Serialize)]
struct EditReport<'a> {
    #[serde(flatten)]
    span: Span,
    text: &'a str,
}

/// One figure.
#[derive(Debug, serde::Serialize)]
struct FigureReport<'a> {
    name: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    title: Option<&'a str>,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    laid_up: bool,
    /// The first evening without it, where it plays nights before.
    #[serde(skip_serializing_if = "Option::is_none")]
    plays_before: Option<&'a str>,
    /// Hints that were dealt with on all of it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    seen_to: Vec<&'a str>,
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    assumed: &'a [Note],
    /// Its parts in depth, front to back.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    stack: Vec<LayerReport<'a>>,
    /// The whole figure in the wind.
    #[serde(skip_serializing_if = "Option::is_none")]
    wind: Option<FigureWindReport<'a>>,
    limbs: Vec<LimbReport<'a>>,
}

/// One limb.
#[derive(Debug, serde::Serialize)]
struct LimbReport<'a> {
    name: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    title: Option<&'a str>,
    /// Hints that were dealt with on it.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    seen_to: Vec<&'a str>,
    assumed: Vec<&'a Note>,
    not_checked: Vec<&'a Note>,
    /// The limb from whose axis its angles count, where its motor rides on that one.
    #[serde(skip_serializing_if = "Option::is_none")]
    angles_from: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    mechanism: Option<MechanismNumbers>,
    /// The curve of its cam.
    #[serde(skip_serializing_if = "Option::is_none")]
    cam: Option<CamReport>,
    /// Where its motor was found to stand, where that was open.
    #[serde(skip_serializing_if = "Option::is_none")]
    motor_at_mm: Option<[Finite; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    loads: Option<LoadsReport>,
    /// How much it moves over the seasons.
    #[serde(skip_serializing_if = "Option::is_none")]
    wear: Option<WearReport<'a>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    care: Option<CareReport>,
    #[serde(skip_serializing_if = "Option::is_none")]
    as_built: Option<BuiltReport>,
    #[serde(skip_serializing_if = "Option::is_none")]
    room: Option<RoomReport<'a>>,
    /// The limb in the wind.
    #[serde(skip_serializing_if = "Option::is_none")]
    wind: Option<WindReport<'a>>,
    /// What its clamp, holes, rod and pins bear.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    grips: Vec<CheckReport<'a>>,
}

/// One show.
#[derive(Debug, serde::Serialize)]
struct ShowReport<'a> {
    name: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    duration_s: Option<Finite>,
    accents: usize,
    /// The accent furthest off with every motor as described; + is late.
    #[serde(skip_serializing_if = "Option::is_none")]
    worst_accent_error_ms: Option<Finite>,
    /// The same with the spread of single motors; + is late.
    #[serde(skip_serializing_if = "Option::is_none")]
    worst_accent_error_with_spread_ms: Option<Finite>,
}

impl<'a> Report<'a> {
    /// The report of a compile; `at` tells where its places stand.
    #[must_use]
    pub fn new(compiled: &'a Compiled, at: &dyn Locate) -> Self {
        let counts = Counts {
            errors: compiled.count(Severity::Error),
            warnings: compiled.count(Severity::Warning),
            advice: compiled.count(Severity::Advice),
            not_checked: compiled.not_made(),
        };
        let yard = &compiled.yard;
        Self {
            schema: SCHEMA,
            file: &compiled.file,
            ok: counts.errors == 0,
            counts,
            diagnostics: compiled.findings.iter().map(|f| diagnostic(f, at)).collect(),
            assumed: &yard.assumed,
            not_checked: &yard.not_checked,
            figures: (0..yard.figures.len())
                .into_par_iter()
                .map(|at| figure(compiled, at))
                .collect(),
            shows: compiled.performances.iter().map(|p| show(p)).collect(),
            supplies: (yard.supplies.iter().enumerate())
                .map(|(n, s)| SupplyReport::new(s, compiled.power.supplies.get(n)))
                .collect(),
            wiring: WiringReport::all(yard),
            cables: compiled.power.cables.iter().map(CableReport::new).collect(),
            air: compiled.power.air.iter().filter_map(AirReport::new).collect(),
            seasons: compiled.programmes.iter().map(|p| SeasonReport::new(yard, p)).collect(),
            cautions: cautions::of(compiled).collect(),
        }
    }

    /// The report as JSON text, ending with a line break.
    ///
    /// # Errors
    /// Where serde cannot write it; no value of a compile is known to do that.
    pub fn to_json(&self) -> serde_json::Result<String> {
        let mut text = serde_json::to_string_pretty(self)?;
        text.push('\n');
        Ok(text)
    }
}

/// The row of the list of outputs.
///
/// # Errors
/// As [`Report::to_json`].
pub fn outputs(compiled: &Compiled, at: &dyn Locate) -> serde_json::Result<Vec<Output>> {
    Ok(vec![Output::new("report.json", Report::new(compiled, at).to_json()?)])
}

fn diagnostic<'a>(finding: &'a Finding, at: &dyn Locate) -> Diagnostic<'a> {
    let related = finding.related.iter();
    Diagnostic {
        code: finding.code.word,
        severity: finding.severity,
        message: &finding.message,
        help: finding.help.as_deref(),
        label: finding.label.as_deref(),
        span: finding.place.and_then(|p| at.locate(p)).map(Span::from),
        figure: finding.figure.as_deref(),
        limb: finding.limb.as_deref(),
        related: related
            .map(|(message, place)| Related { message, span: at.locate(*place).map(Span::from) })
            .collect(),
        fixes: finding.fixes.iter().filter_map(|f| fix(f, at)).collect(),
        also: &finding.also,
        worked: &finding.worked,
    }
}

/// A mend; `None` where one of its places is not on record: half a mend would
/// spoil the text.
fn fix<'a>(fix: &'a Fix, at: &dyn Locate) -> Option<FixReport<'a>> {
    let edits = fix
        .edits
        .iter()
        .map(|e| Some(EditReport { span: Span::from(at.locate(e.place)?), text: &e.text }));
    Some(FixReport { title: &fix.title, edits: edits.collect::<Option<_>>()? })
}

fn figure(compiled: &Compiled, at: usize) -> FigureReport<'_> {
    let placed = &compiled.yard.figures[at];
    let figure = &placed.figure;
    FigureReport {
        name: &placed.name.value,
        title: figure.title.as_deref(),
        laid_up: placed.laid_up.is_some(),
        plays_before: placed.plays_before(),
        seen_to: hints(&figure.seen_to, |h| compiled.seen_to.on_figure(&placed.name.value, h)),
        assumed: &figure.assumed,
        stack: compiled.spaces[at].stack.iter().map(LayerReport::new).collect(),
        wind: FigureWindReport::new(&compiled.loads[at]),
        limbs: (0..figure.limbs.len()).map(|index| limb(compiled, at, index)).collect(),
    }
}

/// Those of the hints seen to that were raised.
fn hints(all: &[Spanned<String>], raised: impl Fn(&str) -> bool) -> Vec<&str> {
    all.iter().map(|h| h.value.as_str()).filter(|h| raised(h)).collect()
}

fn limb(compiled: &Compiled, at: usize, index: usize) -> LimbReport<'_> {
    let (figure, fitted) = (&compiled.yard.figures[at].figure, &compiled.figures[at]);
    let found = figure.motor_of(index).and_then(|m| fitted.place_of(m));
    let (limb, fitted) = (&figure.limbs[index], &fitted.limbs[index]);
    let loaded = &compiled.loads[at];
    LimbReport {
        name: &limb.name.value,
        title: limb.title.as_deref(),
        seen_to: hints(&limb.seen_to, |h| {
            compiled.seen_to.on_limb(&compiled.yard.figures[at].name.value, &limb.name.value, h)
        }),
        assumed: compiled.assumed(at, index).collect(),
        not_checked: compiled.not_checked(at, index).collect(),
        angles_from: fitted.riding.as_ref().map(|r| figure.limbs[r.carrier].name.value.as_str()),
        mechanism: fitted.mechanism.as_ref().map(mechanism_numbers),
        cam: crate::make::cam(&compiled.figures[at], index).and_then(|c| CamReport::new(&c)),
        motor_at_mm: found.and_then(|at| Some([Finite::new(at.x)?, Finite::new(at.y)?])),
        loads: LoadsReport::new(compiled, at, index),
        wear: WearReport::new(compiled, at, index),
        care: care(limb, fitted).as_ref().map(CareReport::new),
        as_built: fitted.as_built.as_ref().map(|b| BuiltReport::new(limb, b)),
        room: RoomReport::new(figure, &compiled.spaces[at], index),
        wind: WindReport::new(loaded, index),
        grips: loaded.limbs[index]
            .grips
            .iter()
            .map(|g| CheckReport::new(g, loaded.site.winds))
            .collect(),
    }
}

fn show(played: &Performance) -> ShowReport<'_> {
    ShowReport {
        name: &played.show,
        duration_s: Finite::new(played.duration.0),
        accents: played.accents.len(),
        worst_accent_error_ms: worst_ms(played.accents.iter().map(|a| a.nominal.0)),
        worst_accent_error_with_spread_ms: worst_ms(played.accents.iter().map(|a| a.worst.0)),
    }
}

/// The value of largest size, seconds in, milliseconds out; the first of equals.
fn worst_ms(seconds: impl Iterator<Item = f64>) -> Option<Finite> {
    seconds
        .filter(|s| s.is_finite())
        .reduce(|worst, s| if s.abs() > worst.abs() { s } else { worst })
        .and_then(|s| Finite::new(s * 1000.0))
}
