//! What a servo holds, against the triangle of its arms cut by NumPy and by hand.

use super::compile;
use yardwright::loads::motor::Work;

/// What each servo holds at most, N.m at its own shaft, in the order of the motors.
fn holds(text: &str) -> Vec<f64> {
    let compiled = compile(text);
    let works = compiled.loads[0].motors.iter().filter_map(|m| match &m.work {
        Some(Work::Servo(servo)) => Some(servo.hold.0),
        _ => None,
    });
    let all: Vec<f64> = works.collect();
    assert!(!all.is_empty(), "{:?}", compiled.findings);
    all
}

/// Circles cut with circles, the limb's rate by differences of 1e-6 rad of the arm: at
/// -59.879 deg the limb turns 0.335323 times as fast as its servo, m g r cos = 8.233 mN.m.
#[test]
fn unequal_arms_hold_by_the_rate_of_that_place() {
    let held = holds(
        "motor sv { kind servo voltage 6 V slew 0.15 s per 60 deg stall 30 kgf.cm 2 A
           pulse 1000 us at -45 deg 2000 us at 45 deg }
         figure f { board plywood-9 900 mm by 1400 mm
           limb l { pivot (360.52, 561.39) mm tip (426.10573966, 460.89865334) mm bolt M8 friction 0 N.m
             mass 0.0839 kg centre 73 mm at -38 deg inertia 0.00062205 kg.m2
             drive servo { motor sv at (300, 500) mm turns cw crank 17.6 mm rod 86.5 mm
               lever 42.7 mm at -11 deg assembly crossed zero -56.86949946 deg }
             gesture go { sweep -59.878799 deg to -48.558643 deg cycle 2.5 s shape natural } } }",
    );
    assert!((held[0] / 0.002_760_813 - 1.0).abs() < 1e-5, "{held:?}");
}

/// An upper arm that points up and sways 30 deg either way, and a hand in line with it
/// that nods -10 to 20 deg: on the board the hand stands at 50 to 140 deg, and 0.1 kg
/// 60 mm out ask most at 140: 0.1 g 0.06 cos 40 deg.
#[test]
fn a_rider_hangs_as_its_carrier_stands() {
    let held = holds(
        "motor sv { kind servo voltage 6 V slew 0.15 s per 60 deg stall 30 kgf.cm 2 A
           pulse 1000 us at -45 deg 2000 us at 45 deg }
         figure f { board plywood-9 900 mm by 1400 mm
           limb arm { pivot (400, 700) mm tip (400, 900) mm bolt M8
             mass 0.2 kg centre 100 mm at 0 deg inertia 0.003 kg.m2
             drive servo { motor sv at (400, 700) mm }
             gesture sway { sweep 60 deg to 120 deg cycle 4 s } }
           limb hand on arm { pivot (400, 900) mm tip (400, 1000) mm bolt M8
             mass 0.1 kg centre 60 mm at 0 deg inertia 0.0005 kg.m2
             drive servo { motor sv rides }
             gesture nod { bend -10 deg to 20 deg cycle 3 s } } }",
    );
    let want = 0.1 * 9.80665 * 0.06 * libm::cos(40.0_f64.to_radians());
    assert!(held.iter().any(|h| (h / want - 1.0).abs() < 1e-4), "{held:?}, want {want}");
}

/// A gate of 0.615 kg, its middle 280 mm out: 1.689 N.m level, by a ram on an arm of 86 to 100
/// mm: 17 to 20 N along the rod.
#[test]
fn a_ram_that_holds_less_than_its_limb_weighs_lets_it_drop() {
    let gate = |holds: &str| {
        compile(&format!(
            "yard green {{ size 10 m by 8 m wind run 7 m/s stand 22 m/s soil lawn }}
             motor own {{ kind ram voltage 12 V force 150 N speed 0.01 m/s length 205 to 305 mm stroke 100 mm {holds} }}
             figure gate {{ board plywood-9 900 mm by 900 mm
               limb leaf {{ pivot (200, 500) mm tip (700, 500) mm sheet plywood-6
                 outline (170, 400) (770, 400) (770, 650) (170, 650) mm weighed 0.615 kg balances 280 mm
                 drive ram {{ motor own at (200, 230.7) mm lever 100 mm at ? }}
                 rest 0 deg gesture open {{ turn to 60 deg over 12 s }} }} }}"
        ))
    };
    let drops = |holds: &str| {
        let compiled = gate(holds);
        let pushed = compiled.loads[0].limbs[0].wind.as_ref().unwrap().limits.iter();
        let pushed = pushed.clone().find(|l| l.code.word == "ram-pushed-back").cloned();
        let said = |code: &str| compiled.findings.iter().any(|f| f.code.word == code);
        (said("limb-drops"), said("ram-pushed-back"), pushed)
    };
    assert!(drops("holds 15 N").0, "it weighs more");
    let (falls, blown, limit) = drops("holds 25 N");
    let limit = limit.unwrap();
    assert!(!falls && (16.8..20.5).contains(&limit.calm) && limit.bears == 25.0, "{limit:?}");
    // A gust adds what the wind along the board does at the least arm.
    assert_ne!(blown, limit.passes(yardwright::units::MetrePerSec(22.0)));
    // Its screw locks: its rated force. Nothing said: the survey's least, and no finding of it.
    assert_eq!(drops("self-locking yes").2.unwrap().bears, 150.0);
    let (_, blown, _) = drops("");
    assert!(!blown);
}

/// A ram of 212.42 mm at its shortest stands 0.01 mm from where it lies in line with its lever:
/// anchor and pivot are hypot(240, 200) = 312.41 mm apart, and the lever is 100 mm. What it
/// would have to push there is no number to buy by.
#[test]
fn near_a_dead_centre_no_force_is_told_to_buy_by() {
    let yard = |short: &str| {
        super::compile(&format!(
            "motor r {{ kind ram voltage 12 V length {short} mm to 311 mm force 150 N speed 0.01 m/s }}
figure a {{ board plywood-9 900 mm by 1400 mm
  limb l {{ pivot (300, 700) mm  tip (300, 1000) mm  weighed 6 kg balances 250 mm inertia 0.5 kg.m2
    drive ram {{ motor r at (60, 500) mm  lever 100 mm at 100 deg }}
    gesture g {{ pose 95 deg }} }} }}"
        ))
    };
    let weak = |compiled: &super::Compiled| {
        let found = compiled.findings.iter().find(|f| f.code.word == "ram-weak").cloned();
        found.unwrap_or_else(|| panic!("{:?}", compiled.findings))
    };
    let near = weak(&yard("212.42"));
    assert!(near.message.starts_with("near its dead centre"), "{}", near.message);
    assert!(!near.help.unwrap().contains(" N"), "{}", near.message);
    let far = weak(&yard("225"));
    assert!(far.help.as_ref().unwrap().contains("take one rated for"), "{far:?}");
}

#[test]
fn no_counterweight_is_advised_against_a_load() {
    let help = |load: &str| {
        let compiled = compile(&format!(
            "figure moon {{ board plywood-9 600 mm by 1400 mm
               limb jaw {{ pivot (300, 700) mm tip (420, 700) mm sheet plywood-6 weighed 0.4 kg balances 60 mm {load}
                 drive servo {{ motor servo-standard }}
                 rest 0 deg gesture talk {{ turn to 16 deg over 1 s }} }} }}"
        ));
        let found = compiled.findings.iter().find(|f| f.code.word == "servo-holds");
        found.and_then(|f| f.help.clone()).unwrap_or_default()
    };
    // 0.4 kg 60 mm out are 0.24 N.m of some 0.34; a load of 0.25 is more than a quarter by
    // itself, whatever hangs behind the bolt.
    assert!(help("").contains("counterweight of"), "{}", help(""));
    assert!(
        help("load 0.25 N.m cw").contains("no counterweight helps"),
        "{}",
        help("load 0.25 N.m cw")
    );
}
