//! How far a limb turns on the board, with what carries it.

use super::{Bench, Fitted, FittedFigure, FittedLimb, FittedServo};
use crate::model::{Action, DriveKind, Figure, Joint, Limb, Unpowered};
use crate::units::Deg;
use crate::units::print::decimal;

impl FittedFigure {
    /// Least and largest angle of a limb on the board over all that its own motor and
    /// those of the limbs that carry it do, each at its worst; of a servo or ram what is
    /// asked of it. `None` for a limb that slides, and where how it moves is not known.
    #[must_use]
    pub fn range(&self, index: usize) -> Option<(Deg, Deg)> {
        range(&self.figure, &|l| self.limbs.get(l), index, self.limbs.len())
    }

    /// Least and largest angle of a limb as its mechanism is computed: from its carrier
    /// where its motor rides on that. As [`FittedFigure::range`] else.
    #[must_use]
    pub fn own_range(&self, index: usize) -> Option<(Deg, Deg)> {
        let fitted = self.limbs.get(index)?;
        let seen = fitted.riding.as_ref().map_or(&self.figure, |r| &r.figure);
        own_range(seen.limbs.get(index)?, fitted.mechanism.as_ref()?)
    }

    /// How far the plane in which a limb is computed stands turned on the board at least
    /// and at most; `None` where the range of what carries it is not known.
    #[must_use]
    pub fn tilt(&self, index: usize) -> Option<(Deg, Deg)> {
        let carrier = self.limbs.get(index)?.riding.as_ref().map(|r| r.carrier);
        tilt(&self.figure, carrier, &|l| self.limbs.get(l), self.limbs.len())
    }
}

/// That of what is computed on a carrier, or on the board.
fn tilt<'f>(
    figure: &Figure,
    carrier: Option<usize>,
    fitted_limb: &dyn Fn(usize) -> Option<&'f FittedLimb>,
    depth: usize,
) -> Option<(Deg, Deg)> {
    let level = Some((Deg(0.0), Deg(0.0)));
    let Some(carrier) = carrier else { return level };
    match figure.limbs[carrier].joint {
        Joint::Slide { .. } => level,
        Joint::Pivot { .. } => range(figure, fitted_limb, carrier, depth),
    }
}

/// "(with head anywhere from 10 to 50 deg)", where the plane of a limb turns with what
/// carries it.
#[must_use]
pub fn tilted(carrier: Option<&Limb>, tilt: Option<(Deg, Deg)>) -> String {
    match (tilt, carrier) {
        (Some((low, high)), Some(carrier)) if low < high => format!(
            " (with {} anywhere from {} to {} deg)",
            carrier.name.value,
            decimal(low.0, 0),
            decimal(high.0, 0)
        ),
        _ => String::new(),
    }
}

impl Bench<'_> {
    /// How far the plane in which the limb is computed stands turned on the board at least
    /// and at most; `None` where the range of what carries it is not known.
    pub(super) fn tilt(&self) -> Option<(Deg, Deg)> {
        let own = self.drawn.limb(&self.limb.name.value);
        if self.on_carrier() && own.is_none() {
            return None;
        }
        let carrier = own.filter(|_| self.on_carrier()).and_then(|l| self.drawn.limbs[l].carrier);
        let done = |l: usize| self.done.get(l).and_then(Option::as_ref);
        tilt(self.drawn, carrier, &done, self.done.len())
    }

    /// "(with head anywhere from 10 to 50 deg)", where the limb's plane turns.
    pub(super) fn tilted(&self) -> String {
        let own = self.drawn.limb(&self.limb.name.value);
        let carrier = own.and_then(|l| self.drawn.limbs[l].carrier).map(|c| &self.drawn.limbs[c]);
        tilted(carrier, self.tilt())
    }
}

fn range<'f>(
    figure: &Figure,
    fitted_limb: &dyn Fn(usize) -> Option<&'f FittedLimb>,
    index: usize,
    depth: usize,
) -> Option<(Deg, Deg)> {
    let (limb, fitted) = (figure.limbs.get(index)?, fitted_limb(index)?);
    if limb.poisoned || matches!(limb.joint, Joint::Slide { .. }) {
        return None;
    }
    let depth = depth.checked_sub(1)?;
    let sum = |a: (Deg, Deg), b: (Deg, Deg)| (a.0 + b.0, a.1 + b.1);
    match (&fitted.riding, limb.carrier, &limb.drive) {
        (Some(riding), ..) => {
            let own = own_range(&riding.figure.limbs[index], fitted.mechanism.as_ref()?)?;
            let on = match figure.limbs[riding.carrier].joint {
                Joint::Slide { .. } => (Deg(0.0), Deg(0.0)),
                Joint::Pivot { .. } => range(figure, fitted_limb, riding.carrier, depth)?,
            };
            Some(sum(own, on))
        }
        // Nothing moves it against its carrier.
        (None, Some(carrier), None) => {
            let own = limb.drawn()?.1.deg();
            if let Joint::Slide { .. } = figure.limbs[carrier].joint {
                return Some((own, own));
            }
            let drawn = figure.limbs[carrier].drawn()?.1.deg();
            let (low, high) = range(figure, fitted_limb, carrier, depth)?;
            Some((low - drawn + own, high - drawn + own))
        }
        (None, None, None) => limb.drawn().map(|d| (d.1.deg(), d.1.deg())),
        (None, ..) => {
            let mechanism = fitted.mechanism.as_ref()?;
            if mechanism.figure("carrier_low").is_some() {
                let named = |name| mechanism.figure_angle(name);
                return Some((named("carried_low")?, named("carried_high")?));
            }
            own_range(limb, mechanism)
        }
    }
}

/// The angles of a limb as its mechanism is computed.
fn own_range(limb: &Limb, mechanism: &Fitted) -> Option<(Deg, Deg)> {
    match mechanism {
        Fitted::Servo(servo) => Some(asked(limb, Some(servo), (servo.low, servo.high))),
        Fitted::Spin(_) => Some((Deg(0.0), Deg(360.0))),
        Fitted::FourBar(_) | Fitted::Drive(_) => {
            let limits = *mechanism.follows()?.travel?.swing()?;
            let ends = (limits.low, limits.high);
            let strut =
                limb.drive.as_ref().is_some_and(|d| matches!(d.mechanism, DriveKind::Strut(_)));
            Some(if strut { asked(limb, None, ends) } else { ends })
        }
    }
}

/// The angles the gestures ask for, where a motor stops anywhere, and where the limb lies
/// without power; the whole reach where none do.
#[must_use]
pub fn asked(limb: &Limb, servo: Option<&FittedServo>, (low, high): (Deg, Deg)) -> (Deg, Deg) {
    let mut asked: Vec<Deg> = Vec::new();
    for gesture in &limb.gestures {
        let (a, b) = match &gesture.action {
            Action::Sweep { from, to, .. } => (from.value, to.value),
            Action::Turn { to, .. } | Action::Pose(to) => (to.value, to.value),
            Action::Follow { range: Some((a, b)), .. } => (*a, *b),
            _ => return (low, high),
        };
        let turn = match servo {
            Some(servo) => servo.turn_for((a, b)),
            None => Deg(360.0 * libm::round(((low + high) / 2.0 - (a + b) / 2.0).0 / 360.0)),
        };
        asked.extend([a + turn, b + turn]);
    }
    if asked.is_empty() {
        return (low, high);
    }
    let lies = match limb.unpowered {
        Some(Unpowered::Turned(at)) => Some(at),
        _ => None,
    };
    asked.extend(limb.rest.iter().map(|r| r.value).chain(lies).map(|at| match servo {
        Some(servo) => at + servo.turn_for((at, at)),
        None => at,
    }));
    let least = asked.iter().copied().fold(high, Deg::min);
    let most = asked.iter().copied().fold(low, Deg::max);
    (least.max(low), most.min(high))
}
