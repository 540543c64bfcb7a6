//! What the board and its frame are cut and set by: where lengths count from, the corners
//! of the outline, the battens.

use super::Shop;
use crate::emit::paper::{Cell, Table};
use crate::geometry::BoardPoint;
use crate::make::{Batten, Datum, Found};

/// What O is, in the head of a table.
pub const fn from(datum: &Datum) -> &'static str {
    match datum.found {
        Found::Corner => "the left end of its lowest edge",
        Found::Battens { .. } => "where two battens meet that touch it",
        Found::Origin => "the figure's own x = 0 on y = 0",
    }
}

/// How O is found with a finger.
pub const fn about_datum(datum: &Datum) -> &'static str {
    match datum.found {
        Found::Corner => {
            "O is a corner of the board: the left end of its lowest edge for who stands behind \
             it. Across counts from O to the right, up from that edge; minus is left of O."
        }
        Found::Battens { level: true } => {
            "The board has no corner at its lower left. Stand it on a straight batten and set \
             another, square to it, against its left side: O is where the two meet. Across \
             counts from O to the right, up from the lower batten."
        }
        Found::Battens { level: false } => {
            "The board has no level edge below and no corner at its lower left. Lay a straight \
             batten under its lowest place and another, square to it, against its left side: O \
             is where the two meet. Turn the board until the distances from its corners or edge \
             below are right; then across counts from O to the right, up from the lower batten."
        }
        Found::Origin => {
            "No outline of the board is said, so O is the figure's own x = 0 on y = 0. Across \
             counts to the right for who stands behind it; minus is left of O."
        }
    }
}

/// Corners and battens with the letters they have on the overview.
pub fn letters(shop: &Shop<'_>) -> Vec<(BoardPoint, String)> {
    let datum = &shop.made.datum;
    let mut all = Vec::new();
    if datum.found != Found::Corner {
        all.push((datum.at, "O".to_owned()));
    }
    all.extend(datum.corners.iter().map(|(letter, at)| (*at, letter.to_string())));
    for (n, b) in shop.made.battens.iter().enumerate() {
        // A third of the way along: where two cross in their middles they keep apart.
        let third = |a: f64, b: f64| a + (b - a) / 3.0;
        all.push((BoardPoint::mm(third(b.from.x, b.to.x), third(b.from.y, b.to.y)), letter(n)));
    }
    all
}

/// "a", "b" … "z", "a2".
fn letter(n: usize) -> String {
    let letter = char::from(b'a' + (n % 26) as u8);
    match n / 26 {
        0 => letter.to_string(),
        more => format!("{letter}{}", more + 1),
    }
}

/// What stands over the table of corners.
pub fn about_corners(shop: &Shop<'_>) -> String {
    let sheet = shop.figure().board.sheet.as_ref();
    let sheet = sheet.map_or(String::new(), |s| format!(", {}", s.name));
    let curves = if shop.made.straight {
        "one after the other, from O"
    } else {
        "from O; curves between them: cut from the file for the plotter"
    };
    format!("The board{sheet}: its corners, {curves}")
}

/// Corners side by side.
const BESIDE: usize = 3;

/// Where the board's corners are.
pub fn corners(shop: &Shop<'_>) -> Table {
    let columns = (0..BESIDE).flat_map(|_| {
        [Cell::number("corner", 14.0), Cell::number("across", 22.0), Cell::number("up", 24.0)]
    });
    let corners = &shop.made.corners;
    let cell = |n: usize| {
        let corner = corners.get(n).map(|p| {
            let (across, up) = shop.made.behind(*p);
            let known = shop.made.datum.corners.iter().find(|c| c.1 == *p);
            let letter = known.map_or(String::new(), |c| format!("{} ", c.0));
            [format!("{letter}{}", n + 1), shop.place(across), shop.place(up)]
        });
        corner.unwrap_or_default()
    };
    let rows = corners.len().div_ceil(BESIDE);
    let row = |n: usize| (0..BESIDE).flat_map(|c| cell(n + rows * c)).collect();
    Table { columns: columns.collect(), rows: (0..rows).map(row).collect() }
}

/// The battens: what they are cut from, and where they lie.
pub fn battens(shop: &Shop<'_>) -> Table {
    let columns = vec![
        Cell::words("", 9.0),
        Cell::words("across the board, depth", 48.0),
        Cell::number("long", 23.0),
        Cell::number("across", 23.0),
        Cell::number("up", 23.0),
        Cell::number("to across", 25.0),
        Cell::number("up", 25.0),
    ];
    let row = |(n, b): (usize, &Batten)| {
        let ((x, y), (x2, y2)) = (shop.made.behind(b.from), shop.made.behind(b.to));
        vec![
            letter(n),
            format!("{} by {}", shop.length(b.section.0.0), shop.length(b.section.1.0)),
            shop.place(b.length.0),
            shop.place(x),
            shop.place(y),
            shop.place(x2),
            shop.place(y2),
        ]
    };
    Table { columns, rows: shop.made.battens.iter().enumerate().map(row).collect() }
}
