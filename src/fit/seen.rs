//! The board as the limb above sees it: what bends in an elbow is what swings there.

use crate::geometry::{Body, Jet, Real};
use crate::mechanism::{Blocked, Input, Kind, Mechanism, Solved};

/// A mechanism turned inside out: where its limb is on the board becomes where the
/// board is from its limb. A limb that rides on it then swings as it bends.
#[derive(Clone, Copy, Debug)]
pub(super) struct Seen<'a>(pub &'a dyn Mechanism);

fn inside_out<R: Real>(solved: Solved<R>) -> Solved<R> {
    let Body { x, y, cos, sin } = solved.limb;
    let limb = Body { x: -(cos * x + sin * y), y: sin * x - cos * y, cos, sin: -sin };
    Solved { limb, ..solved }
}

impl Mechanism for Seen<'_> {
    fn kind(&self) -> Kind {
        self.0.kind()
    }

    fn position(&self, at: &Input<f64>) -> Result<Solved<f64>, Blocked> {
        self.0.position(at).map(inside_out)
    }

    fn motion(&self, at: &Input<Jet>) -> Result<Solved<Jet>, Blocked> {
        self.0.motion(at).map(inside_out)
    }
}
