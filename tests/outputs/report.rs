//! `report.json` read back by structs that refuse fields they do not know.

use serde::Deserialize;

use super::fixtures::{Lines, at, compiled, performance, rows_of_bears};
use super::schema::faults;
use yardwright::check::Compiled;
use yardwright::emit::report::Report;
use yardwright::finding::{Code, Finding, ItemId, Place, Severity};
use yardwright::fit::{Fitted, FittedSpin};

static BLOCKED: Code = Code {
    word: "crank-blocked",
    severity: Severity::Error,
    title: "the crank cannot go right round",
    explanation: "",
    formula: "",
    source: "",
    bad: "",
    good: "",
};

/// What a reader of the contract would write; all of it is read.
#[derive(Deserialize, Debug)]
#[serde(deny_unknown_fields)]
struct ReadReport {
    schema: u32,
    file: String,
    ok: bool,
    counts: ReadCounts,
    diagnostics: Vec<ReadDiagnostic>,
    #[serde(default)]
    assumed: Vec<ReadNote>,
    #[serde(default)]
    not_checked: Vec<ReadNote>,
    figures: Vec<ReadFigure>,
    shows: Vec<ReadShow>,
    supplies: Vec<ReadSupply>,
    cautions: Vec<ReadCaution>,
}

#[derive(Deserialize, Debug, PartialEq)]
#[serde(deny_unknown_fields)]
struct ReadCaution {
    about: String,
    words: String,
}

#[derive(Deserialize, Debug, PartialEq)]
#[serde(deny_unknown_fields)]
struct ReadCounts {
    errors: usize,
    warnings: usize,
    advice: usize,
    not_checked: usize,
}

#[derive(Deserialize, Debug, Default)]
#[serde(deny_unknown_fields, default)]
struct ReadDiagnostic {
    code: String,
    severity: String,
    message: String,
    help: Option<String>,
    label: Option<String>,
    file: Option<String>,
    line: Option<u32>,
    column: Option<u32>,
    end_line: Option<u32>,
    end_column: Option<u32>,
    figure: Option<String>,
    limb: Option<String>,
    related: Vec<ReadRelated>,
    fixes: Vec<ReadFix>,
    also: Vec<String>,
    worked: Vec<ReadStep>,
}

#[derive(Deserialize, Debug, PartialEq)]
#[serde(deny_unknown_fields)]
struct ReadStep {
    what: String,
    #[serde(default)]
    sum: String,
    result: String,
}

#[derive(Deserialize, Debug)]
#[serde(deny_unknown_fields)]
struct ReadRelated {
    message: String,
    file: Option<String>,
    line: Option<u32>,
    column: Option<u32>,
    end_line: Option<u32>,
    end_column: Option<u32>,
}

#[derive(Deserialize, Debug)]
#[serde(deny_unknown_fields)]
struct ReadFix {
    title: String,
    edits: Vec<ReadEdit>,
}

#[derive(Deserialize, Debug, PartialEq)]
#[serde(deny_unknown_fields)]
struct ReadEdit {
    file: String,
    line: u32,
    column: u32,
    end_line: u32,
    end_column: u32,
    text: String,
}

#[derive(Deserialize, Debug)]
#[serde(deny_unknown_fields)]
struct ReadNote {
    what: String,
    settle: String,
}

#[derive(Deserialize, Debug)]
#[serde(deny_unknown_fields)]
struct ReadFigure {
    name: String,
    title: Option<String>,
    #[serde(default)]
    laid_up: bool,
    #[serde(default)]
    seen_to: Vec<String>,
    #[serde(default)]
    assumed: Vec<ReadNote>,
    limbs: Vec<ReadLimb>,
}

#[derive(Deserialize, Debug)]
#[serde(deny_unknown_fields)]
struct ReadLimb {
    name: String,
    title: Option<String>,
    #[serde(default)]
    seen_to: Vec<String>,
    assumed: Vec<ReadNote>,
    not_checked: Vec<ReadNote>,
    mechanism: Option<serde_json::Map<String, serde_json::Value>>,
    #[serde(rename = "care")]
    _care: Option<serde_json::Value>,
    #[serde(rename = "as_built")]
    _as_built: Option<serde_json::Value>,
    #[serde(rename = "motor_at_mm")]
    _motor_at: Option<[f64; 2]>,
}

#[derive(Deserialize, Debug)]
#[serde(deny_unknown_fields)]
struct ReadShow {
    name: String,
    duration_s: Option<f64>,
    accents: usize,
    worst_accent_error_ms: Option<f64>,
    worst_accent_error_with_spread_ms: Option<f64>,
}

#[derive(Deserialize, Debug)]
#[serde(deny_unknown_fields)]
struct ReadSupply {
    name: String,
    voltage_v: Option<f64>,
    limit_a: Option<f64>,
    converter_share: Option<f64>,
}

fn faulty() -> Compiled {
    let mut all = compiled(rows_of_bears(5));
    let nowhere = Place { item: ItemId(9), lo: 0, hi: 1 };
    all.findings = vec![
        Finding::new(&BLOCKED, at(31), "the crank cannot pass: 3 mm \"too long\" <b>")
            .help("crank 30 mm works")
            .given("crank", "33 mm")
            .sum("too long by", "33 - 30", "3 mm")
            .label("too long")
            .about("bear", Some("left-arm"))
            .related("declared here", at(12))
            .related("in the built-in parts", nowhere)
            .fix("Use 30 mm", at(31), "30 mm")
            .fix("Change the part", nowhere, "x"),
        Finding::new(&BLOCKED, None, "no place at all").with_severity(Severity::Warning),
    ];
    all.findings[0].also = vec!["heron.left-arm".to_owned()];
    all.performances = vec![std::sync::Arc::new(performance())];
    all
}

fn json(all: &Compiled) -> String {
    Report::new(all, &Lines).to_json().unwrap()
}

#[test]
fn the_report_reads_back_and_keeps_its_schema() {
    let text = json(&faulty());
    let value: serde_json::Value = serde_json::from_str(&text).unwrap();
    assert_eq!(faults("report.schema.json", &value), Vec::<String>::new());
    assert!(!text.contains("null"));

    let report: ReadReport = serde_json::from_str(&text).unwrap();
    assert_eq!((report.schema, report.file.as_str(), report.ok), (1, "orchard.yard", false));
    let wind = report.cautions.iter().find(|c| c.about == "Wind and falling").unwrap();
    assert!(wind.words.contains("pull-test stakes"), "{}", wind.words);
    assert_eq!(report.counts, ReadCounts { errors: 1, warnings: 1, advice: 0, not_checked: 10 });
    assert!(report.assumed.is_empty() && report.not_checked.is_empty());
    let first = &report.diagnostics[0];
    let place = (first.line, first.column, first.end_line, first.end_column);
    assert_eq!(place, (Some(31), Some(7), Some(31), Some(11)));
    assert_eq!(first.file.as_deref(), Some("bear.yard"));
    assert_eq!((first.code.as_str(), first.severity.as_str()), ("crank-blocked", "error"));
    assert!(first.message.ends_with("\"too long\" <b>"));
    assert_eq!(first.help.as_deref(), Some("crank 30 mm works"));
    assert_eq!(first.label.as_deref(), Some("too long"));
    assert_eq!((first.figure.as_deref(), first.limb.as_deref()), (Some("bear"), Some("left-arm")));
    assert_eq!(first.also, ["heron.left-arm"]);
    let step = |what: &str, sum: &str, result: &str| ReadStep {
        what: what.to_owned(),
        sum: sum.to_owned(),
        result: result.to_owned(),
    };
    assert_eq!(
        first.worked,
        [step("crank", "", "33 mm"), step("too long by", "33 - 30", "3 mm")],
        "a sum line by line"
    );
    let related: Vec<_> = first.related.iter().map(|r| (r.message.as_str(), r.line)).collect();
    assert_eq!(related, [("declared here", Some(12)), ("in the built-in parts", None)]);
    let near = &first.related[0];
    assert_eq!((near.file.as_deref(), near.column), (Some("bear.yard"), Some(7)));
    assert_eq!((near.end_line, near.end_column), (Some(12), Some(11)));
    // The mend whose place is not on record is left out whole.
    assert_eq!(first.fixes.len(), 1);
    assert_eq!(
        (first.fixes[0].title.as_str(), first.fixes[0].edits[0].text.as_str()),
        ("Use 30 mm", "30 mm")
    );
    assert_eq!(report.diagnostics[1].line, None);
}

#[test]
fn figures_shows_and_supplies_are_in_file_order() {
    let report: ReadReport = serde_json::from_str(&json(&faulty())).unwrap();
    let names: Vec<&str> = report.figures.iter().map(|f| f.name.as_str()).collect();
    assert_eq!(names, ["bear", "heron", "fox-fiddler", "owl", "windmill"]);
    assert!(report.figures[4].laid_up && report.figures[0].title.is_none());
    assert!(report.figures[0].assumed.is_empty() && report.figures[0].seen_to.is_empty());
    assert!(report.figures[0].limbs[0].seen_to.is_empty());
    let limb = &report.figures[0].limbs[0];
    assert_eq!((limb.name.as_str(), limb.title.as_deref()), ("left-arm", None));
    assert_eq!(limb.assumed[0].settle, "bolt M8  bushing nylon");
    assert_eq!(limb.not_checked[0].what, "wind, tipping (no anchor)");
    let show = &report.shows[0];
    assert_eq!((show.name.as_str(), show.accents, show.duration_s), ("evening", 2, Some(123.46)));
    assert_eq!(show.worst_accent_error_ms, Some(-12.5));
    assert_eq!(show.worst_accent_error_with_spread_ms, Some(-21.0));
    let supplies: Vec<&str> = report.supplies.iter().map(|s| s.name.as_str()).collect();
    assert_eq!(supplies, ["shed", "bec"]);
    let shed = &report.supplies[0];
    assert_eq!((shed.voltage_v, shed.limit_a), (Some(12.0), Some(30.0)));
    let shares = report.supplies.iter().map(|s| s.converter_share);
    // No show was added up: whether bec converts is not known.
    assert_eq!(shares.collect::<Vec<_>>(), [None, None]);
}

#[test]
fn sizes_are_exact_and_as_drilled() {
    let report: ReadReport = serde_json::from_str(&json(&faulty())).unwrap();
    let numbers = report.figures[0].limbs[0].mechanism.as_ref().unwrap();
    assert_eq!(numbers["lengths_mm"]["coupler"], 159.87);
    assert_eq!(numbers["as_drilled"]["lengths_mm"]["coupler"], 160.0);
    assert_eq!(numbers["rocker_at_deg"], 127.02);
    // Motor at (310, 806), pivot at (150, 880): sqrt(160^2 + 74^2).
    let ground = numbers["lengths_mm"]["ground"].as_f64().unwrap();
    assert!((ground - (160.0_f64 * 160.0 + 74.0 * 74.0).sqrt()).abs() < 1e-9, "{ground}");
    assert_eq!(numbers["solved"], serde_json::json!(["crank", "coupler", "rocker", "rocker_at"]));
}

#[test]
fn what_is_no_number_is_left_out() {
    let mut all = faulty();
    let mut figure = (*all.figures[0]).clone();
    figure.limbs[0].mechanism = Some(Fitted::Spin(Box::new(FittedSpin {
        ratio: f64::NAN,
        length: None,
        figures: Vec::new(),
    })));
    figure.limbs[1].mechanism =
        Some(Fitted::Spin(Box::new(FittedSpin { ratio: -0.0, length: None, figures: Vec::new() })));
    all.figures[0] = std::sync::Arc::new(figure);
    let text = json(&all);
    assert!(!text.contains("null") && !text.contains("-0.0,") && !text.contains("-0.0\n"));
    let report: ReadReport = serde_json::from_str(&text).unwrap();
    let ratio = |limb: usize| {
        report.figures[0].limbs[limb].mechanism.as_ref().unwrap().get("turn_ratio").cloned()
    };
    assert_eq!(ratio(0), None);
    assert_eq!(ratio(1), Some(serde_json::json!(0.0)));
}

#[test]
fn the_same_yard_gives_the_same_bytes() {
    assert_eq!(json(&faulty()), json(&faulty()));
}
