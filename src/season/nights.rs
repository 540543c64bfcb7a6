//! Nights and runs as instants.

use jiff::civil::{Date, DateTime};
use jiff::tz::{TimeZone, TimeZoneDatabase};
use jiff::{SignedDuration, ZonedDateTime};

use super::codes;
use super::sun::{Depth, NoEvening, evening};
use crate::finding::{Finding, closest};
use crate::model::{FirstStart, Locality, Season, Yard};
use crate::timing::{self, Performance};
use crate::units::Sec;
use crate::units::print::{self, decimal};

/// A season worked out.
#[derive(Clone, Debug)]
pub struct Programme {
    /// The season's name.
    pub season: String,
    /// Its time zone.
    pub zone: TimeZone,
    /// The zone's IANA name.
    pub zone_name: String,
    /// Its nights in order.
    pub nights: Vec<Night>,
    /// Nights between the first and the last that are left out.
    pub except: Vec<Date>,
}

/// One night.
#[derive(Clone, Debug)]
pub struct Night {
    /// The date of its evening.
    pub date: Date,
    /// When the sun goes down; `None` where it does not.
    pub sunset: Option<ZonedDateTime>,
    /// The end of civil twilight; `None` where it does not come.
    pub dusk: Option<ZonedDateTime>,
    /// When everything must be over.
    pub end_by: Option<ZonedDateTime>,
    /// Its runs in order.
    pub runs: Vec<Run>,
    /// Runs that are asked for and do not take place.
    pub left: Option<Left>,
}

/// Runs that do not take place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Left {
    /// So many would end too late.
    TooLate(usize),
    /// There is no dusk to start from.
    NoDusk(NoEvening),
}

/// One run of a show.
#[derive(Clone, Debug)]
pub struct Run {
    /// The show.
    pub show: String,
    /// The start signal.
    pub start: ZonedDateTime,
    /// When everything has come to rest.
    pub end: ZonedDateTime,
}

impl Night {
    /// From the end of a run to the start of the next, one fewer than runs.
    pub fn rests(&self) -> impl Iterator<Item = SignedDuration> + '_ {
        self.runs.windows(2).map(|w| w[0].end.duration_until(&w[1].start))
    }
}

/// Works every season of a yard out. A season without a place, a zone, nights, a
/// first start or runs has no programme; that is a note of the yard.
#[must_use]
pub fn programmes(
    yard: &Yard,
    performances: &[impl AsRef<Performance>],
    findings: &mut Vec<Finding>,
) -> Vec<Programme> {
    let Some((locality, zone, zone_name)) = zone(yard, findings) else { return Vec::new() };
    let length = |show: &str| timing::nights::length(performances, show);
    let mut all = Vec::new();
    for season in &yard.seasons {
        overlaps(season, &length, findings);
        let Some(nights) = nights(season, locality, &zone, &length) else { continue };
        told(season, &nights, findings);
        let except = season.except.iter().filter_map(|d| d.parse().ok()).collect();
        all.push(Programme {
            season: season.name.value.clone(),
            zone: zone.clone(),
            zone_name: zone_name.clone(),
            nights,
            except,
        });
    }
    all
}

fn zone<'a>(
    yard: &'a Yard,
    findings: &mut Vec<Finding>,
) -> Option<(&'a Locality, TimeZone, String)> {
    let locality = yard.locality.as_ref()?;
    let said = locality.zone.as_ref()?;
    let known = TimeZoneDatabase::bundled();
    if let Ok(zone) = known.get(&said.value) {
        // The name as the database has it: "europe/london" is taken too.
        let name = zone.iana_name().unwrap_or(&said.value).to_owned();
        return Some((locality, zone, name));
    }
    let names: Vec<String> = known.available().map(|n| n.as_str().to_owned()).collect();
    let near = closest(&said.value, names.iter().map(String::as_str));
    let message = format!("there is no time zone called {:?}.", said.value);
    let mut finding = Finding::new(&codes::ZONE_UNKNOWN, said.place, message)
        .help("zones are named by a region and a city, such as \"Europe/London\".");
    if let Some(near) = near {
        finding = finding.label(format!("did you mean \"{near}\"?"));
        finding = finding.fix(format!("write \"{near}\""), said.place, format!("\"{near}\""));
    }
    findings.push(finding);
    None
}

/// Runs that start before the one before is over.
fn overlaps(season: &Season, length: &dyn Fn(&str) -> Sec, findings: &mut Vec<Finding>) {
    for runs in &season.runs {
        let (Some(every), show) = (runs.every, &runs.show) else { continue };
        let lasts = length(&show.value);
        if runs.count > 1 && every < lasts {
            let minutes = libm::ceil(lasts.0 / 60.0);
            let message = format!(
                "`{}` lasts {}, but its runs are {} apart.",
                show.value,
                print::span(lasts),
                print::span(every)
            );
            let help = format!(
                "every {minutes} min leaves each run its time, and motors want a rest beside."
            );
            findings.push(
                Finding::new(&codes::RUNS_OVERLAP, show.place, message)
                    .help(help)
                    .given("one run lasts", format!("{} s", decimal(lasts.0, 2)))
                    .given("from start to start", format!("{} s", decimal(every.0, 2))),
            );
        }
    }
}

fn nights(
    season: &Season,
    locality: &Locality,
    zone: &TimeZone,
    length: &dyn Fn(&str) -> Sec,
) -> Option<Vec<Night>> {
    let dates = timing::nights::dates(season)?;
    let start = season.first?;
    if season.runs.is_empty() {
        return None;
    }
    Some(dates.into_iter().map(|d| night(season, start, locality, zone, d, length)).collect())
}

fn night(
    season: &Season,
    first: FirstStart,
    locality: &Locality,
    zone: &TimeZone,
    date: Date,
    length: &dyn Fn(&str) -> Sec,
) -> Night {
    let place = (locality.latitude, locality.longitude);
    let at = |depth| evening(date, place, zone, depth);
    let (sunset, dusk) = (at(Depth::Sunset), at(Depth::Dusk));
    let end_by = end_of(season, date).and_then(|m| at_clock(date, m, zone));
    let begins = match first {
        FirstStart::Clock(minutes) => Ok(at_clock(date, minutes, zone)),
        // A start at an even minute can be read off a watch.
        FirstStart::Dusk(after) => dusk.clone().map(|d| later(&d, after).map(|t| minute_up(&t))),
    };
    let (runs, left) = match begins {
        Err(why) => (Vec::new(), Some(Left::NoDusk(why))),
        Ok(None) => (Vec::new(), None),
        Ok(Some(begins)) => runs(season, &begins, end_by.as_ref(), length),
    };
    Night { date, sunset: sunset.ok(), dusk: dusk.ok(), end_by, runs, left }
}

/// The runs of a night, one clause after the other, and those that end too late.
fn runs(
    season: &Season,
    begins: &ZonedDateTime,
    end_by: Option<&ZonedDateTime>,
    length: &dyn Fn(&str) -> Sec,
) -> (Vec<Run>, Option<Left>) {
    let (mut runs, mut late) = (Vec::new(), 0);
    for run in timing::nights::runs(season, length) {
        let Some(start) = later(begins, run.start) else { break };
        let Some(end) = later(&start, run.lasts) else { break };
        if end_by.is_some_and(|by| end > *by) {
            late += 1;
        } else {
            runs.push(Run { show: run.show, start, end });
        }
    }
    (runs, (late > 0).then_some(Left::TooLate(late)))
}

/// When a night must be over, minutes after midnight: a rule for its day of the
/// week beats the general one, and of two rules the earlier holds.
fn end_of(season: &Season, date: Date) -> Option<u32> {
    let day = u8::try_from(date.weekday().to_monday_zero_offset()).unwrap_or(0);
    let holds = |(from, to): (u8, u8)| match from <= to {
        true => (from..=to).contains(&day),
        // `sun to thu` goes on over the end of the week.
        false => day >= from || day <= to,
    };
    let on = season.ends.iter().filter(|e| e.days.is_some_and(holds)).map(|e| e.by).min();
    on.or_else(|| season.ends.iter().filter(|e| e.days.is_none()).map(|e| e.by).min())
}

/// A time of the clock on a date; where clocks are put forward over it, as much
/// later; where it comes twice, the first.
fn at_clock(date: Date, minutes: u32, zone: &TimeZone) -> Option<ZonedDateTime> {
    let midnight: DateTime = date.at(0, 0, 0, 0);
    let civil = midnight.checked_add(SignedDuration::from_mins(i64::from(minutes))).ok()?;
    zone.to_ambiguous_zoned_datetime(civil).compatible().ok()
}

fn later(at: &ZonedDateTime, by: Sec) -> Option<ZonedDateTime> {
    at.checked_add(SignedDuration::try_from_secs_f64(by.0).ok()?).ok()
}

/// The next whole minute: runs start on one, and a sunset or dusk told in minutes is told
/// as the same one, so that the minutes between the two are those of the text.
#[must_use]
pub fn minute_up(at: &ZonedDateTime) -> ZonedDateTime {
    let over = i64::from(at.second()) * 1000 + i64::from(at.millisecond());
    match over {
        0 => at.clone(),
        ms => {
            at.checked_add(SignedDuration::from_millis(60_000 - ms)).unwrap_or_else(|_| at.clone())
        }
    }
}

/// Says which nights have fewer runs than asked.
fn told(season: &Season, nights: &[Night], findings: &mut Vec<Finding>) {
    let asked: u32 = season.runs.iter().map(|r| r.count).sum();
    let short = |n: &&Night| matches!(n.left, Some(Left::TooLate(_)));
    let dark = |n: &&Night| matches!(n.left, Some(Left::NoDusk(_)));
    let place = season.name.place;
    if let Some(one) = nights.iter().filter(short).min_by_key(|n| n.runs.len()) {
        let count = nights.iter().filter(short).count();
        let message = format!(
            "on {count} of {} nights not all {asked} runs end in time: {}, {} has {}.",
            nights.len(),
            weekday(one.date),
            one.date,
            one.runs.len()
        );
        let ends =
            one.end_by.as_ref().map_or(String::new(), |e| format!(" by {}", e.strftime("%H:%M")));
        let finding = Finding::new(&codes::RUNS_LEFT_OUT, place, message).help(format!(
            "the runs that would not be over{ends} are left out of the calendar; start earlier, or put the runs closer."
        ));
        let none = nights.iter().any(|n| n.runs.is_empty() && short(&n));
        findings.push(match none {
            true => finding.with_severity(crate::finding::Severity::Warning),
            false => finding,
        });
    }
    if let Some(one) = nights.iter().find(dark) {
        let why = match one.left {
            Some(Left::NoDusk(NoEvening::StaysDown)) => "the sun does not rise that far",
            _ => "it does not get dark",
        };
        let message = format!("{} has no dusk to start from: {why} on that date there.", one.date);
        findings.push(
            Finding::new(&codes::NO_DUSK, place, message)
                .help("give the first start by the clock: `first 21:30`."),
        );
    }
}

fn weekday(date: Date) -> &'static str {
    crate::model::DAYS[date.weekday().to_monday_zero_offset() as usize % 7]
}
