//! Motors that no show moves: what their gestures ask of them all the same.

use super::Scene;
use crate::finding::{Code, Finding, Place, Severity};
use crate::fit::Fitted;
use crate::loads::motor::Wanted;
use crate::model::{Action, Figure, MotorType, Span};
use crate::timing::{BRISK, COLD, Reach, TOO_FAST_FOR_MOTOR, TOO_FAST_FOR_SERVO, Verdict};
use crate::units::Rpm;
use crate::units::print::decimal;

/// The speeds its gestures ask of a motor that no show moves; none of one that a show does:
/// it is looked at where it is timed.
pub(super) fn wanted<'a>(scene: &Scene<'a>, figure: usize, motor: usize) -> &'a [Wanted] {
    let placed = &scene.yard.figures[figure];
    let Some(point) = scene.loads[figure].motors.get(motor) else { return &[] };
    let name = &placed.figure.actuators[motor].name;
    // One that a cue asked for too much has a channel that stands still, and was told of it.
    let parts = scene.played[figure].iter();
    let asked = parts.flat_map(|p| &p.channels).any(|c| c.name == *name);
    if asked { &[] } else { &point.wanted }
}

/// Holds every such motor against its own free speed.
pub(super) fn check(scene: &Scene<'_>, findings: &mut Vec<Finding>) {
    for (index, placed) in scene.yard.figures.iter().enumerate() {
        if placed.idle() {
            continue;
        }
        let figure = &*placed.figure;
        for (motor, actuator) in figure.actuators.iter().enumerate() {
            for wanted in wanted(scene, index, motor) {
                let Some((limb, place, span)) = asks(figure, motor, &wanted.gesture) else {
                    continue;
                };
                let told = judge(&actuator.motor, free(scene, index, motor), wanted.speed);
                let Some((code, severity, said, keeps)) = told else { continue };
                let name = format!("{}.{limb}", placed.name.value);
                let message = format!("{name} needs {said}");
                let cycle = clause(span, wanted.speed.0 / keeps.0);
                findings.push(
                    Finding::new(code, place, message)
                        .with_severity(severity)
                        .help(format!("it keeps {cycle}."))
                        .about(&placed.name.value, Some(&limb)),
                );
            }
        }
    }
}

/// The limb, the place and the time of a gesture of a motor's.
fn asks(figure: &Figure, motor: usize, gesture: &str) -> Option<(String, Place, Span)> {
    figure.driven_by(motor).find_map(|limb| {
        let limb = &figure.limbs[limb];
        let asks = limb.gestures.iter().find(|g| g.name.value == gesture)?;
        let (place, span) = match &asks.action {
            Action::Sweep { cycle: Some(c), .. } | Action::Stroke { cycle: Some(c), .. } => {
                (c.place, c.value)
            }
            Action::Turn { over: Some(o), .. } => (o.place, o.value),
            Action::Spin { per, .. } => (per.place, per.value),
            _ => return None,
        };
        Some((limb.name.value.clone(), place, span))
    })
}

type Judged = (&'static Code, Severity, String, Rpm);

/// The free speed of a servo, as its drive or its sheet has it.
fn free(scene: &Scene<'_>, figure: usize, motor: usize) -> Option<Rpm> {
    let mut limbs = scene.yard.figures[figure].figure.driven_by(motor);
    limbs.find_map(|limb| match scene.fitted[figure].limbs[limb].mechanism.as_ref()? {
        Fitted::Servo(servo) => servo.fastest,
        _ => None,
    })
}

/// What a motor makes of a speed: the code, what is said, and the speed it keeps.
fn judge(motor: &MotorType, servo: Option<Rpm>, wanted: Rpm) -> Option<Judged> {
    let (name, turns) = (&motor.name, |rpm: Rpm| decimal(rpm.0, 1));
    if let Some(free) = servo {
        // Turns a minute in degrees a second.
        let (free, peak) = (free.0 * 6.0, wanted.0 * 6.0);
        let keeps = Rpm(free * BRISK / 6.0);
        let severity = if peak > free { Severity::Error } else { Severity::Warning };
        return (peak > BRISK * free * (1.0 + 1e-9)).then(|| {
            let said = format!(
                "up to {} deg/s of its servo; `{name}` makes {} without load.",
                decimal(peak, 0),
                decimal(free, 0)
            );
            (&TOO_FAST_FOR_SERVO, severity, said, keeps)
        });
    }
    let reach = Reach::of(motor)?;
    let needs = format!("{} turns a minute; ", turns(wanted));
    let (code, severity, said) = match reach.verdict(wanted) {
        Verdict::TooFast => (
            &TOO_FAST_FOR_MOTOR,
            // A middling one does it: the show that asks for it will say more.
            if wanted > reach.free { Severity::Error } else { Severity::Warning },
            match reach.spread {
                Some(s) if s > 0.0 => format!(
                    "`{name}` without load makes {}, and single ones are down to {}.",
                    turns(reach.free),
                    turns(reach.warm)
                ),
                _ => format!("`{name}` without load makes {}.", turns(reach.free)),
            },
        ),
        Verdict::TooFastCold => (
            &COLD,
            Severity::Advice,
            format!(
                "a slow `{name}` makes {} when warm, but {} on a cold night.",
                turns(reach.warm),
                turns(reach.cold)
            ),
        ),
        // How slowly it may be fed is its controller's, and how far one in step with the
        // mains drifts the show's.
        Verdict::Kept | Verdict::TooSlow | Verdict::Drifts(_) => return None,
    };
    Some((code, severity, needs + &said, reach.cold))
}

/// The gesture's time so many times as long, rounded up to what works.
fn clause(span: Span, longer: f64) -> String {
    let whole = |n: f64| (n * longer - 1e-4).ceil();
    let words = match span {
        Span::Time(t) => format!("{} s", decimal(whole(t.0 * 100.0) / 100.0, 2)),
        Span::Beats(b) => format!("{} beats", whole(b.count())),
        Span::Bars(n) => format!("{} bars", whole(n)),
        Span::Eighths(n) => format!("{} eighths", whole(n)),
    };
    format!("{words} or more")
}
