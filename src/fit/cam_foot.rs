//! What of a limb on a guide lies on its cam, and how far beside the shaft.

use super::Bench;
use super::checks::BUILD_ERROR;
use super::slider_crank::Guided;
use crate::mechanism::cam::SlidingFoot;
use crate::model::{CamDrive, CamFoot, Note};
use crate::units::Mm;
use crate::units::print::length;

impl Bench<'_> {
    /// What lies on the cam: its roller as far beside the shaft as is said, else as the guide
    /// is drawn beside it, as with every other drive of a limb on a guide.
    pub(super) fn sliding_foot(
        &mut self,
        said: &CamDrive,
        guided: &Guided,
        up: bool,
        roller: Mm,
    ) -> SlidingFoot {
        // Looking the way the cam lifts, the guide lies right of a shaft that lies left of it.
        let drawn = guided.left() * if up { -1.0 } else { 1.0 };
        let system = self.figure.system;
        let beside = length(drawn.abs(), system);
        if said.foot == CamFoot::Flat {
            if drawn.abs() > BUILD_ERROR {
                let what = format!("its flat face reaches to its shaft, {beside} beside its guide");
                self.assumed.push(Note::new(what, ""));
            }
            return SlidingFoot::Flat;
        }
        let offset = said.offset.unwrap_or(drawn);
        if (offset - drawn).abs() > BUILD_ERROR {
            let side = |off: Mm| {
                let side = if off.0 < 0.0 { "right" } else { "left" };
                format!("{} {side} of", length(off.abs(), system))
            };
            let what = format!(
                "its roller passes {} the shaft, as `offset` says; on the drawing the guide lies {} it",
                side(offset),
                side(drawn)
            );
            self.assumed.push(Note::new(what, format!("offset {}", length(drawn, system))));
        }
        SlidingFoot::Roller { radius: roller, offset }
    }
}
