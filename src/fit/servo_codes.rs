//! What can be wrong with the last degrees of a servo: near a lock, near the end of its
//! pulses, and in how coarsely it stops.

use crate::finding::{Code, Severity};

/// An owl's head through arm, rod and lever.
macro_rules! head {
    ($rod:literal, $gesture:literal) => {
        concat!(
            "use parts\nfigure owl {\n  board plywood-9 420 mm by 820 mm\n  limb head {\n",
            "    pivot (210, 740) mm  tip (210, 890) mm\n",
            "    drive servo { motor servo-standard at (210, 680) mm  ",
            $rod,
            " }\n    gesture look { ",
            $gesture,
            " }\n  }\n}\n"
        )
    };
}

/// Its arm stops just before rod and lever are in one line.
pub static SERVO_NEAR_LOCK: Code = Code {
    word: "servo-near-lock",
    severity: Severity::Warning,
    title: "the servo's arm stops less than 10 deg before rod and lever come into one line",
    explanation: "Where rod and lever lie in one line the limb locks: a careless hole, a horn one tooth on or a \
                  gust then takes it there, and the servo strains against it until it is hot. Between the last \
                  angle that is used and that place the arm wants 10 deg of its own turn. Ask for a little less, \
                  or take a shorter arm or a longer lever. A crank that goes right round has no such place.",
    formula: "servo angle from the used travel to where the arm's pin is rod + lever or |rod - lever| from the \
              pivot >= 10 deg",
    source: "dead-centre condition of the four-bar, e.g. E. Soylemez, Mechanisms, ch. 7; 10 deg: common practice, \
             no source",
    bad: head!("crank 20 mm  rod 60 mm  lever 16 mm at 90 deg", "turn to 150 deg over 1 s"),
    good: head!("crank 20 mm  rod 60 mm  lever 20 mm at 90 deg", "turn to 125 deg over 1 s"),
};

/// There is no room to trim it.
pub static SERVO_HORN_TOOTH: Code = Code {
    word: "servo-horn-tooth",
    severity: Severity::Advice,
    title: "the servo works to within 5 deg of the end of its pulses",
    explanation: "A horn goes on a toothed shaft: with 25 teeth it lands on every 14.4 deg, and what is missing to \
                  the angle that was drawn is trimmed by the pulses. That wants some degrees beyond what the \
                  gestures use, at both ends. Turned by a tooth or two a horn that works at one end of its \
                  travel works in the middle; `zero` says where the limb then stands at the servo's own 0.",
    formula: "angles of the gestures at the servo >= 5 deg inside its pulses; a tooth is 360 deg / teeth",
    source: "5 deg and 25 teeth: common practice, no source",
    bad: head!("crank 20 mm  rod 60 mm  lever 20 mm at 90 deg", "turn to 137 deg over 1 s"),
    good: head!("crank 20 mm  rod 60 mm  lever 20 mm at 90 deg", "turn to 125 deg over 1 s"),
};

/// It stops too coarsely.
pub static SERVO_COARSE: Code = Code {
    word: "servo-coarse",
    severity: Severity::Advice,
    title: "the servo stops anywhere within its dead band, and that is much of what a gesture may miss",
    explanation: "A servo does not move for a change of its pulse that is smaller than its dead band, so it stops a \
                  little early, from either side. A long arm on a short lever makes more of it at the limb. Say a \
                  wider `within`, take a shorter arm or a longer lever, or a servo with a smaller dead band.",
    formula: "dead band x turn of the limb per turn of the servo < tolerance/2; dead band in time x degrees per time \
              of its pulses, 0.5 deg where its sheet tells none; tolerance as written with `within`, else 2 deg",
    source: "5 us at 0.1 deg/us: Hitec HS-311 announced specification; half the tolerance: common practice, no source",
    bad: head!(
        "crank 20 mm  rod 60 mm  lever 20 mm at 90 deg",
        "sweep 85 deg to 95 deg within 0.5 deg  cycle 2 s"
    ),
    good: head!(
        "crank 20 mm  rod 60 mm  lever 20 mm at 90 deg",
        "sweep 85 deg to 95 deg within 2 deg  cycle 2 s"
    ),
};
