//! Limbs whose motor rides on the limb that carries them: bends exactly, angles of the
//! board only while the carrier rests, and places on the board composed by hand.

use super::orchard::*;
use yardwright::fit::Fitted;
use yardwright::mechanism::Path as _;
use yardwright::timing::{ChannelKind, Path, Performance};
use yardwright::units::Sec;

/// The fox's upper arm on its crank; what is said of the forearm is put in its place.
fn fox(forearm: &str, more: &str, cues: &str) -> Stage {
    let text = format!(
        "motor small-ram {{ kind ram  length 90 mm to 130 mm  speed 0.02 m/s }}
figure fox {{
  board 700 mm by 1000 mm
  motor elbow wiper-here at (420, 500) mm turns ccw
  limb upper-arm {{
    pivot (300, 700) mm  tip (120, 700) mm
    drive four-bar {{ motor elbow  crank 30 mm  rod 217 mm  lever 90 mm at 17.5 deg  assembly open }}
    parks at 234.4 deg
    gesture bow {{ sweep 195 deg to 235 deg within 2 deg  cycle 4 beats }}
  }}
  limb forearm on upper-arm {{
    pivot (120, 700) mm  tip (120, 500) mm
    {forearm}
  }}
  {more}
}}
set fox at (4 m, 6 m) facing south
"
    );
    stage(&format!("{text}{JIG}show evening with jig {{\n{cues}\n}}"))
}

const SERVO: &str = "drive servo { motor micro }
    gesture curl { bend 60 deg to 120 deg  cycle 4 beats  accent at 120 deg }
    gesture fold { bend to 40 deg over 4 beats }
    gesture point { turn to 330 deg over 4 beats }";

fn fitted(s: &Stage) -> &yardwright::fit::FittedFigure {
    let at = s.yard.figures.iter().position(|f| f.name.value == "fox").unwrap();
    &s.fitted[at]
}

/// A limb's angle on the board, degrees.
fn pose(s: &Stage, p: &Performance, limb: &str, t: f64) -> f64 {
    p.figures[0].pose(limb, Sec(t), fitted(s)).unwrap().value()
}

/// A limb's angle as its own motion has it: from its carrier where its motor rides.
fn own(s: &Stage, p: &Performance, limb: &str, t: f64) -> f64 {
    let motion = p.figures[0].limbs.iter().find(|l| l.limb == limb).unwrap();
    motion.at(Sec(t), s.mechanism("fox", limb)).unwrap().value()
}

/// A point drawn on the upper arm, where the arm has turned to an angle: turned about
/// (300, 700) from the drawn 180 deg.
fn on_arm((x, y): (f64, f64), arm: f64) -> (f64, f64) {
    let (sin, cos) = libm::sincos((arm - 180.0).to_radians());
    let (dx, dy) = (x - 300.0, y - 700.0);
    (300.0 + dx * cos - dy * sin, 700.0 + dx * sin + dy * cos)
}

/// While the upper arm bows, a servo at the elbow curls the forearm: the servo is told
/// the bend (drawn square to the arm, 90 deg, where it is at its 0), the forearm's angle
/// on the board is the two added, and its elbow rides on the arm.
#[test]
fn a_servo_at_the_elbow_bends_while_the_arm_bows() {
    let mut s =
        fox(SERVO, "", "bar 5 fox.upper-arm bow for 8 bars\nbar 5 fox.forearm curl for 8 bars");
    let p = s.play();
    assert_eq!(errors(&s), [""; 0]);
    let Fitted::Servo(servo) = s.mechanism("fox", "forearm") else { panic!("a servo") };
    assert!((servo.low.0 - 30.0).abs() < 1e-9 && (servo.high.0 - 150.0).abs() < 1e-9);
    let channel = p.figures[0].channels.iter().find(|c| c.kind == ChannelKind::Angle).unwrap();
    for key in &channel.keys {
        assert!((own(&s, &p, "forearm", key.at.0) - 90.0 - key.value).abs() < 1e-9, "{key:?}");
    }
    let mut arms = (f64::INFINITY, f64::NEG_INFINITY);
    for i in 0..2000 {
        let t = f64::from(i) * 0.01;
        let (arm, bend) = (own(&s, &p, "upper-arm", t), own(&s, &p, "forearm", t));
        arms = (arms.0.min(arm), arms.1.max(arm));
        assert!((pose(&s, &p, "upper-arm", t) - arm).abs() < 1e-12);
        assert!((pose(&s, &p, "forearm", t) - arm - bend).abs() < 1e-9);
        let body = p.figures[0].body("forearm", Sec(t), fitted(&s)).unwrap();
        let elbow = on_arm((120.0, 700.0), arm);
        assert!(between((body.x, body.y), elbow) < 1e-9, "{t}");
        let tip = polar(elbow, 200.0, arm + bend);
        assert!(between(body.place(200.0, 0.0), tip) < 1e-9, "{t}");
    }
    assert!(arms.1 - arms.0 > 38.0, "{arms:?}");
    assert_eq!(p.accents.len(), 4);
    for a in &p.accents {
        assert!((own(&s, &p, "forearm", a.wanted.0) - 120.0).abs() < 0.3);
    }
}

/// `bend to` holds wherever the arm is; `turn to` is an angle of the board, exact while
/// the arm rests and refused while it bows.
#[test]
fn an_angle_of_the_board_holds_only_while_the_arm_rests() {
    let mut s = fox(SERVO, "", "bar 5 fox.upper-arm bow for 8 bars\nbar 7 fox.forearm fold");
    let p = s.play();
    assert_eq!(errors(&s), [""; 0]);
    for t in [12.0, 13.0, 14.5, 16.0] {
        let bend = pose(&s, &p, "forearm", t) - pose(&s, &p, "upper-arm", t);
        assert!((bend - 40.0).abs() < 1e-9, "{bend}");
    }
    let mut s = fox(SERVO, "", "bar 5 fox.forearm point\nbar 9 fox.upper-arm bow for 2 bars");
    let p = s.play();
    assert_eq!(errors(&s), [""; 0]);
    // The arm rests where it parks.
    assert!((pose(&s, &p, "forearm", 8.0) - 330.0).abs() < 0.2);
    let mut s = fox(SERVO, "", "bar 5 fox.upper-arm bow for 8 bars\nbar 7 fox.forearm point");
    let p = s.play();
    assert_eq!(s.codes(), ["carrier-moves `bar 7 fox.forearm point`"]);
    assert_eq!(p.figures[0].limbs.len(), 1);
}

/// An angle that the servo does not reach is told from the arm.
#[test]
fn a_bend_beyond_the_servo_is_told_from_the_carrier() {
    let s = fox(&SERVO.replace("60 deg to 120 deg", "10 deg to 120 deg"), "", "");
    let found = fitted(&s).findings.iter().find(|f| f.code.word == "servo-out-of-travel").unwrap();
    assert!(found.message.contains("to 10 deg, and its servo reaches 30 to 150 deg"));
    assert!(found.message.ends_with("(Angles count from upper-arm.)"), "{}", found.message);
}

/// A hand on the forearm on the upper arm, each with a servo: three angles added, and the
/// wrist carried twice.
#[test]
fn a_hand_on_a_forearm_on_an_arm_adds_three_angles() {
    let hand = "limb hand on forearm {
    pivot (120, 500) mm  tip (60, 500) mm
    drive servo { motor micro }
    gesture wave { bend -110 deg to -60 deg  cycle 2 beats }
  }";
    let cues = "bar 5 fox.upper-arm bow for 8 bars\nbar 5 fox.forearm curl for 8 bars
bar 5 fox.hand wave for 8 bars";
    let mut s = fox(SERVO, hand, cues);
    let p = s.play();
    assert_eq!(errors(&s), [""; 0]);
    for i in 0..500 {
        let t = f64::from(i) * 0.04;
        let [arm, fore, hand] = ["upper-arm", "forearm", "hand"].map(|l| own(&s, &p, l, t));
        let wrist = polar(on_arm((120.0, 700.0), arm), 200.0, arm + fore);
        let body = p.figures[0].body("hand", Sec(t), fitted(&s)).unwrap();
        assert!(between((body.x, body.y), wrist) < 1e-9, "{t}");
        let tip = polar(wrist, 60.0, arm + fore + hand);
        assert!(between(body.place(60.0, 0.0), tip) < 1e-9, "{t}");
    }
}

/// A crank whose motor is bolted to the arm: with arm and crank turned by hand, the rod
/// keeps its length at every moment, and the end of the bend is met on the beat.
#[test]
fn a_rod_from_a_motor_on_the_arm_keeps_its_length() {
    let forearm = "drive four-bar { motor wiper-here at (230, 720) mm rides  crank 20 mm  rod ?  lever ? 40 to 80 mm by 5 mm at ? }
    gesture curl { bend 60 deg to 100 deg  cycle 4 beats  accent at 95 deg }";
    let mut s =
        fox(forearm, "", "bar 5 fox.upper-arm bow for 8 bars\nbar 5 fox.forearm curl for 8 bars");
    let p = s.play();
    assert_eq!(errors(&s), [""; 0]);
    let Fitted::FourBar(bar) = s.mechanism("fox", "forearm") else { panic!("a four-bar") };
    let bars = bar.made().0;
    let motion = p.figures[0].limbs.iter().find(|l| l.limb == "forearm").unwrap();
    let (mut seen, mut bends) = (0, (f64::INFINITY, f64::NEG_INFINITY));
    for piece in &motion.pieces {
        let Path::Crank { from, to } = piece.path else { continue };
        for i in 0..=400 {
            let share = f64::from(i) / 400.0;
            let t = piece.from.0 + (piece.to.0 - piece.from.0) * share * 0.999_999;
            let crank = from.0 + (to.0 - from.0) * share * 0.999_999;
            let (arm, fore) = (own(&s, &p, "upper-arm", t), pose(&s, &p, "forearm", t));
            // The crank's angle counts from the arm's axis as well.
            let pin = polar(on_arm((230.0, 720.0), arm), bars.bars().crank.0, arm + crank);
            let elbow = on_arm((120.0, 700.0), arm);
            let lever = polar(elbow, bars.bars().lever.0, fore + bars.clamp().0);
            assert!((between(pin, lever) - bars.bars().rod.0).abs() < 1e-6, "{t}");
            bends = (bends.0.min(fore - arm), bends.1.max(fore - arm));
            seen += 1;
        }
    }
    assert!(seen > 400);
    assert!((bends.0 - 60.0).abs() < 2.0 && (bends.1 - 100.0).abs() < 2.0, "{bends:?}");
    for a in p.accents.iter().filter(|a| a.limb == "forearm") {
        let t = a.wanted.0;
        let bend = pose(&s, &p, "forearm", t) - pose(&s, &p, "upper-arm", t);
        assert!((bend - 95.0).abs() < 1e-6, "{bend}");
    }
    assert!(p.accents.len() >= 4);
}

/// A ram between upper arm and forearm: its length is between the two pins, both turned by
/// hand, while the arm bows.
#[test]
fn a_ram_between_arm_and_forearm_is_as_long_as_its_pins_are_apart() {
    let forearm = "drive ram { motor small-ram at (230, 650) mm rides  lever 50 mm at ? }
    gesture fold { bend to 50 deg over 16 beats }
    gesture open { bend to 97 deg over 16 beats }";
    let cues = "bar 5 fox.upper-arm bow for 16 bars\nbar 6 fox.forearm fold";
    let mut s = fox(forearm, "", cues);
    let p = s.play();
    assert_eq!(errors(&s), [""; 0]);
    assert!(fitted(&s).limbs[1].mechanism.is_some(), "{:?}", fitted(&s).limbs[1].not_checked);
    let Fitted::Drive(drive) = s.mechanism("fox", "forearm") else { panic!("a ram") };
    let size = |name: &str| drive.sizes.iter().find(|s| s.name.word() == name).unwrap().drilled;
    let motion = p.figures[0].limbs.iter().find(|l| l.limb == "forearm").unwrap();
    let mut seen = 0;
    for piece in &motion.pieces {
        let Path::Length { from, to } = piece.path else { continue };
        for i in 0..=50 {
            let share = f64::from(i) / 50.0 * 0.999_999;
            let t = piece.from.0 + (piece.to.0 - piece.from.0) * share;
            let (arm, fore) = (own(&s, &p, "upper-arm", t), pose(&s, &p, "forearm", t));
            let elbow = on_arm((120.0, 700.0), arm);
            let pin = polar(elbow, size("lever"), fore + size("clamp"));
            let length = between(pin, on_arm((230.0, 650.0), arm));
            assert!((length - from.0 - (to.0 - from.0) * share).abs() < 1e-6, "{t}: {length}");
            seen += 1;
        }
    }
    assert!(seen > 50 && drive.made().way.span().to > 100.0);
}

const ABOARD: &str = "drive four-bar { motor wiper-here at (480, 560) mm turns ccw  crank 30 mm  rod 350 mm  lever 150 mm at 358 deg  assembly open }
    gesture fiddle { sweep 264 deg to 287 deg within 2 deg  cycle 4 beats }
    gesture strike { sweep 264 deg to 287 deg within 2 deg  cycle 4 beats  accent at 287 deg }";

/// A forearm whose motor stands on the board, while the upper arm bows: with the arm and
/// the crank turned by hand, the rod keeps its length and its side at every moment, while
/// both turn, while one does, and while neither does.
#[test]
fn a_rod_from_the_board_keeps_its_length_wherever_arm_and_crank_are() {
    let cues = "bar 5 fox.upper-arm bow for 8 bars\nbar 7 fox.forearm fiddle for 3 bars";
    let mut s = fox(ABOARD, "", cues);
    let p = s.play();
    assert_eq!(errors(&s), [""; 0]);
    let notes = format!("{:?}", fitted(&s).limbs[1].not_checked);
    assert!(!notes.contains("cues of a limb") && !notes.contains("motion of a limb"), "{notes}");
    let channel = p.figures[0].channels.iter().find(|c| c.limbs == ["forearm"]).unwrap();
    assert_eq!(channel.kind, ChannelKind::Speed);
    let motion = p.figures[0].limbs.iter().find(|l| l.limb == "forearm").unwrap();
    let (mut both, mut carried, mut angles) = (0, 0, (f64::INFINITY, f64::NEG_INFINITY));
    for piece in &motion.pieces {
        let Path::Crank { from, to } = piece.path else { panic!("{piece:?}") };
        // The crank turns as fast as its motor is told, a turn in six rpm-seconds.
        let middle = (piece.from.0 + piece.to.0) / 2.0;
        let told = channel.keys.iter().rfind(|k| k.at.0 <= middle).map_or(0.0, |k| k.value);
        let speed = (to.0 - from.0) / (piece.to.0 - piece.from.0);
        assert!((speed - told * 6.0).abs() < 1e-6, "{speed} and {told} rpm");
        for i in 0..=400 {
            let share = f64::from(i) / 400.0 * 0.999_999;
            let t = piece.from.0 + (piece.to.0 - piece.from.0) * share;
            let crank = from.0 + (to.0 - from.0) * share;
            let (arm, fore) = (own(&s, &p, "upper-arm", t), pose(&s, &p, "forearm", t));
            let pin = polar((480.0, 560.0), 30.0, crank);
            let elbow = on_arm((120.0, 700.0), arm);
            let lever = polar(elbow, 150.0, fore + 358.0);
            assert!((between(pin, lever) - 350.0).abs() < 1e-6, "{t}");
            let (dx, dy) = (elbow.0 - pin.0, elbow.1 - pin.1);
            assert!(dx * (lever.1 - pin.1) - dy * (lever.0 - pin.0) > 0.0, "the open side, {t}");
            let body = p.figures[0].body("forearm", Sec(t), fitted(&s)).unwrap();
            assert!(between((body.x, body.y), elbow) < 1e-9, "{t}");
            angles = (angles.0.min(fore), angles.1.max(fore));
            both += usize::from(to > from && (arm - 234.4).abs() > 1.0);
            carried += usize::from(to == from && (arm - 234.4).abs() > 1.0);
        }
    }
    assert!(both > 100 && carried > 100, "{both} {carried}");
    assert!(angles.1 - angles.0 > 30.0, "{angles:?}");
    // What is drawn is what is played.
    use yardwright::timing::{Drawing, course};
    let drawing = Drawing::of(fitted(&s));
    let table = drawing.limbs[1].table.as_ref().unwrap();
    assert_eq!((drawing.limbs[1].on, drawing.limbs[1].level), (Some(0), true));
    let points = course(Some(&p.figures[0]), fitted(&s), 1, table);
    for pair in points.windows(2) {
        for share in [0.0, 0.37, 0.8] {
            let t = pair[0].0.0 + (pair[1].0.0 - pair[0].0.0) * share;
            let drawn = pair[0].1 + (pair[1].1 - pair[0].1) * share;
            let off = drawn - pose(&s, &p, "forearm", t);
            let off = off - 360.0 * (off / 360.0).round();
            assert!(off.abs() < 0.06, "{t}: {off}");
        }
    }
}

/// An accent is met while the arm rests, and refused while it bows.
#[test]
fn an_accent_of_a_motor_on_the_board_needs_an_arm_at_rest() {
    // At 234.4 deg, where the arm parks, circles that meet give 244.8 to 274.1 deg.
    let high = ABOARD.replace("accent at 287 deg", "accent at 270 deg");
    let mut s = fox(&high, "", "bar 5 fox.forearm strike for 8 bars");
    let p = s.play();
    assert_eq!(errors(&s), [""; 0]);
    assert_eq!(p.accents.len(), 4);
    for a in &p.accents {
        let at = pose(&s, &p, "forearm", a.wanted.0);
        assert!(((at - 270.0) / 360.0 - ((at - 270.0) / 360.0).round()).abs() < 1e-8, "{at}");
    }
    let cues = "bar 5 fox.upper-arm bow for 8 bars\nbar 7 fox.forearm strike for 2 bars";
    let mut s = fox(&high, "", cues);
    let p = s.play();
    assert_eq!(s.codes(), ["carrier-moves `bar 7 fox.forearm strike for 2 bars`"]);
    assert!(p.figures[0].limbs.iter().all(|l| l.limb != "forearm"));
    // Without its accent it goes on.
    let mut s = fox(&high, "", &cues.replace("strike", "fiddle"));
    assert!(s.play().figures[0].limbs.iter().any(|l| l.limb == "forearm"));
    assert_eq!(errors(&s), [""; 0]);
}

/// A motor that stands on the board and a limb that rides and is told bends: a note.
#[test]
fn a_motor_on_the_board_for_a_limb_that_bends_stays_a_note() {
    let forearm =
        "drive four-bar { motor wiper-here at (230, 720) mm  crank 20 mm  rod ?  lever 60 mm at ? }
    gesture curl { bend 60 deg to 100 deg  cycle 4 beats }";
    let mut s = fox(forearm, "", "bar 5 fox.forearm curl for 8 bars");
    assert!(s.play().figures.is_empty());
    let notes = format!("{:?}", fitted(&s).limbs[1].not_checked);
    assert!(notes.contains("with a motor on the board"), "{notes}");
    assert!(notes.contains("rides"), "{notes}");
}
