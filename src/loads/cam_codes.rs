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
pub const CODES: &[&Code] = &[&CAM_LIFT_OFF];
