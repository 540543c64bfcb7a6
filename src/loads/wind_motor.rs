//! Motors in the wind: up to which gust they move their limbs.
//!
//! A gust is short, so that heat is no matter: a motor that turns is held against what stops
//! a weak one at low voltage, a ram or cylinder against the share of its force that is to be
//! used. The largest demand in calm air and the largest of the wind are added, wherever in
//! the cycle they are, so that the gust found is on the cautious side.

use super::cycle::Effort;
use super::motor::codes::{CYLINDER_WEAK, MOTOR_STALLS, RAM_PUSHED_BACK, RAM_WEAK};
use super::motor::{MotorPoint, StrutLoad, Work};
use super::wind_limb::left_out;
use super::wind_limit::{Limit, When, input};
use super::{Bench, LimbLoad};
use crate::finding::Code;
use crate::model::{Limb, MotorKind};
use crate::units::Newton;
use crate::units::print::decimal;

impl Bench<'_> {
    /// Adds up to which gust each motor moves what is on it.
    pub(super) fn wind_on_motors(&mut self) {
        let figure = &*self.fitted.figure;
        let square = self.site.winds.run.0 * self.site.winds.run.0;
        for (motor, point) in self.motors.iter().enumerate() {
            let Some(index) = figure.driven_by(motor).next() else { continue };
            let limb = &figure.limbs[index];
            let loaded = &mut self.limbs[index];
            let (Some(wind), Some(cycle)) = (&mut loaded.wind, &loaded.cycle) else { continue };
            if cycle.motor.in_wind.is_none() || square <= 0.0 {
                continue;
            }
            let sheet = &figure.actuators[motor].motor;
            let per_gust2 = cycle.most_wind / square;
            let found = limits(limb, sheet.kind, point, cycle, per_gust2).into_iter();
            wind.limits.extend(found.map(|mut limit| {
                let bears = input("bears", limit.bears, limit.unit);
                limit.inputs.push(bears.worked_or_typical(!sheet.typical));
                limit
            }));
        }
    }
}

fn limits(
    limb: &Limb,
    kind: MotorKind,
    point: &MotorPoint,
    cycle: &LimbLoad,
    per_gust2: f64,
) -> Vec<Limit> {
    let name = limb.said();
    match &point.work {
        Some(Work::Brushed(load)) => {
            let says = [
                format!("asks the motor of {name} for "),
                ", and ".into(),
                match load.limited() {
                    Some(amps) => {
                        format!(" stop a weak one limited to {} A", decimal(amps.0, 1))
                    }
                    None => " stop a weak one at low voltage".to_owned(),
                },
            ];
            let asked = (cycle.motor.peak, per_gust2, load.weak_stall().0);
            vec![limit(limb, &MOTOR_STALLS, "its motor stalls", says, asked, "N.m")]
        }
        Some(Work::Synchronous(load)) => {
            let says = [
                format!("asks the motor of {name} for "),
                ", and it is rated for ".into(),
                String::new(),
            ];
            let asked = (cycle.motor.peak, per_gust2, load.rated.0);
            vec![limit(limb, &MOTOR_STALLS, "its motor falls out of step", says, asked, "N.m")]
        }
        Some(Work::Strut(load)) if cycle.motor.effort == Effort::Force => {
            let (code, what, goes): (&'static Code, _, _) = match kind {
                MotorKind::Ram => (&RAM_WEAK, "ram", "its ram is too weak"),
                _ => (&CYLINDER_WEAK, "cylinder", "its cylinder is too weak"),
            };
            let both = [("push", load.push, load.can_push), ("pull", load.pull, load.can_pull)];
            let one = |(word, calm, can): (&str, crate::units::Newton, Option<_>)| {
                let can: crate::units::Newton = can?;
                let says = [
                    format!("asks the {what} of {name} to {word} with "),
                    ", and ".into(),
                    format!(" of its {:.0} N are to be used", can.0),
                ];
                let asked = (calm.0, per_gust2, can.0 * load.share);
                Some(limit(limb, code, goes, says, asked, "N"))
            };
            let pushed = load.holds.map(|holds| pushed_back(limb, load, holds, per_gust2));
            // A limb that sinks without power is told of the ram itself: no wind does it.
            let pushed = pushed.filter(|l| l.calm <= l.bears);
            both.into_iter().filter_map(one).chain(pushed).collect()
        }
        _ => Vec::new(),
    }
}

/// Whether what is too much in calm air is told of the motor itself: the limit is kept for
/// its gust of nought, and makes no second finding.
pub(super) fn told_of_motor(limit: &Limit) -> bool {
    let motors = [&MOTOR_STALLS, &CYLINDER_WEAK, &RAM_WEAK];
    limit.calm > limit.bears && motors.contains(&limit.code)
}

/// A ram that stands without power, its limb in the wind.
fn pushed_back(limb: &Limb, load: &StrutLoad, holds: Newton, per_gust2: f64) -> Limit {
    let says = [
        format!("pushes at the ram of {}, which stands without power, with ", limb.said()),
        ", and it holds ".into(),
        String::new(),
    ];
    let calm = load.push.max(load.pull).0;
    let goes = "the wind pushes its ram back";
    let mut limit = limit(limb, &RAM_PUSHED_BACK, goes, says, (calm, per_gust2, holds.0), "N");
    limit.when = When::Stand;
    // Nothing said of the ram: no finding from a survey's least.
    limit.left_out |= load.holds_taken;
    limit.help =
        "take a ram that holds more, a longer lever hole, a bolt that pins the limb before such wind, or bring \
         it in."
            .into();
    limit
}

fn limit(
    limb: &Limb,
    code: &'static Code,
    goes: &'static str,
    says: [String; 3],
    (calm, per_gust2, bears): (f64, f64, f64),
    unit: &'static str,
) -> Limit {
    Limit {
        code,
        when: When::Run,
        severity: code.severity,
        goes,
        says,
        calm,
        per_gust2,
        bears,
        unit,
        inputs: [
            input("calm_peak", calm, unit),
            input("air", super::gust::PRESSURE, "N/m2/(m/s)2").fixed(),
            input("head_on", super::gust::HEAD_ON, "1").fixed(),
            input("edge_on", super::gust::EDGE_ON, "1").fixed(),
        ]
        .into_iter()
        .chain(super::mass::inputs(limb).into_iter().filter(|i| {
            // What the wind takes hold of, head on and along the board.
            matches!(i.name, "area" | "thickness")
        }))
        .collect(),
        typical: Vec::new(),
        left_out: left_out(limb, "outline") || left_out(limb, "sheet"),
        help: "write a lower `wind run` and stop it there, take a stronger one, a longer lever hole, or less \
               height across the wind."
            .into(),
    }
}
