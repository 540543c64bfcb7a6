//! Wires that lead onto limbs that move.

use crate::model::{Figure, Joint, Wires};

/// What on a limb, or on what rides on it, wants wires: "the motor of hand", "the lights of
/// arm"; `None` where nothing does.
fn wants(figure: &Figure, index: usize) -> Option<String> {
    let hangs = |mut at: usize| {
        for _ in 0..figure.limbs.len() {
            if at == index {
                return true;
            }
            let Some(next) = figure.limbs[at].carrier else { return false };
            at = next;
        }
        false
    };
    (0..figure.limbs.len()).filter(|n| hangs(*n)).find_map(|n| {
        let limb = &figure.limbs[n];
        // A motor that rides is screwed to the limb that carries its own.
        let motor = n != index && figure.motor_rides(n);
        let what = match (motor, limb.build.lit) {
            (true, _) => "the motor",
            (false, true) => "the lights",
            (false, false) => return None,
        };
        Some(format!("{what} of {}", limb.said()))
    })
}

/// Wires onto a limb that turns on and on, and no slip ring.
pub(super) fn winding(figure: &Figure, index: usize) -> Option<(String, String)> {
    let limb = &figure.limbs[index];
    let what = wants(figure, index).filter(|_| limb.build.wires != Some(Wires::SlipRing))?;
    let verb = if what.starts_with("the motor") { "rides" } else { "ride" };
    let message = format!(
        "{what} {verb} on {}, which turns on and on: the wires wind up and tear.",
        limb.said()
    );
    let help = "lead them through a slip ring on the bolt (`wires slip-ring`), or let it swing to and fro.";
    Some((message, help.to_owned()))
}

/// Wires onto a limb that goes to and fro, of which nobody said how they get there.
pub(super) fn crossing(figure: &Figure, index: usize) -> Option<(String, String)> {
    let limb = &figure.limbs[index];
    let what = wants(figure, index).filter(|_| limb.build.wires.is_none())?;
    let over = match limb.joint {
        Joint::Pivot { .. } => "the bolt it swings on",
        Joint::Slide { .. } => "its guide",
    };
    let message = format!(
        "the wires to {what} are led onto {} and bent to and fro over {over}.",
        limb.said()
    );
    let help = "lead them over in a loose loop of fine-stranded wire, tied down on both sides: `wires loop`.";
    Some((message, help.to_owned()))
}
