//! Cords over eyes, against bisection on the cord's whole length.
#![allow(clippy::disallowed_methods)] // On purpose another library's sines.

use std::f64::consts::{PI, TAU};

use proptest::prelude::*;
use yardwright::geometry::{BoardPoint, Dir, Vector};
use yardwright::mechanism::solve::{
    CordChange, CordChoice, CordReason, CordWish, Drawer, PUSH_FLOOR, Size, solve_cord,
};
use yardwright::mechanism::{
    Assembly, Cord, Extending, Input, Mechanism, Path, Pull, Shaft, Span, Stand,
};
use yardwright::units::{Deg, Mm, Newton, NewtonMetre};

use super::near_deg;
use super::reference::Rng;

struct Drawn {
    shaft: BoardPoint,
    radius: f64,
    guides: Vec<BoardPoint>,
    pivot: BoardPoint,
    lever: f64,
    clamp: f64,
    side: Assembly,
    length: f64,
}

/// A crank that pulls a cord through one to three eyes; every third one is as long
/// as brings it within a hair of lying dead against the lever.
fn drawn(rng: &mut Rng) -> Drawn {
    let mut point = |x: f64, y: f64| BoardPoint::mm(x + 80.0 * rng.unit(), y + 80.0 * rng.unit());
    let (shaft, pivot) = (point(0.0, 0.0), point(250.0, 400.0));
    let mut guides = vec![point(60.0, 250.0), point(120.0, 380.0), point(150.0, 500.0)];
    guides.truncate(1 + (rng.unit() * 3.0) as usize % 3);
    let (radius, lever) = (5.0 + 25.0 * rng.unit(), 35.0 + 80.0 * rng.unit());
    let eye = guides[guides.len() - 1];
    let d = eye.distance(pivot).0;
    let between: f64 = guides.windows(2).map(|p| p[0].distance(p[1]).0).sum();
    let start = shaft.distance(guides[0]).0;
    let (near, far) = ((d - lever).abs(), d + lever);
    let hair = 10f64.powf(-5.0 * rng.unit()) * if rng.unit() < 0.5 { 1.0 } else { -1.0 };
    let middle = match (rng.unit() * 6.0) as i32 {
        0 => near + radius + hair,
        1 => far - radius - hair,
        _ => near + (far - near) * (0.2 + 0.6 * rng.unit()),
    };
    let side = if rng.unit() < 0.5 { Assembly::Open } else { Assembly::Crossed };
    let clamp = 360.0 * rng.unit() - 180.0;
    Drawn { shaft, radius, guides, pivot, lever, clamp, side, length: between + start + middle }
}

impl Drawn {
    fn cord(&self) -> Cord {
        let limb = (self.pivot, Mm(self.lever), Deg(self.clamp));
        Cord::new(Pull::Pin(Mm(self.radius)), self.guides.clone(), limb, Mm(self.length), self.side)
            .unwrap()
    }

    /// The whole way from crank pin to lever pin.
    fn way(&self, turn: f64, gamma: f64) -> f64 {
        let mut at =
            (self.shaft.x + self.radius * turn.cos(), self.shaft.y + self.radius * turn.sin());
        let mut sum = 0.0;
        for g in &self.guides {
            sum += (g.x - at.0).hypot(g.y - at.1);
            at = (g.x, g.y);
        }
        let lever = (at.1 - self.pivot.y).atan2(at.0 - self.pivot.x) - self.side.sign() * gamma;
        let far =
            (self.pivot.x + self.lever * lever.cos(), self.pivot.y + self.lever * lever.sin());
        sum + (far.0 - at.0).hypot(far.1 - at.1)
    }

    /// The angle from the eye to the lever, by bisection; `None` where the cord is
    /// too long or too short.
    fn gamma(&self, turn: f64) -> Option<f64> {
        let (mut near, mut far) = (0.0, PI);
        if self.way(turn, near) > self.length || self.way(turn, far) < self.length {
            return None;
        }
        for _ in 0..70 {
            let mid = 0.5 * (near + far);
            if self.way(turn, mid) < self.length { near = mid } else { far = mid }
        }
        Some(0.5 * (near + far))
    }

    fn limb(&self, gamma: f64) -> f64 {
        let eye = self.guides[self.guides.len() - 1];
        let toward = (eye.y - self.pivot.y).atan2(eye.x - self.pivot.x);
        (toward - self.side.sign() * gamma).to_degrees() - self.clamp
    }
}

#[test]
fn cords_agree_with_bisection() {
    let mut rng = Rng(8_888);
    let (mut whole, mut dead, mut open) = (0, 0, 0);
    for round in 0..2400 {
        let d = drawn(&mut rng);
        let cord = d.cord();
        let tag = format!("{round}: {cord:?} {:?}", d.shaft);
        let shaft = Shaft::turning(d.shaft);
        // Drawn in most with the crank away from the first eye.
        let first = d.guides[0];
        let away = (d.shaft.y - first.y).atan2(d.shaft.x - first.x);
        let ends = (d.gamma(away), d.gamma(away + PI));
        let all = cord.analyse(d.shaft, (0.0, TAU));
        match (ends, all) {
            ((Some(p), Some(q)), Some(m)) => {
                whole += 1;
                let (a, b) = (d.limb(p), d.limb(q));
                assert!(near_deg(m.low.0, a.min(b)) < 1e-5, "{tag} {m:?} {a} {b}");
                assert!((m.sweep.0 - (a - b).abs()).abs() < 1e-5, "{tag} {m:?}");
                assert!((m.pull.0 - 2.0 * d.radius).abs() < 1e-9, "{tag}");
                assert_eq!(m.dead, (false, false), "{tag}");
            }
            ((None, None), None) => open += 1,
            (_, Some(m)) => {
                dead += 1;
                assert!(m.dead.0 || m.dead.1, "{tag} {m:?}");
                assert_eq!((m.dead.0, m.dead.1), (ends.0.is_none(), ends.1.is_none()), "{tag}");
            }
            other => panic!("{tag} {other:?}"),
        }
        let turn = TAU * rng.unit();
        let at = shaft.at(turn).unwrap();
        match (d.gamma(turn), cord.position(&at)) {
            (Some(g), Ok(s)) => {
                assert!(near_deg(s.limb.axis().deg().0, d.limb(g)) < 1e-5, "{tag} {turn}");
                if s.push.abs() > 0.05 {
                    let h = 1e-4;
                    let at = |t: f64| cord.position(&shaft.at(t).unwrap()).map(|s| s.limb.axis());
                    let (Ok(l), Ok(m), Ok(r)) = (at(turn - h), at(turn), at(turn + h)) else {
                        continue;
                    };
                    let (l, r) = (l.from(m).angle().0, r.from(m).angle().0);
                    let j = cord.motion(&shaft.motion(turn).unwrap()).unwrap();
                    let (first, second) = j.limb.turn_rates();
                    assert!(
                        (first - (r - l) / (2.0 * h)).abs() < 1e-4 * (1.0 + first.abs()),
                        "{tag}"
                    );
                    let second_difference = (r + l) / (h * h);
                    assert!(
                        (second - second_difference).abs() < 1e-3 * (1.0 + second.abs()),
                        "{tag}"
                    );
                }
            }
            (None, Err(_)) => {}
            // At the very edge rounding decides.
            (got, other) => {
                let edge = got.is_some_and(|g| g.min(PI - g) < 1e-5);
                let short = other.is_ok_and(|s| s.push.abs() < 1e-5);
                assert!(edge || short, "{tag} {turn}");
            }
        }
    }
    assert!(whole > 1000 && dead > 100, "{whole} {dead} {open}");
}

/// The pull by the work it does, force times cord against torque times angle, with
/// nothing of the lever's geometry.
#[test]
fn tension_is_the_work_of_the_cord() {
    let mut rng = Rng(4_711);
    let mut slack = 0;
    for _ in 0..150 {
        let d = drawn(&mut rng);
        let cord = d.cord();
        let shaft = Shaft { at: d.shaft, span: Span::TURN };
        let Some(m) = cord.analyse(d.shaft, (0.0, TAU)) else { continue };
        if m.dead != (false, false) || m.least_push.0 < 5.0 {
            continue;
        }
        // Weight of a limb with its centre on the axis, and a spring.
        let spring = 0.05 * rng.unit();
        let sign = -d.side.sign();
        let back = move |axis: Dir, _: f64, _: f64| NewtonMetre(-0.06 * axis.x() + sign * spring);
        let t = cord.tension(&shaft, &back).unwrap();
        let at = |turn: f64| {
            let g = d.gamma(turn).unwrap();
            let torque = back(Dir::degrees(Deg(d.limb(g))), 0.0, 0.0).0;
            let h = 1e-6;
            let cord_per_gamma = (d.way(turn, g + h) - d.way(turn, g - h)) / (2.0 * h) * 1e-3;
            // The limb turns by -side for each gamma.
            torque * -d.side.sign() / cord_per_gamma
        };
        let scan: Vec<f64> = (0..2000).map(|i| at(TAU * f64::from(i) / 2000.0)).collect();
        let least = scan.iter().copied().fold(f64::INFINITY, f64::min);
        let most = scan.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        assert!((t.least.0 - least).abs() < 1e-3 * (1.0 + least.abs()), "{t:?} {least}");
        assert!((t.most.0 - most).abs() < 1e-3 * (1.0 + most.abs()), "{t:?} {most}");
        assert!(t.least.0 <= least + 1e-6 && t.most.0 >= most - 1e-6);
        assert_eq!(t.taut(Newton(0.0)), t.least.0 >= 0.0);
        if least < -1e-3 && most > 1e-3 {
            slack += 1;
            assert!(!t.turns.is_empty());
            for turn in &t.turns {
                assert!(at(*turn).abs() < 1e-4 * (1.0 + most), "{t:?}");
            }
        }
    }
    assert!(slack > 4, "{slack}");
}

/// A spool and a ram draw in what they wind; two half turns round eyes drag by
/// e^(mu 2 pi). F. P. Beer, E. R. Johnston et al., Vector Mechanics for Engineers:
/// Statics, sample problem on a hawser two turns round a bollard: 150 N holds
/// 7500 N at a friction of 0.311 (from memory).
#[test]
fn spools_wind_and_eyes_drag() {
    let (pivot, eye) = (BoardPoint::mm(0.0, 0.0), BoardPoint::mm(200.0, 0.0));
    let from = BoardPoint::mm(300.0, 50.0);
    let pull = Pull::Wound { from, per: 12.0, zero: 0.0 };
    let start = from.distance(eye).0;
    let limb = (pivot, Mm(80.0), Deg(0.0));
    let run = 210.0;
    let cord = Cord::new(pull, vec![eye], limb, Mm(start + run), Assembly::Crossed).unwrap();
    let at = |turn: f64| Input { coordinate: turn, ..Shaft::turning(from).at(0.0).unwrap() };
    for turn in [0.0, 0.5, 2.0, 5.0] {
        let s = cord.position(&at(turn)).unwrap();
        let tip = Vector::mm(80.0 * s.limb.cos, 80.0 * s.limb.sin);
        assert!(((pivot + tip).distance(eye).0 - (run - 12.0 * turn)).abs() < 1e-9, "{turn}");
    }
    let path = Extending { span: Span::part(0.0, 5.0) };
    assert!(cord.limits(&path).unwrap().swing().unwrap().range().0 > 20.0);
    assert!(cord.position(&at(50.0)).is_err());
    // Out, round two posts by half a turn each, and back.
    let posts = |x: f64| [BoardPoint::mm(x, 0.0), BoardPoint::mm(x, 1e-6)];
    let [a, b] = posts(100.0);
    let [c, d] = posts(50.0);
    let lever_pin = 120.0;
    let winds = Pull::Wound { from: BoardPoint::mm(60.0, 0.0), per: 1.0, zero: 0.0 };
    let length = 40.0 + 50.0 + (lever_pin - 50.0);
    let round = Cord::new(
        winds,
        vec![a, b, c, d],
        (BoardPoint::mm(0.0, 0.0), Mm(lever_pin), Deg(0.0)),
        Mm(length + 0.5),
        Assembly::Open,
    )
    .unwrap();
    let drag = round.drag(&at(0.0), 0.311).unwrap();
    let bends = drag.ln() / 0.311;
    assert!((bends - TAU).abs() < 0.2, "{bends}");
    // The hawser: 4 pi at 0.311.
    assert!((150.0 * (0.311 * 2.0 * TAU).exp() - 7500.0).abs() < 50.0);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_nan_leaves_a_cord(seed in any::<u64>(), wild in 0..7usize, value in prop::num::f64::ANY) {
        let mut rng = Rng(seed);
        let mut d = drawn(&mut rng);
        match wild {
            0 => d.radius = value,
            1 => d.lever = value,
            2 => d.length = value,
            3 => d.guides[0] = BoardPoint::mm(value, 0.0),
            4 => d.pivot = d.guides[d.guides.len() - 1],
            5 => d.shaft = d.guides[0],
            _ => {}
        }
        let limb = (d.pivot, Mm(d.lever), Deg(d.clamp));
        let made = Cord::new(Pull::Pin(Mm(d.radius)), d.guides.clone(), limb, Mm(d.length), d.side);
        let Ok(cord) = made else { return Ok(()) };
        if let Some(m) = cord.analyse(d.shaft, (0.0, TAU)) {
            prop_assert!(m.low.0.is_finite() && m.sweep.0.is_finite() && m.least_arm.0.is_finite());
        }
        let shaft = Shaft::turning(d.shaft);
        for turn in [0.0, 1.0, 4.0] {
            if let Ok(s) = cord.position(&shaft.at(turn).unwrap()) {
                prop_assert!(s.limb.cos.is_finite() && s.push.is_finite());
            }
            if let Ok(s) = cord.motion(&shaft.motion(turn).unwrap()) {
                prop_assert!(s.limb.sin.v.is_finite() && s.limb.sin.dd.is_finite(), "{cord:?}");
            }
        }
    }
}

/// Cords found for a swing: the answer's own motion is the asked one, with rows of
/// cranks and levers, an open clamp and a spool; refusals offer what works.
#[test]
fn open_cords_are_found() {
    let guides = [BoardPoint::mm(60.0, 250.0), BoardPoint::mm(120.0, 380.0)];
    let shaft = BoardPoint::mm(20.0, 20.0);
    let row = |lo, hi, step| Size::Row { lo, hi, step };
    let wish = CordWish {
        drawer: Drawer::Crank { shaft, radius: row(20.0, 60.0, 5.0) },
        guides: &guides,
        across: None,
        pivot: BoardPoint::mm(260.0, 420.0),
        lever: row(60.0, 120.0, 10.0),
        clamp: Size::Free,
        sweep: (Deg(10.0), Deg(50.0)),
        within: None,
        assembly: None,
    };
    let check = |wish: &CordWish<'_>, c: &CordChoice, coordinates: (f64, f64)| {
        let m = c.cord.analyse(shaft, coordinates).unwrap();
        let slack = wish.tolerance().0 + 1e-6;
        assert!((m.low.0 - wish.sweep.0.0).abs() < slack, "{c:?} {m:?}");
        assert!((m.high.0 - wish.sweep.1.0).abs() < slack, "{c:?} {m:?}");
        assert!((m.sweep.0 - c.swing.0).abs() < 1e-6 && (m.low.0 - c.low.0).abs() < 1e-6);
        assert!((m.least_push.0 - c.push.0).abs() < 1e-6 && m.dead == (false, false));
        assert!(c.push >= PUSH_FLOOR && (m.pull.0 - c.pull.0).abs() < 1e-6);
    };
    let found = solve_cord(&wish).unwrap();
    assert!(found.len() > 1);
    for c in &found {
        assert!((c.radius.unwrap().0 % 5.0).abs() < 1e-9 && (c.cord.lever().0 % 10.0).abs() < 1e-9);
        check(&wish, c, (0.0, TAU));
    }
    // A spool may draw in anything: exact ends.
    let from = BoardPoint::mm(20.0, 20.0);
    let spool = CordWish { drawer: Drawer::Spool { from, per: 10.0, draws: None }, ..wish };
    let found = solve_cord(&spool).unwrap();
    let c = &found[0];
    assert!((c.swing.0 - 40.0).abs() < 1e-9);
    check(&spool, c, (0.0, c.pull.0 / 10.0));
    // No better push anywhere: 70 degrees is the bound of a swing of 40.
    assert!(c.push.0 <= 70.0 + 1e-9 && c.push.0 > 65.0, "{c:?}");
    // Too small a crank, a clamp in line, no eye.
    let small = CordWish {
        drawer: Drawer::Crank { shaft, radius: Size::Given(3.0) },
        lever: Size::Given(90.0),
        ..wish
    };
    let no = solve_cord(&small).unwrap_err();
    assert!(matches!(no.reason, CordReason::Pull { least, .. } if least.0 > 6.0), "{no:?}");
    let (_, c) = no.nearest.first().unwrap();
    check(&small, c, (0.0, TAU));
    let toward = (guides[1] - wish.pivot).dir().unwrap().deg().0;
    let dead = CordWish { clamp: Size::Given(toward - 30.0), ..spool };
    let no = solve_cord(&dead).unwrap_err();
    assert_eq!(no.reason, CordReason::LiesDead);
    assert!(matches!(no.nearest[0].0, CordChange::Clamp(_)), "{no:?}");
    let none = CordWish { guides: &[], ..wish };
    assert!(matches!(solve_cord(&none).unwrap_err().reason, CordReason::Nonsense(_)));
}

/// Which cranks hold a limb: the closed form against a scan of the cord's whole length
/// over the turn, with halving.
#[test]
fn cranks_that_hold_a_limb_are_those_a_scan_finds() {
    const LOOKS: i32 = 2000;
    let mut rng = Rng(4_711);
    let mut held = 0;
    for round in 0..300 {
        let d = drawn(&mut rng);
        let (cord, shaft) = (d.cord(), Shaft::turning(d.shaft));
        let Some(gamma) = d.gamma(TAU * rng.unit()) else { continue };
        let off = |turn: f64| d.way(turn, gamma) - d.length;
        let at = |i: i32| TAU * f64::from(i) / f64::from(LOOKS);
        let mut scanned = Vec::new();
        for i in 0..LOOKS {
            let (mut a, mut b) = (at(i), at(i + 1));
            if (off(a) < 0.0) != (off(b) < 0.0) {
                for _ in 0..50 {
                    let mid = 0.5 * (a + b);
                    if (off(mid) < 0.0) == (off(a) < 0.0) { a = mid } else { b = mid }
                }
                scanned.push(0.5 * (a + b));
            }
        }
        // Where the cord is drawn in or let out most the two places run into one.
        if scanned.len() != 2 || (scanned[1] - scanned[0] - PI).abs() > PI - 0.1 {
            continue;
        }
        held += 1;
        let limb = Stand::Turned(Dir::degrees(Deg(d.limb(gamma))));
        let found = cord.inverse(limb, &shaft).unwrap();
        assert_eq!(found.len(), 2, "{round}: {cord:?} {scanned:?}");
        for (f, s) in found.iter().zip(&scanned) {
            assert!((f - s).abs() < 1e-7, "{round}: {found:?} {scanned:?}");
        }
        // The other way round from the eye the cord pulls the limb the other way.
        let mirrored = Stand::Turned(Dir::degrees(Deg(d.limb(-gamma))));
        assert!(cord.inverse(mirrored, &shaft).unwrap().is_empty(), "{round}");
    }
    assert!(held > 200, "{held}");
}
