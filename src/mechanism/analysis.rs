//! The whole of a four-bar's motion: ends, dead centres, push angle, ratios.

use std::f64::consts::PI;

use super::shape::Shape;
use super::{Class, FourBar, Limits, Travel, extremes};
use crate::units::{Deg, Rad};

/// What a four-bar does. Every number is finite; what does not apply is absent.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Analysis {
    /// Grashof's class.
    pub class: Class,
    /// Whether the bars close at all.
    pub assembles: bool,
    /// Whether the crank meets no obstacle in a whole turn.
    pub crank_turns_fully: bool,
    /// Whether the sign of the push angle, hence the assembly, can never change:
    /// the linkage never comes to a dead centre of the lever.
    pub branch_constant: bool,
    /// The motion on this assembly; absent where the bars do not close.
    pub motion: Option<Motion>,
    /// Where the crank can stand in two separate stretches, mirror images of each
    /// other in the ground line, the motion in the second. [`Analysis::motion`]
    /// then has the crank pin left of the line from motor to pivot.
    pub other: Option<Motion>,
}

/// The motion over one stretch of crank angles.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Motion {
    /// Where the crank's reachable stretch begins, in [0, 360).
    pub crank_from: Deg,
    /// Where it ends: `crank_from` + its width; 360 more for a whole turn.
    pub crank_to: Deg,
    /// The crank angles in [0, 360) at which rod and lever lie in one line and
    /// the crank is blocked, ascending.
    pub blocked_at: [Option<Deg>; 2],
    /// The crank angles in [0, 360) at which the limb stands still because crank
    /// and rod lie in one line: stretched, folded.
    pub dead_centres: [Option<Deg>; 2],
    /// Lowest limb angle in (-180, 180]; absent where the limb turns fully.
    pub low: Option<Deg>,
    /// Highest limb angle: `low` + `sweep`.
    pub high: Option<Deg>,
    /// The swing; 360 where the limb turns fully.
    pub sweep: Deg,
    /// The crank angle in [0, 360) at the lowest limb angle.
    pub crank_at_low: Option<Deg>,
    /// The crank angle in [0, 360) at the highest limb angle.
    pub crank_at_high: Option<Deg>,
    /// The worst transmission (push) angle, 0..90.
    pub min_transmission: Deg,
    /// The crank angle in [0, 360) there; of equal ones the smaller.
    pub min_transmission_at: Deg,
    /// Slower swing over faster, at least 1; for a turning crank and a rocking limb.
    pub time_ratio: Option<f64>,
    /// Largest |d limb / d crank|; absent where a dead centre makes it infinite.
    pub max_speed_ratio: Option<f64>,
    /// Largest |d2 limb / d crank2| per radian; absent where it is infinite.
    pub max_acceleration_ratio: Option<f64>,
}

impl Motion {
    /// The ends and extremes as every kind has them; `None` for a lever that goes
    /// round with its crank.
    #[must_use]
    pub fn travel(&self) -> Option<Travel> {
        Some(Travel::Swing(Limits {
            low: self.low?,
            high: self.high?,
            at_low: self.crank_at_low?.rad().0,
            at_high: self.crank_at_high?.rad().0,
            least_push: libm::sin(self.min_transmission.rad().0),
            least_push_at: self.min_transmission_at.rad().0,
            most_speed: self.max_speed_ratio.unwrap_or(f64::INFINITY),
            most_acceleration: self.max_acceleration_ratio.unwrap_or(f64::INFINITY),
        }))
    }
}

/// Push angles nearer than this are equal, and the smaller crank angle is told.
const SAME_PUSH: f64 = 1e-9 * PI / 180.0;

/// Analyses a linkage in closed form; see [`Shape`] for the formulas.
pub(super) fn analyse(f: &FourBar) -> Analysis {
    let bars = f.bars();
    let class = bars.class();
    let assembles = class != Class::NonAssembling;
    let shape = Shape::of(&bars, f.assembly());
    let turns = assembles && shape.turns();
    let mut motions = [None, None];
    if assembles {
        for (slot, stretch) in motions.iter_mut().zip(stretches(&shape)) {
            *slot = stretch.map(|s| motion(f, &shape, s));
        }
    }
    let [motion, other] = motions;
    let branch_constant = turns && shape.e1 > 0.0 && shape.e2 > 0.0;
    Analysis { class, assembles, crank_turns_fully: turns, branch_constant, motion, other }
}

/// A stretch of crank angles from the ground line, rad; `turn` if it closes.
#[derive(Clone, Copy)]
struct Stretch {
    from: f64,
    to: f64,
    turn: bool,
}

/// The stretches the crank can be in: x lies between the dead centres.
fn stretches(shape: &Shape) -> [Option<Stretch>; 2] {
    let one = |from, to| [Some(Stretch { from, to, turn: false }), None];
    match (shape.blocked_near(), shape.blocked_far()) {
        (None, None) => [Some(Stretch { from: 0.0, to: 2.0 * PI, turn: true }), None],
        (Some(near), None) => one(near, 2.0 * PI - near),
        (None, Some(far)) => one(-far, far),
        (Some(near), Some(far)) => [
            Some(Stretch { from: near, to: far, turn: false }),
            Some(Stretch { from: -far, to: -near, turn: false }),
        ],
    }
}

fn motion(f: &FourBar, shape: &Shape, stretch: Stretch) -> Motion {
    let ground = f.ground_dir().angle().deg();
    let absolute = |phi: f64| (Rad(phi).deg() + ground).positive();
    let dead = shape.dead_centres().map(|phi| phi.and_then(|p| stretch.holding(p)));
    let (worst, worst_phi) = worst_push(shape, stretch, &absolute);
    let ends = (!limb_turns(shape, stretch)).then(|| ends(shape, stretch, dead));
    let time_ratio = match dead {
        [Some(p), Some(q)] if stretch.turn && ends.is_some() => time_ratio(p - q),
        _ => None,
    };
    let most = if stretch.turn { extremes::most(shape) } else { extremes::Most::default() };
    let mut blocked = [None, None];
    if !stretch.turn {
        let (p, q) = (absolute(stretch.from), absolute(stretch.to));
        blocked = [Some(p.min(q)), Some(p.max(q))];
    }
    let low = ends.map(|e| (Rad(e.low.1).deg() + ground - f.clamp()).signed());
    let sweep = ends.map_or(Deg(360.0), |e| Rad(e.high.1 - e.low.1).deg());
    let from = if stretch.turn { Deg(0.0) } else { absolute(stretch.from) };
    Motion {
        crank_from: from,
        crank_to: from + Rad(stretch.to - stretch.from).deg(),
        blocked_at: blocked,
        dead_centres: dead.map(|p| p.map(absolute)),
        low,
        high: low.map(|l| l + sweep),
        sweep,
        crank_at_low: ends.map(|e| absolute(e.low.0)),
        crank_at_high: ends.map(|e| absolute(e.high.0)),
        min_transmission: Rad(worst).deg(),
        min_transmission_at: worst_phi,
        time_ratio,
        max_speed_ratio: most.speed,
        max_acceleration_ratio: most.acceleration,
    }
}

impl Stretch {
    /// The angle equal to `phi` up to whole turns that lies in the stretch.
    fn holding(self, phi: f64) -> Option<f64> {
        const ROUNDING: f64 = 1e-12;
        [phi, phi + 2.0 * PI, phi - 2.0 * PI]
            .into_iter()
            .find(|p| *p >= self.from - ROUNDING && *p <= self.to + ROUNDING)
            .map(|p| p.clamp(self.from, self.to))
    }
}

/// Whether the lever goes round with the crank: then the crank pin's circle is
/// around the pivot.
fn limb_turns(shape: &Shape, stretch: Stretch) -> bool {
    stretch.turn && shape.a > shape.d
}

/// The lowest and the highest lever angle, each as (crank angle, lever angle).
#[derive(Clone, Copy)]
struct Ends {
    low: (f64, f64),
    high: (f64, f64),
}

/// Among the ends of the stretch, its dead centres, and the two places where a
/// change point may bend the motion.
fn ends(shape: &Shape, stretch: Stretch, dead: [Option<f64>; 2]) -> Ends {
    let smooth = shape.e1 > 0.0 && shape.e2 > 0.0;
    let corners = match dead {
        [Some(_), Some(_)] if stretch.turn && smooth => [None; 3],
        _ => [Some(stretch.from), stretch.holding(PI), Some(stretch.to)],
    };
    let mut ends: Option<Ends> = None;
    for phi in dead.into_iter().chain(corners).flatten() {
        let at = (phi, shape.lever(phi));
        ends = Some(match ends {
            None => Ends { low: at, high: at },
            Some(e) => Ends {
                low: if at.1 < e.low.1 { at } else { e.low },
                high: if at.1 > e.high.1 { at } else { e.high },
            },
        });
    }
    // Either both dead centres or the corners are there.
    ends.unwrap_or(Ends { low: (0.0, 0.0), high: (0.0, 0.0) })
}

/// The worst push angle, folded to a quarter turn, and the crank angle there. It
/// is where x is extreme: in line with the ground, or blocked.
fn worst_push(shape: &Shape, stretch: Stretch, absolute: &dyn Fn(f64) -> Deg) -> (f64, Deg) {
    let candidates = [stretch.holding(0.0), stretch.holding(PI)];
    let ends = if stretch.turn { [None, None] } else { [Some(stretch.from), Some(stretch.to)] };
    let fold = |mu: f64| mu.min(PI - mu).max(0.0);
    let mut worst: Option<(f64, Deg)> = None;
    let inner = candidates.into_iter().flatten().map(|phi| {
        let half = if phi == PI { (1.0, 0.0) } else { (0.0, 1.0) };
        (fold(shape.push(half)), absolute(phi))
    });
    let locked = ends.into_iter().flatten().map(|phi| (0.0, absolute(phi)));
    for (mu, at) in inner.chain(locked) {
        worst = Some(match worst {
            Some(w) if (mu - w.0).abs() <= SAME_PUSH => (mu.min(w.0), at.min(w.1)),
            Some(w) if mu > w.0 => w,
            _ => (mu, at),
        });
    }
    worst.unwrap_or((0.0, absolute(stretch.from)))
}

/// Slower over faster for dead centres `apart` radians of crank from each other.
fn time_ratio(apart: f64) -> Option<f64> {
    let one = apart.abs() % (2.0 * PI);
    let (short, long) = (one.min(2.0 * PI - one), one.max(2.0 * PI - one));
    (short > 0.0).then(|| long / short)
}
