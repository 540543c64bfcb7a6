//! What explains a measurement, in words: what is otherwise, how nearly that explains it, what
//! could as well be, and what would tell one from the other.

use super::Bench;
use super::apart::{self, Also};
use super::as_built::{AsBuilt, OtherBuilt, Puzzle, Seen, Unexplained};
use super::builds::Recipe;
use super::checks::fine;
use super::codes::{BUILT_OTHERWISE, MEASURED_UNEXPLAINED};
use crate::finding::{Place, Step};
use crate::model::{MotorKind, Source};
use crate::units::print::decimal;
use crate::units::{Mm, System};

/// So many of what could as well be are told at most: a tape alone is met by nearly every size.
const FEW: usize = 4;

impl Bench<'_> {
    /// Explains what was measured, if anything was: tells it, and gives the
    /// dimensions as built. `open` names the sizes that were left open.
    pub(super) fn as_built(&mut self, recipe: &Recipe, open: &[&str]) -> Option<AsBuilt> {
        let (seen, place, coarse) = self.seen()?;
        let open: Vec<usize> = (0..recipe.dimensions.len())
            .filter(|&i| {
                let d = &recipe.dimensions[i];
                d.above == 0 && open.contains(&d.name)
            })
            .collect();
        let numbers = if matches!(seen, Seen::Ends(..)) { 2 } else { 1 };
        let open = if open.len() <= numbers { open } else { Vec::new() };
        let system = self.figure.system;
        match (Puzzle { recipe, seen, system }).explain(&open, coarse)? {
            Ok(built) => {
                // An open size may come out of the measurement as it came out of the gesture.
                let other = |c: &(_, f64, f64, _)| (c.2 - c.1).abs() > 0.01;
                if built.alone.is_some() || built.changes.iter().any(other) {
                    self.tell_built(&built, place, system);
                }
                Some(built)
            }
            Err(Unexplained { off }) => {
                let message = format!(
                    "no single dimension of {} explains what was measured on it; the nearest stays off by {} times what can be read.",
                    self.name(),
                    decimal(off, 1)
                );
                let how = self.how_to_measure();
                let help =
                    format!("measure again: with {how}, both ends of the tip against the board.");
                self.report(&MEASURED_UNEXPLAINED, place, message).help = Some(help);
                self.works(seen.sum());
                self.works([Step::given("the nearest is off by, of what can be read", {
                    format!("{} times", decimal(off, 2))
                })]);
                None
            }
        }
    }

    /// How a limb is moved to both of its ends, by what moves it.
    fn how_to_measure(&self) -> &'static str {
        let drive = self.limb.drive.as_ref();
        let motor = drive.and_then(|d| match d.source {
            Source::Motor(motor) => Some(self.figure.actuators[motor].motor.kind),
            Source::Limb(_) => None,
        });
        match motor {
            Some(MotorKind::Servo) => "the servo sent to both ends of its pulses",
            Some(MotorKind::Ram) => "the ram drawn in and pushed out as far as it goes",
            Some(MotorKind::Cylinder) => "the piston drawn in and pushed out as far as it goes",
            _ => "the crank turned slowly by hand",
        }
    }

    fn tell_built(&mut self, built: &AsBuilt, place: Place, system: System) {
        let changes: Vec<String> = built
            .changes
            .iter()
            .map(|&(name, drawn, now, angle)| {
                let [now, drawn] = [now, drawn].map(|value| size(value, angle, system));
                format!("{name} {now} instead of {drawn}")
            })
            .collect();
        let unit = match self.limb.joint {
            crate::model::Joint::Slide { .. } => "mm",
            crate::model::Joint::Pivot { .. } => "deg",
        };
        let changes = changes.join(" and ");
        let alone = built.alone.as_ref();
        let off = alone.map_or(built.off, |one| one.off);
        let message = format!(
            "what was measured on {} is explained by {}, to {} {unit}.",
            self.name(),
            alone.map_or(changes.clone(), |one| said(one, f64::INFINITY, unit, system)),
            decimal(off, if off < 0.05 { 3 } else { 1 })
        );
        let computed = match alone {
            None => "all that follows is computed for the limb as built".to_owned(),
            Some(_) if built.changes.is_empty() => {
                "measure that and write it as it is; until then all that follows is computed as drawn".to_owned()
            }
            Some(_) => format!(
                "measure that and write it as it is; until then all that follows is computed with {changes}, which moves it {}",
                if built.off > off + 0.05 {
                    format!("so to {} {unit}", decimal(built.off, 1))
                } else {
                    "so too".to_owned()
                }
            ),
        };
        let first = built.changes.first().filter(|_| built.changes.len() == 1);
        let also = first.zip(built.also.as_ref());
        let also = also.map(|(&(name, _, now, angle), also)| {
            format!("; {}", self.two_sizes(name, (now, angle), also))
        });
        let others: Vec<String> = built.others.iter().map(|o| said(o, off, unit, system)).collect();
        let others = match others.as_slice() {
            [] => ".".to_owned(),
            // The last one is told in no more words than that there is one more.
            others if others.len() <= FEW + 1 => {
                format!("; it could as well be {}: measure that one.", others.join(" or "))
            }
            others => format!(
                "; it could as well be {}, or one of {} more, which `yardwright check --format json` lists: measure that one.",
                others[..FEW].join(" or "),
                others.len() - FEW
            ),
        };
        let help = format!("{computed}{}{others}", also.unwrap_or_default());
        self.report(&BUILT_OTHERWISE, place, message).help = Some(help);
        for (name, drawn, made, angle) in &built.changes {
            self.works([
                Step::given(format!("{name}, as drawn"), size(*drawn, *angle, system)),
                Step::given(format!("{name}, as built"), size(*made, *angle, system)),
            ]);
        }
        let off = format!("{} {unit}", decimal(built.off, 2));
        self.works([Step::given("what was measured is then met to", off)]);
        if let Some(one) = alone {
            self.works([
                Step::given(format!("{}, as drawn", one.name), size(one.drawn, one.angle, system)),
                Step::given(format!("{}, as built", one.name), size(one.built, one.angle, system)),
                Step::given("met to by that alone", format!("{} {unit}", decimal(one.off, 3))),
            ]);
        }
    }

    /// That a size explains it at two lengths, and what tells the two apart.
    fn two_sizes(&self, name: &str, (now, angle): (f64, bool), also: &Also) -> String {
        let system = self.figure.system;
        let [one, two] = [now, also.built].map(|v| size(v, angle, system));
        let told = format!("{name} {two} moves it so too");
        let Some(apart) = &also.apart else {
            return format!("{told}: measure it, {one} or {two}");
        };
        let stands = apart.stands.map(|v| match self.limb.joint {
            crate::model::Joint::Slide { .. } => fine(Mm(v), system),
            crate::model::Joint::Pivot { .. } => format!("{} deg", decimal(v, 1)),
        });
        let [first, second] = stands;
        let with = match apart.at {
            apart::At::Crank(angle) => format!("its crank at {} deg", decimal(angle.0, 0)),
            apart::At::Long(length) => format!("its pins {} apart", fine(length, system)),
        };
        format!(
            "{told}: measure it, or where the limb stands with {with}: at {first} it is {one}, at {second} {two}"
        )
    }
}

/// A size as people read it.
pub(super) fn size(value: f64, angle: bool, system: System) -> String {
    match angle {
        true => format!("{} deg", decimal(value, 1)),
        false => fine(Mm(value), system),
    }
}

/// Another explanation in words, with how far it stays off where that is farther than what
/// is told first.
fn said(other: &OtherBuilt, first: f64, unit: &str, system: System) -> String {
    // Alone it is told as the first is: not every angle stands in the file.
    let with = match other.with {
        Some((name, value, angle)) => format!(" with {name} {}", size(value, angle, system)),
        None => {
            let also = other.also.as_ref();
            let also = also.map(|a| format!(" or {}", size(a.built, other.angle, system)));
            let drawn = size(other.drawn, other.angle, system);
            format!("{} instead of {drawn}", also.unwrap_or_default())
        }
    };
    let off = if other.off > first + 0.05 {
        format!(" (to {} {unit})", decimal(other.off, 1))
    } else {
        String::new()
    };
    format!("{} {}{with}{off}", other.name, size(other.built, other.angle, system))
}
