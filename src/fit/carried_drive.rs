//! A limb that rides on another while its ram, its cylinder or what pulls its cord stands on
//! the board.
//!
//! It is computed as if it turned on the board, on the pivot that its carrier at rest gives
//! it: the angles it is told hold there. Then it is held on every pivot of the carrier's
//! range: drive, lever and the way between what drives it and the pivot are a triangle, whose
//! third side the carrier moves (R. L. Norton, *Design of Machinery*, on the inverted
//! slider-crank). Its worst push is at the corners of what its sides may be; the limb's ends
//! are climbed to over the carrier's range.

use super::carried::{Apart, Held, Ride, ride_of};
use super::checks::PUSH_FINE;
use super::drive::{Figure, Measure};
use super::{Bench, Fitted, FittedLimb, codes};
use crate::finding::{Severity, Step};
use crate::geometry::BoardPoint;
use crate::mechanism::solve::RAM_PUSH_FLOOR;
use crate::mechanism::{FourBar, Mechanism, Path as _, Rod, Way};
use crate::model::{self, Drive, DriveKind, Joint, MotorKind, Note, Source};
use crate::units::print::{self, decimal};
use crate::units::{Deg, Mm, Rad};

/// What carries a limb whose drive stands on the board.
#[derive(Clone)]
pub(super) struct Carrier {
    /// Its name.
    pub name: String,
    /// Its range, and the limb's pivot on it.
    pub ride: Ride,
}

/// A figure with the pivot of a limb where its carrier at rest has it, and nothing carrying
/// it; what carries it beside. `None` for any other limb than one that rides on a ram, a
/// cylinder or a cord on the board and is told angles of the board, and where its carrier's
/// range is not known.
pub(super) fn at_rest(
    figure: &model::Figure,
    index: usize,
    done: &[Option<FittedLimb>],
) -> Option<(model::Figure, Carrier)> {
    let limb = &figure.limbs[index];
    let drive = limb.drive.as_ref().filter(|_| limb.carrier.is_some())?;
    let Source::Motor(motor) = drive.source else { return None };
    let by = match &drive.mechanism {
        DriveKind::Strut(_) => true,
        // Off a round pulley it leaves elsewhere wherever the carrier is.
        DriveKind::Cord(cord) => {
            figure.actuators[motor].motor.kind != MotorKind::Servo && !cord.on_pulleys()
        }
        _ => false,
    };
    if !by || figure.motor_rides(index) || limb.gestures.iter().any(|g| g.relative) {
        return None;
    }
    let (name, ride) = ride_of(figure, limb, done)?;
    let mut seen = figure.clone();
    let own = &mut seen.limbs[index];
    let pivot = ride.pivot_at(ride.rest);
    let Joint::Pivot { at: Some(at), .. } = &mut own.joint else { return None };
    let moved = pivot - *at;
    *at = pivot;
    own.tip = own.tip.map(|tip| tip + moved);
    own.carrier = None;
    Some((seen, Carrier { name, ride }))
}

/// Looks over the carrier's range at what holds a cord tight.
const LOOKS: u32 = 48;
/// A carrier that rests so near to where it is drawn rests there.
const AS_DRAWN: Deg = Deg(0.5);

/// The triangle of drive, lever and the way between what drives it and the pivot, of which
/// the carrier moves that pivot and the drive one corner or one side.
enum Hold {
    /// What drives it stands, and the drive is between its least and its most long, at these
    /// coordinates: its length alone says how far the lever is turned from the way to the pivot.
    Grows { from: Rod, to: Rod, ends: [f64; 2] },
    /// A cord straight from the pin of a crank that goes round is the rod of a four-bar.
    Turns(FourBar),
}

impl Hold {
    /// Of a drive whose limb's ends are known with its carrier at rest, at these coordinates.
    fn of(made: &dyn Mechanism, way: &Way, ends: [f64; 2]) -> Option<Self> {
        let rod = |at: f64| made.closing(&way.at(at).ok()?);
        let [(from, rate), (to, _)] = [rod(ends[0])?, rod(ends[1])?];
        let Some(shaft) = way.shaft().filter(|_| from.pin != to.pin) else {
            return Some(Self::Grows { from, to, ends });
        };
        let pivot = BoardPoint::mm(from.pivot[0], from.pivot[1]);
        let bars = (Mm(rate), from.length, from.lever);
        let bar = FourBar::new((shaft.at, pivot), bars, from.clamp.deg(), from.assembly);
        bar.ok().map(Self::Turns)
    }

    /// The sine of the worst push over all the carrier's places, and the carrier's angle there;
    /// below nought where the triangle does not close. By the law of cosines it is worst where
    /// the triangle's sides are least or most.
    fn worst(&self, ride: &Ride) -> (f64, Deg) {
        let (lengths, lever, apart) = match self {
            Self::Grows { from, to, .. } => {
                let pin = BoardPoint::mm(from.pin[0], from.pin[1]);
                ([from.length, to.length], from.lever, ride.ground(pin))
            }
            Self::Turns(bar) => {
                let ([near, far], a) = (ride.ground(bar.motor()), bar.bars().crank);
                // With the pivot inside the pin's circle the pin passes it on either side.
                let least = (near.0 - a).max(a - far.0).max(Mm(0.0));
                let bars = bar.bars();
                ([bars.rod; 2], bars.lever, [(least, near.1), (far.0 + a, far.1)])
            }
        };
        let push = |b: Mm, (x, at): Apart| {
            let (b, c, x) = (b.0, lever.0, x.0);
            let cos = (b * b + c * c - x * x) / (2.0 * b * c);
            let short = 1.0 - cos * cos;
            (if short > 0.0 { short.sqrt() } else { short }, at)
        };
        let corners = lengths.into_iter().flat_map(|b| apart.map(|x| push(b, x)));
        corners.min_by(|p, q| p.0.total_cmp(&q.0)).unwrap_or((-1.0, ride.from))
    }

    /// The limb's least angle, in any turn, and its swing with its pivot at a place.
    fn swing(&self, made: &dyn Mechanism, way: &Way, pivot: BoardPoint) -> Option<(Deg, Deg)> {
        match self {
            Self::Grows { ends, .. } => {
                let there = made.on_pivot(pivot)?;
                let limb = |at: f64| Some(there.position(&way.at(at).ok()?).ok()?.limb.axis());
                let [low, high] = [limb(ends[0])?, limb(ends[1])?];
                Some((low.deg(), high.from(low).deg().positive()))
            }
            Self::Turns(bar) => {
                let motion = bar.moved(pivot)?.analyse().motion?;
                Some((motion.low?, motion.sweep))
            }
        }
    }
}

impl Bench<'_> {
    /// Notes where the angles of a limb hold that its drive on the board moves, and adds it
    /// to what was found, unless its carrier rests as drawn.
    pub(super) fn held_at_rest(&mut self, from: usize) {
        let Some(Carrier { name, ride }) = self.aboard.clone() else { return };
        let at = decimal(ride.rest.0, 1);
        let what = format!("its angles on the board with {name} at rest, at {at} deg");
        self.assumed.push(Note::new(what, ""));
        if (ride.rest - ride.drawn).abs() < AS_DRAWN {
            return;
        }
        let said = format!(" (With {name} at rest, at {at} deg.)");
        let own = format!("with {name} at ");
        for found in &mut self.findings[from..] {
            if found.message.contains(" deg") && !found.message.starts_with(&own) {
                found.message.push_str(&said);
            }
        }
    }

    /// Where what carries the limb rests, even places of it, and the limb's pivot there; none
    /// where nothing does, or its drive rides with it.
    pub(super) fn carrier_places(&self) -> Vec<(Deg, BoardPoint)> {
        let Some(Carrier { ride, .. }) = &self.aboard else { return Vec::new() };
        let step = (ride.to - ride.from) / f64::from(LOOKS);
        let even = (0..=LOOKS).map(|i| ride.from + step * f64::from(i));
        std::iter::once(ride.rest).chain(even).map(|at| (at, ride.pivot_at(at))).collect()
    }

    /// A ram, a cylinder or a cord on the board whose limb rides: held over the carrier's
    /// whole range, wherever its length or its crank is.
    pub(super) fn carried_drive(&mut self, drive: &Drive, fitted: &mut Fitted) {
        let (Some(Carrier { name, ride }), Fitted::Drive(own)) = (self.aboard.clone(), fitted)
        else {
            return;
        };
        if own.faulty {
            return;
        }
        let (made, way) = (own.made().mechanism.clone(), own.made().way.clone());
        let Some(course) = own.made().course.travel.swing() else { return };
        // In the turn of the circle in which its gestures speak of it.
        let turn = self.turn_of_the_gestures((course.low, course.low + course.range()));
        let (near, ends) = (course.low + turn, [course.at_low, course.at_high]);
        let Some(hold) = Hold::of(&*made, &way, ends) else { return };
        let (worst, at) = hold.worst(&ride);
        let figure = |name, words, value| Figure { name, words, value };
        own.figures.extend([
            figure("carrier_low", "its carrier swings from", Measure::Angle(ride.from)),
            figure("carrier_high", "to", Measure::Angle(ride.to)),
        ]);
        let span = way.span();
        let middle = way.at((span.from + span.to) / 2.0).ok();
        let rod = middle.and_then(|input| made.closing(&input)).map(|(rod, _)| rod);
        if worst < LOCKS {
            self.carried_drive_locks(drive, rod, (&name, &ride, at));
            own.faulty = ride.always;
            return;
        }
        let before = self.errors();
        let angle = Rad(libm::asin(worst.min(1.0))).deg();
        let drawn = own.made().course.worst_push;
        let held = Held { carrier: &name, always: ride.always, drawn, motor: "motor" };
        let (how, wanted) = match &drive.mechanism {
            DriveKind::Strut(strut) => ([strut.strut.kind().word(), "pushes"], RAM_PUSH_FLOOR),
            _ => (["cord", "pulls"], PUSH_FINE),
        };
        let push = self.weak_wherever(drive.place, (angle, at), held, (how, wanted));
        own.faulty = self.errors() > before;
        let swing = |carrier: Deg| hold.swing(&*made, &way, ride.pivot_at(carrier));
        let Some((low, high)) = ride.ends(near, &swing) else { return };
        self.moves_with_both();
        if let DriveKind::Cord(_) = drive.mechanism {
            let what = format!("how fast it falls back with {name} anywhere but at rest");
            self.not_checked
                .push(Note::beyond(&what, "let it fall back with that at both its ends, and look"));
        }
        own.figures.push(push);
        own.figures.extend(rod.map(|rod| {
            let least = Measure::Length(rod.lever * worst);
            figure("carried_arm", "on an arm of at least", least)
        }));
        own.figures.push(figure("carried_low", "on the board from", Measure::Angle(low)));
        own.figures.push(figure("carried_high", "to", Measure::Angle(high)));
    }

    /// Reports a drive on the board that does not take its limb all along where its carrier
    /// is at an angle.
    fn carried_drive_locks(
        &mut self,
        drive: &Drive,
        rod: Option<Rod>,
        (carrier, ride, at): (&str, &Ride, Deg),
    ) {
        let (angle, name, place) = (decimal(at.0, 0), self.name(), drive.place);
        let (code, what, way, from, help) = match &drive.mechanism {
            DriveKind::Strut(strut) => (
                &codes::DEAD_CENTRE,
                strut.strut.kind().word(),
                "stroke",
                "anchor",
                format!(
                    "let its anchor ride on {carrier} (`anchor (x, y) mm rides`), or put it nearer to where \
                     {carrier} turns."
                ),
            ),
            _ => (
                &codes::CORD_LIES_DEAD,
                "cord",
                "way",
                "where the cord comes from",
                format!(
                    "let its motor ride on {carrier} (`motor NAME at (x, y) mm rides`), or lead it over an eye \
                     nearer to where {carrier} turns."
                ),
            ),
        };
        let message = format!(
            "with {carrier} at {angle} deg the {what} of {name} comes into line with its lever or does not \
             reach, somewhere in its {way}."
        );
        let found = self.report(code, place, message);
        found.help = Some(help);
        // A servo under it may never be told to go there.
        if !ride.always {
            found.severity = Severity::Warning;
        }
        let system = self.figure.system;
        let apart = rod.map(|rod| {
            let near = BoardPoint::mm(rod.pin[0], rod.pin[1]);
            let apart = near.distance(ride.pivot_at(at));
            [
                Step::given(format!("{from} and pivot apart then"), print::fine(apart, system)),
                Step::given("lever", print::fine(rod.lever, system)),
                Step::given("between them in the middle of its way", {
                    print::fine(rod.length, system)
                }),
            ]
        });
        self.works([Step::given("the limb that carries it at", format!("{angle} deg"))]);
        self.works(apart.into_iter().flatten());
    }
}

/// Below this sine of the push it lies in line with its lever.
const LOCKS: f64 = 1e-6;
