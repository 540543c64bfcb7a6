//! A servo on the board, its jaw on a head that turns: what the two make of it, against
//! circles that meet on a grid of arm and head, and angles found by halving (the position of
//! a four-bar whose ground moves: R. L. Norton, *Design of Machinery*, position analysis).
#![allow(clippy::disallowed_methods)] // On purpose another library's sines.

use yardwright::check::Compiled;
use yardwright::finding::Severity;
use yardwright::fit::{Fitted, FittedServo};

use super::compile;
use super::wild::Random;

/// The head's pivot, and how far the jaw's is from it, straight left as drawn.
const HEAD: (f64, f64) = (300.0, 700.0);
const OUT: f64 = 180.0;

/// A wolf: servo at a place, arm, rod, lever and clamp; the head's range and rest; and what
/// the jaw is told.
#[derive(Clone, Copy, Debug)]
struct Wolf {
    servo: (f64, f64),
    bars: [f64; 3],
    clamp: f64,
    head: (f64, f64),
    rest: f64,
    jaw: (f64, f64),
}

fn compiled(w: &Wolf) -> Compiled {
    let ((x, y), [a, b, c]) = (w.servo, w.bars);
    compile(&format!(
        "figure wolf {{ board plywood-9 900 mm by 1200 mm
  limb head {{ pivot (300, 700) mm  tip (120, 700) mm
    drive servo {{ motor servo-standard }}
    rest {} deg
    gesture look {{ sweep {} deg to {} deg  cycle 4 s }} }}
  limb jaw on head {{ pivot (120, 700) mm  tip (120, 600) mm
    drive servo {{ motor servo-standard at ({x}, {y}) mm  crank {a} mm  rod {b} mm  lever {c} mm at {} deg }}
    rest {} deg
    gesture snap {{ sweep {} deg to {} deg  cycle 2 s }} }} }}",
        w.rest,
        w.head.0,
        w.head.1,
        w.clamp,
        (w.jaw.0 + w.jaw.1) / 2.0,
        w.jaw.0,
        w.jaw.1
    ))
}

fn jaw(compiled: &Compiled) -> Option<&FittedServo> {
    match compiled.figures[0].limbs[1].mechanism.as_ref()? {
        Fitted::Servo(servo) => Some(servo),
        other => panic!("{other:?}"),
    }
}

fn polar(from: (f64, f64), r: f64, deg: f64) -> (f64, f64) {
    let (s, c) = deg.to_radians().sin_cos();
    (from.0 + r * c, from.1 + r * s)
}

/// The jaw's angle, near 270, and the push with arm and head so; `None` where the rod does
/// not close.
fn placed(w: &Wolf, side: f64, arm: f64, head: f64) -> Option<(f64, f64)> {
    let [a, b, c] = w.bars;
    let (pin, pivot) = (polar(w.servo, a, arm), polar(HEAD, OUT, head));
    let (dx, dy) = (pivot.0 - pin.0, pivot.1 - pin.1);
    let d = dx.hypot(dy);
    let along = (d * d + b * b - c * c) / (2.0 * d);
    let under = b * b - along * along;
    let up = side * (under >= 0.0).then_some(under)?.sqrt();
    let at = (pin.0 + (along * dx - up * dy) / d, pin.1 + (along * dy + up * dx) / d);
    let limb = (at.1 - pivot.1).atan2(at.0 - pivot.0).to_degrees() - w.clamp;
    let mu = ((b * b + c * c - d * d) / (2.0 * b * c)).acos().to_degrees();
    Some((limb + 360.0 * ((270.0 - limb) / 360.0).round(), mu.min(180.0 - mu)))
}

/// The arm nearest to `from` that puts the jaw at an angle with the head at rest: looked for
/// outward in steps, then halved.
fn arm_for(w: &Wolf, side: f64, from: f64, jaw: f64) -> Option<f64> {
    let off = |arm: f64| Some(placed(w, side, arm, w.rest)?.0 - jaw);
    let step = |way: f64, n: u32| from + way * 0.1 * f64::from(n);
    let passes = |way: f64, n: u32| {
        let both = off(step(way, n)).zip(off(step(way, n + 1)));
        both.map(|(here, next)| here * next <= 0.0)
    };
    let found = [1.0, -1.0].into_iter().filter_map(|way| {
        let n = (0..1200).map_while(|n| Some((n, passes(way, n)?))).find(|(_, passes)| *passes)?;
        Some((n.0, way))
    });
    let (n, way) = found.min_by_key(|(n, _)| *n)?;
    let (mut a, mut b) = (step(way, n), step(way, n + 1));
    for _ in 0..60 {
        let middle = (a + b) / 2.0;
        if off(a)? * off(middle)? <= 0.0 { b = middle } else { a = middle }
    }
    Some(a)
}

/// A wolf whose rod closes as it is drawn: rod as long as arm's pin and lever's are apart.
fn any(random: &mut Random) -> Wolf {
    let mut between = |a: f64, b: f64| ((a + (b - a) * random.unit()) * 2.0).round() / 2.0;
    let servo = (between(120.0, 330.0), between(620.0, 780.0));
    let (arm, lever, clamp) = (between(10.0, 30.0), between(30.0, 70.0), between(-120.0, 120.0));
    let pin = polar(servo, arm, between(0.0, 360.0));
    let far = polar((120.0, 700.0), lever, 270.0 + clamp);
    let rod = ((pin.0 - far.0).hypot(pin.1 - far.1) * 1e3).round() / 1e3;
    let head = (180.0 - between(2.0, 15.0), 180.0 + between(2.0, 15.0));
    let rest = (180.0 + between(-4.0, 4.0)).clamp(head.0, head.1);
    let jaw = (270.0 - between(2.0, 10.0), 270.0 + between(2.0, 10.0));
    Wolf { servo, bars: [arm, rod, lever], clamp, head, rest, jaw }
}

#[test]
fn a_jaw_goes_as_far_as_servo_and_head_take_it() {
    let mut random = Random(20_261_129);
    let (mut held, mut locked) = (0, 0);
    for _ in 0..160 {
        let w = any(&mut random);
        let compiled = compiled(&w);
        let (Some(servo), true) = (jaw(&compiled), w.bars[1] > 1.0) else { continue };
        let errors = compiled.findings.iter().filter(|f| f.severity == Severity::Error);
        if errors.clone().any(|f| f.code.word == "servo-out-of-travel") {
            continue;
        }
        let side = servo.linkage.unwrap().assembly().sign();
        let zero = servo.arm_at_zero.unwrap().0;
        let ends = [w.jaw.0, w.jaw.1].map(|at| arm_for(&w, side, zero, at));
        let locks = compiled.findings.iter().find(|f| f.code.word == "servo-rod-locks");
        let angle = |name: &str| {
            let own = compiled.figures[0].limbs[1].mechanism.as_ref();
            own.and_then(|m| m.figure_angle(name)).map(|a| a.0)
        };
        let [Some(one), Some(two)] = ends else {
            assert!(locks.is_some(), "{w:?} {:?}", compiled.findings);
            continue;
        };
        let (mut low, mut high, mut push, mut open) = (f64::MAX, f64::MIN, f64::MAX, 0);
        for (i, j) in (0..=160).flat_map(|i| (0..=160).map(move |j| (i, j))) {
            let share = |n: u32| f64::from(n) / 160.0;
            let arm = one + (two - one) * share(i);
            match placed(&w, side, arm, w.head.0 + (w.head.1 - w.head.0) * share(j)) {
                None => open += 1,
                Some((at, mu)) => {
                    (low, high, push) = (low.min(at), high.max(at), push.min(mu));
                }
            }
        }
        if let Some(found) = locks {
            // Between two places of the grid it may come to the line.
            assert!(open > 0 || push < 8.0, "{w:?} {push} {}", found.message);
            assert!(angle("carried_push").is_none());
            locked += 1;
            continue;
        }
        assert_eq!(open, 0, "{w:?}");
        let near = |name: &str, want: f64, by: f64| {
            let got = angle(name).unwrap_or_else(|| panic!("{name} {w:?} {:?}", compiled.findings));
            let got = got + 360.0 * ((want - got) / 360.0).round();
            assert!((got - want).abs() < by, "{name}: {got} and {want}, {w:?}");
        };
        near("carried_low", low, 0.03);
        near("carried_high", high, 0.03);
        near("carried_push", push, 0.1);
        near("carrier_low", w.head.0, 1e-9);
        near("carrier_high", w.head.1, 1e-9);
        let limb = &compiled.figures[0].limbs[1];
        assert!(limb.not_checked.iter().all(|n| !n.what.starts_with("motion of a limb")));
        let said = format!("with head at rest, at {} deg", w.rest);
        assert!(limb.assumed.iter().any(|n| n.what.contains(&said)), "{said} {:?}", limb.assumed);
        held += 1;
    }
    assert!(held > 40 && locked > 5, "{held} {locked}");
}

/// A rod that closes with the head as drawn and comes into line elsewhere, as with two far
/// apart.
#[test]
fn a_rod_that_locks_where_the_head_goes_is_told_with_the_place() {
    let w = Wolf {
        servo: (290.0, 710.0),
        bars: [30.0, 135.0, 40.0],
        clamp: 24.0,
        head: (165.0, 225.0),
        rest: 180.0,
        jaw: (262.0, 278.0),
    };
    let short = compiled(&w);
    let found = short.findings.iter().find(|f| f.code.word == "servo-rod-locks");
    let found = found.unwrap_or_else(|| panic!("{:?}", short.findings));
    assert!(found.message.contains("with head at"), "{}", found.message);
    assert!(found.help.as_ref().unwrap().contains("let the servo ride on head"));
    let notes = &short.figures[0].limbs[1].not_checked;
    assert!(notes.iter().any(|n| n.what.starts_with("motion of a limb")), "{notes:?}");
}

/// With the head at rest elsewhere than drawn, what the servo reaches there is what counts.
#[test]
fn an_angle_it_reaches_only_as_drawn_is_told_with_the_head_at_rest() {
    let w = Wolf {
        servo: (200.0, 640.0),
        bars: [16.0, 65.0, 40.0],
        clamp: 90.0,
        head: (180.0, 200.0),
        rest: 196.0,
        jaw: (260.0, 280.0),
    };
    let away = compiled(&w);
    let found = away.findings.iter().find(|f| f.code.word == "servo-out-of-travel");
    let found = found.unwrap_or_else(|| panic!("{:?}", away.findings));
    assert!(found.message.ends_with("(With head at rest, at 196 deg.)"), "{}", found.message);
    let near = compiled(&Wolf { rest: 180.0, ..w });
    assert!(near.findings.iter().all(|f| f.code.word != "servo-out-of-travel"));
}

/// What a jaw that rides pushes in turn would follow head and servo: a note.
#[test]
fn a_lip_that_such_a_jaw_pushes_is_a_note() {
    let compiled = compile(
        "figure wolf { board plywood-9 900 mm by 1200 mm
  limb head { pivot (300, 700) mm  tip (120, 700) mm
    drive servo { motor servo-standard }
    rest 180 deg
    gesture look { sweep 175 deg to 200 deg  cycle 4 s } }
  limb jaw on head { pivot (120, 700) mm  tip (120, 600) mm
    drive servo { motor servo-standard at (290, 710) mm  crank 30 mm  rod 170.3 mm  lever 30 mm at 0 deg }
    rest 270 deg
    gesture snap { sweep 262 deg to 280 deg  cycle 2 s } }
  limb lip { pivot (60, 560) mm  tip (0, 560) mm
    drive four-bar from jaw { anchor (120, 650) mm  rod 80 mm  lever 40 mm at 90 deg } } }",
    );
    let lip = &compiled.figures[0].limbs[2];
    assert!(lip.mechanism.is_none());
    let said = "pushed by one that rides on another with its motor on the board";
    assert!(lip.not_checked.iter().any(|n| n.what.contains(said)), "{:?}", lip.not_checked);
}
