//! Bolts: what lies on a limb's bolt from its head to its nuts, and how long it must be.

use super::stack::{BAR, BAR_HALF, Layer, Role, SPACER, bushing_end, nut_radius, on_shaft};
use crate::fit::FittedFigure;
use crate::model::{BoltSize, DriveKind, Joint, Limb, Mount};
use crate::units::{Mm, System};

/// A washer (ISO 7089: 1.6 mm for M8; from memory).
const WASHER: f64 = 1.6;
/// Height of a nut as a share of its bolt (ISO 4032: M8, 6.8 mm; from memory).
const NUT: f64 = 6.8 / 8.0;
/// Threads that stand out of the last nut (common practice, no source).
const OUT: f64 = 2.0;

/// Lengths bolts are sold in, mm (ISO 888; from memory).
const METRIC: [f64; 29] = [
    16.0, 20.0, 25.0, 30.0, 35.0, 40.0, 45.0, 50.0, 55.0, 60.0, 65.0, 70.0, 75.0, 80.0, 90.0,
    100.0, 110.0, 120.0, 130.0, 140.0, 150.0, 160.0, 180.0, 200.0, 220.0, 240.0, 260.0, 280.0,
    300.0,
];

/// What a thing on a bolt is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OnBolt {
    /// A large washer on a limb's face.
    Washer,
    /// A small washer between faces that pass.
    Spacer,
    /// A bushing; board and frame where there is none.
    Bushing,
    /// A nut.
    Nut,
    /// The limb, or its lever.
    Plate,
}

/// One thing on a bolt.
#[derive(Clone, Debug, PartialEq)]
pub struct BoltStep {
    /// What kind of thing.
    pub item: OnBolt,
    /// What it is: "washer", "left-arm".
    pub name: String,
    /// Thickness along the bolt, mm.
    pub thick: f64,
    /// Half its width as it is drawn, mm.
    pub half: f64,
    /// Whether a usual size was taken.
    pub assumed: bool,
}

/// A bolt with everything on it, from under its head.
#[derive(Clone, Debug, PartialEq)]
pub struct BoltStack {
    /// The bolt: "M8".
    pub bolt: String,
    /// Its diameter.
    pub diameter: Mm,
    /// What is on it, front to back.
    pub steps: Vec<BoltStep>,
    /// From under the head to the last thread that is needed, mm; without the wheel.
    pub needs: f64,
    /// The wheel of a belt, chain or gear that is on it too, whose width nothing says.
    pub wheel: Option<&'static str>,
    /// The shortest bolt that is sold and long enough; `None` beyond the table, and with a
    /// wheel on it.
    pub take: Option<Mm>,
    /// The length that was said.
    pub said: Option<Mm>,
    /// The household its length is sold in: that of its thread.
    pub system: System,
}

impl BoltStack {
    /// The length to buy: as said, else as sold, else as needed; `None` where a wheel on it
    /// is to be measured first.
    #[must_use]
    pub fn length(&self) -> Option<Mm> {
        let needs = self.wheel.is_none().then_some(Mm(self.needs));
        self.said.or(self.take).or(needs)
    }
}

/// The bolt of a limb, with what lies before and behind the board by the figure's layers;
/// `None` for one without a bolt through the board.
#[must_use]
pub fn bolt_stack(fitted: &FittedFigure, layers: &[Layer], index: usize) -> Option<BoltStack> {
    let figure = &fitted.figure;
    let limb = &figure.limbs[index];
    let pivots = matches!(limb.joint, Joint::Pivot { at: Some(_), .. });
    if !pivots || limb.carrier.is_some() || on_shaft(limb) || limb.poisoned {
        return None;
    }
    let name = &limb.name.value;
    let plate = layers.iter().find(|l| l.role == Role::Limb && l.name == *name)?;
    let (bolt, diameter) = bolt_of(limb.bolt.as_ref());
    let said_washer = limb.build.washer.or_else(|| limb.bolt.as_ref().and_then(|b| b.washer));
    let washer = said_washer.map_or(1.5 * diameter.0, |w| w.0 / 2.0);
    let nut = nut_radius(limb.bolt.as_ref());
    let thick = plate.depth.back - plate.depth.front;
    let (end, guessed) = bushing_end(fitted, limb);
    let step = |item, name: &str, thick: f64, half: f64, assumed: bool| BoltStep {
        item,
        name: name.to_owned(),
        thick,
        half,
        assumed,
    };
    let large =
        |name: &str| step(OnBolt::Washer, name, WASHER, washer, limb.build.washer.is_none());
    let nuts = |name: &str| step(OnBolt::Nut, name, NUT * diameter.0, nut, false);
    let bushing =
        if limb.bushing.is_some() { "bushing through board and frame" } else { "board and frame" };
    let held = limb.sheet.as_ref().and_then(|s| s.thickness).is_none();
    let mut steps = Vec::new();
    match limb.mount {
        Mount::Front => {
            let lever = format!("{name} lever");
            let lever = layers.iter().any(|l| l.role == Role::Lever && l.name == lever);
            steps.push(large("washer"));
            steps.push(step(OnBolt::Plate, name, thick, 40.0, held));
            steps.push(step(OnBolt::Spacer, "spacer washer", SPACER, diameter.0, true));
            steps.push(step(OnBolt::Bushing, bushing, end, 30.0, guessed));
            steps.push(step(OnBolt::Spacer, "spacer washer", SPACER, diameter.0, true));
            if lever {
                steps.push(step(OnBolt::Plate, "lever", BAR, BAR_HALF, true));
            }
        }
        Mount::Behind => {
            steps.push(step(OnBolt::Bushing, bushing, end, 30.0, guessed));
            let spacer = plate.depth.front - end;
            steps.push(step(OnBolt::Spacer, "spacer", spacer, diameter.0, true));
            steps.push(large("washer"));
            steps.push(step(OnBolt::Plate, name, thick, 40.0, held));
            steps.push(large("washer"));
        }
    }
    steps.push(nuts("nut"));
    steps.push(nuts("second nut, locked against it"));
    let pitch = limb.bolt.as_ref().map_or(1.25, |b| b.pitch.0);
    let needs = steps.iter().map(|s| s.thick).sum::<f64>() + OUT * pitch;
    let system = if bolt.contains('/') { System::Inch } else { System::Metric };
    let wheel = wheel(limb);
    Some(BoltStack {
        diameter,
        steps,
        needs,
        take: sold(needs, system).filter(|_| wheel.is_none()),
        wheel,
        said: limb.build.bolt_length,
        system,
        bolt,
    })
}

/// The wheel that turns a limb, on its bolt.
fn wheel(limb: &Limb) -> Option<&'static str> {
    match &limb.drive.as_ref()?.mechanism {
        DriveKind::Spin(spin) => Some(spin.wheel()?),
        _ => None,
    }
}

/// The name of a bolt, M8 where none is said, and its diameter.
#[must_use]
pub fn bolt_of(bolt: Option<&BoltSize>) -> (String, Mm) {
    bolt.map_or(("M8".to_owned(), Mm(8.0)), |b| (b.name.clone(), b.diameter))
}

/// The shortest bolt that is sold and long enough: ISO 888, or in quarters of an inch up
/// to 6 in and halves up to 12 (ASME B18.2.1; from memory).
fn sold(needs: f64, system: System) -> Option<Mm> {
    if system == System::Inch {
        let quarters = libm::ceil(needs / 6.35 - 1e-9);
        let step = if quarters <= 24.0 { quarters } else { libm::ceil(quarters / 2.0) * 2.0 };
        return (step <= 48.0).then_some(Mm(step * 6.35));
    }
    METRIC.iter().find(|l| **l + 1e-9 >= needs).map(|l| Mm(*l))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bolts_are_taken_as_they_are_sold() {
        assert_eq!(sold(80.4, System::Metric), Some(Mm(90.0)));
        assert_eq!(sold(80.0, System::Metric), Some(Mm(80.0)));
        assert_eq!(sold(301.0, System::Metric), None);
        assert_eq!(sold(80.0, System::Inch), Some(Mm(82.55)));
        assert_eq!(sold(153.0, System::Inch), Some(Mm(165.1)));
    }
}
