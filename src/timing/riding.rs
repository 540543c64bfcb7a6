//! Limbs whose motor rides on the limb that carries them.
//!
//! Such a limb is played as the carrier sees it, in angles from the carrier's axis. Its
//! angle on the board is the carrier's and its own added up. What is told in angles of
//! the board holds while the carrier rests.

use crate::finding::Finding;
use crate::fit::{FittedFigure, Pose, Riding, standing};
use crate::geometry::{Body, Dir};
use crate::mechanism::Slide;
use crate::model::{Action, Joint, Limb};
use crate::units::{Deg, Sec};

use super::carried;
use super::codes::CARRIER_MOVES;
use super::expand::{Ask, AskTold, own_span};
use super::follow::Heard;
use super::motion::on_lines;
use super::perform::{play_limb, play_motor};
use super::runs::bends;
use super::stage::{Played, Stage};
use super::{FigurePart, LimbMotion, Path};

/// A carrier nearer to its rest than this is at rest (a hobby servo's dead band; common
/// practice, no source).
const AT_REST: Deg = Deg(0.5);

/// The limbs with a motor on their carrier, each behind the one that carries it.
pub fn in_order(stage: &Stage<'_>) -> Vec<usize> {
    let limbs = &stage.figure().limbs;
    let depth = |limb: usize| {
        let next = |l: &usize| limbs.get(*l).and_then(|l| l.carrier);
        std::iter::successors(Some(limb), next).take(limbs.len()).count()
    };
    let rides = |l: &usize| stage.fitted.limbs.get(*l).is_some_and(|l| l.riding.is_some());
    let mut found: Vec<usize> = (0..limbs.len()).filter(rides).collect();
    found.sort_by_key(|l| depth(*l));
    found
}

/// Everything such a limb does in a show.
pub fn play(stage: &Stage<'_>, limb: usize, asks: &[Ask<'_>], heard: &Heard, played: &mut Played) {
    let Some(riding) = stage.fitted.limbs.get(limb).and_then(|l| l.riding.as_ref()) else { return };
    let own = &stage.figure().limbs[limb];
    let held: Vec<&Ask<'_>> =
        asks.iter().filter(|a| a.limb == limb && holds(stage, own, riding, a, played)).collect();
    let told = Told::of(own, riding, &held);
    let asks: Vec<Ask<'_>> = held.iter().map(|a| told.ask(a)).collect();
    let seen = Stage { seen: Some(&riding.figure), ..*stage };
    let before = played.findings.len();
    if let Some(motor) = seen.figure().motor_of(limb) {
        play_motor(&seen, motor, &asks, played);
    }
    play_limb(&seen, limb, &asks, heard, played);
    for finding in &mut played.findings[before..] {
        riding.told(finding);
    }
}

/// Actions of a limb in angles of the board, each with what it is from the carrier.
struct Told<'a>(Vec<(&'a Action, Action)>);

impl<'a> Told<'a> {
    fn of(limb: &Limb, riding: &Riding, asks: &[&Ask<'a>]) -> Self {
        let mut found: Vec<(&'a Action, Action)> = Vec::new();
        for ask in asks {
            let AskTold::Do(action) = ask.told else { continue };
            let known = found.iter().any(|(told, _)| std::ptr::eq(*told, action));
            if !known && !bends(limb, action) {
                found.push((action, riding.action(action)));
            }
        }
        Self(found)
    }

    fn ask<'t>(&'t self, ask: &Ask<'t>) -> Ask<'t> {
        let told = match ask.told {
            AskTold::Do(action) => {
                let seen = self.0.iter().find(|(told, _)| std::ptr::eq(*told, action));
                AskTold::Do(seen.map_or(action, |(_, seen)| seen))
            }
            AskTold::Rest => AskTold::Rest,
        };
        Ask { told, ..*ask }
    }
}

/// Whether what is asked can hold: its angles count from the carrier, or the carrier
/// rests as long. Reported where it cannot.
fn holds(
    stage: &Stage<'_>,
    limb: &Limb,
    riding: &Riding,
    ask: &Ask<'_>,
    played: &mut Played,
) -> bool {
    let AskTold::Do(action) = ask.told else { return true };
    let absolute = matches!(
        action,
        Action::Sweep { .. } | Action::Turn { .. } | Action::Pose(_) | Action::Follow { .. }
    );
    if !absolute || bends(limb, action) {
        return true;
    }
    let carriers =
        std::iter::successors(Some(riding.carrier), |c| stage.figure().limbs[*c].carrier);
    for carrier in carriers.take(stage.figure().limbs.len()) {
        let name = stage.limb_name(carrier);
        if rests(stage, ask, carrier, played) {
            continue;
        }
        let text = format!(
            "{}.{} is told an angle of the board at {}, and {name}, which carries it, is not at rest then.",
            stage.name(),
            limb.name.value,
            stage.when(ask.from)
        );
        let known = |f: &Finding| f.code.word == CARRIER_MOVES.word && f.place == Some(ask.cue);
        if !played.findings.iter().any(known) {
            played.findings.push(
                Finding::new(&CARRIER_MOVES, ask.cue, text)
                    .help(format!(
                        "say the angle from {name} with `bend`, or wait until {name} rests."
                    ))
                    .about(stage.name(), Some(&limb.name.value)),
            );
        }
        return false;
    }
    true
}

/// Whether a limb rests as long as something is asked.
pub fn rests(stage: &Stage<'_>, ask: &Ask<'_>, limb: usize, played: &Played) -> bool {
    let name = stage.limb_name(limb);
    let Some(motion) = played.limbs.iter().find(|l| l.limb == name) else { return true };
    let span = match ask.told {
        AskTold::Do(action) => own_span(action),
        AskTold::Rest => None,
    };
    let own = span.and_then(|s| stage.clock.length(ask.at, s)).map(|l| ask.from + l);
    let until = ask.to.or(own).unwrap_or(ask.from);
    let fitted = stage.fitted.limbs.get(limb);
    let on = fitted.and_then(|f| f.riding.as_ref()).map_or(Deg(0.0), |r| r.at_rest);
    let rest = standing(&stage.figure().limbs[limb], fitted).map(|r| r - on);
    rest.is_none_or(|rest| stays(motion, rest, (ask.from, until)))
}

/// Whether a limb stays at an angle between two times.
fn stays(motion: &LimbMotion, at: Deg, (from, to): (Sec, Sec)) -> bool {
    let near = |a: Deg| (a - at).signed().abs() <= AT_REST;
    // A crank whose limb is moved by its carrier as well starts at rest.
    let park = motion.pieces.first().and_then(|p| match p.path {
        Path::Crank { from, .. } => Some(from),
        _ => None,
    });
    motion.pieces.iter().filter(|p| p.to > from && p.from <= to).all(|piece| match &piece.path {
        Path::Still(pose) => pose.angle().is_none_or(near),
        Path::Line(points) => {
            let inside = points.iter().filter(|(t, _)| *t > from && *t < to);
            near(on_lines(points, from))
                && near(on_lines(points, to))
                && inside.into_iter().all(|(_, a)| near(*a))
        }
        Path::Crank { from, to } if from == to => {
            park.is_some_and(|p| (*from - p).signed().abs() <= AT_REST)
        }
        Path::Crank { .. } | Path::Length { .. } | Path::Turn { .. } => false,
    })
}

impl FigurePart {
    /// Where a limb stands on the board at a time after the start signal: its own motion
    /// and, where its motor rides, that of the limb that carries it added up. A limb that
    /// no cue moves stands at its rest, where it parks, or as drawn.
    ///
    /// `None` for an unknown limb, or where its mechanism does not close.
    #[must_use]
    pub fn pose(&self, limb: &str, t: Sec, fitted: &FittedFigure) -> Option<Pose> {
        let figure = &fitted.figure;
        self.pose_of(figure.limb(limb)?, t, fitted)
    }

    fn pose_of(&self, index: usize, t: Sec, fitted: &FittedFigure) -> Option<Pose> {
        let limb = fitted.figure.limbs.get(index)?;
        let own = fitted.limbs.get(index)?;
        let motion = self.limbs.iter().find(|l| l.limb == limb.name.value);
        if let (true, Some(carrier)) = (carried::plays(fitted, index), limb.carrier) {
            let own = match motion {
                Some(motion) => motion.coordinate(t)?,
                None => carried::at_rest(fitted, index)?,
            };
            let Pose::Turned(on) = self.pose_of(carrier, t, fitted)? else { return None };
            return carried::angle(fitted, index, own, on).map(Pose::Turned);
        }
        let on = match &own.riding {
            None => Deg(0.0),
            Some(riding) => match self.pose_of(riding.carrier, t, fitted)? {
                Pose::Turned(angle) => angle,
                Pose::Slid(_) => Deg(0.0),
            },
        };
        let Some((motion, mechanism)) = motion.zip(own.mechanism.as_ref()) else {
            return match limb.joint {
                Joint::Slide { .. } => Some(Pose::Slid(crate::units::Mm(0.0))),
                Joint::Pivot { .. } => {
                    let at_rest = own.riding.as_ref().map_or(Deg(0.0), |r| r.at_rest);
                    let stands = standing(limb, Some(own));
                    let stands = stands.or_else(|| drawn(limb).map(|d| d.axis().deg()))?;
                    // Its own angle from the carrier stays while that one moves.
                    Some(Pose::Turned(stands - at_rest + on))
                }
            };
        };
        Some(match motion.at(t, mechanism)? {
            Pose::Turned(angle) => Pose::Turned(angle + on),
            slid => slid,
        })
    }

    /// Where a limb's pivot is and which way its axis points on the board at a time: with
    /// all the limbs that carry it. As [`FigurePart::pose`]; `None` also where its joint
    /// or a carrier's drawn axis is not known.
    #[must_use]
    pub fn body(&self, limb: &str, t: Sec, fitted: &FittedFigure) -> Option<Body<f64>> {
        self.body_of(fitted.figure.limb(limb)?, t, fitted)
    }

    fn body_of(&self, index: usize, t: Sec, fitted: &FittedFigure) -> Option<Body<f64>> {
        let limb = fitted.figure.limbs.get(index)?;
        let pose = self.pose_of(index, t, fitted)?;
        let Some(carrier) = limb.carrier else { return own_body(limb, pose) };
        let host = self.body_of(carrier, t, fitted)?;
        let seen = drawn(fitted.figure.limbs.get(carrier)?)?;
        let carried = |x: f64, y: f64| {
            let (x, y) = (x - seen.x, y - seen.y);
            host.place(x * seen.cos + y * seen.sin, y * seen.cos - x * seen.sin)
        };
        match (pose, &limb.joint) {
            (Pose::Turned(angle), Joint::Pivot { at: Some(at), .. }) => {
                let (x, y) = carried(at.x, at.y);
                Some(Body::still(x, y, Dir::degrees(angle)))
            }
            (Pose::Slid(_), Joint::Slide { .. }) => {
                let own = own_body(limb, pose)?;
                let (x, y) = carried(own.x, own.y);
                let axis = own.axis().turned(host.axis().from(seen.axis()));
                Some(Body::still(x, y, axis))
            }
            _ => None,
        }
    }
}

/// A limb by itself at a pose, its joint where it is drawn.
fn own_body(limb: &Limb, pose: Pose) -> Option<Body<f64>> {
    match (pose, &limb.joint) {
        (Pose::Turned(angle), Joint::Pivot { at: Some(at), .. }) => {
            Some(Body::still(at.x, at.y, Dir::degrees(angle)))
        }
        (Pose::Slid(way), Joint::Slide { from, to }) => {
            Some(Slide::between(*from, *to)?.body(way.0))
        }
        _ => None,
    }
}

/// A limb as it is drawn.
fn drawn(limb: &Limb) -> Option<Body<f64>> {
    match limb.joint {
        Joint::Pivot { at: Some(at), .. } => {
            let axis = (limb.tip? - at).dir()?;
            Some(Body::still(at.x, at.y, axis))
        }
        Joint::Pivot { at: None, .. } => None,
        Joint::Slide { from, to } => Some(Slide::between(from, to)?.body(0.0)),
    }
}
