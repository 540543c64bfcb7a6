//! Random mistakes put into the project's own yards, for as long as it is let:
//! `cargo bench --bench mistakes -- --seconds 60`.
//!
//! Whatever is typed, the compiler must neither panic nor hang, every finding
//! must stand inside the text, and the report must be JSON that agrees with it.
#![allow(clippy::print_stdout, clippy::unwrap_used)]

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use yardwright::check::Compiler;
use yardwright::emit::report::Report;
use yardwright::source::MemoryDisk;

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

fn spoilt(text: &str, dice: &mut Dice) -> String {
    let mut text = text.to_owned();
    for _ in 0..=dice.below(4) {
        let mut at = dice.below(text.len() + 1);
        while !text.is_char_boundary(at) {
            at -= 1;
        }
        let mut end = (at + 1 + dice.below(24)).min(text.len());
        while !text.is_char_boundary(end) {
            end += 1;
        }
        match dice.below(5) {
            0 => text.replace_range(at..end, ""),
            1 => text.insert_str(at, SCRAPS[dice.below(SCRAPS.len())]),
            2 => {
                let copy = text[at..end].to_owned();
                text.insert_str(at, &copy);
            }
            3 => text.replace_range(at..end, SCRAPS[dice.below(SCRAPS.len())]),
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
    let start = Instant::now();
    let outcome = catch_unwind(AssertUnwindSafe(|| {
        let mut compiler = Compiler::new(disk);
        let Ok(compiled) = compiler.compile(Path::new("/y/spoilt.yard")) else { return None };
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
        let value: serde_json::Value = serde_json::from_str(&json).ok()?;
        let errors = value["diagnostics"].as_array()?.iter().any(|d| d["severity"] == "error");
        (value["ok"] == errors).then(|| "`ok` and the findings disagree".to_owned())
    }));
    match outcome {
        Err(_) => Some("panic".to_owned()),
        Ok(Some(wrong)) => Some(wrong),
        Ok(None) if start.elapsed() > HANG => Some(format!("took {:?}", start.elapsed())),
        Ok(None) => None,
    }
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
    let (start, mut dice, mut tried) = (Instant::now(), Dice(SEED), 0u64);
    while start.elapsed() < Duration::from_secs(seconds) {
        let text = spoilt(&texts[dice.below(texts.len())], &mut dice);
        if let Some(wrong) = fault(&text, &disk) {
            let kept = std::env::temp_dir().join("yardwright-mistake.yard");
            let _ = std::fs::write(&kept, &text);
            println!(
                "{wrong} after {tried} texts (seed {SEED:#x}); the text is in {}:\n{text}",
                kept.display()
            );
            std::process::exit(1);
        }
        tried += 1;
    }
    println!(
        "{tried} spoilt texts in {seconds} s from seed {SEED:#x}: no panic, no hang, every finding in its text"
    );
}
