//! A strut of changing length: a ram or an air cylinder on a limb's lever.
//!
//! The textbook's swinging block, or inverted slider-crank. The strut runs from an
//! anchor pin to a pin on the limb's lever; its length is the coordinate. With
//! lever c and distance d from pivot to anchor, the triangle c, d, length says
//! everything: dead centres where the length is |c - d| or c + d, the moment arm
//! `c sin mu`, and the limb's speed per length, one over that arm.

use std::f64::consts::PI;
use std::sync::Arc;

use super::class::CHANGE_POINT;
use super::rod::{Sides, straight};
use super::thrust::lever_end;
use super::{
    Assembly, Bars, Blocked, Degenerate, Input, Kind, Mechanism, Path, Pins, Rod, Solved, Stand,
    Thrust,
};
use crate::geometry::{BoardPoint, Body, Dir, Jet};
use crate::units::{Deg, Mm, Rad};

/// What drives a strut.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Strut {
    /// An electric linear actuator.
    Ram,
    /// An air cylinder.
    Cylinder,
}

impl Strut {
    /// The kind of mechanism it makes.
    #[must_use]
    pub const fn kind(self) -> Kind {
        match self {
            Self::Ram => Kind::Ram,
            Self::Cylinder => Kind::Cylinder,
        }
    }
}

/// Shortest and longest length of a strut, pin to pin.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lengths {
    /// Drawn in.
    pub short: Mm,
    /// Pushed out.
    pub long: Mm,
}

impl Lengths {
    /// The two lengths.
    ///
    /// # Errors
    /// [`Degenerate::Length`] where one is outside [`Bars::SHORTEST`] to
    /// [`Bars::LONGEST`] or they are not in order.
    pub fn new(short: Mm, long: Mm) -> Result<Self, Degenerate> {
        let fine = short >= Bars::SHORTEST && long <= Bars::LONGEST && short < long;
        if fine { Ok(Self { short, long }) } else { Err(Degenerate::Length) }
    }

    /// From shortest to longest.
    #[must_use]
    pub fn stroke(&self) -> Mm {
        self.long - self.short
    }
}

/// A strut on a limb that turns on a pivot. Pivot and anchor lie in one body, the
/// board or a limb that carries both.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ram {
    strut: Strut,
    anchor: BoardPoint,
    pivot: BoardPoint,
    lever: Mm,
    clamp: Deg,
    clamp_dir: Dir,
    assembly: Assembly,
    lengths: Lengths,
    /// Pivot to anchor.
    ground: f64,
    toward: Dir,
}

impl Ram {
    /// A strut with these sizes. `clamp` leads from the limb's axis to the lever,
    /// counter-clockwise; open: the lever pin lies left of the directed line from
    /// anchor to pivot.
    ///
    /// # Errors
    /// Where a size is no length, anchor and pivot meet, or a number is not
    /// finite. A strut that does not reach is no error: the analysis says so.
    pub fn new(
        strut: Strut,
        (anchor, pivot): (BoardPoint, BoardPoint),
        lengths: Lengths,
        (lever, clamp): (Mm, Deg),
        assembly: Assembly,
    ) -> Result<Self, Degenerate> {
        let away = anchor - pivot;
        let ground = away.length();
        if !(ground.0.is_finite() && clamp.0.is_finite()) {
            return Err(Degenerate::NotFinite);
        }
        let fine = |v: Mm| v >= Bars::SHORTEST && v <= Bars::LONGEST;
        if !fine(lever) {
            return Err(Degenerate::Length);
        }
        let toward = away.dir().filter(|_| fine(ground)).ok_or(Degenerate::CentresMeet)?;
        Ok(Self {
            strut,
            anchor,
            pivot,
            lever,
            clamp,
            clamp_dir: Dir::degrees(clamp),
            assembly,
            lengths,
            ground: ground.0,
            toward,
        })
    }

    /// What drives it.
    #[must_use]
    pub const fn strut(&self) -> Strut {
        self.strut
    }

    /// The same strut seen in a mirror that stands upright at x = `line`.
    #[must_use]
    pub fn mirrored(&self, line: Mm) -> Self {
        Self {
            anchor: self.anchor.mirrored(line),
            pivot: self.pivot.mirrored(line),
            clamp: -self.clamp,
            clamp_dir: self.clamp_dir.inverse(),
            assembly: self.assembly.other(),
            toward: Dir::WEST.from(self.toward),
            ..*self
        }
    }

    /// The strut's pin that is not on the limb.
    #[must_use]
    pub const fn anchor(&self) -> BoardPoint {
        self.anchor
    }

    /// The limb's pivot.
    #[must_use]
    pub const fn pivot(&self) -> BoardPoint {
        self.pivot
    }

    /// Limb pivot to lever pin.
    #[must_use]
    pub const fn lever(&self) -> Mm {
        self.lever
    }

    /// From the limb's axis to the lever, counter-clockwise.
    #[must_use]
    pub const fn clamp(&self) -> Deg {
        self.clamp
    }

    /// On which side the lever pin lies.
    #[must_use]
    pub const fn assembly(&self) -> Assembly {
        self.assembly
    }

    /// Shortest and longest.
    #[must_use]
    pub const fn lengths(&self) -> Lengths {
        self.lengths
    }

    /// Pivot to anchor.
    #[must_use]
    pub const fn ground(&self) -> Mm {
        Mm(self.ground)
    }

    /// The triangle it makes at any length.
    #[must_use]
    pub const fn triangle(&self) -> Triangle {
        Triangle { lever: self.lever.0, ground: self.ground }
    }

    /// The moment arm at a length; `None` where it does not close.
    #[must_use]
    pub fn arm(&self, length: Mm) -> Option<Mm> {
        self.triangle().push(length.0).map(|mu| self.lever * libm::sin(mu))
    }

    /// The limb's direction at an angle between lever and anchor.
    fn limb(&self, gamma: f64) -> Dir {
        let turn = Dir::radians(Rad(-self.assembly.sign() * gamma));
        self.toward.turned(turn).from(self.clamp_dir)
    }

    /// The length that points the limb there; `None` where the lever would lie on
    /// the other side of the line from pivot to anchor, or the strut is too short
    /// or too long.
    #[must_use]
    pub fn length_for(&self, limb: Dir) -> Option<Mm> {
        let lever = limb.turned(self.clamp_dir);
        let gamma = lever.from(self.toward).angle().0 * -self.assembly.sign();
        let (low, high) = (self.lengths.short.0, self.lengths.long.0);
        let slack = 1e-12 * high;
        let near = 1e-12;
        if gamma < -near && gamma > near - PI {
            return None;
        }
        let length = self.triangle().length(gamma.abs());
        (length >= low - slack && length <= high + slack).then(|| Mm(length.clamp(low, high)))
    }

    /// Everything about its motion, in closed form.
    #[must_use]
    pub fn analyse(&self) -> RamAnalysis {
        let triangle = self.triangle();
        let (folded_at, stretched_at) = triangle.dead_lengths();
        let near = CHANGE_POINT * stretched_at;
        let (short, long) = (self.lengths.short.0, self.lengths.long.0);
        let (folded, stretched) = (short <= folded_at + near, long >= stretched_at - near);
        let (from, to) = (short.max(folded_at), long.min(stretched_at));
        let motion = (from <= to).then(|| self.over(from, to, folded, stretched));
        RamAnalysis {
            assembles: motion.is_some(),
            whole_stroke: short >= folded_at && long <= stretched_at,
            folded,
            stretched,
            folded_at: Mm(folded_at),
            stretched_at: Mm(stretched_at),
            motion,
        }
    }

    /// The motion between two lengths that close.
    fn over(&self, from: f64, to: f64, folded: bool, stretched: bool) -> RamMotion {
        let triangle = self.triangle();
        let (near, far) = (triangle.gamma(from), triangle.gamma(to));
        let sweep = Rad(far - near).deg();
        let flip = self.assembly == Assembly::Open;
        let (low_gamma, at_low, at_high) = if flip { (far, to, from) } else { (near, from, to) };
        let low = self.limb(low_gamma).deg();
        let fold = |mu: Option<f64>| mu.map_or(0.0, |mu| mu.min(PI - mu).max(0.0));
        let (push_short, push_long) = (fold(triangle.push(from)), fold(triangle.push(to)));
        let (least, least_at) =
            if push_short <= push_long { (push_short, from) } else { (push_long, to) };
        // The arm's square is concave in the length: least at an end, most where
        // lever and strut are square or, for a lever longer than the ground,
        // where ground and strut are.
        let (c, d) = (triangle.lever, triangle.ground);
        let best = ((c - d).abs() * (c + d)).sqrt().clamp(from, to);
        let arm = |mu: f64| self.lever * libm::sin(mu);
        let most_arm = arm(fold(triangle.push(best)));
        let dead = folded || stretched;
        let rates = [from, to].map(|l| triangle.rates(l));
        let most = |i: usize| {
            let [p, q] = rates.map(|r| r[i].abs());
            (!dead).then_some(p.max(q)).filter(|v| v.is_finite())
        };
        RamMotion {
            from: Mm(from),
            to: Mm(to),
            low,
            high: low + sweep,
            sweep,
            length_at_low: Mm(at_low),
            length_at_high: Mm(at_high),
            push_short: Rad(push_short).deg(),
            push_long: Rad(push_long).deg(),
            least_push: Rad(least).deg(),
            least_push_at: Mm(least_at),
            least_arm: arm(least),
            most_arm,
            most_arm_at: Mm(best),
            most_speed: most(0),
            most_acceleration: most(1),
        }
    }
}

/// The triangle pivot, lever pin, anchor, for any length of its third side.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Triangle {
    /// Pivot to lever pin, mm.
    pub lever: f64,
    /// Pivot to anchor, mm.
    pub ground: f64,
}

impl Triangle {
    /// The lengths with lever and strut in one line: folded and stretched, mm.
    #[must_use]
    pub fn dead_lengths(&self) -> (f64, f64) {
        ((self.lever - self.ground).abs(), self.lever + self.ground)
    }

    /// The angle at the pivot opposite a length, rad in 0..pi; the length is held
    /// to what closes.
    #[must_use]
    pub fn gamma(&self, length: f64) -> f64 {
        let (c, d) = (self.lever, self.ground);
        let near = ((length - (c - d)) * (length + (c - d))).max(0.0);
        let far = ((c + d - length) * (c + d + length)).max(0.0);
        2.0 * libm::atan2(near.sqrt(), far.sqrt())
    }

    /// The length opposite an angle at the pivot, mm.
    #[must_use]
    pub fn length(&self, gamma: f64) -> f64 {
        let (c, d) = (self.lever, self.ground);
        let s = libm::sin(gamma / 2.0);
        ((c - d) * (c - d) + 4.0 * c * d * s * s).sqrt()
    }

    /// The push angle at a length, rad in 0..pi, not folded; `None` where it does
    /// not close.
    #[must_use]
    pub fn push(&self, length: f64) -> Option<f64> {
        let (c, d) = (self.lever, self.ground);
        let near = (d - (length - c)) * (d + (length - c));
        let far = (length + c - d) * (length + c + d);
        (near >= 0.0 && far >= 0.0).then(|| 2.0 * libm::atan2(near.sqrt(), far.sqrt()))
    }

    /// First and second derivative of the angle at the pivot by the length: one
    /// over the arm, and with x = length^2 and the arm's square
    /// `f = (A + B - x - A B/x)/4`, `-length f'(x)/f^1.5`. The first is convex in
    /// the length, so the largest of both are at the ends of a stroke.
    #[must_use]
    pub fn rates(&self, length: f64) -> [f64; 2] {
        let (c, d) = (self.lever, self.ground);
        let (near, far) =
            ((length - (c - d)) * (length + (c - d)), (c + d - length) * (c + d + length));
        let square = length * length;
        let f = near * far / (4.0 * square);
        let product = (c - d) * (c + d) / square;
        let slope = 0.25 * (product * product - 1.0);
        [1.0 / f.sqrt(), -length * slope / (f * f.sqrt())]
    }
}

/// What a strut can do. Every number is finite; what does not apply is absent.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RamAnalysis {
    /// Whether some length of the stroke closes.
    pub assembles: bool,
    /// Whether every length of the stroke closes.
    pub whole_stroke: bool,
    /// Whether the stroke comes to the folded dead centre, |lever - ground|.
    pub folded: bool,
    /// Whether the stroke comes to the stretched dead centre, lever + ground.
    pub stretched: bool,
    /// The length at the folded dead centre.
    pub folded_at: Mm,
    /// The length at the stretched dead centre.
    pub stretched_at: Mm,
    /// The motion over the part of the stroke that closes.
    pub motion: Option<RamMotion>,
}

impl RamAnalysis {
    /// Whether the stroke comes to a dead centre, where the side the lever takes
    /// is left to chance.
    #[must_use]
    pub const fn dead_centre(&self) -> bool {
        self.folded || self.stretched
    }
}

/// The motion of a strut over a stroke.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RamMotion {
    /// Shortest length that closes.
    pub from: Mm,
    /// Longest length that closes.
    pub to: Mm,
    /// Lowest limb angle, in (-180, 180].
    pub low: Deg,
    /// Highest limb angle: `low` + `sweep`.
    pub high: Deg,
    /// The swing.
    pub sweep: Deg,
    /// The length at the lowest limb angle.
    pub length_at_low: Mm,
    /// The length at the highest limb angle.
    pub length_at_high: Mm,
    /// The push angle at the shortest length, 0..90.
    pub push_short: Deg,
    /// The push angle at the longest length, 0..90.
    pub push_long: Deg,
    /// The worst push angle, at an end of the stroke.
    pub least_push: Deg,
    /// The length there.
    pub least_push_at: Mm,
    /// The least moment arm, at the same end: force times this is the torque.
    pub least_arm: Mm,
    /// The greatest moment arm.
    pub most_arm: Mm,
    /// The length there.
    pub most_arm_at: Mm,
    /// Largest |d limb / d length|, rad/mm; absent at a dead centre.
    pub most_speed: Option<f64>,
    /// Largest |d2 limb / d length2|, rad/mm2; absent at a dead centre.
    pub most_acceleration: Option<f64>,
}

impl Mechanism for Ram {
    fn kind(&self) -> Kind {
        self.strut.kind()
    }

    fn assembly(&self) -> Option<Assembly> {
        Some(self.assembly)
    }

    fn on_pivot(&self, pivot: BoardPoint) -> Option<Arc<dyn Mechanism>> {
        let (places, size) = ((self.anchor, pivot), (self.lever, self.clamp));
        let moved = Self::new(self.strut, places, self.lengths, size, self.assembly).ok()?;
        Some(Arc::new(moved))
    }

    fn closing(&self, at: &Input<f64>) -> Option<(Rod, f64)> {
        let rod = Rod {
            pin: at.driver.place(self.anchor.x, self.anchor.y).into(),
            pivot: [self.pivot.x, self.pivot.y],
            length: Mm(within(self.lengths, at.coordinate).ok()?),
            lever: self.lever,
            clamp: self.clamp_dir,
            assembly: self.assembly,
        };
        Some((rod, 1.0))
    }

    fn position(&self, at: &Input<f64>) -> Result<Solved<f64>, Blocked> {
        let (b, c) = (within(self.lengths, at.coordinate)?, self.lever.0);
        let near = at.driver.place(self.anchor.x, self.anchor.y);
        let pivot = at.host.place(self.pivot.x, self.pivot.y);
        let close = Sides::growing(b, c).close(near, pivot, self.clamp_dir, self.assembly);
        match close.map_err(|short| short.blocked(b, c)) {
            Err(Blocked::DeadCentre) => {
                straight(near, pivot, (b, c), self.clamp_dir).ok_or(Blocked::DeadCentre)
            }
            other => other,
        }
    }

    fn pins(&self, at: &Input<f64>, limb: &Body<f64>) -> Pins {
        self.pins_at(at, limb)
    }

    fn thrust(&self, at: &Input<f64>, limb: &Body<f64>) -> Option<Thrust> {
        let far = lever_end(limb, self.lever.0, self.clamp_dir);
        Thrust::between(at.driver.place(self.anchor.x, self.anchor.y), far)
    }

    fn motion(&self, at: &Input<Jet>) -> Result<Solved<Jet>, Blocked> {
        let c = self.lever.0;
        within(self.lengths, at.coordinate.v)?;
        let near = at.driver.place(self.anchor.x, self.anchor.y);
        let pivot = at.host.place(self.pivot.x, self.pivot.y);
        let sides = Sides::growing(at.coordinate, c);
        let close = sides.close(near, pivot, self.clamp_dir, self.assembly);
        close.map_err(|short| short.blocked(at.coordinate.v, c))
    }

    fn inverse(&self, stand: Stand, path: &dyn Path) -> Result<Vec<f64>, Blocked> {
        let Stand::Turned(limb) = stand else { return Ok(Vec::new()) };
        let span = path.span();
        let inside = |l: &Mm| l.0 >= span.from - 1e-9 && l.0 <= span.to + 1e-9;
        Ok(self.length_for(limb).filter(inside).map(|l| l.0).into_iter().collect())
    }
}

/// A length the strut can take.
pub(super) fn within(lengths: Lengths, length: f64) -> Result<f64, Blocked> {
    if !length.is_finite() {
        return Err(Blocked::Degenerate(Degenerate::NotFinite));
    }
    let slack = 1e-9 * lengths.long.0;
    let by = (lengths.short.0 - length).max(length - lengths.long.0);
    if by <= slack { Ok(length) } else { Err(Blocked::Beyond { by: Mm(by) }) }
}
