//! The first sheet: the yard, the worst first.

use serde_json::Value;

use super::html::{block, own, row, table};
use super::quantity::in_unit;
use super::{name_of, size_of};
use crate::check::Compiled;
use crate::emit::cautions;
use crate::emit::power;
use crate::emit::svg::escape;
use crate::emit::words::{count, decimal, distance};
use crate::finding::{Finding, Locate, Severity, list_of};
use crate::loads::When;
use crate::model::Note;
use crate::units::{Mm, System, print};

/// Findings that are printed: whoever has more needs the first ones.
const MOST: usize = 200;
/// Limbs in a list of those nearest to a limit.
const FEW: usize = 6;

/// The sheet.
pub fn sheet(compiled: &Compiled, report: &Value, at: &dyn Locate) -> String {
    let mut out = format!(
        "<section class=\"sheet\"><div class=\"frame\">\n<h1>{}</h1>\n<p>{}. {}.</p>\n",
        own(&name_of(compiled)),
        size_of(compiled),
        counts(compiled)
    );
    out.push_str(&findings(compiled, at));
    out.push_str(&nearest(compiled, report));
    out.push_str(&figures(compiled));
    out.push_str(&shows(compiled, report));
    out.push_str(&supplies(compiled));
    out.push_str(&notes(compiled));
    out.push_str(&warned(compiled));
    out.push_str(&block(&[
        ("Yard", own(&name_of(compiled))),
        ("From", own(&compiled.file)),
        ("Sheet", format!("1 of {}", super::sheets_of(compiled))),
        ("Made by", "yardwright".to_owned()),
        ("Checked on site by", String::new()),
        ("Date", String::new()),
    ]));
    out + "</div></section>\n"
}

/// "0 errors, 2 warnings, 8 hints, 3 checks not made".
fn counts(compiled: &Compiled) -> String {
    let of = |severity, word| count(compiled.count(severity), word);
    let mut parts = vec![of(Severity::Error, "error"), of(Severity::Warning, "warning")];
    if compiled.count(Severity::Advice) > 0 {
        parts.push(of(Severity::Advice, "hint"));
    }
    if compiled.not_made() > 0 {
        parts.push(format!("{} not made", count(compiled.not_made(), "check")));
    }
    parts.join(", ")
}

fn findings(compiled: &Compiled, at: &dyn Locate) -> String {
    let mut all: Vec<&Finding> = compiled.findings.iter().collect();
    all.sort_by_key(|f| f.severity);
    let one = |f: &&Finding| {
        let word = f.severity.word();
        let place = f.place.and_then(|p| at.locate(p));
        let place = place.map_or(String::new(), |l| format!("{}:{}", l.file, l.line));
        let who = match (&f.figure, &f.limb) {
            (Some(figure), Some(limb)) => format!("{figure}.{limb}: "),
            (Some(figure), None) => format!("{figure}: "),
            _ => String::new(),
        };
        let help = f.help.as_ref().map_or(String::new(), |h| format!("<br>{}", own(h)));
        let also = match f.also.as_slice() {
            [] => String::new(),
            also => format!(
                "<br>The same shows in {}.",
                escape(&list_of(also.iter().map(String::as_str), "and", 6))
            ),
        };
        let words = format!("<b>{}</b>{}{help}{also}", escape(&who), own(&f.message));
        let place = format!("{}<br><small>{}</small>", escape(f.code.word), escape(&place));
        row(&format!("<span class=\"mark {word}\">{word}</span>"), &[words, place])
    };
    let rows: Vec<String> = all.iter().take(MOST).map(one).collect();
    if rows.is_empty() {
        return String::new();
    }
    let more = all.len().saturating_sub(MOST);
    let more =
        if more > 0 { format!("<p>and {more} more in report.json</p>\n") } else { String::new() };
    format!("<h2>Look at first</h2>\n{}{more}", table("found", "", &[], &rows))
}

/// A limb and how near it is to a limit: the smaller the nearer.
struct Near {
    limb: String,
    by: f64,
    words: String,
}

/// The limbs nearest to what their motors give, to their gust, to a weak push.
fn nearest(compiled: &Compiled, report: &Value) -> String {
    let (mut torque, mut gust, mut push) = (Vec::new(), Vec::new(), Vec::new());
    for (f, l) in compiled.limbs() {
        let placed = &compiled.yard.figures[f];
        let limb = format!("{}.{}", placed.name.value, placed.figure.limbs[l].name.value);
        let told = report.pointer(&format!("/figures/{f}/limbs/{l}")).unwrap_or(&Value::Null);
        let number = |p: &str| told.pointer(p).and_then(Value::as_f64);
        let near = |by: f64, words: String| Near { limb: limb.clone(), by, words };
        torque.extend(
            number("/loads/torque_margin")
                .map(|m| near(m, format!("{} its peak", print::times(m)))),
        );
        let run = compiled.loads[f].site.winds.run;
        gust.extend(number("/wind/max_run_wind_mps").map(|v| {
            let system = compiled.yard.system;
            let stop = in_unit(v, "m/s", system);
            near(v, format!("{stop}, asked {}", print::wind(run, system)))
        }));
        let worst = number("/mechanism/as_drilled/min_transmission_deg")
            .or_else(|| number("/mechanism/min_transmission_deg"));
        push.extend(worst.map(|p| near(p, format!("{} of 90", decimal(p, 0)))));
    }
    let lists = [("Motor stops at", torque), ("Stop in wind above", gust), ("Push at worst", push)]
        .map(|(caption, mut near)| {
            near.sort_by(|a, b| a.by.total_cmp(&b.by));
            let rows: Vec<String> = near
                .iter()
                .take(FEW)
                .map(|n| row(&limb_link(&n.limb), &[escape(&n.words)]))
                .collect();
            table("tally", caption, &[], &rows)
        });
    match lists.concat().as_str() {
        "" => String::new(),
        lists => format!("<h2>Nearest to their limits</h2>\n<div class=\"lists\">{lists}</div>\n"),
    }
}

fn limb_link(limb: &str) -> String {
    format!("<a href=\"#limb-{0}\">{0}</a>", escape(limb))
}

fn figures(compiled: &Compiled) -> String {
    let one = |(n, placed): (usize, &crate::model::Placed)| {
        let loaded = &compiled.loads[n];
        let name = &placed.name.value;
        let system = compiled.yard.system;
        let gust = |when| loaded.first_to_go(when).map(|(_, _, g)| print::gust(g, system));
        let stand = match (&loaded.wind, gust(When::Stand)) {
            (Some(_), Some(gust)) => gust,
            (Some(_), None) => "not limited".to_owned(),
            (None, _) => "not checked (no anchor)".to_owned(),
        };
        let found = compiled
            .findings
            .iter()
            .filter(|f| f.figure.as_ref() == Some(name) && f.severity < Severity::Advice);
        let found = match found.count() {
            0 => String::new(),
            n => count(n, "finding"),
        };
        let laid_up = placed.laid_up_words().unwrap_or_default();
        let cells = [
            placed.figure.title.as_deref().map_or(String::new(), own),
            placed.figure.limbs.len().to_string(),
            format!(
                "{} E, {} N",
                distance(Mm(placed.at.x), system),
                distance(Mm(placed.at.y), system)
            ),
            gust(When::Run).unwrap_or_else(|| "not limited".to_owned()),
            stand,
            [laid_up, found].into_iter().filter(|t| !t.is_empty()).collect::<Vec<_>>().join(", "),
        ];
        row(&format!("<a href=\"#figure-{0}\">{0}</a>", escape(name)), &cells)
    };
    let rows: Vec<String> = compiled.yard.figures.iter().enumerate().map(one).collect();
    let heads = ["figure", "", "limbs", "stands", "stop above", "bring in above", ""];
    match table("found", "", &heads, &rows).as_str() {
        "" => "<p>There is no figure in this yard.</p>\n".to_owned(),
        table => format!("<h2>Figures</h2>\n{table}"),
    }
}

fn shows(compiled: &Compiled, report: &Value) -> String {
    let one = |(n, played): (usize, &std::sync::Arc<crate::timing::Performance>)| {
        let told = report.pointer(&format!("/shows/{n}"));
        let number = |f: &str, unit: &str| {
            let value = told.and_then(|t| t.get(f)).and_then(Value::as_f64);
            value.map_or(String::new(), |v| in_unit(v, unit, System::Metric))
        };
        let cells = [
            crate::emit::text::clock(played.duration.0),
            played.accents.len().to_string(),
            number("worst_accent_error_ms", "ms"),
            number("worst_accent_error_with_spread_ms", "ms"),
        ];
        row(&escape(&played.show), &cells)
    };
    let rows: Vec<String> = compiled.performances.iter().enumerate().map(one).collect();
    let heads =
        ["show", "lasts", "accents", "worst, motors as described (+ late)", "with their spread"];
    match table("found", "", &heads, &rows).as_str() {
        "" => String::new(),
        table => format!("<h2>Shows</h2>\n{table}"),
    }
}

fn supplies(compiled: &Compiled) -> String {
    let loads = compiled.yard.supplies.iter().zip(&compiled.power.supplies);
    let mut rows: Vec<String> = loads
        .filter(|(_, load)| load.peak.is_some())
        .map(|(s, load)| row(&escape(&s.name.value), &[escape(&power::words(s, load).join("; "))]))
        .collect();
    rows.extend(compiled.power.air.iter().map(|air| {
        let words = power::air_words(air, compiled.yard.system).join("; ");
        row(&format!("air of {}", escape(&air.tank)), &[escape(&words)])
    }));
    match table("found", "", &[], &rows).as_str() {
        "" => String::new(),
        table => format!("<h2>Supplies</h2>\n{table}"),
    }
}

/// Each note once, with the clause that would settle it and whom it is about; the most
/// frequent first.
fn tally<'a>(notes: impl Iterator<Item = (&'a Note, Option<String>)>, limbs: usize) -> Vec<String> {
    let mut all: Vec<(&Note, Vec<String>)> = Vec::new();
    let mut known = std::collections::HashMap::new();
    for (note, whom) in notes {
        let key = (note.what.as_str(), note.settle.as_str());
        let at = *known.entry(key).or_insert_with(|| {
            all.push((note, Vec::new()));
            all.len() - 1
        });
        all[at].1.extend(whom);
    }
    all.sort_by_key(|(_, whom)| std::cmp::Reverse(whom.len()));
    let one = |(note, whom): &(&Note, Vec<String>)| {
        let settle = match note.settle.as_str() {
            "" => String::new(),
            clause => format!("<code>{}</code>", own(clause)),
        };
        let whom = match whom.len() {
            0 => "the yard".to_owned(),
            n if n == limbs && n > 1 => format!("all {n} limbs"),
            _ => list_of(whom.iter().map(String::as_str), "and", 4),
        };
        row(&own(&note.what), &[settle, escape(&whom)])
    };
    all.iter().map(one).collect()
}

fn notes(compiled: &Compiled) -> String {
    let yard = &compiled.yard;
    let name = |f: usize, l: usize| {
        let placed = &yard.figures[f];
        Some(format!("{}.{}", placed.name.value, placed.figure.limbs[l].name.value))
    };
    let limbs = compiled.limbs().count();
    let of_figures = yard
        .figures
        .iter()
        .flat_map(|p| p.figure.assumed.iter().map(|n| (n, Some(p.name.value.clone()))));
    let assumed =
        compiled.limbs().flat_map(|(f, l)| compiled.assumed(f, l).map(move |n| (n, name(f, l))));
    let assumed = yard.assumed.iter().map(|n| (n, None)).chain(of_figures).chain(assumed);
    let open = compiled
        .limbs()
        .flat_map(|(f, l)| compiled.not_checked(f, l).map(move |n| (n, name(f, l))));
    let of_supplies = || {
        let all = yard.supplies.iter().zip(&compiled.power.supplies);
        all.map(|(s, load)| (format!("supply {}", s.name.value), load))
    };
    let uncounted = of_supplies()
        .flat_map(|(name, load)| load.not_counted.iter().map(move |n| (n, Some(name.clone()))));
    let of_tanks = compiled
        .power
        .air
        .iter()
        .flat_map(|air| air.not_checked.iter().map(|n| (n, Some(format!("air {}", air.tank)))));
    let open = yard.not_checked.iter().map(|n| (n, None)).chain(open).chain(uncounted);
    let open = open.chain(of_tanks);
    let taken = of_supplies()
        .flat_map(|(name, load)| load.assumed.iter().map(move |n| (n, Some(name.clone()))));
    let assumed = assumed.chain(taken);
    let [open, assumed] = [tally(open, limbs), tally(assumed, limbs)];
    let mut out = String::new();
    if !open.is_empty() {
        let heads = ["what", "this clause would settle it", "of"];
        out.push_str("<h2>Not checked</h2>\n");
        out.push_str(&table("tally", "", &heads, &open));
    }
    if !assumed.is_empty() {
        let heads = ["what", "say it like this", "of"];
        out.push_str("<h2>Assumed</h2>\n");
        out.push_str(&table("tally", "", &heads, &assumed));
    }
    out
}

fn warned(compiled: &Compiled) -> String {
    let each: Vec<String> = cautions::of(compiled)
        .map(|c| format!("<p class=\"caution\"><b>{}.</b> {}</p>\n", c.about, c.words))
        .collect();
    if each.is_empty() {
        return String::new();
    }
    format!(
        "<h2>Caution</h2>\n{}<p>These are sums on what was written and assumed, not a promise. Your local \
         code, and people licensed for it, decide.</p>\n",
        each.concat()
    )
}
