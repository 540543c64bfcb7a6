//! Finding a unit by its spelling, quickly.

use std::sync::OnceLock;

use crate::units::{Dimension, UNITS, Unit, units_of};

/// All spellings, sorted, with their units.
fn spellings() -> &'static [(&'static str, &'static Unit)] {
    static SORTED: OnceLock<Vec<(&'static str, &'static Unit)>> = OnceLock::new();
    SORTED.get_or_init(|| {
        let all = UNITS.iter().flat_map(|u| {
            std::iter::once((u.symbol, u)).chain(u.also.iter().map(move |a| (*a, u)))
        });
        let mut sorted: Vec<_> = all.collect();
        sorted.sort_unstable_by_key(|(word, _)| *word);
        sorted
    })
}

/// The unit spelt so.
pub(super) fn unit_named(word: &str) -> Option<&'static Unit> {
    let all = spellings();
    all.binary_search_by_key(&word, |(w, _)| w).ok().map(|i| all[i].1)
}

/// "mm, cm, m, in or ft".
pub(super) fn units_text(dims: &[Dimension]) -> String {
    crate::finding::list_of(dims.iter().flat_map(|d| units_of(*d)), "or", 12)
}
