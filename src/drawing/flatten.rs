//! Curves made of short straight lines, never further from the curve than wanted.

use nalgebra::{Matrix3, Vector3};

use super::path::{At, Line, Stretch};

/// More corners than this of one outline are refused.
pub(super) const MOST_CORNERS: usize = 5_000;

/// The corners of a line in mm; `None` where there are more than [`MOST_CORNERS`].
///
/// A chord over a step h of a curve's parameter stays within h^2/8 of the largest second
/// derivative of it (the remainder of linear interpolation), so the steps are as many as
/// bring that below the tolerance.
pub(super) fn corners(line: &Line, map: &Matrix3<f64>, tolerance: f64) -> Option<Vec<At>> {
    let put = |p: At| {
        let q = map * Vector3::new(p.0, p.1, 1.0);
        (q.x, q.y)
    };
    let mut now = put(line.start);
    let mut corners = vec![now];
    for stretch in &line.stretches {
        match *stretch {
            Stretch::Line(end) => corners.push(put(end)),
            Stretch::Quadratic(c, end) => {
                let (a, c, b) = (now, put(c), put(end));
                let n = steps(2.0 * bend(a, c, b), tolerance)?;
                for i in 1..=n {
                    let t = i as f64 / n as f64;
                    corners.push(mix(mix(a, c, t), mix(c, b, t), t));
                }
            }
            Stretch::Cubic(c, d, end) => {
                let (a, c, d, b) = (now, put(c), put(d), put(end));
                let n = steps(6.0 * bend(a, c, d).max(bend(c, d, b)), tolerance)?;
                for i in 1..=n {
                    let t = i as f64 / n as f64;
                    let (p, q, r) = (mix(a, c, t), mix(c, d, t), mix(d, b, t));
                    corners.push(mix(mix(p, q, t), mix(q, r, t), t));
                }
            }
            Stretch::Arc(arc) => {
                // No axis of it is longer on the board than this.
                let stretched = (map.fixed_view::<2, 2>(0, 0)).norm();
                let most = arc.radii.0.max(arc.radii.1) * stretched * arc.over * arc.over;
                let n = steps(most, tolerance)?;
                for i in 1..n {
                    let share = i as f64 / n as f64;
                    corners.push(put(arc.at(arc.from + arc.over * share)));
                }
                corners.push(put(arc.end));
            }
        }
        if corners.len() > MOST_CORNERS {
            return None;
        }
        now = corners[corners.len() - 1];
    }
    Some(corners)
}

/// Steps of a curve whose second derivative is never larger than this.
fn steps(second: f64, tolerance: f64) -> Option<usize> {
    let n = (second / (8.0 * tolerance)).sqrt().ceil().max(1.0);
    (n <= MOST_CORNERS as f64).then_some(n as usize)
}

fn bend(a: At, b: At, c: At) -> f64 {
    libm::hypot(a.0 - 2.0 * b.0 + c.0, a.1 - 2.0 * b.1 + c.1)
}

fn mix(a: At, b: At, t: f64) -> At {
    (a.0 + (b.0 - a.0) * t, a.1 + (b.1 - a.1) * t)
}
