//! The figure from the front: every part where it stands at the two ends of its limb's
//! motion. What a drawing needs, and nothing that a drawing would have to compute.

use super::distance::Corner;
use super::ride;
use super::stack::{Part, Role, Stack};
use super::track::{self, Track};
use crate::fit::{Ends, Fitted, FittedFigure};
use crate::geometry::Dir;
use crate::model::{DriveKind, Joint};
use crate::units::{Deg, Rad};

/// Which of its places a part is drawn in.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stand {
    /// It does not move, or only as drawn is known.
    Still,
    /// At the lower end of its limb's motion.
    Low,
    /// At the upper end.
    High,
    /// The circle its farthest corner goes round in.
    Round,
}

/// A part as it stands, on the board.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawn {
    /// What it is.
    pub role: Role,
    /// The limb it belongs to.
    pub limb: Option<usize>,
    /// Which of its places this is.
    pub stand: Stand,
    /// Its corners, mm; one is a disc, two are a bar or a rod.
    pub corners: Vec<Corner>,
    /// A radius about them, mm.
    pub radius: f64,
}

/// Every part, in the order of the stack.
pub(super) fn elevation(fitted: &FittedFigure, stack: &Stack<'_>) -> Vec<Drawn> {
    let mut drawn: Vec<Drawn> = stack.parts.iter().flat_map(|p| part(fitted, p)).collect();
    for limb in 0..fitted.figure.limbs.len() {
        drawn.extend(servo_bars(fitted, limb));
        drawn.extend(marks(fitted, limb));
    }
    drawn.extend(motors(fitted, &drawn));
    drawn.retain(|d| d.corners.iter().flatten().all(|v| v.is_finite()) && d.radius.is_finite());
    drawn
}

fn part(fitted: &FittedFigure, part: &Part<'_>) -> Vec<Drawn> {
    let drawn = |stand, corners| Drawn {
        role: part.layer.role,
        limb: part.limb,
        stand,
        corners,
        radius: part.radius,
    };
    let moved = |track: &Track<'_>, (low, high): (f64, f64)| {
        let ends = [(Stand::Low, low), (Stand::High, high)];
        let place = |(stand, at)| {
            let mut corners = Vec::new();
            track.place(at, &part.corners, &mut corners).then(|| drawn(stand, corners))
        };
        ends.into_iter().filter_map(place).collect::<Vec<_>>()
    };
    let shaft = match (&part.shaft, &part.own) {
        (Some(track), _) => Some(track),
        (None, own @ Track::Shaft(_)) => Some(own),
        _ => None,
    };
    let ends = part.limb.and_then(|l| track::ends(fitted, l));
    if let (Some(track), Some(ends)) = (shaft, ends) {
        return moved(track, ends);
    }
    if let Track::Ride(ride) = &part.own {
        let coords = ride.coords();
        let place = |stand, at: Vec<f64>| {
            let mut corners = Vec::new();
            ride::place(&part.own, &at, &part.corners, &mut corners).then(|| drawn(stand, corners))
        };
        let low = place(Stand::Low, coords.iter().map(|c| c.from).collect());
        let high = place(Stand::High, coords.iter().map(|c| c.to).collect());
        return low.into_iter().chain(high).collect();
    }
    match &part.own {
        Track::Still => vec![drawn(Stand::Still, part.corners.clone())],
        // One end is as good as the other where it turns on and on, or stands.
        Track::Turn { pivot, from, to } if spins(fitted, part.limb) || from == to => {
            let axis = part.limb.and_then(|l| fitted.figure.limbs[l].drawn()).map(|(_, axis)| axis);
            let mut corners = Vec::new();
            let at = axis.map_or(*from, |a| a.angle().0);
            part.own.place(at, &part.corners, &mut corners);
            let round = Drawn {
                corners: vec![[pivot.x, pivot.y]],
                radius: track::farthest(&part.corners) + part.radius,
                ..drawn(Stand::Round, Vec::new())
            };
            let round = spins(fitted, part.limb).then_some(round);
            std::iter::once(drawn(Stand::Still, corners)).chain(round).collect()
        }
        own => own.span().map_or(Vec::new(), |span| moved(own, span)),
    }
}

/// Whether a limb turns on and on.
fn spins(fitted: &FittedFigure, limb: Option<usize>) -> bool {
    let drive = limb.and_then(|l| fitted.figure.limbs[l].drive.as_ref());
    drive.is_some_and(|d| matches!(d.mechanism, DriveKind::Spin(_)))
}

/// Arm, rod and lever of a servo with a rod, at the ends its limb is drawn at.
fn servo_bars(fitted: &FittedFigure, limb: usize) -> Vec<Drawn> {
    let Some(Fitted::Servo(servo)) = &fitted.limbs[limb].mechanism else { return Vec::new() };
    let (Some(bar), None) = (&servo.linkage, fitted.figure.limbs[limb].carrier) else {
        return Vec::new();
    };
    let Some(Track::Turn { from, to, .. }) = track::own(fitted, limb) else { return Vec::new() };
    let mut drawn = Vec::new();
    for (stand, at) in [(Stand::Low, from), (Stand::High, to)] {
        let angle = Rad(at).deg();
        let arm = Dir::degrees(servo.arm_at(servo.shaft_for(angle)));
        let lever = Dir::degrees(angle + bar.clamp());
        let (motor, pivot, bars) = (bar.motor(), bar.pivot(), bar.bars());
        let near = [motor.x + bars.crank.0 * arm.x(), motor.y + bars.crank.0 * arm.y()];
        let far = [pivot.x + bars.lever.0 * lever.x(), pivot.y + bars.lever.0 * lever.y()];
        let bar =
            |role, a, b| Drawn { role, limb: Some(limb), stand, corners: vec![a, b], radius: 0.0 };
        drawn.extend([
            bar(Role::Crank, [motor.x, motor.y], near),
            bar(Role::Rod, near, far),
            bar(Role::Lever, [pivot.x, pivot.y], far),
        ]);
    }
    drawn
}

/// The way of a limb that slides.
fn marks(fitted: &FittedFigure, index: usize) -> Option<Drawn> {
    let Joint::Slide { from, to } = fitted.figure.limbs[index].joint else { return None };
    let corners = vec![[from.x, from.y], [to.x, to.y]];
    Some(Drawn { role: Role::Guide, limb: Some(index), stand: Stand::Still, corners, radius: 0.0 })
}

/// Shafts of motors that no part of the stack shows; a motor that rides is left out.
fn motors(fitted: &FittedFigure, drawn: &[Drawn]) -> Vec<Drawn> {
    let known =
        |at: Corner| drawn.iter().any(|d| d.role == Role::Shaft && d.corners.first() == Some(&at));
    let each = fitted.figure.actuators.iter().enumerate().filter(|(_, a)| !a.rides);
    each.filter_map(|(n, a)| a.at.or_else(|| fitted.place_of(n)))
        .map(|at| [at.x, at.y])
        .filter(|at| !known(*at))
        .map(|at| Drawn {
            role: Role::Shaft,
            limb: None,
            stand: Stand::Still,
            corners: vec![at],
            radius: super::stack::SHAFT_RADIUS,
        })
        .collect()
}

/// The actuator's coordinate at the two ends of a limb's motion, less its pin's.
pub(super) fn of_travel(travel: &crate::mechanism::Travel, pin: Deg) -> (f64, f64) {
    let ends = Ends::of(travel);
    (ends.at_low - pin.rad().0, ends.at_high - pin.rad().0)
}
