//! What the rod's pull does to the end of the bolt behind the board.
//!
//! A limb's bolt is held in its bushing. In front the wind bends it; behind the board the
//! rod pulls at it, as far out as lever and rod lie behind the bushing. The two moments lie
//! at the bushing's two faces and are not added: what bends the front face is gone at the
//! other. Behind the board limb and rod hang on one end, and there they are added.

use std::f64::consts::PI;

use super::Bench;
use super::hole::{Forces, STEEL};
use super::motor::MotorPoint;
use super::wind_codes::BOLT_BENDS;
use super::wind_limb::{bolt_said, left_out, steel_said};
use super::wind_limit::{Limit, When, input};
use crate::finding::Severity;
use crate::model::{Limb, Mount};
use crate::space::{self, OnBolt, bolt_stack};

/// Bending stress of a round bar, MPa: N, mm.
#[must_use]
pub fn stress(force: f64, overhang: f64, diameter: f64) -> f64 {
    32.0 * force * overhang / (PI * diameter * diameter * diameter)
}

impl Bench<'_> {
    /// How far behind the bushing the rod pulls at a limb's bolt, mm; `None` where it
    /// pulls at no bolt through the board.
    ///
    /// The rod lies right behind its lever, or behind the limb's own sheet.
    fn overhang(&self, index: usize) -> Option<f64> {
        let limb = &self.fitted.figure.limbs[index];
        if limb.mount == Mount::Front && !super::clamp::through_bolt(limb) {
            return None;
        }
        let steps = bolt_stack(self.fitted, &self.spaced.stack, index)?.steps;
        let bushing = steps.iter().position(|s| s.item == OnBolt::Bushing)?;
        let plate = steps.iter().rposition(|s| s.item == OnBolt::Plate).filter(|p| *p > bushing)?;
        let out: f64 = steps[bushing + 1..=plate].iter().map(|s| s.thick).sum();
        Some(out + space::ROD)
    }

    fn forces(&self, index: usize) -> Forces {
        let motor = self.fitted.figure.motor_of(index).and_then(|m| self.motors.get(m));
        let none = MotorPoint::default();
        Forces::of(self.fitted, index, &self.limbs[index], motor.unwrap_or(&none))
    }

    /// The pull at work: in the gust in which it runs, where the wind hangs on the same end.
    pub(super) fn pull_on_bolts(&mut self) {
        for index in 0..self.limbs.len() {
            if self.fitted.figure.limbs[index].mount != Mount::Behind {
                continue;
            }
            let pull = self.forces(index).rod.zip(self.overhang(index));
            let limit = pull.and_then(|pull| self.bends(index, pull, false));
            if let (Some(limit), Some(wind)) = (limit, &mut self.limbs[index].wind) {
                wind.limits.push(limit);
            }
        }
    }

    /// The pull in calm air: at work before the board, and everywhere when it is held.
    pub(super) fn pulled_bolt(&self, index: usize, forces: &Forces) -> Vec<Limit> {
        let limb = &self.fitted.figure.limbs[index];
        let front = limb.mount == Mount::Front;
        let Some(overhang) = self.overhang(index) else { return Vec::new() };
        let at_work = forces.rod.filter(|_| front).map(|f| (f, false));
        let held = forces.jam_rod.map(|f| (f, true));
        let both = at_work.into_iter().chain(held);
        both.filter_map(|(force, jam)| self.bends(index, (force, overhang), jam)).collect()
    }

    fn bends(&self, index: usize, (force, overhang): (f64, f64), jam: bool) -> Option<Limit> {
        let figure = &*self.fitted.figure;
        let limb = &figure.limbs[index];
        let bolt = limb.bolt.as_ref()?;
        let yields = bolt.yields?.0 * 1e-6;
        let behind = limb.mount == Mount::Behind;
        // Between the nuts of a lever the thread begins at the bushing.
        let (diameter, typical) = if behind {
            let said = match steel_said(limb) {
                true => "place of its bolt's smooth shank, at the board",
                false => "bolt of class 4.6 with its smooth shank at the board",
            };
            (bolt.diameter, said)
        } else {
            let said = match steel_said(limb) {
                true => "bolt whose thread lies behind the board, lever and rod of usual size",
                false => {
                    "bolt of class 4.6, its thread behind the board, lever and rod of usual size"
                }
            };
            (bolt.root(), said)
        };
        let wind = self.limbs[index].wind.as_ref().and_then(|w| w.moment);
        let wind = wind.filter(|_| behind && !jam).unwrap_or(0.0);
        let motor = figure.motor_of(index).and_then(|m| figure.actuators.get(m));
        let limited = motor.is_some_and(|m| m.limit.is_some());
        let when = if jam { " when it is held" } else { "" };
        let mut inputs = vec![
            input("force", force, "N"),
            input("overhang", overhang, "mm"),
            input("diameter", diameter.0, "mm").given_or_typical(bolt_said(limb)),
            input("yield", yields, "MPa").given_or_typical(steel_said(limb)),
            input("factor", STEEL, "1").fixed(),
        ];
        if wind > 0.0 {
            inputs.push(input("moment_per_gust2", wind, "N.m/(m/s)2"));
        }
        Some(Limit {
            code: &BOLT_BENDS,
            when: When::Run,
            severity: if jam { Severity::Warning } else { BOLT_BENDS.severity },
            goes: "the rod bends its bolt",
            says: [
                format!(
                    "{} the rod of {} bends its bolt behind the board{when} with ",
                    and(wind),
                    limb.said()
                )
                .trim_start()
                .to_owned(),
                ", and ".into(),
                " is two thirds of its yield".into(),
            ],
            calm: stress(force, overhang, diameter.0),
            per_gust2: stress(wind * 1e3, 1.0, diameter.0),
            bears: yields / STEEL,
            unit: "MPa",
            inputs,
            typical: vec![typical],
            left_out: left_out(limb, "bolt") || jam && !limited,
            help: help(limb, jam),
        })
    }
}

/// What stands after "a gust of 7 m/s".
fn and(wind: f64) -> &'static str {
    if wind > 0.0 { "and" } else { "" }
}

fn help(limb: &Limb, jam: bool) -> String {
    let nearer = match limb.mount {
        Mount::Front => "clamp the lever right behind the bushing",
        Mount::Behind => "let the limb hang nearer to the board (`gap 2 mm`)",
    };
    let less = if jam { ", or limit the motor's current further" } else { "" };
    format!("take a thicker bolt, {nearer}{less}.")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_cantilever_by_hand() {
        // 88 N at 11 mm on the root of M8, 6.647 mm: 968/(pi 6.647^3/32) = 968/28.83.
        assert!((stress(88.0, 11.0, 6.647) - 33.57).abs() < 0.02);
    }
}
