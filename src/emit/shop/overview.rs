//! The first sheets: the whole board from behind, reduced, the table of its holes, and
//! which sheets follow.

use super::{Page, Shop, board, measures};
use crate::emit::paper::flow::GAP;
use crate::emit::paper::{BODY, Cell, Drawing, Fill, Mark, STEP, Table, Tile, fitted, lines};
use crate::emit::svg::{Hang, Line, P, Rect};
use crate::emit::words::decimal;

/// Scales people can read off with a ruler.
const SCALES: [f64; 12] = [2.0, 2.5, 4.0, 5.0, 8.0, 10.0, 15.0, 20.0, 25.0, 50.0, 100.0, 200.0];

/// Where the reduced board stands.
const PICTURE: Rect = Rect::new(BODY.x + GAP, BODY.y + GAP + 8.0, 96.0, 142.0);

/// Room for the dimensions on the left of the picture and below.
const SIDE: P = (9.0, 6.0);

/// The overview, and further sheets where its tables are long.
pub fn sheets(shop: &Shop<'_>, following: &[Page]) -> Vec<Page> {
    let mut first = Drawing::default();
    let drawn = picture(shop, &mut first);
    let scale = drawn.map(|d| d.0);
    let beside = beside(shop, &mut first, scale, following);
    let holes = holes(shop);
    let spacings = spacings(shop);
    let top = f64::max(drawn.map_or(0.0, |d| d.1), beside) + 5.0;
    let mut pages = vec![Page {
        body: first,
        subject: "Overview: the board from behind, mirrored".to_owned(),
        scale: scale.map_or("none".to_owned(), |s| format!("1:{}", decimal(s, 1))),
    }];
    let mut y = top;
    let from = measures::from(&shop.made.datum);
    let (corners, about) = (measures::corners(shop), measures::about_corners(shop));
    for (head, table) in [
        (format!("Holes, measured on the back from O, {from}"), holes),
        ("Check with a tape before you drill the second hole".to_owned(), spacings),
        (about, corners),
        (
            "Battens of the frame: both ends of each middle line, from O".to_owned(),
            measures::battens(shop),
        ),
    ] {
        let mut from = 0;
        while from < table.rows.len() {
            let room = BODY.bottom() - GAP - y - 6.0;
            let fits = Table::rows_in(room).min(table.rows.len() - from);
            if fits < 1.min(table.rows.len()) {
                let body = Drawing::default();
                pages.push(Page::of_words(body, "Overview: measures"));
                y = BODY.y + GAP;
                continue;
            }
            let Some(page) = pages.last_mut() else { break };
            page.body.bold((BODY.x + GAP, y + 3.5), 3.2, Hang::Start, &head);
            let (drawn, high) = table.draw(from..from + fits);
            page.body.lay(&drawn, (BODY.x + GAP, y + 5.5));
            y += 5.5 + high + 4.0;
            from += fits;
        }
    }
    pages
}

/// The board, reduced; returns how much, and where the picture ends.
fn picture(shop: &Shop<'_>, to: &mut Drawing) -> Option<P> {
    let drawing = board::drawing(shop);
    let b = drawing.bounds()?;
    // What the dimensions take below and on the left.
    let (wide, high) = (PICTURE.w - SIDE.0, PICTURE.h - SIDE.1);
    let scale = SCALES.into_iter().find(|s| b.w / s <= wide && b.h / s <= high);
    let scale = scale.unwrap_or_else(|| (b.w / wide).max(b.h / high).ceil());
    let left = PICTURE.x + SIDE.0 + (wide - b.w / scale) / 2.0;
    let bottom = PICTURE.y + b.h / scale;
    let at = |p: P| (left + (p.0 - b.x) / scale, bottom + (p.1 - b.bottom()) / scale);
    let words = "FROM BEHIND, MIRRORED";
    to.bold((PICTURE.x, BODY.y + GAP + 4.2), 4.6, Hang::Start, words);
    let printed = board::tiles(shop);
    let places: Vec<P> = shop.made.holes.iter().map(|h| at(board::behind(shop, h.at))).collect();
    let (low, high) = (at((b.x, b.bottom())), at((b.right(), b.y)));
    let board = Rect::new(low.0, high.1, high.0 - low.0, low.1 - high.1);
    // Holes by their numbers, then corners and battens by their letters.
    let letters = measures::letters(shop);
    let named: Vec<(P, String)> = places
        .iter()
        .enumerate()
        .map(|(n, p)| (*p, (n + 1).to_string()))
        .chain(letters.into_iter().map(|(p, letter)| (at(board::behind(shop, p)), letter)))
        .collect();
    let numbers = numbers(&named, board);
    let taken: Vec<Rect> = numbers
        .iter()
        .copied()
        .chain(places.iter().map(|p| Rect::new(p.0 - 0.8, p.1 - 0.8, 1.6, 1.6)))
        .collect();
    net(shop, to, &printed, &at, &taken);
    for mark in &drawing.marks {
        match mark {
            Mark::Path { line, points, closed, fill } => {
                let points: Vec<P> = points.iter().map(|p| at(*p)).collect();
                // Centre lines of a hole are as long as the hole: too small to draw.
                if points.len() > 2 {
                    to.area(*line, &points, *closed, *fill);
                }
            }
            Mark::Circle { .. } | Mark::Text(_) => {}
        }
    }
    for (n, ((p, name), label)) in named.iter().zip(&numbers).enumerate() {
        if n < places.len() {
            to.dot(*p, 0.7);
        }
        to.block(*label, Fill::Paper);
        to.bold((label.x + 0.3, label.bottom() - 0.5), 2.8, Hang::Start, name);
    }
    board::origin(to, at(board::behind(shop, shop.made.datum.at)), 5.0);
    sizes(shop, to, &at);
    Some((scale, bottom + SIDE.1))
}

/// How wide and how high the board is.
fn sizes(shop: &Shop<'_>, to: &mut Drawing, at: &dyn Fn(P) -> P) {
    if shop.figure().board.outline.is_none() {
        return;
    }
    let b = &shop.made.board;
    let (left, right) = (at(board::behind(shop, b.high)), at(board::behind(shop, b.low)));
    let (low, high) = ((left.0, right.1), left);
    to.dimension(low, right, -5.0, &shop.length((b.high - b.low).x));
    to.dimension(low, high, 4.5, &shop.length((b.high - b.low).y));
}

/// Where the numbers of holes stand, and the letters of corners and battens: beside each,
/// clear of the others as far as there is room, and on the board where they can.
fn numbers(places: &[(P, String)], board: Rect) -> Vec<Rect> {
    let mut taken: Vec<Rect> =
        places.iter().map(|(p, _)| Rect::new(p.0 - 0.7, p.1 - 0.7, 1.4, 1.4)).collect();
    let mut labels = Vec::with_capacity(places.len());
    for (p, name) in places {
        let wide = crate::emit::paper::width(name, 2.8, true) + 0.6;
        let beside = [
            (p.0 + 1.2, p.1 - 3.6),
            (p.0 - 1.2 - wide, p.1 - 3.6),
            (p.0 + 1.2, p.1 + 0.6),
            (p.0 - 1.2 - wide, p.1 + 0.6),
            (p.0 + 1.4, p.1 - 1.5),
            (p.0 - 1.4 - wide, p.1 - 1.5),
        ]
        .map(|(x, y)| Rect::new(x, y, wide, 3.0));
        let clear = |r: &&Rect| !taken.iter().any(|t| t.overlaps(**r));
        let inside = beside.iter().filter(|r| board.grown(-0.4).holds(**r)).find(clear);
        let free = inside.or_else(|| beside.iter().find(clear));
        let label = *free.unwrap_or(&beside[0]);
        taken.push(label);
        labels.push(label);
    }
    labels
}

/// The net of sheets over the board: those that are printed are named boldly.
fn net(shop: &Shop<'_>, to: &mut Drawing, printed: &[Tile], at: &dyn Fn(P) -> P, taken: &[Rect]) {
    /// A net finer than this is not drawn.
    const MOST: i64 = 400;
    let b = &shop.made.board;
    let left = board::behind(shop, b.high);
    let right = board::behind(shop, b.low);
    let (low, high) = ((left.0, right.1), (right.0, left.1));
    let (first, last) =
        (Tile::holding((low.0, low.1 - 1e-6)), Tile::holding((high.0 - 1e-6, high.1 + 1e-6)));
    let (rows, columns) = (last.row - first.row + 1, last.column - first.column + 1);
    if rows.saturating_mul(columns) > MOST {
        return;
    }
    for row in first.row + 1..=last.row {
        let y = Tile { row, column: 0 }.cell().bottom();
        to.line(Line::FineDashed, at((low.0, y)), at((high.0, y)));
    }
    for column in first.column + 1..=last.column {
        let x = Tile { row: 0, column }.cell().x;
        to.line(Line::FineDashed, at((x, low.1)), at((x, high.1)));
    }
    for row in first.row..=last.row {
        for column in first.column..=last.column {
            let tile = Tile { row, column };
            let c = tile.cell();
            // No farther than the board's own box.
            let (a, b) = (
                at((c.x.max(low.0), c.y.max(high.1))),
                at((c.right().min(high.0), c.bottom().min(low.1))),
            );
            let r = Rect::new(a.0, a.1, (b.0 - a.0).max(0.0), (b.1 - a.1).max(0.0));
            let bold = printed.contains(&tile);
            let (name, sizes) = (tile.name(), if bold { [2.8, 2.2, 1.8] } else { [1.8; 3] });
            let Some((seat, size)) = sizes.into_iter().find_map(|size| {
                let wide = crate::emit::paper::width(&name, size, bold);
                seat(r, (wide, size), taken).map(|s| (s, size))
            }) else {
                // No room in its cell: the table of holes names the sheet.
                continue;
            };
            match bold {
                true => to.bold(seat, size, Hang::Start, &name),
                false => to.text(seat, size, Hang::Start, &name),
            }
        }
    }
}

/// Where the name of a sheet stands in its cell, clear of holes and their numbers; `None`
/// where there is no room.
fn seat(cell: Rect, (wide, high): (f64, f64), taken: &[Rect]) -> Option<P> {
    let right = cell.right() - 0.6 - wide;
    let middle = cell.x + (cell.w - wide) / 2.0;
    let lines = ((cell.h - 0.8) / (high + 0.2)).floor().max(1.0) as usize;
    let places = (0..lines).flat_map(|n| {
        let y = cell.y + 0.6 + (high + 0.2) * n as f64;
        [cell.x + 0.8, right, middle].map(|x| Rect::new(x, y, wide, high))
    });
    let free = |r: &Rect| cell.holds(*r) && !taken.iter().any(|t| t.overlaps(*r));
    places.into_iter().find(free).map(|r| (r.x, r.bottom() - high * 0.12))
}

/// What stands beside the picture; returns where it ends.
fn beside(shop: &Shop<'_>, to: &mut Drawing, scale: Option<f64>, following: &[Page]) -> f64 {
    let x = PICTURE.right() + 6.0;
    let room = BODY.right() - GAP - x;
    let mut y = BODY.y + GAP + 4.2;
    let mut put = |words: &str, bold: bool| {
        for line in lines(words, 2.8, bold, room) {
            match bold {
                true => to.bold((x, y), 2.8, Hang::Start, &line),
                false => to.text((x, y), 2.8, Hang::Start, &line),
            }
            y += 3.8;
        }
        y += 0.8;
    };
    if let Some(scale) = scale {
        put(&format!("Not to scale for drilling: 1:{}", decimal(scale, 1)), true);
    } else {
        put("This figure has no board and no holes to draw.", true);
    }
    if scale.is_some() {
        put(measures::about_datum(&shop.made.datum), false);
    }
    if !shop.made.holes.is_empty() {
        put(
            &format!(
                "Letters with numbers (A1) name the {} by {} net of sheets, from the left lower \
                 one. Only those with holes are printed, bold here; the others are bare board.",
                shop.length(STEP.0),
                shop.length(STEP.1)
            ),
            false,
        );
        put(
            "Lay a drill sheet on the back of the board by its corner crosses: each says how far \
             across and up from O it is. Tape the sheets, look at the distances below, then drill.",
            false,
        );
    }
    put("Sheets that follow", true);
    /// More lines than this have no room beside the picture.
    const MOST: usize = 22;
    let mut listed: Vec<(String, usize)> = Vec::new();
    for page in following {
        // One line for all sheets of one thing.
        let whole = page.subject.split(", sheet ").next().unwrap_or_default();
        match listed.last_mut().filter(|l| l.0 == whole) {
            Some(last) => last.1 += 1,
            None => listed.push((whole.to_owned(), 1)),
        }
    }
    for (subject, sheets) in listed.iter().take(MOST) {
        let times = if *sheets > 1 { format!(" ({sheets} sheets)") } else { String::new() };
        let line = format!("\u{2013} {subject}{times}");
        put(&fitted(&line, 2.8, false, room), false);
    }
    if listed.len() > MOST {
        put(&format!("\u{2013} and {} more", listed.len() - MOST), false);
    }
    put(
        "Keep fingers away from what moves while you try it by hand; local codes and licensed people decide on mains.",
        false,
    );
    y
}

fn holes(shop: &Shop<'_>) -> Table {
    let columns = vec![
        Cell::number("no", 9.0),
        Cell::words("hole", 52.0),
        Cell::words("drill", 64.0),
        Cell::number("across", 22.0),
        Cell::number("up", 22.0),
        Cell::words("sheet", 13.0),
    ];
    let printed = board::tiles(shop);
    let rows = shop.made.holes.iter().enumerate().map(|(n, hole)| {
        let (across, up) = shop.made.behind(hole.at);
        let tile = Tile::holding(board::behind(shop, hole.at));
        let sheet = if printed.contains(&tile) { tile.name() } else { String::new() };
        vec![
            (n + 1).to_string(),
            hole.name.clone(),
            board::drill(shop, &hole.drill),
            shop.place(across),
            shop.place(up),
            sheet,
        ]
    });
    Table { columns, rows: rows.collect() }
}

fn spacings(shop: &Shop<'_>) -> Table {
    let columns = vec![Cell::words("from, to", 92.0), Cell::number("apart", 26.0)];
    let spans = shop.made.datum.checks.iter().chain(&shop.made.spacings);
    let rows = spans.map(|s| vec![s.name.clone(), shop.place(s.apart.0)]);
    Table { columns, rows: rows.collect() }
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    use super::*;
    use crate::check::{Compiled, Compiler};
    use crate::emit::paper::width;
    use crate::source::MemoryDisk;

    fn compiled(figure: &str) -> Compiled {
        let text = format!(
            "use parts\nfigure tall {{\n{figure}\n}}\nset tall at (4 m, 4 m) facing south\n"
        );
        let disk = MemoryDisk::new().with("/y/a.yard", text);
        Compiler::new(disk).compile(Path::new("/y/a.yard")).unwrap()
    }

    /// Half a millimetre is too coarse for the shafts of a belt: 199.4 mm are 199.4 mm.
    #[test]
    fn distances_are_told_to_a_tenth() {
        let compiled = compiled(
            "board plywood-9 600 mm by 900 mm
  limb wheel { pivot (300, 600) mm  tip (300, 700) mm  drive spin { motor wiper at (300, 400.6) mm  belt 20 40 pitch 5 mm  length ? } }",
        );
        let shop = Shop::new(&compiled, 0);
        let apart: Vec<String> =
            spacings(&shop).rows.into_iter().filter_map(|row| row.into_iter().nth(1)).collect();
        assert!(apart.contains(&"199.4 mm".to_owned()), "{apart:?} {:?}", compiled.findings);
    }

    /// On a figure of 3 m, drawn 1:25, a cell of the net is 7 mm wide.
    #[test]
    fn no_name_stands_on_a_number() {
        let limb = |n: i32| {
            let (x, y) = (120 + 190 * (n % 5), 250 + 130 * n);
            format!(
                "limb l{n} {{ pivot ({x}, {y}) mm  tip ({}, {y}) mm  drive servo {{ motor servo-standard }} }}",
                x + 200
            )
        };
        let limbs: Vec<String> = (0..20).map(limb).collect();
        let compiled =
            compiled(&format!("board plywood-9 1200 mm by 3000 mm\n{}", limbs.join("\n")));
        let shop = Shop::new(&compiled, 0);
        let mut drawing = Drawing::default();
        assert_eq!(picture(&shop, &mut drawing).map(|p| p.0), Some(25.0));
        assert!(shop.made.holes.len() >= 20, "{}", shop.made.holes.len());
        let boxes: Vec<(Rect, &str)> = drawing
            .marks
            .iter()
            .filter_map(|m| match m {
                Mark::Text(t) if t.at.1 > PICTURE.y => {
                    let high = t.size * 0.72;
                    let wide = width(&t.words, t.size, t.bold);
                    let own = Rect::new(t.at.0, t.at.1 - high, wide, high);
                    // The board's sizes stand in the middle of their lines.
                    let own = if t.hang == Hang::Start { Some(own) } else { m.bounds() };
                    Some((own?, t.words.as_str()))
                }
                _ => None,
            })
            .collect();
        assert!(boxes.len() > 40, "{}", boxes.len());
        for (n, (a, words)) in boxes.iter().enumerate() {
            for (b, others) in &boxes[n + 1..] {
                assert!(!a.overlaps(*b), "{words} on {others}");
            }
        }
    }
}
