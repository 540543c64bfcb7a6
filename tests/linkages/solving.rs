//! Open sizes: the closed form against a fine scan that shares nothing with it.
#![allow(clippy::disallowed_methods)] // On purpose another library's sines.

use super::reference::Rng;
use proptest::prelude::*;
use yardwright::geometry::{BoardPoint, Vector};
use yardwright::mechanism::solve::{
    Answer, Change, Prefer, Reason, Size, Sizes, WhyNot, Wish, holes, solve,
};
use yardwright::mechanism::{Assembly, Class, FourBar};
use yardwright::units::{Deg, Mm, System};

fn wish(motor: BoardPoint, pivot: BoardPoint, sizes: Sizes, sweep: (f64, f64)) -> Wish<'static> {
    Wish {
        motor,
        pivot,
        sizes,
        sweep: (Deg(sweep.0), Deg(sweep.1)),
        within: Some(Deg(1.0)),
        prefer: Prefer::Usual,
        assembly: None,
        error: Mm(1.0),
        system: System::Metric,
        rate: None,
    }
}

/// The angle opposite `x` in a triangle with the sides `p` and `q`, by the cosine
/// rule in degrees; `None` where there is no triangle.
fn opposite(p: f64, q: f64, x: f64) -> Option<f64> {
    let cos = (p * p + q * q - x * x) / (2.0 * p * q);
    (cos.abs() <= 1.0).then(|| cos.acos().to_degrees())
}

/// Swing and worst push angle of a crank-rocker, from its triangles; `None` where
/// it is none.
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

fn row(lo: f64, hi: f64, step: f64) -> Vec<f64> {
    (0..).map(|i| lo + step * f64::from(i)).take_while(|v| *v <= hi + 1e-9).collect()
}

fn values(size: Size, default: (f64, f64), n: usize) -> Vec<f64> {
    match size {
        Size::Given(v) => vec![v],
        Size::Row { lo, hi, step } => row(lo, hi, step),
        Size::Between { lo, hi } => (0..=n).map(|i| lo + (hi - lo) * i as f64 / n as f64).collect(),
        Size::Free => {
            let (lo, hi) = default;
            (0..=n).map(|i| lo + (hi - lo) * i as f64 / n as f64).collect()
        }
    }
}

/// The best worst push angle that a fine scan finds.
fn scan(w: &Wish<'_>, n: usize) -> Option<f64> {
    let d = w.pivot.distance(w.motor).0;
    let (asked, tol) = ((w.sweep.1 - w.sweep.0).0, w.tolerance().0);
    let mut best: Option<f64> = None;
    for a in values(w.sizes.crank, (20.0, 60.0), 40) {
        for c in values(w.sizes.lever, (40.0, 150.0), 40) {
            let room = ((d - c).abs() + a, d + c - a);
            for b in values(w.sizes.rod, room, n) {
                let Some((swing, push)) = rock(d, a, b, c) else { continue };
                if (swing - asked).abs() <= tol && push >= 20.0 {
                    best = Some(best.map_or(push, |p: f64| p.max(push)));
                }
            }
        }
    }
    best
}

/// Random requests of the kind that are made: hole rows, a rod range, clamp free.
fn request(rng: &mut Rng) -> Wish<'static> {
    let mut some = |lo: f64, hi: f64| lo + (hi - lo) * rng.unit();
    let pivot = BoardPoint::mm(some(0.0, 600.0), some(500.0, 1300.0));
    let heading = yardwright::geometry::Dir::degrees(Deg(some(0.0, 360.0)));
    let motor = pivot + Vector::polar(Mm(some(60.0, 400.0)), heading);
    let (crank, lever) = (some(20.0, 45.0).round(), some(40.0, 90.0).round());
    let crank = Size::Row { lo: crank, hi: crank + some(0.0, 20.0), step: 5.0 };
    let lever = Size::Row { lo: lever, hi: lever + some(0.0, 60.0), step: 10.0 };
    let from = some(-180.0, 180.0);
    let swing = some(10.0, 110.0);
    let short = some(50.0, 300.0);
    let rod = match (some(0.0, 4.0)) as u32 {
        0 => Size::Free,
        1 => Size::Row { lo: short, hi: short + some(0.0, 200.0), step: 5.0 },
        _ => Size::Between { lo: short, hi: short + some(0.0, 150.0) },
    };
    let sizes = Sizes { crank, rod, lever, clamp: Size::Free };
    wish(motor, pivot, sizes, (from, from + swing))
}

/// What an answer promises, worked out again from its lengths.
fn check(w: &Wish<'_>, answer: &Answer) -> f64 {
    let bars = answer.best.linkage.bars();
    let (swing, push) = rock(bars.ground.0, bars.crank.0, bars.rod.0, bars.lever.0).unwrap();
    assert!((swing - w.asked().0).abs() <= w.tolerance().0 + 1e-7, "{answer:?}");
    assert!(push >= 20.0 - 1e-9 && (push - answer.best.push.0).abs() < 1e-6, "{answer:?}");
    let m = answer.analysis.motion.unwrap();
    assert_eq!(answer.analysis.class, Class::CrankRocker);
    assert!((m.sweep.0 - swing).abs() < 1e-6);
    for (got, want) in [(m.low, w.sweep.0), (m.high, w.sweep.1)] {
        let off = (got.unwrap() - want).signed().0.abs();
        assert!(off <= w.tolerance().0 + 1e-7, "{off} {answer:?}");
    }
    if let Size::Between { lo, hi } = w.sizes.rod {
        assert!(bars.rod.0 >= lo && bars.rod.0 <= hi);
    }
    push
}

#[test]
fn nothing_better_and_nothing_missed() {
    let mut rng = Rng(7);
    let (mut fitting, mut not) = (0, 0);
    for i in 0..500 {
        let w = request(&mut rng);
        let scanned = scan(&w, 3000);
        match solve(&w) {
            Ok(answer) => {
                fitting += 1;
                let push = check(&w, &answer);
                let seen = scanned.unwrap_or(0.0);
                assert!(push >= seen - 1e-6, "{i}: {push} but the scan found {seen}: {answer:?}");
                assert!(answer.others.iter().all(|o| o.push <= answer.best.push + Deg(0.001)));
            }
            Err(no) => {
                not += 1;
                assert_eq!(scanned, None, "{i}: {no:?}");
                for n in &no.nearest {
                    assert!(n.choice.push.0 >= 20.0, "{n:?}");
                }
            }
        }
    }
    assert!(fitting >= 100 && not >= 100, "{fitting} {not}");
}

#[test]
fn a_given_clamp_is_kept_or_refused() {
    let mut rng = Rng(11);
    let (mut fitting, mut not) = (0, 0);
    for i in 0..300 {
        let mut w = request(&mut rng);
        // Half of the clamps come from a free solution, so that many fit.
        let free = solve(&w).map(|a| a.best.linkage.clamp().0);
        let clamp = match free {
            Ok(c) if i % 2 == 0 => c + 2.0 * rng.unit() - 1.0,
            _ => 360.0 * rng.unit() - 180.0,
        };
        w.sizes.clamp = if i % 3 == 0 {
            Size::Between { lo: clamp - 1.0, hi: clamp + 1.0 }
        } else {
            Size::Given(clamp)
        };
        let scanned = scan_clamped(&w, 400);
        match solve(&w) {
            Ok(answer) => {
                fitting += 1;
                let push = check(&w, &answer);
                let off = (answer.best.linkage.clamp() - Deg(clamp)).signed().0.abs();
                assert!(off <= 1.0 + 1e-9 && (i % 3 == 0 || off < 1e-9));
                assert!(push >= scanned.unwrap_or(0.0) - 1e-6, "{i}: {push} {scanned:?}");
            }
            Err(no) => {
                not += 1;
                assert_eq!(scanned, None, "{i}: {no:?}");
            }
        }
    }
    assert!(fitting >= 40 && not >= 40, "{fitting} {not}");
}

/// As `scan`, with both assemblies and the ends at the clamp.
fn scan_clamped(w: &Wish<'_>, n: usize) -> Option<f64> {
    let d = w.pivot.distance(w.motor).0;
    let tol = w.tolerance().0;
    let to_motor = w.motor - w.pivot;
    let motor = to_motor.y.atan2(to_motor.x).to_degrees();
    let clamps = values(w.sizes.clamp, (0.0, 0.0), 20);
    let mut best: Option<f64> = None;
    for a in values(w.sizes.crank, (0.0, 0.0), 1) {
        for c in values(w.sizes.lever, (0.0, 0.0), 1) {
            let room = ((d - c).abs() + a, d + c - a);
            for b in values(w.sizes.rod, room, n) {
                let Some((swing, push)) = rock(d, a, b, c) else { continue };
                if (swing - w.asked().0).abs() > tol || push < 20.0 {
                    continue;
                }
                let (near, far) = (opposite(c, d, b - a).unwrap(), opposite(c, d, b + a).unwrap());
                // Open: the lever pin lies clockwise of the line pivot -> motor.
                for (low, high) in [(motor - far, motor - near), (motor + near, motor + far)] {
                    let off = |x: f64, y: f64| (x - y + 180.0).rem_euclid(360.0) - 180.0;
                    let good = clamps.iter().any(|k| {
                        off(low - k, w.sweep.0.0).abs() <= tol
                            && off(high - k, w.sweep.1.0).abs() <= tol
                    });
                    if good {
                        best = Some(best.map_or(push, |p: f64| p.max(push)));
                    }
                }
            }
        }
    }
    best
}

fn drummer(within: f64) -> Wish<'static> {
    let sizes = Sizes {
        crank: Size::Row { lo: 30.0, hi: 60.0, step: 10.0 },
        rod: Size::Free,
        lever: Size::Row { lo: 70.0, hi: 120.0, step: 10.0 },
        clamp: Size::Free,
    };
    let (motor, pivot) = (BoardPoint::mm(310.0, 806.0), BoardPoint::mm(150.0, 880.0));
    Wish { within: Some(Deg(within)), ..wish(motor, pivot, sizes, (121.0, 165.0)) }
}

/// The drumming bear of the demo season: values computed independently with
/// NumPy/SciPy before this program was written (own calculation, no publication).
#[test]
fn the_drumming_bear() {
    let answer = solve(&drummer(2.0)).unwrap();
    let (best, m) = (answer.best, answer.analysis.motion.unwrap());
    let bars = best.linkage.bars();
    assert_eq!((bars.crank, bars.lever), (Mm(30.0), Mm(80.0)));
    assert!((bars.rod.0 - 159.9).abs() < 0.05, "{bars:?}");
    assert!((best.swing.0 - 44.05).abs() < 0.005);
    assert!((best.time_ratio - 1.0).abs() < 1e-6);
    let clamps = [Assembly::Open, Assembly::Crossed].map(|a| {
        let one = Wish { assembly: Some(a), ..drummer(2.0) };
        solve(&one).unwrap().best.linkage.clamp().0
    });
    assert!(clamps.iter().any(|c| (c - 127.0).abs() < 0.06), "{clamps:?}");
    assert_eq!(answer.drilled.bars().rod, Mm(160.0));
    assert!(answer.drilled_fits);
    // Stated for the rod as drilled.
    let drilled = answer.drilled_analysis.motion.unwrap();
    assert!((drilled.min_transmission.0 - 65.5).abs() < 0.05);
    assert!((m.low.unwrap().0 - 121.0).abs() < 0.05 && (m.high.unwrap().0 - 165.0).abs() < 0.05);
    assert!((best.fit.0 - 0.995).abs() < 0.006, "{}", best.fit.0);
}

/// A draft of the same bear whose motor stood elsewhere: motor (330, 610), swing
/// 120..165, independently computed as above. Clamps +84.4 open, -122.0 crossed.
#[test]
fn the_draft_bear() {
    let mut w = drummer(2.0);
    w.motor = BoardPoint::mm(330.0, 610.0);
    w.sweep = (Deg(120.0), Deg(165.0));
    w.sizes.crank = Size::Given(30.0);
    w.sizes.lever = Size::Given(80.0);
    let best = solve(&w).unwrap().best;
    assert!((best.linkage.bars().rod.0 - 315.91).abs() < 0.005, "{best:?}");
    assert!((best.push.0 - 67.34).abs() < 0.005);
    let m = best.linkage.analyse().motion.unwrap();
    assert!((m.min_transmission_at.0 - 123.7).abs() < 0.05, "{m:?}");
    assert!((m.max_speed_ratio.unwrap() - 0.379).abs() < 0.0005);
    assert!((m.max_acceleration_ratio.unwrap() - 0.445).abs() < 0.0005);
    let exact = solve(&Wish { within: Some(Deg(0.0)), ..w }).unwrap().best;
    assert!((exact.linkage.bars().rod.0 - 331.04).abs() < 0.005, "{exact:?}");
    assert!((exact.push.0 - 56.47).abs() < 0.005 && (exact.time_ratio - 1.024).abs() < 0.0005);
    for (assembly, want) in [(Assembly::Open, 84.4), (Assembly::Crossed, -122.0)] {
        let got = solve(&Wish { assembly: Some(assembly), ..w }).unwrap().best.linkage.clamp().0;
        assert!((got - want).abs() < 0.06, "{assembly:?} {got}");
    }
    for (a, c, rod, swing, push) in [
        (40.0, 110.0, 320.91, 43.0, 61.08),
        (40.0, 120.0, 354.75, 43.0, 45.85),
        (30.0, 90.0, 350.37, 43.0, 45.59),
    ] {
        let mut w = w;
        w.sizes.crank = Size::Given(a);
        w.sizes.lever = Size::Given(c);
        let best = solve(&w).unwrap().best;
        assert!((best.linkage.bars().rod.0 - rod).abs() < 0.005, "{best:?}");
        assert!((best.swing.0 - swing).abs() < 0.005 && (best.push.0 - push).abs() < 0.005);
    }
}

/// Heron, fox and scarecrow of the demo season, independently computed as above.
#[test]
fn more_of_the_demo_season() {
    let rows = [
        // motor, pivot, crank, rod, lever, swing, push, ratio, ground
        ((260.0, 570.0), (197.0, 820.0), 30.0, 250.0, 70.0, 50.75, 63.7, 1.000),
        ((420.0, 500.0), (300.0, 700.0), 30.0, 217.0, 90.0, 38.94, 68.8, 1.001),
        // The ratio was noted as 1.001; 180.036 against 179.964 degrees is 1.0004.
        ((0.0, 0.0), (0.0, 300.0), 30.0, 288.0, 90.0, 38.9, 69.5, 1.0004),
    ];
    for ((mx, my), (px, py), a, b, c, swing, push, ratio) in rows {
        let centres = (BoardPoint::mm(mx, my), BoardPoint::mm(px, py));
        let lengths = (Mm(a), Mm(b), Mm(c));
        let f = FourBar::new(centres, lengths, Deg(0.0), Assembly::Open).unwrap();
        let m = f.analyse().motion.unwrap();
        assert!((m.sweep.0 - swing).abs() < 0.05, "{m:?}");
        assert!((m.min_transmission.0 - push).abs() < 0.06, "{m:?}");
        assert!((m.time_ratio.unwrap() - ratio).abs() < 0.0006, "{m:?}");
    }
}

#[test]
fn preferences_keep_their_word() {
    let push = solve(&drummer(2.0)).unwrap().best;
    for prefer in [Prefer::Build, Prefer::Light, Prefer::Even] {
        let best = solve(&Wish { prefer, ..drummer(2.0) }).unwrap().best;
        assert!(best.push.0 >= 45.0 - 1e-6, "{prefer:?} {best:?}");
        let speed = |f: &FourBar| f.analyse().motion.unwrap().max_speed_ratio.unwrap();
        match prefer {
            Prefer::Build => assert!(best.fit >= push.fit),
            Prefer::Light => assert!(speed(&best.linkage) <= speed(&push.linkage) + 1e-12),
            Prefer::Even => assert!(best.time_ratio <= push.time_ratio + 1e-9),
            Prefer::Usual | Prefer::Push => {}
        }
    }
}

#[test]
fn open_cranks_and_levers_find_the_end_of_their_range() {
    let mut w = drummer(2.0);
    w.sizes.crank = Size::Between { lo: 25.0, hi: 45.0 };
    w.sizes.lever = Size::Between { lo: 60.0, hi: 120.0 };
    let best = solve(&w).unwrap().best;
    let grid = scan(&w, 800).unwrap();
    assert!(best.push.0 >= grid - 1e-3, "{best:?} {grid}");
    let again = solve(&w).unwrap().best;
    assert_eq!(best, again);
}

#[test]
fn a_rating_breaks_ties_only() {
    let like_crossed = |f: &FourBar| u32::from(f.assembly() == Assembly::Open);
    let w = Wish { rate: Some(&like_crossed), ..drummer(2.0) };
    let best = solve(&w).unwrap().best;
    assert_eq!(best.linkage.assembly(), Assembly::Crossed);
    assert_eq!(best.push, solve(&drummer(2.0)).unwrap().best.push);
}

#[test]
fn says_what_is_in_the_way() {
    let wide = Wish { sweep: (Deg(0.0), Deg(150.0)), ..drummer(2.0) };
    assert!(matches!(solve(&wide).unwrap_err().reason, Reason::SweepTooWide { .. }));
    let mut rod = drummer(2.0);
    rod.sizes.rod = Size::Given(400.0);
    let no = solve(&rod).unwrap_err();
    assert!(matches!(no.reason, Reason::Rod { needs } if (needs.0 - 159.9).abs() < 0.1), "{no:?}");
    assert!(no.nearest.iter().any(|n| matches!(n.change, Change::Rod(_))));
    let small = Wish { sweep: (Deg(140.0), Deg(145.0)), ..drummer(2.0) };
    let no = solve(&small).unwrap_err();
    assert!(matches!(no.reason, Reason::SwingsTooMuch { .. }), "{no:?}");
    assert!(no.nearest.iter().any(|n| matches!(n.change, Change::Sweep { .. })));
    let mut close = drummer(2.0);
    close.motor = BoardPoint::mm(155.0, 880.0);
    assert_eq!(solve(&close).unwrap_err().reason, Reason::CannotTurn);
    let backwards = Wish { sweep: (Deg(165.0), Deg(121.0)), ..drummer(2.0) };
    assert!(matches!(solve(&backwards).unwrap_err().reason, Reason::Nonsense(_)));
}

#[test]
fn the_table_of_holes() {
    let table = holes(&drummer(2.0)).unwrap();
    assert_eq!(table.len(), 4 * 6);
    let best = table
        .iter()
        .filter_map(|h| h.outcome.ok().map(|f| (f.push.0, h)))
        .fold((0.0, None), |b, (p, h)| if p > b.0 { (p, Some(h)) } else { b });
    let (crank, lever) = best.1.map(|h| (h.crank, h.lever)).unwrap();
    assert_eq!((crank, lever), (Mm(30.0), Mm(80.0)));
    assert!(table.iter().any(|h| matches!(h.outcome, Err(WhyNot::Swing { .. }))));
    let mut given = drummer(2.0);
    given.sizes.rod = Size::Given(160.0);
    for h in holes(&given).unwrap() {
        let want = rock(given.motor.distance(given.pivot).0, h.crank.0, 160.0, h.lever.0);
        match (h.outcome, want) {
            (Ok(fit), Some((swing, push))) => {
                assert!((fit.sweep.0 - swing).abs() < 1e-6 && (fit.push.0 - push).abs() < 1e-6);
            }
            (Err(_), None) => {}
            other => panic!("{h:?} {other:?}"),
        }
    }
}

// Boxed: the unoptimised trees of values are too big for a test's stack otherwise.
fn size() -> BoxedStrategy<Size> {
    let number = prop_oneof![
        4 => -50.0..400.0f64,
        1 => Just(f64::NAN),
        1 => Just(f64::INFINITY),
        1 => Just(0.0),
        1 => Just(1e300),
    ];
    let three = (number.clone(), number.clone(), number.clone());
    prop_oneof![
        number.prop_map(Size::Given),
        Just(Size::Free),
        three.clone().prop_map(|(lo, hi, _)| Size::Between { lo, hi }),
        three.prop_map(|(lo, hi, step)| Size::Row { lo, hi, step }),
    ]
    .boxed()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_wish_is_too_wild(
        sizes in [size(), size(), size(), size()],
        place in [-500.0..500.0f64, 0.0..900.0f64],
        sweep in [-400.0..400.0f64, -400.0..400.0f64],
        within in prop_oneof![Just(None), (-1.0..20.0f64).prop_map(Some), Just(Some(f64::NAN))],
        prefer in prop_oneof![
            Just(Prefer::Usual), Just(Prefer::Build), Just(Prefer::Light), Just(Prefer::Even)
        ],
    ) {
        let [crank, rod, lever, clamp] = sizes;
        let sizes = Sizes { crank, rod, lever, clamp };
        let (motor, pivot) = (BoardPoint::origin(), BoardPoint::mm(place[0], place[1]));
        let within = within.map(Deg);
        let w = Wish { within, prefer, ..wish(motor, pivot, sizes, (sweep[0], sweep[1])) };
        if let Ok(answer) = solve(&w) {
            check(&w, &answer);
            prop_assert!((0.0..=1.0).contains(&answer.best.fit.0));
        }
        let _ = holes(&w);
    }
}
