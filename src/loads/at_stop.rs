//! A limb that its motor runs into its own stops: what it pushes there with, and what gives
//! first. Only a drive that comes to them while it is whole does so: a crank that goes round
//! never takes its limb beyond its way.

use super::cycle::Effort;
use super::jam::{By, Gives, Transfer};
use super::works;
use crate::fit::FittedFigure;
use crate::geometry::{BoardPoint, Dir};
use crate::mechanism::{Guide, Stand};
use crate::model::{Note, Source, Stops};
use crate::units::print::{self, decimal};
use crate::units::{Mm, Newton};

/// Where a hand is commonly caught, m from the bolt.
const HAND: f64 = 0.1;

/// How a motor's effort comes to its limb at a stop; `None` where the drive never gets there.
fn transfer(
    (fitted, index): (&FittedFigure, usize),
    effort: Effort,
    stand: Stand,
) -> Option<Transfer> {
    let limb = &fitted.figure.limbs[index];
    let mechanism = fitted.limbs[index].mechanism.as_ref()?;
    let (moves, _) = works::moves(limb, mechanism)?;
    let (moves, path) = moves.both();
    let at = moves.inverse(stand, path).ok()?.into_iter().next()?;
    let pose = moves.motion(&path.motion(at).ok()?).ok()?.limb;
    let input = path.at(at).ok()?;
    let body = moves.position(&input).ok()?.limb;
    // Per rad of a shaft, or per m of what is pushed or wound.
    let per = if effort == Effort::Torque { 1.0 } else { 1e3 };
    let (rate, slides, arm) = match moves.guide() {
        Guide::Slide(slide) => {
            let rate = libm::hypot(pose.x.d, pose.y.d) * 1e-3 * per;
            let share = moves.thrust(&input, &body).map(|t| t.along.dot(slide.along).abs());
            (rate, true, share)
        }
        Guide::Pivot => {
            let pivot = BoardPoint::mm(body.x, body.y);
            let arm = moves.thrust(&input, &body).map(|t| t.arm(pivot).abs() * 1e-3);
            (pose.turn_rates().0.abs() * per, false, arm)
        }
    };
    let arm = match effort {
        // What goes in comes out: force x its way on the limb is effort x the motor's.
        Effort::Torque => arm.map(|arm| arm * rate),
        Effort::Force => Some(1.0),
        Effort::Winding => None,
    };
    Some(Transfer { rate: Some((rate, slides)), arm }).filter(|_| rate > 1e-6)
}

/// What is told of a limb at the stops that its motor takes it to; of what gives, strengths are
/// known in the middle of its way.
pub(super) fn told(
    at: (&FittedFigure, usize),
    (effort, motor): (Effort, f64),
    middle: Transfer,
    gives: &[(By, Gives)],
) -> Option<Note> {
    let (fitted, index) = at;
    let figure = &fitted.figure;
    let limb = &figure.limbs[index];
    let straight = matches!(limb.drive.as_ref()?.source, Source::Motor(_));
    if !straight || limb.carrier.is_some() || effort == Effort::Winding {
        return None;
    }
    let (stands, places) = match limb.build.stops?.value {
        Stops::Turned(a, b) => (
            [a, b].map(|a| Stand::Turned(Dir::degrees(a))),
            [a, b].map(|a| format!("{} deg", decimal(a.0, 1))),
        ),
        Stops::Slid(a, b) => {
            ([a, b].map(Stand::Slid), [a, b].map(|a: Mm| print::length(a, figure.system)))
        }
    };
    let one = |(stand, place): (Stand, String)| {
        let there = transfer(at, effort, stand)?;
        let (rate, slides) = there.rate?;
        let push = Newton(motor / if slides { rate } else { rate * HAND });
        let scale = |by: By| match by {
            By::Motor => Some(1.0),
            By::Rod => Some(there.arm? / middle.arm?),
            By::Limb => Some(rate / middle.rate?.0),
        };
        let first = gives
            .iter()
            .filter_map(|(by, g)| Some((g.at * scale(*by)?, g)))
            .filter(|(at, _)| *at < motor)
            .reduce(|a, b| if b.0 < a.0 { b } else { a });
        let first = first.map_or(String::new(), |(share, g)| {
            let from = print::force(push * (share / motor), figure.system);
            let assumed = g.assumed.map_or(String::new(), |a| format!(", {a} assumed"));
            format!(" (from {from} on {}{assumed})", g.what)
        });
        let where_to = if slides { "" } else { " 100 mm from its bolt" };
        let force = print::force(push, figure.system);
        Some(format!("with {force}{where_to} at {place}{first}"))
    };
    let told: Vec<String> = stands.into_iter().zip(places).filter_map(one).collect();
    (!told.is_empty()).then(|| {
        let what = format!("run into its stops, its motor pushes {}", told.join(" and "));
        Note::new(what, "")
    })
}
