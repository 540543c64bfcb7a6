//! A figure on the ground: what it covers seen from above, and how high it is.

use super::distance::Corner;
use super::ride;
use super::track::{self, Track};
use super::{Covers, SpacedFigure};
use crate::fit::FittedFigure;
use crate::model::{Mount, Placed};

/// How far before and behind its board a limb's strip reaches, mm: the limb with its
/// spacers and bolt head (common practice, no source).
const STRIP: f64 = 60.0;

/// A figure seen from above, in yard mm.
pub(super) struct Ground {
    /// Board and frame.
    pub base: Vec<Corner>,
    /// The strips its limbs sweep, before and behind the board.
    pub swept: Vec<Vec<Corner>>,
    /// The board's front edge: left and right end.
    pub board: [Corner; 2],
    /// Height of the board's lower and upper edge above the ground.
    pub height: (f64, f64),
    /// The highest thing, limbs included.
    pub top: f64,
    /// The unit vector its front looks along.
    pub front: Corner,
}

/// Everything a limb can cover on its board.
pub(super) fn covers(fitted: &FittedFigure, index: usize) -> Option<Covers> {
    let silhouette = fitted.figure.limbs[index].silhouette()?;
    let corners: Vec<Corner> = silhouette.corners().iter().map(|p| [p.x, p.y]).collect();
    let track = track::own(fitted, index)?;
    let mut placed = Vec::new();
    let mut all = Covers { left: f64::INFINITY, right: f64::NEG_INFINITY, top: f64::NEG_INFINITY };
    let mut take = |placed: &[Corner]| {
        for p in placed {
            all.left = all.left.min(p[0]);
            all.right = all.right.max(p[0]);
            all.top = all.top.max(p[1]);
        }
    };
    if let Track::Ride(ride) = &track {
        for at in ride::grid(&ride.coords()).0 {
            if ride::place(&track, &at, &corners, &mut placed) {
                take(&placed);
            }
        }
    }
    const STEPS: u32 = 96;
    if let Some((from, to)) = track.span() {
        for i in 0..=STEPS {
            let at = from + (to - from) * f64::from(i) / f64::from(STEPS);
            if track.place(at, &corners, &mut placed) {
                take(&placed);
            }
        }
    }
    all.left.is_finite().then_some(all)
}

impl Ground {
    /// A placed figure; `None` where it has no board to stand on.
    pub fn of(placed: &Placed, spaced: &SpacedFigure) -> Option<Self> {
        let figure = &placed.figure;
        let bounds = figure.board.outline.as_ref()?.bounds();
        let facing = placed.facing.rad().0;
        let front = [libm::sin(facing), libm::cos(facing)];
        // Somebody before the figure sees the board's x grow to the right.
        let right = [-front[1], front[0]];
        let point = |x: f64, z: f64| {
            [placed.at.x + right[0] * x - front[0] * z, placed.at.y + right[1] * x - front[1] * z]
        };
        let strip = |lo: f64, hi: f64, from: f64, to: f64| {
            vec![point(lo, from), point(hi, from), point(hi, to), point(lo, to)]
        };
        let depth = figure.frame.iter().map(|m| m.depth.0).fold(0.0, f64::max);
        let thick = figure.board.sheet.as_ref().and_then(|s| s.thickness).map_or(9.0, |t| t.0);
        let back = thick + depth;
        let base = strip(bounds.low.x, bounds.high.x, 0.0, back);
        let lifted = figure.board.lifted.0;
        let mut top = bounds.high.y + lifted;
        let mut swept = Vec::new();
        for (limb, spaced) in figure.limbs.iter().zip(&spaced.limbs) {
            let Some(covers) = spaced.covers else { continue };
            top = top.max(covers.top + lifted);
            let (from, to) = match limb.mount {
                Mount::Front => (-STRIP, 0.0),
                Mount::Behind => (back, back + STRIP),
            };
            swept.push(strip(covers.left, covers.right, from, to));
        }
        let all = base.iter().chain(swept.iter().flatten()).flatten();
        all.chain([&top]).all(|v| v.is_finite()).then_some(())?;
        Some(Self {
            base,
            swept,
            board: [point(bounds.low.x, 0.0), point(bounds.high.x, 0.0)],
            height: (bounds.low.y + lifted, bounds.high.y + lifted),
            top,
            front,
        })
    }

    /// A box round everything it covers: lowest and highest corner.
    pub fn bounds(&self) -> (Corner, Corner) {
        let all = self.base.iter().chain(self.swept.iter().flatten());
        all.fold(([f64::INFINITY; 2], [f64::NEG_INFINITY; 2]), |(lo, hi), p| {
            ([lo[0].min(p[0]), lo[1].min(p[1])], [hi[0].max(p[0]), hi[1].max(p[1])])
        })
    }
}
