//! Crank and rod to a limb that slides, in line or offset.

use std::f64::consts::{FRAC_PI_2, PI};

use super::cycle::{self, Cranked, Cycle};
use super::rod::DEAD;
use super::{
    Bars, Blocked, Degenerate, Guide, Input, Kind, Limits, Mechanism, Path, Pins, Slide, Solved,
    Span, Stand, Thrust, Travel,
};
use crate::geometry::{BoardPoint, Body, Jet, Real};
use crate::units::Mm;

/// On which side of the crank pin the rod's other pin lies, seen along the slide.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Side {
    /// Further along the slide than the crank pin.
    Ahead,
    /// Less far along it.
    Behind,
}

impl Side {
    /// +1 ahead, -1 behind.
    #[must_use]
    pub const fn sign(self) -> f64 {
        match self {
            Self::Ahead => 1.0,
            Self::Behind => -1.0,
        }
    }
}

/// A slider-crank on a board, all sizes known and usable.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SliderCrank {
    motor: BoardPoint,
    slide: Slide,
    crank: Mm,
    rod: Mm,
    side: Side,
    /// The shaft in the slide: along it and left of it, mm.
    along: f64,
    left: f64,
    /// Angle of the slide, rad.
    angle: f64,
}

impl SliderCrank {
    /// A slider-crank with these sizes. `slide` is the line the limb's rod pin runs
    /// on; the limb's coordinate is how far along it that pin stands.
    ///
    /// # Errors
    /// [`Degenerate::Length`] and [`Degenerate::NotFinite`] for sizes that are none;
    /// [`Degenerate::OutOfReach`] where the rod never comes to the slide. A rod too
    /// short for the crank to go round is no error: [`SliderCrank::analyse`] says so.
    pub fn new(
        motor: BoardPoint,
        slide: Slide,
        (crank, rod): (Mm, Mm),
        side: Side,
    ) -> Result<Self, Degenerate> {
        let (along, left) = slide.place(motor)?;
        let fine = |v: Mm| v >= Bars::SHORTEST && v <= Bars::LONGEST;
        if !(fine(crank) && fine(rod)) {
            return Err(Degenerate::Length);
        }
        if left.abs() >= crank.0 + rod.0 {
            return Err(Degenerate::OutOfReach);
        }
        let angle = slide.along.angle().0;
        Ok(Self { motor, slide, crank, rod, side, along, left, angle })
    }

    /// The motor shaft.
    #[must_use]
    pub const fn motor(&self) -> BoardPoint {
        self.motor
    }

    /// The line the rod's pin runs on.
    #[must_use]
    pub const fn slide(&self) -> Slide {
        self.slide
    }

    /// Shaft to crank pin.
    #[must_use]
    pub const fn crank(&self) -> Mm {
        self.crank
    }

    /// Pin to pin.
    #[must_use]
    pub const fn rod(&self) -> Mm {
        self.rod
    }

    /// On which side of the crank pin the limb's pin lies.
    #[must_use]
    pub const fn side(&self) -> Side {
        self.side
    }

    /// How far the shaft lies left of the slide's line.
    #[must_use]
    pub const fn offset(&self) -> Mm {
        Mm(self.left)
    }

    /// Everything about its cycle.
    #[must_use]
    pub fn analyse(&self) -> Cycle {
        cycle::cycle(self)
    }

    /// Closes the loop: the pin stands `sqrt(b^2 - y^2)` along the slide from the
    /// crank pin, `y` being how far the crank pin lies beside it.
    fn close<R: Real>(&self, at: &Input<R>) -> Result<Solved<R>, Blocked> {
        let b = self.rod.0;
        let (x, y) = self.pin(at);
        let room = (R::constant(b) - y) * (y + b);
        let sine = room * (1.0 / (b * b));
        // Not numbers are stopped here too.
        let alive = sine.value() > DEAD;
        if !alive {
            return Err(self.obstacle(sine.value(), y.value()));
        }
        let push = sine.sqrt() * self.side.sign();
        let limb = self.slide.body(x + push * b);
        Ok(Solved { limb, push, margin: room })
    }

    /// The crank pin in the slide: along it and left of it.
    fn pin<R: Real>(&self, at: &Input<R>) -> (R, R) {
        let (ax, ay) = at.driver.place(self.crank.0, 0.0);
        let (from, dir) = (self.slide.from, self.slide.along);
        let left = (ay - from.y) * dir.x() - (ax - from.x) * dir.y();
        (self.slide.way(ax, ay), left)
    }

    fn obstacle(&self, sine: f64, beside: f64) -> Blocked {
        if sine >= -1e-13 {
            return Blocked::DeadCentre;
        }
        Blocked::Open { gap: Mm(beside.abs() - self.rod.0) }
    }

    /// How far beside the slide the crank pin lies, and the square of what is left
    /// of the rod along it.
    fn beside(&self, crank: f64) -> (f64, f64) {
        let y = self.left + self.crank.0 * libm::sin(crank - self.angle);
        (y, ((self.rod.0 - y) * (self.rod.0 + y)).max(0.0))
    }

    /// Half the width of the blocked zone where the crank points square to the slide
    /// on one side (+1 left, -1 right), rad; none where the rod is long enough.
    fn blocked(&self, side: f64) -> Option<f64> {
        let (a, b) = (self.crank.0, self.rod.0);
        let square = (a + side * self.left - b) / (2.0 * a);
        (square >= 0.0).then(|| 2.0 * libm::asin(square.min(1.0).sqrt()))
    }
}

impl Cranked for SliderCrank {
    fn shaft(&self) -> BoardPoint {
        self.motor
    }

    fn stretches(&self) -> [Option<Span>; 2] {
        let t = self.angle;
        let part = |from, to| Some(Span::part(t + from, t + to));
        match (self.blocked(1.0), self.blocked(-1.0)) {
            (None, None) => [Some(Span::TURN), None],
            (Some(l), None) => [part(FRAC_PI_2 + l, 2.5 * PI - l), None],
            (None, Some(r)) => [part(-FRAC_PI_2 + r, 1.5 * PI - r), None],
            (Some(l), Some(r)) => {
                [part(-FRAC_PI_2 + r, FRAC_PI_2 - l), part(FRAC_PI_2 + l, 1.5 * PI - r)]
            }
        }
    }

    fn coordinate(&self, crank: f64, dead: bool) -> f64 {
        let room = if dead { 0.0 } else { self.beside(crank).1 };
        let along = self.along + self.crank.0 * libm::cos(crank - self.angle);
        along + self.side.sign() * room.sqrt()
    }

    /// Crank and rod lie in one line: stretched is the far end, folded the near one.
    fn stands(&self) -> [Option<f64>; 2] {
        let (a, b, e) = (self.crank.0, self.rod.0, self.left);
        let side = self.side.sign();
        let toward = |sine: f64, reach: f64, cos: f64| {
            let along = (reach - sine) * (reach + sine);
            (along > 0.0).then(|| self.angle + libm::atan2(sine, cos * along.sqrt()))
        };
        let stretched = toward(-e, a + b, side);
        let folded = toward(if b > a { e } else { -e }, (b - a).abs(), -side);
        match self.side {
            Side::Ahead => [stretched, folded],
            Side::Behind => [folded, stretched],
        }
    }

    fn narrows(&self) -> [Option<f64>; 2] {
        let square = |side: f64| Some(self.angle + side * FRAC_PI_2);
        match self.left {
            e if e > 0.0 => [square(1.0), None],
            e if e < 0.0 => [square(-1.0), None],
            _ => [square(1.0), square(-1.0)],
        }
    }

    fn push(&self, crank: f64) -> f64 {
        self.beside(crank).1.sqrt() / self.rod.0
    }

    fn cranks_for(&self, stand: Stand) -> [Option<f64>; 2] {
        let Stand::Slid(at) = stand else { return [None; 2] };
        let (a, b, side) = (self.crank.0, self.rod.0, self.side.sign());
        let (x, y) = (at.0 - self.along, -self.left);
        let distance = libm::hypot(x, y);
        let reach = (a + b - distance) * (a + b + distance);
        let slack = (distance - (a - b)) * (distance + (a - b));
        let scale = 4.0 * a * a * distance * distance;
        if !(scale > 0.0 && reach * slack > -1e-11 * scale) {
            return [None; 2];
        }
        let cos = a * a + distance * distance - b * b;
        let sin = (reach * slack).max(0.0).sqrt();
        [sin, -sin].map(|sin| {
            let crank = libm::atan2(y, x) + libm::atan2(sin, cos);
            let reached = (x - a * libm::cos(crank)) * side > -1e-9 * b;
            reached.then_some(self.angle + crank)
        })
    }

    fn travel(&self, raw: Limits<f64>) -> Travel {
        cycle::stroke(raw)
    }
}

impl Mechanism for SliderCrank {
    fn kind(&self) -> Kind {
        Kind::SliderCrank
    }

    fn guide(&self) -> Guide {
        Guide::Slide(self.slide)
    }

    fn position(&self, at: &Input<f64>) -> Result<Solved<f64>, Blocked> {
        match self.close(at) {
            // The rod stands square to the slide.
            Err(Blocked::DeadCentre) => {
                let (x, _) = self.pin(at);
                Ok(Solved { limb: self.slide.body(x), push: 0.0, margin: 0.0 })
            }
            other => other,
        }
    }

    fn pins(&self, at: &Input<f64>, limb: &Body<f64>) -> Pins {
        self.pins_at(at, limb)
    }

    fn thrust(&self, at: &Input<f64>, limb: &Body<f64>) -> Option<Thrust> {
        Thrust::between(at.driver.place(self.crank.0, 0.0), (limb.x, limb.y))
    }

    fn rod(&self) -> Option<[[f64; 2]; 2]> {
        Some([[self.crank.0, 0.0], [0.0, 0.0]])
    }

    fn motion(&self, at: &Input<Jet>) -> Result<Solved<Jet>, Blocked> {
        self.close(at)
    }

    fn limits(&self, path: &dyn Path) -> Result<Travel, Blocked> {
        cycle::limits(self, path)
    }

    fn inverse(&self, stand: Stand, path: &dyn Path) -> Result<Vec<f64>, Blocked> {
        cycle::inverse(self, stand, path)
    }
}
