//! What can be wrong with a ram or an air cylinder.

use crate::finding::{Code, Severity};

/// A gate on its post, a ram below.
macro_rules! gate {
    ($drive:literal, $gestures:literal) => {
        concat!(
            "use parts\nfigure gate {\n  board plywood-9 900 mm by 900 mm\n  limb leaf {\n",
            "    pivot (200, 500) mm  tip (700, 500) mm\n    drive ",
            $drive,
            "\n    ",
            $gestures,
            "\n  }\n}\n"
        )
    };
}

/// A hedgehog that comes up on a guide, and a show that tells it to.
macro_rules! pop {
    ($drive:literal, $show:literal) => {
        concat!(
            "use parts\nfigure hedgehog {\n  board plywood-9 500 mm by 800 mm\n  limb body {\n",
            "    slide from (250, 300) mm to (250, 420) mm\n    drive ",
            $drive,
            "\n    gesture pop { pulse up for 2 s }\n  }\n}\n",
            $show
        )
    };
}

/// The same with the hedgehog on the scales.
macro_rules! knock {
    ($throttle:literal) => {
        concat!(
            "use parts\nfigure hedgehog {\n  board plywood-9 500 mm by 800 mm\n  limb body {\n",
            "    slide from (250, 300) mm to (250, 420) mm  weighed 0.6 kg\n",
            "    drive cylinder { motor cylinder-16 at (250, 100) mm  air tank at 400 kPa  ",
            $throttle,
            " }\n    gesture pop { pulse up for 2 s }\n  }\n}\n"
        )
    };
}

/// It is too short or too long everywhere.
pub static DOES_NOT_REACH: Code = Code {
    word: "does-not-reach",
    severity: Severity::Error,
    title: "the ram or cylinder does not reach from its anchor to the limb at any length",
    explanation: "Drawn in it is still too long, or pushed out still too short, to reach the pin on the limb wherever \
                  the limb stands. Move the anchor, or take another lever hole; the message gives the distances.",
    formula: "|lever - distance| <= length <= lever + distance, distance from pivot to anchor",
    source: "triangle inequality",
    bad: gate!(
        "ram { motor ram-100 at (200, 50) mm  lever 100 mm at -49 deg }",
        "gesture open { sweep 0 deg to 60 deg }"
    ),
    good: gate!(
        "ram { motor ram-100 at (200, 230.7) mm  lever 100 mm at ? }",
        "gesture open { sweep 0 deg to 60 deg }"
    ),
};

/// It comes into one line with the lever.
pub static DEAD_CENTRE: Code = Code {
    word: "dead-centre",
    severity: Severity::Error,
    title: "the ram or cylinder comes into one line with the lever inside its stroke",
    explanation: "In one line it pulls at the bolt and does not turn the limb: it stalls there, or the limb goes over to \
                  the wrong side. Let the stroke end well before: a longer lever, or the anchor nearer or further \
                  away. On a guide the same comes where it stands square to it.",
    formula: "shortest > |lever - distance| and longest < lever + distance; on a guide shortest > distance beside it",
    source: "dead centres of the swinging-block linkage, e.g. R. L. Norton, Design of Machinery, ch. 2 and 3",
    bad: gate!(
        "ram { motor ram-100 at (200, 230.7) mm  lever 40 mm at 0 deg }",
        "gesture open { sweep 0 deg to 60 deg }"
    ),
    good: gate!(
        "ram { motor ram-100 at (200, 230.7) mm  lever 100 mm at ? }",
        "gesture open { sweep 0 deg to 60 deg }"
    ),
};

/// It does not come so far.
pub static BEYOND_STROKE: Code = Code {
    word: "beyond-stroke",
    severity: Severity::Error,
    title: "the limb is asked for an angle its ram or cylinder does not bring it to",
    explanation: "Lengths, lever and anchor fix the two ends of the swing, and a gesture or the rest lies outside. Take \
                  a shorter lever hole for more swing, turn the clamp to move both ends, or leave them open with `?`.",
    formula: "angle at the pivot between lever and anchor: cos = (lever^2 + distance^2 - length^2)/(2 lever distance)",
    source: "law of cosines; 2 deg or 5 % of the swing are let pass: definition of this language",
    bad: gate!(
        "ram { motor ram-100 at (200, 230.7) mm  lever 100 mm at -48.8 deg  assembly crossed }",
        "rest 0 deg\n    gesture open { turn to 75 deg over 12 s }"
    ),
    good: gate!(
        "ram { motor ram-100 at (200, 230.7) mm  lever 100 mm at -48.8 deg  assembly crossed }",
        "rest 0 deg\n    gesture open { turn to 60 deg over 12 s }"
    ),
};

/// It is asked to stop where nothing stops it.
pub static STOPS_BETWEEN: Code = Code {
    word: "stops-between",
    severity: Severity::Error,
    title: "the limb is asked to stop between the ends of its ram or cylinder",
    explanation: "Air takes a cylinder to one of its ends and nowhere between: an error. A ram can be switched off on \
                  the way, but without a sensor only time tells where it is, and each stop adds its own error until \
                  it runs to an end again: advice.",
    formula: "",
    source: "common practice, no source",
    bad: gate!(
        "cylinder { bore 16 mm  anchor (200, 230.7) mm  length 205 to 305 mm  lever 100 mm at -48.8 deg  assembly crossed }",
        "rest 0 deg\n    gesture half { turn to 30 deg }\n    gesture open { turn to 60 deg }"
    ),
    good: gate!(
        "cylinder { bore 16 mm  anchor (200, 230.7) mm  length 205 to 305 mm  lever 100 mm at -48.8 deg  assembly crossed }",
        "rest 0 deg\n    gesture open { turn to 60 deg }"
    ),
};

/// Its lengths are further apart than its stroke.
pub static STROKE_TOO_SHORT: Code = Code {
    word: "stroke-too-short",
    severity: Severity::Error,
    title: "shortest and longest length do not go with the stroke",
    explanation: "The length pin to pin grows by the stroke and no more; between two equal lengths there is none. Measure the ram or cylinder pin to pin, drawn \
                  in and pushed out, or take one with a longer stroke.",
    formula: "0 < longest - shortest <= stroke",
    source: "arithmetic",
    bad: gate!(
        "ram { motor ram-100 at (200, 230.7) mm  length 205 to 335 mm  lever 100 mm at ? }",
        "gesture open { sweep 0 deg to 60 deg }"
    ),
    good: gate!(
        "ram { motor ram-100 at (200, 230.7) mm  length 205 to 305 mm  lever 100 mm at ? }",
        "gesture open { sweep 0 deg to 60 deg }"
    ),
};

/// No rod would fit into it.
pub static BODY_TOO_SHORT: Code = Code {
    word: "body-too-short",
    severity: Severity::Warning,
    title: "drawn in, the ram or cylinder is shorter than its own stroke",
    explanation: "The rod must find room in the body, so drawn in, with its two eyes, it is longer than its stroke; only \
                  telescopes are not. One of the two lengths was probably measured without its clevis.",
    formula: "longest - shortest < shortest",
    source: "common practice, no source",
    bad: gate!(
        "ram { anchor (200, 350) mm  length 90 to 190 mm  lever 100 mm at ? }",
        "gesture open { sweep 0 deg to 60 deg }"
    ),
    good: gate!(
        "ram { anchor (200, 230.7) mm  length 205 to 305 mm  lever 100 mm at ? }",
        "gesture open { sweep 0 deg to 60 deg }"
    ),
};

/// It closes harder than a hand stands.
pub static AIR_CRUSHES: Code = Code {
    word: "air-crushes",
    severity: Severity::Warning,
    title: "the cylinder closes harder than a hand stands",
    explanation: "A cylinder pushes with its full force on whatever is in its way and does not stop. Less pressure or a \
                  smaller bore pushes less; else keep hands out with a guard. Below the limit it still hurts.",
    formula: "force = pressure x pi bore^2 / 4, gauge pressure, friction left out",
    source: "force: maker's tables of cylinders, e.g. ISO 6432 sizes; 140 N for a hand: from memory, not confirmed",
    bad: pop!(
        "cylinder { motor cylinder-25 at (250, 100) mm  stroke 100 mm  air tank at 400 kPa }",
        ""
    ),
    good: pop!(
        "cylinder { motor cylinder-25 at (250, 100) mm  stroke 100 mm  air tank at 250 kPa }",
        ""
    ),
};

/// It comes to its end too hard.
pub static HITS_ITS_END: Code = Code {
    word: "hits-its-end",
    severity: Severity::Warning,
    title: "the limb comes to the end of its cylinder harder than the cylinder stands",
    explanation: "At its ends a small cylinder has only thin rubber rings. A heavy limb that comes fast wears them out, \
                  and then the piston strikes the cover. Throttle the air so that it takes longer, or stop the limb \
                  outside with a rubber.",
    formula: "m v^2/2 with v = stroke/time; on a pivot inertia x (swing/time)^2/2; limit 0.1 J x (bore/16 mm)^2",
    source: "kinetic energy; 0.1 J for a bore of 16 mm: from memory of makers' tables, not confirmed; its growth with \
             the area: estimate",
    bad: knock!("throttle up 0.1 s down 0.5 s"),
    good: knock!("throttle up 0.3 s down 0.5 s"),
};

/// Its rod is bent sideways.
pub static ROD_BENT_SIDEWAYS: Code = Code {
    word: "rod-bent-sideways",
    severity: Severity::Warning,
    title: "the two clevises of the ram or cylinder do not lie in one plane",
    explanation: "A clevis lets a ram turn about its bolt and no other way. Where the bolts of both ends are not \
                  parallel the rod is bent sideways all along its way: the seal leaks, the nut of a ram wears, and \
                  small ones take next to no load from the side. Turn or shim one bracket, or take ball ends.",
    formula: "angle between the bolts of both clevises <= 2 deg",
    source: "2 deg: common practice, no source; side loads of 2 to 40 N in data sheets of micro actuators (a survey)",
    bad: gate!(
        "ram { motor ram-100 at (200, 230.7) mm  lever 100 mm at ?  clevises within 4 deg }",
        "gesture open { sweep 0 deg to 60 deg }"
    ),
    good: gate!(
        "ram { motor ram-100 at (200, 230.7) mm  lever 100 mm at ?  clevises within 1 deg }",
        "gesture open { sweep 0 deg to 60 deg }"
    ),
};

/// The ram is slower than asked.
pub static TOO_FAST_FOR_RAM: Code = Code {
    word: "too-fast-for-ram",
    severity: Severity::Error,
    title: "the ram is slower than the move it is asked for",
    explanation: "A ram has one speed, its sheet's without load; loaded it is slower. Give the move more time, a shorter \
                  way, or take a faster ram or a shorter lever.",
    formula: "time = change of length / speed, for a slow one / (1 - spread)",
    source: "arithmetic",
    bad: gate!(
        "ram { motor ram-100 at (200, 230.7) mm  lever 100 mm at ? }",
        "rest 0 deg\n    gesture open { turn to 60 deg over 5 s }"
    ),
    good: gate!(
        "ram { motor ram-100 at (200, 230.7) mm  lever 100 mm at ? }",
        "rest 0 deg\n    gesture open { turn to 60 deg over 12 s }"
    ),
};
