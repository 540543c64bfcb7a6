//! A limb driven from another limb: the six-bar, over the whole turn above.
//!
//! The first loop is whatever moves the limb above; the second is a [`Rod`]. Both
//! are closed forms, so the whole chain is: what is looked for here are its
//! extremes. With D the distance from the rod's near pin to the lower pivot, the
//! second loop closes while D lies between |rod - lever| and rod + lever, its push
//! angle is a function of D alone, and so all of that is at the extremes of D.

use std::f64::consts::PI;

use super::bent::bent;
use super::sweep::{Row, STEPS, limits_between, sample};
use super::{Above, Blocked, Guide, Input, Limits, Mechanism, Path, Rod, Role, Solved, Triangle};
use crate::geometry::{Body, Bracket, Jet, root};
use crate::units::{Deg, Mm, Rad};

/// A rod between a limb above and the limb below, on a path of the motor.
#[derive(Clone, Copy)]
pub struct Forearm<'a> {
    /// The limb above: its mechanism, its motor's path, and whether it pushes the
    /// rod or carries the pivot.
    pub above: Above<'a>,
    /// The second rod.
    pub rod: Rod,
}

/// What a forearm does over the whole path.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ForearmAnalysis {
    /// How near the second loop comes to not closing, over the whole path.
    pub closing: Closing,
    /// The motion; absent where the second loop does not close all along.
    pub motion: Option<ForearmMotion>,
}

/// How well the second loop closes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Closing {
    /// Least distance from near pin to pivot.
    pub nearest: Mm,
    /// The motor's coordinate there.
    pub nearest_at: f64,
    /// Greatest distance.
    pub farthest: Mm,
    /// The motor's coordinate there.
    pub farthest_at: f64,
    /// How far the distance stays from both dead centres, |rod - lever| and
    /// rod + lever; below nought the loop does not close by so much.
    pub margin: Mm,
    /// The motor's coordinate there.
    pub margin_at: f64,
    /// Where the loop opens or closes again, ascending by coordinate; at most the
    /// first two.
    pub opens: [Option<f64>; 2],
}

impl Closing {
    /// Whether the rod's branch, its side of the line from pin to pivot, can never
    /// change: it never comes to a dead centre.
    #[must_use]
    pub fn branch_constant(&self) -> bool {
        self.margin.0 > 0.0
    }
}

/// The motion of a forearm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ForearmMotion {
    /// Its angles, absolute; absent where it turns fully.
    pub limits: Option<Limits<Deg>>,
    /// Its angles from the carrier's axis; only where its pivot rides.
    pub bend: Option<Limits<Deg>>,
    /// The worst push angle of the second rod, 0..90.
    pub least_push: Deg,
    /// The motor's coordinate there.
    pub least_push_at: f64,
}

impl Forearm<'_> {
    /// Everything about it.
    ///
    /// # Errors
    /// What stops the mechanism above, where it does not go all along the path.
    pub fn analyse(&self) -> Result<ForearmAnalysis, Blocked> {
        // The limb above is solved once for each sample, for all that is asked of it.
        let span = self.above.span();
        let inputs = (0..=STEPS)
            .map(|i| self.above.motion(sample(span, i)))
            .collect::<Result<Vec<_>, Blocked>>()?;
        let closing = self.closing(&inputs)?;
        if !closing.branch_constant() {
            return Ok(ForearmAnalysis { closing, motion: None });
        }
        let (least_push, least_push_at) = self.push(&closing);
        let rides = self.above.role == Role::Host;
        let (mut board, mut above) = (Vec::with_capacity(inputs.len()), Vec::new());
        for input in &inputs {
            let solved = self.rod.motion(input)?;
            board.push(Row::of(&solved, Guide::Pivot));
            if rides {
                above.push(Row::of(&bent(solved, &input.host), Guide::Pivot));
            }
        }
        let limits = self.extremes(&board, &|s, _| s)?;
        let bend = if rides { self.extremes(&above, &bent)? } else { None };
        let motion = ForearmMotion { limits, bend, least_push, least_push_at };
        Ok(ForearmAnalysis { closing, motion: Some(motion) })
    }

    /// The worst push angle: at the nearest or the farthest.
    fn push(&self, closing: &Closing) -> (Deg, f64) {
        let fold = |distance: Mm| {
            let t = Triangle { lever: self.rod.lever.0, ground: distance.0 };
            t.push(self.rod.length.0).map_or(0.0, |mu| mu.min(PI - mu))
        };
        let (near, far) = (fold(closing.nearest), fold(closing.farthest));
        let (near, far) = ((near, closing.nearest_at), (far, closing.farthest_at));
        let first = if near.1 <= far.1 { near } else { far };
        let (mu, at) = match near.0 - far.0 {
            by if by.abs() <= SAME => first,
            by if by < 0.0 => near,
            _ => far,
        };
        (Rad(mu).deg(), at)
    }

    /// The square of the distance from near pin to pivot, with its derivatives.
    fn square(&self, turn: f64) -> Result<Jet, Blocked> {
        Ok(self.squared(&self.above.motion(turn)?))
    }

    fn squared(&self, at: &Input<Jet>) -> Jet {
        let near = at.driver.place(self.rod.pin[0], self.rod.pin[1]);
        let pivot = at.host.place(self.rod.pivot[0], self.rod.pivot[1]);
        let (x, y) = (near.0 - pivot.0, near.1 - pivot.1);
        x * x + y * y
    }

    fn closing(&self, inputs: &[Input<Jet>]) -> Result<Closing, Blocked> {
        let span = self.above.span();
        let place = |i: usize| sample(span, i);
        let rows: Vec<Jet> = inputs.iter().map(|i| self.squared(i)).collect();
        let mut turns = vec![(rows[0].v, place(0)), (rows[STEPS].v, place(STEPS))];
        for i in 1..rows.len() {
            if let Some(b) = Bracket::new(place(i - 1), rows[i - 1].d, place(i), rows[i].d) {
                let there = root(b, 1e-12, |t| self.square(t).map_or(f64::NAN, |j| j.d));
                turns.push((self.square(there)?.v, there));
            }
        }
        let samples = || rows.iter().enumerate().map(|(i, row)| (row.v, place(i)));
        let (low, high) = (outermost(&turns, samples(), -1.0), outermost(&turns, samples(), 1.0));
        let (b, c) = (self.rod.length.0, self.rod.lever.0);
        let (nearest, farthest) = (low.0.max(0.0).sqrt(), high.0.sqrt());
        let (inner, outer) = (nearest - (b - c).abs(), b + c - farthest);
        let (margin, margin_at) = if inner <= outer { (inner, low.1) } else { (outer, high.1) };
        let opens = if margin < 0.0 { self.opens(&rows, &place) } else { [None, None] };
        Ok(Closing {
            nearest: Mm(nearest),
            nearest_at: low.1,
            farthest: Mm(farthest),
            farthest_at: high.1,
            margin: Mm(margin),
            margin_at,
            opens,
        })
    }

    /// The first coordinates at which the loop opens or closes.
    fn opens(&self, rows: &[Jet], place: &dyn Fn(usize) -> f64) -> [Option<f64>; 2] {
        let (b, c) = (self.rod.length.0, self.rod.lever.0);
        let gap = |square: f64| {
            let d = square.max(0.0).sqrt();
            (b + c - d).min(d - (b - c).abs())
        };
        let mut found = [None, None];
        for i in 1..rows.len() {
            let (p, q) = (gap(rows[i - 1].v), gap(rows[i].v));
            let Some(slot) = found.iter_mut().find(|f| f.is_none()) else { break };
            if (p < 0.0) != (q < 0.0)
                && let Some(bracket) = Bracket::new(place(i - 1), p, place(i), q)
            {
                let at = |t| self.square(t).map_or(f64::NAN, |j| gap(j.v));
                *slot = Some(root(bracket, 1e-12, at));
            }
        }
        found
    }

    /// The extremes of the limb, seen through `view` and in its samples; absent where
    /// it turns fully.
    fn extremes(&self, rows: &[Row], view: View) -> Result<Option<Limits<Deg>>, Blocked> {
        let motion = |t: f64| {
            let input = self.above.motion(t)?;
            let solved = self.rod.motion(&input)?;
            Ok(view(solved, &input.host))
        };
        let travel = limits_between(rows, &motion, self.above.span(), Guide::Pivot)?;
        let Some(limits) = travel.swing() else { return Ok(None) };
        // Once round and not back: it turns.
        let turned = self.above.span().closed && limits.range().0 > 359.0 && {
            let span = self.above.span();
            limits.at_low.min(limits.at_high) <= span.from
                && limits.at_low.max(limits.at_high) >= span.to
        };
        Ok((!turned).then_some(*limits))
    }
}

/// Squares of distances that differ by a smaller share are one: of two coordinates that come
/// equally near the smaller is told.
const SAME: f64 = 1e-11;

/// The least (`up` -1) or greatest (1) of what turns and of all samples: a turn where one is
/// as far out, so that the place is exact.
fn outermost(
    turns: &[(f64, f64)],
    samples: impl Iterator<Item = (f64, f64)>,
    up: f64,
) -> (f64, f64) {
    let further = |m: (f64, f64), s: (f64, f64)| if s.0 * up > m.0 * up { s } else { m };
    let sample = samples.fold(turns[0], further);
    let most = turns.iter().copied().fold(sample, further).0;
    let as_far = turns.iter().filter(|t| (t.0 - most).abs() <= SAME * most.abs());
    as_far.copied().reduce(|a, b| if b.1 < a.1 { b } else { a }).unwrap_or(sample)
}

/// How a limb is looked at: as it is, or from its carrier.
type View<'a> = &'a dyn Fn(Solved<Jet>, &Body<Jet>) -> Solved<Jet>;
