//! What can be wrong with the stops of a limb.

use crate::finding::{Code, Severity};

/// A bear's arm that swings from 121 to 165 deg between its stops.
macro_rules! bear {
    ($stops:literal) => {
        concat!(
            "use parts\nfigure bear {\n  board plywood-9 620 mm by 1350 mm\n  limb arm {\n",
            "    pivot (150, 880) mm  tip (-250, 1150) mm  bolt M8  sheet plywood-6\n    ",
            $stops,
            "\n    drive four-bar { motor wiper at (310, 806) mm limit 4 A  crank 30 mm  rod 160 mm  lever 80 mm at 127 deg  assembly open }\n",
            "    gesture hit { sweep 121 deg to 165 deg within 2 deg  cycle 2 s }\n  }\n}\n"
        )
    };
}

/// It runs into one.
pub static STOPS_NEAR: Code = Code {
    word: "stops-near",
    severity: Severity::Error,
    title: "a limb runs into its own stops",
    explanation: "A stop holds a limb when something breaks or its motor runs on; it must stand beyond everything the limb \
                  does, or the motor pushes against it in every cycle. 2 deg beyond a swing, 3 mm beyond a stroke, leave \
                  room for holes a little off. Nearer is a warning, within the way an error.",
    formula: "swing: end - stop >= 2 deg; slide: end - stop >= 3 mm, at both ends",
    source: "common practice, no source",
    bad: bear!("stops 125 deg to 170 deg"),
    good: bear!("stops 118 deg to 168 deg"),
};
