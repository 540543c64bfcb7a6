//! `solve`: what was found, and `--write`, which changes the `?` and nothing else.
#![allow(clippy::disallowed_methods)] // On purpose another library's sines.

use crate::support::Yard;

/// A yard that leaves four sizes open with `?`, with odd blanks and comments.
const OPEN: &str = "\
use parts
figure baker {
\tboard plywood-9  27 in by 61 in   # two tabs, ten blanks ?
  limb arm {
    pivot (20, 44) in  tip (34, 52) in
    drive four-bar { motor wiper at (14, 30) in  crank ? 1 to 2 in by 1/4 in   # what is it?
      rod ?  lever ? 3 to 4 1/2 in by 1/2 in at ? }  # é ? ü
    gesture stir { sweep 10 deg to 55 deg  cycle 2 s }
  }
}
# no line end at the end ?";

/// The text of `OPEN` where each `?` of a size stands, with its answer.
fn answered(text: &str, sizes: [&str; 4]) -> String {
    let [crank, rod, lever, clamp] = sizes;
    text.replace("crank ? 1", &format!("crank {crank} of 1"))
        .replace("rod ?", &format!("rod {rod}"))
        .replace("lever ? 3", &format!("lever {lever} of 3"))
        .replace("at ? }", &format!("at {clamp} }}"))
}

/// What `solve` found for the open sizes, as the language writes them.
fn found(yard: &Yard, file: &str) -> [String; 4] {
    let json = yard.run(&format!("solve {file} --format json")).exits(0).is_quiet().json();
    assert_eq!((&json["schema"], &json["ok"]), (&1.into(), &true.into()));
    assert!(json.get("replaced").is_none(), "nothing was asked to be written");
    let open = json["limbs"][0]["open"].as_array().unwrap();
    let names: Vec<&str> = open.iter().map(|o| o["name"].as_str().unwrap()).collect();
    assert_eq!(names, ["crank", "rod", "lever", "at"]);
    assert!(open.iter().all(|o| o["asked"] == true));
    [0, 1, 2, 3].map(|i| open[i]["found"].as_str().unwrap().to_owned())
}

#[test]
fn solving_alone_writes_nothing() {
    let yard = Yard::new().file("a.yard", OPEN);
    yard.run("solve a.yard").exits(0).is_quiet().says("baker.arm\n  crank  ").leaves(&["a.yard"]);
    assert_eq!(yard.read("a.yard"), OPEN);
}

#[test]
fn only_the_asks_change_also_with_other_line_ends_and_a_mark() {
    let mark = "\u{feff}";
    let windows = OPEN.replace('\n', "\r\n");
    let both = format!("{mark}{windows}");
    for text in [OPEN, &windows, &format!("{mark}{OPEN}"), &both] {
        let yard = Yard::new().file("a.yard", text);
        let sizes = found(&yard, "a.yard");
        let before = yard.run("check a.yard --format json").exits(0).json();
        yard.run("solve a.yard --write")
            .exits(0)
            .is_quiet()
            .says("4 `?` replaced; nothing else in the text was touched.")
            .leaves(&["a.yard"]);
        let want = answered(text, sizes.each_ref().map(String::as_str));
        assert_eq!(yard.read("a.yard"), want);
        // What was written compiles to the linkage that was shown, and asks no more.
        let after = yard.run("check a.yard --format json").exits(0).json();
        let drilled = &before["figures"][0]["limbs"][0]["mechanism"]["as_drilled"];
        let built = &after["figures"][0]["limbs"][0]["mechanism"]["as_drilled"];
        for size in ["crank", "coupler", "rocker"] {
            let at = |m: &serde_json::Value| m["lengths_mm"][size].as_f64().unwrap();
            assert!((at(drilled) - at(built)).abs() < 1e-6, "{size}: {drilled} {built}");
        }
        let bytes = std::fs::read(yard.path("a.yard")).unwrap();
        yard.run("solve a.yard --write").exits(0).says("nothing was written");
        assert_eq!(std::fs::read(yard.path("a.yard")).unwrap(), bytes);
    }
}

#[test]
fn writing_tells_programs_how_many() {
    let yard = Yard::new().file("a.yard", OPEN);
    let json = yard.run("solve a.yard --write --format json").exits(0).is_quiet().json();
    assert_eq!(json["replaced"], 4);
}

#[test]
fn answers_go_into_the_file_their_ask_stands_in() {
    let main = "use \"figures/baker.yard\"\n";
    let yard = Yard::new().file("a.yard", main).file("figures/baker.yard", OPEN);
    let sizes = found(&yard, "a.yard");
    yard.run("solve a.yard --write").exits(0);
    assert_eq!(yard.read("a.yard"), main);
    let want = answered(OPEN, sizes.each_ref().map(String::as_str));
    assert_eq!(yard.read("figures/baker.yard"), want);
}

#[test]
fn a_yard_with_errors_is_not_written() {
    let text = format!("{OPEN}\nfigure b {{ borad plywood-9 27 in by 61 in }}\n");
    let yard = Yard::new().file("a.yard", &text);
    yard.run("solve a.yard --write")
        .exits(1)
        .says("baker.arm")
        .talks("did you mean `board`?")
        .talks("Nothing was written: the yard has errors.");
    assert_eq!(yard.read("a.yard"), text);
    let json = yard.run("solve a.yard --write --format json").exits(1).json();
    assert_eq!((&json["ok"], &json["replaced"]), (&false.into(), &0.into()));
    assert_eq!(json["diagnostics"][0]["code"], "word-unknown");
    assert_eq!(yard.read("a.yard"), text);
}

/// A rod is written to half a millimetre, and this one is 158.25 mm: with it the limb moves from
/// `sqrt(118.25^2 - 37^2) - 100` to `sqrt(198.25^2 - 37^2) - 100`. Where that misses what is
/// asked, nothing is written.
#[test]
fn what_would_not_compile_is_not_written() {
    let saw = |within: &str| {
        format!(
            "use parts\nfigure saw {{ board plywood-9 700 mm by 1000 mm\n limb blade {{ slide from (300, 500) mm to (300, 800) mm\n \
             drive slider-crank {{ motor wiper at (337, 400) mm  crank 40 mm  rod ? }}\n \
             gesture cut {{ stroke 12.313 mm to 94.767 mm within {within}  cycle 2 s }} }} }}\n"
        )
    };
    let loose = Yard::new().file("a.yard", saw("3 mm"));
    loose.run("solve a.yard --write").exits(0).says("1 `?` replaced");
    loose.run("check a.yard").exits(0);
    let tight = Yard::new().file("a.yard", saw("0.1 mm"));
    tight.run("solve a.yard").exits(0);
    tight
        .run("solve a.yard --write")
        .exits(1)
        .talks("Nothing was written: with these sizes in the text the yard has errors.")
        .leaves(&["a.yard"]);
    assert_eq!(tight.read("a.yard"), saw("0.1 mm"));
}

#[test]
fn a_file_that_may_not_be_written_is_left_alone() {
    let yard = Yard::new().file("a.yard", OPEN);
    let path = yard.path("a.yard");
    let mut rights = std::fs::metadata(&path).unwrap().permissions();
    rights.set_readonly(true);
    std::fs::set_permissions(&path, rights).unwrap();
    let ran = yard.run("solve a.yard --write");
    ran.exits(2).says_nothing().talks("a.yard cannot be written").leaves(&["a.yard"]);
    assert_eq!(yard.read("a.yard"), OPEN);
    let json = yard.run("solve a.yard --write --format json").exits(2).json();
    assert_eq!(json["diagnostics"][0]["code"], "cannot-write");
}

#[test]
fn sizes_that_were_left_out_are_named() {
    let yard = Yard::new().file("a.yard", super::BAKER);
    yard.run("solve a.yard --write")
        .exits(0)
        .says("No `?` stands in the text; nothing was written.")
        .says("(left out)");
    assert_eq!(yard.read("a.yard"), super::BAKER);
}

#[test]
fn sizes_are_shown_in_the_household_asked_for() {
    let yard = Yard::new().file("a.yard", OPEN);
    let own = yard.run("solve a.yard").stdout();
    assert!(own.contains(" in ") && !own.contains(" mm"), "{own}");
    let metric = yard.run("solve a.yard --units metric").stdout();
    assert!(metric.contains(" mm") && !metric.contains(" in "), "{metric}");
    // What goes into the file stays in the units the maker wrote.
    let sizes = found(&yard, "a.yard");
    yard.run("solve a.yard --write --units metric").exits(0);
    let want = answered(OPEN, sizes.each_ref().map(String::as_str));
    assert_eq!(yard.read("a.yard"), want);
}

/// A ram's anchor is written as a place, in the stead of all that was said of it.
#[test]
fn a_found_anchor_is_written_as_a_place() {
    let text = std::fs::read_to_string(
        std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("examples/ram.yard"),
    )
    .unwrap();
    let yard = Yard::new().file("ram.yard", &text);
    let before = yard.run("check ram.yard --format json").exits(0).json();
    yard.run("solve ram.yard --write").exits(0).says("anchor  (200 mm, 230.5 mm)");
    let written = text
        .replace("anchor ? near (200, 230) mm", "anchor (200 mm, 230.5 mm)")
        .replace("at ? }", "at 169 deg }");
    assert_eq!(yard.read("ram.yard"), written);
    let after = yard.run("check ram.yard --format json").exits(0).json();
    let swing = |json: &serde_json::Value, path: &str| {
        json.pointer(&format!("/figures/0/limbs/0/mechanism{path}/low_deg")).unwrap().as_f64()
    };
    assert_eq!(swing(&before, "/as_drilled"), swing(&after, ""));
}

/// All of the question goes, whatever it said of where the motor might be, and the
/// text that is left means the same.
#[test]
fn a_found_motor_is_written_as_a_place() {
    for asked in
        ["? near (300, 600) mm within 60 mm", "? in (200, 500) to (400, 700) mm", "? on frame"]
    {
        let yard = Yard::new().file(
            "a.yard",
            format!(
                "use parts\nfigure f {{ board plywood-9 700 mm by 1500 mm\n  \
                 frame 38 mm by 38 mm {{ (280, 0) to (280, 1400) mm }}\n  limb arm {{\n    \
                 pivot (300, 900) mm  tip (700, 900) mm\n    drive four-bar {{ motor wiper at {asked}  \
                 crank 30 mm  rod ?  lever 90 mm at ? }}\n    \
                 gesture wave {{ sweep 0 deg to 39 deg  cycle 3 s }}\n  }}\n}}\n"
            ),
        );
        let before = yard.run("check a.yard --format json").exits(0).json();
        let place = |json: &serde_json::Value| {
            json["figures"][0]["limbs"][0]["motor_at_mm"].as_array().map(Vec::len)
        };
        assert_eq!(place(&before), Some(2), "{asked}");
        yard.run("solve a.yard --write").exits(0);
        let text = yard.read("a.yard");
        assert!(!text.contains('?') && !text.contains(asked), "{text}");
        let after = yard.run("check a.yard --format json").exits(0).json();
        assert_eq!(place(&after), None);
        let sweep = |json: &serde_json::Value| {
            json["figures"][0]["limbs"][0]["mechanism"]["as_drilled"]["sweep_deg"].as_f64().unwrap()
        };
        assert!((sweep(&before) - sweep(&after)).abs() < 1e-9, "{asked}");
    }
}

#[test]
fn sizes_cut_from_a_bar_keep_its_name() {
    let text = "\
use parts
figure bear {
  board plywood-9 600 mm by 1200 mm
  limb arm { pivot (300, 800) mm  tip (500, 1000) mm
    drive four-bar { motor wiper at (300, 500) mm  crank ? of perforated-15  rod ? 200 to 400 mm of perforated-25
      lever ? 60 to 130 mm of perforated-15 at ? }
    gesture wave { sweep 10 deg to 55 deg  cycle 2 s } }
}
";
    let yard = Yard::new().file("a.yard", text);
    let sizes = found(&yard, "a.yard");
    let before = yard.run("check a.yard --format json").exits(0).json();
    yard.run("solve a.yard --write").exits(0).says("4 `?` replaced");
    let [crank, rod, lever, clamp] = sizes.each_ref().map(String::as_str);
    let want = text
        .replace("crank ?", &format!("crank {crank}"))
        .replace("rod ? 200", &format!("rod {rod} of 200"))
        .replace("lever ? 60", &format!("lever {lever} of 60"))
        .replace("at ? }", &format!("at {clamp} }}"));
    assert_eq!(yard.read("a.yard"), want);
    let after = yard.run("check a.yard --format json").exits(0).json();
    let swing = |json: &serde_json::Value| {
        let m = &json["figures"][0]["limbs"][0]["mechanism"];
        assert!(m["lengths_mm"]["coupler"].is_number());
        let drilled = if m["as_drilled"].is_null() { m } else { &m["as_drilled"] };
        (drilled["lengths_mm"].clone(), drilled["low_deg"].clone(), drilled["high_deg"].clone())
    };
    assert_eq!(swing(&before), swing(&after));
    yard.run("holes a.yard bear.arm").exits(0).says(crank).says(lever);
}

/// The ends are told in the turn of the circle that the maker wrote.
#[test]
fn ends_are_told_in_the_makers_turn() {
    let text = "\
use parts
figure fox {
  board plywood-9 600 mm by 1200 mm
  limb arm {
    pivot (300, 800) mm  tip (150, 650) mm
    drive four-bar { motor wiper at (300, 500) mm  crank ?  rod ?  lever ? at ? }
    gesture bow { sweep 200 deg to 240 deg  cycle 3 s }
  }
}
";
    let yard = Yard::new().file("a.yard", text);
    let json = yard.run("solve a.yard --format json").exits(0).json();
    for answer in json["limbs"][0]["answers"].as_array().unwrap() {
        let (low, high) =
            (answer["low_deg"].as_f64().unwrap(), answer["high_deg"].as_f64().unwrap());
        assert!((low - 200.0).abs() < 3.0 && (high - 240.0).abs() < 3.0, "{low} {high}");
    }
}

/// The anchor of a mirrored limb is no size that was forgotten.
#[test]
fn a_mirrored_anchor_is_told_as_an_image() {
    let text = "\
use parts
figure windmill {
  board plywood-9 900 mm by 900 mm
  limb gate {
    pivot (200, 500) mm  tip (700, 500) mm
    drive ram { motor ram-100  anchor ? near (200, 230) mm  lever 100 mm at ? }
    rest 0 deg
    gesture open { turn to 60 deg over 12 s }
  }
  limb other mirrors gate about x 450 mm
}
";
    let yard = Yard::new().file("a.yard", text);
    yard.run("solve a.yard").says("(mirrored)");
}

/// What stands in the table beside each answer of a limb, with its sizes: "of its torque"
/// and how much slower the slower way is.
fn rows(drive: &str, rest: &str) -> Vec<serde_json::Value> {
    let yard = Yard::new().file(
        "a.yard",
        format!("use parts\nmotor winch {{ kind spool }}\nfigure f {{ board plywood-9 700 mm by 1000 mm\n{rest}\n  drive {drive} }} }}\n"),
    );
    let json = yard.run("solve a.yard --format json").exits(0).json();
    let limbs = json["limbs"].as_array().unwrap();
    limbs.last().unwrap()["answers"].as_array().unwrap().clone()
}

fn number(row: &serde_json::Value, name: &str) -> f64 {
    row[name].as_f64().unwrap_or_else(|| panic!("no {name} in {row}"))
}

/// The most that `limb` grows for the angle it is a function of, looked at every thousandth
/// of the way.
fn steepest(from: f64, to: f64, limb: impl Fn(f64) -> f64) -> f64 {
    let step = (to - from) / 1000.0;
    let rate = |n: u32| {
        let at = from + step * f64::from(n);
        let (a, b) = (limb(at - 1e-6), limb(at + 1e-6));
        let by = (b - a + 540.0_f64.to_radians()).rem_euclid(360.0_f64.to_radians());
        (by - 180.0_f64.to_radians()) / 2e-6
    };
    (0..=1000).map(|n| rate(n).abs()).fold(0.0, f64::max)
}

/// Where a point lies so far from one place and from another, to the left of the line
/// between them or to its right.
fn meet(a: (f64, f64), ra: f64, b: (f64, f64), rb: f64, left: bool) -> (f64, f64) {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let square = dx * dx + dy * dy;
    let along = 0.5 + (ra * ra - rb * rb) / (2.0 * square);
    let up = (ra * ra / square - along * along).max(0.0).sqrt() * if left { 1.0 } else { -1.0 };
    (a.0 + along * dx - up * dy, a.1 + along * dy + up * dx)
}

/// Arm, rod and lever of a servo as circles that are cut, the servo sent from one end of the
/// gesture to the other.
#[test]
fn a_servos_answers_tell_what_its_arm_bears() {
    let answers = rows(
        "servo { motor servo-standard at (300, 620) mm  crank ? 12 to 24 mm by 2 mm  rod ?  lever ? 20 to 32 mm by 4 mm at ? }",
        "  limb head { pivot (300, 700) mm  tip (300, 850) mm  gesture look { sweep 60 deg to 110 deg  cycle 3 s }",
    );
    assert!(answers.len() > 3);
    for row in &answers {
        let [arm, rod, lever, clamp] =
            ["crank_mm", "coupler_mm", "rocker_mm", "rocker_at_deg"].map(|name| number(row, name));
        let pin = |limb: f64| {
            let at = limb + clamp.to_radians();
            (300.0 + lever * at.cos(), 700.0 + lever * at.sin())
        };
        // The limb's angle decides the arm's on either side; the table's is one of the two.
        let rate = |left: bool| {
            let arm_at = |limb: f64| {
                let p = meet((300.0, 620.0), arm, pin(limb), rod, left);
                (p.1 - 620.0).atan2(p.0 - 300.0)
            };
            let step = 1e-6;
            let ends = (60.0_f64.to_radians(), 110.0_f64.to_radians());
            (0..=1000)
                .map(|n| {
                    let at = ends.0 + (ends.1 - ends.0) * f64::from(n) / 1000.0;
                    (2.0 * step / (arm_at(at + step) - arm_at(at - step))).abs()
                })
                .fold(0.0, f64::max)
        };
        let told = number(row, "max_speed_ratio");
        let off = [rate(true), rate(false)].map(|r| (r - told).abs());
        assert!(off[0].min(off[1]) < 1e-4, "{row}: {off:?}");
        assert!(row.get("time_ratio").is_none(), "a servo goes as fast as it is told: {row}");
    }
}

/// A cord over one eye to a lever: from a crank, the length of the last run by the law of
/// cosines; from a spool, a radian of it is its radius of cord.
#[test]
fn a_cords_answers_tell_what_its_crank_or_spool_bears() {
    let lid = "  limb lid { pivot (300, 600) mm  tip (480, 600) mm  weighed 0.2 kg
  gesture nod { sweep 10 deg to 40 deg within 2 deg  cycle 3 s }";
    let (pivot, eye) = ((300.0, 600.0), (220.0, 400.0));
    let distance = |a: (f64, f64), b: (f64, f64)| (a.0 - b.0).hypot(a.1 - b.1);
    let ground = distance(pivot, eye);
    let turned = |lever: f64, run: f64| {
        ((ground * ground + lever * lever - run * run) / (2.0 * ground * lever)).acos()
    };
    let answers = rows(
        "cord { motor wiper at (300, 300) mm  crank ? 12 to 26 mm by 1 mm  lever ? 60 to 100 mm by 10 mm at ?  guides (220, 400) mm }",
        lid,
    );
    assert!(answers.len() > 1);
    for row in &answers {
        let [crank, lever, cord] =
            ["crank_mm", "rocker_mm", "cord_mm"].map(|name| number(row, name));
        let limb = |at: f64| {
            let pin = (300.0 + crank * at.cos(), 300.0 + crank * at.sin());
            turned(lever, cord - distance(pin, eye))
        };
        let most = steepest(0.0, std::f64::consts::TAU, limb);
        assert!((most - number(row, "max_speed_ratio")).abs() < 1e-4, "{row}: {most}");
        // Its dead centres are where shaft, pin and eye lie in line: half a turn apart.
        assert!((number(row, "time_ratio") - 1.0).abs() < 1e-6, "{row}");
    }
    let answers = rows(
        "cord { motor winch at (300, 300) mm  spool 40 mm  lever ? 60 to 100 mm by 10 mm at ?  guides (220, 400) mm }",
        lid,
    );
    for row in &answers {
        let lever = number(row, "rocker_mm");
        let (low, high) = (number(row, "low_deg"), number(row, "high_deg"));
        // Where the cord is squarest the limb moves least: the most is at an end.
        let push = number(row, "min_transmission_deg").to_radians();
        let most = 20.0 / (lever * push.sin());
        assert!(high - low > 27.0);
        assert!((most - number(row, "max_speed_ratio")).abs() < 1e-4, "{row}: {most}");
    }
}

/// Every answer of a forearm, put into the text, moves as its row says; the motor bears what
/// both loops make of its torque.
#[test]
fn a_forearms_answers_tell_what_its_motor_bears() {
    let fox = "  motor elbow wiper at (420, 500) mm
  limb upper-arm { pivot (300, 700) mm  tip (120, 700) mm
    drive four-bar { motor elbow  crank 30 mm  rod 217 mm  lever 90 mm at 17.5 deg  assembly open }
    gesture bow { sweep 195 deg to 235 deg  cycle 3 s } }
  limb forearm on upper-arm { pivot (120, 700) mm  tip (120, 500) mm
    gesture bend { sweep 230 deg to 310 deg within 4 deg  cycle 3 s }";
    let with = |sizes: &str| {
        rows(&format!("four-bar from upper-arm {{ {sizes}  anchor (260, 640) mm }}"), fox)
    };
    let answers = with("rod ?  lever ? 40 to 100 mm by 5 mm at ?");
    assert!(answers.len() > 1, "{answers:?}");
    // The first loop, then the second, by circles.
    for row in &answers {
        let [rod, lever, clamp] =
            ["coupler_mm", "rocker_mm", "rocker_at_deg"].map(|name| number(row, name));
        let ends = (number(row, "low_deg"), number(row, "high_deg"));
        let upper = |crank: f64| {
            let pin = (420.0 + 30.0 * crank.cos(), 500.0 + 30.0 * crank.sin());
            let p = meet(pin, 217.0, (300.0, 700.0), 90.0, true);
            (p.1 - 700.0).atan2(p.0 - 300.0) - 17.5_f64.to_radians()
        };
        let forearm = |crank: f64, left: bool| {
            let above = upper(crank);
            let pivot = (300.0 + 180.0 * above.cos(), 700.0 + 180.0 * above.sin());
            let p = meet((260.0, 640.0), rod, pivot, lever, left);
            (p.1 - pivot.1).atan2(p.0 - pivot.0) - clamp.to_radians()
        };
        let told = number(row, "max_speed_ratio");
        let fits = [true, false].into_iter().any(|left| {
            let most = steepest(0.0, std::f64::consts::TAU, |at| forearm(at, left));
            (most / told - 1.0).abs() < 1e-4
        });
        assert!(fits, "{row}");
        assert!(ends.0 < ends.1 && number(row, "time_ratio") >= 1.0, "{row}");
    }
}

/// The place found for a motor is written once; that of a figure which is the same on a
/// smaller scale comes from it.
#[test]
fn the_place_of_a_scaled_copy_follows_from_the_originals() {
    let yard = Yard::new().file(
        "a.yard",
        "use parts
yard green { size 10 m by 8 m }
set owl at (3 m, 4 m) facing south
set owlet like owl at (7 m, 4 m) facing south scale 60 %
figure owl {
  board plywood-9 420 mm by 820 mm
  limb head {
    pivot (210, 740) mm  tip (210, 890) mm
    drive servo { motor servo-standard at ? in (150, 600) mm to (270, 700) mm  crank ? 12 to 24 mm by 2 mm  rod ?  lever 20 mm at ? }
    gesture look { sweep 60 deg to 120 deg  cycle 2 s }
  }
}
",
    );
    let ran = yard.run("solve a.yard --write");
    let said = ran.exits(0).stdout();
    assert!(said.contains("(126 mm, 390 mm)  (scaled)"), "{said}");
    assert!(said.contains("4 `?` replaced") && !said.contains("need different answers"), "{said}");
    assert!(yard.read("a.yard").contains("servo-standard at (210 mm, 650 mm)  crank 20 mm"));
}
