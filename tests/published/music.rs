//! WAV bytes and tempo arithmetic against published layouts and formulas.

use yardwright::music::wav::{decode, probe};
use yardwright::music::{Coding, Meter, TempoChange, TempoMap, WavError};
use yardwright::units::{Beats, Bpm, Sec};

/// Bytes from hexadecimal.
fn bytes(hex: &str) -> Vec<u8> {
    let digit = |b: u8| (b as char).to_digit(16).expect("a hexadecimal digit") as u8;
    hex.as_bytes().chunks(2).map(|p| digit(p[0]) << 4 | digit(p[1])).collect()
}

fn near(value: f64, published: f64, tolerance: f64) {
    assert!((value - published).abs() <= tolerance, "{value} is not {published} +- {tolerance}");
}

/// Source: RIFF/WAVE PCM layout as written by the `wave` module of Python's
/// standard library (stereo, 44,100 Hz, 16 bit, frames (0, 1) (-1, 2)
/// (-32768, 32767) (256, -256)).
#[test]
fn sixteen_bit_stereo_bytes_of_the_python_wave_module() {
    let file = bytes(
        "524946463400000057415645666d7420100000000100020044ac000010b10200\
         04001000646174611000000000000100ffff02000080ff7f000100ff",
    );
    assert_eq!(file.len(), 60);
    let format = probe(&file).unwrap();
    assert_eq!((format.rate, format.channels, format.bits), (44_100, 2, 16));
    assert_eq!((format.frames, format.coding), (4, Coding::Integer));
    let sound = decode(&file).unwrap();
    let frames = [(0, 1), (-1, 2), (-32768, 32767), (256, -256)];
    let expected = frames.map(|(l, r)| ((l + r) as f32) / 65_536.0);
    assert_eq!(sound.samples, expected);
    near(sound.duration().0, 4.0 / 44_100.0, 1e-15);
}

/// Source: RIFF rule (data must end on an even boundary, the pad is not counted)
/// in WAVEFRMT.TXT at cd.textfiles.com; these are the 47 bytes Python's `wave`
/// module writes, which omits the pad; libsndfile reads 3 frames from them.
#[test]
fn an_odd_sound_chunk_is_read_with_and_without_its_pad() {
    let mut file = bytes(
        "524946462700000057415645666d74201000000001000100401f0000401f0000\
         01000800646174610300000080817f",
    );
    let expected = [0.0, 1.0 / 128.0, -1.0 / 128.0];
    assert_eq!(file.len(), 47);
    assert_eq!(decode(&file).unwrap().samples, expected);
    file.push(0);
    assert_eq!(decode(&file).unwrap().samples, expected);
}

/// Source: WAVEFORMATEXTENSIBLE, learn.microsoft.com (mmreg.h), cbSize 22 and
/// fmt size 40; the bytes are libsndfile's (python-soundfile 0.14.0) for two
/// 24-bit stereo frames of silence at 48 kHz, with a `fact` chunk before the data.
#[test]
fn extensible_bytes_of_libsndfile() {
    let file = bytes(
        "524946465400000057415645666d742028000000feff020080bb000000650400\
         0600180016001800030000000100000000001000800000aa00389b7166616374\
         0400000002000000646174610c000000000000000000000000000000",
    );
    assert_eq!(file.len(), 92);
    let format = probe(&file).unwrap();
    assert_eq!((format.rate, format.channels, format.bits, format.frames), (48_000, 2, 24, 2));
    assert_eq!(decode(&file).unwrap().samples, [0.0, 0.0]);
}

/// Source: what python-soundfile 0.14.0 (libsndfile) writes for float files: fmt
/// of 16 bytes with tag 3, `fact` at byte 36, `PEAK` at 48, `data` at 72. Rule:
/// walk the chunks by their sizes.
#[test]
fn float_file_with_fact_and_peak_chunks() {
    let mut file = b"RIFF\0\0\0\0WAVEfmt \x10\0\0\0\x03\0\x01\0".to_vec();
    file.extend(8_000u32.to_le_bytes());
    file.extend(32_000u32.to_le_bytes());
    file.extend([4, 0, 32, 0]);
    assert_eq!(file.len(), 36);
    file.extend(b"fact\x04\0\0\0\x02\0\0\0");
    file.extend(b"PEAK\x10\0\0\0");
    file.extend([1, 0, 0, 0, 9, 9, 9, 9, 0, 0, 0x80, 0x3f, 0, 0, 0, 0]);
    assert_eq!(file.len(), 72);
    file.extend(b"data\x08\0\0\0");
    file.extend(0.5f32.to_le_bytes());
    file.extend((-1.0f32).to_le_bytes());
    assert_eq!(decode(&file).unwrap().samples, [0.5, -1.0]);
}

/// Source: WAVEFORMATEX in Microsoft's mmreg.h (also the OS/2 Multimedia
/// reference, WAVEFormatChunk): fmt bodies are 16, 18 or 40 bytes, tags 1, 3 and
/// 0xFFFE, 8 bit is unsigned around 128.
#[test]
fn fmt_chunks_of_eighteen_bytes_and_other_tags() {
    let file = |tag: u16, bits: u16, data: &[u8]| {
        let align = bits / 8;
        let mut file = b"RIFF\0\0\0\0WAVEfmt \x12\0\0\0".to_vec();
        file.extend(tag.to_le_bytes());
        file.extend([1, 0]);
        file.extend(8_000u32.to_le_bytes());
        file.extend((8_000 * u32::from(align)).to_le_bytes());
        file.extend(align.to_le_bytes());
        file.extend(bits.to_le_bytes());
        file.extend([0, 0]);
        file.extend(b"data");
        file.extend((data.len() as u32).to_le_bytes());
        file.extend(data);
        file
    };
    assert_eq!(decode(&file(1, 8, &[0, 128, 255])).unwrap().samples, [-1.0, 0.0, 127.0 / 128.0]);
    let wide = decode(&file(1, 32, &[0, 0, 0, 0xC0])).unwrap();
    assert_eq!(wide.samples, [-0.5]);
    assert_eq!(
        decode(&file(2, 8, &[0])),
        Err(WavError::UnsupportedCoding { tag: 2 }),
        "tag 2 is Microsoft ADPCM"
    );
    assert_eq!(
        decode(&file(3, 64, &[0; 8])),
        Err(WavError::UnsupportedBits { bits: 64, coding: Coding::Float })
    );
}

fn steady(bpm: f64, meter: Meter, bar_one: f64) -> TempoMap {
    TempoMap::steady(meter, Bpm(bpm), Sec(bar_one)).expect("a map")
}

/// Source: the definition of bpm, 60 / bpm seconds a beat (from memory; the
/// arithmetic was repeated by hand).
#[test]
fn beat_periods() {
    for (bpm, period) in
        [(60.0, 1.0), (96.5, 0.621_761_7), (120.0, 0.5), (128.0, 0.468_75), (140.0, 0.428_571_4)]
    {
        near(steady(bpm, Meter::FourFour, 0.0).time_of(Beats::whole(1)).0, period, 1e-6);
    }
}

/// Source: the set-tempo rule of Standard MIDI Files, total = sum of 60 n / bpm,
/// for 8 beats at 120, 8 at 90 and 4 at 150 bpm.
#[test]
fn piecewise_constant_tempo() {
    let step = |at, bpm| TempoChange { at: Beats::whole(at), tempo: Bpm(bpm), over: Beats(0) };
    let changes = [step(16, 150.0), step(8, 90.0)];
    let map = TempoMap::new(Meter::FourFour, Bpm(120.0), Sec(0.0), &changes).unwrap();
    near(map.time_of(Beats::whole(20)).0, 10.933_333_3, 1e-6);
    assert_eq!(map.tempo_at(Beats::whole(8)), Bpm(90.0));
}

/// Source: t = offset + ((bar - 1) 4 + (beat - 1)) 60 / bpm: bar 17 beat 1 of a
/// 4/4 at 128 bpm from 0.35 s is at 30.35 s.
#[test]
fn bar_position() {
    let map = steady(128.0, Meter::FourFour, 0.35);
    let bar_17 = map.position(17, Beats::whole(1)).unwrap();
    near(map.time_of(bar_17).0, 30.35, 1e-12);
}

fn ramp(b0: f64, b1: f64, beats: i64) -> TempoMap {
    // One beat at the first tempo comes first: a change lies after bar 1 beat 1.
    let change = TempoChange { at: Beats::whole(1), tempo: Bpm(b1), over: Beats::whole(beats) };
    TempoMap::new(Meter::FourFour, Bpm(b0), Sec(-60.0 / b0), &[change]).expect("a map")
}

/// Source: the integral of 60 / bpm over beats for a tempo linear in beats,
/// T = 60 N / (b1 - b0) ln(b1 / b0); values confirmed by numerical quadrature
/// (SciPy) to 1e-9.
#[test]
fn ramps_linear_in_beats() {
    for (b0, b1, beats, published) in [
        (60.0, 120.0, 16, 11.090_354_889),
        (120.0, 60.0, 16, 11.090_354_889),
        (100.0, 140.0, 32, 16.150_667_358),
        (90.0, 180.0, 4, 1.848_392_481),
        (120.0, 121.0, 8, 3.983_425_351),
    ] {
        let map = ramp(b0, b1, beats);
        near(map.time_of(Beats::whole(1 + beats)).0, published, 1e-8);
        near(
            map.tempo_at(Beats(Beats::whole(1).0 + Beats::whole(beats).0 / 2)).0,
            (b0 + b1) / 2.0,
            1e-9,
        );
    }
}

/// Source: the logarithm of the same formula at beats 1, 4, 8, 12 and 16 of a
/// ramp from 60 to 120 bpm over 16 beats. A ramp linear in time would put them at
/// 0.957064 ... 10.666667 s; that this map does not is checked too.
#[test]
fn beats_inside_a_ramp() {
    let map = ramp(60.0, 120.0, 16);
    for (beat, published, linear_in_time) in [
        (1, 0.969_994, 0.957_064),
        (4, 3.570_297, 3.444_007),
        (8, 6.487_442, 6.198_814),
        (12, 8.953_853, 8.562_94),
        (16, 11.090_355, 10.666_667),
    ] {
        let time = map.time_of(Beats::whole(1 + beat));
        near(time.0, published, 1e-6);
        near(map.beat_at(Sec(published)), 1.0 + beat as f64, 3e-6);
        assert!((time.0 - linear_in_time).abs() > 0.01);
    }
}

/// Source: length reported by mido 1.3.3 for MIDI files that step through the
/// 60 to 120 bpm ramp of 16 beats with 1, 4 and 24 tempo events a beat (the tempo
/// at the middle of each step, rounded to 1 us).
#[test]
fn a_staircase_of_steps_nears_the_ramp() {
    for (per_beat, published) in [(1, 11.088_405), (4, 11.090_232_5), (24, 11.090_351_5)] {
        let steps = 16 * per_beat;
        let tempo = |i: i64| {
            let bpm = 60.0 + 60.0 * (i as f64 + 0.5) / steps as f64;
            let micros = (60e6 / bpm).round();
            Bpm(60e6 / micros)
        };
        let changes: Vec<TempoChange> = (1..steps)
            .map(|i| TempoChange {
                at: Beats(i * Beats::PARTS / per_beat),
                tempo: tempo(i),
                over: Beats(0),
            })
            .collect();
        let map = TempoMap::new(Meter::FourFour, tempo(0), Sec(0.0), &changes).unwrap();
        near(map.time_of(Beats::whole(16)).0, published, 1e-5);
    }
}
