//! What a show takes from each air tank.

use std::collections::BTreeMap;

use super::{Scene, Season, inputs};
use crate::fit::Measure;
use crate::loads::wind_limit::Input;
use crate::mechanism::Path;
use crate::model::DriveKind;
use crate::units::{Litre, Mm};

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
pub(super) fn all(scene: &Scene<'_>, season: &Season) -> Vec<AirUse> {
    let mut tanks = BTreeMap::<String, AirUse>::new();
    for played in scene.performances {
        let mut shown = BTreeMap::<String, Vec<Strokes>>::new();
        for part in &played.figures {
            let Some(figure) = scene.figure(&part.figure) else { continue };
            for channel in &part.channels {
                let Some((tank, each, inputs)) = cycle(scene, figure, &channel.name) else {
                    continue;
                };
                let opened = channel.keys.windows(2).filter(|k| k[1].value > k[0].value);
                shown.entry(tank).or_default().push(Strokes {
                    name: format!("{}.{}", part.figure, channel.name),
                    show: played.show.clone(),
                    count: opened.count(),
                    runs: season.runs_of(&played.show),
                    each,
                    inputs,
                });
            }
        }
        for (tank, strokes) in shown {
            let litres: f64 = strokes.iter().map(|s| s.each.0 * s.count as f64).sum();
            let runs = f64::from(season.runs_of(&played.show));
            let use_ = tanks.entry(tank.clone()).or_insert_with(|| AirUse {
                tank,
                show: Litre(0.0),
                night: Litre(0.0),
                strokes: Vec::new(),
            });
            use_.show = use_.show.max(Litre(litres));
            use_.night += Litre(litres * runs);
            use_.strokes.extend(strokes);
        }
    }
    tanks.into_values().collect()
}

/// A cylinder's tank, the air of one stroke out and back, and what that follows from.
fn cycle(scene: &Scene<'_>, figure: usize, motor: &str) -> Option<(String, Litre, Vec<Input>)> {
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
    Some((said.tank.clone()?, litres, inputs))
}
