//! Cords in a show: on a crank as every crank, on a servo's horn by its angles.

use super::orchard::*;
use yardwright::fit::Fitted;
use yardwright::timing::{ChannelKind, SERVO_TOLERANCE};
use yardwright::units::Sec;

const HEN: &str = "figure hen {
  board 600 mm by 900 mm
  motor flap wiper-here at (300, 300) mm turns ccw
  limb wing {
    pivot (300, 600) mm  tip (560, 600) mm
    drive cord { motor flap  crank 30 mm  lever 90 mm at 170 deg  guides (220, 400) mm  length 340 mm  assembly open }
    gesture wave { sweep -20 deg to 24 deg within 10 deg  cycle 4 beats }
  }
}
figure night-owl {
  board 400 mm by 900 mm
  motor lids micro at (200, 735) mm
  limb lid {
    pivot (200, 780) mm  tip (240, 780) mm
    drive cord { motor lids  horn 20 mm  lever 15 mm at ?  guides (190, 760) mm }
    rest 10 deg
    gesture blink { sweep 10 deg to 60 deg within 4 deg  cycle 4 beats  accent at 60 deg }
  }
}
set hen at (4 m, 6 m) facing south
set night-owl at (14 m, 7 m) facing south
";

fn show(cues: &str) -> Stage {
    stage(&format!("{HEN}{JIG}show evening with jig {{\n{cues}\n}}"))
}

/// The wing goes to and fro once a turn of its crank, between the ends its drive has.
#[test]
fn a_cord_on_a_crank_moves_with_its_motor() {
    let mut s = show("bar 3 hen.wing wave for 8 bars");
    let p = s.play();
    assert_eq!(s.codes(), [""; 0]);
    let part = &p.figures[0];
    assert_eq!(part.channels[0].kind, ChannelKind::Speed);
    let wing = s.mechanism("hen", "wing");
    let ends = *wing.as_drive().unwrap().made().course.travel.swing().unwrap();
    let at = |t: f64| part.limbs[0].at(Sec(t), wing).unwrap().value();
    let all: Vec<f64> = (0..4000).map(|i| at(f64::from(i) * 0.01)).collect();
    let turned = |a: f64| a - 360.0 * libm::round((a - ends.low.0) / 360.0);
    let low = all.iter().map(|a| turned(*a)).fold(f64::INFINITY, f64::min);
    assert!((low - ends.low.0).abs() < 0.05, "{low} {ends:?}");
    // At 29 rpm a crank, a cycle: the same angle a cycle later.
    let cycle = 4.0 * 60.0 / 116.0;
    for t in [5.0, 6.0, 7.3] {
        assert!((at(t) - at(t + cycle)).abs() < 1e-6);
    }
}

/// At each key of the servo the cord from the horn's pin over the eye to the lever's
/// is as long as it was cut: the servo's angles are the limb's, carried back.
#[test]
fn the_keys_of_a_horn_hold_the_cord_at_its_length() {
    let mut s = show("bar 3 night-owl.lid blink for 8 bars");
    let p = s.play();
    assert_eq!(s.codes(), [""; 0]);
    let (channel, motion) = (&p.figures[0].channels[0], &p.figures[0].limbs[0]);
    assert_eq!(channel.kind, ChannelKind::Angle);
    let Fitted::Servo(servo) = s.mechanism("night-owl", "lid") else { panic!() };
    let cord = servo.cord.as_ref().unwrap();
    let size = |name: &str| cord.sizes.iter().find(|s| s.name.word() == name).unwrap().drilled;
    assert!(channel.keys.len() > 10);
    for key in &channel.keys {
        assert!(key.value.abs() <= 60.0 + 1e-9, "inside the servo's travel: {key:?}");
        let limb = motion.at(key.at, s.mechanism("night-owl", "lid")).unwrap().value();
        let horn = servo.arm_at_zero.unwrap().0 + key.value * servo.turns.sign();
        let pin = polar((200.0, 735.0), 20.0, horn);
        let lever = polar((200.0, 780.0), 15.0, limb + size("clamp"));
        let way = between(pin, (190.0, 760.0)) + between((190.0, 760.0), lever);
        assert!((way - size("cord")).abs() < 1e-6, "{key:?}: {way}");
    }
    let at = motion.at(p.accents[1].wanted, s.mechanism("night-owl", "lid")).unwrap().value();
    assert!((at - 60.0).abs() <= SERVO_TOLERANCE.0, "{at}");
}

/// An angle beyond what horn and cord reach is refused as for every servo.
#[test]
fn a_horn_refuses_what_its_cord_does_not_reach() {
    let mut s = show("bar 3 night-owl.lid turn to 140 deg over 2 beats");
    s.play();
    assert_eq!(s.codes(), ["servo-out-of-travel `140 deg`"]);
}

const BEAT: f64 = 60.0 / 116.0;
const EYE: (f64, f64) = (220.0, 400.0);

/// A wing on a cord that a spool of 40 mm at 30 turns a minute, or a ram, draws in over
/// one eye; the lever's clamp is found.
fn wound(motor: &str, limb: &str, cues: &str) -> Stage {
    let text = format!(
        "motor winch {{ kind spool  {motor} }}
motor piston {{ kind cylinder  bore 16 mm  rod 6 mm  stroke 84 mm }}
motor short-ram {{ kind ram  length 100 mm to 220 mm  speed 0.03 m/s }}
figure stork {{
  board 600 mm by 900 mm
  limb wing {{
    pivot (300, 600) mm  tip (560, 600) mm
    {limb}
    rest 0 deg
    gesture lift {{ turn to 60 deg over 8 beats }}
    gesture wave {{ sweep 0 deg to 60 deg within 20 deg  cycle 16 beats  accent at 60 deg }}
    gesture flick {{ pulse up for 8 beats }}
    gesture up {{ on }}
    gesture down {{ off }}
    gesture hurry {{ turn to 60 deg over 1 beat }}
  }}
}}
set stork at (14 m, 7 m) facing south
"
    );
    stage(&format!("{text}{JIG}show evening with jig {{\n{cues}\n}}"))
}

const WINCH: &str = "free 30 rpm 0.5 A";
const SPOOL: &str = "drive cord { motor winch at (300, 300) mm  spool 40 mm  lever 90 mm at ?  guides (220, 400) mm }";
const RAM: &str =
    "drive cord { motor short-ram at (300, 300) mm  lever 90 mm at ?  guides (220, 400) mm }";

const AIR: &str = "drive cord { motor piston at (300, 300) mm  lever 90 mm at ?  guides (220, 400) mm  air tank at 400 kPa  throttle up 1.2 s down 2 s }";

/// From the eye to the lever's pin with the wing at an angle it was asked for: it comes as
/// near as the drilled lever lets it, a part of a degree off.
fn run_to(s: &Stage, asked: f64) -> f64 {
    let (low, high) = ends(s);
    let there = asked.clamp(low, high);
    assert!((there - asked).abs() < 0.5, "{asked} {low} {high}");
    run(s, there)
}

/// The ends of the wing's way as drilled.
fn ends(s: &Stage) -> (f64, f64) {
    let travel = s.mechanism("stork", "wing").follows().unwrap().travel.unwrap();
    let limits = *travel.swing().unwrap();
    (limits.low.0, limits.low.0 + limits.range().0)
}

/// From the eye to the lever's pin with the wing at an angle.
fn run(s: &Stage, deg: f64) -> f64 {
    let Fitted::Drive(drive) = s.mechanism("stork", "wing") else { panic!("a cord") };
    let clamp = drive.sizes.iter().find(|s| s.name.word() == "clamp").unwrap().drilled;
    between(EYE, polar((300.0, 600.0), 90.0, deg + clamp))
}

fn keys(p: &yardwright::timing::Performance) -> Vec<(f64, f64)> {
    p.figures[0].channels[0].keys.iter().map(|k| (k.at.0, k.value)).collect()
}

#[track_caller]
fn alike(got: &[(f64, f64)], want: &[(f64, f64)]) {
    let close = |a: &(f64, f64), b: &(f64, f64)| (a.0 - b.0).abs() < 1e-6 && a.1 == b.1;
    let same = got.len() == want.len() && got.iter().zip(want).all(|(a, b)| close(a, b));
    assert!(same, "{got:?}, not {want:?}");
}

/// A spool winds its circumference times its turns: pi 40 mm 30/min are 62.8 mm/s. All
/// along the way the stretch from the eye to the lever shrinks by so much a second.
#[test]
fn a_spool_winds_its_circumference_a_turn() {
    let mut s = wound(WINCH, SPOOL, "bar 3 stork.wing lift\nbar 9 stork.wing down");
    let p = s.play();
    assert!(s.findings.iter().all(|f| f.code.word == "ram-arrives-early"), "{:?}", s.codes());
    assert_eq!(p.figures[0].channels[0].kind, ChannelKind::Travel);
    let speed = std::f64::consts::PI * 40.0 / 2.0;
    let (low, high) = (run_to(&s, 0.0), run_to(&s, 60.0));
    let (up, down, takes) = (0.48 + 4.0 * BEAT, 0.48 + 16.0 * BEAT, (low - high).abs() / speed);
    // Drawn in to lift, and no longer than it takes: a spool has no switch at its ends.
    assert!(low > high && takes > 0.5);
    let all = [(0.0, 0.0), (up, -1.0), (up + takes, 0.0), (down, 1.0), (down + takes, 0.0)];
    alike(&keys(&p), &all);
    let wing = s.mechanism("stork", "wing");
    for i in 0..=20 {
        let t = takes * f64::from(i) / 20.0;
        let angle = |at: f64| p.figures[0].limbs[0].at(Sec(at), wing).unwrap().value();
        assert!((run(&s, angle(up + t)) - (low - speed * t)).abs() < 1e-6, "{t}");
        assert!((run(&s, angle(down + t)) - (high + speed * t)).abs() < 1e-6, "{t}");
    }
}

/// A valve is told ahead by its own 0.02 s, 0.03 s of filling and the throttle's time, so
/// that the wing is up when the cue says; the piston draws in all of its 84 mm evenly.
#[test]
fn a_cylinder_draws_its_cord_in_ahead_of_the_cue() {
    let mut s = wound(WINCH, AIR, "bar 5 stork.wing up\nbar 9 stork.wing down");
    let p = s.play();
    assert_eq!(s.codes(), [""; 0]);
    assert_eq!(p.figures[0].channels[0].kind, ChannelKind::Switch);
    let (up, down) = (0.48 + 8.0 * BEAT, 0.48 + 16.0 * BEAT);
    alike(&keys(&p), &[(0.0, 0.0), (up - 1.25, 1.0), (down - 2.05, 0.0)]);
    let (low, high) = ends(&s);
    assert!((run(&s, low) - run(&s, high) - 84.0).abs() < 1e-6);
    let wing = s.mechanism("stork", "wing");
    let angle = |at: f64| p.figures[0].limbs[0].at(Sec(at), wing).unwrap().value();
    for i in 0..=20 {
        let share = f64::from(i) / 20.0;
        let (raised, let_out) = (up - 1.2 + 1.2 * share, down - 2.0 + 2.0 * share);
        assert!((run(&s, angle(raised)) - (run(&s, low) - 84.0 * share)).abs() < 1e-6, "{share}");
        assert!((run(&s, angle(let_out)) - (run(&s, high) + 84.0 * share)).abs() < 1e-6);
    }
    // Between its ends it does not stop.
    let mut s = wound(WINCH, AIR, "bar 3 stork.wing turn to 30 deg over 8 beats");
    s.play();
    assert_eq!(s.codes(), ["stops-between `30 deg`"]);
    // And in less time than its throttle gives it is not there.
    let mut s = wound(WINCH, AIR, "bar 3 stork.wing turn to 60 deg over 1 beat");
    s.play();
    assert_eq!(s.codes(), ["too-fast-for-cylinder `bar 3 stork.wing turn to 60 deg over 1 beat`"]);
}

/// `on` draws the cord in and `pulse` lets it out again; a ram that has its whole stroke
/// for it would run to its switches, this one is stopped where the swing ends.
#[test]
fn a_ram_draws_its_cord_in_and_lets_it_out() {
    let mut s = wound(WINCH, RAM, "bar 3 stork.wing flick\nbar 11 stork.wing up");
    let p = s.play();
    assert_eq!(s.codes(), [""; 0]);
    let (low, high) = ends(&s);
    let takes = (run(&s, low) - run(&s, high)).abs() / 30.0;
    let (flick, up) = (0.48 + 4.0 * BEAT, 0.48 + 20.0 * BEAT);
    let out = flick + (8.0 * BEAT).max(takes);
    let all = [(0.0, 0.0), (flick, -1.0), (flick + takes, 0.0), (out, 1.0), (out + takes, 0.0)];
    let got = keys(&p);
    let together = if (out - flick - takes).abs() < 1e-6 { 4 } else { 5 };
    assert_eq!(got.len(), together + 2, "{got:?}");
    if together == 5 {
        alike(&got[..5], &all);
    }
    alike(&got[together..], &[(up, -1.0), (up + takes, 0.0)]);
}

/// The end of a sweep on the beat, every time.
#[test]
fn a_spool_meets_the_accent_of_its_sweep() {
    let mut s = wound(WINCH, SPOOL, "bar 5 stork.wing wave for 32 beats");
    let p = s.play();
    assert_eq!(s.codes(), [""; 0]);
    assert_eq!(p.accents.len(), 2);
    let wing = s.mechanism("stork", "wing");
    for (i, a) in p.accents.iter().enumerate() {
        let beat = 0.48 + (8.0 + 16.0 * i as f64) * BEAT;
        assert!((a.wanted.0 - beat).abs() < 1e-9);
        let at = |t: f64| p.figures[0].limbs[0].at(Sec(t), wing).unwrap().value();
        assert!((at(beat) - 60.0).abs() < 1e-6 && (at(beat + 8.0 * BEAT) - 60.0).abs() > 1.0);
        assert!(at(beat - 0.1) < 59.9, "there on the beat and no sooner");
    }
}

/// A turn in a beat is more than the spool winds; without a diameter there is no time.
#[test]
fn a_spool_too_slow_and_a_spool_unknown_are_told() {
    let mut s = wound(WINCH, SPOOL, "bar 3 stork.wing hurry");
    s.play();
    let told = s.findings.iter().find(|f| f.code.word == "too-fast-for-ram").unwrap();
    assert!(told.message.contains("to move its spool by"), "{}", told.message);
    assert!(told.message.contains("it makes 62.8 mm/s"), "{}", told.message);
    for (motor, drive, clause) in [
        (WINCH, SPOOL.replace("spool 40 mm  ", ""), "spool 40 mm"),
        ("", SPOOL.to_owned(), "free 30 rpm 0.5 A"),
    ] {
        let mut s = wound(motor, &drive, "bar 3 stork.wing lift");
        assert!(s.play().figures.is_empty());
        let stork = s.yard.figures.iter().position(|f| f.name.value == "stork").unwrap();
        let notes = yardwright::timing::not_checked(&s.fitted[stork], 0);
        assert!(notes.iter().any(|n| format!("{n:?}").contains(clause)), "{notes:?}");
    }
}
