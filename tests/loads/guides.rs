//! Limbs that slide: guides that bind, cylinders in the wind; and limbs that ride.

use super::{compile, load};
use yardwright::finding::Severity;
use yardwright::units::print::decimal;

const YOKE: &str = "figure frog { board plywood-9 620 mm by 900 mm
    limb body { slide from (300, 330) mm to (300, 470) mm weighed 0.3 kg GUIDE
      drive scotch-yoke { motor wiper at (300, 400) mm limit 4 A crank 60 mm }
      gesture hop { stroke 10 mm to 130 mm within 2 mm cycle 3 s } } }";

#[test]
fn a_yoke_binds_below_the_guide_its_crank_asks_for() {
    // The pin runs 60 mm beside the guide: 2 x 0.3 x 60 = 36 mm jam, 54 are wanted.
    let found = |guide: &str| {
        let compiled = compile(&YOKE.replace("GUIDE", guide));
        let found = compiled.findings.iter().find(|f| f.code.word == "guide-jams");
        found.map(|f| f.severity)
    };
    assert_eq!(found("guide 35.9 mm"), Some(Severity::Error));
    assert_eq!(found("guide 53.9 mm"), Some(Severity::Warning));
    assert_eq!(found("guide 54.1 mm"), None);
    let unsaid = compile(&YOKE.replace("GUIDE", ""));
    let notes = &unsaid.loads[0].limbs[0].not_checked;
    assert!(notes.iter().any(|n| n.settle == "guide 54 mm"), "{notes:?}");
}

const POP: &str = "yard green { size 10 m by 8 m  wind run RUN m/s stand 22 m/s  soil lawn }
  figure hedgehog { board plywood-9 500 mm by 800 mm
    limb body { slide from (250, 300) mm to (250, 420) mm weighed 3.5 kg
      sheet plywood-6 outline (0, 300) (500, 300) (500, 800) (0, 800) mm
      drive cylinder { motor cylinder-16 at (250, 100) mm air tank at 400 kPa
        throttle up 3 s down 3 s }
      gesture pop { pulse up for 8 s } } }
  set hedgehog at (5 m, 4 m) facing south";

#[test]
fn wind_presses_a_sliding_limb_on_its_guide_and_its_cylinder_feels_it() {
    // By hand: 3.5 kg weigh 34.3 N; 0.25 m2 in 20 m/s are pressed back with 1.8 x 0.613 x
    // 400 x 0.25 = 110.3 N, of which 0.3 rub: 67.4 N. 16 mm at 400 kPa push with 80.4, 0.7 of
    // it 56.3; at 17 m/s it would be 58.2, at 16 m/s 55.5.
    let weak = |run: &str| {
        let compiled = compile(&POP.replace("RUN", run));
        compiled.findings.iter().any(|f| f.code.word == "cylinder-weak")
    };
    assert!(weak("17") && !weak("16"));
    let compiled = compile(&POP.replace("RUN", "20"));
    let windy = load(&compiled, 0).motor.in_wind.unwrap();
    let hand = 3.5 * 9.806_65 + 0.3 * 1.8 * 0.613 * 400.0 * 0.25;
    assert!((windy / hand - 1.0).abs() < 0.01, "{windy} {hand}");
}

/// A wing with a hand that has its own servo, drawn turned by an angle, degrees.
fn heron(turned: f64) -> String {
    let (sin, cos) = libm::sincos((180.0 + turned).to_radians());
    let tip = (-253.0 + 150.0 * cos, 820.0 + 150.0 * sin);
    format!(
        "figure heron {{ board plywood-9 620 mm by 1400 mm
           motor wings wiper at (260, 570) mm turns ccw
           limb wing {{ pivot (197, 820) mm tip (-253, 820) mm mount behind
             drive four-bar {{ motor wings crank 30 mm rod 250 mm tail-hole 70 mm at 180 deg
               assembly crossed }}
             gesture flap {{ sweep 155 deg to 205 deg within 2 deg cycle 4 s }} }}
           limb hand on wing {{ pivot (-253, 820) mm tip ({:.6}, {:.6}) mm sheet plywood-6 weighed 0.3 kg balances 100 mm
             drive servo {{ motor servo-standard }} }} }}",
        tip.0, tip.1
    )
}

#[test]
fn the_poses_of_a_rider_bound_its_carriers_peak() {
    // Each pose drawn as a figure of its own, and its peak computed for that.
    let peaks: Vec<f64> =
        (0..24).map(|k| load(&compile(&heron(15.0 * f64::from(k))), 0).motor.peak).collect();
    let least = peaks.iter().copied().fold(f64::INFINITY, f64::min);
    let most = peaks.iter().copied().fold(0.0, f64::max);
    assert!(most > 1.2 * least, "the hand weighs something: {least} {most}");
    let told = compile(&heron(0.0));
    let notes = &told.loads[0].limbs[0].assumed;
    let words = format!("peaks at {} to {} N.m", decimal(least, 3), decimal(most, 3));
    assert!(notes.iter().any(|n| n.what.ends_with(&words)), "{words}: {notes:?}");
}
