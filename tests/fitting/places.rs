//! Motors whose place is open: held against whole yards compiled place by place.

use yardwright::check::Compiled;
use yardwright::finding::Severity;
use yardwright::fit::Fitted;

use super::compile;

/// A bear's arm with its motor at a place, or an open one.
fn arm(motor: &str) -> Compiled {
    compile(&format!(
        "figure f {{ board plywood-9 700 mm by 1500 mm\n frame 38 mm by 38 mm {{ (150, 0) to (150, 1400) (500, 300) to (500, 900) mm }}\n \
         limb arm {{\n pivot (150, 880) mm  tip (-250, 1150) mm\n \
         drive four-bar {{ motor wiper at {motor}  crank ? 30 to 60 mm by 10 mm  rod ?  lever ? 70 to 120 mm by 10 mm at ? }}\n \
         gesture hit {{ sweep 121 deg to 165 deg within 2 deg  cycle 3 s }} }} }}"
    ))
}

fn errors(compiled: &Compiled) -> Vec<&str> {
    let all = compiled.findings.iter().filter(|f| f.severity == Severity::Error);
    all.map(|f| f.code.word).collect()
}

fn push(compiled: &Compiled) -> Option<f64> {
    match compiled.figures[0].limbs[0].mechanism.as_ref()? {
        Fitted::FourBar(bar) => Some(bar.as_drilled.motion?.min_transmission.0),
        Fitted::Drive(drive) => Some(drive.drilled.course.worst_push.0),
        _ => None,
    }
}

/// No place of a net over the rectangle is better than the one that was found, and
/// the found one is what the same yard gives with the place written down.
#[test]
fn a_place_in_a_rectangle_is_as_good_as_any_of_a_net() {
    let found = arm("? in (200, 500) to (420, 760) mm");
    assert_eq!(errors(&found), [""; 0]);
    let at = found.figures[0].place_of(0).expect("a place");
    assert!((200.0..=420.0).contains(&at.x) && (500.0..=760.0).contains(&at.y), "{at:?}");
    let best = push(&found).unwrap();
    let written = arm(&format!("({}, {}) mm", at.x, at.y));
    assert!((push(&written).unwrap() - best).abs() < 1e-9);
    for i in 0..=10_u32 {
        for j in 0..=10_u32 {
            let other = arm(&format!("({}, {}) mm", 200 + 22 * i, 500 + 26 * j));
            if errors(&other).is_empty() {
                // Up to 60 deg the push counts, then the way to the pivot.
                let [there, here] = [push(&other).unwrap(), best].map(|p| p.min(60.0));
                assert!(there <= here + 0.1, "{i} {j}: {there} {here}");
                let (x, y) = (f64::from(200 + 22 * i), f64::from(500 + 26 * j));
                let far = |x: f64, y: f64| libm::hypot(x - 150.0, y - 880.0);
                let shorter = there > here - 0.01 && far(x, y) < far(at.x, at.y) - 1.5;
                assert!(!shorter, "{i} {j}: {x} {y} is nearer than {at:?}");
            }
        }
    }
}

#[test]
fn a_place_on_the_frame_lies_on_a_member() {
    let found = arm("? on frame");
    assert_eq!(errors(&found), [""; 0]);
    let at = found.figures[0].place_of(0).expect("a place");
    let left = at.x == 150.0 && (0.0..=1400.0).contains(&at.y);
    let right = at.x == 500.0 && (300.0..=900.0).contains(&at.y);
    assert!(left || right, "{at:?}");
}

#[test]
fn a_place_near_a_point_is_no_further_away() {
    let found = arm("? near (310, 806) mm within 40 mm");
    let at = found.figures[0].place_of(0).expect("a place");
    assert!(libm::hypot(at.x - 310.0, at.y - 806.0) <= 40.8, "{at:?}");
}

/// Both arms of the bear hang on one motor: the place must do for both.
#[test]
fn a_shared_motor_stands_where_all_its_limbs_work() {
    let bear = super::BEAR.replace("at (310, 806) mm", "at ? near (310, 780) mm within 60 mm");
    let found = compile(&bear);
    assert_eq!(errors(&found), [""; 0], "{:?}", found.findings);
    assert!(found.figures[0].limbs.iter().all(|l| l.mechanism.is_some()));
}

#[test]
fn nowhere_to_stand_is_said_once() {
    let none = arm("? near (150, 870) mm within 12 mm");
    assert_eq!(errors(&none), ["no-place-fits"]);
    assert!(none.figures[0].place_of(0).is_none());
}

/// A feather that rides on a wing with its motor, in angles of the board: those hold while
/// the wing rests, at the lower end of its own swing and not as it is drawn.
fn feather(motor: &str) -> Compiled {
    compile(&format!(
        "figure f {{ board plywood-9 900 mm by 1200 mm\n \
         limb wing {{ pivot (200, 800) mm  tip (500, 800) mm\n \
         drive four-bar {{ motor wiper at (200, 500) mm  crank 30 mm  rod 300 mm  lever 90 mm at 180 deg }} }}\n \
         limb feather on wing {{ pivot (500, 800) mm  tip (620, 800) mm\n \
         drive four-bar {{ motor wiper at {motor} rides  crank 15 mm  rod ?  lever ? 30 to 60 mm by 10 mm at ? }}\n \
         gesture flick {{ sweep -26 deg to 14 deg within 2 deg  cycle 2 s }} }} }}"
    ))
}

/// The push of the feather's rod.
fn feather_push(compiled: &Compiled) -> Option<f64> {
    match compiled.figures[0].limbs[1].mechanism.as_ref()? {
        Fitted::FourBar(bar) => Some(bar.as_drilled.motion?.min_transmission.0),
        _ => None,
    }
}

/// A motor that rides is looked for in the drawn pose: what is found is what the same yard
/// gives with the place written down, and no place of a net is better. Without more said it
/// stands on the limb that carries it.
#[test]
fn a_motor_that_rides_finds_its_place_on_its_carrier() {
    let found = feather("? in (340, 770) to (460, 830) mm");
    assert_eq!(errors(&found), [""; 0]);
    let at = found.figures[0].place_of(1).expect("a place");
    assert!((340.0..=460.0).contains(&at.x) && (770.0..=830.0).contains(&at.y), "{at:?}");
    let best = feather_push(&found).unwrap();
    let written = feather(&format!("({}, {}) mm", at.x, at.y));
    assert!((feather_push(&written).unwrap() - best).abs() < 1e-9);
    for i in 0..=6_u32 {
        for j in 0..=6_u32 {
            let other = feather(&format!("({}, {}) mm", 340 + 20 * i, 770 + 10 * j));
            if errors(&other).is_empty() {
                let [there, here] = [feather_push(&other).unwrap(), best].map(|p| p.min(60.0));
                assert!(there <= here + 0.1, "{i} {j}: {there} {here}");
            }
        }
    }
    // The wing is a strip 75 mm wide, 300 long.
    let anywhere = feather("?");
    assert_eq!(errors(&anywhere), [""; 0]);
    let at = anywhere.figures[0].place_of(1).expect("a place");
    assert!((200.0..=500.0).contains(&at.x) && (762.5..=837.5).contains(&at.y), "{at:?}");
}

/// The frame stays where it is: a motor that rides on a limb is not on it.
#[test]
fn a_motor_that_rides_does_not_stand_on_the_frame() {
    let found = feather("? on frame");
    let told = found.findings.iter().find(|f| f.code.word == "no-place-fits").expect("told");
    assert!(told.message.contains("rides on wing"), "{}", told.message);
    assert_eq!(errors(&found), ["no-place-fits"]);
}
