//! How long a limb on a cord takes to fall back by itself, against the time its gestures
//! give it. A cord only pulls: nothing but weight and spring brings the limb back.

use super::cord_codes::CORD_RETURN_SLOW;
use super::from_rest::{self, Piece};
use super::mass::GRAVITY;
use super::motor::{HOLD, Work, holding};
use super::train::Friction;
use super::wind_limit::{Input, Limit, When, input};
use super::{Bench, MassProperties, works};
use crate::fit::{Fitted, FittedDrive, StrutPace};
use crate::geometry::least;
use crate::mechanism::Path as _;
use crate::model::{Action, CordDrive, DriveKind, Gesture, Limb, Return};
use crate::units::print::decimal;
use crate::units::{Deg, Mm, NewtonMetre, Sec};

/// Into how many pieces the way back is cut; in each the torque is taken as even, which
/// for a weight over a quarter turn is out by less than a ten-thousandth.
const PIECES: u32 = 360;

/// No spring on a figure turns harder, N.m.
const MOST_SPRING: f64 = 20.0;

/// What turns a limb back and what it has to turn.
#[derive(Clone, Copy)]
pub struct Falls<'a> {
    /// Torque of the way back with the limb at an angle, N.m, friction taken off.
    pub torque: &'a dyn Fn(Deg) -> f64,
    /// Its moment of inertia about its pivot, kg.m2.
    pub inertia: f64,
}

impl Falls<'_> {
    /// The time from standing still at one angle to another, s; `None` where it does not
    /// come so far.
    #[must_use]
    pub fn time(&self, from: Deg, to: Deg) -> Option<f64> {
        let step = (to - from).rad().0.abs() / f64::from(PIECES);
        let middle = |n: u32| from + (to - from) * ((f64::from(n) + 0.5) / f64::from(PIECES));
        from_rest::time((0..PIECES).map(|n| Piece {
            way: step,
            force: (self.torque)(middle(n)),
            mass: self.inertia,
        }))
    }

    /// The least more torque that brings it back in the time that it is given: more is
    /// never slower. `None` where no spring on a figure does.
    fn helped(&self, asked: &Asked<'_>) -> Option<NewtonMetre> {
        let in_time = |more: f64| {
            let torque = |at: Deg| (self.torque)(at) + more;
            let time = Falls { torque: &torque, ..*self }.time(asked.from, asked.to);
            time.is_some_and(|t| t <= asked.time.0)
        };
        least(MOST_SPRING, in_time).map(NewtonMetre)
    }
}

/// A spring, and the stall torque of the servo it takes where this one gets hot of it.
type Wanted = (NewtonMetre, Option<NewtonMetre>);

/// A way back that a gesture asks for.
struct Asked<'l> {
    gesture: &'l str,
    from: Deg,
    to: Deg,
    time: Sec,
}

impl Bench<'_> {
    /// The stall torque of a servo that holds a limb against so much more of its spring,
    /// where its own does not.
    fn too_weak_for(&self, index: usize, more: NewtonMetre) -> Option<NewtonMetre> {
        let motor = self.fitted.figure.motor_of(index).and_then(|m| self.motors.get(m))?;
        let Some(Work::Servo(load)) = &motor.work else { return None };
        let wanted = (load.hold + more * load.ratio.abs()) / HOLD;
        (wanted > load.stall).then_some(wanted)
    }

    /// The way back of a limb on a cord that leaves it least time; `None` where it hangs on
    /// none, or something of it is not known (the fit says what).
    pub(super) fn cord_return(&self, index: usize) -> Option<Limit> {
        let fitted = self.fitted;
        let limb = &fitted.figure.limbs[index];
        let DriveKind::Cord(said) = &limb.drive.as_ref()?.mechanism else { return None };
        // On a limb that moves its weight turns it one way and another; with its drive on the
        // board it is told as that limb rests.
        if limb.carrier.is_some() && fitted.carried(index).is_none() {
            return None;
        }
        let mechanism = fitted.limbs[index].mechanism.as_ref()?;
        let cord = mechanism.as_drive()?;
        let mass = self.limbs[index].mass?;
        let said_spring = match said.back {
            Some(Return::Moment(m)) => m,
            Some(Return::Force(_) | Return::Spring) => return None,
            Some(Return::Gravity) | None => NewtonMetre(0.0),
        };
        // Open: the cord turns it counter-clockwise, and it falls back clockwise.
        let way = -cord.made().mechanism.assembly()?.sign();
        let friction = works::friction_of(limb);
        let rubs = torque_of(friction, &mass);
        let torque = |at: Deg| way * -holding(limb, &mass, at) + said_spring.0 - rubs;
        let falls = Falls { torque: &torque, inertia: mass.inertia.0 };
        let heavy = falls.inertia > 0.0;
        if !heavy {
            return None;
        }
        let worst = self
            .asked_back(index, limb, said, (mechanism, cord), way)
            .into_iter()
            .filter_map(|a| Some((falls.time(a.from, a.to)?, a)))
            .reduce(|a, b| if b.0 - b.1.time.0 > a.0 - a.1.time.0 { b } else { a })?;
        let inputs = vec![
            input("from", worst.1.from.0, "deg").given(),
            input("to", worst.1.to.0, "deg").given(),
            input("weight_at_start", torque(worst.1.from) - said_spring.0 + rubs, "N.m"),
            input("spring", said_spring.0, "N.m").given(),
            input("friction", rubs, "N.m")
                .given_or_worked(!matches!(friction, Friction::Bushing { .. })),
            input("inertia", mass.inertia.0, "kg.m2").known(mass.origins[2]),
        ];
        let typical = match friction {
            Friction::Bushing { .. } => vec!["friction in its bushing"],
            _ => Vec::new(),
        };
        let spring = (worst.0 > worst.1.time.0).then(|| falls.helped(&worst.1)).flatten();
        Some(limit(
            limb,
            &worst,
            (said.back, spring.map(|more| (said_spring + more, self.too_weak_for(index, more)))),
            (inputs, typical),
        ))
    }

    /// Every way back that has a time.
    fn asked_back<'l>(
        &self,
        index: usize,
        limb: &'l Limb,
        said: &CordDrive,
        (mechanism, cord): (&Fitted, &FittedDrive),
        way: f64,
    ) -> Vec<Asked<'l>> {
        let course = &cord.made().course;
        let Some(limits) = course.travel.swing() else { return Vec::new() };
        let whole = (limits.low, limits.low + limits.range());
        let back = |(low, high): (Deg, Deg)| if way > 0.0 { (low, high) } else { (high, low) };
        let asked = |gesture, ends, time| {
            let (from, to) = back(ends);
            Asked { gesture, from, to, time }
        };
        let motor = self.fitted.figure.motor_of(index);
        let motor = motor.map(|m| &*self.fitted.figure.actuators[m].motor);
        let span = cord.made().way.span();
        let drawn = Mm((span.to - span.from).abs());
        let wound = motor.and_then(|m| StrutPace::of_cord(said, m, drawn));
        let lets_out = wound.map(|pace| pace.cord_speeds(drawn).1).filter(|speed| *speed > 0.0);
        if let Some(speed) = lets_out {
            let time = Sec(drawn.0 / speed);
            return vec![asked("letting out", whole, time)];
        }
        let Fitted::Servo(servo) = mechanism else {
            let cycles = limb.gestures.iter().filter_map(|g| match &g.action {
                Action::Sweep { cycle: Some(cycle), .. } => {
                    Some((&*g.name.value, self.site.seconds(cycle.value)?))
                }
                _ => None,
            });
            // The quicker of the two ways, whichever way its motor turns.
            let share = 1.0 / (1.0 + course.time_ratio.unwrap_or(1.0));
            return cycles.map(|(name, cycle)| asked(name, whole, cycle * share)).collect();
        };
        let turned = |at: Deg| at + servo.turn_for((at, at));
        let named: Vec<Deg> = works::named(limb).into_iter().map(turned).collect();
        let one = |g: &'l Gesture| {
            let (ends, time) = match &g.action {
                Action::Sweep { from, to, cycle: Some(cycle), .. } => {
                    let ends = (turned(from.value), turned(to.value));
                    (ends, self.site.seconds(cycle.value)? / 2.0)
                }
                Action::Turn { to, over: Some(over) } => {
                    let to = turned(to.value);
                    // From the furthest of the other places that it falls back from.
                    let above = named.iter().copied().map(|from| ((to - from).0 * way, from));
                    let far = above.filter(|(by, _)| *by > 0.0);
                    let (_, from) = far.reduce(|a, b| if b.0 > a.0 { b } else { a })?;
                    ((from, to), self.site.seconds(over.value)?)
                }
                _ => return None,
            };
            Some(asked(&*g.name.value, (ends.0.min(ends.1), ends.0.max(ends.1)), time))
        };
        limb.gestures.iter().filter_map(one).filter(|a| a.from != a.to).collect()
    }
}

/// The torque that rubs against a limb that hangs free, N.m.
fn torque_of(friction: Friction, mass: &MassProperties) -> f64 {
    match friction {
        Friction::Given(t) => t.0.abs(),
        Friction::Bushing { coefficient, radius } => {
            coefficient * mass.mass.0 * GRAVITY * radius * 1e-3
        }
        Friction::None | Friction::Guide(..) => 0.0,
    }
}

fn limit(
    limb: &Limb,
    (falls, asked): &(f64, Asked<'_>),
    (back, wanted): (Option<Return>, Option<Wanted>),
    (inputs, typical): (Vec<Input>, Vec<&'static str>),
) -> Limit {
    let up = |v: f64, by: f64| libm::ceil(v * by - 1e-9) / by;
    let time = decimal(up(*falls, 100.0), 2);
    let by = match back {
        Some(Return::Moment(_)) => "weight and spring bring",
        _ => "its weight brings",
    };
    let spring = wanted.map_or(String::new(), |(spring, servo)| {
        let told = decimal(up(spring.0, 1000.0), 3);
        match servo {
            None => format!(", or a spring of `return spring {told} N.m`"),
            Some(stall) => format!(
                ", or a spring of {told} N.m with a servo that stops at {} N.m",
                decimal(up(stall.0, 100.0), 2)
            ),
        }
    });
    Limit {
        code: &CORD_RETURN_SLOW,
        when: When::Run,
        severity: CORD_RETURN_SLOW.severity,
        goes: "it falls back later than its cord lets it",
        says: [
            format!("{by} {} back in ", limb.said()),
            format!("; `{}` gives it ", asked.gesture),
            String::new(),
        ],
        calm: *falls,
        per_gust2: 0.0,
        bears: asked.time.0,
        unit: "s",
        inputs,
        typical,
        left_out: false,
        help: format!("give the way back {time} s or more{spring}."),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Under an even torque t = sqrt(2 angle I/T) (uniform acceleration, any textbook).
    #[test]
    fn an_even_torque_takes_what_the_textbook_says() {
        let falls = Falls { torque: &|_| 0.01, inertia: 2e-5 };
        let time = falls.time(Deg(60.0), Deg(10.0)).unwrap();
        let angle = 50.0_f64.to_radians();
        assert!((time - (2.0 * angle * 2e-5 / 0.01).sqrt()).abs() < 1e-9, "{time}");
    }

    /// A pendulum let go level takes a quarter of its period to hang: T0 x 1.18034 for a
    /// swing of 90 deg either way (complete elliptic integral, Abramowitz and Stegun,
    /// table 17.1: K(m = 0.5) = 1.85407).
    #[test]
    fn a_pendulum_falls_in_a_quarter_of_its_period() {
        let (inertia, weight) = (0.004, 0.2 * 9.80665 * 0.1);
        let torque = |at: Deg| weight * libm::cos(at.rad().0);
        let falls = Falls { torque: &torque, inertia };
        let time = falls.time(Deg(0.0), Deg(-90.0)).unwrap();
        let quarter = 1.85407 * (inertia / weight).sqrt();
        assert!((time / quarter - 1.0).abs() < 1e-4, "{time} {quarter}");
    }

    #[test]
    fn what_friction_holds_does_not_fall() {
        let falls = Falls { torque: &|at: Deg| if at.0 < 30.0 { -1.0 } else { 0.5 }, inertia: 1.0 };
        assert_eq!(falls.time(Deg(60.0), Deg(0.0)), None);
    }
}
