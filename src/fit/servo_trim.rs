//! The last degrees of a servo: how near its rod comes to a lock, whether its horn can be
//! set and trimmed, and how coarsely it stops.

use super::servo::Shaft;
use super::{Bench, FittedServo, KindFigure, Measure, codes, servo_rod};
use crate::finding::{Place, Step};
use crate::model::{Action, Drive, Gesture, MotorType, Note, PulseAt, Unpowered};
use crate::units::print::{below, decimal};
use crate::units::{Deg, Sec};

/// So far from a lock an arm that does not go round stops (common practice, no source).
const FROM_LOCK: Deg = Deg(10.0);
/// So much is kept at either end of its pulses to trim the horn (common practice, no
/// source).
pub(super) const TRIM: Deg = Deg(5.0);
/// Teeth of a servo's shaft where nothing is said (common practice, no source).
const TEETH: u32 = 25;
/// A dead band where nothing is said: 5 us at 0.1 deg/us (Hitec HS-311 announced
/// specification).
const DEAD_BAND: Deg = Deg(0.5);
/// What a pose may miss where no `within` says otherwise (the language's own 2 deg; its 5 %
/// of a swing are for linkages that are solved for one).
const POSE: Deg = Deg(2.0);
/// Angles this little beyond an end are at it.
const AT_END: f64 = 1e-6;

/// A horn set anew, some teeth on.
struct Reset {
    /// Teeth, counter-clockwise positive, seen from the front.
    teeth: i32,
    /// One tooth.
    tooth: Deg,
    /// What it works over then, the servo's own angles.
    used: (Deg, Deg),
    /// The limb's angle at the servo's zero then.
    zero: Deg,
}

impl Bench<'_> {
    /// Everything about a servo's shaft that is fine drawn and hard to build.
    pub(super) fn check_trim(
        &mut self,
        drive: &Drive,
        motor: usize,
        shaft: &Shaft,
        fitted: &mut FittedServo,
    ) {
        let asked = self.limb_angles_used(fitted, shaft.zero);
        let used = asked.unwrap_or((fitted.low, fitted.high));
        if fitted.beyond(used.0).max(fitted.beyond(used.1)).0 > AT_END {
            return;
        }
        let Some((a, b)) = fitted.own_at(used.0).zip(fitted.own_at(used.1)) else { return };
        let own = match fitted.rod().filter(|_| asked.is_none()) {
            // Nothing says where to stop: it goes its whole travel, on past where the limb
            // turns back.
            Some(rod) => {
                let (from, to, _) = servo_rod::free(&rod, Deg(0.0), shaft.travel);
                (from, to)
            }
            None => (a.min(b), a.max(b)),
        };
        let mut told = Vec::new();
        let angle = |name, words, a| KindFigure { name, words, value: Measure::Angle(a) };
        if let Some((short, at)) = from_lock(fitted, own) {
            told.push(angle("short_of_lock", "its arm stops short of a lock by", short));
            if short.0 < FROM_LOCK.0 - AT_END {
                self.near_lock(drive, fitted, (short, at), (at > own.1, asked.is_some()));
            }
        }
        // Which way its arm or horn is pressed onto its teeth.
        told.extend(
            fitted
                .arm_at_zero
                .map(|at| angle("arm_at_zero", "its arm at the servo's 0 points to", at.signed())),
        );
        if asked.is_some() {
            let room = (own.0 - shaft.travel.0).min(shaft.travel.1 - own.1).max(Deg(0.0));
            told.push(angle("trim_room", "left at the ends of its pulses", room));
            if room.0 < TRIM.0 - AT_END {
                self.near_end(drive, motor, (shaft, fitted), (own, room));
            }
        }
        let band = self.dead_band(motor, drive);
        told.push(angle("dead_band", "its shaft stops within", band));
        self.coarse(fitted, band);
        if let Some(Unpowered::Turned(lies)) = self.limb.unpowered {
            told.push(angle("unpowered", "lies without power at", lies));
        }
        fitted.figures = told;
    }

    fn near_lock(
        &mut self,
        drive: &Drive,
        fitted: &FittedServo,
        (short, at): (Deg, Deg),
        (above, asked): (bool, bool),
    ) {
        let Some(rod) = fitted.rod() else { return };
        let turned = |own: Deg| {
            let limb = rod.limb(own);
            (limb + fitted.turn_for((limb, limb))).0
        };
        let message = format!(
            "the arm of {} stops {} deg before rod and lever come into one line, with its servo at {} deg (the \
             limb at {} deg); 10 or more is wanted.",
            self.name(),
            decimal(short.0, 1),
            decimal(at.0, 0),
            decimal(turned(at), 0),
        );
        let clear = if above { at - FROM_LOCK } else { at + FROM_LOCK };
        let ask = match asked {
            true => format!("ask for nothing beyond {} deg", decimal(turned(clear), 0)),
            // Past where the limb turns back no angle of the limb says where to stop.
            false => {
                "say in a gesture how far the limb turns, so that its arm stops earlier".to_owned()
            }
        };
        let help = format!("{ask}, or take a shorter arm or a longer lever.");
        let end = if above { at - short } else { at + short };
        let deg = |d: Deg| format!("{} deg", decimal(d.0, 2));
        self.report(&codes::SERVO_NEAR_LOCK, drive.place, message).help = Some(help);
        self.works([
            Step::given("rod and lever in one line with the servo at", deg(at)),
            Step::given("the limb is then at", deg(Deg(turned(at)))),
            Step::given("it goes as far as", deg(end)),
            Step::new(
                "between the two",
                format!("|{} - {}|", decimal(at.0, 2), decimal(end.0, 2)),
                deg(short),
            ),
            Step::given("wanted", deg(FROM_LOCK)),
        ]);
    }

    fn near_end(
        &mut self,
        drive: &Drive,
        motor: usize,
        (shaft, fitted): (&Shaft, &FittedServo),
        (own, room): ((Deg, Deg), Deg),
    ) {
        let span = |(a, b): (Deg, Deg)| format!("{} to {} deg", decimal(a.0, 1), decimal(b.0, 1));
        let message = format!(
            "the servo of {} works from {} of its {}: {} deg are left to trim its horn, 5 are wanted.",
            self.name(),
            span(own),
            span(shaft.travel),
            below(room.0, TRIM.0)
        );
        let help = self.reset(motor, shaft, fitted, own).unwrap_or_else(|| {
            "ask for a little less, take a servo that turns further, or a longer arm or a shorter lever."
                .to_owned()
        });
        let found = self.report(&codes::SERVO_HORN_TOOTH, drive.place, message);
        found.help = Some(help);
        let (low, high) = (own.0 - shaft.travel.0, shaft.travel.1 - own.1);
        let ends = |(a, b): (Deg, Deg)| format!("{} to {} deg", decimal(a.0, 2), decimal(b.0, 2));
        let less = |a: Deg, b: Deg| format!("{} - {}", decimal(a.0, 2), decimal(b.0, 2));
        let deg = |d: Deg| format!("{} deg", decimal(d.0, 2));
        self.works([
            Step::given("its pulses", ends(shaft.travel)),
            Step::given("used", ends(own)),
            Step::new("left at the low end", less(own.0, shaft.travel.0), deg(low)),
            Step::new("left at the high end", less(shaft.travel.1, own.1), deg(high)),
            Step::given("the lesser", deg(room)),
            Step::given("wanted", "5 deg"),
        ]);
    }

    /// The horn set some teeth on, so that what is used lies well inside the pulses.
    pub(super) fn reset(
        &self,
        motor: usize,
        shaft: &Shaft,
        fitted: &FittedServo,
        own: (Deg, Deg),
    ) -> Option<String> {
        let teeth = self.figure.actuators[motor].motor.teeth;
        let set = Reset::of(teeth.unwrap_or(TEETH), shaft, fitted, own)?;
        let zero = if self.on_carrier() || fitted.cord.is_some() {
            String::new()
        } else {
            // In the turn of the circle in which the gestures count.
            let zero = set.zero + fitted.turn_for((set.zero, set.zero));
            format!("; write `zero {} deg`", decimal(zero.0, 1))
        };
        let count = set.teeth.unsigned_abs();
        Some(format!(
            "set the horn {count} {} {} (a tooth is {} deg{}): it works from {} to {} deg then, and the rest is trimmed{zero}.",
            if count == 1 { "tooth" } else { "teeth" },
            if set.teeth > 0 { "counter-clockwise" } else { "clockwise" },
            decimal(set.tooth.0, 1),
            if teeth.is_none() { ", of 25" } else { "" },
            decimal(set.used.0.0, 1),
            decimal(set.used.1.0, 1),
        ))
    }

    /// How far its shaft may be from what a pulse says.
    fn dead_band(&mut self, motor: usize, drive: &Drive) -> Deg {
        let kind: &MotorType = &self.figure.actuators[motor].motor;
        let own = match &drive.mechanism {
            crate::model::DriveKind::Servo(said) if !said.pulses.is_empty() => &said.pulses,
            _ => &kind.pulses,
        };
        let told = kind.dead_band.and_then(|band| Some(per_time(own)? * band.0));
        told.unwrap_or_else(|| {
            self.assumed.push(Note::new(
                format!("servo stops within {} deg", decimal(DEAD_BAND.0, 1)),
                format!("motor {} {{ dead-band 5 us }}", kind.name),
            ));
            DEAD_BAND
        })
    }

    /// The dead band at the limb, where each gesture stops.
    fn coarse(&mut self, fitted: &FittedServo, band: Deg) {
        let limb = self.limb;
        let worst = limb.gestures.iter().filter_map(|gesture| {
            let within = tolerance(gesture)?;
            let ends = super::servo::angles(gesture);
            let turn = fitted.turn_for((ends.first()?.0, ends.last()?.0));
            let rates = ends.iter().filter_map(|&(at, _)| fitted.rate(at + turn));
            let at_limb = band * rates.fold(0.0, f64::max);
            Some((gesture, at_limb, within))
        });
        let share = |(_, at, within): &(&Gesture, Deg, Deg)| at.0 / within.0;
        let worst = worst.reduce(|a, b| if share(&b) > share(&a) { b } else { a });
        let Some((gesture, at_limb, within)) = worst else { return };
        if at_limb.0 < within.0 / 2.0 - AT_END {
            return;
        }
        let message = format!(
            "the servo of {} stops anywhere within {} deg, {} deg at the limb; `{}` may miss by {}.",
            self.name(),
            decimal(band.0, 2),
            decimal(at_limb.0, 2),
            gesture.name.value,
            decimal(within.0, 2)
        );
        let swept = matches!(gesture.action, Action::Sweep { .. });
        let wider = libm::ceil(at_limb.0 * 20.0 + 1e-9) / 10.0 + 0.1;
        let say = if swept {
            format!("`within {} deg` takes it; or ", decimal(wider, 1))
        } else {
            String::new()
        };
        let help = format!(
            "{say}take {}, or a servo with a smaller dead band.",
            match fitted.linkage.is_some() || fitted.cord.is_some() {
                true => "a shorter arm or a longer lever",
                false => "an arm and a longer lever between servo and limb",
            }
        );
        let place: Place = gesture.place;
        let deg = |d: Deg| format!("{} deg", decimal(d.0, 3));
        let steps = [
            Step::given("its shaft stops within", deg(band)),
            Step::given("turn of the limb for one of the servo, at its most", {
                decimal(at_limb.0 / band.0, 3)
            }),
            Step::new(
                "at the limb",
                format!("{} x {}", decimal(band.0, 3), decimal(at_limb.0 / band.0, 3)),
                deg(at_limb),
            ),
            Step::given("may be off by", deg(within)),
            Step::new("half of that", format!("{}/2", decimal(within.0, 3)), {
                deg(Deg(within.0 / 2.0))
            }),
        ];
        self.report(&codes::SERVO_COARSE, place, message).help = Some(help);
        self.works(steps);
    }
}

impl Reset {
    fn of(teeth: u32, shaft: &Shaft, fitted: &FittedServo, own: (Deg, Deg)) -> Option<Self> {
        let tooth = Deg(360.0 / f64::from(teeth.max(1)));
        let (least, most) = shaft.travel;
        let centre = (own.0 + own.1) / 2.0 - (least + most) / 2.0;
        let count = libm::round(centre / tooth);
        let by = tooth * count;
        let used = (own.0 - by, own.1 - by);
        let room = (used.0 - least).min(most - used.1);
        if count == 0.0 || room.0 < TRIM.0 - AT_END {
            return None;
        }
        let zero = match fitted.rod() {
            Some(rod) => {
                let limb = rod.limb(by);
                limb + fitted.turn_for((limb, limb))
            }
            None => shaft.zero + by * shaft.turns.sign(),
        };
        let teeth = (count * shaft.turns.sign()) as i32;
        Some(Self { teeth, tooth, used, zero })
    }
}

/// The nearest lock beyond the angles used, and how far it is.
fn from_lock(fitted: &FittedServo, (low, high): (Deg, Deg)) -> Option<(Deg, Deg)> {
    let locks = fitted.rod()?.locks(low - Deg(360.0), high + Deg(360.0));
    let far = |&at: &Deg| if at < low { low - at } else { at - high };
    let outside = locks.into_iter().filter(|at| *at < low || *at > high).map(|at| (far(&at), at));
    outside.reduce(|a, b| if b.0 < a.0 { b } else { a })
}

/// Degrees of a servo for a second of pulse.
fn per_time(pulses: &[PulseAt]) -> Option<Deg> {
    let (first, last) = (pulses.first()?, pulses.last()?);
    let Sec(time) = last.pulse - first.pulse;
    let steep = (last.angle - first.angle).abs() / time.abs();
    steep.0.is_finite().then_some(steep)
}

/// What a gesture of a servo may miss; `None` of those that aim at nothing.
fn tolerance(gesture: &Gesture) -> Option<Deg> {
    match &gesture.action {
        Action::Sweep { within, .. } => Some(within.unwrap_or(POSE)).filter(|w| w.0 > 0.0),
        Action::Turn { .. } | Action::Pose(_) => Some(POSE),
        _ => None,
    }
}
