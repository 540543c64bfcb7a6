//! Which words begin an item, from the table of the top of a file.

use std::collections::BTreeSet;

use super::words::{BlockRule, Row, Table};
use crate::source::TopWords;

/// The words of the root table, told apart by whether they also stand inside some
/// block, as a clause or as a key at the start of a line.
#[must_use]
pub fn top_words(root: &'static Table) -> TopWords {
    let mut inside = BTreeSet::new();
    let mut seen = Vec::new();
    for row in root.rows {
        for table in blocks(row) {
            collect(table, &mut seen, &mut inside);
        }
    }
    let all = root.rows.iter().flat_map(spellings);
    let (inside_too, always) = all.partition(|w| inside.contains(w));
    TopWords { always, inside_too }
}

fn spellings(row: &'static Row) -> impl Iterator<Item = &'static str> {
    std::iter::once(row.word).chain(row.also.iter().copied()).filter(|w| !w.is_empty())
}

/// The tables a row's block may have.
pub(super) fn blocks(row: &'static Row) -> Vec<&'static Table> {
    match row.block {
        BlockRule::None => Vec::new(),
        BlockRule::May(t) | BlockRule::Must(t) => vec![t],
        BlockRule::ByChoice(_, tables) => tables.iter().map(|(_, t)| *t).collect(),
    }
}

fn collect(
    table: &'static Table,
    seen: &mut Vec<*const Table>,
    words: &mut BTreeSet<&'static str>,
) {
    if seen.contains(&std::ptr::from_ref(table)) {
        return;
    }
    seen.push(table);
    for row in table.rows.iter().chain(table.bare) {
        words.extend(spellings(row));
        words.extend(row.parts.iter().filter_map(|p| p.key).filter_map(|k| k.split(' ').next()));
        for inner in blocks(row) {
            collect(inner, seen, words);
        }
    }
}
