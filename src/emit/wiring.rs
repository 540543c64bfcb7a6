//! Which output of which controller each motor hangs on, for report and schedules.

use crate::model::{Wired, Yard};

/// An output of a controller.
#[derive(Debug, serde::Serialize)]
pub struct OutputReport<'a> {
    controller: &'a str,
    number: u32,
    #[serde(skip_serializing_if = "Option::is_none")]
    signal: Option<&'static str>,
    /// Whether the yard's text says so.
    written: bool,
}

impl<'a> OutputReport<'a> {
    fn new(yard: &'a Yard, wired: &Wired) -> Self {
        Self {
            controller: &yard.controllers[wired.controller].name.value,
            number: wired.number,
            signal: wired.signal,
            written: wired.written,
        }
    }

    /// The output of the motor named so.
    pub fn of(yard: &'a Yard, figure: usize, motor: &str) -> Option<Self> {
        let motors = &yard.figures[figure].figure.actuators;
        let wired = yard.wired(figure, motors.iter().position(|a| a.name == motor)?)?;
        Some(Self::new(yard, wired))
    }
}

/// A motor and its output.
#[derive(Debug, serde::Serialize)]
pub struct WiringReport<'a> {
    figure: &'a str,
    motor: &'a str,
    output: OutputReport<'a>,
}

impl<'a> WiringReport<'a> {
    /// All of a yard.
    pub fn all(yard: &'a Yard) -> Vec<Self> {
        let row = |wired: &'a Wired| {
            let placed = &yard.figures[wired.figure];
            Self {
                figure: &placed.name.value,
                motor: &placed.figure.actuators[wired.motor].name,
                output: OutputReport::new(yard, wired),
            }
        };
        yard.wiring.iter().map(row).collect()
    }
}
