//! Limbs on rams and air cylinders, and on cords that a spool, a ram or a cylinder draws
//! in: lengths over time, and what is too fast.

use crate::finding::{Finding, Place, Severity, Spanned};
use crate::fit::codes::{BEYOND_STROKE, STOPS_BETWEEN};
use crate::fit::{Ends, Fitted, FittedDrive, Follows, Pose, StrutPace};
use crate::geometry::Dir;
use crate::mechanism::solve::usual_tolerance;
use crate::mechanism::{Bent, Mechanism, Stand, Way as Drawn};
use crate::model::{Action, Actuator, CordDrive, DriveKind, Limb, MotorKind};
use crate::units::print::decimal;
use crate::units::{Deg, Mm, Sec};

use super::expand::{Ask, AskTold, own_span};
use super::runs::disagreement;
use super::stage::{Played, Stage};
use super::{Channel, ChannelKind, Key, LimbMotion, Path, Piece, linkage, strut_air, strut_ram};

/// Closer than this is the same time.
pub const SAME: Sec = Sec(1e-3);
/// Closer than this is the same length: a limit switch is no nearer.
pub const CLOSE: Mm = Mm(0.5);

/// Everything that a ram, a cylinder or a wound cord on a limb, and the limbs that it
/// pushes in turn, do in a show.
pub fn play(stage: &Stage<'_>, limb: usize, asks: &[Ask<'_>], played: &mut Played) {
    let Some(Fitted::Drive(drive)) = stage.mechanism(limb) else { return };
    let Some(line) = Line::new(stage, limb, drive) else { return };
    match line.pace {
        StrutPace::Ram(pace) => strut_ram::play(line, pace, asks, played),
        StrutPace::Air(pace) => strut_air::play(line, pace, asks, played),
    }
}

/// One change of a strut's length, evenly.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Way {
    /// When it begins.
    pub from: Sec,
    /// When it ends.
    pub to: Sec,
    /// The length at the start.
    pub start: Mm,
    /// The length at the end.
    pub end: Mm,
}

impl Way {
    /// The length at a time.
    fn at(&self, t: Sec) -> Mm {
        let run = (self.to - self.from).0;
        let share = if run > 0.0 { ((t - self.from).0 / run).clamp(0.0, 1.0) } else { 1.0 };
        self.start + (self.end - self.start) * share
    }
}

/// A strut's length over time, growing.
pub struct Line<'s, 'a> {
    /// The figure.
    pub stage: &'s Stage<'a>,
    /// The limb.
    pub limb: usize,
    /// How fast it is.
    pub pace: StrutPace,
    /// Drawn in.
    pub short: Mm,
    /// Pushed out, or let out.
    pub long: Mm,
    /// Where it stands before the show and between cues.
    pub rest: Mm,
    /// Its ways in order.
    pub ways: Vec<Way>,
    /// Where it goes when it is switched on: a strut out, a cord in.
    pub on: Mm,
    /// Whether a switch of its own stops it at either end.
    pub stops: bool,
    /// Its limb, and those that this one pushes.
    followers: Vec<Follower<'a>>,
    busy: Option<Busy>,
}

/// A limb that follows a length.
struct Follower<'a> {
    limb: usize,
    follows: Follows<'a>,
    ends: Ends,
}

impl<'a> Follower<'a> {
    fn new(stage: &Stage<'a>, limb: usize) -> Option<Self> {
        let follows = stage.mechanism(limb)?.follows()?;
        let near = Pose::Turned(super::driven::near(stage, limb));
        Some(Self { limb, follows, ends: linkage::ends(&follows, near)? })
    }

    /// As seen from the limb that carries it.
    fn bent(&self, bent: &'a Bent<&'a dyn Mechanism>, near: Pose) -> Option<Self> {
        let travel = Some(bent.limits(self.follows.path).ok()?);
        let follows = Follows { mechanism: bent, travel, ..self.follows };
        Some(Follower { limb: self.limb, follows, ends: linkage::ends(&follows, near)? })
    }

    /// The length that brings it to a place; a place a little beyond an end stands for
    /// the end. `None` where it is further away.
    fn length_for(&self, limb: Pose) -> Option<Mm> {
        let stand = match limb {
            Pose::Turned(angle) => Stand::Turned(Dir::degrees(angle)),
            Pose::Slid(way) => Stand::Slid(way),
        };
        let found = self.follows.mechanism.inverse(stand, self.follows.path).unwrap_or_default();
        if let Some(length) = found.first() {
            return Some(Mm(*length));
        }
        let Ends { low, at_low, high, at_high } = self.ends;
        let middle = match (low, high) {
            (Pose::Turned(a), Pose::Turned(b)) => Pose::Turned((a + b) / 2.0),
            _ => low,
        };
        let limb = limb.near(middle);
        let slack = usual_tolerance(Deg(high.value() - low.value())).0 + 1e-6;
        let off = |end: Pose| (limb.value() - end.value()).abs();
        if off(high) <= slack {
            Some(Mm(at_high))
        } else if off(low) <= slack {
            Some(Mm(at_low))
        } else {
            None
        }
    }
}

/// What moves a limb by a length: how fast, and what is special about it.
struct Winder {
    pace: StrutPace,
    /// A cord is drawn in where a strut is pushed out.
    pulls: bool,
    stops: bool,
}

impl Winder {
    fn of(drive: &DriveKind, actuator: &Actuator, stroke: Mm) -> Option<Self> {
        match drive {
            DriveKind::Strut(strut) => {
                let pace = StrutPace::of(strut, actuator, stroke)?;
                Some(Self { pace, pulls: false, stops: true })
            }
            DriveKind::Cord(cord) => Self::of_cord(cord, actuator, stroke),
            _ => None,
        }
    }

    fn of_cord(cord: &CordDrive, actuator: &Actuator, drawn: Mm) -> Option<Self> {
        let pace = StrutPace::of_cord(cord, &actuator.motor, drawn)?;
        // A ram's switches stop it where its stroke ends, a cylinder has its ends; a spool
        // has none.
        let (short, long) = actuator.motor.length.unwrap_or_default();
        let stops = match actuator.motor.kind {
            MotorKind::Ram => (long - short - drawn).abs() < CLOSE,
            kind => kind == MotorKind::Cylinder,
        };
        Some(Self { pace, pulls: true, stops })
    }
}

/// What it was asked for last, until when, and by which cue.
#[derive(Clone, Copy)]
struct Busy {
    from: Sec,
    to: Sec,
    cue: Place,
    told: Option<*const Action>,
}

impl<'s, 'a> Line<'s, 'a> {
    fn new(stage: &'s Stage<'a>, limb: usize, drive: &'a FittedDrive) -> Option<Self> {
        let figure = stage.figure();
        let said = figure.limbs.get(limb)?;
        let motor = figure.motor_of(limb)?;
        let span = drive.made().course.span;
        let (short, long) = (Mm(span.from), Mm(span.to));
        let kind = &said.drive.as_ref()?.mechanism;
        let winder = Winder::of(kind, &figure.actuators[motor], long - short)?;
        let own = Follower::new(stage, limb)?;
        let pushed = figure.driven_by(motor).filter(|l| *l != limb && stage.plays(*l));
        let pushed = pushed.filter_map(|l| Follower::new(stage, l));
        let home = if winder.pulls { long } else { short };
        let rest = said.rest.and_then(|rest| own.length_for(Pose::Turned(rest.value)));
        Some(Self {
            stage,
            limb,
            pace: winder.pace.loaded(stage.motors.get(motor).and_then(|m| m.left)),
            short,
            long,
            rest: rest.unwrap_or(home),
            ways: Vec::new(),
            on: if winder.pulls { short } else { long },
            stops: winder.stops,
            followers: std::iter::once(own).chain(pushed).collect(),
            busy: None,
        })
    }

    /// Where it goes when it is switched off.
    #[must_use]
    pub fn off(&self) -> Mm {
        if self.on == self.long { self.short } else { self.long }
    }

    /// The limb's name.
    #[must_use]
    pub fn name(&self) -> &'a str {
        self.stage.limb_name(self.limb)
    }

    /// `figure.limb`.
    #[must_use]
    pub fn full_name(&self) -> String {
        format!("{}.{}", self.stage.name(), self.name())
    }

    /// When its last way ends, and how long it is then.
    #[must_use]
    pub fn last(&self) -> (Sec, Mm) {
        self.ways.last().map_or((Sec(0.0), self.rest), |w| (w.to, w.end))
    }

    /// How long it is at a time.
    #[must_use]
    pub fn at(&self, t: Sec) -> Mm {
        let before = self.ways.partition_point(|w| w.from <= t);
        before.checked_sub(1).map_or(self.rest, |i| self.ways[i].at(t))
    }

    /// Takes back what was planned after a time.
    pub fn cut(&mut self, t: Sec) {
        self.ways.retain(|w| w.from < t);
        if let Some(last) = self.ways.last_mut().filter(|w| w.to > t) {
            (last.end, last.to) = (last.at(t), t);
        }
    }

    /// The length that brings the limb of an ask to a place, counted from its carrier
    /// where the ask is for a bend; a place a little beyond an end stands for the end.
    /// `None` where it is further away.
    #[must_use]
    pub fn length_for(&self, limb: Pose, ask: &Ask<'_>) -> Option<Mm> {
        let follower = self.followers.iter().find(|f| f.limb == ask.limb)?;
        if !self.bends(ask) {
            return follower.length_for(limb);
        }
        let bent = Bent(follower.follows.mechanism);
        follower.bent(&bent, limb)?.length_for(limb)
    }

    fn bends(&self, ask: &Ask<'_>) -> bool {
        let AskTold::Do(action) = ask.told else { return false };
        self.stage.seen.is_none()
            && super::runs::bends(&self.stage.figure().limbs[ask.limb], action)
    }

    /// As [`Line::length_for`]; a place that a cue itself asks for beyond the ends is
    /// reported. Those of the limb's gestures were when it was fitted.
    pub fn reached(&self, limb: Spanned<Pose>, ask: &Ask<'_>, played: &mut Played) -> Option<Mm> {
        let found = self.length_for(limb.value, ask);
        let ends = self.ends_of(ask);
        if let (true, None, Some(ends)) = (ask.inline, found, ends) {
            let unit = if limb.value.angle().is_some() { "deg" } else { "mm" };
            let n = |p: Pose| decimal(p.value(), 1);
            let text = format!(
                "{} is asked to come to {} {unit}, and goes from {} to {} {unit}.",
                self.told_name(ask),
                n(limb.value),
                n(ends.low),
                n(ends.high)
            );
            played.findings.push(
                Finding::new(&BEYOND_STROKE, limb.place, text)
                    .given("asked", format!("{} {unit}", n(limb.value)))
                    .given("its ends", format!("{} to {} {unit}", n(ends.low), n(ends.high)))
                    .help("ask for a place between its ends, or change its lever or anchor.")
                    .about(self.stage.name(), Some(self.stage.limb_name(ask.limb))),
            );
        }
        found
    }

    fn ends_of(&self, ask: &Ask<'_>) -> Option<Ends> {
        self.followers.iter().find(|f| f.limb == ask.limb).map(|f| f.ends)
    }

    /// `figure.limb` of the limb that is told.
    fn told_name(&self, ask: &Ask<'_>) -> String {
        format!("{}.{}", self.stage.name(), self.stage.limb_name(ask.limb))
    }

    /// Tells of a cue that itself asks for a stop between the ends; whether it does.
    pub fn between(
        &self,
        (limb, length): (Spanned<Pose>, Mm),
        ask: &Ask<'_>,
        severity: Severity,
        played: &mut Played,
    ) -> bool {
        let off = (length - self.short).abs().min((self.long - length).abs());
        let Some(ends) = self.ends_of(ask) else { return false };
        if !ask.inline || off <= (self.long - self.short) * 0.05 {
            return false;
        }
        let why = match severity {
            Severity::Error => "a cylinder stops only at its ends",
            _ => "stops there by time alone, a little off each time until it runs to an end again",
        };
        let n = |p: Pose| decimal(p.value(), 1);
        let text = format!(
            "{} is asked to stop at {} deg, and {why} (its ends: {} and {} deg).",
            self.told_name(ask),
            n(limb.value),
            n(ends.low),
            n(ends.high)
        );
        played.findings.push(
            Finding::new(&STOPS_BETWEEN, limb.place, text)
                .given("asked", format!("{} deg", n(limb.value)))
                .given("its ends", format!("{} and {} deg", n(ends.low), n(ends.high)))
                .with_severity(severity)
                .help("ask for one of its ends.")
                .about(self.stage.name(), Some(self.name())),
        );
        true
    }

    /// Until when an ask goes on.
    #[must_use]
    pub fn end_of(&self, ask: &Ask<'_>) -> Sec {
        let own = match ask.told {
            AskTold::Do(action) => own_span(action),
            AskTold::Rest => None,
        };
        let own = own.and_then(|s| self.stage.clock.length(ask.at, s)).map(|l| ask.from + l);
        ask.to.or(own).unwrap_or(ask.from)
    }

    /// Whether an ask may be followed: it is not the last one told again, and no other
    /// one is still under way (reported).
    pub fn free_for(&mut self, ask: &Ask<'_>, played: &mut Played) -> bool {
        let told = match ask.told {
            AskTold::Do(action) => Some(std::ptr::from_ref(action)),
            AskTold::Rest => None,
        };
        if let Some(busy) = self.busy {
            let together = (busy.from - ask.from).abs() < SAME;
            if together && busy.told == told {
                return false;
            }
            if together || (told.is_some() && ask.from < busy.to - SAME) {
                let pair = |f: &Finding| {
                    f.place == Some(ask.cue) && f.related.iter().any(|(_, p)| *p == busy.cue)
                };
                if !played.findings.iter().any(pair) {
                    played.findings.push(disagreement(self.stage, ask, busy.cue));
                }
                return false;
            }
        }
        self.busy = Some(Busy { from: ask.from, to: self.end_of(ask), cue: ask.cue, told });
        true
    }

    /// The places of a gesture to and fro, as lengths.
    pub fn both_ends(
        &self,
        action: &Action,
        ask: &Ask<'_>,
        played: &mut Played,
    ) -> Option<(Mm, Mm)> {
        let (from, to) = match action {
            Action::Sweep { from, to, .. } => (from.map(Pose::Turned), to.map(Pose::Turned)),
            Action::Stroke { from, to, .. } => (from.map(Pose::Slid), to.map(Pose::Slid)),
            _ => return None,
        };
        let (from, to) = (self.reached(from, ask, played), self.reached(to, ask, played));
        from.zip(to)
    }

    /// The starts of a gesture's cycles, and the one after the last.
    #[must_use]
    pub fn cycles(
        &self,
        ask: &Ask<'_>,
        cycle: crate::model::Span,
        accented: bool,
    ) -> Vec<(Sec, Sec)> {
        let end = self.end_of(ask);
        let start = |k: f64| {
            let at = self.stage.clock.plus(ask.at, cycle, k)?;
            self.stage.clock.time(at)
        };
        let mut found = Vec::new();
        for k in 0..100_000 {
            let (Some(here), Some(next)) = (start(f64::from(k)), start(f64::from(k) + 1.0)) else {
                break;
            };
            let wanted = if accented { here < end - SAME } else { next <= end + SAME };
            if next <= here || (k > 0 && !wanted) {
                break;
            }
            found.push((here, next));
        }
        found
    }

    /// Commands and motion.
    pub fn finish(self, kind: ChannelKind, keys: Vec<Key>, played: &mut Played) {
        let stage = self.stage;
        let figure = stage.figure();
        let Some(motor) = figure.motor_of(self.limb) else { return };
        let limbs: Vec<String> =
            self.followers.iter().map(|f| stage.limb_name(f.limb).to_owned()).collect();
        for (follower, limb) in self.followers.iter().zip(&limbs) {
            if let Some(pieces) = self.pieces(follower) {
                played.limbs.push(LimbMotion { limb: limb.clone(), pieces });
            }
        }
        played.end = played.end.max(self.last().0);
        played.channels.push(Channel {
            name: figure.actuators[motor].name.clone(),
            limbs,
            kind,
            keys,
            error: 0.0,
        });
    }

    fn pieces(&self, of: &Follower<'_>) -> Option<Vec<Piece>> {
        let near = Pose::Turned(super::driven::near(self.stage, of.limb));
        // While its length stands its carrier may move it.
        let carried = super::carried::plays(self.stage.fitted, of.limb);
        let still = |length: Mm| match carried {
            true => Some(Path::Length { from: length, to: length }),
            false => of.follows.limb_at(length.0, near).map(Path::Still),
        };
        let mut pieces = Vec::new();
        let (mut at, mut length) = (Sec(0.0), self.rest);
        for way in self.ways.iter().filter(|w| w.to > w.from) {
            if way.from > at {
                pieces.push(Piece { from: at, to: way.from, path: still(length)? });
            }
            let path = Path::Length { from: way.start, to: way.end };
            pieces.push(Piece { from: way.from, to: way.to, path });
            (at, length) = (way.to, way.end);
        }
        if self.stage.duration > at || pieces.is_empty() {
            pieces.push(Piece { from: at, to: self.stage.duration.max(at), path: still(length)? });
        }
        Some(pieces)
    }
}

/// How long a ram or cylinder on a limb is, or what its wound cord lets out, while nobody
/// tells it anything; `None` of what has no length of its own.
#[must_use]
pub fn rest_length(limb: &Limb, fitted: &Fitted) -> Option<Mm> {
    let Fitted::Drive(drive) = fitted else { return None };
    let mechanism = &limb.drive.as_ref()?.mechanism;
    if !matches!(drive.made().way.source(), Drawn::Extending(_)) {
        return None;
    }
    let span = drive.made().course.span;
    let pulls = matches!(mechanism, DriveKind::Cord(_));
    let home = Mm(if pulls { span.to } else { span.from });
    let follows = fitted.follows()?;
    let told = limb.rest.and_then(|rest| {
        let near = Pose::Turned(rest.value);
        Follower { limb: 0, follows, ends: linkage::ends(&follows, near)? }.length_for(near)
    });
    Some(told.unwrap_or(home))
}

/// Adds a command, unless it repeats the last one.
pub fn command(keys: &mut Vec<Key>, at: Sec, value: f64) {
    match keys.last_mut() {
        Some(last) if (last.at - at).abs() < Sec(1e-9) => last.value = value,
        Some(last) if last.value == value => {}
        _ => keys.push(Key { at, value }),
    }
}

/// Where an angle or place is said that must be met on the beat.
#[must_use]
pub fn accent_of(action: &Action) -> Option<Spanned<Pose>> {
    match action {
        Action::Sweep { accent, .. } => accent.map(|a| a.map(Pose::Turned)),
        Action::Stroke { accent, .. } => accent.map(|a| a.map(Pose::Slid)),
        _ => None,
    }
}

/// The cycle of a gesture to and fro.
#[must_use]
pub fn cycle_of(action: &Action) -> Option<Spanned<crate::model::Span>> {
    match action {
        Action::Sweep { cycle, .. } | Action::Stroke { cycle, .. } => *cycle,
        _ => None,
    }
}
