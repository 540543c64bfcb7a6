//! What figures played the last time, kept for those that play the same again.
//!
//! A figure's part follows from its mechanisms, from what it is asked, and from
//! the song's time. While these are the same so is the part, and it is not played
//! again. Where even the cues and all they lead to are the same, only the figures
//! that changed are asked anew. Nothing else is kept, so nothing kept can show.

use std::collections::BTreeMap;
use std::sync::Arc;

use crate::finding::Finding;
use crate::fit::FittedFigure;
use crate::loads::{LoadedFigure, MotorPoint};
use crate::model::{Figure, Placed, Show, Song, Yard};
use crate::resolve::moment::{Clock, Moment};
use crate::units::Sec;

use super::expand::{Ask, AskTold, own_span};
use super::follow::Heard;
use super::{Accent, FigurePart};

/// A show as it was played the last time.
#[derive(Debug, Default)]
pub struct Rehearsal {
    last: Option<Last>,
    /// What was listened to.
    heard: Heard,
}

/// The last compile's yard and what was played in it.
#[derive(Debug)]
struct Last {
    yard: Arc<Yard>,
    /// Which of its shows this is.
    show: usize,
    delay: Sec,
    duration: Sec,
    /// Whether every cue was spelt out to its end.
    whole: bool,
    /// Parts in the yard's order; `None` for a figure that is asked nothing.
    parts: Vec<Option<Part>>,
}

/// One figure's part and what it follows from.
#[derive(Clone, Debug)]
pub(super) struct Part {
    fitted: Arc<FittedFigure>,
    left: Left,
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

/// A show that is about to be played.
#[derive(Clone, Copy)]
pub(super) struct Coming<'a> {
    pub yard: &'a Arc<Yard>,
    /// Which of the yard's shows.
    pub show: usize,
    pub fitted: &'a [Arc<FittedFigure>],
    pub loads: &'a [Arc<LoadedFigure>],
}

/// What loads leave of the speed of a figure's rams and spools.
pub(super) type Left = Vec<Option<[f64; 2]>>;

/// See [`Left`].
pub(super) fn left(motors: &[MotorPoint]) -> Left {
    motors.iter().map(|m| m.left).collect()
}

impl<'a> Coming<'a> {
    pub fn show(&self) -> &'a Show {
        &self.yard.shows[self.show]
    }

    /// A figure's motors with their loads, by its index.
    pub fn motors(&self, figure: usize) -> &'a [MotorPoint] {
        self.loads.get(figure).map_or(&[], |l| &l.motors)
    }
}

impl Rehearsal {
    /// Which figures must be asked anew, where the others are asked the same as
    /// the last time without looking; `None` where all must be.
    pub(super) fn changed(&self, coming: &Coming<'_>, clock: &Clock<'_>) -> Option<Vec<bool>> {
        let last = self.last.as_ref().filter(|l| l.whole && l.delay == clock.delay)?;
        // Without a song the last cue decides how long everything is.
        coming.show().song.as_ref()?.duration?;
        let same = last.in_time(coming.show())
            && last.same_script(coming)
            && last.parts.len() == coming.fitted.len();
        let changed = || {
            let kept = last.parts.iter().zip(&last.yard.figures);
            kept.zip(coming.fitted.iter().zip(&coming.yard.figures)).enumerate().map(
                |(at, ((part, was), (fitted, is)))| {
                    let same = match part {
                        Some(part) => {
                            Arc::ptr_eq(&part.fitted, fitted)
                                && part.left == left(coming.motors(at))
                        }
                        None => Arc::ptr_eq(&was.figure, &is.figure),
                    };
                    !same || was.laid_up != is.laid_up
                },
            )
        };
        same.then(|| changed().collect())
    }

    /// Forgets what was listened to, and the parts, where the show runs in another
    /// time than the last one did.
    pub(super) fn begin(&mut self, coming: &Coming<'_>, clock: &Clock<'_>, duration: Sec) {
        let same = self.last.as_ref().is_some_and(|last| {
            last.delay == clock.delay && last.duration == duration && last.in_time(coming.show())
        });
        if !same {
            *self = Self::default();
        }
    }

    /// What was listened to, to be listened to no more.
    pub(super) fn heard(&mut self) -> &mut Heard {
        &mut self.heard
    }

    /// What was listened to, when all is.
    pub(super) fn all_heard(&self) -> &Heard {
        &self.heard
    }

    /// The last time's parts by the figures' names, with the figures.
    pub(super) fn parts(&self) -> Parts<'_> {
        let last = self.last.iter();
        let figures = last.flat_map(|l| l.yard.figures.iter().zip(&l.parts));
        Parts(
            figures.filter_map(|(f, p)| Some((f.name.value.as_str(), (f, p.as_ref()?)))).collect(),
        )
    }

    /// The last time's part of the figure at an index, where nothing changed.
    pub(super) fn part_at(&self, index: usize) -> Option<Part> {
        self.last.as_ref()?.parts.get(index)?.clone()
    }

    /// Keeps the parts of this compile, and only these.
    pub(super) fn keep(
        &mut self,
        coming: &Coming<'_>,
        (delay, duration): (Sec, Sec),
        whole: bool,
        parts: Vec<Option<Part>>,
    ) {
        let yard = Arc::clone(coming.yard);
        self.last = Some(Last { yard, show: coming.show, delay, duration, whole, parts });
    }
}

impl Last {
    fn show(&self) -> &Show {
        &self.yard.shows[self.show]
    }

    /// Whether a show runs to the same music.
    fn in_time(&self, show: &Show) -> bool {
        match (&self.show().song, &show.song) {
            (None, None) => true,
            (Some(a), Some(b)) => Arc::ptr_eq(a, b) || sounds_alike(a, b),
            _ => false,
        }
    }

    /// Whether the cues and everything their names lead to are the same.
    fn same_script(&self, coming: &Coming<'_>) -> bool {
        let (was, is) = (&self.yard, coming.yard);
        let cast = was.figures.len() == is.figures.len()
            && was.figures.iter().zip(&is.figures).all(|(a, b)| casts_alike(a, b));
        let (old, new) = (&self.show().cues, &coming.show().cues);
        cast && was.groups == is.groups
            && was.phrases == is.phrases
            && (Arc::ptr_eq(old, new) || old == new)
    }
}

/// Whether a cue finds the same in two figures: names, places, and gestures of
/// the same length. What the gestures are is another matter.
fn casts_alike(a: &Placed, b: &Placed) -> bool {
    let alike = |a: &Figure, b: &Figure| {
        a.limbs.len() == b.limbs.len()
            && a.limbs.iter().zip(&b.limbs).all(|(a, b)| {
                a.name.value == b.name.value
                    && a.gestures.len() == b.gestures.len()
                    && a.gestures.iter().zip(&b.gestures).all(|(a, b)| {
                        a.name.value == b.name.value && own_span(&a.action) == own_span(&b.action)
                    })
            })
    };
    a.name.value == b.name.value
        && a.at == b.at
        && (Arc::ptr_eq(&a.figure, &b.figure) || alike(&a.figure, &b.figure))
}

/// The last time's parts by name.
#[derive(Default)]
pub(super) struct Parts<'a>(BTreeMap<&'a str, (&'a Placed, &'a Part)>);

impl Parts<'_> {
    /// The part of a figure that is asked the very same.
    pub fn part(
        &self,
        placed: &Placed,
        (fitted, left): (&Arc<FittedFigure>, Left),
        asks: &[Ask<'_>],
    ) -> Option<Part> {
        let (was, part) = self.0.get(placed.name.value.as_str())?;
        let same = Arc::ptr_eq(&part.fitted, fitted)
            && part.left == left
            && was.laid_up == placed.laid_up
            && part.asked == Print::of(asks);
        same.then(|| (*part).clone())
    }
}

impl Part {
    pub(super) fn new(
        (fitted, left): (&Arc<FittedFigure>, Left),
        asks: &[Ask<'_>],
        played: PlayedPart,
    ) -> Self {
        let (fitted, asked) = (Arc::clone(fitted), Print::of(asks));
        Self { fitted, left, asked, played: Arc::new(played) }
    }
}

/// Whether everything of two songs that cues and motions follow from is the same.
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
    let sound = match (&a.sound, &b.sound) {
        (None, None) => true,
        (Some(a), Some(b)) => Arc::ptr_eq(a, b),
        _ => false,
    };
    let sections = a.sections.len() == b.sections.len()
        && a.sections
            .iter()
            .zip(&b.sections)
            .all(|(a, b)| a.name.value == b.name.value && a.start == b.start && a.end == b.end);
    stems
        && sound
        && sections
        && a.meter == b.meter
        && a.tempo == b.tempo
        && a.duration == b.duration
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
