//! The nights of a season as they are written: their dates, and when each run starts after
//! the first.

use jiff::civil::Date;

use super::Performance;
use crate::model::Season;
use crate::units::Sec;

/// A season is not longer than ten years.
const MOST_NIGHTS: usize = 3660;
/// A night has no more runs than minutes.
const MOST_RUNS: u32 = 1440;

/// One run as it is written.
#[derive(Clone, Debug, PartialEq)]
pub struct WrittenRun {
    /// The show.
    pub show: String,
    /// Its start, after that of the first run.
    pub start: Sec,
    /// How long it lasts.
    pub lasts: Sec,
}

/// The dates of a season's evenings, those left out not among them; `None` where they are
/// not written or no dates.
#[must_use]
pub fn dates(season: &Season) -> Option<Vec<Date>> {
    let (first, last) = season.nights.as_ref()?;
    let (first, last): (Date, Date) = (first.parse().ok()?, last.parse().ok()?);
    let all = std::iter::successors(Some(first), |d| d.tomorrow().ok().filter(|t| *t <= last));
    let all = all.take(MOST_NIGHTS).filter(|d| !season.except.contains(&d.to_string()));
    Some(all.collect())
}

/// How long a show lasts; no time where nobody plays it.
#[must_use]
pub fn length(performances: &[impl AsRef<Performance>], show: &str) -> Sec {
    let played = performances.iter().map(AsRef::as_ref).find(|p| p.show == show);
    played.map_or(Sec(0.0), |p| p.duration)
}

/// The runs of a night, one clause after the other; where nothing is said of how far apart
/// they are, each starts when the one before is over.
pub fn runs(season: &Season, length: &dyn Fn(&str) -> Sec) -> Vec<WrittenRun> {
    let (mut runs, mut start) = (Vec::new(), Sec(0.0));
    for clause in &season.runs {
        let lasts = length(&clause.show.value);
        for _ in 0..clause.count.min(MOST_RUNS) {
            runs.push(WrittenRun { show: clause.show.value.clone(), start, lasts });
            start += clause.every.unwrap_or(lasts);
        }
    }
    runs
}
