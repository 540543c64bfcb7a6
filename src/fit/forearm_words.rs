//! A forearm that nothing fits, in a maker's words.

use super::asked::{Counted, range_words};
use super::cranked::degenerate;
use super::no_fit::works;
use crate::mechanism::solve::{ForearmChange, ForearmChoice, ForearmNoFit, ForearmReason};
use crate::units::System;
use crate::units::print::{decimal, length};

/// What is in the way.
pub(super) fn reason(no: &ForearmNoFit, system: System) -> String {
    let deg = |v: f64| format!("{} deg", decimal(v, 1));
    match no.reason {
        ForearmReason::Nonsense(why) => degenerate(why).to_owned(),
        ForearmReason::Above(_) => "the limb above does not go all the way".to_owned(),
        ForearmReason::CannotClose => {
            "no lever hole and rod reach from the anchor to the pivot all the way round".to_owned()
        }
        ForearmReason::SwingsTooMuch { least } => {
            format!("each moves it further, {} at the least", deg(least.0))
        }
        ForearmReason::SwingsTooLittle { most } => {
            format!("none moves it so far, {} at the most", deg(most.0))
        }
        ForearmReason::BetweenHoles => "each lever hole moves it too little or too far".to_owned(),
        ForearmReason::Rod { needs } => {
            format!("the rod would have to be {} long", length(needs, system))
        }
        ForearmReason::Clamp { needs } => {
            format!("the lever would have to be clamped at {}", deg(needs.0))
        }
        ForearmReason::WeakPush { best } => {
            format!("it moves as asked, but the rod pushes at {} at worst", deg(best.0))
        }
    }
}

/// The single changes that work, each solved.
pub(super) fn nearest(no: &ForearmNoFit, system: System) -> Option<String> {
    works(no.nearest.iter().map(|(c, to)| change(c, to, system)))
}

fn change(change: &ForearmChange, to: &ForearmChoice, system: System) -> String {
    let what = match *change {
        ForearmChange::Sweep { from, to } => {
            format!("ask for {}", range_words((from.0, to.0), Counted::Degrees, system))
        }
        ForearmChange::Lever(hole) => format!("a lever hole at {}", length(hole, system)),
        ForearmChange::Rod(rod) => format!("a rod of {}", length(rod, system)),
        ForearmChange::Clamp(angle) => format!("the lever at {} deg", decimal(angle.0, 0)),
    };
    format!("{what} (push {} deg at worst)", decimal(to.push.0, 0))
}
