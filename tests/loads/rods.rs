//! What rods, pins and the ends of rods are said to be made of, by hand.

use super::compile;
use yardwright::check::Compiled;
use yardwright::loads::Limit;

fn bear(words: &str, limit: &str) -> Compiled {
    compile(&format!(
        "figure bear {{ board plywood-9 620 mm by 1350 mm
           motor drum wiper at (310, 806) mm turns ccw limit {limit} A
           limb left {{ pivot (150, 880) mm tip (-250, 1150) mm bolt M8 washer 30 mm clamp screws {words}
             sheet plywood-6 outline (190, 850) (110, 840) (-270, 1130) (-230, 1180) (180, 930) mm
             drive four-bar {{ motor drum crank 30 mm rod 160 mm lever 80 mm at 127 deg assembly open
               standoff 50 mm }}
             gesture hit {{ sweep 121 deg to 165 deg cycle 2.06896551724 s }} }} }}"
    ))
}

/// The grips of one code, the last first: that of a jam.
fn held(compiled: &Compiled, code: &str) -> Limit {
    let grips = &compiled.loads[0].limbs[0].grips;
    grips.iter().rfind(|g| g.code.word == code).expect("it is looked at").clone()
}

fn near(got: f64, want: f64) {
    assert!((got / want - 1.0).abs() < 0.01, "{got}, by hand {want}");
}

#[test]
fn a_rod_bent_all_at_one_end_bears_half_as_much() {
    // 5 A: 14/14.8 x 3.8 = 3.595 N.m, 119.8 N over 30 mm. Root of M8 6.647: W 28.83, A 34.70.
    let middle = held(&bear("", "5"), "rod-bends");
    near(middle.calm, 119.8 * 25.0 / 28.83 + 119.8 / 34.70);
    assert!(!middle.typical.is_empty());
    let end = bear("rod-thread M8 bent end", "5");
    near(held(&end, "rod-bends").calm, 119.8 * 50.0 / 28.83 + 119.8 / 34.70);
    assert!(end.findings.iter().any(|f| f.code.word == "rod-bends"));
    assert!(
        bear("rod-thread M8 bent middle", "5").findings.iter().all(|f| f.code.word != "rod-bends")
    );
}

#[test]
fn a_thicker_and_a_harder_rod_bear_more() {
    // M10: root 10 - 1.0825 x 1.5 = 8.376: W 57.69, A 55.10; two thirds of 640 MPa.
    let rod = held(&bear("rod-thread M10 yield 640 MPa bent end", "5"), "rod-bends");
    near(rod.calm, 119.8 * 50.0 / 57.69 + 119.8 / 55.10);
    near(rod.bears, 640.0 / 1.5);
    assert!(rod.typical.is_empty());
}

#[test]
fn a_rod_that_is_said_to_be_bent_does_not_lean() {
    let binds = |c: &Compiled| c.findings.iter().any(|f| f.code.word == "rod-binds");
    assert!(binds(&bear("", "4")));
    assert!(!binds(&bear("rod-thread bent middle", "4")));
}

#[test]
fn a_crank_pin_bears_by_its_steel_and_its_reach() {
    // W of M6 at its root: pi 4.917^3/32 = 11.67.
    let usual = held(&bear("", "5"), "pin-bends");
    near(usual.calm, 119.8 * 12.0 / 11.67);
    near(usual.bears, 160.0);
    let said = held(&bear("crank-pin yield 640 MPa reach 8 mm", "5"), "pin-bends");
    near(said.calm, 119.8 * 8.0 / 11.67);
    near(said.bears, 426.7);
    assert!(said.typical.is_empty() && !usual.typical.is_empty());
    // Where its numbers come from, as what gives first has them.
    use yardwright::loads::wind_limit::Source::{Given, Typical, Worked};
    let sources = |limit: &Limit| limit.inputs.iter().map(|i| i.source).collect::<Vec<_>>();
    assert_eq!(sources(&usual), [Worked, Typical, Typical, Typical]);
    assert_eq!(sources(&said), [Worked, Given, Typical, Given]);
}

#[test]
fn dry_bushings_ask_for_what_their_friction_says() {
    // A wheel of 1 kg in balance on M8 in nylon, straight on its motor's shaft by a belt of
    // 1:1: 1 x 9.80665 x 0.004 m x friction.
    let wheel = compile(
        "figure mill { board plywood-9 620 mm by 1350 mm
           limb sails { pivot (300, 900) mm tip (300, 1100) mm bolt M8 bushing nylon sheet plywood-6
             weighed 1 kg balances 0 mm
             drive spin { motor wiper at (300, 700) mm  belt 20 20 }
             gesture whirl { spin 1 turn per 4 s } } }",
    );
    let load = &wheel.loads[0].limbs[0].cycle.as_ref().unwrap().motor;
    near(load.peak, 9.80665 * 0.004 * 0.25);
    near(load.dry.unwrap(), 9.80665 * 0.004 * 0.45);
}

#[test]
fn the_ends_of_a_servos_rod_wag_by_what_was_felt() {
    let owl = |words: &str| {
        compile(&format!(
            "figure owl {{ board plywood-9 620 mm by 1350 mm
               limb head {{ pivot (300, 900) mm tip (300, 1050) mm bolt M8 bushing nylon sheet plywood-6 {words}
                 drive servo {{ motor servo-standard at (300, 840) mm arm 20 mm rod 60 mm lever 20 mm at 90 deg }}
                 gesture look {{ sweep 80 deg to 100 deg cycle 2 s }} }} }}"
        ))
    };
    let felt = owl("rod-ends 0.5 mm");
    let wag = held(&felt, "limb-rattles");
    let push = wag.inputs.iter().find(|i| i.name == "worst_push").unwrap().value;
    near(wag.calm, (0.5 / (20.0 * libm::sin(push.to_radians()))).to_degrees());
    let asks = |c: &Compiled| {
        c.loads[0].limbs[0].not_checked.iter().any(|n| n.settle.starts_with("rod-ends"))
    };
    assert!(asks(&owl("")) && !asks(&felt));
}

#[test]
fn a_slotted_lever_is_as_wide_as_its_slot_and_two_rails() {
    // M6 in a slot of 6.6 mm, 9 mm of steel on each side: 24.6 mm.
    let miller = |slot: &str| {
        let all = compile(&format!(
            "figure miller {{ board plywood-9 700 mm by 1200 mm
               limb arm {{ pivot (300, 700) mm tip (600, 700) mm bolt M8 bushing nylon sheet plywood-6
                 drive slotted-arm {{ motor wiper at (300, 600) mm limit 4 A crank 40 mm slot 95 mm at 270 deg {slot} }}
                 gesture throw {{ sweep -23.5 deg to 23.5 deg within 2 deg cycle 2 s }} }} }}"
        ));
        let told = all.findings.iter().any(|f| f.code.word == "slot-thin");
        let notes = &all.loads[0].limbs[0].not_checked;
        (told, notes.iter().any(|n| n.settle.starts_with("slot lever-width")))
    };
    assert_eq!(miller(""), (false, true));
    assert_eq!(miller("lever-width 20 mm"), (true, false));
    assert_eq!(miller("lever-width 25 mm"), (false, false));
}

#[test]
fn what_is_taken_of_a_crank_pin_is_what_nobody_said() {
    for (words, taken) in [
        ("", "pin of M6, class 4.6, 12 mm from the crank"),
        ("crank-pin yield 300 MPa", "pin of M6, 12 mm from the crank"),
        ("crank-pin reach 8 mm", "pin of M6, class 4.6"),
    ] {
        let bear = bear(words, "5");
        assert_eq!(held(&bear, "pin-bends").typical, vec![taken], "{words}");
        let gives = bear.loads[0].limbs[0].held.clone().unwrap().gives;
        let pin = gives.iter().find(|g| g.what.contains("pin")).unwrap();
        assert_eq!(pin.assumed, Some(taken), "{words}");
    }
    let gives = bear("rod-thread yield 640 MPa", "5").loads[0].limbs[0].held.clone().unwrap().gives;
    let rod = gives.iter().find(|g| g.what.contains("rod bends")).unwrap();
    assert_eq!(rod.assumed, Some("rod of M8 thread, bent twice in its middle"));
}

/// The limit that a help names: with it the finding is gone, with 0.5 A more it is there.
#[test]
fn the_limit_that_spares_a_pin_or_a_rod_is_worked_out() {
    let finding = |words: &str, limit: &str, code: &str| {
        let compiled = bear(words, limit);
        compiled.findings.into_iter().find(|f| f.code.word == code)
    };
    let pin = |limit: &str| finding("crank-pin reach 16 mm", limit, "pin-bends");
    let help = pin("9").expect("9 A are too much").help.unwrap();
    let limit = help.split("`limit ").nth(1).and_then(|rest| rest.split(" A`").next());
    let limit: f64 = limit.unwrap_or_else(|| panic!("{help}")).parse().unwrap();
    assert!(pin(&limit.to_string()).is_none(), "{help}");
    assert!(pin(&(limit + 0.5).to_string()).is_some(), "{help}");
    // What spares a rod of M5 is too little for the limb's own work.
    let rod = finding("rod-thread M5 bent end", "9", "rod-bends").expect("9 A are too much");
    assert!(!rod.help.as_ref().unwrap().contains("limit"), "{:?}", rod.help);
    // Of steel that hard there is no class 8.8 to take.
    let hard = bear("crank-pin yield 640 MPa reach 40 mm", "9");
    let found = hard.findings.iter().find(|f| f.code.word == "pin-bends").unwrap();
    assert!(!found.help.as_ref().unwrap().contains("8.8"), "{:?}", found.help);
}

/// At 5 A the wiper has 14/14.8 x 3.8 = 3.595 N.m: on a crank of 40 mm 89.9 N, which 12 mm out
/// bend M6 with 89.9 x 12/11.67 MPa, whatever its pin runs in.
#[test]
fn a_pin_in_a_slot_and_a_rod_to_a_guide_bend_it_as_well() {
    let slides = |drive: &str| {
        format!(
            "limb body {{ slide from (300, 440) mm to (300, 560) mm weighed 0.3 kg
               drive {drive} gesture hop {{ stroke 20 mm to 100 mm within 2 mm cycle 3 s }} }}"
        )
    };
    let arm = "limb arm { pivot (300, 900) mm tip (600, 900) mm weighed 0.3 kg balances 100 mm
        drive slotted-arm { motor wiper at (300, 700) mm limit 5 A crank 40 mm }
        gesture sway { sweep -11.5 deg to 11.5 deg within 4 deg cycle 3 s } }";
    for limb in [
        slides("scotch-yoke { motor wiper at (300, 500) mm limit 5 A crank 40 mm }"),
        slides("slider-crank { motor wiper at (300, 240) mm limit 5 A crank 40 mm rod 260 mm }"),
        arm.to_owned(),
    ] {
        let made = compile(&format!("figure f {{ board plywood-9 620 mm by 1350 mm {limb} }}"));
        let pin = held(&made, "pin-bends");
        near(pin.calm, 3.595 / 0.04 * 12.0 / 11.67);
        assert!(!pin.left_out, "{limb}");
    }
}

/// A wing on a motor that stops at 14 N.m: 466.7 N along its rod over a crank of 30 mm. Its
/// hole tears at 2 x 6 mm x (18 - 3) mm x 3 MPa = 540 N, and may bear 180 N of that.
#[test]
fn what_gives_way_in_the_motor_spares_the_hole_of_its_rod() {
    let told = |survives: &str| {
        let compiled = compile(&format!(
            "sheet shed-ply {{ thickness 6 mm  mass 4.1 kg/m2  material plywood  tear 3 MPa }}
             motor own {{ kind brushed  voltage 12 V  free 45 rpm 1.2 A  stall 14 N.m 16 A
               self-locking yes  {survives} }}
             figure heron {{ board plywood-9 520 mm by 1400 mm
               motor wings own at (260, 570) mm
               limb wing {{ pivot (197, 820) mm  tip (-253, 820) mm
                 mount behind  bolt M8  bushing nylon  washer 60 mm  holes close
                 sheet shed-ply  length 450 mm  width 160 mm  tail 88 mm
                 drive four-bar {{ motor wings  crank 30 mm  rod 250 mm  tail-hole 70 mm at 180 deg }}
                 gesture flap {{ sweep 155 deg to 205 deg within 4 deg  cycle 3 s }} }} }}"
        ));
        let grip = held(&compiled, "hole-tears");
        near(grip.calm, 466.7);
        near(grip.bears, 180.0);
        let found = compiled.findings.into_iter().find(|f| f.code.word == "hole-tears");
        found.map(|f| (f.severity, f.message)).expect("it is found")
    };
    use yardwright::finding::Severity;
    let (severity, message) = told("");
    assert_eq!(severity, Severity::Error, "{message}");
    // Gears that bear more than the hole spare nothing: 540 N are 16.2 N.m.
    assert_eq!(told("survives 17 N.m").0, Severity::Error);
    // 8 N.m are 267 N: less than tears it out, more than it may bear.
    let (severity, message) = told("survives 8 N.m");
    assert_eq!(severity, Severity::Warning);
    assert!(message.contains("its motor's gears give way first, at 267 N"), "{message}");
    // 5 N.m are 167 N: the hole keeps all of its factor.
    assert_eq!(told("survives 5 N.m").0, Severity::Advice);
}
