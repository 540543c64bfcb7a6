//! Plate cam and follower.
//!
//! The programme gives the follower's coordinate directly, so the limb's motion
//! is exact by construction; what is worked out is the profile that makes it
//! ([`Cam::profile`]) and whether that profile can be cut and run
//! ([`Cam::facts`], [`Cam::lift_off`]). Sizes left open are found by [`size`].

mod facts;
mod follower;
mod hold;
mod law;
mod plan;
mod profile;
mod programme;
pub mod ranked;
pub mod size;

pub use facts::{At, Facts, Undercut};
pub use follower::{Bend, Limb, Sliding, SlidingFoot, Swinging, SwingingFoot, Touch};
pub use hold::{Held, LiftOff, Spring};
pub use law::{Factors, Law, Level};
pub use plan::{Plan, Refusal, Runs, What};
pub use profile::{Cut, Outline};
pub use programme::{NoProgramme, Programme, Segment, Stretch};

use std::f64::consts::PI;

use self::follower::{Shape, Way, turned};
use super::{
    Blocked, Degenerate, Guide, Input, Kind, Limits, Mechanism, Path, Pins, Solved, Stand, Thrust,
    Travel, sweep,
};
use crate::geometry::{BoardPoint, Body, Dir, Jet};
use crate::units::{Mm, Rad};

/// A cam whose follower can follow it, apart from undercuts.
#[derive(Clone, Debug, PartialEq)]
pub struct Cam {
    plan: Plan,
    shape: Shape,
}

impl Cam {
    /// A cam from its plan.
    ///
    /// # Errors
    /// [`Refusal`]: each impossible geometry has its own.
    pub fn new(plan: Plan) -> Result<Self, Refusal> {
        let shape = plan.shape()?;
        Ok(Self { plan, shape })
    }

    /// What it was made from.
    #[must_use]
    pub const fn plan(&self) -> &Plan {
        &self.plan
    }

    /// Where cam and follower touch when the cam has turned by `turn`, rad.
    #[must_use]
    pub fn touch(&self, turn: f64) -> Touch {
        self.shape.touch(self.way(self.plan.programme.at(self.plan.angle(turn))))
    }

    /// The limb's coordinate with three derivatives by the cam's turn: mm along
    /// its slide, or radians from its lowest, counter-clockwise.
    #[must_use]
    pub fn coordinate(&self, turn: f64) -> Level {
        let l = self.plan.programme.at(self.plan.angle(turn));
        let (low, lift) = match self.plan.limb {
            Limb::Slides(s) => (s.low.0, s.lift.0),
            Limb::Swings(s) => (0.0, s.lift.rad().0),
        };
        let sign = self.plan.runs.sign();
        Level {
            v: low + lift * l.v,
            d: sign * lift * l.d,
            dd: lift * l.dd,
            ddd: sign * lift * l.ddd,
        }
    }

    /// The limb's angle, where it swings, with the cam at its lowest.
    #[must_use]
    pub fn lowest(&self) -> Option<Dir> {
        let Limb::Swings(s) = self.plan.limb else { return None };
        Some(self.lever(0.0).from(Dir::degrees(s.clamp)))
    }

    /// The way of the shape (along the lift, or counter-clockwise) at a level.
    fn way(&self, l: Level) -> Way<f64> {
        let lift = match self.plan.limb {
            Limb::Slides(s) => s.lift.0.abs(),
            Limb::Swings(s) => s.lift.rad().0,
        };
        Way { v: lift * l.v, d: self.plan.runs.sign() * lift * l.d, dd: lift * l.dd }
    }

    /// Lever or face of a swinging limb, pivot outwards, turned by `by` rad.
    fn lever(&self, by: f64) -> Dir {
        match self.shape {
            Shape::SwingingRoller { low, .. } => turned(low, by),
            Shape::SwingingFlat { low, sign, .. } => {
                // Away from the pivot to where it touches.
                let n = turned(low, by);
                n.turned(if sign > 0.0 { Dir::SOUTH } else { Dir::NORTH })
            }
            Shape::SlidingRoller { .. } | Shape::SlidingFlat { .. } => Dir::EAST,
        }
    }

    fn pose(&self, turn: Jet) -> Solved<Jet> {
        let c = self.coordinate(turn.v);
        // Values by the turn become values by whatever the turn depends on.
        let chain = |v: f64, d: f64, dd: f64| Jet {
            v,
            d: d * turn.d,
            dd: dd * turn.d * turn.d + d * turn.dd,
        };
        let (way, speed) = (chain(c.v, c.d, c.dd), chain(c.d, c.dd, c.ddd));
        let (limb, push) = match self.plan.limb {
            Limb::Slides(s) => {
                let sign = if s.lift.0 < 0.0 { -1.0 } else { 1.0 };
                let low = Jet { v: s.low.0, ..Jet::default() };
                let flip = Jet { v: sign, ..Jet::default() };
                let way_up = Way { v: (way - low) * flip, d: speed * flip, dd: Jet::default() };
                let still = [Jet { v: 1.0, ..Jet::default() }, Jet::default()];
                (s.slide.body(way), self.shape.push(&way_up, still))
            }
            Limb::Swings(s) => {
                let axis = self.lever(c.v).from(Dir::degrees(s.clamp));
                let limb = Body {
                    x: Jet { v: s.pivot.x, ..Jet::default() },
                    y: Jet { v: s.pivot.y, ..Jet::default() },
                    ..turning(axis, way)
                };
                let by = turning(Dir::radians(Rad(c.v)), way);
                let way = Way { v: way, d: speed, dd: Jet::default() };
                (limb, self.shape.push(&way, [by.cos, by.sin]))
            }
        };
        Solved { limb, push, margin: Jet { v: f64::INFINITY, ..Jet::default() } }
    }
}

/// A direction that turns with an angle's derivatives.
fn turning(axis: Dir, angle: Jet) -> Body<Jet> {
    let (c, s) = (axis.x(), axis.y());
    let (w, a) = (angle.d, angle.dd);
    Body {
        x: Jet::default(),
        y: Jet::default(),
        cos: Jet { v: c, d: -s * w, dd: -c * w * w - s * a },
        sin: Jet { v: s, d: c * w, dd: -s * w * w + c * a },
    }
}

impl Mechanism for Cam {
    fn as_cam(&self) -> Option<&Self> {
        Some(self)
    }

    fn kind(&self) -> Kind {
        Kind::Cam
    }

    fn position(&self, at: &Input<f64>) -> Result<Solved<f64>, Blocked> {
        let turn = at.coordinate;
        if !turn.is_finite() {
            return Err(Blocked::Degenerate(Degenerate::NotFinite));
        }
        let c = self.coordinate(turn);
        let limb = match self.plan.limb {
            Limb::Slides(s) => s.slide.body(c.v),
            Limb::Swings(s) => {
                let axis = self.lever(c.v).from(Dir::degrees(s.clamp));
                Body::still(s.pivot.x, s.pivot.y, axis)
            }
        };
        let still = Dir::radians(Rad(c.v));
        let push = match self.plan.limb {
            Limb::Slides(s) => {
                let sign = if s.lift.0 < 0.0 { -1.0 } else { 1.0 };
                let way = Way { v: (c.v - s.low.0) * sign, d: c.d * sign, dd: 0.0 };
                self.shape.push(&way, [1.0, 0.0])
            }
            Limb::Swings(_) => {
                let way = Way { v: c.v, d: c.d, dd: 0.0 };
                self.shape.push(&way, [still.x(), still.y()])
            }
        };
        Ok(Solved { limb, push, margin: f64::INFINITY })
    }

    fn pins(&self, at: &Input<f64>, _limb: &Body<f64>) -> Pins {
        self.pins_at(at)
    }

    fn disc(&self) -> Vec<BoardPoint> {
        self.drawn()
    }

    fn thrust(&self, at: &Input<f64>, _limb: &Body<f64>) -> Option<Thrust> {
        let touch = self.touch(at.coordinate);
        let at = BoardPoint::mm(at.driver.x + touch.pitch[0], at.driver.y + touch.pitch[1]);
        Some(Thrust { at, along: touch.normal })
    }

    fn motion(&self, at: &Input<Jet>) -> Result<Solved<Jet>, Blocked> {
        let turn = at.coordinate;
        if !(turn.v.is_finite() && turn.d.is_finite() && turn.dd.is_finite()) {
            return Err(Blocked::Degenerate(Degenerate::NotFinite));
        }
        Ok(self.pose(turn))
    }

    fn guide(&self) -> Guide {
        match self.plan.limb {
            Limb::Slides(s) => Guide::Slide(s.slide),
            Limb::Swings(_) => Guide::Pivot,
        }
    }

    /// Of a whole turn exact, from the laws' own peaks; of a part of it sampled.
    fn limits(&self, path: &dyn Path) -> Result<Travel, Blocked> {
        let span = path.span();
        if !span.closed {
            return sweep::sampled_limits(&|c| self.motion(&path.motion(c)?), span, self.guide());
        }
        Ok(self.whole_turn(span.from))
    }

    /// Of a dwell at the wanted stand the two ends.
    fn inverse(&self, stand: Stand, path: &dyn Path) -> Result<Vec<f64>, Blocked> {
        let Some(level) = self.level_of(stand) else { return Ok(Vec::new()) };
        let span = path.span();
        let mut found = Vec::new();
        for angle in self.plan.programme.reaches(level) {
            let first = self.plan.turn(angle);
            let step = 2.0 * PI;
            let mut at = first + ((span.from - first) / step - 1e-12).ceil() * step;
            while at <= span.to + 1e-12 {
                found.push(at.clamp(span.from, span.to));
                at += step;
            }
        }
        found.sort_by(f64::total_cmp);
        found.dedup_by(|a, b| (*a - *b).abs() <= 1e-9);
        Ok(found)
    }
}

impl Cam {
    /// The level at which the limb stands so; `None` out of its travel.
    fn level_of(&self, stand: Stand) -> Option<f64> {
        let level = match (self.plan.limb, stand) {
            (Limb::Slides(s), Stand::Slid(at)) => (at - s.low) / s.lift,
            (Limb::Swings(s), Stand::Turned(dir)) => {
                let middle = self.lever(s.lift.rad().0 / 2.0).from(Dir::degrees(s.clamp));
                0.5 + dir.from(middle).angle().0 / s.lift.rad().0
            }
            _ => return None,
        };
        // The ends themselves are inside, rounding or not.
        let near = level.clamp(0.0, 1.0);
        ((level - near).abs() < 1e-9).then_some(near)
    }

    fn whole_turn(&self, from: f64) -> Travel {
        let plan = &self.plan;
        let turn_at = |level: f64| {
            let angle = plan.programme.reaches(level).first().copied().unwrap_or(0.0);
            let r = (plan.turn(angle) - from) % (2.0 * PI);
            from + if r < 0.0 { r + 2.0 * PI } else { r }
        };
        let pressure = self.pressure();
        let (speed, acceleration) = plan.programme.peaks();
        let ends = (turn_at(0.0), turn_at(1.0));
        let push = (libm::cos(pressure.value.rad().0), pressure.turn.rad().0);
        match plan.limb {
            Limb::Slides(s) => {
                let (a, b) = (s.low, s.low + s.lift);
                Travel::Stroke(limits(
                    (a, b),
                    s.lift.0 < 0.0,
                    ends,
                    push,
                    (speed * s.lift.0.abs(), acceleration * s.lift.0.abs()),
                ))
            }
            Limb::Swings(s) => {
                let first = self.lever(0.0).from(Dir::degrees(s.clamp)).deg();
                let low = if s.lift.0 < 0.0 { (first + s.lift).signed() } else { first };
                let lift = s.lift.rad().0.abs();
                let (a, b) = (low, low + s.lift.abs());
                let pair = if s.lift.0 < 0.0 { (b, a) } else { (a, b) };
                Travel::Swing(limits(
                    pair,
                    s.lift.0 < 0.0,
                    ends,
                    push,
                    (speed * lift, acceleration * lift),
                ))
            }
        }
    }
}

/// From the coordinates with the cam low and high; `down` where the lift lowers
/// the coordinate.
fn limits<Q>(
    (low, high): (Q, Q),
    down: bool,
    (at_low, at_high): (f64, f64),
    (least_push, least_push_at): (f64, f64),
    (most_speed, most_acceleration): (f64, f64),
) -> Limits<Q> {
    let up = Limits {
        low,
        high,
        at_low,
        at_high,
        least_push,
        least_push_at,
        most_speed,
        most_acceleration,
    };
    if !down {
        return up;
    }
    Limits { low: up.high, high: up.low, at_low: at_high, at_high: at_low, ..up }
}

/// A size of a cam lies between these, mm; an offset or stand-off may be 0.
const SIZES: (Mm, Mm) = (Mm(0.1), Mm(5000.0));
