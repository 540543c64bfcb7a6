//! What keeps a limb on its cam, against plain differences of its positions.
#![allow(clippy::disallowed_methods)] // On purpose another library's cosines.

use yardwright::check::Compiled;
use yardwright::geometry::Dir;

use super::compile;

/// A head on a cam whose weight sits beside its axis; `mass`, `drive` and `cycle` as said.
fn head(mass: &str, drive: &str, cycle: &str) -> Compiled {
    compile(&format!(
        "figure f {{ board plywood-9 600 mm by 900 mm
  motor hop wiper at (300, 300) mm
  limb head {{ pivot (180, 300) mm  tip (420, 300) mm  {mass}
    drive cam {{ motor hop  base 40 mm  roller 8 mm  lever 100 mm at ?  law poly-345
      rise 120 deg dwell 40 deg  fall 120 deg dwell 80 deg  {drive} }}
    gesture nod {{ sweep 10 deg to 18 deg  cycle {cycle} }} }} }}"
    ))
}

/// The weight's moment with the spring's against inertia x acceleration, at its least over a
/// turn; angles and accelerations by differences of the limb's positions.
fn margin(compiled: &Compiled, spring: f64, cycle: f64) -> f64 {
    let (mass, arm, beside, inertia) = (0.4, 0.1, 20.0_f64.to_radians(), 0.006);
    let follows = compiled.figures[0].limbs[0].mechanism.as_ref().unwrap().follows().unwrap();
    let angle = |turn: f64| {
        let at = follows.path.at(turn).unwrap();
        let axis: Dir = follows.mechanism.position(&at).unwrap().limb.axis();
        axis.y().atan2(axis.x())
    };
    let (pace, step) = (std::f64::consts::TAU / cycle, 1e-3);
    let middle = angle(0.3) + angle(3.0);
    let mut least = f64::INFINITY;
    let mut turn = 0.0;
    while turn < std::f64::consts::TAU {
        let [a, b, c] = [turn - step, turn, turn + step].map(angle);
        // The cam lifts the head counter-clockwise: it falls away where it slows upwards.
        let away = -(a - 2.0 * b + c) / (step * step) * pace * pace * inertia;
        let holds = spring + mass * 9.806_65 * arm * (b + beside).cos();
        if away > 1e-6 {
            least = least.min(holds / away);
        }
        turn += 1e-3;
    }
    assert!(middle > 0.0);
    least
}

fn told(compiled: &Compiled) -> Option<f64> {
    let found = compiled.findings.iter().find(|f| f.code.word == "cam-lift-off")?;
    let times = found.message.split(" are ").nth(1)?;
    times.split(' ').next()?.parse().ok()
}

const MASS: &str = "mass 0.4 kg  centre 100 mm at 20 deg  inertia 0.006 kg.m2";

/// Too fast by its weight alone, and with a spring that is too weak: as many times as the
/// differences say.
#[test]
fn a_head_that_nods_too_fast_leaves_its_cam() {
    for (drive, spring, cycle) in
        [("return gravity", 0.0, 0.3), ("return spring 0.2 N.m", 0.2, 0.26), ("", 0.0, 0.25)]
    {
        let compiled = head(MASS, drive, &format!("{cycle} s"));
        let want = margin(&compiled, spring, cycle);
        let got = told(&compiled).unwrap_or_else(|| panic!("{want}: {:?}", compiled.findings));
        assert!((got - want).abs() < 0.006 + 0.01 * want, "{drive}: {got}, want {want}");
    }
    let slow = head(MASS, "return gravity", "4 s");
    assert_eq!(told(&slow), None);
    assert!(slow.loads[0].limbs[0].not_checked.iter().all(|n| !n.what.contains("stays on")));
}

/// What is told as a way out is one: at that speed, and with that spring, nothing is left
/// to say, and with a little less of either it is.
#[test]
fn a_head_stays_on_with_what_is_told() {
    let compiled = head(MASS, "return gravity", "0.25 s");
    let found = compiled.findings.iter().find(|f| f.code.word == "cam-lift-off").unwrap();
    let help = found.help.as_ref().unwrap();
    let spring = help.split('`').nth(1).unwrap();
    assert_eq!(told(&head(MASS, spring, "0.25 s")), None);
    let force: f64 = spring.split(' ').nth(2).unwrap().parse().unwrap();
    let weaker = format!("return spring {:.2} N.m", force - 0.02);
    assert!(told(&head(MASS, &weaker, "0.25 s")).is_some());
    let rpm = help.split("up to ").nth(1).unwrap().split(' ').next().unwrap();
    let cycle = 60.0 / rpm.parse::<f64>().unwrap();
    assert_eq!(told(&head(MASS, "return gravity", &format!("{cycle:.4} s"))), None);
    assert!(told(&head(MASS, "return gravity", &format!("{:.4} s", cycle * 0.98))).is_some());
}

/// A head that hangs the other way lies on no cam: its weight turns it off. A limb whose
/// outline nobody drew is no ground for a warning, a spring of unknown kind neither.
#[test]
fn what_is_not_known_is_a_note() {
    let hung =
        head("mass 0.4 kg  centre 100 mm at 180 deg  inertia 0.006 kg.m2", "return gravity", "4 s");
    let found = hung.findings.iter().find(|f| f.code.word == "cam-lift-off").unwrap();
    assert!(found.message.contains("not even at a standstill"), "{}", found.message);
    for (mass, drive, why) in [
        ("", "return gravity", "outline that is not drawn"),
        (MASS, "return spring", "how strong its spring is"),
        ("weighed 0.4 kg  centre 100 mm at 0 deg", "return gravity", "outline that is not drawn"),
    ] {
        let compiled = head(mass, drive, "0.2 s");
        assert_eq!(told(&compiled), None, "{mass}");
        let notes = &compiled.loads[0].limbs[0].not_checked;
        assert!(notes.iter().any(|n| n.what.contains(why)), "{why}: {notes:?}");
    }
}
