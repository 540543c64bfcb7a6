//! Neighbours in depth: what a limb passes in front of or behind with nothing between,
//! and how far out on the limb. Whether it still passes when the wind bends it is a matter
//! of its loads.

use super::bisect::{self, BOUND, Want};
use super::clash::{self, Box2, Pair};
use super::distance::Corner;
use super::stack::{Part, Role, Stack};
use super::track::Track;
use crate::fit::FittedFigure;
use crate::model::Joint;

/// What lies further apart in depth than this is no neighbour, mm: a limb that bends so far
/// flops long before.
const MOST: f64 = 60.0;
/// Into how many parts, as a power of two, the length of a limb is told apart.
const HALVINGS: usize = 8;

/// Two parts that pass each other at different depths.
#[derive(Clone, Debug, PartialEq)]
pub struct Neighbour {
    /// The limb.
    pub limb: usize,
    /// What it passes.
    pub other: Role,
    /// That part's name: `right-wing`, `left-arm bolt`.
    pub name: String,
    /// The limb that part belongs to.
    pub other_limb: Option<usize>,
    /// How far apart they lie in depth in still air, mm.
    pub apart: f64,
    /// How far from its bolt along its axis the limb passes it at most, mm: on its arm, and
    /// on its tail; nought where that end does not.
    pub at: [f64; 2],
    /// The same of the other limb, where it is one.
    pub other_at: [f64; 2],
    /// Whether a usual size went into how far they are apart.
    pub assumed: bool,
}

/// All neighbours of a figure's limbs that turn on a bolt, through the board or on another
/// limb, pair by pair.
pub(super) fn neighbours(
    fitted: &FittedFigure,
    stack: &Stack<'_>,
    boxes: &[Box2],
) -> Vec<Neighbour> {
    let bends = |part: &Part<'_>| {
        let limb = part.limb.filter(|_| part.layer.role == Role::Limb)?;
        let limb = &fitted.figure.limbs[limb];
        matches!(limb.joint, Joint::Pivot { .. }).then_some(())
    };
    let mut all = Vec::new();
    for (i, a) in stack.parts.iter().enumerate().filter(|(_, p)| bends(p).is_some()) {
        for (j, b) in stack.parts.iter().enumerate() {
            let twice = bends(b).is_some() && j <= i;
            let still = matches!(b.layer.role, Role::Board | Role::Member | Role::Guide);
            let slides = b.layer.role == Role::Limb && bends(b).is_none();
            if twice || still || slides || clash::joined(fitted, a, b) {
                continue;
            }
            let (near, far) = match a.layer.depth.front < b.layer.depth.front {
                true => (a.layer.depth, b.layer.depth),
                false => (b.layer.depth, a.layer.depth),
            };
            let apart = far.front - near.back;
            let by_board = (near.front < 0.0) != (far.front < 0.0);
            if !(0.0..MOST).contains(&apart) || by_board || boxes[i].apart(&boxes[j]) > 0.0 {
                continue;
            }
            let assumed = a.layer.assumed || b.layer.assumed;
            if assumed && matches!(b.layer.role, Role::Rod | Role::Crank) {
                // In which depth a rod runs is the maker's choice where no standoff is said.
                continue;
            }
            let at = [1.0, -1.0].map(|end| farthest(a, end, b, HALVINGS));
            if at == [0.0; 2] {
                continue;
            }
            let other_at = match bends(b) {
                Some(()) => [1.0, -1.0].map(|end| farthest(b, end, a, HALVINGS)),
                None => [0.0; 2],
            };
            let (limb, name) = (a.limb.unwrap_or_default(), b.layer.name.clone());
            let (other, other_limb) = (b.layer.role, b.limb);
            all.push(Neighbour { limb, other, name, other_limb, apart, at, other_at, assumed });
        }
    }
    all
}

/// How far out each limb that turns on a bolt in the board stands over that board somewhere
/// on its way, mm on its arm and on its tail; `None` where the board's outline or the limb's
/// shape is not known, and for limbs that slide or ride.
pub(super) fn over_board(fitted: &FittedFigure, stack: &Stack<'_>) -> Vec<Option<[f64; 2]>> {
    let board = stack.parts.iter().find(|p| p.layer.role == Role::Board);
    let one = |index: usize| {
        let limb = &fitted.figure.limbs[index];
        let turns = matches!(limb.joint, Joint::Pivot { .. }) && limb.carrier.is_none();
        let own = stack.parts.iter().filter(|p| p.layer.role == Role::Limb);
        let own = own.filter(|_| turns).find(|p| p.limb == Some(index))?;
        let board = board?;
        Some([1.0, -1.0].map(|end| {
            let reach = own.corners.iter().map(|c| end * c[0]).fold(0.0, f64::max);
            // Most limbs have their ends over the board, which is soon told.
            match meets(own, &beyond(&own.corners, end, reach - AN_END), board) {
                true => reach,
                false => farthest(own, end, board, ROUGHLY),
            }
        }))
    };
    (0..fitted.figure.limbs.len()).map(one).collect()
}

/// The last piece of a limb, mm.
const AN_END: f64 = 2.0;
/// Into how many parts, as a power of two, what stands over a board is told apart: how far a
/// limb bends there is a bound anyway.
const ROUGHLY: usize = 5;

/// How far out along its axis, on the arm (1) or the tail (-1), a limb still passes another
/// part somewhere on their ways, mm; nought where that end nowhere does.
fn farthest(limb: &Part<'_>, end: f64, other: &Part<'_>, halvings: usize) -> f64 {
    let reach = limb.corners.iter().map(|c| end * c[0]).fold(0.0, f64::max);
    if reach <= 0.0 || !meets(limb, &beyond(&limb.corners, end, 0.0), other) {
        return 0.0;
    }
    let (mut low, mut high) = (0.0, reach);
    for _ in 0..halvings {
        let middle = (low + high) / 2.0;
        match meets(limb, &beyond(&limb.corners, end, middle), other) {
            true => low = middle,
            false => high = middle,
        }
    }
    high
}

/// What of a polygon lies beyond a line square to the axis (Sutherland and Hodgman, Comm.
/// ACM 17 (1974) 32-42).
fn beyond(corners: &[Corner], end: f64, from: f64) -> Vec<Corner> {
    let out = |c: &Corner| end * c[0] - from;
    let mut kept = Vec::with_capacity(corners.len() + 4);
    let next = corners.iter().cycle().skip(1);
    for (a, b) in corners.iter().zip(next) {
        let (da, db) = (out(a), out(b));
        if da >= 0.0 {
            kept.push(*a);
        }
        if (da >= 0.0) != (db >= 0.0) {
            let share = da / (da - db);
            kept.push([a[0] + share * (b[0] - a[0]), a[1] + share * (b[1] - a[1])]);
        }
    }
    kept
}

/// Whether these corners of a part meet another part from the front, anywhere on their
/// ways: told only where it cannot be ruled out to the bisection's own bound.
pub(super) fn meets(a: &Part<'_>, corners: &[Corner], b: &Part<'_>) -> bool {
    if corners.is_empty() {
        return false;
    }
    let want = Want { need: BOUND, far: 1.0, share: 1.0 };
    if [&a.own, &b.own].iter().any(|t| matches!(t, Track::Ride(_))) {
        return clash::least_riding((a, corners), b, &want).low < BOUND;
    }
    let mut pair = Pair::new(corners, &b.corners, a.radius + b.radius);
    let shared = a.motor.is_some() && a.motor == b.motor;
    let least = match (clash::by_shaft(a).filter(|_| shared), clash::by_shaft(b)) {
        (Some((ta, span)), Some((tb, _))) => {
            let rate = ta.rate(corners) + tb.rate(&b.corners);
            bisect::least(span, rate, &want, |u| pair.gap((ta, u), (tb, u)))
        }
        _ => match (a.own.span(), b.own.span()) {
            (Some(span), None) => {
                let rate = a.own.rate(corners);
                let gap = |u| pair.gap((&a.own, u), (&Track::Still, 0.0));
                bisect::least(span, rate, &want, gap)
            }
            (one, two) => {
                let spans = [one.unwrap_or_default(), two.unwrap_or_default()];
                let rates = [a.own.rate(corners), b.own.rate(&b.corners)];
                let gap = |u, v| pair.gap((&a.own, u), (&b.own, v));
                bisect::least_of_two(spans, rates, &want, gap)
            }
        },
    };
    least.low < BOUND
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_lies_beyond_a_line_has_the_area_that_a_hand_counts() {
        // A trapezium from 0 to 400, 100 wide at the bolt and 60 at its end.
        let limb = [[0.0, -50.0], [400.0, -30.0], [400.0, 30.0], [0.0, 50.0]];
        let area = |of: &[Corner]| {
            let next = of.iter().cycle().skip(1);
            of.iter().zip(next).map(|(a, b)| a[0] * b[1] - b[0] * a[1]).sum::<f64>() / 2.0
        };
        assert!((area(&limb) - 32_000.0).abs() < 1e-9);
        // From 100 on: widths 90 and 60 over 300.
        assert!((area(&beyond(&limb, 1.0, 100.0)) - 22_500.0).abs() < 1e-9);
        // The other way: all that lies within 100 of the bolt is no tail.
        assert!(area(&beyond(&limb, -1.0, 1.0)).abs() < 1e-9);
        assert!(beyond(&limb, 1.0, 401.0).is_empty());
    }
}
