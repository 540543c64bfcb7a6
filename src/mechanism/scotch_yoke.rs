//! A crank pin in a cross slot of a limb that slides: pure harmonic motion.

use std::f64::consts::PI;

use super::cycle::{self, Cranked, Cycle};
use super::{
    Bars, Blocked, Degenerate, Guide, Input, Kind, Limits, Mechanism, Path, Pins, Slide, Solved,
    Span, Stand, Thrust, Travel,
};
use crate::geometry::{BoardPoint, Body, Dir, Jet, Real};
use crate::units::{Deg, Mm, Rad};

/// A Scotch yoke on a board, all sizes known and usable.
///
/// The pin at (x, y) in the slide, y left of it, puts the limb at
/// `x + y tan(tilt)`: with the crank at an angle from the slide that is harmonic
/// with amplitude `crank / cos(tilt)`, highest where the crank points along the
/// slide turned by the tilt.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ScotchYoke {
    motor: BoardPoint,
    slide: Slide,
    crank: Mm,
    tilt: Deg,
    /// Tangent and (positive) cosine of the tilt.
    tan: f64,
    cos: f64,
    along: f64,
    left: f64,
    /// Crank angle at the higher end, rad.
    highest: f64,
}

/// The least cosine of the tilt: from about 89.9 degrees on the slot lies along the
/// slide for all that can be built.
const LEAST_COS: f64 = 1e-3;

impl ScotchYoke {
    /// A yoke with these sizes. The limb's coordinate is how far along the slide the
    /// middle line of the slot crosses it; `tilt` is how far the slot leans from the
    /// square to the slide, counter-clockwise.
    ///
    /// # Errors
    /// [`Degenerate::Length`] and [`Degenerate::NotFinite`] for sizes that are none;
    /// [`Degenerate::SlotAlongSlide`] for a slot that lies along the slide.
    pub fn new(motor: BoardPoint, slide: Slide, crank: Mm, tilt: Deg) -> Result<Self, Degenerate> {
        let (along, left) = slide.place(motor)?;
        if !tilt.0.is_finite() {
            return Err(Degenerate::NotFinite);
        }
        if !(crank >= Bars::SHORTEST && crank <= Bars::LONGEST) {
            return Err(Degenerate::Length);
        }
        // A slot has no direction: half a turn of it is the same slot.
        let lean = Dir::degrees(tilt);
        let lean = if lean.x() < 0.0 { lean.reversed() } else { lean };
        if lean.x() < LEAST_COS {
            return Err(Degenerate::SlotAlongSlide);
        }
        let highest = slide.along.turned(lean).angle().0;
        let (tan, cos) = (lean.y() / lean.x(), lean.x());
        Ok(Self { motor, slide, crank, tilt, tan, cos, along, left, highest })
    }

    /// The motor shaft.
    #[must_use]
    pub const fn motor(&self) -> BoardPoint {
        self.motor
    }

    /// The line the limb slides on.
    #[must_use]
    pub const fn slide(&self) -> Slide {
        self.slide
    }

    /// Shaft to crank pin.
    #[must_use]
    pub const fn crank(&self) -> Mm {
        self.crank
    }

    /// How far the slot leans from the square to the slide.
    #[must_use]
    pub const fn tilt(&self) -> Deg {
        self.tilt
    }

    /// How far the shaft lies left of the slide's line.
    #[must_use]
    pub const fn offset(&self) -> Mm {
        Mm(self.left)
    }

    /// The middle of the stroke along the slide.
    #[must_use]
    pub fn middle(&self) -> Mm {
        Mm(self.along + self.left * self.tan)
    }

    /// From end to end: twice the crank over the cosine of the tilt.
    #[must_use]
    pub fn stroke(&self) -> Mm {
        self.crank * 2.0 / self.cos
    }

    /// Where the pin runs in the slot: from and to, left of the slide's line, measured
    /// along the slot.
    #[must_use]
    pub fn slot(&self) -> (Mm, Mm) {
        let at = |side: f64| Mm((self.left + side * self.crank.0) / self.cos);
        (at(-1.0), at(1.0))
    }

    /// Everything about its cycle.
    #[must_use]
    pub fn analyse(&self) -> Cycle {
        cycle::cycle(self)
    }

    fn close<R: Real>(&self, at: &Input<R>) -> Solved<R> {
        let num = |v: f64| R::constant(v);
        let (ax, ay) = at.driver.place(self.crank.0, 0.0);
        let (from, dir) = (self.slide.from, self.slide.along);
        let left = (ay - from.y) * dir.x() - (ax - from.x) * dir.y();
        let way = self.slide.way(ax, ay) + left * self.tan;
        Solved { limb: self.slide.body(way), push: num(self.cos), margin: num(f64::INFINITY) }
    }
}

/// A crank whose place is no number has no pose.
fn sound<R: Real>(solved: Solved<R>) -> Result<Solved<R>, Blocked> {
    let fine = solved.limb.x.value().is_finite() && solved.limb.y.value().is_finite();
    if fine { Ok(solved) } else { Err(Blocked::Degenerate(Degenerate::NotFinite)) }
}

impl Cranked for ScotchYoke {
    fn shaft(&self) -> BoardPoint {
        self.motor
    }

    fn stretches(&self) -> [Option<Span>; 2] {
        [Some(Span::TURN), None]
    }

    fn coordinate(&self, crank: f64, _: bool) -> f64 {
        self.middle().0 + self.stroke().0 / 2.0 * libm::cos(crank - self.highest)
    }

    fn stands(&self) -> [Option<f64>; 2] {
        [Some(self.highest), Some(self.highest + PI)]
    }

    fn narrows(&self) -> [Option<f64>; 2] {
        [None; 2]
    }

    fn push(&self, _: f64) -> f64 {
        self.cos
    }

    fn cranks_for(&self, stand: Stand) -> [Option<f64>; 2] {
        let Stand::Slid(at) = stand else { return [None; 2] };
        let (off, most) = (at.0 - self.middle().0, self.stroke().0 / 2.0);
        let square = (most - off) * (most + off);
        let reached = square > -1e-11 * most * most;
        if !reached {
            return [None; 2];
        }
        let across = square.max(0.0).sqrt();
        [across, -across].map(|y| Some(self.highest + libm::atan2(y, off)))
    }

    fn travel(&self, raw: Limits<f64>) -> Travel {
        cycle::stroke(raw)
    }
}

impl Mechanism for ScotchYoke {
    fn kind(&self) -> Kind {
        Kind::ScotchYoke
    }

    fn guide(&self) -> Guide {
        Guide::Slide(self.slide)
    }

    fn position(&self, at: &Input<f64>) -> Result<Solved<f64>, Blocked> {
        sound(self.close(at))
    }

    fn pins(&self, at: &Input<f64>, _limb: &Body<f64>) -> Pins {
        self.pins_at(at)
    }

    fn thrust(&self, at: &Input<f64>, _limb: &Body<f64>) -> Option<Thrust> {
        let (x, y) = at.driver.place(self.crank.0, 0.0);
        let along = self.slide.along.turned(Dir::degrees(self.tilt));
        Some(Thrust { at: BoardPoint::mm(x, y), along })
    }

    fn motion(&self, at: &Input<Jet>) -> Result<Solved<Jet>, Blocked> {
        sound(self.close(at))
    }

    fn limits(&self, path: &dyn Path) -> Result<Travel, Blocked> {
        cycle::limits(self, path)
    }

    fn inverse(&self, stand: Stand, path: &dyn Path) -> Result<Vec<f64>, Blocked> {
        cycle::inverse(self, stand, path)
    }
}

impl ScotchYoke {
    /// The pressure angle, the same at every crank angle: the slot's lean.
    #[must_use]
    pub fn pressure(&self) -> Deg {
        Rad(libm::acos(self.cos.min(1.0))).deg()
    }
}
