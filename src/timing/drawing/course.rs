//! A limb's coordinate over a show: what its table is read at.

use super::table::seen;
use super::{Counts, Table, nearest};
use crate::fit::{Ends, FittedFigure, Follows, Pose, standing};
use crate::geometry::Dir;
use crate::mechanism::Stand;
use crate::timing::keys::fewest;
use crate::timing::{FigurePart, LimbMotion, Path, carried};
use crate::units::{Deg, Mm, Rad, Sec};

/// A limb's coordinate at times after the start signal, straight lines between them and
/// level before the first and after the last; two points of one time are a jump between
/// equal places. `None` where the limb has no table of its own.
///
/// `part` is the figure's part in a show; without one, or where no cue moves the limb, it
/// stays at its rest.
#[must_use]
pub fn course(
    part: Option<&FigurePart>,
    fitted: &FittedFigure,
    index: usize,
    table: &Table,
) -> Vec<(Sec, f64)> {
    let name = &fitted.figure.limbs[index].name.value;
    if carried::plays(fitted, index) {
        return of_carried(part, fitted, index, table);
    }
    let motion = part.and_then(|p| p.limbs.iter().find(|l| l.limb == *name));
    let told = Told { fitted, index, table };
    let Some(motion) = motion else { return vec![(Sec(0.0), told.rest())] };
    told.course(motion)
}

/// The coordinate of the drive on the board of a limb that rides, over time as [`course`]; what
/// its table of [`Table::of_drive`] is read at. Empty where it is not known.
#[must_use]
pub fn drive_course(
    part: Option<&FigurePart>,
    fitted: &FittedFigure,
    index: usize,
    table: &Table,
) -> Vec<(Sec, f64)> {
    let length = table.counts == Counts::Length;
    let told = |own: f64| if length { own } else { Rad(own).deg().0 };
    let name = &fitted.figure.limbs[index].name.value;
    let motion = part.and_then(|p| p.limbs.iter().find(|l| l.limb == *name));
    let Some(motion) = motion else {
        let rest = carried::at_rest(fitted, index);
        return rest.map(|at| (Sec(0.0), told(at))).into_iter().collect();
    };
    let ends = motion.pieces.iter().filter_map(|piece| match piece.path {
        Path::Crank { from, to } => Some([(piece.from, from.0), (piece.to, to.0)]),
        Path::Length { from, to } => Some([(piece.from, from.0), (piece.to, to.0)]),
        _ => None,
    });
    thinned(ends.flatten().collect())
}

/// Looks of a limb that two motors move, each second.
const LOOKS: f64 = 100.0;
/// Lines between them are thinned within this.
pub(super) const THIN: Deg = Deg(0.02);

/// The angle of a limb that crank and carrier move: looked at often, for neither says
/// alone where it is.
fn of_carried(
    part: Option<&FigurePart>,
    fitted: &FittedFigure,
    index: usize,
    table: &Table,
) -> Vec<(Sec, f64)> {
    let nobody = FigurePart { figure: String::new(), channels: Vec::new(), limbs: Vec::new() };
    let part = part.unwrap_or(&nobody);
    let (low, high) = table.span();
    let limb = &fitted.figure.limbs[index];
    let carrier = limb.carrier.map(|c| &fitted.figure.limbs[c]);
    let names = [Some(limb), carrier].map(|l| l.map(|l| l.name.value.as_str()));
    let moving = part.limbs.iter().filter(|m| names.contains(&Some(m.limb.as_str())));
    let moving: Vec<&LimbMotion> = moving.collect();
    let pieces = || moving.iter().flat_map(|m| &m.pieces);
    let end = pieces().fold(Sec(0.0), |end, p| end.max(p.to));
    let mut times: Vec<f64> =
        (0..=(end.0 * LOOKS).ceil() as u64).map(|i| i as f64 / LOOKS).collect();
    // Where either is told anew the line has a corner.
    times.extend(pieces().flat_map(|p| [p.from.0, p.to.0]));
    times.extend(pieces().flat_map(|p| match &p.path {
        Path::Line(points) => points.iter().map(|(t, _)| t.0).collect(),
        _ => Vec::new(),
    }));
    times.sort_by(f64::total_cmp);
    times.dedup_by(|a, b| *a - *b < 1e-6);
    let mut points: Vec<(f64, f64)> = Vec::new();
    for t in times {
        let Some(Pose::Turned(angle)) = part.pose(&limb.name.value, Sec(t), fitted) else {
            continue;
        };
        points.push((t, nearest(angle.0, (low + high) / 2.0)));
    }
    let kept = fewest(&points, THIN.0);
    kept.into_iter().map(|i| (Sec(points[i].0), points[i].1)).collect()
}

pub(super) struct Told<'a> {
    pub fitted: &'a FittedFigure,
    pub index: usize,
    pub table: &'a Table,
}

impl Told<'_> {
    fn follows(&self) -> Option<Follows<'_>> {
        self.fitted.limbs[self.index].mechanism.as_ref()?.follows()
    }

    /// The coordinate while nobody tells it anything.
    pub fn rest(&self) -> f64 {
        let (low, high) = self.table.span();
        let (limb, own) = (&self.fitted.figure.limbs[self.index], &self.fitted.limbs[self.index]);
        let on = own.riding.as_ref().map_or(Deg(0.0), |r| r.at_rest);
        let drawn = || seen(self.fitted, self.index).limbs[self.index].drawn().map(|d| d.1.deg());
        let stands = standing(limb, Some(own)).map(|a| a - on).or_else(drawn);
        let slides = matches!(limb.joint, crate::model::Joint::Slide { .. });
        let pose = match slides {
            true => Some(Pose::Slid(Mm(0.0))),
            false => stands.map(Pose::Turned),
        };
        let found = pose.and_then(|p| self.coordinate(p, &[]));
        let held = found.unwrap_or(low);
        if self.table.closed { held } else { held.clamp(low, high) }
    }

    /// The coordinate of a pose, if need be the nearest there is; `near` are coordinates
    /// it may be told as, the likeliest first.
    fn coordinate(&self, pose: Pose, near: &[f64]) -> Option<f64> {
        if self.table.counts == Counts::Angle {
            return Some(self.inside(pose.value()));
        }
        let follows = self.follows()?;
        let length = self.table.counts == Counts::Length;
        let own = |told: f64| if length { told } else { Deg(told).rad().0 };
        let told = |own: f64| if length { own } else { Rad(own).deg().0 };
        let fits = |at: &&f64| {
            let there = follows.limb_at(own(**at), pose);
            there.is_some_and(|p| (p.value() - pose.value()).abs() < 1e-6)
        };
        if let Some(at) = near.iter().find(fits) {
            return Some(*at);
        }
        let stand = match pose {
            Pose::Turned(angle) => Stand::Turned(Dir::degrees(angle)),
            Pose::Slid(way) => Stand::Slid(way),
        };
        let found = follows.mechanism.inverse(stand, follows.path).unwrap_or_default();
        let apart = |at: f64| {
            near.first().map_or(0.0, |n| match length {
                true => (at - n).abs(),
                false => Deg(at - n).signed().0.abs(),
            })
        };
        let found = found.into_iter().map(told);
        let best = found.min_by(|a, b| apart(*a).total_cmp(&apart(*b)));
        best.or_else(|| self.end_near(&follows, pose).map(told)).map(|at| self.inside(at))
    }

    /// The end of the motion that is nearer to a pose beyond it.
    fn end_near(&self, follows: &Follows<'_>, pose: Pose) -> Option<f64> {
        let ends = Ends::of(follows.travel.as_ref()?);
        let off = |end: Pose| (end.near(pose).value() - pose.value()).abs();
        Some(if off(ends.low) <= off(ends.high) { ends.at_low } else { ends.at_high })
    }

    /// A coordinate in the turn that the table is for.
    fn inside(&self, at: f64) -> f64 {
        let (low, high) = self.table.span();
        match self.table.counts {
            Counts::Length => at,
            Counts::Crank | Counts::Angle if self.table.closed => at,
            Counts::Crank | Counts::Angle => nearest(at, (low + high) / 2.0),
        }
    }

    fn course(&self, motion: &LimbMotion) -> Vec<(Sec, f64)> {
        let mut points: Vec<(Sec, f64)> = Vec::new();
        for (n, piece) in motion.pieces.iter().enumerate() {
            let next = motion.pieces[n + 1..].iter().find_map(|p| start(&p.path));
            let last = points.last().map(|p| p.1);
            match &piece.path {
                Path::Still(pose) => {
                    let near: Vec<f64> = last.into_iter().chain(next).collect();
                    let at = self.coordinate(*pose, &near).or(last).or(next);
                    let at = at.unwrap_or_else(|| self.table.span().0);
                    points.extend([(piece.from, at), (piece.to, at)]);
                }
                Path::Line(line) => {
                    let Some(first) = line.first() else { continue };
                    let turn = self.inside(first.1.0) - first.1.0;
                    points.extend(line.iter().map(|(t, a)| (*t, a.0 + turn)));
                }
                Path::Turn { from, to } | Path::Crank { from, to } => {
                    let turn = self.inside(from.0) - from.0;
                    points.extend([(piece.from, from.0 + turn), (piece.to, to.0 + turn)]);
                }
                Path::Length { from, to } => {
                    points.extend([(piece.from, from.0), (piece.to, to.0)]);
                }
            }
        }
        thinned(points)
    }
}

/// The coordinate at which a piece begins, where it says so.
fn start(path: &Path) -> Option<f64> {
    match path {
        Path::Crank { from, .. } | Path::Turn { from, .. } => Some(from.0),
        Path::Length { from, .. } => Some(from.0),
        Path::Line(line) => line.first().map(|p| p.1.0),
        Path::Still(_) => None,
    }
}

/// Without points between two of the same value, and without repeated ones.
fn thinned(points: Vec<(Sec, f64)>) -> Vec<(Sec, f64)> {
    let mut kept: Vec<(Sec, f64)> = Vec::with_capacity(points.len());
    for point in points {
        if kept.last() == Some(&point) {
            continue;
        }
        if let [.., a, b] = kept[..]
            && a.1 == b.1
            && b.1 == point.1
        {
            kept.pop();
        }
        kept.push(point);
    }
    kept
}
