//! `parts.csv`: what to buy and to cut for the whole yard, and which bar each piece is
//! cut from; and the same as tables of the report.

use super::Output;
use super::cautions;
use super::words::{count, decimal, length};
use crate::check::Compiled;
use crate::stock::{Bar, Laid, Part, Shelf, Stock, across};
use crate::units::{Mm, System};

/// The row of the list of outputs: nothing where there is nothing to buy.
#[must_use]
pub fn outputs(compiled: &Compiled) -> Vec<Output> {
    let stock = compiled.stock();
    if stock.parts.is_empty() {
        return Vec::new();
    }
    let mut text = table(stock);
    // The list goes to the shop alone: what must be known of mains, air and wind goes with it.
    for caution in cautions::of(compiled) {
        let fields = ["caution", caution.about, "", "", "", "", "", "", caution.words, "", "no"];
        text.push_str(&fields.map(cell).join(","));
        text.push_str("\r\n");
    }
    vec![Output::new("parts.csv", text)]
}

/// The table by RFC 4180. Lengths in mm for programs, and as a ruler shows them.
fn table(stock: &Stock) -> String {
    let mut text = String::from(
        "shelf,part,size,quantity,length_mm,width_mm,height_mm,area_m2,about,figures,assumed\r\n",
    );
    let mut line = |fields: [String; 11]| {
        text.push_str(&fields.map(|f| cell(&f)).join(","));
        text.push_str("\r\n");
    };
    for part in &stock.parts {
        let mm = |l: Option<Mm>| l.map(|l| decimal(l.0, 1)).unwrap_or_default();
        line([
            part.shelf.word().to_owned(),
            part.name.clone(),
            size(part),
            quantity(part),
            mm(part.size.length),
            mm(part.size.width),
            mm(part.size.height),
            part.size.area.map(|a| decimal(a.0 * 1e-6, 3)).unwrap_or_default(),
            part.about.clone(),
            part.figures.join(" "),
            if part.assumed { "yes" } else { "no" }.to_owned(),
        ]);
    }
    for plan in &stock.sheets {
        for sheet in &plan.layout.sheets {
            let (wide, long) = plan.size;
            let area: f64 = sheet.iter().map(|p| p.size.0.0 * p.size.1.0).sum();
            line([
                "cut plan".to_owned(),
                plan.name.clone(),
                across(wide, long, plan.system),
                "1".to_owned(),
                String::new(),
                decimal(wide.0, 1),
                decimal(long.0, 1),
                decimal(area * 1e-6, 3),
                "boxes laid in rows".to_owned(),
                pieces(sheet),
                "yes".to_owned(),
            ]);
        }
    }
    for plan in &stock.bars {
        for same in alike(&plan.nested.bars) {
            let empty = String::new;
            line([
                "cut plan".to_owned(),
                plan.section.words(plan.system),
                length(plan.length, plan.system),
                same.len().to_string(),
                decimal(plan.length.0, 1),
                empty(),
                empty(),
                empty(),
                cuts(same[0], plan.system),
                whose(&same),
                if plan.usual { "yes" } else { "no" }.to_owned(),
            ]);
        }
    }
    text
}

/// A cell by RFC 4180. What a spreadsheet would take for a formula begins with a blank,
/// so that it stays text; numbers with a sign stay numbers.
fn cell(text: &str) -> String {
    let formula = text.starts_with(['=', '+', '-', '@', '\t', '\r']);
    let text = match formula && text.parse::<f64>().is_err() {
        true => format!(" {text}"),
        false => text.to_owned(),
    };
    if text.contains(['"', ',', '\r', '\n']) || text.starts_with(' ') {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text
    }
}

/// How much of it: a sheet whose size is not known by its area, everything else by pieces.
pub fn quantity(part: &Part) -> String {
    match (part.shelf, part.size.area.filter(|_| part.size.width.is_none()), part.system) {
        (Shelf::Sheet, Some(area), System::Inch) => {
            format!("{} sq ft", decimal(area.0 / (304.8 * 304.8), 1))
        }
        (Shelf::Sheet, Some(area), _) => format!("{} m2", decimal(area.0 * 1e-6, 2)),
        // A reel is bought, whatever the number of its runs.
        (Shelf::Cable, _, _) => count(part.count as usize, "run"),
        _ => part.count.to_string(),
    }
}

/// Its size as a ruler or a tape shows it: "740 x 1350 mm", "80 mm long".
pub fn size(part: &Part) -> String {
    let say = |l: Mm| match part.shelf {
        Shelf::Cable | Shelf::Run | Shelf::Anchor
            if part.size.length.is_some_and(|l| l.0 > 1000.0) =>
        {
            super::words::distance(l, part.system)
        }
        _ => length(l, part.system),
    };
    match (part.size.length, part.size.width, part.size.height) {
        (Some(long), _, _) => format!("{} long", say(long)),
        (None, Some(wide), Some(high)) => across(wide, high, part.system),
        _ => String::new(),
    }
}

/// Bars that are cut alike, whatever figure the pieces are for, in the order of the plan.
pub fn alike(bars: &[Bar]) -> Vec<Vec<&Bar>> {
    let same =
        |a: &Bar, b: &Bar| a.cuts.iter().map(|p| p.length).eq(b.cuts.iter().map(|p| p.length));
    let mut rows: Vec<Vec<&Bar>> = Vec::new();
    for bar in bars {
        match rows.iter_mut().find(|row| same(row[0], bar)) {
            Some(row) => row.push(bar),
            None => rows.push(vec![bar]),
        }
    }
    rows
}

/// "960 + 960 + 358 mm, 113 mm left".
pub fn cuts(bar: &Bar, system: System) -> String {
    let unit = if system == System::Inch { "" } else { " mm" };
    let bare = |l: Mm| length(l, system).trim_end_matches(" mm").to_owned();
    let pieces: Vec<String> = bar.cuts.iter().map(|p| bare(p.length)).collect();
    format!("{}{unit}, {} left", pieces.join(" + "), length(bar.left, system))
}

/// What is cut from a sheet, in the order of its rows: "bear board; bear left-arm".
pub fn pieces(sheet: &[Laid]) -> String {
    let names: Vec<&str> = sheet.iter().map(|p| p.whose.as_str()).collect();
    names.join("; ")
}

/// Names that are told of bars cut alike.
const NAMES: usize = 12;

/// Whose the pieces are, in their order: "bear (2 pieces); fox".
pub fn whose(bars: &[&Bar]) -> String {
    let mut told: Vec<(&str, usize)> = Vec::new();
    for piece in bars.iter().flat_map(|b| &b.cuts) {
        match told.iter_mut().find(|(name, _)| *name == piece.whose) {
            Some((_, n)) => *n += 1,
            None => told.push((&piece.whose, 1)),
        }
    }
    let more = told.len().saturating_sub(NAMES);
    let one = |(name, n): (&str, usize)| match n {
        1 => name.to_owned(),
        n => format!("{name} ({})", count(n, "piece")),
    };
    let mut names: Vec<String> = told.into_iter().take(NAMES).map(one).collect();
    if more > 0 {
        names.push(format!("and {more} more"));
    }
    names.join("; ")
}

#[cfg(test)]
mod tests {
    use super::*;

    // RFC 4180, 2: quotes, commas and line breaks; and no cell is a formula.
    #[test]
    fn a_cell_is_text_whatever_it_holds() {
        for (text, want) in [
            ("bear", "bear"),
            ("a,b", "\"a,b\""),
            ("1/2\" bolt", "\"1/2\"\" bolt\""),
            ("two\nlines", "\"two\nlines\""),
            ("=1+1", "\" =1+1\""),
            ("@sum", "\" @sum\""),
            ("-arm", "\" -arm\""),
            ("-2.5", "-2.5"),
            ("", ""),
        ] {
            assert_eq!(cell(text), want, "{text}");
        }
    }
}
