//! What is measured or stated beats what is computed, field by field.

use super::{compile, limb, load};
use yardwright::loads::{Grade, Origin};

fn arm(said: &str) -> String {
    format!(
        "figure f {{ board plywood-9 600 mm by 1400 mm
          limb arm {{ pivot (300, 700) mm tip (700, 700) mm sheet plywood-6 width 60 mm {said}
            drive four-bar {{ motor wiper at (300, 400) mm crank 30 mm rod 300 mm lever 80 mm at 90 deg }}
            gesture wave {{ sweep -20 deg to 20 deg cycle 2 s }} }} }}"
    )
}

#[test]
fn a_strip_weighs_its_area() {
    let compiled = compile(&arm("paint 150 g/m2"));
    let mass = limb(&compiled, 0).mass.unwrap();
    let want = (4.1 + 0.15) * 0.4 * 0.06;
    assert!((mass.mass.0 - want).abs() < 1e-9);
    assert!((mass.centre.x - 200.0).abs() < 1e-9 && mass.centre.y.abs() < 1e-9);
    // A rectangle about the middle of its short side: m (L^2/3 + w^2/12).
    let inertia = want * (0.16 / 3.0 + 0.0036 / 12.0);
    assert!((mass.inertia.0 / inertia - 1.0).abs() < 1e-9);
    assert_eq!((mass.grade, mass.origins), (Grade::Typical, [Origin::Outline; 3]));
}

#[test]
fn the_scales_beat_the_drawing_and_the_swing_beats_both() {
    let drawn = limb(&compile(&arm("")), 0).mass.unwrap();
    let weighed = limb(&compile(&arm("weighed 0.2 kg")), 0).mass.unwrap();
    assert!((weighed.mass.0 - 0.2).abs() < 1e-12);
    let ratio = 0.2 / drawn.mass.0;
    assert!((weighed.inertia.0 / drawn.inertia.0 / ratio - 1.0).abs() < 1e-9, "spread as drawn");
    let all = arm("weighed 0.2 kg balances 150 mm ten-swings 10 s");
    let measured = limb(&compile(&all), 0).mass.unwrap();
    let second = 1.0 / (std::f64::consts::TAU * std::f64::consts::TAU);
    let inertia = 0.2 * 9.80665 * 0.150 * second;
    assert!((measured.inertia.0 / inertia - 1.0).abs() < 1e-9);
    assert_eq!(measured.grade, Grade::Given);
    let stated = limb(&compile(&arm("mass 0.2 kg centre 150 mm at 90 deg inertia 0.006 kg.m2")), 0)
        .mass
        .unwrap();
    assert!(stated.centre.x.abs() < 1e-9 && (stated.centre.y - 150.0).abs() < 1e-9);
    assert!((stated.inertia.0 - 0.006).abs() < 1e-12);
}

#[test]
fn a_limb_that_balances_on_its_bolt_asks_for_friction_alone() {
    let compiled = compile(&arm("weighed 0.2 kg balances 0 mm friction 0.02 N.m"));
    let mass = limb(&compiled, 0).mass.unwrap();
    assert_eq!((mass.centre.x, mass.centre.y), (0.0, 0.0));
    // A rectangle that turns about its middle: m (L^2 + w^2)/12, the drawing's own spread.
    let inertia = 0.2 * (0.16 + 0.0036) / 12.0;
    assert!((mass.inertia.0 / inertia - 1.0).abs() < 1e-9, "{}", mass.inertia.0);
    let parts = load(&compiled, 0).motor.parts;
    assert!(parts.gravity.abs() < 1e-12 && parts.friction > 0.0, "{parts:?}");
    // It would hang anywhere: swings that somebody writes all the same say nothing.
    let swung = compile(&arm("weighed 0.2 kg balances 0 mm ten-swings 10 s"));
    assert_eq!(limb(&swung, 0).mass.unwrap().inertia, mass.inertia);
}

#[test]
fn a_counterweight_is_found_where_it_is_asked_for() {
    let said = "mass 0.2 kg centre 150 mm inertia 0.006 kg.m2 friction 0.02 N.m";
    let plain = compile(&arm(said));
    let asked = compile(&arm(&format!("{said} counterweight ? at 120 mm")));
    let found = limb(&asked, 0).counterweight.expect("it was asked for").0;
    let peak = load(&asked, 0).motor.peak;
    assert!(peak < 0.6 * load(&plain, 0).motor.peak);
    for off in [-0.02, 0.02] {
        let given = compile(&arm(&format!("{said} counterweight {} kg at 120 mm", found + off)));
        assert!(load(&given, 0).motor.peak > peak, "{off}");
    }
    let same = compile(&arm(&format!("{said} counterweight {found} kg at 120 mm")));
    assert!((load(&same, 0).motor.peak / peak - 1.0).abs() < 1e-9);
}

#[test]
fn scales_that_contradict_the_drawing_are_told() {
    let text = |kg: f64| {
        arm(&format!("outline (300, 670) (700, 670) (700, 730) (300, 730) mm weighed {kg} kg"))
            .replace("width 60 mm", "")
    };
    let told =
        |kg: f64| compile(&text(kg)).findings.iter().any(|f| f.code.word == "weight-implausible");
    assert!(told(0.98) && told(0.04));
    assert!(!told(0.12) && !told(0.06));
}

const BARS: &str = "stock-bar flat { section 20 mm by 3 mm  material steel }
  stock-bar rowed { section 20 mm by 3 mm  holes every 25 mm from 12.5 mm  kerf 3 mm  material steel }
  figure bear { board plywood-9 620 mm by 1350 mm
    limb arm { pivot (150, 880) mm tip (-250, 1150) mm mount behind
      sheet plywood-6 length 480 mm width 60 mm
      drive four-bar { motor wiper at (310, 806) mm CRANK rod 160 mm lever 80 mm at 127 deg assembly open }
      gesture hit { sweep 121 deg to 165 deg within 2 deg cycle 2 s } } }";

#[test]
fn a_crank_weighs_what_is_cut_or_what_is_said() {
    let crank = |words: &str| {
        let compiled = compile(&BARS.replace("CRANK", words));
        super::load(&compiled, 0).bars.crank
    };
    // The wiper's own row goes to 60 mm, which are drilled for trying, and 14 beyond each outer
    // hole: 88 mm of 20 x 3 mm steel, 60 mm3 a mm x 7850 kg/m3.
    let flat = crank("crank 30 mm of flat").expect("its bar is known");
    assert!((flat.mass.0 - 0.088 * 60e-6 * 7850.0).abs() < 1e-9, "{flat:?}");
    assert!((flat.inertia - flat.mass.0 * 0.088 * 0.088 / 12.0).abs() < 1e-12);
    // Its middle lies 30 mm out, where its pin is.
    assert!((flat.middle - 1.0).abs() < 1e-9);
    // Five holes of 6.6 mm (ISO 273, M6 medium) are 171.1 of its 1760 mm2.
    assert!((flat.holes - 171.06 / 1760.0).abs() < 1e-4);
    // One that comes drilled is cut half way to its next holes, less half a saw's cut.
    let rowed = crank("crank 25 mm of rowed").expect("its bar is known");
    let beyond = rowed.mass.0 / (60e-6 * 7850.0) * 1e3 - 2.0 * 11.0;
    assert!((beyond / 25.0).fract().abs() < 1e-9, "whole steps between its outer holes: {beyond}");
    // What is said of it beats its bar, and makes it weigh something without one.
    assert!((crank("crank 30 mm of flat mass 0.05 kg").expect("said").mass.0 - 0.05).abs() < 1e-12);
    let said = crank("crank 30 mm mass 0.05 kg").expect("said");
    assert!(said.mass.0 == 0.05 && said.holes == 0.0);
    assert_eq!(crank("crank 30 mm"), None);
}

#[test]
fn a_frog_of_sheet_leaves_its_cam_as_a_weighed_one_does() {
    let told = |said: &str| {
        let compiled = compile(&format!(
            "figure pond {{ board plywood-9 600 mm by 900 mm  motor hop wiper at (300, 300) mm
              limb frog {{ slide from (300, 400) mm to (300, 500) mm {said}
                drive cam {{ motor hop base 35 mm roller 8 mm }}
                gesture jump {{ stroke 0 mm to 20 mm cycle 0.15 s }} }} }}"
        ));
        let found = compiled.findings.iter().any(|f| f.code.word == "cam-lift-off");
        let notes = &compiled.loads[0].limbs[0].not_checked;
        (found, notes.iter().any(|n| n.what.contains("stays on its cam")))
    };
    let drawn = "outline (250, 380) (350, 380) (350, 480) (250, 480) mm";
    assert_eq!(told("weighed 0.8 kg"), (true, false));
    assert_eq!(told(&format!("sheet plywood-6 {drawn}")), (true, false));
    // Of a sheet that nobody named it is only a note.
    assert_eq!(told(drawn), (false, true));
}
