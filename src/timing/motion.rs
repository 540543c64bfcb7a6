//! Where a limb is at a time.

use crate::fit::{Fitted, Pose};
use crate::units::{Deg, Sec};

use super::{LimbMotion, Path, linkage};

impl LimbMotion {
    /// Where the limb is at a time after the start signal; before the first piece
    /// and after the last it stands still. `None` where the linkage does not close.
    #[must_use]
    pub fn at(&self, t: Sec, mechanism: &Fitted) -> Option<Pose> {
        let last = self.pieces.len().checked_sub(1)?;
        let i = self.pieces.partition_point(|p| p.to <= t).min(last);
        let piece = &self.pieces[i];
        let run = (piece.to - piece.from).0;
        let share = if run > 0.0 { ((t - piece.from).0 / run).clamp(0.0, 1.0) } else { 1.0 };
        match &piece.path {
            Path::Still(pose) => Some(*pose),
            Path::Turn { from, to } => Some(Pose::Turned(*from + (*to - *from) * share)),
            Path::Line(points) => Some(Pose::Turned(on_lines(points, t))),
            Path::Crank { from, to } => {
                let crank = *from + (*to - *from) * share;
                linkage::limb_at(&mechanism.follows()?, crank, self.near())
            }
            Path::Length { from, to } => {
                let length = *from + (*to - *from) * share;
                mechanism.follows()?.limb_at(length.0, self.near())
            }
        }
    }

    /// What its motor is at at a time, rad pin and all, or mm, of a limb of which that is
    /// told throughout; `None` for any other.
    pub(super) fn coordinate(&self, t: Sec) -> Option<f64> {
        let last = self.pieces.len().checked_sub(1)?;
        let piece = &self.pieces[self.pieces.partition_point(|p| p.to <= t).min(last)];
        let run = (piece.to - piece.from).0;
        let share = if run > 0.0 { ((t - piece.from).0 / run).clamp(0.0, 1.0) } else { 1.0 };
        match piece.path {
            Path::Crank { from, to } => Some((from + (to - from) * share).rad().0),
            Path::Length { from, to } => Some((from + (to - from) * share).0),
            _ => None,
        }
    }

    /// A place the motion stays near to: where it stands still, if it ever does.
    fn near(&self) -> Pose {
        self.pieces
            .iter()
            .find_map(|p| match p.path {
                Path::Still(pose) => Some(pose),
                _ => None,
            })
            .unwrap_or(Pose::Turned(Deg(0.0)))
    }
}

/// The value at a time on straight lines between points in order of time.
#[must_use]
pub fn on_lines(points: &[(Sec, Deg)], t: Sec) -> Deg {
    let after = points.partition_point(|(at, _)| *at <= t);
    let Some(&(t0, v0)) = after.checked_sub(1).and_then(|i| points.get(i)) else {
        return points.first().map_or(Deg(0.0), |p| p.1);
    };
    match points.get(after) {
        Some(&(t1, v1)) if t1 > t0 => v0 + (v1 - v0) * ((t - t0).0 / (t1 - t0).0),
        _ => v0,
    }
}
