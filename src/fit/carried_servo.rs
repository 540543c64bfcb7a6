//! A limb that rides on another while its servo stands on the board: whether its rod reaches,
//! how it pushes, and how far the limb goes, wherever servo and carrier stand. What the servo
//! is sent to is found with the carrier at rest.
//!
//! Rod and lever are two sides of a triangle whose third is the way from the arm's pin to the
//! limb's pivot; the servo moves the one, the carrier the other. The push is worst where that
//! way is least or most, and beyond the difference and the sum of rod and lever there is no
//! triangle. For each angle of the arm the least and the most over the carrier's range are
//! known (`carried::Ride::ground`); over the arm's they are climbed to.

use super::carried::{Apart, Held, Ride};
use super::drive::{Figure, Measure};
use super::range::asked;
use super::servo_rod::places;
use super::{Bench, Fitted, FittedFigure, FittedServo, codes, standing};
use crate::finding::{Place, Severity, Step};
use crate::geometry::{BoardPoint, Dir, Vector, highest};
use crate::mechanism::{FourBar, Path as _, ServoRod};
use crate::model::{Limb, Note};
use crate::units::Deg;
use crate::units::print::{self, decimal};

/// Stretches of the arm's way that are looked at for where pin and pivot are nearest and
/// farthest: a servo turns a part of a turn, in which there are two hills at most.
const LOOKS: usize = 24;

/// Least and most over the arm's way and the carrier's.
fn apart(bar: &FourBar, ride: &Ride, (from, to): (Deg, Deg)) -> [Apart; 2] {
    let pin = |arm: f64| -> BoardPoint {
        bar.motor() + Vector::polar(bar.bars().crank, Dir::degrees(Deg(arm)))
    };
    let ground = |arm: f64, end: usize| ride.ground(pin(arm))[end];
    let place = |n: usize| from.0 + (to - from).0 * n as f64 / LOOKS as f64;
    [(0, -1.0), (1, 1.0)].map(|(end, sign)| {
        let height = |arm: f64| sign * ground(arm, end).0.0;
        let of = |n: &usize| height(place(*n));
        let at = (0..=LOOKS).max_by(|a, b| of(a).total_cmp(&of(b))).unwrap_or(0);
        let (lo, hi) = (place(at.saturating_sub(1)), place((at + 1).min(LOOKS)));
        let beside = highest(lo, hi, 1e-6, height).0;
        let best = if height(beside) > of(&at) { beside } else { place(at) };
        ground(best, end)
    })
}

/// A carrier that rests so near to where it is drawn rests there.
const AS_DRAWN: Deg = Deg(0.5);

/// The servo's own angle in the middle of what its limb is asked for.
pub(super) fn middle(limb: &Limb, servo: &FittedServo) -> Deg {
    let (low, high) = asked(limb, Some(servo), (servo.low, servo.high));
    servo.shaft_for((low + high) / 2.0)
}

/// Least and largest angle of its limb that a servo is sent to: what is asked for, and
/// where it stands before anything is.
pub(super) fn sent(limb: &Limb, servo: &FittedServo) -> (Deg, Deg) {
    let start = limb.rest.map(|r| r.value + servo.turn_for((r.value, r.value)));
    let start = start.unwrap_or_else(|| (servo.low + servo.high) / 2.0);
    let (low, high) = asked(limb, Some(servo), (servo.low, servo.high));
    (low.min(start).max(servo.low), high.max(start).min(servo.high))
}

impl FittedServo {
    /// The same servo with its limb's pivot elsewhere, arm and rod as they are: what it
    /// reaches one way about an angle of its own. `None` where it has no rod, or that does
    /// not close there.
    pub(super) fn on_pivot(&self, pivot: BoardPoint, about: Deg) -> Option<Self> {
        let linkage = self.linkage?.moved(pivot)?;
        linkage.at(Dir::degrees(self.arm_at(about))).ok()?;
        let drawn = self.rod()?.limb(about);
        let near = drawn + self.turn_for((drawn, drawn));
        let rod = ServoRod::new(linkage, self.arm_at_zero?, self.turns.sign());
        let (_, _, points) = places(&rod, (about, near), self.travel);
        let part = points.windows(2).find(|p| p[1].1 >= about).or_else(|| points.windows(2).last());
        let &[a, b] = part? else { return None };
        let (low, high) = if a.0 <= b.0 { (a, b) } else { (b, a) };
        Some(Self {
            linkage: Some(linkage),
            low: low.0,
            high: high.0,
            shaft_at_low: low.1,
            shaft_at_high: high.1,
            ends: [low.2, high.2],
            ..self.clone()
        })
    }

    /// Where its arm points when it is sent to two angles of the limb, the lesser first.
    fn arms(&self, (low, high): (Deg, Deg)) -> (Deg, Deg) {
        let [a, b] = [low, high].map(|limb| self.arm_at(self.shaft_for(limb)));
        (a.min(b), a.max(b))
    }
}

impl FittedFigure {
    /// The angle of what carries a limb while nobody tells it anything; `None` where only
    /// the drawing shows it.
    #[must_use]
    pub fn carrier_rest(&self, limb: usize) -> Option<Deg> {
        let carrier = self.figure.limbs.get(limb)?.carrier?;
        standing(&self.figure.limbs[carrier], self.limbs.get(carrier))
    }

    /// Least and largest coordinate of the drive on the board of a limb that rides: a whole
    /// turn of a crank, what a servo's arm is sent to, or a length; rad or mm. `None` as for
    /// [`FittedFigure::carried`].
    #[must_use]
    pub fn carried_span(&self, limb: usize) -> Option<(f64, f64)> {
        if let Fitted::Servo(servo) = self.carried(limb)?
            && servo.linkage.is_some()
        {
            let Fitted::Servo(at_rest) = self.carried_at_rest(limb)? else {
                return None;
            };
            let arms = at_rest.arms(sent(&self.figure.limbs[limb], &at_rest));
            return Some((arms.0.rad().0, arms.1.rad().0));
        }
        let span = self.aboard(limb, None)?.way.span();
        Some((span.from, span.to))
    }
}

impl Bench<'_> {
    /// A servo with a rod on the board whose limb rides, with its carrier at rest: the angles
    /// it is told hold there. `None` for any other, and where its rod does not reach there.
    pub(super) fn servo_at_rest(&mut self, servo: &FittedServo) -> Option<FittedServo> {
        servo.linkage?;
        let (carrier, ride) = self.ride()?;
        let at_rest = servo.on_pivot(ride.pivot_at(ride.rest), middle(self.limb, servo))?;
        let at = decimal(ride.rest.0, 1);
        let what = format!(
            "its angles on the board with {carrier} at rest, at {at} deg: its servo is sent to where they \
             hold there"
        );
        self.assumed.push(Note::new(what, ""));
        Some(at_rest)
    }

    /// Adds to what was found of its reach where its carrier is taken to stand, unless that
    /// is as drawn.
    pub(super) fn told_at_rest(&mut self, from: usize) {
        let Some((carrier, ride)) = self.ride() else { return };
        if (ride.rest - ride.drawn).abs() < AS_DRAWN {
            return;
        }
        let at = decimal(ride.rest.0, 1);
        for found in &mut self.findings[from..] {
            found.message.push_str(&format!(" (With {carrier} at rest, at {at} deg.)"));
            found.help = Some(format!(
                "draw {carrier} as it rests, at {at} deg, and what rides on it with it: its servo is at \
                 zero as drawn; or put the servo nearer to where {carrier} turns."
            ));
        }
    }

    /// A servo with a rod on the board whose limb rides: held over the carrier's whole range
    /// with the arm wherever its gestures send it, which is found with the carrier at rest.
    pub(super) fn carried_servo(
        &mut self,
        place: Place,
        (servo, at_rest): (&FittedServo, Option<&FittedServo>),
    ) -> Vec<Figure> {
        let (Some(bar), Some((carrier, ride))) = (servo.linkage, self.ride()) else {
            return Vec::new();
        };
        // Where it does not reach at rest, with the arm as drawn: that is told below.
        let told = at_rest.unwrap_or(servo);
        let arms = told.arms(sent(self.limb, told));
        let [near, far] = apart(&bar, &ride, arms);
        let (b, c) = (bar.bars().rod, bar.bars().lever);
        let (least, most) = ((b - c).abs(), b + c);
        let system = self.figure.system;
        let figure = |name, words, value| Figure { name, words, value };
        let mut figures = vec![
            figure("carrier_low", "its carrier swings from", Measure::Angle(ride.from)),
            figure("carrier_high", "to", Measure::Angle(ride.to)),
            figure("at_rest_low", "with that at rest it reaches from", Measure::Angle(told.low)),
            figure("at_rest_high", "to", Measure::Angle(told.high)),
            figure("apart_least", "arm pin and pivot apart at least", Measure::Length(near.0)),
            figure("apart_most", "at most", Measure::Length(far.0)),
        ];
        let sum = [
            Step::given("arm pin and pivot apart at least", print::fine(near.0, system)),
            Step::given("at most", print::fine(far.0, system)),
            Step::given("rod", print::fine(b, system)),
            Step::given("lever", print::fine(c, system)),
        ];
        let out = [(near.0 <= least, near), (far.0 >= most, far)];
        if let Some((_, (way, at))) = out.into_iter().find(|(out, _)| *out) {
            let message = format!(
                "with {carrier} at {} deg the rod of {} comes into line with its lever or does not reach: arm pin and pivot are {} apart then.",
                decimal(at.0, 0),
                self.name(),
                print::fine(way, system)
            );
            // Another rod turns the arm for the pose as drawn: none is named.
            let found = self.report(&codes::SERVO_ROD_LOCKS, place, message);
            found.help = Some(format!(
                "let the servo ride on {carrier} (`motor NAME at (x, y) mm rides`), or put it where {carrier} turns."
            ));
            // A servo under it may never be told to go there.
            if !ride.always {
                found.severity = Severity::Warning;
            }
            self.works(sum);
            return figures;
        }
        // With the carrier as drawn it was held already.
        let drawn = servo.min_transmission.unwrap_or(Deg(90.0));
        let held = Held { carrier: &carrier, always: ride.always, drawn, motor: "servo" };
        let push = self.pushes_wherever(place, (b, c), [near, far], held);
        let Some((low, high)) = swing_of(servo, &ride, arms) else { return figures };
        self.moves_with_both();
        figures.push(push);
        figures.push(figure("carried_low", "on the board from", Measure::Angle(low)));
        figures.push(figure("carried_high", "to", Measure::Angle(high)));
        figures
    }
}

/// Least and largest angle of the limb on the board with the arm anywhere between two
/// angles, wherever the carrier is.
fn swing_of(servo: &FittedServo, ride: &Ride, arms: (Deg, Deg)) -> Option<(Deg, Deg)> {
    let (bar, zero, sign) = (servo.linkage?, servo.arm_at_zero?, servo.turns.sign());
    let own = [arms.0, arms.1].map(|arm| (arm - zero) * sign);
    let (from, to) = (own[0].min(own[1]), own[0].max(own[1]));
    let swing = |rod: &ServoRod| {
        let back = rod.turns_back(from, to);
        let seen = [from, to].into_iter().chain(back).map(|at| rod.limb(at));
        let (low, high) = seen.map(|a| (a, a)).reduce(|m, a| (m.0.min(a.0), m.1.max(a.1)))?;
        Some((low, high - low))
    };
    let at = |carrier: Deg| swing(&ServoRod::new(bar.moved(ride.pivot_at(carrier))?, zero, sign));
    // In the turn of the circle in which its gestures speak of it.
    let drawn = swing(&ServoRod::new(bar, zero, sign))?;
    let turn = servo.turn_for((drawn.0, drawn.0 + drawn.1));
    ride.ends(drawn.0 + turn, &at)
}
