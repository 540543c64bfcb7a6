//! `explain CODE --for FIGURE.LIMB FILE`: every number that a finding tells stands in the
//! lines that work it out.

use crate::support::Yard;
use yardwright::check::{Compiled, codes};
use yardwright::finding::{Code, Finding};
use yardwright::units::print::decimal;
use yardwright::{fit, loads, power, season, space, timing};

/// Codes whose numbers no sum gives, and why.
const TOLD_AS_THEY_ARE: &[(&str, &str)] = &[
    ("carrier-moves", "a moment of the show at which it is told something"),
    ("cues-disagree", "a moment of the show at which two cues meet"),
    ("cues-lost", "counts of cues, no sum"),
    ("gesture-empty", "the text itself"),
    ("no-dusk", "a date"),
    ("no-place-fits", "what it tells is another finding's sentence, at one place of many"),
    ("runs-left-out", "counts of nights and runs, no sum"),
    ("supply-overloaded", "shown by show and second, not as minutes and seconds"),
    ("show-endless", "more asks than a test takes"),
];

/// The codes about limbs, figures, shows and supplies: all others are about the text, and
/// their numbers stand in it.
fn of_limbs(code: &Code) -> bool {
    let stages = [
        fit::codes::CODES,
        &loads::codes(),
        space::CODES,
        timing::CODES,
        power::CODES,
        season::CODES,
    ];
    stages.iter().any(|codes| codes.iter().any(|c| c.word == code.word))
}

/// Numbers of a sentence with the places they are told with: not those of names (`M8`,
/// words in backticks), of moments (bar 3 beat 1) and of fractions (1/3).
fn numbers(text: &str) -> Vec<(f64, usize)> {
    let plain: String = text.split('`').step_by(2).collect::<Vec<_>>().join(" ");
    let plain = plain.split("; computed for").next().unwrap_or("").to_owned();
    let mut found = Vec::new();
    let mut before = "";
    for word in plain.split_whitespace() {
        let bare = word.trim_matches(|c: char| "(),;:?|".contains(c)).trim_end_matches('.');
        let number = bare.trim_start_matches("sqrt(").trim_matches(|c: char| "()^".contains(c));
        if let Ok(value) = number.parse::<f64>()
            && !matches!(before, "bar" | "beat")
        {
            let places = number.split_once('.').map_or(0, |(_, p)| p.len());
            found.push((value.abs(), places));
        }
        before = word;
    }
    found
}

/// Whether a number stands among others, rounded as it is told.
fn stands(number: (f64, usize), among: &[(f64, usize)]) -> bool {
    among.iter().any(|(v, _)| {
        decimal(*v, number.1) == decimal(number.0, number.1)
            || (v - number.0).abs() <= 0.501 * libm::pow(0.1, number.1 as f64)
    })
}

/// A limb that a finding is about: its own, or the first of its figure or of the yard.
fn limb_of(compiled: &Compiled, finding: &Finding) -> Option<String> {
    let mut figures = compiled.yard.figures.iter();
    let figure = match &finding.figure {
        Some(name) => figures.find(|f| f.name.value == *name)?,
        None => figures.find(|f| !f.figure.limbs.is_empty())?,
    };
    let limb = finding.limb.clone();
    let limb = limb.or_else(|| Some(figure.figure.limbs.first()?.name.value.clone()))?;
    Some(format!("{}.{limb}", figure.name.value))
}

/// Which of a finding's numbers stand in no line of what works it out.
fn unworked(
    yard: &Yard,
    text: &str,
    code: &str,
    limb: &str,
    told: Vec<(f64, usize)>,
) -> Vec<String> {
    yard.write("example.yard", text);
    let json = yard.run(&format!("explain {code} --for {limb} example.yard --format json")).json();
    let lines: Vec<String> = json["for"]["steps"].as_array().map_or(Vec::new(), |steps| {
        let text = |s: &serde_json::Value, k: &str| s[k].as_str().unwrap_or("").to_owned();
        let line = |s| format!("{} {} {}", text(s, "what"), text(s, "sum"), text(s, "result"));
        steps.iter().map(line).collect()
    });
    let shown: Vec<(f64, usize)> = lines.iter().flat_map(|l| apart(l)).collect();
    let missing = told.into_iter().filter(|n| !stands(*n, &shown));
    missing.map(|(v, places)| decimal(v, places)).collect()
}

/// A cord as long as it comes, at places where half millimetres and tenths differ.
#[test]
fn a_cord_that_grows_is_told_as_it_is_worked_out() {
    for y in [199, 200, 203, 207] {
        let text = format!(
            "use parts\nfigure owl {{ board plywood-9 400 mm by 900 mm
  motor lids servo-micro at (150, {y}) mm
  limb lid {{ pivot (200, 780) mm  tip (240, 780) mm
    weighed 0.02 kg  balances 25 mm  friction 0.002 N.m
    drive cord {{ motor lids  horn ?  lever 15 mm at ?  guides (190, 760) mm  return spring 0.010 N.m }}
    rest 10 deg  gesture blink {{ sweep 10 deg to 60 deg within 4 deg  cycle 1 s }} }} }}\n"
        );
        let compiled = super::compile(&text);
        let found = compiled.findings.iter().find(|f| f.code.word == "cord-creep").unwrap();
        let told = numbers(&found.message);
        let missing = unworked(&Yard::new(), &text, "cord-creep", "owl.lid", told);
        assert!(missing.is_empty(), "{missing:?} of {}", found.message);
    }
}

#[test]
fn every_number_of_a_finding_stands_in_the_lines_that_work_it_out() {
    let yard = super::disk_files().into_iter().fold(Yard::new(), |y, (n, b)| y.file(n, b));
    let (mut wrong, mut looked) = (Vec::new(), 0);
    for code in codes().into_iter().filter(|c| of_limbs(c)) {
        if TOLD_AS_THEY_ARE.iter().any(|(word, _)| *word == code.word) {
            continue;
        }
        let text = super::whole(code.bad);
        let compiled = super::compile(&text);
        let Some(finding) = compiled.findings.iter().find(|f| f.code == code) else { continue };
        let told = numbers(&finding.message);
        let Some(limb) = limb_of(&compiled, finding).filter(|_| !told.is_empty()) else {
            continue;
        };
        looked += 1;
        let missing = unworked(&yard, &text, code.word, &limb, told);
        if !missing.is_empty() {
            wrong.push(format!("{}: {missing:?} of `{}`", code.word, finding.message));
        }
    }
    assert!(looked > 100, "only {looked} codes were looked at");
    assert!(wrong.is_empty(), "{} codes:\n{}", wrong.len(), wrong.join("\n"));
}

/// The numbers of a line of a sum, whatever stands between them.
fn apart(line: &str) -> Vec<(f64, usize)> {
    let spaced: String =
        line.chars().map(|c| if c.is_ascii_alphanumeric() || c == '.' { c } else { ' ' }).collect();
    numbers(&spaced)
}

#[test]
fn exceptions_are_codes_and_have_reasons() {
    for (word, why) in TOLD_AS_THEY_ARE {
        assert!(!why.is_empty() && codes().iter().any(|c| c.word == *word), "{word}");
    }
}

#[test]
fn numbers_are_read_as_they_are_told() {
    let read = numbers("bar 3 beat 1: the M8 of `x 4` is 12.50 mm, 1/3 of (-7) deg.");
    assert_eq!(read, [(12.5, 2), (7.0, 0)]);
    assert!(stands((12.5, 1), &[(12.46, 2)]) && !stands((12.5, 1), &[(12.6, 2)]));
}
