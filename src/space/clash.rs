//! What meets what: every pair of parts that share a depth, over all they can do.

use super::bisect::{self, BOUND, Least, Want};
use super::distance::{Corner, contains, distance};
use super::ride::{self, Coord, Key};
use super::stack::{Part, Role, Stack};
use super::track::Track;
use crate::fit::FittedFigure;
use crate::model::{Joint, Switch};

/// Build error and slop of a hinge: nearer than this may touch once built (the
/// language's own defaults, 1 mm and 0.3 mm).
pub(super) const SLOP: f64 = 1.3;
/// Gaps above this are not told apart.
pub(super) const FAR: f64 = 60.0;
/// Coordinates of the first and last touch are found to this, rad or mm.
const EPS: f64 = 1e-7;

/// How two parts were looked at.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum By {
    /// One part moves, by its own angle, rad.
    Angle,
    /// One part moves, by its way along its slide, mm.
    Way,
    /// Both by the shaft that moves them, rad.
    Shaft,
    /// By how long the ram, or the cord, is that moves them, mm.
    Length,
    /// Each by its own coordinate, without regard to time.
    Both,
    /// Nothing moves.
    Still,
}

/// Where one of several motors has a limb.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stands {
    /// The limb that stands there, or whose crank.
    pub limb: usize,
    /// What its place counts.
    pub by: By,
    /// rad, or mm.
    pub at: f64,
}

/// The room between two parts.
#[derive(Clone, Debug, PartialEq)]
pub struct Gap {
    /// The limb it is told under.
    pub limb: usize,
    /// What of it: `limb`, `rod` …
    pub part: Role,
    /// The other part's role.
    pub other: Role,
    /// The other part's name.
    pub name: String,
    /// The limb the other part belongs to.
    pub other_limb: Option<usize>,
    /// Which member of the frame the other part is.
    pub member: Option<usize>,
    /// The least gap, from both sides, mm.
    pub least: Least,
    /// What its coordinate is.
    pub by: By,
    /// Where they touch: stretches of the coordinate, ascending; empty where they do
    /// not, or where two coordinates move on their own.
    pub touching: Vec<(f64, f64)>,
    /// Whether a usual size went into the depth of either.
    pub assumed: bool,
    /// Whether both motors tell where their shafts are.
    pub locked: bool,
    /// The widest gap seen, mm: whether something opens and closes.
    pub widest: f64,
    /// Where everything is that moves them, at the least gap, where one of them rides on a
    /// limb.
    pub stands: Vec<Stands>,
}

/// An upright box, mm.
#[derive(Clone, Copy)]
pub(super) struct Box2 {
    low: Corner,
    high: Corner,
}

impl Box2 {
    fn around(corners: &[Corner]) -> Self {
        let none = Self { low: [f64::INFINITY; 2], high: [f64::NEG_INFINITY; 2] };
        corners.iter().fold(none, |b, p| Self {
            low: [b.low[0].min(p[0]), b.low[1].min(p[1])],
            high: [b.high[0].max(p[0]), b.high[1].max(p[1])],
        })
    }

    fn grown(self, by: f64) -> Self {
        Self { low: self.low.map(|v| v - by), high: self.high.map(|v| v + by) }
    }

    /// How far apart two boxes are at least.
    pub(super) fn apart(&self, o: &Self) -> f64 {
        let axis = |i: usize| (o.low[i] - self.high[i]).max(self.low[i] - o.high[i]).max(0.0);
        libm::hypot(axis(0), axis(1))
    }
}

/// Everything a part can cover, as a box.
pub(super) fn swept(part: &Part<'_>) -> Box2 {
    let mut out = Vec::new();
    if let Track::Ride(ride) = &part.own {
        let (places, halves) = ride::grid(&ride.coords());
        let mut all = Vec::new();
        for at in places {
            if ride::place(&part.own, &at, &part.corners, &mut out) {
                all.extend_from_slice(&out);
            }
        }
        let rates = ride::corner_rates(&part.own, &part.corners);
        let beyond: f64 = halves.iter().zip(rates).map(|(h, r)| h * r).sum();
        return Box2::around(&all).grown(part.radius + beyond);
    }
    let Some((from, to)) = part.own.span() else {
        return Box2::around(&part.corners).grown(part.radius);
    };
    // Between samples no corner goes further than half the step allows.
    let steps = 24;
    let step = (to - from) / f64::from(steps);
    let mut all = Vec::new();
    for i in 0..=steps {
        if part.own.place(from + step * f64::from(i), &part.corners, &mut out) {
            all.extend_from_slice(&out);
        }
    }
    Box2::around(&all).grown(part.radius + part.own.rate(&part.corners) * step / 2.0)
}

/// Whether two parts belong together: one limb's own, or joined by a pin or bolt.
pub(super) fn joined(fitted: &FittedFigure, a: &Part<'_>, b: &Part<'_>) -> bool {
    let role = |x: Role, y: Role| {
        (a.layer.role, b.layer.role) == (x, y) || (a.layer.role, b.layer.role) == (y, x)
    };
    // What turns with one shaft, and what is held by it.
    if a.motor.is_some() && a.motor == b.motor {
        let core = [Role::Crank, Role::Shaft, Role::Body, Role::Wheel];
        let rod = core.contains(&a.layer.role) && b.layer.role == Role::Rod
            || core.contains(&b.layer.role) && a.layer.role == Role::Rod;
        if rod || (core.contains(&a.layer.role) && core.contains(&b.layer.role)) {
            return true;
        }
        // Rods on one pin lie one on the other.
        if role(Role::Rod, Role::Rod) || role(Role::Shaft, Role::Bolt) {
            return true;
        }
    }
    let (Some(i), Some(j)) = (a.limb, b.limb) else { return false };
    if i == j {
        // Its own rod crosses its own bolt only where they share a depth.
        return !role(Role::Rod, Role::Bolt);
    }
    let limbs = &fitted.figure.limbs;
    limbs[i].carrier == Some(j) || limbs[j].carrier == Some(i)
}

/// Whether a pair is one that is looked at.
fn matters(a: Role, b: Role) -> bool {
    use Role::{Board, Body, Bolt, Crank, Lever, Limb, Member, Rod, Shaft, Wheel};
    match (a, b) {
        (Board, _) | (_, Board) => false,
        (Member, Limb | Lever | Rod | Crank | Wheel)
        | (Limb | Lever | Rod | Crank | Wheel, Member) => true,
        (Member | Bolt | Shaft | Body, Member | Bolt | Shaft) | (Member | Bolt | Shaft, Body) => {
            false
        }
        _ => true,
    }
}

/// The gaps of a figure: of all pairs that come nearer than [`FAR`].
pub(super) fn gaps(fitted: &FittedFigure, stack: &Stack<'_>, boxes: &[Box2]) -> Vec<Gap> {
    let mut gaps = Vec::new();
    for (i, a) in stack.parts.iter().enumerate() {
        for (j, b) in stack.parts.iter().enumerate().skip(i + 1) {
            if !matters(a.layer.role, b.layer.role)
                || !a.layer.depth.overlaps(&b.layer.depth)
                || boxes[i].apart(&boxes[j]) >= FAR
                || joined(fitted, a, b)
            {
                continue;
            }
            // Told under the one that moves and comes first among the limbs.
            let (a, b) = match (a.own.moves(), b.own.moves()) {
                (false, true) => (b, a),
                _ => (a, b),
            };
            gaps.extend(gap(fitted, a, b));
        }
    }
    gaps
}

/// The room between a pair; `None` where neither belongs to a limb, or where its
/// least gap is beyond [`FAR`].
fn gap(fitted: &FittedFigure, a: &Part<'_>, b: &Part<'_>) -> Option<Gap> {
    let limb = a.limb.or(b.limb).or_else(|| {
        let motor = a.motor?;
        (0..fitted.figure.limbs.len()).find(|&l| fitted.figure.motor_of(l) == Some(motor))
    })?;
    let want = Want { need: SLOP, far: FAR, share: 0.1 };
    let radius = a.radius + b.radius;
    let shared = a.motor.is_some() && a.motor == b.motor;
    let mut pair = Pair::new(&a.corners, &b.corners, radius);
    let (least, by, touching, widest);
    let mut stands = Vec::new();
    match (a.own.span(), b.own.span()) {
        _ if [&a.own, &b.own].iter().any(|t| matches!(t, Track::Ride(_))) => {
            (least, widest, stands) = riding(fitted, (a, b), &want);
            (by, touching) = (By::Both, Vec::new());
        }
        (None, None) => {
            let g = distance(&a.corners, &b.corners) - radius;
            least = Least { low: g, high: g, at: [0.0; 2], evaluations: 1 };
            (by, touching, widest) = (By::Still, Vec::new(), g);
        }
        (Some(span), None) => {
            let rate = a.own.rate(&a.corners);
            let mut here = |u: f64| pair.gap((&a.own, u), (&Track::Still, 0.0));
            least = bisect::least(span, rate, &want, &mut here);
            widest = wide(span, &mut here);
            touching = touches(&least, span, rate, &mut here);
            by = a.own.by();
        }
        _ => match (by_shaft(a).filter(|_| shared), by_shaft(b)) {
            (Some((ta, span)), Some((tb, _))) => {
                let rate = ta.rate(&a.corners) + tb.rate(&b.corners);
                let mut here = |u: f64| pair.gap((ta, u), (tb, u));
                least = bisect::least(span, rate, &want, &mut here);
                widest = wide(span, &mut here);
                touching = touches(&least, span, rate, &mut here);
                by = ta.by();
            }
            _ => {
                let spans = [a.own.span()?, b.own.span().unwrap_or((0.0, 0.0))];
                let rates = [a.own.rate(&a.corners), b.own.rate(&b.corners)];
                let mut here = |u: f64, v: f64| pair.gap((&a.own, u), (&b.own, v));
                least = bisect::least_of_two(spans, rates, &want, &mut here);
                let middle = (spans[1].0 + spans[1].1) / 2.0;
                widest = wide(spans[0], &mut |u| here(u, middle));
                (by, touching) = (By::Both, Vec::new());
            }
        },
    }
    let index = |m: Option<usize>| {
        m.is_some_and(|m| fitted.figure.actuators[m].motor.switch == Switch::Index)
    };
    (least.low < FAR).then(|| Gap {
        limb,
        part: a.layer.role,
        other: b.layer.role,
        name: b.layer.name.clone(),
        other_limb: b.limb,
        member: b.member,
        least,
        by,
        touching,
        assumed: a.layer.assumed || b.layer.assumed,
        locked: !shared && index(a.motor) && index(b.motor),
        widest,
        stands,
    })
}

/// A part's way by its motor's whole turn, or by all of its motor's way where it has no
/// other.
pub(super) fn by_shaft<'p>(part: &'p Part<'_>) -> Option<(&'p Track<'p>, (f64, f64))> {
    let track = part.shaft.as_ref().unwrap_or(&part.own);
    let only = matches!(part.own, Track::Shaft(_));
    match track {
        Track::Shaft(s) if s.goes_round() || only => Some((track, track.span()?)),
        _ => None,
    }
}

/// Where they touch, where they do.
fn touches(
    least: &Least,
    span: (f64, f64),
    rate: f64,
    gap: &mut impl FnMut(f64) -> f64,
) -> Vec<(f64, f64)> {
    if least.high >= BOUND {
        return Vec::new();
    }
    bisect::stretches(span, rate, BOUND, EPS, gap)
}

/// The widest of some evenly spaced gaps: a gap that is found wide somewhere is.
fn wide((from, to): (f64, f64), gap: &mut impl FnMut(f64) -> f64) -> f64 {
    let at = |i: u32| from + (to - from) * f64::from(i) / 8.0;
    (0..=8).map(|i| gap(at(i))).filter(|g| g.is_finite()).fold(0.0, f64::max)
}

/// Coordinates of a pair, those of the first part first, and which of them each part has.
struct Shared {
    coords: Vec<Coord>,
    own: [Vec<usize>; 2],
    rates: Vec<f64>,
}

impl Shared {
    fn of(tracks: [(&Track<'_>, Key, &[Corner]); 2]) -> Self {
        let mut shared =
            Self { coords: Vec::new(), own: [Vec::new(), Vec::new()], rates: Vec::new() };
        for (n, (track, key, corners)) in tracks.into_iter().enumerate() {
            let rates = ride::corner_rates(track, corners);
            for (coord, rate) in ride::coords(track, key).into_iter().zip(rates) {
                let known = shared.coords.iter().position(|c| c.key == coord.key);
                let at = known.unwrap_or(shared.coords.len());
                if known.is_none() {
                    shared.coords.push(coord);
                    shared.rates.push(0.0);
                }
                shared.rates[at] += rate;
                shared.own[n].push(at);
            }
        }
        if let [Track::Ride(a), Track::Ride(b)] = tracks.map(|t| t.0) {
            // What moves both as one changes nothing between them.
            for coord in shared.coords.iter_mut().take(a.in_common(b)) {
                coord.to = coord.from;
            }
        }
        shared
    }
}

impl Shared {
    /// The gap of two sets of corners on their tracks, at a place of all coordinates.
    fn gap<'s>(
        &'s self,
        (ta, corners): (&'s Track<'_>, &'s [Corner]),
        (tb, others): (&'s Track<'_>, &'s [Corner]),
        radius: f64,
    ) -> impl FnMut(&[f64]) -> f64 + 's {
        let (mut pa, mut pb) = (Vec::new(), Vec::new());
        let mut own = [Vec::new(), Vec::new()];
        move |at: &[f64]| {
            for (own, which) in own.iter_mut().zip(&self.own) {
                own.clear();
                own.extend(which.iter().map(|&i| at[i]));
            }
            if !ride::place(ta, &own[0], corners, &mut pa)
                || !ride::place(tb, &own[1], others, &mut pb)
            {
                return f64::NAN;
            }
            distance(&pa, &pb) - radius
        }
    }
}

/// What a part's own coordinate belongs to.
fn key(part: &Part<'_>, track: &Track<'_>) -> Key {
    match (track, part.motor, part.limb) {
        (Track::Shaft(_), Some(motor), _) => Key::Shaft(motor),
        (_, Some(motor), _) if part.layer.role == Role::Crank => Key::Disc(motor),
        (_, motor, limb) => limb.map_or(Key::Disc(motor.unwrap_or(0)), Key::Own),
    }
}

/// The tracks of a pair of which one rides on a limb.
fn tracks<'p>(a: &'p Part<'_>, b: &'p Part<'_>) -> (&'p Track<'p>, &'p Track<'p>) {
    // By the shaft of what carries the one, where that moves the other too.
    let by_its = |p: &Part<'_>, other: &Part<'_>| {
        p.under.as_ref().is_some_and(|(motor, _)| other.motor == Some(*motor))
            && by_shaft(other).is_some()
    };
    match (&a.under, &b.under) {
        (Some((_, under)), _) if by_its(a, b) => (under, by_shaft(b).map_or(&b.own, |s| s.0)),
        (_, Some((_, under))) if by_its(b, a) => (by_shaft(a).map_or(&a.own, |s| s.0), under),
        _ => (&a.own, &b.own),
    }
}

/// The least gap of some corners of a part and another part, where one rides on a limb.
pub(super) fn least_riding(
    (a, corners): (&Part<'_>, &[Corner]),
    b: &Part<'_>,
    want: &Want,
) -> Least {
    let (ta, tb) = tracks(a, b);
    let shared = Shared::of([(ta, key(a, ta), corners), (tb, key(b, tb), &b.corners)]);
    let spans: Vec<(f64, f64)> = shared.coords.iter().map(|c| (c.from, c.to)).collect();
    let mut gap = shared.gap((ta, corners), (tb, &b.corners), a.radius + b.radius);
    bisect::least_of_many(&spans, &shared.rates, want, &mut gap).0
}

/// The least gap where one rides on a limb, the widest that was seen, and where
/// everything is at the least.
fn riding(
    fitted: &FittedFigure,
    (a, b): (&Part<'_>, &Part<'_>),
    want: &Want,
) -> (Least, f64, Vec<Stands>) {
    let (ta, tb) = tracks(a, b);
    let shared = Shared::of([(ta, key(a, ta), &a.corners), (tb, key(b, tb), &b.corners)]);
    let spans: Vec<(f64, f64)> = shared.coords.iter().map(|c| (c.from, c.to)).collect();
    let mut here = shared.gap((ta, &a.corners), (tb, &b.corners), a.radius + b.radius);
    let (least, at) = bisect::least_of_many(&spans, &shared.rates, want, &mut here);
    let widest = (0..=8)
        .map(|i| {
            let share = f64::from(i) / 8.0;
            let at: Vec<f64> = spans.iter().map(|(f, t)| f + (t - f) * share).collect();
            here(&at)
        })
        .filter(|g| g.is_finite())
        .fold(0.0, f64::max);
    let moving = shared.coords.iter().zip(&at).filter(|(c, _)| c.from < c.to);
    let stands = moving.filter_map(|(c, at)| stands(fitted, c.key, *at)).collect();
    (least, widest, stands)
}

/// The corners of two parts with room for where they are put.
pub(super) struct Pair<'p> {
    corners: (&'p [Corner], &'p [Corner]),
    radius: f64,
    placed: (Vec<Corner>, Vec<Corner>),
}

impl<'p> Pair<'p> {
    /// A pair with the sum of their radii.
    pub(super) fn new(a: &'p [Corner], b: &'p [Corner], radius: f64) -> Self {
        Self { corners: (a, b), radius, placed: (Vec::new(), Vec::new()) }
    }

    /// The gap with each at its coordinate; no number where a mechanism does not go
    /// there.
    pub(super) fn gap(&mut self, (ta, u): (&Track<'_>, f64), (tb, v): (&Track<'_>, f64)) -> f64 {
        let (pa, pb) = &mut self.placed;
        if !ta.place(u, self.corners.0, pa) || !tb.place(v, self.corners.1, pb) {
            return f64::NAN;
        }
        distance(pa, pb) - self.radius
    }
}

/// A coordinate as it is told.
fn stands(fitted: &FittedFigure, key: Key, at: f64) -> Option<Stands> {
    let limbs = &fitted.figure.limbs;
    let (limb, by) = match key {
        Key::Own(limb) => match limbs[limb].joint {
            Joint::Pivot { .. } => (limb, By::Angle),
            Joint::Slide { .. } => (limb, By::Way),
        },
        Key::Shaft(motor) => {
            let limb = (0..limbs.len()).find(|&l| fitted.figure.motor_of(l) == Some(motor))?;
            let mechanism = fitted.limbs[limb].mechanism.as_ref();
            let grows = mechanism.and_then(|m| m.follows()).is_some_and(|f| f.path.is_length());
            (limb, if grows { By::Length } else { By::Shaft })
        }
        // It may stand anywhere.
        Key::Disc(_) => return None,
    };
    Some(Stands { limb, by, at })
}

/// How far a disc lies outside all of these polygons together, mm: nought where it is
/// covered. By points of its rim and its middle, which is what a drill meets.
pub(super) fn uncovered(centre: Corner, radius: f64, polygons: &[Vec<Corner>]) -> f64 {
    let outside = |p: Corner| {
        let covered = polygons.iter().any(|c| contains(c, &p));
        if covered {
            return 0.0;
        }
        polygons.iter().map(|c| distance(&[p], c)).fold(f64::INFINITY, f64::min)
    };
    let rim = (0..48).map(|i| {
        let (s, c) = libm::sincos(f64::from(i) / 48.0 * 2.0 * std::f64::consts::PI);
        [centre[0] + radius * c, centre[1] + radius * s]
    });
    rim.chain([centre]).map(outside).fold(0.0, f64::max)
}

/// The pivot of a limb on the board that turns in a bushing.
pub(super) fn bushed(limb: &crate::model::Limb) -> Option<Corner> {
    match limb.joint {
        Joint::Pivot { at: Some(at), .. }
            if limb.carrier.is_none() && !super::stack::on_shaft(limb) =>
        {
            Some([at.x, at.y])
        }
        _ => None,
    }
}
