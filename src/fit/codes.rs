//! What can be wrong with a mechanism as such: it does not reach, does not turn,
//! pushes badly, or moves the limb otherwise than asked.

use crate::finding::{Code, Severity};

pub use super::cam_codes::*;
pub use super::cord_codes::*;
pub use super::drive_codes::*;
pub use super::forearm_codes::*;
pub use super::open_codes::*;
pub use super::servo_codes::*;
pub use super::spin_codes::*;
pub use super::strut_codes::*;

/// Wraps the clauses of one drive and one gesture into the smallest file.
macro_rules! arm {
    ($drive:literal, $gesture:literal) => {
        concat!(
            "use parts\nfigure sample {\n  board plywood-9 700 mm by 1500 mm\n  limb arm {\n",
            "    pivot (300, 900) mm  tip (700, 900) mm\n    drive ",
            $drive,
            "\n    gesture wave { ",
            $gesture,
            " }\n  }\n}\n"
        )
    };
}

/// The bars cannot be joined in any position.
pub static PARTS_DO_NOT_REACH: Code = Code {
    word: "parts-do-not-reach",
    severity: Severity::Error,
    title: "crank, rod and lever cannot be joined at all",
    explanation: "One bar is longer than all the others together, or the motor stands too far away: \
                  there is no position in which the rod reaches from the crank pin to the lever pin. \
                  Move the motor nearer, or change the bar that the message names.",
    formula: "longest >= sum of the other three: no closed quadrilateral",
    source: "triangle inequality applied to the four-bar loop; any kinematics textbook, e.g. J. J. Uicker, \
             G. R. Pennock, J. E. Shigley, Theory of Machines and Mechanisms, ch. 1",
    bad: arm!(
        "four-bar { motor wiper at (300, 600) mm  crank 30 mm  rod 100 mm  lever 90 mm at 0 deg }",
        "sweep 0 deg to 39 deg  cycle 3 s"
    ),
    good: arm!(
        "four-bar { motor wiper at (300, 600) mm  crank ? 30 to 60 mm by 10 mm  rod ?  lever ? 70 to 120 mm by 10 mm at ? }",
        "sweep 0 deg to 39 deg  cycle 3 s"
    ),
};

/// The crank cannot go right round.
pub static CRANK_BLOCKED: Code = Code {
    word: "crank-blocked",
    severity: Severity::Error,
    title: "the crank jams before it has gone round",
    explanation: "A motor that turns on and on needs a crank that goes right round. Here rod and lever \
                  come into one line first and the motor stalls, or tears something. Lengthen or shorten \
                  the rod, or take a shorter crank: the message says which angle it jams at.",
    formula: "goes round when shortest + longest < sum of the other two, and the crank (or the distance \
              motor to pivot) is the shortest",
    source: "Grashof's rule; textbook problem set and classes in R. L. Norton, Design of Machinery, ch. 2",
    bad: arm!(
        "four-bar { motor wiper at (300, 600) mm  crank 90 mm  rod 290 mm  lever 60 mm at 0 deg }",
        "sweep 0 deg to 39 deg  cycle 3 s"
    ),
    good: arm!(
        "four-bar { motor wiper at (300, 600) mm  crank 30 mm  rod 288 mm  lever 90 mm at ? }",
        "sweep 0 deg to 39 deg  cycle 3 s"
    ),
};

/// It goes round on paper only.
pub static CRANK_MAY_BLOCK: Code = Code {
    word: "crank-may-block",
    severity: Severity::Warning,
    title: "one careless hole and the crank jams",
    explanation: "The crank goes round with so little to spare that holes drilled a millimetre off can stop \
                  it. Choose sizes with more room: a shorter crank or a longer lever.",
    formula: "margin = (two middle lengths) - (shortest + longest); wanted: at least four hole errors",
    source: "worst-case sum of four hole errors of 1 mm; the error itself is common practice, no source",
    bad: arm!(
        "four-bar { motor wiper at (300, 600) mm  crank 60 mm  rod 269 mm  lever 93 mm at 0 deg }",
        "sweep 170 deg to 260 deg  cycle 3 s"
    ),
    good: arm!(
        "four-bar { motor wiper at (300, 600) mm  crank 30 mm  rod 288 mm  lever 90 mm at ? }",
        "sweep 0 deg to 39 deg  cycle 3 s"
    ),
};

/// The rod pushes almost along the lever.
pub static WEAK_PUSH: Code = Code {
    word: "weak-push",
    severity: Severity::Warning,
    title: "somewhere in the turn the rod pushes almost along the lever",
    explanation: "The push angle is the angle between rod and lever at their pin: 90 pushes squarely, 0 only \
                  stretches the lever. Below 40 the pins wear and the limb knocks; below 20 friction can lock \
                  it. A longer lever hole, a shorter crank or another rod length helps; `?` finds the best.",
    formula: "cos(push) = (rod^2 + lever^2 - distance^2) / (2 rod lever), worst where the crank lies along the \
              line from motor to pivot; folded to 0..90 deg",
    source: "transmission-angle formula, e.g. R. L. Norton, Design of Machinery, sec. 4.10; limits 45 and 40 \
             are textbook custom, 20 is common practice, no source",
    bad: arm!(
        "four-bar { motor wiper at (300, 600) mm  crank 30 mm  rod 330 mm  lever 80 mm at 0 deg }",
        "sweep 136 deg to 188 deg  cycle 3 s"
    ),
    good: arm!(
        "four-bar { motor wiper at (300, 600) mm  crank 30 mm  rod 288 mm  lever 90 mm at ? }",
        "sweep 0 deg to 39 deg  cycle 3 s"
    ),
};

/// It moves, but not as asked.
pub static SWEEP_MISSED: Code = Code {
    word: "sweep-missed",
    severity: Severity::Error,
    title: "the limb does not swing between the angles asked for",
    explanation: "The swing of a cranked limb is fixed by its holes, so the gesture must ask for the swing the \
                  linkage gives. Change a hole (a larger crank swings more, a longer lever less), turn the \
                  clamp to move both ends together, leave a size open with `?`, or ask for what it does.",
    formula: "|swing - asked| <= tolerance, and each end within the tolerance of its angle",
    source: "definition of this language: tolerance as written with `within`, else 2 deg or 5 % of the swing, \
             whichever is less",
    bad: arm!(
        "four-bar { motor wiper at (300, 600) mm  crank 30 mm  rod 288 mm  lever 90 mm at 90 deg }",
        "sweep 0 deg to 70 deg  cycle 3 s"
    ),
    good: arm!(
        "four-bar { motor wiper at (300, 600) mm  crank 30 mm  rod 288 mm  lever 90 mm at ? }",
        "sweep 0 deg to 39 deg  cycle 3 s"
    ),
};

/// The linkage can fold over into its other assembly.
pub static LINKAGE_MAY_FLIP: Code = Code {
    word: "linkage-may-flip",
    severity: Severity::Error,
    title: "all the bars come into one line, and it can go on either way",
    explanation: "Shortest plus longest equals the other two: once a turn all pins lie on one line, and from \
                  there the lever can continue on either side. Change any length by a few millimetres.",
    formula: "shortest + longest = sum of the other two (change point)",
    source: "Grashof's special case, e.g. R. L. Norton, Design of Machinery, ch. 2",
    bad: arm!(
        "four-bar { motor wiper at (300, 600) mm  crank 60 mm  rod 270 mm  lever 90 mm at 0 deg }",
        "sweep 0 deg to 39 deg  cycle 3 s"
    ),
    good: arm!(
        "four-bar { motor wiper at (300, 600) mm  crank 30 mm  rod 288 mm  lever 90 mm at ? }",
        "sweep 0 deg to 39 deg  cycle 3 s"
    ),
};

/// No answer to `?`.
pub static NOTHING_FITS: Code = Code {
    word: "nothing-fits",
    severity: Severity::Error,
    title: "no sizes within the ranges give this swing",
    explanation: "Every pair of holes was tried with every rod, exactly. The message says what stands in the \
                  way and the nearest thing that works. A very wide swing cannot be had from a crank at all: \
                  its worst push angle is never above 90 minus half the swing; take a cord, a belt or gears.",
    formula: "a fitting answer goes right round, swings within the tolerance, and pushes at 20 deg or more",
    source: "closed-form solution of the crank-rocker for a wanted swing; unit-time-ratio case after R. J. Brodell \
             and A. H. Soni, J. Mechanisms 5 (1970) 1-4",
    bad: arm!(
        "four-bar { motor wiper at (300, 600) mm  crank ? 10 to 20 mm by 10 mm  rod ?  lever ? 100 to 120 mm by 10 mm at ? }",
        "sweep 0 deg to 80 deg  cycle 3 s"
    ),
    good: arm!(
        "four-bar { motor wiper at (300, 600) mm  crank ? 30 to 60 mm by 10 mm  rod ?  lever ? 70 to 120 mm by 10 mm at ? }",
        "sweep 0 deg to 39 deg  cycle 3 s"
    ),
};

/// Two different swings from one linkage.
pub static ONE_SWING_ONLY: Code = Code {
    word: "one-swing-only",
    severity: Severity::Error,
    title: "one linkage cannot swing between two different pairs of angles",
    explanation: "A crank, rod and lever give one swing. Two gestures of the same limb may differ in speed, not \
                  in their angles. A servo can do both.",
    formula: "",
    source: "definition: the limits of a crank-rocker depend on its lengths only",
    bad: arm!(
        "four-bar { motor wiper at (300, 600) mm  crank 30 mm  rod 288 mm  lever 90 mm at ? }",
        "sweep 0 deg to 39 deg  cycle 3 s }  gesture nod { sweep 0 deg to 20 deg  cycle 3 s"
    ),
    good: arm!(
        "four-bar { motor wiper at (300, 600) mm  crank 30 mm  rod 288 mm  lever 90 mm at ? }",
        "sweep 0 deg to 39 deg  cycle 3 s }  gesture slow { sweep 0 deg to 39 deg  cycle 6 s"
    ),
};

/// A gesture that this drive cannot do.
pub static GESTURE_DOES_NOT_SUIT: Code = Code {
    word: "gesture-does-not-suit",
    severity: Severity::Error,
    title: "this drive cannot make that gesture",
    explanation: "A crank swings to and fro without end; a spin turns on and on; a servo goes to an angle and \
                  stays. Ask a cranked limb for `sweep`, a spinning one for `spin`, a servo for `turn`, `pose`, \
                  `sweep` or `follow`.",
    formula: "",
    source: "definition of this language",
    bad: arm!("spin { motor wiper at (300, 900) mm direct }", "turn to 90 deg over 1 s"),
    good: arm!("spin { motor wiper at (300, 900) mm direct }", "spin 1 turn per 3 s"),
};

/// A servo asked for more than it can turn.
pub static SERVO_OUT_OF_TRAVEL: Code = Code {
    word: "servo-out-of-travel",
    severity: Severity::Error,
    title: "the servo cannot turn that far",
    explanation: "The pulses of a servo reach a fixed range of angles. Ask for less, set the horn some teeth \
                  round, or gear the limb up with a longer servo arm and a shorter lever. Where arm and rod come \
                  into one line within the travel, the limb turns back there and goes no further.",
    formula: "limb angles of the gestures lie between the least and the largest of: the limb at the servo's two \
              end angles, and where the lever pin is rod + arm, or rod - arm, from the servo",
    source: "servo pulse convention 1000 to 2000 us; angles from the servo's own sheet",
    bad: arm!("servo { motor servo-standard at (300, 900) mm }", "turn to 200 deg over 1 s"),
    good: arm!("servo { motor servo-standard at (300, 900) mm }", "turn to 30 deg over 1 s"),
};

/// A limb on the shaft of a servo that stands elsewhere than its pivot.
pub static SERVO_OFF_PIVOT: Code = Code {
    word: "servo-off-pivot",
    severity: Severity::Error,
    title: "a limb straight on its servo's shaft has its pivot somewhere else",
    explanation: "A limb with no arm and rod turns on the servo's own shaft, so the shaft is its pivot. Put the servo \
                  on the pivot; or give it an arm, a rod and a lever: with two equal arms and a rod as long as the \
                  two places are apart the limb turns as the servo does.",
    formula: "|shaft - pivot| <= 1 mm",
    source: "a body in a plane turns about one point at a time; 1 mm is the build error taken throughout (common \
             practice, no source)",
    bad: arm!("servo { motor servo-standard at (300, 840) mm }", "turn to 30 deg over 1 s"),
    good: arm!(
        "servo { motor servo-standard at (300, 840) mm  crank 20 mm  rod 60 mm  lever 20 mm at ? }",
        "turn to 30 deg over 1 s"
    ),
};

/// A servo that is driven through a dead centre.
pub static SERVO_ROD_LOCKS: Code = Code {
    word: "servo-rod-locks",
    severity: Severity::Error,
    title: "on the way rod and lever come into one line and lock",
    explanation: "Between the angles asked for, or over the whole travel where no gesture asks, the servo's rod \
                  and the lever line up: the servo can push as hard as it likes and nothing turns. Move the lever \
                  pin so that arm and lever stand square to the rod in mid-travel.",
    formula: "the distance from arm pin to pivot stays between |rod - lever| and rod + lever over the travel used",
    source: "dead-centre condition of the four-bar, e.g. E. Soylemez, Mechanisms, ch. 7",
    bad: arm!(
        "servo { motor servo-standard at (300, 840) mm  crank 40 mm  rod 60 mm  lever 20 mm at 90 deg }",
        "turn to 80 deg over 1 s }  gesture back { turn to -80 deg over 1 s"
    ),
    good: arm!(
        "servo { motor servo-standard at (300, 840) mm  crank 20 mm  rod 60 mm  lever 20 mm at 0 deg }",
        "turn to 35 deg over 1 s"
    ),
};

/// All of them, for `explain`.
pub static CODES: &[&Code] = &[
    &PARTS_DO_NOT_REACH,
    &CRANK_BLOCKED,
    &CRANK_MAY_BLOCK,
    &WEAK_PUSH,
    &SWEEP_MISSED,
    &LINKAGE_MAY_FLIP,
    &NOTHING_FITS,
    &NOT_LOOKED_FOR,
    &PIN_OUT_OF_STEP,
    &ONE_SWING_ONLY,
    &GESTURE_DOES_NOT_SUIT,
    &SERVO_OUT_OF_TRAVEL,
    &SERVO_OFF_PIVOT,
    &SERVO_ROD_LOCKS,
    &SERVO_NEAR_LOCK,
    &SERVO_HORN_TOOTH,
    &SERVO_COARSE,
    &NO_PLACE,
    &BUILT_OTHERWISE,
    &MEASURED_UNEXPLAINED,
    &MEASURED_TWICE,
    &MEASURED_TOO_FAR,
    &STROKE_MISSED,
    &PUSHED_SIDEWAYS,
    &LEAVES_GUIDE,
    &PIN_HITS_BOLT,
    &SLOT_TOO_SHORT,
    &REST_MISSED,
    &RETURN_UNEVEN,
    &ROD_RUNS_OUT,
    &ROD_MAY_RUN_OUT,
    &CORD_LIES_DEAD,
    &CORD_SLACK,
    &CORD_DRAG,
    &CORD_BENT,
    &SPOOL_UNTURNED,
    &CORD_CREEP,
    &CAM_TURN,
    &CAM_IMPOSSIBLE,
    &CAM_NOTHING_FITS,
    &CAM_LIFT_MISSED,
    &CAM_PRESSURE,
    &CAM_UNDERCUT,
    &CAM_SHOWS,
    &CAM_HITS_BOLT,
    &DOES_NOT_REACH,
    &DEAD_CENTRE,
    &BEYOND_STROKE,
    &STOPS_BETWEEN,
    &STROKE_TOO_SHORT,
    &BODY_TOO_SHORT,
    &AIR_CRUSHES,
    &HITS_ITS_END,
    &ROD_BENT_SIDEWAYS,
    &TOO_FAST_FOR_RAM,
    &CENTRES_OFF,
    &WRAP_SMALL,
    &LENGTH_UNEVEN,
    &RATIO_UNFIT,
];
