//! Outputs: one file per format, and the folder that is swapped as a whole.
//!
//! A new output is one new file here and one row in [`outputs`].

mod asked;
pub mod calendar;
mod cam;
mod care;
mod cautions;
mod finite;
pub mod folder;
mod held;
pub mod hole_chart;
mod inputs;
mod loads;
mod motor;
mod nights;
pub mod numbers;
pub mod paper;
mod parts;
pub mod plan;
pub mod power;
pub mod preview;
pub mod report;
mod report_page;
pub mod room;
pub mod run_sheet;
pub mod schedule;
pub mod shop;
mod svg;
pub mod text;
pub mod weather;
pub mod wind;
mod wiring;
pub mod words;

pub use finite::Finite;
pub use svg::escape;

use crate::check::{Compiled, Step, Work};
use crate::finding::Locate;

/// One file to write.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Output {
    /// Its path inside the folder, with `/`.
    pub path: String,
    /// What it holds.
    pub bytes: Vec<u8>,
}

impl Output {
    /// A file.
    pub fn new(path: impl Into<String>, bytes: impl Into<Vec<u8>>) -> Self {
        Self { path: path.into(), bytes: bytes.into() }
    }
}

/// Everything `build` writes, in a fixed order.
///
/// # Errors
/// Where a JSON text cannot be written; no value of a compile is known to do
/// that.
pub fn outputs(compiled: &Compiled, at: &dyn Locate) -> serde_json::Result<Vec<Output>> {
    outputs_again(compiled, at, &mut shop::Kept::default(), &Work::default())
}

/// As [`outputs`], with the sheets of the round before; counts into `work`.
///
/// # Errors
/// As [`outputs`].
pub fn outputs_again(
    compiled: &Compiled,
    at: &dyn Locate,
    sheets: &mut shop::Kept,
    work: &Work,
) -> serde_json::Result<Vec<Output>> {
    work.begin(Step::Pages, 10);
    let page = |made: Vec<Output>| {
        work.one_done();
        made
    };
    let rows = [
        page(report::outputs(compiled, at)?),
        page(report_page::outputs(compiled, at)?),
        page(schedule::outputs(compiled)?),
        page(plan::outputs(compiled)),
        page(preview::outputs(compiled, at)?),
        page(power::outputs(compiled)),
        page(parts::outputs(compiled)),
        page(weather::outputs(compiled)),
        page(calendar::outputs(compiled)),
        page(run_sheet::outputs(compiled)),
        sheets.outputs(compiled, work),
    ];
    Ok(rows.into_iter().flatten().collect())
}
