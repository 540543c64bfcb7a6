//! Cams found: what keeps to its own checks, what a saw follows, and how even they are.

use yardwright::check::Compiled;
use yardwright::fit::Fitted;

use super::compile;

fn frog(unit: &str, drive: &str, gesture: &str) -> Compiled {
    let (from, to) = match unit {
        "in" => ("(12, 16)", "(12, 20)"),
        _ => ("(300, 400)", "(300, 500)"),
    };
    let at = if unit == "in" { "(12, 12)" } else { "(300, 300)" };
    let board = if unit == "in" { "24 in by 36 in" } else { "600 mm by 900 mm" };
    compile(&format!(
        "figure pond {{ board plywood-9 {board}
  motor hop wiper at {at} {unit}
  limb frog {{ slide from {from} to {to} {unit}  weighed 0.8 kg
    drive cam {{ motor hop  {drive} }}
    gesture jump {{ {gesture} }} }} }}"
    ))
}

fn size(compiled: &Compiled, name: &str) -> f64 {
    let mechanism = compiled.figures[0].limbs[0].mechanism.as_ref();
    let Some(Fitted::Drive(d)) = mechanism else { panic!("{:?}", compiled.findings) };
    d.sizes.iter().find(|s| s.name.textbook() == name).unwrap().exact
}

/// A bore of 10 mm and one and a half times that round it: 20 mm of radius at least; an open
/// base circle leaves it, in whole millimetres or eighths of an inch, and none smaller on that
/// scale is found to work when it is given.
#[test]
fn a_base_circle_that_is_found_keeps_its_own_rules_and_is_round() {
    for (unit, mark) in [("mm", 1.0), ("in", 25.4 / 8.0)] {
        for lift in [5.0, 20.0, 35.0] {
            let gesture = format!("stroke 0 mm to {lift} mm  cycle 4 s");
            let drive = "roller 8 mm  rise 120 deg dwell 40 deg  fall 120 deg dwell 80 deg";
            let found = frog(unit, &format!("base ?  {drive}"), &gesture);
            assert!(found.findings.is_empty(), "{:?}", found.findings);
            let notes = &found.figures[0].limbs[0].not_checked;
            assert!(notes.iter().all(|n| !n.what.contains("bore")), "{notes:?}");
            let base = size(&found, "base");
            assert!((base / mark - (base / mark).round()).abs() < 1e-9, "{base}");
            assert!(base >= 20.0);
            let less = base - mark;
            let given = frog(unit, &format!("base {less:.4} mm  {drive}"), &gesture);
            let thin =
                given.figures[0].limbs[0].not_checked.iter().any(|n| n.what.contains("bore"));
            assert!(thin || !given.findings.is_empty(), "{lift}: {less} works too");
        }
    }
}

/// Up in 120 deg and down in 120 deg is even, however long it rests at the top; up in 160 and
/// down in 80 takes twice as long one way: 160/80.
#[test]
fn a_dwell_is_part_of_neither_way() {
    let gesture = "stroke 0 mm to 20 mm  cycle 4 s  shape natural";
    let even =
        frog("mm", "base 60 mm roller 8 mm rise 120 deg dwell 120 deg fall 120 deg", gesture);
    let words = |c: &Compiled| c.findings.iter().map(|f| f.code.word).collect::<Vec<_>>();
    assert!(!words(&even).contains(&"return-uneven"), "{:?}", even.findings);
    let ratio =
        |c: &Compiled| c.figures[0].limbs[0].mechanism.as_ref().unwrap().time_ratio().unwrap();
    assert!((ratio(&even) - 1.0).abs() < 1e-12);
    let quick =
        frog("mm", "base 60 mm roller 8 mm rise 160 deg dwell 120 deg fall 80 deg", gesture);
    assert!((ratio(&quick) - 2.0).abs() < 1e-12);
    assert!(words(&quick).contains(&"return-uneven"), "{:?}", quick.findings);
}

/// A limb under which the cam lifts: its guide 300 mm long from (1000, 800) mm, upwards.
fn riser(motor: &str, drive: &str, stroke: &str) -> Compiled {
    compile(&format!(
        "figure f {{ board plywood-9 2 m by 2 m
 limb l {{ slide from (1000, 800) mm to (1000, 1100) mm weighed 0.2 kg
  drive cam {{ motor wiper at {motor} mm base 40 mm roller 8 mm {drive} rise 120 deg fall 120 deg dwell 120 deg }}
  gesture g {{ stroke {stroke} cycle 4 s }} }} }}"
    ))
}

fn said<'c>(compiled: &'c Compiled, code: &str) -> Option<&'c str> {
    let found = compiled.findings.iter().find(|f| f.code.word == code);
    found.map(|f| f.message.as_str())
}

/// 320 mm on a guide of 300 are 20 too many, and 5 below nought are 5: as of every other limb
/// on a guide.
#[test]
fn a_cam_takes_its_limb_no_further_than_its_guide() {
    let at = |stroke: &str| riser("(1000, 700)", "", stroke);
    let leaves = |stroke: &str| said(&at(stroke), "leaves-guide").map(str::to_owned);
    assert!(leaves("290 mm to 320 mm").unwrap().contains("leaves it by 20 mm"));
    assert!(leaves("-5 mm to 20 mm").unwrap().contains("leaves it by 5 mm"));
    assert_eq!(leaves("270 mm to 300 mm"), None);
}

/// Where nothing says how far beside its shaft a roller passes, it is as far as the guide is
/// drawn beside it. With e of it, base circle and roller R, s of lift and s' of it for each
/// radian, the push leans by atan((s' -+ e)/(sqrt(R^2 - e^2) + s)): R. L. Norton, *Cam Design
/// and Manufacturing Handbook*, ch. 7, in another notation; here looked at in small steps over
/// the rise, along the polynomial 3-4-5.
#[test]
fn a_roller_passes_its_shaft_as_its_guide_is_drawn() {
    let lean = |e: f64| {
        let (rise, lift, pitch) = (120.0_f64.to_radians(), 20.0, 48.0_f64);
        let steps = (0..=200_000).map(|n| f64::from(n) / 200_000.0);
        let leans = steps.map(|x| {
            let s = lift * x * x * x * (10.0 - 15.0 * x + 6.0 * x * x);
            let speed = lift * 30.0 * x * x * (1.0 - x) * (1.0 - x) / rise;
            let below = (pitch * pitch - e * e).sqrt() + s;
            // Up and down again, and which of the two is with the offset says the turn.
            [(speed + e) / below, (speed - e) / below].map(|t| libm::atan(t.abs()).to_degrees())
        });
        leans.fold(0.0_f64, |m, l| m.max(l[0]).max(l[1]))
    };
    let push = |c: &Compiled| {
        let Some(Fitted::Drive(d)) = c.figures[0].limbs[0].mechanism.as_ref() else {
            panic!("{:?}", c.findings)
        };
        90.0 - d.exact.course.worst_push.0
    };
    let law = "law poly-345";
    for beside in [0.0, 12.0, -12.0] {
        let drawn = riser(&format!("({}, 700)", 1000.0 + beside), law, "0 mm to 20 mm");
        assert!((push(&drawn) - lean(beside)).abs() < 1e-5, "{beside}: {}", push(&drawn));
        // The shaft right of a guide that is lifted has its roller on the left.
        let told = riser("(1000, 700)", &format!("{law} offset {beside} mm"), "0 mm to 20 mm");
        assert!((push(&told) - push(&drawn)).abs() < 1e-9);
        let notes = &told.figures[0].limbs[0].assumed;
        assert_eq!(notes.iter().any(|n| n.what.contains("as `offset` says")), beside != 0.0);
        let same = riser(
            &format!("({}, 700)", 1000.0 + beside),
            &format!("{law} offset {beside} mm"),
            "0 mm to 20 mm",
        );
        let notes = &same.figures[0].limbs[0].assumed;
        assert!(notes.iter().all(|n| !n.what.contains("as `offset` says")), "{notes:?}");
    }
    // 300 mm beside, a cam of 60 mm reaches no roller; a flat face is as long as it must be.
    let far = riser("(1300, 1000)", law, "0 mm to 20 mm");
    assert!(said(&far, "cam-impossible").unwrap().contains("below 48 mm"));
    let face = "figure f { board plywood-9 2 m by 2 m
 limb l { slide from (1000, 800) mm to (1000, 1100) mm weighed 0.2 kg
  drive cam { motor wiper at (1030, 700) mm base 40 mm follower flat rise 120 deg fall 120 deg dwell 120 deg }
  gesture g { stroke 0 mm to 20 mm cycle 4 s } } }";
    let face = compile(face);
    let notes = &face.figures[0].limbs[0].assumed;
    assert!(notes.iter().any(|n| n.what.contains("30 mm beside its guide")), "{notes:?}");
}
