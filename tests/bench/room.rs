//! What the space checks cost: `cargo bench --bench room`.
//!
//! 1,000 figures of three limbs with frames; every figure's room is found anew, on all
//! cores and on one, then how they stand in the yard. Best of five.
#![allow(clippy::print_stdout, clippy::unwrap_used)]

use std::fmt::Write as _;
use std::path::Path;
use std::time::Instant;

use rayon::prelude::*;
use yardwright::check::Compiler;
use yardwright::source::MemoryDisk;
use yardwright::space;

fn yard(n: usize) -> String {
    let mut text = String::from("use parts\nyard big { size 2000 m by 2000 m  viewers south }\n");
    for i in 0..n {
        let (x, y) = (5 + 15 * (i % 120), 5 + 15 * (i / 120));
        let _ = write!(
            text,
            "set f{i} at ({x} m, {y} m) facing south\nfigure f{i} {{\n  board plywood-9 620 mm by 1350 mm\n  \
             frame 38 mm by 38 mm {{ (150, 0) to (150, 960) mm  (470, 0) to (470, 960) mm  (20, 880) to (620, 880) mm  (20, 800) to (620, 800) mm }}\n  \
             motor drum wiper at (310, {}) mm\n  limb left {{\n    pivot (150, 880) mm  tip (-250, 1150) mm\n    parks at 165 deg\n    \
             drive four-bar {{ motor drum  crank ? 30 to 60 mm by 10 mm  rod ?  lever ? 70 to 120 mm by 10 mm at ? }}\n    \
             gesture hit {{ sweep 121 deg to 165 deg within 2 deg  cycle 4 s }}\n  }}\n  \
             limb right mirrors left about x 310 mm\n  limb head {{\n    pivot (310, 1000) mm  tip (460, 1000) mm\n    mount behind\n    \
             drive servo {{ motor servo-standard at (310, 1000) mm }}\n    gesture look {{ turn to 35 deg over 1 s }}\n    \
             gesture ahead {{ turn to 0 deg over 1 s }}\n  }}\n}}\n",
            800 + i % 13
        );
    }
    text
}

/// The best of five, in ms.
fn best(mut run: impl FnMut()) -> f64 {
    let time = |run: &mut dyn FnMut()| {
        let start = Instant::now();
        run();
        start.elapsed().as_secs_f64() * 1e3
    };
    (0..5).map(|_| time(&mut run)).fold(f64::INFINITY, f64::min)
}

fn main() {
    let disk = MemoryDisk::new().with("/yard/a.yard", yard(1000));
    let compiled = Compiler::new(disk).compile(Path::new("/yard/a.yard")).unwrap();
    let figures = &compiled.figures;
    let gaps: Vec<_> = compiled.spaces.iter().flat_map(|s| &s.gaps).collect();
    let evaluations: usize = gaps.iter().map(|g| g.least.evaluations).sum();
    println!(
        "{} figures, {} near pairs, {evaluations} evaluations in these",
        figures.len(),
        gaps.len()
    );
    let all = best(|| {
        let spaced: Vec<_> = figures.par_iter().map(space::space).collect();
        assert_eq!(spaced.len(), figures.len());
    });
    let one = best(|| {
        let spaced: Vec<_> = figures.iter().map(space::space).collect();
        assert_eq!(spaced.len(), figures.len());
    });
    let ground =
        best(|| assert!(space::yard(&compiled.yard, &compiled.spaces).len() < figures.len()));
    println!("room of all figures: {all:.1} ms on all cores, {one:.1} ms on one");
    println!(
        "per near pair, everything else included: {:.1} us",
        one * 1e3 / gaps.len().max(1) as f64
    );
    println!("how they stand in the yard: {ground:.1} ms");
}
