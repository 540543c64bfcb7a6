//! What can be wrong with a `?` as such: it stands where nothing is looked for.

use crate::finding::{Code, Severity};

/// A heron whose two wings hang on one motor.
macro_rules! wings {
    ($pin:literal) => {
        concat!(
            "use parts\nfigure sample {\n  board plywood-9 520 mm by 1400 mm\n  motor wings wiper at (260, 570) mm\n",
            "  limb left {\n    pivot (197, 820) mm  tip (-253, 820) mm  mount behind  holes close\n",
            "    drive four-bar { motor wings  crank 30 mm  rod 250 mm  tail-hole 70 mm at ? }\n",
            "    gesture flap { sweep 155 deg to 205 deg  cycle 2 s }\n  }\n",
            "  limb right {\n    pivot (323, 820) mm  tip (773, 820) mm  mount behind  holes close\n    drive four-bar { motor wings  ",
            $pin,
            "  crank 30 mm  rod 250 mm  tail-hole 70 mm at ? }\n",
            "    gesture flap { sweep -25 deg to 25 deg  cycle 2 s }\n  }\n}\n"
        )
    };
}

/// A drum with a limb on its crank.
macro_rules! cam {
    ($drive:literal) => {
        concat!(
            "use parts\nfigure sample {\n  board plywood-9 700 mm by 900 mm\n  limb frog {\n",
            "    slide from (300, 400) mm to (300, 440) mm\n    weighed 0.8 kg\n    drive cam { motor wiper at (300, 300) mm  ",
            $drive,
            " }\n    gesture hop { stroke 0 mm to 20 mm  cycle 4 s }\n  }\n}\n"
        )
    };
}

/// A size that is not looked for.
pub static NOT_LOOKED_FOR: Code = Code {
    word: "not-looked-for",
    severity: Severity::Error,
    title: "this size cannot be left open",
    explanation: "A `?` asks for a size that follows from the motion: a crank, a rod, a lever, a base circle. What \
                  you have in the box (a roller, a spool) follows from nothing that stands in the file, and some \
                  words mean nothing with this kind of drive. Such a `?` is refused, so that none is left \
                  standing as if it had been answered. The message says what to write.",
    formula: "every `?` is answered or refused",
    source: "a rule of this language",
    bad: cam!("base ?  roller ?"),
    good: cam!("base ?  roller 8 mm"),
};

/// A crank pin whose range holds no angle in step.
pub static PIN_OUT_OF_STEP: Code = Code {
    word: "pin-out-of-step",
    severity: Severity::Warning,
    title: "the range of a crank pin holds no angle in step",
    explanation: "`pin ? together` and `pin ? alternate` find the angle behind the motor's other pin at which two \
                  limbs come to their far ends at once, or half a turn of the motor apart. That is one angle. \
                  Where the range does not hold it the nearest of the range is taken, and the limbs keep \
                  a lag of so many degrees of the motor.",
    formula: "lag = |pin - pin in step|, let pass up to 5 deg or half a step of a row",
    source: "5 deg: common practice, no source",
    bad: wings!("pin ? 0 to 20 deg together"),
    good: wings!("pin ? together"),
};
