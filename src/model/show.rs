//! Songs, groups, phrases, shows and seasons.

use std::sync::Arc;

use super::{SoundPath, Span};
use crate::finding::{Place, Spanned};
use crate::music::{Meter, Sound, TempoMap};
use crate::units::{Beats, Hertz, Sec, Share};

/// A named stretch of a song.
#[derive(Clone, Debug, PartialEq)]
pub struct Section {
    /// Its name.
    pub name: Spanned<String>,
    /// First beat.
    pub start: Beats,
    /// One past its last beat.
    pub end: Beats,
}

/// A separate recording that belongs to a song.
#[derive(Clone, Debug)]
pub struct Stem {
    /// Its name.
    pub name: Spanned<String>,
    /// The file, as written.
    pub file: Spanned<String>,
    /// Where it starts in the song.
    pub at: Sec,
    /// The sound; `None` where it could not be read (reported).
    pub sound: Option<Arc<Sound>>,
}

/// A song with its musical time.
#[derive(Clone, Debug)]
pub struct Song {
    /// Its name.
    pub name: Spanned<String>,
    /// The file, as written.
    pub file: Option<Spanned<String>>,
    /// The sound; `None` where it could not be read (reported) or none is given.
    pub sound: Option<Arc<Sound>>,
    /// Its length: of the sound, else of the last section.
    pub duration: Option<Sec>,
    /// Its meter.
    pub meter: Meter,
    /// Beats against seconds.
    pub tempo: TempoMap,
    /// How sure a listened tempo is, 0 to 1; `None` where it was given.
    pub confidence: Option<f64>,
    /// Sections in order.
    pub sections: Vec<Section>,
    /// Stems.
    pub stems: Vec<Stem>,
}

/// A named set of limbs.
#[derive(Clone, Debug, PartialEq)]
pub struct Group {
    /// Its name.
    pub name: Spanned<String>,
    /// Limbs as `figure.limb`.
    pub members: Vec<Spanned<String>>,
}

/// A position in a song.
#[derive(Clone, Debug, PartialEq)]
pub enum When {
    /// Bar and beat from 1, and an exact rest of a beat.
    Bar {
        /// The bar.
        bar: i64,
        /// Beats into the bar.
        beat: Beats,
    },
    /// A section's start and an offset in beats and bars.
    Section {
        /// The section.
        name: Spanned<String>,
        /// Bars after its start.
        bars: i64,
        /// Beats after that.
        beats: Beats,
    },
    /// A time in the song.
    Time(Sec),
    /// Every onset in a band.
    Onsets {
        /// The band.
        band: (Hertz, Hertz),
        /// Up to here.
        until: Option<Box<When>>,
    },
}

/// How a cue runs through its group.
#[derive(Clone, Debug, PartialEq)]
pub enum Spread {
    /// All at once.
    Together,
    /// Along a direction: unit vector east, north.
    Pass {
        /// From this side.
        from: super::Compass,
        /// To that side.
        to: super::Compass,
        /// In this time.
        over: Span,
    },
    /// Outward from a figure.
    Outward {
        /// The figure.
        from: Spanned<String>,
        /// In this time.
        over: Span,
    },
    /// One after the other in group order.
    Stagger(Span),
}

/// What a cue tells.
#[derive(Clone, Debug, PartialEq)]
pub enum Told {
    /// A gesture of the limb, by name.
    Gesture(Spanned<String>),
    /// A gesture written in the cue itself.
    Inline(super::Action),
    /// Come to rest.
    Rest,
}

/// Whom a cue tells.
#[derive(Clone, Debug, PartialEq)]
pub enum Who {
    /// `figure.limb`, a group, a phrase's parameter, or a phrase.
    Name(Spanned<String>),
    /// Everybody.
    All(Place),
}

/// How long a cue lasts.
#[derive(Clone, Debug, PartialEq)]
pub enum Lasts {
    /// Once (one cycle, one turn).
    Once,
    /// For a span.
    For(Spanned<Span>),
    /// Until a position.
    Until(Spanned<When>),
}

/// One line of a show or phrase.
#[derive(Clone, Debug, PartialEq)]
pub struct Cue {
    /// Where it is written.
    pub place: Place,
    /// When.
    pub when: Spanned<When>,
    /// What.
    pub line: CueLine,
    /// Told again at this distance.
    pub every: Option<Spanned<Span>>,
    /// As many times in all.
    pub repeat: Option<u32>,
    /// Swing of the off-beats.
    pub swing: Option<Share>,
    /// Seed for what varies.
    pub seed: Option<u32>,
}

/// What a line of a show says.
#[derive(Clone, Debug, PartialEq)]
#[allow(clippy::large_enum_variant)] // Nearly every line tells; a box would cost each one.
pub enum CueLine {
    /// Tell somebody something.
    Tell {
        /// Whom.
        who: Who,
        /// What.
        told: Told,
        /// How long.
        lasts: Lasts,
        /// How it runs through a group.
        spread: Spread,
    },
    /// Play a phrase.
    Play {
        /// The phrase.
        phrase: Spanned<String>,
        /// What stands for its parameters.
        arguments: Vec<Spanned<String>>,
    },
}

/// A phrase: cues with parameters.
#[derive(Clone, Debug, PartialEq)]
pub struct Phrase {
    /// Its name.
    pub name: Spanned<String>,
    /// Its parameters.
    pub parameters: Vec<Spanned<String>>,
    /// Its length.
    pub lasts: Option<Spanned<Span>>,
    /// Its lines.
    pub cues: Vec<Cue>,
}

/// A show: a song and its cues.
#[derive(Clone, Debug)]
pub struct Show {
    /// Its name.
    pub name: Spanned<String>,
    /// A text for people.
    pub title: Option<String>,
    /// The song; `None` where its name leads nowhere (reported).
    pub song: Option<Arc<Song>>,
    /// Delays of the sound.
    pub sound: SoundPath,
    /// Its cues in file order.
    pub cues: Arc<[Cue]>,
    /// Where it is written.
    pub place: Place,
}

/// A rule for the end of an evening.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EndRule {
    /// First and last weekday it is for (0 = Monday); `None`: every night.
    pub days: Option<(u8, u8)>,
    /// Minutes after midnight.
    pub by: u32,
}

/// The days of a week as they are written, Monday first.
pub const DAYS: &[&str] = &["mon", "tue", "wed", "thu", "fri", "sat", "sun"];

/// A season: nights and runs, read and kept for the calendar.
#[derive(Clone, Debug, PartialEq)]
pub struct Season {
    /// Its name.
    pub name: Spanned<String>,
    /// First and last night, `2027-10-22`.
    pub nights: Option<(String, String)>,
    /// Nights left out.
    pub except: Vec<String>,
    /// First start: a clock time in minutes, or minutes after dusk.
    pub first: Option<FirstStart>,
    /// How many runs of which show, and how far apart.
    pub runs: Vec<Runs>,
    /// Ends.
    pub ends: Vec<EndRule>,
}

/// When the first run of a night starts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum FirstStart {
    /// Minutes after midnight.
    Clock(u32),
    /// After dusk by this much.
    Dusk(Sec),
}

/// Runs of one show.
#[derive(Clone, Debug, PartialEq)]
pub struct Runs {
    /// How many.
    pub count: u32,
    /// Of which show.
    pub show: Spanned<String>,
    /// How far apart.
    pub every: Option<Sec>,
}
