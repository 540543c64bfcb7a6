//! What the yard gives a figure: wind, ground, power.

use super::cable;
use crate::geometry::YardPoint;
use crate::model::{Placed, Song, Span, Supply, Winds, Yard};
use crate::space::{self, SpacedFigure};
use crate::units::{Amp, Beats, Mm, Mm2, Ohm, Sec, Volt};

/// What a figure meets where it stands. Two figures of one kind on equal sites
/// have equal loads.
#[derive(Clone, Debug, PartialEq)]
pub struct Site {
    /// Gusts.
    pub winds: Winds,
    /// Whether both gusts were said in the yard, or one was assumed.
    pub winds_said: bool,
    /// Soil, as written.
    pub soil: Option<String>,
    /// The figure's feed; `None` where no supply is named.
    pub feed: Option<Feed>,
    /// The feeds of motors that have their own, by motor.
    pub own: Vec<(usize, Feed)>,
    /// The fastest music it may have to follow; `None` without a song.
    pub music: Option<Music>,
    /// Whether people are kept further from all of it than an arm reaches.
    pub reach: space::Reach,
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
    /// Fuse before the cable.
    pub fuse: Option<Amp>,
    /// Whether the supply gives alternating current.
    pub alternating: bool,
    /// Resistance, there and back, from the regulated source to this supply: of the
    /// cables of a chain.
    pub upstream: Ohm,
}

impl Feed {
    /// Resistance from the regulated source to the figure, there and back; `None` where
    /// length or conductor is not known.
    #[must_use]
    pub fn ohm(&self) -> Option<Ohm> {
        Some(self.upstream + cable::resistance(self.run?, self.conductor?))
    }
}

impl Site {
    /// Where a figure stands.
    #[must_use]
    pub fn of(
        yard: &Yard,
        placed: &Placed,
        (spaced, music): (&SpacedFigure, Option<Music>),
    ) -> Self {
        let said = placed.figure.feed.as_ref();
        let motors = placed.figure.actuators.iter().enumerate();
        let own = motors.filter_map(|(m, a)| {
            let name = a.supply.as_ref()?;
            // The same way as the figure's own cable, where that comes from the same place.
            let same = said.filter(|s| box_of(yard, &s.supply.value) == box_of(yard, &name.value));
            let run = same.and_then(|s| s.run);
            Some((m, feed(yard, placed.at, &name.value, run)?))
        });
        Self {
            winds: yard.winds,
            winds_said: !yard.assumed.iter().any(|n| n.settle.starts_with("wind ")),
            soil: yard.soil.as_ref().map(|s| s.value.clone()),
            feed: said.and_then(|s| {
                let found = feed(yard, placed.at, &s.supply.value, s.run)?;
                Some(Feed {
                    voltage: s.voltage.or(found.voltage),
                    fuse: s.fuse.or(found.fuse),
                    ..found
                })
            }),
            own: own.collect(),
            music,
            reach: space::reach(yard, placed, spaced),
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

    /// What feeds a motor of the figure.
    #[must_use]
    pub fn feed_of(&self, motor: usize) -> Option<&Feed> {
        let own = self.own.iter().find(|(m, _)| *m == motor);
        own.map(|(_, f)| f).or(self.feed.as_ref())
    }
}

/// A cable that nobody measured is at least so long.
const SHORTEST: Mm = Mm(1000.0);

/// A supply by name.
fn find<'a>(yard: &'a Yard, name: &str) -> Option<&'a Supply> {
    yard.supplies.iter().find(|s| s.name.value == name)
}

/// A supply and those it hangs on, up to the one that stands somewhere.
pub(crate) fn chain<'a>(yard: &'a Yard, name: &str) -> Vec<&'a Supply> {
    let mut all: Vec<&Supply> = Vec::new();
    let mut next = find(yard, name);
    while let Some(supply) = next.filter(|_| all.len() < yard.supplies.len()) {
        all.push(supply);
        next = supply.from.as_ref().and_then(|f| find(yard, &f.value));
    }
    all
}

/// The supply in whose box a supply stands: its own, where it has a place or a cable to it.
fn box_of<'a>(yard: &'a Yard, name: &str) -> Option<&'a str> {
    let chain = chain(yard, name);
    let own = chain.iter().find(|s| s.at.is_some() || s.run.is_some()).or(chain.last())?;
    Some(&own.name.value)
}

/// Whether the first of a chain only passes on what the next gives: it names no voltage,
/// or the same of the same sort of current, and holds no charge of its own.
pub(crate) fn passes_on(chain: &[&Supply]) -> bool {
    let Some((own, above)) = chain.split_first() else { return false };
    let Some(volts) = own.voltage else { return true };
    let source = above.iter().find(|s| s.voltage.is_some());
    own.battery.is_none()
        && source.is_some_and(|s| s.voltage == Some(volts) && s.alternating == own.alternating)
}

fn feed(yard: &Yard, at: YardPoint, name: &str, run: Option<Mm>) -> Option<Feed> {
    let chain = chain(yard, name);
    let supply = *chain.first()?;
    // A supply with a voltage of its own is regulated; one without, or with that of the one
    // it hangs on, passes on what comes, less what its cable costs.
    let regulated = (0..chain.len()).find(|&n| !passes_on(&chain[n..]));
    let passed = &chain[..regulated.map_or(chain.len(), |r| r + 1)];
    let lost = passed.windows(2).map(|pair| {
        let conductor = pair[1].cable.or(pair[0].cable);
        let (Some(run), Some(conductor)) = (pair[0].run, conductor) else { return Ohm(0.0) };
        cable::resistance(run, conductor)
    });
    let straight = chain.iter().position(|s| s.at.is_some()).and_then(|n| {
        // What already leads to the supply is not laid again.
        let before: Mm = chain[..n].iter().filter_map(|s| s.run).sum();
        Some((chain[n].at?.distance(at) * 1.2 - before).max(SHORTEST))
    });
    Some(Feed {
        supply: supply.name.value.clone(),
        voltage: passed.last().and_then(|s| s.voltage),
        run: run.or(straight),
        measured: run.is_some(),
        conductor: passed.iter().find_map(|s| s.cable),
        fuse: supply.fuse,
        alternating: passed.iter().any(|s| s.alternating),
        upstream: lost.sum(),
    })
}
