//! `explain`: what a code means, where its rule comes from, and what mends it.

use serde_json::{Value, json};

use super::args::Format;
use super::json::{SCHEMA, text};
use super::outcome::{Exit, Outcome};
use super::render::Look;
use crate::finding::{Code, Step, closest};

/// The codes of one stage.
#[derive(Clone, Debug)]
pub struct Stage {
    /// What the stage does, as a heading: "Reading the file".
    pub title: &'static str,
    /// Its codes.
    pub codes: Vec<&'static Code>,
}

/// The numbers of one limb, put into the rules that hold for its mechanism.
#[derive(Clone, Debug, PartialEq)]
pub struct Worked {
    /// The limb, as `figure.limb`.
    pub limb: String,
    /// What it is driven by: "four-bar".
    pub mechanism: String,
    /// What the rule found, in its own words.
    pub told: Vec<String>,
    /// Steps of the sum: what it gives, and the line with the numbers in it.
    pub steps: Vec<Step>,
    /// Why there is nothing (more) to show, where that is so.
    pub missing: Option<String>,
}

/// The list of all codes by stage.
#[must_use]
pub fn list(stages: &[Stage], format: Format) -> Outcome {
    if format == Format::Json {
        let stages: Vec<Value> = stages
            .iter()
            .map(|s| json!({ "title": s.title, "codes": s.codes.iter().map(|c| row(c)).collect::<Vec<_>>() }))
            .collect();
        return Outcome::fine(text(&json!({ "schema": SCHEMA, "stages": stages })));
    }
    let widest = stages.iter().flat_map(|s| &s.codes).map(|c| c.word.len()).max().unwrap_or(0);
    let mut out = String::new();
    for stage in stages {
        out.push_str(&format!("{}\n", stage.title));
        for code in &stage.codes {
            out.push_str(&format!(
                "  {:widest$}  {:7}  {}\n",
                code.word,
                code.severity.word(),
                code.title
            ));
        }
        out.push('\n');
    }
    Outcome::fine(out).talk("More about one of them: yardwright explain CODE\n")
}

/// One code, with the numbers of a limb where one is given.
#[must_use]
pub fn one(
    stages: &[Stage],
    wanted: &str,
    worked: Option<&Worked>,
    format: Format,
    look: Look,
) -> Outcome {
    let known = || stages.iter().flat_map(|s| s.codes.iter().copied());
    let Some(code) = known().find(|c| c.word == wanted) else {
        return unknown(wanted, closest(wanted, known().map(|c| c.word)), format);
    };
    if format == Format::Json {
        let mut whole = json!({ "schema": SCHEMA });
        merge(&mut whole, row(code));
        let parts = [
            ("explanation", code.explanation),
            ("formula", code.formula),
            ("source", code.source),
            ("bad", code.bad),
            ("good", code.good),
        ];
        for (name, value) in parts.into_iter().filter(|(_, v)| !v.is_empty()) {
            whole[name] = json!(value);
        }
        if let Some(worked) = worked {
            whole["for"] = worked_json(worked);
        }
        return Outcome::fine(text(&whole));
    }
    let mut out = page(code, look);
    if let Some(worked) = worked {
        out.push('\n');
        out.push_str(&worked_text(worked));
    }
    Outcome::fine(out)
}

/// Only the numbers of a limb.
#[must_use]
pub fn limb(worked: &Worked, format: Format) -> Outcome {
    Outcome::fine(match format {
        Format::Text => worked_text(worked),
        Format::Json => text(&json!({ "schema": SCHEMA, "for": worked_json(worked) })),
    })
}

fn unknown(wanted: &str, near: Option<&str>, format: Format) -> Outcome {
    let mean = near.map(|n| format!(" Did you mean `{n}`?")).unwrap_or_default();
    let message =
        format!("There is no code `{wanted}`.{mean} `yardwright explain` lists all of them.");
    let data = match format {
        Format::Text => String::new(),
        Format::Json => super::json::refusal(None, &super::codes::USAGE, &message),
    };
    Outcome::fine(data).talk(format!("{message}\n")).exit(Exit::CouldNotRun)
}

fn row(code: &Code) -> Value {
    json!({ "code": code.word, "severity": code.severity, "title": code.title })
}

fn merge(whole: &mut Value, part: Value) {
    if let (Value::Object(whole), Value::Object(part)) = (whole, part) {
        whole.extend(part);
    }
}

/// The page of one code.
fn page(code: &Code, look: Look) -> String {
    let mut out = format!("{} ({})\n{}\n\n", code.word, code.severity.word(), code.title);
    out.push_str(&paragraph(code.explanation, look.width));
    for (title, body) in [("Rule", code.formula), ("Source", code.source)] {
        if !body.is_empty() {
            let filled = paragraph(body, look.width.min(88).saturating_sub(2));
            out.push_str(&format!("\n{title}\n{}", indented(&filled)));
        }
    }
    if code.severity == crate::finding::Severity::Advice {
        let said = format!(
            "`seen-to {}` on the limb, or on its figure: the hint is listed as seen to.",
            code.word
        );
        let filled = paragraph(&said, look.width.min(88).saturating_sub(2));
        out.push_str(&format!("\nWhere you have dealt with it, write\n{}", indented(&filled)));
    }
    for (title, body) in [("This raises it", code.bad), ("This does not", code.good)] {
        if !body.is_empty() {
            out.push_str(&format!("\n{title}\n{}", indented(body)));
        }
    }
    out
}

fn indented(body: &str) -> String {
    body.trim_matches('\n').lines().map(|l| format!("  {l}").trim_end().to_owned() + "\n").collect()
}

/// Words filled into lines of at most `width` columns, at most 88 for easy reading.
fn paragraph(body: &str, width: usize) -> String {
    let width = width.min(88);
    let mut out = String::new();
    for block in body.split("\n\n") {
        let mut column = 0;
        for word in block.split_whitespace() {
            let long = word.chars().count();
            if column > 0 && column + 1 + long > width {
                out.push('\n');
                column = 0;
            }
            if column > 0 {
                out.push(' ');
                column += 1;
            }
            out.push_str(word);
            column += long;
        }
        out.push('\n');
    }
    out
}

fn worked_text(worked: &Worked) -> String {
    let mut out = format!("{}: {}\n", worked.limb, worked.mechanism);
    for told in &worked.told {
        out.push_str(&format!("  {told}\n"));
    }
    let widest = worked.steps.iter().map(|s| s.what.chars().count()).max().unwrap_or(0);
    for step in &worked.steps {
        let line = format!("  {:widest$}  {}", step.what, step.result);
        out.push_str(line.trim_end());
        if !step.sum.is_empty() {
            out.push_str(&format!("  = {}", step.sum));
        }
        out.push('\n');
    }
    if let Some(missing) = &worked.missing {
        out.push_str(&format!("  {missing}\n"));
    }
    out
}

fn worked_json(worked: &Worked) -> Value {
    let mut whole = json!({
        "limb": worked.limb,
        "mechanism": worked.mechanism,
        "steps": worked.steps.iter()
            .map(|s| json!({ "what": s.what, "sum": s.sum, "result": s.result }))
            .collect::<Vec<_>>(),
    });
    if !worked.told.is_empty() {
        whole["told"] = json!(worked.told);
    }
    if let Some(missing) = &worked.missing {
        whole["missing"] = json!(missing);
    }
    whole
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stages() -> Vec<Stage> {
        vec![Stage { title: "Running the commands", codes: super::super::codes::ALL.to_vec() }]
    }

    #[test]
    fn an_unknown_code_names_the_nearest() {
        let got = one(&stages(), "file-unredable", None, Format::Text, Look::PLAIN);
        assert_eq!(got.exit, Exit::CouldNotRun);
        assert!(got.talk.contains("Did you mean `file-unreadable`?"), "{}", got.talk);
        let got = one(&stages(), "windmill", None, Format::Json, Look::PLAIN);
        let whole: Value = serde_json::from_str(&got.data).unwrap();
        assert_eq!(whole["ok"], false);
    }

    #[test]
    fn a_page_leaves_out_what_a_code_does_not_have() {
        let got = one(&stages(), "usage", None, Format::Text, Look { width: 40, colour: false });
        assert!(got.data.starts_with("usage (error)\nthe command was not understood\n\n"));
        assert!(!got.data.contains("Rule"));
        assert!(got.data.lines().all(|l| l.chars().count() <= 40), "{}", got.data);
    }

    #[test]
    fn the_list_stands_by_stage() {
        let got = list(&stages(), Format::Text);
        assert!(got.data.starts_with("Running the commands\n  cannot-write     error    the"));
    }

    #[test]
    fn a_worked_sum_shows_numbers_and_what_is_missing() {
        let worked = Worked {
            limb: "bear.arm".into(),
            mechanism: "four-bar".into(),
            told: Vec::new(),
            steps: vec![Step::new("rod minus crank", "180 - 40 mm", "140 mm")],
            missing: Some("The loads are not computed by this version.".into()),
        };
        let got = limb(&worked, Format::Text);
        assert_eq!(
            got.data,
            "bear.arm: four-bar\n  rod minus crank  140 mm  = 180 - 40 mm\n  \
             The loads are not computed by this version.\n"
        );
    }
}
