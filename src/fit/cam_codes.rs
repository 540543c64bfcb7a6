//! What can be wrong with a cam.

use crate::finding::{Code, Severity};

/// A frog on a guide over the drive's cam.
macro_rules! frog {
    ($drive:literal, $gesture:literal) => {
        concat!(
            "use parts\nfigure pond {\n  board plywood-9 600 mm by 900 mm\n",
            "  motor hop wiper at (300, 300) mm\n  limb frog {\n",
            "    slide from (300, 400) mm to (300, 500) mm  weighed 0.8 kg\n    drive cam { motor hop  ",
            $drive,
            " }\n    gesture jump { ",
            $gesture,
            " }\n  }\n}\n"
        )
    };
}

/// A limb on a pivot over the drive's cam.
macro_rules! nod {
    ($drive:literal, $gesture:literal) => {
        concat!(
            "use parts\nfigure pond {\n  board plywood-9 600 mm by 900 mm\n",
            "  motor hop wiper at (300, 300) mm\n  limb head {\n",
            "    pivot (180, 300) mm  tip (420, 360) mm\n    drive cam { motor hop  ",
            $drive,
            " }\n    gesture nod { ",
            $gesture,
            " }\n  }\n}\n"
        )
    };
}

/// The segments make no turn.
pub static CAM_TURN: Code = Code {
    word: "cam-turn",
    severity: Severity::Error,
    title: "rises, falls and dwells do not make one turn of the cam",
    explanation: "A cam comes back to where it began after one turn of its shaft, so rise, dwell, fall and \
                  dwell together take 360 deg, or 360 deg shared by `times` where it does them more than once.",
    formula: "times (rise + dwell + fall + dwell) = 360 deg",
    source: "definition of a plate cam; R. L. Norton, Design of Machinery, ch. 8",
    bad: frog!(
        "base 35 mm  roller 8 mm  rise 120 deg dwell 40 deg  fall 120 deg dwell 60 deg",
        "stroke 0 mm to 20 mm  cycle 4 s"
    ),
    good: frog!(
        "base 35 mm  roller 8 mm  rise 120 deg dwell 40 deg  fall 120 deg dwell 80 deg",
        "stroke 0 mm to 20 mm  cycle 4 s"
    ),
};

/// The geometry makes no cam.
pub static CAM_IMPOSSIBLE: Code = Code {
    word: "cam-impossible",
    severity: Severity::Error,
    title: "no cam of any shape can move this limb so",
    explanation: "The follower cannot lie on the base circle, or is asked to go where a cam cannot push it: \
                  a slide that passes beside the cam, a lever too short or too long to reach it, a lever \
                  lifted until it points straight away from the shaft. The message says which, with the limit.",
    formula: "sliding: offset < base + roller; swinging: |distance - lever| < base + roller < distance + lever",
    source: "triangle inequality; R. L. Norton, Design of Machinery, ch. 8",
    bad: frog!("base 35 mm  roller 8 mm  offset 50 mm", "stroke 0 mm to 20 mm  cycle 4 s"),
    good: frog!("base 35 mm  roller 8 mm  offset 5 mm", "stroke 0 mm to 20 mm  cycle 4 s"),
};

/// No open size keeps every rule.
pub static CAM_NOTHING_FITS: Code = Code {
    word: "cam-nothing-fits",
    severity: Severity::Error,
    title: "no cam within the ranges moves the limb as asked",
    explanation: "The open sizes were tried, and each cam is too steep, too sharp, too small round its shaft, \
                  or covers the limb's bolt. The message says what stands in the way of the one that comes \
                  nearest, and which single change works.",
    formula: "push at most 30 deg off square (slide) or 45 deg (pivot); pitch radius at least two rollers; \
              base at least 15 mm",
    source: "30 deg and two to three rollers: course practice; 45 deg from memory; 15 mm common practice, no source",
    bad: frog!(
        "base ? 20 to 30 mm  roller 8 mm  rise 60 deg  fall 60 deg dwell 240 deg",
        "stroke 0 mm to 40 mm  cycle 4 s"
    ),
    good: frog!(
        "base ?  roller 8 mm  rise 120 deg dwell 40 deg  fall 120 deg dwell 80 deg",
        "stroke 0 mm to 20 mm  cycle 4 s"
    ),
};

/// Another lift than the gesture asks for.
pub static CAM_LIFT_MISSED: Code = Code {
    word: "cam-lift-missed",
    severity: Severity::Error,
    title: "the cam lifts the limb by another amount than its gesture asks",
    explanation: "The lift is cut into the cam, so the gesture and `lift` must say the same; leave `lift` out \
                  and the cam is cut for the gesture.",
    formula: "|lift - stroke| <= 1 mm or 5 % of the stroke, whichever is less",
    source: "definition of this language",
    bad: frog!("base 35 mm  lift 30 mm  roller 8 mm", "stroke 0 mm to 20 mm  cycle 4 s"),
    good: frog!("base 35 mm  lift 20 mm  roller 8 mm", "stroke 0 mm to 20 mm  cycle 4 s"),
};

/// The cam pushes too much to the side.
pub static CAM_PRESSURE: Code = Code {
    word: "cam-pressure",
    severity: Severity::Warning,
    title: "the cam pushes its follower more to the side than along",
    explanation: "The steeper the cam, the more it pushes its follower sideways, until a slide jams in its guide \
                  or a lever's bolt binds. A larger base circle, a rise over more of the turn or less lift makes \
                  it flatter.",
    formula: "sliding: tan(angle) = |s' + offset| / (height of the roller over the shaft); swinging: angle between \
              the cam's normal and the way the roller moves; at most 30 deg sliding, 45 deg swinging",
    source: "pressure angle of a plate cam, R. L. Norton, Design of Machinery, ch. 8; 30 deg is textbook custom, 45 \
             from memory",
    bad: frog!(
        "base 15 mm  roller 8 mm  rise 90 deg dwell 60 deg  fall 90 deg dwell 120 deg",
        "stroke 0 mm to 20 mm  cycle 4 s"
    ),
    good: frog!(
        "base ?  roller 8 mm  rise 90 deg dwell 60 deg  fall 90 deg dwell 120 deg",
        "stroke 0 mm to 20 mm  cycle 4 s"
    ),
};

/// The curve is too sharp for its roller.
pub static CAM_UNDERCUT: Code = Code {
    word: "cam-undercut",
    severity: Severity::Error,
    title: "the curve bends too sharply for what runs on it",
    explanation: "Where the way of the roller's centre bends more sharply than the roller itself, the cutter \
                  takes away a part of the cam that is needed a moment later, and the limb does not reach its \
                  height. Take a smaller roller, a larger base circle, or a slower rise. Below twice the roller \
                  it works and wears: a warning.",
    formula: "least radius of curvature of the pitch curve > roller radius (twice that is usual); flat face: \
              base + s + s'' > 0",
    source: "undercutting, R. L. Norton, Design of Machinery, ch. 8; two to three rollers: course practice",
    bad: frog!(
        "base 14 mm  roller 26 mm  law harmonic  rise 60 deg  fall 60 deg dwell 240 deg",
        "stroke 0 mm to 30 mm  cycle 4 s"
    ),
    good: frog!(
        "base 70 mm  roller 8 mm  law harmonic  rise 120 deg  fall 120 deg dwell 120 deg",
        "stroke 0 mm to 20 mm  cycle 4 s"
    ),
};

/// The disc comes out from behind the board.
pub static CAM_SHOWS: Code = Code {
    word: "cam-shows",
    severity: Severity::Warning,
    title: "the cam comes out from behind the board",
    explanation: "The disc is larger than the board around its shaft: people see it, and fingers reach it. Move the \
                  motor inwards or take a smaller base circle.",
    formula: "the circle of the cam's farthest point about the shaft lies inside the board's outline",
    source: "geometry of this figure",
    bad: frog!("base 310 mm  roller 8 mm", "stroke 0 mm to 20 mm  cycle 4 s"),
    good: frog!("base 35 mm  roller 8 mm", "stroke 0 mm to 20 mm  cycle 4 s"),
};

/// The disc runs into the limb's bolt.
pub static CAM_HITS_BOLT: Code = Code {
    word: "cam-hits-bolt",
    severity: Severity::Error,
    title: "the cam turns into the limb's own bolt",
    explanation: "Cam and limb lie behind the board, and the bolt of the limb stands where the cam passes. Move the \
                  motor away from it or take a smaller base circle.",
    formula: "farthest point of the cam < distance shaft to pivot - 12 mm",
    source: "half a washer of 24 mm: common practice, no source",
    bad: nod!("base 110 mm  roller 8 mm  lever 140 mm at ?", "sweep 10 deg to 18 deg  cycle 4 s"),
    good: nod!("base ?  roller 8 mm  lever 100 mm at ?", "sweep 10 deg to 18 deg  cycle 4 s"),
};
