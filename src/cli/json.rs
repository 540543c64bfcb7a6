//! The JSON that is the commands' own: refusals and single findings.

use serde_json::{Value, json};

use super::places::Places;
use crate::finding::{Code, Edit, Finding};

/// The version of every JSON this program prints.
pub const SCHEMA: u32 = 1;

/// A value as text, with a line end.
#[must_use]
pub fn text(value: &Value) -> String {
    format!("{value:#}\n")
}

/// What stands in for the report where there is none: the same shape, with the
/// one thing that went wrong.
#[must_use]
pub fn refusal(file: Option<&str>, code: &Code, message: &str) -> String {
    let mut whole = json!({ "schema": SCHEMA });
    if let Some(file) = file {
        whole["file"] = json!(file);
    }
    whole["ok"] = json!(false);
    whole["diagnostics"] = json!([
        { "code": code.word, "severity": code.severity, "message": message }
    ]);
    for list in ["figures", "shows", "supplies"] {
        whole[list] = json!([]);
    }
    text(&whole)
}

/// One finding as the contract wants it.
#[must_use]
pub fn diagnostic(finding: &Finding, places: &dyn Places) -> Value {
    let mut one = json!({
        "code": finding.code.word, "severity": finding.severity, "message": finding.message,
    });
    let mut put = |name: &str, value: Option<Value>| {
        if let Some(value) = value {
            one[name] = value;
        }
    };
    put("help", finding.help.as_ref().map(|h| json!(h)));
    if let Some(spot) = finding.place.and_then(|p| places.spot(p)) {
        let at = spot.location;
        put("file", Some(json!(at.file)));
        put("line", Some(json!(at.line)));
        put("column", Some(json!(at.column)));
        put("end_line", Some(json!(at.end_line)));
        put("end_column", Some(json!(at.end_column)));
    }
    put("figure", finding.figure.as_ref().map(|f| json!(f)));
    put("limb", finding.limb.as_ref().map(|l| json!(l)));
    let related = finding.related.iter().filter_map(|(message, place)| {
        let at = places.spot(*place)?.location;
        Some(json!({ "message": message, "file": at.file, "line": at.line, "column": at.column }))
    });
    put("related", some(related));
    let fixes = finding.fixes.iter().map(|fix| {
        let edits: Vec<Value> = fix.edits.iter().filter_map(|e| edit(e, places)).collect();
        json!({ "title": fix.title, "edits": edits })
    });
    put("fixes", some(fixes));
    put("also", some(finding.also.iter().map(|a| json!(a))));
    one
}

/// One edit with its place.
#[must_use]
pub fn edit(edit: &Edit, places: &dyn Places) -> Option<Value> {
    let at = places.spot(edit.place)?.location;
    Some(json!({
        "file": at.file, "line": at.line, "column": at.column,
        "end_line": at.end_line, "end_column": at.end_column, "text": edit.text,
    }))
}

/// A list where it has something in it.
fn some(items: impl Iterator<Item = Value>) -> Option<Value> {
    let list: Vec<Value> = items.collect();
    (!list.is_empty()).then_some(Value::Array(list))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::cli::codes::USAGE;
    use crate::cli::places::OneText;
    use crate::finding::{ItemId, Place};

    #[test]
    fn places_count_from_one_and_absent_things_are_absent() {
        let place = Place { item: ItemId(0), lo: 4, hi: 8 };
        let finding = Finding::new(&USAGE, place, "No.").fix("Say limb", place, "limb");
        let got = diagnostic(&finding, &OneText::new("a.yard", "é\n lmib"));
        assert_eq!(
            got,
            json!({
                "code": "usage", "severity": "error", "message": "No.", "help": "Say limb.",
                "file": "a.yard", "line": 2, "column": 2, "end_line": 2, "end_column": 6,
                "fixes": [{ "title": "Say limb", "edits": [{
                    "file": "a.yard", "line": 2, "column": 2, "end_line": 2, "end_column": 6,
                    "text": "limb" }] }],
            })
        );
    }

    #[test]
    fn a_refusal_has_the_shape_of_a_report() {
        let got: Value = serde_json::from_str(&refusal(Some("x.yard"), &USAGE, "No.")).unwrap();
        assert_eq!(got["schema"], 1);
        assert_eq!(got["ok"], false);
        assert_eq!(got["diagnostics"][0]["code"], "usage");
        assert_eq!(got["figures"], json!([]));
    }
}
