//! What is said about motors that cannot do what the music asks.

use crate::finding::Finding;
use crate::model::{MotorKind, MotorType, Span};
use crate::units::print::decimal;
use crate::units::{Bpm, Rpm, Sec};

use super::beat_lock::{EARLIEST, LATEST, Lock};
use super::codes::{
    ACCENT_DROPPED, ACCENT_NOT_REACHED, ACCENT_WITHOUT_SWITCH, BEAT_MISSED, COLD,
    SYNCHRONOUS_DRIFTS, TOO_FAST_FOR_MOTOR, TOO_SLOW_FOR_MOTOR,
};
use super::reach::{Reach, Verdict, beats};
use super::runs::{Member, Pace, Run};
use super::shaft::{Laid, Shaft, Speeds, Turn, speeds};
use super::stage::Stage;

/// One decimal where it matters, none where not.
fn figure(x: f64) -> String {
    let rounded = (x * 10.0).round() / 10.0;
    format!("{rounded}")
}

/// Refuses accents on motors whose angle nobody knows.
pub fn accents_refused(
    stage: &Stage<'_>,
    motor: &MotorType,
    runs: &[Run],
    findings: &mut Vec<Finding>,
) {
    if super::driven::has_contact(motor.switch) {
        return;
    }
    for member in runs.iter().flat_map(|r| &r.members) {
        let Some(accent) = member.accent else { continue };
        let limb = stage.limb_name(member.limb);
        let kind = match motor.kind {
            MotorKind::Synchronous => "; it may even start either way round",
            _ => "",
        };
        findings.push(
            Finding::new(
                &ACCENT_WITHOUT_SWITCH,
                accent.place,
                format!(
                    "{}.{limb} cannot meet a beat: where `{}` stands when the power comes on is unknown{kind}.",
                    stage.name(),
                    motor.name
                ),
            )
            .help("take a motor with a park or index contact (`switch park`), or leave the accent out.")
            .related("asked here", member.cue)
            .about(stage.name(), Some(limb)),
        );
    }
}

/// Holds a run's pace against the motor; whether the run can be laid out.
pub fn speed(
    stage: &Stage<'_>,
    motor: &MotorType,
    reach: &Reach,
    run: &Run,
    findings: &mut Vec<Finding>,
) -> bool {
    let Some(speeds) = speeds(stage, run) else { return true };
    let fast = reach.verdict(Rpm(speeds.fastest));
    let verdict = match fast {
        Verdict::Kept => reach.verdict(Rpm(speeds.slowest)),
        other => other,
    };
    let finding = match verdict {
        Verdict::Kept => return true,
        Verdict::TooFast => too_fast(stage, motor, reach, run, &speeds),
        Verdict::TooFastCold => cold(stage, motor, reach, run, &speeds),
        Verdict::TooSlow => too_slow(stage, motor, reach, run, &speeds),
        Verdict::Drifts(late) => drifts(stage, motor, reach, run, &speeds, late),
    };
    findings.push(finding);
    verdict != Verdict::TooFast
}

/// The gesture's cycle where it is written, else the cue.
fn at(stage: &Stage<'_>, run: &Run, code: &'static crate::finding::Code, text: String) -> Finding {
    let cue = run.members[0].cue;
    let limb = stage.limb_name(run.members[0].limb);
    let finding = Finding::new(code, run.pace_place.unwrap_or(cue), text);
    match run.pace_place {
        Some(place) if place != cue => finding.related("asked here", cue),
        _ => finding,
    }
    .about(stage.name(), Some(limb))
}

fn tempo(stage: &Stage<'_>, run: &Run, speeds: &Speeds) -> Option<Bpm> {
    let musical = match run.pace {
        Pace::Cycle(span) | Pace::Spin { per: span, .. } => !matches!(span, Span::Time(_)),
        Pace::Own | Pace::On => false,
    };
    let song = stage.clock.song.filter(|_| musical)?;
    let beat = stage.clock.beat_of(speeds.at + Sec(1e-6))?;
    Some(song.tempo.tempo_at(crate::units::Beats::nearest(beat)?))
}

/// How the speeds of a cycle and of a motor come about.
fn worked(
    finding: Finding,
    stage: &Stage<'_>,
    run: &Run,
    (reach, speeds): (&Reach, &Speeds),
    wanted: f64,
) -> Finding {
    let rpm = |v: f64| format!("{} rpm", decimal(v, 2));
    let cycle = 60.0 * speeds.turns / wanted;
    let in_time = format!("{} s", decimal(cycle, 3));
    let finding = match tempo(stage, run, speeds).filter(|_| wanted == speeds.fastest) {
        Some(bpm) => {
            let beats = cycle * bpm.0 / 60.0;
            let sum = format!("{} beats x 60/{} bpm", decimal(beats, 3), decimal(bpm.0, 2));
            finding.sum("one cycle at its quickest", sum, in_time)
        }
        None => finding.given("one cycle", in_time),
    };
    let sum = format!("60 x {}/{}", decimal(speeds.turns, 3), decimal(cycle, 3));
    let mut finding = finding
        .sum("that asks of the motor, 60 x its turns/cycle", sum, rpm(wanted))
        .given("without load, by its sheet", rpm(reach.free.0));
    if let Some(spread) = reach.spread.filter(|s| *s > 0.0) {
        let share = decimal(spread * 100.0, 2);
        finding = finding.given("single ones are slower by up to", format!("{share} %")).sum(
            "a slow one, warm",
            format!("{} x (1 - {share}/100)", decimal(reach.free.0, 2)),
            rpm(reach.warm.0),
        );
    }
    if reach.cold.0 < reach.warm.0 {
        let share = decimal((1.0 - reach.cold.0 / reach.warm.0) * 100.0, 2);
        let sum = format!("{} x (1 - {share}/100)", decimal(reach.warm.0, 2));
        finding = finding.sum("a slow one, on a cold night", sum, rpm(reach.cold.0));
    }
    finding
}

/// What this motor can keep, in beats or in seconds.
fn keeps(stage: &Stage<'_>, run: &Run, reach: &Reach, speeds: &Speeds) -> String {
    match tempo(stage, run, speeds) {
        Some(bpm) => {
            format!(
                "at {} bpm it keeps {}.",
                figure(bpm.0),
                reach.cycles(bpm, speeds.turns).words()
            )
        }
        None => {
            let shortest = (60.0 * speeds.turns / reach.cold.0 * 100.0).ceil() / 100.0;
            format!("it keeps {shortest} s or more.")
        }
    }
}

/// Puts a cycle in that works, where the cycle is written in the gesture.
fn with_fix(finding: Finding, stage: &Stage<'_>, run: &Run, reach: &Reach, s: &Speeds) -> Finding {
    let (Some(place), Pace::Cycle(_)) = (run.pace_place, run.pace) else { return finding };
    let Some(bpm) = tempo(stage, run, s) else { return finding };
    let cycles = reach.cycles(bpm, s.turns);
    if cycles.longest.is_some_and(|l| l < cycles.always) {
        return finding;
    }
    let words = beats(cycles.always);
    finding.fix(format!("cycle {words}"), place, words)
}

fn too_fast(
    stage: &Stage<'_>,
    motor: &MotorType,
    reach: &Reach,
    run: &Run,
    speeds: &Speeds,
) -> Finding {
    let spread = match reach.spread {
        Some(s) if s > 0.0 => format!(
            ", and single ones are down to {} ({} % slower)",
            figure(reach.warm.0),
            figure(s * 100.0)
        ),
        _ => String::new(),
    };
    let text = format!(
        "{}.{} needs {} turns a minute; `{}` without load makes {}{spread}.",
        stage.name(),
        stage.limb_name(run.members[0].limb),
        figure(speeds.fastest),
        motor.name,
        figure(reach.free.0),
    );
    let finding = at(stage, run, &TOO_FAST_FOR_MOTOR, text).help(keeps(stage, run, reach, speeds));
    let finding = worked(finding, stage, run, (reach, speeds), speeds.fastest);
    with_fix(finding, stage, run, reach, speeds)
}

fn cold(
    stage: &Stage<'_>,
    motor: &MotorType,
    reach: &Reach,
    run: &Run,
    speeds: &Speeds,
) -> Finding {
    let text = format!(
        "{}.{} needs {} turns a minute; a slow `{}` makes {} when warm, but {} on a cold night.",
        stage.name(),
        stage.limb_name(run.members[0].limb),
        figure(speeds.fastest),
        motor.name,
        figure(reach.warm.0),
        figure(reach.cold.0),
    );
    let finding = at(stage, run, &COLD, text).help(keeps(stage, run, reach, speeds));
    let finding = worked(finding, stage, run, (reach, speeds), speeds.fastest);
    with_fix(finding, stage, run, reach, speeds)
}

fn too_slow(
    stage: &Stage<'_>,
    motor: &MotorType,
    reach: &Reach,
    run: &Run,
    speeds: &Speeds,
) -> Finding {
    let least = reach.least.unwrap_or(Rpm(0.0));
    let text = format!(
        "{}.{} needs {} turns a minute; below {} `{}` no longer turns evenly.",
        stage.name(),
        stage.limb_name(run.members[0].limb),
        figure(speeds.slowest),
        figure(least.0),
        motor.name,
    );
    let help = match tempo(stage, run, speeds) {
        Some(bpm) => match reach.cycles(bpm, speeds.turns).longest {
            Some(longest) if longest >= 1 => {
                format!("at {} bpm its longest cycle is {}.", figure(bpm.0), beats(longest))
            }
            _ => "take a slower motor.".to_owned(),
        },
        None => {
            let longest = (60.0 * speeds.turns / least.0 * 100.0).floor() / 100.0;
            format!("its longest cycle is {longest} s.")
        }
    };
    let duty = motor.least_duty.map_or(0.0, |d| d.0 * 100.0);
    let sum = format!("{} x {}/100", decimal(reach.free.0, 2), decimal(duty, 1));
    let finding = at(stage, run, &TOO_SLOW_FOR_MOTOR, text).help(help);
    worked(finding, stage, run, (reach, speeds), speeds.slowest)
        .given("turns evenly down to", format!("{} % of its voltage", decimal(duty, 1)))
        .sum("that is", sum, format!("{} rpm", decimal(least.0, 2)))
}

fn drifts(
    stage: &Stage<'_>,
    motor: &MotorType,
    reach: &Reach,
    run: &Run,
    speeds: &Speeds,
    late: Sec,
) -> Finding {
    let own = 60.0 * speeds.turns / reach.free.0;
    let way = if late.0 > 0.0 { "late" } else { "early" };
    let in_beats = tempo(stage, run, speeds)
        .map_or(String::new(), |bpm| format!(" ({} beats)", figure(own * bpm.0 / 60.0)));
    let text = format!(
        "`{}` turns once in {} s{in_beats} whatever it is told: against this cycle it is {} ms {way} after one turn, and as much more after every other.",
        motor.name,
        (own * 1000.0).round() / 1000.0,
        figure(late.0.abs() * speeds.turns * 1000.0),
    );
    let (asked, s) = (own - late.0 * speeds.turns, |v: f64| decimal(v, 4));
    let mut finding = at(stage, run, &SYNCHRONOUS_DRIFTS, text)
        .help("leave the cycle out, so that nobody expects it to keep time, or take another motor.")
        .sum(
            "its own cycle, 60 x its turns/speed",
            format!("60 x {}/{}", decimal(speeds.turns, 3), decimal(reach.free.0, 4)),
            format!("{} s", s(own)),
        );
    if let Some(bpm) = tempo(stage, run, speeds) {
        let sum = format!("{} x {}/60", s(own), decimal(bpm.0, 2));
        finding = finding.sum("in beats", sum, format!("{} beats", decimal(own * bpm.0 / 60.0, 2)));
    }
    finding.given("the cycle it is asked for", format!("{} s", s(asked))).sum(
        "off after one turn, + is late",
        format!("({} - {}) x 1000", s(own), s(asked)),
        format!("{} ms", decimal(late.0 * speeds.turns * 1000.0, 1)),
    )
}

/// The accent lies beyond the swing.
pub fn out_of_reach(stage: &Stage<'_>, member: &Member, findings: &mut Vec<Finding>) {
    let Some(accent) = member.accent else { return };
    if stage.mechanism(member.limb).is_none() {
        return;
    }
    let limb = stage.limb_name(member.limb);
    let unit = if accent.value.angle().is_some() { "deg" } else { "mm" };
    let ends = stage
        .mechanism(member.limb)
        .and_then(|m| super::linkage::ends(&m.follows()?, accent.value));
    let finding = Finding::new(
        &ACCENT_NOT_REACHED,
        accent.place,
        format!(
            "{}.{limb} never {} {} {}.",
            stage.name(),
            if member.bends { "bends to" } else { "comes to" },
            figure(accent.value.value()),
            unit
        ),
    )
    .help("an accent lies inside the swing, best at one of its ends.")
    .about(stage.name(), Some(limb))
    .given("the accent is asked at", format!("{} {unit}", decimal(accent.value.value(), 2)));
    findings.push(match ends {
        Some(ends) => {
            let [low, high] = [ends.low, ends.high].map(|p| decimal(p.value(), 2));
            finding.given("its swing as drilled", format!("{low} to {high} {unit}"))
        }
        None => finding,
    });
}

/// Accents at the start of a run that no motor can meet.
pub fn dropped(stage: &Stage<'_>, run: &Run, laid: &Laid, findings: &mut Vec<Finding>) {
    if laid.dropped == 0 {
        return;
    }
    let member = run.members.iter().find(|m| m.accent.is_some()).unwrap_or(&run.members[0]);
    let limb = stage.limb_name(member.limb);
    let text = match laid.turns.first() {
        Some(first) => format!(
            "{}.{limb} would have to start before the motor is free: its first moment on the beat is {}.",
            stage.name(),
            stage.when(first.accent)
        ),
        None => format!("{}.{limb} has no time to move here.", stage.name()),
    };
    let mut finding = Finding::new(&ACCENT_DROPPED, member.cue, text)
        .help("a crank needs up to one cycle to come to its accent: begin the cue later, or end the one before it earlier.")
        .about(stage.name(), Some(limb));
    if let Some(first) = laid.turns.first() {
        let (cycle, turn) = (decimal(first.period.0, 3), decimal(first.fraction * 360.0, 1));
        let lead = decimal((first.period * first.fraction).0, 3);
        finding = finding
            .given("one cycle", format!("{cycle} s"))
            .given("turn from its contact to the accent", format!("{turn} deg"))
            .sum("it starts before the accent by", format!("{cycle} x {turn}/360"), {
                format!("{lead} s")
            })
            .given("its first accent on the beat", stage.when(first.accent));
    }
    findings.push(finding);
}

/// An accent that people will see is off.
pub fn missed(
    stage: &Stage<'_>,
    shaft: &Shaft,
    member: &Member,
    (worst, nominal, turn, fraction): (Sec, Sec, &Turn, f64),
    findings: &mut Vec<Finding>,
) {
    let limb = stage.limb_name(member.limb);
    let (way, bound) = if worst.0 > 0.0 { ("late", LATEST) } else { ("early", EARLIEST) };
    let text = format!(
        "{}.{limb} may be {} ms {way} on the beat; people notice {}.",
        stage.name(),
        (worst.0.abs() * 1000.0).round(),
        (bound.0.abs() * 1000.0).round()
    );
    let help = match shaft.lock {
        Lock::Park { spread } if spread > 0.0 => format!(
            "single motors differ by {} %: count this one's turns (`counted`), take one with `switch index`, or a shorter cycle.",
            figure(spread * 100.0)
        ),
        Lock::Index => "take a shorter cycle.".to_owned(),
        _ => {
            "the limbs of one motor follow the first; give this one a motor of its own.".to_owned()
        }
    };
    let (share, cycle) = (decimal(fraction, 4), decimal(turn.period.0 * 1000.0, 1));
    let ms = |t: Sec| format!("{} ms", decimal(t.0 * 1000.0, 1));
    let own = worst - nominal;
    let (rule, sum) = match shaft.lock {
        Lock::Park { spread } if own.0 >= 0.0 => {
            let s = decimal(spread, 4);
            ("a slow one, spread x share x cycle", format!("{s} x {share} x {cycle}"))
        }
        Lock::Park { spread } => {
            let s = decimal(spread, 4);
            let sum = format!("-{s} x {share} x {cycle} x (1 - {s})/(1 + {s})");
            ("a quick one, spread x share x cycle", sum)
        }
        Lock::Index => ("2 x 0.5 % of a cycle", format!("2 x 0.005 x {cycle}")),
        Lock::None => ("its motor alone", String::new()),
    };
    let mut finding =
        Finding::new(&BEAT_MISSED, member.accent.map_or(member.cue, |a| a.place), text)
            .help(help)
            .related("asked here", member.cue)
            .about(stage.name(), Some(limb))
            .given("one cycle", format!("{cycle} ms"))
            .given("share of the turn from its contact to the accent", share)
            .sum(rule, sum, ms(own));
    if nominal.0.abs() > 5e-5 {
        finding = finding.given("off by itself, + is late", ms(nominal)).sum(
            "at worst",
            format!("{} + {}", ms(nominal), ms(own)),
            ms(worst),
        );
    }
    findings.push(finding.given("people notice", ms(bound)));
}
