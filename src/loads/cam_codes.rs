//! What can be wrong with how a limb lies on its cam.

use crate::finding::{Code, Severity};

/// A head that nods over a cam.
macro_rules! nod {
    ($drive:literal, $cycle:literal) => {
        concat!(
            "use parts\nfigure pond {\n  board plywood-9 600 mm by 900 mm\n  motor hop wiper at (300, 300) mm\n",
            "  limb head {\n    pivot (180, 300) mm  tip (420, 300) mm\n",
            "    mass 0.4 kg  centre 100 mm at 0 deg  inertia 0.006 kg.m2\n",
            "    drive cam { motor hop  base ?  roller 8 mm  lever 100 mm at ?  ",
            $drive,
            " }\n    gesture nod { sweep 10 deg to 18 deg  cycle ",
            $cycle,
            " }\n  }\n}\n"
        )
    };
}

/// It jumps off.
pub static CAM_LIFT_OFF: Code = Code {
    word: "cam-lift-off",
    severity: Severity::Warning,
    title: "the limb leaves its cam at speed",
    explanation: "Near the top the cam falls away under the limb. Only its weight, and a spring if there is one, bring \
                  it down after the cam; turned too fast it flies, and lands with a knock.",
    formula: "on a slide (spring + m g cos(tilt)) / (m |s''| w^2), on a pivot (spring + m g r cos(angle) - friction) / \
              (I |angle''| w^2) >= 1.5 at the fastest cycle, at the worst of the turn",
    source: "equation of motion of the follower, R. L. Norton, Design of Machinery, ch. 15; 1.5 is common practice, \
             no source",
    bad: nod!("return gravity", "0.2 s"),
    good: nod!("return spring 2 N.m", "1.4 s"),
};

/// The codes of this subject.
/// A frog on a guide over a cam of a base circle of 18 or 35 mm.
macro_rules! frog {
    ($drive:literal) => {
        concat!(
            "use parts\nfigure pond {\n  board plywood-9 600 mm by 900 mm\n",
            "  motor hop wiper at (300, 300) mm\n  limb frog {\n",
            "    slide from (300, 400) mm to (300, 500) mm  weighed 0.8 kg\n    drive cam { motor hop  ",
            $drive,
            "  roller 8 mm  rise 120 deg dwell 40 deg  fall 120 deg dwell 80 deg }\n",
            "    gesture jump { stroke 0 mm to 10 mm  cycle 4 s }\n  }\n}\n"
        )
    };
}

/// Too little is left round its holes.
pub static CAM_THIN: Code = Code {
    word: "cam-thin",
    severity: Severity::Error,
    title: "too little of a cam is left round its bore or its bolts",
    explanation: "The lowest place of a cam is its base circle. Between that and the bore on its shaft, or the bolts that hold \
                  it to its hub, one and a half times the hole must be left, or the disc breaks there when the limb \
                  is held. Take a larger base circle, a thinner hub, or a smaller circle of bolts.",
    formula: "base - bore/2 >= 1.5 bore; base - circle/2 - bolt/2 >= 1.5 bolt; circle/2 - bolt/2 - bore/2 >= bolt",
    source: "common practice, no source",
    bad: frog!("base 18 mm  disc 12 mm bore 10 mm"),
    good: frog!("base 35 mm  disc 12 mm bore 10 mm bolts 4 mm circle 30 mm"),
};

pub const CODES: &[&Code] = &[&CAM_LIFT_OFF, &CAM_THIN];
