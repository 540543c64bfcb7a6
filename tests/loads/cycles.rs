//! Cycles: closed forms, and dense sampling of machines nobody chose.

use super::{compile, load};
use yardwright::check::Compiled;
use yardwright::loads::standing::Standing;
use yardwright::loads::{Effort, works};

/// Peak and root mean square of the hardest pace by a hundred thousand even samples.
fn dense(compiled: &Compiled) -> (f64, f64) {
    let loads = &compiled.loads[0];
    let masses: Vec<_> = loads.limbs.iter().map(|l| l.mass).collect();
    let works =
        works::of(&compiled.figures[0], &loads.site, 0, &masses, &Standing::default()).unwrap();
    let train = works.train();
    let lead = train.parts.iter().position(|p| p.above.is_none()).unwrap();
    let n = 100_000;
    let (mut peak, mut sum) = (f64::NEG_INFINITY, 0.0);
    for i in 0..n {
        let share = (f64::from(i) + 0.5) / f64::from(n);
        let part = &train.parts[lead];
        let now = works.asked[0].pace.at(share, part.mechanism, part.path).unwrap();
        let total = train.work(&now).unwrap().total();
        peak = peak.max(total);
        sum += total * total;
    }
    (peak, (sum / f64::from(n)).sqrt())
}

/// Even, unlike any real row of numbers.
fn some(seed: &mut u64, from: f64, to: f64) -> f64 {
    *seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
    from + (to - from) * ((*seed >> 11) as f64 / (1_u64 << 53) as f64)
}

#[test]
fn peak_and_rms_are_those_of_dense_sampling() {
    let mut seed = 4;
    let mut tried = 0;
    for _ in 0..80 {
        // Four digits behind the point: a text holds no more than 15.
        let mut r = |a: f64, b: f64| (some(&mut seed, a, b) * 1e4).round() / 1e4;
        let (x, y) = (r(-200.0, 200.0), -r(150.0, 400.0));
        let ground = libm::hypot(x.round(), y.round());
        let (crank, lever) = (r(20.0, 60.0), r(60.0, 140.0));
        let rod = ground + r(-0.6, 0.6) * (lever - crank);
        let (clamp, tip) = (r(-180.0, 180.0), r(-170.0, 170.0));
        let text = format!(
            "figure f {{ board plywood-9 900 mm by 1400 mm
              limb arm {{ pivot (400, 900) mm tip ({}, {}) mm bolt M8
                mass {} kg centre {} mm at {} deg inertia 0.03 kg.m2 load {} N.m
                drive four-bar {{ motor wiper at ({}, {}) mm crank {crank} mm rod {rod:.4} mm lever {lever} mm at {clamp} deg }}
                gesture g {{ sweep 0 deg to 10 deg within 360 deg cycle {} s }} }} }}",
            (400.0 + 300.0 * libm::cos(f64::to_radians(tip))).round(),
            (900.0 + 300.0 * libm::sin(f64::to_radians(tip))).round(),
            r(0.1, 0.6), r(50.0, 250.0), r(-180.0, 180.0), r(-0.2, 0.2),
            (400.0 + x).round(), (900.0 + y).round(), r(0.4, 4.0),
        );
        let compiled = compile(&text);
        let Some(got) = compiled.loads[0].limbs[0].cycle.as_ref() else { continue };
        tried += 1;
        let (peak, rms) = dense(&compiled);
        assert!((got.motor.peak / peak - 1.0).abs() < 1e-3, "{} {peak}\n{text}", got.motor.peak);
        assert!((got.motor.rms / rms - 1.0).abs() < 1e-3, "{} {rms}\n{text}", got.motor.rms);
    }
    assert!(tried > 20, "{tried} of 80 turn right round");
}

#[test]
fn a_cam_lifts_its_frog_by_the_slope_of_its_law() {
    // 3-4-5 rise of 20 mm over 120 deg: steepest 15/8 h/beta (R. L. Norton, Cam Design and
    // Manufacturing Handbook). The guide rubs with the roller's push to the side.
    let compiled = compile(
        "figure frog { board plywood-9 500 mm by 700 mm
          limb body { slide from (250, 300) mm to (250, 400) mm weighed 0.8 kg
            drive cam { motor wiper at (250, 230) mm base 35 mm roller 8 mm lift 20 mm law poly-345
              rise 120 deg dwell 40 deg fall 120 deg dwell 80 deg }
            gesture hop { stroke 0 mm to 20 mm cycle 2.06896551724 s } } }",
    );
    let got = &load(&compiled, 0).motor;
    let slope = 0.020 * 1.875 / 120.0_f64.to_radians();
    let (peak, rms) = dense(&compiled);
    assert!((got.peak / peak - 1.0).abs() < 1e-3 && (got.rms / rms - 1.0).abs() < 1e-3);
    // Weight alone, then with a side push of at most tan 19 deg.
    assert!(got.peak > 0.8 * 9.80665 * slope, "{}", got.peak);
    assert!(got.peak < 0.8 * 9.80665 * slope * 1.16, "{}", got.peak);
}

#[test]
fn a_ram_pushes_a_gate_against_friction_and_weight() {
    let compiled = compile(
        "figure gate { board plywood-9 900 mm by 900 mm
          limb leaf { pivot (200, 500) mm tip (700, 500) mm bolt M8 friction 0 N.m
            mass 1 kg centre 250 mm inertia 0.08 kg.m2
            drive ram { motor ram-100 anchor (200, 230.7) mm lever 100 mm at 0 deg assembly crossed }
            gesture open { turn to 20 deg over 10 s } } }",
    );
    let got = &load(&compiled, 0).motor;
    assert_eq!(got.effort, Effort::Force);
    let (peak, _) = dense(&compiled);
    assert!((got.peak / peak - 1.0).abs() < 1e-3, "{} {peak}", got.peak);
    // Never less than the weight over the whole lever.
    assert!(got.peak >= 9.80665 * 0.25 / 0.1 * 0.99, "{}", got.peak);
}

#[test]
fn a_wheel_out_of_balance_takes_its_weight_times_its_arm() {
    let compiled = compile(
        "figure mill { board plywood-9 600 mm by 1400 mm
          limb sails { pivot (300, 900) mm tip (620, 900) mm bolt M8 friction 0.005 N.m
            mass 0.2 kg centre 30 mm inertia 0.0035 kg.m2
            drive spin { motor wiper at (300, 700.6) mm belt 20 40 pitch 5 mm length 550 mm }
            gesture go-round { spin 1 turn per 4 s } } }",
    );
    let got = &load(&compiled, 0).motor;
    let want = (0.2 * 9.80665 * 0.030 + 0.005) / 2.0;
    assert!((got.peak / want - 1.0).abs() < 1e-6, "{} {want}", got.peak);
    // Steady speed: the mean square of a sine and a constant.
    let amp = 0.2 * 9.80665 * 0.030 / 2.0;
    let rms = (amp * amp / 2.0 + 0.0025 * 0.0025_f64).sqrt();
    assert!((got.rms / rms - 1.0).abs() < 1e-3, "{} {rms}", got.rms);
}

/// A yoke up a slope of 10 deg, which is less than its friction holds: the motor pushes both
/// ways and never brakes. It gives nothing only where the limb turns round, with the crank
/// along the slope, between the places that are looked at.
#[test]
fn the_least_torque_is_found_where_the_limb_turns_round() {
    let (sin, cos) = libm::sincos(10_f64.to_radians());
    let (x, y) = (60.0 * cos, 60.0 * sin);
    let compiled = compile(&format!(
        "figure f {{ board plywood-9 1000 mm by 1000 mm
          limb s {{ slide from ({:.6}, {:.6}) mm to ({:.6}, {:.6}) mm weighed 2 kg
            drive scotch-yoke {{ motor wiper at (500, 500) mm crank 40 mm }}
            gesture g {{ stroke 20 mm to 100 mm cycle 40 s }} }} }}",
        500.0 - x,
        500.0 - y,
        500.0 + x,
        500.0 + y
    ));
    let motor = &load(&compiled, 0).motor;
    assert!(motor.least.abs() < 1e-6 * motor.peak, "{} of {}", motor.least, motor.peak);
}
