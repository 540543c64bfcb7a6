//! One file per kind of mechanism behind one trait.

use crate::geometry::BoardPoint;
use crate::units::{Deg, Mm};

/// Every mechanism of the language.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// Crank, rod, lever.
    FourBar,
    /// Crank pin in a slot.
    SlottedArm,
    /// Crank, rod, slide.
    SliderCrank,
    /// Crank pin in a cross slot of a slide.
    ScotchYoke,
    /// Cam and follower.
    Cam,
    /// Hobby servo.
    Servo,
    /// Electric linear actuator.
    Ram,
    /// Air cylinder.
    Cylinder,
    /// Cord.
    Cord,
    /// Continuous turning.
    Spin,
}

/// Which way a four-bar is put together, seen from the front.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Assembly {
    /// Lever pin left of the line from crank pin to limb pivot.
    Open,
    /// Right of it.
    Crossed,
}

/// What to prefer among answers.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Prefer {
    /// Largest worst push angle.
    #[default]
    Push,
    /// Largest share of builds inside tolerance.
    Build,
    /// Smallest torque.
    Light,
    /// Even to and fro.
    Even,
}

/// What the maker said of a length (mm) or angle (deg).
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Size {
    /// This much.
    Given(f64),
    /// Open.
    Free,
    /// Open within.
    Between {
        /// Least.
        lo: f64,
        /// Most.
        hi: f64,
    },
    /// Open, one of a row of holes.
    Row {
        /// First.
        lo: f64,
        /// Last.
        hi: f64,
        /// Step.
        step: f64,
    },
}

/// A four-bar with every size known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FourBar {
    /// Motor shaft.
    pub motor: BoardPoint,
    /// Limb pivot.
    pub pivot: BoardPoint,
    /// Crank.
    pub crank: Mm,
    /// Rod.
    pub rod: Mm,
    /// Lever.
    pub lever: Mm,
    /// Lever pin ccw from the limb's axis.
    pub clamp: Deg,
    /// Assembly.
    pub assembly: Assembly,
}
