//! `?` of a servo's arm, rod and lever, against circles cut with each other here: every
//! answer walked from end to end, the best against a scan of clamps and rods, what does
//! not fit against the same scan. No code of the program's kinematics is used.
#![allow(clippy::disallowed_methods)] // On purpose another library's sines.

use yardwright::geometry::BoardPoint;
use yardwright::mechanism::Assembly;
use yardwright::mechanism::solve::{
    Prefer, ServoChange, ServoChoice, ServoReason, ServoWish, Size, Sizes, solve_servo,
};
use yardwright::units::{Deg, Mm, System};

use super::near_deg;
use super::reference::Rng;

type Point = (f64, f64);

/// The two places that are `r` from `p` and `s` from `q`: left and right of the way from
/// p to q.
fn meet(p: Point, r: f64, q: Point, s: f64) -> Option<[Point; 2]> {
    let (dx, dy) = (q.0 - p.0, q.1 - p.1);
    let far = dx.hypot(dy);
    let along = (r * r - s * s + far * far) / (2.0 * far);
    let square = r * r - along * along;
    if square < 0.0 {
        return None;
    }
    let (ex, ey, off) = (dx / far, dy / far, square.sqrt());
    let at = |off: f64| (p.0 + along * ex - off * ey, p.1 + along * ey + off * ex);
    Some([at(off), at(-off)])
}

/// The angle at `q` between the ways to `p` and to `r`, folded to 0..90 deg.
fn folded(p: Point, q: Point, r: Point) -> f64 {
    let (a, b) = ((p.0 - q.0, p.1 - q.1), (r.0 - q.0, r.1 - q.1));
    let (cross, dot) = (a.0 * b.1 - a.1 * b.0, a.0 * b.0 + a.1 * b.1);
    cross.abs().atan2(dot.abs()).to_degrees()
}

/// Sizes by number: arm, rod, lever, clamp.
pub type Bars = [f64; 4];

/// Limb angle and push angle with the arm pointing so, in one assembly.
fn limb(w: &ServoWish, [a, b, c, clamp]: Bars, side: Assembly, arm: f64) -> Option<(f64, f64)> {
    let pin = (w.servo.x + a * arm.to_radians().cos(), w.servo.y + a * arm.to_radians().sin());
    let pivot = (w.pivot.x, w.pivot.y);
    let [left, right] = meet(pin, b, pivot, c)?;
    let far = if side == Assembly::Open { left } else { right };
    let angle = (far.1 - pivot.1).atan2(far.0 - pivot.0).to_degrees() - clamp;
    Some((angle, folded(pin, far, pivot)))
}

/// Walks an answer from its low end to its high one.
pub fn walked(w: &ServoWish, choice: &ServoChoice, tag: &str) {
    let bars = choice.linkage.bars();
    let sizes = [bars.crank.0, bars.rod.0, bars.lever.0, choice.linkage.clamp().0];
    let side = choice.linkage.assembly();
    let at = |own: f64| {
        let arm = choice.arm_at_zero.0 + w.sign * own;
        limb(w, sizes, side, arm).unwrap_or_else(|| panic!("{tag}: does not close at {own}"))
    };
    let (from, to) = (choice.servo.0.0, choice.servo.1.0);
    for own in [from, to] {
        let inside = own >= w.travel.0.0 - 1e-5 && own <= w.travel.1.0 + 1e-5;
        assert!(inside, "{tag}: servo at {own}, {:?}", w.travel);
    }
    assert!(near_deg(at(from).0, w.used.0.0) < 1e-5, "{tag}: {} {:?}", at(from).0, w.used);
    assert!(near_deg(at(to).0, w.used.1.0) < 1e-5, "{tag}: {} {:?}", at(to).0, w.used);
    assert!(near_deg(at(0.0).0, choice.zero.0) < 1e-5, "{tag}: {} {:?}", at(0.0).0, choice.zero);
    let (mut last, mut worst, mut turned) = (at(from).0, f64::INFINITY, 0.0);
    for n in 0..=2000 {
        let (limb, push) = at(from + (to - from) * f64::from(n) / 2000.0);
        let step = (limb - last + 540.0).rem_euclid(360.0) - 180.0;
        assert!(step > -1e-9 && step < 2.0, "{tag}: turns back or jumps by {step} at step {n}");
        turned += step;
        last = limb;
        worst = worst.min(push);
    }
    assert!((turned - (w.used.1 - w.used.0).0).abs() < 1e-5, "{tag}: {turned}");
    // Least between two steps by less than what the push changes in one.
    assert!((worst - choice.push.0).abs() < 0.05, "{tag}: {worst} {:?}", choice.push);
    assert!(choice.push.0 >= 20.0 - 1e-6, "{tag}");
    let allowed = |size: Size, v: f64| match size {
        Size::Given(g) => (v - g).abs() < 1e-9,
        Size::Between { lo, hi } => v >= lo - 1e-9 && v <= hi + 1e-9,
        Size::Row { lo, hi, step } => {
            let n = ((v - lo) / step).round();
            (lo + n * step - v).abs() < 1e-9 && v >= lo - 1e-9 && v <= hi + 1e-9
        }
        Size::Free => true,
    };
    let said = [w.sizes.crank, w.sizes.rod, w.sizes.lever];
    assert!(said.iter().zip(sizes).all(|(s, v)| allowed(*s, v)), "{tag}: {sizes:?}");
}

/// What a clamp and a rod make of a pair, at nine angles of the limb: the worst push, and
/// how far the servo turns; `None` where it does not go all the way.
pub fn scanned(w: &ServoWish, bars: Bars, elbow: usize) -> Option<(f64, f64)> {
    let [a, b, c, clamp] = bars;
    let (servo, pivot) = ((w.servo.x, w.servo.y), (w.pivot.x, w.pivot.y));
    let (mut worst, mut turned, mut side) = (f64::INFINITY, 0.0, 0.0);
    let mut last: Option<f64> = None;
    let mut own_zero = None;
    let steps = 12;
    for n in 0..=steps {
        let at = w.used.0.0 + (w.used.1 - w.used.0).0 * f64::from(n) / f64::from(steps);
        let lever = (at + clamp).to_radians();
        let far = (pivot.0 + c * lever.cos(), pivot.1 + c * lever.sin());
        let pin = meet(servo, a, far, b)?[elbow];
        let cross = (pivot.0 - pin.0) * (far.1 - pin.1) - (pivot.1 - pin.1) * (far.0 - pin.0);
        if side * cross < 0.0 || folded(servo, pin, far) < 20.0 {
            return None;
        }
        side = cross.signum();
        worst = worst.min(folded(pin, far, pivot));
        let arm = (pin.1 - servo.1).atan2(pin.0 - servo.0).to_degrees();
        if let Some(last) = last {
            let step: f64 = (arm - last + 540.0_f64).rem_euclid(360.0) - 180.0;
            if turned * step < 0.0 {
                return None;
            }
            turned += step;
        }
        last = Some(arm);
        if let Size::Given(zero) = w.zero
            && own_zero.is_none()
            && (at - zero).abs() < 1e-9
        {
            own_zero = Some(turned);
        }
    }
    if w.assembly.is_some_and(|s| s.sign() != side) {
        return None;
    }
    let travel = (w.travel.1 - w.travel.0).0;
    let fits = match (w.zero, own_zero) {
        (Size::Given(_), Some(zero)) => [-zero * w.sign, (turned - zero) * w.sign]
            .iter()
            .all(|own| *own >= w.travel.0.0 - 1e-9 && *own <= w.travel.1.0 + 1e-9),
        _ => turned.abs() <= travel,
    };
    fits.then_some((worst, turned.abs()))
}

/// The best worst push of a net of clamps and rods.
fn scan(w: &ServoWish, arm: f64, lever: f64) -> Option<f64> {
    let clamps: Vec<f64> = match w.sizes.clamp {
        Size::Given(v) => vec![v],
        _ => (0..90).map(|n| f64::from(n) * 4.0).collect(),
    };
    let ground = w.servo.distance(w.pivot).0;
    let rods: Vec<f64> = match w.sizes.rod {
        Size::Given(v) => vec![v],
        _ => {
            let (lo, hi) = ((ground - arm - lever).max(2.0), ground + arm + lever);
            (0..=60).map(|n| lo + (hi - lo) * f64::from(n) / 60.0).collect()
        }
    };
    let all = clamps.iter().flat_map(|&clamp| rods.iter().map(move |&rod| (clamp, rod)));
    let all = all.flat_map(|(clamp, rod)| {
        [0, 1].into_iter().filter_map(move |e| scanned(w, [arm, rod, lever, clamp], e))
    });
    all.map(|f| f.0).reduce(f64::max)
}

/// A random wish for one pair of holes.
fn drawn(rng: &mut Rng, n: usize) -> (ServoWish, f64, f64) {
    let (servo, pivot) = (
        BoardPoint::mm(300.0 * rng.unit(), 300.0 * rng.unit()),
        BoardPoint::mm(400.0 + 50.0 * rng.unit(), 300.0 * rng.unit()),
    );
    let (arm, lever) = (10.0 + 25.0 * rng.unit(), 12.0 + 50.0 * rng.unit());
    let middle = 360.0 * rng.unit() - 180.0;
    let half = 8.0 + 35.0 * rng.unit();
    let travel = 35.0 + 40.0 * rng.unit();
    let sweep = (Deg(middle - half), Deg(middle + half));
    // A multiple of the scan's steps.
    let zero = middle - half + 2.0 * half * (rng.unit() * 12.0).floor() / 12.0;
    let clamp = 360.0 * rng.unit() - 180.0;
    let ground = servo.distance(pivot).0;
    let wish = ServoWish {
        servo,
        pivot,
        sizes: Sizes {
            crank: Size::Given(arm),
            rod: if n % 4 == 3 {
                Size::Given(ground - 10.0 + 20.0 * rng.unit())
            } else {
                Size::Free
            },
            lever: Size::Given(lever),
            clamp: if n % 4 == 2 { Size::Given(clamp) } else { Size::Free },
        },
        used: sweep,
        travel: (Deg(-travel), Deg(travel)),
        sign: if n.is_multiple_of(3) { -1.0 } else { 1.0 },
        zero: if n.is_multiple_of(2) { Size::Free } else { Size::Given(zero) },
        within: Deg(2.0),
        prefer: Prefer::Usual,
        assembly: None,
        error: Mm(1.0),
        system: System::Metric,
    };
    (wish, arm, lever)
}

#[test]
fn every_answer_goes_where_circles_say_and_is_as_good_as_a_scan() {
    let mut rng = Rng(20_271_103);
    let (mut found, mut none) = (0, 0);
    for n in 0..72 {
        let (w, arm, lever) = drawn(&mut rng, n);
        let tag = format!("{n}: {w:?}");
        match solve_servo(&w) {
            Ok(answer) => {
                found += 1;
                walked(&w, &answer.best, &tag);
                answer.others.iter().for_each(|o| walked(&w, o, &tag));
                if let Some(best) = scan(&w, arm, lever) {
                    // Whole degrees and half millimetres cost some of the push.
                    assert!(best - answer.best.push.0 < 0.75, "{tag}: {best} {:?}", answer.best);
                }
            }
            Err(no) => {
                none += 1;
                let best = scan(&w, arm, lever);
                assert!(best.is_none_or(|b| b < 20.5), "{tag}: {best:?} {no:?}");
                for (change, choice) in &no.nearest {
                    let changed = with(&w, change, choice);
                    walked(&changed, choice, &format!("{tag} with {change:?}"));
                }
            }
        }
    }
    assert!(found > 40 && none > 20, "{found} {none}");
}

/// The wish with a change made.
fn with(w: &ServoWish, change: &ServoChange, choice: &ServoChoice) -> ServoWish {
    let mut w = *w;
    match *change {
        ServoChange::Zero(at) => w.zero = Size::Given(at.0),
        ServoChange::Clamp(at) => w.sizes.clamp = Size::Given(at.0),
        ServoChange::Rod(at) => w.sizes.rod = Size::Given(at.0),
        ServoChange::Arm(at) => w.sizes.crank = Size::Given(at.0),
        ServoChange::Lever(at) => w.sizes.lever = Size::Given(at.0),
        ServoChange::Ends { from, to } => w.used = (from, to),
    }
    // Typed in as it is told, it is solved again.
    let again = solve_servo(&w).unwrap_or_else(|no| panic!("{change:?} {choice:?}: {no:?}"));
    assert!((again.best.push - choice.push).abs() < Deg(1.0), "{again:?} {choice:?}");
    w
}

/// The owl's: servo 60 mm below the bolt, 90 deg either side by 35 deg.
fn owl() -> ServoWish {
    ServoWish {
        servo: BoardPoint::mm(210.0, 680.0),
        pivot: BoardPoint::mm(210.0, 740.0),
        sizes: Sizes { crank: Size::Free, rod: Size::Free, lever: Size::Free, clamp: Size::Free },
        used: (Deg(55.0), Deg(125.0)),
        travel: (Deg(-50.0), Deg(50.0)),
        sign: 1.0,
        zero: Size::Given(90.0),
        within: Deg(2.0),
        prefer: Prefer::Usual,
        assembly: None,
        error: Mm(1.0),
        system: System::Metric,
    }
}

/// A parallelogram turns its limb as its servo does, so its push is 90 deg less half the
/// swing (engineering handbooks: the angle between two opposite sides' third).
#[test]
fn equal_arms_and_a_rod_as_long_as_the_centres_are_apart_lead() {
    for sizes in [
        owl().sizes,
        Sizes { crank: Size::Given(20.0), ..owl().sizes },
        Sizes { lever: Size::Given(22.0), ..owl().sizes },
        Sizes { crank: Size::Row { lo: 12.0, hi: 24.0, step: 4.0 }, ..owl().sizes },
    ] {
        let w = ServoWish { sizes, ..owl() };
        let found = solve_servo(&w).unwrap();
        let bars = found.best.linkage.bars();
        assert!(found.best.parallel && bars.crank == bars.lever, "{found:?}");
        assert!((bars.rod.0 - 60.0).abs() < 1e-9);
        assert!((found.best.push.0 - 55.0).abs() < 1e-9, "{:?}", found.best.push);
        assert!((found.best.servo.0.0 + 35.0).abs() < 1e-9);
        walked(&w, &found.best, "owl");
        found.others.iter().for_each(|o| walked(&w, o, "owl"));
    }
    // Where the travel does not reach, another linkage does, or none.
    let short = ServoWish { travel: (Deg(-30.0), Deg(30.0)), ..owl() };
    let found = solve_servo(&short).unwrap();
    assert!(!found.best.parallel, "{found:?}");
    walked(&short, &found.best, "short");
}

#[test]
fn preferences_prefer() {
    let sizes = Sizes {
        crank: Size::Row { lo: 10.0, hi: 30.0, step: 5.0 },
        lever: Size::Row { lo: 20.0, hi: 60.0, step: 10.0 },
        ..owl().sizes
    };
    let wish = |prefer| ServoWish { sizes, prefer, used: (Deg(75.0), Deg(105.0)), ..owl() };
    let best = |prefer| {
        let w = wish(prefer);
        let found = solve_servo(&w).unwrap().best;
        walked(&w, &found, "prefer");
        assert!(found.push.0 >= 44.9, "{found:?}");
        found
    };
    // How fast the limb goes by the servo, by small steps along the walk.
    let rates = |c: &ServoChoice| {
        let w = wish(Prefer::Usual);
        let b = c.linkage.bars();
        let sizes = [b.crank.0, b.rod.0, b.lever.0, c.linkage.clamp().0];
        let at = |own: f64| limb(&w, sizes, c.linkage.assembly(), c.arm_at_zero.0 + own).unwrap().0;
        let all = (1..100).map(|n| {
            let own = c.servo.0.0 + (c.servo.1 - c.servo.0).0 * f64::from(n) / 100.0;
            ((at(own + 0.01) - at(own - 0.01) + 540.0).rem_euclid(360.0) - 180.0).abs() / 0.02
        });
        all.fold((f64::INFINITY, 0.0_f64), |m, r| (m.0.min(r), m.1.max(r)))
    };
    let [push, build, light, even] =
        [Prefer::Usual, Prefer::Build, Prefer::Light, Prefer::Even].map(best);
    assert!(light.push.0 > 44.0 && rates(&light).1 < rates(&push).1 - 0.1, "{:?}", rates(&light));
    assert!(build.fit.0 >= push.fit.0 && build.fit.0 >= light.fit.0);
    let evenness = |c: &ServoChoice| rates(c).1 / rates(c).0;
    assert!(evenness(&even) <= evenness(&light) && evenness(&even) < 1.02, "{}", evenness(&even));
}

#[test]
fn what_is_in_the_way_is_named() {
    let why = |w: &ServoWish| solve_servo(w).unwrap_err().reason;
    // A travel of 10 deg cannot swing a limb by 70 through equal arms of 20.
    let equal = Sizes { crank: Size::Given(20.0), lever: Size::Given(20.0), ..owl().sizes };
    let stiff = ServoWish { sizes: equal, travel: (Deg(-5.0), Deg(5.0)), ..owl() };
    assert!(matches!(why(&ServoWish { zero: Size::Free, ..stiff }), ServoReason::Travel { .. }));
    // The limb at 55 deg at the servo's zero: 70 deg to go, and 40 there are.
    let at_end = ServoWish {
        sizes: Sizes { rod: Size::Given(60.0), ..equal },
        zero: Size::Given(55.0),
        travel: (Deg(-40.0), Deg(40.0)),
        ..owl()
    };
    let no = solve_servo(&at_end).unwrap_err();
    assert!(matches!(no.reason, ServoReason::Zero { .. }), "{no:?}");
    assert!(no.nearest.iter().any(|n| matches!(n.0, ServoChange::Zero(_))), "{no:?}");
    let far = Sizes { rod: Size::Given(300.0), ..equal };
    assert_eq!(why(&ServoWish { sizes: far, ..owl() }), ServoReason::Apart);
    assert!(matches!(why(&ServoWish { pivot: owl().servo, ..owl() }), ServoReason::Nonsense(_)));
    // A hundred and sixty degrees through equal arms push at 10 deg at the ends.
    let wide = ServoWish {
        used: (Deg(10.0), Deg(170.0)),
        travel: (Deg(-90.0), Deg(90.0)),
        zero: Size::Free,
        sizes: Sizes { rod: Size::Given(60.0), ..equal },
        ..owl()
    };
    match why(&wide) {
        ServoReason::WeakPush { best } => assert!(best.0 <= 20.0 && best.0 > 5.0, "{best:?}"),
        ServoReason::Lean { best } => assert!(best.0 <= 20.0, "{best:?}"),
        other => panic!("{other:?}"),
    }
}

/// Turned over and mirrored it is the same answer: nothing hangs on where it stands.
#[test]
fn a_mirrored_wish_pushes_as_well() {
    let mut rng = Rng(7);
    for n in 0..20 {
        let (w, ..) = drawn(&mut rng, n);
        let flip = |p: BoardPoint| BoardPoint::mm(-p.x, p.y);
        let mirrored = |s: Size| s.mapped(|v| -v);
        let image = ServoWish {
            servo: flip(w.servo),
            pivot: flip(w.pivot),
            sizes: Sizes { clamp: mirrored(w.sizes.clamp), ..w.sizes },
            used: (Deg(180.0) - w.used.1, Deg(180.0) - w.used.0),
            sign: -w.sign,
            zero: w.zero.mapped(|v| 180.0 - v),
            ..w
        };
        match (solve_servo(&w), solve_servo(&image)) {
            (Ok(a), Ok(b)) => {
                assert!((a.best.push - b.best.push).abs() < Deg(1.5), "{n}: {a:?} {b:?}");
            }
            (a, b) => assert_eq!(a.is_ok(), b.is_ok(), "{n}"),
        }
    }
}
