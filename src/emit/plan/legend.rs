//! The legend: a sample of every sign that is on the sheet, and no other.

use super::ground;
use super::place::Footprint;
use super::symbols;
use crate::emit::svg::{Hang, Line, P, Rect, Svg};
use crate::model::Yard;

/// Height of a row.
const ROW: f64 = 5.2;

/// How many rows a column holds.
const ROWS: usize = 6;

/// One sign and its words.
struct Item {
    words: &'static str,
    draw: fn(&mut Svg, P),
}

/// A sample's field is 11 mm wide around the point it is drawn at.
const fn item(words: &'static str, draw: fn(&mut Svg, P)) -> Item {
    Item { words, draw }
}

/// Draws the legend with scale bar and north arrow.
pub fn draw(svg: &mut Svg, r: Rect, yard: &Yard, prints: &[Option<Footprint>], scale: f64) {
    svg.open("legend", "what the signs mean");
    let (left, top) = (r.x + 4.0, r.y + 4.2);
    for (i, item) in items(yard, prints).iter().take(2 * ROWS).enumerate() {
        let (column, row) = (i / ROWS, i % ROWS);
        let x = left + column as f64 * 44.0;
        let y = top + row as f64 * ROW;
        (item.draw)(svg, (x + 5.0, y));
        svg.text((x + 12.0, y + 0.8), 2.1, Hang::Start, item.words);
    }
    svg.close();
    ground::scale_bar(svg, (r.x + 6.0, r.bottom() - 4.6), yard.system, scale);
    symbols::north(svg, (r.right() - 10.0, r.bottom() - 7.5));
}

fn items(yard: &Yard, prints: &[Option<Footprint>]) -> Vec<Item> {
    let has = |f: &dyn Fn(&Footprint) -> bool| prints.iter().flatten().any(f);
    let fed = yard.figures.iter().any(|p| p.figure.feed.is_some());
    let rows = [
        (has(&|p| !p.laid_up && p.board_known), item("board, arrow to its front", board)),
        (has(&|p| p.frame.is_some()), item("frame behind it", frame)),
        (has(&|p| p.before.is_some() || p.behind.is_some()), item("reach of its limbs", reach)),
        (has(&|p| !p.laid_up && !p.board_known), item("board's size not given", outline)),
        (has(&|p| p.laid_up), item("laid up", laid_up)),
        (has(&|_| true), item("set-out point, x = 0", point)),
        (yard.keep.is_some(), item("kept clear for viewers", kept)),
        (!yard.pegs.is_empty(), item("peg to tape from", symbols::peg)),
        (yard.supplies.iter().any(|s| s.at.is_some()), item("supply", symbols::supply)),
        (yard.controllers.iter().any(|c| c.at.is_some()), item("controller", symbols::controller)),
        (fed, item("cable, ~ estimated", cable)),
        (yard.shows.iter().any(|s| s.sound.speaker.is_some()), item("speaker", symbols::speaker)),
    ];
    rows.into_iter().filter(|(there, _)| *there).map(|(_, item)| item).collect()
}

fn box_at((x, y): P, w: f64, h: f64) -> Rect {
    Rect::new(x - w / 2.0, y - h / 2.0, w, h)
}

fn board(svg: &mut Svg, at: P) {
    let r = Rect::new(at.0 - 4.5, at.1 - 1.4, 9.0, 1.0);
    svg.filled(&[(r.x, r.y), (r.right(), r.y), (r.right(), r.bottom()), (r.x, r.bottom())]);
    symbols::arrow(svg, (at.0, at.1 - 0.4), (at.0, at.1 + 2.3));
}

fn frame(svg: &mut Svg, at: P) {
    svg.card(Line::Narrow, box_at(at, 9.0, 1.0));
}

fn reach(svg: &mut Svg, at: P) {
    svg.path(Line::Reach, &[(at.0 - 5.0, at.1), (at.0 + 5.6, at.1)], false);
}

fn outline(svg: &mut Svg, at: P) {
    svg.card(Line::Narrow, box_at(at, 9.0, 1.0));
}

fn laid_up(svg: &mut Svg, at: P) {
    svg.card(Line::Dashed, box_at(at, 9.0, 1.2));
}

fn point(svg: &mut Svg, at: P) {
    symbols::cross(svg, at, 1.5);
}

fn kept(svg: &mut Svg, at: P) {
    svg.hatched(box_at(at, 9.0, 3.0));
    svg.line(Line::Chain, (at.0 - 4.5, at.1 - 1.5), (at.0 + 4.5, at.1 - 1.5));
}

fn cable(svg: &mut Svg, at: P) {
    svg.line(Line::Dashed, (at.0 - 4.5, at.1), (at.0 + 4.5, at.1));
}
