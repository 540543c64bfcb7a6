//! Air cylinders: a valve opened and shut ahead, so that the limb is there in time.

use crate::finding::{Finding, Severity, Spanned};
use crate::fit::{AirPace, FILL, Pose, VALVE};
use crate::model::Action;
use crate::units::print::decimal;
use crate::units::{Mm, Sec};

use super::codes::TOO_FAST_FOR_CYLINDER;
use super::expand::{Ask, AskTold};
use super::runs::unfit;
use super::stage::Played;
use super::strut::{Line, SAME, Way, accent_of, command, cycle_of};
use super::{Accent, ChannelKind, Key};

/// Everything a cylinder does in a show.
pub fn play(line: Line<'_, '_>, pace: AirPace, asks: &[Ask<'_>], played: &mut Played) {
    let mut air = Air { line, pace };
    for ask in asks {
        air.ask(ask, played);
    }
    let keys = air.keys();
    air.line.finish(ChannelKind::Switch, keys, played);
}

struct Air<'s, 'a> {
    line: Line<'s, 'a>,
    pace: AirPace,
}

impl Air<'_, '_> {
    fn ask(&mut self, ask: &Ask<'_>, played: &mut Played) {
        if !self.line.free_for(ask, played) {
            return;
        }
        let (on, off) = (self.line.on, self.line.off());
        let action = match ask.told {
            AskTold::Rest => {
                self.line.cut(ask.from + VALVE + FILL);
                let home = self.end(self.line.rest);
                self.leave(ask.from + VALVE + FILL, home, ask, played);
                return;
            }
            AskTold::Do(action) => action,
        };
        match action {
            Action::Pulse { up } => {
                let stay = self.line.stage.clock.length(ask.at, up.value).unwrap_or(Sec(0.0));
                if self.arrive(ask.from, on, ask, played) {
                    self.leave(ask.from + stay, off, ask, played);
                }
            }
            Action::On => {
                let there = self.arrive(ask.from, on, ask, played);
                if let (true, Some(end)) = (there, ask.to) {
                    self.leave(end, off, ask, played);
                }
            }
            Action::Off => {
                self.arrive(ask.from, off, ask, played);
            }
            Action::Turn { to, over } => {
                let over = over.as_ref().map(|o| o.value);
                let given = over.and_then(|o| self.line.stage.clock.length(ask.at, o));
                self.turn(to.map(Pose::Turned), given, ask, played);
            }
            Action::Pose(to) => self.turn(to.map(Pose::Turned), None, ask, played),
            Action::Sweep { .. } | Action::Stroke { .. } => self.swing(ask, action, played),
            Action::Follow { .. } | Action::Spin { .. } => {
                let why = "is moved by a cylinder, which only goes out and in";
                played.findings.extend(unfit(self.line.stage, ask, why));
            }
        }
    }

    /// Whether a length is nearer to where air takes it than to where it goes without:
    /// a piston pushed out, a cord drawn in.
    fn is_on(&self, length: Mm) -> bool {
        (length - self.line.on).abs() < (length - self.line.off()).abs()
    }

    /// The end a length stands for.
    fn end(&self, length: Mm) -> Mm {
        if self.is_on(length) { self.line.on } else { self.line.off() }
    }

    fn takes(&self, length: Mm) -> Sec {
        if self.is_on(length) { self.pace.up } else { self.pace.down }
    }

    /// To the end a place stands for; there when the cue says, or its time is over.
    fn turn(
        &mut self,
        limb: Spanned<Pose>,
        given: Option<Sec>,
        ask: &Ask<'_>,
        played: &mut Played,
    ) {
        let Some(length) = self.line.reached(limb, ask, played) else { return };
        if self.line.between((limb, length), ask, Severity::Error, played) {
            return;
        }
        let end = self.end(length);
        let takes = self.takes(end);
        if let Some(given) = given.filter(|g| takes.0 > g.0 * (1.0 + 1e-4)) {
            self.too_fast(
                Severity::Error,
                format!(
                    "{} is to be there in {} s; its cylinder is throttled to {} s.",
                    self.line.full_name(),
                    decimal(given.0, 2),
                    decimal(takes.0, 2)
                ),
                "give it more time, or open the throttle.".to_owned(),
                ask,
                played,
            );
            return;
        }
        let there = self.arrive(ask.from + given.unwrap_or(Sec(0.0)), end, ask, played);
        if let (true, Some(until)) = (there, ask.to) {
            let home = self.end(self.line.rest);
            self.leave(until, home, ask, played);
        }
    }

    /// Is at an end by a time.
    fn arrive(&mut self, at: Sec, end: Mm, ask: &Ask<'_>, played: &mut Played) -> bool {
        self.travel(at - self.takes(end), end, ask, played)
    }

    /// Leaves for an end at a time.
    fn leave(&mut self, at: Sec, end: Mm, ask: &Ask<'_>, played: &mut Played) -> bool {
        self.travel(at, end, ask, played)
    }

    /// Moves to an end from a time on; whether there is time for it.
    fn travel(&mut self, from: Sec, end: Mm, ask: &Ask<'_>, played: &mut Played) -> bool {
        let (free, length) = self.line.last();
        if (length - end).abs() < Mm(1e-6) {
            return true;
        }
        let (before, takes) = (VALVE + FILL, self.takes(end));
        let first = self.line.ways.is_empty();
        let mut from = from;
        if first && from < before {
            let message = format!(
                "the valve of {} would have to be told {} s before the show starts.",
                self.line.full_name(),
                decimal((before - from).0, 2)
            );
            let help = format!("begin its first cue {} s or more into the show.", {
                decimal(libm::ceil((before + takes).0 * 100.0) / 100.0, 2)
            });
            self.too_fast(Severity::Warning, message, help, ask, played);
            from = before;
        } else if !first && from < free - SAME {
            let whole = self.pace.up + self.pace.down;
            let message = format!(
                "at {} {} is still moving: its cylinder takes {} s out and {} s in again.",
                self.line.stage.when(ask.from),
                self.line.full_name(),
                decimal(self.pace.up.0, 2),
                decimal(self.pace.down.0, 2)
            );
            let help = format!("leave {} s or more between one and the next.", decimal(whole.0, 2));
            self.too_fast(Severity::Error, message, help, ask, played);
            return false;
        }
        let from = from.max(free);
        self.line.ways.push(Way { from, to: from + takes, start: length, end });
        true
    }

    fn too_fast(
        &self,
        severity: Severity,
        message: String,
        help: String,
        ask: &Ask<'_>,
        played: &mut Played,
    ) {
        let place = ask.cue;
        let known =
            |f: &Finding| f.code.word == TOO_FAST_FOR_CYLINDER.word && f.place == Some(place);
        if played.findings.iter().any(known) {
            return;
        }
        played.findings.push(
            Finding::new(&TOO_FAST_FOR_CYLINDER, place, message)
                .with_severity(severity)
                .help(help)
                .given("told at", self.line.stage.when(ask.from))
                .given("out takes", format!("{} s", decimal(self.pace.up.0, 3)))
                .given("in again takes", format!("{} s", decimal(self.pace.down.0, 3)))
                .sum(
                    "between one and the next",
                    format!("{} + {}", decimal(self.pace.up.0, 3), decimal(self.pace.down.0, 3)),
                    format!("{} s", decimal((self.pace.up + self.pace.down).0, 3)),
                )
                .about(self.line.stage.name(), Some(self.line.name())),
        );
    }

    /// Out and in again each cycle, the accent on the beat.
    fn swing(&mut self, ask: &Ask<'_>, action: &Action, played: &mut Played) {
        let Some(cycle) = cycle_of(action) else {
            let why = "is moved by air, which has no pace of its own: give the gesture a `cycle`";
            played.findings.extend(unfit(self.line.stage, ask, why));
            return;
        };
        let Some((from, to)) = self.line.both_ends(action, ask, played) else { return };
        let (from, to, accent) = (self.end(from), self.end(to), accent_of(action));
        if (from - to).abs() < Mm(1e-6) {
            return;
        }
        let share = accent.and_then(|a| {
            let at = self.line.length_for(a.value, ask)?;
            Some(((at - from) / (to - from)).clamp(0.0, 1.0))
        });
        let before = self.takes(to) * share.unwrap_or(0.0);
        let turns = self.line.cycles(ask, cycle.value, accent.is_some());
        for (i, &(beat, after)) in turns.iter().enumerate() {
            let begin = beat - before;
            if i == 0 && (self.line.last().1 - from).abs() > Mm(1e-6) {
                self.arrive(begin, from, ask, played);
            }
            let fits = self.travel(begin, to, ask, played)
                && self.travel(begin + (after - beat) / 2.0, from, ask, played);
            if !fits {
                return;
            }
            if share.is_some() {
                let there = self.line.ways.iter().rev().nth(1).map_or(beat, |w| w.from + before);
                played.accents.push(Accent {
                    figure: self.line.stage.name().to_owned(),
                    limb: self.line.stage.limb_name(ask.limb).to_owned(),
                    wanted: beat,
                    nominal: there - beat,
                    worst: there - beat,
                    cue: ask.cue,
                });
            }
        }
    }

    /// 1 air on, 0 off, told ahead of the motion by what valve and filling take.
    fn keys(&self) -> Vec<Key> {
        let out = |length| if self.is_on(length) { 1.0 } else { 0.0 };
        let mut keys = vec![Key { at: Sec(0.0), value: out(self.line.rest) }];
        for way in &self.line.ways {
            command(&mut keys, (way.from - VALVE - FILL).max(Sec(0.0)), out(way.end));
        }
        keys
    }
}
