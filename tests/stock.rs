//! What to buy and to cut, against sums by hand and against the yard itself.

use std::collections::BTreeMap;
use std::path::Path;

use yardwright::check::{Compiled, Compiler};
use yardwright::emit::{Output, outputs};
use yardwright::make::{BarKind, made};
use yardwright::source::MemoryDisk;
use yardwright::space::{BoltStack, OnBolt};
use yardwright::stock::{Part, Shelf};

fn compiled(text: &str) -> Compiled {
    let disk = MemoryDisk::new().with("/yard/a.yard", text);
    Compiler::new(disk).compile(Path::new("/yard/a.yard")).unwrap()
}

fn demo() -> Compiled {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("shows/orchard.yard");
    Compiler::default().compile(&path).unwrap()
}

/// The demo season with all its files.
fn demo_files() -> (Compiled, Vec<Output>) {
    let mut compiler = Compiler::default();
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("shows/orchard.yard");
    let compiled = compiler.compile(&path).unwrap();
    let files = outputs(&compiled, compiler.sources()).unwrap();
    (compiled, files)
}

fn text_of(files: &[Output], name: &str) -> String {
    let file = files.iter().find(|f| f.path == name).unwrap_or_else(|| panic!("no {name}"));
    String::from_utf8(file.bytes.clone()).unwrap()
}

fn find<'a>(yard: &'a Compiled, name: &str) -> &'a Part {
    let found = yard.stock().parts.iter().find(|p| p.name == name);
    found.unwrap_or_else(|| panic!("no {name} in {:#?}", yard.stock().parts))
}

/// A post with an arm on a crank; two of it.
fn posts(frame: &str) -> String {
    format!(
        "use parts\nyard green {{ size 10 m by 8 m }}\n\
         supply shed at (1 m, 1 m) {{ voltage 12 V  limit 10 A  cable 2.5 mm2  fuse 10 A }}\n\
         set one at (3 m, 4 m) facing south\nset two like one at (6 m, 4 m) facing south\n\
         figure one {{\n  board plywood-9 600 mm by 1000 mm\n  {frame} {{ (100, 0) to (100, 900) mm  (500, 0) to (500, 900) mm  (81, 700) to (519, 700) mm }}\n  \
         anchor stakes 2 spacing 400 mm depth 500 mm diameter 25 mm  braces 2 at 700 mm out 2400 mm\n  power shed run 12 m\n  \
         limb arm {{\n    pivot (150, 700) mm  tip (-150, 900) mm  bolt M8  bushing nylon  mount front  sheet plywood-6\n    length 380 mm  width 80 mm\n    \
         drive four-bar {{ motor wiper at (310, 626) mm  crank 30 mm  rod 160 mm  lever 80 mm at 127 deg }}\n    \
         gesture hit {{ sweep 121 deg to 165 deg within 3 deg  cycle 4 s }}\n  }}\n}}\n"
    )
}

// Summed by hand. Bolt: washer 1.6, limb 6, spacer 2, board and frame 9 + 38, spacer 2,
// lever 5, two nuts 13.6, two threads 2.5: 79.7 mm, so 80 (ISO 888). Board 0.6 m x 1 m. Brace:
// 700 up and 2400 out, 2500. Frame: 2 x 900 + 438 for each of two.
#[test]
fn two_posts_need_what_a_hand_counts() {
    let yard = compiled(&posts("frame 38 mm by 38 mm"));
    let bolt = find(&yard, "bolt M8");
    assert_eq!((bolt.count, bolt.size.length.unwrap().0), (2, 80.0));
    assert_eq!(bolt.figures, ["one", "two"]);
    let bushing = find(&yard, "bushing nylon for M8");
    assert_eq!((bushing.count, bushing.size.length.unwrap().0), (2, 47.0));
    assert_eq!(find(&yard, "nut M8").count, 4);
    assert_eq!(find(&yard, "washer M8").count, 4, "two spacers on each");
    assert_eq!(find(&yard, "bolt M6").count, 4, "a pin at each end of each rod");
    assert_eq!(find(&yard, "motor wiper").count, 2);
    assert_eq!(find(&yard, "fuse 10 A with holder").count, 2);
    let sheet = find(&yard, "plywood-9");
    assert!((sheet.size.area.unwrap().0 - 1.2e6).abs() < 1e-6);
    assert!((find(&yard, "plywood-6").size.area.unwrap().0 - 2.0 * 380.0 * 80.0).abs() < 1e4);
    let brace = find(&yard, "brace");
    assert_eq!((brace.count, brace.size.length.unwrap().0), (4, 2500.0));
    let cable = find(&yard, "cable 2 x 2.5 mm2");
    assert_eq!((cable.count, cable.size.length.unwrap().0), (2, 24_000.0), "24 m in all");
    // 900 + 900 + 438 and two cuts are 2244 of 2400; the next goes the same way.
    let plan = &yard.stock().bars[0];
    assert!(plan.assumed && plan.length.0 == 2400.0 && plan.kerf.0 == 3.0);
    assert_eq!((plan.nested.bars.len(), plan.nested.least), (2, 2));
    let first: Vec<f64> = plan.nested.bars[0].cuts.iter().map(|p| p.length.0).collect();
    assert_eq!(first, [900.0, 900.0, 438.0]);
    assert!((plan.nested.bars[0].left.0 - (2400.0 - 2238.0 - 9.0)).abs() < 1e-9);
}

// Counted by hand. Boards of 600 x 1000 on sheets of 1220 x 2440: turned to lie along,
// two side by side and two behind each other, so both on one; on sheets of 700 x 1050 one
// on each; none on 500 x 900. Corrugated ones keep their flutes upright: on sheets of
// 1050 x 700, as they are sold, they would have to lie down.
#[test]
fn whole_sheets_are_counted() {
    let with = |sheet: &str| {
        compiled(&format!(
            "{sheet}\n{}",
            posts("frame 38 mm by 38 mm").replace("board plywood-9", "board own")
        ))
    };
    let own = |material: &str, size: &str| {
        format!(
            "sheet own {{ thickness 9 mm  mass 6 kg/m2  material {material}  tear 3 MPa  {size} }}"
        )
    };
    for (material, size, count) in [
        ("plywood", "size 1220 by 2440 mm", 1),
        ("plywood", "size 700 by 1050 mm", 2),
        ("plywood", "size 1050 by 700 mm", 2),
        ("corrugated", "size 700 by 1050 mm", 2),
    ] {
        let yard = with(&own(material, size));
        let part = find(&yard, "own");
        assert_eq!(part.count, count, "{material} {size}: {part:?}");
        assert!(part.size.width.is_some(), "{part:?}");
    }
    for (material, size) in
        [("plywood", "size 500 by 900 mm"), ("corrugated", "size 1050 by 700 mm")]
    {
        let yard = with(&own(material, size));
        let part = find(&yard, "own");
        assert!(part.about.contains("one board is larger than a sheet of"), "{part:?}");
    }
    let yard = with(&own("plywood", ""));
    let part = find(&yard, "own");
    assert_eq!((part.count, part.size.width), (1, None));
    assert!((part.size.area.unwrap().0 - 1.2e6).abs() < 1.0, "{part:?}");
}

#[test]
fn a_bar_that_is_named_brings_its_length_and_its_cut() {
    let own = "stock-bar slat { section 38 mm by 38 mm  length 900 mm  kerf 2 mm }\n";
    let yard = compiled(&format!("{}{own}", posts("frame of slat")));
    let plan = &yard.stock().bars[0];
    assert_eq!((plan.length.0, plan.kerf.0), (900.0, 2.0));
    assert!(!plan.assumed && !plan.usual && !find(&yard, "slat, 38 x 38 mm").assumed);
    // A member as long as the bar needs no cut.
    assert_eq!(plan.nested.bars.len(), 5);
    let slats = find(&yard, "slat, 38 x 38 mm");
    assert_eq!((slats.shelf, slats.count), (Shelf::Bar, 5));
    let short = own.replace("900 mm", "500 mm");
    let yard = compiled(&format!("{}{short}", posts("frame of slat")));
    let long = yard.stock().parts.iter().find(|p| p.about.contains("longer than a bar")).unwrap();
    assert_eq!(long.count, 4, "four posts of 900");
}

// By hand: its holes are 25 mm apart and 12.5 mm from its ends. A lever of 75 mm with two
// holes beyond takes 6, and with a saw of 2 mm 11.5 mm go on beyond the outer two: 148 mm.
// Six of them are 36 of the 40 holes of a metre, so eleven need two bars.
#[test]
fn a_drilled_bar_is_cut_by_its_holes() {
    let own = "stock-bar row { section 25 mm by 3 mm  holes every 25 mm from 12.5 mm  length 1 m  kerf 2 mm }\n";
    let text = posts("frame 38 mm by 38 mm")
        .replace("lever 80 mm", "lever 75 mm of row")
        .replace("within 3 deg", "within 5 deg");
    let more: String =
        (0..9).map(|n| format!("set p{n} like one at ({n} m, 7 m) facing south\n")).collect();
    let yard = compiled(&format!("{text}{own}{more}"));
    let plan = yard.stock().bars.iter().find(|b| b.section.words(b.system).starts_with("row"));
    let plan = plan.unwrap_or_else(|| panic!("{:#?}", yard.findings));
    assert_eq!((plan.length.0, plan.kerf.0, plan.usual), (1000.0, 2.0, false));
    let pieces: Vec<Vec<f64>> =
        plan.nested.bars.iter().map(|b| b.cuts.iter().map(|p| p.length.0).collect()).collect();
    assert_eq!(pieces, [vec![148.0; 6], vec![148.0; 5]]);
    let row = find(&yard, "row, 25 x 3 mm");
    assert_eq!((row.count, row.size.length.unwrap().0, row.assumed), (2, 1000.0, false));
    // Holes of other sizes are in it too, and so it is longer by them.
    let text = text.replace("75 mm of row", "? 75 to 100 mm of row");
    let yard = compiled(&format!("{text}{own}"));
    let bars = made(&yard.figures[0], &yard.loads[0], &yard.spaces[0]).bars;
    let lever = bars.iter().find(|b| b.kind == BarKind::Lever).unwrap();
    assert_eq!(lever.cut, 123.0, "5 holes: {lever:?}");
}

/// How often each thing is there.
fn counted<T: Ord>(all: impl IntoIterator<Item = (T, usize)>) -> BTreeMap<T, usize> {
    let mut counts = BTreeMap::new();
    for (thing, n) in all {
        *counts.entry(thing).or_insert(0) += n;
    }
    counts
}

// What is on paper for the bench and what is bought is one thing: each bolt, crank, lever
// and rod of the season with its length, as it stands in the two files.
#[test]
fn the_bench_and_the_list_have_the_same_lengths() {
    let (compiled, files) = demo_files();
    let file = |name: &str| text_of(&files, name);
    let csv = rows(&file("parts.csv"));
    let mm = |cell: &String| (cell.parse::<f64>().unwrap() * 10.0).round() as i64;
    let bought =
        csv.iter().filter(|r| r[0] == "bolts" && r[1].starts_with("bolt ") && !r[4].is_empty());
    let bought = counted(bought.map(|r| ((r[1].clone(), mm(&r[4])), r[3].parse().unwrap())));
    let plans = csv.iter().filter(|r| r[0] == "cut plan");
    let plans = plans.filter(|r| r[1].starts_with("flat steel") || r[1].starts_with("round rod"));
    let cut = counted(plans.flat_map(|r| {
        let pieces = r[8].split(" mm,").next().unwrap().split(" + ");
        pieces.map(|p| (p.to_owned(), r[3].parse().unwrap())).collect::<Vec<_>>()
    }));
    let (mut bolts, mut bars, mut kinds) = (Vec::new(), Vec::new(), BTreeMap::new());
    for (n, placed) in compiled.yard.figures.iter().enumerate() {
        let name = &placed.name.value;
        let made = made(&compiled.figures[n], &compiled.loads[n], &compiled.spaces[n]);
        for stack in made.limbs.iter().filter_map(|l| l.stack.as_ref()) {
            // A bolt with a wheel of unknown width has no length on either.
            let Some(length) = stack.length() else { continue };
            bolts.push(((format!("bolt {}", stack.bolt), mm(&length.0.to_string())), 1));
        }
        let sheet = file(&format!("shop/{name}.svg"));
        for bar in made.bars.iter().filter(|b| b.kind != BarKind::ServoArm) {
            let drawn = sheet.split(">cut ").skip(1).map(|t| t.split(" mm<").next().unwrap());
            let near = |t: &&str| (t.parse::<f64>().unwrap() - bar.cut).abs() <= 0.5;
            let on_sheet = drawn.into_iter().find(near);
            let on_sheet = on_sheet.unwrap_or_else(|| panic!("{name}: {bar:?} is on no sheet"));
            bars.push((on_sheet.to_owned(), bar.count()));
            *kinds.entry(bar.kind).or_insert(0) += bar.count();
        }
    }
    assert_eq!(bought, counted(bolts));
    assert_eq!(cut, counted(bars));
    let all = [BarKind::Crank, BarKind::Lever, BarKind::Rod];
    assert!(bought.len() > 1 && all.iter().all(|k| kinds[k] > 3), "{kinds:?}");
}

/// Sails on a belt; `$more` of the belt, and of the limb.
fn sails(belt: &str, limb: &str) -> String {
    format!(
        "use parts\nfigure mill {{\n  board plywood-9 500 mm by 1200 mm\n  frame 38 mm by 38 mm {{ (250, 0) to (250, 1100) mm }}\n  \
         limb sails {{\n    pivot (250, 900) mm  tip (450, 900) mm  bolt M8  bushing nylon  mount front  sheet plywood-6  width 70 mm  {limb}\n    \
         drive spin {{ motor wiper at (250, 700.6) mm  belt 20 40 pitch 5 mm length 550 mm {belt} }}\n    \
         gesture round {{ spin 1 turn per 4 s }}\n  }}\n}}\n"
    )
}

fn stack_of(yard: &Compiled) -> BoltStack {
    let made = made(&yard.figures[0], &yard.loads[0], &yard.spaces[0]);
    made.limbs[0].stack.clone().unwrap()
}

// A pulley is on the sails' bolt; where nothing says how wide it is, no length is told that
// would be too short by it.
#[test]
fn a_bolt_with_a_pulley_waits_for_its_width() {
    let yard = compiled(&sails("", ""));
    let bolt = find(&yard, "bolt M8");
    assert!(bolt.about.contains("its pulley is wide") && bolt.size.length.is_none(), "{bolt:?}");
    let stack = stack_of(&yard);
    assert_eq!((stack.wheel, stack.length()), (Some("pulley"), None));
    let asked = |n: &yardwright::model::Note| n.settle.contains("width");
    assert!(yard.not_checked(0, 0).any(asked));
}

// By hand: washer 1.6, limb 6, spacer 2, board and frame 9 + 38, spacer 2, pulley 22, two nuts
// 13.6, two threads 2.5: 96.7 mm, so 100 (ISO 888). With a gap of 12 mm a tube instead of the
// spacer, 106.7, so 110.
#[test]
fn a_bolt_with_a_pulley_is_as_long_as_a_hand_counts() {
    for (limb, needs, take) in [("", 96.7, 100.0), ("gap 12 mm", 106.7, 110.0)] {
        let yard = compiled(&sails("width 22 mm", limb));
        let stack = stack_of(&yard);
        assert!((stack.needs - needs).abs() < 1e-9, "{stack:?}");
        assert_eq!(find(&yard, "bolt M8").size.length.unwrap().0, take);
        assert!(stack.steps.iter().any(|s| s.item == OnBolt::Wheel && s.name == "pulley"));
        let wide = find(&yard, "pulley of 40 teeth");
        assert!(wide.about.contains("22 mm wide"), "{wide:?}");
        let tube = yard.stock().parts.iter().find(|p| p.name == "spacer tube over M8");
        assert_eq!(tube.map(|t| t.size.length.unwrap().0), (!limb.is_empty()).then_some(12.0));
    }
}

// Three screws for each of two motors of a kind, and a pin for each slot.
#[test]
fn screws_of_motors_and_pins_in_slots_are_counted() {
    let limb = |name: &str, x: u32| {
        format!(
            "  limb {name} {{\n    pivot ({x}, 900) mm  tip ({x}, 1150) mm  mount front  sheet plywood-6  width 60 mm\n    \
             drive slotted-arm {{ motor round at ({x}, 700) mm  crank 40 mm }}\n    \
             gesture wave {{ sweep 78.5 deg to 101.5 deg within 3 deg  cycle 4 s }}\n  }}\n"
        )
    };
    let text = format!(
        "use parts\nmotor round {{ kind brushed  voltage 12 V  free 45 rpm 1.2 A  stall 14 N.m 16 A  mounting-holes M6 at (30, 20) (-30, 20) (0, -35) mm }}\n\
         figure pair {{\n  board plywood-9 900 mm by 1200 mm\n{}{}}}\n",
        limb("a", 200),
        limb("b", 700)
    );
    let yard = compiled(&text);
    let count = |word: &str| {
        let rows = yard.stock().parts.iter().filter(|p| p.about.contains(word));
        rows.map(|p| (p.name.as_str(), p.count)).collect::<Vec<_>>()
    };
    assert_eq!(count("screws of a motor"), [("bolt M6", 6)]);
    assert_eq!(count("crank pin in a slot"), [("bolt M6", 2), ("locknut M6", 2)]);
}

// A cam turns in a square: base circle 35 and lift 20, in the file's own words.
#[test]
fn a_cam_is_on_the_list() {
    let yard = demo();
    let part = yard.stock().parts.iter().find(|p| p.name.starts_with("cam of ")).unwrap();
    assert_eq!(part.figures, ["frog"]);
    assert!((part.size.width.unwrap().0 - 110.0).abs() < 0.1, "{part:?}");
}

#[test]
fn every_member_of_the_demo_is_cut_once() {
    let yard = demo();
    let mut want: Vec<f64> = Vec::new();
    for placed in &yard.yard.figures {
        want.extend(placed.figure.frame.iter().map(|m| m.from.distance(m.to).0));
    }
    let battens = yard.stock().bars.iter().filter(|b| b.section.words(b.system).contains("batten"));
    let mut got: Vec<f64> = battens
        .flat_map(|b| b.nested.bars.iter().flat_map(|b| &b.cuts).chain(&b.nested.too_long))
        .map(|p| p.length.0)
        .collect();
    for list in [&mut want, &mut got] {
        list.sort_by(f64::total_cmp);
    }
    assert_eq!(got, want);
    // One motor each, whatever it moves; laid up or not.
    let motors: usize = yard.yard.figures.iter().map(|p| p.figure.actuators.len()).sum();
    let listed = yard.stock().parts.iter().filter(|p| {
        ["motor", "servo", "ram", "cylinder", "synchronous"]
            .contains(&p.name.split(' ').next().unwrap())
    });
    assert_eq!(listed.map(|p| p.count as usize).sum::<usize>(), motors);
    // The bear's arms share a crank pin: one crank for two rods.
    let whose: Vec<&str> = yard
        .stock()
        .bars
        .iter()
        .flat_map(|b| &b.nested.bars)
        .flat_map(|b| &b.cuts)
        .map(|p| p.whose.as_str())
        .filter(|w| w.starts_with("bear."))
        .collect();
    assert_eq!(whose.iter().filter(|w| w.ends_with("crank")).count(), 1);
    assert_eq!(whose.iter().filter(|w| w.ends_with("rod")).count(), 2);
}

/// Rows of RFC 4180 read back by its own grammar.
fn rows(text: &str) -> Vec<Vec<String>> {
    let (mut rows, mut row, mut cell, mut quoted) = (Vec::new(), Vec::new(), String::new(), false);
    let mut chars = text.chars().peekable();
    while let Some(c) = chars.next() {
        match (c, quoted) {
            ('"', true) if chars.peek() == Some(&'"') => {
                chars.next();
                cell.push('"');
            }
            ('"', _) => quoted = !quoted,
            (',', false) => row.push(std::mem::take(&mut cell)),
            ('\r', false) => {}
            ('\n', false) => {
                row.push(std::mem::take(&mut cell));
                rows.push(std::mem::take(&mut row));
            }
            (c, _) => cell.push(c),
        }
    }
    assert!(!quoted && cell.is_empty() && row.is_empty());
    rows
}

#[test]
fn the_table_and_the_page_say_the_same() {
    let (_, files) = demo_files();
    let text = |name: &str| text_of(&files, name);
    let (csv, page) = (rows(&text("parts.csv")), text("report.html"));
    let sheet = page.split("<h1>To buy and to cut</h1>").nth(1).unwrap();
    assert!(csv.iter().all(|r| r.len() == csv[0].len()), "every row has a cell for each head");
    assert!(csv.len() > 80);
    for row in &csv[1..] {
        let formula = row.iter().any(|c| c.starts_with(['=', '+', '@']));
        assert!(!formula, "{row:?}");
        if !["cut plan", "caution"].contains(&row[0].as_str()) {
            assert!(sheet.contains(&row[1]), "{row:?} is not on the sheet");
        }
    }
    let compiler = Compiler::default();
    let empty = outputs(&compiled("use parts\n"), compiler.sources()).unwrap();
    assert!(empty.iter().all(|f| f.path != "parts.csv"));
}

#[test]
fn an_inch_yard_is_bought_in_inches() {
    let text = include_str!("../shows/first-wave.yard").replace(
        "limb arm {",
        "frame of 1x2 { (3, 0) to (3, 60) in  (23, 0) to (23, 60) in }\n  limb arm {",
    );
    let yard = compiled(&text);
    let batten = find(&yard, "1x2, 3/4 in x 1 1/2 in");
    assert_eq!((batten.count, batten.size.length.unwrap().0), (2, 2438.4), "two of 8 ft");
    let bolt = find(&yard, "bolt 5/16-18");
    let quarters = bolt.size.length.unwrap().0 / 6.35;
    assert!((quarters - quarters.round()).abs() < 1e-9, "in quarters of an inch");
}

/// The list goes to the shop without the report: what must be known of mains, air and wind
/// goes with it, and with the report for programs, as the report for people has it.
#[test]
fn what_to_mind_stands_in_the_list_and_in_both_reports() {
    let (_, files) = demo_files();
    let csv = text_of(&files, "parts.csv");
    let listed: Vec<&str> = csv.lines().filter_map(|l| l.strip_prefix("caution,")).collect();
    let about = |l: &&str| l.split(',').next().unwrap().to_owned();
    let about: Vec<String> = listed.iter().map(about).collect();
    let wanted =
        ["Mains", "Pinch and jam", "Wind and falling", "Compressed air", "Cables across paths"];
    assert_eq!(about, wanted);
    assert!(listed[0].contains("RCD"), "{}", listed[0]);
    let report: serde_json::Value = serde_json::from_str(&text_of(&files, "report.json")).unwrap();
    let told = report["cautions"].as_array().unwrap().iter().map(|c| c["about"].as_str().unwrap());
    assert_eq!(told.collect::<Vec<_>>(), wanted);
    let page = text_of(&files, "report.html");
    assert!(wanted.iter().all(|w| page.contains(w)));
    // A post without a limb, a supply or air has the wind alone.
    let post = "figure post { board plywood-9 600 mm by 1000 mm\n  frame 38 mm by 38 mm { (300, 0) to (300, 900) mm } }\n";
    let csv = text_of(&outputs_of(&format!("use parts\n{post}")), "parts.csv");
    let listed: Vec<&str> = csv.lines().filter(|l| l.starts_with("caution,")).collect();
    assert!(listed.len() == 1 && listed[0].contains("Wind"), "{listed:?}");
}

fn outputs_of(text: &str) -> Vec<Output> {
    let disk = MemoryDisk::new().with("/yard/a.yard", text);
    let mut compiler = Compiler::new(disk);
    let compiled = compiler.compile(Path::new("/yard/a.yard")).unwrap();
    outputs(&compiled, compiler.sources()).unwrap()
}

/// A motor that the maker described is no usual one, on paper and at the terminal.
#[test]
fn a_motor_of_the_makers_own_is_not_told_as_a_usual_one() {
    let told = |block: &str, name: &str| {
        let text = format!(
            "use parts\n{block}\nfigure one {{ board plywood-9 600 mm by 1000 mm
  limb arm {{ pivot (150, 700) mm  tip (-150, 900) mm  sheet plywood-6
    drive four-bar {{ motor {name} at (310, 626) mm  crank 30 mm  rod 160 mm  lever 80 mm at 127 deg }}
    gesture hit {{ sweep 121 deg to 165 deg within 3 deg  cycle 4 s }} }} }}\n"
        );
        let csv = text_of(&outputs_of(&text), "parts.csv");
        let row = csv.lines().find(|l| l.starts_with("motion,motor ")).unwrap().to_owned();
        let options = yardwright::emit::text::TextOptions::default();
        let report = yardwright::emit::text::report(&compiled(&text), &options);
        let report = report.split_whitespace().collect::<Vec<_>>().join(" ");
        (row.ends_with(",yes"), report.contains("45 free (typical, measure yours"))
    };
    assert_eq!(told("", "wiper"), (true, true));
    let own = "motor own { kind brushed  voltage 12 V  free 45 rpm 1.2 A  stall 14 N.m 16 A }";
    assert_eq!(told(own, "own"), (false, false));
}
