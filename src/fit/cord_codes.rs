//! What can be wrong with a cord.

use crate::finding::{Code, Severity};

/// An owl's lid on a servo's horn.
macro_rules! lid {
    ($return:literal, $gesture:literal) => {
        concat!(
            "use parts\nfigure owl {\n  board plywood-9 400 mm by 900 mm\n",
            "  motor lids servo-micro at (200, 735) mm\n  limb lid {\n",
            "    pivot (200, 780) mm  tip (240, 780) mm\n",
            "    weighed 0.02 kg  balances 25 mm  friction 0.002 N.m  inertia 0.00002 kg.m2\n",
            "    drive cord { motor lids  horn ?  lever 15 mm at ?  guides (190, 760) mm  ",
            $return,
            " }\n    gesture blink { ",
            $gesture,
            " }\n  }\n}\n"
        )
    };
}

/// A wing on a crank's cord.
macro_rules! wing {
    ($drive:literal, $gesture:literal) => {
        concat!(
            "use parts\nfigure hen {\n  board plywood-9 600 mm by 900 mm\n",
            "  motor flap wiper at (300, 300) mm\n  limb wing {\n",
            "    pivot (300, 600) mm  tip (560, 600) mm\n",
            "    weighed 0.2 kg  balances 130 mm  friction 0.02 N.m  inertia 0.005 kg.m2\n",
            "    drive cord { motor flap  ",
            $drive,
            "  return gravity }\n    gesture wave { ",
            $gesture,
            " }\n  }\n}\n"
        )
    };
}

/// The cord comes to lie in line with its lever.
pub static CORD_LIES_DEAD: Code = Code {
    word: "cord-lies-dead",
    severity: Severity::Error,
    title: "the lever comes into line with the cord",
    explanation: "A cord turns a lever only while it pulls across it. Drawn in too far, the lever points at the \
                  eye and the motor pulls against something solid; let out too far, it points away and the cord \
                  hangs loose. Take a cord of another length, a shorter crank or a longer lever.",
    formula: "|distance - lever| < cord from the last eye < distance + lever, drawn in and let out; distance from the \
              last eye to the pivot",
    source: "triangle inequality",
    bad: wing!(
        "crank 60 mm  lever 50 mm at 180 deg  guides (220, 400) mm  length 330 mm",
        "sweep 0 deg to 40 deg  cycle 4 s"
    ),
    good: wing!(
        "crank 30 mm  lever 90 mm at ?  guides (220, 400) mm",
        "sweep 0 deg to 38 deg within 8 deg  cycle 4 s"
    ),
};

/// The cord goes loose, or nearly.
pub static CORD_SLACK: Code = Code {
    word: "cord-slack",
    severity: Severity::Warning,
    title: "somewhere on its way the cord is not held taut",
    explanation: "A cord only pulls; weight or a spring must bring the limb back and keep the cord tight all the \
                  way. Weight loses its hold as the limb comes upright, friction takes its share, and a limb \
                  that is moved fast stays behind. A loose cord jumps off its eye and the limb knocks when it \
                  comes tight. A small spring, or a weight further out, holds it.",
    formula: "pull = (weight + spring - friction - inertia x acceleration) / (lever sin(angle to the cord)) >= 0.5 N \
              at every angle",
    source: "balance of moments about the pivot; 0.5 N: common practice, no source",
    bad: lid!("return gravity", "sweep 10 deg to 75 deg within 4 deg  cycle 2 s"),
    good: lid!("return spring 0.015 N.m", "sweep 10 deg to 75 deg within 4 deg  cycle 2 s"),
};

/// The eyes rub too much.
pub static CORD_DRAG: Code = Code {
    word: "cord-drag",
    severity: Severity::Warning,
    title: "the cord rubs too much on its eyes",
    explanation: "At each eye the cord turns a corner and rubs, so the motor pulls harder than the limb needs, and \
                  the return pulls softer at the other end. Fewer and gentler corners help, or pulleys that turn \
                  (`pulleys 20 mm`).",
    formula: "pull at the motor / pull at the limb = e^(0.2 x sum of the corners in rad) < 1.5; on pulleys 0.05 in \
              place of 0.2",
    source: "rope friction after L. Euler and J. A. Eytelwein; friction 0.2, on an axle a quarter as thick as its \
             pulley, and the limit 1.5: common practice, no source",
    bad: wing!(
        "crank 30 mm  lever 90 mm at ?  guides (220, 300) (220, 500) (320, 450) (220, 400) mm",
        "sweep 0 deg to 38 deg within 8 deg  cycle 4 s"
    ),
    good: wing!(
        "crank 30 mm  lever 90 mm at ?  guides (220, 400) mm",
        "sweep 0 deg to 38 deg within 8 deg  cycle 4 s"
    ),
};

/// A pulley or spool is too small.
pub static CORD_BENT: Code = Code {
    word: "cord-bent",
    severity: Severity::Warning,
    title: "a pulley or spool is too small for its cord",
    explanation: "Bent round a small wheel and straight again, the outer fibres of a cord stretch and rub on the inner                   ones, and it frays within a season. Give it wheels eight times as thick as itself, or take a \
                  thinner cord.",
    formula: "diameter of pulley or spool >= 8 x thickness of the cord",
    source: "common practice, no source",
    bad: wing!(
        "crank 30 mm  lever 90 mm at ?  guides (220, 400) mm  pulleys 12 mm  thickness 3 mm",
        "sweep 0 deg to 38 deg within 8 deg  cycle 4 s"
    ),
    good: wing!(
        "crank 30 mm  lever 90 mm at ?  guides (220, 400) mm  pulleys 25 mm  thickness 3 mm",
        "sweep 0 deg to 38 deg within 8 deg  cycle 4 s"
    ),
};

/// A spool on what does not wind one.
pub static SPOOL_UNTURNED: Code = Code {
    word: "spool-unturned",
    severity: Severity::Error,
    title: "the motor of a cord on a spool is none that winds one",
    explanation: "A spool is turned as far as a gesture asks and back again: by a motor of `kind spool`, which counts its \
                  cord. A motor that turns on and on would wind the cord up and then down again round its spool; a \
                  servo, a ram or a crank pulls it otherwise.",
    formula: "`spool` in a cord's drive: its motor is of `kind spool`",
    source: "geometry of a drum",
    bad: wing!(
        "spool 40 mm  lever 90 mm at ?  guides (220, 400) mm",
        "sweep 0 deg to 38 deg within 8 deg  cycle 4 s"
    ),
    good: wing!(
        "crank 30 mm  lever 90 mm at ?  guides (220, 400) mm",
        "sweep 0 deg to 38 deg within 8 deg  cycle 4 s"
    ),
};

/// It grows longer.
pub static CORD_CREEP: Code = Code {
    word: "cord-creep",
    severity: Severity::Advice,
    title: "the cord grows longer in a week by more than the swing may miss",
    explanation: "A polyester cord under load grows by one or two hundredths of its length. On a short lever that \
                  moves both ends of the swing by degrees. Make its end so that it can be set anew, stretch it \
                  before it is cut, or make it shorter or its lever longer.",
    formula: "turn of the limb for 1.5 % more cord <= tolerance of the sweep",
    source: "1.5 % for polyester: common practice, no source",
    bad: wing!(
        "crank 30 mm  lever 90 mm at ?  guides (220, 400) mm",
        "sweep 0 deg to 38 deg within 2 deg  cycle 4 s"
    ),
    good: wing!(
        "crank 30 mm  lever 90 mm at ?  guides (220, 400) mm",
        "sweep 0 deg to 38 deg within 8 deg  cycle 4 s"
    ),
};
