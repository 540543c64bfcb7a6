//! How far the work is, for whoever waits for it on another thread.
//!
//! The stages count, and know nothing of who looks: a terminal that shows a line, or
//! nobody.

use std::sync::{Mutex, PoisonError};

/// A stretch of work that may last, in the order they come.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Step {
    /// Songs are read and listened to.
    Songs,
    /// Mechanisms are solved, a figure at a time.
    Mechanisms,
    /// Room is looked for, a figure at a time.
    Room,
    /// Loads and wind, a figure at a time.
    Loads,
    /// Shows are played out.
    Shows,
    /// Supplies, cables, what to buy.
    Power,
    /// Plan, preview and reports are drawn, a kind at a time.
    Pages,
    /// Shop sheets are drawn, a figure at a time.
    Sheets,
}

/// What is worked on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Now {
    /// The stretch.
    pub step: Step,
    /// How many of its pieces are done; never more than `of`.
    pub done: usize,
    /// How many it has.
    pub of: usize,
}

/// The count of what is done. Counting never changes what is computed.
#[derive(Debug, Default)]
pub struct Work(Mutex<Option<Now>>);

impl Work {
    /// A stretch of `of` pieces begins; one of none is passed over.
    pub fn begin(&self, step: Step, of: usize) {
        if of > 0 {
            self.change(|now| *now = Some(Now { step, done: 0, of }));
        }
    }

    /// One piece of the stretch is done.
    pub fn one_done(&self) {
        self.change(|now| {
            if let Some(now) = now {
                now.done = (now.done + 1).min(now.of);
            }
        });
    }

    /// What is worked on, once anything is.
    #[must_use]
    pub fn now(&self) -> Option<Now> {
        let mut seen = None;
        self.change(|now| seen = *now);
        seen
    }

    /// A count is whole even where somebody panicked beside it.
    fn change(&self, how: impl FnOnce(&mut Option<Now>)) {
        how(&mut self.0.lock().unwrap_or_else(PoisonError::into_inner));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pieces_are_counted_and_empty_stretches_passed_over() {
        let work = Work::default();
        assert_eq!(work.now(), None);
        work.one_done();
        assert_eq!(work.now(), None, "nothing has begun");
        work.begin(Step::Mechanisms, 2);
        work.begin(Step::Room, 0);
        for _ in 0..3 {
            work.one_done();
        }
        assert_eq!(work.now(), Some(Now { step: Step::Mechanisms, done: 2, of: 2 }));
        work.begin(Step::Sheets, 5);
        assert_eq!(work.now(), Some(Now { step: Step::Sheets, done: 0, of: 5 }));
    }
}
