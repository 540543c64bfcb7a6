//! How a limb moves that rides on another: by what carries it, and by its own motor.
//!
//! Neither coordinate waits for the other, so a pose of such a limb is a point of as many
//! coordinates as there are motors under it. How fast its corners move by each is bounded
//! by what the rigid parts allow: a limb that rides is turned and carried with what it
//! rides on; one whose motor stands on the board is held by its rod, and turns at most at
//! the speed of the rod's ends over the part of the lever that is square to the rod.

use super::distance::Corner;
use super::track::{self, Track, farthest, put};
use crate::fit::{Aboard, Fitted, FittedFigure};
use crate::geometry::{Body, Dir};
use crate::mechanism::{Guide, Input, Mechanism, Path as _, Rod};
use crate::model::{Joint, Source};
use crate::units::Rad;

/// What a coordinate belongs to: two parts that share one move together.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Key {
    /// A limb's own angle, or its way along its slide.
    Own(usize),
    /// The shaft of a motor.
    Shaft(usize),
    /// A disc that is taken to stand anywhere.
    Disc(usize),
}

/// A coordinate with its stretch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Coord {
    pub key: Key,
    pub from: f64,
    pub to: f64,
}

/// A limb on what carries it.
#[derive(Clone)]
pub(super) struct Ride<'a> {
    carrier: usize,
    /// What carries it, and the key of its coordinate.
    host: Track<'a>,
    key: Key,
    /// The limb's origin in the carrier's own plane.
    at: [f64; 2],
    moves: Move,
}

/// How it moves against what carries it.
#[derive(Clone)]
enum Move {
    /// Not at all; its axis from the carrier's.
    Fixed(Dir),
    /// By its own angle, rad, counted from where `zero` is from the carrier's axis.
    Turn { limb: usize, zero: Dir, from: f64, to: f64 },
    /// Along a slide in a plane that is `zero` from the carrier's axis.
    Slide { limb: usize, zero: Dir, along: Dir, axis: Dir, from: f64, to: f64 },
    /// By its motor on the board, its rod closed on the carrier.
    Aboard(Box<OnBoard>),
}

/// A limb's drive on the board.
#[derive(Clone)]
struct OnBoard {
    /// Its coordinate.
    own: Coord,
    drive: Aboard,
    /// How fast the rod's near end moves, or it grows, by the coordinate at most.
    rate: f64,
    /// How far the rod pulls from the pivot at least, mm.
    least_arm: f64,
}

/// Turning speed, rad, and speed of the origin, mm, by a unit of a coordinate at most.
pub(super) type Rate = (f64, f64);

/// A limb that rides by the coordinates of all that moves it; what carries it is put by
/// its own coordinate, or by its motor's shaft. `None` where how one of them moves is not
/// known, and for a limb that the one above pushes.
pub(super) fn ride<'a>(fitted: &'a FittedFigure, index: usize, by_shaft: bool) -> Option<Ride<'a>> {
    let figure = &fitted.figure;
    let (limb, own) = (&figure.limbs[index], &fitted.limbs[index]);
    let carrier = limb.carrier.filter(|_| !limb.poisoned)?;
    let (origin, axis) = limb.drawn()?;
    let (_, drawn) = figure.limbs[carrier].drawn()?;
    let at = figure.limbs[carrier].own(origin)?;
    let (host, key) = if by_shaft {
        let motor = figure.motor_of(carrier)?;
        (Track::Shaft(track::on_shaft(fitted, carrier, &[])?), Key::Shaft(motor))
    } else {
        match track::own(fitted, carrier)? {
            shaft @ Track::Shaft(_) => (shaft, Key::Shaft(figure.motor_of(carrier)?)),
            other => (other, Key::Own(carrier)),
        }
    };
    // A plane on a slide does not turn: angles count from the board there.
    let zero = match figure.limbs[carrier].joint {
        Joint::Slide { .. } => drawn.inverse(),
        Joint::Pivot { .. } => Dir::EAST,
    };
    let moves = match limb.drive.as_ref().map(|d| d.source) {
        None => Move::Fixed(axis.from(drawn)),
        Some(Source::Limb(_)) => return None,
        Some(Source::Motor(motor)) => match (&own.riding, fitted.carried(index)) {
            (Some(_), _) => on_its_motor(fitted, index, zero)?,
            (None, Some(_)) => Move::Aboard(Box::new(on_board(fitted, index, motor)?)),
            (None, None) => return None,
        },
    };
    Some(Ride { carrier, host, key, at: [at.x, at.y], moves })
}

/// A limb with its motor on the board.
fn on_board(fitted: &FittedFigure, index: usize, motor: usize) -> Option<OnBoard> {
    let push = fitted.carried(index)?.figure_angle("carried_push")?;
    let drive = fitted.aboard(index, None)?;
    let (from, to) = fitted.carried_span(index)?;
    // What goes round turns with all that is on its motor.
    let round = drive.way.span().closed && to - from >= track::TURN;
    let key = if round { Key::Shaft(motor) } else { Key::Own(index) };
    let (rod, rate) = drive.rod_at((from + to) / 2.0)?;
    let least_arm = rod.lever.0 * libm::sin(push.rad().0);
    Some(OnBoard { own: Coord { key, from, to }, drive, rate, least_arm })
}

/// A limb with its motor on its carrier.
fn on_its_motor(fitted: &FittedFigure, index: usize, zero: Dir) -> Option<Move> {
    let own = &fitted.limbs[index];
    let mechanism = own.mechanism.as_ref().filter(|m| !m.faulty())?;
    let guide = match mechanism {
        Fitted::Servo(_) | Fitted::Spin(_) => Guide::Pivot,
        Fitted::FourBar(_) | Fitted::Drive(_) => mechanism.follows()?.mechanism.guide(),
    };
    match guide {
        Guide::Pivot => {
            let (low, high) = fitted.own_range(index)?;
            Some(Move::Turn { limb: index, zero, from: low.rad().0, to: high.rad().0 })
        }
        Guide::Slide(slide) => {
            let stroke = *mechanism.follows()?.travel?.stroke()?;
            let seen = own.riding.as_ref()?.figure.limbs[index].drawn()?;
            let (from, to) = (stroke.low.0, stroke.high.0);
            Some(Move::Slide { limb: index, zero, along: slide.along, axis: seen.1, from, to })
        }
    }
}

impl Ride<'_> {
    /// Its coordinates, those of what carries it first.
    pub fn coords(&self) -> Vec<Coord> {
        let mut all = coords(&self.host, self.key);
        all.extend(match &self.moves {
            Move::Fixed(_) => None,
            &Move::Turn { limb, from, to, .. } | &Move::Slide { limb, from, to, .. } => {
                Some(Coord { key: Key::Own(limb), from, to })
            }
            Move::Aboard(on) => Some(on.own),
        });
        all
    }

    /// Where it is; as many places as it has coordinates.
    pub fn body(&self, at: &[f64]) -> Option<Body<f64>> {
        let (below, own) = at.split_at_checked(count(&self.host))?;
        let host = body(&self.host, below)?;
        let (x, y) = host.place(self.at[0], self.at[1]);
        Some(match &self.moves {
            Move::Fixed(axis) => Body::still(x, y, host.axis().turned(*axis)),
            Move::Turn { zero, .. } => {
                let own = Dir::radians(Rad(*own.first()?));
                Body::still(x, y, host.axis().turned(*zero).turned(own))
            }
            &Move::Slide { zero, along, axis, .. } => {
                let (plane, way) = (host.axis().turned(zero), *own.first()?);
                let along = plane.turned(along);
                let (x, y) = (x + along.x() * way, y + along.y() * way);
                Body::still(x, y, plane.turned(axis))
            }
            Move::Aboard(on) => {
                let own = *own.first()?;
                let (rod, _) = on.drive.rod_at(own + on.drive.pin.rad().0)?;
                let driver = Body::still(0.0, 0.0, Dir::EAST);
                let input = Input { driver, host, coordinate: own };
                Rod { pivot: self.at, ..rod }.position(&input).ok()?.limb
            }
        })
    }

    /// How fast it moves by each coordinate at most.
    pub fn rates(&self) -> Vec<Rate> {
        let far = libm::hypot(self.at[0], self.at[1]);
        let mut all: Vec<Rate> = rates(&self.host)
            .into_iter()
            .map(|(turn, origin)| {
                let carried = origin + turn * far;
                match &self.moves {
                    Move::Fixed(_) | Move::Turn { .. } => (turn, carried),
                    Move::Slide { from, to, .. } => {
                        (turn, carried + turn * from.abs().max(to.abs()))
                    }
                    Move::Aboard(on) => (carried / on.least_arm, carried),
                }
            })
            .collect();
        all.extend(match &self.moves {
            Move::Fixed(_) => None,
            Move::Turn { .. } => Some((1.0, 0.0)),
            Move::Slide { .. } => Some((0.0, 1.0)),
            Move::Aboard(on) => Some((on.rate / on.least_arm, 0.0)),
        });
        all
    }

    /// The coordinates that do not change how two limbs lie to each other that ride on one
    /// and keep their own places on it: how many of the first.
    pub fn in_common(&self, other: &Self) -> usize {
        let keeps = |r: &Self| !matches!(r.moves, Move::Aboard(_));
        let same = self.carrier == other.carrier && self.key == other.key;
        if same && keeps(self) && keeps(other) { count(&self.host) } else { 0 }
    }
}

/// The coordinates of a track whose own one has this key.
pub(super) fn coords(track: &Track<'_>, key: Key) -> Vec<Coord> {
    match track {
        Track::Ride(ride) => ride.coords(),
        other => other.span().map(|(from, to)| Coord { key, from, to }).into_iter().collect(),
    }
}

fn count(track: &Track<'_>) -> usize {
    match track {
        Track::Ride(ride) => ride.coords().len(),
        Track::Still => 0,
        _ => 1,
    }
}

/// Where a limb on its track is; `None` for what is no limb, or where the mechanism does
/// not go.
fn body(track: &Track<'_>, at: &[f64]) -> Option<Body<f64>> {
    match track {
        Track::Ride(ride) => ride.body(at),
        other => other.limb(*at.first()?),
    }
}

/// How fast a limb on its track moves by each coordinate at most.
fn rates(track: &Track<'_>) -> Vec<Rate> {
    match track {
        Track::Still => Vec::new(),
        Track::Turn { .. } => vec![(1.0, 0.0)],
        Track::Slide { .. } => vec![(0.0, 1.0)],
        Track::Shaft(shaft) => vec![shaft.limb_rate()],
        Track::Ride(ride) => ride.rates(),
    }
}

/// How fast any of these corners moves by each coordinate of a track at most, mm.
pub(super) fn corner_rates(track: &Track<'_>, corners: &[Corner]) -> Vec<f64> {
    match track {
        Track::Ride(ride) => {
            let far = farthest(corners);
            ride.rates().into_iter().map(|(turn, origin)| origin + turn * far).collect()
        }
        other => other.span().map(|_| other.rate(corners)).into_iter().collect(),
    }
}

/// Puts the corners of a track where its coordinates say; `false` where a mechanism does
/// not go there.
pub(super) fn place(
    track: &Track<'_>,
    at: &[f64],
    corners: &[Corner],
    out: &mut Vec<Corner>,
) -> bool {
    match (track, at.first()) {
        (Track::Ride(ride), _) => {
            let body = ride.body(at);
            if let Some(body) = &body {
                put(body, corners, out);
            }
            body.is_some()
        }
        (other, at) => other.place(at.copied().unwrap_or(0.0), corners, out),
    }
}

/// Even places over coordinates, so many steps along each that there are at most some
/// thousands; with half a step of each.
pub(super) fn grid(coords: &[Coord]) -> (Vec<Vec<f64>>, Vec<f64>) {
    let steps: u32 = match coords.len() {
        0 | 1 => 48,
        2 => 24,
        3 => 10,
        4 => 5,
        _ => 2,
    };
    let step = |c: &Coord| (c.to - c.from) / f64::from(steps);
    let mut all: Vec<Vec<f64>> = vec![Vec::new()];
    for c in coords {
        let along = |i: u32| c.from + step(c) * f64::from(i);
        all = all
            .iter()
            .flat_map(|p| (0..=steps).map(move |i| [p.as_slice(), &[along(i)]].concat()))
            .collect();
    }
    (all, coords.iter().map(|c| step(c) / 2.0).collect())
}
