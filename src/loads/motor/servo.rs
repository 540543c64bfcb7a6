//! A servo that holds its limb all evening.

use super::{Job, Work, codes, pull};
use crate::finding::{Severity, Step};
use crate::fit::{Fitted, FittedFigure, FittedServo};
use crate::geometry::Dir;
use crate::loads::{Effort, MassProperties};
use crate::mechanism::Path as _;
use crate::model::{Action, Limb};
use crate::units::print::decimal;
use crate::units::{Deg, Mm, NewtonMetre, Rpm, System, print};

/// A servo holds a quarter of its stall torque without getting hot (common practice, no
/// source).
pub(in crate::loads) const HOLD: f64 = 0.25;

/// What a servo bears.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ServoLoad {
    /// Torque that stops it.
    pub stall: NewtonMetre,
    /// The most it holds at any place it is told to stand at, at its own shaft.
    pub hold: NewtonMetre,
    /// The limb angle there; `None` where it draws a cord.
    pub at: Option<Deg>,
    /// Its speed under that torque, where its sheet gives one.
    pub speed: Option<Rpm>,
    /// Turn of the limb for each turn of its shaft: 1 with equal arms, else the mean over
    /// its travel.
    pub ratio: f64,
    /// The least and the largest limb angle it is told to stand at.
    pub between: (Deg, Deg),
}

impl ServoLoad {
    /// Share of its stall torque.
    #[must_use]
    pub fn share(&self) -> f64 {
        self.hold / self.stall
    }
}

impl Job<'_, '_> {
    pub(super) fn servo(&mut self) -> Option<Work> {
        let index = self.limb();
        let fitted = self.bench.fitted;
        let limb = &fitted.figure.limbs[index];
        let Some(Fitted::Servo(servo)) = fitted.limbs[index].mechanism.as_ref() else {
            return None;
        };
        // A limb that rides counts its angles from its carrier's axis, and hangs as that stands.
        let riding = fitted.limbs[index].riding.as_ref();
        let seen = riding.map_or(limb, |r| &r.figure.limbs[index]);
        let turned = carried(fitted, index);
        let mass = self.bench.limbs[index].mass;
        let stall = self.actuator().motor.stall;
        let (Some(mass), Some(stall)) = (mass, stall) else {
            let (what, clause) = match stall {
                None => (
                    "what the servo can hold (its stall torque is not given)",
                    "stall 3.5 kgf.cm 0.8 A",
                ),
                Some(_) => (
                    "what the servo holds (weight is not known)",
                    "weighed 0.12 kg  balances 60 mm",
                ),
            };
            self.not_made(what, clause);
            return None;
        };
        let (hold, at) = match &servo.cord {
            None if fitted.carried(index).is_some() => {
                aboard(fitted, index, &mass).map(|(hold, at)| (hold, Some(at)))?
            }
            None => worst((seen, turned), &mass, servo).map(|(hold, at)| (hold, Some(at)))?,
            // Weight, spring and drag through the cord, standing still at the worst place.
            Some(_) => {
                let cycle = self.bench.limbs[index].cycle.as_ref().map(|c| &c.motor);
                let turns = cycle.filter(|c| c.effort != Effort::Force)?;
                (NewtonMetre(turns.start.0.abs()), None)
            }
        };
        let share = hold.0 / stall.0;
        let speed = servo.fastest.map(|free| free * (1.0 - share).max(0.0));
        let told = poses(seen, servo);
        let between = ends(&told);
        let load = ServoLoad { stall, hold, at, speed, ratio: ratio(servo), between };
        if share > HOLD {
            let motor = self.actuator().motor.name.clone();
            let message = format!(
                "{} asks {} of its servo to stay{}, {} % of what stops `{motor}`; it gets hot above 25.",
                self.name(),
                self.torque(hold),
                at.map_or(String::new(), |at| format!(" at {} deg", decimal(at.0, 0))),
                decimal(share * 100.0, 0)
            );
            let loaded = limb.load.map_or(0.0, |l| l.0.abs()) * load.ratio;
            // What a counterweight leaves: the load alone.
            let help = match loaded > HOLD * stall.0 {
                true => format!(
                    "its load alone takes {} and no counterweight helps against that: hold it up with a spring, \
                     or take a servo that stops at {}.",
                    self.torque(NewtonMetre(loaded)),
                    self.torque(NewtonMetre(hold.0 / HOLD))
                ),
                false => balance(limb, &mass, self.system()),
            };
            let found = self.report(&codes::SERVO_HOLDS, message);
            if share >= 1.0 {
                found.severity = Severity::Error;
            }
            found.help = Some(help);
            found.worked = vec![
                Step::new("stays at", "", {
                    at.map_or("-".to_owned(), |at| format!("{} deg", decimal(at.0, 1)))
                }),
                Step::new("it gets hot above", "", format!("{} %", decimal(HOLD * 100.0, 0))),
            ];
        }
        Some(Work::Servo(load))
    }
}

/// The poses a limb is told to stand at, in the turn of the servo's reach.
fn poses(limb: &Limb, servo: &FittedServo) -> Vec<Deg> {
    let mut all: Vec<Deg> = limb.rest.iter().map(|r| r.value).collect();
    for gesture in &limb.gestures {
        match &gesture.action {
            Action::Turn { to, .. } | Action::Pose(to) => all.push(to.value),
            Action::Sweep { from, to, .. } => all.extend([from.value, to.value]),
            Action::Follow { range: Some((a, b)), .. } => all.extend([*a, *b]),
            _ => {}
        }
    }
    if all.is_empty() {
        all = vec![servo.low, servo.high];
    }
    all.iter().map(|a| *a + servo.turn_for((*a, *a))).collect()
}

/// The least and the largest of some angles.
fn ends(angles: &[Deg]) -> (Deg, Deg) {
    let none = (Deg(f64::MAX), Deg(f64::MIN));
    angles.iter().fold(none, |(low, high), at| (low.min(*at), high.max(*at)))
}

/// The least and the largest angle on the board of what a limb's angles count from:
/// nought, or wherever the axis of the limb that carries it goes.
fn carried(fitted: &FittedFigure, index: usize) -> (Deg, Deg) {
    let Some(riding) = fitted.limbs[index].riding.as_ref() else { return (Deg(0.0), Deg(0.0)) };
    let resting = (riding.at_rest, riding.at_rest);
    let (low, high) = match fitted.limbs[riding.carrier].mechanism.as_ref() {
        Some(Fitted::Servo(servo)) => {
            let own = fitted.limbs[riding.carrier].riding.as_ref();
            let limbs = own.map_or(&fitted.figure.limbs, |r| &r.figure.limbs);
            ends(&poses(&limbs[riding.carrier], servo))
        }
        Some(Fitted::Spin(_)) => (Deg(0.0), Deg(360.0)),
        Some(driven) => {
            let limits = driven.follows().and_then(|f| f.travel).and_then(|t| t.swing().copied());
            limits.map_or(resting, |l| (l.low, l.low + l.range()))
        }
        None => resting,
    };
    // What carries the carrier turns them both.
    let below = carried(fitted, riding.carrier);
    (low + below.0, high + below.1)
}

/// Turn of the limb for each turn of the servo. With equal arms it is 1 everywhere; with
/// others the mean of the travel is taken.
fn ratio(servo: &FittedServo) -> f64 {
    let reach = (servo.high - servo.low).0;
    let travel = (servo.shaft_at_high - servo.shaft_at_low).0;
    if travel.abs() > 1e-9 { (reach / travel).abs() } else { 1.0 }
}

/// Places of its carrier at which a limb that rides is looked at: of a carrier that goes
/// round one for each degree, which misses the worst by less than a 25 000th.
const PLACES: u32 = 360;

/// The most it holds, at its own shaft, and where; its carrier anywhere between two angles.
fn worst(
    (limb, (least, most)): (&Limb, (Deg, Deg)),
    mass: &MassProperties,
    servo: &FittedServo,
) -> Option<(NewtonMetre, Deg)> {
    let places = if most > least { PLACES } else { 0 };
    let held = poses(limb, servo).into_iter().map(|at| {
        let rate = servo.rate(at).unwrap_or_else(|| ratio(servo));
        let torque = (0..=places)
            .map(|n| least + (most - least) * (f64::from(n) / f64::from(PLACES)))
            .map(|carrier| pull::holding(limb, mass, at + carrier).abs())
            .fold(0.0, f64::max);
        (NewtonMetre(torque * rate), at)
    });
    held.reduce(|a, b| if b.0 > a.0 { b } else { a })
}

/// The most it holds where its limb rides and its rod comes from the board: its arm where
/// it is told to stand with the carrier at rest, the carrier anywhere. At which angle of the
/// limb on the board.
fn aboard(
    fitted: &FittedFigure,
    index: usize,
    mass: &MassProperties,
) -> Option<(NewtonMetre, Deg)> {
    let limb = &fitted.figure.limbs[index];
    let Some(Fitted::Servo(at_rest)) = fitted.carried_at_rest(index) else {
        return None;
    };
    let (least, most) = fitted.range(limb.carrier?)?;
    let places = if most > least { PLACES } else { 0 };
    let arms: Vec<f64> = poses(limb, &at_rest)
        .into_iter()
        .map(|at| at_rest.arm_at(at_rest.shaft_for(at)).rad().0)
        .collect();
    let (low, high) = fitted.carried_ends(index)?;
    let middle = (low + high) / 2.0;
    let held = (0..=places).flat_map(|n| {
        let carrier = least + (most - least) * (f64::from(n) / f64::from(PLACES));
        let so = fitted.aboard(index, Some(carrier));
        arms.iter().filter_map(move |arm| {
            let so = so.as_ref()?;
            let limb = so.mechanism.motion(&so.way.motion(*arm).ok()?).ok()?.limb;
            let at = Dir::along(limb.cos.v, limb.sin.v)?.deg();
            Some((middle + (at - middle).signed(), limb.turn_rates().0.abs()))
        })
    });
    let torque =
        |(at, rate): (Deg, f64)| (NewtonMetre(pull::holding(limb, mass, at).abs() * rate), at);
    held.map(torque).reduce(|a, b| if b.0 > a.0 { b } else { a })
}

/// The weight that balances a limb 60 mm behind its bolt.
fn balance(limb: &Limb, mass: &MassProperties, system: System) -> String {
    const AT: f64 = 60.0;
    if limb.build.counterweight.is_some() {
        return "make its counterweight heavier, or take a stronger servo.".to_owned();
    }
    let far = libm::hypot(mass.centre.x, mass.centre.y);
    let weight = mass.mass * (far / AT);
    format!(
        "a counterweight of {} {} behind the bolt balances it (`counterweight {} g at {} mm`); or take a \
         stronger servo.",
        print::mass(weight, system),
        print::length(Mm(AT), system),
        decimal(weight.0 * 1000.0, 0),
        decimal(AT, 0),
    )
}
