//! A crank pin in a straight slot of the limb or of its lever: quick return, and
//! with the crank longer than the centres are apart the Whitworth motion.

use std::f64::consts::{FRAC_PI_2, PI};

use super::cycle::{self, Cranked, Cycle};
use super::rod::DEAD;
use super::{
    Bars, Blocked, Degenerate, Input, Kind, Limits, Mechanism, Path, Pins, Solved, Span, Stand,
    Thrust, Travel,
};
use crate::geometry::{BoardPoint, Body, Dir, Jet, Real};
use crate::units::{Deg, Mm};

/// A slotted arm on a board, all sizes known and usable.
///
/// The slot runs along the lever, `offset` to the left of the line from the pivot
/// outwards; the crank pin stays in its outward half.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SlottedArm {
    motor: BoardPoint,
    pivot: BoardPoint,
    crank: Mm,
    offset: Mm,
    clamp: Deg,
    clamp_dir: Dir,
    ground: f64,
    /// Angle from motor to pivot, rad.
    toward: f64,
}

/// How far past a dead centre is forgiven as rounding when only a position is
/// asked for: the square of the sine of the push angle.
const FORGIVEN: f64 = 1e-13;
/// Crank and centres nearer than this share are equal.
const SAME: f64 = 1e-12;

impl SlottedArm {
    /// A slotted arm with these sizes. `clamp` leads from the limb's axis to the
    /// slot's direction, counter-clockwise; `offset` is how far the slot lies to the
    /// left of the pivot, seen along it.
    ///
    /// # Errors
    /// [`Degenerate::Length`] and [`Degenerate::NotFinite`] for sizes that are none,
    /// [`Degenerate::CentresMeet`] for a motor on the pivot,
    /// [`Degenerate::PinThroughPivot`] where crank and centres are equal and
    /// [`Degenerate::OutOfReach`] where the pin never comes to the slot. A slot that
    /// lets the crank turn only partly is no error: [`SlottedArm::analyse`] says so.
    pub fn new(
        (motor, pivot): (BoardPoint, BoardPoint),
        crank: Mm,
        offset: Mm,
        clamp: Deg,
    ) -> Result<Self, Degenerate> {
        let centres = pivot - motor;
        let ground = centres.length().0;
        if !(ground.is_finite() && clamp.0.is_finite() && offset.0.is_finite()) {
            return Err(Degenerate::NotFinite);
        }
        let fine = |v: f64| (Bars::SHORTEST.0..=Bars::LONGEST.0).contains(&v);
        if !fine(crank.0) || offset.abs() > Bars::LONGEST {
            return Err(Degenerate::Length);
        }
        let toward = centres.dir().filter(|_| fine(ground)).ok_or(Degenerate::CentresMeet)?;
        if (ground - crank.0).abs() <= SAME * ground {
            return Err(Degenerate::PinThroughPivot);
        }
        if offset.abs().0 >= ground + crank.0 {
            return Err(Degenerate::OutOfReach);
        }
        let (clamp_dir, toward) = (Dir::degrees(clamp), toward.angle().0);
        Ok(Self { motor, pivot, crank, offset, clamp, clamp_dir, ground, toward })
    }

    /// The motor shaft.
    #[must_use]
    pub const fn motor(&self) -> BoardPoint {
        self.motor
    }

    /// The limb's pivot.
    #[must_use]
    pub const fn pivot(&self) -> BoardPoint {
        self.pivot
    }

    /// Shaft to crank pin.
    #[must_use]
    pub const fn crank(&self) -> Mm {
        self.crank
    }

    /// How far the slot lies left of the pivot.
    #[must_use]
    pub const fn offset(&self) -> Mm {
        self.offset
    }

    /// From the limb's axis to the slot's direction, counter-clockwise.
    #[must_use]
    pub const fn clamp(&self) -> Deg {
        self.clamp
    }

    /// Shaft to pivot.
    #[must_use]
    pub const fn ground(&self) -> Mm {
        Mm(self.ground)
    }

    /// Nearest and farthest place of the pin in the slot, from the foot of the
    /// pivot on it; nearest is 0 where the crank is blocked by the slot.
    #[must_use]
    pub fn slot(&self) -> (Mm, Mm) {
        let (d, a, e) = (self.ground, self.crank.0, self.offset.0.abs());
        let along = |rho: f64| Mm(((rho - e) * (rho + e)).max(0.0).sqrt());
        (along((d - a).abs()), along(d + a))
    }

    /// Everything about its cycle.
    #[must_use]
    pub fn analyse(&self) -> Cycle {
        cycle::cycle(self)
    }

    /// Closes the loop: with `r` from pivot to pin and `s = sqrt(r^2 - e^2)` along
    /// the slot, the slot's direction is `r (s - i e)/r^2` in complex numbers.
    fn close<R: Real>(&self, at: &Input<R>) -> Result<Solved<R>, Blocked> {
        let e = self.offset.0;
        let (x, y, rx, ry) = self.arm(at);
        let square = rx * rx + ry * ry;
        let reach = square - e * e;
        // Not numbers are stopped here too.
        let alive = reach.value() > DEAD * square.value();
        if !alive {
            return Err(self.obstacle(reach.value(), square.value()));
        }
        let s = reach.sqrt();
        let (lx, ly) = ((s * rx + ry * e) / square, (s * ry - rx * e) / square);
        let push = if e == 0.0 { R::constant(1.0) } else { (reach / square).sqrt() };
        Ok(Solved { limb: self.limb(x, y, lx, ly), push, margin: reach })
    }

    /// The pivot, and from it the pin.
    fn arm<R: Real>(&self, at: &Input<R>) -> (R, R, R, R) {
        let (ax, ay) = at.driver.place(self.crank.0, 0.0);
        let (x, y) = at.host.place(self.pivot.x, self.pivot.y);
        (x, y, ax - x, ay - y)
    }

    fn limb<R: Real>(&self, x: R, y: R, lx: R, ly: R) -> Body<R> {
        let (wx, wy) = (self.clamp_dir.x(), self.clamp_dir.y());
        Body { x, y, cos: lx * wx + ly * wy, sin: ly * wx - lx * wy }
    }

    fn obstacle(&self, reach: f64, square: f64) -> Blocked {
        if reach >= -FORGIVEN * square {
            return Blocked::DeadCentre;
        }
        Blocked::Open { gap: Mm(self.offset.0.abs() - square.sqrt()) }
    }

    /// The square of the pin's distance from the pivot less that of the offset, at
    /// an angle from the line motor to pivot; from factors that keep their digits.
    fn reach(&self, from_line: f64) -> f64 {
        let (d, a, e) = (self.ground, self.crank.0, self.offset.0.abs());
        let half = libm::sin(from_line / 2.0);
        let near = (d - a).abs();
        ((near - e) * (near + e) + 4.0 * a * d * half * half).max(0.0)
    }
}

impl Cranked for SlottedArm {
    fn shaft(&self) -> BoardPoint {
        self.motor
    }

    fn stretches(&self) -> [Option<Span>; 2] {
        let (d, a, e) = (self.ground, self.crank.0, self.offset.0.abs());
        let near = (d - a).abs();
        if e < near {
            return [Some(Span::TURN), None];
        }
        let square = ((e - near) * (e + near) / (4.0 * a * d)).min(1.0);
        let blocked = 2.0 * libm::asin(square.sqrt());
        let from = self.toward + blocked;
        [Some(Span::part(from, from + 2.0 * (PI - blocked))), None]
    }

    fn coordinate(&self, crank: f64, dead: bool) -> f64 {
        let (d, a, e) = (self.ground, self.crank.0, self.offset.0);
        let from_line = crank - self.toward;
        let (sin, cos) = libm::sincos(from_line);
        let pin = if a < d {
            self.toward + PI + libm::atan2(-a * sin, d - a * cos)
        } else {
            crank + libm::atan2(d * sin, a - d * cos)
        };
        let along = if dead { 0.0 } else { self.reach(from_line).sqrt() };
        pin - libm::atan2(e, along) - self.clamp.rad().0
    }

    /// The crank is square to the slot, hence the slot touches the crank's circle.
    fn stands(&self) -> [Option<f64>; 2] {
        let (d, a, e) = (self.ground, self.crank.0, self.offset.0);
        let away = self.toward + PI;
        [1.0, -1.0].map(|side| {
            let off = side * a - e;
            let along = (d - off) * (d + off);
            (along > 0.0).then(|| away + libm::atan2(off, along.sqrt()) + side * FRAC_PI_2)
        })
    }

    fn narrows(&self) -> [Option<f64>; 2] {
        [Some(self.toward), None]
    }

    fn push(&self, crank: f64) -> f64 {
        let (e, reach) = (self.offset.0, self.reach(crank - self.toward));
        if e == 0.0 { 1.0 } else { (reach / (reach + e * e)).sqrt() }
    }

    fn limb_turns(&self) -> bool {
        self.crank.0 > self.ground
    }

    /// For a limb that goes round: slower half turn over faster, the halves parted
    /// where the slot is square to the line of centres.
    fn ratio(&self) -> Option<f64> {
        let (d, a, e) = (self.ground, self.crank.0, self.offset.0);
        if a <= d {
            return None;
        }
        let slow = libm::acos(-(d + e) / a) + libm::acos(-(d - e) / a);
        let fast = libm::acos((d + e) / a) + libm::acos((d - e) / a);
        (fast > 0.0).then(|| slow / fast)
    }

    fn cranks_for(&self, stand: Stand) -> [Option<f64>; 2] {
        let Stand::Turned(axis) = stand else { return [None; 2] };
        let slot = axis.turned(self.clamp_dir);
        let from_pivot = self.motor - self.pivot;
        let along = from_pivot.x * slot.x() + from_pivot.y * slot.y();
        let left = from_pivot.y * slot.x() - from_pivot.x * slot.y();
        let (a, off) = (self.crank.0, self.offset.0 - left);
        if off.abs() > a * (1.0 + 1e-12) {
            return [None; 2];
        }
        let across = ((a - off) * (a + off)).max(0.0).sqrt();
        [across, -across].map(|x| {
            let reached = along + x > -1e-9 * a;
            reached.then(|| slot.angle().0 + libm::atan2(off, x))
        })
    }

    fn travel(&self, raw: Limits<f64>) -> Travel {
        cycle::swing(raw)
    }
}

impl Mechanism for SlottedArm {
    fn kind(&self) -> Kind {
        Kind::SlottedArm
    }

    fn position(&self, at: &Input<f64>) -> Result<Solved<f64>, Blocked> {
        match self.close(at) {
            Err(Blocked::DeadCentre) => {
                // The pin stands at the foot of the pivot: the slot is square to it.
                let (x, y, rx, ry) = self.arm(at);
                let side = if self.offset.0 < 0.0 { -1.0 } else { 1.0 };
                let slot = Dir::along(side * ry, -side * rx).ok_or(Blocked::DeadCentre)?;
                let limb = self.limb(x, y, slot.x(), slot.y());
                Ok(Solved { limb, push: 0.0, margin: 0.0 })
            }
            other => other,
        }
    }

    fn pins(&self, at: &Input<f64>, _limb: &Body<f64>) -> Pins {
        self.pins_at(at)
    }

    fn thrust(&self, at: &Input<f64>, limb: &Body<f64>) -> Option<Thrust> {
        let (x, y) = at.driver.place(self.crank.0, 0.0);
        let slot = limb.axis().turned(self.clamp_dir);
        Some(Thrust { at: BoardPoint::mm(x, y), along: slot.turned(Dir::NORTH) })
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
