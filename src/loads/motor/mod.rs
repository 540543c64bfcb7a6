//! Motors as they are: what each bears, how fast it then turns, what happens when its
//! limb is held, and what the maker's figures are worth.
//!
//! One [`MotorPoint`] for each motor of a figure, since several limbs may hang on one.

mod bench_test;
mod brushed;
pub mod codes;
mod data;
mod lets_go;
mod line;
mod pull;
mod servo;
mod strut;
mod synchronous;

pub(super) use brushed::HAND as HAND_STANDS;
pub use brushed::{BrushedLoad, Jam, Locks, SLOWER};
pub use line::{Feeding, LOCKS, Line, Running, TURNS_BACK};
pub use pull::Fastest;
pub(super) use pull::{fastest, holding};
pub(super) use servo::HOLD;
pub use servo::ServoLoad;
pub use strut::StrutLoad;
pub use synchronous::SynchronousLoad;

use super::{Bench, TorqueCurve};
use crate::finding::{Code, Finding};
use crate::model::{Actuator, MotorKind, Note};
use crate::units::{NewtonMetre, Ohm, Rpm, System, Volt, print};

/// What a motor of a figure bears.
#[derive(Clone, Debug, Default)]
pub struct MotorPoint {
    /// What stands at the end of its cable; `None` where no voltage is known.
    pub feeding: Option<Feeding>,
    /// What it does there; `None` where its figures do not say enough (noted).
    pub work: Option<Work>,
    /// Of a ram or a spool: the share of its free speed that its load leaves it over its
    /// whole way, growing longer and shorter; `None` where that is not known.
    pub left: Option<[f64; 2]>,
    /// How fast its gestures ask it to turn, where their cycles are lengths of time that are
    /// known.
    pub wanted: Vec<Wanted>,
}

/// How fast a gesture asks a motor to turn.
#[derive(Clone, Debug, PartialEq)]
pub struct Wanted {
    /// The gesture.
    pub gesture: String,
    /// The fastest of its shaft.
    pub speed: Rpm,
}

/// The same by kind.
#[derive(Clone, Debug)]
pub enum Work {
    /// A brushed motor, or one that winds a cord.
    Brushed(Box<BrushedLoad>),
    /// In step with the mains.
    Synchronous(SynchronousLoad),
    /// A servo.
    Servo(ServoLoad),
    /// A ram or an air cylinder.
    Strut(StrutLoad),
}

impl MotorPoint {
    /// A brushed motor's load.
    #[must_use]
    pub fn brushed(&self) -> Option<&BrushedLoad> {
        match self.work.as_ref()? {
            Work::Brushed(load) => Some(load),
            _ => None,
        }
    }
}

/// One motor at work.
struct Job<'b, 'a> {
    bench: &'b mut Bench<'a>,
    /// Its index in the figure.
    motor: usize,
    /// The limbs it moves straight, by index.
    limbs: Vec<usize>,
}

impl Bench<'_> {
    /// Looks at every motor, after the torque each must give is known.
    pub fn motors(&mut self) {
        let curves = std::mem::take(&mut self.curves);
        let figure = &self.fitted.figure;
        self.motors = vec![MotorPoint::default(); figure.actuators.len()];
        for motor in 0..figure.actuators.len() {
            let limbs: Vec<usize> = figure.driven_by(motor).collect();
            let Some(&first) = limbs.first() else { continue };
            if figure.limbs[first].poisoned {
                continue;
            }
            let curve = curves.get(motor).and_then(Option::as_ref);
            Job { bench: self, motor, limbs }.done(curve);
        }
    }
}

impl Job<'_, '_> {
    fn done(&mut self, curve: Option<&TorqueCurve>) {
        let kind = self.actuator().motor.kind;
        let feeding = self.feeding(kind);
        self.data();
        self.bench_test();
        let work = match kind {
            MotorKind::Brushed | MotorKind::Spool => self.brushed(feeding, curve),
            MotorKind::Synchronous => self.synchronous(curve),
            MotorKind::Servo => self.servo(),
            MotorKind::Ram | MotorKind::Cylinder => self.strut(),
        };
        let left = self.left(work.as_ref());
        let wanted = self.bench.wanted.get(self.motor).cloned().unwrap_or_default();
        self.lets_go(kind);
        self.bench.motors[self.motor] = MotorPoint { feeding, work, left, wanted };
    }

    /// What its load leaves a ram or a spool of its speed.
    fn left(&mut self, work: Option<&Work>) -> Option<[f64; 2]> {
        let rod = self.bench.rods.get(self.motor).cloned().flatten();
        let motor = &self.actuator().motor;
        match (motor.kind, work) {
            (MotorKind::Ram, _) => {
                let (speed, point) = (motor.speed_mm_s, motor.loaded);
                let Some(stops) = motor.stops_at() else {
                    if let (Some(free), Some((loaded, force))) = (speed, point) {
                        self.not_slowed(free, loaded, force);
                    } else if speed.is_some() {
                        self.not_made(
                            "its speed under load (lift a known weight straight up and time the stroke)",
                            "raised 10 kg  100 mm in 14 s",
                        );
                    }
                    return None;
                };
                let left = rod?.left(stops.0);
                if left.is_none() {
                    let force = print::force(stops, self.bench.fitted.figure.system);
                    let what =
                        format!("its speed under load: by its two speeds it stops at {force}");
                    self.not_made(what, "");
                }
                left
            }
            (MotorKind::Spool, Some(Work::Brushed(load))) => {
                let fed = load.free.0 / motor.free?.0;
                // Its limit stops it sooner, but below that it is as fast.
                let stops = load.line.stall(load.feeding);
                Some(rod?.left(stops.0)?.map(|left| left * fed))
            }
            _ => None,
        }
    }

    /// A load that did not slow a ram says nothing of a heavier one.
    fn not_slowed(&mut self, free: f64, loaded: f64, force: crate::units::Newton) {
        let system = self.bench.fitted.figure.system;
        let what = format!(
            "its speed under load ({} at {} is not below the {} without load)",
            print::pace(loaded, system),
            print::force(force, system),
            print::pace(free, system)
        );
        self.not_made(what, "raised 20 kg  100 mm in 20 s");
    }

    fn actuator(&self) -> &Actuator {
        &self.bench.fitted.figure.actuators[self.motor]
    }

    /// The first limb it moves: what is said of the motor is said there.
    fn limb(&self) -> usize {
        self.limbs[0]
    }

    /// `figure.limb` of the first limb it moves.
    fn name(&self) -> String {
        let figure = &self.bench.fitted.figure;
        format!("{}.{}", figure.name.value, figure.limbs[self.limb()].name.value)
    }

    /// The household its figure is built in.
    fn system(&self) -> System {
        self.bench.fitted.figure.system
    }

    fn torque(&self, torque: NewtonMetre) -> String {
        print::torque(torque, self.system())
    }

    fn limb_word(&self) -> &str {
        &self.bench.fitted.figure.limbs[self.limb()].name.value
    }

    fn report(&mut self, code: &'static Code, message: String) -> &mut Finding {
        let figure = &self.bench.fitted.figure;
        let limb = &figure.limbs[self.limb()].name.value;
        let found = Finding::new(code, figure.actuators[self.motor].place, message)
            .about(&figure.name.value, Some(limb));
        self.bench.findings.push(found);
        self.bench.findings.last_mut().expect("a finding was pushed in the line above")
    }

    fn assume(&mut self, what: impl Into<String>, settle: impl Into<String>) {
        let limb = self.limb();
        self.bench.limbs[limb].assumed.push(Note::new(what, settle));
    }

    fn not_made(&mut self, what: impl Into<String>, settle: &str) {
        let limb = self.limb();
        self.bench.limbs[limb].not_checked.push(Note::new(what, settle));
    }

    /// The voltage that feeds it, and what lies between.
    fn feeding(&mut self, kind: MotorKind) -> Option<Feeding> {
        let rated = self.actuator().motor.voltage;
        let feed = self.bench.site.feed_of(self.motor).cloned();
        let turns = matches!(kind, MotorKind::Brushed | MotorKind::Spool);
        let Some(feed) = feed else {
            if let Some(volts) = rated.filter(|_| turns) {
                let volts = crate::units::print::decimal(volts.0, 1);
                self.assume(format!("{volts} V at the motor itself"), "power SUPPLY run 14 m");
            }
            return rated.map(|volts| Feeding { volts, ohm: Ohm(0.0) });
        };
        let volts: Volt = feed.voltage.or(rated)?;
        let ohm = feed.ohm();
        if ohm.is_none() && turns {
            self.not_made(
                "what the cable takes from the motor (its length or conductor is not given)",
                "supply NAME at (x, y) m { voltage 12 V  cable 2.5 mm2 }",
            );
        }
        Some(Feeding { volts, ohm: ohm.unwrap_or(Ohm(0.0)) })
    }
}
