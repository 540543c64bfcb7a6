//! The demo's music: the committed files are what the example renders, and are
//! heard as they were composed.

use yardwright::music::wav::decode;
use yardwright::music::{Band, Meter, Smoothing, Sound, TempoMap, listen, loudness, onsets};
use yardwright::units::{Beats, Bpm, Hertz, Sec};

#[allow(dead_code)]
#[path = "../../examples/render_jig.rs"]
mod render_jig;

const SONG: &[u8] = include_bytes!("../../shows/lantern-jig.wav");
const VOICE: &[u8] = include_bytes!("../../shows/moon-voice.wav");

fn sound(bytes: &[u8]) -> Sound {
    decode(bytes).expect("a whole WAV")
}

/// The tempo the jig was composed in.
fn score() -> TempoMap {
    TempoMap::steady(Meter::SixEight, Bpm(116.0), Sec(0.480)).expect("a tempo")
}

#[test]
fn rendering_again_gives_the_committed_bytes() {
    assert!(render_jig::song().expect("a song") == SONG);
    assert!(render_jig::voice().expect("a voice") == VOICE);
}

#[test]
fn nothing_clips_or_clicks() {
    for sound in [sound(SONG), sound(VOICE)] {
        let peak = sound.samples.iter().fold(0.0f32, |most, s| most.max(s.abs()));
        assert!((0.7..0.95).contains(&peak), "{peak}");
        // A file that begins or ends away from nought clicks.
        let ends = [sound.samples[0], sound.samples[sound.samples.len() - 1]];
        assert!(ends.iter().all(|s| s.abs() < 1e-3));
    }
    assert!(SONG.len() < 2_400_000);
    assert!((sound(VOICE).duration().0 - 10.0).abs() < 0.01);
}

#[test]
fn the_jig_is_heard_in_its_tempo_and_from_its_bar_one() {
    let heard = listen(&sound(SONG), Meter::SixEight).expect("beats");
    let score = score();
    let off = |b: &Sec| score.beat_at(*b);
    assert!((heard.tempo.0 / 116.0 - 1.0).abs() < 0.01, "{}", heard.tempo.0);
    for beat in &heard.beats {
        let place = off(beat);
        assert!((place - place.round()).abs() * 60.0 / 116.0 < 0.030, "{beat:?}");
    }
    let first = off(&heard.downbeats()[0]);
    assert_eq!(first.round() as i64 % 2, 0, "bars begin on even beats: {first}");
    assert!(heard.confidence > 0.4, "{}", heard.confidence);

    // Told where bar 1 is, the map counts from there and stays with the score.
    let map = heard.tempo_map(Some(Sec(0.480))).expect("bar 1 on a beat");
    assert_eq!(map.time_of(Beats(0)), Sec(0.480));
    let end = Beats::whole(96);
    assert!((map.time_of(end).0 - score.time_of(end).0).abs() < 0.020);
    assert!(heard.tempo_map(Some(Sec(0.700))).is_err(), "0.7 s is between two beats");
}

#[test]
fn the_drum_is_heard_on_the_beats() {
    let band = Band::new(Hertz(40.0), Hertz(150.0)).expect("a band");
    let heard = onsets(&sound(SONG), band).expect("a drum");
    let score = score();
    let missed = (0..=96)
        .map(|beat| score.time_of(Beats::whole(beat)))
        .filter(|t| heard.iter().all(|h| (h.0 - t.0).abs() > 0.030))
        .count();
    assert!(missed <= 2, "{missed} of 97 beats missed");
    assert!(heard.len() <= 110, "{} onsets for 97 strokes", heard.len());
}

#[test]
fn the_moon_opens_its_mouth_on_each_syllable() {
    let band = Band::new(Hertz(200.0), Hertz(3_000.0)).expect("a band");
    let level = loudness(&sound(VOICE), band, Smoothing::Quick).expect("a voice");
    let score = score();
    let at = |beat: f64| {
        let beat = Beats::nearest(beat).expect("a beat of the song");
        level.at(score.time_of(beat) - Sec(31.2))
    };
    // Bars 31 and 33 begin on a syllable; between words the mouth is shut.
    for (silent, sung) in [(59.8, 60.7), (61.75, 60.7), (71.0, 69.0), (77.8, 76.8)] {
        assert!(
            at(silent) < 0.05 && at(sung) > 0.2,
            "{silent}: {}, {sung}: {}",
            at(silent),
            at(sung)
        );
    }
}
