//! A servo in the wind: what a gust asks of its gears and of its shaft's own bearing.
//!
//! A limb that rides on others is looked at over all the angles that its own reach and
//! theirs bring it to; what rides on a servo's limb is blown at as drawn and turns with it.
//! A cord only pulls: the gust that lifts its limb off it meets no gear, the one that pulls
//! at it does.

use super::gust::{EDGE_ON, Gust};
use super::hole::usual_bolt;
use super::mass::MassProperties;
use super::motor::{ServoLoad, holding};
use super::wind_area::{HINGE_FORCE, PRESSURE};
use super::wind_codes::{SERVO_BLOWN, SERVO_CARRIES_LIMB};
use super::wind_limb::left_out;
use super::wind_limit::{Input, Limit, When, input};
use crate::fit::{Fitted, FittedFigure};
use crate::geometry::{Body, Dir};
use crate::mechanism::Travel;
use crate::model::{Figure, Limb, Note};
use crate::units::{Deg, MetrePerSec, System};

/// Poses of a limb's reach at which the wind along the board is looked at; between two
/// of them a long limb's torque changes by less than a hundredth.
const POSES: usize = 90;

/// What of a servo's limb may give way in the wind, and what could not be checked.
pub(super) fn of_servo(
    fitted: &FittedFigure,
    index: usize,
    mass: &MassProperties,
    load: &ServoLoad,
    moment: Option<f64>,
) -> (Vec<Limit>, Vec<Note>) {
    let figure = &*fitted.figure;
    let limb = &figure.limbs[index];
    let Some(Fitted::Servo(servo)) = fitted.limbs[index].mechanism.as_ref() else {
        return (Vec::new(), Vec::new());
    };
    let mut limits = Vec::new();
    let mut notes = Vec::new();
    let motor = figure.motor_of(index).and_then(|m| figure.actuators.get(m));
    let own = motor.is_some_and(|m| !m.motor.typical);
    let stall = input("stall", load.stall.0, "N.m").worked_or_typical(own);
    let direct = servo.linkage.is_none() && servo.cord.is_none();
    if let Some(moment) = moment.filter(|_| direct && limb.bolt.is_none()) {
        limits.push(carries(limb, moment, stall.clone(), fitted.figure.system));
    }
    // By a rod from the board it goes as far as servo and carrier together take it.
    let aboard = fitted.carried_ends(index);
    let level = aboard.map(|_| (Deg(0.0), Deg(0.0)));
    let Some(carried) = level.or_else(|| carried_over(fitted, index)) else {
        let first = "it is known how far the limb turns that it rides on";
        notes.push(Note::after("what a gust asks of its servo", first));
        return (limits, notes);
    };
    let blown_at = Blown::of(figure, index);
    // What rides is told bends: its whole reach is taken.
    let rides = limb.carrier.is_some();
    let reach = if rides { (servo.low, servo.high) } else { load.between };
    let between = aboard.unwrap_or(reach);
    let over = (between, carried);
    match blown_at.and_then(|at| worst(limb, mass, load, &at, over, servo.cord.is_some())) {
        Some(pose) => {
            let riders = figure.limbs.iter().any(|l| l.carrier == Some(index));
            limits.push(blown(limb, &pose, stall, servo.cord.is_some(), riders));
        }
        None => notes.push(Note::new(
            "what a gust asks of its servo (its shape or sheet is not known)",
            "sheet plywood-6  outline (x, y) (x, y) (x, y) mm",
        )),
    }
    (limits, notes)
}

/// How far what carries a limb turns it from where it is drawn, both ways; nought for a limb
/// on the board. `None` where a carrier's own travel is not known.
fn carried_over(fitted: &FittedFigure, index: usize) -> Option<(Deg, Deg)> {
    let (mut low, mut high) = (Deg(0.0), Deg(0.0));
    let mut at = index;
    for _ in 0..fitted.figure.limbs.len() {
        let Some(carrier) = fitted.figure.limbs[at].carrier else { break };
        let drawn = fitted.figure.limbs[carrier].drawn()?.1.deg();
        let (from, to) = turns(fitted, carrier, drawn)?;
        (low, high) = (low + (from - drawn), high + (to - drawn));
        at = carrier;
    }
    Some((low, high))
}

/// The least and the largest angle of a limb, near the one it is drawn at.
fn turns(fitted: &FittedFigure, index: usize, drawn: Deg) -> Option<(Deg, Deg)> {
    match fitted.limbs[index].mechanism.as_ref() {
        None if fitted.figure.limbs[index].drive.is_none() => Some((drawn, drawn)),
        None => None,
        Some(Fitted::Servo(servo)) => Some((servo.low, servo.high)),
        Some(Fitted::Spin(_)) => Some((drawn - Deg(180.0), drawn + Deg(180.0))),
        Some(mechanism) => match mechanism.follows()?.travel? {
            Travel::Swing(l) => Some((l.low, l.high)),
            Travel::Stroke(_) => Some((drawn, drawn)),
        },
    }
}

/// A limb and what rides on it, as the wind along the board finds them at 1 m/s.
struct Blown {
    pivot: (f64, f64),
    /// Each with its place in the limb's own plane, and its axis there.
    parts: Vec<(Gust, (f64, f64), Dir)>,
}

impl Blown {
    fn of(figure: &Figure, index: usize) -> Option<Self> {
        let limb = &figure.limbs[index];
        let (pivot, axis) = limb.drawn()?;
        let mut parts = Vec::new();
        for (n, other) in figure.limbs.iter().enumerate() {
            if n != index && !rides_on(figure, n, index) {
                continue;
            }
            let Some(gust) = Gust::on(other, figure, MetrePerSec(1.0), 0.0) else {
                // What rides on it and has no known shape is left out, the limb itself not.
                if n == index {
                    return None;
                }
                continue;
            };
            let (at, own) = other.drawn()?;
            let at = limb.own(at)?;
            parts.push((gust, (at.x, at.y), own.from(axis)));
        }
        Some(Self { pivot: (pivot.x, pivot.y), parts })
    }

    /// Torque about the limb's pivot with its axis at an angle, N.m.
    fn torque(&self, at: Deg) -> f64 {
        let (sin, cos) = libm::sincos(at.rad().0);
        let each = |(gust, (x, y), own): &(Gust, (f64, f64), Dir)| {
            let (px, py) = (x * cos - y * sin, x * sin + y * cos);
            let body = Body {
                x: self.pivot.0 + px,
                y: self.pivot.1 + py,
                cos: cos * own.x() - sin * own.y(),
                sin: sin * own.x() + cos * own.y(),
            };
            gust.torque_about(&body, self.pivot.1)
        };
        self.parts.iter().map(each).sum()
    }
}

/// Whether a limb rides on another, itself or through what carries it.
fn rides_on(figure: &Figure, rider: usize, carrier: usize) -> bool {
    let mut at = rider;
    for _ in 0..figure.limbs.len() {
        match figure.limbs[at].carrier {
            Some(c) if c == carrier => return true,
            Some(c) => at = c,
            None => return false,
        }
    }
    false
}

/// A pose of a limb on its servo: what is asked of the servo's shaft there.
struct Pose {
    /// The limb's angle.
    at: Deg,
    /// To hold it still, N.m.
    hold: f64,
    /// By wind along the board on its edge, N.m for each (m/s)^2.
    edge: f64,
}

impl Pose {
    /// The square of the gust at which it asks all of a torque.
    fn square(&self, stall: f64) -> f64 {
        (stall - self.hold) / self.edge
    }
}

/// The pose, among all between those it is told to stand at, in which the least gust
/// turns it back.
fn worst(
    limb: &Limb,
    mass: &MassProperties,
    load: &ServoLoad,
    blown: &Blown,
    (between, carried): ((Deg, Deg), (Deg, Deg)),
    cord: bool,
) -> Option<Pose> {
    let (low, high) = (between.0 + carried.0, between.1 + carried.1);
    let poses = (0..=POSES).map(|i| {
        let at = low + (high - low) * (i as f64 / POSES as f64);
        let edge = blown.torque(at) * load.ratio;
        // A cord's pull has spring and eyes in it: the most it holds anywhere is taken.
        let own = holding(limb, mass, at).abs() * load.ratio;
        Pose { at, hold: if cord { load.hold.0 } else { own }, edge }
    });
    let stall = load.stall.0;
    poses.reduce(|a, b| if b.square(stall) < a.square(stall) { b } else { a })
}

fn shape_left_out(limb: &Limb) -> bool {
    left_out(limb, "outline") || left_out(limb, "sheet")
}

/// The weight and the gust on the servo's own bearing.
fn carries(limb: &Limb, moment: f64, stall: Input, system: System) -> Limit {
    Limit {
        code: &SERVO_CARRIES_LIMB,
        when: When::Stand,
        severity: SERVO_CARRIES_LIMB.severity,
        goes: "its servo's shaft is bent",
        says: [
            format!(
                "pushes {}, which has no bolt of its own, sideways on its servo's shaft with ",
                limb.said()
            ),
            ", and ".into(),
            " is the torque its gears are made for".into(),
        ],
        calm: 0.0,
        per_gust2: moment,
        bears: stall.value,
        unit: "N.m",
        inputs: vec![
            input("moment_per_gust2", moment, "N.m/(m/s)2"),
            input("force_coefficient", HINGE_FORCE, "1").fixed(),
            stall,
        ],
        typical: Vec::new(),
        left_out: shape_left_out(limb),
        help: match usual_bolt(limb, system) {
            Some(bolt) => format!(
                "let a bolt in a bushing carry the limb and the servo only turn it; where it is so, write \
                 `bolt {bolt}  bushing nylon`."
            ),
            None => "let a bolt in a bushing carry the limb and the servo only turn it, and leave it wood enough \
                     round the bolt."
                .into(),
        },
    }
}

/// Wind along the board against the servo's gears, on top of what it holds.
fn blown(limb: &Limb, pose: &Pose, stall: Input, cord: bool, riders: bool) -> Limit {
    Limit {
        code: &SERVO_BLOWN,
        when: When::Stand,
        severity: SERVO_BLOWN.severity,
        goes: "its servo is turned back",
        says: [
            if cord {
                format!("along the board pulls {} and its cord against the servo with ", limb.said())
            } else {
                format!(
                    "along the board, with its weight, turns {} against its servo with ",
                    limb.said()
                )
            },
            ", and ".into(),
            " is all it has".into(),
        ],
        calm: pose.hold,
        per_gust2: pose.edge,
        bears: stall.value,
        unit: "N.m",
        inputs: vec![
            input("limb_angle", pose.at.0, "deg"),
            input("hold", pose.hold, "N.m"),
            input("torque_per_gust2", pose.edge, "N.m/(m/s)2"),
            input("air", PRESSURE * EDGE_ON, "N/m2/(m/s)2").fixed(),
            stall,
        ],
        typical: if riders { vec!["pose of what rides on it (as drawn)"] } else { Vec::new() },
        left_out: shape_left_out(limb),
        help: "put a spring in its rod, balance it, or take a stronger servo: above all of its torque \
               its gears strip."
            .into(),
    }
}
