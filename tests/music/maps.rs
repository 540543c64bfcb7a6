//! Tempo maps: inverses, order, bars, lists of beats, beats files.

use proptest::prelude::*;
use yardwright::music::{
    BeatsFileFault, Meter, TempoChange, TempoError, TempoMap, first_downbeat, read_beats,
};
use yardwright::units::{Beats, Bpm, Sec};

use crate::support::text::printed;

/// Any map: steps and ramps at rising places, near-equal tempi among them.
fn any_map() -> impl Strategy<Value = TempoMap> {
    let tempo = prop_oneof![40.0..300.0f64, 119.999_999..120.000_001f64];
    let change = (1i64..200_000, tempo.clone(), prop_oneof![Just(0i64), 1i64..200_000]);
    (tempo, -5.0..60.0f64, prop::collection::vec(change, 0..8)).prop_map(|(first, at, steps)| {
        let mut place = 0;
        let changes: Vec<TempoChange> = steps
            .into_iter()
            .map(|(gap, tempo, over)| {
                place += gap;
                let change = TempoChange { at: Beats(place), tempo: Bpm(tempo), over: Beats(over) };
                place += over;
                change
            })
            .collect();
        TempoMap::new(Meter::SixEight, Bpm(first), Sec(at), &changes).expect("a map")
    })
}

proptest! {
    #[test]
    fn the_beat_at_the_time_of_a_beat_is_that_beat(map in any_map(), b in -100_000i64..2_000_000) {
        let beat = map.beat_at(map.time_of(Beats(b)));
        prop_assert!((beat - Beats(b).count()).abs() < 1e-9, "{beat} for {}", Beats(b).count());
    }

    #[test]
    fn time_runs_forward(map in any_map(), b in -100_000i64..2_000_000, step in 1i64..10_000) {
        prop_assert!(map.time_of(Beats(b + step)) > map.time_of(Beats(b)));
    }

    #[test]
    fn the_tempo_is_the_slope_of_the_map(map in any_map(), b in -100_000i64..2_000_000) {
        // Central difference over a part on each side, away from changes.
        let (before, after) = (map.tempo_at(Beats(b - 1)).0, map.tempo_at(Beats(b + 1)).0);
        let change = (after - before).abs();
        prop_assume!(change < 1.0);
        let slope = 2.0 / Beats::PARTS as f64
            / (map.time_of(Beats(b + 1)).0 - map.time_of(Beats(b - 1)).0) * 60.0;
        prop_assert!((slope - map.tempo_at(Beats(b)).0).abs() <= change + 1e-3);
    }

    #[test]
    fn bars_and_beats_round_trip(b in -20_000i64..10_000_000, meter in prop::sample::select(Meter::ALL.to_vec())) {
        let map = TempoMap::steady(meter, Bpm(100.0), Sec(0.0)).unwrap();
        let place = map.bar_beat(Beats(b));
        prop_assume!(place.bar >= 0);
        prop_assert_eq!(map.position(place.bar, place.beat), Ok(Beats(b)));
    }

    #[test]
    fn a_list_of_even_beats_is_a_steady_tempo(
        bpm in 50.0..200.0f64, first in 0.0..3.0f64, count in 2usize..60, b in -200_000i64..900_000,
    ) {
        let steady = TempoMap::steady(Meter::ThreeFour, Bpm(bpm), Sec(first)).unwrap();
        let beats: Vec<Sec> = (0..count).map(|i| steady.time_of(Beats::whole(i as i64))).collect();
        let list = TempoMap::from_beats(Meter::ThreeFour, &beats, None).unwrap();
        prop_assert!((list.time_of(Beats(b)) - steady.time_of(Beats(b))).abs() < Sec(1e-9));
    }

    #[test]
    fn no_text_panics_the_beats_reader(lines in prop::collection::vec(printed(0..=40), 1..=5)) {
        let _ = read_beats(&lines.join("\n"));
    }
}

#[test]
fn an_almost_flat_ramp_is_as_long_as_a_flat_one() {
    // Naively 60 N / (b1 - b0) ln(b1 / b0) loses all digits here.
    let change = TempoChange { at: Beats(1), tempo: Bpm(120.0 + 1e-12), over: Beats::whole(64) };
    let map = TempoMap::new(Meter::FourFour, Bpm(120.0), Sec(0.0), &[change]).unwrap();
    assert!((map.time_of(Beats::whole(65)).0 - 32.5).abs() < 1e-11);
}

#[test]
fn compound_beats_are_dotted_quarters() {
    assert_eq!(Meter::SixEight.beats_per_bar(), 2);
    assert_eq!(Meter::NineEight.eighth() * 3, Beats::whole(1));
    assert_eq!(Meter::FourFour.eighth() * 2, Beats::whole(1));
    assert_eq!(Meter::read("12/8"), Some(Meter::TwelveEight));
    assert_eq!(Meter::read("5/4"), None);
}

#[test]
fn beats_beyond_the_bar_are_refused_with_its_size() {
    let map = TempoMap::steady(Meter::SixEight, Bpm(116.0), Sec(0.48)).unwrap();
    assert_eq!(
        map.position(12, Beats::whole(4)),
        Err(TempoError::BeatBeyondBar { bar: 12, beat: Beats::whole(4), beats_per_bar: 2 })
    );
    assert!(map.position(12, Beats(Beats::whole(3).0 - 1)).is_ok());
    assert!(map.position(12, Beats(0)).is_err());
    assert_eq!(map.position(-1, Beats::whole(1)), Err(TempoError::NoSuchBar { bar: -1 }));
}

#[test]
fn a_pick_up_is_bar_nought() {
    let map = TempoMap::steady(Meter::SixEight, Bpm(116.0), Sec(0.48)).unwrap();
    let last_eighth = -Meter::SixEight.eighth();
    let place = map.bar_beat(last_eighth);
    assert_eq!(place.to_string(), "bar 0 beat 2 + 2/3");
    assert_eq!(map.position(0, place.beat), Ok(last_eighth));
    assert!((map.time_of(last_eighth).0 - (0.48 - 20.0 / 116.0)).abs() < 1e-12);
}

#[test]
fn changes_that_cannot_be_are_named_by_their_index() {
    let make =
        |changes: &[TempoChange]| TempoMap::new(Meter::FourFour, Bpm(120.0), Sec(0.0), changes);
    let at = |beat, tempo, over| TempoChange {
        at: Beats::whole(beat),
        tempo: Bpm(tempo),
        over: Beats::whole(over),
    };
    assert_eq!(
        make(&[at(12, 100.0, 0), at(8, 90.0, 8)]),
        Err(TempoError::ChangesOverlap {
            change: 0,
            at: Beats::whole(12),
            earliest: Beats::whole(16)
        })
    );
    assert!(make(&[at(8, 90.0, 8), at(16, 100.0, 0)]).is_ok());
    assert!(make(&[at(8, 120.0, 8), at(16, 100.0, 8)]).is_ok());
    assert!(make(&[at(8, 90.0, 0), at(8, 100.0, 0)]).is_err());
    assert_eq!(
        make(&[at(0, 90.0, 0)]),
        Err(TempoError::ChangeNotAfterBarOne { change: 0, at: Beats(0) })
    );
    assert!(matches!(
        make(&[at(4, 90.0, 0), at(8, f64::NAN, 0)]),
        Err(TempoError::TempoOutOfRange { change: Some(1), .. })
    ));
    assert!(TempoMap::steady(Meter::FourFour, Bpm(0.0), Sec(0.0)).is_err());
    assert!(TempoMap::steady(Meter::FourFour, Bpm(100.0), Sec(f64::INFINITY)).is_err());
}

#[test]
fn listed_beats_start_bar_one_where_the_maker_says() {
    let beats: Vec<Sec> = [1.0, 1.5, 2.0, 2.6, 3.2].map(Sec).to_vec();
    let map = TempoMap::from_beats(Meter::TwoFour, &beats, Some(Sec(1.52))).unwrap();
    assert_eq!(map.time_of(Beats(0)), Sec(1.5));
    assert_eq!(map.time_of(Beats::whole(-1)), Sec(1.0));
    assert!((map.time_of(Beats(Beats::whole(1).0 + Beats::PARTS / 2)).0 - 2.3).abs() < 1e-12);
    assert!((map.beat_at(Sec(2.3)) - 1.5).abs() < 1e-12);
    // Past the end the mean of the last four intervals, 0.55 s, goes on.
    assert!((map.time_of(Beats::whole(5)).0 - 4.3).abs() < 1e-12);
    assert_eq!(
        TempoMap::from_beats(Meter::TwoFour, &beats, Some(Sec(2.35))),
        Err(TempoError::BarOneOffBeat { at: Sec(2.35), nearest: Sec(2.6) })
    );
    assert_eq!(
        TempoMap::from_beats(Meter::TwoFour, &[Sec(1.0)], None),
        Err(TempoError::TooFewBeats { count: 1 })
    );
    assert_eq!(
        TempoMap::from_beats(Meter::TwoFour, &[Sec(1.0), Sec(1.0)], None),
        Err(TempoError::BeatsOutOfOrder { index: 1, time: Sec(1.0) })
    );
}

/// The forms are those the loaders of mir_eval 0.8.2 take: a time a line, an
/// optional second column after spaces or a tab, `#` for comments, numbers with
/// an exponent as numerical programs write them.
#[test]
fn beats_files_are_read_in_their_usual_forms() {
    let text = "# tapped by hand\n0.5\t1\n\n1.0e0 2   # off\r\n 1.5\tx\n";
    let beats = read_beats(text).unwrap();
    let times: Vec<f64> = beats.iter().map(|b| b.time.0).collect();
    assert_eq!(times, [0.5, 1.0, 1.5]);
    let numbers: Vec<Option<u32>> = beats.iter().map(|b| b.beat_in_bar).collect();
    assert_eq!(numbers, [Some(1), Some(2), None]);
    assert_eq!(first_downbeat(&beats), Some(Sec(0.5)));
    assert_eq!(first_downbeat(&beats[1..]), None);
}

#[test]
fn every_faulty_line_of_a_beats_file_is_reported() {
    let faults = read_beats("0.5\nsoon\n0.4\n1e999\n-1\n0.9\n").unwrap_err();
    let lines: Vec<usize> = faults.iter().map(|e| e.line).collect();
    assert_eq!(lines, [2, 3, 4, 5]);
    assert_eq!(faults[1].fault, BeatsFileFault::NotLater { time: Sec(0.4), previous: Sec(0.5) });
    let short = read_beats("# nothing\n0.5\n").unwrap_err();
    assert_eq!((short[0].line, &short[0].fault), (2, &BeatsFileFault::TooFewBeats { count: 1 }));
    assert_eq!(read_beats("").unwrap_err()[0].line, 1);
}
