//! The sheet: its frame, its two check bars and its title block (ISO 7200).

use super::{A4, Drawing, Fill, LETTER, fitted};
use crate::emit::svg::{Hang, Line, Rect};

/// Inside the border. A printer that lays A4 on Letter in true size keeps the middle:
/// Letter is 17.6 mm lower, so 9 mm more stay free above and below than the 10 mm that
/// every printer keeps (common practice, no source).
pub const FRAME: Rect = Rect::new(10.0, 19.0, 190.0, 259.0);

/// Height of the strip with check bars and title block.
const STRIP: f64 = 27.0;

/// Where a sheet's own matter stands.
pub const BODY: Rect = Rect::new(FRAME.x, FRAME.y, FRAME.w, FRAME.h - STRIP);

/// Width of the check bars' part of the strip.
const BARS: f64 = 112.0;

const _: () = assert!((LETTER.0 - A4.0) / 2.0 + FRAME.x >= 10.0 && FRAME.x >= 10.0);
const _: () = assert!(FRAME.y - (A4.1 - LETTER.1) / 2.0 >= 10.0);
const _: () = assert!(A4.1 - FRAME.y - FRAME.h - (A4.1 - LETTER.1) / 2.0 >= 10.0);

/// What the title block says.
#[derive(Clone, Debug)]
pub struct Title<'a> {
    /// Whose sheet it is: the figure's, or the yard's name.
    pub name: &'a str,
    /// What people call it.
    pub title: &'a str,
    /// What the sheet shows.
    pub subject: &'a str,
    /// "1:1", "1:8", "none".
    pub scale: &'a str,
    /// This sheet and how many there are.
    pub sheet: (usize, usize),
    /// The unit of lengths on it.
    pub unit: &'a str,
    /// The file it was made from.
    pub file: &'a str,
}

impl Title<'_> {
    /// Puts border, check bars and title block round what the sheet shows.
    #[must_use]
    pub fn around(&self, body: &Drawing) -> Drawing {
        let mut sheet = Drawing::default();
        sheet.lay(body, (0.0, 0.0));
        let strip = Rect::new(FRAME.x, BODY.bottom(), FRAME.w, STRIP);
        sheet.block(strip, Fill::Paper);
        check_bars(&mut sheet, strip);
        self.block(&mut sheet, Rect::new(strip.x + BARS, strip.y, strip.w - BARS, strip.h));
        sheet.rect(Line::Wide, FRAME);
        sheet.line(Line::Wide, (strip.x, strip.y), (strip.right(), strip.y));
        sheet
    }

    fn block(&self, sheet: &mut Drawing, r: Rect) {
        sheet.line(Line::Wide, (r.x, r.y), (r.x, r.bottom()));
        let rows = [r.y + 13.5, r.y + 20.5];
        for y in rows {
            sheet.line(Line::Narrow, (r.x, y), (r.right(), y));
        }
        let room = r.w - 4.0;
        sheet.text(
            (r.x + 2.0, r.y + 3.8),
            2.6,
            Hang::Start,
            &fitted(self.subject, 2.6, false, room),
        );
        let named = fitted(self.name, 4.6, true, room);
        let title = if self.title.is_empty() { "" } else { self.title };
        sheet.bold((r.x + 2.0, r.y + 8.9), 4.6, Hang::Start, &named);
        sheet.text((r.x + 2.0, r.y + 12.3), 2.4, Hang::Start, &fitted(title, 2.4, false, room));
        let (number, of) = self.sheet;
        let sheets = format!("{number} of {of}");
        cells(
            sheet,
            r,
            rows[0],
            &[("Scale", self.scale), ("Sheet", &sheets), ("Lengths in", self.unit)],
        );
        cells(sheet, r, rows[1], &[("From", self.file), ("Made by", "yardwright")]);
    }
}

/// A row of equal cells.
fn cells(sheet: &mut Drawing, r: Rect, top: f64, cells: &[(&str, &str)]) {
    let wide = r.w / cells.len() as f64;
    let bottom = if top + 10.0 > r.bottom() { r.bottom() } else { top + 7.0 };
    for (n, (name, value)) in cells.iter().enumerate() {
        let x = r.x + wide * n as f64;
        if n > 0 {
            sheet.line(Line::Narrow, (x, top), (x, bottom));
        }
        sheet.text((x + 2.0, top + 2.4), 1.8, Hang::Start, name);
        sheet.text((x + 2.0, top + 5.7), 2.8, Hang::Start, &fitted(value, 2.8, false, wide - 3.0));
    }
}

/// 100 mm and 4 in to lay a ruler on: a sheet that does not measure so was not printed
/// in true size.
fn check_bars(sheet: &mut Drawing, r: Rect) {
    let x = r.x + 4.0;
    let hint = "Print at 100 % on A4 or Letter. Lay a ruler on both bars before you drill.";
    sheet.text((x, r.y + 4.2), 2.5, Hang::Start, hint);
    let bars: [(f64, f64, usize, &str); 2] =
        [(r.y + 11.0, 10.0, 10, "100 mm"), (r.y + 20.5, 25.4, 4, "4 in")];
    for (y, step, steps, words) in bars {
        let end = x + step * steps as f64;
        sheet.line(Line::Wide, (x, y), (end, y));
        for n in 0..=steps {
            let at = x + step * n as f64;
            let tall = if n == 0 || n == steps { 3.0 } else { 1.6 };
            let line = if tall > 2.0 { Line::Narrow } else { Line::Fine };
            sheet.line(line, (at, y - tall), (at, y));
        }
        sheet.text((x, y + 3.4), 2.5, Hang::Start, "0");
        sheet.text((end, y + 3.4), 2.5, Hang::End, words);
    }
}
