//! One small yard per fault: the file is the input, the rendered findings stand in
//! its trailing comment of `#|` lines.
//!
//! `UPDATE=1 cargo test --test suite faults` rewrites the comments; the change is
//! then reviewed like code. Songs and used files lie in `used/` beside a fixture.

use std::path::{Path, PathBuf};

use yardwright::cli::{Common, Look, Pipeline, findings};
use yardwright::finding::{Finding, Severity};

use crate::support::Yard;

/// What expectations are rendered with, whatever terminal runs the tests.
const LOOK: Look = Look { width: 80, colour: false };

/// A fixture taken apart.
#[derive(Debug, PartialEq)]
struct Fixture<'a> {
    /// What is compiled.
    body: &'a str,
    /// What is expected.
    expected: String,
}

/// Cuts the trailing `#|` lines off.
fn apart(text: &str) -> Fixture<'_> {
    let mut cut = text.len();
    for line in text.split_inclusive('\n').rev() {
        if !line.starts_with("#|") {
            break;
        }
        cut -= line.len();
    }
    let expected = text[cut..].lines().map(|l| {
        let l = &l[2..];
        format!("{}\n", l.strip_prefix(' ').unwrap_or(l))
    });
    Fixture { body: &text[..cut], expected: expected.collect() }
}

/// The body with its rendering as trailing comment.
fn together(body: &str, rendered: &str) -> String {
    let comment = rendered.lines().map(|l| format!("#| {l}").trim_end().to_owned() + "\n");
    format!("{body}{}", comment.collect::<String>())
}

#[test]
fn every_error_and_warning_says_what_to_do() {
    let mut helpless = Vec::new();
    for path in fixtures() {
        let text = std::fs::read_to_string(&path).unwrap();
        let (_, findings) = found(&path, apart(&text).body);
        let silent = findings.iter().filter(|f| f.severity != Severity::Advice && f.help.is_none());
        helpless.extend(silent.map(|f| format!("{}: {}", f.code.word, f.message)));
    }
    assert!(helpless.is_empty(), "without a help:\n{}", helpless.join("\n"));
}

/// What the compiler says of a body, under the fixture's own file name.
fn rendered(fixture: &Path, body: &str) -> (String, Vec<&'static str>) {
    let (text, findings) = found(fixture, body);
    (text, findings.iter().map(|f| f.code.word).collect())
}

fn found(fixture: &Path, body: &str) -> (String, Vec<Finding>) {
    let name = fixture.file_name().unwrap().to_str().unwrap();
    let yard = Yard::new().file(name, body);
    let beside = fixture.with_file_name("used");
    for used in walk(&beside, &|_| true) {
        let inside = used.strip_prefix(beside.parent().unwrap()).unwrap();
        yard.write(inside.to_str().unwrap(), std::fs::read(&used).unwrap());
    }
    said(&yard, name)
}

fn said(yard: &Yard, name: &str) -> (String, Vec<Finding>) {
    let mut pipeline = Pipeline::default();
    match pipeline.compile(&yard.path(name), &Common::default()) {
        Ok(compiled) => {
            let text = findings(&compiled.findings, pipeline.places(), LOOK);
            (text.trim_end().to_owned() + "\n", compiled.findings)
        }
        Err(message) => (message.replace(yard.path("").to_str().unwrap(), "") + "\n", Vec::new()),
    }
}

/// Files below a folder, sorted; `used` folders are not entered.
fn walk(folder: &Path, wanted: &dyn Fn(&Path) -> bool) -> Vec<PathBuf> {
    let mut files = Vec::new();
    let Ok(entries) = std::fs::read_dir(folder) else { return files };
    for entry in entries {
        let path = entry.unwrap().path();
        match path.is_dir() {
            true if path.ends_with("used") => {}
            true => files.extend(walk(&path, wanted)),
            false if wanted(&path) => files.push(path),
            false => {}
        }
    }
    files.sort();
    files
}

fn fixtures() -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/faults");
    walk(&folder, &|p| p.extension().is_some_and(|e| e == "yard"))
}

/// Every fixture of one file, by name, as it is compiled.
pub(crate) fn bodies() -> Vec<(String, String)> {
    let alone = |path: PathBuf| {
        let text = std::fs::read_to_string(&path).unwrap();
        let body = apart(&text).body.to_owned();
        let name = path.file_name().unwrap().to_str().unwrap().to_owned();
        (!body.contains("used/")).then_some((name, body))
    };
    fixtures().into_iter().filter_map(alone).collect()
}

#[test]
fn every_fixture_is_told_as_its_comment_says() {
    let update = std::env::var_os("UPDATE").is_some_and(|v| v == "1");
    let mut wrong = Vec::new();
    for path in fixtures() {
        let text = std::fs::read_to_string(&path).unwrap();
        let fixture = apart(&text);
        let (now, _) = rendered(&path, fixture.body);
        let fresh = together(fixture.body, &now);
        if update && fresh != text {
            // Whole or not at all: the other tests read it meanwhile.
            let beside = path.with_extension("new");
            std::fs::write(&beside, fresh).unwrap();
            std::fs::rename(&beside, &path).unwrap();
        } else if fresh != text {
            wrong.push(format!(
                "{}\n--- expected\n{}--- said\n{now}",
                path.display(),
                fixture.expected
            ));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_fixture_is_named_after_the_code_it_raises() {
    for path in fixtures() {
        let text = std::fs::read_to_string(&path).unwrap();
        let (now, codes) = rendered(&path, apart(&text).body);
        let name = path.file_stem().unwrap().to_str().unwrap();
        // `name-unknown.2.yard` is a second one for the same code.
        let code = name.split('.').next().unwrap();
        assert!(codes.contains(&code), "{} does not raise {code}:\n{now}", path.display());
    }
}

#[test]
fn a_fixture_comes_apart_and_together() {
    let text = "figure a {\n# mine\n}\n#| brace-missing\n#|\n#|   x here\n";
    let fixture = apart(text);
    assert_eq!(fixture.body, "figure a {\n# mine\n}\n");
    assert_eq!(fixture.expected, "brace-missing\n\n  x here\n");
    assert_eq!(together(fixture.body, &fixture.expected), text);
    assert_eq!(apart("no comment\n").expected, "");
}
