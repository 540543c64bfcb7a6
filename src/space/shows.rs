//! What comes out from behind the board, how far and where on the way.

use super::Shown;
use super::bisect::{self, Want};
use super::clash::By;
use super::distance::{Corner, distance, outside};
use super::stack::{Part, Role};
use super::track::Track;
use crate::fit::FittedFigure;
use crate::model::Mount;

/// How far out a part may come at most, mm: what is looked for is the least of this
/// less how far it is out.
const MOST: f64 = 10_000.0;

/// How far one part comes out beyond the board's edge; `None` where it is not meant to
/// be hidden, or does not.
pub(super) fn shown(fitted: &FittedFigure, part: &Part<'_>, board: &[Corner]) -> Option<Shown> {
    let behind = |limb: usize| fitted.figure.limbs[limb].mount == Mount::Behind;
    let role = part.layer.role;
    match role {
        Role::Limb => {
            // What rides on another comes out with it.
            let bolted = |l: usize| fitted.figure.limbs[l].carrier.is_none();
            let limb = part.limb.filter(|&l| behind(l) && bolted(l))?;
            let whole = leaves(part, board).map(|(by, at, how)| (by, at, how, true));
            let tail = || tail(part, board).map(|(by, at, how)| (by, at, how, false));
            let (by, at, how, whole) = whole.or_else(tail)?;
            Some(Shown { limb, part: Role::Limb, by, at, how, whole })
        }
        Role::Lever | Role::Rod | Role::Crank => {
            let (by, at, how) = farthest_out(part, &part.own, &part.corners, board)?;
            Some(Shown { limb: part.limb?, part: role, by, at, how, whole: false })
        }
        Role::Wheel => {
            let beyond = part.corners.iter().map(|c| outside(*c, board) + part.radius);
            let by = beyond.fold(0.0, f64::max);
            let shown =
                Shown { limb: part.limb?, part: role, by, at: 0.0, how: By::Still, whole: false };
            (by > 0.0).then_some(shown)
        }
        Role::Body => {
            let by = part.corners.iter().map(|c| outside(*c, board)).fold(0.0, f64::max);
            let driven = |l: &usize| fitted.figure.motor_of(*l) == part.motor;
            let limb = (0..fitted.figure.limbs.len()).find(driven)?;
            let shown = Shown { limb, part: Role::Body, by, at: 0.0, how: By::Still, whole: false };
            (by > 0.0).then_some(shown)
        }
        _ => None,
    }
}

/// The largest value of something that changes no faster than the part moves; `None`
/// for nought.
fn largest(
    track: &Track<'_>,
    corners: &[Corner],
    mut of: impl FnMut(&[Corner]) -> f64,
) -> Option<(f64, f64, By)> {
    let span = track.span()?;
    let mut placed = Vec::new();
    let want = Want { need: 0.0, far: MOST - 1.0, share: 5e-5 };
    let least = bisect::least(span, track.rate(corners), &want, |u| {
        if track.place(u, corners, &mut placed) { MOST - of(&placed) } else { MOST }
    });
    let by = MOST - least.high;
    (by > 0.0).then(|| (by, least.at[0], track.by()))
}

/// The farthest of a part's corners outside the board.
fn farthest_out(
    part: &Part<'_>,
    track: &Track<'_>,
    corners: &[Corner],
    board: &[Corner],
) -> Option<(f64, f64, By)> {
    largest(track, corners, |placed| {
        let most = placed.iter().map(|p| outside(*p, board));
        most.fold(f64::NEG_INFINITY, f64::max) + part.radius
    })
}

/// The tail of a limb that turns: its corners beyond the pivot.
fn tail(part: &Part<'_>, board: &[Corner]) -> Option<(f64, f64, By)> {
    if !matches!(part.own, Track::Turn { .. }) {
        return None;
    }
    let tail: Vec<Corner> = part.corners.iter().copied().filter(|c| c[0] < 0.0).collect();
    if tail.is_empty() {
        return None;
    }
    farthest_out(part, &part.own, &tail, board)
}

/// The widest gap between the board and a limb that leaves it altogether.
fn leaves(part: &Part<'_>, board: &[Corner]) -> Option<(f64, f64, By)> {
    // What turns on a bolt through the board stays on it.
    if let Track::Turn { pivot, .. } = part.own
        && outside([pivot.x, pivot.y], board) <= 0.0
    {
        return None;
    }
    largest(&part.own, &part.corners, |placed| distance(placed, board))
}
