//! The resolved yard: plain data in canonical units, no input or output.
//!
//! Every value a later stage may want to point at keeps the place it was written
//! at. What the maker left out is either a default, noted in `assumed`, or
//! `None`; it is never invented.

mod cam;
mod drive;
mod figure;
mod holes;
mod parts;
mod rod;
mod show;
mod silhouette;
mod stops;
mod yard;

pub use cam::{CamDisc, CamDrive, CamFoot, CamMove};
pub use drive::*;
pub use figure::*;
pub use holes::{PIN, PinHoles};
pub use parts::*;
pub use rod::{RodBent, RodThread};
pub use show::*;
pub use stops::Stops;
pub use yard::*;

/// Something that was assumed, or a check that was not made, and the clause that
/// would settle it.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
pub struct Note {
    /// What was assumed or not checked, in a maker's words: "bolt 5/16-18 in nylon".
    pub what: String,
    /// The clause that would settle it: `bolt M8  bushing nylon`.
    pub settle: String,
}

impl Note {
    /// What no word settles, because this version does not compute it; and what to do instead.
    #[must_use]
    pub fn beyond(what: &str, instead: &str) -> Self {
        Self::new(format!("{what} (this version does not compute it: {instead})"), "")
    }

    /// What is looked at once something else is right, of which a finding or another note tells.
    #[must_use]
    pub fn after(what: &str, first: &str) -> Self {
        Self::new(format!("{what} (once {first})"), "")
    }

    /// A note.
    pub fn new(what: impl Into<String>, settle: impl Into<String>) -> Self {
        Self { what: what.into(), settle: settle.into() }
    }
}
