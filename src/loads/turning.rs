//! Limbs that turn round and round, and limbs that knock at their ends.

use super::clamp_codes::LIMB_RATTLES;
use super::codes_turning::{
    LIMB_KNOCKS, SPIN_QUICK, SPIN_UNBALANCED, WIRES_CROSS_PIVOT, WIRES_WIND_UP,
};
use super::mass::Origin;
use super::motor::Work;
use super::rattle::HEARD;
use super::wind_limb::left_out;
use super::wires::{crossing, winding};
use super::{Bench, MassProperties};
use crate::finding::{Code, Finding};
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
        let mut found: Vec<(usize, &'static Code, String, String)> = Vec::new();
        for (index, limb) in figure.limbs.iter().enumerate().filter(|(_, l)| !l.poisoned) {
            let mut say = |code, message, help| found.push((index, code, message, help));
            match self.fitted.limbs[index].mechanism.as_ref() {
                Some(Fitted::Spin(spin)) => {
                    if let Some((message, help)) = self.unbalanced(index, spin.ratio.abs()) {
                        say(&SPIN_UNBALANCED, message, help);
                    }
                    if let Some((message, help)) = self.quick(limb) {
                        say(&SPIN_QUICK, message, help);
                    }
                    if let Some((message, help)) = winding(figure, index) {
                        say(&WIRES_WIND_UP, message, help);
                    }
                }
                Some(_) => {
                    if let Some((message, help)) = self.knocks(index) {
                        say(&LIMB_KNOCKS, message, help);
                    }
                    if let Some((message, help)) = crossing(figure, index) {
                        say(&WIRES_CROSS_PIVOT, message, help);
                    }
                }
                None => {}
            }
        }
        for (index, code, message, help) in found {
            let limb = &figure.limbs[index];
            let finding = Finding::new(code, limb.name.place, message).help(help);
            self.findings.push(finding.about(&figure.name.value, Some(&limb.name.value)));
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

    fn unbalanced(&self, index: usize, ratio: f64) -> Option<(String, String)> {
        if self.weight_guessed(index) {
            return None;
        }
        let figure = &*self.fitted.figure;
        let mass = self.limbs[index].mass.as_ref()?;
        let stall = match &self.motors.get(figure.motor_of(index)?)?.work {
            Some(Work::Brushed(load)) => load.stall.0,
            Some(Work::Synchronous(load)) => load.rated.0,
            _ => return None,
        };
        let (torque, weight) = uneven(mass, Mm(AT));
        let share = torque * ratio / stall;
        if share <= UNEVEN {
            return None;
        }
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
        Some((message, help))
    }

    /// The speed of what reaches furthest out.
    fn quick(&self, limb: &Limb) -> Option<(String, String)> {
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
        if speed <= QUICK {
            return None;
        }
        let message = format!(
            "the tip of {} goes round with {} in `{gesture}`.",
            limb.said(),
            print::quickness(speed, self.fitted.figure.system)
        );
        let help = format!(
            "let it turn {} times slower where hands reach it, or keep people an arm's length and more away.",
            decimal((speed / QUICK * 10.0).ceil() / 10.0, 1)
        );
        Some((message, help))
    }

    /// Play that changes sides where what drives the limb is pushed by it.
    fn knocks(&self, index: usize) -> Option<(String, String)> {
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
        Some((message, help))
    }
}
