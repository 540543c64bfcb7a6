//! Many events, one round.

use std::time::Duration;

/// How long nothing may happen before a round starts. An editor saves in bursts:
/// a temporary file, a rename, a change of rights.
pub const QUIET: Duration = Duration::from_millis(100);

/// The longest a burst can put a round off, so that a program which writes all
/// the time cannot hold it up for ever.
pub const LONGEST: Duration = Duration::from_millis(500);

/// Collects events; times count from any fixed moment.
#[derive(Clone, Copy, Debug, Default)]
pub struct Debounce {
    burst: Option<(Duration, Duration)>,
}

impl Debounce {
    /// Something happened.
    pub fn touch(&mut self, now: Duration) {
        let first = self.burst.map_or(now, |(first, _)| first);
        self.burst = Some((first, now));
    }

    /// When the next round starts; `None` where nothing happened.
    #[must_use]
    pub fn due(&self) -> Option<Duration> {
        self.burst.map(|(first, last)| (last + QUIET).min(first + LONGEST))
    }

    /// Whether a round starts now; the burst is then over.
    pub fn take(&mut self, now: Duration) -> bool {
        let over = self.due().is_some_and(|due| due <= now);
        if over {
            self.burst = None;
        }
        over
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const fn ms(n: u64) -> Duration {
        Duration::from_millis(n)
    }

    #[test]
    fn a_burst_is_one_round() {
        let mut d = Debounce::default();
        for t in [0, 40, 90] {
            d.touch(ms(t));
        }
        assert!(!d.take(ms(189)));
        assert!(d.take(ms(190)));
        assert_eq!(d.due(), None);
    }

    #[test]
    fn a_burst_without_end_is_cut() {
        let mut d = Debounce::default();
        for t in (0..=480).step_by(60) {
            assert!(!d.take(ms(t)), "{t}");
            d.touch(ms(t));
        }
        assert_eq!(d.due(), Some(ms(500)));
    }
}
