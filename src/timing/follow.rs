//! Loudness that limbs follow, computed once for all limbs that follow it.

use std::collections::BTreeMap;

use crate::model::{Action, Song};
use crate::music::{Band, Loudness, Smoothing, loudness};
use crate::units::Sec;

/// Samples of a followed curve a second.
pub const RATE: f64 = 50.0;

/// A loudness with its start in the song.
#[derive(Clone, Debug)]
pub struct Curve {
    at: Sec,
    loudness: Loudness,
}

impl Curve {
    /// The level at a time of the song, 0 to 1.
    #[must_use]
    pub fn at(&self, song_time: Sec) -> f64 {
        self.loudness.at(song_time - self.at)
    }
}

/// What is followed: stem, band in bits, smoothing.
type Key = (String, u64, u64, u8);

fn key(action: &Action) -> Option<Key> {
    let Action::Follow { source, band, smoothing, .. } = action else { return None };
    let smoothing = match smoothing {
        Smoothing::Quick => 0,
        Smoothing::Usual => 1,
        Smoothing::Soft => 2,
    };
    Some((source.value.clone(), band.0.0.to_bits(), band.1.0.to_bits(), smoothing))
}

/// The loudness of everything that is followed in a show.
#[derive(Clone, Debug, Default)]
pub struct Heard {
    curves: BTreeMap<Key, Option<Curve>>,
}

impl Heard {
    /// Listens to what an action follows, if it follows anything and nobody did
    /// before. Stems that were not read leave no curve: they are reported.
    pub fn listen(&mut self, song: Option<&Song>, action: &Action) {
        let (Some(key), Action::Follow { source, band, smoothing, .. }) = (key(action), action)
        else {
            return;
        };
        self.curves.entry(key).or_insert_with(|| {
            let stem = song?.stems.iter().find(|s| s.name.value == source.value)?;
            let band = Band::new(band.0, band.1)?;
            let loudness = loudness(stem.sound.as_deref()?, band, *smoothing).ok()?;
            Some(Curve { at: stem.at, loudness })
        });
    }

    /// The curve of an action.
    #[must_use]
    pub fn get(&self, action: &Action) -> Option<&Curve> {
        self.curves.get(&key(action)?)?.as_ref()
    }
}
