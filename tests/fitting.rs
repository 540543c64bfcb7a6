//! Fitting: open sizes answered on the board, answers mirrored, servos judged
//! where they are used.

mod cords;
mod forearms;
mod struts;
mod wild;

use std::path::Path;
use std::sync::Arc;

use yardwright::check::{Compiled, Compiler};
use yardwright::fit::builds::care;
use yardwright::fit::{Fitted, FittedDrive, FittedFourBar, FittedServo};
use yardwright::geometry::Dir;
use yardwright::mechanism::Assembly;
use yardwright::source::MemoryDisk;

#[path = "fitting/anchors.rs"]
mod anchors;
#[path = "fitting/answers.rs"]
mod answers;
#[path = "fitting/as_built.rs"]
mod as_built;
#[path = "fitting/as_built_asked.rs"]
mod as_built_asked;
#[path = "fitting/as_built_beside.rs"]
mod as_built_beside;
#[path = "fitting/as_built_causes.rs"]
mod as_built_causes;
#[path = "fitting/as_built_limbs.rs"]
mod as_built_limbs;
#[path = "fitting/as_built_made.rs"]
mod as_built_made;
#[path = "fitting/as_built_one_cause.rs"]
mod as_built_one_cause;
#[path = "fitting/builds.rs"]
mod builds;
#[path = "fitting/cam_builds.rs"]
mod cam_builds;
#[path = "fitting/cams.rs"]
mod cams;
#[path = "fitting/carried.rs"]
mod carried;
#[path = "fitting/carried_drives.rs"]
mod carried_drives;
#[path = "fitting/carried_servos.rs"]
mod carried_servos;
#[path = "fitting/copies.rs"]
mod copies;
#[path = "fitting/helps.rs"]
mod helps;
#[path = "fitting/nearest.rs"]
mod nearest;
#[path = "fitting/open_places.rs"]
mod open_places;
#[path = "fitting/open_sizes.rs"]
mod open_sizes;
#[path = "fitting/places.rs"]
mod places;
#[path = "fitting/preferred.rs"]
mod preferred;
#[path = "fitting/riding_cords.rs"]
mod riding_cords;
#[path = "fitting/servo_rods.rs"]
mod servo_rods;
#[path = "fitting/servos.rs"]
mod servos;
#[path = "fitting/signs.rs"]
mod signs;
#[path = "fitting/spins.rs"]
mod spins;
#[path = "fitting/springs.rs"]
mod springs;
#[path = "fitting/stock.rs"]
mod stock;
#[path = "fitting/strut_stands.rs"]
mod strut_stands;
#[path = "fitting/told_instead.rs"]
mod told_instead;

fn compile(text: &str) -> Compiled {
    let disk = MemoryDisk::new().with("/y/a.yard", format!("use parts\n{text}"));
    Compiler::new(disk).compile(Path::new("/y/a.yard")).unwrap()
}

fn four_bar(compiled: &Compiled, figure: usize, limb: usize) -> &FittedFourBar {
    match &compiled.figures[figure].limbs[limb].mechanism {
        Some(Fitted::FourBar(found)) => found,
        other => panic!("no linkage but {other:?}: {:?}", compiled.findings),
    }
}

/// The first limb's mechanism, of any kind but those two.
fn drive(compiled: &Compiled) -> &FittedDrive {
    match &compiled.figures[0].limbs[0].mechanism {
        Some(Fitted::Drive(found)) => found,
        other => panic!("{other:?}: {:?}", compiled.findings),
    }
}

/// The share of builds of the first limb that `check` tells.
fn share_told(compiled: &Compiled) -> f64 {
    let figure = &compiled.figures[0];
    care(&figure.figure.limbs[0], &figure.limbs[0]).unwrap().share.unwrap()
}

fn servo(compiled: &Compiled) -> &FittedServo {
    match &compiled.figures[0].limbs[0].mechanism {
        Some(Fitted::Servo(found)) => found,
        other => panic!("no servo but {other:?}: {:?}", compiled.findings),
    }
}

#[test]
fn of_two_equal_answers_the_one_behind_the_board_is_taken() {
    // The motor hangs straight below a pivot near one edge: both assemblies push
    // alike, and only the one that points inwards is hidden.
    for (x, assembly) in [(560, Assembly::Open), (40, Assembly::Crossed)] {
        let compiled = compile(&format!(
            "figure f {{ board plywood-9 600 mm by 1400 mm\n limb arm {{\n pivot ({x}, 1000) mm tip ({x}, 1300) mm\n \
             drive four-bar {{ motor wiper at ({x}, 700) mm  crank ? 30 to 60 mm by 10 mm rod ?  \
             lever ? 70 to 120 mm by 10 mm at ? }}\n gesture wave {{ sweep 70 deg to 110 deg  cycle 3 s }} }} }}"
        ));
        let found = four_bar(&compiled, 0, 0);
        let lever = found.exact.pins(Dir::EAST).unwrap().1;
        assert!((0.0..=600.0).contains(&lever.x), "lever pin at {lever:?}");
        assert_eq!(found.exact.assembly(), assembly);
    }
}

const BEAR: &str = "figure bear {
  board plywood-9 outline (0, 0) (620, 0) (700, 900) (310, 1350) (-40, 900) mm
  motor drum wiper at (310, 806) mm
  limb left-arm {
    pivot (150, 880) mm  tip (-250, 1150) mm
    drive four-bar { motor drum  crank ? 30 to 60 mm by 10 mm  rod ?  lever ? 70 to 120 mm by 10 mm at ? }
    gesture hit { sweep 121 deg to 165 deg within 2 deg  cycle 2 s }
  }
  limb right-arm mirrors left-arm about x 310 mm
}";

// The numbers are those of an independent calculation (a numeric search over the
// same holes), worked out before this program was written.
#[test]
fn the_bears_arms_are_mirror_images_that_strike_by_turns() {
    let compiled = compile(BEAR);
    let (left, right) = (four_bar(&compiled, 0, 0), four_bar(&compiled, 0, 1));
    let near = |got: f64, want: f64, by: f64, what: &str| {
        assert!((got - want).abs() <= by, "{what}: {got}, not {want}");
    };
    for side in [left, right] {
        near(side.exact.bars().crank.0, 30.0, 0.0, "crank");
        near(side.exact.bars().lever.0, 80.0, 0.0, "lever");
        near(side.exact.bars().rod.0, 159.9, 0.05, "rod");
        near(side.analysis.motion.unwrap().min_transmission.0, 65.5, 0.1, "worst push");
        near(side.analysis.motion.unwrap().time_ratio.unwrap(), 1.0, 0.0005, "time ratio");
    }
    near(left.exact.clamp().0, 127.0, 0.1, "left clamp");
    near(right.exact.clamp().0, -127.0, 0.1, "right clamp");
    let outer = |f: &FittedFourBar, high: bool| {
        let motion = f.analysis.motion.unwrap();
        if high { motion.crank_at_high } else { motion.crank_at_low }.unwrap().signed().0
    };
    near(outer(left, true), 0.0, 0.2, "the left arm is out at crank");
    near(outer(right, false).abs(), 180.0, 0.2, "the right arm is out at crank");
}

#[test]
fn a_mirror_image_written_first_is_the_same() {
    let (head, tail) = BEAR.split_once("  limb left-arm").unwrap();
    let (left, right) = tail.split_once("  limb right-arm").unwrap();
    let swapped = format!(
        "{head}  limb right-arm{}  limb left-arm{left}}}",
        right.strip_suffix('}').unwrap()
    );
    let (one, other) = (compile(BEAR), compile(&swapped));
    let right = Arc::clone(&other.figures[0]);
    let index = right.figure.limb("right-arm").unwrap();
    assert_eq!(four_bar(&one, 0, 1).exact, four_bar(&other, 0, index).exact);
}

#[test]
fn a_parallelogram_pushes_at_ninety_less_the_turn() {
    // Equal arms of a parallelogram turned 35 deg from square: push 90 - 35 = 55
    // (plane geometry: the rod stays parallel to the line of centres).
    let compiled = compile(
        "figure owl { board plywood-9 400 mm by 900 mm\n limb head { pivot (200, 740) mm tip (200, 890) mm\n \
         drive servo { motor servo-standard at (200, 680) mm  crank 20 mm  rod 60 mm  lever 20 mm at 90 deg }\n \
         gesture look { turn to 125 deg over 1 s }\n gesture back { turn to 55 deg over 1 s } } }",
    );
    let push = servo(&compiled).min_transmission.unwrap().0;
    assert!((push - 55.0).abs() < 1e-9, "{push}");
}
