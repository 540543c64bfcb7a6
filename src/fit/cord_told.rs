//! What is named where no cord fits: a horn, a lever or a clamp, each as it is written.

use super::asked::Motion;
use super::cord::{drawing_enough, marked};
use super::no_fit::works;
use super::puller::{By, CordSizes, Puller, built};
use crate::mechanism::Size;
use crate::mechanism::solve::{CordChange, CordWish, Drawer, solve_cord};
use crate::model::CordDrive;
use crate::units::print::length;
use crate::units::{Mm, System};

/// Whether a horn takes the limb to both ends as it is marked out, inside its servo's travel.
pub(super) fn reaches(
    said: &CordDrive,
    (puller, asked): (&Puller, &Motion<'_>),
    sizes: &CordSizes,
) -> bool {
    if !matches!(puller.by, By::Horn { .. }) {
        return true;
    }
    built(puller, &marked(said, sizes)).is_some_and(|(_, built)| {
        let (low, high) = asked.told(&built.course.travel);
        low <= asked.from + 1e-6 && high >= asked.to - 1e-6
    })
}

/// Whether a change works when it is written as it is told: with what draws the cord in too.
pub(super) fn as_told(
    said: &CordDrive,
    wish: &CordWish<'_>,
    of: (&Puller, &Motion<'_>),
    change: CordChange,
) -> bool {
    if matches!(change, CordChange::Lever(hole) if hole < SHORTEST_LEVER) {
        return false;
    }
    let (mut said, mut wish) = (said.clone(), *wish);
    match change {
        CordChange::Crank(radius) => {
            said.crank.size = Size::Given(radius.0);
            if let Drawer::Crank { shaft, .. } = wish.drawer {
                wish.drawer = Drawer::Crank { shaft, radius: said.crank.size };
            }
        }
        CordChange::Lever(hole) => {
            said.lever.size = Size::Given(hole.0);
            wish.lever = said.lever.size;
        }
        CordChange::Clamp(angle) => {
            said.clamp.size = Size::Given(libm::round(angle.0));
            wish.clamp = said.clamp.size;
        }
    }
    solve_cord(&wish).is_ok_and(|choices| {
        let all = drawing_enough(&said.crank, of.0, &choices);
        all.iter().any(|sizes| reaches(&said, of, sizes))
    })
}

/// So far is looked for another horn or lever, mm.
const OTHER_HOLES: u32 = 60;
/// No shorter lever is named: its hole would be in its bolt (common practice, no source).
const SHORTEST_LEVER: Mm = Mm(5.0);

/// The nearest longer horn and the nearest shorter lever with which enough cord is drawn in.
pub(super) fn enough_with(
    said: &CordDrive,
    wish: &CordWish<'_>,
    of: (&Puller, &Motion<'_>),
    system: System,
) -> Option<String> {
    let end = |size: Size, high: bool| match size {
        Size::Given(v) => Some(v),
        Size::Row { lo, hi, .. } | Size::Between { lo, hi } => Some(if high { hi } else { lo }),
        Size::Free => None,
    };
    let horn = end(said.crank.size, true).filter(|_| matches!(of.0.by, By::Horn { .. }));
    let horn = horn.and_then(|longest| {
        (1..=OTHER_HOLES)
            .map(|n| longest + f64::from(n))
            .find(|radius| as_told(said, wish, of, CordChange::Crank(Mm(*radius))))
    });
    let lever = end(said.lever.size, false).and_then(|shortest| {
        let holes = (1..=OTHER_HOLES)
            .map(|n| shortest - f64::from(n))
            .take_while(|c| *c >= SHORTEST_LEVER.0);
        holes.into_iter().find(|c| as_told(said, wish, of, CordChange::Lever(Mm(*c))))
    });
    let told = |what: &str, mm: f64| format!("{what} {}", length(Mm(mm), system));
    let horn = horn.map(|r| told("a horn hole at", r));
    works(horn.into_iter().chain(lever.map(|c| told("a lever hole at", c))))
}
