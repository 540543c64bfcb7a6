//! Slotted arm, slider-crank and Scotch yoke against their loop equations, solved
//! here by scanning and shutting in with nothing taken from the program's formulas.
#![allow(clippy::disallowed_methods)] // On purpose another library's sines.

use proptest::prelude::*;
use yardwright::geometry::{BoardPoint, Dir};
use yardwright::mechanism::{
    Blocked, Course, Cycle, Degenerate, Mechanism, Path, ScotchYoke, Shaft, Side, Slide,
    SliderCrank, SlottedArm, Span, Stand,
};
use yardwright::units::{Deg, Mm, Rad};

use super::reference::{Rng, crossing, hill};

const TAU: f64 = std::f64::consts::TAU;

/// The loop equation of one mechanism: how far the limb at `way` misses the crank
/// at `crank`; the limb's coordinate lies between the two ends, one of which gives
/// each sign. `None` where no limb closes it.
struct Loop<'a> {
    miss: &'a dyn Fn(f64, f64) -> f64,
    /// Whether the miss falls from the first of the ends to the second.
    falls: bool,
    between: &'a dyn Fn(f64) -> (f64, f64),
    /// Distance in hand before the loop opens.
    hand: &'a dyn Fn(f64) -> f64,
}

/// What scanning finds: ends of the motion and the stretch, crank angles in rad.
struct Scanned {
    turns: bool,
    from: f64,
    to: f64,
    low: (f64, f64),
    high: (f64, f64),
}

impl Loop<'_> {
    fn solve(&self, crank: f64) -> f64 {
        let sign = if self.falls { -1.0 } else { 1.0 };
        crossing((self.between)(crank), |way| sign * (self.miss)(crank, way))
    }

    /// Scans from a crank angle in the middle of the first stretch.
    fn scan(&self, middle: f64) -> Scanned {
        let n = 240;
        let step = TAU / f64::from(n);
        let edge = |dir: f64| {
            let at = |i: i32| middle + dir * step * f64::from(i) / 2.0;
            let bad = (1..=n).find(|&i| (self.hand)(at(i)) < 0.0)?;
            let (mut good, mut bad) = (at(bad - 1), at(bad));
            for _ in 0..80 {
                let mid = 0.5 * (good + bad);
                if (self.hand)(mid) >= 0.0 { good = mid } else { bad = mid }
            }
            Some(good)
        };
        let (from, to, turns) = match (edge(-1.0), edge(1.0)) {
            (Some(a), Some(b)) => (a, b, false),
            _ => (middle - TAU / 2.0, middle + TAU / 2.0, true),
        };
        // Even, and geometrically denser about where the loop nearly opens.
        let (lo, hi) = if turns { (from - 0.1, to + 0.1) } else { (from, to) };
        let mut grid: Vec<f64> =
            (0..=n).map(|i| lo + (hi - lo) * f64::from(i) / f64::from(n)).collect();
        for centre in [
            middle - TAU / 2.0,
            middle - TAU / 4.0,
            middle + TAU / 4.0,
            middle + TAU / 2.0,
            from,
            to,
        ] {
            let mut off = 0.2;
            while off > 1e-9 {
                grid.extend([centre - off, centre + off]);
                off *= 0.5;
            }
        }
        grid.retain(|p| *p >= lo && *p <= hi);
        grid.sort_by(f64::total_cmp);
        grid.dedup_by(|a, b| (*a - *b).abs() < 1e-11);
        let mut ways: Vec<f64> = Vec::new();
        for &p in &grid {
            let raw = self.solve(p);
            ways.push(ways.last().map_or(raw, |w| self.near(*w, raw)));
        }
        let climb = |sign: f64| {
            let mut top = 0;
            for i in 0..grid.len() {
                top = if sign * ways[i] > sign * ways[top] { i } else { top };
            }
            // A whole turn has no ends: a hill on one goes on beyond it.
            let beyond = if turns { 0.05 } else { 0.0 };
            let last = grid.len() - 1;
            let ends = (
                if top == 0 { lo - beyond } else { grid[top - 1] },
                if top == last { hi + beyond } else { grid[top + 1] },
            );
            let value = |p: f64| sign * self.near(ways[top], self.solve(p));
            let (l, r) = hill(ends, 45, value);
            let mut best = (grid[top], sign * ways[top]);
            for p in [l, r, 0.5 * (l + r)] {
                let here = value(p);
                best = if here > best.1 { (p, here) } else { best };
            }
            (best.0, sign * best.1)
        };
        Scanned { turns, from, to, low: climb(-1.0), high: climb(1.0) }
    }

    /// For angles: `raw` by whole turns near `to`. Strokes are far below a wrap of
    /// theirs, which is why they are told apart by their own scale.
    fn near(&self, to: f64, raw: f64) -> f64 {
        let (a, b) = (self.between)(0.0);
        let angle = (b - a).abs() < 3.5;
        if angle { to + (raw - to + TAU / 2.0).rem_euclid(TAU) - TAU / 2.0 } else { raw }
    }
}

fn off_deg(a: f64, b: f64) -> f64 {
    let d = (a - b).rem_euclid(360.0);
    d.min(360.0 - d)
}

fn ends(course: &Course) -> [f64; 4] {
    let of = |low: f64, high: f64, a: f64, b: f64| [low, high, a.to_degrees(), b.to_degrees()];
    match (course.travel.swing(), course.travel.stroke()) {
        (Some(l), _) => of(l.low.0, l.high.0, l.at_low, l.at_high),
        (_, Some(l)) => of(l.low.0, l.high.0, l.at_low, l.at_high),
        _ => unreachable!("a limb swings or slides"),
    }
}

fn place(rng: &mut Rng) -> BoardPoint {
    BoardPoint::mm(600.0 * rng.unit() - 300.0, 900.0 * rng.unit())
}

/// Either a value of its own, or one that misses `edge` by as little as a millionth.
fn near_edge(rng: &mut Rng, own: f64, edge: f64) -> f64 {
    if rng.unit() < 0.6 {
        return own;
    }
    let by = 10f64.powf(-6.0 * rng.unit());
    edge + if rng.unit() < 0.5 { by } else { -by }
}

#[test]
fn slotted_arms_agree_with_their_loop_equation() {
    let mut rng = Rng(31);
    let (mut whole, mut part, mut round) = (0, 0, 0);
    for _ in 0..2400 {
        let motor = place(&mut rng);
        let d = 20.0 + 200.0 * rng.unit();
        let toward = TAU * rng.unit();
        let pivot = BoardPoint::mm(motor.x + d * toward.cos(), motor.y + d * toward.sin());
        let d = (pivot.x - motor.x).hypot(pivot.y - motor.y);
        let a = 10.0 + 240.0 * rng.unit();
        let own = 40.0 * (rng.unit() - 0.5);
        let e = near_edge(&mut rng, own, (d - a).abs()) * if rng.unit() < 0.5 { 1.0 } else { -1.0 };
        let clamp = 360.0 * rng.unit() - 180.0;
        let Ok(arm) = SlottedArm::new((motor, pivot), Mm(a), Mm(e), Deg(clamp)) else {
            assert!(e.abs() >= d + a, "{a} {d} {e}");
            continue;
        };
        let pin = |phi: f64| (motor.x + a * phi.cos() - pivot.x, motor.y + a * phi.sin() - pivot.y);
        let slot = |way: f64| way + clamp.to_radians();
        let looped = Loop {
            // Where the pin lies left of the line through the pivot, less the offset.
            miss: &|phi, way| {
                let ((x, y), t) = (pin(phi), slot(way));
                t.cos() * y - t.sin() * x - e
            },
            falls: true,
            between: &|phi| {
                let (x, y) = pin(phi);
                let middle = y.atan2(x) - clamp.to_radians();
                (middle - TAU / 4.0, middle + TAU / 4.0)
            },
            hand: &|phi| {
                let (x, y) = pin(phi);
                x.hypot(y) - e.abs()
            },
        };
        let want = looped.scan((motor.y - pivot.y).atan2(motor.x - pivot.x));
        let got = arm.analyse();
        let tag = format!("a {a} d {d} e {e} clamp {clamp}");
        let touching = (e.abs() - (d - a).abs()).abs() < 1e-9;
        assert!(touching || got.crank_turns_fully == want.turns, "{tag}");
        let [low, high, at_low, at_high] = ends(&got.course);
        if got.limb_turns {
            round += 1;
            assert!((high - low - 360.0).abs() < 1e-9 && a > d, "{tag}");
            continue;
        }
        // Where the slot blocks the crank the limb's speed is infinite: the rounding of
        // board coordinates, 2e-13 mm, is sqrt(2 e 2e-13)/e there.
        let blind = if want.turns { 0.0 } else { 2.0 * (4e-13 / e.abs()).sqrt().to_degrees() };
        assert!(off_deg(low, want.low.1.to_degrees()) < 1e-5 + blind, "{tag} {low} {:?}", want.low);
        let swing = (want.high.1 - want.low.1).to_degrees();
        assert!((high - low - swing).abs() < 1e-5 + blind, "{tag} {} {swing}", high - low);
        // Where the ends are said to be, the loop has them.
        let there = |at: f64| looped.solve(at.to_radians()).to_degrees();
        assert!(
            off_deg(there(at_low), low) < 1e-3 && off_deg(there(at_high), high) < 1e-3,
            "{tag}"
        );
        if want.turns {
            whole += 1;
            // The flatter the ends, the less the scan knows where they are.
            let apart = (want.high.0 - want.low.0).abs() % TAU;
            let ratio = apart.max(TAU - apart) / apart.min(TAU - apart);
            assert!((got.course.time_ratio.unwrap() / ratio - 1.0).abs() < 1e-2, "{tag}");
        } else {
            part += 1;
            let at = got.blocked_at.map(|b| b.map(|b| b.0));
            for edge in [want.from, want.to] {
                let near = at.iter().flatten().any(|b| off_deg(*b, edge.to_degrees()) < 1e-5);
                assert!(near, "{tag} {at:?} {}", edge.to_degrees());
            }
            assert_eq!(got.course.worst_push.0, 0.0, "{tag}");
        }
    }
    assert!(whole > 500 && part > 300 && round > 300, "{whole} {part} {round}");
}

#[test]
fn slider_cranks_agree_with_their_loop_equation() {
    let mut rng = Rng(32);
    let (mut whole, mut part, mut two) = (0, 0, 0);
    for _ in 0..2400 {
        let (motor, from) = (place(&mut rng), place(&mut rng));
        let t = TAU * rng.unit();
        let slide = Slide { from, along: Dir::radians(Rad(t)) };
        let a = 5.0 + 60.0 * rng.unit();
        let e = if rng.unit() < 0.2 { 0.0 } else { 60.0 * (rng.unit() - 0.5) };
        let own = 5.0 + 200.0 * rng.unit();
        let b = near_edge(&mut rng, own, a + e.abs()).max(5.0);
        // The slide's line moved so that the shaft lies `e` left of it.
        let (mx, my) = (motor.x - from.x, motor.y - from.y);
        let shift = my * t.cos() - mx * t.sin() - e;
        let from = BoardPoint::mm(from.x - shift * t.sin(), from.y + shift * t.cos());
        let slide = Slide { from, ..slide };
        let side = if rng.unit() < 0.5 { Side::Ahead } else { Side::Behind };
        let Ok(crank) = SliderCrank::new(motor, slide, (Mm(a), Mm(b)), side) else {
            assert!(e.abs() > a + b - 1e-9);
            continue;
        };
        let pin = |phi: f64| {
            let (x, y) = (motor.x + a * phi.cos() - from.x, motor.y + a * phi.sin() - from.y);
            (x * t.cos() + y * t.sin(), y * t.cos() - x * t.sin())
        };
        let s = if side == Side::Ahead { 1.0 } else { -1.0 };
        let looped = Loop {
            miss: &|phi, way| {
                let (x, y) = pin(phi);
                (way - x).hypot(y) - b
            },
            falls: false,
            between: &|phi| {
                let (x, _) = pin(phi);
                (x, x + s * 1.1 * b)
            },
            hand: &|phi| b - pin(phi).1.abs(),
        };
        let got = crank.analyse();
        let span = got.course.span;
        let want = looped.scan(0.5 * (span.from + span.to));
        let tag = format!("a {a} b {b} e {e} t {t} {side:?}");
        let touching = (b - a - e.abs()).abs() < 1e-9;
        assert!(touching || got.crank_turns_fully == want.turns, "{tag}");
        let [low, high, at_low, at_high] = ends(&got.course);
        assert!((low - want.low.1).abs() < 1e-5, "{tag} {low} {:?}", want.low);
        assert!((high - want.high.1).abs() < 1e-5, "{tag} {high} {:?}", want.high);
        let there = |at: f64| looped.solve(at.to_radians());
        assert!((there(at_low) - low).abs() < 1e-4, "{tag}");
        assert!((there(at_high) - high).abs() < 1e-4, "{tag}");
        if want.turns {
            whole += 1;
            let steepest = (0..3600).map(|i| pin(f64::from(i) * TAU / 3600.0).1.abs());
            let pressure = (steepest.fold(0.0, f64::max) / b).min(1.0).asin().to_degrees();
            let off = (got.course.worst_push.0 - (90.0 - pressure)).abs();
            assert!(off < 0.2, "{tag} {off}");
            // The flatter the ends, the less the scan knows where they are.
            let apart = (want.high.0 - want.low.0).abs() % TAU;
            let ratio = apart.max(TAU - apart) / apart.min(TAU - apart);
            assert!((got.course.time_ratio.unwrap() / ratio - 1.0).abs() < 1e-2, "{tag}");
        } else {
            part += 1;
            two += i32::from(got.other.is_some());
            let at = got.blocked_at.map(|b| b.map(|b| b.0));
            for edge in [want.from, want.to] {
                let near = at.iter().flatten().any(|b| off_deg(*b, edge.to_degrees()) < 1e-5);
                assert!(near, "{tag} {at:?} {}", edge.to_degrees());
            }
        }
    }
    assert!(whole > 700 && part > 300 && two > 50, "{whole} {part} {two}");
}

#[test]
fn scotch_yokes_agree_with_their_loop_equation() {
    let mut rng = Rng(33);
    for _ in 0..2400 {
        let (motor, from) = (place(&mut rng), place(&mut rng));
        let t = TAU * rng.unit();
        let slide = Slide { from, along: Dir::radians(Rad(t)) };
        let a = 5.0 + 60.0 * rng.unit();
        let own = 160.0 * (rng.unit() - 0.5);
        let tilt = near_edge(&mut rng, own, 85.0);
        let yoke = ScotchYoke::new(motor, slide, Mm(a), Deg(tilt)).unwrap();
        let lean = t + tilt.to_radians();
        let looped = Loop {
            // How far the pin lies from the slot's line, seen along its square.
            miss: &|phi, way| {
                let x = motor.x + a * phi.cos() - from.x - way * t.cos();
                let y = motor.y + a * phi.sin() - from.y - way * t.sin();
                x * lean.cos() + y * lean.sin()
            },
            falls: true,
            between: &|_| (-1e5, 1e5),
            hand: &|_| 1.0,
        };
        let want = looped.scan(0.0);
        let got = yoke.analyse();
        let tag = format!("a {a} t {t} tilt {tilt}");
        assert!(got.crank_turns_fully && want.turns, "{tag}");
        let [low, high, at_low, at_high] = ends(&got.course);
        assert!(
            (low - want.low.1).abs() < 1e-5 && (high - want.high.1).abs() < 1e-5,
            "{tag} {low} {high} {:?} {:?}",
            want.low,
            want.high
        );
        let there = |at: f64| looped.solve(at.to_radians());
        assert!((there(at_low) - low).abs() < 1e-4, "{tag}");
        assert!((there(at_high) - high).abs() < 1e-4, "{tag}");
        assert!((got.course.worst_push.0 - 90.0 + tilt.abs()).abs() < 1e-9, "{tag}");
        assert!((got.course.time_ratio.unwrap() - 1.0).abs() < 1e-9, "{tag}");
    }
}

fn slide_at(x: f64, y: f64, degrees: f64) -> Slide {
    Slide { from: BoardPoint::mm(x, y), along: Dir::degrees(Deg(degrees)) }
}

fn slider(crank: f64, rod: f64, offset: f64) -> SliderCrank {
    let motor = BoardPoint::mm(0.0, offset);
    SliderCrank::new(motor, slide_at(0.0, 0.0, 0.0), (Mm(crank), Mm(rod)), Side::Ahead).unwrap()
}

fn lever(crank: f64, centres: f64) -> SlottedArm {
    let places = (BoardPoint::mm(0.0, 0.0), BoardPoint::mm(0.0, -centres));
    SlottedArm::new(places, Mm(crank), Mm(0.0), Deg(0.0)).unwrap()
}

fn swing_of(cycle: &Cycle) -> f64 {
    cycle.course.travel.swing().unwrap().range().0
}

/// GATE 2025 Mechanical, Q60 (stroke and both end positions), worked at
/// examprev.com: crank 30, rod 50, offset 10.
#[test]
fn offset_slider_crank_stroke_as_examined() {
    let cycle = slider(30.0, 50.0, 10.0).analyse();
    let stroke = cycle.course.travel.stroke().unwrap();
    assert!((stroke.range().0 - 62.05).abs() < 0.005);
    assert!((stroke.high.0 - 79.37).abs() < 0.005 && (stroke.low.0 - 17.32).abs() < 0.005);
}

/// University course worksheet on slider-crank analysis (coursehero.com, file
/// 6680931): crank 10 in, rod 20 in, 45 deg, 1 rad/s.
#[test]
fn in_line_position_and_velocity_as_in_the_worksheet() {
    let linkage = slider(10.0 * 25.4, 20.0 * 25.4, 0.0);
    let shaft = Shaft::turning(linkage.motor());
    let crank = Deg(45.0).rad().0;
    let solved = linkage.motion(&shaft.motion(crank).unwrap()).unwrap();
    let rod = solved.push.v.acos().to_degrees();
    assert!((rod - 20.705).abs() < 0.0005, "{rod}");
    let (_, speed, _) = linkage.guide().motion(&solved.limb);
    assert!((speed.abs() / 25.4 - 9.744).abs() < 0.0005);
}

/// R. S. Khurmi and J. K. Gupta, Theory of Machines, 14th ed. 2009, Example 15.4
/// p. 528: crank 0.3 m, rod 1.5 m, 180 rpm, 40 deg. The book uses the two-term
/// formula, within 0.3 percent of the linkage.
#[test]
fn piston_speed_and_acceleration_as_in_the_book() {
    let linkage = slider(300.0, 1500.0, 0.0);
    let shaft = Shaft::turning(linkage.motor());
    let omega = 180.0 * TAU / 60.0;
    let solved = linkage.motion(&shaft.motion(Deg(40.0).rad().0).unwrap()).unwrap();
    let (_, speed, second) = linkage.guide().motion(&solved.limb);
    assert!((speed.abs() * omega / 1e3 / 4.19 - 1.0).abs() < 3e-3);
    assert!((second.abs() * omega * omega / 1e3 / 85.36 - 1.0).abs() < 3e-3);
}

/// Khurmi and Gupta, Examples 5.1 p. 110 (300/120: 1.7), 5.2 p. 110 (240/120: 2, bar
/// 450: stroke 450), 5.4 p. 112 (Whitworth, 50/75: 2.735).
#[test]
fn quick_returns_as_in_the_book() {
    let ratio = |crank, centres| lever(crank, centres).analyse().course.time_ratio.unwrap();
    assert!((ratio(120.0, 300.0) - 1.7).abs() < 0.05);
    assert!((ratio(120.0, 240.0) - 2.0).abs() < 1e-9);
    let swing = swing_of(&lever(120.0, 240.0).analyse());
    let stroke = 2.0 * 450.0 * (swing / 2.0).to_radians().sin();
    assert!((stroke - 450.0).abs() < 1e-9);
    let round = lever(75.0, 50.0).analyse();
    assert!(round.limb_turns && (round.course.time_ratio.unwrap() - 2.735).abs() < 0.0005);
}

/// Khurmi and Gupta, Example 4.1 p. 75: stroke 2 m, 120 rpm, 0.75 m from the middle:
/// 8.31 m/s, 118.44 m/s2 (pure harmonic motion, the Scotch yoke's).
#[test]
fn scotch_yoke_speed_and_acceleration_as_in_the_book() {
    let motor = BoardPoint::mm(0.0, 0.0);
    let yoke = ScotchYoke::new(motor, slide_at(0.0, 0.0, 0.0), Mm(1000.0), Deg(0.0)).unwrap();
    let shaft = Shaft::turning(motor);
    let omega = 120.0 * TAU / 60.0;
    let at = yoke.inverse(Stand::Slid(Mm(750.0)), &shaft).unwrap();
    assert_eq!(at.len(), 2);
    for crank in at {
        let solved = yoke.motion(&shaft.motion(crank).unwrap()).unwrap();
        let (_, speed, second) = yoke.guide().motion(&solved.limb);
        assert!((speed.abs() * omega / 1e3 - 8.31).abs() < 0.005);
        assert!((second.abs() * omega * omega / 1e3 - 118.44).abs() < 0.005);
    }
}

#[test]
fn impossible_geometries_have_their_own_names() {
    let (o, p) = (BoardPoint::mm(0.0, 0.0), BoardPoint::mm(60.0, 80.0));
    let arm = |pivot, crank, offset| SlottedArm::new((o, pivot), Mm(crank), Mm(offset), Deg(0.0));
    assert_eq!(arm(o, 30.0, 0.0).unwrap_err(), Degenerate::CentresMeet);
    assert_eq!(arm(p, 100.0, 0.0).unwrap_err(), Degenerate::PinThroughPivot);
    assert_eq!(arm(p, 30.0, 130.0).unwrap_err(), Degenerate::OutOfReach);
    assert_eq!(arm(p, 0.0, 0.0).unwrap_err(), Degenerate::Length);
    assert_eq!(arm(p, 30.0, f64::NAN).unwrap_err(), Degenerate::NotFinite);
    let line = slide_at(0.0, 0.0, 30.0);
    let rod = |motor, a, b| SliderCrank::new(motor, line, (Mm(a), Mm(b)), Side::Ahead);
    assert_eq!(rod(BoardPoint::mm(-100.0, 200.0), 30.0, 40.0).unwrap_err(), Degenerate::OutOfReach);
    assert_eq!(rod(o, -3.0, 40.0).unwrap_err(), Degenerate::Length);
    assert!(!rod(o, 30.0, 20.0).unwrap().analyse().crank_turns_fully);
    assert!(!rod(o, 30.0, 30.0).unwrap().analyse().crank_turns_fully);
    let yoke = |tilt| ScotchYoke::new(o, line, Mm(30.0), Deg(tilt)).map(|y| y.stroke());
    assert_eq!(yoke(90.0).unwrap_err(), Degenerate::SlotAlongSlide);
    assert_eq!(yoke(-270.0).unwrap_err(), Degenerate::SlotAlongSlide);
    assert_eq!(yoke(f64::INFINITY).unwrap_err(), Degenerate::NotFinite);
    assert!((yoke(60.0).unwrap().0 - 120.0).abs() < 1e-9);
}

/// A mechanism of each kind from eight numbers, where they make one.
fn any_of(k: usize, v: &[f64; 8]) -> Option<(Box<dyn Mechanism>, BoardPoint)> {
    let motor = BoardPoint::mm(v[0], v[1]);
    let other = BoardPoint::mm(v[2], v[3]);
    let slide = Slide { from: other, along: Dir::degrees(Deg(v[4])) };
    let made: Box<dyn Mechanism> = match k {
        0 => Box::new(SlottedArm::new((motor, other), Mm(v[5]), Mm(v[6]), Deg(v[4])).ok()?),
        1 => Box::new(SliderCrank::new(motor, slide, (Mm(v[5]), Mm(v[6])), Side::Ahead).ok()?),
        2 => Box::new(SliderCrank::new(motor, slide, (Mm(v[5]), Mm(v[6])), Side::Behind).ok()?),
        _ => Box::new(ScotchYoke::new(motor, slide, Mm(v[5]), Deg(v[6])).ok()?),
    };
    Some((made, motor))
}

/// A number of the board, or one that is none.
fn number() -> impl Strategy<Value = f64> {
    prop_oneof![
        8 => -300.0..300.0f64,
        1 => prop_oneof![Just(0.0), Just(f64::NAN), Just(f64::INFINITY), Just(1e300), Just(1e-300)],
        1 => prop_oneof![Just(50.0), Just(90.0), Just(100.0)],
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2000))]

    #[test]
    fn no_nan_leaves_a_mechanism(k in 0usize..4, v in proptest::array::uniform8(number())) {
        let Some((m, motor)) = any_of(k, &v) else { return Ok(()) };
        let shaft = Shaft::turning(motor);
        for crank in [0.0, 0.7, v[7], v[7] * 1e-3] {
            if let Ok(s) = shaft.at(crank).and_then(|i| m.position(&i)) {
                let all = [s.limb.x, s.limb.y, s.limb.cos, s.limb.sin, s.push];
                prop_assert!(all.iter().all(|x| x.is_finite()) && !s.margin.is_nan(), "{s:?}");
            }
            if let Ok(s) = shaft.motion(crank).and_then(|i| m.motion(&i)) {
                let all = [s.limb.x, s.limb.y, s.limb.cos, s.limb.sin, s.push];
                let fine = all.iter().all(|x| !(x.v.is_nan() || x.d.is_nan() || x.dd.is_nan()));
                prop_assert!(fine, "{s:?}");
            }
        }
        if let Ok(course) = Course::of(&*m, &shaft) {
            let e = ends(&course);
            prop_assert!(e.iter().all(|x| x.is_finite()), "{e:?}");
            prop_assert!(course.time_ratio.is_none_or(|r| r >= 1.0 - 1e-9));
        }
    }

    #[test]
    fn derivatives_agree_with_differences(k in 0usize..4, v in proptest::array::uniform8(-300.0..300.0f64)) {
        let Some((m, motor)) = any_of(k, &v) else { return Ok(()) };
        let (shaft, guide, h) = (Shaft::turning(motor), m.guide(), 1e-4);
        let at = |c: f64| shaft.at(c).and_then(|i| m.position(&i)).map(|s| guide.stand(&s.limb));
        let crank = v[7] * 0.02;
        let rates = shaft.motion(crank).and_then(|i| m.motion(&i));
        let (Ok(s), Ok(l), Ok(o), Ok(r)) = (rates, at(crank - h), at(crank), at(crank + h)) else {
            return Ok(());
        };
        // Next to a dead centre differences see nothing.
        if s.push.v.abs() < 0.2 || s.margin.v < 25.0 {
            return Ok(());
        }
        let (_, d, dd) = guide.motion(&s.limb);
        let (right, left) = (r.after(o), o.after(l));
        let scale = 1.0 + d.abs() + dd.abs();
        prop_assert!(((right + left) / (2.0 * h) - d).abs() < 1e-3 * scale);
        prop_assert!(((right - left) / (h * h) - dd).abs() < 2e-2 * scale, "{m:?} {dd}");
    }

    #[test]
    fn inverse_leads_back(k in 0usize..4, v in proptest::array::uniform8(-300.0..300.0f64)) {
        let Some((m, motor)) = any_of(k, &v) else { return Ok(()) };
        let (shaft, guide) = (Shaft::turning(motor), m.guide());
        let crank = (v[7] * 0.02).rem_euclid(TAU);
        let Ok(s) = shaft.at(crank).and_then(|i| m.position(&i)) else { return Ok(()) };
        let stand = guide.stand(&s.limb);
        match m.inverse(stand, &shaft) {
            Err(Blocked::Open { .. } | Blocked::DeadCentre) => {
                prop_assert!(m.limits(&shaft).is_err());
                let span = Span::part(crank - 1e-6, crank + 1e-6);
                let near = m.inverse(stand, &Shaft { at: motor, span });
                prop_assert!(near.is_err() || !near.unwrap().is_empty());
            }
            Err(why) => prop_assert!(false, "{why:?}"),
            Ok(found) => {
                let back = found.iter().any(|c| off_deg(c.to_degrees(), crank.to_degrees()) < 1e-4);
                prop_assert!(back, "{m:?} {crank} {found:?}");
                for c in found {
                    let there = shaft.at(c).and_then(|i| m.position(&i)).unwrap();
                    prop_assert!(guide.stand(&there.limb).after(stand).abs() < 1e-6);
                }
            }
        }
    }
}

/// Extreme rates: found against a dense scan of differences of the loop equation's
/// own solution would only repeat the above; here the closed forms of handbooks.
/// Slotted lever: fastest a/(d - a) where the pin is nearest; yoke: a/cos(tilt).
#[test]
fn extreme_rates_as_handbook_formulas() {
    let limits = *lever(30.0, 100.0).analyse().course.travel.swing().unwrap();
    assert!((limits.most_speed - 30.0 / 70.0).abs() < 1e-12);
    let limits = *lever(100.0, 30.0).analyse().course.travel.swing().unwrap();
    assert!((limits.most_speed - 100.0 / 70.0).abs() < 1e-12);
    let motor = BoardPoint::mm(3.0, 4.0);
    let yoke = ScotchYoke::new(motor, slide_at(9.0, 1.0, 40.0), Mm(30.0), Deg(20.0)).unwrap();
    let limits = *yoke.analyse().course.travel.stroke().unwrap();
    let want = 30.0 / 20f64.to_radians().cos();
    assert!((limits.most_speed - want).abs() < 1e-9);
    assert!((limits.most_acceleration - want).abs() < 1e-9);
    // In-line slider: most acceleration a (1 + a/b) at the far dead centre.
    let limits = *slider(30.0, 150.0, 0.0).analyse().course.travel.stroke().unwrap();
    assert!((limits.most_acceleration - 30.0 * 1.2).abs() < 1e-9);
}

/// A hill that stands where the turn is cut, at crank 0, is climbed too: the most of
/// the rates is never below the highest of 36,000 looks of the same motion.
#[test]
fn extreme_rates_at_the_seam() {
    let mut rng = Rng(11);
    for _ in 0..40 {
        let mut between = |lo: f64, hi: f64| lo + (hi - lo) * rng.unit();
        let (a, e) = (between(20.0, 60.0), between(-25.0, 25.0));
        let m = slider(a, a + e.abs() + between(2.0, 80.0), e);
        let limits = *m.analyse().course.travel.stroke().unwrap();
        let (shaft, guide) = (Shaft::turning(BoardPoint::mm(0.0, e)), m.guide());
        let (mut speed, mut second) = (0.0_f64, 0.0_f64);
        for n in 0..36_000 {
            let input = shaft.motion(TAU * f64::from(n) / 36_000.0).unwrap();
            let (_, d, dd) = guide.motion(&m.motion(&input).unwrap().limb);
            (speed, second) = (speed.max(d.abs()), second.max(dd.abs()));
        }
        assert!(limits.most_speed >= speed * (1.0 - 1e-12), "{m:?}");
        assert!(limits.most_acceleration >= second * (1.0 - 1e-12), "{m:?}");
        assert!(limits.most_acceleration <= second * (1.0 + 1e-4), "{m:?}");
    }
}
