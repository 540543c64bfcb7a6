//! Limbs that slide: guides that bind, cylinders in the wind; and limbs that ride.

use super::{compile, load};
use yardwright::finding::Severity;
use yardwright::units::print::decimal;

const YOKE: &str = "figure frog { board plywood-9 620 mm by 900 mm
    limb body { slide from (300, 330) mm to (300, 470) mm weighed 0.3 kg GUIDE
      drive scotch-yoke { motor wiper at (300, 400) mm limit 4 A crank 60 mm }
      gesture hop { stroke 10 mm to 130 mm within 2 mm cycle 3 s } } }";

#[test]
fn a_yoke_binds_below_the_guide_its_crank_asks_for() {
    // The pin runs 60 mm beside the guide: 2 x 0.3 x 60 = 36 mm jam, 54 are wanted.
    let found = |guide: &str| {
        let compiled = compile(&YOKE.replace("GUIDE", guide));
        let found = compiled.findings.iter().find(|f| f.code.word == "guide-jams");
        found.map(|f| f.severity)
    };
    assert_eq!(found("guide 35.9 mm"), Some(Severity::Error));
    assert_eq!(found("guide 53.9 mm"), Some(Severity::Warning));
    assert_eq!(found("guide 54.1 mm"), None);
    // Held on a line 20 mm beside the shaft: 80 mm, 2 x 0.3 x 80 = 48 mm jam, 72 are wanted.
    let beside = |guide: &str| {
        let text = YOKE.replace("GUIDE", guide).replace("crank 60 mm", "crank 60 mm  offset 20 mm");
        compile(&text).findings.iter().any(|f| f.code.word == "guide-jams")
    };
    assert!(beside("guide 71.9 mm") && !beside("guide 72.1 mm"));
    let unsaid = compile(&YOKE.replace("GUIDE", ""));
    let notes = &unsaid.loads[0].limbs[0].not_checked;
    assert!(notes.iter().any(|n| n.settle == "guide 54 mm"), "{notes:?}");
}

/// A cylinder 100 mm aside pushes at most with tan 30 deg = 100/173.2 to the side, in at its
/// length of 200 mm, 200 mm behind the middle of what the guide holds: each edge bears
/// 200 tan/L of the part along it, so that 2 x 0.3 x 200 x 0.5774 = 69.3 mm bind and half as
/// much again, 103.9, are wanted.
#[test]
fn a_slanting_push_away_from_the_held_piece_binds() {
    let of = |length: f64| {
        let compiled = compile(&format!(
            "figure hog {{ board plywood-9 600 mm by 900 mm
              limb body {{ slide from (300, 300) mm to (300, 440) mm guide {length} mm by 0.1 mm at 200 mm
                sheet plywood-9 outline (200, 250) (400, 250) (400, 700) (200, 700) mm
                drive cylinder {{ motor cylinder-16 anchor (200, 140) mm length 200 to 300 mm
                  air tank at 400 kPa throttle up 0.4 s down 0.6 s }}
                gesture pop {{ pulse up for 2 s }} }} }}"
        ));
        let found = compiled.findings.iter().find(|f| f.code.word == "guide-jams");
        let asks = compiled.loads[0].limbs[0].not_checked.iter();
        let weight = asks.filter(|n| n.what.contains("weight is not known")).count();
        assert_eq!(weight, 0);
        found.map(|f| f.severity)
    };
    assert_eq!(of(68.5), Some(Severity::Error));
    assert_eq!(of(70.0), Some(Severity::Warning));
    assert_eq!(of(103.0), Some(Severity::Warning));
    assert_eq!(of(105.0), None);
}

/// A yoke that stands upright, with both its guide's edges: by hand the pin pushes with
/// W/(1 - 2 x 0.3 a/L) on the way up, a = 40 mm x cos of the crank's angle beside the guide,
/// and W is 2 kg with what its swing adds; in the middle of the way that is most. So
/// T = W a/(1 - 0.6 a/L). (An independent script of 72 000 places gives the same peaks.)
#[test]
fn a_motor_bears_what_a_push_beside_its_guide_rubs() {
    let peak = |guide: &str| {
        let text = format!(
            "figure a {{ board plywood-9 1000 mm by 1000 mm
              limb s {{ slide from (500, 440) mm to (500, 560) mm weighed 2 kg {guide}
                drive scotch-yoke {{ motor wiper at (500, 500) mm crank 40 mm }}
                gesture fiddle {{ stroke 20 mm to 100 mm cycle 2.1 s }} }} }}"
        );
        load(&compile(&text), 0).motor.peak
    };
    let hand = |length: f64| {
        let per_second = 2.0 * std::f64::consts::PI / 2.1;
        let at = |n: i32| {
            let (sin, cos) = libm::sincos(f64::from(n) * 1e-4);
            let weight = 2.0 * (9.806_65 - 0.04 * per_second * per_second * sin);
            let arm = 0.04 * cos.abs();
            let holds = 1.0 - cos.signum() * 0.6 * arm / length;
            weight * 0.04 * cos / holds
        };
        (0..62_832).map(at).fold(f64::NEG_INFINITY, f64::max)
    };
    for (length, told) in
        [(37, 2.23), (40, 1.96), (50, 1.51), (60, 1.31), (80, 1.12), (120, 0.98), (600, 0.82)]
    {
        let (got, want) = (peak(&format!("guide {length} mm")), hand(f64::from(length) * 1e-3));
        assert!((want - told).abs() < 0.006, "{length}: {want}");
        assert!((got / want - 1.0).abs() < 1e-6, "{length}: {got}, not {want}");
    }
    // Nothing said of the guide, nothing is added; and that is told.
    assert!((peak("") - hand(1e9)).abs() < 1e-4 * hand(1e9));
    let unsaid = compile(&YOKE.replace("GUIDE", ""));
    let assumed = &unsaid.loads[0].limbs[0].assumed;
    let told =
        |n: &yardwright::model::Note| n.settle == "guide 120 mm" && n.what.contains("in line");
    assert!(assumed.iter().any(told), "{assumed:?}");
}

#[test]
fn where_a_guide_binds_no_torque_is_told() {
    // 60 mm beside it binds in 36 mm of guide.
    let cycle = |guide: &str| compile(&YOKE.replace("GUIDE", guide)).loads[0].limbs[0].clone();
    assert!(cycle("guide 36.5 mm").cycle.is_some());
    let bound = cycle("guide 35.9 mm");
    assert!(bound.cycle.is_none());
    assert!(bound.not_checked.iter().any(|n| n.what.contains("binds")), "{:?}", bound.not_checked);
    // Held 20 mm right of the shaft the same crank pushes 40 mm beside its guide on the right
    // and 80 on the left, which binds in 48 mm if it is the way up.
    let beside = |guide: &str, turns: &str| {
        let to = format!("turns {turns} limit 4 A crank 60 mm  offset 20 mm");
        let text = YOKE.replace("GUIDE", guide).replace("limit 4 A crank 60 mm", &to);
        compile(&text).loads[0].limbs[0].cycle.is_some()
    };
    assert!(beside("guide 48.5 mm", "cw") && !beside("guide 47.9 mm", "cw"));
    assert!(beside("guide 24.5 mm", "ccw") && !beside("guide 23.9 mm", "ccw"));
}

const POP: &str = "yard green { size 10 m by 8 m  wind run RUN m/s stand 22 m/s  soil lawn }
  figure hedgehog { board plywood-9 500 mm by 800 mm
    limb body { slide from (250, 300) mm to (250, 420) mm weighed 3.5 kg
      sheet plywood-6 outline (0, 300) (500, 300) (500, 800) (0, 800) mm
      drive cylinder { motor cylinder-16 at (250, 100) mm air tank at 400 kPa
        throttle up 3 s down 3 s }
      gesture pop { pulse up for 8 s } } }
  set hedgehog at (5 m, 4 m) facing south";

#[test]
fn wind_presses_a_sliding_limb_on_its_guide_and_its_cylinder_feels_it() {
    // By hand: 3.5 kg weigh 34.3 N; 0.25 m2 in 20 m/s are pressed back with 1.8 x 0.613 x
    // 400 x 0.25 = 110.3 N, of which 0.3 rub: 67.4 N. 16 mm at 400 kPa push with 80.4, 0.7 of
    // it 56.3; at 17 m/s it would be 58.2, at 16 m/s 55.5.
    let weak = |run: &str| {
        let compiled = compile(&POP.replace("RUN", run));
        compiled.findings.iter().any(|f| f.code.word == "cylinder-weak")
    };
    assert!(weak("17") && !weak("16"));
    let compiled = compile(&POP.replace("RUN", "20"));
    let windy = load(&compiled, 0).motor.in_wind.unwrap();
    let hand = 3.5 * 9.806_65 + 0.3 * 1.8 * 0.613 * 400.0 * 0.25;
    assert!((windy / hand - 1.0).abs() < 0.01, "{windy} {hand}");
}

/// A wing with a hand that has its own servo, which turns it so far to both sides, drawn
/// turned by an angle, degrees.
fn heron(turned: f64, travel: f64) -> String {
    let (sin, cos) = libm::sincos((180.0 + turned).to_radians());
    let tip = (-253.0 + 150.0 * cos, 820.0 + 150.0 * sin);
    format!(
        "motor wrist {{ kind servo  voltage 6 V  stall 0.9 N.m  slew 0.17 s per 60 deg
           pulse 1000 us at -{travel} deg  2000 us at {travel} deg }}
         figure heron {{ board plywood-9 620 mm by 1400 mm
           motor wings wiper at (260, 570) mm turns ccw
           limb wing {{ pivot (197, 820) mm tip (-253, 820) mm mount behind
             drive four-bar {{ motor wings crank 30 mm rod 250 mm tail-hole 70 mm at 180 deg
               assembly crossed }}
             gesture flap {{ sweep 155 deg to 205 deg within 2 deg cycle 4 s }} }}
           limb hand on wing {{ pivot (-253, 820) mm tip ({:.6}, {:.6}) mm sheet plywood-6 weighed 0.3 kg balances 100 mm
             drive servo {{ motor wrist }} }} }}",
        tip.0, tip.1
    )
}

#[test]
fn a_rider_stands_where_it_is_worst_for_its_carriers_motor() {
    // Each of 25 poses drawn as a figure of its own whose servo does not turn it, and its
    // peak computed for that; then a servo that turns the hand through all of them.
    let still = |turned| load(&compile(&heron(turned, 0.000_1)), 0).motor.peak;
    let poses = |middle: f64| (0..=24).map(move |k| middle - 72.0 + 6.0 * f64::from(k));
    for middle in [0.0, 90.0] {
        let peaks: Vec<f64> = poses(middle).map(still).collect();
        let least = peaks.iter().copied().fold(f64::INFINITY, f64::min);
        let most = peaks.iter().copied().fold(0.0, f64::max);
        assert!(most > 1.1 * least, "the pose matters: {least} {most}");
        let swung = compile(&heron(middle, 72.0));
        let peak = load(&swung, 0).motor.peak;
        assert!((peak / most - 1.0).abs() < 1e-3, "{peak}, not {most}");
        let notes = &swung.loads[0].limbs[0].assumed;
        let words = format!(
            "wing: {} N.m, and {} N.m where it is least",
            decimal(most, 3),
            decimal(least, 3)
        );
        assert!(notes.iter().any(|n| n.what.ends_with(&words)), "{words}: {notes:?}");
    }
}

const FROG: &str = "yard green { size 10 m by 8 m  wind run 10 m/s stand 20 m/s  soil lawn }
  figure frog { board plywood-9 420 mm by 900 mm
    limb body { slide from (210, 300) mm to (210, 400) mm weighed 0.8 kg GUIDE
      sheet plywood-6 outline (110, 300) (410, 300) (410, 700) (110, 700) mm
      drive slider-crank { motor wiper at (210, 135) mm crank 10 mm rod 180 mm }
      gesture hop { stroke 5 mm to 25 mm within 2 mm cycle 3 s } } }
  set frog at (5 m, 4 m) facing south";

#[test]
fn a_guide_bears_tilt_and_twist_as_a_footing_does() {
    // By hand: 300 x 400 mm, its middle 200 mm along the guide and 50 mm beside it; held over
    // 200 x 80 mm about a place 120 mm along. F = 1.8 x 0.613 x 0.12 = 0.132408 N per
    // (m/s)^2; tilt arm 80 mm, twist arm 50 mm.
    let compiled = compile(&FROG.replace("GUIDE", "guide 200 mm by 80 mm at 120 mm"));
    let loaded = &compiled.loads[0].limbs[0];
    let wind = loaded.wind.as_ref().unwrap();
    let dents = wind.limits.iter().find(|l| l.code.word == "guide-dents").unwrap();
    let (force, area) = (1.8 * 0.613 * 0.12, 0.2 * 0.08);
    let hand =
        force / area + 6.0 * force * 0.08 / (area * 0.2) + 6.0 * force * 0.05 / (area * 0.08);
    assert!((dents.per_gust2 / (hand * 1e-6) - 1.0).abs() < 1e-9, "{dents:?}");
    // Corners: F/4 +- F 0.08/0.2/2 +- F 0.05/0.08/2 = F (0.25 +- 0.2 +- 0.3125): without sign
    // 0.7625 + 0.1375 + 0.3625 + 0.2625 = 1.525 F. A crank of the calm peak and this friction
    // over 10 mm: what the wind adds is 0.3 x 1.525 F x 100 x the rate of the slide.
    let part = load(&compiled, 0);
    let alone = compile(&FROG.replace("GUIDE", ""));
    let share = |windy: f64, calm: f64| windy - calm;
    let added = share(part.motor.in_wind.unwrap(), part.motor.peak);
    let plain = load(&alone, 0);
    let before = share(plain.motor.in_wind.unwrap(), plain.motor.peak);
    assert!((added / before / 1.525 - 1.0).abs() < 1e-3, "{added} {before}");
    // Folds at the guide's upper end, 220 mm along: 180 mm stand out, and 20 below it.
    let folds = wind.limits.iter().find(|l| l.code.word == "limb-flops").unwrap();
    let hand = 1.3 * 0.613 * 0.18 * 0.18 / 2.0 * 6.0 / (0.006 * 0.006) * 1e-6;
    assert!((folds.per_gust2 / hand - 1.0).abs() < 0.03, "{} {hand}", folds.per_gust2);
}

#[test]
fn a_guide_that_is_not_described_is_asked_for() {
    let notes = |guide: &str| {
        let compiled = compile(&FROG.replace("GUIDE", guide));
        let notes = compiled.loads[0].limbs[0].not_checked.clone();
        notes.iter().map(|n| n.settle.clone()).collect::<Vec<_>>()
    };
    assert!(notes("").contains(&"guide 120 mm by 60 mm at 0 mm".to_owned()));
    assert!(notes("guide 200 mm").contains(&"guide 200 mm by 60 mm".to_owned()));
    assert!(notes("guide 200 mm by 80 mm at 120 mm").iter().all(|s| !s.starts_with("guide")));
    // Where its place is left out it lies at the point that slides, and makes no finding.
    let compiled = compile(&FROG.replace("GUIDE", "guide 40 mm by 20 mm"));
    assert!(compiled.findings.iter().all(|f| f.code.word != "guide-dents"));
}

const LIFT: &str =
    "motor jack { kind ram force 400 N speed 0.01 m/s length 205 to 305 mm duty 25 % UNDER }
  figure lift { board plywood-9 500 mm by 900 mm
    limb body { slide from (250, 500) mm to (250, 620) mm weighed 10 kg
      drive ram { motor jack at (250, 295) mm }
      gesture rise { on } } }
  yard green { size 10 m by 8 m }  set lift at (5 m, 4 m) facing south
  song jig { meter 4/4  tempo 60 bpm from 0 s  section verse bar 1 for 30 bars }
  show evening with jig { bar 2 lift.body rise for 5 bars }";

#[test]
fn a_ram_is_slower_under_its_load_by_its_own_line() {
    // By hand: 10 mm/s free and 7 at 150 N come to rest at 500 N; 98.07 N leave 0.8039 of the
    // speed out. In again the weight helps, and the screw holds it to its own speed.
    for under in ["loaded 0.007 m/s at 150 N", "raised 15.2957 kg  70 mm in 10 s"] {
        let compiled = compile(&LIFT.replace("UNDER", under));
        let [out, back] = compiled.loads[0].motors[0].left.expect("its line is known");
        assert!((out - (1.0 - 98.0665 / 500.0)).abs() < 1e-4, "{out}");
        assert!((back - 1.0).abs() < 1e-9);
        let body = &compiled.performances[0].figures[0].channels[0];
        // Switched out, and off when even a slow one is there: none is said to be slow.
        let out_at = body.keys.iter().find(|k| k.value == 1.0).unwrap().at;
        let off = body.keys.iter().find(|k| k.value == 0.0 && k.at > out_at).unwrap().at;
        assert!(((off - out_at).0 - 10.0 / out).abs() < 0.001, "{:?}", body.keys);
    }
    let unsaid = compile(&LIFT.replace("UNDER", ""));
    assert_eq!(unsaid.loads[0].motors[0].left, None);
    let notes = &unsaid.loads[0].limbs[0].not_checked;
    assert!(notes.iter().any(|n| n.settle.starts_with("raised")), "{notes:?}");
}

/// A sheet of 300 x 400 mm, held over 200 mm about a place 120 mm along: 180 mm stand out of
/// its guide. By hand: w L^4/(8 EI), w = 1.3 x 0.613 V^2 x 0.3 m, E 6 GPa, 6 mm; the guide's
/// play of 0.3 mm over 200 mm tilts its end by 0.27.
#[test]
fn what_stands_out_of_a_guide_scrapes_at_the_gust_a_hand_reckons() {
    let text = FROG.replace("GUIDE", "guide 200 mm by 80 mm at 120 mm gap 3 mm");
    let compiled = compile(&text);
    let wind = compiled.loads[0].limbs[0].wind.as_ref().unwrap();
    let scrapes = wind.limits.iter().find(|l| l.goes == "it bends and scrapes").unwrap();
    let input = |name: &str| scrapes.inputs.iter().find(|i| i.name == name).unwrap().value;
    let out = input("stands_out") * 1e-3;
    assert!((out - 0.18).abs() < 1e-9, "{out}");
    let (b, t) = (0.3_f64, 0.006_f64);
    let inertia = b * libm::pow(t, 3.0) / 12.0;
    let bent = 1.3 * 0.613 * b * libm::pow(out, 4.0) / (8.0 * 6e9 * inertia) * 1e3;
    assert!((scrapes.per_gust2 / bent - 1.0).abs() < 2e-3, "{} {bent}", scrapes.per_gust2);
    assert!((scrapes.calm - 0.3 * 180.0 / 200.0).abs() < 1e-9);
    assert!((scrapes.bears - 2.0).abs() < 1e-9);
}

/// An even load from standing still: t = sqrt(2 m s/F). 2 kg straight up, 100 mm of the
/// cylinder's stroke, 16 mm at 400 kPa: 80.42 N, less 19.61 up; down the ring of 16 and 6 mm has
/// 69.1 N, and the weight helps.
#[test]
fn no_throttle_makes_a_cylinder_quicker_than_its_air() {
    let text = |up: f64, down: f64, words: &str| {
        format!(
            "figure hedgehog {{ board plywood-9 500 mm by 800 mm
               limb body {{ slide from (250, 300) mm to (250, 420) mm {words}
                 drive cylinder {{ motor cylinder-16 at (250, 100) mm air tank at 400 kPa
                   throttle up {up:.4} s down {down:.4} s }}
                 gesture pop {{ pulse up for 8 s }} }} }}"
        )
    };
    let slow = |up: f64, down: f64, words: &str| {
        let found = compile(&text(up, down, words)).findings;
        found.iter().filter(|f| f.code.word == "cylinder-slow").count()
    };
    let area = |d: f64| std::f64::consts::PI * d * d / 4.0;
    let weight = 2.0 * 9.806_65;
    let [push, pull] = [0.4 * area(16.0) - weight, 0.4 * (area(16.0) - area(6.0)) + weight];
    let [up, down] = [push, pull].map(|force| (2.0 * 2.0 * 0.1 / force).sqrt());
    assert!((up - 0.0811).abs() < 1e-4, "{up}");
    let said = "weighed 2 kg";
    assert_eq!(slow(up * 1.001, down * 1.001, said), 0);
    assert_eq!(slow(up * 0.999, down * 1.001, said), 1);
    assert_eq!(slow(up * 1.001, down * 0.999, said), 1);
    // Of a weight nobody said no finding is made.
    assert_eq!(slow(0.001, 0.001, "sheet plywood-6"), 0);
}

/// Held 20 mm beside the shaft, the crank of 60 mm pushes 80 mm beside its guide on one side:
/// in 47 mm it binds where that is the way up, 2 x 0.3 x 80 = 48, and 40 mm on the other side do
/// not.
#[test]
fn a_motor_that_may_turn_one_way_only_is_told() {
    let told = |guide: &str, turns: &str| {
        let to = format!("turns {turns} limit 4 A crank 60 mm  offset 20 mm");
        let text = YOKE.replace("GUIDE", guide).replace("limit 4 A crank 60 mm", &to);
        let assumed = compile(&text).loads[0].limbs[0].assumed.clone();
        assumed.into_iter().find(|n| n.what.contains("one way only")).map(|n| n.what)
    };
    assert!(told("guide 47 mm", "ccw").unwrap().contains(": clockwise"));
    assert_eq!(told("guide 49 mm", "ccw"), None);
}

/// A ram at its own steady speed: nothing but weight W = 19.61 N and what rubs. Upright, with
/// the middle of the limb 100 mm beside 200 mm of guide: each edge bears W/2, 0.3 W rub. Level,
/// the middle 150 mm ahead of 100 mm of guide: 2 W and W, 0.9 W; above the guide's middle 0.3 W.
/// On rails 40 mm apart what rubs turns it on: 150 + 0.3 x 20 mm for 150 on the way out.
#[test]
fn a_weight_beside_or_ahead_of_its_guide_rubs_at_both_edges() {
    let peak = |slide: &str, motor: &str, words: &str| {
        let compiled = compile(&format!(
            "motor jack {{ kind ram force 400 N speed 0.01 m/s length 205 to 305 mm duty 25 % }}
             figure lift {{ board plywood-9 900 mm by 900 mm
               limb body {{ slide from {slide} mm mass 2 kg inertia 0.1 kg.m2 {words}
                 drive ram {{ motor jack at {motor} mm }} gesture rise {{ on }} }} }}"
        ));
        load(&compiled, 0).motor.peak / (2.0 * 9.806_65)
    };
    let upright = |words: &str| peak("(250, 500) mm to (250, 620)", "(250, 295)", words);
    let level = |words: &str| peak("(500, 300) mm to (620, 300)", "(295, 300)", words);
    for (got, want) in [
        (upright("centre 100 mm at -90 deg guide 200 mm"), 1.3),
        (level("centre 150 mm at 0 deg guide 100 mm"), 0.9),
        (level("centre 150 mm at 0 deg guide 100 mm by 40 mm at 150 mm"), 0.3),
        (level("centre 150 mm at 0 deg guide 100 mm by 40 mm"), 0.3 * 2.0 * 156.0 / 100.0),
    ] {
        assert!((got - want).abs() < 1e-6, "{got}, by hand {want}");
    }
}
