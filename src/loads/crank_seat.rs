//! How a crank is held on its motor's shaft.

use super::Bench;
use super::codes_crank::CRANK_LOOSENS;
use super::motor::{MotorPoint, Work};
use super::wind_limit::{Limit, When, input};
use crate::finding::{Finding, Severity};
use crate::model::{CrankNut, CrankSeat, DriveKind, Limb, MotorKind, Note, Seat, Source};

/// It must be held by twice what it passes on at work (common practice, no source).
const HELD: f64 = 2.0;

/// The torque a motor has when its limb is held, N.m.
pub(super) fn held_torque(motor: &MotorPoint) -> Option<f64> {
    match &motor.work {
        Some(Work::Brushed(load)) => Some(load.jam.torque.0),
        Some(Work::Synchronous(load)) => Some(load.rated.0),
        Some(Work::Servo(load)) => Some(load.stall.0),
        Some(Work::Strut(_)) | None => None,
    }
}

/// What a drive has on its motor's shaft.
fn on_shaft(limb: &Limb) -> Option<&'static str> {
    match &limb.drive.as_ref()?.mechanism {
        DriveKind::FourBar(_)
        | DriveKind::SlottedArm(_)
        | DriveKind::SliderCrank(_)
        | DriveKind::ScotchYoke(_) => Some("crank"),
        DriveKind::Cam(_) => Some("cam"),
        DriveKind::Cord(_) => Some("crank"),
        DriveKind::Spin(spin) => Some(spin.wheel().unwrap_or("hub")),
        DriveKind::Servo(_) | DriveKind::Forearm(_) | DriveKind::Strut(_) => None,
    }
}

impl Bench<'_> {
    /// What a limb's motor turns it with, and how that is held: told once for each motor, of
    /// the first limb on it.
    pub(super) fn seats(&mut self, index: usize, motor: &MotorPoint) -> Vec<Limit> {
        let figure = &*self.fitted.figure;
        let limb = &figure.limbs[index];
        let source = |l: &Limb| l.drive.as_ref().map(|d| d.source);
        let Some(Source::Motor(at)) = source(limb) else { return Vec::new() };
        let first = figure.limbs.iter().position(|l| source(l) == Some(Source::Motor(at)));
        let (Some(what), true) = (on_shaft(limb), first == Some(index)) else { return Vec::new() };
        let actuator = &figure.actuators[at];
        let turns = matches!(actuator.motor.kind, MotorKind::Brushed | MotorKind::Synchronous);
        let computed = self.fitted.limbs[index].mechanism.as_ref().is_some_and(|m| !m.faulty());
        if !turns || !computed {
            return Vec::new();
        }
        let Some(seat) = actuator.motor.seat else {
            let note = Note::new(
                format!("how its {what} is held on the motor's shaft, where it works loose"),
                actuator.motor.settle("crank-seat knurl holds 20 N.m nut two"),
            );
            self.limbs[index].not_checked.push(note);
            return Vec::new();
        };
        self.nut(index, what, seat);
        let Some(holds) = seat.holds.map(|t| t.0) else {
            if seat.on != Seat::Pin {
                let note = Note::new(
                    format!(
                        "whether its {what} slips on the shaft (what its {} passes on)",
                        seat.on.word()
                    ),
                    actuator.motor.settle(&format!("crank-seat {} holds 20 N.m", seat.on.word())),
                );
                self.limbs[index].not_checked.push(note);
            }
            return Vec::new();
        };
        let load = self.limbs[index].cycle.as_ref().map(|c| &c.motor);
        let peak = load.map(|l| l.peak.max(l.in_wind.unwrap_or(0.0)).max(-l.least));
        let slips = |calm: f64, says: String, torque: f64, severity: Severity, help: &str| Limit {
            code: &CRANK_LOOSENS,
            when: When::Run,
            severity,
            goes: "its crank slips on the shaft",
            says: [says, format!(", and its {} passes on ", seat.on.word()), String::new()],
            calm,
            per_gust2: 0.0,
            bears: holds,
            unit: "N.m",
            inputs: vec![
                input("torque", torque, "N.m"),
                input("holds", holds, "N.m").given_or_typical(!actuator.motor.typical),
            ],
            typical: Vec::new(),
            left_out: false,
            help: help.to_owned(),
        };
        let at_work = peak.map(|peak| {
            let says = format!("twice what turns the {what} of {} is ", limb.said());
            slips(HELD * peak, says, peak, Severity::Error, "put a pin through crank and shaft.")
        });
        let held = held_torque(motor).map(|torque| {
            let says = format!("when {} is held its motor turns the {what} with ", limb.said());
            let help = "put a pin through crank and shaft, or limit the motor's current further: \
                        once it has slipped, its contact no longer tells where the limb is.";
            slips(torque, says, torque, Severity::Advice, help)
        });
        at_work.into_iter().chain(held).collect()
    }

    /// A nut or screw that turns with the shaft.
    fn nut(&mut self, index: usize, what: &str, seat: CrankSeat) {
        let figure = &*self.fitted.figure;
        let limb = &figure.limbs[index];
        let (message, severity) = match (seat.on, seat.nut) {
            (_, Some(CrankNut::Two | CrankNut::Pinned)) | (Seat::Pin, None) => return,
            (_, Some(CrankNut::One)) => (
                format!(
                    "the one nut on the {what} of {} turns with the shaft, and works loose.",
                    limb.said()
                ),
                Severity::Warning,
            ),
            (_, Some(CrankNut::Nylon)) => (
                format!(
                    "a nylon insert alone does not hold a nut that turns, as that on the {what} of {} does.",
                    limb.said()
                ),
                Severity::Warning,
            ),
            (Seat::SetScrew, None) => (
                format!(
                    "the set screw in the {what} of {} turns with the shaft, and works loose.",
                    limb.said()
                ),
                Severity::Advice,
            ),
            (Seat::Taper | Seat::Knurl | Seat::Flat, None) => {
                let what = format!("what keeps its {what} on the shaft");
                let said = format!("crank-seat {} nut two", seat.on.word());
                let motor = figure.motor_of(index).and_then(|m| figure.actuators.get(m));
                let settle = motor.map_or(said.clone(), |m| m.motor.settle(&said));
                self.limbs[index].not_checked.push(Note::new(what, settle));
                return;
            }
        };
        let help = match (seat.on, seat.nut) {
            (Seat::SetScrew, None) => {
                "file a flat or drill a dimple for it and lock it with a second one, or pin it."
            }
            _ => "lock it: two nuts, or a pin.",
        };
        let finding = Finding::new(&CRANK_LOOSENS, limb.name.place, message)
            .with_severity(severity)
            .help(help)
            .about(&figure.name.value, Some(&limb.name.value));
        self.findings.push(finding);
    }
}
