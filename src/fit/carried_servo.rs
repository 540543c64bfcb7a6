//! A limb that rides on another while its servo stands on the board: whether its rod reaches,
//! and how it pushes, wherever servo and carrier stand.
//!
//! Rod and lever are two sides of a triangle whose third is the way from the arm's pin to the
//! limb's pivot; the servo moves the one, the carrier the other. The push is worst where that
//! way is least or most, and beyond the difference and the sum of rod and lever there is no
//! triangle. For each angle of the arm the least and the most over the carrier's range are
//! known (`carried::Ride::ground`); over the arm's they are climbed to.

use super::carried::{Apart, Held, Ride};
use super::drive::{Figure, Measure};
use super::{Bench, FittedServo, codes};
use crate::finding::{Place, Severity, Step};
use crate::geometry::{BoardPoint, Dir, Vector, highest};
use crate::mechanism::FourBar;
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

impl Bench<'_> {
    /// A servo with a rod on the board whose limb rides: held over the carrier's whole range
    /// with the arm wherever its gestures send it as drawn. How it moves there stays noted.
    pub(super) fn carried_servo(
        &mut self,
        place: Place,
        (servo, zero): (&FittedServo, Deg),
    ) -> Vec<Figure> {
        let (Some(bar), Some((carrier, ride))) = (servo.linkage, self.ride()) else {
            return Vec::new();
        };
        let used = self.limb_angles_used(servo, zero).unwrap_or((servo.low, servo.high));
        let arms = [used.0, used.1].map(|limb| servo.arm_at(servo.shaft_for(limb)));
        let [near, far] = apart(&bar, &ride, (arms[0].min(arms[1]), arms[0].max(arms[1])));
        let (b, c) = (bar.bars().rod, bar.bars().lever);
        let (least, most) = ((b - c).abs(), b + c);
        let system = self.figure.system;
        let figure = |name, words, value| Figure { name, words, value };
        let mut figures = vec![
            figure("carrier_low", "its carrier swings from", Measure::Angle(ride.from)),
            figure("carrier_high", "to", Measure::Angle(ride.to)),
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
        figures.push(self.pushes_wherever(place, (b, c), [near, far], held));
        figures
    }
}
