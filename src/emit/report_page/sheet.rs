//! The sheet of one figure.

use serde_json::Value;

use super::html::{block, lines, own, row, table};
use super::quantity::field;
use super::{elevation, limb};
use crate::check::Compiled;
use crate::emit::svg::escape;
use crate::emit::words::{decimal, distance};
use crate::model::Placed;
use crate::units::System;

/// What lengths of a figure are printed in.
pub fn household(compiled: &Compiled, placed: &Placed) -> System {
    System::first_of([placed.figure.system, compiled.yard.system])
}

/// The part of the report about a figure.
pub fn of_figure(report: &Value, figure: usize) -> &Value {
    report.pointer(&format!("/figures/{figure}")).unwrap_or(&Value::Null)
}

/// Its sheet.
pub fn sheet(compiled: &Compiled, report: &Value, figure: usize) -> String {
    let placed = &compiled.yard.figures[figure];
    let system = household(compiled, placed);
    let told = of_figure(report, figure);
    let name = &placed.name.value;
    let title = placed.figure.title.as_deref();
    let mut out = format!(
        "<section class=\"sheet\" id=\"figure-{0}\"><div class=\"frame\">\n<h1>{1}</h1>\n",
        escape(name),
        own(title.unwrap_or(name))
    );
    if let Some(laid_up) = &placed.laid_up {
        let why = laid_up.why.as_deref().map_or(String::new(), |w| format!(": {}", own(w)));
        let text = match placed.plays_before() {
            Some(from) => format!("Laid up from {from} on{why}. It plays the nights before."),
            None => format!("Laid up{why}. It plays in no show."),
        };
        out.push_str(&format!("<p class=\"caution\">{text}</p>\n"));
    }
    let drawing = elevation::drawing(compiled, figure).map_or(String::new(), |d| {
        format!(
            "{}<p class=\"soft\">From the front, 1:{} when printed full size. Heavy: board, and limbs \
             at the lower end of their motion. Two dots and a dash: the upper end. Thin: the mechanism \
             and the frame behind the board.</p>\n",
            d.svg, d.scale
        )
    });
    out.push_str(&format!(
        "<div class=\"two\">\n<div>{drawing}</div>\n<div>{}{}{}</div>\n</div>\n",
        about(compiled, figure, told, system),
        notes(told),
        stack(told, system)
    ));
    let limbs = 0..placed.figure.limbs.len();
    out.extend(limbs.clone().map(|index| limb::says(compiled, (figure, index))));
    out.extend(limbs.map(|index| {
        let numbers = told.pointer(&format!("/limbs/{index}")).unwrap_or(&Value::Null);
        limb::all_numbers(compiled, (figure, index), numbers, system)
    }));
    out.push_str("<p class=\"soft last\">* rests on typical or usual values: measure yours.</p>\n");
    out.push_str(&foot(compiled, placed, figure));
    out + "</div></section>\n"
}

fn foot(compiled: &Compiled, placed: &Placed, figure: usize) -> String {
    let sheet = format!("{} of {}", figure + 2, super::sheets_of(compiled));
    block(&[
        ("Figure", own(&placed.name.value)),
        ("From", own(&compiled.file)),
        ("Sheet", sheet),
        ("Made by", "yardwright".to_owned()),
        ("Checked on site by", String::new()),
        ("Date", String::new()),
    ])
}

/// Where it stands, what feeds and what holds it.
fn about(compiled: &Compiled, figure: usize, told: &Value, system: System) -> String {
    let placed = &compiled.yard.figures[figure];
    let loaded = &compiled.loads[figure];
    // Places in the yard as on its plan.
    let place = |mm: f64| distance(crate::units::Mm(mm), compiled.yard.system);
    let assumed = if placed.assumed { " (assumed)" } else { "" };
    let mut rows = vec![
        row(
            "stands",
            &[format!("{} east, {} north{assumed}", place(placed.at.x), place(placed.at.y))],
        ),
        row("looks", &[format!("{} deg clockwise from north", decimal(placed.facing.0, 0))]),
    ];
    if let Some(sheet) = &placed.figure.board.sheet {
        rows.push(row("board", &[own(&sheet.name)]));
    }
    if let Some(feed) = &loaded.site.feed {
        let run = feed.run.map_or(String::new(), |r| format!(", {} of cable", place(r.0)));
        let said = if feed.measured { "" } else { " (straight line and a fifth)" };
        rows.push(row("power", &[format!("{}{run}{said}", own(&feed.supply))]));
    }
    let wind: [(&str, &str); 5] = [
        ("stop above", "/wind/max_run_wind_mps"),
        ("bring in above", "/wind/max_stand_wind_mps"),
        ("first to go", "/wind/first_to_go"),
        ("area", "/wind/area_m2"),
        ("fixings", "/wind/fixings"),
    ];
    for (words, pointer) in wind {
        rows.extend(field(told, pointer, system).map(|v| row(words, &[escape(&v)])));
    }
    table("says", "The figure", &[], &rows)
        + &limb::checks(told.pointer("/wind/checks"), "Standing", system)
}

fn notes(told: &Value) -> String {
    let all = told.pointer("/assumed").and_then(Value::as_array);
    let said: Vec<String> = all
        .into_iter()
        .flatten()
        .filter_map(|n| n.pointer("/what")?.as_str().map(str::to_owned))
        .collect();
    if said.is_empty() { String::new() } else { format!("<p>Assumed: {}</p>\n", lines(&said)) }
}

/// Its parts in depth, front to back.
fn stack(told: &Value, system: System) -> String {
    let layers = told.pointer("/stack").and_then(Value::as_array);
    let mark = |l: &Value| if l["assumed"] == Value::Bool(true) { " *" } else { "" };
    let one = |l: &Value| {
        let cells =
            [field(l, "/front_mm", system)?, field(l, "/back_mm", system)?].map(|c| escape(&c));
        let (part, kind) = (l["part"].as_str()?, l["kind"].as_str().unwrap_or_default());
        // A limb and its motor may share a name.
        let kind = if part.ends_with(kind) { String::new() } else { format!(", {kind}") };
        Some(row(&format!("{}{kind}{}", own(part), mark(l)), &cells))
    };
    let rows: Vec<String> = layers.into_iter().flatten().filter_map(one).collect();
    if rows.is_empty() {
        return String::new();
    }
    let table = table("tally", "", &["part", "from", "to"], &rows);
    format!("<h3>In depth, from the board's front face</h3>\n<div class=\"pair\">{table}</div>\n")
}
