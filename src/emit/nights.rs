//! A season's nights in the report.

use jiff::ZonedDateTime;

use super::schedule::missing;
use crate::model::Yard;
use crate::season::{Left, Night, NoEvening, Programme, Run};

/// A season: every night with its runs, times with their offset (RFC 3339).
#[derive(Debug, serde::Serialize)]
pub struct SeasonReport<'a> {
    name: &'a str,
    zone: &'a str,
    nights: Vec<NightReport<'a>>,
}

#[derive(Debug, serde::Serialize)]
struct NightReport<'a> {
    date: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    sunset: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    dusk: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    end_by: Option<String>,
    runs: Vec<RunReport<'a>>,
    /// Figures that play other nights and are laid up on this one.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    without: Vec<String>,
    /// Runs that would not be over in time.
    #[serde(skip_serializing_if = "Option::is_none")]
    left_out: Option<usize>,
    /// Why there is no dusk to start from.
    #[serde(skip_serializing_if = "Option::is_none")]
    no_dusk: Option<&'static str>,
}

#[derive(Debug, serde::Serialize)]
struct RunReport<'a> {
    show: &'a str,
    start: String,
    end: String,
}

fn time(at: &ZonedDateTime) -> String {
    at.strftime("%Y-%m-%dT%H:%M:%S%:z").to_string()
}

impl<'a> SeasonReport<'a> {
    /// A season as worked out.
    #[must_use]
    pub fn new(yard: &Yard, programme: &'a Programme) -> Self {
        Self {
            name: &programme.season,
            zone: &programme.zone_name,
            nights: programme.nights.iter().map(|n| night(yard, n)).collect(),
        }
    }
}

fn night<'a>(yard: &Yard, night: &'a Night) -> NightReport<'a> {
    NightReport {
        date: night.date.to_string(),
        sunset: night.sunset.as_ref().map(time),
        dusk: night.dusk.as_ref().map(time),
        end_by: night.end_by.as_ref().map(time),
        runs: night
            .runs
            .iter()
            .map(|Run { show, start, end }| RunReport { show, start: time(start), end: time(end) })
            .collect(),
        without: missing(yard, &night.date.to_string()),
        left_out: match night.left {
            Some(Left::TooLate(n)) => Some(n),
            _ => None,
        },
        no_dusk: match night.left {
            Some(Left::NoDusk(NoEvening::StaysUp)) => Some("the sun does not sink that far"),
            Some(Left::NoDusk(NoEvening::StaysDown)) => Some("the sun does not rise that far"),
            _ => None,
        },
    }
}
