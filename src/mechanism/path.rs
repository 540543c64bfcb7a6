//! How a mechanism's input moves: a motor's shaft, or the chain of limbs above.

use std::sync::Arc;

use super::{Blocked, Input, Mechanism};
use crate::geometry::{BoardPoint, Body, Dir, Jet};
use crate::units::Rad;

/// The stretch of an actuator's coordinate that is looked at: radians a shaft has
/// turned, or mm between the pins of a ram.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    /// Where it starts.
    pub from: f64,
    /// Where it ends, above `from`.
    pub to: f64,
    /// Whether its ends are the same place: a whole turn of a shaft.
    pub closed: bool,
}

impl Span {
    /// One whole turn from 0.
    pub const TURN: Self = Self { from: 0.0, to: 2.0 * std::f64::consts::PI, closed: true };

    /// A part of a turn, or of a ram's stroke.
    #[must_use]
    pub const fn part(from: f64, to: f64) -> Self {
        Self { from, to, closed: false }
    }
}

/// How driver and host move with the actuator's one coordinate.
pub trait Path: Sync {
    /// The input at one value of the coordinate.
    ///
    /// # Errors
    /// Where a mechanism further up cannot take it.
    fn at(&self, coordinate: f64) -> Result<Input<f64>, Blocked>;
    /// The same with derivatives.
    ///
    /// # Errors
    /// Where a mechanism further up cannot take it, and at its dead centres.
    fn motion(&self, coordinate: f64) -> Result<Input<Jet>, Blocked>;
    /// The stretch that is looked at.
    fn span(&self) -> Span;
    /// The shaft, where the path is nothing but its turning: closed forms hold then.
    fn shaft(&self) -> Option<Shaft> {
        None
    }
    /// Whether its coordinate is a length, of a ram or a cord: nothing turns when it grows.
    fn is_length(&self) -> bool {
        let middle = (self.span().from + self.span().to) / 2.0;
        let still = |input: Input<Jet>| {
            input.driver.turn_rates().0 == 0.0 && input.host.turn_rates().0 == 0.0
        };
        self.shaft().is_none() && self.motion(middle).is_ok_and(still)
    }
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
            coordinate: turn,
        })
    }

    fn motion(&self, turn: f64) -> Result<Input<Jet>, Blocked> {
        Ok(Input {
            driver: Body::turning(self.at.x, self.at.y, Dir::radians(Rad(turn)), 1.0),
            host: Body::still(0.0, 0.0, Dir::EAST),
            coordinate: Jet::variable(turn),
        })
    }

    fn shaft(&self) -> Option<Shaft> {
        Some(*self)
    }

    fn span(&self) -> Span {
        self.span
    }
}

/// A ram or cylinder between two points: its coordinate is its length.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Extending {
    /// Shortest and longest, mm; not a closed span.
    pub span: Span,
}

impl Path for Extending {
    fn at(&self, length: f64) -> Result<Input<f64>, Blocked> {
        let board = Body::still(0.0, 0.0, Dir::EAST);
        Ok(Input { driver: board, host: board, coordinate: length })
    }

    fn motion(&self, length: f64) -> Result<Input<Jet>, Blocked> {
        let board = Body::still(0.0, 0.0, Dir::EAST);
        Ok(Input { driver: board, host: board, coordinate: Jet::variable(length) })
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

impl Role {
    /// What the mechanism below gets of the limb above.
    fn input<R: crate::geometry::Real>(self, limb: Body<R>, coordinate: R) -> Input<R> {
        let board = Body::still(0.0, 0.0, Dir::EAST);
        match self {
            Self::Driver => Input { driver: limb, host: board, coordinate },
            Self::Host => Input { driver: board, host: limb, coordinate },
        }
    }
}

impl Path for Above<'_> {
    fn at(&self, turn: f64) -> Result<Input<f64>, Blocked> {
        Ok(self.role.input(self.mechanism.position(&self.path.at(turn)?)?.limb, turn))
    }

    fn motion(&self, turn: f64) -> Result<Input<Jet>, Blocked> {
        let above = self.mechanism.motion(&self.path.motion(turn)?)?;
        Ok(self.role.input(above.limb, Jet::variable(turn)))
    }

    fn span(&self) -> Span {
        self.path.span()
    }
}

/// A path that owns what it is made of: what moves a limb, kept with its mechanism.
#[derive(Clone, Debug)]
pub enum Way {
    /// A motor's shaft.
    Shaft(Shaft),
    /// The length of a ram or cylinder, or of the cord a spool lets out.
    Extending(Extending),
    /// The limb above.
    Above {
        /// Its mechanism.
        mechanism: Arc<dyn Mechanism>,
        /// What moves that one.
        way: Box<Self>,
        /// What its limb is here.
        role: Role,
    },
}

impl Way {
    /// What moves the first limb of the chain.
    #[must_use]
    pub fn source(&self) -> &Self {
        match self {
            Self::Above { way, .. } => way.source(),
            own => own,
        }
    }

    fn path(&self) -> &dyn Path {
        match self {
            Self::Shaft(shaft) => shaft,
            Self::Extending(extending) => extending,
            Self::Above { .. } => self,
        }
    }
}

impl Path for Way {
    fn at(&self, coordinate: f64) -> Result<Input<f64>, Blocked> {
        match self {
            Self::Above { mechanism, way, role } => {
                Above { mechanism: &**mechanism, path: way.path(), role: *role }.at(coordinate)
            }
            own => own.path().at(coordinate),
        }
    }

    fn motion(&self, coordinate: f64) -> Result<Input<Jet>, Blocked> {
        match self {
            Self::Above { mechanism, way, role } => {
                Above { mechanism: &**mechanism, path: way.path(), role: *role }.motion(coordinate)
            }
            own => own.path().motion(coordinate),
        }
    }

    fn span(&self) -> Span {
        match self {
            Self::Above { way, .. } => way.span(),
            own => own.path().span(),
        }
    }

    fn shaft(&self) -> Option<Shaft> {
        match self {
            Self::Shaft(shaft) => Some(*shaft),
            Self::Extending(_) | Self::Above { .. } => None,
        }
    }
}
