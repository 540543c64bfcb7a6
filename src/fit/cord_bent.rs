//! Pulleys and spools against the cord that is bent round them.

use super::drive::{Figure, Measure};
use super::puller::{By, Puller};
use super::{Bench, codes};
use crate::finding::Step;
use crate::mechanism::Size;
use crate::model::{CordDrive, Drive, MotorKind, Note};
use crate::units::Mm;
use crate::units::print::{self, decimal};

/// A wheel is to be so many times as thick as its cord (common practice, no source).
const WIDE: f64 = 8.0;

impl Bench<'_> {
    /// Reports a spool that is said of a motor that winds none.
    pub(super) fn spool_unturned(&mut self, said: &CordDrive, motor: usize) -> bool {
        let motor = &self.figure.actuators[motor].motor;
        let kind = motor.kind;
        let Some(place) = said.spool.place.filter(|_| kind != MotorKind::Spool) else {
            return false;
        };
        let message = format!(
            "the cord of {} is to lie on a spool, and its motor is of `kind {}`, which winds none.",
            self.name(),
            kind.word()
        );
        let instead = match kind {
            MotorKind::Servo => "a `horn` in place of the spool",
            MotorKind::Ram | MotorKind::Cylinder => "no `spool`: it pulls its cord straight",
            _ => "a `crank` in place of the spool",
        };
        self.report(&codes::SPOOL_UNTURNED, place, message).help =
            Some(format!("take a motor of `kind spool`, or {instead}."));
        true
    }

    /// Its smallest wheel over its own thickness, where both are known.
    pub(super) fn bent_cord(
        &mut self,
        drive: &Drive,
        said: &CordDrive,
        puller: &Puller,
    ) -> Option<Figure> {
        let spool = match (puller.by, said.spool.size) {
            (By::Wound { .. }, Size::Given(diameter)) => Some((Mm(diameter), "spool")),
            _ => None,
        };
        let pulley = said.pulleys.filter(|_| !said.guides.is_empty()).map(|d| (d, "pulleys"));
        let wheels = pulley.into_iter().chain(spool);
        let (wheel, what) = wheels.reduce(|a, b| if b.0 < a.0 { b } else { a })?;
        let Some(thick) = said.thickness else {
            let note =
                format!("whether its {what} is wide enough for the cord (how thick that is)");
            self.not_checked
                .push(Note::new(note.replace("pulleys is", "pulleys are"), "thickness 2 mm"));
            return None;
        };
        let times = wheel / thick;
        if times < WIDE {
            let system = self.figure.system;
            let verb = if what == "spool" { "measures" } else { "measure" };
            let message = format!(
                "the {what} of {} {verb} {}, {} times its cord of {}; bent so sharply it frays.",
                self.name(),
                print::size(wheel, 0, system),
                decimal(times, 1),
                print::size(thick, 1, system)
            );
            let help = format!(
                "take {} and more across, or a cord of {} and less.",
                print::size_up(thick * WIDE, system),
                print::size(Mm((wheel.0 / WIDE * 10.0).floor() / 10.0), 1, system)
            );
            let place = said.length.place.unwrap_or(drive.place);
            self.report(&codes::CORD_BENT, place, message).help = Some(help);
            let sum =
                format!("{}/{}", print::fine_in(wheel, system), print::fine_in(thick, system));
            self.works([
                Step::given(format!("its {what}"), print::fine(wheel, system)),
                Step::given("its cord", print::fine(thick, system)),
                Step::new("one over the other", sum, format!("{} times", decimal(times, 2))),
                Step::given("wanted", format!("{} times", decimal(WIDE, 0))),
            ]);
        }
        Some(Figure {
            name: "wheel_over_cord",
            words: "its smallest wheel over the cord's thickness",
            value: Measure::Number(times),
        })
    }
}
