//! What was not checked names the words that would let it be, and those words work.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use yardwright::check::{Compiled, Compiler};
use yardwright::finding::{ItemId, Severity};
use yardwright::model::Note;
use yardwright::source::MemoryDisk;
use yardwright::syntax::{Block, Clause, Reading};

/// Every yard of the project in which nothing is wrong.
fn files() -> Vec<PathBuf> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let examples = std::fs::read_dir(root.join("examples")).unwrap().map(|e| e.unwrap().path());
    let right = |p: &PathBuf| {
        let name = p.to_str().unwrap();
        name.ends_with(".yard") && !name.ends_with("-mistake.yard")
    };
    let mut files: Vec<PathBuf> = examples.filter(right).collect();
    files.push(root.join("shows/first-wave.yard"));
    files.sort();
    files
}

fn compile(text: &str) -> Compiled {
    let drawing = include_bytes!("../examples/drawing.svg").to_vec();
    let disk = MemoryDisk::new().with("/yard/a.yard", text).with("/yard/drawing.svg", drawing);
    Compiler::new(disk).compile(Path::new("/yard/a.yard")).unwrap()
}

/// The limb a note is about.
#[derive(Clone)]
struct About {
    figure: String,
    limb: String,
    /// What its motor is.
    motor: Option<String>,
}

/// What a note is about, without its numbers.
fn subject(note: &str) -> &str {
    note.split(['(', ':', ',']).next().unwrap().trim()
}

fn notes(compiled: &Compiled) -> Vec<(About, Note)> {
    let mut all = Vec::new();
    for (f, l) in compiled.limbs() {
        let figure = &compiled.yard.figures[f].figure;
        let motor = figure.motor_of(l).map(|m| figure.actuators[m].motor.name.clone());
        let limb = figure.limbs[l].name.value.clone();
        let about = About { figure: figure.name.value.clone(), limb, motor };
        all.extend(compiled.not_checked(f, l).map(|n| (about.clone(), n.clone())));
    }
    all
}

/// The text with a clause in a block: in the place of one of the same word, or what it says
/// more behind that one.
fn written(text: &str, block: Block<'_>, clause: &str) -> Vec<String> {
    let (word, more) = clause.split_once(' ').unwrap_or((clause, ""));
    let open = block.place().lo as usize + 1;
    let there = block.clauses().find(|c| c.word() == word && word != "gesture").map(|c| {
        let place = c.place();
        (place.lo as usize, c.block().map_or(place.hi, |b| b.place().hi) as usize)
    });
    let (lo, hi) = there.unwrap_or((open, open));
    let mut all = vec![format!("{} {clause} {}", &text[..lo], &text[hi..])];
    all.extend(there.map(|_| format!("{} {more} {}", &text[..hi], &text[hi..])));
    all
}

fn named<'a>(block: Block<'a>, word: &str, name: &str) -> Option<Clause<'a>> {
    block.clauses().find(|c| c.word() == word && c.text("name").is_some_and(|n| n.value == name))
}

/// The text with the clause of a note wherever it could stand: in the drive, on the limb, in
/// the figure, in the yard, in the block of the limb's motor or in one that is like it, or as
/// it is at the end of the file.
fn answers(text: &str, about: &About, clause: &str) -> Vec<String> {
    let mut findings = Vec::new();
    let root = &yardwright::resolve::ROOT;
    let reading: Arc<Reading> =
        Arc::new(yardwright::syntax::read(ItemId(0), text.into(), root, &mut findings));
    let top = reading.top();
    let figure = named(top, "figure", &about.figure).and_then(|c| c.block());
    let limb = figure.and_then(|b| named(b, "limb", &about.limb)).and_then(|c| c.block());
    let drive = limb.and_then(|b| b.find("drive")).and_then(|c| c.block());
    let blocks = [drive, limb, figure].into_iter().flatten();
    let mut all: Vec<String> = blocks.flat_map(|b| written(text, b, clause)).collect();
    match top.find("yard").and_then(|c| c.block()) {
        Some(yard) => all.extend(written(text, yard, clause)),
        None => all.push(format!("{text}\nyard y {{ {clause} }}\n")),
    }
    if let Some(motor) = &about.motor {
        let said = clause.strip_prefix(&format!("motor {motor} {{"));
        let said = said.map_or(clause, |said| said.trim_end_matches('}').trim());
        match named(top, "motor", motor).and_then(|c| c.block()) {
            Some(own) => all.extend(written(text, own, said)),
            None => all.push(format!("{text}\nmotor {motor} like {motor} {{ {said} }}\n")),
        }
    }
    all.push(format!("{text}\n{clause}\n"));
    all
}

/// Codes of texts that cannot be read, or say what nothing has.
fn unreadable(compiled: &Compiled) -> bool {
    let reads = [yardwright::syntax::CODES, yardwright::resolve::CODES].concat();
    compiled.findings.iter().any(|f| f.severity == Severity::Error && reads.contains(&f.code))
}

/// Whether the clause of a note makes it go, or ask for one more word, which does.
fn settles(text: &str, about: &About, note: &Note, steps: usize) -> bool {
    answers(text, about, &note.settle).iter().any(|answer| {
        let compiled = compile(answer);
        let mut left = notes(&compiled).into_iter().map(|(a, n)| (a.limb, n));
        let same =
            left.find(|(limb, n)| *limb == about.limb && subject(&n.what) == subject(&note.what));
        !unreadable(&compiled)
            && same.is_none_or(|(_, next)| {
                steps > 1 && next.settle != note.settle && settles(answer, about, &next, steps - 1)
            })
    })
}

/// What a clause leaves to the maker: places, names and what has to be declared elsewhere.
const TO_FILL_IN: &[&str] = &["(x, y)", "NAME", "SUPPLY", "TANK", "…"];

#[test]
fn each_clause_that_would_settle_a_note_settles_it() {
    let mut tried = BTreeSet::new();
    let mut wrong = Vec::new();
    for path in files() {
        let text = std::fs::read_to_string(&path).unwrap();
        let name = path.file_name().unwrap().to_str().unwrap();
        for (about, note) in notes(&compile(&text)) {
            let fill = TO_FILL_IN.iter().any(|w| note.settle.contains(w));
            let key = (subject(&note.what).to_owned(), note.settle.clone());
            if note.settle.is_empty() || fill || !tried.insert(key) {
                continue;
            }
            if !settles(&text, &about, &note, 2) {
                wrong.push(format!("{name} {}: {} | {}", about.limb, note.what, note.settle));
            }
        }
    }
    assert!(tried.len() > 25, "only {} clauses were tried", tried.len());
    assert!(wrong.is_empty(), "{} stay:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn what_no_word_settles_says_so() {
    let mut silent = BTreeSet::new();
    let faults = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/faults");
    let faults = std::fs::read_dir(faults).unwrap().map(|e| e.unwrap().path());
    for path in files().into_iter().chain(faults) {
        if path.extension().is_none_or(|e| e != "yard") {
            continue;
        }
        let compiled = compile(&std::fs::read_to_string(&path).unwrap());
        for (_, note) in notes(&compiled) {
            let says = ["does not compute it", "(once "].iter().any(|w| note.what.contains(w));
            if note.settle.is_empty() && !says {
                silent.insert(note.what);
            }
        }
    }
    assert!(silent.is_empty(), "{silent:#?}");
}
