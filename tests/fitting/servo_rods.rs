//! A servo with a rod: open sizes and zero in a whole yard, how careful to be, and the
//! chart of trial holes, against circles cut with each other here.

use yardwright::check::Compiled;
use yardwright::fit::FittedServo;
use yardwright::fit::builds::care;
use yardwright::fit::chart::{self, Cell, Rows};
use yardwright::mechanism::Assembly;
use yardwright::units::{Deg, Mm, System};

use super::{compile, servo};

/// An owl's head 60 mm above its servo, which turns 50 deg either way.
fn owl(drive: &str, gestures: &str) -> String {
    format!(
        "figure owl {{ board plywood-9 420 mm by 820 mm\n limb head {{ pivot (210, 740) mm tip (210, 890) mm\n\
         drive servo {{ motor servo-standard at (210, 680) mm {drive} }}\n {gestures} }} }}"
    )
}

const LOOKS: &str =
    "gesture look { turn to 125 deg over 1 s } gesture back { turn to 55 deg over 1 s }";

fn words(compiled: &Compiled) -> Vec<&str> {
    compiled.findings.iter().map(|f| f.code.word).collect()
}

/// The limb with servo, pivot, arm, rod, lever, clamp and the arm's angle so: the rod's
/// circle about the arm's pin cut with the lever's about the pivot.
fn limb(v: &[f64; 9], side: Assembly) -> Option<f64> {
    let [a, b, c, clamp, arm, mx, my, px, py] = *v;
    let (sin, cos) = libm::sincos(arm.to_radians());
    let (x, y) = (px - mx - a * cos, py - my - a * sin);
    let far = libm::hypot(x, y);
    let cosine = (c * c + far * far - b * b) / (2.0 * c * far);
    let aside = (cosine.abs() <= 1.0).then(|| libm::acos(cosine))?;
    // Seen from the pivot the arm's pin lies backwards; open: the lever's pin is on the
    // left of the way to the pivot, so to the right of the way back.
    let back = libm::atan2(-y, -x);
    Some((back - side.sign() * aside).to_degrees() - clamp)
}

fn drawn(found: &FittedServo) -> ([f64; 9], Assembly) {
    let l = found.linkage.unwrap();
    let (bars, m, p) = (l.bars(), l.motor(), l.pivot());
    let arm = found.arm_at_zero.unwrap().0;
    let lengths = [bars.crank.0, bars.rod.0, bars.lever.0, l.clamp().0, arm];
    let [a, b, c, d, e] = lengths;
    ([a, b, c, d, e, m.x, m.y, p.x, p.y], l.assembly())
}

fn turned(mut v: [f64; 9], own: Deg) -> [f64; 9] {
    v[4] += own.0;
    v
}

fn near(a: f64, b: f64) -> f64 {
    ((a - b + 540.0).rem_euclid(360.0) - 180.0).abs()
}

#[test]
fn open_sizes_of_a_servo_are_found() {
    for drive in
        ["arm ?", "arm ? rod ? lever ? at ?", "arm 20 mm lever ? at ?", "rod ? lever 25 mm"]
    {
        let compiled = compile(&owl(drive, LOOKS));
        assert!(words(&compiled).is_empty(), "{drive}: {:?}", compiled.findings);
        let found = servo(&compiled);
        let bars = found.linkage.unwrap().bars();
        assert!(bars.crank == bars.lever && (bars.rod.0 - 60.0).abs() < 1e-9, "{drive} {bars:?}");
        assert!((found.min_transmission.unwrap().0 - 55.0).abs() < 1e-6);
        let (v, side) = drawn(found);
        for asked in [55.0, 90.0, 125.0] {
            let at = limb(&turned(v, found.shaft_for(Deg(asked))), side).unwrap();
            assert!(near(at, asked) < 1e-6, "{drive}: {at} {asked}");
        }
    }
    // A row that has no equal arms.
    let compiled =
        compile(&owl("arm ? 20 to 30 mm by 5 mm rod ? lever ? 36 to 44 mm by 4 mm at ?", LOOKS));
    let found = servo(&compiled);
    assert!(words(&compiled).iter().all(|w| *w == "weak-push"), "{:?}", compiled.findings);
    let bars = found.linkage.unwrap().bars();
    assert!((bars.crank.0 % 5.0, bars.lever.0 % 4.0) == (0.0, 0.0), "{bars:?}");
    let (v, side) = drawn(found);
    for asked in [55.0, 90.0, 125.0] {
        let at = limb(&turned(v, found.shaft_for(Deg(asked))), side).unwrap();
        assert!(near(at, asked) < 1e-6, "{at} {asked}");
    }
}

#[test]
fn zero_is_proposed_where_it_is_open() {
    // From as drawn, 90 deg, the way to 20 deg is 70 long, and the servo turns 50.
    let low = "gesture down { turn to 20 deg over 1 s } gesture up { turn to 80 deg over 1 s }";
    for drive in
        ["arm 20 mm rod 60 mm lever 20 mm at ? zero ?", "arm 20 mm rod 60 mm lever 20 mm at ?"]
    {
        let compiled = compile(&owl(drive, low));
        assert!(words(&compiled).is_empty(), "{drive}: {:?}", compiled.findings);
        let found = servo(&compiled);
        // A parallelogram: any zero from 30 to 70 deg does; the middle leaves most.
        assert_eq!(found.zero, Some(Deg(50.0)), "{drive}");
        let (v, side) = drawn(found);
        assert!(near(limb(&v, side).unwrap(), 50.0) < 1e-6);
    }
    let said = compile(&owl("arm 20 mm rod 60 mm lever 20 mm at ? zero 150 deg", low));
    let no = said.findings.iter().find(|f| f.code.word == "nothing-fits").unwrap();
    assert!(no.help.as_ref().unwrap().contains("`zero 50 deg`"), "{no:?}");
    // Straight on the shaft.
    let straight = owl("zero ?", low).replace("(210, 680)", "(210, 740)");
    let compiled = compile(&straight);
    assert!(words(&compiled).is_empty(), "{:?}", compiled.findings);
    assert_eq!(servo(&compiled).zero, Some(Deg(50.0)));
    let plain = compile(&straight.replace("zero ?", ""));
    assert!(words(&plain).contains(&"servo-out-of-travel"));
}

#[test]
fn a_mirrored_limb_takes_the_image_of_what_was_found() {
    let text = "figure f { board plywood-9 900 mm by 1000 mm
 limb l { pivot (200, 600) mm tip (40, 700) mm
  drive servo { motor servo-standard at (280, 480) mm arm ? 20 to 30 mm by 5 mm rod ? lever ? 36 to 52 mm by 8 mm at ? zero ? }
  gesture wave { sweep 120 deg to 165 deg cycle 4 s } }
 limb r mirrors l about x 450 mm }";
    let compiled = compile(text);
    let of = |n: usize| match &compiled.figures[0].limbs[n].mechanism {
        Some(yardwright::fit::Fitted::Servo(s)) => drawn(s),
        other => panic!("{other:?} {:?}", compiled.findings),
    };
    let ((l, side), (r, image)) = (of(0), of(1));
    assert_eq!(side.other(), image);
    assert!((0..3).all(|i| (l[i] - r[i]).abs() < 1e-9) && near(l[3], -r[3]) < 1e-9, "{l:?} {r:?}");
    assert!(near(l[4], 180.0 - r[4]) < 1e-6, "{l:?} {r:?}");
}

/// An arm longer by a hair turns a parallelogram's limb further by tan(35 deg)/20 rad per
/// mm at both ends; a longer rod turns it on by 1/(20 cos 35 deg). From the loop equation.
#[test]
fn care_of_a_parallelogram_is_its_closed_form() {
    let compiled = compile(
        &owl("crank 20 mm rod 60 mm lever 20 mm at 90 deg within", LOOKS).replace(" within", ""),
    );
    let figure = &compiled.figures[0];
    let care = care(&figure.figure.limbs[0], &figure.limbs[0]).unwrap();
    let of = |name: &str| care.slopes.iter().find(|s| s.dimension.name == name).unwrap();
    let angle = 35_f64.to_radians();
    let arm = (libm::tan(angle) / 20.0).to_degrees();
    assert!((of("servo arm").low + arm).abs() < 1e-5 && (of("servo arm").high - arm).abs() < 1e-5);
    let rod = (1.0 / (20.0 * libm::cos(angle))).to_degrees();
    assert!((of("rod").low.abs() - rod).abs() < 1e-5 && of("rod").range().abs() < 1e-5);
    assert!(
        (of("clamp").low + 1.0).abs() < 1e-9 && (of("servo arm's angle").high - 1.0).abs() < 1e-6
    );
}

/// Slopes and share against whole builds, each put together anew with its errors.
#[test]
fn the_share_is_that_of_whole_builds() {
    let text = owl(
        "crank 24 mm rod 75 mm lever 35 mm at 100 deg",
        "gesture look { sweep 70 deg to 105 deg within 1 deg cycle 4 s }",
    );
    let compiled = compile(&text);
    let figure = &compiled.figures[0];
    let care = care(&figure.figure.limbs[0], &figure.limbs[0]).unwrap();
    let found = servo(&compiled);
    let (v, side) = drawn(found);
    let own = [70.0, 105.0].map(|a| found.shaft_for(Deg(a)));
    let ends = |v: &[f64; 9]| own.map(|own| limb(&turned(*v, own), side).unwrap());
    for (index, slope) in care.slopes.iter().enumerate() {
        let moved = |by: f64| {
            let mut v = v;
            v[index] += by;
            ends(&v)
        };
        let (more, less) = (moved(0.01), moved(-0.01));
        let by = |n: usize| (more[n] - less[n]) / 0.02;
        assert!((slope.low - by(0)).abs() < 1e-4 && (slope.high - by(1)).abs() < 1e-4, "{slope:?}");
    }
    let mut rng = super::super::linkages::reference::Rng(11);
    let (mut good, all) = (0, 6000);
    for _ in 0..all {
        let mut built = v;
        for (index, value) in built.iter_mut().enumerate() {
            let error = 2.0 * rng.unit() - 1.0;
            // The lever is clamped on the finished limb.
            *value += if index == 3 { 0.0 } else { error };
        }
        let [low, high] = ends(&built);
        good += i32::from((high - low - 35.0).abs() <= 1.0);
    }
    let exact = f64::from(good) / f64::from(all);
    let share = care.share.unwrap();
    assert!(care.set_by_hand && (0.05..0.99).contains(&exact), "no test: {exact}");
    assert!((share - exact).abs() < 0.015, "{share} {exact}");
}

/// A cylinder that only pulses is held to its drawing: anchor, pin and guide each up to
/// 1 mm off move its ends by as much, and the tolerance is 2 mm: of three even errors the
/// sum is within 2 in 1 - 2 (1^3)/(6 2^3) = 23/24 of all (sum of even numbers, Irwin and
/// Hall).
#[test]
fn what_only_pulses_is_held_to_its_drawing() {
    let compiled = compile(include_str!("../../examples/cylinder.yard"));
    let figure = &compiled.figures[0];
    let care = care(&figure.figure.limbs[0], &figure.limbs[0]).unwrap();
    assert!(care.as_drawn && care.slides);
    assert!((care.share.unwrap() - 23.0 / 24.0).abs() < 0.01, "{:?}", care.share);
}

/// Every cell of the chart by the same circles: the limb's reach over the travel in small
/// steps, and whether it gets to what is asked.
#[test]
fn the_chart_of_a_servo_is_that_of_its_circles() {
    let text = owl("arm 20 mm rod 60 mm lever 20 mm at 90 deg", LOOKS);
    let compiled = compile(&text);
    let fitted = compiled.figures[0].limbs[0].mechanism.as_ref().unwrap();
    let asked = Some((Deg(55.0), Deg(125.0)));
    let rows = Rows { crank: None, system: System::Metric, asked, near: None };
    let chart = chart::chart(fitted, (None, None), rows).unwrap();
    assert!(chart.servo && chart.chosen.is_some());
    let (v, side) = drawn(servo(&compiled));
    let (mut good, mut bad) = (0, 0);
    for (arm, row) in chart.down.at.iter().zip(&chart.cells) {
        for (lever, cell) in chart.across.as_ref().unwrap().at.iter().zip(row) {
            let mut built = v;
            (built[0], built[2]) = (*arm, *lever);
            // From the servo's zero either way, as far as it closes without a jump.
            let walk = |way: f64| {
                let (mut at, mut all) = (0.0, Vec::new());
                while at <= 50.0 + 1e-9 {
                    let Some(l) = limb(&turned(built, Deg(way * at)), side) else { break };
                    all.push(l);
                    at += 0.05;
                }
                all
            };
            let run = |l: f64| (l - 90.0 + 540.0).rem_euclid(360.0) - 180.0 + 90.0;
            let all: Vec<f64> = walk(-1.0).into_iter().chain(walk(1.0)).map(run).collect();
            let ends = all.iter().fold((f64::MAX, f64::MIN), |m, l| (m.0.min(*l), m.1.max(*l)));
            let reaches = ends.0 <= 55.0 + 0.3 && ends.1 >= 125.0 - 0.3;
            match cell {
                Cell::Turns { range, .. } => {
                    good += 1;
                    assert!(reaches, "{arm} {lever} {ends:?}");
                    // At a lock the last hair of the servo is many degrees of the limb.
                    let locked = ends.1 - ends.0 > 130.0;
                    let more = range - (ends.1 - ends.0);
                    let most = if locked { 15.0 } else { 0.1 };
                    assert!(more > -0.1 && more < most, "{arm} {lever} {range} {ends:?}");
                }
                Cell::Blocked(why) => {
                    bad += 1;
                    let short = ends.0 > 55.0 - 0.3 || ends.1 < 125.0 + 0.3;
                    assert!(short, "{arm} {lever} {why} {ends:?}");
                }
            }
        }
    }
    assert!(good > 5 && bad > 5, "{good} {bad}");
    let direct = compile(&owl("zero 90 deg", LOOKS).replace("(210, 680)", "(210, 740)"));
    let fitted = direct.figures[0].limbs[0].mechanism.as_ref().unwrap();
    let why = chart::chart(fitted, (None, None), rows).unwrap_err();
    assert!(why.contains("straight on its servo's shaft"), "{why}");
}

/// A cord's horn has a chart too; moved to the hole in use it is the drawn limb, and a
/// longer horn draws in more: the closed form of a horn square to its first eye.
#[test]
fn a_horns_cord_has_a_chart() {
    let compiled = compile(
        "figure f { board plywood-9 600 mm by 1200 mm\n motor lids servo-standard at (200, 740) mm\n
  limb lid { pivot (200, 860) mm  tip (320, 860) mm\n
  drive cord { motor lids  horn ?  lever 45 mm at ?  guides (170, 800) mm  return spring 0.4 N.m }\n
  gesture blink { sweep 10 deg to 60 deg within 2 deg  cycle 1 s } } }",
    );
    let limb = &compiled.figures[0].limbs[0];
    let fitted = limb.mechanism.as_ref().unwrap();
    let rows = Rows {
        crank: Some((Mm(15.0), Mm(25.0), Mm(5.0))),
        system: System::Metric,
        asked: None,
        near: None,
    };
    let chart = chart::chart(fitted, (None, None), rows).unwrap();
    assert_eq!(chart.down.word, "horn");
    let (r, c) = chart.chosen.unwrap();
    let swing = |r: usize, c: usize| match &chart.cells[r][c] {
        Cell::Turns { range, .. } => *range,
        Cell::Blocked(why) => panic!("{why}"),
    };
    // The horn in use is sent as far as the gesture asks.
    assert!((swing(r, c) - 50.0).abs() < 0.5, "{}", swing(r, c));
    assert!(chart.down.at.windows(2).enumerate().all(|(i, _)| swing(i, c) < swing(i + 1, c)));
}
