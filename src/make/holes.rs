//! Holes and places on the board.

use super::{anchor, shaft, sound};
use crate::fit::{FittedFigure, SizeName};
use crate::geometry::{Board, BoardPoint, Bounds, Outline};
use crate::mechanism::Strut;
use crate::model::{DriveKind, Figure, Joint, MotorKind, PIN, Source};
use crate::space;
use crate::space::bolt_of;
use crate::units::Mm;

/// What is drilled at a place.
#[derive(Clone, Debug, PartialEq)]
pub enum Drill {
    /// A hole through which this bolt or pin goes: its name, and the hole's diameter.
    Bolt(String, Mm),
    /// A bushing in which this bolt turns: drilled to the bushing's own outside.
    Bushing(String, Mm),
    /// A motor's shaft: its body's width and height, where known.
    Shaft(Option<(Mm, Mm)>),
    /// An eye that a cord runs through.
    Eye,
    /// The end of a guide: nothing is drilled by our word.
    Mark,
    /// Where a brace meets its post: nothing is drilled in the board, and no sheet of paper
    /// is worth it.
    Brace,
}

impl Drill {
    /// Whether it is marked out on the board from a sheet in true size.
    #[must_use]
    pub const fn on_paper(&self) -> bool {
        !matches!(self, Self::Brace)
    }
}

/// A hole or place on the board.
#[derive(Clone, Debug, PartialEq)]
pub struct Hole {
    /// What it is for: "left-arm pivot".
    pub name: String,
    /// Where it is.
    pub at: BoardPoint,
    /// What is drilled there.
    pub drill: Drill,
}

/// Two holes that one mechanism spans.
#[derive(Clone, Debug, PartialEq)]
pub struct Spacing {
    /// From what to what.
    pub name: String,
    /// How far apart they are.
    pub apart: Mm,
}

/// Clearance holes of the medium series (ISO 273, metric) and of the normal fit (ASME
/// B18.2.8, inch): bolt and hole, mm.
const CLEARANCE: [(f64, f64); 9] = [
    (3.0, 3.4),
    (4.0, 4.5),
    (5.0, 5.5),
    (6.0, 6.6),
    (8.0, 9.0),
    (10.0, 11.0),
    (12.0, 13.5),
    (6.35, 0.281 * 25.4),
    (7.9375, 0.344 * 25.4),
];

/// The hole through which a bolt of this diameter goes. Bolts of no table get a tenth
/// more than their diameter (common practice, no source).
#[must_use]
pub fn clearance(bolt: Mm) -> Mm {
    let row = CLEARANCE.iter().find(|(b, _)| (b - bolt.0).abs() < 0.01);
    // 3/8 in, the same table: 0.406 in.
    let inch = ((bolt.0 - 9.525).abs() < 0.01).then_some(0.406 * 25.4);
    Mm(row.map(|r| r.1).or(inch).unwrap_or(bolt.0 * 1.1))
}

/// All holes and places of a figure's board.
pub(super) fn all(fitted: &FittedFigure) -> Vec<Hole> {
    let figure = &*fitted.figure;
    let mut holes = Vec::new();
    for (motor, actuator) in figure.actuators.iter().enumerate() {
        let linear = matches!(actuator.motor.kind, MotorKind::Ram | MotorKind::Cylinder);
        if let Some(at) = shaft(fitted, motor).filter(|_| !linear) {
            let name = format!("{} shaft", actuator.name);
            holes.push(Hole { name, at, drill: Drill::Shaft(actuator.motor.body) });
            for (n, (at, bolt, diameter)) in space::mounting(actuator, at).into_iter().enumerate() {
                let name = format!("{} screw {}", actuator.name, n + 1);
                let drill = Drill::Bolt(bolt, clearance(diameter));
                holes.push(Hole { name, at, drill });
            }
        }
    }
    for (index, limb) in figure.limbs.iter().enumerate() {
        if limb.poisoned {
            continue;
        }
        let name = &limb.name.value;
        let mut push = |what: &str, at, drill| {
            holes.push(Hole { name: format!("{name} {what}"), at, drill });
        };
        match limb.joint {
            Joint::Pivot { at: Some(at), .. }
                if limb.carrier.is_none() && !space::on_shaft(limb) =>
            {
                let (bolt, diameter) = bolt_of(limb.bolt.as_ref());
                let drill = match limb.bushing {
                    Some(_) => Drill::Bushing(bolt, diameter),
                    None => Drill::Bolt(bolt, clearance(diameter)),
                };
                push("pivot", at, drill);
            }
            Joint::Pivot { .. } => {}
            Joint::Slide { from, to } => {
                push("guide, start", from, Drill::Mark);
                push("guide, end", to, Drill::Mark);
            }
        }
        let Some(drive) = &limb.drive else { continue };
        let on_board = match drive.source {
            Source::Motor(_) => true,
            // The far end of a carried limb's second rod is pinned to the board.
            Source::Limb(_) => limb.carrier.is_some(),
        };
        if let Some(at) = anchor(fitted, index).filter(|_| on_board) {
            let pin = format!("M{}", PIN.0);
            push(anchored(&drive.mechanism), at, Drill::Bolt(pin, limb.pin_hole()));
        }
        if let DriveKind::Cord(cord) = &drive.mechanism {
            for (n, eye) in cord.guides.iter().enumerate() {
                push(&format!("eye {}", n + 1), *eye, Drill::Eye);
            }
        }
    }
    holes.extend(braces(figure));
    holes.retain(|h| h.at.x.abs() < FAR && h.at.y.abs() < FAR);
    holes
}

/// Where braces meet the posts: told where as many posts cross their height as there are
/// braces, so that it is one to each.
fn braces(figure: &Figure) -> Vec<Hole> {
    let braces = figure.anchor.as_ref().and_then(|a| a.braces.as_ref());
    let Some((count, Some(up))) = braces.map(|b| (b.count, b.at)) else { return Vec::new() };
    let mut posts: Vec<f64> = figure
        .frame
        .iter()
        .filter_map(|m| {
            let (run, rise) = (m.to.x - m.from.x, m.to.y - m.from.y);
            let share = (up.0 - m.from.y) / rise;
            // A post stands more than it leans.
            let post = rise.abs() > run.abs() && (0.0..=1.0).contains(&share);
            post.then_some(m.from.x + share * run)
        })
        .collect();
    posts.sort_by(f64::total_cmp);
    if posts.len() != count as usize {
        return Vec::new();
    }
    let place = |(n, x): (usize, &f64)| Hole {
        name: format!("brace {}", n + 1),
        at: BoardPoint::mm(*x, up.0),
        drill: Drill::Brace,
    };
    posts.iter().enumerate().map(place).collect()
}

/// What a far end that is pinned to the board belongs to.
const fn anchored(mechanism: &DriveKind) -> &'static str {
    match mechanism {
        DriveKind::Strut(s) => match s.strut {
            Strut::Ram => "ram anchor",
            Strut::Cylinder => "cylinder anchor",
        },
        _ => "rod anchor",
    }
}

/// No board is larger than this, mm; places beyond it are no places on paper.
const FAR: f64 = 1e6;

/// From shaft or anchor to pivot, and pivot to pivot, of every mechanism that has both.
pub(super) fn spacings(fitted: &FittedFigure) -> Vec<Spacing> {
    let figure = &*fitted.figure;
    let mut all = Vec::new();
    for (index, limb) in figure.limbs.iter().enumerate() {
        let Joint::Pivot { at: Some(pivot), .. } = limb.joint else { continue };
        if limb.carrier.is_some() || space::on_shaft(limb) || limb.poisoned {
            continue;
        }
        let name = &limb.name.value;
        let motor = match limb.drive.as_ref().map(|d| d.source) {
            Some(Source::Motor(m)) => shaft(fitted, m).map(|at| (at, &figure.actuators[m].name)),
            _ => None,
        };
        let far = match (anchor(fitted, index), motor) {
            (Some(at), _) => {
                let what = limb.drive.as_ref().map_or("anchor", |d| anchored(&d.mechanism));
                Some((at, format!("its {what}")))
            }
            (None, Some((at, motor))) => Some((at, format!("{motor} shaft"))),
            (None, None) => None,
        };
        if let Some((at, far)) = far.filter(|(at, _)| at.distance(pivot) > Mm(0.1)) {
            let name = format!("{name} pivot to {far}");
            all.push(Spacing { name, apart: at.distance(pivot) });
        }
    }
    all
}

/// The board's box, else a box round the holes; nought where there are none.
pub(super) fn bounds(figure: &Figure, holes: &[Hole]) -> Bounds<Board> {
    let outline = figure.board.outline.as_ref().map(Outline::bounds);
    outline.unwrap_or_else(|| {
        let xs = holes.iter().map(|h| h.at.x);
        let ys = holes.iter().map(|h| h.at.y);
        let (low, high) = (xs.clone().fold(0.0, f64::min), xs.fold(0.0, f64::max));
        let (down, up) = (ys.clone().fold(0.0, f64::min), ys.fold(0.0, f64::max));
        Bounds { low: BoardPoint::mm(low, down), high: BoardPoint::mm(high, up) }
    })
}

/// Where a limb's lever pin is in its own plane.
pub(super) fn lever_pin(fitted: &FittedFigure, limb: usize) -> Option<(f64, f64)> {
    let mechanism = sound(fitted, limb)?;
    let lever = mechanism.drilled(SizeName::Lever)?;
    let clamp = crate::geometry::Dir::degrees(crate::units::Deg(
        mechanism.drilled(SizeName::Clamp).unwrap_or(0.0),
    ));
    Some((lever * clamp.x(), lever * clamp.y()))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// ISO 273, medium series; ASME B18.2.8, normal fit, inch.
    #[test]
    fn clearance_holes_are_those_of_the_standards() {
        for (bolt, hole) in [(3.0, 3.4), (4.0, 4.5), (5.0, 5.5), (6.0, 6.6), (8.0, 9.0)] {
            assert_eq!(clearance(Mm(bolt)), Mm(hole));
        }
        assert_eq!([clearance(Mm(10.0)), clearance(Mm(12.0))], [Mm(11.0), Mm(13.5)]);
        for (bolt, hole) in [(0.25, 0.281), (0.3125, 0.344), (0.375, 0.406)] {
            assert!((clearance(Mm(bolt * 25.4)).0 / 25.4 - hole).abs() < 1e-9);
        }
    }
}
