//! Rams and cylinders in a show: commands, motion, and what is too fast, by hand.
#![allow(clippy::disallowed_methods)] // On purpose another library's sines.

use super::orchard::*;
use yardwright::finding::Severity;
use yardwright::timing::{ChannelKind, Performance};
use yardwright::units::Sec;

const BEAT: f64 = 60.0 / 116.0;

/// The orchard's gate and hedgehog, their sizes given: arm 100, anchor 269.3 below the
/// pivot, ram 205 to 305 mm at 10 mm/s; cylinder 16/6 x 100.
fn figures(ram: &str, throttle: &str) -> String {
    format!(
        "motor push {{ kind ram  {ram}  length 205 to 305 mm  stroke 100 mm }}
motor air {{ kind cylinder  bore 16 mm  rod 6 mm  stroke 100 mm }}
figure windmill {{
  board 900 mm by 900 mm
  limb gate {{
    pivot (200, 500) mm  tip (700, 500) mm
    drive ram {{ motor push at (200, 230.6954) mm  lever 100 mm at -48.7584 deg  assembly crossed }}
    rest 0 deg
    gesture open {{ turn to 60 deg over 20 beats }}
    gesture shut {{ turn to 0 deg over 20 beats }}
    gesture half {{ turn to 30 deg }}
    gesture hurry {{ turn to 60 deg over 10 beats }}
  }}
}}
figure hedgehog {{
  board 500 mm by 800 mm
  limb body {{
    slide from (250, 300) mm to (250, 420) mm
    drive cylinder {{ motor air at (250, 100) mm  length 200 to 300 mm  air tank at 400 kPa  {throttle} }}
    gesture pop {{ pulse up for 2 s }}
    gesture bob {{ stroke 0 mm to 100 mm  cycle 4 beats  accent at 100 mm }}
  }}
}}
yard orchard {{ size 18 m by 10 m  viewers south }}
set windmill at (5 m, 4 m) facing south
set hedgehog at (9 m, 4 m) facing south
"
    )
}

fn show_of(ram: &str, throttle: &str, cues: &str) -> Stage {
    let text = format!("{}{JIG}show evening with jig {{\n{cues}\n}}", figures(ram, throttle));
    stage_with(&text, &Files::default())
}

fn show(cues: &str) -> Stage {
    show_of("speed 0.01 m/s", "", cues)
}

fn keys(p: &Performance) -> Vec<(f64, f64)> {
    p.figures[0].channels[0].keys.iter().map(|k| (k.at.0, k.value)).collect()
}

#[track_caller]
fn alike(got: &[(f64, f64)], want: &[(f64, f64)]) {
    let close = |a: &(f64, f64), b: &(f64, f64)| (a.0 - b.0).abs() < 1e-4 && a.1 == b.1;
    let same = got.len() == want.len() && got.iter().zip(want).all(|(a, b)| close(a, b));
    assert!(same, "{got:?}, not {want:?}");
}

/// The gate with its ram so long, by the law of cosines.
fn gate_at(length: f64) -> f64 {
    let ground: f64 = 269.3046;
    let cos = (1e4 + ground * ground - length * length) / (2.0 * 100.0 * ground);
    cos.acos().to_degrees() - 90.0 + 48.7584
}

/// 100 mm at 10 mm/s are 10.0 s, whatever more the cue gives.
#[test]
fn a_gate_opens_at_its_rams_own_speed() {
    let mut s = show("bar 3 windmill.gate open\nbar 25 windmill.gate shut");
    let p = s.play();
    assert_eq!(s.codes(), [""; 0]);
    let (open, shut) = (0.48 + 4.0 * BEAT, 0.48 + 48.0 * BEAT);
    assert_eq!(p.figures[0].channels[0].kind, ChannelKind::Travel);
    let all = [(0.0, 0.0), (open, 1.0), (open + 10.0, 0.0), (shut, -1.0), (shut + 10.0, 0.0)];
    alike(&keys(&p), &all);
    let at =
        |t: f64| p.figures[0].limbs[0].at(Sec(t), s.mechanism("windmill", "gate")).unwrap().value();
    for k in 0..=20 {
        let (t, length) = (0.5 * f64::from(k), 205.0 + 5.0 * f64::from(k));
        assert!((at(open + t) - gate_at(length)).abs() < 1e-3, "{t}: {}", at(open + t));
        assert!((at(shut + t) - gate_at(510.0 - length)).abs() < 1e-3, "{t}");
    }
    assert!(at(0.0).abs() < 1e-3 && (at(open + 12.0) - 60.0).abs() < 1e-3);
}

#[test]
fn too_little_time_is_said_with_what_it_takes() {
    let mut s = show("bar 3 windmill.gate hurry");
    s.play();
    assert_eq!(s.codes(), ["too-fast-for-ram `10 beats`"]);
    let f = &s.findings[0];
    // 10 s x 116 / 60 = 19.33 beats, in quarters 19.5.
    assert!(f.help.as_ref().unwrap().contains("19.5 beats"), "{:?}", f.help);
    // A slow one on a cold night: 10 / (0.9 x 0.9) = 12.35 s of 10.34.
    let slow = "speed 0.01 m/s  spread 10 %  cold 10 %";
    let mut s = show_of(slow, "", "bar 3 windmill.gate open");
    let p = s.play();
    assert_eq!(s.codes(), ["too-fast-for-ram `20 beats`"]);
    // Told all the same, and long enough that a slow one comes to its switch.
    let open = 0.48 + 4.0 * BEAT;
    alike(&keys(&p), &[(0.0, 0.0), (open, 1.0), (open + 10.0 / 0.81, 0.0)]);
    let cold = "speed 0.01 m/s  cold 10 %";
    let mut s = show_of(cold, "", "bar 3 windmill.gate open");
    s.play();
    assert_eq!(s.codes(), ["cold `20 beats`"]);
    let quick = "speed 0.05 m/s";
    let mut s = show_of(quick, "", "bar 3 windmill.gate open");
    s.play();
    assert_eq!(s.codes(), ["ram-arrives-early `20 beats`"]);
}

/// Half way is told (advice when fitted); rest takes it home; a cue that comes too
/// soon is told, and the ram turns where it is.
#[test]
fn stops_turns_and_rests() {
    let mut s = show("bar 3 windmill.gate half\nbar 17 all rest");
    let p = s.play();
    assert_eq!(s.codes(), [""; 0]);
    let (half, rest) = (0.48 + 4.0 * BEAT, 0.48 + 32.0 * BEAT);
    // cos(30 + 41.2416) by the law of cosines: where the pins are apart at 30 deg.
    let pin = (30.0 + 90.0 - 48.7584f64).to_radians();
    let ground: f64 = 269.3046;
    let length = (1e4 + ground * ground - 2.0 * 100.0 * ground * pin.cos()).sqrt();
    let takes = (length - 205.0) / 10.0;
    let all = [(0.0, 0.0), (half, 1.0), (half + takes, 0.0), (rest, -1.0), (rest + takes, 0.0)];
    alike(&keys(&p), &all);
    let fitted: Vec<&str> = s.fitted[0].findings.iter().map(|f| f.code.word).collect();
    assert_eq!(fitted, ["stops-between"]);
    let mut s = show("0:10 windmill.gate turn to 60 deg\n0:14 windmill.gate turn to 0 deg");
    let p = s.play();
    assert_eq!(s.codes(), ["too-fast-for-ram `0:14 windmill.gate turn to 0 deg`"]);
    assert_eq!(s.findings[0].severity, Severity::Warning);
    alike(&keys(&p), &[(0.0, 0.0), (10.0, 1.0), (14.0, -1.0), (18.0, 0.0)]);
}

#[test]
fn a_ram_sweeps_to_and_fro() {
    let sweep = |cycle: &str| {
        format!("0:20 windmill.gate sweep 0 deg to 60 deg cycle {cycle} accent at 60 deg for 48 s")
    };
    let mut s = show(&sweep("24 s"));
    let p = s.play();
    assert_eq!(s.codes(), [""; 0]);
    // The accent is the far end: it starts ten seconds before.
    let mut all = vec![(0.0, 0.0)];
    for k in [0.0, 24.0] {
        all.extend([(10.0 + k, 1.0), (20.0 + k, 0.0), (22.0 + k, -1.0), (32.0 + k, 0.0)]);
    }
    alike(&keys(&p), &all);
    assert_eq!(p.accents.len(), 2);
    let gate = s.mechanism("windmill", "gate");
    for accent in &p.accents {
        let there = p.figures[0].limbs[0].at(accent.wanted, gate).unwrap().value();
        assert!((there - 60.0).abs() < 1e-3, "{there}");
    }
    let mut s = show(&sweep("12 s"));
    s.play();
    assert_eq!(s.codes(), ["too-fast-for-ram `12 s`"]);
}

/// The valve is told 0.05 s and the stroke's 0.333 s ahead; the hedgehog is up when the
/// cue says, and leaves 2 s later.
#[test]
fn a_hedgehog_is_up_on_its_cue() {
    let mut s = show("0:10 hedgehog.body pop\n0:20 hedgehog.body pop");
    let p = s.play();
    assert_eq!(s.codes(), [""; 0]);
    let up = 100.0 / 300.0;
    assert_eq!(p.figures[0].channels[0].kind, ChannelKind::Switch);
    let mut all = vec![(0.0, 0.0)];
    for cue in [10.0, 20.0] {
        all.extend([(cue - 0.05 - up, 1.0), (cue + 2.0 - 0.05, 0.0)]);
    }
    alike(&keys(&p), &all);
    let at =
        |t: f64| p.figures[0].limbs[0].at(Sec(t), s.mechanism("hedgehog", "body")).unwrap().value();
    for (t, want) in [
        (5.0, 0.0),
        (10.0 - up, 0.0),
        (10.0 - up / 2.0, 50.0),
        (10.0, 100.0),
        (12.0, 100.0),
        (12.0 + up, 0.0),
    ] {
        assert!((at(t) - want).abs() < 1e-6, "{t}: {}, not {want}", at(t));
    }
}

/// Throttled to 0.6 s up and 1.0 s down: on is up, and off is down, when the cue says;
/// `rest` begins then.
#[test]
fn on_and_off_are_met_with_their_lead() {
    let cues =
        "0:10 hedgehog.body on\n0:20 hedgehog.body off\n0:30 hedgehog.body on\n0:40 all rest";
    let mut s = show_of("speed 0.01 m/s", "throttle up 0.6 s down 1.0 s", cues);
    let p = s.play();
    assert_eq!(s.codes(), [""; 0]);
    let hedgehog = p.figures.iter().position(|f| f.figure == "hedgehog").unwrap();
    let channel = &p.figures[hedgehog].channels[0];
    let got: Vec<(f64, f64)> = channel.keys.iter().map(|k| (k.at.0, k.value)).collect();
    alike(&got, &[(0.0, 0.0), (9.35, 1.0), (18.95, 0.0), (29.35, 1.0), (40.0, 0.0)]);
    let at = |t: f64| {
        let motion = &p.figures[hedgehog].limbs[0];
        motion.at(Sec(t), s.mechanism("hedgehog", "body")).unwrap().value()
    };
    assert!((at(19.5) - 50.0).abs() < 1e-6 && at(20.0).abs() < 1e-6);
    assert!((at(40.55) - 50.0).abs() < 1e-6, "{}", at(40.55));
}

#[test]
fn a_cylinder_bobs_with_its_accent_on_the_beat() {
    let mut s = show("bar 5 hedgehog.body bob for 4 bars");
    let p = s.play();
    assert_eq!(s.codes(), [""; 0]);
    assert_eq!(p.accents.len(), 2);
    let body = s.mechanism("hedgehog", "body");
    for (k, accent) in p.accents.iter().enumerate() {
        assert!((accent.wanted.0 - (0.48 + BEAT * (8.0 + 4.0 * k as f64))).abs() < 1e-9);
        let there = p.figures[0].limbs[0].at(accent.wanted, body).unwrap().value();
        assert!((there - 100.0).abs() < 1e-6, "{there}");
        assert!(accent.nominal.0.abs() < 1e-9);
    }
    let slow = "throttle up 1.2 s down 1.2 s";
    let mut s = show_of("speed 0.01 m/s", slow, "bar 5 hedgehog.body bob for 4 bars");
    s.play();
    assert_eq!(s.codes(), ["too-fast-for-cylinder `bar 5 hedgehog.body bob for 4 bars`"]);
}

#[test]
fn what_air_has_no_time_for_is_said() {
    let mut s = show("0:00.1 hedgehog.body pop");
    let p = s.play();
    assert_eq!(s.codes(), ["too-fast-for-cylinder `0:00.1 hedgehog.body pop`"]);
    assert_eq!(s.findings[0].severity, Severity::Warning);
    assert!(keys(&p).iter().all(|k| k.0 >= 0.0), "{:?}", keys(&p));
    let mut s = show("0:10 hedgehog.body pop\n0:12.5 hedgehog.body pop");
    s.play();
    assert_eq!(s.codes(), ["too-fast-for-cylinder `0:12.5 hedgehog.body pop`"]);
    assert_eq!(s.findings[0].severity, Severity::Error);
    let mut s = show("0:10 hedgehog.body pop\n0:11 hedgehog.body on");
    s.play();
    assert_eq!(s.codes(), ["cues-disagree `0:11 hedgehog.body on`"]);
}

/// What a cue itself asks for beyond the ends, or between them.
#[test]
fn places_asked_for_in_a_cue_are_held_against_the_ends() {
    let code = |cue: &str| {
        let mut s = show(cue);
        s.play();
        (s.codes(), s.findings.first().map(|f| f.severity))
    };
    let (codes, _) = code("0:10 windmill.gate turn to 75 deg over 20 s");
    assert_eq!(codes, ["beyond-stroke `75 deg`"]);
    let (codes, severity) = code("0:10 windmill.gate turn to 30 deg");
    assert_eq!(codes, ["stops-between `30 deg`"]);
    assert_eq!(severity, Some(Severity::Advice));
    let (codes, _) = code("0:10 windmill.gate pulse up for 2 s");
    assert_eq!(codes, ["gesture-unfit `0:10 windmill.gate pulse up for 2 s`"]);
}

/// Ten minutes of a quarter's duty are 150 s: 6 ways of 10 s in two minutes pass, 20 s
/// of every 24 for five minutes do not.
#[test]
fn a_ram_that_runs_too_much_is_told() {
    let duty = "speed 0.01 m/s  duty 25 %";
    let run = |span: &str| {
        let cue = format!("0:20 windmill.gate sweep 0 deg to 60 deg cycle 24 s for {span}");
        let mut s = show_of(duty, "", &cue);
        s.play();
        let codes: Vec<&str> = s.findings.iter().map(|f| f.code.word).collect();
        (codes.join(" "), s.findings.first().map(|f| f.message.clone()))
    };
    assert_eq!(run("2 min").0, "");
    let (codes, message) = run("5 min");
    assert_eq!(codes, "ram-runs-hot");
    // Twelve whole turns of 20 s.
    assert!(message.as_ref().unwrap().contains("240 s"), "{message:?}");
}

/// A limb that the gate pushes moves with its ram, and can be told through it: the rod
/// from its pin on the gate to its own lever keeps its length, and the accent is met.
#[test]
fn a_limb_pushed_by_one_on_a_ram_follows_it() {
    let flag = "  limb flag {
    pivot (100, 800) mm  tip (100, 880) mm
    drive four-bar from gate { anchor (260, 500) mm  rod 290 mm  lever 60 mm at 200 deg }
    gesture wag { sweep 4.1 deg to 67.4 deg  cycle 80 beats  accent at 40 deg }
  }
}
figure hedgehog {";
    let text = figures("speed 0.01 m/s", "").replace("}\nfigure hedgehog {", flag);
    for cue in ["bar 3 windmill.gate open", "bar 20 windmill.flag wag"] {
        let text = format!("{text}{JIG}show evening with jig {{\n{cue}\n}}");
        let mut s = stage_with(&text, &Files::default());
        let p = s.play();
        let errors = s.findings.iter().filter(|f| f.severity == Severity::Error);
        assert_eq!(errors.count(), 0, "{:?}", s.findings);
        assert_eq!(p.figures[0].channels[0].limbs, ["gate", "flag"]);
        let at = |name: &str, t: f64| {
            let motion = p.figures[0].limbs.iter().find(|l| l.limb == name).unwrap();
            motion.at(Sec(t), s.mechanism("windmill", name)).unwrap().value().to_radians()
        };
        let mut moved = (f64::INFINITY, f64::NEG_INFINITY);
        for i in 0..60 {
            let t = f64::from(i) * 0.5;
            let (gate, flag) = (at("gate", t), at("flag", t));
            let lever = flag + 200_f64.to_radians();
            let pins = (
                200.0 + 60.0 * gate.cos() - 100.0 - 60.0 * lever.cos(),
                500.0 + 60.0 * gate.sin() - 800.0 - 60.0 * lever.sin(),
            );
            assert!((pins.0.hypot(pins.1) - 290.0).abs() < 1e-6, "{t}: {pins:?}");
            moved = (moved.0.min(flag), moved.1.max(flag));
        }
        assert!(moved.1 - moved.0 > 0.2, "{cue} {moved:?}");
        for a in &p.accents {
            assert_eq!(a.limb, "flag");
            let off = (at("flag", a.wanted.0).to_degrees() - 40.0).rem_euclid(360.0);
            assert!(off.min(360.0 - off) < 1e-6, "{off}");
        }
        assert_eq!(p.accents.is_empty(), cue.contains("gate"));
    }
}
