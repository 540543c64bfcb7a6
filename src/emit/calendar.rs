//! `season.ics`: the season's nights and runs as an iCalendar file (RFC 5545).
//!
//! Times are local ones of the yard's zone, with the zone's own changes of the
//! clock beside them, so that any calendar shows what the clock at the yard shows.
//! Nothing in it depends on when it was written: the same yard gives the same bytes.

use jiff::civil::DateTime;
use jiff::tz::{Offset, TimeZone};
use jiff::{SignedDuration, Timestamp, ZonedDateTime};

use super::Output;
use super::schedule::missing;
use super::wind::run_words;
use super::words::count;
use crate::check::Compiled;
use crate::finding::list_of;
use crate::model::Yard;
use crate::season::{Left, Night, Programme, Run, minute_up};

/// What must be looked at before a night's first run.
pub const BEFORE: &str = "Before the power goes on: people and cables out of the way, the gusts \
that are forecast held against the weather page, a walk round with everything off. Local codes and licensed people decide, \
not this calendar.";

/// The calendar; none where no season could be worked out.
#[must_use]
pub fn outputs(compiled: &Compiled) -> Vec<Output> {
    if compiled.programmes.iter().all(|p| p.nights.is_empty()) {
        return Vec::new();
    }
    vec![Output::new("season.ics", calendar(compiled))]
}

fn calendar(compiled: &Compiled) -> String {
    let yard = &compiled.yard;
    let wind = run_words(compiled);
    let mut text = Lines::default();
    text.line("BEGIN:VCALENDAR");
    text.line("VERSION:2.0");
    text.line("PRODID:-//yardwright//season calendar//EN");
    text.line("CALSCALE:GREGORIAN");
    for programme in zones(&compiled.programmes) {
        time_zone(programme, &compiled.programmes, &mut text);
    }
    for programme in &compiled.programmes {
        for night in programme.nights.iter().filter(|n| !n.runs.is_empty()) {
            night_event(yard, programme, night, &wind, &mut text);
            for (index, run) in night.runs.iter().enumerate() {
                run_event(yard, programme, night, (index, run), &mut text);
            }
        }
    }
    text.line("END:VCALENDAR");
    text.0
}

/// The first programme of each zone.
fn zones(programmes: &[Programme]) -> impl Iterator<Item = &Programme> {
    let first = |n: usize| !programmes[..n].iter().any(|p| p.zone_name == programmes[n].zone_name);
    (0..programmes.len()).filter(move |&n| first(n)).map(|n| &programmes[n])
}

/// Lines that end and fold as RFC 5545, 3.1 says: at most 75 octets, no character
/// split, a blank before what goes on.
#[derive(Default)]
struct Lines(String);

/// Octets on a line without its end.
const LONGEST: usize = 75;

impl Lines {
    fn line(&mut self, content: &str) {
        let mut room = LONGEST;
        for c in content.chars() {
            if c.len_utf8() > room {
                self.0.push_str("\r\n ");
                room = LONGEST - 1;
            }
            room -= c.len_utf8();
            self.0.push(c);
        }
        self.0.push_str("\r\n");
    }

    fn text(&mut self, property: &str, value: &str) {
        self.line(&format!("{property}:{}", escaped(value)));
    }

    fn time(&mut self, property: &str, zone: &str, at: &ZonedDateTime) {
        self.line(&format!("{property};TZID={zone}:{}", local(at.datetime())));
    }
}

/// A text as RFC 5545, 3.3.11 writes it, without characters that are no text.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '\\' | ';' | ',' => out.extend(['\\', c]),
            '\n' => out.push_str("\\n"),
            c if c.is_control() => out.push('\u{fffd}'),
            c => out.push(c),
        }
    }
    out
}

fn local(at: DateTime) -> String {
    at.strftime("%Y%m%dT%H%M%S").to_string()
}

/// "+0100"; seconds only where there are some.
fn offset(offset: Offset) -> String {
    let s = offset.seconds();
    let (sign, s) = if s < 0 { ('-', -s) } else { ('+', s) };
    let text = format!("{sign}{:02}{:02}", s / 3600, s / 60 % 60);
    if s % 60 == 0 { text } else { format!("{text}{:02}", s % 60) }
}

/// A zone with every change of its clock from before the first night to a day after
/// the last.
fn time_zone(programme: &Programme, all: &[Programme], text: &mut Lines) {
    let of_zone = all.iter().filter(|p| p.zone_name == programme.zone_name);
    let runs = of_zone.flat_map(|p| &p.nights).flat_map(|n| &n.runs);
    let times = runs.flat_map(|r| [r.start.timestamp(), r.end.timestamp()]);
    let Some((first, last)) = times.fold(None, |span: Option<(Timestamp, Timestamp)>, t| {
        Some(span.map_or((t, t), |(a, b)| (a.min(t), b.max(t))))
    }) else {
        return;
    };
    text.line("BEGIN:VTIMEZONE");
    text.line(&format!("TZID:{}", programme.zone_name));
    let zone = &programme.zone;
    let after = last.checked_add(SignedDuration::from_hours(24)).unwrap_or(last);
    let before = zone.preceding(first).next().map(|t| t.timestamp());
    let later = zone.following(first).map(|t| t.timestamp()).take_while(|t| *t <= after);
    let changes: Vec<Timestamp> = before.into_iter().chain(later).collect();
    for at in &changes {
        observance(zone, *at, text);
    }
    if changes.is_empty() {
        let own = offset(zone.to_offset(first));
        text.line("BEGIN:STANDARD");
        text.line("DTSTART:19700101T000000");
        text.line(&format!("TZOFFSETFROM:{own}"));
        text.line(&format!("TZOFFSETTO:{own}"));
        text.line("END:STANDARD");
    }
    text.line("END:VTIMEZONE");
}

/// One change of the clock.
fn observance(zone: &TimeZone, at: Timestamp, text: &mut Lines) {
    let just_before = at.checked_sub(SignedDuration::from_secs(1)).unwrap_or(at);
    let from = zone.to_offset(just_before);
    let to = zone.to_offset_info(at);
    let part = if to.dst().is_dst() { "DAYLIGHT" } else { "STANDARD" };
    text.line(&format!("BEGIN:{part}"));
    // The moment of the change as the clock before it shows it (RFC 5545, 3.6.5).
    text.line(&format!("DTSTART:{}", local(from.to_datetime(at))));
    text.line(&format!("TZOFFSETFROM:{}", offset(from)));
    text.line(&format!("TZOFFSETTO:{}", offset(to.offset())));
    text.text("TZNAME", to.abbreviation());
    text.line(&format!("END:{part}"));
}

/// What both kinds of event begin with.
fn begin(programme: &Programme, night: &Night, part: &str, text: &mut Lines) {
    text.line("BEGIN:VEVENT");
    text.line(&format!("UID:{}-{}-{part}@yardwright.invalid", programme.season, night.date));
    // There is no moment of writing: the date itself stands for it.
    text.line(&format!("DTSTAMP:{}T000000Z", night.date.strftime("%Y%m%d")));
}

fn end(yard: &Yard, text: &mut Lines) {
    if let Some(place) = &yard.locality {
        let (north, east) = (place.latitude.0, place.longitude.0);
        text.line(&format!("GEO:{north:.6};{east:.6}"));
    }
    text.line("END:VEVENT");
}

fn title(yard: &Yard) -> &str {
    let name = || yard.name.as_ref().map_or("yard", |n| n.value.as_str());
    yard.title.as_deref().unwrap_or_else(name)
}

/// The whole evening, from the first start to the last end.
fn night_event(yard: &Yard, programme: &Programme, night: &Night, wind: &str, text: &mut Lines) {
    let (Some(first), Some(last)) = (night.runs.first(), night.runs.last()) else { return };
    begin(programme, night, "night", text);
    text.time("DTSTART", &programme.zone_name, &first.start);
    text.time("DTEND", &programme.zone_name, &last.end);
    text.text("SUMMARY", &format!("{}: {}", title(yard), count(night.runs.len(), "run")));
    text.text("DESCRIPTION", &described(yard, wind, night));
    text.text("CATEGORIES", "night");
    text.line("TRANSP:TRANSPARENT");
    end(yard, text);
}

/// What a person needs to know of a night.
fn described(yard: &Yard, wind: &str, night: &Night) -> String {
    let clock = |z: &ZonedDateTime| z.strftime("%H:%M").to_string();
    let mut lines = Vec::new();
    lines.extend(night.sunset.as_ref().map(|s| format!("Sunset {}.", clock(&minute_up(s)))));
    lines.extend(night.dusk.as_ref().map(|d| format!("Dusk {}.", clock(&minute_up(d)))));
    lines.extend(night.end_by.as_ref().map(|e| format!("All over by {}.", clock(e))));
    if let Some(Left::TooLate(n)) = night.left {
        lines.push(format!("{} left out: not over in time.", count(n, "run")));
    }
    let missing = missing(yard, &night.date.to_string());
    if !missing.is_empty() {
        let names = list_of(missing.iter().map(String::as_str), "and", 12);
        lines.push(format!("Without {names}, laid up."));
    }
    lines.push(format!("{wind}."));
    lines.push(BEFORE.to_owned());
    lines.join("\n")
}

fn run_event(
    yard: &Yard,
    programme: &Programme,
    night: &Night,
    (index, run): (usize, &Run),
    text: &mut Lines,
) {
    begin(programme, night, &format!("run-{}", index + 1), text);
    text.time("DTSTART", &programme.zone_name, &run.start);
    text.time("DTEND", &programme.zone_name, &run.end);
    text.text("SUMMARY", &format!("{}, run {} of {}", run.show, index + 1, night.runs.len()));
    text.text("CATEGORIES", "run");
    end(yard, text);
}

#[cfg(test)]
mod tests {
    use super::*;

    /// RFC 5545, 3.1: 75 octets, the fold's blank counted; 212 octets make 75, 74 and
    /// 63 octets of text.
    #[test]
    fn long_lines_fold_between_characters() {
        let mut lines = Lines::default();
        lines.line(&format!("DESCRIPTION:{}", "x".repeat(200)));
        let parts: Vec<usize> = lines.0.split("\r\n").map(str::len).collect();
        assert_eq!(parts, [75, 75, 64, 0]);
        let mut lines = Lines::default();
        lines.line(&"\u{e9}".repeat(60));
        for part in lines.0.split("\r\n") {
            assert!(part.len() <= 75 && part.trim_start().chars().all(|c| c == '\u{e9}'));
        }
    }

    /// RFC 5545, 3.3.11.
    #[test]
    fn texts_are_escaped() {
        assert_eq!(
            escaped("Yard; figures, all\nline two \\"),
            "Yard\\; figures\\, all\\nline two \\\\"
        );
        assert_eq!(escaped("a: \"b\""), "a: \"b\"");
        assert_eq!(escaped("a\u{7}b"), "a\u{fffd}b");
    }
}
