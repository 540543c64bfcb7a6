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
pub const CODES: &[&Code] = &[&BALANCE_IMPOSSIBLE, &WEIGHT_IMPLAUSIBLE];

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

/// No body balances or swings so.
pub static BALANCE_IMPOSSIBLE: Code = Code {
    word: "balance-impossible",
    severity: Severity::Error,
    title: "no limb balances there, or swings so quickly",
    explanation: "A limb balances somewhere on itself. It swings no quicker than a weight on a thread as long as from \
                  the bolt to that place: spread out it is slower. What is said is beyond that by more than a \
                  twentieth, so one of the measurements is a slip: single swings counted for to and fro, a tape \
                  that began at the edge, an inertia about the limb's own middle.",
    formula: "balances <= farthest corner; ten swings >= 20 pi sqrt(balance/g); inertia >= mass x balance^2",
    source: "physical pendulum and parallel axes: Halliday and Resnick, Fundamentals of Physics",
    bad: arm!("weighed 0.2 kg  balances 200 mm  ten-swings 4.3 s"),
    good: arm!("weighed 0.2 kg  balances 200 mm  ten-swings 10.4 s"),
};
