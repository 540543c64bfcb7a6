//! `holes`: what every pair of crank hole and lever hole makes of a limb.

use serde_json::{Value, json};

use super::json::SCHEMA;
use super::render::Look;
use super::sizes;
use super::table::table;
use crate::emit::hole_chart::HoleChart;
use crate::fit::SizeName;
use crate::fit::chart::Cell;
use crate::units::System;

/// A hole's size.
fn hole(shown: &HoleChart, mm: f64) -> String {
    if shown.strict { sizes::length(mm, shown.system) } else { sizes::hole(mm, shown.system) }
}

/// The chart for people.
#[must_use]
pub fn as_text(shown: &HoleChart, look: Look) -> String {
    let chart = &shown.chart;
    let (motion, unit) = if chart.slides { ("stroke", "mm") } else { ("swing", "deg") };
    let mut out = format!(
        "{}   {}\n\
         Each cell: {motion}{}, its middle (both {unit}), worst push angle{} (of 90). * the holes in use.\n\n",
        shown.limb,
        shown.kept(|mm| kept(mm, shown.system)),
        chart.over_travel().0,
        chart.over_travel().1,
    );
    let first: Vec<String> = chart.down.at.iter().map(|c| hole(shown, *c)).collect();
    let columns: Vec<Vec<String>> = match &chart.across {
        Some(across) => (0..across.at.len()).map(|c| column(shown, c)).collect(),
        None => vec![column(shown, 0)],
    };
    let down = chart.down.word;
    for part in parts(&columns, widest(&first).max(down.len()), look.width) {
        let mut rows = vec![vec![down.to_owned()]];
        rows.extend(first.iter().map(|f| vec![f.clone()]));
        for column in &columns[part] {
            for (row, cell) in rows.iter_mut().zip(column) {
                row.push(cell.clone());
            }
        }
        out.push_str(&table(&rows, 3));
        out.push('\n');
    }
    out.trim_end().to_owned() + "\n"
}

/// One lever hole: its heading, then a cell for each crank hole.
fn column(shown: &HoleChart, c: usize) -> Vec<String> {
    let chart = &shown.chart;
    let heading = match &chart.across {
        Some(across) => format!("{} {}", across.word, hole(shown, across.at[c])),
        None => if chart.slides { "stroke" } else { "swing" }.to_owned(),
    };
    let mut column = vec![heading];
    for (r, row) in chart.cells.iter().enumerate() {
        let mark = if chart.chosen == Some((r, c)) { "*" } else { " " };
        column.push(match row.get(c) {
            Some(Cell::Turns { range, centre, push }) => {
                format!("{range:.1} {centre:.0} {push:.0}{mark}")
            }
            Some(Cell::Blocked(why)) => format!("{why}{mark}"),
            None => String::new(),
        });
    }
    column
}

fn widest(cells: &[String]) -> usize {
    cells.iter().map(|c| c.chars().count()).max().unwrap_or(0)
}

/// Ranges of columns that fit on a line together.
fn parts(columns: &[Vec<String>], first: usize, width: usize) -> Vec<std::ops::Range<usize>> {
    let mut parts = Vec::new();
    let (mut from, mut used) = (0, first);
    for (c, column) in columns.iter().enumerate() {
        let wide = widest(column) + 3;
        if used + wide > width && c > from {
            parts.push(from..c);
            (from, used) = (c, first);
        }
        used += wide;
    }
    parts.push(from..columns.len());
    parts
}

/// The chart for programs.
#[must_use]
pub fn as_json(shown: &HoleChart) -> Value {
    let chart = &shown.chart;
    let unit = if chart.slides { "mm" } else { "deg" };
    let named = |name: SizeName| {
        format!("{}_{}", name.textbook(), if name.is_angle() { "deg" } else { "mm" })
    };
    // A servo is not meant to go round.
    let works = if chart.servo { "reaches" } else { "crank_turns_fully" };
    let mut cells = Vec::new();
    for (r, row) in chart.cells.iter().enumerate() {
        for (c, cell) in row.iter().enumerate() {
            let mut one = json!({});
            one[named(chart.down.name)] = json!(chart.down.at[r]);
            if let Some(across) = &chart.across {
                one[named(across.name)] = json!(across.at[c]);
            }
            match cell {
                Cell::Turns { range, centre, push } => {
                    one[works] = json!(true);
                    one[if chart.slides { "stroke_mm" } else { "sweep_deg" }] = json!(range);
                    one[format!("centre_{unit}")] = json!(centre);
                    one["min_transmission_deg"] = json!(push);
                }
                Cell::Blocked(why) => {
                    one[works] = json!(false);
                    one["why"] = json!(why);
                }
            }
            if chart.chosen == Some((r, c)) {
                one["chosen"] = json!(true);
            }
            cells.push(one);
        }
    }
    let mut whole = json!({ "schema": SCHEMA, "limb": shown.limb, "cells": cells });
    for &(name, value) in &chart.kept {
        whole[named(name)] = json!(value);
    }
    whole
}

/// A length that stays as it is: as it is marked out, else to what a ruler shows of it.
fn kept(mm: f64, system: System) -> String {
    match system {
        System::Inch => sizes::length(mm, system),
        System::Metric | System::Both => format!("{} mm", sizes::decimal(mm, 2)),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fit::chart::{Chart, Holes};
    use crate::units::System;

    fn chart() -> HoleChart {
        let turns = |range| Cell::Turns { range, centre: 32.4, push: 67.2 };
        let chart = Chart {
            kept: vec![(SizeName::Rod, 375.5), (SizeName::Clamp, -70.0)],
            slides: false,
            servo: false,
            down: Holes::new(SizeName::Crank, vec![30.0, 40.0]),
            across: Some(Holes::new(SizeName::Lever, vec![60.0, 90.0])),
            cells: vec![
                vec![turns(60.25), turns(38.9)],
                vec![Cell::Blocked("rod too short".into()), turns(54.0)],
            ],
            chosen: Some((1, 1)),
        };
        HoleChart { limb: "baker.arm".into(), system: System::Metric, strict: false, chart }
    }

    #[test]
    fn the_chart_marks_the_holes_in_use() {
        let want = "\
baker.arm   rod 375.5 mm, clamp -70 deg
Each cell: swing, its middle (both deg), worst push angle (of 90). * the holes in use.

crank      lever 60 mm   lever 90 mm
30 mm      60.2 32 67    38.9 32 67
40 mm   rod too short    54.0 32 67*
";
        assert_eq!(as_text(&chart(), Look::PLAIN), want);
    }

    #[test]
    fn a_wide_chart_goes_on_below() {
        let text = as_text(&chart(), Look { width: 30, colour: false });
        assert_eq!(text.matches("crank\u{20}").count(), 2, "{text}");
        assert!(text.lines().skip(3).all(|l| l.chars().count() <= 30), "{text}");
    }

    #[test]
    fn programs_get_every_cell() {
        let whole = as_json(&chart());
        assert_eq!(whole["cells"].as_array().unwrap().len(), 4);
        assert_eq!(whole["cells"][2]["why"], "rod too short");
        assert_eq!(whole["cells"][3]["chosen"], true);
    }
}
