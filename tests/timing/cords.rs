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

fn between(a: (f64, f64), b: (f64, f64)) -> f64 {
    libm::hypot(a.0 - b.0, a.1 - b.1)
}

fn polar(from: (f64, f64), r: f64, deg: f64) -> (f64, f64) {
    let (s, c) = libm::sincos(deg.to_radians());
    (from.0 + r * c, from.1 + r * s)
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
    let ends = *wing.as_drive().unwrap().exact.course.travel.swing().unwrap();
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
    let size = |name: &str| cord.sizes.iter().find(|s| s.name.word() == name).unwrap().exact;
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
