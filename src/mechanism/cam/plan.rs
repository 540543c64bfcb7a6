//! A cam's sizes, and every way in which they make none.

use std::f64::consts::PI;

use super::follower::{Limb, Shape, Sliding, SlidingFoot, Swinging, SwingingFoot};
use super::{Programme, SIZES};
use crate::geometry::{BoardPoint, Dir};
use crate::units::{Deg, Mm, Rad};

/// Which way a cam turns, seen from the front.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Runs {
    /// Counter-clockwise: the motor's turn grows with time.
    #[default]
    Ccw,
    /// Clockwise.
    Cw,
}

impl Runs {
    /// +1 counter-clockwise, -1 clockwise.
    #[must_use]
    pub const fn sign(self) -> f64 {
        match self {
            Self::Ccw => 1.0,
            Self::Cw => -1.0,
        }
    }
}

/// A cam's sizes.
#[derive(Clone, Debug, PartialEq)]
pub struct Plan {
    /// The shaft.
    pub shaft: BoardPoint,
    /// Radius of the base circle: the smallest of the cut cam.
    pub base: Mm,
    /// What it moves.
    pub limb: Limb,
    /// What it does in a turn.
    pub programme: Programme,
    /// Which way it turns.
    pub runs: Runs,
    /// The motor's turn at which the programme begins.
    pub start: Deg,
}

/// A size of a cam.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum What {
    /// The base circle.
    Base,
    /// The lift.
    Lift,
    /// The roller.
    Roller,
    /// The lever.
    Lever,
    /// The offset.
    Offset,
    /// How far a flat face stands off.
    StandOff,
    /// A place or an angle.
    Place,
}

/// Why sizes make no cam.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Refusal {
    /// A size is nought, negative, too large or not a number.
    Size(What),
    /// The slide passes the shaft farther off than the roller's centre is at the
    /// lowest.
    OffsetBeyond {
        /// It must stay below this.
        most: Mm,
    },
    /// Shaft and pivot are one point.
    CentresMeet,
    /// The lever cannot lay the roller on the base circle: base and roller
    /// together must lie between these.
    OutOfReach {
        /// They are this much.
        has: Mm,
        /// More than this.
        above: Mm,
        /// Less than this.
        below: Mm,
    },
    /// Lifted so far the lever, or the face, points straight away from the shaft
    /// and the cam pushes it no further.
    PastTop {
        /// It must stay below this.
        most: Deg,
    },
    /// A face that stands off so far misses the base circle.
    FaceMisses {
        /// Base and stand-off together must stay below this.
        most: Mm,
    },
    /// The face turns faster than the cam.
    FaceRunsAhead {
        /// Its speed by the cam's, to stay below 1.
        ratio: f64,
    },
}

/// Centres nearer than this are one point.
const APART: f64 = 0.1;

fn size(v: Mm, what: What) -> Result<f64, Refusal> {
    if v >= SIZES.0 && v <= SIZES.1 { Ok(v.0) } else { Err(Refusal::Size(what)) }
}

fn signed(v: Mm, what: What) -> Result<f64, Refusal> {
    if v.0.abs() <= SIZES.1.0 { Ok(v.0) } else { Err(Refusal::Size(what)) }
}

fn radius(v: Mm) -> Result<f64, Refusal> {
    if v.0 == 0.0 { Ok(0.0) } else { size(v, What::Roller) }
}

impl Plan {
    /// The programme's angle at a turn of the motor, rad.
    #[must_use]
    pub fn angle(&self, turn: f64) -> f64 {
        self.runs.sign() * (turn - self.start.rad().0)
    }

    /// The motor's turn at an angle of the programme, rad.
    #[must_use]
    pub fn turn(&self, angle: f64) -> f64 {
        self.start.rad().0 + self.runs.sign() * angle
    }

    pub(super) fn shape(&self) -> Result<Shape, Refusal> {
        let base = size(self.base, What::Base)?;
        let places = [self.shaft.x, self.shaft.y, self.start.0];
        if !places.iter().all(|v| v.abs() < 1e6) {
            return Err(Refusal::Size(What::Place));
        }
        match &self.limb {
            Limb::Slides(s) => sliding(s, base),
            Limb::Swings(s) => self.swinging(s, base),
        }
    }

    fn swinging(&self, s: &Swinging, base: f64) -> Result<Shape, Refusal> {
        let lift = s.lift.rad().0;
        let large = lift.abs() > 1e-6 && lift.abs() < PI;
        if !large {
            return Err(Refusal::Size(What::Lift));
        }
        let places = [s.pivot.x, s.pivot.y, s.clamp.0];
        if !places.iter().all(|v| v.abs() < 1e6) {
            return Err(Refusal::Size(What::Place));
        }
        let pivot = [s.pivot.x - self.shaft.x, s.pivot.y - self.shaft.y];
        let far = libm::hypot(pivot[0], pivot[1]);
        let Some(out) = Dir::along(pivot[0], pivot[1]).filter(|_| far >= APART) else {
            return Err(Refusal::CentresMeet);
        };
        let sign = if lift < 0.0 { -1.0 } else { 1.0 };
        match s.foot {
            SwingingFoot::Roller { radius: r, lever } => {
                let (radius, lever) = (radius(r)?, size(lever, What::Lever)?);
                let pitch = base + radius;
                if !(pitch > (far - lever).abs() && pitch < far + lever) {
                    return Err(Refusal::OutOfReach {
                        has: Mm(pitch),
                        above: Mm((far - lever).abs()),
                        below: Mm(far + lever),
                    });
                }
                let cos = (far * far + lever * lever - pitch * pitch) / (2.0 * far * lever);
                let inner = libm::acos(cos.clamp(-1.0, 1.0));
                top(lift, PI - inner)?;
                let low = out.reversed().turned(Dir::radians(Rad(sign * inner)));
                Ok(Shape::SwingingRoller { pivot, lever, radius, low, sign })
            }
            SwingingFoot::Flat { stand_off } => {
                let stand_off = signed(stand_off, What::StandOff)?;
                let cos = (base + stand_off) / far;
                if cos.abs() >= 1.0 {
                    return Err(Refusal::FaceMisses { most: Mm(far) });
                }
                let inner = libm::acos(cos);
                top(lift, inner)?;
                let (ahead, back) = self.programme.fastest();
                // Ahead is with the cam: by the motor's turn, signs and all.
                let with = lift * self.runs.sign();
                let ratio = if with > 0.0 { with * ahead } else { with * back };
                if ratio >= 1.0 {
                    return Err(Refusal::FaceRunsAhead { ratio });
                }
                let low = out.turned(Dir::radians(Rad(-sign * inner)));
                Ok(Shape::SwingingFlat { pivot, stand_off, low, sign })
            }
        }
    }
}

fn top(lift: f64, most: f64) -> Result<(), Refusal> {
    if lift.abs() < most { Ok(()) } else { Err(Refusal::PastTop { most: Rad(most).deg() }) }
}

fn sliding(s: &Sliding, base: f64) -> Result<Shape, Refusal> {
    size(s.lift.abs(), What::Lift)?;
    let (from, along) = (s.slide.from, s.slide.along);
    if ![from.x, from.y, s.low.0].iter().all(|v| v.abs() < 1e6) {
        return Err(Refusal::Size(What::Place));
    }
    let up = if s.lift.0 < 0.0 { along.reversed() } else { along };
    match s.foot {
        SlidingFoot::Roller { radius: r, offset } => {
            let (radius, beside) = (radius(r)?, signed(offset, What::Offset)?);
            let pitch = base + radius;
            if beside.abs() >= pitch {
                return Err(Refusal::OffsetBeyond { most: Mm(pitch) });
            }
            let height = ((pitch - beside) * (pitch + beside)).sqrt();
            Ok(Shape::SlidingRoller { up, beside, height, radius })
        }
        SlidingFoot::Flat => Ok(Shape::SlidingFlat { up, height: base }),
    }
}
