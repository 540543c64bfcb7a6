//! What figures played the last time, kept for those that play the same again.
//!
//! A figure's part follows from its mechanisms, from what it is asked, and from
//! the song's time. While these are the same so is the part, and it is not played
//! again. Nothing else is kept, so nothing kept can show.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::finding::Finding;
use crate::fit::FittedFigure;
use crate::model::{LaidUp, Placed, Song, Yard};
use crate::resolve::moment::{Clock, Moment};
use crate::units::Sec;

use super::expand::{Ask, AskTold};
use super::follow::Heard;
use super::{Accent, FigurePart};

/// A show as it was played the last time.
#[derive(Debug, Default)]
pub struct Rehearsal {
    time: Option<Time>,
    /// What was listened to.
    heard: Heard,
    parts: Parts,
}

/// Parts by the figure's name in the yard.
#[derive(Debug, Default)]
pub(super) struct Parts(BTreeMap<String, Part>);

/// The time a show runs in.
#[derive(Debug)]
struct Time {
    song: Option<Arc<Song>>,
    delay: Sec,
    duration: Sec,
}

/// One figure's part and what it follows from.
#[derive(Clone, Debug)]
pub(super) struct Part {
    fitted: Arc<FittedFigure>,
    laid_up: Option<LaidUp>,
    asked: Print,
    /// What it does.
    pub played: Arc<PlayedPart>,
}

/// What a figure does in a show, and what is wrong with it.
#[derive(Debug)]
pub(super) struct PlayedPart {
    /// Commands and motion; `None` where it does nothing.
    pub part: Option<Arc<FigurePart>>,
    /// Accents.
    pub accents: Vec<Accent>,
    /// Findings.
    pub findings: Vec<Finding>,
    /// When its last motion ends.
    pub end: Sec,
}

impl Rehearsal {
    /// A new compile: keeps the parts only where the show runs in the same time.
    pub(super) fn begin(&mut self, song: Option<&Arc<Song>>, clock: &Clock<'_>, duration: Sec) {
        let same = self.time.as_ref().is_some_and(|t| {
            t.delay == clock.delay
                && t.duration == duration
                && match (&t.song, song) {
                    (None, None) => true,
                    (Some(a), Some(b)) => sounds_alike(a, b),
                    _ => false,
                }
        });
        if !same {
            self.parts = Parts::default();
            self.heard = Heard::default();
        }
        self.time = Some(Time { song: song.cloned(), delay: clock.delay, duration });
    }

    /// What was listened to the last time, to be listened to no more.
    pub(super) fn heard(&mut self) -> &mut Heard {
        &mut self.heard
    }

    /// The parts of the last time, beside everything that was listened to.
    pub(super) fn parts_and_heard(&self) -> (&Parts, &Heard) {
        (&self.parts, &self.heard)
    }

    /// Keeps the parts of this compile, in the yard's order, and only these.
    pub(super) fn keep(&mut self, yard: &Yard, parts: Vec<Option<Part>>) {
        let named = yard.figures.iter().map(|f| f.name.value.clone()).zip(parts);
        self.parts = Parts(named.filter_map(|(name, part)| Some((name, part?))).collect());
    }
}

impl Parts {
    /// The part of a figure that is asked the very same.
    pub fn part(
        &self,
        placed: &Placed,
        fitted: &Arc<FittedFigure>,
        asks: &[Ask<'_>],
    ) -> Option<Part> {
        let part = self.0.get(&placed.name.value)?;
        let same = Arc::ptr_eq(&part.fitted, fitted)
            && part.laid_up == placed.laid_up
            && part.asked == Print::of(asks);
        same.then(|| part.clone())
    }
}

impl Part {
    pub(super) fn new(
        placed: &Placed,
        fitted: &Arc<FittedFigure>,
        asks: &[Ask<'_>],
        played: PlayedPart,
    ) -> Self {
        Self {
            fitted: Arc::clone(fitted),
            laid_up: placed.laid_up.clone(),
            asked: Print::of(asks),
            played: Arc::new(played),
        }
    }
}

/// Whether everything of two songs that a motion follows from is the same.
fn sounds_alike(a: &Song, b: &Song) -> bool {
    let stems = a.stems.len() == b.stems.len()
        && a.stems.iter().zip(&b.stems).all(|(a, b)| {
            let sound = match (&a.sound, &b.sound) {
                (None, None) => true,
                (Some(a), Some(b)) => Arc::ptr_eq(a, b),
                _ => false,
            };
            sound && a.name.value == b.name.value && a.at == b.at
        });
    stems && a.meter == b.meter && a.tempo == b.tempo && a.duration == b.duration
}

/// A fingerprint of what a figure is asked, 128 bits wide: equal only for equal
/// asks of one figure, but for a chance of some 1 in 10^38.
///
/// A gesture counts by its address (the figure is kept alive with the print), an
/// action written in a cue by the cue's place: an item whose text changed has
/// another id.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
struct Print(u128);

impl Print {
    fn of(asks: &[Ask<'_>]) -> Self {
        // The prime of FNV-1a with 128 bits, here over words and turned each time
        // so that high bits come down again.
        const PRIME: u128 = 0x0000_0000_0100_0000_0000_0000_0000_013b;
        let mut print = u128::from(asks.len() as u64);
        let mut add = |word: u64| {
            print = (print ^ u128::from(word)).wrapping_mul(PRIME).rotate_left(67);
        };
        for ask in asks {
            add(ask.limb as u64);
            let (kind, at) = match ask.at {
                Moment::Beat(b) => (0, b.0 as u64),
                Moment::Time(t) => (1, t.0.to_bits()),
            };
            let told = match ask.told {
                AskTold::Rest => 0,
                AskTold::Do(_) if ask.inline => 1,
                AskTold::Do(action) => std::ptr::from_ref(action).addr() as u64,
            };
            add(kind);
            add(at);
            add(ask.from.0.to_bits());
            add(ask.to.map_or(u64::MAX, |t| t.0.to_bits()));
            add(told);
            add(u64::from(ask.cue.item.0) << 32 | u64::from(ask.cue.lo));
            add(u64::from(ask.cue.hi));
        }
        Self(print)
    }
}
