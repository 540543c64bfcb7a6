//! Onset strength: how much begins to sound at each moment, over all pitches.
//!
//! Spectral flux, the sum over frequency bands of the rise of the magnitude
//! (S. Dixon, Onset detection revisited, DAFx-06, 2006), on logarithmic bands and
//! against the frame two before (S. Böck and G. Widmer, Maximum filter vibrato
//! suppression for onset detection, DAFx-13, 2013).

use super::band::thin;
use super::fft::{Fourier, magnitudes_of_two};
use super::wav::Sound;

/// Onset strength at even moments.
pub(super) struct Strength {
    /// Values, not negative; their root mean square is 1 unless all are 0.
    pub values: Vec<f64>,
    /// Values a second.
    pub rate: f64,
    /// The time of the first value, s.
    pub start: f64,
}

/// Values a second wanted; the true rate divides the sampling rate.
const RATE: f64 = 200.0;
/// Frames back that a frame is compared with.
const LAG: usize = 2;
/// Bands an octave.
const BANDS_PER_OCTAVE: f64 = 3.0;

impl Strength {
    /// The strength of a sound; `None` where it is shorter than a few frames.
    pub fn of(sound: &Sound) -> Option<Self> {
        let thinned = thin(sound);
        let sound = thinned.as_ref().unwrap_or(sound);
        let sample_rate = f64::from(sound.rate);
        let hop = (sample_rate / RATE).round().max(1.0) as usize;
        // About 23 ms: short enough to place a beat, long enough for low strings.
        let size = ((0.018 * sample_rate) as usize).next_power_of_two().max(16);
        let frames = sound.samples.len().checked_sub(size)? / hop + 1;
        if frames <= 4 * LAG {
            return None;
        }
        let levels = band_levels(sound, size, hop, frames);
        let bands = levels.len() / frames;
        let mut values = vec![0.0; frames];
        for n in LAG..frames {
            let now = &levels[n * bands..(n + 1) * bands];
            let before = &levels[(n - LAG) * bands..(n - LAG + 1) * bands];
            values[n] =
                now.iter().zip(before).map(|(a, b)| f64::from((a - b).max(0.0))).sum::<f64>();
        }
        let rate = sample_rate / hop as f64;
        // A rise between frames n - 2 and n lies between their middles.
        let start = size as f64 / 2.0 / sample_rate - LAG as f64 / 2.0 / rate;
        let mut strength = Self { values, rate, start };
        strength.flatten();
        Some(strength)
    }

    /// The time of a value, which may lie between two.
    pub fn time(&self, index: f64) -> f64 {
        self.start + index / self.rate
    }

    /// Smooths over 25 ms, takes away what is usual within half a second on each
    /// side, and scales.
    fn flatten(&mut self) {
        let smoothed = smoothed(&self.values);
        let reach = (0.5 * self.rate) as usize;
        let mut sums = vec![0.0];
        for v in &smoothed {
            sums.push(sums[sums.len() - 1] + v);
        }
        for i in 0..smoothed.len() {
            let (from, to) = (i.saturating_sub(reach), (i + reach + 1).min(smoothed.len()));
            let mean = (sums[to] - sums[from]) / (to - from) as f64;
            self.values[i] = (smoothed[i] - mean).max(0.0);
        }
        let square = self.values.iter().map(|v| v * v).sum::<f64>() / self.values.len() as f64;
        if square > 0.0 {
            let scale = 1.0 / square.sqrt();
            self.values.iter_mut().for_each(|v| *v *= scale);
        }
    }
}

/// The binomial average over five values.
fn smoothed(values: &[f64]) -> Vec<f64> {
    let at = |i: usize, j: usize| (i + j).checked_sub(2).and_then(|k| values.get(k)).copied();
    (0..values.len())
        .map(|i| {
            [1.0, 4.0, 6.0, 4.0, 1.0]
                .iter()
                .enumerate()
                .map(|(j, w)| w * at(i, j).unwrap_or(0.0))
                .sum::<f64>()
                / 16.0
        })
        .collect()
}

/// The band of each bin, if it lies between 50 Hz and the top.
fn bands_of_bins(bins: usize, hertz_per_bin: f64) -> Vec<Option<usize>> {
    let mut last = None;
    let mut bands = 0;
    (0..bins)
        .map(|bin| {
            let f = bin as f64 * hertz_per_bin;
            if f < 50.0 || bin == 0 {
                return None;
            }
            let step = (BANDS_PER_OCTAVE * libm::log2(f / 50.0)).floor();
            if last != Some(step) {
                last = Some(step);
                bands += 1;
            }
            Some(bands - 1)
        })
        .collect()
}

/// The logarithmic level of every band in every frame, frame by frame.
fn band_levels(sound: &Sound, size: usize, hop: usize, frames: usize) -> Vec<f32> {
    let fourier = Fourier::new(size);
    let bins = size / 2 + 1;
    let band_of = bands_of_bins(bins, f64::from(sound.rate) / size as f64);
    let bands = band_of.iter().flatten().max().map_or(0, |b| b + 1);
    let window: Vec<f32> = (0..size)
        .map(|i| (0.5 - 0.5 * libm::cos(std::f64::consts::TAU * i as f64 / size as f64)) as f32)
        .collect();
    // 1 is a tone as loud as the whole sound.
    let gain = 1.0 / (loudness_of(sound).max(1e-6) * size as f32 / 4.0);
    let (mut re, mut im) = (vec![0.0; size], vec![0.0; size]);
    let (mut a, mut b) = (vec![0.0; bins], vec![0.0; bins]);
    let mut levels = vec![0.0f32; frames * bands];
    for n in (0..frames).step_by(2) {
        load(&mut re, &sound.samples[n * hop..], &window);
        match sound.samples.get((n + 1) * hop..) {
            Some(next) if n + 1 < frames => load(&mut im, next, &window),
            _ => im.fill(0.0),
        }
        fourier.transform(&mut re, &mut im);
        magnitudes_of_two(&re, &im, &mut a, &mut b);
        for (magnitudes, frame) in [(&a, n), (&b, n + 1)] {
            if let Some(out) = levels.get_mut(frame * bands..(frame + 1) * bands) {
                gather(magnitudes, &band_of, gain, out);
            }
        }
    }
    levels
}

/// The root mean square of the samples.
fn loudness_of(sound: &Sound) -> f32 {
    let sum: f64 = sound.samples.iter().map(|&s| f64::from(s) * f64::from(s)).sum();
    (sum / sound.samples.len().max(1) as f64).sqrt() as f32
}

/// One windowed frame.
fn load(into: &mut [f32], samples: &[f32], window: &[f32]) {
    for ((out, s), w) in into.iter_mut().zip(samples).zip(window) {
        *out = s * w;
    }
}

/// Sums magnitudes into bands and takes ln(1 + 10 x).
fn gather(magnitudes: &[f32], band_of: &[Option<usize>], gain: f32, out: &mut [f32]) {
    for (m, band) in magnitudes.iter().zip(band_of) {
        if let Some(band) = band {
            out[*band] += m * gain;
        }
    }
    out.iter_mut().for_each(|v| *v = libm::log1pf(10.0 * *v));
}
