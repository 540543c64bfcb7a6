//! The last stretch of a cord, from a fixed eye or pulley to the limb it pulls.

use std::f64::consts::PI;

use super::pulleys::{End, Pulled, Tangent};
use super::{Assembly, Triangle};
use crate::geometry::{BoardPoint, Dir};
use crate::units::{Deg, Mm, Rad};

/// The stretch of cord from a fixed eye to the limb's lever.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LastRun {
    pulled: Pulled,
    toward: Dir,
    clamp: Dir,
    assembly: Assembly,
}

impl LastRun {
    /// From an eye to a lever; `None` where eye and pivot meet.
    #[must_use]
    pub fn new(
        eye: BoardPoint,
        pivot: BoardPoint,
        (lever, clamp): (Mm, Deg),
        assembly: Assembly,
    ) -> Option<Self> {
        let away = eye - pivot;
        let line = Tangent { along: away.length().0, wheel: 0.0 };
        let pulled = Pulled { lever: lever.0, line };
        Some(Self { pulled, toward: away.dir()?, clamp: Dir::degrees(clamp), assembly })
    }

    /// The same from the pulley at the far end of a cord.
    pub(super) const fn over(self, end: &End) -> Self {
        Self { pulled: end.pulled(self.pulled.lever), toward: end.toward, ..self }
    }

    /// The lever and what pulls it.
    #[must_use]
    pub const fn pulled(&self) -> Pulled {
        self.pulled
    }

    /// The triangle eye, pivot, lever pin; of a pulley with the foot of the line through the
    /// pivot that touches it.
    #[must_use]
    pub const fn triangle(&self) -> Triangle {
        self.pulled.triangle()
    }

    /// The angle from the eye's direction to the lever at a limb direction, rad in
    /// 0..pi; `None` where the lever lies on the other side, where the cord would
    /// pull the other way.
    #[must_use]
    pub fn gamma(&self, limb: Dir) -> Option<f64> {
        let lever = limb.turned(self.clamp);
        let gamma = lever.from(self.toward).angle().0 * -self.assembly.sign();
        (gamma >= 0.0).then_some(gamma)
    }

    /// Cord from the eye to the lever pin at a limb direction.
    #[must_use]
    pub fn cord(&self, limb: Dir) -> Option<Mm> {
        self.gamma(limb).map(|g| Mm(self.pulled.length(g)))
    }

    /// The limb's angle with so much cord from the eye on; `None` where it does
    /// not reach, or is loose with the lever pointing away from the eye.
    #[must_use]
    pub fn limb(&self, cord: Mm) -> Option<Deg> {
        let (near, far) = self.pulled.dead_lengths();
        (cord.0 >= near && cord.0 <= far).then(|| {
            let turn = Dir::radians(Rad(-self.assembly.sign() * self.pulled.gamma(cord.0)));
            self.toward.turned(turn).from(self.clamp).deg()
        })
    }

    /// The limb directions at which the cord lies dead against the lever: pointing
    /// at the eye, and away from it. Between them, on its side, it pulls.
    #[must_use]
    pub fn dead(&self) -> (Dir, Dir) {
        (self.toward.from(self.clamp), self.toward.reversed().from(self.clamp))
    }

    /// The push angle between cord and lever with so much cord, folded.
    #[must_use]
    pub fn push(&self, cord: Mm) -> Option<Deg> {
        self.pulled.push(cord.0).map(|mu| Rad(mu.min(PI - mu)).deg())
    }
}
