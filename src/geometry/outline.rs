//! Closed polygons: what is cut from a sheet.

use nalgebra::{Matrix3, Point2};

use super::{Dir, Point};
use crate::units::{Mm, Mm2};

/// An upright box around something, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Bounds<S> {
    /// The lower left corner.
    pub low: Point<S>,
    /// The upper right corner.
    pub high: Point<S>,
}

/// A closed polygon of at least three corners; the last is joined to the first.
///
/// Kept as it was written: either way round, and not checked for crossing itself.
#[derive(Clone, Debug, PartialEq)]
pub struct Outline<S> {
    corners: Vec<Point<S>>,
}

/// A map of a plane on itself that keeps shapes: mirroring, even scaling,
/// turning, shifting, in the order they were added.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Transform(Matrix3<f64>);

impl Transform {
    /// The map that leaves everything where it is.
    #[must_use]
    pub fn identity() -> Self {
        Self(Matrix3::identity())
    }

    fn then(self, m: Matrix3<f64>) -> Self {
        Self(m * self.0)
    }

    /// Then mirrored about the vertical line at `x`.
    #[must_use]
    pub fn mirror(self, x: Mm) -> Self {
        self.then(Matrix3::new(-1.0, 0.0, 2.0 * x.0, 0.0, 1.0, 0.0, 0.0, 0.0, 1.0))
    }

    /// Then scaled by `k` about the origin.
    #[must_use]
    pub fn scale(self, k: f64) -> Self {
        self.then(Matrix3::new(k, 0.0, 0.0, 0.0, k, 0.0, 0.0, 0.0, 1.0))
    }

    /// Then turned counter-clockwise by `by` about `about`.
    #[must_use]
    pub fn rotate<S: Copy>(self, about: Point<S>, by: Dir) -> Self {
        let (c, s) = (by.x(), by.y());
        let (x, y) = (about.x, about.y);
        self.then(Matrix3::new(c, -s, x - c * x + s * y, s, c, y - s * x - c * y, 0.0, 0.0, 1.0))
    }

    /// Then shifted.
    #[must_use]
    pub fn shift(self, x: Mm, y: Mm) -> Self {
        self.then(Matrix3::new(1.0, 0.0, x.0, 0.0, 1.0, y.0, 0.0, 0.0, 1.0))
    }

    /// Where a point goes.
    #[must_use]
    pub fn apply<S: Copy>(&self, p: Point<S>) -> Point<S> {
        let q = self.0.transform_point(&Point2::new(p.x, p.y));
        Point::mm(q.x, q.y)
    }
}

impl<S: Copy> Outline<S> {
    /// A polygon of these corners; `None` for fewer than three, or where a
    /// coordinate is not finite.
    #[must_use]
    pub fn new(corners: Vec<Point<S>>) -> Option<Self> {
        let fine = corners.iter().all(|p| p.x.is_finite() && p.y.is_finite());
        (corners.len() >= 3 && fine).then_some(Self { corners })
    }

    /// A strip of the given width whose middle line runs from `a` to `b`; `None`
    /// where the two are one point or the width is not positive.
    #[must_use]
    pub fn strip(a: Point<S>, b: Point<S>, width: Mm) -> Option<Self> {
        let across = (b - a).dir()?.turned(Dir::NORTH);
        let half = super::Vector::polar(width / 2.0, across);
        let wide = width.0 > 0.0;
        if !wide {
            return None;
        }
        Self::new(vec![a - half, b - half, b + half, a + half])
    }

    /// Its corners in order.
    #[must_use]
    pub fn corners(&self) -> &[Point<S>] {
        &self.corners
    }

    /// Its edges in order, closing the polygon.
    pub fn edges(&self) -> impl Iterator<Item = (Point<S>, Point<S>)> + '_ {
        let next = self.corners.iter().cycle().skip(1);
        self.corners.iter().copied().zip(next.copied())
    }

    /// Twice the signed area and the two first moments times six, about the
    /// first corner (so that far-away figures lose nothing).
    fn moments(&self) -> (f64, f64, f64) {
        let o = self.corners[0];
        self.edges().fold((0.0, 0.0, 0.0), |(a, mx, my), (p, q)| {
            let (p, q) = (p - o, q - o);
            let w = p.cross(q);
            (a + w, mx + w * (p.x + q.x), my + w * (p.y + q.y))
        })
    }

    /// Its area, never negative.
    #[must_use]
    pub fn area(&self) -> Mm2 {
        Mm2(self.moments().0.abs() / 2.0)
    }

    /// The centre of its area; the mean of the corners where it has no area.
    #[must_use]
    pub fn centroid(&self) -> Point<S> {
        let (a, mx, my) = self.moments();
        let o = self.corners[0];
        let size = self.bounds();
        let flat = (size.high.x - size.low.x) * (size.high.y - size.low.y) * 1e-12;
        if a.abs() > flat {
            return Point::mm(o.x + mx / (3.0 * a), o.y + my / (3.0 * a));
        }
        let n = self.corners.len() as f64;
        let sum = self.corners.iter().fold((0.0, 0.0), |s, p| (s.0 + p.x, s.1 + p.y));
        Point::mm(sum.0 / n, sum.1 / n)
    }

    /// Polar second moment of its area about a point, mm4 (times mass per area:
    /// moment of inertia).
    #[must_use]
    pub fn polar_moment(&self, about: Point<S>) -> f64 {
        let sum: f64 = self
            .edges()
            .map(|(p, q)| {
                let (p, q) = (p - about, q - about);
                p.cross(q) * (p.dot(p) + p.dot(q) + q.dot(q))
            })
            .sum();
        sum.abs() / 12.0
    }

    /// Where it crosses or touches itself: the first such place of two edges that are not
    /// neighbours, or the corner at which it turns straight back on itself. `None` for a
    /// simple polygon.
    #[must_use]
    pub fn crossing(&self) -> Option<Point<S>> {
        let edges: Vec<_> = self.edges().filter(|(a, b)| (a.x, a.y) != (b.x, b.y)).collect();
        let n = edges.len();
        for (i, &(a, b)) in edges.iter().enumerate() {
            let (c, d) = edges[(i + 1) % n];
            let (u, v) = (b - a, d - c);
            if u.cross(v) == 0.0 && u.dot(v) < 0.0 {
                return Some(b);
            }
            let (low, high) = (a.x.min(b.x), a.x.max(b.x));
            let last = if i == 0 { n - 1 } else { n };
            for &(c, d) in edges.iter().take(last).skip(i + 2) {
                if c.x.max(d.x) >= low
                    && c.x.min(d.x) <= high
                    && let Some(at) = meeting((a, b), (c, d))
                {
                    return Some(at);
                }
            }
        }
        None
    }

    /// The upright box around it.
    #[must_use]
    pub fn bounds(&self) -> Bounds<S> {
        let o = self.corners[0];
        self.corners.iter().fold(Bounds { low: o, high: o }, |b, p| Bounds {
            low: Point::mm(b.low.x.min(p.x), b.low.y.min(p.y)),
            high: Point::mm(b.high.x.max(p.x), b.high.y.max(p.y)),
        })
    }

    /// Whether a point lies inside (even-odd rule). Of the edge itself, the
    /// lower and left parts count as inside.
    #[must_use]
    pub fn contains(&self, p: Point<S>) -> bool {
        self.edges().fold(false, |inside, (a, b)| {
            let spans = (a.y <= p.y) != (b.y <= p.y);
            inside != (spans && p.x < a.x + (p.y - a.y) / (b.y - a.y) * (b.x - a.x))
        })
    }

    /// The shortest distance from a point to the edge, mm; nought on the edge.
    #[must_use]
    pub fn distance_to_edge(&self, p: Point<S>) -> Mm {
        let square = self.edges().fold(f64::INFINITY, |least, (a, b)| {
            let (along, to) = (b - a, p - a);
            let length = along.dot(along);
            let t = if length > 0.0 { (to.dot(along) / length).clamp(0.0, 1.0) } else { 0.0 };
            let off = to - along * t;
            least.min(off.dot(off))
        });
        Mm(square.sqrt())
    }

    /// How far from a point it reaches, mm.
    #[must_use]
    pub fn reach(&self, from: Point<S>) -> f64 {
        self.corners.iter().map(|p| from.distance(*p).0).fold(0.0, f64::max)
    }

    /// How far it is from a point to the edge straight along a direction, mm; `None` where
    /// no edge lies ahead.
    #[must_use]
    pub fn ahead(&self, from: Point<S>, along: (f64, f64)) -> Option<f64> {
        let crossings = self.edges().filter_map(|(a, b)| {
            let (edge, to) = (b - a, a - from);
            let turn = along.0 * edge.y - along.1 * edge.x;
            let far = (to.x * edge.y - to.y * edge.x) / turn;
            let share = (to.x * along.1 - to.y * along.0) / turn;
            let crosses = far > 0.0 && (-1e-9..=1.0 + 1e-9).contains(&share);
            (turn.abs() > 1e-12 && crosses).then_some(far)
        });
        crossings.reduce(f64::min)
    }

    /// The outline moved by a transform.
    #[must_use]
    pub fn transformed(&self, by: &Transform) -> Self {
        Self { corners: self.corners.iter().map(|&p| by.apply(p)).collect() }
    }
}

/// Where two stretches meet, their ends included.
fn meeting<S: Copy>(
    (a, b): (Point<S>, Point<S>),
    (c, d): (Point<S>, Point<S>),
) -> Option<Point<S>> {
    let (u, v, w) = (b - a, d - c, c - a);
    let cross = u.cross(v);
    if cross == 0.0 {
        // Side by side, or one line: do they share a piece of it?
        if u.cross(w) != 0.0 {
            return None;
        }
        let inside = |p: Point<S>| (0.0..=u.dot(u)).contains(&(p - a).dot(u));
        let over = (a - c).dot(v) >= 0.0 && (a - c).dot(v) <= v.dot(v);
        return [c, d].into_iter().find(|&p| inside(p)).or(over.then_some(a));
    }
    let (s, t) = (w.cross(v) / cross, w.cross(u) / cross);
    let on = |x: f64| (0.0..=1.0).contains(&x);
    (on(s) && on(t)).then(|| a.toward(b, s))
}

#[cfg(test)]
mod tests {
    use super::super::{Board, BoardPoint};
    use super::*;
    use crate::units::Deg;

    fn ell() -> Outline<Board> {
        let p = BoardPoint::mm;
        let corners = vec![
            p(0.0, 0.0),
            p(40.0, 0.0),
            p(40.0, 10.0),
            p(10.0, 10.0),
            p(10.0, 30.0),
            p(0.0, 30.0),
        ];
        Outline::new(corners).unwrap()
    }

    #[test]
    fn an_ell_by_hand() {
        // 40 x 10 and 10 x 20: 600 mm2, centre by parts.
        let e = ell();
        assert_eq!(e.area(), Mm2(600.0));
        let c = e.centroid();
        assert!((c.x - (400.0 * 20.0 + 200.0 * 5.0) / 600.0).abs() < 1e-12);
        assert!((c.y - (400.0 * 5.0 + 200.0 * 20.0) / 600.0).abs() < 1e-12);
        assert!(e.contains(BoardPoint::mm(5.0, 25.0)) && !e.contains(BoardPoint::mm(20.0, 20.0)));
        assert_eq!(e.distance_to_edge(BoardPoint::mm(20.0, 20.0)), Mm(10.0));
        assert_eq!(e.bounds().high, BoardPoint::mm(40.0, 30.0));
    }

    #[test]
    fn straight_ahead_by_hand() {
        let (a, b) = (BoardPoint::mm(-50.0, 0.0), BoardPoint::mm(200.0, 0.0));
        let strip = Outline::strip(a, b, Mm(60.0)).unwrap();
        let from = BoardPoint::mm(-20.0, 10.0);
        assert!((strip.ahead(from, (-1.0, 0.0)).unwrap() - 30.0).abs() < 1e-9);
        assert!((strip.ahead(from, (1.0, 0.0)).unwrap() - 220.0).abs() < 1e-9);
        // 30 deg up: 20 mm up to the edge, 40 mm along the way.
        let up = strip.ahead(from, (0.75_f64.sqrt(), 0.5)).unwrap();
        assert!((up - 40.0).abs() < 1e-9);
        assert_eq!(strip.ahead(BoardPoint::mm(201.0, 0.0), (1.0, 0.0)), None);
        // 30 mm up and 200 along.
        assert!((strip.reach(a) - libm::hypot(250.0, 30.0)).abs() < 1e-9);
    }

    #[test]
    fn a_crossing_is_found_and_a_simple_polygon_has_none() {
        let p = BoardPoint::mm;
        let of = |corners: &[(f64, f64)]| {
            Outline::new(corners.iter().map(|&(x, y)| p(x, y)).collect()).unwrap().crossing()
        };
        assert_eq!(ell().crossing(), None);
        // Closed by hand as well.
        assert_eq!(of(&[(0.0, 0.0), (4.0, 0.0), (4.0, 4.0), (0.0, 0.0)]), None);
        // A bow tie, a spike, a corner on another edge.
        assert_eq!(of(&[(0.0, 0.0), (4.0, 4.0), (4.0, 0.0), (0.0, 4.0)]), Some(p(2.0, 2.0)));
        assert_eq!(
            of(&[(0.0, 0.0), (4.0, 0.0), (9.0, 0.0), (4.0, 0.0), (4.0, 4.0)]),
            Some(p(4.0, 0.0))
        );
        let touching = [(0.0, 0.0), (8.0, 0.0), (8.0, 4.0), (4.0, 0.0), (0.0, 4.0)];
        assert_eq!(of(&touching), Some(p(4.0, 0.0)));
    }

    #[test]
    fn moving_keeps_the_area_and_carries_the_centre() {
        let e = ell();
        let by = Transform::identity()
            .mirror(Mm(310.0))
            .rotate(BoardPoint::mm(100.0, 50.0), Dir::degrees(Deg(37.0)))
            .scale(0.6);
        let moved = e.transformed(&by);
        assert!((moved.area().0 - 600.0 * 0.36).abs() < 1e-9);
        assert!((moved.centroid() - by.apply(e.centroid())).length().0 < 1e-10);
    }

    #[test]
    fn second_moment_of_a_rectangle() {
        // b h (b^2 + h^2)/12 about the centre, standard.
        let r = Outline::strip(BoardPoint::mm(-30.0, 0.0), BoardPoint::mm(30.0, 0.0), Mm(20.0));
        let got = r.unwrap().polar_moment(BoardPoint::origin());
        assert!((got - 60.0 * 20.0 * (3600.0 + 400.0) / 12.0).abs() < 1e-6);
    }

    #[test]
    fn no_outline_without_area_or_number() {
        let p = BoardPoint::mm;
        assert_eq!(Outline::new(vec![p(0.0, 0.0), p(1.0, 0.0)]), None);
        assert_eq!(Outline::new(vec![p(0.0, 0.0), p(1.0, 0.0), p(f64::NAN, 1.0)]), None);
        let line = Outline::new(vec![p(0.0, 0.0), p(1.0, 1.0), p(2.0, 2.0)]).unwrap();
        assert_eq!(line.centroid(), p(1.0, 1.0));
    }
}
