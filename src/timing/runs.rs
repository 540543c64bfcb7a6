//! What one motor is asked to do: its runs one after the other, and conflicts.
//!
//! One cue on a limb of a shared motor moves all its limbs, so everything asked
//! of any of them is asked of the motor.

use std::collections::BTreeSet;

use crate::finding::{Finding, Place, Spanned, list_of};
use crate::fit::Pose;
use crate::model::{Action, DriveKind, Figure, Joint, Limb, Span};
use crate::resolve::moment::Moment;
use crate::units::Sec;

use super::codes::{CUES_DISAGREE, GESTURE_UNFIT};
use super::expand::{Ask, AskTold};
use super::stage::Stage;

/// The pace a motor is asked for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Pace {
    /// One turn in this time, and only whole turns.
    Cycle(Span),
    /// So many turns in this time, not counted, negative the other way round.
    Spin {
        /// Motor turns.
        turns: f64,
        /// In this time.
        per: Span,
    },
    /// As fast as it likes, whole turns.
    Own,
    /// As fast as it likes until it is switched off.
    On,
}

/// One limb's part in a run.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Member {
    /// The limb.
    pub limb: usize,
    /// The angle or place that must be met on the beat.
    pub accent: Option<Spanned<Pose>>,
    /// Whether it counts from the limb that carries this one.
    pub bends: bool,
    /// The cue.
    pub cue: Place,
}

/// One run of a motor.
#[derive(Clone, Debug)]
pub struct Run {
    /// When it is asked for, in the music.
    pub at: Moment,
    /// When, in seconds after the start signal.
    pub from: Sec,
    /// Until when it is asked for.
    pub to: Sec,
    /// Told to stop here: turns that begin later are left out.
    pub stop: Option<Sec>,
    /// How fast.
    pub pace: Pace,
    /// Where the pace is written.
    pub pace_place: Option<Place>,
    /// Whose it is; the first with an accent sets the phase.
    pub members: Vec<Member>,
}

impl Run {
    /// Until when it is asked for and not told to stop.
    #[must_use]
    pub fn end(&self) -> Sec {
        self.stop.map_or(self.to, |s| s.min(self.to))
    }

    /// Another cue goes on with this run. A limb that is asked for the same again has no
    /// second part in it: each of its accents is one.
    fn join(&mut self, member: Member) {
        let asked = |m: &Member| (m.limb, m.bends, m.accent.map(|a| a.value));
        if !self.members.iter().any(|m| asked(m) == asked(&member)) {
            self.members.push(member);
        }
    }
}

/// Asks as one motor's runs, in order of time and not overlapping.
pub fn runs(stage: &Stage<'_>, asks: &[Ask<'_>], findings: &mut Vec<Finding>) -> Vec<Run> {
    let mut gather = Gather { stage, runs: Vec::new(), last_rest: None, told: BTreeSet::new() };
    for ask in asks {
        gather.take(ask, findings);
    }
    gather.runs
}

struct Gather<'s, 'a> {
    stage: &'s Stage<'a>,
    runs: Vec<Run>,
    last_rest: Option<(Sec, Place)>,
    told: BTreeSet<(Place, Place)>,
}

impl Gather<'_, '_> {
    fn take(&mut self, ask: &Ask<'_>, findings: &mut Vec<Finding>) {
        let limb = &self.stage.figure().limbs[ask.limb];
        match ask.told {
            AskTold::Rest | AskTold::Do(Action::Off) => self.rest(ask, findings),
            AskTold::Do(action) => match pace_of(limb, action) {
                Ok((pace, place, accent)) => {
                    let bends = self.stage.seen.is_none() && bends(limb, action);
                    let member = Member { limb: ask.limb, accent, bends, cue: ask.cue };
                    self.start(ask, pace, place, member, findings);
                }
                Err(why) => findings.extend(unfit(self.stage, ask, why)),
            },
        }
    }

    /// Ends what runs, and refuses a start at the very same time.
    fn rest(&mut self, ask: &Ask<'_>, findings: &mut Vec<Finding>) {
        self.last_rest = Some((ask.from, ask.cue));
        let Some(last) = self.runs.last_mut() else { return };
        if (last.from - ask.from).abs() < SAME {
            let other = last.members[0].cue;
            self.disagree(ask, other, findings);
            return;
        }
        if last.to > ask.from || last.pace == Pace::On {
            last.stop = Some(last.stop.map_or(ask.from, |s| s.min(ask.from)));
        }
    }

    fn start(
        &mut self,
        ask: &Ask<'_>,
        pace: Pace,
        pace_place: Option<Place>,
        member: Member,
        findings: &mut Vec<Finding>,
    ) {
        if let Some((at, cue)) = self.last_rest
            && (at - ask.from).abs() < SAME
        {
            self.disagree(ask, cue, findings);
            return;
        }
        let to = self.end_of(ask, pace);
        let fresh = Run {
            at: ask.at,
            from: ask.from,
            to,
            stop: None,
            pace,
            pace_place,
            members: vec![member],
        };
        let Some(last) = self.runs.last_mut() else {
            self.runs.push(fresh);
            return;
        };
        let open = matches!(last.pace, Pace::On | Pace::Spin { .. }) && last.stop.is_none();
        if ask.from >= last.end() - SAME || (open && last.to >= self.stage.duration) {
            // What has no end of its own gives way to the next cue.
            last.to = last.to.min(ask.from);
            if goes_on(last, &fresh) {
                last.to = to;
                last.join(member);
            } else {
                self.runs.push(fresh);
            }
        } else if last.pace == pace {
            last.to = last.to.max(to);
            last.join(member);
        } else {
            let other = last.members[0].cue;
            self.disagree(ask, other, findings);
        }
    }

    fn end_of(&self, ask: &Ask<'_>, pace: Pace) -> Sec {
        if let Some(to) = ask.to {
            return to.max(ask.from);
        }
        let own = match pace {
            Pace::Cycle(span) => self.stage.clock.length(ask.at, span),
            Pace::Own => Some(Sec(0.0)),
            Pace::On | Pace::Spin { .. } => None,
        };
        own.map_or(self.stage.duration, |l| ask.from + l)
    }

    /// One finding for each pair of cues, however often they meet.
    fn disagree(&mut self, ask: &Ask<'_>, other: Place, findings: &mut Vec<Finding>) {
        let pair = (ask.cue.min(other), ask.cue.max(other));
        if self.told.insert(pair) {
            findings.push(disagreement(self.stage, ask, other));
        }
    }
}

/// Closer than this is the same time.
const SAME: Sec = Sec(1e-3);

/// Whether the later run goes on where the earlier one ends.
fn goes_on(last: &Run, next: &Run) -> bool {
    let phase =
        |r: &Run| r.members.iter().find_map(|m| m.accent.map(|a| (m.limb, m.bends, a.value)));
    last.stop.is_none()
        && last.pace == next.pace
        && matches!(last.pace, Pace::Cycle(_))
        && (last.to - next.from).abs() < SAME
        && phase(last) == phase(next)
}

/// Two cues that ask for different things at once.
pub fn disagreement(stage: &Stage<'_>, ask: &Ask<'_>, other: Place) -> Finding {
    let figure = stage.figure();
    let limb = figure.limbs[ask.limb].name.value.as_str();
    let shared = figure.motor_of(ask.limb).map_or(0, |m| figure.driven_by(m).count()) > 1;
    let why = if shared { " or another limb on its motor" } else { "" };
    Finding::new(
        &CUES_DISAGREE,
        ask.cue,
        format!(
            "at {} {}.{limb}{why} is already told something else.",
            stage.when(ask.from),
            stage.name()
        ),
    )
    .help("let the first cue end before this one starts, or take one of them out.")
    .related("told here", other)
    .about(stage.name(), Some(limb))
}

/// A gesture the drive cannot make, where it is written in the cue itself; a
/// limb's own gestures were held against its drive when it was fitted.
pub fn unfit(stage: &Stage<'_>, ask: &Ask<'_>, why: &str) -> Option<Finding> {
    let limb = stage.figure().limbs[ask.limb].name.value.as_str();
    let known = stage.figure().limbs[ask.limb].gestures.iter().map(|g| g.name.value.as_str());
    let help = match list_of(known, "or", 8) {
        none if none.is_empty() => "write a gesture that its drive can make.".to_owned(),
        some => format!("cue one of its own: {some}."),
    };
    let finding = Finding::new(&GESTURE_UNFIT, ask.cue, format!("{}.{limb} {why}.", stage.name()))
        .help(help)
        .about(stage.name(), Some(limb));
    ask.inline.then_some(finding)
}

/// Whether an action of a limb counts its angles from the limb that carries it: only
/// its own gestures can.
#[must_use]
pub fn bends(limb: &Limb, action: &Action) -> bool {
    limb.gestures.iter().any(|g| g.relative && g.action == *action)
}

type Paced = (Pace, Option<Place>, Option<Spanned<Pose>>);

/// What an action asks of the motor behind a limb.
fn pace_of(limb: &Limb, action: &Action) -> Result<Paced, &'static str> {
    let spin = match limb.drive.as_ref().map(|d| &d.mechanism) {
        Some(DriveKind::Spin(spin)) => Some(spin),
        _ => None,
    };
    let slides = matches!(limb.joint, Joint::Slide { .. });
    match (action, spin) {
        (Action::On, _) => Ok((Pace::On, None, None)),
        (Action::Sweep { .. }, None) if slides => {
            Err("slides; write `stroke A to B` instead of a sweep")
        }
        (Action::Stroke { cycle, accent, .. }, None) if slides => {
            let pace = cycle.as_ref().map_or(Pace::Own, |c| Pace::Cycle(c.value));
            Ok((pace, cycle.as_ref().map(|c| c.place), accent.map(|a| a.map(Pose::Slid))))
        }
        (Action::Sweep { cycle, accent, .. }, None) => {
            let pace = cycle.as_ref().map_or(Pace::Own, |c| Pace::Cycle(c.value));
            Ok((pace, cycle.as_ref().map(|c| c.place), accent.map(|a| a.map(Pose::Turned))))
        }
        (Action::Spin { turn, per }, Some(spin)) if spin.ratio != 0.0 => {
            let turns = turn.0 / 360.0 / spin.ratio.abs();
            Ok((Pace::Spin { turns, per: per.value }, Some(per.place), None))
        }
        (Action::Spin { .. }, _) => {
            Err("swings to and fro on its crank; only a limb on a `spin` drive turns on and on")
        }
        (Action::Sweep { .. }, Some(_)) => {
            Err("turns on and on; a swing to and fro needs a crank or a servo")
        }
        (Action::Turn { .. } | Action::Pose(_), _) => Err(
            "is moved by a motor that cannot stop at an angle; only a servo can, or `rest` at its park contact",
        ),
        (Action::Follow { .. }, _) => {
            Err("is moved by a motor that cannot follow a sound; only a servo can")
        }
        (Action::Stroke { .. }, _) => Err("turns about a bolt and has no stroke"),
        (Action::Pulse { .. }, _) => Err("is not moved by air; `pulse` is for a cylinder"),
        (Action::Off, _) => Ok((Pace::On, None, None)),
    }
}

/// The limbs of a figure that a motor turns: through crank, cam or train, or through
/// another limb.
pub fn turned_by(figure: &Figure, motor: usize) -> Vec<usize> {
    figure
        .driven_by(motor)
        .filter(|&l| figure.limbs[l].drive.as_ref().is_some_and(|d| d.mechanism.is_turned()))
        .collect()
}
