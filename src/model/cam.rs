//! A cam drive as written.

use super::{Return, Sized};
use crate::finding::Place;
use crate::mechanism::cam::Law;
use crate::mechanism::solve::Prefer;
use crate::units::{Deg, Mm};

/// The cam as written; lengths in mm, clamp in deg.
#[derive(Clone, Debug)]
pub struct CamDrive {
    /// Radius of the base circle.
    pub base: Sized,
    /// How far the follower rises: along its slide, or the roller along its arc.
    pub lift: Sized,
    /// Radius of the roller.
    pub roller: Sized,
    /// Pivot to roller, of a limb that swings.
    pub lever: Sized,
    /// The lever's angle counter-clockwise from the limb's axis.
    pub clamp: Sized,
    /// What runs on the cam.
    pub foot: CamFoot,
    /// How far the roller passes left of the shaft, looking the way it is lifted.
    pub offset: Option<Mm>,
    /// How much nearer to the shaft a flat face is than the pivot's own line.
    pub stand_off: Option<Mm>,
    /// The motion law.
    pub law: Law,
    /// The rise and the dwell behind it.
    pub rise: Option<CamMove>,
    /// The fall and the dwell behind it.
    pub fall: Option<CamMove>,
    /// How often it does both in one turn.
    pub times: u32,
    /// The motor's turn at which the rise begins.
    pub starts: Option<Deg>,
    /// The disc itself, as far as it was said.
    pub disc: CamDisc,
    /// What presses the limb onto the cam.
    pub back: Option<Return>,
    /// What to prefer among answers, as it is said: of a cam it chooses nothing.
    pub prefer: Prefer,
}

/// The disc a cam is cut as.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct CamDisc {
    /// How thick it is.
    pub thick: Option<Mm>,
    /// Diameter of its bore on the shaft or hub.
    pub bore: Option<Mm>,
    /// Diameter of the bolts that hold it to its hub, and of the circle they lie on.
    pub bolts: Option<(Mm, Mm)>,
}

/// What runs on a cam.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum CamFoot {
    /// A roller.
    #[default]
    Roller,
    /// An edge.
    Knife,
    /// A flat face.
    Flat,
}

impl CamFoot {
    /// The words of the language, in order of the variants.
    pub const WORDS: &'static [&'static str] = &["roller", "knife", "flat"];
}

/// A rise or a fall.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CamMove {
    /// Over so much of the cam's turn.
    pub turn: Deg,
    /// The dwell behind it.
    pub dwell: Deg,
    /// Where it is written.
    pub place: Place,
}
