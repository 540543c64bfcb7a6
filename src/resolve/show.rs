//! Placeholder tables; the real ones come with the music branch.

use crate::syntax::words::Table;

/// A song and its cues.
pub static SHOW: Table =
    Table { name: "show", title: "A song and its cues.", rows: &[], bare: None };
/// Cues with parameters.
pub static PHRASE: Table =
    Table { name: "phrase", title: "Cues with parameters.", rows: &[], bare: None };
/// A named set of limbs.
pub static GROUP: Table =
    Table { name: "group", title: "A named set of limbs.", rows: &[], bare: None };
