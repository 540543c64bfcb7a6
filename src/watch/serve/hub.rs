//! What the pages are told: that something new was built, or what is wrong.

use std::sync::{Condvar, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, SystemTime, UNIX_EPOCH};

/// The state of the last round.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
struct State {
    /// Counts everything that is told.
    told: u64,
    /// Counts the folders that were written.
    built: u64,
    /// The errors, as text; `None` where there are none.
    broken: Option<String>,
}

/// Where rounds are told and pages listen.
#[derive(Debug)]
pub struct Hub {
    /// Tells one watch from the next: a page of the last one is old.
    watch: u64,
    state: Mutex<State>,
    news: Condvar,
}

/// Something to tell.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct News {
    /// Its number, to wait for the next.
    pub told: u64,
    /// As an event of a server-sent stream.
    pub event: String,
}

impl Hub {
    /// Nothing was told yet.
    pub fn new() -> Self {
        let now = SystemTime::now().duration_since(UNIX_EPOCH).unwrap_or_default();
        let watch = u64::try_from(now.as_millis()).unwrap_or_default();
        Self { watch, state: Mutex::default(), news: Condvar::new() }
    }

    fn state(&self) -> MutexGuard<'_, State> {
        self.state.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// A round without errors; `fresh` where it wrote anything.
    pub fn built(&self, fresh: bool) {
        let mut state = self.state();
        state.told += 1;
        state.built += u64::from(fresh);
        state.broken = None;
        self.news.notify_all();
    }

    /// A round with errors.
    pub fn broken(&self, text: &str) {
        let mut state = self.state();
        state.told += 1;
        state.broken = Some(text.to_owned());
        self.news.notify_all();
    }

    /// What a page made now is of: it is old as soon as this changes.
    pub fn round(&self) -> String {
        format!("{}-{}", self.watch, self.state().built)
    }

    /// What was told after `known`, waiting for it up to `patience`.
    pub fn after(&self, known: Option<u64>, patience: Duration) -> Option<News> {
        let fresh = |s: &State| known.is_none_or(|k| s.told > k);
        let (state, _) = self
            .news
            .wait_timeout_while(self.state(), patience, |s| !fresh(s))
            .unwrap_or_else(PoisonError::into_inner);
        fresh(&state).then(|| News { told: state.told, event: self.event(&state) })
    }

    /// One event (WHATWG HTML, 9.2): a name, one line of JSON, an empty line.
    fn event(&self, state: &State) -> String {
        let round = format!("{}-{}", self.watch, state.built);
        let (name, data) = match &state.broken {
            Some(text) => ("broken", serde_json::json!({ "round": round, "text": text })),
            None => ("built", serde_json::json!({ "round": round })),
        };
        format!("event: {name}\ndata: {data}\n\n")
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const NOW: Duration = Duration::ZERO;

    #[test]
    fn the_last_word_is_told_once_and_in_one_line() {
        let hub = Hub::new();
        let first = hub.after(None, NOW).unwrap();
        assert!(first.event.starts_with("event: built\ndata: {\"round\":\""), "{}", first.event);
        assert_eq!(hub.after(Some(first.told), NOW), None);
        let round = hub.round();
        hub.broken("a.yard:3\n<b>\n");
        let broken = hub.after(Some(first.told), NOW).unwrap();
        assert!(
            broken.event.contains("event: broken\n") && broken.event.contains("a.yard:3\\n<b>\\n")
        );
        assert_eq!(broken.event.lines().count(), 3, "a line break would end the data");
        assert_eq!(hub.round(), round, "nothing was written");
        hub.built(false);
        assert_eq!(hub.round(), round);
        hub.built(true);
        assert_ne!(hub.round(), round);
        assert!(hub.after(Some(broken.told), NOW).unwrap().event.contains("event: built\n"));
    }
}
