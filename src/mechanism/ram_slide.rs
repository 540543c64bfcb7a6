//! A ram or an air cylinder that pushes a limb along its slide.

use super::ram::within;
use super::{
    Assembly, Bars, Blocked, Degenerate, Guide, Input, Kind, Lengths, Mechanism, Pins, Slide,
    Solved, Strut, Thrust,
};
use crate::geometry::{BoardPoint, Body, Dir, Jet, Real};
use crate::units::{Deg, Mm, Rad};

/// A strut from an anchor on the board to a pin on a limb that slides.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RamSlide {
    strut: Strut,
    anchor: BoardPoint,
    slide: Slide,
    /// The pin's way along the slide less the limb's, mm.
    ahead: f64,
    lengths: Lengths,
    /// +1: the limb goes along the slide as the strut grows.
    sense: f64,
    /// The way of the anchor, and how far the pin's line passes beside it, mm.
    start: f64,
    beside: f64,
}

impl RamSlide {
    /// A strut with these sizes. `pin` is the limb's pin in the limb: along the
    /// slide and left of it. `side`: open where growing pushes the limb along the
    /// slide, crossed where it pushes it back.
    ///
    /// # Errors
    /// [`Degenerate::NotFinite`] where a number is not finite, and
    /// [`Degenerate::Length`] where one is beyond [`Bars::LONGEST`].
    pub fn new(
        strut: Strut,
        (anchor, slide): (BoardPoint, Slide),
        lengths: Lengths,
        pin: [f64; 2],
        side: Assembly,
    ) -> Result<Self, Degenerate> {
        let start = slide.way(anchor.x, anchor.y);
        let away = anchor - slide.from;
        let left = slide.along.x() * away.y - slide.along.y() * away.x;
        let beside = pin[1] - left;
        let all = [start, beside, pin[0], pin[1]];
        if !all.iter().all(|v| v.is_finite()) {
            return Err(Degenerate::NotFinite);
        }
        if all.iter().any(|v| v.abs() > Bars::LONGEST.0) {
            return Err(Degenerate::Length);
        }
        Ok(Self { strut, anchor, slide, ahead: pin[0], lengths, sense: side.sign(), start, beside })
    }

    /// Ram or cylinder.
    #[must_use]
    pub const fn strut(&self) -> Strut {
        self.strut
    }

    /// The strut's pin that is not on the limb.
    #[must_use]
    pub const fn anchor(&self) -> BoardPoint {
        self.anchor
    }

    /// Shortest and longest.
    #[must_use]
    pub const fn lengths(&self) -> Lengths {
        self.lengths
    }

    /// How far the pin's line passes beside the anchor: the strut's dead centre.
    #[must_use]
    pub fn beside(&self) -> Mm {
        Mm(self.beside.abs())
    }

    /// The square of the pin's distance ahead of the anchor.
    fn square<R: Real>(&self, length: R) -> R {
        (length - self.beside) * (length + self.beside)
    }

    fn solve<R: Real>(&self, length: R) -> Result<Solved<R>, Blocked> {
        within(self.lengths, length.value())?;
        let square = self.square(length);
        let floor = super::rod::DEAD * length.value() * length.value();
        let alive = square.value() > floor;
        if !alive {
            let gap = self.beside.abs() - length.value();
            let dead = gap <= 1e-9 * self.beside.abs();
            return Err(if dead { Blocked::DeadCentre } else { Blocked::Open { gap: Mm(gap) } });
        }
        let ahead = square.sqrt();
        let push = ahead / length;
        let way = ahead * self.sense + (self.start - self.ahead);
        Ok(Solved { limb: self.slide.body(way), push, margin: square })
    }

    /// The strut's length with the limb so far along its slide; `None` where the
    /// strut cannot be so long, or would have to pass its dead centre.
    #[must_use]
    pub fn length_for(&self, way: Mm) -> Option<Mm> {
        let ahead = (way.0 + self.ahead - self.start) * self.sense;
        let length = libm::hypot(ahead, self.beside);
        (ahead >= 0.0 && within(self.lengths, length).is_ok()).then_some(Mm(length))
    }

    /// How far beside the line of its pin an anchor gives a limb this stroke; `None` for one
    /// below the strut's own, and where it would have to stand beyond its shortest length.
    ///
    /// With `u = sqrt(long^2 - b^2)` and `v = sqrt(short^2 - b^2)`: `u - v` is the stroke, and
    /// `u + v = (long^2 - short^2)/stroke`.
    #[must_use]
    pub fn beside_for(lengths: Lengths, stroke: Mm) -> Option<Mm> {
        let (short, long) = (lengths.short.0, lengths.long.0);
        let sum = (long - short) * (long + short) / stroke.0;
        let (u, v) = (0.5 * (sum + stroke.0), 0.5 * (sum - stroke.0));
        let square = (long - u) * (long + u);
        (v >= 0.0 && square >= 0.0).then(|| Mm(square.sqrt()))
    }

    /// The stroke of the limb, in closed form.
    #[must_use]
    pub fn analyse(&self) -> SlideStroke {
        let beside = self.beside.abs();
        let (short, long) = (self.lengths.short.0, self.lengths.long.0);
        let way = |l: f64| {
            Mm(self.start - self.ahead + self.sense * self.square(l.max(beside)).max(0.0).sqrt())
        };
        let (drawn, out) = (way(short), way(long));
        // The angle between strut and slide is largest at the shortest length.
        let lean = libm::asin((beside / short.max(beside)).min(1.0));
        SlideStroke {
            assembles: long >= beside,
            dead_centre: short <= beside,
            low: drawn.min(out),
            high: drawn.max(out),
            lean: Rad(lean).deg(),
            at_short: drawn,
            at_long: out,
        }
    }
}

/// What a strut on a slide does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SlideStroke {
    /// Whether some length reaches the pin's line.
    pub assembles: bool,
    /// Whether the stroke comes to the length that stands square to the slide.
    pub dead_centre: bool,
    /// Lowest way along the slide.
    pub low: Mm,
    /// Highest way along the slide.
    pub high: Mm,
    /// The largest angle between strut and slide, 0..90: at the shortest length.
    pub lean: Deg,
    /// The way at the shortest length that reaches.
    pub at_short: Mm,
    /// The way at the longest length.
    pub at_long: Mm,
}

impl SlideStroke {
    /// From lowest to highest.
    #[must_use]
    pub fn stroke(&self) -> Mm {
        self.high - self.low
    }
}

impl Mechanism for RamSlide {
    fn kind(&self) -> Kind {
        self.strut.kind()
    }

    fn guide(&self) -> Guide {
        Guide::Slide(self.slide)
    }

    fn position(&self, at: &Input<f64>) -> Result<Solved<f64>, Blocked> {
        self.solve(at.coordinate)
    }

    fn pins(&self, at: &Input<f64>, limb: &Body<f64>) -> Pins {
        self.pins_at(self.thrust(at, limb))
    }

    fn thrust(&self, at: &Input<f64>, limb: &Body<f64>) -> Option<Thrust> {
        // In the slide: so far ahead of the anchor, and so far left of it.
        let ahead = self.slide.way(limb.x, limb.y) + self.ahead - self.start;
        let dir = Dir::along(ahead, self.beside)?;
        let along = self.slide.along.turned(dir);
        let r = at.coordinate;
        let pin = BoardPoint::mm(self.anchor.x + r * along.x(), self.anchor.y + r * along.y());
        Some(Thrust { at: pin, along })
    }

    fn motion(&self, at: &Input<Jet>) -> Result<Solved<Jet>, Blocked> {
        self.solve(at.coordinate)
    }
}
