//! Rates of the moving parts: `cargo bench --bench kinematics`.
//!
//! Its own small clockwork: every figure is the best of several rounds, printed
//! with its ratio to a plain root finder timed in the same run.
#![allow(clippy::print_stdout)]

use std::hint::black_box;
use std::time::Instant;

use yardwright::geometry::{BoardPoint, Body, Dir};
use yardwright::mechanism::Slide;
use yardwright::mechanism::cam::size::{self, Asked, Rules, Wish as CamWish};
use yardwright::mechanism::cam::{Law, Programme, Runs, SlidingFoot};
use yardwright::mechanism::solve::{Prefer, Size, Sizes, Wish, solve};
use yardwright::mechanism::{Assembly, Dirs, FourBar, Input, Mechanism, Path, Shaft, Sweep};
use yardwright::units::{Deg, Mm, System};

/// Seconds per call: the best of `rounds`, each of `calls` calls.
fn time(rounds: usize, calls: usize, mut f: impl FnMut(usize)) -> f64 {
    let mut best = f64::INFINITY;
    for _ in 0..rounds {
        let start = Instant::now();
        for i in 0..calls {
            f(i);
        }
        best = best.min(start.elapsed().as_secs_f64() / calls as f64);
    }
    best
}

fn linkage(k: usize) -> FourBar {
    let grow = (k % 97) as f64 * 0.1;
    let centres = (BoardPoint::mm(310.0, 806.0), BoardPoint::mm(150.0, 880.0 + grow));
    let lengths = (Mm(30.0 + grow * 0.2), Mm(160.0 + grow), Mm(80.0));
    match FourBar::new(centres, lengths, Deg(127.0), Assembly::Crossed) {
        Ok(f) => f,
        Err(why) => unreachable!("sizes of the bench are fine: {why:?}"),
    }
}

/// A plain root finder on the loop equation: Newton from the last angle.
fn newton(f: &FourBar, phi: f64, psi: f64) -> f64 {
    let (bars, ground) = (f.bars(), f.pivot() - f.motor());
    let (ax, ay) = (bars.crank.0 * libm::cos(phi), bars.crank.0 * libm::sin(phi));
    let mut psi = psi;
    for _ in 0..50 {
        let (s, c) = (libm::sin(psi), libm::cos(psi));
        let dx = ground.x + bars.lever.0 * c - ax;
        let dy = ground.y + bars.lever.0 * s - ay;
        let miss = dx * dx + dy * dy - bars.rod.0 * bars.rod.0;
        let step = miss / (2.0 * bars.lever.0 * (dy * c - dx * s));
        psi -= step;
        if step.abs() < 1e-13 {
            break;
        }
    }
    psi
}

fn wish(sizes: Sizes) -> Wish<'static> {
    Wish {
        motor: BoardPoint::mm(310.0, 806.0),
        pivot: BoardPoint::mm(150.0, 880.0),
        sizes,
        sweep: (Deg(121.0), Deg(165.0)),
        within: Some(Deg(2.0)),
        prefer: Prefer::Push,
        assembly: None,
        error: Mm(1.0),
        system: System::Metric,
        rate: None,
    }
}

/// The demo frog's cam with twice the lift, so that its pressure angle binds.
fn cams() {
    let turns = [120.0, 40.0, 120.0, 80.0].map(Deg);
    let Ok(programme) = Programme::rise_fall(Law::Poly345, turns) else {
        unreachable!("the segments make one turn")
    };
    let shaft = BoardPoint::mm(310.0, 600.0);
    let slide = Slide { from: shaft, along: Dir::NORTH };
    let foot = SlidingFoot::Roller { radius: Mm(8.0), offset: Mm(0.0) };
    let wish = CamWish {
        shaft,
        runs: Runs::Ccw,
        start: Deg(0.0),
        programme,
        base: Size::Free,
        limb: Asked::Slides { slide, low: Mm(0.0), high: Mm(40.0), foot },
        rules: Rules::usual(true),
    };
    let Ok(found) = size::solve(&wish) else { unreachable!("a frog can hop") };
    let cam: &dyn Mechanism = &found.cam;
    let path = Shaft::turning(shaft);
    let inputs: Vec<_> =
        (0..4096).filter_map(|i| path.motion(f64::from(i) * 0.001_5).ok()).collect();
    let plain: Vec<_> = (0..4096).filter_map(|i| path.at(f64::from(i) * 0.001_5).ok()).collect();
    let jets = time(50, 10, |_| {
        for i in &inputs {
            let _ = black_box(cam.motion(black_box(i)));
        }
    }) / inputs.len() as f64;
    let single = time(50, 10, |_| {
        for i in &plain {
            let _ = black_box(cam.position(black_box(i)));
        }
    }) / plain.len() as f64;
    let facts = time(20, 50, |_| {
        black_box(black_box(&found.cam).facts());
    });
    let profile = time(20, 20, |_| {
        let _ = black_box(black_box(&found.cam).profile(Mm(0.02)));
    });
    let corners = found.cam.profile(Mm(0.02)).map_or(0, |o| o.points().count());
    let solving = time(20, 20, |_| {
        let _ = black_box(size::solve(black_box(&wish)));
    });
    println!("cam: position {:.1} ns, with derivatives {:.1} ns", single * 1e9, jets * 1e9);
    println!(
        "cam: all figures {:.1} us, ? for the base circle {:.1} us",
        facts * 1e6,
        solving * 1e6
    );
    println!("cam: profile to 0.02 mm, {corners} points, {:.1} us", profile * 1e6);
}

fn main() {
    let f = linkage(0);
    let cranks: Vec<Dir> =
        (0..4096).map(|i| Dir::degrees(Deg(f64::from(i) * 360.0 / 4096.0))).collect();
    let columns: Dirs = cranks.iter().copied().collect();
    let mut out = columns.clone();
    let batch = time(200, 20, |_| {
        black_box(f.directions_into(black_box(&columns), black_box(&mut out)));
    }) / cranks.len() as f64;
    let mut sweep = Sweep::default();
    let full = time(200, 20, |_| {
        f.positions_into(black_box(&cranks), black_box(&mut sweep));
    }) / cranks.len() as f64;
    let host = Body::still(0.0, 0.0, Dir::EAST);
    let dynamic: &dyn Mechanism = &f;
    let single = time(50, 10, |_| {
        for &d in &cranks {
            let driver = Body::still(310.0, 806.0, d);
            let _ =
                black_box(dynamic.position(black_box(&Input { driver, host, coordinate: 0.0 })));
        }
    }) / cranks.len() as f64;
    let shaft = Shaft::turning(f.motor());
    let inputs: Vec<_> =
        (0..4096).filter_map(|i| shaft.motion(f64::from(i) * 0.001_5).ok()).collect();
    let jets = time(50, 10, |_| {
        for i in &inputs {
            let _ = black_box(dynamic.motion(black_box(i)));
        }
    }) / inputs.len() as f64;
    let mut psi = 4.6;
    let root = time(20, 4096, |i| {
        psi = newton(black_box(&f), i as f64 * 0.001_5, psi);
    });
    let linkages: Vec<FourBar> = (0..97).map(linkage).collect();
    let analysis = time(50, 500, |i| {
        black_box(black_box(&linkages[i % 97]).analyse());
    });
    let row = |lo, hi, step| Size::Row { lo, hi, step };
    let sizes = Sizes {
        crank: row(20.0, 70.0, 5.0),
        rod: Size::Free,
        lever: row(60.0, 140.0, 5.0),
        clamp: Size::Free,
    };
    let w = wish(sizes);
    let solving = time(50, 100, |_| {
        let _ = black_box(solve(black_box(&w)));
    });
    let ratio = |t: f64| root / t;
    cams();
    println!("plain root finder (Newton, warm)  {:8.2} M positions/s", 1e-6 / root);
    println!("directions, batch   {:8.1} M/s   {:6.1} x", 1e-6 / batch, ratio(batch));
    println!("with push angles    {:8.1} M/s   {:6.1} x", 1e-6 / full, ratio(full));
    println!("through the trait   {:8.1} M/s   {:6.1} x", 1e-6 / single, ratio(single));
    println!("with derivatives    {:8.1} M/s   {:6.1} x", 1e-6 / jets, ratio(jets));
    println!("whole analyses      {:8.0} /s", 1.0 / analysis);
    println!(
        "? over 11 x 17 holes, rod and clamp free, ranked, analysed, rounded: {:.1} us",
        solving * 1e6
    );
}
