//! What a steady wind at the speed of the gust does to the turning of a limb.
//!
//! Head-on wind is square to the board and so is the bolt: it makes no torque about
//! it. It bends the limb backwards, and the bolt rubs in its bushing. Wind along the
//! board pushes the limb's edge. Both are taken at once.

use super::wind_guide::{pressed, presses};
use crate::geometry::{Body, OnLimb, Outline, Point};
use crate::model::{Figure, Limb, Mount};
use crate::units::MetrePerSec;

/// Velocity pressure of wind at 1 m/s, N/m2 (ASCE 7: q = 0.613 V^2).
pub const PRESSURE: f64 = 0.613;
/// Force coefficient of a flat limb, wind head-on (EN 1991-1-4, 7.4.3: signboards).
pub const HEAD_ON: f64 = 1.8;
/// Force coefficient of a limb's edge, wind along the board: a long sharp-edged bar
/// (EN 1991-1-4, 7.6: 2.0).
pub const EDGE_ON: f64 = 2.0;

/// A limb in the wind.
#[derive(Clone, Debug)]
pub struct Gust {
    outline: Outline<OnLimb>,
    /// Force on a metre of edge height, N/m.
    edge: f64,
    /// Head-on force, N.
    head_on: f64,
    /// Extra friction about the pivot, N.m.
    rubs: f64,
    /// How many times the head-on force presses a guide, both ways added.
    presses: f64,
}

impl Gust {
    /// A limb in a gust; `None` where its shape or thickness is not known.
    #[must_use]
    pub fn on(limb: &Limb, figure: &Figure, speed: MetrePerSec, friction: f64) -> Option<Self> {
        let outline = limb.silhouette()?;
        let thickness = limb.sheet.as_ref()?.thickness?;
        let q = PRESSURE * speed.0 * speed.0;
        let head_on = q * HEAD_ON * outline.area().0 * 1e-6;
        let centre = outline.centroid();
        let moment = head_on * libm::hypot(centre.x, centre.y) * 1e-3;
        let rubs = match (limb.mount, limb.bolt.as_ref()) {
            (_, None) => 0.0,
            // Two triangles of pressure along the bushing, each resultant a third of
            // its length from the middle.
            (Mount::Front, Some(bolt)) => {
                let length = bushing_length(limb, figure)?;
                3.0 * friction * moment / length * bolt.diameter.0 / 2.0
            }
            // The washers' rims carry it: a pair of forces three quarters of their
            // diameter apart, each rubbing at the rim.
            (Mount::Behind, Some(_)) => friction * moment / 0.75,
        };
        let presses = limb.build.guide.and_then(|guide| {
            let at = figure.limbs.iter().position(|l| l.name.value == limb.name.value)?;
            let load = pressed(figure, at, &guide)?;
            let [length, width] = [Some(guide.length), guide.width].map(|l| l.map(|l| l.0 * 1e-3));
            Some(presses(load.force, load.tilts, load.twists, length?, width))
        });
        let edge = q * EDGE_ON * thickness.0 * 1e-3;
        Some(Self { outline, edge, head_on, rubs, presses: presses.unwrap_or(1.0) })
    }

    /// Torque about the pivot that wind along the board and the friction of head-on
    /// wind make at a pose at worst, N.m, never negative.
    #[must_use]
    pub fn torque(&self, limb: &Body<f64>) -> f64 {
        self.torque_about(limb, limb.y) + self.rubs
    }

    /// Torque that wind along the board makes about a bolt at another height, mm: of a limb
    /// that rides on the one that turns about it, N.m, never negative.
    #[must_use]
    pub fn torque_about(&self, limb: &Body<f64>, height: f64) -> f64 {
        let (low, high) = self.heights(limb, height);
        self.edge * (high * high - low * low).abs() * 0.5e-6
    }

    /// Force along a slide in direction `along` (its x) at worst, N, never negative: on the
    /// edge, and the friction of all that head-on wind presses the guide with.
    #[must_use]
    pub fn push(&self, limb: &Body<f64>, along_x: f64, friction: f64) -> f64 {
        let (low, high) = self.heights(limb, limb.y);
        self.edge * (high - low) * 1e-3 * along_x.abs() + friction * self.head_on * self.presses
    }

    /// How far the limb reaches down and up from a height, mm.
    fn heights(&self, limb: &Body<f64>, from: f64) -> (f64, f64) {
        let height = |p: &Point<OnLimb>| limb.place(p.x, p.y).1 - from;
        self.outline.corners().iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), p| {
            let h = height(p);
            (low.min(h), high.max(h))
        })
    }
}

/// Length of the limb's bushing, mm: as said, else through board and frame.
fn bushing_length(limb: &Limb, figure: &Figure) -> Option<f64> {
    if let Some(length) = limb.build.bushing_length {
        return Some(length.0);
    }
    let board = figure.board.sheet.as_ref()?.thickness?;
    let frame = figure.frame.iter().map(|m| m.depth.0).fold(0.0, f64::max);
    Some(board.0 + frame)
}
