//! The play of pins at the limb, and the rod's pull at its bolt, by hand.
#![allow(clippy::disallowed_methods)] // On purpose another library's sines.

use super::{compile, limb, load};

/// An arm of one lever, its holes drilled so.
fn arm(lever: &str, holes: &str) -> yardwright::check::Compiled {
    compile(&format!(
        "figure bear {{ board plywood-9 620 mm by 1350 mm
          frame 38 mm by 38 mm {{ (300, 0) to (300, 1300) mm }}
          limb arm {{ pivot (300, 900) mm tip (700, 900) mm bolt M8 bushing nylon washer 40 mm
            sheet plywood-9 width 120 mm tail 60 mm {holes}
            drive four-bar {{ motor wiper at (300, 600) mm limit 4 A standoff 10 mm {lever} }}
            gesture wave {{ sweep 0 deg to 39 deg within 9 deg cycle 3 s }} }} }}"
    ))
}

const USUAL: &str = "crank 30 mm rod ? lever 90 mm at ?";
const SHORT: &str = "crank 10 mm rod ? lever 30 mm at ?";

/// What is asked and borne, and the finding of a code.
fn told(
    compiled: &yardwright::check::Compiled,
    code: &str,
) -> (f64, f64, Option<(String, String)>) {
    let grip = limb(compiled, 0).grips.iter().find(|g| g.code.word == code).unwrap();
    let found = compiled.findings.iter().find(|f| f.code.word == code);
    let words = found.map(|f| (format!("{:?}", f.severity), f.help.clone().unwrap_or_default()));
    (grip.calm, grip.bears, words)
}

/// (hole - 6 mm) of both holes over lever x sin(push), the worst push as the report has it.
fn by_hand(compiled: &yardwright::check::Compiled, lever: f64, hole: f64) -> f64 {
    let Some(yardwright::fit::Fitted::FourBar(f)) = &compiled.figures[0].limbs[0].mechanism else {
        panic!("no four-bar")
    };
    let push = f.as_drilled.motion.unwrap().min_transmission.0.to_radians();
    (2.0 * (hole - 6.0) / (lever * push.sin())).to_degrees()
}

/// ISO 273: M6 goes through 6.4, 6.6 and 7 mm.
#[test]
fn play_is_as_large_as_the_holes_are_drilled() {
    for (holes, hole) in [
        ("", 6.6),
        ("holes close", 6.4),
        ("holes medium", 6.6),
        ("holes coarse", 7.0),
        ("holes 6.1 mm", 6.1),
    ] {
        let compiled = arm(USUAL, holes);
        let (deg, bears, _) = told(&compiled, "limb-rattles");
        assert!((deg - by_hand(&compiled, 90.0, hole)).abs() < 1e-6, "{holes}: {deg}");
        assert_eq!(bears, 1.0);
        let noted = limb(&compiled, 0).assumed.iter().any(|n| n.settle == "holes close");
        assert_eq!(noted, holes.is_empty(), "{holes}");
    }
}

#[test]
fn a_degree_is_a_hint_and_two_are_a_warning() {
    let severity = |lever, holes| told(&arm(lever, holes), "limb-rattles").2.map(|w| w.0);
    assert_eq!(severity(USUAL, "holes medium"), None);
    assert_eq!(severity(USUAL, "holes coarse").as_deref(), Some("Advice"));
    assert_eq!(severity(SHORT, "holes medium").as_deref(), Some("Warning"));
    let help = told(&arm(USUAL, "holes coarse"), "limb-rattles").2.unwrap().1;
    assert!(help.contains("drill the holes 6.4 mm"), "{help}");
}

/// A hole that its pin does not go into has no play, and is no finding.
#[test]
fn a_hole_smaller_than_its_pin_is_asked_about() {
    let compiled = arm(USUAL, "holes 5.5 mm");
    assert!(limb(&compiled, 0).grips.iter().all(|g| g.code.word != "limb-rattles"));
    assert!(limb(&compiled, 0).not_checked.iter().any(|n| n.what.contains("does not take M6")));
}

/// Spacer washer 2 mm, lever 5 mm and the middle of a rod of M8 behind it, 4 mm: the rod
/// pulls 11 mm behind the bushing, at the thread's root d - 1.0825 P = 6.647 mm.
/// At 4 A the wiper has (14 N.m/14.8 A) x 2.8 A = 2.649 N.m, on a crank of 30 mm 88.3 N:
/// 32 x 88.3 x 11/(pi x 6.647^3) = 33.7 MPa of 240/1.5.
#[test]
fn the_rod_bends_the_bolt_behind_the_board() {
    let compiled = arm(USUAL, "");
    let all: Vec<_> =
        limb(&compiled, 0).grips.iter().filter(|g| g.code.word == "bolt-bends").collect();
    let pull = load(&compiled, 0).most_push.unwrap();
    let root = std::f64::consts::PI * 6.646_8_f64.powi(3);
    assert_eq!(all.len(), 2);
    assert!((all[0].calm - 32.0 * pull * 11.0 / root).abs() < 0.01);
    assert!((all[1].calm - 33.7).abs() < 0.1 && all[1].bears == 160.0);
}

/// A limb behind the board hangs on the bolt's one end with its rod: gap 2, washer 1.6,
/// sheet 6 and half a rod 4 mm are 13.6; wind and pull are added, on the shank.
#[test]
fn behind_the_board_wind_and_pull_are_added() {
    let compiled = compile(
        "yard y { size 10 m by 8 m wind run 7 m/s stand 12 m/s soil lawn }
         figure heron { board plywood-9 520 mm by 1400 mm
          frame 38 mm by 38 mm { (161, 820) to (359, 820) mm }
          limb wing { pivot (197, 820) mm tip (-253, 820) mm mount behind bolt M10 bushing nylon
            washer 60 mm sheet plywood-6 length 450 mm width 160 mm tail 110 mm
            drive four-bar { motor wiper at (260, 570) mm limit 6 A crank 30 mm rod 250 mm tail-hole 70 mm at 180 deg }
            gesture flap { sweep 155 deg to 205 deg within 4 deg cycle 3 s } } }
         set heron at (5 m, 4 m) facing south",
    );
    let wind = limb(&compiled, 0).wind.as_ref().unwrap();
    let limit = wind.limits.iter().find(|l| l.inputs.iter().any(|i| i.name == "overhang")).unwrap();
    let section = std::f64::consts::PI * 1000.0;
    let pull = load(&compiled, 0).most_push.unwrap();
    assert!((limit.calm - 32.0 * pull * 13.6 / section).abs() < 1e-6);
    assert!((limit.per_gust2 - 32e3 * wind.moment.unwrap() / section).abs() < 1e-9);
}

#[test]
fn what_carries_a_limb_moves_its_end_too() {
    let fox = |above: &str, own: &str| {
        compile(&format!(
            "figure fox {{ board plywood-9 700 mm by 1000 mm
              motor elbow wiper at (420, 500) mm
              limb upper-arm {{ pivot (300, 700) mm tip (120, 700) mm {above}
                drive four-bar {{ motor elbow crank 30 mm rod 217 mm lever 90 mm at 17.5 deg }}
                gesture bow {{ sweep 195 deg to 235 deg cycle 2.1 s }} }}
              limb forearm on upper-arm {{ pivot (120, 700) mm tip (120, 500) mm {own}
                drive four-bar from upper-arm {{ anchor (250, 650) mm rod ? lever 40 mm at ? }}
                gesture fiddle {{ sweep 240 deg to 319 deg }} }} }}"
        ))
    };
    let rattles = |c: &yardwright::check::Compiled, at: usize| {
        let grips = limb(c, at).grips.iter().filter(|g| g.code.word == "limb-rattles");
        grips.map(|g| g.calm).collect::<Vec<f64>>()
    };
    let told = |c: &yardwright::check::Compiled| {
        let about = |f: &&yardwright::finding::Finding| f.message.contains("those that carry it");
        c.findings.iter().find(about).map(|f| format!("{:?}", f.severity))
    };
    let medium = fox("holes medium", "holes 6.2 mm");
    let (above, own) = (rattles(&medium, 0), rattles(&medium, 1));
    assert_eq!((above.len(), own.len()), (1, 2), "{above:?} {own:?}");
    // s1 (r1 + r2) + s2 r2 with r1 = 180 mm from bolt to bolt, and r2 the forearm's corner.
    let far = limb(&medium, 1).grips.iter().flat_map(|g| &g.inputs).find(|i| i.name == "reach");
    let (r1, r2) = (180.0, far.unwrap().value);
    let end = above[0] * (r1 + r2) + own[0] * r2;
    assert!((own[1] - end / (r1 + r2)).abs() < 1e-9, "{own:?} {above:?} {r2}");
    assert_eq!(told(&medium), Some("Advice".to_owned()));
    // Closer holes above are enough; nothing is told of holes that nobody wrote of.
    let close = fox("holes close", "holes 6.2 mm");
    assert!(rattles(&close, 1)[1] < 1.0 && told(&close).is_none());
    let unsaid = fox("", "holes 6.2 mm");
    assert_eq!(told(&unsaid), None);
    let noted =
        |at: usize| limb(&unsaid, at).not_checked.iter().any(|n| n.what.contains("rattles"));
    assert!(noted(0) && !noted(1), "at the limb where the word is missing");
}
