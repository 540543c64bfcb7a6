//! A mechanism on a plane that stands turned: seen from the board.

use std::sync::Arc;

use super::{Blocked, Guide, Input, Kind, Mechanism, Path, Slide, Solved, Span, Thrust, Way};
use crate::geometry::{BoardPoint, Body, Dir, Jet, Real};

/// A mechanism whose plane stands turned about the board's origin.
///
/// A limb whose motor rides on its carrier is computed in the carrier's plane; what
/// weight and wind do to it counts on the board, which this tells. Where the plane's
/// origin lies does not matter to weight, inertia or wind.
#[derive(Clone, Debug)]
pub struct Turned {
    /// In its own plane.
    pub mechanism: Arc<dyn Mechanism>,
    /// How far the plane's +x is turned from the board's.
    pub by: Dir,
}

/// What moves a [`Turned`] mechanism.
#[derive(Clone, Debug)]
pub struct TurnedWay {
    /// In the mechanism's own plane.
    pub way: Way,
    /// As in [`Turned`].
    pub by: Dir,
}

fn body<R: Real>(b: Body<R>, by: Dir) -> Body<R> {
    let (c, s) = (by.x(), by.y());
    Body {
        x: b.x * c - b.y * s,
        y: b.x * s + b.y * c,
        cos: b.cos * c - b.sin * s,
        sin: b.cos * s + b.sin * c,
    }
}

fn input<R: Real>(at: Input<R>, by: Dir) -> Input<R> {
    Input { driver: body(at.driver, by), host: body(at.host, by), ..at }
}

fn solved<R: Real>(solved: Solved<R>, by: Dir) -> Solved<R> {
    Solved { limb: body(solved.limb, by), ..solved }
}

fn point(p: BoardPoint, by: Dir) -> BoardPoint {
    BoardPoint::mm(p.x * by.x() - p.y * by.y(), p.x * by.y() + p.y * by.x())
}

impl Mechanism for Turned {
    fn kind(&self) -> Kind {
        self.mechanism.kind()
    }

    fn position(&self, at: &Input<f64>) -> Result<Solved<f64>, Blocked> {
        let own = self.mechanism.position(&input(*at, self.by.inverse()))?;
        Ok(solved(own, self.by))
    }

    fn motion(&self, at: &Input<Jet>) -> Result<Solved<Jet>, Blocked> {
        let own = self.mechanism.motion(&input(*at, self.by.inverse()))?;
        Ok(solved(own, self.by))
    }

    fn guide(&self) -> Guide {
        match self.mechanism.guide() {
            Guide::Pivot => Guide::Pivot,
            Guide::Slide(s) => {
                Guide::Slide(Slide { from: point(s.from, self.by), along: s.along.turned(self.by) })
            }
        }
    }

    fn thrust(&self, at: &Input<f64>, limb: &Body<f64>) -> Option<Thrust> {
        let back = self.by.inverse();
        let own = self.mechanism.thrust(&input(*at, back), &body(*limb, back))?;
        Some(Thrust { at: point(own.at, self.by), along: own.along.turned(self.by) })
    }

    fn rod(&self) -> Option<[[f64; 2]; 2]> {
        self.mechanism.rod()
    }

    fn drag(&self, at: &Input<f64>, friction: f64) -> f64 {
        self.mechanism.drag(&input(*at, self.by.inverse()), friction)
    }
}

impl Path for TurnedWay {
    fn at(&self, coordinate: f64) -> Result<Input<f64>, Blocked> {
        Ok(input(self.way.at(coordinate)?, self.by))
    }

    fn motion(&self, coordinate: f64) -> Result<Input<Jet>, Blocked> {
        Ok(input(self.way.motion(coordinate)?, self.by))
    }

    fn span(&self) -> Span {
        self.way.span()
    }
}
