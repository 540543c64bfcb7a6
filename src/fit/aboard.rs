//! The drive on the board of a limb that rides, as what carries the limb stands so.
//!
//! The carrier moves nothing of such a drive but the limb's pivot: motor, anchor and eyes
//! stay where they are. With the carrier at an angle it is therefore the same mechanism on
//! another pivot, and limb and carrier have two coordinates between them (R. L. Norton,
//! *Design of Machinery*, on the position of linkages of two degrees of freedom).

use std::sync::Arc;

use super::carried_servo::middle;
use super::drive::Measure;
use super::{Fitted, FittedFigure, FittedFourBar, KindFigure};
use crate::geometry::{BoardPoint, Dir};
use crate::mechanism::{Mechanism, Path as _, Rod, Shaft, Way};
use crate::model::{Joint, Limb, Source};
use crate::units::Deg;

/// The mechanism of a limb that rides, with what moves it on the board.
#[derive(Clone, Debug)]
pub struct Aboard {
    /// The mechanism on the limb's pivot, where the carrier has it.
    pub mechanism: Arc<dyn Mechanism>,
    /// What moves it: its crank's, arm's or horn's direction in rad, or a length in mm.
    pub way: Way,
    /// Its crank pin's angle after the motor's own.
    pub pin: Deg,
}

impl Aboard {
    /// Whether it grows, and nothing of it turns.
    #[must_use]
    pub fn grows(&self) -> bool {
        matches!(self.way.source(), Way::Extending(_))
    }

    /// The rod by which it closes with its motor at a coordinate, pin and all, and how far
    /// that pin moves or the rod grows by a unit of it at most: as
    /// [`Mechanism::closing`].
    #[must_use]
    pub fn rod_at(&self, coordinate: f64) -> Option<(Rod, f64)> {
        self.mechanism.closing(&self.way.at(coordinate).ok()?)
    }

    /// The limb's direction on the board at a coordinate, rad or mm; `None` where it does
    /// not close there.
    #[must_use]
    pub fn limb_at(&self, coordinate: f64) -> Option<Dir> {
        let input = self.way.at(coordinate).ok()?;
        Some(self.mechanism.position(&input).ok()?.limb.axis())
    }
}

impl Fitted {
    /// What only its kind has, by name.
    #[must_use]
    pub fn figure(&self, name: &str) -> Option<Measure> {
        let figures: &[KindFigure] = match self {
            Self::FourBar(bar) => &bar.figures,
            Self::Drive(drive) => &drive.figures,
            Self::Servo(servo) => &servo.figures,
            Self::Spin(spin) => &spin.figures,
        };
        figures.iter().find(|f| f.name == name).map(|f| f.value)
    }

    /// An angle among them.
    #[must_use]
    pub fn figure_angle(&self, name: &str) -> Option<Deg> {
        match self.figure(name)? {
            Measure::Angle(angle) => Some(angle),
            _ => None,
        }
    }

    /// As it is made, with what moves it; `None` for what has no linkage of its own.
    fn aboard(&self) -> Option<Aboard> {
        Some(match self {
            Self::FourBar(bar) => {
                let (mechanism, way) = (Arc::new(*bar.made().0), Way::Shaft(bar.shaft));
                Aboard { mechanism, way, pin: bar.pin }
            }
            Self::Servo(servo) if servo.cord.is_none() => {
                let rod = servo.linkage?;
                let way = Way::Shaft(Shaft::turning(rod.motor()));
                Aboard { mechanism: Arc::new(rod), way, pin: Deg(0.0) }
            }
            Self::Servo(_) | Self::Drive(_) => {
                let drive = self.as_drive()?;
                let (mechanism, way) = (Arc::clone(&drive.made().mechanism), &drive.made().way);
                Aboard { mechanism, way: way.clone(), pin: drive.pin }
            }
            Self::Spin(_) => return None,
        })
    }

    /// The same with the limb's pivot where its carrier at rest has it, its ends found anew.
    fn at_rest(&self, pivot: BoardPoint, limb: &Limb) -> Option<Self> {
        Some(match self {
            Self::FourBar(own) => {
                let bar = own.made().0.moved(pivot)?;
                let analysis = bar.analyse();
                Self::FourBar(Box::new(FittedFourBar {
                    exact: bar,
                    drilled: bar,
                    analysis,
                    as_drilled: analysis,
                    ..FittedFourBar::clone(own)
                }))
            }
            Self::Servo(own) => Self::Servo(Box::new(own.on_pivot(pivot, middle(limb, own))?)),
            // It was fitted with its carrier at rest.
            Self::Drive(_) => self.clone(),
            Self::Spin(_) => return None,
        })
    }
}

impl FittedFigure {
    /// The mechanism of a limb that rides while its motor stands on the board. `None` for
    /// any other limb, and where it is not held over its carrier's range or has an error.
    #[must_use]
    pub fn carried(&self, limb: usize) -> Option<&Fitted> {
        let said = self.figure.limbs.get(limb).filter(|l| l.carrier.is_some())?;
        let fitted = self.limbs.get(limb).filter(|f| f.riding.is_none())?;
        let Some(Source::Motor(_)) = said.drive.as_ref().map(|d| d.source) else { return None };
        let mechanism = fitted.mechanism.as_ref().filter(|m| !m.faulty())?;
        // Only where it goes through its motion wherever the carrier is.
        mechanism.figure("carried_push").is_some().then_some(mechanism)
    }

    /// Where the pivot of such a limb is with what carries it at an angle of the board; as
    /// drawn where none is said.
    fn carried_pivot(&self, limb: usize, carrier: Option<Deg>) -> Option<BoardPoint> {
        let limb = &self.figure.limbs[limb];
        let Joint::Pivot { at: Some(pivot), .. } = limb.joint else { return None };
        let Some(angle) = carrier else { return Some(pivot) };
        let (about, axis) = self.figure.limbs[limb.carrier?].drawn()?;
        Some(about + (pivot - about).turned(Dir::degrees(angle).from(axis)))
    }

    /// The drive of such a limb with what carries it at an angle of the board; as drawn
    /// where none is said. `None` as for [`FittedFigure::carried`].
    #[must_use]
    pub fn aboard(&self, limb: usize, carrier: Option<Deg>) -> Option<Aboard> {
        let own = self.carried(limb)?.aboard()?;
        let mechanism = own.mechanism.on_pivot(self.carried_pivot(limb, carrier)?)?;
        Some(Aboard { mechanism, ..own })
    }

    /// The same drive fitted with its carrier at rest; what it does over the carrier's range
    /// stays with it.
    #[must_use]
    pub fn carried_at_rest(&self, limb: usize) -> Option<Fitted> {
        let pivot = self.carried_pivot(limb, self.carrier_rest(limb))?;
        self.carried(limb)?.at_rest(pivot, &self.figure.limbs[limb])
    }

    /// Least and largest angle of such a limb on the board, wherever its carrier is.
    #[must_use]
    pub fn carried_ends(&self, limb: usize) -> Option<(Deg, Deg)> {
        let own = self.carried(limb)?;
        Some((own.figure_angle("carried_low")?, own.figure_angle("carried_high")?))
    }
}
