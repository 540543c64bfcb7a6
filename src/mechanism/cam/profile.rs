//! The curve to cut.

use super::{Cam, Stretch, Touch, Undercut};
use crate::geometry::{BoardPoint, Dir};
use crate::units::{Mm, Rad};

/// One cut, from where the last one ended.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Cut {
    /// Straight.
    Line {
        /// To here.
        to: BoardPoint,
    },
    /// Along a circle about the shaft: a dwell.
    Arc {
        /// To here.
        to: BoardPoint,
        /// Its radius.
        radius: Mm,
        /// Counter-clockwise.
        ccw: bool,
    },
}

impl Cut {
    /// Where it ends.
    #[must_use]
    pub const fn to(&self) -> BoardPoint {
        match self {
            Self::Line { to } | Self::Arc { to, .. } => *to,
        }
    }
}

/// The closed outline of a cam in its own plane: the shaft is the origin, and +x
/// points where the crank would, so that it lies as cut when the motor's turn is 0.
#[derive(Clone, Debug, PartialEq)]
pub struct Outline {
    /// Where the cutting starts; the last cut ends here.
    pub start: BoardPoint,
    /// The cuts in order.
    pub cuts: Vec<Cut>,
}

/// Steps are no wider than this, rad: 4 degrees.
const WIDEST: f64 = 4.0 * std::f64::consts::PI / 180.0;
/// A step is halved at most so often.
const HALVINGS: u32 = 12;

/// A place on the outline with its tangent.
#[derive(Clone, Copy)]
struct Spot {
    angle: f64,
    at: [f64; 2],
    tangent: Dir,
    hollow: bool,
}

impl Cam {
    /// A point of the cut curve in the cam's own plane, with the outward normal;
    /// `turn` is the motor's turn at which the follower touches it, rad.
    #[must_use]
    pub fn cut_at(&self, turn: f64) -> (BoardPoint, Dir) {
        laid(&self.touch(turn), turn)
    }

    /// The outline with straight cuts no farther than `error` off the curve.
    ///
    /// Between two points where the curve bends one way it lies inside the triangle
    /// of chord and end tangents, whose height is held below `error`; across an
    /// inflection twice the larger slope by the chord is, an estimate.
    ///
    /// # Errors
    /// [`Undercut`] where no such cam can be cut.
    pub fn profile(&self, error: Mm) -> Result<Outline, Undercut> {
        if let Some(undercut) = self.facts().undercut {
            return Err(undercut);
        }
        let error = error.0.max(1e-4);
        let mut start = None;
        let mut cuts = Vec::new();
        for s in self.plan.programme.stretches() {
            let first = self.spot(&s, s.from);
            start.get_or_insert(first.at);
            let last = self.spot(&s, s.to);
            if s.dwell {
                let radius = Mm(libm::hypot(first.at[0], first.at[1]));
                // The follower goes round the cam against the cam's turn.
                let ccw = self.plan.runs.sign() < 0.0;
                cuts.push(Cut::Arc { to: point(last.at), radius, ccw });
                continue;
            }
            let steps = ((s.to - s.from) / WIDEST).ceil().max(1.0);
            let mut here = first;
            for i in 1..=steps as usize {
                let there = self.spot(&s, s.from + (s.to - s.from) * (i as f64 / steps));
                self.refine(&s, (here, there), (error, HALVINGS), &mut cuts);
                here = there;
            }
        }
        let start = point(start.unwrap_or([0.0, 0.0]));
        // The turn closes but for rounding.
        if let Some(Cut::Line { to } | Cut::Arc { to, .. }) = cuts.last_mut() {
            *to = start;
        }
        Ok(Outline { start, cuts })
    }

    fn refine(&self, s: &Stretch, ends: (Spot, Spot), limit: (f64, u32), cuts: &mut Vec<Cut>) {
        let (a, b) = ends;
        if limit.1 == 0 || chord_error(&a, &b) <= limit.0 {
            cuts.push(Cut::Line { to: point(b.at) });
            return;
        }
        let middle = self.spot(s, 0.5 * (a.angle + b.angle));
        self.refine(s, (a, middle), (limit.0, limit.1 - 1), cuts);
        self.refine(s, (middle, b), (limit.0, limit.1 - 1), cuts);
    }

    fn spot(&self, s: &Stretch, angle: f64) -> Spot {
        let touch = self.touch_on(s, angle);
        let (at, normal) = laid(&touch, self.plan.turn(angle));
        let tangent = normal.turned(Dir::NORTH);
        let hollow = super::facts::curve(&touch) < 0.0;
        Spot { angle, at: [at.x, at.y], tangent, hollow }
    }
}

fn point(v: [f64; 2]) -> BoardPoint {
    BoardPoint::mm(v[0], v[1])
}

/// Turned back with the cam.
fn laid(touch: &Touch, turn: f64) -> (BoardPoint, Dir) {
    let back = Dir::radians(Rad(turn)).inverse();
    let [x, y] = touch.contact;
    let at = BoardPoint::mm(x * back.x() - y * back.y(), x * back.y() + y * back.x());
    (at, touch.normal.turned(back))
}

/// No more than this lies between chord and curve.
fn chord_error(a: &Spot, b: &Spot) -> f64 {
    let (x, y) = (b.at[0] - a.at[0], b.at[1] - a.at[1]);
    let Some(chord) = Dir::along(x, y) else { return 0.0 };
    let long = libm::hypot(x, y);
    let slope = |t: Dir| {
        let along = chord.dot(t).abs();
        if along > 0.1 { chord.cross(t).abs() / along } else { 10.0 }
    };
    let (ta, tb) = (slope(a.tangent), slope(b.tangent));
    if a.hollow != b.hollow {
        return 2.0 * long * ta.max(tb);
    }
    if ta + tb < 1e-12 { 0.0 } else { long * ta * tb / (ta + tb) }
}

impl Outline {
    /// Its corner points, the start first, arcs left out but for their ends.
    pub fn points(&self) -> impl Iterator<Item = BoardPoint> {
        std::iter::once(self.start).chain(self.cuts.iter().map(Cut::to))
    }
}
