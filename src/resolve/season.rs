//! Seasons: nights, runs and ends, read and checked for the calendar.

use crate::finding::{Finding, Spanned};
use crate::model::{DAYS, EndRule, FirstStart, Locality, Note, Runs, Season, Yard};
use crate::syntax::words::{Row, Sign, Table, Take, key, many_key, must, must_key};
use crate::syntax::{Clause, Cursor};
use crate::units::{Dimension as D, Sec};

use super::codes_show::NIGHTS_UNCLEAR;
use super::cue::unexpected;

/// The words of `season`.
pub static SEASON: Table = Table {
    name: "season",
    title: "Nights and runs.",
    rows: &[
        Row::new("title", "A text for people.", &[must("text", Take::Text)]),
        Row::new(
            "nights",
            "First and last night, and nights left out.",
            &[
                must("first", Take::Date),
                must_key("to", "last", Take::Date),
                many_key("except", "except", Take::Date),
            ],
        ),
        Row::new("first", "When the first run of a night starts: `dusk + 20 min` or `18:30`.", &[])
            .raw(),
        Row::new(
            "runs",
            "How many runs of which show, and how far apart.",
            &[
                must("count", Take::Count),
                must_key("of", "show", Take::Name("show")),
                key("every", "every", Take::Quantity(D::Time, Sign::Positive)),
            ],
        )
        .many(),
        Row::new("end", "When everything must be over.", &[must_key("by", "by", Take::Clock)]),
        Row::new(
            "on",
            "Another end on some days of the week.",
            &[
                must("from", Take::Choice(DAYS)),
                key("to", "to", Take::Choice(DAYS)),
                must_key("end by", "by", Take::Clock),
            ],
        )
        .many(),
    ],
    bare: None,
};

/// Reads a season.
pub fn season(clause: Clause<'_>, findings: &mut Vec<Finding>) -> Option<Season> {
    let name = clause.text("name")?.map(str::to_owned);
    let mut season = Season {
        name,
        nights: None,
        except: Vec::new(),
        first: None,
        runs: Vec::new(),
        ends: Vec::new(),
    };
    let Some(block) = clause.block() else { return Some(season) };
    if let Some(nights) = block.find("nights") {
        read_nights(nights, &mut season, findings);
    }
    season.first = block.find("first").and_then(|c| first(c, findings));
    season.runs = block.all("runs").filter_map(|c| runs(c, findings)).collect();
    let always = block.find("end").and_then(|c| end(c, None, findings));
    let days = block.all("on").filter_map(|c| on(c, findings)).collect::<Vec<_>>();
    season.ends = always.into_iter().chain(days).collect();
    check_end(clause, &season, findings);
    Some(season)
}

/// What keeps a season from having a calendar.
#[must_use]
pub fn season_notes(season: &Season, locality: Option<&Locality>) -> Vec<Note> {
    let zone = "place 51.8 deg -2.3 deg zone \"Europe/London\"";
    let missing = [
        (locality.is_none_or(|l| l.zone.is_none()), "no place with a time zone", zone),
        (season.nights.is_none(), "no nights", "nights 2027-10-22 to 2027-10-31"),
        (season.first.is_none(), "no first start", "first dusk + 20 min"),
        (season.runs.is_empty(), "no runs", "runs 5 of SHOW every 25 min"),
    ];
    let note = |(_, what, settle): &(bool, &str, &str)| {
        Note::new(format!("calendar of {} ({what})", season.name.value), *settle)
    };
    missing.iter().filter(|(is, ..)| *is).map(note).collect()
}

/// On which side of their dates the nights of the seasons lie for figures that are laid up.
pub fn laid_up_nights(yard: &mut Yard) {
    let nights: Vec<&(String, String)> =
        yard.seasons.iter().filter_map(|s| s.nights.as_ref()).collect();
    for laid_up in yard.figures.iter_mut().filter_map(|p| p.laid_up.as_mut()) {
        let Some(from) = &laid_up.from else { continue };
        // Dates of four, two and two digits stand in order as texts do.
        laid_up.plays = nights.iter().any(|(first, _)| first < from);
        laid_up.missed = !laid_up.plays || nights.iter().any(|(_, last)| last >= from);
    }
}

fn read_nights(clause: Clause<'_>, season: &mut Season, findings: &mut Vec<Finding>) {
    let (Some(first), Some(last)) = (clause.text("first"), clause.text("last")) else { return };
    if last.value < first.value {
        findings.push(
            Finding::new(
                &NIGHTS_UNCLEAR,
                last.place,
                format!("the last night, {}, is before the first, {}.", last.value, first.value),
            )
            .help("write the earlier one first.")
            .related("first night", first.place),
        );
        return;
    }
    // Dates of four, two and two digits stand in order as texts do.
    for except in clause.values("except").map(crate::syntax::Got::text) {
        if except.value < first.value || except.value > last.value {
            findings.push(
                Finding::new(
                    &NIGHTS_UNCLEAR,
                    except.place,
                    format!("{} is left out, but is none of the nights.", except.value),
                )
                .help(format!("the nights are {} to {}.", first.value, last.value)),
            );
        } else {
            season.except.push(except.value.to_owned());
        }
    }
    season.nights = Some((first.value.to_owned(), last.value.to_owned()));
}

fn first(clause: Clause<'_>, findings: &mut Vec<Finding>) -> Option<FirstStart> {
    let mut c = Cursor::raw(clause, &["dusk"]);
    let read = (|| {
        if c.take_word("dusk").is_some() {
            let sign = if c.take_op("+").is_some() {
                1.0
            } else if c.take_op("-").is_some() {
                -1.0
            } else {
                return Ok(FirstStart::Dusk(Sec(0.0)));
            };
            let after = c.quantity(&[D::Time], Sign::NotNegative)?;
            return Ok(FirstStart::Dusk(Sec(sign * after.value)));
        }
        let run = c.run();
        let Some(clock) = run.and_then(|r| minutes(r.value)) else {
            return Err(unexpected(&mut c, "`dusk + 20 min` or a time such as 18:30", &["dusk"]));
        };
        c.next();
        // A clock is one number token.
        Ok(FirstStart::Clock(clock))
    })();
    let read = match read {
        Ok(first) if c.at_end() => Some(first),
        Ok(_) => {
            let _ = unexpected(&mut c, "the end of the line", &[]);
            None
        }
        Err(_) => None,
    };
    findings.extend(c.finish().0);
    read
}

/// Minutes after midnight of `21:30`; `24:00` is the end of the day.
fn minutes(text: &str) -> Option<u32> {
    let (h, m) = text.split_once(':')?;
    let two = |s: &str| (!s.is_empty() && s.len() <= 2).then(|| s.parse::<u32>().ok()).flatten();
    let (h, m) = (two(h)?, two(m)?);
    (m < 60 && h * 60 + m <= 24 * 60).then_some(h * 60 + m)
}

fn clock(said: Spanned<&str>, findings: &mut Vec<Finding>) -> Option<u32> {
    let read = minutes(said.value);
    if read.is_none() {
        findings.push(
            Finding::new(
                &NIGHTS_UNCLEAR,
                said.place,
                format!("{} is no time of a day.", said.value),
            )
            .help("write hours and minutes: 21:30."),
        );
    }
    read
}

fn end(clause: Clause<'_>, days: Option<(u8, u8)>, findings: &mut Vec<Finding>) -> Option<EndRule> {
    let by = clock(clause.text("by")?, findings)?;
    Some(EndRule { days, by })
}

fn on(clause: Clause<'_>, findings: &mut Vec<Finding>) -> Option<EndRule> {
    let day = |part: &str| {
        let word = clause.choice(part)?;
        DAYS.iter().position(|d| *d == word).and_then(|i| u8::try_from(i).ok())
    };
    let from = day("from")?;
    end(clause, Some((from, day("to").unwrap_or(from))), findings)
}

fn runs(clause: Clause<'_>, findings: &mut Vec<Finding>) -> Option<Runs> {
    let count = clause.value("count")?;
    let number = count.count()?;
    if number == 0 {
        findings.push(Finding::new(&NIGHTS_UNCLEAR, count.place(), "no run at all is no season."));
        return None;
    }
    let every = clause.get::<Sec>("every");
    if number > 1 && every.is_none() {
        findings.push(
            Finding::new(
                &NIGHTS_UNCLEAR,
                clause.place(),
                format!("how far apart the {number} runs are is missing."),
            )
            .help("write `every 25 min`."),
        );
    }
    let show = clause.text("show")?.map(str::to_owned);
    Some(Runs { count: number, show, every: every.map(|e| e.value) })
}

/// A first run by the clock must be before the end of every night.
fn check_end(clause: Clause<'_>, season: &Season, findings: &mut Vec<Finding>) {
    let Some(FirstStart::Clock(first)) = season.first else { return };
    let Some(end) = season.ends.iter().map(|e| e.by).min() else { return };
    if first >= end {
        let text = |m: u32| format!("{}:{:02}", m / 60, m % 60);
        findings.push(Finding::new(
            &NIGHTS_UNCLEAR,
            clause.head(),
            format!(
                "the first run at {} does not start before the end at {}.",
                text(first),
                text(end)
            ),
        ));
    }
}
