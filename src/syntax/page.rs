//! The words of the reference page, written from the tables.

use std::fmt::Write;

use super::top::blocks;
use super::words::{BlockRule, Need, Part, Row, Table, Take};
use crate::finding::list_of;
use crate::units::Dimension;

/// The reference of all words, as Markdown: one section per block, outermost
/// first, one line per word. Equal tables give equal bytes.
#[must_use]
pub fn words_page(root: &'static Table) -> String {
    let mut order = Vec::new();
    collect(root, &mut order);
    let mut out = String::new();
    for table in order {
        section(&mut out, table);
    }
    out
}

/// Every table once, in the order in which a reader meets them.
fn collect(root: &'static Table, order: &mut Vec<&'static Table>) {
    let mut at = 0;
    order.push(root);
    while let Some(table) = order.get(at).copied() {
        at += 1;
        for inner in table.rows.iter().chain(table.bare).flat_map(blocks) {
            if !order.iter().any(|t| std::ptr::eq(*t, inner)) {
                order.push(inner);
            }
        }
    }
}

fn section(out: &mut String, table: &'static Table) {
    // Writing to a string cannot fail.
    let _ = writeln!(out, "### {}\n\n{}\n", table.name, table.title);
    let _ = writeln!(out, "| write | what it says |\n| --- | --- |");
    for row in table.rows.iter().chain(table.bare) {
        let _ = writeln!(out, "| {} | {} |", cell(&form(row)), notes(row).replace('|', "\\|"));
    }
    out.push('\n');
}

fn cell(form: &str) -> String {
    format!("`{}`", form.replace('|', "\\|"))
}

/// The clause with its values: `lever RADIUS [at ANGLE] {`.
fn form(row: &'static Row) -> String {
    let mut words: Vec<String> = vec![row.word.to_owned()];
    words.retain(|w| !w.is_empty());
    words.extend(row.parts.iter().map(part_form));
    match row.block {
        BlockRule::None => {}
        BlockRule::Must(_) | BlockRule::ByChoice(..) => words.push("{ … }".to_owned()),
        BlockRule::May(_) => words.push("[{ … }]".to_owned()),
    }
    words.join(" ")
}

fn part_form(part: &Part) -> String {
    let value = value_form(part);
    let whole = match (part.key, value.is_empty()) {
        (Some(key), true) => key.to_owned(),
        (Some(key), false) => format!("{key} {value}"),
        (None, _) => value,
    };
    match part.need {
        Need::Must => whole,
        Need::May => format!("[{whole}]"),
        Need::Many => format!("[{whole} …]"),
    }
}

/// What stands for the value in a form.
fn value_form(part: &Part) -> String {
    match part.take {
        Take::Flag => String::new(),
        Take::Choice(words) => list_of_bars(words),
        Take::Range(..) => format!("{0} to {0}", part.name.to_uppercase()),
        Take::Point | Take::OpenPoint => "(X, Y)".to_owned(),
        Take::Points => "(X, Y) …".to_owned(),
        Take::Text => "\"TEXT\"".to_owned(),
        _ => part.name.to_uppercase(),
    }
}

fn list_of_bars(words: &[&str]) -> String {
    words.join("|")
}

/// What a row says and what its values are.
fn notes(row: &'static Row) -> String {
    let mut notes = format!("{}.", row.title.trim_end_matches('.'));
    let kinds: Vec<String> = row.parts.iter().filter_map(part_note).collect();
    if !kinds.is_empty() {
        let _ = write!(notes, " {}.", kinds.join("; "));
    }
    if !row.also.is_empty() {
        let also = row.also.iter().map(|w| format!("`{w}`")).collect::<Vec<_>>();
        let _ =
            write!(notes, " Also written {}.", list_of(also.iter().map(String::as_str), "or", 9));
    }
    if row.many && !row.word.is_empty() {
        notes.push_str(" May stand more than once.");
    }
    notes
}

/// "RADIUS: a length, or `?`"; nothing for what the form says already.
fn part_note(part: &Part) -> Option<String> {
    let name = part.name.to_uppercase();
    let kind = match part.take {
        Take::Quantity(d, _) => d.title().to_owned(),
        Take::OneOf(dims, _) => super::quantity::titles(dims),
        Take::Range(d, _) => format!("{} at each end", d.title()),
        Take::Open(d, _) => format!("{}, or `?`, or `? A to B by STEP`", d.title()),
        Take::Holes => format!("{} for each hole, or `A to B by STEP`", Dimension::Length.title()),
        Take::OpenPoint => {
            let text = "the point may be `?`, `? near (X, Y) within L`, `? in (X, Y) to (X, Y)`, \
                        `? from (X, Y) to (X, Y)` along a line, `? on frame`";
            return Some(text.into());
        }
        Take::Number => "a number without a unit".to_owned(),
        Take::Count => "a whole number".to_owned(),
        Take::Name(of) => format!("the name of a {of}"),
        Take::Stock => "a stock part as the shop calls it, like M8 or 5/16-18".to_owned(),
        Take::Meter => "a meter, like 6/8".to_owned(),
        Take::Clock => "a time, like 21:30 or 1:12.500".to_owned(),
        Take::Date => "a date, like 2027-10-22".to_owned(),
        Take::Coordinates => {
            "latitude and longitude, like 51.8 deg -2.3 deg or 51.8 N 2.3 W".to_owned()
        }
        Take::Point | Take::Points | Take::Choice(_) | Take::Text | Take::Flag => return None,
    };
    Some(format!("{name}: {kind}"))
}
