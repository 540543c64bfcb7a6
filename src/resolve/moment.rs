//! Positions in a show: exact beats where they can be, seconds where they must.

use crate::model::{Song, Span, When};
use crate::music::{Band, TempoError, onsets};
use crate::resolve::cast::section;
use crate::units::{Beats, Hertz, Sec};

/// A position in the music.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Moment {
    /// Exact, in beats after bar 1 beat 1.
    Beat(Beats),
    /// In seconds of the song.
    Time(Sec),
}

/// Why a position does not exist.
#[derive(Clone, Debug, PartialEq)]
pub enum MomentError {
    /// Bars or beats without a song.
    NoSong,
    /// The bar or the beat does not exist.
    Bar(TempoError),
    /// The song has no section of this name.
    Section(String),
    /// A section cannot be said inside a phrase, which has its own bars.
    SectionInPhrase,
    /// Onsets cannot be said inside a phrase.
    OnsetsInPhrase,
    /// Onsets of a song whose sound was not read.
    NoSound,
}

/// Musical arithmetic of one show.
#[derive(Clone, Copy, Debug)]
pub struct Clock<'a> {
    /// The song; without one only seconds can be said.
    pub song: Option<&'a Song>,
    /// By how much everything people see must run behind the song, because they
    /// hear it late.
    pub delay: Sec,
}

impl Clock<'_> {
    /// Seconds after the start signal, the sound's delay included.
    #[must_use]
    pub fn time(&self, at: Moment) -> Option<Sec> {
        self.song_time(at).map(|t| t + self.delay)
    }

    /// Seconds of the song.
    #[must_use]
    pub fn song_time(&self, at: Moment) -> Option<Sec> {
        match at {
            Moment::Beat(b) => Some(self.song?.tempo.time_of(b)),
            Moment::Time(t) => Some(t),
        }
    }

    /// A span in beats; `None` for seconds or without a song.
    #[must_use]
    pub fn beats(&self, span: Span) -> Option<Beats> {
        let meter = self.song?.meter;
        match span {
            Span::Time(_) => None,
            Span::Beats(b) => Some(b),
            Span::Bars(n) => Beats::nearest(n * meter.bar().count()),
            Span::Eighths(n) => Beats::nearest(n * meter.eighth().count()),
        }
    }

    /// `at` and `times` times the span after it (before it where negative).
    #[must_use]
    pub fn plus(&self, at: Moment, span: Span, times: f64) -> Option<Moment> {
        let beats = match span {
            Span::Time(t) => {
                return Some(Moment::Time(self.song_time(at)? + t * times));
            }
            other => self.beats(other)?,
        };
        let step = if times == times.trunc() && times.abs() < 1e9 {
            Beats(beats.0.checked_mul(times as i64)?)
        } else {
            Beats::nearest(beats.count() * times)?
        };
        match at {
            Moment::Beat(b) => Some(Moment::Beat(Beats(b.0.checked_add(step.0)?))),
            Moment::Time(t) => {
                let tempo = &self.song?.tempo;
                let from = Beats::nearest(tempo.beat_at(t))?;
                // The rounding of the start to a part of a beat is taken out again.
                let rest = t - tempo.time_of(from);
                Some(Moment::Time(tempo.time_of(Beats(from.0.checked_add(step.0)?)) + rest))
            }
        }
    }

    /// How long a span lasts from a position on.
    #[must_use]
    pub fn length(&self, at: Moment, span: Span) -> Option<Sec> {
        let end = self.plus(at, span, 1.0)?;
        Some(self.song_time(end)? - self.song_time(at)?)
    }

    /// Beats between two positions, where both are musical.
    #[must_use]
    pub fn beat_of(&self, t: Sec) -> Option<f64> {
        Some(self.song?.tempo.beat_at(t - self.delay))
    }

    /// One position; [`When::Onsets`] has many and is refused here.
    ///
    /// # Errors
    /// Where the position does not exist.
    pub fn at(&self, when: &When) -> Result<Moment, MomentError> {
        match when {
            When::Time(t) => Ok(Moment::Time(*t)),
            When::Bar { bar, beat } => {
                let song = self.song.ok_or(MomentError::NoSong)?;
                song.tempo.position(*bar, *beat).map(Moment::Beat).map_err(MomentError::Bar)
            }
            When::Section { name, bars, beats } => {
                let song = self.song.ok_or(MomentError::NoSong)?;
                let start = section(song, &name.value)
                    .ok_or_else(|| MomentError::Section(name.value.clone()))?
                    .start;
                Ok(Moment::Beat(start + song.meter.bar() * *bars + *beats))
            }
            When::Onsets { .. } => Err(MomentError::NoSound),
        }
    }

    /// Every onset of a band of the song, up to `until`.
    ///
    /// # Errors
    /// Where the song's sound was not read, or `until` does not exist.
    pub fn onsets(
        &self,
        band: (Hertz, Hertz),
        until: Option<&When>,
    ) -> Result<Vec<Moment>, MomentError> {
        let song = self.song.ok_or(MomentError::NoSong)?;
        let sound = song.sound.as_deref().ok_or(MomentError::NoSound)?;
        let end = match until {
            Some(when) => self.song_time(self.at(when)?),
            None => None,
        };
        let found = Band::new(band.0, band.1).map(|b| onsets(sound, b));
        let times = found.and_then(Result::ok).unwrap_or_default();
        let early = |t: &Sec| end.is_none_or(|e| t.0 < e.0);
        Ok(times.into_iter().filter(early).map(Moment::Time).collect())
    }

    /// A position inside a phrase that starts at `start`: its bars count from 1.
    ///
    /// # Errors
    /// Where the position does not exist.
    pub fn inside(&self, when: &When, start: Moment) -> Result<Moment, MomentError> {
        match when {
            When::Time(t) => {
                let base = self.song_time(start).ok_or(MomentError::NoSong)?;
                Ok(Moment::Time(base + *t))
            }
            When::Section { .. } => Err(MomentError::SectionInPhrase),
            When::Onsets { .. } => Err(MomentError::OnsetsInPhrase),
            When::Bar { bar, beat } => {
                let song = self.song.ok_or(MomentError::NoSong)?;
                if *bar < 1 {
                    return Err(MomentError::Bar(TempoError::NoSuchBar { bar: *bar }));
                }
                let offset = song.tempo.position(*bar, *beat).map_err(MomentError::Bar)?;
                self.plus(start, Span::Beats(offset), 1.0).ok_or(MomentError::NoSong)
            }
        }
    }
}
