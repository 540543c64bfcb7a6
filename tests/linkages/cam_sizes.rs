//! Open sizes of cams: the answer keeps to its rules, a hair smaller does not.

use yardwright::geometry::{BoardPoint, Dir};
use yardwright::mechanism::cam::size::{Asked, Change, Reason, Rules, Wish, solve};
use yardwright::mechanism::cam::{Cam, Law, Programme, Runs, SlidingFoot};
use yardwright::mechanism::{Size, Slide};
use yardwright::units::{Deg, Mm};

use super::reference::Rng;

const SHAFT: BoardPoint = BoardPoint::mm(310.0, 600.0);

fn wish(limb: Asked, turns: [f64; 4], law: Law) -> Wish {
    Wish {
        shaft: SHAFT,
        runs: Runs::Ccw,
        start: Deg(0.0),
        programme: Programme::rise_fall(law, turns.map(Deg)).unwrap(),
        base: Size::Free,
        limb,
        rules: Rules::usual(matches!(limb, Asked::Slides { .. })),
    }
}

fn hop(high: f64, foot: SlidingFoot) -> Asked {
    let slide = Slide { from: SHAFT, along: Dir::NORTH };
    Asked::Slides { slide, low: Mm(0.0), high: Mm(high), foot }
}

fn roller(radius: f64) -> SlidingFoot {
    SlidingFoot::Roller { radius: Mm(radius), offset: Mm(0.0) }
}

/// The largest pressure angle, by scanning the angle between the curve's normal
/// (a difference of cut points) and the slide.
fn scanned(cam: &Cam) -> f64 {
    let mut most = 0.0f64;
    for i in 0..7200 {
        let t = std::f64::consts::TAU * f64::from(i) / 7200.0;
        let h = 1e-5;
        let (a, b) = (cam.cut_at(t - h).0, cam.cut_at(t + h).0);
        let (x, y) = (b.x - a.x, b.y - a.y);
        // The slide points north on the board; in the cam's plane it is turned back.
        let (ux, uy) = (libm::sin(t), libm::cos(t));
        let along = (x * ux + y * uy).abs();
        let across = (x * uy - y * ux).abs();
        most = most.max(libm::atan2(along, across));
    }
    most.to_degrees()
}

#[test]
fn the_smallest_base_circle_is_bound_by_its_rule() {
    let mut rng = Rng(9);
    let (mut steep, mut sharp, mut hub) = (0, 0, 0);
    for _ in 0..60 {
        let (rise, fall) = (60.0 + 90.0 * rng.unit(), 60.0 + 90.0 * rng.unit());
        let law = Law::ALL[(rng.unit() * 7.0) as usize % 7];
        let limb = hop(5.0 + 30.0 * rng.unit(), roller(4.0 + 10.0 * rng.unit()));
        let w = wish(limb, [rise, 30.0, fall, 330.0 - rise - fall], law);
        let a = solve(&w).unwrap();
        let base = a.cam.plan().base;
        assert!(a.facts.pressure.value.0 <= 30.0 + 1e-6 && a.facts.rollers() >= 2.0 - 1e-6);
        assert!((scanned(&a.cam) - a.facts.pressure.value.0).abs() < 0.01);
        assert!(a.facts.undercut.is_none() && base.0 >= 15.0);
        let at_hub = base.0 < 15.0 + 1e-4;
        let at_pressure = a.facts.pressure.value.0 > 30.0 - 0.05;
        let at_roller = a.facts.rollers() < 2.0 + 0.01;
        assert!(at_hub || at_pressure || at_roller, "nothing binds: {:?}", a.facts);
        steep += usize::from(at_pressure);
        sharp += usize::from(at_roller && !at_pressure);
        hub += usize::from(at_hub);
        if base.0 * 0.99 > 15.0 {
            let less = Wish { base: Size::Given(base.0 * 0.99), ..w };
            let no = solve(&less).unwrap_err();
            assert!(matches!(no.reason, Reason::Steep { .. } | Reason::Sharp { .. }), "{no:?}");
            let (change, works) = &no.nearest[0];
            assert!(matches!(change, Change::Base(b) if (b.0 - base.0).abs() < 1e-3));
            assert!(works.facts.pressure.value.0 <= 30.0 + 1e-6);
        }
    }
    assert!(steep > 5 && sharp > 2, "{steep} {sharp} {hub}");
}

/// base >= max(-s - s'') + radius: with the harmonic law at the top
/// h/2 (180/60)^2 - h (arithmetic).
#[test]
fn the_smallest_base_under_a_flat_face() {
    let w = wish(hop(30.0, SlidingFoot::Flat), [60.0, 0.0, 60.0, 240.0], Law::Harmonic);
    let base = solve(&w).unwrap().cam.plan().base.0;
    assert!((base - (15.0 * 9.0 - 30.0 + 3.0)).abs() < 1e-3, "{base}");
}

#[test]
fn a_lever_is_chosen_and_clamped_so_that_the_limb_swings_as_asked() {
    for (low, high) in [(150.0, 165.0), (30.0, 12.0)] {
        let limb = Asked::Rolls {
            pivot: BoardPoint::mm(SHAFT.x + 130.0, SHAFT.y + 20.0),
            low: Deg(low),
            high: Deg(high),
            clamp: Size::Free,
            roller: Mm(8.0),
            lever: Size::Row { lo: 60.0, hi: 120.0, step: 10.0 },
        };
        let w = wish(limb, [120.0, 40.0, 120.0, 80.0], Law::Poly345);
        let a = solve(&w).unwrap();
        let lowest = a.cam.lowest().unwrap().deg().0;
        assert!((lowest - low).abs() < 1e-9, "{lowest}");
        assert!(a.facts.pressure.value.0 <= 45.0 + 1e-6 && a.facts.rollers() >= 2.0 - 1e-6);
        let reach = libm::hypot(130.0, 20.0) - 12.0;
        assert!(a.facts.farthest.0 <= reach + 1e-6);
        // The clamp that was found, given, leads back to the same base circle.
        let yardwright::mechanism::cam::Limb::Swings(s) = a.cam.plan().limb else {
            panic!("it swings")
        };
        let yardwright::mechanism::cam::SwingingFoot::Roller { lever: found, .. } = s.foot else {
            panic!("it rolls")
        };
        let given = |degrees: f64| {
            let mut limb = limb;
            if let Asked::Rolls { clamp, lever, .. } = &mut limb {
                (*clamp, *lever) = (Size::Given(degrees), Size::Given(found.0));
            }
            solve(&Wish { limb, ..w.clone() })
        };
        let again = given(s.clamp.0).unwrap();
        assert!((again.cam.plan().base.0 - a.cam.plan().base.0).abs() < 1e-6);
        // On the other side of the shaft it is refused, with what works.
        let no = given(s.clamp.0 + 180.0).unwrap_err();
        assert!(no.nearest.iter().any(|(c, _)| matches!(c, Change::Clamp(_))), "{no:?}");
    }
}

#[test]
fn where_nothing_fits_the_reason_and_what_works_are_given() {
    let turns = [40.0, 0.0, 40.0, 280.0];
    let mut w = wish(hop(60.0, roller(20.0)), turns, Law::Cycloidal);
    w.rules.most = Mm(60.0);
    let no = solve(&w).unwrap_err();
    let Reason::Steep { pressure, most } = no.reason else { panic!("{no:?}") };
    assert!(pressure.0 > most.0 && most == Deg(30.0));
    let travel = no.nearest.iter().find(|(c, _)| matches!(c, Change::Travel(_))).unwrap();
    assert!(travel.1.facts.pressure.value.0 <= 30.0 + 1e-6);
    let mut w = wish(hop(12.0, roller(20.0)), [100.0, 30.0, 100.0, 130.0], Law::Poly4567);
    w.base = Size::Given(25.0);
    w.rules.pressure = Deg(60.0);
    let no = solve(&w).unwrap_err();
    let Reason::Sharp { radius, wants } = no.reason else { panic!("{no:?}") };
    assert!(radius.0 < wants.0 && wants == Mm(40.0));
    let roller = no.nearest.iter().find_map(|(c, a)| match c {
        Change::Roller(r) => Some((*r, a.facts.rollers())),
        _ => None,
    });
    assert!(roller.is_some_and(|(r, share)| r.0 < 20.0 && share >= 2.0 - 1e-6), "{no:?}");
    w.base = Size::Row { lo: 90.0, hi: 80.0, step: 5.0 };
    assert_eq!(solve(&w).unwrap_err().reason, Reason::NoChoice);
}
