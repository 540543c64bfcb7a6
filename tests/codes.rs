//! Every code: its bad example raises it, its good example does not, and nothing
//! about it is left empty.

use std::path::Path;

use yardwright::check::{Compiled, Compiler, codes};
use yardwright::source::MemoryDisk;

fn compile(text: &str) -> Compiled {
    let disk = MemoryDisk::new().with("/yard/example.yard", text);
    Compiler::new(disk).compile(Path::new("/yard/example.yard")).expect("the example is a text")
}

fn raised(text: &str) -> Vec<&'static str> {
    compile(text).findings.iter().map(|f| f.code.word).collect()
}

#[test]
fn words_are_kebab_case_and_stand_once() {
    let all = codes();
    for pair in all.windows(2) {
        assert_ne!(pair[0].word, pair[1].word, "stands twice");
    }
    for code in all {
        let kebab = code.word.split('-').all(|w| !w.is_empty() && w.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit()));
        assert!(kebab, "{} is not kebab-case", code.word);
    }
}

#[test]
fn nothing_is_left_empty() {
    for code in codes() {
        for (what, text) in [("title", code.title), ("explanation", code.explanation), ("source", code.source)] {
            assert!(!text.trim().is_empty(), "{} has no {what}", code.word);
        }
        for word in ["safe", "will hold"] {
            assert!(!code.explanation.contains(word), "{} says `{word}`", code.word);
        }
    }
}

#[test]
fn bad_examples_raise_their_code() {
    let missed: Vec<String> = codes()
        .into_iter()
        .filter(|c| !c.bad.is_empty())
        .filter_map(|c| {
            let raised = raised(c.bad);
            (!raised.contains(&c.word)).then(|| format!("{} (raised {raised:?})", c.word))
        })
        .collect();
    assert!(missed.is_empty(), "not raised by their bad example:\n{}", missed.join("\n"));
}

#[test]
fn good_examples_do_not() {
    let wrong: Vec<String> = codes()
        .into_iter()
        .filter(|c| !c.good.is_empty())
        .filter_map(|c| {
            let findings = compile(c.good).findings;
            let errors: Vec<String> = findings
                .iter()
                .filter(|f| f.code.word == c.word || f.severity == yardwright::finding::Severity::Error)
                .map(|f| format!("{}: {}", f.code.word, f.message))
                .collect();
            (!errors.is_empty()).then(|| format!("{}: {errors:?}", c.word))
        })
        .collect();
    assert!(wrong.is_empty(), "raised by their good example, or another error in it:\n{}", wrong.join("\n"));
}
