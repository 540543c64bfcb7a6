//! Where a hand may be caught.

use crate::finding::{Code, Severity};

/// A gap that a finger fits in closes.
pub static FINGER_GAP: Code = Code {
    word: "finger-gap",
    severity: Severity::Advice,
    title: "a gap that a finger or a hand fits into closes",
    explanation: "Two limbs, or a limb and the frame, move towards each other and the gap between them gets smaller than \
                  a finger needs. Keep 25 mm between edges that move towards each other (100 mm for a hand), keep people \
                  an arm's reach away, or limit the motor's current so that a jam stays a nudge. It is not told where \
                  the limb pushes with 140 N or less, held there 100 mm from its bolt, or where all of the figure \
                  is 850 mm and more behind the line that people are kept to. A crank's push grows towards \
                  the ends of the way.",
    formula: "least gap < 25 mm somewhere, more elsewhere on the way; or < 100 mm and more; push = torque when held/100 mm, \
              of a crank / sqrt(1 - u^2), u from the middle of the way as a share of half of it; let pass <= 140 N, \
              or people >= 850 mm away",
    source: "least gaps for a finger, 25 mm, and a hand, 100 mm: EN 349 (ISO 13854); reach of an arm over a fence: ISO 13857; \
             140 N: ISO/TS 15066, table A.2 (from memory); growth of the push: a crank with a long rod",
    bad: "use parts\nmotor brute { kind servo  voltage 24 V  slew 0.3 s per 60 deg  stall 20 N.m 8 A  pulse 1000 us at -50 deg  2000 us at 50 deg }\nfigure pair {\n  board plywood-9 900 mm by 1200 mm\n  \
          limb a { pivot (200, 600) mm  tip (430, 600) mm  length 230 mm  width 40 mm  drive servo { motor brute at (200, 600) mm }\n    \
          gesture look { sweep 0 deg to 40 deg  cycle 2 s } }\n  \
          limb b { pivot (680, 600) mm  tip (445, 600) mm  length 235 mm  width 40 mm  drive servo { motor servo-standard at (680, 600) mm }\n    \
          gesture look { sweep 140 deg to 180 deg  cycle 2 s } }\n}\n",
    good: "use parts\nfigure pair {\n  board plywood-9 900 mm by 1200 mm\n  \
           limb a { pivot (100, 600) mm  tip (330, 600) mm  length 230 mm  width 40 mm  drive servo { motor servo-standard at (100, 600) mm }\n    \
           gesture look { sweep 0 deg to 40 deg  cycle 2 s } }\n  \
           limb b { pivot (780, 600) mm  tip (545, 600) mm  length 235 mm  width 40 mm  drive servo { motor servo-standard at (780, 600) mm }\n    \
           gesture look { sweep 140 deg to 180 deg  cycle 2 s } }\n}\n",
};

/// A bear's arm before the board; its lever, rod and crank behind it.
macro_rules! bear {
    ($yard:literal, $limb:literal, $motor:literal) => {
        concat!(
            "use parts\n",
            $yard,
            "figure bear {\n  board plywood-9 620 mm by 1350 mm\n",
            "  frame 38 mm by 38 mm { (150, 0) to (150, 960) mm  (20, 880) to (600, 880) mm }\n",
            "  motor drum wiper at (310, 806) mm  ",
            $motor,
            "\n  limb arm {\n    pivot (150, 880) mm  tip (-250, 1150) mm  sheet plywood-6  width 90 mm  tail 40 mm  ",
            $limb,
            "\n    drive four-bar { motor drum  crank 30 mm  rod ?  lever 80 mm at ?  standoff 10 mm }\n",
            "    gesture hit { sweep 121 deg to 165 deg within 2 deg  cycle 2 s }\n  }\n}\n",
            "set bear at (5 m, 4 m) facing south\n"
        )
    };
}

/// A bar passes an edge.
pub static FINGER_SHEAR: Code = Code {
    word: "finger-shear",
    severity: Severity::Advice,
    title: "a lever, rod or crank passes the frame like a blade",
    explanation: "A bar that runs right behind a member of the frame, or another bar, crosses its edge again and again with                   less between them than a finger is thick: the two cut like shears. Close the back of the board, keep                   people an arm's reach away, or limit the motor's current so that a jam stays a nudge. It is not                   told where the bar pushes with 140 N or less when it is held in the middle of its way, or where all of                   the figure is 850 mm and more behind the line people are kept to.",
    formula: "gap in depth < 6 mm, the bar over a member somewhere on its way; let pass: torque when held/crank <= 140 N, or               people >= 850 mm away",
    source: "6 mm, less than a finger goes into: common practice, no source; 850 mm: ISO 13857; 140 N: ISO/TS 15066, table A.2              (from memory)",
    bad: bear!("yard green { size 18 m by 10 m }\n", "bolt M8", ""),
    good: bear!("yard green { size 18 m by 10 m  viewers south keep 2 m }\n", "bolt M8", ""),
};

/// A face runs along another.
pub static FINGER_DRAWN_IN: Code = Code {
    word: "finger-drawn-in",
    severity: Severity::Advice,
    title: "a finger goes between two faces that run along each other",
    explanation: "Between a limb and the board before which it moves, or between two bars, there is as much room as a finger                   is thick: it goes in, is rolled along, and stays where the room is least. Let them run closer than 6                   mm or further than 25 mm apart, keep people an arm's reach away, or limit the motor's current so                   that a jam stays a nudge.",
    formula: "6 mm <= gap in depth < 25 mm, one over the other somewhere on their ways; let pass: push when held <= 140 N, or               people >= 850 mm away",
    source: "a finger, 25 mm: EN 349 (ISO 13854); 6 mm: common practice, no source; 850 mm: ISO 13857; 140 N: ISO/TS 15066,              table A.2 (from memory)",
    bad: bear!("yard green { size 18 m by 10 m }\n", "bolt M8  gap 12 mm", ""),
    good: bear!("yard green { size 18 m by 10 m }\n", "bolt M8  gap 30 mm", ""),
};

/// All rows.
pub const CODES: &[&Code] = &[&FINGER_GAP, &FINGER_SHEAR, &FINGER_DRAWN_IN];
