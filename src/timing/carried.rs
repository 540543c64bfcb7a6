//! Limbs that ride on another while their motor stands on the board: crank and what
//! carries them each follow their own cues, and both move the limb.
//!
//! The crank turns as any crank does; where the limb is follows from both (R. L. Norton,
//! *Design of Machinery*: the position of a four-bar, whose ground the carrier moves). What
//! a place of the shaft is told by, where it parks and rests and what accents meet, holds
//! while the carrier rests, and is found with it there.

use crate::finding::Finding;
use crate::fit::codes::SERVO_ROD_LOCKS;
use crate::fit::{Ends, Fitted, FittedFigure, Pose};
use crate::mechanism::Path as _;
use crate::model::Action;
use crate::units::{Deg, Sec};

use super::codes::CARRIER_MOVES;
use super::expand::{Ask, AskTold};
use super::follow::Heard;
use super::perform::{play_limb, play_motor};
use super::riding::rests;
use super::shaft::shaft_at;
use super::stage::{Played, Stage};
use super::{FigurePart, Path};

/// Whether cues of such a limb are computed: a bend, which counts from what carries it,
/// is not.
#[must_use]
pub fn plays(fitted: &FittedFigure, limb: usize) -> bool {
    fitted.carried(limb).is_some() && fitted.figure.limbs[limb].gestures.iter().all(|g| !g.relative)
}

/// The motors that move such limbs.
pub fn motors(fitted: &FittedFigure) -> Vec<usize> {
    let figure = &fitted.figure;
    let all = (0..figure.limbs.len()).filter(|&l| plays(fitted, l));
    let mut motors: Vec<usize> = all.filter_map(|l| figure.motor_of(l)).collect();
    motors.sort_unstable();
    motors.dedup();
    motors
}

/// The figure with all carriers at rest.
fn all_at_rest(fitted: &FittedFigure) -> FittedFigure {
    let mut at = fitted.clone();
    for limb in 0..fitted.limbs.len() {
        if let Some(mechanism) = fitted.carried_at_rest(limb) {
            at.limbs[limb].mechanism = Some(mechanism);
        }
    }
    at
}

/// What the limb's motor is at, pin and all, while nobody tells it anything: rad or mm.
#[must_use]
pub fn at_rest(fitted: &FittedFigure, limb: usize) -> Option<f64> {
    let mechanism = fitted.carried_at_rest(limb)?;
    let own = &fitted.figure.limbs[limb];
    if let Fitted::Servo(servo) = &mechanism {
        let rest = own.rest.map(|r| r.value + servo.turn_for((r.value, r.value)));
        let rest = rest.unwrap_or_else(|| (servo.low + servo.high) / 2.0);
        return Some(servo.arm_at(servo.shaft_for(rest)).rad().0);
    }
    let follows = mechanism.follows()?;
    if let Some(length) = super::strut::rest_length(own, &mechanism) {
        return Some(length.0);
    }
    let sign = fitted.figure.actuators[fitted.figure.motor_of(limb)?].turns.sign();
    let said = own.parks.or(own.rest).map(|a| a.value);
    let told = said.and_then(|a| shaft_at(&mechanism, Pose::Turned(a), sign));
    told.map(|shaft| (shaft + follows.pin).rad().0)
        .or_else(|| Some(Ends::of(follows.travel.as_ref()?).at_low))
}

/// The limb's angle on the board with its motor at a coordinate, pin and all, and its
/// carrier so, in the turn of all that the two make of it; `None` where it does not close.
#[must_use]
pub fn angle(fitted: &FittedFigure, limb: usize, coordinate: f64, carrier: Deg) -> Option<Deg> {
    let (low, high) = fitted.carried_ends(limb)?;
    let found = fitted.aboard(limb, Some(carrier))?.limb_at(coordinate)?.deg();
    let middle = (low + high) / 2.0;
    Some(middle + (found - middle).signed())
}

/// Everything a motor on the board does that moves such a limb: behind all that carries
/// them.
pub fn play(stage: &Stage<'_>, motor: usize, asks: &[Ask<'_>], heard: &Heard, played: &mut Played) {
    let fitted = all_at_rest(stage.fitted);
    let held: Vec<Ask<'_>> = asks
        .iter()
        .filter(|a| stage.figure().motor_of(a.limb) != Some(motor) || holds(stage, a, played))
        .copied()
        .collect();
    let stage = &Stage { fitted: &fitted, ..*stage };
    play_motor(stage, motor, &held, played);
    for limb in stage.figure().driven_by(motor).filter(|&l| plays(stage.fitted, l)) {
        play_limb(stage, limb, &held, heard, played);
        closes(stage, limb, &held, played);
    }
}

/// Looks of a limb that is told more than its mechanism was held for, each second.
const LOOKS: f64 = 50.0;

/// Reports a limb that its drive does not take where cues of their own, and not its
/// gestures, bring motor and carrier.
fn closes(stage: &Stage<'_>, limb: usize, asks: &[Ask<'_>], played: &mut Played) {
    let known = || -> Option<bool> {
        let (from, to) = stage.fitted.carried_span(limb)?;
        let own = stage.fitted.carried(limb)?;
        let carrier = stage.figure().limbs[limb].carrier?;
        let (low, high) = (own.figure_angle("carrier_low")?, own.figure_angle("carrier_high")?);
        let hair = 1e-6;
        let inside = |v: f64| (from - hair..=to + hair).contains(&v);
        let middle = (low + high) / 2.0;
        let near = |a: &Deg| (middle + (*a - middle).signed() - middle).abs().0;
        let carried = |a: &Deg| near(a) <= (high - middle).0 + hair;
        let motion = |l: usize| played.limbs.iter().find(|m| m.limb == stage.limb_name(l));
        let own = motion(limb).is_none_or(|m| {
            m.pieces.iter().all(|p| match p.path {
                Path::Crank { from, to } => inside(from.rad().0) && inside(to.rad().0),
                Path::Length { from, to } => inside(from.0) && inside(to.0),
                _ => true,
            })
        });
        let host = motion(carrier).is_none_or(|m| {
            m.pieces.iter().all(|p| match &p.path {
                Path::Line(points) => points.iter().all(|(_, a)| carried(a)),
                Path::Still(Pose::Turned(a)) => carried(a),
                _ => true,
            })
        });
        Some(own && host)
    };
    let turns = stage.fitted.aboard(limb, None).is_some_and(|a| a.way.span().closed);
    if turns || known() != Some(false) {
        return;
    }
    let limbs = played.limbs.clone();
    let part = FigurePart { figure: String::new(), channels: Vec::new(), limbs };
    let (name, carrier) = (stage.limb_name(limb), stage.figure().limbs[limb].carrier);
    let lost = (0..=(stage.duration.0 * LOOKS) as u64)
        .map(|i| Sec(i as f64 / LOOKS))
        .find(|t| part.pose(name, *t, stage.fitted).is_none());
    let (Some(at), Some(carrier)) = (lost, carrier) else { return };
    let carrier = stage.limb_name(carrier);
    let text = format!(
        "with {carrier} where it is at {}, the drive of {}.{name} comes into line with its lever or does \
         not reach.",
        stage.when(at),
        stage.name()
    );
    let cue = asks.iter().rev().find(|a| a.limb == limb && a.from <= at).or(asks.first());
    let Some(cue) = cue else { return };
    played.findings.push(
        Finding::new(&SERVO_ROD_LOCKS, cue.cue, text)
            .help(format!(
                "write the angle as a gesture of {name}, or of {carrier}: it is held against both then."
            ))
            .about(stage.name(), Some(name)),
    );
}

/// Whether what is asked can hold: it has no accent, or its carrier rests as long.
/// Reported where it cannot.
fn holds(stage: &Stage<'_>, ask: &Ask<'_>, played: &mut Played) -> bool {
    let accent = matches!(ask.told, AskTold::Do(Action::Sweep { accent: Some(_), .. }));
    let carrier = stage.figure().limbs[ask.limb].carrier.filter(|_| plays(stage.fitted, ask.limb));
    let Some(carrier) = carrier.filter(|_| accent) else { return true };
    if rests(stage, ask, carrier, played) {
        return true;
    }
    let (limb, name) = (stage.limb_name(ask.limb), stage.limb_name(carrier));
    let text = format!(
        "the accent of {}.{limb} at {} is an angle of the board, and {name}, which carries it, is not at rest then.",
        stage.name(),
        stage.when(ask.from)
    );
    let known = |f: &Finding| f.code.word == CARRIER_MOVES.word && f.place == Some(ask.cue);
    if !played.findings.iter().any(known) {
        played.findings.push(
            Finding::new(&CARRIER_MOVES, ask.cue, text)
                .help(format!("leave the accent out, or wait until {name} rests."))
                .about(stage.name(), Some(limb)),
        );
    }
    false
}
