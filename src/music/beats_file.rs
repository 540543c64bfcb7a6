//! Beats files: one beat time a line, as many beat-labelling programs write.
//!
//! Each line holds a time in seconds and, behind spaces or a tab, an optional
//! label; `#` begins a comment; empty lines are skipped. A label that is a whole
//! number is the beat's number in its bar.

use crate::units::Sec;

/// One beat of a beats file.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BeatLine {
    /// When it is.
    pub time: Sec,
    /// Its number in the bar, where the second column gives one.
    pub beat_in_bar: Option<u32>,
}

/// What is wrong with a line.
#[derive(Clone, Debug, PartialEq)]
pub enum BeatsFileFault {
    /// The first column is no time in seconds from 0 to a day.
    NotATime {
        /// What stands there (at most 40 characters of it).
        text: String,
    },
    /// The time is not later than the beat before it.
    NotLater {
        /// The time.
        time: Sec,
        /// The beat before it.
        previous: Sec,
    },
    /// The whole file has fewer than two beats.
    TooFewBeats {
        /// How many.
        count: usize,
    },
}

/// A fault and its line.
#[derive(Clone, Debug, PartialEq)]
pub struct BeatsFileError {
    /// The line, counted from 1; the last one for a fault of the whole file.
    pub line: usize,
    /// What is wrong there.
    pub fault: BeatsFileFault,
}

impl std::fmt::Display for BeatsFileError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "line {}: ", self.line)?;
        match &self.fault {
            BeatsFileFault::NotATime { text } => write!(f, "`{text}` is not a time in seconds"),
            BeatsFileFault::NotLater { time, previous } => {
                write!(f, "{} s does not come after the beat at {} s", time.0, previous.0)
            }
            BeatsFileFault::TooFewBeats { count } => {
                write!(f, "a tempo needs at least 2 beats; the file has {count}")
            }
        }
    }
}
impl std::error::Error for BeatsFileError {}

/// Reads a beats file.
///
/// # Errors
/// Every faulty line, in order; where each line is good but there are fewer than
/// two beats, that.
pub fn read_beats(text: &str) -> Result<Vec<BeatLine>, Vec<BeatsFileError>> {
    let (mut beats, mut faults) = (Vec::<BeatLine>::new(), Vec::new());
    let mut lines = 0;
    for (i, line) in text.trim_start_matches('\u{feff}').lines().enumerate() {
        lines = i + 1;
        let content = line.split('#').next().unwrap_or_default();
        let Some(first) = content.split_whitespace().next() else { continue };
        match read_line(first, content, beats.last()) {
            Ok(beat) => beats.push(beat),
            Err(fault) => faults.push(BeatsFileError { line: i + 1, fault }),
        }
    }
    if faults.is_empty() && beats.len() < 2 {
        let fault = BeatsFileFault::TooFewBeats { count: beats.len() };
        faults.push(BeatsFileError { line: lines.max(1), fault });
    }
    if faults.is_empty() { Ok(beats) } else { Err(faults) }
}

/// The first beat labelled as the first of a bar: where bar 1 begins unless the
/// maker says otherwise.
#[must_use]
pub fn first_downbeat(beats: &[BeatLine]) -> Option<Sec> {
    beats.iter().find(|b| b.beat_in_bar == Some(1)).map(|b| b.time)
}

/// Reads one line that has something on it.
fn read_line(
    first: &str,
    content: &str,
    previous: Option<&BeatLine>,
) -> Result<BeatLine, BeatsFileFault> {
    let time = match first.parse::<f64>() {
        Ok(t) if (0.0..=86_400.0).contains(&t) => Sec(t),
        _ => return Err(BeatsFileFault::NotATime { text: first.chars().take(40).collect() }),
    };
    if let Some(previous) = previous.map(|b| b.time).filter(|&p| time <= p) {
        return Err(BeatsFileFault::NotLater { time, previous });
    }
    let beat_in_bar = content.split_whitespace().nth(1).and_then(|w| w.parse().ok());
    Ok(BeatLine { time, beat_in_bar })
}
