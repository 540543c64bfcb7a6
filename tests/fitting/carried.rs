//! A motor on the board, its limb on a carrier: both coordinates, against circles that
//! meet on a grid of crank and carrier angles.
#![allow(clippy::disallowed_methods)] // On purpose another library's sines.

use yardwright::check::Compiled;
use yardwright::fit::Measure;

use super::{compile, four_bar};

/// Where the motor that moves the forearm stands on the board.
type Motor = (f64, f64);

/// A fox whose upper arm swings 195.5 to 234.4 deg and carries a forearm with a motor of
/// its own on the board.
fn fox(motor: Motor, bars: &str, low: f64, high: f64) -> Compiled {
    let (x, y) = motor;
    compile(&format!(
        "figure fox {{ board plywood-9 900 mm by 1200 mm
  motor low wiper at (420, 500) mm   motor high wiper at ({x}, {y}) mm
  limb upper-arm {{ pivot (300, 700) mm  tip (120, 700) mm
    drive four-bar {{ motor low  crank 30 mm  rod 217 mm  lever 90 mm at 17.5 deg }}
    gesture bow {{ sweep 195 deg to 235 deg  cycle 2.1 s }} }}
  limb forearm on upper-arm {{ pivot (120, 700) mm  tip (120, 500) mm
    drive four-bar {{ motor high  {bars} }}
    gesture fiddle {{ sweep {low} deg to {high} deg within 3 deg  cycle 2 s }} }} }}"
    ))
}

fn figure(compiled: &Compiled, name: &str) -> f64 {
    let figures = &four_bar(compiled, 0, 1).figures;
    let found = figures.iter().find(|f| f.name == name);
    match found.unwrap_or_else(|| panic!("{name}: {figures:?} {:?}", compiled.findings)).value {
        Measure::Length(l) => l.0,
        Measure::Angle(a) => a.0,
        other => panic!("{other:?}"),
    }
}

/// The lever's direction and the push angle with crank and carrier so, deg; `None` where
/// the rod does not reach.
fn placed(
    motor: Motor,
    (crank, carrier): (f64, f64),
    [a, b, c]: [f64; 3],
) -> Option<(f64, f64, f64)> {
    let turn = |from: (f64, f64), r: f64, deg: f64| {
        let (sin, cos) = libm::sincos(deg.to_radians());
        (from.0 + r * cos, from.1 + r * sin)
    };
    let (pin, pivot) = (turn(motor, a, crank), turn((300.0, 700.0), 180.0, carrier));
    let (dx, dy) = (pivot.0 - pin.0, pivot.1 - pin.1);
    let d = libm::hypot(dx, dy);
    let along = (d * d + b * b - c * c) / (2.0 * d);
    let under = b * b - along * along;
    let up = libm::sqrt((under >= 0.0).then_some(under)?);
    let at = (pin.0 + (along * dx - up * dy) / d, pin.1 + (along * dy + up * dx) / d);
    let lever = libm::atan2(at.1 - pivot.1, at.0 - pivot.0).to_degrees();
    let mu = libm::acos((b * b + c * c - d * d) / (2.0 * b * c)).to_degrees();
    Some((lever, mu.min(180.0 - mu), libm::hypot(pivot.0 - motor.0, pivot.1 - motor.1)))
}

#[test]
fn ends_and_push_hold_wherever_the_carrier_is() {
    let motor = (480.0, 560.0);
    let compiled = fox(motor, "crank 30 mm  rod ?  lever 150 mm at ?  assembly open", 258.0, 282.0);
    let bar = four_bar(&compiled, 0, 1);
    let bars = bar.exact.bars();
    let sizes = [bars.crank.0, bars.rod.0, bars.lever.0];
    let (from, to) = (figure(&compiled, "carrier_low"), figure(&compiled, "carrier_high"));
    let own = four_bar(&compiled, 0, 0).as_drilled.motion.unwrap();
    assert!((own.low.unwrap().0 + 360.0 - from).abs() < 1e-9, "in the turn it is drawn in");
    assert!((to - from - own.sweep.0).abs() < 1e-9);
    let (mut low, mut high, mut push) = (f64::MAX, f64::MIN, f64::MAX);
    let (mut near, mut far) = (f64::MAX, f64::MIN);
    for i in 0..=400 {
        let carrier = from + (to - from) * f64::from(i) / 400.0;
        for crank in 0..1440 {
            let at = placed(motor, (f64::from(crank) * 0.25, carrier), sizes);
            let (lever, mu, d) = at.expect("it goes right round everywhere");
            let limb = lever - bar.exact.clamp().0;
            let limb = limb + 360.0 * ((270.0 - limb) / 360.0).round();
            (low, high, push) = (low.min(limb), high.max(limb), push.min(mu));
            (near, far) = (near.min(d), far.max(d));
        }
    }
    let same = |name: &str, want: f64, by: f64| {
        let off = figure(&compiled, name) - want;
        let off = off - 360.0 * (off / 360.0).round();
        assert!(off.abs() < by, "{name}: {} and {want}", figure(&compiled, name));
    };
    same("carried_low", low, 2e-3);
    same("carried_high", high, 2e-3);
    same("carried_push", push, 2e-3);
    same("ground_least", near, 1e-3);
    same("ground_most", far, 1e-3);
    let limb = &compiled.figures[0].limbs[1];
    assert!(limb.not_checked.iter().all(|n| !n.what.starts_with("motion of a limb that rides")));
    assert!(limb.assumed.iter().any(|n| n.what.contains("upper-arm as drawn, at 180 deg")));
}

/// A rod that goes round with the carrier as drawn and stops the crank elsewhere; the
/// rods that are named go round everywhere, and those beyond them do not.
#[test]
fn a_crank_that_stops_elsewhere_is_told_with_the_rods_that_go_round() {
    let motor = (250.0, 480.0);
    let wrong =
        fox(motor, "crank 60 mm  rod 205 mm  lever 105 mm at 180 deg  assembly open", 200.0, 300.0);
    let found = wrong.findings.iter().find(|f| f.code.word == "crank-blocked");
    let found = found.unwrap_or_else(|| panic!("{:?}", wrong.findings));
    assert!(found.message.starts_with("with upper-arm at "), "{}", found.message);
    let help = found.help.as_ref().unwrap();
    let sizes: Vec<f64> = help.split(' ').filter_map(|w| w.parse().ok()).collect();
    let (from, to) = (195.48, 234.42);
    let round = |rod: f64| {
        (0..=200).all(|i| {
            let carrier = from + (to - from) * f64::from(i) / 200.0;
            (0..720)
                .all(|k| placed(motor, (f64::from(k) * 0.5, carrier), [60.0, rod, 105.0]).is_some())
        })
    };
    assert!(!round(205.0));
    if let [least, most] = sizes[..] {
        assert!(round(least + 1.0) && round(most - 1.0), "{help}");
        assert!(!round(least - 2.0) || !round(most + 2.0), "{help}");
    } else {
        assert!(help.contains("rides"), "{help}");
    }
}

/// Two arms and their forearms, the second ones mirrored: the image of a limb whose motor
/// rides takes the answer of its original turned over about the carrier's axis. Its crank
/// turned the other way then bends it the other way by as much, by circles that meet.
#[test]
fn an_image_that_rides_takes_the_answer_of_its_original() {
    let yard = |drive: &str, gesture: &str| {
        compile(&format!(
            "motor small-ram {{ kind ram  length 90 mm to 130 mm  speed 0.02 m/s }}
figure fox {{ board plywood-9 900 mm by 1200 mm
  limb upper-arm {{ pivot (300, 700) mm  tip (120, 700) mm
    drive four-bar {{ motor wiper at (420, 500) mm  crank 30 mm  rod 217 mm  lever 90 mm at 17.5 deg }}
    gesture bow {{ sweep 195 deg to 235 deg within 2 deg  cycle 2.1 s }} }}
  limb forearm on upper-arm {{ pivot (120, 700) mm  tip (120, 500) mm
    drive {drive}
    gesture curl {{ {gesture} }} }}
  limb other-arm mirrors upper-arm about x 450 mm
  limb other-fore mirrors forearm about x 450 mm }}"
        ))
    };
    let crank = "four-bar { motor wiper at (230, 720) mm rides  crank 20 mm  rod ?  lever ? 40 to 80 mm by 5 mm at ? }";
    for sweep in ["bend 60 deg to 100 deg  cycle 4 s", "bend 62 deg to 95 deg  cycle 4 s"] {
        let compiled = yard(crank, sweep);
        let (one, two) = (four_bar(&compiled, 0, 1), four_bar(&compiled, 0, 3));
        assert_eq!(one.exact.bars().rod, two.exact.bars().rod);
        assert_eq!(one.exact.bars().lever, two.exact.bars().lever);
        assert_eq!(one.exact.clamp(), -two.exact.clamp());
        assert_eq!(one.exact.assembly().other(), two.exact.assembly());
        let bend = |bar: &yardwright::mechanism::FourBar, crank: f64| {
            let side = bar.assembly().sign();
            let (m, p) = (bar.motor(), bar.pivot());
            let (sin, cos) = libm::sincos(crank.to_radians());
            let pin = (m.x + 20.0 * cos, m.y + 20.0 * sin);
            let (dx, dy) = (p.x - pin.0, p.y - pin.1);
            let (b, c) = (bar.bars().rod.0, bar.bars().lever.0);
            let d = libm::hypot(dx, dy);
            let along = (d * d + b * b - c * c) / (2.0 * d);
            let up = side * libm::sqrt(b * b - along * along);
            let at = (pin.0 + (along * dx - up * dy) / d, pin.1 + (along * dy + up * dx) / d);
            let angle = libm::atan2(at.1 - p.y, at.0 - p.x).to_degrees() - bar.clamp().0;
            angle - 360.0 * (angle / 360.0).round()
        };
        for turn in 0..72 {
            let turn = 5.0 * f64::from(turn);
            let (own, image) = (bend(&one.exact, turn), bend(&two.exact, -turn));
            assert!((own + image).abs() < 1e-6, "{turn}: {own} and {image}");
        }
    }
    let ram = yard(
        "ram { motor small-ram at (230, 650) mm rides  lever 50 mm at ? }",
        "bend 50 deg to 97 deg  cycle 24 s",
    );
    let sizes = |limb: usize| {
        let mechanism = ram.figures[0].limbs[limb].mechanism.as_ref();
        let drive = mechanism.and_then(|m| m.as_drive());
        let drive = drive.unwrap_or_else(|| panic!("{:?}", ram.findings));
        let size = |name: &str| drive.sizes.iter().find(|s| s.name.word() == name).unwrap().exact;
        (size("lever"), size("clamp"), drive.exact.mechanism.assembly().unwrap())
    };
    let ((lever, clamp, side), (other, turned, across)) = (sizes(1), sizes(3));
    assert!((lever - other).abs() < 1e-9 && (clamp + turned).abs() < 1e-6, "{clamp} {turned}");
    assert_eq!(side.other(), across);
}
