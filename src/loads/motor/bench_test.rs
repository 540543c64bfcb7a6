//! What a stall torque found on the bench is worth.

use super::{Job, codes};
use crate::finding::Step;
use crate::model::BenchTest;
use crate::units::print::decimal;
use crate::units::{Kg, NewtonMetre, print};

/// A weight must slow the motor by this share to tell its line (an error of the two
/// speeds counts (1 - s)/s times; arithmetic).
const ENOUGH: f64 = 0.15;

impl Job<'_, '_> {
    /// Says how sure the stall torque is, and asks for a heavier weight where it is not.
    pub(super) fn bench_test(&mut self) {
        let motor = &self.actuator().motor;
        let (name, stall) = (motor.name.clone(), motor.stall);
        match motor.tested {
            None => {}
            Some(BenchTest::Held { error }) => self.sure(stall.map(|s| s.0), error),
            Some(BenchTest::Lifted { mass, slowing, error }) if slowing < ENOUGH => {
                let slowed = if slowing <= 0.0 {
                    format!("{} did not slow `{name}` at all", self.mass(mass))
                } else {
                    format!(
                        "{} slowed `{name}` by {} % only, so that its stall torque may be off by {} %",
                        self.mass(mass),
                        decimal(slowing * 100.0, 0),
                        decimal(error * 100.0, 0)
                    )
                };
                let more = if slowing > 0.01 {
                    format!("about {} on the same drum", self.mass(mass * (0.2 / slowing)))
                } else {
                    "a weight several times as heavy".to_owned()
                };
                let steps = vec![
                    Step::new("weight lifted", "", self.mass(mass)),
                    Step::new("it slowed the motor by s = 1 - n1/n0", "", {
                        format!("{} %", decimal(slowing * 100.0, 2))
                    }),
                    Step::new(
                        "error of the two speeds, x (1 - s)/s",
                        match slowing > 0.0 {
                            true => format!(
                                "{} % x (1 - {})/{}",
                                decimal(error * slowing / (1.0 - slowing) * 100.0, 3),
                                decimal(slowing, 4),
                                decimal(slowing, 4)
                            ),
                            false => String::new(),
                        },
                        format!("{} %", decimal(error * 100.0, 1)),
                    ),
                    Step::new("it should slow it by at least", "", {
                        format!("{} %", decimal(ENOUGH * 100.0, 0))
                    }),
                ];
                let found = self.report(&codes::WEIGHT_TOO_LIGHT, format!("{slowed}."));
                found.worked = steps;
                found.help = Some(format!(
                    "lift {more}, or take a thicker drum: it should run at least 15 % slower."
                ));
            }
            Some(BenchTest::Lifted { error, .. }) => self.sure(stall.map(|s| s.0), error),
        }
    }

    fn mass(&self, mass: Kg) -> String {
        print::mass(mass, self.system())
    }

    fn sure(&mut self, stall: Option<f64>, error: f64) {
        let Some(stall) = stall else { return };
        let what = format!(
            "stall torque {} as measured, give or take {} %",
            self.torque(NewtonMetre(stall)),
            decimal(error * 100.0, 0)
        );
        self.assume(what, "");
    }
}
