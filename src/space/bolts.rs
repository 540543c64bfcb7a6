//! Bolts: what lies on a limb's bolt from its head to its nuts, and how long it must be.

use super::levers::pivot_bar;
use super::stack::{
    BAR_HALF, Depth, Layer, Role, SHEET, SPACER, bushing_end, nut_radius, on_shaft,
};
use crate::fit::FittedFigure;
use crate::model::{BoltSize, DriveKind, Joint, Limb, Mount, SpinDrive};
use crate::units::{Mm, System};

/// A washer (ISO 7089: 1.6 mm for M8; from memory).
pub const WASHER: f64 = 1.6;
/// Heights of nuts: ISO 4032, largest, for M5 to M12 (from memory); ASME B18.2.2 for 1/4,
/// 5/16 and 3/8 in (7/32, 17/64 and 21/64 in; from memory). Diameter and height, mm.
const NUTS: [(f64, f64); 8] = [
    (5.0, 4.7),
    (6.0, 5.2),
    (8.0, 6.8),
    (10.0, 8.4),
    (12.0, 10.8),
    (6.35, 25.4 * 7.0 / 32.0),
    (7.9375, 25.4 * 17.0 / 64.0),
    (9.525, 25.4 * 21.0 / 64.0),
];
/// Height of other nuts as a share of their bolt: that of M8.
const NUT: f64 = 6.8 / 8.0;
/// Threads that stand out of the last nut (common practice, no source).
const OUT: f64 = 2.0;
/// From here on a spacer is a piece of tube and no washers (common practice, no source).
pub const TUBE: f64 = 5.0;

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
    /// The pulley, sprocket or gear that turns it.
    Wheel,
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
    /// From under the head to the last thread that is needed, mm; without a wheel of
    /// unknown width.
    pub needs: f64,
    /// How much of that lies behind the last thing that turns on it: washers, nuts, threads.
    pub nuts: f64,
    /// The wheel of a belt, chain or gear that is on it too, whose width nothing says.
    pub wheel: Option<&'static str>,
    /// The shortest bolt that is sold and long enough; `None` beyond the table, and with a
    /// wheel on it.
    pub take: Option<Mm>,
    /// The length that was said.
    pub said: Option<Mm>,
    /// The household its length is sold in: that of its thread.
    pub system: System,
    /// Whether it was not known how thick the wood is that it goes through.
    pub guessed: bool,
}

impl BoltStack {
    /// The length to buy: as said, else as sold, else as needed; `None` where a wheel on it
    /// is to be measured first.
    #[must_use]
    pub fn length(&self) -> Option<Mm> {
        let needs = self.wheel.is_none().then_some(Mm(self.needs));
        self.said.or(self.take).or(needs)
    }

    /// How far it stands out behind the last thing that turns on it, mm: its nuts, and what
    /// more was said of its length.
    #[must_use]
    pub fn stands_out(&self) -> f64 {
        let spare = self.said.filter(|_| self.wheel.is_none()).map_or(0.0, |l| l.0 - self.needs);
        self.nuts + spare.max(0.0)
    }
}

/// Height of a nut, mm.
#[must_use]
pub fn nut_height(bolt: Mm) -> f64 {
    let row = NUTS.iter().find(|(d, _)| (d - bolt.0).abs() < 0.01);
    row.map_or(NUT * bolt.0, |r| r.1)
}

/// The bolt of a limb, with what lies before and behind the board, or the limb it rides on,
/// by the figure's layers; `None` for one without a bolt of its own.
#[must_use]
pub fn bolt_stack(fitted: &FittedFigure, layers: &[Layer], index: usize) -> Option<BoltStack> {
    let name = &fitted.figure.limbs[index].name.value;
    let plate = layers.iter().find(|l| l.role == Role::Limb && l.name == *name)?;
    laid(fitted, index, plate.depth)
}

/// What is laid on the bolt of a limb that lies here: through board and frame, or through
/// the limb that it rides on.
pub(super) fn laid(fitted: &FittedFigure, index: usize, plate: Depth) -> Option<BoltStack> {
    let limb = &fitted.figure.limbs[index];
    let pivots = matches!(limb.joint, Joint::Pivot { at: Some(_), .. });
    if !pivots || on_shaft(limb) || limb.poisoned {
        return None;
    }
    let name = &limb.name.value;
    let (bolt, diameter) = bolt_of(limb.bolt.as_ref());
    let said_washer = limb.build.washer.or_else(|| limb.bolt.as_ref().and_then(|b| b.washer));
    let washer = said_washer.map_or(1.5 * diameter.0, |w| w.0 / 2.0);
    let nut = nut_radius(limb.bolt.as_ref());
    let thick = plate.back - plate.front;
    let carrier = limb.carrier.and_then(|c| fitted.figure.limbs.get(c));
    let (end, guessed) = match carrier {
        Some(carrier) => through_limb(limb, carrier),
        None => bushing_end(fitted, limb),
    };
    let step = |item, name: &str, thick: f64, half: f64, assumed: bool| BoltStep {
        item,
        name: name.to_owned(),
        thick,
        half,
        assumed,
    };
    let large =
        |name: &str| step(OnBolt::Washer, name, WASHER, washer, limb.build.washer.is_none());
    let nuts = |name: &str| step(OnBolt::Nut, name, nut_height(diameter), nut, false);
    let wood = carrier.map_or("board and frame", |c| c.name.value.as_str());
    let bushing = match limb.bushing {
        Some(_) => format!("bushing through {wood}"),
        None => wood.to_owned(),
    };
    let held = limb.sheet.as_ref().and_then(|s| s.thickness).is_none();
    let gap = |thick: f64| {
        let name = match thick {
            t if t >= TUBE => "spacer tube",
            t if t > SPACER => "spacer washers",
            _ => "spacer washer",
        };
        step(OnBolt::Spacer, name, thick, diameter.0, limb.build.gap.is_none())
    };
    let mut steps = Vec::new();
    // What is off the wood: of a limb that rides its own gap, whatever depth that lies in.
    let off = match (carrier, limb.mount) {
        (Some(_), _) => limb.build.gap.map_or(SPACER, |g| g.0),
        (None, Mount::Front) => -plate.back,
        (None, Mount::Behind) => plate.front - end,
    };
    match limb.mount {
        Mount::Front => {
            steps.push(large("washer"));
            steps.push(step(OnBolt::Plate, name, thick, 40.0, held));
            steps.push(gap(off));
            steps.push(step(OnBolt::Bushing, &bushing, end, 30.0, guessed));
            steps.push(step(OnBolt::Spacer, "spacer washer", SPACER, diameter.0, true));
            if let Some(bar) = pivot_bar(fitted, index) {
                steps.push(step(OnBolt::Plate, bar.name(), bar.thick.0, BAR_HALF, bar.assumed));
            }
        }
        Mount::Behind => {
            steps.push(step(OnBolt::Bushing, &bushing, end, 30.0, guessed));
            steps.push(gap(off));
            steps.push(large("washer"));
            steps.push(step(OnBolt::Plate, name, thick, 40.0, held));
        }
    }
    let spin = spin(limb);
    let wheel = spin.and_then(SpinDrive::wheel);
    let width = spin.and_then(|s| s.width);
    if let (Some(wheel), Some(width)) = (wheel, width) {
        let half = spin.and_then(|s| s.radii().last().copied()).unwrap_or(20.0);
        steps.push(step(OnBolt::Wheel, wheel, width.0, half, false));
    }
    let turning = steps.len();
    if limb.mount == Mount::Behind {
        steps.push(large("washer"));
    }
    steps.push(nuts("nut"));
    steps.push(nuts("second nut, locked against it"));
    let pitch = limb.bolt.as_ref().map_or(1.25, |b| b.pitch.0);
    let sum = |steps: &[BoltStep]| steps.iter().map(|s| s.thick).sum::<f64>();
    let needs = sum(&steps) + OUT * pitch;
    let behind = sum(&steps[turning..]) + OUT * pitch;
    let system = if bolt.contains('/') { System::Inch } else { System::Metric };
    let wheel = wheel.filter(|_| width.is_none());
    Some(BoltStack {
        diameter,
        steps,
        needs,
        nuts: behind,
        take: sold(needs, system).filter(|_| wheel.is_none()),
        wheel,
        said: limb.build.bolt_length,
        system,
        guessed,
        bolt,
    })
}

/// How long the bushing of a limb is in the limb that it rides on, mm, and whether that
/// limb's sheet is not known.
fn through_limb(limb: &Limb, carrier: &Limb) -> (f64, bool) {
    if let Some(length) = limb.build.bushing_length {
        return (length.0, false);
    }
    let sheet = carrier.sheet.as_ref().and_then(|s| s.thickness);
    (sheet.map_or(SHEET, |t| t.0), sheet.is_none())
}

/// What turns a limb round and round.
pub(super) fn spin(limb: &Limb) -> Option<&SpinDrive> {
    match &limb.drive.as_ref()?.mechanism {
        DriveKind::Spin(spin) => Some(spin),
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

    /// ISO 4032 (m max) and ASME B18.2.2 (hex nuts, basic), both from memory; between
    /// the rows a nut is between its neighbours.
    #[test]
    fn nuts_are_as_high_as_the_standards_say() {
        for (bolt, high) in [(5.0, 4.7), (6.0, 5.2), (8.0, 6.8), (10.0, 8.4), (12.0, 10.8)] {
            assert_eq!(nut_height(Mm(bolt)), high);
        }
        assert!((nut_height(Mm(25.4 * 5.0 / 16.0)) / 25.4 - 17.0 / 64.0).abs() < 1e-9);
        assert!((8.4..10.8).contains(&nut_height(Mm(11.0))));
    }

    #[test]
    fn bolts_are_taken_as_they_are_sold() {
        assert_eq!(sold(80.4, System::Metric), Some(Mm(90.0)));
        assert_eq!(sold(80.0, System::Metric), Some(Mm(80.0)));
        assert_eq!(sold(301.0, System::Metric), None);
        assert_eq!(sold(80.0, System::Inch), Some(Mm(82.55)));
        assert_eq!(sold(153.0, System::Inch), Some(Mm(165.1)));
    }
}
