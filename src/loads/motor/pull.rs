//! How fast a limb moves against its motor, and what holds it still.

use crate::fit::{Fitted, Follows};
use crate::geometry::{Body, Jet};
use crate::loads::MassProperties;
use crate::loads::mass::GRAVITY;
use crate::mechanism::{Guide, Travel};
use crate::model::Limb;

/// Places looked at along the way of a ram or round a turn.
const SAMPLES: usize = 180;

/// The fastest a limb moves for each radian of its motor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fastest {
    /// Rad, or mm along the guide.
    pub rate: f64,
    /// Whether it slides.
    pub slides: bool,
}

/// Values over the whole way, ends included; places where the mechanism stands still are
/// left out.
fn along<T>(follows: &Follows<'_>, value: impl Fn(&Body<Jet>) -> T) -> Vec<T> {
    let span = follows.path.span();
    (0..=SAMPLES)
        .filter_map(|i| {
            let c = span.from + (span.to - span.from) * i as f64 / SAMPLES as f64;
            let limb = follows.mechanism.motion(&follows.path.motion(c).ok()?).ok()?.limb;
            Some(value(&limb))
        })
        .collect()
}

/// Turn of the limb for each unit of the coordinate, rad.
fn turning(limb: &Body<Jet>) -> f64 {
    limb.cos.v * limb.sin.d - limb.sin.v * limb.cos.d
}

/// How fast a limb moves where it is fastest; `None` where its mechanism has no path.
#[must_use]
pub fn fastest(fitted: &Fitted) -> Option<Fastest> {
    if let Fitted::Spin(spin) = fitted {
        return Some(Fastest { rate: spin.ratio.abs(), slides: false });
    }
    let follows = fitted.follows()?;
    let slides = matches!(follows.mechanism.guide(), Guide::Slide(_));
    let rate = |limb: &Body<Jet>| {
        if slides { libm::hypot(limb.x.d, limb.y.d) } else { turning(limb).abs() }
    };
    let known = match follows.travel {
        Some(Travel::Swing(limits)) => limits.most_speed,
        Some(Travel::Stroke(limits)) => limits.most_speed,
        None => f64::INFINITY,
    };
    // At a toggle no number is the fastest: then that of the looks, near it.
    let looked = || along(&follows, rate).into_iter().fold(0.0, f64::max);
    let rate = if known.is_finite() { known } else { looked() };
    (rate > 0.0).then_some(Fastest { rate, slides })
}

/// The torque that holds a limb still with its axis at an angle, N.m, positive
/// counter-clockwise.
pub(in crate::loads) fn holding(
    limb: &Limb,
    mass: &MassProperties,
    axis: crate::units::Deg,
) -> f64 {
    let (sin, cos) = libm::sincos(axis.rad().0);
    let beside = (mass.centre.x * cos - mass.centre.y * sin) * 1e-3;
    mass.mass.0 * GRAVITY * beside - limb.load.map_or(0.0, |l| l.0)
}
