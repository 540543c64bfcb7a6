//! Where a hand may be caught: edges that close, and parts that pass each other in depth
//! with so little between them that a finger is sheared, or drawn in.
//!
//! Whether that hurts depends on what pushes and on who gets there: a matter of loads.

use super::clash::{self, Box2, Gap};
use super::near::meets;
use super::stack::{Part, Role, Stack, bushing_end};
use super::told::Told;
use super::track;
use crate::fit::FittedFigure;

/// A finger needs this (EN 349, 25 mm).
pub const FINGER: f64 = 25.0;
/// A hand needs this (EN 349, 100 mm).
pub const HAND: f64 = 100.0;
/// Below this a gap is a joint between edges, not a gap a finger goes into, mm.
const JOINT: f64 = 6.0;

/// What catches.
#[derive(Clone, Debug, PartialEq)]
pub enum Catch {
    /// Edges that move towards each other.
    Closes {
        /// The least gap, mm.
        least: f64,
        /// Whether a hand fits in where it is widest, and not a finger alone.
        hand: bool,
        /// Where that is, in words that follow the gap.
        place: String,
    },
    /// An edge that passes another one right before or behind it.
    Shears {
        /// What is between them in depth, mm.
        apart: f64,
    },
    /// A face that runs along another one, a finger's thickness away.
    Draws {
        /// What is between them in depth, mm.
        apart: f64,
    },
}

/// A place where two parts may catch a hand.
#[derive(Clone, Debug, PartialEq)]
pub struct Pinch {
    /// The limb it is told under, and how far from the middle of its way it then stands:
    /// 0 there, 1 at either end; `None` where that is not one place.
    pub limb: (usize, Option<f64>),
    /// What of it.
    pub part: Role,
    /// The other part's role.
    pub other: Role,
    /// The limb the other part belongs to, and how far from the middle of its way it stands.
    pub other_limb: Option<(usize, Option<f64>)>,
    /// What catches.
    pub catch: Catch,
    /// Whether the depth of both is known: no usual size but a washer's went into it.
    pub known: bool,
}

impl Told<'_> {
    /// A gap that opens and closes about a finger or a hand.
    pub(super) fn finger(&mut self, gap: &Gap) {
        let least = gap.least.high;
        let hand = match (least > JOINT, gap.widest) {
            (true, widest) if least < FINGER && widest > FINGER => false,
            (true, widest) if (FINGER..HAND).contains(&least) && widest > HAND => true,
            _ => return,
        };
        if gap.part != Role::Limb || !matches!(gap.other, Role::Limb | Role::Member) {
            return;
        }
        let way = |limb: usize, nth: usize| match gap.by {
            clash::By::Angle | clash::By::Way | clash::By::Both if gap.stands.is_empty() => {
                from_middle(self.fitted, limb, gap.least.at[nth])
            }
            _ => None,
        };
        let pinch = Pinch {
            limb: (gap.limb, way(gap.limb, 0)),
            part: gap.part,
            other: gap.other,
            other_limb: gap.other_limb.map(|l| (l, way(l, 1))),
            catch: Catch::Closes { least, hand, place: self.at(gap) },
            known: true,
        };
        self.to.pinches.push(pinch);
    }

    /// What passes what in depth.
    pub(super) fn passing(&mut self, boxes: &[Box2]) {
        let found = passing(self.fitted, self.stack, boxes);
        self.to.pinches.extend(found);
    }
}

/// How far from the middle of its own way a limb stands, as a share of half of it.
fn from_middle(fitted: &FittedFigure, limb: usize, at: f64) -> Option<f64> {
    let (from, to) = track::own(fitted, limb)?.span()?;
    (to > from).then(|| ((2.0 * at - from - to) / (to - from)).abs().min(1.0))
}

/// Bars and limbs that pass what lies before or behind them.
fn passing(fitted: &FittedFigure, stack: &Stack<'_>, boxes: &[Box2]) -> Vec<Pinch> {
    let bar = |p: &Part<'_>| matches!(p.layer.role, Role::Lever | Role::Rod | Role::Crank);
    let face = |p: &Part<'_>| bar(p) || p.layer.role == Role::Limb;
    let still = |p: &Part<'_>| matches!(p.layer.role, Role::Member | Role::Board);
    let mut all = Vec::new();
    for (i, a) in stack.parts.iter().enumerate().filter(|(_, p)| face(p)) {
        let Some(limb) = a.limb else { continue };
        for (j, b) in stack.parts.iter().enumerate() {
            let twice = face(b) && j <= i;
            if twice || !(face(b) || still(b)) || clash::joined(fitted, a, b) {
                continue;
            }
            let (near, far) = match a.layer.depth.front < b.layer.depth.front {
                true => (a.layer.depth, b.layer.depth),
                false => (b.layer.depth, a.layer.depth),
            };
            let apart = far.front - near.back;
            // With the board between them nothing of the one gets at the other.
            let through = (near.front < 0.0) != (far.front < 0.0) && b.layer.role != Role::Board;
            if !(0.0..FINGER).contains(&apart) || through || boxes[i].apart(&boxes[j]) > 0.0 {
                continue;
            }
            // Of a sheet's face the edge is everywhere: what it shears is told of its edges.
            let catch = match apart < JOINT {
                true if bar(a) && b.layer.role == Role::Member => Catch::Shears { apart },
                true => continue,
                false => Catch::Draws { apart },
            };
            if !meets(a, &a.corners, b) {
                continue;
            }
            all.push(Pinch {
                limb: (limb, None),
                part: a.layer.role,
                other: b.layer.role,
                other_limb: b.limb.map(|l| (l, None)),
                catch,
                known: known(fitted, a) && known(fitted, b),
            });
        }
    }
    all
}

/// Whether no more than a usual washer went into a part's depth.
fn known(fitted: &FittedFigure, part: &Part<'_>) -> bool {
    match (part.layer.role, part.limb) {
        // It lies right behind its bushing.
        (Role::Lever, Some(limb)) => !bushing_end(fitted, &fitted.figure.limbs[limb]).1,
        _ => !part.layer.assumed,
    }
}
