//! A cord that an air cylinder draws in: its force, its air and its times.

use std::sync::Arc;

use super::Bench;
use super::drive::{Built, Figure};
use super::strut_figures::OfAir;
use super::strut_pace::AirPace;
use crate::mechanism::Path as _;
use crate::model::{CordDrive, Drive, MotorKind};
use crate::units::Mm;

impl Bench<'_> {
    /// What only a cylinder has; nothing for what else draws a cord in.
    pub(super) fn air_of_cord(
        &mut self,
        drive: &Drive,
        said: &CordDrive,
        motor: usize,
        built: &Built,
    ) -> Vec<Figure> {
        let motor = Arc::clone(&self.figure.actuators[motor].motor);
        if motor.kind != MotorKind::Cylinder {
            return Vec::new();
        }
        let of = OfAir { air: &said.air, motor: &motor, place: drive.place, pulls: true };
        let span = built.way.span();
        let stroke = Mm(span.to - span.from);
        let pace = AirPace::of(&said.air, stroke);
        let mut figures = self.air_figures(&of, stroke);
        figures.extend(self.air_times(&of, &pace, stroke));
        figures.extend(self.knock(&of, &built.course.travel, pace.up.min(pace.down)));
        figures
    }
}
