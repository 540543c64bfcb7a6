//! Nothing that is said of a limb or a motor is dropped: each word, added to a
//! figure that lacks it, changes the model of the limb or of the motor.

use std::collections::BTreeSet;

use yardwright::syntax::words::{BlockRule, Table};

use super::{ROOT, clean};

/// Every word of a limb with a clause of it.
const LIMB: &[(&str, &str)] = &[
    ("title", "title \"An arm\""),
    ("pivot", "pivot (310, 880) mm"),
    ("slide", "slide from (300, 60) mm to (300, 410) mm"),
    ("tip", "tip (700, 950) mm"),
    ("mount", "mount behind"),
    ("bolt", "bolt M10 length 80 mm"),
    ("bushing", "bushing nylon length 30 mm"),
    ("clamp", "clamp pin"),
    ("holes", "holes close"),
    ("holes", "holes 6.2 mm"),
    ("crank-pin", "crank-pin yield 640 MPa"),
    ("crank-pin", "crank-pin reach 8 mm"),
    ("rod-thread", "rod-thread M10"),
    ("rod-thread", "rod-thread yield 640 MPa"),
    ("rod-thread", "rod-thread bent end"),
    ("rod-ends", "rod-ends 0.3 mm"),
    ("stops", "stops -10 deg to 60 deg"),
    ("stops", "stops slide 0 mm to 120 mm"),
    ("washer", "washer 30 mm"),
    ("gap", "gap 10 mm"),
    ("sheet", "sheet plywood-6"),
    ("guide", "guide 90 mm"),
    ("flutes", "flutes along"),
    ("paint", "paint 150 g/m2"),
    ("outline", "outline (190, 850) (110, 840) (300, 1000) mm"),
    ("pitched", "pitched 15 deg"),
    ("lit", "lit"),
    ("wires", "wires slip-ring"),
    ("length", "length 300 mm"),
    ("width", "width 90 mm"),
    ("tail", "tail 40 mm"),
    ("carry", "carry stick 0.1 kg at (600, 900) mm"),
    ("drive", "drive spin { motor wiper direct }"),
    ("seen-to", "seen-to sun-brittle"),
    ("rest", "rest 10 deg"),
    ("parks", "parks at 20 deg"),
    ("unpowered", "unpowered 200 deg"),
    ("unpowered", "unpowered 12 mm"),
    ("gesture", "gesture nod { sweep 0 deg to 20 deg  cycle 2 s }"),
    ("weighed", "weighed 0.31 kg"),
    ("balances", "balances 148 mm"),
    ("ten-swings", "ten-swings 8.6 s"),
    ("mass", "mass 0.3 kg"),
    ("centre", "centre 148 mm at 9 deg"),
    ("inertia", "inertia 0.0084 kg.m2"),
    ("friction", "friction 0.05 N.m"),
    ("load", "load 0.25 N.m cw"),
    ("counterweight", "counterweight ? at 120 mm"),
    ("counterweight", "counterweight 0.2 kg at 120 mm"),
    ("measured", "measured tip-to-tip 369 mm"),
];

/// Words that are refused by name.
const REFUSED: &[&str] = &["hinge", "turntable"];

/// Every word of a motor with a clause of it; `title` and `kind` are for people, or
/// must be there.
const MOTOR: &[(&str, &str)] = &[
    ("voltage", "voltage 12 V"),
    ("frequency", "frequency 50 Hz"),
    ("inertia", "inertia 0.002 kg.m2"),
    ("free", "free 45 rpm 1.2 A"),
    ("stall", "stall 14 N.m 16 A"),
    ("least-duty", "least-duty 30 %"),
    ("switch", "switch park"),
    ("case-live", "case-live no"),
    ("driver", "driver 20 A"),
    ("self-locking", "self-locking yes"),
    ("one-way", "one-way yes"),
    ("duty", "duty 25 %"),
    ("spread", "spread 10 %"),
    ("gear", "gear nylon"),
    ("survives", "survives 8 N.m"),
    ("cold", "cold 20 %"),
    ("crank-holes", "crank-holes 30 mm"),
    ("crank-holes", "crank-holes 30 mm 40 mm 50 mm"),
    ("crank-seat", "crank-seat knurl"),
    ("crank-seat", "crank-seat taper holds 20 N.m nut two"),
    ("shaft", "shaft front"),
    ("shaft", "shaft 25 mm"),
    ("mounting-holes", "mounting-holes M6 3 on 70 mm from 90 deg"),
    ("mounting-holes", "mounting-holes M6 at (30, 20) (-30, 20) mm"),
    ("body", "body 110 mm by 80 mm"),
    ("mass", "mass 1 kg"),
    ("slew", "slew 0.17 s per 60 deg"),
    ("pulse", "pulse 1000 us at -45 deg  2000 us at 45 deg"),
    ("dead-band", "dead-band 5 us"),
    ("teeth", "teeth 24"),
    ("speed", "speed 0.02 m/s"),
    ("loaded", "loaded 0.014 m/s at 300 N"),
    ("raised", "raised 30 kg 100 mm in 7 s"),
    ("force", "force 300 N"),
    ("holds", "holds 102 N"),
    ("length", "length 300 mm to 400 mm"),
    ("bore", "bore 20 mm"),
    ("rod", "rod 8 mm"),
    ("stroke", "stroke 350 mm"),
    ("counted", "counted 20 turns in 26.4 s at 12.6 V 1.2 A"),
    ("lifted", "lifted 5 kg on drum 60 mm 3 turns in 5.0 s 4.3 A"),
    ("held", "held 11.9 kgf at 60 mm at 6 V 7 A"),
];

/// The table of the block behind a word.
fn block(table: &Table, word: &str) -> &'static Table {
    match table.rows.iter().find(|r| r.word == word).map(|r| &r.block) {
        Some(BlockRule::Must(inner) | BlockRule::May(inner)) => inner,
        _ => panic!("no block behind {word}"),
    }
}

/// The words of a table that stand in none of the lists.
fn left_over(table: &Table, listed: &[(&str, &str)], others: &[&str]) -> Vec<&'static str> {
    let known: BTreeSet<&str> = listed.iter().map(|l| l.0).chain(others.iter().copied()).collect();
    table.rows.iter().map(|r| r.word).filter(|w| !known.contains(w)).collect()
}

#[test]
fn the_lists_hold_every_word() {
    let limb = block(block(&ROOT, "figure"), "limb");
    assert_eq!(left_over(limb, LIMB, REFUSED), [""; 0]);
    assert_eq!(left_over(block(&ROOT, "motor"), MOTOR, &["title", "kind"]), [""; 0]);
}

/// The limb, and its motor's type, as the model has them.
fn model(limb: &str, motor: &str) -> (String, String) {
    let yard = clean(&format!(
        "use parts\nmotor mine {{ kind brushed  free 60 rpm {motor} }}\nfigure f {{\n  board plywood-9 620 mm by 1350 mm\n  \
         motor drum mine at (310, 600) mm\n  limb arm {{ {limb} }}\n}}\n"
    ));
    let figure = &yard.figures[0].figure;
    (format!("{:?}", figure.limbs[0]), format!("{:?}", figure.actuators[0].motor))
}

#[test]
fn every_word_of_a_limb_changes_its_model() {
    for (word, clause) in LIMB {
        let drawn = [("pivot", "pivot (300, 880) mm"), ("tip", "tip (500, 880) mm")];
        let own = drawn.iter().filter(|(w, _)| w != word && !(*word == "slide" && *w == "pivot"));
        let own: Vec<&str> = own.map(|(_, c)| *c).collect();
        let without = model("pivot (300, 880) mm  tip (500, 880) mm", "").0;
        let with = model(&format!("{}  {clause}", own.join("  ")), "").0;
        assert_ne!(without, with, "`{clause}` is dropped");
    }
}

#[test]
fn every_word_of_a_motor_changes_its_model() {
    let limb = "pivot (300, 880) mm  tip (500, 880) mm";
    for (word, clause) in MOTOR {
        let without = model(limb, "").1;
        // `free` stands in the motor already.
        let with = if *word == "free" { model(limb, "1.2 A").1 } else { model(limb, clause).1 };
        assert_ne!(without, with, "`{clause}` is dropped");
    }
}

/// What the loads will need, in its units.
#[test]
fn paint_washer_flutes_and_counterweight_are_typed() {
    use yardwright::model::Flutes;
    use yardwright::units::{Kg, KgPerM2, Mm};
    let yard = clean(
        "use parts\nfigure f {\n  board plywood-9 620 mm by 1350 mm\n  limb arm {\n    pivot (300, 880) mm  tip (500, 880) mm
    paint 150 g/m2  washer 1 in  flutes across  counterweight 200 g at 12 cm\n  }
  limb other mirrors arm about x 310 mm\n}
set small like f at (2 m, 2 m) facing south scale 50 %\nset f at (5 m, 2 m) facing south\n",
    );
    for (figure, at) in [("f", 120.0), ("small", 60.0)] {
        for name in ["arm", "other"] {
            let build = &super::limb(&yard, figure, name).build;
            assert_eq!(build.paint, Some(KgPerM2(0.15)));
            assert_eq!(build.washer, Some(Mm(25.4)));
            assert_eq!(build.flutes, Some(Flutes::Across));
            let weight = build.counterweight.as_ref().unwrap();
            assert_eq!((weight.mass, weight.at, weight.open), (Some(Kg(0.2)), Mm(at), None));
        }
    }
}
