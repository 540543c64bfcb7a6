//! Loudness in a band of frequencies, and the onsets in it.
//!
//! The band is cut out by fourth-order Butterworth high and low passes (two
//! second-order sections each, bilinear transform), squared and averaged over a
//! window that looks as far ahead as back, so that it does not lag.

use super::wav::Sound;
use crate::units::{Hertz, Sec};
use std::f64::consts::PI;

/// A band of frequencies, low below high, both positive.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Band {
    low: Hertz,
    high: Hertz,
}

impl Band {
    /// The band between two frequencies; `None` unless 1 Hz <= low < high.
    #[must_use]
    pub fn new(low: Hertz, high: Hertz) -> Option<Self> {
        (low.0 >= 1.0 && low.0 < high.0 && high.0.is_finite()).then_some(Self { low, high })
    }

    /// Its lower edge.
    #[must_use]
    pub const fn low(self) -> Hertz {
        self.low
    }

    /// Its upper edge.
    #[must_use]
    pub const fn high(self) -> Hertz {
        self.high
    }
}

/// Why nothing can be heard in a band.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum BandError {
    /// The sound holds no frequency of the band: its sampling rate ends below.
    AboveTheSound {
        /// The highest frequency the sound can hold.
        highest: Hertz,
    },
    /// The sound is silent in the band throughout.
    Silent,
}

impl std::fmt::Display for BandError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::AboveTheSound { highest } => {
                write!(f, "this recording holds nothing above {} Hz", highest.0)
            }
            Self::Silent => f.write_str("there is no sound between these frequencies"),
        }
    }
}
impl std::error::Error for BandError {}

/// How closely a limb follows a loudness: the width of the averaging window
/// (common practice, no source).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Smoothing {
    /// 60 ms: every syllable and its edges.
    Quick,
    /// 120 ms: syllables.
    #[default]
    Usual,
    /// 300 ms: phrases.
    Soft,
}

impl Smoothing {
    /// The width of the window.
    #[must_use]
    pub const fn window(self) -> Sec {
        match self {
            Self::Quick => Sec(0.060),
            Self::Usual => Sec(0.120),
            Self::Soft => Sec(0.300),
        }
    }
}

/// Loudness over time at a fixed rate.
#[derive(Clone, Debug, PartialEq)]
pub struct Loudness {
    /// Levels at 0, 1/100 s, 2/100 s ...: the root of the mean square in the
    /// window, as a share of the loudest; linear, 0 to 1.
    pub levels: Vec<f32>,
    /// What level 1 stands for: root mean square relative to full scale.
    pub loudest: f64,
}

impl Loudness {
    /// Levels a second.
    pub const RATE: Hertz = Hertz(100.0);

    /// The level at a time, straight between neighbours; 0 outside the sound.
    #[must_use]
    pub fn at(&self, t: Sec) -> f64 {
        let place = t.0 * Self::RATE.0;
        let last = self.levels.len() as f64 - 1.0;
        if !(place >= 0.0 && place <= last) {
            return 0.0;
        }
        let i = place as usize;
        let here = f64::from(self.levels[i]);
        let next = self.levels.get(i + 1).map_or(here, |&v| f64::from(v));
        here + (next - here) * (place - i as f64)
    }
}

/// The loudness of a band, for limbs that follow it.
///
/// # Errors
/// Where the band lies above the sound or is silent.
pub fn loudness(sound: &Sound, band: Band, smoothing: Smoothing) -> Result<Loudness, BandError> {
    let levels = envelope(sound, band, Loudness::RATE, smoothing.window())?;
    let loudest = levels.iter().copied().fold(0.0, f64::max);
    Ok(Loudness { levels: levels.iter().map(|v| (v / loudest) as f32).collect(), loudest })
}

/// Envelope values a second while looking for onsets.
const ONSET_RATE: f64 = 200.0;
/// The least rise of an onset in the natural logarithm of the level: 5 dB.
const RISE: f64 = 0.576;
/// The least distance of two onsets, in envelope values.
const APART: usize = 20;
/// The quietest onset as a share of the loudest level: 20 dB below it.
const QUIETEST: f64 = 0.1;

/// The times at which something begins in a band, ascending.
///
/// An onset is a local maximum of the rise of the logarithmic level that stands
/// out from the mean rise around it (after S. Dixon, Onset detection revisited,
/// DAFx-06, 2006), rises by at least 5 dB and comes within 20 dB of the loudest;
/// two are at least 100 ms apart, the clearer one stays. The thresholds are common practice, no source.
///
/// # Errors
/// Where the band lies above the sound or is silent.
pub fn onsets(sound: &Sound, band: Band) -> Result<Vec<Sec>, BandError> {
    // A window below one period of the lowest tone would hear its single waves.
    let window = Sec((1.0 / band.low.0).clamp(0.015, 0.1));
    let levels = envelope(sound, band, Hertz(ONSET_RATE), window)?;
    let reach = ((window.0 * ONSET_RATE / 2.0).round() as usize).max(2);
    let rise = rises(&levels, reach);
    let loudest = levels.iter().copied().fold(0.0, f64::max);
    let mut found: Vec<usize> = Vec::new();
    for i in 0..rise.len() {
        let peak = levels[i..(i + 12).min(levels.len())].iter().copied().fold(0.0, f64::max);
        let stands_out = rise[i] >= RISE && rise[i] >= 1.5 * mean_around(&rise, i, 20);
        if !(stands_out && peak >= QUIETEST * loudest && is_peak(&rise, i, 6)) {
            continue;
        }
        match found.last_mut() {
            Some(last) if i - *last < APART => {
                if rise[i] > rise[*last] {
                    *last = i;
                }
            }
            _ => found.push(i),
        }
    }
    Ok(found.into_iter().map(|i| Sec((i as f64 + crest(&rise, i)) / ONSET_RATE)).collect())
}

/// How much the logarithm of the level rises across `reach` values on each side;
/// what is 40 dB below the loudest counts as silence.
fn rises(levels: &[f64], reach: usize) -> Vec<f64> {
    let floor = 0.01 * levels.iter().copied().fold(0.0, f64::max);
    let logs: Vec<f64> = levels.iter().map(|v| libm::log(v + floor)).collect();
    let silence = libm::log(floor);
    (0..logs.len())
        .map(|i| {
            let before = i.checked_sub(reach).map_or(silence, |j| logs[j]);
            let after = logs[(i + reach).min(logs.len() - 1)];
            (after - before).max(0.0)
        })
        .collect()
}

/// The mean of the values up to `reach` away.
fn mean_around(values: &[f64], i: usize, reach: usize) -> f64 {
    let part = &values[i.saturating_sub(reach)..(i + reach + 1).min(values.len())];
    part.iter().sum::<f64>() / part.len() as f64
}

/// Whether a value is the first of the largest up to `reach` away.
fn is_peak(values: &[f64], i: usize, reach: usize) -> bool {
    let start = i.saturating_sub(reach);
    let end = (i + reach + 1).min(values.len());
    values[start..i].iter().all(|&v| v < values[i])
        && values[i..end].iter().all(|&v| v <= values[i])
}

/// Where the parabola through a peak and its neighbours is highest, in values
/// from the peak, -0.5 to 0.5.
pub(super) fn crest(values: &[f64], i: usize) -> f64 {
    let (Some(before), Some(after)) = (i.checked_sub(1).map(|j| values[j]), values.get(i + 1))
    else {
        return 0.0;
    };
    let bend = before - 2.0 * values[i] + after;
    if bend < 0.0 { (0.5 * (before - after) / bend).clamp(-0.5, 0.5) } else { 0.0 }
}

/// Root mean square levels of a band, `rate` a second; the loudest is not zero.
pub(super) fn envelope(
    sound: &Sound,
    band: Band,
    rate: Hertz,
    window: Sec,
) -> Result<Vec<f64>, BandError> {
    let highest = Hertz(f64::from(sound.rate) / 2.0);
    if band.low.0 >= 0.9 * highest.0 {
        return Err(BandError::AboveTheSound { highest });
    }
    let thinned = (band.high.0 < 8_000.0).then(|| thin(sound)).flatten();
    let sound = thinned.as_ref().unwrap_or(sound);
    let sample_rate = f64::from(sound.rate);
    let sections = sections(band, sample_rate);
    let delay = group_delay(&sections, libm::sqrt(band.low.0 * band.high.0), sample_rate);
    let sums = running_squares(sound, &sections);
    let half = (0.5 * window.0 * sample_rate).max(1.0);
    let count = (sound.duration().0 * rate.0).ceil() as usize;
    let levels: Vec<f64> = (0..count)
        .map(|i| {
            let centre = (i as f64 / rate.0 + delay) * sample_rate;
            let edge = |at: f64| (at.max(0.0) as usize).min(sums.len() - 1);
            let (from, to) = (edge(centre - half), edge(centre + half));
            libm::sqrt((sums[to] - sums[from]).max(0.0) / (2.0 * half))
        })
        .collect();
    // A hundredth of the smallest 16-bit step: rounding, not sound.
    let silent = levels.iter().all(|&v| v < 3e-7);
    if silent { Err(BandError::Silent) } else { Ok(levels) }
}

/// The sum of the squares of the filtered samples before each one.
fn running_squares(sound: &Sound, sections: &[Section]) -> Vec<f64> {
    let mut state = vec![[0.0f64; 2]; sections.len()];
    let mut sum = 0.0;
    let mut sums = Vec::with_capacity(sound.samples.len() + 1);
    sums.push(0.0);
    for &sample in &sound.samples {
        let mut x = f64::from(sample);
        for (section, z) in sections.iter().zip(&mut state) {
            x = section.step(x, z);
        }
        // Below this a dying filter would slow down in subnormal numbers.
        sum += if x.abs() < 1e-12 { 0.0 } else { x * x };
        sums.push(sum);
    }
    sums
}

/// A second-order section, b0 b1 b2 over 1 a1 a2.
struct Section {
    b: [f64; 3],
    a: [f64; 2],
}

impl Section {
    /// One sample through the section (transposed direct form II).
    fn step(&self, x: f64, z: &mut [f64; 2]) -> f64 {
        let y = self.b[0] * x + z[0] + 1e-30;
        z[0] = self.b[1] * x - self.a[0] * y + z[1];
        z[1] = self.b[2] * x - self.a[1] * y;
        y
    }

    /// The phase of its response at `w` radians a sample.
    fn phase(&self, w: f64) -> f64 {
        let angle = |c: [f64; 3]| {
            let (re, im) = (
                c[0] + c[1] * libm::cos(w) + c[2] * libm::cos(2.0 * w),
                -c[1] * libm::sin(w) - c[2] * libm::sin(2.0 * w),
            );
            libm::atan2(im, re)
        };
        angle(self.b) - angle([1.0, self.a[0], self.a[1]])
    }
}

/// The sections that cut the band out; an edge that the sound does not reach
/// needs none.
fn sections(band: Band, sample_rate: f64) -> Vec<Section> {
    // Quality of the two pole pairs of a fourth-order Butterworth filter:
    // 1 / (2 sin(pi/8)) and 1 / (2 sin(3 pi/8)).
    let pairs = [1.0, 3.0].map(|k| 1.0 / (2.0 * libm::sin(k * PI / 8.0)));
    let mut sections = Vec::with_capacity(4);
    for q in pairs {
        sections.push(section(band.low.0, q, sample_rate, true));
    }
    if band.high.0 < 0.45 * sample_rate {
        for q in pairs {
            sections.push(section(band.high.0, q, sample_rate, false));
        }
    }
    sections
}

/// A second-order high or low pass by the bilinear transform.
fn section(edge: f64, q: f64, sample_rate: f64, high_pass: bool) -> Section {
    let k = libm::tan(PI * edge / sample_rate);
    let norm = 1.0 / (1.0 + k / q + k * k);
    let a = [2.0 * (k * k - 1.0) * norm, (1.0 - k / q + k * k) * norm];
    let b = if high_pass {
        [norm, -2.0 * norm, norm]
    } else {
        [k * k * norm, 2.0 * k * k * norm, k * k * norm]
    };
    Section { b, a }
}

/// How late the middle of the band comes out of the sections, s.
fn group_delay(sections: &[Section], middle: f64, sample_rate: f64) -> f64 {
    let w = 2.0 * PI * (middle / sample_rate).min(0.49);
    let step = 1e-4 * w;
    let slope: f64 = sections
        .iter()
        .map(|s| {
            let change = s.phase(w + step) - s.phase(w - step);
            // The arc tangent may jump by a whole turn between the two.
            change - 2.0 * PI * (change / (2.0 * PI)).round()
        })
        .sum();
    -slope / (2.0 * step) / sample_rate
}

/// The sound at a half, a third ... of its rate, where that still is 20 kHz or
/// more and divides evenly; what would fold back is filtered off first (a windowed sinc).
pub(super) fn thin(sound: &Sound) -> Option<Sound> {
    let factor = (2..=sound.rate / 20_000).rev().find(|f| sound.rate.is_multiple_of(*f))?;
    let step = factor as usize;
    let reach = 8 * step;
    let taps: Vec<f32> =
        (0..=2 * reach).map(|i| tap(i as f64 - reach as f64, step, reach)).collect();
    let samples = (0..sound.samples.len().div_ceil(step))
        .map(|i| {
            let centre = i * step;
            match centre.checked_sub(reach).and_then(|s| sound.samples.get(s..centre + reach + 1)) {
                Some(part) => dot(part, &taps),
                None => (0..taps.len())
                    .filter_map(|j| {
                        Some(sound.samples.get((centre + j).checked_sub(reach)?)? * taps[j])
                    })
                    .sum(),
            }
        })
        .collect();
    let file = std::sync::Arc::default();
    Some(Sound { rate: sound.rate / factor, channels: sound.channels, samples, file })
}

/// One tap of the low pass, `x` samples from its middle, with a Hann window.
fn tap(x: f64, step: usize, reach: usize) -> f32 {
    let cut = 0.9 / step as f64;
    let sinc = if x == 0.0 { 1.0 } else { libm::sin(PI * cut * x) / (PI * cut * x) };
    (cut * sinc * (0.5 + 0.5 * libm::cos(PI * x / (reach as f64 + 1.0)))) as f32
}

/// The sum of products in eight fixed lanes, so that it may run in parallel
/// within a core and still add in one order everywhere.
fn dot(a: &[f32], b: &[f32]) -> f32 {
    let mut lanes = [0.0f32; 8];
    let (a_rest, b_rest) = (a.chunks_exact(8), b.chunks_exact(8));
    let rest: f32 = a_rest.remainder().iter().zip(b_rest.remainder()).map(|(x, y)| x * y).sum();
    for (x, y) in a_rest.zip(b_rest) {
        for k in 0..8 {
            lanes[k] += x[k] * y[k];
        }
    }
    lanes.iter().sum::<f32>() + rest
}
