//! The signs of offsets and tilts, each proved on a drawing by hand: what
//! `grammar/reference.md` says lies left, or counter-clockwise, does.

use yardwright::check::Compiled;
use yardwright::fit::{FittedDrive, Pose};
use yardwright::mechanism::Travel;
use yardwright::units::{Deg, Rad};

use super::compile;

fn limb(joint: &str, drive: &str) -> Compiled {
    compile(&format!(
        "figure f {{ board plywood-9 900 mm by 1200 mm\n motor m wiper at (300, 500) mm\n \
         limb a {{ {joint}\n drive {drive} }} }}"
    ))
}

fn drive(compiled: &Compiled) -> &FittedDrive {
    let fitted = compiled.figures[0].limbs[0].mechanism.as_ref();
    fitted.and_then(|f| f.as_drive()).unwrap_or_else(|| panic!("{:?}", compiled.findings))
}

/// Ends of a stroke, mm, and the crank's angle at the further one, deg in -180 to 180.
fn stroke(compiled: &Compiled) -> (f64, f64, f64) {
    match drive(compiled).exact.course.travel {
        Travel::Stroke(l) => (l.low.0, l.high.0, Rad(l.at_high).deg().signed().0),
        Travel::Swing(_) => panic!("it slides"),
    }
}

fn near(got: f64, want: f64) {
    assert!((got - want).abs() < 1e-6, "{got}, not {want}");
}

fn noted(compiled: &Compiled) -> bool {
    compiled.figures[0].limbs[0].assumed.iter().any(|n| n.what.contains("as `offset` says"))
}

/// A guide to the east has its left to the north. With the shaft 30 mm left of the pin's
/// line the pin runs below the shaft, and stretched crank and rod lean down to it.
#[test]
fn a_slider_cranks_offset_is_left_of_its_pins_line() {
    for (off, at) in [(30.0, 500), (-30.0, 500), (30.0, 530), (0.0, 500)] {
        let slide = format!("slide from (380, {}) mm to (680, {}) mm", 1000 - at, 1000 - at);
        let said = limb(
            &slide,
            &format!("slider-crank {{ motor m  crank 40 mm  rod 200 mm  offset {off} mm }}"),
        );
        let (_, high, crank) = stroke(&said);
        near(high, libm::sqrt(240.0 * 240.0 - off * off) - 80.0);
        near(crank, -libm::asin(off / 240.0).to_degrees());
        // Drawn 30 mm below the shaft the guide says by itself what is said again.
        assert_eq!(noted(&said), off != 0.0 && at == 500, "{off} {at}");
        if at == 530 {
            let drawn = limb(&slide, "slider-crank { motor m  crank 40 mm  rod 200 mm }");
            assert_eq!(stroke(&drawn), stroke(&said), "left out it is as drawn");
        }
    }
}

/// The guide turned about its first end, where the shaft stands: stretched, crank and
/// rod lie in it.
#[test]
fn a_slider_cranks_tilt_is_counter_clockwise() {
    for tilt in [20.0, -20.0] {
        let said = limb(
            "slide from (300, 500) mm to (680, 500) mm",
            &format!("slider-crank {{ motor m  crank 40 mm  rod 200 mm  tilt {tilt} deg }}"),
        );
        near(stroke(&said).1, 240.0);
        near(stroke(&said).2, tilt);
    }
}

/// A slot that leans by t from square lies along (-sin t, cos t): the pin at (x, y) holds
/// the limb at x + y tan t, most where the pin's direction is t.
#[test]
fn a_yokes_tilt_is_counter_clockwise_and_its_offset_moves_no_end() {
    for tilt in [25.0f64, -25.0] {
        let slide = "slide from (200, 500) mm to (420, 500) mm";
        let said = limb(slide, &format!("scotch-yoke {{ motor m  crank 40 mm  tilt {tilt} deg }}"));
        let (low, high, crank) = stroke(&said);
        near(crank, tilt);
        near(high, 100.0 + 40.0 / libm::cos(tilt.to_radians()));
        let beside = limb(
            slide,
            &format!("scotch-yoke {{ motor m  crank 40 mm  tilt {tilt} deg  offset 12 mm }}"),
        );
        assert_eq!(stroke(&beside), (low, high, crank));
        assert!(noted(&beside) && !noted(&said));
    }
}

/// The slot points down from the pivot, so its left is to the east. With the pin straight
/// below, 150 mm away, the slot's own line must pass 10 mm to one side of it.
#[test]
fn a_slots_offset_is_left_looking_outwards() {
    for off in [10.0, -10.0] {
        let said = limb(
            "pivot (300, 700) mm  tip (600, 700) mm  mount behind",
            &format!(
                "slotted-arm {{ motor m  crank 50 mm  slot 200 mm offset {off} mm at 270 deg }}"
            ),
        );
        let fitted = said.figures[0].limbs[0].mechanism.as_ref().unwrap();
        let follows = fitted.follows().unwrap();
        let up = std::f64::consts::FRAC_PI_2;
        let at = follows.limb_at(up, Pose::Turned(Deg(0.0))).unwrap().value();
        // The slot turned by a puts its line 10 mm left of the pivot through the pin: the
        // pin's direction, 270 deg, is the slot's and asin(10/150) more.
        near(at, -libm::asin(off / 150.0).to_degrees());
    }
}

/// A guide as long as the stroke but for what nobody can draw is no guide that is left; a
/// tenth of a millimetre beyond is told as that, in both households.
#[test]
fn a_guide_as_long_as_its_stroke_is_not_left() {
    let leaves = |start: &str| {
        let compiled = super::compile(&format!(
            "figure f {{ board plywood-9 600 mm by 900 mm\n motor m wiper at (300, 300) mm\n \
             limb bow {{ slide from {start} to (300, 540) mm\n drive slider-crank {{ motor m crank 40 mm rod 200 mm }}\n \
             gesture saw {{ stroke 0 mm to 80 mm within 2 mm cycle 3 s }} }} }}"
        ));
        let found = compiled.findings.into_iter().find(|f| f.code.word == "leaves-guide");
        found.map(|f| f.message)
    };
    assert_eq!(leaves("(300, 460) mm"), None);
    assert_eq!(leaves("(300, 460.04) mm"), None);
    let told = leaves("(300, 460.1) mm").unwrap();
    assert!(told.ends_with("it leaves it by 0.1 mm."), "{told}");
    let inches = |end: &str| {
        let compiled = super::compile(&format!(
            "figure f {{ board plywood-9 24 in by 36 in\n motor m wiper at (12, 12) in\n \
             limb bow {{ slide from (12, 20) in to (12, {end}) in\n drive slider-crank {{ motor m crank 1 1/2 in rod 9 1/2 in }}\n \
             gesture saw {{ stroke 0 in to 3 in within 1/8 in cycle 3 s }} }} }}"
        ));
        let found = compiled.findings.into_iter().find(|f| f.code.word == "leaves-guide");
        found.map(|f| f.message)
    };
    assert_eq!(inches("23"), None);
    let told = inches("22.995").unwrap();
    assert!(told.ends_with("it leaves it by 0.005 in."), "{told}");
}
