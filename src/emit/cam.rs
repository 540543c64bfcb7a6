//! The curve a cam is cut to, for programs.

use super::Finite;
use crate::make::CamPlate;

/// A cam as it is cut, in its own plane: the shaft is the origin, +x is where the motor's
/// turn is 0, seen from the front.
#[derive(Clone, Debug, serde::Serialize)]
pub struct CamReport {
    base_mm: Finite,
    /// Radius of the roller; absent for an edge or a flat face.
    #[serde(skip_serializing_if = "Option::is_none")]
    roller_mm: Option<Finite>,
    points: Vec<CamPoint>,
}

/// A point of the cut curve.
#[derive(Clone, Debug, serde::Serialize)]
struct CamPoint {
    /// The motor's turn at which the follower touches it.
    turn_deg: Finite,
    x_mm: Finite,
    y_mm: Finite,
}

impl CamReport {
    /// Of a cam as it is cut.
    #[must_use]
    pub fn new(cam: &CamPlate) -> Option<Self> {
        let points = cam.points.iter().filter_map(|(turn, (x, y))| {
            Some(CamPoint {
                turn_deg: Finite::new(*turn)?,
                x_mm: Finite::new(*x)?,
                y_mm: Finite::new(*y)?,
            })
        });
        Some(Self {
            base_mm: Finite::new(cam.base.0)?,
            roller_mm: cam.roller.and_then(|r| Finite::new(r.0)),
            points: points.collect(),
        })
    }
}
