//! Songs and seasons read from text.

use std::sync::Arc;

use super::orchard::*;
use yardwright::model::{EndRule, FirstStart};
use yardwright::music::{Sound, WavError};
use yardwright::resolve::SoundFault;
use yardwright::units::{Beats, Sec};

fn silence(seconds: u32) -> Arc<Sound> {
    Arc::new(Sound {
        rate: 1000,
        channels: 1,
        samples: vec![0.0; 1000 * seconds as usize],
        file: [].into(),
    })
}

fn files() -> Files {
    let mut files = Files::default();
    files.sounds.insert("jig.wav".into(), Ok(silence(50)));
    files.sounds.insert(
        "cut.wav".into(),
        Err(SoundFault::Broken(WavError::Truncated { claims: Sec(40.0), has: Sec(12.5) })),
    );
    files.texts.insert("jig.beats".into(), "0.5 1\n1.0 2\n1.5 1\n2.1 2\n".into());
    files.texts.insert("bad.beats".into(), "0.5\nx\n0.4\n".into());
    files
}

fn read(text: &str) -> Stage {
    stage_with(text, &files())
}

/// Bar position: t = offset + ((bar - 1) x 4 + beat - 1) x 60 / bpm; 0.35 s,
/// 4/4, 128 bpm, bar 17: 30.35 s (arithmetic).
#[test]
fn a_written_tempo() {
    let s = read("song a { meter 4/4  tempo 128 bpm from 0.35 s  section x bar 17 for 2 bars }");
    assert_eq!(s.codes(), [""; 0]);
    let song = &s.yard.songs[0];
    assert!((song.tempo.time_of(song.sections[0].start).0 - 30.35).abs() < 1e-12);
    assert_eq!(song.sections[0].end, Beats::whole(72));
}

#[test]
fn changes_ramps_and_the_place_of_their_faults() {
    let s = read(
        "song a {\n meter 6/8\n tempo 116 bpm from 0.480 s\n tempo 126 bpm at bar 33 over 2 bars\n}",
    );
    assert_eq!(s.codes(), [""; 0]);
    let map = &s.yard.songs[0].tempo;
    assert_eq!(map.tempo_at(Beats::whole(64)).0, 116.0);
    assert_eq!(map.tempo_at(Beats::whole(68)).0, 126.0);
    let s = read(
        "song a {\n meter 4/4\n tempo 116 bpm\n tempo 126 bpm at bar 3 over 4 bars\n tempo 90 bpm at bar 5\n}",
    );
    assert_eq!(s.codes(), ["tempo-unclear `tempo 90 bpm at bar 5`"]);
    let s = read("song a { meter 4/4  tempo 116 bpm from 0 s  bar 1 at 0.7 s }");
    assert_eq!(s.codes(), ["tempo-unclear `0.7 s`"]);
}

#[test]
fn a_pick_up_has_its_own_start() {
    let s = read("song a { meter 4/4  tempo 120 bpm from 0.5 s  bar 1 at 1.0 s }");
    assert_eq!(s.codes(), [""; 0]);
    assert_eq!(s.yard.songs[0].tempo.time_of(Beats(0)), Sec(1.0));
}

#[test]
fn a_beats_file_is_followed() {
    let s = read("song a { meter 2/4  beats \"jig.beats\" }");
    assert_eq!(s.codes(), [""; 0]);
    assert!((s.yard.songs[0].tempo.time_of(Beats::whole(3)).0 - 2.1).abs() < 1e-12);
    let s = read("song a { meter 2/4  beats \"bad.beats\" }");
    assert_eq!(s.codes(), ["beats-broken `\"bad.beats\"`"]);
    assert!(s.findings[0].message.contains("line 2"), "{}", s.findings[0].message);
}

#[test]
fn a_broken_song_is_an_error_and_the_rest_goes_on() {
    let s = read(
        "song a \"cut.wav\" { meter 4/4  tempo 120 bpm  section x bar 1 for 4 bars }\nsong b \"none.wav\" { meter 4/4  tempo 120 bpm }\nshow evening with a { bar 1 all rest }",
    );
    assert_eq!(s.codes(), ["song-broken `\"cut.wav\"`", "song-missing `\"none.wav\"`"]);
    assert!(s.findings[0].message.contains("40.000 s and 12.500 s"), "{}", s.findings[0].message);
    assert_eq!(s.yard.songs.len(), 2);
    assert_eq!(s.yard.songs[0].duration, Some(Sec(8.0)), "of the last section");
    assert!(s.yard.shows[0].song.is_some());
}

#[test]
fn what_a_song_lacks_is_said() {
    assert_eq!(read("song a { meter 4/4 }").codes(), ["tempo-unclear `a`"]);
    assert_eq!(read("song a { tempo 90 bpm }").codes(), ["meter-assumed `a`"]);
    assert_eq!(read("song a { meter 5/4  tempo 90 bpm }").codes(), ["meter-unknown `5/4`"]);
    assert_eq!(
        read("song a { meter 4/4  tempo listen }").codes(),
        ["tempo-unclear `tempo listen`"]
    );
    assert_eq!(
        read("song a \"none.wav\" { meter 4/4  tempo listen }").codes(),
        ["song-missing `\"none.wav\"`"]
    );
    assert_eq!(read("show x with jog { bar 1 all rest }").codes(), ["song-unknown `jog`"]);
    assert_eq!(read("show x { bar 1 all rest }").codes(), ["no-song `bar 1`"]);
    assert_eq!(read("show x { 0:01 all rest }").codes(), [""; 0]);
}

#[test]
fn sections_stay_apart_and_inside() {
    let s = read(
        "song a \"jig.wav\" {\n meter 4/4\n tempo 120 bpm\n section x bar 1 for 8 bars\n section y bar 8 for 4 bars\n section z bar 20 for 40 bars\n section x bar 14 until bar 16\n}",
    );
    assert_eq!(s.codes(), ["sections-overlap `y`", "sections-overlap `x`", "section-outside `z`"]);
    assert!(s.findings[2].message.contains("50.0 s"), "{}", s.findings[2].message);
}

#[test]
fn a_season_is_read_and_checked() {
    let s = read(
        "song a { meter 4/4  tempo 90 bpm }\nshow evening with a { bar 1 all rest }
season autumn {
  nights 2027-10-22 to 2027-10-31 except 2027-10-25
  first dusk + 20 min
  runs 5 of evening every 25 min
  end by 21:30   on sun to thu end by 20:00
}",
    );
    assert_eq!(s.codes(), [""; 0]);
    let season = &s.yard.seasons[0];
    assert_eq!(season.nights, Some(("2027-10-22".into(), "2027-10-31".into())));
    assert_eq!(season.except, ["2027-10-25"]);
    assert_eq!(season.first, Some(FirstStart::Dusk(Sec(1200.0))));
    assert_eq!((season.runs[0].count, season.runs[0].every), (5, Some(Sec(1500.0))));
    assert_eq!(
        season.ends,
        [EndRule { days: None, by: 1290 }, EndRule { days: Some((6, 3)), by: 1200 }]
    );
}

#[test]
fn a_season_that_does_not_fit_is_said() {
    let s = read(
        "season a {\n nights 2027-10-31 to 2027-10-22\n first 21:00\n runs 2 of evening\n end by 20:00\n}",
    );
    assert_eq!(
        s.codes(),
        [
            "nights-unclear `2027-10-22`",
            "nights-unclear `runs 2 of evening`",
            "nights-unclear `season`",
            "show-unknown `evening`"
        ]
    );
    let s = read("season a { nights 2027-10-22 to 2027-10-31 except 2027-11-02 }");
    assert_eq!(s.codes(), ["nights-unclear `2027-11-02`"]);
}
