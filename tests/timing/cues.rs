//! Cues spelt out: times, phrases, groups, spreads, and names that lead nowhere.

use super::orchard::*;
use yardwright::timing::Performance;

const BEAT: f64 = 60.0 / 116.0;

fn show(head: &str, cues: &str) -> Stage {
    stage(&format!("{JIG}{head}\nshow evening with jig {{\n{cues}\n}}"))
}

/// When each figure's first channel leaves its first key, in beats after bar 1.
fn starts(p: &Performance) -> Vec<(String, f64)> {
    let beat = |t: f64| ((t - 0.48) / BEAT * 1000.0).round() / 1000.0;
    p.figures.iter().map(|f| (f.figure.clone(), beat(f.channels[0].keys[1].at.0))).collect()
}

#[test]
fn bars_sections_clocks_and_thirds() {
    let at = |when: &str| {
        let mut s = show("", &format!("{when} windmill.sails turn-round for 8 beats"));
        let p = s.play();
        assert_eq!(s.codes(), [""; 0], "{when}");
        starts(&p)[0].1
    };
    assert_eq!(at("bar 28 beat 2 + 1/3"), 27.0 * 2.0 + 1.0 + 0.333);
    assert_eq!(at("bar 5 beat 1.5"), 8.5);
    assert_eq!(at("refrain"), 32.0);
    assert_eq!(at("refrain + 2 bars + 1 beat"), 37.0);
    assert_eq!(at("0:12.500"), ((12.5 - 0.48) / BEAT * 1000.0).round() / 1000.0);
}

#[test]
fn phrases_take_names_and_repeat_at_their_length() {
    let head = "phrase answer(a, b) lasts 8 bars {\n bar 1 a sway for 4 bars\n bar 5 beat 1 b sway for 4 bars\n}";
    let mut s = show(head, "bar 9 answer(bear.left-arm, cub.left-arm) repeat 2");
    let p = s.play();
    assert_eq!(s.codes(), [""; 0]);
    let ons = |f: &str| -> Vec<f64> {
        let part = p.figures.iter().find(|x| x.figure == f).unwrap();
        let keys = part.channels[0].keys.iter().filter(|k| k.value > 0.0);
        keys.map(|k| ((k.at.0 - 0.48) / BEAT).round() / 2.0 + 1.0).collect()
    };
    assert_eq!(ons("bear"), [9.0, 17.0]);
    assert_eq!(ons("cub"), [13.0, 21.0]);
}

#[test]
fn a_pass_goes_by_where_figures_stand() {
    let head = "group all-arms { cub.left-arm heron.left-wing bear.left-arm }";
    let told = |spread: &str| {
        let gesture = "sweep 155 deg to 205 deg cycle 4 beats";
        let mut s = show(head, &format!("bar 3 all-arms {gesture} for 4 bars {spread}"));
        let p = s.play();
        assert_eq!(s.codes(), [""; 0], "{spread}");
        starts(&p)
    };
    let at = |list: &[(String, f64)], f: &str| list.iter().find(|x| x.0 == f).unwrap().1 - 4.0;
    // Bear at 5 m, cub at 7.5 m, heron at 10 m.
    let west = told("pass west to east over 2 beats");
    assert_eq!((at(&west, "bear"), at(&west, "cub"), at(&west, "heron")), (0.0, 1.0, 2.0));
    let east = told("pass east to west over 2 beats");
    assert_eq!((at(&east, "bear"), at(&east, "cub"), at(&east, "heron")), (2.0, 1.0, 0.0));
    let out = told("outward from cub over 2 beats");
    // The bear stands 2.5 m from the cub, the heron sqrt(2.5^2 + 2^2) = 3.20 m.
    assert_eq!((at(&out, "cub"), at(&out, "heron")), (0.0, 2.0));
    assert!((at(&out, "bear") - 2.0 * 2.5 / 3.2016).abs() < 2e-3);
    let one = told("stagger 1 beat");
    assert_eq!((at(&one, "cub"), at(&one, "heron"), at(&one, "bear")), (0.0, 1.0, 2.0));
    let seeded = told("stagger 1 beat seed 3");
    assert_eq!(seeded, told("stagger 1 beat seed 3"), "the same every night");
    let mut offsets: Vec<f64> = seeded.iter().map(|x| x.1 - 4.0).collect();
    offsets.sort_by(f64::total_cmp);
    assert_eq!(offsets, [0.0, 1.0, 2.0]);
}

#[test]
fn every_and_until_bound_a_series() {
    let mut s = show("", "bar 3 owl.head nod every 4 bars until bar 12");
    let p = s.play();
    let bars: Vec<f64> =
        p.accents.iter().map(|a| ((a.wanted.0 - 0.48) / BEAT / 2.0).round() + 1.0).collect();
    assert_eq!(bars, [3.0, 7.0, 11.0]);
    let mut s = show("", "bar 3 owl.head nod every 4 bars repeat 2");
    assert_eq!(s.play().accents.len(), 2);
    let mut s = show("", "bar 3 owl.head nod repeat 3");
    let p = s.play();
    assert_eq!(p.accents.len(), 3);
    assert!((p.accents[2].wanted.0 - p.accents[0].wanted.0 - 8.0 * BEAT).abs() < 1e-9);
}

#[test]
fn swing_moves_the_second_half_of_a_beat() {
    let text = "song rag { meter 4/4  tempo 120 bpm  section s bar 1 for 8 bars }
show evening with rag { bar 2 beat 1.5 windmill.sails turn-round for 1 bar swing 60 % }";
    let mut s = stage(text);
    let p = s.play();
    // Beat 5 is at 2.0 s; a half beat with swing 60 % lies at 0.6 of a beat.
    assert!((p.figures[0].channels[0].keys[1].at.0 - (2.0 + 0.6 * 0.5)).abs() < 1e-9);
    assert_eq!(
        show("", "bar 3 owl.head nod swing 60 %").codes(),
        ["swing-in-compound `bar 3 owl.head nod swing 60 %`"]
    );
}

#[test]
fn a_slip_in_a_name_is_told_once_with_what_was_meant() {
    let s = show(
        "group drummers { bear.left-arm cub.left-arm }\nphrase roll(a) lasts 2 bars { bar 1 a sway for 2 bars }",
        "bar 3 bear.lefft-arm sway\nbar 5 bear.lefft-arm sway\nbar 7 roll(bear.lefft-arm)\nbar 9 bear.lefft-arm hit\nbar 11 bear.lefft-arm hit\nbar 13 bear.lefft-arm hit",
    );
    assert_eq!(s.codes(), ["limb-unknown `bear.lefft-arm`"]);
    let f = &s.findings[0];
    assert_eq!(f.label.as_deref(), Some("did you mean `bear.left-arm`?"));
    assert_eq!(f.fixes[0].edits[0].text, "bear.left-arm");
    assert_eq!(f.related.len(), 3);
    assert!(f.help.as_ref().unwrap().contains("6 places"));
}

#[test]
fn a_slip_is_told_beside_a_limb_that_is_broken_itself() {
    let head = "figure otter {
  board plywood-9 500 mm by 900 mm
  motor drum wiper at (250, 400) mm
  limb paw {
    pivot (150, 700) mm  tip (-100, 800) mm
    drive four-bar { motor drum  crank 30 mm  rod ?  lever ? }
    gesture wave { sweep 150 deg to 190 deg cycle }
  }
}
set otter at (2 m, 2 m) facing south";
    let told = |cue: &str| {
        let codes = show(head, cue).codes();
        codes.into_iter().filter(|c| c.starts_with("limb-unknown")).collect::<Vec<_>>()
    };
    assert_eq!(told("bar 3 otter.paww wave"), ["limb-unknown `otter.paww`"]);
    // The broken gesture is told; what it may have named is left alone.
    assert_eq!(told("bar 3 otter.left-flipper wave"), [""; 0]);
}

#[test]
fn each_kind_of_name_is_looked_up() {
    let head = "group drummers { bear.left-arm cubb.left-arm }\nphrase roll(a) lasts 2 bars { bar 1 a sway for 2 bars }";
    let s = show(
        head,
        "bar 3 drumers hit\nbar 4 bear.left-arm hitt\nrefrian bear.left-arm hit\nbar 5 rol(bear.left-arm)\nbar 6 roll\nbar 7 drummers sway outward from baer over 1 beat\nbar 8 moon.jaw follow voice 200 Hz to 3 kHz",
    );
    assert_eq!(
        s.codes(),
        [
            "limb-unknown `cubb.left-arm`",
            "group-unknown `drumers`",
            "gesture-unknown `hitt`",
            "section-unknown `refrian`",
            "phrase-unknown `rol`",
            "phrase-arguments `bar 6 roll`",
            "outward-unknown `baer`",
            "stem-unknown `voice`",
        ]
    );
    let labels: Vec<Option<&str>> = s.findings.iter().map(|f| f.label.as_deref()).collect();
    assert_eq!(labels[0], Some("did you mean `cub.left-arm`?"));
    assert_eq!(labels[1], Some("did you mean `drummers`?"));
    assert_eq!(labels[2], Some("did you mean `hit`?"));
    assert_eq!(labels[3], Some("did you mean `refrain`?"));
    assert_eq!(labels[4], Some("did you mean `roll`?"));
    assert_eq!(labels[6], Some("did you mean `bear`?"));
}

#[test]
fn a_beat_beyond_the_bar_says_how_many_it_has() {
    let s = show("", "bar 12 beat 4 owl.head nod");
    assert_eq!(s.codes(), ["beat-beyond-bar `bar 12 beat 4`"]);
    assert!(s.findings[0].help.as_ref().unwrap().starts_with("a bar of 6/8 has 2 beats"));
}

#[test]
fn a_cue_behind_the_end_is_refused() {
    let s = show("", "bar 60 owl.head nod");
    assert_eq!(s.codes(), ["cue-after-end `bar 60`"]);
}

#[test]
fn a_phrase_cannot_play_itself() {
    let head = "phrase a(x) lasts 1 bar { bar 1 b(x) }\nphrase b(x) lasts 1 bar { bar 1 a(x)\n bar 1 a(x) }";
    let mut s = show(head, "bar 3 a(owl.head)");
    assert_eq!(s.codes(), ["phrase-in-itself `a`", "phrase-in-itself `a`"]);
    assert!(s.play().figures.is_empty());
}

/// Phrases that multiply each other end in an error, not in a hang.
#[test]
fn phrases_that_multiply_are_cut_off() {
    let mut head = String::from("phrase p0(x) lasts 1 bar { bar 1 x rest }\n");
    for i in 1..40 {
        let inner = i - 1;
        head +=
            &format!("phrase p{i}(x) lasts 1 bar {{\n bar 1 p{inner}(x)\n bar 1 p{inner}(x)\n}}\n");
    }
    let mut s = show(&head, "bar 3 p39(owl.head)");
    assert_eq!(s.codes(), [""; 0]);
    s.play();
    assert_eq!(s.codes(), ["show-endless `evening`"]);
}

/// Far too many tells are cut off likewise.
#[test]
fn mistakes_in_one_cue_leave_the_others_alone() {
    let s = show(
        "",
        "bar 3 owl.head nod during 4 bars\nbar 5 owl.head nod for 4 barz\nbar 7 owl.head nodd\nbra 9 owl.head nod",
    );
    assert_eq!(
        s.codes(),
        [
            "cue-unclear `during`",
            "unit-unknown `barz`",
            "cue-unclear `bra`",
            "gesture-unknown `nodd`"
        ]
    );
}

/// Ten low strokes a second apart, and a high one half a second behind each: only
/// the low ones, up to bar 4 (6 s at 120 bpm), are hit, 150 ms later as people hear
/// them. Strokes are placed by hand; 30 ms is the hearing's own window.
#[test]
fn every_onset_of_a_band_is_hit() {
    let rate = 8000_u32;
    let stroke = |t: f64, at: f64, hertz: f64| {
        let age = t - at;
        let wave = libm::sin(2.0 * std::f64::consts::PI * hertz * age);
        if (0.0..0.3).contains(&age) { 0.5 * libm::exp(-age / 0.06) * wave } else { 0.0 }
    };
    let sample = |i: u32| {
        let t = f64::from(i) / f64::from(rate);
        let strokes = (0..10).map(f64::from);
        strokes.map(|k| stroke(t, 0.75 + k, 90.0) + stroke(t, 1.25 + k, 2000.0)).sum::<f64>() as f32
    };
    let samples = (0..rate * 12).map(sample).collect();
    let mut files = Files::default();
    let sound = yardwright::music::Sound { rate, channels: 1, samples, file: [].into() };
    files.sounds.insert("drum.wav".into(), Ok(std::sync::Arc::new(sound)));
    let text = "song march \"drum.wav\" { meter 4/4  tempo 120 bpm  bar 1 at 0 s }
show evening with march { sound late 150 ms
  every onset between 40 Hz and 150 Hz until bar 4 owl.head sweep -5 deg to 5 deg cycle 400 ms accent at 5 deg }";
    let mut s = stage_with(&orchard(WIPER, text), &files);
    let p = s.play();
    assert_eq!(s.codes(), [""; 0]);
    assert_eq!(p.accents.len(), 6, "{:?}", p.accents);
    for (k, accent) in p.accents.iter().enumerate() {
        let want = 0.75 + k as f64 + 0.15;
        assert!((accent.wanted.0 - want).abs() < 0.03, "{} and {want}", accent.wanted.0);
        let at = p.figures[0].limbs[0].at(accent.wanted, s.mechanism("owl", "head")).unwrap();
        assert!((at.value() - 5.0).abs() < 1e-6, "{at:?}");
    }
}

/// What a sign does is most easily called so; the word of a cue has a share behind it.
#[test]
fn a_gesture_may_be_called_swing() {
    let yard = "use parts
song rag { meter 4/4  tempo 120 bpm  section s bar 1 for 20 bars }
figure post { board plywood-9 600 mm by 1200 mm
  limb sign { pivot (300, 900) mm  tip (300, 600) mm  sheet plywood-9
    drive four-bar { motor wiper at (300, 580) mm  crank 30 mm  rod ?  lever 120 mm at ? }
    gesture swing { sweep 256 deg to 284 deg within 3 deg  cycle 4 s } } }
show evening with rag { bar 2 post.sign swing for 4 bars
  bar 8 beat 1.5 post.sign swing for 2 bars swing 60 % }
";
    let disk = yardwright::source::MemoryDisk::new().with("/yard/a.yard", yard);
    let mut compiler = yardwright::check::Compiler::new(disk);
    let compiled = compiler.compile(std::path::Path::new("/yard/a.yard")).unwrap();
    let errors = compiled.count(yardwright::finding::Severity::Error);
    assert_eq!(errors, 0, "{:?}", compiled.findings);
    // On and off twice; the second time at 0.6 of a beat behind bar 8: 14 s and 0.3 s.
    let keys = &compiled.performances[0].figures[0].channels[0].keys;
    let on: Vec<f64> = keys.iter().filter(|k| k.value > 0.0).map(|k| k.at.0).collect();
    assert!((on[1] - 14.3).abs() < 1e-9, "{keys:?}");
}

#[test]
fn a_laid_up_figure_is_left_out_and_says_what_is_lost() {
    let laid_up = "laid-up bear from 2027-10-26 \"stripped gear\"";
    let cues = "bar 3 bear.left-arm hit for 8 bars\nbar 12 bear.left-arm sway for 4 bars
bar 3 bear.right-arm rest\nbar 5 owl.head nod";
    let mut s = show(laid_up, cues);
    let p = s.play();
    let played: Vec<&str> = p.figures.iter().map(|f| f.figure.as_str()).collect();
    assert_eq!(played, ["owl"], "the others play on");
    assert_eq!(p.accents.len(), 1);
    assert_eq!(s.codes(), [format!("cues-lost `{laid_up}`")]);
    let told = &s.findings[0];
    assert_eq!(told.figure.as_deref(), Some("bear"));
    for words in ["misses 2 cues", "1 of them", "bar 3 beat 1"] {
        assert!(told.message.contains(words), "no `{words}` in {}", told.message);
    }
    // Nothing is asked of it: nothing is lost.
    let mut s = show(laid_up, "bar 5 owl.head nod");
    s.play();
    assert_eq!(s.codes(), [""; 0]);
}
