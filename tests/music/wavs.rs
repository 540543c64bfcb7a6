//! WAV decoding: every width round trips, and no bad file hurts.

use proptest::prelude::*;
use std::io::Cursor;
use yardwright::music::WavError;
use yardwright::music::wav::{decode, probe};
use yardwright::units::Sec;

/// A WAV as hound writes it.
fn written<S: hound::Sample + Copy>(
    rate: u32,
    channels: u16,
    bits: u16,
    sample_format: hound::SampleFormat,
    samples: &[S],
) -> Vec<u8> {
    let spec = hound::WavSpec { channels, sample_rate: rate, bits_per_sample: bits, sample_format };
    let mut bytes = Vec::new();
    let mut writer = hound::WavWriter::new(Cursor::new(&mut bytes), spec).expect("a writer");
    for &sample in samples {
        writer.write_sample(sample).expect("room in memory");
    }
    writer.finalize().expect("room in memory");
    bytes
}

/// A WAV of integer samples.
fn wav(rate: u32, channels: u16, bits: u16, samples: &[i32]) -> Vec<u8> {
    written(rate, channels, bits, hound::SampleFormat::Int, samples)
}

/// A mono WAV of floating-point samples.
fn float_wav(rate: u32, samples: &[f32]) -> Vec<u8> {
    written(rate, 1, 32, hound::SampleFormat::Float, samples)
}

proptest! {
    #[test]
    fn whole_numbers_round_trip(
        bits in prop::sample::select(vec![8u16, 16, 24, 32]),
        channels in 1u16..9,
        frames in 1usize..40,
        rate in 4_000u32..192_000,
        seed in prop::collection::vec(any::<i32>(), 320),
    ) {
        let samples: Vec<i32> =
            seed.iter().take(frames * usize::from(channels)).map(|s| s >> (32 - bits)).collect();
        let file = wav(rate, channels, bits, &samples);
        let sound = decode(&file).unwrap();
        let full = libm::ldexp(1.0, i32::from(bits) - 1);
        let expected: Vec<f32> = samples
            .chunks(usize::from(channels))
            .map(|c| (c.iter().map(|&s| f64::from(s) / full).sum::<f64>() / c.len() as f64) as f32)
            .collect();
        prop_assert_eq!(sound.samples.len(), expected.len());
        for (a, b) in sound.samples.iter().zip(&expected) {
            prop_assert!((a - b).abs() <= 1e-6);
        }
        let format = probe(&file).unwrap();
        prop_assert_eq!((format.frames, format.bits), (frames as u64, bits));
        prop_assert_eq!(format.duration(), sound.duration());
    }

    #[test]
    fn floats_round_trip_exactly(samples in prop::collection::vec(-1.0f32..1.0, 1..200)) {
        let file = float_wav(22_050, &samples);
        prop_assert_eq!(decode(&file).unwrap().samples, samples);
    }

    #[test]
    fn a_cut_file_is_always_refused(cut in 0usize..444) {
        let file = wav(8_000, 1, 16, &[100; 200]);
        prop_assert_eq!(file.len(), 444);
        prop_assert!(decode(&file[..cut]).is_err());
    }

    #[test]
    fn bent_headers_never_panic(at in 0usize..60, value in any::<u8>(), also in 0usize..60, other in any::<u8>()) {
        let mut file = wav(8_000, 2, 24, &[7; 200]);
        file[at] = value;
        file[also] = other;
        if let Ok(sound) = decode(&file) {
            prop_assert!(sound.samples.len() <= file.len());
            prop_assert_eq!(probe(&file).unwrap().frames, sound.samples.len() as u64);
        }
    }

    #[test]
    fn noise_never_panics(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        prop_assert!(decode(&bytes).is_err());
    }
}

#[test]
fn bad_files_say_what_they_are() {
    assert_eq!(decode(&[]), Err(WavError::Empty));
    assert_eq!(decode(b"figure bear {"), Err(WavError::NotAWav { looks_like: None }));
    assert_eq!(
        decode(b"ID3\x04\0\0\0\0\0\0\0\0\0"),
        Err(WavError::NotAWav { looks_like: Some("an MP3") })
    );
    assert_eq!(decode(b"RIFF\x24\0\0\0WA"), Err(WavError::HeaderCut { has: 10 }));
    assert_eq!(decode(b"RIFF\x24\0\0\0AVI LIST"), Err(WavError::NotAWav { looks_like: None }));
    assert_eq!(decode(&wav(8_000, 1, 16, &[])), Err(WavError::NoSamples));
}

#[test]
fn a_cut_song_says_how_much_is_there() {
    let file = wav(8_000, 1, 16, &[5; 16_000]);
    let half = &file[..44 + 16_000];
    assert_eq!(decode(half), Err(WavError::Truncated { claims: Sec(2.0), has: Sec(1.0) }));
    assert_eq!(probe(half), Err(WavError::Truncated { claims: Sec(2.0), has: Sec(1.0) }));
    let words = decode(half).unwrap_err().to_string();
    assert!(words.contains("2.000 s") && words.contains("1.000 s"), "{words}");
}

#[test]
fn four_gigabytes_by_the_header_are_refused_at_once() {
    let mut file = wav(8_000, 1, 16, &[5; 8_000]);
    file[40..44].copy_from_slice(&u32::MAX.to_le_bytes());
    let expected =
        WavError::HeaderTooLarge { claims: u64::from(u32::MAX), has: 16_000, lasts: Sec(1.0) };
    assert_eq!(decode(&file), Err(expected));
}

#[test]
fn chunks_of_other_programs_are_stepped_over_with_and_without_pads() {
    let plain = wav(8_000, 1, 16, &[1, 2, 3]);
    for junk in [&b"LIST\x03\0\0\0abc\0"[..], b"LIST\x03\0\0\0abc", b"junk\0\0\0\0"] {
        let mut file = plain[..36].to_vec();
        file.extend(junk);
        file.extend(&plain[36..]);
        assert_eq!(decode(&file).unwrap(), decode(&plain).unwrap());
    }
    let mut without_format = plain[..12].to_vec();
    without_format.extend(&plain[36..]);
    assert_eq!(decode(&without_format), Err(WavError::FormatMissing));
}

#[test]
fn a_long_sound_is_whole() {
    let samples: Vec<i32> = (0..100_001).map(|i| (i * 7 % 60_001) - 30_000).collect();
    let sound = decode(&wav(44_100, 1, 16, &samples)).unwrap();
    assert_eq!(sound.samples.len(), samples.len());
    assert!(sound.samples.iter().zip(&samples).all(|(a, &b)| *a == b as f32 / 32_768.0));
}

#[test]
fn a_sample_that_is_no_number_is_named() {
    let file = float_wav(8_000, &[0.0, 0.5, f32::NAN, 0.0]);
    assert_eq!(decode(&file), Err(WavError::BadSample { at: Sec(2.0 / 8_000.0) }));
}
