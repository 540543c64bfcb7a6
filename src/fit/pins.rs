//! Where a second crank pin goes on a motor that moves several limbs (`pin ?`): so that
//! the limbs come to their far ends at once, or by turns, half a turn of the motor apart.
//!
//! Each limb's far end, where its first sweep or stroke leads to, lies at one angle of its
//! own crank; the pin's angle is what is between the two. Half a turn apart is half the
//! time of a cycle, whatever the limbs do between.

use super::codes::{NOT_LOOKED_FOR, PIN_OUT_OF_STEP};
use super::drive::{Ends, SizeName};
use super::{Fitted, FittedFigure, FittedLimb, pin};
use crate::finding::{Finding, Severity, Step};
use crate::mechanism::Size;
use crate::mechanism::solve::nearest_clamp;
use crate::model::{Action, Drive, Figure, Limb, Pin, Source};
use crate::units::print::decimal;
use crate::units::{Deg, Mm, Rad};

/// So much later than another limb it is still at its far end with it (common practice, no
/// source).
const LAG: Deg = Deg(5.0);

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
        let lag = (pin - wanted).signed();
        let step = match said {
            Size::Row { step, .. } => step,
            _ => 0.0,
        };
        if lag.abs() > LAG.max(Deg(0.5 * step)) {
            findings.push(out_of_step(figure, (index, first), drive, (pin, marked)));
        }
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
    let rises = limb.gestures.iter().find_map(|g| {
        matches!(g.action, Action::Sweep { .. } | Action::Stroke { .. }).then_some(!g.downward)
    });
    // Of an image the angles are the mirrored ones, and the way is that of its original.
    let rises = rises? != (limb.mirrors.is_some() && ends.high.angle().is_some());
    Some(Rad(if rises { ends.at_high } else { ends.at_low }).deg())
}

/// Its range holds no angle in step.
fn out_of_step(
    figure: &Figure,
    (limb, first): (usize, usize),
    drive: &Drive,
    (pin, step): (Deg, Deg),
) -> Finding {
    let name = |l: usize| &figure.limbs[l].name.value;
    let lag = (pin - step).signed().abs();
    let (word, how) = match drive.pin {
        Pin::Together => ("together", "at their far ends together"),
        _ => ("alternate", "half a turn apart"),
    };
    let deg = |a: Deg| format!("{} deg", decimal(a.0, 0));
    let message = format!(
        "the crank pin of {}.{} is set at {}, the nearest of its range; {how} with {} it would be {}: the two are {} of the \
         motor out of step.",
        figure.name.value,
        name(limb),
        deg(pin),
        name(first),
        deg(step),
        deg(lag)
    );
    let place = drive.pin_said.and_then(|s| s.ask.or(s.place)).unwrap_or(drive.place);
    let mut finding = Finding::new(&PIN_OUT_OF_STEP, place, message)
        .about(&figure.name.value, Some(name(limb)))
        .help(format!("`pin ? {word}` finds {}; or write the pin without `{word}`.", deg(step)));
    finding.worked.extend([
        Step::given("in step with the pin at", deg(step)),
        Step::given("the nearest of its range", deg(pin)),
        Step::new(
            "out of step by",
            format!("|{} - {}|", decimal(pin.0, 0), decimal(step.0, 0)),
            deg(lag),
        ),
        Step::given("let pass", deg(LAG)),
    ]);
    finding
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

/// How a limb's crank is set beside the first one on its motor's shaft.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PinBeside {
    /// The limb that has the first one, by index.
    pub first: usize,
    /// So far its pin stands counter-clockwise of that one, seen from the front.
    pub ahead: Deg,
    /// From the middle of one pin to that of the other, seen along the shaft.
    pub apart: Option<Mm>,
}

impl FittedFigure {
    /// How a limb's crank is set beside the first one on its motor; `None` of that one
    /// itself, and of what no crank moves.
    #[must_use]
    pub fn pin_beside(&self, limb: usize) -> Option<PinBeside> {
        let made = |l: usize| self.limbs.get(l)?.mechanism.as_ref();
        let own = made(limb)?.pin()?;
        let motor = self.figure.motor_of(limb)?;
        let pin = |l: usize| made(l)?.pin();
        let first = self.figure.driven_by(motor).find(|l| pin(*l).is_some())?;
        if first == limb {
            return None;
        }
        let ahead = (own - pin(first)?).positive();
        let crank = |l: usize| made(l)?.drilled(SizeName::Crank);
        // The cosine rule about the shaft.
        let apart = crank(limb).zip(crank(first)).map(|(a, b)| {
            Mm((a * a + b * b - 2.0 * a * b * libm::cos(ahead.rad().0)).max(0.0).sqrt())
        });
        Some(PinBeside { first, ahead, apart })
    }
}

impl Fitted {
    /// The angle of its crank pin after its motor's first one, of what a crank moves.
    #[must_use]
    pub fn pin(&self) -> Option<Deg> {
        self.follows().map(|f| f.pin)
    }
}
