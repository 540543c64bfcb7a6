//! What dimensions do to a motion: against whole mechanisms analysed again, against
//! closed forms, and against builds tried one by one.

use yardwright::fit::Fitted;
use yardwright::fit::builds::{Care, LENGTH_ERROR, Recipe, care};
use yardwright::mechanism::{Course, Travel};

use super::{BEAR, compile};

fn cared(compiled: &yardwright::check::Compiled, limb: usize) -> Care {
    let fitted = &compiled.figures[0];
    care(&fitted.figure.limbs[limb], &fitted.limbs[limb]).unwrap()
}

/// The ends of a mechanism made from a recipe, by its own limits along a whole turn.
fn ends(recipe: &Recipe, values: &[f64]) -> (f64, f64) {
    let (mechanism, way) = recipe.made(values).unwrap();
    match Course::of(&*mechanism, &way).unwrap().travel {
        Travel::Swing(l) => (l.low.0, l.high.0),
        Travel::Stroke(l) => (l.low.0, l.high.0),
    }
}

fn recipe(compiled: &yardwright::check::Compiled, limb: usize) -> Recipe {
    match compiled.figures[0].limbs[limb].mechanism.as_ref().unwrap() {
        Fitted::FourBar(bar) => Recipe::of_bar(&bar.drilled),
        Fitted::Drive(drive) => drive.recipe.clone().unwrap(),
        Fitted::Servo(servo) => servo.cord.as_ref().unwrap().recipe.clone().unwrap(),
        other @ Fitted::Spin(_) => panic!("{other:?}"),
    }
}

const SLIDER: &str = "figure f { board plywood-9 900 mm by 1200 mm\n motor m wiper at (300, 620) mm\n
  limb bow { slide from (440, 600) mm to (640, 620) mm\n drive slider-crank { motor m  crank 40 mm  rod 200 mm }\n
  gesture saw { stroke 19 mm to 100 mm within 4 mm  cycle 3 s } } }";
const YOKE: &str = "figure f { board plywood-9 900 mm by 1200 mm\n motor m wiper at (300, 620) mm\n
  limb bow { slide from (200, 600) mm to (440, 620) mm\n drive scotch-yoke { motor m  crank 40 mm  tilt 20 deg }\n
  gesture saw { stroke 58 mm to 142 mm within 4 mm  cycle 3 s } } }";
const SLOTTED: &str = "figure f { board plywood-9 900 mm by 1200 mm\n
  limb arm { pivot (300, 700) mm  tip (600, 700) mm\n
  drive slotted-arm { motor wiper at (310, 600) mm  crank 40 mm  slot offset 5 mm at 270 deg }\n
  gesture throw { sweep -21 deg to 26 deg within 4 deg  cycle 3 s } } }";

const FOREARM: &str =
    "figure f { board plywood-9 700 mm by 1000 mm\n motor m wiper at (420, 500) mm\n
  limb upper-arm { pivot (300, 700) mm  tip (120, 700) mm\n
  drive four-bar { motor m  crank 30 mm  rod 217 mm  lever 90 mm at 17.5 deg  assembly open } }\n
  limb forearm on upper-arm { pivot (120, 700) mm  tip (120, 500) mm\n
  drive four-bar from upper-arm { anchor (250, 650) mm  rod 110 mm  lever 40 mm at 180 deg }\n
  gesture fiddle { sweep 240.5 deg to 318.8 deg within 5 deg } } }";
const CORD: &str = "figure f { board plywood-9 600 mm by 900 mm\n motor m wiper at (300, 300) mm\n
  limb wing { pivot (300, 600) mm  tip (560, 600) mm\n
  drive cord { motor m  crank 30 mm  lever 90 mm at 170 deg  guides (220, 400) mm  length 340 mm  assembly open }\n
  gesture wave { sweep -18 deg to 22 deg within 5 deg  cycle 4 s } } }";

const FROG: &str = "figure f { board plywood-9 900 mm by 1200 mm\n motor m wiper at (305, 300) mm\n
  limb frog { slide from (300, 400) mm to (300, 500) mm\n
  drive cam { motor m  base 35 mm  roller 8 mm  offset 4 mm  rise 120 deg dwell 40 deg  fall 120 deg dwell 80 deg }\n
  gesture hop { stroke 0 mm to 20 mm within 2 mm  cycle 3 s } } }";
const NOD: &str = "figure f { board plywood-9 900 mm by 1200 mm\n
  limb arm { pivot (400, 300) mm  tip (700, 300) mm\n
  drive cam { motor wiper at (300, 300) mm  base 40 mm  roller 8 mm  lever 80 mm at ?  law poly-345
    rise 120 deg dwell 40 deg  fall 120 deg dwell 80 deg }\n
  gesture wave { sweep 0 deg to 20 deg within 1.2 deg  cycle 3 s } } }";
const FACE: &str = "figure f { board plywood-9 900 mm by 1200 mm\n
  limb arm { pivot (400, 300) mm  tip (700, 300) mm\n
  drive cam { motor wiper at (300, 300) mm  base 40 mm  follower flat }\n
  gesture wave { sweep 0 deg to 20 deg within 1.2 deg  cycle 3 s } } }";
const HORN: &str =
    "figure f { board plywood-9 600 mm by 1200 mm\n motor lids servo-standard at (200, 740) mm\n
  limb lid { pivot (200, 860) mm  tip (320, 860) mm\n
  drive cord { motor lids  horn ?  lever 45 mm at ?  guides (170, 800) mm  return spring 0.4 N.m }\n
  gesture blink { sweep 10 deg to 60 deg within 2 deg  cycle 1 s } } }";
const SPOOL: &str = "motor winch { kind spool }\n
  figure hen { board plywood-9 600 mm by 900 mm\n limb wing { pivot (300, 600) mm  tip (560, 600) mm\n
  drive cord { motor winch at (300, 300) mm  spool 40 mm  lever 90 mm at ?  guides (220, 400) mm }\n
  gesture wave { sweep 0 deg to 60 deg within 2 deg  cycle 4 s } } }";
/// A hand on a forearm on an upper arm: 22 dimensions.
const HAND: &str = "figure f { board plywood-9 700 mm by 1000 mm\n motor m wiper at (420, 500) mm\n
  limb upper-arm { pivot (300, 700) mm  tip (120, 700) mm\n
  drive four-bar { motor m  crank 30 mm  rod 217 mm  lever 90 mm at 17.5 deg  assembly open } }\n
  limb forearm on upper-arm { pivot (120, 700) mm  tip (120, 500) mm\n
  drive four-bar from upper-arm { anchor (250, 650) mm  rod 110 mm  lever 40 mm at 180 deg } }\n
  limb hand { pivot (160, 300) mm  tip (300, 300) mm\n
  drive four-bar from forearm { anchor (120, 560) mm  rod ?  lever ? 40 to 300 mm at ? }\n
  gesture knock { sweep -15 deg to 55 deg within 5 deg } } }";

/// Slopes are those of the loop at its ends; here the whole motion is computed again
/// with one dimension a tenth of a millimetre longer and shorter.
#[test]
fn slopes_are_those_of_whole_mechanisms() {
    let rows = [(FOREARM, 1), (HAND, 2), (BEAR, 1)];
    let single = [BEAR, SLIDER, YOKE, SLOTTED, CORD, FROG, NOD, FACE, HORN, SPOOL];
    for (text, limb) in single.map(|text| (text, 0)).into_iter().chain(rows) {
        let compiled = compile(text);
        let (care, recipe) = (cared(&compiled, limb), recipe(&compiled, limb));
        assert_eq!(care.slopes.len(), recipe.dimensions.len());
        for (index, slope) in care.slopes.iter().enumerate() {
            let at = |by: f64| {
                let mut values = recipe.drawn();
                values[index] += by;
                ends(&recipe, &values)
            };
            let (more, less) = (at(0.1), at(-0.1));
            let (low, high) = ((more.0 - less.0) / 0.2, (more.1 - less.1) / 0.2);
            let near = |a: f64, b: f64| (a - b).abs() < 2e-4 * (1.0 + a.abs());
            assert!(near(slope.low, low) && near(slope.high, high), "{slope:?} {low} {high}");
        }
    }
}

/// In line the stroke of a slider-crank is twice the crank, whatever the rod (M. e.g.
/// R. L. Norton, Design of Machinery, ch. 4); a yoke's is twice the crank over the
/// cosine of its slot's lean (its own geometry).
#[test]
fn strokes_change_as_the_closed_forms_say() {
    let in_line = SLIDER.replace("(300, 620)", "(300, 600)").replace("(640, 620)", "(640, 600)");
    let of = |text: &str, name: &str| {
        let care = cared(&compile(text), 0);
        care.slopes.iter().find(|s| s.dimension.name == name).unwrap().range()
    };
    assert!((of(&in_line, "crank") - 2.0).abs() < 1e-9);
    assert!(of(&in_line, "rod").abs() < 1e-9);
    let lean = 20.0f64.to_radians();
    assert!((of(YOKE, "crank") - 2.0 / libm::cos(lean)).abs() < 1e-9);
}

/// The bear's arm: an independent numeric calculation gave 1.55 deg of swing per mm of
/// crank, -0.58 per mm of lever, nothing per mm of rod, which moves both ends by
/// 0.77, and 99.5 of 100 builds (lengths of the linkage off by up to 1 mm) within 2 deg.
#[test]
fn the_bears_arm_needs_care_with_its_crank() {
    let care = cared(&compile(BEAR), 0);
    let of = |name: &str| care.slopes.iter().find(|s| s.dimension.name == name).unwrap();
    assert!((of("crank").range() - 1.55).abs() < 0.01, "{:?}", of("crank"));
    assert!((of("lever").range() + 0.58).abs() < 0.01, "{:?}", of("lever"));
    assert!(of("rod").range().abs() < 0.02, "{:?}", of("rod"));
    assert!((of("rod").low.abs() - 0.77).abs() < 0.01, "{:?}", of("rod"));
    assert_eq!(care.slopes[care.careful.unwrap()].dimension.name, "crank");
    assert!(care.set_by_hand);
    assert!((care.share.unwrap() - 0.995).abs() < 0.01, "{:?}", care.share);
    let worst: f64 = care
        .slopes
        .iter()
        .filter(|s| !s.dimension.angle)
        .map(|s| s.range().abs() * LENGTH_ERROR.0)
        .sum();
    assert!((care.worst.range - worst).abs() < 1e-12);
    assert!(care.rss.range < care.worst.range);
}

/// The share is of first order; against builds that are analysed whole, each with its
/// own errors from another generator, it is right within a hundredth and a half.
#[test]
fn shares_are_those_of_whole_builds() {
    let cases = [
        (BEAR, 1.2, (121.0, 165.0)),
        (SLIDER, 2.5, (19.0, 100.0)),
        (SLOTTED, 1.2, (-21.0, 26.0)),
        (FROG, 2.0, (0.0, 20.0)),
        (NOD, 0.6, (0.0, 20.0)),
        (FACE, 0.6, (0.0, 20.0)),
        (HORN, 2.0, (10.0, 60.0)),
        (SPOOL, 2.0, (0.0, 60.0)),
    ];
    for (text, within, asked) in cases {
        let text = text
            .replace("within 1.2 deg", &format!("within {within} deg"))
            .replace("within 2 deg", &format!("within {within} deg"))
            .replace("within 4 mm", &format!("within {within} mm"))
            .replace("within 4 deg", &format!("within {within} deg"));
        let compiled = compile(&text);
        let (care, recipe) = (cared(&compiled, 0), recipe(&compiled, 0));
        let mut rng = super::super::linkages::reference::Rng(7);
        let (mut good, all) = (0, 6000);
        for _ in 0..all {
            let values: Vec<f64> = recipe
                .dimensions
                .iter()
                .map(|d| {
                    let error = 2.0 * rng.unit() - 1.0;
                    if d.name == "clamp" && care.set_by_hand { d.drawn } else { d.drawn + error }
                })
                .collect();
            let (low, high) = ends(&recipe, &values);
            let swing = (high - low - (asked.1 - asked.0)).abs() <= within;
            let ends = (low - asked.0).abs() <= within && (high - asked.1).abs() <= within;
            good += i32::from(swing && (care.set_by_hand || ends));
        }
        let exact = f64::from(good) / f64::from(all);
        let share = care.share.unwrap();
        assert!((0.05..0.99).contains(&exact), "no test: {exact}");
        assert!((share - exact).abs() < 0.015, "{text}: {share} {exact}");
    }
}

/// Dimensions of a row of limbs are told apart, however many there are.
#[test]
fn dimensions_of_a_row_of_limbs_have_names_of_their_own() {
    let care = cared(&compile(HAND), 2);
    assert!(care.slopes.len() > 16, "{}", care.slopes.len());
    let names: Vec<String> = care.slopes.iter().map(|s| s.dimension.words().into_owned()).collect();
    let mut once = names.clone();
    once.sort();
    once.dedup();
    assert_eq!(once.len(), names.len(), "{names:?}");
    for name in ["crank", "rod", "rod of the limb above", "rod of the limb 2 above"] {
        assert!(names.iter().any(|n| n == name), "{name}: {names:?}");
    }
}

/// Another roller, another arm, another place under the disc that was cut: its curve
/// is taken as 3,600 points, and at every second degree of its turn the arm is let down
/// until the roller touches one.
#[test]
fn a_cam_lifts_another_follower_as_its_cut_does() {
    use yardwright::geometry::BoardPoint;
    use yardwright::mechanism::cam::{
        Cam, Law, Limb, Plan, Programme, Runs, Swinging, SwingingFoot,
    };
    use yardwright::units::{Deg, Mm};
    let recipe = recipe(&compile(NOD), 0);
    let at = |name: &str| recipe.dimensions.iter().position(|d| d.name == name).unwrap();
    let drawn = recipe.drawn();
    let clamp = drawn[at("clamp")];
    let plan = Plan {
        shaft: BoardPoint::mm(300.0, 300.0),
        base: Mm(40.0),
        limb: Limb::Swings(Swinging {
            pivot: BoardPoint::mm(400.0, 300.0),
            clamp: Deg(clamp),
            lift: Deg(20.0),
            foot: SwingingFoot::Roller { radius: Mm(8.0), lever: Mm(80.0) },
        }),
        programme: Programme::rise_fall(Law::Poly345, [120.0, 40.0, 120.0, 80.0].map(Deg)).unwrap(),
        runs: Runs::Ccw,
        start: Deg(0.0),
    };
    let cam = Cam::new(plan).unwrap();
    let curve: Vec<(f64, f64)> = (0..3600)
        .map(|i| {
            let turn = f64::from(i).to_radians() / 10.0;
            let [x, y] = cam.touch(turn).contact;
            let (s, c) = libm::sincos(turn);
            (c * x + s * y, c * y - s * x)
        })
        .collect();
    let changes = [
        ("roller", 1.0),
        ("roller", -3.0),
        ("follower's arm", 2.0),
        ("motor, across", 1.5),
        ("pivot, up", -2.0),
        ("clamp", 3.0),
    ];
    for (name, by) in changes {
        let mut values = drawn.clone();
        values[at(name)] += by;
        let of = |name: &str| values[at(name)];
        let (roller, arm) = (of("roller"), of("follower's arm"));
        let pivot = (of("pivot, across") - of("motor, across"), of("pivot, up") - of("motor, up"));
        // How far the roller is from the curve with the cam turned and the arm so.
        let gap = |turn: f64, deg: f64| {
            let (s, c) = libm::sincos(deg.to_radians());
            let (x, y) = (pivot.0 + arm * c, pivot.1 + arm * s);
            let (s, c) = libm::sincos(turn);
            let (x, y) = (c * x + s * y, c * y - s * x);
            let square = |p: &(f64, f64)| (p.0 - x) * (p.0 - x) + (p.1 - y) * (p.1 - y);
            let nearest = curve.iter().min_by(|p, q| square(p).total_cmp(&square(q))).unwrap();
            // Inside the disc it counts against it.
            let inside = libm::hypot(x, y) < libm::hypot(nearest.0, nearest.1);
            square(nearest).sqrt() * if inside { -1.0 } else { 1.0 } - roller
        };
        let mut seen = (f64::INFINITY, f64::NEG_INFINITY);
        for i in 0..180 {
            let turn = f64::from(2 * i).to_radians();
            // A larger angle of the arm lifts it off.
            let (mut on, mut off) = (clamp - 12.0, clamp + 40.0);
            for _ in 0..26 {
                let middle = (on + off) / 2.0;
                if gap(turn, middle) < 0.0 { on = middle } else { off = middle }
            }
            let limb = on - of("clamp");
            seen = (seen.0.min(limb), seen.1.max(limb));
        }
        let ends = ends(&recipe, &values);
        assert!((ends.0 - seen.0).abs() < 2e-3, "{name} {by}: {ends:?} {seen:?}");
        assert!((ends.1 - seen.1).abs() < 2e-3, "{name} {by}: {ends:?} {seen:?}");
    }
}

/// A forearm that is asked to bend is held to its bend, 45 to 84 deg: of 4,000 builds put
/// together by circles outside the project, each dimension off by up to 1 mm or 1 deg, 0.73
/// bend within 1.95 deg once their middle is set by hand.
#[test]
fn a_share_of_bends_is_that_of_the_bend() {
    let compiled = compile(
        "figure fox { board plywood-9 700 mm by 1000 mm
  motor elbow wiper at (420, 500) mm
  limb upper-arm { pivot (300, 700) mm  tip (120, 700) mm
    drive four-bar { motor elbow  crank 30 mm  rod 217 mm  lever 90 mm at 17.5 deg }
    gesture bow { sweep 195 deg to 235 deg  cycle 2.1 s } }
  limb forearm on upper-arm { pivot (120, 700) mm  tip (120, 500) mm
    drive four-bar from upper-arm { anchor (250, 650) mm  rod 110.5 mm  lever 40 mm at -179 deg }
    gesture curl { bend 45 deg to 84 deg within 1.95 deg  cycle 2.1 s } } }",
    );
    let share = cared(&compiled, 1).share.unwrap();
    assert!((share - 0.73).abs() < 0.06, "{share}");
}
