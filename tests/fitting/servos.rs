//! Servos with arm, rod and lever, against plane geometry worked out here: the rod as
//! a circle about the arm's pin, cut with the lever's circle (law of cosines), looked
//! at in small steps and refined by halving; no code of the program is used.

use yardwright::finding::Severity;
use yardwright::fit::{Fitted, ServoEnd};
use yardwright::units::Deg;

use super::{compile, servo};

const MOTOR: &str =
    "motor s { kind servo voltage 6 V slew 0.15 s per 60 deg stall 3.5 kgf.cm 0.8 A";

/// One limb at (0, 0) pointing up, its servo at (195, 60) mm.
fn arm(pulses: &str, rod: &str, gestures: &str) -> String {
    format!(
        "{MOTOR} {pulses} }}
figure f {{ board plywood-9 600 mm by 1500 mm
 limb arm {{ pivot (0, 0) mm tip (0, 100) mm
  drive servo {{ motor s at (195, 60) mm {rod} }}
  {gestures} }} }}"
    )
}

const REVERSAL: &str = "crank 40 mm rod 160 mm lever 60 mm at 0 deg";
const TRAVEL: &str = "pulse 1000 us at -50 deg 2000 us at 50 deg";

/// The limb in degrees with the servo's arm at an angle: lever pin on the side `side`
/// of the line from arm pin to pivot.
fn limb(arm: f64, side: f64) -> f64 {
    let (a, b, c) = (40.0, 160.0, 60.0);
    let (sin, cos) = libm::sincos(arm.to_radians());
    let (x, y) = (195.0 + a * cos, 60.0 + a * sin);
    let far = libm::hypot(x, y);
    let aside = libm::acos((c * c + far * far - b * b) / (2.0 * c * far));
    (libm::atan2(y, x) + side * aside).to_degrees()
}

#[test]
fn the_reach_ends_where_the_limb_turns_back() {
    let compiled = compile(&arm(TRAVEL, REVERSAL, ""));
    let found = servo(&compiled);
    let zero = found.arm_at_zero.unwrap().0;
    let upright = |side: &f64| (limb(zero, *side) - 90.0).abs() < 1e-6;
    let side = [1.0, -1.0].into_iter().find(upright).expect("one of the two ways");
    // Ten thousandths of a degree either side of an extreme move the limb by less
    // than 1e-9 deg there.
    let all = (-500_000..=500_000).map(|n| limb(zero + f64::from(n) * 1e-4, side));
    let (low, high) = all.fold((f64::INFINITY, -f64::INFINITY), |m, l| (m.0.min(l), m.1.max(l)));
    assert!((found.low.0 - low).abs() < 1e-7, "{} {low}", found.low.0);
    assert!((found.high.0 - high).abs() < 1e-7, "{} {high}", found.high.0);
    // The true reach of this drawing, from an independent solver.
    assert!((found.low.0 - 61.6855).abs() < 1e-4 && (found.high.0 - 94.7801).abs() < 1e-4);
    assert_eq!(found.ends, [ServoEnd::Travel, ServoEnd::TurnsBack]);
    // Arm and rod in line: the servo angle of the largest limb angle above, in steps.
    assert!((found.shaft_at_high.0 + 25.908).abs() < 1e-3, "{:?}", found.shaft_at_high);
    // Every angle is held on the stretch that holds them all.
    for n in 0..=50 {
        let angle = found.low + (found.high - found.low) * (f64::from(n) / 50.0);
        let at = found.shaft_for(angle);
        assert!((Deg(-25.98)..=Deg(50.0)).contains(&at), "{at:?}");
        let back = limb(zero + at.0, side);
        assert!((back - angle.0).abs() < 1e-6, "{angle:?} {back}");
    }
}

#[test]
fn a_gesture_beyond_the_turn_is_told_where_it_turns() {
    let compiled = compile(&arm(TRAVEL, REVERSAL, "gesture up { turn to 96 deg over 1 s }"));
    // Of the two arm angles the one that pushes better there: it turns at 26.03 deg.
    let found = compiled.findings.iter().find(|f| f.code.word == "servo-out-of-travel").unwrap();
    assert!(found.message.contains("56.8 to 94.8 deg"), "{found:?}");
    let help = found.help.as_ref().unwrap();
    assert!(help.contains("servo at 26 deg") && help.contains("turns back"), "{help}");
    let inside = compile(&arm(TRAVEL, REVERSAL, "gesture up { turn to 94.7 deg over 1 s }"));
    assert!(inside.findings.iter().all(|f| f.code.word != "servo-out-of-travel"));
}

/// Shaft to pivot 60, arm 20, rod 60, lever 12: in line where the arm's pin is 48 or
/// 72 from the pivot, (20^2 + 60^2 - 72^2)/(2 20 60) = -0.4933 and 0.7067: the arm at
/// 119.56 and 45.04 deg from the line of centres.
fn short_lever(gestures: &str) -> String {
    format!(
        "{MOTOR} pulse 1000 us at -60 deg 2000 us at 60 deg }}
figure owl {{ board plywood-9 420 mm by 820 mm
 limb head {{ pivot (210, 740) mm tip (210, 890) mm
  drive servo {{ motor s at (210, 680) mm crank 20 mm rod 60 mm lever 12 mm at 90 deg }}
  {gestures} }} }}"
    )
}

#[test]
fn a_lock_is_a_lock_only_where_the_gestures_go() {
    let locks = |text: &str| {
        let compiled = compile(&short_lever(text));
        let found = compiled.findings.iter().find(|f| f.code.word == "servo-rod-locks").cloned();
        (found, compiled)
    };
    // Nobody asks for less: the whole travel counts.
    let (whole, _) = locks("");
    let whole = whole.expect("it locks within 60 deg either way");
    let (used, compiled) =
        locks("gesture look { turn to 110 deg over 1 s } gesture back { turn to 70 deg over 1 s }");
    assert!(used.is_none(), "{used:?}");
    let found = servo(&compiled);
    let arm = |own: Deg| (found.arm_at_zero.unwrap() + own - Deg(90.0)).signed().abs().0;
    let acos = |cos: f64| libm::acos(cos).to_degrees();
    let want = [acos((4000.0 - 72.0 * 72.0) / 2400.0), acos((4000.0 - 48.0 * 48.0) / 2400.0)];
    for own in [found.shaft_at_low, found.shaft_at_high] {
        assert!(want.iter().any(|w| (w - arm(own)).abs() < 1e-6), "{own:?} {want:?}");
    }
    assert_eq!(found.ends, [ServoEnd::Locks; 2]);
    // The arm at zero: lever pin at (198, 740), seen from the servo 61.19 off at
    // 101.31 deg, arm and rod a triangle on it.
    let far = libm::hypot(12.0, 60.0);
    let off = acos((400.0 + far * far - 3600.0) / (40.0 * far));
    let toward = libm::atan2(60.0, -12.0).to_degrees() - 90.0;
    let told = |text: &str| {
        let turns = [toward + off, toward - off].into_iter().flat_map(|zero| {
            want.iter().map(move |w| if zero > 0.0 { w - zero } else { -w - zero })
        });
        let said = turns.filter(|t| text.contains(&format!("at {t:.0} deg (the limb"))).count();
        (1..=2).contains(&said)
    };
    assert!(told(&whole.message) && whole.message.contains(" and at "), "{}", whole.message);
    let (beyond, _) =
        locks("gesture look { turn to 175 deg over 1 s } gesture back { turn to 10 deg over 1 s }");
    let beyond = beyond.unwrap().message;
    assert!(told(&beyond) && !beyond.contains(" and at "), "{beyond}");
}

#[test]
fn a_push_of_some_degrees_is_weak_and_no_lock() {
    // Arm pin 140 from the pivot at most, rod and lever 140.05 together: cos of the
    // push angle (100^2 + 40.05^2 - 140^2)/(2 100 40.05), 3.4 deg from in line.
    let text = format!(
        "{MOTOR} pulse 1000 us at -30 deg 2000 us at 30 deg }}
figure f {{ board plywood-9 600 mm by 900 mm
 limb arm {{ pivot (300, 500) mm tip (300, 700) mm
  drive servo {{ motor s at (300, 400) mm crank 40 mm rod 100 mm lever 40.05 mm at 168 deg assembly open }} }} }}"
    );
    let compiled = compile(&text);
    let words: Vec<&str> = compiled.findings.iter().map(|f| f.code.word).collect();
    assert!(words.contains(&"weak-push") && !words.contains(&"servo-rod-locks"), "{words:?}");
    let weak = compiled.findings.iter().find(|f| f.code.word == "weak-push").unwrap();
    // Nobody asks for that angle.
    assert_eq!(weak.severity, Severity::Warning);
    let want = libm::acos((10_000.0 + 40.05 * 40.05 - 19_600.0) / 8010.0);
    let push = servo(&compiled).min_transmission.unwrap().0;
    assert!(push < 5.0 && (push - (180.0 - want.to_degrees())).abs() < 1e-6, "{push}");
}

/// The best of both assemblies and both arm angles is taken at `zero`, not as drawn.
#[test]
fn a_left_out_assembly_is_one_that_works() {
    let text = |assembly: &str| {
        format!(
            "{MOTOR} pulse 1000 us at -33.7 deg 2000 us at 63.1 deg }}
figure a {{ board plywood-9 600 mm by 1500 mm
 limb arm {{ pivot (79.9901, 125.7567) mm tip (10.8662, 258.8803) mm
  drive servo {{ motor s at (161.7468, 292.1008) mm crank 29.562 mm rod 112.648 mm
   lever 71.686 mm at -146.6 deg zero 173.02 deg {assembly} }} }} }}"
        )
    };
    let (said, left_out) = (compile(&text("assembly open")), compile(&text("")));
    let (said, left_out) = (servo(&said), servo(&left_out));
    assert_eq!(said.linkage, left_out.linkage);
    assert_eq!(said.arm_at_zero, left_out.arm_at_zero);
    let crossed = compile(&text("assembly crossed"));
    assert!(crossed.findings.iter().any(|f| f.code.word == "parts-do-not-reach"));
}

/// A forearm on an upper arm straight on a servo: the limb is the second rod's group
/// closed from an upper arm at the servo's ends (circles cut by hand here).
#[test]
fn a_forearm_rides_on_an_arm_on_a_servo() {
    let text = format!(
        "{MOTOR} pulse 1000 us at -4 deg 2000 us at 20 deg }}
figure f {{ board plywood-9 700 mm by 1000 mm
 limb a {{ pivot (300, 700) mm tip (120, 700) mm drive servo {{ motor s }} }}
 limb b on a {{ pivot (120, 700) mm tip (120, 500) mm
  drive four-bar from a {{ anchor (250, 650) mm rod 110 mm lever 40 mm at 180 deg assembly open }} }} }}"
    );
    let compiled = compile(&text);
    let Some(Fitted::Drive(fore)) = &compiled.figures[0].limbs[1].mechanism else {
        panic!("{:?} {:?}", compiled.figures[0].limbs[1].not_checked, compiled.findings)
    };
    // The elbow 180 mm from the shoulder, which turns from 176 to 200 deg.
    let fore_at = |upper: f64| {
        let (sin, cos) = libm::sincos(upper.to_radians());
        let (dx, dy) = (250.0 - (300.0 + 180.0 * cos), 650.0 - (700.0 + 180.0 * sin));
        let far = libm::hypot(dx, dy);
        let aside = libm::acos((1600.0 + far * far - 12_100.0) / (80.0 * far));
        // Open: the lever pin lies left of the line from anchor to elbow.
        (libm::atan2(dy, dx) - aside).to_degrees() - 180.0
    };
    let all = (0..=24_000).map(|n| fore_at(176.0 + f64::from(n) * 1e-3));
    let (low, high) = all.fold((f64::INFINITY, -f64::INFINITY), |m, l| (m.0.min(l), m.1.max(l)));
    let swing = fore.exact.course.travel.swing().unwrap();
    assert!((swing.range().0 - (high - low)).abs() < 1e-5, "{swing:?} {low} {high}");
    assert!((swing.low - Deg(low)).signed().abs().0 < 1e-5, "{swing:?} {low} {high}");
}

/// The parallelogram of the examples: one angle alone is come to from the servo's zero,
/// so the push is 90 - 35 deg at the far end (the rod stays parallel to the line of
/// centres), and the bow-tie that the same bars make (53.1 deg at zero) is not taken.
#[test]
fn a_lone_angle_is_come_to_from_zero() {
    let text = include_str!("../../examples/servo-rod.yard");
    let compiled = compile(&text.replace("use parts", ""));
    let push = servo(&compiled).min_transmission.unwrap().0;
    assert!((push - 55.0).abs() < 1e-9, "{push}");
}

/// Two arms push equally well at worst, but reach differently far: an image chosen anew
/// took the other one. Ends of the first against circles cut with each other in NumPy.
#[test]
fn a_mirrored_limb_reaches_as_far_as_the_limb_it_mirrors() {
    let compiled = compile(
        "figure f { board plywood-9 600 mm by 1500 mm
 limb l { pivot (-12.298, 426.651) mm tip (136.3457174317, 446.7767364609) mm
  drive servo { motor servo-standard at (29.89, 428.74) mm turns cw crank 37.68 mm rod 51.71 mm
   lever 54.1 mm at 125.5 deg assembly crossed zero 7.7107189058 deg
   pulse 1000 us at -47 deg 2000 us at 52 deg } }
 limb k mirrors l about x 55 mm }",
    );
    let reach = |n: usize| match &compiled.figures[0].limbs[n].mechanism {
        Some(Fitted::Servo(s)) => (s.low.0, s.high.0),
        other => panic!("{other:?} {:?}", compiled.findings),
    };
    let ((low, high), (image_low, image_high)) = (reach(0), reach(1));
    assert!((low + 96.303_616).abs() < 1e-5 && (high - 13.189_635).abs() < 1e-5, "{low} {high}");
    let turn = 360.0 * ((image_low + high - 180.0) / 360.0).round();
    assert!((image_low - turn - (180.0 - high)).abs() < 1e-6, "{image_low} {high}");
    assert!((image_high - turn - (180.0 - low)).abs() < 1e-6, "{image_high} {low}");
}

/// A figure of the limb's servo, deg.
fn told(compiled: &yardwright::check::Compiled, name: &str) -> Option<f64> {
    let all = servo(compiled);
    let found = all.figures.iter().find(|f| f.name == name)?;
    match found.value {
        yardwright::fit::Measure::Angle(a) => Some(a.0),
        _ => None,
    }
}

fn help(compiled: &yardwright::check::Compiled, code: &str) -> Option<String> {
    let found = compiled.findings.iter().find(|f| f.code.word == code)?;
    Some(found.help.clone().unwrap_or_default())
}

/// The head of an owl on arm, rod and lever; pulses of 50 deg either way.
fn head(lever: f64, gesture: &str) -> String {
    format!(
        "figure owl {{ board plywood-9 420 mm by 820 mm
 limb head {{ pivot (210, 740) mm tip (210, 890) mm
  drive servo {{ motor servo-standard at (210, 680) mm crank 20 mm rod 60 mm lever {lever} mm at 90 deg }}
  gesture look {{ {gesture} }} }} }}"
    )
}

/// A parallelogram of 20 and 60 mm locks where all four pins lie in one line, a quarter turn
/// from where its arms stand square: 35 deg on, 55 deg are left.
#[test]
fn an_arm_keeps_its_distance_from_where_it_locks() {
    let compiled = compile(&head(20.0, "turn to 125 deg over 1 s"));
    assert!((told(&compiled, "short_of_lock").unwrap() - 55.0).abs() < 1e-6);
    assert!((told(&compiled, "trim_room").unwrap() - 15.0).abs() < 1e-6);
    // With a lever of 16 it locks where the arm's pin is 60 + 16 or 60 - 16 from the pivot: law
    // of cosines, 20 and 60 mm about the servo.
    let lock = |far: f64| libm::acos((400.0_f64 + 3600.0 - far * far) / 2400.0).to_degrees();
    let at = |to: f64| {
        let compiled = compile(&head(16.0, &format!("turn to {to} deg over 1 s")));
        let found = servo(&compiled);
        // From the line of centres, which points up, at both ends of what is used.
        let arm = |limb: f64| found.arm_at(found.own_at(Deg(limb)).unwrap()) - Deg(90.0);
        let least = [90.0, to].map(|limb| {
            let arm = arm(limb).signed().abs().0;
            (lock(76.0) - arm).min(arm - lock(44.0))
        });
        let short = told(&compiled, "short_of_lock").unwrap();
        assert!((least[0].min(least[1]) - short).abs() < 1e-6, "{least:?} {short}");
        (short, help(&compiled, "servo-near-lock"))
    };
    let (short, said) = at(150.0);
    // What the help names keeps 10 deg.
    assert!(short < 10.0 && said.unwrap().contains("nothing beyond 142 deg"));
    let (short, said) = at(130.0);
    assert!(short >= 10.0 && said.is_none(), "{short}");
}

/// Where nothing says how far it goes, a servo goes its whole travel, on past where its limb
/// turns back: with ground g, arm a, rod b and lever c, rod and lever lie in one line with
/// the arm acos((g^2 + a^2 - (b - c)^2)/(2 g a)) off the line of centres (law of cosines).
#[test]
fn a_servo_that_turns_its_limb_back_is_held_against_its_lock() {
    let compiled = compile(
        "figure f { board plywood-9 2 m by 2 m
 limb l { pivot (1007.546, 978.876) mm tip (1261.964, 1070.272) mm
  drive servo { motor servo-standard at (932.421, 1033.599) mm turns cw crank 38.097 mm rod 167.379 mm
   lever 52.633 mm at 73.952 deg assembly crossed zero -165.332 deg } } }",
    );
    let found = servo(&compiled);
    let (x, y) = (1007.546 - 932.421, 978.876 - 1033.599);
    let (g, a, near) = (libm::hypot(x, y), 38.097, 167.379 - 52.633);
    let off = libm::acos((g * g + a * a - near * near) / (2.0 * g * a)).to_degrees();
    let (centres, zero) = (libm::atan2(y, x).to_degrees(), found.arm_at_zero.unwrap().0);
    // Counted clockwise; 50 deg either way are its travel.
    let locks = [centres + off, centres - off].map(|arm| Deg(zero - arm).signed().0.abs() - 50.0);
    let nearest = locks[0].min(locks[1]);
    assert!((nearest - 9.895).abs() < 1e-3, "an independent solver says 9.895 deg: {nearest}");
    assert!(found.ends.contains(&ServoEnd::TurnsBack));
    assert!((told(&compiled, "short_of_lock").unwrap() - nearest).abs() < 1e-9);
    let found = compiled.findings.iter().find(|f| f.code.word == "servo-near-lock").unwrap();
    // What is worked out says the lock itself and the end of its travel.
    let worked = |what: &str| found.worked.iter().find(|s| s.what.contains(what)).unwrap();
    assert_eq!(worked("in one line").result, format!("{:.2} deg", 50.0 + nearest));
    assert_eq!(worked("goes as far as").result, "50 deg");
}

/// A jaw at 200 deg at its servo's zero, pulses 50 deg either way.
fn jaw(more: &str, to: f64) -> String {
    format!(
        "motor s {{ kind servo voltage 6 V slew 0.15 s per 60 deg {TRAVEL} dead-band 5 us {more} }}
figure moon {{ board plywood-9 800 mm by 860 mm
 limb jaw {{ pivot (520, 340) mm tip (300, 260) mm
  drive servo {{ motor s at (520, 340) mm zero ZERO deg }} rest 200 deg
  gesture gape {{ turn to {to} deg over 1 s }} }} }}"
    )
}

/// 0 to 47 deg of 50: the middle is 23.5 on, nearest to two teeth of 14.4 (28.8), and the
/// servo works from -28.8 to 18.2 then; what the help says is written and raises nothing.
#[test]
fn a_horn_two_teeth_round_works_in_the_middle() {
    let at = |more: &str, zero: &str, to: f64| {
        let compiled = compile(&jaw(more, to).replace("ZERO", zero));
        let codes = ["servo-horn-tooth", "servo-out-of-travel"];
        let said = codes.iter().find_map(|code| Some((*code, help(&compiled, code)?)));
        (told(&compiled, "trim_room"), said)
    };
    let (room, said) = at("", "200", 247.0);
    let (code, help) = said.unwrap();
    assert!((room.unwrap() - 3.0).abs() < 1e-6 && code == "servo-horn-tooth");
    assert!(help.contains("2 teeth counter-clockwise"), "{help}");
    assert!(help.contains("`zero 228.8 deg`") && help.contains("-28.8 to 18.2 deg"), "{help}");
    let (room, said) = at("", "228.8", 247.0);
    assert!((room.unwrap() - 21.2).abs() < 1e-6 && said.is_none(), "{said:?}");
    // Beyond the pulses the same brings it in; 24 teeth are 15 deg each.
    let (_, said) = at("teeth 24", "200", 260.0);
    let (code, help) = said.unwrap();
    assert!(code == "servo-out-of-travel" && help.contains("a tooth is 15 deg"), "{help}");
    assert!(help.contains("`zero 230 deg`") && help.contains("-30 to 30 deg"), "{help}");
    assert!(at("teeth 24", "230", 260.0).1.is_none());
    // 95 deg leave no room for 5 at both ends, however the horn is set.
    let (_, said) = at("", "200", 295.0);
    assert!(!said.unwrap().1.contains("tooth"));
}

/// 5 us at 100 deg a millisecond are 0.5 deg. A rod of sqrt(60^2 + 8^2) mm stands as steep on
/// an arm of 24 as on a lever of 16, which it turns by 1.5 as much.
#[test]
fn a_dead_band_counts_at_the_limb() {
    let nods = |within: f64| {
        let text = head(16.0, &format!("sweep 89.9 deg to 90.1 deg within {within} deg cycle 2 s"));
        let compiled = compile(
            &text.replace("crank 20 mm", "crank 24 mm").replace("rod 60 mm", "rod 60.531 mm"),
        );
        assert!((told(&compiled, "dead_band").unwrap() - 0.5).abs() < 1e-9);
        compiled.findings.iter().any(|f| f.code.word == "servo-coarse")
    };
    assert!(nods(1.48) && !nods(1.52));
    // Nothing said of it: 0.5 deg, as the usual sheet, and noted.
    let text = jaw("", 240.0).replace("ZERO", "200").replace("dead-band 5 us", "");
    let compiled = compile(&text);
    assert!((told(&compiled, "dead_band").unwrap() - 0.5).abs() < 1e-9);
    let noted = &compiled.figures[0].limbs[0].assumed;
    assert!(noted.iter().any(|n| n.settle.contains("dead-band 5 us")), "{noted:?}");
}

/// Where it lies without power counts in the range that room is looked at in.
#[test]
fn where_a_limb_lies_without_power_is_part_of_its_range() {
    let range = |lies: &str| {
        let text = jaw("", 220.0).replace("ZERO", "200").replace("rest 200 deg", lies);
        compile(&text).figures[0].range(0).unwrap()
    };
    let (low, high) = range("rest 200 deg unpowered 245 deg");
    assert!((low.0 - 200.0).abs() < 1e-9 && (high.0 - 245.0).abs() < 1e-9, "{low:?} {high:?}");
    let (_, high) = range("rest 200 deg");
    assert!((high.0 - 220.0).abs() < 1e-9);
}
