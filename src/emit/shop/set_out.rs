//! The set-out card: one page to take into the yard with a tape.

use super::{titled_yard, yard_file};
use crate::check::Compiled;
use crate::emit::Output;
use crate::emit::paper::flow::GAP;
use crate::emit::paper::{A4, BODY, Cell, Drawing, Table, lines, pdf, svg};
use crate::emit::plan::{bearing, best_pegs, flat, tape};
use crate::emit::svg::Hang;
use crate::units::{Mm, System};

/// The card as PDF and, its first sheet, as SVG; none for a yard without figures.
pub fn outputs(compiled: &Compiled) -> Vec<Output> {
    let yard = &compiled.yard;
    if yard.figures.is_empty() {
        return Vec::new();
    }
    let pegs = best_pegs(yard);
    let from =
        |n: usize| pegs.map_or(String::new(), |(a, b)| format!("from {}", [a, b][n].name.value));
    let columns = vec![
        Cell::number("no", 9.0),
        Cell::words("figure", 52.0),
        Cell::number(&from(0), 25.0),
        Cell::number(&from(1), 25.0),
        Cell::number("x east", 20.0),
        Cell::number("y north", 20.0),
        Cell::words("faces", 14.0),
        Cell::words("done", 17.0),
    ];
    let rows = yard.figures.iter().enumerate().map(|(n, placed)| {
        let to = |peg: usize| {
            let Some((a, b)) = pegs else { return String::new() };
            let at = [a, b][peg].at;
            let long = tape(Mm(libm::hypot(placed.at.x - at.x, placed.at.y - at.y)), yard.system);
            if flat(a, b, placed) { format!("! {long}") } else { long }
        };
        let laid_up = if placed.laid_up.is_some() { " (laid up)" } else { "" };
        vec![
            (n + 1).to_string(),
            format!("{}{laid_up}", placed.name.value),
            to(0),
            to(1),
            tape(Mm(placed.at.x), yard.system),
            tape(Mm(placed.at.y), yard.system),
            bearing(placed.facing),
            "\u{2013}\u{2013}\u{2013}\u{2013}".to_owned(),
        ]
    });
    let table = Table { columns, rows: rows.collect() };
    let any_flat = pegs.is_some_and(|(a, b)| yard.figures.iter().any(|placed| flat(a, b, placed)));
    let bodies = bodies(&table, pegs.is_some(), any_flat);
    let subject = "Set-out card: where every board's x = 0 stands";
    let unit = if yard.system == System::Inch { "feet, inches" } else { "metres" };
    let sheets = titled_yard(compiled, (subject, unit), &bodies);
    let name = yard.title.as_deref().or(yard.name.as_ref().map(|n| n.value.as_str()));
    let title = format!("{}: set-out card", name.unwrap_or("yard"));
    let about = "Two tape distances to each figure's x = 0 on the ground.";
    let file = yard_file(compiled, "set-out");
    let first = sheets.first().map(|s| svg(s, A4, &title, about));
    let mut all = vec![Output::new(format!("{file}.pdf"), pdf(&title, &sheets))];
    all.extend(first.map(|s| Output::new(format!("{file}.svg"), s)));
    all
}

fn bodies(table: &Table, pegs: bool, flat: bool) -> Vec<Drawing> {
    let mut bodies = Vec::new();
    let mut from = 0;
    while from < table.rows.len() {
        let mut body = Drawing::default();
        let x = BODY.x + GAP;
        let mut y = BODY.y + GAP + 5.0;
        body.bold((x, y), 5.0, Hang::Start, "Set-out");
        y += 6.0;
        let words = if pegs {
            "Hook one tape on each peg, pull both to the figure's two lengths and push a stick in \
             where they meet: there stands x = 0 of its board, on the ground, and it faces the way \
             its row says. Two places meet the same tapes, one on each side of the line \
             between the pegs: x and y tell which."
        } else {
            "No tape distances: they need two pegs, `peg porch at (0 m, 6 m)`. x and y count from \
             the yard's south-west corner."
        };
        for line in lines(words, 2.8, false, BODY.w - 2.0 * GAP) {
            body.text((x, y), 2.8, Hang::Start, &line);
            y += 3.9;
        }
        if flat {
            let words = "! The two tapes lie nearly along one line: they meet at less than 30 deg, \
                         and a finger's width of slack moves the stick by two or many more. Set \
                         such a figure out by x and y, or give it a peg to one side: `peg NAME at \
                         (x m, y m)`.";
            for line in lines(words, 2.8, true, BODY.w - 2.0 * GAP) {
                body.bold((x, y), 2.8, Hang::Start, &line);
                y += 3.9;
            }
        }
        y += 2.0;
        let fits = Table::rows_in(BODY.bottom() - GAP - y).max(1).min(table.rows.len() - from);
        let (drawn, _) = table.draw(from..from + fits);
        body.lay(&drawn, (x, y));
        bodies.push(body);
        from += fits;
    }
    bodies
}
