//! Every kind of mechanism behind one trait, and the solving of open sizes.
//!
//! A mechanism is a closed-form map from a moving input (a motor's shaft, another
//! limb, a length) to the pose of the limb. It works on directions, not angles:
//! plus, minus, times, over and square roots only, the same bits on every machine. A new kind is
//! one new file that implements [`Mechanism`] and one row in [`Kind`].

mod analysis;
pub mod belt;
mod bent;
pub mod cam;
mod class;
mod cord;
mod cycle;
mod cylinder;
mod extremes;
mod forearm;
mod four_bar;
mod guide;
mod kind;
mod last_run;
mod path;
mod pins;
mod pulleys;
mod ram;
mod ram_slide;
mod rod;
mod scotch_yoke;
mod servo;
mod servo_rod;
mod shape;
mod slider_crank;
mod slotted_arm;
pub mod solve;
mod spin;
mod sweep;
mod thrust;
mod turned;

pub use analysis::{Analysis, Motion};
pub use bent::Bent;
pub use class::{CHANGE_POINT, Class};
pub use cord::{Cord, CordMotion, Pull, Tension};
pub use cycle::{Course, Cycle};
pub use cylinder::{Air, REFERENCE_AIR};
pub use forearm::{Closing, Forearm, ForearmAnalysis, ForearmMotion};
pub use four_bar::{Assembly, Bars, FourBar};
pub use guide::{Guide, Limits, Slide, Stand, Travel};
pub use kind::Kind;
pub use last_run::LastRun;
pub use path::{Above, Extending, Path, Role, Shaft, Span, Way};
pub use pins::{Pin, Pins};
pub use pulleys::{Pulled, Tangent};
pub use ram::{Lengths, Ram, RamAnalysis, RamMotion, Strut, Triangle};
pub use ram_slide::{RamSlide, SlideStroke};
pub use rod::Rod;
pub use scotch_yoke::ScotchYoke;
pub use servo::{Servo, ServoLink};
pub use servo_rod::ServoRod;
pub use slider_crank::{Side, SliderCrank};
pub use slotted_arm::SlottedArm;
pub use solve::{Prefer, Size};
pub use spin::{Spin, Transfer};
pub use sweep::{Dirs, Sweep};
pub use thrust::Thrust;
pub use turned::{Turned, TurnedWay};

use std::sync::Arc;

use crate::geometry::{BoardPoint, Body, Dir, Jet};
use crate::units::{Deg, Mm};

/// What moves a mechanism, at one instant.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Input<R> {
    /// The body that pushes: the crank or servo arm (its axis through its pin),
    /// or the limb above.
    pub driver: Body<R>,
    /// The body that carries the limb's pivot: the board, or another limb.
    pub host: Body<R>,
    /// The actuator's own coordinate: how far the motor has turned, rad, not reduced
    /// to one turn; or a ram's length pin to pin, mm.
    pub coordinate: R,
}

/// Where a mechanism puts its limb.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Solved<R> {
    /// The limb: its pivot on the board, and the direction pivot to tip.
    pub limb: Body<R>,
    /// Sine of the push angle between rod and lever, positive for the open
    /// assembly, negative for the crossed; 1 where nothing pushes at an angle.
    pub push: R,
    /// How far the square of the distance from near pin to limb pivot is from the
    /// dead centres' squares, (rod + lever)^2 and (rod - lever)^2, mm2: nought at a
    /// dead centre, infinite where there is none.
    pub margin: R,
}

/// Why there is no position. No places and no prose: the stage that checks words it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Blocked {
    /// The bars do not close here: the rod misses by this much, positive when it
    /// is too short, negative when it is too long.
    Open {
        /// The gap.
        gap: Mm,
    },
    /// Rod and lever lie in one line: speeds are not finite here.
    DeadCentre,
    /// Outside the travel, by this much.
    Outside {
        /// How far.
        by: Deg,
    },
    /// Shorter or longer than a ram or a cord's pull can be, by this much.
    Beyond {
        /// How far.
        by: Mm,
    },
    /// The sizes make no mechanism.
    Degenerate(Degenerate),
}

/// Which size makes no mechanism.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Degenerate {
    /// A bar is not a number between [`Bars::SHORTEST`] and [`Bars::LONGEST`].
    Length,
    /// Motor and pivot are (nearly) one point.
    CentresMeet,
    /// An angle or a coordinate is not a finite number.
    NotFinite,
    /// The crank is as long as motor and pivot are apart: its pin would run through
    /// the pivot.
    PinThroughPivot,
    /// The parts never meet, wherever the crank stands.
    OutOfReach,
    /// A cross slot lies along its slide and pushes nothing.
    SlotAlongSlide,
}

/// One kind of mechanism with its sizes: from input to limb.
///
/// Object-safe; `position`, `motion` and `kind` are all a new mechanism must
/// write, and closed forms may replace the sampled defaults.
pub trait Mechanism: Send + Sync + std::fmt::Debug {
    /// Which of the kinds it is.
    fn kind(&self) -> Kind;

    /// The limb's pose.
    ///
    /// # Errors
    /// Where the mechanism cannot take this input.
    fn position(&self, at: &Input<f64>) -> Result<Solved<f64>, Blocked>;

    /// The limb's pose with its first two derivatives by the input's coordinate.
    ///
    /// # Errors
    /// Where the mechanism cannot take this input, and at dead centres.
    fn motion(&self, at: &Input<Jet>) -> Result<Solved<Jet>, Blocked>;

    /// Many positions for a shaft at `shaft` and a limb on the board: crank
    /// directions in, limb directions out.
    fn positions(&self, shaft: BoardPoint, crank: &[Dir], out: &mut Sweep) {
        out.clear();
        for &dir in crank {
            let input = Input {
                driver: Body::still(shaft.x, shaft.y, dir),
                host: Body::still(0.0, 0.0, Dir::EAST),
                coordinate: dir.angle().0,
            };
            match self.position(&input) {
                Ok(s) => out.push(s.limb.axis(), s.push),
                Err(_) => out.push_blocked(),
            }
        }
    }

    /// On which side its lever lies, of the kinds that can be put together two ways
    /// and say so.
    fn assembly(&self) -> Option<Assembly> {
        None
    }

    /// The same with its limb's pivot at another place of the board, and motor, anchor and
    /// eyes where they are; `None` of the kinds that are not looked at so, and where the
    /// sizes make no mechanism there.
    fn on_pivot(&self, _pivot: BoardPoint) -> Option<Arc<dyn Mechanism>> {
        None
    }

    /// The rod by which it closes, from a pin that stands on the board where the input has
    /// it, and how far that pin moves or the rod grows by a unit of the coordinate at most;
    /// `None` of the kinds that are not looked at so.
    fn closing(&self, _at: &Input<f64>) -> Option<(Rod, f64)> {
        None
    }

    /// The cam that it is, of the one kind whose parts are cut to a curve.
    fn as_cam(&self) -> Option<&cam::Cam> {
        None
    }

    /// How the limb is held; a pivot, unless the kind has it slide.
    fn guide(&self) -> Guide {
        Guide::Pivot
    }

    /// The line along which the limb, that stands at `limb`, is pushed; `None` where it
    /// is turned by a couple alone, or where the kind does not tell.
    fn thrust(&self, _at: &Input<f64>, _limb: &Body<f64>) -> Option<Thrust> {
        None
    }

    /// The ends of its rod: a pin of the driver and a pin of the limb, each along the
    /// body's axis and left of it, mm; `None` where no bar pushes.
    fn rod(&self) -> Option<[[f64; 2]; 2]> {
        None
    }

    /// Where its pins are with the limb at `limb`, in the order in which the push runs
    /// through them; none where nothing is pinned.
    fn pins(&self, _at: &Input<f64>, _limb: &Body<f64>) -> Pins {
        Pins::new()
    }

    /// The outline of the disc on its shaft, where it has one: about the shaft, as it
    /// lies with the motor at 0.
    fn disc(&self) -> Vec<BoardPoint> {
        Vec::new()
    }

    /// The share by which a pull grows on its way to the limb, for eyes of this
    /// coefficient of friction: 1 for everything that is pushed straight.
    fn drag(&self, _at: &Input<f64>, _friction: f64) -> f64 {
        1.0
    }

    /// The limb's extremes over the whole of a path.
    ///
    /// # Errors
    /// The first thing in the way along the path.
    fn limits(&self, path: &dyn Path) -> Result<Travel, Blocked> {
        sweep::sampled_limits(&|c| self.motion(&path.motion(c)?), path.span(), self.guide())
    }

    /// Every value of the actuator's coordinate along the path, ascending, that
    /// brings the limb to a stand.
    ///
    /// # Errors
    /// The first thing in the way along the path.
    fn inverse(&self, stand: Stand, path: &dyn Path) -> Result<Vec<f64>, Blocked> {
        let guide = self.guide();
        let at = |c| Ok(guide.stand(&self.position(&path.at(c)?)?.limb));
        sweep::sampled_inverse(&at, stand, path.span())
    }
}
