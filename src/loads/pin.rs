//! The pin of a crank when the limb is held, and what would spare it.

use super::clamp_codes::PIN_BENDS;
use super::hole::{Forces, STEEL};
use super::motor::MotorPoint;
use super::rod_stock::PinStock;
use super::wind_limit::{Input, Limit, When, input};
use crate::fit::{Fitted, FittedFigure};
use crate::model::{DriveKind, Figure, Limb, Note, Source};
use crate::units::Deg;
use crate::units::print::decimal;

/// From rod to rod on one pin, mm: an eye on M8 thread and a washer (common practice, no
/// source).
const STACKED: f64 = 10.0;
/// Yield of a pin of class 8.8, MPa (ISO 898-1, from memory).
const STRONG: f64 = 640.0;

/// Whether a limb is pushed by a pin that stands out of its motor's crank.
pub(super) fn on_crank(limb: &Limb) -> bool {
    limb.drive.as_ref().is_some_and(|d| {
        matches!(
            d.mechanism,
            DriveKind::FourBar(_)
                | DriveKind::SliderCrank(_)
                | DriveKind::SlottedArm(_)
                | DriveKind::ScotchYoke(_)
        )
    })
}

/// The current limit at which a motor pushes what it holds with this share of what it does.
pub(super) fn limit(motor: &MotorPoint, share: f64) -> Option<String> {
    let amps = motor.brushed()?.limit_for(share)?;
    Some(format!("limit the motor's current (`limit {} A`)", decimal(amps.0, 1)))
}

/// What gives way in a motor that holds its limb before it pushes with all it has.
#[derive(Clone, Copy, Debug)]
pub(super) struct Before {
    /// What happens: "its motor's gears give way".
    pub what: &'static str,
    /// The share of its whole push at which it does.
    pub share: f64,
}

/// The first of a motor's own parts that gives way before the motor stands still.
pub(super) fn before(figure: &Figure, index: usize, forces: &Forces) -> Option<Before> {
    let sheet = &figure.actuators.get(figure.motor_of(index)?)?.motor;
    let jam = forces.jam?;
    let parts = [
        ("its motor's gears give way", sheet.survives),
        ("its crank slips on the motor's shaft", sheet.seat.and_then(|s| s.holds)),
    ];
    let shares = parts.map(|(what, at)| at.map(|at| Before { what, share: at.0 / jam }));
    let first = shares.into_iter().flatten().reduce(|a, b| if b.share < a.share { b } else { a });
    first.filter(|b| b.share < 1.0)
}

/// Ways out of which one does, as a sentence.
pub(super) fn either(ways: &[String]) -> String {
    match ways {
        [] => String::new(),
        [only] => format!("{only}."),
        [first, second] => format!("{first}, or {second}."),
        [rest @ .., last] => format!("{}, or {last}.", rest.join(", ")),
    }
}

/// The limbs before this one whose rods lie between its own and the crank's face: rods that
/// share a pin lie one on the other in the order of the file.
fn nearer(fitted: &FittedFigure, index: usize) -> Vec<usize> {
    let figure = &fitted.figure;
    let pin = |limb: usize| match fitted.limbs[limb].mechanism.as_ref()? {
        Fitted::FourBar(f) => Some(f.pin),
        Fitted::Drive(d) if d.made().mechanism.rod().is_some() => Some(d.pin),
        _ => None,
    };
    let motor = |limb: usize| match figure.limbs[limb].drive.as_ref()?.source {
        Source::Motor(motor) => Some(motor),
        Source::Limb(_) => None,
    };
    let (Some(own), Some(on)) = (pin(index), motor(index)) else { return Vec::new() };
    let shares = |&limb: &usize| {
        let same = |at: Deg| (at - own).signed().abs().0 < 1e-6;
        motor(limb) == Some(on) && pin(limb).is_some_and(same)
    };
    (0..index).filter(shares).collect()
}

/// How far the middle of a limb's rod stands from its crank's face, mm.
pub(super) fn reach(fitted: &FittedFigure, index: usize) -> f64 {
    let inside = nearer(fitted, index).len();
    PinStock::of(&fitted.figure.limbs[index]).reach + STACKED * inside as f64
}

/// On which other rod a limb's rod lies on their crank pin, as it was taken.
pub(super) fn stacked(fitted: &FittedFigure, index: usize) -> Option<Note> {
    let under = fitted.figure.limbs.get(*nearer(fitted, index).last()?)?;
    let what = format!(
        "its rod on the crank pin outside that of {}, which stands before it in the file",
        under.said()
    );
    Some(Note::new(what, ""))
}

/// The crank pin, held at one end. Without a stated current limit the whole stall torque
/// comes on it, which is listed and makes no finding.
pub(super) fn held(
    fitted: &FittedFigure,
    index: usize,
    forces: &Forces,
    motor: &MotorPoint,
) -> Option<Limit> {
    let figure = &*fitted.figure;
    let limb = &figure.limbs[index];
    let force = forces.jam_pin?;
    let (stock, reach) = (PinStock::of(limb), reach(fitted, index));
    let outer = if reach > stock.reach { ", its rod the outer one on it," } else { "" };
    let (stress, bears) = (stock.stress(force, reach), stock.yields / STEEL);
    let limited = figure.motor_of(index).and_then(|m| figure.actuators.get(m)?.limit).is_some();
    let mut ways = Vec::new();
    if stress <= STRONG / STEEL && stock.yields < STRONG {
        ways.push("take a pin of class 8.8 (`crank-pin yield 640 MPa`)".to_owned());
    }
    ways.extend(self::limit(motor, bears / stress));
    if ways.is_empty() {
        ways.push("take a motor or a driver that pushes less".to_owned());
    }
    Some(Limit {
        code: &PIN_BENDS,
        when: When::Run,
        severity: PIN_BENDS.severity,
        goes: "its crank pin bends",
        says: [
            format!("when {} is held its motor bends the crank pin{outer} with ", limb.said()),
            ", and ".into(),
            " is what it may".into(),
        ],
        calm: stress,
        per_gust2: 0.0,
        bears,
        unit: "MPa",
        inputs: [input("force", force, "N")]
            .into_iter()
            .chain(inputs(limb, &stock, reach))
            .collect(),
        typical: stock.typical(false).into_iter().collect(),
        left_out: !limited,
        help: either(&ways),
    })
}

/// What a crank pin bends by, beside the force on it.
pub(super) fn inputs(limb: &Limb, stock: &PinStock, reach: f64) -> [Input; 3] {
    [
        input("reach", reach, "mm").given_or_typical(limb.build.pin_reach.is_some()),
        input("root", stock.root(), "mm").typical(),
        input("yield", stock.yields, "MPa").given_or_typical(limb.build.pin_yields.is_some()),
    ]
}
