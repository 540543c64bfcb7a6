//! When nothing fits and a size is cut from a drilled bar: only holes the bar has are
//! named.
//!
//! The solvers know rows of holes and look beyond their ends; a bar ends where it ends.
//! Of what they found, sizes of a bar are put onto its holes and solved again.

use crate::mechanism::Size;
use crate::mechanism::solve::{
    Change, ForearmChange, ForearmNoFit, ForearmWish, Nearest, NoFit, RamChange, RamNoFit, RamWish,
    Sizes, Wish, solve, solve_forearm, solve_ram,
};
use crate::model::{FourBarDrive, Sized};
use crate::units::Mm;

/// So many of the nearest holes are tried.
const MOST_TRIED: usize = 40;

/// A size as it is where it is cut from no bar; else the hole of the bar nearest to it
/// for which there is an answer, and the answer.
fn hole<T>(
    said: &Sized,
    (wanted, found): (Mm, T),
    solved: impl Fn(Size) -> Option<T>,
) -> Option<(Mm, T)> {
    if said.cuts.is_none() {
        return Some((wanted, found));
    }
    on(said, wanted, solved)
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
        let found = n.choice;
        let (change, choice) = match n.change {
            Change::Crank(at) => {
                let solved = |crank| with(Sizes { crank, ..wish.sizes });
                hole(&said.crank, (at, found), solved).map(|(at, c)| (Change::Crank(at), c))?
            }
            Change::Lever(at) => {
                let solved = |lever| with(Sizes { lever, ..wish.sizes });
                hole(&said.lever, (at, found), solved).map(|(at, c)| (Change::Lever(at), c))?
            }
            Change::Rod(at) => {
                let solved = |rod| with(Sizes { rod, ..wish.sizes });
                hole(&said.rod, (at, found), solved).map(|(at, c)| (Change::Rod(at), c))?
            }
            other => (other, found),
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
    let on_bar = |(change, found)| match change {
        ForearmChange::Lever(at) => {
            let solved = |lever| with(ForearmWish { lever, ..*wish });
            hole(lever, (at, found), solved).map(|(at, c)| (ForearmChange::Lever(at), c))
        }
        ForearmChange::Rod(at) => {
            let solved = |rod| with(ForearmWish { rod, ..*wish });
            hole(rod, (at, found), solved).map(|(at, c)| (ForearmChange::Rod(at), c))
        }
        other => Some((other, found)),
    };
    no.nearest = no.nearest.into_iter().filter_map(on_bar).collect();
    no
}

/// Of a ram or cylinder.
pub(super) fn of_ram(lever: &Sized, wish: &RamWish, mut no: RamNoFit) -> RamNoFit {
    let with = |lever| solve_ram(&RamWish { lever, ..*wish }).ok()?.into_iter().next();
    let on_bar = |(change, found)| match change {
        RamChange::Lever(at) => {
            hole(lever, (at, found), with).map(|(at, c)| (RamChange::Lever(at), c))
        }
        other => Some((other, found)),
    };
    no.nearest = no.nearest.into_iter().filter_map(on_bar).collect();
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
