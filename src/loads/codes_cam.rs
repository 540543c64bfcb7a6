//! What can be wrong with the disc of a cam.

use crate::finding::{Code, Severity};

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

/// All rows.
pub const CODES: &[&Code] = &[&CAM_THIN];
