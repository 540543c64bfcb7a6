//! Which of a shaft's angles put a limb where it should be.

use crate::fit::{Built, Ends, Follows, Pose};
use crate::geometry::Dir;
use crate::mechanism::Stand;
use crate::units::{Deg, Mm, Rad};

/// Beyond its ends a horn's direction is rounding, rad.
const HAIR: f64 = 1e-9;

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

/// The direction of the horn that holds a limb at an angle by its cord: over the way
/// of a horn the limb turns one way, so there is one. An angle beyond its ends is taken
/// to the nearer one.
#[must_use]
pub fn horn_at(built: &Built, limb: Deg) -> Option<Deg> {
    let ends = *built.course.travel.swing()?;
    let half = ends.range() / 2.0;
    let off = (limb - (ends.low + half)).signed();
    if off.abs() >= half {
        return Some(Rad(if off.0 < 0.0 { ends.at_low } else { ends.at_high }).deg());
    }
    let found = built.mechanism.inverse(Stand::Turned(Dir::degrees(limb)), &built.way).ok()?;
    let (from, to) = (ends.at_low.min(ends.at_high), ends.at_low.max(ends.at_high));
    let between = |at: &f64| (from - HAIR..=to + HAIR).contains(at);
    found.into_iter().find(between).map(|at| Rad(at.clamp(from, to)).deg())
}
