//! What can be wrong with a rod between two limbs.

use crate::finding::{Code, Severity};

/// A fox: an upper arm on a crank, and its forearm as the drive says.
macro_rules! fox {
    ($drive:literal, $gesture:literal) => {
        concat!(
            "use parts\nfigure fox {\n  board plywood-9 700 mm by 1000 mm\n",
            "  motor elbow wiper at (420, 500) mm\n  limb upper-arm {\n",
            "    pivot (300, 700) mm  tip (120, 700) mm\n",
            "    drive four-bar { motor elbow  crank 30 mm  rod 217 mm  lever 90 mm at 17.5 deg  assembly open }\n",
            "    gesture bow { sweep 195 deg to 235 deg  cycle 3 s }\n  }\n",
            "  limb forearm on upper-arm {\n    pivot (120, 700) mm  tip (120, 500) mm\n",
            "    drive four-bar from upper-arm { anchor (250, 650) mm  ",
            $drive,
            " }\n    gesture fiddle { ",
            $gesture,
            " }\n  }\n}\n"
        )
    };
}

/// The second loop does not close all round.
pub static ROD_RUNS_OUT: Code = Code {
    word: "rod-runs-out",
    severity: Severity::Error,
    title: "for a part of the turn the rod between two limbs does not reach",
    explanation: "While the limb above moves, the two ends that rod and lever have to bridge come nearer and go \
                  farther. Where they are farther apart than rod and lever stretched, or nearer than the longer \
                  of the two can fold over the shorter, the motor stalls or something tears. The message says \
                  where, the help which rods go all the way.",
    formula: "|rod - lever| < distance from anchor to pivot < rod + lever, all round",
    source: "triangle inequality of the second loop of a six-bar made of two four-bars in a row, e.g. \
             R. L. Norton, Design of Machinery, ch. 2 and 4",
    bad: fox!("rod 180 mm  lever 40 mm at 180 deg", "sweep 240 deg to 319 deg  cycle 3 s"),
    good: fox!(
        "rod 110 mm  lever 40 mm at 180 deg  assembly crossed",
        "sweep 240.5 deg to 318.8 deg  cycle 3 s"
    ),
};

/// The second loop closes on paper only.
pub static ROD_MAY_RUN_OUT: Code = Code {
    word: "rod-may-run-out",
    severity: Severity::Warning,
    title: "one careless hole and the rod between two limbs does not reach",
    explanation: "Rod and lever come so near to lying in one line that four holes drilled a millimetre off can stop \
                  the motor there, or let the limb flip over. Take a longer lever, or a rod from the middle of \
                  those that go all the way.",
    formula: "distance of the loop from both dead centres >= four hole errors",
    source: "worst-case sum of four hole errors of 1 mm; the error itself is common practice, no source",
    bad: fox!(
        "rod 148 mm  lever 40 mm at 180 deg  assembly crossed",
        "sweep 205 deg to 276 deg within 100 deg  cycle 3 s"
    ),
    good: fox!(
        "rod 110 mm  lever 40 mm at 180 deg  assembly crossed",
        "sweep 240.5 deg to 318.8 deg  cycle 3 s"
    ),
};
