//! Plates: limbs and cams, as they are cut from a sheet.

use super::clamp::{ClampSet, clamp_set};
use super::holes::{clearance, lever_pin};
use super::{anchor, shaft, sound};
use crate::fit::FittedFigure;
use crate::geometry::{BoardPoint, OnLimb, Outline, Point};
use crate::mechanism::cam::{self, Cut, SlidingFoot, SwingingFoot};
use crate::model::{CamDisc, DriveKind, Joint, Limb, Source};
use crate::space::{Slot, bolt_of};
use crate::units::{Kg, Mm};

/// A hole in a limb.
#[derive(Clone, Debug, PartialEq)]
pub struct PlateHole {
    /// What it is for.
    pub name: String,
    /// Where it is in the limb's own plane, mm along its axis and left of it.
    pub at: (f64, f64),
    /// Its diameter; `None` for a mark.
    pub hole: Option<Mm>,
}

/// Another limb of the figure that is cut alike.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Twin {
    /// It, by index; it comes before this one.
    pub limb: usize,
    /// Whether this one is its mirror image: the template is turned over.
    pub mirrored: bool,
}

/// A limb as it is cut, in its own plane: its pivot, or the start of its guide, is the
/// origin, its axis points along +x, +y is left of it, seen from the front.
#[derive(Clone, Debug, PartialEq)]
pub struct LimbPlate {
    /// Its corners.
    pub corners: Vec<(f64, f64)>,
    /// Its holes and marks.
    pub holes: Vec<PlateHole>,
    /// A slot: its two ends.
    pub slot: Option<[(f64, f64); 2]>,
    /// How wide that is: the hole for its pin.
    pub slot_width: Mm,
    /// The sheet it is cut from.
    pub sheet: Option<String>,
    /// A weight on its tail: where, and its mass where that is known.
    pub counterweight: Option<(f64, Option<Kg>)>,
    /// The lever that is clamped on its bolt behind the board.
    pub lever: Option<ClampSet>,
    /// How far it goes on behind its pivot because nobody said how far.
    pub tail: Option<Mm>,
    /// The limb it is cut like.
    pub twin: Option<Twin>,
}

/// A cam as it is cut, in its own plane: the shaft is the origin, +x is where the motor's
/// turn is 0. It is laid out as seen from the front.
#[derive(Clone, Debug, PartialEq)]
pub struct CamPlate {
    /// Where the cut begins.
    pub start: (f64, f64),
    /// The cuts: straight, or along a circle about the shaft.
    pub cuts: Vec<Cut>,
    /// Points on the curve for marking out by hand: turn of the motor in degrees, and
    /// the point.
    pub points: Vec<(f64, (f64, f64))>,
    /// Radius of the base circle.
    pub base: Mm,
    /// Radius of the roller that runs on it; `None` for an edge or a flat face.
    pub roller: Option<Mm>,
    /// How thick it is, its bore and its bolts, as far as they are said.
    pub disc: CamDisc,
}

/// How far straight cuts may leave a cam's curve.
const CAM_ERROR: Mm = Mm(0.02);
/// A point to mark out by hand every so many degrees.
const EVERY: usize = 10;
/// Two plates nearer than this are one.
const ALIKE: f64 = 0.01;

/// All limbs' plates.
pub(super) fn all(fitted: &FittedFigure) -> Vec<Option<LimbPlate>> {
    let mut plates: Vec<Option<LimbPlate>> = Vec::new();
    for index in 0..fitted.figure.limbs.len() {
        let mut plate = plate(fitted, index);
        if let Some(own) = &mut plate {
            let known = plates.iter().enumerate().filter_map(|(n, p)| Some((n, p.as_ref()?)));
            let mut first = known.filter(|(_, p)| p.twin.is_none());
            own.twin = first.find_map(|(limb, p)| {
                let way = [false, true].into_iter().find(|m| alike(p, own, *m));
                way.map(|mirrored| Twin { limb, mirrored })
            });
        }
        plates.push(plate);
    }
    plates
}

/// Whether two plates are cut alike, or as mirror images.
fn alike(a: &LimbPlate, b: &LimbPlate, mirrored: bool) -> bool {
    let sign = if mirrored { -1.0 } else { 1.0 };
    let near = |p: (f64, f64), q: (f64, f64)| {
        (p.0 - q.0).abs() < ALIKE && (p.1 - sign * q.1).abs() < ALIKE
    };
    // The same corners, begun anywhere, and the other way round in a mirror.
    let n = a.corners.len();
    let same_way = |start: usize, step: usize| {
        (0..n).all(|i| near(a.corners[i], b.corners[(start + step * i) % n]))
    };
    let outline = n == b.corners.len() && (0..n).any(|s| same_way(s, 1) || same_way(s, n - 1));
    let hole = |h: &PlateHole| b.holes.iter().any(|o| near(h.at, o.at) && h.hole == o.hole);
    // A lever set otherwise is drawn on a sheet of its own.
    let pin = |p: &LimbPlate| p.lever.map(|l| (l.bar.pin.x, l.bar.pin.y));
    let levers = match (pin(a), pin(b)) {
        (Some(p), Some(q)) => near(p, q),
        (None, None) => true,
        _ => false,
    };
    outline
        && levers
        && a.sheet == b.sheet
        && a.slot.is_none()
        && b.slot.is_none()
        && a.holes.len() == b.holes.len()
        && a.holes.iter().all(hole)
}

fn plate(fitted: &FittedFigure, index: usize) -> Option<LimbPlate> {
    let figure = &*fitted.figure;
    let limb = figure.limbs.get(index).filter(|l| !l.poisoned)?;
    let outline: Outline<OnLimb> = fitted.as_cut(index)?;
    let corners = outline.corners().iter().map(|p| (p.x, p.y)).collect();
    let own = |at: BoardPoint| limb.own(at).map(|p: Point<OnLimb>| (p.x, p.y));
    let mut holes = Vec::new();
    let pin = |of: &Limb| Some(of.pin_hole());
    if let Joint::Pivot { .. } = limb.joint {
        let (bolt, diameter) = bolt_of(limb.bolt.as_ref());
        let on_shaft = crate::space::on_shaft(limb);
        let name = if on_shaft { "shaft".to_owned() } else { format!("pivot, {bolt}") };
        let hole = (!on_shaft).then(|| clearance(diameter));
        holes.push(PlateHole { name, at: (0.0, 0.0), hole });
    }
    if let Some(at) = limb.tip.and_then(own) {
        holes.push(PlateHole { name: "tip".to_owned(), at, hole: None });
    }
    if let Some(at) = lever_pin(fitted, index).filter(|_| limb.is_its_own_lever()) {
        holes.push(PlateHole { name: "tail hole, rod pin".to_owned(), at, hole: pin(limb) });
    }
    for (other, rider) in figure.limbs.iter().enumerate().filter(|(n, _)| *n != index) {
        let name = &rider.name.value;
        let at = match rider.joint {
            // One straight on its motor's shaft has no bolt of its own.
            Joint::Pivot { at: Some(at), .. }
                if rider.carrier == Some(index) && !crate::space::on_shaft(rider) =>
            {
                own(at)
            }
            _ => None,
        };
        if let Some(at) = at {
            let (bolt, diameter) = bolt_of(rider.bolt.as_ref());
            let name = format!("{name} pivot, {bolt}");
            holes.push(PlateHole { name, at, hole: Some(clearance(diameter)) });
        }
        let pushed = rider.drive.as_ref().is_some_and(|d| d.source == Source::Limb(index));
        let pushed = pushed && rider.carrier.is_none();
        if let Some(at) = anchor(fitted, other).and_then(own).filter(|_| pushed) {
            let name = format!("{name} rod, pin");
            holes.push(PlateHole { name, at, hole: pin(rider) });
        }
        if rider.carrier == Some(index) && figure.motor_rides(other) {
            let motor = rider.drive.as_ref().and_then(|d| match d.source {
                Source::Motor(m) => figure.actuators.get(m)?.at.or_else(|| shaft(fitted, m)),
                Source::Limb(_) => None,
            });
            if let Some(at) = motor.and_then(own) {
                holes.push(PlateHole { name: format!("{name} motor shaft"), at, hole: None });
            }
        }
    }
    Some(LimbPlate {
        corners,
        holes,
        slot: slot(fitted, index),
        slot_width: limb.slot_width(),
        sheet: limb.sheet.as_ref().map(|s| s.name.clone()),
        counterweight: limb.build.counterweight.as_ref().map(|c| (c.at.0, c.mass)),
        lever: clamp_set(fitted, index),
        tail: fitted.assumed_tail(index),
        twin: None,
    })
}

/// The slot that is cut in a limb for a crank pin.
fn slot(fitted: &FittedFigure, index: usize) -> Option<[(f64, f64); 2]> {
    let slot = Slot::of(&fitted.figure.limbs[index], sound(fitted, index)?)?;
    let end = |along: f64| (slot.at(along).x, slot.at(along).y);
    (!slot.in_lever).then(|| [end(slot.ends.0), end(slot.ends.1)])
}

/// The radius of a follower's roller.
fn roller(limb: &cam::Limb) -> Option<Mm> {
    match limb {
        cam::Limb::Slides(s) => match s.foot {
            SlidingFoot::Roller { radius, .. } => Some(radius),
            SlidingFoot::Flat => None,
        },
        cam::Limb::Swings(s) => match s.foot {
            SwingingFoot::Roller { radius, .. } => Some(radius),
            SwingingFoot::Flat { .. } => None,
        },
    }
}

impl CamPlate {
    /// How far it reaches from its shaft.
    #[must_use]
    pub fn reach(&self) -> Mm {
        let ends = self.cuts.iter().map(|cut| match cut {
            Cut::Line { to } | Cut::Arc { to, .. } => (to.x, to.y),
        });
        let all = ends.chain(std::iter::once(self.start)).map(|(x, y)| libm::hypot(x, y));
        Mm(all.fold(0.0, f64::max))
    }
}

/// The cam of a limb; `None` for one without.
#[must_use]
pub fn cam(fitted: &FittedFigure, index: usize) -> Option<CamPlate> {
    let drive = sound(fitted, index)?.as_drive()?;
    let cam = drive.drilled.mechanism.as_cam()?;
    let outline = cam.profile(CAM_ERROR).ok()?;
    let disc = match fitted.figure.limbs[index].drive.as_ref().map(|d| &d.mechanism) {
        Some(DriveKind::Cam(said)) => said.disc,
        _ => CamDisc::default(),
    };
    let points = (0..360).step_by(EVERY).map(|deg| {
        let turn = crate::units::Deg(deg as f64);
        let (at, _) = cam.cut_at(turn.rad().0);
        (turn.0, (at.x, at.y))
    });
    Some(CamPlate {
        start: (outline.start.x, outline.start.y),
        points: points.collect(),
        cuts: outline.cuts,
        base: cam.plan().base,
        roller: roller(&cam.plan().limb).filter(|r| r.0 > 0.0),
        disc,
    })
}
