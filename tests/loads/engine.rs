//! Torque curves against a general-purpose physics engine: `tests/plain/torque.py` built
//! the same linkages of rigid bodies, stepped them forward and read its motor.

use std::f64::consts::PI;

use serde_json::Value;

use super::{compile, limb, load};
use yardwright::check::Compiled;
use yardwright::loads::standing::Standing;
use yardwright::loads::train::Friction;
use yardwright::loads::works;

fn engine(name: &str) -> Value {
    let text = include_str!("../published/torque_engine.json");
    serde_json::from_str::<Value>(text).unwrap()[name].clone()
}

fn number(value: &Value, key: &str) -> f64 {
    value[key].as_f64().unwrap()
}

/// Largest difference of two curves over the first one's peak.
fn apart(compiled: &Compiled, engine: &Value, without_friction: bool) -> f64 {
    let loads = &compiled.loads[0];
    let masses: Vec<_> = loads.limbs.iter().map(|l| l.mass).collect();
    let works =
        works::of(&compiled.figures[0], &loads.site, 0, &masses, &Standing::default()).unwrap();
    let mut train = works.train();
    if without_friction {
        train.parts.iter_mut().for_each(|p| p.friction = Friction::None);
    }
    let lead = train.parts.iter().position(|p| p.above.is_none()).unwrap();
    let curve = engine["torque_nm"].as_array().unwrap();
    let peak = number(engine, "peak_nm");
    let pace = works.asked[0].pace;
    curve
        .iter()
        .enumerate()
        .map(|(i, want)| {
            let turn = i as f64 / curve.len() as f64;
            let cw = engine["turns"] == "cw";
            let share = if cw { (1.0 - turn) % 1.0 } else { turn };
            let now = pace.at(share, train.parts[lead].mechanism, train.parts[lead].path).unwrap();
            let whole = (now.at - 2.0 * PI * turn) / (2.0 * PI);
            assert!((whole - whole.round()).abs() < 1e-9, "{} {turn}", now.at);
            (train.work(&now).unwrap().total() - want.as_f64().unwrap()).abs() / peak
        })
        .fold(0.0, f64::max)
}

fn agrees(compiled: &Compiled, limb: usize, name: &str) {
    let want = engine(name);
    let got = &load(compiled, limb).motor;
    let off = apart(compiled, &want, false);
    assert!(off < 0.01, "{name}: curves are {off} of the peak apart");
    for (key, got) in [("peak_nm", got.peak), ("rms_nm", got.rms), ("least_nm", got.least)] {
        let want = number(&want, key);
        // The engine's dry friction turns over smoothly: a hair under the step.
        assert!((got / want - 1.0).abs() < 0.005, "{name} {key}: {got}, engine {want}");
    }
}

const BEAR: &str = "figure bear { board plywood-9 620 mm by 1350 mm
    motor drum wiper at (310, 806) mm turns ccw
    limb left { pivot (150, 880) mm tip (-250, 1150) mm bolt M8 friction 0.04 N.m
      mass 0.188 kg centre 207 mm at 3 deg inertia 0.0121 kg.m2
      drive four-bar { motor drum crank 30 mm rod 160 mm lever 80 mm at 127 deg assembly open }
      gesture hit { sweep 121 deg to 165 deg cycle 2.06896551724 s } }
";

#[test]
fn one_arm_of_the_bear() {
    agrees(&compile(&format!("{BEAR} }}")), 0, "bear_arm");
}

#[test]
fn both_arms_on_one_pin() {
    let compiled = compile(&format!("{BEAR} limb right mirrors left about x 310 mm }}"));
    agrees(&compiled, 1, "bear_both");
    let both = load(&compiled, 0);
    let one = compile(&format!("{BEAR} }}"));
    let alone = load(&one, 0).motor.peak;
    assert!((both.own_peak / alone - 1.0).abs() < 1e-6, "{} {alone}", both.own_peak);
    assert!(both.motor.peak < 0.5 * alone, "the arms balance each other");
}

#[test]
fn the_wings_of_the_heron() {
    let compiled = compile(
        "figure heron { board plywood-9 520 mm by 1400 mm
          motor m wiper at (260, 570) mm turns cw
          limb left { pivot (197, 820) mm tip (-253, 820) mm mount behind bolt M8 friction 0.01 N.m
            mass 0.231 kg centre 184 mm inertia 0.0124 kg.m2
            drive four-bar { motor m crank 30 mm rod 250 mm tail-hole 70 mm at 180 deg assembly crossed }
            gesture flap { sweep 155 deg to 205 deg cycle 2.06896551724 s } }
          limb right mirrors left about x 260 mm }",
    );
    agrees(&compiled, 0, "heron");
}

#[test]
fn the_bow_of_the_fox() {
    // The guide leans 20 deg and its line runs through the shaft.
    let (c, s) = (libm::cos(20.0_f64.to_radians()), libm::sin(20.0_f64.to_radians()));
    let at = |way: f64| format!("({:.9}, {:.9})", 300.0 + way * c, 300.0 + way * s);
    let compiled = compile(&format!(
        "figure fox {{ board plywood-9 620 mm by 980 mm
          limb bow {{ slide from {} mm to {} mm weighed 0.25 kg
            drive slider-crank {{ motor wiper at (300, 300) mm turns ccw crank 40 mm rod 200 mm offset 0 mm }}
            gesture draw {{ stroke 10 mm to 90 mm cycle 0.5 s }} }} }}",
        at(150.0),
        at(250.0)
    ));
    let want = engine("bow");
    let off = apart(&compiled, &want, true);
    assert!(off < 0.01, "curves are {off} of the peak apart");
    // With the guide's friction it is more.
    assert!(load(&compiled, 0).motor.peak > number(&want, "peak_nm"));
}

/// 25 x 5 mm of steel, 7850 kg/m3: 0.98125 kg a metre, as the engine's.
const OF: &str = "of flat-25x5";

#[test]
fn an_arm_with_bars_that_weigh_something() {
    let heavy = BEAR
        .replace("crank 30 mm", &format!("crank 30 mm {OF}"))
        .replace("rod 160 mm", &format!("rod 160 mm {OF}"))
        .replace("lever 80 mm", &format!("lever 80 mm {OF}"))
        .replace("2.06896551724 s", "1 s");
    let compiled = compile(&format!("{heavy} }}"));
    agrees(&compiled, 0, "drummer");
    // By hand: 14 mm beyond the outer holes; for trying, the wiper's crank is drilled on to
    // 60 mm and a lever to 120.
    let bars = load(&compiled, 0).bars;
    for (piece, long) in [(bars.crank, 88.0), (bars.rod, 188.0), (bars.lever, 148.0)] {
        let mass = piece.unwrap().mass.0;
        assert!((mass - 0.981_25 * long * 1e-3).abs() < 1e-9, "{mass}");
    }
    // A second limb on the same pin has the same crank.
    let both = compile(&format!("{heavy} limb right mirrors left about x 310 mm }}"));
    let cranks = (0..2).filter(|l| load(&both, *l).bars.crank.is_some()).count();
    assert_eq!(cranks, 1);
}

#[test]
fn a_weighed_bar_of_no_stock_is_as_long_as_its_two_holes() {
    let heavy = BEAR
        .replace("crank 30 mm", "crank 30 mm mass 50 g")
        .replace("rod 160 mm", "rod 160 mm mass 120 g")
        .replace("lever 80 mm", "lever 80 mm mass 300 g");
    let compiled = compile(&format!("{heavy} }}"));
    let load = load(&compiled, 0);
    // By hand: an even bar 14 mm longer than from hole to hole at both ends, its middle half
    // way, m L^2/12 about it: 50 g x 58^2, 120 g x 188^2 and 300 g x 108^2 mm2 over 12.
    let bars = load.bars;
    for (piece, inertia) in
        [(bars.crank, 14.016_667e-6), (bars.rod, 353.44e-6), (bars.lever, 291.6e-6)]
    {
        let piece = piece.unwrap();
        assert!((piece.middle - 0.5).abs() < 1e-12, "{piece:?}");
        assert!((piece.inertia / inertia - 1.0).abs() < 1e-6, "{piece:?}");
    }
    let told = |note: &yardwright::model::Note| note.what.contains("lever 108 mm");
    assert!(limb(&compiled, 0).assumed.iter().any(told), "{:?}", limb(&compiled, 0).assumed);
}

#[test]
fn a_saw_with_a_crank_and_rod_that_weigh_something() {
    let compiled = compile(&format!(
        "figure fox {{ board plywood-9 620 mm by 980 mm
          limb bow {{ slide from (450, 300) mm to (550, 300) mm weighed 0.25 kg
            drive slider-crank {{ motor wiper at (300, 300) mm turns ccw crank 40 mm {OF} rod 200 mm {OF} offset 0 mm }}
            gesture draw {{ stroke 10 mm to 90 mm cycle 0.5 s }} }} }}"
    ));
    let off = apart(&compiled, &engine("saw"), true);
    assert!(off < 0.01, "curves are {off} of the peak apart");
}

#[test]
fn six_bars_of_the_fiddler() {
    let compiled = compile(
        "figure fox { board plywood-9 620 mm by 980 mm
          motor m wiper at (420, 500) mm turns ccw
          limb upper { pivot (300, 700) mm tip (120, 700) mm bolt M8 friction 0.004 N.m
            mass 0.052 kg centre 88 mm inertia 0.00057 kg.m2
            drive four-bar { motor m crank 30 mm rod 217 mm lever 90 mm at 17.5 deg assembly open }
            gesture saw { sweep 195 deg to 235 deg cycle 1 s } }
          limb fore on upper { pivot (120, 700) mm tip (120, 500) mm bolt M8 friction 0.004 N.m
            mass 0.049 kg centre 80 mm inertia 0.00053 kg.m2
            drive four-bar from upper { anchor (250, 650) mm rod 110 mm tail-hole 40 mm at 180 deg assembly crossed }
            gesture saw { sweep 240 deg to 319 deg } } }",
    );
    agrees(&compiled, 0, "fiddler");
}

#[test]
fn the_head_of_the_owl() {
    let want = engine("owl");
    let compiled = compile(
        "figure owl { board plywood-9 600 mm by 1000 mm
          limb head { pivot (300, 760) mm tip (450, 760) mm bolt M8 friction 0 N.m
            mass 0.290 kg centre 10 mm at 40 deg inertia 0.0033 kg.m2
            drive servo { motor servo-standard at (300, 600) mm crank 20 mm rod 160 mm lever 20 mm at 0 deg }
            gesture look { sweep -35 deg to 35 deg cycle 2 s shape natural } } }",
    );
    let got = &load(&compiled, 0).motor;
    for (key, got) in [("peak_nm", got.peak), ("rms_nm", got.rms)] {
        let want = number(&want, key);
        assert!((got / want - 1.0).abs() < 0.01, "{key}: {got}, engine {want}");
    }
}
