//! A word to whoever waits: after half a second, on a terminal only, gone at the end.
//!
//! Our own hundred lines and no crate: one line that says what is worked on, draws how
//! much of it is done where that is known, and for how long it has been at it.

use std::io::Write;
use std::sync::{Arc, Condvar, Mutex, PoisonError};
use std::thread::JoinHandle;
use std::time::{Duration, Instant};

use crate::check::{Now, Step, Work};

/// Work that is over sooner says nothing.
const PATIENCE: Duration = Duration::from_millis(500);
/// How often the line is written again.
const BEAT: Duration = Duration::from_millis(250);
/// How many characters the bar has.
const BAR: usize = 16;

/// Whether the work is over, and the news of it.
type Over = Arc<(Mutex<bool>, Condvar)>;

/// Where the line goes.
pub struct Page {
    /// Takes it.
    pub out: Box<dyn Write + Send>,
    /// How many characters stand beside each other there.
    pub width: usize,
}

/// Says so until it is dropped.
pub struct Progress {
    over: Over,
    teller: Option<JoinHandle<()>>,
}

impl Progress {
    /// Begins to wait for `work` on what is called `what`; where `page` is `None`
    /// nothing is ever said.
    pub fn of(what: &str, work: &Arc<Work>, page: Option<Page>) -> Self {
        let over: Over = Arc::default();
        let (listening, what, work) = (Arc::clone(&over), shown(what), Arc::clone(work));
        let teller = page.and_then(|page| {
            let tell = move || tell(&what, &work, &listening, page);
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

/// A name short enough to leave room for a bar, without characters that would command
/// the terminal.
fn shown(what: &str) -> String {
    let what: String = what.chars().filter(|c| !c.is_control()).collect();
    match what.char_indices().nth(16) {
        None => what,
        Some((cut, _)) => format!("{}\u{2026}", &what[..cut]),
    }
}

/// What is done in a step, as a person would call it.
fn words(step: Step) -> &'static str {
    match step {
        Step::Songs => "listening to songs",
        Step::Mechanisms => "solving mechanisms",
        Step::Room => "looking for room",
        Step::Loads => "adding up loads",
        Step::Shows => "playing the shows",
        Step::Power => "adding up power",
        Step::Pages => "drawing plan and pages",
        Step::Sheets => "drawing shop sheets",
    }
}

/// The line, at most `width` characters: a narrow terminal goes without the bar.
fn line(what: &str, now: Option<Now>, seconds: u64, width: usize) -> String {
    let Some(Now { step, done, of }) = now else {
        return format!("{what} \u{2026} {seconds} s").chars().take(width).collect();
    };
    let count = format!("{done} of {of}, {seconds} s");
    let filled = BAR * done / of.max(1);
    let bar = "\u{2501}".repeat(filled) + &"\u{2500}".repeat(BAR - filled);
    let whole = format!("{what}: {} {bar} {count}", words(step));
    match whole.chars().count() <= width {
        true => whole,
        false => format!("{}: {count}", words(step)).chars().take(width).collect(),
    }
}

fn tell(what: &str, work: &Work, over: &Over, mut page: Page) {
    let begin = Instant::now();
    let (mut wait, mut before) = (PATIENCE, 0);
    let out = &mut *page.out;
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
        let line = line(what, work.now(), begin.elapsed().as_secs(), page.width);
        // Blanks over what is left of a longer line before it.
        let put = write!(out, "\r{line:before$}").and_then(|()| out.flush());
        // Nobody is left to read it where it cannot be written.
        if put.is_err() {
            return;
        }
        before = line.chars().count();
        wait = BEAT;
    }
    if before > 0 {
        let _ = write!(out, "\r{:before$}\r", "").and_then(|()| out.flush());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A writer whose text can be read afterwards.
    #[derive(Clone, Default)]
    struct Paper(Arc<Mutex<Vec<u8>>>);

    impl Paper {
        fn page(&self) -> Option<Page> {
            Some(Page { out: Box::new(self.clone()), width: 79 })
        }

        fn text(&self) -> String {
            String::from_utf8(self.0.lock().unwrap().clone()).unwrap()
        }

        /// Waits until something holds of the text, or a test would hang.
        fn until(&self, holds: impl Fn(&str) -> bool) {
            let end = Instant::now() + Duration::from_secs(20);
            while !holds(&self.text()) && Instant::now() < end {
                std::thread::sleep(Duration::from_millis(20));
            }
        }
    }

    impl Write for Paper {
        fn write(&mut self, bytes: &[u8]) -> std::io::Result<usize> {
            self.0.lock().unwrap().extend_from_slice(bytes);
            Ok(bytes.len())
        }
        fn flush(&mut self) -> std::io::Result<()> {
            Ok(())
        }
    }

    /// What a terminal shows in the end: each return begins the line again.
    fn left(text: &str) -> String {
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
        let (paper, work) = (Paper::default(), Arc::default());
        drop(Progress::of("a.yard", &work, paper.page()));
        assert_eq!(paper.text(), "");
        drop(Progress::of("a.yard", &work, None));
    }

    #[test]
    fn what_lasts_is_said_and_gone_at_the_end() {
        let (paper, work) = (Paper::default(), Arc::<Work>::default());
        let waiting = Progress::of("\u{1b}[2Ja.yard", &work, paper.page());
        paper.until(|text| !text.is_empty());
        work.begin(Step::Sheets, 4);
        work.one_done();
        paper.until(|text| text.contains("sheets"));
        drop(waiting);
        let text = paper.text();
        assert!(text.starts_with("\r[2Ja.yard \u{2026} 0 s"), "{text:?}");
        let bar = "\u{2501}".repeat(4) + &"\u{2500}".repeat(12);
        assert!(text.contains(&format!("drawing shop sheets {bar} 1 of 4, ")), "{text:?}");
        assert!(!text.contains('\u{1b}') && left(&text).trim().is_empty(), "{text:?}");
    }

    #[test]
    fn a_line_never_wraps() {
        let now = Some(Now { step: Step::Sheets, done: 1000, of: 1000 });
        let name = shown(&"n".repeat(300));
        assert!(line(&name, now, 99, 79).contains('\u{2501}'));
        for width in [0, 1, 20, 40, 79, 80] {
            for now in [None, now] {
                assert!(line(&name, now, 1000, width).chars().count() <= width);
            }
        }
        assert_eq!(line(&name, now, 7, 50), "drawing shop sheets: 1000 of 1000, 7 s");
    }
}
