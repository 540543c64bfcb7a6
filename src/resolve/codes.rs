//! The codes this stage raises, each with what `explain` says of it.

use super::codes_outline::{OUTLINE_CROSSES, OUTLINE_FLAT};
use super::contradict::WORDS_CONTRADICT;
use crate::finding::{Code, Severity};

/// An accent that is written beyond its own sweep.
pub static ACCENT_OUTSIDE_SWEEP: Code = Code {
    word: "accent-outside-sweep",
    severity: Severity::Error,
    title: "an accent beyond the ends of its sweep",
    explanation: "The accent is the angle that must be met on the beat, so it lies between the ends of the sweep; a hit is best at one of them, where the limb turns back.",
    formula: "A <= accent <= B",
    source: "the language's own rule",
    bad: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  limb arm { pivot (300, 800) mm  tip (500, 1000) mm\n    gesture wave { sweep 10 deg to 55 deg  accent at 60 deg } }\n}\n",
    good: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  limb arm { pivot (300, 800) mm  tip (500, 1000) mm\n    gesture wave { sweep 10 deg to 55 deg  accent at 55 deg } }\n}\n",
};

/// A board that stands outside the yard.
pub static FIGURE_OUTSIDE: Code = Code {
    word: "figure-outside",
    severity: Severity::Error,
    title: "a board that stands outside the yard",
    explanation: "One end of the board lies beyond the yard's edge. The board runs from where it is set up to the right of somebody who looks at its front.",
    formula: "",
    source: "the language's own rule",
    bad: "use parts\nfigure bear { board plywood-9 600 mm by 1200 mm }\nyard orchard { size 18 m by 10 m  viewers south keep 1.5 m }\nset bear at (17.8 m, 4 m) facing south\n",
    good: "use parts\nfigure bear { board plywood-9 600 mm by 1200 mm }\nyard orchard { size 18 m by 10 m  viewers south keep 1.5 m }\nset bear at (17 m, 4 m) facing south\n",
};

/// Something rides on a limb that nothing carries.
pub static RIDES_ON_NOTHING: Code = Code {
    word: "rides-on-nothing",
    severity: Severity::Error,
    title: "a motor that rides on no limb",
    explanation: "`rides` fixes a motor, or the anchor of a ram, to the limb that carries the one it moves. A limb whose \
                  pivot stands on the board has no such limb.",
    formula: "",
    source: "the language's own rule",
    bad: "use parts\nfigure heron {\n  board plywood-9 600 mm by 1200 mm\n  limb wing { pivot (300, 800) mm  tip (500, 800) mm\n    drive servo { motor servo-micro }\n    rest 0 deg }\n  limb tip-feather { pivot (500, 800) mm  tip (600, 800) mm\n    drive servo { motor servo-micro rides }\n    gesture flick { bend -20 deg to 20 deg  cycle 2 s } }\n}\n",
    good: "use parts\nfigure heron {\n  board plywood-9 600 mm by 1200 mm\n  limb wing { pivot (300, 800) mm  tip (500, 800) mm\n    drive servo { motor servo-micro }\n    rest 0 deg }\n  limb tip-feather on wing { pivot (500, 800) mm  tip (600, 800) mm\n    drive servo { motor servo-micro rides }\n    gesture flick { bend -20 deg to 20 deg  cycle 2 s } }\n}\n",
};

/// A gesture that says nothing to do.
pub static GESTURE_EMPTY: Code = Code {
    word: "gesture-empty",
    severity: Severity::Error,
    title: "a gesture that says nothing to do",
    explanation: "A gesture says one thing: sweep, bend, stroke, turn, pose, follow, spin, pulse, on or off.",
    formula: "",
    source: "the language's own rule",
    bad: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  limb arm { pivot (300, 800) mm  tip (500, 1000) mm\n    gesture wave { cycle 2 s } }\n}\n",
    good: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  limb arm { pivot (300, 800) mm  tip (500, 1000) mm\n    gesture wave { sweep 10 deg to 55 deg  cycle 2 s } }\n}\n",
};

/// A size that is not a hole of its row.
pub static HOLE_OFF_ROW: Code = Code {
    word: "hole-off-row",
    severity: Severity::Error,
    title: "a size that is not a hole of its row",
    explanation: "`40 mm of 30 to 60 mm by 10 mm` says which hole of a row is taken. This size is not one of them.",
    formula: "size = first + n step",
    source: "the language's own rule",
    bad: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  limb arm { pivot (300, 800) mm  tip (500, 1000) mm\n    drive four-bar { motor wiper at (300, 500) mm  crank 45 mm of 30 to 60 mm by 10 mm } }\n}\n",
    good: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  limb arm { pivot (300, 800) mm  tip (500, 1000) mm\n    drive four-bar { motor wiper at (300, 500) mm  crank 40 mm of 30 to 60 mm by 10 mm } }\n}\n",
};

/// A drive that does not suit the joint.
pub static JOINT_UNFIT: Code = Code {
    word: "joint-unfit",
    severity: Severity::Error,
    title: "a drive that does not suit the joint",
    explanation: "A four-bar, a slotted arm, a servo, a cord and a spin turn a limb; a slider-crank and a Scotch yoke slide one.",
    formula: "",
    source: "the language's own rule",
    bad: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  limb arm { pivot (300, 800) mm  tip (500, 1000) mm\n    drive slider-crank { motor wiper at (300, 500) mm } }\n}\n",
    good: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  limb arm { pivot (300, 800) mm  tip (500, 1000) mm\n    drive four-bar { motor wiper at (300, 500) mm } }\n}\n",
};

/// A stock bar that does not give a size.
pub static STOCK_UNFIT: Code = Code {
    word: "stock-unfit",
    severity: Severity::Error,
    title: "a stock bar that does not give this size",
    explanation: "`rod ? 60 to 120 mm of perforated-25` takes the rod from a bar with a row of holes: from pin to pin it is a whole number of the bar's steps, up to the bar's outermost holes. This bar has no row of holes, or none of its sizes is in the range, or the size is not one that a bar gives.",
    formula: "size = n step, at most length - 2 x (end to first hole)",
    source: "geometry",
    bad: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  limb arm { pivot (300, 800) mm  tip (500, 1000) mm\n    drive four-bar { motor wiper at (300, 500) mm  rod ? 310 to 320 mm of perforated-25 } }\n}\n",
    good: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  limb arm { pivot (300, 800) mm  tip (500, 1000) mm\n    drive four-bar { motor wiper at (300, 500) mm  rod ? 300 to 325 mm of perforated-25 } }\n}\n",
};

/// Copies that are like each other in a circle.
pub static LIKE_CIRCLE: Code = Code {
    word: "like-circle",
    severity: Severity::Error,
    title: "copies that are like each other in a circle",
    explanation: "A copy leads, straight or over other copies, to a figure that is described. Here it never does.",
    formula: "",
    source: "the language's own rule",
    bad: "use parts\nfigure bear { board plywood-9 600 mm by 1200 mm }\nset cub like pup\nset pup like cub\n",
    good: "use parts\nfigure bear { board plywood-9 600 mm by 1200 mm }\nset cub like bear\nset pup like cub\n",
};

/// Limbs that rest on each other in a circle.
pub static LIMB_CIRCLE: Code = Code {
    word: "limb-circle",
    severity: Severity::Error,
    title: "limbs that rest on each other in a circle",
    explanation: "A limb may ride on another, be pushed by another, or mirror another, but in the end one of them stands on the board and has a motor.",
    formula: "",
    source: "the language's own rule",
    bad: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  limb upper on lower { pivot (300, 800) mm  tip (500, 1000) mm }\n  limb lower on upper { pivot (500, 1000) mm  tip (500, 1200) mm }\n}\n",
    good: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  limb upper { pivot (300, 800) mm  tip (500, 1000) mm }\n  limb lower on upper { pivot (500, 1000) mm  tip (500, 1200) mm }\n}\n",
};

/// A limb left out that another one needs.
pub static LIMB_NEEDED: Code = Code {
    word: "limb-needed",
    severity: Severity::Error,
    title: "a limb left out that another one needs",
    explanation: "A copy cannot leave out a limb that carries or pushes one it keeps. Leave both out.",
    formula: "",
    source: "the language's own rule",
    bad: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  limb upper { pivot (300, 800) mm  tip (500, 1000) mm }\n  limb lower on upper { pivot (500, 1000) mm  tip (500, 1200) mm }\n}\nset cub like bear { without upper }\n",
    good: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  limb upper { pivot (300, 800) mm  tip (500, 1000) mm }\n  limb lower on upper { pivot (500, 1000) mm  tip (500, 1200) mm }\n}\nset cub like bear { without upper lower }\n",
};

/// A limb without a pivot or slide.
pub static LIMB_WITHOUT_PIVOT: Code = Code {
    word: "limb-without-pivot",
    severity: Severity::Error,
    title: "a limb without a pivot or slide",
    explanation: "A limb turns about a bolt or slides along a guide. Without either there is nothing to compute. `pivot ? on frame` asks for a place.",
    formula: "",
    source: "the language's own rule",
    bad: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  limb arm { tip (500, 1000) mm }\n}\n",
    good: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  limb arm { pivot (300, 800) mm  tip (500, 1000) mm }\n}\n",
};

/// A mirrored limb without its line.
pub static MIRROR_WITHOUT_LINE: Code = Code {
    word: "mirror-without-line",
    severity: Severity::Error,
    title: "a mirrored limb without its line",
    explanation: "A limb is mirrored about an upright line of the board; `about x 310 mm` says where it stands.",
    formula: "x' = 2 line - x",
    source: "the language's own rule",
    bad: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  limb arm { pivot (300, 800) mm  tip (500, 1000) mm }\n  limb other mirrors arm\n}\n",
    good: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  limb arm { pivot (300, 800) mm  tip (500, 1000) mm }\n  limb other mirrors arm about x 300 mm\n}\n",
};

/// A motor that cannot push this drive.
pub static MOTOR_UNFIT: Code = Code {
    word: "motor-unfit",
    severity: Severity::Error,
    title: "a motor that cannot push this drive",
    explanation: "A crank needs a motor that turns on, a servo drive a hobby servo, a ram a ram. The kinds that fit are named.",
    formula: "",
    source: "the language's own rule",
    bad: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  limb arm { pivot (300, 800) mm  tip (500, 1000) mm\n    drive servo { motor wiper } }\n}\n",
    good: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  limb arm { pivot (300, 800) mm  tip (500, 1000) mm\n    drive servo { motor servo-standard } }\n}\n",
};

/// A motor that does not say what it is.
pub static MOTOR_WITHOUT_KIND: Code = Code {
    word: "motor-without-kind",
    severity: Severity::Error,
    title: "a motor that does not say what it is",
    explanation: "What a motor's figures mean depends on its kind: the line of a brushed motor is straight, a synchronous one keeps its speed, a servo takes angles. One that is `like` a built-in motor, in a file with `use parts`, is of that one's kind.",
    formula: "",
    source: "the language's own rule",
    bad: "motor junk { voltage 12 V }\n",
    good: "motor junk { kind brushed  voltage 12 V }\n",
};

/// One name for two things.
pub static NAME_TWICE: Code = Code {
    word: "name-twice",
    severity: Severity::Error,
    title: "one name for two things",
    explanation: "Two things of one kind have the same name, so nobody can tell which is meant. Rename one of them.",
    formula: "",
    source: "the language's own rule",
    bad: "use parts\nfigure bear { board plywood-9 600 mm by 1200 mm }\nfigure bear { board plywood-6 600 mm by 1200 mm }\n",
    good: "use parts\nfigure bear { board plywood-9 600 mm by 1200 mm }\nfigure cub { board plywood-6 600 mm by 1200 mm }\n",
};

/// A dot in a name that is declared.
pub static NAME_WITH_DOT: Code = Code {
    word: "name-with-dot",
    severity: Severity::Error,
    title: "a dot in a name that is declared",
    explanation: "The dot stands between a figure and its limb: `bear.left-arm`. A name that is declared has none.",
    formula: "",
    source: "the language's own rule",
    bad: "use parts\nfigure bear.cub { board plywood-9 600 mm by 1200 mm }\n",
    good: "use parts\nfigure bear-cub { board plywood-9 600 mm by 1200 mm }\n",
};

/// A board nearer to the people than is kept free.
pub static NEAR_VIEWERS: Code = Code {
    word: "near-viewers",
    severity: Severity::Error,
    title: "a board nearer to the people than is kept free",
    explanation: "`viewers SIDE keep DISTANCE` keeps a strip free of anything that could reach or fall on somebody. This board stands in it. What falls or reaches over the line is another check.",
    formula: "distance to the viewers' edge >= keep",
    source: "the language's own rule",
    bad: "use parts\nfigure bear { board plywood-9 600 mm by 1200 mm }\nyard orchard { size 18 m by 10 m  viewers south keep 1.5 m }\nset bear at (5 m, 1 m) facing south\n",
    good: "use parts\nfigure bear { board plywood-9 600 mm by 1200 mm }\nyard orchard { size 18 m by 10 m  viewers south keep 1.5 m }\nset bear at (5 m, 4 m) facing south\n",
};

/// A mechanism this version does not know.
pub static NOT_BUILT_YET: Code = Code {
    word: "not-built-yet",
    severity: Severity::Error,
    title: "a mechanism this version does not know",
    explanation: "A hinge that swings out of the board's plane and a turntable are not computed, and taking them for a pivot would give wrong numbers. They are refused by name.",
    formula: "",
    source: "the language's own rule",
    bad: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  limb arm { pivot (300, 800) mm  tip (500, 1000) mm\n    drive turntable }\n}\n",
    good: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  limb arm { pivot (300, 800) mm  tip (500, 1000) mm\n    drive spin { motor spur-gear-motor } }\n}\n",
};

/// A peg outside the yard.
pub static PEG_OUTSIDE: Code = Code {
    word: "peg-outside",
    severity: Severity::Error,
    title: "a peg outside the yard",
    explanation: "Pegs are what the tape is laid from; they stand on the edge of the yard or inside it. x counts east and y north from its south-west corner.",
    formula: "0 <= x <= width, 0 <= y <= depth",
    source: "the language's own rule",
    bad: "yard orchard { size 18 m by 10 m  viewers south keep 1.5 m  peg gate at (18.5 m, 0 m) }\n",
    good: "yard orchard { size 18 m by 10 m  viewers south keep 1.5 m  peg gate at (18 m, 0 m) }\n",
};

/// One thing set up in two places.
pub static PLACED_TWICE: Code = Code {
    word: "placed-twice",
    severity: Severity::Error,
    title: "one thing set up in two places",
    explanation: "A name stands for one figure in one place: its schedule, its label and its cues go by it. A second one is a copy with a name of its own.",
    formula: "",
    source: "the language's own rule",
    bad: "use parts\nfigure bear { board plywood-9 600 mm by 1200 mm }\nset bear at (5 m, 4 m)\nset bear at (7 m, 4 m)\n",
    good: "use parts\nfigure bear { board plywood-9 600 mm by 1200 mm }\nset bear at (5 m, 4 m)\nset bear-2 like bear at (7 m, 4 m)\n",
};

/// A scale that makes no figure.
pub static SCALE_OUT_OF_RANGE: Code = Code {
    word: "scale-out-of-range",
    severity: Severity::Error,
    title: "a scale that makes no figure",
    explanation: "A copy is between a twentieth and twenty times the size of its pattern. The scale touches outlines, frame, pivots and places on the board; not bolts, motors or hole pitch.",
    formula: "5 % <= scale <= 2000 %",
    source: "common practice, no source",
    bad: "use parts\nfigure bear { board plywood-9 600 mm by 1200 mm }\nset cub like bear scale 1 %\n",
    good: "use parts\nfigure bear { board plywood-9 600 mm by 1200 mm }\nset cub like bear scale 60 %\n",
};

/// Supplies that feed each other in a circle.
pub static SUPPLY_CIRCLE: Code = Code {
    word: "supply-circle",
    severity: Severity::Error,
    title: "supplies that feed each other in a circle",
    explanation: "A supply stands at a place or is fed from another one; in the end one stands somewhere.",
    formula: "",
    source: "the language's own rule",
    bad: "supply shed at bec { voltage 12 V }\nsupply bec at shed { voltage 6 V }\n",
    good: "supply shed at (1 m, 1 m) { voltage 12 V }\nsupply bec at shed { voltage 6 V }\n",
};

/// A sweep without extent.
pub static SWEEP_EMPTY: Code = Code {
    word: "sweep-empty",
    severity: Severity::Error,
    title: "a sweep without extent",
    explanation: "Both ends of the sweep are one angle, so nothing moves. A limb that keeps still has a `pose`.",
    formula: "",
    source: "the language's own rule",
    bad: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  limb arm { pivot (300, 800) mm  tip (500, 1000) mm\n    gesture wave { sweep 10 deg to 10 deg } }\n}\n",
    good: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  limb arm { pivot (300, 800) mm  tip (500, 1000) mm\n    gesture wave { sweep 10 deg to 55 deg } }\n}\n",
};

/// A sweep of a turn or more.
pub static SWEEP_TOO_WIDE: Code = Code {
    word: "sweep-too-wide",
    severity: Severity::Error,
    title: "a sweep of a turn or more",
    explanation: "A sweep goes to and fro over less than a turn and never wraps. A limb that turns on and on has `spin`.",
    formula: "B - A < 360 deg",
    source: "the language's own rule",
    bad: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  limb arm { pivot (300, 800) mm  tip (500, 1000) mm\n    gesture wave { sweep 10 deg to 380 deg } }\n}\n",
    good: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  limb arm { pivot (300, 800) mm  tip (500, 1000) mm\n    gesture wave { sweep 10 deg to 55 deg } }\n}\n",
};

/// One terminal for two wires.
pub static TERMINAL_TWICE: Code = Code {
    word: "terminal-twice",
    severity: Severity::Error,
    title: "one terminal for two wires",
    explanation: "A controller's terminal drives or reads one thing. Give the second one another number.",
    formula: "",
    source: "the language's own rule",
    bad: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  limb arm { pivot (300, 800) mm  tip (500, 1000) mm }\n}\ncontroller post { out 1 bear.arm pwm\n  out 1 bear.arm pwm }\n",
    good: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  limb arm { pivot (300, 800) mm  tip (500, 1000) mm }\n}\ncontroller post { out 1 bear.arm pwm\n  in 1 bear.arm park }\n",
};

/// A tip on the pivot.
pub static TIP_ON_PIVOT: Code = Code {
    word: "tip-on-pivot",
    severity: Severity::Error,
    title: "a tip on the pivot",
    explanation: "The limb's angle is the direction from its pivot to its tip. Where both are one point there is no direction.",
    formula: "angle = direction pivot -> tip",
    source: "the language's own rule",
    bad: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  limb arm { pivot (300, 800) mm  tip (300, 800) mm }\n}\n",
    good: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  limb arm { pivot (300, 800) mm  tip (500, 1000) mm }\n}\n",
};

/// A limb with a pivot and a slide.
pub static TWO_JOINTS: Code = Code {
    word: "two-joints",
    severity: Severity::Error,
    title: "a limb with a pivot and a slide",
    explanation: "A limb either turns about a bolt or slides along a guide; both at once is not a limb this program knows. Keep one of them.",
    formula: "",
    source: "the language's own rule",
    bad: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  limb arm { pivot (300, 800) mm  tip (500, 1000) mm\n    slide from (300, 60) mm to (300, 410) mm }\n}\n",
    good: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  limb arm { pivot (300, 800) mm  tip (500, 1000) mm }\n}\n",
};

/// Two yards in one project.
pub static TWO_YARDS: Code = Code {
    word: "two-yards",
    severity: Severity::Error,
    title: "two yards in one project",
    explanation: "One project is one yard with one edge for the people.",
    formula: "",
    source: "the language's own rule",
    bad: "yard orchard { size 18 m by 10 m  viewers south keep 1.5 m }\nyard meadow { size 8 m by 8 m }\n",
    good: "yard orchard { size 18 m by 10 m  viewers south keep 1.5 m }\n",
};

/// A name that nothing has.
pub static UNKNOWN_NAME: Code = Code {
    word: "unknown-name",
    severity: Severity::Error,
    title: "a name that nothing has",
    explanation: "Something is asked for by a name, and nothing of that kind is called so. Mostly it is a slip of the finger; the nearest name is offered. A part of the built-in library needs `use parts` at the top of the file.",
    formula: "",
    source: "the language's own rule",
    bad: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  limb arm { pivot (300, 800) mm  tip (500, 1000) mm  bushing nyln }\n}\n",
    good: "use parts\nfigure bear {\n  board plywood-9 600 mm by 1200 mm\n  limb arm { pivot (300, 800) mm  tip (500, 1000) mm  bushing nylon }\n}\n",
};

/// Files that use each other in a circle.
pub static USE_CIRCLE: Code = Code {
    word: "use-circle",
    severity: Severity::Error,
    title: "files that use each other in a circle",
    explanation: "A file that is used must not lead back to the one that uses it. Move what both need into a third file.",
    formula: "",
    source: "the language's own rule",
    bad: "use \"main.yard\"\n",
    good: "use parts\n",
};

/// A used file that cannot be read.
pub static USE_UNREADABLE: Code = Code {
    word: "use-unreadable",
    severity: Severity::Error,
    title: "a used file that cannot be read",
    explanation: "The path is written relative to the file it stands in, and leads to a text inside the project folder.",
    formula: "",
    source: "the language's own rule",
    bad: "use \"figures/none.yard\"\n",
    good: "use parts\n",
};

/// All of them, sorted by word.
pub static CODES: &[&Code] = &[
    &ACCENT_OUTSIDE_SWEEP,
    &FIGURE_OUTSIDE,
    &GESTURE_EMPTY,
    &HOLE_OFF_ROW,
    &JOINT_UNFIT,
    &LIKE_CIRCLE,
    &LIMB_CIRCLE,
    &LIMB_NEEDED,
    &LIMB_WITHOUT_PIVOT,
    &MIRROR_WITHOUT_LINE,
    &MOTOR_UNFIT,
    &MOTOR_WITHOUT_KIND,
    &NAME_TWICE,
    &NAME_WITH_DOT,
    &NEAR_VIEWERS,
    &NOT_BUILT_YET,
    &OUTLINE_CROSSES,
    &OUTLINE_FLAT,
    &PEG_OUTSIDE,
    &PLACED_TWICE,
    &RIDES_ON_NOTHING,
    &SCALE_OUT_OF_RANGE,
    &STOCK_UNFIT,
    &SUPPLY_CIRCLE,
    &SWEEP_EMPTY,
    &SWEEP_TOO_WIDE,
    &TERMINAL_TWICE,
    &TIP_ON_PIVOT,
    &TWO_JOINTS,
    &TWO_YARDS,
    &UNKNOWN_NAME,
    &USE_CIRCLE,
    &USE_UNREADABLE,
    &WORDS_CONTRADICT,
];
