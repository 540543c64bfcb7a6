//! What is said of a cord that nothing fits.

use super::cranked::{degenerate, instead};
use super::no_fit::works;
use super::puller::By;
use crate::mechanism::Degenerate;
use crate::mechanism::solve::{CordChange, CordChoice, CordNoFit, CordReason};
use crate::units::print::{decimal, length};
use crate::units::{Mm, System};

/// What is in the way.
pub(super) fn reason(no: &CordNoFit, by: By, system: System) -> String {
    match no.reason {
        // The cord is looked at from its last eye on.
        CordReason::Nonsense(Degenerate::CentresMeet) => {
            "its last eye stands on the pivot, and a cord to there turns nothing".to_owned()
        }
        CordReason::Nonsense(why) => degenerate(why).to_owned(),
        CordReason::LiesDead => {
            "within the swing the lever would point straight at the eye or away from it".to_owned()
        }
        CordReason::Pull { least, most } => {
            let draws = match by {
                By::Wound { most: Some(stroke), .. } => {
                    format!("a cylinder draws in all of its stroke, {}", length(stroke, system))
                }
                _ => "the crank draws in another length".to_owned(),
            };
            let (least, most) = (length(least, system), length(most, system));
            let takes = if least == most { least } else { format!("{least} to {most}") };
            format!("such a swing takes {takes} of cord, and {draws}")
        }
        CordReason::WeakPush { best } => format!(
            "it moves as asked, but the cord pulls at {} deg to the lever at worst, and 20 is the least that works",
            decimal(best.0, 1)
        ),
    }
}

/// The single changes that work, each solved.
pub(super) fn nearest(no: &CordNoFit, system: System) -> Option<String> {
    works(no.nearest.iter().map(|(c, to)| change(c, to, system))).or_else(|| match no.reason {
        CordReason::Nonsense(Degenerate::CentresMeet) => Some(
            "move the eye away, to where its cord stands square to the lever in mid-swing."
                .to_owned(),
        ),
        CordReason::Nonsense(why) => Some(instead(why).to_owned()),
        CordReason::LiesDead | CordReason::WeakPush { .. } => Some(
            "let the eye stand square to the lever in the middle of the swing, or ask for a smaller one."
                .to_owned(),
        ),
        CordReason::Pull { .. } => Some(
            "ask for a smaller swing, or let a spool draw the cord in: it winds any length."
                .to_owned(),
        ),
    })
}

fn change(change: &CordChange, to: &CordChoice, system: System) -> String {
    let what = match *change {
        CordChange::Crank(radius) => format!("a crank of {}", length(radius, system)),
        CordChange::Lever(hole) => format!("a lever hole at {}", length(hole, system)),
        CordChange::Clamp(angle) => format!("the lever at {} deg", decimal(angle.0, 0)),
    };
    format!("{what} (pull at {} deg at worst)", decimal(to.push.0, 0))
}

/// A horn or a ram that draws in too little.
pub(super) fn pulls_too_little(name: &str, by: By, pull: Mm, system: System) -> String {
    let what = match by {
        By::Wound { most: Some(most), .. } => format!("the ram draws in {}", length(most, system)),
        _ => "no horn within its range draws in so much as far as its servo turns".to_owned(),
    };
    format!("{name} needs {} of cord drawn in, and {what}.", length(pull, system))
}
