//! The room of limbs that ride on others, against plain dense sampling of every coordinate:
//! rectangles put with sines and cosines, and how far their corners are from each other's
//! sides.

use super::compile;
use yardwright::space::{Gap, Role};

type Point = (f64, f64);
/// Four corners, one after another.
type Quad = [Point; 4];

fn polar(from: Point, r: f64, rad: f64) -> Point {
    let (s, c) = libm::sincos(rad);
    (from.0 + r * c, from.1 + r * s)
}

/// A limb `long` and `wide` from its pivot along its axis.
fn limb(pivot: Point, rad: f64, long: f64, wide: f64) -> Quad {
    let side = |along: f64, left: f64| {
        let p = polar(pivot, along, rad);
        polar(p, left, rad + std::f64::consts::FRAC_PI_2)
    };
    let half = wide / 2.0;
    [side(0.0, -half), side(long, -half), side(long, half), side(0.0, half)]
}

fn inside(p: Point, q: &Quad) -> bool {
    let left = |i: usize| {
        let (a, b) = (q[i], q[(i + 1) % 4]);
        (b.0 - a.0) * (p.1 - a.1) - (b.1 - a.1) * (p.0 - a.0) >= 0.0
    };
    (0..4).all(left)
}

fn to_side(p: Point, a: Point, b: Point) -> f64 {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let t = ((p.0 - a.0) * dx + (p.1 - a.1) * dy) / (dx * dx + dy * dy);
    let t = t.clamp(0.0, 1.0);
    libm::hypot(p.0 - a.0 - t * dx, p.1 - a.1 - t * dy)
}

fn cross(a: Point, b: Point, c: Point, d: Point) -> bool {
    let side =
        |p: Point, q: Point, r: Point| (q.0 - p.0) * (r.1 - p.1) - (q.1 - p.1) * (r.0 - p.0) > 0.0;
    side(a, b, c) != side(a, b, d) && side(c, d, a) != side(c, d, b)
}

/// How far two quadrilaterals are apart; nought where they meet.
fn apart(p: &Quad, q: &Quad) -> f64 {
    if p.iter().any(|c| inside(*c, q)) || q.iter().any(|c| inside(*c, p)) {
        return 0.0;
    }
    let mut least = f64::INFINITY;
    for i in 0..4 {
        for j in 0..4 {
            let (a, b, c, d) = (p[i], p[(i + 1) % 4], q[j], q[(j + 1) % 4]);
            if cross(a, b, c, d) {
                return 0.0;
            }
            least = least.min(to_side(a, c, d)).min(to_side(c, a, b));
        }
    }
    least
}

/// Least over a grid of two angles in degrees.
fn dense(first: (f64, f64), second: (f64, f64), steps: u32, gap: impl Fn(f64, f64) -> f64) -> f64 {
    let at = |(from, to): (f64, f64), i: u32| {
        (from + (to - from) * f64::from(i) / f64::from(steps)).to_radians()
    };
    let all = (0..=steps).flat_map(|i| (0..=steps).map(move |j| (i, j)));
    all.map(|(i, j)| gap(at(first, i), at(second, j))).fold(f64::INFINITY, f64::min)
}

fn found(compiled: &yardwright::check::Compiled, limb: usize, other: Role) -> Option<&Gap> {
    compiled.spaces[0]
        .gaps
        .iter()
        .find(|g| g.limb == limb && g.part == Role::Limb && g.other == other)
}

/// What is told holds what the grid finds, and is no wider than its bound and the grid.
fn agrees(what: &str, gap: Option<&Gap>, least: f64, fine: f64) {
    match gap {
        None => assert!(least >= 59.0, "{what}: nothing told, {least}"),
        Some(gap) => {
            let told = &gap.least;
            assert!(told.low <= least + 1e-6, "{what}: {told:?} but {least}");
            let wide = 0.05_f64.max(0.1 * told.high);
            let settled = told.high <= 0.0 || told.high - told.low <= wide + 1e-9;
            assert!(settled, "{what}: {told:?}");
            assert!(told.high >= least - fine, "{what}: {told:?} but {least}");
        }
    }
}

/// A wing on a servo that swings 20 to 80 deg about (400, 500), a hand on it with a servo
/// of its own that bends -40 to 50 deg, and a post.
fn owl(post: f64, hand: &str) -> String {
    format!(
        "use parts\nfigure owl {{ board plywood-9 1200 mm by 1400 mm
  frame 38 mm by 38 mm {{ ({post:.2}, 300) to ({post:.2}, 1200) mm }}
  limb wing {{ pivot (400, 500) mm  tip (600, 500) mm  mount behind  sheet plywood-6  length 200 mm  width 40 mm
    drive servo {{ motor servo-standard at (400, 500) mm  zero 50 deg }}
    gesture flap {{ sweep 20 deg to 80 deg  cycle 3 s }} }}
  {hand} }}\n"
    )
}

const HAND: &str = "limb hand on wing { pivot (600, 500) mm  tip (720, 500) mm  mount behind  sheet plywood-6  length 120 mm  width 30 mm
    drive servo { motor servo-standard }
    gesture wave { bend -40 deg to 50 deg  cycle 2 s } }";

#[test]
fn a_hand_with_a_servo_of_its_own_is_looked_at_wherever_the_wing_is() {
    let (mut hits, mut clear) = (0, 0);
    for k in 0..10 {
        let post = 680.0 + 12.5 * f64::from(k);
        let compiled = compile(&owl(post, HAND));
        let frame = limb((post, 300.0), std::f64::consts::FRAC_PI_2, 900.0, 38.0);
        let least = dense((20.0, 80.0), (-40.0, 50.0), 240, |wing, hand| {
            let wrist = polar((400.0, 500.0), 200.0, wing);
            apart(&limb(wrist, wing + hand, 120.0, 30.0), &frame)
        });
        agrees(&format!("post at {post}"), found(&compiled, 1, Role::Member), least, 0.8);
        let told = compiled
            .findings
            .iter()
            .find(|f| f.code.word == "limb-hits-frame" && f.limb.as_deref() == Some("hand"));
        assert_eq!(told.is_some(), least < 0.05, "{post}: {least}");
        if let Some(told) = told {
            assert!(told.message.contains(" with wing at "), "{}", told.message);
            assert!(told.message.contains(" deg from wing"), "{}", told.message);
            hits += 1;
        } else {
            clear += 1;
        }
    }
    assert!(hits > 2 && clear > 2, "{hits} {clear}");
}

/// Two fingers on one wing: where the wing is changes nothing between them.
#[test]
fn two_that_ride_on_one_limb_keep_their_gap_wherever_that_is() {
    for at in [550.0, 562.0, 580.0] {
        let two = format!(
            "{HAND}\n  limb thumb on wing {{ pivot ({at}, 560) mm  tip ({at}, 460) mm  mount behind  sheet plywood-6  length 100 mm  width 20 mm
    drive servo {{ motor servo-standard }}
    gesture snap {{ bend -120 deg to -60 deg  cycle 2 s }} }}"
        );
        let compiled = compile(&owl(900.0, &two));
        let least = dense((-40.0, 50.0), (-120.0, -60.0), 240, |hand, thumb| {
            let own = limb((600.0, 500.0), hand, 120.0, 30.0);
            apart(&own, &limb((at, 560.0), thumb, 100.0, 20.0))
        });
        agrees(&format!("thumb at {at}"), found(&compiled, 1, Role::Limb), least, 0.6);
    }
}

/// The direction of a lever at a pivot whose rod comes from a pin: two circles that meet,
/// on the open side.
fn lever(pin: Point, pivot: Point, rod: f64, lever: f64) -> f64 {
    let (dx, dy) = (pivot.0 - pin.0, pivot.1 - pin.1);
    let d = libm::hypot(dx, dy);
    let along = (d * d + rod * rod - lever * lever) / (2.0 * d);
    let up = libm::sqrt(rod * rod - along * along);
    let end = (pin.0 + (along * dx - up * dy) / d, pin.1 + (along * dy + up * dx) / d);
    libm::atan2(end.1 - pivot.1, end.0 - pivot.0)
}

/// A forearm whose motor stands on the board, and a post: circles that meet on a grid of
/// crank and carrier.
#[test]
fn a_limb_that_rides_with_its_motor_on_the_board_is_looked_at_over_both() {
    let (mut near, mut far) = (0, 0);
    for k in 0..6 {
        let post = -40.0 + 18.0 * f64::from(k);
        let text = format!(
            "use parts\nfigure fox {{ board plywood-9 900 mm by 1200 mm
  frame 38 mm by 38 mm {{ ({post:.2}, 300) to ({post:.2}, 1200) mm }}
  motor low wiper at (420, 500) mm turns ccw   motor high wiper at (480, 560) mm turns ccw
  limb upper-arm {{ pivot (300, 700) mm  tip (120, 700) mm  mount behind  sheet plywood-6  width 40 mm
    drive four-bar {{ motor low  crank 30 mm  rod 217 mm  tail-hole 90 mm at 17.5 deg assembly open }}
    gesture bow {{ sweep 195 deg to 235 deg  cycle 3 s }} }}
  limb forearm on upper-arm {{ pivot (120, 700) mm  tip (120, 500) mm  mount behind  sheet plywood-6  length 200 mm  width 40 mm
    drive four-bar {{ motor high  crank 30 mm  rod 350 mm  tail-hole 150 mm at 358 deg assembly open }}
    gesture fiddle {{ sweep 255 deg to 285 deg within 180 deg  cycle 2 s }} }} }}\n"
        );
        let compiled = compile(&text);
        let frame = limb((post, 300.0), std::f64::consts::FRAC_PI_2, 900.0, 38.0);
        let least = dense((0.0, 360.0), (0.0, 360.0), 360, |low, high| {
            let about = (300.0, 700.0);
            let arm = lever(polar((420.0, 500.0), 30.0, low), about, 217.0, 90.0);
            let pivot = polar(about, 180.0, arm - 17.5f64.to_radians());
            let fore = lever(polar((480.0, 560.0), 30.0, high), pivot, 350.0, 150.0);
            apart(&limb(pivot, fore - 358f64.to_radians(), 200.0, 40.0), &frame)
        });
        let why = &compiled.spaces[0].limbs[1].not_checked;
        let why = format!(
            "post at {post}: {:?} {why:?}",
            compiled.findings.iter().map(|f| &f.message).collect::<Vec<_>>()
        );
        agrees(&why, found(&compiled, 1, Role::Member), least, 0.8);
        if least < 30.0 { near += 1 } else { far += 1 }
    }
    assert!(near > 0 && far > 0, "{near} {far}");
}

/// A hat that nothing moves on a head that turns: it goes where the head goes.
#[test]
fn a_limb_that_nothing_moves_is_carried_round() {
    let hat = "limb feather on wing { pivot (600, 500) mm  tip (600, 620) mm  mount behind  sheet plywood-6  length 120 mm  width 20 mm }";
    for post in [470.0, 560.0, 700.0] {
        let compiled = compile(&owl(post, hat));
        let frame = limb((post, 300.0), std::f64::consts::FRAC_PI_2, 900.0, 38.0);
        let least = dense((20.0, 80.0), (90.0, 90.0), 600, |wing, on| {
            apart(&limb(polar((400.0, 500.0), 200.0, wing), wing + on, 120.0, 20.0), &frame)
        });
        agrees(&format!("post at {post}"), found(&compiled, 1, Role::Member), least, 0.8);
    }
}
