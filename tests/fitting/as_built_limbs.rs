//! As built, of limbs moved by rams, cylinders and other limbs: ends worked out here from
//! circles that meet, by dense samples, and read as a maker reads them.
//!
//! `tests/plain/as_built.py` does this a hundred times for each kind.

use yardwright::check::Compiled;
use yardwright::fit::{AsBuilt, Fitted};
use yardwright::mechanism::Travel;

use super::compile;

/// Across and up, mm.
pub type Point = (f64, f64);

/// Where two circles meet, left (+1) or right of the line from the first to the second.
pub fn meet(p: Point, r: f64, q: Point, s: f64, side: f64) -> Point {
    let (dx, dy) = (q.0 - p.0, q.1 - p.1);
    let d = libm::hypot(dx, dy);
    let along = (d * d + r * r - s * s) / (2.0 * d);
    let up = side * libm::sqrt(r * r - along * along);
    (p.0 + (along * dx - up * dy) / d, p.1 + (along * dy + up * dx) / d)
}

/// The direction from one to the other, deg.
pub fn angle(from: Point, to: Point) -> f64 {
    libm::atan2(to.1 - from.1, to.0 - from.0).to_degrees()
}

/// Least and largest along a path, angles without a jump.
fn ends(at: impl Fn(f64) -> f64, from: f64, to: f64) -> (f64, f64) {
    const N: usize = 8000;
    let mut last = at(from);
    let (mut low, mut high) = (last, last);
    for i in 1..=N {
        let v = at(from + (to - from) * i as f64 / N as f64);
        last = v + 360.0 * ((last - v) / 360.0).round();
        (low, high) = (low.min(last), high.max(last));
    }
    (low, high)
}

/// Ram or cylinder on a lever: 205 to 305 mm from its anchor.
fn gate([lever, clamp]: [f64; 2]) -> (f64, f64) {
    let (anchor, pivot) = ((210.0, 235.0), (200.0, 500.0));
    ends(|l| angle(pivot, meet(anchor, l, pivot, lever, 1.0)) - clamp, 205.0, 305.0)
}

fn gate_text(word: &str, [lever, clamp]: [f64; 2]) -> String {
    let motor = if word == "ram" { "ram-100" } else { "cylinder-16" };
    format!(
        "limb arm {{ pivot (200, 500) mm tip (600, 500) mm drive {word} {{ motor {motor} anchor (210, 235) mm \
         length 205 to 305 mm lever {lever} mm at {clamp} deg assembly open }}"
    )
}

/// A forearm under an upper arm on crank 30, rod 217, lever 90 at 17.5 deg: it rides and
/// its rod is anchored on the board, or it turns on the board and its rod is pinned on
/// the upper arm.
fn forearm(rides: bool, [rod, lever, clamp]: [f64; 3]) -> (f64, f64) {
    let (motor, shoulder) = ((420.0, 500.0), (300.0, 700.0));
    let at = |turn: f64| {
        let (sin, cos) = libm::sincos(turn);
        let crank = (motor.0 + 30.0 * cos, motor.1 + 30.0 * sin);
        let upper = angle(shoulder, meet(crank, 217.0, shoulder, 90.0, 1.0)) - 17.5 - 180.0;
        let (sin, cos) = libm::sincos(upper.to_radians());
        let moved = |x: f64| (300.0 + (x - 300.0) * cos, 700.0 + (x - 300.0) * sin);
        let (near, elbow) = match rides {
            true => ((250.0, 650.0), moved(120.0)),
            false => (moved(200.0), (200.0, 500.0)),
        };
        angle(elbow, meet(near, rod, elbow, lever, -1.0)) - clamp
    };
    ends(at, 0.0, std::f64::consts::TAU)
}

fn forearm_text(rides: bool, [rod, lever, clamp]: [f64; 3]) -> String {
    let (at, anchor) = match rides {
        true => ("on upper { pivot (120, 700) mm tip (120, 500) mm", "(250, 650)"),
        false => ("{ pivot (200, 500) mm tip (200, 300) mm", "(200, 700)"),
    };
    format!(
        "motor m wiper at (420, 500) mm limb upper {{ pivot (300, 700) mm tip (120, 700) mm drive four-bar {{ motor m \
         crank 30 mm rod 217 mm lever 90 mm at 17.5 deg assembly open }} }}\n limb arm {at}\n drive four-bar from upper {{ \
         anchor {anchor} mm rod {rod} mm lever {lever} mm at {clamp} deg assembly crossed }}"
    )
}

fn measured(text: &str, reading: &str) -> Compiled {
    compile(&format!(
        "figure f {{ board plywood-9 900 mm by 1200 mm\n {text}\n measured {reading} }} }}"
    ))
}

/// The arm's explanation, the sizes it names for a dimension, and the ends it has now.
fn built<'c>(compiled: &'c Compiled, name: &str) -> (&'c AsBuilt, Vec<f64>, (f64, f64)) {
    let figure = &compiled.figures[0];
    let at = figure.figure.limb("arm").unwrap();
    let found = figure.limbs[at].as_built.as_ref();
    let found = found.unwrap_or_else(|| panic!("{:?}", compiled.findings));
    let changes = found.changes.iter().map(|c| (c.0, c.2));
    let all = changes.chain(found.others.iter().map(|o| (&*o.name, o.built)));
    let sizes = all.filter(|(n, _)| *n == name).map(|(_, v)| v).collect();
    let drive = figure.limbs[at].mechanism.as_ref().and_then(Fitted::as_drive).unwrap();
    let now = match drive.exact.course.travel {
        Travel::Swing(l) => (l.low.0, l.high.0),
        Travel::Stroke(l) => (l.low.0, l.high.0),
    };
    (found, sizes, now)
}

fn listed(compiled: &Compiled, name: &str, truth: f64, within: f64) {
    let (found, sizes, _) = built(compiled, name);
    assert!(sizes.iter().any(|s| (s - truth).abs() <= within), "{name} {truth}: {found:?}");
}

/// With the ends read to a hundredth the motion computed is the measured one and the true
/// fault is named; read to a degree it is named too, as near as that goes.
#[test]
fn rams_and_forearms_are_explained_as_built() {
    let gates = ["ram", "cylinder"].map(|w| (w, 0, 5.0)).into_iter().chain([("ram", 1, -4.0)]);
    for (word, index, by) in gates {
        let drawn = [100.0, 40.0];
        let mut truth = drawn;
        truth[index] += by;
        let (low, high) = gate(truth);
        let name = ["lever", "clamp"][index];
        let fine = measured(&gate_text(word, drawn), &format!("{low:.2} deg to {high:.2} deg"));
        listed(&fine, name, truth[index], 0.05);
        let (.., now) = built(&fine, name);
        let turn = 360.0 * ((low - now.0) / 360.0).round();
        assert!((now.0 + turn - low).abs() < 0.02 && (now.1 + turn - high).abs() < 0.02);
        let coarse = measured(&gate_text(word, drawn), &format!("{low:.0} deg to {high:.0} deg"));
        listed(&coarse, name, truth[index], 2.0);
    }
    for (rides, index, by) in
        [(true, 0, 3.0), (true, 1, -3.0), (true, 2, 5.0), (false, 0, -4.0), (false, 1, 4.0)]
    {
        let drawn = if rides { [115.0, 45.0, 170.0] } else { [200.0, 80.0, 20.0] };
        let mut truth = drawn;
        truth[index] += by;
        let (low, high) = forearm(rides, truth);
        let name = ["rod", "lever", "clamp"][index];
        let reading = format!("{low:.2} deg to {high:.2} deg");
        let fine = measured(&forearm_text(rides, drawn), &reading);
        listed(&fine, name, truth[index], 0.05);
        let (.., now) = built(&fine, name);
        let turn = 360.0 * ((low - now.0) / 360.0).round();
        assert!((now.0 + turn - low).abs() < 0.02 && (now.1 + turn - high).abs() < 0.02);
    }
}

/// What stays open is what is looked for: a lever nobody wrote down.
#[test]
fn an_open_lever_of_a_ram_comes_out_of_its_ends() {
    let truth = [93.0, 40.0];
    let (low, high) = gate(truth);
    let text =
        gate_text("ram", truth).replace("lever 93 mm at 40 deg", "lever ? 60 to 140 mm at ?");
    let asked = format!(
        "{low:.6} deg to {high:.6} deg rest {:.1} deg gesture open {{ turn to {:.1} deg over 9 s }}",
        low + 1.0,
        high - 1.0
    );
    let compiled = measured(&text, &asked);
    listed(&compiled, "lever", 93.0, 1e-3);
    // Its clamp, open too, was found as it was built.
    let found = compiled.figures[0].limbs[0].as_built.as_ref().unwrap();
    assert!(found.changes.len() == 1 && (found.values[1] - 40.0).abs() < 1e-3, "{found:?}");
}

/// Read to a degree and written with a nought behind the point: the ends then belong to
/// no single fault to a tenth, but the true one comes within a degree and is named, with
/// how well it agrees, before any pair.
#[test]
fn whole_degrees_written_with_a_nought_still_name_the_single_fault() {
    let drawn = [115.0, 45.0, 170.0];
    let (low, high) = forearm(true, [119.0, 45.0, 170.0]);
    let compiled =
        measured(&forearm_text(true, drawn), &format!("{low:.0}.0 deg to {high:.0}.0 deg"));
    let (found, sizes, _) = built(&compiled, "rod");
    assert!(sizes.iter().any(|s| (s - 119.0).abs() < 1.5), "{found:?}");
    let single = found.others.iter().take_while(|o| o.with.is_none()).count();
    assert!(found.others[single..].iter().all(|o| o.with.is_some()), "singles first: {found:?}");
    let told = compiled.findings.iter().find(|f| f.code.word == "built-otherwise").unwrap();
    if found.changes.len() > 1 {
        assert!(told.help.as_ref().unwrap().contains("(to 0."), "{:?}", told.help);
    }
}

/// A slide's ends are read along its guide: a rod cut too long moves both alike.
#[test]
fn a_slides_ends_name_the_rod_that_is_too_long() {
    let text = "motor m wiper at (300, 500) mm limb arm { slide from (380, 500) mm to (680, 500) mm\n \
                drive slider-crank { motor m crank 40 mm rod 200 mm }";
    let compiled = measured(text, "stroke 83.5 mm to 163.5 mm");
    let (found, sizes, now) = built(&compiled, "rod");
    assert!(found.changes.len() == 1 && (sizes[0] - 203.5).abs() < 0.05, "{found:?}");
    assert!((now.0 - 83.5).abs() < 0.1 && (now.1 - 163.5).abs() < 0.1);
    let swing = measured(text, "20 deg to 60 deg");
    assert!(swing.figures[0].limbs[0].as_built.is_none());
    let unfit = swing.findings.iter().find(|f| f.code.word == "unit-wrong").unwrap();
    assert!(unfit.help.as_ref().unwrap().contains("measured stroke"), "{unfit:?}");
}

/// Arm, rod, lever, clamp and the arm's angle at the servo's zero of a limb at (300, 500)
/// on a servo at (420, 460) that turns 45 deg either way.
type Horn = [f64; 5];

const HORN: [&str; 5] = ["servo arm", "rod", "lever", "clamp", "servo arm's angle"];

/// The limb with the servo so far from its zero.
fn on_horn([arm, rod, lever, clamp, zero]: Horn, own: f64) -> f64 {
    let (sin, cos) = libm::sincos((zero + own).to_radians());
    let (shaft, pivot) = ((420.0, 460.0), (300.0, 500.0));
    angle(pivot, meet((shaft.0 + arm * cos, shaft.1 + arm * sin), rod, pivot, lever, 1.0)) - clamp
}

fn on_horn_text(sizes: Horn, reading: &str) -> String {
    let ([arm, rod, lever, clamp, _], zero) = (sizes, on_horn(sizes, 0.0));
    let (sin, cos) = libm::sincos(zero.to_radians());
    format!(
        "motor horn {{ kind servo voltage 6 V slew 0.15 s per 60 deg pulse 1000 us at -45 deg 2000 us at 45 deg }}\n\
         figure f {{ board plywood-9 900 mm by 1200 mm\n limb arm {{ pivot (300, 500) mm tip ({:.9}, {:.9}) mm\n \
         drive servo {{ motor horn at (420, 460) mm crank {arm} mm rod {rod} mm lever {lever} mm at {clamp} deg \
         zero {zero:.9} deg assembly open }}\n measured {reading} }} }}",
        300.0 + 200.0 * cos,
        500.0 + 200.0 * sin
    )
}

/// A servo's limb is measured with the servo at both ends of its pulses. Whichever of arm,
/// rod, lever, clamp and arm's angle is off, it is named by its true size, and from then on
/// the limb goes where it was seen to go: its reach, and the servo's angle for an angle
/// between.
#[test]
fn servos_with_a_rod_are_explained_as_built() {
    let drawn: Horn = [28.0, 127.0, 45.0, 20.0, -80.0];
    for (index, by) in [(0, 3.0), (0, -2.5), (1, 4.0), (2, -4.0), (3, 5.0), (4, 7.2), (4, -7.2)] {
        let mut truth = drawn;
        truth[index] += by;
        let (low, high) = ends(|own| on_horn(truth, own), -45.0, 45.0);
        let reading = format!("{low:.2} deg to {high:.2} deg");
        let compiled = compile(&on_horn_text(drawn, &reading));
        let fitted = &compiled.figures[0].limbs[0];
        let found = fitted.as_built.as_ref().unwrap_or_else(|| panic!("{:?}", compiled.findings));
        let changes = found.changes.iter().map(|c| (c.0, c.2));
        let mut all = changes.chain(found.others.iter().map(|o| (&*o.name, o.built)));
        let named = all.any(|(n, v)| n == HORN[index] && (v - truth[index]).abs() < 0.1);
        assert!(named, "{} {}: {found:?}", HORN[index], truth[index]);
        let Some(Fitted::Servo(servo)) = &fitted.mechanism else { panic!("a servo") };
        let turn = 360.0 * ((low - servo.low.0) / 360.0).round();
        let off = [servo.low.0 + turn - low, servo.high.0 + turn - high];
        assert!(off.iter().all(|o| o.abs() < 0.02), "{} {off:?}", HORN[index]);
        let half = (low + high) / 2.0 - turn;
        let own = servo.shaft_for(yardwright::units::Deg(half)).0;
        let seen = on_horn(truth, own);
        let off = (seen - half + 180.0).rem_euclid(360.0) - 180.0;
        assert!(off.abs() < 0.2, "{} at {own}: {off}", HORN[index]);
        assert!(fitted.not_checked.iter().all(|n| !n.what.starts_with("what was measured")));
    }
}

/// As drawn nothing is otherwise; and what no single part explains is said to be so, with
/// how a servo's limb is measured.
#[test]
fn a_servos_limb_as_drawn_or_unexplained() {
    let drawn: Horn = [28.0, 127.0, 45.0, 20.0, -80.0];
    let (low, high) = ends(|own| on_horn(drawn, own), -45.0, 45.0);
    let compiled = compile(&on_horn_text(drawn, &format!("{low:.0} deg to {high:.0} deg")));
    assert!(compiled.figures[0].limbs[0].as_built.as_ref().unwrap().changes.is_empty());
    let wild = compile(&on_horn_text(drawn, &format!("{low:.0} deg to {:.0} deg", low + 290.0)));
    let told = wild.findings.iter().find(|f| f.code.word == "measured-unexplained").unwrap();
    assert!(told.help.as_ref().unwrap().contains("both ends of its pulses"), "{told:?}");
}

/// Straight on its shaft a limb is where its horn was put on: a tooth further.
#[test]
fn a_limb_straight_on_its_servo_names_the_angle_at_zero() {
    let text = |reading: &str| {
        format!(
            "motor horn {{ kind servo voltage 6 V pulse 1000 us at -45 deg 2000 us at 45 deg }}\n\
             figure f {{ board plywood-9 900 mm by 1200 mm\n limb arm {{ pivot (300, 500) mm tip (500, 500) mm\n \
             drive servo {{ motor horn at (300, 500) mm }}\n measured {reading} }} }}"
        )
    };
    let compiled = compile(&text("-30.6 deg to 59.4 deg"));
    let fitted = &compiled.figures[0].limbs[0];
    let change = fitted.as_built.as_ref().unwrap().changes[0];
    assert_eq!(change.0, "angle at the servo's zero");
    assert!((change.2 - 14.4).abs() < 0.05, "{change:?}");
    let Some(Fitted::Servo(servo)) = &fitted.mechanism else { panic!("a servo") };
    assert!((servo.low.0 + 30.6).abs() < 0.05 && (servo.high.0 - 59.4).abs() < 0.05);
    // Half as far as its pulses say is no place of a horn.
    let half = compile(&text("-20 deg to 20 deg"));
    assert!(half.findings.iter().any(|f| f.code.word == "measured-unexplained"));
}

/// A ram's own lengths: it does not push out or draw in as far as its sheet says, or its
/// pins stand further apart. The stroke that counts from then on is the true one.
#[test]
fn a_rams_own_lengths_explain_what_was_measured() {
    let whole = |(short, long): (f64, f64)| {
        let (anchor, pivot) = ((210.0, 235.0), (200.0, 500.0));
        ends(|l| angle(pivot, meet(anchor, l, pivot, 100.0, 1.0)) - 40.0, short, long)
    };
    for (word, name, by, truth) in [
        ("ram", "length pushed out", (0.0, -6.0), 299.0),
        ("cylinder", "length drawn in", (4.0, 0.0), 209.0),
        ("ram", "length with the same stroke", (5.0, 5.0), 210.0),
    ] {
        let (low, high) = whole((205.0 + by.0, 305.0 + by.1));
        let reading = format!("{low:.2} deg to {high:.2} deg");
        let compiled = measured(&gate_text(word, [100.0, 40.0]), &reading);
        listed(&compiled, name, truth, 0.05);
        let (found, _, now) = built(&compiled, name);
        let turn = 360.0 * ((low - now.0) / 360.0).round();
        assert!((now.0 + turn - low).abs() < 0.02 && (now.1 + turn - high).abs() < 0.02);
        if found.changes[0].0 != name {
            continue;
        }
        let drive = compiled.figures[0].limbs[0].mechanism.as_ref().and_then(Fitted::as_drive);
        let span = drive.unwrap().exact.course.span;
        assert!((span.to - span.from - (100.0 + by.1 - by.0)).abs() < 0.05, "{span:?}");
    }
    // A piston that stops short on a guide leaves its limb short of the far end.
    let text = "limb arm { slide from (250, 300) mm to (250, 620) mm drive cylinder { motor cylinder-16 \
                anchor (250, 220) mm length 200 to 300 mm lever 20 mm at 0 deg }";
    let compiled = measured(text, "stroke 100.0 mm to 193.0 mm");
    let (found, sizes, now) = built(&compiled, "length pushed out");
    assert!(found.changes.len() == 1 && (sizes[0] - 293.0).abs() < 0.11, "{found:?}");
    assert!((now.0 - 100.0).abs() < 0.1 && (now.1 - 193.0).abs() < 0.1);
}

/// What is told, listed and drilled of a built limb is what hangs there, for kinds other
/// than crank, rod and lever too.
#[test]
fn sizes_told_of_a_built_limb_are_the_built_ones() {
    let (low, high) = gate([105.0, 40.0]);
    let compiled =
        measured(&gate_text("ram", [100.0, 40.0]), &format!("{low:.2} deg to {high:.2} deg"));
    let (found, ..) = built(&compiled, "lever");
    let drive = compiled.figures[0].limbs[0].mechanism.as_ref().and_then(Fitted::as_drive).unwrap();
    for (name, _, now, _) in &found.changes {
        let size = drive.sizes.iter().find(|s| s.name.word() == *name).unwrap();
        assert_eq!((size.exact, size.drilled), (*now, *now));
    }
    assert_eq!(found.changes[0].0, "lever");
}
