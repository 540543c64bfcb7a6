//! What can be wrong with a crank on its shaft.

use crate::finding::{Code, Severity};

/// An arm on a motor whose crank sits so.
macro_rules! arm {
    ($seat:literal) => {
        concat!(
            "use parts\nmotor drum {\n  kind brushed  voltage 12 V  free 45 rpm 1.2 A  stall 14 N.m 16 A  self-locking yes\n  ",
            $seat,
            "\n}\nfigure bear {\n  board plywood-9 620 mm by 1350 mm\n  limb arm {\n",
            "    pivot (150, 880) mm  tip (-250, 1150) mm  sheet plywood-6\n",
            "    drive four-bar { motor drum at (310, 806) mm limit 4 A crank 30 mm  rod ?  lever 80 mm at ? }\n",
            "    gesture hit { sweep 121 deg to 165 deg within 2 deg  cycle 2 s }\n  }\n}\n"
        )
    };
}

/// It works loose.
pub static CRANK_LOOSENS: Code = Code {
    word: "crank-loosens",
    severity: Severity::Error,
    title: "the crank works loose on its motor's shaft",
    explanation: "All that moves a limb goes through the seat of its crank: a taper, a knurl, a flat, a set screw or a pin. \
                  It must pass on twice what the limb asks; where it slips when somebody holds the limb (a hint), the \
                  motor's contact no longer tells where the limb is. A nut on a part that turns works loose, and a \
                  nylon insert alone is not meant for it (a warning): lock two against each other, or put a pin \
                  through. A set screw on a round shaft wants a flat or a dimple (a hint).",
    formula: "2 x peak of the motor's torque <= what the seat passes on; torque at the motor's limit <= the same",
    source: "FAA AC 43.13-1B, paragraph 7-64: no self-locking nut on parts subject to rotation; what a seat passes on: the \
             motor's own sheet; twice: common practice, no source",
    bad: arm!("crank-seat knurl  holds 0.2 N.m  nut nylon"),
    good: arm!("crank-seat knurl  holds 8 N.m  nut two"),
};

/// All rows.
pub const CODES: &[&Code] = &[&CRANK_LOOSENS];
