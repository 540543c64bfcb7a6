//! Where a limb stands at a crank angle, and which crank angles put it there.

use crate::geometry::Dir;
use crate::mechanism::FourBar;
use crate::units::Deg;

/// The limb's angle at a crank angle, within half a turn of `near`; `None` where
/// the linkage does not close.
#[must_use]
pub fn limb_at(bar: &FourBar, crank: Deg, near: Deg) -> Option<Deg> {
    let (limb, _) = bar.at(Dir::degrees(crank)).ok()?;
    Some(unwrap(limb.deg(), near))
}

/// The angle a whole number of turns from `angle` that is nearest to `near`.
fn unwrap(angle: Deg, near: Deg) -> Deg {
    angle - Deg(360.0 * ((angle - near).0 / 360.0).round())
}

/// The two ends of the limb's swing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ends {
    /// Least limb angle.
    pub low: Deg,
    /// The crank there.
    pub crank_at_low: Deg,
    /// Largest limb angle.
    pub high: Deg,
    /// The crank there.
    pub crank_at_high: Deg,
}

/// The ends of the swing, angles near `near`; `None` where the limb has none.
#[must_use]
pub fn ends(bar: &FourBar, near: Deg) -> Option<Ends> {
    let motion = bar.analyse().motion?;
    let (low, high) = (motion.low?, motion.high?);
    let middle = (low + high) / 2.0;
    let turn = unwrap(middle, near) - middle;
    Some(Ends {
        low: low + turn,
        crank_at_low: motion.crank_at_low?,
        high: high + turn,
        crank_at_high: motion.crank_at_high?,
    })
}

/// The crank angles for a limb angle that may lie a little beyond the swing's
/// end, where the end itself is meant: nothing where it lies more than `slack`
/// beyond.
#[must_use]
pub fn cranks_near(bar: &FourBar, limb: Deg, slack: Deg) -> Vec<Deg> {
    let found = bar.cranks_for(Dir::degrees(limb));
    if !found.is_empty() {
        return found.into_iter().map(|c| c.deg().positive()).collect();
    }
    let Some(ends) = ends(bar, limb) else { return Vec::new() };
    if (limb - ends.high).abs().0 <= slack.0 {
        vec![ends.crank_at_high]
    } else if (limb - ends.low).abs().0 <= slack.0 {
        vec![ends.crank_at_low]
    } else {
        Vec::new()
    }
}
