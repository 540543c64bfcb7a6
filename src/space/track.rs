//! How the parts of a figure move: where their corners are at a coordinate, and how
//! fast at most.
//!
//! A limb on the board has a coordinate of its own, its angle or its way along the
//! slide: what it can reach does not depend on the motor's time. Parts that one shaft
//! moves can also be put where that shaft brings them together.

use super::clash::By;
use super::distance::Corner;
use super::ride::{Rate, Ride, ride};
use crate::fit::{Ends, Fitted, FittedFigure, Follows, SizeName, asked};
use crate::geometry::{BoardPoint, Body, Dir, OnLimb, Point};
use crate::mechanism::{Guide, Span, Travel};
use crate::model::{DriveKind, Joint, Source};
use crate::units::{Deg, Rad};

/// Largest speeds are found by sampling and climbing; so much is added to them.
const ALLOWANCE: f64 = 1.02;
/// A whole turn, rad.
pub(super) const TURN: f64 = 2.0 * std::f64::consts::PI;

/// A coordinate that a part can be put by.
#[derive(Clone)]
pub(super) enum Track<'a> {
    /// It does not move; its corners lie on the board.
    Still,
    /// The direction of a limb's axis, rad, about a pivot on the board.
    Turn { pivot: BoardPoint, from: f64, to: f64 },
    /// The way along a slide, mm; the axis keeps its direction.
    Slide { origin: BoardPoint, along: Dir, axis: Dir, from: f64, to: f64 },
    /// The coordinate of the motor.
    Shaft(OnShaft<'a>),
    /// The coordinates of all that moves a limb that rides on another.
    Ride(Box<Ride<'a>>),
}

/// What follows a motor's coordinate.
#[derive(Clone)]
pub(super) struct OnShaft<'a> {
    fitted: &'a FittedFigure,
    what: Follower,
    span: Span,
    /// Largest speed of any of its corners, mm per unit.
    rate: f64,
    /// Of a limb, largest turning speed, and largest speed of its origin.
    limb: Rate,
}

/// What it is that follows.
#[derive(Clone, Copy)]
enum Follower {
    Limb(usize),
    /// From the shaft to the pin of this limb's drive.
    Crank {
        limb: usize,
        shaft: BoardPoint,
    },
    /// From near pin to far pin of this limb's drive.
    Rod {
        limb: usize,
        near: Near,
        far: Far,
    },
}

/// A rod's near pin.
#[derive(Clone, Copy)]
enum Near {
    Crank { shaft: BoardPoint, radius: f64 },
    Board(BoardPoint),
    Limb { limb: usize, at: Point<OnLimb> },
}

/// A rod's far pin: in the limb's own plane, or the pin that runs on the slide.
#[derive(Clone, Copy)]
enum Far {
    Lever(Point<OnLimb>),
    Slide,
}

/// The farthest corner from the origin of a part's plane, mm.
pub(super) fn farthest(corners: &[Corner]) -> f64 {
    corners.iter().map(|p| libm::hypot(p[0], p[1])).fold(0.0, f64::max)
}

pub(super) fn put(body: &Body<f64>, corners: &[Corner], out: &mut Vec<Corner>) {
    out.clear();
    out.extend(corners.iter().map(|c| {
        let (x, y) = body.place(c[0], c[1]);
        [x, y]
    }));
}

impl Track<'_> {
    /// What its coordinate is.
    pub fn by(&self) -> By {
        match self {
            Self::Still => By::Still,
            Self::Ride(_) => By::Both,
            Self::Turn { .. } => By::Angle,
            Self::Slide { .. } => By::Way,
            Self::Shaft(s) if s.is_length() => By::Length,
            Self::Shaft(_) => By::Shaft,
        }
    }

    /// Whether it moves.
    pub fn moves(&self) -> bool {
        !matches!(self, Self::Still)
    }

    /// The stretch of its one coordinate; `None` for what does not move, or has several.
    pub fn span(&self) -> Option<(f64, f64)> {
        match self {
            Self::Still | Self::Ride(_) => None,
            Self::Turn { from, to, .. } | Self::Slide { from, to, .. } => Some((*from, *to)),
            Self::Shaft(s) => Some((s.span.from, s.span.to)),
        }
    }

    /// The largest speed of any of these corners, mm per unit of the coordinate.
    pub fn rate(&self, corners: &[Corner]) -> f64 {
        match self {
            Self::Still | Self::Ride(_) => 0.0,
            Self::Turn { .. } => farthest(corners),
            Self::Slide { .. } => 1.0,
            Self::Shaft(s) => s.rate,
        }
    }

    /// Its corners on the board; `false` where the mechanism does not go there.
    pub fn place(&self, coordinate: f64, corners: &[Corner], out: &mut Vec<Corner>) -> bool {
        match self {
            Self::Still => {
                out.clear();
                out.extend_from_slice(corners);
                true
            }
            Self::Turn { .. } | Self::Slide { .. } => {
                let body = self.limb(coordinate);
                if let Some(body) = &body {
                    put(body, corners, out);
                }
                body.is_some()
            }
            Self::Shaft(s) => s.place(coordinate, corners, out).is_some(),
            // It is put by several coordinates.
            Self::Ride(_) => false,
        }
    }

    /// The limb whose track of one coordinate this is.
    pub fn limb(&self, coordinate: f64) -> Option<Body<f64>> {
        match self {
            Self::Still | Self::Ride(_) => None,
            Self::Turn { pivot, .. } => {
                Some(Body::still(pivot.x, pivot.y, Dir::radians(Rad(coordinate))))
            }
            Self::Slide { origin, along, axis, .. } => {
                let (x, y) = (along.x() * coordinate, along.y() * coordinate);
                Some(Body::still(origin.x + x, origin.y + y, *axis))
            }
            Self::Shaft(s) => match s.what {
                Follower::Limb(limb) => body(s.fitted, limb, coordinate),
                Follower::Crank { .. } | Follower::Rod { .. } => None,
            },
        }
    }
}

impl OnShaft<'_> {
    /// Largest turning speed of the limb that follows, and largest speed of its origin.
    pub fn limb_rate(&self) -> Rate {
        self.limb
    }

    /// Whether what moves it grows longer and shorter.
    fn is_length(&self) -> bool {
        let (Follower::Limb(limb) | Follower::Crank { limb, .. } | Follower::Rod { limb, .. }) =
            self.what;
        let mechanism = self.fitted.limbs[limb].mechanism.as_ref();
        mechanism.and_then(|m| m.follows()).is_some_and(|f| f.path.is_length())
    }

    /// Whether its span is a whole turn of a shaft.
    pub fn goes_round(&self) -> bool {
        self.span.closed
    }

    fn place(&self, u: f64, corners: &[Corner], out: &mut Vec<Corner>) -> Option<()> {
        match self.what {
            Follower::Limb(limb) => put(&body(self.fitted, limb, u)?, corners, out),
            Follower::Crank { limb, shaft } => {
                let turn = u + pin(self.fitted, limb);
                put(&Body::still(shaft.x, shaft.y, Dir::radians(Rad(turn))), corners, out);
            }
            Follower::Rod { limb, near, far } => {
                let near = match near {
                    Near::Crank { shaft, radius } => {
                        let dir = Dir::radians(Rad(u + pin(self.fitted, limb)));
                        [shaft.x + radius * dir.x(), shaft.y + radius * dir.y()]
                    }
                    Near::Board(at) => [at.x, at.y],
                    Near::Limb { limb, at } => {
                        let (x, y) = body(self.fitted, limb, u)?.place(at.x, at.y);
                        [x, y]
                    }
                };
                let far = match far {
                    Far::Lever(at) => body(self.fitted, limb, u)?.place(at.x, at.y),
                    Far::Slide => {
                        let solved = solved(self.fitted, limb, u)?;
                        (solved.x, solved.y)
                    }
                };
                out.clear();
                out.extend([near, [far.0, far.1]]);
            }
        }
        Some(())
    }
}

fn follows(fitted: &FittedFigure, limb: usize) -> Option<Follows<'_>> {
    let mechanism = fitted.limbs[limb].mechanism.as_ref().filter(|m| !m.faulty())?;
    mechanism.follows()
}

fn pin(fitted: &FittedFigure, limb: usize) -> f64 {
    follows(fitted, limb).map_or(0.0, |f| f.pin.rad().0)
}

/// The limb as its mechanism has it.
fn solved(fitted: &FittedFigure, limb: usize, u: f64) -> Option<Body<f64>> {
    let f = follows(fitted, limb)?;
    let input = f.path.at(u + f.pin.rad().0).ok()?;
    f.mechanism.position(&input).ok().map(|s| s.limb)
}

/// The limb with its own plane: on a slide the origin is the guide's first end.
fn body(fitted: &FittedFigure, limb: usize, u: f64) -> Option<Body<f64>> {
    let solved = solved(fitted, limb, u)?;
    match follows(fitted, limb)?.mechanism.guide() {
        Guide::Pivot => Some(solved),
        Guide::Slide(slide) => {
            let (origin, axis) = fitted.figure.limbs[limb].drawn()?;
            let way = slide.way(solved.x, solved.y);
            let (x, y) = (slide.along.x() * way, slide.along.y() * way);
            Some(Body::still(origin.x + x, origin.y + y, axis))
        }
    }
}

/// Largest turning speed of a limb by its motor's coordinate, and largest speed of
/// its origin; `None` where they are not bounded.
fn speeds(fitted: &FittedFigure, limb: usize) -> Option<(f64, f64)> {
    let (turn, origin) = match follows(fitted, limb)?.travel? {
        Travel::Swing(l) => (l.most_speed * ALLOWANCE, 0.0),
        Travel::Stroke(l) => (0.0, l.most_speed * ALLOWANCE),
    };
    let carried = match fitted.figure.limbs[limb].carrier {
        Some(carrier) => {
            let (w, o) = speeds(fitted, carrier)?;
            let Joint::Pivot { at, .. } = fitted.figure.limbs[limb].joint else { return None };
            let at = fitted.figure.limbs[carrier].own(at?)?;
            o + w * libm::hypot(at.x, at.y)
        }
        None => 0.0,
    };
    let both = (turn, origin + carried);
    (both.0.is_finite() && both.1.is_finite()).then_some(both)
}

/// The motor's coordinate at the two ends of a limb's motion.
pub(super) fn ends(fitted: &FittedFigure, limb: usize) -> Option<(f64, f64)> {
    let follows = follows(fitted, limb)?;
    Some(super::elevation::of_travel(&follows.travel?, follows.pin))
}

/// A limb on its motor's coordinate; `None` also where another motor moves it too.
pub(super) fn on_shaft<'a>(
    fitted: &'a FittedFigure,
    limb: usize,
    corners: &[Corner],
) -> Option<OnShaft<'a>> {
    let own = &fitted.figure.limbs[limb];
    let driven = own.drive.as_ref().map(|d| d.source);
    if own.carrier.is_some() && matches!(driven, Some(Source::Motor(_))) {
        return None;
    }
    let (turn, origin) = speeds(fitted, limb)?;
    let span = follows(fitted, limb)?.path.span();
    let rate = origin + turn * farthest(corners);
    Some(OnShaft { fitted, what: Follower::Limb(limb), span, rate, limb: (turn, origin) })
}

/// A limb by its own coordinate, or by those of all that moves it where it rides on
/// another limb; `None` where how it moves is not known.
pub(super) fn own(fitted: &FittedFigure, index: usize) -> Option<Track<'_>> {
    let limb = &fitted.figure.limbs[index];
    let (origin, axis) = limb.drawn()?;
    if limb.poisoned {
        return None;
    }
    if limb.carrier.is_some() {
        // What the limb above pushes follows one motor with it.
        let corners: Vec<Corner> = limb
            .silhouette()
            .map(|o| o.corners().iter().map(|p| [p.x, p.y]).collect())
            .unwrap_or_default();
        let shaft = || on_shaft(fitted, index, &corners).map(Track::Shaft);
        return ride(fitted, index, false).map(|r| Track::Ride(Box::new(r))).or_else(shaft);
    }
    let Some(drive) = &limb.drive else {
        let angle = axis.angle().0;
        return Some(Track::Turn { pivot: origin, from: angle, to: angle });
    };
    if let DriveKind::Spin(_) = drive.mechanism {
        return Some(Track::Turn { pivot: origin, from: 0.0, to: TURN });
    }
    let mechanism = fitted.limbs[index].mechanism.as_ref().filter(|m| !m.faulty())?;
    if let Fitted::Servo(servo) = mechanism {
        let (low, high) = asked(limb, Some(servo), (servo.low, servo.high));
        return Some(Track::Turn { pivot: origin, from: low.rad().0, to: high.rad().0 });
    }
    let follows = mechanism.follows()?;
    let ends = Ends::of(&follows.travel?);
    let (low, high) = (ends.low.value(), ends.high.value());
    match follows.mechanism.guide() {
        Guide::Pivot => {
            let strut = matches!(drive.mechanism, DriveKind::Strut(_));
            let (low, high) = match strut {
                true => asked(limb, None, (Deg(low), Deg(high))),
                false => (Deg(low), Deg(high)),
            };
            Some(Track::Turn { pivot: origin, from: low.rad().0, to: high.rad().0 })
        }
        Guide::Slide(slide) => {
            Some(Track::Slide { origin, along: slide.along, axis, from: low, to: high })
        }
    }
}

/// Crank and rod of a limb's drive, as far as it has them.
#[derive(Default)]
pub(super) struct Bars<'a> {
    /// The shaft, the crank's length, and its track.
    pub crank: Option<(BoardPoint, f64, Option<OnShaft<'a>>)>,
    /// The rod; its two corners are placed by the track alone.
    pub rod: Option<OnShaft<'a>>,
    /// The lever's pin in the limb's own plane.
    pub lever: Option<Point<OnLimb>>,
}

/// The bars of a limb's drive.
pub(super) fn bars<'a>(fitted: &'a FittedFigure, limb: usize) -> Bars<'a> {
    let mut bars = Bars::default();
    // Those of a motor that rides lie in the plane of what carries them.
    if fitted.limbs[limb].riding.is_some() {
        return bars;
    }
    let Some(follows) = follows(fitted, limb) else { return bars };
    let Some(drive) = &fitted.figure.limbs[limb].drive else { return bars };
    let Some((turn, origin)) = speeds(fitted, limb) else { return bars };
    let span = follows.path.span();
    let size = |name: SizeName| match &fitted.limbs[limb].mechanism {
        Some(Fitted::FourBar(f)) => Some(match name {
            SizeName::Crank => f.made().0.bars().crank.0,
            SizeName::Lever => f.made().0.bars().lever.0,
            SizeName::Clamp => f.made().0.clamp().0,
            _ => return None,
        }),
        Some(Fitted::Drive(d)) => d.sizes.iter().find(|s| s.name == name).map(|s| s.drilled),
        _ => None,
    };
    let shaft = match &fitted.limbs[limb].mechanism {
        Some(Fitted::FourBar(f)) => Some(f.drilled.motor()),
        Some(Fitted::Drive(d)) => match &d.made().way {
            crate::mechanism::Way::Shaft(s) => Some(s.at),
            _ => None,
        },
        _ => None,
    };
    if let (Some(shaft), Some(radius)) = (shaft, size(SizeName::Crank)) {
        let what = Follower::Crank { limb, shaft };
        let crank = OnShaft { fitted, what, span, rate: radius, limb: (1.0, 0.0) };
        bars.crank = Some((shaft, radius, Some(crank)));
    }
    if let (Some(lever), Some(clamp)) = (size(SizeName::Lever), size(SizeName::Clamp)) {
        let dir = Dir::degrees(Deg(clamp));
        bars.lever = Some(Point::mm(lever * dir.x(), lever * dir.y()));
    }
    let near = match (&drive.mechanism, bars.crank.as_ref()) {
        (DriveKind::FourBar(_) | DriveKind::SliderCrank(_), Some((shaft, radius, _))) => {
            Some((Near::Crank { shaft: *shaft, radius: *radius }, *radius))
        }
        (DriveKind::Forearm(f), _) => {
            f.anchor.and_then(|at| anchor(fitted, limb, drive.source, at))
        }
        (DriveKind::Strut(s), _) => s.anchor.map(|at| (Near::Board(at), 0.0)),
        _ => None,
    };
    let far = match drive.mechanism {
        DriveKind::SliderCrank(_) => Some((Far::Slide, origin)),
        _ => bars.lever.map(|at| (Far::Lever(at), origin + turn * libm::hypot(at.x, at.y))),
    };
    if let (Some((near, by_near)), Some((far, by_far))) = (near, far) {
        // Between two points of a line the speed is nowhere larger than at both.
        let what = Follower::Rod { limb, near, far };
        let rate = by_near.max(by_far);
        bars.rod = Some(OnShaft { fitted, what, span, rate, limb: (f64::INFINITY, rate) });
    }
    bars
}

/// Where a forearm's rod is pinned, and how fast that moves at most.
fn anchor(
    fitted: &FittedFigure,
    limb: usize,
    source: crate::model::Source,
    at: BoardPoint,
) -> Option<(Near, f64)> {
    if fitted.figure.limbs[limb].carrier.is_some() {
        return Some((Near::Board(at), 0.0));
    }
    let crate::model::Source::Limb(above) = source else { return None };
    let own = fitted.figure.limbs[above].own(at)?;
    let (turn, origin) = speeds(fitted, above)?;
    let rate = origin + turn * libm::hypot(own.x, own.y);
    Some((Near::Limb { limb: above, at: own }, rate))
}
