//! One figure on stage: what every part of the timing needs to know of it.

use crate::finding::Finding;
use crate::fit::{Fitted, FittedFigure};
use crate::loads::MotorPoint;
use crate::model::{Figure, Placed, Source};
use crate::resolve::moment::Clock;
use crate::units::{Beats, Sec};

use super::{Accent, Channel, LimbMotion, carried};

/// A figure, its mechanisms and the show's clock.
#[derive(Clone, Copy, Debug)]
pub struct Stage<'a> {
    /// Musical arithmetic.
    pub clock: &'a Clock<'a>,
    /// The show's length, after the start signal.
    pub duration: Sec,
    /// The figure where it stands.
    pub placed: &'a Placed,
    /// Its mechanisms.
    pub fitted: &'a FittedFigure,
    /// Its motors with their loads, in the figure's order; empty where none were computed.
    pub motors: &'a [MotorPoint],
    /// The figure as the carrier of the limb that is played sees it, where its motor
    /// rides.
    pub seen: Option<&'a Figure>,
}

/// What a figure does and what is wrong with it.
#[derive(Debug, Default)]
pub struct Played {
    /// Commands.
    pub channels: Vec<Channel>,
    /// Motion.
    pub limbs: Vec<LimbMotion>,
    /// Accents.
    pub accents: Vec<Accent>,
    /// Findings.
    pub findings: Vec<Finding>,
    /// When its last motion ends.
    pub end: Sec,
}

impl<'a> Stage<'a> {
    /// The figure.
    #[must_use]
    pub fn figure(&self) -> &'a Figure {
        self.seen.unwrap_or(&self.placed.figure)
    }

    /// Its name in the yard.
    #[must_use]
    pub fn name(&self) -> &'a str {
        &self.placed.name.value
    }

    /// A limb's name.
    #[must_use]
    pub fn limb_name(&self, limb: usize) -> &'a str {
        &self.figure().limbs[limb].name.value
    }

    /// A limb's mechanism; `None` where it is not known or an error stands
    /// against it.
    #[must_use]
    pub fn mechanism(&self, limb: usize) -> Option<&'a Fitted> {
        self.fitted.limbs.get(limb)?.mechanism.as_ref().filter(|m| !m.faulty())
    }

    /// Whether a limb's own angles can be told: nothing about it was reported, and
    /// it does not ride on another limb with a motor of its own, where two motions
    /// would add up, unless that is computed.
    #[must_use]
    pub fn plays(&self, index: usize) -> bool {
        let limb = &self.figure().limbs[index];
        let pushed = || matches!(limb.drive.as_ref().map(|d| d.source), Some(Source::Limb(_)));
        !limb.poisoned && (limb.carrier.is_none() || pushed() || carried::plays(self.fitted, index))
    }

    /// A time as musicians say it, or in seconds without a song.
    #[must_use]
    pub fn when(&self, t: Sec) -> String {
        // To a hundredth of a beat: nobody counts closer.
        let beat = self.clock.beat_of(t).map(|b| (b * 100.0).round() / 100.0);
        match self.clock.song.zip(beat.and_then(Beats::nearest)) {
            Some((song, beat)) => {
                let bar = song.tempo.bar_beat(beat);
                let beat = (bar.beat.count() * 100.0).round() / 100.0;
                format!("bar {} beat {beat}", bar.bar)
            }
            None => format!("{:.3} s", t.0),
        }
    }
}
