//! The sheet: border, title block, where drawing, table and legend stand.

use crate::emit::svg::{Hang, Line, P, Rect, Svg, fitted};

/// A3 landscape, mm (ISO 216).
pub const PAPER: P = (420.0, 297.0);

/// Inside the border: 20 mm on the filing side, 10 mm elsewhere (ISO 5457).
pub const FRAME: Rect = Rect::new(20.0, 10.0, 390.0, 277.0);

/// Size of the title block.
const TITLE: P = (108.0, 46.0);

/// Size of the legend, scale bar and north arrow included.
const LEGEND: P = (90.0, 46.0);

/// Width of one column of the set-out table.
pub const COLUMN: f64 = 96.0;

/// Room the drawing needs around the yard: left, top, right, bottom.
const AROUND: [f64; 4] = [17.0, 12.0, 12.0, 17.0];

/// Scales for people with a ruler; larger yards go on by tens.
const SCALES: [f64; 10] = [20.0, 25.0, 50.0, 100.0, 200.0, 500.0, 1000.0, 2000.0, 5000.0, 10_000.0];

/// How the first sheet is divided.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Layout {
    /// 1 to this.
    pub scale: f64,
    /// Where the yard is drawn.
    pub drawing: Rect,
    /// The set-out table; `None` where it has its own sheets.
    pub table: Option<Rect>,
    /// The legend.
    pub legend: Rect,
    /// The title block.
    pub title: Rect,
}

/// The layout that draws `extent` (mm in the yard) largest; of equals the one
/// without a second sheet. `table_height` is that of a table in so many columns.
pub fn layout(extent: P, table_height: impl Fn(usize) -> f64) -> Layout {
    let title = Rect::new(FRAME.right() - TITLE.0, FRAME.bottom() - TITLE.1, TITLE.0, TITLE.1);
    let strip = |height: f64, table: bool| {
        let height = height.max(TITLE.1);
        let top = FRAME.bottom() - height;
        let legend = Rect::new(title.x - LEGEND.0, title.y, LEGEND.0, LEGEND.1);
        let table = table.then(|| Rect::new(FRAME.x, top, legend.x - FRAME.x, height));
        let drawing = Rect::new(FRAME.x, FRAME.y, FRAME.w, top - FRAME.y);
        (drawing, table, legend)
    };
    let side = {
        let x = title.x;
        let legend = Rect::new(x, title.y - LEGEND.1, TITLE.0, LEGEND.1);
        let table = Rect::new(x, FRAME.y, TITLE.0, legend.y - FRAME.y);
        (Rect::new(FRAME.x, FRAME.y, x - FRAME.x, FRAME.h), Some(table), legend)
    };
    let side_fits = side.1.is_some_and(|t| table_height(1) <= t.h);
    let mut best: Option<Layout> = None;
    let ways =
        [Some(strip(table_height(2), true)), side_fits.then_some(side), Some(strip(0.0, false))];
    for (drawing, table, legend) in ways.into_iter().flatten() {
        let Some(scale) = scale_for(extent, drawing) else { continue };
        if best.is_none_or(|b| scale < b.scale) {
            best = Some(Layout { scale, drawing, table, legend, title });
        }
    }
    best.unwrap_or_else(|| {
        let (drawing, table, legend) = strip(0.0, false);
        let largest = (extent.0 / (drawing.w / 2.0)).max(extent.1 / (drawing.h / 2.0));
        Layout { scale: largest.ceil().max(1.0), drawing, table, legend, title }
    })
}

/// The largest scale at which the yard and its margins fit.
fn scale_for((w, h): P, drawing: Rect) -> Option<f64> {
    let [left, top, right, bottom] = AROUND;
    let room = (drawing.w - left - right, drawing.h - top - bottom);
    SCALES.into_iter().find(|s| w / s <= room.0 && h / s <= room.1)
}

/// Where the yard's south-west extreme stands on the paper: centred in what is
/// left of the drawing's field.
pub fn origin((w, h): P, layout: &Layout) -> P {
    let [left, top, right, bottom] = AROUND;
    let d = layout.drawing;
    let spare = (d.w - left - right - w / layout.scale, d.h - top - bottom - h / layout.scale);
    (d.x + left + spare.0 / 2.0, d.bottom() - bottom - spare.1 / 2.0)
}

/// What the title block says.
#[derive(Clone, Debug)]
pub struct Title<'a> {
    /// The yard.
    pub name: &'a str,
    /// What the sheet shows.
    pub subject: &'a str,
    /// "1:50".
    pub scale: String,
    /// This sheet and how many there are.
    pub sheet: (usize, usize),
    /// The unit of lengths on it.
    pub unit: &'a str,
    /// The file it was made from.
    pub file: &'a str,
}

/// Border with centring marks (ISO 5457).
pub fn border(svg: &mut Svg) {
    svg.rect(Line::Wide, FRAME);
    let (cx, cy) = (PAPER.0 / 2.0, PAPER.1 / 2.0);
    for (a, b) in [
        ((cx, FRAME.y - 5.0), (cx, FRAME.y + 3.0)),
        ((cx, FRAME.bottom() + 5.0), (cx, FRAME.bottom() - 3.0)),
        ((FRAME.x - 5.0, cy), (FRAME.x + 3.0, cy)),
        ((FRAME.right() + 5.0, cy), (FRAME.right() - 3.0, cy)),
    ] {
        svg.line(Line::Wide, a, b);
    }
}

/// The title block, at the right bottom corner of every sheet (ISO 7200). Date
/// and signature are for a pen: the sheet itself is the same every time.
pub fn title_block(svg: &mut Svg, r: Rect, title: &Title<'_>) {
    svg.card(Line::Wide, r);
    let rows = [r.y + 17.0, r.y + 27.0, r.y + 37.0];
    for y in rows {
        svg.line(Line::Narrow, (r.x, y), (r.right(), y));
    }
    svg.text((r.x + 3.0, r.y + 4.2), 1.9, Hang::Start, title.subject);
    svg.bold((r.x + 3.0, r.y + 12.2), 6.0, Hang::Start, &fitted(title.name, 6.4, r.w - 6.0));
    let (number, of) = title.sheet;
    let sheet = format!("{number} of {of}");
    cells(
        svg,
        r,
        rows[0],
        &[("Scale", &title.scale), ("Size", "A3"), ("Sheet", &sheet), ("Lengths in", title.unit)],
    );
    cells(svg, r, rows[1], &[("From", title.file), ("Made by", "yardwright")]);
    cells(svg, r, rows[2], &[("Checked on site by", ""), ("Date", "")]);
}

/// A row of equal cells, 9 to 10 mm high.
fn cells(svg: &mut Svg, r: Rect, top: f64, cells: &[(&str, &str)]) {
    let width = r.w / cells.len() as f64;
    for (i, (name, value)) in cells.iter().enumerate() {
        let x = r.x + width * i as f64;
        if i > 0 {
            svg.line(
                Line::Narrow,
                (x, top),
                (x, top + if top + 10.0 > r.bottom() { 9.0 } else { 10.0 }),
            );
        }
        svg.text((x + 2.0, top + 3.0), 1.7, Hang::Start, name);
        svg.text((x + 2.0, top + 7.4), 3.2, Hang::Start, &fitted(value, 3.2, width - 4.0));
    }
}
