//! What a show takes from each air tank, and whether that lasts.

use std::collections::BTreeMap;

use super::tank::{self, Level, Taken};
use super::{Scene, Season, inputs};
use crate::finding::Finding;
use crate::fit::{Measure, USUAL_PRESSURE};
use crate::loads::wind_limit::Input;
use crate::mechanism::Path;
use crate::model::{DriveKind, Note};
use crate::units::{Litre, Mm, Pascal};

/// Air from one tank, as it was before it was pressed.
#[derive(Clone, Debug, PartialEq)]
pub struct AirUse {
    /// The tank's name as the cylinders have it.
    pub tank: String,
    /// Standard litres of the show that takes most.
    pub show: Litre,
    /// Of a night of the season.
    pub night: Litre,
    /// The cylinders that take it, show by show.
    pub strokes: Vec<Strokes>,
    /// The tank at its emptiest, in the show that empties it most; `None` where nobody says
    /// how large it is.
    pub level: Option<Level>,
    /// What could not be held against the tank.
    pub not_checked: Vec<Note>,
}

/// What a cylinder takes in a show.
#[derive(Clone, Debug, PartialEq)]
pub struct Strokes {
    /// Its name: `hedgehog.spring`.
    pub name: String,
    /// The show.
    pub show: String,
    /// Strokes out and back.
    pub count: usize,
    /// Runs of the show in a night.
    pub runs: u32,
    /// Standard litres of one.
    pub each: Litre,
    /// What that follows from.
    pub inputs: Vec<Input>,
}

/// All tanks, sorted by name.
pub(super) fn all(scene: &Scene<'_>, season: &Season, findings: &mut Vec<Finding>) -> Vec<AirUse> {
    let mut tanks = BTreeMap::<String, AirUse>::new();
    for played in scene.performances {
        let mut shown = BTreeMap::<String, (Vec<Strokes>, Vec<Taken>)>::new();
        for part in &played.figures {
            let Some(figure) = scene.figure(&part.figure) else { continue };
            for channel in &part.channels {
                let Some(Cycle { tank, pressure, each, inputs }) =
                    cycle(scene, figure, &channel.name)
                else {
                    continue;
                };
                let name = format!("{}.{}", part.figure, channel.name);
                let (strokes, taken) = shown.entry(tank).or_default();
                let before = taken.len();
                let opened = channel.keys.windows(2).filter(|k| k[1].value > k[0].value);
                taken.extend(opened.map(|k| Taken {
                    at: k[1].at,
                    litres: each,
                    name: name.clone(),
                    pressure,
                }));
                strokes.push(Strokes {
                    name,
                    show: played.show.clone(),
                    count: taken.len() - before,
                    runs: season.runs_of(&played.show),
                    each,
                    inputs,
                });
            }
        }
        for (tank, (strokes, mut taken)) in shown {
            let litres: f64 = strokes.iter().map(|s| s.each.0 * s.count as f64).sum();
            let runs = f64::from(season.runs_of(&played.show));
            let use_ = tanks.entry(tank.clone()).or_insert_with(|| AirUse {
                tank,
                show: Litre(0.0),
                night: Litre(0.0),
                strokes: Vec::new(),
                level: None,
                not_checked: Vec::new(),
            });
            taken.sort_by(|a, b| a.at.0.total_cmp(&b.at.0));
            if let Some(tank) = scene.yard.tanks.iter().find(|t| t.name.value == use_.tank) {
                let show = (played.show.as_str(), played.duration);
                let (level, found) = tank::level(scene, tank, show, &taken);
                findings.extend(found);
                let lower = use_.level.as_ref().is_none_or(|l| level.least < l.least);
                use_.level = if lower { Some(level) } else { use_.level.take() };
            }
            use_.show = use_.show.max(Litre(litres));
            use_.night += Litre(litres * runs);
            use_.strokes.extend(strokes);
        }
    }
    for air in tanks.values_mut().filter(|a| a.level.is_none()) {
        air.not_checked.push(Note::new(
            "whether it lasts the show (how much it holds is not said)",
            format!("tank {} 24 l full 800 kPa pump 30 l/min", air.tank),
        ));
    }
    tanks.into_values().collect()
}

/// One stroke of a cylinder, out and back.
struct Cycle {
    tank: String,
    pressure: Pascal,
    each: Litre,
    /// What the air of it follows from.
    inputs: Vec<Input>,
}

/// What the cylinder of a motor takes, where it is fed from a tank.
fn cycle(scene: &Scene<'_>, figure: usize, motor: &str) -> Option<Cycle> {
    let own = &scene.yard.figures[figure].figure;
    let motor = own.actuators.iter().position(|a| a.name == motor)?;
    let limb = own.driven_by(motor).next()?;
    let sheet = &own.actuators[motor].motor;
    let said = match &own.limbs[limb].drive.as_ref()?.mechanism {
        DriveKind::Strut(strut) => &strut.air,
        DriveKind::Cord(cord) => &cord.air,
        _ => return None,
    };
    let drive = scene.fitted[figure].limbs[limb].mechanism.as_ref()?.as_drive()?;
    let litres = drive.figures.iter().find_map(|f| match f.value {
        Measure::Air(l) => Some(l),
        _ => None,
    })?;
    let span = drive.exact.way.span();
    let inputs = inputs::of_air(said, sheet, Mm(span.to - span.from));
    let pressure = said.pressure.unwrap_or(USUAL_PRESSURE);
    Some(Cycle { tank: said.tank.clone()?, pressure, each: litres, inputs })
}
