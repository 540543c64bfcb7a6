//! `?` of the slotted arm, the slider-crank and the Scotch yoke: what is found fits,
//! and nothing drawn at random fits and pushes better.
#![allow(clippy::disallowed_methods)] // On purpose another library's sines.

use yardwright::geometry::{BoardPoint, Dir};
use yardwright::mechanism::solve::{
    Obstacle, Remedy, SliderWish, SlottedWish, YokeWish, solve_scotch_yoke, solve_slider_crank,
    solve_slotted_arm,
};
use yardwright::mechanism::{
    Cycle, Prefer, ScotchYoke, Side, Size, Slide, SliderCrank, SlottedArm,
};
use yardwright::units::{Deg, Mm, Rad};

use super::reference::Rng;

fn ends(cycle: &Cycle) -> (f64, f64) {
    let travel = &cycle.course.travel;
    let swing = travel.swing().map(|l| (l.low.0, l.high.0));
    swing.or(travel.stroke().map(|l| (l.low.0, l.high.0))).unwrap()
}

/// Whether range and both ends are within a tolerance; `turn` for angles.
fn fits(cycle: &Cycle, want: (f64, f64), tolerance: f64, turn: bool) -> bool {
    let (low, high) = ends(cycle);
    let off = |a: f64, b: f64| {
        let d = if turn { (a - b + 180.0).rem_euclid(360.0) - 180.0 } else { a - b };
        d.abs() <= tolerance + 1e-6
    };
    let range = (high - low - want.1 + want.0).abs() <= tolerance + 1e-6;
    cycle.crank_turns_fully && range && off(low, want.0) && off(high, want.1)
}

fn slotted_wish() -> SlottedWish {
    SlottedWish {
        motor: BoardPoint::mm(0.0, 0.0),
        pivot: BoardPoint::mm(0.0, -100.0),
        crank: Size::Free,
        clamp: Size::Free,
        offset: Mm(0.0),
        sweep: (Deg(70.0), Deg(110.0)),
        within: None,
        prefer: Prefer::Usual,
        error: Mm(1.0),
    }
}

/// R. S. Khurmi and J. K. Gupta, Theory of Machines, 14th ed. 2009, Example 5.3
/// p. 112: crank 30, stroke 120, time ratio 1.7: centres 75.7, slotted bar 151.48.
#[test]
fn crank_and_slotted_lever_synthesis_as_in_the_book() {
    let swing = 180.0 * 0.7 / 2.7;
    let sweep = (Deg(90.0 - swing / 2.0), Deg(90.0 + swing / 2.0));
    let (crank, within) = (Size::Given(30.0), Some(Deg(0.001)));
    let wish = SlottedWish { crank, sweep, within, ..slotted_wish() };
    let unfit = solve_slotted_arm(&wish).unwrap_err();
    assert!(matches!(unfit.why, Obstacle::TooLittle { .. }), "{:?}", unfit.why);
    let moved = unfit.nearest.iter().find(|n| matches!(n.0, Remedy::Motor(_))).unwrap().1;
    assert!((moved.mechanism.ground().0 - 75.7).abs() < 0.05);
    assert!((moved.cycle.course.time_ratio.unwrap() - 1.7).abs() < 1e-3);
    let (low, high) = ends(&moved.cycle);
    let bar = 60.0 / ((high - low) / 2.0).to_radians().sin();
    assert!((bar - 151.48).abs() < 0.005, "{bar}");
}

#[test]
fn slotted_arms_found_fit_and_none_pushes_better() {
    let mut rng = Rng(41);
    let (mut found, mut none) = (0, 0);
    for round in 0..400 {
        let base = slotted_wish();
        let d = 60.0 + 100.0 * rng.unit();
        let t = 6.3 * rng.unit();
        let pivot = BoardPoint::mm(d * t.cos(), d * t.sin());
        let swing = 20.0 + 60.0 * rng.unit();
        let middle = 360.0 * rng.unit();
        let sweep = (Deg(middle - swing / 2.0), Deg(middle + swing / 2.0));
        let crank = match round % 3 {
            0 => Size::Row { lo: 10.0, hi: 80.0, step: 5.0 },
            1 => Size::Between { lo: 10.0, hi: 80.0 },
            _ => Size::Given(20.0 + 30.0 * rng.unit()),
        };
        let offset = Mm(if round % 2 == 0 { 0.0 } else { 30.0 * (rng.unit() - 0.5) });
        let wish = SlottedWish { pivot, sweep, crank, offset, ..base };
        let tolerance = (swing * 0.05).min(2.0);
        match solve_slotted_arm(&wish) {
            Ok(ranked) => {
                found += 1;
                let best = ranked.best;
                assert!(fits(&best.cycle, (sweep.0.0, sweep.1.0), tolerance, true), "{wish:?}");
                if round % 3 != 1 {
                    continue;
                }
                for _ in 0..60 {
                    let a = Mm(10.0 + 70.0 * rng.unit());
                    let centres = (wish.motor, pivot);
                    let Ok(other) = SlottedArm::new(centres, a, offset, best.mechanism.clamp())
                    else {
                        continue;
                    };
                    let cycle = other.analyse();
                    let better = cycle.course.worst_push.0 > best.cycle.course.worst_push.0 + 2e-3;
                    let range = ends(&cycle).1 - ends(&cycle).0;
                    let reaches = (range - swing).abs() < tolerance && cycle.crank_turns_fully;
                    assert!(!(better && reaches), "{wish:?} {other:?}");
                }
            }
            Err(unfit) => {
                none += 1;
                assert!(!matches!(unfit.why, Obstacle::Nonsense(_)), "{wish:?} {unfit:?}");
                for (remedy, pick) in &unfit.nearest {
                    let want = match remedy {
                        Remedy::Ends { from, to } => (*from, *to),
                        _ => (sweep.0.0, sweep.1.0),
                    };
                    assert!(fits(&pick.cycle, want, tolerance, true), "{wish:?} {remedy:?}");
                }
            }
        }
    }
    assert!(found > 150 && none > 50, "{found} {none}");
}

/// By how much the ends of a stroke miss at worst.
fn missed(cycle: &Cycle, want: (f64, f64)) -> f64 {
    let stroke = cycle.course.travel.stroke().unwrap();
    (stroke.low.0 - want.0).abs().max((stroke.high.0 - want.1).abs())
}

#[test]
fn slider_cranks_found_fit_and_none_is_better() {
    let mut rng = Rng(42);
    let (mut found, mut none, mut rivals) = (0, 0, 0);
    for round in 0..400 {
        let t = 6.3 * rng.unit();
        let slide = Slide { from: BoardPoint::mm(20.0, 30.0), along: Dir::radians(Rad(t)) };
        let (x, y) = (-200.0 + 20.0 * rng.unit(), 30.0 * (rng.unit() - 0.5));
        let motor =
            BoardPoint::mm(20.0 + x * t.cos() - y * t.sin(), 30.0 + x * t.sin() + y * t.cos());
        let length = 20.0 + 100.0 * rng.unit();
        let from = 60.0 * rng.unit() - 30.0;
        let stroke = (Mm(from), Mm(from + length));
        let crank = match round % 3 {
            0 => Size::Row { lo: 10.0, hi: 60.0, step: 5.0 },
            1 => Size::Between { lo: 10.0, hi: 60.0 },
            _ => Size::Given(length / 2.0 - rng.unit()),
        };
        let rod = match round % 4 {
            0 => Size::Between { lo: 100.0, hi: 240.0 },
            1 => Size::Row { lo: 100.0, hi: 300.0, step: 1.0 },
            _ => Size::Free,
        };
        let prefer = Prefer::Usual;
        let (side, within, error) = (None, None, Mm(1.0));
        let wish = SliderWish { motor, slide, crank, rod, side, stroke, within, prefer, error };
        let tolerance = (length * 0.05).min(2.0);
        let want = (stroke.0.0, stroke.1.0);
        match solve_slider_crank(&wish) {
            Ok(ranked) => {
                found += 1;
                let best = ranked.best;
                assert!(fits(&best.cycle, want, tolerance, false), "{wish:?} {best:?}");
                if !matches!(
                    (crank, rod),
                    (Size::Between { .. }, Size::Free | Size::Between { .. })
                ) {
                    continue;
                }
                let (lo, hi) = if rod == Size::Free { (20.0, 400.0) } else { (100.0, 240.0) };
                for near in 0..400 {
                    // Half of them next to the best.
                    let (a, b) = if near % 2 == 0 {
                        let m = best.mechanism;
                        (m.crank().0 + rng.unit() - 0.5, m.rod().0 + 2.0 * rng.unit() - 1.0)
                    } else {
                        (10.0 + 50.0 * rng.unit(), lo + (hi - lo) * rng.unit())
                    };
                    if !(10.0..=60.0).contains(&a) || !(lo..=hi).contains(&b) {
                        continue;
                    }
                    let made = SliderCrank::new(motor, slide, (Mm(a), Mm(b)), Side::Ahead);
                    let Ok(other) = made else { continue };
                    let cycle = other.analyse();
                    if !fits(&cycle, want, tolerance - 1e-4, false) {
                        continue;
                    }
                    rivals += 1;
                    // Up to 30 degrees of lean is as good as none: then the nearest
                    // motion is best, else the best push.
                    let push = |c: &Cycle| c.course.worst_push.0;
                    let lead = if push(&best.cycle) >= 60.0 {
                        if push(&cycle) < 60.0 { 0.0 } else { best.miss - missed(&cycle, want) }
                    } else {
                        push(&cycle) - push(&best.cycle)
                    };
                    assert!(lead < 2e-3, "{wish:?} {other:?} {best:?} {lead}");
                }
            }
            Err(unfit) => {
                none += 1;
                assert!(!matches!(unfit.why, Obstacle::Nonsense(_)), "{wish:?} {unfit:?}");
                for (remedy, pick) in &unfit.nearest {
                    let want = match remedy {
                        Remedy::Ends { from, to } => (*from, *to),
                        _ => want,
                    };
                    assert!(fits(&pick.cycle, want, tolerance, false), "{wish:?} {remedy:?}");
                }
            }
        }
    }
    assert!(found > 150 && none > 20 && rivals > 500, "{found} {none} {rivals}");
}

#[test]
fn yokes_found_fit_and_their_remedies_work() {
    let mut rng = Rng(43);
    let (mut found, mut none) = (0, 0);
    for round in 0..400 {
        let slide = Slide { from: BoardPoint::mm(20.0, 30.0), along: Dir::radians(Rad(1.1)) };
        let tilt = Deg(60.0 * (rng.unit() - 0.5));
        let unit = ScotchYoke::new(BoardPoint::mm(50.0, 90.0), slide, Mm(1.0), tilt).unwrap();
        let length = 30.0 + 100.0 * rng.unit();
        let middle = unit.middle().0 + if round % 4 == 0 { 9.0 } else { rng.unit() - 0.5 };
        let stroke = (Mm(middle - length / 2.0), Mm(middle + length / 2.0));
        let crank = match round % 3 {
            0 => Size::Row { lo: 10.0, hi: 80.0, step: 1.0 },
            1 => Size::Between { lo: 20.0, hi: 60.0 },
            _ => Size::Given(40.0),
        };
        let (motor, prefer, error) = (unit.motor(), Prefer::Usual, Mm(1.0));
        let wish = YokeWish { motor, slide, crank, tilt, stroke, within: None, prefer, error };
        let tolerance = (length * 0.05).min(2.0);
        let want = (stroke.0.0, stroke.1.0);
        match solve_scotch_yoke(&wish) {
            Ok(ranked) => {
                found += 1;
                assert!(fits(&ranked.best.cycle, want, tolerance, false), "{wish:?}");
            }
            Err(unfit) => {
                none += 1;
                for (remedy, pick) in &unfit.nearest {
                    let want = match remedy {
                        Remedy::Ends { from, to } => (*from, *to),
                        _ => want,
                    };
                    assert!(fits(&pick.cycle, want, tolerance, false), "{wish:?} {remedy:?}");
                }
                assert!(
                    round % 4 != 0
                        || unfit.nearest.iter().any(|n| !matches!(n.0, Remedy::Crank(_)))
                        || round % 3 == 2
                );
            }
        }
    }
    assert!(found > 100 && none > 100, "{found} {none}");
}

#[test]
fn a_wish_without_sense_is_named() {
    let wish = SlottedWish { sweep: (Deg(50.0), Deg(50.0)), ..slotted_wish() };
    assert!(matches!(solve_slotted_arm(&wish).unwrap_err().why, Obstacle::Nonsense(_)));
    let wish = SlottedWish { crank: Size::Given(f64::NAN), ..slotted_wish() };
    assert!(matches!(solve_slotted_arm(&wish).unwrap_err().why, Obstacle::Nonsense(_)));
}
