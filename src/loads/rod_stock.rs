//! What a limb's rod and crank pin are made of, as said or as usual.

use std::f64::consts::PI;

use crate::model::{Limb, RodBent};
use crate::units::Pascal;

/// Yield of a plain rod or pin, class 4.6, MPa (ISO 898-1, from memory).
const YIELD: f64 = 240.0;
/// Modulus of steel, MPa.
const STEEL_MODULUS: f64 = 205_000.0;
/// A rod of M8 thread: its minor diameter, mm (ISO 724).
const ROD: f64 = 6.647;
/// A pin of M6: its minor diameter, mm (ISO 724).
const PIN: f64 = 4.917;
/// How far the middle of a rod's eye stands from the crank's face, mm.
pub(super) const REACH: f64 = 12.0;

fn strength(said: Option<Pascal>) -> f64 {
    said.map_or(YIELD, |y| y.0 * 1e-6)
}

/// A rod.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RodStock {
    /// Its diameter at the root of its thread, mm.
    pub root: f64,
    /// Yield strength of its steel, MPa.
    pub yields: f64,
    /// Where it is bent from the lever's plane to the crank's.
    pub bent: RodBent,
    /// What of it nobody said; `None` where all was.
    pub typical: Option<&'static str>,
}

impl RodStock {
    /// The rod of a limb.
    #[must_use]
    pub fn of(limb: &Limb) -> Self {
        let said = &limb.build.rod_thread;
        let strong = said.yields.is_some();
        let typical = match (said.size.is_some(), strong, said.bent.is_some()) {
            (true, true, false) => Some("bend in the middle of its rod"),
            (true, false, false) => Some("rod of steel of class 4.6, bent twice in its middle"),
            (false, true, false) => Some("rod of M8 thread, bent twice in its middle"),
            (false, false, false) => Some("rod of M8 thread, class 4.6, bent twice in its middle"),
            (_, _, true) => Self::steel(limb),
        };
        Self {
            root: said.size.as_ref().map_or(ROD, |s| s.root().0),
            yields: strength(said.yields.or(said.size.as_ref().and_then(|s| s.yields))),
            bent: said.bent.unwrap_or_default(),
            typical,
        }
    }

    /// What of its thread and its steel nobody said.
    #[must_use]
    pub fn steel(limb: &Limb) -> Option<&'static str> {
        let said = &limb.build.rod_thread;
        match (said.size.is_some(), said.yields.is_some()) {
            (true, true) => None,
            (true, false) => Some("rod of steel of class 4.6"),
            (false, true) => Some("rod of M8 thread"),
            (false, false) => Some("rod of M8 thread, class 4.6"),
        }
    }

    /// Its largest stress under a force along it, MPa: a beam that carries the force times
    /// half the depth that it bridges where it is bent in its middle, and times all of it
    /// where both bends are at one end; and the force itself.
    #[must_use]
    pub fn stress(&self, force: f64, standoff: f64) -> f64 {
        let arm = match self.bent {
            RodBent::Middle => standoff / 2.0,
            RodBent::End => standoff,
        };
        let cube = libm::pow(self.root, 3.0);
        force * arm / (PI * cube / 32.0) + force / (PI * self.root * self.root / 4.0)
    }

    /// The force at which it buckles between its pins, N (Euler).
    #[must_use]
    pub fn buckles(&self, length: f64) -> f64 {
        let section = PI * libm::pow(self.root, 4.0) / 64.0;
        PI * PI * STEEL_MODULUS * section / (length * length)
    }

    /// The force at which it yields or, if that is less, buckles, N.
    #[must_use]
    pub fn gives(&self, length: f64, standoff: f64) -> f64 {
        (self.yields / self.stress(1.0, standoff)).min(self.buckles(length))
    }
}

/// A crank's pin of M6, held at one end.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PinStock {
    /// Yield strength of its steel, MPa.
    pub yields: f64,
    /// How far the middle of the innermost rod on it stands from the crank's face, mm.
    pub reach: f64,
    /// Whether each was said.
    pub said: [bool; 2],
}

impl PinStock {
    /// The pin of a limb's crank.
    #[must_use]
    pub fn of(limb: &Limb) -> Self {
        let (yields, reach) = (limb.build.pin_yields, limb.build.pin_reach);
        Self {
            yields: strength(yields),
            reach: reach.map_or(REACH, |r| r.0),
            said: [yields.is_some(), reach.is_some()],
        }
    }

    /// What of it nobody said; of several rods on it the outer one, or not.
    #[must_use]
    pub const fn typical(&self, outer: bool) -> Option<&'static str> {
        match (self.said, outer) {
            ([true, true], _) => None,
            ([true, false], false) => Some("pin of M6, 12 mm from the crank"),
            ([true, false], true) => Some("pin of M6, the outer rod of several on it"),
            ([false, true], false) => Some("pin of M6, class 4.6"),
            ([false, false], false) => Some("pin of M6, class 4.6, 12 mm from the crank"),
            ([false, _], true) => Some("pin of M6, class 4.6, the outer rod of several on it"),
        }
    }

    /// The diameter at the root of its thread, mm.
    #[must_use]
    pub const fn root(&self) -> f64 {
        PIN
    }

    /// Stress under a force so far out, MPa.
    #[must_use]
    pub fn stress(&self, force: f64, reach: f64) -> f64 {
        force * reach / (PI * libm::pow(PIN, 3.0) / 32.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const M8: RodStock =
        RodStock { root: ROD, yields: YIELD, bent: RodBent::Middle, typical: None };

    #[test]
    fn a_rod_out_of_line_bends_as_a_beam() {
        // By hand, 88 N 50 mm out of line: 88 x 25/28.83 + 88/34.70 = 78.8 MPa.
        assert!((M8.stress(88.0, 50.0) - 78.8).abs() < 0.1);
        assert!((M8.stress(88.0, 0.0) - 88.0 / 34.7).abs() < 0.01);
        // Bent at one end the whole offset is the arm: 88 x 50/28.83 + 2.54 = 155.2 MPa.
        let end = RodStock { bent: RodBent::End, ..M8 };
        assert!((end.stress(88.0, 50.0) - 155.2).abs() < 0.2);
        // Straight it is the same.
        assert_eq!(end.stress(88.0, 0.0), M8.stress(88.0, 0.0));
    }

    #[test]
    fn a_longer_rod_buckles_before_it_yields() {
        // Euler: pi^2 205000 x 95.82/160^2 = 7573 N; 240 x 34.70 = 8328 N.
        assert!((M8.gives(160.0, 0.0) - 7_573.0).abs() < 10.0);
        assert!((M8.gives(100.0, 0.0) - 8_328.0).abs() < 10.0);
    }

    #[test]
    fn a_pin_is_a_beam_held_at_one_end() {
        // 467 N at 12 mm on M6: 5604/(pi 4.917^3/32 = 11.67) = 480 MPa.
        let pin = PinStock { yields: YIELD, reach: REACH, said: [false; 2] };
        assert!((pin.stress(467.0, 12.0) - 480.2).abs() < 0.5);
    }
}
