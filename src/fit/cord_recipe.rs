//! A cord from its dimensions: what pulls it, where it runs, how long it is.

use std::sync::Arc;

use super::builds::{self, Dimension, Recipe};
use super::puller::{By, CordSizes, Puller};
use crate::geometry::BoardPoint;
use crate::mechanism::{Cord, Path, Pull, Shaft, Size, Way};
use crate::units::{Deg, Mm};

/// What the place of an eye is called.
const EYE: [&str; 2] = ["eye, across", "eye, up"];

/// How a cord is made: its sizes, and where motor, pivot and eyes stand. What moves it
/// goes the drawn `way`: a crank round, a horn, spool or ram as far as it is sent with
/// the sizes as drawn.
pub(super) fn recipe(puller: &Puller, drawn: &CordSizes, spool: Size, way: &Way) -> Recipe {
    let mut dimensions: Vec<Dimension> = drum(puller.by, drawn, spool).into_iter().collect();
    dimensions.extend([
        Dimension::length("lever", drawn.lever),
        Dimension::angle("clamp", drawn.clamp),
        Dimension::length("cord", drawn.length),
    ]);
    dimensions.extend(builds::place(builds::MOTOR, puller.at));
    dimensions.extend(builds::place(builds::PIVOT, puller.pivot));
    dimensions.extend(puller.guides.iter().flat_map(|g| builds::place(EYE, *g)));
    let (before, sizes, span) = (puller.clone(), *drawn, way.span());
    Recipe::new(dimensions, move |v| {
        let (sizes, puller) = of_values(v, &before, &sizes)?;
        Some(match puller.by {
            By::Crank | By::Horn { .. } => {
                let cord = puller.cord(&sizes)?;
                (Arc::new(cord), Way::Shaft(Shaft { at: puller.at, span }))
            }
            By::Wound { .. } => (
                Arc::new(wound(&puller, &sizes, v, spool, span.to)?),
                Way::Extending(crate::mechanism::Extending { span }),
            ),
        })
    })
}

/// The radius of what pulls it: crank or horn, or the spool's diameter where it is
/// known. A ram has none.
fn drum(by: By, drawn: &CordSizes, spool: Size) -> Option<Dimension> {
    match (by, spool) {
        (By::Crank, _) => Some(Dimension::length("crank", drawn.radius)),
        (By::Horn { .. }, _) => Some(Dimension::length("horn", drawn.radius)),
        (By::Wound { .. }, Size::Given(v)) => Some(Dimension::length("spool", Mm(v))),
        (By::Wound { .. }, _) => None,
    }
}

/// Sizes and places of these values.
pub(super) fn of_values(
    v: &[f64],
    drawn: &Puller,
    sizes: &CordSizes,
) -> Option<(CordSizes, Puller)> {
    let count = 7 + 2 * drawn.guides.len();
    let (drum, own) = v.split_at_checked(v.len().checked_sub(count)?)?;
    let (&[lever, clamp, cord, mx, my, px, py], eyes) = own.split_first_chunk::<7>()?;
    let puller = Puller {
        at: BoardPoint::mm(mx, my),
        guides: eyes.chunks_exact(2).map(|e| BoardPoint::mm(e[0], e[1])).collect(),
        pivot: BoardPoint::mm(px, py),
        ..drawn.clone()
    };
    let radius = match drawn.by {
        By::Crank | By::Horn { .. } => Mm(*drum.first()?),
        By::Wound { .. } => sizes.radius,
    };
    let (lever, clamp, length) = (Mm(lever), Deg(clamp), Mm(cord));
    Some((CordSizes { radius, lever, clamp, length, ..*sizes }, puller))
}

/// A cord on a spool or a ram that is told how much to draw in by the drawn sizes: a
/// thicker spool draws in more, a longer cord stays longer.
fn wound(puller: &Puller, sizes: &CordSizes, v: &[f64], spool: Size, told: f64) -> Option<Cord> {
    let thicker = match spool {
        Size::Given(drawn) => v.first()? / drawn,
        _ => 1.0,
    };
    let pull = Pull::Wound { from: puller.at, per: -thicker, zero: told };
    let limb = (puller.pivot, sizes.lever, sizes.clamp);
    let cord = Cord::new(pull, puller.guides.clone(), limb, sizes.length, sizes.side).ok()?;
    Some(puller.over(cord))
}
