//! The watch with real files, a real clock and the system's own file events.

#[cfg(unix)]
mod serving;

use std::path::PathBuf;
use std::sync::mpsc::{Receiver, Sender, channel};
use std::time::{Duration, Instant};

use yardwright::watch::{Event, Round, Workshop, run};

use crate::support::Yard;

/// Reads the yard and every file it names on a line `use …`, nothing else.
struct Reader {
    entry: PathBuf,
}

impl Workshop for Reader {
    fn round(&mut self) -> Result<Round, String> {
        let text = std::fs::read_to_string(&self.entry).map_err(|_| "It is gone.".to_owned())?;
        let folder = self.entry.parent().unwrap();
        let used = text.lines().filter_map(|l| l.strip_prefix("use ")).map(|f| folder.join(f));
        let mut read: Vec<PathBuf> = used.collect();
        let parts: Vec<String> = read
            .iter()
            .map(|p| std::fs::read_to_string(p).unwrap_or_else(|_| "missing".into()))
            .collect();
        read.push(self.entry.clone());
        let summary = format!("{}|{}", text.lines().next().unwrap_or(""), parts.join(","));
        Ok(Round { read, summary, ..Round::default() })
    }
}

/// A watch running in a thread.
struct Running {
    said: Receiver<String>,
    sender: Sender<Event>,
    thread: std::thread::JoinHandle<Result<(), String>>,
}

impl Running {
    fn start(entry: PathBuf) -> Self {
        let (say, said) = channel();
        let (sender, events) = channel();
        let tell = sender.clone();
        let thread = std::thread::spawn(move || {
            let mut work = Reader { entry: entry.clone() };
            run(&entry, &mut work, (tell, events), &mut |text| {
                say.send(text.to_owned()).map_err(|_| std::io::ErrorKind::BrokenPipe.into())
            })
        });
        Self { said, sender, thread }
    }

    /// Waits for lines that hold these words.
    #[track_caller]
    fn hears(&self, words: &str) {
        let until = Instant::now() + Duration::from_secs(20);
        let mut all = String::new();
        while let Ok(text) = self.said.recv_timeout(until.saturating_duration_since(Instant::now()))
        {
            all.push_str(&text);
            if text.contains(words) {
                return;
            }
        }
        panic!("`{words}` was never said, only:\n{all}");
    }

    /// Nothing is said for a while.
    #[track_caller]
    fn hears_nothing(&self) {
        let text = self.said.recv_timeout(Duration::from_millis(900));
        assert!(text.is_err(), "{text:?}");
    }
}

#[test]
fn saves_renames_removals_and_files_to_come_are_all_seen() {
    let yard = Yard::new().file("a.yard", "one\nuse parts/p.yard\n");
    let watch = Running::start(yard.path("a.yard"));
    watch.hears("one|missing");
    // A file that was missing comes, in a folder that was missing too.
    yard.write("parts/p.yard", "p1");
    watch.hears("one|p1");
    // Written in place.
    yard.write("a.yard", "two\nuse parts/p.yard\n");
    watch.hears("two|p1");
    // Saved by renaming a new file over it, twice.
    for (text, words) in [("three", "three|p1"), ("four", "four|p1")] {
        yard.write(".a.yard.swp", format!("{text}\nuse parts/p.yard\n"));
        std::fs::rename(yard.path(".a.yard.swp"), yard.path("a.yard")).unwrap();
        watch.hears(words);
    }
    // Removed and made again.
    std::fs::remove_file(yard.path("a.yard")).unwrap();
    watch.hears("It is gone. Waiting for it to come back.");
    yard.write("a.yard", "five\nuse parts/p.yard\n");
    watch.hears("five|p1");
    // The folder of a used file is removed and made again.
    std::fs::remove_dir_all(yard.path("parts")).unwrap();
    watch.hears("five|missing");
    yard.write("parts/p.yard", "p2");
    watch.hears("five|p2");
    // What was not read does not matter, wherever it lies.
    yard.write("notes.txt", "x");
    yard.write("a-out/report.json", "{}");
    watch.hears_nothing();
    watch.sender.send(Event::Stop).unwrap();
    assert_eq!(watch.thread.join().unwrap(), Ok(()));
}

#[test]
fn it_ends_quietly_when_nobody_listens() {
    let yard = Yard::new().file("a.yard", "one\n");
    let watch = Running::start(yard.path("a.yard"));
    watch.hears("one|");
    drop(watch.said);
    yard.write("a.yard", "two\n");
    assert_eq!(watch.thread.join().unwrap(), Ok(()));
}

#[test]
fn a_yard_that_is_not_there_is_said_at_once() {
    let yard = Yard::new();
    let watch = Running::start(yard.path("none.yard"));
    assert_eq!(watch.thread.join().unwrap(), Err("It is gone.".to_owned()));
}
