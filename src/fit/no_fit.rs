//! Nothing fits, in a maker's words.

use crate::mechanism::Degenerate;
use crate::mechanism::solve::{Change, Nearest, NoFit, Reason};
use crate::units::print::{decimal, length};
use crate::units::{System, print};

/// "this works: …", "any one of these works: …; …"; `None` for no change.
pub(super) fn works(changes: impl IntoIterator<Item = String>) -> Option<String> {
    let changes: Vec<String> = changes.into_iter().collect();
    match changes.as_slice() {
        [] => None,
        [one] => Some(format!("this works: {one}.")),
        several => Some(format!("any one of these works: {}.", several.join("; "))),
    }
}

/// What is in the way.
pub(super) fn reason(no_fit: &NoFit, system: System) -> String {
    match no_fit.reason {
        Reason::Nonsense(Degenerate::CentresMeet) => {
            "motor and pivot stand on one another".to_owned()
        }
        Reason::Nonsense(Degenerate::Length) => {
            "a length is too small or too large to build".to_owned()
        }
        // The last three are never said of a four-bar.
        Reason::Nonsense(
            Degenerate::NotFinite
            | Degenerate::PinThroughPivot
            | Degenerate::OutOfReach
            | Degenerate::SlotAlongSlide,
        ) => "an angle or a place is too large to compute with".to_owned(),
        Reason::SweepTooWide { asked, most } => format!(
            "a crank that goes round pushes at worst at 90 deg less half the swing, so {} deg is too wide \
             ({} deg is the limit); a cord, a belt or gears can do it",
            decimal(asked.0, 0),
            decimal(most.0, 0)
        ),
        Reason::CannotTurn => {
            "no pair of crank and lever holes lets the crank go right round".to_owned()
        }
        Reason::SwingsTooMuch { least } => {
            format!("every pair of holes swings further, {} deg at the least", decimal(least.0, 1))
        }
        Reason::SwingsTooLittle { most } => {
            format!("no pair of holes swings so far, {} deg at the most", decimal(most.0, 1))
        }
        Reason::BetweenHoles { below, above } => format!(
            "each pair of holes swings too little (up to {} deg) or too much (from {} deg)",
            decimal(below.0, 1),
            decimal(above.0, 1)
        ),
        Reason::Rod { needs } => format!("the rod would have to be {} long", length(needs, system)),
        Reason::Clamp { needs } => {
            format!("the lever would have to be clamped at {} deg", decimal(needs.0, 0))
        }
        Reason::WeakPush { best } => format!(
            "the swing is there, but the rod pushes at {} deg at worst, and 20 is the least that works",
            decimal(best.0, 1)
        ),
    }
}

/// The single changes that work, nearest first, each solved.
pub(super) fn nearest(no_fit: &NoFit, system: System) -> Option<String> {
    works(no_fit.nearest.iter().map(|n| change(n, system))).or_else(|| {
        if let Reason::Nonsense(why) = no_fit.reason {
            return Some(super::cranked::instead(why).to_owned());
        }
        let seen = no_fit.best_seen?;
        Some(format!(
            "no single change makes it work; the nearest seen swings {} deg and pushes at {} deg at worst.",
            decimal(seen.swing.0, 1),
            decimal(seen.push.0, 1)
        ))
    })
}

fn change(nearest: &Nearest, system: System) -> String {
    let what = match nearest.change {
        Change::Sweep { from, to } => {
            format!("ask for {} to {} deg", decimal(from.0, 1), decimal(to.0, 1))
        }
        Change::Crank(hole) => format!("a crank hole at {}", length(hole, system)),
        Change::Lever(hole) => format!("a lever hole at {}", length(hole, system)),
        Change::Rod(rod) => format!("a rod of {}", length(rod, system)),
        Change::Clamp(angle) => format!("the lever at {} deg", decimal(angle.0, 0)),
        Change::Motor { at, distance } => format!(
            "the motor at {}, {} from the pivot",
            print::place((at.x, at.y), 0, system),
            length(distance, system)
        ),
    };
    format!("{what} (push {} deg at worst)", decimal(nearest.choice.push.0, 0))
}
