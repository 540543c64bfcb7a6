//! What a ram or an air cylinder is asked for: to sweep from end to end, or to turn
//! to places of its own and stay there.

use super::asked::{Counted, Motion};
use super::{Bench, checks};
use crate::finding::Spanned;
use crate::mechanism::Strut;
use crate::mechanism::solve::usual_tolerance;
use crate::model::{Action, Gesture, Joint};
use crate::units::Deg;

/// The motion asked for.
#[derive(Clone, Copy)]
pub(super) struct Wanted<'a> {
    /// The outermost places.
    pub motion: Motion<'a>,
    /// Whether they are the ends of a sweep, which the strut's own ends must be; else
    /// it need only come so far.
    pub ends: bool,
}

impl<'a> Bench<'a> {
    /// Reports the gestures a strut cannot make.
    pub(super) fn strut_gestures(&mut self, strut: Strut) {
        match (strut, matches!(self.limb.joint, Joint::Slide { .. })) {
            (Strut::Ram, false) => self.refuse_gestures(
                "a ram",
                |a| {
                    matches!(
                        a,
                        Action::Sweep { .. }
                            | Action::Turn { .. }
                            | Action::Pose(_)
                            | Action::On
                            | Action::Off
                    )
                },
                "`turn to A over T`, `pose A`, `sweep A to B`, `on` and `off`",
            ),
            (Strut::Ram, true) => self.refuse_gestures(
                "a ram",
                |a| matches!(a, Action::Stroke { .. } | Action::On | Action::Off),
                "`stroke A to B`, `on` and `off`",
            ),
            (Strut::Cylinder, false) => self.refuse_gestures(
                "a cylinder",
                |a| {
                    matches!(
                        a,
                        Action::Sweep { .. }
                            | Action::Turn { .. }
                            | Action::Pose(_)
                            | Action::Pulse { .. }
                            | Action::On
                            | Action::Off
                    )
                },
                "`pulse up for T`, `on`, `off`, `sweep A to B` and `turn to` one of its ends",
            ),
            (Strut::Cylinder, true) => self.refuse_gestures(
                "a cylinder",
                |a| {
                    matches!(
                        a,
                        Action::Stroke { .. } | Action::Pulse { .. } | Action::On | Action::Off
                    )
                },
                "`pulse up for T`, `on`, `off` and `stroke A to B`",
            ),
        }
    }

    /// The motion of a strut on a pivot: its sweep, else what lies between the places
    /// it is to turn to and its rest.
    pub(super) fn strut_wanted(&mut self) -> Option<Wanted<'a>> {
        if let Some(motion) = self.motion_asked() {
            return Some(Wanted { motion, ends: true });
        }
        let (gesture, _) = self.stops().find_map(|(g, a)| Some((g?, a)))?;
        let angles = || self.stops().map(|(_, a)| a.value.0);
        let (from, to) =
            (angles().fold(f64::INFINITY, f64::min), angles().fold(f64::NEG_INFINITY, f64::max));
        let within = usual_tolerance(Deg(to - from)).0;
        let counted = Counted::Degrees;
        (to > from).then_some(Wanted {
            motion: Motion { gesture, counted, from, to, within },
            ends: false,
        })
    }

    /// Every angle it is to turn to and stay at, its rest last, each in the turn of
    /// the circle nearest to the first.
    pub(super) fn stops(
        &self,
    ) -> impl Iterator<Item = (Option<&'a Gesture>, Spanned<Deg>)> + use<'a> {
        let limb = self.limb;
        let told = limb.gestures.iter().filter_map(|g| match &g.action {
            Action::Turn { to, .. } | Action::Pose(to) => Some((Some(g), *to)),
            _ => None,
        });
        let mut first: Option<Deg> = None;
        told.chain(limb.rest.map(|r| (None, r))).map(move |(g, angle)| {
            let near = *first.get_or_insert(angle.value);
            let turns = checks::turns_between(near, angle.value);
            (g, angle.map(|a| a + Deg(360.0 * turns)))
        })
    }
}
