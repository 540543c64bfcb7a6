//! `preview.html`: the yard, any figure's front with its mechanism, and the score, moving
//! as predicted, in one file that needs nothing else.
//!
//! The page knows no mechanism: it reads tables that [`crate::timing::Drawing`] made and
//! draws straight lines between their rows. Numbers are written as whole hundredths or
//! thousandths, each as its difference from the one before; that rounding is part of the
//! error the page states.

mod figure;
mod show;

use std::collections::BTreeMap;

use rayon::prelude::*;

use super::svg::escape;
use super::{Finite, Output};
use crate::check::Compiled;
use crate::finding::{Finding, Locate, Severity};
use crate::model::Yard;
use crate::timing::Drawing;
use crate::units::System;
use figure::FigureData;
use show::ShowData;

/// Version of the page's data.
const SCHEMA: u32 = 1;

const PAGE: &str = include_str!("page.html");
const STYLE: &str = include_str!("style.css");
const SCRIPT: &str = concat!(
    "(() => {\n'use strict';\n",
    include_str!("tables.js"),
    include_str!("draw.js"),
    include_str!("plan.js"),
    include_str!("front.js"),
    include_str!("score.js"),
    include_str!("page.js"),
    "})();\n"
);

/// Everything the page is told.
#[derive(serde::Serialize)]
struct Data<'a> {
    schema: u32,
    file: &'a str,
    title: &'a str,
    inches: bool,
    yard: YardData<'a>,
    /// Each figure as set up in the yard.
    figures: Vec<Placed<'a>>,
    /// What they look like: figures that are the same share one.
    drawings: Vec<serde_json::Value>,
    shows: Vec<ShowData<'a>>,
    findings: Vec<FindingData<'a>>,
}

/// The ground.
#[derive(serde::Serialize)]
struct YardData<'a> {
    size: [Finite; 2],
    viewers: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    keep: Option<Finite>,
    pegs: Vec<Spot<'a>>,
    supplies: Vec<Spot<'a>>,
}

/// Something with a name and a place in the yard, mm east and north.
#[derive(serde::Serialize)]
struct Spot<'a> {
    name: &'a str,
    at: [Finite; 2],
}

/// A figure in the yard.
#[derive(serde::Serialize)]
struct Placed<'a> {
    name: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    title: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    at: Option<[Finite; 2]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    facing: Option<Finite>,
    #[serde(skip_serializing_if = "std::ops::Not::not")]
    laid_up: bool,
    drawing: usize,
}

/// A finding where it belongs.
#[derive(serde::Serialize)]
struct FindingData<'a> {
    code: &'a str,
    severity: Severity,
    message: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    help: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    place: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    figure: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    limb: Option<&'a str>,
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    also: &'a [String],
}

impl<'a> FindingData<'a> {
    fn new(finding: &'a Finding, at: &dyn Locate) -> Self {
        let place = finding.place.and_then(|p| at.locate(p));
        Self {
            code: finding.code.word,
            severity: finding.severity,
            message: &finding.message,
            help: finding.help.as_deref(),
            place: place.map(|l| format!("{}:{}", l.file, l.line)),
            figure: finding.figure.as_deref(),
            limb: finding.limb.as_deref(),
            also: &finding.also,
        }
    }
}

/// A point to two decimals; `None` where it is none.
fn two(x: f64, y: f64) -> Option<[Finite; 2]> {
    Some([hundredths(x)?, hundredths(y)?])
}

/// A number to two decimals.
fn hundredths(value: f64) -> Option<Finite> {
    Finite::new((value * 100.0).round() / 100.0)
}

/// Numbers as whole parts of `per`, each as its difference from the one before; one
/// number alone where all are the same.
fn deltas(values: impl Iterator<Item = f64>, per: f64) -> Vec<i64> {
    let parts: Vec<i64> = values.map(|v| (v * per).round() as i64).collect();
    match parts.first() {
        Some(first) if parts.iter().all(|p| p == first) => vec![*first],
        _ => {
            let before = std::iter::once(0).chain(parts.iter().copied());
            parts.iter().zip(before).map(|(a, b)| a - b).collect()
        }
    }
}

fn yard_data(yard: &Yard) -> YardData<'_> {
    let nought = Finite::default();
    let spot = |name, x, y| Some(Spot { name, at: two(x, y)? });
    YardData {
        size: two(yard.size.0.0, yard.size.1.0).unwrap_or([nought; 2]),
        viewers: yard.viewers.word(),
        keep: yard.keep.and_then(|k| hundredths(k.0)),
        pegs: yard.pegs.iter().filter_map(|p| spot(&p.name.value, p.at.x, p.at.y)).collect(),
        supplies: (yard.supplies.iter())
            .filter_map(|s| spot(&s.name.value, s.at?.x, s.at?.y))
            .collect(),
    }
}

/// The page.
///
/// # Errors
/// Where serde cannot write its data; no value of a compile is known to do that.
pub fn outputs(compiled: &Compiled, at: &dyn Locate) -> serde_json::Result<Vec<Output>> {
    let yard = &compiled.yard;
    let drawn: Vec<Drawing> = compiled.figures.par_iter().map(|f| Drawing::of(f)).collect();
    let (mut drawings, mut known) = (Vec::new(), BTreeMap::new());
    let mut figures = Vec::with_capacity(drawn.len());
    for (index, placed) in yard.figures.iter().enumerate() {
        let data = serde_json::to_value(FigureData::new(compiled, index, &drawn[index]))?;
        let drawing = *known.entry(data.to_string()).or_insert_with(|| {
            drawings.push(data);
            drawings.len() - 1
        });
        figures.push(Placed {
            name: &placed.name.value,
            title: placed.figure.title.as_deref(),
            at: two(placed.at.x, placed.at.y),
            facing: hundredths(placed.facing.0),
            laid_up: placed.idle(),
            drawing,
        });
    }
    let title = title(compiled);
    let data = Data {
        schema: SCHEMA,
        file: &compiled.file,
        title,
        inches: yard.system == System::Inch,
        yard: yard_data(yard),
        figures,
        drawings,
        shows: (0..yard.shows.len()).map(|n| ShowData::new(compiled, n, &drawn)).collect(),
        findings: compiled.findings.iter().map(|f| FindingData::new(f, at)).collect(),
    };
    let page = filled(&escape(title), &in_script(&serde_json::to_string(&data)?));
    let mut outputs = vec![Output::new("preview.html", page)];
    outputs.extend(songs(yard));
    Ok(outputs)
}

/// The songs that are played, copied so that the folder can be carried away whole.
fn songs(yard: &Yard) -> impl Iterator<Item = Output> {
    let played: BTreeMap<String, &[u8]> = (yard.shows.iter())
        .filter_map(|s| s.song.as_deref())
        .filter_map(|song| Some((show::copy_of(song), show::sound_of(song)?)))
        .collect();
    played.into_iter().map(|(path, bytes)| Output::new(path, bytes))
}

fn title(compiled: &Compiled) -> &str {
    let yard = &compiled.yard;
    let named = yard.title.as_deref().or(yard.name.as_ref().map(|n| n.value.as_str()));
    named.unwrap_or(&compiled.file)
}

/// The page with everything in its place; what is put in is not looked at again.
fn filled(title: &str, data: &str) -> String {
    let mut page = String::with_capacity(PAGE.len() + STYLE.len() + SCRIPT.len() + data.len());
    let mut rest = PAGE;
    while let Some((before, after)) = rest.split_once("{{") {
        page.push_str(before);
        let (name, after) = after.split_once("}}").unwrap_or((after, ""));
        page.push_str(match name {
            "title" => title,
            "style" => STYLE,
            "script" => SCRIPT,
            "data" => data,
            _ => "",
        });
        rest = after;
    }
    page.push_str(rest);
    page
}

/// JSON that stands in a script element: nothing in it ends the element or begins a
/// comment, and every reader of scripts takes its line breaks for what they are.
fn in_script(json: &str) -> String {
    let mut out = String::with_capacity(json.len());
    for c in json.chars() {
        match c {
            '<' => out.push_str("\\u003c"),
            '>' => out.push_str("\\u003e"),
            '&' => out.push_str("\\u0026"),
            '\u{2028}' => out.push_str("\\u2028"),
            '\u{2029}' => out.push_str("\\u2029"),
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn nothing_in_the_data_ends_its_element() {
        let json = serde_json::to_string("</script><!-- & \u{2028}").unwrap();
        let put = in_script(&json);
        assert!(!put.contains(['<', '>', '&', '\u{2028}']), "{put}");
        let back: String = serde_json::from_str(&put).unwrap();
        assert_eq!(back, "</script><!-- & \u{2028}");
    }

    #[test]
    fn what_is_put_in_is_not_looked_at_again() {
        let page = filled("{{data}}", "\"{{script}}\"");
        assert!(page.contains("<title>{{data}}") && page.contains("\"{{script}}\""));
        assert_eq!(page.matches("'use strict'").count(), 1);
    }

    #[test]
    fn differences_add_up_again() {
        assert_eq!(deltas([1.0, 1.5, 1.25].into_iter(), 100.0), [100, 50, -25]);
        assert_eq!(deltas([2.0, 2.0, 2.0].into_iter(), 10.0), [20]);
    }
}
