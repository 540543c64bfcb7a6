//! As built: one cause is told where one is enough, nothing is told that nobody could see,
//! and all that is told of a built limb is what it would be if it were drawn so.

use yardwright::check::Compiled;
use yardwright::emit::report::Report;
use yardwright::finding::{Finding, Locate, Location, Place};
use yardwright::fit::builds::care;
use yardwright::fit::{AsBuilt, Fitted};

use super::as_built_limbs::{Point, angle, meet};
use super::compile;

fn figure(limb: &str) -> Compiled {
    compile(&format!("figure f {{ board plywood-9 900 mm by 1200 mm\n {limb} }}"))
}

/// A limb on a servo's rod, measured at both ends of its travel.
fn servo_measured(low: f64, high: f64) -> Compiled {
    figure(&format!(
        "limb g {{ pivot (300, 700) mm tip (100, 700) mm drive servo {{ motor servo-standard at (300, 640) mm \
         crank 20 mm rod 60 mm lever 25 mm at 0 deg zero 180 deg assembly open }} \
         measured {low:.2} deg to {high:.2} deg }}"
    ))
}

fn built(compiled: &Compiled) -> &AsBuilt {
    let limb = compiled.figures[0].limbs.last().unwrap();
    limb.as_built.as_ref().unwrap_or_else(|| panic!("{:?}", compiled.findings))
}

fn told(compiled: &Compiled) -> &Finding {
    compiled.findings.iter().find(|f| f.code.word == "built-otherwise").unwrap()
}

/// A ram whose anchor stands 6 mm too high, read to a hundredth of a degree: its lever,
/// turned, does as much to 0.1 deg, which no gauge tells from it. Two changes that meet
/// every digit are not told.
#[test]
fn one_cause_is_told_where_one_is_enough() {
    let (anchor, pivot) = ((200.0, 236.7), (200.0, 500.0));
    let at = |l: f64| {
        let turned = angle(pivot, meet(anchor, l, pivot, 100.0, 1.0)) - 208.0;
        turned - 360.0 * (turned / 360.0).round()
    };
    let (low, high) = (at(205.0).min(at(305.0)), at(205.0).max(at(305.0)));
    let compiled = figure(&format!(
        "limb g {{ pivot (200, 500) mm tip (700, 500) mm drive ram {{ motor ram-100 \
         anchor (200, 230.7) mm lever 100 mm at 208 deg assembly open }} \
         measured {low:.2} deg to {high:.2} deg }}"
    ));
    let built = built(&compiled);
    assert!(built.changes.len() == 1 && built.off < 0.2, "{built:?}");
    let anchor = built.others.iter().find(|o| o.name == "anchor, up").unwrap();
    assert!((anchor.built - 236.7).abs() < 0.1 && anchor.with.is_none(), "{anchor:?}");
}

/// A servo that stands 6 mm too far to the right: its place is named, and what meets the
/// reading.
#[test]
fn a_servo_beside_its_place_is_named() {
    let pivot = (300.0, 700.0);
    let pin = |shaft: Point, own: f64| {
        let (sin, cos) = libm::sincos(f64::to_radians(own));
        (shaft.0 + 20.0 * cos, shaft.1 + 20.0 * sin)
    };
    // The rod leads from the drawn arm to a lever of 25 mm that points left at the zero.
    let arm = angle((300.0, 640.0), meet((300.0, 640.0), 20.0, (275.0, 700.0), 60.0, 1.0));
    let at = |own: f64| {
        let end = meet(pin((306.0, 640.0), arm + own), 60.0, pivot, 25.0, 1.0);
        angle(pivot, end).rem_euclid(360.0)
    };
    let compiled = servo_measured(at(-50.0), at(50.0));
    let built = built(&compiled);
    let all = built.others.iter().chain(&built.alone);
    let place = all.into_iter().find(|o| o.name == "motor, across");
    let place = place.unwrap_or_else(|| panic!("{built:?}"));
    assert!((place.built - 306.0).abs() < 0.05, "{place:?}");
}

/// A lever 3 mm too short, read to a hundredth: "clamp 139 deg instead of 139 deg" helps
/// nobody. What was measured on an arm whose crank and lever are both 10 mm too long one
/// size explains to 0.05 deg.
#[test]
fn what_is_told_as_otherwise_is_otherwise() {
    for (low, high, changes) in [(9.54, 55.40, 1), (6.11, 58.90, 1), (6.52, 53.71, 2)] {
        let compiled = figure(&format!(
            "limb arm {{ pivot (300, 700) mm tip (600, 700) mm drive four-bar {{ motor wiper at (180, 400) mm \
             crank 30 mm rod 314.5 mm lever 80 mm at 139 deg }} measured {low} deg to {high} deg }}"
        ));
        assert_eq!(built(&compiled).changes.len(), changes, "{:?}", built(&compiled));
        let found = told(&compiled);
        let text = format!("{} {}", found.message, found.help.as_ref().unwrap());
        let words: Vec<&str> = text.split_whitespace().collect();
        for at in words.windows(6).filter(|w| w[2] == "instead" && w[3] == "of") {
            assert_ne!(at[0], at[4], "{text}");
        }
        assert!(text.contains(" instead of "));
    }
}

/// The place of a motor that is open is found as before the limb was built, where it was
/// then marked out; what was measured is explained from there.
#[test]
fn an_open_place_is_found_as_if_nothing_were_measured() {
    let limb = |measured: &str| {
        figure(&format!(
            "limb l {{ slide from (300, 340) mm to (300, 460) mm {measured} gesture g {{ stroke 20 mm to 100 mm cycle 2 s }} \
             drive scotch-yoke {{ motor wiper at ? in (100, 100) to (500, 900) mm crank ? 30 to 60 mm by 10 mm }} }}"
        ))
    };
    let (drawn, hangs) = (limb(""), limb("measured stroke 22 mm to 98 mm"));
    let place = |c: &Compiled| c.figures[0].place_of(0).map(|at| (at.x, at.y));
    assert_eq!(place(&drawn), Some((300.0, 400.0)));
    assert_eq!(place(&hangs), place(&drawn));
    let changes = &built(&hangs).changes;
    assert!(changes.len() == 1 && changes[0].0 == "crank", "{changes:?}");
    assert!((changes[0].2 - 38.0).abs() < 1e-6);
}

/// A report of places nobody looks up.
struct Nowhere;

impl Locate for Nowhere {
    fn locate(&self, _: Place) -> Option<Location> {
        None
    }
}

/// A limb that is sent to one angle and set right there needs care nowhere, in words and in
/// the report.
#[test]
fn where_no_size_needs_care_none_is_named() {
    let compiled = figure(
        "limb g { pivot (300, 700) mm tip (100, 700) mm drive servo { motor servo-standard at (300, 640) mm \
         crank 25 mm rod 60 mm lever 25 mm at 0 deg zero 180 deg } gesture look { turn to 180 deg over 1 s } }",
    );
    let figure = &compiled.figures[0];
    let care = care(&figure.figure.limbs[0], &figure.limbs[0]).unwrap();
    assert_eq!(care.careful, None);
    let report = serde_json::to_value(Report::new(&compiled, &Nowhere)).unwrap();
    let care = &report["figures"][0]["limbs"][0]["care"];
    assert!(care.get("worst_case").is_some() && care.get("careful_with").is_none(), "{care}");
}

/// Drawn with one size, measured with another; and drawn with the other.
const KINDS: &[(&str, &str, &str)] = &[
    (
        "limb arm { pivot (300, 900) mm tip (600, 900) mm \
         drive slotted-arm { motor wiper at (300, 800) mm crank SIZE slot at 270 deg }",
        "40 mm",
        "44 mm",
    ),
    (
        "limb arm { slide from (300, 300) mm to (300, 500) mm \
         drive scotch-yoke { motor wiper at (300, 400) mm crank SIZE tilt 10 deg }",
        "40 mm",
        "44 mm",
    ),
    (
        "limb arm { pivot (300, 600) mm tip (560, 600) mm weighed 0.3 kg balances 120 mm \
         drive cord { motor wiper at (300, 300) mm crank 30 mm lever SIZE at 170 deg guides (220, 400) mm \
         length 340 mm assembly open return spring 2 N.m }",
        "90 mm",
        "94 mm",
    ),
    (
        "limb arm { pivot (200, 500) mm tip (600, 500) mm weighed 0.3 kg balances 120 mm drive ram { motor ram-100 \
         anchor (205, 231) mm length 205 to 305 mm lever SIZE at 208 deg assembly open }",
        "82 mm",
        "88 mm",
    ),
    (
        "motor m wiper at (420, 500) mm limb upper { pivot (300, 700) mm tip (120, 700) mm \
         drive four-bar { motor m crank 30 mm rod 217 mm lever 90 mm at 17.5 deg assembly open } } \
         limb arm { pivot (200, 500) mm tip (200, 300) mm drive four-bar from upper { anchor (200, 700) mm \
         rod 183.276443 mm lever SIZE at 114.739488 deg assembly crossed }",
        "60.52672 mm",
        "64.7 mm",
    ),
];

/// What a kind of mechanism alone has to tell, and what is checked of its push, is that of
/// the limb that hangs there: the same as if it were drawn so.
#[test]
fn a_built_limb_is_told_and_checked_as_if_it_were_drawn_so() {
    for (limb, drawn, truly) in KINDS {
        let alike = figure(&format!("{} }}", limb.replace("SIZE", truly)));
        let drive = |c: &Compiled| {
            let fitted = c.figures[0].limbs.last().unwrap().mechanism.clone();
            match fitted {
                Some(Fitted::Drive(drive)) => drive,
                _ => panic!("{:?}", c.findings),
            }
        };
        let travel = drive(&alike).exact.course.travel;
        let measured = match travel.swing() {
            Some(l) => format!("measured {:.6} deg to {:.6} deg", l.low.0, l.high.0),
            None => {
                let yardwright::mechanism::Travel::Stroke(l) = travel else { unreachable!() };
                format!("measured stroke {:.6} mm to {:.6} mm", l.low.0, l.high.0)
            }
        };
        let hangs = figure(&format!("{} {measured} }}", limb.replace("SIZE", drawn)));
        let figures = |c: &Compiled| format!("{:.3?}", drive(c).figures);
        assert!(!drive(&alike).figures.is_empty() && figures(&hangs) == figures(&alike), "{limb}");
        let checked = |c: &Compiled| {
            let words = c.findings.iter().map(|f| f.code.word);
            words.filter(|w| *w != "built-otherwise").collect::<Vec<_>>()
        };
        assert_eq!(checked(&hangs), checked(&alike), "{limb}");
        assert!(drive(&hangs).faulty == drive(&alike).faulty);
    }
}

/// An arm of 20 mm reaches a lever pin with the same rod in two ways. As drawn the one that
/// pushes better is taken; a servo that was measured the other way was built so, and nothing
/// of it is otherwise.
/// What would do it is drawn already: what was built otherwise is named instead.
#[test]
fn a_built_limb_is_not_told_to_be_drawn_as_it_is() {
    for (drive, measured, gesture, joint) in [
        (
            "four-bar { motor wiper at (300, 600) mm  crank 30 mm  rod 288 mm  lever 90 mm at 176.8 deg }",
            "10 deg to 60 deg",
            "sweep 0 deg to 39 deg within 4 deg  cycle 3 s",
            "pivot (300, 900) mm  tip (700, 900) mm",
        ),
        (
            "scotch-yoke { motor wiper at (360, 860) mm  crank 40 mm }",
            "stroke 15 mm to 105 mm",
            "stroke 20 mm to 100 mm within 2 mm  cycle 3 s",
            "slide from (300, 900) mm to (420, 900) mm",
        ),
    ] {
        let compiled = super::compile(&format!(
            "figure sample {{ board plywood-9 700 mm by 1500 mm\n limb arm {{ {joint}\n drive {drive}\n \
             measured {measured}\n gesture wave {{ {gesture} }} }} }}"
        ));
        let missed = compiled.findings.iter().find(|f| f.code.word.ends_with("-missed"));
        let help = missed.unwrap_or_else(|| panic!("{:?}", compiled.findings)).help.as_ref();
        assert!(help.unwrap().starts_with("as built it moves so: correct"), "{help:?}");
    }
}

#[test]
fn of_two_ways_to_put_a_servo_together_the_measured_one_is_taken() {
    let (shaft, pivot) = ((300.0, 640.0), (300.0, 700.0));
    for side in [1.0, -1.0] {
        let arm = angle(shaft, meet(shaft, 20.0, (275.0, 700.0), 60.0, side));
        let at = |own: f64| {
            let (sin, cos) = libm::sincos(f64::to_radians(arm + own));
            let pin = (shaft.0 + 20.0 * cos, shaft.1 + 20.0 * sin);
            angle(pivot, meet(pin, 60.0, pivot, 25.0, 1.0)).rem_euclid(360.0)
        };
        let compiled = servo_measured(at(-50.0), at(50.0));
        assert!(built(&compiled).changes.is_empty(), "{side}: {:?}", built(&compiled));
        let Some(Fitted::Servo(servo)) = &compiled.figures[0].limbs[0].mechanism else {
            panic!("{:?}", compiled.findings)
        };
        let off = (servo.arm_at_zero.unwrap().0 - arm).rem_euclid(360.0);
        assert!(off.min(360.0 - off) < 1e-3, "{side}: {:?}, {arm}", servo.arm_at_zero);
    }
}
