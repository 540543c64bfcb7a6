//! A whole show played out.

use std::collections::BTreeMap;
use std::sync::Arc;

use rayon::prelude::*;

use crate::finding::{Finding, Place};
use crate::fit::{Fitted, FittedFigure, RamPace};
use crate::loads::LoadedFigure;
use crate::mechanism::Strut;
use crate::model::{
    Action, AirSaid, CordDrive, DriveKind, MotorKind, MotorType, Note, Placed, Show, Source, Yard,
};
use crate::resolve::cast::Cast;
use crate::resolve::moment::Clock;
use crate::units::{Deg, Sec};

use super::codes::{CUES_LOST, GESTURE_UNFIT, SHOW_ENDLESS};
use super::expand::{Ask, AskTold, expand, sound_delay};
use super::follow::Heard;
use super::rehearsal::{Coming, Part, Parts, PlayedPart, Rehearsal, left};
use super::stage::{Played, Stage};
use super::{FigurePart, Performance, carried, driven, riding, servo, strut};

/// Plays a show: every cue spelt out, every motor's commands, every limb's motion.
///
/// `figures` are those of `yard.figures`, in its order, `show` is one of its shows
/// by index. All times count from the
/// start signal: a moment of the song plus [`sound_delay`], because people see a
/// limb at once and hear the song that much later. Figures are played side by
/// side; the result does not depend on how.
#[must_use]
pub fn perform(
    yard: &Arc<Yard>,
    figures: &[Arc<FittedFigure>],
    show: usize,
    findings: &mut Vec<Finding>,
) -> Performance {
    perform_again(yard, figures, &[], show, &mut Rehearsal::default(), findings)
}

/// As [`perform`], with what rams and spools lift (`loads`, in the figures' order; empty:
/// nothing), and every figure that plays the same as the last time is not
/// played again.
#[must_use]
pub fn perform_again(
    yard: &Arc<Yard>,
    figures: &[Arc<FittedFigure>],
    loads: &[Arc<LoadedFigure>],
    show: usize,
    rehearsal: &mut Rehearsal,
    findings: &mut Vec<Finding>,
) -> Performance {
    let coming = Coming { yard, show, fitted: figures, loads };
    let show = coming.show();
    let cast = Cast::new(yard);
    let clock = Clock { song: show.song.as_deref(), delay: sound_delay(yard, show) };
    let changed = rehearsal.changed(&coming, &clock);
    let asks = expand(&cast, &clock, show, changed.as_deref());
    if asks.overflow {
        findings.push(
            Finding::new(
                &SHOW_ENDLESS,
                show.name.place,
                "this show tells more than 2,000,000 things.",
            )
            .help("look for an `every` that is far too short."),
        );
    }
    let duration = duration(&clock, &asks.by_figure);
    rehearsal.begin(&coming, &clock, duration);
    listen(rehearsal.heard(), &clock, &asks.by_figure);
    let heard = rehearsal.all_heard();
    let same = |index: usize| changed.as_ref().is_some_and(|c| !c[index]);
    let kept = if changed.is_none() { rehearsal.parts() } else { Parts::default() };
    let parts: Vec<Option<Part>> = yard
        .figures
        .par_iter()
        .enumerate()
        .zip(figures.par_iter())
        .zip(asks.by_figure.par_iter())
        .map(|(((index, placed), fitted), asks)| {
            if same(index) {
                return rehearsal.part_at(index);
            }
            let play = || {
                let motors = coming.motors(index);
                let stage = Stage { clock: &clock, duration, placed, fitted, motors, seen: None };
                let played = play_figure(&stage, asks, heard);
                Part::new((fitted, left(motors)), asks, played_part(placed, played))
            };
            (!asks.is_empty()).then(|| {
                let own = (fitted, left(coming.motors(index)));
                kept.part(placed, own, asks).unwrap_or_else(play)
            })
        })
        .collect();
    let performance = gather(yard, show, duration, &parts, findings);
    rehearsal.keep(&coming, (clock.delay, duration), !asks.overflow, parts);
    performance
}

/// What a figure does, as it is kept.
fn played_part(placed: &Placed, played: Played) -> PlayedPart {
    let idle = played.channels.is_empty() && played.limbs.is_empty();
    let part = (!idle).then(|| {
        Arc::new(FigurePart {
            figure: placed.name.value.clone(),
            channels: played.channels,
            limbs: played.limbs,
        })
    });
    PlayedPart { part, accents: played.accents, findings: played.findings, end: played.end }
}

/// The length of the show: of the song, or to the last cue where there is none.
fn duration(clock: &Clock<'_>, asks: &[Vec<Ask<'_>>]) -> Sec {
    let song = clock.song.and_then(|s| s.duration).map(|d| d + clock.delay);
    song.unwrap_or_else(|| {
        let ends = asks.iter().flatten().map(|a| {
            let own = match a.told {
                AskTold::Do(action) => super::expand::own_span(action),
                AskTold::Rest => None,
            };
            a.to.or_else(|| Some(a.from + clock.length(a.at, own?)?)).unwrap_or(a.from)
        });
        ends.fold(Sec(0.0), Sec::max)
    })
}

/// Everything that is followed, listened to once.
fn listen(heard: &mut Heard, clock: &Clock<'_>, asks: &[Vec<Ask<'_>>]) {
    for ask in asks.iter().flatten() {
        if let AskTold::Do(action) = ask.told {
            heard.listen(clock.song, action);
        }
    }
}

/// One figure's part.
fn play_figure(stage: &Stage<'_>, asks: &[Ask<'_>], heard: &Heard) -> Played {
    let mut played = Played::default();
    played.findings.extend(lost(stage.placed, asks, stage));
    if stage.placed.idle() {
        return played;
    }
    let figure = stage.figure();
    let later = carried::motors(stage.fitted);
    for motor in (0..figure.actuators.len()).filter(|m| !later.contains(m)) {
        play_motor(stage, motor, asks, &mut played);
    }
    for limb in (0..figure.limbs.len()).filter(|&l| !carried::plays(stage.fitted, l)) {
        play_limb(stage, limb, asks, heard, &mut played);
    }
    for motor in later {
        carried::play(stage, motor, asks, heard, &mut played);
    }
    for limb in riding::in_order(stage) {
        riding::play(stage, limb, asks, heard, &mut played);
    }
    played
}

/// What a motor turns, where it turns anything.
pub(super) fn play_motor(stage: &Stage<'_>, motor: usize, asks: &[Ask<'_>], played: &mut Played) {
    let told = |a: &&Ask<'_>| turned(stage, a.limb, motor);
    let of_motor: Vec<Ask<'_>> = asks.iter().filter(told).copied().collect();
    if !of_motor.is_empty() {
        driven::play(stage, motor, &of_motor, played);
    }
}

/// A limb with a servo, a strut or a wound cord of its own, where it has one.
pub(super) fn play_limb(
    stage: &Stage<'_>,
    limb: usize,
    asks: &[Ask<'_>],
    heard: &Heard,
    played: &mut Played,
) {
    let figure = stage.figure();
    let servo = matches!(stage.mechanism(limb), Some(Fitted::Servo(_)));
    let by_length = by_length(figure, limb);
    if !(servo || by_length) || !stage.plays(limb) {
        return;
    }
    // What it pushes in turn is told through it.
    let motor = figure.motor_of(limb);
    let told = |a: &&Ask<'_>| {
        a.limb == limb || (by_length && figure.motor_of(a.limb) == motor && stage.plays(a.limb))
    };
    if servo {
        told_in_vain(stage, limb, asks, played);
    }
    let of_limb: Vec<Ask<'_>> = asks.iter().filter(told).copied().collect();
    if of_limb.is_empty() {
        return;
    }
    if by_length {
        strut::play(stage, limb, &of_limb, played);
    } else {
        servo::play(stage, limb, &of_limb, heard, played);
    }
}

/// Reports cues of the limbs that a limb on a servo pushes: a servo is told an angle of
/// the limb it stands under, and has no turn of its own that another limb's gesture
/// could set going.
fn told_in_vain(stage: &Stage<'_>, arm: usize, asks: &[Ask<'_>], played: &mut Played) {
    let figure = stage.figure();
    let motor = figure.motor_of(arm);
    let pushed = |limb: usize| {
        let drive = figure.limbs[limb].drive.as_ref();
        stage.plays(limb)
            && figure.motor_of(limb) == motor
            && drive.is_some_and(|d| matches!(d.source, Source::Limb(_)))
    };
    let moves = |ask: &&Ask<'_>| matches!(ask.told, AskTold::Do(a) if !matches!(a, Action::On | Action::Off));
    for ask in asks.iter().filter(|a| pushed(a.limb)).filter(moves) {
        let (arm, limb) = (&figure.limbs[arm], stage.limb_name(ask.limb));
        let text = format!(
            "{0}.{limb} is pushed by {0}.{1}, whose servo goes where that limb is told: this cue moves nothing.",
            stage.name(),
            arm.name.value
        );
        let known = arm.gestures.first().map_or("turn to A over T", |g| g.name.value.as_str());
        played.findings.push(
            Finding::new(&GESTURE_UNFIT, ask.cue, text)
                .help(format!("cue {} instead: `{} {known}`.", arm.name.value, arm.name.value))
                .about(stage.name(), Some(limb)),
        );
    }
}

/// Whether a limb is moved by a length of its own: a ram's or cylinder's, or that of a
/// cord that a spool, a ram or a cylinder draws in.
fn by_length(figure: &crate::model::Figure, limb: usize) -> bool {
    let Some(drive) = &figure.limbs[limb].drive else { return false };
    let Source::Motor(motor) = drive.source else { return false };
    let kind = figure.actuators[motor].motor.kind;
    let winds = matches!(kind, MotorKind::Ram | MotorKind::Spool | MotorKind::Cylinder);
    match drive.mechanism {
        DriveKind::Strut(_) => true,
        DriveKind::Cord(_) => winds,
        _ => false,
    }
}

/// Whether a limb is turned by this motor and nothing about it was reported.
fn turned(stage: &Stage<'_>, limb: usize, motor: usize) -> bool {
    let turns = |m: &MotorType| matches!(m.kind, MotorKind::Brushed | MotorKind::Synchronous);
    stage.plays(limb)
        && turns(&stage.figure().actuators[motor].motor)
        && stage.figure().limbs[limb].drive.as_ref().is_some_and(|d| d.mechanism.is_turned())
        && stage.figure().motor_of(limb) == Some(motor)
}

/// What a laid-up figure misses.
fn lost(placed: &Placed, asks: &[Ask<'_>], stage: &Stage<'_>) -> Option<Finding> {
    let laid_up = placed.laid_up.as_ref().filter(|l| l.missed)?;
    let tells = asks.iter().filter(|a| a.told != AskTold::Rest);
    let accents = asks
        .iter()
        .filter(|a| matches!(a.told, AskTold::Do(Action::Sweep { accent: Some(_), .. })));
    let first =
        asks.first().map_or(String::new(), |a| format!(", first at {}", stage.when(a.from)));
    let text = format!(
        "{} is laid up{} and misses {} cues, {} of them with accents{first}.",
        placed.name.value,
        placed.plays_before().map_or(String::new(), |from| format!(" from {from} on")),
        tells.count(),
        accents.count()
    );
    Some(
        Finding::new(&CUES_LOST, laid_up.place, text)
            .help("put another figure in for it, or leave the gap.")
            .about(&placed.name.value, None),
    )
}

/// Puts the figures together.
fn gather(
    yard: &Yard,
    show: &Show,
    duration: Sec,
    parts: &[Option<Part>],
    findings: &mut Vec<Finding>,
) -> Performance {
    let mut performance = Performance {
        show: show.name.value.clone(),
        duration,
        sound_delay: sound_delay(yard, show),
        ..Performance::default()
    };
    let mut all = Vec::new();
    for part in parts.iter().flatten() {
        let played = &part.played;
        all.extend(played.findings.iter().cloned());
        performance.duration = performance.duration.max(played.end);
        performance.accents.extend(played.accents.iter().cloned());
        performance.figures.extend(played.part.clone());
    }
    performance.accents.sort_by(|a, b| a.wanted.0.total_cmp(&b.wanted.0));
    findings.extend(once_each(all));
    performance
}

/// One finding for each fault: limbs that show the same one at the same place are
/// listed with the first.
fn once_each(all: Vec<Finding>) -> Vec<Finding> {
    let mut first: BTreeMap<(&'static str, Option<Place>), usize> = BTreeMap::new();
    let mut kept: Vec<Finding> = Vec::new();
    for finding in all {
        let name = |f: &Finding| Some(format!("{}.{}", f.figure.as_ref()?, f.limb.as_ref()?));
        match first.get(&(finding.code.word, finding.place)) {
            None => {
                first.insert((finding.code.word, finding.place), kept.len());
                kept.push(finding);
            }
            Some(&at) => {
                let earlier = &mut kept[at];
                let also = name(&finding).filter(|n| name(earlier).as_ref() != Some(n));
                if let Some(also) = also.filter(|a| !earlier.also.contains(a)) {
                    earlier.also.push(also);
                }
                if finding.severity < earlier.severity {
                    earlier.severity = finding.severity;
                }
            }
        }
    }
    kept
}

/// What the timing of a limb takes for granted.
#[must_use]
pub fn assumed(fitted: &FittedFigure, limb: usize) -> Option<Note> {
    let figure = &fitted.figure;
    let drive = figure.limbs[limb].drive.as_ref()?;
    let motor = figure.motor_of(limb).map(|m| &*figure.actuators[m].motor);
    let plays = !rides_unplayed(fitted, limb);
    let word = match (&drive.mechanism, motor.map(|m| m.kind)) {
        (DriveKind::Strut(strut), _) if plays && strut.strut != Strut::Cylinder => "ram",
        (DriveKind::Cord(cord), Some(MotorKind::Ram | MotorKind::Spool)) => {
            RamPace::of_cord(cord, motor?)?.word
        }
        _ => return None,
    };
    let settle = if figure.limbs[limb].rest.is_none() { "rest 0 deg" } else { "" };
    Some(Note::new(format!("the {word} stands at its rest when a show starts"), settle))
}

/// What the timing of a limb did not take into account in this version, and what
/// would settle it; for the limb's list of checks not made.
#[must_use]
pub fn not_checked(fitted: &FittedFigure, limb: usize) -> Vec<Note> {
    let figure = &fitted.figure;
    let Some(drive) = figure.limbs[limb].drive.as_ref() else { return Vec::new() };
    let mut notes = Vec::new();
    let motor = figure.motor_of(limb).map(|m| &*figure.actuators[m].motor);
    let kind = motor.map(|m| m.kind);
    match &drive.mechanism {
        DriveKind::Forearm(_) => {}
        _ if rides_unplayed(fitted, limb) => notes.push(Note::new(
            "cues of a limb that rides on another with a motor on the board (this version does not \
             compute them yet)",
            "",
        )),
        DriveKind::Strut(strut) => notes.extend(strut_notes(strut.strut, &strut.air, motor)),
        DriveKind::Cord(_) if kind == Some(MotorKind::Servo) => {
            notes.extend(servo_notes(motor, None));
        }
        DriveKind::Cord(cord) if kind == Some(MotorKind::Cylinder) => {
            notes.extend(strut_notes(Strut::Cylinder, &cord.air, motor));
        }
        DriveKind::Cord(cord) if matches!(kind, Some(MotorKind::Ram | MotorKind::Spool)) => {
            notes.extend(motor.into_iter().flat_map(|m| wound_notes(cord, m)));
        }
        DriveKind::Cord(_)
            if !matches!(kind, Some(MotorKind::Brushed | MotorKind::Synchronous)) =>
        {
            notes.push(no_cues(drive.mechanism.kind()));
        }
        DriveKind::FourBar(_)
        | DriveKind::Spin(_)
        | DriveKind::SlottedArm(_)
        | DriveKind::SliderCrank(_)
        | DriveKind::ScotchYoke(_)
        | DriveKind::Cord(_)
        | DriveKind::Cam(_) => notes.extend(motor.into_iter().flat_map(motor_notes)),
        DriveKind::Servo(said) => notes.extend(servo_notes(motor, said.slew)),
    }
    notes
}

/// Whether a limb rides with its motor on the board in a way that is not computed.
fn rides_unplayed(fitted: &FittedFigure, limb: usize) -> bool {
    let figure = &fitted.figure;
    let rides = figure.limbs[limb].carrier.is_some() && !figure.motor_rides(limb);
    rides && !carried::plays(fitted, limb)
}

fn strut_notes(strut: Strut, air: &AirSaid, motor: Option<&MotorType>) -> Vec<Note> {
    if strut == Strut::Cylinder {
        // Of a tank with a name it is told with its air.
        let what = "whether its air lasts the show (no tank)";
        let unknown = air.tank.is_none().then(|| Note::new(what, "air TANK at 400 kPa"));
        return unknown.into_iter().collect();
    }
    let mut notes = Vec::new();
    if motor.is_some_and(|m| m.speed_mm_s.is_some() && m.spread.is_none()) {
        notes.push(Note::new("how much single rams differ", "spread 10 %"));
    }
    if motor.is_some_and(|m| m.duty.is_none()) {
        notes.push(Note::new("how hot the ram gets", "duty 25 %"));
    }
    notes
}

/// Of a cord that a spool, a ram or a cylinder draws in.
fn wound_notes(cord: &CordDrive, motor: &MotorType) -> Vec<Note> {
    let Some(pace) = RamPace::of_cord(cord, motor) else {
        let (what, clause) = match motor.kind {
            MotorKind::Ram => {
                ("cues of the cord (the speed of its ram is not known)", "speed 0.01 m/s")
            }
            _ if motor.free.is_none() => {
                ("cues of the cord (how fast its spool turns is not known)", "free 30 rpm 0.5 A")
            }
            _ => ("cues of the cord (the diameter of its spool is not said)", "spool 40 mm"),
        };
        return vec![Note::new(what, clause)];
    };
    let mut notes = Vec::new();
    if motor.kind == MotorKind::Spool {
        let later =
            "where the spool stands after a while, stopped by time alone, its cord in layers";
        notes.push(Note::beyond(later, "let the limb meet a stop once in each show"));
    }
    if motor.spread.is_none() {
        notes.push(Note::new(format!("how much single {}s differ", pace.word), "spread 10 %"));
    }
    if motor.duty.is_none() {
        notes.push(Note::new(format!("how hot the {} gets", pace.word), "duty 25 %"));
    }
    notes
}

/// Of a mechanism whose cues are not computed.
fn no_cues(kind: crate::mechanism::Kind) -> Note {
    Note::new(format!("cues of a {} (this version does not compute them yet)", kind.word()), "")
}

fn servo_notes(motor: Option<&MotorType>, slew: Option<(Sec, Deg)>) -> Vec<Note> {
    let mut notes = Vec::new();
    if slew.is_none() && motor.is_some_and(|m| m.slew.is_none()) {
        notes.push(Note::new("speed of the servo", "slew 0.17 s per 60 deg"));
    }
    notes
}

/// What is not known of a motor whose sheet is silent about the cold.
pub const COLD_SPEED: &str = "speed on a cold night";

fn motor_notes(motor: &crate::model::MotorType) -> Vec<Note> {
    let mut notes = Vec::new();
    if motor.free.is_none() {
        notes.push(Note::new("which cycles the motor keeps", "free 45 rpm 1.2 A"));
    }
    if motor.kind == MotorKind::Brushed {
        if motor.spread.is_none() {
            notes.push(Note::new("how much single motors differ", "spread 10 %"));
        }
        if motor.cold.is_none() {
            notes.push(Note::new(COLD_SPEED, "cold 20 %"));
        }
    }
    notes
}
