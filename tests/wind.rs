//! Figures in the wind, from file to finding and page.

use yardwright::finding::{Finding, Severity};
use yardwright::loads::{LoadedFigure, When};
use yardwright::units::MetrePerSec;

use crate::support::Yard;

/// An arm of a bear on a braced board; `$wind` m/s of the yard, the arm's clauses, the
/// anchor.
fn bear(yard: &str, arm: &str, anchor: &str) -> String {
    format!(
        "use parts\n{yard}\nfigure bear {{\n\
         board plywood-9 outline (0, 0) (620, 0) (700, 900) (310, 1350) (-40, 900) mm\n\
         frame 38 mm by 38 mm {{ (150, 0) to (150, 960) mm  (470, 0) to (470, 960) mm  (20, 880) to (620, 880) mm }}\n\
         {anchor}\nlimb arm {{ pivot (150, 880) mm  tip (-250, 1150) mm  {arm}\n\
         drive four-bar {{ motor wiper at (310, 806) mm  limit 4 A  crank 30 mm  rod ?  lever 80 mm at ? }}\n\
         gesture hit {{ sweep 121 deg to 165 deg within 4 deg  cycle 3 s }} }}\n}}\n"
    )
}

const WINDS: &str = "yard y { size 10 m by 8 m  wind run 7 m/s stand 22 m/s  soil lawn }";
const PLY: &str = "bolt M8  bushing nylon  washer 30 mm  sheet plywood-6  \
                   outline (190, 850) (110, 840) (-270, 1130) (-230, 1180) (180, 930) mm";
const CORRUGATED: &str = "bolt M8  bushing nylon  washer 24 mm  sheet corrugated-4  \
                          outline (190, 850) (110, 840) (-270, 1130) (-230, 1180) (180, 930) mm";
const BRACED: &str =
    "anchor stakes 2 spacing 500 mm depth 600 mm diameter 25 mm  braces 2 at 700 mm out 1200 mm";
const ONE_GUY: &str =
    "anchor stakes 2 spacing 320 mm depth 450 mm diameter 25 mm  guys 1 at 900 mm out 1200 mm";

fn compiled(text: &str) -> (std::sync::Arc<LoadedFigure>, Vec<Finding>) {
    let yard = Yard::new().file("bear.yard", text);
    let mut compiler = yardwright::check::Compiler::default();
    let compiled = compiler.compile(&yard.path("bear.yard")).unwrap();
    (compiled.loads[0].clone(), compiled.findings)
}

fn words(findings: &[Finding], severity: Severity) -> Vec<&'static str> {
    findings.iter().filter(|f| f.severity == severity).map(|f| f.code.word).collect()
}

#[test]
fn a_braced_bear_of_plywood_stands_as_reckoned_by_hand() {
    let (loaded, findings) = compiled(&bear(WINDS, PLY, BRACED));
    assert_eq!(words(&findings, Severity::Error), [""; 0]);
    let figure = loaded.wind.as_ref().unwrap();
    // Board 0.7785 m2 and what the arm shows beyond it. By hand at 22 m/s: q 296.7 Pa.
    let q = 0.613 * 22.0 * 22.0;
    let force = 1.8 * q * figure.area;
    let level = force * figure.height / 0.7 / 2.0 + force * 0.74 / 4.0 / 0.32;
    let along = level * (0.7_f64 * 0.7 + 1.2 * 1.2).sqrt() / 1.2;
    let pull = figure.limits.iter().find(|l| l.code.word == "stakes-pull").unwrap();
    assert!((pull.asked(MetrePerSec(22.0)) / along - 1.0).abs() < 1e-9);
    // The arm's bolt: 1.8 q A r over the section of 8 mm.
    let wind = loaded.limbs[0].wind.as_ref().unwrap();
    let moment = 1.8 * q * wind.area * wind.centre;
    let bolt = wind.limits.iter().find(|l| l.code.word == "bolt-bends").unwrap();
    let section = std::f64::consts::PI * 512.0 / 32.0;
    assert!((bolt.asked(MetrePerSec(22.0)) - moment * 1e3 / section).abs() < 1e-6);
    assert!((90.0..110.0).contains(&bolt.asked(MetrePerSec(22.0))));
}

#[test]
fn a_draft_bear_of_corrugated_sheet_on_one_guy_does_not() {
    let (loaded, findings) = compiled(&bear(WINDS, CORRUGATED, ONE_GUY));
    let errors = words(&findings, Severity::Error);
    for word in ["limb-flops", "tips-over", "twists"] {
        assert!(errors.contains(&word), "{word} is missing in {errors:?}");
    }
    // About 5 m/s where the guy is slack.
    let (first, _, gust) = loaded.first_to_go(When::Stand).unwrap();
    assert_eq!(first.code.word, "tips-over");
    assert!((3.0..7.0).contains(&gust.0), "{gust:?}");
}

#[test]
fn assumed_winds_and_parts_make_no_error() {
    // The same without a wind: a hint. With nothing named at all: nothing.
    let (_, findings) = compiled(&bear("", CORRUGATED, ONE_GUY));
    assert_eq!(words(&findings, Severity::Error), [""; 0]);
    assert!(words(&findings, Severity::Advice).contains(&"tips-over"));
    let (loaded, findings) = compiled(&bear("", "", ""));
    let told = [Severity::Error, Severity::Warning, Severity::Advice].map(|s| words(&findings, s));
    assert_eq!(told.concat(), [""; 0]);
    let note = "wind, tipping (no anchor)";
    assert!(loaded.limbs[0].not_checked.iter().any(|n| n.what == note));
    assert!(loaded.limbs[0].wind.as_ref().unwrap().limits.iter().all(|l| l.left_out));
}

#[test]
fn at_its_largest_gust_every_check_still_passes_and_above_one_does_not() {
    for arm in [PLY, CORRUGATED] {
        let (loaded, _) = compiled(&bear(WINDS, arm, BRACED));
        let wind = loaded.limbs[0].wind.as_ref().unwrap();
        let all = || wind.limits.iter().chain(&loaded.wind.as_ref().unwrap().limits);
        let (under, over) =
            (MetrePerSec(wind.max_run.0 * 0.999), MetrePerSec(wind.max_run.0 * 1.001));
        assert!(all().all(|l| l.passes(under)));
        assert!(all().any(|l| !l.passes(over)));
        assert!(wind.max_run.0 <= wind.max_stand.0);
    }
}

#[test]
fn what_the_wind_asks_grows_with_its_square() {
    let (loaded, _) = compiled(&bear(WINDS, PLY, BRACED));
    let limits = loaded.limbs[0].wind.iter().flat_map(|w| &w.limits);
    for limit in limits.chain(loaded.wind.iter().flat_map(|w| &w.limits)) {
        let windy = |v: f64| limit.asked(MetrePerSec(v)) - limit.calm;
        assert!((windy(20.0) / windy(10.0) - 4.0).abs() < 1e-9, "{}", limit.code.word);
    }
}

#[test]
fn the_weather_page_brings_in_the_weak_one() {
    let text = bear(WINDS, CORRUGATED, ONE_GUY) + "set bear at (5 m, 4 m) facing south\n";
    let yard = Yard::new().file("bear.yard", text);
    let mut compiler = yardwright::check::Compiler::default();
    let compiled = compiler.compile(&yard.path("bear.yard")).unwrap();
    let outputs = yardwright::emit::weather::outputs(&compiled);
    let page = String::from_utf8(outputs[0].bytes.clone()).unwrap();
    assert_eq!(outputs[0].path, "weather.html");
    let storm = page.lines().find(|l| l.contains("20.8 m/s")).unwrap();
    assert!(storm.contains("bear (3 fixings)"), "{storm}");
    for word in ["<script", "safe", "will hold"] {
        assert!(!page.contains(word), "{word}");
    }
    assert!(page.contains("local code") && page.contains("prefers-color-scheme"));
}

/// A flag straight up on a servo.
fn flag(bolt: &str, shape: &str) -> String {
    format!(
        "use parts\nyard y {{ size 10 m by 8 m  wind run 7 m/s stand 15 m/s  soil lawn }}\n\
         figure moon {{\nboard plywood-9 800 mm by 860 mm\nlimb flag {{\n\
         pivot (520, 340) mm  tip (520, 740) mm  sheet plywood-6  {shape}  {bolt}\n\
         drive servo {{ motor servo-standard at (520, 340) mm }}\n\
         rest 90 deg\ngesture nod {{ turn to 80 deg over 2 s }} }}\n}}\n"
    )
}

#[test]
fn a_flag_on_a_servos_own_shaft_bends_it_and_on_a_bolt_does_not() {
    let wide = "length 300 mm  width 160 mm  tail 60 mm";
    let (loaded, findings) = compiled(&flag("", wide));
    assert_eq!(words(&findings, Severity::Advice), ["servo-carries-limb"]);
    let wind = loaded.limbs[0].wind.as_ref().unwrap();
    let carries = wind.limits.iter().find(|l| l.code.word == "servo-carries-limb").unwrap();
    // By hand: 360 x 160 mm with its centre 120 mm above the shaft, 1.8 x 0.613 x 15^2 Pa.
    let moment = 1.8 * 0.613 * 225.0 * 0.36 * 0.16 * 0.12;
    assert!((carries.asked(MetrePerSec(15.0)) - moment).abs() < 1e-9);
    assert!((carries.bears - 3.5 * 0.098_066_5).abs() < 1e-9);
    let (loaded, findings) = compiled(&flag("bolt M8  bushing nylon  washer 40 mm", wide));
    assert_eq!(words(&findings, Severity::Advice), [""; 0]);
    let wind = loaded.limbs[0].wind.as_ref().unwrap();
    assert!(wind.limits.iter().all(|l| l.code.word != "servo-carries-limb"));
}

#[test]
fn wind_along_the_board_turns_a_long_flag_against_its_servo() {
    let long = "length 600 mm  width 60 mm  tail 60 mm";
    let (loaded, findings) = compiled(&flag("bolt M10  bushing nylon  washer 40 mm", long));
    assert_eq!(words(&findings, Severity::Warning), ["servo-blown"]);
    let wind = loaded.limbs[0].wind.as_ref().unwrap();
    let blown = wind.limits.iter().find(|l| l.code.word == "servo-blown").unwrap();
    // By hand, at 80 deg, where its weight helps the wind most: corners 596.1 mm above and
    // 64.3 mm below the bolt, edge of 6 mm, coefficient 2.0; 0.1624 kg 270 mm out.
    let (sin, cos) = libm::sincos(80.0_f64.to_radians());
    let (high, low) = (0.600 * sin + 0.030 * cos, -0.060 * sin - 0.030 * cos);
    let edge = 2.0 * 0.613 * 0.006 * (high * high - low * low) / 2.0;
    let hold = 0.66 * 0.06 * 4.1 * 9.806_65 * 0.27 * cos;
    assert!((blown.per_gust2 / edge - 1.0).abs() < 1e-9, "{} {edge}", blown.per_gust2);
    assert!((blown.calm / hold - 1.0).abs() < 1e-6, "{} {hold}", blown.calm);
    let gust = ((3.5 * 0.098_066_5 - hold) / edge).sqrt();
    assert!((blown.gust().0 - gust).abs() < 1e-6 && (14.4..14.5).contains(&gust));
}

#[test]
fn a_servo_that_rides_is_blown_at_all_the_angles_its_carrier_brings_it_to() {
    // A wing that a servo holds between 0 and 20 deg from level, and on its end a hand that
    // another holds level with it: the wing brings the hand to 20 deg. By hand at 20 deg:
    // 0.613 x 2.0 x 0.006 x (h^2 - l^2)/2 with h and l how far the strip's corners reach.
    let text = "use parts
      yard green { size 10 m by 8 m wind run 7 m/s stand 15 m/s soil lawn }
      motor weak { kind servo slew 0.2 s per 60 deg stall 0.5 N.m pulse 1000 us at -45 deg 2000 us at 45 deg }
      figure moon { board plywood-9 800 mm by 860 mm
        limb wing { pivot (300, 500) mm tip (500, 500) mm bolt M8 sheet plywood-6 length 200 mm width 60 mm
          drive servo { motor weak at (300, 500) mm zero 0 deg }
          rest 0 deg gesture up { turn to 20 deg over 2 s } }
        limb hand on wing { pivot (500, 500) mm tip (700, 500) mm bolt M8 sheet plywood-6 length 200 mm width 60 mm
          drive servo { motor weak zero 0 deg } } }
      set moon at (5 m, 4 m) facing south";
    let (loaded, findings) = compiled(text);
    let blown = |limb: usize| {
        let wind = loaded.limbs[limb].wind.as_ref().expect("its shape is known");
        wind.limits.iter().find(|l| l.code.word == "servo-blown").unwrap_or_else(|| {
            let notes = &loaded.limbs[limb].not_checked;
            panic!("{:?} {notes:?}", findings.iter().map(|f| &f.message).collect::<Vec<_>>())
        })
    };
    let strip = |at: f64, from: f64| {
        let (sin, cos) = libm::sincos(at.to_radians());
        let ys: Vec<f64> = [(0.0, 30.0), (0.0, -30.0), (200.0, 30.0), (200.0, -30.0)]
            .iter()
            .map(|(x, y)| (from + x) * sin + y * cos)
            .collect();
        let (low, high) = ys.iter().fold((f64::MAX, f64::MIN), |(l, h), y| (l.min(*y), h.max(*y)));
        0.613 * 2.0 * 0.006 * (high * high - low * low) / 2.0 * 1e-6
    };
    // The hand's reach is its servo's, 45 deg either way, and the wing adds its own 45.
    let hand = blown(1);
    let most = (0..=90).map(|a| strip(f64::from(a), 0.0)).fold(0.0, f64::max);
    assert!(hand.per_gust2 > 0.95 * most && hand.per_gust2 <= most * 1.001, "{hand:?} {most}");
    // The wing carries the hand as drawn, straight on: both strips at the wing's worst pose.
    let wing = blown(0);
    let both = strip(20.0, 0.0) + strip(20.0, 200.0);
    assert!((wing.per_gust2 / both - 1.0).abs() < 0.01, "{} {both}", wing.per_gust2);
}

#[test]
fn a_gust_that_pulls_at_a_cord_comes_to_its_servo() {
    let text = "use parts
      yard green { size 10 m by 8 m wind run 7 m/s stand 15 m/s soil lawn }
      figure owl { board plywood-9 400 mm by 900 mm
        motor lids servo-micro at (200, 740) mm
        limb lid { pivot (200, 780) mm tip (240, 780) mm bolt M6 weighed 0.02 kg balances 25 mm friction 0.002 N.m
          sheet plywood-6 outline (180, 770) (240, 770) (240, 790) (180, 790) mm
          drive cord { motor lids horn ? lever 15 mm at ? guides (190, 760) mm return spring 0.010 N.m }
          rest 10 deg gesture blink { sweep 10 deg to 60 deg within 4 deg cycle 1 s } } }
      set owl at (5 m, 4 m) facing south";
    let (loaded, _) = compiled(text);
    let wind = loaded.limbs[0].wind.as_ref().unwrap();
    let blown = wind.limits.iter().find(|l| l.code.word == "servo-blown").expect("it is checked");
    let Some(yardwright::loads::motor::Work::Servo(load)) = &loaded.motors[0].work else {
        panic!("a servo")
    };
    assert!(blown.calm == load.hold.0 && blown.per_gust2 > 0.0, "{blown:?}");
}

/// The body of a fixture.
fn flags_that_cross() -> &'static str {
    include_str!("faults/clash-in-wind.two-flags-that-cross.yard")
}

#[test]
fn crossing_flags_meet_at_the_gust_a_hand_reckons() {
    let (loaded, findings) = compiled(flags_that_cross());
    assert!(findings.iter().any(|f| f.code.word == "clash-in-wind"), "{findings:?}");
    let wind = loaded.limbs[0].wind.as_ref().unwrap();
    let passing = wind.limits.iter().find(|l| l.code.word == "clash-in-wind").unwrap();
    // By hand. The far face of the near flag lies 50 + 40 + 4 mm behind the board's face, the
    // near face of the far one 75 + 40: 21 mm apart, 20 of them free. The near flag is held by
    // its washer to 30 mm and reaches 360: a cantilever of 330 mm, w L^4/(8 EI) with
    // w = 1.3 x 0.613 V^2 x 0.1 m and E 440 MPa; its end lies before the far flag. Tilts: 0.3 mm
    // of play over the bushings' 50 and 75 mm.
    let inertia = 0.1 * libm::pow(0.004, 3.0) / 12.0;
    let bent = 1.3 * 0.613 * 0.1 * libm::pow(0.33, 4.0) / (8.0 * 440e6 * inertia) * 1e3;
    let tilt = 0.3 * 360.0 / 50.0 + 0.3 * 250.0 / 75.0;
    let gust = ((20.0 - tilt) / bent).sqrt();
    // The pieces of the limb sum to within a thousandth of the closed form.
    assert!((passing.gust().0 / gust - 1.0).abs() < 2e-3, "{} {gust}", passing.gust().0);
    assert!(wind.max_run <= passing.gust());
}

#[test]
fn more_depth_lets_flags_cross_and_unsaid_depth_is_asked_for() {
    // The far one further out: it clears.
    let (_, findings) = compiled(&flags_that_cross().replace("length 75 mm", "length 95 mm"));
    assert!(!findings.iter().any(|f| f.code.word == "clash-in-wind"));
    // Before the board and with no gap said, a finding would rest on a guess: it is asked for,
    // once for the pair, and only where it would matter.
    let front = |gap: &str| {
        let text = flags_that_cross().replace("mount behind", "mount front");
        let text = text.replacen("gap 40 mm", "", 1).replacen("gap 40 mm", gap, 1);
        let yard = Yard::new().file("a.yard", &text);
        let compiled =
            yardwright::check::Compiler::default().compile(&yard.path("a.yard")).unwrap();
        let notes = compiled.limbs().flat_map(|(f, l)| compiled.not_checked(f, l));
        let asked = notes.filter(|n| n.settle == "gap 10 mm").count();
        let told = compiled.findings.iter().any(|f| f.code.word == "clash-in-wind");
        (asked, told)
    };
    assert_eq!(front("gap 10 mm"), (1, false));
    assert_eq!(front("gap 55 mm"), (0, false));
}

/// A hand on a flag, before the one that stands across: what carries it bends with it.
const HAND: &str = "use parts
yard green { size 10 m by 8 m  wind run 12 m/s stand 20 m/s  soil lawn }
figure mast { board plywood-9 1200 mm by 1400 mm
  limb flag { pivot (200, 800) mm tip (560, 800) mm mount behind bolt M8 washer 60 mm gap 40 mm
    bushing nylon length 50 mm sheet plywood-6 length 360 mm width 100 mm tail 60 mm
    drive servo { motor servo-standard at (200, 700) mm crank 20 mm rod 100 mm tail-hole 20 mm at 180 deg }
    gesture wave { sweep -5 deg to 5 deg cycle 4 s } }
  limb hand on flag { pivot (520, 800) mm tip (680, 800) mm mount behind bolt M6 washer 60 mm gap 10 mm
    sheet plywood-6 length 160 mm width 60 mm
    drive servo { motor servo-standard } gesture beckon { bend -5 deg to 5 deg cycle 4 s } }
  limb post { pivot (900, 800) mm tip (650, 800) mm mount behind bolt M8 washer 60 mm gap GAP mm
    bushing nylon length 75 mm sheet plywood-9 length 250 mm width 100 mm tail 60 mm
    drive servo { motor servo-standard at (900, 700) mm crank 20 mm rod 100 mm tail-hole 20 mm at 180 deg }
    gesture wave { sweep 175 deg to 185 deg cycle 4 s } } }
set mast at (5 m, 4 m) facing south";

#[test]
fn a_hand_that_rides_bends_with_what_carries_it() {
    let (loaded, _) = compiled(&HAND.replace("GAP", "55"));
    let wind = loaded.limbs[1].wind.as_ref().unwrap();
    let passing = wind.limits.iter().find(|l| l.code.word == "clash-in-wind").expect("they pass");
    let input = |name: &str| passing.inputs.iter().find(|i| i.name == name).unwrap().value;
    // In depth: 50 + 40 + 6 + 10 + 6 mm behind the board's face, and 75 + 55: 18 mm apart.
    assert!((input("apart") - 18.0).abs() < 1e-9 && (passing.bears - 17.0).abs() < 1e-9);
    let out = input("arm_passes_at");
    assert!((158.0..=160.01).contains(&out), "its end passes: {out}");
    // Any textbook's beams, E 6 GPa, for 1 m/s; held to 30 mm by washers. The hand, w L^4/(8 EI):
    let (e, q) = (6e9, 0.613);
    let inertia = |b: f64, t: f64| b * libm::pow(t, 3.0) / 12.0;
    let own = 1.3 * q * 0.06 * libm::pow(0.13, 4.0) / (8.0 * e * inertia(0.06, 0.006));
    // The flag: its own load, and the hand's force and couple 290 mm from where it is held.
    let (l, a, ei) = (0.33_f64, 0.29_f64, e * inertia(0.1, 0.006));
    let w = 1.3 * q * 0.1;
    let p = 1.8 * q * 0.16 * 0.06;
    let m = p * 0.08;
    let there = w * a * a * (6.0 * l * l - 4.0 * l * a + a * a) / (24.0 * ei)
        + p * a * a * a / (3.0 * ei)
        + m * a * a / (2.0 * ei);
    let slope = w * libm::pow(l, 3.0) / (6.0 * ei) + p * a * a / (2.0 * ei) + m * a / ei;
    let out = out * 1e-3;
    // The hand's own curve, where it passes.
    let s = (out - 0.03) / 0.13;
    let share = s * s * (6.0 - 4.0 * s + s * s) / 3.0;
    let hand = (there + slope * out + own * share) * 1e3;
    assert!((passing.per_gust2 / hand - 1.0).abs() < 0.02, "{} {hand}", passing.per_gust2);
    // Tilts: 0.3 mm of play over the flag's bushing of 50 mm, over the washers that hold the
    // hand upright (0.75 x 60 mm), and over the post's bushing of 75 mm.
    let tilt = 0.3 * (320.0 + out * 1e3) / 50.0
        + 0.3 * out * 1e3 / 45.0
        + 0.3 * input("other_arm_passes_at") / 75.0;
    assert!((passing.calm / tilt - 1.0).abs() < 1e-6, "{} {tilt}", passing.calm);
    let told = |gap: &str| {
        let findings = compiled(&HAND.replace("GAP", gap)).1;
        findings.iter().any(|f| f.code.word == "clash-in-wind")
    };
    assert_eq!((told("43"), told("75")), (true, false));
}

/// The limit of a figure's stand by its code.
fn stand(soil: &str, anchor: &str, code: &str) -> Option<(f64, f64)> {
    let (loaded, _) = compiled(&format!(
        "use parts\nyard y {{ size 10 m by 8 m  wind run 7 m/s stand 22 m/s  soil {soil} }}\n\
         figure f {{ board plywood-9 600 mm by 1200 mm  anchor {anchor} }}"
    ));
    let wind = loaded.wind.as_ref().expect("it stands on something");
    wind.limits.iter().find(|l| l.code.word == code).map(|l| (l.bears, wind.weight))
}

#[test]
fn no_stake_holds_in_paving_and_weights_rub_on_what_they_stand_on() {
    // Nothing but its own weight on a base of 9 mm: by hand 0.6 x 1.2 m2 of 6.1 kg/m2 is
    // 4.39 kg, 43.1 N, 0.194 N.m.
    let (bears, weight) =
        stand("paving", "stakes 2 depth 600 mm diameter 25 mm", "tips-over").unwrap();
    assert!((bears - weight * 0.0045).abs() < 1e-9 && (weight - 43.07).abs() < 0.1, "{bears}");
    let (lawn, _) = stand("lawn", "stakes 2 depth 600 mm diameter 25 mm", "tips-over").unwrap();
    assert!(lawn > 10.0 * bears, "{lawn}");
    // Coulomb: 200 kg and the board's weight times the rubbing of each ground.
    for (soil, rubs) in [("lawn", 0.4), ("paving", 0.5), ("deck", 0.3)] {
        let (bears, weight) = stand(soil, "ballast 200 kg", "slides").unwrap();
        assert!((bears - rubs * (weight + 200.0 * 9.806_65)).abs() < 1e-6, "{soil} {bears}");
    }
}

#[test]
fn a_figure_that_nothing_holds_has_no_gust_to_stand() {
    let stands = |anchor: &str| {
        let (loaded, _) = compiled(&format!(
            "use parts\nfigure f {{ board plywood-9 600 mm by 1400 mm {anchor}
               limb arm {{ pivot (300, 900) mm tip (700, 900) mm bolt M8 sheet plywood-9 width 60 mm
                 drive four-bar {{ motor wiper at (300, 600) mm limit 4 A crank 30 mm rod ? lever 90 mm at ? }}
                 gesture wave {{ sweep 0 deg to 39 deg within 4 deg cycle 4 s }} }} }}"
        ));
        let wind = yardwright::emit::wind::WindReport::new(&loaded, 0).unwrap();
        serde_json::to_value(wind).unwrap().get("max_stand_wind_mps").is_some()
    };
    assert!(!stands(""));
    assert!(stands("anchor stakes 2 depth 600 mm diameter 25 mm"));
}

#[test]
fn hints_that_were_seen_to_are_told_no_longer() {
    let flag = |of_figure: &str, of_limb: &str| {
        let text = bear(WINDS, &format!("{CORRUGATED}  flutes along  {of_limb}"), BRACED);
        let text = text.replace("board plywood-9", &format!("{of_figure}\nboard corrugated-4"));
        let all = compiled(&text).1;
        let mut hints = words(&all, Severity::Advice);
        hints.retain(|w| ["sun-brittle", "ice-loads"].contains(w));
        hints.sort_unstable();
        let hard = |s| words(&all, s).into_iter().filter(|w| *w == "limb-flops").count();
        (hints, hard(Severity::Error) + hard(Severity::Warning))
    };
    let (all, hard) = flag("", "");
    assert_eq!((all, hard), (vec!["ice-loads", "sun-brittle", "sun-brittle"], hard));
    // On the limb: the board's own hint stays.
    let (left, _) = flag("", "seen-to ice-loads  seen-to sun-brittle");
    assert_eq!(left, ["sun-brittle"]);
    // On the figure: of all of it.
    assert_eq!(flag("seen-to sun-brittle", "").0, ["ice-loads"]);
    // What a number says is not taken away.
    assert!(hard > 0);
    assert_eq!(flag("", "seen-to limb-flops").1, hard);
}

#[test]
fn a_hint_that_nothing_raised_was_not_dealt_with() {
    let said = format!("{CORRUGATED}  flutes along  seen-to sun-brittle  seen-to wet-heavy");
    let yard = Yard::new().file("bear.yard", bear(WINDS, &said, BRACED));
    let mut compiler = yardwright::check::Compiler::default();
    let all = compiler.compile(&yard.path("bear.yard")).unwrap();
    let options = yardwright::emit::text::TextOptions { width: 200, ..Default::default() };
    let page = yardwright::emit::text::report(&all, &options);
    let row = page.lines().find_map(|l| l.trim_start().strip_prefix("seen to")).unwrap();
    assert_eq!(row.trim(), "sun-brittle   wet-heavy (no such hint raised)");
    let name = &all.yard.figures[0].name.value;
    let raised = |hint: &str| all.seen_to.on_figure(name, hint);
    assert!(raised("sun-brittle") && !raised("wet-heavy"));
}

/// A body lifted by a cylinder of 16 mm at 400 kPa, which pushes with 80 N (400 kPa x 201 mm2);
/// the weight of it in kg is all that differs.
fn lifted(kg: f64) -> String {
    format!(
        "use parts
yard {{ size 10 m by 8 m  wind run 5 m/s stand 12 m/s  tank air 24 l full 800 kPa }}
set gate at (3 m, 4 m) facing south
figure gate {{
  board plywood-9 900 mm by 900 mm
  limb body {{
    slide from (450, 100) mm to (450, 200) mm  weighed {kg} kg  guide 120 mm by 100 mm
    sheet plywood-6  outline (400, 80) (500, 80) (500, 250) (400, 250) mm
    drive cylinder {{ motor cylinder-16 at (450, -100) mm  length 200 to 300 mm
      air air at 400 kPa  throttle up 3 s down 3 s }}
    gesture pop {{ pulse up for 8 s }}
  }}
}}"
    )
}

/// What a limb weighs only ever lowers the gust it moves in: from some weight on it is nought,
/// also where the motor itself is what is too weak.
#[test]
fn a_drive_too_weak_in_calm_air_leaves_no_gust_to_run_in() {
    // 80 N, of which seven tenths are to be used, 56 N, bear 5 kg (49 N) and not 6 (59 N).
    let (light, heavy) = (compiled(&lifted(5.0)), compiled(&lifted(6.0)));
    let gust = |c: &std::sync::Arc<LoadedFigure>| c.limbs[0].wind.as_ref().unwrap().max_run.0;
    assert!((30.0..40.0).contains(&gust(&light.0)), "{}", gust(&light.0));
    assert_eq!(gust(&heavy.0), 0.0);
    // Told once, of the cylinder.
    let told = |of: &[Finding]| of.iter().filter(|f| f.code.word == "cylinder-weak").count();
    assert_eq!((told(&light.1), told(&heavy.1)), (0, 1));
}

#[test]
fn a_motor_that_stalls_in_calm_air_leaves_no_gust_to_run_in() {
    let weak = "motor tiny { kind brushed  voltage 12 V  free 45 rpm 0.1 A  stall 0.12 N.m 0.5 A }";
    let text = bear(WINDS, PLY, BRACED).replace("motor wiper", "motor tiny");
    let (loaded, findings) =
        compiled(&text.replace("figure bear", &format!("{weak}\nfigure bear")));
    let told: Vec<_> = findings.iter().filter(|f| f.code.word == "motor-stalls").collect();
    assert_eq!(told.len(), 1, "{findings:?}");
    let figure = loaded.wind.as_ref().unwrap();
    assert_eq!((figure.max_run.0, loaded.limbs[0].wind.as_ref().unwrap().max_run.0), (0.0, 0.0));
    assert!(figure.max_stand.0 > 0.0);
}

#[test]
fn no_gust_to_run_in_is_said_in_words_wherever_gusts_are() {
    let yard = Yard::new().file("gate.yard", lifted(6.0));
    let mut compiler = yardwright::check::Compiler::default();
    let all = compiler.compile(&yard.path("gate.yard")).unwrap();
    let why = "its cylinder is too weak";
    let system = all.yard.system;
    let words = yardwright::emit::wind::words(&all.loads[0], 0, system);
    assert_eq!(words[0], format!("not to run, not even in still air: {why}"));
    let page = String::from_utf8(yardwright::emit::weather::outputs(&all).remove(0).bytes).unwrap();
    let cells = format!(
        "<td data-head=\"stop above\">not even in still air</td><td data-head=\"because\">body: {why}</td>"
    );
    assert!(page.contains(&cells), "{page}");
    let night = yardwright::emit::wind::run_words(&all);
    assert_eq!(night, "Moving parts run up to gusts of 5 m/s, but gate not even in still air");
    let wind = yardwright::emit::wind::WindReport::new(&all.loads[0], 0).unwrap();
    let wind = serde_json::to_value(wind).unwrap();
    assert_eq!(wind["max_run_wind_mps"], 0.0);
    assert_eq!(wind["first_to_go"], "cylinder-weak");
    yard.run("explain cylinder-weak --for gate.body gate.yard")
        .exits(0)
        .says("not even in calm air");
}

/// An arm of 700 mm of which only the inner part stands over its board; its gap to it, mm.
fn overhanging(gap: f64) -> String {
    format!(
        "use parts
yard {{ size 10 m by 8 m  wind run 12 m/s stand 15 m/s }}
figure bear at (3 m, 4 m) facing south {{
  board plywood-9 620 mm by 1350 mm
  limb arm {{
    pivot (150, 880) mm  tip (-450, 880) mm  bolt M12  washer 24 mm
    bushing nylon length 40 mm  gap {gap} mm  sheet plywood-6  length 700 mm  width 90 mm  tail 60 mm
    drive four-bar {{ motor wiper at (310, 880) mm  crank 30 mm  rod ?  lever 80 mm at ?  standoff 20 mm }}
    gesture hit {{ sweep 158 deg to 202 deg within 2 deg  cycle 4 s }}
  }}
}}"
    )
}

/// Where an arm leaves its board it has bent by little of what its end has: a strip of 90 by
/// 6 mm, E 6 GPa, held by washers of 24 mm, in a gust of 12 m/s. By hand, of the handbook's
/// uniformly loaded cantilever (from memory): q = 0.613 x 144 = 88.3 Pa, w = 1.3 q 0.09 =
/// 10.33 N/m, EI = 6e9 x 0.09 x 0.006^3/12 = 9.72 N.m2, L = 0.688 m, at its end w L^4/(8 EI) =
/// 29.8 mm, and w x^2 (6 L^2 - 4 L x + x^2)/(24 EI) so far out as it stands over the board.
#[test]
fn an_arm_that_leaves_its_board_bends_there_as_a_cantilever_does() {
    let (loaded, findings) = compiled(&overhanging(10.0));
    assert_eq!(words(&findings, Severity::Error), [""; 0]);
    let wind = loaded.limbs[0].wind.as_ref().unwrap();
    let scrapes = wind.limits.iter().find(|l| l.goes == "it bends and scrapes").unwrap();
    let told = |name: &str| scrapes.inputs.iter().find(|i| i.name == name).unwrap().value;
    let (over, length) = (told("over_the_board_to"), 0.688);
    assert!((150.0..220.0).contains(&over), "{over}");
    let (w, ei, x) = (10.33, 9.72, over / 1e3 - 0.012);
    let bent = w * x * x * (6.0 * length * length - 4.0 * length * x + x * x) / (24.0 * ei) * 1e3;
    let by_hand = bent + 0.3 / 40.0 * over;
    let asked = scrapes.asked(MetrePerSec(12.0));
    assert!((asked - by_hand).abs() < 0.03, "{asked} {by_hand}");
    let share = told("bends_there_of_its_end");
    assert!((share * 29.8 - bent).abs() < 0.03, "{share} {bent}");
    // Linear in its length it would have been told as 9.8 mm of 9.
    assert!((4.5..5.5).contains(&asked), "{asked}");
}

#[test]
fn where_an_arm_leaves_its_board_is_not_called_its_end() {
    // The tail of 60 mm ends over the board, the arm does not.
    let (_, findings) = compiled(&overhanging(5.0));
    let said = &findings.iter().find(|f| f.code.word == "limb-flops").unwrap().message;
    let begins = said.starts_with("a gust of 12 m/s moves arm by ");
    assert!(begins && said.contains(" where it leaves the board, and 4 mm are free"), "{said}");
}
