//! How a motor's coordinate runs through one cycle: steadily round, to and fro at
//! steady speeds, or as a servo eases its limb.

use crate::geometry::Dir;
use crate::mechanism::{Blocked, FourBar, Mechanism, Path, Shaft};
use crate::model::Easing;
use crate::units::{Rad, Sec};

/// One instant of a motor's motion.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Instant {
    /// The coordinate: rad, or mm.
    pub at: f64,
    /// Its speed, per second.
    pub speed: f64,
    /// Its acceleration, per second squared.
    pub acceleration: f64,
    /// Which way it goes (or would go first, at a standstill): +1 or -1.
    pub way: f64,
}

impl Instant {
    /// The same place and way at a standstill.
    #[must_use]
    pub const fn still(self) -> Self {
        Self { speed: 0.0, acceleration: 0.0, ..self }
    }
}

/// One cycle of a motor.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Pace {
    /// Round and round one way, steadily.
    Round {
        /// Where the cycle starts.
        from: f64,
        /// How far a cycle goes, rad.
        over: f64,
        /// Speed without sign, rad/s.
        speed: f64,
        /// Which way: +1 or -1.
        way: f64,
    },
    /// From one end to the other and back, steadily each way.
    Shuttle {
        /// One end.
        from: f64,
        /// The other, above `from`.
        to: f64,
        /// Speed upwards, per second; 0 where it is not known.
        out: f64,
        /// Speed back.
        back: f64,
    },
    /// A limb between two angles and back, eased as a servo eases it.
    Eased(Eased),
}

/// See [`Pace::Eased`]. All angles rad, unwrapped.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Eased {
    /// One end, as the limb's angle.
    pub from: f64,
    /// The other end.
    pub to: f64,
    /// Time one way; `None`: so slowly that nothing but weight counts.
    pub time: Option<Sec>,
    /// The shape of the move.
    pub easing: Easing,
    /// Two limb angles with the motor's coordinate there: the straight line to start
    /// looking from.
    pub known: [(f64, f64); 2],
    /// Arm, rod and lever by which the coordinate is found for an angle, where the limb
    /// rides and they stand otherwise while it moves: with its carrier at rest.
    pub told: Option<FourBar>,
}

/// Steps of Halley's method from the straight line between two known poses.
const STEPS: usize = 12;
/// Where a step is smaller than this, rad or mm, the next one would be its cube: it is
/// taken, and the rates there follow from those where it starts.
const LAST: f64 = 1e-7;

impl Pace {
    /// The instant after a share of the cycle's time, 0 to 1.
    ///
    /// # Errors
    /// Where the mechanism does not take the limb there.
    pub fn at(
        &self,
        share: f64,
        mechanism: &dyn Mechanism,
        path: &dyn Path,
    ) -> Result<Instant, Blocked> {
        Ok(match *self {
            Self::Round { from, over, speed, way } => {
                let at = from + way * over * share;
                Instant { at, speed: way * speed, acceleration: 0.0, way }
            }
            Self::Shuttle { from, to, out, back } => {
                // Times are as the speeds the other way.
                let turn = if out + back > 0.0 { back / (out + back) } else { 0.5 };
                if share < turn {
                    let at = from + (to - from) * share / turn;
                    Instant { at, speed: out, acceleration: 0.0, way: 1.0 }
                } else {
                    let at = to - (to - from) * (share - turn) / (1.0 - turn);
                    Instant { at, speed: -back, acceleration: 0.0, way: -1.0 }
                }
            }
            Self::Eased(eased) => return eased.at(share, mechanism, path),
        })
    }

    /// Shares of the cycle at which it turns back.
    #[must_use]
    pub fn corners(&self) -> [f64; 3] {
        let turn = match *self {
            Self::Shuttle { out, back, .. } if out + back > 0.0 => back / (out + back),
            _ => 0.5,
        };
        [0.0, turn, 1.0]
    }
}

/// How far a move has come at a share of its time, with both derivatives.
fn progress(easing: Easing, x: f64) -> [f64; 3] {
    use std::f64::consts::PI;
    match easing {
        Easing::Natural => {
            let (s, c) = libm::sincos(PI * x);
            [(1.0 - c) / 2.0, PI / 2.0 * s, PI * PI / 2.0 * c]
        }
        Easing::Smooth => [
            x * x * x * (10.0 + x * (6.0 * x - 15.0)),
            30.0 * x * x * (1.0 - x) * (1.0 - x),
            60.0 * x * (1.0 - x) * (1.0 - 2.0 * x),
        ],
        Easing::Sharp => [x, 1.0, 0.0],
    }
}

impl Eased {
    /// The same on a plane that stands turned: all its angles of the limb count from the
    /// board.
    #[must_use]
    pub fn turned(self, by: f64) -> Self {
        let known = self.known.map(|(limb, at)| (limb + by, at));
        Self { from: self.from + by, to: self.to + by, known, ..self }
    }

    fn at(
        &self,
        share: f64,
        mechanism: &dyn Mechanism,
        path: &dyn Path,
    ) -> Result<Instant, Blocked> {
        let back = share >= 0.5;
        let (from, way) =
            if back { (self.to, self.from - self.to) } else { (self.from, self.to - self.from) };
        let [p, d, dd] = progress(self.easing, if back { 2.0 * share - 1.0 } else { 2.0 * share });
        let limb = from + way * p;
        let per = self.time.map_or(0.0, |t| 1.0 / t.0);
        let (speed, acceleration) = (way * d * per, way * dd * per * per);
        let (at, first, second) = match &self.told {
            Some(bar) => self.find(limb, bar, &Shaft::turning(bar.motor()))?,
            None => self.find(limb, mechanism, path)?,
        };
        let rate = speed / first;
        Ok(Instant {
            at,
            speed: rate,
            acceleration: (acceleration - second * rate * rate) / first,
            way: if (way >= 0.0) == (first >= 0.0) { 1.0 } else { -1.0 },
        })
    }

    /// The motor's coordinate that puts the limb at an angle, and how the limb's angle
    /// changes with it.
    fn find(
        &self,
        limb: f64,
        mechanism: &dyn Mechanism,
        path: &dyn Path,
    ) -> Result<(f64, f64, f64), Blocked> {
        let [(a, at_a), (b, at_b)] = self.known;
        let share = if b == a { 0.0 } else { (limb - a) / (b - a) };
        let mut at = at_a + (at_b - at_a) * share;
        let goal = Dir::radians(Rad(limb));
        for _ in 0..STEPS {
            let body = mechanism.motion(&path.motion(at)?)?.limb;
            let (first, second) = body.turn_rates();
            let off = goal.from(Dir::along(body.cos.v, body.sin.v).ok_or(Blocked::DeadCentre)?);
            let off = off.angle().0;
            // Far off, where the curve bends too much to be believed, Newton's step.
            let bends = 1.0 + off * second / (2.0 * first * first);
            let by = off / first / if bends > 0.5 { bends } else { 1.0 };
            at += by;
            if by.abs() < LAST {
                return Ok((at, first + second * by, second));
            }
        }
        Err(Blocked::DeadCentre)
    }
}
