//! Fit: the model with every open length found and every mechanism analysed.
//!
//! Timing, checks and outputs read a figure's mechanisms here and nowhere else.
//! A figure is fitted from its own model alone, so the result is cached with it.

mod aboard;
mod anchor_place;
mod anchored;
mod apart;
mod as_built;
mod asked;
mod bar_holes;
pub mod bar_length;
mod board;
pub mod builds;
mod built_asked;
mod built_told;
mod cam;
mod cam_codes;
mod cam_foot;
mod cam_recipe;
mod cam_words;
mod carried;
mod carried_drive;
mod carried_servo;
pub mod chart;
mod checks;
pub mod codes;
mod cord;
mod cord_air;
mod cord_bent;
mod cord_checks;
mod cord_codes;
mod cord_recipe;
mod cord_straight;
mod cord_told;
mod cord_words;
mod cranked;
mod drive;
mod drive_codes;
mod even;
mod forearm;
mod forearm_checks;
mod forearm_codes;
mod forearm_recipe;
mod forearm_sizes;
mod forearm_words;
mod four_bar;
mod guide_places;
mod idle_gears;
pub mod mass;
mod measured_twice;
mod motor_place;
mod no_fit;
mod open_codes;
mod open_sizes;
mod pins;
mod place_search;
mod prefers;
mod puller;
mod range;
mod region;
mod rest;
mod riding;
mod rods;
mod scotch_yoke;
mod seen;
mod servo;
mod servo_built;
mod servo_care;
mod servo_chart;
mod servo_codes;
mod servo_rod;
mod servo_sizes;
mod servo_trim;
mod slider_crank;
mod slotted_arm;
mod spin;
mod spin_codes;
mod spin_place;
mod strut;
mod strut_asked;
mod strut_checks;
mod strut_codes;
mod strut_figures;
mod strut_no_fit;
mod strut_pace;
mod strut_recipe;
mod strut_slide;
mod strut_stands;
mod tail;
mod upper;

pub use aboard::Aboard;
pub use apart::{Also, Apart, At};
pub use as_built::{AsBuilt, OtherBuilt};
pub use checks::{PUSH_WEAK, sizes_in_words};
pub use drive::{
    Built, Ends, Figure as KindFigure, FittedDrive, FittedSize, Follows, Measure, Other, Pose,
    SizeName,
};
pub use even::UNEVEN;
pub use motor_place::FoundPlace;
pub use pins::PinBeside;
pub use range::{asked, tilted};
pub use riding::{Riding, standing};
pub use strut_checks::{ram_sum, ram_takes, ram_too_slow};
pub use strut_figures::USUAL_PRESSURE;
pub use strut_pace::{AirPace, FILL, RamPace, StrutPace, USUAL_SPEED, VALVE};

use std::sync::Arc;

use carried_drive::Carrier;

use crate::finding::{Code, Finding, Place, Severity, Step};
use crate::mechanism::solve::{Answer, ServoAnswer};
use crate::mechanism::{Analysis, FourBar, Shaft};
use crate::model::{
    Action, Drive, DriveKind, Figure, Gesture, Joint, Limb, Note, Pin, Source, Turn,
};
use crate::units::{Deg, Mm, Rpm, print};

/// A figure with its mechanisms solved and analysed.
#[derive(Clone, Debug)]
pub struct FittedFigure {
    /// The figure.
    pub figure: Arc<Figure>,
    /// Its limbs, in the figure's order.
    pub limbs: Vec<FittedLimb>,
    /// The places that were found for motors.
    pub places: Vec<FoundPlace>,
    /// What was found wrong.
    pub findings: Vec<Finding>,
}

/// A limb with its mechanism.
#[derive(Clone, Debug)]
pub struct FittedLimb {
    /// The mechanism; `None` where there is none, it is not computed yet, or it
    /// has an error (reported).
    pub mechanism: Option<Fitted>,
    /// What it is computed on where its motor rides on the limb that carries it: its
    /// angles count from that one then.
    pub riding: Option<Riding>,
    /// What explains the maker's measurements, where there are any.
    pub as_built: Option<AsBuilt>,
    /// Everything assumed for it, the model's notes first.
    pub assumed: Vec<Note>,
    /// Everything not checked, the model's notes first.
    pub not_checked: Vec<Note>,
}

/// A solved mechanism.
#[derive(Clone, Debug)]
pub enum Fitted {
    /// Crank, rod, lever.
    FourBar(Box<FittedFourBar>),
    /// Servo.
    Servo(Box<FittedServo>),
    /// Continuous turning.
    Spin(Box<FittedSpin>),
    /// Any other kind.
    Drive(Box<FittedDrive>),
}

/// A four-bar: exact, and as drilled.
#[derive(Clone, Debug)]
pub struct FittedFourBar {
    /// With exact sizes: what the JSON contract carries. `None` where the bars do
    /// not make a linkage at all.
    pub exact: FourBar,
    /// What it does with exact sizes.
    pub analysis: Analysis,
    /// As drilled: sizes rounded to what a maker marks out; people see its swing.
    pub drilled: FourBar,
    /// What it does as drilled.
    pub as_drilled: Analysis,
    /// Which of crank, rod, lever, clamp were left open and found here.
    pub solved: Vec<&'static str>,
    /// The whole answer with its alternatives, where sizes were open.
    pub answer: Option<Box<Answer>>,
    /// The shaft its crank turns with.
    pub shaft: Shaft,
    /// The crank pin's angle after the shared motor's first pin.
    pub pin: Deg,
    /// What it does over the range of the limb that carries it, where the motor stands on
    /// the board; empty where none does.
    pub figures: Vec<KindFigure>,
    /// Whether an error stands against it: timing leaves it alone.
    pub faulty: bool,
}

impl FittedFourBar {
    /// The linkage that is made, and what it does: as drilled, which is as built where it
    /// was measured. Only where rounding its sizes changed whether its crank goes round
    /// are they the exact ones.
    #[must_use]
    pub fn made(&self) -> (&FourBar, &Analysis) {
        let turns = |a: &Analysis| a.motion.is_some() && a.crank_turns_fully;
        match turns(&self.as_drilled) == turns(&self.analysis) {
            true => (&self.drilled, &self.as_drilled),
            false => (&self.exact, &self.analysis),
        }
    }
}

/// A servo and the limb angles it can reach.
#[derive(Clone, Debug)]
pub struct FittedServo {
    /// Arm, rod and lever; `None` for a limb straight on the shaft.
    pub linkage: Option<FourBar>,
    /// Which of arm, rod, lever, clamp and zero were left open and found here.
    pub solved: Vec<&'static str>,
    /// Least limb angle.
    pub low: Deg,
    /// Largest limb angle.
    pub high: Deg,
    /// The servo's own angle, as its pulses count it, at `low`.
    pub shaft_at_low: Deg,
    /// The servo's own angle at `high`. Between the two the limb turns one way only,
    /// and through its whole reach.
    pub shaft_at_high: Deg,
    /// What ends the reach at `low` and at `high`.
    pub ends: [ServoEnd; 2],
    /// Direction of the servo's arm at the servo's own 0, for a servo with a rod.
    pub arm_at_zero: Option<Deg>,
    /// Its own least and greatest angle, as its pulses count them.
    pub travel: (Deg, Deg),
    /// Which way its own angle counts up, seen from the front.
    pub turns: Turn,
    /// Worst push angle over the travel used, for a servo with a rod.
    pub min_transmission: Option<Deg>,
    /// Fastest speed of the servo's shaft without load, where it is known.
    pub fastest: Option<Rpm>,
    /// The limb's angle at the servo's own 0, where that was open and found here.
    pub zero: Option<Deg>,
    /// The whole answer with its alternatives, where arm, rod, lever or clamp were open.
    pub answer: Option<Box<ServoAnswer>>,
    /// The cord it pulls the limb by, where it does.
    pub cord: Option<Box<FittedDrive>>,
    /// What only a servo has, in the order of the reports; a cord's own stand with it.
    pub figures: Vec<KindFigure>,
}

/// What ends the reach of a limb on a servo.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ServoEnd {
    /// The servo turns no further.
    Travel,
    /// Arm and rod lie in one line: the servo turns on, the limb turns back.
    TurnsBack,
    /// Rod and lever lie in one line: nothing turns on.
    Locks,
}

/// Continuous turning.
#[derive(Clone, Debug)]
pub struct FittedSpin {
    /// Limb turns per motor turn, negative where it reverses.
    pub ratio: f64,
    /// The length of its belt or chain, where that is said or was open.
    pub length: Option<FittedSize>,
    /// How belt, chain or gears lie on their wheels, in the order of the reports.
    pub figures: Vec<KindFigure>,
}

impl Fitted {
    /// Whether an error stands against it.
    #[must_use]
    pub fn faulty(&self) -> bool {
        match self {
            Self::FourBar(f) => f.faulty,
            Self::Drive(d) => d.faulty,
            Self::Servo(s) => s.cord.as_ref().is_some_and(|c| c.faulty),
            Self::Spin(_) => false,
        }
    }

    /// One of its sizes as it is marked out: mm, or degrees.
    #[must_use]
    pub fn drilled(&self, name: SizeName) -> Option<f64> {
        let bar = match self {
            Self::FourBar(f) => Some(f.drilled),
            Self::Servo(s) => s.linkage,
            Self::Drive(_) | Self::Spin(_) => None,
        };
        if let Some(bar) = bar {
            return match name {
                SizeName::Crank => Some(bar.bars().crank.0),
                SizeName::Rod => Some(bar.bars().rod.0),
                SizeName::Lever => Some(bar.bars().lever.0),
                SizeName::Clamp => Some(bar.clamp().0),
                _ => None,
            };
        }
        self.as_drive()?.sizes.iter().find(|s| s.name == name).map(|s| s.drilled)
    }

    /// The mechanism with its sizes by name, of the kinds that have it: a cord on a
    /// servo's horn too.
    #[must_use]
    pub fn as_drive(&self) -> Option<&FittedDrive> {
        match self {
            Self::Drive(drive) => Some(drive),
            Self::Servo(servo) => servo.cord.as_deref(),
            Self::FourBar(_) | Self::Spin(_) => None,
        }
    }

    /// The time of its slower way over that of its quicker one with the crank turning evenly,
    /// as it is made; `None` of what no crank moves.
    #[must_use]
    pub fn time_ratio(&self) -> Option<f64> {
        match self {
            Self::FourBar(bar) => bar.made().1.motion?.time_ratio,
            Self::Drive(drive) => drive.made().course.time_ratio,
            Self::Servo(_) | Self::Spin(_) => None,
        }
    }
}

impl Fitted {
    /// How the limb follows a shaft, a length or another limb, as it is drilled: what it
    /// weighs on, where it hits and when it arrives are told of the limb that is made.
    /// `None` for a servo, which goes where it is told, and for what turns on and on.
    #[must_use]
    pub fn follows(&self) -> Option<Follows<'_>> {
        match self {
            Self::FourBar(f) => {
                let (bar, analysis) = f.made();
                Some(Follows {
                    mechanism: bar,
                    path: &f.shaft,
                    pin: f.pin,
                    travel: analysis.motion.and_then(|m| m.travel()),
                })
            }
            Self::Drive(d) => {
                let built = d.made();
                Some(Follows {
                    mechanism: &*built.mechanism,
                    path: &built.way,
                    pin: d.pin,
                    travel: Some(built.course.travel),
                })
            }
            Self::Servo(_) | Self::Spin(_) => None,
        }
    }
}

/// Fits every limb of a figure.
#[must_use]
pub fn fit(figure: &Arc<Figure>) -> FittedFigure {
    let mut findings = open_sizes::pivots(figure);
    let (placed, places) = motor_place::found(figure, &mut findings);
    let placed = anchor_place::found(placed, &mut findings);
    let limbs = limbs(&placed, (None, false), &mut findings);
    FittedFigure { figure: Arc::clone(figure), limbs, places, findings }
}

impl FittedFigure {
    /// The figure fitted once more with another drive on one limb: whether what is proposed
    /// works. `None` where it brings a warning or an error that was not there, and where a
    /// place is open: that is looked for too long.
    #[must_use]
    pub fn tried(&self, limb: usize, change: impl FnOnce(&mut DriveKind)) -> Option<Self> {
        let open = |a: &crate::model::Actuator| a.at.is_none() && a.at_open.is_some();
        if !self.places.is_empty() || self.figure.actuators.iter().any(open) {
            return None;
        }
        let mut figure = Figure::clone(&self.figure);
        change(&mut figure.limbs.get_mut(limb)?.drive.as_mut()?.mechanism);
        let figure = Arc::new(figure);
        let mut findings = Vec::new();
        let limbs = limbs(&figure, (None, true), &mut findings);
        let bad = |f: &&Finding| f.severity != Severity::Advice;
        let known = |f: &Finding| {
            let same = |o: &Finding| (o.code.word, &o.limb) == (f.code.word, &f.limb);
            self.findings.iter().filter(bad).any(same)
        };
        let worse = findings.iter().filter(bad).any(|f| !known(f));
        (!worse).then(|| Self { figure, limbs, places: Vec::new(), findings })
    }
}

/// The mechanisms of some limbs and of what they hang on.
struct FittedAt {
    /// In the figure's order; the others have no mechanism.
    limbs: Vec<FittedLimb>,
    findings: Vec<Finding>,
}

/// Fits some limbs only.
fn fit_at(figure: &Figure, wanted: &[usize]) -> FittedAt {
    let mut findings = Vec::new();
    let limbs = limbs(figure, (Some(wanted), false), &mut findings);
    FittedAt { limbs, findings }
}

/// The same for whoever does not ask what is in the way where nothing fits: that takes many
/// times as long to find out.
fn fit_quickly(figure: &Figure, wanted: &[usize]) -> FittedAt {
    let mut findings = Vec::new();
    let limbs = limbs(figure, (Some(wanted), true), &mut findings);
    FittedAt { limbs, findings }
}

/// Fits a figure's limbs, those that push or carry others first; all, or those wanted.
fn limbs(
    figure: &Figure,
    (wanted, quick): (Option<&[usize]>, bool),
    findings: &mut Vec<Finding>,
) -> Vec<FittedLimb> {
    let mut done: Vec<Option<FittedLimb>> = vec![None; figure.limbs.len()];
    for index in upper::order(figure) {
        let riding = Riding::of(figure, index, &done);
        let (on_rest, aboard) = carried_drive::at_rest(figure, index, &done).unzip();
        let board = on_rest.as_ref().unwrap_or(figure);
        let seen = riding.as_ref().map_or(board, |r| &r.figure);
        let limb = &seen.limbs[index];
        let told = findings.len();
        let mut bench = Bench {
            drawn: board,
            quick,
            aboard,
            at_rest: riding.as_ref().map_or(Deg(0.0), |r| r.at_rest),
            ..Bench::of(seen, limb, &done, findings)
        };
        let left_out = limb.poisoned || wanted.is_some_and(|w| !w.contains(&index));
        let unseen = figure.motor_rides(index) && riding.is_none();
        let mut mechanism = if left_out || unseen { None } else { bench.mechanism() };
        if let Some(drive) = limb.drive.as_ref().filter(|_| !left_out) {
            bench.open_sizes(drive, mechanism.as_ref(), told);
        }
        bench.measured_too_far();
        if let (Some(made), Some(drive)) = (&mut mechanism, &limb.drive) {
            bench.tail_as_found(made);
            bench.measured_twice();
            bench.measured_in_vain(told);
            bench.built_as_asked(drive, made, told);
            bench.rest_is_passed(drive, made);
            bench.check_even(made);
            bench.preferred_in_vain(drive);
            bench.carried_drive(drive, made);
        }
        bench.held_at_rest(told);
        if unseen {
            bench.carrier_without_axis();
        }
        bench.assumed.extend(riding.as_ref().and_then(|r| r.assumed(&figure.limbs[index])));
        let (assumed, not_checked) = (bench.assumed, bench.not_checked);
        let as_built = bench.as_built;
        for finding in &mut findings[told..] {
            riding.iter().for_each(|r| r.told(finding));
        }
        done[index] = Some(FittedLimb { mechanism, riding, as_built, assumed, not_checked });
        // A rod pushed by this limb has to know where its crank stands.
        drop(pins::set(figure, &mut done));
    }
    findings.extend(pins::set(figure, &mut done));
    done.into_iter().flatten().collect()
}

/// One limb at work: its data and where its results go.
struct Bench<'a> {
    figure: &'a Figure,
    /// The figure as it is drawn, where it is looked at from a carrier.
    drawn: &'a Figure,
    limb: &'a Limb,
    /// The limbs fitted before it.
    done: &'a [Option<FittedLimb>],
    /// Whether nobody asks what is in the way where nothing fits.
    quick: bool,
    /// What carries the limb, where its drive stands on the board and it is looked at with that
    /// at rest.
    aboard: Option<Carrier>,
    /// The angle of what carries the limb, where that is looked at from there; else nought.
    at_rest: Deg,
    findings: &'a mut Vec<Finding>,
    as_built: Option<AsBuilt>,
    assumed: Vec<Note>,
    not_checked: Vec<Note>,
}

impl<'a> Bench<'a> {
    /// A limb as it is drawn.
    fn of(
        figure: &'a Figure,
        limb: &'a Limb,
        done: &'a [Option<FittedLimb>],
        findings: &'a mut Vec<Finding>,
    ) -> Self {
        Self {
            figure,
            drawn: figure,
            limb,
            done,
            quick: false,
            aboard: None,
            at_rest: Deg(0.0),
            findings,
            as_built: None,
            assumed: limb.assumed.clone(),
            not_checked: limb.not_checked.clone(),
        }
    }

    fn mechanism(&mut self) -> Option<Fitted> {
        let drive = self.limb.drive.as_ref()?;
        if self.slides_nowhere(drive) {
            return None;
        }
        match (&drive.mechanism, drive.source) {
            (DriveKind::FourBar(d), Source::Motor(motor)) => self.four_bar(drive, d, motor),
            (DriveKind::Servo(d), Source::Motor(motor)) => self.servo(drive, d, motor),
            (DriveKind::Spin(d), Source::Motor(motor)) => self.spin(drive, d, motor),
            (DriveKind::Cam(d), Source::Motor(motor)) => self.cam(drive, d, motor),
            (DriveKind::SliderCrank(d), Source::Motor(motor)) => self.slider_crank(drive, d, motor),
            (DriveKind::ScotchYoke(d), Source::Motor(motor)) => self.scotch_yoke(drive, d, motor),
            (DriveKind::SlottedArm(d), Source::Motor(motor)) => self.slotted_arm(drive, d, motor),
            (DriveKind::Strut(d), Source::Motor(motor)) => self.strut(drive, d, motor),
            (DriveKind::Forearm(d), Source::Limb(above)) => self.forearm(drive, d, above),
            (DriveKind::Cord(d), Source::Motor(motor)) => self.cord(drive, d, motor),
            (DriveKind::Forearm(_), _)
            // Only a rod is pushed by another limb.
            | (_, Source::Limb(_)) => None,
        }
    }

    /// Reports a guide whose two ends are one place: it points nowhere.
    fn slides_nowhere(&mut self, drive: &Drive) -> bool {
        let Joint::Slide { from, to } = self.limb.joint else { return false };
        let nowhere = from.distance(to) < ENDS_APART;
        if nowhere {
            let message = format!(
                "both ends of the guide of {} lie at {}: it points nowhere.",
                self.name(),
                print::place((from.x, from.y), 1, self.figure.system)
            );
            self.report(&codes::PARTS_DO_NOT_REACH, drive.place, message).help = Some(
                "give the guide two ends, as far apart as the limb is to slide or further."
                    .to_owned(),
            );
        }
        nowhere
    }

    /// How many errors were found so far.
    fn errors(&self) -> usize {
        self.findings.iter().filter(|f| f.severity == Severity::Error).count()
    }

    /// Reports about this limb.
    fn report(&mut self, code: &'static Code, place: Place, message: String) -> &mut Finding {
        let about = Finding::new(code, place, message)
            .about(&self.figure.name.value, Some(&self.limb.name.value));
        self.findings.push(about);
        self.findings.last_mut().expect("a finding was pushed in the line above")
    }

    /// The sum behind what was reported last.
    fn works(&mut self, steps: impl IntoIterator<Item = Step>) {
        if let Some(last) = self.findings.last_mut() {
            last.worked.extend(steps);
        }
    }

    /// Reports each gesture that this kind of drive cannot make.
    fn refuse_gestures(&mut self, drive: &str, suits: fn(&Action) -> bool, takes: &str) {
        let limb: &'a Limb = self.limb;
        for gesture in limb.gestures.iter().filter(|g| !suits(&g.action)) {
            let message = format!(
                "`{}` asks {} to {}, which {drive} cannot do.",
                gesture.name.value,
                limb.said(),
                verb(&gesture.action)
            );
            self.report(&codes::GESTURE_DOES_NOT_SUIT, gesture.place, message).help =
                Some(format!("{drive} takes {takes}."));
        }
    }

    /// The limb's full name, `figure.limb`.
    fn name(&self) -> String {
        format!("{}.{}", self.figure.name.value, self.limb.name.value)
    }
}

/// The ends of a guide are two places from here on.
const ENDS_APART: Mm = Mm(0.1);

/// The crank pin's angle after the motor's first, where it is said.
fn pin(drive: &Drive) -> Deg {
    match drive.pin {
        Pin::At(angle) => angle,
        Pin::Alternate | Pin::Together => Deg(0.0),
    }
}

/// What a gesture asks, as messages say it.
fn verb(action: &Action) -> &'static str {
    match action {
        Action::Sweep { .. } => "sweep to and fro",
        Action::Stroke { .. } => "slide to and fro",
        Action::Turn { .. } => "turn to an angle and stay",
        Action::Pose(_) => "hold an angle",
        Action::Follow { .. } => "follow a sound",
        Action::Spin { .. } => "turn on and on",
        Action::Pulse { .. } => "go up for a time",
        Action::On | Action::Off => "be switched",
    }
}

/// The sweeps a limb is asked for.
fn sweeps(limb: &Limb) -> impl Iterator<Item = (&Gesture, Deg, Deg, Option<Deg>)> {
    limb.gestures.iter().filter_map(|g| match &g.action {
        Action::Sweep { from, to, within, .. } => Some((g, from.value, to.value, *within)),
        _ => None,
    })
}
