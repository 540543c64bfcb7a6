//! The terminal report.

use super::fixtures::{at, compiled, empty_yard, figure, limb, performance, placed, rows_of_bears};
use super::snapshot;
use std::sync::Arc;
use yardwright::check::Compiled;
use yardwright::emit::text::{TextOptions, report};
use yardwright::finding::{Code, Finding, Severity};
use yardwright::units::System;

static PUSHES_BADLY: Code = Code {
    word: "pushes-badly",
    severity: Severity::Warning,
    title: "",
    explanation: "",
    formula: "",
    source: "",
    bad: "",
    good: "",
};

fn baker() -> Compiled {
    let mut yard = empty_yard();
    yard.system = System::Inch;
    let arm = limb("arm", (508.0, 1117.6), (863.6, 1320.8), (10.0, 55.0), System::Inch);
    let mut still = arm.clone();
    still.name = super::fixtures::named("hat");
    still.drive = None;
    let baker = figure("baker", System::Inch, vec![arm, still]);
    yard.figures.push(placed("baker", baker, (9000.0, 5000.0), 180.0));
    compiled(yard)
}

fn crowd() -> Compiled {
    let mut all = compiled(rows_of_bears(30));
    all.performances = vec![Arc::new(performance())];
    let finding =
        Finding::new(&PUSHES_BADLY, at(3), "pushes at 12 of 90").about("owl", Some("left-arm"));
    all.findings.push(finding);
    all
}

#[test]
fn few_limbs_are_told_in_full() {
    snapshot("text-baker.txt", &report(&baker(), &TextOptions::default()));
}

#[test]
fn many_limbs_are_told_on_one_line_each() {
    let text = report(&crowd(), &TextOptions::default());
    snapshot("text-crowd.txt", &text);
    assert!(text.lines().count() < 100);
    let verbose = TextOptions { verbose: true, ..TextOptions::default() };
    let full = report(&crowd(), &verbose);
    assert_eq!(full.matches("\n   drill ").count(), 60);
}

/// A warning on every limb of sixty, an error on the last: a dozen are told in full, the
/// last among them, and every limb says what was found.
#[test]
fn of_many_limbs_with_findings_the_worst_are_told_in_full() {
    let mut all = crowd();
    let limbs =
        all.yard.figures.iter().flat_map(|p| {
            p.figure.limbs.iter().map(|l| (p.name.value.clone(), l.name.value.clone()))
        });
    let limbs: Vec<(String, String)> = limbs.collect();
    for (n, (figure, limb)) in limbs.iter().enumerate() {
        let found =
            Finding::new(&PUSHES_BADLY, at(3), "pushes at 12 of 90").about(figure, Some(limb));
        let last = n + 1 == limbs.len();
        all.findings.push(if last { found.with_severity(Severity::Error) } else { found });
    }
    let text = report(&all, &TextOptions::default());
    assert_eq!(text.matches("\n   drill ").count(), 12);
    assert_eq!(text.matches("pushes-badly (").count(), limbs.len());
    let (figure, limb) = limbs.last().unwrap();
    let name = format!("{figure}.{limb}");
    let mut block = text.lines().skip_while(|l| !l.starts_with(&name)).take(4);
    assert!(block.any(|l| l.starts_with("   found ")), "{text}");
}

#[test]
fn lines_keep_to_the_width() {
    for width in [60, 100] {
        let options = TextOptions { width, verbose: true, ..TextOptions::default() };
        for line in report(&crowd(), &options).lines() {
            let next = line.contains("Next: ");
            assert!(next || line.chars().count() <= width, "{width}: {line}");
        }
    }
}

#[test]
fn units_can_be_asked_for() {
    let metric = TextOptions { system: Some(System::Metric), ..TextOptions::default() };
    let text = report(&baker(), &metric);
    assert!(text.contains("rod 375.4 mm pin to pin"), "{text}");
    assert!(report(&baker(), &TextOptions::default()).contains("rod 14 25/32 in pin to pin"));
}

#[test]
fn escapes_appear_only_where_styling_is_asked_for() {
    let mut all = baker();
    all.file = "we\u{1b}[31mird.yard".to_owned();
    assert!(!report(&all, &TextOptions::default()).contains('\u{1b}'));
    let styled = TextOptions { styled: true, ..TextOptions::default() };
    let text = report(&baker(), &styled);
    assert!(text.contains("\u{1b}[1mbaker.arm\u{1b}[0m"), "{text}");
    let plain: String = text
        .split('\u{1b}')
        .map(|p| p.split_once('m').map_or(p, |(_, t)| if p.starts_with('[') { t } else { p }))
        .collect();
    assert_eq!(plain, report(&baker(), &TextOptions::default()));
}
