//! Whether a tank and its pump keep up with the cylinders.
//!
//! The air in a tank is counted as standard litres: its volume times its absolute pressure
//! over that of still air, at one temperature (Boyle). Each stroke takes the air of its way
//! out and back at the moment the valve opens; the pump gives what it gives of free air
//! whenever the tank is not full. What a cylinder needs is its own pressure, behind the tank's
//! regulator: while the tank holds more, the cylinder does not notice.

use super::{Scene, codes};
use crate::finding::{Finding, Step};
use crate::loads::wind_limit::{Input, input};
use crate::mechanism::REFERENCE_AIR;
use crate::model::{Runs, Tank};
use crate::units::print::{self, decimal};
use crate::units::{Litre, Pascal, Sec};

/// One stroke, out and back.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Taken {
    /// When its valve opens, from the start of the show.
    pub at: Sec,
    /// Standard litres.
    pub litres: Litre,
    /// The cylinder: `hedgehog.spring`.
    pub name: String,
    /// The pressure it is fed with, gauge.
    pub pressure: Pascal,
}

/// A tank at its emptiest.
#[derive(Clone, Debug, PartialEq)]
pub struct Level {
    /// Its pressure then, gauge.
    pub least: Pascal,
    /// When, from the start of the run.
    pub at: Sec,
    /// In which run of the night, the first being 1.
    pub run: u32,
    /// In which show.
    pub show: String,
    /// How long its pump takes to fill it again, where it has one.
    pub refill: Option<Sec>,
    /// What that follows from.
    pub inputs: Vec<Input>,
}

/// The runs of a show in a night that are most.
fn runs<'a>(scene: &Scene<'a>, show: &str) -> Option<&'a Runs> {
    let all = scene.yard.seasons.iter().flat_map(|s| &s.runs);
    all.filter(|r| r.show.value == show).max_by_key(|r| r.count)
}

/// What a night leaves in a tank.
struct Night {
    /// The least, and where.
    level: Level,
    /// The first stroke whose cylinder has less than its pressure, its run, and what is left.
    short: Option<(usize, u32, Pascal)>,
}

/// A night of a show, from a full tank: so many runs, so far apart.
fn night(tank: &Tank, taken: &[Taken], show: (&str, Sec), count: u32, every: Sec) -> Night {
    let full = content(tank.volume, tank.full);
    let pump = tank.pump.map_or(0.0, |p| p.0 / 60.0);
    let (mut now, mut held) = (0.0, full);
    let mut least = (full, Sec(0.0), 1);
    let mut short = None;
    for run in 0..count {
        let start = f64::from(run) * every.0;
        for (n, stroke) in taken.iter().enumerate() {
            let at = start + stroke.at.0;
            held = (held + pump * (at - now).max(0.0)).min(full) - stroke.litres.0;
            now = at;
            if held < least.0 {
                least = (held, stroke.at, run + 1);
            }
            let left = pressure(tank.volume, held);
            if short.is_none() && left < stroke.pressure {
                short = Some((n, run + 1, left));
            }
        }
    }
    let refill = (pump > 0.0).then(|| Sec((full - least.0) / pump));
    let level = Level {
        least: pressure(tank.volume, least.0),
        at: least.1,
        run: least.2,
        show: show.0.to_owned(),
        refill,
        inputs: inputs(tank, count, every),
    };
    Night { level, short }
}

fn inputs(tank: &Tank, count: u32, every: Sec) -> Vec<Input> {
    let pump = tank.pump.map(|p| input("pump", p.0, "l/min").given());
    let apart = (count > 1).then(|| input("from_run_to_run", every.0, "s"));
    [
        Some(input("volume", tank.volume.0, "l").given()),
        Some(input("filled_to", tank.full.0 * 1e-3, "kPa").given()),
        pump,
        Some(input("runs", f64::from(count), "1")),
        apart,
        Some(input("pressure_of_the_air", REFERENCE_AIR.0 * 1e-3, "kPa").fixed()),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// Standard litres in a tank at a gauge pressure.
fn content(volume: Litre, gauge: Pascal) -> f64 {
    volume.0 * (gauge + REFERENCE_AIR).0 / REFERENCE_AIR.0
}

/// The gauge pressure of a tank that holds so many standard litres; of one asked for more
/// than it holds, none.
fn pressure(volume: Litre, held: f64) -> Pascal {
    Pascal((held * REFERENCE_AIR.0 / volume.0 - REFERENCE_AIR.0).max(0.0))
}

/// Plays a show's strokes, in order of time, and tells where the tank falls below what a
/// cylinder is fed with.
pub(super) fn level(
    scene: &Scene<'_>,
    tank: &Tank,
    show: (&str, Sec),
    taken: &[Taken],
) -> (Level, Option<Finding>) {
    let runs = runs(scene, show.0);
    let count = runs.map_or(1, |r| r.count.max(1));
    let every = runs.and_then(|r| r.every).unwrap_or(show.1).max(show.1);
    let night_of = |tank: &Tank| night(tank, taken, show, count, every);
    let Night { level, short } = night_of(tank);
    let found = short.map(|(stroke, run, left)| {
        let system = scene.yard.system;
        let stroke = &taken[stroke];
        let nth = if run > 1 { format!("run {run} of ") } else { String::new() };
        let message = format!(
            "the tank {} falls to {} at {} s of {nth}{}, and {} is fed with {}.",
            tank.name.value,
            print::air(left.0 * 1e-3, system),
            decimal(stroke.at.0, 1),
            show.0,
            stroke.name,
            print::air(stroke.pressure.0 * 1e-3, system)
        );
        let lasts = |tank: &Tank| night_of(tank).short.is_none();
        let mut found = Finding::new(&codes::TANK_EMPTIES, tank.name.place, message);
        found.help = Some(ways(tank, stroke.pressure, lasts));
        found.worked = worked(tank, taken, stroke, run, left);
        found
    });
    (level, found)
}

/// What would last: a larger tank, a pump. Each was tried.
fn ways(tank: &Tank, asked: Pascal, lasts: impl Fn(&Tank) -> bool) -> String {
    let mut ways = Vec::new();
    if tank.full > asked {
        let larger = |litres: f64| Tank { volume: Litre(litres), ..tank.clone() };
        if let Some(litres) = least(tank.volume.0, |l| lasts(&larger(l))) {
            ways.push(format!("take a tank of {} l", decimal(litres, 0)));
        }
    }
    let pumped = |flow: f64| Tank { pump: Some(crate::units::LitrePerMin(flow)), ..tank.clone() };
    if let Some(flow) = least(tank.pump.map_or(0.0, |p| p.0), |f| lasts(&pumped(f))) {
        ways.push(format!("a pump that gives {} l/min (`pump {0} l/min`)", decimal(flow, 0)));
    }
    if ways.is_empty() {
        return "let its cylinders strike less often, or feed them with less pressure.".to_owned();
    }
    format!("{}, or let its cylinders strike less often.", ways.join(", or "))
}

/// The least whole number above one that does, found by halving; `None` where a thousand does
/// not.
fn least(from: f64, does: impl Fn(f64) -> bool) -> Option<f64> {
    let mut high = 1000.0_f64.max(libm::ceil(from) * 2.0);
    if !does(high) {
        return None;
    }
    let mut low = libm::floor(from);
    while high - low > 1.5 {
        let middle = libm::floor(f64::midpoint(low, high));
        if does(middle) {
            high = middle;
        } else {
            low = middle;
        }
    }
    Some(high)
}

/// The sum behind what is left where no pump runs, and how it stands with one.
fn worked(tank: &Tank, taken: &[Taken], stroke: &Taken, run: u32, left: Pascal) -> Vec<Step> {
    let still = REFERENCE_AIR.0 * 1e-3;
    let full = content(tank.volume, tank.full);
    let kpa = tank.full.0 * 1e-3;
    let show: f64 = taken.iter().map(|t| t.litres.0).sum();
    let sum = format!("{} x ({} + {still}) / {still}", decimal(tank.volume.0, 2), decimal(kpa, 1));
    let mut steps = vec![
        Step::given("volume", format!("{} l", decimal(tank.volume.0, 2))),
        Step::given("filled to", format!("{} kPa", decimal(kpa, 1))),
        Step::new("air in it, full", sum, format!("{} standard l", decimal(full, 2))),
        Step::new("a run takes", format!("{} strokes", taken.len()), {
            format!("{} standard l", decimal(show, 3))
        }),
    ];
    if let Some(pump) = tank.pump {
        steps.push(Step::given("its pump gives", format!("{} l/min", decimal(pump.0, 2))));
    }
    let when = format!("{} s after the start of run {run}", decimal(stroke.at.0, 1));
    steps.push(Step::given("its valve opens", when));
    let sum = "what it held, with what the pump gave since, less each stroke until then";
    steps.push(Step::new("left", sum, format!("{} kPa", decimal(left.0 * 1e-3, 1))));
    let asked = format!("{} kPa", decimal(stroke.pressure.0 * 1e-3, 1));
    steps.push(Step::given(format!("{} is fed with", stroke.name), asked));
    steps
}
