//! Places of motors of every kind, where they are open: what is found works when it is
//! written down, and where nothing works the place that is named does.

use yardwright::check::Compiled;
use yardwright::finding::Severity;
use yardwright::fit::{Fitted, SizeName};

use super::compile;
use crate::linkages::reference::Rng;

fn errors(compiled: &Compiled) -> Vec<&str> {
    let all = compiled.findings.iter().filter(|f| f.severity == Severity::Error);
    all.map(|f| f.code.word).collect()
}

/// What helps against the first finding of a code.
fn help<'a>(compiled: &'a Compiled, code: &str) -> &'a str {
    let found = compiled.findings.iter().find(|f| f.code.word == code);
    found.and_then(|f| f.help.as_deref()).unwrap_or_else(|| panic!("{:?}", compiled.findings))
}

/// The place found for the first motor, inside the corners; written down it gives the same.
fn found(yard: &dyn Fn(&str) -> Compiled, from: (f64, f64), to: (f64, f64)) -> (f64, f64) {
    let asked = format!("? in ({}, {}) to ({}, {}) mm", from.0, from.1, to.0, to.1);
    let compiled = yard(&asked);
    assert_eq!(errors(&compiled), [""; 0], "{:?}", compiled.findings);
    let at = compiled.figures[0].place_of(0).expect("a place");
    assert!((from.0..=to.0).contains(&at.x) && (from.1..=to.1).contains(&at.y), "{at:?}");
    let written = yard(&format!("({}, {}) mm", at.x, at.y));
    assert_eq!(errors(&written), [""; 0], "{:?}", written.findings);
    (at.x, at.y)
}

fn owl(motor: &str, rod: &str) -> Compiled {
    compile(&format!(
        "figure owl {{ board plywood-9 420 mm by 820 mm\n \
         frame 38 mm by 38 mm {{ (100, 100) to (100, 800) (300, 100) to (300, 800) mm }}\n \
         limb head {{ pivot (210, 740) mm  tip (210, 890) mm\n \
         drive servo {{ motor servo-standard at {motor}  {rod} }}\n \
         gesture look {{ sweep 65 deg to 115 deg  cycle 2 s }} }} }}"
    ))
}

/// Arm, rod, lever and clamp open with the place, or given with it.
#[test]
fn a_servo_with_a_rod_finds_its_place() {
    for rod in ["crank ?  rod ?  lever ? at ?", "crank 20 mm  rod 60 mm  lever 20 mm at 90 deg"] {
        found(&|at| owl(at, rod), (120.0, 600.0), (300.0, 700.0));
    }
    let on = owl("? on frame", "crank ?  rod ?  lever ? at ?");
    assert_eq!(errors(&on), [""; 0]);
    let at = on.figures[0].place_of(0).unwrap();
    assert!(at.x == 100.0 || at.x == 300.0, "{at:?}");
}

/// Straight on its shaft a limb turns where its servo stands.
/// Within 14 mm of the limb's bolt no rod has room for its two eyes.
#[test]
fn a_servo_does_not_stand_on_its_limbs_bolt() {
    let near = |place: &str| {
        compile(&format!(
            "figure owl {{ board plywood-9 420 mm by 820 mm\n limb head {{ pivot (210, 740) mm  tip (210, 890) mm\n \
             drive servo {{ motor servo-standard at {place}  crank ? 12 to 24 mm by 2 mm  rod ?  lever 20 mm at ? }}\n \
             gesture look {{ sweep 60 deg to 120 deg  cycle 2 s }} }} }}"
        ))
    };
    let on_it = near("? in (200, 730) mm to (220, 750) mm");
    assert_eq!(errors(&on_it), ["no-place-fits"]);
    assert_eq!(errors(&near("? in (150, 600) mm to (270, 700) mm")), [""; 0]);
}

#[test]
fn a_servo_straight_on_its_limb_stands_on_the_pivot() {
    assert_eq!(found(&|at| owl(at, ""), (120.0, 600.0), (300.0, 800.0)), (210.0, 740.0));
    assert_eq!(errors(&owl("? in (120, 600) to (300, 700) mm", "")), ["no-place-fits"]);
}

/// Where no place inside works, the one that is named does.
#[test]
fn the_place_that_is_named_instead_works() {
    let rod = "crank 20 mm  rod 60 mm  lever 20 mm at 90 deg";
    let bear = |at: &str| {
        compile(&format!(
            "figure bear {{ board plywood-9 620 mm by 1350 mm\n limb arm {{ pivot (150, 880) mm  tip (-250, 1150) mm\n \
             drive four-bar {{ motor wiper at {at}  crank 30 mm  rod 160 mm  lever 80 mm at ? }}\n \
             gesture hit {{ sweep 121 deg to 165 deg within 2 deg  cycle 4 s }} }} }}"
        ))
    };
    let head = |at: &str| owl(at, rod);
    type Case<'c> = (&'c dyn Fn(&str) -> Compiled, &'c str);
    let cases: [Case<'_>; 3] = [
        (&head, "? in (120, 300) to (300, 400) mm"),
        (&bear, "? in (450, 300) to (550, 400) mm"),
        (&|at| yoke(at, "40 mm"), "? in (600, 500) to (700, 700) mm"),
    ];
    for (yard, asked) in cases {
        let none = yard(asked);
        assert_eq!(errors(&none), ["no-place-fits"], "{asked}");
        let help = help(&none, "no-place-fits");
        let place = help.strip_prefix("at ").and_then(|h| h.strip_suffix(" it works."));
        let place = place.unwrap_or_else(|| panic!("{asked}: {help}"));
        assert_eq!(errors(&yard(place)), [""; 0], "{place}");
    }
}

fn yoke(motor: &str, crank: &str) -> Compiled {
    compile(&format!(
        "figure f {{ board plywood-9 900 mm by 1200 mm\n limb bow {{ slide from (440, 600) mm to (560, 600) mm\n \
         drive scotch-yoke {{ motor wiper at {motor}  crank {crank} }}\n \
         gesture fiddle {{ stroke 20 mm to 100 mm  cycle 2.1 s }} }} }}"
    ))
}

fn bow(motor: &str, sizes: &str) -> Compiled {
    compile(&format!(
        "figure f {{ board plywood-9 900 mm by 1200 mm\n limb bow {{ slide from (440, 600) mm to (560, 600) mm\n \
         drive slider-crank {{ motor wiper at {motor}  {sizes} }}\n \
         gesture fiddle {{ stroke 20 mm to 100 mm  cycle 2.1 s }} }} }}"
    ))
}

/// A yoke moves about its shaft: at (500, 600), the middle of the stroke. A rod of 200 mm
/// in line with its guide puts the shaft 200 mm from it, at (300, 600) or (700, 600).
#[test]
fn a_crank_on_a_guide_finds_the_line_it_may_stand_on() {
    let corners = ((300.0, 500.0), (710.0, 700.0));
    assert_eq!(found(&|at| yoke(at, "? 30 to 60 mm by 10 mm"), corners.0, corners.1).0, 500.0);
    let (x, y) = found(&|at| bow(at, "crank 40 mm  rod 200 mm"), (200.0, 500.0), (640.0, 700.0));
    assert!((x - 300.0).abs() < 1.5 && y == 600.0, "{x} {y}");
    found(&|at| bow(at, "crank ? 30 to 60 mm by 10 mm  rod ?"), (200.0, 560.0), (400.0, 640.0));
}

/// The swing is twice `asin(crank/distance)`: 40 mm and 24 deg put the shaft 98.3 mm from
/// the pivot, within the tolerance 90 to 108.
#[test]
fn a_slotted_arm_finds_the_ring_it_may_stand_on() {
    let pump = |at: &str, slot: &str| {
        compile(&format!(
            "figure pump {{ board plywood-9 600 mm by 900 mm\n limb arm {{ pivot (300, 500) mm  tip (600, 500) mm\n \
             drive slotted-arm {{ motor wiper at {at}  crank 40 mm  slot at {slot} }}\n \
             gesture wave {{ sweep -24 deg to 24 deg  cycle 3 s }} }} }}"
        ))
    };
    for slot in ["?", "-90 deg"] {
        let (x, y) = found(&|at| pump(at, slot), (200.0, 200.0), (400.0, 450.0));
        let far = libm::hypot(x - 300.0, y - 500.0);
        assert!((90.0..=108.0).contains(&far), "{far}");
    }
}

#[test]
fn a_cord_finds_the_place_of_its_horn() {
    let lid = |at: &str| {
        compile(&format!(
            "figure owl {{ board plywood-9 400 mm by 900 mm\n limb lid {{ pivot (200, 780) mm  tip (240, 780) mm\n \
             weighed 0.02 kg  balances 25 mm  friction 0.002 N.m\n \
             drive cord {{ motor servo-micro at {at}  horn ?  lever 15 mm at ?  guides (190, 760) mm  return spring 0.010 N.m }}\n \
             rest 10 deg\n gesture blink {{ sweep 10 deg to 60 deg within 4 deg  cycle 1 s }} }} }}"
        ))
    };
    found(&lid, (120.0, 600.0), (260.0, 740.0));
}

/// A belt of no said pitch and length fits with its motor anywhere: no place is invented.
#[test]
fn a_belt_that_decides_nothing_is_refused() {
    let sails = |at: &str, belt: &str| {
        compile(&format!(
            "figure windmill {{ board plywood-9 500 mm by 1150 mm\n limb sails {{ pivot (250, 900) mm  tip (570, 900) mm\n \
             drive spin {{ motor wiper at {at}  belt 20 40 {belt} }}\n gesture round {{ spin 1 turn per 4 s }} }} }}"
        ))
    };
    assert_eq!(errors(&sails("?", "")), ["not-looked-for"]);
    assert_eq!(errors(&sails("?", "pitch 5 mm length ?")), ["not-looked-for"]);
    assert_eq!(errors(&sails("?", "pitch 5 mm length 600 mm")), [""; 0]);
    assert_eq!(errors(&sails("? in (200, 600) to (300, 700) mm", "")), [""; 0]);
}

/// A wink on a head that nods: the servo, its zero and all of its rod ride with it.
#[test]
fn places_and_zeros_are_found_on_what_carries_them() {
    let wink = |motor: &str, more: &str| {
        compile(&format!(
            "figure owl {{ board plywood-9 620 mm by 1020 mm\n motor neck servo-standard at (310, 640) mm\n \
             limb head {{ pivot (310, 640) mm  tip (310, 940) mm  width 200 mm\n drive servo {{ motor neck }}\n rest 90 deg\n \
             gesture look {{ sweep 70 deg to 110 deg  cycle 3 s }} }}\n \
             limb ear on head {{ pivot (310, 860) mm  tip (310, 980) mm\n \
             drive servo {{ motor servo-micro at {motor} rides  {more} }}\n \
             gesture prick {{ bend -20 deg to 20 deg  cycle 2 s }} }} }}"
        ))
    };
    let place = wink("? in (260, 740) to (360, 800) mm", "crank ?  rod ?  lever ? at ?");
    assert_eq!(errors(&place), [""; 0], "{:?}", place.findings);
    let at = place.figures[0].place_of(1).expect("a place");
    assert!((260.0..=360.0).contains(&at.x) && (740.0..=800.0).contains(&at.y), "{at:?}");
    let zero = |c: &Compiled| match &c.figures[0].limbs[1].mechanism {
        Some(Fitted::Servo(s)) => s.zero.map(|z| z.0),
        other => panic!("{other:?}: {:?}", c.findings),
    };
    // As its carrier sees it the middle of the bend is 0; on the board, at rest, 90 deg.
    let open = wink("(310, 860) mm", "zero ?");
    assert_eq!(errors(&open), [""; 0], "{:?}", open.findings);
    assert!(zero(&open).unwrap().abs() < 1e-6, "{:?}", zero(&open));
    assert_eq!(errors(&wink("(310, 860) mm", "zero 90 deg")), [""; 0]);
}

/// The best rod of any zero has it at -134 deg; from the nearest end of a range that ends at
/// 200 deg (-160) an arm longer than its lever still reaches, 50 deg by 40 of the servo.
#[test]
fn a_zero_in_a_range_beside_the_best_is_found_at_its_edge() {
    let owl = |zero: &str| {
        compile(&format!(
            "motor sv {{ kind servo  pulse 1000 us at -45 deg  2000 us at 45 deg }}\n\
             figure f {{ board plywood-9 1100 mm by 1300 mm\n limb l {{ pivot (800, 900) mm  tip (1000, 900) mm\n \
             drive servo {{ motor sv at (740, 850) mm  crank ? 15 to 25 mm by 5 mm  rod ?  \
             lever ? 20 to 40 mm by 5 mm at ? 165 to 300 deg  {zero} }}\n \
             gesture g {{ sweep -150 deg to -110 deg  cycle 3 s }} }} }}"
        ))
    };
    let found = owl("zero ? 0 to 200 deg");
    assert_eq!(errors(&found), [""; 0], "{:?}", found.findings);
    let Some(Fitted::Servo(servo)) = &found.figures[0].limbs[0].mechanism else { panic!() };
    assert!((servo.zero.unwrap().0 + 160.0).abs() < 1e-6, "{:?}", servo.zero);
    assert_eq!(errors(&owl("zero -160 deg")), [""; 0]);
    // Straight on its shaft none of the range will do, and the horn is told from where the
    // range has it, not from the drawing.
    let straight = compile(
        "figure f { board plywood-9 1100 mm by 1300 mm\n limb l { pivot (800, 900) mm  tip (1000, 900) mm\n \
         drive servo { motor servo-standard at (800, 900) mm  zero ? 90 to 280 deg }\n \
         gesture g { sweep -30 deg to 20 deg  cycle 3 s } } }",
    );
    let said = help(&straight, "servo-out-of-travel");
    assert!(said.contains("`zero -8 deg`"), "{said}");
}

/// A ram that rides: its anchor is looked for on the limb that carries it.
#[test]
fn the_anchor_of_a_ram_that_rides_is_found_on_its_carrier() {
    let yard = include_str!("../impossible/riding-ram.yard");
    let text = yard.split("#|").next().unwrap();
    let anchor = text.lines().find(|l| l.contains("anchor (")).expect("an anchor");
    let from = anchor.find("anchor (").unwrap() + "anchor ".len();
    let to = from + anchor[from..].find(" mm").unwrap() + " mm".len();
    let open = text.replace(&anchor[from..to], "?");
    let found = compile(&open.replace("use parts", ""));
    assert_eq!(errors(&found), [""; 0], "{:?}", found.findings);
    let riding = found.figures[0].limbs.iter().filter_map(|l| l.mechanism.as_ref()?.as_drive());
    let ground = riding.flat_map(|d| &d.sizes).find(|s| s.name == SizeName::Ground);
    assert!(ground.is_some_and(|s| s.solved()));
}

/// An anchor on the pivot turns nothing, whatever is asked or left open.
#[test]
fn a_ram_on_its_limbs_pivot_is_an_error() {
    for lever in ["100 mm at ?", "250 mm at 30 deg", "?"] {
        let gate = compile(&format!(
            "figure windmill {{ board plywood-9 900 mm by 900 mm\n limb gate {{ pivot (200, 500) mm  tip (700, 500) mm\n \
             drive ram {{ motor ram-100  anchor (200, 500) mm  lever {lever} }}\n \
             gesture open {{ turn to 60 deg over 12 s }} }} }}"
        ));
        assert_eq!(errors(&gate), ["parts-do-not-reach"], "{lever}");
    }
}

/// A rod that does not reach is told with one that does.
#[test]
fn a_servos_rod_that_does_not_reach_is_told_with_one_that_does() {
    let sizes = |rod: &str| format!("crank 20 mm  rod {rod}  lever 20 mm at 90 deg");
    let short = owl("(210, 680) mm", &sizes("15 mm"));
    assert_eq!(errors(&short), ["parts-do-not-reach"]);
    let help = help(&short, "parts-do-not-reach");
    let rod = help.strip_prefix("a rod of ").and_then(|h| h.split(" does").next()).expect(help);
    assert_eq!(errors(&owl("(210, 680) mm", &sizes(rod))), [""; 0], "{rod}");
}

/// One motor between two arms that are images of each other stands on their line, the two
/// then being images to the hole; where that is not possible, beside it.
#[test]
fn a_motor_of_two_mirrored_arms_stands_on_their_line() {
    let bear = |motor: &str, line: &str| {
        compile(&format!(
            "figure bear {{ board plywood-9 620 mm by 1350 mm
  motor drum wiper at {motor}
  limb left-arm {{ pivot (150, 880) mm  tip (-250, 1150) mm
    drive four-bar {{ motor drum  crank ? 30 to 60 mm by 10 mm  rod ?  lever ? 70 to 120 mm by 10 mm at ? }}
    gesture hit {{ sweep 121 deg to 165 deg within 2 deg  cycle 2 s }} }}
  limb right-arm mirrors left-arm about x {line} }}"
        ))
    };
    let place = |compiled: &Compiled| {
        let at =
            compiled.figures[0].place_of(0).unwrap_or_else(|| panic!("{:?}", errors(compiled)));
        (at.x, at.y)
    };
    let sizes = |compiled: &Compiled, limb: usize| {
        let bars = super::four_bar(compiled, 0, limb).drilled.bars();
        (bars.crank, bars.rod, bars.lever)
    };
    for (motor, line, x) in [
        ("? near (310, 700) mm within 100 mm", "310 mm", 310.0),
        ("? in (200, 600) to (420, 820) mm", "310.5 mm", 310.5),
        ("?", "310 mm", 310.0),
    ] {
        let compiled = bear(motor, line);
        assert_eq!(place(&compiled).0, x, "{motor}");
        assert_eq!(sizes(&compiled, 0), sizes(&compiled, 1), "{motor}");
    }
    let beside = bear("? in (200, 760) to (290, 830) mm", "310 mm");
    assert!((200.0..=290.0).contains(&place(&beside).0));
}

/// What is left open is looked at as far as the board goes, and no further.
#[test]
fn a_motor_stands_on_the_board() {
    let at = |motor: &str| owl(motor, "crank ? 12 to 24 mm by 2 mm  rod ?  lever 20 mm at ?");
    let compiled = at("? in (380, 600) mm to (900, 700) mm");
    let figure = &compiled.figures[0];
    let found = figure.place_of(0).unwrap();
    let outline = figure.figure.board.outline.as_ref().unwrap();
    assert!(outline.contains(found), "{found:?}");
    for off in ["? in (600, 600) mm to (800, 700) mm", "? near (800, 600) mm within 60 mm"] {
        let compiled = at(off);
        assert_eq!(errors(&compiled), ["no-place-fits"]);
        let said = compiled.findings.iter().find(|f| f.code.word == "no-place-fits").unwrap();
        assert!(said.message.contains("lies off the board, which reaches from (0, 0) mm to"));
        assert!(help(&compiled, "no-place-fits").contains("`at ?`"));
    }
}

/// Who asks for all of the push gets no less of it than who asks for nothing, whatever moves
/// the limb: both look at places by chance boxes, the push is that of the same limb as it is
/// drilled.
#[test]
fn to_prefer_the_push_never_gives_less_of_it() {
    let mut rng = Rng(20_271_202);
    let mut better = 0;
    for _ in 0..3 {
        let mut place = |x: f64, y: f64| {
            let (x, y) = (x + 60.0 * rng.unit(), y + 60.0 * rng.unit());
            format!("? in ({x:.0}, {y:.0}) mm to ({:.0}, {:.0}) mm", x + 90.0, y + 90.0)
        };
        let figures = [
            ("servo", place(140.0, 560.0)),
            ("four-bar", place(230.0, 650.0)),
            ("slider", place(200.0, 540.0)),
            ("slotted", place(220.0, 320.0)),
            ("ram", place(80.0, 120.0)),
        ]
        .map(|(kind, at)| (kind, move |prefer: &str| pushed(kind, &at, prefer)));
        for (kind, yard) in figures {
            let [usual, push] = ["", "prefer push"].map(|prefer| push(&yard(prefer)));
            let Some(usual) = usual else { continue };
            let push = push.unwrap_or_else(|| panic!("{kind}: none, {usual} without"));
            assert!(push >= usual - 1e-9, "{kind}: {push}, {usual} where nobody asks");
            better += u32::from(push > usual + 1.0);
        }
    }
    assert!(better > 0, "a preference that never does anything");
}

/// The worst push of the limb that is asked about; `None` where there is none.
fn push(compiled: &Compiled) -> Option<f64> {
    assert!(compiled.findings.iter().all(|f| f.code.word != "value-wrong"), "a yard of this test");
    match compiled.figures[0].limbs[0].mechanism.as_ref()? {
        Fitted::FourBar(bar) => Some(bar.as_drilled.motion?.min_transmission.0),
        Fitted::Drive(drive) => Some(drive.drilled.course.worst_push.0),
        Fitted::Servo(servo) => servo.min_transmission.map(|p| p.0),
        Fitted::Spin(_) => None,
    }
}

/// A figure of one limb whose motor or anchor has an open place.
fn pushed(kind: &str, at: &str, prefer: &str) -> Compiled {
    let limb = match kind {
        "servo" => format!(
            "pivot (210, 740) mm  tip (210, 890) mm\n drive servo {{ motor servo-standard at {at}  \
             crank ?  rod ?  lever ? at ?  {prefer} }}\n gesture look {{ sweep 62 deg to 118 deg  cycle 2 s }}"
        ),
        "four-bar" => format!(
            "pivot (150, 880) mm  tip (-100, 950) mm\n drive four-bar {{ motor wiper at {at}  \
             crank ? 30 to 60 mm by 10 mm  rod ?  lever ? 70 to 120 mm by 10 mm at ?  {prefer} }}\n \
             gesture hit {{ sweep 121 deg to 165 deg within 2 deg  cycle 4 s }}"
        ),
        "slider" => format!(
            "slide from (440, 600) mm to (560, 600) mm\n drive slider-crank {{ motor wiper at {at}  \
             crank ? 30 to 60 mm by 10 mm  rod ?  {prefer} }}\n gesture fiddle {{ stroke 20 mm to 100 mm  cycle 2.1 s }}"
        ),
        "slotted" => format!(
            "pivot (300, 500) mm  tip (600, 500) mm\n drive slotted-arm {{ motor wiper at {at}  \
             crank ? 20 to 60 mm by 5 mm  slot at ?  {prefer} }}\n gesture wave {{ sweep -24 deg to 24 deg  cycle 3 s }}"
        ),
        _ => format!(
            "pivot (200, 500) mm  tip (700, 500) mm\n drive ram {{ motor ram-100  anchor {at}  \
             lever ? 80 to 120 mm by 10 mm at ?  {prefer} }}\n gesture open {{ sweep 0 deg to 50 deg  cycle 30 s }}"
        ),
    };
    compile(&format!("figure f {{ board plywood-9 900 mm by 1200 mm\n limb l {{ {limb} }} }}"))
}
