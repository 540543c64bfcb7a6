//! Cords and cams on limbs that ride: what holds them depends on where the carrier stands.
//! Pulls by the change of height over the change of the cord's length, on a grid of both
//! limbs' angles; lift-off by weight along the slide at each tilt.

use super::compile;
use yardwright::check::Compiled;
use yardwright::fit::{Fitted, Measure};

type P = (f64, f64);

fn polar(from: P, r: f64, deg: f64) -> P {
    let (s, c) = libm::sincos(deg.to_radians());
    (from.0 + r * c, from.1 + r * s)
}

fn between(a: P, b: P) -> f64 {
    libm::hypot(a.0 - b.0, a.1 - b.1)
}

/// A head that a servo turns by some degrees to both sides of its drawn 0, with a jaw that
/// a cord on a servo of the head's draws up and its own weight lets down.
fn wolf(tilt: f64, back: &str) -> Compiled {
    compile(&format!(
        "figure wolf {{ board plywood-9 700 mm by 1000 mm
  limb head {{ pivot (300, 700) mm  tip (500, 700) mm
    drive servo {{ motor servo-standard }}
    gesture nod {{ sweep {} deg to {tilt} deg  cycle 4 s }} }}
  limb jaw on head {{ pivot (340, 660) mm  tip (480, 640) mm
    weighed 0.1 kg  balances 70 mm  friction 0 N.m
    drive cord {{ motor servo-standard at (310, 800) mm rides  horn 20 mm  guides (420, 760) mm
      lever 60 mm at 0 deg  {back} }}
    gesture snap {{ bend -30 deg to -8 deg  cycle 2 s }} }} }}",
        -tilt
    ))
}

fn pulls(compiled: &Compiled) -> (f64, f64) {
    let limb = &compiled.figures[0].limbs[1];
    let drive = limb.mechanism.as_ref().and_then(Fitted::as_drive);
    let drive = drive.unwrap_or_else(|| panic!("{:?} {:?}", compiled.findings, limb.not_checked));
    let force = |name: &str| match drive.figures.iter().find(|f| f.name == name).unwrap().value {
        Measure::Force(n) => n.0,
        other => panic!("{other:?}"),
    };
    (force("least_pull"), force("most_pull"))
}

/// Least and largest pull with the head tilted so far at most.
fn expected(tilt: f64) -> (f64, f64) {
    let pull = |head: f64, bend: f64| {
        // In the head's plane, which turns with it.
        let eye = (420.0, 760.0);
        let pivot = (340.0, 660.0);
        let length = |b: f64| between(eye, polar(pivot, 60.0, b));
        let height = |b: f64| polar((0.0, 0.0), 70.0, head + b).1;
        let h = 1e-4;
        let risen = height(bend + h) - height(bend - h);
        let drawn = length(bend - h) - length(bend + h);
        0.1 * 9.806_65 * risen / drawn
    };
    let all = (0..=200).flat_map(|i| (0..=200).map(move |j| (f64::from(i), f64::from(j))));
    let all = all.map(|(i, j)| pull(-tilt + tilt * i / 100.0, -30.0 + 22.0 * j / 200.0));
    all.fold((f64::MAX, f64::MIN), |(l, h), p| (l.min(p), h.max(p)))
}

#[test]
fn a_cord_that_rides_is_held_by_weight_at_every_tilt_of_its_carrier() {
    for tilt in [10.0, 30.0] {
        let compiled = wolf(tilt, "return gravity");
        let ((least, most), (low, high)) = (pulls(&compiled), expected(tilt));
        assert!(
            (least - low).abs() < 2e-3 && (most - high).abs() < 2e-3,
            "{least} {most}, {low} {high}"
        );
        let slack = compiled.findings.iter().any(|f| f.code.word == "cord-slack");
        assert_eq!(slack, low < 0.5, "{low}: {:?}", compiled.findings);
    }
}

/// Tilted so far that the jaw lies nearly under its pivot, little draws the cord tight; the
/// spring that is told for it holds at every tilt.
#[test]
fn a_cord_that_goes_slack_at_a_tilt_is_told_with_the_tilts_and_the_spring_that_holds() {
    let compiled = wolf(59.0, "return gravity");
    let found = compiled.findings.iter().find(|f| f.code.word == "cord-slack");
    let found = found.unwrap_or_else(|| panic!("{:?}", compiled.findings));
    assert!(found.message.contains("(with head anywhere from -"), "{}", found.message);
    let help = found.help.as_ref().unwrap();
    let spring = help.split('`').nth(1).unwrap();
    let held = wolf(59.0, spring);
    assert!(held.findings.iter().all(|f| f.code.word != "cord-slack"), "{:?}", held.findings);
}

/// A cam on an arm lifts a slide that points up with the arm drawn: at a tilt a share of the
/// weight presses it on, the cosine of the tilt.
#[test]
fn a_cam_that_rides_is_held_by_the_share_of_weight_that_its_worst_tilt_leaves() {
    let most = |tilt: f64| {
        let compiled = compile(&format!(
            "figure frog {{ board plywood-9 700 mm by 1000 mm
  limb arm {{ pivot (300, 500) mm  tip (500, 500) mm
    drive servo {{ motor servo-standard }}
    gesture nod {{ sweep {} deg to {tilt} deg  cycle 4 s }} }}
  limb frog on arm {{ slide from (400, 600) mm to (400, 700) mm  weighed 0.8 kg
    drive cam {{ motor wiper at (400, 500) mm rides  base 35 mm  roller 8 mm  law poly-345
      rise 120 deg dwell 40 deg  fall 120 deg dwell 80 deg  return gravity }}
    gesture hop {{ stroke 0 mm to 20 mm  cycle 0.33 s }} }} }}",
            -tilt
        ));
        let found = compiled.findings.iter().find(|f| f.code.word == "cam-lift-off");
        let found = found.unwrap_or_else(|| {
            panic!("{:?} {:?}", compiled.findings, compiled.figures[0].limbs[1].not_checked)
        });
        assert!(found.message.contains("(with arm anywhere from "), "{}", found.message);
        let times = found.message.split(" are ").nth(1).unwrap();
        times.split(' ').next().unwrap().parse::<f64>().unwrap()
    };
    let level = most(0.5);
    for tilt in [20.0, 40.0] {
        let share = libm::cos(f64::to_radians(tilt));
        assert!((most(tilt) - level * share).abs() < 0.011, "{tilt}: {} of {level}", most(tilt));
    }
}
