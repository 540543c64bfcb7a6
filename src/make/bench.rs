//! The bench: what a finished limb is measured by before it goes out.

use super::{anchor, current, shaft, sound};
use crate::fit::{Ends, Fitted, FittedFigure, Pose, SizeName, StrutPace};
use crate::geometry::{BoardPoint, Dir};
use crate::loads::LoadedFigure;
use crate::loads::motor::Work;
use crate::mechanism::Travel;
use crate::model::{Action, Actuator, DriveKind, Joint, Limb, MotorKind, PulseAt, Source, Turn};
use crate::units::{Amp, Deg, Mm, Rpm, Sec};

/// A distance to lay a tape on, at both ends of the limb's motion.
#[derive(Clone, Debug, PartialEq)]
pub struct Tape {
    /// From what to what: "lever pin to drum shaft".
    pub name: String,
    /// At the lower end.
    pub low: Mm,
    /// At the upper end.
    pub high: Mm,
}

/// What to measure on a limb.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct BenchCard {
    /// The two ends of its motion, as drilled.
    pub ends: Option<(Pose, Pose)>,
    /// Straight distance of the tip's two end places.
    pub tip_to_tip: Option<Mm>,
    /// Time of ten turns of its motor with the limb on it, at full duty.
    pub ten_turns: Option<Sec>,
    /// The same without a load.
    pub ten_free: Option<Sec>,
    /// Current without a load.
    pub free: Option<Amp>,
    /// Mean current with the limb on it.
    pub loaded: Option<Amp>,
    /// Current of the first moment.
    pub start: Option<Amp>,
    /// Of a servo or a ram: whether more than its sheet went into its currents.
    pub currents_assumed: bool,
    /// Of a servo: its own angle, as its pulses count it, at both ends.
    pub shaft_ends: Option<(Deg, Deg)>,
    /// Of a ram or a cylinder: the time from the low end to the high one, and back.
    pub ways: Option<(Sec, Sec)>,
    /// Whether the load on it was counted in that.
    pub ways_loaded: bool,
    /// Which way the shaft turns, seen from behind; `None` for what turns no shaft.
    pub turns_behind: Option<Turn>,
    /// Distances to check.
    pub tapes: Vec<Tape>,
}

/// The card of a limb.
pub(super) fn card(fitted: &FittedFigure, loaded: &LoadedFigure, index: usize) -> BenchCard {
    let figure = &fitted.figure;
    let limb = &figure.limbs[index];
    let ends = ends(fitted, index).map(|e| in_turn(limb, e));
    let mut card = BenchCard {
        ends,
        tip_to_tip: ends.and_then(|e| tip_to_tip(limb, e)),
        tapes: tapes(fitted, index),
        ..BenchCard::default()
    };
    let Some(motor) = figure.motor_of(index) else { return card };
    let actuator = &figure.actuators[motor];
    let turns = matches!(
        actuator.motor.kind,
        MotorKind::Brushed | MotorKind::Synchronous | MotorKind::Spool
    );
    card.turns_behind = turns.then_some(match actuator.turns {
        Turn::Ccw => Turn::Cw,
        Turn::Cw => Turn::Ccw,
    });
    let ten = |speed: Rpm| (speed.0 > 0.0).then(|| Sec(600.0 / speed.0));
    card.free = actuator.motor.free_current.filter(|_| turns);
    match loaded.motors.get(motor).and_then(|m| m.work.as_ref()) {
        Some(Work::Brushed(load)) => {
            card.ten_free = ten(load.free);
            card.ten_turns = load.running.and_then(|r| ten(r.mean));
            card.loaded = load.running.map(|r| r.current);
            card.start = Some(load.start);
        }
        // In step with the mains: as fast as its sheet says, whatever hangs on it.
        Some(Work::Synchronous(_)) => card.ten_turns = actuator.motor.free.and_then(ten),
        Some(Work::Servo(_) | Work::Strut(_)) | None => {}
    }
    if let Some(Fitted::Servo(servo)) = sound(fitted, index) {
        card.shaft_ends = Some((servo.shaft_at_low, servo.shaft_at_high));
    }
    let Some(point) = loaded.motors.get(motor) else { return card };
    if let Some(current) = current::drawn(&actuator.motor, point) {
        (card.loaded, card.start) = (Some(current.running), Some(current.start));
        card.currents_assumed = current.assumed;
    }
    if let Some(ways) = ways(fitted, index, actuator, point.left) {
        card.ways = Some(ways);
        card.ways_loaded = point.left.is_some() || actuator.motor.kind == MotorKind::Cylinder;
    }
    card
}

/// The time a ram or a cylinder takes from the low end to the high one, and back: a
/// cylinder's is that of its throttles, whatever share of its stroke is used.
fn ways(
    fitted: &FittedFigure,
    index: usize,
    actuator: &Actuator,
    left: Option<[f64; 2]>,
) -> Option<(Sec, Sec)> {
    let drive = &fitted.figure.limbs[index].drive.as_ref()?.mechanism;
    let travel = &sound(fitted, index)?.as_drive()?.drilled.course.travel;
    let (low, high) = match travel {
        Travel::Swing(l) => (l.at_low, l.at_high),
        Travel::Stroke(l) => (l.at_low, l.at_high),
    };
    let way = Mm(high - low);
    let stroke = Mm(way.0.abs());
    let (pace, pulls) = match drive {
        DriveKind::Strut(said) => (StrutPace::of(said, actuator, stroke)?, false),
        DriveKind::Cord(said) if actuator.motor.kind == MotorKind::Cylinder => {
            (StrutPace::of_cord(said, &actuator.motor, stroke)?, true)
        }
        _ => return None,
    };
    match pace.loaded(left) {
        StrutPace::Ram(ram) => Some((ram.time(way), ram.time(-way))),
        // Out and in by the piston; which of the two raises the limb its lever decides. Of
        // a cord `up` draws it in.
        StrutPace::Air(air) if (way.0 >= 0.0) != pulls => Some((air.up, air.down)),
        StrutPace::Air(air) => Some((air.down, air.up)),
    }
}

/// The pulse that asks a servo for this angle of its own, on the straight line through the
/// outermost two that are given; `None` for fewer, or two of one angle.
#[must_use]
pub fn pulse_at(pulses: &[PulseAt], angle: Deg) -> Option<Sec> {
    let order = |a: &&PulseAt, b: &&PulseAt| a.angle.0.total_cmp(&b.angle.0);
    let (low, high) = (pulses.iter().min_by(order)?, pulses.iter().max_by(order)?);
    let span = (high.angle - low.angle).0;
    (span > 0.0).then(|| {
        let share = (angle - low.angle).0 / span;
        Sec(low.pulse.0 + share * (high.pulse.0 - low.pulse.0))
    })
}

/// The ends of a limb's motion as drilled.
fn ends(fitted: &FittedFigure, index: usize) -> Option<(Pose, Pose)> {
    match sound(fitted, index)? {
        Fitted::FourBar(f) => {
            let motion = f.as_drilled.motion?;
            Some((Pose::Turned(motion.low?), Pose::Turned(motion.high?)))
        }
        Fitted::Servo(s) => Some((Pose::Turned(s.low), Pose::Turned(s.high))),
        Fitted::Drive(d) => {
            let ends = Ends::of(&d.drilled.course.travel);
            Some((ends.low, ends.high))
        }
        Fitted::Spin(_) => None,
    }
}

/// Told in the turn the maker speaks of: 200 to 250 rather than -160 to -110.
fn in_turn(limb: &Limb, (low, high): (Pose, Pose)) -> (Pose, Pose) {
    let asked = limb.gestures.iter().find_map(|g| match &g.action {
        Action::Sweep { from, to, .. } => Some(from.value.0.min(to.value.0)),
        _ => None,
    });
    match (low, high, asked) {
        (Pose::Turned(a), Pose::Turned(b), Some(from)) => {
            let turn = Deg(360.0 * libm::round((from - a.0) / 360.0));
            (Pose::Turned(a + turn), Pose::Turned(b + turn))
        }
        ends => (ends.0, ends.1),
    }
}

fn tip_to_tip(limb: &Limb, ends: (Pose, Pose)) -> Option<Mm> {
    match (&limb.joint, ends) {
        (Joint::Pivot { at: Some(at), .. }, (Pose::Turned(a), Pose::Turned(b))) => {
            let long = limb.tip?.distance(*at);
            let half = ((b - a) / 2.0).rad().0;
            Some(Mm(2.0 * long.0 * libm::sin(half.min(std::f64::consts::PI / 2.0))))
        }
        (Joint::Slide { .. }, (Pose::Slid(a), Pose::Slid(b))) => Some(b - a),
        _ => None,
    }
}

/// From the lever's pin to what pushes it, at both ends.
fn tapes(fitted: &FittedFigure, index: usize) -> Vec<Tape> {
    let figure = &fitted.figure;
    let limb = &figure.limbs[index];
    let one = || -> Option<Tape> {
        let mechanism = sound(fitted, index)?;
        let drive = limb.drive.as_ref()?;
        // On a limb that rides, or is pushed by one, the other end moves too.
        let (Source::Motor(motor), None) = (drive.source, limb.carrier) else { return None };
        if let (Fitted::Drive(d), Some(_)) = (mechanism, anchor(fitted, index)) {
            // A strut's coordinate is its own length from pin to pin.
            let (low, high) = match &d.drilled.course.travel {
                Travel::Swing(l) => (l.at_low, l.at_high),
                Travel::Stroke(l) => (l.at_low, l.at_high),
            };
            let name = format!("{}, pin to pin", drive.mechanism.kind().name());
            return Some(Tape { name, low: Mm(low), high: Mm(high) });
        }
        let Joint::Pivot { at: Some(pivot), .. } = limb.joint else { return None };
        let shaft = shaft(fitted, motor).filter(|s| s.distance(pivot) > Mm(0.1))?;
        let lever = mechanism.drilled(SizeName::Lever)?;
        let clamp = Deg(mechanism.drilled(SizeName::Clamp)?);
        let (Pose::Turned(low), Pose::Turned(high)) = ends(fitted, index)? else { return None };
        let to = |end: Deg| {
            let dir = Dir::degrees(end + clamp);
            BoardPoint::mm(pivot.x + lever * dir.x(), pivot.y + lever * dir.y()).distance(shaft)
        };
        let pin = match limb.mount {
            crate::model::Mount::Front => "lever pin",
            crate::model::Mount::Behind => "tail pin",
        };
        let name = format!("{pin} to {} shaft", figure.actuators[motor].name);
        Some(Tape { name, low: to(low), high: to(high) })
    };
    one().into_iter().collect()
}
