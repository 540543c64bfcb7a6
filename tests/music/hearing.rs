//! Hearing: beats of synthetic recordings, onsets and loudness in a band.

use proptest::prelude::*;
use std::f64::consts::TAU;
use yardwright::music::{
    Band, BandError, Heard, ListenError, Meter, Smoothing, Sound, listen, loudness, onsets,
};
use yardwright::units::{Beats, Hertz, Sec};

/// A silent recording.
fn silence(rate: u32, seconds: f64) -> Sound {
    Sound {
        rate,
        channels: 1,
        samples: vec![0.0; (seconds * f64::from(rate)) as usize],
        file: [].into(),
    }
}

/// Adds a tone that begins at once and dies with time constant `decay`.
fn strike(sound: &mut Sound, at: f64, pitch: f64, decay: f64, loud: f64) {
    let rate = f64::from(sound.rate);
    let start = (at * rate).round() as usize;
    for (i, sample) in sound.samples.iter_mut().skip(start).enumerate() {
        let t = i as f64 / rate;
        if t > 8.0 * decay {
            break;
        }
        *sample += (loud * libm::sin(TAU * pitch * t) * libm::exp(-t / decay)) as f32;
    }
}

/// Clicks of 1 kHz from `first` on.
fn clicks(rate: u32, seconds: f64, bpm: f64, first: f64) -> (Sound, Vec<f64>) {
    let mut sound = silence(rate, seconds);
    let times: Vec<f64> = (0..)
        .map(|i| first + f64::from(i) * 60.0 / bpm)
        .take_while(|t| *t < seconds - 0.2)
        .collect();
    times.iter().for_each(|&t| strike(&mut sound, t, 1_000.0, 0.01, 0.5));
    (sound, times)
}

/// White noise from -0.3 to 0.3 (linear congruential generator, MMIX constants).
fn noise(rate: u32, seconds: f64) -> Sound {
    let mut sound = silence(rate, seconds);
    let mut state = 1u64;
    for sample in &mut sound.samples {
        state =
            state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        *sample = 0.3 * ((state >> 40) as f32 / 8_388_608.0 - 1.0);
    }
    sound
}

/// The farthest that any of the true times is from the nearest heard one.
fn worst(truth: &[f64], heard: &[Sec]) -> f64 {
    truth
        .iter()
        .map(|t| heard.iter().map(|h| (h.0 - t).abs()).fold(f64::MAX, f64::min))
        .fold(0.0, f64::max)
}

fn hear(sound: &Sound, meter: Meter) -> Heard {
    listen(sound, meter).expect("beats in a recording that has them")
}

/// The grids are those of a published comparison: clicks of 30 s at 22,050 Hz and
/// 120, 128 and 96.5 bpm, on which librosa 0.11.0 says 117.454, 129.199 and
/// 95.703 bpm and places beats about 20 ms late.
#[test]
fn clicks_are_heard_within_twenty_milliseconds() {
    for rate in [8_000, 22_050, 44_100, 48_000] {
        for bpm in [96.5, 120.0, 128.0] {
            let (sound, truth) = clicks(rate, 30.0, bpm, 0.3);
            let heard = hear(&sound, Meter::FourFour);
            assert!(heard.steady && heard.confidence > 0.8, "{bpm}: {}", heard.confidence);
            assert!((heard.tempo.0 / bpm - 1.0).abs() < 1e-3, "{} bpm", heard.tempo.0);
            assert!(worst(&truth, &heard.beats) < 0.020);
            assert!(heard.beats.len().abs_diff(truth.len()) <= 1);
        }
    }
}

#[test]
fn a_waltz_is_counted_from_its_stressed_beat() {
    let mut sound = silence(22_050, 30.0);
    for i in 0..60 {
        let first = i % 3 == 1;
        let (pitch, loud) = if first { (90.0, 0.6) } else { (1_500.0, 0.2) };
        strike(&mut sound, 0.2 + f64::from(i) * 0.48, pitch, 0.05, loud);
        strike(&mut sound, 0.2 + f64::from(i) * 0.48, 900.0, 0.02, 0.1);
    }
    let heard = hear(&sound, Meter::ThreeFour);
    assert!((heard.tempo.0 - 125.0).abs() < 0.3, "{}", heard.tempo.0);
    assert!((heard.downbeats()[0].0 - 0.68).abs() < 0.02, "{:?}", heard.downbeats()[0]);
    let map = heard.tempo_map(None).expect("bar 1 on a beat");
    assert!((map.time_of(Beats::whole(3)).0 - 2.12).abs() < 0.02);
}

/// Kick on 1 and 3, snare on 2 and 4, hats on the eighths, louder off the beat.
fn kit(bpm: f64) -> Sound {
    let mut sound = noise(22_050, 30.0);
    sound.samples.iter_mut().for_each(|s| *s *= 0.03);
    for eighth in 0..(28.0 * bpm / 30.0) as u32 {
        let at = 0.4 + f64::from(eighth) * 30.0 / bpm;
        strike(&mut sound, at, 5_000.0, 0.02, if eighth % 2 == 1 { 0.2 } else { 0.1 });
        match eighth % 8 {
            0 | 4 => strike(&mut sound, at, 60.0, 0.08, 0.6),
            2 | 6 => strike(&mut sound, at, 400.0, 0.06, 0.4),
            _ => {}
        }
    }
    sound
}

#[test]
fn a_drum_kit_is_counted_in_quarters() {
    for bpm in [90.0, 104.0, 126.0] {
        let heard = hear(&kit(bpm), Meter::FourFour);
        assert!((heard.tempo.0 / bpm - 1.0).abs() < 2e-3, "{} for {bpm}", heard.tempo.0);
        let truth: Vec<f64> = (0..40).map(|i| 0.4 + f64::from(i) * 60.0 / bpm).collect();
        assert!(worst(&truth, &heard.beats) < 0.020);
        // Beats 1 and 3 sound the same here: bars may begin on either.
        let first = (heard.downbeats()[0].0 - 0.4) * bpm / 60.0;
        assert_eq!(first.round() as i64 % 2, 0, "{first}");
    }
}

#[test]
fn even_eighths_in_a_compound_meter_are_counted_in_threes() {
    let mut sound = silence(22_050, 30.0);
    for eighth in 0..168 {
        let at = 0.3 + f64::from(eighth) * 20.0 / 116.0;
        let loud = if eighth % 3 == 0 { 0.5 } else { 0.3 };
        strike(&mut sound, at, 660.0, 0.05, loud);
    }
    let heard = hear(&sound, Meter::SixEight);
    assert!((heard.tempo.0 - 116.0).abs() < 0.3, "{}", heard.tempo.0);
    let truth: Vec<f64> = (0..56).map(|i| 0.3 + f64::from(i) * 60.0 / 116.0).collect();
    assert!(worst(&truth, &heard.beats) < 0.020, "{}", worst(&truth, &heard.beats));
}

#[test]
fn a_slowing_tempo_is_followed() {
    let mut sound = silence(22_050, 40.0);
    let (mut truth, mut t) = (Vec::new(), 0.4);
    while t < 39.5 {
        truth.push(t);
        strike(&mut sound, t, 700.0, 0.02, 0.5);
        t += 0.5 + 0.06 * t / 40.0;
    }
    let heard = hear(&sound, Meter::FourFour);
    assert!(!heard.steady);
    assert!(worst(&truth, &heard.beats) < 0.025, "{}", worst(&truth, &heard.beats));
}

#[test]
fn noise_has_little_confidence_and_silence_no_beats() {
    let heard = listen(&noise(22_050, 20.0), Meter::FourFour);
    assert!(heard.map_or(0.0, |h| h.confidence) < 0.3);
    assert_eq!(listen(&silence(22_050, 10.0), Meter::FourFour), Err(ListenError::NoOnsets));
    assert_eq!(
        listen(&silence(22_050, 1.0), Meter::FourFour),
        Err(ListenError::TooShort { duration: Sec(1.0), least: Sec(4.0) })
    );
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(12))]
    #[test]
    fn any_reasonable_click_tempo_is_heard(bpm in 75.0..160.0f64, first in 0.05..0.8f64) {
        let (sound, truth) = clicks(11_025, 20.0, bpm, first);
        let heard = hear(&sound, Meter::FourFour);
        prop_assert!((heard.tempo.0 / bpm - 1.0).abs() < 2e-3, "{} for {bpm}", heard.tempo.0);
        prop_assert!(worst(&truth, &heard.beats) < 0.020);
    }

    #[test]
    fn short_and_odd_sounds_never_panic(
        rate in prop::sample::select(vec![1_000u32, 3_999, 8_000, 44_100, 1_000_000]),
        samples in prop::collection::vec(-1.0f32..1.0, 1..9_000),
    ) {
        let sound = Sound { rate, channels: 1, samples, file: [].into() };
        let _ = listen(&sound, Meter::SixEight);
        if let Some(band) = Band::new(Hertz(40.0), Hertz(150.0)) {
            let _ = onsets(&sound, band);
            let _ = loudness(&sound, band, Smoothing::Soft);
        }
    }
}

fn band(low: f64, high: f64) -> Band {
    Band::new(Hertz(low), Hertz(high)).expect("low below high")
}

#[test]
fn onsets_are_heard_in_their_band_only() {
    for rate in [8_000, 22_050, 44_100] {
        let mut sound = silence(rate, 12.0);
        let low: Vec<f64> = (0..18).map(|i| 0.5 + f64::from(i) * 0.61).collect();
        let high: Vec<f64> = (0..18).map(|i| 0.8 + f64::from(i) * 0.61).collect();
        for (i, &t) in low.iter().enumerate() {
            strike(&mut sound, t, 70.0 + 2.0 * i as f64, 0.08, 0.3 + 0.02 * i as f64);
        }
        high.iter().for_each(|&t| strike(&mut sound, t, 1_200.0, 0.06, 0.5));
        for (truth, band) in [(&low, band(40.0, 150.0)), (&high, band(800.0, 2_000.0))] {
            let heard = onsets(&sound, band).expect("sound in the band");
            assert_eq!(heard.len(), truth.len(), "{heard:?}");
            assert!(worst(truth, &heard) < 0.015, "{}", worst(truth, &heard));
        }
    }
}

#[test]
fn loudness_follows_the_size_of_a_tone_in_its_band() {
    let mut sound = silence(16_000, 4.0);
    for (i, sample) in sound.samples.iter_mut().enumerate() {
        let t = i as f64 / 16_000.0;
        // 1 s silence, then 700 Hz at 0.2, at 0.4, and 60 Hz hum throughout.
        let size = [0.0, 0.2, 0.4, 0.0][t as usize];
        *sample = (size * libm::sin(TAU * 700.0 * t) + 0.4 * libm::sin(TAU * 60.0 * t)) as f32;
    }
    for smoothing in [Smoothing::Quick, Smoothing::Usual, Smoothing::Soft] {
        let heard = loudness(&sound, band(200.0, 3_000.0), smoothing).expect("a tone");
        assert_eq!(heard.levels.len(), 400);
        // The root mean square of a sine is its size over the square root of two.
        assert!((heard.loudest - 0.4 / 2f64.sqrt()).abs() < 0.01, "{}", heard.loudest);
        for (t, level) in [(0.5, 0.0), (1.5, 0.5), (2.5, 1.0), (3.5, 0.0)] {
            assert!((heard.at(Sec(t)) - level).abs() < 0.02, "{t}: {}", heard.at(Sec(t)));
        }
        // Half the power is in the window when it stands in the middle of a step.
        let half_power = heard.at(Sec(1.0));
        assert!((half_power - 0.5 * 0.5f64.sqrt()).abs() < 0.06, "{half_power}");
        assert_eq!(heard.at(Sec(-0.1)), 0.0);
        assert_eq!(heard.at(Sec(99.0)), 0.0);
    }
}

#[test]
fn a_band_without_sound_is_said_to_be_so() {
    let tone = |rate| {
        let mut sound = silence(rate, 2.0);
        strike(&mut sound, 0.1, 300.0, 0.5, 0.5);
        sound
    };
    assert_eq!(
        onsets(&tone(8_000), band(5_000.0, 9_000.0)),
        Err(BandError::AboveTheSound { highest: Hertz(4_000.0) })
    );
    assert_eq!(
        loudness(&silence(8_000, 2.0), band(100.0, 200.0), Smoothing::Quick),
        Err(BandError::Silent)
    );
    assert_eq!(Band::new(Hertz(150.0), Hertz(40.0)), None);
    assert_eq!(Band::new(Hertz(f64::NAN), Hertz(40.0)), None);
}
