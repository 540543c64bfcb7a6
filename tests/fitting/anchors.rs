//! Anchors whose place is open: held against whole yards compiled place by place.

use yardwright::check::Compiled;
use yardwright::finding::Severity;
use yardwright::fit::{Fitted, FittedDrive, Measure};

use super::compile;

fn errors(compiled: &Compiled) -> Vec<&str> {
    let all = compiled.findings.iter().filter(|f| f.severity == Severity::Error);
    all.map(|f| f.code.word).collect()
}

fn drive(compiled: &Compiled, figure: usize, limb: usize) -> Option<&FittedDrive> {
    match compiled.figures[figure].limbs[limb].mechanism.as_ref()? {
        Fitted::Drive(drive) => Some(drive),
        _ => None,
    }
}

/// The anchor that was found, and the worst push from there.
fn found(compiled: &Compiled, figure: usize, limb: usize) -> (f64, f64, f64) {
    let drive = drive(compiled, figure, limb).unwrap_or_else(|| panic!("{:?}", compiled.findings));
    let at = |name| match drive.figures.iter().find(|f| f.name == name).map(|f| f.value) {
        Some(Measure::Length(l)) => l.0,
        other => panic!("{name}: {other:?}"),
    };
    (at("anchor_x"), at("anchor_y"), drive.drilled.course.worst_push.0)
}

/// A gate on a ram that is anchored here.
fn gate(anchor: &str) -> Compiled {
    compile(&format!(
        "figure windmill {{ board plywood-9 900 mm by 900 mm\n \
         frame 38 mm by 38 mm {{ (100, 0) to (100, 900) (450, 100) to (450, 480) mm }}\n \
         limb gate {{ pivot (200, 500) mm  tip (700, 500) mm\n \
         drive ram {{ motor ram-100  anchor {anchor}  lever 100 mm at ? }}\n rest 0 deg\n \
         gesture open {{ turn to 60 deg over 12 s }} }} }}"
    ))
}

/// A forearm whose second rod is pinned here.
fn fiddler(anchor: &str) -> Compiled {
    compile(&format!(
        "figure fox {{ board plywood-9 700 mm by 1000 mm\n motor elbow wiper at (420, 500) mm\n \
         limb upper-arm {{ pivot (300, 700) mm  tip (120, 700) mm\n \
         drive four-bar {{ motor elbow  crank 30 mm  rod 217 mm  lever 90 mm at 17.5 deg }}\n \
         gesture bow {{ sweep 195 deg to 235 deg  cycle 2.1 s }} }}\n \
         limb forearm on upper-arm {{ pivot (120, 700) mm  tip (120, 500) mm\n \
         drive four-bar from upper-arm {{ anchor {anchor}  rod ?  lever 40 mm at ? }}\n \
         gesture fiddle {{ sweep 240 deg to 319 deg }} }} }}"
    ))
}

/// A forearm that bends, its rod pinned anywhere on the board; pushed as well as can be.
fn bent(anchor: &str, prefer: &str) -> Compiled {
    compile(&format!(
        "figure fox {{ board plywood-9 900 mm by 1200 mm\n motor elbow wiper at (420, 500) mm\n \
         limb up {{ pivot (300, 700) mm  tip (120, 700) mm\n \
         drive four-bar {{ motor elbow  crank 30 mm  rod 217 mm  lever 90 mm at 17.5 deg }} }}\n \
         limb low on up {{ pivot (120, 700) mm  tip (120, 500) mm\n \
         drive four-bar from up {{ anchor {anchor}  rod ?  lever 40 mm at ?  {prefer} }}\n \
         gesture curl {{ bend 45 deg to 84 deg }} }} }}"
    ))
}

/// From (250, 650) it pushes at 78 deg: no net of the whole board may end below that where
/// the push is asked for. Where it is not, 60 deg will do, with a short rod.
#[test]
fn the_best_anchor_of_a_whole_board_is_come_to() {
    let there = |prefer: &str| found(&bent("?", prefer), 0, 1);
    for at in [(250, 650), (220, 646), (484, 784)] {
        let known = bent(&format!("({}, {}) mm", at.0, at.1), "prefer push");
        let push = drive(&known, 0, 1).unwrap().drilled.course.worst_push.0;
        assert!(push > 75.0 && there("prefer push").2 > push - 1.0, "{at:?}: {push}");
    }
    let (x, y, push) = there("");
    // Pushes within 0.05 deg of each other are one, and the place is marked out.
    assert!(push >= 59.9 && libm::hypot(x - 120.0, y - 700.0) < 140.0, "{x} {y} {push}");
}

/// None of the places, each compiled on its own, pushes better than what was found,
/// and what was found is what the same yard gives with the place written down.
fn none_is_better(
    yard: fn(&str) -> Compiled,
    limb: usize,
    asked: &str,
    places: impl Iterator<Item = (f64, f64)>,
) -> (f64, f64) {
    let open = yard(asked);
    assert_eq!(errors(&open), [""; 0]);
    let (x, y, push) = found(&open, 0, limb);
    let written = yard(&format!("({x}, {y}) mm"));
    let same = drive(&written, 0, limb).unwrap().drilled.course.worst_push.0;
    assert!((same - push).abs() < 1e-9, "{same} {push}");
    let mut fitting = 0;
    for (u, v) in places {
        let other = yard(&format!("({u}, {v}) mm"));
        if errors(&other).is_empty() {
            fitting += 1;
            // Up to 60 deg the push counts, then how near it is.
            let there = drive(&other, 0, limb).unwrap().drilled.course.worst_push.0;
            assert!(there.min(60.0) <= push.min(60.0) + 0.15, "{u} {v}: {there} {push} at {x} {y}");
        }
    }
    assert!(fitting > 3, "only {fitting} places fit at all");
    (x, y)
}

#[test]
fn a_rams_anchor_in_a_rectangle_is_as_good_as_any_of_a_net() {
    let net = (0..=12).flat_map(|i| {
        (0..=8).map(move |j| (50.0 + 30.0 * f64::from(i), 100.0 + 25.0 * f64::from(j)))
    });
    let (x, y) = none_is_better(gate, 0, "? in (50, 100) to (410, 300) mm", net);
    assert!((50.0..=410.0).contains(&x) && (100.0..=300.0).contains(&y), "{x} {y}");
}

#[test]
fn a_rams_anchor_on_the_frame_lies_on_a_member() {
    let members = (0..=45).map(|i| (100.0, 20.0 * f64::from(i)));
    let both = members.chain((0..=19).map(|i| (450.0, 100.0 + 20.0 * f64::from(i))));
    let (x, y) = none_is_better(gate, 0, "? on frame", both);
    assert!(x == 100.0 && (0.0..=900.0).contains(&y) || x == 450.0 && (100.0..=480.0).contains(&y));
}

#[test]
fn an_anchor_along_a_line_lies_on_it() {
    let row = (0..=25).map(|i| (50.0 + 10.0 * f64::from(i), 240.0));
    let (x, y) = none_is_better(gate, 0, "? from (50, 240) to (300, 240) mm", row);
    assert!(y == 240.0 && (50.0..=300.0).contains(&x));
}

#[test]
fn a_second_rods_anchor_is_found_along_a_line_and_in_a_rectangle() {
    let row = (0..=20).map(|i| (200.0 + 5.0 * f64::from(i), 650.0));
    let (x, y) = none_is_better(fiddler, 1, "? from (200, 650) to (300, 650) mm", row);
    assert!(y == 650.0 && (200.0..=300.0).contains(&x));
    let net = (0..=5).flat_map(|i| {
        (0..=4).map(move |j| (200.0 + 20.0 * f64::from(i), 600.0 + 20.0 * f64::from(j)))
    });
    none_is_better(fiddler, 1, "? in (200, 600) to (300, 680) mm", net);
}

#[test]
fn where_no_place_works_it_is_said_once() {
    for (yard, limb) in [
        (gate("? from (50, 100) to (400, 100) mm"), 0),
        (fiddler("? in (600, 900) to (650, 950) mm"), 1),
    ] {
        assert_eq!(errors(&yard), ["no-place-fits"]);
        let said = yard.findings.iter().find(|f| f.code.word == "no-place-fits").unwrap();
        assert!(said.message.contains("for one: "), "{}", said.message);
        assert!(drive(&yard, 0, limb).is_none());
        let notes = &yard.figures[0].limbs[limb].not_checked;
        assert!(!notes.iter().any(|n| n.what.contains("no frame to fix")), "{notes:?}");
    }
}

#[test]
fn what_is_missing_for_the_search_is_a_note() {
    let text = |frame: &str, gesture: &str| {
        compile(&format!(
            "figure windmill {{ board plywood-9 900 mm by 900 mm {frame}\n \
             limb gate {{ pivot (200, 500) mm  tip (700, 500) mm\n \
             drive ram {{ motor ram-100  anchor ? on frame  lever 100 mm at ? }}\n {gesture} }} }}"
        ))
    };
    let noted = |compiled: &Compiled, what: &str| {
        assert_eq!(errors(compiled), [""; 0]);
        let notes = &compiled.figures[0].limbs[0].not_checked;
        assert!(notes.iter().any(|n| n.what.contains(what)), "{notes:?}");
    };
    noted(&text("", "gesture open { sweep 0 deg to 60 deg  cycle 30 s }"), "no frame to fix");
    noted(&text("frame 38 mm by 38 mm { (100, 0) to (100, 900) mm }", ""), "no gesture says");
}

/// A mirrored gate takes the image of its original's anchor, and a smaller copy looks
/// in the smaller rectangle.
#[test]
fn images_and_copies_look_in_their_own_place() {
    let compiled = compile(
        "figure windmill { board plywood-9 900 mm by 900 mm\n \
         limb gate { pivot (200, 500) mm  tip (700, 500) mm\n \
         drive ram { motor ram-100  anchor ? in (50, 100) to (410, 300) mm  lever 100 mm at ? }\n \
         gesture open { sweep 0 deg to 60 deg  cycle 30 s } }\n limb other mirrors gate about x 450 mm }\n \
         set windmill at (2, 1) m\n set small like windmill at (5, 1) m scale 90 %",
    );
    assert_eq!(errors(&compiled), [""; 0], "{:?}", compiled.findings);
    for (figure, placed) in compiled.yard.figures.iter().enumerate() {
        let k = if placed.name.value == "small" { 0.9 } else { 1.0 };
        let (x, y, push) = found(&compiled, figure, 0);
        let (u, v, same) = found(&compiled, figure, 1);
        let mirrored = (u - (900.0 * k - x)).abs() < 1e-9 && v == y;
        assert!(mirrored && (push - same).abs() < 1e-6, "{x} {u}");
        let (x, y) = (x / k, y / k);
        assert!((50.0..=410.0).contains(&x) && (100.0..=300.0).contains(&y), "{x} {y}");
    }
    assert_eq!(compiled.yard.figures.len(), 2);
}

/// An anchor is looked for on the board, and a box beside it is told as one.
#[test]
fn an_anchor_lies_on_the_board() {
    let gate = |from: &str| {
        compile(&format!(
            "figure f {{ board plywood-9 900 mm by 900 mm
  limb gate {{ pivot (200, 500) mm  tip (700, 500) mm
    drive ram {{ motor ram-100  anchor ? in {from} mm  lever ? 60 to 140 mm by 10 mm at ? }}
    gesture open {{ sweep 0 deg to 60 deg }} }} }}"
        ))
    };
    let place = |name: &str, compiled: &Compiled| {
        let Some(Fitted::Drive(found)) = &compiled.figures[0].limbs[0].mechanism else {
            panic!("{:?}", compiled.findings)
        };
        let figure = found.figures.iter().find(|f| f.name == name).unwrap();
        let Measure::Length(at) = figure.value else { panic!("{figure:?}") };
        at.0
    };
    let found = gate("(-300, 100) to (100, 300)");
    assert!((0.0..=100.0).contains(&place("anchor_x", &found)));
    assert!((100.0..=300.0).contains(&place("anchor_y", &found)));
    let off = gate("(-300, 100) to (-100, 300)");
    let said = off.findings.iter().find(|f| f.code.word == "no-place-fits").unwrap();
    assert!(said.message.contains("All of it lies off the board"), "{}", said.message);
}
