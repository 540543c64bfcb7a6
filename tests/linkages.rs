//! Linkages against independent solvers: the loop equations solved by scanning
//! and bisection, with nothing taken from the program's own kernel.

mod cam_sizes;
mod cams;
mod cords;
mod forearms;
mod rams;
pub mod reference;
mod servo_open;
mod servo_wishes;
mod slide_solving;
mod slides;
mod solving;
mod strut_wishes;

use proptest::prelude::*;
use reference::{Reference, Rng};
use yardwright::geometry::{BoardPoint, Dir};
use yardwright::mechanism::{
    Above, Assembly, Class, Dirs, FourBar, Mechanism, Path, Rod, Role, Shaft, Span, Stand, Sweep,
};
use yardwright::units::{Deg, Mm, Rad};

fn four_bar(g: f64, crank: f64, rod: f64, lever: f64, assembly: Assembly) -> FourBar {
    let motor = BoardPoint::mm(310.0, 610.0);
    let pivot = BoardPoint::mm(310.0 + g, 610.0);
    FourBar::new((motor, pivot), (Mm(crank), Mm(rod), Mm(lever)), Deg(0.0), assembly).unwrap()
}

fn near_deg(a: f64, b: f64) -> f64 {
    let d = (a - b).rem_euclid(360.0);
    d.min(360.0 - d)
}

/// Random lengths; every other one moved to within a small margin of a change
/// point, on either side.
fn lengths(rng: &mut Rng) -> [f64; 4] {
    let mut l = [0.0; 4].map(|_: f64| 10.0 + 190.0 * rng.unit());
    if rng.unit() < 0.5 {
        let margin = libm::pow(10.0, -6.0 * rng.unit()) * if rng.unit() < 0.7 { 1.0 } else { -1.0 };
        let i = (rng.unit() * 4.0) as usize % 4;
        let mut o: Vec<f64> = (0..4).filter(|&j| j != i).map(|j| l[j]).collect();
        o.sort_by(f64::total_cmp);
        let pick = [o[1] + o[2] - o[0], o[2] + o[0] - o[1]][(rng.unit() * 2.0) as usize % 2];
        l[i] = (pick + margin).max(5.0);
    }
    l
}

#[test]
fn analyses_agree_with_an_independent_solver() {
    let mut rng = Rng(20_271_022);
    let mut seen = std::collections::BTreeMap::new();
    for round in 0..150 {
        let [g, a, b, c] = lengths(&mut rng);
        let assembly = if round % 2 == 0 { Assembly::Open } else { Assembly::Crossed };
        let f = four_bar(g, a, b, c, assembly);
        let got = f.analyse();
        *seen.entry(got.class).or_insert(0) += 1;
        let tag = format!("{g} {a} {b} {c} {assembly:?} {:?}", got.class);
        let Some(m) = got.motion else {
            assert_eq!(got.class, Class::NonAssembling, "{tag}");
            continue;
        };
        if got.class == Class::ChangePoint {
            continue;
        }
        let want = Reference { g, a, b, c, side: assembly.sign() }.sweep();
        assert_eq!(got.crank_turns_fully, want.turns, "{tag}");
        if !want.turns {
            // Ends of the reachable stretch, where the reference's bisection ends too.
            assert!(near_deg(m.crank_from.0, want.from) < 1e-5, "{tag}: {m:?} {want:?}");
            assert!(
                (m.crank_to.0 - m.crank_from.0 - (want.to - want.from)).abs() < 1e-5,
                "{tag}: {m:?} {want:?}"
            );
            assert_eq!((m.max_speed_ratio, m.max_acceleration_ratio), (None, None));
            assert_eq!(m.min_transmission, Deg(0.0));
        }
        match (m.low, m.high) {
            (Some(low), Some(high)) => {
                assert!(near_deg(low.0, want.low) < 1e-5, "{tag}: {m:?} {want:?}");
                assert!(
                    (high.0 - low.0 - (want.high - want.low)).abs() < 1e-5,
                    "{tag}: {m:?} {want:?}"
                );
                let at = |d: Deg| f.at(Dir::degrees(d)).unwrap().0.deg().0;
                assert!(near_deg(at(m.crank_at_low.unwrap()), low.0) < 1e-4, "{tag}");
                assert!(near_deg(at(m.crank_at_high.unwrap()), high.0) < 1e-4, "{tag}");
            }
            _ => assert!(want.turns && (want.high - want.low).abs() < 1e-6, "{tag}: {want:?}"),
        }
        if want.turns {
            let close = |x: f64, y: f64| (x - y).abs() <= 1e-5 * y.abs();
            assert!(near_deg(m.min_transmission.0, want.push) < 1e-5, "{tag}: {m:?} {want:?}");
            let (v, w) = (m.max_speed_ratio.unwrap(), m.max_acceleration_ratio.unwrap());
            assert!(close(v, want.speed), "{tag}: {v} {want:?}");
            assert!(close(w, want.second), "{tag}: {w} {want:?}");
            if let Some(ratio) = m.time_ratio {
                let apart = (want.at_high - want.at_low).rem_euclid(360.0);
                let wanted = apart.max(360.0 - apart) / apart.min(360.0 - apart);
                // The reference finds the dead centres only to a root of its eps.
                assert!((ratio - wanted).abs() <= 1e-4 * wanted, "{tag}: {ratio} {wanted}");
            }
        }
    }
    for class in [
        Class::CrankRocker,
        Class::DoubleCrank,
        Class::RockerCrank,
        Class::DoubleRocker,
        Class::TripleRocker,
        Class::NonAssembling,
    ] {
        assert!(seen.get(&class).is_some_and(|n| *n >= 5), "{class:?}: {seen:?}");
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn loops_close_and_go_back(seed in any::<u64>(), turn in 0.0..360.0f64, clamp in -180.0..180.0f64) {
        let mut rng = Rng(seed);
        let [g, a, b, c] = lengths(&mut rng);
        let heading = Dir::degrees(Deg(360.0 * rng.unit()));
        let motor = BoardPoint::mm(100.0, -50.0);
        let pivot = motor + yardwright::geometry::Vector::polar(Mm(g), heading);
        let assembly = if rng.unit() < 0.5 { Assembly::Open } else { Assembly::Crossed };
        let f = FourBar::new((motor, pivot), (Mm(a), Mm(b), Mm(c)), Deg(clamp), assembly).unwrap();
        let crank = Dir::degrees(Deg(turn));
        if let Ok((limb, push)) = f.at(crank) {
            prop_assert!(limb.x().is_finite() && push.abs() <= 1.0 + 1e-12);
            prop_assert!(push * assembly.sign() >= 0.0);
            let (near, far) = f.pins(crank).unwrap();
            prop_assert!((near.distance(far).0 - b).abs() < 1e-9 * (a + b + c + g), "rod {}", near.distance(far).0);
            let side = (pivot - near).cross(far - near);
            prop_assert!(side * assembly.sign() >= -1e-6 * b * c);
            let back = f.cranks_for(limb);
            let hit = back.iter().map(|d| d.dot(crank)).fold(-1.0, f64::max);
            // Where limb and crank move alike the crank comes back as exactly.
            let speed = f.rates(crank).map_or(0.0, |r| r.0.abs());
            if push.abs() > 1e-3 && speed > 1e-3 {
                prop_assert!(hit > 1.0 - 1e-14, "{hit} {back:?}");
            }
            for d in back {
                let again = f.at(d).unwrap().0;
                prop_assert!(again.dot(limb) > 1.0 - 1e-9);
            }
        } else {
            prop_assert!(!f.analyse().crank_turns_fully || f.analyse().class == Class::ChangePoint);
        }
    }

    #[test]
    fn no_nan_and_no_branch_jump(seed in any::<u64>()) {
        let mut rng = Rng(seed);
        let [g, a, b, c] = lengths(&mut rng);
        // Also bars of equal length, bars nearly equal, and a folded kite.
        let pick = |rng: &mut Rng, v: f64| if rng.unit() < 0.2 { g } else { v };
        let (a, b, c) = (pick(&mut rng, a), pick(&mut rng, b), pick(&mut rng, c));
        for assembly in [Assembly::Open, Assembly::Crossed] {
            let f = four_bar(g, a, b, c, assembly);
            let all = f.analyse();
            let cranks: Vec<Dir> = (0..720).map(|i| Dir::degrees(Deg(f64::from(i) / 2.0))).collect();
            let mut out = Sweep::default();
            f.positions(f.motor(), &cranks, &mut out);
            let mut limbs = Dirs::default();
            let blocked = f.directions_into(&cranks.iter().copied().collect(), &mut limbs);
            prop_assert_eq!(blocked, (0..out.len()).filter(|i| out.get(*i).is_none()).count());
            for (i, &d) in cranks.iter().enumerate() {
                let plain = limbs.get(i).unwrap();
                prop_assert!(plain.dot(out.get(i).map_or(Dir::EAST, |o| o.0)) > 1.0 - 1e-12);
                match out.get(i) {
                    Some((limb, push)) => {
                        prop_assert!(limb.x().is_finite() && limb.y().is_finite() && push.is_finite());
                        prop_assert!(push * assembly.sign() >= 0.0, "branch");
                        if let Ok((one, _)) = f.at(d) {
                            prop_assert!(one.dot(limb) > 1.0 - 1e-12);
                        }
                    }
                    None => prop_assert!(f.at(d).map_or(true, |(_, p)| p.abs() < 1e-6)),
                }
            }
            for m in [all.motion, all.other].into_iter().flatten() {
                let numbers = [
                    Some(m.crank_from.0), Some(m.crank_to.0), m.low.map(|v| v.0), m.high.map(|v| v.0),
                    Some(m.sweep.0), Some(m.min_transmission.0), Some(m.min_transmission_at.0),
                    m.time_ratio, m.max_speed_ratio, m.max_acceleration_ratio,
                    m.crank_at_low.map(|v| v.0), m.crank_at_high.map(|v| v.0),
                ];
                prop_assert!(numbers.into_iter().flatten().all(f64::is_finite), "{m:?}");
                prop_assert!(m.sweep.0 >= 0.0 && (0.0..=90.0).contains(&m.min_transmission.0));
            }
        }
    }
}

#[test]
fn the_trait_and_the_closed_forms_tell_one_story() {
    let f = four_bar(176.3, 30.0, 160.0, 80.0, Assembly::Crossed);
    let m = f.analyse().motion.unwrap();
    let path = Shaft::turning(f.motor());
    let travel = f.limits(&path).unwrap();
    let l = travel.swing().unwrap();
    assert!(near_deg(l.low.0, m.low.unwrap().0) < 1e-8);
    assert!((l.range().0 - m.sweep.0).abs() < 1e-8);
    assert!((l.most_speed / m.max_speed_ratio.unwrap() - 1.0).abs() < 1e-6);
    assert!((l.most_acceleration / m.max_acceleration_ratio.unwrap() - 1.0).abs() < 1e-5);
    let push = Rad(libm::asin(l.least_push)).deg().0;
    assert!((push - m.min_transmission.0).abs() < 1e-6);
    let middle = Dir::degrees((m.low.unwrap() + m.high.unwrap()) / 2.0);
    let turns = f.inverse(Stand::Turned(middle), &path).unwrap();
    let closed = f.cranks_for(middle);
    assert_eq!(turns.len(), 2);
    for (t, d) in turns.iter().zip(closed) {
        assert!(near_deg(Rad(*t).deg().0, d.deg().0) < 1e-9);
    }
    let part = Shaft { at: f.motor(), span: Span::part(1.0, 2.0) };
    assert!(f.limits(&part).unwrap().swing().unwrap().range().0 < m.sweep.0);
    assert!(part.at(1.5).is_ok());
}

/// The fox's elbow of the demo season: the upper arm on a four-bar, the forearm's
/// pivot riding on it, its tail pinned to the board by a second rod. Values
/// computed independently with NumPy/SciPy beforehand (own calculation).
#[test]
fn a_forearm_rides_on_the_upper_arm() {
    let centres = (BoardPoint::mm(420.0, 500.0), BoardPoint::mm(300.0, 700.0));
    let lengths = (Mm(30.0), Mm(217.0), Mm(90.0));
    let upper = FourBar::new(centres, lengths, Deg(17.5), Assembly::Open).unwrap();
    let m = upper.analyse().motion.unwrap();
    assert!((m.sweep.0 - 38.94).abs() < 0.005 && (m.min_transmission.0 - 68.8).abs() < 0.05);
    assert!(near_deg(m.low.unwrap().0, 195.5) < 0.1 && near_deg(m.high.unwrap().0, 234.5) < 0.1);
    let forearm = Rod {
        pin: [250.0, 650.0],
        pivot: [180.0, 0.0],
        length: Mm(110.0),
        lever: Mm(40.0),
        clamp: Dir::WEST,
        assembly: Assembly::Crossed,
    };
    let shaft = Shaft::turning(upper.motor());
    let path = Above { mechanism: &upper, path: &shaft, role: Role::Host };
    let travel = forearm.limits(&path).unwrap();
    let l = travel.swing().unwrap();
    assert!((l.range().0 - 78.4).abs() < 0.1, "{l:?}");
    assert!(near_deg(l.low.0, 240.5) < 0.1 && near_deg(l.high.0, 318.8) < 0.1, "{l:?}");
    let push = Rad(libm::asin(l.least_push)).deg().0;
    assert!((push - 78.5).abs() < 0.1, "{push}");
    // Both derivatives through the whole chain, against differences.
    let at = |t: f64| forearm.position(&path.at(t).unwrap()).unwrap().limb.axis();
    let h = 1e-4;
    for i in 0..40 {
        let t = 0.157 * f64::from(i);
        let here = at(t);
        let (l, r) = (at(t - h).from(here).angle().0, at(t + h).from(here).angle().0);
        let (first, second) = forearm.motion(&path.motion(t).unwrap()).unwrap().limb.turn_rates();
        assert!((first - (r - l) / (2.0 * h)).abs() < 1e-6);
        assert!((second - (r + l) / (h * h)).abs() < 1e-5);
    }
}

/// Bars that come into one line: the class is stated, nothing infinite is.
#[test]
fn change_points_are_told_apart() {
    for (g, a, b, c) in
        [(100.0, 30.0, 100.0, 30.0), (70.0, 70.0, 40.0, 40.0), (50.0, 20.0, 60.0, 30.0)]
    {
        for assembly in [Assembly::Open, Assembly::Crossed] {
            let all = four_bar(g, a, b, c, assembly).analyse();
            assert_eq!(all.class, Class::ChangePoint);
            assert!(all.assembles && !all.branch_constant);
            let m = all.motion.unwrap();
            assert_eq!(m.max_acceleration_ratio, None);
            assert!(m.min_transmission.0.abs() < 1e-6, "{m:?}");
        }
    }
    let parallelogram = four_bar(100.0, 30.0, 100.0, 30.0, Assembly::Open).analyse();
    assert!(parallelogram.crank_turns_fully);
}
