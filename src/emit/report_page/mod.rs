//! `report.html`: everything the report holds, for people: a first sheet with the yard,
//! the worst first, then a sheet for each figure to hang over the bench.
//!
//! One file without scripts, fit for paper, light and dark. Every number is the one of
//! `report.json`, rounded here to what a maker can use; the rows of a limb are those of
//! the terminal.

mod elevation;
mod front;
mod html;
mod layout;
mod limb;
mod parts;
mod quantity;
mod sheet;
mod style;

use rayon::prelude::*;
use serde_json::Value;

use super::report::Report;
use super::words::count;
use super::{Output, svg::escape};
use crate::check::Compiled;
use crate::finding::Locate;

/// The row of the list of outputs.
///
/// # Errors
/// Where the report cannot be put into JSON; no value of a compile is known to do that.
pub fn outputs(compiled: &Compiled, at: &dyn Locate) -> serde_json::Result<Vec<Output>> {
    let report = serde_json::to_value(Report::new(compiled, at))?;
    Ok(vec![Output::new("report.html", page(compiled, &report, at))])
}

fn page(compiled: &Compiled, report: &Value, at: &dyn Locate) -> String {
    let title = escape(&name_of(compiled));
    let front = front::sheet(compiled, report, at);
    let figures = 0..compiled.yard.figures.len();
    let sheets: Vec<String> =
        figures.into_par_iter().map(|n| sheet::sheet(compiled, report, n)).collect();
    format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>{title}: report</title>\n<style>{}</style>\n</head>\n<body>\n{front}{}{}</body>\n</html>\n",
        style::STYLE,
        sheets.concat(),
        parts::sheet(compiled)
    )
}

/// How many sheets there are: the yard's, one for each figure, the parts.
fn sheets_of(compiled: &Compiled) -> usize {
    1 + compiled.yard.figures.len() + usize::from(!compiled.stock().parts.is_empty())
}

/// What people call the yard: its title, its name, or its file.
fn name_of(compiled: &Compiled) -> String {
    let yard = &compiled.yard;
    let named = yard.title.clone().or_else(|| yard.name.as_ref().map(|n| n.value.clone()));
    named.unwrap_or_else(|| compiled.file.clone())
}

/// "11 figures, 18 limbs, 1 show".
fn size_of(compiled: &Compiled) -> String {
    let yard = &compiled.yard;
    let mut parts =
        vec![count(yard.figures.len(), "figure"), count(compiled.limbs().count(), "limb")];
    if !yard.shows.is_empty() {
        parts.push(count(yard.shows.len(), "show"));
    }
    parts.join(", ")
}
