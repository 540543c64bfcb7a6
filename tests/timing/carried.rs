//! A jaw that rides on a head, worked from the board while the head turns: rods and cords
//! keep their length at every moment, with head and drive turned by hand (the loop of a
//! linkage of two degrees of freedom closes: R. L. Norton, *Design of Machinery*, position
//! analysis).

use super::orchard::*;
use yardwright::fit::{Fitted, FittedFigure, FittedServo};
use yardwright::timing::{ChannelKind, Drawing, Path, Performance, course, drive_course};
use yardwright::units::{Deg, Sec};

/// A wolf whose head swings 175.5 to 214.4 deg about (300, 700) and carries the jaw's pivot
/// 180 mm out; what drives the jaw and what is told in their places.
fn wolf(motor: &str, jaw: &str, cues: &str) -> Stage {
    stage(&format!("{}{JIG}show evening with jig {{\n{cues}\n}}", figure(motor, jaw)))
}

fn figure(motor: &str, jaw: &str) -> String {
    format!(
        "figure wolf {{
  board 900 mm by 1200 mm
  motor nod wiper-here at (420, 500) mm turns ccw
  {motor}
  limb head {{
    pivot (300, 700) mm  tip (120, 700) mm
    drive four-bar {{ motor nod  crank 30 mm  rod 217 mm  lever 90 mm at 37.5 deg  assembly open }}
    parks at 180 deg
    gesture bow {{ sweep 175 deg to 215 deg within 2 deg  cycle 4 beats }}
  }}
  limb jaw on head {{
    pivot (120, 700) mm  tip (120, 600) mm
    {jaw}
  }}
}}
set wolf at (4 m, 6 m) facing south
"
    )
}

fn fitted(s: &Stage) -> &FittedFigure {
    let at = s.yard.figures.iter().position(|f| f.name.value == "wolf").unwrap();
    &s.fitted[at]
}

fn pose(s: &Stage, p: &Performance, limb: &str, t: f64) -> f64 {
    p.figures[0].pose(limb, Sec(t), fitted(s)).unwrap_or_else(|| panic!("{limb} {t}")).value()
}

/// What is drawn is what is played, between the points of its course too; and from the first
/// pin that moves, or the anchor, over all others to the lever's it is as far as is said.
fn drawn_as_played(s: &Stage, p: &Performance, far: &dyn Fn(f64) -> f64) {
    let drawing = Drawing::of(fitted(s));
    let table = drawing.limbs[1].table.as_ref().expect("a table");
    assert_eq!((drawing.limbs[1].on, drawing.limbs[1].level), (Some(0), true));
    let points = course(Some(&p.figures[0]), fitted(s), 1, table);
    assert!(points.len() > 20);
    for pair in points.windows(2) {
        for share in [0.0, 0.37, 0.8] {
            let t = pair[0].0.0 + (pair[1].0.0 - pair[0].0.0) * share;
            let drawn = pair[0].1 + (pair[1].1 - pair[0].1) * share;
            let off = drawn - pose(s, p, "jaw", t);
            let off = off - 360.0 * (off / 360.0).round();
            assert!(off.abs() < 0.1, "{t}: {off}");
        }
    }
    let drive = drawing.limbs[1].drive.as_ref().expect("its drive's table");
    let moves = drive_course(Some(&p.figures[0]), fitted(s), 1, drive);
    let (from, to) = drive.span();
    let (mut least, mut most) = (f64::MAX, f64::MIN);
    for i in 0..2400 {
        let t = f64::from(i) * 0.01 + 0.003;
        let on_lines = |points: &[(Sec, f64)]| {
            let after = points.partition_point(|at| at.0.0 <= t);
            let (a, b) = (points[after.saturating_sub(1)], points[after.min(points.len() - 1)]);
            if b.0 > a.0 { a.1 + (b.1 - a.1) * (t - a.0.0) / (b.0 - a.0).0 } else { a.1 }
        };
        let coordinate = on_lines(&moves);
        (least, most) = (least.min(coordinate), most.max(coordinate));
        let u = if drive.closed {
            from + (coordinate - from).rem_euclid(to - from)
        } else {
            coordinate
        };
        let row = drive.rows.partition_point(|r| r.at <= u).clamp(1, drive.rows.len() - 1);
        let (a, b) = (&drive.rows[row - 1], &drive.rows[row]);
        let share = (u - a.at) / (b.at - a.at);
        let places = a.pins.iter().zip(&b.pins);
        let mut pins: Vec<(f64, f64)> = places
            .map(|(a, b)| (a[0] + (b[0] - a[0]) * share, a[1] + (b[1] - a[1]) * share))
            .collect();
        // The last is the lever's, in the jaw's own plane.
        let own = pins.pop().unwrap();
        let pivot = polar((300.0, 700.0), 180.0, pose(s, p, "head", t));
        let angle = on_lines(&points) + libm::atan2(own.1, own.0).to_degrees();
        pins.push(polar(pivot, between(own, (0.0, 0.0)), angle));
        let first = usize::from(drive.pins[0] == yardwright::mechanism::Pin::Shaft);
        let drawn: f64 = pins[first..].windows(2).map(|p| between(p[0], p[1])).sum();
        let off = drawn - far(t);
        assert!(off.abs() <= 2.0 * drive.error + 0.01, "{t}: {off}, {}", drive.error);
    }
    assert!(most - least > 5.0 && drive.error < 0.4, "{least} {most} {}", drive.error);
}

fn servo(s: &Stage) -> FittedServo {
    match s.mechanism("wolf", "jaw") {
        Fitted::Servo(servo) => FittedServo::clone(servo),
        other => panic!("{other:?}"),
    }
}

const SERVO: &str = "motor bite micro at (290, 710) mm";
const ROD: &str = "drive servo { motor bite  crank 30 mm  rod 178.3 mm  lever 40 mm at 24 deg }
    rest 270 deg
    gesture snap { sweep 260 deg to 280 deg  cycle 4 beats }
    gesture bite { sweep 260 deg to 280 deg  cycle 4 beats  accent at 280 deg }
    gesture gape { turn to 282 deg over 2 beats }";

/// At every moment arm, rod and lever close, with the arm where the servo's keys put it and
/// the head where its crank does; the servo is told the same whatever the head does.
#[test]
fn a_servos_rod_keeps_its_length_wherever_head_and_arm_are() {
    let told = "bar 7 wolf.jaw snap for 3 bars\nbar 11 wolf.jaw gape";
    let mut s = wolf(SERVO, ROD, &format!("bar 5 wolf.head bow for 8 bars\n{told}"));
    let p = s.play();
    assert_eq!(errors(&s), [""; 0]);
    let notes = format!("{:?}", fitted(&s).limbs[1].not_checked);
    assert!(!notes.contains("cues of a limb") && !notes.contains("motion of a limb"), "{notes}");
    let own = servo(&s);
    let (zero, sign) = (own.arm_at_zero.unwrap().0, own.turns.sign());
    let side = own.linkage.unwrap().assembly().sign();
    let keys = &p.figures[0].channels.iter().find(|c| c.kind == ChannelKind::Angle).unwrap().keys;
    let (mut angles, mut heads) = ((f64::MAX, f64::MIN), (f64::MAX, f64::MIN));
    for i in 0..2500 {
        let t = f64::from(i) * 0.01;
        let after = keys.partition_point(|k| k.at.0 <= t);
        let (a, b) = (keys[after.saturating_sub(1)], keys[after.min(keys.len() - 1)]);
        let share = if b.at.0 > a.at.0 { (t - a.at.0) / (b.at.0 - a.at.0) } else { 0.0 };
        let arm = zero + sign * (a.value + (b.value - a.value) * share.clamp(0.0, 1.0));
        let (head, jaw) = (pose(&s, &p, "head", t), pose(&s, &p, "jaw", t));
        let (pin, pivot) = (polar((290.0, 710.0), 30.0, arm), polar((300.0, 700.0), 180.0, head));
        let lever = polar(pivot, 40.0, jaw + 24.0);
        assert!((between(pin, lever) - 178.3).abs() < 1e-6, "{t}: {}", between(pin, lever));
        let across = (pivot.0 - pin.0) * (lever.1 - pin.1) - (pivot.1 - pin.1) * (lever.0 - pin.0);
        assert!(across * side > 0.0, "the same side, {t}");
        let body = p.figures[0].body("jaw", Sec(t), fitted(&s)).unwrap();
        assert!(between((body.x, body.y), pivot) < 1e-9, "{t}");
        angles = (angles.0.min(jaw), angles.1.max(jaw));
        heads = (heads.0.min(head), heads.1.max(head));
    }
    assert!(heads.1 - heads.0 > 30.0 && angles.1 - angles.0 > 24.0, "{heads:?} {angles:?}");
    drawn_as_played(&s, &p, &|_| 178.3);
    // Nothing else moves: the same keys, and the angles that were told.
    let mut still = wolf(SERVO, ROD, told);
    let q = still.play();
    let alone = q.figures[0].channels.iter().find(|c| c.kind == ChannelKind::Angle).unwrap();
    assert_eq!(&alone.keys, keys);
    let seen: Vec<f64> = (0..2500).map(|i| pose(&still, &q, "jaw", f64::from(i) * 0.01)).collect();
    let (low, high) = seen.iter().fold((f64::MAX, f64::MIN), |m, a| (m.0.min(*a), m.1.max(*a)));
    assert!((low - 260.0).abs() < 0.05 && (high - 282.0).abs() < 0.01, "{low} {high}");
    assert!((seen[0] - 270.0).abs() < 1e-6 && (seen[2499] - 282.0).abs() < 1e-6);
}

/// An accent needs a head at rest, as it is an angle of the board.
#[test]
fn an_accent_of_a_jaw_needs_a_head_at_rest() {
    let mut s = wolf(SERVO, ROD, "bar 5 wolf.jaw bite for 4 bars");
    let p = s.play();
    assert_eq!(errors(&s), [""; 0]);
    assert_eq!(p.accents.len(), 2);
    for a in &p.accents {
        assert!((pose(&s, &p, "jaw", a.wanted.0) - 280.0).abs() < 0.3);
    }
    let cues = "bar 5 wolf.head bow for 8 bars\nbar 7 wolf.jaw bite for 2 bars";
    let mut s = wolf(SERVO, ROD, cues);
    s.play();
    assert_eq!(s.codes(), ["carrier-moves `bar 7 wolf.jaw bite for 2 bars`"]);
}

/// An angle that a cue of its own asks for is held against servo and head at once.
#[test]
fn a_cue_of_its_own_that_does_not_close_while_the_head_bows_is_told() {
    let long = ROD.replace("rod 178.3 mm", "rod 146 mm");
    let cues = "bar 5 wolf.head bow for 8 bars\nbar 7 wolf.jaw turn to 245 deg over 2 beats";
    let mut s = wolf(SERVO, &long, cues);
    s.play();
    let own = servo(&s);
    let told = s.codes();
    // Circles that meet: does the rod reach with the arm sent there, wherever the head is?
    let Fitted::Servo(at_rest) = fitted(&s).carried_at_rest(1).unwrap() else { panic!("a servo") };
    let arm = at_rest.arm_at(at_rest.shaft_for(Deg(245.0))).0;
    let pin = polar((290.0, 710.0), 30.0, arm);
    let [b, c] = [own.linkage.unwrap().bars().rod.0, 40.0];
    let closes = (0..=400).all(|i| {
        let d = between(pin, polar((300.0, 700.0), 180.0, 175.5 + 38.9 * f64::from(i) / 400.0));
        (b - c).abs() < d && d < b + c
    });
    let locks = told.iter().any(|c| c.starts_with("servo-rod-locks"));
    assert_eq!(locks, !closes, "{told:?}");
}

const RAM: &str = "motor small-ram { kind ram  length 150 mm to 180 mm  speed 0.01 m/s }";
const STRUT: &str = "drive ram { motor small-ram  anchor (285, 690) mm  lever 50 mm at 90 deg }
    gesture snap { sweep 168 deg to 202 deg within 8 deg  cycle 32 beats }
    gesture up { turn to 168 deg over 8 beats }";

/// A ram from the board: anchor and lever's pin are as far apart as it is long, its length
/// changes at its own speed or not at all, and the head's own motion changes it nowhere.
#[test]
fn a_ram_on_the_board_is_as_long_as_its_pins_are_apart_wherever_the_head_is() {
    let told = "bar 7 wolf.jaw snap for 16 bars";
    let wolf = |cues: &str| {
        let figure = figure("", STRUT);
        stage(&format!("{RAM}\n{figure}{JIG}show evening with jig {{\n{cues}\n}}"))
    };
    let mut s = wolf(&format!("bar 5 wolf.head bow for 16 bars\n{told}"));
    let p = s.play();
    assert_eq!(errors(&s), [""; 0]);
    let length = |s: &Stage, p: &Performance, t: f64| {
        let (head, jaw) = (pose(s, p, "head", t), pose(s, p, "jaw", t));
        let pivot = polar((300.0, 700.0), 180.0, head);
        between((285.0, 690.0), polar(pivot, 50.0, jaw + 90.0))
    };
    let mut still = wolf(told);
    let q = still.play();
    let (mut moves, mut stands) = (0, 0);
    for i in 0..4000 {
        let t = f64::from(i) * 0.01;
        let here = length(&s, &p, t);
        assert!((150.0 - 1e-6..=180.0 + 1e-6).contains(&here), "{t} {here}");
        assert!((here - length(&still, &q, t)).abs() < 1e-6, "{t}");
        let speed = (length(&s, &p, t + 1e-3) - here).abs() / 1e-3;
        moves += usize::from((speed - 10.0).abs() < 1e-3);
        stands += usize::from(speed < 1e-3);
    }
    assert!(moves > 500 && stands > 500 && moves + stands > 3950, "{moves} {stands}");
    drawn_as_played(&s, &p, &|t| length(&s, &p, t));
}

/// A cord that a crank on the board draws over an eye keeps its length, crank pin to eye to
/// lever, while head and crank turn.
#[test]
fn a_cord_from_a_crank_on_the_board_keeps_its_length_wherever_both_are() {
    let motor = "motor bite wiper-here at (330, 560) mm turns ccw";
    let cord = "weighed 0.2 kg  balances 50 mm  friction 0.002 N.m
    drive cord { motor bite  crank 10 mm  guides (280, 720) mm  lever 40 mm at -90 deg  length 330 mm
      assembly crossed  return gravity }
    gesture snap { sweep 170 deg to 200 deg within 20 deg  cycle 4 beats }";
    let cues = "bar 5 wolf.head bow for 8 bars\nbar 6 wolf.jaw snap for 6 bars";
    let mut s = wolf(motor, cord, cues);
    let p = s.play();
    assert_eq!(errors(&s), [""; 0]);
    let motion = p.figures[0].limbs.iter().find(|l| l.limb == "jaw").unwrap();
    let (mut seen, mut jaws) = (0, (f64::MAX, f64::MIN));
    for piece in &motion.pieces {
        let Path::Crank { from, to } = piece.path else { panic!("{piece:?}") };
        for i in 0..=300 {
            let share = f64::from(i) / 300.0 * 0.999_999;
            let t = piece.from.0 + (piece.to.0 - piece.from.0) * share;
            let (head, jaw) = (pose(&s, &p, "head", t), pose(&s, &p, "jaw", t));
            let pin = polar((330.0, 560.0), 10.0, from.0 + (to.0 - from.0) * share);
            let lever = polar(polar((300.0, 700.0), 180.0, head), 40.0, jaw - 90.0);
            let cord = between(pin, (280.0, 720.0)) + between((280.0, 720.0), lever);
            assert!((cord - 330.0).abs() < 1e-6, "{t}: {cord}");
            seen += usize::from((head - 180.0).abs() > 1.0 && to > from);
            jaws = (jaws.0.min(jaw), jaws.1.max(jaw));
        }
    }
    assert!(seen > 200 && jaws.1 - jaws.0 > 25.0, "{seen} {jaws:?}");
    drawn_as_played(&s, &p, &|_| 330.0);
}
