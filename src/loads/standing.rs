//! Where what a motor does not move itself stands while it works: the limb that carries
//! its own, and the cranks of limbs that ride on them with a motor on the board.
//!
//! A motor's torque is looked for at the worst of all these places: the hardest place of
//! one after another, each over its whole range, until none is harder. While one motor
//! works the others stand; that both may hasten a limb at once is not counted.

use std::cell::Cell;
use std::sync::Arc;

use super::cycle::{Looks, MotorLoad, hardest, measure};
use super::mass::MassProperties;
use super::pace::Pace;
use super::scan::{Scan, crest};
use super::site::Site;
use super::works::{self, Made, Moves};
use crate::fit::{Fitted, FittedFigure};
use crate::geometry::{BoardPoint, Dir};
use crate::mechanism::{Blocked, Mechanism, Rod, Role, Turned, TurnedWay, Way};
use crate::model::{Joint, Source};
use crate::units::{Deg, Mm, Rad};

/// Where everything else stands.
#[derive(Clone, Debug, Default)]
pub struct Standing {
    /// Angles on the board of limbs that carry; others stand as drawn, or at rest.
    pub carriers: Vec<(usize, Deg)>,
    /// Angles of the cranks or arms of limbs that ride with a motor on the board; others at
    /// 0, or where an arm stands in the middle of its way.
    pub cranks: Vec<(usize, Deg)>,
    /// Lengths of what else holds such limbs; others in the middle of their way.
    pub lengths: Vec<(usize, Mm)>,
    /// Limbs that ride with a motor on the board and are left away.
    pub without: Vec<usize>,
}

/// A place that may be any of a range.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Free {
    /// The angle of a limb that carries the motor's own, on the board.
    Carrier {
        /// The limb that carries.
        carrier: usize,
        /// Its range on the board.
        range: (Deg, Deg),
    },
    /// The crank, or a servo's arm, of a limb that rides on one of the motor's own.
    Crank {
        /// The limb that rides.
        rider: usize,
        /// Where it may point.
        range: (Deg, Deg),
    },
    /// The ram, the cylinder or what draws the cord of one.
    Length {
        /// The limb that rides.
        rider: usize,
        /// How long it may be.
        range: (Mm, Mm),
    },
}

/// Looks at a range before hills are climbed.
const LOOKS: i32 = 16;
/// Rounds over all that is free, where there is more than one.
const ROUNDS: usize = 3;

impl Free {
    /// Deg, or mm.
    fn range(&self) -> (f64, f64) {
        match *self {
            Self::Carrier { range, .. } | Self::Crank { range, .. } => (range.0.0, range.1.0),
            Self::Length { range, .. } => (range.0.0, range.1.0),
        }
    }

    /// Whether it goes round and round.
    fn round(&self) -> bool {
        let (from, to) = self.range();
        matches!(self, Self::Crank { .. }) && to - from >= 360.0
    }

    /// What holds a limb that rides with a motor on the board.
    fn of(fitted: &FittedFigure, rider: usize) -> Option<Self> {
        let (from, to) = fitted.carried_span(rider)?;
        let way = fitted.aboard(rider, None)?.way;
        Some(match way.source() {
            Way::Extending(_) => Self::Length { rider, range: (Mm(from), Mm(to)) },
            _ => Self::Crank { rider, range: (Rad(from).deg(), Rad(to).deg()) },
        })
    }

    /// How far apart two places of it are.
    fn apart(&self, a: f64, b: f64) -> f64 {
        match self {
            Self::Length { .. } => (a - b).abs(),
            _ => Deg(a - b).signed().0.abs(),
        }
    }
}

/// The limbs that ride on some limbs of a motor while motors on the board move them.
pub(super) fn held<'a>(
    fitted: &'a FittedFigure,
    own: &'a [usize],
) -> impl Iterator<Item = usize> + 'a {
    let limbs = &fitted.figure.limbs;
    (0..limbs.len()).filter(|&l| {
        limbs[l].carrier.is_some_and(|c| own.contains(&c))
            && !own.contains(&l)
            && fitted.carried(l).is_some()
    })
}

/// Everything that is free while a motor works; `None` where the range of a limb that
/// carries one of its own is not known.
pub(super) fn free(fitted: &FittedFigure, motor: usize) -> Option<Vec<Free>> {
    let figure = &fitted.figure;
    let own: Vec<usize> = figure.driven_by(motor).collect();
    let mut free: Vec<Free> = Vec::new();
    for &limb in &own {
        let driven = figure.limbs[limb].drive.as_ref().map(|d| d.source);
        let (Some(carrier), Some(Source::Motor(_))) = (figure.limbs[limb].carrier, driven) else {
            continue;
        };
        if let Joint::Slide { .. } = figure.limbs[carrier].joint {
            continue;
        }
        let range = fitted.range(carrier)?;
        let found = Free::Carrier { carrier, range };
        if range.0 < range.1 && !free.contains(&found) {
            free.push(found);
        }
    }
    free.extend(held(fitted, &own).filter_map(|rider| Free::of(fitted, rider)));
    Some(free)
}

impl Standing {
    /// With one free place set: deg, or mm.
    pub(super) fn with(&self, free: Free, at: f64) -> Self {
        fn put<T>(list: &mut Vec<(usize, T)>, key: usize, at: T) {
            list.retain(|(l, _)| *l != key);
            list.push((key, at));
        }
        let mut next = self.clone();
        match free {
            Free::Carrier { carrier, .. } => put(&mut next.carriers, carrier, Deg(at)),
            Free::Crank { rider, .. } => put(&mut next.cranks, rider, Deg(at)),
            Free::Length { rider, .. } => put(&mut next.lengths, rider, Mm(at)),
        }
        next
    }

    /// Where a free place is: deg, or mm.
    pub(super) fn at(&self, free: Free) -> f64 {
        let angle = |list: &[(usize, Deg)], key: usize| {
            list.iter().find(|(l, _)| *l == key).map(|(_, at)| at.0)
        };
        let said = match free {
            Free::Carrier { carrier, .. } => angle(&self.carriers, carrier),
            Free::Crank { rider, .. } => angle(&self.cranks, rider),
            Free::Length { rider, .. } => {
                self.lengths.iter().find(|(l, _)| *l == rider).map(|(_, at)| at.0)
            }
        };
        let (from, to) = free.range();
        said.unwrap_or(if free.round() { from } else { f64::midpoint(from, to) })
    }

    fn carrier(&self, carrier: usize) -> Option<Deg> {
        self.carriers.iter().find(|(l, _)| *l == carrier).map(|(_, at)| *at)
    }

    /// How far the plane in which a limb is computed is turned from the board's; `None`
    /// for one that is computed on the board.
    pub(super) fn plane(&self, fitted: &FittedFigure, limb: usize) -> Option<Deg> {
        let riding = fitted.limbs[limb].riding.as_ref()?;
        if let Joint::Slide { .. } = fitted.figure.limbs[riding.carrier].joint {
            return Some(Deg(0.0));
        }
        Some(self.carrier(riding.carrier).unwrap_or(riding.at_rest))
    }

    /// What moves a limb that rides with a motor: on its carrier, or on the board.
    pub(super) fn moves<'a>(
        &self,
        fitted: &'a FittedFigure,
        index: usize,
    ) -> Option<(Moves<'a>, f64)> {
        let own = &fitted.limbs[index];
        if fitted.carried(index).is_some() {
            let carrier = fitted.figure.limbs[index].carrier?;
            let so = fitted.aboard(index, self.carrier(carrier))?;
            let pin = so.pin.rad().0;
            return Some((Moves::Made(Made::Aboard(so)), pin));
        }
        let riding = own.riding.as_ref()?;
        let fitted_own = own.mechanism.as_ref().filter(|m| !m.faulty())?;
        let by = Dir::degrees(self.plane(fitted, index)?);
        let (mechanism, way, pin) = alone(&riding.figure.limbs[index], fitted_own)?;
        let turned = Made::Turned(Turned { mechanism, by }, TurnedWay { way, by });
        Some((Moves::Made(turned), pin))
    }

    /// What holds a limb that rides with a motor on the board while that stands and what
    /// carries it moves: its rod from a pin that stands.
    pub(super) fn held<'a>(
        &self,
        fitted: &'a FittedFigure,
        index: usize,
        carrier: usize,
    ) -> Option<(Moves<'a>, f64)> {
        let free = Free::of(fitted, index)?;
        let at = self.at(free);
        let at = if let Free::Length { .. } = free { at } else { Deg(at).rad().0 };
        let (rod, _) = fitted.aboard(index, None)?.rod_at(at)?;
        let limb = &fitted.figure.limbs[carrier];
        let pivot = limb.own(BoardPoint::mm(rod.pivot[0], rod.pivot[1]))?;
        let rod = Rod { pivot: [pivot.x, pivot.y], ..rod };
        let own = fitted.limbs[carrier].mechanism.as_ref()?;
        let (mechanism, way, pin) = alone(limb, own)?;
        let above = Way::Above { mechanism, way: Box::new(way), role: Role::Host };
        Some((Moves::Made(Made::Held(rod, above)), pin))
    }
}

/// The mechanism of a limb in its own plane, with what moves it and its pin.
fn alone(limb: &crate::model::Limb, fitted: &Fitted) -> Option<(Arc<dyn Mechanism>, Way, f64)> {
    Some(match fitted {
        Fitted::FourBar(bar) => (Arc::new(*bar.made().0), Way::Shaft(bar.shaft), bar.pin.rad().0),
        Fitted::Drive(drive) => {
            let built = drive.made();
            (Arc::clone(&built.mechanism), built.way.clone(), drive.pin.rad().0)
        }
        Fitted::Servo(_) | Fitted::Spin(_) => match works::moves(limb, fitted)? {
            (Moves::Made(Made::Spin(spin, shaft)), pin) => (Arc::new(spin), Way::Shaft(shaft), pin),
            (Moves::Made(Made::Servo(servo, shaft)), pin) => {
                (Arc::new(servo), Way::Shaft(shaft), pin)
            }
            _ => {
                let cord = fitted.as_drive()?;
                let built = cord.made();
                (Arc::clone(&built.mechanism), built.way.clone(), cord.pin.rad().0)
            }
        },
    })
}

/// A motor's load at the worst of all places.
pub(super) struct Worst<'a> {
    /// What the motor moves there.
    pub works: works::Works<'a>,
    /// The load there; its rms is the largest of all places that were looked at.
    pub load: MotorLoad,
    /// The pace there.
    pub pace: Pace,
    /// The curve over its cycle.
    pub curve: Scan,
    /// The limbs at places of that cycle.
    pub looks: Looks,
    /// Where everything stands.
    pub standing: Standing,
}

/// Looks for the worst place of everything that is free; `None` where the load is not
/// known at some place.
pub(super) fn worst<'a>(
    (fitted, site): (&'a FittedFigure, &Site),
    motor: usize,
    masses: &[Option<MassProperties>],
    free: &[Free],
    start: &Standing,
) -> Option<Worst<'a>> {
    let rms = Cell::new((0.0_f64, 0.0_f64));
    let works = |standing: &Standing| works::of(fitted, site, motor, masses, standing);
    let rougher = |curve: &Scan| {
        if curve.rms > rms.get().0 {
            rms.set((curve.rms, curve.rms_error));
        }
    };
    let middle = |f: &Free| f64::midpoint(f.range().0, f.range().1);
    let mut best = free.iter().fold(start.clone(), |s, f| s.with(*f, middle(f)));
    for _ in 0..if free.len() > 1 { ROUNDS } else { 1 } {
        let before = best.clone();
        for place in free {
            let mut peak = |at: f64| -> Result<[f64; 2], Blocked> {
                let there = works(&best.with(*place, at));
                let curve = there.and_then(|w| Some(hardest(&w.train(), &w.asked)?.1));
                let curve = curve.ok_or(Blocked::DeadCentre)?;
                rougher(&curve);
                Ok([curve.peak[0].0; 2])
            };
            let points = looks(place)
                .map(|at| peak(at).map(|p| (at, p)))
                .collect::<Result<Vec<_>, Blocked>>()
                .ok()?;
            let (_, at) = crest(&mut peak, &points);
            best = best.with(*place, at);
        }
        if free.iter().all(|f| f.apart(before.at(*f), best.at(*f)) < 0.5) {
            break;
        }
    }
    let works = works(&best)?;
    let (load, pace, curve, looks) = {
        let train = works.train();
        let (asked, curve) = hardest(&train, &works.asked)?;
        rougher(&curve);
        let (rms, rms_error) = rms.get();
        let looks = Looks::new(&train, &asked.pace).ok()?;
        let load = measure(&train, asked, works.effort, &curve, &looks).ok()?;
        (MotorLoad { rms, rms_error, ..load }, asked.pace, curve, looks)
    };
    Some(Worst { works, load, pace, curve, looks, standing: best })
}

/// Even places over a range; a turn is gone beyond at both ends, so that no hill lies at
/// an end.
pub(super) fn looks(free: &Free) -> impl Iterator<Item = f64> + use<> {
    let (from, to) = free.range();
    let step = (to - from) / f64::from(LOOKS);
    let beyond = i32::from(free.round());
    (-beyond..=LOOKS + beyond).map(move |i| from + step * f64::from(i))
}
