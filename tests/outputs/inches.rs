//! A yard in inches is told in pounds, ounces, inches and miles an hour all through; the
//! JSON stays in SI.

use std::path::Path;

use yardwright::check::Compiler;
use yardwright::emit::text::{self, TextOptions};
use yardwright::source::MemoryDisk;

const YARD: &str = r#"
use parts
yard inches {
  size 40 ft by 30 ft
  viewers south  keep 5 ft
  wind run 15 mph  stand 45 mph
  soil lawn
}
supply shed at (38 ft, 28 ft) { voltage 12 V  limit 30 A  cable 14 awg  fuse 15 A }
supply five at shed { voltage 6 V  limit 5 A  cable 14 awg  fuse 5 A }
motor pusher { kind ram  length 8 in to 12 in  speed 1 mph  force 3 lbf  voltage 12 V }
figure baker {
  board plywood-9 24 in by 48 in
  frame 1 1/2 in by 3/4 in { (2 in, 0 in) to (2 in, 48 in)  (2 in, 34 in) to (22 in, 34 in) }
  power shed run 40 ft
  anchor stakes 2 spacing 20 in depth 24 in diameter 1 in  braces 2 at 28 in out 48 in
  limb arm {
    title "The baker's arm"
    pivot (12 in, 34 in)  tip (28 in, 34 in)  sheet plywood-6
    outline (10, 32) (30, 32) (30, 36) (10, 36) in
    drive four-bar { motor wiper at (12 in, 22 in)  crank ? 1 in to 2 in by 1/4 in  rod ?  lever ? 2 1/2 in to 4 1/2 in by 1/2 in at ? }
    gesture wave { sweep 10 deg to 55 deg  cycle 2 s }
  }
  limb head {
    pivot (12 in, 44 in)  tip (12 in, 52 in)  weighed 24 oz  balances 4 in
    drive servo { motor servo-standard power five }
    gesture look { turn to 100 deg over 1 s }
  }
  limb gate {
    mount behind
    pivot (4 in, 10 in)  tip (20 in, 10 in)  weighed 2 lb  balances 8 in
    drive ram { motor pusher at (12 in, 4 in)  lever 4 in at ? }
    gesture open { turn to 30 deg over 8 s }
  }
}
set baker at (20 ft, 10 ft) facing south
"#;

/// What slides beside its guide, spins by belt, chain and gears, rides on too short a shaft,
/// and rams that are asked too much of.
const TURNING: &str = r#"
use parts
yard turning {
  size 40 ft by 30 ft
  viewers south  keep 5 ft
  wind run 15 mph  stand 45 mph
  soil lawn
}
supply shed at (38 ft, 28 ft) { voltage 12 V  limit 30 A  cable 14 awg  fuse 15 A }
motor stubby {
  kind brushed
  voltage 12 V  free 45 rpm 1.2 A  stall 14 N.m 16 A
  body 4 in by 3 in  shaft front 1/2 in
}
motor pusher { kind ram  length 8 in to 12 in  speed 0.5 mph  force 20 lbf  voltage 12 V }
figure mill {
  board plywood-9 24 in by 48 in
  frame 1 1/2 in by 3/4 in { (2 in, 0 in) to (2 in, 48 in)  (2 in, 34 in) to (22 in, 34 in) }
  power shed run 40 ft
  anchor stakes 2 spacing 20 in depth 24 in diameter 1 in  braces 2 at 28 in out 48 in
  limb sails {
    pivot (12 in, 34 in)  tip (28 in, 34 in)  weighed 2 lb  balances 6 in
    outline (10, 32) (30, 32) (30, 36) (10, 36) in
    drive spin { motor wiper at (12 in, 28 in)  belt 20 40 pitch 5 mm length 500 mm }
    gesture round { spin 360 deg per 2 s }
  }
  limb wheel {
    pivot (4 in, 20 in)  tip (8 in, 20 in)  weighed 1 lb  balances 1 in
    drive spin { motor wiper at (12 in, 20 in)  gears 20 40 module 1.5 mm }
    gesture round { spin 360 deg per 4 s }
  }
  limb star {
    pivot (4 in, 44 in)  tip (8 in, 44 in)  weighed 1 lb  balances 1 in
    drive spin { motor wiper at (5 in, 44 in)  chain 20 40 pitch 12.7 mm }
    gesture round { spin 360 deg per 4 s }
  }
  limb drawer {
    mount behind
    slide from (20 in, 12 in) to (20 in, 20 in)  weighed 1 lb  guide 1 in
    drive scotch-yoke { motor stubby at (20 in, 16 in)  limit 4 A  plate 3/4 in  crank 2 1/2 in }
    gesture hop { stroke 1 in to 6 in within 1/4 in  cycle 3 s }
  }
  limb gate {
    mount behind
    pivot (4 in, 10 in)  tip (20 in, 10 in)  weighed 2 lb  balances 8 in
    drive ram { motor pusher at (12 in, 4 in)  lever 4 in at ? }
    gesture open { sweep 0 deg to 70 deg  cycle 1 s }
  }
}
set mill at (20 ft, 10 ft) facing south
"#;

/// What people read: without tags, and without clauses to be copied, whose units are the
/// writer's own.
fn read(text: &str) -> String {
    let mut out = String::new();
    for (n, part) in text.split('`').enumerate() {
        if n % 2 == 0 {
            out.push_str(part);
        }
    }
    let mut seen = String::new();
    for (n, part) in
        out.replace("<code>", "\u{1}").replace("</code>", "\u{1}").split('\u{1}').enumerate()
    {
        if n % 2 == 0 {
            seen.push_str(part);
        }
    }
    let mut plain = String::new();
    let mut inside = false;
    for c in seen.chars() {
        match c {
            '<' => inside = true,
            '>' => {
                inside = false;
                plain.push(' ');
            }
            c if !inside => plain.push(c),
            _ => {}
        }
    }
    plain
}

/// Numbers with a metric unit behind them; pitch and module are the trade's names of belts
/// and gears.
fn metric(text: &str) -> Vec<String> {
    const UNITS: [&str; 12] =
        ["mm", "m", "N", "N.m", "kg", "g", "m/s", "mm/s", "MPa", "m2", "kg.m2", "MPa.m/s"];
    let words: Vec<&str> = text.split_whitespace().collect();
    let number = |w: &str| w.trim_matches(['(', ')', ',']).parse::<f64>().is_ok();
    let unit = |w: &str| UNITS.contains(&w.trim_end_matches([',', ';', ':', '.', ')']));
    let named = |w: &str| ["pitch", "module"].contains(&w);
    let found = words.windows(3).filter(|w| number(w[1]) && unit(w[2]) && !named(w[0]));
    found.map(|w| w[1..].join(" ")).collect()
}

/// Everything told of a yard, by what tells it.
fn told(yard: &str) -> Vec<(String, String)> {
    let disk = MemoryDisk::new().with(Path::new("/p/main.yard"), yard.to_owned());
    let mut compiler = Compiler::new(disk);
    let compiled = compiler.compile(Path::new("/p/main.yard")).unwrap();
    let mut texts = vec![("text".to_owned(), text::report(&compiled, &TextOptions::default()))];
    for finding in &compiled.findings {
        let help = finding.help.clone().unwrap_or_default();
        texts.push((finding.code.word.to_owned(), format!("{} {help}", finding.message)));
    }
    for output in yardwright::emit::outputs(&compiled, compiler.sources()).unwrap() {
        if ["report.html", "weather.html", "parts.csv"].contains(&output.path.as_str()) {
            texts.push((output.path, String::from_utf8(output.bytes).unwrap()));
        }
    }
    texts
}

fn without_metric(texts: &[(String, String)]) {
    let found: Vec<(&str, Vec<String>)> = texts
        .iter()
        .map(|(name, text)| (name.as_str(), metric(&read(text))))
        .filter(|(_, found)| !found.is_empty())
        .collect();
    assert!(found.is_empty(), "{found:?}");
}

#[test]
fn a_yard_in_inches_has_no_metric_number() {
    let texts = told(YARD);
    assert!(texts.iter().any(|t| t.0 == "servo-holds") && texts.len() > 6, "{texts:?}");
    without_metric(&texts);
    // And they are there in the other household's units.
    let all: String = texts.iter().map(|t| t.1.as_str()).collect();
    for unit in [" lbf.in", " lbf ", " oz", " mph", " psi", " in "] {
        assert!(all.contains(unit), "no{unit}");
    }
}

#[test]
fn what_turns_slides_and_pushes_is_told_in_inches_too() {
    let texts = told(TURNING);
    let raised: Vec<&str> = texts.iter().map(|t| t.0.as_str()).collect();
    for code in ["spin-quick", "centres-off", "guide-jams", "nothing-fits", "stroke-missed"] {
        assert!(raised.contains(&code), "no {code} in {raised:?}");
    }
    without_metric(&texts);
}
