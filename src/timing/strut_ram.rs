//! Rams, and spools that wind a cord: one speed, switched out, in and off.

use crate::finding::{Finding, Place, Severity, Spanned};
use crate::fit::codes::TOO_FAST_FOR_RAM;
use crate::fit::{Pose, RamPace, ram_sum, ram_takes, ram_too_slow};
use crate::model::Action;
use crate::units::print::decimal;
use crate::units::{Beats, Mm, Sec, print};

use super::beat_lock::{LATEST, noticed};
use super::codes::{BEAT_MISSED, COLD, RAM_ARRIVES_EARLY, RAM_RUNS_HOT};
use super::expand::{Ask, AskTold};
use super::runs::unfit;
use super::stage::Played;
use super::strut::{CLOSE, Line, SAME, Way, accent_of, command, cycle_of};
use super::{Accent, ChannelKind, Key};

/// A ram that is there by this share of its time sooner is told of.
const EARLY: f64 = 0.2;

/// Makers give a ram's duty over about this long.
const WINDOW: Sec = Sec(600.0);

/// Everything a ram does in a show.
pub fn play(line: Line<'_, '_>, pace: RamPace, asks: &[Ask<'_>], played: &mut Played) {
    let mut ram = Ram { line, pace };
    for (i, ask) in asks.iter().enumerate() {
        ram.ask(ask, asks.get(i + 1).map(|a| a.from), played);
    }
    if let Some(ask) = asks.first() {
        ram.hot(ask, played);
    }
    let keys = ram.keys();
    ram.line.finish(ChannelKind::Travel, keys, played);
}

struct Ram<'s, 'a> {
    line: Line<'s, 'a>,
    pace: RamPace,
}

impl Ram<'_, '_> {
    fn ask(&mut self, ask: &Ask<'_>, next: Option<Sec>, played: &mut Played) {
        if !self.line.free_for(ask, played) {
            return;
        }
        let action = match ask.told {
            AskTold::Rest => {
                self.go(ask.from, self.line.rest);
                return;
            }
            AskTold::Do(action) => action,
        };
        self.still_under_way(ask, played);
        match action {
            Action::Turn { to, over } => {
                let Some(length) = self.stop(to.map(Pose::Turned), ask, played) else { return };
                let over = over.as_ref();
                let given = over.and_then(|o| self.line.stage.clock.length(ask.at, o.value));
                let place = over.map_or(to.place, |o| o.place);
                let way = length - self.line.at(ask.from);
                if let Some(given) = given {
                    self.fast_enough(&[way], given, place, ask, played);
                    self.early(way, given, place, ask, played);
                }
                self.go(ask.from, length);
                self.and_back(ask, next);
            }
            Action::Pose(to) => {
                let Some(length) = self.stop(to.map(Pose::Turned), ask, played) else { return };
                self.go(ask.from, length);
                self.and_back(ask, next);
            }
            Action::Sweep { .. } | Action::Stroke { .. } => self.swing(ask, action, next, played),
            Action::On => {
                self.go(ask.from, self.line.on);
                self.and_back(ask, next);
            }
            Action::Off => self.go(ask.from, self.line.off()),
            Action::Pulse { up } if self.pulls() => {
                self.go(ask.from, self.line.on);
                let stay = self.line.stage.clock.length(ask.at, up.value).unwrap_or(Sec(0.0));
                self.go((ask.from + stay).max(self.line.last().0), self.line.off());
            }
            Action::Follow { .. } | Action::Spin { .. } | Action::Pulse { .. } => {
                let why = if self.pace.word == "spool" {
                    "is moved by a spool, which winds in, lets out and stops, all at one speed"
                } else {
                    "is moved by a ram, which goes out, in and stops, each at its own speed"
                };
                played.findings.extend(unfit(self.line.stage, ask, why));
            }
        }
    }

    /// Whether it draws in a cord.
    fn pulls(&self) -> bool {
        self.line.on == self.line.short
    }

    /// The length for a place to stop at.
    fn stop(&self, limb: Spanned<Pose>, ask: &Ask<'_>, played: &mut Played) -> Option<Mm> {
        let length = self.line.reached(limb, ask, played)?;
        self.line.between((limb, length), ask, Severity::Advice, played);
        Some(length)
    }

    /// Goes to a length at its own speed, from wherever it is.
    fn go(&mut self, at: Sec, length: Mm) {
        self.line.cut(at);
        let start = self.line.at(at);
        let at = at.max(self.line.last().0);
        if (length - start).abs() > Mm(1e-9) {
            let to = at + self.pace.time(length - start);
            self.line.ways.push(Way { from: at, to, start, end: length });
        }
    }

    /// Back to rest when the cue ends, where there is time for it.
    fn and_back(&mut self, ask: &Ask<'_>, next: Option<Sec>) {
        let Some(end) = ask.to else { return };
        let (there, length) = self.line.last();
        let end = end.max(there);
        let over = self.pace.time(self.line.rest - length);
        if next.is_none_or(|n| n >= end + over) {
            self.go(end, self.line.rest);
        }
    }

    /// A cue that comes while the ram is still on its way.
    fn still_under_way(&self, ask: &Ask<'_>, played: &mut Played) {
        let (end, _) = self.line.last();
        let Some(last) = self.line.ways.last().filter(|_| end > ask.from + SAME) else { return };
        let message = format!(
            "{} is still on its way when it is told something else at {}: it needs {} s more.",
            self.line.full_name(),
            self.line.stage.when(ask.from),
            decimal((end - ask.from).0, 1)
        );
        let help = ram_takes(self.pace.longest(last.end - last.start));
        let early = Finding::new(&TOO_FAST_FOR_RAM, ask.cue, message)
            .with_severity(Severity::Warning)
            .help(help)
            .about(self.line.stage.name(), Some(self.line.name()))
            .given("it is told something else at", format!("{} s", decimal(ask.from.0, 3)))
            .given("it is there at", format!("{} s", decimal(end.0, 3)))
            .sum("it needs more", format!("{} - {}", decimal(end.0, 3), decimal(ask.from.0, 3)), {
                format!("{} s", decimal((end - ask.from).0, 3))
            });
        played.findings.push(early);
    }

    /// To and fro, each way at its own speed, the accent on the beat.
    fn swing(&mut self, ask: &Ask<'_>, action: &Action, next: Option<Sec>, played: &mut Played) {
        let Some((from, to)) = self.line.both_ends(action, ask, played) else { return };
        let (way, accent) = (to - from, accent_of(action));
        if way.abs() < CLOSE {
            return;
        }
        let own = self.pace.time(way);
        let turns: Vec<(Sec, Sec)> = match cycle_of(action) {
            Some(cycle) => {
                let turns = self.line.cycles(ask, cycle.value, accent.is_some());
                let shortest =
                    turns.iter().map(|(a, b)| *b - *a).fold(Sec(f64::INFINITY), Sec::min);
                if !self.fast_enough(&[way, -way], shortest, cycle.place, ask, played) {
                    return;
                }
                turns
            }
            None => {
                let whole = own + self.pace.time(-way);
                let count =
                    libm::floor(((self.line.end_of(ask) - ask.from) / whole) + 1e-9).max(1.0);
                (0..count as usize)
                    .map(|k| (ask.from + whole * k as f64, ask.from + whole * (k as f64 + 1.0)))
                    .collect()
            }
        };
        let share = accent.and_then(|a| {
            let at = self.line.length_for(a.value, ask)?;
            Some(((at - from) / way).clamp(0.0, 1.0))
        });
        let before = own * share.unwrap_or(0.0);
        for (i, &(beat, after)) in turns.iter().enumerate() {
            let begin = beat - before;
            if i == 0 {
                self.approach(from, begin);
            }
            self.go(begin, to);
            self.go(begin + (after - beat) / 2.0, from);
            if share.is_some() && begin.0 >= 0.0 {
                let late = before * (self.pace.speed / self.pace.warm - 1.0);
                played.accents.push(Accent {
                    figure: self.line.stage.name().to_owned(),
                    limb: self.line.stage.limb_name(ask.limb).to_owned(),
                    wanted: beat,
                    nominal: Sec(0.0),
                    worst: late,
                    cue: ask.cue,
                });
                if i == 0 && noticed(late) {
                    self.missed((before, late), accent.map_or(ask.cue, |a| a.place), ask, played);
                }
            }
        }
        let (end, length) = self.line.last();
        let over = self.pace.time(self.line.rest - length);
        if next.is_none_or(|n| n >= end + over) {
            self.go(end, self.line.rest);
        }
    }

    /// Comes to a length just in time.
    fn approach(&mut self, length: Mm, at: Sec) {
        self.line.cut(at);
        let (last, start) = self.line.last();
        let over = self.pace.time(length - start);
        self.go((at - over).max(last), length);
    }

    /// Holds ways, one after the other, against the ram's speed; whether they can be made
    /// at all.
    fn fast_enough(
        &self,
        ways: &[Mm],
        given: Sec,
        place: Place,
        ask: &Ask<'_>,
        played: &mut Played,
    ) -> bool {
        let hair = 1.0 - 1e-4;
        let way: Mm = ways.iter().map(|w| w.abs()).fold(Mm(0.0), |a, b| a + b);
        let at = |speed: f64| self.pace.at_speed(speed, ways);
        let needs = |speed: f64| at(speed).0 * hair;
        if needs(self.pace.cold) <= given.0 {
            return true;
        }
        let impossible = needs(self.pace.warm) > given.0;
        let stage = self.line.stage;
        // What the gesture alone shows was told when the limb was fitted.
        let told = stage.fitted.findings.iter();
        let known = told
            .chain(&played.findings)
            .any(|f| f.code.word == TOO_FAST_FOR_RAM.word && f.place == Some(place));
        if known {
            return !impossible;
        }
        let (name, system) = (self.line.full_name(), stage.fitted.figure.system);
        let (code, message) = if impossible {
            (&TOO_FAST_FOR_RAM, ram_too_slow(&name, (way, given), &self.pace, system))
        } else {
            let message = format!(
                "{name} is to move its {} by {} in {} s; a slow one takes {} s when warm, but {} s on a \
                 cold night.",
                self.pace.word,
                print::size(way, 0, system),
                decimal(given.0, 2),
                decimal(at(self.pace.warm).0, 2),
                decimal(at(self.pace.cold).0, 2)
            );
            (&COLD, message)
        };
        let mut help = ram_takes(at(self.pace.cold));
        if let Some(beats) = self.in_beats(ask, at(self.pace.cold)) {
            help = format!("{} ({beats} beats here).", help.trim_end_matches('.'));
        }
        let found = Finding::new(code, place, message)
            .help(help)
            .about(stage.name(), Some(self.line.name()));
        let found = found.steps(ram_sum((way, given), &self.pace, system));
        played.findings.push(if place == ask.cue {
            found
        } else {
            found.related("asked here", ask.cue)
        });
        !impossible
    }

    /// A time in beats at a cue, rounded up to quarters.
    fn in_beats(&self, ask: &Ask<'_>, time: Sec) -> Option<f64> {
        let clock = self.line.stage.clock;
        let from = Beats::nearest(clock.beat_of(ask.from)?)?;
        let tempo = clock.song?.tempo.tempo_at(from).0;
        Some(libm::ceil(time.0 * tempo / 60.0 * 4.0 - 1e-6) / 4.0)
    }

    /// A ram that is there long before its time is over.
    fn early(&self, way: Mm, given: Sec, place: Place, ask: &Ask<'_>, played: &mut Played) {
        let takes = self.pace.time(way);
        if way.abs() < CLOSE || takes.0 >= given.0 * (1.0 - EARLY) {
            return;
        }
        let stage = self.line.stage;
        let message = format!(
            "{} is there after {} s of its {}: a {} has one speed.",
            self.line.full_name(),
            decimal(takes.0, 1),
            decimal(given.0, 1),
            self.pace.word
        );
        let found = Finding::new(&RAM_ARRIVES_EARLY, place, message)
            .help(format!(
                "begin the cue later, or take a slower {} or a longer lever.",
                self.pace.word
            ))
            .about(stage.name(), Some(self.line.name()));
        let system = stage.fitted.figure.system;
        let found = found
            .steps(ram_sum((way.abs(), given), &self.pace, system))
            .given("there after", format!("{} s", decimal(takes.0, 2)));
        played.findings.push(if place == ask.cue {
            found
        } else {
            found.related("asked here", ask.cue)
        });
    }

    fn missed(&self, (before, late): (Sec, Sec), place: Place, ask: &Ask<'_>, played: &mut Played) {
        let message = format!(
            "{} may be {} ms late on the beat; people notice {}.",
            self.line.full_name(),
            decimal(late.0 * 1000.0, 0),
            decimal(LATEST.0 * 1000.0, 0)
        );
        played.findings.push(
            Finding::new(&BEAT_MISSED, place, message)
                .help("time this one over its stroke and write its own `speed` and `spread`, or take a shorter way.")
                .related("asked here", ask.cue)
                .about(self.line.stage.name(), Some(self.line.name()))
                .given("way to the accent takes", format!("{} s", decimal(before.0, 3)))
                .given("speed by its sheet", format!("{} mm/s", decimal(self.pace.speed, 2)))
                .given("that of a slow one", format!("{} mm/s", decimal(self.pace.warm, 2)))
                .sum(
                    "late at worst",
                    format!(
                        "{} x ({}/{} - 1)",
                        decimal(before.0, 3),
                        decimal(self.pace.speed, 2),
                        decimal(self.pace.warm, 2)
                    ),
                    format!("{} ms", decimal(late.0 * 1000.0, 1)),
                )
                .given("people notice", format!("{} ms", decimal(LATEST.0 * 1000.0, 0))),
        );
    }

    /// Holds the time it runs in any ten minutes against its duty.
    fn hot(&self, ask: &Ask<'_>, played: &mut Played) {
        let stage = self.line.stage;
        let figure = stage.figure();
        let duty = figure.motor_of(self.line.limb).and_then(|m| figure.actuators[m].motor.duty);
        let (Some(duty), Some((at, on))) = (duty, busiest(&self.line.ways)) else { return };
        if on.0 <= WINDOW.0 * duty.0 * (1.0 + 1e-9) {
            return;
        }
        let message = format!(
            "{} runs its {} for {} s of the ten minutes from {} on; its duty of {} % allows {} s.",
            self.line.full_name(),
            self.pace.word,
            decimal(on.0, 0),
            stage.when(at),
            decimal(duty.0 * 100.0, 0),
            decimal(WINDOW.0 * duty.0, 0)
        );
        played.findings.push(
            Finding::new(&RAM_RUNS_HOT, ask.cue, message)
                .help("move it less often, or let it rest while others play.")
                .about(stage.name(), Some(self.line.name()))
                .given("busiest ten minutes begin at", stage.when(at))
                .given("in motion then", format!("{} s", decimal(on.0, 1)))
                .sum(
                    "its duty allows",
                    format!("{} s x {}/100", decimal(WINDOW.0, 0), decimal(duty.0 * 100.0, 1)),
                    format!("{} s", decimal(WINDOW.0 * duty.0, 1)),
                ),
        );
    }

    /// 1 out, -1 in, 0 off; towards an end as long as a slow one needs, for there its
    /// own switch stops it.
    fn keys(&self) -> Vec<Key> {
        let mut keys = vec![Key { at: Sec(0.0), value: 0.0 }];
        let ways = &self.line.ways;
        for (i, way) in ways.iter().enumerate() {
            let sign = if way.end > way.start { 1.0 } else { -1.0 };
            command(&mut keys, way.from, sign);
            // Only an end with a switch may be run against.
            let at_end = self.line.stops
                && [self.line.short, self.line.long].iter().any(|e| (*e - way.end).abs() < CLOSE);
            let slow = way.from + self.pace.longest(way.end - way.start);
            let off = if at_end { slow.max(way.to) } else { way.to };
            match ways.get(i + 1).map(|n| n.from) {
                Some(next) if next <= off + Sec(1e-9) => {}
                _ => command(&mut keys, off, 0.0),
            }
        }
        keys
    }
}

/// The ten minutes with the most motion: when they begin, and how much of them it is.
/// They may be taken to begin with a way.
fn busiest(ways: &[Way]) -> Option<(Sec, Sec)> {
    let (mut first, mut on) = (0, Sec(0.0));
    let mut best: Option<(Sec, Sec)> = None;
    // Ways ahead of the window's end are added whole, the last cut off at it.
    let mut next = 0;
    while first < ways.len() {
        let end = ways[first].from + WINDOW;
        while next < ways.len() && ways[next].from < end {
            on += ways[next].to - ways[next].from;
            next += 1;
        }
        let beyond = ways[..next].last().map_or(Sec(0.0), |w| (w.to - end).max(Sec(0.0)));
        let here = on - beyond;
        if best.is_none_or(|(_, most)| here > most) {
            best = Some((ways[first].from, here));
        }
        on = on - (ways[first].to - ways[first].from);
        first += 1;
    }
    best
}
