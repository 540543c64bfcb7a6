//! Servos: angles, speed limits, few keys, following a sound.

use std::sync::Arc;

use super::orchard::*;
use proptest::prelude::*;
use yardwright::finding::Severity;
use yardwright::music::Sound;
use yardwright::timing::{SERVO_TOLERANCE, fewest, line_error};
use yardwright::units::Sec;

const BEAT: f64 = 60.0 / 116.0;

fn show(cues: &str) -> Stage {
    stage(&format!("{JIG}show evening with jig {{\n{cues}\n}}"))
}

/// A natural sweep is harmonic: checked against (1 - cos)/2 at 2,000 times.
#[test]
fn a_sweep_keeps_to_its_curve_within_the_stated_error() {
    let mut s = show("bar 3 owl.head nod for 8 bars");
    let p = s.play();
    assert_eq!(s.codes(), [""; 0]);
    let (channel, motion) = (&p.figures[0].channels[0], &p.figures[0].limbs[0]);
    assert!(channel.error <= SERVO_TOLERANCE.0);
    assert!(channel.keys.len() < 90, "few keys: {}", channel.keys.len());
    let beat3 = 0.48 + 4.0 * BEAT;
    for i in 0..2000 {
        let t = beat3 + 12.0 * BEAT * f64::from(i) / 2000.0;
        // The accent, the upper end, lies on the beat.
        let phase = (t - beat3) / (4.0 * BEAT) + 0.5;
        let want = -20.0 + 40.0 * (1.0 - libm::cos(2.0 * std::f64::consts::PI * phase)) / 2.0;
        let got = motion.at(Sec(t), s.mechanism("owl", "head")).unwrap().value();
        assert!((want - got).abs() <= channel.error + 1e-6, "{t}: {want} and {got}");
    }
    assert_eq!(p.accents.len(), 4);
    let at = motion.at(p.accents[1].wanted, s.mechanism("owl", "head")).unwrap();
    assert!((at.value() - 20.0).abs() < 1e-6);
}

/// 35 deg over 2 beats of 116 bpm with the 3-4-5 law peaks at 63 deg/s: 1.875 x
/// 35 / 1.0345 (peak factor 1.875: Norton, Design of Machinery, table 8-3).
#[test]
fn a_turn_peaks_where_the_law_says() {
    let mut s = show("bar 3 owl.head turn to 35 deg over 2 beats");
    let p = s.play();
    assert_eq!(s.codes(), [""; 0]);
    let motion = &p.figures[0].limbs[0];
    let at = |t: f64| motion.at(Sec(t), s.mechanism("owl", "head")).unwrap().value();
    let start = 0.48 + 4.0 * BEAT;
    assert!(at(start).abs() < 1e-9 && (at(start + 2.0 * BEAT) - 35.0).abs() < 1e-9);
    assert!((at(start + BEAT) - 17.5).abs() < 0.26);
    assert!((at(20.0) - 35.0).abs() < 1e-9, "it stays");
    let steepest = p.figures[0].channels[0]
        .keys
        .windows(2)
        .map(|k| (k[1].value - k[0].value) / (k[1].at - k[0].at).0.max(1e-12));
    let peak = steepest.fold(0.0, f64::max);
    assert!((peak - 63.4).abs() < 2.5, "{peak}");
}

#[test]
fn too_fast_names_the_time_that_works() {
    let mut s = show("bar 3 owl.head turn to 50 deg over 100 ms\nbar 9 owl.head shake for 2 beats");
    s.play();
    let words: Vec<&str> = s.findings.iter().map(|f| f.code.word).collect();
    assert_eq!(words, ["too-fast-for-servo", "too-fast-for-servo"]);
    let turn = &s.findings[0];
    assert_eq!(turn.severity, Severity::Error);
    // 1.875 x 50 / (0.8 x 352.9) = 0.332 s, rounded up.
    assert!(turn.help.as_ref().unwrap().contains("0.34 s"), "{:?}", turn.help);
    let works = "bar 3 owl.head turn to 50 deg over 340 ms";
    let mut s = show(works);
    s.play();
    assert_eq!(s.codes(), [""; 0], "and it does work");
}

#[test]
fn beyond_the_travel_is_refused() {
    let mut s = show("bar 3 owl.head turn to 75 deg over 2 beats");
    s.play();
    assert_eq!(s.codes(), ["servo-out-of-travel `75 deg`"]);
}

/// A jaw follows a loudness: silent it stays at one end, loud at the other.
#[test]
fn a_jaw_follows_a_voice() {
    let rate = 8000_u32;
    let tone = |i: u32| if (i / rate) % 2 == 1 { 0.5 * libm::sin(f64::from(i) * 0.6) } else { 0.0 };
    let samples = (0..rate * 10).map(|i| tone(i) as f32).collect();
    let voice = Arc::new(Sound { rate, channels: 1, samples, file: [].into() });
    let mut files = Files::default();
    files.sounds.insert("voice.wav".into(), Ok(voice));
    let text = "song air { meter 4/4  tempo 120 bpm  section s bar 1 for 10 bars
  stem voice \"voice.wav\" at 2 s
}
show evening with air { sound late 100 ms
  0:02 moon.jaw follow voice 200 Hz to 3 kHz from 0 deg to 16 deg until 0:12 }";
    let mut s = stage_with(&orchard(WIPER, text), &files);
    let p = s.play();
    assert_eq!(s.codes(), [""; 0]);
    let moon = &p.figures[0];
    let at = |t: f64| moon.limbs[0].at(Sec(t), s.mechanism("moon", "jaw")).unwrap().value();
    for second in 0..10 {
        // The middle of each second of the voice, heard 100 ms late.
        let angle = at(2.0 + f64::from(second) + 0.5 + 0.1);
        let want = if second % 2 == 1 { 16.0 } else { 0.0 };
        assert!((angle - want).abs() < 1.0, "second {second}: {angle}");
    }
    assert!(moon.channels[0].error <= SERVO_TOLERANCE.0 + 1e-9);
    assert!(moon.channels[0].keys.len() < 120, "{}", moon.channels[0].keys.len());
}

proptest! {
    /// Whatever the curve, the kept points hold it within the tolerance, and no
    /// kept point could be left out by drawing the line past it.
    #[test]
    fn few_keys_stay_within_their_error(
        values in prop::collection::vec(-90.0..90.0_f64, 2..80),
        tolerance in 0.05..20.0_f64,
    ) {
        let samples: Vec<(f64, f64)> =
            values.iter().enumerate().map(|(i, v)| (i as f64 * 0.02, *v)).collect();
        let kept = fewest(&samples, tolerance);
        prop_assert_eq!(kept[0], 0);
        prop_assert_eq!(kept[kept.len() - 1], samples.len() - 1);
        prop_assert!(kept.windows(2).all(|k| k[0] < k[1]));
        prop_assert!(line_error(&samples, &kept) <= tolerance + 1e-9);
        // From each point the line goes as far as one line can.
        for pair in kept.windows(2) {
            for far in pair[1] + 1..samples.len() {
                let line = [pair[0], far];
                prop_assert!(line_error(&samples, &line) > tolerance - 1e-9);
            }
        }
    }
}

/// A jaw drawn at -135 deg is at 225 where its gesture counts: 215 to 235 deg are
/// 10 deg to either side of the servo's zero (by hand).
#[test]
fn a_limb_that_points_left_turns_its_servo_from_the_drawn_angle() {
    let text = format!(
        "use parts\nfigure moon {{\n  board plywood-9 800 mm by 860 mm\n  limb jaw {{
    pivot (520, 640) mm  tip (300, 420) mm
    drive servo {{ motor servo-standard at (520, 640) mm }}
    gesture talk {{ sweep 215 deg to 235 deg  cycle 2 s }}
  }}\n}}\n{JIG}show evening with jig {{\nbar 3 moon.jaw talk for 8 bars\n}}"
    );
    let mut s = stage_with(&text, &Files::default());
    let p = s.play();
    assert_eq!(s.codes(), [""; 0]);
    let values = || p.figures[0].channels[0].keys.iter().map(|k| k.value);
    let (least, most) =
        (values().fold(f64::INFINITY, f64::min), values().fold(f64::NEG_INFINITY, f64::max));
    assert!((least + 10.0).abs() < 0.5 && (most - 10.0).abs() < 0.5, "{least} to {most}");
}

/// The servo's own angles at the ends of what it is told, and all findings.
fn shaft(figure: &str, cues: &str) -> (f64, f64, Vec<String>) {
    let text = format!("use parts\n{figure}\n{JIG}show evening with jig {{\n{cues}\n}}");
    let mut s = stage_with(&text, &Files::default());
    let p = s.play();
    let values = || p.figures[0].channels[0].keys.iter().map(|k| k.value);
    let ends = (values().fold(f64::INFINITY, f64::min), values().fold(f64::NEG_INFINITY, f64::max));
    let fitted: Vec<_> = s.fitted.iter().flat_map(|f| f.findings.clone()).collect();
    s.findings.extend(fitted);
    (ends.0, ends.1, s.codes())
}

/// 200 deg and -150 deg are 50 deg apart as written, and 10 deg apart on the
/// circle: from the drawn 200 deg the servo goes to 0 and to +10 (by hand).
#[test]
fn gestures_in_different_turns_of_the_circle_are_both_reached() {
    let figure = "figure moon {
  board plywood-9 800 mm by 860 mm
  limb jaw {
    pivot (520, 640) mm  tip (238.09, 537.39) mm
    drive servo { motor servo-standard at (520, 640) mm }
    gesture shut { turn to 200 deg over 2 beats }
    gesture wide { turn to -150 deg over 2 beats }
    gesture chew { sweep -165 deg to -150 deg  cycle 2 s }
    rest -160 deg
  }
}";
    let (low, high, codes) =
        shaft(figure, "bar 3 moon.jaw shut\nbar 5 moon.jaw wide\nbar 9 moon.jaw rest");
    assert_eq!(codes, [""; 0]);
    assert!(low.abs() < 0.01 && (high - 10.0).abs() < 0.01, "{low} to {high}");
    let (low, high, codes) = shaft(figure, "bar 3 moon.jaw chew for 4 bars");
    assert_eq!(codes, [""; 0]);
    assert!((low + 5.0).abs() < 0.01 && (high - 10.0).abs() < 0.01, "{low} to {high}");
    let (low, high, codes) = shaft(figure, "bar 3 moon.jaw turn to -170 deg over 2 beats");
    assert_eq!(codes, [""; 0]);
    assert!((low + 10.0).abs() < 0.01 && high.abs() < 0.01, "{low} to {high}");
    // 240 and 520 (160) deg are both in reach, the way between them over 360 is not.
    let wide = figure.replace("sweep -165 deg to -150 deg", "sweep 240 deg to 520 deg");
    let (.., codes) = shaft(&wide, "bar 3 moon.jaw shut");
    assert_eq!(codes, ["servo-out-of-travel `240 deg to 520 deg`"]);
}

/// A servo from -20 to 70 deg of its own, turning clockwise, drawn at 0 deg: the
/// limb goes from -70 to 20 deg, and 15 deg up is the servo's own -15 (by hand).
#[test]
fn an_uneven_travel_turns_round_with_the_servo() {
    let figure = |turns: &str| {
        format!(
            "motor uneven {{ kind servo  slew 0.17 s per 60 deg  pulse 1000 us at -20 deg  2000 us at 70 deg }}
figure owl {{
  board plywood-9 400 mm by 800 mm
  limb head {{
    pivot (200, 700) mm  tip (350, 700) mm
    drive servo {{ motor uneven at (200, 700) mm {turns} }}
    gesture up {{ turn to 15 deg over 2 beats }}
    gesture down {{ turn to -65 deg over 4 beats }}
  }}
}}"
        )
    };
    let cues = "bar 3 owl.head up\nbar 5 owl.head down";
    let (low, high, codes) = shaft(&figure("turns cw"), cues);
    assert_eq!(codes, [""; 0]);
    assert!((low + 15.0).abs() < 0.01 && (high - 65.0).abs() < 0.01, "{low} to {high}");
    let (.., codes) = shaft(&figure(""), cues);
    assert_eq!(codes, ["servo-out-of-travel `-65 deg`"], "the other way it is too far");
}

/// Mirrored about the line through its own motor's board, a servo is told the very
/// same angles: the limb's mirror image is the motor turned round.
#[test]
fn a_mirrored_servo_is_told_the_same() {
    for drive in [
        "motor servo-standard at (150, 700) mm  pulse 1000 us at -20 deg  2000 us at 70 deg",
        "motor servo-standard at (150, 640) mm  crank 20 mm  rod 60 mm  lever 20 mm at 90 deg  pulse 1000 us at -20 deg  2000 us at 40 deg",
    ] {
        let text = format!(
            "use parts\nfigure owl {{
  board plywood-9 600 mm by 800 mm
  limb left {{
    pivot (150, 700) mm  tip (150, 800) mm
    drive servo {{ {drive} }}
    gesture up {{ turn to 125 deg over 2 beats }}
    gesture down {{ turn to 75 deg over 2 beats }}
  }}
  limb right mirrors left about x 300 mm
}}
{JIG}show evening with jig {{
bar 3 owl.left up\nbar 5 owl.left down
bar 3 owl.right up\nbar 5 owl.right down
}}"
        );
        let mut s = stage_with(&text, &Files::default());
        let p = s.play();
        assert_eq!(s.codes(), [""; 0], "{drive}");
        let keys = |n: usize| &p.figures[0].channels[n].keys;
        assert_eq!(keys(0).len(), keys(1).len());
        for (left, right) in keys(0).iter().zip(keys(1)) {
            assert!((left.value - right.value).abs() < 1e-6, "{left:?} {right:?}");
        }
        let most = keys(0).iter().map(|k| k.value).fold(f64::NEG_INFINITY, f64::max);
        assert!((most - 35.0).abs() < 0.3, "the servo's own angle: {most}");
        let at = |n: usize| p.figures[0].limbs[n].pieces.clone();
        assert_ne!(at(0), at(1), "the limbs are mirror images");
    }
}

/// A sharp sweep goes at four fifths of 60 deg in 0.17 s, 282.4 deg/s: 40 deg take
/// 0.1417 s, then it waits; the accent is where it arrives (by hand).
#[test]
fn a_sharp_sweep_arrives_on_the_beat_and_waits() {
    let start = 0.48 + 4.0 * BEAT;
    let took = 40.0 / (0.8 * 60.0 / 0.17);
    let at = |s: &Stage, p: &yardwright::timing::Performance, t: f64| {
        p.figures[0].limbs[0].at(Sec(t), s.mechanism("owl", "head")).unwrap().value()
    };
    let near = |got: f64, want: f64| assert!((got - want).abs() < 0.01, "{got}, not {want}");
    let mut s = show("bar 3 owl.head sweep -20 deg to 20 deg cycle 4 beats shape sharp for 4 bars");
    let p = s.play();
    assert_eq!(s.codes(), [""; 0]);
    for (after, want) in [(0.0, -20.0), (took / 2.0, 0.0), (took, 20.0), (1.0, 20.0)] {
        near(at(&s, &p, start + after), want);
    }
    near(at(&s, &p, start + 2.0 * BEAT + took / 4.0), 10.0);

    let mut s = show(
        "bar 3 owl.head sweep -20 deg to 20 deg cycle 4 beats accent at 20 deg shape sharp for 4 bars",
    );
    let p = s.play();
    assert_eq!(s.codes(), [""; 0]);
    near(p.accents[0].wanted.0, start);
    for (after, want) in [(-took, -20.0), (-took / 2.0, 0.0), (0.0, 20.0), (0.5, 20.0)] {
        near(at(&s, &p, start + after), want);
    }
}

/// A forearm on an arm on a servo: at every moment of the show its lever pin is one rod
/// from the anchor on the board (plane geometry from the two limbs' angles).
#[test]
fn a_forearm_moves_with_the_servo_of_its_upper_arm() {
    let fox = "figure fox { board 700 mm by 1000 mm
  limb upper { pivot (300, 700) mm  tip (120, 700) mm
    drive servo { motor micro  pulse 1000 us at -4 deg  2000 us at 20 deg }
    gesture wave { sweep 178 deg to 198 deg  cycle 4 beats } }
  limb fore on upper { pivot (120, 700) mm  tip (120, 500) mm
    drive four-bar from upper { anchor (250, 650) mm  rod 110 mm  lever 40 mm at 180 deg  assembly open } } }
set fox at (14 m, 7 m) facing south\n";
    let mut s =
        stage(&format!("{fox}{JIG}show evening with jig {{\nbar 3 fox.upper wave for 8 bars\n}}"));
    let p = s.play();
    assert_eq!(s.codes(), [""; 0]);
    let part = &p.figures[0];
    assert_eq!(part.channels[0].limbs, ["upper", "fore"]);
    let at = |limb: &str, t: f64| {
        let motion = part.limbs.iter().find(|l| l.limb == limb).unwrap();
        motion.at(Sec(t), s.mechanism("fox", limb)).unwrap().value().to_radians()
    };
    let step = |from: (f64, f64), r: f64, angle: f64| {
        let (sin, cos) = libm::sincos(angle);
        (from.0 + r * cos, from.1 + r * sin)
    };
    let mut seen = (f64::INFINITY, f64::NEG_INFINITY);
    for n in 0..600 {
        let t = f64::from(n) * 0.05;
        let elbow = step((300.0, 700.0), 180.0, at("upper", t));
        let pin = step(elbow, -40.0, at("fore", t));
        let rod = libm::hypot(pin.0 - 250.0, pin.1 - 650.0);
        assert!((rod - 110.0).abs() < 1e-6, "{t}: {rod}");
        seen = (seen.0.min(at("fore", t)), seen.1.max(at("fore", t)));
    }
    // The same two circles cut with the upper arm anywhere from 178 to 198 deg.
    let cut = |upper: f64| {
        let elbow = step((300.0, 700.0), 180.0, upper.to_radians());
        let (dx, dy) = (250.0 - elbow.0, 650.0 - elbow.1);
        let far = libm::hypot(dx, dy);
        let aside = libm::acos((1600.0 + far * far - 12_100.0) / (80.0 * far));
        libm::atan2(dy, dx) - aside
    };
    let all: Vec<f64> = (0..=2000).map(|n| cut(178.0 + f64::from(n) * 0.01)).collect();
    let (low, high) = (all.iter().copied().reduce(f64::min), all.iter().copied().reduce(f64::max));
    let swing = high.unwrap() - low.unwrap();
    assert!((seen.1 - seen.0 - swing).abs() < 1e-3, "{seen:?} {swing}");
}
