//! What keeps the follower on the cam, and up to which speed.

use super::facts::Samples;
use super::{At, Cam, Limb};
use crate::geometry::{Dir, cosines};
use crate::units::{Deg, Kg, KgM2, Mm, Newton, NewtonMetre, Rad, Rpm};

/// Standard gravity, m/s2 (ISO 80000-3).
const GRAVITY: f64 = 9.806_65;

/// A spring that presses the limb onto the cam.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Spring {
    /// On a limb that slides.
    Push {
        /// Its force with the cam at its lowest.
        preload: Newton,
        /// What it gains by each mm of lift.
        per_mm: Newton,
    },
    /// On a limb that swings.
    Twist {
        /// Its moment about the pivot with the cam at its lowest.
        preload: NewtonMetre,
        /// What it gains by each degree of lift.
        per_deg: NewtonMetre,
    },
}

/// The limb's mass and its spring.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Held {
    /// Mass of all that moves.
    pub mass: Kg,
    /// Its moment of inertia about the pivot; of no matter where it slides.
    pub inertia: KgM2,
    /// From the pivot to its centre of mass; of no matter where it slides.
    pub centre: Mm,
    /// From the limb's axis counter-clockwise to its centre of mass.
    pub centre_at: Deg,
    /// The spring, if there is one; of the other kind than the limb it counts for
    /// nothing.
    pub spring: Option<Spring>,
}

/// Whether the follower stays on.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LiftOff {
    /// Weight and spring, towards the cam, by what the limb's own inertia takes at
    /// the speed asked for, at the worst turn: below 1 the follower lifts off, at
    /// or below 0 it does not lie on the cam at all. Infinite where nothing pulls
    /// it away.
    pub margin: At<f64>,
    /// The speed at which the margin is 1; 0 where it does not lie on at a
    /// standstill, infinite where no speed lifts it.
    pub most: Rpm,
}

impl LiftOff {
    /// The speed at which the margin is `margin`.
    #[must_use]
    pub fn speed_for(&self, margin: f64) -> Rpm {
        Rpm(self.most.0 / margin.sqrt())
    }
}

impl Cam {
    /// Whether the follower stays on at a speed of the cam.
    #[must_use]
    pub fn lift_off(&self, held: &Held, speed: Rpm) -> LiftOff {
        self.lift_off_tilted(held, speed, (Deg(0.0), Deg(0.0)))
    }

    /// As [`Cam::lift_off`], with the cam's plane turned on the board by any angle from
    /// the one to the other: weight counts at its worst at each turn of the cam.
    #[must_use]
    pub fn lift_off_tilted(&self, held: &Held, speed: Rpm, tilt: (Deg, Deg)) -> LiftOff {
        let square = speed.rad_per_sec() * speed.rad_per_sec();
        // Strength by inertia, per (rad/s)^2, the least of it over the turn.
        let mut worst: Option<(f64, f64)> = None;
        let mut keep = |ratio: f64, angle: f64| {
            if worst.is_none_or(|w| ratio < w.0) {
                worst = Some((ratio, angle));
            }
        };
        Samples::levels(self, |angle, level| {
            let (towards, inertia) = self.towards(held, level.v, tilt);
            let away = -level.dd * inertia;
            if towards <= 0.0 {
                keep(towards.min(-f64::MIN_POSITIVE), angle);
            } else if away > 1e-15 {
                keep(towards / away, angle);
            }
        });
        let turn = |angle: f64| Rad(self.plan.turn(angle)).deg().positive();
        let (ratio, angle) = worst.unwrap_or((f64::INFINITY, 0.0));
        if ratio <= 0.0 {
            return LiftOff { margin: At { value: 0.0, turn: turn(angle) }, most: Rpm(0.0) };
        }
        let value = if square > 0.0 { ratio / square } else { f64::INFINITY };
        let most = Rpm(ratio.sqrt() * 30.0 / std::f64::consts::PI);
        LiftOff { margin: At { value, turn: turn(angle) }, most }
    }

    /// Force or moment towards the cam at a level, and what inertia takes of it
    /// per level/rad2 at 1 rad/s: N, or N.m.
    fn towards(&self, held: &Held, level: f64, tilt: (Deg, Deg)) -> (f64, f64) {
        // The least cosine of a direction of the plane, or of its opposite.
        let level_plane = tilt == (Deg(0.0), Deg(0.0));
        let least = |way: Dir, sign: f64| {
            let at = way.deg();
            let (low, high) = cosines(at + tilt.0, at + tilt.1);
            if sign < 0.0 { -high } else { low }
        };
        match self.plan.limb {
            Limb::Slides(s) => {
                let lift = s.lift.0.abs();
                let sign = if s.lift.0 < 0.0 { -1.0 } else { 1.0 };
                // How far up the slide points is the cosine a quarter turn back.
                let along = s.slide.along;
                let up = match level_plane {
                    true => sign * along.y(),
                    false => least(Dir::unit(along.y(), -along.x()), sign),
                };
                let spring = match held.spring {
                    Some(Spring::Push { preload, per_mm }) => preload.0 + per_mm.0 * lift * level,
                    _ => 0.0,
                };
                (spring + held.mass.0 * GRAVITY * up, held.mass.0 * lift * 1e-3)
            }
            Limb::Swings(s) => {
                let lift = s.lift.rad().0;
                let spring = match held.spring {
                    Some(Spring::Twist { preload, per_deg }) => {
                        preload.0 + per_deg.0 * s.lift.0.abs() * level
                    }
                    _ => 0.0,
                };
                let axis = self.lever(lift * level).from(Dir::degrees(s.clamp));
                let way = axis.turned(Dir::degrees(held.centre_at));
                // The weight's moment clockwise; towards the cam is against the lift.
                let sign = if lift < 0.0 { -1.0 } else { 1.0 };
                let beside = if level_plane { sign * way.x() } else { least(way, sign) };
                let weight = held.mass.0 * GRAVITY * beside * held.centre.0 * 1e-3;
                (spring + weight, held.inertia.0 * lift.abs())
            }
        }
    }
}
