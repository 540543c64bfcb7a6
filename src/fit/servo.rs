//! Servos: straight on the shaft, or through arm, rod and lever.
//!
//! The drawn pose is taken to stand at the servo's own zero unless `zero` says
//! otherwise; from there the shaft turns as far as its pulses say.

use super::servo_sizes::ZERO_WORD;
use super::{Bench, Fitted, FittedDrive, FittedServo, ServoEnd, checks, codes};
use crate::finding::{Place, Step};
use crate::geometry::{BoardPoint, Dir};
use crate::mechanism::solve::ServoChoice;
use crate::mechanism::{Mechanism, Path, ServoRod, Shaft as Turning, Size, Stand};
use crate::model::{Action, Drive, Gesture, Note, PulseAt, ServoDrive, Turn};
use crate::units::print::decimal;
use crate::units::{Deg, Mm, Rad, Rpm, System, print};

/// A servo whose sheet gives no pulses is taken to turn so far either way; the
/// pulse convention 1000 to 2000 us at 0.1 deg/us (hobby servo sheets).
const USUAL_TRAVEL: Deg = Deg(45.0);

/// What helps where an angle is beyond a servo's travel.
const TRAVEL_HELP: &str = "ask for an angle it reaches, or set the horn so that `zero` lies in \
                               the middle of the gestures.";

/// A servo's shaft: the limb's angle at its own 0, its travel, its direction.
#[derive(Clone, Copy)]
pub(super) struct Shaft {
    pub zero: Deg,
    /// The limb's angle as drawn.
    pub drawn: Deg,
    pub travel: (Deg, Deg),
    pub turns: Turn,
}

impl FittedServo {
    /// Whole turns, in degrees, that bring the angles from `a` to `b` into the turn
    /// of the circle in which the reach counts: -150 deg is 210 deg to a servo that
    /// reaches 135 to 225. The two move together, so that the way between them stays
    /// the one that was asked for.
    #[must_use]
    pub fn turn_for(&self, (a, b): (Deg, Deg)) -> Deg {
        let middle = (self.low + self.high) / 2.0;
        Deg(360.0 * checks::turns_between(middle, (a + b) / 2.0))
    }

    /// The most that the limb turns for the arm of an answer, over the angles it was found
    /// for: rad per rad.
    #[must_use]
    pub fn speed_of(&self, choice: &ServoChoice) -> Option<f64> {
        let rod = ServoRod::new(choice.linkage, choice.arm_at_zero, self.turns.sign());
        let (a, b) = choice.servo;
        rod.rates(a.min(b), a.max(b)).map(|(_, most)| most)
    }

    /// By how much an angle, in the turn of the reach, lies beyond it; zero or less
    /// inside.
    #[must_use]
    pub fn beyond(&self, angle: Deg) -> Deg {
        (self.low - angle).max(angle - self.high)
    }

    /// What helps where an angle, in the turn of the reach, lies beyond it: why the
    /// reach ends there, and what to do.
    #[must_use]
    pub fn help_beyond(&self, angle: Deg) -> String {
        let (end, at) = if angle < self.low {
            (self.ends[0], self.shaft_at_low)
        } else {
            (self.ends[1], self.shaft_at_high)
        };
        let at = decimal(at.0, 1);
        match end {
            ServoEnd::Travel => TRAVEL_HELP.to_owned(),
            ServoEnd::TurnsBack => format!(
                "with the servo at {at} deg its arm and rod lie in one line, and beyond that the limb turns \
                 back: ask for an angle it reaches, or take a longer arm or a shorter lever."
            ),
            ServoEnd::Locks => format!(
                "with the servo at {at} deg rod and lever lie in one line and lock: ask for an angle it \
                 reaches, or take a shorter arm or a longer lever."
            ),
        }
    }

    /// The servo's own angle for any angle of a limb that sits straight on its shaft.
    fn on_shaft_at(&self, limb: Deg) -> Deg {
        self.shaft_at_low + (limb - self.low) * self.turns.sign()
    }

    /// The servo's own angle, as its pulses count it, for a limb angle in the turn of
    /// the reach; that of the nearer end beyond it.
    #[must_use]
    pub fn shaft_for(&self, limb: Deg) -> Deg {
        self.shaft_by(self.rod().as_ref(), limb)
    }

    /// The same with its [rod](Self::rod) at hand, for many angles.
    pub(crate) fn shaft_by(&self, rod: Option<&ServoRod>, limb: Deg) -> Deg {
        if limb <= self.low {
            return self.shaft_at_low;
        }
        if limb >= self.high {
            return self.shaft_at_high;
        }
        let Some(rod) = rod else {
            return self.on_shaft_at(limb);
        };
        let (a, b) = (self.shaft_at_low, self.shaft_at_high);
        let nearer = if limb - self.low < self.high - limb { a } else { b };
        rod.servo_at(limb, a.min(b), a.max(b)).unwrap_or(nearer)
    }

    /// The servo's own angle for a limb angle in the turn of the reach, of a servo that
    /// pulls a cord too; `None` where the cord does not hold the limb there.
    #[must_use]
    pub fn own_at(&self, limb: Deg) -> Option<Deg> {
        let Some(cord) = &self.cord else { return Some(self.shaft_for(limb)) };
        Some((Rad(self.horn_at(cord, limb)?).deg() - self.arm_at_zero?) * self.turns.sign())
    }

    /// Turn of the limb for a little turn of the servo's shaft, with the limb at an angle
    /// in the turn of the reach: 1 where it sits on the shaft.
    #[must_use]
    pub fn rate(&self, limb: Deg) -> Option<f64> {
        if let Some(cord) = &self.cord {
            let made = cord.made();
            let input = made.way.motion(self.horn_at(cord, limb)?).ok()?;
            return Some(made.mechanism.motion(&input).ok()?.limb.turn_rates().0.abs());
        }
        let Some(bar) = self.linkage else { return Some(1.0) };
        let arm = self.arm_at(self.shaft_for(limb)).rad().0;
        let input = Turning::turning(bar.motor()).motion(arm).ok()?;
        Some(bar.motion(&input).ok()?.limb.turn_rates().0.abs())
    }

    /// The angle of its horn, rad, at which its cord holds the limb so.
    fn horn_at(&self, cord: &FittedDrive, limb: Deg) -> Option<f64> {
        let made = cord.made();
        let stands = Stand::Turned(Dir::degrees(limb));
        made.mechanism.inverse(stands, &made.way).ok()?.first().copied()
    }

    /// Where its arm points when the servo's own angle is so much; straight on the
    /// shaft the limb is the arm.
    #[must_use]
    pub fn arm_at(&self, servo: Deg) -> Deg {
        match self.arm_at_zero {
            Some(zero) => zero + servo * self.turns.sign(),
            None => self.low + (servo - self.shaft_at_low) * self.turns.sign(),
        }
    }

    /// Its arm, rod and lever in motion, of a servo with a rod.
    #[must_use]
    pub fn rod(&self) -> Option<ServoRod> {
        Some(ServoRod::new(self.linkage?, self.arm_at_zero?, self.turns.sign()))
    }
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
        let zero = match said.zero.size {
            Size::Given(at) => Deg(at),
            _ => drawn,
        };
        let shaft = Shaft { zero, drawn, travel: (least, most), turns };
        let fitted = match &said.rod {
            None => {
                if self.off_pivot(drive, motor) {
                    return None;
                }
                let found = self.zero_on_shaft(&said.zero, &shaft);
                let shaft = Shaft { zero: found.unwrap_or(zero), ..shaft };
                let zero = self.zero_as_built(&shaft).unwrap_or(shaft.zero);
                let fitted = self.on_shaft(zero, (least, most), turns, fastest);
                let solved = found.map(|_| ZERO_WORD).into_iter().collect();
                FittedServo { zero: found.map(|_| zero), solved, ..fitted }
            }
            Some(bars) => {
                let centres = self.centres(motor)?;
                self.through_rod(drive, (bars, &said.zero), centres, &shaft, fastest)?
            }
        };
        // As it was found, not as it is drawn.
        let shaft = Shaft { zero: fitted.zero.unwrap_or(shaft.zero), ..shaft };
        let at_rest = self.servo_at_rest(&fitted);
        let told = self.findings.len();
        self.check_travel(drive, motor, &shaft, at_rest.as_ref().unwrap_or(&fitted));
        if at_rest.is_some() {
            self.told_at_rest(told);
        }
        let mut fitted = fitted;
        self.check_trim(drive, motor, &shaft, &mut fitted);
        let carried = self.carried_servo(drive.place, (&fitted, at_rest.as_ref()));
        fitted.figures.extend(carried);
        Some(Fitted::Servo(Box::new(fitted)))
    }

    /// Reports a servo that carries its limb straight on its shaft and stands elsewhere
    /// than the limb's pivot: a limb turns about one place.
    fn off_pivot(&mut self, drive: &Drive, motor: usize) -> bool {
        // As drawn on the board: seen from a carrier both places are turned.
        let (Some(shaft), Some(pivot)) =
            (self.drawn.actuators[motor].at, super::motor_place::home(self.limb))
        else {
            return false;
        };
        let off = shaft.distance(pivot);
        if off <= checks::BUILD_ERROR {
            return false;
        }
        let place = |p: crate::geometry::BoardPoint| {
            crate::units::print::place((p.x, p.y), 1, self.figure.system)
        };
        let size = |l: Mm| crate::units::print::length(l, self.figure.system);
        let message = format!(
            "{} sits straight on its servo's shaft at {}, and its pivot is at {}, {} away: it cannot turn about both.",
            self.name(),
            place(shaft),
            place(pivot),
            size(off)
        );
        let arm = if self.figure.system == System::Inch { Mm(19.05) } else { Mm(20.0) };
        let rod = (off > arm * 2.0).then(|| {
            format!(
                "; or leave it there and turn the limb through two equal arms: `crank {0}  rod {1}  lever {0} at ?`",
                size(arm),
                size(off)
            )
        });
        let help = format!(
            "put the servo on the pivot, `at {}`{}.",
            place(pivot),
            rod.unwrap_or_default()
        );
        let steps = off_sum((shaft, pivot), off, self.figure.system);
        self.report(&codes::SERVO_OFF_PIVOT, drive.place, message).help = Some(help);
        self.works(steps);
        true
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
            ends: [ServoEnd::Travel; 2],
            arm_at_zero: None,
            travel: (least, most),
            turns,
            min_transmission: None,
            fastest,
            zero: None,
            answer: None,
            cord: None,
            figures: Vec::new(),
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
    pub(super) fn drawn_angle(&self) -> Option<Deg> {
        let crate::model::Joint::Pivot { at: Some(pivot), .. } = self.limb.joint else {
            return None;
        };
        (self.limb.tip? - pivot).dir().map(Dir::deg)
    }

    /// Whole turns, in degrees, that bring a reach to where the gestures, or the
    /// rest, count: a drawn axis is -160 deg where a gesture says 200.
    pub(super) fn turn_of_the_gestures(&self, ends: (Deg, Deg)) -> Deg {
        let asked = self.limb.gestures.iter().flat_map(angles).map(|(a, _)| a).next();
        let asked = asked.or(self.limb.rest.map(|r| r.value));
        let middle = (ends.0 + ends.1) / 2.0;
        asked.map_or(Deg(0.0), |a| Deg(360.0 * checks::turns_between(a, middle)))
    }

    /// Every angle a gesture asks for lies in the servo's reach.
    pub(super) fn check_travel(
        &mut self,
        drive: &Drive,
        motor: usize,
        shaft: &Shaft,
        fitted: &FittedServo,
    ) {
        let limb = self.limb;
        // Straight on its shaft a horn set anew may bring all it asks into the pulses.
        let direct = fitted.linkage.is_none() && fitted.cord.is_none();
        let used = self.limb_angles_used(fitted, shaft.zero).filter(|_| direct);
        let reset = used.and_then(|(low, high)| {
            let (a, b) = (fitted.on_shaft_at(low), fitted.on_shaft_at(high));
            self.reset(motor, shaft, fitted, (a.min(b), a.max(b)))
        });
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
                let help = reset.clone().unwrap_or_else(|| fitted.help_beyond(angle + turn));
                let found = self.report(&codes::SERVO_OUT_OF_TRAVEL, place, message);
                found.help = Some(help);
                found.related.push(("this servo".to_owned(), at));
                let deg = |d: Deg| format!("{} deg", decimal(d.0, 2));
                self.works([
                    Step::given("asked", deg(angle)),
                    Step::given("limb at one end of its pulses", deg(fitted.low - turn)),
                    Step::given("limb at the other", deg(fitted.high - turn)),
                ]);
            }
        }
    }
}

/// The angles a gesture asks for.
pub(super) fn angles(gesture: &Gesture) -> Vec<(Deg, Place)> {
    match &gesture.action {
        Action::Sweep { from, to, .. } => vec![(from.value, from.place), (to.value, to.place)],
        Action::Turn { to, .. } | Action::Pose(to) => vec![(to.value, to.place)],
        Action::Follow { range: Some((a, b)), .. } => {
            vec![(*a, gesture.place), (*b, gesture.place)]
        }
        _ => Vec::new(),
    }
}

/// How far a shaft stands from the pivot it should stand on.
pub(super) fn off_sum(
    (shaft, pivot): (BoardPoint, BoardPoint),
    off: Mm,
    system: System,
) -> Vec<Step> {
    let bare = |v: f64| print::fine_in(Mm(v), system);
    let at = |p: BoardPoint| print::place((p.x, p.y), 1, system);
    let sum = format!(
        "sqrt(({} - {})^2 + ({} - {})^2)",
        bare(pivot.x),
        bare(shaft.x),
        bare(pivot.y),
        bare(shaft.y)
    );
    vec![
        Step::given("shaft", at(shaft)),
        Step::given("pivot", at(pivot)),
        Step::new("from one to the other", sum, print::fine(off, system)),
    ]
}
