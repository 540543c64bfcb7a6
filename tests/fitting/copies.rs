//! Copies of another size: what scales, what stays a hole, and what is said where the
//! motion asked for cannot be met with the holes there are.

use yardwright::check::Compiled;
use yardwright::finding::Severity;
use yardwright::fit::{Fitted, FittedDrive, SizeName};
use yardwright::mechanism::Travel;

use super::compile;

/// A hat on a slide, and its copy.
fn hat(drive: &str, stroke: u32, scale: u32) -> Compiled {
    compile(&format!(
        "motor plain {{ kind brushed  voltage 12 V  free 45 rpm 1 A  stall 10 N.m 10 A }}\n\
         figure bear {{ board plywood-9 900 mm by 1500 mm\n limb hat {{\n slide from (300, 500) mm to (300, 900) mm\n \
         drive {drive}\n gesture hop {{ stroke 100 mm to {} mm  cycle 3 s }} }} }}\n\
         set bear at (2, 1) m\n set cub like bear at (6, 1) m scale {scale} %",
        100 + stroke,
    ))
}

fn errors(compiled: &Compiled) -> Vec<&str> {
    let all = compiled.findings.iter().filter(|f| f.severity == Severity::Error);
    all.map(|f| f.code.word).collect()
}

/// The drive of the figure named so.
fn drive<'a>(compiled: &'a Compiled, figure: &str) -> &'a FittedDrive {
    let at = compiled.yard.figures.iter().position(|f| f.name.value == figure).unwrap();
    match &compiled.figures[at].limbs[0].mechanism {
        Some(Fitted::Drive(drive)) => drive,
        other => panic!("{other:?}: {:?}", compiled.findings),
    }
}

fn crank(drive: &FittedDrive) -> f64 {
    drive.sizes.iter().find(|s| s.name == SizeName::Crank).unwrap().drilled
}

fn ends(drive: &FittedDrive) -> (f64, f64) {
    match &drive.drilled.course.travel {
        Travel::Stroke(l) => (l.low.0, l.high.0),
        Travel::Swing(l) => (l.low.0, l.high.0),
    }
}

/// In line the stroke is twice the crank (R. L. Norton, Design of Machinery, the
/// in-line slider-crank): a copy's crank is as much smaller as its stroke.
#[test]
fn a_crank_of_no_row_follows_the_stroke() {
    for (scale, want) in [(60, 21.0), (150, 52.5)] {
        let compiled = hat(
            "slider-crank { motor plain at (300, 200) mm  crank 35 mm  rod 435 mm }",
            70,
            scale,
        );
        assert_eq!(errors(&compiled), [""; 0], "{:?}", compiled.findings);
        let (bear, cub) = (drive(&compiled, "bear"), drive(&compiled, "cub"));
        assert_eq!(crank(bear), 35.0);
        assert!((crank(cub) - want).abs() <= 1.0, "{}", crank(cub));
        let k = f64::from(scale) / 100.0;
        let ((low, high), within) = (ends(cub), (70.0 * k * 0.05).min(2.0) + 0.5);
        assert!(
            (low - 100.0 * k).abs() <= within && (high - 170.0 * k).abs() <= within,
            "{low} {high}"
        );
        let at = compiled.yard.figures.iter().position(|f| f.name.value == "cub").unwrap();
        let notes = &compiled.figures[at].limbs[0].assumed;
        assert!(notes.iter().any(|n| n.what.starts_with("crank and rod left open")), "{notes:?}");
    }
}

/// A crank that is a hole of its motor's row, or of a row written for it, stays one.
#[test]
fn a_crank_that_is_a_hole_of_a_row_becomes_another_hole_of_it() {
    let row = "crank 40 mm of 30 to 60 mm by 10 mm";
    for said in [
        "motor wiper at (300, 200) mm  crank 40 mm",
        &format!("motor plain at (300, 200) mm  {row}"),
    ] {
        let text = format!("slider-crank {{ {said}  rod ? }}");
        let compiled = hat(&text, 80, 75);
        assert_eq!(errors(&compiled), [""; 0], "{:?}", compiled.findings);
        assert_eq!((crank(drive(&compiled, "bear")), crank(drive(&compiled, "cub"))), (40.0, 30.0));
        let compiled = hat(&text, 80, 60);
        assert_eq!(errors(&compiled), ["nothing-fits"]);
        let said = &compiled.findings.iter().find(|f| f.severity == Severity::Error).unwrap();
        assert_eq!((said.figure.as_deref(), said.limb.as_deref()), (Some("cub"), Some("hat")));
        assert!(
            said.message.contains("60 to 108 mm") && said.message.contains("60 mm at the least"),
            "{}",
            said.message
        );
        assert!(said.help.as_ref().is_some_and(|h| h.contains("24 mm")), "{:?}", said.help);
    }
}

#[test]
fn a_yoke_does_the_same() {
    let compiled = hat("scotch-yoke { motor plain at (300, 635) mm  crank 35 mm }", 70, 60);
    assert_eq!(errors(&compiled), [""; 0], "{:?}", compiled.findings);
    let cub = drive(&compiled, "cub");
    assert!((crank(cub) - 21.0).abs() <= 1.0, "{}", crank(cub));
}

/// The swing of a slotted arm is that of crank to centres (asin of their ratio to
/// either side): a smaller copy needs the smaller crank for the same angles.
#[test]
fn a_slotted_arm_keeps_its_angles() {
    let compiled = compile(
        "motor plain { kind brushed  voltage 12 V  free 45 rpm 1 A  stall 10 N.m 10 A }\n\
         figure bear { board plywood-9 900 mm by 1500 mm\n limb arm {\n pivot (300, 600) mm  tip (600, 600) mm\n \
         drive slotted-arm { motor plain at (400, 600) mm  crank 40 mm  slot at 0 deg }\n \
         gesture wave { sweep -23.5 deg to 23.5 deg  cycle 3 s } } }\n\
         set bear at (2, 1) m\n set cub like bear at (6, 1) m scale 60 %",
    );
    assert_eq!(errors(&compiled), [""; 0], "{:?}", compiled.findings);
    assert!((crank(drive(&compiled, "cub")) - 24.0).abs() <= 1.0);
}

/// A cam is cut for its figure: base and lift take the copy's size, the roller does not.
#[test]
fn a_cam_takes_the_size_of_the_copy() {
    let compiled = hat(
        "cam { motor plain at (300, 400) mm  base 60 mm  roller 8 mm  rise 120 deg dwell 40 deg  fall 120 deg dwell 80 deg }",
        40,
        60,
    );
    let said = compiled.yard.figures.iter().find(|f| f.name.value == "cub").unwrap();
    let yardwright::model::DriveKind::Cam(cam) =
        &said.figure.limbs[0].drive.as_ref().unwrap().mechanism
    else {
        panic!("no cam");
    };
    let given = |s: &yardwright::model::Sized| s.size;
    assert_eq!(given(&cam.base), yardwright::mechanism::Size::Given(36.0));
    assert_eq!(given(&cam.roller), yardwright::mechanism::Size::Given(8.0));
}

/// A rod of stock stays a size of its bar, also where the smaller board needs a
/// shorter one than the range that was asked of the first.
#[test]
fn a_rod_of_stock_stays_one() {
    let compiled = compile(
        "figure bear { board plywood-9 900 mm by 1500 mm\n limb arm {\n pivot (400, 900) mm  tip (400, 1200) mm\n \
         drive four-bar { motor wiper at (400, 550) mm  crank ?  rod ? 250 to 450 mm of perforated-25  lever ? at ? }\n \
         gesture wave { sweep 70 deg to 110 deg  cycle 3 s } } }\n\
         set bear at (2, 1) m\n set cub like bear at (6, 1) m scale 60 %",
    );
    assert_eq!(errors(&compiled), [""; 0], "{:?}", compiled.findings);
    let at = compiled.yard.figures.iter().position(|f| f.name.value == "cub").unwrap();
    let rod = super::four_bar(&compiled, at, 0).drilled.bars().rod.0;
    assert!((rod / 25.0 - (rod / 25.0).round()).abs() < 1e-9 && rod < 250.0, "{rod}");
}
