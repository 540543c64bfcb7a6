//! Sheets with the pieces that are cut from them, drawn to scale.

use super::html::own;
use crate::emit::svg::{Hang, Line, P, Rect, Svg, escape, fitted, text_width};
use crate::emit::words::{count, length};
use crate::stock::{Laid, SheetPlan, across};

/// Sheets of one kind that are drawn; of the others `parts.csv` tells.
const DRAWN: usize = 6;
/// How long a sheet is on the page, mm.
const LONG: f64 = 84.0;
/// Lettering on a piece, mm.
const LETTER: f64 = 2.3;
/// The least of it that is read.
const SMALL: f64 = 1.5;

/// The sheets of one kind, each with its pieces.
pub fn layout(plan: &SheetPlan) -> String {
    let sheets = &plan.layout.sheets;
    if sheets.is_empty() {
        return String::new();
    }
    let (wide, long) = plan.size;
    let mut out = format!(
        "<h3>{}, boxes of the pieces laid in rows: {} of {}, saw cut {}</h3>\n<div class=\"cut\">\n",
        escape(&plan.name),
        count(sheets.len(), "sheet"),
        across(wide, long, plan.system),
        length(plan.kerf, plan.system),
    );
    for (n, sheet) in sheets.iter().take(DRAWN).enumerate() {
        let title = format!("{}, sheet {} of {}", plan.name, n + 1, sheets.len());
        out.push_str(&format!("<figure>{}</figure>\n", drawing(sheet, plan, &title)));
    }
    out.push_str("</div>\n");
    if let Some(more) = sheets.len().checked_sub(DRAWN).filter(|m| *m > 0) {
        let more = count(more, "more sheet");
        out.push_str(&format!("<p class=\"soft\">{}</p>\n", own(&format!("{more} in parts.csv."))));
    }
    out
}

/// One sheet lying: along it from left to right, across it upward.
fn drawing(sheet: &[Laid], plan: &SheetPlan, title: &str) -> String {
    let (wide, long) = plan.size;
    let scale = LONG / long.0.max(wide.0);
    let whole = (long.0 * scale, wide.0 * scale);
    let mut svg = Svg::default();
    for piece in sheet {
        let ((x, y), (w, h)) = (piece.at, piece.size);
        let rect = Rect {
            x: x.0 * scale + 0.5,
            y: whole.1 - (y.0 + h.0) * scale + 0.5,
            w: w.0 * scale,
            h: h.0 * scale,
        };
        svg.rect(Line::Narrow, rect);
        name(&mut svg, rect, &piece.whose);
    }
    svg.rect(Line::Wide, Rect { x: 0.5, y: 0.5, w: whole.0, h: whole.1 });
    svg.inline((whole.0 + 1.0, whole.1 + 1.0), title)
}

/// The name of a piece inside it, the long way; cut off where it does not fit.
fn name(svg: &mut Svg, rect: Rect, text: &str) {
    let (room, high) = (rect.w.max(rect.h) - 1.0, rect.w.min(rect.h));
    let size = LETTER.min(high * 0.8);
    // Smaller before it is cut off.
    let size = size.min((size * room / text_width(text, size)).max(SMALL));
    let text = fitted(text, size, room);
    let middle: P = (rect.x + rect.w / 2.0, rect.y + rect.h / 2.0);
    if text_width(&text, size) > room || size < 1.0 {
        return;
    }
    match rect.w >= rect.h {
        true => svg.text((middle.0, middle.1 + size * 0.35), size, Hang::Middle, &text),
        false => svg.upright_at((middle.0 + size * 0.35, middle.1), size, Hang::Middle, &text),
    }
}
