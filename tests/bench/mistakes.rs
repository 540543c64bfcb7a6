//! Random mistakes put into the project's own yards, for as long as it is let:
//! `cargo bench --bench mistakes -- --seconds 60`.
//!
//! Whatever is typed, the compiler must neither panic nor hang, every finding
//! must stand inside the text, and the report must be JSON that agrees with it.
#![allow(clippy::print_stdout, clippy::unwrap_used)]

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::time::{Duration, Instant};

use yardwright::check::Compiler;
use yardwright::emit::report::Report;
use yardwright::finding::Severity;
use yardwright::source::{MemoryDisk, ReadError};

/// No text of this size may take longer.
const HANG: Duration = Duration::from_secs(5);
/// The same texts every time (xorshift64*, Marsaglia 2003).
const SEED: u64 = 0x005e_ed0f_1a7e;

struct Dice(u64);

impl Dice {
    fn below(&mut self, n: usize) -> usize {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        (self.0.wrapping_mul(0x2545_f491_4f6c_dd1d) >> 33) as usize % n.max(1)
    }
}

/// What people and broken disks put into a text.
const SCRAPS: &[&str] = &[
    "{",
    "}",
    "(",
    ")",
    "\"",
    "?",
    "#",
    "%",
    "-",
    " - ",
    "1/0",
    "1e999",
    "NaN",
    "inf",
    "0",
    "-1",
    "999999999999999",
    "9999999999999999999",
    "mm",
    "in",
    "deg",
    "bar",
    "beat",
    "to",
    "by",
    "at",
    "over",
    "limb",
    "figure",
    "pivot",
    "é",
    "🦉",
    "\u{202e}",
    "\0",
    "\r\n",
    "\t",
    "../x",
];

/// The stretch of the token that stands around or after a place.
fn token(text: &str, mut at: usize) -> std::ops::Range<usize> {
    while at < text.len() && !text.is_char_boundary(at) {
        at += 1;
    }
    let rest = &text[at..];
    let start = at + rest.len() - rest.trim_start().len();
    let end = text[start..].find(char::is_whitespace).map_or(text.len(), |n| start + n);
    start..end
}

/// A place between two characters.
fn place(text: &str, dice: &mut Dice) -> usize {
    let mut at = dice.below(text.len() + 1);
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

/// Takes two tokens of the text and puts each in the other's place.
fn swap(text: &mut String, dice: &mut Dice) {
    let (a, b) = (token(text, place(text, dice)), token(text, place(text, dice)));
    let (a, b) = if a.start <= b.start { (a, b) } else { (b, a) };
    if a.end <= b.start {
        let (first, last) = (text[a.clone()].to_owned(), text[b.clone()].to_owned());
        text.replace_range(b, &first);
        text.replace_range(a, &last);
    }
}

/// Flips one bit of one byte; what is no text any more becomes U+FFFD.
fn flip(text: &mut String, dice: &mut Dice) {
    let mut bytes = std::mem::take(text).into_bytes();
    let (at, bit) = (dice.below(bytes.len()), dice.below(8));
    if let Some(byte) = bytes.get_mut(at) {
        *byte ^= 1 << bit;
    }
    *text = String::from_utf8_lossy(&bytes).into_owned();
}

/// The text with one to five mistakes.
fn spoilt(text: &str, dice: &mut Dice) -> String {
    let mut text = text.to_owned();
    for _ in 0..=dice.below(4) {
        let at = place(&text, dice);
        let mut end = (at + 1 + dice.below(24)).min(text.len());
        while !text.is_char_boundary(end) {
            end += 1;
        }
        let scrap = SCRAPS[dice.below(SCRAPS.len())];
        let whole = token(&text, at);
        match dice.below(11) {
            0 => text.replace_range(at..end, ""),
            1 => text.insert_str(at, scrap),
            2 => {
                let copy = text[at..end].to_owned();
                text.insert_str(at, &copy);
            }
            3 => text.replace_range(at..end, scrap),
            4 => text.replace_range(whole, ""),
            5 => {
                let copy = format!("{} ", &text[whole.clone()]);
                text.insert_str(whole.start, &copy);
            }
            // Whole tokens make texts that get past the reader.
            6 | 7 => text.replace_range(whole, scrap),
            8 => swap(&mut text, dice),
            9 => flip(&mut text, dice),
            _ => {
                if dice.below(8) == 0 {
                    text.truncate(at);
                } else if let Some(line) = text[at..].find('\n') {
                    text.replace_range(at + line..=at + line, " ");
                }
            }
        }
    }
    text
}

fn files(folder: &str) -> Vec<PathBuf> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
    let Ok(entries) = std::fs::read_dir(folder) else { return Vec::new() };
    let mut found: Vec<PathBuf> = entries
        .filter_map(|e| Some(e.ok()?.path()))
        .filter(|p| p.extension().is_some_and(|e| e == "yard"))
        .collect();
    found.sort();
    found
}

/// What is wrong with what the compiler makes of a text.
fn fault(text: &str, disk: &MemoryDisk) -> Option<String> {
    let disk = disk.clone().with("/y/spoilt.yard", text);
    let outcome = catch_unwind(AssertUnwindSafe(|| {
        let mut compiler = Compiler::new(disk);
        let compiled = match compiler.compile(Path::new("/y/spoilt.yard")) {
            Ok(compiled) => compiled,
            // A text with a NUL in it is refused as no text.
            Err(ReadError::NotText(_)) => return None,
            Err(e) => return Some(format!("not compiled: {e:?}")),
        };
        for finding in &compiled.findings {
            if let Some(place) = finding.place {
                let known = compiler.sources().stretch(place);
                let inside = known.is_some_and(|(file, lo, hi)| {
                    lo <= hi && compiler.sources().file(file).text.get(lo..hi).is_some()
                });
                if !inside {
                    return Some(format!("{} stands outside the text", finding.code.word));
                }
            }
        }
        let json = match Report::new(&compiled, compiler.sources()).to_json() {
            Ok(json) => json,
            Err(e) => return Some(format!("no report: {e}")),
        };
        let value: serde_json::Value = match serde_json::from_str(&json) {
            Ok(value) => value,
            Err(e) => return Some(format!("the report is no JSON: {e}")),
        };
        let Some(said) = value["diagnostics"].as_array() else {
            return Some("the report has no findings".to_owned());
        };
        let errors = said.iter().any(|d| d["severity"] == "error");
        let raised = compiled.findings.iter().any(|f| f.severity == Severity::Error);
        let agree = value["ok"] == !errors && errors == raised;
        (!agree).then(|| "`ok` and the findings disagree".to_owned())
    }));
    outcome.unwrap_or_else(|_| Some("panic".to_owned()))
}

/// The text that is being compiled.
#[derive(Clone)]
struct Trial {
    text: String,
    tried: u64,
    start: Instant,
}

static TRIAL: Mutex<Option<Trial>> = Mutex::new(None);

/// Prints and keeps the text, and ends the run.
fn fail(wrong: &str, trial: &Trial) -> ! {
    let kept = std::env::temp_dir().join("yardwright-mistake.yard");
    let _ = std::fs::write(&kept, &trial.text);
    let Trial { text, tried, .. } = trial;
    println!(
        "{wrong} after {tried} texts (seed {SEED:#x}); the text is in {}:\n{text}",
        kept.display()
    );
    std::process::exit(1);
}

/// Ends the run if one text takes too long, also if it would never end.
fn watch_for_hangs() {
    std::thread::spawn(|| {
        loop {
            std::thread::sleep(HANG / 10);
            let trial = TRIAL.lock().unwrap().clone();
            if let Some(trial) = trial.filter(|t| t.start.elapsed() > HANG) {
                fail(&format!("longer than {HANG:?}"), &trial);
            }
        }
    });
}

fn main() {
    let mut arguments = std::env::args().skip_while(|a| a != "--seconds").skip(1);
    let seconds = arguments.next().and_then(|s| s.parse().ok()).unwrap_or(10);
    let mut disk = MemoryDisk::new();
    let mut texts = Vec::new();
    for folder in ["shows", "shows/figures", "shows/parts", "tests/faults", "examples"] {
        for path in files(folder) {
            let text = std::fs::read_to_string(&path).unwrap();
            let name = path.file_name().unwrap().to_str().unwrap();
            disk.put(format!("/y/figures/{name}"), text.as_str());
            texts.push(text);
        }
    }
    std::panic::set_hook(Box::new(|_| {}));
    watch_for_hangs();
    let (start, mut dice, mut tried) = (Instant::now(), Dice(SEED), 0u64);
    while start.elapsed() < Duration::from_secs(seconds) {
        let text = spoilt(&texts[dice.below(texts.len())], &mut dice);
        let trial = Trial { text, tried, start: Instant::now() };
        *TRIAL.lock().unwrap() = Some(trial.clone());
        if let Some(wrong) = fault(&trial.text, &disk) {
            fail(&wrong, &trial);
        }
        tried += 1;
    }
    println!(
        "{tried} spoilt texts in {seconds} s ({} a second) from seed {SEED:#x}: no panic, no hang, every finding in its text",
        tried / seconds.max(1)
    );
}
