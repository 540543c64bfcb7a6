//! A word to whoever waits: after half a second, on a terminal only, gone at the end.
//!
//! Our own sixty lines and no crate: one line without colours and bars that says what
//! is worked on and how long already; how much is left is not known beforehand, and is
//! not made up.

use std::io::Write;
use std::sync::{Arc, Condvar, Mutex, PoisonError};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

/// Work that is over sooner says nothing.
const PATIENCE: Duration = Duration::from_millis(500);
/// How often the line is written again.
const BEAT: Duration = Duration::from_millis(250);

/// Whether the work is over, and the news of it.
type Over = Arc<(Mutex<bool>, Condvar)>;

/// Says so until it is dropped.
pub struct Progress {
    over: Over,
    teller: Option<JoinHandle<()>>,
}

impl Progress {
    /// Begins to wait; where `out` is `None` nothing is ever said.
    pub fn of(what: &str, out: Option<Box<dyn Write + Send>>) -> Self {
        let over: Over = Arc::default();
        let (listening, what) = (Arc::clone(&over), shown(what));
        let teller = out.and_then(|mut out| {
            let tell = move || tell(&what, &listening, &mut *out);
            // Without a thread there is nothing to be seen: that is as good.
            std::thread::Builder::new().name("progress".to_owned()).spawn(tell).ok()
        });
        Self { over, teller }
    }
}

impl Drop for Progress {
    fn drop(&mut self) {
        *self.over.0.lock().unwrap_or_else(PoisonError::into_inner) = true;
        self.over.1.notify_all();
        // The line is gone before anything else is written.
        let _ = self.teller.take().map(JoinHandle::join);
    }
}

/// What fits on a narrow terminal, without characters that would command it.
fn shown(what: &str) -> String {
    what.chars().filter(|c| !c.is_control()).take(60).collect()
}

fn tell(what: &str, over: &Over, out: &mut dyn Write) {
    let begin = Instant::now();
    let (mut wait, mut widest) = (PATIENCE, 0);
    loop {
        let guard = over.0.lock().unwrap_or_else(PoisonError::into_inner);
        let (guard, _) = over
            .1
            .wait_timeout_while(guard, wait, |over| !*over)
            .unwrap_or_else(PoisonError::into_inner);
        let done = *guard;
        drop(guard);
        if done {
            break;
        }
        let line = format!("{what} \u{2026} {} s", begin.elapsed().as_secs());
        widest = widest.max(line.chars().count());
        // Nobody is left to read it where it cannot be written.
        if write!(out, "\r{line}").and_then(|()| out.flush()).is_err() {
            return;
        }
        wait = BEAT;
    }
    if widest > 0 {
        let _ = write!(out, "\r{:widest$}\r", "").and_then(|()| out.flush());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A writer whose text can be read afterwards.
    #[derive(Clone, Default)]
    struct Page(Arc<Mutex<Vec<u8>>>);

    impl Write for Page {
        fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
            self.0.lock().unwrap().extend_from_slice(bytes);
            Ok(bytes.len())
        }
        fn flush(&mut self) -> std::io::Result<()> {
            Ok(())
        }
    }

    /// What a terminal shows in the end: each return begins the line again.
    fn left(page: &Page) -> String {
        let text = String::from_utf8(page.0.lock().unwrap().clone()).unwrap();
        let mut line: Vec<char> = Vec::new();
        for run in text.split('\r') {
            let run: Vec<char> = run.chars().collect();
            let kept = line.get(run.len()..).map(<[char]>::to_vec).unwrap_or_default();
            line = run.into_iter().chain(kept).collect();
        }
        line.into_iter().collect()
    }

    #[test]
    fn what_is_over_soon_says_nothing() {
        let page = Page::default();
        drop(Progress::of("Working on a.yard", Some(Box::new(page.clone()))));
        assert_eq!(page.0.lock().unwrap().len(), 0);
        drop(Progress::of("Working on a.yard", None));
    }

    #[test]
    fn what_lasts_is_said_and_gone_at_the_end() {
        let page = Page::default();
        let work = Progress::of("Working on \u{1b}[2Ja.yard", Some(Box::new(page.clone())));
        let until = Instant::now() + Duration::from_secs(20);
        while page.0.lock().unwrap().is_empty() && Instant::now() < until {
            std::thread::sleep(Duration::from_millis(20));
        }
        drop(work);
        let text = String::from_utf8(page.0.lock().unwrap().clone()).unwrap();
        assert!(text.starts_with("\rWorking on [2Ja.yard \u{2026} 0 s"), "{text:?}");
        assert!(!text.contains('\u{1b}') && left(&page).trim().is_empty(), "{text:?}");
    }
}
