//! Mirrored limbs, scaled figures, limbs left out.

use proptest::prelude::*;
use yardwright::geometry::BoardPoint;
use yardwright::mechanism::{Assembly, Size};
use yardwright::model::{Action, DriveKind, Joint, Limb, Pin, Source, Turn};

use super::{clean, figure, limb};

fn bear(motor: &str, x: f64) -> String {
    format!(
        "use parts
figure bear {{
  board plywood-9 outline (0, 0) (620, 0) (700, 900) (310, 1350) (-40, 900) mm
  frame 38 mm by 38 mm {{ (150, 0) to (150, 960) mm  (470, 0) to (470, 960) mm }}
  motor drum wiper at (310, 806) mm turns ccw from behind  limit 4 A
  limb left-arm {{
    pivot (150, 880) mm  bolt M8  bushing nylon  tip (-250, 1150) mm
    outline (190, 850) (110, 840) (-270, 1130) (-230, 1180) (180, 930) mm
    carry drumstick 0.1 kg at (-250, 1150) mm
    drive four-bar {{ {motor}  crank 30 mm  rod 160 mm  lever 80 mm at 127 deg  assembly open }}
    rest 150 deg  parks at 165 deg
    gesture hit {{ sweep 121 deg to 165 deg within 2 deg  cycle 2 bars  accent at 165 deg }}
  }}
  limb right-arm mirrors left-arm about x {x} mm
}}
"
    )
}

fn pivot(l: &Limb) -> BoardPoint {
    match &l.joint {
        Joint::Pivot { at: Some(p), .. } => *p,
        other => panic!("{other:?}"),
    }
}

#[test]
fn a_mirrored_arm_on_a_shared_motor_keeps_motor_and_pin() {
    let yard = clean(&bear("motor drum", 310.0));
    let (left, right) = (limb(&yard, "bear", "left-arm"), limb(&yard, "bear", "right-arm"));
    assert_eq!(pivot(right), BoardPoint::mm(470.0, 880.0));
    assert_eq!(right.tip, Some(BoardPoint::mm(870.0, 1150.0)));
    let (l, r) = (left.drive.as_ref().unwrap(), right.drive.as_ref().unwrap());
    assert_eq!((l.source, l.pin), (r.source, r.pin));
    assert_eq!(figure(&yard, "bear").actuators.len(), 1);
    // From behind counter-clockwise is clockwise from the front.
    assert_eq!(figure(&yard, "bear").actuators[0].turns, Turn::Cw);
    let DriveKind::FourBar(f) = &r.mechanism else { panic!() };
    assert_eq!(f.clamp.size, Size::Given(-127.0));
    assert_eq!(f.assembly, Some(Assembly::Crossed));
    let Action::Sweep { from, to, accent, .. } = &right.gestures[0].action else { panic!() };
    assert_eq!((from.value.0, to.value.0), (15.0, 59.0));
    assert_eq!(accent.unwrap().value.0, 15.0);
    assert_eq!(right.rest.unwrap().value.0, 30.0);
    assert_eq!(right.copy_of.as_deref(), Some("bear.left-arm"));
}

#[test]
fn beside_the_mirror_line_a_shared_motor_makes_another_linkage() {
    let yard = clean(&bear("motor drum", 300.0));
    assert_eq!(limb(&yard, "bear", "right-arm").copy_of, None);
}

#[test]
fn a_motor_of_its_own_is_mirrored_and_turns_the_other_way() {
    let yard = clean(&bear("motor wiper at (200, 700) mm", 310.0));
    let bear = figure(&yard, "bear");
    assert_eq!(bear.actuators.len(), 3);
    let own = |name: &str| bear.actuators.iter().find(|a| a.name == name).unwrap();
    assert_eq!(own("right-arm").at, Some(BoardPoint::mm(420.0, 700.0)));
    assert_eq!((own("left-arm").turns, own("right-arm").turns), (Turn::Ccw, Turn::Cw));
    let right = limb(&yard, "bear", "right-arm");
    assert_eq!(right.drive.as_ref().unwrap().source, Source::Motor(2));
    assert_eq!(right.copy_of.as_deref(), Some("bear.left-arm"));
}

#[test]
fn what_is_said_again_beats_what_is_mirrored() {
    let text = bear("motor drum", 310.0).replace(
        "about x 310 mm",
        "about x 310 mm { rest 20 deg  drive four-bar { motor drum pin 180 deg } }",
    );
    let yard = clean(&text);
    let right = limb(&yard, "bear", "right-arm");
    assert_eq!(right.rest.unwrap().value.0, 20.0);
    assert_eq!(right.drive.as_ref().unwrap().pin, Pin::At(yardwright::units::Deg(180.0)));
    assert_eq!(right.copy_of, None);
    assert_eq!(right.gestures.len(), 1);
}

#[test]
fn scale_touches_the_drawing_and_not_the_hardware() {
    let text = bear("motor drum", 310.0)
        + "set cub like bear at (7 m, 4 m) facing south scale 60 % { without right-arm }\n";
    let yard = clean(&text);
    // Like bear, and bear itself stands nowhere.
    assert_eq!(yard.figures.len(), 1);
    let cub = figure(&yard, "cub");
    assert_eq!(cub.limbs.len(), 1);
    let arm = limb(&yard, "cub", "left-arm");
    assert_eq!(pivot(arm), BoardPoint::mm(90.0, 528.0));
    assert_eq!(cub.frame[0].to, BoardPoint::mm(90.0, 576.0));
    assert_eq!(cub.frame[0].width.0, 38.0);
    let at = cub.actuators[0].at.unwrap();
    assert!((at.x - 186.0).abs() < 1e-9 && (at.y - 483.6).abs() < 1e-9);
    let Some(yardwright::model::Drive { mechanism: DriveKind::FourBar(f), .. }) = &arm.drive else {
        panic!()
    };
    assert_eq!((f.crank.size, f.lever.size), (Size::Given(30.0), Size::Given(80.0)));
    assert_eq!((f.rod.size, f.clamp.size), (Size::Free, Size::Free));
    assert!(arm.assumed.iter().any(|n| n.what.starts_with("rod and clamp left open")));
    assert_eq!(arm.bolt.as_ref().unwrap().name, "M8");
    assert_eq!(arm.copy_of, None);
}

#[test]
fn a_copy_of_the_same_size_shows_the_pattern_s_faults_once() {
    let text =
        bear("motor drum", 310.0) + "set bear at (5 m, 4 m)\nset cub like bear at (7 m, 4 m)\n";
    let yard = clean(&text);
    assert_eq!(limb(&yard, "bear", "left-arm").copy_of, None);
    assert_eq!(limb(&yard, "cub", "left-arm").copy_of.as_deref(), Some("bear.left-arm"));
    assert_eq!(limb(&yard, "cub", "right-arm").copy_of.as_deref(), Some("bear.left-arm"));
}

#[test]
fn limbs_left_out_take_their_own_motors_with_them() {
    let text = "use parts
figure pair {
  board plywood-9 600 mm by 1200 mm
  limb a { pivot (100, 800) mm  tip (100, 1000) mm  drive four-bar { motor wiper at (100, 500) mm } }
  limb b { pivot (300, 800) mm  tip (300, 1000) mm  drive four-bar { motor wiper at (300, 500) mm } }
  limb c on b { pivot (300, 1000) mm  tip (300, 1100) mm  drive four-bar from b { rod 200 mm } }
}
set half like pair { without a }
";
    let yard = clean(text);
    let half = figure(&yard, "half");
    assert_eq!(half.actuators.iter().map(|a| a.name.as_str()).collect::<Vec<_>>(), ["b"]);
    assert_eq!(half.limbs[0].drive.as_ref().unwrap().source, Source::Motor(0));
    assert_eq!(half.limbs[1].carrier, Some(0));
    assert_eq!(half.limbs[1].drive.as_ref().unwrap().source, Source::Limb(0));
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Mirroring twice about one line gives the limb back.
    #[test]
    fn mirroring_undoes_itself(
        px in -500i32..500, py in 0i32..2000, dx in 1i32..500, dy in -500i32..500,
        line in -300i32..900, clamp in -179i32..180, low in -170i32..170, sweep in 1i32..120,
    ) {
        let text = format!(
            "use parts\nfigure f {{ board plywood-9 600 mm by 1200 mm\n limb a {{\n pivot ({px}, {py}) mm tip ({}, {}) mm\n \
             drive four-bar {{ motor wiper at ({}, {}) mm lever 80 mm at {clamp} deg assembly crossed }}\n \
             gesture g {{ sweep {low} deg to {} deg }} }}\n \
             limb b mirrors a about x {line} mm\n limb c mirrors b about x {line} mm\n}}\n",
            px + dx, py + dy, px - 40, py - 200, low + sweep,
        );
        let yard = clean(&text);
        let (a, c) = (limb(&yard, "f", "a"), limb(&yard, "f", "c"));
        prop_assert_eq!(&a.joint, &c.joint);
        prop_assert_eq!(a.tip, c.tip);
        prop_assert_eq!(&a.gestures, &c.gestures);
        let f = figure(&yard, "f");
        prop_assert_eq!(f.actuators[0].at, f.actuators[2].at);
        prop_assert_eq!(f.actuators[0].turns, f.actuators[2].turns);
        match (&a.drive.as_ref().unwrap().mechanism, &c.drive.as_ref().unwrap().mechanism) {
            (DriveKind::FourBar(x), DriveKind::FourBar(y)) => {
                prop_assert_eq!(x.clamp, y.clamp);
                prop_assert_eq!(x.assembly, y.assembly);
            }
            other => prop_assert!(false, "{:?}", other),
        }
    }
}
