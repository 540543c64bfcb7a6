//! Placeholder table; the real one comes with the music branch.

use crate::syntax::words::Table;

/// Nights and runs.
pub static SEASON: Table = Table { name: "season", title: "Nights and runs.", rows: &[], bare: None };
