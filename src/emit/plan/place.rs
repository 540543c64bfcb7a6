//! A figure from above: where its board stands and how far its limbs reach.

use crate::emit::numbers::mechanism_numbers;
use crate::fit::{Fitted, FittedFigure};
use crate::geometry::{Board, BoardPoint, Outline};
use crate::model::{Action, Figure, Joint, Limb, Mount, Placed, Shape};
use crate::units::Deg;

/// A stretch along the board, mm from its x = 0, to the right seen from the front.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    /// Left end.
    pub lo: f64,
    /// Right end.
    pub hi: f64,
}

impl Stretch {
    /// The smallest that holds both.
    fn with(self, o: Self) -> Self {
        Self { lo: self.lo.min(o.lo), hi: self.hi.max(o.hi) }
    }

    /// Joined with a point.
    fn and(self, x: f64) -> Self {
        self.with(Self { lo: x, hi: x })
    }

    /// Around points; `None` for none.
    fn around(xs: impl Iterator<Item = f64>) -> Option<Self> {
        xs.filter(|x| x.is_finite()).map(|x| Self { lo: x, hi: x }).reduce(Self::with)
    }

    /// The middle.
    pub fn middle(self) -> f64 {
        (self.lo + self.hi) / 2.0
    }
}

/// A figure seen from above, in yard mm and along its board.
#[derive(Clone, Debug)]
pub struct Footprint {
    /// Where x = 0 of the board stands, east and north.
    at: (f64, f64),
    /// Unit vector the front looks along.
    front: (f64, f64),
    /// The board's width as drawn.
    pub board: Stretch,
    /// Whether the board's width was said; else it is what its parts span.
    pub board_known: bool,
    /// Width of the frame, where there is one.
    pub frame: Option<Stretch>,
    /// Depth of the frame behind the board.
    pub depth: f64,
    /// Reach of the limbs in front of the board.
    pub before: Option<Stretch>,
    /// Reach of the limbs behind it.
    pub behind: Option<Stretch>,
    /// Out of action.
    pub laid_up: bool,
}

impl Footprint {
    /// The figure from above; `None` where its place is no number.
    pub fn new(placed: &Placed, fitted: Option<&FittedFigure>) -> Option<Self> {
        let figure = &placed.figure;
        let facing = placed.facing.rad().0;
        let front = (libm::sin(facing), libm::cos(facing));
        let at = (placed.at.x, placed.at.y);
        if ![at.0, at.1, front.0].into_iter().all(f64::is_finite) {
            return None;
        }
        let frame = Stretch::around(figure.frame.iter().flat_map(|m| [m.from.x, m.to.x]));
        let half = figure.frame.iter().map(|m| m.width.0 / 2.0).fold(0.0, f64::max);
        let said = figure.board.outline.as_ref().map(corners);
        let board = said.and_then(|c| Stretch::around(c.iter().map(|p| p.x)));
        Some(Self {
            at,
            front,
            board: board
                .or(frame)
                .or_else(|| parts(figure))
                .unwrap_or(Stretch { lo: 0.0, hi: 0.0 }),
            board_known: board.is_some(),
            frame: frame.map(|f| Stretch { lo: f.lo - half, hi: f.hi + half }),
            depth: figure.frame.iter().map(|m| m.depth.0).fold(0.0, f64::max),
            before: reach(figure, fitted, Mount::Front),
            behind: reach(figure, fitted, Mount::Behind),
            laid_up: placed.laid_up.is_some(),
        })
    }

    /// Yard point of a point `x` along the board and `z` behind its face.
    pub fn point(&self, x: f64, z: f64) -> (f64, f64) {
        // Somebody before the figure sees the board's x grow to the right: the
        // front's direction turned a quarter counter-clockwise from above.
        let right = (-self.front.1, self.front.0);
        (self.at.0 + right.0 * x - self.front.0 * z, self.at.1 + right.1 * x - self.front.1 * z)
    }

    /// Where its board's x = 0 stands.
    pub const fn origin(&self) -> (f64, f64) {
        self.at
    }
}

/// The corners of an outline.
fn corners(outline: &Outline<Board>) -> &[BoardPoint] {
    outline.corners()
}

/// What the parts of a figure without board or frame span.
fn parts(figure: &Figure) -> Option<Stretch> {
    let pivots = figure.limbs.iter().filter_map(|l| pivot(l).map(|p| p.x));
    let motors = figure.actuators.iter().filter_map(|a| a.at.map(|p| p.x));
    Stretch::around(pivots.chain(motors))
}

fn pivot(limb: &Limb) -> Option<BoardPoint> {
    match &limb.joint {
        Joint::Pivot { at, .. } => *at,
        Joint::Slide { from, .. } => Some(*from),
    }
}

/// How far the limbs of one mount reach along the board.
fn reach(figure: &Figure, fitted: Option<&FittedFigure>, mount: Mount) -> Option<Stretch> {
    (0..figure.limbs.len())
        .filter(|&i| figure.limbs[i].mount == mount)
        .filter_map(|i| limb_reach(figure, fitted, i))
        .reduce(Stretch::with)
}

/// How far one limb reaches along the board, its carrier's motion included.
fn limb_reach(figure: &Figure, fitted: Option<&FittedFigure>, index: usize) -> Option<Stretch> {
    let limb = figure.limbs.get(index)?;
    let own = match &limb.joint {
        Joint::Slide { from, to } => slide_reach(limb, from.x, to.x),
        Joint::Pivot { at, .. } => swing_reach(limb, (*at)?, angles_of(figure, fitted, index))?,
    };
    match limb.carrier.filter(|&c| c < index) {
        Some(carrier) => {
            // The pivot rides: its own path along the board widens the limb's.
            let path = carried_path(figure, fitted, carrier, pivot(limb)?)?;
            let at = pivot(limb)?.x;
            Some(Stretch { lo: own.lo + path.lo - at, hi: own.hi + path.hi - at })
        }
        None => Some(own),
    }
}

/// Where a point fixed to a swinging carrier goes along the board.
fn carried_path(
    figure: &Figure,
    fitted: Option<&FittedFigure>,
    carrier: usize,
    point: BoardPoint,
) -> Option<Stretch> {
    let limb = figure.limbs.get(carrier)?;
    match &limb.joint {
        Joint::Slide { from, to } => {
            let by = to.x - from.x;
            Stretch::around([point.x, point.x + by].into_iter())
        }
        Joint::Pivot { at, .. } => arc(limb, (*at)?, point, angles_of(figure, fitted, carrier)),
    }
}

/// A slide's limb moves along its guide with everything drawn on it.
fn slide_reach(limb: &Limb, from: f64, to: f64) -> Stretch {
    let base = Stretch { lo: from.min(to), hi: from.max(to) };
    match &limb.shape {
        Some(Shape::Outline(outline)) => {
            corners(outline).iter().fold(base, |s, p| s.and(p.x).and(p.x + (to - from)))
        }
        _ => base,
    }
}

/// The limb angles it takes, from and to, or all of them.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Angles {
    Between(f64, f64),
    All,
}

/// The angles of a limb on the board: where its motor rides, its own and those of the
/// limb that carries it added up.
fn angles_of(figure: &Figure, fitted: Option<&FittedFigure>, index: usize) -> Option<Angles> {
    let limb = figure.limbs.get(index)?;
    let own = fitted.and_then(|f| f.limbs.get(index));
    let riding = own.and_then(|l| l.riding.as_ref());
    let seen = riding.map_or(limb, |r| &r.figure.limbs[index]);
    let found = angles(seen, own.and_then(|l| l.mechanism.as_ref()));
    // Carriers lead to the board, each earlier in the chain.
    match (found, riding) {
        (found, None) => found,
        (Some(Angles::Between(low, high)), Some(riding)) => {
            match angles_of(figure, fitted, riding.carrier) {
                Some(Angles::Between(from, to)) => Some(Angles::Between(low + from, high + to)),
                other => other,
            }
        }
        (other, Some(_)) => other,
    }
}

/// The angles of a limb: as its mechanism swings, else as its gestures ask, else
/// as drawn.
fn angles(limb: &Limb, solved: Option<&Fitted>) -> Option<Angles> {
    let spins = limb.gestures.iter().any(|g| matches!(g.action, Action::Spin { .. }));
    if spins || matches!(solved, Some(Fitted::Spin(_))) {
        return Some(Angles::All);
    }
    let numbers = solved.map(mechanism_numbers);
    if let Some((low, sweep)) = numbers.and_then(|n| Some((n.low_deg?.get(), n.sweep_deg?.get()))) {
        return Some(Angles::Between(low, low + sweep));
    }
    let asked = limb.gestures.iter().flat_map(|g| match &g.action {
        Action::Sweep { from, to, .. } => vec![from.value.0, to.value.0],
        Action::Turn { to, .. } | Action::Pose(to) => vec![to.value.0],
        Action::Follow { range: Some((a, b)), .. } => vec![a.0, b.0],
        _ => Vec::new(),
    });
    let asked = asked.chain(limb.rest.iter().map(|r| r.value.0));
    Stretch::around(asked).map(|s| Angles::Between(s.lo, s.hi))
}

/// How far a swinging limb reaches: every corner of its outline, or its tip and
/// tail, on its arc.
fn swing_reach(limb: &Limb, pivot: BoardPoint, angles: Option<Angles>) -> Option<Stretch> {
    let mut points: Vec<BoardPoint> = limb.tip.into_iter().collect();
    if let Some(Shape::Outline(outline)) = &limb.shape {
        points.extend_from_slice(corners(outline));
    }
    points.iter().filter_map(|&p| arc(limb, pivot, p, angles)).reduce(Stretch::with)
}

/// The stretch along the board of a point that turns with the limb.
fn arc(
    limb: &Limb,
    pivot: BoardPoint,
    point: BoardPoint,
    angles: Option<Angles>,
) -> Option<Stretch> {
    let (dx, dy) = (point.x - pivot.x, point.y - pivot.y);
    let radius = libm::hypot(dx, dy);
    let around = |x: f64| Stretch { lo: pivot.x, hi: pivot.x }.and(pivot.x + x);
    let (low, high) = match angles {
        Some(Angles::All) => {
            return Some(Stretch { lo: pivot.x - radius, hi: pivot.x + radius });
        }
        Some(Angles::Between(low, high)) if high - low < 360.0 => (low, high),
        Some(Angles::Between(..)) => {
            return Some(Stretch { lo: pivot.x - radius, hi: pivot.x + radius });
        }
        None => return Some(around(dx)),
    };
    let tip = limb.tip?;
    let drawn = libm::atan2(tip.y - pivot.y, tip.x - pivot.x);
    let off = (libm::atan2(dy, dx) - drawn) * (180.0 / std::f64::consts::PI);
    let span = swept(radius, low + off, high + off);
    // The pivot itself belongs to the limb.
    Some(Stretch { lo: pivot.x + span.lo, hi: pivot.x + span.hi }.and(pivot.x))
}

/// The stretch from the centre, along x, of an arc between two angles in degrees.
fn swept(radius: f64, from: f64, to: f64) -> Stretch {
    let x_at = |deg: f64| radius * libm::cos(Deg(deg).rad().0);
    let ends = Stretch { lo: x_at(from), hi: x_at(from) }.and(x_at(to));
    // The arc's own extremes, where it passes them.
    [(0.0, radius), (180.0, -radius)]
        .into_iter()
        .filter(|(deg, _)| (deg - from).rem_euclid(360.0) <= to - from)
        .fold(ends, |span, (_, x)| span.and(x))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn print(facing: f64) -> Footprint {
        let facing = Deg(facing).rad().0;
        Footprint {
            at: (1000.0, 2000.0),
            front: (libm::sin(facing), libm::cos(facing)),
            board: Stretch { lo: 0.0, hi: 600.0 },
            board_known: true,
            frame: None,
            depth: 0.0,
            before: None,
            behind: None,
            laid_up: false,
        }
    }

    // Somebody south of a figure that faces them looks north: their right hand is
    // east, and what is behind the board is further north.
    #[test]
    fn boards_lie_as_their_viewers_see_them() {
        for (facing, x_to, behind_to) in [
            (180.0, (1600.0, 2000.0), (1000.0, 2050.0)),
            (0.0, (400.0, 2000.0), (1000.0, 1950.0)),
            (90.0, (1000.0, 2600.0), (950.0, 2000.0)),
        ] {
            let near = |a: (f64, f64), b: (f64, f64)| (a.0 - b.0).abs() + (a.1 - b.1).abs() < 1e-9;
            assert!(near(print(facing).point(600.0, 0.0), x_to), "{facing}");
            assert!(near(print(facing).point(0.0, 50.0), behind_to), "{facing}");
        }
    }

    // Against plain sampling of the swing in thousandths of a degree.
    #[test]
    fn a_swing_reaches_as_far_as_its_samples() {
        for (from, to) in
            [(121.0, 165.0), (-30.0, 55.0), (150.0, 205.0), (10.0, 20.0), (-200.0, 100.0)]
        {
            let span = swept(70.0, from, to);
            let steps = ((to - from) * 1000.0) as u32;
            let xs =
                (0..=steps).map(|i| 70.0 * libm::cos(Deg(from + f64::from(i) / 1000.0).rad().0));
            let (lo, hi) = xs.fold((f64::MAX, f64::MIN), |(l, h), x| (l.min(x), h.max(x)));
            assert!(
                (span.lo - lo).abs() < 1e-6 && (span.hi - hi).abs() < 1e-6,
                "{from} {to} {span:?}"
            );
        }
    }
}
