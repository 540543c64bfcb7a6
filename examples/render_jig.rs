//! Renders the demo's music: "Lantern Jig", an original tune composed for this
//! project, and the wordless voice of its moon. Everything is synthesised here;
//! no recording of anyone is in it.
//!
//! `cargo run --release --example render_jig` writes `shows/lantern-jig.wav`
//! (22,050 Hz, 16 bit, mono) and `shows/moon-voice.wav` (16,000 Hz). Rendering
//! again gives the same bytes on every machine: the sines come from `libm` and
//! the noise from a fixed generator.
//!
//! 6/8 at 116 dotted quarters a minute, bar 1 at 0.480 s after a pick-up of two
//! eighths; verse bars 1-16, refrain 17-24, verse 25-40, refrain 41-48, a last
//! chord in bar 49. The voice's file begins 31.2 s into the song.

use std::f64::consts::{PI, TAU};
use std::io::Cursor;

/// Dotted quarters a minute.
const TEMPO: f64 = 116.0;
/// When bar 1 begins, s.
const BAR_ONE: f64 = 0.480;
/// When the song's file ends, s.
const SONG_END: f64 = 53.6;
/// When the voice's file begins in the song and how long it is, s.
const VOICE_START: f64 = 31.2;
const VOICE_LENGTH: f64 = 10.0;

const SONG_RATE: u32 = 22_050;
const VOICE_RATE: u32 = 16_000;

/// Two eighths before bar 1, the last two slots of bar 0.
const PICK_UP: &str = "....xy";

/// One bar a word, one letter an eighth. `d` to `c` run up D major from D4, `D`
/// to `C` an octave higher, `x` and `y` are A3 and B3; `-` holds, `.` rests.
const VERSE: [&str; 16] = [
    "d-fa-f", "g-bD-b", "a-faDa", "gfge-c", "d-fafa", "bgbD-b", "afdefd", "e--exy", "d-fa-f",
    "gabD-b", "aDafaf", "gfge-c", "dfafaD", "b-bDcb", "afdece", "d--dfa",
];
const REFRAIN: [&str; 8] =
    ["D-DDcb", "a-fdfa", "b-bbag", "f-aD-a", "D-EF-E", "D-ba-f", "gbgfaf", "efed--"];

/// The chord under each half bar: D, G, A or B minor (`B`).
const VERSE_CHORDS: [&str; 16] = [
    "DD", "GG", "DD", "AA", "DD", "GG", "DD", "AA", "DD", "GG", "DD", "AA", "DD", "GG", "DA", "DD",
];
const REFRAIN_CHORDS: [&str; 8] = ["DD", "DD", "GG", "DD", "DD", "BB", "GD", "AD"];

/// A syllable of the voice.
struct Syllable {
    /// When it begins, beats after bar 1 beat 1.
    beat: f64,
    /// How long it is held, beats.
    length: f64,
    /// Its note, semitones from A4.
    semitone: f64,
    /// The vowel it opens to.
    vowel: Vowel,
}

/// Centres of the first three formants, Hz.
type Vowel = [f64; 3];
/// Rounded averages for an adult voice (from memory).
const AH: Vowel = [800.0, 1200.0, 2600.0];
const OH: Vowel = [500.0, 900.0, 2500.0];
const EH: Vowel = [600.0, 1800.0, 2600.0];
/// Closed lips.
const HUM: Vowel = [260.0, 1000.0, 2200.0];

const fn sung(beat: f64, length: f64, semitone: f64, vowel: Vowel) -> Syllable {
    Syllable { beat, length, semitone, vowel }
}

/// Bars 31 to 40, over the verse's chords.
const MELODY: [Syllable; 13] = [
    sung(60.0, 1.5, 0.0, AH),
    sung(62.0, 0.8, -5.0, OH),
    sung(63.0, 0.7, -5.0, EH),
    sung(64.0, 1.4, -3.0, AH),
    sung(66.0, 0.9, -2.0, OH),
    sung(67.0, 0.7, 2.0, EH),
    sung(68.0, 2.3, 0.0, AH),
    sung(72.0, 0.6, -3.0, OH),
    sung(73.0, 0.8, 0.0, EH),
    sung(74.0, 0.9, 2.0, AH),
    sung(75.0, 0.7, -2.0, OH),
    sung(76.0, 1.5, -5.0, AH),
    sung(78.0, 0.5, -7.0, OH),
];

/// A track under construction: one channel of samples.
struct Track {
    rate: f64,
    samples: Vec<f64>,
}

impl Track {
    fn silent(rate: u32, seconds: f64) -> Self {
        let rate = f64::from(rate);
        Self { rate, samples: vec![0.0; (seconds * rate).round() as usize] }
    }

    /// The sample at a time; times before the track count as its start.
    fn index(&self, time: f64) -> usize {
        (time * self.rate).round().max(0.0) as usize
    }

    /// Adds to a sample; past the end it is lost.
    fn add(&mut self, index: usize, value: f64) {
        if let Some(sample) = self.samples.get_mut(index) {
            *sample += value;
        }
    }
}

/// Uniform noise from -1 to 1: the top bits of the 64-bit linear congruential
/// generator with Knuth's MMIX constants.
struct Noise(u64);

impl Noise {
    fn next(&mut self) -> f64 {
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 40) as f64 / f64::from(1u32 << 23) - 1.0
    }
}

/// The time of an eighth counted from bar 1, s.
fn eighth(count: f64) -> f64 {
    BAR_ONE + count * 20.0 / TEMPO
}

/// The frequency of a note, semitones from A4 = 440 Hz, equal temperament.
fn pitch(semitone: f64) -> f64 {
    440.0 * libm::exp2(semitone / 12.0)
}

/// Semitones from A4 of a letter of the tune.
fn letter(name: char) -> Option<f64> {
    let semitone = match name.to_ascii_lowercase() {
        'x' => -12.0,
        'y' => -10.0,
        'd' => -7.0,
        'e' => -5.0,
        'f' => -3.0,
        'g' => -2.0,
        'a' => 0.0,
        'b' => 2.0,
        'c' => 4.0,
        _ => return None,
    };
    Some(if name.is_ascii_uppercase() { semitone + 12.0 } else { semitone })
}

/// A smooth step from 0 to 1 while `x` runs from 0 to 1: no clicks.
fn smooth(x: f64) -> f64 {
    if x >= 1.0 { 1.0 } else { 0.5 - 0.5 * libm::cos(PI * x.max(0.0)) }
}

/// The tune as (eighth it begins at, eighths held, semitone).
fn notes(bars: &[&str], first_bar: i32) -> Vec<(f64, f64, f64)> {
    let mut notes: Vec<(f64, f64, f64)> = Vec::new();
    for (slot, name) in bars.iter().flat_map(|bar| bar.chars()).enumerate() {
        let at = f64::from(first_bar - 1) * 6.0 + slot as f64;
        match (name, letter(name), notes.last_mut()) {
            ('-', _, Some(held)) => held.1 += 1.0,
            (_, Some(semitone), _) => notes.push((at, 1.0, semitone)),
            _ => {}
        }
    }
    notes
}

/// The first `gains.len()` harmonics of a phase, weighted, by the recurrence
/// sin((n+1)p) = 2 cos p sin(np) - sin((n-1)p).
fn harmonics(phase: f64, gains: &[f64]) -> f64 {
    let (mut before, mut now) = (0.0, libm::sin(phase));
    let twice_cosine = 2.0 * libm::cos(phase);
    let mut sum = 0.0;
    for gain in gains {
        sum += gain * now;
        (before, now) = (now, twice_cosine * now - before);
    }
    sum
}

/// A bowed note: harmonics falling off like a saw tooth through a soft body, a
/// bow that needs 30 ms to bite, vibrato on what is held.
fn bow(track: &mut Track, at: f64, seconds: f64, semitone: f64, loud: f64) {
    let (start, length) = (track.index(at), track.index(seconds + 0.06));
    let base = pitch(semitone);
    let gains: Vec<f64> = (1..=(8_000.0 / base).min(12.0) as usize)
        .map(|n| n as f64)
        .map(|h| loud / (h * (1.0 + 0.12 * h)))
        .collect();
    let mut phase = 0.0;
    for i in 0..length {
        let t = i as f64 / track.rate;
        let vibrato = 0.004 * smooth((t - 0.15) / 0.2) * libm::sin(TAU * 5.6 * t);
        phase += TAU * base * (1.0 + vibrato) / track.rate;
        let envelope = smooth(t / 0.03)
            * (0.75 + 0.25 * libm::exp(-t / 0.12))
            * smooth((seconds + 0.06 - t) / 0.08);
        track.add(start + i, envelope * harmonics(phase, &gains));
    }
}

/// A plucked string: harmonics as a pluck at a fifth of its length excites them
/// (sin(n pi / 5) / n^2), the high ones dying first.
fn pluck(track: &mut Track, at: f64, semitone: f64, loud: f64) {
    let start = track.index(at);
    let base = pitch(semitone);
    for n in 1..=(6_000.0 / base).min(14.0) as usize {
        let h = n as f64;
        let decay = 1.1 / (1.0 + 0.5 * h) * (220.0 / base).min(1.5);
        let step = TAU * base * h / track.rate;
        let keep = libm::exp(-1.0 / (decay * track.rate));
        let size = loud * libm::sin(PI * h / 5.0) / (h * h);
        // A dying sine by its own recurrence, starting at zero.
        let (twice, square) = (2.0 * keep * libm::cos(step), keep * keep);
        let (mut before, mut now) = (-libm::sin(step) / keep, 0.0);
        let rings = 3.5 * decay;
        for i in 0..track.index(rings) {
            let t = i as f64 / track.rate;
            let ends = smooth(t / 0.004) * smooth((rings - t) / (0.4 * rings));
            track.add(start + i, size * now * ends);
            (before, now) = (now, twice * now - square * before);
        }
    }
}

/// A hand drum with a skin: a falling low tone and the tap of the stick.
fn drum(track: &mut Track, noise: &mut Noise, at: f64, tone: f64, loud: f64) {
    let start = track.index(at);
    let (mut phase, mut dull) = (0.0, 0.0);
    for i in 0..track.index(0.35) {
        let t = i as f64 / track.rate;
        phase += TAU * tone * (1.0 + 0.55 * libm::exp(-t / 0.02)) / track.rate;
        dull += 0.25 * (noise.next() - dull);
        let skin = libm::sin(phase) * libm::exp(-t / 0.085);
        let tap = 0.6 * dull * libm::exp(-t / 0.012);
        let ends = smooth(t / 0.003) * smooth((0.35 - t) / 0.05);
        track.add(start + i, loud * ends * (skin + tap));
    }
}

/// How loud a harmonic at `f` Hz comes through the formants.
fn throat(vowel: &Vowel, f: f64) -> f64 {
    let resonance = |centre: f64, width: f64, gain: f64| {
        let x = (f - centre) / width;
        gain / (1.0 + x * x)
    };
    resonance(vowel[0], 90.0, 1.0)
        + resonance(vowel[1], 110.0, 0.6)
        + resonance(vowel[2], 160.0, 0.25)
}

/// One syllable: from closed lips to the vowel and back.
fn sing(track: &mut Track, at: f64, syllable: &Syllable, loud: f64) {
    let seconds = syllable.length * 60.0 / TEMPO;
    let start = track.index(at);
    let base = pitch(syllable.semitone);
    let mut gains = vec![0.0; (4_000.0 / base) as usize];
    let mut phase = 0.0;
    for i in 0..track.index(seconds) {
        let t = i as f64 / track.rate;
        if i % 32 == 0 {
            let open = smooth((t - 0.03) / 0.09) * smooth((seconds - t) / 0.14);
            let mouth: Vowel =
                std::array::from_fn(|k| HUM[k] + open * (syllable.vowel[k] - HUM[k]));
            for (n, gain) in gains.iter_mut().enumerate() {
                let h = (n + 1) as f64;
                *gain = loud * (0.35 + 0.65 * open) * throat(&mouth, base * h) / libm::sqrt(h);
            }
        }
        let glide = 1.0 - 0.03 * libm::exp(-t / 0.04);
        let vibrato = 0.006 * smooth((t - 0.2) / 0.3) * libm::sin(TAU * 5.2 * t);
        phase += TAU * base * (glide + vibrato) / track.rate;
        let ends = smooth(t / 0.05) * smooth((seconds - t) / 0.1);
        track.add(start + i, ends * harmonics(phase, &gains));
    }
}

/// The whole voice on a track that begins `from` seconds into the song.
fn sing_all(track: &mut Track, from: f64, loud: f64) {
    for syllable in &MELODY {
        sing(track, eighth(3.0 * syllable.beat) - from, syllable, loud);
    }
}

/// A part of the form: first bar, tune, chords.
type Part = (i32, &'static [&'static str], &'static [&'static str]);

/// Bars 1 to 48.
const FORM: [Part; 4] = [
    (1, &VERSE, &VERSE_CHORDS),
    (17, &REFRAIN, &REFRAIN_CHORDS),
    (25, &VERSE, &VERSE_CHORDS),
    (41, &REFRAIN, &REFRAIN_CHORDS),
];

/// Three notes of a chord from the bass up, semitones from A4.
fn chord(name: char) -> [f64; 3] {
    match name {
        'G' => [-26.0, -14.0, -10.0],
        'A' => [-24.0, -17.0, -8.0],
        'B' => [-22.0, -10.0, -7.0],
        _ => [-19.0, -12.0, -7.0],
    }
}

/// The fiddle over the whole form; from the refrain on a plucked string doubles it.
fn play_tune(track: &mut Track) {
    for (at, held, semitone) in notes(&[PICK_UP], 0) {
        bow(track, eighth(at), held * 20.0 / TEMPO - 0.02, semitone, 0.17);
    }
    for (first_bar, bars, _) in FORM {
        for (at, held, semitone) in notes(bars, first_bar) {
            // The first eighth of each half bar leads, as in a danced jig.
            let weight = if at % 3.0 == 0.0 { 1.0 } else { 0.78 };
            bow(track, eighth(at), held * 20.0 / TEMPO - 0.02, semitone, 0.2 * weight);
            if first_bar > 16 {
                pluck(track, eighth(at), semitone, 0.16 * weight);
            }
        }
    }
}

/// A low string on the first beat, the chord on the second.
fn play_chords(track: &mut Track) {
    for (first_bar, _, chords) in FORM {
        for (half, name) in chords.iter().flat_map(|bar| bar.chars()).enumerate() {
            let at = eighth(f64::from(first_bar - 1) * 6.0 + half as f64 * 3.0);
            let [root, middle, top] = chord(name);
            if half % 2 == 0 {
                pluck(track, at, root, 0.42);
            } else {
                pluck(track, at, root, 0.24);
                pluck(track, at + 0.006, middle, 0.17);
                pluck(track, at + 0.012, top, 0.15);
            }
        }
    }
}

/// Low strokes on the beats, light high ones between: down, rest, up.
fn play_drum(track: &mut Track) {
    let mut noise = Noise(0x1A47_E125);
    for bar in 0..48 {
        for (slot, tone, loud) in
            [(0.0, 68.0, 0.62), (2.0, 190.0, 0.07), (3.0, 78.0, 0.4), (5.0, 190.0, 0.09)]
        {
            drum(track, &mut noise, eighth(f64::from(bar) * 6.0 + slot), tone, loud);
        }
    }
    drum(track, &mut noise, eighth(288.0), 66.0, 0.7);
}

/// The last chord, rolled upwards.
fn play_end(track: &mut Track) {
    for (i, semitone) in [-31.0, -19.0, -12.0, -7.0, -3.0, 0.0, 5.0].into_iter().enumerate() {
        pluck(track, eighth(288.0) + 0.018 * i as f64, semitone, 0.34);
    }
    for (semitone, loud) in [(-7.0, 0.12), (0.0, 0.1)] {
        bow(track, eighth(288.0), 1.9, semitone, loud);
    }
}

/// A small room: three feedback echoes behind the dry sound.
fn room(track: &mut Track, wet: f64) {
    let dry = track.samples.clone();
    for (seconds, feedback) in [(0.0297, 0.62), (0.0371, 0.58), (0.0437, 0.55)] {
        let delay = track.index(seconds);
        let (mut echo, mut dull) = (vec![0.0; dry.len()], 0.0);
        for i in delay..dry.len() {
            dull += 0.45 * (echo[i - delay] - dull);
            echo[i] = dry[i - delay] + feedback * dull;
            track.samples[i] += wet * echo[i];
        }
    }
}

/// Scales the loudest sample to `peak` and fades both ends, the last over `fade` s.
fn finish(track: &mut Track, peak: f64, fade: f64) {
    let loudest = track.samples.iter().fold(0.0f64, |most, s| most.max(s.abs()));
    let (count, rate) = (track.samples.len(), track.rate);
    for (i, sample) in track.samples.iter_mut().enumerate() {
        let ends = smooth(i as f64 / rate / 0.01) * smooth((count - 1 - i) as f64 / rate / fade);
        *sample *= ends * peak / loudest;
    }
}

/// 16-bit mono WAV.
fn to_wav(track: &Track) -> hound::Result<Vec<u8>> {
    let spec = hound::WavSpec {
        channels: 1,
        sample_rate: track.rate as u32,
        bits_per_sample: 16,
        sample_format: hound::SampleFormat::Int,
    };
    let mut bytes = Vec::new();
    let mut writer = hound::WavWriter::new(Cursor::new(&mut bytes), spec)?;
    for sample in &track.samples {
        writer.write_sample((sample * 32_767.0).round() as i16)?;
    }
    writer.finalize()?;
    Ok(bytes)
}

/// The song, as the bytes of its WAV.
pub fn song() -> hound::Result<Vec<u8>> {
    let mut track = Track::silent(SONG_RATE, SONG_END);
    play_tune(&mut track);
    play_chords(&mut track);
    play_end(&mut track);
    sing_all(&mut track, 0.0, 0.16);
    room(&mut track, 0.1);
    play_drum(&mut track);
    finish(&mut track, 0.89, 0.9);
    to_wav(&track)
}

/// The voice alone, as the bytes of its WAV.
pub fn voice() -> hound::Result<Vec<u8>> {
    let mut track = Track::silent(VOICE_RATE, VOICE_LENGTH);
    sing_all(&mut track, VOICE_START, 0.5);
    finish(&mut track, 0.8, 0.02);
    to_wav(&track)
}

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let shows = concat!(env!("CARGO_MANIFEST_DIR"), "/shows");
    std::fs::write(format!("{shows}/lantern-jig.wav"), song()?)?;
    std::fs::write(format!("{shows}/moon-voice.wav"), voice()?)?;
    Ok(())
}
