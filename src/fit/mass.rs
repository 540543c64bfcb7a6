//! What a limb weighs, where its weight sits, and how it resists being swung.
//!
//! Field by field, what the maker measured or states beats what follows from outline
//! and sheet:
//! - mass: `weighed` or `mass`, else outline x mass per area (sheet and paint), and
//!   what it carries;
//! - centre: `centre`, else `balances` in the direction that the outline gives, else
//!   of the outline and what it carries;
//! - inertia: `inertia`, else `ten-swings` as a physical pendulum,
//!   I = m g d (T/2 pi)^2 with T a tenth of the ten full swings, else of the outline,
//!   its radius of gyration kept where only the mass was weighed.
//!
//! What was measured is the limb as built, with what it carries. A counterweight is
//! added to it: it is what one hangs on afterwards.

use crate::geometry::{Dir, OnLimb, Point};
use crate::model::{Joint, Limb, Shape};
use crate::units::{Kg, KgM2, Mm, Sec};

/// Standard gravity, m/s2 (ISO 80000-3).
pub const GRAVITY: f64 = 9.806_65;
/// Where the numbers of a result come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Grade {
    /// All of them were given or measured by the maker.
    Given,
    /// Some are typical ones.
    Typical,
}

/// How one property is known.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Origin {
    /// The maker weighed, balanced or swung the limb.
    Measured,
    /// The maker states it.
    Stated,
    /// From outline, sheet, paint and what the limb carries.
    Outline,
    /// The shape's, scaled to the mass that was weighed.
    Scaled,
    /// As if all of the mass sat in the centre: too little, where nothing else is known.
    Point,
}

/// Mass properties of a limb in its own plane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MassProperties {
    /// Its mass with everything that moves with it.
    pub mass: Kg,
    /// Its centre of mass.
    pub centre: Point<OnLimb>,
    /// Its moment of inertia about the origin of its plane (the pivot).
    pub inertia: KgM2,
    /// Where the numbers come from.
    pub grade: Grade,
    /// How mass, centre and inertia are known.
    pub origins: [Origin; 3],
}

impl MassProperties {
    /// Its moment of inertia about its own centre of mass; never negative, even where
    /// measurements contradict each other.
    #[must_use]
    pub fn central_inertia(&self) -> f64 {
        let square = (self.centre.x * self.centre.x + self.centre.y * self.centre.y) * 1e-6;
        (self.inertia.0 - self.mass.0 * square).max(0.0)
    }

    /// With another body fixed to it: a mass, its centre in this plane, and its moment
    /// of inertia about that centre.
    #[must_use]
    pub fn with(&self, mass: Kg, at: Point<OnLimb>, central: f64) -> Self {
        let mut sum = Sum::of(self);
        sum.add(mass.0, at, central * 1e6 + mass.0 * (at.x * at.x + at.y * at.y));
        Self {
            mass: Kg(sum.mass),
            centre: sum.centre(),
            inertia: KgM2(sum.inertia * 1e-6),
            ..*self
        }
    }
}

/// Several masses added up.
#[derive(Clone, Copy, Debug, Default)]
struct Sum {
    mass: f64,
    /// kg.mm
    x: f64,
    y: f64,
    /// kg.mm2
    inertia: f64,
}

impl Sum {
    fn of(p: &MassProperties) -> Self {
        let mut sum = Self::default();
        sum.add(p.mass.0, p.centre, p.inertia.0 * 1e6);
        sum
    }

    /// A body of this mass and centre, with its own polar moment about the origin.
    fn add(&mut self, mass: f64, at: Point<OnLimb>, inertia: f64) {
        self.mass += mass;
        self.x += mass * at.x;
        self.y += mass * at.y;
        self.inertia += inertia;
    }

    fn point(&mut self, mass: Kg, at: Point<OnLimb>) {
        self.add(mass.0, at, mass.0 * (at.x * at.x + at.y * at.y));
    }

    fn centre(&self) -> Point<OnLimb> {
        Point::mm(self.x / self.mass, self.y / self.mass)
    }
}

/// Mass properties from outline, sheet, paint and what the limb carries; `None`
/// where there is no mass in these.
fn computed(limb: &Limb) -> Option<Sum> {
    let mut sum = Sum::default();
    let sheet = limb.sheet.as_ref().and_then(|s| s.mass);
    match (limb.silhouette(), sheet) {
        (Some(outline), Some(areal)) => {
            let areal = areal.0 + limb.build.paint.map_or(0.0, |p| p.0);
            let mass = areal * outline.area().0 * 1e-6;
            let polar = areal * 1e-6 * outline.polar_moment(Point::origin());
            sum.add(mass, outline.centroid(), polar);
        }
        // Half a limb would be taken for the whole.
        _ => return None,
    }
    for carried in &limb.carried {
        sum.point(carried.mass, limb.own(carried.at)?);
    }
    (sum.mass > 0.0).then_some(sum)
}

/// Moment of inertia about the pivot of a limb of mass `mass` whose centre lies
/// `centre` from it, that swings to and fro ten times in `ten`:
/// I = m g d (T/2 pi)^2.
#[must_use]
pub fn pendulum(mass: Kg, centre: Mm, ten: Sec) -> KgM2 {
    let t = ten.0 / 10.0 / (2.0 * std::f64::consts::PI);
    KgM2(mass.0 * GRAVITY * centre.0 * 1e-3 * t * t)
}

/// Mass properties of a limb without its counterweight.
fn bare(limb: &Limb) -> Option<MassProperties> {
    let (said, shape) = (&limb.measured, computed(limb));
    let mass = said.mass.or_else(|| shape.map(|s| Kg(s.mass)))?;
    let drawn = shape.map(|s| s.centre());
    // A strip's direction is its axis; only a drawn outline knows better.
    let beside = matches!(limb.shape, Some(Shape::Outline(_))).then_some(drawn).flatten();
    let (centre, of_centre) = match (said.centre, said.balance) {
        (Some((far, angle)), _) => {
            let dir = Dir::degrees(angle);
            (Point::mm(far.0 * dir.x(), far.0 * dir.y()), Origin::Stated)
        }
        (None, Some(far)) => {
            let dir = beside.and_then(|c| Dir::along(c.x, c.y)).unwrap_or(Dir::EAST);
            (Point::mm(far.0 * dir.x(), far.0 * dir.y()), Origin::Measured)
        }
        (None, None) => match drawn {
            Some(centre) => (centre, Origin::Outline),
            // A limb that slides does not care.
            None if matches!(limb.joint, Joint::Slide { .. }) => (Point::origin(), Origin::Point),
            None => return None,
        },
    };
    let far = libm::hypot(centre.x, centre.y);
    let about_pivot = mass.0 * far * far * 1e-6;
    let (inertia, of_inertia) = match (said.inertia, said.ten_swings, shape) {
        (Some(stated), _, _) => (stated, Origin::Stated),
        // A limb that balances on its bolt does not swing back.
        (None, Some(ten), _) if far > 0.0 => (pendulum(mass, Mm(far), ten), Origin::Measured),
        (None, _, Some(s)) => {
            let own = s.centre();
            let central = s.inertia - s.mass * (own.x * own.x + own.y * own.y);
            let kept = central * 1e-6 * mass.0 / s.mass + about_pivot;
            (KgM2(kept), if said.mass.is_some() { Origin::Scaled } else { Origin::Outline })
        }
        (None, _, None) => (KgM2(about_pivot), Origin::Point),
    };
    let of_mass = if said.mass.is_some() { Origin::Measured } else { Origin::Outline };
    let origins = [of_mass, of_centre, of_inertia];
    // Area times what the maker wrote of the sheet is as good as the tape.
    let written = !guessed(limb) && limb.sheet.as_deref().is_some_and(|s| !s.typical);
    let given = |o: &Origin| match o {
        Origin::Measured | Origin::Stated => true,
        Origin::Outline => written,
        Origin::Scaled | Origin::Point => false,
    };
    let needed = if matches!(limb.joint, Joint::Slide { .. }) { &origins[..1] } else { &origins };
    let grade = if needed.iter().all(given) { Grade::Given } else { Grade::Typical };
    Some(MassProperties { mass, centre, inertia, grade, origins })
}

/// What outline, sheet, paint and what it carries come to, kg; `None` where there is no mass
/// in these.
#[must_use]
pub fn drawn(limb: &Limb) -> Option<Kg> {
    computed(limb).map(|sum| Kg(sum.mass))
}

/// Mass properties of a limb with a counterweight of this mass, or the one it has.
#[must_use]
pub fn weighed(limb: &Limb, counterweight: Option<Kg>) -> Option<MassProperties> {
    let bare = bare(limb)?;
    let Some(weight) = &limb.build.counterweight else { return Some(bare) };
    let mass = counterweight.or(weight.mass);
    Some(mass.map_or(bare, |mass| bare.with(mass, Point::new(-weight.at, Mm(0.0)), 0.0)))
}

/// Whether a limb's weight rests on a sheet or a shape that nobody wrote.
#[must_use]
pub fn guessed(limb: &Limb) -> bool {
    let left_out =
        |word: &str| limb.assumed.iter().any(|n| n.settle.split_whitespace().any(|w| w == word));
    limb.measured.mass.is_none() && (left_out("sheet") || left_out("outline"))
}
