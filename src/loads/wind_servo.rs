//! A servo in the wind: what a gust asks of its gears and of its shaft's own bearing.

use super::gust::{EDGE_ON, Gust};
use super::mass::MassProperties;
use super::motor::{ServoLoad, holding};
use super::wind_area::{HINGE_FORCE, PRESSURE};
use super::wind_codes::{SERVO_BLOWN, SERVO_CARRIES_LIMB};
use super::wind_limb::left_out;
use super::wind_limit::{Limit, When, input};
use crate::fit::{Fitted, FittedFigure};
use crate::geometry::Body;
use crate::model::{Limb, Note};
use crate::units::{Deg, MetrePerSec};

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
    let direct = servo.linkage.is_none() && servo.cord.is_none();
    if let Some(moment) = moment.filter(|_| direct && limb.bolt.is_none()) {
        limits.push(carries(limb, moment, load));
    }
    // Cords only pull: the wind lifts the limb off them, and no gear feels it.
    if servo.cord.is_none() && limb.carrier.is_none() {
        let still = Gust::on(limb, figure, MetrePerSec(1.0), 0.0);
        match still.and_then(|gust| worst(limb, mass, load, &gust)) {
            Some(pose) => limits.push(blown(limb, &pose, load)),
            None => notes.push(Note::new(
                "what a gust asks of its servo (its shape or sheet is not known)",
                "sheet plywood-6  outline (x, y) (x, y) (x, y) mm",
            )),
        }
    } else if limb.carrier.is_some() {
        let what = "what a gust asks of its servo (it rides on another limb)";
        notes.push(Note::new(what, ""));
    }
    (limits, notes)
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
fn worst(limb: &Limb, mass: &MassProperties, load: &ServoLoad, gust: &Gust) -> Option<Pose> {
    let (pivot, _) = limb.drawn()?;
    let (low, high) = load.between;
    let poses = (0..=POSES).map(|i| {
        let at = low + (high - low) * (i as f64 / POSES as f64);
        let (sin, cos) = libm::sincos(at.rad().0);
        let edge = gust.torque(&Body { x: pivot.x, y: pivot.y, cos, sin }) * load.ratio;
        Pose { at, hold: holding(limb, mass, at).abs() * load.ratio, edge }
    });
    let stall = load.stall.0;
    poses.reduce(|a, b| if b.square(stall) < a.square(stall) { b } else { a })
}

fn shape_left_out(limb: &Limb) -> bool {
    left_out(limb, "outline") || left_out(limb, "sheet")
}

/// The weight and the gust on the servo's own bearing.
fn carries(limb: &Limb, moment: f64, load: &ServoLoad) -> Limit {
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
        bears: load.stall.0,
        unit: "N.m",
        inputs: vec![
            input("moment_per_gust2", moment, "N.m/(m/s)2"),
            input("force_coefficient", HINGE_FORCE, "1"),
            input("stall", load.stall.0, "N.m"),
        ],
        typical: Vec::new(),
        left_out: shape_left_out(limb),
        help: "let a bolt in a bushing carry the limb and the servo only turn it; where it is so, write \
               `bolt M8  bushing nylon`."
            .into(),
    }
}

/// Wind along the board against the servo's gears, on top of what it holds.
fn blown(limb: &Limb, pose: &Pose, load: &ServoLoad) -> Limit {
    Limit {
        code: &SERVO_BLOWN,
        when: When::Stand,
        severity: SERVO_BLOWN.severity,
        goes: "its servo is turned back",
        says: [
            format!("along the board, with its weight, turns {} against its servo with ", limb.said()),
            ", and ".into(),
            " is all it has".into(),
        ],
        calm: pose.hold,
        per_gust2: pose.edge,
        bears: load.stall.0,
        unit: "N.m",
        inputs: vec![
            input("limb_angle", pose.at.0, "deg"),
            input("hold", pose.hold, "N.m"),
            input("torque_per_gust2", pose.edge, "N.m/(m/s)2"),
            input("air", PRESSURE * EDGE_ON, "N/m2/(m/s)2"),
            input("stall", load.stall.0, "N.m"),
        ],
        typical: Vec::new(),
        left_out: shape_left_out(limb),
        help: "put a spring in its rod, balance it, or take a stronger servo: above all of its torque \
               its gears strip."
            .into(),
    }
}
