//! What can be wrong with what a limb weighs.

use crate::finding::{Code, Severity};

/// An arm of 6 mm plywood on the scales.
macro_rules! arm {
    ($weight:literal) => {
        concat!(
            "use parts\nfigure baker {\n  board plywood-9 600 mm by 1400 mm\n  limb arm {\n",
            "    pivot (300, 900) mm  tip (650, 1100) mm\n    sheet plywood-6\n",
            "    outline (280, 860) (320, 860) (670, 1080) (640, 1130) (280, 940) mm\n    ",
            $weight,
            "\n    drive four-bar { motor wiper at (200, 620) mm }\n",
            "    gesture wave { sweep 10 deg to 50 deg  cycle 2 s }\n  }\n}\n"
        )
    };
}

/// The codes of this part.
pub const CODES: &[&Code] = &[&WEIGHT_IMPLAUSIBLE];

/// Scales and drawing do not agree.
pub static WEIGHT_IMPLAUSIBLE: Code = Code {
    word: "weight-implausible",
    severity: Severity::Warning,
    title: "the weighed limb cannot be the drawn one",
    explanation: "What a limb was weighed at and what its outline and sheet come to differ by more than a factor of \
                  two. Paint, glue and wet wood explain a fifth; twice as much is a slip: grams for kilograms, an \
                  outline in inches, another sheet. Torque, wind and bolts are computed with what was weighed.",
    formula: "1/2 <= weighed / (area x mass per area + what it carries) <= 2",
    source: "common practice, no source",
    bad: arm!("weighed 3.1 kg"),
    good: arm!("weighed 0.2 kg"),
};
