//! Loads: what each limb weighs, what its motor must bear, what the wind does to it.
//!
//! One figure at a time, from its fitted mechanisms and the [`Site`] it stands on.

pub mod clamp;
pub mod clamp_codes;
pub mod hole;
pub mod mass;
pub mod site;
pub mod stand;
pub mod stand_codes;
pub mod stand_soil;
mod wind;
pub mod wind_area;
pub mod wind_bending;
pub mod wind_codes;
pub mod wind_limb;
pub mod wind_limit;

pub use mass::{Grade, MassProperties};
pub use site::{Feed, Site};
pub use stand::FigureWind;
pub use wind_limb::LimbWind;
pub use wind_limit::{Limit, When};

use std::sync::Arc;

use crate::finding::{Code, Finding};
use crate::fit::FittedFigure;
use crate::model::Note;
use crate::units::MetrePerSec;

/// The codes this stage raises.
pub const CODES: &[&Code] = &joined::<{ LISTS[0].len() + LISTS[1].len() + LISTS[2].len() }>();

/// The codes of each subject.
const LISTS: &[&[&Code]] = &[wind_codes::CODES, stand_codes::CODES, clamp_codes::CODES];

/// The lists one after the other.
const fn joined<const N: usize>() -> [&'static Code; N] {
    let mut all = [LISTS[0][0]; N];
    let (mut list, mut at, mut n) = (0, 0, 0);
    while n < N {
        if at == LISTS[list].len() {
            (list, at) = (list + 1, 0);
        }
        all[n] = LISTS[list][at];
        (n, at) = (n + 1, at + 1);
    }
    all
}

/// A figure with its loads.
#[derive(Clone, Debug)]
pub struct LoadedFigure {
    /// What the yard gives the figure.
    pub site: Site,
    /// Its limbs, in the figure's order.
    pub limbs: Vec<LoadedLimb>,
    /// The whole figure in the wind; `None` where nothing is said to hold it, or its
    /// outline is not known.
    pub wind: Option<FigureWind>,
    /// What was found wrong.
    pub findings: Vec<Finding>,
}

impl LoadedFigure {
    /// The first thing to go of the figure and its limbs, with the limb's index where it
    /// is a limb's, and the gust: while it moves, or parked.
    #[must_use]
    pub fn first_to_go(&self, when: When) -> Option<(&Limit, Option<usize>, MetrePerSec)> {
        let own = self.wind.iter().flat_map(|w| &w.limits).map(|l| (l, None));
        let limbs = self.limbs.iter().enumerate().flat_map(|(n, limb)| {
            limb.wind.iter().flat_map(|w| &w.limits).map(move |l| (l, Some(n)))
        });
        own.chain(limbs)
            .filter(|(l, _)| when == When::Run || l.when == When::Stand)
            .map(|(l, limb)| (l, limb, l.gust()))
            .filter(|(_, _, gust)| *gust < wind_limit::STRONGEST)
            .reduce(|first, next| if next.2.0 < first.2.0 { next } else { first })
    }
}

/// A limb with its loads.
#[derive(Clone, Debug, Default)]
pub struct LoadedLimb {
    /// What it weighs; `None` where its shape or sheet is not known.
    pub mass: Option<MassProperties>,
    /// The wind on it; `None` where its shape is not known.
    pub wind: Option<LimbWind>,
    /// What its clamp, holes, rod and pins bear, in calm air.
    pub grips: Vec<Limit>,
    /// What was assumed here.
    pub assumed: Vec<Note>,
    /// What could not be checked here.
    pub not_checked: Vec<Note>,
}

/// One figure at work: its data and where its results go.
pub(crate) struct Bench<'a> {
    /// The figure with its mechanisms.
    pub fitted: &'a FittedFigure,
    /// What the yard gives it.
    pub site: &'a Site,
    /// What was found wrong.
    pub findings: Vec<Finding>,
    /// The results, limb by limb.
    pub limbs: Vec<LoadedLimb>,
    /// The whole figure in the wind.
    pub figure_wind: Option<FigureWind>,
}

/// The loads of a figure.
#[must_use]
pub fn load(fitted: &Arc<FittedFigure>, site: &Site) -> LoadedFigure {
    let limbs = vec![LoadedLimb::default(); fitted.limbs.len()];
    let mut bench = Bench { fitted, site, findings: Vec::new(), limbs, figure_wind: None };
    bench.weigh();
    bench.wind();
    bench.clamps();
    let Bench { findings, limbs, figure_wind, .. } = bench;
    LoadedFigure { site: site.clone(), limbs, wind: figure_wind, findings }
}
