//! Rams and cylinders on guides with what they leave open: every answer typed into the yard,
//! the order held against a scan, and the share of builds against struts worked out on their
//! own.
#![allow(clippy::disallowed_methods)] // On purpose another library's roots.

use proptest::prelude::*;
use yardwright::check::Compiled;
use yardwright::finding::Severity;
use yardwright::fit::{Fitted, FittedDrive, Measure, Other, SizeName};

use super::super::linkages::reference::Rng;
use super::{compile, drive, share_told as share};

/// A hedgehog in a guide 120 mm long that leads up from (250, 300).
fn hedgehog(ram: &str, stroke: &str) -> Compiled {
    compile(&format!(
        "figure f {{ board plywood-9 500 mm by 800 mm
  limb body {{ slide from (250, 300) mm to (250, 420) mm
    drive ram {{ motor ram-100  {ram} }}
    gesture pop {{ stroke {stroke} }} }} }}"
    ))
}

fn errors(compiled: &Compiled) -> Vec<&str> {
    let all = compiled.findings.iter().filter(|f| f.severity == Severity::Error);
    all.map(|f| f.code.word).collect()
}

fn anchor(drive: &FittedDrive) -> (f64, f64) {
    let at = |name| match drive.figures.iter().find(|f| f.name == name).map(|f| f.value) {
        Some(Measure::Length(l)) => l.0,
        other => panic!("{name}: {other:?}"),
    };
    (at("anchor_x"), at("anchor_y"))
}

fn lever(drive: &FittedDrive, other: Option<&Other>) -> Option<f64> {
    let at = drive.sizes.iter().position(|s| s.name == SizeName::Lever)?;
    Some(other.map_or(drive.sizes[at].drilled, |o| o.sizes[at]))
}

/// Every answer, written: the clause and what was told of it.
fn written(open: &Compiled) -> Vec<(String, Option<Other>)> {
    let found = drive(open);
    let asked = found.sizes.iter().any(|s| s.name == SizeName::Ground);
    let clause = |other: Option<&Other>| {
        let at = match other {
            _ if !asked => (250.0, 120.0),
            Some(other) => other.at.map(|at| (at.x, at.y)).unwrap(),
            None => anchor(found),
        };
        let anchor = format!("anchor ({}, {}) mm", at.0, at.1);
        let lever = lever(found, other).map(|l| format!("lever {l} mm"));
        format!("{anchor} {}", lever.unwrap_or_default())
    };
    let others = found.others.iter().map(|o| (clause(Some(o)), Some(o.clone())));
    std::iter::once((clause(None), None)).chain(others).collect()
}

const OPEN: [(&str, &str); 8] = [
    ("anchor ?", "10 mm to 110 mm"),
    ("anchor ?  prefer build", "8 mm to 112 mm within 2 mm"),
    ("anchor ?", "0 mm to 120 mm within 3 mm"),
    ("anchor ?  lever ? 10 to 50 mm by 10 mm  prefer build", "8 mm to 112 mm within 5 mm"),
    ("anchor ? in (300, 0) to (450, 800) mm", "5 mm to 110 mm"),
    ("anchor ? near (200, 120) mm within 40 mm  prefer build", "6 mm to 109 mm within 3 mm"),
    ("anchor ? from (100, 110) to (400, 110) mm", "8 mm to 112 mm"),
    ("anchor (250, 120) mm  lever ? 10 to 40 mm by 2 mm", "5 mm to 105 mm within 4 mm"),
];

#[test]
fn each_answer_works_as_it_is_told_when_it_is_written() {
    for (open, stroke) in OPEN {
        let found = hedgehog(open, stroke);
        assert_eq!(errors(&found), [""; 0], "{open}: {:?}", found.findings);
        assert!(!drive(&found).others.is_empty(), "{open}");
        let limb = &found.figures[0].figure.limbs[0];
        let same = |a: f64, b: f64, what: &str| assert!((a - b).abs() < 1e-6, "{what}: {a} {b}");
        for (clause, told) in written(&found) {
            let given = hedgehog(&clause, stroke);
            assert_eq!(errors(&given), [""; 0], "{open}: {clause}: {:?}", given.findings);
            let course = &drive(&given).drilled.course;
            let l = course.travel.stroke().unwrap();
            let Some(told) = told else {
                let own = &drive(&found).drilled.course;
                same(course.worst_push.0, own.worst_push.0, &clause);
                same(share(&given), share(&found), &clause);
                continue;
            };
            same(l.low.0, told.low, &clause);
            same(l.high.0, told.high, &clause);
            same(course.worst_push.0, told.push.0, &clause);
            same(share(&given), told.share(limb).unwrap(), &clause);
        }
    }
}

/// From an anchor at (x, y), drawn in at 205 mm and pushed out at 305 mm, by Pythagoras: both
/// ends of the hedgehog, and how far the ram leans at its shortest.
fn slides((x, y): (f64, f64)) -> Option<(f64, f64, f64)> {
    let b = x - 250.0;
    let ahead = |l: f64| (l * l - b * b).sqrt();
    let (short, long) = (ahead(205.0), ahead(305.0));
    let ends = match y > 360.0 {
        false => (y + short - 300.0, y + long - 300.0),
        true => (y - long - 300.0, y - short - 300.0),
    };
    let lean = (b.abs() / 205.0).asin().to_degrees();
    (b.abs() < 205.0).then_some((ends.0, ends.1, lean))
}

/// Does as asked, in its guide, and leans by less than 45 deg.
fn fits(at: (f64, f64), (from, to): (f64, f64), within: f64) -> Option<f64> {
    let (low, high, lean) = slides(at)?;
    let off = [low - from, high - to, high - low - (to - from)];
    let met = off.iter().all(|o| o.abs() <= within) && low > -0.05 && high < 120.05;
    (met && lean <= 45.0).then_some(lean)
}

/// Of a net of anchors 2 mm apart over the whole board, each worked out by Pythagoras, none
/// leans less than the one that is taken, and none of those worth looking at is built right
/// more often than the one preferred for that.
#[test]
fn none_of_a_net_over_the_board_is_better() {
    for (stroke, (from, to), within) in [
        ("10 mm to 110 mm", (10.0, 110.0), 2.0),
        ("8 mm to 112 mm within 2 mm", (8.0, 112.0), 2.0),
        ("3 mm to 117 mm within 4 mm", (3.0, 117.0), 4.0),
    ] {
        let net = (0..=250)
            .flat_map(|i| (0..=400).map(move |j| (2.0 * f64::from(i), 2.0 * f64::from(j))));
        let all: Vec<((f64, f64), f64)> =
            net.filter_map(|at| Some((at, fits(at, (from, to), within)?))).collect();
        assert!(all.len() > 10, "{stroke}: {}", all.len());
        let least = all.iter().map(|(_, lean)| *lean).fold(90.0, f64::min);
        for prefer in ["", "prefer push", "prefer light", "prefer even"] {
            let found = hedgehog(&format!("anchor ?  {prefer}"), stroke);
            assert_eq!(errors(&found), [""; 0], "{stroke}: {:?}", found.findings);
            let lean = 90.0 - drive(&found).drilled.course.worst_push.0;
            assert!(lean <= least + 0.2, "{stroke} {prefer}: {lean}, and {least} there is");
            let notes = &found.figures[0].limbs[0].assumed;
            assert!(notes.iter().all(|n| !n.what.contains("prefer")), "{notes:?}");
        }
        let best = share(&hedgehog("anchor ?  prefer build", stroke));
        let mut most: f64 = 0.0;
        for (at, _) in all.iter().step_by(1 + all.len() / 120) {
            most = most.max(share(&hedgehog(&format!("anchor ({}, {}) mm", at.0, at.1), stroke)));
        }
        assert!(most > 0.3 && best >= most - 0.03, "{stroke}: {best}, and {most} there is");
    }
}

/// The share is of first order; here 6,000 builds with pin, anchor and guide each up to 1 mm
/// off are worked out by Pythagoras, from another generator.
#[test]
fn the_share_is_that_of_struts_by_pythagoras() {
    let (mut rng, all) = (Rng(5), 6000);
    let mut off = move || 2.0 * rng.unit() - 1.0;
    for (open, stroke, (from, to), within) in [
        ("anchor ?", "10 mm to 110 mm within 1.2 mm", (10.0, 110.0), 1.2),
        ("anchor ?", "8 mm to 112 mm within 2 mm", (8.0, 112.0), 2.0),
        ("anchor ? in (330, 0) to (400, 300) mm", "5 mm to 111 mm within 3 mm", (5.0, 111.0), 3.0),
    ] {
        let found = hedgehog(open, stroke);
        assert_eq!(errors(&found), [""; 0], "{:?}", found.findings);
        let (x, y) = anchor(drive(&found));
        let good = (0..all).filter(|_| {
            // A pin further along the limb has the limb further back.
            let at = (x + off() - off(), y + off() - off() + off());
            slides(at).is_some_and(|(low, high, _)| {
                let off = [low - from, high - to, high - low - (to - from)];
                off.iter().all(|o| o.abs() <= within)
            })
        });
        let exact = good.count() as f64 / f64::from(all);
        let told = share(&found);
        assert!((0.05..0.99).contains(&exact), "no test: {exact}");
        assert!((told - exact).abs() < 0.015, "{stroke}: {told}, and {exact} of builds");
    }
}

/// What stands beside the line is the image on the image.
#[test]
fn an_image_stands_as_its_original_does() {
    let found = compile(
        "figure f { board plywood-9 1000 mm by 800 mm
  limb left { slide from (250, 300) mm to (270, 420) mm
    drive ram { motor ram-100  anchor ? }
    gesture pop { stroke 8 mm to 112 mm within 2 mm } }
  limb right mirrors left about x 500 mm }",
    );
    assert_eq!(errors(&found), [""; 0], "{:?}", found.findings);
    let at = |limb: usize| match &found.figures[0].limbs[limb].mechanism {
        Some(Fitted::Drive(d)) => {
            assert!(d.drilled.course.worst_push.0 < 85.0, "it leans");
            anchor(d)
        }
        other => panic!("{other:?}"),
    };
    let (left, right) = (at(0), at(1));
    assert!(
        (left.0 + right.0 - 1000.0).abs() < 1e-6 && (left.1 - right.1).abs() < 1e-6,
        "{left:?} {right:?}"
    );
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 200, failure_persistence: None, ..ProptestConfig::default() })]

    /// Guides anywhere and in any direction: an answer that is found does as asked, and where
    /// Pythagoras says that some place on the board does, one is found.
    #[test]
    fn an_anchor_is_found_wherever_one_works(
        x in 150.0..850.0f64, y in 150.0..850.0f64, turn in 0.0..360.0f64, guide in 60.0..200.0f64,
        short in 100.0..250.0f64, own in 40.0..150.0f64, more in -0.05..0.25f64, low in 0.0..0.5f64,
        build in any::<bool>(),
    ) {
        let tenth = |v: f64| (v * 10.0).round() / 10.0;
        let stroke = tenth(own * (1.0 + more));
        prop_assume!(stroke + 4.0 < guide);
        let from = tenth((guide - stroke) * low);
        let (along, side) = ((turn.to_radians().cos(), turn.to_radians().sin()), if build { "prefer build" } else { "" });
        let (short, long) = (tenth(short), tenth(short + own));
        let [x, y, u, v] = [x, y, x + guide * along.0, y + guide * along.1].map(tenth);
        let found = compile(&format!(
            "figure f {{ board plywood-9 1000 mm by 1000 mm
  limb body {{ slide from ({x}, {y}) mm to ({u}, {v}) mm
    drive cylinder {{ motor cylinder-16  bore 16 mm  length {short} to {long} mm  stroke {} mm  anchor ?  {side} }}
    gesture pop {{ stroke {from} mm to {} mm  cycle 4 s }} }} }}",
            tenth(long - short), tenth(from + stroke)
        ));
        let within = (0.05 * stroke).min(2.0);
        // In line, or so far beside that the stroke is the one asked for.
        let exact = |b: f64| (long * long - b * b).sqrt() - (short * short - b * b).sqrt() - stroke;
        let steepest = short * 44.5_f64.to_radians().sin();
        let works = exact(0.0) <= within - 0.6 && exact(steepest) >= 0.6 - within;
        if works && errors(&found).iter().all(|e| e.starts_with("cylinder")) {
            let l = *drive(&found).drilled.course.travel.stroke().unwrap();
            let off = [l.low.0 - from, l.high.0 - from - stroke];
            prop_assert!(off.iter().all(|o| o.abs() <= within + 1e-6), "{:?} {:?}", off, found.findings);
        } else if works {
            prop_assert!(false, "{:?}", found.findings);
        }
    }
}
