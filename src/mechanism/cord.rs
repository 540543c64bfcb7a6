//! A cord that pulls one way; gravity or a spring brings the limb back.
//!
//! From what pulls it (a crank pin, a servo horn, a spool, a ram) the cord runs
//! through fixed eyes to a pin on the limb's lever. While it is taut the stretch
//! from the last eye to the lever pin is a rod of known, changing length: the same
//! triangle as every other linkage, solved in closed form. Over round pulleys it is the same
//! with the line that touches the pulley in the place of that to the eye.

use std::sync::Arc;

use super::last_run::LastRun;
use super::pulleys::{Pulleys, turns};
use super::rod::{Sides, straight};
use super::thrust::lever_end;
use super::{
    Assembly, Bars, Blocked, Degenerate, Guide, Input, Kind, Mechanism, Path, Pins, Rod, Solved,
    Span, Stand, Thrust, cycle, sweep,
};
use crate::geometry::{BoardPoint, Body, Bracket, Dir, Jet, Real, Vector, root};
use crate::units::{Deg, Mm, Newton, NewtonMetre, Rad};

/// What pulls a cord.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Pull {
    /// A pin on a turning arm: a motor's crank or a servo's horn, so far from its
    /// axis.
    Pin(Mm),
    /// A spool: the cord comes off at a fixed point, and so much is wound on for
    /// each unit of the coordinate (a spool's radius, mm a radian; negative where
    /// turning counter-clockwise pays out), from a coordinate on.
    Wound {
        /// Where the cord leaves the spool or the ram's body.
        from: BoardPoint,
        /// mm for each unit of the coordinate.
        per: f64,
        /// The coordinate at which nothing is wound on.
        zero: f64,
    },
}

/// A cord on a limb.
#[derive(Clone, Debug, PartialEq)]
pub struct Cord {
    pull: Pull,
    guides: Vec<BoardPoint>,
    pivot: BoardPoint,
    lever: Mm,
    clamp: Deg,
    clamp_dir: Dir,
    assembly: Assembly,
    length: Mm,
    /// The stretches between the eyes.
    between: f64,
    /// What the eyes are where they have a size.
    pulleys: Option<Pulleys>,
}

impl Cord {
    /// Most eyes a cord runs through.
    pub const MOST_GUIDES: usize = 64;

    /// A cord of this length, pin to pin, through `guides` in order. Open: the
    /// lever pin lies left of the directed line from the last eye (or the pulling
    /// pin) to the pivot.
    ///
    /// # Errors
    /// Where a size is no length, there are more than [`Cord::MOST_GUIDES`] eyes, or
    /// a number is not finite.
    pub fn new(
        pull: Pull,
        guides: Vec<BoardPoint>,
        (pivot, lever, clamp): (BoardPoint, Mm, Deg),
        length: Mm,
        assembly: Assembly,
    ) -> Result<Self, Degenerate> {
        let fine = |v: Mm| v >= Bars::SHORTEST && v <= Bars::LONGEST;
        let pulls = match pull {
            Pull::Pin(radius) => fine(radius),
            Pull::Wound { per, .. } => fine(Mm(per.abs())),
        };
        if !(pulls && fine(lever) && fine(length)) || guides.len() > Self::MOST_GUIDES {
            return Err(Degenerate::Length);
        }
        let between: f64 = guides.windows(2).map(|p| p[0].distance(p[1]).0).sum();
        let (from, zero) = match pull {
            Pull::Pin(_) => (0.0, 0.0),
            Pull::Wound { from, zero, .. } => (from.x + from.y, zero),
        };
        let all = [between, pivot.x, pivot.y, clamp.0, from, zero];
        let ends = guides.iter().flat_map(|g| [g.x, g.y]);
        if !all.into_iter().chain(ends).all(f64::is_finite) {
            return Err(Degenerate::NotFinite);
        }
        let clamp_dir = Dir::degrees(clamp);
        Ok(Self {
            pull,
            guides,
            pivot,
            lever,
            clamp,
            clamp_dir,
            assembly,
            length,
            between,
            pulleys: None,
        })
    }

    /// The same cord, its length told round pulleys of this diameter in the places of its
    /// eyes; from a crank or horn on this shaft, or from a spool or ram there. Guides and
    /// pivot stand on the board. `None` where pulleys, or one and what turns beside it, share
    /// room.
    #[must_use]
    pub fn over(self, shaft: BoardPoint, across: Mm) -> Option<Self> {
        let arm = match self.pull {
            Pull::Pin(radius) => radius,
            Pull::Wound { .. } => Mm(0.0),
        };
        let limb = (self.pivot, self.lever, self.assembly);
        let pulleys = Pulleys::new((shaft, arm), &self.guides, limb, across)?;
        Some(Self { pulleys: Some(pulleys), ..self })
    }

    /// The same cord with its limb's pivot elsewhere; `None` where a pulley has no room there.
    #[must_use]
    pub fn moved(&self, pivot: BoardPoint) -> Option<Self> {
        let moved = Self { pivot, pulleys: None, ..self.clone() };
        match &self.pulleys {
            Some(over) => moved.over(over.from(), over.across),
            None => Some(moved),
        }
    }

    /// The eyes, in order.
    #[must_use]
    pub fn guides(&self) -> &[BoardPoint] {
        &self.guides
    }

    /// How it is pulled.
    #[must_use]
    pub const fn pull(&self) -> Pull {
        self.pull
    }

    /// From the limb's axis to the lever.
    #[must_use]
    pub const fn clamp_dir(&self) -> Dir {
        self.clamp_dir
    }

    /// Its whole length, pin to pin.
    #[must_use]
    pub const fn length(&self) -> Mm {
        self.length
    }

    /// Limb pivot to lever pin.
    #[must_use]
    pub const fn lever(&self) -> Mm {
        self.lever
    }

    /// Where the cord is pulled from.
    fn near<R: Real>(&self, driver: &Body<R>) -> (R, R) {
        match self.pull {
            Pull::Pin(radius) => driver.place(radius.0, 0.0),
            Pull::Wound { from, .. } => (R::constant(from.x), R::constant(from.y)),
        }
    }

    /// What is wound on.
    fn wound<R: Real>(&self, at: &Input<R>) -> R {
        match self.pull {
            Pull::Pin(_) => R::constant(0.0),
            Pull::Wound { per, zero, .. } => (at.coordinate - zero) * per,
        }
    }

    /// The last eye and what is left of the cord from there on.
    fn last<R: Real>(&self, at: &Input<R>) -> Result<((R, R), R), Blocked> {
        let near = self.near(&at.driver);
        let whole = R::constant(self.length.0) - self.wound(at);
        let (Some(first), Some(last)) = (self.guides.first(), self.guides.last()) else {
            return Ok((near, whole));
        };
        let (dx, dy) = (near.0 - first.x, near.1 - first.y);
        let square = dx * dx + dy * dy;
        let run = if square.value() > 0.0 { square.sqrt() } else { R::constant(0.0) };
        Ok(((R::constant(last.x), R::constant(last.y)), whole - self.between - run))
    }

    /// Over pulleys: the angle at which so much cord is left, and how it changes with that, to
    /// the second derivative. With the arm `lever sin(mu)` by which the cord pulls, mu the
    /// angle between it and the lever, the angle's rate is one over the arm, and mu turns by
    /// `1 + lever cos(mu)/T` as fast, T the free stretch.
    fn solve_over<R: Real>(&self, over: &Pulleys, at: &Input<R>) -> Result<Solved<R>, Blocked> {
        let (c, side) = (self.lever.0, self.assembly.sign());
        let taken = over.near.length(self.near(&at.driver)) + over.between;
        let left = R::constant(self.length.0) - self.wound(at) - taken;
        let pulled = over.far.pulled(c);
        let (near, far) = pulled.dead_lengths();
        let length = left.value();
        let reaches = length > near && length < far;
        if !reaches {
            let gap = if length >= far { far - length } else { near - length };
            return Err(if gap.abs() <= FORGIVEN * far {
                Blocked::DeadCentre
            } else {
                // Too long is negative, as of a rod.
                Blocked::Open { gap: Mm(if gap.is_finite() { gap } else { 0.0 }) }
            });
        }
        let gamma = pulled.gamma(length);
        let taut = pulled.taut(gamma);
        let (sin, cos) = libm::sincos(gamma + taut.off);
        if sin * sin <= super::rod::DEAD {
            return Err(Blocked::DeadCentre);
        }
        let turned = c * cos / taut.free;
        let stretched = c * sin - over.far.line.wheel * turned;
        let bent = -(c * sin * (1.0 + turned) + turned * stretched) / taut.free;
        let arm = c * sin;
        let by = left - length;
        let by = by * (1.0 / arm) - by * by * (c * cos * (1.0 + turned) / (2.0 * arm * arm * arm));
        let lever = over.far.toward.turned(Dir::radians(Rad(-side * gamma)));
        let axis = lever.from(self.clamp_dir);
        let turn = by * -side;
        let whole = R::constant(1.0) - turn * turn * 0.5;
        let (cos_axis, sin_axis) = (axis.x(), axis.y());
        let swung = by * (1.0 + turned) + by * by * (0.5 * bent);
        let push = (R::constant(1.0) - swung * swung * 0.5) * sin + swung * cos;
        let (x, y) = at.host.place(self.pivot.x, self.pivot.y);
        let (room, slack) =
            (-(left * left - R::constant(far * far)), left * left - R::constant(near * near));
        Ok(Solved {
            limb: Body {
                x,
                y,
                cos: whole * cos_axis - turn * sin_axis,
                sin: whole * sin_axis + turn * cos_axis,
            },
            push: push * side,
            margin: if room.value() < slack.value() { room } else { slack },
        })
    }

    /// Over pulleys with lever and cord in one line, where a position still exists.
    fn straight_over(&self, over: &Pulleys, at: &Input<f64>) -> Solved<f64> {
        let taken = over.near.length(self.near(&at.driver)) + over.between;
        let left = self.length.0 - self.wound(at) - taken;
        let (near, far) = over.far.pulled(self.lever.0).dead_lengths();
        let toward = over.far.toward;
        let lever = if left - near <= far - left { toward } else { toward.reversed() };
        let (x, y) = at.host.place(self.pivot.x, self.pivot.y);
        Solved { limb: Body::still(x, y, lever.from(self.clamp_dir)), push: 0.0, margin: 0.0 }
    }

    fn solve<R: Real>(&self, at: &Input<R>) -> Result<(Result<Solved<R>, Blocked>, f64), Blocked> {
        let (eye, left) = self.last(at)?;
        let (b, c) = (left.value(), self.lever.0);
        let usable = b >= Bars::SHORTEST.0;
        if !usable {
            return Err(Blocked::Beyond { by: Mm(if b.is_finite() { -b } else { 0.0 }) });
        }
        let pivot = at.host.place(self.pivot.x, self.pivot.y);
        let close = Sides::growing(left, c).close(eye, pivot, self.clamp_dir, self.assembly);
        Ok((close.map_err(|short| short.blocked(b, c)), b))
    }

    /// How much cord lies between two limb angles, and the push angles and
    /// lengths there, for a cord whose last eye is fixed: `None` without an eye.
    #[must_use]
    pub fn last_run(&self) -> Option<LastRun> {
        let eye = match (self.guides.last(), self.pull) {
            (Some(eye), _) => *eye,
            (None, Pull::Wound { from, .. }) => from,
            (None, Pull::Pin(_)) => return None,
        };
        let plain = LastRun::new(eye, self.pivot, (self.lever, self.clamp), self.assembly);
        let Some(over) = &self.pulleys else { return plain };
        Some(plain?.over(&over.far))
    }

    /// Cord up to where the last run begins, with the pin on a crank's shaft: with the pin of
    /// a crank nearest to the first eye or pulley so much less is taken, and farthest from it
    /// so much more. `None` where nothing fixed leads it.
    #[must_use]
    pub fn led(&self, shaft: BoardPoint) -> Option<Mm> {
        if let Some(over) = &self.pulleys {
            return Some(Mm(over.near.line.along + over.between));
        }
        let from = match self.pull {
            Pull::Pin(_) => shaft,
            Pull::Wound { from, .. } => from,
        };
        match (self.guides.first(), self.pull) {
            (Some(first), _) => Some(Mm(self.between + from.distance(*first).0)),
            (None, Pull::Wound { .. }) => Some(Mm(0.0)),
            (None, Pull::Pin(_)) => None,
        }
    }

    /// Cord up to where the last run begins, with the pin at this place.
    #[must_use]
    pub fn led_from(&self, pin: BoardPoint) -> Mm {
        let near = match (&self.pulleys, self.guides.first()) {
            (Some(over), _) => return Mm(over.near.length((pin.x, pin.y)) + over.between),
            (None, Some(first)) => pin.distance(*first),
            (None, None) => Mm(0.0),
        };
        Mm(self.between) + near
    }

    /// How far round its first and its last pulley it lies in a pose, rad: below nought it
    /// stands off one of them. `None` over eyes.
    ///
    /// # Errors
    /// Where the cord does not reach.
    pub fn wraps(&self, at: &Input<f64>) -> Result<Option<(Rad, Rad)>, Blocked> {
        let Some(over) = &self.pulleys else { return Ok(None) };
        let [near, far] = self.ends(at)?.map(|p| (p.x, p.y));
        let (first, last) = over.wraps(near, far);
        Ok(Some((Rad(first), Rad(last))))
    }

    /// The share by which the pull grows on its way round the eyes: e^(mu beta)
    /// over the turns of all eyes (Euler, Eytelwein), for one pose.
    ///
    /// # Errors
    /// Where the cord does not reach.
    pub fn drag(&self, at: &Input<f64>, friction: f64) -> Result<f64, Blocked> {
        let ends = self.ends(at)?;
        let bent = match &self.pulleys {
            Some(over) => over.bent((ends[0].x, ends[0].y), (ends[1].x, ends[1].y)),
            None => bends(self.points(&ends)),
        };
        Ok(libm::exp(friction * bent))
    }

    /// Where it is pulled, and where it is tied to the limb, for one pose.
    fn ends(&self, at: &Input<f64>) -> Result<[BoardPoint; 2], Blocked> {
        let limb = self.position(at)?.limb;
        let near = self.near(&at.driver);
        let lever = limb.axis().turned(self.clamp_dir);
        let far = BoardPoint::mm(limb.x, limb.y) + Vector::polar(self.lever, lever);
        Ok([BoardPoint::mm(near.0, near.1), far])
    }

    /// The places it runs over between these ends, and they.
    fn points<'a>(
        &'a self,
        [near, far]: &'a [BoardPoint; 2],
    ) -> impl Iterator<Item = &'a BoardPoint> {
        std::iter::once(near).chain(&self.guides).chain(std::iter::once(far))
    }

    /// The pull in the cord over a path, when the limb is turned back by a torque
    /// (counter-clockwise positive, a function of the limb's motion: its direction,
    /// its speed and acceleration by the coordinate).
    ///
    /// # Errors
    /// The first thing in the way along the path.
    pub fn tension(
        &self,
        path: &dyn Path,
        back: &dyn Fn(Dir, f64, f64) -> NewtonMetre,
    ) -> Result<Tension, Blocked> {
        let at = |t: f64| self.pull_at(path, back, t);
        let place = |i: usize| share(path.span(), i, STEPS);
        let values = (0..=STEPS).map(|i| at(place(i))).collect::<Result<Vec<f64>, Blocked>>()?;
        Ok(Tension::of(&values, &place, &|t| at(t).unwrap_or(f64::NAN)))
    }

    /// Least and greatest pull among a few places of the path, its ends with them: which of
    /// many paths is worth a closer look.
    ///
    /// # Errors
    /// As [`Cord::tension`].
    pub fn pulls(
        &self,
        path: &dyn Path,
        back: &dyn Fn(Dir, f64, f64) -> NewtonMetre,
    ) -> Result<[Newton; 2], Blocked> {
        let ends = (f64::INFINITY, f64::NEG_INFINITY);
        let (least, most) = (0..=FEW).try_fold(ends, |(least, most), i| {
            let pull = self.pull_at(path, back, share(path.span(), i, FEW))?;
            Ok((pull.min(least), pull.max(most)))
        })?;
        Ok([Newton(least), Newton(most)])
    }

    /// The pull at a coordinate, N: as [`Cord::tension`].
    fn pull_at(
        &self,
        path: &dyn Path,
        back: &dyn Fn(Dir, f64, f64) -> NewtonMetre,
        t: f64,
    ) -> Result<f64, Blocked> {
        let s = self.motion(&path.motion(t)?)?;
        let (speed, second) = s.limb.turn_rates();
        let axis = Dir::unit(s.limb.cos.v, s.limb.sin.v);
        // Open: a shorter cord turns the limb counter-clockwise.
        let holding = -back(axis, speed, second).0 * self.assembly.sign();
        Ok(holding * 1e3 / (self.lever.0 * s.push.v.abs()))
    }
}

/// Samples of the tension over a path.
const STEPS: usize = 360;
/// Samples of it where many paths are held against each other.
const FEW: usize = 24;

/// A place of a span at so many of its equal steps.
fn share(span: Span, step: usize, of: usize) -> f64 {
    span.from + (span.to - span.from) / of as f64 * step as f64
}

/// The sum of the turns at the inner points of a line, rad.
fn bends<'a>(points: impl Iterator<Item = &'a BoardPoint>) -> f64 {
    turns(points).map(f64::abs).sum()
}

/// The pull in a cord over a path.
#[derive(Clone, Debug, PartialEq)]
pub struct Tension {
    /// The least pull; below nought the cord would have to push: it is slack.
    pub least: Newton,
    /// The coordinate there.
    pub least_at: f64,
    /// The greatest pull.
    pub most: Newton,
    /// The coordinate there.
    pub most_at: f64,
    /// The coordinates at which it goes slack or taut, ascending.
    pub turns: Vec<f64>,
}

impl Tension {
    /// The least and the greatest of two, each with its coordinate.
    #[must_use]
    pub fn and_with(self, other: &Self) -> Self {
        let (less, more) = (other.least < self.least, other.most > self.most);
        Self {
            least: if less { other.least } else { self.least },
            least_at: if less { other.least_at } else { self.least_at },
            most: if more { other.most } else { self.most },
            most_at: if more { other.most_at } else { self.most_at },
            ..self
        }
    }

    fn of(values: &[f64], place: &dyn Fn(usize) -> f64, at: &dyn Fn(f64) -> f64) -> Self {
        let (mut low, mut high) = (0, 0);
        let mut turns = Vec::new();
        for i in 1..values.len() {
            low = if values[i] < values[low] { i } else { low };
            high = if values[i] > values[high] { i } else { high };
            let crosses = (values[i - 1] < 0.0) != (values[i] < 0.0);
            if crosses
                && let Some(b) = Bracket::new(place(i - 1), values[i - 1], place(i), values[i])
            {
                turns.push(root(b, 1e-10, at));
            }
        }
        let around = |i: usize| (place(i.saturating_sub(1)), place((i + 1).min(values.len() - 1)));
        let climb = |i: usize, sign: f64| {
            let (lo, hi) = around(i);
            let (x, y) = crate::geometry::highest(lo, hi, 1e-9, |t| sign * at(t));
            if y >= sign * values[i] { (sign * y, x) } else { (values[i], place(i)) }
        };
        let ((least, least_at), (most, most_at)) = (climb(low, -1.0), climb(high, 1.0));
        Self { least: Newton(least), least_at, most: Newton(most), most_at, turns }
    }

    /// Whether the pull never falls below a value.
    #[must_use]
    pub fn taut(&self, least: Newton) -> bool {
        self.least >= least
    }
}

/// What a cord pulled over its whole way does, with a fixed last eye.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CordMotion {
    /// Lowest limb angle, in (-180, 180].
    pub low: Deg,
    /// Highest: `low` + `sweep`.
    pub high: Deg,
    /// The swing.
    pub sweep: Deg,
    /// How much cord is drawn in from one end to the other.
    pub pull: Mm,
    /// Cord from the last eye on, drawn in and let out.
    pub runs: (Mm, Mm),
    /// The worst push angle between cord and lever, at one of the ends.
    pub least_push: Deg,
    /// The least moment arm, at the same end.
    pub least_arm: Mm,
    /// Whether the cord comes to lie dead against the lever, drawn in and let out.
    pub dead: (bool, bool),
}

impl Cord {
    /// The motion when a crank at `shaft` turns fully, or a spool or ram goes
    /// through `coordinates`, in closed form; `None` without a fixed last eye or
    /// where the cord never reaches.
    #[must_use]
    pub fn analyse(&self, shaft: BoardPoint, coordinates: (f64, f64)) -> Option<CordMotion> {
        let run = self.last_run()?;
        let between = self.pulleys.map_or(self.between, |over| over.between);
        let (whole, d) = (self.length.0 - between, self.led(shaft)?.0 - between);
        let (taken, left) = match self.pull {
            Pull::Pin(radius) => (d + radius.0, (d - radius.0).abs()),
            Pull::Wound { per, zero, .. } => {
                let wound = [coordinates.0, coordinates.1].map(|c| d + (c - zero) * per);
                (wound[0].max(wound[1]), wound[0].min(wound[1]))
            }
        };
        let (near, far) = run.pulled().dead_lengths();
        let (short, long) = (whole - taken, whole - left);
        let (from, to) = (short.max(near), long.min(far));
        let reaches = from <= to;
        if !reaches {
            return None;
        }
        let (p, q) = (run.limb(Mm(from))?, run.limb(Mm(to))?);
        let sweep = Rad(run.pulled().gamma(to) - run.pulled().gamma(from)).deg();
        let low = if self.assembly == Assembly::Open { q } else { p };
        // Rounding may put a dead end just outside: there it pushes at no angle.
        let push = |cord: f64| run.push(Mm(cord)).unwrap_or(Deg(0.0));
        let least_push = push(from).min(push(to));
        Some(CordMotion {
            low,
            high: low + sweep,
            sweep,
            pull: Mm(to - from),
            runs: (Mm(from), Mm(to)),
            least_push,
            least_arm: self.lever * libm::sin(least_push.rad().0),
            dead: (short <= near, long >= far),
        })
    }
}

/// Lengths and sines this little beyond what there can be are rounding.
const TOUCH: f64 = 1e-9;
/// The same of a length as a share of the longest.
const FORGIVEN: f64 = 1e-12;

impl Cord {
    /// The directions in which the arm on a shaft holds the limb, its cord taut: the pin
    /// is as far from the first eye (or the lever's pin) as what is left of the cord is
    /// long. Law of cosines.
    fn arms_for(&self, shaft: BoardPoint, radius: Mm, limb: Dir) -> Vec<Dir> {
        let far = self.pivot + Vector::polar(self.lever, limb.turned(self.clamp_dir));
        if let (Some(over), Some(run)) = (&self.pulleys, self.last_run()) {
            let Some(cord) = run.cord(limb) else { return Vec::new() };
            return over.near.arms(radius.0, self.length.0 - over.between - cord.0);
        }
        let (toward, long) = match (self.guides.first(), self.guides.last()) {
            (Some(first), Some(last)) => {
                (*first - shaft, self.length.0 - self.between - last.distance(far).0)
            }
            _ => (far - shaft, self.length.0),
        };
        let (away, r) = (toward.length().0, radius.0);
        let Some(toward) = toward.dir() else { return Vec::new() };
        let cos = (away * away + r * r - long * long) / (2.0 * away * r);
        let reaches = long >= 0.0 && cos.abs() <= 1.0 + TOUCH;
        let aside = Dir::along(cos, (1.0 - cos * cos).max(0.0).sqrt()).filter(|_| reaches);
        // Seen along the cord the lever lies on its own side of the pivot.
        let pulls = |arm: &Dir| {
            let eye = self.guides.last().copied().unwrap_or(shaft + Vector::polar(radius, *arm));
            let (to_pivot, to_far) = (self.pivot - eye, far - eye);
            let left = to_pivot.x * to_far.y - to_pivot.y * to_far.x;
            left * self.assembly.sign() >= -TOUCH * self.lever.0 * to_far.length().0
        };
        let both = aside.into_iter().flat_map(|by| [toward.turned(by), toward.from(by)]);
        both.filter(pulls).collect()
    }
}

impl Mechanism for Cord {
    fn kind(&self) -> Kind {
        Kind::Cord
    }

    fn on_pivot(&self, pivot: BoardPoint) -> Option<Arc<dyn Mechanism>> {
        Some(Arc::new(self.moved(pivot)?))
    }

    fn closing(&self, at: &Input<f64>) -> Option<(Rod, f64)> {
        let (eye, left) = match &self.pulleys {
            // From where it leaves its pulley in this pose.
            Some(over) => {
                let pin = self.ends(at).ok()?[1];
                let foot = over.far.foot((pin.x, pin.y));
                (foot, BoardPoint::mm(foot.0, foot.1).distance(pin).0)
            }
            None => self.last(at).ok()?,
        };
        let rate = match self.pull {
            Pull::Pin(radius) => radius.0,
            Pull::Wound { per, .. } => per.abs(),
        };
        let rod = Rod {
            pin: eye.into(),
            pivot: [self.pivot.x, self.pivot.y],
            length: Some(Mm(left)).filter(|b| *b >= Bars::SHORTEST)?,
            lever: self.lever,
            clamp: self.clamp_dir,
            assembly: self.assembly,
        };
        Some((rod, rate))
    }

    fn position(&self, at: &Input<f64>) -> Result<Solved<f64>, Blocked> {
        if let Some(over) = &self.pulleys {
            return match self.solve_over(over, at) {
                Err(Blocked::DeadCentre) => Ok(self.straight_over(over, at)),
                other => other,
            };
        }
        match self.solve(at)? {
            (Err(Blocked::DeadCentre), b) => {
                let (eye, _) = self.last(at)?;
                let pivot = at.host.place(self.pivot.x, self.pivot.y);
                straight(eye, pivot, (b, self.lever.0), self.clamp_dir).ok_or(Blocked::DeadCentre)
            }
            (other, _) => other,
        }
    }

    fn pins(&self, at: &Input<f64>, limb: &Body<f64>) -> Pins {
        self.pins_at(at, limb)
    }

    fn thrust(&self, at: &Input<f64>, limb: &Body<f64>) -> Option<Thrust> {
        let pin = lever_end(limb, self.lever.0, self.clamp_dir);
        let eye = match &self.pulleys {
            Some(over) => over.far.foot(pin),
            None => self.last(at).ok()?.0,
        };
        // A cord pulls: the push on its pin leads towards the eye.
        let thrust = Thrust::between(eye, pin)?;
        Some(Thrust { along: thrust.along.reversed(), ..thrust })
    }

    fn drag(&self, at: &Input<f64>, friction: f64) -> f64 {
        if self.guides.is_empty() {
            return 1.0;
        }
        Self::drag(self, at, friction).unwrap_or(1.0)
    }

    fn motion(&self, at: &Input<Jet>) -> Result<Solved<Jet>, Blocked> {
        match &self.pulleys {
            Some(over) => self.solve_over(over, at),
            None => self.solve(at)?.0,
        }
    }

    fn inverse(&self, stand: Stand, path: &dyn Path) -> Result<Vec<f64>, Blocked> {
        match (stand, self.pull, path.shaft()) {
            (Stand::Turned(limb), Pull::Pin(radius), Some(shaft)) => {
                let arms = self.arms_for(shaft.at, radius, limb);
                Ok(cycle::within(shaft.span, arms.into_iter().map(|arm| arm.angle().0)))
            }
            _ => {
                let at = |c| Ok(Guide::Pivot.stand(&self.position(&path.at(c)?)?.limb));
                sweep::sampled_inverse(&at, stand, path.span())
            }
        }
    }

    fn assembly(&self) -> Option<Assembly> {
        Some(self.assembly)
    }
}
