//! A motor in step with the mains: it keeps its speed up to its rated torque, and then
//! stops.

use super::pull::{Fastest, fastest};
use super::{Job, Work, codes};
use crate::finding::{Severity, Step};
use crate::fit::{Fitted, UNEVEN};
use crate::loads::{MassProperties, TorqueCurve};
use crate::units::print::decimal;
use crate::units::{KgM2, NewtonMetre};

/// What a synchronous motor bears.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SynchronousLoad {
    /// Its rated torque: above it, it falls out of step.
    pub rated: NewtonMetre,
    /// The most its limbs ask; `None` where that is not known.
    pub peak: Option<NewtonMetre>,
}

impl Job<'_, '_> {
    pub(super) fn synchronous(&mut self, curve: Option<&TorqueCurve>) -> Option<Work> {
        let motor = self.actuator().motor.name.clone();
        let Some(rated) = self.actuator().motor.stall else {
            self.not_made(
                "whether the motor is strong enough (its rated torque is not given)",
                "stall 1.07 N.m",
            );
            return None;
        };
        let peak = curve.map(|c| NewtonMetre(c.peak()));
        match peak {
            Some(peak) if peak > rated => {
                let message = format!(
                    "{} needs {}; `{motor}` is rated for {} and stops above it.",
                    self.name(),
                    self.torque(peak),
                    self.torque(rated)
                );
                let found = self.report(&codes::MOTOR_STALLS, message);
                found.severity = Severity::Error;
                found.help =
                    Some("take a stronger one, a shorter crank, or a counterweight.".to_owned());
            }
            Some(_) => {}
            None => self.not_made(
                "whether the motor is strong enough (the limb's torque is not known)",
                "weighed 0.31 kg  balances 148 mm",
            ),
        }
        self.start(&motor);
        self.either_way(&motor);
        Some(Work::Synchronous(SynchronousLoad { rated, peak }))
    }

    /// Whether it brings its limbs up to speed within half a wave of the mains; if not, it
    /// hums and stands, or starts the other way round.
    fn start(&mut self, motor: &str) {
        let Some(felt) = self.felt_inertia() else {
            self.not_made(
                format!("whether `{motor}` brings the limb up to speed in half a wave (weight is not known)"),
                "weighed 0.31 kg  balances 148 mm  ten-swings 8.6 s",
            );
            return;
        };
        let figure = |i: KgM2| four_figures(i.0);
        let Some(most) = self.actuator().motor.inertia else {
            self.not_made(
                format!(
                    "whether `{motor}` brings {} kg.m2 on its shaft up to speed in half a wave (the largest \
                     inertia on its sheet is not given)",
                    figure(felt)
                ),
                &self.actuator().motor.settle("inertia 0.002 kg.m2"),
            );
            return;
        };
        if felt > most {
            let message = format!(
                "{} is {} kg.m2 on the shaft of `{motor}`, which starts up to {}: it hums and stands, or starts \
                 backwards.",
                self.name(),
                figure(felt),
                figure(most)
            );
            let steps = self.felt_sum(felt, most);
            let found = self.report(&codes::START_HEAVY, message);
            found.worked = steps;
            found.help = Some(
                "take a shorter crank (its square counts), a lighter limb, or a motor whose sheet names more."
                    .to_owned(),
            );
        }
    }

    /// Small motors of this kind start whichever way they are kicked: what it moves must
    /// look the same both ways round.
    fn either_way(&mut self, motor: &str) {
        if self.actuator().motor.one_way == Some(true) {
            return;
        }
        let limbs = &self.bench.fitted.limbs;
        let shows = self.limbs.iter().find_map(|&limb| match limbs[limb].mechanism.as_ref()? {
            Fitted::Spin(_) => Some("it would turn the other way round".to_owned()),
            crank => uneven(crank.time_ratio()),
        });
        let Some(shows) = shows else {
            self.assume(
                format!("`{motor}` may start either way round: its limb moves the same both ways"),
                format!("motor {motor} {{ one-way yes }}"),
            );
            return;
        };
        let message =
            format!("`{motor}` may start either way round, and of {} that shows: {shows}.", {
                self.name()
            });
        self.report(&codes::STARTS_EITHER_WAY, message).help = Some(
            "take one with a stop that lets it turn one way only (`one-way yes`), a brushed motor, or use it \
             where that does not show."
                .to_owned(),
        );
    }

    /// The most its limbs' inertia comes to on its shaft: each limb where it moves
    /// fastest, even where two are never fastest at once. `None` where a limb's weight or
    /// way is not known.
    fn felt_inertia(&self) -> Option<KgM2> {
        let mut sum = 0.0;
        for &limb in &self.limbs {
            let mass = self.bench.limbs[limb].mass?;
            let fast = fastest(self.bench.fitted.limbs[limb].mechanism.as_ref()?)?;
            sum += felt(&mass, &fast);
        }
        Some(KgM2(sum))
    }

    /// The same line by line.
    fn felt_sum(&self, felt_in_all: KgM2, most: KgM2) -> Vec<Step> {
        let mut steps = Vec::new();
        let mut all = Vec::new();
        for &limb in &self.limbs {
            let (Some(mass), Some(fitted)) = (
                self.bench.limbs[limb].mass.as_ref(),
                self.bench.fitted.limbs[limb].mechanism.as_ref(),
            ) else {
                continue;
            };
            let Some(fast) = fastest(fitted) else { continue };
            let name = &self.bench.fitted.figure.limbs[limb].name.value;
            let (what, own, rate) = match fast.slides {
                true => ("weight", format!("{} kg", decimal(mass.mass.0, 4)), fast.rate * 1e-3),
                false => ("inertia", format!("{} kg.m2", four_figures(mass.inertia.0)), fast.rate),
            };
            let number = own.split(' ').next().unwrap_or("").to_owned();
            steps.push(Step::new(format!("{name}: {what}"), "", own));
            let fastest = "moves for each unit of the shaft, at its fastest";
            steps.push(Step::new(format!("{name} {fastest}"), "", decimal(rate, 5)));
            let share = felt(mass, &fast);
            steps.push(Step::new(
                format!("{name} on the shaft"),
                format!("{number} x {}^2", decimal(rate, 5)),
                format!("{} kg.m2", four_figures(share)),
            ));
            all.push(four_figures(share));
        }
        let whole = format!("{} kg.m2", four_figures(felt_in_all.0));
        steps.push(Step::new("on the shaft in all", all.join(" + "), whole));
        steps.push(Step::new("it starts up to", "", format!("{} kg.m2", four_figures(most.0))));
        steps
    }
}

/// What a quick return looks like the other way round, where there is one.
fn uneven(time_ratio: Option<f64>) -> Option<String> {
    let ratio = time_ratio.filter(|r| *r >= UNEVEN)?;
    Some(format!("its quick way, {} times as quick, would be its slow one", decimal(ratio, 1)))
}

/// I f'^2 of a limb that turns, m s'^2 of one that slides, kg.m2.
fn felt(mass: &MassProperties, fast: &Fastest) -> f64 {
    if fast.slides {
        let metres = fast.rate * 1e-3;
        mass.mass.0 * metres * metres
    } else {
        mass.inertia.0 * fast.rate * fast.rate
    }
}

/// A small number with four figures at most and no zeros behind.
fn four_figures(value: f64) -> String {
    let lead = libm::floor(libm::log10(value.abs().max(1e-12)));
    decimal(value, (3.0 - lead).clamp(0.0, 9.0) as usize)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::{OnLimb, Point};
    use crate::loads::{Grade, Origin};
    use crate::units::Kg;

    #[test]
    fn a_limb_is_felt_by_the_square_of_its_ratio() {
        // By hand: 0.018 kg.m2 through 1:3 is 0.002; 0.8 kg at 30 mm per radian is
        // 0.8 x 0.0009 = 0.00072.
        let mass = MassProperties {
            mass: Kg(0.8),
            centre: Point::<OnLimb>::mm(0.0, 0.0),
            inertia: KgM2(0.018),
            grade: Grade::Given,
            origins: [Origin::Stated; 3],
        };
        let turns = Fastest { rate: 1.0 / 3.0, slides: false };
        let slides = Fastest { rate: 30.0, slides: true };
        assert!((felt(&mass, &turns) - 0.002).abs() < 1e-12);
        assert!((felt(&mass, &slides) - 0.00072).abs() < 1e-12);
        assert_eq!(four_figures(0.001_234_56), "0.001235");
    }
}
