//! Limbs that spin and limbs that knock, by hand.

use super::{compile, load};
use yardwright::loads::turning::uneven;
use yardwright::units::Mm;

const MILL: &str = "motor slow { kind brushed voltage 12 V free 40 rpm 0.12 A stall 3 N.m 1.8 A }
  figure mill { board plywood-9 600 mm by 1200 mm
    limb sails { pivot (300, 800) mm tip (300, 1120) mm bolt M8 sheet plywood-6 BALANCE
      length 320 mm width 60 mm
      drive spin { motor slow at (300, 800) mm } gesture round { spin 1 turn per SPAN } } }";

fn said(balance: &str, span: &str, code: &str) -> bool {
    let compiled = compile(&MILL.replace("BALANCE", balance).replace("SPAN", span));
    compiled.findings.iter().any(|f| f.code.word == code)
}

#[test]
fn a_weight_beside_the_bolt_may_ask_a_tenth_of_what_stops_the_motor() {
    // 0.4 kg x 9.80665 x r = 0.1 x 3 N.m at r = 76.48 mm.
    assert!(said("weighed 0.4 kg balances 76.6 mm", "4 s", "spin-unbalanced"));
    assert!(!said("weighed 0.4 kg balances 76.3 mm", "4 s", "spin-unbalanced"));
    let compiled =
        compile(&MILL.replace("BALANCE", "weighed 0.4 kg balances 120 mm").replace("SPAN", "4 s"));
    let mass = compiled.loads[0].limbs[0].mass.as_ref().unwrap();
    let (torque, weight) = uneven(mass, Mm(100.0));
    assert!((torque - 0.470_719).abs() < 1e-5 && (weight.0 - 0.48).abs() < 1e-9);
    // The motor lifts it half of every turn: its largest torque is that and the friction.
    assert!(load(&compiled, 0).motor.peak > torque);
}

#[test]
fn a_tip_is_quick_above_a_metre_a_second() {
    // The strip's far corner lies hypot(320, 30) = 321.4 mm out: 1 m/s at 2.0194 s a turn.
    assert!(said("weighed 0.4 kg balances 10 mm", "2.01 s", "spin-quick"));
    assert!(!said("weighed 0.4 kg balances 10 mm", "2.03 s", "spin-quick"));
}

#[test]
fn a_head_that_nods_over_the_middle_knocks_and_one_that_leans_does_not() {
    let head = |sweep: &str| {
        let compiled = compile(&format!(
            "figure bear {{ board plywood-9 620 mm by 1350 mm
              limb head {{ pivot (300, 900) mm tip (300, 1200) mm bolt M8 sheet plywood-6 washer 60 mm
                weighed 0.3 kg balances 60 mm inertia 0.002 kg.m2 friction 0.02 N.m
                drive four-bar {{ motor wiper at (300, 600) mm limit 4 A crank 20 mm rod ? lever 60 mm at ? }}
                gesture nod {{ sweep {sweep} within 8 deg cycle 30 s }} }} }}"
        ));
        let knocks = compiled.findings.iter().any(|f| f.code.word == "limb-knocks");
        (knocks, load(&compiled, 0).both_ways)
    };
    // Slow: m g r cos 70 = 0.3 x 9.80665 x 0.06 x 0.342 = 0.0604 N.m either way, at the least
    // where it swings as asked.
    let (knocks, [least, most]) = head("70 deg to 110 deg");
    assert!(knocks && (0.045..0.075).contains(&most) && (0.045..0.075).contains(&-least));
    assert!(!head("20 deg to 60 deg").0);
}
