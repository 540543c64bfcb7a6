//! What can be wrong with a drawing that an outline is taken from.
//!
//! The examples' drawings stand in `tests/codes`.

use crate::finding::{Code, Severity};

/// A figure with its board out of a drawing.
macro_rules! board {
    ($drawing:literal) => {
        concat!("use parts\nfigure bear {\n  board plywood-9 outline svg ", $drawing, "\n}\n")
    };
}

const RULE: &str = "the language's own rule";
const SVG: &str = "SVG 1.1 (second edition), chapters 7 to 9";
const GOOD: &str = board!("\"bear.svg\" part \"body\" scale 1 mm");

/// A drawing that is not there.
pub static DRAWING_MISSING: Code = Code {
    word: "drawing-missing",
    severity: Severity::Error,
    title: "a drawing that cannot be had",
    explanation: "The outline is to come from a drawing, and there is no such file, or it may not be read, or it lies \
                  outside the project's folder. Its path counts from the file that names it.",
    formula: "",
    source: RULE,
    bad: board!("\"baer.svg\" part \"body\" scale 1 mm"),
    good: GOOD,
};

/// A drawing that cannot be read.
pub static DRAWING_BROKEN: Code = Code {
    word: "drawing-broken",
    severity: Severity::Error,
    title: "a drawing that cannot be read",
    explanation: "An SVG drawing is a text, and this one is cut short, is something else, is nested too deep, or has a \
                  path whose numbers do not add up. Read are paths, rectangles, circles, ellipses and polygons with \
                  their transforms; curves become straight pieces that stay within 0.1 mm of them. Drawings up to \
                  16 MB and 200,000 elements are taken, and outlines up to 5,000 corners.",
    formula: "pieces of a curve = sqrt(its largest second derivative / (8 x 0.1 mm))",
    source: SVG,
    bad: board!("\"half-a-bear.svg\" part \"body\" scale 1 mm"),
    good: GOOD,
};

/// A drawing that wants more than itself.
pub static DRAWING_REACHES_OUT: Code = Code {
    word: "drawing-reaches-out",
    severity: Severity::Error,
    title: "a drawing that refers to something outside itself",
    explanation: "A drawing may link pictures, styles and other files, or declare entities that blow a small file up \
                  to a huge one. Nothing of that is followed: a drawing is taken only where it stands by itself. Links \
                  inside the file and pictures embedded in it do no harm.",
    formula: "",
    source: "XML 1.0, section 4.4 (what entities do); the language's own rule",
    bad: board!("\"bear-on-a-photo.svg\" part \"body\" scale 1 mm"),
    good: GOOD,
};

/// No such part.
pub static DRAWING_PART: Code = Code {
    word: "drawing-part",
    severity: Severity::Error,
    title: "a part that a drawing does not have, or that is not one shape",
    explanation: "`part` is the id of a shape in the drawing, or of a group that holds one shape and no more. Without \
                  it the drawing must hold a single shape. Texts, pictures and linked copies are no shapes.",
    formula: "",
    source: RULE,
    bad: board!("\"bear.svg\" part \"bodi\" scale 1 mm"),
    good: GOOD,
};

/// An open path.
pub static DRAWING_OPEN: Code = Code {
    word: "drawing-open",
    severity: Severity::Error,
    title: "an outline in a drawing that is not one closed line",
    explanation: "A saw comes back to where it began. A path that does not, or that is made of several lines, does not \
                  say what is board and what is air. Ends within 0.1 mm of each other count as one place.",
    formula: "distance from end to beginning <= 0.1 mm",
    source: RULE,
    bad: board!("\"bear.svg\" part \"smile\" scale 1 mm"),
    good: GOOD,
};

/// How large it is.
pub static DRAWING_SCALE: Code = Code {
    word: "drawing-scale",
    severity: Severity::Error,
    title: "a drawing that does not say how large it is meant",
    explanation: "`scale 1 mm` says how long one unit of the drawing is. Without it the drawing's own width and height \
                  must be in millimetres or another measure of length. The lower left corner of its page is (0, 0) of \
                  the board, so that a page is wanted too; with `from pivot` the drawing's own (0, 0) is the pivot.",
    formula: "x = (x - left) scale, y = (bottom - y) scale",
    source: "CSS Values and Units 3, section 6.2 (96 px = 1 in); the language's own rule",
    bad: board!("\"bear.svg\" part \"body\""),
    good: GOOD,
};

/// All rows.
pub static CODES: &[&Code] = &[
    &DRAWING_BROKEN,
    &DRAWING_MISSING,
    &DRAWING_OPEN,
    &DRAWING_PART,
    &DRAWING_REACHES_OUT,
    &DRAWING_SCALE,
];
