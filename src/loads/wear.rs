//! How hard a limb rubs in its bushing.

use super::wind_limit::{Input, input};
use super::{Bench, codes_wear};
use crate::finding::{Finding, Step};
use crate::fit::{Ends, Fitted};
use crate::geometry::BoardPoint;
use crate::model::{Joint, Note, Source};
use crate::units::print::decimal;
use crate::units::{Mm, Pascal, PascalMetrePerSec, print};

/// Pressure, rubbing speed and their product.
#[derive(Clone, Debug, PartialEq)]
pub struct Rubbing {
    /// Largest load on the bolt over diameter and length.
    pub pressure: Pascal,
    /// Mean rubbing speed while it moves, m/s.
    pub speed: f64,
    /// Their product.
    pub pv: PascalMetrePerSec,
    /// What they follow from, and what the bushing stands.
    pub inputs: Vec<Input>,
}

impl Rubbing {
    /// The same, sum by sum: what went in, then what comes out.
    #[must_use]
    pub fn steps(&self) -> Vec<Step> {
        let of = |name: &str| self.inputs.iter().find(|i| i.name == name).map_or(0.0, |i| i.value);
        let (pressure, pv) = (self.pressure.0 * 1e-6, self.pv.0 * 1e-6);
        let (force, d, l) = (of("force"), of("bolt"), of("length"));
        let presses = format!("{}/({} x {})", decimal(force, 2), decimal(d, 2), decimal(l, 2));
        let rubs = format!(
            "{} x {} x {} x {}",
            decimal(pressure, 4),
            decimal(d * 5e-4, 5),
            decimal(2.0 * of("swing"), 4),
            decimal(of("cycles"), 4)
        );
        let sums = [
            Step::new("presses, F/(d L)", presses, format!("{} MPa", decimal(pressure, 4))),
            Step::new(
                "rubs, pressure x d/2 x swing to and fro x cycles a second",
                rubs,
                format!("{} MPa.m/s", decimal(pv, 5)),
            ),
        ];
        self.inputs.iter().map(Input::step).chain(sums).collect()
    }
}

/// Rubbing of a bolt of diameter `d` in a bushing of length `l` under a force, swinging
/// through `swing` radians each way, `cycles` times a second.
#[must_use]
pub fn rubbing(force: f64, d: Mm, l: Mm, swing: f64, cycles: f64) -> Rubbing {
    let pressure = force / (d.0 * l.0 * 1e-6);
    // Two swings a cycle on a radius of half the diameter.
    let speed = d.0 * 1e-3 * swing * cycles;
    let pv = PascalMetrePerSec(pressure * speed);
    Rubbing { pressure: Pascal(pressure), speed, pv, inputs: Vec::new() }
}

impl Bench<'_> {
    /// Looks at every bushing.
    pub fn rub(&mut self) {
        for limb in 0..self.limbs.len() {
            self.rub_one(limb);
        }
    }

    fn rub_one(&mut self, index: usize) {
        let figure = &self.fitted.figure;
        let limb = &figure.limbs[index];
        let (Joint::Pivot { at, .. }, Some(bolt), Some(bushing)) =
            (&limb.joint, &limb.bolt, &limb.bushing)
        else {
            return;
        };
        let Some(load) = &self.limbs[index].cycle else { return };
        let Some((swing, cycles)) = self.pace(index) else { return };
        let length = limb.build.bushing_length.or_else(|| self.bored(*at));
        let Some(length) = length.filter(|l| l.0 > 0.0) else {
            let note = Note::new(
                "wear of the bushing (its length is not given)",
                "bushing nylon length 47 mm",
            );
            self.limbs[index].not_checked.push(note);
            return;
        };
        let (pressure, pv) = (bushing.pressure, bushing.pv);
        let stands = [
            pressure.map(|p| input("bushing_stands", p.0 * 1e-6, "MPa")),
            pv.map(|p| input("bushing_stands_rubbing", p.0 * 1e-6, "MPa.m/s")),
        ];
        let stands = stands.into_iter().flatten().map(|i| i.given_or_typical(!bushing.typical));
        let said = limb.build.bushing_length.is_some();
        let weighed = load.motor.grade == super::Grade::Given;
        let own = [
            input("force", load.most_hold, "N").worked_or_typical(weighed),
            input("bolt", bolt.diameter.0, "mm").given(),
            input("length", length.0, "mm").given_or_worked(said),
            input("swing", swing, "rad"),
            input("cycles", cycles, "1/s"),
        ];
        let found = Rubbing {
            inputs: own.into_iter().chain(stands).collect(),
            ..rubbing(load.most_hold, bolt.diameter, length, swing, cycles)
        };
        let too_much = pv.filter(|most| found.pv > *most).map(|most| {
            format!(
                "rubs with {} in its bushing; {} stands {}",
                print::rubbing(found.pv.0 * 1e-6, figure.system),
                bushing.name,
                print::rubbing(most.0 * 1e-6, figure.system)
            )
        });
        let pressed = pressure.filter(|most| found.pressure > *most).map(|most| {
            format!(
                "presses on its bushing with {}; {} stands {}",
                print::pressure(found.pressure.0 * 1e-6, figure.system),
                bushing.name,
                print::pressure(most.0 * 1e-6, figure.system)
            )
        });
        let Some(what) = too_much.or(pressed) else {
            self.limbs[index].rubbing = Some(found);
            return;
        };
        let times = [pv.map(|m| found.pv.0 / m.0), pressure.map(|m| found.pressure.0 / m.0)];
        let times = times.into_iter().flatten().fold(1.0, f64::max);
        let message = format!("{}.{} {what}.", figure.name.value, limb.name.value);
        let help = format!(
            "a bushing of {}, or a thicker bolt, brings it down.",
            print::size_up(length * times, figure.system)
        );
        self.findings.push(
            Finding::new(&codes_wear::BUSHING_WEARS, limb.name.place, message)
                .help(help)
                .steps(found.steps())
                .about(&figure.name.value, Some(&limb.name.value)),
        );
        self.limbs[index].rubbing = Some(found);
    }

    /// What a bushing goes through where nothing else is said: the board, and the member of
    /// the frame behind it.
    fn bored(&self, at: Option<BoardPoint>) -> Option<Mm> {
        let figure = &self.fitted.figure;
        let board = figure.board.sheet.as_ref()?.thickness?;
        let at = at?;
        let behind = figure.frame.iter().filter(|m| {
            let (ax, ay) = (m.to.x - m.from.x, m.to.y - m.from.y);
            let (px, py) = (at.x - m.from.x, at.y - m.from.y);
            let long = (ax * ax + ay * ay).max(1e-12);
            let share = ((px * ax + py * ay) / long).clamp(0.0, 1.0);
            libm::hypot(px - share * ax, py - share * ay) <= m.width.0 / 2.0
        });
        Some(board + behind.map(|m| m.depth).fold(Mm(0.0), Mm::max))
    }

    /// How far a limb swings each way, rad, and how often a second.
    fn pace(&self, index: usize) -> Option<(f64, f64)> {
        let load = &self.limbs[index].cycle.as_ref()?.motor;
        let rpm = load.speed.filter(|s| *s > 0.0 && load.effort == super::Effort::Torque)?;
        let turns = rpm / 60.0;
        match self.fitted.limbs[index].mechanism.as_ref()? {
            // A whole turn is as much rubbing as a swing of half a turn to and fro.
            Fitted::Spin(spin) => Some((std::f64::consts::PI, turns * spin.ratio.abs())),
            fitted => {
                let source = self.fitted.figure.limbs[index].drive.as_ref()?.source;
                let ends = Ends::of(fitted.follows()?.travel.as_ref()?);
                let swing = ends.high.angle()?.rad().0 - ends.low.angle()?.rad().0;
                matches!(source, Source::Motor(_) | Source::Limb(_)).then_some((swing, turns))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_turn_rubs_once_round_the_bolt() {
        // One turn a second on a bolt of 8 mm: pi d = 25.13 mm/s.
        let r = rubbing(10.0, Mm(8.0), Mm(20.0), std::f64::consts::PI, 1.0);
        assert!((r.speed - 0.025_132_7).abs() < 1e-6);
        assert!((r.pressure.0 - 62_500.0).abs() < 1e-6);
    }
}
