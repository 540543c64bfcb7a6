//! The reference page: its lists are the program's own tables, its examples
//! compile. `UPDATE=1` rewrites the lists.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use yardwright::check::{Compiler, codes};
use yardwright::finding::Severity;
use yardwright::source::MemoryDisk;
use yardwright::syntax::page::words_page;
use yardwright::units::UNITS;

fn page() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("grammar/reference.md")
}

fn units() -> String {
    let mut out =
        String::from("## Every unit\n\n| write | also taken | measures |\n| --- | --- | --- |\n");
    for unit in UNITS {
        let also: Vec<String> = unit.also.iter().map(|a| format!("`{a}`")).collect();
        let title = unit.dimension.title();
        writeln!(out, "| `{}` | {} | {title} |", unit.symbol, also.join(" ")).unwrap();
    }
    out
}

fn words() -> String {
    format!("## Every word\n\n{}", words_page(&yardwright::resolve::ROOT))
}

fn code_list() -> String {
    let mut out = String::from(
        "## Every code\n\n`yardwright explain CODE` tells the rule, its source and an example.\n\n| code | usually | what is wrong |\n| --- | --- | --- |\n",
    );
    for code in codes() {
        let severity = format!("{:?}", code.severity).to_lowercase();
        writeln!(out, "| `{}` | {severity} | {} |", code.word, code.title).unwrap();
    }
    out
}

#[test]
fn lists_are_the_programs_own_tables() {
    let old = std::fs::read_to_string(page()).unwrap();
    let mut new = old.clone();
    for (name, list) in [("units", units()), ("words", words()), ("codes", code_list())] {
        let head = format!("<!-- generated: {name} -->\n");
        let at = new.find(&head).unwrap() + head.len();
        let end = at + new[at..].find("<!-- end -->").unwrap();
        new.replace_range(at..end, &format!("{}\n\n", list.trim_end()));
    }
    if std::env::var_os("UPDATE").is_some() {
        std::fs::write(page(), &new).unwrap();
    } else {
        assert!(old == new, "grammar/reference.md is out of date: UPDATE=1 cargo test reference");
    }
}

#[test]
fn examples_compile_without_errors() {
    let text = std::fs::read_to_string(page()).unwrap();
    let examples: Vec<&str> =
        text.split("```yard\n").skip(1).filter_map(|rest| rest.split("```").next()).collect();
    assert!(examples.len() >= 5);
    examples.into_iter().for_each(compiles);
}

fn compiles(example: &str) {
    let disk = MemoryDisk::new().with("/y/example.yard", example);
    let compiled = Compiler::new(disk).compile(Path::new("/y/example.yard")).unwrap();
    let errors: Vec<&str> = compiled
        .findings
        .iter()
        .filter(|f| f.severity == Severity::Error)
        .map(|f| f.message.as_str())
        .collect();
    assert!(errors.is_empty(), "{errors:?} in\n{example}");
}

/// Drives that stand alone on the page are put into the smallest figure.
#[test]
fn drives_that_are_kept_compile_without_errors() {
    let text = std::fs::read_to_string(page()).unwrap();
    let joints = [
        ("turning", "pivot (300, 800) mm  tip (500, 1000) mm"),
        ("sliding", "slide from (300, 60) mm to (300, 460) mm"),
    ];
    for (fence, joint) in joints {
        let (_, rest) = text.split_once(&format!("```yard {fence}\n")).unwrap();
        let (drives, _) = rest.split_once("```").unwrap();
        assert!(drives.lines().count() >= 3);
        for drive in drives.lines() {
            compiles(&format!(
                "use parts\nfigure fox {{\n  board plywood-9 600 mm by 1200 mm\n  \
                 motor main wiper at (300, 400) mm\n  limb arm {{ {joint}\n    {drive}\n  }}\n}}\n"
            ));
        }
    }
}
