//! The set-out table: every figure's place, facing, tape distances and cable.

use super::sheet::COLUMN;
use crate::emit::svg::{Hang, Line, Rect, Svg, fitted};
use crate::emit::words::decimal;
use crate::model::{Peg, Placed, Yard};
use crate::units::{Deg, Mm, System};

/// Height of a row, mm.
const ROW: f64 = 3.9;

/// Height of the heads over the rows, the table's own head included.
const HEAD: f64 = 9.5;

/// Height of letters.
const SIZE: f64 = 2.1;

/// Widths: number, name, x, y, facing, two tapes, cable; together [`COLUMN`].
const WIDTHS: [f64; 8] = [6.0, 23.0, 12.0, 12.0, 10.0, 12.0, 12.0, 9.0];

/// The cells of one figure.
pub type Row = [String; 8];

/// The table's content.
#[derive(Clone, Debug)]
pub struct Table {
    heads: Row,
    /// One row per figure, in file order.
    pub rows: Vec<Row>,
}

/// A length to lay a tape by: metres to a centimetre, or feet and inches.
pub fn tape(size: Mm, system: System) -> String {
    if !size.0.is_finite() {
        return "unknown".to_owned();
    }
    if system != System::Inch {
        return format!("{:.2}", (size.0 / 10.0).round() / 100.0 + 0.0);
    }
    let halves = (size.0 / 25.4 * 2.0).round();
    let (sign, halves) = (if halves < 0.0 { "-" } else { "" }, halves.abs());
    let feet = (halves / 24.0).floor();
    let inches = (halves - feet * 24.0) / 2.0;
    let (whole, half) = (inches.floor(), inches.fract() > 0.0);
    let inches = match (whole > 0.0, half) {
        (true, true) => format!("{}½", decimal(whole, 0)),
        (false, true) => "½".to_owned(),
        _ => decimal(whole, 0),
    };
    format!("{sign}{}′ {inches}″", decimal(feet, 0))
}

/// The two pegs that fix all figures best: the pair whose tapes cross least
/// flatly at the worst figure; the first of equals. `None` for fewer than two.
pub fn best_pegs(yard: &Yard) -> Option<(&Peg, &Peg)> {
    let mut best: Option<(f64, (&Peg, &Peg))> = None;
    for (i, b) in yard.pegs.iter().enumerate() {
        for a in &yard.pegs[..i] {
            let worst = yard.figures.iter().map(|p| crossing(a, b, p)).fold(1.0, f64::min);
            if best.is_none_or(|(w, _)| worst > w) {
                best = Some((worst, (a, b)));
            }
        }
    }
    best.map(|(_, pair)| pair)
}

/// Sine of the angle at which two tapes meet at a figure: 1 is square, 0 useless.
fn crossing(a: &Peg, b: &Peg, placed: &Placed) -> f64 {
    let to = |p: &Peg| (placed.at.x - p.at.x, placed.at.y - p.at.y);
    let ((ax, ay), (bx, by)) = (to(a), to(b));
    let lengths = libm::hypot(ax, ay) * libm::hypot(bx, by);
    if lengths > 0.0 { ((ax * by - ay * bx) / lengths).abs() } else { 0.0 }
}

/// Whether two tapes meet at a figure at less than 30 or more than 150 deg: there a little
/// slack shifts the place by more than twice as much (what surveyors keep the angles of a
/// triangle within, textbooks; from memory).
pub fn flat(a: &Peg, b: &Peg, placed: &Placed) -> bool {
    crossing(a, b, placed) < 0.5 - 1e-9
}

/// A bearing in a maker's words: "south", or degrees from north.
pub fn bearing(facing: Deg) -> String {
    let deg = facing.positive().0;
    const WORDS: [&str; 8] = ["N", "NE", "E", "SE", "S", "SW", "W", "NW"];
    let eighth = (deg / 45.0).round();
    if (deg - eighth * 45.0).abs() < 0.05 {
        WORDS[(eighth as usize) % 8].to_owned()
    } else {
        format!("{}°", decimal(deg, 1))
    }
}

impl Table {
    /// The table of a yard; `cables` are the figures' cable lengths and whether
    /// they were said.
    pub fn new(yard: &Yard, cables: &[Option<(Mm, bool)>]) -> Self {
        let pegs = best_pegs(yard);
        let system = yard.system;
        let peg_name = |pick: fn((&Peg, &Peg)) -> String| pegs.map(pick).unwrap_or_default();
        let heads = [
            "no".to_owned(),
            "figure".to_owned(),
            "x east".to_owned(),
            "y north".to_owned(),
            "faces".to_owned(),
            peg_name(|(a, _)| a.name.value.clone()),
            peg_name(|(_, b)| b.name.value.clone()),
            "cable".to_owned(),
        ];
        let rows = yard.figures.iter().enumerate().map(|(i, placed)| {
            let to = |p: &Peg| {
                let (dx, dy) = (placed.at.x - p.at.x, placed.at.y - p.at.y);
                tape(Mm(libm::hypot(dx, dy)), system)
            };
            let laid_up = if placed.laid_up.is_some() { " (laid up)" } else { "" };
            [
                (i + 1).to_string(),
                format!("{}{laid_up}", placed.name.value),
                tape(Mm(placed.at.x), system),
                tape(Mm(placed.at.y), system),
                bearing(placed.facing),
                pegs.map(|(a, _)| to(a)).unwrap_or_default(),
                pegs.map(|(_, b)| to(b)).unwrap_or_default(),
                cable(cables.get(i).copied().flatten(), system),
            ]
        });
        Self { heads, rows: rows.collect() }
    }

    /// Its height in so many columns.
    pub fn height(&self, columns: usize) -> f64 {
        HEAD + self.rows.len().div_ceil(columns.max(1)) as f64 * ROW + 2.0
    }

    /// How many rows a column of this height holds.
    pub fn rows_in(height: f64) -> usize {
        ((height - HEAD - 2.0) / ROW).floor().max(1.0) as usize
    }

    /// Draws rows `from..to` in columns of `per_column` rows.
    pub fn draw(&self, svg: &mut Svg, r: Rect, (from, to): (usize, usize), per_column: usize) {
        let rows = &self.rows[from.min(self.rows.len())..to.min(self.rows.len())];
        for (column, chunk) in rows.chunks(per_column.max(1)).enumerate() {
            let x = r.x + column as f64 * COLUMN;
            self.column(svg, (x, r.y), chunk);
        }
    }

    fn column(&self, svg: &mut Svg, (x, y): (f64, f64), rows: &[Row]) {
        let tapes = x + WIDTHS[..5].iter().sum::<f64>();
        if !self.heads[5].is_empty() {
            let middle = tapes + WIDTHS[5];
            svg.text((middle, y + 3.6), 1.8, Hang::Middle, "tape from peg");
        }
        svg.text((x + 2.0, y + 3.6), 1.8, Hang::Start, "set-out: x = 0 of each board");
        line_of(svg, x, y + 7.4, &self.heads, true);
        svg.line(Line::Narrow, (x + 1.5, y + 8.4), (x + COLUMN - 1.5, y + 8.4));
        for (i, row) in rows.iter().enumerate() {
            let base = y + HEAD + ROW * i as f64 + 2.6;
            line_of(svg, x, base, row, false);
            if (i + 1) % 5 == 0 && i + 1 < rows.len() {
                svg.line(Line::Fine, (x + 1.5, base + 1.1), (x + COLUMN - 1.5, base + 1.1));
            }
        }
    }
}

/// One line of cells: number and lengths end at the right of their cell, words
/// begin at its left.
fn line_of(svg: &mut Svg, x: f64, y: f64, cells: &Row, head: bool) {
    let mut left = x;
    for (i, (cell, width)) in cells.iter().zip(WIDTHS).enumerate() {
        let size = if head { 1.9 } else { SIZE };
        let text = fitted(cell, size, width - 1.0);
        if matches!(i, 1 | 4) {
            svg.text((left + if i == 4 { 3.0 } else { 1.5 }, y), size, Hang::Start, &text);
        } else {
            svg.text((left + width - 0.5, y), size, Hang::End, &text);
        }
        left += width;
    }
}

/// A cable's length, with "~" where it is an estimate.
fn cable(length: Option<(Mm, bool)>, system: System) -> String {
    match length {
        None => String::new(),
        Some((length, said)) => {
            let sign = if said { "" } else { "~" };
            let size = if system == System::Inch { length.0 / 304.8 } else { length.0 / 1000.0 };
            let unit = if system == System::Inch { "′" } else { "" };
            format!("{sign}{}{unit}", decimal(size, 1))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tapes_read_in_the_makers_units() {
        assert_eq!(tape(Mm(6403.1), System::Metric), "6.40");
        assert_eq!(tape(Mm(4432.3), System::Inch), "14′ 6½″");
        assert_eq!(tape(Mm(304.7), System::Inch), "1′ 0″");
        assert_eq!(tape(Mm(-1.0), System::Metric), "0.00");
    }

    #[test]
    fn bearings_are_words_where_they_can_be() {
        assert_eq!(bearing(Deg(180.0)), "S");
        assert_eq!(bearing(Deg(-45.0)), "NW");
        assert_eq!(bearing(Deg(359.99)), "N");
        assert_eq!(bearing(Deg(200.0)), "200°");
    }

    #[test]
    fn the_columns_fill_their_width() {
        assert!((WIDTHS.iter().sum::<f64>() - COLUMN).abs() < 1e-9);
    }
}
