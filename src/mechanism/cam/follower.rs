//! What runs on a cam, and where the two touch.
//!
//! All formulas are exact envelopes. With C the roller's centre on the board,
//! counted from the shaft, J a quarter turn to the left and a dash the derivative
//! by the cam's turn, the pitch curve in the cam's own frame has the tangent
//! `T = C' - J C` and the second derivative `A = C'' - 2 J C' - C`, both turned
//! back with the cam; it is run through clockwise. A flat face is the tangent of
//! its cam: with h its distance from the shaft and q = dh/db, b the direction of
//! its normal in the cam's frame, they touch q beside the foot of the
//! perpendicular, and the cam's radius of curvature is h + dq/db.
//! (R. L. Norton, Design of Machinery, ch. 8; H. A. Rothbart (ed.), Cam Design
//! Handbook, ch. 7; formulas derived anew.)

use crate::geometry::{BoardPoint, Dir, Real};
use crate::mechanism::Slide;
use crate::units::{Deg, Mm};

/// The limb a cam moves. What is lifted moves away from the shaft.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Limb {
    /// It slides.
    Slides(Sliding),
    /// It swings about a pivot.
    Swings(Swinging),
}

/// A limb on a slide.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sliding {
    /// Its slide.
    pub slide: Slide,
    /// Where it is on the slide when the cam is at its lowest.
    pub low: Mm,
    /// How far the cam lifts it; negative where it lifts against the slide's
    /// direction.
    pub lift: Mm,
    /// What runs on the cam.
    pub foot: SlidingFoot,
}

/// What a sliding limb stands on the cam with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SlidingFoot {
    /// A roller; of radius 0, a knife edge.
    Roller {
        /// Its radius.
        radius: Mm,
        /// How far its centre passes left of the shaft, looking the way the cam
        /// lifts.
        offset: Mm,
    },
    /// A flat face square to the slide.
    Flat,
}

/// A limb on a pivot.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Swinging {
    /// Its pivot.
    pub pivot: BoardPoint,
    /// From the limb's axis counter-clockwise to its lever or face.
    pub clamp: Deg,
    /// How far the cam turns it; positive counter-clockwise.
    pub lift: Deg,
    /// What runs on the cam.
    pub foot: SwingingFoot,
}

/// What a swinging limb lies on the cam with.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SwingingFoot {
    /// A roller on a lever; of radius 0, a knife edge.
    Roller {
        /// Its radius.
        radius: Mm,
        /// From the pivot to its centre.
        lever: Mm,
    },
    /// A flat face along the lever.
    Flat {
        /// How much nearer to the shaft the face is than the line through the
        /// pivot beside it; 0 where the face's line goes through the pivot.
        stand_off: Mm,
    },
}

/// Cam and follower at one turn. Points are on the board, counted from the shaft.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Touch {
    /// The roller's centre; of a flat face, where it touches.
    pub pitch: [f64; 2],
    /// Where they touch.
    pub contact: [f64; 2],
    /// The normal there, away from the cam.
    pub normal: Dir,
    /// Cosine of the pressure angle: of the angle between normal and motion.
    pub push: f64,
    /// Sine of the pressure angle, without its sign.
    pub side: f64,
    /// How the curve bends here.
    pub bend: Bend,
    /// Where a flat face is touched: along it from the slide's line through the
    /// shaft (left positive, looking the way the cam lifts) or from the pivot's
    /// foot on it; 0 for a roller.
    pub reach: f64,
}

/// How a curve bends; convex is positive.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Bend {
    /// Curvature of a roller's pitch curve, 1/mm.
    Pitch(f64),
    /// Radius of a cam under a flat face, mm.
    Cut(f64),
}

/// A limb's coordinate with derivatives by the turn: mm along the way the cam
/// lifts, or radians counter-clockwise.
#[derive(Clone, Copy, Debug)]
pub(super) struct Way<R> {
    pub v: R,
    pub d: R,
    pub dd: R,
}

/// The sizes that touch, worked out once.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Shape {
    /// `up` the way the cam lifts, `beside` the offset, `height` the centre's
    /// height over the shaft at the lowest.
    SlidingRoller { up: Dir, beside: f64, height: f64, radius: f64 },
    /// `height` the face's at the lowest.
    SlidingFlat { up: Dir, height: f64 },
    /// `pivot` from the shaft, `low` the lever's direction at the lowest, `sign`
    /// of the lift.
    SwingingRoller { pivot: [f64; 2], lever: f64, radius: f64, low: Dir, sign: f64 },
    /// `low` the face's normal at the lowest.
    SwingingFlat { pivot: [f64; 2], stand_off: f64, low: Dir, sign: f64 },
}

const fn left(v: [f64; 2]) -> [f64; 2] {
    [-v[1], v[0]]
}
fn dot(a: [f64; 2], b: [f64; 2]) -> f64 {
    a[0] * b[0] + a[1] * b[1]
}
fn cross(a: [f64; 2], b: [f64; 2]) -> f64 {
    a[0] * b[1] - a[1] * b[0]
}
const fn xy(d: Dir) -> [f64; 2] {
    [d.x(), d.y()]
}
/// `a + k b`.
fn plus(a: [f64; 2], k: f64, b: [f64; 2]) -> [f64; 2] {
    [a[0] + k * b[0], a[1] + k * b[1]]
}
fn times(k: f64, b: [f64; 2]) -> [f64; 2] {
    [k * b[0], k * b[1]]
}

impl Shape {
    /// Where cam and follower touch.
    pub(super) fn touch(&self, way: Way<f64>) -> Touch {
        let Way { v, d, dd } = way;
        match *self {
            Self::SlidingRoller { up, beside, height, radius } => {
                let u = xy(up);
                let c = plus(times(beside, left(u)), height + v, u);
                roller([c, times(d, u), times(dd, u)], u, radius)
            }
            Self::SlidingFlat { up, height } => {
                let (u, h) = (xy(up), height + v);
                let contact = plus(times(h, u), -d, left(u));
                let bend = Bend::Cut(h + dd);
                Touch { pitch: contact, contact, normal: up, push: 1.0, side: 0.0, bend, reach: -d }
            }
            Self::SwingingRoller { pivot, lever, radius, low, sign } => {
                let a = xy(turned(low, v));
                let ja = left(a);
                let c = plus(pivot, lever, a);
                let second = plus(times(lever * dd, ja), -lever * d * d, a);
                roller([c, times(lever * d, ja), second], times(sign, ja), radius)
            }
            Self::SwingingFlat { pivot, stand_off, low, sign } => {
                face(pivot, stand_off, turned(low, v), sign, d, dd)
            }
        }
    }

    /// The sine of the push angle (the cosine of the pressure angle), from the way
    /// and the axis of the limb's turn since the lowest.
    pub(super) fn push<R: Real>(&self, way: &Way<R>, turn: [R; 2]) -> R {
        match *self {
            Self::SlidingRoller { beside, height, .. } => {
                let (y, x) = (way.v + height, way.d + beside);
                y / (x * x + y * y).sqrt()
            }
            Self::SlidingFlat { .. } => R::constant(1.0),
            Self::SwingingRoller { pivot, lever, low, .. } => {
                let [c, s] = turn;
                let (ax, ay) = compose(low, c, s);
                let (cx, cy) = (ax * lever + pivot[0], ay * lever + pivot[1]);
                let along = way.d * lever;
                let (tx, ty) = (cy - along * ay, along * ax - cx);
                let across = ay * pivot[0] - ax * pivot[1];
                let across = if across.value() < 0.0 { -across } else { across };
                across / (tx * tx + ty * ty).sqrt()
            }
            Self::SwingingFlat { pivot, stand_off, low, .. } => {
                let [c, s] = turn;
                let (nx, ny) = compose(low, c, s);
                let along = (nx * pivot[1] - ny * pivot[0]) / (R::constant(1.0) - way.d);
                let along = if along.value() < 0.0 { -along } else { along };
                along / (along * along + stand_off * stand_off).sqrt()
            }
        }
    }
}

/// A direction turned on.
fn compose<R: Real>(d: Dir, c: R, s: R) -> (R, R) {
    let (x, y) = (d.x(), d.y());
    (c * x - s * y, s * x + c * y)
}

pub(super) fn turned(low: Dir, by: f64) -> Dir {
    low.turned(Dir::radians(crate::units::Rad(by)))
}

/// From the centre with its derivatives and the direction it moves in when lifted.
fn roller(centre: [[f64; 2]; 3], lifted: [f64; 2], radius: f64) -> Touch {
    let [c, c1, c2] = centre;
    let t = plus(c1, -1.0, left(c));
    let a = plus(plus(c2, -2.0, left(c1)), -1.0, c);
    let long = dot(t, t).sqrt();
    let per = 1.0 / long;
    let normal = Dir::unit(-t[1] * per, t[0] * per);
    Touch {
        pitch: c,
        contact: plus(c, -radius, xy(normal)),
        normal,
        push: cross(t, lifted).abs() * per,
        side: dot(t, lifted).abs() * per,
        bend: Bend::Pitch(-cross(t, a) * per * per * per),
        reach: 0.0,
    }
}

/// A flat face on a swinging limb whose normal is `normal`.
fn face(pivot: [f64; 2], stand_off: f64, normal: Dir, sign: f64, d: f64, dd: f64) -> Touch {
    let n = xy(normal);
    let jn = left(n);
    // Along the normal and square to it, from the shaft to the pivot.
    let (p, w) = (dot(pivot, n), dot(pivot, jn));
    let h = p - stand_off;
    let slow = d - 1.0;
    let q = d * w / slow;
    // dq/dt of d w/(d - 1), with w' = -d p.
    let dq = -dd * w / (slow * slow) - d * d * p / slow;
    let contact = plus(times(h, n), q, jn);
    let along = w / slow;
    let far = (along * along + stand_off * stand_off).sqrt();
    let per = 1.0 / far;
    Touch {
        pitch: contact,
        contact,
        normal,
        push: along.abs() * per,
        side: stand_off.abs() * per,
        bend: Bend::Cut(h + dq / slow),
        reach: -sign * along,
    }
}
