//! Cues that want different things of one motor.

use super::orchard::*;

fn codes(cues: &str) -> (Vec<String>, Stage) {
    let mut s = stage(&format!("{JIG}show evening with jig {{\n{cues}\n}}"));
    s.play();
    (s.codes(), s)
}

#[test]
fn two_limbs_of_one_motor_cannot_be_told_different_things() {
    let (found, s) =
        codes("bar 3 bear.left-arm sway for 4 bars\nbar 5 bear.right-arm three for 3 bars");
    assert_eq!(found, ["cues-disagree `bar 5 bear.right-arm three for 3 bars`"]);
    let f = &s.findings[0];
    assert_eq!(f.related.len(), 1, "both places");
    assert!(
        f.message.contains("bar 5 beat 1") && f.message.contains("on its motor"),
        "{}",
        f.message
    );
}

#[test]
fn the_same_said_twice_is_no_conflict() {
    let twice = "bar 3 bear.left-arm sway for 4 bars\nbar 3 bear.left-arm sway for 4 bars\nbar 3 bear.right-arm sway for 4 bars";
    assert_eq!(codes(twice).0, [""; 0]);
    assert_eq!(
        codes("bar 3 bear.left-arm sway for 4 bars\nbar 7 bear.left-arm three for 3 bars").0,
        ["cold `3 beats`"]
    );
    assert_eq!(
        codes(
            "bar 3 owl.head turn to 20 deg over 2 beats\nbar 3 owl.head turn to 20 deg over 2 beats"
        )
        .0
        .len(),
        1,
        "written twice it is two gestures"
    );
}

#[test]
fn rest_ends_a_run_at_the_contact() {
    let mut s = stage(&format!(
        "{JIG}show evening with jig {{\nbar 3 bear.left-arm sway for 16 bars\nbar 8 all rest\n}}"
    ));
    let p = s.play();
    let keys = &p.figures[0].channels[0].keys;
    // From bar 3 to bar 8 are ten beats; the third turn has begun and is finished.
    let (start, end) = (keys[1].at.0, keys[2].at.0);
    assert!(((end - start) * 116.0 / 60.0 - 12.0).abs() < 1e-6, "{keys:?}");
    assert_eq!(s.codes(), [""; 0]);
}

#[test]
fn rest_and_a_gesture_at_one_time_disagree() {
    let (found, _) = codes("bar 3 bear.left-arm sway for 2 bars\nbar 3 bear.left-arm rest");
    assert_eq!(found, ["cues-disagree `bar 3 bear.left-arm rest`"]);
}

#[test]
fn a_servo_is_told_one_thing_at_a_time() {
    let (found, _) =
        codes("bar 3 owl.head nod for 4 bars\nbar 4 owl.head turn to 30 deg over 2 beats");
    assert_eq!(found, ["cues-disagree `bar 4 owl.head turn to 30 deg over 2 beats`"]);
    let (found, _) =
        codes("bar 3 owl.head nod for 4 bars\nbar 8 owl.head turn to 30 deg over 2 beats");
    assert_eq!(found, [""; 0]);
}

#[test]
fn a_crank_takes_no_angle() {
    let (found, _) = codes("bar 3 bear.left-arm turn to 140 deg over 2 beats");
    assert_eq!(found, ["gesture-unfit `bar 3 bear.left-arm turn to 140 deg over 2 beats`"]);
}
