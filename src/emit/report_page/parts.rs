//! The last sheet: what to buy and to cut, and which sheet or bar each piece is
//! cut from.

use super::html::{block, own, row, table};
use super::layout::layout;
use super::{name_of, sheets_of};
use crate::check::Compiled;
use crate::emit::parts::{alike, cuts, quantity, size, whose};
use crate::emit::svg::escape;
use crate::emit::words::length;
use crate::finding::list_of;
use crate::stock::{BarPlan, Part, Shelf};

/// The sheet; nothing where there is nothing to buy.
pub fn sheet(compiled: &Compiled) -> String {
    let stock = compiled.stock();
    if stock.parts.is_empty() {
        return String::new();
    }
    let all = compiled.yard.figures.len();
    let mut out = String::from(
        "<section class=\"sheet\" id=\"parts\"><div class=\"frame\">\n<h1>To buy and to cut</h1>\n",
    );
    for shelf in Shelf::ALL {
        let rows: Vec<String> =
            stock.parts.iter().filter(|p| p.shelf == shelf).map(|p| part(p, all)).collect();
        let heads = ["how many", "what", "size", "", "for"];
        if !rows.is_empty() {
            out.push_str(&format!(
                "<h2>{}</h2>\n{}",
                shelf.title(),
                table("buy", "", &heads, &rows)
            ));
        }
    }
    let sheets = stock.sheets.iter().map(layout);
    let plans: String = sheets.chain(stock.bars.iter().map(plan)).collect();
    if !plans.is_empty() {
        out.push_str(&format!("<h2>Cut plan</h2>\n{plans}"));
    }
    out.push_str(
        "<p class=\"soft last\">* rests on usual sizes: measure and look before you buy. Screws, glue, paint, \
         connectors and what is lost when sheets are cut are not counted.</p>\n",
    );
    let sheets = sheets_of(compiled);
    out.push_str(&block(&[
        ("Yard", own(&name_of(compiled))),
        ("From", own(&compiled.file)),
        ("Sheet", format!("{sheets} of {sheets}")),
        ("Made by", "yardwright".to_owned()),
        ("Bought by", String::new()),
        ("Date", String::new()),
    ]));
    out + "</div></section>\n"
}

fn part(part: &Part, all: usize) -> String {
    let mark = if part.assumed { " *" } else { "" };
    let figures = match part.figures.len() {
        n if n == all && n > 1 => "all figures".to_owned(),
        _ => list_of(part.figures.iter().map(String::as_str), "and", 8),
    };
    let cells = [
        format!("{}{mark}", escape(&part.name)),
        escape(&size(part)),
        own(&part.about),
        escape(&figures),
    ];
    row(&escape(&quantity(part)), &cells)
}

fn plan(plan: &BarPlan) -> String {
    let rows: Vec<String> = alike(&plan.nested.bars)
        .into_iter()
        .map(|same| {
            let cells = [cuts(same[0], plan.system), whose(&same)].map(|c| escape(&c));
            row(&same.len().to_string(), &cells)
        })
        .collect();
    let assumed = if plan.assumed { " as usually sold" } else { "" };
    let caption = format!(
        "{}, {}{assumed}, saw cut {}",
        escape(&plan.section.words(plan.system)),
        length(plan.length, plan.system),
        length(plan.kerf, plan.system)
    );
    table("found", &caption, &["bars", "cut", "for"], &rows)
}
