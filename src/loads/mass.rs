//! What a limb weighs, where its weight sits, and how it resists being swung.

use super::Bench;
use crate::geometry::{OnLimb, Point};
use crate::model::Limb;
use crate::units::{Kg, KgM2, Mm};

/// Where the numbers of a result come from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Grade {
    /// All of them were given or measured by the maker.
    Given,
    /// Some are typical ones.
    Typical,
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

    fn properties(self, grade: Grade) -> Option<MassProperties> {
        (self.mass > 0.0).then(|| MassProperties {
            mass: Kg(self.mass),
            centre: Point::mm(self.x / self.mass, self.y / self.mass),
            inertia: KgM2(self.inertia * 1e-6),
            grade,
        })
    }
}

/// Mass properties from outline, sheet, paint and what the limb carries.
#[must_use]
pub fn computed(limb: &Limb) -> Option<MassProperties> {
    let mut sum = Sum::default();
    if let (Some(outline), Some(sheet)) = (limb.silhouette(), &limb.sheet)
        && let Some(areal) = sheet.mass
    {
        let areal = areal.0 + limb.build.paint.map_or(0.0, |p| p.0);
        let mass = areal * outline.area().0 * 1e-6;
        let polar = areal * 1e-6 * outline.polar_moment(Point::origin());
        sum.add(mass, outline.centroid(), polar);
    }
    for carried in &limb.carried {
        sum.point(carried.mass, limb.own(carried.at)?);
    }
    if let Some(weight) = &limb.build.counterweight
        && let Some(mass) = weight.mass
    {
        sum.point(mass, Point::new(-weight.at, Mm(0.0)));
    }
    sum.properties(Grade::Typical)
}

impl Bench<'_> {
    /// Weighs every limb.
    pub fn weigh(&mut self) {
        for (limb, loaded) in self.fitted.figure.limbs.iter().zip(&mut self.limbs) {
            loaded.mass = computed(limb);
        }
    }
}
