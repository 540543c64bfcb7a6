//! Limbs turned by a motor: cranks and continuous drives.

use crate::fit::{Fitted, FittedSpin, Pose};
use crate::model::{Action, MotorKind, Switch};
use crate::units::{Beats, Deg, Sec};

use super::beat_lock::{Lock, noticed, worst};
use super::expand::Ask;
use super::reach::Reach;
use super::runs::{Member, Run, runs, turned_by};
use super::shaft::{Laid, Shaft, Turn, lay_out, park};
use super::stage::{Played, Stage};
use super::{
    Accent, Channel, ChannelKind, Key, LimbMotion, Path, Piece, driven_findings as say, linkage,
};

/// Everything one motor does in a show.
pub fn play(stage: &Stage<'_>, motor: usize, asks: &[Ask<'_>], played: &mut Played) {
    let figure = stage.figure();
    let actuator = &figure.actuators[motor];
    let limbs = turned_by(figure, motor);
    let mut runs = runs(stage, asks, &mut played.findings);
    let reach = Reach::of(&actuator.motor);
    say::accents_refused(stage, &actuator.motor, &runs, &mut played.findings);
    if let Some(reach) = &reach {
        runs.retain(|run| say::speed(stage, &actuator.motor, reach, run, &mut played.findings));
    }
    if limbs.iter().all(|&l| stage.mechanism(l).is_none()) {
        return;
    }
    let sign = actuator.turns.sign();
    let park = park(stage, &limbs, sign);
    let shaft = lay_out(stage, &actuator.motor, reach.as_ref(), &runs, park, sign);
    if shaft.stretches.is_empty() && runs.is_empty() {
        return;
    }
    played.end = shaft.stretches.last().map_or(played.end, |s| played.end.max(s.to));
    played.channels.push(channel(stage, motor, &limbs, &shaft));
    for laid in &shaft.laid {
        let run = &runs[laid.run];
        say::dropped(stage, run, laid, &mut played.findings);
        accents(stage, &shaft, run, laid, played);
    }
    for limb in limbs {
        played.limbs.extend(motion(stage, limb, &shaft));
    }
}

/// The commands of the motor.
fn channel(stage: &Stage<'_>, motor: usize, limbs: &[usize], shaft: &Shaft) -> Channel {
    let actuator = &stage.figure().actuators[motor];
    let switched = actuator.motor.kind == MotorKind::Synchronous;
    let mut keys = vec![Key { at: Sec(0.0), value: 0.0 }];
    let mut push = |at: Sec, value: f64| match keys.last_mut() {
        Some(last) if (last.at - at).abs().0 < 1e-9 => last.value = value,
        Some(last) if last.value == value => {}
        _ => keys.push(Key { at, value }),
    };
    for (i, s) in shaft.stretches.iter().enumerate() {
        let rpm = (s.end - s.start).0 * shaft.sign / (s.to - s.from).0 / 6.0;
        push(s.from, if switched { 1.0 } else { rpm });
        let goes_on = shaft.stretches.get(i + 1).is_some_and(|n| n.from.0 <= s.to.0 + 1e-9);
        if !goes_on {
            push(s.to, 0.0);
        }
    }
    Channel {
        name: actuator.name.clone(),
        limbs: limbs.iter().map(|&l| stage.limb_name(l).to_owned()).collect(),
        kind: if switched { ChannelKind::Switch } else { ChannelKind::Speed },
        keys,
        error: if switched { 0.0 } else { shaft.speed_error },
    }
}

/// The motion of one limb on the shaft; `None` where its mechanism is not known.
fn motion(stage: &Stage<'_>, limb: usize, shaft: &Shaft) -> Option<LimbMotion> {
    let mechanism = stage.mechanism(limb)?;
    let turned =
        |spin: &FittedSpin, x: Deg| spin_start(stage, limb) + (x - shaft.park) * spin.ratio;
    let follows = mechanism.follows();
    let path = |a: Deg, b: Deg| match (mechanism, &follows) {
        (Fitted::Spin(spin), _) => Some(Path::Turn { from: turned(spin, a), to: turned(spin, b) }),
        (_, Some(follows)) => Some(Path::Crank { from: a + follows.pin, to: b + follows.pin }),
        (_, None) => None,
    };
    let carried = super::carried::plays(stage.fitted, limb);
    let still = |a: Deg| match (mechanism, &follows) {
        // While the crank stands its carrier may move it.
        (_, Some(follows)) if carried => {
            Some(Path::Crank { from: a + follows.pin, to: a + follows.pin })
        }
        (Fitted::Spin(spin), _) => Some(Path::Still(Pose::Turned(turned(spin, a)))),
        (_, Some(follows)) => {
            let near = Pose::Turned(near(stage, limb));
            linkage::limb_at(follows, a + follows.pin, near).map(Path::Still)
        }
        (_, None) => None,
    };
    let mut pieces = Vec::new();
    let (mut at, mut angle) = (Sec(0.0), shaft.park);
    for s in &shaft.stretches {
        if s.from.0 > at.0 + 1e-9 {
            pieces.push(Piece { from: at, to: s.from, path: still(angle)? });
        }
        pieces.push(Piece { from: s.from, to: s.to, path: path(s.start, s.end)? });
        (at, angle) = (s.to, s.end);
    }
    let end = stage.duration;
    if end.0 > at.0 + 1e-9 {
        pieces.push(Piece { from: at, to: end, path: still(angle)? });
    }
    Some(LimbMotion { limb: stage.limb_name(limb).to_owned(), pieces })
}

/// Where a limb that turns on and on starts: its rest, else 0.
fn spin_start(stage: &Stage<'_>, limb: usize) -> Deg {
    stage.figure().limbs[limb].rest.map_or(Deg(0.0), |r| r.value)
}

/// An angle the limb's angles are told near to: the first of its gestures.
#[must_use]
pub fn near(stage: &Stage<'_>, limb: usize) -> Deg {
    let limb = &stage.figure().limbs[limb];
    // As its carrier sees a limb, a bend is an angle like the others.
    let mut absolute = limb.gestures.iter().filter(|g| !g.relative || stage.seen.is_some());
    let swept = absolute.find_map(|g| match &g.action {
        Action::Sweep { from, to, .. } => Some((from.value + to.value) / 2.0),
        Action::Turn { to, .. } | Action::Pose(to) => Some(to.value),
        _ => None,
    });
    swept.or(limb.rest.map(|r| r.value)).unwrap_or(Deg(0.0))
}

/// Every accent of a run, and what becomes of it.
fn accents(stage: &Stage<'_>, shaft: &Shaft, run: &Run, laid: &Laid, played: &mut Played) {
    if shaft.lock == Lock::None || laid.turns.is_empty() {
        return;
    }
    let mut leads = true;
    for member in &run.members {
        let Some(fraction) = shaft.fraction_of(stage, member) else {
            say::out_of_reach(stage, member, &mut played.findings);
            continue;
        };
        let mut worst_of_all = (Sec(0.0), Sec(0.0), None);
        for turn in &laid.turns {
            let accent = met(stage, shaft, member, turn, fraction, leads);
            if worst_ratio(accent.worst) > worst_ratio(worst_of_all.0) {
                worst_of_all = (accent.worst, accent.nominal, Some(turn));
            }
            played.accents.push(accent);
        }
        leads = false;
        if let (off, nominal, Some(turn)) = worst_of_all
            && noticed(off)
        {
            let worst = (off, nominal, turn, fraction);
            say::missed(stage, shaft, member, worst, &mut played.findings);
        }
    }
}

/// How far off against what people notice.
fn worst_ratio(off: Sec) -> f64 {
    (off.0 / super::beat_lock::LATEST.0).max(off.0 / super::beat_lock::EARLIEST.0)
}

/// One accent as it is predicted. The leader's is wanted where the cue puts it;
/// the other limbs on the motor can only follow, and theirs are held against the
/// nearest beat.
fn met(
    stage: &Stage<'_>,
    shaft: &Shaft,
    member: &Member,
    turn: &Turn,
    fraction: f64,
    leads: bool,
) -> Accent {
    let at = turn.at(fraction);
    let wanted = if leads { turn.accent } else { nearest_beat(stage, at) };
    let predicted = if leads { turn.accent } else { at };
    let nominal = predicted - wanted;
    let (early, late) = shaft.lock.spread(fraction, turn.period);
    Accent {
        figure: stage.name().to_owned(),
        limb: stage.limb_name(member.limb).to_owned(),
        wanted,
        nominal,
        worst: worst(nominal + early, nominal + late),
        cue: member.cue,
    }
}

/// The time of the beat nearest to a time; the time itself without a song.
fn nearest_beat(stage: &Stage<'_>, t: Sec) -> Sec {
    let beat = stage.clock.beat_of(t).and_then(|b| Beats::nearest(b.round()));
    beat.and_then(|b| stage.clock.time(crate::resolve::moment::Moment::Beat(b))).unwrap_or(t)
}

/// Whether the motor has a contact that tells its angle.
#[must_use]
pub const fn has_contact(switch: Switch) -> bool {
    !matches!(switch, Switch::None)
}
