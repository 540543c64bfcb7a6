//! Rams and cylinders in a yard: open sizes found, held against triangles worked
//! out here from the places of the pins; forces, air and times by hand.
#![allow(clippy::disallowed_methods)] // On purpose another library's sines.

use proptest::prelude::*;
use yardwright::check::Compiled;
use yardwright::fit::{Built, Fitted, FittedDrive, Measure};
use yardwright::mechanism::Path as _;
use yardwright::units::Deg;

use super::{compile, drive};

fn codes(compiled: &Compiled) -> Vec<&str> {
    compiled.findings.iter().map(|f| f.code.word).collect()
}

fn figure(drive: &FittedDrive, name: &str) -> f64 {
    let found = drive.figures.iter().find(|f| f.name == name);
    match found.unwrap_or_else(|| panic!("no {name}")).value {
        Measure::Length(l) => l.0,
        Measure::Angle(a) => a.0,
        Measure::Force(n) => n.0,
        Measure::Time(t) => t.0,
        Measure::Air(l) => l.0,
        Measure::Energy(e) => e.0,
        Measure::Number(n) => n,
    }
}

fn size(drive: &FittedDrive, name: &str) -> f64 {
    drive.sizes.iter().find(|s| s.name.textbook() == name).unwrap().exact
}

/// A gate on its pivot at (200, 500).
fn gate(drive: &str, gestures: &str) -> Compiled {
    compile(&format!(
        "figure windmill {{ board plywood-9 900 mm by 900 mm\n limb gate {{\n \
         pivot (200, 500) mm tip (700, 500) mm\n drive {drive}\n {gestures} }} }}"
    ))
}

/// The hedgehog on its upright guide.
fn hedgehog(drive: &str, gesture: &str) -> Compiled {
    compile(&format!(
        "figure hedgehog {{ board plywood-9 500 mm by 800 mm\n limb body {{\n \
         slide from (250, 300) mm to (250, 420) mm\n drive {drive}\n {gesture} }} }}"
    ))
}

fn near(got: f64, want: f64, by: f64) {
    assert!((got - want).abs() <= by, "{got}, not {want}");
}

/// The strut's length with the limb at an angle, from the places of its two pins.
fn pin_to_pin(anchor: (f64, f64), lever: f64, clamp: f64, limb: f64) -> f64 {
    let at = (limb + clamp).to_radians();
    let pin = (200.0 + lever * at.cos(), 500.0 + lever * at.sin());
    (pin.0 - anchor.0).hypot(pin.1 - anchor.1)
}

fn ends(built: &Built) -> (f64, f64) {
    let swing = built.course.travel.swing().unwrap();
    (swing.low.0, swing.high.0)
}

/// The orchard's gate, by an own calculation made before this program (NumPy): arm
/// 100, anchor 269.3 from the pivot, 60.0 deg, arm at least 86.4; 100 mm at 10 mm/s
/// are 10.0 s.
#[test]
fn the_gate_finds_anchor_and_clamp() {
    let found = gate(
        "ram { motor ram-100  anchor ? near (200, 230) mm  lever 100 mm at ? }",
        "rest 0 deg\n gesture open { turn to 60 deg over 20 s }",
    );
    assert_eq!(codes(&found), [""; 0]);
    let d = drive(&found);
    near(size(d, "ground"), 269.3, 0.05);
    near(ends(&d.exact).0, 0.0, 1e-6);
    near(ends(&d.exact).1, 60.0, 1e-6);
    near(figure(d, "least_arm"), 86.4, 0.1);
    near(figure(d, "travel_time"), 10.0, 1e-9);
    // The sizes found make the ram's two lengths at the two ends.
    let (ground, clamp) = (size(d, "ground"), size(d, "rocker_at"));
    let lengths = [0.0, 60.0].map(|limb| pin_to_pin((200.0, 500.0 - ground), 100.0, clamp, limb));
    let (short, long) = (lengths[0].min(lengths[1]), lengths[0].max(lengths[1]));
    near(short, 205.0, 1e-6);
    near(long, 305.0, 1e-6);
    // As drilled: rounded sizes, and the ends those make.
    let at = (figure(d, "anchor_x"), figure(d, "anchor_y"));
    assert_eq!((at.0 * 2.0).fract(), 0.0);
    let drilled: Vec<f64> = d.sizes.iter().map(|s| s.drilled).collect();
    let (low, high) = ends(&d.drilled);
    for limb in [low, high] {
        let length = pin_to_pin(at, drilled[1], drilled[2], limb);
        assert!((length - 205.0).abs() < 1e-6 || (length - 305.0).abs() < 1e-6, "{length}");
    }
}

/// The lever open between given anchor and lengths: by bisection of the law of
/// cosines for the swing.
#[test]
fn a_lever_left_open_swings_as_asked() {
    let found = gate(
        "ram { motor ram-100 at (200, 240) mm  lever ? 60 to 140 mm at ? }",
        "gesture open { sweep 10 deg to 70 deg }",
    );
    assert_eq!(codes(&found), [""; 0]);
    let d = drive(&found);
    let angle = |c: f64, l: f64| ((c * c + 260.0 * 260.0 - l * l) / (2.0 * c * 260.0)).acos();
    let swing = |c: f64| (angle(c, 305.0) - angle(c, 205.0)).to_degrees();
    let (mut short, mut long) = (90.0, 140.0);
    for _ in 0..80 {
        let middle = 0.5 * (short + long);
        if swing(middle) > 60.0 { short = middle } else { long = middle }
    }
    near(size(d, "rocker"), short, 1e-6);
    near(ends(&d.exact).0, 10.0, 1e-6);
    near(ends(&d.exact).1, 70.0, 1e-6);
    assert!(d.drilled.course.worst_push > Deg(30.0));
}

/// Given sizes, no side said: the side on which the limb moves as asked.
#[test]
fn the_side_follows_from_what_is_asked() {
    for (clamp, low) in [(168.758_4, 0.0), (-48.758_4, 0.0)] {
        let found = gate(
            &format!("ram {{ motor ram-100 at (200, 230.7) mm  lever 100 mm at {clamp} deg }}"),
            "gesture open { sweep 0 deg to 60 deg }",
        );
        assert_eq!(codes(&found), [""; 0], "{clamp}");
        near(ends(&drive(&found).exact).0, low, 0.05);
    }
}

/// Bore 16, rod 6, stroke 100 at 400 kPa: 0.4 N/mm2 x 201.06 mm2 = 80.4 N, x 172.79
/// = 69.1 N; (201.06 + 172.79) x 100 mm3 x 5 = 0.187 l; 0.05 s + 100 mm at 300 mm/s
/// = 0.383 s.
#[test]
fn the_hedgehogs_force_air_and_lead() {
    let found = hedgehog(
        "cylinder { motor cylinder-16 at (250, 100) mm }",
        "gesture pop { pulse up for 2 s }",
    );
    assert_eq!(codes(&found), [""; 0]);
    let d = drive(&found);
    near(figure(d, "force_out"), 80.4, 0.05);
    near(figure(d, "force_in"), 69.1, 0.05);
    near(figure(d, "air_per_cycle"), 0.187, 0.0005);
    near(figure(d, "lead_up"), 0.05 + 100.0 / 300.0, 1e-9);
    let stroke = d.exact.course.travel.stroke().unwrap();
    near(stroke.low.0, 0.0, 1e-9);
    near(stroke.high.0, 100.0, 1e-9);
    let words: Vec<&str> =
        found.figures[0].limbs[0].assumed.iter().map(|n| n.what.as_str()).collect();
    assert!(words.iter().any(|w| w.contains("400 kPa")), "{words:?}");
    assert!(words.iter().any(|w| w.contains("200 mm pin to pin")), "{words:?}");
    let notes = &found.figures[0].limbs[0].not_checked;
    assert!(notes.iter().any(|n| n.what.contains("shut the air off")), "{notes:?}");
}

/// 0.6 kg at 100 mm in 0.333 s: 0.6 x 0.3^2 / 2 = 0.027 J; at 0.1 s it
/// is 0.3 J of 0.1, which sqrt 3 times the time mends: 0.173 s, in twentieths 0.2.
#[test]
fn a_weighed_hedgehog_knocks_at_its_end() {
    let weighed = |throttle: &str| {
        hedgehog(
            &format!("cylinder {{ motor cylinder-16 at (250, 100) mm  {throttle} }}"),
            "weighed 0.6 kg\n gesture pop { pulse up for 2 s }",
        )
    };
    let mild = weighed("");
    assert_eq!(codes(&mild), [""; 0]);
    near(figure(drive(&mild), "end_energy"), 0.027, 1e-9);
    let hard = weighed("throttle up 0.1 s down 0.5 s");
    assert_eq!(codes(&hard), ["hits-its-end"]);
    near(figure(drive(&hard), "end_energy"), 0.3, 1e-9);
    assert!(hard.findings[0].help.as_ref().unwrap().contains("0.2 s"), "{:?}", hard.findings);
    assert_eq!(codes(&weighed("throttle up 0.2 s down 0.5 s")), [""; 0]);
}

/// A strut from beside the guide: the limb stands where the hypotenuse says.
#[test]
fn a_slanting_cylinder_slides_by_pythagoras() {
    let found = hedgehog(
        "cylinder { bore 16 mm  anchor (190, 220) mm  length 100 to 150 mm }",
        "gesture pop { stroke 0 mm to 57.5 mm within 1 mm  cycle 4 s }",
    );
    assert_eq!(codes(&found), ["pushed-sideways"]);
    let stroke = *drive(&found).exact.course.travel.stroke().unwrap();
    let way = |l: f64| (l * l - 60.0 * 60.0f64).sqrt() - 80.0;
    near(stroke.low.0, way(100.0), 1e-9);
    near(stroke.high.0, way(150.0), 1e-9);
}

/// What a lever's pin, an anchor or lengths left open come to on a guide.
#[test]
fn what_a_guide_leaves_open_is_found_in_line() {
    let stroke = "gesture pop { stroke 10 mm to 110 mm  cycle 4 s }";
    let open = hedgehog("ram { motor ram-100  anchor ? }", stroke);
    assert_eq!(codes(&open), [""; 0]);
    let d = drive(&open);
    near(figure(d, "anchor_x"), 250.0, 1e-9);
    near(figure(d, "anchor_y"), 300.0 + 10.0 - 205.0, 1e-9);
    // The pin 20 mm behind the limb's point: 120 + 205 = 325 = 300 + 10 + 15.
    let pin = hedgehog("ram { motor ram-100 at (250, 120) mm  lever ? }", stroke);
    assert_eq!(codes(&pin), [""; 0]);
    near(size(drive(&pin), "rocker"), 15.0, 1e-9);
    let low = drive(&pin).exact.course.travel.stroke().unwrap().low.0;
    near(low, 10.0, 1e-9);
}

#[test]
fn what_does_not_work_is_said_with_what_would() {
    let ram = |lever: &str, gestures: &str| {
        gate(&format!("ram {{ motor ram-100 at (200, 230.7) mm  lever {lever} }}"), gestures)
    };
    let sweep = "gesture open { sweep 0 deg to 60 deg }";
    let missed = ram("120 mm at -48.8 deg  assembly crossed", sweep);
    assert_eq!(codes(&missed), ["sweep-missed"]);
    let help = missed.findings[0].help.clone().unwrap();
    assert!(help.starts_with("a lever of 100 mm at "), "{help}");
    assert_eq!(codes(&ram("60 mm at 0 deg", sweep))[0], "dead-centre");
    assert_eq!(codes(&ram("20 mm at 0 deg", sweep))[0], "dead-centre");
    let none = ram("? 110 to 140 mm by 10 mm at ?", sweep);
    assert_eq!(codes(&none), ["nothing-fits"]);
    assert!(none.findings[0].help.as_ref().unwrap().contains("works: "), "{:?}", none.findings);
    let stops = "rest 0 deg\n gesture open { turn to 60 deg }\n gesture half { turn to 30 deg }";
    assert_eq!(codes(&ram("100 mm at -48.8 deg  assembly crossed", stops)), ["stops-between"]);
    let far = "rest 0 deg\n gesture open { turn to 80 deg over 12 s }";
    assert_eq!(codes(&ram("100 mm at -48.8 deg  assembly crossed", far)), ["beyond-stroke"]);
    let fast = "rest 0 deg\n gesture open { turn to 60 deg over 4 s }";
    let fast = ram("100 mm at -48.8 deg  assembly crossed", fast);
    assert_eq!(codes(&fast), ["too-fast-for-ram"]);
    assert!(fast.findings[0].help.as_ref().unwrap().contains("10 s"), "{:?}", fast.findings);
}

/// A mirror image is built as its original, seen in the mirror.
#[test]
fn a_mirror_image_takes_the_mirrored_sizes() {
    let found = compile(
        "figure gates { board plywood-9 1400 mm by 900 mm\n limb left {\n pivot (200, 500) mm tip (600, 500) mm\n \
         drive ram { motor ram-100  anchor ?  lever 100 mm at ? }\n gesture open { sweep 0 deg to 60 deg } }\n \
         limb right mirrors left about x 700 mm }",
    );
    assert_eq!(codes(&found), [""; 0]);
    let side = |i: usize| match &found.figures[0].limbs[i].mechanism {
        Some(Fitted::Drive(d)) => d.clone(),
        other => panic!("{other:?}"),
    };
    let (left, right) = (side(0), side(1));
    near(size(&left, "rocker_at") + size(&right, "rocker_at"), 0.0, 1e-9);
    near(figure(&left, "anchor_x") + figure(&right, "anchor_x"), 1400.0, 1e-9);
    near(figure(&left, "anchor_y"), figure(&right, "anchor_y"), 1e-9);
    let (low, high) = ends(&right.exact);
    near(low, 120.0, 1e-6);
    near(high, 180.0, 1e-6);
}

/// Beside a sweep, a rest or a turn that the ram does not come to is told too.
#[test]
fn a_rest_beside_a_sweep_is_held_against_the_ends() {
    let ram =
        "ram { motor ram-100 at (200, 230.7) mm  lever 100 mm at -48.8 deg  assembly crossed }";
    let sweep = "gesture open { sweep 0 deg to 60 deg }";
    assert_eq!(codes(&gate(ram, &format!("rest 0 deg\n {sweep}"))), [""; 0]);
    assert_eq!(codes(&gate(ram, &format!("rest 360 deg\n {sweep}"))), [""; 0]);
    assert_eq!(codes(&gate(ram, &format!("rest 90 deg\n {sweep}"))), ["beyond-stroke"]);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    /// Rams read from a text against the triangle of their pins: dead centres where the
    /// lengths pass lever -+ distance, else the angles by the law of cosines; whatever
    /// they are, no number that is none leaves.
    #[test]
    fn a_ram_read_from_a_text_swings_as_its_triangle_says(
        x in -300.0..700.0f64, y in 100.0..900.0f64, lever in 20.0..250.0f64,
        clamp in -180.0..180.0f64, short in 60.0..400.0f64, stroke in 20.0..200.0f64,
        open in any::<bool>(),
    ) {
        let tenth = |v: f64| (v * 10.0).round() / 10.0;
        let [x, y, lever, clamp, short, long] =
            [x, y, lever, clamp, short, short + stroke].map(tenth);
        let (dx, dy) = (x - 200.0, y - 500.0);
        let distance = dx.hypot(dy);
        prop_assume!(distance > 5.0);
        let side = if open { "open" } else { "crossed" };
        let found = gate(
            &format!(
                "ram {{ anchor ({x}, {y}) mm  length {short} to {long} mm  lever {lever} mm at {clamp} deg  assembly {side} }}"
            ),
            "",
        );
        let (near, far) = ((lever - distance).abs(), lever + distance);
        prop_assume!([short - near, far - short, long - near, far - long].iter().all(|g| g.abs() > 1e-6));
        let said = codes(&found);
        if long < near || short > far {
            prop_assert!(said.contains(&"does-not-reach"), "{:?}", said);
            prop_assert!(found.figures[0].limbs[0].mechanism.is_none());
            return Ok(());
        }
        prop_assert_eq!(said.contains(&"dead-centre"), short < near || long > far, "{:?}", said);
        // Seen from the anchor the lever's pin lies left of the pivot where open.
        let turn = if open { -1.0 } else { 1.0 };
        let at = |length: f64| {
            let length = length.clamp(near, far);
            let cos = (lever * lever + distance * distance - length * length) / (2.0 * lever * distance);
            (dy.atan2(dx) + turn * cos.clamp(-1.0, 1.0).acos()).to_degrees() - clamp
        };
        let (p, q) = (at(short), at(long));
        let drive = drive(&found);
        let (low, high) = ends(&drive.exact);
        let apart = |a: f64, b: f64| {
            let turns = ((a - b) / 360.0).round();
            (a - b - 360.0 * turns).abs()
        };
        // At a dead centre the arc cosine above loses half of its digits.
        let within = if said.contains(&"dead-centre") { 1e-4 } else { 1e-5 };
        prop_assert!(apart(low, p.min(q)) < within, "{} {}", low, p.min(q));
        prop_assert!((high - low - (p - q).abs()).abs() < within, "{} {}", high - low, (p - q).abs());
        for number in drive.figures.iter().map(|f| figure(drive, f.name)) {
            prop_assert!(number.is_finite());
        }
        // In the middle of the stroke, by the pins.
        let middle = 0.5 * (short.max(near) + long.min(far));
        let input = drive.exact.way.at(middle).unwrap();
        let limb = drive.exact.mechanism.position(&input).unwrap().limb;
        let angle = limb.axis().deg().0;
        let pin = (angle + clamp).to_radians();
        let pin = (200.0 + lever * pin.cos(), 500.0 + lever * pin.sin());
        prop_assert!(((pin.0 - x).hypot(pin.1 - y) - middle).abs() < 1e-8);
    }
}

/// A place in eighths of an inch puts the drawn-in end 0.025 mm before its guide begins
/// (11 in - 3 1/8 in = 200.025 mm against 200 mm): no saw sees that. A millimetre is told.
#[test]
fn a_guide_rounded_to_an_eighth_of_an_inch_holds_its_ram() {
    let told = |anchor: &str| {
        let compiled = compile(&format!(
            "figure hedgehog {{ board plywood-9 16 in by 18 in
 limb body {{ slide from (8 1/4, 11) in to (8 1/4, 15 3/8) in sheet plywood-6
  outline (5, 11) (12, 11) (12, 17) (5, 17) in
  drive cylinder {{ motor cylinder-16 at {anchor} length 200 to 300 mm air tank at 300 kPa }}
  gesture pop {{ pulse up for 2 s }} }} }}"
        ));
        compiled.findings.iter().any(|f| f.code.word == "leaves-guide")
    };
    assert!(!told("(8 1/4, 3 1/8) in"));
    assert!(told("(209.55, 78.4) mm"));
}

/// Two arms on rams of known sizes, each the other's image about x 450 mm.
fn arms(lever: &str, tip: &str, gesture: &str) -> Compiled {
    compile(&format!(
        "motor long {{ kind ram voltage 12 V length 240 mm to 340 mm }}
         figure f {{ board plywood-9 900 mm by 1400 mm
         limb left {{ pivot (300, 700) mm  tip {tip} mm
           drive ram {{ motor long at (60, 500) mm  lever {lever} }}  gesture go {{ {gesture} }} }}
         limb right mirrors left about x 450 mm }}"
    ))
}

/// The two ends by circles cut with each other: the pin is `ram` from the anchor and 100 from
/// the pivot, on the side on which it is drawn; nothing says which else.
#[test]
fn a_ram_is_built_on_the_side_it_is_drawn_on_and_its_image_on_the_other() {
    let (ax, ay, px, py) = (60.0_f64, 500.0_f64, 300.0_f64, 700.0_f64);
    let (d, line) = ((px - ax).hypot(py - ay), (ay - py).atan2(ax - px));
    // From the pivot to the anchor, then to the pin on the left of anchor to pivot (clockwise
    // seen from the pivot) or on its right.
    let limb = |ram: f64, left: bool, clamp: f64| {
        let inside = ((1e4 + d * d - ram * ram) / (200.0 * d)).acos();
        (line + if left { -inside } else { inside }).to_degrees() - clamp
    };
    for (clamp, tip, axis) in [
        (260.0, "(500, 700)", 0.0),
        (30.0, "(500, 700)", 0.0),
        (150.0, "(500, 700)", 0.0),
        (-60.0, "(300, 900)", 90.0),
        (200.0, "(100, 700)", 180.0),
    ] {
        let compiled = arms(&format!("100 mm at {clamp} deg"), tip, "on");
        let pin = (axis + clamp - line.to_degrees()).to_radians();
        // Clockwise from the way to the anchor is left of the line from anchor to pivot.
        let left = pin.sin() < 0.0;
        let mut want = [limb(240.0, left, clamp), limb(340.0, left, clamp)];
        want.sort_by(f64::total_cmp);
        let drawn = |i: usize| match &compiled.figures[0].limbs[i].mechanism {
            Some(Fitted::Drive(d)) => ends(&d.exact),
            other => panic!("{other:?}: {:?}", compiled.findings),
        };
        let ((low, high), (image_low, image_high)) = (drawn(0), drawn(1));
        let turn = |a: f64, b: f64| (a - b) - 360.0 * ((a - b) / 360.0).round();
        near(turn(low, want[0]), 0.0, 1e-6);
        near(high - low, want[1] - want[0], 1e-6);
        near(turn(image_low, 180.0 - high), 0.0, 1e-6);
        near(turn(image_high, 180.0 - low), 0.0, 1e-6);
    }
}
