//! The shapes of a free move in time.

use crate::model::Easing;

use super::keys::{Sample, fewest};

/// Samples of one move before it is thinned out.
const SAMPLES: usize = 64;

/// How far a move has come at a share of its time, both 0 to 1.
///
/// Natural is harmonic, (1 - cos pi x)/2; smooth is the 3-4-5 polynomial,
/// 10 x^3 - 15 x^4 + 6 x^5; sharp is straight.
#[must_use]
pub fn progress(easing: Easing, x: f64) -> f64 {
    match easing {
        Easing::Natural => (1.0 - libm::cos(std::f64::consts::PI * x)) / 2.0,
        Easing::Smooth => x * x * x * (10.0 + x * (6.0 * x - 15.0)),
        Easing::Sharp => x,
    }
}

/// Largest speed of a move over its mean speed: pi/2, 15/8, 1 (peak factors of
/// the cam laws: R. L. Norton, Design of Machinery, table 8-3).
#[must_use]
pub fn peak(easing: Easing) -> f64 {
    match easing {
        Easing::Natural => std::f64::consts::FRAC_PI_2,
        Easing::Smooth => 1.875,
        Easing::Sharp => 1.0,
    }
}

/// The share of its time at which a move has come to `done`, both 0 to 1.
#[must_use]
pub fn when_done(easing: Easing, done: f64) -> f64 {
    match easing {
        Easing::Natural => libm::acos((1.0 - 2.0 * done).clamp(-1.0, 1.0)) / std::f64::consts::PI,
        Easing::Sharp => done.clamp(0.0, 1.0),
        Easing::Smooth => {
            let (mut low, mut high) = (0.0, 1.0);
            // The polynomial rises throughout, so halving finds the one place.
            for _ in 0..60 {
                let middle = (low + high) / 2.0;
                if progress(easing, middle) < done { low = middle } else { high = middle }
            }
            low
        }
    }
}

/// A move as few straight lines within `tolerance` (a share of the move).
#[must_use]
pub fn lines(easing: Easing, tolerance: f64) -> Vec<Sample> {
    if easing == Easing::Sharp || tolerance >= 0.5 {
        return vec![(0.0, 0.0), (1.0, 1.0)];
    }
    let samples: Vec<Sample> = (0..=SAMPLES)
        .map(|i| {
            let x = i as f64 / SAMPLES as f64;
            (x, progress(easing, x))
        })
        .collect();
    // Between two samples the curve leaves the straight line by at most
    // |second derivative| / 8 per squared step: pi^2/2 and 10/sqrt(3).
    let between = 5.774 / 8.0 / (SAMPLES * SAMPLES) as f64;
    let kept = fewest(&samples, (tolerance - between).max(tolerance / 2.0));
    kept.into_iter().map(|i| samples[i]).collect()
}
