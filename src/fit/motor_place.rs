//! A motor whose place is open: looked for inside a rectangle, round a point, along the
//! frame, or, of one that rides, on the limb that carries it.
//!
//! A place is judged by fitting every limb the motor turns from there: all of them
//! must come out without an error, and the worst push among them counts, up to 60 deg;
//! of places that push as well the one with the shortest rod is taken. From the best
//! few places of an even net the push is climbed in ever smaller steps, down to a
//! pencil mark; that it is the best there is is not proved.

use std::borrow::Cow;

use super::codes::{NO_PLACE, NOT_LOOKED_FOR};
use super::{Fitted, FittedFigure, fit_at};
use crate::finding::{Finding, Severity, Spanned};
use crate::geometry::{Board, BoardPoint, Bounds, Outline, Vector};
use crate::model::{Figure, Joint, Limb, MotorKind, Shape};
use crate::syntax::Open;
use crate::units::{System, print};

/// A motor's place that was found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FoundPlace {
    /// The motor, by index.
    pub motor: usize,
    /// Where it stands.
    pub at: BoardPoint,
}

/// Where a place may be.
pub(super) enum Region {
    /// Between two corners.
    Rectangle { from: BoardPoint, to: BoardPoint },
    /// Round a point.
    Round { centre: BoardPoint, within: f64 },
    /// On lines: the centre lines of the frame, or one between two points.
    Lines(Vec<(BoardPoint, BoardPoint)>),
    /// On a limb, in the drawn pose.
    Plate(Outline<Board>),
}

/// Places along each side of the first net.
const NET: usize = 12;
/// How many hills of it are followed to their tops.
const HILLS: usize = 6;
/// How often the steps about one are halved.
const HALVED: usize = 8;
/// How far round a point is looked where nothing is said.
const NEAR: f64 = 50.0;
/// Pushes nearer than this are equal, and the shorter rod is taken.
const SAME_PUSH: f64 = 0.05;
/// From here on a better push is worth no longer rod (common practice, no source).
const FINE_PUSH: f64 = 60.0;

/// The figure with every open place of a turning motor found; reports those for which
/// none works.
pub(super) fn found<'a>(
    figure: &'a Figure,
    findings: &mut Vec<Finding>,
) -> (Cow<'a, Figure>, Vec<FoundPlace>) {
    let mut placed = Cow::Borrowed(figure);
    let mut places = Vec::new();
    for motor in in_order(figure) {
        let Some((open, limbs)) = question(figure, motor) else { continue };
        let rides = figure.motor_rides(limbs[0]);
        if rides && open.value.on_frame {
            findings.push(no_frame_rides(figure, open, limbs[0]));
            continue;
        }
        let region = match rides {
            true => Region::on_carrier(&open.value, figure, limbs[0]),
            false => Region::of(&open.value, figure),
        };
        let Some(region) = region else { continue };
        let Some(home) = home(&figure.limbs[limbs[0]]) else { continue };
        if let Some(at) = super::spin_place::found(&placed, limbs[0], &region) {
            placed.to_mut().actuators[motor].at = Some(at);
            places.push(FoundPlace { motor, at });
            continue;
        }
        let sought = Sought {
            home,
            judged: &limbs,
            fitted: &limbs,
            net: NET,
            hills: HILLS,
            put: &|figure, at| figure.actuators[motor].at = Some(at),
        };
        let standing = if rides { carrier_at_rest(&placed, limbs[0], open) } else { None };
        match sought.search(standing.as_ref().unwrap_or(&placed), &region) {
            Ok(at) => {
                placed.to_mut().actuators[motor].at = Some(at);
                places.push(FoundPlace { motor, at });
            }
            Err(why) => findings.push(none(figure, open, limbs[0], why)),
        }
    }
    (placed, places)
}

/// The motors, those of a carrier before those that ride on it.
fn in_order(figure: &Figure) -> Vec<usize> {
    let above = |motor: &usize| {
        let limb = figure.driven_by(*motor).find(|&l| figure.motor_rides(l));
        limb.map_or(0, |l| super::anchor_place::chain(figure, l).len())
    };
    let mut order: Vec<usize> = (0..figure.actuators.len()).collect();
    order.sort_by_key(above);
    order
}

/// The figure with a limb's carrier told to rest where it stands by itself: that is where
/// angles of the board are taken, and it is the same wherever the motor is tried.
fn carrier_at_rest(figure: &Figure, limb: usize, open: &Spanned<Open>) -> Option<Figure> {
    let carrier = figure.limbs[limb].carrier?;
    let fitted = fit_at(figure, &super::anchor_place::chain(figure, carrier));
    let at = super::standing(&figure.limbs[carrier], fitted.limbs.get(carrier))?;
    let mut figure = figure.clone();
    figure.limbs[carrier].rest = Some(Spanned { value: at, place: open.place });
    Some(figure)
}

/// The open place of a motor that turns limbs, and which; `None` where it is known, or
/// where the limbs' own errors would be told twice.
fn question(figure: &Figure, motor: usize) -> Option<(&Spanned<Open>, Vec<usize>)> {
    let actuator = &figure.actuators[motor];
    let turns = matches!(actuator.motor.kind, MotorKind::Brushed | MotorKind::Synchronous);
    let open = actuator.at_open.as_ref().filter(|_| actuator.at.is_none() && turns)?;
    let limbs: Vec<usize> = figure.driven_by(motor).collect();
    let sound = limbs.iter().all(|&l| {
        let limb = &figure.limbs[l];
        !limb.poisoned && limb.drive.as_ref().is_some_and(|d| d.mechanism.is_turned())
    });
    (sound && !limbs.is_empty()).then_some((open, limbs))
}

impl Region {
    /// Where the question lets a motor stand: as it says, else on the frame, else
    /// anywhere on the board.
    pub(super) fn of(open: &Open, figure: &Figure) -> Option<Self> {
        let point = |(x, y): (f64, f64)| BoardPoint::mm(x, y);
        match (open.near.map(point), open.corner.map(point)) {
            (Some(from), Some(to)) if open.line => return Some(Self::Lines(vec![(from, to)])),
            (Some(from), Some(to)) => return Some(Self::Rectangle { from, to }),
            (Some(centre), None) => {
                return Some(Self::Round { centre, within: open.within.unwrap_or(NEAR) });
            }
            _ => {}
        }
        if open.on_frame || !figure.frame.is_empty() {
            let lines: Vec<_> = figure.frame.iter().map(|m| (m.from, m.to)).collect();
            return (!lines.is_empty()).then_some(Self::Lines(lines));
        }
        let corners = figure.board.outline.as_ref()?.corners();
        let ends = |of: fn(&BoardPoint) -> f64| {
            let all = corners.iter().map(of);
            (all.clone().fold(f64::INFINITY, f64::min), all.fold(f64::NEG_INFINITY, f64::max))
        };
        let ((x0, x1), (y0, y1)) = (ends(|p| p.x), ends(|p| p.y));
        Some(Self::Rectangle { from: BoardPoint::mm(x0, y0), to: BoardPoint::mm(x1, y1) })
    }

    /// The same of a motor that rides: as it says, in the drawn pose, else anywhere on the
    /// limb that carries it. `None` where that one's shape is not known.
    fn on_carrier(open: &Open, figure: &Figure, limb: usize) -> Option<Self> {
        if open.near.is_some() {
            return Self::of(open, figure);
        }
        let carrier = &figure.limbs[figure.limbs[limb].carrier?];
        Some(Self::Plate(match carrier.shape.as_ref()? {
            Shape::Outline(outline) => outline.clone(),
            Shape::Strip { width, tail } => {
                let (origin, axis) = carrier.drawn()?;
                Outline::strip(origin - Vector::polar(*tail, axis), carrier.tip?, *width)?
            }
        }))
    }

    /// A place by two shares of the region's width and height, or of a line and its
    /// length; `None` where it lies outside.
    fn at(&self, line: usize, (u, v): (f64, f64)) -> Option<BoardPoint> {
        if !((0.0..=1.0).contains(&u) && (0.0..=1.0).contains(&v)) {
            return None;
        }
        match self {
            Self::Rectangle { from, to } => {
                Some(BoardPoint::mm(from.x + u * (to.x - from.x), from.y + v * (to.y - from.y)))
            }
            Self::Round { centre, within } => {
                let (x, y) = ((2.0 * u - 1.0) * within, (2.0 * v - 1.0) * within);
                (libm::hypot(x, y) <= *within).then(|| BoardPoint::mm(centre.x + x, centre.y + y))
            }
            Self::Lines(lines) => {
                let (from, to) = lines[line];
                Some(from.toward(to, u))
            }
            Self::Plate(outline) => {
                let Bounds { low: min, high: max } = outline.bounds();
                let at = BoardPoint::mm(min.x + u * (max.x - min.x), min.y + v * (max.y - min.y));
                outline.contains(at).then_some(at)
            }
        }
    }

    /// Its middle; that of the first of several lines.
    pub(super) fn middle(&self) -> BoardPoint {
        match self {
            Self::Rectangle { from, to } => from.toward(*to, 0.5),
            Self::Round { centre, .. } => *centre,
            Self::Lines(lines) => lines[0].0.toward(lines[0].1, 0.5),
            Self::Plate(outline) => outline.centroid(),
        }
    }

    /// Whether a point lies between the corners of a rectangle.
    pub(super) fn holds(&self, p: BoardPoint) -> bool {
        let Self::Rectangle { from, to } = self else { return false };
        let between = |v: f64, a: f64, b: f64| a.min(b) <= v && v <= a.max(b);
        between(p.x, from.x, to.x) && between(p.y, from.y, to.y)
    }

    /// The place of the region nearest to a point, where it is no further off than `within`.
    pub(super) fn nearest(&self, p: BoardPoint, within: f64) -> Option<BoardPoint> {
        let inside = match self {
            Self::Rectangle { .. } => self.holds(p),
            Self::Round { centre, within } => p.distance(*centre).0 <= *within,
            Self::Plate(outline) => outline.contains(p),
            Self::Lines(lines) => {
                let feet = lines.iter().map(|(a, b)| foot(*a, *b, p));
                let near = feet.min_by(|q, r| q.distance(p).0.total_cmp(&r.distance(p).0));
                return near.filter(|q| q.distance(p).0 <= within);
            }
        };
        inside.then_some(p)
    }

    /// How many lines it has; 1 for an area.
    fn lines(&self) -> usize {
        match self {
            Self::Lines(lines) => lines.len(),
            Self::Rectangle { .. } | Self::Round { .. } | Self::Plate(_) => 1,
        }
    }

    fn is_area(&self) -> bool {
        !matches!(self, Self::Lines(_))
    }
}

/// A place with what speaks for it.
#[derive(Clone, Copy)]
struct Seen {
    line: usize,
    share: (f64, f64),
    at: BoardPoint,
    push: f64,
    /// From the limb's pivot, or the first end of its guide: what the rod has to bridge.
    far: f64,
}

impl Seen {
    /// Better push, or as good with a shorter rod.
    fn better_than(&self, other: &Self) -> bool {
        let same = (self.push - other.push).abs() <= SAME_PUSH;
        if same { self.far < other.far - 1e-9 } else { self.push > other.push }
    }
}

/// What is looked for, and by what it is judged.
pub(super) struct Sought<'s> {
    /// From here the rod has to bridge.
    pub home: BoardPoint,
    /// The limbs whose push counts.
    pub judged: &'s [usize],
    /// Those that have to be fitted for it.
    pub fitted: &'s [usize],
    /// Places along each side of the first net.
    pub net: usize,
    /// How many hills of it are followed to their tops.
    pub hills: usize,
    /// Puts a place into the figure.
    pub put: &'s dyn Fn(&mut Figure, BoardPoint),
}

impl Sought<'_> {
    /// The best place of a region; else what was wrong at its middle.
    pub(super) fn search(
        &self,
        figure: &Figure,
        region: &Region,
    ) -> Result<BoardPoint, Option<String>> {
        let mut figure = figure.clone();
        let mut look = |line: usize, share: (f64, f64)| {
            let at = marked(region.at(line, share)?, figure.system);
            (self.put)(&mut figure, at);
            let push = self.push(&figure)?.min(FINE_PUSH);
            Some(Seen { line, share, at, push, far: self.home.distance(at).0 })
        };
        let step = 1.0 / self.net as f64;
        let across = |j: usize| if region.is_area() { j as f64 * step } else { 0.5 };
        let rows = if region.is_area() { self.net } else { 0 };
        let net = (0..region.lines()).flat_map(|line| {
            (0..=self.net).flat_map(move |i| (0..=rows).map(move |j| (line, i as f64 * step, j)))
        });
        let mut seen: Vec<Seen> =
            net.filter_map(|(line, u, j)| look(line, (u, across(j)))).collect();
        seen.sort_by(|a, b| b.push.total_cmp(&a.push).then(a.far.total_cmp(&b.far)));
        // Each pair of holes has its own best place, so several are followed.
        let mut hills: Vec<Seen> = Vec::new();
        for here in seen {
            let apart = |h: &Seen| {
                h.line != here.line
                    || (h.share.0 - here.share.0).abs().max((h.share.1 - here.share.1).abs())
                        > 1.5 * step
            };
            if hills.len() < self.hills && hills.iter().all(apart) {
                hills.push(here);
            }
        }
        for hill in &mut hills {
            let mut step = step;
            for _ in 0..HALVED {
                step *= 0.5;
                let about = *hill;
                for i in -1..=1 {
                    for j in if region.is_area() { -1..=1 } else { 0..=0 } {
                        let share = (
                            about.share.0 + f64::from(i) * step,
                            about.share.1 + f64::from(j) * step,
                        );
                        if let Some(here) = look(about.line, share)
                            && here.better_than(hill)
                        {
                            *hill = here;
                        }
                    }
                }
            }
        }
        if let Some(best) = hills.into_iter().reduce(|a, b| if b.better_than(&a) { b } else { a }) {
            return Ok(best.at);
        }
        let middle = region.at(0, (0.5, 0.5)).map(|p| marked(p, figure.system));
        Err(middle.and_then(|at| {
            (self.put)(&mut figure, at);
            let errors = fit_at(&figure, self.fitted).findings;
            let first = errors.into_iter().find(|f| f.severity == Severity::Error)?;
            Some(format!(
                "at {}, for one: {}",
                print::place((at.x, at.y), 0, figure.system),
                first.message
            ))
        }))
    }

    /// Whether the limbs work with the place there.
    pub(super) fn works(&self, figure: &Figure, at: BoardPoint) -> bool {
        let mut figure = figure.clone();
        (self.put)(&mut figure, at);
        self.push(&figure).is_some()
    }

    /// The worst push of the limbs; `None` where one of them has an error or no
    /// mechanism.
    fn push(&self, figure: &Figure) -> Option<f64> {
        let fitted = fit_at(figure, self.fitted);
        // A `?` that no place answers is told once, where it stands.
        let tells = |f: &Finding| f.severity == Severity::Error && f.code != &NOT_LOOKED_FOR;
        if fitted.findings.iter().any(tells) {
            return None;
        }
        let pushes = self.judged.iter().map(|&l| {
            Some(match fitted.limbs[l].mechanism.as_ref()? {
                Fitted::FourBar(bar) => bar.as_drilled.motion?.min_transmission.0,
                Fitted::Drive(drive) => drive.drilled.course.worst_push.0,
                Fitted::Servo(_) | Fitted::Spin(_) => 90.0,
            })
        });
        pushes.collect::<Option<Vec<f64>>>()?.into_iter().reduce(f64::min)
    }
}

/// Where a limb turns, or the first end of its guide.
pub(super) fn home(limb: &Limb) -> Option<BoardPoint> {
    match limb.joint {
        Joint::Pivot { at, .. } => at,
        Joint::Slide { from, .. } => Some(from),
    }
}

/// A place as it is marked out: to a millimetre, or 1/16 in.
pub(super) fn marked(at: BoardPoint, system: System) -> BoardPoint {
    let step = match system {
        System::Inch => 25.4 / 16.0,
        System::Metric | System::Both => 1.0,
    };
    let mark = |v: f64| libm::round(v / step) * step;
    BoardPoint::mm(mark(at.x), mark(at.y))
}

/// The point of a stretch nearest to another.
fn foot(a: BoardPoint, b: BoardPoint, p: BoardPoint) -> BoardPoint {
    let (way, to) = (b - a, p - a);
    let long = way.dot(way);
    if long > 0.0 { a.toward(b, (way.dot(to) / long).clamp(0.0, 1.0)) } else { a }
}

fn none(figure: &Figure, open: &Spanned<Open>, limb: usize, why: Option<String>) -> Finding {
    let limb = &figure.limbs[limb].name.value;
    let message = format!(
        "no place that this leaves open lets its motor move {}.{limb} as asked.",
        figure.name.value
    );
    let finding =
        Finding::new(&NO_PLACE, open.place, message).about(&figure.name.value, Some(limb));
    match why {
        Some(why) => finding.help(why),
        None => finding
            .help("widen it: `at ? near (x, y) mm within 200 mm`, or ask for a smaller motion."),
    }
}

/// A motor that rides, asked to stand on the frame, which stands still.
fn no_frame_rides(figure: &Figure, open: &Spanned<Open>, limb: usize) -> Finding {
    let carrier = figure.limbs[limb].carrier.map(|c| figure.limbs[c].said());
    let carrier = carrier.unwrap_or_default();
    let limb = &figure.limbs[limb].name.value;
    let message = format!(
        "the motor of {}.{limb} rides on {carrier}, and the frame stays where it is: it cannot be on both.",
        figure.name.value
    );
    Finding::new(&NO_PLACE, open.place, message).about(&figure.name.value, Some(limb)).help(
        format!("`at ? rides` looks for a place anywhere on {carrier}; or leave `rides` out."),
    )
}

impl FittedFigure {
    /// The place that was found for a motor.
    #[must_use]
    pub fn place_of(&self, motor: usize) -> Option<BoardPoint> {
        self.places.iter().find(|p| p.motor == motor).map(|p| p.at)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_net_is_finer_than_a_pencil_mark() {
        let share = (0..HALVED).fold(1.0 / NET as f64, |step, _| step / 2.0);
        assert!(share * 1000.0 < 0.5, "of a region a metre wide");
    }
}
