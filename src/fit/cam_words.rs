//! What is wrong with a cam, in a maker's words.

use super::no_fit::works;
use crate::mechanism::cam::size::{Answer, Change, NoFit, Reason};
use crate::mechanism::cam::{NoProgramme, Refusal, What};
use crate::units::print::{decimal, length};
use crate::units::{Deg, Mm, System};

/// Why the segments make no turn, and what to do.
pub(super) fn programme(why: &NoProgramme, name: &str) -> (String, String) {
    let help = "write for instance `rise 120 deg dwell 40 deg  fall 120 deg dwell 80 deg`.";
    let message = match why {
        NoProgramme::Total { turn } => format!(
            "the rises, falls and dwells of {name} make {} deg, and one turn of the cam is 360.",
            decimal(turn.0, 1)
        ),
        NoProgramme::Turn { turn, .. } => format!(
            "a rise, fall or dwell of {name} would take {} deg of the cam's turn.",
            decimal(turn.0, 1)
        ),
        NoProgramme::Repeats => format!(
            "{name} can rise and fall 1 to {} times in a turn of its cam.",
            crate::mechanism::cam::Programme::MOST_REPEATS
        ),
        NoProgramme::Still | NoProgramme::Order { .. } | NoProgramme::Open => {
            format!("the cam of {name} does not come back to where it began.")
        }
    };
    (message, help.to_owned())
}

/// What is in the way.
pub(super) fn reason(reason: &Reason, system: System) -> String {
    let long = |l| length(l, system);
    match reason {
        Reason::Refused(refusal) => refused(refusal, system),
        Reason::NoChoice => "the range of an open size holds nothing to choose from".to_owned(),
        Reason::Steep { pressure, most } => format!(
            "it pushes {} deg off the way the limb moves, and {} is the most that is usual",
            decimal(pressure.0, 0),
            decimal(most.0, 0)
        ),
        Reason::Sharp { radius, wants } => format!(
            "its curve bends with {} radius at the sharpest, and {} is wanted",
            long(*radius),
            long(*wants)
        ),
        Reason::Hub { base, wants } => format!(
            "a base circle of {} leaves too little round the shaft: {} is wanted",
            long(*base),
            long(*wants)
        ),
        Reason::OverPivot { reach, most } => format!(
            "the cam reaches {} from its motor and would cover the limb's bolt: {} is the most",
            long(*reach),
            long(*most)
        ),
        Reason::Clamp { needs } => {
            format!("the lever would have to be clamped at {} deg", decimal(needs.0, 1))
        }
        Reason::Base { needs } if needs.0 < 1.0 => {
            "with this roller, lever and clamp no base circle does it, however small".to_owned()
        }
        Reason::Base { needs } => {
            format!("with this clamp the base circle would have to be {}", long(*needs))
        }
    }
}

fn refused(refusal: &Refusal, system: System) -> String {
    let long = |l| length(l, system);
    match refusal {
        Refusal::Size(what) => format!("{} is too small or too large to build", named(*what)),
        Refusal::OffsetBeyond { most } => {
            format!("the roller passes beside the cam: its offset must stay below {}", long(*most))
        }
        Refusal::CentresMeet => "motor and pivot stand on one another".to_owned(),
        Refusal::OutOfReach { has, above, below } => format!(
            "the lever cannot lay its roller on the cam: base circle and roller are {} together, and must lie between {} and {}",
            long(*has),
            long(*above),
            long(*below)
        ),
        Refusal::PastTop { most } => format!(
            "the lever comes to point straight away from the motor after {} deg, and a cam lifts it no further",
            decimal(most.0, 1)
        ),
        Refusal::FaceMisses { most } => format!(
            "the face misses the cam: base circle and stand-off together must stay below {}",
            long(*most)
        ),
        Refusal::FaceRunsAhead { ratio } => format!(
            "the face would turn {} times as fast as the cam, and must stay slower",
            decimal(*ratio, 2)
        ),
    }
}

const fn named(what: What) -> &'static str {
    match what {
        What::Base => "the base circle",
        What::Lift => "the lift",
        What::Roller => "the roller",
        What::Lever => "the lever",
        What::Offset => "the offset",
        What::StandOff => "the stand-off",
        What::Place => "a place or an angle",
    }
}

/// A cam that can be cut and pushes: nobody is told to take one that is no larger than
/// its shaft, or that pushes square to the way the limb moves.
fn sound(answer: &Answer) -> bool {
    let (least, steepest) = (Mm(5.0), Deg(60.0));
    answer.cam.plan().base >= least && answer.facts.pressure.value <= steepest
}

/// What helps where no single size was found that does; `offset` where the file says how far
/// the roller passes beside the shaft.
pub(super) fn instead(reason: &Reason, offset: bool) -> Option<String> {
    let Reason::Refused(refusal) = reason else { return None };
    Some(
        match refusal {
            Refusal::CentresMeet => {
                "move the motor away from the pivot, by more than the base circle and a washer."
            }
            Refusal::Size(What::Lift) => {
                "ask for a motion of a millimetre or a degree at least, and less than half a turn."
            }
            Refusal::Size(What::Roller) => {
                "take a roller that is smaller than the base circle: 8 mm is usual."
            }
            Refusal::Size(_) => return None,
            Refusal::OffsetBeyond { .. } if offset => "let the roller pass nearer to the motor.",
            Refusal::OffsetBeyond { .. } => {
                "let the guide pass nearer to the motor; or say with `offset` how far beside the shaft the \
                 roller sits on its limb."
            }
            Refusal::OutOfReach { .. } => {
                "take a longer lever, or move the motor nearer to where its roller swings."
            }
            Refusal::PastTop { .. } => "ask for a smaller swing.",
            Refusal::FaceMisses { .. } => {
                "move the motor farther from the pivot, or take a smaller base circle."
            }
            Refusal::FaceRunsAhead { .. } => {
                "let it rise over more of the turn, or take a roller instead of the flat face."
            }
        }
        .to_owned(),
    )
}

/// The single changes that work, each solved.
pub(super) fn nearest(no_fit: &NoFit, clamped: bool, system: System) -> Option<String> {
    let changes =
        no_fit.nearest.iter().filter(|(_, answer)| sound(answer)).map(|(change, answer)| {
            let what = match change {
                Change::Base(base) if clamped => {
                    format!("the base circle left open, `base ?` ({} then)", length(*base, system))
                }
                Change::Base(base) => format!("a base circle of {}", length(*base, system)),
                Change::Roller(roller) => format!("a roller of {}", length(*roller, system)),
                Change::Lever(lever) => format!("a lever of {}", length(*lever, system)),
                Change::Travel(share) => {
                    format!("{} % of the travel", decimal(share * 100.0, 0))
                }
                Change::Clamp(angle) => {
                    format!("its angle left open, `at ?` ({} deg then)", decimal(angle.0, 1))
                }
            };
            let push = answer.facts.pressure.value.0;
            format!("{what} (pushes {} deg off square at worst)", decimal(push, 0))
        });
    works(changes)
}
