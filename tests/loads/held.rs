//! A limb that is held: what its motor pushes with, and what gives first, by hand.

use super::compile;
use yardwright::loads::jam::Held;

const ARM: &str = "figure bear { board plywood-9 620 mm by 1350 mm
    motor drum wiper at (310, 806) mm turns ccw LIMIT
    limb left { pivot (150, 880) mm tip (-250, 1150) mm bolt M8 washer 30 mm clamp CLAMP
      sheet plywood-6 outline (190, 850) (110, 840) (-270, 1130) (-230, 1180) (180, 930) mm
      drive four-bar { motor drum crank 30 mm rod 160 mm lever 80 mm at 127 deg assembly open }
      gesture hit { sweep 121 deg to 165 deg cycle 2.06896551724 s } } }";

fn held(limit: &str, clamp: &str) -> Held {
    let compiled = compile(&ARM.replace("LIMIT", limit).replace("CLAMP", clamp));
    compiled.loads[0].limbs[0].held.clone().expect("its motor's figures are known")
}

fn at(held: &Held, what: &str) -> f64 {
    held.gives.iter().find(|g| g.what.contains(what)).unwrap_or_else(|| panic!("{held:?}")).at
}

fn near(got: f64, want: f64, what: &str) {
    assert!((got / want - 1.0).abs() < 0.01, "{what}: {got}, by hand {want}");
}

#[test]
fn each_part_gives_where_its_own_sum_says() {
    let held = held("limit 4 A", "plain");
    // Kt (I - I0) = 14/(16 - 1.2) x (4 - 1.2); the rod over a crank of 30 mm.
    near(held.motor, 2.649, "torque");
    near(held.rod.unwrap(), 88.3, "rod");
    // In the middle of the swing the limb turns 0.379 to 0.39 as fast as its motor.
    let rate = held.motor / held.torque.unwrap();
    assert!((0.36..0.40).contains(&rate), "{rate}");
    // Gears: said of the motor. Pin M6, root 4.917: 240 x pi 4.917^3/32 / 12 = 233 N.
    near(at(&held, "gears"), 8.0, "gears");
    near(at(&held, "pin"), 233.4 * 0.030, "pin");
    // Rod of M8 thread, straight: Euler pi^2 205000 x 95.8/160^2 = 7572 N before 8328 N.
    near(at(&held, "rod bends"), 7_572.0 * 0.030, "rod");
    // Clamp: 482 N left, mu 0.3, ring of 15 and 4.5 mm: 3.095 N.m on the limb.
    near(at(&held, "slips on its bolt"), 3.095 * rate, "clamp");
    // Lever: 8/(0.2 x 8 mm) x 0.9 = 4500 N, mu 0.15, ring of 6.4 and 4.5 mm: 7.43 N.m.
    near(at(&held, "lever"), 7.43 * rate, "lever");
    assert!(held.first().unwrap().what.contains("slips on its bolt"));
    assert!(held.gives.windows(2).all(|g| g[0].at <= g[1].at), "the first stands first");
}

#[test]
fn nothing_gives_where_the_limit_is_low_enough() {
    let low = held("limit 2 A", "pin");
    assert_eq!(low.first(), None, "{low:?}");
    assert!(low.gives.iter().all(|g| !g.what.contains("slips on its bolt")));
    // Without a limit it is the stall torque at the sheet's voltage.
    near(held("", "pin").motor, 14.0, "stall");
}

const SWAY: &str = "motor slow { kind synchronous  voltage 24 V  frequency 50 Hz  free 3 1/3 rpm
    stall 1.07 N.m  INERTIA }
  figure scarecrow { board plywood-9 620 mm by 1350 mm
    limb arm { pivot (300, 900) mm  tip (700, 900) mm  sheet plywood-6  inertia 0.018 kg.m2
      mass 0.2 kg  centre 180 mm
      drive slotted-arm { motor slow at (300, 800) mm  crank 25 mm }
      gesture sway { sweep -14.5 deg to 14.5 deg within 4 deg } } }";

#[test]
fn a_motor_in_step_with_the_mains_starts_what_its_sheet_names() {
    // Crank 25 mm, shaft 100 mm from the bolt: the limb turns at most 25/(100 - 25) = 1/3 as
    // fast as the crank, and 0.018 kg.m2/9 = 0.002 on the shaft.
    let heavy = |inertia: &str| {
        let compiled = compile(&SWAY.replace("INERTIA", inertia));
        compiled.findings.iter().any(|f| f.code.word == "start-heavy")
    };
    assert!(heavy("inertia 0.00199 kg.m2"));
    assert!(!heavy("inertia 0.00201 kg.m2"));
    let unsaid = compile(&SWAY.replace("INERTIA", ""));
    let notes = &unsaid.loads[0].limbs[0].not_checked;
    assert!(notes.iter().any(|n| n.what.contains("0.002 kg.m2")), "{notes:?}");
}
