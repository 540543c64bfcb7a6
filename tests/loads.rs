//! Loads: what limbs weigh, what motors must give, against an independent engine, dense
//! sampling and closed forms.

#[path = "loads/cams.rs"]
mod cams;
#[path = "loads/cords.rs"]
mod cords;
#[path = "loads/cycles.rs"]
mod cycles;
#[path = "loads/engine.rs"]
mod engine;
#[path = "loads/fingers.rs"]
mod fingers;
#[path = "loads/guides.rs"]
mod guides;
#[path = "loads/held.rs"]
mod held;
#[path = "loads/holds.rs"]
mod holds;
#[path = "loads/holes.rs"]
mod holes;
#[path = "loads/play.rs"]
mod play;
#[path = "loads/riders.rs"]
mod riders;
#[path = "loads/rods.rs"]
mod rods;
#[path = "loads/seats.rs"]
mod seats;
#[path = "loads/slots.rs"]
mod slots;
#[path = "loads/turning.rs"]
mod turning;
#[path = "loads/weights.rs"]
mod weights;
#[path = "loads/wet.rs"]
mod wet;
#[path = "loads/whips.rs"]
mod whips;
#[path = "loads/wires.rs"]
mod wires;

use std::path::Path;

use yardwright::check::{Compiled, Compiler};
use yardwright::loads::{LimbLoad, LoadedLimb};
use yardwright::source::MemoryDisk;

fn compile(text: &str) -> Compiled {
    let disk = MemoryDisk::new().with("/y/a.yard", format!("use parts\n{text}"));
    Compiler::new(disk).compile(Path::new("/y/a.yard")).unwrap()
}

fn limb(compiled: &Compiled, limb: usize) -> &LoadedLimb {
    &compiled.loads[0].limbs[limb]
}

fn load(compiled: &Compiled, index: usize) -> &LimbLoad {
    let loaded = limb(compiled, index);
    loaded
        .cycle
        .as_ref()
        .unwrap_or_else(|| panic!("no load: {:?} {:?}", loaded.not_checked, compiled.findings))
}

/// What was worked out is not listed as left out: a sheet silent about the cold is helped out
/// by grease that doubles the free current, and that is told as taken.
#[test]
fn a_speed_in_the_cold_that_is_told_is_no_check_left_out() {
    let yard = |cold: &str, stall: &str| {
        compile(&format!(
            "motor tiny {{ kind brushed voltage 12 V free 45 rpm 0.1 A {stall} spread 10 % {cold} }}
             figure bear {{ board plywood-9 620 mm by 1350 mm
              limb arm {{ pivot (150, 880) mm tip (-250, 1150) mm bolt M8
                weighed 0.2 kg balances 200 mm inertia 0.01 kg.m2
                drive four-bar {{ motor tiny at (310, 806) mm crank 30 mm rod ? lever 80 mm at ? }}
                gesture hit {{ sweep 121 deg to 165 deg within 2 deg cycle 2 s }} }} }}"
        ))
    };
    let told = |compiled: &Compiled| {
        let left_out = compiled.not_checked(0, 0).any(|n| n.what == "speed on a cold night");
        let taken = compiled.assumed(0, 0).any(|n| n.what.starts_with("cold grease"));
        let worst = compiled.loads[0].motors[0].brushed().and_then(|b| b.worst).is_some();
        (worst, left_out, taken)
    };
    assert_eq!(told(&yard("", "stall 3 N.m 1 A")), (true, false, true));
    assert_eq!(told(&yard("cold 20 %", "stall 3 N.m 1 A")), (true, false, false));
    // Without its stall torque nothing tells how its load slows it.
    assert_eq!(told(&yard("", "")), (false, true, false));
}
