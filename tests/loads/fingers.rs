//! Where a hand may be caught: what pushes there, and who gets there, by hand.

use super::compile;
use yardwright::check::Compiled;

/// The bear's arm: its lever right behind a frame of 38 mm, its crank 10 mm further back.
fn bear(yard: &str, limb: &str, motor: &str) -> Compiled {
    compile(&format!(
        "yard green {{ size 18 m by 10 m {yard} }}
         figure bear {{ board plywood-9 620 mm by 1350 mm
           frame 38 mm by 38 mm {{ (150, 0) to (150, 960) mm (20, 880) to (600, 880) mm }}
           motor drum wiper at (310, 806) mm {motor}
           limb arm {{ pivot (150, 880) mm tip (-250, 1150) mm sheet plywood-6 width 90 mm tail 40 mm
             bolt M8 {limb} bushing nylon
             drive four-bar {{ motor drum crank 30 mm rod ? lever 80 mm at ? standoff 10 mm }}
             gesture hit {{ sweep 121 deg to 165 deg within 2 deg cycle 2 s }} }} }}
         set bear at (5 m, 4 m) facing south"
    ))
}

fn told(compiled: &Compiled) -> Vec<(&str, &str)> {
    let fingers = compiled.findings.iter().filter(|f| f.code.word.starts_with("finger"));
    fingers.map(|f| (f.code.word, f.message.as_str())).collect()
}

#[test]
fn a_lever_shears_where_its_motor_pushes_harder_than_a_hand_stands() {
    // 14 N.m when held without a limit, over a crank of 30 mm: 466.7 N. The lever lies a
    // washer of 2 mm behind the member.
    let all = bear("", "", "");
    let [(code, message)] = told(&all)[..] else { panic!("{:?}", told(&all)) };
    assert_eq!(code, "finger-shear");
    assert!(message.contains("the lever") && message.contains("2 mm between"), "{message}");
    assert!(message.contains("467 N"), "{message}");
    // 14/14.8 x (4 - 1.2) = 2.649 N.m at 4 A: 88 N, less than 140.
    assert_eq!(told(&bear("", "", "limit 4 A")), []);
    // 14/14.8 x (5.6 - 1.2) = 4.162 N.m: 138.7 N; at 5.7 A 141.9 N.
    assert_eq!(told(&bear("", "", "limit 5.6 A")), []);
    assert_eq!(told(&bear("", "", "limit 5.7 A")).len(), 1);
}

#[test]
fn where_people_are_kept_away_nothing_is_told() {
    // It stands 4 m from the viewers' side, its arm about 0.1 m before that.
    assert_eq!(told(&bear("viewers south keep 3 m", "", "")), []);
    assert_eq!(told(&bear("viewers south keep 3.5 m", "", "")).len(), 1);
    // How far they are kept nobody says.
    assert_eq!(told(&bear("viewers south", "", "")).len(), 1);
}

#[test]
fn a_limb_a_finger_before_its_board_draws_it_in() {
    let drawn = |gap: &str, limit: &str| {
        let all = bear("", gap, limit);
        let all = told(&all).into_iter().filter(|(c, _)| *c == "finger-drawn-in");
        all.map(|(_, m)| m.to_owned()).collect::<Vec<_>>()
    };
    // 14 N.m held in the middle of the way, where the limb turns 0.38 as fast: 367 N 100 mm
    // from its bolt.
    let [one] = &drawn("gap 12 mm", "")[..] else { panic!("{:?}", drawn("gap 12 mm", "")) };
    assert!(one.contains("12 mm between") && one.contains("the board"), "{one}");
    let push: f64 =
        one.split("pushes with ").nth(1).unwrap().split(' ').next().unwrap().parse().unwrap();
    assert!((355.0..385.0).contains(&push), "{one}");
    // A joint, and more than a finger.
    assert!(drawn("gap 5 mm", "").is_empty());
    assert!(drawn("gap 26 mm", "").is_empty());
    assert!(drawn("", "").is_empty(), "two millimetres of washer");
    // 68 N with a limit of 4 A.
    assert!(drawn("gap 12 mm", "limit 4 A").is_empty());
}

#[test]
fn a_depth_that_nobody_said_is_a_note() {
    // The lever runs right behind its bushing; how deep the crank stands nobody says.
    let all = |standoff: &str| {
        compile(&format!(
            "figure bear {{ board plywood-9 620 mm by 1350 mm
               frame 38 mm by 60 mm {{ (150, 0) to (150, 960) mm (290, 700) to (290, 1000) mm }}
               limb arm {{ pivot (150, 880) mm tip (-250, 1150) mm sheet plywood-6 width 90 mm tail 40 mm
                 bolt M8
                 drive four-bar {{ motor wiper at (310, 806) mm crank 30 mm rod ? lever 80 mm at ? {standoff} }}
                 gesture hit {{ sweep 121 deg to 165 deg within 2 deg cycle 2 s }} }} }}"
        ))
    };
    let settles = |c: &Compiled| {
        let notes = &c.loads[0].limbs[0].not_checked;
        notes.iter().any(|n| n.what.starts_with("fingers between"))
    };
    assert!(settles(&all("")));
    let said = all("standoff 10 mm");
    assert!(!settles(&said));
    assert!(told(&said).iter().any(|(_, m)| m.contains("crank")), "{:?}", told(&said));
}

#[test]
fn a_servo_that_pushes_a_hand_no_harder_closes_on_nothing() {
    // Strips whose corners pass with 13 mm (see the room's tests). 140 N at 100 mm: 14 N.m.
    let pair = |stall: &str| {
        let all = compile(&format!(
            "motor brute {{ kind servo voltage 24 V slew 0.3 s per 60 deg stall {stall} 8 A
               pulse 1000 us at -50 deg 2000 us at 50 deg }}
             figure pair {{ board plywood-9 780 mm by 1200 mm
               limb a {{ pivot (200, 600) mm tip (430, 600) mm length 230 mm width 40 mm
                 drive servo {{ motor brute at (200, 600) mm }}
                 gesture look {{ sweep 0 deg to 40 deg cycle 2 s }} }}
               limb b {{ pivot (680, 600) mm tip (445, 600) mm length 235 mm width 40 mm
                 drive servo {{ motor servo-standard at (680, 600) mm }}
                 gesture look {{ sweep 140 deg to 180 deg cycle 2 s }} }} }}"
        ));
        told(&all).len()
    };
    assert_eq!(pair("13.9 N.m"), 0);
    assert_eq!(pair("14.1 N.m"), 1);
}
