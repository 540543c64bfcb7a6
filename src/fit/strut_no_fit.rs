//! Why no ram or cylinder fits, and the nearest that does, in words.

use super::asked::Motion;
use super::cranked::{degenerate, instead};
use super::no_fit::works;
use super::strut::Said;
use super::{Bench, codes};
use crate::mechanism::solve::{RAM_PUSH_FLOOR, RamChange, RamChoice, RamNoFit, RamReason};
use crate::mechanism::{Degenerate, Size};
use crate::units::print::{decimal, length};
use crate::units::{Mm, System, print};

impl Bench<'_> {
    /// Reports that nothing fits: what is in the way, and the nearest that works.
    pub(super) fn strut_unfit(&mut self, said: &Said<'_>, asked: &Motion<'_>, no: &RamNoFit) {
        let system = self.figure.system;
        let asks = [said.strut.lever.ask, said.strut.clamp.ask];
        let place = asks.into_iter().flatten().next().unwrap_or(said.drive.place);
        // A lever that is given is one hole, and is named.
        let hole = match said.strut.lever.size {
            Size::Given(lever) => Some(format!("a lever of {}", length(Mm(lever), system))),
            _ => None,
        };
        let message = format!(
            "nothing within the ranges swings {} from {}: {}.",
            self.name(),
            asked.words(system),
            match no.reason {
                _ if asked.range() >= 180.0 => {
                    format!("a {} swings a limb by less than 180 deg", said.word())
                }
                RamReason::Nonsense(Degenerate::CentresMeet) => {
                    "anchor and pivot are one point".to_owned()
                }
                why => reason(why, said.word(), hole.as_deref()),
            }
        );
        let anchors = "move the anchor to where the lever's pin is never nearer than the shortest and never \
                       farther than the longest length: shortest length and lever together from the pivot is \
                       a good start."
            .to_owned();
        let changes = no.nearest.iter().map(|(change, choice)| remedy(change, choice, system));
        let found = self.report(&codes::NOTHING_FITS, place, message);
        found.help = works(changes).or_else(|| match no.reason {
            RamReason::Nonsense(why) => Some(instead(why).to_owned()),
            RamReason::DeadCentre => Some(anchors),
            _ => None,
        });
        found.related.push(("the motion asked for".to_owned(), asked.gesture.place));
    }
}

/// What is in the way; `hole`: the lever, where there is only one.
fn reason(why: RamReason, word: &str, hole: Option<&str>) -> String {
    let each = hole.unwrap_or("each hole");
    match why {
        RamReason::Nonsense(why) => degenerate(why).to_owned(),
        RamReason::DeadCentre => {
            format!("with {each} the {word} does not reach, or comes into one line with the lever")
        }
        RamReason::SwingsTooMuch { least } => {
            let least = decimal(least.0, 1);
            match hole {
                Some(hole) => format!("{hole} swings it further, {least} deg"),
                None => format!("each hole swings it further, {least} deg at the least"),
            }
        }
        RamReason::SwingsTooLittle { most } => {
            let most = decimal(most.0, 1);
            match hole {
                Some(hole) => format!("{hole} swings it {most} deg only"),
                None => format!("no hole swings it so far, {most} deg at the most"),
            }
        }
        RamReason::BetweenHoles { below, above } => format!(
            "each hole swings it too little (up to {} deg) or too far (from {} deg)",
            decimal(below.0, 1),
            decimal(above.0, 1)
        ),
        RamReason::Clamp { needs } => {
            format!("the lever would have to be clamped at {} deg", decimal(needs.0, 0))
        }
        RamReason::WeakPush { best } => format!(
            "it swings as asked, but is pushed at {} deg at worst, and {} or more is wanted",
            decimal(best.0, 1),
            decimal(RAM_PUSH_FLOOR.0, 0)
        ),
    }
}

fn remedy(change: &RamChange, choice: &RamChoice, system: System) -> String {
    let what = match *change {
        RamChange::Sweep { from, to } => {
            format!("ask for {} to {} deg", decimal(from.0, 1), decimal(to.0, 1))
        }
        RamChange::Lever(hole) => format!("a lever hole at {}", length(hole, system)),
        RamChange::Clamp(angle) => format!("the lever at {} deg", decimal(angle.0, 0)),
        RamChange::Anchor { at, distance } => format!(
            "the anchor at {}, {} from the pivot",
            print::place((at.x, at.y), 0, system),
            length(distance, system)
        ),
        RamChange::Several { lever, clamp, at } => {
            let anchor = format!("the anchor at {}", print::place((at.x, at.y), 0, system));
            let lever = lever.map(|hole| format!("a lever hole at {}", length(hole, system)));
            let clamp = clamp.map(|angle| format!("the lever at {} deg", decimal(angle.0, 0)));
            [Some(anchor), lever, clamp].into_iter().flatten().collect::<Vec<_>>().join(" and ")
        }
    };
    format!("{what} (push {} deg at worst)", decimal(choice.push.0, 0))
}
