//! The bars of a linkage as bodies with a weight: crank, rod and lever, where it is said or
//! follows from the stock they are cut from, as long as they are cut. A rod that is bent
//! weighs as if it were straight, and holes are not taken off.

use super::mass::{GRAVITY, MassProperties};
use super::pace::Instant;
use crate::fit::{FittedFigure, bar_length};
use crate::geometry::{Body, Jet, Point};
use crate::mechanism::{Input, Mechanism};
use crate::units::Kg;

/// A bar: what it weighs, and its moment of inertia about its own middle, kg.m2.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Piece {
    /// What it weighs.
    pub mass: Kg,
    /// A slender bar's, m L^2/12.
    pub inertia: f64,
    /// From its first pin to its middle, as a share of the way to its other pin: more than
    /// half where it is cut longer for holes to try.
    pub middle: f64,
    /// How long it is cut, mm.
    pub long: f64,
    /// The share of its weight that its holes take off at most; nought where the weight was
    /// said.
    pub holes: f64,
}

/// The bars of one limb's mechanism; those without a known weight count as weightless.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Bars {
    /// On the motor's shaft.
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
    pub fn of(
        fitted: &FittedFigure,
        index: usize,
        mechanism: &dyn Mechanism,
        length: Option<f64>,
    ) -> Self {
        let Some(pins) = mechanism.rod() else { return Self::default() };
        let build = &fitted.figure.limbs[index].build;
        let far = |p: [f64; 2]| Some(libm::hypot(p[0], p[1]));
        let piece = |nth: usize, used: Option<f64>| {
            let used = used.filter(|u| *u > 0.0)?;
            let (stock, said) = (build.bars[nth].as_deref(), build.bar_masses[nth]);
            if stock.is_none() && said.is_none() {
                return None;
            }
            let cut = bar_length::cut(fitted, index, nth, used);
            let weighs = stock.and_then(|s| s.metre).map(|metre| metre * (cut.long * 1e-3));
            let mass = said.or(weighs)?;
            let take = stock.map_or(0.0, |s| bar_length::holes_take(&cut, s.width));
            Some(Piece {
                mass,
                inertia: mass.0 * cut.long * cut.long * 1e-6 / 12.0,
                middle: cut.middle / used,
                long: cut.long,
                holes: if said.is_some() { 0.0 } else { take },
            })
        };
        let (crank, rod, lever) =
            (piece(0, far(pins[0])), piece(1, length), piece(2, far(pins[1])));
        Self { crank, rod, lever, pins }
    }

    /// The limb with its lever.
    #[must_use]
    pub fn with_lever(&self, limb: MassProperties) -> MassProperties {
        let Some(lever) = self.lever else { return limb };
        let [x, y] = self.pins[1];
        let at = Point::mm(x * lever.middle, y * lever.middle);
        limb.with(lever.mass, at, lever.inertia)
    }

    /// What crank and rod ask.
    pub(super) fn work(&self, input: &Input<Jet>, limb: &Body<Jet>, now: &Instant) -> Asked {
        let mut asked = (0.0, 0.0);
        let [near, far] = self.pins;
        if let Some(crank) = self.crank {
            let (_, second) = input.driver.turn_rates();
            let turn = input.driver.turn_rates().0;
            let at = input.driver.place(near[0] * crank.middle, near[1] * crank.middle);
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
            let middle = ((a.0 + b.0) * 0.5, (a.1 + b.1) * 0.5);
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
