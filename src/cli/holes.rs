//! `holes`: what every pair of crank hole and lever hole makes of a limb.

use serde_json::{Value, json};

use super::json::SCHEMA;
use super::render::Look;
use super::sizes;
use super::table::table;
use crate::units::System;

/// The chart of one limb; rod and clamp stay as chosen, as they do at the bench.
#[derive(Clone, Debug, PartialEq)]
pub struct Chart {
    /// The limb, as `figure.limb`.
    pub limb: String,
    /// The household sizes are shown in.
    pub system: System,
    /// Whether it was asked for: holes of the other household are then shown in it too.
    pub strict: bool,
    /// Rod, pin to pin, mm.
    pub rod: f64,
    /// Clamp, deg counter-clockwise from the limb's axis.
    pub clamp: f64,
    /// Crank holes, mm: the rows.
    pub cranks: Vec<f64>,
    /// Lever holes, mm: the columns.
    pub levers: Vec<f64>,
    /// Row by row.
    pub cells: Vec<Vec<Cell>>,
    /// Row and column of the holes in use.
    pub chosen: Option<(usize, usize)>,
}

/// What one pair of holes makes of the limb.
#[derive(Clone, Debug, PartialEq)]
pub enum Cell {
    /// The crank turns right round.
    Turns {
        /// Swing, deg.
        sweep: f64,
        /// Its middle, deg.
        centre: f64,
        /// Worst push angle, deg.
        push: f64,
    },
    /// It does not, and why: "rod too short".
    Blocked(String),
}

impl Chart {
    /// A hole's size.
    fn hole(&self, mm: f64) -> String {
        if self.strict { sizes::length(mm, self.system) } else { sizes::hole(mm, self.system) }
    }
}

/// The chart for people.
#[must_use]
pub fn as_text(chart: &Chart, look: Look) -> String {
    let mut out = format!(
        "{}   rod {}, clamp {}\n\
         Each cell: swing, its middle (both deg), worst push angle (of 90). * the holes in use.\n\n",
        chart.limb,
        sizes::length(chart.rod, chart.system),
        sizes::angle(chart.clamp),
    );
    let first: Vec<String> = chart.cranks.iter().map(|c| chart.hole(*c)).collect();
    let columns: Vec<Vec<String>> = (0..chart.levers.len()).map(|c| column(chart, c)).collect();
    for part in parts(&columns, widest(&first).max("crank".len()), look.width) {
        let mut rows = vec![vec!["crank".to_owned()]];
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
fn column(chart: &Chart, c: usize) -> Vec<String> {
    let mut column = vec![format!("lever {}", chart.hole(chart.levers[c]))];
    for (r, row) in chart.cells.iter().enumerate() {
        let mark = if chart.chosen == Some((r, c)) { "*" } else { " " };
        column.push(match row.get(c) {
            Some(Cell::Turns { sweep, centre, push }) => {
                format!("{sweep:.1} {centre:.0} {push:.0}{mark}")
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
pub fn as_json(chart: &Chart) -> Value {
    let mut cells = Vec::new();
    for (r, row) in chart.cells.iter().enumerate() {
        for (c, cell) in row.iter().enumerate() {
            let mut one = json!({ "crank_mm": chart.cranks[r], "rocker_mm": chart.levers[c] });
            match cell {
                Cell::Turns { sweep, centre, push } => {
                    one["crank_turns_fully"] = json!(true);
                    one["sweep_deg"] = json!(sweep);
                    one["centre_deg"] = json!(centre);
                    one["min_transmission_deg"] = json!(push);
                }
                Cell::Blocked(why) => {
                    one["crank_turns_fully"] = json!(false);
                    one["why"] = json!(why);
                }
            }
            if chart.chosen == Some((r, c)) {
                one["chosen"] = json!(true);
            }
            cells.push(one);
        }
    }
    json!({
        "schema": SCHEMA, "limb": chart.limb, "coupler_mm": chart.rod,
        "rocker_at_deg": chart.clamp, "cells": cells,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn chart() -> Chart {
        let turns = |sweep| Cell::Turns { sweep, centre: 32.4, push: 67.2 };
        Chart {
            limb: "baker.arm".into(),
            system: System::Metric,
            strict: false,
            rod: 375.5,
            clamp: -70.0,
            cranks: vec![30.0, 40.0],
            levers: vec![60.0, 90.0],
            cells: vec![
                vec![turns(60.25), turns(38.9)],
                vec![Cell::Blocked("rod too short".into()), turns(54.0)],
            ],
            chosen: Some((1, 1)),
        }
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
