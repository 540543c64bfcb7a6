//! Finding the beats of a recording.
//!
//! A first, simple tracker after D. Ellis, Beat tracking by dynamic programming,
//! J. New Music Research 36(1), 2007: the autocorrelation of the onset strength
//! picks one tempo; dynamic programming then picks the beats that are strong and
//! evenly spaced. It follows small changes of tempo (about a tenth) and no
//! larger ones, and it needs the meter from the maker. What is doubtful is said
//! in `confidence`; nothing is random.

use super::band::{Band, crest, envelope};
use super::strength::Strength;
use super::wav::Sound;
use super::{Meter, TempoError, TempoMap};
use crate::units::{Bpm, Hertz, Sec};

/// What was heard.
#[derive(Clone, Debug, PartialEq)]
pub struct Heard {
    /// The tempo over the whole recording: of the straight line through the beats.
    pub tempo: Bpm,
    /// The meter it was listened to in.
    pub meter: Meter,
    /// Beat times, ascending, two or more.
    pub beats: Vec<Sec>,
    /// The index in `beats` of the first one taken for beat 1 of a bar.
    pub first_downbeat: usize,
    /// Whether the beats lie on a straight line to within 15 ms (root mean
    /// square); if so `beats` are that line's.
    pub steady: bool,
    /// 0 for no pulse at all, 1 for a ticking clock; below 0.3 look and listen
    /// before trusting it.
    pub confidence: f64,
    /// How much louder the bars begin than the other beats, 0 to 1; near 0 the
    /// place of bar 1 is a guess and should be written in the song.
    pub downbeat_confidence: f64,
}

impl Heard {
    /// The beats taken for beat 1 of a bar.
    #[must_use]
    pub fn downbeats(&self) -> Vec<Sec> {
        let bar = self.meter.beats_per_bar() as usize;
        self.beats.iter().skip(self.first_downbeat).step_by(bar).copied().collect()
    }

    /// The tempo map. Bar 1 is where the maker says, else at the first downbeat;
    /// a steady tempo then runs from exactly there, an unsteady one through the
    /// beats as heard, counted from the nearest.
    ///
    /// # Errors
    /// Where bar 1 is more than a quarter of a beat away from every beat.
    pub fn tempo_map(&self, bar_one: Option<Sec>) -> Result<TempoMap, TempoError> {
        let bar_one = bar_one.or_else(|| self.beats.get(self.first_downbeat).copied());
        let map = TempoMap::from_beats(self.meter, &self.beats, bar_one)?;
        match bar_one {
            Some(at) if self.steady => TempoMap::steady(self.meter, self.tempo, at),
            _ => Ok(map),
        }
    }
}

/// Why no beats were found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ListenError {
    /// Too short to tell a tempo from.
    TooShort {
        /// How long it is.
        duration: Sec,
        /// The shortest that is listened to.
        least: Sec,
    },
    /// Nothing in it begins: silence or an unbroken tone.
    NoOnsets,
    /// Onsets, but no two beats.
    NoPulse,
}

impl std::fmt::Display for ListenError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::TooShort { duration, least } => write!(
                f,
                "{:.1} s are too short to hear a tempo in; {} s are the least",
                duration.0, least.0
            ),
            Self::NoOnsets => f.write_str("nothing begins in this recording: no beats were heard"),
            Self::NoPulse => f.write_str("no steady beat was heard; write the tempo in the song"),
        }
    }
}
impl std::error::Error for ListenError {}

/// The shortest recording listened to.
const LEAST: Sec = Sec(4.0);
/// The slowest and fastest beat looked for, bpm.
const SLOWEST: f64 = 40.0;
const FASTEST: f64 = 220.0;
/// Where people hear a beat most readily, bpm, and how wide around it, octaves
/// (common practice, no source).
const LIKELY: f64 = 120.0;
const SPREAD: f64 = 0.7;
/// How dearly an uneven beat is paid for (Ellis's tightness).
const TIGHTNESS: f64 = 100.0;
/// Deviation from a straight line below which the tempo is called steady, s.
const STEADY: f64 = 0.015;

/// Finds the beats of a recording in a meter.
///
/// # Errors
/// Where it is too short or nothing in it beats.
pub fn listen(sound: &Sound, meter: Meter) -> Result<Heard, ListenError> {
    let duration = sound.duration();
    let too_short = ListenError::TooShort { duration, least: LEAST };
    if duration < LEAST {
        return Err(too_short);
    }
    let strength = Strength::of(sound).ok_or(too_short)?;
    if strength.values.iter().all(|&v| v == 0.0) {
        return Err(ListenError::NoOnsets);
    }
    let echo = Echo::of(&strength);
    let period = echo.refined(echo.beat_period(meter));
    let path = trimmed(beat_path(&strength.values, period), &strength.values);
    if path.len() < 2 {
        return Err(ListenError::NoPulse);
    }
    let confidence = echo.at(period).clamp(0.0, 1.0) * contrast(&strength.values, &path);
    let raw: Vec<f64> =
        path.iter().map(|&i| strength.time(i as f64 + crest(&strength.values, i))).collect();
    let line = Line::through(&raw);
    let steady = line.error <= STEADY;
    let beats: Vec<Sec> = (0..raw.len())
        .map(|i| if steady { line.start + line.step * i as f64 } else { raw[i] })
        .map(Sec)
        .collect();
    let accents = accents(sound, &strength, &beats);
    let (first_downbeat, downbeat_confidence) = downbeat(&accents, meter.beats_per_bar() as usize);
    Ok(Heard {
        tempo: Bpm(60.0 / line.step),
        meter,
        beats,
        first_downbeat,
        steady,
        confidence: libm::sqrt(confidence),
        downbeat_confidence,
    })
}

/// The autocorrelation of the onset strength, 1 at lag 0.
struct Echo {
    values: Vec<f64>,
    /// Lags a second.
    rate: f64,
}

impl Echo {
    /// For lags up to eight slow beats, or half the recording.
    fn of(strength: &Strength) -> Self {
        let mean = strength.values.iter().sum::<f64>() / strength.values.len() as f64;
        let centred: Vec<f64> = strength.values.iter().map(|v| v - mean).collect();
        let longest = (8.0 * 60.0 / SLOWEST * strength.rate) as usize;
        let lags = longest.min(centred.len() / 2);
        let full = product(&centred, &centred) / centred.len() as f64;
        let values = (0..=lags)
            .map(|lag| {
                let pairs = centred.len() - lag;
                product(&centred[..pairs], &centred[lag..]) / pairs as f64 / full
            })
            .collect();
        Self { values, rate: strength.rate }
    }

    /// The value at a lag between two, straight; 0 beyond the end.
    fn at(&self, lag: f64) -> f64 {
        let i = lag as usize;
        match (self.values.get(i), self.values.get(i + 1)) {
            (Some(a), Some(b)) => a + (b - a) * (lag - i as f64),
            _ => 0.0,
        }
    }

    /// The most likely lag of one beat: its own echo counts; echoes at two beats,
    /// the bar and the meter's own division support it, the other division
    /// speaks against it.
    fn beat_period(&self, meter: Meter) -> f64 {
        // Thirds tell a jig from a march; halves also sound like a faster beat.
        let (own, other, weight) = match meter.eighths_per_beat() {
            3 => (3.0, 2.0, 0.5),
            _ => (2.0, 3.0, 0.2),
        };
        let bar = meter.beats_per_bar() as f64;
        let score = |bpm: f64| {
            let lag = 60.0 / bpm * self.rate;
            let octaves = libm::log2(bpm / LIKELY) / SPREAD;
            let support = 1.0
                + 0.5 * (self.at(2.0 * lag) + self.at(bar * lag))
                + weight * (self.at(lag / own) - self.at(lag / other));
            libm::exp(-0.5 * octaves * octaves) * self.at(lag).max(0.0) * support
        };
        let steps = (200.0 * libm::log(FASTEST / SLOWEST)) as usize;
        let mut best = (f64::MIN, LIKELY);
        for i in 0..=steps {
            let bpm = SLOWEST * libm::exp(i as f64 / 200.0);
            let value = score(bpm);
            if value > best.0 {
                best = (value, bpm);
            }
        }
        60.0 / best.1 * self.rate
    }

    /// The lag sharpened on the echoes of one, two, four and eight beats, as far
    /// as they stay clear.
    fn refined(&self, lag: f64) -> f64 {
        let mut period = lag;
        let clear = 0.5 * self.at(lag);
        for beats in [1.0, 2.0, 4.0, 8.0] {
            let centre = beats * period;
            let reach = 0.01 * centre + 2.0;
            let (from, to) = ((centre - reach).max(1.0) as usize, (centre + reach) as usize);
            if to + 1 >= self.values.len() {
                break;
            }
            let peak = (from..=to)
                .fold(from, |best, i| if self.values[i] > self.values[best] { i } else { best });
            if self.values[peak] < clear {
                break;
            }
            period = (peak as f64 + crest(&self.values, peak)) / beats;
        }
        period
    }
}

/// The sum of products in eight fixed lanes: one order on every machine.
fn product(a: &[f64], b: &[f64]) -> f64 {
    let mut lanes = [0.0f64; 8];
    let (x, y) = (a.chunks_exact(8), b.chunks_exact(8));
    let rest: f64 = x.remainder().iter().zip(y.remainder()).map(|(x, y)| x * y).sum();
    for (x, y) in x.zip(y) {
        for k in 0..8 {
            lanes[k] += x[k] * y[k];
        }
    }
    lanes.iter().sum::<f64>() + rest
}

/// The indices of the best evenly spaced strong moments (Ellis 2007): each
/// moment's score is its strength plus the best earlier score half a period to
/// two periods back, less tightness x ln(interval / period)^2.
fn beat_path(strength: &[f64], period: f64) -> Vec<usize> {
    let nearest = (0.5 * period).max(1.0) as usize;
    let farthest = (2.0 * period) as usize;
    let prices: Vec<f64> = (nearest..=farthest)
        .map(|d| {
            let stretch = libm::log(d as f64 / period);
            TIGHTNESS * stretch * stretch
        })
        .collect();
    let mut scores = vec![0.0f64; strength.len()];
    let mut before: Vec<Option<usize>> = vec![None; strength.len()];
    let mut end = 0;
    for i in 0..strength.len() {
        let mut best = (0.0, None);
        for (k, price) in prices.iter().enumerate() {
            let Some(j) = i.checked_sub(nearest + k) else { break };
            let score = scores[j] - price;
            if score > best.0 {
                best = (score, Some(j));
            }
        }
        scores[i] = strength[i] + best.0;
        before[i] = best.1;
        if scores[i] > scores[end] {
            end = i;
        }
    }
    let mut path = vec![end];
    while let Some(earlier) = before[path[path.len() - 1]] {
        path.push(earlier);
    }
    path.reverse();
    path
}

/// The beats from the first to the last that has an onset: a tenth of the mean
/// strength of the beats. Counting on into silence is the tempo map's business.
fn trimmed(path: Vec<usize>, strength: &[f64]) -> Vec<usize> {
    let mean = path.iter().map(|&i| strength[i]).sum::<f64>() / path.len() as f64;
    let heard = |&i: &usize| strength[i] >= 0.1 * mean;
    let first = path.iter().position(heard).unwrap_or(0);
    let last = path.iter().rposition(heard).unwrap_or(0);
    path[first..=last].to_vec()
}

/// How far the strength at the beats stands above the mean, 0 to 1.
fn contrast(strength: &[f64], path: &[usize]) -> f64 {
    let mean = strength.iter().sum::<f64>() / strength.len() as f64;
    let at_beats = path.iter().map(|&i| strength[i]).sum::<f64>() / path.len() as f64;
    ((at_beats - mean) / (at_beats + mean)).clamp(0.0, 1.0)
}

/// The straight line through beat times.
struct Line {
    start: f64,
    step: f64,
    /// Root mean square distance of the beats from it, s.
    error: f64,
}

impl Line {
    /// Least squares over the beat's number.
    fn through(times: &[f64]) -> Self {
        let n = times.len() as f64;
        let middle = (n - 1.0) / 2.0;
        let mean = times.iter().sum::<f64>() / n;
        let (mut cross, mut square) = (0.0, 0.0);
        for (i, t) in times.iter().enumerate() {
            let x = i as f64 - middle;
            cross += x * (t - mean);
            square += x * x;
        }
        let step = cross / square;
        let start = mean - step * middle;
        let squares: f64 =
            times.iter().enumerate().map(|(i, t)| t - start - step * i as f64).map(|e| e * e).sum();
        Self { start, step, error: libm::sqrt(squares / n) }
    }
}

/// How much each beat is stressed: its onset strength and its low notes, each
/// as a share of the mean.
fn accents(sound: &Sound, strength: &Strength, beats: &[Sec]) -> Vec<f64> {
    let near = |values: &[f64], rate: f64, from: f64, to: f64| {
        let at = |t: f64| ((t * rate).max(0.0) as usize).min(values.len());
        values[at(from).min(at(to))..at(to)].iter().copied().fold(0.0, f64::max)
    };
    let strong: Vec<f64> = beats
        .iter()
        .map(|b| b.0 - strength.start)
        .map(|t| near(&strength.values, strength.rate, t - 0.03, t + 0.04))
        .collect();
    let low = Band::new(Hertz(30.0), Hertz(160.0))
        .and_then(|band| envelope(sound, band, Hertz(200.0), Sec(0.03)).ok())
        .unwrap_or_default();
    let deep: Vec<f64> = beats.iter().map(|b| near(&low, 200.0, b.0 - 0.02, b.0 + 0.1)).collect();
    let (strong, deep) = (shares(strong), shares(deep));
    strong.iter().zip(&deep).map(|(a, b)| a + b).collect()
}

/// Values as shares of their mean; all 0 stay 0.
fn shares(values: Vec<f64>) -> Vec<f64> {
    let mean = values.iter().sum::<f64>() / values.len().max(1) as f64;
    if mean > 0.0 { values.iter().map(|v| v / mean).collect() } else { values }
}

/// The first beat of the most stressed place in the bar, and by how much it
/// leads the next one.
fn downbeat(accents: &[f64], bar: usize) -> (usize, f64) {
    let mean = |phase: usize| {
        let stressed: Vec<f64> = accents.iter().skip(phase).step_by(bar).copied().collect();
        stressed.iter().sum::<f64>() / stressed.len().max(1) as f64
    };
    let means: Vec<f64> = (0..bar.min(accents.len())).map(mean).collect();
    let mut best = 0;
    for (phase, &value) in means.iter().enumerate() {
        if value > means[best] {
            best = phase;
        }
    }
    let next = means
        .iter()
        .enumerate()
        .filter(|&(phase, _)| phase != best)
        .fold(0.0, |most: f64, (_, &v)| most.max(v));
    let lead = if means[best] > 0.0 { (means[best] - next) / means[best] } else { 0.0 };
    (best, lead.clamp(0.0, 1.0))
}
