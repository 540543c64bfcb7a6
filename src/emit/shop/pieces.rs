//! One SVG with every piece of a figure side by side in true size, for a plotter or a
//! cutter: the board from behind, limbs and cams from the front, bars.

use super::{Shop, bars, board, cam, plates};
use crate::emit::paper::{Drawing, svg as write};
use crate::emit::svg::{Hang, Line, P};

/// Between pieces, mm.
const GAP: f64 = 25.0;
/// A row of pieces is no longer than this, or than its longest piece.
const WIDE: f64 = 1500.0;

/// The file.
pub fn svg(shop: &Shop<'_>) -> String {
    let mut pieces: Vec<(String, Drawing)> = Vec::new();
    let mut back = board::drawing(shop);
    for hole in &shop.made.holes {
        let at = board::behind(shop, hole.at);
        let off = board::radius(hole) + 3.0;
        back.text((at.0 + off, at.1 - off), 4.0, Hang::Start, &hole.name);
    }
    pieces.push(("board from behind, mirrored".to_owned(), back));
    for (index, made) in shop.made.limbs.iter().enumerate() {
        let name = &shop.limb(index).name.value;
        if let Some(plate) = &made.plate {
            pieces.push((format!("{name}, from the front"), plates::drawing(plate)));
        }
        if let Some(plate) = &made.cam {
            pieces.push((format!("cam of {name}, from the front"), cam::drawing(plate)));
        }
    }
    for bar in &shop.made.bars {
        pieces.push((bars::name(shop, bar), bars::drawing(shop, bar)));
    }
    let mut sheet = Drawing::default();
    check_bar(&mut sheet);
    let (mut at, mut row): (P, f64) = ((GAP, 40.0), 40.0);
    let mut right: f64 = 160.0;
    for (name, drawing) in &pieces {
        let Some(b) = drawing.bounds() else { continue };
        if at.0 > GAP && at.0 + b.w > WIDE {
            at = (GAP, row + GAP);
        }
        sheet.text((at.0, at.1 + 5.0), 5.0, Hang::Start, name);
        sheet.lay(drawing, (at.0 - b.x, at.1 + 12.0 - b.y));
        right = right.max(at.0 + b.w.max(crate::emit::paper::width(name, 5.0, false)));
        row = row.max(at.1 + 12.0 + b.h);
        at.0 += b.w.max(60.0) + GAP;
    }
    let title = format!("{}: every piece in true size", shop.name());
    let about = format!(
        "Made from {} by yardwright. One unit is one millimetre; lay a ruler on the bar before \
         you cut.",
        shop.compiled.file
    );
    write(&sheet, (right + GAP, row + GAP), &title, &about)
}

/// 100 mm to lay a ruler on.
fn check_bar(to: &mut Drawing) {
    let y = 22.0;
    to.line(Line::Wide, (GAP, y), (GAP + 100.0, y));
    for n in 0..=10 {
        let x = GAP + 10.0 * f64::from(n);
        to.line(Line::Narrow, (x, y - if n % 10 == 0 { 4.0 } else { 2.0 }), (x, y));
    }
    to.text((GAP + 103.0, y), 4.0, Hang::Start, "100 mm");
}
