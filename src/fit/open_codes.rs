//! What can be wrong with a `?` as such: it stands where nothing is looked for.

use crate::finding::{Code, Severity};

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
