//! As built: causes that are said in numbers and stand in no place, what nobody would build of
//! a drawing, how many causes are told, and that the bench gets what it would get if the limb
//! were drawn as it was built.

use std::path::Path;

use serde_json::Value;
use yardwright::check::{Compiled, Compiler};
use yardwright::emit::{Output, outputs};
use yardwright::finding::Finding;
use yardwright::fit::builds::care;
use yardwright::fit::{AsBuilt, OtherBuilt};
use yardwright::source::MemoryDisk;

use super::compile;

fn figure(limb: &str) -> Compiled {
    compile(&format!("figure f {{ board plywood-9 2 m by 2 m\n {limb} }}"))
}

fn built(compiled: &Compiled) -> &AsBuilt {
    let limb = compiled.figures[0].limbs.last().unwrap();
    limb.as_built.as_ref().unwrap_or_else(|| panic!("{:?}", compiled.findings))
}

fn told(compiled: &Compiled) -> &Finding {
    compiled.findings.iter().find(|f| f.code.word == "built-otherwise").unwrap()
}

const CRANK: f64 = 50.0;
const ROD: f64 = 160.0;
const FROM: (f64, f64) = (400.0, 400.0);
const MOTOR: (f64, f64) = (430.0, 560.0);

/// A limb on a guide 30 deg from level, and what is written of it.
fn slanted(said: &str, measured: &str) -> String {
    let (sin, cos) = libm::sincos(f64::to_radians(30.0));
    format!(
        "limb l {{ slide from (400, 400) mm to ({:.6}, {:.6}) mm drive slider-crank {{ \
         motor wiper at (430, 560) mm crank {CRANK} mm rod {ROD} mm {said} side ahead }} {measured} }}",
        FROM.0 + 600.0 * cos,
        FROM.1 + 600.0 * sin
    )
}

/// The ends of its stroke. Crank and rod lie in one line there (the dead centres of every
/// textbook on the slider-crank): `sqrt((rod +- crank)^2 - offset^2)` from the shaft's foot.
fn stroke(offset: f64, tilt: f64) -> (f64, f64) {
    let (sin, cos) = libm::sincos(f64::to_radians(30.0 + tilt));
    let foot = (MOTOR.0 - FROM.0) * cos + (MOTOR.1 - FROM.1) * sin;
    let from = |reach: f64| foot + (reach * reach - offset * offset).sqrt();
    (from(ROD - CRANK), from(ROD + CRANK))
}

/// An offset or a tilt that is written is tried as a cause, and what is found is computed
/// with; before, crank and rod were told to be off by so much that the ends came right.
#[test]
fn an_offset_and_a_tilt_of_a_slider_crank_explain_what_was_measured() {
    for (offset, tilt) in [(-52.5, 8.0), (-41.0, 8.0), (-47.5, 13.0), (-47.5, 2.5)] {
        let (low, high) = stroke(offset, tilt);
        let measured = format!("measured stroke {low:.2} mm to {high:.2} mm");
        let compiled = figure(&slanted("offset -47.5 mm tilt 8 deg", &measured));
        let built = built(&compiled);
        let (name, truth) = if tilt == 8.0 { ("offset", offset) } else { ("tilt", tilt) };
        let &[(told, drawn, now, angle)] = &built.changes[..] else { panic!("{built:?}") };
        assert_eq!((told, angle), (name, name == "tilt"), "{built:?}");
        assert!((now - truth).abs() < 0.05 && (drawn - truth).abs() > 4.0, "{built:?}");
        assert!(built.off < 0.01 && built.alone.is_none(), "{built:?}");
        // It hangs so: its guide leans as found, and its pin runs where it was found.
        let Some(drive) = compiled.figures[0].limbs[0].mechanism.as_ref().unwrap().as_drive()
        else {
            panic!()
        };
        let yardwright::mechanism::Travel::Stroke(way) = drive.exact.course.travel else {
            panic!()
        };
        assert!((way.low.0 - low).abs() < 0.02 && (way.high.0 - high).abs() < 0.02, "{way:?}");
    }
}

/// Where offset and tilt are written, the builds are those of the same limb drawn in its place:
/// the shaft's place counts once.
#[test]
fn an_offset_that_is_said_counts_once_in_the_builds() {
    // As far left of the guide as the shaft is drawn.
    let (sin, cos) = libm::sincos(f64::to_radians(30.0));
    let left = cos * (MOTOR.1 - FROM.1) - sin * (MOTOR.0 - FROM.0);
    let motion = "gesture g { stroke 220 mm to 300 mm within 40 mm cycle 3 s }";
    let of = |said: &str| {
        let text = slanted(said, motion).replace("rod 160", "rod 260");
        let compiled = figure(&text);
        let figure = &compiled.figures[0];
        care(&figure.figure.limbs[0], &figure.limbs[0])
            .unwrap_or_else(|| panic!("{:?}", compiled.findings))
    };
    let (drawn, said) = (of(""), of(&format!("offset {left:.9} mm")));
    let names = |c: &yardwright::fit::builds::Care| {
        c.slopes.iter().map(|s| s.dimension.name).collect::<Vec<_>>()
    };
    assert_eq!(names(&drawn), names(&said));
    assert_eq!(drawn.share, said.share);
    assert!((drawn.worst.range - said.worst.range).abs() < 1e-6);
}

fn yoke(motor: &str, sizes: &str, low: f64, high: f64) -> Compiled {
    figure(&format!(
        "limb arm {{ slide from (300, 300) mm to (300, 500) mm drive scotch-yoke {{ motor wiper at {motor} mm \
         {sizes} }} measured stroke {low:.2} mm to {high:.2} mm }}"
    ))
}

/// A motor 5 mm too high is no slot that leans by 40 deg; a slot that was cut the other way
/// round, or straight across, is one.
#[test]
fn a_slot_is_not_said_to_lean_as_nobody_would_cut_it() {
    let compiled = yoke("(306, 400)", "crank 27 mm", 78.0, 132.0);
    let built = built(&compiled);
    let all = built.others.iter().chain(&built.alone);
    let tilts = all.clone().filter(|o| o.name == "tilt" || o.with.is_some_and(|w| w.0 == "tilt"));
    assert_eq!(tilts.count(), 0, "{built:?}");
    assert!(built.changes.iter().all(|c| c.0 != "tilt"), "{built:?}");
    let named = |o: &OtherBuilt| o.name == "motor, up" && (o.built - 405.0).abs() < 0.1;
    assert!(all.into_iter().any(named), "{built:?}");
    // The middle of the stroke lies where the slot crosses the guide, 30 mm from the shaft; the
    // stroke is twice the crank over the tilt's cosine.
    for tilt in [-25.0, 0.0] {
        let radians = f64::to_radians(tilt);
        let (middle, half) = (100.0 + 30.0 * libm::tan(radians), 40.0 / libm::cos(radians));
        let compiled = yoke("(270, 400)", "crank 40 mm tilt 25 deg", middle - half, middle + half);
        let built = super::as_built_made::built(&compiled);
        let &[(name, drawn, now, _)] = &built.changes[..] else { panic!("{built:?}") };
        assert_eq!((name, drawn), ("tilt", 25.0));
        assert!((now - tilt).abs() < 0.1, "{built:?}");
    }
}

/// A four-bar whose limb is measured a quarter turn away: no clamp sits so, and measuring again
/// is told.
#[test]
fn a_clamp_is_not_said_to_sit_a_quarter_turn_away() {
    let arm = |low: f64, high: f64| {
        figure(&format!(
            "limb arm {{ pivot (300, 700) mm tip (600, 700) mm drive four-bar {{ motor wiper at (180, 400) mm \
             crank 30 mm rod 314.5 mm lever 80 mm at 139 deg }} measured {low:.2} deg to {high:.2} deg }}"
        ))
    };
    // A lever 3 mm too short swings it from 9.54 to 55.40 deg.
    let near = arm(29.54, 75.40);
    assert!(built(&near).changes.iter().any(|c| c.0 == "clamp"), "{:?}", built(&near));
    let far = arm(99.54, 145.40);
    let code = |c: &Compiled, word: &str| c.findings.iter().any(|f| f.code.word == word);
    assert!(
        !code(&far, "built-otherwise") && code(&far, "measured-unexplained"),
        "{:?}",
        far.findings
    );
}

/// A tape alone is met by nearly every size of a ram: four are told, and how many more there
/// are; the report has them all.
#[test]
fn of_many_causes_a_few_are_told_and_how_many_more_there_are() {
    let compiled = figure(
        "limb arm { pivot (200, 500) mm tip (600, 500) mm drive ram { motor ram-100 \
         anchor (205, 231) mm length 205 to 305 mm lever 82 mm at 208 deg assembly open } \
         measured tip-to-tip 500 mm }",
    );
    let others = &built(&compiled).others;
    let help = told(&compiled).help.as_ref().unwrap();
    assert!(others.len() > 5, "{others:?}");
    let (listed, more) =
        help.split_once("could as well be ").unwrap().1.split_once(", or one of ").unwrap();
    assert_eq!(listed.split(" or ").filter(|s| s.contains(" instead of ")).count(), 4, "{help}");
    assert!(more.starts_with(&format!("{} more", others.len() - 4)), "{help}");
    // The least change stands first: all meet it, and are off by so much of an ordinary error.
    let by = |o: &OtherBuilt| (o.built - o.drawn).abs();
    let meets: Vec<f64> = others.iter().filter(|o| o.off < 0.1).map(by).collect();
    assert!(meets.len() > 3 && meets.is_sorted(), "{others:?}");
}

/// Drawn with one size and measured with another, and drawn with the other.
const BENCH: &[(&str, [&str; 3])] = &[
    (
        "limb arm { pivot (200, 500) mm tip (700, 500) mm weighed 0.3 kg balances 100 mm \
         drive cylinder { motor cylinder-16 anchor (200, 230.7) mm length 205 to 305 mm \
         lever SIZE at -48.8 deg assembly crossed air tank at 400 kPa throttle up 0.4 s down 0.6 s } \
         gesture go { pulse up for 2 s }",
        ["100 mm", "96 mm", "lever"],
    ),
    (
        "limb arm { slide from (250, 290) mm to (250, 420) mm weighed 0.3 kg drive ram { motor ram-100 \
         anchor (220, 100) mm length 205 to 305 mm lever SIZE } \
         gesture go { stroke 9 mm to 113 mm within 8 mm cycle 60 s }",
        ["6 mm", "2 mm", "pin along the limb"],
    ),
];

/// What the bench and the boards on site get.
fn files(text: &str) -> (Compiled, Vec<Output>) {
    let text = format!(
        "use parts\nfigure f {{ board plywood-9 900 mm by 1200 mm\n {text} }}\n\
         song jig {{ meter 4/4 tempo 100 bpm from 0.480 s section verse bar 1 for 16 bars }}\n\
         show evening with jig {{ bar 1 f.arm go for 4 bars }}\n"
    );
    let mut compiler = Compiler::new(MemoryDisk::new().with("/y/a.yard", text));
    let compiled = compiler.compile(Path::new("/y/a.yard")).unwrap();
    let files = outputs(&compiled, compiler.sources()).unwrap();
    (compiled, files)
}

/// Equal but for what is found, that it is built so, and what the search leaves in the last
/// figures of its ends.
fn alike(a: &Value, b: &Value, at: &str) {
    match (a, b) {
        (Value::Object(a), Value::Object(b)) => {
            let keys = a.keys().chain(b.keys());
            for key in keys.filter(|k| !matches!(k.as_str(), "built" | "findings")) {
                let path = format!("{at}/{key}");
                alike(
                    a.get(key).unwrap_or(&Value::Null),
                    b.get(key).unwrap_or(&Value::Null),
                    &path,
                );
            }
        }
        (Value::Array(a), Value::Array(b)) => {
            assert_eq!(a.len(), b.len(), "{at}");
            a.iter().zip(b).for_each(|(a, b)| alike(a, b, at));
        }
        (Value::Number(x), Value::Number(y)) => {
            let (x, y) = (x.as_f64().unwrap(), y.as_f64().unwrap());
            assert!((x - y).abs() < 1e-5, "{at}: {a} is not {b}");
        }
        _ => assert_eq!(a, b, "{at}"),
    }
}

/// Drill sheets, schedules and list of parts of a limb as built are, byte for byte, those of the
/// limb drawn so, and its preview moves the same.
#[test]
fn the_bench_gets_what_it_would_get_if_the_limb_were_drawn_as_built() {
    for (limb, [drawn, truly, name]) in BENCH {
        let (drawn_so, want) = files(&format!("{} }}", limb.replace("SIZE", truly)));
        let mechanism = drawn_so.figures[0].limbs[0].mechanism.as_ref().unwrap();
        let measured = match mechanism.as_drive().unwrap().exact.course.travel {
            yardwright::mechanism::Travel::Swing(l) => {
                format!("measured {:.6} deg to {:.6} deg", l.low.0, l.high.0)
            }
            yardwright::mechanism::Travel::Stroke(l) => {
                format!("measured stroke {:.6} mm to {:.6} mm", l.low.0, l.high.0)
            }
        };
        let (hangs, got) = files(&format!("{} {measured} }}", limb.replace("SIZE", drawn)));
        let changes = &built(&hangs).changes;
        assert!(changes.len() == 1 && changes[0].0 == *name, "{changes:?}");
        let plain = files(&format!("{} }}", limb.replace("SIZE", drawn))).1;
        let same = |path: &str| {
            path.starts_with("shop/") || path.starts_with("schedule/") || path == "parts.csv"
        };
        let mut moved = 0;
        assert_eq!(
            want.iter().map(|f| &f.path).collect::<Vec<_>>(),
            got.iter().map(|f| &f.path).collect::<Vec<_>>()
        );
        for ((want, got), plain) in want.iter().zip(&got).zip(&plain) {
            if same(&want.path) {
                assert!(want.bytes == got.bytes, "{}", want.path);
                moved += usize::from(want.bytes != plain.bytes);
            } else if want.path == "preview.html" {
                let data = |f: &Output| -> Value {
                    let page = String::from_utf8_lossy(&f.bytes);
                    let data = page.split_once("id=\"data\">").unwrap().1;
                    serde_json::from_str(data.split_once("</script>").unwrap().0).unwrap()
                };
                alike(&data(want), &data(got), "preview");
                let table = |f: &Output| data(f)["drawings"][0]["limbs"][0]["table"].clone();
                assert!(table(want) != table(plain), "{name}");
            }
        }
        // As drawn they would be others: the drill sheet at least.
        assert!(moved > 0, "{name}");
    }
}
