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
