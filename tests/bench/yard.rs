//! A whole `check` of yards that grow: `cargo bench --bench yard`.
//!
//! Times are the best of several compiles; the exponents are fitted to all sizes
//! by least squares on the logarithms. Memory is the process's peak after each
//! size, so it can only grow. Then a yard of all kinds of mechanisms, no two figures
//! alike: a compile, and a compile with the text of `check`. Last, one figure among
//! 1,000 is edited over and over in a compiler that remembers, beside clean compiles of
//! the same texts in the same run. `cargo bench --bench yard -- edits` measures the
//! edits alone, `-- mixed` all kinds alone.
#![allow(clippy::print_stdout, clippy::unwrap_used)]

use std::fmt::Write as _;
use std::path::Path;
use std::time::Instant;

use yardwright::check::Compiler;
use yardwright::emit::text::{TextOptions, report};
use yardwright::finding::Severity;
use yardwright::source::MemoryDisk;

#[path = "../support/disk.rs"]
mod disk;
mod mixed;

use disk::Shared;

/// `n` figures of three limbs: a crank with open sizes, its mirror image, a servo.
fn yard(n: usize, cycle: &str) -> String {
    let mut text = String::from(
        "use parts\nyard big { size 2000 m by 2000 m  viewers south }\n\
         song jig { meter 6/8  tempo 116 bpm from 0.480 s  section all-of-it bar 1 for 174 bars }\n",
    );
    for i in 0..n {
        let (x, y) = (5 + 15 * (i % 120), 5 + 15 * (i / 120));
        let _ = write!(
            text,
            "set f{i} at ({x} m, {y} m) facing south\nfigure f{i} {{\n  board plywood-9 620 mm by 1350 mm\n  \
             motor drum wiper at (310, {}) mm\n  limb left {{\n    pivot (150, 880) mm  tip (-250, 1150) mm\n    parks at 165 deg\n    \
             drive four-bar {{ motor drum  crank ? 30 to 60 mm by 10 mm  rod ?  lever ? 70 to 120 mm by 10 mm at ? }}\n    \
             gesture hit {{ sweep 121 deg to 165 deg within 2 deg  cycle {} }}\n  }}\n  \
             limb right mirrors left about x 310 mm\n  limb head {{\n    pivot (310, 1200) mm  tip (460, 1200) mm\n    \
             drive servo {{ motor servo-standard at (310, 1200) mm }}\n    gesture look {{ turn to 35 deg over 2 beats }}\n    \
             gesture ahead {{ turn to 0 deg over 2 beats }}\n  }}\n}}\n",
            800 + i % 13,
            if i == 0 { cycle } else { "4 beats" }
        );
    }
    text.push_str("show evening with jig {\n");
    for i in 0..n {
        let _ = write!(
            text,
            "  bar 3 f{i}.left hit for 160 bars\n  bar 2 f{i}.head look every 4 bars repeat 40\n  bar 4 f{i}.head ahead every 4 bars repeat 40\n"
        );
    }
    text.push_str("}\n");
    text
}

fn peak_mb() -> f64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find(|l| l.starts_with("VmHWM")).unwrap_or("");
    let kb = line.split_whitespace().nth(1).and_then(|k| k.parse::<f64>().ok());
    kb.unwrap_or(f64::NAN) / 1024.0
}

/// The slope of log y over log x.
fn exponent(points: &[(f64, f64)]) -> f64 {
    let logs: Vec<(f64, f64)> = points.iter().map(|p| (libm::log(p.0), libm::log(p.1))).collect();
    let n = logs.len() as f64;
    let (mx, my) =
        (logs.iter().map(|l| l.0).sum::<f64>() / n, logs.iter().map(|l| l.1).sum::<f64>() / n);
    logs.iter().map(|l| (l.0 - mx) * (l.1 - my)).sum::<f64>()
        / logs.iter().map(|l| (l.0 - mx) * (l.0 - mx)).sum::<f64>()
}

/// Seconds of one compile.
fn timed(compiler: &mut Compiler, figures: usize) -> f64 {
    let start = Instant::now();
    let compiled = compiler.compile(Path::new(ENTRY)).unwrap();
    let took = start.elapsed().as_secs_f64();
    assert_eq!(compiled.figures.len(), figures);
    took
}

/// The middle one.
fn median(mut times: Vec<f64>) -> f64 {
    times.sort_by(f64::total_cmp);
    times[times.len() / 2]
}

/// One figure's motor moved by a millimetre, over and over: clean and remembered.
fn edits(n: usize) {
    let text = yard(n, "4 beats");
    let drawn = format!(
        "figure f{} {{\n  board plywood-9 620 mm by 1350 mm\n  motor drum wiper at (310, ",
        n / 2
    );
    let at = text.find(&drawn).unwrap() + drawn.len();
    let disk = Shared::default();
    let put = |y: usize| {
        let edited = format!("{}{y}{}", &text[..at], &text[at + 3..]);
        disk.put(ENTRY, edited);
    };
    put(799);
    let mut kept = Compiler::new(disk.clone());
    timed(&mut kept, n);
    let (mut clean, mut edited) = (Vec::new(), Vec::new());
    for y in 0..30 {
        put(800 + y);
        edited.push(timed(&mut kept, n));
        if y % 6 == 0 {
            clean.push(timed(&mut Compiler::new(disk.clone()), n));
        }
    }
    let (clean, edited) = (median(clean), median(edited));
    println!(
        "an edit of one figure among {n} x 3 limbs: {:.1} ms remembered, {:.1} ms clean, 1 : {:.1}",
        edited * 1e3,
        clean * 1e3,
        clean / edited
    );
}

const ENTRY: &str = "/y/big.yard";

fn main() {
    let only = |what: &str| std::env::args().any(|a| a == what);
    if !only("edits") && !only("mixed") {
        growth();
    }
    if !only("edits") {
        of_all_kinds(1000);
    }
    if !only("mixed") {
        edits(1000);
    }
}

/// Every kind of mechanism at once: a compile, and what `check` prints of it.
fn of_all_kinds(n: usize) {
    let entry = Path::new(ENTRY);
    let text = mixed::yard(n);
    let (mut compile, mut whole) = (f64::INFINITY, f64::INFINITY);
    for _ in 0..5 {
        let mut compiler = Compiler::new(MemoryDisk::new().with(entry, text.as_str()));
        let start = Instant::now();
        let compiled = compiler.compile(entry).unwrap();
        compile = compile.min(start.elapsed().as_secs_f64());
        let printed = report(&compiled, &TextOptions::default());
        whole = whole.min(start.elapsed().as_secs_f64());
        assert_eq!(compiled.figures.len(), n);
        assert!(printed.ends_with('\n') && compiled.count(Severity::Error) == 0);
    }
    println!(
        "{n:6} figures x 3 limbs of all kinds: {:8.1} ms compiled, {:.1} ms with its text",
        compile * 1e3,
        whole * 1e3
    );
}

/// Time and memory over the number of figures.
fn growth() {
    let entry = Path::new(ENTRY);
    let (mut times, mut memory) = (Vec::new(), Vec::new());
    for n in [100, 300, 1000, 3000, 10_000] {
        let text = yard(n, "4 beats");
        let mut best = f64::INFINITY;
        for _ in 0..if n > 1000 { 1 } else { 3 } {
            let mut compiler = Compiler::new(MemoryDisk::new().with(entry, text.as_str()));
            let start = Instant::now();
            let compiled = compiler.compile(entry).unwrap();
            best = best.min(start.elapsed().as_secs_f64());
            assert_eq!(compiled.figures.len(), n);
        }
        println!(
            "{n:6} figures x 3 limbs, {:5.1} MB of text: {:8.1} ms, peak {:6.0} MB",
            text.len() as f64 / 1e6,
            best * 1e3,
            peak_mb()
        );
        times.push((n as f64, best));
        memory.push((n as f64, peak_mb()));
    }
    println!("time grows as n^{:.2}, peak memory as n^{:.2}", exponent(&times), exponent(&memory));
}
