//! The hole chart as a table for a spreadsheet and as a sheet to pin over the bench.

use super::svg::{Hang, Line, Rect, Svg, fitted, text_width};
use super::words::{decimal, length};
use crate::fit::chart::{Cell, Chart};
use crate::units::{Mm, System};

/// A limb's chart and how it is shown.
#[derive(Clone, Debug, PartialEq)]
pub struct HoleChart {
    /// The limb, as `figure.limb`.
    pub limb: String,
    /// The household sizes are shown in.
    pub system: System,
    /// Whether it was asked for: holes of the other household are then shown in it too.
    pub strict: bool,
    /// The chart.
    pub chart: Chart,
}

impl HoleChart {
    /// "rod 375.5 mm, clamp -70 deg": what stays as it is, lengths as `length` has
    /// them, mm to text.
    #[must_use]
    pub fn kept(&self, length: impl Fn(f64) -> String) -> String {
        let size = |&(name, value): &(crate::fit::SizeName, f64)| {
            let size =
                if name.is_angle() { format!("{} deg", decimal(value, 1)) } else { length(value) };
            format!("{} {size}", name.word())
        };
        self.chart.kept.iter().map(size).collect::<Vec<_>>().join(", ")
    }
}

/// The chart as comma-separated values (RFC 4180): one line for each pair of holes.
#[must_use]
pub fn csv(shown: &HoleChart) -> String {
    let chart = &shown.chart;
    let (range, unit) = if chart.slides { ("stroke", "mm") } else { ("sweep", "deg") };
    let mut out = format!("{}_mm,", chart.down.word);
    if let Some(across) = &chart.across {
        out.push_str(&format!("{}_mm,", across.word));
    }
    out.push_str(&format!("works,{range}_{unit},centre_{unit},worst_push_deg,why,in_use\r\n"));
    for (r, row) in chart.cells.iter().enumerate() {
        for (c, cell) in row.iter().enumerate() {
            let mut fields = vec![decimal(chart.down.at[r], 4)];
            fields.extend(chart.across.as_ref().map(|a| decimal(a.at[c], 4)));
            match cell {
                Cell::Turns { range, centre, push } => {
                    fields.push("yes".into());
                    fields.extend([*range, *centre, *push].map(|v| decimal(v, 2)));
                    fields.push(String::new());
                }
                Cell::Blocked(why) => {
                    fields.extend(["no", "", "", "", why.as_str()].map(String::from));
                }
            }
            let used = chart.chosen == Some((r, c));
            fields.push(if used { "yes" } else { "" }.into());
            out.push_str(&fields.join(","));
            out.push_str("\r\n");
        }
    }
    out
}

/// A4 landscape, mm (ISO 216).
const PAPER: (f64, f64) = (297.0, 210.0);
/// Inside the border: 20 mm on the filing side, 10 mm elsewhere (ISO 5457).
const FRAME: Rect = Rect::new(20.0, 10.0, 267.0, 190.0);
/// Widest and lowest a cell is drawn.
const CELL: (f64, f64) = (44.0, 30.0);

/// The chart as a sheet: a cell for each pair of holes, the pair in use framed, what
/// does not work hatched with the reason. Holes that do not fit on one sheet are left
/// out at the far end, and the sheet says so.
#[must_use]
pub fn svg(shown: &HoleChart) -> String {
    let chart = &shown.chart;
    let mut sheet = Svg::default();
    sheet.rect(Line::Wide, FRAME);
    let title = format!("Trial holes of {}", shown.limb);
    sheet.bold((FRAME.x + 6.0, FRAME.y + 11.0), 6.0, Hang::Start, &fitted(&title, 6.0, 250.0));
    let kept = shown.kept(|mm| length(Mm(mm), shown.system));
    let about = match kept.as_str() {
        "" => String::new(),
        kept => format!("All with {kept}."),
    };
    let motion = if chart.slides { "stroke" } else { "swing" };
    let unit = if chart.slides { "mm" } else { "deg" };
    let legend = format!(
        "{about} In each cell: {motion} in {unit}, below it its middle in {unit} \u{b7} worst push angle, 90 is square."
    );
    let below = if chart.servo { 18.0 } else { 19.0 };
    sheet.text((FRAME.x + 6.0, FRAME.y + below), 3.5, Hang::Start, &legend);
    if chart.servo {
        let (over, used) = chart.over_travel();
        let line = format!("Swing and middle are those{over}, the push is the worst{used}.");
        sheet.text((FRAME.x + 6.0, FRAME.y + 22.6), 3.2, Hang::Start, &line);
    }
    let grid = Rect::new(FRAME.x + 36.0, FRAME.y + 36.0, FRAME.w - 42.0, FRAME.h - 52.0);
    let columns = chart.across.as_ref().map_or(1, |a| a.at.len());
    let cell = (
        (grid.w / columns as f64).clamp(16.0, CELL.0),
        (grid.h / chart.down.at.len() as f64).clamp(8.0, CELL.1),
    );
    let fit = |room: f64, size: f64| (room / size + 1e-9) as usize;
    let (wide, high) =
        (columns.min(fit(grid.w, cell.0)), chart.down.at.len().min(fit(grid.h, cell.1)));
    let axis = |at: f64| length(Mm(at), shown.system);
    if let Some(across) = &chart.across {
        let at = (grid.x + cell.0 * wide as f64 / 2.0, grid.y - 8.5);
        sheet.bold(at, 4.0, Hang::Middle, &format!("{} hole", across.word));
        for (c, &hole) in across.at.iter().take(wide).enumerate() {
            let at = (grid.x + cell.0 * (c as f64 + 0.5), grid.y - 2.5);
            sheet.text(at, size_for(&axis(hole), 3.5, cell.0), Hang::Middle, &axis(hole));
        }
    }
    let middle = grid.y + cell.1 * high as f64 / 2.0;
    sheet.upright((FRAME.x + 9.0, middle), 4.0, &format!("{} hole", chart.down.word));
    for (r, &hole) in chart.down.at.iter().take(high).enumerate() {
        let at = (grid.x - 2.5, grid.y + cell.1 * (r as f64 + 0.5) + 1.2);
        sheet.text(at, 3.5, Hang::End, &axis(hole));
        for c in 0..wide {
            let place =
                Rect::new(grid.x + cell.0 * c as f64, grid.y + cell.1 * r as f64, cell.0, cell.1);
            draw(&mut sheet, &chart.cells[r][c], place);
        }
    }
    if let Some((r, c)) = chart.chosen.filter(|&(r, c)| r < high && c < wide) {
        let place =
            Rect::new(grid.x + cell.0 * c as f64, grid.y + cell.1 * r as f64, cell.0, cell.1);
        for inside in [0.0, -0.5, -1.0] {
            sheet.rect(Line::Wide, place.grown(inside));
        }
    }
    let mut foot = "The thick frame is the pair in use; hatched pairs do not work. Check with your own parts before drilling.".to_owned();
    let left = chart.down.at.len() * columns - wide * high;
    if left > 0 {
        foot = format!("{left} pairs more than the sheet holds are in the table. {foot}");
    }
    sheet.text((FRAME.x + 6.0, FRAME.bottom() - 5.0), 3.2, Hang::Start, &foot);
    sheet.finish(PAPER, &title, &legend)
}

/// Shares of a cell that texts fill at most: fonts run wider than reckoned, bold ones more.
const PLAIN: f64 = 0.88;
const BOLD: f64 = 0.8;

/// The size at which a text fits into a width.
fn size_for(text: &str, size: f64, width: f64) -> f64 {
    let wide = text_width(text, size);
    if wide > width - 1.5 { size * (width - 1.5) / wide } else { size }
}

fn draw(sheet: &mut Svg, cell: &Cell, place: Rect) {
    let middle = place.x + place.w / 2.0;
    match cell {
        Cell::Turns { range, centre, push } => {
            sheet.card(Line::Narrow, place);
            let main = format!("{range:.1}");
            let more = format!("{} \u{b7} {}", decimal(*centre, 0), decimal(*push, 0));
            let size = size_for(&main, (place.h * 0.32).min(7.0), place.w * BOLD);
            sheet.bold((middle, place.y + place.h * 0.45), size, Hang::Middle, &main);
            let size = size_for(&more, (place.h * 0.24).min(4.5), place.w * PLAIN);
            sheet.text((middle, place.y + place.h * 0.82), size, Hang::Middle, &more);
        }
        Cell::Blocked(why) => {
            sheet.hatched(place);
            sheet.rect(Line::Narrow, place);
            let size = size_for(why, (place.h * 0.24).min(3.2), place.w * PLAIN);
            sheet.haloed((middle, place.y + place.h * 0.58), size, Hang::Middle, why);
        }
    }
}
