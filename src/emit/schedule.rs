//! `schedule/<show>/<figure>.json` and `.csv`: what each controller plays.
//!
//! The keys are the fewest that keep within the stated error (the timing stage
//! sees to that); here they are only written down, with their units named.

use super::wiring::OutputReport;
use super::{Finite, Output};
use crate::check::Compiled;
use crate::model::Yard;
use crate::timing::{Channel, ChannelKind, FigurePart, Performance};

/// Version of the schedule's shape (`grammar/schedule.schema.json`).
pub const SCHEMA: u32 = 1;

/// What everybody who plays a schedule must know.
pub const NOTICE: &str = "Control protocols such as DMX512 and E1.31 carry no check of \
their data: a command may be lost or changed on the way. Give each controller its own rest: \
when the signal stops, it brings its motors to rest by itself, without this file. People near \
moving figures, mains, cables and compressed air are a matter of local codes and of licensed \
people; they decide, not this file.";

/// One figure's part of one show.
#[derive(Debug, serde::Serialize)]
struct Schedule<'a> {
    schema: u32,
    show: &'a str,
    figure: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    title: Option<&'a str>,
    #[serde(skip_serializing_if = "Option::is_none")]
    duration_s: Option<Finite>,
    time: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    sound_heard_at_s: Option<Finite>,
    channels: Vec<ChannelOut<'a>>,
    /// The first evening on which it is not played: its figure is laid up from then on.
    #[serde(skip_serializing_if = "Option::is_none")]
    only_before: Option<&'a str>,
    notice: &'static str,
}

/// One motor's commands.
#[derive(Debug, serde::Serialize)]
struct ChannelOut<'a> {
    name: &'a str,
    limbs: &'a [String],
    #[serde(skip_serializing_if = "Option::is_none")]
    output: Option<OutputReport<'a>>,
    kind: &'static str,
    unit: &'static str,
    between_keys: &'static str,
    #[serde(skip_serializing_if = "Option::is_none")]
    largest_error: Option<Finite>,
    keys: Vec<KeyOut>,
}

/// One command.
#[derive(Debug, serde::Serialize)]
struct KeyOut {
    at_s: Finite,
    value: Finite,
}

/// Times are written to this, s: far finer than a controller's clock.
const TIME: f64 = 1e-4;
/// Speeds and angles are written to this, rpm or deg; half of it is part of the
/// stated error.
const VALUE: f64 = 1e-3;

/// Rounding happens here and nowhere else; the division keeps the decimal short.
fn rounded(value: f64, step: f64) -> f64 {
    let per_unit = (1.0 / step).round();
    (value * per_unit).round() / per_unit
}

fn at_time(seconds: f64) -> Option<Finite> {
    Finite::new(rounded(seconds, TIME))
}

/// What a kind's numbers are: its word, their unit, and what happens between keys.
const fn meaning(kind: ChannelKind) -> (&'static str, &'static str, &'static str) {
    match kind {
        ChannelKind::Speed => ("speed", "rpm", "hold"),
        ChannelKind::Angle => ("angle", "deg", "line"),
        ChannelKind::Switch => ("switch", "1", "hold"),
        ChannelKind::Travel => ("travel", "1", "hold"),
    }
}

impl<'a> ChannelOut<'a> {
    fn new(channel: &'a Channel, output: Option<OutputReport<'a>>) -> Self {
        let (kind, unit, between_keys) = meaning(channel.kind);
        let keys = channel.keys.iter().filter_map(|k| {
            Some(KeyOut { at_s: at_time(k.at.0)?, value: Finite::new(rounded(k.value, VALUE))? })
        });
        Self {
            name: &channel.name,
            limbs: &channel.limbs,
            output,
            kind,
            unit,
            between_keys,
            largest_error: Finite::new(rounded(channel.error + VALUE / 2.0, VALUE / 10.0)),
            keys: keys.collect(),
        }
    }
}

/// The schedules of every show and figure, and the notice beside them.
///
/// # Errors
/// Where serde cannot write one; no value of a compile is known to do that.
pub fn outputs(compiled: &Compiled) -> serde_json::Result<Vec<Output>> {
    let mut all = Vec::new();
    for played in &compiled.performances {
        for part in &played.figures {
            let schedule = schedule(&compiled.yard, played, part);
            // What is not played on every night stands apart from what is.
            let apart = schedule.only_before.map_or(String::new(), |d| format!("before-{d}/"));
            let stem = format!("schedule/{}/{apart}{}", played.show, part.figure);
            let mut json = serde_json::to_string_pretty(&schedule)?;
            json.push('\n');
            all.push(Output::new(format!("{stem}.json"), json));
            all.push(Output::new(format!("{stem}.csv"), csv(&schedule)));
        }
    }
    if !all.is_empty() {
        let mut text = super::words::paragraph(NOTICE, 80);
        if !season_words(&compiled.yard).is_empty() {
            text.push('\n');
            text.push_str(&super::words::paragraph(&season_words(&compiled.yard), 80));
        }
        all.push(Output::new("schedule/READ-FIRST.txt", text));
    }
    Ok(all)
}

/// Who is laid up amid a season, and where what is played before that stands; empty where
/// nobody is.
#[must_use]
pub fn season_words(yard: &Yard) -> String {
    let one = |placed: &crate::model::Placed| {
        let from = placed.plays_before()?;
        let why = placed.laid_up.as_ref().and_then(|l| l.why.as_deref());
        let why = why.map_or(String::new(), |w| format!(" ({w})"));
        Some(format!(
            "{} is laid up from {from} on{why}: on the evenings before that it plays its file in the \
             folder before-{from} of the show.",
            placed.name.value
        ))
    };
    yard.figures.iter().filter_map(one).collect::<Vec<_>>().join(" ")
}

/// The figures that a night is without though they play others: `heron`.
#[must_use]
pub fn missing(yard: &Yard, date: &str) -> Vec<String> {
    let out = |p: &&crate::model::Placed| p.plays_before().is_some_and(|from| from <= date);
    yard.figures.iter().filter(out).map(|p| p.name.value.clone()).collect()
}

fn schedule<'a>(yard: &'a Yard, played: &'a Performance, part: &'a FigurePart) -> Schedule<'a> {
    let figure = yard.figures.iter().position(|f| f.name.value == part.figure);
    let output = |c: &Channel| OutputReport::of(yard, figure?, &c.name);
    Schedule {
        schema: SCHEMA,
        show: &played.show,
        figure: &part.figure,
        title: figure.and_then(|f| yard.figures[f].figure.title.as_deref()),
        duration_s: at_time(played.duration.0),
        time: "seconds from the start signal, which also starts the player",
        sound_heard_at_s: at_time(played.sound_delay.0),
        channels: part.channels.iter().map(|c| ChannelOut::new(c, output(c))).collect(),
        only_before: figure.and_then(|f| yard.figures[f].plays_before()),
        notice: NOTICE,
    }
}

/// The schedule as a table by RFC 4180: one key a row, CRLF after each.
fn csv(schedule: &Schedule<'_>) -> String {
    let mut text =
        String::from("channel,limbs,kind,unit,between_keys,largest_error,at_s,value\r\n");
    for channel in &schedule.channels {
        let error = channel.largest_error.map(|e| e.get().to_string()).unwrap_or_default();
        let fixed = [
            channel.name.to_owned(),
            channel.limbs.join(" "),
            channel.kind.to_owned(),
            channel.unit.to_owned(),
            channel.between_keys.to_owned(),
            error,
        ];
        for key in &channel.keys {
            let numbers = [key.at_s.get().to_string(), key.value.get().to_string()];
            let row: Vec<String> = fixed.iter().chain(&numbers).map(|f| field(f)).collect();
            text.push_str(&row.join(","));
            text.push_str("\r\n");
        }
    }
    text
}

/// A field, quoted where RFC 4180 asks for it.
fn field(text: &str) -> String {
    if text.contains(['"', ',', '\r', '\n']) {
        format!("\"{}\"", text.replace('"', "\"\""))
    } else {
        text.to_owned()
    }
}

#[cfg(test)]
mod tests {
    use super::field;

    // RFC 4180, section 2, rules 5 to 7.
    #[test]
    fn fields_are_quoted_where_they_must_be() {
        assert_eq!(field("plain"), "plain");
        assert_eq!(field("a,b"), "\"a,b\"");
        assert_eq!(field("say \"go\""), "\"say \"\"go\"\"\"");
        assert_eq!(field("two\r\nlines"), "\"two\r\nlines\"");
    }
}
