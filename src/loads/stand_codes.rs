//! What the wind can do to a whole figure.

use crate::finding::{Code, Severity};

/// A still figure in a yard of stated winds; `$anchor` is what holds it.
macro_rules! board {
    ($anchor:literal) => {
        board!(
            $anchor,
            "frame 38 mm by 38 mm { (150, 0) to (150, 960) mm  (470, 0) to (470, 960) mm }"
        )
    };
    ($anchor:literal, $frame:literal) => {
        concat!(
            "use parts\nyard green { size 10 m by 8 m  wind run 7 m/s stand 22 m/s  soil lawn }\n",
            "figure bear {\n  board plywood-9 620 mm by 1350 mm\n  ",
            $frame,
            "\n  anchor ",
            $anchor,
            "\n  limb nose { pivot (300, 900) mm  tip (340, 900) mm  sheet plywood-6 }\n}\n",
            "set bear at (5 m, 4 m) facing south\n"
        )
    };
}

/// The anchor of the good examples.
const GOOD: &str =
    board!("stakes 4 spacing 320 mm depth 800 mm diameter 30 mm  braces 2 at 900 mm out 1200 mm");

/// Tips.
pub static TIPS_OVER: Code = Code {
    word: "tips-over",
    severity: Severity::Error,
    title: "a gust tips the figure over",
    explanation: "Wind on a board as high as a child is a pull of some hundred newtons half a metre up. Stakes alone \
                  work as short posts in soft ground and bear little of it, a guy bears nothing in the direction in \
                  which it is slack. Braces with staked feet bear it in both. What this says is no substitute for \
                  your local code, and for a person with a licence where people can be hurt.",
    formula: "1.5 x 1.8 q A h <= stakes as posts + (weight + ballast) x half the base, q = 0.613 V^2; posts: d = (A/2)(1 + \
              sqrt(1 + 4.36 h/A)), A = 2.34 P/(S b)",
    source: "q: ASCE/SEI 7; 1.8: EN 1991-1-4:2005, 7.4.3; posts: International Building Code 1807.3.2.1 (from memory); 1.5: common practice",
    bad: board!(
        "stakes 2 spacing 320 mm depth 450 mm diameter 25 mm  guys 1 at 900 mm out 1200 mm"
    ),
    good: GOOD,
};

/// Twists.
pub static TWISTS: Code = Code {
    word: "twists",
    severity: Severity::Error,
    title: "a gust twists the figure about its upright axis",
    explanation: "Gusts do not press on the middle of a board. Codes reckon with a quarter of its width to one side; that \
                  twists the figure round. Two stakes, or better two braces, apart from each other take it; a single \
                  guy, brace or stake does not.",
    formula: "1.5 x 1.8 q A b/4 <= level force of a stake x spacing",
    source: "EN 1991-1-4:2005, 7.4.3 (e = 0.25 b); stakes: International Building Code 1807.3.2.1 (from memory)",
    bad: board!("stakes 1 depth 600 mm diameter 25 mm  braces 1 at 900 mm out 1200 mm"),
    good: GOOD,
};

/// A stake comes out.
pub static STAKES_PULL: Code = Code {
    word: "stakes-pull",
    severity: Severity::Error,
    title: "a gust pulls a stake out of the ground, or lifts a foot",
    explanation: "Braces and guys pass the wind on to their feet as a slanting pull. What a stake holds differs by two \
                  to three times from garden to garden, and by half between dry and wet: pull-test one with a luggage \
                  scale and a lever before you rely on it.",
    formula: "(1.8 q A h/(H n) + 1.8 q A b/(4 s)) x L/out <= 4448 N x (d/25.4 mm) x (depth/838 mm)^2 x soil/4",
    source: "InTents magazine, Anchoring in wet soil, June 2009 (about 1000 lb for a stake of 1 in by 36 in; half when \
             wet), scaled; an order of magnitude",
    bad: board!(
        "stakes 2 spacing 320 mm depth 300 mm diameter 12 mm  braces 2 at 900 mm out 1200 mm"
    ),
    good: GOOD,
};

/// A brace buckles.
pub static BRACE_BUCKLES: Code = Code {
    word: "brace-buckles",
    severity: Severity::Error,
    title: "a gust from the front buckles a brace",
    explanation: "A brace that is pushed bows out sideways long before it is crushed. Thickness helps with its fourth \
                  power, length hurts with its square: take bars as thick as the frame, or a shorter way to the ground.",
    formula: "force along the brace <= (1/2) pi^2 E I/L^2",
    source: "Euler's column, Timoshenko, Strength of Materials; one half: common practice; E of softwood: EN 338 (from memory)",
    bad: board!(
        "stakes 4 spacing 320 mm depth 800 mm diameter 30 mm  braces 2 at 900 mm out 2600 mm",
        "frame 18 mm by 18 mm { (150, 0) to (150, 960) mm  (470, 0) to (470, 960) mm }"
    ),
    good: GOOD,
};

/// The uprights break.
pub static BOARD_BENDS: Code = Code {
    word: "board-bends",
    severity: Severity::Error,
    title: "a gust breaks the frame's uprights",
    explanation: "Between the ground and the braces, and above the braces, the uprights are beams that carry the wind on \
                  the whole board. Strength grows with the square of their depth behind the board.",
    formula: "M/sum(b d^2/6) <= 16/1.5 MPa; M = 1.8 q x moment of the part above the braces, or w h^2/8 below them",
    source: "bending of beams; 16 MPa: softwood class C16, EN 338 (from memory)",
    bad: board!(
        "stakes 4 spacing 320 mm depth 800 mm diameter 30 mm  braces 2 at 300 mm out 600 mm",
        "frame 15 mm by 15 mm { (150, 0) to (150, 960) mm  (470, 0) to (470, 960) mm }"
    ),
    good: GOOD,
};

/// Slides.
pub static SLIDES: Code = Code {
    word: "slides",
    severity: Severity::Error,
    title: "a gust pushes the figure over the ground",
    explanation: "A figure that is only weighed down is held by rubbing: less than half of its weight. Wet grass and ice \
                  hold less. One stake at each foot ends the question.",
    formula: "1.5 x 1.8 q A <= rubbing x (weight + ballast); rubbing 0.4 on lawn, sand and gravel, 0.3 on clay and on a deck, \
              0.5 on paving",
    source: "Coulomb friction; wood on wet ground: common practice, no source",
    bad: board!("braces 2 at 900 mm out 1200 mm  ballast 20 kg"),
    good: GOOD,
};

/// Wall screws.
pub static WALL_SCREWS_PULL: Code = Code {
    word: "wall-screws-pull",
    severity: Severity::Error,
    title: "a gust pulls the screws out of the wall",
    explanation: "The wind pulls a board off its wall as well as pressing it on. Each screw takes its share, half as \
                  much again on the side where the gust is. Plugs in old brick hold far less than the packet says: \
                  pull-test one.",
    formula: "1.5 x 1.5 x 1.8 q A/n <= 300 N for each screw",
    source: "EN 1991-1-4:2005, 7.4.3 (1.8, e = 0.25 b); 300 N: common practice, no source",
    bad: board!("wall screws 2"),
    good: board!("wall screws 8"),
};

/// The codes of this file.
pub const CODES: &[&Code] =
    &[&TIPS_OVER, &TWISTS, &STAKES_PULL, &BRACE_BUCKLES, &BOARD_BENDS, &SLIDES, &WALL_SCREWS_PULL];
