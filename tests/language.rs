//! The language as a file: what is written is what is read, and mistakes are
//! reported on their word.

use std::sync::Arc;

use yardwright::finding::{Finding, ItemId};
use yardwright::syntax::words::Sign;
use yardwright::syntax::{Clause, Cursor, Reading, read};
use yardwright::units::{Decimal, Deg, Dimension as D, Mm};

use crate::words::ROOT;

const BEAR: &str = r#"figure bear {
  board plywood-9 outline (0, 0) (620, 0) (700, 900) mm
  frame 38 by 89 mm {
    (150, 0) to (150, 960) mm   (470, 0) to (470, 960) mm
  }
  limb in {
    pivot (24 1/2 in, 3-1/2 in)  tip (-250, 1150) mm  bolt bolt  bushing nylon  mount front
    outline (190, 850) (110, 840)   # goes on
            (180, 930) mm
    sheet limb
    drive four-bar {
      motor motor at ? in (20, 44) to (30, 54) in
      crank 40 mm of 30 to 60 mm by 10 mm  coupler ?  lever ? 70 to 120 mm by 10 mm  at ?
    }
    gesture hit { sweep 121 to 165 deg within 2 deg
      cycle 2 bars }
  }
}"#;

fn reading(text: &str) -> (Reading, Vec<Finding>) {
    let mut findings = Vec::new();
    let r = read(ItemId(0), Arc::from(text), &ROOT, &mut findings);
    (r, findings)
}

/// Findings as `code@text`.
fn faults(text: &str) -> Vec<String> {
    let (r, findings) = reading(text);
    let at = |f: &Finding| f.place.map_or("", |p| r.slice(p.lo, p.hi)).to_owned();
    findings.iter().map(|f| format!("{}@{}", f.code.word, at(f))).collect()
}

fn limb(r: &Reading) -> Clause<'_> {
    r.top().find("figure").unwrap().block().unwrap().find("limb").unwrap()
}

#[test]
fn a_good_figure_reads_without_a_finding() {
    assert_eq!(faults(BEAR), [""; 0]);
    let (r, _) = reading(BEAR);
    let figure = r.top().find("figure").unwrap();
    assert_eq!(figure.text("name").unwrap().value, "bear");
    let block = figure.block().unwrap();
    assert_eq!(block.find("board").unwrap().values("outline").count(), 3);
    let frame = block.find("frame").unwrap();
    assert_eq!(frame.size::<Mm>("width"), Some(Mm(38.0)));
    assert_eq!(frame.block().unwrap().clauses().count(), 2);
    let limb = limb(&r).block().unwrap();
    let pivot = limb.find("pivot").unwrap().value("at").unwrap().open().unwrap().value;
    assert_eq!(pivot.point, Some((24.5 * 25.4, 88.9)));
    assert_eq!(limb.find("outline").unwrap().values("corner").count(), 3);
    assert_eq!(limb.find("bolt").unwrap().text("size").unwrap().value, "bolt");
    let drive = limb.find("drive").unwrap().block().unwrap();
    let crank = drive.find("crank").unwrap().value("radius").unwrap().open().unwrap().value;
    assert_eq!(
        (crank.given, crank.from, crank.to, crank.step),
        (Some(40.0), Some(30.0), Some(60.0), Some(10.0))
    );
    assert!(!crank.asked);
    let motor = drive.find("motor").unwrap().value("at").unwrap().open().unwrap().value;
    assert_eq!((motor.near, motor.corner), (Some((508.0, 1117.6)), Some((762.0, 54.0 * 25.4))));
    assert!(drive.find("rod").unwrap().value("length").unwrap().open().unwrap().value.asked);
    let hit = limb.find("gesture").unwrap().block().unwrap();
    let sweep = hit.find("sweep").unwrap();
    assert_eq!(
        sweep.value("angle").unwrap().range::<Deg>().unwrap().value,
        (Deg(121.0), Deg(165.0))
    );
    assert_eq!(hit.find("cycle").unwrap().value("time").unwrap().value.unit.unwrap().symbol, "bar");
}

#[test]
fn cues_are_kept_as_shapes() {
    let text = "show evening with jig {\n  sound late 180 ms\n  bar 28 beat 2 + 1/3  owl.head turn to 35 deg over 2 beats\n  refrain answer(a, b) repeat 2\n}";
    assert_eq!(faults(text), [""; 0]);
    let (r, _) = reading(text);
    let cues: Vec<Clause<'_>> = r.top().find("show").unwrap().block().unwrap().all("").collect();
    assert_eq!(cues.len(), 2);
    let mut c = Cursor::raw(cues[0], &["over"]);
    assert!(c.take_word("bar").is_some());
    assert_eq!(c.count("the bar").unwrap().value, 28);
    assert!(c.take_word("beat").is_some());
    let (a, _, b) = (c.number().unwrap().value, c.take_op("+").unwrap(), c.number().unwrap().value);
    assert_eq!(a.plus(b), Some(Decimal::ratio(7, 3)));
    assert_eq!(c.name("limb").unwrap().value, "owl.head");
    assert!(c.take_word("turn").is_some() && c.take_word("to").is_some());
    assert_eq!(c.quantity(&[D::Angle], Sign::Any).unwrap().value, 35.0);
    assert!(c.take_word("over").is_some());
    let over = c.quantity(&[D::Time, D::Music], Sign::Positive).unwrap();
    assert_eq!((over.value, over.number().unwrap().whole()), (2.0, Some(2)));
    assert!(c.at_end() && c.finish().0.is_empty());
    let mut c = Cursor::raw(cues[1], &[]);
    c.word();
    c.word();
    let mut inside = c.inside().unwrap();
    assert_eq!(inside.name("limb").unwrap().value, "a");
    assert!(inside.take_op(",").is_some());
    assert_eq!(inside.name("limb").unwrap().value, "b");
    assert!(inside.at_end() && c.take_word("repeat").is_some());
}

#[test]
fn odd_values_are_understood() {
    let ok = |line: &str| assert_eq!(faults(line), [""; 0], "{line}");
    ok("yard y { place 51.8 deg -2.3 deg zone \"Europe/London\" nights 2027-10-22 to 2027-10-31 }");
    ok("yard y { end by 21:30  meter 6/8  scale 2.5 }");
    ok("yard y { place 51.8 N 2.3 W }");
    ok("yard y { place 51.8 deg north, 2.3 deg west }");
    ok("figure a { limb b { drive four-bar { holes 30 to 60 mm by 10 mm } } }");
    ok("figure a { limb b { drive four-bar { holes 30 mm 40 mm 2 ft 6 1/2 in } } }");
    ok("figure a { limb b { tip (27\", 2' 3\") } }");
    ok("figure a { limb b { tip (310 mm - 40 mm, 3) mm } }");
    ok("figure a\n{ limb b {\n tip\n (3, 4) mm } }");
    let (r, _) = reading("yard y { place 51.8 N 2.3 W }");
    let place = r.top().find("yard").unwrap().block().unwrap().find("place").unwrap();
    assert_eq!(place.value("place").unwrap().coordinates(), Some((51.8, -2.3)));
}

#[test]
fn the_generated_yard_has_no_finding() {
    assert_eq!(faults(&crate::words::generated(3)), [""; 0]);
}
