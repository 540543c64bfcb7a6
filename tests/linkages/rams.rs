//! Rams and cylinders against published examples and an independent solver.
#![allow(clippy::disallowed_methods)] // On purpose another library's sines.

use std::f64::consts::{PI, TAU};

use proptest::prelude::*;
use yardwright::geometry::{BoardPoint, Vector};
use yardwright::mechanism::{
    Air, Assembly, Extending, Lengths, Mechanism, Path, Ram, RamSlide, Slide, Span, Stand, Strut,
    Triangle,
};
use yardwright::units::{Deg, Mm, Pascal, Sec};

use super::near_deg;
use super::reference::Rng;

/// A random strut; half of them reach to within a hair of a dead centre, on
/// either side.
pub struct Drawn {
    pub anchor: (f64, f64),
    pub pivot: (f64, f64),
    pub c: f64,
    pub clamp: f64,
    pub side: Assembly,
    pub lengths: (f64, f64),
}

pub fn drawn(rng: &mut Rng) -> Drawn {
    let pivot = (400.0 * rng.unit() - 200.0, 400.0 * rng.unit());
    let (d, at) = (40.0 + 400.0 * rng.unit(), TAU * rng.unit());
    let anchor = (pivot.0 + d * at.cos(), pivot.1 + d * at.sin());
    let d = (anchor.0 - pivot.0).hypot(anchor.1 - pivot.1);
    let c = 20.0 + 200.0 * rng.unit();
    let (near, far) = ((c - d).abs().max(1.0), c + d);
    let mut ends = [near + (far - near) * rng.unit(), near + (far - near) * rng.unit()];
    ends.sort_by(f64::total_cmp);
    let [mut short, mut long] = ends;
    let hair = 10f64.powf(-7.0 * rng.unit()) * if rng.unit() < 0.5 { 1.0 } else { -1.0 };
    match (rng.unit() * 6.0) as i32 {
        0 if (c - d).abs() + hair > 0.5 => short = (c - d).abs() + hair,
        1 => long = far + hair,
        2 => (short, long) = (0.5 * short, far + 40.0 * rng.unit()),
        _ => {}
    }
    if long - short < 1e-3 {
        long = short + 1.0;
    }
    let side = if rng.unit() < 0.5 { Assembly::Open } else { Assembly::Crossed };
    Drawn { anchor, pivot, c, clamp: 360.0 * rng.unit() - 180.0, side, lengths: (short, long) }
}

impl Drawn {
    pub fn ram(&self) -> Ram {
        let point = |p: (f64, f64)| BoardPoint::mm(p.0, p.1);
        let lengths = Lengths::new(Mm(self.lengths.0), Mm(self.lengths.1)).unwrap();
        let centres = (point(self.anchor), point(self.pivot));
        Ram::new(Strut::Ram, centres, lengths, (Mm(self.c), Deg(self.clamp)), self.side).unwrap()
    }

    /// Anchor to lever pin with the lever so far from the anchor's direction.
    fn distance(&self, gamma: f64) -> f64 {
        let (dx, dy) = (self.anchor.0 - self.pivot.0, self.anchor.1 - self.pivot.1);
        let lever = dy.atan2(dx) - self.side.sign() * gamma;
        (self.c * lever.cos() - dx).hypot(self.c * lever.sin() - dy)
    }

    /// The angle from the anchor's direction at a length, by bisection: the
    /// distance grows from pointing at the anchor to pointing away.
    fn gamma(&self, length: f64) -> f64 {
        let (mut near, mut far) = (0.0, PI);
        for _ in 0..70 {
            let mid = 0.5 * (near + far);
            if self.distance(mid) < length { near = mid } else { far = mid }
        }
        0.5 * (near + far)
    }

    /// The limb's angle there, degrees.
    fn limb(&self, gamma: f64) -> f64 {
        let (dx, dy) = (self.anchor.0 - self.pivot.0, self.anchor.1 - self.pivot.1);
        (dy.atan2(dx) - self.side.sign() * gamma).to_degrees() - self.clamp
    }

    /// Push angle between strut and lever at their pin, folded, degrees.
    fn push(&self, gamma: f64) -> f64 {
        let (dx, dy) = (self.anchor.0 - self.pivot.0, self.anchor.1 - self.pivot.1);
        let lever = dy.atan2(dx) - self.side.sign() * gamma;
        let (px, py) = (self.c * lever.cos(), self.c * lever.sin());
        let (sx, sy) = (dx - px, dy - py);
        let mu = (sx * -py - sy * -px).abs().atan2(sx * -px + sy * -py);
        mu.min(PI - mu).to_degrees()
    }
}

#[test]
fn strokes_agree_with_an_independent_solver() {
    let mut rng = Rng(31_415);
    let mut seen = [0; 4];
    for round in 0..3000 {
        let r = drawn(&mut rng);
        let tag = format!("{round}: {:?}", r.ram());
        let all = r.ram().analyse();
        let (short, long) = r.lengths;
        let (nearest, farthest) = (r.distance(0.0), r.distance(PI));
        // A stroke that ends within rounding of a dead centre is on no side of it.
        let told = |gap: f64| gap.abs() > 2e-9 * farthest;
        if told(short - nearest) {
            assert_eq!(all.folded, short < nearest, "{tag}");
        }
        if told(farthest - long) {
            assert_eq!(all.stretched, long > farthest, "{tag}");
        }
        seen[usize::from(all.folded) + 2 * usize::from(all.stretched)] += 1;
        assert_eq!(all.assembles, long >= nearest && short <= farthest, "{tag}");
        let Some(m) = all.motion else { continue };
        let (g0, g1) = (r.gamma(short.max(nearest)), r.gamma(long.min(farthest)));
        let (p, q) = (r.limb(g0), r.limb(g1));
        assert!(near_deg(m.low.0, p.min(q)) < 1e-5, "{tag} {m:?} {p} {q}");
        assert!((m.sweep.0 - (p - q).abs()).abs() < 1e-5, "{tag} {m:?} {p} {q}");
        if !all.dead_centre() {
            let pushes = (r.push(g0), r.push(g1));
            assert!((m.push_short.0 - pushes.0).abs() < 1e-5, "{tag}");
            assert!((m.push_long.0 - pushes.1).abs() < 1e-5, "{tag}");
            // Nothing between the ends is worse, and nothing is faster.
            let most = m.most_speed.unwrap();
            let second = m.most_acceleration.unwrap();
            let t = Triangle { lever: r.c, ground: farthest - r.c };
            for i in 0..=50 {
                let g = g0 + (g1 - g0) * f64::from(i) / 50.0;
                assert!(r.push(g) > m.least_push.0 - 1e-6, "{tag}");
                let arm = r.c * r.push(g).to_radians().sin();
                assert!(arm < m.most_arm.0 + 1e-6 && arm > m.least_arm.0 - 1e-6, "{tag}");
                let rates = t.rates(r.distance(g));
                assert!(rates[0] <= most * (1.0 + 1e-6), "{tag}");
                assert!(rates[1].abs() <= second * (1.0 + 1e-6), "{tag}");
            }
        }
    }
    assert!(seen.iter().all(|n| *n > 50), "{seen:?}");
}

/// The trait's positions, derivatives and way back, through the same geometries.
#[test]
fn positions_and_derivatives_agree_with_bisection_and_differences() {
    let mut rng = Rng(27);
    for round in 0..2000 {
        let r = drawn(&mut rng);
        let ram = r.ram();
        let all = ram.analyse();
        let Some(m) = all.motion else { continue };
        let (from, to) = (m.from.0, m.to.0);
        let path = Extending { span: Span::part(from, to) };
        let length = from + (to - from) * (0.02 + 0.96 * rng.unit());
        let s = ram.position(&path.at(length).unwrap()).unwrap();
        let g = r.gamma(length);
        let tag = format!("{round} {length} {ram:?}");
        assert!(near_deg(s.limb.axis().deg().0, r.limb(g)) < 1e-5, "{tag}");
        assert!((s.push * r.side.sign()).asin().to_degrees() - r.push(g) < 1e-5, "{tag}");
        let back = ram.inverse(Stand::Turned(s.limb.axis()), &path).unwrap();
        // Where a little length makes a lot of angle the way back is as exact as
        // the angle is; elsewhere to the last digits.
        assert!(back.len() == 1 && (back[0] - length).abs() < 1e-8, "{tag} {back:?}");
        if s.push.abs() > 0.05 && length - from > 1e-2 && to - length > 1e-2 {
            let h = 1e-3;
            let at = |l: f64| ram.position(&path.at(l).unwrap()).unwrap().limb.axis();
            let here = at(length);
            let (l, u) = (at(length - h).from(here).angle().0, at(length + h).from(here).angle().0);
            let j = ram.motion(&path.motion(length).unwrap()).unwrap();
            let (first, second) = j.limb.turn_rates();
            assert!((first - (u - l) / (2.0 * h)).abs() < 1e-5 * first.abs().max(1e-3), "{tag}");
            assert!(
                (second - (u + l) / (h * h)).abs() < 1e-3 * second.abs().max(1e-5),
                "{tag} {second} {}",
                (u + l) / (h * h)
            );
            assert!((first.abs() * ram.arm(Mm(length)).unwrap().0 - 1.0).abs() < 1e-9, "{tag}");
            // The closed rates are those of the jets.
            let closed = ram.triangle().rates(length);
            assert!((closed[0] / first.abs() - 1.0).abs() < 1e-9, "{tag}");
            let sign = -r.side.sign();
            assert!((closed[1] * sign - second).abs() < 1e-9 * second.abs().max(1e-6), "{tag}");
        }
    }
}

#[test]
fn strokes_on_slides_agree_with_bisection() {
    let mut rng = Rng(99);
    for round in 0..2000 {
        let coin = |rng: &mut Rng| if rng.unit() < 0.5 { 1.0 } else { -1.0 };
        let from = BoardPoint::mm(500.0 * rng.unit(), 500.0 * rng.unit());
        let heading = TAU * rng.unit();
        let to = from + Vector::mm(heading.cos(), heading.sin()) * 100.0;
        let slide = Slide::between(from, to).unwrap();
        let (ahead, left) = (100.0 * rng.unit(), 40.0 * rng.unit() - 20.0);
        let anchor = from + Vector::mm(300.0 * rng.unit() - 150.0, 300.0 * rng.unit() - 150.0);
        let (u, v) = ((to.x - from.x) / 100.0, (to.y - from.y) / 100.0);
        // The pin with the limb `way` along, and its distance from the anchor.
        let distance = |way: f64| {
            let (x, y) = (
                from.x + (way + ahead) * u - left * v - anchor.x,
                from.y + (way + ahead) * v + left * u - anchor.y,
            );
            x.hypot(y)
        };
        // Where it is nearest, by golden section.
        let (mut l, mut r) = (-1000.0, 1000.0);
        for _ in 0..120 {
            let (x, y) = (r - 0.618_034 * (r - l), l + 0.618_034 * (r - l));
            if distance(x) > distance(y) { l = x } else { r = y }
        }
        let (foot, nearest) = (0.5 * (l + r), distance(0.5 * (l + r)));
        let hair = 10f64.powf(-6.0 * rng.unit()) * coin(&mut rng);
        let short = match round % 3 {
            0 => nearest + hair,
            1 => nearest * 0.9,
            _ => nearest + 100.0 * rng.unit(),
        }
        .max(0.01);
        let long = short.max(nearest) + 20.0 + 200.0 * rng.unit();
        let sense = coin(&mut rng);
        let side = if sense > 0.0 { Assembly::Open } else { Assembly::Crossed };
        let lengths = Lengths::new(Mm(short), Mm(long)).unwrap();
        let strut =
            RamSlide::new(Strut::Cylinder, (anchor, slide), lengths, [ahead, left], side).unwrap();
        let got = strut.analyse();
        let tag = format!("{round}: {strut:?} {got:?}");
        if (short - nearest).abs() > 1e-9 {
            assert_eq!(got.dead_centre, short <= nearest, "{tag}");
        }
        let way = |length: f64| {
            let (mut near, mut far) = (0.0, 2000.0);
            for _ in 0..80 {
                let mid = 0.5 * (near + far);
                if distance(foot + sense * mid) < length { near = mid } else { far = mid }
            }
            foot + sense * 0.5 * (near + far)
        };
        assert!((got.at_long.0 - way(long)).abs() < 1e-5, "{tag} {}", way(long));
        // By golden section the foot is only known to a root of its eps.
        let loose = if short < nearest + 1e-3 { 1e-4 } else { 1e-5 };
        assert!((got.at_short.0 - way(short.max(nearest))).abs() < loose, "{tag}");
        let length = short.max(nearest) + (long - short.max(nearest)) * (0.05 + 0.9 * rng.unit());
        let path = Extending { span: Span::part(length - 1e-3, length + 1e-3) };
        let s = strut.position(&path.at(length).unwrap()).unwrap();
        let limb = strut.guide().stand(&s.limb);
        let Stand::Slid(at) = limb else { panic!("{tag}") };
        assert!((at.0 - way(length)).abs() < 1e-5, "{tag}");
        assert!((strut.length_for(at).unwrap().0 - length).abs() < 1e-9, "{tag}");
        let (_, speed, second) =
            strut.guide().motion(&strut.motion(&path.motion(length).unwrap()).unwrap().limb);
        let h = 1e-3;
        let at =
            |l: f64| match strut.guide().stand(&strut.position(&path.at(l).unwrap()).unwrap().limb)
            {
                Stand::Slid(v) => v.0,
                Stand::Turned(_) => f64::NAN,
            };
        let (l, m, u) = (at(length - h), at(length), at(length + h));
        assert!((speed - (u - l) / (2.0 * h)).abs() < 1e-5 * speed.abs(), "{tag}");
        assert!(
            (second - (u - 2.0 * m + l) / (h * h)).abs() < 1e-3 * (1.0 + second.abs()),
            "{tag}"
        );
    }
}

/// F. P. Beer, E. R. Johnston et al., Vector Mechanics for Engineers: Statics,
/// Sample Problem 10.3 (p. 501): a platform on hinged links, S = 2.91 m and
/// F = 5.16 kN at 60 degrees; the torque about the hinge is W a cos(theta).
#[test]
fn the_lifting_platform_of_beer_and_johnston() {
    let t = Triangle { lever: 700.0, ground: 3200.0 };
    let s = t.length(60f64.to_radians());
    assert!((s / 1000.0 - 2.91).abs() < 0.005, "{s}");
    let arm = t.lever * t.push(s).unwrap().sin();
    let force = 1000.0 * 9.81 * 700.0 * 0.5 / arm / 1000.0;
    assert!((force - 5.16).abs() < 0.01, "{force}");
}

/// T. Bevan, The Theory of Machines, 3rd ed., ch. 3 Example 8 (p. 112): cylinders
/// turning at 1200 rpm about O, rod 9 in about C, OC = 3 in, 55 degrees between OC
/// and the cylinder: the piston slides at 30.9 ft/s, the rod turns at 150 rad/s
/// (scaled off a drawing; tolerances of that).
#[test]
fn the_turning_cylinder_of_bevan() {
    let t = Triangle { lever: 9.0, ground: 3.0 };
    let at_anchor = |l: f64| PI - t.gamma(l) - t.push(l).unwrap();
    let (mut near, mut far) = (6.0 + 1e-9, 12.0 - 1e-9);
    for _ in 0..80 {
        let mid: f64 = 0.5 * (near + far);
        if at_anchor(mid) > 55f64.to_radians() { near = mid } else { far = mid }
    }
    let length = near;
    assert!((length - 10.379).abs() < 1e-3, "{length}");
    let h = 1e-5;
    let per_length = (at_anchor(length + h) - at_anchor(length - h)) / (2.0 * h);
    let slide = (1200.0 * TAU / 60.0 / per_length).abs();
    assert!((slide / 12.0 - 30.9).abs() < 0.1, "{slide}");
    let rod = slide * t.rates(length)[0];
    assert!((rod - 150.0).abs() < 0.75, "{rod}");
}

/// The orchard's gate: own calculation, NumPy, done before this program.
#[test]
fn the_gate_opens_sixty_degrees() {
    let lengths = Lengths::new(Mm(205.0), Mm(305.0)).unwrap();
    let centres = (BoardPoint::mm(269.3, 0.0), BoardPoint::mm(0.0, 0.0));
    let ram = Ram::new(Strut::Ram, centres, lengths, (Mm(100.0), Deg(0.0)), Assembly::Crossed);
    let m = ram.unwrap().analyse().motion.unwrap();
    assert!((m.sweep.0 - 60.0).abs() < 0.05, "{m:?}");
    // "At least 86.4 mm": the arm is least, 86.60 mm, fully out.
    assert!(m.least_arm.0 >= 86.4 && m.least_arm.0 < 86.7, "{m:?}");
}

/// Piston and ring areas: Pneumax general catalogue, tables 1 and 2 (it uses
/// 3.14 for pi: 0.06 %, and one unit in the last digit).
#[test]
fn areas_are_those_of_the_catalogue() {
    let air = |bore: f64, rod: f64| Air::new(Mm(bore), Mm(rod), Mm(50.0), Pascal(6e5)).unwrap();
    let rows = [
        (8.0, 4.0, 0.00502, 0.00377),
        (12.0, 6.0, 0.0113, 0.00848),
        (16.0, 6.0, 0.0201, 0.01727),
        (20.0, 8.0, 0.0314, 0.02638),
        (25.0, 10.0, 0.04906, 0.04121),
        (32.0, 12.0, 0.08038, 0.06908),
        (40.0, 16.0, 0.1256, 0.1055),
        (63.0, 20.0, 0.31157, 0.28017),
        (100.0, 25.0, 0.785, 0.73594),
    ];
    for (bore, rod, push, pull) in rows {
        let a = air(bore, rod);
        let near = |got: f64, want: f64| (got / 1e4 - want).abs() <= 6e-4 * want + 1e-5;
        assert!(near(a.push_area(), push) && near(a.pull_area(), pull), "{bore} {rod}");
    }
    // Usual catalogue figures at 6 bar, from memory: +-0.5 N.
    let forces =
        [(32.0, 12.0, 482.5, 414.7), (40.0, 16.0, 754.0, 633.3), (50.0, 20.0, 1178.1, 989.6)];
    for (bore, rod, push, pull) in forces {
        let a = air(bore, rod);
        assert!((a.push_force().0 - push).abs() < 0.5 && (a.pull_force().0 - pull).abs() < 0.5);
    }
    // Same catalogue: bore 63, rod 20, stroke 50 at 6 bar gauge, 2.072 Nl a cycle.
    assert!((air(63.0, 20.0).air_per_cycle().0 - 2.072).abs() < 0.001);
}

/// The orchard's hedgehog: own calculation, done before this program.
#[test]
fn the_hedgehog_jumps() {
    let a = Air::new(Mm(16.0), Mm(6.0), Mm(100.0), Pascal(4e5)).unwrap();
    assert!((a.push_force().0 - 80.4).abs() < 0.05 && (a.pull_force().0 - 69.1).abs() < 0.05);
    assert!((a.air_per_cycle().0 - 0.187).abs() < 0.001);
    let lead = a.lead(Sec(0.02), Sec(0.03), 0.3).unwrap();
    assert!((lead.0 - 0.38).abs() < 0.005, "{lead:?}");
    assert!((a.speed(Sec(0.5)).unwrap() - 0.2).abs() < 1e-12);
    assert!(Air::new(Mm(16.0), Mm(16.0), Mm(100.0), Pascal(4e5)).is_err());
    assert!(Air::new(Mm(16.0), Mm(6.0), Mm(100.0), Pascal(f64::NAN)).is_err());
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_nan_leaves_a_strut(seed in any::<u64>(), wild in 0..6usize, value in prop::num::f64::ANY) {
        let mut rng = Rng(seed);
        let r = drawn(&mut rng);
        let mut sizes = [r.anchor.0, r.anchor.1, r.c, r.clamp, r.lengths.0, r.lengths.1];
        if rng.unit() < 0.7 {
            sizes[wild] = value;
        }
        let [x, y, c, clamp, short, long] = sizes;
        let Ok(lengths) = Lengths::new(Mm(short), Mm(long)) else { return Ok(()) };
        let centres = (BoardPoint::mm(x, y), BoardPoint::mm(r.pivot.0, r.pivot.1));
        let Ok(ram) = Ram::new(Strut::Ram, centres, lengths, (Mm(c), Deg(clamp)), r.side) else {
            return Ok(());
        };
        let all = ram.analyse();
        if let Some(m) = all.motion {
            let numbers = [m.low.0, m.high.0, m.sweep.0, m.least_push.0, m.least_arm.0, m.most_arm.0,
                m.from.0, m.to.0, m.most_speed.unwrap_or(0.0), m.most_acceleration.unwrap_or(0.0)];
            prop_assert!(numbers.iter().all(|v| v.is_finite()), "{m:?}");
            prop_assert!((0.0..=90.0).contains(&m.least_push.0) && m.sweep.0 >= 0.0);
        }
        let path = Extending { span: Span::part(short, long) };
        for length in [short, long, 0.5 * (short + long), value] {
            if let Ok(s) = ram.position(&path.at(length).unwrap()) {
                prop_assert!(s.limb.cos.is_finite() && s.limb.sin.is_finite() && s.push.is_finite());
            }
            if let Ok(s) = ram.motion(&path.motion(length).unwrap()) {
                let j = s.limb.sin;
                prop_assert!(j.v.is_finite() && j.d.is_finite() && j.dd.is_finite(), "{ram:?}");
            }
        }
    }
}
