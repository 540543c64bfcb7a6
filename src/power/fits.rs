//! Whether each motor suits what feeds and drives it, and keeps its pace with its limbs
//! on it.

use rayon::prelude::*;

use super::{Scene, codes};
use crate::finding::{Finding, Severity, list_of};
use crate::loads::motor::Work;
use crate::model::{Actuator, MotorKind, MotorType, Output, Placed};
use crate::timing::{self, ChannelKind, Reach, Verdict};
use crate::units::Rpm;
use crate::units::print::decimal;

/// A motor may be fed with this much more than it is made for (common practice, no
/// source).
const OVER: f64 = 1.25;
/// A servo, or a motor in step with the mains, wants its voltage within this share
/// (common practice, no source).
const NEAR: f64 = 0.2;

/// Looks at every motor.
pub(super) fn check(scene: &Scene<'_>, findings: &mut Vec<Finding>) {
    let of_figure = |(figure, placed): (usize, &Placed)| {
        let mut own = Vec::new();
        if placed.idle() {
            return own;
        }
        for (motor, actuator) in placed.figure.actuators.iter().enumerate() {
            own.extend(voltage(scene, figure, motor, actuator));
            own.extend(frequency(scene, placed, actuator));
            own.extend(slow(scene, figure, motor));
            own.extend(lags(scene, figure, motor));
        }
        own
    };
    let found: Vec<Vec<Finding>> =
        scene.yard.figures.par_iter().enumerate().map(of_figure).collect();
    findings.extend(found.into_iter().flatten());
    for output in scene.yard.controllers.iter().flat_map(|c| &c.outputs) {
        findings.extend(case_live(scene, output));
    }
}

fn about(placed: &Placed, motor: usize, finding: Finding) -> Finding {
    let limb = placed.figure.driven_by(motor).next();
    let limb = limb.map(|l| placed.figure.limbs[l].name.value.clone());
    finding.about(&placed.name.value, limb.as_deref())
}

/// A motor on a supply of another voltage or sort.
fn voltage(scene: &Scene<'_>, figure: usize, motor: usize, actuator: &Actuator) -> Option<Finding> {
    let placed = &scene.yard.figures[figure];
    let feed = scene.loads[figure].site.feed_of(motor)?;
    let sheet = &actuator.motor;
    let mains = sheet.kind == MotorKind::Synchronous;
    let turns_on_air = sheet.kind == MotorKind::Cylinder;
    if turns_on_air {
        return None;
    }
    let wrong_sort = mains != feed.alternating;
    let share = match (feed.voltage, sheet.voltage) {
        (Some(has), Some(wants)) => Some(has / wants),
        _ => None,
    };
    let exact = mains || sheet.kind == MotorKind::Servo;
    let wrong_volts =
        share.is_some_and(|s| s > OVER || exact && !(1.0 - NEAR..=1.0 + NEAR).contains(&s));
    if !wrong_sort && !wrong_volts {
        return None;
    }
    let sort = |ac: bool| if ac { "alternating" } else { "direct" };
    let volts = |v: Option<crate::units::Volt>| {
        v.map_or(String::new(), |v| format!("{} V ", decimal(v.0, 1)))
    };
    let message = format!(
        "`{}` wants {}{} current; {} gives {}{}.",
        sheet.name,
        volts(sheet.voltage),
        sort(mains),
        feed.supply,
        volts(feed.voltage),
        sort(feed.alternating)
    );
    let block = match (mains, sheet.voltage) {
        (true, Some(v)) => format!("voltage {} V  ac", decimal(v.0, 1)),
        (true, None) => "voltage 24 V  ac".to_owned(),
        (false, Some(v)) => format!("voltage {} V", decimal(v.0, 1)),
        (false, None) => "voltage 12 V".to_owned(),
    };
    let found = Finding::new(&codes::SUPPLY_UNFIT, actuator.place, message)
        .help(format!("feed it from another: `supply NAME at {} {{ {block} }}` and `power NAME` behind the motor.", feed.supply))
        .given("the motor wants", format!("{}{} current", volts(sheet.voltage), sort(mains)))
        .given("it is given", format!("{}{} current", volts(feed.voltage), sort(feed.alternating)));
    Some(about(placed, motor, found))
}

/// A motor for other mains than the yard's.
fn frequency(scene: &Scene<'_>, placed: &Placed, actuator: &Actuator) -> Option<Finding> {
    let sheet = &actuator.motor;
    let (wants, has) = (sheet.frequency?, scene.yard.mains?.1?);
    if sheet.kind != MotorKind::Synchronous || (wants.0 - has.0).abs() < 0.5 {
        return None;
    }
    let free = sheet.free?;
    let message = format!(
        "`{}` turns at {} rpm on {} Hz; these mains have {}, and it turns at {}.",
        sheet.name,
        decimal(free.0, 3),
        decimal(wants.0, 0),
        decimal(has.0, 0),
        decimal(free.0 * has.0 / wants.0, 3)
    );
    let found = Finding::new(&codes::MAINS_UNFIT, actuator.place, message).help(format!(
        "take one for {} Hz, or write its speed there: `frequency {} Hz  free {} rpm`.",
        decimal(has.0, 0),
        decimal(has.0, 0),
        decimal(free.0 * has.0 / wants.0, 3)
    ));
    let found = found
        .given("speed by its sheet", format!("{} rpm", decimal(free.0, 3)))
        .given("on mains of", format!("{} Hz", decimal(wants.0, 1)))
        .given("these mains have", format!("{} Hz", decimal(has.0, 1)))
        .sum(
            "its speed here",
            format!("{} x {}/{}", decimal(free.0, 3), decimal(has.0, 1), decimal(wants.0, 1)),
            format!("{} rpm", decimal(free.0 * has.0 / wants.0, 3)),
        );
    let motor = placed.figure.actuators.iter().position(|a| a.name == actuator.name)?;
    Some(about(placed, motor, found))
}

/// The fastest any show asks of a motor.
fn fastest(scene: &Scene<'_>, figure: usize, motor: &str) -> Option<Rpm> {
    let channels = scene.played[figure].iter().flat_map(|p| &p.channels);
    channels
        .filter(|c| c.kind == ChannelKind::Speed && c.name == motor)
        .flat_map(|c| &c.keys)
        .map(|k| k.value.abs())
        .filter(|v| *v > 0.0)
        .reduce(f64::max)
        .map(Rpm)
}

/// The fastest its own gestures ask of a motor that no show moves.
fn unplayed(scene: &Scene<'_>, figure: usize, motor: usize) -> Option<Rpm> {
    let wanted = super::unplayed::wanted(scene, figure, motor);
    wanted.iter().map(|w| w.speed).reduce(Rpm::max)
}

/// A pace that a motor keeps without load, and not with its limbs on it.
fn slow(scene: &Scene<'_>, figure: usize, motor: usize) -> Option<Finding> {
    let placed = &scene.yard.figures[figure];
    let actuator = &placed.figure.actuators[motor];
    let load = scene.loads[figure].motors.get(motor)?.brushed()?;
    let played = fastest(scene, figure, &actuator.name);
    let wanted = played.or_else(|| unplayed(scene, figure, motor))?;
    // What it cannot do without load either was told when it was timed.
    if Reach::of(&actuator.motor)?.verdict(wanted) != Verdict::Kept {
        return None;
    }
    let running = load.running?;
    let warm = load.warm(actuator.motor.spread)?;
    let worst = load.worst.unwrap_or(Rpm(0.0));
    let name = &actuator.motor.name;
    let limb = &placed.figure.limbs[placed.figure.driven_by(motor).next()?].name.value;
    let asked =
        format!("{}.{limb} needs {} turns a minute", placed.name.value, decimal(wanted.0, 1));
    let found = if wanted > warm {
        let message = format!(
            "{asked}; with its load `{name}` makes {} where it stands, and a slow one {}.",
            decimal(running.mean.0, 1),
            decimal(warm.0, 1)
        );
        Finding::new(&codes::SLOW_UNDER_LOAD, actuator.place, message)
    } else if wanted > worst {
        let message = format!(
            "{asked}; with its load `{name}` makes {} where it stands, but a slow one on a cold night at low \
             voltage {}{}.",
            decimal(running.mean.0, 1),
            decimal(worst.0, 1),
            taken(&actuator.motor)
        );
        Finding::new(&timing::COLD, actuator.place, message)
    } else {
        return None;
    };
    let found = found
        .given("asked for, at the quickest", format!("{} rpm", decimal(wanted.0, 2)))
        .given("with its load, where it stands", format!("{} rpm", decimal(running.mean.0, 2)))
        .sum(
            "a slow one",
            format!(
                "{} x (1 - {})",
                decimal(running.mean.0, 2),
                decimal(1.0 - warm.0 / running.mean.0, 4)
            ),
            format!("{} rpm", decimal(warm.0, 2)),
        )
        .given(
            "a slow one, on a cold night, at low voltage",
            format!("{} rpm", decimal(worst.0, 2)),
        );
    let help = if worst.0 > 0.0 {
        let turn = (60.0 / worst.0 * 100.0).ceil() / 100.0;
        format!(
            "it keeps a turn in {} s or more: a longer cycle, a thicker cable, or a faster motor.",
            decimal(turn, 2)
        )
    } else {
        "it would stand still then: take a thicker cable, a supply nearby, or a stronger motor."
            .to_owned()
    };
    // No show asks for it yet, and the mean of its kind keeps it: worth knowing, no more.
    let keeps = played.is_none() && running.mean >= wanted;
    let found = if keeps { found.with_severity(Severity::Advice) } else { found };
    Some(about(placed, motor, found.help(help)))
}

/// What was taken where the sheet is silent about cold and single motors.
fn taken(sheet: &MotorType) -> String {
    let all = [
        (sheet.spread.is_none(), "10 % slower than its sheet"),
        (sheet.cold.is_none(), "cold grease that doubles its free current"),
    ];
    let words: Vec<&str> = all.into_iter().filter(|(t, _)| *t).map(|(_, w)| w).collect();
    match words.as_slice() {
        [] => String::new(),
        words => format!(" (taken: {})", list_of(words.iter().copied(), "and", 4)),
    }
}

/// A servo told to move faster than it can under its own load, though not faster than
/// without.
fn lags(scene: &Scene<'_>, figure: usize, motor: usize) -> Option<Finding> {
    let placed = &scene.yard.figures[figure];
    let actuator = &placed.figure.actuators[motor];
    let Some(Work::Servo(load)) = &scene.loads[figure].motors.get(motor)?.work else { return None };
    let (can, free) = (load.speed?.0 * 6.0, actuator.motor.slew?);
    let free = free.1.0 / free.0.0;
    let channels = scene.played[figure].iter().flat_map(|p| &p.channels);
    let pairs = channels
        .filter(|c| c.kind == ChannelKind::Angle && c.name == actuator.name)
        .flat_map(|c| c.keys.windows(2));
    let speeds = pairs.map(|k| (k[1].value - k[0].value).abs() / (k[1].at - k[0].at).0.max(1e-3));
    let own = unplayed(scene, figure, motor).map_or(0.0, |rpm| rpm.0 * 6.0);
    let played = speeds.fold(0.0, f64::max);
    let wanted = played.max(own);
    // Above that share of the free speed it was told when it was timed.
    if wanted <= can || wanted > timing::BRISK * free {
        return None;
    }
    let limb = &placed.figure.limbs[placed.figure.driven_by(motor).next()?].name.value;
    let message = format!(
        "{}.{limb} is told to move with up to {} deg/s; under its load `{}` makes {}.",
        placed.name.value,
        decimal(wanted, 0),
        actuator.motor.name,
        decimal(can, 0)
    );
    let found = Finding::new(&timing::TOO_FAST_FOR_SERVO, actuator.place, message)
        .help("give the move more time, balance the limb, or take a faster servo.")
        .with_severity(if played >= wanted { Severity::Warning } else { Severity::Advice })
        .given("told to move with up to", format!("{} deg/s", decimal(wanted, 1)))
        .given("without load it makes", format!("{} deg/s", decimal(free, 1)))
        .given("under its load", format!("{} deg/s", decimal(can, 1)));
    Some(about(placed, motor, found))
}

/// A motor whose case is one of its poles, on a bridge that turns it round, or on a switch
/// between that case and minus.
fn case_live(scene: &Scene<'_>, output: &Output) -> Option<Finding> {
    let (figure, part) = output.target.value.split_once('.')?;
    let placed = scene.yard.figure(figure)?;
    let own = placed.figure.actuators.iter().position(|a| a.name == part);
    let motor = own.or_else(|| placed.figure.motor_of(placed.figure.limb(part)?))?;
    let live = |a: &Actuator| a.motor.case_live == Some(true);
    let sheet = &placed.figure.actuators[motor].motor;
    if !live(&placed.figure.actuators[motor]) {
        return None;
    }
    if output.one_way && output.on_minus != Some(true) {
        return None;
    }
    if output.one_way {
        let others = placed.figure.actuators.iter().filter(|a| live(a)).count() > 1;
        let message = format!(
            "the case of `{}` is its minus, and this output switches its minus: while it is off its case stands at the \
             full voltage, and over one metal frame it {}.",
            sheet.name,
            if others {
                "runs on through the other motors' cases"
            } else {
                "finds its way round the switch"
            }
        );
        let found = Finding::new(&codes::CASE_LIVE, output.target.place, message).help(
            "switch it on its plus side (`one-way on plus`), or take a motor with a free case.",
        );
        let severity = if others { Severity::Error } else { Severity::Warning };
        return Some(about(placed, motor, found.with_severity(severity)));
    }
    let message = format!(
        "the case of `{}` is one of its poles, and this output may turn it both ways: the case would then \
         stand at the full voltage, and two on one metal frame are a short circuit.",
        sheet.name
    );
    let found = Finding::new(&codes::CASE_LIVE, output.target.place, message).help(
        "switch it one way on the plus side (`one-way on plus`), or take a motor with a free case.",
    );
    Some(about(placed, motor, found))
}
