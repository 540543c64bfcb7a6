//! When nothing fits: what is named works as it is told, marked out; and of a size that is
//! cut from a drilled bar only holes the bar has are named.
//!
//! The solvers know rows of holes and look beyond their ends; a bar ends where it ends.
//! Of what they found, sizes of a bar are put onto its holes and solved again.

use super::place_search::marked;
use crate::geometry::{BoardPoint, Vector};
use crate::mechanism::Size;
use crate::mechanism::solve::{
    Anchor, Change, ForearmChange, ForearmNoFit, ForearmWish, Nearest, NoFit, RamChange, RamNoFit,
    RamWish, Sizes, Wish, solve, solve_forearm, solve_ram, solve_ram_otherwise, usual_tolerance,
};
use crate::model::{FourBarDrive, Sized};
use crate::units::{Deg, Mm};

/// So many of the nearest holes are tried.
const MOST_TRIED: usize = 40;

/// A size as it is marked out where it is cut from no bar; else the hole of the bar nearest
/// to it for which there is an answer, and the answer.
fn hole<T>(said: &Sized, wanted: Mm, solved: impl Fn(Size) -> Option<T>) -> Option<(Mm, T)> {
    if said.cuts.is_none() {
        let at = Size::Free.marked_length(wanted, said.system);
        return Some((at, solved(Size::Given(at.0))?));
    }
    on(said, wanted, solved)
}

/// An angle as it is marked out, and the answer with it.
fn clamp<T>(wanted: Deg, solved: impl Fn(Size) -> Option<T>) -> Option<(Deg, T)> {
    let at = Size::Free.marked_angle(wanted);
    Some((at, solved(Size::Given(at.0))?))
}

/// An end of a motion as it is told.
fn tenth(angle: Deg) -> Deg {
    Deg(libm::round(angle.0 * 10.0) / 10.0)
}

/// The hole of a bar nearest to a size for which there is an answer, and the answer.
fn on<T>(said: &Sized, wanted: Mm, solved: impl Fn(Size) -> Option<T>) -> Option<(Mm, T)> {
    let (first, last, step) = said.cuts?;
    let count = libm::round((last - first) / step) as usize;
    let mut holes: Vec<f64> = (0..=count).map(|i| first + i as f64 * step).collect();
    holes.sort_by(|a, b| (a - wanted.0).abs().total_cmp(&(b - wanted.0).abs()));
    holes.into_iter().take(MOST_TRIED).find_map(|at| Some((Mm(at), solved(Size::Given(at))?)))
}

/// Of a four-bar.
pub(super) fn of_four_bar(said: &FourBarDrive, wish: &Wish<'_>, mut no: NoFit) -> NoFit {
    let with = |sizes: Sizes| solve(&Wish { sizes, ..*wish }).ok().map(|a| a.best);
    let on_bar = |n: Nearest| {
        let (change, choice) = match n.change {
            Change::Crank(at) => {
                let solved = |crank| with(Sizes { crank, ..wish.sizes });
                hole(&said.crank, at, solved).map(|(at, c)| (Change::Crank(at), c))?
            }
            Change::Lever(at) => {
                let solved = |lever| with(Sizes { lever, ..wish.sizes });
                hole(&said.lever, at, solved).map(|(at, c)| (Change::Lever(at), c))?
            }
            Change::Rod(at) => {
                let solved = |rod| with(Sizes { rod, ..wish.sizes });
                hole(&said.rod, at, solved).map(|(at, c)| (Change::Rod(at), c))?
            }
            Change::Clamp(at) => {
                let solved = |clamp| with(Sizes { clamp, ..wish.sizes });
                clamp(at, solved).map(|(at, c)| (Change::Clamp(at), c))?
            }
            Change::Sweep { from, to } => {
                let (from, to) = (tenth(from), tenth(to));
                let within = Some(wish.tolerance().min(usual_tolerance(to - from)));
                let found = solve(&Wish { sweep: (from, to), within, ..*wish }).ok()?;
                (Change::Sweep { from, to }, found.best)
            }
            Change::Motor { at, .. } => {
                let motor = marked(at, wish.system);
                let distance = motor.distance(wish.pivot);
                let found = solve(&Wish { motor, ..*wish }).ok()?;
                (Change::Motor { at: motor, distance }, found.best)
            }
        };
        Some(Nearest { change, choice })
    };
    no.nearest = no.nearest.into_iter().filter_map(on_bar).collect();
    // Beside a size that is given the solver looks in millimetres, and not far.
    let known = |crank: bool| {
        no.nearest.iter().any(|n| match n.change {
            Change::Crank(_) => crank,
            Change::Lever(_) => !crank,
            _ => false,
        })
    };
    let given = |s: &Sized| match s.size {
        Size::Given(v) if s.cuts.is_some() => Some(Mm(v)),
        _ => None,
    };
    let mut more = Vec::new();
    if let (Some(at), false) = (given(&said.crank), known(true)) {
        let found = on(&said.crank, at, |crank| with(Sizes { crank, ..wish.sizes }));
        more.extend(found.map(|(at, choice)| Nearest { change: Change::Crank(at), choice }));
    }
    if let (Some(at), false) = (given(&said.lever), known(false)) {
        let found = on(&said.lever, at, |lever| with(Sizes { lever, ..wish.sizes }));
        more.extend(found.map(|(at, choice)| Nearest { change: Change::Lever(at), choice }));
    }
    no.nearest.extend(more);
    no
}

/// Of a rod from another limb.
pub(super) fn of_forearm(
    (rod, lever): (&Sized, &Sized),
    wish: &ForearmWish<'_>,
    mut no: ForearmNoFit,
) -> ForearmNoFit {
    let with = |wish: ForearmWish<'_>| solve_forearm(&wish).ok()?.choices.into_iter().next();
    let on_bar = |(change, _)| match change {
        ForearmChange::Lever(at) => {
            let solved = |lever| with(ForearmWish { lever, ..*wish });
            hole(lever, at, solved).map(|(at, c)| (ForearmChange::Lever(at), c))
        }
        ForearmChange::Rod(at) => {
            let solved = |rod| with(ForearmWish { rod, ..*wish });
            hole(rod, at, solved).map(|(at, c)| (ForearmChange::Rod(at), c))
        }
        ForearmChange::Clamp(at) => {
            let solved = |clamp| with(ForearmWish { clamp, ..*wish });
            clamp(at, solved).map(|(at, c)| (ForearmChange::Clamp(at), c))
        }
        ForearmChange::Sweep { from, to } => {
            let sweep = (tenth(from), tenth(to));
            let within = Some(wish.tolerance().min(usual_tolerance(sweep.1 - sweep.0)));
            let found = with(ForearmWish { sweep, within, ..*wish })?;
            Some((ForearmChange::Sweep { from: sweep.0, to: sweep.1 }, found))
        }
    };
    no.nearest = no.nearest.into_iter().filter_map(on_bar).collect();
    no
}

/// Of a ram or cylinder.
pub(super) fn of_ram(lever: &Sized, wish: &RamWish, mut no: RamNoFit) -> RamNoFit {
    let with = |wish: RamWish| solve_ram(&wish).ok()?.into_iter().next();
    let on_bar = |(change, choice)| match change {
        RamChange::Lever(at) => {
            let solved = |lever| with(RamWish { lever, ..*wish });
            hole(lever, at, solved).map(|(at, c)| (RamChange::Lever(at), c))
        }
        RamChange::Clamp(at) => {
            let solved = |clamp| with(RamWish { clamp, ..*wish });
            clamp(at, solved).map(|(at, c)| (RamChange::Clamp(at), c))
        }
        RamChange::Sweep { from, to } => {
            let sweep = (tenth(from), tenth(to));
            let within = Some(wish.tolerance().min(usual_tolerance(sweep.1 - sweep.0)));
            let found = with(RamWish { sweep, within, ..*wish })?;
            Some((RamChange::Sweep { from: sweep.0, to: sweep.1 }, found))
        }
        RamChange::Anchor { at, .. } => {
            let at = marked(at, lever.system);
            let found = with(RamWish { anchor: Anchor::At(at), ..*wish })?;
            Some((RamChange::Anchor { at, distance: at.distance(wish.pivot) }, found))
        }
        several @ RamChange::Several { .. } => Some((several, choice)),
    };
    no.nearest = no.nearest.into_iter().filter_map(on_bar).collect();
    if no.nearest.is_empty() {
        let places = |at: BoardPoint| {
            let step = marked(BoardPoint::mm(1.0, 1.0), lever.system).x;
            let beside = [(0, 0), (1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (-1, -1)];
            let by = |(x, y): (i32, i32)| Vector::mm(f64::from(x) * step, f64::from(y) * step);
            beside.map(|b| marked(at, lever.system) + by(b)).to_vec()
        };
        // Of a bar its own holes.
        let holes = |wanted: Mm| match lever.cuts {
            None => {
                let mark = |by: f64| Size::Free.marked_length(wanted + Mm(by), lever.system);
                [0.0, 1.0, -1.0, 2.0, -2.0].map(mark).to_vec()
            }
            Some(_) => on(lever, wanted, |size| match size {
                Size::Given(hole) => Some(Mm(hole)),
                _ => None,
            })
            .map(|(_, hole)| hole)
            .into_iter()
            .collect(),
        };
        no.nearest.extend(solve_ram_otherwise(wish, (&places, &holes)));
    }
    no
}

/// Whether a size can be cut from what it is said to be cut from: any size where that
/// is no bar.
pub(super) fn has(said: &Sized, size: Mm) -> bool {
    said.cuts.is_none_or(|(first, last, step)| {
        let nth = libm::round((size.0 - first) / step);
        let hole = first + nth * step;
        (hole - size.0).abs() < 1e-6 && hole >= first - 1e-6 && hole <= last + 1e-6
    })
}
