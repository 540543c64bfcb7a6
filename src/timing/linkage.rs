//! Which of a shaft's angles put a limb where it should be.

use crate::fit::{Built, Ends, Follows, Pose};
use crate::geometry::{Bracket, Dir, root};
use crate::mechanism::{Path as _, Stand};
use crate::units::{Deg, Mm, Rad};

/// How closely a horn's direction is found, rad.
const HAIR: f64 = 1e-14;

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
    let middle = ends.low + ends.range() / 2.0;
    let told = (limb - middle).signed();
    // How far beyond the angle the limb stands.
    let off = |turn: f64| -> Option<f64> {
        let pose = built.mechanism.position(&built.way.at(turn).ok()?).ok()?;
        Some(((pose.limb.axis().deg() - middle).signed() - told).0)
    };
    let (below, above) = ((ends.low - middle - told).0, (ends.high - middle - told).0);
    let horn = match Bracket::new(ends.at_low, below, ends.at_high, above) {
        Some(bracket) => root(bracket, HAIR, |turn| off(turn).unwrap_or(f64::NAN)),
        None if below > 0.0 => ends.at_low,
        None => ends.at_high,
    };
    Some(Rad(horn).deg())
}
