//! Where a limb stands at a crank angle, and which crank angles put it there.

use crate::mechanism::{Assembly, FourBar};
use crate::units::{Deg, Rad};

/// Direction of a vector, degrees.
fn direction(x: f64, y: f64) -> f64 {
    Rad(libm::atan2(y, x)).deg().0
}

/// cos and sin of degrees.
fn unit(angle: f64) -> (f64, f64) {
    let r = Deg(angle).rad().0;
    (libm::cos(r), libm::sin(r))
}

/// The angle between sides `a` and `b` of a triangle whose third side is `c`, in
/// degrees; `None` where no such triangle closes (a hair of rounding is let pass).
fn corner(a: f64, b: f64, c: f64) -> Option<f64> {
    let cosine = (a * a + b * b - c * c) / (2.0 * a * b);
    (cosine.abs() <= 1.0 + 1e-9).then(|| Rad(libm::acos(cosine.clamp(-1.0, 1.0))).deg().0)
}

/// +1 where the lever pin lies left of the line from crank pin to pivot.
const fn side(assembly: Assembly) -> f64 {
    match assembly {
        Assembly::Open => 1.0,
        Assembly::Crossed => -1.0,
    }
}

/// The limb's angle at a crank angle, within half a turn of `near`.
#[must_use]
pub fn limb_at(bar: &FourBar, crank: Deg, near: Deg) -> Option<Deg> {
    let (cos, sin) = unit(crank.0);
    let (x, y) = (
        bar.motor.x + bar.crank.0 * cos - bar.pivot.x,
        bar.motor.y + bar.crank.0 * sin - bar.pivot.y,
    );
    let r = libm::sqrt(x * x + y * y);
    // The corner at the pivot between crank pin and lever pin. Left of the line
    // from crank pin to pivot is clockwise of the pin seen from the pivot.
    let at_pivot = corner(bar.lever.0, r, bar.rod.0)?;
    let lever = direction(x, y) - side(bar.assembly) * at_pivot;
    Some(unwrap(lever - bar.clamp.0, near.0))
}

/// The angle a whole number of turns from `angle` that is nearest to `near`.
fn unwrap(angle: f64, near: f64) -> Deg {
    Deg(angle - 360.0 * ((angle - near) / 360.0).round())
}

/// The crank angles in [0, 360) that put the limb at an angle: none, one (a dead
/// centre) or two.
#[must_use]
pub fn cranks_at(bar: &FourBar, limb: Deg) -> Vec<Deg> {
    let (cos, sin) = unit(limb.0 + bar.clamp.0);
    let (x, y) = (
        bar.pivot.x + bar.lever.0 * cos - bar.motor.x,
        bar.pivot.y + bar.lever.0 * sin - bar.motor.y,
    );
    let r = libm::sqrt(x * x + y * y);
    let Some(at_motor) = corner(bar.crank.0, r, bar.rod.0) else { return Vec::new() };
    let mut found: Vec<Deg> = [at_motor, -at_motor]
        .into_iter()
        .map(|s| Deg(direction(x, y) + s).positive())
        .filter(|&c| limb_at(bar, c, limb).is_some_and(|l| (l - limb).abs().0 < 1e-4))
        .collect();
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    found.dedup_by(|a, b| (*a - *b).abs().0 < 1e-6);
    found
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

/// The ends of the swing of a crank that goes right round: there crank and rod
/// lie in one line, stretched or folded. Angles near `near`.
#[must_use]
pub fn ends(bar: &FourBar, near: Deg) -> Option<Ends> {
    let (x, y) = (bar.pivot.x - bar.motor.x, bar.pivot.y - bar.motor.y);
    let ground = libm::sqrt(x * x + y * y);
    let turn = side(bar.assembly);
    let stretched = corner(ground, bar.rod.0 + bar.crank.0, bar.lever.0)?;
    let folded = corner(ground, bar.rod.0 - bar.crank.0, bar.lever.0)?;
    // The lever pin lies left of the ground line exactly when it lies left of the
    // line from crank pin to pivot, since crank pin, shaft and lever pin line up.
    let crank_out = Deg(direction(x, y) + turn * stretched).positive();
    let crank_in = Deg(direction(x, y) + turn * folded + 180.0).positive();
    let out = limb_at(bar, crank_out, near)?;
    let inside = limb_at(bar, crank_in, out)?;
    Some(if out.0 <= inside.0 {
        Ends { low: out, crank_at_low: crank_out, high: inside, crank_at_high: crank_in }
    } else {
        Ends { low: inside, crank_at_low: crank_in, high: out, crank_at_high: crank_out }
    })
}

/// The crank angles for a limb angle that may lie a little beyond the swing's
/// end, where the end itself is meant: nothing where it lies more than `slack`
/// beyond.
#[must_use]
pub fn cranks_near(bar: &FourBar, limb: Deg, slack: Deg) -> Vec<Deg> {
    let found = cranks_at(bar, limb);
    if !found.is_empty() {
        return found;
    }
    let Some(ends) = ends(bar, limb) else { return found };
    if (limb - ends.high).abs().0 <= slack.0 {
        vec![ends.crank_at_high]
    } else if (limb - ends.low).abs().0 <= slack.0 {
        vec![ends.crank_at_low]
    } else {
        found
    }
}
