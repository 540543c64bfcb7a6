//! The tempo map: exact beats to seconds and back.
//!
//! Beat 0 is bar 1 beat 1; a pick-up lies before it and has negative beats.
//! Between changes the tempo holds; a gradual change runs **linearly in beats**,
//! so that half way through its beats the tempo is half way too. A ramp over N
//! beats from b0 to b1 bpm then lasts 60 N / (b1 - b0) ln(b1 / b0) seconds, the
//! integral of 60 / bpm over beats.

use super::Meter;
use crate::units::{Beats, Bpm, Sec};

/// A change of tempo.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TempoChange {
    /// Where it begins; after beat 0.
    pub at: Beats,
    /// The tempo it leads to.
    pub tempo: Bpm,
    /// How long it takes; zero for at once.
    pub over: Beats,
}

/// Why a tempo map cannot be made, or a place in it does not exist.
///
/// `change` is the index of the offending change as it was given.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum TempoError {
    /// A tempo that is no number or outside [`TempoMap::SLOWEST`] to
    /// [`TempoMap::FASTEST`]; `change` is `None` for the first tempo.
    TempoOutOfRange {
        /// Which change, or `None` for the first tempo.
        change: Option<usize>,
        /// What was asked.
        tempo: Bpm,
    },
    /// The time of bar 1 is no number, or more than a day from the start.
    BarOneOutOfRange {
        /// What was asked.
        at: Sec,
    },
    /// A change at or before beat 0, where the first tempo belongs.
    ChangeNotAfterBarOne {
        /// Which change.
        change: usize,
        /// Where it was put.
        at: Beats,
    },
    /// A ramp with a negative length.
    RampBackwards {
        /// Which change.
        change: usize,
        /// The length asked.
        over: Beats,
    },
    /// A change that begins while an earlier one still runs, or together with it.
    ChangesOverlap {
        /// The later change.
        change: usize,
        /// Where it begins.
        at: Beats,
        /// The first beat at which it could begin: where the earlier one ends.
        earliest: Beats,
    },
    /// Fewer than two beats: no tempo can be told from them.
    TooFewBeats {
        /// How many there are.
        count: usize,
    },
    /// A beat that is no number or does not come after the one before it.
    BeatsOutOfOrder {
        /// Its index in the list.
        index: usize,
        /// Its time.
        time: Sec,
    },
    /// Bar 1 was put at a time that lies between the listed beats.
    BarOneOffBeat {
        /// Where it was put.
        at: Sec,
        /// The nearest beat.
        nearest: Sec,
    },
    /// A beat number the bar does not have.
    BeatBeyondBar {
        /// The bar.
        bar: i64,
        /// The beat asked, counted from 1.
        beat: Beats,
        /// How many beats a bar has.
        beats_per_bar: i64,
    },
    /// A bar before the pick-up, or beyond 10^8.
    NoSuchBar {
        /// The bar asked.
        bar: i64,
    },
}

impl std::fmt::Display for TempoError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match *self {
            Self::TempoOutOfRange { tempo, .. } => write!(
                f,
                "{} bpm is no tempo: {} to {} bpm work",
                tempo.0,
                TempoMap::SLOWEST.0,
                TempoMap::FASTEST.0
            ),
            Self::BarOneOutOfRange { at } => {
                write!(f, "bar 1 cannot be at {} s: a day or less from the start works", at.0)
            }
            Self::ChangeNotAfterBarOne { .. } => f.write_str(
                "a tempo change must come after bar 1 beat 1; there the first tempo holds",
            ),
            Self::RampBackwards { over, .. } => {
                write!(f, "a tempo change cannot take {} beats", over.count())
            }
            Self::ChangesOverlap { earliest, .. } => write!(
                f,
                "the tempo change before this one ends {} beats after bar 1 beat 1; start this one later",
                earliest.count()
            ),
            Self::TooFewBeats { count } => {
                write!(f, "a tempo needs at least 2 beats; the list has {count}")
            }
            Self::BeatsOutOfOrder { index, time } => write!(
                f,
                "beat {} of the list, at {} s, does not come after the one before it",
                index + 1,
                time.0
            ),
            Self::BarOneOffBeat { at, nearest } => write!(
                f,
                "bar 1 at {:.3} s falls between two beats; the nearest is at {:.3} s",
                at.0, nearest.0
            ),
            Self::BeatBeyondBar { bar, beat, beats_per_bar } => write!(
                f,
                "bar {bar} has no beat {}: its beats are 1 to {beats_per_bar}, and their parts",
                beat.count()
            ),
            Self::NoSuchBar { bar } => {
                write!(f, "there is no bar {bar}: the first full bar is 1 and a pick-up is bar 0")
            }
        }
    }
}
impl std::error::Error for TempoError {}

/// A place in bars and beats, as musicians count.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct BarBeat {
    /// The bar; the first full one is 1, a pick-up is 0.
    pub bar: i64,
    /// The beat in it, counted from 1 (`Beats::whole(1)`), exact.
    pub beat: Beats,
}

impl std::fmt::Display for BarBeat {
    /// `bar 28 beat 2 + 1/3`.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let (whole, part) =
            (self.beat.0.div_euclid(Beats::PARTS), self.beat.0.rem_euclid(Beats::PARTS));
        write!(f, "bar {} beat {whole}", self.bar)?;
        if part == 0 {
            return Ok(());
        }
        let divisor = common_divisor(part, Beats::PARTS);
        write!(f, " + {}/{}", part / divisor, Beats::PARTS / divisor)
    }
}

/// The greatest common divisor of two positive numbers.
fn common_divisor(a: i64, b: i64) -> i64 {
    if b == 0 { a } else { common_divisor(b, a % b) }
}

/// A stretch with one law of tempo, up to the start of the next.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Stretch {
    /// Where it begins.
    at: Beats,
    /// The time of that beat, s.
    time: f64,
    /// The tempo there, bpm.
    bpm: f64,
    /// How the tempo grows, bpm per beat; 0 where it holds.
    slope: f64,
}

impl Stretch {
    /// Seconds from the start of the stretch to `x` beats after it.
    ///
    /// 60 x / bpm times ln(1 + u) / u, which stays exact as the ramp flattens.
    fn seconds(&self, x: f64) -> f64 {
        let u = self.slope * x / self.bpm;
        60.0 * x / self.bpm * if u == 0.0 { 1.0 } else { libm::log1p(u) / u }
    }

    /// The inverse of [`Stretch::seconds`]: (e^v - 1) / v with v = slope t / 60.
    fn beats(&self, t: f64) -> f64 {
        let v = self.slope * t / 60.0;
        t * self.bpm / 60.0 * if v == 0.0 { 1.0 } else { libm::expm1(v) / v }
    }

    /// Beats from its start to `b`.
    fn beats_to(&self, b: Beats) -> f64 {
        Beats(b.0.saturating_sub(self.at.0)).count()
    }
}

/// Beats to seconds and back, and beats to bars.
#[derive(Clone, Debug, PartialEq)]
pub struct TempoMap {
    meter: Meter,
    /// Never empty, ascending; the first reaches back and the last on forever.
    stretches: Vec<Stretch>,
}

impl TempoMap {
    /// The slowest tempo taken.
    pub const SLOWEST: Bpm = Bpm(5.0);
    /// The fastest tempo taken.
    pub const FASTEST: Bpm = Bpm(1000.0);
    /// The farthest bar: 10^8, far beyond any show and within exact beats.
    const LAST_BAR: i64 = 100_000_000;

    /// A map with one tempo throughout.
    ///
    /// # Errors
    /// Where the tempo or the time of bar 1 is out of range.
    pub fn steady(meter: Meter, tempo: Bpm, bar_one: Sec) -> Result<Self, TempoError> {
        Self::new(meter, tempo, bar_one, &[])
    }

    /// A map from the first tempo, the time of bar 1 beat 1 and the changes, in
    /// any order. The first tempo holds for the pick-up too.
    ///
    /// # Errors
    /// Where a tempo, a place or a length is out of range, or changes overlap.
    pub fn new(
        meter: Meter,
        first: Bpm,
        bar_one: Sec,
        changes: &[TempoChange],
    ) -> Result<Self, TempoError> {
        check_tempo(first, None)?;
        if !within_a_day(bar_one) {
            return Err(TempoError::BarOneOutOfRange { at: bar_one });
        }
        let mut order: Vec<(usize, &TempoChange)> = changes.iter().enumerate().collect();
        order.sort_by_key(|(_, c)| c.at);
        let mut stretches =
            vec![Stretch { at: Beats(0), time: bar_one.0, bpm: first.0, slope: 0.0 }];
        let mut before = None;
        for (change, c) in order {
            check_change(change, c, before)?;
            push_change(&mut stretches, c);
            before = Some(c);
        }
        Ok(Self { meter, stretches })
    }

    /// A map through a list of beat times, straight between neighbours; before
    /// and after the list it goes on with the period of its first or last beats
    /// (the mean of up to four intervals, so that one late tap does not tilt it).
    ///
    /// Bar 1 beat 1 is the beat at `bar_one`, which may lie outside the list but
    /// must be within a quarter of a beat of the grid; without it the first beat.
    ///
    /// # Errors
    /// Where the list is too short or out of order, its tempo is out of range, or
    /// bar 1 falls between beats.
    pub fn from_beats(
        meter: Meter,
        beats: &[Sec],
        bar_one: Option<Sec>,
    ) -> Result<Self, TempoError> {
        if beats.len() < 2 {
            return Err(TempoError::TooFewBeats { count: beats.len() });
        }
        if let Some(index) = out_of_order(beats) {
            return Err(TempoError::BeatsOutOfOrder { index, time: beats[index] });
        }
        let mut stretches = Vec::with_capacity(beats.len() + 1);
        let head = mean_tempo(&beats[..beats.len().min(5)]);
        // One beat earlier, so that the lead-in has a stretch of its own.
        stretches.push(Stretch {
            at: Beats::whole(-1),
            time: beats[0].0 - 60.0 / head,
            bpm: head,
            slope: 0.0,
        });
        for (i, pair) in beats.windows(2).enumerate() {
            let bpm = mean_tempo(pair);
            check_tempo(Bpm(bpm), None)?;
            stretches.push(Stretch {
                at: Beats::whole(i as i64),
                time: pair[0].0,
                bpm,
                slope: 0.0,
            });
        }
        let last = beats.len() - 1;
        stretches.push(Stretch {
            at: Beats::whole(last as i64),
            time: beats[last].0,
            bpm: mean_tempo(&beats[last.saturating_sub(4)..]),
            slope: 0.0,
        });
        let mut map = Self { meter, stretches };
        if let Some(at) = bar_one {
            map.start_bar_one(at)?;
        }
        Ok(map)
    }

    /// Counts from the beat nearest to `at`.
    fn start_bar_one(&mut self, at: Sec) -> Result<(), TempoError> {
        if !within_a_day(at) {
            return Err(TempoError::BarOneOutOfRange { at });
        }
        let place = self.beat_at(at);
        let beat = Beats::whole(place.round() as i64);
        let nearest = self.time_of(beat);
        if (place - place.round()).abs() > 0.25 {
            return Err(TempoError::BarOneOffBeat { at, nearest });
        }
        for stretch in &mut self.stretches {
            stretch.at = stretch.at - beat;
        }
        Ok(())
    }

    /// The meter bars are counted in.
    #[must_use]
    pub const fn meter(&self) -> Meter {
        self.meter
    }

    /// The stretch that holds the beat; at a border the later one.
    fn stretch_of(&self, b: Beats) -> &Stretch {
        let after = self.stretches.partition_point(|s| s.at <= b);
        &self.stretches[after.saturating_sub(1)]
    }

    /// The time of a beat.
    #[must_use]
    pub fn time_of(&self, b: Beats) -> Sec {
        let s = self.stretch_of(b);
        Sec(s.time + s.seconds(s.beats_to(b)))
    }

    /// The beat at a time, as a decimal number of beats after bar 1 beat 1.
    #[must_use]
    pub fn beat_at(&self, t: Sec) -> f64 {
        let after = self.stretches.partition_point(|s| s.time <= t.0);
        let s = &self.stretches[after.saturating_sub(1)];
        s.at.count() + s.beats(t.0 - s.time)
    }

    /// The tempo at a beat; where it changes at once, the new one.
    #[must_use]
    pub fn tempo_at(&self, b: Beats) -> Bpm {
        let s = self.stretch_of(b);
        Bpm(s.bpm + s.slope * s.beats_to(b))
    }

    /// The bar and beat of a position.
    #[must_use]
    pub fn bar_beat(&self, b: Beats) -> BarBeat {
        let bar = self.meter.bar().0;
        BarBeat { bar: b.0.div_euclid(bar) + 1, beat: Beats(b.0.rem_euclid(bar)) + Beats::whole(1) }
    }

    /// The position of a beat of a bar, both counted from 1; bar 0 is the pick-up.
    ///
    /// # Errors
    /// Where the bar has no such beat, or there is no such bar.
    pub fn position(&self, bar: i64, beat: Beats) -> Result<Beats, TempoError> {
        if !(0..=Self::LAST_BAR).contains(&bar) {
            return Err(TempoError::NoSuchBar { bar });
        }
        let beats_per_bar = self.meter.beats_per_bar();
        if beat < Beats::whole(1) || beat >= Beats::whole(beats_per_bar + 1) {
            return Err(TempoError::BeatBeyondBar { bar, beat, beats_per_bar });
        }
        Ok(self.meter.bar() * (bar - 1) + beat - Beats::whole(1))
    }
}

/// Whether a time is a number and at most a day from the start.
fn within_a_day(t: Sec) -> bool {
    t.0.abs() <= 86_400.0
}

/// Refuses a tempo outside the range; NaN too.
fn check_tempo(tempo: Bpm, change: Option<usize>) -> Result<(), TempoError> {
    if tempo >= TempoMap::SLOWEST && tempo <= TempoMap::FASTEST {
        Ok(())
    } else {
        Err(TempoError::TempoOutOfRange { change, tempo })
    }
}

/// Refuses a change that is out of range or runs into the one before it.
fn check_change(
    change: usize,
    c: &TempoChange,
    before: Option<&TempoChange>,
) -> Result<(), TempoError> {
    check_tempo(c.tempo, Some(change))?;
    if c.at <= Beats(0) {
        return Err(TempoError::ChangeNotAfterBarOne { change, at: c.at });
    }
    if c.over < Beats(0) {
        return Err(TempoError::RampBackwards { change, over: c.over });
    }
    let Some(before) = before else { return Ok(()) };
    let earliest = Beats(before.at.0.saturating_add(before.over.0));
    if c.at < earliest || c.at == before.at {
        return Err(TempoError::ChangesOverlap { change, at: c.at, earliest });
    }
    Ok(())
}

/// Adds the stretches of a change that fits.
fn push_change(stretches: &mut Vec<Stretch>, c: &TempoChange) {
    let from = stretches[stretches.len() - 1];
    let time = from.time + from.seconds(from.beats_to(c.at));
    if c.over == Beats(0) {
        stretches.push(Stretch { at: c.at, time, bpm: c.tempo.0, slope: 0.0 });
        return;
    }
    let slope = (c.tempo.0 - from.bpm) / c.over.count();
    let ramp = Stretch { at: c.at, time, bpm: from.bpm, slope };
    let end = time + ramp.seconds(c.over.count());
    stretches.push(ramp);
    let at = Beats(c.at.0.saturating_add(c.over.0));
    stretches.push(Stretch { at, time: end, bpm: c.tempo.0, slope: 0.0 });
}

/// The mean tempo over two or more ascending beat times, bpm.
fn mean_tempo(beats: &[Sec]) -> f64 {
    let intervals = beats.len() - 1;
    60.0 * intervals as f64 / (beats[intervals].0 - beats[0].0)
}

/// The first beat that is no number, a day away, or not after the one before it.
fn out_of_order(beats: &[Sec]) -> Option<usize> {
    (0..beats.len()).find(|&i| !within_a_day(beats[i]) || (i > 0 && beats[i] <= beats[i - 1]))
}
