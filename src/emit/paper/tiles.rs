//! A drawing larger than the paper, cut into sheets that overlap.
//!
//! The cuts lie on a fixed net from the drawing's own origin, so a sheet finds its place
//! by two lengths even where its neighbours are not printed.

use super::{BODY, Drawing, Fill, Mark};
use crate::emit::svg::{Hang, Line, P, Rect};

/// From cut to cut, mm across and up: what is left of the sheet's body overlaps.
pub const STEP: P = (180.0, 220.0);

/// How far a sheet goes on beyond its cuts.
const BEYOND: P = ((BODY.w - STEP.0) / 2.0, (BODY.h - STEP.1) / 2.0);

/// One sheet of a net that starts at the origin and goes right and up.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Tile {
    /// How many cuts lie below it.
    pub row: i64,
    /// How many lie left of it.
    pub column: i64,
}

impl Tile {
    /// The one that holds a place, in the drawing's mm, y down.
    #[must_use]
    pub fn holding(at: P) -> Self {
        Self { row: (-at.1 / STEP.1).floor() as i64, column: (at.0 / STEP.0).floor() as i64 }
    }

    /// What lies between its cuts.
    #[must_use]
    pub fn cell(self) -> Rect {
        let (x, up) = (STEP.0 * self.column as f64, STEP.1 * self.row as f64);
        Rect::new(x, -up - STEP.1, STEP.0, STEP.1)
    }

    /// What its sheet shows.
    #[must_use]
    pub fn window(self) -> Rect {
        let c = self.cell();
        Rect::new(c.x - BEYOND.0, c.y - BEYOND.1, BODY.w, BODY.h)
    }

    /// "B3": the column's letter and the row's number, from the left lower corner.
    #[must_use]
    pub fn name(self) -> String {
        let mut column = self.column;
        let mut letters = Vec::new();
        loop {
            letters.push(char::from(b'A' + column.rem_euclid(26) as u8));
            column = column.div_euclid(26) - 1;
            if column < 0 {
                break;
            }
        }
        let minus = if self.column < 0 { "-" } else { "" };
        format!("{minus}{}{}", letters.iter().rev().collect::<String>(), self.row + 1)
    }

    /// From the drawing's mm to those of the page.
    #[must_use]
    pub fn shift(self) -> P {
        let w = self.window();
        (BODY.x - w.x, BODY.y - w.y)
    }
}

/// The sheets of a drawing that show some of its lines between their cuts, row by row
/// from the top.
#[must_use]
pub fn covering(drawing: &Drawing) -> Vec<Tile> {
    /// More sheets than this no one tapes together.
    const MOST: i64 = 200;
    let Some(b) = drawing.bounds() else { return Vec::new() };
    let (low, high) = (Tile::holding((b.x, b.bottom())), Tile::holding((b.right(), b.y)));
    let mut tiles = Vec::new();
    if (high.row - low.row).saturating_mul(high.column - low.column) > MOST * 50 {
        return tiles;
    }
    for row in (low.row..=high.row).rev() {
        for column in low.column..=high.column {
            let tile = Tile { row, column };
            let cell = tile.cell();
            if drawing.marks.iter().any(|m| !clipped(m, cell).is_empty()) {
                tiles.push(tile);
            }
        }
    }
    tiles
}

/// What the crosses of a net are measured from, and how.
pub struct Measure<'a> {
    /// Where the drawing has the place that lengths count from.
    pub origin: P,
    /// How a length is said.
    pub length: &'a dyn Fn(f64) -> String,
    /// Places of the drawing on which no words of the net may stand.
    pub keep: &'a [Rect],
}

/// The body of one sheet: what the drawing shows there, with crosses where the cuts
/// meet and how far each is across and up; `others` are the sheets it may be taped to.
#[must_use]
pub fn page(drawing: &Drawing, tile: Tile, others: &[Tile], by: &Measure<'_>) -> Drawing {
    let (window, cell, shift) = (tile.window(), tile.cell(), tile.shift());
    let mut body = Drawing::default();
    for mark in drawing.marks.iter().flat_map(|m| clipped(m, window)) {
        body.marks.push(mark.moved(shift));
    }
    let corners = [(cell.x, cell.y), (cell.right(), cell.y), (cell.x, cell.bottom())];
    let all = corners.into_iter().chain([(cell.right(), cell.bottom())]);
    for (n, at) in all.enumerate() {
        let on = (at.0 + shift.0, at.1 + shift.1);
        for arm in [(4.5, 0.0), (0.0, 4.5)] {
            let (a, b) = ((on.0 - arm.0, on.1 - arm.1), (on.0 + arm.0, on.1 + arm.1));
            body.line(Line::Narrow, a, b);
        }
        body.circle(Line::Narrow, on, 2.0);
        let words = format!(
            "{} across, {} up",
            (by.length)(at.0 - by.origin.0),
            (by.length)(by.origin.1 - at.1)
        );
        let (right, lower) = (n % 2 == 1, n >= 2);
        let y = on.1 + if lower { -3.2 } else { 5.4 };
        let (x, hang) = if right { (on.0 - 1.5, Hang::End) } else { (on.0 + 1.5, Hang::Start) };
        let mut text = Drawing::default();
        text.text((x, y), 2.3, hang, &words);
        let own = |k: &Rect| Rect::new(k.x + shift.0, k.y + shift.1, k.w, k.h);
        let taken = text
            .bounds()
            .is_some_and(|r| by.keep.iter().any(|k| own(k).overlaps(r)) || cut_by(&body, r));
        if !taken {
            clear(&mut body, (x, y), 2.3, hang, &words);
        }
    }
    let sides = [
        (Tile { column: tile.column + 1, ..tile }, (BODY.right() - 2.0, 0.5), "\u{2192}"),
        (Tile { column: tile.column - 1, ..tile }, (BODY.x + 3.5, 0.5), "\u{2190}"),
        (Tile { row: tile.row + 1, ..tile }, (0.5, BODY.y + 3.5), "\u{2191}"),
        (Tile { row: tile.row - 1, ..tile }, (0.5, BODY.bottom() - 1.5), "\u{2193}"),
    ];
    for (n, (other, at, arrow)) in sides.into_iter().enumerate() {
        if !others.contains(&other) {
            continue;
        }
        let words = format!("{arrow} sheet {}", other.name());
        if n < 2 {
            body.upright((at.0, BODY.y + BODY.h / 2.0), 2.5, &words);
        } else {
            clear(&mut body, (BODY.x + BODY.w / 2.0, at.1), 2.5, Hang::Middle, &words);
        }
    }
    body
}

/// Whether a wide line of the sheet runs through a rectangle.
fn cut_by(body: &Drawing, r: Rect) -> bool {
    let wide = |m: &&Mark| matches!(m, Mark::Path { line: Some(Line::Wide), .. });
    body.marks.iter().filter(wide).any(|m| crosses(m, r))
}

/// A text on white, so that lines under it do not cross it.
fn clear(body: &mut Drawing, at: P, size: f64, hang: Hang, words: &str) {
    let mut text = Drawing::default();
    text.text(at, size, hang, words);
    // An edge to cut along is never broken for words.
    if let Some(r) = text.bounds().filter(|r| !cut_by(body, *r)) {
        body.block(r.grown(0.3), Fill::Paper);
    }
    body.lay(&text, (0.0, 0.0));
}

/// Whether a line or circle of a drawing runs through a rectangle.
#[must_use]
pub fn crosses(mark: &Mark, r: Rect) -> bool {
    !matches!(mark, Mark::Text(_)) && !clipped(mark, r).is_empty()
}

/// What of a mark lies inside a rectangle: lines are cut at its edge, circles become
/// lines where it cuts them, texts are there whole or not at all.
fn clipped(mark: &Mark, to: Rect) -> Vec<Mark> {
    let Some(b) = mark.bounds() else { return Vec::new() };
    if b.x >= to.x && b.y >= to.y && b.right() <= to.right() && b.bottom() <= to.bottom() {
        return vec![mark.clone()];
    }
    if b.x > to.right() || b.right() < to.x || b.y > to.bottom() || b.bottom() < to.y {
        return Vec::new();
    }
    match mark {
        Mark::Text(_) => Vec::new(),
        Mark::Circle { line, at, radius, .. } => {
            /// Sides of the polygon that a cut circle becomes.
            const SIDES: usize = 180;
            let points: Vec<P> = (0..SIDES)
                .map(|n| {
                    let turn = 2.0 * std::f64::consts::PI * n as f64 / SIDES as f64;
                    (at.0 + radius * libm::cos(turn), at.1 + radius * libm::sin(turn))
                })
                .collect();
            cut(Some(*line), &points, true, to)
        }
        Mark::Path { line, points, closed, .. } => cut(*line, points, *closed, to),
    }
}

/// The stretches of a run of lines inside a rectangle.
fn cut(line: Option<Line>, points: &[P], closed: bool, to: Rect) -> Vec<Mark> {
    let mut runs: Vec<Vec<P>> = Vec::new();
    let more = closed.then(|| points.first().copied()).flatten();
    let ends: Vec<P> = points.iter().copied().chain(more).collect();
    for pair in ends.windows(2) {
        let Some((a, b)) = inside(pair[0], pair[1], to) else { continue };
        match runs.last_mut() {
            Some(run) if run.last() == Some(&a) => run.push(b),
            _ => runs.push(vec![a, b]),
        }
    }
    let path = |points| Mark::Path { line, points, closed: false, fill: Fill::None };
    if line.is_none() { Vec::new() } else { runs.into_iter().map(path).collect() }
}

/// The part of a straight line inside a rectangle (Liang and Barsky, ACM Transactions
/// on Graphics 3, 1984).
fn inside(a: P, b: P, to: Rect) -> Option<(P, P)> {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let (mut from, mut until) = (0.0_f64, 1.0_f64);
    for (p, q) in
        [(-dx, a.0 - to.x), (dx, to.right() - a.0), (-dy, a.1 - to.y), (dy, to.bottom() - a.1)]
    {
        if p == 0.0 {
            if q < 0.0 {
                return None;
            }
            continue;
        }
        let at = q / p;
        if p < 0.0 {
            from = from.max(at);
        } else {
            until = until.min(at);
        }
    }
    let at = |t: f64| match t {
        0.0 => a,
        1.0 => b,
        t => (a.0 + dx * t, a.1 + dy * t),
    };
    (from < until).then(|| (at(from), at(until)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sheets_are_named_from_the_lower_left() {
        let name = |column, row| Tile { column, row }.name();
        assert_eq!([name(0, 0), name(1, 2), name(26, 0)], ["A1", "B3", "AA1"]);
    }

    #[test]
    fn a_place_lies_on_its_own_sheet() {
        let tile = Tile::holding((190.0, -10.0));
        assert_eq!(tile, Tile { column: 1, row: 0 });
        assert!(tile.window().holds(Rect::new(180.0, -220.0, 180.0, 220.0)));
    }

    #[test]
    fn lines_end_at_the_edge() {
        let to = Rect::new(0.0, 0.0, 10.0, 10.0);
        assert_eq!(inside((-5.0, 5.0), (15.0, 5.0), to), Some(((0.0, 5.0), (10.0, 5.0))));
        assert_eq!(inside((-5.0, 11.0), (15.0, 11.0), to), None);
    }
}
