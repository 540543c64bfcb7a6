//! Enough of JSON Schema (draft 2020-12) to hold the outputs to their schemas;
//! a keyword it does not know fails the test rather than passing unseen.

use serde_json::Value;

/// Every way in which `value` breaks the schema file.
pub fn faults(schema: &str, value: &Value) -> Vec<String> {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("grammar").join(schema);
    let root: Value = serde_json::from_slice(&std::fs::read(path).unwrap()).unwrap();
    let mut found = Vec::new();
    check(&root, &root, value, "", &mut found);
    found
}

fn check(root: &Value, schema: &Value, value: &Value, at: &str, found: &mut Vec<String>) {
    for (word, rule) in schema.as_object().unwrap() {
        let holds = match word.as_str() {
            "$schema" | "$defs" | "title" | "description" => true,
            "$ref" => {
                let name = rule.as_str().unwrap().rsplit('/').next().unwrap();
                check(root, &root["$defs"][name], value, at, found);
                true
            }
            "type" => match rule.as_str().unwrap() {
                "object" => value.is_object(),
                "array" => value.is_array(),
                "string" => value.is_string(),
                "boolean" => value.is_boolean(),
                "integer" => value.is_u64() || value.is_i64(),
                "number" => value.is_number(),
                other => panic!("unknown type {other}"),
            },
            "const" => value == rule,
            "enum" => rule.as_array().unwrap().contains(value),
            "minimum" => number(value) >= number(rule),
            "maximum" => number(value) <= number(rule),
            "exclusiveMinimum" => number(value) > number(rule),
            "exclusiveMaximum" => number(value) < number(rule),
            "pattern" => {
                // The one pattern in use: kebab-case.
                assert_eq!(rule, "^[a-z0-9]+(-[a-z0-9]+)*$");
                value.as_str().unwrap().split('-').all(|w| {
                    !w.is_empty() && w.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit())
                })
            }
            "format" => {
                let text = value.as_str().unwrap();
                match rule.as_str().unwrap() {
                    "date" => text.parse::<jiff::civil::Date>().is_ok() && text.len() == 10,
                    "date-time" => text.contains('T') && text.parse::<jiff::Timestamp>().is_ok(),
                    other => panic!("the checker does not know the format `{other}`"),
                }
            }
            "items" => {
                for (i, item) in value.as_array().unwrap().iter().enumerate() {
                    check(root, rule, item, &format!("{at}/{i}"), found);
                }
                true
            }
            "required" => {
                rule.as_array().unwrap().iter().all(|k| value.get(k.as_str().unwrap()).is_some())
            }
            "properties" => {
                for (key, inner) in value.as_object().unwrap() {
                    if let Some(inner_rule) = rule.get(key) {
                        check(root, inner_rule, inner, &format!("{at}/{key}"), found);
                    }
                }
                true
            }
            "additionalProperties" => {
                let others = value.as_object().unwrap().iter();
                let mut others = others.filter(|(k, _)| schema["properties"].get(k).is_none());
                if rule.is_object() {
                    for (key, inner) in others {
                        check(root, rule, inner, &format!("{at}/{key}"), found);
                    }
                    true
                } else {
                    assert_eq!(rule, &Value::Bool(false));
                    others.next().is_none()
                }
            }
            other => panic!("the checker does not know `{other}`"),
        };
        if !holds {
            found.push(format!("{at}: {word} {rule} does not hold for {value}"));
        }
    }
}

/// A value that is no number breaks every bound, since NaN compares as false.
fn number(value: &Value) -> f64 {
    value.as_f64().unwrap_or(f64::NAN)
}

/// What the commands that answer questions give to programs holds to its schema.
#[test]
fn answers_hold_to_their_schemas() {
    let text = |kind: &str| {
        let examples = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples");
        std::fs::read(examples.join(format!("{kind}.yard"))).unwrap()
    };
    let yard = crate::support::Yard::new()
        .file("front.yard", text("four-bar-front"))
        .file("rod.yard", text("servo-rod"))
        .file("wrong.yard", text("four-bar-front-mistake"));
    for (schema, words) in [
        ("solve", "solve front.yard"),
        ("solve", "solve rod.yard"),
        ("solve", "solve wrong.yard"),
        ("holes", "holes front.yard baker.arm"),
        ("explain", "explain"),
        ("explain", "explain weak-push"),
        ("explain", "explain weak-push --for baker.arm front.yard"),
        ("explain", "explain nothing-fits --for baker.arm wrong.yard"),
        ("explain", "explain --for baker.arm front.yard"),
    ] {
        let json = yard.run(&format!("{words} --format json")).json();
        assert_eq!(json["schema"], 1, "{words}");
        let found = faults(&format!("{schema}.schema.json"), &json);
        assert!(found.is_empty(), "{words}: {found:#?}");
    }
}

#[test]
fn the_checker_sees_what_is_wrong() {
    let bad = serde_json::json!({
        "schema": 2, "file": "a", "ok": true, "diagnostics": [{ "code": "Bad Code", "severity": "fatal",
        "message": "", "line": 0 }], "figures": [{ "name": "a", "limbs": [{ "name": "b", "assumed": [],
        "not_checked": [], "mechanism": { "low_deg": null, "other": 1 } }] }], "shows": []
    });
    let found = faults("report.schema.json", &bad);
    for part in [
        "/diagnostics/0/code",
        "const",
        "pattern",
        "enum",
        "minimum",
        "additionalProperties",
        "required",
        "low_deg",
    ] {
        assert!(found.iter().any(|f| f.contains(part)), "{part}: {found:#?}");
    }
}
