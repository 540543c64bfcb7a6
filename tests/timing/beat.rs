//! Motors on the beat: alternation, reach, locks, delays.

use super::orchard::*;
use yardwright::finding::Severity;
use yardwright::timing::{ChannelKind, Cycles, Path, Performance, Reach, Verdict, sound_delay};
use yardwright::units::{Bpm, Rpm, Sec};

/// Beat of the jig, s.
const BEAT: f64 = 60.0 / 116.0;

fn jig_with(cues: &str) -> Stage {
    stage(&format!(
        "{JIG}group drummers {{ bear.left-arm bear.right-arm }}\nshow evening with jig {{\n{cues}\n}}"
    ))
}

/// The same with another motor on the bear.
fn jig_on(motor: &str, cues: &str) -> Stage {
    let text = format!(
        "{JIG}group drummers {{ bear.left-arm bear.right-arm }}\nshow evening with jig {{\n{cues}\n}}"
    );
    stage_with(&orchard(motor, &text), &Files::default())
}

fn accents<'a>(p: &'a Performance, limb: &'a str) -> Vec<&'a yardwright::timing::Accent> {
    p.accents.iter().filter(|a| a.limb == limb).collect()
}

/// The bear's arms on one crank pin hit by turns, one of them every bar of 6/8:
/// derived from the figure's mirror symmetry (the left hits at crank 0, the right
/// at 180 deg).
#[test]
fn the_bear_hits_by_turns_every_bar() {
    let mut s = jig_with("bar 3 drummers hit for 8 bars");
    let p = s.play();
    let (left, right) = (accents(&p, "left-arm"), accents(&p, "right-arm"));
    assert_eq!((left.len(), right.len()), (4, 4));
    for (i, a) in left.iter().enumerate() {
        let bar = 3.0 + 2.0 * i as f64;
        assert!((a.wanted.0 - (0.48 + (bar - 1.0) * 2.0 * BEAT)).abs() < 1e-9);
        assert_eq!(a.nominal, Sec(0.0));
    }
    for (l, r) in left.iter().zip(&right) {
        // A park motor runs a tenth fast, so the right comes half a run, not half
        // a cycle, after the start: its nominal error says by how much.
        let start = l.wanted.0 - 0.9 * 4.0 * BEAT;
        assert!((r.wanted + r.nominal - Sec(start + 0.45 * 4.0 * BEAT)).abs().0 < 1e-3, "{r:?}");
    }
    let motion = &p.figures[0].limbs;
    for a in &p.accents {
        let m = motion.iter().find(|m| m.limb == a.limb).unwrap();
        let end = if a.limb == "left-arm" { 165.0 } else { 15.0 };
        let angle = m.at(a.wanted + a.nominal, s.mechanism("bear", &a.limb)).unwrap();
        assert!((angle.value() - end).abs() < 0.1, "{} at {}", a.limb, angle.value());
    }
}

/// With one pulse a turn the shaft runs evenly and the arms alternate strictly.
#[test]
fn an_index_contact_keeps_the_alternation_strict() {
    let mut s = jig_on(&WIPER.replace("park", "index"), "bar 3 drummers hit for 8 bars");
    let p = s.play();
    for a in accents(&p, "right-arm") {
        assert!(a.nominal.abs().0 < 1e-3, "the right arm is {} s off the bar between", a.nominal.0);
        // Twice 0.5 % of a cycle of 2.07 s.
        assert!((a.worst - a.nominal).abs().0 < 0.0208);
    }
    let channel = &p.figures[0].channels[0];
    assert_eq!(channel.kind, ChannelKind::Speed);
    assert_eq!(channel.keys.len(), 3, "off, one speed, off: {:?}", channel.keys);
    assert!((channel.keys[1].value - 29.0).abs() < 1e-9);
    assert!(channel.error < 1e-9);
    assert_eq!(s.codes(), [""; 0]);
}

/// The heron's wings beat together within 1.4 deg (worked out independently with
/// NumPy for these sizes).
#[test]
fn the_herons_wings_beat_together() {
    let mut s = jig_with("bar 5 heron.left-wing flap for 4 bars");
    let p = s.play();
    let heron = p.figures.iter().find(|f| f.figure == "heron").unwrap();
    assert_eq!(heron.channels[0].limbs, ["left-wing", "right-wing"]);
    let (l, r) = (&heron.limbs[0], &heron.limbs[1]);
    let (start, end) = (0.48 + 8.0 * BEAT, 0.48 + 16.0 * BEAT);
    let (mut worst, mut low, mut high) = (0.0_f64, 400.0_f64, 0.0_f64);
    for i in 0..=2000 {
        let t = Sec(start + (end - start) * f64::from(i) / 2000.0);
        let a = l.at(t, s.mechanism("heron", "left-wing")).unwrap().value();
        let b = r.at(t, s.mechanism("heron", "right-wing")).unwrap().value();
        let mirrored = (180.0 - b).rem_euclid(360.0);
        worst = worst.max((a.rem_euclid(360.0) - mirrored).abs());
        (low, high) = (low.min(a.rem_euclid(360.0)), high.max(a.rem_euclid(360.0)));
    }
    assert!(worst < 1.45, "wings {worst} deg apart");
    assert!((low - 154.6).abs() < 0.1 && (high - 205.4).abs() < 0.1, "{low} to {high}");
}

/// The slow wiper against the beat at 116 bpm: 1 and 2 beats are out of reach, 3
/// beats (38.7 rpm) fail on a slow unit in the cold, 4 beats (29 rpm) hold always.
/// Speeds from 60/bpm arithmetic; free speed 45, spread and cold a tenth each.
#[test]
fn the_cycles_a_wiper_keeps() {
    let s = jig_with("");
    let reach = Reach::of(&s.yard.figures[0].figure.actuators[0].motor).unwrap();
    let at = |beats: f64| reach.verdict(Rpm(116.0 / beats));
    assert_eq!(at(1.0), Verdict::TooFast);
    assert_eq!(at(2.0), Verdict::TooFast);
    assert_eq!(at(3.0), Verdict::TooFastCold);
    assert_eq!(at(4.0), Verdict::Kept);
    assert_eq!(at(8.0), Verdict::Kept);
    assert_eq!(at(9.0), Verdict::TooSlow);
    let cycles = reach.cycles(Bpm(116.0), 1.0);
    assert_eq!(cycles, Cycles { warm: 3, always: 4, longest: Some(8) });
    assert_eq!(cycles.words(), "3 beats on a warm night, 4 beats always");
}

#[test]
fn a_cycle_out_of_reach_names_those_that_work() {
    let mut s = jig_with(
        "bar 3 bear.left-arm fast for 2 bars\nbar 9 bear.left-arm three for 6 bars\nbar 17 bear.left-arm slow for 8 bars\nbar 27 cub.left-arm fast for 2 bars",
    );
    let p = s.play();
    let words: Vec<&str> = s.findings.iter().map(|f| f.code.word).collect();
    assert_eq!(words, ["too-fast-for-motor", "cold", "too-slow-for-motor"]);
    let fast = &s.findings[0];
    assert_eq!(fast.severity, Severity::Error);
    assert!(fast.message.contains("58 turns a minute"), "{}", fast.message);
    assert!(fast.message.contains("down to 40.5"), "{}", fast.message);
    assert_eq!(
        fast.help.as_deref(),
        Some("at 116 bpm it keeps 3 beats on a warm night, 4 beats always.")
    );
    assert_eq!(fast.also, ["cub.left-arm"], "one fault, told once");
    assert_eq!(fast.fixes[0].edits[0].text, "4 beats");
    assert_eq!(s.findings[1].severity, Severity::Warning);
    assert!(s.findings[2].help.as_ref().unwrap().contains("8 beats"));
    let bear = p.figures.iter().find(|f| f.figure == "bear").unwrap();
    assert!(bear.channels[0].keys.iter().all(|k| k.value < 58.0), "nothing is scheduled too fast");
}

/// Accents need a contact.
#[test]
fn accents_without_a_switch_are_refused() {
    let mut s = jig_on(&WIPER.replace("park", "none"), "bar 3 bear.left-arm hit for 8 bars");
    let p = s.play();
    assert_eq!(s.findings.len(), 1);
    assert_eq!(s.findings[0].code.word, "accent-without-switch");
    assert!(p.accents.is_empty());
    // The swing itself is still played, for whoever watches the preview.
    assert_eq!(p.figures[0].limbs.len(), 2);
}

/// The scarecrow: 3 1/3 rpm are 18.0 s a turn, 34.8 beats at 116; against 35
/// beats 103 ms early a turn (arithmetic).
#[test]
fn a_synchronous_motor_says_how_far_it_drifts() {
    let mut s = jig_with("bar 3 scarecrow.arm in-time for 40 bars");
    s.play();
    assert_eq!(s.findings.len(), 1);
    let f = &s.findings[0];
    assert_eq!((f.code.word, f.severity), ("synchronous-drifts", Severity::Warning));
    assert!(f.message.contains("18 s (34.8 beats)"), "{}", f.message);
    assert!(f.message.contains("103.4 ms early"), "{}", f.message);
    let mut s = jig_with("bar 3 scarecrow.arm sway until bar 40\nbar 41 scarecrow.arm nod");
    let p = s.play();
    assert_eq!(s.codes(), ["accent-without-switch `19.5 deg`"]);
    let channel = &p.figures[0].channels[0];
    assert_eq!(channel.kind, ChannelKind::Switch);
    assert_eq!(channel.keys[1].value, 1.0);
}

/// Park lock: spread x share of a turn x cycle. The left arm's accent lies at the
/// contact, a whole turn on: 0.1 x 2.069 s = 207 ms.
#[test]
fn a_spread_of_ten_per_cent_misses_the_beat() {
    let mut s = jig_with("bar 3 bear.left-arm hit for 8 bars");
    let p = s.play();
    let worst = p.accents[0].worst.0;
    assert!((worst - 0.1 * 4.0 * BEAT).abs() < 1e-6, "{worst}");
    assert_eq!(s.codes(), ["beat-missed `165 deg`"]);
    assert!(s.findings[0].message.contains("207 ms late"), "{}", s.findings[0].message);

    let counted = WIPER.replace("spread 10 %", "spread 2 %");
    let mut s = jig_on(&counted, "bar 3 bear.left-arm hit for 8 bars");
    let p = s.play();
    assert!((p.accents[0].worst.0 - 0.02 * 4.0 * BEAT).abs() < 1e-6);
    assert_eq!(s.codes(), [""; 0], "41 ms are not noticed");
}

/// Runs start at the contact and end there, and nothing moves between.
#[test]
fn runs_begin_and_end_at_the_contact() {
    let mut s =
        jig_with("bar 3 bear.left-arm sway for 4 bars\nbar 11 bear.left-arm sway for 4 bars");
    let p = s.play();
    let motion = &p.figures[0].limbs[0];
    let mut before: Option<f64> = None;
    for piece in &motion.pieces {
        if let Path::Crank { from, to } = piece.path {
            let turns = (to - from).0 / 360.0;
            assert!((turns - 2.0).abs() < 1e-9, "whole turns: {turns}");
        }
        if let Some(before) = before {
            assert!((before - piece.from.0).abs() < 1e-9, "no gap");
        }
        before = Some(piece.to.0);
        let still = matches!(piece.path, Path::Still(a) if (a.value() - 165.0).abs() < 0.1);
        assert!(still || matches!(piece.path, Path::Crank { .. }));
    }
    assert_eq!(motion.pieces.len(), 5);
}

/// The first accent of the show cannot be met when the crank needs a whole turn
/// and the beat comes after half a second.
#[test]
fn an_accent_before_the_start_is_left_out_and_said() {
    let mut s = jig_with("bar 1 bear.left-arm hit for 8 bars");
    let p = s.play();
    assert_eq!(accents(&p, "left-arm").len(), 3);
    assert!(
        s.findings
            .iter()
            .any(|f| f.code.word == "accent-dropped" && f.message.contains("bar 3 beat 1"))
    );
    assert!(p.figures[0].channels[0].keys.iter().all(|k| k.at.0 >= 0.0));
}

/// Under a gradual change of tempo every cycle spans its own beats: the accents
/// stay on the bars (ramp times from the closed form 60 N / (b1 - b0) ln(b1/b0)).
#[test]
fn accents_stay_on_the_beat_through_a_tempo_ramp() {
    let text = "song air { meter 4/4  tempo 100 bpm  tempo 140 bpm at bar 3 over 8 bars  section all-of-it bar 1 for 20 bars }
show evening with air { bar 2 bear.left-arm hit for 12 bars }";
    let mut s = stage_with(&orchard("free 90 rpm 1 A  switch index", text), &Files::default());
    let p = s.play();
    assert_eq!(p.accents.len(), 12);
    let ramp = |n: f64| {
        let b1 = 100.0 + 40.0 * n / 32.0;
        60.0 * n / (b1 - 100.0) * libm::log(b1 / 100.0)
    };
    for (i, a) in p.accents.iter().enumerate() {
        let bar = i as f64 + 2.0;
        let want = match bar {
            b if b <= 3.0 => (b - 1.0) * 4.0 * 0.6,
            b if b <= 11.0 => 4.8 + ramp((b - 3.0) * 4.0),
            b => 4.8 + ramp(32.0) + (b - 11.0) * 4.0 * 60.0 / 140.0,
        };
        assert!((a.wanted.0 - want).abs() < 1e-9, "bar {bar}: {} and {want}", a.wanted.0);
        let angle = p.figures[0].limbs[0].at(a.wanted, s.mechanism("bear", "left-arm")).unwrap();
        assert!((angle.value() - 165.0).abs() < 0.1);
    }
    assert!(p.figures[0].channels[0].error > 0.1, "steps of speed cannot follow a ramp exactly");
    assert_eq!(s.codes(), [""; 0]);
}

/// Sails at 1 turn per 8 beats through 20:40 teeth: the motor makes 29 rpm.
#[test]
fn a_spin_runs_through_its_ratio() {
    let mut s = jig_with("bar 1 windmill.sails turn-round until bar 9");
    let p = s.play();
    let mill = &p.figures[0];
    assert!((mill.channels[0].keys[1].value - 29.0).abs() < 1e-9);
    let Path::Turn { from, to } = mill.limbs[0].pieces[1].path else { panic!("turns") };
    assert!(((to - from).0 - 720.0).abs() < 1e-6, "16 beats are two turns of the sails");
    assert_eq!(s.codes(), [""; 0]);
}

/// What people hear late, limbs do late: the player's delay and the way of the
/// sound to the viewers' line, 2.914 ms a metre (10 m: 29.14 ms at 343.2 m/s).
#[test]
fn limbs_wait_for_the_sound() {
    let mut near = jig_with("bar 3 bear.left-arm sway for 2 bars");
    let mut far =
        jig_with("sound late 180 ms  speaker at (9 m, 10 m)\nbar 3 bear.left-arm sway for 2 bars");
    let delay = sound_delay(&far.yard, &far.yard.shows[0]);
    assert!((delay.0 - 0.180 - 0.02914).abs() < 2e-5, "{}", delay.0);
    let first = |p: &Performance| p.figures[0].channels[0].keys[1].at;
    let shift = first(&far.play()) - first(&near.play());
    assert!((shift - delay).abs().0 < 1e-9, "later by the delay, not earlier");
}
