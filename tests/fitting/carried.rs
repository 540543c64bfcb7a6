//! A motor on the board, its limb on a carrier: both coordinates, against circles that
//! meet on a grid of crank and carrier angles.

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
