//! Which of a shaft's angles put a limb where it should be.

use crate::fit::{Ends, Follows, Pose};
use crate::geometry::Dir;
use crate::mechanism::Stand;
use crate::units::{Deg, Mm, Rad};

/// The two ends of the limb's motion, angles near `near`; `None` where it has none.
#[must_use]
pub fn ends(follows: &Follows<'_>, near: Pose) -> Option<Ends> {
    let ends = Ends::of(follows.travel.as_ref()?);
    let (Pose::Turned(low), Pose::Turned(high)) = (ends.low, ends.high) else { return Some(ends) };
    let middle = (low + high) / 2.0;
    let turn = match Pose::Turned(middle).near(near) {
        Pose::Turned(told) => told - middle,
        Pose::Slid(_) => Deg(0.0),
    };
    Some(Ends { low: Pose::Turned(low + turn), high: Pose::Turned(high + turn), ..ends })
}

/// The limb with the shaft at an angle, told near to `near`.
#[must_use]
pub fn limb_at(follows: &Follows<'_>, shaft: Deg, near: Pose) -> Option<Pose> {
    follows.limb_at(shaft.rad().0, near)
}

/// The shaft's angles in [0, 360) for a place of the limb that may lie a little
/// beyond the end of its motion, where the end itself is meant: nothing where it
/// lies more than `slack` beyond, degrees or mm.
#[must_use]
pub fn shafts_near(follows: &Follows<'_>, limb: Pose, slack: f64) -> Vec<Deg> {
    let stand = match limb {
        Pose::Turned(angle) => Stand::Turned(Dir::degrees(angle)),
        Pose::Slid(way) => Stand::Slid(Mm(way.0)),
    };
    let angle = |coordinate: f64| Rad(coordinate).deg().positive();
    let found = follows.mechanism.inverse(stand, follows.path).unwrap_or_default();
    if !found.is_empty() {
        return found.into_iter().map(angle).collect();
    }
    let Some(ends) = ends(follows, limb) else { return Vec::new() };
    let off = |end: Pose| (limb.value() - end.value()).abs();
    if off(ends.high) <= slack {
        vec![angle(ends.at_high)]
    } else if off(ends.low) <= slack {
        vec![angle(ends.at_low)]
    } else {
        Vec::new()
    }
}
