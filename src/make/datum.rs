//! What holes on a board are measured from: a place that a finger can be put on.
//!
//! The box round an outline has a corner where the board itself need not reach. So lengths
//! count from a corner of the board where its lowest edge has one, else from where two
//! straight battens meet that touch it from below and from the left.

use super::holes::{Hole, Spacing};
use crate::geometry::{Board, BoardPoint, Bounds, Outline};
use crate::model::Figure;
use crate::units::Mm;

/// How the place is found that lengths count from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Found {
    /// The left end of the board's lowest edge, as seen from behind: a real corner.
    Corner,
    /// Where a batten under the board and one at its left side, square to it, meet; whether
    /// the board lies level on the lower one by itself.
    Battens {
        /// Whether its lowest edge lies on the batten, or only a single place of it.
        level: bool,
    },
    /// The figure's own x = 0 on y = 0: nothing is known of the board's edge.
    Origin,
}

/// What lengths on the board count from.
#[derive(Clone, Debug, PartialEq)]
pub struct Datum {
    /// The place, O on the sheets.
    pub at: BoardPoint,
    /// How it is found on the board.
    pub found: Found,
    /// Corners of the board with their letters, from which a tape checks a hole.
    pub corners: Vec<(char, BoardPoint)>,
    /// How far holes are from those corners, or from the board's edge where it has none.
    pub checks: Vec<Spacing>,
}

/// A batten of the frame.
#[derive(Clone, Debug, PartialEq)]
pub struct Batten {
    /// One end of its middle line.
    pub from: BoardPoint,
    /// The other end.
    pub to: BoardPoint,
    /// Across the board, and behind it.
    pub section: (Mm, Mm),
    /// End to end.
    pub length: Mm,
}

/// Corners whose heights differ by less lie on one level edge, mm (common practice, no
/// source: what a pencil line is wide).
const LEVEL: f64 = 0.5;
/// A lower edge shorter than this sets no direction, mm (common practice, no source).
const BASE: f64 = 40.0;
/// A corner that turns by less than this is not found with a finger, deg (common practice,
/// no source): curves are drawn with smaller ones.
const SHARP: f64 = 20.0;

/// The battens of a figure's frame.
pub(super) fn battens(figure: &Figure) -> Vec<Batten> {
    let batten = |m: &crate::model::FrameMember| Batten {
        from: m.from,
        to: m.to,
        section: (m.width, m.depth),
        length: m.from.distance(m.to),
    };
    figure.frame.iter().map(batten).collect()
}

/// Corners of a board that are told one by one at most: more are steps of curves.
const FEW: usize = 36;

/// The corners a board is cut with, and whether straight edges join them: where they are
/// many, those that can be felt.
pub(super) fn corners(figure: &Figure) -> (Vec<BoardPoint>, bool) {
    let Some(outline) = &figure.board.outline else { return (Vec::new(), true) };
    if outline.corners().len() <= FEW {
        return (outline.corners().to_vec(), true);
    }
    let mut felt = sharp(outline);
    felt.truncate(FEW);
    (felt, false)
}

/// The corners of an outline that can be felt, in its order.
fn sharp(outline: &Outline<Board>) -> Vec<BoardPoint> {
    let mut corners: Vec<BoardPoint> = Vec::new();
    for p in outline.corners() {
        if corners.last().is_none_or(|l| l.distance(*p) > Mm(0.01)) {
            corners.push(*p);
        }
    }
    while corners.len() > 1 && corners[0].distance(corners[corners.len() - 1]) <= Mm(0.01) {
        corners.pop();
    }
    let n = corners.len();
    let turns = |i: usize| -> Option<f64> {
        let (a, b, c) = (corners[(i + n - 1) % n], corners[i], corners[(i + 1) % n]);
        let (u, v) = ((b - a).dir()?, (c - b).dir()?);
        let (sin, cos) = (u.x() * v.y() - u.y() * v.x(), u.x() * v.x() + u.y() * v.y());
        Some(libm::atan2(sin, cos).to_degrees().abs())
    };
    (0..n).filter(|i| turns(*i).is_some_and(|t| t >= SHARP)).map(|i| corners[i]).collect()
}

/// What the holes of a board are measured from.
pub(super) fn datum(figure: &Figure, bounds: &Bounds<Board>, holes: &[Hole]) -> Datum {
    let Some(outline) = &figure.board.outline else {
        let at = BoardPoint::mm(0.0, 0.0);
        return Datum { at, found: Found::Origin, corners: Vec::new(), checks: Vec::new() };
    };
    let sharp = sharp(outline);
    let low = |p: &&BoardPoint| p.y - bounds.low.y <= LEVEL;
    let xs = outline.corners().iter().filter(low).map(|p| p.x);
    let (left, right) =
        (xs.clone().fold(f64::NEG_INFINITY, f64::max), xs.fold(f64::INFINITY, f64::min));
    let level = left - right >= BASE;
    // From behind, left is where x is greatest.
    let corner = sharp.iter().filter(low).find(|p| left - p.x <= LEVEL).filter(|_| level);
    let (at, found) = match corner {
        Some(corner) => (*corner, Found::Corner),
        None => (BoardPoint::mm(bounds.high.x, bounds.low.y), Found::Battens { level }),
    };
    let corners = landmarks(&sharp, at, found);
    let checks = checks(outline, &corners, holes);
    Datum { at, found, corners, checks }
}

/// The corners that a tape is laid from: O itself where it is one, and the two that lie
/// farthest from it and from each other.
fn landmarks(sharp: &[BoardPoint], at: BoardPoint, found: Found) -> Vec<(char, BoardPoint)> {
    let mut taken: Vec<(char, BoardPoint)> = Vec::new();
    if found == Found::Corner {
        taken.push(('O', at));
    }
    for letter in ['P', 'Q'] {
        let off = |p: &BoardPoint| {
            let others = taken.iter().map(|t| t.1.distance(*p).0);
            others.fold(p.distance(at).0, f64::min)
        };
        // Of equals the first of the outline.
        let far = sharp.iter().fold(None::<(f64, BoardPoint)>, |best, p| {
            let own = off(p);
            match best {
                Some((most, _)) if own <= most + 1e-9 => best,
                _ => Some((own, *p)),
            }
        });
        taken.extend(far.filter(|(off, _)| *off > BASE).map(|(_, p)| (letter, p)));
    }
    taken
}

/// A pivot that is drilled, else the first hole, from each of those corners; where the
/// board has no corners the first and the last hole from its edge.
fn checks(
    outline: &Outline<Board>,
    corners: &[(char, BoardPoint)],
    holes: &[Hole],
) -> Vec<Spacing> {
    let mut drilled = holes.iter().filter(|h| h.drill.on_paper());
    let pivot = drilled.clone().find(|h| h.name.ends_with(" pivot"));
    let Some(hole) = pivot.or_else(|| drilled.next()) else { return Vec::new() };
    if corners.is_empty() {
        let last = holes.iter().rev().find(|h| h.drill.on_paper() && h.name != hole.name);
        let edge = |h: &Hole| Spacing {
            name: format!("{} to the nearest edge of the board", h.name),
            apart: outline.distance_to_edge(h.at),
        };
        return std::iter::once(hole).chain(last).map(edge).collect();
    }
    let from = |(letter, at): &(char, BoardPoint)| Spacing {
        name: format!("corner {letter} to {}", hole.name),
        apart: at.distance(hole.at),
    };
    corners.iter().map(from).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn corners(points: &[(f64, f64)]) -> Vec<BoardPoint> {
        points.iter().map(|p| BoardPoint::mm(p.0, p.1)).collect()
    }

    /// A square with a rounded corner: three can be felt, the curve's steps cannot.
    #[test]
    fn steps_of_a_curve_are_no_corners() {
        let mut points = vec![(0.0, 0.0), (100.0, 0.0)];
        for n in 0..=18 {
            let turn = f64::from(5 * n).to_radians();
            points.push((80.0 + 20.0 * libm::cos(turn), 80.0 + 20.0 * libm::sin(turn)));
        }
        points.push((0.0, 100.0));
        let outline = Outline::new(corners(&points)).unwrap();
        let felt = corners(&[(0.0, 0.0), (100.0, 0.0), (0.0, 100.0)]);
        assert_eq!(sharp(&outline), felt);
    }
}
