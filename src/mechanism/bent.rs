//! A limb that rides on another, seen from its carrier: what it bends.

use std::fmt::Debug;
use std::ops::Deref;

use super::{Blocked, Guide, Input, Kind, Mechanism, Solved};
use crate::geometry::{Body, Jet, Real};

/// A mechanism whose limb rides on another, its angles counted from the carrier's axis
/// (R. L. Norton, *Design of Machinery*, on relative angular position: that of the
/// limb less that of the carrier).
///
/// The limb's pivot stays where it is on the board; only its direction is counted anew.
#[derive(Clone, Copy, Debug)]
pub struct Bent<M>(pub M);

/// The limb's direction from its carrier's.
pub(super) fn bent<R: Real>(solved: Solved<R>, host: &Body<R>) -> Solved<R> {
    let limb = solved.limb;
    let (cos, sin) =
        (limb.cos * host.cos + limb.sin * host.sin, limb.sin * host.cos - limb.cos * host.sin);
    Solved { limb: Body { cos, sin, ..limb }, ..solved }
}

impl<'a, M> Mechanism for Bent<M>
where
    M: Deref<Target = dyn Mechanism + 'a> + Debug + Send + Sync,
{
    fn kind(&self) -> Kind {
        self.0.kind()
    }

    fn position(&self, at: &Input<f64>) -> Result<Solved<f64>, Blocked> {
        Ok(bent(self.0.position(at)?, &at.host))
    }

    fn motion(&self, at: &Input<Jet>) -> Result<Solved<Jet>, Blocked> {
        Ok(bent(self.0.motion(at)?, &at.host))
    }

    fn guide(&self) -> Guide {
        self.0.guide()
    }
}
