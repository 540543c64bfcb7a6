//! As built: what else explains a measurement beside open sizes and beside what explains it
//! only nearly, at which two lengths a size does, and that what follows is as built too.

use yardwright::check::Compiled;
use yardwright::emit::outputs;
use yardwright::finding::{Finding, Locate, Location, Place};

use yardwright::fit::{AsBuilt, At, Fitted, Measure};
use yardwright::mechanism::Travel;

use super::as_built_limbs::{angle, meet};
use super::compile;

fn figure(limb: &str) -> Compiled {
    compile(&format!("figure f {{ board plywood-9 900 mm by 1200 mm\n {limb} }}"))
}

fn built(compiled: &Compiled) -> &AsBuilt {
    let limb = compiled.figures[0].limbs.last().unwrap();
    limb.as_built.as_ref().unwrap_or_else(|| panic!("{:?}", compiled.findings))
}

fn told(compiled: &Compiled) -> &Finding {
    compiled.findings.iter().find(|f| f.code.word == "built-otherwise").unwrap()
}

/// An arm with rod and clamp left open, found for its gesture and built with a lever that is
/// 4 mm too long. Rod and clamp together can be made to meet any two ends; the lever alone
/// does, so it is the lever. Its ends by circles that meet.
#[test]
fn beside_two_open_sizes_the_fixed_one_that_explains_it_alone_is_named() {
    let limb = |measured: &str| {
        figure(&format!(
            "limb arm {{ pivot (300, 700) mm tip (600, 700) mm drive four-bar {{ motor wiper at (180, 400) mm \
             crank 30 mm rod ? lever 80 mm at ? }} gesture wave {{ sweep 10 deg to 55 deg cycle 3 s }} {measured} }}"
        ))
    };
    let drawn = limb("");
    let Some(Fitted::FourBar(bar)) = &drawn.figures[0].limbs[0].mechanism else { panic!() };
    let (rod, clamp) = (bar.drilled.bars().rod.0, bar.drilled.clamp().0);
    let side = bar.drilled.assembly().sign();
    let (mut low, mut high, mut last) = (f64::MAX, f64::MIN, 30.0);
    for i in 0..8000 {
        let (sin, cos) = libm::sincos(std::f64::consts::TAU * f64::from(i) / 8000.0);
        let pin = (180.0 + 30.0 * cos, 400.0 + 30.0 * sin);
        let at = angle((300.0, 700.0), meet(pin, rod, (300.0, 700.0), 84.0, side)) - clamp;
        last = at + 360.0 * libm::round((last - at) / 360.0);
        (low, high) = (low.min(last), high.max(last));
    }
    let hangs = limb(&format!("measured {low:.2} deg to {high:.2} deg"));
    let found = built(&hangs);
    assert!(found.changes.len() == 1 && found.changes[0].0 == "lever", "{found:?}");
    assert!((found.changes[0].2 - 84.0).abs() < 0.1, "{found:?}");
}

/// A shaft that stands 26 mm beside its guide, not 20 as drawn, read to hundredths: a rod
/// that is too short comes within 0.2 mm, the shaft's place meets every digit and is named
/// first. The ends are those of two right triangles: in line, crank and rod are the longer
/// side.
#[test]
fn a_shaft_out_of_place_stands_before_a_rod_that_fits_only_nearly() {
    let end = |long: f64| libm::sqrt(long * long - 26.0 * 26.0) - 80.0;
    let compiled = figure(&format!(
        "motor m wiper at (300, 520) mm limb arm {{ slide from (380, 500) mm to (680, 500) mm \
         drive slider-crank {{ motor m crank 40 mm rod 200 mm }} measured stroke {:.2} mm to {:.2} mm }}",
        end(160.0),
        end(240.0)
    ));
    let found = built(&compiled);
    let alone = found.alone.as_ref().unwrap_or_else(|| panic!("{found:?}"));
    let true_place = match &*alone.name {
        "motor, up" => 526.0,
        "guide, up" => 494.0,
        other => panic!("{other}"),
    };
    assert!((alone.built - true_place).abs() < 0.1 && alone.off < 0.01, "{alone:?}");
    assert!(found.changes.len() == 1 && found.changes[0].0 == "rod", "{found:?}");
    let help = told(&compiled).help.as_ref().unwrap();
    assert!(help.contains("until then all that follows is computed with rod"), "{help}");
}

/// A cross slot that leans by 20 deg gives the stroke of one that leans the other way: both
/// are named. With the crank square to the guide the limb stands 40 mm times the tangent of
/// that beside its middle, to the one side or the other.
#[test]
fn of_two_sizes_that_explain_it_both_are_named_with_what_tells_them_apart() {
    let stroke = 40.0 / libm::cos(f64::to_radians(20.0));
    let compiled = figure(&format!(
        "motor m wiper at (400, 500) mm limb arm {{ slide from (300, 500) mm to (500, 500) mm \
         drive scotch-yoke {{ motor m crank 40 mm tilt 8 deg }} measured stroke {:.2} mm to {:.2} mm }}",
        100.0 - stroke,
        100.0 + stroke
    ));
    let found = built(&compiled);
    let tilt =
        found.others.iter().find(|o| o.name == "tilt").unwrap_or_else(|| panic!("{found:?}"));
    let also = tilt.also.as_ref().unwrap_or_else(|| panic!("{tilt:?}"));
    assert!((tilt.built - 20.0).abs() < 0.1 && (also.built + 20.0).abs() < 0.1, "{tilt:?}");
    let apart = also.apart.unwrap();
    let At::Crank(crank) = apart.at else { panic!("{apart:?}") };
    assert!((crank.0.abs() - 90.0).abs() < 1e-6 || (crank.0 - 270.0).abs() < 1e-6);
    let beside =
        40.0 * libm::tan(f64::to_radians(tilt.built)) * libm::sin(f64::to_radians(crank.0));
    assert!((apart.stands[0] - 100.0 - beside).abs() < 0.01, "{apart:?}");
    assert!((apart.stands[1] - 100.0 + beside).abs() < 0.01, "{apart:?}");
    assert!(told(&compiled).help.as_ref().unwrap().contains(" deg or -20 deg instead of 8 deg"));
}

/// A slot that runs 11 mm right of its pivot and not 5.9 as drawn swings as far as one 11 mm
/// left of it, and a tape from tip to tip tells no more: both are told, and where to stop the
/// crank. There the limb stands at the pin's direction less the slot's own angle, turned by
/// what the slot lies beside the pivot.
#[test]
fn a_size_told_first_is_told_at_both_its_lengths() {
    let compiled = figure(
        "limb arm { pivot (300, 694.296) mm tip (550, 754.296) mm mount behind \
         drive slotted-arm { motor wiper at (358.563, 500) mm crank 41.689 mm slot 200 mm offset -5.876 mm at -79.924 deg } \
         measured tip-to-tip 105.8 mm }",
    );
    let found = built(&compiled);
    let &[("slot beside the pivot", _, slot, false)] = &found.changes[..] else {
        panic!("{found:?}")
    };
    let also = found.also.as_ref().unwrap();
    assert!((slot + 11.1).abs() < 0.5 && (also.built - 11.1).abs() < 0.5, "{found:?}");
    let apart = also.apart.unwrap();
    let At::Crank(crank) = apart.at else { panic!("{apart:?}") };
    let (sin, cos) = libm::sincos(f64::to_radians(crank.0));
    let pin = (358.563 + 41.689 * cos, 500.0 + 41.689 * sin);
    let pivot = (300.0, 694.296);
    let far = libm::hypot(pin.0 - pivot.0, pin.1 - pivot.1);
    for (stands, offset) in apart.stands.into_iter().zip([slot, also.built]) {
        let at = angle(pivot, pin) - libm::asin(offset / far).to_degrees() + 79.924;
        assert!((at - stands).abs() < 0.01, "{at} {apart:?}");
    }
    let help = told(&compiled).help.as_ref().unwrap();
    assert!(
        help.contains(
            "11.1 mm moves it so too: measure it, or where the limb stands with its crank at "
        ),
        "{help}"
    );
}

/// A yoke whose way lies 5 mm further on: no length of it does that, a motor that stands 5 mm
/// further on does. That is told, and that all is computed as drawn until it is written so.
#[test]
fn where_only_a_place_explains_it_that_is_told_as_the_explanation() {
    let compiled = figure(
        "motor m wiper at (400, 500) mm limb arm { slide from (300, 500) mm to (500, 500) mm \
         drive scotch-yoke { motor m crank 40 mm } measured stroke 65.0 mm to 145.0 mm }",
    );
    let found = built(&compiled);
    let alone = found.alone.as_ref().unwrap_or_else(|| panic!("{found:?}"));
    assert!(found.changes.is_empty() && alone.name == "motor, across", "{found:?}");
    assert!((alone.built - 405.0).abs() < 1e-6 && (found.off - 5.0).abs() < 1e-6);
    let help = told(&compiled).help.as_ref().unwrap();
    assert!(help.contains("until then all that follows is computed as drawn"), "{help}");
    assert!(compiled.findings.iter().all(|f| f.code.word != "measured-unexplained"));
}

/// A cam whose disc lifts 1 mm more than drawn, which its greatest radius shows: all that is
/// told of it is of the disc that turns there.
#[test]
fn a_cam_is_told_as_it_was_cut() {
    let limb = |measured: &str| {
        figure(&format!(
            "motor hop wiper at (300, 300) mm limb frog {{ slide from (300, 400) mm to (300, 500) mm weighed 0.8 kg \
             drive cam {{ motor hop base 35 mm roller 8 mm law poly-345 return gravity }} \
             gesture jump {{ stroke 0 mm to 20 mm within 2 mm cycle 2 s }} {measured} }}"
        ))
    };
    let figure = |c: &Compiled, name: &str| {
        let Some(Fitted::Drive(drive)) = &c.figures[0].limbs[0].mechanism else { panic!() };
        let found = drive.figures.iter().find(|f| f.name == name).unwrap();
        let Measure::Length(length) = found.value else { panic!("{found:?}") };
        length.0
    };
    assert!((figure(&limb(""), "farthest_radius") - 55.0).abs() < 1e-6);
    let hangs = limb("measured stroke 0.00 mm to 21.00 mm");
    assert_eq!(built(&hangs).changes[0].0, "rise of the cut");
    assert!((figure(&hangs, "farthest_radius") - 56.0).abs() < 1e-6);
    assert!((figure(&hangs, "lift") - 21.0).abs() < 1e-6);
}

/// A report of places nobody looks up.
struct Nowhere;

impl Locate for Nowhere {
    fn locate(&self, _: Place) -> Option<Location> {
        None
    }
}

/// Drawn with one size, built with another; and all of the kinds.
const KINDS: &[(&str, &str, &str)] = &[
    (
        "limb arm { pivot (300, 700) mm tip (600, 700) mm drive four-bar { motor wiper at (180, 400) mm \
         crank 30 mm rod 314.5 mm lever SIZE at 139 deg }",
        "80 mm",
        "84 mm",
    ),
    (
        "limb arm { pivot (300, 900) mm tip (600, 900) mm mount behind \
         drive slotted-arm { motor wiper at (300, 800) mm crank SIZE slot at 270 deg }",
        "40 mm",
        "44 mm",
    ),
    (
        "limb arm { slide from (480, 500) mm to (780, 500) mm weighed 0.3 kg outline (460, 490) (500, 490) (500, 530) mm \
         drive slider-crank { motor wiper at (300, 500) mm crank SIZE rod 260 mm }",
        "40 mm",
        "44 mm",
    ),
    (
        "limb arm { slide from (300, 300) mm to (300, 500) mm weighed 0.3 kg outline (290, 290) (310, 290) (310, 320) mm \
         drive scotch-yoke { motor wiper at (300, 400) mm crank SIZE tilt 10 deg }",
        "40 mm",
        "44 mm",
    ),
    (
        "limb arm { pivot (300, 600) mm tip (560, 600) mm weighed 0.3 kg balances 120 mm \
         drive cord { motor wiper at (300, 300) mm crank 30 mm lever SIZE at 170 deg guides (220, 400) mm \
         length 340 mm assembly open return spring 2 N.m }",
        "90 mm",
        "94 mm",
    ),
    (
        "limb arm { pivot (200, 500) mm tip (600, 500) mm weighed 0.3 kg balances 120 mm drive ram { motor ram-100 \
         anchor (205, 231) mm length 205 to 305 mm lever SIZE at 208 deg assembly open }",
        "82 mm",
        "88 mm",
    ),
    (
        "limb arm { slide from (250, 300) mm to (250, 620) mm weighed 0.3 kg outline (240, 290) (260, 290) (260, 320) mm \
         drive ram { motor ram-100 anchor (330, 120) mm length 205 to 305 mm lever SIZE at 0 deg assembly open }",
        "30 mm",
        "34 mm",
    ),
    (
        "motor m wiper at (420, 500) mm limb upper { pivot (300, 700) mm tip (120, 700) mm \
         drive four-bar { motor m crank 30 mm rod 217 mm lever 90 mm at 17.5 deg assembly open } } \
         limb arm { pivot (200, 500) mm tip (200, 300) mm drive four-bar from upper { anchor (200, 700) mm \
         rod 183.276443 mm lever SIZE at 114.739488 deg assembly crossed }",
        "60.52672 mm",
        "64.7 mm",
    ),
];

/// Every number of a value with its path, but those that say that and how it was measured.
fn numbers(value: &serde_json::Value, path: &str, into: &mut Vec<(String, f64)>) {
    match value {
        serde_json::Value::Number(n) => into.push((path.to_owned(), n.as_f64().unwrap())),
        serde_json::Value::Array(all) => {
            all.iter().enumerate().for_each(|(i, v)| numbers(v, &format!("{path}/{i}"), into));
        }
        serde_json::Value::Object(all) => {
            // At which of two mirrored crank angles a torque is largest is a matter of the last
            // bit.
            let told = all.iter().filter(|(k, _)| *k != "as_built" && !k.ends_with("_at_deg"));
            told.for_each(|(k, v)| numbers(v, &format!("{path}/{k}"), into));
        }
        _ => {}
    }
}

fn output(compiled: &Compiled, name: &str) -> String {
    let all = outputs(compiled, &Nowhere).unwrap();
    let found = all.iter().find(|o| o.path.ends_with(name)).unwrap_or_else(|| {
        panic!("{name} of {:?}", all.iter().map(|o| &o.path).collect::<Vec<_>>())
    });
    String::from_utf8_lossy(&found.bytes).into_owned()
}

/// Loads, wind, grips, room and ends in the report, the weather page and the list of parts
/// of a limb that was measured are those of the same limb drawn as it is built.
#[test]
fn whatever_follows_is_told_of_the_limb_that_hangs_there() {
    for (limb, drawn, truly) in KINDS {
        let alike = figure(&format!("{} }}", limb.replace("SIZE", truly)));
        let fitted = alike.figures[0].limbs.last().unwrap().mechanism.as_ref().unwrap();
        let travel = match fitted {
            Fitted::FourBar(bar) => {
                let way = yardwright::mechanism::Way::Shaft(yardwright::mechanism::Shaft::turning(
                    bar.drilled.motor(),
                ));
                yardwright::mechanism::Course::of(&bar.drilled, &way).unwrap().travel
            }
            other => {
                other
                    .as_drive()
                    .unwrap_or_else(|| panic!("{:?}", alike.findings))
                    .exact
                    .course
                    .travel
            }
        };
        let measured = match travel {
            Travel::Swing(l) => format!("measured {:.9} deg to {:.9} deg", l.low.0, l.high.0),
            Travel::Stroke(l) => format!("measured stroke {:.9} mm to {:.9} mm", l.low.0, l.high.0),
        };
        let hangs = figure(&format!("{} {measured} }}", limb.replace("SIZE", drawn)));
        let plain = figure(&format!("{} }}", limb.replace("SIZE", drawn)));
        assert_eq!(built(&hangs).changes.len(), 1, "{limb}: {:?}", built(&hangs));
        let report = |c: &Compiled| {
            let value: serde_json::Value = serde_json::from_str(&output(c, "report.json")).unwrap();
            let mut all = Vec::new();
            numbers(&value["figures"], "", &mut all);
            all
        };
        let (one, two) = (report(&hangs), report(&alike));
        let near = |a: f64, b: f64| (a - b).abs() <= 1e-3 * a.abs().max(b.abs()).max(1.0);
        assert_eq!(one.len(), two.len(), "{limb}");
        for ((path, a), (_, b)) in one.iter().zip(&two) {
            assert!(near(*a, *b), "{limb}: {path} is {a}, and {b} of the same drawn so");
        }
        // And not those of the drawing: the test can fail.
        assert!(report(&plain).iter().zip(&two).any(|(a, b)| !near(a.1, b.1)), "{limb}");
        for page in ["weather.html", "parts.csv"] {
            assert_eq!(output(&hangs, page), output(&alike, page), "{limb}");
        }
    }
}
