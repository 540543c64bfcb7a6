//! Tables on a sheet.

use super::{Drawing, fitted};
use crate::emit::svg::{Hang, Line};

/// Height of a row, mm.
const ROW: f64 = 4.6;
/// Size of letters.
const SIZE: f64 = 2.7;

/// A column: its head, its width, and whether its cells end at its right edge.
#[derive(Clone, Debug)]
pub struct Cell {
    /// What stands over it.
    pub head: String,
    /// Its width, mm.
    pub wide: f64,
    /// Numbers end at the right, words begin at the left.
    pub number: bool,
}

impl Cell {
    /// A column of words.
    #[must_use]
    pub fn words(head: &str, wide: f64) -> Self {
        Self { head: head.to_owned(), wide, number: false }
    }

    /// A column of numbers.
    #[must_use]
    pub fn number(head: &str, wide: f64) -> Self {
        Self { head: head.to_owned(), wide, number: true }
    }
}

/// Rows of words under heads.
#[derive(Clone, Debug)]
pub struct Table {
    /// The columns.
    pub columns: Vec<Cell>,
    /// The rows, a text for each column.
    pub rows: Vec<Vec<String>>,
}

impl Table {
    /// Its width.
    #[must_use]
    pub fn wide(&self) -> f64 {
        self.columns.iter().map(|c| c.wide).sum()
    }

    /// How many rows fit into a height.
    #[must_use]
    pub fn rows_in(height: f64) -> usize {
        ((height - ROW - 1.5) / ROW).floor().max(0.0) as usize
    }

    /// Some of its rows under its heads, from the origin down; and the height of that.
    #[must_use]
    pub fn draw(&self, rows: std::ops::Range<usize>) -> (Drawing, f64) {
        let mut to = Drawing::default();
        let heads: Vec<&str> = self.columns.iter().map(|c| c.head.as_str()).collect();
        self.row(&mut to, 3.2, &heads, true);
        to.line(Line::Narrow, (0.0, ROW), (self.wide(), ROW));
        let shown = self.rows.get(rows).unwrap_or_default();
        for (n, row) in shown.iter().enumerate() {
            let cells: Vec<&str> = row.iter().map(String::as_str).collect();
            let top = ROW * (n as f64 + 1.0) + 1.0;
            self.row(&mut to, top + 3.2, &cells, false);
            to.line(Line::Fine, (0.0, top + ROW - 0.3), (self.wide(), top + ROW - 0.3));
        }
        (to, ROW * (shown.len() as f64 + 1.0) + 1.5)
    }

    fn row(&self, to: &mut Drawing, y: f64, cells: &[&str], bold: bool) {
        let mut x = 0.0;
        for (column, cell) in self.columns.iter().zip(cells) {
            let words = fitted(cell, SIZE, bold, column.wide - 2.0);
            let (at, hang) = match column.number {
                true => (x + column.wide - 1.0, Hang::End),
                false => (x + 1.0, Hang::Start),
            };
            match bold {
                true => to.bold((at, y), SIZE, hang, &words),
                false => to.text((at, y), SIZE, hang, &words),
            }
            x += column.wide;
        }
    }
}
