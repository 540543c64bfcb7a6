//! A limb whose motor rides on the limb that carries it: looked at from the carrier.
//!
//! Motor, pivot and limb turn with the carrier as one piece, so that the mechanism is
//! the same whatever the carrier does, and its angles are those between the two limbs.
//! It is computed on the figure as the carrier sees it: everything drawn on the carrier
//! is turned about the limb's pivot until the carrier's axis points along +x. The
//! limb's angle on the board is the carrier's angle and its own added up (R. L. Norton,
//! *Design of Machinery*, on relative angular position).

use std::sync::Arc;

use super::{Bench, Fitted, FittedLimb};
use super::{carried, upper};
use crate::finding::Finding;
use crate::geometry::{BoardPoint, Dir};
use crate::mechanism::Way;
use crate::model::{Action, DriveKind, Figure, Joint, Limb, Mirrors, Note, Source};
use crate::units::{Deg, Mm};

/// What a limb with a motor on its carrier is computed on.
#[derive(Clone, Debug)]
pub struct Riding {
    /// The limb that carries it and its motor.
    pub carrier: usize,
    /// The carrier's angle on the board while it rests: angles of the board that are
    /// said of the limb hold then.
    pub at_rest: Deg,
    /// The figure as the carrier sees it: motor, joint, tip, gestures and rest of this
    /// one limb in angles from the carrier's axis; the other limbs as they were.
    pub figure: Arc<Figure>,
}

impl Riding {
    /// Of a limb; `None` where its motor does not ride, or the carrier's axis is not
    /// known.
    pub(super) fn of(figure: &Figure, limb: usize, done: &[Option<FittedLimb>]) -> Option<Self> {
        let carrier = figure.limbs[limb].carrier.filter(|_| figure.motor_rides(limb))?;
        let (drawn, at_rest) = match figure.limbs[carrier].joint {
            Joint::Slide { .. } => (Dir::EAST, Deg(0.0)),
            Joint::Pivot { .. } => {
                let axis = upper::axis(&figure.limbs[carrier])?;
                let fitted = done.get(carrier).and_then(Option::as_ref);
                (axis, standing(&figure.limbs[carrier], fitted).unwrap_or_else(|| axis.deg()))
            }
        };
        let figure = seen(figure, limb, drawn.inverse(), at_rest)?;
        Some(Self { carrier, at_rest, figure: Arc::new(figure) })
    }

    /// What an action asks, in angles from the carrier: one that counts from it already
    /// stays as it is, one in angles of the board is taken with the carrier at rest.
    #[must_use]
    pub fn action(&self, action: &Action) -> Action {
        shifted(action, -self.at_rest)
    }

    /// Adds to a finding about the limb what its angles count from.
    pub fn told(&self, finding: &mut Finding) {
        let carrier = self.figure.limbs[self.carrier].said();
        let said = format!(" (Angles count from {carrier}.)");
        if finding.message.contains(" deg") && !finding.message.ends_with(&said) {
            finding.message.push_str(&said);
        }
    }

    /// Notes at which place of the carrier the limb's angles on the board are taken.
    pub(super) fn assumed(&self, limb: &Limb) -> Option<Note> {
        let absolute = limb.gestures.iter().any(|g| !g.relative && has_angle(&g.action));
        let said = absolute || limb.rest.is_some() || limb.parks.is_some();
        said.then(|| {
            let carrier = &self.figure.limbs[self.carrier].name.value;
            let at = crate::units::print::decimal(self.at_rest.0, 1);
            Note::new(format!("its angles on the board with {carrier} at {at} deg"), "bend A to B")
        })
    }
}

impl FittedLimb {
    /// How far a limb whose motor rides with it is turned from where it is drawn, seen
    /// from its carrier, least and most; `None` where it slides, turns on and on, or is
    /// not computed.
    #[must_use]
    pub fn turned_from_drawing(&self, limb: usize) -> Option<(Deg, Deg)> {
        let riding = self.riding.as_ref()?;
        let drawn = upper::axis(&riding.figure.limbs[limb])?.deg();
        let (low, high) = carried::own_range(self.mechanism.as_ref()?)?;
        let low_turned = (low - drawn).signed();
        Some((low_turned, low_turned + (high - low)))
    }
}

impl Bench<'_> {
    /// Whether the limb is looked at from what carries it.
    pub(super) fn on_carrier(&self) -> bool {
        !std::ptr::eq(self.figure, self.drawn)
    }
}

/// Where a limb stands while nobody tells it anything: at its rest, where it parks, or
/// where its mechanism is without power; `None` where only the drawing shows it.
#[must_use]
pub fn standing(limb: &Limb, fitted: Option<&FittedLimb>) -> Option<Deg> {
    if let Some(said) = limb.rest.or(limb.parks) {
        return Some(said.value);
    }
    let on = |fitted: &FittedLimb| fitted.riding.as_ref().map_or(Deg(0.0), |r| r.at_rest);
    let mechanism = fitted?.mechanism.as_ref()?;
    let own = match mechanism {
        Fitted::Servo(servo) => (servo.low + servo.high) / 2.0,
        Fitted::Spin(_) => return None,
        Fitted::FourBar(_) | Fitted::Drive(_) => {
            let follows = mechanism.follows()?;
            let limits = *follows.travel?.swing()?;
            let drive = mechanism.as_drive();
            let by_length = drive.filter(|d| matches!(d.made().way.source(), Way::Extending(_)));
            let wound =
                limb.drive.as_ref().is_some_and(|d| matches!(d.mechanism, DriveKind::Cord(_)));
            let span = follows.path.span();
            match by_length {
                None => limits.low,
                // A strut is drawn in, a cord let out.
                Some(_) => {
                    let at = if wound { span.to } else { span.from };
                    follows.limb_at(at, super::Pose::Turned(limits.low))?.angle()?
                }
            }
        }
    };
    Some(own + on(fitted?))
}

fn has_angle(action: &Action) -> bool {
    matches!(
        action,
        Action::Sweep { .. }
            | Action::Turn { .. }
            | Action::Pose(_)
            | Action::Follow { range: Some(_), .. }
    )
}

/// An action with its angles turned on.
fn shifted(action: &Action, by: Deg) -> Action {
    let on = |a: crate::finding::Spanned<Deg>| a.map(|a| a + by);
    match action.clone() {
        Action::Sweep { from, to, within, cycle, accent, easing } => Action::Sweep {
            from: on(from),
            to: on(to),
            within,
            cycle,
            accent: accent.map(on),
            easing,
        },
        Action::Turn { to, over } => Action::Turn { to: on(to), over },
        Action::Pose(to) => Action::Pose(on(to)),
        Action::Follow { source, band, range, smoothing } => {
            let range = range.map(|(a, b)| (a + by, b + by));
            Action::Follow { source, band, range, smoothing }
        }
        other => other,
    }
}

/// The figure with what is drawn on a limb's carrier turned by `back` about the limb's
/// joint, and the limb's own angles of the board counted from the carrier at rest.
fn seen(figure: &Figure, index: usize, back: Dir, at_rest: Deg) -> Option<Figure> {
    let limb = &figure.limbs[index];
    let centre = match limb.joint {
        Joint::Pivot { at, .. } => at?,
        Joint::Slide { from, .. } => from,
    };
    let turned = |p: BoardPoint| centre + (p - centre).turned(back);
    let angle = |a: Deg| a - at_rest;
    let mut seen = figure.clone();
    // Board and frame stay behind: nothing here is held against them.
    seen.board.outline = None;
    seen.frame.clear();
    if let Some(Source::Motor(motor)) = limb.drive.as_ref().map(|d| d.source) {
        let own = &mut seen.actuators[motor];
        (own.at, own.at_open) = (own.at.map(turned), None);
    }
    let own = &mut seen.limbs[index];
    own.carrier = None;
    // In the two carriers' planes an image is the other turned over about the axis: seen in
    // a mirror across it, and turned half round.
    own.mirrors = own.mirrors.take().map(|m| Mirrors { line: Mm(centre.x), ..m });
    own.tip = own.tip.map(turned);
    if let Joint::Slide { from, to } = &mut own.joint {
        (*from, *to) = (turned(*from), turned(*to));
    }
    match own.drive.as_mut().map(|d| &mut d.mechanism) {
        Some(DriveKind::Strut(strut)) => {
            strut.anchor = strut.anchor.map(turned);
            // Where a place was found for it, it stands there; else nothing is known of it.
            strut.anchor_open = strut.anchor_open.filter(|_| strut.anchor.is_some());
        }
        Some(DriveKind::Cord(cord)) => cord.guides.iter_mut().for_each(|p| *p = turned(*p)),
        Some(DriveKind::Servo(servo)) => {
            servo.zero.size = servo.zero.size.mapped(|a| angle(Deg(a)).0);
        }
        _ => {}
    }
    for gesture in own.gestures.iter_mut().filter(|g| !g.relative) {
        gesture.action = shifted(&gesture.action, -at_rest);
    }
    own.rest = own.rest.map(|r| r.map(angle));
    own.parks = own.parks.map(|p| p.map(angle));
    let ends = own.measured.ends.map(|e| e.map(|(a, b)| (angle(a), angle(b))));
    own.measured.ends = ends;
    Some(seen)
}
