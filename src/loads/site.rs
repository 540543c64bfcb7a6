//! What the yard gives a figure: wind, ground, power.

use crate::model::{Placed, Song, Span, Winds, Yard};
use crate::units::{Beats, Mm, Mm2, Sec, Volt};

/// What a figure meets where it stands. Two figures of one kind on equal sites
/// have equal loads.
#[derive(Clone, Debug, PartialEq)]
pub struct Site {
    /// Gusts.
    pub winds: Winds,
    /// Soil, as written.
    pub soil: Option<String>,
    /// The figure's feed; `None` where no supply is named.
    pub feed: Option<Feed>,
    /// The fastest music it may have to follow; `None` without a song.
    pub music: Option<Music>,
}

/// The fastest music of a yard.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Music {
    /// Length of a beat in its fastest bar.
    pub beat: Sec,
    /// Beats of a bar.
    pub bar: f64,
    /// Beats of an eighth.
    pub eighth: f64,
}

/// Bars of a song that are looked at for the fastest.
const BARS: i64 = 2000;

impl Music {
    /// The fastest of the songs that shows play; of all songs where no show plays one.
    #[must_use]
    pub fn of(yard: &Yard) -> Option<Self> {
        let played = yard.shows.iter().filter_map(|s| s.song.as_deref());
        let fastest = |songs: &mut dyn Iterator<Item = &Song>| {
            songs.filter_map(Self::of_song).reduce(|a, b| if b.beat < a.beat { b } else { a })
        };
        fastest(&mut played.into_iter())
            .or_else(|| fastest(&mut yard.songs.iter().map(std::convert::AsRef::as_ref)))
    }

    /// By the fastest whole bar: single beats of a tempo that was listened to jitter.
    fn of_song(song: &Song) -> Option<Self> {
        let bar = song.meter.bar();
        let start = |n: i64| song.tempo.time_of(bar * n);
        let whole = |n: &i64| song.duration.is_none_or(|d| start(n + 1) <= d);
        let first = start(1) - start(0);
        let bars = (0..BARS).take_while(whole).map(|n| start(n + 1) - start(n));
        let fastest = bars.filter(|t| t.0 > 0.0).fold(first, Sec::min);
        let beats = bar.count();
        (fastest.0 > 0.0 && beats > 0.0).then(|| Self {
            beat: fastest / beats,
            bar: beats,
            eighth: song.meter.eighth().count(),
        })
    }

    /// How long a musical span lasts.
    fn seconds(&self, span: Span) -> Sec {
        match span {
            Span::Time(t) => t,
            Span::Beats(b) => self.beat * Beats::count(b),
            Span::Bars(n) => self.beat * (self.bar * n),
            Span::Eighths(n) => self.beat * (self.eighth * n),
        }
    }
}

/// The cable from a supply to a figure.
#[derive(Clone, Debug, PartialEq)]
pub struct Feed {
    /// The supply.
    pub supply: String,
    /// Its voltage at its terminals.
    pub voltage: Option<Volt>,
    /// Length of the cable, one way: as said, or the straight line and a fifth.
    pub run: Option<Mm>,
    /// Whether that length was said.
    pub measured: bool,
    /// Cross-section of one conductor.
    pub conductor: Option<Mm2>,
}

impl Site {
    /// Where a figure stands.
    #[must_use]
    pub fn of(yard: &Yard, placed: &Placed, music: Option<Music>) -> Self {
        Self {
            winds: yard.winds,
            soil: yard.soil.as_ref().map(|s| s.value.clone()),
            feed: feed(yard, placed),
            music,
        }
    }

    /// How long a span lasts; `None` for a musical one without a song.
    #[must_use]
    pub fn seconds(&self, span: Span) -> Option<Sec> {
        match (span, self.music) {
            (Span::Time(t), _) => Some(t),
            (_, music) => music.map(|m| m.seconds(span)),
        }
    }
}

fn feed(yard: &Yard, placed: &Placed) -> Option<Feed> {
    let said = placed.figure.feed.as_ref()?;
    let supply = yard.supplies.iter().find(|s| s.name.value == said.supply.value)?;
    let straight = supply.at.map(|at| at.distance(placed.at) * 1.2);
    Some(Feed {
        supply: supply.name.value.clone(),
        voltage: said.voltage.or(supply.voltage),
        run: said.run.or(straight),
        measured: said.run.is_some(),
        conductor: supply.cable,
    })
}
