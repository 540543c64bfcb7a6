//! A jaw on a head that turns, its ram or the spool of its cord on the board: what head and
//! length make of it, against triangles by the law of cosines on a grid of both (the inverted
//! slider-crank with a ground that moves: R. L. Norton, *Design of Machinery*, position
//! analysis).
#![allow(clippy::disallowed_methods)] // On purpose another library's sines.

use yardwright::check::Compiled;
use yardwright::finding::Severity;
use yardwright::fit::{Fitted, FittedDrive, Measure};

use super::compile;
use super::wild::Random;

const HEAD: (f64, f64) = (300.0, 700.0);
const OUT: f64 = 180.0;

/// From where it is pushed or pulled, its lever and clamp, its lengths from there to the
/// lever's pin, the head's range and rest.
#[derive(Clone, Copy, Debug)]
struct Wolf {
    from: (f64, f64),
    lever: f64,
    clamp: f64,
    lengths: (f64, f64),
    head: (f64, f64),
    rest: f64,
}

fn polar(from: (f64, f64), r: f64, deg: f64) -> (f64, f64) {
    let (s, c) = deg.to_radians().sin_cos();
    (from.0 + r * c, from.1 + r * s)
}

fn apart(a: (f64, f64), b: (f64, f64)) -> f64 {
    (a.0 - b.0).hypot(a.1 - b.1)
}

/// The jaw's angle, near 180, and the sine of the push with length and head so; `None` where
/// no triangle closes. `side`: +1 with the lever's pin left of the way from what pushes to
/// the pivot.
fn placed(w: &Wolf, side: f64, length: f64, head: f64) -> Option<(f64, f64)> {
    let pivot = polar(HEAD, OUT, head);
    let (c, d) = (w.lever, apart(w.from, pivot));
    let cos = (c * c + d * d - length * length) / (2.0 * c * d);
    let at_pivot = (-1.0..=1.0).contains(&cos).then(|| cos.acos().to_degrees())?;
    let back = (w.from.1 - pivot.1).atan2(w.from.0 - pivot.0).to_degrees();
    // Seen from the pivot, left of the way to it is clockwise of the way back.
    let limb = back - side * at_pivot - w.clamp;
    let push = (length * length + c * c - d * d) / (2.0 * length * c);
    let push = (1.0 - push.min(1.0) * push.min(1.0)).max(0.0).sqrt();
    Some((limb + 360.0 * ((180.0 - limb) / 360.0).round(), push))
}

fn drive(compiled: &Compiled) -> Option<&FittedDrive> {
    match compiled.figures[0].limbs[1].mechanism.as_ref()? {
        Fitted::Drive(drive) => Some(drive),
        other => panic!("{other:?}"),
    }
}

/// Holds what was told against the grid; whether it was found to go everywhere. From where
/// the lever is pushed or pulled, and over which length, at a share of the drive's way.
fn held(
    w: &Wolf,
    compiled: &Compiled,
    code: &str,
    drives: &dyn Fn(f64) -> ((f64, f64), f64),
) -> Option<bool> {
    let own = drive(compiled)?;
    let side = own.exact.mechanism.assembly().unwrap().sign();
    let figure = |name: &str| {
        own.figures.iter().find(|f| f.name == name).map(|f| match f.value {
            Measure::Length(l) => l.0,
            Measure::Angle(a) => a.0,
            other => panic!("{other:?}"),
        })
    };
    // As it stands at rest it was held before, in words of its own.
    figure("carrier_low")?;
    let (mut low, mut high, mut push, mut open) = (f64::MAX, f64::MIN, f64::MAX, 0);
    for (i, j) in (0..=200).flat_map(|i| (0..=200).map(move |j| (i, j))) {
        let share = |n: u32| f64::from(n) / 200.0;
        let (from, length) = drives(share(i));
        match placed(
            &Wolf { from, ..*w },
            side,
            length,
            w.head.0 + (w.head.1 - w.head.0) * share(j),
        ) {
            None => open += 1,
            Some((at, sine)) => {
                (low, high, push) = (low.min(at), high.max(at), push.min(sine));
            }
        }
    }
    let locks = compiled
        .findings
        .iter()
        .find(|f| f.code.word == code && f.message.starts_with("with head at "));
    if let Some(found) = locks {
        assert!(open > 0 || push < 0.05, "{w:?} {push} {}", found.message);
        assert!(figure("carried_push").is_none());
        return Some(false);
    }
    assert_eq!(open, 0, "{w:?} {:?}", compiled.findings);
    let near = |name: &str, want: f64, by: f64| {
        let got = figure(name).unwrap_or_else(|| panic!("{name} {w:?} {:?}", compiled.findings));
        let turned = got + 360.0 * ((want - got) / 360.0).round();
        let off = if name.ends_with("arm") { got - want } else { turned - want };
        assert!(off.abs() < by, "{name}: {got} and {want}, {w:?}");
    };
    near("carried_low", low, 0.03);
    near("carried_high", high, 0.03);
    near("carried_push", push.asin().to_degrees(), 0.1);
    near("carried_arm", w.lever * push, 0.05);
    let limb = &compiled.figures[0].limbs[1];
    assert!(limb.not_checked.iter().all(|n| !n.what.starts_with("motion of a limb")));
    let said = format!("with head at rest, at {} deg", w.rest);
    assert!(limb.assumed.iter().any(|n| n.what.contains(&said)), "{said} {:?}", limb.assumed);
    Some(true)
}

/// From one place, shorter and longer.
fn grows(w: &Wolf, (short, long): (f64, f64)) -> impl Fn(f64) -> ((f64, f64), f64) {
    let from = w.from;
    move |share| (from, short + (long - short) * share)
}

/// A wolf whose jaw, pointing left as drawn, is pushed from anywhere.
fn any(random: &mut Random) -> Wolf {
    let mut between = |a: f64, b: f64| ((a + (b - a) * random.unit()) * 2.0).round() / 2.0;
    let from = (between(60.0, 320.0), between(560.0, 840.0));
    let (lever, clamp) = (between(25.0, 60.0), between(-170.0, 170.0));
    let head = (180.0 - between(2.0, 16.0), 180.0 + between(2.0, 16.0));
    let rest = (180.0 + between(-3.0, 3.0)).clamp(head.0, head.1);
    let pin = polar(polar(HEAD, OUT, rest), lever, 180.0 + clamp);
    let (middle, half) = (apart(from, pin).round(), between(4.0, 14.0));
    Wolf { from, lever, clamp, lengths: (middle - half, middle + half), head, rest }
}

fn wolf(w: &Wolf, motors: &str, jaw: &str) -> Compiled {
    compile(&format!(
        "{motors}
figure wolf {{ board plywood-9 900 mm by 1200 mm
  limb head {{ pivot (300, 700) mm  tip (120, 700) mm
    drive servo {{ motor servo-standard }}
    rest {} deg
    gesture look {{ sweep {} deg to {} deg  cycle 4 s }} }}
  limb jaw on head {{ pivot (120, 700) mm  tip (20, 700) mm
    {jaw} }} }}",
        w.rest, w.head.0, w.head.1
    ))
}

#[test]
fn a_jaw_on_a_ram_goes_as_far_as_stroke_and_head_take_it() {
    let mut random = Random(17);
    let (mut goes, mut locks) = (0, 0);
    for _ in 0..160 {
        let w = any(&mut random);
        let ((x, y), (short, long)) = (w.from, w.lengths);
        if long - short > short {
            continue;
        }
        let ram = format!(
            "motor small-ram {{ kind ram  length {short} mm to {long} mm  speed 0.01 m/s }}"
        );
        let jaw = format!(
            "drive ram {{ motor small-ram  anchor ({x}, {y}) mm  lever {} mm at {} deg }}
    gesture snap {{ sweep 170 deg to 190 deg within 60 deg  cycle 20 s }}",
            w.lever, w.clamp
        );
        match held(&w, &wolf(&w, &ram, &jaw), "dead-centre", &grows(&w, w.lengths)) {
            Some(true) => goes += 1,
            Some(false) => locks += 1,
            None => {}
        }
    }
    assert!(goes > 40 && locks > 5, "{goes} {locks}");
}

/// What the spool has not wound on runs from the eye to the lever's pin.
#[test]
fn a_jaw_on_a_cord_goes_as_far_as_spool_and_head_take_it() {
    let mut random = Random(23);
    let (mut goes, mut locks) = (0, 0);
    for _ in 0..160 {
        let w = any(&mut random);
        let ((x, y), (short, long)) = (w.from, w.lengths);
        if short < 10.0 {
            continue;
        }
        let spool = "motor winch { kind spool  free 30 rpm 0.5 A }";
        let before = apart((400.0, 400.0), w.from);
        let cord = ((before + long) * 1e3).round() / 1e3;
        let jaw = format!(
            "drive cord {{ motor winch at (400, 400) mm  spool 20 mm  guides ({x}, {y}) mm
      lever {} mm at {} deg  length {cord} mm  return spring 0.1 N.m }}
    gesture snap {{ sweep 172 deg to 188 deg within 60 deg  cycle 20 s }}",
            w.lever, w.clamp
        );
        let compiled = wolf(&w, spool, &jaw);
        let Some(own) = drive(&compiled) else { continue };
        let drawn = own.figures.iter().find(|f| f.name == "drawn_in").map(|f| f.value);
        let Some(Measure::Length(drawn)) = drawn else { continue };
        let lengths = (cord - before - drawn.0, cord - before);
        match held(&w, &compiled, "cord-lies-dead", &grows(&w, lengths)) {
            Some(true) => goes += 1,
            Some(false) => locks += 1,
            None => {}
        }
    }
    assert!(goes > 20 && locks > 2, "{goes} {locks}");
}

/// Straight from the pin of a crank the cord is a rod that only pulls: a four-bar, on each of
/// the head's places, its crank looked at all the way round.
#[test]
fn a_jaw_on_a_cord_straight_from_a_crank_goes_as_far_as_crank_and_head_take_it() {
    let mut random = Random(29);
    let (mut goes, mut locks) = (0, 0);
    for _ in 0..160 {
        let w = any(&mut random);
        let (crank, cord) = ((w.lengths.1 - w.lengths.0) / 2.0, w.lengths.0.midpoint(w.lengths.1));
        let motor = "motor winder { kind brushed  free 12 rpm 0.5 A }";
        let ((x, y), Wolf { lever, clamp, .. }) = (w.from, w);
        let jaw = format!(
            "drive cord {{ motor winder at ({x}, {y}) mm  crank {crank} mm  lever {lever} mm at {clamp} deg
      length {cord} mm  return spring 0.1 N.m }}
    gesture snap {{ sweep 172 deg to 188 deg within 60 deg  cycle 5 s }}"
        );
        let turns = |share: f64| (polar(w.from, crank, 360.0 * share), cord);
        match held(&w, &wolf(&w, motor, &jaw), "cord-lies-dead", &turns) {
            Some(true) => goes += 1,
            Some(false) => locks += 1,
            None => {}
        }
    }
    assert!(goes > 20 && locks > 2, "{goes} {locks}");
}

/// Weight draws the cord tight as long as the jaw hangs to one side: by triangles it is known
/// where the head takes it past hanging straight down, and there nothing does.
#[test]
fn a_cord_that_goes_slack_where_the_head_is_turned_is_told_with_the_place() {
    let cord = |high: f64| {
        let w = Wolf {
            from: (280.0, 720.0),
            lever: 40.0,
            clamp: 0.0,
            lengths: (0.0, 0.0),
            head: (175.0, high),
            rest: 180.0,
        };
        let jaw = "weighed 0.5 kg  balances 50 mm  friction 0.002 N.m
    drive cord { motor winch at (330, 560) mm  spool 20 mm  guides (280, 720) mm  lever 40 mm at ?
      assembly crossed  return gravity }
    gesture snap { sweep 240 deg to 262 deg within 6 deg  cycle 6 s }";
        (w, wolf(&w, "motor winch { kind spool  free 30 rpm 0.5 A }", jaw))
    };
    for (high, slack) in [(181.0, false), (200.0, true)] {
        let (w, compiled) = cord(high);
        let own = drive(&compiled).unwrap();
        let size = |name: &str| own.sizes.iter().find(|s| s.name.word() == name).unwrap().drilled;
        let out = size("cord") - apart((330.0, 560.0), w.from);
        let w = Wolf { clamp: size("clamp"), lever: size("lever"), ..w };
        let farthest = (0..=200)
            .map(|i| placed(&w, -1.0, out, 175.0 + (high - 175.0) * f64::from(i) / 200.0))
            .map(|at| at.expect("it reaches").0)
            .fold(f64::MIN, f64::max);
        assert_eq!(farthest > 270.0, slack, "{farthest}");
        let found = compiled
            .findings
            .iter()
            .find(|f| f.code.word == "cord-slack" && f.severity == Severity::Error);
        assert_eq!(found.is_some(), slack, "{:?}", compiled.findings);
        if let Some(found) = found {
            assert!(found.message.contains("(with head at "), "{}", found.message);
            // In the turn that the gesture speaks of: slackest where the jaw lies farthest over.
            let at = found.message.split(" at ").nth(1).and_then(|m| m.split(' ').next());
            let at: f64 = at.unwrap().parse().unwrap();
            assert!((at - farthest).abs() < 1.5, "{farthest} {}", found.message);
        }
    }
}
