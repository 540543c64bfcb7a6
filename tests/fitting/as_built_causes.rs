//! As built: causes that lie beside the sizes of the drive, on the other side of nought, or
//! in nothing at all; ends worked out here by dense samples of the pins.
#![allow(clippy::disallowed_methods)] // On purpose another library's sines.

use yardwright::check::Compiled;
use yardwright::emit::text::{TextOptions, report};

use super::compile;

fn named<'c>(compiled: &'c Compiled, limb: usize, name: &str) -> Option<f64> {
    let built = compiled.figures[0].limbs[limb].as_built.as_ref()?;
    let first = built.changes.iter().map(|c| (c.0, c.2));
    let mut all = first.chain(built.others.iter().map(|o| (&*o.name, o.built)));
    all.find(|(n, _)| *n == name).map(|f: (&'c str, f64)| f.1)
}

fn words(compiled: &Compiled) -> Vec<&str> {
    compiled.findings.iter().map(|f| f.code.word).collect()
}

/// Least and largest of a limb's angle over a turn of its crank, deg.
fn ends(angle: impl Fn(f64, f64) -> f64) -> (f64, f64) {
    (0..36_000).map(|n| f64::from(n) * std::f64::consts::TAU / 36_000.0).fold(
        (f64::INFINITY, f64::NEG_INFINITY),
        |(low, high), turn| {
            let at = angle(turn.cos(), turn.sin());
            (low.min(at), high.max(at))
        },
    )
}

/// An arm whose slot was cut on the other side of its pivot: the pin, 40 about a motor 120
/// below the pivot, lies `e` left of the line that the slot points along.
#[test]
fn a_slot_on_the_other_side_of_its_pivot_is_named() {
    for (drawn, truly) in [(3.0, -5.0), (0.0, 6.0), (-4.0, 8.0)] {
        let (low, high) = ends(|cos, sin| {
            let (x, y): (f64, f64) = (40.0 * cos, -120.0 + 40.0 * sin);
            (y.atan2(x) - (truly / x.hypot(y)).asin()).to_degrees() + 90.0
        });
        let compiled = compile(&format!(
            "figure f {{ board plywood-9 600 mm by 900 mm
  limb arm {{ pivot (300, 500) mm  tip (600, 500) mm
    drive slotted-arm {{ motor wiper at (300, 380) mm  crank 40 mm  slot offset {drawn} mm at -90 deg }}
    measured {low:.2} deg to {high:.2} deg
    gesture wave {{ sweep -19.5 deg to 19.5 deg within 9 deg  cycle 3 s }} }} }}"
        ));
        let found = named(&compiled, 0, "slot beside the pivot");
        let found = found.unwrap_or_else(|| panic!("{drawn} {truly}: {:?}", compiled.findings));
        assert!((found - truly).abs() < 0.05, "{drawn}: {found}, truly {truly}");
    }
}

/// A cross slot that leans by t strokes 2 x 40/cos t (any textbook on the Scotch yoke).
#[test]
fn a_slot_that_leans_is_named() {
    let half: f64 = 40.0 / 20.0_f64.to_radians().cos();
    let compiled = compile(&format!(
        "figure f {{ board plywood-9 600 mm by 900 mm
  limb bow {{ slide from (300, 400) mm to (300, 560) mm
    drive scotch-yoke {{ motor wiper at (300, 480) mm  crank 40 mm }}
    measured stroke {:.2} mm to {:.2} mm
    gesture saw {{ stroke 40 mm to 120 mm within 9 mm  cycle 3 s }} }} }}",
        80.0 - half,
        80.0 + half
    ));
    let found = named(&compiled, 0, "tilt").unwrap_or_else(|| panic!("{:?}", compiled.findings));
    assert!((found.abs() - 20.0).abs() < 0.2, "{found}");
}

/// A rod of a forearm pushed by an upper arm: both on fixed pivots, crank 30, rod 217 and
/// lever 90 at 17.5 deg above.
fn two_arms(rod_above: &str, measured: &str) -> Compiled {
    compile(&format!(
        "figure f {{ board plywood-9 700 mm by 1200 mm
  motor m wiper at (420, 500) mm
  limb upper {{ pivot (300, 700) mm tip (120, 700) mm
    drive four-bar {{ motor m crank 30 mm rod {rod_above} mm lever 90 mm at 17.5 deg assembly open }}
    gesture wave {{ sweep 195 deg to 235 deg within 20 deg  cycle 3 s }} }}
  limb fore {{ pivot (200, 500) mm tip (200, 300) mm
    drive four-bar from upper {{ anchor (200, 700) mm rod 150 mm lever 45 mm at 180 deg }}
    {measured} }} }}"
    ))
}

/// A motor that stands 12 mm beside its place, measured to a tenth: its place is named,
/// whatever else could be.
#[test]
fn a_motor_beside_its_place_is_named() {
    let yard = |x: f64, measured: &str| {
        compile(&format!(
            "figure f {{ board plywood-9 700 mm by 1500 mm
  limb arm {{ pivot (300, 900) mm  tip (700, 900) mm
    drive four-bar {{ motor wiper at ({x}, 600) mm  crank 30 mm  rod 288 mm  lever 90 mm at 176 deg  assembly open }}
    {measured}
    gesture wave {{ sweep 0 deg to 39 deg within 20 deg  cycle 3 s }} }} }}"
        ))
    };
    let (low, high) = swing(&yard(312.0, ""), 0);
    let compiled = yard(300.0, &format!("measured {low:.2} deg to {high:.2} deg"));
    let found = named(&compiled, 0, "motor, across");
    let found = found.unwrap_or_else(|| panic!("{:?}", compiled.findings));
    assert!((found - 312.0).abs() < 0.2, "{found}");
}

/// Ends of a limb as fitted.
fn swing(compiled: &Compiled, limb: usize) -> (f64, f64) {
    let fitted = compiled.figures[0].limbs[limb].mechanism.as_ref();
    let fitted = fitted.unwrap_or_else(|| panic!("{:?}", compiled.findings));
    let limits = *fitted.follows().unwrap().travel.unwrap().swing().unwrap();
    (limits.low.0, limits.high.0)
}

/// The rod of the limb above is 4 mm too long; the forearm alone was measured: it is named as
/// that of the limb above.
#[test]
fn a_size_of_the_limb_above_is_named() {
    let (low, high) = swing(&two_arms("221", ""), 1);
    let compiled = two_arms("217", &format!("measured {low:.2} deg to {high:.2} deg"));
    let told = compiled
        .findings
        .iter()
        .find(|f| f.code.word.contains("built") || f.code.word.contains("measured"));
    let told = told.unwrap_or_else(|| panic!("{:?}", compiled.findings));
    let words = format!("{} {}", told.message, told.help.as_ref().unwrap());
    assert!(words.contains("rod of the limb above 221 mm instead of 217 mm"), "{told:?}");
}

/// An arm of 400 mm from 0 to 39 deg: 2 x 400 x sin 19.5 deg = 267.0 mm apart; a protractor
/// reads a degree, a tape two millimetres.
#[test]
fn ends_and_tip_to_tip_that_contradict_each_other_are_told() {
    let arm = |measured: &str| {
        compile(&format!(
            "figure f {{ board plywood-9 700 mm by 1500 mm
  limb arm {{ pivot (300, 900) mm  tip (700, 900) mm
    drive four-bar {{ motor wiper at (300, 600) mm  crank 30 mm  rod 288 mm  lever 90 mm at 176.8 deg }}
    measured {measured}
    gesture wave {{ sweep 0 deg to 39 deg within 4 deg  cycle 3 s }} }} }}"
        ))
    };
    let told = |measured: &str| words(&arm(measured)).contains(&"measured-twice");
    for fine in ["267 mm", "255 mm", "279 mm"] {
        assert!(!told(&format!("0 deg to 39 deg tip-to-tip {fine}")), "{fine}");
    }
    for wrong in ["369 mm", "250 mm", "284 mm"] {
        assert!(told(&format!("0 deg to 39 deg tip-to-tip {wrong}")), "{wrong}");
    }
    let compiled = arm("0 deg to 39 deg tip-to-tip 369 mm");
    let found = compiled.findings.iter().find(|f| f.code.word == "measured-twice").unwrap();
    assert!(found.message.contains("tip to tip is 369 mm"), "{}", found.message);
}

/// What the drawn sizes explain is told as that, and is no finding.
#[test]
fn a_limb_measured_as_drawn_says_so() {
    let compiled = compile(
        "figure f { board plywood-9 700 mm by 1500 mm
  limb arm { pivot (300, 900) mm  tip (700, 900) mm
    drive four-bar { motor wiper at (300, 600) mm  crank 30 mm  rod 288 mm  lever 90 mm at 176.8 deg }
    measured 0 deg to 39 deg
    gesture wave { sweep 0 deg to 39 deg within 4 deg  cycle 3 s } } }",
    );
    assert!(!words(&compiled).iter().any(|w| w.contains("built") || w.contains("measured")));
    let text = report(&compiled, &TextOptions::default());
    let text = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(text.contains("measured as drawn, within what a protractor reads"), "{text}");
}
