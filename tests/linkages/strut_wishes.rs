//! `?` of rams: every answer analysed again, the best against a scan of the sizes.
#![allow(clippy::disallowed_methods)] // On purpose another library's sines.

use proptest::prelude::*;
use yardwright::geometry::BoardPoint;
use yardwright::mechanism::solve::{
    Anchor, Prefer, RAM_PUSH_FLOOR, RamReason, RamWish, Size, solve_ram,
};
use yardwright::mechanism::{Lengths, Strut};
use yardwright::units::{Deg, Mm};

use super::near_deg;

fn wish(anchor: Anchor, lever: Size) -> RamWish {
    RamWish {
        strut: Strut::Ram,
        pivot: BoardPoint::mm(100.0, 300.0),
        anchor,
        lengths: Lengths::new(Mm(205.0), Mm(305.0)).unwrap(),
        lever,
        clamp: Size::Free,
        sweep: (Deg(20.0), Deg(80.0)),
        within: None,
        assembly: None,
        prefer: Prefer::Usual,
        error: Mm(1.0),
    }
}

fn open(distance: Size, bearing: f64) -> Anchor {
    Anchor::Open { distance, bearing: Some(Deg(bearing)) }
}

/// The orchard's gate: arm 100, anchor 269.3 mm from the pivot (own calculation,
/// NumPy, done before this program).
#[test]
fn the_gate_finds_its_anchor() {
    let w = wish(open(Size::Free, -30.0), Size::Given(100.0));
    let found = solve_ram(&w).unwrap();
    let best = found[0];
    assert!((best.ram.ground().0 - 269.3).abs() < 0.05, "{best:?}");
    assert!((best.swing.0 - 60.0).abs() < 1e-9 && best.push.0 > 59.0, "{best:?}");
    let m = best.ram.analyse().motion.unwrap();
    assert!((m.low.0 - 20.0).abs() < 1e-6 && (m.high.0 - 80.0).abs() < 1e-6, "{m:?}");
    // The same asked the other way round: the anchor known, the lever open.
    let known = wish(Anchor::At(best.ram.anchor()), Size::Free);
    let levers = solve_ram(&known).unwrap();
    assert!(levers.iter().any(|c| (c.ram.lever().0 - 100.0).abs() < 1e-6), "{levers:?}");
}

/// Rows of holes, a known clamp, and what does not fit.
#[test]
fn rows_clamps_and_refusals() {
    let row = Size::Row { lo: 60.0, hi: 140.0, step: 10.0 };
    let anchor = Anchor::At(BoardPoint::mm(345.0, 160.0));
    let w = RamWish { within: Some(Deg(3.0)), ..wish(anchor, row) };
    let found = solve_ram(&w).unwrap();
    for c in &found {
        assert!((c.ram.lever().0 % 10.0).abs() < 1e-9 && c.push >= RAM_PUSH_FLOOR);
        assert!((c.swing.0 - 60.0).abs() <= 3.0 + 1e-6);
    }
    let clamped = RamWish { clamp: Size::Given(found[0].ram.clamp().0 + 50.0), ..w };
    let no = solve_ram(&clamped).unwrap_err();
    let RamReason::Clamp { needs } = no.reason else { panic!("{no:?}") };
    let again = RamWish { clamp: Size::Given(needs.0), ..w };
    assert!(solve_ram(&again).is_ok());
    assert!(!no.nearest.is_empty());
    // So short a lever swings too far, and what is offered instead works.
    let short = wish(anchor, Size::Given(85.0));
    let no = solve_ram(&short).unwrap_err();
    assert!(matches!(no.reason, RamReason::SwingsTooMuch { least } if least.0 > 60.0), "{no:?}");
    assert!(!no.nearest.is_empty(), "{no:?}");
    for (_, choice) in &no.nearest {
        let m = choice.ram.analyse();
        assert!(m.whole_stroke && !m.dead_centre());
        assert!(m.motion.unwrap().least_push >= RAM_PUSH_FLOOR);
    }
    // A lever that brings the ram into one line.
    let no = solve_ram(&wish(anchor, Size::Given(20.0))).unwrap_err();
    assert_eq!(no.reason, RamReason::DeadCentre);
    let mad = RamWish { sweep: (Deg(80.0), Deg(20.0)), ..w };
    assert!(matches!(solve_ram(&mad).unwrap_err().reason, RamReason::Nonsense(_)));
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    /// With the anchor's distance open no size on a fine scan has a longer least
    /// arm at the asked swing; the analysis of the answer gives the asked ends.
    #[test]
    fn answers_are_exact_and_best(
        swing in 15.0..110.0f64, middle in -170.0..170.0f64, short in 80.0..300.0f64,
        stroke in 30.0..200.0f64, c in 30.0..200.0f64, bearing in -180.0..180.0f64,
    ) {
        let sweep = (Deg(middle - swing / 2.0), Deg(middle + swing / 2.0));
        let lengths = Lengths::new(Mm(short), Mm(short + stroke)).unwrap();
        let tight = Some(Deg(0.01));
        let w = RamWish {
            lengths, sweep, within: tight, ..wish(open(Size::Free, bearing), Size::Given(c))
        };
        // Scan the distance for the asked swing.
        let gamma = |d: f64, l: f64| ((c * c + d * d - l * l) / (2.0 * c * d)).acos();
        let off = |d: f64| {
            (gamma(d, short + stroke) - gamma(d, short)).to_degrees() - swing
        };
        let arm = |d: f64, l: f64| c * d * gamma(d, l).sin() / l;
        let mut best: Option<f64> = None;
        let n = 20_000;
        for i in 0..n {
            let (mut lo, mut hi) = (20.0 + 0.05 * f64::from(i), 20.05 + 0.05 * f64::from(i));
            let (p, q) = (off(lo), off(hi));
            if !(p.is_finite() && q.is_finite()) || (p < 0.0) == (q < 0.0) {
                continue;
            }
            for _ in 0..60 {
                let mid = 0.5 * (lo + hi);
                if (off(mid) < 0.0) == (p < 0.0) { lo = mid } else { hi = mid }
            }
            let least = arm(lo, short).min(arm(lo, short + stroke));
            if (least / c).asin().to_degrees() > RAM_PUSH_FLOOR.0 + 1e-6 {
                best = Some(best.map_or(least, |b| b.max(least)));
            }
        }
        match (solve_ram(&w), best) {
            (Ok(found), Some(best)) => {
                prop_assert!((found[0].arm.0 - best).abs() < 1e-5, "{} {best}", found[0].arm.0);
                let m = found[0].ram.analyse().motion.unwrap();
                prop_assert!(near_deg(m.low.0, sweep.0.0) < 1e-6, "{m:?}");
                prop_assert!((m.sweep.0 - swing).abs() < 1e-6);
                prop_assert!((0.0..=1.0).contains(&found[0].fit.0));
            }
            (Err(no), None) => {
                for (_, choice) in &no.nearest {
                    prop_assert!(choice.push >= RAM_PUSH_FLOOR);
                }
            }
            // The scan steps over swings that only just touch; the solver may also
            // take a swing within its tolerance there.
            (Ok(found), None) => prop_assert!(
                (found[0].swing.0 - swing).abs() <= 0.01 + 1e-9
                    && found[0].ram.ground().0 > 20.0, "{found:?}"),
            (Err(no), Some(best)) => prop_assert!(false, "{no:?} {best}"),
        }
    }
}
