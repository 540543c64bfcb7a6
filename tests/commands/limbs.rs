//! `holes` and `explain`: questions about one limb or one code; and `--units`.

use super::BAKER;
use crate::support::Yard;

fn baker() -> Yard {
    Yard::new().file("a.yard", BAKER)
}

/// The lengths in a text that stand before this unit.
fn lengths(text: &str, unit: &str) -> usize {
    let words: Vec<&str> = text.split_whitespace().collect();
    let number = |w: &str| w.chars().next().is_some_and(|c| c.is_ascii_digit());
    words.windows(2).filter(|w| number(w[0]) && w[1].trim_end_matches(',') == unit).count()
}

#[test]
fn the_chart_of_a_limb_has_the_holes_in_use() {
    let yard = baker();
    let ran = yard.run("holes a.yard baker.arm");
    ran.exits(0).is_quiet().says("baker.arm   rod 14 25/32 in, clamp 138 deg");
    assert_eq!(ran.stdout().matches("67*").count(), 1);
    let json = yard.run("holes a.yard baker.arm --format json").exits(0).is_quiet().json();
    assert_eq!((&json["schema"], &json["ok"]), (&1.into(), &true.into()));
    assert_eq!((&json["limb"], &json["file"]), (&"baker.arm".into(), &"a.yard".into()));
    let cells = json["cells"].as_array().unwrap();
    let chosen: Vec<_> = cells.iter().filter(|c| c["chosen"] == true).collect();
    assert_eq!(chosen.len(), 1);
    // The cell of the holes in use is what `check` says of the limb as drilled.
    let check = yard.run("check a.yard --format json").json();
    let drilled = &check["figures"][0]["limbs"][0]["mechanism"]["as_drilled"];
    let near = |a: &str, b: f64| {
        let got = chosen[0][a].as_f64().unwrap();
        assert!((got - b).abs() < 1e-6, "{a}: {got} {b}");
    };
    near("sweep_deg", drilled["sweep_deg"].as_f64().unwrap());
    near("min_transmission_deg", drilled["min_transmission_deg"].as_f64().unwrap());
    near("crank_mm", 38.1);
    near("rocker_mm", 101.6);
    assert!(cells.iter().any(|c| c["crank_turns_fully"] == false && c["why"].is_string()));
}

#[test]
fn the_chart_can_be_kept_as_a_table_and_as_a_sheet() {
    let yard = baker();
    let json = yard.run("holes a.yard baker.arm --format json").exits(0).json();
    let cells = json["cells"].as_array().unwrap();
    yard.run("holes a.yard baker.arm --out chart.csv").exits(0).talks("Wrote chart.csv.");
    let table = std::fs::read_to_string(yard.path("chart.csv")).unwrap();
    let lines: Vec<&str> = table.split_terminator("\r\n").collect();
    assert_eq!(lines.len(), cells.len() + 1);
    let head: Vec<&str> = lines[0].split(',').collect();
    let used: Vec<&&str> = lines.iter().filter(|l| l.ends_with(",yes")).collect();
    assert_eq!(used.len(), 1);
    let field = |name: &str| {
        let at = head.iter().position(|h| *h == name).unwrap();
        used[0].split(',').nth(at).unwrap().parse::<f64>().unwrap()
    };
    let chosen = cells.iter().find(|c| c["chosen"] == true).unwrap();
    for (name, key) in [("sweep_deg", "sweep_deg"), ("worst_push_deg", "min_transmission_deg")] {
        assert!((field(name) - chosen[key].as_f64().unwrap()).abs() < 0.006, "{name}");
    }
    assert!((field("crank_mm"), field("lever_mm")) == (38.1, 101.6));
    yard.run("holes a.yard baker.arm --out chart.svg").exits(0).talks("Wrote chart.svg.");
    let sheet = std::fs::read_to_string(yard.path("chart.svg")).unwrap();
    assert!(sheet.starts_with("<svg") && sheet.contains("width=\"297mm\""));
    // One cell for each pair, and the reason in those that do not work.
    let blocked = cells.iter().filter(|c| c["crank_turns_fully"] == false).count();
    assert_eq!(sheet.matches("url(#hatch)").count(), blocked);
    yard.run("holes a.yard baker.arm --out chart.pdf").exits(2).talks("end in .csv or .svg");
    yard.run("holes a.yard baker.arm --out none/chart.csv").exits(2).talks("cannot be written");
    assert!(!yard.path("chart.pdf").exists());
}

#[test]
fn an_unknown_limb_names_the_nearest() {
    let yard = baker();
    for words in ["baker.amr", "bakr.arm", "backer.arm"] {
        let said = format!("There is no limb {words}. Did you mean baker.arm?");
        yard.run(&format!("holes a.yard {words}")).exits(2).says_nothing().talks(&said);
        yard.run(&format!("explain --for {words} a.yard")).exits(2).says_nothing().talks(&said);
        yard.run(&format!("explain weak-push --for {words} a.yard")).exits(2).talks(&said);
    }
    yard.run("holes a.yard zebra.hoof").exits(2).talks("The yard has baker.arm.");
    let json = yard.run("holes a.yard baker.amr --format json").exits(2).json();
    assert_eq!((&json["ok"], &json["file"]), (&false.into(), &"a.yard".into()));
    assert!(json["diagnostics"][0]["message"].as_str().unwrap().contains("baker.arm?"));
    yard.run("explain weak-push --for baker a.yard").exits(2).talks("FIGURE.LIMB");
    yard.run("explain weak-push --for baker.arm").exits(2).says_nothing();
    yard.run("explain weak-push --for baker.arm none.yard").exits(2).talks("no such file");
}

#[test]
fn a_question_to_a_yard_with_errors_ends_with_one() {
    let yard = Yard::new().file("a.yard", format!("{BAKER}figure b {{ borad 1 m by 1 m }}\n"));
    let ran = yard.run("holes a.yard baker.arm");
    ran.exits(1).says("baker.arm   rod").talks("did you mean `board`?");
    let json = yard.run("holes a.yard baker.arm --format json").exits(1).json();
    assert_eq!(json["ok"], false);
    assert_eq!(json["diagnostics"][0]["code"], "word-unknown");
    yard.run("holes a.yard baker.amr").exits(1).talks("Did you mean baker.arm?");
    yard.run("explain weak-push --for baker.arm a.yard")
        .exits(1)
        .says("baker.arm: crank, rod and lever")
        .talks("yardwright check a.yard shows");
    yard.run("explain --for baker.amr a.yard").exits(1).talks("Did you mean baker.arm?");
}

#[test]
fn a_code_is_explained_with_a_limbs_own_numbers() {
    let yard = baker();
    let plain = yard.run("explain weak-push");
    plain.exits(0).is_quiet().says("weak-push (warning)").says("\nRule\n").says("\nSource\n");
    let ran = yard.run("explain weak-push --for baker.arm a.yard");
    ran.exits(0).is_quiet().says("baker.arm: crank, rod and lever, sizes as drilled");
    assert!(ran.stdout().starts_with(&plain.stdout()));
    yard.run("explain weak-puhs").exits(2).says_nothing().talks("Did you mean `weak-push`?");
    yard.run("explain weak-puhs --for baker.arm a.yard").exits(2).talks("`weak-push`?");
    let json = yard.run("explain weak-push --for baker.arm a.yard --format json").exits(0).json();
    assert_eq!((&json["code"], &json["for"]["limb"]), (&"weak-push".into(), &"baker.arm".into()));
    let limb = yard.run("explain --for baker.arm a.yard").exits(0).is_quiet().stdout();
    // The limb alone has its motor's numbers too, and so wider columns.
    let told = ran.stdout();
    let words = |text: &str| text.split_whitespace().collect::<Vec<_>>().join(" ");
    let numbers = words(&told[told.rfind("baker.arm:").unwrap()..]);
    assert!(words(&limb).starts_with(&numbers), "{numbers}\n{limb}");
    let of_motor = yard.run("explain motor-stalls --for baker.arm a.yard").exits(0).stdout();
    assert!(of_motor.contains("Kt = Ts/(Is - I0)") && limb.contains("Kt = Ts/(Is - I0)"));
    assert!(!of_motor.contains("push angle"));
    yard.run("explain usage --for baker.arm a.yard").exits(0).says("no rule about the numbers");
}

/// The result of a step of a worked sum.
fn result(json: &serde_json::Value, what: &str) -> f64 {
    let steps = json["for"]["steps"].as_array().expect("steps");
    let step = steps.iter().find(|s| s["what"].as_str().is_some_and(|w| w.starts_with(what)));
    let text = step.unwrap_or_else(|| panic!("no {what} in {steps:?}"))["result"].as_str();
    text.unwrap().split(' ').next().unwrap().parse().expect("a number")
}

#[test]
fn loads_and_wind_are_explained_with_a_limbs_own_numbers() {
    let yard = Yard::new().file(
        "a.yard",
        "use parts\nyard green { size 10 m by 8 m  wind run 7 m/s stand 20 m/s  soil lawn }
supply shed at (9 m, 7 m) { voltage 12 V  limit 10 A  cable 2.5 mm2  fuse 5 A }
figure bear {
  board plywood-9 620 mm by 1350 mm  power shed run 9 m
  anchor stakes 2 spacing 500 mm depth 600 mm diameter 25 mm
  motor drum wiper at (310, 806) mm  limit 4 A
  limb arm { pivot (150, 880) mm  tip (-250, 1150) mm  bolt M8  bushing nylon  washer 30 mm  clamp plain
    sheet plywood-6  width 100 mm  tail 50 mm
    drive four-bar { motor drum  crank 30 mm  rod 160 mm  lever 80 mm at 127 deg }
    gesture hit { sweep 121 deg to 165 deg within 2 deg  cycle 2 s } }
}
set bear at (5 m, 4 m) facing south
show evening { 0:10 bear.arm hit for 20 s }
",
    );
    let of = |code: &str| {
        yard.run(&format!("explain {code} --for bear.arm a.yard --format json")).json()
    };
    let report = yard.run("check a.yard --format json").json();
    let limb = &report["figures"][0]["limbs"][0];
    let peak = limb["loads"]["peak_motor_torque_nm"].as_f64().expect("a torque");
    assert!((result(&of("motor-stalls"), "most of its motor") - peak).abs() < 6e-5);
    // The sum of the supply is the current of its peak, and asked = calm + share x gust^2.
    assert!((result(&of("supply-overloaded"), "shed") - 4.0).abs() < 0.01);
    let flops = of("limb-flops");
    let (calm, more) = (result(&flops, "asked in calm air"), result(&flops, "and more in wind"));
    let asked = result(&flops, "limb-flops: asked at 7 m/s");
    assert!((calm + more * 49.0 - asked).abs() < 0.01 * asked, "{calm} {more} {asked}");
    for code in ["limb-slips", "stakes-pull", "tips-over"] {
        let told = yard.run(&format!("explain {code} --for bear.arm a.yard")).stdout();
        let numbers = told.contains(&format!("{code}: asked")) && told.contains("it bears");
        assert!(numbers || told.contains("No sum of it for this limb"), "{told}");
    }
    assert!(yard.run("explain limb-slips --for bear.arm a.yard").stdout().contains("washer  "));
}

#[test]
fn lengths_are_shown_in_the_household_asked_for() {
    let yard = baker();
    for words in ["holes a.yard baker.arm", "explain --for baker.arm a.yard"] {
        let own = yard.run(words).exits(0).stdout();
        assert!(lengths(&own, "in") > 0, "{own}");
        let inch = yard.run(&format!("{words} --units inch")).exits(0).stdout();
        assert!(lengths(&inch, "in") > 0 && lengths(&inch, "mm") == 0, "{inch}");
        let metric = yard.run(&format!("{words} --units metric")).exits(0).stdout();
        assert!(lengths(&metric, "mm") > 0 && lengths(&metric, "in") == 0, "{metric}");
    }
    // 1 1/2 in and 4 in, exactly (25.4 mm to the inch, NIST SP 811): a hole that is
    // drilled on an inch mark is not moved to a half millimetre.
    yard.run("check a.yard --units metric")
        .exits(0)
        .says("crank 38.1 mm\n")
        .says("lever 101.6 mm, clamped");
    yard.run("check a.yard --units inch").exits(0).says("crank 1 1/2 in\n").says("lever 4 in,");
}

#[test]
fn programs_get_the_same_numbers_in_any_household() {
    let yard = baker();
    let own = yard.run("check a.yard --format json").stdout();
    for units in ["metric", "inch"] {
        let asked = yard.run(&format!("check a.yard --format json --units {units}")).stdout();
        assert_eq!(asked, own);
    }
}

/// Middles of one chart are told in one turn of the circle, the maker's: 195 to 235 deg lie
/// about 215, which is -145 as well.
#[test]
fn a_chart_tells_its_middles_in_the_makers_turn() {
    let yard = Yard::new().file(
        "a.yard",
        "use parts
figure fox { board plywood-9 700 mm by 1000 mm
  limb arm { pivot (300, 700) mm  tip (120, 700) mm
    drive four-bar { motor wiper at (420, 500) mm  crank 30 mm  rod 217 mm  lever 90 mm at 17.5 deg  assembly open }
    gesture bow { sweep 195 deg to 235 deg  cycle 3 s } } }
",
    );
    let json = yard.run("holes a.yard fox.arm --format json").exits(0).json();
    let cells = json["cells"].as_array().unwrap();
    let middles: Vec<f64> = cells.iter().filter_map(|c| c["centre_deg"].as_f64()).collect();
    assert!(
        middles.len() > 20 && middles.iter().all(|m| (200.0..230.0).contains(m)),
        "{middles:?}"
    );
}

/// A ram's anchor is as far from its pivot as it is, to what is read on a ruler.
#[test]
fn a_chart_is_headed_with_lengths_to_read() {
    let yard = Yard::new().file(
        "a.yard",
        "use parts
figure f { board plywood-9 900 mm by 900 mm
  limb gate { pivot (200, 500) mm tip (700, 500) mm
    drive ram { motor ram-100  anchor (203.7, 231) mm  lever ? 60 to 140 mm by 10 mm at ? }
    gesture open { sweep 0 deg to 60 deg } } }
",
    );
    let said = yard.run("holes a.yard f.gate").exits(0).stdout();
    // From (200, 500) to (203.7, 231): sqrt(3.7^2 + 269^2).
    assert!(said.contains("anchor 269.03 mm"), "{said}");
}

#[test]
fn a_cord_on_a_servo_is_headed_as_one() {
    let text = std::fs::read_to_string(
        std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/cord.yard"),
    );
    let yard = Yard::new().file("a.yard", text.unwrap());
    yard.run("explain --for owl.lid a.yard").exits(0).says("owl.lid: cord on a servo's horn");
}

/// The sums of a yard in inches are told in its own units; where a motor's are reckoned in
/// newtons and metres, its household's stands beside the result.
#[test]
fn the_sums_of_a_yard_in_inches_are_in_inches() {
    let first = std::fs::read_to_string(
        std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("shows/first-wave.yard"),
    );
    let yard = Yard::new().file("a.yard", first.unwrap());
    let told = yard.run("explain --for baker.arm a.yard").stdout();
    for line in told.lines() {
        let beside = line.contains("lbf") || line.contains("V.s") || line.contains("N.m/A");
        assert!(!line.contains("N.m") || beside, "{line}");
        assert!(!line.contains(" mm") && !line.contains("m/s") && !line.contains("MPa"), "{line}");
    }
    // 14 N.m over 0.112985 N.m a pound-force inch are 123.910.
    assert!(told.contains("14 N.m (123.91 lbf.in)"), "{told}");
    // calm + more x wind^2, worked with the numbers of the line itself.
    let line = told.lines().find(|l| l.contains("limb-flops: asked at 15.7 mph")).unwrap();
    let (result, sum) = line.split_once("= ").unwrap();
    let result: f64 = result.split_whitespace().rev().nth(1).unwrap().parse().unwrap();
    let (calm, wind) = sum.split_once(" + ").unwrap();
    let (more, speed) = wind.split_once(" x ").unwrap();
    let n = |s: &str| s.trim().trim_end_matches("^2").parse::<f64>().unwrap();
    let worked = n(calm) + n(more) * n(speed) * n(speed);
    assert!((worked / result - 1.0).abs() < 0.01, "{line}");
}

/// Where a crank pin stands beside the other one of its motor decides whether both arms move
/// together: whoever drills must be told.
#[test]
fn crank_pins_of_one_motor_are_told_beside_each_other() {
    let yard = Yard::new().file(
        "a.yard",
        "use parts
figure bear { board plywood-9 620 mm by 1350 mm  motor drum wiper at (310, 806) mm
  limb left-arm { pivot (150, 880) mm  tip (-250, 1150) mm
    drive four-bar { motor drum pin 0 deg  crank 30 mm  rod ?  lever 80 mm at ? }
    gesture hit { sweep 121 deg to 165 deg  cycle 3 s } }
  limb right-arm { pivot (470, 880) mm  tip (870, 1150) mm
    drive four-bar { motor drum pin 230 deg  crank 30 mm  rod ?  lever 80 mm at ? }
    gesture hit { sweep 15 deg to 59 deg  cycle 3 s } } }
",
    );
    let said = yard.run("check a.yard").exits(0).stdout();
    assert!(
        said.contains("crank 30 mm, its pin 230 deg counter-clockwise of that of left-arm"),
        "{said}"
    );
    assert_eq!(said.matches("its pin ").count(), 1, "{said}");
}

#[test]
fn a_rule_that_found_nothing_still_shows_its_sum() {
    let yard = Yard::new()
        .file(
            "a.yard",
            "use parts
motor slow { kind brushed voltage 12 V free 40 rpm 0.12 A stall 3 N.m 1.8 A }
figure mill { board plywood-9 600 mm by 1200 mm
  limb sails { pivot (300, 800) mm tip (300, 1120) mm bolt M8 sheet plywood-6
    weighed 0.4 kg balances 60 mm length 320 mm width 60 mm
    drive spin { motor slow at (300, 600) mm belt 20 40 pitch 5 mm } gesture round { spin 1 turn per 4 s } } }
figure pond { board plywood-9 600 mm by 900 mm  motor hop wiper at (300, 300) mm
  limb head { pivot (180, 300) mm tip (420, 300) mm mass 0.4 kg centre 100 mm at 0 deg inertia 0.006 kg.m2
    drive cam { motor hop base ? roller 8 mm lever 100 mm at ? return spring 2 N.m }
    gesture nod { sweep 10 deg to 18 deg cycle 1.4 s } } }
",
        )
        .file(
            "b.yard",
            "use parts
yard green { size 10 m by 8 m  tank comp 24 l full 800 kPa }
motor cyl32 { kind cylinder bore 32 mm rod 12 mm stroke 100 mm }
figure hog at (3 m, 4 m) facing south { board plywood-9 500 mm by 800 mm
  limb body { slide from (250, 300) mm to (250, 420) mm weighed 0.5 kg
    drive cylinder { motor cyl32 at (250, 100) mm stroke 100 mm air comp at 400 kPa throttle up 0.4 s down 0.6 s }
    gesture pop { pulse up for 2 s } } }
show evening { 0:10 hog.body pop
  0:20 hog.body pop }
",
        );
    let of = |code: &str, limb: &str, file: &str| {
        yard.run(&format!("explain {code} --for {limb} {file} --format json")).json()
    };
    // m g r x turns = 0.4 x 9.80665 x 0.06 x 0.5 = 0.11768 N.m.
    let uneven = of("spin-unbalanced", "mill.sails", "a.yard");
    assert!((result(&uneven, "asked of the motor and given back") - 0.1177).abs() < 1e-4);
    // The strip's far corner, hypot(320, 30) mm, at a turn in 4 s: 0.5049 m/s.
    let quick = of("spin-quick", "mill.sails", "a.yard");
    assert!((result(&quick, "its tip, 2 pi r") - 0.505).abs() < 1e-3);
    // 20 and 40 teeth of 5 mm: 15.92 and 31.83 mm, 200 mm apart:
    // 180 - 2 asin(15.915/200) = 170.87 deg, 20 x 170.87/360 = 9.493 teeth.
    let wrap = of("wrap-small", "mill.sails", "a.yard");
    assert!((result(&wrap, "round its small wheel") - 170.87).abs() < 0.006);
    assert!((result(&wrap, "teeth that hold") - 9.493).abs() < 0.001);
    let cam = of("cam-lift-off", "pond.head", "a.yard");
    assert!(result(&cam, "weight and spring over") >= 1.5);
    let tank = of("tank-empties", "hog.body", "b.yard");
    // 24 l at 800 kPa less two strokes of its cylinder.
    let left = result(&tank, "it falls to");
    assert!((400.0..800.0).contains(&left), "{left}");
    assert!((result(&tank, "hog.body is fed with") - 400.0).abs() < 1e-9);
    yard.run("explain air-crushes --for pond.head a.yard").says("not worked out in this version");
}
