//! A servo's rod of which everything is open, against a search that shares no code with
//! the program: circles cut with each other, every pair of the usual holes with a net of
//! clamps and rods, the best of it climbed from by chance steps and then marked out.
#![allow(clippy::disallowed_methods)] // On purpose another library's sines.

use yardwright::geometry::BoardPoint;
use yardwright::mechanism::solve::{Prefer, ServoWish, Size, Sizes, solve_servo};
use yardwright::units::{Deg, Mm, System};

use super::reference::Rng;
use super::servo_wishes::{scanned, walked};

/// A net of clamps and rods for each pair, and what is climbed from.
const CLAMPS: usize = 24;
const RODS: usize = 8;
const TOPS: usize = 40;

/// The best worst push of all usual holes with whole degrees and half millimetres.
fn best_marked(w: &ServoWish, rng: &mut Rng) -> Option<f64> {
    let push = |bars: [f64; 4]| {
        let both = [0, 1].into_iter().filter_map(|elbow| scanned(w, bars, elbow));
        both.map(|found| found.0).reduce(f64::max)
    };
    let ground = w.servo.distance(w.pivot).0;
    let mut net = Vec::new();
    for arm in (2..=6).map(|n| 5.0 * f64::from(n)) {
        for lever in (2..=12).map(|n| 5.0 * f64::from(n)) {
            let (lo, hi) = ((ground - arm - lever).max(4.0), ground + arm + lever);
            for n in 0..CLAMPS * RODS {
                let clamp = 360.0 * (n / RODS) as f64 / CLAMPS as f64;
                let rod = lo + (hi - lo) * ((n % RODS) as f64 + 0.5) / RODS as f64;
                let bars = [arm, rod, lever, clamp];
                net.extend(push(bars).map(|p| (p, bars)));
            }
        }
    }
    net.sort_by(|a, b| b.0.total_cmp(&a.0));
    let mut best = None;
    for (mut top, mut bars) in net.into_iter().take(TOPS) {
        let (mut mm, mut deg, mut failed) = (6.0, 10.0, 0);
        while mm > 0.05 {
            let mut next = bars;
            next[1] += mm * (2.0 * rng.unit() - 1.0);
            next[3] += deg * (2.0 * rng.unit() - 1.0);
            match push(next).filter(|p| *p > top) {
                Some(p) => (top, bars, failed) = (p, next, 0),
                None => failed += 1,
            }
            if failed > 20 {
                (mm, deg, failed) = (0.5 * mm, 0.5 * deg, 0);
            }
        }
        for n in 0..25 {
            let (rod, clamp) = ((2.0 * bars[1]).round() / 2.0, bars[3].round());
            let by = (f64::from(n / 5 - 2), f64::from(n % 5 - 2));
            let marked = push([bars[0], rod + 0.5 * by.0, bars[2], clamp + by.1]);
            best = best.max(marked.map(|p| (p * 1e6) as i64));
        }
    }
    best.map(|p| p as f64 / 1e6)
}

#[test]
fn with_everything_open_it_pushes_as_well_as_anything_does() {
    let mut rng = Rng(20_271_129);
    let (mut sum, mut worst, mut count) = (0.0, 0.0_f64, 0);
    for n in 0..24 {
        let turn = std::f64::consts::TAU * rng.unit();
        let far = 35.0 + 120.0 * rng.unit();
        let middle = 360.0 * rng.unit() - 180.0;
        let half = 10.0 + 40.0 * rng.unit();
        let travel = half.max(35.0) + 30.0 * rng.unit();
        let open = Size::Free;
        let wish = ServoWish {
            servo: BoardPoint::mm(0.0, 0.0),
            pivot: BoardPoint::mm(far * turn.cos(), far * turn.sin()),
            sizes: Sizes { crank: open, rod: open, lever: open, clamp: open },
            used: (Deg(middle - half), Deg(middle + half)),
            travel: (Deg(-travel), Deg(travel)),
            sign: 1.0,
            zero: if n % 3 == 2 { Size::Given(middle) } else { open },
            within: Deg(2.0),
            prefer: Prefer::Push,
            assembly: None,
            error: Mm(1.0),
            system: System::Metric,
        };
        let Some(best) = best_marked(&wish, &mut rng).filter(|b| *b > 20.5) else { continue };
        let found = solve_servo(&wish).unwrap_or_else(|no| panic!("{best} {wish:?}: {no:?}"));
        walked(&wish, &found.best, "everything open");
        let missed = (best - found.best.push.0).max(0.0);
        assert!(missed < 0.8, "{n}: {best} {:?} for {wish:?}", found.best);
        (sum, worst, count) = (sum + missed, worst.max(missed), count + 1);
    }
    assert!(count >= 20 && sum / f64::from(count) < 0.15, "{count}: {sum} in all, {worst}");
}
