//! How a crank is held on its shaft: torques by the motor's own sheet, sums by hand.

use super::{compile, limb, load};
use yardwright::check::Compiled;

fn arm(seat: &str) -> Compiled {
    compile(&format!(
        "motor drum {{ kind brushed voltage 12 V free 45 rpm 1.2 A stall 14 N.m 16 A self-locking yes {seat} }}
         figure bear {{ board plywood-9 620 mm by 1350 mm
           motor shared drum at (310, 806) mm limit 4 A
           limb left {{ pivot (150, 880) mm tip (-250, 1150) mm sheet plywood-6
             drive four-bar {{ motor shared crank 30 mm rod ? lever 80 mm at ? }}
             gesture hit {{ sweep 121 deg to 165 deg within 2 deg cycle 2 s }} }}
           limb right mirrors left about x 310 mm }}"
    ))
}

fn findings(compiled: &Compiled) -> Vec<String> {
    let all = compiled.findings.iter().filter(|f| f.code.word == "crank-loosens");
    all.map(|f| format!("{:?}: {}", f.severity, f.message)).collect()
}

fn notes(compiled: &Compiled) -> usize {
    let limbs = compiled.loads[0].limbs.iter().flat_map(|l| &l.not_checked);
    limbs.filter(|n| n.settle.contains("crank-seat")).count()
}

/// 14 N.m/14.8 A x 2.8 A = 2.649 N.m at the limit of 4 A; at work twice the peak.
#[test]
fn it_passes_on_twice_the_peak_and_what_the_limit_lets_through() {
    let compiled = arm("crank-seat knurl holds 2.7 N.m nut two");
    assert_eq!(findings(&compiled), Vec::<String>::new());
    let all: Vec<_> =
        limb(&compiled, 0).grips.iter().filter(|g| g.code.word == "crank-loosens").collect();
    let motor = &load(&compiled, 0).motor;
    let most = motor.peak.max(motor.in_wind.unwrap_or(0.0)).max(-motor.least);
    assert!((all[0].calm - 2.0 * most).abs() < 1e-12 && all[0].bears == 2.7);
    assert!((all[1].calm - 14.0 / 14.8 * 2.8).abs() < 1e-9);
    // Told once, though two arms hang on it.
    assert!(limb(&compiled, 1).grips.iter().all(|g| g.code.word != "crank-loosens"));
    let slips = findings(&arm("crank-seat knurl holds 2.6 N.m nut two"));
    assert!(slips.len() == 1 && slips[0].starts_with("Advice"), "{slips:?}");
    let weak = findings(&arm("crank-seat knurl holds 0.05 N.m nut two"));
    assert!(weak.len() == 2 && weak[0].starts_with("Error"), "{weak:?}");
}

/// FAA AC 43.13-1B, paragraph 7-64: no nylon insert alone on parts that rotate.
#[test]
fn a_nut_that_turns_is_locked() {
    for (seat, said) in [
        ("crank-seat taper holds 20 N.m nut one", "Warning"),
        ("crank-seat taper holds 20 N.m nut nylon", "Warning"),
        ("crank-seat set-screw holds 20 N.m", "Advice"),
    ] {
        let all = findings(&arm(seat));
        assert!(all.len() == 1 && all[0].starts_with(said), "{seat}: {all:?}");
    }
    for seat in [
        "crank-seat taper holds 20 N.m nut two",
        "crank-seat flat holds 20 N.m nut pinned",
        "crank-seat pin",
    ] {
        assert_eq!((findings(&arm(seat)).len(), notes(&arm(seat))), (0, 0), "{seat}");
    }
}

#[test]
fn what_is_not_said_is_asked_for_once() {
    assert_eq!(notes(&arm("")), 1);
    // The torque, and the nut.
    assert_eq!(notes(&arm("crank-seat knurl")), 2);
}

/// A crank that slips at 2 N.m gives before anything else does.
#[test]
fn held_it_slips_before_the_rod_bends() {
    let compiled = arm("crank-seat knurl holds 2 N.m nut two");
    let held = limb(&compiled, 0).held.as_ref().unwrap();
    let slip = held.gives.iter().find(|g| g.what.contains("crank slips")).unwrap();
    assert_eq!(slip.at, 2.0);
}

/// The clause a note offers for the seat of a motor of the library works in the file it was
/// written for, and ends the note.
#[test]
fn the_clause_that_is_asked_for_works_where_it_is_asked_for() {
    let text = "figure bear { board plywood-9 620 mm by 1350 mm
           limb left { pivot (150, 880) mm tip (-250, 1150) mm sheet plywood-6
             drive four-bar { motor wiper at (310, 806) mm limit 4 A crank 30 mm rod ? lever 80 mm at ? }
             gesture hit { sweep 121 deg to 165 deg within 2 deg cycle 2 s } } }";
    let before = compile(text);
    let notes = before.loads[0].limbs.iter().flat_map(|l| &l.not_checked);
    let clause = notes.map(|n| &n.settle).find(|s| s.contains("crank-seat")).expect("it is asked");
    let after = compile(&format!("{text}\n{clause}\n"));
    assert_eq!(notes_and_errors(&after), (0, Vec::<String>::new()), "{clause}");
}

fn notes_and_errors(compiled: &Compiled) -> (usize, Vec<String>) {
    let worse = compiled.findings.iter().filter(|f| f.severity.word() == "error");
    (notes(compiled), worse.map(|f| f.message.clone()).collect())
}
