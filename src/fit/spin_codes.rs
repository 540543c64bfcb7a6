//! What can be wrong with a belt, a chain or gears.

use crate::finding::{Code, Severity};

/// Sails behind a motor.
macro_rules! sails {
    ($drive:literal) => {
        concat!(
            "use parts\nfigure windmill {\n  board plywood-9 500 mm by 1150 mm\n",
            "  limb sails {\n    pivot (250, 900) mm  tip (570, 900) mm\n    drive spin { ",
            $drive,
            " }\n    gesture round { spin 1 turn per 4 s }\n  }\n}\n"
        )
    };
}

/// Motor and limb stand where the belt, chain or gears do not fit.
pub static CENTRES_OFF: Code = Code {
    word: "centres-off",
    severity: Severity::Error,
    title: "motor and limb are too far apart, or too near, for what leads from one to the other",
    explanation: "A belt or chain has a length and gears have a size; each wants its two shafts a certain \
                  distance apart. A slot of 1 mm to either side takes up what is left. Move the motor, or take \
                  the length that is named.",
    formula: "length = 2 C cos b + pi (R + r) + 2 b (R - r), sin b = (R - r)/C; crossed: 2 C cos b + (pi + 2 b)(R + r), \
              sin b = (R + r)/C; gears: C = module (z1 + z2)/2; with idle gears between the first and the last: \
              module (z1 + zn)/2 + 2 module <= C <= module (z1 + 2 z2 + ... + zn)/2",
    source: "R. S. Khurmi and J. K. Gupta, Theory of Machines, ch. 11; ISO 21771 for gears; the slot of 1 mm: common \
             practice, no source",
    bad: sails!("motor wiper at (250, 710) mm  belt 20 40 pitch 5 mm length 550 mm"),
    good: sails!("motor wiper at (250, 700.6) mm  belt 20 40 pitch 5 mm length 550 mm"),
};

/// The belt holds too little of its small wheel.
pub static WRAP_SMALL: Code = Code {
    word: "wrap-small",
    severity: Severity::Warning,
    title: "the belt or chain holds too little of its small wheel",
    explanation: "It should go round at least 120 degrees of the small wheel and hold six of its teeth, or it jumps \
                  over them under load. Move the shafts apart, or take a larger small wheel.",
    formula: "wrap = 180 deg - 2 asin((R - r)/C) >= 120 deg; teeth in mesh = z wrap/360 deg >= 6",
    source: "common practice of belt makers' guides, from memory",
    bad: sails!("motor wiper at (250, 710) mm  belt 10 40 pitch 5 mm"),
    good: sails!("motor wiper at (250, 700) mm  belt 20 40 pitch 5 mm"),
};

/// A length that is no whole number of teeth, or of pairs of links.
pub static LENGTH_UNEVEN: Code = Code {
    word: "length-uneven",
    severity: Severity::Error,
    title: "a belt of a broken number of teeth, or a chain of an odd number of links",
    explanation: "A toothed belt has a whole number of teeth. A chain closes with an even number of links; an odd one \
                  needs a cranked link, which is weak.",
    formula: "length/pitch a whole number; for chains an even one",
    source: "geometry; even links: common practice, no source",
    bad: sails!("motor wiper at (250, 700) mm  chain 16 32 pitch 12.7 mm length 622.3 mm"),
    good: sails!("motor wiper at (250, 738.1) mm  chain 16 32 pitch 12.7 mm length 635 mm"),
};

/// A limb that turns never, or for ever.
pub static RATIO_UNFIT: Code = Code {
    word: "ratio-unfit",
    severity: Severity::Error,
    title: "a ratio or a wheel that no belt, chain or gears have",
    explanation: "A limb that turns 0 times for a turn of its motor stands still; thousands of turns are a slip of the \
                  pen. And a wheel needs five teeth or more to hold its belt, its chain or another wheel.",
    formula: "1/1000 <= turns of the limb for one of the motor <= 1000; teeth of each wheel >= 5",
    source: "common practice, no source",
    bad: sails!("motor wiper at (250, 700) mm  ratio 0"),
    good: sails!("motor wiper at (250, 700) mm  ratio 0.5"),
};
