//! Where a place that is left open may be: a rectangle, round a point, on lines, on a limb.

use crate::geometry::{Board, BoardPoint, Bounds, Outline, Vector};
use crate::model::{Figure, Shape};
use crate::syntax::Open;

/// How far round a point is looked where nothing is said.
const NEAR: f64 = 50.0;

/// Places along each side of the net by which a box is looked at for whether any of it lies
/// on the board.
const LOOKS: usize = 24;
/// A member this near to an upright line lies along it, mm.
const ALONG: f64 = 1.0;

/// Where a place may be.
pub(super) enum Region {
    /// Between two corners.
    Rectangle { from: BoardPoint, to: BoardPoint },
    /// Round a point.
    Round { centre: BoardPoint, within: f64 },
    /// On lines: the centre lines of the frame, or one between two points.
    Lines(Vec<(BoardPoint, BoardPoint)>),
    /// On a limb, in the drawn pose.
    Plate(Outline<Board>),
}

impl Region {
    /// Where the question lets a motor stand: as it says, else on the frame, else
    /// anywhere on the board.
    pub(super) fn of(open: &Open, figure: &Figure) -> Option<Self> {
        let point = |(x, y): (f64, f64)| BoardPoint::mm(x, y);
        match (open.near.map(point), open.corner.map(point)) {
            (Some(from), Some(to)) if open.line => return Some(Self::Lines(vec![(from, to)])),
            (Some(from), Some(to)) => return Some(Self::Rectangle { from, to }),
            (Some(centre), None) => {
                return Some(Self::Round { centre, within: open.within.unwrap_or(NEAR) });
            }
            _ => {}
        }
        if open.on_frame || !figure.frame.is_empty() {
            let lines: Vec<_> = figure.frame.iter().map(|m| (m.from, m.to)).collect();
            return (!lines.is_empty()).then_some(Self::Lines(lines));
        }
        let corners = figure.board.outline.as_ref()?.corners();
        let ends = |of: fn(&BoardPoint) -> f64| {
            let all = corners.iter().map(of);
            (all.clone().fold(f64::INFINITY, f64::min), all.fold(f64::NEG_INFINITY, f64::max))
        };
        let ((x0, x1), (y0, y1)) = (ends(|p| p.x), ends(|p| p.y));
        Some(Self::Rectangle { from: BoardPoint::mm(x0, y0), to: BoardPoint::mm(x1, y1) })
    }

    /// What of a box or a circle lies on the board; lines and limbs as they are. `None` where
    /// all of it lies off the board.
    pub(super) fn on_board(self, board: &Outline<Board>) -> Option<Self> {
        let bounds = board.bounds();
        let on = match self {
            Self::Rectangle { from, to } => {
                let both = |a: f64, b: f64, low: f64, high: f64| {
                    let (lo, hi) = (a.min(b).max(low), a.max(b).min(high));
                    (lo <= hi).then_some((lo, hi))
                };
                let (x0, x1) = both(from.x, to.x, bounds.low.x, bounds.high.x)?;
                let (y0, y1) = both(from.y, to.y, bounds.low.y, bounds.high.y)?;
                Self::Rectangle { from: BoardPoint::mm(x0, y0), to: BoardPoint::mm(x1, y1) }
            }
            round @ Self::Round { .. } => round,
            other @ (Self::Lines(_) | Self::Plate(_)) => return Some(other),
        };
        let share = |n: usize| n as f64 / LOOKS as f64;
        let mut net = (0..=LOOKS).flat_map(|i| (0..=LOOKS).map(move |j| (share(i), share(j))));
        let meets = net.any(|at| on.at(0, at).is_some_and(|p| board.contains(p)))
            || board.corners().iter().any(|c| on.nearest(*c, 0.0).is_some());
        meets.then_some(on)
    }

    /// What of it lies on an upright line; `None` where nothing does.
    pub(super) fn on_upright(&self, x: f64) -> Option<Self> {
        let line = |a: f64, b: f64| (BoardPoint::mm(x, a), BoardPoint::mm(x, b));
        let lines = match self {
            Self::Rectangle { from, to } => {
                let crosses = from.x.min(to.x) <= x && x <= from.x.max(to.x);
                crosses.then(|| line(from.y, to.y)).into_iter().collect()
            }
            Self::Round { centre, within } => {
                let half = (within * within - (x - centre.x) * (x - centre.x)).max(0.0).sqrt();
                let crosses = (x - centre.x).abs() <= *within;
                crosses.then(|| line(centre.y - half, centre.y + half)).into_iter().collect()
            }
            Self::Lines(lines) => {
                let crossed = |(a, b): &(BoardPoint, BoardPoint)| {
                    let (from, to) = (a.x - x, b.x - x);
                    if from.abs().max(to.abs()) < ALONG {
                        return Some(line(a.y, b.y));
                    }
                    let at = || a.toward(*b, from / (from - to));
                    (from * to <= 0.0).then(at).map(|p| line(p.y, p.y))
                };
                lines.iter().filter_map(crossed).collect::<Vec<_>>()
            }
            Self::Plate(_) => Vec::new(),
        };
        (!lines.is_empty()).then_some(Self::Lines(lines))
    }

    /// The same of a motor that rides: as it says, in the drawn pose, else anywhere on the
    /// limb that carries it. `None` where that one's shape is not known.
    pub(super) fn on_carrier(open: &Open, figure: &Figure, limb: usize) -> Option<Self> {
        if open.near.is_some() {
            return Self::of(open, figure);
        }
        let carrier = &figure.limbs[figure.limbs[limb].carrier?];
        Some(Self::Plate(match carrier.shape.as_ref()? {
            Shape::Outline(outline) => outline.clone(),
            Shape::Strip { width, tail } => {
                let (origin, axis) = carrier.drawn()?;
                Outline::strip(origin - Vector::polar(*tail, axis), carrier.tip?, *width)?
            }
        }))
    }

    /// A place by two shares of the region's width and height, or of a line and its
    /// length; `None` where it lies outside.
    pub(super) fn at(&self, line: usize, (u, v): (f64, f64)) -> Option<BoardPoint> {
        if !((0.0..=1.0).contains(&u) && (0.0..=1.0).contains(&v)) {
            return None;
        }
        match self {
            Self::Rectangle { from, to } => {
                Some(BoardPoint::mm(from.x + u * (to.x - from.x), from.y + v * (to.y - from.y)))
            }
            Self::Round { centre, within } => {
                let (x, y) = ((2.0 * u - 1.0) * within, (2.0 * v - 1.0) * within);
                (libm::hypot(x, y) <= *within).then(|| BoardPoint::mm(centre.x + x, centre.y + y))
            }
            Self::Lines(lines) => {
                let (from, to) = lines[line];
                Some(from.toward(to, u))
            }
            Self::Plate(outline) => {
                let Bounds { low: min, high: max } = outline.bounds();
                let at = BoardPoint::mm(min.x + u * (max.x - min.x), min.y + v * (max.y - min.y));
                outline.contains(at).then_some(at)
            }
        }
    }

    /// How wide and high an area is, mm; `None` of lines.
    pub(super) fn size(&self) -> Option<(f64, f64)> {
        let (low, high) = self.corners();
        let size = ((high.x - low.x).max(1e-9), (high.y - low.y).max(1e-9));
        self.is_area().then_some(size)
    }

    /// The two shares by which a place inside an area is told (see [`Self::at`]).
    pub(super) fn share(&self, p: BoardPoint) -> Option<(f64, f64)> {
        let (wide, high) = self.size()?;
        let from = match self {
            Self::Rectangle { from, .. } => *from,
            _ => self.corners().0,
        };
        let turned = |of: fn(&BoardPoint) -> f64| match self {
            Self::Rectangle { from, to } if of(to) < of(from) => -1.0,
            _ => 1.0,
        };
        let share =
            (turned(|p| p.x) * (p.x - from.x) / wide, turned(|p| p.y) * (p.y - from.y) / high);
        self.at(0, share).map(|_| share)
    }

    /// Its middle; that of the first of several lines.
    pub(super) fn middle(&self) -> BoardPoint {
        match self {
            Self::Rectangle { from, to } => from.toward(*to, 0.5),
            Self::Round { centre, .. } => *centre,
            Self::Lines(lines) => lines[0].0.toward(lines[0].1, 0.5),
            Self::Plate(outline) => outline.centroid(),
        }
    }

    /// Whether a point lies between the corners of a rectangle.
    pub(super) fn holds(&self, p: BoardPoint) -> bool {
        let Self::Rectangle { from, to } = self else { return false };
        let between = |v: f64, a: f64, b: f64| a.min(b) <= v && v <= a.max(b);
        between(p.x, from.x, to.x) && between(p.y, from.y, to.y)
    }

    /// The place of the region nearest to a point, where it is no further off than `within`.
    pub(super) fn nearest(&self, p: BoardPoint, within: f64) -> Option<BoardPoint> {
        let inside = match self {
            Self::Rectangle { .. } => self.holds(p),
            Self::Round { centre, within } => p.distance(*centre).0 <= *within,
            Self::Plate(outline) => outline.contains(p),
            Self::Lines(lines) => {
                let feet = lines.iter().map(|(a, b)| foot(*a, *b, p));
                let near = feet.min_by(|q, r| q.distance(p).0.total_cmp(&r.distance(p).0));
                return near.filter(|q| q.distance(p).0 <= within);
            }
        };
        inside.then_some(p)
    }

    /// The place of the region nearest to a point; of a limb its middle.
    pub(super) fn closest(&self, p: BoardPoint) -> BoardPoint {
        let clamp = |v: f64, a: f64, b: f64| v.clamp(a.min(b), a.max(b));
        match self {
            Self::Rectangle { from, to } => {
                BoardPoint::mm(clamp(p.x, from.x, to.x), clamp(p.y, from.y, to.y))
            }
            Self::Round { centre, within } => {
                let far = centre.distance(p).0;
                if far > *within { centre.toward(p, within / far) } else { p }
            }
            Self::Plate(outline) if outline.contains(p) => p,
            Self::Plate(outline) => outline.centroid(),
            Self::Lines(_) => self.nearest(p, f64::INFINITY).unwrap_or(p),
        }
    }

    /// The corners of the box round it.
    pub(super) fn corners(&self) -> (BoardPoint, BoardPoint) {
        let around = |all: &mut dyn Iterator<Item = BoardPoint>| {
            let (mut low, mut high) = ((f64::MAX, f64::MAX), (f64::MIN, f64::MIN));
            for p in all {
                low = (low.0.min(p.x), low.1.min(p.y));
                high = (high.0.max(p.x), high.1.max(p.y));
            }
            (BoardPoint::mm(low.0, low.1), BoardPoint::mm(high.0, high.1))
        };
        match self {
            Self::Rectangle { from, to } => around(&mut [*from, *to].into_iter()),
            Self::Round { centre: c, within: r } => {
                (BoardPoint::mm(c.x - r, c.y - r), BoardPoint::mm(c.x + r, c.y + r))
            }
            Self::Lines(lines) => around(&mut lines.iter().flat_map(|(a, b)| [*a, *b])),
            Self::Plate(outline) => {
                let Bounds { low, high } = outline.bounds();
                (BoardPoint::mm(low.x, low.y), BoardPoint::mm(high.x, high.y))
            }
        }
    }

    /// How many lines it has; 1 for an area.
    pub(super) fn lines(&self) -> usize {
        match self {
            Self::Lines(lines) => lines.len(),
            Self::Rectangle { .. } | Self::Round { .. } | Self::Plate(_) => 1,
        }
    }

    pub(super) fn is_area(&self) -> bool {
        !matches!(self, Self::Lines(_))
    }
}

/// The point of a stretch nearest to another.
fn foot(a: BoardPoint, b: BoardPoint, p: BoardPoint) -> BoardPoint {
    let (way, to) = (b - a, p - a);
    let long = way.dot(way);
    if long > 0.0 { a.toward(b, (way.dot(to) / long).clamp(0.0, 1.0)) } else { a }
}
