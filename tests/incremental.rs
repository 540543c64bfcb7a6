//! What is kept between compiles never shows: after every edit the report of a
//! compiler that remembers equals that of one that starts anew, byte for byte.

use std::path::Path;
use std::sync::Arc;

use yardwright::check::{Compiler, Step, Work};
use yardwright::emit::{calendar, plan, power, report::Report, run_sheet, schedule, shop, weather};

use super::support::disk::Shared;

/// Everything a compile finds out, as one text: what is drawn from it on paper and in the
/// preview holds nothing more, and takes long.
fn told(compiler: &mut Compiler) -> String {
    let compiled = compiler.compile(Path::new("/y/orchard.yard")).unwrap();
    let mut all = Report::new(&compiled, compiler.sources()).to_json().unwrap();
    let rows = [
        schedule::outputs(&compiled).unwrap(),
        plan::outputs(&compiled),
        power::outputs(&compiled),
        weather::outputs(&compiled),
        calendar::outputs(&compiled),
        run_sheet::outputs(&compiled),
    ];
    for output in rows.into_iter().flatten() {
        all.push_str(&output.path);
        all.push_str(&String::from_utf8_lossy(&output.bytes));
    }
    all
}

#[test]
fn every_edit_gives_what_a_clean_compile_gives() {
    let shows = Path::new(env!("CARGO_MANIFEST_DIR")).join("shows");
    let disk = Shared::default();
    let names = ["orchard.yard", "figures/bear.yard", "figures/owl.yard", "figures/heron.yard"];
    let mut texts = Vec::new();
    for entry in std::fs::read_dir(shows.join("figures")).unwrap() {
        let path = entry.unwrap().path();
        let name = format!("figures/{}", path.file_name().unwrap().to_str().unwrap());
        disk.put(&format!("/y/{name}"), std::fs::read(path).unwrap());
    }
    for name in names {
        let text = std::fs::read_to_string(shows.join(name)).unwrap();
        disk.put(&format!("/y/{name}"), text.as_str());
        texts.push(text);
    }
    for song in ["lantern-jig.wav", "moon-voice.wav"] {
        disk.put(&format!("/y/{song}"), std::fs::read(shows.join(song)).unwrap());
    }

    let mut kept = Compiler::new(disk.clone());
    assert_eq!(told(&mut kept), told(&mut Compiler::new(disk.clone())));
    // One number, word or brace of one file after the other, and back again.
    let edits = [
        (1, "within 2 deg", "within 3 deg"),
        (0, "116 bpm from", "112 bpm from"),
        (1, "lever ? 70", "lever ? 80"),
        (2, "lever 20 mm", "lever 25 mm"),
        (0, "scale 60 %", "scale 70 %"),
        (3, "rod 250 mm", "rod 251 mm"),
        (0, "set owl ", "set owel "),
        (1, "motor drum-motor {", "motor dram-motor {"),
        (2, "}", ""),
        (1, "cycle 2 bars", "cycle 4 bars"),
        (1, "accent at 165 deg", "accent at 160 deg"),
        (0, "drummers hit for 6 bars", "drummers hit for 5 bars"),
        (0, "cub.left-arm, bear.left-arm", "bear.left-arm, cub.left-arm"),
        (0, "sound late 180 ms", "sound late 90 ms"),
        (
            0,
            "show evening with jig {",
            "laid-up bear from 2027-10-26 \"worn\"\nshow evening with jig {",
        ),
        (0, "sway until bar 49", "sway until bar 40"),
        (0, "use parts", "# use parts"),
        (1, "# The drumming bear", "# A line more\n\n# The drumming bear"),
    ];
    for (at, old, new) in edits {
        let spoilt = texts[at].replacen(old, new, 1);
        assert_ne!(spoilt, texts[at], "`{old}` does not stand in {}", names[at]);
        for text in [&spoilt, &texts[at]] {
            disk.put(&format!("/y/{}", names[at]), text.as_str());
            let (again, anew) = (told(&mut kept), told(&mut Compiler::new(disk.clone())));
            assert!(again == anew, "`{old}` -> `{new}` in {} is not the same", names[at]);
        }
    }
}

/// Sheets kept from the round before are those that would be drawn anew, whatever was
/// edited; and those of a figure that is as it was are not drawn again.
#[test]
fn kept_sheets_are_those_drawn_anew() {
    const TEXT: &str = "use parts
yard small { size 20 m by 10 m }
supply shed at (19 m, 9 m) { voltage 12 V  limit 30 A  cable 2.5 mm2  fuse 15 A }
controller post at (16 m, 8 m) {
  power shed
  out 1 bear.arm pwm one-way
}
figure bear {
  board plywood-9 600 mm by 1200 mm
  power shed
  limb arm {
    pivot (300, 900) mm  tip (650, 900) mm
    drive four-bar { motor wiper at (300, 600) mm  crank 40 mm  rod ?  lever ? 70 to 120 mm by 10 mm at ? }
    gesture wave { sweep 10 deg to 55 deg  cycle 3 s }
  }
}
figure fox {
  board plywood-9 500 mm by 900 mm
  limb tail { pivot (250, 500) mm  tip (450, 500) mm  drive servo { motor servo-standard } }
}
set bear at (5 m, 5 m) facing south
set fox at (9 m, 5 m) facing south
";
    let edits = [
        ("crank 40 mm", "crank 50 mm"),
        ("2.5 mm2", "4 mm2"),
        ("controller post", "controller porch"),
        ("out 1 bear.arm", "out 2 bear.arm"),
        ("set bear at (5 m, 5 m)", "set bear at (2 m, 2 m)"),
        ("set fox at", "set vixen like fox at"),
        ("voltage 12 V", "voltage 13 V"),
        ("figure bear {", "figure bear { title \"Brown\""),
    ];
    let disk = Shared::default();
    disk.put("/y/a.yard", TEXT);
    let (mut compiler, mut kept) = (Compiler::new(disk.clone()), shop::Kept::default());
    let work = Arc::new(Work::default());
    compiler.count_into(Arc::clone(&work));
    let mut round = |text: &str| {
        disk.put("/y/a.yard", text);
        let compiled = compiler.compile(Path::new("/y/a.yard")).unwrap();
        let counted = work.now().unwrap();
        assert_eq!((counted.step, counted.of), (Step::Power, 1), "{text}");
        let again = kept.outputs(&compiled, &work);
        let anew = Compiler::new(disk.clone()).compile(Path::new("/y/a.yard")).unwrap();
        assert!(again == shop::outputs(&anew), "{text}");
        let counted = work.now().unwrap();
        let sheets = if counted.step == Step::Sheets { counted.done } else { 0 };
        assert_eq!(sheets, kept.drawn_anew(), "{text}");
        sheets
    };
    assert_eq!(round(TEXT), 2);
    assert_eq!(round(TEXT), 0);
    for (old, new) in edits {
        let text = TEXT.replacen(old, new, 1);
        assert_ne!(text, TEXT, "{old}");
        round(&text);
        round(TEXT);
    }
    assert_eq!(round(&TEXT.replacen("crank 40 mm", "crank 50 mm", 1)), 1);
}

/// What a message lists of the project follows the project, and lists what fits where a name
/// is wanted.
#[test]
fn names_that_a_message_lists_are_those_there_are() {
    const FOX: &str = "use parts\nfigure fox {\n  board plywood-9 500 mm by 900 mm\n  limb tail {
    pivot (250, 500) mm  tip (450, 500) mm
    drive cord { motor bogus at (250, 100) mm  lever 60 mm at 90 deg }\n  }\n}\n";
    let disk = Shared::default();
    let mut kept = Compiler::new(disk.clone());
    let mut helps = |more: &str| {
        disk.put("/y/orchard.yard", format!("{FOX}{more}"));
        let (again, anew) = (told(&mut kept), told(&mut Compiler::new(disk.clone())));
        assert!(again == anew, "{more}");
        let compiled = kept.compile(Path::new("/y/orchard.yard")).unwrap();
        let unknown = compiled.findings.iter().find(|f| f.code.word == "unknown-name").unwrap();
        unknown.help.clone().unwrap_or_default()
    };
    let first = helps("");
    assert!(first.starts_with("of those declared, a cord takes "), "{first}");
    let before = |a: &str, b: &str| first.find(a).unwrap() < first.find(b).unwrap_or(usize::MAX);
    assert!(before("wiper", "servo-micro") && before("servo-micro", "cylinder"), "{first}");
    assert!(!first.contains("reel"), "{first}");
    let reel = "motor reel { kind spool  voltage 12 V  free 30 rpm 0.5 A  stall 3 N.m 8 A }\n";
    let second = helps(reel);
    assert!(second.contains("reel"), "{second}");
    let crank = FOX.replace("cord", "slider-crank");
    disk.put("/y/orchard.yard", crank);
    let compiled = kept.compile(Path::new("/y/orchard.yard")).unwrap();
    let unknown = compiled.findings.iter().find(|f| f.code.word == "unknown-name").unwrap();
    assert!(!unknown.help.as_ref().unwrap().contains("servo"), "{:?}", unknown.help);
}
