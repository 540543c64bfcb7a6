//! What a limb does over one turn of its actuator, for any mechanism on any path,
//! and the closed forms of the kinds whose crank is a plain shaft.

use std::f64::consts::PI;

use super::{Blocked, Limits, Mechanism, Path, Shaft, Solved, Span, Stand, Travel, sweep};
use crate::geometry::{BoardPoint, Dir, Jet, highest};
use crate::units::{Deg, Mm, Rad};

/// A whole turn, rad.
const TURN: f64 = 2.0 * PI;
/// Ends of a stretch and places inside it are compared to this much, rad.
const ROUNDING: f64 = 1e-12;

/// What a limb does along one stretch of its actuator's coordinate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Course {
    /// The stretch, rad or mm; a whole turn where the crank meets no obstacle.
    pub span: Span,
    /// Ends, where they are, worst push, extreme speed and acceleration. A limb that
    /// goes round with its crank has ends 360 degrees apart.
    pub travel: Travel,
    /// The smallest push angle, 0..90.
    pub worst_push: Deg,
    /// Slower way over faster, at least 1; absent unless the crank goes right round.
    pub time_ratio: Option<f64>,
}

impl Course {
    /// The course of any mechanism on any path.
    ///
    /// # Errors
    /// The first thing in the way along the path.
    pub fn of(mechanism: &dyn Mechanism, path: &dyn Path) -> Result<Self, Blocked> {
        Ok(Self::known(path.span(), mechanism.limits(path)?))
    }

    /// The most that the limb moves for its actuator: rad or mm per rad or mm.
    #[must_use]
    pub const fn speed(&self) -> f64 {
        match &self.travel {
            Travel::Swing(l) => l.most_speed,
            Travel::Stroke(l) => l.most_speed,
        }
    }

    /// The course of what is known to travel so along a stretch.
    #[must_use]
    pub fn known(span: Span, travel: Travel) -> Self {
        Self::new(span, travel, None)
    }

    fn new(span: Span, travel: Travel, ratio: Option<f64>) -> Self {
        let (push, low, high, goes_round) = match travel {
            Travel::Swing(l) => (l.least_push, l.at_low, l.at_high, l.range().0 > 360.0 - 1e-6),
            Travel::Stroke(l) => (l.least_push, l.at_low, l.at_high, false),
        };
        let swings = span.closed && !goes_round;
        let time_ratio = ratio.or_else(|| swings.then(|| apart(high - low, span)).flatten());
        Self { span, travel, worst_push: Rad(libm::asin(push.clamp(0.0, 1.0))).deg(), time_ratio }
    }
}

/// Slower over faster for two ends `by` of the coordinate from each other.
fn apart(by: f64, span: Span) -> Option<f64> {
    let whole = span.to - span.from;
    let one = by.abs() % whole;
    let (short, long) = (one.min(whole - one), one.max(whole - one));
    (short > 0.0).then(|| long / short)
}

/// Everything about a crank's turn, in closed form but for the extreme rates.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cycle {
    /// Whether the crank meets no obstacle in a whole turn.
    pub crank_turns_fully: bool,
    /// Whether the limb goes round with the crank instead of to and fro.
    pub limb_turns: bool,
    /// Crank angles in [0, 360), ascending, at which the push angle comes to nought:
    /// the crank is blocked there, or may go on either way.
    pub blocked_at: [Option<Deg>; 4],
    /// Crank angles in [0, 360) at which the limb comes to a stand although the
    /// crank goes on: the first leads to the higher end.
    pub dead_centres: [Option<Deg>; 2],
    /// What it does on the stretch the crank can be in.
    pub course: Course,
    /// Where the crank can stand in two separate stretches, the second.
    pub other: Option<Course>,
}

/// A kind whose crank is a shaft on the board, with the closed forms of its cycle.
/// Crank angles are absolute, rad.
pub(super) trait Cranked: Mechanism {
    /// The shaft.
    fn shaft(&self) -> BoardPoint;
    /// The stretches the crank can be in; one whole turn where it meets no obstacle.
    fn stretches(&self) -> [Option<Span>; 2];
    /// The limb's coordinate, unwrapped: rad or mm. Asked only inside a stretch;
    /// `dead` at its end, where the push angle is nought but for rounding.
    fn coordinate(&self, crank: f64, dead: bool) -> f64;
    /// Where the limb comes to a stand: at its higher and at its lower end.
    fn stands(&self) -> [Option<f64>; 2];
    /// Where inside a stretch the push may be worst, and its derivatives may spike.
    fn narrows(&self) -> [Option<f64>; 2];
    /// The sine of the push angle. Asked only inside a stretch.
    fn push(&self, crank: f64) -> f64;
    /// Whether the limb goes round with the crank.
    fn limb_turns(&self) -> bool {
        false
    }
    /// Slower over faster where it is not told by the ends.
    fn ratio(&self) -> Option<f64> {
        None
    }
    /// The cranks that bring the limb to a stand.
    fn cranks_for(&self, stand: Stand) -> [Option<f64>; 2];
    /// A stand from a coordinate, for reports.
    fn travel(&self, raw: Limits<f64>) -> Travel;
}

/// The same angle in [0, 360).
fn positive(crank: f64) -> Deg {
    let deg = Rad(crank).deg().positive();
    // A hair below a whole turn is 0 to everyone.
    if deg.0 >= 360.0 - 1e-10 { Deg(0.0) } else { deg }
}

/// The angle equal to `at` up to whole turns that lies in the span.
fn holding(span: Span, at: f64) -> Option<f64> {
    let first = at + TURN * libm::ceil((span.from - ROUNDING - at) / TURN);
    (first <= span.to + ROUNDING).then(|| first.clamp(span.from, span.to))
}

/// The whole cycle.
pub(super) fn cycle(of: &dyn Cranked) -> Cycle {
    let [first, second] = of.stretches();
    let first = first.unwrap_or(Span::TURN);
    let mut blocked: Vec<Deg> = [Some(first), second]
        .into_iter()
        .flatten()
        .filter(|s| !s.closed)
        .flat_map(|s| [positive(s.from), positive(s.to)])
        .collect();
    blocked.sort_by(|a, b| a.0.total_cmp(&b.0));
    blocked.dedup_by(|a, b| (a.0 - b.0).abs() < 1e-9);
    let mut blocked_at = [None; 4];
    for (slot, at) in blocked_at.iter_mut().zip(blocked) {
        *slot = Some(at);
    }
    let course = |span: Span| {
        let ratio = if span.closed { of.ratio() } else { None };
        Course::new(span, extremes(of, span), ratio)
    };
    Cycle {
        crank_turns_fully: first.closed,
        limb_turns: first.closed && of.limb_turns(),
        blocked_at,
        dead_centres: of.stands().map(|s| s.map(positive)),
        course: course(first),
        other: second.map(course),
    }
}

/// The limits along a path: closed where it is the kind's own shaft.
pub(super) fn limits(of: &dyn Cranked, path: &dyn Path) -> Result<Travel, Blocked> {
    match own(of, path) {
        Some(span) => free(of, span).map(|()| extremes(of, span)),
        None => {
            let motion = |c| of.motion(&path.motion(c)?);
            sweep::sampled_limits(&motion, path.span(), of.guide())
        }
    }
}

/// All coordinates that bring the limb to a stand: closed on the kind's own shaft.
pub(super) fn inverse(
    of: &dyn Cranked,
    stand: Stand,
    path: &dyn Path,
) -> Result<Vec<f64>, Blocked> {
    let Some(span) = own(of, path) else {
        let guide = of.guide();
        let at = |c| Ok(guide.stand(&of.position(&path.at(c)?)?.limb));
        return sweep::sampled_inverse(&at, stand, path.span());
    };
    free(of, span)?;
    Ok(within(span, of.cranks_for(stand).into_iter().flatten()))
}

/// Every value in the span that is one of these angles up to whole turns, ascending.
pub(super) fn within(span: Span, angles: impl IntoIterator<Item = f64>) -> Vec<f64> {
    let mut found = Vec::new();
    for angle in angles {
        let mut next = holding(span, angle);
        while let Some(at) = next {
            found.push(at);
            next = (at + TURN <= span.to + ROUNDING && !span.closed).then_some(at + TURN);
        }
    }
    found.sort_by(f64::total_cmp);
    found.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
    found
}

/// The span of a path that is the plain turning of the kind's own shaft.
fn own(of: &dyn Cranked, path: &dyn Path) -> Option<Span> {
    path.shaft().filter(|s| s.at == of.shaft()).map(|s| s.span)
}

/// Whether the crank meets nothing in a span; else what is in the way.
fn free(of: &dyn Cranked, span: Span) -> Result<(), Blocked> {
    let stretches = of.stretches();
    for stretch in stretches.into_iter().flatten() {
        if stretch.closed {
            return Ok(());
        }
        let turns = libm::floor((span.from + ROUNDING - stretch.from) / TURN);
        if !span.closed && span.to <= stretch.to + turns * TURN + ROUNDING {
            return Ok(());
        }
    }
    // The middles of what is blocked, then the ends of the span.
    let ends: Vec<f64> = stretches.into_iter().flatten().flat_map(|s| [s.from, s.to]).collect();
    let middles =
        ends.iter().flat_map(|a| ends.iter().map(move |b| (*a, *b))).flat_map(|(a, b)| {
            let middle = (a + b) / 2.0;
            [holding(span, middle), holding(span, middle + PI)]
        });
    let tried = middles.flatten().chain([span.from, span.to]).chain(ends.iter().copied());
    let shaft = Shaft { at: of.shaft(), span };
    for at in tried {
        if let Some(why) = shaft.at(at).and_then(|input| of.position(&input)).err() {
            return Err(why);
        }
    }
    Err(Blocked::DeadCentre)
}

/// Whether a crank angle is the end of a stretch, where the push angle is nought.
fn dead_end(of: &dyn Cranked, at: f64) -> bool {
    let ends = of.stretches().into_iter().flatten().filter(|s| !s.closed);
    ends.flat_map(|s| [s.from, s.to]).any(|end| {
        let off = (at - end) / TURN;
        (off - libm::round(off)).abs() * TURN < ROUNDING
    })
}

/// The extremes over a span that is free.
fn extremes(of: &dyn Cranked, span: Span) -> Travel {
    let stands = of.stands().map(|s| s.and_then(|s| holding(span, s)));
    let ends = match stands {
        // Both dead centres of a whole turn: nothing lies beyond them.
        [Some(_), Some(_)] if span.closed && !of.limb_turns() => [None; 2],
        _ => [Some(span.from), Some(span.to)],
    };
    // The end of a stretch, not only of the span.
    let dead = |at: f64| dead_end(of, at);
    let (mut low, mut high) = ((f64::INFINITY, span.from), (f64::NEG_INFINITY, span.from));
    for at in stands.into_iter().chain(ends).flatten() {
        let here = of.coordinate(at, dead(at));
        low = if here < low.0 { (here, at) } else { low };
        high = if here > high.0 { (here, at) } else { high };
    }
    let narrows = of.narrows().map(|n| n.and_then(|n| holding(span, n)));
    let (mut push, mut push_at) = (f64::INFINITY, span.from);
    for at in narrows.into_iter().chain([Some(span.from), Some(span.to)]).flatten() {
        let here = if dead(at) { 0.0 } else { of.push(at) };
        // Equal ones: the smaller crank angle in [0, 360).
        let tie = (here - push).abs() <= 1e-12 && positive(at) < positive(push_at);
        if tie || here < push - 1e-12 {
            (push, push_at) = (here, at);
        }
    }
    let [most_speed, most_acceleration] = most(of, span, narrows);
    of.travel(Limits {
        low: low.0,
        high: high.0,
        at_low: low.1,
        at_high: high.1,
        least_push: push.clamp(0.0, 1.0),
        least_push_at: push_at,
        most_speed,
        most_acceleration,
    })
}

/// Even steps over a span.
const EVEN: usize = 96;
/// Steps about a spike shrink by this much, from 0.2 rad to a millionth.
const SHRINK: f64 = 0.6;

/// Largest first and second derivative, without sign; infinite where a dead centre
/// of the push lies in the span.
fn most(of: &dyn Cranked, span: Span, spikes: [Option<f64>; 2]) -> [f64; 2] {
    if dead_end(of, span.from) || dead_end(of, span.to) {
        return [f64::INFINITY; 2];
    }
    let shaft = Shaft { at: of.shaft(), span };
    let guide = of.guide();
    let rates = |crank: f64| {
        let solved: Result<Solved<Jet>, Blocked> =
            shaft.motion(crank).and_then(|input| of.motion(&input));
        solved.ok().map(|s| guide.motion(&s.limb)).map(|(_, d, dd)| [d.abs(), dd.abs()])
    };
    let width = span.to - span.from;
    // A step beyond both ends of a whole turn: a hill may stand where it is cut.
    let beyond = usize::from(span.closed);
    let mut grid: Vec<f64> = (0..=EVEN + 2 * beyond)
        .map(|i| span.from + width * (i as f64 - beyond as f64) / EVEN as f64)
        .collect();
    for spike in spikes.into_iter().flatten() {
        grid.push(spike);
        let mut off = 0.2;
        while off > 1e-6 {
            grid.extend([spike - off, spike + off]);
            off *= SHRINK;
        }
    }
    if !span.closed {
        grid.retain(|p| *p >= span.from && *p <= span.to);
    }
    grid.sort_by(f64::total_cmp);
    grid.dedup();
    let Some(rows) = grid.iter().map(|&p| rates(p)).collect::<Option<Vec<_>>>() else {
        return [f64::INFINITY; 2];
    };
    [0, 1].map(|k| {
        let top = rows.iter().map(|r| r[k]).fold(0.0, f64::max);
        let mut best = top;
        for i in 1..rows.len() - 1 {
            let hill = rows[i][k] >= rows[i - 1][k] && rows[i][k] >= rows[i + 1][k];
            if hill && rows[i][k] > 0.8 * top {
                let up = |p: f64| rates(p).map_or(0.0, |r| r[k]);
                best = highest(grid[i - 1], grid[i + 1], 1e-9, up).1.max(best);
            }
        }
        best
    })
}

/// A swing in degrees from limits in absolute, unwrapped radians.
pub(super) fn swing(raw: Limits<f64>) -> Travel {
    Travel::of(Stand::Turned(Dir::EAST), raw)
}

/// A stroke from limits in mm.
pub(super) fn stroke(raw: Limits<f64>) -> Travel {
    Travel::of(Stand::Slid(Mm(0.0)), raw)
}
