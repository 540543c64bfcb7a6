//! Motors' shafts: whether they reach through all that lies before the motor's face.

use super::bolts::nut_height;
use super::distance::Corner;
use super::stack::{self, SPACER};
use super::told::{DRILLED, Told};
use super::{clash, codes};
use crate::finding::Step;
use crate::geometry::BoardPoint;
use crate::model::{Actuator, DriveKind, MotorKind, Mount, Note};
use crate::units::{Mm, print};

/// The nut on a motor's shaft: M8 (common practice, no source).
const ON_SHAFT: Mm = Mm(8.0);

/// What a motor's shaft must reach through.
struct Through {
    /// How long it must be, mm.
    needs: f64,
    /// What that is made of, in words.
    what: &'static str,
    /// Whether a plate or the board lies before the motor's face.
    behind: bool,
}

/// The holes a motor is screwed on by, with their thread and its diameter, its shaft
/// standing here; none where they, or their thread, are not known.
#[must_use]
pub fn mounting(actuator: &Actuator, shaft: BoardPoint) -> Vec<(BoardPoint, String, Mm)> {
    let holes = actuator.motor.mounting.as_ref();
    let Some((holes, diameter)) = holes.and_then(|m| Some((m, m.diameter?))) else {
        return Vec::new();
    };
    let at = |(x, y): &(f64, f64)| BoardPoint::mm(shaft.x + x, shaft.y + y);
    holes.at.iter().map(|p| (at(p), holes.bolt.value.clone(), diameter)).collect()
}

impl Told<'_> {
    /// Screws of motors that find no wood: told of motors whose holes are known.
    pub(super) fn screws(
        &mut self,
        (index, limb): (usize, usize),
        at: BoardPoint,
        members: &[Vec<Corner>],
    ) {
        let actuator = &self.fitted.figure.actuators[index];
        if actuator.plate.is_some() {
            return;
        }
        let holes = mounting(actuator, at);
        let over = |(p, _, diameter): &(BoardPoint, String, Mm)| {
            clash::uncovered([p.x, p.y], diameter.0 / 2.0, members)
        };
        let bare: Vec<f64> = holes.iter().map(over).filter(|o| *o > DRILLED).collect();
        if bare.is_empty() {
            return;
        }
        let worst = bare.iter().copied().fold(0.0, f64::max);
        let message = format!(
            "{} of the {} screws of the motor of {} find no wood: the frame ends {} beside the \
             farthest.",
            bare.len(),
            holes.len(),
            self.name(limb),
            print::size(Mm(worst), 0, self.fitted.figure.system)
        );
        let system = self.fitted.figure.system;
        let finding = self.tell(&codes::MOTOR_UNBACKED, limb, message);
        finding.worked = vec![
            Step::new("its screws", "", holes.len().to_string()),
            Step::new("of those with more than a drilled hole's error without wood", "", {
                bare.len().to_string()
            }),
            Step::new("the farthest is without wood by", "", print::fine(Mm(worst), system)),
        ];
        finding.help = Some(
            "move a member behind them, lay a piece of wood across two members, or screw the motor to a \
             plate (`plate 9 mm`)."
                .to_owned(),
        );
    }

    /// Shafts of motors that turn round.
    pub(super) fn shafts(&mut self) {
        let figure = &self.fitted.figure;
        let mut asked = false;
        for (index, actuator) in figure.actuators.iter().enumerate() {
            let turns = matches!(actuator.motor.kind, MotorKind::Brushed | MotorKind::Synchronous);
            let limb = (0..figure.limbs.len()).find(|&l| figure.motor_of(l) == Some(index));
            let Some(limb) = limb.filter(|&l| turns && !figure.limbs[l].poisoned) else { continue };
            let Some(through) = self.through(index, limb) else { continue };
            let Some(said) = actuator.motor.shaft_length else {
                // Where nothing but a crank lies before its face every shaft will do; and
                // one question a figure is enough.
                if through.behind && !asked {
                    asked = true;
                    let what = format!(
                        "whether the shaft of the motor {} is long enough ({} before its face come to {})",
                        actuator.name,
                        through.what,
                        print::size(Mm(through.needs), 0, figure.system)
                    );
                    self.to.limbs[limb].not_checked.push(Note::new(what, "shaft 25 mm"));
                }
                continue;
            };
            if said.0 + DRILLED >= through.needs {
                continue;
            }
            let message = format!(
                "the shaft of the motor {} stands out by {}, and {} before its face come to {}.",
                actuator.name,
                print::size(said, 0, figure.system),
                through.what,
                print::size(Mm(through.needs), 0, figure.system)
            );
            let short = through.needs - said.0;
            let help = match actuator.plate.map(|p| p.0 - short).filter(|p| *p >= 1.0) {
                Some(plate) => format!(
                    "screw it to a plate of {} or less, or cut a pocket into the plate.",
                    print::size_down(Mm(plate), figure.system)
                ),
                None => format!(
                    "take a motor whose shaft stands out by {} or more, or a hub that lengthens it.",
                    print::size_up(Mm(through.needs), figure.system)
                ),
            };
            let finding = self.tell(&codes::SHAFT_TOO_SHORT, limb, message);
            finding.help = Some(help);
            finding.worked = vec![
                Step::new(through.what, "", print::fine(Mm(through.needs), figure.system)),
                Step::new("the shaft stands out by", "", print::fine(said, figure.system)),
            ];
        }
    }

    /// What the shaft of a motor goes through, from its face on; `None` where that is not
    /// known.
    fn through(&self, motor: usize, limb: usize) -> Option<Through> {
        let figure = &self.fitted.figure;
        let nut = nut_height(ON_SHAFT);
        let plate = figure.actuators[motor].plate.map(|p| p.0);
        if let Some(on) = self.stack.carried[motor] {
            return Some(Through {
                needs: plate.unwrap_or(0.0) + SPACER + on.back - on.front + nut,
                what: match plate {
                    Some(_) => "plate, washer, what sits on it and a nut",
                    None => "washer, what sits on it and a nut",
                },
                behind: plate.is_some(),
            });
        }
        let limb = &figure.limbs[limb];
        let direct = matches!(
            limb.drive.as_ref().map(|d| &d.mechanism),
            Some(DriveKind::Spin(spin)) if spin.by == "direct"
        );
        // Straight on the shaft and before the board: the motor is behind it.
        if !direct || limb.mount != Mount::Front || !stack::on_shaft(limb) {
            return None;
        }
        let own = self
            .to
            .stack
            .iter()
            .find(|l| l.role == stack::Role::Limb && l.name == limb.name.value)?;
        let through = plate.unwrap_or_else(|| stack::bushing_end(self.fitted, limb).0);
        Some(Through {
            needs: through - own.depth.front + nut,
            what: "board and frame, washer, limb and a nut",
            behind: true,
        })
    }
}
