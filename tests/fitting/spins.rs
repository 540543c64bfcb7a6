//! Belts, chains and gears: figures shown, open lengths and open places, against a belt
//! laid by hand and an independent sum of its arcs and straights.

use yardwright::check::Compiled;
use yardwright::finding::Severity;
use yardwright::fit::{Fitted, FittedSpin, Measure};
use yardwright::geometry::BoardPoint;

use super::compile;

fn sails(motor: &str, drive: &str) -> Compiled {
    compile(&format!(
        "figure windmill {{ board plywood-9 500 mm by 1150 mm\n motor m wiper {motor}\n limb sails {{ pivot (250, 900) mm  tip (570, 900) mm\n \
         drive spin {{ motor m  {drive} }}\n gesture round {{ spin 1 turn per 4 s }} }} }}"
    ))
}

fn spin(compiled: &Compiled) -> &FittedSpin {
    match &compiled.figures[0].limbs[0].mechanism {
        Some(Fitted::Spin(spin)) => spin,
        other => panic!("{other:?} {:?}", compiled.findings),
    }
}

fn figure(spin: &FittedSpin, name: &str) -> f64 {
    let found = spin.figures.iter().find(|f| f.name == name);
    match found.unwrap_or_else(|| panic!("{name}: {:?}", spin.figures)).value {
        Measure::Length(l) => l.0,
        Measure::Angle(a) => a.0,
        Measure::Number(n) => n,
        other => panic!("{other:?}"),
    }
}

fn errors(compiled: &Compiled) -> Vec<&str> {
    let wrong = compiled.findings.iter().filter(|f| f.severity == Severity::Error);
    wrong.map(|f| f.code.word).collect()
}

/// Once round two pitch circles by their tangent points: two straights between points that
/// are worked out one by one, and two arcs counted from them.
fn round(teeth: (f64, f64), pitch: f64, centres: f64, crossed: bool) -> (f64, f64) {
    let radius = |z: f64| z * pitch / std::f64::consts::TAU;
    let (small, large) = (radius(teeth.0.min(teeth.1)), radius(teeth.0.max(teeth.1)));
    let side = if crossed { -1.0 } else { 1.0 };
    // The radii to both tangent points are square to the straight; small wheel at (0, 0),
    // large one at (centres, 0): cos(a) = (small - side large)/centres measured from +x.
    let a = libm::acos((small - side * large) / centres);
    let p = (small * libm::cos(a), small * libm::sin(a));
    let q = (centres + side * large * libm::cos(a), side * large * libm::sin(a));
    let straight = libm::hypot(q.0 - p.0, q.1 - p.1);
    let wrap = std::f64::consts::TAU - 2.0 * a;
    let other = if crossed { wrap } else { std::f64::consts::TAU - wrap };
    (2.0 * straight + small * wrap + large * other, wrap.to_degrees())
}

/// The figures of a belt are those of its tangent points, open and crossed, and it wraps
/// 360 deg round both wheels together where it does not cross.
#[test]
fn a_belts_figures_are_those_of_its_tangent_points() {
    for (crossed, at) in [("", 700.6), ("", 640.0), ("crossed", 650.0)] {
        let compiled =
            sails(&format!("at (250, {at}) mm"), &format!("belt 20 40 {crossed} pitch 5 mm"));
        let spin = spin(&compiled);
        let (length, wrap) = round((20.0, 40.0), 5.0, 900.0 - at, !crossed.is_empty());
        assert!((figure(spin, "length_on_centres") - length).abs() < 1e-9, "{length}");
        assert!((figure(spin, "wrap_small") - wrap).abs() < 1e-9, "{wrap}");
        assert!((figure(spin, "teeth_in_mesh") - 20.0 * wrap / 360.0).abs() < 1e-9);
        assert!((figure(spin, "centres") - (900.0 - at)).abs() < 1e-9);
        let both = figure(spin, "wrap_small") + figure(spin, "wrap_large");
        assert!(!crossed.is_empty() || (both - 360.0).abs() < 1e-9);
        assert_eq!(spin.ratio, if crossed.is_empty() { 0.5 } else { -0.5 });
    }
}

/// 20 and 40 teeth of 5 mm, 200 mm apart, take 551 mm: the nearest belt has 110 teeth; of
/// a shop's row 500, 600, 700 mm it is 600; a chain closes with an even number of links.
#[test]
fn an_open_length_is_the_nearest_that_exists() {
    for (drive, length) in [
        ("belt 20 40 pitch 5 mm length ?", 550.0),
        ("belt 20 40 pitch 5 mm length ? 500 to 700 mm by 100 mm", 600.0),
        ("belt 20 40 pitch 5 mm length ? 560 to 700 mm", 560.0),
        ("chain 16 32 pitch 12.7 mm length ?", 711.2),
    ] {
        let compiled = sails("at (250, 700.6) mm", drive);
        let found = spin(&compiled).length.unwrap();
        assert!(found.solved() && (found.exact - length).abs() < 1e-9, "{drive}: {found:?}");
        let pitch = if drive.starts_with("chain") { 25.4 } else { 5.0 };
        let around = if pitch > 20.0 { (16.0, 32.0, 12.7) } else { (20.0, 40.0, 5.0) };
        let exact = round((around.0, around.1), around.2, 199.4, false).0;
        if drive.ends_with('?') {
            assert!((found.exact - exact).abs() <= pitch / 2.0 + 1e-9, "{exact}");
        }
    }
    let none = sails("at (250, 700.6) mm", "belt 20 40 pitch 5 mm length ? 551 to 554 mm");
    assert_eq!(errors(&none), ["nothing-fits"]);
}

/// The motor's place is open: the belt, the chain, the gears decide how far away it is, to
/// a hundredth of a millimetre, and the region in which direction.
#[test]
fn an_open_place_is_as_far_away_as_belt_and_gears_want() {
    for (at, drive) in [
        ("? near (250, 720) mm", "belt 20 40 pitch 5 mm length 550 mm"),
        ("? near (250, 720) mm", "belt 20 40 crossed pitch 5 mm length 600 mm"),
        ("? from (100, 700) mm to (400, 720) mm", "belt 20 40 pitch 5 mm length 550 mm"),
        ("? in (100, 650) mm to (200, 800) mm", "belt 20 40 pitch 5 mm length 550 mm"),
        ("? near (250, 720) mm within 30 mm", "belt 20 40 pitch 5 mm length ?"),
        ("? near (250, 840) mm", "gears 20 60 module 1.5 mm"),
    ] {
        let compiled = sails(&format!("at {at}"), drive);
        assert_eq!(errors(&compiled), [""; 0], "{at} {drive}: {:?}", compiled.findings);
        let motor = compiled.figures[0].place_of(0).unwrap_or_else(|| panic!("{at} {drive}"));
        let far = motor.distance(BoardPoint::mm(250.0, 900.0)).0;
        if drive.starts_with("gears") {
            assert!((far - 60.0).abs() < 0.011, "{far}");
        } else {
            let length = spin(&compiled).length.unwrap().exact;
            let crossed = drive.contains("crossed");
            let once = round((20.0, 40.0), 5.0, far, crossed).0;
            assert!((once - length).abs() < 0.03, "{at} {drive}: {once} {length} {far}");
        }
    }
    let far = sails("at ? near (250, 200) mm within 20 mm", "belt 20 40 pitch 5 mm length 550 mm");
    assert!(!errors(&far).is_empty(), "no place there is 199.4 mm from the limb");
}

/// A wheel without teeth was left out, and the limb turned once for each turn of its motor.
#[test]
fn a_wheel_of_no_teeth_and_a_lone_wheel_are_told() {
    for (train, told) in [
        ("belt 20 0", "a wheel of 0 teeth"),
        ("gears 1 40", "a wheel of 1 tooth"),
        ("chain 16", "the teeth of one wheel"),
        ("ratio 0", "would turn 0 times"),
        ("ratio 1000000", "would turn 1000000 times"),
        ("belt 20 40", ""),
        ("ratio 0.5 reversed", ""),
    ] {
        let compiled = compile(&format!(
            "figure windmill {{ board plywood-9 500 mm by 1150 mm
 limb sails {{ pivot (250, 900) mm tip (450, 900) mm
  drive spin {{ motor wiper at (250, 700) mm {train} }} gesture round {{ spin 1 turn per 4 s }} }} }}"
        ));
        let unfit = compiled.findings.iter().find(|f| f.code.word == "ratio-unfit");
        let message = unfit.map_or("", |f| f.message.as_str());
        assert_eq!(message.is_empty(), told.is_empty(), "{train}: {message}");
        assert!(message.contains(told), "{train}: {message}");
    }
}
