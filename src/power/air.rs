//! What a show takes from each air tank, and whether that lasts.

use std::collections::BTreeMap;

use super::nights::Kind;
use super::tank::{self, Level, Taken};
use super::{Scene, Season, inputs};
use crate::finding::{Finding, closest};
use crate::fit::{Measure, USUAL_PRESSURE};
use crate::loads::wind_limit::Input;
use crate::mechanism::Path;
use crate::model::{DriveKind, Note};
use crate::units::{Litre, Mm, Pascal, System};

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
    let mut tanks = BTreeMap::<String, (Vec<Strokes>, Vec<Taken>)>::new();
    for played in scene.performances {
        for part in &played.figures {
            let Some(figure) = scene.figure(&part.figure) else { continue };
            for channel in &part.channels {
                let Some(Cycle { tank, pressure, each, inputs }) =
                    cycle(scene, figure, &channel.name)
                else {
                    continue;
                };
                let name = format!("{}.{}", part.figure, channel.name);
                let (strokes, taken) = tanks.entry(tank).or_default();
                let before = taken.len();
                let opened = channel.keys.windows(2).filter(|k| k[1].value > k[0].value);
                taken.extend(opened.map(|k| Taken {
                    show: played.show.clone(),
                    figure,
                    at: k[1].at,
                    litres: each,
                    name: name.clone(),
                    pressure,
                }));
                strokes.push(Strokes {
                    name,
                    show: played.show.clone(),
                    count: taken.len() - before,
                    runs: 0,
                    each,
                    inputs,
                });
            }
        }
    }
    let one = |(name, (strokes, taken)): (String, (Vec<Strokes>, Vec<Taken>))| {
        let of_show = |show: &str| -> f64 {
            taken.iter().filter(|t| t.show == show).map(|t| t.litres.0).sum()
        };
        let of_night = |night: &Kind| -> f64 {
            taken.iter().map(|t| t.litres.0 * f64::from(night.played_by(t.figure, &t.show))).sum()
        };
        let worst = season.worst(of_night);
        let runs = |s: &Strokes| {
            let of = taken.iter().find(|t| t.name == s.name && t.show == s.show);
            worst.zip(of).map_or(0, |(night, t)| night.played_by(t.figure, &t.show))
        };
        let strokes = strokes.into_iter().map(|s| Strokes { runs: runs(&s), ..s }).collect();
        let shows = scene.performances.iter().map(|p| of_show(&p.show));
        let mut air = AirUse {
            show: Litre(shows.fold(0.0, f64::max)),
            night: Litre(worst.map_or(0.0, of_night)),
            strokes,
            level: None,
            not_checked: Vec::new(),
            tank: name,
        };
        match scene.yard.tanks.iter().find(|t| t.name.value == air.tank) {
            Some(tank) => {
                let (level, found) = tank::level(scene, tank, season, &taken);
                findings.extend(found);
                air.level = level;
            }
            None => air.not_checked.push(unknown(scene, &air.tank)),
        }
        air
    };
    tanks.into_iter().map(one).collect()
}

/// A tank of which nobody says how large it is, or whose name is a slip.
fn unknown(scene: &Scene<'_>, name: &str) -> Note {
    let described = scene.yard.tanks.iter().map(|t| t.name.value.as_str());
    let what = "whether it lasts the show";
    match closest(name, described) {
        Some(near) => {
            let what = format!("{what} (the yard has no tank {name}; did you mean {near}?)");
            Note::new(what, format!("air {near} at 400 kPa"))
        }
        None => {
            let size = match scene.yard.system {
                System::Inch => "6 gal full 115 psi pump 1 cfm",
                System::Metric | System::Both => "24 l full 800 kPa pump 30 l/min",
            };
            let what = format!("{what} (how much it holds is not said)");
            Note::new(what, format!("tank {name} {size}"))
        }
    }
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
