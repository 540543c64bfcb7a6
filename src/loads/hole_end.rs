//! Holes whose pin is pulled along the limb, towards its end.
//!
//! Plywood bears a pin that pulls across it three diameters from the edge; one that pulls
//! along its face grain towards an end shears a plug out, and wants seven.

use super::clamp_codes::PIN_OFF_EDGE;
use super::hole::{Hole, ON_A_BRACKET, SLIDE, TAIL, edge};
use super::wind_limit::{Limit, When, input};
use crate::finding::Severity;
use crate::fit::{Fitted, Follows};
use crate::model::{Joint, Limb, Material};

/// Diameters towards a loaded end of plywood (EN 1995-1-1, table 8.4; from memory).
const LOADED: f64 = 7.0;
/// A pull within 45 deg of the limb's axis runs along it.
const ALONG: f64 = std::f64::consts::FRAC_1_SQRT_2;
/// Places of the way at which the pull's direction is looked at.
const PLACES: usize = 16;

/// The directions in which a limb's pin is pulled over its way, in the limb's own plane.
fn pulls(follows: &Follows<'_>) -> Vec<(f64, f64)> {
    let span = follows.path.span();
    let one = |i: usize| {
        let at = span.from + (span.to - span.from) * i as f64 / PLACES as f64;
        let input = follows.path.at(at).ok()?;
        let limb = follows.mechanism.position(&input).ok()?.limb;
        let (x, y) = follows.mechanism.thrust(&input, &limb).map(|t| (t.along.x(), t.along.y()))?;
        Some((x * limb.cos + y * limb.sin, y * limb.cos - x * limb.sin))
    };
    (0..=PLACES).filter_map(one).collect()
}

/// A hole of plywood towards whose end its pin is pulled.
pub(super) fn loaded_end(limb: &Limb, mechanism: &Fitted, hole: &Hole) -> Option<Limit> {
    let plywood = limb.sheet.as_deref()?.material? == Material::Plywood;
    if !plywood || !matches!(hole.what, TAIL | SLIDE) || edge(limb, hole)? <= ON_A_BRACKET {
        return None;
    }
    let outline = limb.silhouette()?;
    // A limb that slides is pulled along its guide, and its grain is taken to run so too.
    let slides = matches!(limb.joint, Joint::Slide { .. });
    let along = pulls(&mechanism.follows()?).into_iter().filter(|d| slides || d.0.abs() > ALONG);
    let ends = along.flat_map(|(x, y)| [(x, y), (-x, -y)]);
    let far = ends.filter_map(|d| outline.ahead(hole.at, d)).reduce(f64::min)?;
    let wanted = LOADED * hole.diameter;
    // Turned round, so that a smaller distance asks more than it bears.
    Some(Limit {
        code: &PIN_OFF_EDGE,
        when: When::Run,
        // Building timber's rule for bolts at their full strength: `hole-tears` knows the pull.
        severity: Severity::Advice,
        goes: "a hole shears out at an end",
        says: [
            format!("the {} of {} is pulled along its plywood and wants ", hole.what, limb.said()),
            " to the end, and has ".into(),
            String::new(),
        ],
        calm: wanted,
        per_gust2: 0.0,
        bears: far,
        unit: "mm",
        inputs: vec![
            input("end", far, "mm"),
            input("diameter", hole.diameter, "mm").given_or_typical(!hole.typical),
            input("diameters", LOADED, "1").fixed(),
        ],
        typical: if hole.typical { vec!["pin of M6"] } else { Vec::new() },
        left_out: hole.left_out,
        help: format!("leave {wanted:.0} mm of sheet beyond the hole in line with the pull."),
    })
}
