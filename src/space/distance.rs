//! Exact distance between two flat shapes: discs, capsules and polygons.
//!
//! A shape is a skeleton (a point, a segment or a filled polygon) and a radius about
//! it. Corners are plain pairs of millimetres on the board: this is the innermost
//! loop of the clearance checks.

/// A corner, mm on the board.
pub type Corner = [f64; 2];

/// The distance between two skeletons, mm; nought where they meet or one lies inside
/// the other. One corner is a point, two are a segment, more a filled polygon
/// (even-odd rule). Infinite where one has no corners.
#[must_use]
pub fn distance(a: &[Corner], b: &[Corner]) -> f64 {
    let square = corners_to_edges(a, b).min(corners_to_edges(b, a));
    if square <= 0.0 {
        return 0.0;
    }
    // Where two edges cross, an end of one lies within half the shorter edge of the
    // other: far shapes are spared the test.
    let reach = longest_square(a).min(longest_square(b)) / 4.0;
    if (square <= reach && edges_cross(a, b)) || inside(a, b) || inside(b, a) {
        return 0.0;
    }
    square.sqrt()
}

/// How far a point lies outside a polygon, mm: negative inside, where it is the distance
/// to the rim.
#[must_use]
pub fn outside(p: Corner, polygon: &[Corner]) -> f64 {
    let rim = corners_to_edges(&[p], polygon).sqrt();
    if contains(polygon, &p) { -rim } else { rim }
}

/// The edges of a skeleton, closing a polygon but not a segment.
fn edges(of: &[Corner]) -> impl Iterator<Item = (Corner, Corner)> + '_ {
    let count = if of.len() < 3 { of.len().saturating_sub(1) } else { of.len() };
    (0..count).map(|i| (of[i], of[if i + 1 == of.len() { 0 } else { i + 1 }]))
}

/// Least squared distance from a corner of `a` to an edge of `b`, or to its point.
fn corners_to_edges(a: &[Corner], b: &[Corner]) -> f64 {
    if let [only] = b {
        return a.iter().fold(f64::INFINITY, |least, p| least.min(square(p, only)));
    }
    let mut least = f64::INFINITY;
    for (from, to) in edges(b) {
        let (dx, dy) = (to[0] - from[0], to[1] - from[1]);
        let length = dx * dx + dy * dy;
        let per = if length > 0.0 { 1.0 / length } else { 0.0 };
        for p in a {
            let (x, y) = (p[0] - from[0], p[1] - from[1]);
            let share = ((x * dx + y * dy) * per).clamp(0.0, 1.0);
            let (ox, oy) = (x - share * dx, y - share * dy);
            least = least.min(ox * ox + oy * oy);
        }
    }
    least
}

fn square(p: &Corner, q: &Corner) -> f64 {
    let (x, y) = (p[0] - q[0], p[1] - q[1]);
    x * x + y * y
}

fn longest_square(of: &[Corner]) -> f64 {
    edges(of).fold(0.0, |most, (p, q)| most.max(square(&p, &q)))
}

/// Whether two edges properly cross.
fn edges_cross(a: &[Corner], b: &[Corner]) -> bool {
    let side = |p: &Corner, q: &Corner, r: &Corner| {
        (q[0] - p[0]) * (r[1] - p[1]) - (q[1] - p[1]) * (r[0] - p[0])
    };
    edges(a).any(|(p, q)| {
        edges(b).any(|(r, s)| {
            side(&p, &q, &r) * side(&p, &q, &s) < 0.0 && side(&r, &s, &p) * side(&r, &s, &q) < 0.0
        })
    })
}

/// Whether the first corner of `a` lies inside the polygon `b`.
fn inside(a: &[Corner], b: &[Corner]) -> bool {
    match a.first() {
        Some(p) if b.len() >= 3 => contains(b, p),
        _ => false,
    }
}

/// Whether a point lies inside a polygon, by the even-odd rule.
#[must_use]
pub fn contains(polygon: &[Corner], p: &Corner) -> bool {
    edges(polygon).fold(false, |inside, (a, b)| {
        let spans = (a[1] <= p[1]) != (b[1] <= p[1]);
        inside != (spans && p[0] < a[0] + (p[1] - a[1]) / (b[1] - a[1]) * (b[0] - a[0]))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Numbers between nought and one, the same each time.
    struct Dice(u64);
    impl Dice {
        fn roll(&mut self) -> f64 {
            self.0 = self
                .0
                .wrapping_mul(6_364_136_223_846_793_005)
                .wrapping_add(1_442_695_040_888_963_407);
            (self.0 >> 11) as f64 / (1u64 << 53) as f64
        }
    }

    /// A star-shaped polygon about a centre: never crosses itself.
    fn star(dice: &mut Dice, n: usize, centre: Corner, size: f64) -> Vec<Corner> {
        (0..n)
            .map(|i| {
                let (s, c) = libm::sincos(
                    (i as f64 + 0.8 * dice.roll()) / n as f64 * 2.0 * std::f64::consts::PI,
                );
                let r = size * (0.3 + 0.7 * dice.roll());
                [centre[0] + r * c, centre[1] + r * s]
            })
            .collect()
    }

    /// Points along the rim, this far apart at most.
    fn rim(of: &[Corner], step: f64) -> Vec<Corner> {
        let closed = of.len() > 2;
        let ends = (0..of.len() - usize::from(!closed)).map(|i| (of[i], of[(i + 1) % of.len()]));
        let mut all = vec![of[0]];
        for (p, q) in ends {
            let n = (libm::hypot(q[0] - p[0], q[1] - p[1]) / step).ceil().max(1.0) as usize;
            all.extend((0..=n).map(|k| {
                let t = k as f64 / n as f64;
                [p[0] + t * (q[0] - p[0]), p[1] + t * (q[1] - p[1])]
            }));
        }
        all
    }

    /// By winding: the angles under which a polygon's edges are seen add up to a turn.
    fn winds_round(of: &[Corner], p: Corner) -> bool {
        if of.len() < 3 {
            return false;
        }
        let seen: f64 = (0..of.len())
            .map(|i| {
                let (a, b) = (of[i], of[(i + 1) % of.len()]);
                let (ax, ay, bx, by) = (a[0] - p[0], a[1] - p[1], b[0] - p[0], b[1] - p[1]);
                libm::atan2(ax * by - ay * bx, ax * bx + ay * by)
            })
            .sum();
        seen.abs() > 3.0
    }

    // Against rims sampled 0.2 mm apart and the winding number.
    #[test]
    fn distances_agree_with_dense_sampling() {
        let mut dice = Dice(7);
        let (mut apart, mut meeting) = (0, 0);
        for round in 0..400 {
            let sizes = [[8, 8], [1, 8], [2, 8], [2, 2], [3, 5]][round % 5];
            let a = star(&mut dice, sizes[0], [0.0, 0.0], 30.0);
            let off = [60.0 * dice.roll() - 20.0, 60.0 * dice.roll() - 20.0];
            let b = star(&mut dice, sizes[1], off, 30.0);
            let got = distance(&a, &b);
            assert_eq!(got, distance(&b, &a));
            let (ra, rb) = (rim(&a, 0.2), rim(&b, 0.2));
            let near = ra
                .iter()
                .flat_map(|p| rb.iter().map(move |q| libm::hypot(p[0] - q[0], p[1] - q[1])));
            let near = near.fold(f64::INFINITY, f64::min);
            let within =
                ra.iter().any(|p| winds_round(&b, *p)) || rb.iter().any(|p| winds_round(&a, *p));
            if within {
                meeting += 1;
                assert_eq!(got, 0.0, "round {round}");
            } else {
                apart += 1;
                assert!(
                    got <= near + 1e-9 && got >= near - 0.15,
                    "round {round}: {got} and {near}"
                );
            }
        }
        assert!(apart > 50 && meeting > 50, "{apart} apart, {meeting} meeting");
    }

    #[test]
    fn crossing_bars_meet_though_their_corners_are_far() {
        let bar = |w: f64, h: f64| vec![[-w, -h], [w, -h], [w, h], [-w, h]];
        assert_eq!(distance(&bar(100.0, 1.0), &bar(1.0, 100.0)), 0.0);
        assert_eq!(distance(&bar(100.0, 1.0), &[[0.0, 0.0]]), 0.0);
        assert_eq!(distance(&[[0.0, 0.0], [10.0, 0.0]], &[[5.0, 3.0]]), 3.0);
        assert_eq!(distance(&[[-5.0, 0.0], [5.0, 0.0]], &[[0.0, -5.0], [0.0, 5.0]]), 0.0);
    }
}
