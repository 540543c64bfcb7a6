//! A limb that rides on another while its motor stands on the board: crank and carrier
//! both move it.
//!
//! For each place of the carrier it is a four-bar whose shaft and pivot are d apart, and d
//! alone decides whether the crank goes round and how the rod pushes. The pivot runs on a
//! circle about the carrier's own, so d is least and most at the ends of the carrier's
//! range or where the circle comes nearest to the shaft or lies farthest from it. With a
//! the crank, b the rod and c the lever the crank goes right round where
//! |b - c| + a < d < b + c - a, an interval; and the push, as a function of the distance
//! from crank pin to pivot, only falls to both sides of its best, so over all places it is
//! worst at least d - a or at most d + a (the triangle b, c, d of R. L. Norton, *Design of
//! Machinery*, on the crank-rocker's transmission angle). The limb's ends on the board are
//! climbed to over the carrier's range.

use super::carried_drive::Carrier;
use super::carried_servo::sent;
use super::checks::{PUSH_FINE, PUSH_WEAK};
use super::drive::{Figure, Measure};
use super::{Bench, Fitted, FittedLimb, codes, standing, upper};
use crate::finding::{Place, Severity, Step};
use crate::geometry::{BoardPoint, Dir};
use crate::mechanism::{FourBar, solve};
use crate::model::{self, Joint, Limb, Note, Source};
use crate::units::print::{decimal, length};
use crate::units::{Deg, Mm, Rad};

/// How far two places are apart, and the carrier's angle there.
pub(super) type Apart = (Mm, Deg);

/// What a push is held against.
#[derive(Clone, Copy)]
pub(super) struct Held<'c> {
    /// The carrier's name.
    pub carrier: &'c str,
    /// Whether it goes through all of its range in any case.
    pub always: bool,
    /// The worst push with the carrier as drawn.
    pub drawn: Deg,
    /// "motor" or "servo".
    pub motor: &'static str,
}

/// The carrier's range, and the pivot on it.
#[derive(Clone, Copy)]
pub(super) struct Ride {
    /// The carrier's own pivot.
    about: BoardPoint,
    /// The limb's pivot on the drawing.
    pivot: BoardPoint,
    /// The carrier's angle there.
    pub drawn: Deg,
    /// Its range on the board.
    pub from: Deg,
    pub to: Deg,
    /// Its angle while nobody tells it anything, in the same turn.
    pub rest: Deg,
    /// Whether it goes through all of it in any case, and not only as far as it is told.
    pub always: bool,
}

/// Looks over the carrier's range before the best are climbed from.
const LOOKS: u32 = 48;
/// Halvings of the step about one.
const CLOSER: usize = 40;

impl Ride {
    /// Where the limb's pivot is with the carrier at an angle.
    pub fn pivot_at(&self, carrier: Deg) -> BoardPoint {
        self.about + (self.pivot - self.about).turned(Dir::degrees(carrier - self.drawn))
    }

    /// Least and most from the shaft to the pivot, each with the carrier's angle.
    pub fn ground(&self, shaft: BoardPoint) -> [Apart; 2] {
        let far = |carrier: Deg| (self.pivot_at(carrier).distance(shaft), carrier);
        let mut seen = vec![far(self.from), far(self.to)];
        let arm = (self.pivot - self.about).dir();
        if let (Some(arm), Some(way)) = (arm, (shaft - self.about).dir()) {
            // Toward the shaft, and away from it.
            let toward = self.drawn + way.from(arm).deg();
            let turns = (-3..=3).map(|n| toward + Deg(180.0) * f64::from(n));
            let first = self.from + (toward - self.from).positive() - toward;
            let inside = turns.map(|a| a + first).filter(|a| *a >= self.from && *a <= self.to);
            seen.extend(inside.map(far));
        }
        let by = |a: &&(Mm, Deg), b: &&(Mm, Deg)| a.0.0.total_cmp(&b.0.0);
        let most = seen.iter().max_by(by).copied().unwrap_or(seen[0]);
        [seen.iter().min_by(by).copied().unwrap_or(seen[0]), most]
    }

    /// Least and largest angle of the limb on the board, wherever the carrier is: `near` is
    /// its least as drawn, and `swing` its least, in any turn, and its swing with the carrier
    /// at an angle. `None` where it does not close somewhere.
    pub fn ends(&self, near: Deg, swing: &dyn Fn(Deg) -> Option<(Deg, Deg)>) -> Option<(Deg, Deg)> {
        // Both ends in one turn with those of the drawn pose, as the carrier goes on.
        let at = |carrier: Deg, near: Deg| {
            let (low, swing) = swing(carrier)?;
            let low = near + (low - near).signed();
            Some((low, low + swing))
        };
        let step = (self.to - self.from) / f64::from(LOOKS);
        let (mut last, mut low, mut high) = (near, None, None);
        for i in 0..=LOOKS {
            let carrier = self.from + step * f64::from(i);
            let ends = at(carrier, last)?;
            last = ends.0;
            let (best_low, best_high) =
                (low.get_or_insert((ends.0, carrier)), high.get_or_insert((ends.1, carrier)));
            if ends.0 < best_low.0 {
                *best_low = (ends.0, carrier);
            }
            if ends.1 > best_high.0 {
                *best_high = (ends.1, carrier);
            }
        }
        let climbed = |start: (Deg, Deg), sign: f64, end: fn((Deg, Deg)) -> Deg| {
            let (mut best, mut here) = start;
            let mut by = step * 0.5;
            for _ in 0..CLOSER {
                for there in [here - by, here + by].map(|a| a.max(self.from).min(self.to)) {
                    // Of its upper end the lower one tells the turn.
                    let Some(ends) = at(there, low.map_or(near, |l| l.0)) else { continue };
                    let value = end(ends);
                    let value = best + (value - best).signed();
                    if (value - best).0 * sign > 0.0 {
                        (best, here) = (value, there);
                    }
                }
                by = by * 0.5;
            }
            best
        };
        Some((climbed(low?, -1.0, |e| e.0), climbed(high?, 1.0, |e| e.1)))
    }
}

/// The range of a limb on the board, where its own pivot stands still: of one on a servo
/// what it is asked for, and where it stands before.
fn range(limb: &Limb, fitted: &FittedLimb) -> Option<(Deg, Deg)> {
    match fitted.mechanism.as_ref().filter(|_| fitted.riding.is_none())? {
        Fitted::Servo(servo) => Some(sent(limb, servo)),
        other => own_range(other),
    }
}

/// The range of a limb by its own mechanism; `None` for one that turns on and on.
pub(super) fn own_range(mechanism: &Fitted) -> Option<(Deg, Deg)> {
    match mechanism {
        Fitted::FourBar(bar) => {
            let motion = bar.as_drilled.motion?;
            Some((motion.low?, motion.high?))
        }
        Fitted::Drive(drive) => {
            let limits = drive.drilled.course.travel.swing()?;
            Some((limits.low, limits.high))
        }
        Fitted::Servo(servo) => Some((servo.low, servo.high)),
        Fitted::Spin(_) => None,
    }
}

/// How the note of what is not computed begins.
const NOTE: &str = "motion of a limb that rides on another with a motor on the board";

/// The name of what carries a limb, and its range; `None` where the limb rides on none, or on one
/// whose range on the board is not known.
pub(super) fn ride_of(
    figure: &model::Figure,
    limb: &Limb,
    done: &[Option<FittedLimb>],
) -> Option<(String, Ride)> {
    let index = limb.carrier?;
    let carrier = &figure.limbs[index];
    // One motor under both: they keep together, and are not computed as that.
    let own = limb.drive.as_ref().map(|d| d.source);
    if let (Some(Source::Motor(m)), Some(under)) = (own, figure.motor_of(index))
        && m == under
    {
        return None;
    }
    let (Joint::Pivot { at: Some(about), .. }, Joint::Pivot { at: Some(pivot), .. }) =
        (&carrier.joint, &limb.joint)
    else {
        return None;
    };
    let drawn = upper::axis(carrier)?.deg();
    let fitted = done.get(index)?.as_ref()?;
    let (from, to) = match (&carrier.drive, carrier.carrier) {
        (None, None) => (drawn, drawn),
        (Some(_), None) => range(carrier, fitted)?,
        _ => return None,
    };
    // In the turn of the circle in which the carrier is drawn.
    let drawn = if drawn.0 < 0.0 { drawn + Deg(360.0) } else { drawn };
    let turn = Deg(360.0 * libm::round((drawn - (from + to) / 2.0).0 / 360.0));
    // Where nobody asks for an angle, the whole reach of a servo need never be used.
    let servo = matches!(fitted.mechanism, Some(Fitted::Servo(_)));
    let always = !servo || !carrier.gestures.is_empty();
    let (from, to) = (from + turn, to + turn);
    let rest = standing(carrier, Some(fitted)).unwrap_or(drawn);
    let rest = drawn + (rest - drawn).signed();
    let ride = Ride { about: *about, pivot: *pivot, drawn, from, to, rest, always };
    Some((carrier.name.value.clone(), ride))
}

impl Bench<'_> {
    /// A four-bar on the board whose limb rides: held over the carrier's whole range.
    /// What is not computed of it stays noted.
    pub(super) fn carried(&mut self, place: Place, bar: &FourBar) -> Vec<Figure> {
        let Some((carrier, ride)) = self.ride() else { return Vec::new() };
        let [near, far] = ride.ground(bar.motor());
        let bars = bar.bars();
        let (a, b, c) = (bars.crank, bars.rod, bars.lever);
        let (least, most) = ((b - c).abs() + a, b + c - a);
        self.moves_with_both();
        let system = self.figure.system;
        let figure = |name, words, value| Figure { name, words, value };
        let mut figures = vec![
            figure("carrier_low", "its carrier swings from", Measure::Angle(ride.from)),
            figure("carrier_high", "to", Measure::Angle(ride.to)),
            figure("ground_least", "motor and pivot apart at least", Measure::Length(near.0)),
            figure("ground_most", "at most", Measure::Length(far.0)),
        ];
        let blocked = [(near.0 <= least, near), (far.0 >= most, far)];
        if let Some((_, (apart, at))) = blocked.into_iter().find(|(blocked, _)| *blocked) {
            // What goes round everywhere, for these two holes.
            let rods = ((far.0 + a - c).max(c + a - near.0).max(a), c + near.0 - a);
            let message = format!(
                "with {carrier} at {} deg the crank of {} cannot go right round: motor and pivot are {} apart then, and these bars go round from {} to {}.",
                decimal(at.0, 0),
                self.name(),
                length(apart, system),
                length(least, system),
                length(most, system)
            );
            let help = match rods.0 < rods.1 {
                true => format!(
                    "a rod between {} and {} goes round wherever {carrier} is.",
                    length(rods.0, system),
                    length(rods.1, system)
                ),
                false => format!(
                    "let the motor ride on {carrier} (`motor NAME at (x, y) mm rides`), or put it where {carrier} turns."
                ),
            };
            let found = self.report(&codes::CRANK_BLOCKED, place, message);
            found.help = Some(help);
            // A servo may never be told to go there.
            if !ride.always {
                found.severity = Severity::Warning;
            }
            return figures;
        }
        // With the carrier as drawn it was held already.
        let drawn = bar.analyse().motion.map_or(Deg(90.0), |m| m.min_transmission);
        let held = Held { carrier: &carrier, always: ride.always, drawn, motor: "motor" };
        let pins = [(near.0 - a, near.1), (far.0 + a, far.1)];
        figures.push(self.pushes_wherever(place, (b, c), pins, held));
        let swing = |carrier: Deg| {
            let motion = bar.moved(ride.pivot_at(carrier))?.analyse().motion?;
            Some((motion.low?, motion.sweep))
        };
        let near = bar.analyse().motion.and_then(|m| m.low);
        if let Some((low, high)) = near.and_then(|near| ride.ends(near, &swing)) {
            figures.push(figure("carried_low", "on the board from", Measure::Angle(low)));
            figures.push(figure("carried_high", "to", Measure::Angle(high)));
        }
        figures
    }

    /// The motion is computed: the note that it is not goes. A bend counts from the carrier;
    /// how that and the carrier's own motion add up is not computed.
    pub(super) fn moves_with_both(&mut self) {
        if self.limb.gestures.iter().all(|g| !g.relative) {
            self.not_checked.retain(|n| !n.what.starts_with(NOTE));
        }
    }

    /// The worst push of a rod on a lever over all places of the carrier, from the least and
    /// the most that the rod's far end is apart from the limb's pivot; reports a weak one.
    pub(super) fn pushes_wherever(
        &mut self,
        place: Place,
        (b, c): (Mm, Mm),
        [near, far]: [Apart; 2],
        held: Held<'_>,
    ) -> Figure {
        let push = |x: Mm| {
            let cos = (b.0 * b.0 + c.0 * c.0 - x.0 * x.0) / (2.0 * b.0 * c.0);
            let mu = Rad(libm::acos(cos.clamp(-1.0, 1.0))).deg();
            mu.min(Deg(180.0) - mu)
        };
        let (worst, at) = match (push(near.0), push(far.0)) {
            (p, q) if p <= q => (p, near.1),
            (_, q) => (q, far.1),
        };
        self.weak_wherever(place, (worst, at), held, (["rod", "pushes"], PUSH_FINE))
    }

    /// The worst push over all places of the carrier, and its angle there; reports one less
    /// than is wanted, in words for what does what.
    pub(super) fn weak_wherever(
        &mut self,
        place: Place,
        (worst, at): (Deg, Deg),
        held: Held<'_>,
        ([what, does], wanted): ([&str; 2], Deg),
    ) -> Figure {
        let Held { carrier, always, drawn, motor } = held;
        if worst < wanted && worst < drawn - Deg(0.5) {
            let message = format!(
                "with {carrier} at {} deg the {what} of {} {does} at {} deg to the lever at worst; {} or more is wanted.",
                decimal(at.0, 0),
                self.name(),
                decimal(worst.0, 1),
                decimal(wanted.0, 0)
            );
            let found = self.report(&codes::WEAK_PUSH, place, message);
            found.severity = match worst {
                w if w < solve::PUSH_FLOOR && always => Severity::Error,
                w if w < PUSH_WEAK => Severity::Warning,
                _ => Severity::Advice,
            };
            found.help = Some(format!(
                "put the {motor} nearer to where {carrier} turns, or let it ride on {carrier}."
            ));
            self.works([
                Step::given("the limb that carries it at", format!("{} deg", decimal(at.0, 0))),
                Step::given("push there", format!("{} deg", decimal(worst.0, 1))),
                Step::given("wanted", format!("{} deg", decimal(wanted.0, 0))),
            ]);
        }
        let words = "push at worst wherever it is";
        Figure { name: "carried_push", words, value: Measure::Angle(worst) }
    }

    /// The carrier's name and its range: as [`ride_of`].
    pub(super) fn ride(&self) -> Option<(String, Ride)> {
        match &self.aboard {
            Some(Carrier { name, ride }) => Some((name.clone(), *ride)),
            None => ride_of(self.figure, self.limb, self.done),
        }
    }

    /// Notes at which place of its carrier the swing of a riding limb is computed.
    pub(super) fn drawn_on_carrier(&mut self) {
        if let Some((carrier, ride)) = self.ride() {
            let at = decimal(ride.drawn.0, 1);
            let what = format!("its swing with {carrier} as drawn, at {at} deg");
            self.assumed.push(Note::new(what, ""));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::Vector;

    /// Least and most distance against 20,000 places of the carrier.
    #[test]
    fn the_ground_is_least_and_most_where_samples_say() {
        let shaft = BoardPoint::mm(250.0, 480.0);
        for (from, to) in [(150.0, 200.0), (195.0, 235.0), (200.0, 300.0), (-170.0, 20.0)] {
            let ride = Ride {
                about: BoardPoint::mm(300.0, 700.0),
                pivot: BoardPoint::mm(120.0, 700.0),
                drawn: Deg(180.0),
                from: Deg(from),
                to: Deg(to),
                rest: Deg(from),
                always: true,
            };
            let [near, far] = ride.ground(shaft);
            let all = (0..=20_000).map(|i| {
                let at = Deg(from + (to - from) * f64::from(i) / 20_000.0);
                let way = Vector::polar(Mm(180.0), Dir::degrees(at));
                (ride.about + way).distance(shaft).0
            });
            let (low, high) =
                all.fold((f64::MAX, 0.0f64), |(low, high), d| (low.min(d), high.max(d)));
            assert!((near.0.0 - low).abs() < 1e-3 && (far.0.0 - high).abs() < 1e-3, "{from} {to}");
        }
    }
}
