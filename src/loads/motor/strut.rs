//! A ram or an air cylinder that lifts its limb.

use super::{Job, Work, codes};
use crate::finding::Severity;
use crate::fit::{Fitted, Measure};
use crate::loads::wind_limb::left_out;
use crate::mechanism::Path as _;
use crate::model::MotorKind;
use crate::units::{Newton, print};

/// A ram works at up to this share of its rated force (common practice, no source).
const RAM: f64 = 0.7;
/// A cylinder likewise, where it moves slowly (common practice, no source).
const SLOW: f64 = 0.7;
/// And where it is to be quick.
const QUICK: f64 = 0.5;
/// Quick is more than this, m/s (common practice, no source).
const QUICK_SPEED: f64 = 0.5;

/// What a ram or cylinder bears.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StrutLoad {
    /// The most it must push over its whole way.
    pub push: Newton,
    /// The most it must pull, as a positive number.
    pub pull: Newton,
    /// What it can push: rated, or pressure times area.
    pub can_push: Option<Newton>,
    /// What it can pull.
    pub can_pull: Option<Newton>,
}

impl Job<'_, '_> {
    pub(super) fn strut(&mut self) -> Option<Work> {
        let index = self.limb();
        let fitted = self.bench.fitted;
        let mechanism = fitted.limbs[index].mechanism.as_ref()?;
        let rod = self.bench.rods.get(self.motor).copied().flatten();
        let Some(rod) = rod else {
            self.not_made("what it must lift (weight is not known)", "weighed 0.6 kg");
            return None;
        };
        let [push, pull] = rod.calm;
        let kind = self.actuator().motor.kind;
        let (can_push, can_pull, share) = match kind {
            MotorKind::Ram => {
                let rated = self.actuator().motor.force;
                (rated, rated, RAM)
            }
            _ => {
                let force = |name| figure(mechanism, name);
                (force("force_out"), force("force_in"), self.share(mechanism))
            }
        };
        let load = StrutLoad { push: Newton(push), pull: Newton(pull), can_push, can_pull };
        if can_push.is_none() {
            self.not_made(
                "whether the ram is strong enough (its force is not given)",
                "force 150 N",
            );
        }
        // What a gust adds is told only where the limb's shape was said.
        let limb = &fitted.figure.limbs[index];
        let shaped = !left_out(limb, "outline") && !left_out(limb, "sheet");
        let [windy_push, windy_pull] = rod.windy.filter(|_| shaped).unwrap_or(rod.calm);
        let both =
            [("push", load.push, windy_push, can_push), ("pull", load.pull, windy_pull, can_pull)];
        for (word, calm, windy, can) in both {
            let Some(can) = can else { continue };
            if calm.0 > can.0 * share {
                self.weak(kind, word, calm, can, share);
            } else if windy > can.0 * share {
                self.weak_in_wind(kind, word, Newton(windy), can, share);
            }
        }
        Some(Work::Strut(load))
    }

    /// How much of its force a cylinder may be asked for.
    fn share(&self, mechanism: &Fitted) -> f64 {
        let Some(drive) = mechanism.as_drive() else { return SLOW };
        let time = drive.figures.iter().find_map(|f| match f.value {
            Measure::Time(t) if f.name == "time_up" => Some(t.0),
            _ => None,
        });
        let span = drive.made().way.source().span();
        let stroke = (span.to - span.from) * 1e-3;
        match time {
            Some(t) if t > 0.0 && stroke / t > QUICK_SPEED => QUICK,
            _ => SLOW,
        }
    }

    /// Strong enough in calm air, and not in the gust in which it is to run.
    fn weak_in_wind(
        &mut self,
        kind: MotorKind,
        word: &str,
        needed: Newton,
        can: Newton,
        share: f64,
    ) {
        let (code, what) = match kind {
            MotorKind::Ram => (&codes::RAM_WEAK, "ram"),
            _ => (&codes::CYLINDER_WEAK, "cylinder"),
        };
        let message = format!(
            "in a gust of {} {} asks its {what} to {word} with {}; it has {}, of which {} are to be used.",
            print::wind(self.bench.site.winds.run, self.system()),
            self.name(),
            self.force(needed),
            self.force(can),
            self.force(can * share)
        );
        let said = self.bench.site.winds_said;
        let found = self.report(code, message);
        if !said {
            found.severity = Severity::Advice;
        }
        found.help = Some(
            "write a lower `wind run` and stop it there, take a stronger one, a longer lever hole, or less \
             height across the wind."
                .to_owned(),
        );
    }

    fn force(&self, force: Newton) -> String {
        print::force(force, self.system())
    }

    fn weak(&mut self, kind: MotorKind, word: &str, needed: Newton, can: Newton, share: f64) {
        let (code, what) = match kind {
            MotorKind::Ram => (&codes::RAM_WEAK, "ram"),
            _ => (&codes::CYLINDER_WEAK, "cylinder"),
        };
        let message = format!(
            "{} asks its {what} to {word} with {}; it has {}, of which {} are to be used.",
            self.name(),
            self.force(needed),
            self.force(can),
            self.force(can * share)
        );
        let wanted = print::force_up(needed / share, self.system());
        let found = self.report(code, message);
        if needed.0 > can.0 {
            found.severity = Severity::Error;
        }
        found.help = Some(match kind {
            MotorKind::Ram => {
                format!("take one rated for {wanted}, a longer lever hole, or a counterweight.")
            }
            _ => format!(
                "take a bore or a pressure that gives {wanted}, a longer lever hole, or a counterweight."
            ),
        });
    }
}

/// A force among a mechanism's figures.
fn figure(mechanism: &Fitted, name: &str) -> Option<Newton> {
    mechanism.as_drive()?.figures.iter().find_map(|f| match f.value {
        Measure::Force(n) if f.name == name => Some(n),
        _ => None,
    })
}
