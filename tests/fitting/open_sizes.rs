//! Every `?` is answered inside its range, or refused.

use yardwright::check::Compiled;
use yardwright::finding::Severity;
use yardwright::fit::{Fitted, FittedFourBar, SizeName};

use super::{compile, drive};

fn errors(compiled: &Compiled) -> Vec<&str> {
    let all = compiled.findings.iter().filter(|f| f.severity == Severity::Error);
    all.map(|f| f.code.word).collect()
}

fn size(compiled: &Compiled, name: SizeName) -> f64 {
    let all = &drive(compiled).sizes;
    all.iter().find(|s| s.name == name).unwrap_or_else(|| panic!("{all:?}")).exact
}

fn saw(rod: &str, y: i32) -> Compiled {
    compile(&format!(
        "figure saw {{ board plywood-9 700 mm by 1000 mm\n motor main wiper at (300, {y}) mm\n \
         limb blade {{ slide from (300, 500) mm to (300, 800) mm\n \
         drive slider-crank {{ motor main  crank ? 20 to 60 mm by 10 mm  rod {rod} }}\n \
         gesture cut {{ stroke 20 mm to 100 mm  cycle 2 s }} }} }}"
    ))
}

/// In line with its guide the rod is as long as from the shaft to the middle of the stroke:
/// 560 - 400 = 160 mm, or 158 to 162 within the tolerance.
#[test]
fn a_rod_keeps_to_its_range() {
    let found = size(&saw("? 158 to 200 mm", 400), SizeName::Rod);
    assert!((158.0..=162.0).contains(&found), "{found}");
    assert_eq!(errors(&saw("? 100 to 150 mm", 400)), ["nothing-fits"]);
    // From 412 the rod is 148 mm: the range holds it, and no more of it.
    let found = size(&saw("? 100 to 147.2 mm", 412), SizeName::Rod);
    assert!((146.0..=147.2 + 1e-9).contains(&found), "{found}");
    let drilled = drive(&saw("? 100 to 147.2 mm", 412)).sizes[1].drilled;
    assert!(drilled <= 147.2 + 1e-9, "{drilled}");
}

fn nod(drive: &str) -> Compiled {
    compile(&format!(
        "figure f {{ board plywood-9 900 mm by 900 mm\n limb frog {{ pivot (500, 500) mm  tip (700, 500) mm\n \
         drive cam {{ motor wiper at (300, 300) mm  base ?  roller 8 mm  {drive} }}\n \
         gesture nod {{ sweep 0 deg to 12 deg  cycle 4 s }} }} }}"
    ))
}

/// A clamp's range narrows the base circle: the smallest one has its clamp, and beside it
/// each clamp settles a larger one.
#[test]
fn a_cams_clamp_keeps_to_its_range() {
    let free = nod("lever 200 mm at ?");
    assert_eq!(errors(&free), [""; 0]);
    let best = size(&free, SizeName::Clamp);
    let at = |by: f64| format!("{:.3}", best + by);
    let held = nod(&format!("lever 200 mm at ? {} to {} deg", at(-20.0), at(-2.0)));
    let other = nod(&format!("lever 200 mm at ? {} to {} deg", at(2.0), at(20.0)));
    let fitting: Vec<_> = [&held, &other].into_iter().filter(|c| errors(c).is_empty()).collect();
    assert!(!fitting.is_empty(), "{:?} {:?}", held.findings, other.findings);
    for found in fitting {
        let off = (size(found, SizeName::Clamp) - best).abs();
        assert!((2.0 - 1e-3..=20.0 + 1e-3).contains(&off), "{off}");
        assert!(size(found, SizeName::Base) > size(&free, SizeName::Base) - 1e-6);
    }
    let none = nod("lever 200 mm at ? 0 to 45 deg");
    assert_eq!(errors(&none), ["cam-nothing-fits"]);
}

/// What is written to a tenth of a millimetre is told to a tenth.
#[test]
fn a_written_size_is_told_as_it_is_written() {
    let told = |mm| {
        yardwright::units::print::length(
            yardwright::units::Mm(mm),
            yardwright::units::System::Metric,
        )
    };
    assert_eq!(
        [told(172.6), told(172.5), told(172.613), told(40.0)],
        ["172.6 mm", "172.5 mm", "172.5 mm", "40 mm"]
    );
}

/// What is named instead works: the angle that was told to a tenth did not.
#[test]
fn what_a_cam_is_told_instead_works() {
    let nod = |lever: &str, base: &str| {
        compile(&format!(
            "figure f {{ board plywood-9 700 mm by 900 mm\n limb frog {{ pivot (300, 500) mm  tip (500, 500) mm\n \
             drive cam {{ motor wiper at (300, 300) mm  base {base}  roller 8 mm  lever {lever} }}\n \
             gesture hop {{ sweep 0 deg to 12 deg  cycle 4 s }} }} }}"
        ))
    };
    let none = nod("100 mm at -65.3 deg", "?");
    assert_eq!(errors(&none), ["cam-nothing-fits"]);
    let help = none.findings[0].help.clone().unwrap();
    assert!(help.contains("its angle left open, `at ?`"), "{help}");
    assert_eq!(errors(&nod("100 mm at ?", "?")), [""; 0]);
    let lever = help.split("a lever of ").nth(1).and_then(|l| l.split(" (").next()).expect(&help);
    assert_eq!(errors(&nod(&format!("{lever} at -65.3 deg"), "?")), [""; 0], "{help}");
}

/// Lift: the lever times the sweep in rad; on a guide the stroke.
#[test]
fn a_cams_lift_follows_from_what_is_asked() {
    let found = nod("lever 200 mm at ?  lift ?");
    let arc = 200.0 * 12.0_f64.to_radians();
    assert!((size(&found, SizeName::Lift) - arc).abs() < 1e-9);
    let lever = nod("lever ? at ?  lift ? 40 to 42 mm");
    let swing = 12.0_f64.to_radians();
    let found = size(&lever, SizeName::Lever);
    assert!((40.0 / swing - 1e-6..=42.0 / swing + 1e-6).contains(&found), "{found}");
    assert_eq!(errors(&nod("lever 200 mm at ?  lift ? 10 to 20 mm")), ["nothing-fits"]);
}

fn pump(slot: &str) -> Compiled {
    compile(&format!(
        "figure pump {{ board plywood-9 600 mm by 900 mm\n limb arm {{ pivot (300, 500) mm  tip (600, 500) mm\n \
         drive slotted-arm {{ motor wiper at (300, 400) mm  crank 40 mm  slot {slot} at ? }}\n \
         gesture wave {{ sweep -23.6 deg to 23.6 deg  cycle 3 s }} }} }}"
    ))
}

/// The pin runs from 60 to 140 mm of the pivot: 80 mm, with half the 6 mm pin and 2 mm at
/// either end 90.
#[test]
fn a_slot_is_as_long_as_its_pin_runs() {
    assert!((size(&pump("?"), SizeName::Slot) - 90.0).abs() < 1e-6);
    assert!((size(&pump("? 50 to 120 mm by 25 mm"), SizeName::Slot) - 100.0).abs() < 1e-6);
    assert_eq!(errors(&pump("? 50 to 80 mm")), ["nothing-fits"]);
}

fn lid(length: &str) -> Compiled {
    compile(&format!(
        "figure owl {{ board plywood-9 400 mm by 900 mm\n motor lids servo-micro at (200, 740) mm\n \
         limb lid {{ pivot (200, 780) mm  tip (240, 780) mm\n weighed 0.02 kg  balances 25 mm  friction 0.002 N.m\n \
         drive cord {{ motor lids  horn ?  lever 15 mm at ?  length {length}  guides (190, 760) mm  return spring 0.010 N.m }}\n \
         rest 10 deg\n gesture blink {{ sweep 10 deg to 60 deg within 4 deg  cycle 1 s }} }} }}"
    ))
}

#[test]
fn a_cord_keeps_to_its_range() {
    assert_eq!(errors(&lid("? 10 to 80 mm")), [""; 0]);
    assert_eq!(errors(&lid("? 10 to 20 mm")), ["nothing-fits"]);
}

fn flap(left: &str, right: &str) -> Compiled {
    flap_between((left, "155 deg to 205 deg"), (right, "-25 deg to 25 deg"))
}

/// Pin and sweep of the left wing, and of the right one.
fn flap_between(left: (&str, &str), right: (&str, &str)) -> Compiled {
    let wing = |name, x: i32, tip: i32, pin: &str, sweep| {
        format!(
            "limb {name} {{ pivot ({x}, 820) mm  tip ({tip}, 820) mm  mount behind\n \
             drive four-bar {{ motor wings {pin}  crank 30 mm  rod 250 mm  tail-hole 70 mm at ? }}\n \
             gesture flap {{ sweep {sweep}  cycle 2 s }} }}\n"
        )
    };
    compile(&format!(
        "figure heron {{ board plywood-9 520 mm by 1400 mm\n motor wings wiper at (260, 570) mm\n {}{} }}",
        wing("left", 197, -253, left.0, left.1),
        wing("right", 323, 773, right.0, right.1)
    ))
}

/// With the pin that was found both wings are at their far ends at one angle of the motor,
/// or half a turn of it apart.
#[test]
fn an_open_pin_keeps_step() {
    let far = |compiled: &Compiled, limb: usize| match &compiled.figures[0].limbs[limb].mechanism {
        Some(Fitted::FourBar(bar)) => {
            let at = bar.as_drilled.motion.unwrap().crank_at_high.unwrap();
            (at - bar.pin).positive().0
        }
        other => panic!("{other:?}: {:?}", compiled.findings),
    };
    for (phase, apart) in [("together", 0.0), ("alternate", 180.0)] {
        let found = flap("", &format!("pin ? {phase}"));
        assert_eq!(errors(&found), [""; 0]);
        let off = (far(&found, 0) - far(&found, 1)).abs();
        assert!(off.min(360.0 - off) - apart < 0.51, "{phase}: {off}");
        assert!((off.min(360.0 - off) - apart).abs() < 0.51, "{phase}: {off}");
    }
    // The far end is the second one that is written: half a turn on where that is the lower.
    let pin = |left: &str, right: &str| {
        let compiled = flap_between(("", left), ("pin ? together", right));
        match &compiled.figures[0].limbs[1].mechanism {
            Some(Fitted::FourBar(bar)) => bar.pin.positive().0,
            other => panic!("{other:?}: {:?}", compiled.findings),
        }
    };
    let (up, down) = ("155 deg to 205 deg", "205 deg to 155 deg");
    let same = pin(up, "-25 deg to 25 deg");
    assert!((pin(down, "25 deg to -25 deg") - same).abs() < 1e-9);
    for apart in [pin(down, "-25 deg to 25 deg"), pin(up, "25 deg to -25 deg")] {
        assert!(((apart - same).abs() - 180.0).abs() < 1.01, "{apart}, {same}");
    }
    // Where the range holds no such angle, its end is told with how far it is off.
    for (range, told) in
        [("pin ?", false), ("pin ? 0 to 360 deg", false), ("pin ? 0 to 20 deg", true)]
    {
        let found = flap("", &format!("{range} together"));
        let said = found.findings.iter().find(|f| f.code.word == "pin-out-of-step");
        assert_eq!(said.is_some(), told, "{range}");
        if let Some(said) = said {
            let off = (far(&found, 0) - far(&found, 1)).abs();
            let off = format!("{} deg of the motor out of step", off.min(360.0 - off).round());
            assert!(said.message.contains(&off), "{off}: {}", said.message);
        }
    }
    assert_eq!(errors(&flap("", "pin 90 deg together")), ["words-contradict"]);
    assert_eq!(errors(&flap("pin ?", "pin ?")), ["not-looked-for", "not-looked-for"]);
}

fn frog(anchor: &str) -> Compiled {
    compile(&format!(
        "figure f {{ board plywood-9 700 mm by 900 mm\n limb frog {{ slide from (300, 400) mm to (300, 600) mm\n \
         drive ram {{ motor ram-100  anchor {anchor}  length 205 to 305 mm }}\n \
         gesture hop {{ stroke 0 mm to 100 mm  cycle 20 s }} }} }}"
    ))
}

/// In line with the guide the anchor stands 205 mm before the limb: at (300, 195). The way
/// that works is a line hardly thicker than a pencil's.
#[test]
fn an_anchor_beside_a_guide_is_found_where_it_may_be() {
    for anchor in [
        "?",
        "? near (320, 200) mm within 30 mm",
        "? in (300, 100) to (340, 220) mm",
        "? in (320, 100) to (340, 220) mm",
        "? from (320, 100) to (340, 220) mm",
    ] {
        let found = frog(anchor);
        assert_eq!(errors(&found), [""; 0], "{anchor}: {:?}", found.findings);
        assert!(drive(&found).sizes.iter().any(|s| s.name == SizeName::Ground && s.solved()));
    }
    let none = frog("? near (320, 100) mm within 30 mm");
    assert_eq!(errors(&none), ["no-place-fits"]);
    let help = none.findings[0].help.as_deref().unwrap();
    let place = help.strip_prefix("at ").and_then(|h| h.strip_suffix(" it works.")).expect(help);
    assert_eq!(errors(&frog(place)), [""; 0], "{place}");
}

/// From (300, 165) a ram of 205 mm drawn in reaches 30 mm short of the limb's own point: its
/// pin sits 30 mm back. What is written for a lever says so.
#[test]
fn a_pin_along_a_limb_is_told_which_way() {
    let frog = |y: i32, lever: &str| {
        compile(&format!(
            "figure f {{ board plywood-9 700 mm by 900 mm\n limb frog {{ slide from (300, 400) mm to (300, 600) mm\n \
             drive ram {{ motor ram-100  anchor (300, {y}) mm  lever {lever}  length 205 to 305 mm }}\n \
             gesture hop {{ stroke 0 mm to 100 mm  cycle 20 s }} }} }}"
        ))
    };
    assert_eq!(errors(&frog(195, "?")), ["nothing-fits"]);
    let back = frog(165, "?");
    assert_eq!(errors(&back), ["nothing-fits"]);
    assert_eq!(back.findings[0].help.as_deref(), Some("write `lever 30 mm at 180 deg`."));
    assert_eq!(errors(&frog(165, "30 mm at 180 deg")), [""; 0]);
    assert!((size(&frog(165, "? at 180 deg"), SizeName::Lever) - 30.0).abs() < 1e-6);
    assert!((size(&frog(225, "?"), SizeName::Lever) - 30.0).abs() < 1e-6);
    assert_eq!(errors(&frog(165, "? at 30 deg")), ["not-looked-for"]);
}

#[test]
fn what_nothing_decides_is_refused() {
    let hop = |words: &str| {
        compile(&format!(
            "figure f {{ board plywood-9 700 mm by 900 mm\n limb frog {{ slide from (300, 400) mm to (300, 440) mm\n \
             weighed 0.8 kg\n drive cam {{ motor wiper at (300, 300) mm  base ?  {words} }}\n \
             gesture hop {{ stroke 0 mm to 20 mm  cycle 4 s }} }} }}"
        ))
    };
    for (words, code) in [
        ("roller ?", "not-looked-for"),
        ("roller 8 mm  lever ?", "words-contradict"),
        ("follower knife  roller ?", "words-contradict"),
    ] {
        assert_eq!(errors(&hop(words)), [code], "{words}");
    }
    let pivot = compile(
        "figure bear { board plywood-9 620 mm by 1350 mm\n limb arm { pivot ? near (150, 880) mm within 20 mm  tip (-250, 1150) mm\n \
         drive four-bar { motor wiper at (310, 806) mm  crank 30 mm  rod ?  lever 80 mm at ? }\n \
         gesture hit { sweep 121 deg to 165 deg  cycle 4 s } } }",
    );
    assert_eq!(errors(&pivot), ["not-looked-for"]);
}

fn bar(compiled: &Compiled) -> &FittedFourBar {
    match &compiled.figures[0].limbs[0].mechanism {
        Some(Fitted::FourBar(bar)) => bar,
        other => panic!("{other:?}: {:?}", compiled.findings),
    }
}

fn swung(drive: &str, gesture: &str) -> Compiled {
    compile(&format!(
        "figure f {{ board plywood-9 2000 mm by 2000 mm\n limb l {{ pivot (800, 900) mm tip (1000, 900) mm\n \
         drive four-bar {{ {drive} }}\n gesture g {{ {gesture} cycle 3 s }} }} }}"
    ))
}

/// A range that reaches past half a turn is kept to in its own turn: -140 deg is 220.
#[test]
fn a_clamp_is_marked_out_in_the_turn_of_its_range() {
    let asked = "sweep -150 deg to -103 deg";
    let of = |at: &str| {
        let drive =
            format!("motor wiper at (600, 925) mm crank 40 mm rod ? lever 110 mm at ? {at}");
        let compiled = swung(&drive, asked);
        let motion = bar(&compiled).as_drilled.motion.unwrap();
        let low = motion.low.unwrap();
        assert!((low.0 + 150.0).abs() < 3.0, "{at}: {low:?}");
        bar(&compiled).drilled.clamp().signed().0
    };
    assert_eq!(of("0 to 360 deg"), of(""));
}

/// Rounded sizes keep to the tolerance: with the rod on its nearest mark, 244 mm, the lower
/// end would be 0.1 deg out, and the next mark does it.
#[test]
fn sizes_are_marked_out_so_that_they_do_what_is_asked() {
    let compiled = swung(
        "motor wiper at (561.5, 969.1) mm crank ? 20 to 60 mm by 10 mm rod ? \
         lever ? 60 to 120 mm by 10 mm at ? -9.7 to 41.9 deg",
        "sweep -134.4 deg to -75.6 deg within 2.7 deg",
    );
    let motion = bar(&compiled).as_drilled.motion.unwrap();
    let off = (motion.low.unwrap().0 + 134.4).abs().max((motion.high.unwrap().0 + 75.6).abs());
    assert!(off <= 2.7 + 1e-9, "{off}");
}
