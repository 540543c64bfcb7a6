//! Sizes cut from drilled stock: held against every size the bars give.
#![allow(clippy::disallowed_methods)] // On purpose another library's sines.

use proptest::prelude::*;
use yardwright::check::Compiled;
use yardwright::fit::{Fitted, SizeName};

use super::{compile, four_bar};

/// A bar whose outermost holes are `spaces` steps apart.
fn bar(name: &str, pitch: f64, spaces: u32) -> String {
    let length = pitch * f64::from(spaces) + pitch / 2.0 + 1.0;
    format!(
        "stock-bar {name} {{ section 20 mm by 3 mm  holes every {pitch} mm from {} mm  length {length} mm }}\n",
        pitch / 4.0
    )
}

fn codes(compiled: &Compiled) -> Vec<&str> {
    compiled.findings.iter().map(|f| f.code.word).collect()
}

/// The angle opposite `x` in a triangle with the sides `p` and `q`.
fn opposite(p: f64, q: f64, x: f64) -> Option<f64> {
    let cos = (p * p + q * q - x * x) / (2.0 * p * q);
    (cos.abs() <= 1.0).then(|| cos.acos().to_degrees())
}

/// Swing and worst push angle of a crank-rocker, from its triangles.
fn rock(d: f64, a: f64, b: f64, c: f64) -> Option<(f64, f64)> {
    let mut bars = [a, b, c, d];
    bars.sort_by(f64::total_cmp);
    if bars[0] != a || bars[0] + bars[3] >= bars[1] + bars[2] {
        return None;
    }
    let swing = opposite(c, d, b + a)? - opposite(c, d, b - a)?;
    let push = [d - a, d + a].map(|x| opposite(b, c, x).map(|m| m.min(180.0 - m)));
    Some((swing, push[0]?.min(push[1]?)))
}

/// The best worst push of every crank, rod and lever that the bars give.
fn of_all(d: f64, asked: f64, within: f64, sizes: [(f64, u32); 3]) -> Option<f64> {
    let row = |(pitch, n): (f64, u32)| (1..=n).map(move |i| pitch * f64::from(i));
    let mut best: Option<f64> = None;
    for a in row(sizes[0]) {
        for b in row(sizes[1]) {
            for c in row(sizes[2]) {
                if let Some((swing, push)) = rock(d, a, b, c)
                    && (swing - asked).abs() <= within
                    && push >= 20.0
                {
                    best = Some(best.map_or(push, |p| p.max(push)));
                }
            }
        }
    }
    best
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(60))]

    /// Crank, rod and lever cut from three bars: what is found is a size of each, and
    /// none of all their sizes pushes better.
    #[test]
    fn of_all_sizes_of_the_bars_the_best_is_found(
        pitches in (4_u32..24, 8_u32..30, 6_u32..30),
        spaces in (4_u32..12, 12_u32..30, 6_u32..12),
        apart in (150_u32..400, -100_i32..100),
        asked in 15_u32..80,
    ) {
        let pitches = [pitches.0, pitches.1, pitches.2].map(f64::from);
        let bars = [(pitches[0], spaces.0), (pitches[1], spaces.1), (pitches[2], spaces.2)];
        let text = format!(
            "{}{}{}figure f {{ board plywood-9 900 mm by 1500 mm\n limb arm {{\n pivot (400, 900) mm  tip (400, 1200) mm\n \
             drive four-bar {{ motor wiper at ({}, {}) mm  crank ? of one  rod ? of two  lever ? of three at ? }}\n \
             gesture wave {{ sweep 70 deg to {} deg within 1 deg  cycle 3 s }} }} }}",
            bar("one", pitches[0], spaces.0),
            bar("two", pitches[1], spaces.1),
            bar("three", pitches[2], spaces.2),
            400 + apart.1,
            900 - apart.0,
            70 + asked,
        );
        let compiled = compile(&text);
        let d = f64::from(apart.0).hypot(f64::from(apart.1));
        let best = of_all(d, f64::from(asked), 1.0, bars);
        match best {
            None => prop_assert!(codes(&compiled).contains(&"nothing-fits")),
            Some(best) => {
                let found = four_bar(&compiled, 0, 0);
                let made = found.exact.bars();
                for (size, (pitch, n)) in [made.crank.0, made.rod.0, made.lever.0].into_iter().zip(bars) {
                    let nth = (size / pitch).round();
                    prop_assert!((nth * pitch - size).abs() < 1e-9 && (1.0..=f64::from(n)).contains(&nth));
                }
                let push = found.analysis.motion.unwrap().min_transmission.0;
                prop_assert!((push - best).abs() < 2e-3, "{push} {best}");
                prop_assert_eq!(found.exact.bars(), found.drilled.bars());
            }
        }
    }

    /// Crank and rod of a slider-crank in line with its shaft, which needs no more than
    /// `stroke = 2 crank`: a better push has the longer rod.
    #[test]
    fn a_slider_crank_takes_the_longest_rod_of_the_bar_that_fits(
        pitch in 8_u32..30, spaces in 6_u32..30, crank in 2_u32..6, place in 1_u32..400,
    ) {
        let (pitch, crank) = (f64::from(pitch), f64::from(crank) * 10.0);
        let (low, high) = (f64::from(place), f64::from(place) + 2.0 * crank);
        let text = format!(
            "{}figure f {{ board plywood-9 900 mm by 1500 mm\n limb hat {{\n slide from (300, 500) mm to (300, 1300) mm\n \
             drive slider-crank {{ motor wiper at (300, 400) mm  crank {crank} mm  rod ? of two }}\n \
             gesture hop {{ stroke {low} mm to {high} mm within 12 mm  cycle 3 s }} }} }}",
            bar("two", pitch, spaces),
        );
        let compiled = compile(&text);
        // In line the pin's ends lie one crank to each side of the rod's length.
        let fits = |rod: &f64| {
            let off = rod - (100.0 + low + crank);
            off.abs() <= 12.0 + 1e-9 && (crank / rod).acos().to_degrees() >= 45.0
        };
        let best = (1..=spaces).map(|i| pitch * f64::from(i)).filter(fits).reduce(f64::max);
        let found = match &compiled.figures[0].limbs[0].mechanism {
            Some(Fitted::Drive(drive)) => drive.sizes.iter().find(|s| s.name == SizeName::Rod),
            _ => None,
        };
        match best {
            None => prop_assert!(codes(&compiled).contains(&"nothing-fits"), "{text}"),
            Some(best) => {
                let rod = found.map(|s| s.exact);
                let miss = |rod: f64| (rod - (100.0 + low + crank)).abs();
                // Where the push is good for each, the nearest to what was asked is best.
                let fine = |rod: f64| (crank / rod).acos().to_degrees() >= 60.0;
                let nearest = (1..=spaces).map(|i| pitch * f64::from(i)).filter(fits).filter(|r| fine(*r));
                let best = nearest.reduce(|a, b| if miss(a) <= miss(b) { a } else { b }).unwrap_or(best);
                prop_assert!(rod.is_some_and(|r| (miss(r) - miss(best)).abs() < 1e-9), "{rod:?} {best}\n{text}");
            }
        }
    }
}

/// A row that starts between two holes begins at the next, and ends at the bar's end.
#[test]
fn a_range_is_cut_to_the_holes_of_the_bar() {
    let row = |rod: &str| {
        let compiled = compile(&format!(
            "stock-bar long {{ section 20 mm by 3 mm  holes every 25 mm from 12.5 mm  length 1 m }}\n\
             stock-bar endless {{ section 20 mm by 3 mm  holes every 1/2 in from 1/4 in }}\n\
             figure f {{ board plywood-9 900 mm by 1500 mm\n limb arm {{\n pivot (400, 900) mm  tip (400, 1200) mm\n \
             drive four-bar {{ motor wiper at (400, 600) mm  {rod} }} }} }}"
        ));
        assert_eq!(codes(&compiled), [""; 0]);
        let limb = &compiled.yard.figures[0].figure.limbs[0];
        let bars = limb.drive.as_ref().unwrap().mechanism.bars().unwrap();
        if rod.starts_with("crank") { bars.crank.row } else { bars.rod.row }
    };
    assert_eq!(row("rod ? 60 to 130 mm of long"), Some((75.0, 125.0, 25.0)));
    assert_eq!(row("rod ? 75 to 125 mm of long"), Some((75.0, 125.0, 25.0)));
    // 1000 - 2 x 12.5 mm is 39 steps.
    assert_eq!(row("rod ? of long"), Some((25.0, 975.0, 25.0)));
    assert_eq!(row("rod ? 900 to 5000 mm of long"), Some((900.0, 975.0, 25.0)));
    assert_eq!(row("rod ? 100 to 300 mm by 50 mm of long"), Some((100.0, 300.0, 50.0)));
    assert_eq!(row("rod 300 mm of long"), Some((25.0, 975.0, 25.0)));
    assert_eq!(row("rod 300 mm of 250 to 320 mm of long"), Some((250.0, 300.0, 25.0)));
    // A bar that does not say how long it is: a crank up to what one is looked for in.
    let (lo, hi, step) = row("crank ? of endless").unwrap();
    assert!((lo - 12.7).abs() < 1e-9 && (hi - 50.8).abs() < 1e-9 && (step - 12.7).abs() < 1e-9);
}

#[test]
fn what_no_bar_gives_is_refused_by_name() {
    let said = |sizes: &str| {
        let compiled = compile(&format!(
            "figure f {{ board plywood-9 900 mm by 1500 mm\n limb arm {{\n pivot (400, 900) mm  tip (400, 1200) mm\n \
             drive four-bar {{ motor wiper at (400, 600) mm  {sizes} }} }} }}"
        ));
        let only = match &compiled.findings[..] {
            [only] => only,
            all => panic!("{sizes}: {all:?}"),
        };
        (only.code.word, only.message.clone(), only.help.clone().unwrap_or_default())
    };
    let of = |sizes: &str, code: &str, words: &[&str]| {
        let (word, message, help) = said(sizes);
        assert_eq!(word, code, "{sizes}");
        for part in words {
            assert!(message.contains(part) || help.contains(part), "{sizes}: {message} {help}");
        }
    };
    let unfit = "stock-unfit";
    of(
        "rod ? 310 to 320 mm of perforated-25",
        unfit,
        &["perforated-25", "300 mm and 325 mm", "up to 975 mm"],
    );
    of(
        "rod ? 2 to 3 m of perforated-25",
        unfit,
        &["nearest is 975 mm", "`rod 975 mm of perforated-25`"],
    );
    of("lever ? 1 to 9 mm of perforated-15", unfit, &["nearest is 15 mm"]);
    of("rod ? of 1x2", unfit, &["1x2 has no row of holes"]);
    of("rod ? 1 to 2 m by 10 mm of perforated-25", unfit, &["25 mm apart", "by 10 mm"]);
    of("rod 310 mm of perforated-25", "hole-off-row", &["310 mm", "the nearest is 300 mm"]);
    of("rod 6 1/4 in of perforated-inch", "hole-off-row", &["6 1/4 in", "the nearest is 6 in"]);
    of("rod ? of perforate-25", "unknown-name", &["stock-bar", "did you mean perforated-25"]);
}

#[test]
fn a_size_that_is_no_bar_takes_none() {
    let compiled = compile(
        "figure f { board plywood-9 900 mm by 1500 mm\n limb jaw {\n pivot (400, 900) mm  tip (400, 1200) mm\n \
         drive cord { motor wiper at (400, 600) mm  crank 30 mm  lever 80 mm  length ? of perforated-25 } } }",
    );
    assert!(codes(&compiled).contains(&"stock-unfit"), "{:?}", compiled.findings);
}

/// Nothing fits, and one more hole would do it: only a hole that the bar has is named,
/// and it does what is said of it.
#[test]
fn no_hole_beyond_the_end_of_a_bar_is_named() {
    let yard = |spaces, size: &str, low, high| {
        compile(&format!(
            "{}figure f {{ board plywood-9 700 mm by 1500 mm\n limb arm {{ pivot (300, 900) mm  tip (700, 900) mm\n \
             drive four-bar {{ motor wiper at (300, 600) mm  crank 30 mm  rod ?  lever {size} of perfbar at ? }}\n \
             gesture wave {{ sweep {low} deg to {high} deg within 0.5 deg  cycle 3 s }} }} }}",
            bar("perfbar", 12.5, spaces)
        ))
    };
    let help = |compiled: &Compiled| {
        let found = compiled.findings.iter().find(|f| f.code.word == "nothing-fits");
        found.unwrap_or_else(|| panic!("{:?}", compiled.findings)).help.clone().unwrap_or_default()
    };
    // 20 deg with a crank of 30 mm wants a lever of about 175 mm.
    let short = help(&yard(6, "? 50 to 75 mm", -10, 10));
    assert!(!short.contains("lever hole"), "the bar ends at 75 mm: {short}");
    for (size, bar_to) in [("? 50 to 75 mm", 20), ("75 mm", 20)] {
        let long = help(&yard(bar_to, size, -10, 10));
        let hole = long.split("a lever hole at ").nth(1).unwrap_or_else(|| panic!("{long}"));
        let hole: f64 = hole.split_whitespace().next().unwrap().parse().unwrap();
        assert!((hole / 12.5).fract().abs() < 1e-9 && hole <= 250.0, "{long}");
        let (swing, _) = (150..400)
            .filter_map(|b| rock(300.0, 30.0, f64::from(b), hole))
            .min_by(|a, b| (a.0 - 20.0).abs().total_cmp(&(b.0 - 20.0).abs()))
            .unwrap();
        assert!((swing - 20.0).abs() < 0.6, "{hole}: {swing}");
    }
}
