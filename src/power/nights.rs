//! The nights of a yard's seasons: which shows run on them, when, and without whom.
//!
//! Most nights are alike: sums over them are made once for each kind.

use crate::model::{Season as Written, Yard};
use crate::timing::{Performance, nights};
use crate::units::Sec;

/// A night as it was worked out: the date of its evening, and its runs with their starts,
/// counted from the first.
#[derive(Clone, Debug, PartialEq)]
pub struct Evening {
    /// The date, `2027-10-22`.
    pub date: String,
    /// Show and start of each run, in order of time.
    pub runs: Vec<(String, Sec)>,
}

/// Nights that are alike.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Kind {
    /// Show and start of each run, in order of time.
    pub runs: Vec<(String, Sec)>,
    /// Figures that are laid up by then though they play other nights, by index.
    pub missing: Vec<usize>,
    /// How many there are.
    pub nights: u32,
}

impl Kind {
    /// Runs of a show.
    pub fn runs_of(&self, show: &str) -> u32 {
        self.runs.iter().filter(|(s, _)| s == show).count() as u32
    }

    /// Runs of a show that a figure plays.
    pub fn played_by(&self, figure: usize, show: &str) -> u32 {
        if self.missing.contains(&figure) { 0 } else { self.runs_of(show) }
    }
}

/// Nights and runs of a yard's seasons.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Season {
    /// Nights of all seasons, those left out not counted.
    pub nights: u32,
    /// The kinds of nights with runs.
    pub(super) kinds: Vec<Kind>,
}

impl Season {
    /// Of a yard; `worked_out` are the nights of each season whose starts are known. Of the
    /// others the runs stand as they are written: when they must be over, nobody can say.
    #[must_use]
    pub fn of(
        yard: &Yard,
        performances: &[impl AsRef<Performance>],
        worked_out: &[(String, Vec<Evening>)],
    ) -> Self {
        let mut season = Self::default();
        let missing = |date: &str| -> Vec<usize> {
            let figures = yard.figures.iter().enumerate();
            let out = figures.filter(|(_, p)| p.plays_before().is_some_and(|from| from <= date));
            out.map(|(i, _)| i).collect()
        };
        for one in &yard.seasons {
            let known = worked_out.iter().find(|(name, _)| *name == one.name.value);
            let written = || written(one, performances);
            for evening in known.map_or_else(written, |(_, evenings)| evenings.clone()) {
                season.nights += 1;
                if evening.runs.is_empty() {
                    continue;
                }
                let missing = missing(&evening.date);
                let like = |k: &&mut Kind| k.runs == evening.runs && k.missing == missing;
                match season.kinds.iter_mut().find(like) {
                    Some(kind) => kind.nights += 1,
                    None => season.kinds.push(Kind { runs: evening.runs, missing, nights: 1 }),
                }
            }
        }
        season
    }

    /// Runs of a show over all seasons that a figure plays.
    #[must_use]
    pub(super) fn all_of(&self, figure: usize, show: &str) -> u32 {
        let of = |k: &Kind| k.played_by(figure, show).saturating_mul(k.nights);
        self.kinds.iter().map(of).fold(0, u32::saturating_add)
    }

    /// The kind of night on which a sum is largest, the first of equal ones.
    pub(super) fn worst(&self, sum: impl Fn(&Kind) -> f64) -> Option<&Kind> {
        let all = self.kinds.iter().map(|k| (sum(k), k));
        let first = |a: (f64, _), b: (f64, _)| if b.0 > a.0 { b } else { a };
        all.reduce(first).map(|(_, k)| k)
    }
}

/// The nights of a season as they are written, every run one after the other.
fn written(season: &Written, performances: &[impl AsRef<Performance>]) -> Vec<Evening> {
    let runs = nights::runs(season, &|show| nights::length(performances, show));
    let runs: Vec<_> = runs.into_iter().map(|r| (r.show, r.start)).collect();
    let dates = nights::dates(season).unwrap_or_default().into_iter();
    dates.map(|d| Evening { date: d.to_string(), runs: runs.clone() }).collect()
}
