//! How a mechanism's input moves: a motor's shaft, or the chain of limbs above.

use super::{Blocked, Input, Mechanism};
use crate::geometry::{BoardPoint, Body, Dir, Jet};
use crate::units::Rad;

/// The stretch of an actuator's coordinate that is looked at, rad.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    /// Where it starts.
    pub from: Rad,
    /// Where it ends, above `from`.
    pub to: Rad,
}

impl Span {
    /// One whole turn from 0.
    pub const TURN: Self = Self { from: Rad(0.0), to: Rad(2.0 * std::f64::consts::PI) };

    /// Whether it is a whole turn or more: its ends are then the same place.
    #[must_use]
    pub fn is_turn(self) -> bool {
        (self.to - self.from).0 >= 2.0 * std::f64::consts::PI
    }
}

/// How driver and host move with the actuator's one coordinate (rad).
pub trait Path: Sync {
    /// The input at one value of the coordinate.
    ///
    /// # Errors
    /// Where a mechanism further up cannot take it.
    fn at(&self, turn: f64) -> Result<Input<f64>, Blocked>;
    /// The same with derivatives.
    ///
    /// # Errors
    /// Where a mechanism further up cannot take it, and at its dead centres.
    fn motion(&self, turn: f64) -> Result<Input<Jet>, Blocked>;
    /// The stretch that is looked at.
    fn span(&self) -> Span;
}

/// A shaft fixed to the board, its limb pivoted on the board.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Shaft {
    /// Where the shaft is.
    pub at: BoardPoint,
    /// How far it turns.
    pub span: Span,
}

impl Shaft {
    /// A shaft that goes right round.
    #[must_use]
    pub const fn turning(at: BoardPoint) -> Self {
        Self { at, span: Span::TURN }
    }
}

impl Path for Shaft {
    fn at(&self, turn: f64) -> Result<Input<f64>, Blocked> {
        Ok(Input {
            driver: Body::still(self.at.x, self.at.y, Dir::radians(Rad(turn))),
            host: Body::still(0.0, 0.0, Dir::EAST),
            turn,
        })
    }

    fn motion(&self, turn: f64) -> Result<Input<Jet>, Blocked> {
        Ok(Input {
            driver: Body::turning(self.at.x, self.at.y, Dir::radians(Rad(turn)), 1.0),
            host: Body::still(0.0, 0.0, Dir::EAST),
            turn: Jet::variable(turn),
        })
    }

    fn span(&self) -> Span {
        self.span
    }
}

/// What the limb above is to the mechanism below it; the board is the other.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Role {
    /// It pushes the rod; the pivot stays on the board.
    Driver,
    /// It carries the pivot; the rod's other end is pinned to the board.
    Host,
}

/// The chain above: another limb's mechanism on its own path.
#[derive(Clone, Copy)]
pub struct Above<'a> {
    /// The mechanism of the limb above.
    pub mechanism: &'a dyn Mechanism,
    /// What moves that one.
    pub path: &'a dyn Path,
    /// What its limb is here.
    pub role: Role,
}

impl Above<'_> {
    fn input<R: crate::geometry::Real>(&self, limb: Body<R>, turn: R) -> Input<R> {
        let board = Body::still(0.0, 0.0, Dir::EAST);
        match self.role {
            Role::Driver => Input { driver: limb, host: board, turn },
            Role::Host => Input { driver: board, host: limb, turn },
        }
    }
}

impl Path for Above<'_> {
    fn at(&self, turn: f64) -> Result<Input<f64>, Blocked> {
        Ok(self.input(self.mechanism.position(&self.path.at(turn)?)?.limb, turn))
    }

    fn motion(&self, turn: f64) -> Result<Input<Jet>, Blocked> {
        let above = self.mechanism.motion(&self.path.motion(turn)?)?;
        Ok(self.input(above.limb, Jet::variable(turn)))
    }

    fn span(&self) -> Span {
        self.path.span()
    }
}
