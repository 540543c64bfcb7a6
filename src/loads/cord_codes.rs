//! What can be wrong with the way back of a limb on a cord.

use crate::finding::{Code, Severity};

/// A heavy lid on a servo's horn.
macro_rules! lid {
    ($turn:literal) => {
        concat!(
            "use parts\nfigure owl {\n  board plywood-9 400 mm by 900 mm\n",
            "  motor lids servo-micro at (200, 735) mm\n  limb lid {\n",
            "    pivot (200, 780) mm  tip (240, 780) mm\n",
            "    weighed 0.06 kg  balances 30 mm  friction 0.002 N.m  inertia 0.0004 kg.m2\n",
            "    drive cord { motor lids  horn ?  lever 15 mm at ?  guides (190, 760) mm  return spring 0.006 N.m }\n",
            "    rest 10 deg\n    gesture open { turn to 60 deg over 1 s }\n    gesture shut { turn to 10 deg over ",
            $turn,
            " }\n  }\n}\n"
        )
    };
}

/// It falls back later than it is let.
pub static CORD_RETURN_SLOW: Code = Code {
    word: "cord-return-slow",
    severity: Severity::Warning,
    title: "the limb falls back slower than its cord lets it",
    explanation: "A cord only pulls. On the way back weight and spring turn the limb, against the friction of its bolt \
                  and its own inertia, and no motor hurries it: in less time than they need the cord hangs loose, \
                  jumps off its eye, and the limb comes late. Give it more time, a stronger spring, or less weight \
                  near the tip; the help names the spring that does it.",
    formula: "t = integral of d angle/w from the pulled end, w = sqrt(2 W/I), W = integral of (weight + spring - \
              friction) d angle; <= time of the gesture's way back",
    source: "work and kinetic energy (mechanics, any textbook)",
    bad: lid!("0.1 s"),
    good: lid!("1 s"),
};

/// All rows.
pub const CODES: &[&Code] = &[&CORD_RETURN_SLOW];
