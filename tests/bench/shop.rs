//! The shop sheets of yards that grow: `cargo bench --bench shop`.
//!
//! Each figure has two arms on one crank and its own sizes, so no sheet is like another.
//! Times are of the sheets alone, the yard compiled before; the compile of the same run
//! stands beside them, and its share that goes into the list of what to buy.
#![allow(clippy::print_stdout, clippy::unwrap_used)]

use std::fmt::Write as _;
use std::path::Path;
use std::time::Instant;

use yardwright::check::Compiler;
use yardwright::emit::shop;
use yardwright::source::MemoryDisk;
use yardwright::stock::stock;

/// `n` bears, each with its motor elsewhere.
fn yard(n: usize) -> String {
    let mut text = String::from("use parts\nyard big { size 2000 m by 2000 m  viewers south }\n");
    for i in 0..n {
        let (x, y) = (5 + 15 * (i % 120), 5 + 15 * (i / 120));
        let _ = write!(
            text,
            "set f{i} at ({x} m, {y} m) facing south\nfigure f{i} {{\n  \
             board plywood-9 outline (0, 0) (620, 0) (700, 900) (310, 1350) (-40, 900) mm\n  \
             frame 38 mm by 38 mm {{ (20, 880) to (620, 880) mm  (131, 806) to (489, 806) mm }}\n  \
             motor drum wiper at (310, {}) mm\n  limb left {{\n    pivot (150, 880) mm  bolt M8  bushing nylon\n    \
             tip (-250, 1150) mm  sheet plywood-6\n    \
             outline (190, 850) (110, 840) (-270, 1130) (-230, 1180) (180, 930) mm\n    \
             drive four-bar {{ motor drum  crank ? 30 to 60 mm by 10 mm  rod ?  lever ? 70 to 120 mm by 10 mm at ? }}\n    \
             gesture hit {{ sweep 121 deg to 165 deg within 2 deg  cycle 3 s }}\n  }}\n  \
             limb right mirrors left about x 310 mm\n}}\n",
            800 + i % 13
        );
    }
    text
}

fn main() {
    let entry = Path::new("/y/big.yard");
    for n in [1, 10, 100, 1000] {
        let mut compiler = Compiler::new(MemoryDisk::new().with(entry, yard(n)));
        let start = Instant::now();
        let compiled = compiler.compile(entry).unwrap();
        let compile = start.elapsed().as_secs_f64();
        let start = Instant::now();
        let files = shop::outputs(&compiled);
        let sheets = start.elapsed().as_secs_f64();
        let start = Instant::now();
        let c = &compiled;
        let list = stock(&c.yard, &c.figures, &c.spaces, &c.power);
        let listed = start.elapsed().as_secs_f64();
        let bytes: usize = files.iter().map(|f| f.bytes.len()).sum();
        println!(
            "{n:5} figures x 2 limbs: sheets {:8.1} ms, {:6.2} ms a figure, {:6.1} MB in {} files; \
             compile {:8.1} ms, of it {:6.1} ms ({:.1} %) for {} parts",
            sheets * 1e3,
            sheets * 1e3 / n as f64,
            bytes as f64 / 1e6,
            files.len(),
            compile * 1e3,
            listed * 1e3,
            listed / compile * 100.0,
            list.parts.len()
        );
    }
}
