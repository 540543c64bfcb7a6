//! `run-sheet.html`: a season's nights on one page to hang up by the switch.

use jiff::{SignedDuration, ZonedDateTime};

use super::Output;
use super::calendar::BEFORE;
use super::schedule::season_words;
use super::svg::escape;
use super::wind::run_words;
use super::words::count;
use crate::check::Compiled;
use crate::model::DAYS;
use crate::season::{Left, Night, Programme, minute_up};

/// The run sheet; none where no season could be worked out.
#[must_use]
pub fn outputs(compiled: &Compiled) -> Vec<Output> {
    let seasons: Vec<&Programme> =
        compiled.programmes.iter().filter(|p| !p.nights.is_empty()).collect();
    if seasons.is_empty() {
        return Vec::new();
    }
    let yard = &compiled.yard;
    let name = yard.name.as_ref().map_or("yard", |n| n.value.as_str());
    let title = escape(yard.title.as_deref().unwrap_or(name));
    let mut page = format!("{HEAD}<title>{title}: run sheet</title>\n{STYLE}<h1>{title}</h1>\n");
    for season in seasons {
        page.push_str(&table(season));
    }
    let laid_up = season_words(yard);
    if !laid_up.is_empty() {
        page.push_str(&format!("<p class=\"caution\">{}</p>\n", escape(&laid_up)));
    }
    page.push_str(&format!(
        "<p class=\"caution\">{}, as the forecast says them at \
         the figure. {}</p>\n",
        escape(&run_words(compiled)),
        escape(BEFORE)
    ));
    vec![Output::new("run-sheet.html", page)]
}

const HEAD: &str = "<!doctype html>\n<html lang=\"en\">\n<meta charset=\"utf-8\">\n\
<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n";

/// Ink on paper, and the same in the dark; rows of figures in columns.
const STYLE: &str = "<style>\n\
:root { color-scheme: light dark; --line: #8888; }\n\
body { font: 16px/1.4 system-ui, sans-serif; margin: 2rem auto; max-width: 60rem; padding: 0 1rem; }\n\
h1 { font-size: 1.5rem; margin: 0 0 .25rem; } h2 { font-size: 1.1rem; margin: 1.5rem 0 .5rem; }\n\
.wide { overflow-x: auto; }\n\
table { border-collapse: collapse; width: 100%; font-variant-numeric: tabular-nums; }\n\
th, td { text-align: left; padding: .3rem .6rem .3rem 0; border-bottom: 1px solid var(--line); vertical-align: top; }\n\
td.time { white-space: nowrap; } th { font-weight: 600; }\n\
.caution { border-left: 4px solid; padding-left: .75rem; }\n\
@media print { @page { margin: 14mm; } body { font-size: 10pt; margin: 0; max-width: none; } }\n\
</style>\n";

fn table(programme: &Programme) -> String {
    let mut text = format!(
        "<h2>{}: {}, clocks of {}</h2>\n<div class=\"wide\"><table>\n<tr><th>night<th>sunset<th>dusk\
         <th>starts<th>last end<th>shortest rest<th>over by</tr>\n",
        escape(&programme.season),
        count(programme.nights.len(), "night"),
        escape(&programme.zone_name)
    );
    for night in &programme.nights {
        text.push_str(&row(night));
    }
    text.push_str("</table></div>\n");
    if !programme.except.is_empty() {
        let dates: Vec<String> = programme.except.iter().map(ToString::to_string).collect();
        text.push_str(&format!("<p>No show on {}.</p>\n", dates.join(", ")));
    }
    text
}

fn clock(at: Option<&ZonedDateTime>) -> String {
    at.map_or("\u{2013}".to_owned(), |z| z.strftime("%H:%M").to_string())
}

/// An end: the whole minute at which all is over.
fn over(at: &ZonedDateTime) -> String {
    let late = SignedDuration::from_secs(i64::from(at.second() > 0) * 60);
    clock(at.checked_add(late).as_ref().ok())
}

fn row(night: &Night) -> String {
    let day = DAYS[night.date.weekday().to_monday_zero_offset() as usize % DAYS.len()];
    let starts: Vec<String> = night.runs.iter().map(|r| clock(Some(&r.start))).collect();
    let mut starts = starts.join(" \u{b7} ");
    match night.left {
        Some(Left::TooLate(n)) => starts.push_str(&format!(" ({} left out: too late)", n)),
        Some(Left::NoDusk(_)) => starts.push_str("no dusk to start from"),
        None => {}
    }
    let cells = [
        format!("{day} {}", night.date),
        clock(night.sunset.as_ref().map(minute_up).as_ref()),
        clock(night.dusk.as_ref().map(minute_up).as_ref()),
        starts,
        night.runs.last().map_or("\u{2013}".to_owned(), |r| over(&r.end)),
        night.rests().min().map_or("\u{2013}".to_owned(), rest),
        clock(night.end_by.as_ref()),
    ];
    let cells: Vec<String> = cells
        .iter()
        .enumerate()
        .map(|(n, c)| if n == 3 { format!("<td>{c}") } else { format!("<td class=\"time\">{c}") })
        .collect();
    format!("<tr>{}</tr>\n", cells.concat())
}

/// "24 min 6 s".
fn rest(span: SignedDuration) -> String {
    let seconds = span.as_secs();
    match (seconds / 60, seconds % 60) {
        (0, s) => format!("{s} s"),
        (m, 0) => format!("{m} min"),
        (m, s) => format!("{m} min {s} s"),
    }
}
