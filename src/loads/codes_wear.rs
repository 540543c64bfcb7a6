//! What can be wrong with a bushing.

use crate::finding::{Code, Severity};

/// An arm with a heavy hand in a bushing of its board's thickness, or a longer one.
macro_rules! arm {
    ($bushing:literal, $hand:literal) => {
        concat!(
            "use parts\nfigure bear {\n  board plywood-9 620 mm by 1350 mm\n  limb arm {\n",
            "    pivot (150, 880) mm  tip (-250, 1150) mm  sheet plywood-6  bolt M8  ",
            $bushing,
            "\n    carry hand ",
            $hand,
            " at (150, 880) mm\n    drive four-bar { motor wiper at (310, 806) mm limit 4 A crank 30 mm  rod ?  lever 80 mm at ? }\n",
            "    gesture hit { sweep 121 deg to 165 deg within 2 deg  cycle 2 s }\n  }\n}\n"
        )
    };
}

/// It rubs away.
pub static BUSHING_WEARS: Code = Code {
    word: "bushing-wears",
    severity: Severity::Warning,
    title: "the limb rubs harder in its bushing than the bushing stands",
    explanation: "A plastic bushing bears so much pressure, and so much pressure times rubbing speed, before it creeps or \
                  wears away. The largest load on the bolt over the cycle is spread over its diameter and the length \
                  of the bushing; bending of the limb out of its plane, which presses on the bushing's edges, is not \
                  in it.",
    formula: "p = F/(d L), v = d x swing x cycles a second; p <= pressure, p v <= pv of the bushing",
    source: "plain bearing sheets: pressure and PV limits, as the part's own data names them",
    bad: arm!("bushing nylon length 9 mm", "60 kg"),
    good: arm!("bushing nylon length 47 mm", "0.1 kg"),
};

/// All rows.
pub const CODES: &[&Code] = &[&BUSHING_WEARS];
