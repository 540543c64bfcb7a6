//! `plan.svg`: the yard from above, to scale, as an A3 drawing sheet.
//!
//! Line types follow ISO 128-2, the sheet ISO 5457, the title block ISO 7200.
//! Everything is black on white and told by shape and text; the same yard gives
//! the same bytes. A set-out table too long for the sheet goes on to
//! `plan-2.svg` and so on.

mod draw;
mod field;
mod ground;
mod labels;
mod legend;
mod place;
mod sheet;
mod symbols;
mod table;

pub(super) use table::{bearing, best_pegs, flat, tape};

use std::collections::BTreeMap;

use super::Output;
use super::svg::{Hang, Rect, Svg};
use crate::check::Compiled;
use crate::finding::list_of;
use crate::model::Yard;
use crate::units::System;
use field::Field;
use place::Footprint;
use sheet::{COLUMN, FRAME, Layout, PAPER, Title};
use table::Table;

/// The plan's sheets.
#[must_use]
pub fn outputs(compiled: &Compiled) -> Vec<Output> {
    let plan = Plan::new(compiled);
    let mut all = vec![Output::new("plan.svg", plan.first())];
    for number in 2..=plan.sheets() {
        all.push(Output::new(format!("plan-{number}.svg"), plan.further(number)));
    }
    all
}

/// A plan before it is drawn.
struct Plan<'a> {
    compiled: &'a Compiled,
    prints: Vec<Option<Footprint>>,
    table: Table,
    layout: Layout,
    field: Field,
}

impl<'a> Plan<'a> {
    fn new(compiled: &'a Compiled) -> Self {
        let yard = &compiled.yard;
        let prints: Vec<Option<Footprint>> = yard
            .figures
            .iter()
            .enumerate()
            .map(|(i, p)| Footprint::new(p, compiled.figures.get(i).map(AsRef::as_ref)))
            .collect();
        let cables: Vec<_> = yard.figures.iter().map(|p| draw::cable(yard, p)).collect();
        let table = Table::new(yard, &cables);
        let (low, high) = field::extent(yard, &prints);
        let layout = sheet::layout((high.0 - low.0, high.1 - low.1), |c| table.height(c));
        let field = Field::new(low, high, &layout);
        Self { compiled, prints, table, layout, field }
    }

    fn yard(&self) -> &Yard {
        &self.compiled.yard
    }

    fn name(&self) -> &str {
        let yard = self.yard();
        let named = yard.title.as_deref().or(yard.name.as_ref().map(|n| n.value.as_str()));
        named.unwrap_or(&self.compiled.file)
    }

    /// Rows on one further sheet, and in one of its columns.
    fn rows_per_sheet(&self) -> (usize, usize) {
        let rows = Table::rows_in(self.layout.title.y - FRAME.y);
        (4 * rows, rows)
    }

    /// How many sheets there are.
    fn sheets(&self) -> usize {
        match self.layout.table {
            Some(_) => 1,
            None => 1 + self.table.rows.len().div_ceil(self.rows_per_sheet().0),
        }
    }

    fn title<'t>(&'t self, subject: &'t str, number: usize, scale: &str) -> Title<'t> {
        Title {
            name: self.name(),
            subject,
            scale: scale.to_owned(),
            sheet: (number, self.sheets()),
            unit: if self.yard().system == System::Inch { "feet, inches" } else { "metres" },
            file: &self.compiled.file,
        }
    }

    /// The drawing.
    fn first(&self) -> String {
        let (yard, layout) = (self.yard(), &self.layout);
        let mut svg = Svg::default();
        ground::grid(&mut svg, yard, &self.field);
        ground::viewers(&mut svg, yard, &self.field);
        ground::outline(&mut svg, yard, &self.field);
        let area = layout.drawing.grown(-3.0);
        let drawn = draw::everything(&mut svg, yard, &self.prints, &self.field, area);
        sheet::border(&mut svg);
        legend::draw(&mut svg, layout.legend, yard, &self.prints, layout.scale);
        let free = self.first_table(&mut svg);
        self.notes(&mut svg, free, drawn.unnamed);
        let scale = format!("1:{}", super::words::decimal(layout.scale, 0));
        sheet::title_block(&mut svg, layout.title, &self.title("Yard from above", 1, &scale));
        self.finish(svg, 1)
    }

    /// The table on the first sheet, where it belongs there; returns the room
    /// left for notes.
    fn first_table(&self, svg: &mut Svg) -> Option<Rect> {
        let Some(r) = self.layout.table else {
            let l = self.layout.legend;
            return Some(Rect::new(FRAME.x, l.y, l.x - FRAME.x, l.h));
        };
        let columns = if r.w >= 2.0 * COLUMN { 2 } else { 1 };
        let rows = self.table.rows.len();
        svg.open("set-out", "where every figure stands");
        let inner = Rect::new(r.x + 2.0, r.y, r.w, r.h);
        self.table.draw(svg, inner, (0, rows), rows.div_ceil(columns).max(1));
        svg.close();
        let used = self.table.height(columns);
        let room = Rect::new(r.x, r.y + used, r.w, r.h - used);
        if columns == 2 && rows < 2 {
            return Some(Rect::new(r.x + COLUMN + 4.0, r.y, r.w - COLUMN - 4.0, r.h));
        }
        (room.h > 14.0).then_some(room)
    }

    /// What the drawing cannot say.
    fn notes(&self, svg: &mut Svg, room: Option<Rect>, unnamed: usize) {
        let Some(r) = room else { return };
        let mut lines: Vec<String> = Vec::new();
        let yard = self.yard();
        if self.sheets() > 1 {
            lines.push(format!("Set-out table: sheet 2 of {}.", self.sheets()));
        }
        if unnamed > 0 {
            lines.push(format!("{unnamed} names had no room here; the table has every figure."));
        }
        if yard.pegs.len() < 2 && !yard.figures.is_empty() {
            lines.push(
                "No tape distances: they need two pegs, `peg porch at (0 m, 6 m)`.".to_owned(),
            );
        }
        if yard.figures.iter().any(|p| p.assumed) {
            lines.push(
                "A figure's place was assumed; `set NAME at (X, Y) facing …` settles it."
                    .to_owned(),
            );
        }
        let mut out: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
        for placed in &yard.figures {
            if let Some(from) = placed.laid_up.as_ref().and_then(|l| l.from.as_deref()) {
                out.entry(from).or_default().push(&placed.name.value);
            }
        }
        lines
            .extend(out.into_iter().map(|(from, names)| {
                format!("Laid up from {from}: {}.", list_of(names, "and", 8))
            }));
        lines.push(
            "Reach is that of the limbs' swing; no room for people is added to it.".to_owned(),
        );
        lines.push(
            "Local codes and licensed people decide on mains, cables and distances.".to_owned(),
        );
        svg.open("notes", "notes");
        let fits = ((r.h - 6.0) / 3.8).floor().max(0.0) as usize;
        for (i, line) in lines.iter().take(fits.max(1)).enumerate() {
            svg.text((r.x + 4.0, r.y + 5.6 + 3.8 * i as f64), 2.3, Hang::Start, line);
        }
        svg.close();
    }

    /// A further sheet of the set-out table.
    fn further(&self, number: usize) -> String {
        let (per_sheet, per_column) = self.rows_per_sheet();
        let from = (number - 2) * per_sheet;
        let mut svg = Svg::default();
        sheet::border(&mut svg);
        let room = Rect::new(FRAME.x + 2.0, FRAME.y, FRAME.w, FRAME.h);
        self.table.draw(&mut svg, room, (from, from + per_sheet), per_column);
        sheet::title_block(
            &mut svg,
            self.layout.title,
            &self.title("Set-out table", number, "none"),
        );
        self.finish(svg, number)
    }

    fn finish(&self, svg: Svg, number: usize) -> String {
        let title = format!("{}: plan, sheet {number} of {}", self.name(), self.sheets());
        let about = format!(
            "Made from {} by yardwright. The yard from above, north up, with {}.",
            self.compiled.file,
            super::words::count(self.yard().figures.len(), "figure")
        );
        svg.finish(PAPER, &title, &about)
    }
}
