//! What stakes in the ground can bear.

use std::f64::consts::PI;

use super::wind_limit::{Input, input};

/// A kind of ground, by its word.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Soil {
    /// The word.
    pub word: &'static str,
    /// How hard it presses back against a post, Pa for each m of depth.
    pub lateral: f64,
    /// How well it holds a stake against a pull, average lawn being 1.
    pull: f64,
    /// What wood rubs on it with: wet, where that is less.
    pub rubs: f64,
    /// What a stand rubs on, in words.
    pub rubbing: &'static str,
}

/// 100 lb/ft2 for each foot of depth, Pa/m: allowable lateral bearing of clay and silt.
const CLAY: f64 = 47.880_26 * 100.0 / 0.3048;

/// The words of soils. Lateral bearing of the classes of soil of the International
/// Building Code, table 1806.2 (100 lb/ft2 per foot for clay and silt, 150 for sand,
/// 200 for gravel; from memory). Pull against that of lawn, and rubbing: common practice,
/// no source. No stake goes into paving or a deck.
pub const SOILS: &[Soil] = &[
    Soil { word: "lawn", lateral: CLAY, pull: 1.0, rubs: 0.4, rubbing: "rubbing on grass" },
    Soil { word: "clay", lateral: CLAY, pull: 1.0, rubs: 0.3, rubbing: "rubbing on clay" },
    Soil { word: "sand", lateral: 1.5 * CLAY, pull: 0.5, rubs: 0.4, rubbing: "rubbing on sand" },
    Soil {
        word: "gravel",
        lateral: 2.0 * CLAY,
        pull: 0.5,
        rubs: 0.4,
        rubbing: "rubbing on gravel",
    },
    Soil { word: "paving", lateral: 0.0, pull: 0.0, rubs: 0.5, rubbing: "rubbing on paving" },
    Soil { word: "deck", lateral: 0.0, pull: 0.0, rubs: 0.3, rubbing: "rubbing on wet boards" },
];

/// The soil of a word; lawn, and `false`, for one that is not known or not said.
#[must_use]
pub fn soil(word: Option<&str>) -> (Soil, bool) {
    let found = word.and_then(|w| SOILS.iter().find(|s| s.word == w));
    (*found.unwrap_or(&SOILS[0]), found.is_some())
}

/// Lateral bearing may be doubled for posts that may move half an inch, and raised by
/// a third for wind (International Building Code, 1806.3; from memory).
const POST: f64 = 2.0 * 4.0 / 3.0;

/// About 1000 lb: the pull a steel stake of one inch, driven 33 of its 36 inches into
/// average lawn, holds; half of it when the lawn is wet (InTents magazine, "Anchoring
/// in wet soil", June 2009, citing the tent staking study of IFAI: "about").
const PULL: (f64, f64, f64) = (4448.0, 25.4, 838.0);
/// Wet ground holds half.
const WET: f64 = 0.5;
/// And half of that is reckoned with: soils differ by two to three.
const PULL_FACTOR: f64 = 2.0;

impl Soil {
    /// Whether no stake can be driven into it.
    #[must_use]
    pub fn hard(&self) -> bool {
        self.pull == 0.0
    }

    /// The level force a stake bears at a height above the ground, N; heights and sizes
    /// in m.
    ///
    /// The pole formula d = (A/2)(1 + sqrt(1 + 4.36 h/A)), A = 2.34 P/(S1 b), solved
    /// for P, with S1 at a third of the depth (International Building Code, 1807.3.2.1;
    /// from memory).
    #[must_use]
    pub fn level(&self, height: f64, depth: f64, diameter: f64) -> f64 {
        let a = depth * depth / (depth + 1.09 * height);
        let bearing = self.lateral * POST * depth / 3.0;
        a * bearing * diameter / 2.34
    }

    /// What that pull is made of, apart from the stake's own sizes.
    #[must_use]
    pub fn pull_inputs(&self) -> [Input; 6] {
        let (holds, d, l) = PULL;
        [
            input("published_pull", holds, "N").fixed(),
            input("published_diameter", d, "mm").fixed(),
            input("published_depth", l, "mm").fixed(),
            input("soil", self.pull, "1").typical(),
            input("wet", WET, "1").fixed(),
            input("factor", PULL_FACTOR, "1").fixed(),
        ]
    }

    /// The pull a stake is reckoned to hold, N; sizes in m. As the published stake,
    /// scaled by diameter and the square of its depth, wet, and halved.
    #[must_use]
    pub fn pull(&self, depth: f64, diameter: f64) -> f64 {
        let (holds, d, l) = PULL;
        let size = diameter * 1e3 / d * libm::pow(depth * 1e3 / l, 2.0);
        holds * size * self.pull * WET / PULL_FACTOR
    }
}

/// The load at which a slender bar of square section buckles, N, halved (Euler,
/// both ends hinged): pi^2 E I/L^2; width and length in m, modulus in Pa.
#[must_use]
pub fn buckles(modulus: f64, width: f64, length: f64) -> f64 {
    PI * PI * modulus * libm::pow(width, 4.0) / 12.0 / (length * length) / 2.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_solved_force_satisfies_the_pole_formula() {
        let (soil, _) = soil(Some("clay"));
        let (h, d, b) = (0.618, 0.45, 0.025);
        let p = soil.level(h, d, b);
        let a = 2.34 * p / (soil.lateral * POST * d / 3.0 * b);
        let again = a / 2.0 * (1.0 + (1.0 + 4.36 * h / a).sqrt());
        assert!((again - d).abs() < 1e-12);
        // By hand: about 12 N at 0.618 m, 7.5 N.m.
        assert!((p * h - 7.46).abs() < 0.05, "{}", p * h);
    }

    #[test]
    fn pull_grows_with_diameter_and_the_square_of_depth() {
        let (soil, known) = soil(Some("lawn"));
        assert!(known);
        assert!((soil.pull(0.838, 0.0254) - 1112.0).abs() < 0.5);
        assert!((soil.pull(0.6, 0.05) / soil.pull(0.3, 0.025) - 8.0).abs() < 1e-9);
    }

    #[test]
    fn an_unknown_soil_is_lawn_and_said_so() {
        assert_eq!(super::soil(Some("moonrock")), (SOILS[0], false));
        assert_eq!(super::soil(None), (SOILS[0], false));
    }

    #[test]
    fn no_stake_goes_into_paving() {
        for word in ["paving", "deck"] {
            let (soil, known) = soil(Some(word));
            assert!(known && soil.hard());
            assert_eq!((soil.level(0.6, 0.6, 0.025), soil.pull(0.6, 0.025)), (0.0, 0.0));
        }
    }

    #[test]
    fn a_column_buckles_as_euler_says() {
        // 38 mm square of 7 GPa, 1.389 m: 6.2 kN, halved.
        assert!((buckles(7e9, 0.038, 1.389) - 3111.0).abs() < 20.0);
    }
}
