//! How a limb is held, and what its one coordinate is.

use super::{Bars, Degenerate};
use crate::geometry::{BoardPoint, Body, Dir, Jet, Real};
use crate::units::{Deg, Mm, Rad};

/// What holds a limb.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Guide {
    /// A pivot: the limb turns, its coordinate is its angle.
    Pivot,
    /// A straight slide: the limb keeps its direction, its coordinate is the way
    /// along the slide.
    Slide(Slide),
}

/// A straight slide.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slide {
    /// Where the way is counted from.
    pub from: BoardPoint,
    /// Which way it grows.
    pub along: Dir,
}

impl Slide {
    /// Between two points; `None` where they are one.
    #[must_use]
    pub fn between(from: BoardPoint, to: BoardPoint) -> Option<Self> {
        Dir::along(to.x - from.x, to.y - from.y).map(|along| Self { from, along })
    }

    /// Where a point lies: along the slide and left of its line, mm.
    ///
    /// # Errors
    /// Where it is not finite, or too far away to build.
    pub(super) fn place(&self, at: BoardPoint) -> Result<(f64, f64), Degenerate> {
        let (x, y) = (at.x - self.from.x, at.y - self.from.y);
        let along = x * self.along.x() + y * self.along.y();
        let left = y * self.along.x() - x * self.along.y();
        if !(along.is_finite() && left.is_finite()) {
            return Err(Degenerate::NotFinite);
        }
        if along.abs() > Bars::LONGEST.0 || left.abs() > Bars::LONGEST.0 {
            return Err(Degenerate::Length);
        }
        Ok((along, left))
    }

    /// The way of a point along the slide.
    #[must_use]
    #[inline]
    pub fn way<R: Real>(&self, x: R, y: R) -> R {
        (x - self.from.x) * self.along.x() + (y - self.from.y) * self.along.y()
    }

    /// The limb `way` along the slide; its axis is the slide's direction.
    #[must_use]
    #[inline]
    pub fn body<R: Real>(&self, way: R) -> Body<R> {
        Body {
            x: way * self.along.x() + self.from.x,
            y: way * self.along.y() + self.from.y,
            cos: R::constant(self.along.x()),
            sin: R::constant(self.along.y()),
        }
    }
}

/// Where a limb stands in its guide.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Stand {
    /// Its axis points there.
    Turned(Dir),
    /// It is so far along its slide.
    Slid(Mm),
}

impl Stand {
    /// How far it is from another one to this one: radians, the short way round,
    /// or mm. Stands of different guides are never compared; they give `NaN`.
    #[must_use]
    pub fn after(self, other: Self) -> f64 {
        match (self, other) {
            (Self::Turned(a), Self::Turned(b)) => a.from(b).angle().0,
            (Self::Slid(a), Self::Slid(b)) => (a - b).0,
            _ => f64::NAN,
        }
    }
}

impl Guide {
    /// Where a limb stands.
    #[must_use]
    pub fn stand(&self, limb: &Body<f64>) -> Stand {
        match self {
            Self::Pivot => Stand::Turned(limb.axis()),
            Self::Slide(slide) => Stand::Slid(Mm(slide.way(limb.x, limb.y))),
        }
    }

    /// The stand of a moving limb with its first two derivatives by the actuator's
    /// coordinate (rad or mm per unit, per unit squared).
    #[must_use]
    pub fn motion(&self, limb: &Body<Jet>) -> (Stand, f64, f64) {
        match self {
            Self::Pivot => {
                let (speed, second) = limb.turn_rates();
                (Stand::Turned(Dir::unit(limb.cos.v, limb.sin.v)), speed, second)
            }
            Self::Slide(slide) => {
                let way = slide.way(limb.x, limb.y);
                (Stand::Slid(Mm(way.v)), way.d, way.dd)
            }
        }
    }
}

/// A limb's extremes along a path, in the unit of its guide.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limits<Q> {
    /// Lowest coordinate; an angle lies in (-180, 180].
    pub low: Q,
    /// Highest, counted on from `low`.
    pub high: Q,
    /// The actuator's coordinate at the lowest.
    pub at_low: f64,
    /// The actuator's coordinate at the highest.
    pub at_high: f64,
    /// Smallest sine of the push angle, without its sign.
    pub least_push: f64,
    /// The actuator's coordinate there.
    pub least_push_at: f64,
    /// Largest first derivative by the actuator's coordinate, without its sign
    /// (rad or mm per unit).
    pub most_speed: f64,
    /// Largest second derivative, without its sign.
    pub most_acceleration: f64,
}

impl<Q: Copy + std::ops::Sub<Output = Q>> Limits<Q> {
    /// From lowest to highest.
    #[must_use]
    pub fn range(&self) -> Q {
        self.high - self.low
    }
}

/// What a limb does along a path.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Travel {
    /// It swings about its pivot.
    Swing(Limits<Deg>),
    /// It slides.
    Stroke(Limits<Mm>),
}

impl Travel {
    /// The swing, for a limb on a pivot.
    #[must_use]
    pub const fn swing(&self) -> Option<&Limits<Deg>> {
        match self {
            Self::Swing(limits) => Some(limits),
            Self::Stroke(_) => None,
        }
    }

    /// The stroke, for a limb on a slide.
    #[must_use]
    pub const fn stroke(&self) -> Option<&Limits<Mm>> {
        match self {
            Self::Stroke(limits) => Some(limits),
            Self::Swing(_) => None,
        }
    }

    /// From limits in radians (angles unwrapped, counted from the first sample) or
    /// mm, by the stand of that sample.
    pub(super) fn of(first: Stand, raw: Limits<f64>) -> Self {
        match first {
            Stand::Turned(dir) => {
                let low = Rad(dir.angle().0 + raw.low).deg().signed();
                Self::Swing(raw.with(low, low + Rad(raw.range()).deg()))
            }
            Stand::Slid(at) => Self::Stroke(raw.with(at + Mm(raw.low), at + Mm(raw.high))),
        }
    }
}

impl Limits<f64> {
    fn with<Q>(self, low: Q, high: Q) -> Limits<Q> {
        let Self { at_low, at_high, least_push, least_push_at, .. } = self;
        let Self { most_speed, most_acceleration, .. } = self;
        Limits {
            low,
            high,
            at_low,
            at_high,
            least_push,
            least_push_at,
            most_speed,
            most_acceleration,
        }
    }
}
