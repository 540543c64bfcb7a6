//! Limbs that turn round and round, and limbs that knock at their ends.

use super::clamp_codes::LIMB_RATTLES;
use super::codes_turning::{
    LIMB_KNOCKS, SPIN_QUICK, SPIN_UNBALANCED, WIRES_CROSS_PIVOT, WIRES_WIND_UP,
};
use super::mass::Origin;
use super::motor::Work;
use super::rattle::HEARD;
use super::wind_limb::left_out;
use super::wind_limit::Input;
use super::wires::{crossing, winding};
use super::{Bench, MassProperties, Passed};
use crate::finding::{Code, Finding, Step};
use crate::fit::Fitted;
use crate::geometry::Point;
use crate::model::{Action, Limb};
use crate::units::print::decimal;
use crate::units::{Kg, Mm, NewtonMetre, print};

/// A weight beside the bolt may ask for so much of what stops the motor (common practice,
/// no source).
const UNEVEN: f64 = 0.1;
/// Where a weight that balances a spinning limb is told to hang, mm.
const AT: f64 = 100.0;
/// A tip within reach of hands goes no faster, m/s (common practice, no source).
const QUICK: f64 = 1.0;

/// What is told: the sentence, what to do, and the sum behind it.
type Said = (String, String, Vec<Step>);
/// A check that was made: the sentence and what to do where it found something, and its sum.
type Made = (Option<(String, String)>, Vec<Step>);

/// The torque that turns with an uneven limb, N.m, and the weight that balances it so far
/// out on the other side.
#[must_use]
pub fn uneven(mass: &MassProperties, at: Mm) -> (f64, Kg) {
    let far = libm::hypot(mass.centre.x, mass.centre.y);
    (mass.mass.0 * super::mass::GRAVITY * far * 1e-3, Kg(mass.mass.0 * far / at.0))
}

impl Bench<'_> {
    /// What spins, and what knocks.
    pub(super) fn turning(&mut self) {
        let figure = &*self.fitted.figure;
        let mut found: Vec<(usize, &'static Code, Said)> = Vec::new();
        let mut passed: Vec<(usize, Passed)> = Vec::new();
        for (index, limb) in figure.limbs.iter().enumerate().filter(|(_, l)| !l.poisoned) {
            let mut say = |code, said| found.push((index, code, said));
            match self.fitted.limbs[index].mechanism.as_ref() {
                Some(Fitted::Spin(spin)) => {
                    let made = [
                        (&SPIN_UNBALANCED, self.unbalanced(index, spin.ratio.abs())),
                        (&SPIN_QUICK, self.quick(limb)),
                    ];
                    for (code, made) in made {
                        match made {
                            Some((Some((message, help)), steps)) => {
                                say(code, (message, help, steps));
                            }
                            Some((None, steps)) => passed.push((index, Passed { code, steps })),
                            None => {}
                        }
                    }
                    if let Some((message, help)) = winding(figure, index) {
                        say(&WIRES_WIND_UP, (message, help, Vec::new()));
                    }
                }
                Some(_) => {
                    if let Some(said) = self.knocks(index) {
                        say(&LIMB_KNOCKS, said);
                    }
                    if let Some((message, help)) = crossing(figure, index) {
                        say(&WIRES_CROSS_PIVOT, (message, help, Vec::new()));
                    }
                }
                None => {}
            }
        }
        for (index, code, (message, help, steps)) in found {
            let limb = &figure.limbs[index];
            let finding = Finding::new(code, limb.name.place, message).help(help).steps(steps);
            self.findings.push(finding.about(&figure.name.value, Some(&limb.name.value)));
        }
        for (index, passed) in passed {
            self.limbs[index].passed.push(passed);
        }
    }

    /// Whether what a limb weighs rests on an outline or a sheet that nobody wrote: no
    /// finding rests on a guess.
    fn weight_guessed(&self, index: usize) -> bool {
        let limb = &self.fitted.figure.limbs[index];
        let shaped = |m: &MassProperties| m.origins.contains(&Origin::Outline);
        self.limbs[index].mass.as_ref().is_none_or(shaped)
            && (left_out(limb, "outline") || left_out(limb, "sheet"))
    }

    fn unbalanced(&self, index: usize, ratio: f64) -> Option<Made> {
        if self.weight_guessed(index) {
            return None;
        }
        let figure = &*self.fitted.figure;
        let mass = self.limbs[index].mass.as_ref()?;
        let stall = match &self.motors.get(figure.motor_of(index)?)?.work {
            Some(Work::Brushed(load)) => load.line.stall(load.feeding).0,
            Some(Work::Synchronous(load)) => load.rated.0,
            _ => return None,
        };
        let (torque, weight) = uneven(mass, Mm(AT));
        let share = torque * ratio / stall;
        let message = format!(
            "the weight of {} lies {} beside its bolt: every turn it asks {} and gives them back, {} % \
             of what stops its motor, and it goes by fits.",
            figure.limbs[index].said(),
            print::size(Mm(libm::hypot(mass.centre.x, mass.centre.y)), 0, figure.system),
            print::twist(NewtonMetre(torque * ratio), figure.system),
            decimal(share * 100.0, 0)
        );
        let help = format!(
            "fix {} {} from the bolt on the light side, or as much as makes it stay wherever you turn it.",
            print::mass(weight, figure.system),
            print::size(Mm(AT), 0, figure.system)
        );
        let far = libm::hypot(mass.centre.x, mass.centre.y);
        let steps = vec![
            Step::new("it weighs", "", format!("{} kg", decimal(mass.mass.0, 4))),
            Step::new("its weight lies beside the bolt", "", format!("{} mm", decimal(far, 2))),
            Step::new("turns of it for one of the motor", "", decimal(ratio, 4)),
            Step::new(
                "asked of the motor and given back, m g r x turns",
                format!(
                    "{} x 9.80665 x {} x {}",
                    decimal(mass.mass.0, 4),
                    decimal(far * 1e-3, 5),
                    decimal(ratio, 4)
                ),
                format!("{} N.m", decimal(torque * ratio, 4)),
            ),
            Step::new("the motor stops at", "", format!("{} N.m", decimal(stall, 4))),
            Step::new(
                "share",
                format!("{}/{} x 100", decimal(torque * ratio, 4), decimal(stall, 4)),
                format!("{} %", decimal(share * 100.0, 1)),
            ),
            Step::new("let pass", "", format!("{} %", decimal(UNEVEN * 100.0, 0))),
        ];
        Some(((share > UNEVEN).then_some((message, help)), steps))
    }

    /// The speed of what reaches furthest out.
    fn quick(&self, limb: &Limb) -> Option<Made> {
        let outline = limb.silhouette()?;
        let far = outline.reach(Point::origin());
        let speeds = limb.gestures.iter().filter_map(|g| match &g.action {
            Action::Spin { turn, per } => {
                let time = self.site.seconds(per.value).filter(|t| t.0 > 0.0)?;
                Some((turn.rad().0.abs() / time.0 * far * 1e-3, g.name.value.as_str()))
            }
            _ => None,
        });
        let (speed, gesture) = speeds.reduce(|a, b| if b.0 > a.0 { b } else { a })?;
        let message = format!(
            "the tip of {} goes round with {} in `{gesture}`.",
            limb.said(),
            print::quickness(speed, self.fitted.figure.system)
        );
        let help = format!(
            "let it turn {} times slower where hands reach it, or keep people an arm's length and more away.",
            decimal((speed / QUICK * 10.0).ceil() / 10.0, 1)
        );
        let turns = speed * 1e3 / far / (2.0 * std::f64::consts::PI);
        let steps = vec![
            Step::new("its tip from the bolt", "", format!("{} mm", decimal(far, 1))),
            Step::new("turns a second", "", decimal(turns, 5)),
            Step::new(
                "its tip, 2 pi r x turns a second",
                format!("2 x 3.14159 x {} x {}", decimal(far * 1e-3, 4), decimal(turns, 5)),
                format!("{} m/s", decimal(speed, 3)),
            ),
            Step::new("let pass", "", format!("{} m/s", decimal(QUICK, 1))),
        ];
        Some(((speed > QUICK).then_some((message, help)), steps))
    }

    /// Play that changes sides where what drives the limb is pushed by it.
    fn knocks(&self, index: usize) -> Option<Said> {
        if self.weight_guessed(index) {
            return None;
        }
        let loaded = &self.limbs[index];
        let wag = loaded.grips.iter().find(|g| g.code.word == LIMB_RATTLES.word)?;
        let load = loaded.cycle.as_ref()?;
        let [least, most] = load.both_ways;
        let (weaker, system) = (most.min(-least), self.fitted.figure.system);
        if wag.calm <= HEARD || weaker <= load.most_friction {
            return None;
        }
        let message = format!(
            "the load on {} turns round in its cycle ({} to {}), and each time it knocks through the {} deg of \
             play in its pins.",
            self.fitted.figure.limbs[index].said(),
            print::twist_in(NewtonMetre(least), system),
            print::twist(NewtonMetre(most), system),
            decimal(wag.calm, 1)
        );
        let help = format!(
            "pull it one way with a spring of {} about its bolt, or {}",
            print::torque_up(NewtonMetre(weaker), system),
            wag.help
        );
        let torque = |v: f64| format!("{} N.m", decimal(v, 4));
        let mut steps: Vec<Step> = wag.inputs.iter().map(Input::step).collect();
        steps.extend([
            Step::new("play, as in `limb-rattles`", "", format!("{} deg", decimal(wag.calm, 3))),
            Step::new("play that is heard", "", format!("{} deg", decimal(HEARD, 1))),
            Step::new("least torque on the limb, without friction", "", torque(least)),
            Step::new("largest", "", torque(most)),
            Step::new("the weaker of the two ways", "", torque(weaker)),
            Step::new("its friction", "", torque(load.most_friction)),
        ]);
        Some((message, help, steps))
    }
}
