//! How fast a servo must turn through a rod, against dense samples of plane geometry.

use super::orchard::*;
use yardwright::fit::Fitted;

const BEAT: f64 = 60.0 / 116.0;

/// A head whose servo's arm is longer than its lever: geared up, and unevenly.
const OWL: &str = "figure magpie { board 500 mm by 900 mm
  limb head { pivot (200, 700) mm  tip (200, 860) mm
    drive servo { motor micro at (200, 630) mm  crank 28 mm  rod 68 mm  lever 20 mm at 95 deg  assembly open }
    gesture look { turn to 70 deg over 1 s }  gesture back { turn to 105 deg over 1 s } }
  limb beak on head { pivot (200, 860) mm  tip (260, 860) mm
    drive four-bar from head { anchor (260, 720) mm  rod 140 mm  lever 40 mm at 0 deg } 
    gesture snap { sweep -10 deg to 10 deg  cycle 1 s } } }
set magpie at (14 m, 7 m) facing south\n";

fn play(cues: &str) -> Stage {
    stage(&format!("{OWL}{JIG}show evening with jig {{\n{cues}\n}}"))
}

/// The limb's angle where the servo's arm points so, deg: two circles cut, the lever pin
/// left of the line from arm pin to pivot.
fn limb_at(arm: f64) -> f64 {
    let (sin, cos) = libm::sincos(arm.to_radians());
    let pin = (200.0 + 28.0 * cos, 630.0 + 28.0 * sin);
    let (dx, dy) = (200.0 - pin.0, 700.0 - pin.1);
    let d = libm::hypot(dx, dy);
    let along = (d * d + 68.0 * 68.0 - 20.0 * 20.0) / (2.0 * d);
    let up = libm::sqrt(68.0 * 68.0 - along * along);
    let at = (pin.0 + (along * dx - up * dy) / d, pin.1 + (along * dy + up * dx) / d);
    libm::atan2(at.1 - 700.0, at.0 - 200.0).to_degrees() - 95.0
}

/// The arm's angle between two for a limb's angle, by halving.
fn arm_for(limb: f64, (mut a, mut b): (f64, f64)) -> f64 {
    let off = |arm: f64| (limb_at(arm) - limb + 540.0).rem_euclid(360.0) - 180.0;
    let sign = off(a) < 0.0;
    for _ in 0..60 {
        let middle = 0.5 * (a + b);
        if (off(middle) < 0.0) == sign { a = middle } else { b = middle }
    }
    0.5 * (a + b)
}

#[test]
fn through_a_rod_the_servos_own_fastest_counts() {
    let mut s = play("bar 3 magpie.head turn to 40 deg over 80 ms");
    s.play();
    let found = s.findings.iter().find(|f| f.code.word == "too-fast-for-servo");
    let found = found.unwrap_or_else(|| panic!("{:?}", s.findings));
    let Fitted::Servo(servo) = s.mechanism("magpie", "head") else { panic!("a servo") };
    // Which way the arm went together is the program's choice; all else is worked out here.
    let (a, b) = (servo.arm_at(servo.shaft_at_low).0, servo.arm_at(servo.shaft_at_high).0);
    // No rest is said: it starts in the middle of its reach.
    let (from, to) = ((servo.low + servo.high).0 / 2.0, 40.0);
    let arm = |x: f64| {
        let done = x * x * x * (10.0 + x * (6.0 * x - 15.0));
        arm_for(from + (to - from) * done, (a, b))
    };
    const N: usize = 20_000;
    let arms: Vec<f64> = (0..=N).map(|i| arm(i as f64 / N as f64)).collect();
    let steepest = arms.windows(2).map(|w| (w[1] - w[0]).abs() * N as f64).fold(0.0, f64::max);
    let mean = 1.875 * (to - from).abs() * (b - a).abs() / (servo.high - servo.low).0;
    assert!((steepest / mean - 1.0).abs() > 0.05, "the mean would not do: {steepest} {mean}");
    let said = format!("at up to {:.0} deg/s", steepest / 0.08);
    assert!(found.message.contains(&said), "{said}: {}", found.message);
    // Four fifths of 60 deg in the time its sheet gives.
    let brisk = 0.8 * servo.fastest.unwrap().0 * 6.0;
    let works = (steepest / brisk * 100.0).ceil() / 100.0;
    let help = found.help.as_ref().unwrap();
    assert!(help.contains(&format!("a time of {works} s")), "{works}: {help}");
    let mut s = play(&format!("bar 3 magpie.head turn to 40 deg over {works} s"));
    s.play();
    assert_eq!(s.codes(), [""; 0], "and it does work");
    assert!(BEAT > works);
}

/// What a servo's arm pushes has no turn of its own: its own gesture in a cue is not
/// passed over in silence.
#[test]
fn a_cue_of_a_limb_below_a_servo_is_refused() {
    let mut s = play("bar 3 magpie.beak snap for 2 bars");
    s.play();
    let found = s.findings.iter().find(|f| f.code.word == "gesture-unfit");
    let found = found.unwrap_or_else(|| panic!("{:?}", s.findings));
    assert!(
        found.message.contains("magpie.head") && found.help.as_ref().unwrap().contains("head look")
    );
    let mut s = play("bar 3 magpie.head look\nbar 4 magpie.head back");
    s.play();
    assert!(s.findings.iter().all(|f| f.code.word != "gesture-unfit"));
}
