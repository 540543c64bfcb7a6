//! Forearms pushed by or riding on the limb above, against two loops closed by the
//! cosine rule and scanned.
#![allow(clippy::disallowed_methods)] // On purpose another library's sines.

use std::f64::consts::{PI, TAU};

use proptest::prelude::*;
use yardwright::geometry::{BoardPoint, Dir};
use yardwright::mechanism::solve::{ForearmReason, ForearmWish, Size, solve_forearm};
use yardwright::mechanism::{Above, Assembly, Forearm, FourBar, Mechanism, Path, Rod, Role, Shaft};
use yardwright::units::{Deg, Mm};

use super::near_deg;
use super::reference::{Rng, hill};

type P = (f64, f64);

/// The lever's direction that closes near pin, rod, lever, pivot; `NaN` where open.
fn lever(near: P, pivot: P, b: f64, c: f64, side: f64) -> f64 {
    let (x, y) = (near.0 - pivot.0, near.1 - pivot.1);
    let r = x.hypot(y);
    y.atan2(x) - side * ((r * r + c * c - b * b) / (2.0 * r * c)).acos()
}

struct Drawn {
    motor: P,
    pivot: P,
    crank: f64,
    rod: f64,
    lever: f64,
    side: Assembly,
    clamp: f64,
    role: Role,
    /// The second rod's pin and the lower pivot, each in its body.
    pin: P,
    joint: P,
    b: f64,
    c: f64,
    second: Assembly,
    clamp2: f64,
}

fn coin(rng: &mut Rng) -> Assembly {
    if rng.unit() < 0.5 { Assembly::Open } else { Assembly::Crossed }
}

fn place(origin: P, axis: f64, at: P) -> P {
    let (s, c) = axis.sin_cos();
    (origin.0 + c * at.0 - s * at.1, origin.1 + s * at.0 + c * at.1)
}

impl Drawn {
    /// An upper limb that goes round with a few millimetres to spare, a lower loop
    /// that closes, or, every other time, one within a hair of a dead centre.
    fn of(rng: &mut Rng) -> Self {
        loop {
            let (motor, pivot) =
                ((420.0, 500.0), (250.0 + 120.0 * rng.unit(), 620.0 + 90.0 * rng.unit()));
            let d = f64::hypot(pivot.0 - motor.0, pivot.1 - motor.1);
            let (crank, lever) = (20.0 + 30.0 * rng.unit(), 55.0 + 80.0 * rng.unit());
            let rod = d + 60.0 * rng.unit() - 30.0;
            let mut all = [crank, rod, lever, d];
            all.sort_by(f64::total_cmp);
            if all[0] != crank || all[1] + all[2] - all[0] - all[3] < 4.0 {
                continue;
            }
            let role = if rng.unit() < 0.5 { Role::Driver } else { Role::Host };
            let far = (pivot.0 + 300.0 * rng.unit() - 150.0, pivot.1 + 300.0 * rng.unit() - 150.0);
            let on_limb = (40.0 + 200.0 * rng.unit(), 60.0 * rng.unit() - 30.0);
            let (pin, joint) = match role {
                Role::Driver => (on_limb, far),
                Role::Host => (far, on_limb),
            };
            let mut drawn = Self {
                motor,
                pivot,
                crank,
                rod,
                lever,
                role,
                pin,
                joint,
                side: coin(rng),
                second: coin(rng),
                clamp: 360.0 * rng.unit() - 180.0,
                clamp2: 360.0 * rng.unit() - 180.0,
                b: 0.0,
                c: 25.0 + 120.0 * rng.unit(),
            };
            let (near, far) = drawn.range();
            let c = drawn.c;
            let (lo, hi) = ((far - c).max(c - near).max(1.0), c + near);
            if lo + 3.0 > hi {
                continue;
            }
            let hair = 10f64.powf(-6.0 * rng.unit()) * if rng.unit() < 0.5 { 1.0 } else { -1.0 };
            drawn.b = match (rng.unit() * 4.0) as i32 {
                0 => lo + hair,
                1 => hi - hair,
                _ => lo + (hi - lo) * rng.unit(),
            };
            return drawn;
        }
    }

    fn upper(&self, t: f64) -> f64 {
        let pin = (self.motor.0 + self.crank * t.cos(), self.motor.1 + self.crank * t.sin());
        lever(pin, self.pivot, self.rod, self.lever, self.side.sign()) - self.clamp.to_radians()
    }

    fn ends(&self, t: f64) -> (P, P) {
        let axis = self.upper(t);
        match self.role {
            Role::Driver => (place(self.pivot, axis, self.pin), self.joint),
            Role::Host => (self.pin, place(self.pivot, axis, self.joint)),
        }
    }

    fn distance(&self, t: f64) -> f64 {
        let (near, pivot) = self.ends(t);
        f64::hypot(near.0 - pivot.0, near.1 - pivot.1)
    }

    /// Nearest and farthest, scanned and narrowed.
    fn range(&self) -> (f64, f64) {
        (-top(400, &|t| -self.distance(t)).1, top(400, &|t| self.distance(t)).1)
    }

    fn forearm(&self, t: f64) -> f64 {
        let (near, pivot) = self.ends(t);
        lever(near, pivot, self.b, self.c, self.second.sign()) - self.clamp2.to_radians()
    }

    /// The same, not jumping: near the value before.
    fn unwrapped(&self, n: usize) -> Vec<f64> {
        let mut out: Vec<f64> = Vec::with_capacity(n + 1);
        for i in 0..=n {
            let v = self.forearm(TAU * i as f64 / n as f64);
            let last = out.last().copied().unwrap_or(v);
            out.push(last + (v - last + PI).rem_euclid(TAU) - PI);
        }
        out
    }

    fn build(&self) -> (FourBar, Rod) {
        let point = |p: P| BoardPoint::mm(p.0, p.1);
        let centres = (point(self.motor), point(self.pivot));
        let lengths = (Mm(self.crank), Mm(self.rod), Mm(self.lever));
        let upper = FourBar::new(centres, lengths, Deg(self.clamp), self.side).unwrap();
        let rod = Rod {
            pin: [self.pin.0, self.pin.1],
            pivot: [self.joint.0, self.joint.1],
            length: Mm(self.b),
            lever: Mm(self.c),
            clamp: Dir::degrees(Deg(self.clamp2)),
            assembly: self.second,
        };
        (upper, rod)
    }
}

/// The top of a function over a turn: scanned, then golden section about every
/// local top.
fn top(n: usize, f: &dyn Fn(f64) -> f64) -> (f64, f64) {
    let at = |i: usize| TAU * i as f64 / n as f64;
    let values: Vec<f64> = (0..=n).map(|i| f(at(i))).collect();
    let mut best = (0.0, f64::NEG_INFINITY);
    for i in 0..=n {
        let (l, r) = (values[(i + n - 1) % n], values[(i + 1) % n]);
        if values[i] < l || values[i] < r {
            continue;
        }
        let (l, r) = hill((at(i) - TAU / n as f64, at(i) + TAU / n as f64), 45, f);
        let v = f(0.5 * (l + r)).max(values[i]);
        if v > best.1 {
            best = (0.5 * (l + r), v);
        }
    }
    best
}

#[test]
fn forearms_agree_with_two_loops_scanned() {
    let mut rng = Rng(6_000);
    let (mut closed, mut open, mut riding) = (0, 0, 0);
    for round in 0..2200 {
        let d = Drawn::of(&mut rng);
        let (upper, rod) = d.build();
        let shaft = Shaft::turning(upper.motor());
        let above = Above { mechanism: &upper, path: &shaft, role: d.role };
        let got = Forearm { above, rod }.analyse().unwrap();
        let (near, far) = d.range();
        let tag = format!("{round}: {upper:?} {rod:?} {:?}", got.closing);
        let margin = (near - (d.b - d.c).abs()).min(d.b + d.c - far);
        assert!((got.closing.nearest.0 - near).abs() < 1e-7, "{tag} {near}");
        assert!((got.closing.farthest.0 - far).abs() < 1e-7, "{tag} {far}");
        assert!((got.closing.margin.0 - margin).abs() < 1e-7, "{tag} {margin}");
        if margin.abs() < 1e-7 {
            continue;
        }
        assert_eq!(got.closing.branch_constant(), margin > 0.0, "{tag}");
        assert_eq!(got.motion.is_some(), margin > 0.0, "{tag}");
        let Some(m) = got.motion else {
            open += 1;
            let gap = |t: f64| {
                let r = d.distance(t);
                (d.b + d.c - r).min(r - (d.b - d.c).abs())
            };
            // Gaps narrower than a sample may not show their two ends.
            for at in got.closing.opens.into_iter().flatten() {
                assert!(gap(at).abs() < 1e-7, "{tag}");
            }
            assert!(gap(got.closing.margin_at) < 0.0, "{tag}");
            continue;
        };
        closed += 1;
        let n = 1440;
        let line = d.unwrapped(n);
        let turns = (line[n] - line[0]).abs() > 6.0;
        assert_eq!(m.limits.is_none(), turns, "{tag}");
        let near_line = |t: f64| {
            let i = ((t / TAU * n as f64).round().max(0.0) as usize).min(n);
            let v = d.forearm(t);
            line[i] + (v - line[i] + PI).rem_euclid(TAU) - PI
        };
        if let Some(l) = m.limits {
            let (high, low) = (top(n, &near_line).1, -top(n, &|t| -near_line(t)).1);
            let (high, low) = (high.to_degrees(), low.to_degrees());
            assert!(near_deg(l.low.0, low) < 1e-5, "{tag} {l:?} {low}");
            assert!((l.range().0 - (high - low)).abs() < 1e-5, "{tag} {l:?} {low} {high}");
        }
        let push = |t: f64| {
            let r = d.distance(t);
            let cos = ((d.b * d.b + d.c * d.c - r * r) / (2.0 * d.b * d.c)).clamp(-1.0, 1.0);
            let mu = cos.acos();
            mu.min(PI - mu).to_degrees()
        };
        let worst = push(top(720, &|t| -push(t)).0);
        assert!((m.least_push.0 - worst).abs() < 1e-5, "{tag} {m:?} {worst}");
        assert!((push(m.least_push_at) - worst).abs() < 1e-5, "{tag}");
        if let (Some(bend), Role::Host) = (m.bend, d.role) {
            riding += 1;
            let mut line: Vec<f64> = Vec::new();
            for i in 0..=n {
                let t = TAU * i as f64 / n as f64;
                let v = d.forearm(t) - d.upper(t);
                let last = line.last().copied().unwrap_or(v);
                line.push(last + (v - last + PI).rem_euclid(TAU) - PI);
            }
            let near = |t: f64| {
                let i = ((t / TAU * n as f64).round().max(0.0) as usize).min(n);
                let v = d.forearm(t) - d.upper(t);
                line[i] + (v - line[i] + PI).rem_euclid(TAU) - PI
            };
            let (high, low) = (top(n, &near).1.to_degrees(), -top(n, &|t| -near(t)).1.to_degrees());
            assert!(near_deg(bend.low.0, low) < 1e-5, "{tag} {bend:?} {low}");
            assert!((bend.range().0 - (high - low)).abs() < 1e-5, "{tag} {bend:?}");
        } else {
            assert!(m.bend.is_none() || d.role == Role::Host);
        }
    }
    assert!(closed > 1000 && open > 100 && riding > 300, "{closed} {open} {riding}");
}

/// The fox's elbow of the orchard: own calculation, NumPy, done before this
/// program; pin to pin 109.3 to 123.4 mm, inside 70 to 150, elbow 39.4 degrees.
#[test]
fn the_elbow_of_the_fox() {
    let centres = (BoardPoint::mm(420.0, 500.0), BoardPoint::mm(300.0, 700.0));
    let lengths = (Mm(30.0), Mm(217.0), Mm(90.0));
    let upper = FourBar::new(centres, lengths, Deg(17.5), Assembly::Open).unwrap();
    let rod = Rod {
        pin: [250.0, 650.0],
        pivot: [180.0, 0.0],
        length: Mm(110.0),
        lever: Mm(40.0),
        clamp: Dir::WEST,
        assembly: Assembly::Crossed,
    };
    let shaft = Shaft::turning(upper.motor());
    let above = Above { mechanism: &upper, path: &shaft, role: Role::Host };
    let all = Forearm { above, rod }.analyse().unwrap();
    let c = all.closing;
    assert!((c.nearest.0 - 109.3).abs() < 0.1 && (c.farthest.0 - 123.4).abs() < 0.1, "{c:?}");
    assert!((c.margin.0 - (150.0 - c.farthest.0)).abs() < 1e-9);
    let m = all.motion.unwrap();
    assert!((m.bend.unwrap().range().0 - 39.4).abs() < 0.1, "{m:?}");
    assert!((m.least_push.0 - 78.5).abs() < 0.1, "{m:?}");
    let l = m.limits.unwrap();
    assert!((l.range().0 - 78.4).abs() < 0.1, "{l:?}");
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_nan_leaves_a_forearm(seed in any::<u64>(), wild in 0..6usize, value in prop::num::f64::ANY) {
        let mut rng = Rng(seed);
        let d = Drawn::of(&mut rng);
        let (upper, mut rod) = d.build();
        match wild {
            0 => rod.pin[0] = value,
            1 => rod.pivot[1] = value,
            2 if value > 0.0 => rod.length = Mm(value),
            3 if value > 0.0 => rod.lever = Mm(value),
            _ => {}
        }
        let shaft = Shaft::turning(upper.motor());
        let above = Above { mechanism: &upper, path: &shaft, role: d.role };
        if let Ok(all) = (Forearm { above, rod }).analyse()
            && let Some(m) = all.motion
        {
            prop_assert!(m.least_push.0.is_finite() && all.closing.margin.0.is_finite());
            for l in [m.limits, m.bend].into_iter().flatten() {
                let numbers = [l.low.0, l.high.0, l.most_speed, l.most_acceleration, l.at_low];
                prop_assert!(numbers.iter().all(|v| v.is_finite()), "{l:?} {rod:?}");
            }
        }
        let at = above.at(TAU * rng.unit()).unwrap();
        if let Ok(s) = rod.position(&at) {
            prop_assert!(s.limb.cos.is_finite() && s.push.is_finite(), "{rod:?}");
        }
    }
}

/// An open rod and clamp lead back to at least as good a forearm as the one whose
/// swing was asked for, with its very ends; and no rod on a scan pushes better.
#[test]
fn open_rods_are_found_again() {
    let mut rng = Rng(606);
    let (mut asked, mut scanned) = (0, 0);
    for _ in 0..160 {
        let d = Drawn::of(&mut rng);
        let (upper, rod) = d.build();
        let shaft = Shaft::turning(upper.motor());
        let above = Above { mechanism: &upper, path: &shaft, role: d.role };
        let Some(m) = (Forearm { above, rod }).analyse().unwrap().motion else { continue };
        let Some(l) = m.limits else { continue };
        if m.least_push.0 < 22.0 || l.range().0 < 8.0 {
            continue;
        }
        asked += 1;
        let pins = [rod.pin];
        let wish = ForearmWish {
            above,
            pins: &pins,
            pivot: rod.pivot,
            rod: Size::Free,
            lever: Size::Given(d.c),
            clamp: Size::Free,
            sweep: (l.low, l.high),
            within: Some(Deg(0.05)),
            assembly: None,
        };
        let answer = solve_forearm(&wish).unwrap_or_else(|no| panic!("{no:?} {rod:?} {m:?}"));
        let best = answer.choices[0];
        assert!(best.push.0 >= m.least_push.0 - 1e-3, "{best:?} {m:?}");
        let got = answer.analysis.motion.unwrap();
        let ends = got.limits.unwrap();
        assert!(near_deg(ends.low.0, l.low.0) < 0.05 && near_deg(ends.high.0, l.high.0) < 0.05);
        assert!((ends.range().0 - best.swing.0).abs() < 1e-5, "{best:?} {ends:?}");
        assert!((got.least_push.0 - best.push.0).abs() < 1e-5, "{best:?} {got:?}");
        assert!((answer.analysis.closing.margin.0 - best.margin.0).abs() < 1e-6);
        if asked % 6 == 0 {
            scanned += 1;
            for side in [Assembly::Open, Assembly::Crossed] {
                for i in 0..300 {
                    let b = 5.0 + (d.c + answer.analysis.closing.nearest.0) * f64::from(i) / 300.0;
                    let other = Rod { length: Mm(b), assembly: side, ..rod };
                    let Some(m) = (Forearm { above, rod: other }).analyse().unwrap().motion else {
                        continue;
                    };
                    // Only those that swing as asked to a hundredth of a degree.
                    let fits = m.limits.is_some_and(|o| (o.range() - l.range()).0.abs() < 0.01);
                    assert!(!fits || m.least_push.0 < best.push.0 + 1.0, "{other:?} {best:?}");
                }
            }
        }
    }
    assert!(asked > 40 && scanned > 6, "{asked} {scanned}");
}

/// What does not fit is told apart, and each change that is offered works.
#[test]
fn refusals_of_forearms_name_what_is_in_the_way() {
    let centres = (BoardPoint::mm(420.0, 500.0), BoardPoint::mm(300.0, 700.0));
    let lengths = (Mm(30.0), Mm(217.0), Mm(90.0));
    let upper = FourBar::new(centres, lengths, Deg(17.5), Assembly::Open).unwrap();
    let shaft = Shaft::turning(upper.motor());
    let above = Above { mechanism: &upper, path: &shaft, role: Role::Host };
    let pins = [[250.0, 650.0]];
    let wish = ForearmWish {
        above,
        pins: &pins,
        pivot: [180.0, 0.0],
        rod: Size::Free,
        lever: Size::Row { lo: 30.0, hi: 60.0, step: 5.0 },
        clamp: Size::Free,
        sweep: (Deg(240.5), Deg(318.8)),
        within: Some(Deg(2.0)),
        assembly: None,
    };
    let found = solve_forearm(&wish).unwrap();
    assert!(found.choices.iter().any(|c| c.rod.lever == Mm(40.0)), "{found:?}");
    let too_far = ForearmWish { sweep: (Deg(0.0), Deg(300.0)), ..wish };
    let no = solve_forearm(&too_far).unwrap_err();
    assert!(matches!(no.reason, ForearmReason::SwingsTooLittle { .. }), "{no:?}");
    let lever = Size::Given(40.0);
    let clamp = Size::Given(found.choices[0].clamp.0 + 120.0);
    let clamped = ForearmWish { clamp, lever, within: Some(Deg(0.5)), ..wish };
    let no = solve_forearm(&clamped).unwrap_err();
    assert!(matches!(no.reason, ForearmReason::Clamp { .. }), "{no:?}");
    assert!(!no.nearest.is_empty());
    let lever = Size::Given(40.0);
    let rod = ForearmWish { rod: Size::Given(140.0), lever, within: Some(Deg(0.5)), ..wish };
    let no = solve_forearm(&rod).unwrap_err();
    assert!(matches!(no.reason, ForearmReason::Rod { .. }), "{no:?}");
    let long = ForearmWish { lever: Size::Given(900.0), ..wish };
    let no = solve_forearm(&long).unwrap_err();
    assert!(matches!(no.reason, ForearmReason::WeakPush { best } if best.0 < 20.0), "{no:?}");
    let mad = ForearmWish { sweep: (Deg(f64::NAN), Deg(3.0)), ..wish };
    let no = solve_forearm(&mad).unwrap_err();
    assert!(matches!(no.reason, ForearmReason::Nonsense(_)));
}
