//! A limb in its guide: what the two edges of the held piece bear, and the push that
//! overcomes what they rub.
//!
//! The guide holds a piece of the limb, so long as it is told. What is pushed or weighs
//! beside it turns the limb until one end of that piece presses on one rail and the other
//! end on the other one (or both on the same one): two forces across, N1 behind and N2
//! ahead, with N1 + N2 = S, all that presses aside, and (N2 - N1) L/2 = C, all that turns
//! it about the middle of the piece. Both rub: mu (|N1| + |N2|) = mu max(|S|, |2 C/L|).

use crate::geometry::{BoardPoint, Dir};
use crate::mechanism::Blocked;

/// Why a motor's work is not known at some place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Stuck {
    /// The mechanism does not go there.
    Mechanism(Blocked),
    /// Friction in a guide grows as fast as the push: no push moves the limb.
    Guide,
}

impl From<Blocked> for Stuck {
    fn from(why: Blocked) -> Self {
        Self::Mechanism(why)
    }
}

/// The piece of a limb that its guide holds, mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rails {
    /// From the first place that rubs to the last.
    pub length: f64,
    /// From rail to rail; nought where it was not said: both rub in the middle.
    pub width: f64,
    /// How far its middle lies ahead of the point that slides.
    pub ahead: f64,
    /// How far the guide's line lies left of the one that point runs on.
    pub left: f64,
}

impl Rails {
    /// Its middle, with the point that slides at `at` and the guide along `u`.
    pub(super) fn middle(&self, at: BoardPoint, u: Dir) -> BoardPoint {
        BoardPoint::mm(
            at.x + self.ahead * u.x() - self.left * u.y(),
            at.y + self.ahead * u.y() + self.left * u.x(),
        )
    }
}

/// What a limb in its guide asks of its push, per N of that where it counts: forces in N,
/// moments in N.mm.
pub(super) struct Guided {
    /// Needed along the guide, friction aside.
    pub required: f64,
    /// The share of the push along the guide.
    pub along: f64,
    /// Needed across it, to its left, and the push's share.
    pub aside: [f64; 2],
    /// Needed about the middle of the held piece, and the arm of the push there.
    pub turned: [f64; 2],
    /// Which way the limb moves along the guide: +1 or -1.
    pub way: f64,
    /// Coefficient of friction.
    pub coefficient: f64,
    /// The held piece; unknown, nothing turns the limb.
    pub rails: Option<Rails>,
}

/// A push whose friction takes all but this share of it is taken to bind.
const BINDS: f64 = 1e-3;

impl Guided {
    /// What presses both edges together, and the difference of the two, each as what it is
    /// without a push and what a push of 1 N adds.
    fn presses(&self) -> [[f64; 2]; 2] {
        let sum = [self.aside[0], -self.aside[1]];
        let Some(rails) = self.rails else { return [sum, [0.0; 2]] };
        // What rubs on a rail half the width beside the middle turns the limb as well.
        let beside = self.way * self.coefficient * rails.width / 2.0;
        let turns = [self.turned[0], -self.turned[1]];
        [sum, [0, 1].map(|k| (turns[k] + beside * sum[k]) * 2.0 / rails.length)]
    }

    /// The push that moves it; `None` where none does: the guide binds.
    ///
    /// With the push t counted in the direction of motion, t along - required - friction is
    /// the least of four straight lines in t, one for each sign of each of the two presses,
    /// and so concave: a limb moves from where it first comes up to nought.
    pub(super) fn push(&self) -> Option<f64> {
        let forward = if self.along >= 0.0 { self.way } else { -self.way };
        let lines = self.presses().map(|[own, by]| {
            [1.0, -1.0].map(|sign| {
                let rubs = sign * self.coefficient;
                let asks = self.way * self.required + rubs * own;
                (self.along.abs() - rubs * by * forward, asks)
            })
        });
        let lines = lines.as_flattened();
        let rises = |line: &&(f64, f64)| line.0 > BINDS * self.along.abs();
        let most = lines.iter().filter(rises).map(|(by, asks)| asks / by);
        let push = most.fold(f64::NEG_INFINITY, f64::max);
        let near = lines.iter().map(|(_, asks)| asks.abs()).fold(1e-12, f64::max) * 1e-9;
        let moves = lines.iter().all(|(by, asks)| by * push - asks >= -near);
        (moves && push.is_finite()).then_some(push * forward)
    }

    /// What rubs at a push, N.
    pub(super) fn friction(&self, push: f64) -> f64 {
        let [sum, difference] = self.presses().map(|[own, by]| (own + push * by).abs());
        self.coefficient * sum.max(difference)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pushed(along: f64, aside: [f64; 2], turned: [f64; 2], mu: f64) -> Guided {
        let required = 10.0;
        Guided { required, along, aside, turned, way: 1.0, coefficient: mu, rails: None }
    }

    fn rails(length: f64, width: f64) -> Option<Rails> {
        Some(Rails { length, width, ahead: 0.0, left: 0.0 })
    }

    /// Pushed aside, friction grows with the push: 10 = P (0.5 - 0.3 x 0.8) by hand; the law
    /// itself on either side of the bars; and where it locks nothing.
    #[test]
    fn a_push_aside_is_as_large_as_its_own_friction_makes_it() {
        let of = |aside, mu, way| Guided { way, ..pushed(0.5, [aside, 0.8], [0.0; 2], mu) };
        assert!((of(0.0, 0.3, 1.0).push().unwrap() - 10.0 / 0.26).abs() < 1e-9);
        for (aside, way) in [(40.0, 1.0), (5.0, 1.0), (-7.0, 1.0), (40.0, -1.0), (3.0, -1.0)] {
            let g = of(aside, 0.3, way);
            let push = g.push().unwrap();
            let friction = 0.3 * (aside - push * 0.8).abs();
            assert!((g.friction(push) - friction).abs() < 1e-9);
            assert!((push * 0.5 - 10.0 - way * friction).abs() < 1e-9, "{aside} {way}");
        }
        assert_eq!(of(1.0, 0.7, 1.0).push(), None);
        // Let down, the same weight holds itself and must be pushed: no guide binds that way
        // before the push turns round.
        assert!(of(1.0, 0.7, -1.0).push().is_some());
    }

    /// A push of 40 mm beside a guide of 120: each edge bears a third of it, by hand
    /// 10/(1 - 2 x 0.3 x 40/120) = 12.5 N up and 10/1.2 down; at 24 mm it binds (Beer and
    /// Johnston's bracket on a pipe, see `super::super::guide`), and only upwards.
    #[test]
    fn a_push_beside_its_guide_rubs_at_both_ends() {
        let of = |length, way| {
            let g = pushed(1.0, [0.0; 2], [0.0, 40.0], 0.3);
            Guided { way, rails: rails(length, 0.0), ..g }
        };
        assert!((of(120.0, 1.0).push().unwrap() - 12.5).abs() < 1e-9);
        assert!((of(120.0, -1.0).push().unwrap() - 10.0 / 1.2).abs() < 1e-9);
        assert!((of(120.0, 1.0).friction(12.5) - 2.5).abs() < 1e-9);
        assert!(of(24.1, 1.0).push().is_some());
        assert_eq!(of(24.0, 1.0).push(), None);
        assert!(of(20.0, -1.0).push().is_some());
    }

    /// 6 N across, 150 mm ahead of the middle of a guide of 100 mm: an overhanging beam, its
    /// bearings 6 (1/2 +- 150/100) = 12 and -6 N, which rub with 0.3 x 18. At 30 mm, between
    /// the bearings, all that rubs is 0.3 x 6.
    #[test]
    fn a_force_beyond_the_guide_rubs_more_than_itself() {
        let of = |ahead: f64| {
            let g = pushed(1.0, [6.0, 0.0], [6.0 * ahead, 0.0], 0.3);
            Guided { rails: rails(100.0, 0.0), ..g }
        };
        assert!((of(150.0).push().unwrap() - 15.4).abs() < 1e-9);
        assert!((of(30.0).push().unwrap() - 11.8).abs() < 1e-9);
    }

    /// The same beam on rails 40 mm apart, 60 mm ahead: friction 0.3 S on the lower rail, 20
    /// mm beside the middle, turns it back or on: C = 6 x 60 +- 0.3 x 20 x 6 = 396 or 324
    /// N.mm, twice that over 100 mm is 7.92 or 6.48 N, of which 0.3 rub. Each force, arm and
    /// sign is checked by adding them all up.
    #[test]
    fn what_rubs_on_the_rails_turns_the_limb_as_well() {
        for (way, rubs) in [(1.0, 0.3 * 7.92), (-1.0, 0.3 * 6.48)] {
            let g = Guided {
                way,
                rails: rails(100.0, 40.0),
                ..pushed(1.0, [6.0, 0.0], [360.0, 0.0], 0.3)
            };
            let push = g.push().unwrap();
            assert!((push - 10.0 - way * rubs).abs() < 1e-9, "{way}: {push}");
            let [sum, difference] = g.presses().map(|[own, by]| own + by * push);
            let edges = [((sum - difference) / 2.0, -50.0), ((sum + difference) / 2.0, 50.0)];
            let (mut along, mut across, mut turns) = (push, 0.0, 0.0);
            for (force, at) in edges {
                // It presses the limb away from the rail it touches.
                let (beside, drag) = (-20.0 * force.signum(), -way * 0.3 * force.abs());
                along += drag;
                across += force;
                turns += at * force - beside * drag;
            }
            assert!((along - 10.0).abs() < 1e-9 && (across - 6.0).abs() < 1e-9);
            assert!((turns - 360.0).abs() < 1e-9, "{turns}");
        }
    }
}
