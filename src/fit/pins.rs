//! Where a second crank pin goes on a motor that moves several limbs (`pin ?`): so that
//! the limbs come to their far ends at once, or by turns, half a turn of the motor apart.
//!
//! Each limb's far end, where its first sweep or stroke leads to, lies at one angle of its
//! own crank; the pin's angle is what is between the two. Half a turn apart is half the
//! time of a cycle, whatever the limbs do between.

use super::codes::NOT_LOOKED_FOR;
use super::drive::Ends;
use super::{Fitted, FittedLimb, pin};
use crate::finding::{Finding, Severity};
use crate::mechanism::Size;
use crate::mechanism::solve::nearest_clamp;
use crate::model::{Action, Drive, Figure, Limb, Pin, Source};
use crate::units::{Deg, Rad};

/// Sets every open pin of the limbs that are fitted so far; what is wrong with those that
/// nothing decides.
pub(super) fn set(figure: &Figure, done: &mut [Option<FittedLimb>]) -> Vec<Finding> {
    let mut findings = Vec::new();
    for (index, limb) in figure.limbs.iter().enumerate() {
        let Some((drive, motor)) = open(limb) else { continue };
        let turns = |l: &usize| *l != index && figure.limbs[*l].drive.as_ref().is_some_and(at);
        let first = figure.driven_by(motor).find(turns);
        let Some(first) = first else {
            findings.push(alone(figure, index, drive));
            continue;
        };
        let far = |l: usize| far(&figure.limbs[l], done[l].as_ref()?.mechanism.as_ref()?);
        let (Some(own), Some(other)) = (far(index), far(first)) else {
            let sound = |l: usize| done[l].as_ref().is_some_and(|d| d.mechanism.is_some());
            if sound(index) && sound(first) {
                findings.push(nothing(figure, index, first, drive));
            }
            continue;
        };
        let given = figure.limbs[first].drive.as_ref().map_or(Deg(0.0), pin);
        let apart = if drive.pin == Pin::Together { Deg(0.0) } else { Deg(180.0) };
        let wanted = (own - other + given + apart).positive();
        let marked = Deg(libm::round(wanted.0)).positive();
        let said = drive.pin_said.map_or(Size::Free, |s| s.size);
        let pin = nearest_clamp(said, marked).positive();
        if let Some(fitted) = done[index].as_mut().and_then(|d| d.mechanism.as_mut()) {
            match fitted {
                Fitted::FourBar(bar) => bar.pin = pin,
                Fitted::Drive(made) => made.pin = pin,
                Fitted::Servo(_) | Fitted::Spin(_) => {}
            }
        }
    }
    findings
}

/// The drive of a limb whose pin is open, and its motor.
fn open(limb: &Limb) -> Option<(&Drive, usize)> {
    let drive = limb.drive.as_ref().filter(|d| !at(d) && !limb.poisoned)?;
    match drive.source {
        Source::Motor(motor) => Some((drive, motor)),
        Source::Limb(_) => None,
    }
}

const fn at(drive: &Drive) -> bool {
    matches!((drive.pin, drive.source), (Pin::At(_), Source::Motor(_)))
}

/// The angle of its own crank at which a limb is at its far end; `None` of what no crank
/// moves.
fn far(limb: &Limb, fitted: &Fitted) -> Option<Deg> {
    let follows = fitted.follows()?;
    let ends = Ends::of(follows.travel.as_ref()?);
    let rises = limb.gestures.iter().find_map(|g| match &g.action {
        Action::Sweep { from, to, .. } => Some(to.value >= from.value),
        Action::Stroke { from, to, .. } => Some(to.value >= from.value),
        _ => None,
    });
    // The image of a way there is told as the way back: from the lower angle up.
    let rises = rises? != (limb.mirrors.is_some() && ends.high.angle().is_some());
    Some(Rad(if rises { ends.at_high } else { ends.at_low }).deg())
}

/// Nothing to be in step with.
fn alone(figure: &Figure, limb: usize, drive: &Drive) -> Finding {
    let name = &figure.limbs[limb].name.value;
    let message = format!(
        "the crank pin of {}.{name} is open, and no other limb has a known pin on its motor.",
        figure.name.value
    );
    refused(figure, limb, drive, message).help(
        "`pin ? together` and `pin ? alternate` keep step with another limb of the same motor whose pin is \
         not open; with one limb alone leave `pin` out.",
    )
}

fn nothing(figure: &Figure, limb: usize, first: usize, drive: &Drive) -> Finding {
    let name = |l: usize| &figure.limbs[l].name.value;
    let message = format!(
        "the crank pin of {}.{} is open, and it has no one far end to keep step with {}.",
        figure.name.value,
        name(limb),
        name(first)
    );
    refused(figure, limb, drive, message)
        .help("give both limbs a `sweep` or a `stroke`, or write the angle: `pin 180 deg`.")
}

fn refused(figure: &Figure, limb: usize, drive: &Drive, message: String) -> Finding {
    let place = drive.pin_said.and_then(|s| s.ask.or(s.place)).unwrap_or(drive.place);
    let mut finding = Finding::new(&NOT_LOOKED_FOR, place, message)
        .about(&figure.name.value, Some(&figure.limbs[limb].name.value));
    finding.severity = Severity::Error;
    finding
}

impl Fitted {
    /// The angle of its crank pin after its motor's first one, of what a crank moves.
    #[must_use]
    pub fn pin(&self) -> Option<Deg> {
        self.follows().map(|f| f.pin)
    }
}
