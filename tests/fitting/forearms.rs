//! Forearms in a yard: sizes, checks and mirror images, against loops closed here
//! by the cosine rule and against values worked out beforehand with NumPy.
#![allow(clippy::disallowed_methods)] // On purpose another library's sines.

use std::f64::consts::TAU;

use super::compile;
use yardwright::check::Compiled;
use yardwright::finding::{Finding, Severity};
use yardwright::fit::codes::CODES;
use yardwright::fit::{Fitted, FittedDrive, Measure, SizeName};
use yardwright::mechanism::Assembly;
use yardwright::model::Source;

/// A fox with its upper arm on a crank; `limbs` is what hangs on it.
fn fox(limbs: &str) -> Compiled {
    compile(&format!(
        "figure fox {{
  board plywood-9 700 mm by 1000 mm
  motor elbow wiper at (420, 500) mm
  limb upper-arm {{
    pivot (300, 700) mm  tip (120, 700) mm
    drive four-bar {{ motor elbow  crank 30 mm  rod 217 mm  lever 90 mm at 17.5 deg  assembly open }}
    gesture bow {{ sweep 195 deg to 235 deg  cycle 3 s }}
  }}
  {limbs}
}}"
    ))
}

/// Its forearm, riding on the upper arm, with this drive and these gestures.
fn riding(drive: &str, gestures: &str) -> Compiled {
    fox(&format!(
        "limb forearm on upper-arm {{
    pivot (120, 700) mm  tip (120, 500) mm
    drive four-bar from upper-arm {{ {drive} }}
    {gestures}
  }}"
    ))
}

fn limb<'c>(compiled: &'c Compiled, name: &str) -> &'c FittedDrive {
    let figure = &compiled.figures[0];
    match &figure.limbs[figure.figure.limb(name).unwrap()].mechanism {
        Some(Fitted::Drive(found)) => found,
        other => panic!("{name}: {other:?} {:?}", messages(compiled)),
    }
}

/// What is said of the mechanisms; loads and room have tests of their own.
fn findings(compiled: &Compiled) -> Vec<&Finding> {
    compiled.findings.iter().filter(|f| CODES.contains(&f.code)).collect()
}

fn messages(compiled: &Compiled) -> Vec<String> {
    let said = findings(compiled);
    said.iter().map(|f| format!("{}: {}", f.code.word, f.message)).collect()
}

fn only(compiled: &Compiled) -> &Finding {
    match findings(compiled).as_slice() {
        [one] => one,
        _ => panic!("{:?}", messages(compiled)),
    }
}

fn size(drive: &FittedDrive, name: SizeName) -> f64 {
    drive.sizes.iter().find(|s| s.name == name).unwrap().exact
}

fn figure(drive: &FittedDrive, name: &str) -> f64 {
    match drive.figures.iter().find(|f| f.name == name).unwrap().value {
        Measure::Length(l) => l.0,
        Measure::Angle(a) => a.0,
        other => panic!("{other:?}"),
    }
}

fn near(got: f64, want: f64, by: f64, what: &str) {
    assert!((got - want).abs() <= by, "{what}: {got}, not {want}");
}

type P = (f64, f64);

/// The direction of the lever that closes near pin, rod, lever, pivot.
fn lever(near: P, pivot: P, b: f64, c: f64, side: f64) -> f64 {
    let (x, y) = (near.0 - pivot.0, near.1 - pivot.1);
    let r = x.hypot(y);
    y.atan2(x) - side * ((r * r + c * c - b * b) / (2.0 * r * c)).acos()
}

/// The upper arm's direction of the fox at a crank angle.
fn upper(turn: f64) -> f64 {
    let pin = (420.0 + 30.0 * turn.cos(), 500.0 + 30.0 * turn.sin());
    lever(pin, (300.0, 700.0), 217.0, 90.0, 1.0) - 17.5f64.to_radians()
}

/// Lowest and highest of a function over a turn, in degrees, near `about`.
fn ends(about: f64, f: impl Fn(f64) -> f64) -> (f64, f64) {
    let all = (0..40_000).map(|i| {
        let v = f(TAU * f64::from(i) / 40_000.0).to_degrees();
        v + 360.0 * ((about - v) / 360.0).round()
    });
    all.fold((f64::INFINITY, f64::NEG_INFINITY), |(l, h), v| (l.min(v), h.max(v)))
}

/// The demo's elbow: own calculation (NumPy, SciPy) done before this program; and
/// the same two loops closed by the cosine rule at 40,000 crank angles.
#[test]
fn the_elbow_of_the_fox_in_a_yard() {
    let compiled = riding(
        "anchor (250, 650) mm  rod 110 mm  lever 40 mm at 180 deg",
        "gesture fiddle { sweep 240.5 deg to 318.8 deg }\n gesture curl { bend 45 deg to 84.4 deg }",
    );
    assert_eq!(messages(&compiled), [""; 0]);
    let found = limb(&compiled, "forearm");
    let swing = *found.exact.course.travel.swing().unwrap();
    near(swing.low.0 + 360.0, 240.5, 0.1, "low");
    near(swing.high.0 + 360.0, 318.8, 0.1, "high");
    near(swing.range().0, 78.4, 0.1, "swing");
    near(found.exact.course.worst_push.0, 78.5, 0.1, "second push");
    assert_eq!(found.exact.mechanism.assembly(), Some(Assembly::Crossed));
    // Pin to pin 109.3 to 123.4 inside 70 to 150: what is left to the nearer end.
    near(figure(found, "rod_to_spare"), (150.0 - 123.4f64).min(109.3 - 70.0), 0.1, "to spare");
    let elbow = |t: f64| {
        let axis = upper(t);
        let pivot = (300.0 + 180.0 * axis.cos(), 700.0 + 180.0 * axis.sin());
        lever((250.0, 650.0), pivot, 110.0, 40.0, -1.0) - TAU / 2.0
    };
    let (low, high) = ends(280.0, elbow);
    near(swing.low.0 + 360.0, low, 1e-4, "low, by the cosine rule");
    near(swing.high.0 + 360.0, high, 1e-4, "high, by the cosine rule");
    let (low, high) = ends(60.0, |t| elbow(t) - upper(t));
    near(figure(found, "bend_low"), low, 1e-4, "least bend");
    near(figure(found, "bend_high"), high, 1e-4, "most bend");
    near(high - low, 39.4, 0.1, "elbow");
}

/// A limb on the board, pushed by a pin that rides on the upper arm.
#[test]
fn a_limb_on_the_board_is_pushed_by_a_pin_on_the_upper_arm() {
    let compiled = fox(
        "limb tail { pivot (260, 500) mm  tip (260, 300) mm
    drive four-bar from upper-arm { anchor (200, 680) mm  rod 200 mm  lever 110 mm at 250 deg  assembly open } }",
    );
    // It pushes weakly, and is no worse computed for that.
    assert_eq!(only(&compiled).code.word, "weak-push");
    let swing = *limb(&compiled, "tail").exact.course.travel.swing().unwrap();
    // The anchor is drawn with the arm at 180 deg: 100 along it and 20 left of it.
    let (low, high) = ends(swing.low.0, |t| {
        let (s, c) = upper(t).sin_cos();
        let pin = (300.0 + 100.0 * c - 20.0 * s, 700.0 + 100.0 * s + 20.0 * c);
        lever(pin, (260.0, 500.0), 200.0, 110.0, 1.0) - 250f64.to_radians()
    });
    near(swing.low.0, low, 1e-4, "low");
    near(swing.high.0, high, 1e-4, "high");
    assert!(swing.range().0 > 10.0, "{swing:?}");
}

#[test]
fn open_sizes_are_found_and_move_it_as_asked() {
    let compiled = riding(
        "anchor (250, 650) mm  rod ?  lever ? 30 to 60 mm by 1 mm at ?",
        "gesture fiddle { sweep 245 deg to 315 deg within 4 deg }",
    );
    assert_eq!(messages(&compiled), [""; 0]);
    let found = limb(&compiled, "forearm");
    near(size(found, SizeName::Lever) % 1.0, 0.0, 1e-9, "a hole of the row");
    assert_eq!(found.solved().collect::<Vec<_>>(), ["coupler", "rocker", "rocker_at"]);
    for built in [&found.exact, &found.drilled] {
        let swing = built.course.travel.swing().unwrap();
        near(swing.low.0 + 360.0, 245.0, 4.6, "low");
        near(swing.high.0 + 360.0, 315.0, 4.6, "high");
    }
    assert!(!found.others.is_empty());
    assert!(found.others.iter().all(|o| o.push <= found.exact.course.worst_push));
    near(size(found, SizeName::Rod), 110.0, 60.0, "rod");
    let rod = found.sizes.iter().find(|s| s.name == SizeName::Rod).unwrap();
    near(rod.drilled * 2.0 % 1.0, 0.0, 1e-9, "marked out to half a millimetre");
}

/// Open sizes for a bend: the elbow, by the cosine rule from the sizes found, bends
/// between the asked angles.
#[test]
fn open_sizes_are_found_for_a_bend() {
    let compiled = riding(
        "anchor (250, 650) mm  rod ?  lever ? 30 to 60 mm by 1 mm at ?",
        "gesture curl { bend 50 deg to 85 deg within 2 deg }",
    );
    assert_eq!(messages(&compiled), [""; 0]);
    let found = limb(&compiled, "forearm");
    let [rod, tail, clamp] =
        [SizeName::Rod, SizeName::Lever, SizeName::Clamp].map(|n| size(found, n));
    let side = found.exact.mechanism.assembly().unwrap().sign();
    let (low, high) = ends(67.5, |t| {
        let axis = upper(t);
        let pivot = (300.0 + 180.0 * axis.cos(), 700.0 + 180.0 * axis.sin());
        lever((250.0, 650.0), pivot, rod, tail, side) - clamp.to_radians() - axis
    });
    near(low, 50.0, 2.0, "least bend");
    near(high, 85.0, 2.0, "most bend");
    near(figure(found, "bend_low"), low, 1e-4, "least bend as told");
}

#[test]
fn a_rod_that_runs_out_names_the_crank_angle_and_rods_that_reach() {
    let compiled = riding(
        "anchor (250, 650) mm  rod 180 mm  lever 40 mm at 180 deg",
        "gesture fiddle { sweep 240 deg to 319 deg }",
    );
    let found = only(&compiled);
    assert_eq!((found.code.word, found.severity), ("rod-runs-out", Severity::Error));
    // Least distance of anchor and elbow over the turn, and where.
    let apart = |t: f64| {
        let axis = upper(t);
        (300.0 + 180.0 * axis.cos() - 250.0).hypot(700.0 + 180.0 * axis.sin() - 650.0)
    };
    let least = (0..36_000)
        .map(|i| apart((f64::from(i) * 0.01).to_radians()))
        .fold(f64::INFINITY, f64::min);
    let told = found.message.split("crank at ").nth(1).and_then(|t| t.split(' ').next());
    let told: f64 = told.unwrap().parse().unwrap();
    near(apart(told.to_radians()), least, 0.02, "distance at the crank angle told");
    // What is asked for is done by other sizes; where nothing is, by other rods that push at
    // 45 deg or more: sqrt(123.4^2 - 28.28^2) - 28.28 and sqrt(109.3^2 - 28.28^2) + 28.28,
    // inwards to whole millimetres.
    assert!(found.help.as_deref().unwrap().ends_with("does it."), "{found:?}");
    let unasked = riding("anchor (250, 650) mm  rod 180 mm  lever 40 mm at 180 deg", "");
    let help = only(&unasked).help.clone().unwrap();
    let rods = "with a rod between 92 mm and 133 mm.";
    assert_eq!(help, format!("it reaches all the way, pushing at 45 deg or more, {rods}"));
    let works = riding("anchor (250, 650) mm  rod 145 mm  lever 40 mm at 180 deg", "");
    assert!(!messages(&works).iter().any(|m| m.starts_with("rod-")), "{:?}", messages(&works));
}

#[test]
fn what_does_not_fit_says_what_does() {
    let missed = riding(
        "anchor (250, 650) mm  rod 110 mm  lever 40 mm at 150 deg  assembly crossed",
        "gesture fiddle { sweep 240.5 deg to 318.8 deg }",
    );
    let found = only(&missed);
    assert_eq!(found.code.word, "sweep-missed");
    assert!(found.help.as_ref().unwrap().contains("clamp the lever at 180 deg"), "{found:?}");
    let wide = riding(
        "anchor (250, 650) mm  rod ?  lever ? 30 to 40 mm by 5 mm at ?",
        "gesture fiddle { sweep 200 deg to 350 deg }",
    );
    let found = only(&wide);
    assert_eq!(found.code.word, "nothing-fits");
    assert!(found.help.as_ref().unwrap().contains("works"), "{found:?}");
    let bend = riding(
        "anchor (250, 650) mm  rod 110 mm  lever 40 mm at 180 deg  assembly crossed",
        "gesture curl { bend 0 deg to 39.4 deg }",
    );
    let found = only(&bend);
    assert_eq!(found.code.word, "sweep-missed");
    assert!(found.message.contains("bends 44.9 to 84.4 deg"), "{found:?}");
    // 180 + 45: the clamp that turns the bend back to 0.
    assert!(found.help.as_ref().unwrap().contains("at -135 deg"), "{found:?}");
}

/// What is not known is said, and nothing hangs: no anchor, an upper arm at fault,
/// arms in a circle.
#[test]
fn what_is_missing_is_noted() {
    let open = riding("rod 110 mm  lever 40 mm at 180 deg", "");
    let notes = |c: &Compiled, limb: &str| {
        let figure = &c.figures[0];
        let limb = &figure.limbs[figure.figure.limb(limb).unwrap()];
        assert!(limb.mechanism.is_none());
        limb.not_checked.iter().map(|n| format!("{n:?}")).collect::<Vec<_>>().join("\n")
    };
    assert!(notes(&open, "forearm").contains("anchor of its rod"));
    let circle = fox(
        "limb a on b { pivot (1, 1) mm tip (9, 9) mm drive four-bar from b { anchor (5, 5) mm } }
  limb b on a { pivot (1, 1) mm tip (9, 9) mm drive four-bar from a { anchor (5, 5) mm } }",
    );
    assert!(circle.findings.iter().any(|f| f.code.word == "limb-circle"));
}

/// An upper arm that goes round but pushes too weakly is one thing, its forearm's rod
/// another: both are told, and what the forearm does is computed.
#[test]
fn a_forearm_is_looked_at_below_an_upper_arm_that_pushes_weakly() {
    let below = |rod: f64| {
        compile(&format!(
            "figure fox {{
  board plywood-9 700 mm by 1000 mm
  motor elbow wiper at (420, 500) mm
  limb upper-arm {{
    pivot (300, 700) mm  tip (120, 700) mm
    drive four-bar {{ motor elbow  crank 71 mm  rod 217 mm  lever 90 mm at 17.5 deg  assembly open }}
  }}
  limb forearm on upper-arm {{
    pivot (120, 700) mm  tip (120, 500) mm
    drive four-bar from upper-arm {{ anchor (295, 695) mm  rod {rod} mm  lever 60 mm at 180 deg }}
  }}
}}"
        ))
    };
    let good = below(160.0);
    let said = messages(&good);
    assert!(
        said.iter().any(|m| m.starts_with("weak-push: ") && m.contains("upper-arm")),
        "{said:?}"
    );
    assert!(said.iter().all(|m| !m.starts_with("rod-runs-out")), "{said:?}");
    assert!(limb(&good, "forearm").faulty, "what hangs on a fault is left alone by timing");
    let said = messages(&below(112.0));
    assert!(said.iter().any(|m| m.starts_with("rod-runs-out: ")), "{said:?}");
}

/// Both arms mirrored: the image of the forearm rides on the image of the upper arm
/// and moves as its mirror image, with the sizes found for it too.
#[test]
fn the_image_of_a_forearm_follows_the_image_of_its_upper_arm() {
    let sizes = "rod ?  lever ? 30 to 60 mm by 5 mm at ?";
    for (order, turned) in [(["upper", "fore"], false), (["fore", "upper"], true)] {
        let images = order.map(|o| format!("limb {o}-image mirrors {o} about x 350 mm"));
        let compiled = compile(&format!(
            "figure fox {{
  board plywood-9 700 mm by 1000 mm
  motor drum wiper at (350, 500) mm
  {}
  limb upper {{ pivot (230, 700) mm  tip (50, 700) mm
    drive four-bar {{ motor drum  crank 30 mm  rod 217 mm  lever 90 mm at 17.5 deg }} }}
  limb fore on upper {{ pivot (50, 700) mm  tip (50, 500) mm
    drive four-bar from upper {{ anchor (180, 650) mm  {sizes} }}
    gesture fiddle {{ sweep 242 deg to 317 deg within 4 deg }} }}
  {}
}}",
            images[0], images[1]
        ));
        assert_eq!(messages(&compiled), [""; 0], "{turned}");
        let model = &compiled.figures[0].figure;
        let image = &model.limbs[model.limb("fore-image").unwrap()];
        let upper = model.limb("upper-image").unwrap();
        assert_eq!(image.carrier, Some(upper));
        assert_eq!(image.drive.as_ref().unwrap().source, Source::Limb(upper));
        let (own, other) = (limb(&compiled, "fore"), limb(&compiled, "fore-image"));
        near(size(own, SizeName::Rod), size(other, SizeName::Rod), 0.0, "rod");
        near(size(own, SizeName::Clamp), -size(other, SizeName::Clamp), 0.0, "clamp");
        let [a, b] = [own, other].map(|d| *d.exact.course.travel.swing().unwrap());
        near((180.0 - a.high.0 - b.low.0) % 360.0, 0.0, 1e-6, "mirrored ends");
        assert!(a.range().0 > 50.0);
    }
}

/// Two images of an upper arm: the forearm's image takes the one about its own line.
#[test]
fn of_two_images_the_one_about_the_same_line_pushes() {
    let compiled = fox(
        "limb other mirrors upper-arm about x 600 mm
  limb twin mirrors upper-arm about x 420 mm
  limb forearm on upper-arm { pivot (120, 700) mm  tip (120, 500) mm
    drive four-bar from upper-arm { anchor (250, 650) mm  rod 110 mm  lever 40 mm at 180 deg  assembly crossed } }
  limb forearm-twin mirrors forearm about x 420 mm",
    );
    let model = &compiled.figures[0].figure;
    let twin = &model.limbs[model.limb("forearm-twin").unwrap()];
    assert_eq!(twin.carrier, model.limb("twin"));
    assert_eq!(twin.drive.as_ref().unwrap().source, Source::Limb(model.limb("twin").unwrap()));
}

/// Limbs in a long row end in a note, not in a long wait.
#[test]
fn a_long_row_of_limbs_is_cut_off() {
    let mut limbs = String::new();
    for i in 0..400 {
        let above = if i == 0 { "upper-arm".to_owned() } else { format!("l-{}", i - 1) };
        limbs.push_str(&format!(
            "limb l-{i} {{ pivot (260, 500) mm  tip (260, 300) mm
    drive four-bar from {above} {{ anchor (200, 680) mm  rod 170 mm  lever 70 mm at 250 deg  assembly open }} }}\n"
        ));
    }
    let compiled = fox(&limbs);
    let last = compiled.figures[0].limbs.last().unwrap();
    assert!(last.mechanism.is_none());
    assert!(last.not_checked.iter().any(|n| format!("{n:?}").contains("in a row")));
}

/// Both loops closed here by the cosine rule: the worst push comes where the limb above stands
/// so, on its way there and on its way back, and of the two the smaller crank angle is told.
#[test]
fn of_two_places_of_the_worst_push_the_smaller_is_told() {
    let compiled = compile(
        "figure c { board plywood-9 2 m by 2 m
limb u { pivot (1041.195, 1025.782) mm tip (888.946, 882.603) mm
 drive four-bar { motor wiper at (1183.905, 1027.247) mm crank 64.363 mm rod 110.783 mm lever 158.614 mm
  at 137.369 deg assembly crossed } }
limb l on u { pivot (967.784, 971.417) mm tip (984.583, 829.544) mm
 drive four-bar from u { anchor (1047.348, 909.240) mm rod 105.991 mm lever 87.55 mm at 131.175 deg assembly open } } }",
    );
    let (motor, pivot): (P, P) = ((1183.905, 1027.247), (1041.195, 1025.782));
    let axis = (882.603 - pivot.1).atan2(888.946 - pivot.0);
    // The direction of the lever above, its pin right of the line from crank pin to pivot.
    let above = |crank: f64| {
        let pin = (motor.0 + 64.363 * crank.cos(), motor.1 + 64.363 * crank.sin());
        let (dx, dy) = (pin.0 - pivot.0, pin.1 - pivot.1);
        let (d, c, b) = (dx.hypot(dy), 158.614, 110.783);
        let inner = ((c * c + d * d - b * b) / (2.0 * c * d)).acos();
        dy.atan2(dx) + inner - 137.369_f64.to_radians()
    };
    // How well the second rod pushes: the angle opposite the way from anchor to elbow.
    let push = |crank: f64| {
        let turn = above(crank) - axis;
        let (x, y) = (967.784 - pivot.0, 971.417 - pivot.1);
        let elbow =
            (pivot.0 + x * turn.cos() - y * turn.sin(), pivot.1 + x * turn.sin() + y * turn.cos());
        let d = (elbow.0 - 1047.348).hypot(elbow.1 - 909.240);
        let (b, c): (f64, f64) = (105.991, 87.55);
        let mu = ((b * b + c * c - d * d) / (2.0 * b * c)).acos().to_degrees();
        mu.min(180.0 - mu)
    };
    let steps = 360_000;
    let all: Vec<f64> = (0..steps).map(|n| push(f64::from(n) / 1e3 * TAU / 360.0)).collect();
    let least = all.iter().copied().fold(f64::INFINITY, f64::min);
    let dips = |n: &usize| all[*n] < least + 1e-3 && all[*n] <= all[n - 1] && all[*n] <= all[n + 1];
    let at: Vec<f64> = (1..steps as usize - 1).filter(dips).map(|n| n as f64 / 1e3).collect();
    assert_eq!(at.len(), 2, "{at:?}");
    near(at[0], 65.5559, 1e-3, "an independent solver");
    let found = limb(&compiled, "l");
    near(found.exact.course.worst_push.0, least, 1e-6, "worst push");
    let told = found.exact.course.travel.swing().unwrap().least_push_at.to_degrees();
    near(told, at[0], 2e-3, "the smaller of the two");
}

/// Elbow and the pivot above it in one place, and the rod's end on the board: three bars of
/// fixed length between two fixed places never move.
#[test]
fn a_limb_on_its_carriers_own_pivot_stands_still() {
    let at = |elbow: f64| {
        compile(&format!(
            "figure f {{ board plywood-9 2 m by 2 m
limb u {{ pivot (1000, 1000) mm tip (1300, 1000) mm
 drive four-bar {{ motor wiper at (1000, 700) mm crank 30 mm rod 288 mm lever 90 mm at 180 deg assembly open }} }}
limb l on u {{ pivot ({elbow}, 1000) mm tip (1350, 1100) mm
 drive four-bar from u {{ anchor (1150, 1100) mm rod 130 mm lever 90 mm at 90 deg }} }} }}"
        ))
    };
    let still = messages(&at(1000.0));
    assert!(still.iter().any(|m| m.contains("stands still there")), "{still:?}");
    let moves = messages(&at(1020.0));
    assert!(moves.iter().all(|m| !m.contains("stands still there")), "{moves:?}");
}
