//! Servos: straight on the shaft, or through arm, rod and lever.
//!
//! The drawn pose is taken to stand at the servo's own zero unless `zero` says
//! otherwise; from there the shaft turns as far as its pulses say.

use super::four_bar::BARS;
use super::{Bench, Fitted, FittedServo, codes};
use crate::finding::Place;
use crate::geometry::{BoardPoint, Dir};
use crate::mechanism::solve::Size;
use crate::mechanism::{Assembly, FourBar};
use crate::model::{Action, Drive, FourBarDrive, Gesture, Note, PulseAt, ServoDrive, Turn};
use crate::units::print::decimal;
use crate::units::{Deg, Mm, Rpm};

/// A servo whose sheet gives no pulses is taken to turn so far either way; the
/// pulse convention 1000 to 2000 us at 0.1 deg/us (hobby servo sheets).
const USUAL_TRAVEL: Deg = Deg(45.0);

/// What helps where an angle is beyond a servo's travel.
pub const TRAVEL_HELP: &str = "ask for an angle it reaches, or set the horn so that `zero` lies in \
                               the middle of the gestures.";

/// A servo's shaft: the limb's angle at its own 0, its travel, its direction.
#[derive(Clone, Copy)]
struct Shaft {
    zero: Deg,
    travel: (Deg, Deg),
    turns: Turn,
}

impl Bench<'_> {
    pub(super) fn servo(
        &mut self,
        drive: &Drive,
        said: &ServoDrive,
        motor: usize,
    ) -> Option<Fitted> {
        self.refuse_gestures(
            "a servo",
            |a| !matches!(a, Action::Spin { .. } | Action::Stroke { .. }),
            "`turn to A over T`, `pose A`, `sweep A to B  cycle T` or `follow SOUND`",
        );
        let actuator = &self.figure.actuators[motor];
        let (kind, turns) = (&actuator.motor, actuator.turns);
        let pulses = if said.pulses.is_empty() { &kind.pulses } else { &said.pulses };
        let (least, most) = self.travel(pulses);
        let fastest =
            said.slew.or(kind.slew).map(|(time, angle)| Rpm(angle / Deg(360.0) / (time.0 / 60.0)));
        let Some(drawn) = self.drawn_angle() else {
            self.not_checked
                .push(Note::new("servo travel (the limb's axis is not known)", "tip (x, y) mm"));
            return None;
        };
        let zero = said.zero.unwrap_or(drawn);
        let fitted = match &said.rod {
            None => self.on_shaft(zero, (least, most), turns, fastest),
            Some(bars) => {
                let centres = self.centres(motor)?;
                let shaft = Shaft { zero, travel: (least, most), turns };
                self.through_rod(drive, bars, centres, shaft, fastest)?
            }
        };
        self.check_travel(drive, &fitted);
        Some(Fitted::Servo(Box::new(fitted)))
    }

    /// Straight on the shaft: the limb turns as the servo does, from `zero`.
    fn on_shaft(
        &self,
        zero: Deg,
        (least, most): (Deg, Deg),
        turns: Turn,
        fastest: Option<Rpm>,
    ) -> FittedServo {
        let (at_low, at_high) = match turns {
            Turn::Ccw => (least, most),
            Turn::Cw => (most, least),
        };
        let ends = (zero + at_low * turns.sign(), zero + at_high * turns.sign());
        let turn = self.turn_of_the_gestures(ends);
        FittedServo {
            linkage: None,
            solved: Vec::new(),
            low: ends.0 + turn,
            high: ends.1 + turn,
            shaft_at_low: at_low,
            shaft_at_high: at_high,
            arm_at_zero: None,
            turns,
            min_transmission: None,
            fastest,
            cord: None,
        }
    }

    /// The servo's own end angles, from its pulses.
    pub(super) fn travel(&mut self, pulses: &[PulseAt]) -> (Deg, Deg) {
        let angles = || pulses.iter().map(|p| p.angle.0);
        if pulses.len() >= 2 {
            return (
                Deg(angles().fold(f64::INFINITY, f64::min)),
                Deg(angles().fold(f64::NEG_INFINITY, f64::max)),
            );
        }
        self.assumed.push(Note::new(
            format!("servo turns {} deg either way", decimal(USUAL_TRAVEL.0, 0)),
            "pulse 1000 us at -45 deg  2000 us at 45 deg",
        ));
        (-USUAL_TRAVEL, USUAL_TRAVEL)
    }

    /// The limb's angle as drawn: pivot to tip.
    fn drawn_angle(&self) -> Option<Deg> {
        let crate::model::Joint::Pivot { at: Some(pivot), .. } = self.limb.joint else {
            return None;
        };
        (self.limb.tip? - pivot).dir().map(Dir::deg)
    }

    /// Through arm and rod: left-out sizes make a parallelogram with the arm.
    fn through_rod(
        &mut self,
        drive: &Drive,
        said: &FourBarDrive,
        centres: (BoardPoint, BoardPoint),
        Shaft { zero, travel: (least, most), turns }: Shaft,
        fastest: Option<Rpm>,
    ) -> Option<FittedServo> {
        let (linkage, solved) = self.servo_linkage(drive, said, centres)?;
        let Some(arm) = nearest_arm(&linkage, zero) else {
            let message = format!(
                "{} cannot stand at {} deg, where its servo is at zero: the rod does not reach.",
                self.name(),
                decimal(zero.0, 1)
            );
            self.report(&codes::PARTS_DO_NOT_REACH, drive.place, message);
            return None;
        };
        let walk = Walk { linkage: &linkage, from: arm, at: zero, sign: turns.sign() };
        let (Ok(first), Ok(last)) = (walk.to(least), walk.to(most)) else {
            return self.rod_locks(drive, &walk, (least, most));
        };
        let rising = first <= last;
        let ends = (first.min(last), first.max(last));
        let worst = self.worst_push(&walk, ends, (least, most));
        let turn = self.turn_of_the_gestures(ends);
        Some(FittedServo {
            linkage: Some(linkage),
            solved,
            low: ends.0 + turn,
            high: ends.1 + turn,
            shaft_at_low: if rising { least } else { most },
            shaft_at_high: if rising { most } else { least },
            arm_at_zero: Some(arm),
            turns,
            min_transmission: worst,
            fastest,
            cord: None,
        })
    }

    /// Arm, rod, lever and clamp: as given; an open arm or lever equals the other,
    /// an open rod the distance between the centres (a parallelogram), an open
    /// clamp sets the lever parallel to an arm that stands square to the rod.
    fn servo_linkage(
        &mut self,
        drive: &Drive,
        said: &FourBarDrive,
        (shaft, pivot): (BoardPoint, BoardPoint),
    ) -> Option<(FourBar, Vec<&'static str>)> {
        let given = |s: &crate::model::Sized| match s.size {
            Size::Given(v) => Some(v),
            _ => None,
        };
        let ground = pivot - shaft;
        let (crank, lever) = (given(&said.crank), given(&said.lever));
        let Some(arm) = crank.or(lever) else {
            self.not_checked.push(Note::new(
                "servo linkage (neither arm nor lever is known)",
                "crank 20 mm  rod ?  lever 20 mm at ?",
            ));
            return None;
        };
        let mut solved = Vec::new();
        for (name, value) in BARS.iter().zip([crank, given(&said.rod), lever, given(&said.clamp)]) {
            if value.is_none() {
                solved.push(*name);
            }
        }
        let square = ground.dir().map(|d| d.deg() + Deg(90.0));
        let drawn = self.drawn_angle();
        let clamp = given(&said.clamp).or_else(|| Some((square? - drawn?).signed().0))?;
        let lengths = (
            Mm(crank.unwrap_or(arm)),
            Mm(given(&said.rod).unwrap_or(ground.length().0)),
            Mm(lever.unwrap_or(arm)),
        );
        let make = |assembly| FourBar::new((shaft, pivot), lengths, Deg(clamp), assembly).ok();
        let assembly = said.assembly.or_else(|| {
            // The arm that lies along the lever belongs to the wanted assembly.
            let zero = drawn?;
            [Assembly::Open, Assembly::Crossed].into_iter().max_by(|a, b| {
                let push = |x: &Assembly| {
                    make(*x)
                        .and_then(|l| {
                            nearest_arm(&l, zero).and_then(|arm| l.at(Dir::degrees(arm)).ok())
                        })
                        .map_or(-1.0, |(_, push)| push.abs())
                };
                push(a).total_cmp(&push(b))
            })
        });
        match make(assembly.unwrap_or(Assembly::Open)) {
            Some(linkage) => Some((linkage, solved)),
            None => {
                let meet = ground.length() < Mm(0.1);
                let (message, help) = if meet {
                    (
                        "servo and pivot stand on one another: there is no linkage between them",
                        "leave arm, rod and lever out, with the limb straight on the servo; or move the servo away.",
                    )
                } else {
                    (
                        "arm, rod or lever is too small or too large to build",
                        "take lengths of a millimetre or more, and less than the figure is wide.",
                    )
                };
                self.report(&codes::PARTS_DO_NOT_REACH, drive.place, message.to_owned()).help =
                    Some(help.to_owned());
                None
            }
        }
    }

    fn rod_locks(
        &mut self,
        drive: &Drive,
        walk: &Walk<'_>,
        (least, most): (Deg, Deg),
    ) -> Option<FittedServo> {
        let free = (walk.reach(least), walk.reach(most));
        let message = format!(
            "arm, rod and lever of {} come into one line when the servo is {} deg one way or {} deg the other.",
            self.name(),
            decimal(free.0.0.abs(), 0),
            decimal(free.1.0.abs(), 0)
        );
        self.report(&codes::SERVO_ROD_LOCKS, drive.place, message).help = Some(
            "let arm and lever stand square to the rod in mid-travel, or take a shorter arm."
                .to_owned(),
        );
        None
    }

    /// The worst push angle between the outermost angles that gestures ask for,
    /// or over the whole travel where none asks.
    fn worst_push(
        &self,
        walk: &Walk<'_>,
        ends: (Deg, Deg),
        (least, most): (Deg, Deg),
    ) -> Option<Deg> {
        let middle = (ends.0 + ends.1) / 2.0;
        let near = |a: Deg| a + Deg(360.0 * super::checks::turns_between(middle, a));
        let asked: Vec<Deg> =
            self.limb.gestures.iter().flat_map(angles).map(|(a, _)| near(a)).collect();
        let inside = |a: Deg| a.max(ends.0).min(ends.1);
        let (low, high) = match asked.split_first() {
            None => ends,
            Some((first, rest)) => (
                inside(rest.iter().fold(*first, |m, a| m.min(*a))),
                inside(rest.iter().fold(*first, |m, a| m.max(*a))),
            ),
        };
        walk.worst_push((least, most), (low, high))
    }

    /// Whole turns, in degrees, that bring a reach to where the gestures, or the
    /// rest, count: a drawn axis is -160 deg where a gesture says 200.
    pub(super) fn turn_of_the_gestures(&self, ends: (Deg, Deg)) -> Deg {
        let asked = self.limb.gestures.iter().flat_map(angles).map(|(a, _)| a).next();
        let asked = asked.or(self.limb.rest.map(|r| r.value));
        let middle = (ends.0 + ends.1) / 2.0;
        asked.map_or(Deg(0.0), |a| Deg(360.0 * super::checks::turns_between(a, middle)))
    }

    /// Every angle a gesture asks for lies in the servo's reach.
    pub(super) fn check_travel(&mut self, drive: &Drive, fitted: &FittedServo) {
        let limb = self.limb;
        for gesture in &limb.gestures {
            let asked = angles(gesture);
            let Some((first, last)) = asked.first().zip(asked.last()) else { continue };
            let turn = fitted.turn_for((first.0, last.0));
            for (angle, place) in asked {
                if fitted.beyond(angle + turn).0 <= 1e-6 {
                    continue;
                }
                // Said in the turn of the circle in which the gesture counts.
                let message = format!(
                    "`{}` takes {} to {} deg, and its servo reaches {} to {} deg.",
                    gesture.name.value,
                    self.name(),
                    decimal(angle.0, 1),
                    decimal((fitted.low - turn).0, 1),
                    decimal((fitted.high - turn).0, 1)
                );
                let at = drive.place;
                let found = self.report(&codes::SERVO_OUT_OF_TRAVEL, place, message);
                found.help = Some(TRAVEL_HELP.to_owned());
                found.related.push(("this servo".to_owned(), at));
            }
        }
    }
}

/// The angles a gesture asks for.
fn angles(gesture: &Gesture) -> Vec<(Deg, Place)> {
    match &gesture.action {
        Action::Sweep { from, to, .. } => vec![(from.value, from.place), (to.value, to.place)],
        Action::Turn { to, .. } | Action::Pose(to) => vec![(to.value, to.place)],
        Action::Follow { range: Some((a, b)), .. } => {
            vec![(*a, gesture.place), (*b, gesture.place)]
        }
        _ => Vec::new(),
    }
}

/// The arm angle that puts the limb at `limb`; of two the one that pushes better.
fn nearest_arm(linkage: &FourBar, limb: Deg) -> Option<Deg> {
    linkage
        .cranks_for(Dir::degrees(limb))
        .into_iter()
        .filter_map(|arm| linkage.at(arm).ok().map(|(_, push)| (arm, push.abs())))
        .max_by(|a, b| a.1.total_cmp(&b.1))
        .map(|(arm, _)| arm.deg())
}

/// Turning the servo away from its zero in small steps, so that the limb is
/// followed on one assembly.
struct Walk<'a> {
    linkage: &'a FourBar,
    /// The arm's direction at the servo's zero.
    from: Deg,
    /// The limb's angle there.
    at: Deg,
    /// +1 where the servo's own angle counts counter-clockwise.
    sign: f64,
}

/// Degrees of the servo between two looks.
const STEP: f64 = 0.25;
/// Sine of the push angle below which arm, rod and lever count as locked
/// (common practice, no source: five degrees).
const LOCKED: f64 = 0.087;

impl Walk<'_> {
    /// The limb's angle, followed without a jump; the servo turn at which it
    /// locks otherwise.
    fn to(&self, turn: Deg) -> Result<Deg, Deg> {
        let steps = libm::ceil(turn.0.abs() / STEP).max(1.0) as u32;
        let mut limb = self.at;
        for n in 0..=steps {
            let moved = turn * (f64::from(n) / f64::from(steps));
            match self.linkage.at(Dir::degrees(self.from + moved * self.sign)) {
                Ok((axis, push)) if push.abs() >= LOCKED => {
                    limb += (axis.deg() - limb).signed();
                }
                _ => return Err(moved),
            }
        }
        Ok(limb)
    }

    /// The worst push angle while the limb is between `low` and `high`, looked at
    /// every quarter degree of the servo; `None` where it is never there.
    fn worst_push(&self, (least, most): (Deg, Deg), (low, high): (Deg, Deg)) -> Option<Deg> {
        let steps = libm::ceil((most - least).0 / STEP).max(1.0) as u32;
        let middle = (low + high) / 2.0;
        let mut worst = f64::INFINITY;
        for n in 0..=steps {
            let turn = least + (most - least) * (f64::from(n) / f64::from(steps));
            let Ok((axis, push)) = self.linkage.at(Dir::degrees(self.from + turn * self.sign))
            else {
                continue;
            };
            let limb = middle + (axis.deg() - middle).signed();
            if limb >= low - Deg(STEP) && limb <= high + Deg(STEP) {
                worst = worst.min(push.abs());
            }
        }
        worst.is_finite().then(|| crate::units::Rad(libm::asin(worst.min(1.0))).deg())
    }

    /// How far it can go that way.
    fn reach(&self, turn: Deg) -> Deg {
        self.to(turn).err().unwrap_or(turn)
    }
}
