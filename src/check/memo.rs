//! What was computed for the last compile, kept for the next one.

use std::collections::HashMap;
use std::hash::Hash;

/// Results by key, each used again while its inputs are unchanged.
///
/// An entry that two compiles in a row did not ask for is dropped, so memory
/// stays flat however long a file is watched and edited.
#[derive(Debug)]
pub(super) struct Memo<K, V> {
    entries: HashMap<K, Entry<V>>,
    round: u64,
}

#[derive(Debug)]
struct Entry<V> {
    value: V,
    used: u64,
}

impl<K, V> Default for Memo<K, V> {
    fn default() -> Self {
        Self { entries: HashMap::new(), round: 0 }
    }
}

impl<K: Hash + Eq, V: Clone> Memo<K, V> {
    /// A new compile begins.
    pub fn next_round(&mut self) {
        self.round += 1;
        let round = self.round;
        self.entries.retain(|_, e| e.used + 2 >= round);
    }

    /// The value kept for the key, where it is still `valid`.
    pub fn get(&mut self, key: &K, valid: impl FnOnce(&V) -> bool) -> Option<V> {
        let round = self.round;
        let entry = self.entries.get_mut(key)?;
        valid(&entry.value).then(|| {
            entry.used = round;
            entry.value.clone()
        })
    }

    /// Keeps a value.
    pub fn put(&mut self, key: K, value: V) {
        self.entries.insert(key, Entry { value, used: self.round });
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn entries_live_while_they_are_asked_for() {
        let mut memo = Memo::default();
        memo.put("a", 1);
        memo.put("b", 2);
        for _ in 0..5 {
            memo.next_round();
            assert_eq!(memo.get(&"a", |_| true), Some(1));
        }
        assert_eq!(memo.get(&"b", |_| true), None, "not asked for in five rounds");
        assert_eq!(memo.get(&"a", |_| false), None, "no longer valid");
    }
}
