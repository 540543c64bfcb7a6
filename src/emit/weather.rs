//! `weather.html`: one page for the evening before a storm. At a forecast of so much
//! wind: what may run, what to park, what to bring in, the quickest first.
//!
//! One file, no scripts, fit for paper, light and dark.

use super::Output;
use super::svg::escape;
use super::wind::STILL;
use super::words::count;
use crate::check::Compiled;
use crate::loads::{Grade, LoadedFigure, When};
use crate::units::{MetrePerSec, System, print};

/// Beaufort's forces 3 to 11: the speed at which each begins, m/s (World
/// Meteorological Organization, Beaufort equivalents).
const BEAUFORT: [(u8, f64); 9] = [
    (3, 3.4),
    (4, 5.5),
    (5, 8.0),
    (6, 10.8),
    (7, 13.9),
    (8, 17.2),
    (9, 20.8),
    (10, 24.5),
    (11, 28.5),
];

/// Gust over the mean of ten minutes, a few metres up in open land: the square root of
/// the ratio of peak to mean pressure, 1 + 7 x 0.161 (EN 1991-1-4:2005, 4.5, with the
/// turbulence of terrain I at 5 m).
const GUST: f64 = 1.46;

/// A figure's place on the page.
struct Row<'a> {
    name: &'a str,
    /// Largest gust to run in, and what goes first.
    run: Option<(MetrePerSec, String)>,
    /// Largest gust to stand; `None` where its stand was not checked.
    stand: Option<(MetrePerSec, String)>,
    /// How many fixings to undo.
    fixings: Option<u32>,
    typical: bool,
}

/// The row of the list of outputs: nothing where there is no figure.
#[must_use]
pub fn outputs(compiled: &Compiled) -> Vec<Output> {
    if compiled.yard.figures.is_empty() {
        return Vec::new();
    }
    vec![Output::new("weather.html", page(compiled))]
}

fn rows(compiled: &Compiled) -> Vec<Row<'_>> {
    let figures = compiled.yard.figures.iter().zip(&compiled.loads);
    let shown = figures.filter(|(placed, _)| !placed.idle());
    let mut rows: Vec<Row<'_>> = shown.map(|(p, l)| row(&p.name.value, p, l)).collect();
    // The first to act on stands first.
    let key = |r: &Row<'_>| r.stand.as_ref().or(r.run.as_ref()).map_or(f64::INFINITY, |s| s.0.0);
    rows.sort_by(|a, b| key(a).total_cmp(&key(b)).then_with(|| a.name.cmp(b.name)));
    rows
}

fn row<'a>(name: &'a str, placed: &crate::model::Placed, loaded: &LoadedFigure) -> Row<'a> {
    let told = |when| {
        let (limit, limb, gust) = loaded.first_to_go(when)?;
        let whose =
            limb.map_or(String::new(), |l| format!("{}: ", placed.figure.limbs[l].name.value));
        Some((gust, format!("{whose}{}", limit.goes), limit.grade()))
    };
    let (run, stand) = (told(When::Run), told(When::Stand));
    let grades = [&run, &stand];
    let typical = grades.into_iter().flatten().any(|t| t.2 == Grade::Typical);
    let plain = |t: Option<(MetrePerSec, String, Grade)>| t.map(|(g, w, _)| (g, w));
    Row {
        name,
        run: plain(run),
        // Without an anchor only its limbs are known.
        stand: plain(stand).filter(|_| loaded.wind.is_some()),
        fixings: loaded.wind.as_ref().map(|w| w.fixings),
        typical,
    }
}

/// What to do with a figure at a gust.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Act {
    Run,
    Park,
    BringIn,
}

impl Row<'_> {
    /// What to do at a gust in a yard whose limbs are to move up to `run` and no further.
    fn act(&self, gust: f64, run: MetrePerSec) -> Act {
        let beyond = |s: &Option<(MetrePerSec, String)>| s.as_ref().is_some_and(|s| gust > s.0.0);
        match (beyond(&self.stand), beyond(&self.run) || gust > run.0) {
            (true, _) => Act::BringIn,
            // What nothing is known of is not left out in more than it may run in.
            (false, true) if self.stand.is_none() => Act::BringIn,
            (false, true) => Act::Park,
            (false, false) => Act::Run,
        }
    }

    fn label(&self) -> String {
        match self.fixings {
            Some(n) => format!("{} ({})", escape(self.name), count(n as usize, "fixing")),
            None => format!("{} (stand not checked)", escape(self.name)),
        }
    }
}

fn page(compiled: &Compiled) -> String {
    let yard = &compiled.yard;
    let system = yard.system;
    let rows = rows(compiled);
    let named = yard.title.clone().or_else(|| yard.name.as_ref().map(|n| n.value.clone()));
    let title = escape(&named.unwrap_or_else(|| compiled.file.clone()));
    let mut out = format!(
        "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <title>Weather: {title}</title>\n<style>{STYLE}</style>\n</head>\n<body>\n\
         <h1>Weather: {title}</h1>\n"
    );
    out.push_str(&format!(
        "<p>Speeds are gusts at the figure. A forecast of mean wind over ten minutes becomes gusts \
         about {GUST} times as strong in open land. This yard is to run up to {} and to stand up to {}.</p>\n",
        print::wind(yard.winds.run, system),
        print::wind(yard.winds.stand, system)
    ));
    out.push_str(&by_forecast(&rows, yard.winds.run, system));
    out.push_str(&by_figure(&rows, system));
    out.push_str(&weather(system));
    out.push_str("</body>\n</html>\n");
    out
}

/// "At gusts of N": run, park, bring in.
///
/// Nothing runs above the yard's own `wind run`, whatever it could bear: limbs move up to
/// that gust and no further (the words' meaning); what each could bear stands in the
/// second table.
fn by_forecast(rows: &[Row<'_>], run: MetrePerSec, system: System) -> String {
    let mut out = format!(
        "<h2>At a forecast of gusts up to</h2>\n<p>Above {}, the yard's own <code>wind run</code>, nothing is to \
         move, also what could bear more.</p>\n<table class=\"gusts\">\n<thead><tr><th>gusts</th><th>mean</th>\
         <th>run</th><th>park</th><th>bring in, quickest first</th></tr></thead>\n<tbody>\n",
        print::wind(run, system)
    );
    for (force, from) in BEAUFORT {
        let list = |act: Act| {
            let mut some: Vec<&Row<'_>> = rows.iter().filter(|r| r.act(from, run) == act).collect();
            if act == Act::BringIn {
                // Fewest fixings to undo first; what is not known last.
                some.sort_by_key(|r| (r.fixings.unwrap_or(u32::MAX), r.name));
                return some.iter().map(|r| r.label()).collect::<Vec<_>>().join(", ");
            }
            if some.len() == rows.len() && rows.len() > 1 {
                return "all".to_owned();
            }
            some.iter().map(|r| escape(r.name)).collect::<Vec<_>>().join(", ")
        };
        out.push_str(&format!(
            "<tr><th scope=\"row\">{} (Beaufort {force})</th><td data-head=\"mean\">{}</td><td data-head=\"run\">{}</td>\
             <td data-head=\"park\">{}</td><td data-head=\"bring in\">{}</td></tr>\n",
            print::wind(MetrePerSec(from), system),
            print::wind(MetrePerSec(from / GUST), system),
            list(Act::Run),
            list(Act::Park),
            list(Act::BringIn)
        ));
    }
    out + "</tbody>\n</table>\n"
}

/// Each figure with its gusts and what goes first.
fn by_figure(rows: &[Row<'_>], system: System) -> String {
    let mut out = String::from(
        "<h2>Figure by figure</h2>\n<table>\n<thead><tr><th>figure</th><th>stop above</th><th>because</th>\
         <th>bring in above</th><th>because</th><th>fixings</th></tr></thead>\n<tbody>\n",
    );
    for row in rows {
        let tell = |s: &Option<(MetrePerSec, String)>, none: &str| match s {
            Some((gust, why)) if gust.0 <= 0.0 => (STILL.to_owned(), escape(why)),
            Some((gust, why)) => (print::gust(*gust, system), escape(why)),
            None => (none.to_owned(), String::new()),
        };
        let (run, why_run) = tell(&row.run, "not limited");
        let unknown = if row.fixings.is_some() { "not limited" } else { "not checked (no anchor)" };
        let (stand, why_stand) = tell(&row.stand, unknown);
        let mark = if row.typical { " *" } else { "" };
        out.push_str(&format!(
            "<tr><th scope=\"row\">{}{mark}</th><td data-head=\"stop above\">{run}</td>\
             <td data-head=\"because\">{why_run}</td><td data-head=\"bring in above\">{stand}</td>\
             <td data-head=\"because\">{why_stand}</td><td data-head=\"fixings\">{}</td></tr>\n",
            escape(row.name),
            row.fixings.map_or("?".to_owned(), |n| n.to_string())
        ));
    }
    out + "</tbody>\n</table>\n<p>* computed for typical values of sheet, bolt, soil or stake: measure yours, and \
           pull-test the stakes.</p>\n"
}

/// What is true of every yard, and the cautions, in a household's units.
fn weather(system: System) -> String {
    // 1 mm of ice is 0.9 kg/m2 (0.917 g/cm3); the inch words say the same of 1/16 in, and of
    // a foot in 20 degrees Fahrenheit.
    let (ice, grows) = match system {
        System::Inch => (
            "1/16 in weighs 0.3 lb a square foot",
            "0.02 in for each foot and 20 degrees Fahrenheit; it bends twice as easily at 140 degrees Fahrenheit",
        ),
        _ => (
            "1 mm weighs 0.9 kg/m2",
            "1.4 mm for each metre and 10 degrees; it bends twice as easily at 60 degrees",
        ),
    };
    WEATHER.replace("{ice}", ice).replace("{grows}", grows)
}

/// With room for its quantities.
const WEATHER: &str = "<h2>Rain, ice, heat, sun</h2>\n<ul>\n\
<li>Rain: wet plywood is about a fifth heavier, and wet ground holds a stake half as well.</li>\n\
<li>Ice: {ice}. Do not start a figure iced: free its limbs by hand first, power off.</li>\n\
<li>Heat: corrugated polypropylene grows {grows}.</li>\n\
<li>Sun: polypropylene without a stabiliser turns brittle in about a season.</li>\n</ul>\n\
<h2>Caution</h2>\n<p>These are sums, not a promise: soils, gusts and workmanship differ by two to three times. Your local code, \
and a person licensed for it, decide where a falling figure could hurt somebody. When in doubt bring it in, and keep \
people away from what stands in more wind than is written here.</p>\n";

const STYLE: &str = "\
:root{color-scheme:light dark}\
body{font:16px/1.45 system-ui,sans-serif;max-width:60rem;margin:1.5rem auto;padding:0 1rem;\
background:#fff;color:#1b1b1b}\
h1{font-size:1.5rem}h2{font-size:1.15rem;margin-top:1.6rem}\
table{border-collapse:collapse;width:100%}\
th,td{border:1px solid #8a8a8a;padding:.3rem .5rem;text-align:left;vertical-align:top}\
thead th{background:#e8ece4}\
.gusts th[scope=row],.gusts td:nth-child(2){white-space:nowrap}\
@media (prefers-color-scheme:dark){body{background:#16181a;color:#ececec}thead th{background:#2b3430}}\
@media screen and (max-width:40rem){thead{display:none}tr{display:block;border-top:2px solid #8a8a8a;padding:.3rem 0}\
th,td{border:0;padding:.15rem 0}th[scope=row],td{display:block}td{display:grid;grid-template-columns:7.5rem 1fr}\
td::before{content:attr(data-head)}td:empty{display:none}}\
@media print{body{background:#fff;color:#000;font-size:10pt;max-width:none;margin:0}\
thead th{background:#eee;color:#000}tr{break-inside:avoid}}";

#[cfg(test)]
mod tests {
    use super::*;

    fn row(run: f64, stand: Option<f64>) -> Row<'static> {
        let told = |v: f64| (MetrePerSec(v), "it goes".to_owned());
        Row {
            name: "bear",
            run: Some(told(run)),
            stand: stand.map(told),
            fixings: stand.map(|_| 4),
            typical: true,
        }
    }

    #[test]
    fn it_runs_then_parks_then_comes_in() {
        let bear = row(9.0, Some(20.0));
        let acts = [8.0, 10.8, 20.8].map(|g| bear.act(g, MetrePerSec(15.0)));
        assert!(acts == [Act::Run, Act::Park, Act::BringIn]);
        // Nothing known of its stand: in, as soon as it may not run.
        assert!(row(9.0, None).act(10.8, MetrePerSec(15.0)) == Act::BringIn);
        // It could run, and the yard is not to.
        assert!(bear.act(8.0, MetrePerSec(7.0)) == Act::Park);
    }

    #[test]
    fn names_cannot_break_the_page() {
        assert_eq!(escape("a<b & \"c\"\u{7}"), "a&lt;b &amp; &quot;c&quot;\u{fffd}");
    }
}
