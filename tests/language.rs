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
    assert_eq!(
        hit.find("cycle").unwrap().value("time").unwrap().value.unit().unwrap().symbol,
        "bar"
    );
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

/// A limb around a line.
fn limb_with(line: &str) -> String {
    format!("figure bear {{\n  limb arm {{\n    {line}\n  }}\n}}")
}

/// The findings of a line inside a limb.
fn limb_faults(line: &str) -> Vec<String> {
    faults(&limb_with(line))
}

#[test]
fn each_mistake_is_reported_once_on_its_word() {
    for (line, want) in [
        ("pviot (20, 44) in", "word-unknown@pviot"),
        ("pivot (20, 44)", "unit-missing@(20, 44)"),
        ("pivot (20, 44) inn", "unit-unknown@inn"),
        ("pivot (20, 44) kg", "unit-wrong@kg"),
        ("pivot (20, 44 in  tip (1, 2) in", "paren-missing@(20, 44 in"),
        ("pivot (20 44) in", "point-unclear@(20 44)"),
        ("pivot (20) in", "point-unclear@(20)"),
        ("pivot (2,5, 3) in", "point-unclear@(2,5, 3)"),
        ("pivot (x, 44) in", "number-needed@x"),
        ("pivot (310-40, 44) in", "number-unclear@310-40"),
        ("pivot (1e999, 44) in", "unit-unknown@e999"),
        ("pivot (1234567890123456, 44) in", "number-too-long@1234567890123456"),
        ("pivot", "value-missing@pivot"),
        ("pivot  tip (1, 2) in", "value-missing@pivot"),
        ("pivot 20 in", "value-missing@20"),
        ("tip (1, 2) in  tip (1, 2) in", "word-twice@tip"),
        ("bolt M8 10", "value-extra@10"),
        ("drive four-bar { motor wiper (3, 4) mm }", "value-extra@(3, 4)"),
        ("bolt", "value-missing@bolt"),
        ("bolt  bushing nylon", "value-missing@bolt"),
        ("mount font", "choice-unknown@font"),
        ("mount sideways", "choice-unknown@sideways"),
        ("washer 0 mm", "size-not-positive@0 mm"),
        ("washer -3 mm", "size-not-positive@-3 mm"),
        ("washer 30", "unit-missing@30"),
        ("washer big", "number-needed@big"),
        ("washer NaN mm", "number-needed@NaN"),
        ("washer 2,5 mm", "number-unclear@2,5"),
        ("washer 10–20 mm", "number-unclear@–20"),
        ("washer 30 MM", "unit-unknown@MM"),
        ("washer 30mmm", "unit-unknown@mmm"),
        ("washer 1/0 mm", "number-unclear@1/0"),
        ("washer = 30 mm", "mark-stray@="),
        ("tip (1, 2) in, bolt M8", "mark-stray@,"),
        ("tip (1, 2) in; bolt M8", "mark-stray@;"),
        ("tip (1, 2)) in", "mark-stray@)"),
        ("gesture hit { sweep 10 deg }", "value-missing@10 deg"),
        ("gesture hit", "block-missing@gesture"),
        ("gesture hit { bolt M8  cycle 2 s }", "word-elsewhere@bolt"),
        ("gesture hit { mount front }", "word-elsewhere@mount"),
        ("bolt M8 { }", "block-not-here@{"),
        ("sheet Plywood", "name-unfit@Plywood"),
        ("sheet ../x", "name-unfit@../x"),
        ("sheet 3rd", "name-unfit@3rd"),
        ("sheet \"x\"", "name-unfit@\"x\""),
        ("sheet show", "name-taken@show"),
        ("drive four-bar { lever 70 mm at 30 deg at 40 deg }", "word-twice@at"),
        ("drive four-bar { coupler 70 kg }", "unit-wrong@kg"),
        ("drive four-bar { crank 40 mm of 30 to 60 kg by 10 mm }", "unit-wrong@kg"),
        ("carry stick 0.1 kg", "value-missing@carry"),
        ("gesture hit { sweep 10 deg to 20 deg  cycle 3 rpm }", "unit-wrong@rpm"),
    ] {
        assert_eq!(limb_faults(line), [want], "{line}");
    }
}

/// A point without the word that belongs before it is told that word, and the mend mends it.
#[test]
fn a_point_is_told_its_word() {
    let text = limb_with("drive four-bar { motor wiper (3, 4) mm }");
    let (_, findings) = reading(&text);
    let edit = &findings[0].fixes[0].edits[0];
    let (lo, hi) = (edit.place.lo as usize, edit.place.hi as usize);
    let mended = format!("{}{}{}", &text[..lo], edit.text, &text[hi..]);
    assert!(mended.contains("motor wiper at (3, 4) mm"), "{mended}");
    assert_eq!(faults(&mended), [""; 0]);
}

/// Two ends in a unit of another kind are told the word that takes them.
#[test]
fn ends_of_another_kind_are_told_their_word() {
    let (_, findings) = reading(&limb_with("gesture hit { sweep 10 mm to 20 mm }"));
    let help = findings[0].help.as_deref().unwrap();
    assert_eq!(help, "units that fit: deg, rad or turn; `stroke A to B` is in mm.");
}

/// A word like one that stands already is no second one of it, whatever its values are.
#[test]
fn a_misspelt_word_is_told_once() {
    for (line, want) in [
        ("pivot (1, 2) mm  pivvot 3", "word-unknown@pivvot"),
        ("pivot (1, 2) mm  bolt M8 pivvot 3 mount front", "word-unknown@pivvot"),
        ("mount front montu (3, 4) mm  bolt M8", "word-unknown@montu"),
    ] {
        assert_eq!(limb_faults(line), [want], "{line}");
    }
}

#[test]
fn mistakes_at_the_top_of_a_file() {
    for (text, want) in [
        ("figrue bear { }", "word-unknown@figrue"),
        ("figure Bear { }", "name-unfit@Bear"),
        ("figure bear", "block-missing@figure"),
        ("use \"a.yard", "quote-missing@\""),
        ("yard y { place 98 deg 2 deg }", "place-unclear@98 deg"),
        ("yard y { place 9 deg 2 }", "unit-missing@2"),
        ("yard y { place 9 dgr 2 deg }", "unit-unknown@dgr"),
        ("yard y { nights 2027-02-29 to 2027-03-02 }", "time-unclear@2027-02-29"),
        ("yard y { end by 21:75 }", "time-unclear@21:75"),
        ("yard y { meter 6/7 }", "time-unclear@6/7"),
        ("yard y { scale 2 mm }", "unit-wrong@mm"),
        ("figure a { anchor stakes 2.5 }", "number-needed@2.5"),
        ("figure a { anchor stakes -2 }", "number-needed@-2"),
        ("figure a { board b 24 in x 40 in }", "word-unknown@x"),
        ("show s with { }", "value-missing@with"),
        ("figure a { } }", "brace-extra@}"),
        ("figure a { title plain }", "text-needed@plain"),
        ("figure a { limb b { pivot (1, 2) mm }", "brace-missing@{"),
        ("?", "value-extra@?"),
    ] {
        assert_eq!(faults(text), [want], "{text}");
    }
}

#[test]
fn a_missing_brace_is_found_where_the_outer_block_goes_on() {
    let text =
        "figure a {\n limb b {\n  pivot (1, 2) mm\n limb c {\n  tip (1, 2) mm\n }\n power shed\n}";
    assert_eq!(faults(text), ["brace-missing@limb"]);
    let (r, _) = reading(text);
    let figure = r.top().find("figure").unwrap().block().unwrap();
    let words: Vec<_> = figure.clauses().map(|c| c.word()).collect();
    assert_eq!(words, ["limb", "limb", "power"]);
    // A word in the wrong block is not a missing brace.
    let text = "figure a {\n limb b {\n  pivot (1, 2) mm\n  power shed\n  tip (1, 2) mm\n }\n}";
    assert_eq!(faults(text), ["word-elsewhere@power"]);
}

#[test]
fn a_brace_too_many_does_not_end_the_figure() {
    let text = "figure a {\n limb b {\n  pivot (1, 2) mm }\n }\n power shed\n limb c { }\n}";
    assert_eq!(faults(text), ["brace-extra@}"]);
    let (r, _) = reading(text);
    let figure = r.top().find("figure").unwrap().block().unwrap();
    assert_eq!(figure.clauses().count(), 3);
}

#[test]
fn a_spoilt_clause_is_poisoned_and_the_next_is_not() {
    let (r, findings) = reading(&limb_with("pivot (20, 44) kg  tip (1, 2) in\n    bolt M8"));
    assert_eq!(findings.len(), 1);
    assert_eq!(
        (findings[0].figure.as_deref(), findings[0].limb.as_deref()),
        (Some("bear"), Some("arm"))
    );
    let limb = limb(&r).block().unwrap();
    let poisoned: Vec<bool> = limb.clauses().map(|c| c.poisoned()).collect();
    assert_eq!(poisoned, [true, false, false]);
}

#[test]
fn the_word_that_was_meant_is_read() {
    let (r, findings) = reading(&limb_with("pviot (20, 44) in  drive four-bra { crnak 30 mm }"));
    assert_eq!(findings.len(), 2, "{findings:?}");
    let limb = limb(&r).block().unwrap();
    let pivot = limb.find("pivot").unwrap();
    assert_eq!(pivot.value("at").unwrap().open().unwrap().value.point, Some((508.0, 1117.6)));
}

#[test]
fn inches_and_millimetres_give_the_same_bits() {
    let size = |text: &str| {
        let (r, findings) = reading(&limb_with(&format!("washer {text}")));
        assert!(findings.is_empty(), "{text}: {findings:?}");
        limb(&r).block().unwrap().find("washer").unwrap().size::<Mm>("diameter").unwrap().0
    };
    for sixteenths in 1..=400 {
        let (whole, part) = (sixteenths / 16, sixteenths % 16);
        // 25.4 mm / 16 = 1.5875 mm, so every sixteenth has four decimals at most.
        let tenths = sixteenths * 15875;
        let mm = size(&format!("{}.{:04} mm", tenths / 10_000, tenths % 10_000));
        let inch = match (whole, part) {
            (0, p) => size(&format!("{p}/16 in")),
            (w, 0) => size(&format!("{w} in")),
            (w, p) => {
                assert_eq!(mm.to_bits(), size(&format!("{w}-{p}/16 in")).to_bits());
                size(&format!("{w} {p}/16 in"))
            }
        };
        assert_eq!(mm.to_bits(), inch.to_bits(), "{sixteenths}/16 in");
    }
    // 4 ft 6 1/2 in = 54.5 in; the sum is exact too.
    assert_eq!(size("4 ft 6 1/2 in").to_bits(), size("1384.3 mm").to_bits());
    assert_eq!(size("310 mm - 40 mm"), 270.0);
}

#[test]
fn the_page_of_words_has_every_word_and_is_always_the_same() {
    let page = yardwright::syntax::page::words_page(&ROOT);
    assert_eq!(page, yardwright::syntax::page::words_page(&ROOT));
    for want in [
        "### four-bar drive",
        "`crank RADIUS`",
        "Also written `coupler`",
        "| `pivot (X, Y)` |",
        "cw\\|ccw",
    ] {
        assert!(page.contains(want), "{want} in\n{page}");
    }
}
