//! Impossible geometry, kind by kind: nothing, less than nothing, equal, in one line, on
//! the pivot, out of reach, out of all reason. Nothing panics, every number told is one,
//! and each has a finding of its own that says why and what would fit.
//!
//! A file of `tests/impossible` is a yard that is right, then its cases: `#> what | OLD =>
//! NEW` puts a text in place of another, and the `#|` lines below it are what is said
//! then: severity, code, the text pointed at, message, help. `UPDATE=1 cargo test --test
//! suite impossible` rewrites them; they are reviewed like code. A case that begins with
//! `(fine)` is right after all, one with `(not computed)` is a note.

use std::path::Path;

use yardwright::check::{Compiled, Compiler};
use yardwright::emit::report::Report;
use yardwright::emit::text::{TextOptions, report};
use yardwright::finding::{Finding, Severity};
use yardwright::source::MemoryDisk;

/// A case: what it is, the texts exchanged, and what is said then.
struct Case {
    what: String,
    swaps: Vec<(String, String)>,
    said: String,
}

impl Case {
    /// Whether nothing need be found.
    fn fine(&self) -> bool {
        self.what.starts_with("(fine)") || self.what.starts_with("(not computed)")
    }

    /// The yard with the texts exchanged.
    fn text(&self, yard: &str) -> String {
        self.swaps.iter().fold(yard.to_owned(), |text, (old, new)| {
            assert!(text.contains(old.as_str()), "{}: no `{old}`", self.what);
            text.replace(old, new)
        })
    }

    /// The case as it stands in its file, with what is said now.
    fn written(&self, said: &str) -> String {
        let swaps = self.swaps.iter().map(|(old, new)| format!(" | {old} => {new}"));
        format!("#> {}{}\n{said}", self.what, swaps.collect::<String>())
    }
}

/// A file taken apart.
fn apart(text: &str) -> (String, Vec<Case>) {
    let (yard, rest) = text.split_at(text.find("#>").expect("a file has cases"));
    let mut cases: Vec<Case> = Vec::new();
    for line in rest.lines() {
        if let Some(head) = line.strip_prefix("#>") {
            let mut parts = head.split(" | ").map(str::trim);
            let what = parts.next().unwrap_or_default().to_owned();
            let swap = |part: &str| {
                let (old, new) = part.split_once("=>").expect("OLD => NEW");
                (old.trim().to_owned(), new.trim().to_owned())
            };
            cases.push(Case { what, swaps: parts.map(swap).collect(), said: String::new() });
        } else {
            cases.last_mut().unwrap().said.push_str(&format!("{line}\n"));
        }
    }
    (yard.to_owned(), cases)
}

/// Compiles a text, and holds every number told of it to be one.
fn compiled(text: &str, what: &str) -> (Compiler, Compiled) {
    let disk = MemoryDisk::new().with("/y/a.yard", text.to_owned());
    let mut compiler = Compiler::new(disk);
    let compiled = compiler.compile(Path::new("/y/a.yard")).unwrap();
    let told = report(&compiled, &TextOptions::default());
    let wrong = |told: &str| {
        let words = told.split(|c: char| !c.is_alphanumeric());
        words.into_iter().any(|w| matches!(w, "NaN" | "inf" | "Infinity"))
    };
    assert!(!wrong(&told), "{what}\n{told}");
    let json = serde_json::to_string(&Report::new(&compiled, compiler.sources())).unwrap();
    assert!(!json.contains("null"), "{what}\n{json}");
    for finding in &compiled.findings {
        let told = format!("{} {}", finding.message, finding.help.as_deref().unwrap_or_default());
        assert!(!wrong(&told), "{what}\n{told}");
    }
    (compiler, compiled)
}

/// A finding on a line.
fn line(finding: &Finding, compiler: &Compiler) -> String {
    let at = finding.place.and_then(|p| compiler.sources().stretch(p));
    let at = at.map_or("", |(file, lo, hi)| &compiler.sources().file(file).text[lo..hi]);
    let at = at.lines().next().unwrap_or_default();
    let help = finding.help.as_ref().map(|h| format!(" -> {h}")).unwrap_or_default();
    let severity = format!("{:?}", finding.severity).to_lowercase();
    let code = finding.code.word;
    format!("#|   {severity} {code} `{at}`: {}{help}\n", finding.message)
}

#[test]
fn every_impossible_geometry_has_its_own_explained_finding() {
    let update = std::env::var_os("UPDATE").is_some_and(|v| v == "1");
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/impossible");
    let mut files: Vec<_> = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    files.sort();
    let (mut faults, mut count) = (Vec::new(), 0);
    for path in files {
        let text = std::fs::read_to_string(&path).unwrap();
        let (yard, cases) = apart(&text);
        let name = path.file_stem().unwrap().to_str().unwrap();
        let (_, right) = compiled(&yard, name);
        let wrong: Vec<_> =
            right.findings.iter().filter(|f| f.severity == Severity::Error).collect();
        assert!(wrong.is_empty(), "{name} is wrong from the start: {wrong:?}");
        let mut fresh = yard.clone();
        for case in &cases {
            let what = format!("{name}: {}", case.what);
            let (compiler, result) = compiled(&case.text(&yard), &what);
            let said: String = result.findings.iter().map(|f| line(f, &compiler)).collect();
            fresh.push_str(&case.written(&said));
            count += 1;
            let more = result.findings.iter().filter(|f| {
                // What the yard says as it is does not count.
                !right.findings.iter().any(|r| r.code.word == f.code.word && r.message == f.message)
            });
            let more: Vec<_> = more.collect();
            if more.is_empty() && !case.fine() {
                faults.push(format!("{what}: nothing is found"));
            }
            let explained = |f: &&&Finding| {
                let number = |text: &str| text.contains(|c: char| c.is_ascii_digit());
                f.help.is_some() || number(&f.message) || f.code.word == "size-not-positive"
            };
            if let Some(bare) = more.iter().find(|f| !explained(f)) {
                faults.push(format!("{what}: neither a number nor a way out: {}", bare.message));
            }
            if !update && said != case.said {
                faults.push(format!("{what}\n--- expected\n{}--- said\n{said}", case.said));
            }
        }
        if update {
            std::fs::write(&path, fresh).unwrap();
        }
    }
    assert!(count > 900, "{count} cases");
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}
