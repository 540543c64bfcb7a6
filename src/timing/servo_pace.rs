//! How fast a servo must turn to move its limb so, and how soon it can.
//!
//! Straight on the shaft the servo turns as the limb does. Through a rod or a cord it
//! turns faster in places and slower in others, so the speed that counts is that of
//! the servo, and the one at its fastest along the very move.

use crate::fit::FittedServo;
use crate::geometry::highest;
use crate::mechanism::ServoRod;
use crate::model::Easing;
use crate::units::{Deg, Sec};

use super::{easing, linkage};

/// Above this share of its speed without load a servo with a limb on it will lag
/// (common practice, no source).
pub const BRISK: f64 = 0.8;
/// Even pieces of a move; the one that the servo goes fastest, with its neighbours, is
/// looked at closely.
const PIECES: u32 = 64;
/// Half the share of a move over which its speed is taken: as fine as the sixth digit.
const NEAR: f64 = 1e-4;

/// A servo against the moves of its limb.
pub(super) struct Pace<'a> {
    servo: &'a FittedServo,
    /// Its rod, where it has one.
    rod: Option<ServoRod>,
    /// Its speed without load, deg/s, where its sheet says.
    fastest: Option<f64>,
    /// Moves looked at already: most of a show are repeats.
    known: Vec<(Easing, Deg, Deg, f64)>,
}

impl<'a> Pace<'a> {
    pub fn new(servo: &'a FittedServo) -> Self {
        let fastest = servo.fastest.map(|f| f.0 * 6.0);
        Self { servo, rod: servo.rod(), fastest, known: Vec::new() }
    }

    /// Its speed without load, deg/s.
    pub const fn fastest(&self) -> Option<f64> {
        self.fastest
    }

    /// What of it is counted on, deg/s.
    pub fn brisk(&self) -> Option<f64> {
        self.fastest.map(|f| f * BRISK)
    }

    /// Whether limb and shaft turn as one.
    pub fn direct(&self) -> bool {
        self.servo.linkage.is_none() && self.servo.cord.is_none()
    }

    /// The servo's own angle, as its pulses count it, for a limb angle.
    pub fn shaft_angle(&self, limb: Deg) -> Deg {
        let servo = self.servo;
        let sign = servo.turns.sign();
        if let (Some(cord), Some(zero)) = (&servo.cord, servo.arm_at_zero) {
            return linkage::horn_at(cord.made(), limb).map_or(servo.shaft_at_low, |horn| {
                let middle = (servo.shaft_at_low + servo.shaft_at_high) / 2.0;
                middle + ((horn - zero) * sign - middle).signed()
            });
        }
        servo.shaft_by(self.rod.as_ref(), limb)
    }

    /// How far the servo would turn in the time of a move, went it on at its fastest: a
    /// peak speed over that time, deg.
    pub fn of(&mut self, easing: Easing, from: Deg, to: Deg) -> Deg {
        if self.direct() {
            return Deg(easing::peak(easing) * (to - from).abs().0);
        }
        // Told where a straight move begins and ends, the servo turns evenly between.
        if easing == Easing::Sharp {
            return (self.shaft_angle(to) - self.shaft_angle(from)).abs();
        }
        let known = self.known.iter().find(|(e, f, t, _)| *e == easing && *f == from && *t == to);
        if let Some(&(.., pace)) = known {
            return Deg(pace);
        }
        let pace = self.peak(easing, from, to);
        self.known.push((easing, from, to, pace));
        Deg(pace)
    }

    /// The shortest time for a move; at once where the servo's speed is not known.
    pub fn quickest(&mut self, easing: Easing, from: Deg, to: Deg) -> Sec {
        let Some(brisk) = self.brisk() else { return Sec(0.0) };
        Sec(self.of(easing, from, to).0 / brisk)
    }

    /// The most of the servo's speed along a move that lasts a second.
    fn peak(&self, easing: Easing, from: Deg, to: Deg) -> f64 {
        let shaft = |x: f64| self.shaft_angle(from + (to - from) * easing::progress(easing, x)).0;
        let speed = |x: f64| {
            let (a, b) = ((x - NEAR).max(0.0), (x + NEAR).min(1.0));
            ((shaft(b) - shaft(a)) / (b - a)).abs()
        };
        let at = |i: u32| f64::from(i) / f64::from(PIECES);
        let mut before = shaft(0.0);
        let mut best = (0.0, 0);
        for i in 0..PIECES {
            let after = shaft(at(i + 1));
            let gone = (after - before).abs();
            best = if gone > best.0 { (gone, i) } else { best };
            before = after;
        }
        let (from, to) = (at(best.1.saturating_sub(1)), at((best.1 + 2).min(PIECES)));
        highest(from, to, NEAR, speed).1
    }
}
