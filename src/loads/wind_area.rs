//! What the wind meets: pressure, areas, and a figure's silhouette.

use crate::fit::FittedFigure;
use crate::geometry::{Board, Dir, OnLimb, Outline, Point};
use crate::mechanism::Travel;
use crate::model::{Joint, Limb};
use crate::units::{Deg, Mm};

/// Velocity pressure for each (m/s)^2, Pa: half the density of air at sea level
/// (ASCE/SEI 7, SI form: q = 0.613 V^2).
pub const PRESSURE: f64 = 0.613;

/// Force coefficient of a whole figure: a free-standing signboard (EN 1991-1-4:2005,
/// 7.4.3: 1.8). No lower pressure near the ground is reckoned with.
pub const FIGURE_FORCE: f64 = 1.8;

/// Force coefficient on bolt, bushing and washers of a limb: that of a signboard, on
/// the cautious side.
pub const HINGE_FORCE: f64 = 1.8;

/// Force coefficient for the bending of a limb's sheet: a flat plate five to ten times
/// as long as wide, 1.2 to 1.3 (F. M. White, Fluid Mechanics, drag of three-dimensional
/// bodies; from memory).
pub const LIMB_FORCE: f64 = 1.3;

/// How many level strips a silhouette is cut into.
const STRIPS: usize = 256;

/// What the wind meets of a figure.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Silhouette {
    /// Area of board and limbs together, what covers each other once, m2.
    pub area: f64,
    /// Height of its centre above the ground, m.
    pub height: f64,
    /// Its width, m.
    pub width: f64,
    /// Each strip's middle height and area, m and m2, from below.
    strips: [(f64, f64); STRIPS],
}

impl Silhouette {
    /// The area above a height, m2.
    #[must_use]
    pub fn area_above(&self, height: f64) -> f64 {
        self.strips.iter().filter(|(y, _)| *y > height).map(|(_, a)| a).sum()
    }

    /// First moment of the area above a height about that height, m3.
    #[must_use]
    pub fn moment_above(&self, height: f64) -> f64 {
        self.strips.iter().filter(|(y, _)| *y > height).map(|(y, a)| a * (y - height)).sum()
    }
}

/// The silhouette of some outlines on the board, `lifted` above the ground.
///
/// Cut into 256 level strips of equal height; in the middle of each, the stretches
/// covered by any outline are joined and counted once. Exact for edges that do not
/// end inside a strip; else off by less than the area of a strip at each corner.
#[must_use]
pub fn silhouette(outlines: &[Outline<Board>], lifted: Mm) -> Option<Silhouette> {
    let bounds = outlines.iter().map(Outline::bounds);
    let (low, high, left, right) = bounds.fold(
        (f64::INFINITY, f64::NEG_INFINITY, f64::INFINITY, f64::NEG_INFINITY),
        |(l, h, a, b), o| (l.min(o.low.y), h.max(o.high.y), a.min(o.low.x), b.max(o.high.x)),
    );
    let step = (high - low) / STRIPS as f64;
    let real = step.is_finite() && step > 0.0 && right > left;
    if !real {
        return None;
    }
    let mut strips = [(0.0, 0.0); STRIPS];
    let (mut stretches, mut at) = (Vec::new(), Vec::new());
    for (n, strip) in strips.iter_mut().enumerate() {
        let y = low + step * (n as f64 + 0.5);
        stretches.clear();
        for outline in outlines {
            crossed(outline.edges().map(|(a, b)| ([a.x, a.y], [b.x, b.y])), y, &mut at);
            stretches.extend(at.chunks_exact(2).map(|pair| (pair[0], pair[1])));
        }
        *strip = ((y + lifted.0) * 1e-3, joined(&mut stretches) * step * 1e-6);
    }
    let area: f64 = strips.iter().map(|(_, a)| a).sum();
    let moment: f64 = strips.iter().map(|(y, a)| y * a).sum();
    (area > 0.0).then(|| Silhouette {
        area,
        height: moment / area,
        width: (right - left) * 1e-3,
        strips,
    })
}

/// Where the level line at `y` crosses the edges of an outline, from the left: in and out
/// by turns (even-odd), mm.
fn crossed(edges: impl Iterator<Item = ([f64; 2], [f64; 2])>, y: f64, at: &mut Vec<f64>) {
    at.clear();
    at.extend(
        edges
            .filter(|(a, b)| (a[1] <= y) != (b[1] <= y))
            .map(|(a, b)| a[0] + (y - a[1]) / (b[1] - a[1]) * (b[0] - a[0])),
    );
    at.sort_unstable_by(f64::total_cmp);
}

/// The length covered by stretches that may lie over each other.
fn joined(stretches: &mut [(f64, f64)]) -> f64 {
    stretches.sort_unstable_by(|a, b| a.0.total_cmp(&b.0));
    let mut covered = 0.0;
    let mut end = f64::NEG_INFINITY;
    for &(from, to) in stretches.iter() {
        covered += (to - from.max(end)).max(0.0);
        end = end.max(to);
    }
    covered
}

/// The width of a limb across its axis at a distance along it, mm.
#[must_use]
pub fn width_at(outline: &Outline<OnLimb>, along: f64) -> f64 {
    width_in(outline, along, &mut Vec::new())
}

/// The same, with room to work in at hand.
pub(super) fn width_in(outline: &Outline<OnLimb>, along: f64, at: &mut Vec<f64>) -> f64 {
    // The axis upright, so that level lines cut across the limb.
    crossed(outline.edges().map(|(a, b)| ([a.y, a.x], [b.y, b.x])), along, at);
    at.chunks_exact(2).map(|pair| pair[1] - pair[0]).sum()
}

/// Board and limbs of a figure; each limb in that pose, of the drawn one and the two
/// ends of its motion, whose centre stands highest: there the wind has the longest
/// lever. `None` where no outline is known at all.
#[must_use]
pub fn of_figure(fitted: &FittedFigure) -> Option<Silhouette> {
    let figure = &fitted.figure;
    let mut outlines: Vec<Outline<Board>> = figure.board.outline.iter().cloned().collect();
    for (limb, fit) in figure.limbs.iter().zip(&fitted.limbs) {
        let travel = fit.mechanism.as_ref().and_then(|m| m.follows()).and_then(|f| f.travel);
        let highest = poses(limb, travel)
            .into_iter()
            .reduce(|best, o| if o.centroid().y > best.centroid().y { o } else { best });
        outlines.extend(highest);
    }
    silhouette(&outlines, figure.board.lifted)
}

/// A limb's outline on the board: as drawn, and at both ends of its motion.
fn poses(limb: &Limb, travel: Option<Travel>) -> Vec<Outline<Board>> {
    let Some((outline, (origin, axis))) = limb.silhouette().zip(limb.drawn()) else {
        return Vec::new();
    };
    let placed = |dir: Dir, slid: f64| {
        let at = |p: &Point<OnLimb>| {
            let x = p.x + slid;
            Point::mm(
                origin.x + x * dir.x() - p.y * dir.y(),
                origin.y + x * dir.y() + p.y * dir.x(),
            )
        };
        Outline::new(outline.corners().iter().map(at).collect())
    };
    let mut all = vec![placed(axis, 0.0)];
    match (travel, &limb.joint) {
        (Some(Travel::Swing(l)), Joint::Pivot { .. }) => {
            all.extend([l.low, l.high].map(|a: Deg| placed(Dir::degrees(a), 0.0)));
        }
        (Some(Travel::Stroke(l)), Joint::Slide { .. }) => {
            all.extend([l.low, l.high].map(|s: Mm| placed(axis, s.0)));
        }
        _ => {}
    }
    all.into_iter().flatten().collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rectangle(x: f64, y: f64, w: f64, h: f64) -> Outline<Board> {
        let p = Point::mm;
        Outline::new(vec![p(x, y), p(x + w, y), p(x + w, y + h), p(x, y + h)]).unwrap()
    }

    #[test]
    fn what_lies_over_each_other_counts_once() {
        let s = silhouette(&[rectangle(0.0, 0.0, 400.0, 1000.0)], Mm(0.0)).unwrap();
        assert!((s.area - 0.4).abs() < 1e-9 && (s.height - 0.5).abs() < 1e-9);
        let inside = rectangle(100.0, 200.0, 100.0, 100.0);
        let both = silhouette(&[rectangle(0.0, 0.0, 400.0, 1000.0), inside], Mm(0.0)).unwrap();
        assert!((both.area - 0.4).abs() < 1e-9);
        // 100 mm of a 300 mm bar stand out beyond the board, halfway up.
        let bar = rectangle(200.0, 500.0, 300.0, 125.0);
        let out = silhouette(&[rectangle(0.0, 0.0, 400.0, 1000.0), bar], Mm(0.0)).unwrap();
        assert!((out.area - 0.4125).abs() < 1e-9, "{}", out.area);
        assert!((out.width - 0.5).abs() < 1e-12);
    }

    #[test]
    fn slanted_edges_are_off_by_less_than_a_strip() {
        let p = Point::mm;
        let triangle = Outline::new(vec![p(0.0, 0.0), p(600.0, 0.0), p(300.0, 900.0)]).unwrap();
        let s = silhouette(&[triangle], Mm(100.0)).unwrap();
        assert!((s.area / 0.27 - 1.0).abs() < 1e-4, "{}", s.area);
        assert!((s.height - 0.4).abs() < 1e-4, "{}", s.height);
    }

    #[test]
    fn the_moment_above_a_height_is_that_of_the_part_above() {
        let s = silhouette(&[rectangle(0.0, 0.0, 400.0, 1000.0)], Mm(0.0)).unwrap();
        assert!((s.moment_above(0.0) - 0.2).abs() < 1e-9);
        assert!((s.moment_above(0.5) - 0.4 * 0.125).abs() < 1e-6);
    }

    #[test]
    fn a_limbs_width_is_measured_across_its_axis() {
        let p = Point::<OnLimb>::mm;
        let wedge =
            Outline::new(vec![p(0.0, -50.0), p(400.0, -20.0), p(400.0, 20.0), p(0.0, 50.0)])
                .unwrap();
        assert!((width_at(&wedge, 200.0) - 70.0).abs() < 1e-9);
        assert_eq!(width_at(&wedge, 500.0), 0.0);
    }
}
