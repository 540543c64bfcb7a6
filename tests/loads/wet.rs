//! What rain, short bushings and unsaid bolts make of a limb, by hand.

use super::{compile, limb, load};
use yardwright::check::Compiled;

fn arm(stall: &str, sheet: &str) -> Compiled {
    compile(&format!(
        "motor drum {{ kind brushed voltage 12 V free 45 rpm 0.6 A stall {stall} N.m 3 A self-locking yes }}
         figure bear {{ board plywood-9 620 mm by 1350 mm
           limb arm {{ pivot (150, 880) mm tip (-250, 1150) mm weighed 0.239 kg balances 241 mm {sheet}
             drive four-bar {{ motor drum at (310, 806) mm crank 30 mm rod ? lever 80 mm at ? }}
             gesture hit {{ sweep 121 deg to 165 deg within 2 deg cycle 2 s }} }} }}"
    ))
}

/// A weak motor at 11.5 V stops at 0.8 x Kt (11.5/12 x 3 A - 0.6 A), Kt = stall/2.4 A: a third
/// of that lies between the peak and the peak with a fifth more weight.
#[test]
fn soaked_plywood_asks_a_fifth_more_weight() {
    let third = |stall: f64| 0.8 * stall / 2.4 * (11.5 / 12.0 * 3.0 - 0.6) / 3.0;
    for stall in [0.8, 0.84, 0.88, 0.92, 0.96, 1.0, 1.1, 1.3] {
        let compiled = arm(&stall.to_string(), "sheet plywood-6");
        let motor = &load(&compiled, 0).motor;
        let soaked = motor.peak + 0.2 * motor.parts.gravity;
        let by_hand = motor.peak <= third(stall) && soaked > third(stall);
        let told = compiled.findings.iter().any(|f| f.code.word == "wet-heavy");
        assert_eq!(told, by_hand, "{stall}: {} {soaked} {}", motor.peak, third(stall));
    }
    let told =
        |stall: &str, sheet| arm(stall, sheet).findings.iter().any(|f| f.code.word == "wet-heavy");
    let some = ["0.84", "0.88", "0.92", "0.96"];
    assert!(some.iter().any(|s| told(s, "sheet plywood-6")));
    // Plastic takes up no rain.
    assert!(some.iter().all(|s| !told(s, "sheet corrugated-4")));
}

/// 1.5 x 8 mm are 12 mm.
#[test]
fn a_bushing_is_longer_than_its_bolt_is_thick() {
    let told = |length: &str| {
        let compiled = arm("14", &format!("sheet plywood-6 bolt M8 bushing nylon length {length}"));
        let grip = limb(&compiled, 0)
            .grips
            .iter()
            .find(|g| g.code.word == "bushing-edge")
            .unwrap()
            .clone();
        assert!((grip.calm - 12.0).abs() < 1e-9);
        compiled.findings.iter().any(|f| {
            f.code.word == "bushing-edge" && f.message.contains("of length for its M8 bolt")
        })
    };
    assert!(told("11.9 mm") && !told("12.1 mm"));
}

#[test]
fn how_long_a_bolt_is_is_asked_where_its_thread_may_turn() {
    let asked = |bolt: &str| {
        let compiled = arm("14", &format!("sheet plywood-6 {bolt} bushing nylon"));
        limb(&compiled, 0).not_checked.iter().any(|n| n.settle == "bolt M8 length 100 mm")
    };
    assert!(asked("bolt M8") && !asked("bolt M8 length 90 mm") && !asked(""));
}

/// A limb of sheet that the sun spoils is told like a board of it.
#[test]
fn sun_is_told_of_limbs_too() {
    let told = |sheet| arm("14", sheet).findings.iter().any(|f| f.code.word == "sun-brittle");
    assert!(told("sheet corrugated-4") && !told("sheet plywood-6"));
}
