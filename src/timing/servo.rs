//! Limbs on servos: angles over time, and what the servo is too slow for.

use std::collections::BTreeMap;
use std::rc::Rc;

use crate::finding::{Finding, Severity, Spanned};
use crate::fit::codes::SERVO_OUT_OF_TRAVEL;
use crate::fit::{Fitted, FittedServo, Pose};
use crate::model::{Action, Easing, Source, Span};
use crate::units::print::decimal;
use crate::units::{Deg, Sec};

use super::codes::TOO_FAST_FOR_SERVO;
use super::expand::{Ask, AskTold};
use super::follow::Heard;
use super::keys::Sample;
use super::runs::{disagreement, unfit};
use super::servo_pace::Pace;
use super::stage::{Played, Stage};
use super::{Accent, Channel, ChannelKind, Key, LimbMotion, Path, Piece, easing, linkage};

/// Keys stay this close to the wanted angle: half a hobby servo's dead band of
/// half a degree (common practice, no source).
pub const TOLERANCE: Deg = Deg(0.25);
/// So many angles of a servo lie at hand while its keys are written; others are looked up.
const HAND: usize = 256;
/// An odd number near the golden ratio of all 64-bit ones: numbers times this differ in
/// their highest bits (D. E. Knuth, The Art of Computer Programming, vol. 3, section 6.4).
const SCATTER: u64 = 0x9e37_79b9_7f4a_7c15;

/// Everything a limb on a servo does in a show.
pub fn play(stage: &Stage<'_>, limb: usize, asks: &[Ask<'_>], heard: &Heard, played: &mut Played) {
    let Some(Fitted::Servo(servo)) = stage.mechanism(limb) else { return };
    let mut line = Line::new(stage, limb, servo, heard);
    for (i, ask) in asks.iter().enumerate() {
        let next = asks.get(i + 1).map(|a| a.from);
        line.ask(ask, next, played);
    }
    line.finish(played);
}

/// A limb's angle over time, growing.
struct Line<'s, 'a> {
    stage: &'s Stage<'a>,
    limb: usize,
    servo: &'a FittedServo,
    heard: &'s Heard,
    pace: Pace<'a>,
    rest: Option<Deg>,
    /// Corners of the curve, limb angles.
    points: Vec<(Sec, Deg)>,
    /// Until when something was asked for, by which cue, and what.
    busy: Option<(Sec, Sec, crate::finding::Place, AskKind)>,
    error: f64,
    /// Moves worked out already, by shape and size.
    shapes: Vec<(Easing, Deg, Rc<[Sample]>)>,
}

/// Enough of an ask to tell whether the next is the same.
#[derive(Clone, Copy, Debug, PartialEq)]
enum AskKind {
    Rest,
    Action(*const Action),
}

impl AskKind {
    fn of(told: AskTold<'_>) -> Self {
        match told {
            AskTold::Rest => Self::Rest,
            AskTold::Do(action) => Self::Action(action),
        }
    }
}

impl<'s, 'a> Line<'s, 'a> {
    fn new(stage: &'s Stage<'a>, limb: usize, servo: &'a FittedServo, heard: &'s Heard) -> Self {
        let rest = stage.figure().limbs[limb].rest.map(|r| r.value);
        let rest = rest.map(|r| r + servo.turn_for((r, r)));
        let start = rest.unwrap_or((servo.low + servo.high) / 2.0);
        let points = vec![(Sec(0.0), start)];
        Self {
            stage,
            limb,
            servo,
            heard,
            pace: Pace::new(servo),
            rest,
            points,
            busy: None,
            error: 0.0,
            shapes: Vec::new(),
        }
    }

    /// A move of this size as few straight lines within the tolerance; most moves
    /// of a show are repeats, so each is worked out once.
    fn shape(&mut self, easing: Easing, way: Deg) -> Rc<[Sample]> {
        let way = way.abs();
        let known = self.shapes.iter().find(|(e, w, _)| *e == easing && *w == way);
        if let Some((.., lines)) = known {
            return Rc::clone(lines);
        }
        let lines: Rc<[Sample]> = easing::lines(easing, TOLERANCE.0 / way.0).into();
        self.shapes.push((easing, way, Rc::clone(&lines)));
        lines
    }

    fn last(&self) -> (Sec, Deg) {
        self.points.last().copied().unwrap_or_default()
    }

    fn name(&self) -> &'a str {
        self.stage.limb_name(self.limb)
    }

    /// One ask; `next` is when the next one begins.
    fn ask(&mut self, ask: &Ask<'_>, next: Option<Sec>, played: &mut Played) {
        let end = self.end_of(ask);
        if let Some((from, to, cue, kind)) = self.busy {
            let same = kind == AskKind::of(ask.told);
            if same && (from - ask.from).abs().0 < 1e-3 {
                return;
            }
            let rests = ask.told == AskTold::Rest;
            let clash = (ask.from - from).abs().0 < 1e-3 || (ask.from.0 < to.0 - 1e-3 && !rests);
            if clash {
                let known = played
                    .findings
                    .iter()
                    .any(|f| f.place == Some(ask.cue) && f.related.iter().any(|(_, p)| *p == cue));
                if !known {
                    played.findings.push(disagreement(self.stage, ask, cue));
                }
                return;
            }
        }
        self.busy = Some((ask.from, end, ask.cue, AskKind::of(ask.told)));
        match ask.told {
            AskTold::Rest => self.go_to_rest(ask.from),
            AskTold::Do(action) => self.act(ask, action, end, next, played),
        }
    }

    fn end_of(&self, ask: &Ask<'_>) -> Sec {
        let own = match ask.told {
            AskTold::Do(action) => super::expand::own_span(action),
            AskTold::Rest => None,
        };
        ask.to
            .or_else(|| own.and_then(|s| self.stage.clock.length(ask.at, s)).map(|l| ask.from + l))
            .unwrap_or(ask.from)
    }

    fn act(
        &mut self,
        ask: &Ask<'_>,
        action: &Action,
        end: Sec,
        next: Option<Sec>,
        played: &mut Played,
    ) {
        match action {
            Action::Turn { to, over } => {
                let angle = self.own(*to, ask, played);
                let here = self.last().1;
                let over_time = over
                    .as_ref()
                    .and_then(|o| self.stage.clock.length(ask.at, o.value))
                    .unwrap_or_else(|| self.quickest(here, angle));
                let place = over.as_ref().map_or(to.place, |o| o.place);
                let way = (here, angle);
                self.fast_enough(way, over_time, Easing::Smooth, place, ask, played);
                self.go(ask.from, ask.from + over_time, angle, Easing::Smooth);
                if ask.to.is_some() {
                    self.back_to_rest(end, next);
                }
            }
            Action::Pose(to) => {
                let angle = self.own(*to, ask, played);
                let over = self.quickest(self.last().1, angle);
                self.go(ask.from, ask.from + over, angle, Easing::Smooth);
                if ask.to.is_some() {
                    self.back_to_rest(end, next);
                }
            }
            Action::Sweep { from, to, cycle: Some(cycle), accent, easing, .. } => {
                let turn = self.servo.turn_for((from.value, to.value));
                self.reachable(*from, turn, ask, played);
                self.reachable(*to, turn, ask, played);
                let swing = Swing {
                    from: from.value + turn,
                    to: to.value + turn,
                    cycle: cycle.value,
                    accent: accent.map(|a| a.map(|a| a + turn)),
                    easing: *easing,
                };
                self.sweep(ask, &swing, cycle.place, end, next, played);
            }
            Action::Sweep { .. } => played.findings.extend(unfit(
                self.stage,
                ask,
                "is moved by a servo, which has no pace of its own: give the sweep a `cycle`",
            )),
            Action::Follow { range, .. } => {
                let to = ask.to.unwrap_or(self.stage.duration);
                let range = range.map_or((self.servo.low, self.servo.high), |(quiet, loud)| {
                    let turn = self.servo.turn_for((quiet, loud));
                    for angle in [quiet, loud] {
                        self.reachable(Spanned::new(angle, ask.cue), turn, ask, played);
                    }
                    (quiet + turn, loud + turn)
                });
                if let Some(curve) = self.heard.get(action) {
                    self.follow(ask.from, to, curve, range);
                }
                self.back_to_rest(to, next);
            }
            Action::Spin { .. } => played.findings.extend(unfit(
                self.stage,
                ask,
                "is moved by a servo, which cannot turn on and on",
            )),
            Action::Stroke { .. } | Action::Pulse { .. } => played.findings.extend(unfit(
                self.stage,
                ask,
                "is moved by a servo, which turns and has no stroke",
            )),
            Action::On | Action::Off => {}
        }
    }

    /// Moves to an angle between two times.
    fn go(&mut self, from: Sec, to: Sec, angle: Deg, easing: Easing) {
        let (last, start) = self.last();
        let from = from.max(last);
        let to = to.max(from);
        if from > last {
            self.points.push((from, start));
        }
        let way = angle - start;
        if way.0 == 0.0 {
            return;
        }
        for &(x, y) in self.shape(easing, way).iter().skip(1) {
            self.points.push((from + (to - from) * x, start + way * y));
        }
        self.error = self.error.max(TOLERANCE.0.min(way.abs().0 / 2.0));
    }

    /// The shortest time for a smooth move without load; at once where the
    /// servo's speed is not known.
    fn quickest(&mut self, from: Deg, to: Deg) -> Sec {
        self.pace.quickest(Easing::Smooth, from, to)
    }

    fn go_to_rest(&mut self, at: Sec) {
        self.cut(at);
        if let Some(rest) = self.rest {
            let over = self.quickest(self.last().1, rest);
            self.go(at, at + over, rest, Easing::Smooth);
        }
    }

    /// Back to rest after a cue, where a rest is said and nothing follows at once.
    fn back_to_rest(&mut self, end: Sec, next: Option<Sec>) {
        let Some(rest) = self.rest else { return };
        let end = end.max(self.last().0);
        let over = self.quickest(self.last().1, rest);
        if next.is_none_or(|n| n >= end + over) {
            self.go(end, end + over, rest, Easing::Smooth);
        }
    }

    /// Takes back what was planned after a time.
    fn cut(&mut self, at: Sec) {
        let here = self.at(at);
        let keep = self.points.partition_point(|(t, _)| *t < at);
        if keep < self.points.len() && keep > 0 {
            self.points.truncate(keep);
            self.points.push((at, here));
        }
    }

    fn at(&self, t: Sec) -> Deg {
        super::motion::on_lines(&self.points, t)
    }

    /// To and fro, the accent on the beat.
    fn sweep(
        &mut self,
        ask: &Ask<'_>,
        swing: &Swing,
        place: crate::finding::Place,
        end: Sec,
        next: Option<Sec>,
        played: &mut Played,
    ) {
        let way = swing.to - swing.from;
        if way.0 == 0.0 {
            return;
        }
        let accent = swing.accent.map(|a| {
            easing::when_done(swing.easing, (a.value - swing.from).0 / way.0).clamp(0.0, 1.0) / 2.0
        });
        let start = |k: f64| {
            let m = self.stage.clock.plus(ask.at, swing.cycle, k)?;
            self.stage.clock.time(m)
        };
        let mut shortest: Option<Sec> = None;
        let mut turns = Vec::new();
        let (mut before, mut here) = (start(-1.0), start(0.0));
        for k in 0..100_000 {
            let after = start(f64::from(k) + 1.0);
            let (Some(b), Some(h), Some(n)) = (before, here, after) else { return };
            if !(n.0 > h.0 && h.0 > b.0) {
                return;
            }
            let wanted = if accent.is_some() { h.0 < end.0 - 1e-6 } else { n.0 <= end.0 + 1e-6 };
            if k > 0 && !wanted {
                break;
            }
            turns.push((b, h, n));
            shortest = Some(shortest.map_or(n - h, |s| s.min(n - h)));
            (before, here) = (here, after);
        }
        let Some(shortest) = shortest else { return };
        let ends = (swing.from, swing.to);
        if !self.fast_enough(ends, shortest / 2.0, swing.easing, place, ask, played) {
            return;
        }
        let wait = self.sharp_share(swing, shortest);
        // A sharp swing has come to its accent before it waits.
        let f = accent.unwrap_or(0.0) * wait;
        let turns: Vec<(Sec, Sec, Sec)> = turns
            .into_iter()
            .map(|(b, h, n)| (b * f + h * (1.0 - f), h, h * f + n * (1.0 - f)))
            .collect();
        self.approach(swing.from, turns[0].0);
        let lines = self.shape(swing.easing, way);
        self.points.reserve(2 * turns.len() * lines.len());
        for &(from, beat, to) in &turns {
            let half = (to - from) / 2.0;
            for (begin, a, by) in [(from, swing.from, way), (from + half, swing.to, -way)] {
                for &(x, y) in lines.iter().skip(1) {
                    self.points.push((begin + half * (x * wait), a + by * y));
                }
                if wait < 1.0 {
                    self.points.push((begin + half, a + by));
                }
            }
            if swing.accent.is_some() {
                played.accents.push(Accent {
                    figure: self.stage.name().to_owned(),
                    limb: self.name().to_owned(),
                    wanted: beat,
                    nominal: Sec(0.0),
                    worst: Sec(0.0),
                    cue: ask.cue,
                });
            }
        }
        self.error = self.error.max(TOLERANCE.0.min(way.abs().0 / 2.0));
        let last = turns[turns.len() - 1].2;
        self.back_to_rest(last, next);
    }

    /// The share of a half cycle a sharp swing is in motion: as fast as the servo
    /// goes with a limb on it, then it waits at the end.
    fn sharp_share(&mut self, swing: &Swing, cycle: Sec) -> f64 {
        if swing.easing != Easing::Sharp || self.pace.brisk().is_none_or(|b| b <= 0.0) {
            return 1.0;
        }
        let over = self.pace.quickest(swing.easing, swing.from, swing.to);
        (over.0 / (cycle.0 / 2.0)).min(1.0)
    }

    /// Comes to the start of a sweep just in time.
    fn approach(&mut self, angle: Deg, at: Sec) {
        self.cut(at);
        let (last, start) = self.last();
        let over = self.quickest(start, angle);
        self.go((at - over).max(last), at, angle, Easing::Smooth);
        let now = self.last().0;
        if at > now {
            self.points.push((at, angle));
        }
    }

    /// Follows a loudness between two angles.
    fn follow(&mut self, from: Sec, to: Sec, curve: &super::follow::Curve, range: (Deg, Deg)) {
        let (quiet, loud) = range;
        let way = loud - quiet;
        let limit = self.pace.fastest();
        let delay = self.stage.clock.delay;
        let mut samples: Vec<Sample> = Vec::new();
        let steps = ((to - from).0 * super::follow::RATE).ceil().clamp(0.0, 1e6) as usize;
        let mut angle = self.last().1.0;
        for i in 0..=steps {
            let t = (from + Sec(i as f64 / super::follow::RATE)).min(to);
            let wanted = (quiet + way * curve.at(t - delay)).0;
            // The servo goes no faster than it can, from where it is.
            let most = limit.map_or(f64::INFINITY, |l| l / super::follow::RATE);
            let turn = match self.pace.direct() {
                true => (wanted - angle).abs(),
                false => (self.shaft_angle(Deg(wanted)) - self.shaft_angle(Deg(angle))).abs().0,
            };
            angle = if turn <= most { wanted } else { angle + (wanted - angle) * (most / turn) };
            samples.push((t.0, angle));
        }
        let kept = super::keys::fewest(&samples, TOLERANCE.0);
        self.error = self.error.max(super::keys::error(&samples, &kept));
        for i in kept {
            let (t, v) = samples[i];
            if t > self.last().0.0 {
                self.points.push((Sec(t), Deg(v)));
            }
        }
    }

    /// An angle in the turn of the circle in which the servo's reach counts.
    fn own(&self, angle: Spanned<Deg>, ask: &Ask<'_>, played: &mut Played) -> Deg {
        let turn = self.servo.turn_for((angle.value, angle.value));
        self.reachable(angle, turn, ask, played);
        angle.value + turn
    }

    /// Whether an angle that a cue itself asks for lies in the servo's reach; those
    /// of the limb's gestures were looked at when its mechanism was.
    fn reachable(&self, angle: Spanned<Deg>, turn: Deg, ask: &Ask<'_>, played: &mut Played) {
        if !ask.inline || self.servo.beyond(angle.value + turn).0 <= 1e-6 {
            return;
        }
        let text = format!(
            "{}.{} is asked to come to {} deg, and its servo reaches {} to {} deg.",
            self.stage.name(),
            self.name(),
            decimal(angle.value.0, 1),
            decimal((self.servo.low - turn).0, 1),
            decimal((self.servo.high - turn).0, 1)
        );
        played.findings.push(
            Finding::new(&SERVO_OUT_OF_TRAVEL, angle.place, text)
                .help(self.servo.help_beyond(angle.value + turn))
                .given("asked", format!("{} deg", decimal(angle.value.0, 2)))
                .given("its servo takes it down to", {
                    format!("{} deg", decimal((self.servo.low - turn).0, 2))
                })
                .given("and up to", format!("{} deg", decimal((self.servo.high - turn).0, 2)))
                .about(self.stage.name(), Some(self.name())),
        );
    }

    /// Holds a move against the servo's speed; whether it can be made at all.
    fn fast_enough(
        &mut self,
        (from, to): (Deg, Deg),
        time: Sec,
        easing: Easing,
        place: crate::finding::Place,
        ask: &Ask<'_>,
        played: &mut Played,
    ) -> bool {
        let (Some(fastest), Some(brisk)) = (self.pace.fastest(), self.pace.brisk()) else {
            return true;
        };
        let pace = self.pace.of(easing, from, to).0;
        let (peak, way) = (pace / time.0, (to - from).abs().0);
        if peak <= brisk * (1.0 + 1e-9) {
            return true;
        }
        let works = pace / brisk;
        let both_ways = matches!(ask.told, AskTold::Do(Action::Sweep { .. }));
        let works = if both_ways { 2.0 * works } else { works };
        let works = Sec((works * 100.0).ceil() / 100.0);
        let moves = if self.pace.direct() { "would move" } else { "would turn its servo" };
        let text = format!(
            "{}.{} {moves} at up to {:.0} deg/s; its servo makes {:.0} deg/s without load.",
            self.stage.name(),
            self.name(),
            peak,
            fastest
        );
        let impossible = peak > fastest * (1.0 + 1e-9);
        let severity = if impossible { Severity::Error } else { Severity::Warning };
        let what = if both_ways { "a cycle" } else { "a time" };
        let beats = self.in_beats(ask, works);
        played.findings.push(
            Finding::new(&TOO_FAST_FOR_SERVO, place, text)
                .with_severity(severity)
                .help(format!("{what} of {} s{beats} works, with a fifth in hand.", works.0))
                .related("asked here", ask.cue)
                .about(self.stage.name(), Some(self.name()))
                .given("way of the limb", format!("{} deg", decimal(way, 2)))
                .given("in", format!("{} s", decimal(time.0, 3)))
                .given(
                    "at its fastest against its mean, by its curve and its rod",
                    format!("{} times", decimal(pace / way, 4)),
                )
                .sum(
                    "fastest",
                    format!(
                        "{} x {}/{}",
                        decimal(pace / way, 4),
                        decimal(way, 2),
                        decimal(time.0, 3)
                    ),
                    format!("{} deg/s", decimal(peak, 1)),
                )
                .given("its servo without load", format!("{} deg/s", decimal(fastest, 1)))
                .sum(
                    "of that to be counted on",
                    format!("0.8 x {}", decimal(fastest, 1)),
                    format!("{} deg/s", decimal(brisk, 1)),
                ),
        );
        !impossible
    }

    /// ", 1.25 beats here": a time rounded up to quarters of a beat.
    fn in_beats(&self, ask: &Ask<'_>, time: Sec) -> String {
        let Some(song) = self.stage.clock.song else { return String::new() };
        let Some(from) = self.stage.clock.beat_of(ask.from) else { return String::new() };
        let tempo = crate::units::Beats::nearest(from).map_or(0.0, |b| song.tempo.tempo_at(b).0);
        let beats = (time.0 * tempo / 60.0 * 4.0).ceil() / 4.0;
        format!(" ({beats} beats here)")
    }

    /// Keys and motion.
    fn finish(mut self, played: &mut Played) {
        let (last, angle) = self.last();
        if self.stage.duration > last {
            self.points.push((self.stage.duration, angle));
        }
        played.end = played.end.max(last);
        let figure = self.stage.figure();
        let Some(motor) = figure.motor_of(self.limb) else { return };
        // Most of a show are repeats, which come to the same angles to the bit.
        let mut known: BTreeMap<u64, f64> = BTreeMap::new();
        let mut hand = [None; HAND];
        let mut shaft = |limb: Deg| {
            let bits = limb.0.to_bits();
            let slot = &mut hand[(bits.wrapping_mul(SCATTER) >> (64 - HAND.ilog2())) as usize];
            match *slot {
                Some((of, angle)) if of == bits => angle,
                _ => {
                    let angle = *known.entry(bits).or_insert_with(|| self.shaft_angle(limb).0);
                    slot.insert((bits, angle)).1
                }
            }
        };
        let mut keys: Vec<Key> = Vec::with_capacity(self.points.len());
        let corners = (0..self.points.len()).filter(|i| !straight(&self.points, *i));
        keys.extend(
            corners.map(|i| self.points[i]).map(|(at, limb)| Key { at, value: shaft(limb) }),
        );
        // Long curves are kept as long as the show is: no room to grow.
        keys.shrink_to_fit();
        self.points.shrink_to_fit();
        let pushed: Vec<usize> = self.pushed(motor).collect();
        played.limbs.extend(pushed.iter().filter_map(|&limb| self.follower(limb, &keys)));
        // Where its carrier moves it as well, its arm alone is told.
        let carried = super::carried::plays(self.stage.fitted, self.limb);
        let by_arm = carried.then(|| self.by_arm(&keys));
        let moved = std::iter::once(self.limb).chain(pushed);
        played.channels.push(Channel {
            name: figure.actuators[motor].name.clone(),
            limbs: moved.map(|l| self.stage.limb_name(l).to_owned()).collect(),
            kind: ChannelKind::Angle,
            keys,
            error: self.error,
        });
        let pieces = by_arm.unwrap_or_else(|| {
            let (from, to) = (Sec(0.0), self.stage.duration.max(last));
            vec![Piece { from, to, path: Path::Line(self.points) }]
        });
        let limb = figure.limbs[self.limb].name.value.clone();
        played.limbs.push(LimbMotion { limb, pieces });
    }

    /// Where its arm points: between two keys the servo turns evenly.
    fn by_arm(&self, keys: &[Key]) -> Vec<Piece> {
        let arm = |key: &Key| self.servo.arm_at(Deg(key.value));
        let piece = |a: &Key, b: &Key| Piece {
            from: a.at,
            to: b.at,
            path: Path::Crank { from: arm(a), to: arm(b) },
        };
        match keys {
            [only] => vec![piece(only, only)],
            _ => keys.windows(2).map(|pair| piece(&pair[0], &pair[1])).collect(),
        }
    }

    /// The limbs that this limb pushes through further rods.
    fn pushed(&self, motor: usize) -> impl Iterator<Item = usize> {
        let figure = self.stage.figure();
        figure.driven_by(motor).filter(|&limb| {
            let drive = figure.limbs[limb].drive.as_ref();
            self.stage.plays(limb) && drive.is_some_and(|d| matches!(d.source, Source::Limb(_)))
        })
    }

    /// How a limb pushed by this one moves: between two keys the servo turns evenly.
    fn follower(&self, limb: usize, keys: &[Key]) -> Option<LimbMotion> {
        let follows = self.stage.mechanism(limb)?.follows()?;
        let near = Pose::Turned(super::driven::near(self.stage, limb));
        let arm = |key: &Key| self.servo.arm_at(Deg(key.value));
        let pieces = keys.windows(2).map(|pair| {
            let (from, to) = (arm(&pair[0]), arm(&pair[1]));
            let still = (from == to).then(|| linkage::limb_at(&follows, from, near)).flatten();
            let path = still.map_or(Path::Crank { from, to }, Path::Still);
            Piece { from: pair[0].at, to: pair[1].at, path }
        });
        Some(LimbMotion { limb: self.stage.limb_name(limb).to_owned(), pieces: pieces.collect() })
    }

    /// The servo's own angle, as its pulses count it, for a limb angle.
    fn shaft_angle(&self, limb: Deg) -> Deg {
        self.pace.shaft_angle(limb)
    }
}

/// A swing as the gesture says it.
struct Swing {
    from: Deg,
    to: Deg,
    cycle: Span,
    accent: Option<Spanned<Deg>>,
    easing: Easing,
}

/// Whether a corner lies on the straight line between its neighbours.
fn straight(points: &[(Sec, Deg)], i: usize) -> bool {
    let (Some(before), Some(after)) = (i.checked_sub(1).map(|b| points[b]), points.get(i + 1))
    else {
        return false;
    };
    let here = points[i];
    let run = (after.0 - before.0).0;
    if run <= 0.0 {
        return false;
    }
    let share = (here.0 - before.0).0 / run;
    let on = before.1.0 + (after.1 - before.1).0 * share;
    share > 0.0 && share < 1.0 && (on - here.1.0).abs() < 1e-9
}
