//! The bars of a linkage as bodies with a weight: crank, rod and lever, where they are cut
//! from stock whose material is known.

use super::mass::{GRAVITY, MassProperties};
use super::pace::Instant;
use crate::geometry::{Body, Jet, Point, Real};
use crate::mechanism::{Input, Mechanism};
use crate::model::DriveKind;
use crate::units::{Kg, Mm};

/// A bar: what it weighs, and its moment of inertia about its own middle, kg.m2.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Piece {
    /// What it weighs.
    pub mass: Kg,
    /// A slender bar's, m L^2/12.
    pub inertia: f64,
}

impl Piece {
    fn of((mass, long): (Kg, Mm)) -> Self {
        Self { mass, inertia: mass.0 * long.0 * long.0 * 1e-6 / 12.0 }
    }
}

/// The bars of one limb's mechanism; those without a known weight count as weightless.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Bars {
    /// On the motor's shaft, its middle half way to its pin.
    pub crank: Option<Piece>,
    /// From pin to pin.
    pub rod: Option<Piece>,
    /// On the limb's bolt; in front it is counted with the limb.
    pub lever: Option<Piece>,
    /// The rod's pins: on the driver, and on the limb.
    pub pins: [[f64; 2]; 2],
}

/// What bodies ask of the motor, N.mm for each radian, or N for each mm: against weight,
/// against inertia.
pub(super) type Asked = (f64, f64);

impl Bars {
    /// Of a limb's mechanism and what was said of its bars; `length` is its rod's, mm.
    #[must_use]
    pub fn of(drive: &DriveKind, mechanism: &dyn Mechanism, length: Option<f64>) -> Self {
        let Some(pins) = mechanism.rod() else { return Self::default() };
        let [crank, rod, lever] = drive.bars_said().map(|s| s.and_then(|s| s.bar));
        let far = |p: [f64; 2]| Some(Mm(libm::hypot(p[0], p[1])));
        let piece = |bar: Option<crate::model::Bar>, pins: Option<Mm>| {
            bar.zip(pins).and_then(|(b, p)| b.piece(p)).map(Piece::of)
        };
        Self {
            crank: piece(crank, far(pins[0])),
            rod: piece(rod, length.map(Mm)),
            lever: piece(lever, far(pins[1])),
            pins,
        }
    }

    /// The limb with its lever.
    #[must_use]
    pub fn with_lever(&self, limb: MassProperties) -> MassProperties {
        let Some(lever) = self.lever else { return limb };
        let [x, y] = self.pins[1];
        limb.with(lever.mass, Point::mm(x / 2.0, y / 2.0), lever.inertia)
    }

    /// What crank and rod ask.
    pub(super) fn work(&self, input: &Input<Jet>, limb: &Body<Jet>, now: &Instant) -> Asked {
        let mut asked = (0.0, 0.0);
        let [near, far] = self.pins;
        if let Some(crank) = self.crank {
            let (_, second) = input.driver.turn_rates();
            let turn = input.driver.turn_rates().0;
            let at = input.driver.place(near[0] / 2.0, near[1] / 2.0);
            moved(&mut asked, crank, at, (turn, second), now);
        }
        if let Some(rod) = self.rod {
            let a = input.driver.place(near[0], near[1]);
            let b = limb.place(far[0], far[1]);
            let (x, y) = (b.0 - a.0, b.1 - a.1);
            let square = x.v * x.v + y.v * y.v;
            // Its length stays, so that its direction turns by cross products alone.
            let turn = (x.v * y.d - y.v * x.d) / square;
            let second = (x.v * y.dd - y.v * x.dd) / square;
            let half = Jet::constant(0.5);
            let middle = ((a.0 + b.0) * half, (a.1 + b.1) * half);
            moved(&mut asked, rod, middle, (turn, second), now);
        }
        asked
    }

    /// Half the rod's weight and inertia on one of its pins: the force it puts there, N.
    pub(super) fn on_pin(&self, pin: (Jet, Jet), now: &Instant) -> [f64; 2] {
        let half = self.rod.map_or(0.0, |r| r.mass.0 / 2.0);
        let (w, a) = (now.speed, now.acceleration);
        let rate = |j: Jet| (j.d * a + j.dd * w * w) * 1e-3;
        [-half * rate(pin.0), -half * (rate(pin.1) + GRAVITY)]
    }
}

/// Adds what a moving bar asks.
fn moved(asked: &mut Asked, bar: Piece, at: (Jet, Jet), turns: (f64, f64), now: &Instant) {
    let (w, a) = (now.speed, now.acceleration);
    let rate = |j: Jet| (j.d * a + j.dd * w * w) * 1e-3;
    let m = bar.mass.0;
    let turning = turns.0 * a + turns.1 * w * w;
    asked.0 += now.way * m * GRAVITY * at.1.d;
    asked.1 += now.way
        * (m * (rate(at.0) * at.0.d + rate(at.1) * at.1.d) + bar.inertia * turning * 1e3 * turns.0);
}
