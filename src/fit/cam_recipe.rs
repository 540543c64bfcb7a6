//! A cam from its dimensions: the disc as it is cut, and the follower as it hangs.
//!
//! At both ends of its motion the follower stands still, so there the disc is at its
//! lowest and its highest under it: what counts of the cut is its radius at these two
//! places. Both ends are exact for any roller, lever and place; between them a limb
//! built otherwise is taken to move by the drawn programme from end to end.

use std::sync::Arc;

use super::builds::{self, Dimension, Recipe};
use crate::geometry::BoardPoint;
use crate::mechanism::cam::{Cam, Limb, Plan, Sliding, SlidingFoot, Swinging, SwingingFoot};
use crate::mechanism::{Shaft, Slide, Way};
use crate::units::{Deg, Mm, Rad};

/// A disc that is cut: its least radius, and by how much its greatest exceeds it.
#[derive(Clone, Copy)]
struct Disc {
    base: f64,
    rise: f64,
}

impl Disc {
    fn dimensions(self) -> [Dimension; 2] {
        [
            Dimension::length("base circle", Mm(self.base)),
            Dimension::length("rise of the cut", Mm(self.rise)),
        ]
    }

    /// Its radius where it is lowest and where it is highest.
    const fn radii(self) -> [f64; 2] {
        [self.base, self.base + self.rise]
    }
}

/// How a cam is made; `None` where its follower's ends do not come out.
pub(super) fn recipe(cam: &Cam) -> Option<Recipe> {
    match cam.plan().limb {
        Limb::Slides(slide) => sliding(cam.plan(), slide),
        Limb::Swings(swing) => swinging(cam.plan(), swing),
    }
}

/// A cam of these sizes, turning as the drawn one does.
fn made(drawn: &Plan, shaft: BoardPoint, base: f64, limb: Limb) -> Option<builds::Made> {
    let plan = Plan { shaft, base: Mm(base), limb, ..drawn.clone() };
    let cam = Cam::new(plan).ok()?;
    Some((Arc::new(cam), Way::Shaft(Shaft::turning(shaft))))
}

fn sliding(plan: &Plan, drawn: Sliding) -> Option<Recipe> {
    let sign = if drawn.lift.0 < 0.0 { -1.0 } else { 1.0 };
    let up = if sign < 0.0 { drawn.slide.along.reversed() } else { drawn.slide.along };
    let (roller, offset) = match drawn.foot {
        SlidingFoot::Roller { radius, offset } => (Some(radius.0), offset.0),
        SlidingFoot::Flat => (None, 0.0),
    };
    // How high the follower stands over the shaft on a cut of this radius.
    let height = move |cut: f64, roller: Option<f64>, offset: f64| match roller {
        Some(r) => (((cut + r) * (cut + r)) - offset * offset).sqrt(),
        None => cut,
    };
    let low = height(plan.base.0, roller, offset);
    let top = low + drawn.lift.0.abs();
    let cut = roller.map_or(top, |r| libm::hypot(top, offset) - r);
    let disc = Disc { base: plan.base.0, rise: cut - plan.base.0 };
    let mut dimensions = disc.dimensions().to_vec();
    // A knife edge has no roller.
    let rolls = roller.is_some_and(|r| r > 0.0);
    if rolls {
        dimensions.push(Dimension::length("roller", Mm(roller?)));
    }
    dimensions.extend(builds::place(builds::MOTOR, plan.shaft));
    dimensions.extend(builds::place(builds::GUIDE, drawn.slide.from));
    let plan = plan.clone();
    Some(Recipe::new(dimensions, move |v| {
        let (&[base, rise], rest) = v.split_first_chunk::<2>()?;
        let (radius, rest) = match rest.split_first() {
            Some((r, rest)) if rolls => (Some(*r), rest),
            _ => (roller, rest),
        };
        let &[mx, my, gx, gy] = rest else { return None };
        let (shaft, from) = (BoardPoint::mm(mx, my), BoardPoint::mm(gx, gy));
        let moved = (from - drawn.slide.from) - (shaft - plan.shaft);
        let beside = offset + moved.y * up.x() - moved.x * up.y();
        let [l, h] = Disc { base, rise }.radii().map(|cut| height(cut, radius, beside));
        let along = moved.x * up.x() + moved.y * up.y();
        let limb = Sliding {
            slide: Slide { from, ..drawn.slide },
            low: Mm(drawn.low.0 + sign * (l - low - along)),
            lift: Mm(sign * (h - l)),
            foot: match radius {
                Some(radius) => SlidingFoot::Roller { radius: Mm(radius), offset: Mm(beside) },
                None => SlidingFoot::Flat,
            },
        };
        made(&plan, shaft, base, Limb::Slides(limb))
    }))
}

/// What a swinging limb lies on the cam with, as numbers: a roller on an arm, or a
/// face.
#[derive(Clone, Copy)]
enum Foot {
    Roller { radius: f64, arm: f64 },
    Face { stand_off: f64 },
}

impl Foot {
    fn of(foot: SwingingFoot) -> Self {
        match foot {
            SwingingFoot::Roller { radius, lever } => {
                Self::Roller { radius: radius.0, arm: lever.0 }
            }
            SwingingFoot::Flat { stand_off } => Self::Face { stand_off: stand_off.0 },
        }
    }

    fn dimensions(self) -> Vec<Dimension> {
        match self {
            Self::Roller { radius, arm } => {
                let arm = Dimension::length("follower's arm", Mm(arm));
                let roller = (radius > 0.0).then(|| Dimension::length("roller", Mm(radius)));
                roller.into_iter().chain([arm]).collect()
            }
            Self::Face { stand_off } => {
                vec![Dimension::offset("face beside the pivot", Mm(stand_off))]
            }
        }
    }

    /// The same with other values, and those that are left.
    fn with(self, v: &[f64]) -> Option<(Self, &[f64])> {
        match self {
            Self::Roller { radius, .. } if radius > 0.0 => {
                let (&[radius, arm], rest) = v.split_first_chunk::<2>()?;
                Some((Self::Roller { radius, arm }, rest))
            }
            Self::Roller { radius, .. } => {
                let (&arm, rest) = v.split_first()?;
                Some((Self::Roller { radius, arm }, rest))
            }
            Self::Face { .. } => {
                let (&stand_off, rest) = v.split_first()?;
                Some((Self::Face { stand_off }, rest))
            }
        }
    }

    fn swinging(self) -> SwingingFoot {
        match self {
            Self::Roller { radius, arm } => {
                SwingingFoot::Roller { radius: Mm(radius), lever: Mm(arm) }
            }
            Self::Face { stand_off } => SwingingFoot::Flat { stand_off: Mm(stand_off) },
        }
    }

    /// The angle at the pivot on a cut of this radius, with shaft and pivot so far
    /// apart, rad: between arm and shaft it grows with the cut, between face and the
    /// line away from the shaft it shrinks. Not a number where they do not meet.
    fn angle(self, cut: f64, apart: f64) -> f64 {
        match self {
            Self::Roller { radius, arm } => {
                let pitch = cut + radius;
                let cos = (apart * apart + arm * arm - pitch * pitch) / (2.0 * apart * arm);
                libm::acos(cos)
            }
            Self::Face { stand_off } => libm::acos((cut + stand_off) / apart),
        }
    }

    /// The radius of the cut at that angle.
    fn cut(self, angle: f64, apart: f64) -> f64 {
        match self {
            Self::Roller { radius, arm } => {
                let cos = 2.0 * apart * arm * libm::cos(angle);
                (apart * apart + arm * arm - cos).sqrt() - radius
            }
            Self::Face { stand_off } => apart * libm::cos(angle) - stand_off,
        }
    }
}

fn swinging(plan: &Plan, drawn: Swinging) -> Option<Recipe> {
    let foot = Foot::of(drawn.foot);
    let apart = plan.shaft.distance(drawn.pivot).0;
    let (lift, sign) = (drawn.lift.rad().0.abs(), if drawn.lift.0 < 0.0 { -1.0 } else { 1.0 });
    let grows = if matches!(foot, Foot::Roller { .. }) { 1.0 } else { -1.0 };
    let top = foot.cut(foot.angle(plan.base.0, apart) + grows * lift, apart);
    let disc = Disc { base: plan.base.0, rise: top - plan.base.0 };
    if !(disc.rise.is_finite() && disc.rise > 0.0) {
        return None;
    }
    let mut dimensions = disc.dimensions().to_vec();
    dimensions.extend(foot.dimensions());
    dimensions.push(Dimension::angle("clamp", drawn.clamp));
    dimensions.extend(builds::place(builds::MOTOR, plan.shaft));
    dimensions.extend(builds::place(builds::PIVOT, drawn.pivot));
    let plan = plan.clone();
    Some(Recipe::new(dimensions, move |v| {
        let (&[base, rise], rest) = v.split_first_chunk::<2>()?;
        let (foot, rest) = foot.with(rest)?;
        let &[clamp, mx, my, px, py] = rest else { return None };
        let (shaft, pivot) = (BoardPoint::mm(mx, my), BoardPoint::mm(px, py));
        let apart = shaft.distance(pivot).0;
        let [low, high] = Disc { base, rise }.radii().map(|cut| foot.angle(cut, apart));
        let lift = Rad(sign * grows * (high - low)).deg();
        let limb = Swinging { pivot, clamp: Deg(clamp), lift, foot: foot.swinging() };
        made(&plan, shaft, base, Limb::Swings(limb))
    }))
}
