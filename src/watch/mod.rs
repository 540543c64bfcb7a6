//! `watch`: compile again on every save, and say what changed.
//!
//! Exactly the files the last round read are watched. The loop itself knows no
//! clock, no disk and no compiler: events and times go in, lines come out.

mod changes;
mod debounce;
mod files;
mod serve;

use std::collections::BTreeSet;
use std::io;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender};
use std::time::{Duration, Instant, SystemTime};

pub use changes::{Fact, LimbFacts, Numbers, changes};
pub use debounce::{Debounce, LONGEST, QUIET};
pub use files::Eyes;
pub use serve::{PORT, Server, Told};

/// What the watch hears of.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Event {
    /// A file that matters was written, renamed, removed or made.
    Touched(PathBuf),
    /// The person at the terminal wants to stop.
    Stop,
}

/// What one round found out.
#[derive(Clone, Debug, Default)]
pub struct Round {
    /// Every file that was read or looked for.
    pub read: Vec<PathBuf>,
    /// The numbers of every figure that could be computed.
    pub numbers: Numbers,
    /// The findings, rendered; each ends with a line end.
    pub findings: String,
    /// "0 errors, 1 warning".
    pub summary: String,
    /// Whether there were errors; nothing is written then.
    pub errors: bool,
    /// The errors as plain text, for the pages; `None` where there are none.
    pub broken: Option<String>,
    /// What became of the output, as a sentence.
    pub output: String,
    /// Whether anything of it is new.
    pub renewed: bool,
    /// How long it took.
    pub took: Duration,
}

/// Makes a round: compiles, and writes where there are no errors.
pub trait Workshop {
    /// One round.
    ///
    /// # Errors
    /// A sentence where the yard itself cannot be read; the watch then waits for
    /// it to come back.
    fn round(&mut self) -> Result<Round, String>;
}

/// The loop's state.
#[derive(Debug)]
pub struct Watch {
    entry: PathBuf,
    debounce: Debounce,
    touched: BTreeSet<PathBuf>,
    read: Vec<PathBuf>,
    numbers: Numbers,
}

impl Watch {
    /// A watch of one yard.
    #[must_use]
    pub fn new(entry: PathBuf) -> Self {
        Self {
            read: vec![entry.clone()],
            entry,
            debounce: Debounce::default(),
            touched: BTreeSet::new(),
            numbers: Numbers::new(),
        }
    }

    /// The files to watch now.
    #[must_use]
    pub fn read(&self) -> &[PathBuf] {
        &self.read
    }

    /// The first round.
    ///
    /// # Errors
    /// A sentence where the yard cannot be read.
    pub fn start(&mut self, work: &mut dyn Workshop) -> Result<String, String> {
        let round = work.round()?;
        let mut lines = round.findings.clone();
        lines.push_str(&last_line(&round));
        self.keep(round);
        Ok(lines)
    }

    /// A file was touched.
    pub fn touch(&mut self, path: PathBuf, now: Duration) {
        self.touched.insert(path);
        self.debounce.touch(now);
    }

    /// When [`Self::wake`] has something to do.
    #[must_use]
    pub fn wake_at(&self) -> Option<Duration> {
        self.debounce.due()
    }

    /// Makes a round if it is time for one, and gives the lines to print.
    pub fn wake(&mut self, now: Duration, work: &mut dyn Workshop) -> Option<String> {
        if !self.debounce.take(now) {
            return None;
        }
        let mut lines = self.headline();
        match work.round() {
            Err(trouble) => {
                lines.push_str(&format!("{trouble} Waiting for it to come back.\n"));
                if !self.read.contains(&self.entry) {
                    self.read.push(self.entry.clone());
                }
            }
            Ok(round) => {
                for line in changes(&self.numbers, &round.numbers, !round.errors) {
                    lines.push_str(&format!("  {line}\n"));
                }
                lines.push_str(&round.findings);
                lines.push_str(&last_line(&round));
                self.keep(round);
            }
        }
        Some(lines)
    }

    /// "bear.yard changed".
    fn headline(&mut self) -> String {
        let names: Vec<String> =
            std::mem::take(&mut self.touched).iter().map(|p| short(p)).collect();
        match names.as_slice() {
            [] => String::new(),
            [one] => format!("{one} changed\n"),
            [one, two] => format!("{one} and {two} changed\n"),
            [one, rest @ ..] => format!("{one} and {} other files changed\n", rest.len()),
        }
    }

    fn keep(&mut self, round: Round) {
        self.read = round.read;
        if !round.errors {
            self.numbers = round.numbers;
            return;
        }
        // A limb that has an error now keeps the numbers it had when it was whole.
        for (figure, limbs) in round.numbers {
            let before = self.numbers.remove(&figure);
            let lost = |b: &&LimbFacts| limbs.iter().all(|n| n.limb != b.limb);
            let lost: Vec<_> = before.iter().flat_map(|b| b.iter()).filter(lost).cloned().collect();
            let kept = match lost.is_empty() {
                true => limbs,
                false => Arc::new(limbs.iter().cloned().chain(lost).collect()),
            };
            self.numbers.insert(figure, kept);
        }
    }
}

fn short(path: &Path) -> String {
    path.file_name().unwrap_or(path.as_os_str()).to_string_lossy().into_owned()
}

fn last_line(round: &Round) -> String {
    let ms = round.took.as_millis().max(1);
    format!("{}. {} ({ms} ms)\n", round.summary, round.output)
}

/// Watches until [`Event::Stop`] arrives or nobody reads what is said.
///
/// `events` gives what `sender` is told; the sender is handed to the system's
/// file watcher.
///
/// # Errors
/// A sentence where the yard cannot be read at the start, or the system cannot
/// watch its folder.
pub fn run(
    entry: &Path,
    work: &mut dyn Workshop,
    (sender, events): (Sender<Event>, Receiver<Event>),
    say: &mut dyn FnMut(&str) -> io::Result<()>,
) -> Result<(), String> {
    let begin = Instant::now();
    let mut watch = Watch::new(entry.to_path_buf());
    let mut eyes = Eyes::open(sender)?;
    // Before the first round, so that a save during it is seen.
    eyes.look_at(watch.read(), SystemTime::now())?;
    let mut since = SystemTime::now();
    let mut lines = Some(watch.start(work)?);
    loop {
        if let Some(lines) = lines.take() {
            if say(&lines).is_err() {
                return Ok(());
            }
            eyes.look_at(watch.read(), since)?;
        }
        let event = match watch.wake_at() {
            Some(due) => events.recv_timeout(due.saturating_sub(begin.elapsed())),
            None => events.recv().map_err(|_| RecvTimeoutError::Disconnected),
        };
        match event {
            Ok(Event::Touched(path)) => watch.touch(path, begin.elapsed()),
            Ok(Event::Stop) | Err(RecvTimeoutError::Disconnected) => return Ok(()),
            Err(RecvTimeoutError::Timeout) => {}
        }
        since = SystemTime::now();
        lines = watch.wake(begin.elapsed(), work);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::collections::{BTreeMap, VecDeque};

    /// Rounds prepared beforehand.
    struct Script(VecDeque<Result<Round, String>>);

    impl Workshop for Script {
        fn round(&mut self) -> Result<Round, String> {
            self.0.pop_front().expect("the script foresees as many rounds as are made")
        }
    }

    const fn ms(n: u64) -> Duration {
        Duration::from_millis(n)
    }

    fn round(swing: f64) -> Round {
        let fact = Fact { name: "swing", value: swing, unit: "deg", digits: 1 };
        let limbs = vec![LimbFacts { limb: "arm".into(), facts: vec![fact] }];
        Round {
            read: vec!["a.yard".into(), "parts.yard".into()],
            numbers: BTreeMap::from([("bear".to_owned(), Arc::new(limbs))]),
            summary: "0 errors, 0 warnings".into(),
            output: "3 files written.".into(),
            took: ms(12),
            ..Round::default()
        }
    }

    fn broken() -> Round {
        Round {
            numbers: BTreeMap::new(),
            findings: "× brace-missing\n".into(),
            summary: "1 error, 0 warnings".into(),
            errors: true,
            output: "The output stays as it was.".into(),
            ..round(0.0)
        }
    }

    #[test]
    fn an_error_keeps_the_numbers_and_the_mend_tells_what_changed_since() {
        let script =
            [Ok(round(44.0)), Ok(broken()), Err("a.yard is gone.".into()), Ok(round(46.2))];
        let mut work = Script(script.into());
        let mut watch = Watch::new("a.yard".into());
        assert_eq!(
            watch.start(&mut work).unwrap(),
            "0 errors, 0 warnings. 3 files written. (12 ms)\n"
        );
        let mut save = |at: u64| {
            watch.touch("yard/a.yard".into(), ms(at));
            assert_eq!(watch.wake(ms(at + 99), &mut work), None);
            watch.wake(ms(at + 100), &mut work).unwrap()
        };
        assert_eq!(
            save(1000),
            "a.yard changed\n× brace-missing\n\
             1 error, 0 warnings. The output stays as it was. (12 ms)\n"
        );
        assert_eq!(save(2000), "a.yard changed\na.yard is gone. Waiting for it to come back.\n");
        assert_eq!(
            save(3000),
            "a.yard changed\n  bear.arm  swing 44.0 -> 46.2 deg\n\
             0 errors, 0 warnings. 3 files written. (12 ms)\n"
        );
        assert_eq!(watch.wake_at(), None);
    }

    #[test]
    fn a_limb_whose_text_is_broken_is_not_new_when_it_is_mended() {
        // The figure could still be read, its limb could not be worked out.
        let bare = BTreeMap::from([("bear".to_owned(), Arc::new(Vec::new()))]);
        let script = [Ok(round(44.0)), Ok(Round { numbers: bare, ..broken() }), Ok(round(46.2))];
        let mut work = Script(script.into());
        let mut watch = Watch::new("a.yard".into());
        watch.start(&mut work).unwrap();
        watch.touch("a.yard".into(), ms(0));
        watch.wake(ms(500), &mut work).unwrap();
        watch.touch("a.yard".into(), ms(1000));
        let told = watch.wake(ms(1500), &mut work).unwrap();
        assert!(told.contains("\n  bear.arm  swing 44.0 -> 46.2 deg\n"), "{told}");
    }

    #[test]
    fn what_was_read_is_watched_and_the_yard_always() {
        let other = Round { read: vec!["b.yard".into()], ..round(1.0) };
        let script = [Ok(round(1.0)), Ok(other), Err("No.".into())];
        let mut work = Script(script.into());
        let mut watch = Watch::new("a.yard".into());
        watch.start(&mut work).unwrap();
        assert_eq!(watch.read(), [PathBuf::from("a.yard"), "parts.yard".into()]);
        for at in [0, 1000] {
            watch.touch("a.yard".into(), ms(at));
            watch.wake(ms(at + 500), &mut work).unwrap();
        }
        assert_eq!(watch.read(), [PathBuf::from("b.yard"), "a.yard".into()]);
    }

    #[test]
    fn a_yard_that_cannot_be_read_at_the_start_is_an_error() {
        let mut work = Script([Err("a.yard is not there.".into())].into());
        let start = Watch::new("a.yard".into()).start(&mut work);
        assert_eq!(start, Err("a.yard is not there.".to_owned()));
    }

    #[test]
    fn the_headline_counts_files() {
        let mut watch = Watch::new("a.yard".into());
        for name in ["x/c.yard", "x/a.yard", "x/b.wav"] {
            watch.touch(name.into(), ms(0));
        }
        assert_eq!(watch.headline(), "a.yard and 2 other files changed\n");
        assert_eq!(watch.headline(), "");
    }
}
