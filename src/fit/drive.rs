//! What a fitted mechanism of any kind beside four-bar, servo and train comes to.
//!
//! One shape for all of them: the mechanism behind its trait with exact sizes and
//! as drilled, what it does there, its sizes by name, and the figures that only its
//! kind has. Timing and outputs know nothing of the single kinds.

use std::sync::Arc;

use super::builds::{self, Dimension, Recipe};
use crate::finding::Place;
use crate::geometry::BoardPoint;
use crate::mechanism::{
    Blocked, Course, FourBar, Guide, Limits, Mechanism, Path, Shaft, Travel, Way,
};
use crate::model::{Limb, Sized};
use crate::units::{Deg, Mm, System};

/// A mechanism with its sizes found.
#[derive(Clone, Debug)]
pub struct FittedDrive {
    /// With exact sizes.
    pub exact: Built,
    /// With the sizes a maker marks out; people see its motion.
    pub drilled: Built,
    /// Its sizes, in the order of the reports.
    pub sizes: Vec<FittedSize>,
    /// What only its kind has, in the order of the reports.
    pub figures: Vec<Figure>,
    /// The next best answers, best first, where sizes were open.
    pub others: Vec<Other>,
    /// The share of builds inside the tolerance, where sizes were open: 0 to 1.
    pub fit: Option<f64>,
    /// How it is made from its dimensions as drilled; `None` where it is not rebuilt
    /// from single ones.
    pub recipe: Option<Recipe>,
    /// The crank pin's angle after the shared motor's first pin.
    pub pin: Deg,
    /// Whether an error stands against it: timing leaves it alone.
    pub faulty: bool,
}

/// A mechanism, what moves it, and what it does there.
#[derive(Clone, Debug)]
pub struct Built {
    /// The mechanism.
    pub mechanism: Arc<dyn Mechanism>,
    /// What moves it.
    pub way: Way,
    /// What it does.
    pub course: Course,
}

impl Built {
    /// A mechanism on its way.
    ///
    /// # Errors
    /// The first thing in the way along its span.
    pub fn new(mechanism: impl Mechanism + 'static, way: Way) -> Result<Self, Blocked> {
        let course = Course::of(&mechanism, &way)?;
        Ok(Self { mechanism: Arc::new(mechanism), way, course })
    }

    /// With a course that is known already.
    pub fn known(mechanism: impl Mechanism + 'static, way: Way, course: Course) -> Self {
        Self { mechanism: Arc::new(mechanism), way, course }
    }

    /// Whether its shaft meets no obstacle in a whole turn; `None` where no shaft
    /// moves it.
    #[must_use]
    pub fn turns_fully(&self) -> Option<bool> {
        matches!(self.way.source(), Way::Shaft(_)).then_some(self.course.span.closed)
    }
}

/// A size of a mechanism.
#[derive(Clone, Copy, Debug)]
pub struct FittedSize {
    /// What it is.
    pub name: SizeName,
    /// Exact: mm, or degrees.
    pub exact: f64,
    /// As marked out.
    pub drilled: f64,
    /// What the maker said of it.
    pub said: Sized,
}

impl FittedSize {
    /// A length, marked out in the units it was asked for in.
    #[must_use]
    pub fn length(name: SizeName, exact: Mm, said: Sized) -> Self {
        let drilled = said.size.marked_length(exact, said.system).0;
        Self { name, exact: exact.0, drilled, said }
    }

    /// An angle.
    #[must_use]
    pub fn angle(name: SizeName, exact: Deg, said: Sized) -> Self {
        let drilled = said.size.marked_angle(exact).0;
        Self { name, exact: exact.0, drilled, said }
    }

    /// Whether it was open and found.
    #[must_use]
    pub const fn solved(&self) -> bool {
        !matches!(self.said.size, crate::mechanism::Size::Given(_))
    }

    /// Where its `?` stands.
    #[must_use]
    pub const fn ask(&self) -> Option<Place> {
        self.said.ask
    }

    /// The household it is marked out in.
    #[must_use]
    pub const fn system(&self) -> System {
        self.said.system
    }
}

/// The sizes a mechanism may have.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SizeName {
    /// Motor shaft to crank pin.
    Crank,
    /// Pin to pin.
    Rod,
    /// Limb pivot to lever pin.
    Lever,
    /// The lever's angle from the limb's axis.
    Clamp,
    /// Base circle of a cam.
    Base,
    /// Roller of a cam.
    Roller,
    /// A cord from pin to pin.
    Cord,
    /// Diameter of a spool.
    Spool,
    /// Limb pivot to anchor.
    Ground,
    /// A belt or chain, once round.
    Loop,
    /// The limb's angle at a servo's own 0.
    Zero,
    /// Length of the slot of a slotted arm.
    Slot,
    /// How far a cam lifts: along the slide, or its roller along its arc.
    Lift,
}

impl SizeName {
    /// The maker's word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Crank => "crank",
            Self::Rod => "rod",
            Self::Lever => "lever",
            Self::Clamp => "clamp",
            Self::Base => "base",
            Self::Roller => "roller",
            Self::Cord => "cord",
            Self::Spool => "spool",
            Self::Ground => "anchor",
            Self::Loop => "length",
            Self::Zero => "zero",
            Self::Slot => "slot",
            Self::Lift => "lift",
        }
    }

    /// The textbook's name, as the reports have it.
    #[must_use]
    pub const fn textbook(self) -> &'static str {
        match self {
            Self::Rod => "coupler",
            Self::Lever => "rocker",
            Self::Clamp => "rocker_at",
            Self::Ground => "ground",
            other => other.word(),
        }
    }

    /// Whether it is an angle and no length.
    #[must_use]
    pub const fn is_angle(self) -> bool {
        matches!(self, Self::Clamp | Self::Zero)
    }

    /// Whether it is this dimension of the limb's own recipe: a slot's angle is how it is
    /// clamped, a horn what draws a cord as a crank does, a follower's arm a lever.
    pub(super) fn is(self, of: &Dimension) -> bool {
        let own = match (self, of.name) {
            (Self::Clamp, "slot's angle")
            | (Self::Crank, "horn")
            | (Self::Base, "base circle")
            | (Self::Lever, "follower's arm") => true,
            (size, name) => size.word() == name,
        };
        own && of.above == 0
    }
}

/// A figure that only one kind of mechanism has.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Figure {
    /// Its name in reports, without its unit: `least_arm`.
    pub name: &'static str,
    /// What people call it: "least arm".
    pub words: &'static str,
    /// Its value.
    pub value: Measure,
}

/// A value with its unit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Measure {
    /// A length.
    Length(Mm),
    /// An angle.
    Angle(Deg),
    /// A force, N.
    Force(crate::units::Newton),
    /// A time.
    Time(crate::units::Sec),
    /// An energy, J.
    Energy(crate::units::NewtonMetre),
    /// Air, as it was before it was pressed, standard litres.
    Air(crate::units::Litre),
    /// A bare number.
    Number(f64),
}

/// Another answer to what was asked.
#[derive(Clone, Debug)]
pub struct Other {
    /// Its sizes, in the order of [`FittedDrive::sizes`].
    pub sizes: Vec<f64>,
    /// Where its anchor stands on the board, where that was open.
    pub at: Option<BoardPoint>,
    /// The lower end of its motion: degrees or mm.
    pub low: f64,
    /// The upper end.
    pub high: f64,
    /// Worst push angle.
    pub push: Deg,
    /// The share of builds inside the tolerance, where it was counted when sizes were chosen.
    pub fit: Option<f64>,
    /// How it is made, where that share is counted only when it is asked for.
    pub recipe: Option<Recipe>,
    /// The most that the limb moves for what turns it: rad per rad, or mm per rad.
    pub speed: Option<f64>,
    /// Slower swing over faster, of what a crank moves.
    pub time_ratio: Option<f64>,
}

impl Other {
    /// Of sizes, with how they are made and what they do.
    pub(super) fn of(limb: &Limb, sizes: Vec<f64>, recipe: &Recipe, course: &Course) -> Self {
        let fit = builds::share_over(limb, recipe, &course.travel);
        Self { fit, ..Self::moving(sizes, course, Some(course.speed())) }
    }

    /// The share of builds inside the tolerance, counted now where it was not yet.
    #[must_use]
    pub fn share(&self, limb: &Limb) -> Option<f64> {
        self.fit.or_else(|| builds::share(limb, self.recipe.as_ref()?))
    }

    /// Of sizes and what they do; how many builds fit is not counted.
    pub(super) fn moving(sizes: Vec<f64>, course: &Course, speed: Option<f64>) -> Self {
        let ends = Ends::of(&course.travel);
        Self {
            sizes,
            at: None,
            low: ends.low.value(),
            high: ends.high.value(),
            push: course.worst_push,
            fit: None,
            recipe: None,
            speed,
            time_ratio: course.time_ratio,
        }
    }
}

/// The most that a limb moves for the shaft that moves it: so much of the limb's torque,
/// or push, that shaft bears. Cord is wound by a `spool` of this diameter; nothing turns
/// where a ram or cylinder draws it.
pub(super) fn borne(way: &Way, course: &Course, spool: Option<Mm>) -> Option<f64> {
    match way.source() {
        Way::Shaft(_) => Some(course.speed()),
        _ => spool.map(|across| course.speed() * across.0 / 2.0),
    }
}

impl FittedDrive {
    /// The mechanism that is made: as drilled, which is as built where it was measured.
    /// Only where rounding its sizes changed whether it goes round are they the exact ones.
    #[must_use]
    pub fn made(&self) -> &Built {
        let round = |b: &Built| b.course.span.closed;
        if round(&self.drilled) == round(&self.exact) { &self.drilled } else { &self.exact }
    }

    /// The most that the limb moves for the shaft that turns it, as drilled: rad per rad,
    /// or mm per rad; `None` where no shaft does.
    #[must_use]
    pub fn speed(&self) -> Option<f64> {
        let spool = self.sizes.iter().find(|s| s.name == SizeName::Spool).map(|s| Mm(s.drilled));
        borne(&self.drilled.way, &self.drilled.course, spool)
    }

    /// Its sizes that were open, by their textbook names.
    pub fn solved(&self) -> impl Iterator<Item = &'static str> {
        self.sizes.iter().filter(|s| s.solved()).map(|s| s.name.textbook())
    }
}

/// How a limb follows what moves it: all that timing needs of a mechanism.
#[derive(Clone, Copy)]
pub struct Follows<'a> {
    /// The mechanism.
    pub mechanism: &'a dyn Mechanism,
    /// What moves it.
    pub path: &'a dyn Path,
    /// The pin's angle after the motor's own.
    pub pin: Deg,
    /// The ends of its motion; `None` where it has none.
    pub travel: Option<Travel>,
}

/// Where a limb stands, as people say it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Pose {
    /// Its axis at this angle, unwrapped.
    Turned(Deg),
    /// So far along its slide.
    Slid(Mm),
}

impl Pose {
    /// The bare number, degrees or mm.
    #[must_use]
    pub const fn value(self) -> f64 {
        match self {
            Self::Turned(a) => a.0,
            Self::Slid(l) => l.0,
        }
    }

    /// The angle of a limb that turns.
    #[must_use]
    pub const fn angle(self) -> Option<Deg> {
        match self {
            Self::Turned(a) => Some(a),
            Self::Slid(_) => None,
        }
    }

    /// The same place in the turn nearest to `near`.
    #[must_use]
    pub fn near(self, near: Self) -> Self {
        match (self, near) {
            (Self::Turned(a), Self::Turned(n)) => {
                Self::Turned(a - Deg(360.0 * libm::round((a - n).0 / 360.0)))
            }
            (own, _) => own,
        }
    }
}

/// The two ends of a limb's motion, each with the actuator's coordinate there.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Ends {
    /// The lower end.
    pub low: Pose,
    /// The coordinate there: rad, or mm.
    pub at_low: f64,
    /// The upper end.
    pub high: Pose,
    /// The coordinate there.
    pub at_high: f64,
}

impl Ends {
    /// Those of a travel.
    #[must_use]
    pub fn of(travel: &Travel) -> Self {
        fn ends<Q: Copy>(l: &Limits<Q>, pose: fn(Q) -> Pose) -> Ends {
            Ends { low: pose(l.low), at_low: l.at_low, high: pose(l.high), at_high: l.at_high }
        }
        match travel {
            Travel::Swing(l) => ends(l, Pose::Turned),
            Travel::Stroke(l) => ends(l, Pose::Slid),
        }
    }
}

impl<'a> Follows<'a> {
    /// A four-bar on its own shaft.
    #[must_use]
    pub fn of_bar(bar: &'a FourBar, shaft: &'a Shaft) -> Self {
        let travel = bar.analyse().motion.and_then(|m| m.travel());
        Self { mechanism: bar, path: shaft, pin: Deg(0.0), travel }
    }

    /// The limb at a coordinate, an angle in the turn nearest to `near`; `None`
    /// where the mechanism does not go there.
    #[must_use]
    pub fn limb_at(&self, coordinate: f64, near: Pose) -> Option<Pose> {
        let limb = self.mechanism.position(&self.path.at(coordinate).ok()?).ok()?.limb;
        Some(match self.mechanism.guide() {
            Guide::Pivot => Pose::Turned(limb.axis().deg()).near(near),
            Guide::Slide(slide) => Pose::Slid(Mm(slide.way(limb.x, limb.y))),
        })
    }
}
