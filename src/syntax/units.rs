//! Finding a unit by its spelling, quickly.

use std::sync::OnceLock;

use crate::units::{Dimension, UNITS, Unit, units_of};

/// All spellings of at most eight bytes in an open hash table, the others behind.
struct Spellings {
    short: [Option<(u64, &'static Unit)>; SLOTS],
    long: Vec<(&'static str, &'static Unit)>,
}

/// At least twice the number of short spellings, a power of two (held by a test).
const SLOTS: usize = 512;

impl Spellings {
    fn build() -> Self {
        let mut all = Self { short: [None; SLOTS], long: Vec::new() };
        for unit in UNITS {
            for &word in std::iter::once(&unit.symbol).chain(unit.also) {
                match packed(word) {
                    Some(key) => {
                        let mut slot = first_slot(key);
                        while all.short[slot].is_some() {
                            slot = (slot + 1) % SLOTS;
                        }
                        all.short[slot] = Some((key, unit));
                    }
                    None => all.long.push((word, unit)),
                }
            }
        }
        all
    }

    fn find(&self, word: &str) -> Option<&'static Unit> {
        let Some(key) = packed(word) else {
            return self.long.iter().find(|(w, _)| *w == word).map(|(_, u)| *u);
        };
        let mut slot = first_slot(key);
        while let Some((there, unit)) = self.short[slot] {
            if there == key {
                return Some(unit);
            }
            slot = (slot + 1) % SLOTS;
        }
        None
    }
}

/// The bytes of a short word as one number; no byte of a word is 0.
fn packed(word: &str) -> Option<u64> {
    let short = word.len() <= 8;
    short.then(|| word.bytes().fold(0, |key, b| key << 8 | u64::from(b)))
}

/// Where a key's search begins: multiplication by 2^64 over the golden ratio
/// spreads neighbours (Knuth, The Art of Computer Programming 3, 6.4).
fn first_slot(key: u64) -> usize {
    (key.wrapping_mul(0x9E37_79B9_7F4A_7C15) >> (64 - SLOTS.ilog2())) as usize
}

/// The unit spelt so.
pub(super) fn unit_named(word: &str) -> Option<&'static Unit> {
    static ALL: OnceLock<Spellings> = OnceLock::new();
    ALL.get_or_init(Spellings::build).find(word)
}

/// "mm, cm, m, in or ft".
pub(super) fn units_text(dims: &[Dimension]) -> String {
    crate::finding::list_of(dims.iter().flat_map(|d| units_of(*d)), "or", 12)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_spelling_is_found_and_no_other() {
        let mut spellings = 0;
        for unit in UNITS {
            for word in std::iter::once(&unit.symbol).chain(unit.also) {
                assert_eq!(unit_named(word).map(|u| u.symbol), Some(unit.symbol), "{word}");
                spellings += 1;
            }
        }
        assert!(spellings * 2 <= SLOTS, "{spellings} spellings want more than {SLOTS} slots");
        for word in ["", "x", "mmm", "kilometres-and-more", "in.", "\u{0}"] {
            assert!(unit_named(word).is_none(), "{word}");
        }
    }
}
