//! Cams against published factors, worked examples and a follower rolled over the
//! cut curve by search, with nothing taken from the program's own formulas.

use super::reference::Rng;
use proptest::prelude::*;
use yardwright::geometry::{BoardPoint, Dir};
use yardwright::mechanism::cam::{
    Cam, Cut, Held, Law, Limb, NoProgramme, Plan, Programme, Refusal, Runs, Segment, Sliding,
    SlidingFoot, Spring, Swinging, SwingingFoot, What,
};
use yardwright::mechanism::{Guide, Mechanism, Path, Shaft, Slide, Span, Stand, Travel};
use yardwright::units::{Deg, Kg, KgM2, Mm, Newton, Rpm};

const SHAFT: BoardPoint = BoardPoint::mm(310.0, 600.0);

fn sliding(base: f64, lift: f64, foot: SlidingFoot, programme: Programme) -> Plan {
    let slide = Slide { from: SHAFT, along: Dir::NORTH };
    Plan {
        shaft: SHAFT,
        base: Mm(base),
        limb: Limb::Slides(Sliding { slide, low: Mm(60.0), lift: Mm(lift), foot }),
        programme,
        runs: Runs::Ccw,
        start: Deg(0.0),
    }
}

fn roller(radius: f64) -> SlidingFoot {
    SlidingFoot::Roller { radius: Mm(radius), offset: Mm(0.0) }
}

fn programme(law: Law, turns: [f64; 4]) -> Programme {
    Programme::rise_fall(law, turns.map(Deg)).unwrap()
}

/// The demo frog.
fn frog() -> Plan {
    sliding(35.0, 20.0, roller(8.0), programme(Law::Poly345, [120.0, 40.0, 120.0, 80.0]))
}

/// Peak factors: R. L. Norton, Design of Machinery, Table 8-3; H. A. Rothbart
/// (ed.), Cam Design Handbook, ch. 3; VDI 2143 Bl. 1. Norton prints 5.777 for the
/// 3-4-5 polynomial and 7.526 for the 4-5-6-7; the exact peaks are 10/sqrt 3 and
/// 7.5132.
#[test]
#[allow(clippy::approx_constant)] // Numbers as the tables print them.
fn laws_have_their_published_peaks() {
    let table = [
        (Law::Parabolic, 2.0, 4.0, None),
        (Law::Harmonic, 1.5708, 4.9348, None),
        (Law::Cycloidal, 2.0, 6.2832, Some(39.478)),
        (Law::ModifiedSine, 1.7596, 5.528, Some(69.466)),
        (Law::ModifiedTrapezoid, 2.0, 4.8881, Some(61.426)),
        (Law::Poly345, 1.875, 5.7735, Some(60.0)),
        (Law::Poly4567, 2.1875, 7.5132, Some(52.5)),
    ];
    for (law, velocity, acceleration, jerk) in table {
        let f = law.factors();
        let at: Vec<_> = (0..=40_000).map(|i| law.at(f64::from(i) / 40_000.0)).collect();
        let most = |of: fn(&yardwright::mechanism::cam::Level) -> f64| {
            at.iter().map(|l| of(l).abs()).fold(0.0, f64::max)
        };
        let close = |a: f64, b: f64, tol: f64| assert!((a - b).abs() <= tol, "{law:?}: {a} {b}");
        // The closed forms against the table, and the formulas against both.
        close(f.velocity, velocity, 5e-5);
        close(f.acceleration, acceleration, 5e-5);
        close(most(|l| l.d), f.velocity, 1e-7);
        close(most(|l| l.dd), f.acceleration, 1e-6);
        assert_eq!(f.jerk.is_some(), jerk.is_some(), "{law:?}");
        if let (Some(got), Some(jerk)) = (f.jerk, jerk) {
            close(got, jerk, 5e-4);
            close(most(|l| l.ddd), got, 1e-6);
        }
        // Each derivative is that of the one before it.
        let h = 1e-5;
        for i in 1..400 {
            let x = f64::from(i) / 400.0 + 1e-4;
            if law.breaks().iter().any(|b| (b - x).abs() < 2.0 * h) || x > 1.0 - 2.0 * h {
                continue;
            }
            let (l, m, r) = (law.at(x - h), law.at(x), law.at(x + h));
            close(m.d, (r.v - l.v) / (2.0 * h), 1e-6);
            close(m.dd, (r.d - l.d) / (2.0 * h), 1e-6);
            close(m.ddd, (r.dd - l.dd) / (2.0 * h), 1e-5);
        }
    }
}

/// Largest acceleration of a follower on its rise and on its fall, m/s2.
fn accelerations(law: Law, lift: f64, rise: f64, fall: f64, rpm: f64) -> (f64, f64) {
    let turns = [rise, 0.5 * (360.0 - rise - fall), fall, 0.5 * (360.0 - rise - fall)];
    let cam = Cam::new(sliding(80.0, lift, roller(10.0), programme(law, turns))).unwrap();
    let most = |from: f64, to: f64| {
        let path = Shaft { at: SHAFT, span: Span::part(Deg(from).rad().0, Deg(to).rad().0) };
        let travel = cam.limits(&path).unwrap();
        let square = Rpm(rpm).rad_per_sec() * Rpm(rpm).rad_per_sec();
        travel.stroke().unwrap().most_acceleration * square * 1e-3
    };
    let down = rise + turns[1];
    (most(0.0, rise - 1e-9), most(down, down + fall - 1e-9))
}

/// B. K. Sarkar, Theory of Machines, Tata McGraw-Hill 2002, ch. 9, Illustrations
/// 2 (p. 247, printed with pi = 3.141), 3 (p. 249) and 5 (p. 252).
#[test]
fn followers_accelerate_as_the_worked_examples_say() {
    let near = |got: (f64, f64), want: (f64, f64), tol: (f64, f64)| {
        assert!((got.0 - want.0).abs() <= tol.0 && (got.1 - want.1).abs() <= tol.1, "{got:?}");
    };
    let a = accelerations(Law::Harmonic, 40.0, 60.0, 90.0, 300.0);
    near(a, (177.6, 78.9), (0.1, 0.1));
    let a = accelerations(Law::Harmonic, 50.0, 120.0, 60.0, 100.0);
    near(a, (6.2, 24.7), (0.05, 0.05));
    let a = accelerations(Law::Parabolic, 25.0, 120.0, 90.0, 1000.0);
    near(a, (250.0, 444.44), (0.05, 0.005));
}

/// tan(alpha) = (dr/dtheta)/r for a follower in line with the shaft (cam design
/// example, brentyi.github.io/jaxls); the number is our own calculation.
#[test]
fn the_pressure_angle_of_a_cycloidal_cam() {
    let turns = [120.0, 60.0, 120.0, 60.0];
    let knife = sliding(40.0, 25.0, roller(0.0), programme(Law::Cycloidal, turns));
    let facts = Cam::new(knife).unwrap().facts();
    assert!((facts.pressure.value.0 - 24.9664).abs() < 5e-5, "{facts:?}");
    // The peak lies at 0.4510 of the rise, or as far before the end of the fall.
    let share = facts.pressure.turn.0 / 120.0;
    let fall = (300.0 - facts.pressure.turn.0) / 120.0;
    assert!((share - 0.4510).abs() < 1e-3 || (fall - 0.4510).abs() < 1e-3, "{facts:?}");
    assert_eq!(facts.undercut, None);
}

/// Own calculation (NumPy), rounded as printed there.
#[test]
fn the_frog_of_the_demo_season() {
    let cam = Cam::new(frog()).unwrap();
    let facts = cam.facts();
    assert!((facts.pressure.value.0 - 18.9).abs() < 0.05, "{facts:?}");
    assert!((facts.convex.unwrap().value.0 - 43.0).abs() < 0.05, "{facts:?}");
    assert!((facts.rollers() - 5.4).abs() < 0.05);
    assert!((facts.nearest.0 - 35.0).abs() < 1e-9 && (facts.farthest.0 - 55.0).abs() < 1e-9);
    let held = Held {
        mass: Kg(0.8),
        inertia: KgM2(0.0),
        centre: Mm(0.0),
        centre_at: Deg(0.0),
        spring: None,
    };
    // Four beats at 116 a minute.
    let speed = Rpm(116.0 / 4.0);
    let lift = cam.lift_off(&held, speed);
    assert!((lift.margin.value - 40.0).abs() < 0.5, "{lift:?}");
    let limits = cam.limits(&Shaft::turning(SHAFT)).unwrap();
    let a = limits.stroke().unwrap().most_acceleration
        * speed.rad_per_sec()
        * speed.rad_per_sec()
        * 1e-3;
    assert!((a - 0.24).abs() < 0.005, "{a}");
    assert!((cam.lift_off(&held, lift.most).margin.value - 1.0).abs() < 1e-9);
    assert!((cam.lift_off(&held, lift.speed_for(1.5)).margin.value - 1.5).abs() < 1e-9);
    // A spring as strong as the weight doubles what may be taken; upside down the
    // weight pulls it off.
    let spring = Spring::Push { preload: Newton(0.8 * 9.806_65), per_mm: Newton(0.0) };
    let both = cam.lift_off(&Held { spring: Some(spring), ..held }, speed);
    assert!((both.margin.value / lift.margin.value - 2.0).abs() < 1e-9);
    let mut down = frog();
    if let Limb::Slides(s) = &mut down.limb {
        s.slide.along = Dir::SOUTH;
    }
    assert_eq!(Cam::new(down).unwrap().lift_off(&held, speed).most, Rpm(0.0));
}

/// A random cam that can be made; the foot's kind by `kind`.
fn random(rng: &mut Rng, kind: usize) -> Option<Cam> {
    let mut between = |lo: f64, hi: f64| lo + (hi - lo) * rng.unit();
    let law = |x: f64| Law::ALL[(x * 7.0) as usize % 7];
    let (rise, fall) = (between(70.0, 150.0), between(70.0, 150.0));
    let top = between(0.0, 360.0 - rise - fall);
    let (up, down) = (law(between(0.0, 1.0)), law(between(0.0, 1.0)));
    let segments = [
        Segment::Rise { turn: Deg(rise), law: up },
        Segment::Dwell { turn: Deg(top) },
        Segment::Fall { turn: Deg(fall), law: down },
        Segment::Dwell { turn: Deg(360.0 - rise - top - fall) },
    ];
    let programme = Programme::new(&segments, 1).ok()?;
    let base = between(25.0, 90.0);
    let radius = Mm(if between(0.0, 1.0) < 0.15 { 0.0 } else { between(4.0, 12.0) });
    let sign = if between(0.0, 1.0) < 0.5 { 1.0 } else { -1.0 };
    let heading = Dir::degrees(Deg(between(0.0, 360.0)));
    let slide = Slide { from: SHAFT, along: heading };
    let low = Mm(between(-50.0, 90.0));
    let lift = Mm(sign * between(4.0, 35.0));
    let offset = Mm(between(-0.4, 0.4) * base);
    let far = between(1.3, 3.0) * (base + 40.0);
    let pivot = BoardPoint::mm(SHAFT.x + far * heading.x(), SHAFT.y + far * heading.y());
    let (clamp, turn) = (Deg(between(-180.0, 180.0)), Deg(sign * between(4.0, 25.0)));
    let lever = Mm(far * between(0.7, 1.1));
    let stand_off = Mm(between(-10.0, 15.0));
    let swings = |foot| Limb::Swings(Swinging { pivot, clamp, lift: turn, foot });
    let limb = match kind {
        0 => {
            Limb::Slides(Sliding { slide, low, lift, foot: SlidingFoot::Roller { radius, offset } })
        }
        1 => Limb::Slides(Sliding { slide, low, lift, foot: SlidingFoot::Flat }),
        2 => swings(SwingingFoot::Roller { radius, lever }),
        _ => swings(SwingingFoot::Flat { stand_off }),
    };
    let runs = if between(0.0, 1.0) < 0.5 { Runs::Ccw } else { Runs::Cw };
    let start = Deg(between(-200.0, 200.0));
    let cam = Cam::new(Plan { shaft: SHAFT, base: Mm(base), limb, programme, runs, start }).ok()?;
    (cam.facts().undercut.is_none() && cam.facts().pressure.value.0 < 55.0).then_some(cam)
}

/// The outline as corner points, arcs in half degrees.
fn corners(cam: &Cam, error: f64) -> Vec<[f64; 2]> {
    let outline = cam.profile(Mm(error)).unwrap();
    let mut all = vec![[outline.start.x, outline.start.y]];
    for cut in &outline.cuts {
        let [x, y] = all[all.len() - 1];
        if let Cut::Arc { to, radius, ccw } = cut {
            let from = libm::atan2(y, x);
            let mut wide = libm::atan2(to.y, to.x) - from;
            if *ccw && wide < 0.0 {
                wide += std::f64::consts::TAU;
            }
            if !*ccw && wide > 0.0 {
                wide -= std::f64::consts::TAU;
            }
            let n = (wide.abs() / 0.008).ceil() as usize;
            for i in 1..n {
                let a = from + wide * i as f64 / n as f64;
                all.push([radius.0 * libm::cos(a), radius.0 * libm::sin(a)]);
            }
        }
        all.push([cut.to().x, cut.to().y]);
    }
    all.pop();
    all
}

/// Distance from a point to a closed polygon.
fn distance(polygon: &[[f64; 2]], p: [f64; 2]) -> f64 {
    let mut least = f64::INFINITY;
    for i in 0..polygon.len() {
        let (a, b) = (polygon[i], polygon[(i + 1) % polygon.len()]);
        let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
        let square = dx * dx + dy * dy;
        let t = ((p[0] - a[0]) * dx + (p[1] - a[1]) * dy) / square;
        let t = if square > 0.0 { t.clamp(0.0, 1.0) } else { 0.0 };
        least = least.min(libm::hypot(p[0] - a[0] - t * dx, p[1] - a[1] - t * dy));
    }
    least
}

/// How far a follower is from resting on the polygon, positive above it, with the
/// limb at `way` (mm along the slide, or rad of the limb's axis).
fn gap(cam: &Cam, polygon: &[[f64; 2]], turn: f64, way: f64) -> f64 {
    let (c, s) = (libm::cos(turn), libm::sin(turn));
    let into_cam = |x: f64, y: f64| [c * x + s * y, c * y - s * x];
    match cam.plan().limb {
        Limb::Slides(m) => {
            let sign = if m.lift.0 < 0.0 { -1.0 } else { 1.0 };
            let (ux, uy) = (sign * m.slide.along.x(), sign * m.slide.along.y());
            // How much it has been lifted from the lowest.
            let lifted = sign * (way - m.low.0);
            match m.foot {
                SlidingFoot::Roller { radius, offset } => {
                    let pitch = cam.plan().base.0 + radius.0;
                    let height = (pitch * pitch - offset.0 * offset.0).sqrt() + lifted;
                    let centre = into_cam(height * ux - offset.0 * uy, height * uy + offset.0 * ux);
                    outside(polygon, centre) - radius.0
                }
                SlidingFoot::Flat => {
                    let up = into_cam(ux, uy);
                    cam.plan().base.0 + lifted - highest(polygon, up)
                }
            }
        }
        Limb::Swings(m) => {
            let (px, py) = (m.pivot.x - SHAFT.x, m.pivot.y - SHAFT.y);
            let at = way + m.clamp.rad().0;
            let (ax, ay) = (libm::cos(at), libm::sin(at));
            match m.foot {
                SwingingFoot::Roller { radius, lever } => {
                    let centre = into_cam(px + lever.0 * ax, py + lever.0 * ay);
                    outside(polygon, centre) - radius.0
                }
                SwingingFoot::Flat { stand_off } => {
                    // The normal away from the cam is on the lifted side of the face.
                    let sign = if m.lift.0 < 0.0 { -1.0 } else { 1.0 };
                    let (nx, ny) = (-sign * ay, sign * ax);
                    px * nx + py * ny - stand_off.0 - highest(polygon, into_cam(nx, ny))
                }
            }
        }
    }
}

/// Distance, negative inside.
fn outside(polygon: &[[f64; 2]], p: [f64; 2]) -> f64 {
    let mut inside = false;
    for i in 0..polygon.len() {
        let (a, b) = (polygon[i], polygon[(i + 1) % polygon.len()]);
        if (a[1] > p[1]) != (b[1] > p[1])
            && p[0] < (b[0] - a[0]) * (p[1] - a[1]) / (b[1] - a[1]) + a[0]
        {
            inside = !inside;
        }
    }
    if inside { -distance(polygon, p) } else { distance(polygon, p) }
}

fn highest(polygon: &[[f64; 2]], up: [f64; 2]) -> f64 {
    polygon.iter().map(|p| p[0] * up[0] + p[1] * up[1]).fold(f64::MIN, f64::max)
}

/// The limb's coordinate by the trait: mm along the slide, or rad.
fn stand(cam: &Cam, turn: f64) -> f64 {
    let path = Shaft::turning(SHAFT);
    let solved = cam.position(&path.at(turn).unwrap()).unwrap();
    match cam.guide() {
        Guide::Slide(slide) => slide.way(solved.limb.x, solved.limb.y),
        Guide::Pivot => solved.limb.axis().angle().0,
    }
}

/// A stand of the limb `off` mm higher at the roller or contact.
fn higher(cam: &Cam, turn: f64, off: f64) -> f64 {
    match cam.plan().limb {
        Limb::Slides(s) => off * s.lift.0.signum(),
        Limb::Swings(s) => {
            let pitch = cam.touch(turn).pitch;
            let arm = libm::hypot(pitch[0] + SHAFT.x - s.pivot.x, pitch[1] + SHAFT.y - s.pivot.y);
            off / arm * s.lift.0.signum()
        }
    }
}

/// Over 200 random cams a follower laid on the cut polygon by bisection stands
/// where the law says, to what the polygon may be off the curve; laid on the curve
/// itself, by searching its nearest or highest point, to 1e-6 mm.
#[test]
fn a_follower_rolled_over_the_cut_cam_moves_by_its_law() {
    let mut rng = Rng(20_271_030);
    let mut seen = [0usize; 4];
    let (mut worst, mut finest) = (0.0f64, 0.0f64);
    for round in 0..40_000 {
        let kind = round % 4;
        if seen[kind] >= 50 {
            continue;
        }
        let Some(cam) = random(&mut rng, kind) else { continue };
        seen[kind] += 1;
        let error = 2e-3;
        let polygon = corners(&cam, error);
        for step in 0..12 {
            let turn = 0.5 * f64::from(step) + rng.unit() * 0.5;
            let want = stand(&cam, turn);
            // Bisect between inside the cam and off it.
            let (mut lo, mut hi) = (-1.0, 1.0);
            assert!(gap(&cam, &polygon, turn, want + higher(&cam, turn, lo)) < 0.0, "{cam:?}");
            for _ in 0..20 {
                let mid = 0.5 * (lo + hi);
                let low = gap(&cam, &polygon, turn, want + higher(&cam, turn, mid)) < 0.0;
                (lo, hi) = if low { (mid, hi) } else { (lo, mid) };
            }
            let off = (lo + hi).abs() / 2.0 * cam.touch(turn).push;
            worst = worst.max(off);
            assert!(off <= error, "{off} {cam:?} {turn}");
            let fine = rest(&cam, turn);
            finest = finest.max(fine.abs());
            assert!(fine.abs() <= 1e-6, "{fine} {cam:?} {turn}");
        }
    }
    println!("polygon {worst:.1e} mm, curve {finest:.1e} mm, cams {seen:?}");
    assert_eq!(seen, [50; 4]);
    // The polygon is coarser than the curve, or the test has looked at nothing.
    assert!(worst > 1e-4 && finest < 1e-6);
}

/// How far the follower, standing by its law, is from resting on the curve: the
/// nearest or highest point of the curve is searched.
fn rest(cam: &Cam, turn: f64) -> f64 {
    const POINTS: usize = 1440;
    let (c, s) = (libm::cos(turn), libm::sin(turn));
    let cut = |t: f64| {
        let (p, _) = cam.cut_at(t);
        [c * p.x - s * p.y, c * p.y + s * p.x]
    };
    let way = stand(cam, turn);
    // The board's axes again: a roller is a centre and a radius, a face a line.
    let (roller, face) = foot(cam, way);
    let height = |t: f64| {
        let q = cut(t);
        match (roller, face) {
            (Some((x, y, r)), _) => r - libm::hypot(q[0] - x, q[1] - y),
            (_, Some((nx, ny, h))) => nx * q[0] + ny * q[1] - h,
            _ => f64::NAN,
        }
    };
    let step = std::f64::consts::TAU / POINTS as f64;
    let best =
        (0..POINTS).map(|i| i as f64 * step).max_by(|a, b| height(*a).total_cmp(&height(*b)));
    let (mut lo, mut hi) = (best.unwrap() - step, best.unwrap() + step);
    for _ in 0..60 {
        let (a, b) = (lo + (hi - lo) / 3.0, hi - (hi - lo) / 3.0);
        if height(a) < height(b) { lo = a } else { hi = b }
    }
    height(0.5 * (lo + hi))
}

type Round = Option<(f64, f64, f64)>;

/// Roller (centre from the shaft, radius) or face (normal, distance from the shaft).
fn foot(cam: &Cam, way: f64) -> (Round, Round) {
    match cam.plan().limb {
        Limb::Slides(m) => {
            let sign = m.lift.0.signum();
            let (ux, uy) = (sign * m.slide.along.x(), sign * m.slide.along.y());
            let lifted = sign * (way - m.low.0);
            match m.foot {
                SlidingFoot::Roller { radius, offset } => {
                    let pitch = cam.plan().base.0 + radius.0;
                    let height = (pitch * pitch - offset.0 * offset.0).sqrt() + lifted;
                    let centre = (height * ux - offset.0 * uy, height * uy + offset.0 * ux);
                    (Some((centre.0, centre.1, radius.0)), None)
                }
                SlidingFoot::Flat => (None, Some((ux, uy, cam.plan().base.0 + lifted))),
            }
        }
        Limb::Swings(m) => {
            let (px, py) = (m.pivot.x - SHAFT.x, m.pivot.y - SHAFT.y);
            let at = way + m.clamp.rad().0;
            let (ax, ay) = (libm::cos(at), libm::sin(at));
            match m.foot {
                SwingingFoot::Roller { radius, lever } => {
                    (Some((px + lever.0 * ax, py + lever.0 * ay, radius.0)), None)
                }
                SwingingFoot::Flat { stand_off } => {
                    let sign = m.lift.0.signum();
                    let (nx, ny) = (-sign * ay, sign * ax);
                    (None, Some((nx, ny, px * nx + py * ny - stand_off.0)))
                }
            }
        }
    }
}

/// Curvature against the circle through three near points of the curve, pressure
/// against the motion of the contact, over random cams of every kind.
#[test]
fn curvature_and_derivatives_agree_with_differences() {
    let mut rng = Rng(77);
    let (mut seen, mut checked) = ([0usize; 4], 0);
    for round in 0..40_000 {
        let kind = round % 4;
        if seen[kind] >= 60 {
            continue;
        }
        let Some(cam) = random(&mut rng, kind) else { continue };
        seen[kind] += 1;
        let path = Shaft::turning(SHAFT);
        for _ in 0..8 {
            let t = std::f64::consts::TAU * rng.unit();
            let h = 1e-4;
            // Not across a place where a law's acceleration or jerk jumps.
            let angle = cam.plan().angle(t).rem_euclid(std::f64::consts::TAU);
            let edges = cam.plan().programme.stretches();
            if edges
                .iter()
                .any(|s| (s.from - angle).abs() < 4.0 * h || (s.to - angle).abs() < 4.0 * h)
            {
                continue;
            }
            checked += 1;
            let turned = |t: f64, p: [f64; 2]| {
                let (c, s) = (libm::cos(t), libm::sin(t));
                [c * p[0] + s * p[1], c * p[1] - s * p[0]]
            };
            let flat = matches!(cam.touch(t).bend, yardwright::mechanism::cam::Bend::Cut(_));
            let at = |t: f64| turned(t, cam.touch(t).pitch);
            let [l, m, r] = [at(t - h), at(t), at(t + h)];
            let v = [(r[0] - l[0]) / (2.0 * h), (r[1] - l[1]) / (2.0 * h)];
            let a = [(r[0] - 2.0 * m[0] + l[0]) / (h * h), (r[1] - 2.0 * m[1] + l[1]) / (h * h)];
            let speed = libm::hypot(v[0], v[1]);
            let bend = -(v[0] * a[1] - v[1] * a[0]) / (speed * speed * speed);
            match cam.touch(t).bend {
                yardwright::mechanism::cam::Bend::Pitch(k) => {
                    assert!((k - bend).abs() <= 1e-4 * (k.abs() + 0.01), "{k} {bend} {cam:?}");
                }
                yardwright::mechanism::cam::Bend::Cut(k) => {
                    // Differences of the contact lose digits where it hardly moves.
                    assert!(flat && (k * bend - 1.0).abs() <= 2e-2, "{k} {bend} {cam:?}");
                }
            }
            let guide = cam.guide();
            let solved = cam.motion(&path.motion(t).unwrap()).unwrap();
            let (_, first, second) = guide.motion(&solved.limb);
            let pose = |t: f64| guide.stand(&cam.position(&path.at(t).unwrap()).unwrap().limb);
            let (back, on) = (pose(t).after(pose(t - h)), pose(t + h).after(pose(t)));
            let tol = 1e-5 * (1.0 + first.abs() + second.abs());
            assert!((first - (back + on) / (2.0 * h)).abs() < tol, "{cam:?}");
            assert!((second - (on - back) / (h * h)).abs() < 1e-2 * (1.0 + second.abs()));
            let push = |t: f64| cam.position(&path.at(t).unwrap()).unwrap().push;
            assert!((solved.push.v - cam.touch(t).push).abs() < 1e-12);
            assert!((solved.push.v - push(t)).abs() < 1e-12);
            let (l, m, r) = (push(t - h), push(t), push(t + h));
            assert!((solved.push.d - (r - l) / (2.0 * h)).abs() < 1e-4, "{cam:?} {t}");
            assert!((solved.push.dd - (r - 2.0 * m + l) / (h * h)).abs() < 0.05, "{cam:?} {t}");
        }
    }
    assert!(seen == [60; 4] && checked > 1500, "{seen:?} {checked}");
}

#[test]
fn limits_and_the_way_back() {
    let mut rng = Rng(5);
    let mut seen = 0;
    for round in 0..400 {
        let Some(cam) = random(&mut rng, round % 4) else { continue };
        seen += 1;
        let path = Shaft::turning(SHAFT);
        let part = Shaft { at: SHAFT, span: Span::part(0.0, std::f64::consts::TAU) };
        let (whole, sampled) = (cam.limits(&path).unwrap(), cam.limits(&part).unwrap());
        let pair = |t: &Travel| match t {
            Travel::Swing(l) => [l.low.rad().0, l.range().rad().0, l.least_push, l.most_speed],
            Travel::Stroke(l) => [l.low.0, l.range().0, l.least_push, l.most_speed],
        };
        // The sampled ones miss up to 1e-2 at the kinks of the parabolic law.
        let tolerances = [1e-9, 1e-9, 1e-2, 1e-2];
        for ((a, b), tol) in pair(&whole).into_iter().zip(pair(&sampled)).zip(tolerances) {
            assert!((a - b).abs() < tol * (1.0 + a.abs()), "{whole:?} {sampled:?}");
        }
        assert!(pair(&whole)[3] >= pair(&sampled)[3] - 1e-9);
        let (at_low, at_high) = match whole {
            Travel::Swing(l) => (l.at_low, l.at_high),
            Travel::Stroke(l) => (l.at_low, l.at_high),
        };
        let range = pair(&whole)[1];
        for (at, want) in [(at_low, 0.0), (at_high, range)] {
            let from = cam.guide().stand(&cam.position(&path.at(at_low).unwrap()).unwrap().limb);
            let to = cam.guide().stand(&cam.position(&path.at(at).unwrap()).unwrap().limb);
            assert!((to.after(from) - want).abs() < 1e-9, "{whole:?}");
        }
        let t = 6.2 * rng.unit();
        let stand = cam.guide().stand(&cam.position(&path.at(t).unwrap()).unwrap().limb);
        let back = cam.inverse(stand, &path).unwrap();
        assert!(!back.is_empty());
        for b in &back {
            let again = cam.guide().stand(&cam.position(&path.at(*b).unwrap()).unwrap().limb);
            assert!(again.after(stand).abs() < 1e-8, "{again:?} {stand:?}");
        }
        let far = match stand {
            Stand::Slid(_) => Stand::Slid(Mm(4000.0)),
            Stand::Turned(d) => Stand::Turned(d.reversed()),
        };
        assert!(cam.inverse(far, &path).unwrap().is_empty());
    }
    assert!(seen > 100);
}

/// Every impossible geometry has its own refusal.
#[test]
fn impossible_cams_say_why() {
    let refused = |plan: Plan| Cam::new(plan).unwrap_err();
    let go = || programme(Law::Poly345, [120.0, 40.0, 120.0, 80.0]);
    assert_eq!(refused(sliding(0.0, 20.0, roller(8.0), go())), Refusal::Size(What::Base));
    assert_eq!(refused(sliding(f64::NAN, 20.0, roller(8.0), go())), Refusal::Size(What::Base));
    assert_eq!(refused(sliding(35.0, 0.0, roller(8.0), go())), Refusal::Size(What::Lift));
    assert_eq!(refused(sliding(35.0, 20.0, roller(-8.0), go())), Refusal::Size(What::Roller));
    let beside = SlidingFoot::Roller { radius: Mm(8.0), offset: Mm(43.0) };
    assert_eq!(
        refused(sliding(35.0, 20.0, beside, go())),
        Refusal::OffsetBeyond { most: Mm(43.0) }
    );
    let swing = |pivot: (f64, f64), lift: f64, foot| Plan {
        limb: Limb::Swings(Swinging {
            pivot: BoardPoint::mm(SHAFT.x + pivot.0, SHAFT.y + pivot.1),
            clamp: Deg(0.0),
            lift: Deg(lift),
            foot,
        }),
        ..frog()
    };
    let arm = |lever: f64| SwingingFoot::Roller { radius: Mm(8.0), lever: Mm(lever) };
    let face = |stand_off: f64| SwingingFoot::Flat { stand_off: Mm(stand_off) };
    assert_eq!(refused(swing((0.0, 0.0), 20.0, arm(80.0))), Refusal::CentresMeet);
    assert_eq!(refused(swing((100.0, 0.0), 0.0, arm(80.0))), Refusal::Size(What::Lift));
    assert_eq!(refused(swing((100.0, 0.0), 20.0, arm(0.0))), Refusal::Size(What::Lever));
    for lever in [50.0, 150.0] {
        assert!(matches!(
            refused(swing((100.0, 0.0), 20.0, arm(lever))),
            Refusal::OutOfReach { has: Mm(43.0), .. }
        ));
    }
    let Refusal::PastTop { most } = refused(swing((100.0, 0.0), 170.0, arm(80.0))) else {
        panic!("it passes its top")
    };
    assert!(Cam::new(swing((100.0, 0.0), most.0 - 1e-6, arm(80.0))).is_ok());
    assert!(matches!(
        refused(swing((100.0, 0.0), 20.0, face(70.0))),
        Refusal::FaceMisses { most: Mm(100.0) }
    ));
    assert!(matches!(refused(swing((100.0, 0.0), 80.0, face(0.0))), Refusal::PastTop { .. }));
    // 65 degrees in 120 with the fastest law: 65/120 x 2.1875 = 1.18 of the cam's speed.
    let fast = Plan {
        programme: programme(Law::Poly4567, [120.0, 40.0, 120.0, 80.0]),
        ..swing((100.0, 0.0), 65.0, face(0.0))
    };
    let Refusal::FaceRunsAhead { ratio } = refused(fast) else { panic!("it runs ahead") };
    assert!((ratio - 65.0 / 120.0 * 2.1875).abs() < 1e-12);
    let list = [Segment::Rise { turn: Deg(100.0), law: Law::Harmonic }];
    assert!(matches!(Programme::new(&list, 1), Err(NoProgramme::Total { .. })));
}

/// A roller too large for its cam, a base too small for a face: the curve says so
/// and is not handed out.
#[test]
fn undercuts_are_found_and_never_cut() {
    // Our own: a high lift in a short turn on a small base.
    let sharp = programme(Law::Harmonic, [60.0, 0.0, 60.0, 240.0]);
    let cam = Cam::new(sliding(14.0, 30.0, roller(26.0), sharp.clone())).unwrap();
    let facts = cam.facts();
    let undercut = facts.undercut.unwrap();
    assert!(undercut.by.0 > 0.0 && facts.rollers() < 1.0);
    assert_eq!(cam.profile(Mm(0.02)), Err(undercut));
    let knife = Cam::new(sliding(20.0, 30.0, roller(0.0), sharp.clone())).unwrap();
    assert_eq!(knife.facts().undercut, None);
    // Under a flat face R + s + s'' may not pass nought; harmonic: at the top
    // R + h - h/2 (180/60)^2.
    for (base, bad) in [(104.9, true), (105.1, false)] {
        let cam = Cam::new(sliding(base, 30.0, SlidingFoot::Flat, sharp.clone())).unwrap();
        assert_eq!(cam.facts().undercut.is_some(), bad);
        let radius = cam.facts().convex.unwrap().value.0;
        assert!((radius - (base + 30.0 - 15.0 * 9.0)).abs() < 1e-9);
        // The face is touched from -h' to h', h/2 times 180/60.
        let (lo, hi) = cam.facts().face.unwrap();
        assert!((hi.0 - 45.0).abs() < 1e-9 && (lo.0 + 45.0).abs() < 1e-9);
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 600, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_nan_leaves_a_cam(seed in any::<u64>(), turn in -20.0..20.0f64) {
        let mut rng = Rng(seed);
        // Sizes that like nought, each other, and the absurd.
        let pick = [0.0, 1e-9, 0.1, 5.0, 8.0, 20.0, 43.0, 100.0, 1e4, f64::NAN, f64::INFINITY];
        let mut any = |lo: f64, hi: f64| if rng.unit() < 0.15 {
            pick[(rng.unit() * 11.0) as usize % 11]
        } else {
            lo + (hi - lo) * rng.unit()
        };
        let law = Law::ALL[(any(0.0, 7.0).clamp(0.0, 6.9)) as usize % 7];
        let turns = [any(20.0, 140.0), any(0.0, 60.0), any(20.0, 140.0)];
        let rest = 360.0 - turns.iter().sum::<f64>();
        let Ok(programme) = Programme::rise_fall(law, [turns[0], turns[1], turns[2], rest].map(Deg))
        else { return Ok(()) };
        let radius = Mm(any(0.0, 30.0));
        let (pivot, clamp) = (BoardPoint::mm(any(0.0, 600.0), any(300.0, 900.0)), Deg(any(-180.0, 180.0)));
        let (lift, turn_by) = (Mm(any(-60.0, 60.0)), Deg(any(-90.0, 90.0)));
        let slide = Slide { from: SHAFT, along: Dir::degrees(Deg(any(0.0, 360.0))) };
        let swings = |foot| Limb::Swings(Swinging { pivot, clamp, lift: turn_by, foot });
        let slides = |low, foot| Limb::Slides(Sliding { slide, low, lift, foot });
        let limb = match seed % 4 {
            0 => slides(Mm(any(0.0, 50.0)), SlidingFoot::Roller { radius, offset: Mm(any(-40.0, 40.0)) }),
            1 => slides(Mm(any(0.0, 50.0)), SlidingFoot::Flat),
            2 => swings(SwingingFoot::Roller { radius, lever: Mm(any(20.0, 300.0)) }),
            _ => swings(SwingingFoot::Flat { stand_off: Mm(any(-30.0, 30.0)) }),
        };
        let plan = Plan { shaft: SHAFT, base: Mm(any(10.0, 80.0)), limb, programme, runs: Runs::Cw, start: Deg(any(0.0, 360.0)) };
        let Ok(cam) = Cam::new(plan) else { return Ok(()) };
        let fine = |v: f64| v.is_finite();
        let path = Shaft::turning(SHAFT);
        let touch = cam.touch(turn);
        prop_assert!([touch.push, touch.side, touch.reach].into_iter().chain(touch.contact).chain(touch.pitch).all(fine), "{touch:?} {cam:?}");
        let s = cam.motion(&path.motion(turn).unwrap()).unwrap();
        for j in [s.limb.x, s.limb.y, s.limb.cos, s.limb.sin, s.push] {
            prop_assert!(fine(j.v) && fine(j.d) && fine(j.dd), "{s:?}");
        }
        let f = cam.facts();
        prop_assert!(fine(f.pressure.value.0) && fine(f.nearest.0) && fine(f.farthest.0), "{f:?}");
        prop_assert!((0.0..=90.0).contains(&f.pressure.value.0));
        if let Ok(outline) = cam.profile(Mm(0.05)) {
            prop_assert!(outline.points().all(|p| fine(p.x) && fine(p.y)));
            prop_assert!(f.undercut.is_none());
        }
        let back = yardwright::mechanism::Input {
            driver: path.at(0.0).unwrap().driver, host: path.at(0.0).unwrap().host, coordinate: f64::NAN,
        };
        prop_assert!(cam.position(&back).is_err());
    }
}
