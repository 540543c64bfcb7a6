//! The open place of a motor that turns its limb by belt, chain or gears: as far from
//! the limb as they want, which is known to the last digit, in the region asked for.
//!
//! Belt and gears fit on a circle about the limb. Of its part in the region the point
//! nearest to the region's middle is taken: on a line where the circle cuts it, round a
//! point on the way to it, in a rectangle or on a limb on the way to its middle or at its
//! edge.

use super::motor_place::home;
use super::region::Region;
use super::spin;
use crate::geometry::{BoardPoint, Vector};
use crate::mechanism::Size;
use crate::mechanism::belt::{Loop, gear_centres};
use crate::model::{DriveKind, Figure, SpinDrive};
use crate::units::Mm;

/// A place is told to so much: finer than a slot or the mesh of a small gear takes up,
/// mm.
const TOLD: f64 = 0.01;

/// Where the motor of a train goes, so that its belt, chain or gears fit; `None` where
/// that is not what decides its place, or no place in the region does.
pub(super) fn found(figure: &Figure, limb: usize, region: &Region) -> Option<BoardPoint> {
    let limb = &figure.limbs[limb];
    let DriveKind::Spin(said) = &limb.drive.as_ref()?.mechanism else { return None };
    let (home, middle) = (home(limb)?, region.middle());
    let apart = wanted(said, home.distance(middle))?;
    let on_lines = |lines: &[(BoardPoint, BoardPoint)]| {
        let cuts = lines.iter().flat_map(|line| cuts(home, apart, *line));
        nearest(middle, cuts)
    };
    let way = (middle - home).dir().map(|d| home + Vector::polar(apart, d));
    let at = match region {
        Region::Lines(lines) => on_lines(lines),
        Region::Round { centre, within } => way.filter(|p| p.distance(*centre).0 <= *within),
        Region::Plate(outline) => way
            .filter(|p| outline.contains(*p))
            .or_else(|| on_lines(&outline.edges().collect::<Vec<_>>())),
        Region::Rectangle { from, to } => way.filter(|p| region.holds(*p)).or_else(|| {
            let (a, b) = (BoardPoint::mm(from.x, to.y), BoardPoint::mm(to.x, from.y));
            on_lines(&[(*from, a), (a, *to), (*to, b), (b, *from)])
        }),
    }?;
    let told = |v: f64| libm::round(v / TOLD) * TOLD;
    Some(BoardPoint::mm(told(at.x), told(at.y)))
}

/// Whether a train fits with its motor anywhere: its length is open too, or nothing is said
/// of what it is of.
pub(super) fn undecided(figure: &Figure, limb: usize) -> bool {
    let drive = figure.limbs[limb].drive.as_ref().map(|d| &d.mechanism);
    let Some(DriveKind::Spin(said)) = drive else { return false };
    wanted(said, Mm(1000.0)).is_none()
        || (said.by != "gears" && !matches!(said.length.size, Size::Given(_)))
}

/// How far apart the shafts have to be. A belt whose length is open too takes the length
/// nearest to shafts that are so far apart.
fn wanted(said: &SpinDrive, about: Mm) -> Option<Mm> {
    let &[motor, limb] = &said.teeth[..] else { return None };
    if said.by == "gears" {
        return Some(gear_centres((motor, limb), said.module?));
    }
    let round = Loop { motor, limb, pitch: said.pitch?, crossed: said.crossed };
    let length = match said.length.size {
        Size::Given(length) => Mm(length),
        open => spin::nearest(&open, round.length(about)?, spin::link(said.by, round.pitch))?,
    };
    round.centres(length)
}

/// Where a circle cuts the stretch between two points.
fn cuts(centre: BoardPoint, radius: Mm, (a, b): (BoardPoint, BoardPoint)) -> Vec<BoardPoint> {
    let Some(along) = (b - a).dir() else { return Vec::new() };
    let unit = Vector::polar(Mm(1.0), along);
    let to = centre - a;
    let (foot, off) = (unit.dot(to), unit.cross(to));
    let under = radius.0 * radius.0 - off * off;
    if under < 0.0 {
        return Vec::new();
    }
    let half = under.sqrt();
    let on = |t: &f64| (0.0..=a.distance(b).0).contains(t);
    [foot - half, foot + half]
        .into_iter()
        .filter(on)
        .map(|t| a + Vector::polar(Mm(t), along))
        .collect()
}

fn nearest(to: BoardPoint, points: impl Iterator<Item = BoardPoint>) -> Option<BoardPoint> {
    points.min_by(|a, b| a.distance(to).0.total_cmp(&b.distance(to).0))
}
