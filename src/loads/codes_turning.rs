//! What can be wrong with limbs that spin, and with limbs that knock.

use crate::finding::{Code, Severity};

const PRACTICE: &str = "common practice, no source";

/// A windmill.
macro_rules! mill {
    ($limb:literal, $spin:literal, $more:literal) => {
        concat!(
            "use parts\nmotor slow {\n  kind brushed  voltage 12 V  free 40 rpm 0.12 A  stall 3 N.m 1.8 A\n}\n",
            "figure mill {\n  board plywood-9 600 mm by 1200 mm\n  limb sails {\n",
            "    pivot (300, 800) mm  tip (300, 1120) mm  bolt M8  sheet plywood-6\n    ",
            $limb,
            "\n    drive spin { motor slow at (300, 800) mm }\n    gesture round { ",
            $spin,
            " }\n  }\n",
            $more,
            "}\n"
        )
    };
}

/// It is heavier on one side.
pub static SPIN_UNBALANCED: Code = Code {
    word: "spin-unbalanced",
    severity: Severity::Advice,
    title: "a limb that spins is heavier on one side",
    explanation: "A wheel whose weight lies beside its bolt is lifted half of every turn and falls the other half. The motor \
                  slows and hurries with it, and what is meant to glide goes by fits. A weight on the light side \
                  takes it away: turn it by hand, motor off, until it stays wherever it is let go.",
    formula: "m g r x turns of the limb per turn of the motor <= 0.1 of the motor's stall torque",
    source: PRACTICE,
    bad: mill!(
        "weighed 0.4 kg  balances 120 mm  length 320 mm  width 60 mm",
        "spin 1 turn per 4 s",
        ""
    ),
    good: mill!(
        "weighed 0.4 kg  balances 10 mm  length 320 mm  width 60 mm",
        "spin 1 turn per 4 s",
        ""
    ),
};

/// Its tip is fast.
pub static SPIN_QUICK: Code = Code {
    word: "spin-quick",
    severity: Severity::Advice,
    title: "the tip of a limb that spins is fast for hands near it",
    explanation: "What goes round has no end where it stops, and a child's hand goes where it moves. Up to about 1 m/s a \
                  light sail pushes a hand away; faster it strikes, and an edge cuts. Let it turn slower, make its \
                  edges soft, or set it where nobody reaches it.",
    formula: "v = 2 pi r x turns a second <= 1 m/s",
    source: PRACTICE,
    bad: mill!(
        "weighed 0.4 kg  balances 10 mm  length 320 mm  width 60 mm",
        "spin 1 turn per 1.9 s",
        ""
    ),
    good: mill!(
        "weighed 0.4 kg  balances 10 mm  length 320 mm  width 60 mm",
        "spin 1 turn per 4 s",
        ""
    ),
};

/// Its wires wind up.
pub static WIRES_WIND_UP: Code = Code {
    word: "wires-wind-up",
    severity: Severity::Warning,
    title: "wires to lights or a motor on a limb that spins wind up",
    explanation: "Wires may cross the bolt of a limb that swings in a loose loop. On a limb that turns on and on they wind \
                  up round the bolt until they tear, or stop it. A slip ring leads current through a turning shaft: \
                  say `wires slip-ring` once it has one.",
    formula: "",
    source: PRACTICE,
    bad: mill!(
        "weighed 0.4 kg  balances 10 mm  length 320 mm  width 60 mm",
        "spin 1 turn per 4 s",
        "  limb bell on sails {\n    pivot (300, 1000) mm  tip (300, 1050) mm  sheet plywood-6  length 50 mm  width 30 mm\n    drive servo { motor servo-micro }\n    gesture ring { turn to 80 deg over 1 s }\n  }\n"
    ),
    good: mill!(
        "weighed 0.4 kg  balances 10 mm  length 320 mm  width 60 mm",
        "spin 1 turn per 4 s",
        ""
    ),
};

/// An arm with lights on it.
macro_rules! lit {
    ($limb:literal) => {
        concat!(
            "use parts\nfigure bear {\n  board plywood-9 620 mm by 1350 mm\n  limb arm {\n",
            "    pivot (150, 880) mm  tip (-250, 1150) mm  sheet plywood-6  ",
            $limb,
            "\n    drive four-bar { motor wiper at (310, 806) mm  limit 4 A  crank 30 mm  rod ?  lever 90 mm at ? }\n",
            "    gesture hit { sweep 121 deg to 160 deg within 3 deg  cycle 2 s }\n  }\n}\n"
        )
    };
}
/// Wires over a bolt that swings.
pub static WIRES_CROSS_PIVOT: Code = Code {
    word: "wires-cross-pivot",
    severity: Severity::Advice,
    title: "wires to lights or a motor on a limb cross the bolt it swings on",
    explanation: "A wire that is bent to and fro at one place breaks there, mostly on the third evening. Lead it over the \
                  bolt in a loose loop as wide as a hand, of fine-stranded wire, tied down on both sides; a cable \
                  drawn tight also holds the limb back. Say `wires loop` once it has one.",
    formula: "",
    source: PRACTICE,
    bad: lit!("lit"),
    good: lit!("lit  wires loop"),
};

/// Blades set at an angle.
pub static SPIN_BLOWN: Code = Code {
    word: "spin-blown",
    severity: Severity::Advice,
    title: "the wind turns the blades, and they turn their motor",
    explanation: "Blades set at an angle are a windmill in earnest: in a gust they push their motor on, or hold it back, and \
                  what is meant to keep the music's time keeps the wind's. Above a tenth of what stops the motor it \
                  is seen. Set them flat, or let it stand above that gust. How far they are turned is said with \
                  `pitched 15 deg`.",
    formula: "T = 1.3 q A r sin(pitch) x turns of the limb per turn of the motor <= 0.1 of the motor's stall torque; q = 0.613 \
              V^2, r the radius of gyration of their area",
    source: "force coefficient as for every limb; component of the force on a plate at an angle: statics; a tenth: common \
             practice, no source",
    bad: mill!(
        "weighed 0.4 kg  balances 10 mm  pitched 30 deg  outline (130, 630) (470, 630) (470, 970) (130, 970) mm",
        "spin 1 turn per 4 s",
        ""
    ),
    good: mill!(
        "weighed 0.4 kg  balances 10 mm  pitched 0 deg  length 320 mm  width 60 mm",
        "spin 1 turn per 4 s",
        ""
    ),
};

/// An arm whose weight lies over its bolt at mid-swing.
macro_rules! nod {
    ($weight:literal) => {
        concat!(
            "use parts\nfigure bear {\n  board plywood-9 620 mm by 1350 mm\n  limb head {\n",
            "    pivot (300, 900) mm  tip (300, 1200) mm  bolt M8  sheet plywood-6\n    ",
            $weight,
            "  friction 0.02 N.m  washer 60 mm\n",
            "    drive four-bar { motor wiper at (300, 600) mm  limit 4 A  crank 20 mm  rod ?  lever 60 mm at ? }\n    gesture nod { sweep 70 deg to 110 deg within 8 deg  cycle 3 s }\n  }\n}\n"
        )
    };
}

/// Its play changes sides.
pub static LIMB_KNOCKS: Code = Code {
    word: "limb-knocks",
    severity: Severity::Advice,
    title: "the load turns round and the limb knocks through its play",
    explanation: "As long as the weight pulls one way, play in the holes of rod and lever lies on one side and nobody sees \
                  it. A limb that stands on its bolt and nods over the middle is pulled now one way and now the \
                  other, and each time it falls through the play with a knock that wears the holes. A spring that \
                  pulls it one way keeps the play on one side.",
    formula: "play of `limb-rattles` > 1 deg, and the torque on the limb without friction comes \
              beyond its friction both ways",
    source: "statics of a joint with play; 1 deg: common practice, no source",
    bad: nod!("weighed 0.3 kg  balances 60 mm  inertia 0.002 kg.m2"),
    good: nod!("weighed 0.3 kg  balances 1 mm  inertia 0.0001 kg.m2"),
};

/// All rows.
pub const CODES: &[&Code] =
    &[&LIMB_KNOCKS, &SPIN_BLOWN, &SPIN_QUICK, &SPIN_UNBALANCED, &WIRES_CROSS_PIVOT, &WIRES_WIND_UP];
