//! Rates of the moving parts: `cargo bench --bench kinematics`.
//!
//! Its own small clockwork: every figure is the best of several rounds, printed
//! with its ratio to a plain root finder timed in the same run.
#![allow(clippy::print_stdout)]

use std::hint::black_box;
use std::time::Instant;

use yardwright::geometry::{BoardPoint, Body, Dir};
use yardwright::mechanism::cam::size::{self, Asked, Rules, Wish as CamWish};
use yardwright::mechanism::cam::{Law, Programme, Runs, SlidingFoot};
use yardwright::mechanism::solve::{
    Anchor, CordWish, Drawer, ForearmWish, Prefer, RamWish, ServoWish, Size, Sizes, SliderWish,
    SlottedWish, Wish, YokeWish, solve, solve_cord, solve_forearm, solve_ram, solve_scotch_yoke,
    solve_servo, solve_slider_crank, solve_slotted_arm,
};
use yardwright::mechanism::{
    Above, Assembly, Dirs, Extending, Forearm, FourBar, Input, Lengths, Mechanism, Path, Ram, Rod,
    Role, ScotchYoke, Shaft, Side, Slide, SliderCrank, SlottedArm, Span, Strut, Sweep,
};
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
        prefer: Prefer::Usual,
        assembly: None,
        error: Mm(1.0),
        system: System::Metric,
        rate: None,
    }
}

/// Positions, positions with derivatives, whole cycles and `?` of the crank kinds.
fn other_cranks() {
    let motor = BoardPoint::mm(310.0, 806.0);
    let pivot = BoardPoint::mm(310.0, 700.0);
    let slide = Slide { from: BoardPoint::mm(400.0, 816.0), along: Dir::EAST };
    let (Ok(arm), Ok(slider), Ok(yoke)) = (
        SlottedArm::new((motor, pivot), Mm(30.0), Mm(5.0), Deg(10.0)),
        SliderCrank::new(motor, slide, (Mm(40.0), Mm(200.0)), Side::Ahead),
        ScotchYoke::new(motor, slide, Mm(40.0), Deg(10.0)),
    ) else {
        return;
    };
    let all: [(&str, &dyn Mechanism); 3] =
        [("slotted arm", &arm), ("slider-crank", &slider), ("Scotch yoke", &yoke)];
    let shaft = Shaft::turning(motor);
    let at: Vec<_> = (0..4096).filter_map(|i| shaft.at(f64::from(i) * 0.001_5).ok()).collect();
    let moving: Vec<_> =
        (0..4096).filter_map(|i| shaft.motion(f64::from(i) * 0.001_5).ok()).collect();
    for (name, mechanism) in all {
        let single = time(50, 10, |_| {
            for i in &at {
                let _ = black_box(mechanism.position(black_box(i)));
            }
        }) / at.len() as f64;
        let jets = time(50, 10, |_| {
            for i in &moving {
                let _ = black_box(mechanism.motion(black_box(i)));
            }
        }) / moving.len() as f64;
        let limits = time(50, 50, |_| {
            let _ = black_box(mechanism.limits(black_box(&shaft)));
        });
        println!(
            "{name:13} position {:5.1} ns   with derivatives {:5.1} ns   cycle {:5.1} us",
            single * 1e9,
            jets * 1e9,
            limits * 1e6
        );
    }
    let (crank, rod, clamp) = (Size::Row { lo: 20.0, hi: 70.0, step: 5.0 }, Size::Free, Size::Free);
    let (prefer, error, within) = (Prefer::Usual, Mm(1.0), None);
    let (sweep, offset) = ((Deg(70.0), Deg(110.0)), Mm(5.0));
    let slotted = SlottedWish { motor, pivot, crank, clamp, offset, sweep, within, prefer, error };
    let (stroke, side, free) = ((Mm(70.0), Mm(150.0)), None, Size::Free);
    let sliding =
        SliderWish { motor, slide, crank: free, rod, side, stroke, within: None, prefer, error };
    let stroke = (Mm(-130.0), Mm(-50.0));
    let tilt = Deg(0.0);
    let yoked = YokeWish { motor, slide, crank, tilt, stroke, within: None, prefer, error };
    let arms = time(20, 50, |_| {
        let _ = black_box(solve_slotted_arm(black_box(&slotted)));
    });
    let sliders = time(20, 50, |_| {
        let _ = black_box(solve_slider_crank(black_box(&sliding)));
    });
    let yokes = time(20, 50, |_| {
        let _ = black_box(solve_scotch_yoke(black_box(&yoked)));
    });
    println!(
        "? of slotted arm {:.1} us, slider-crank with any crank and rod {:.1} us, Scotch yoke {:.1} us",
        arms * 1e6,
        sliders * 1e6,
        yokes * 1e6
    );
}

/// A forearm riding on the limb of a four-bar: the orchard's fox.
fn elbow() -> Rod {
    Rod {
        pin: [250.0, 650.0],
        pivot: [180.0, 0.0],
        length: Mm(110.0),
        lever: Mm(40.0),
        clamp: Dir::WEST,
        assembly: Assembly::Crossed,
    }
}

fn fox() -> FourBar {
    let centres = (BoardPoint::mm(420.0, 500.0), BoardPoint::mm(300.0, 700.0));
    let lengths = (Mm(30.0), Mm(217.0), Mm(90.0));
    match FourBar::new(centres, lengths, Deg(17.5), Assembly::Open) {
        Ok(f) => f,
        Err(why) => unreachable!("sizes of the bench are fine: {why:?}"),
    }
}

/// Rams, cords and forearms: one position with both derivatives, and `?`.
fn other_kinds() {
    let (upper, rod) = (fox(), elbow());
    let shaft = Shaft::turning(upper.motor());
    let above = Above { mechanism: &upper, path: &shaft, role: Role::Host };
    let six: &dyn Path = &above;
    let chain = time(50, 4096, |i| {
        let at = six.motion(black_box(i as f64 * 0.001_5));
        let _ = black_box(at.and_then(|at| rod.motion(&at)));
    });
    let whole = time(20, 20, |_| {
        let _ = black_box(Forearm { above, rod: black_box(rod) }.analyse());
    });
    let lengths = Lengths::new(Mm(205.0), Mm(305.0));
    let pivot = BoardPoint::mm(100.0, 300.0);
    let strut = lengths.and_then(|lengths| {
        let centres = (BoardPoint::mm(333.2, 165.4), pivot);
        Ram::new(Strut::Ram, centres, lengths, (Mm(100.0), Deg(0.0)), Assembly::Open)
    });
    let Ok(ram) = strut else { unreachable!("sizes of the bench are fine: {strut:?}") };
    let dynamic: &dyn Mechanism = &ram;
    let path = Extending { span: Span::part(205.0, 305.0) };
    let one = time(50, 4096, |i| {
        let at = path.motion(black_box(206.0 + i as f64 * 0.02));
        let _ = black_box(at.and_then(|at| dynamic.motion(&at)));
    });
    let ram_analysis = time(50, 1000, |_| {
        black_box(black_box(&ram).analyse());
    });
    let row = |lo, hi, step| Size::Row { lo, hi, step };
    let wish = RamWish {
        strut: Strut::Ram,
        pivot,
        anchor: Anchor::Open { distance: Size::Free, bearing: Some(Deg(-30.0)) },
        lengths: ram.lengths(),
        lever: row(60.0, 140.0, 5.0),
        clamp: Size::Free,
        sweep: (Deg(20.0), Deg(85.0)),
        within: None,
        assembly: None,
        prefer: Prefer::Usual,
        error: Mm(1.0),
    };
    let rams = time(20, 50, |_| {
        let _ = black_box(solve_ram(black_box(&wish)));
    });
    let pins = [rod.pin];
    let wish = ForearmWish {
        above,
        pins: &pins,
        pivot: rod.pivot,
        rod: Size::Free,
        lever: row(30.0, 60.0, 5.0),
        clamp: Size::Free,
        sweep: (Deg(240.5), Deg(318.8)),
        within: None,
        assembly: None,
    };
    let forearms = time(10, 10, |_| {
        let _ = black_box(solve_forearm(black_box(&wish)));
    });
    let guides = [BoardPoint::mm(60.0, 250.0), BoardPoint::mm(120.0, 380.0)];
    let wish = CordWish {
        drawer: Drawer::Crank { shaft: BoardPoint::mm(20.0, 20.0), radius: row(20.0, 60.0, 5.0) },
        guides: &guides,
        across: None,
        pivot: BoardPoint::mm(260.0, 420.0),
        lever: row(60.0, 120.0, 10.0),
        clamp: Size::Free,
        sweep: (Deg(10.0), Deg(50.0)),
        within: None,
        assembly: None,
    };
    let cords = time(10, 10, |_| {
        let _ = black_box(solve_cord(black_box(&wish)));
    });
    println!("six-bar, both loops with derivatives {:8.0} ns", chain * 1e9);
    println!("six-bar, whole turn analysed         {:8.1} us", whole * 1e6);
    println!("ram with derivatives                 {:8.0} ns", one * 1e9);
    println!("ram, stroke analysed                 {:8.0} ns", ram_analysis * 1e9);
    println!("? ram, 17 holes, anchor and clamp free       {:8.1} us", rams * 1e6);
    println!("? forearm, 7 holes, rod and clamp free       {:8.1} us", forearms * 1e6);
    println!("? cord, 9 cranks x 7 holes, clamp free       {:8.1} us", cords * 1e6);
}

/// A servo's rod: one pair of holes, and rows of them, where no parallelogram reaches.
fn servos() {
    let row = |lo, hi, step| Size::Row { lo, hi, step };
    let sizes = |crank, lever| Sizes { crank, rod: Size::Free, lever, clamp: Size::Free };
    let wish = |sizes| ServoWish {
        servo: BoardPoint::mm(110.0, 680.0),
        pivot: BoardPoint::mm(210.0, 740.0),
        sizes,
        used: (Deg(50.0), Deg(110.0)),
        travel: (Deg(-50.0), Deg(50.0)),
        sign: 1.0,
        zero: Size::Free,
        within: Deg(2.0),
        prefer: Prefer::Usual,
        assembly: None,
        error: Mm(1.0),
        system: System::Metric,
    };
    let one = wish(sizes(Size::Given(25.0), Size::Given(40.0)));
    let rows = wish(sizes(row(10.0, 28.0, 4.5), row(30.0, 60.0, 5.0)));
    let usual = wish(sizes(Size::Free, Size::Free));
    let time = |w: &ServoWish| {
        time(20, 50, |_| {
            let _ = black_box(solve_servo(black_box(w)));
        }) * 1e6
    };
    println!("? servo rod, one pair of holes               {:8.1} us", time(&one));
    println!("? servo rod, 5 arms x 7 levers, clamp free   {:8.1} us", time(&rows));
    println!("? servo rod, everything open                 {:8.1} us", time(&usual));
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
    other_cranks();
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
    other_kinds();
    servos();
}
