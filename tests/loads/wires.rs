//! Wires onto limbs that move, and blades in the wind.
#![allow(clippy::disallowed_methods)] // On purpose another library's sines.

use super::{compile, limb};
use yardwright::check::Compiled;
use yardwright::units::MetrePerSec;

fn told(compiled: &Compiled, code: &str) -> Vec<String> {
    let all = compiled.findings.iter().filter(|f| f.code.word == code);
    all.map(|f| f.message.clone()).collect()
}

fn heron(wing: &str, hand: &str) -> Compiled {
    compile(&format!(
        "figure heron {{ board plywood-9 620 mm by 1400 mm
           limb wing {{ pivot (197, 820) mm tip (-253, 820) mm mount behind holes close {wing}
             drive four-bar {{ motor wiper at (260, 570) mm crank 30 mm rod 250 mm tail-hole 70 mm at 180 deg assembly crossed }}
             gesture flap {{ sweep 155 deg to 205 deg within 2 deg cycle 4 s }} }}
           {hand} }}"
    ))
}

const HAND: &str = "limb hand on wing { pivot (-100, 820) mm tip (-240, 820) mm
    drive servo { motor servo-micro } gesture bend { turn to 200 deg over 1 s } }";

#[test]
fn wires_onto_a_limb_that_swings_want_a_loop() {
    let crossing = |wing, hand| told(&heron(wing, hand), "wires-cross-pivot");
    assert_eq!(crossing("", ""), Vec::<String>::new());
    let lit = crossing("lit", "");
    assert!(lit.len() == 1 && lit[0].contains("the lights of wing"), "{lit:?}");
    let motor = crossing("", HAND);
    assert!(motor.len() == 1 && motor[0].contains("the wires to the motor of hand"), "{motor:?}");
    assert_eq!(crossing("lit wires loop", HAND), Vec::<String>::new());
}

fn mill(sails: &str) -> Compiled {
    compile(&format!(
        "yard y {{ size 10 m by 8 m wind run 7 m/s stand 12 m/s soil lawn }}
         motor slow {{ kind brushed voltage 12 V free 40 rpm 0.12 A stall 3 N.m 1.8 A }}
         figure mill {{ board plywood-9 600 mm by 1200 mm
           limb sails {{ pivot (300, 800) mm tip (300, 970) mm bolt M8 sheet plywood-6
             weighed 0.4 kg balances 0 mm {sails}
             outline (130, 630) (470, 630) (470, 970) (130, 970) mm
             drive spin {{ motor slow at (300, 800) mm }} gesture round {{ spin 1 turn per 4 s }} }} }}
         set mill at (5 m, 4 m) facing south"
    ))
}

#[test]
fn on_a_limb_that_spins_only_a_slip_ring_leads_them_on() {
    for (words, winds) in
        [("", 0), ("lit", 1), ("lit wires loop", 1), ("lit wires slip-ring", 0), ("wires loop", 0)]
    {
        assert_eq!(told(&mill(words), "wires-wind-up").len(), winds, "{words}");
    }
}

/// A square of 340 mm: 0.1156 m2, its radius of gyration 340/sqrt(6) = 138.8 mm. At 30 deg
/// 1.3 x 0.613 x 0.1156 x 0.1388 x 0.5 = 0.006393 N.m for each (m/s)^2, so that a tenth of
/// 3 N.m is met at sqrt(0.3/0.006393) = 6.85 m/s.
#[test]
fn pitched_blades_turn_their_motor_in_a_gust() {
    let compiled = mill("pitched 30 deg");
    let wind = limb(&compiled, 0).wind.as_ref().unwrap();
    let limit = wind.limits.iter().find(|l| l.code.word == "spin-blown").unwrap();
    assert!((limit.per_gust2 - 0.006_393).abs() < 2e-6 && (limit.bears - 0.3).abs() < 1e-9);
    assert!((limit.gust().0 - 6.85).abs() < 0.01 && !limit.passes(MetrePerSec(7.0)));
    assert_eq!(told(&compiled, "spin-blown").len(), 1);
    let flat = mill("pitched 0 deg");
    assert!(
        limb(&flat, 0).wind.as_ref().unwrap().limits.iter().all(|l| l.code.word != "spin-blown")
    );
    let asked = |c: &Compiled| limb(c, 0).not_checked.iter().any(|n| n.settle == "pitched 0 deg");
    assert!(asked(&mill("")) && !asked(&flat));
}
