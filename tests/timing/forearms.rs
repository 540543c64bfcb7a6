//! Forearms in a show: they move whenever the motor of the limb above turns.

use super::orchard::*;
use yardwright::units::Sec;

const FOX: &str = "figure fox {
  board 700 mm by 1000 mm
  motor elbow wiper-here at (420, 500) mm turns ccw
  limb upper-arm {
    pivot (300, 700) mm  tip (120, 700) mm
    drive four-bar { motor elbow  crank 30 mm  rod 217 mm  lever 90 mm at 17.5 deg  assembly open }
    parks at 234.4 deg
    gesture bow { sweep 195 deg to 235 deg within 2 deg  cycle 4 beats }
  }
  limb forearm on upper-arm {
    pivot (120, 700) mm  tip (120, 500) mm
    drive four-bar from upper-arm { anchor (250, 650) mm  rod 110 mm  lever 40 mm at 180 deg }
    gesture fiddle { sweep 240.5 deg to 318.8 deg  cycle 4 beats  accent at 318.8 deg }
    gesture curl { bend 45 deg to 84.4 deg  cycle 4 beats  accent at 84.4 deg }
  }
}
set fox at (4 m, 6 m) facing south
";

fn show(cues: &str) -> Stage {
    stage(&format!("{FOX}{JIG}show evening with jig {{\n{cues}\n}}"))
}

/// At every moment upper arm and forearm close the second loop: the tail pin of the
/// forearm is 110 mm from the anchor (plane geometry, nothing of the mechanism).
#[test]
fn a_cue_on_the_upper_arm_moves_the_forearm() {
    let mut s = show("bar 3 fox.upper-arm bow for 8 bars");
    let p = s.play();
    assert_eq!(s.codes(), [""; 0]);
    let part = &p.figures[0];
    assert_eq!(part.channels.len(), 1);
    assert_eq!(part.channels[0].limbs, ["upper-arm", "forearm"]);
    let motion = |name: &str| part.limbs.iter().find(|l| l.limb == name).unwrap();
    let (upper, fore) = (motion("upper-arm"), motion("forearm"));
    let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
    for i in 0..3000 {
        let t = Sec(f64::from(i) * 0.01);
        let angle = |m: &yardwright::timing::LimbMotion, name| {
            m.at(t, s.mechanism("fox", name)).unwrap().value()
        };
        let (a, b) = (angle(upper, "upper-arm"), angle(fore, "forearm"));
        (low, high) = (low.min(b), high.max(b));
        let (sa, ca) = libm::sincos(a.to_radians());
        let (sb, cb) = libm::sincos(b.to_radians());
        let pin = (300.0 + 180.0 * ca - 40.0 * cb, 700.0 + 180.0 * sa - 40.0 * sb);
        let rod = libm::hypot(pin.0 - 250.0, pin.1 - 650.0);
        assert!((rod - 110.0).abs() < 1e-6, "{t:?}: {rod}");
    }
    assert!((low - 240.5).abs() < 0.2 && (high - 318.8).abs() < 0.2, "{low} {high}");
}

/// A cue on the forearm moves the motor both hang on, and its accent, the end of
/// its own swing, is met on the beat.
#[test]
fn a_cue_on_the_forearm_moves_the_motor_of_the_upper_arm() {
    let mut s = show("bar 3 fox.forearm fiddle for 8 bars");
    let p = s.play();
    // The forearm is out a little before or after the contact: the spread of the
    // motor shows, its middle does not.
    assert!(s.findings.iter().all(|f| f.code.word == "beat-missed"), "{:?}", s.codes());
    assert!(p.accents.iter().all(|a| a.nominal.abs().0 < 1e-9), "{:?}", p.accents);
    assert_eq!(p.figures[0].limbs.len(), 2);
    assert_eq!(p.accents.len(), 4);
    let fore = p.figures[0].limbs.iter().find(|l| l.limb == "forearm").unwrap();
    for accent in &p.accents {
        assert_eq!(accent.limb, "forearm");
        let at = fore.at(accent.wanted, s.mechanism("fox", "forearm")).unwrap().value();
        assert!((at - 318.8).abs() < 0.1, "{at}");
    }
}

/// Where upper arm and forearm stand at a time, each checked against the other: the
/// forearm's tail pin is 110 mm from the anchor.
fn arms(s: &Stage, p: &yardwright::timing::Performance, t: Sec) -> (f64, f64) {
    let angle = |name: &str| {
        let motion = p.figures[0].limbs.iter().find(|l| l.limb == name).unwrap();
        motion.at(t, s.mechanism("fox", name)).unwrap().value()
    };
    let (a, b) = (angle("upper-arm"), angle("forearm"));
    let (sa, ca) = libm::sincos(a.to_radians());
    let (sb, cb) = libm::sincos(b.to_radians());
    let pin = (300.0 + 180.0 * ca - 40.0 * cb, 700.0 + 180.0 * sa - 40.0 * sb);
    assert!((libm::hypot(pin.0 - 250.0, pin.1 - 650.0) - 110.0).abs() < 1e-6);
    (a, b)
}

/// The accent of a bend counts from the upper arm: at its beat the two arms stand at
/// that angle to one another, an end of the bend or on the way to it.
#[test]
fn the_accent_of_a_bend_is_met_as_an_angle_between_the_arms() {
    for (accent, close) in [(84.4, 0.1), (70.0, 1e-6), (55.0, 1e-6)] {
        let text = FOX.replace("accent at 84.4 deg", &format!("accent at {accent} deg"));
        let cues = "bar 3 fox.forearm curl for 8 bars";
        let mut s = stage(&format!("{text}{JIG}show evening with jig {{\n{cues}\n}}"));
        let p = s.play();
        assert!(s.findings.iter().all(|f| f.code.word == "beat-missed"), "{:?}", s.codes());
        assert_eq!(p.accents.len(), 4);
        let bend = |t| {
            let (upper, fore) = arms(&s, &p, t);
            fore - upper
        };
        for a in &p.accents {
            assert!((bend(a.wanted) - accent).abs() < close, "{} {accent}", bend(a.wanted));
            // It arrives: on its way out to the nearer end.
            let out = if accent > 64.7 { 1.0 } else { -1.0 };
            let before = bend(a.wanted - Sec(0.05));
            assert!((accent - before) * out > 0.0, "{before} {accent}");
        }
    }
}

/// An accent that the two arms never make between them is told as a bend.
#[test]
fn a_bend_that_never_comes_is_told() {
    let text = FOX.replace("bend 45 deg to 84.4 deg", "bend 45 deg to 120 deg within 40 deg");
    let text = text.replace("accent at 84.4 deg", "accent at 110 deg");
    let cues = "bar 3 fox.forearm curl for 8 bars";
    let mut s = stage(&format!("{text}{JIG}show evening with jig {{\n{cues}\n}}"));
    s.play();
    let told = s.findings.iter().find(|f| f.code.word == "accent-not-reached").unwrap();
    assert!(told.message.contains("fox.forearm never bends to 110 deg"), "{}", told.message);
}
