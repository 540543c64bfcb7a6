//! Which output of which controller each motor hangs on.
//!
//! An `out` that is written is kept. A motor that none names gets the next free output
//! of the controller that stands nearest to its figure: a maker screws wires to numbered
//! terminals, and wants a number for each even before having thought about it.

use std::collections::{BTreeMap, BTreeSet};

use crate::geometry::YardPoint;
use crate::model::{Controller, MotorKind, Note, Wired, Yard};

/// The output of every motor, in the order of figures and motors; empty for a yard
/// without a controller.
///
/// A cylinder's output is that of its valve.
pub(super) fn wiring(yard: &Yard) -> Vec<Wired> {
    // The first `out` that names a target has it.
    let mut written = BTreeMap::new();
    for (controller, c) in yard.controllers.iter().enumerate() {
        for out in &c.outputs {
            written.entry(out.target.value.as_str()).or_insert((controller, out));
        }
    }
    let mut free: Vec<Free> = yard.controllers.iter().map(Free::new).collect();
    let mut wiring = Vec::new();
    for (figure, placed) in yard.figures.iter().enumerate() {
        for (motor, actuator) in placed.figure.actuators.iter().enumerate() {
            let limbs = placed.figure.driven_by(motor);
            let limbs = limbs.map(|l| placed.figure.limbs[l].name.value.as_str());
            let said = std::iter::once(actuator.name.as_str())
                .chain(limbs)
                .find_map(|part| written.get(format!("{}.{part}", placed.name.value).as_str()));
            if let Some(&(controller, out)) = said {
                let (number, signal) = (out.number, out.signal);
                wiring.push(Wired { controller, number, figure, motor, signal, written: true });
            } else if let Some(controller) = nearest(&yard.controllers, placed.at) {
                let number = free[controller].take();
                let signal = signal(actuator.motor.kind);
                wiring.push(Wired { controller, number, figure, motor, signal, written: false });
            }
        }
    }
    wiring
}

/// Motors with a live case on outputs of which nobody says on which side they switch.
pub(super) fn sides(yard: &Yard) -> Vec<Note> {
    let unsaid = |wired: &&Wired| {
        let mut outputs = yard.controllers[wired.controller].outputs.iter();
        let motor = &yard.figures[wired.figure].figure.actuators[wired.motor].motor;
        // An output that nobody wrote may be of any sort.
        motor.case_live == Some(true)
            && (!wired.written
                || outputs.any(|o| o.number == wired.number && o.one_way && o.on_minus.is_none()))
    };
    let note = |wired: &Wired| {
        let placed = &yard.figures[wired.figure];
        let motor = &placed.figure.actuators[wired.motor];
        let what = format!(
            "on which side output {} switches {}.{}, whose case is its minus",
            wired.number, placed.name.value, motor.name
        );
        let settle = match wired.written {
            true => "one-way on plus".to_owned(),
            false => format!(
                "controller {} {{ out {} {}.{} pwm one-way on plus }}",
                yard.controllers[wired.controller].name.value,
                wired.number,
                placed.name.value,
                motor.name
            ),
        };
        Note::new(what, settle)
    };
    yard.wiring.iter().filter(unsaid).map(note).collect()
}

/// The outputs of a controller that no `out` names.
struct Free {
    taken: BTreeSet<u32>,
    next: u32,
}

impl Free {
    fn new(controller: &Controller) -> Self {
        Self { taken: controller.outputs.iter().map(|o| o.number).collect(), next: 1 }
    }

    /// The least of them, which is then no longer free.
    fn take(&mut self) -> u32 {
        while self.taken.contains(&self.next) {
            self.next += 1;
        }
        self.next += 1;
        self.next - 1
    }
}

/// The controller nearest to a place; of equally near ones the first. One without a
/// place counts as far away.
fn nearest(controllers: &[Controller], to: YardPoint) -> Option<usize> {
    let far =
        |c: &Controller| c.at.map_or(f64::INFINITY, |at| libm::hypot(at.x - to.x, at.y - to.y));
    (0..controllers.len()).min_by(|a, b| far(&controllers[*a]).total_cmp(&far(&controllers[*b])))
}

/// What such a motor listens to: the word an `out` would carry. A ram is turned round by
/// its polarity, for which there is no word.
const fn signal(kind: MotorKind) -> Option<&'static str> {
    match kind {
        MotorKind::Servo => Some("pulse"),
        MotorKind::Brushed | MotorKind::Spool => Some("pwm"),
        MotorKind::Synchronous | MotorKind::Cylinder => Some("switch"),
        MotorKind::Ram => None,
    }
}
