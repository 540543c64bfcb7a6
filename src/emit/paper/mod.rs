//! Drawings in millimetres on paper: what is drawn once is written both as SVG and as
//! PDF, at exactly 1:1.
//!
//! Every page is A4 (ISO 216) and keeps to an area that Letter paper has too, so that
//! one file prints on either. Line types are those of ISO 128-2, as in every other
//! drawing of ours.

mod cell;
mod face;
pub mod flow;
mod pdf;
mod sheet;
mod svg;
mod tiles;

pub use cell::{Cell, Table};
pub use face::{fitted, lines, width};
pub use pdf::pdf;
pub use sheet::{BODY, Title};
pub use svg::svg;
pub use tiles::{Measure, STEP, Tile, covering, crosses, page};

use super::svg::{Hang, Line, P, Rect};

/// A4 upright, mm (ISO 216).
pub const A4: P = (210.0, 297.0);

/// Letter upright, mm (ANSI/ASME Y14.1: 8.5 by 11 in).
pub const LETTER: P = (215.9, 279.4);

/// What is inside a closed run of lines.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fill {
    /// Nothing: what lies behind shows.
    None,
    /// White paper.
    Paper,
    /// Black ink.
    Ink,
}

/// A text and how it stands.
#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// Where its base line begins, has its middle, or ends.
    pub at: P,
    /// Height of its letters' body, mm.
    pub size: f64,
    /// Which of the three.
    pub hang: Hang,
    /// Bold.
    pub bold: bool,
    /// Whether it runs up the sheet.
    pub upright: bool,
    /// What it says.
    pub words: String,
}

/// One thing drawn. Points are in mm, x right, y down.
#[derive(Clone, Debug, PartialEq)]
pub enum Mark {
    /// A run of straight lines.
    Path {
        /// How it is drawn; `None` for an area without an edge.
        line: Option<Line>,
        /// Its points.
        points: Vec<P>,
        /// Whether it returns to the first.
        closed: bool,
        /// What is inside.
        fill: Fill,
    },
    /// A circle.
    Circle {
        /// How it is drawn.
        line: Line,
        /// Its centre.
        at: P,
        /// Its radius.
        radius: f64,
        /// What is inside.
        fill: Fill,
    },
    /// A text.
    Text(Text),
}

/// Marks in the order they are laid on the paper.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drawing {
    /// The marks.
    pub marks: Vec<Mark>,
}

impl Drawing {
    /// A straight line.
    pub fn line(&mut self, line: Line, a: P, b: P) {
        self.path(line, &[a, b], false);
    }

    /// A run of straight lines.
    pub fn path(&mut self, line: Line, points: &[P], closed: bool) {
        self.area(Some(line), points, closed, Fill::None);
    }

    /// A run of straight lines with something inside.
    pub fn area(&mut self, line: Option<Line>, points: &[P], closed: bool, fill: Fill) {
        self.marks.push(Mark::Path { line, points: points.to_vec(), closed, fill });
    }

    /// A rectangle.
    pub fn rect(&mut self, line: Line, r: Rect) {
        self.area(Some(line), &corners(r), true, Fill::None);
    }

    /// A rectangle of ink or paper.
    pub fn block(&mut self, r: Rect, fill: Fill) {
        self.area(None, &corners(r), true, fill);
    }

    /// A circle.
    pub fn circle(&mut self, line: Line, at: P, radius: f64) {
        self.marks.push(Mark::Circle { line, at, radius, fill: Fill::None });
    }

    /// A dot of ink.
    pub fn dot(&mut self, at: P, radius: f64) {
        self.marks.push(Mark::Circle { line: Line::Fine, at, radius, fill: Fill::Ink });
    }

    /// A hole with its centre lines, which go `beyond` its edge (ISO 128-2, line 04.1;
    /// short ones are drawn through).
    pub fn hole(&mut self, at: P, radius: f64, beyond: f64) {
        self.circle(Line::Wide, at, radius);
        self.cross(at, radius + beyond);
    }

    /// Two crossed centre lines.
    pub fn cross(&mut self, at: P, arm: f64) {
        self.line(Line::Narrow, (at.0 - arm, at.1), (at.0 + arm, at.1));
        self.line(Line::Narrow, (at.0, at.1 - arm), (at.0, at.1 + arm));
    }

    /// A level text.
    pub fn text(&mut self, at: P, size: f64, hang: Hang, words: &str) {
        self.words(at, size, hang, false, words);
    }

    /// A bold level text.
    pub fn bold(&mut self, at: P, size: f64, hang: Hang, words: &str) {
        self.words(at, size, hang, true, words);
    }

    fn words(&mut self, at: P, size: f64, hang: Hang, bold: bool, words: &str) {
        let words = words.to_owned();
        self.marks.push(Mark::Text(Text { at, size, hang, bold, upright: false, words }));
    }

    /// A text that runs up the sheet, its middle at `at`.
    pub fn upright(&mut self, at: P, size: f64, words: &str) {
        let (hang, words) = (Hang::Middle, words.to_owned());
        self.marks.push(Mark::Text(Text { at, size, hang, bold: false, upright: true, words }));
    }

    /// A dimension between two places on one level or one plumb line, `off` to the left
    /// looking from the first to the second, with its words (ISO 129-1: arrows, helping
    /// lines a little beyond).
    pub fn dimension(&mut self, a: P, b: P, off: f64, words: &str) {
        let (dx, dy) = (b.0 - a.0, b.1 - a.1);
        let long = libm::hypot(dx, dy);
        if long <= 0.0 {
            return;
        }
        let (ux, uy) = (dx / long, dy / long);
        let left = (uy, -ux);
        let moved = |p: P, by: f64| (p.0 + left.0 * by, p.1 + left.1 * by);
        let (from, to) = (moved(a, off), moved(b, off));
        let beyond = off + 1.5 * off.signum();
        self.line(Line::Narrow, a, moved(a, beyond));
        self.line(Line::Narrow, b, moved(b, beyond));
        self.line(Line::Narrow, from, to);
        let head = 3.0_f64.min(long / 3.0);
        for (tip, way) in [(from, 1.0), (to, -1.0)] {
            let back = (tip.0 + ux * head * way, tip.1 + uy * head * way);
            let (wx, wy) = (left.0 * head / 6.0, left.1 * head / 6.0);
            let points = [tip, (back.0 + wx, back.1 + wy), (back.0 - wx, back.1 - wy)];
            self.area(None, &points, true, Fill::Ink);
        }
        let middle = ((from.0 + to.0) / 2.0, (from.1 + to.1) / 2.0);
        if ux.abs() > 0.5 {
            self.text((middle.0, middle.1 - 1.0), 3.0, Hang::Middle, words);
        } else {
            self.upright((middle.0 - 1.0, middle.1), 3.0, words);
        }
    }

    /// Everything of another drawing, moved.
    pub fn lay(&mut self, other: &Self, by: P) {
        self.marks.extend(other.marks.iter().map(|m| m.moved(by)));
    }

    /// Everything of another drawing, a quarter turn to the left about its origin, then
    /// moved. Level texts run up, upright ones become level.
    pub fn lay_turned(&mut self, other: &Self, by: P) {
        self.marks.extend(other.marks.iter().map(|m| m.turned().moved(by)));
    }

    /// The smallest rectangle round all of it; `None` where nothing is drawn.
    #[must_use]
    pub fn bounds(&self) -> Option<Rect> {
        let corners: Vec<P> = self
            .marks
            .iter()
            .filter_map(Mark::bounds)
            .flat_map(|r| [(r.x, r.y), (r.right(), r.bottom())])
            .collect();
        Rect::around(&corners)
    }
}

/// The corners of a rectangle.
fn corners(r: Rect) -> [P; 4] {
    [(r.x, r.y), (r.right(), r.y), (r.right(), r.bottom()), (r.x, r.bottom())]
}

impl Mark {
    /// Moved by so much.
    #[must_use]
    pub fn moved(&self, by: P) -> Self {
        self.placed(|p| (p.0 + by.0, p.1 + by.1))
    }

    /// A quarter turn to the left about the origin.
    fn turned(&self) -> Self {
        let mut turned = self.placed(|p| (p.1, -p.0));
        if let Self::Text(text) = &mut turned {
            text.upright = !text.upright;
        }
        turned
    }

    fn placed(&self, to: impl Fn(P) -> P) -> Self {
        let mut mark = self.clone();
        match &mut mark {
            Self::Path { points, .. } => points.iter_mut().for_each(|p| *p = to(*p)),
            Self::Circle { at, .. } => *at = to(*at),
            Self::Text(text) => text.at = to(text.at),
        }
        mark
    }

    /// The rectangle it covers; `None` for a path without points.
    #[must_use]
    pub fn bounds(&self) -> Option<Rect> {
        match self {
            Self::Path { points, .. } => Rect::around(points),
            Self::Circle { at, radius, .. } => {
                Some(Rect::new(at.0 - radius, at.1 - radius, 2.0 * radius, 2.0 * radius))
            }
            Self::Text(t) => {
                let long = width(&t.words, t.size, t.bold);
                let from = match t.hang {
                    Hang::Start => 0.0,
                    Hang::Middle => -long / 2.0,
                    Hang::End => -long,
                };
                let (up, down) = (0.8 * t.size, 0.25 * t.size);
                Some(if t.upright {
                    Rect::new(t.at.0 - up, t.at.1 - from - long, up + down, long)
                } else {
                    Rect::new(t.at.0 + from, t.at.1 - up, long, up + down)
                })
            }
        }
    }
}
