//! A limb moved by another limb from its dimensions, and as built.

use std::sync::Arc;

use super::Bench;
use super::builds::{self, Dimension, Recipe};
use super::drive::{Built, FittedSize};
use super::forearm::{Fixed, built};
use super::upper::Upper;
use crate::geometry::Dir;
use crate::mechanism::{ForearmAnalysis, Rod, Role, Way};
use crate::units::{Deg, Mm};

impl Bench<'_> {
    /// The rod as built, where something was measured on the limb. What stands above it
    /// is what that was found to be by its own measurements.
    pub(super) fn built_forearm(
        &mut self,
        fixed: &Fixed,
        drawn: Rod,
        sizes: &[FittedSize],
    ) -> Option<((Mm, Mm, Deg), ForearmAnalysis, Built)> {
        let recipe = of_rod(&fixed.upper, drawn);
        let found = self.explained(&recipe, sizes)?;
        let own = found.values.len().checked_sub(OWN)?;
        let &[length, lever, clamp, ..] = &found.values[own..] else { return None };
        let own = (Mm(length), Mm(lever), Deg(clamp));
        let rod = fixed.rod(own, drawn.assembly);
        let analysis = fixed.analyse(&fixed.upper.drilled, rod)?;
        let built = built(&fixed.upper.drilled, rod, &analysis)?;
        self.as_built = Some(found);
        Some((own, analysis, built))
    }
}

/// How it is made, where that of the limb above is known.
pub(super) fn recipe(upper: &Upper, rod: Rod) -> Option<Recipe> {
    upper.recipe.is_some().then(|| of_rod(upper, rod))
}

/// So many dimensions are its own: rod, lever, clamp, and the places of its two ends.
const OWN: usize = 7;

/// How it is made: all of the limb above, or that limb as it is where nothing is known of
/// how it is made, then its own rod, lever and two places.
pub(super) fn of_rod(upper: &Upper, rod: Rod) -> Recipe {
    let role = upper.drilled.role();
    let above = upper.recipe.clone().unwrap_or_else(|| upper.drilled.as_it_is());
    let riding = |names: [[&'static str; 2]; 2], at: [f64; 2], rides: bool| {
        let [along, left] = names[usize::from(rides)];
        [Dimension::length(along, Mm(at[0])), Dimension::length(left, Mm(at[1]))]
    };
    let anchor = [
        ["anchor, across", "anchor, up"],
        ["anchor, along the limb above", "anchor, beside its axis"],
    ];
    let pivot = [builds::PIVOT, ["pivot, along the limb above", "pivot, beside its axis"]];
    let mut dimensions: Vec<Dimension> =
        above.dimensions.iter().map(|d| d.of_the_limb_above()).collect();
    dimensions.extend([
        Dimension::length("rod", rod.length),
        Dimension::length("lever", rod.lever),
        Dimension::angle("clamp", rod.clamp.deg()),
    ]);
    dimensions.extend(riding(anchor, rod.pin, role == Role::Driver));
    dimensions.extend(riding(pivot, rod.pivot, role == Role::Host));
    let first = above.dimensions.len();
    Recipe::new(dimensions, move |v| {
        let (upper, own) = v.split_at_checked(first)?;
        let &[length, lever, clamp, ax, ay, px, py] = own else { return None };
        let (mechanism, way) = above.made(upper)?;
        let clamp = Dir::degrees(Deg(clamp));
        let (pin, pivot) = ([ax, ay], [px, py]);
        let made = Rod { pin, pivot, length: Mm(length), lever: Mm(lever), clamp, ..rod };
        Some((Arc::new(made), Way::Above { mechanism, way: Box::new(way), role }))
    })
}
