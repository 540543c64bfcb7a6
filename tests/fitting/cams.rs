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
