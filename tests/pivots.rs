//! What is drilled for a bolt or a pin is on that bolt, and in the list of what to buy: over
//! every kind of drive.

use std::path::Path;

use yardwright::check::{Compiled, Compiler};
use yardwright::emit::outputs;
use yardwright::emit::paper::{Drawing, Mark};
use yardwright::emit::shop;
use yardwright::make::{BarKind, Drill, Made, made, pulse_at};
use yardwright::model::{Joint, PulseAt};
use yardwright::source::MemoryDisk;
use yardwright::space::{BAR, OnBolt};
use yardwright::stock::Shelf;
use yardwright::units::{Deg, Sec};

fn example(name: &str) -> Compiled {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("examples/{name}.yard"));
    Compiler::default().compile(&path).unwrap()
}

fn compiled(text: &str) -> Compiled {
    let disk = MemoryDisk::new().with("/y/yard.yard", text);
    Compiler::new(disk).compile(Path::new("/y/yard.yard")).unwrap()
}

fn made_of(compiled: &Compiled, at: usize) -> Made {
    made(&compiled.figures[at], &compiled.loads[at], &compiled.spaces[at])
}

fn bought(compiled: &Compiled, name: &str) -> u32 {
    compiled.stock().parts.iter().filter(|p| p.name == name).map(|p| p.count).sum()
}

/// Every text on the sheets of a figure.
fn words(compiled: &Compiled, at: usize) -> Vec<String> {
    let texts = |d: Drawing| {
        d.marks.into_iter().filter_map(|m| match m {
            Mark::Text(t) => Some(t.words),
            _ => None,
        })
    };
    shop::figure_sheets(compiled, at).into_iter().flat_map(texts).collect()
}

/// Each kind of drive, and how many pins of M6 its mechanism has, counted on a drawing by
/// hand: two at a rod's ends, at a ram's eyes and at a horn's cord; one in a slot and in a
/// cam's roller. Behind the board and on the shared
/// motor two limbs have a rod each; a forearm's yard has the
/// rod of the upper arm too.
const KINDS: [(&str, u32); 18] = [
    ("four-bar-front", 2),
    ("four-bar-behind", 4),
    ("shared-motor", 4),
    ("slotted-arm", 1),
    ("slider-crank", 2),
    ("scotch-yoke", 1),
    ("cam", 1),
    ("servo-direct", 0),
    ("servo-rod", 2),
    ("riding-servo", 2),
    ("riding-rod", 4),
    ("ram", 2),
    ("cylinder", 2),
    ("cord", 2),
    ("spin-belt", 0),
    ("spin-chain", 0),
    ("spin-gears", 0),
    ("forearm", 4),
];

#[test]
fn every_pin_that_is_drilled_for_is_bought() {
    for (name, pins) in KINDS {
        let compiled = example(name);
        assert_eq!(bought(&compiled, "bolt M6"), pins, "{name}");
        assert_eq!(bought(&compiled, "locknut M6"), pins, "{name}");
    }
}

#[test]
fn every_piece_with_a_hole_for_a_pivots_bolt_is_on_that_bolt() {
    let mut levers = 0;
    let mut drilled = 0;
    for (name, _) in KINDS {
        let compiled = example(name);
        for at in 0..compiled.figures.len() {
            let made = made_of(&compiled, at);
            let limbs = &compiled.yard.figures[at].figure.limbs;
            let on = |limb: usize, what: &str, thick: Option<f64>| {
                let stack = made.limbs[limb].stack.as_ref();
                let stack = stack.unwrap_or_else(|| panic!("{name}: no bolt for {what}"));
                let found = stack.steps.iter().any(|s| {
                    s.name.contains(what) && thick.is_none_or(|t| (s.thick - t).abs() < 1e-9)
                });
                assert!(found, "{name}: {what} is not on the bolt of {:?}", stack.steps);
            };
            for bar in made.bars.iter().filter(|b| b.kind == BarKind::Lever) {
                for limb in &bar.limbs {
                    on(*limb, "lever", Some(bar.section.1.0));
                    levers += 1;
                }
            }
            for (n, limb) in made.limbs.iter().enumerate() {
                for hole in limb.plate.iter().flat_map(|p| &p.holes) {
                    let Some((own, _)) = hole.name.split_once(", M8") else { continue };
                    drilled += 1;
                    match own.strip_suffix(" pivot") {
                        // The hole of one that rides on this one.
                        Some(rider) => {
                            let rider = limbs.iter().position(|l| l.name.value == rider).unwrap();
                            on(rider, &limbs[n].name.value, None);
                        }
                        None => on(n, &limbs[n].name.value, None),
                    }
                }
            }
            for hole in &made.holes {
                let Some(own) = hole.name.strip_suffix(" pivot") else { continue };
                let limb = limbs.iter().position(|l| l.name.value == own).unwrap();
                on(limb, "board and frame", None);
                drilled += 1;
            }
        }
    }
    assert!(levers >= 7 && drilled >= 25, "{levers} levers, {drilled} holes");
}

// Added by hand: washer 1.6, limb 4, washer 2, board 9, washer 2, lever 5, two nuts of 6.8,
// two threads of 1.25 mm: 39.7 mm.
#[test]
fn the_bolt_of_a_limb_on_a_servos_rod_holds_its_lever() {
    let text = "use parts\nfigure owl {\n  board plywood-9 400 mm by 900 mm\n  limb head {\n    \
                pivot (200, 740) mm  tip (200, 890) mm  bolt M8\n    \
                drive servo { motor servo-standard at (200, 680) mm  crank 20 mm  rod 60 mm  lever 20 mm at 90 deg }\n  }\n}\n";
    let compiled = compiled(text);
    let stack = made_of(&compiled, 0).limbs[0].stack.clone().unwrap();
    assert!((stack.needs - 39.7).abs() < 1e-9, "{stack:?}");
    let lever = stack.steps.iter().find(|s| s.name == "lever").unwrap();
    assert_eq!((lever.item, lever.thick), (OnBolt::Plate, BAR));
    assert_eq!(stack.length().unwrap().0, 40.0);
    assert_eq!(bought(&compiled, "bolt M8"), 1);
    // A lever cut from a bar that is named is as thick as that bar.
    let bar = "stock-bar flat { section 25 mm by 8 mm  length 1 m }\n";
    let thick =
        self::compiled(&format!("{}{bar}", text.replace("lever 20 mm", "lever 20 mm of flat")));
    let stack = made_of(&thick, 0).limbs[0].stack.clone().unwrap();
    assert!((stack.needs - 42.7).abs() < 1e-9, "{:?} {stack:?}", thick.findings);
}

// Washer 1.6, forearm 4, washer 2, upper arm 4, washer 2, two nuts and two threads 16.1:
// 29.7 mm, sold as 30.
#[test]
fn a_limb_that_rides_has_its_own_bolt_through_what_carries_it() {
    let compiled = example("forearm");
    let limbs = &compiled.yard.figures[0].figure.limbs;
    let rider = limbs.iter().position(|l| l.carrier.is_some()).unwrap();
    let made = made_of(&compiled, 0);
    let stack = made.limbs[rider].stack.as_ref().unwrap();
    assert!((stack.needs - 29.7).abs() < 1e-9, "{stack:?}");
    let lengths: Vec<f64> = compiled
        .stock()
        .parts
        .iter()
        .filter(|p| p.name == "bolt M8")
        .filter_map(|p| p.size.length.map(|l| l.0))
        .collect();
    assert!(lengths.contains(&30.0), "{lengths:?}");
    let bushing = compiled
        .stock()
        .parts
        .iter()
        .find(|p| p.name.starts_with("bushing") && p.size.length.is_some_and(|l| l.0 == 4.0));
    assert!(bushing.is_some(), "no bushing in the upper arm");
    let title = format!("Bolt of {}: M8 by 30 mm", limbs[rider].name.value);
    assert!(words(&compiled, 0).iter().any(|w| w.starts_with(&title)), "no sheet of it");
}

#[test]
fn rollers_rails_eyes_springs_and_air_are_in_the_list() {
    let cam = example("cam");
    assert_eq!(bought(&cam, "roller 16 mm across"), 1);
    let rail = cam.stock().parts.iter().find(|p| p.name == "guide rail").unwrap();
    assert_eq!((rail.count, rail.size.length.unwrap().0), (2, 100.0));
    assert!(words(&cam, 0).iter().any(|w| w.contains("roller \u{2300} 16 mm")), "the cam's page");
    let cord = example("cord");
    assert_eq!(bought(&cord, "eye for a cord"), 1);
    let eyes = made_of(&cord, 0).holes.iter().filter(|h| h.drill == Drill::Eye).count();
    assert_eq!(eyes, 1);
    let spring = cord.stock().parts.iter().find(|p| p.name == "return spring").unwrap();
    assert!(spring.about.starts_with("0.01 N.m about the pivot"), "{}", spring.about);
    let air = example("cylinder");
    for (part, count) in [("air valve", 1), ("air tubing", 1), ("air throttle", 2), ("air tank", 1)]
    {
        assert_eq!(bought(&air, part), count, "{part}");
    }
    // Nothing of air where there is none.
    assert_eq!(bought(&cam, "air valve"), 0);
    // The file has them too.
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/cylinder.yard");
    let mut compiler = Compiler::default();
    let compiled = compiler.compile(&path).unwrap();
    let files = outputs(&compiled, compiler.sources()).unwrap();
    let csv = files.iter().find(|f| f.path == "parts.csv").unwrap();
    let csv = String::from_utf8(csv.bytes.clone()).unwrap();
    assert!(csv.contains("air tank") && csv.contains("size not said"), "{csv}");
}

// The bear's pivot is at (150, 880), its tip at (-250, 1150): by hand, the lever of 80 mm at
// 127 deg counter-clockwise of that line has its pin 534.6 mm from the tip, and is seen
// clockwise from behind. Cosine rule: 482.6^2 + 80^2 - 2 x 482.6 x 80 x cos 127.
#[test]
fn the_clamp_angle_says_from_where_it_counts_and_from_which_side() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("shows/orchard.yard");
    let compiled = Compiler::default().compile(&path).unwrap();
    let bear = compiled.yard.figures.iter().position(|f| f.name.value == "bear").unwrap();
    let made = made_of(&compiled, bear);
    let set = made.limbs[0].clamp.unwrap();
    let long = libm::hypot(400.0, 270.0);
    let clamp = set.angle.0.to_radians();
    let tape = (long * long + 6400.0 - 160.0 * long * libm::cos(clamp)).sqrt();
    assert!((set.to_tip.unwrap().0 - tape).abs() < 1e-6, "{set:?}");
    assert!((set.angle.0 - 127.0).abs() < 1e-9, "{set:?}");
    let other = made.limbs[1].clamp.unwrap();
    assert!((other.angle.0 + 127.0).abs() < 1e-9, "{other:?}");
    let said = words(&compiled, bear);
    let count = |words: &str| said.iter().filter(|s| s.contains(words)).count();
    // On the limb's sheet from the front; on its bench card and its bolt from behind.
    assert!(count("127 deg counter-clockwise of the line to the tip") >= 1, "the limb's sheet");
    assert!(said.iter().any(|s| s == "127 deg clockwise of the line to the tip"), "the bench card");
    assert_eq!(
        count(
            "left-arm: lever 80 mm clamped 127 deg clockwise of the line to the tip, seen from behind"
        ),
        1,
        "the bolt's sheet"
    );
    assert!(said.iter().any(|s| s == "lever pin, behind the board"));
}

#[test]
fn a_strip_without_a_tail_is_cut_with_wood_round_its_bolt() {
    let text = |tail: &str| {
        format!(
            "use parts\nfigure owl {{\n  board plywood-9 400 mm by 900 mm\n  limb head {{\n    \
             pivot (200, 740) mm  tip (200, 890) mm  width 40 mm {tail}\n    \
             drive servo {{ motor servo-standard at (200, 680) mm  crank 20 mm  rod 60 mm  lever 20 mm at 90 deg }}\n  }}\n}}\n"
        )
    };
    let low = |compiled: &Compiled| {
        let plate = made_of(compiled, 0).limbs[0].plate.clone().unwrap();
        plate.corners.iter().map(|c| c.0).fold(f64::INFINITY, f64::min)
    };
    let bare = compiled(&text(""));
    assert_eq!(low(&bare), -20.0);
    let limb = &bare.yard.figures[0].figure.limbs[0];
    assert!(matches!(limb.joint, Joint::Pivot { .. }));
    let note = "head cut with a tail of 20 mm behind its pivot, not weighed";
    assert!(limb.assumed.iter().any(|n| n.what == note && n.settle == "tail 20 mm"), "{limb:?}");
    assert!(words(&bare, 0).iter().any(|w| w == "tail of 20 mm assumed"));
    let cut = |c: &Compiled| {
        let part = c.stock().parts.iter().find(|p| p.shelf == Shelf::Cut && p.name == "head");
        part.unwrap().size.height.unwrap().0.max(part.unwrap().size.width.unwrap().0)
    };
    assert_eq!(cut(&bare), 170.0);
    // What is said is kept, and nothing is assumed.
    let said = compiled(&text("tail 33 mm"));
    assert_eq!((low(&said), cut(&said)), (-33.0, 183.0));
    assert!(said.yard.figures[0].figure.limbs[0].assumed_tail(None).is_none());
}

/// Wood all round the hole of the rod too, wherever it is found: half the width of 60 mm
/// beyond it.
#[test]
fn an_assumed_tail_reaches_beyond_the_hole_that_was_found() {
    for lever in ["tail-hole 70 mm at 180 deg", "tail-hole ? 60 to 120 mm by 10 mm at ?"] {
        let text = format!(
            "use parts\nfigure heron {{\n  board plywood-9 520 mm by 1400 mm\n  limb wing {{\n    \
             pivot (197, 820) mm  tip (-253, 820) mm  mount behind  width 60 mm\n    \
             drive four-bar {{ motor wiper at (260, 570) mm  crank 30 mm  rod ?  {lever}  assembly crossed }}\n    \
             gesture flap {{ sweep 155 deg to 205 deg  cycle 2 s }}\n  }}\n}}\n"
        );
        let compiled = compiled(&text);
        let plate = made_of(&compiled, 0).limbs[0].plate.clone().unwrap();
        let low = plate.corners.iter().map(|c| c.0).fold(f64::INFINITY, f64::min);
        let hole = plate.holes.iter().find(|h| h.name.starts_with("tail hole")).unwrap().at;
        assert!(hole.0 < -50.0 && (low - (hole.0 - 30.0)).abs() < 1e-9, "{lever}: {hole:?} {low}");
        // Told as long as it is cut, in whole millimetres.
        let note =
            compiled.figures[0].limbs[0].assumed.iter().find(|n| n.what.contains("a tail of"));
        let told = note.and_then(|n| n.settle.split(' ').nth(1)?.parse::<f64>().ok());
        assert!(told.is_some_and(|t| (t + low).abs() <= 0.5), "{told:?} {low}");
    }
}

// 1000 us at -50 and 2000 us at 50 deg: 10 us a degree.
#[test]
fn a_servos_card_has_the_pulses_of_both_ends_and_its_current() {
    let at = |pulse: f64, angle: f64| PulseAt { pulse: Sec(pulse * 1e-6), angle: Deg(angle) };
    let line = [at(1000.0, -50.0), at(2000.0, 50.0)];
    assert!((pulse_at(&line, Deg(25.0)).unwrap().0 * 1e6 - 1750.0).abs() < 1e-6);
    assert!(pulse_at(&line[..1], Deg(0.0)).is_none());
    assert!(pulse_at(&[line[0], line[0]], Deg(0.0)).is_none());
    let said = words(&example("servo-rod"), 0);
    let after = |name: &str| {
        let at = said.iter().position(|s| s == name).unwrap_or_else(|| panic!("no {name}"));
        said[at + 1].clone()
    };
    let pulses = [after("pulse at the low end"), after("pulse at the high end")];
    assert!(pulses.iter().all(|p| p.ends_with(" us")), "{pulses:?}");
    assert_ne!(pulses[0], pulses[1]);
    assert!(after("current of the first moment").ends_with(" A"));
    // An output's own pulses are those that are sent.
    let text = "use parts\nyard green { size 10 m by 8 m }\ncontroller post at (1 m, 1 m) { out 2 owl.head pulse 900 us at -50 deg  2100 us at 50 deg }\n\
                set owl at (5 m, 4 m) facing south\nfigure owl {\n  board plywood-9 400 mm by 900 mm\n  limb head {\n    \
                pivot (200, 740) mm  tip (200, 890) mm\n    drive servo { motor servo-standard at (200, 680) mm  crank 20 mm  rod 60 mm  lever 20 mm at 90 deg }\n  }\n}\n";
    let said = words(&compiled(text), 0);
    assert!(said.iter().any(|s| s == "900 us") && said.iter().any(|s| s == "2100 us"), "{said:?}");
}

// 150 N at 10 mm/s are 1.5 W; at a quarter and 12 V 0.5 A, three times that at the start.
#[test]
fn a_rams_card_has_the_time_of_its_way_and_its_current() {
    let compiled = example("ram");
    let made = made_of(&compiled, 0);
    let card = &made.limbs[0].bench;
    let (up, back) = card.ways.unwrap();
    let way = (card.tapes[0].high - card.tapes[0].low).0.abs();
    // Never quicker than without a load, at 10 mm/s.
    assert!(up.0 >= way / 10.0 - 1e-9 && back.0 > 0.0 && up.0 < way, "{up:?} {back:?} {way}");
    assert!((card.loaded.unwrap().0 - 0.5).abs() < 1e-9, "{card:?}");
    assert!((card.start.unwrap().0 - 1.5).abs() < 1e-9);
    assert!(card.currents_assumed);
    let said = words(&compiled, 0);
    assert!(said.iter().any(|s| s.starts_with("low end to high end")), "{said:?}");
    assert!(said.iter().any(|s| s.contains("counted counter-clockwise from level right")));
}
