//! The nine-line file: it stands on built-in parts and stated assumptions.

use yardwright::mechanism::Size;
use yardwright::model::{DriveKind, Mount, Note, Shape};

use super::{clean, figure, limb};

/// As short as a useful file gets.
pub const NINE_LINES: &str = "\
use parts
figure baker {
  board plywood-9 27 in by 61 in
  limb arm {
    pivot (20, 44) in  tip (34, 52) in
    drive four-bar { motor wiper at (14, 30) in  crank 1 1/2 in }
    gesture stir { sweep 10 deg to 55 deg  cycle 2 s }
  }
}
";

fn whats(notes: &[Note]) -> Vec<&str> {
    notes.iter().map(|n| n.what.as_str()).collect()
}

#[test]
fn it_compiles_and_stands_in_the_middle() {
    let yard = clean(NINE_LINES);
    assert_eq!((yard.size.0.0, yard.size.1.0), (10_000.0, 8_000.0));
    let placed = &yard.figures[0];
    assert!(placed.assumed);
    assert_eq!(placed.facing.0, 180.0);
    // The middle of a board 27 in wide stands in the middle of the yard.
    assert!((placed.at.x + 27.0 * 25.4 / 2.0 - 5000.0).abs() < 1e-9);
    assert_eq!(placed.at.y, 4000.0);
}

#[test]
fn what_is_left_out_is_open_or_a_default() {
    let yard = clean(NINE_LINES);
    let arm = limb(&yard, "baker", "arm");
    assert_eq!(arm.mount, Mount::Front);
    assert_eq!(arm.bolt.as_ref().map(|b| b.name.as_str()), Some("5/16-18"));
    assert_eq!(arm.bushing.as_ref().map(|b| b.name.as_str()), Some("nylon"));
    assert_eq!(arm.sheet.as_ref().map(|b| b.name.as_str()), Some("corrugated-4"));
    // A quarter of the way from (20, 44) to (34, 52) in.
    let Some(Shape::Strip { width, .. }) = arm.shape else { panic!("{:?}", arm.shape) };
    assert!((width.0 - 25.4 * 260.0_f64.sqrt() / 4.0).abs() < 1e-9);
    let drive = arm.drive.as_ref().expect("a drive");
    let DriveKind::FourBar(f) = &drive.mechanism else { panic!() };
    assert_eq!(f.crank.size, Size::Given(38.1));
    assert_eq!(f.rod.size, Size::Free);
    assert_eq!(f.clamp.size, Size::Free);
    // 2 1/2 to 4 1/2 in by 1/2 in.
    assert_eq!(f.lever.size, Size::Row { lo: 63.5, hi: 114.3, step: 12.7 });
    assert_eq!(figure(&yard, "baker").actuators[0].name, "arm");
}

#[test]
fn it_says_what_it_assumed_and_did_not_check() {
    let yard = clean(NINE_LINES);
    let arm = limb(&yard, "baker", "arm");
    assert_eq!(
        whats(&arm.assumed),
        [
            "arm a strip 4 in wide, corrugated-4",
            "arm cut with a tail of 2 in behind its pivot, not weighed",
            "bolt 5/16-18 in nylon",
            "front mount",
            "lever holes every 1/2 in from 2 1/2 to 4 1/2 in",
        ]
    );
    let unchecked = whats(&arm.not_checked);
    for what in ["wood behind the pivot (no frame)", "cable, fuse (no supply)", "music (no song)"] {
        assert!(unchecked.contains(&what), "{what} in {unchecked:?}");
    }
    assert!(yard.assumed.iter().any(|n| n.what.contains("10 m by 8 m") || n.what.contains("ft")));
}

#[test]
fn every_clause_that_would_settle_a_note_can_be_written() {
    // The settling clauses, put into the file, leave no assumption.
    let text = "\
use parts
figure baker {
  board plywood-9 27 in by 61 in
  limb arm {
    pivot (20, 44) in  tip (34, 52) in
    bolt 5/16-18  bushing nylon  mount front
    sheet corrugated-4  outline (19, 43) (35, 51) (33, 53) in
    drive four-bar { motor wiper at (14, 30) in  crank 1 1/2 in  lever ? 2 1/2 to 4 1/2 in by 1/2 in }
    gesture stir { sweep 10 deg to 55 deg  cycle 2 s }
  }
}
";
    assert_eq!(limb(&clean(text), "baker", "arm").assumed, []);
}
