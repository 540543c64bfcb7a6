//! What a show takes from each air tank.

use std::collections::BTreeMap;

use super::{Scene, Season};
use crate::fit::Measure;
use crate::model::DriveKind;
use crate::units::Litre;

/// Air from one tank, as it was before it was pressed.
#[derive(Clone, Debug, PartialEq)]
pub struct AirUse {
    /// The tank's name as the cylinders have it.
    pub tank: String,
    /// Standard litres of the show that takes most.
    pub show: Litre,
    /// Of a night of the season.
    pub night: Litre,
}

/// All tanks, sorted by name.
pub(super) fn all(scene: &Scene<'_>, season: &Season) -> Vec<AirUse> {
    let mut tanks = BTreeMap::<String, AirUse>::new();
    for played in scene.performances {
        let mut shown = BTreeMap::<String, f64>::new();
        for part in &played.figures {
            let Some(figure) = scene.figure(&part.figure) else { continue };
            for channel in &part.channels {
                let Some((tank, litres)) = cycle(scene, figure, &channel.name) else { continue };
                let opened = channel.keys.windows(2).filter(|k| k[1].value > k[0].value);
                *shown.entry(tank).or_default() += litres * opened.count() as f64;
            }
        }
        for (tank, litres) in shown {
            let runs = f64::from(season.runs_of(&played.show));
            let none = AirUse { tank: tank.clone(), show: Litre(0.0), night: Litre(0.0) };
            let use_ = tanks.entry(tank).or_insert(none);
            use_.show = use_.show.max(Litre(litres));
            use_.night += Litre(litres * runs);
        }
    }
    tanks.into_values().collect()
}

/// A cylinder's tank, and the air of one stroke out and back.
fn cycle(scene: &Scene<'_>, figure: usize, motor: &str) -> Option<(String, f64)> {
    let own = &scene.yard.figures[figure].figure;
    let motor = own.actuators.iter().position(|a| a.name == motor)?;
    let limb = own.driven_by(motor).next()?;
    let said = match &own.limbs[limb].drive.as_ref()?.mechanism {
        DriveKind::Strut(strut) => &strut.air,
        DriveKind::Cord(cord) => &cord.air,
        _ => return None,
    };
    let drive = scene.fitted[figure].limbs[limb].mechanism.as_ref()?.as_drive()?;
    let litres = drive.figures.iter().find_map(|f| match f.value {
        Measure::Air(l) => Some(l.0),
        _ => None,
    })?;
    Some((said.tank.clone()?, litres))
}
