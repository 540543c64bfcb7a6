//! What can be wrong with an outline, and the check for it.

use crate::finding::{Code, Finding, Place, Severity};
use crate::geometry::{Board, BoardPoint, Outline};
use crate::units::print;

/// A limb with this outline.
macro_rules! arm {
    ($corners:literal) => {
        concat!(
            "use parts\nfigure bear {\n  board plywood-9 600 mm by 1400 mm\n",
            "  limb arm { pivot (300, 800) mm  tip (500, 1000) mm  sheet plywood-6\n    outline ",
            $corners,
            " mm\n  }\n}\n"
        )
    };
}

/// An outline that crosses itself.
pub static OUTLINE_CROSSES: Code = Code {
    word: "outline-crosses",
    severity: Severity::Error,
    title: "an outline that crosses or touches itself",
    explanation: "The corners of an outline are joined in the order they are written. Where one edge crosses or touches \
                  another, nobody can say what is board and what is air: it cannot be cut, weighed or checked. Two \
                  corners written in the wrong order are the usual cause.",
    formula: "no two edges that are not neighbours have a point in common",
    source: "the language's own rule",
    bad: arm!("(280, 780) (520, 980) (320, 780) (480, 1020)"),
    good: arm!("(280, 780) (320, 780) (520, 980) (480, 1020)"),
};

/// An outline without area.
pub static OUTLINE_FLAT: Code = Code {
    word: "outline-flat",
    severity: Severity::Error,
    title: "an outline without area",
    explanation: "All corners of this outline lie on one line, so there is nothing to cut. Three corners that are not in \
                  line are the least.",
    formula: "area > 0",
    source: "the language's own rule",
    bad: arm!("(280, 780) (380, 880) (480, 980)"),
    good: arm!("(280, 780) (380, 820) (480, 980)"),
};

/// What to do about one without area.
const THREE: &str = "give at least three corners that are not in line.";

/// Corners nearer to the line than this share of the outline's length lie on it.
const FLAT: f64 = 1e-9;

/// Whether all corners lie on one line. (An area of nought is something else: a bow tie
/// has one.)
fn flat(outline: &Outline<Board>) -> bool {
    let corners = outline.corners();
    let first = corners[0];
    let long = corners.iter().map(|c| first.distance(*c).0).fold(0.0, f64::max);
    let far = corners.iter().find(|c| first.distance(**c).0 >= long).map_or(first, |c| *c);
    corners.iter().all(|c| (far - first).cross(*c - first).abs() <= FLAT * long * long)
}

/// The outline of these corners, with what is wrong with it; no outline of fewer than three.
pub(super) fn read(
    corners: Vec<BoardPoint>,
    place: Place,
) -> (Option<Outline<Board>>, Option<Finding>) {
    let count = corners.len();
    if count < 3 {
        let has = match count {
            0 => "no corners",
            1 => "one corner",
            _ => "two corners",
        };
        let message = format!("this outline has {has}, and no area.");
        let finding = Finding::new(&OUTLINE_FLAT, place, message).help(THREE);
        return (None, Some(finding));
    }
    let outline = Outline::new(corners);
    let found = outline.as_ref().and_then(|o| faults(o, place));
    (outline, found)
}

/// What is wrong with an outline, if anything.
pub(super) fn faults(outline: &Outline<Board>, place: Place) -> Option<Finding> {
    if flat(outline) {
        let message = "this outline has no area: its corners lie on one line.";
        return Some(Finding::new(&OUTLINE_FLAT, place, message).help(THREE));
    }
    let at = outline.crossing()?;
    let mm = |v: f64| print::decimal(v, 1);
    let message =
        format!("this outline crosses or touches itself at ({}, {}) mm.", mm(at.x), mm(at.y));
    Some(
        Finding::new(&OUTLINE_CROSSES, place, message)
            .help("put the corners in the order in which a saw would meet them."),
    )
}
