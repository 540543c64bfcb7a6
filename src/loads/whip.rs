//! What turning a limb round at its ends bends at its bolt.
//!
//! At either end of its swing a limb is thrown back, the harder the faster it goes; its
//! weight and what it carries bend it in its own plane at the section through its bolt.

use super::Bench;
use super::codes_slot::LIMB_WHIPS;
use super::mass::GRAVITY;
use super::wind_limb::{SHEET_FACTOR, bolt_said, left_out, sheet_said, typical_sheet};
use super::wind_limit::{Limit, When, input};
use crate::geometry::{OnLimb, Outline, Point};
use crate::model::{Limb, Material};

/// What folds a corrugated sheet in its own plane, as a share of what folds it across, both
/// reckoned on its whole thickness: two thin skins bear 2 s t b^2/6 in the one and s t h b
/// in the other direction, on t h b^2/6 and h^2 b/6.
const SKINS: f64 = 1.0 / 3.0;

/// The section modulus of a sheet on edge with a hole in its middle, mm3: thickness, width
/// and hole, mm.
#[must_use]
pub fn on_edge(thick: f64, width: f64, hole: f64) -> f64 {
    let cubes = libm::pow(width, 3.0) - libm::pow(hole.min(width), 3.0);
    thick * cubes / (6.0 * width)
}

/// How wide a limb is across its axis at the bolt, mm.
fn width_at_bolt(outline: &Outline<OnLimb>) -> Option<f64> {
    let bolt = Point::origin();
    Some(outline.ahead(bolt, (0.0, 1.0))? + outline.ahead(bolt, (0.0, -1.0))?)
}

/// The stress that folds a sheet on edge, MPa.
fn folds(limb: &Limb) -> Option<f64> {
    let sheet = limb.sheet.as_deref()?;
    let share = if sheet.material? == Material::Corrugated { SKINS } else { 1.0 };
    Some(sheet.bending?.0 * 1e-6 * share)
}

impl Bench<'_> {
    /// Bending at the bolt of a limb that swings, where its shape, its sheet and its motion
    /// are known.
    pub(super) fn whips(&self, index: usize) -> Option<Limit> {
        let limb = &self.fitted.figure.limbs[index];
        let loaded = &self.limbs[index];
        let (load, mass) = (loaded.cycle.as_ref()?, loaded.mass.as_ref()?);
        let bolt = limb.bolt.as_ref()?;
        let outline = limb.silhouette()?;
        let width = width_at_bolt(&outline)?;
        let thick = limb.sheet.as_deref()?.thickness?.0;
        let section = on_edge(thick, width, bolt.diameter.0);
        if section <= 0.0 || load.most_swing <= 0.0 {
            return None;
        }
        let hangs = mass.mass.0 * GRAVITY * libm::hypot(mass.centre.x, mass.centre.y) * 1e-3;
        let moment = mass.inertia.0 * load.most_swing + hangs;
        let far = outline.reach(Point::origin());
        Some(Limit {
            code: &LIMB_WHIPS,
            when: When::Run,
            severity: LIMB_WHIPS.severity,
            goes: "it breaks where it turns round",
            says: [
                format!("turned round at its ends, {} bends at its bolt with ", limb.said()),
                ", and ".into(),
                " is a third of what folds it".into(),
            ],
            calm: moment * 1e3 / section,
            per_gust2: 0.0,
            bears: folds(limb)? / SHEET_FACTOR,
            unit: "MPa",
            inputs: vec![
                input("tip_acceleration", load.most_swing * far * 1e-3, "m/s2"),
                input("reach", far, "mm"),
                input("inertia", mass.inertia.0, "kg.m2").known(mass.origins[2]),
                input("weight_moment", hangs, "N.m"),
                input("moment", moment, "N.m"),
                input("thickness", thick, "mm").given_or_typical(sheet_said(limb)),
                input("width", width, "mm"),
                input("hole", bolt.diameter.0, "mm").given_or_typical(bolt_said(limb)),
                input("factor", SHEET_FACTOR, "1").fixed(),
            ],
            typical: typical_sheet(limb).into_iter().collect(),
            left_out: ["sheet", "outline", "bolt"].iter().any(|w| left_out(limb, w)),
            help: "let it swing slower, carry less at its end, or leave more sheet round its bolt."
                .into(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_sheet_on_edge_by_hand() {
        // 6 (70^3 - 8^3)/(6 x 70) = 342488/70 = 4892.7 mm3.
        assert!((on_edge(6.0, 70.0, 8.0) - 4_892.69).abs() < 0.01);
        assert_eq!(on_edge(6.0, 5.0, 8.0), 0.0);
    }
}
