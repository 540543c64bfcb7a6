//! A motor's shaft over a show: where it stands, when it turns, how fast.

use crate::fit::{Ends, Fitted, Follows, Pose};
use crate::mechanism::{Bent, Mechanism as _};
use crate::model::{MotorType, Switch};
use crate::units::{Beats, Deg, Rad, Sec};

use super::beat_lock::Lock;
use super::linkage;
use super::reach::Reach;
use super::runs::{Member, Pace, Run};
use super::stage::Stage;

/// The shaft turns evenly between two angles (unwrapped, ccw positive).
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stretch {
    /// Start.
    pub from: Sec,
    /// End.
    pub to: Sec,
    /// Angle at the start.
    pub start: Deg,
    /// Angle at the end.
    pub end: Deg,
}

/// One whole turn of a run, from contact to contact, and the moment in it that
/// the music wants.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Turn {
    /// Its start.
    pub from: Sec,
    /// Its end for a middling motor.
    pub to: Sec,
    /// Time from beat to beat.
    pub period: Sec,
    /// The leader's accent.
    pub accent: Sec,
    /// The share of the turn that lies before it.
    pub fraction: f64,
}

impl Turn {
    /// When a share of the turn is done.
    #[must_use]
    pub fn at(&self, share: f64) -> Sec {
        if share <= self.fraction {
            self.from + (self.accent - self.from) * (share / self.fraction)
        } else {
            let rest = (share - self.fraction) / (1.0 - self.fraction);
            self.accent + (self.to - self.accent) * rest
        }
    }
}

/// A run laid out in time.
#[derive(Clone, Debug)]
pub struct Laid {
    /// Index of the run.
    pub run: usize,
    /// Its turns, where they are counted.
    pub turns: Vec<Turn>,
    /// How many of its first accents could not be met.
    pub dropped: usize,
}

/// A shaft's whole show.
#[derive(Clone, Debug)]
pub struct Shaft {
    /// Where it stands at the start: the park contact, or where it is taken to
    /// stand.
    pub park: Deg,
    /// +1 counter-clockwise, -1 clockwise.
    pub sign: f64,
    /// How it is kept on the beat.
    pub lock: Lock,
    /// When it turns, in order.
    pub stretches: Vec<Stretch>,
    /// Its runs as laid out.
    pub laid: Vec<Laid>,
    /// Largest difference of its speed from the wanted one, rpm.
    pub speed_error: f64,
}

/// More turns than this in one run are not laid out.
const MOST_TURNS: usize = 100_000;
/// How far beyond the end of its motion an accent may be asked and still mean the
/// end: degrees, or mm on a slide.
const SLACK: f64 = 3.0;

/// The angle of the shaft that puts a limb at an angle. Where a swing passes the
/// angle twice, the one at which the limb arrives: moving outward to the nearer
/// end of its swing.
#[must_use]
pub fn shaft_at(mechanism: &Fitted, limb: Pose, sign: f64) -> Option<Deg> {
    shaft_of(&mechanism.follows()?, limb, sign)
}

/// As [`shaft_at`], for an angle that counts from the limb that carries this one.
#[must_use]
pub fn shaft_at_bend(mechanism: &Fitted, bend: Pose, sign: f64) -> Option<Deg> {
    let follows = mechanism.follows()?;
    let bent = Bent(follows.mechanism);
    let travel = bent.limits(follows.path).ok();
    shaft_of(&Follows { mechanism: &bent, travel, ..follows }, bend, sign)
}

fn shaft_of(follows: &Follows<'_>, limb: Pose, sign: f64) -> Option<Deg> {
    let cranks = linkage::shafts_near(follows, limb, SLACK);
    let chosen = match cranks.as_slice() {
        [] => return None,
        [one] => *one,
        many => {
            let ends = linkage::ends(follows, limb)?;
            let up = ends.high.value() - limb.value() <= limb.value() - ends.low.value();
            *many
                .iter()
                .find(|c| {
                    let ahead = linkage::limb_at(follows, **c + Deg(1e-3 * sign), limb);
                    ahead.is_some_and(|a| (a.value() > limb.value()) == up)
                })
                .unwrap_or(&many[0])
        }
    };
    Some(chosen - follows.pin)
}

/// Where a motor's shaft parks: at the first `parks` of its limbs; else where the
/// first limb rests; else at the low end of the first limb's swing.
#[must_use]
pub fn park(stage: &Stage<'_>, limbs: &[usize], sign: f64) -> Deg {
    let said = |angle: &dyn Fn(usize) -> Option<Deg>| {
        limbs.iter().find_map(|&l| shaft_at(stage.mechanism(l)?, Pose::Turned(angle(l)?), sign))
    };
    let figure = stage.figure();
    said(&|l| figure.limbs[l].parks.map(|p| p.value))
        .or_else(|| said(&|l| figure.limbs[l].rest.map(|r| r.value)))
        .or_else(|| {
            limbs.iter().find_map(|&l| {
                let follows = stage.mechanism(l)?.follows()?;
                Some(Rad(Ends::of(follows.travel.as_ref()?).at_low).deg() - follows.pin)
            })
        })
        .unwrap_or(Deg(0.0))
}

/// Lays a motor's runs out in time.
#[must_use]
pub fn lay_out(
    stage: &Stage<'_>,
    motor: &MotorType,
    reach: Option<&Reach>,
    runs: &[Run],
    park: Deg,
    sign: f64,
) -> Shaft {
    let lock = Lock::of(motor.switch, reach.and_then(|r| r.spread));
    let mut shaft =
        Shaft { park, sign, lock, stretches: Vec::new(), laid: Vec::new(), speed_error: 0.0 };
    let mut free_from = Sec(0.0);
    for (index, run) in runs.iter().enumerate() {
        let laid = match run.pace {
            Pace::Spin { turns, per } => shaft.spin(stage, run, turns, per, index),
            Pace::On if motor.switch == Switch::None || reach.is_some_and(|r| r.fixed) => {
                shaft.steady(run, reach, index)
            }
            Pace::Own if reach.is_some_and(|r| r.fixed) => shaft.steady(run, reach, index),
            Pace::Cycle(_) if reach.is_some_and(|r| r.fixed) => shaft.steady(run, reach, index),
            _ => shaft.counted(stage, run, reach, index, free_from),
        };
        shaft.laid.extend(laid);
        if let Some(last) = shaft.stretches.last() {
            free_from = last.to;
        }
    }
    shaft
}

/// Seconds of the start of the k-th cycle of a run; `k` may be negative.
fn cycle_start(stage: &Stage<'_>, run: &Run, reach: Option<&Reach>, k: f64) -> Option<Sec> {
    match run.pace {
        Pace::Cycle(span) => stage.clock.plus(run.at, span, k).and_then(|m| stage.clock.time(m)),
        Pace::Own | Pace::On => Some(run.from + reach?.free.period()? * k),
        Pace::Spin { per, .. } => {
            stage.clock.plus(run.at, per, k).and_then(|m| stage.clock.time(m))
        }
    }
}

impl Shaft {
    /// Where it stands after everything laid out so far.
    fn angle(&self) -> Deg {
        self.stretches.last().map_or(self.park, |s| s.end)
    }

    /// Turns `by` between two times; goes on with the last stretch where the speed
    /// is the same.
    fn turn(&mut self, from: Sec, to: Sec, by: Deg) {
        let start = self.angle();
        if let Some(last) = self.stretches.last_mut() {
            let speed = (last.end - last.start).0 / (last.to - last.from).0;
            let next = by.0 / (to - from).0;
            if (last.to - from).abs().0 < 1e-9 && (speed - next).abs() <= 1e-9 * speed.abs() {
                last.to = to;
                last.end += by;
                return;
            }
        }
        self.stretches.push(Stretch { from, to, start, end: start + by });
    }

    /// Whole turns from contact to contact, the leader's accent on the beat.
    fn counted(
        &mut self,
        stage: &Stage<'_>,
        run: &Run,
        reach: Option<&Reach>,
        index: usize,
        free_from: Sec,
    ) -> Option<Laid> {
        let fraction = self.fraction(stage, run);
        let share = if fraction.is_some() { self.lock.share() } else { 1.0 };
        let f = fraction.unwrap_or(0.0);
        let mut laid = Laid { run: index, turns: Vec::new(), dropped: 0 };
        let mut before = cycle_start(stage, run, reach, -1.0)?;
        let mut here = cycle_start(stage, run, reach, 0.0)?;
        for k in 0..MOST_TURNS {
            let next = cycle_start(stage, run, reach, k as f64 + 1.0)?;
            if !(next.0 > here.0 && here.0 > before.0) {
                return None;
            }
            let wanted = if fraction.is_some() {
                here.0 < run.to.0 - 1e-6
            } else {
                next.0 <= run.to.0 + 1e-6
            };
            if k > 0 && !wanted {
                break;
            }
            let begin = before * f + here * (1.0 - f);
            let end = here * f + next * (1.0 - f);
            let period = end - begin;
            // A motor that waits at its contact starts late enough to be on the beat.
            let from = if share < 1.0 { here - period * (share * f) } else { begin };
            let to = if share < 1.0 { from + period * share } else { end };
            if run.stop.is_some_and(|s| from.0 >= s.0 - 1e-6) {
                break;
            }
            if from.0 < free_from.0 - 1e-6 {
                laid.dropped += 1;
            } else {
                let turn = Turn { from, to, period, accent: here, fraction: f };
                self.make(stage, run, &turn, f, share);
                laid.turns.push(turn);
            }
            (before, here) = (here, next);
        }
        Some(laid)
    }

    /// Turns the shaft once, in two stretches about the accent where the tempo
    /// changes there.
    fn make(&mut self, stage: &Stage<'_>, run: &Run, turn: &Turn, f: f64, share: f64) {
        let whole = Deg(360.0 * self.sign);
        if share < 1.0 || f <= 0.0 || f >= 1.0 {
            self.turn(turn.from, turn.to, whole);
        } else {
            self.turn(turn.from, turn.accent, whole * f);
            self.turn(turn.accent, turn.to, whole * (1.0 - f));
        }
        if let (Pace::Cycle(span), Some(song)) = (run.pace, stage.clock.song)
            && let Some(beats) = stage.clock.beats(span)
        {
            let made = 60.0 / (turn.to - turn.from).0;
            for t in [turn.from + Sec(1e-6), turn.to - Sec(1e-6)] {
                let beat = stage.clock.beat_of(t).and_then(Beats::nearest);
                let tempo = beat.map_or(0.0, |b| song.tempo.tempo_at(b).0);
                let wanted = tempo / beats.count() / share;
                self.speed_error = self.speed_error.max((wanted - made).abs());
            }
        }
    }

    /// The share of a turn from the contact to the leader's accent, in (0, 1].
    fn fraction(&self, stage: &Stage<'_>, run: &Run) -> Option<f64> {
        if self.lock == Lock::None {
            return None;
        }
        run.members.iter().find_map(|m| self.fraction_of(stage, m))
    }

    /// The share of a turn from the contact to a limb's accent, in (0, 1].
    #[must_use]
    pub fn fraction_of(&self, stage: &Stage<'_>, member: &Member) -> Option<f64> {
        let shaft = if member.bends { shaft_at_bend } else { shaft_at };
        let angle = shaft(stage.mechanism(member.limb)?, member.accent?.value, self.sign)?;
        let share = (angle - self.park).0 * self.sign / 360.0;
        let share = share - share.floor();
        // An accent at the contact itself is met at the end of the turn.
        Some(if share < 1e-6 { 1.0 } else { share })
    }

    /// Turns at the motor's own speed from start to end, stopping anywhere.
    fn steady(&mut self, run: &Run, reach: Option<&Reach>, index: usize) -> Option<Laid> {
        let rpm = reach?.free;
        let to = if run.end() > run.from { run.end() } else { run.from + rpm.period()? };
        let by = (to - run.from).0 * rpm.0 * 6.0;
        self.turn(run.from, to, Deg(by * self.sign));
        Some(Laid { run: index, turns: Vec::new(), dropped: 0 })
    }

    /// Turns on and on, in step with the music.
    fn spin(
        &mut self,
        stage: &Stage<'_>,
        run: &Run,
        turns: f64,
        per: crate::model::Span,
        index: usize,
    ) -> Option<Laid> {
        let (mut here, to) = (run.from, run.end());
        for k in 1..MOST_TURNS {
            let next = stage
                .clock
                .plus(run.at, per, k as f64)
                .and_then(|m| stage.clock.time(m))
                .filter(|n| n.0 > here.0)?;
            let whole = Deg(360.0 * turns * self.sign);
            if next.0 >= to.0 - 1e-9 {
                let share = (to - here).0 / (next - here).0;
                if share > 0.0 {
                    self.turn(here, to, whole * share);
                }
                break;
            }
            self.turn(here, next, whole);
            here = next;
        }
        Some(Laid { run: index, turns: Vec::new(), dropped: 0 })
    }
}

/// The fastest and slowest turns a minute a run asks for, with the beat tempo at
/// the fastest.
#[must_use]
pub fn speeds(stage: &Stage<'_>, run: &Run) -> Option<Speeds> {
    let turns = match run.pace {
        Pace::Cycle(_) => 1.0,
        Pace::Spin { turns, .. } => turns.abs(),
        Pace::Own | Pace::On => return None,
    };
    let mut found: Option<Speeds> = None;
    let mut here = cycle_start(stage, run, None, 0.0)?;
    for k in 0..MOST_TURNS {
        let next = cycle_start(stage, run, None, k as f64 + 1.0)?;
        if next.0 <= here.0 || (k > 0 && next.0 > run.to.0 + 1e-6) {
            break;
        }
        let rpm = 60.0 * turns / (next - here).0;
        let f = found.get_or_insert(Speeds { fastest: rpm, slowest: rpm, at: here, turns });
        if rpm > f.fastest * (1.0 + 1e-12) {
            (f.fastest, f.at) = (rpm, here);
        }
        f.slowest = f.slowest.min(rpm);
        here = next;
    }
    found
}

/// See [`speeds`].
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Speeds {
    /// Fastest, rpm.
    pub fastest: f64,
    /// Slowest, rpm.
    pub slowest: f64,
    /// Where it is fastest.
    pub at: Sec,
    /// Motor turns a cycle.
    pub turns: f64,
}
