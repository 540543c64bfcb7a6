//! Limbs that ride on another while their motor stands on the board: crank and what
//! carries them each follow their own cues, and both move the limb.
//!
//! The crank turns as any crank does; where the limb is follows from both (R. L. Norton,
//! *Design of Machinery*: the position of a four-bar, whose ground the carrier moves). What
//! a place of the shaft is told by, where it parks and rests and what accents meet, holds
//! while the carrier rests, and is found with it there.

use crate::finding::Finding;
use crate::fit::{Fitted, FittedFigure, FittedFourBar, Pose, standing};
use crate::mechanism::{Mechanism as _, Path as _};
use crate::model::Action;
use crate::units::Deg;

use super::codes::CARRIER_MOVES;
use super::expand::{Ask, AskTold};
use super::perform::play_motor;
use super::riding::rests;
use super::shaft::shaft_at;
use super::stage::{Played, Stage};

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

/// Where a limb's carrier stands while nobody tells it anything.
fn carrier_at_rest(fitted: &FittedFigure, limb: usize) -> Option<Deg> {
    let carrier = fitted.figure.limbs[limb].carrier?;
    standing(&fitted.figure.limbs[carrier], fitted.limbs.get(carrier))
}

/// The limb's four-bar with its carrier at rest.
fn at_rest(fitted: &FittedFigure, limb: usize) -> Option<Fitted> {
    let own = fitted.carried(limb)?;
    let bar = fitted.carried_bar(limb, carrier_at_rest(fitted, limb))?;
    let analysis = bar.analyse();
    Some(Fitted::FourBar(Box::new(FittedFourBar {
        exact: bar,
        drilled: bar,
        analysis,
        as_drilled: analysis,
        ..own.clone()
    })))
}

/// The figure with all carriers at rest.
fn all_at_rest(fitted: &FittedFigure) -> FittedFigure {
    let mut at = fitted.clone();
    for limb in 0..fitted.limbs.len() {
        if let Some(mechanism) = at_rest(fitted, limb) {
            at.limbs[limb].mechanism = Some(mechanism);
        }
    }
    at
}

/// The crank's angle, pin and all, while nobody tells the limb anything.
#[must_use]
pub fn crank_at_rest(fitted: &FittedFigure, limb: usize) -> Option<Deg> {
    let mechanism = at_rest(fitted, limb)?;
    let (own, follows) = (&fitted.figure.limbs[limb], mechanism.follows()?);
    let sign = fitted.figure.actuators[fitted.figure.motor_of(limb)?].turns.sign();
    let said = own.parks.or(own.rest).map(|a| a.value);
    let told = said.and_then(|a| shaft_at(&mechanism, Pose::Turned(a), sign));
    told.map(|shaft| shaft + follows.pin).or_else(|| {
        let ends = crate::fit::Ends::of(follows.travel.as_ref()?);
        Some(crate::units::Rad(ends.at_low).deg())
    })
}

/// The limb's angle on the board with its crank and its carrier so, in the turn nearest
/// to what it does with the carrier as drawn; `None` where the rod does not close.
#[must_use]
pub fn angle(fitted: &FittedFigure, limb: usize, crank: Deg, carrier: Deg) -> Option<Deg> {
    let drawn = fitted.carried(limb)?;
    let bar = fitted.carried_bar(limb, Some(carrier))?;
    let input = drawn.shaft.at(crank.rad().0).ok()?;
    let found = bar.position(&input).ok()?.limb.axis().deg();
    let middle = drawn.made().1.motion.and_then(|m| Some(m.low? + m.sweep / 2.0))?;
    Some(middle + (found - middle).signed())
}

/// Everything a motor on the board does that moves such a limb: behind all that carries
/// them.
pub fn play(stage: &Stage<'_>, motor: usize, asks: &[Ask<'_>], played: &mut Played) {
    let fitted = all_at_rest(stage.fitted);
    let held: Vec<Ask<'_>> = asks
        .iter()
        .filter(|a| stage.figure().motor_of(a.limb) != Some(motor) || holds(stage, a, played))
        .copied()
        .collect();
    play_motor(&Stage { fitted: &fitted, ..*stage }, motor, &held, played);
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
