//! Whether a tank and its pump keep up with the cylinders.
//!
//! The air in a tank is counted as standard litres: its volume times its absolute pressure
//! over that of still air, at one temperature (Boyle). Each stroke takes the air of its way
//! out and back at the moment the valve opens; the pump gives what it gives of free air
//! whenever the tank is not full. What a cylinder needs is its own pressure, behind the tank's
//! regulator: while the tank holds more, the cylinder does not notice.

use std::collections::BTreeMap;

use super::nights::{Kind, Season};
use super::{Scene, codes};
use crate::finding::{Finding, Step};
use crate::loads::wind_limit::{Input, input};
use crate::mechanism::REFERENCE_AIR;
use crate::model::Tank;
use crate::units::print::{self, CUBIC_FOOT, GALLON, decimal};
use crate::units::{Litre, LitrePerMin, Pascal, Sec, System};

/// One stroke, out and back.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Taken {
    /// The show it belongs to.
    pub show: String,
    /// The figure, by index.
    pub figure: usize,
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
    /// In which run of that show on its night, the first being 1.
    pub run: u32,
    /// In which show.
    pub show: String,
    /// How long its pump takes to fill it again, where it has one.
    pub refill: Option<Sec>,
    /// What that follows from.
    pub inputs: Vec<Input>,
}

/// One stroke of a night.
#[derive(Clone, Copy)]
struct Stroke<'a> {
    /// From the first start of the night.
    at: f64,
    /// In which run of its show.
    run: u32,
    of: &'a Taken,
}

/// The strokes of a night, in order of time.
fn strokes<'a>(night: &Kind, taken: &'a [Taken]) -> Vec<Stroke<'a>> {
    let mut all = Vec::new();
    let mut runs = BTreeMap::<&str, u32>::new();
    for (show, start) in &night.runs {
        let run = runs.entry(show).or_default();
        *run += 1;
        let own = taken.iter().filter(|t| t.show == *show && !night.missing.contains(&t.figure));
        all.extend(own.map(|of| Stroke { at: start.0 + of.at.0, run: *run, of }));
    }
    all.sort_by(|a, b| a.at.total_cmp(&b.at));
    all
}

/// What a night leaves in a tank.
struct Left<'a> {
    /// The least of it, standard litres, and after which stroke.
    least: (f64, Option<Stroke<'a>>),
    /// The first stroke whose cylinder has less than its pressure, and what is left.
    short: Option<(Stroke<'a>, Pascal)>,
}

/// What these strokes leave in a tank that is full at first.
fn left<'a>(tank: &Tank, strokes: &[Stroke<'a>]) -> Left<'a> {
    let full = content(tank.volume, tank.full);
    let pump = tank.pump.map_or(0.0, |p| p.0 / 60.0);
    let (mut now, mut held) = (0.0, full);
    let (mut least, mut short) = ((full, None), None);
    for stroke in strokes {
        held = (held + pump * (stroke.at - now)).min(full) - stroke.of.litres.0;
        now = stroke.at;
        if held < least.0 {
            least = (held, Some(*stroke));
        }
        let left = pressure(tank.volume, held);
        if short.is_none() && left < stroke.of.pressure {
            short = Some((*stroke, left));
        }
    }
    Left { least, short }
}

fn inputs(tank: &Tank, strokes: &[Stroke<'_>]) -> Vec<Input> {
    let pump = tank.pump.map(|p| input("pump", p.0, "l/min").given());
    let taken: f64 = strokes.iter().map(|s| s.of.litres.0).sum();
    [
        Some(input("volume", tank.volume.0, "l").given()),
        Some(input("filled_to", tank.full.0 * 1e-3, "kPa").given()),
        pump,
        Some(input("strokes_of_the_night", strokes.len() as f64, "1")),
        Some(input("taken_in_the_night", taken, "Nl")),
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

/// Takes the strokes of every kind of night out of a full tank, of each show alone where there
/// is no season, and tells where it falls below what a cylinder is fed with.
pub(super) fn level(
    scene: &Scene<'_>,
    tank: &Tank,
    season: &Season,
    taken: &[Taken],
) -> (Option<Level>, Option<Finding>) {
    let shows = scene.performances.iter().map(|p| (p.show.clone(), Sec(0.0)));
    let alone = shows.map(|run| Kind { runs: vec![run], missing: Vec::new(), nights: 1 });
    let alone: Vec<Kind> = if season.kinds.is_empty() { alone.collect() } else { Vec::new() };
    let nights: Vec<Vec<Stroke<'_>>> =
        season.kinds.iter().chain(&alone).map(|night| strokes(night, taken)).collect();
    let mut worst: Option<(&[Stroke<'_>], Left<'_>)> = None;
    for night in &nights {
        let left = left(tank, night);
        if worst.as_ref().is_none_or(|(_, w)| left.least.0 < w.least.0) {
            worst = Some((night, left));
        }
    }
    let Some((night, Left { least: (held, Some(stroke)), short })) = worst else {
        return (None, None);
    };
    let lasts = |tank: &Tank| nights.iter().all(|night| left(tank, night).short.is_none());
    let missing = content(tank.volume, tank.full) - held;
    let level = Level {
        least: pressure(tank.volume, held),
        at: stroke.of.at,
        run: stroke.run,
        show: stroke.of.show.clone(),
        refill: tank.pump.map(|p| Sec(missing / (p.0 / 60.0))),
        inputs: inputs(tank, night),
    };
    let found = short.map(|(stroke, left)| {
        let system = scene.yard.system;
        let nth = if stroke.run > 1 { format!("run {} of ", stroke.run) } else { String::new() };
        let [held, asked] = [left, stroke.of.pressure].map(|p| print::air(p.0 * 1e-3, system));
        // What is short by a hair does not read as enough.
        let held = if held == asked { format!("just under {held}") } else { held };
        let message = format!(
            "the tank {} falls to {held} at {} s of {nth}{}, and {} is fed with {asked}.",
            tank.name.value,
            decimal(stroke.of.at.0, 1),
            stroke.of.show,
            stroke.of.name
        );
        let mut found = Finding::new(&codes::TANK_EMPTIES, tank.name.place, message);
        found.help = Some(ways(tank, stroke.of.pressure, system, lasts));
        found.worked = worked(tank, night, &stroke, left);
        found
    });
    (Some(level), found)
}

/// What would last: a larger tank, a pump. Each was tried.
fn ways(tank: &Tank, asked: Pascal, system: System, lasts: impl Fn(&Tank) -> bool) -> String {
    // Whole litres; gallons and cubic feet a minute are larger, and told to a tenth.
    let [volume, flow, share] = match system {
        System::Inch => [GALLON, CUBIC_FOOT, 10.0],
        System::Metric | System::Both => [1.0, 1.0, 1.0],
    };
    let [litres, flows] = match system {
        System::Inch => ["gal", "cfm"],
        System::Metric | System::Both => ["l", "l/min"],
    };
    let mut ways = Vec::new();
    if tank.full > asked {
        let larger = |n: f64| Tank { volume: Litre(n * volume / share), ..tank.clone() };
        if let Some(n) = least(tank.volume.0 / volume * share, |n| lasts(&larger(n))) {
            ways.push(format!("take a tank of {} {litres}", decimal(n / share, 1)));
        }
    }
    let pumped = |n: f64| Tank { pump: Some(LitrePerMin(n * flow / share)), ..tank.clone() };
    let now = tank.pump.map_or(0.0, |p| p.0 / flow * share);
    if let Some(n) = least(now, |n| lasts(&pumped(n))) {
        let told = decimal(n / share, 1);
        ways.push(format!("a pump that gives {told} {flows} (`pump {told} {flows}`)"));
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
fn worked(tank: &Tank, night: &[Stroke<'_>], stroke: &Stroke<'_>, left: Pascal) -> Vec<Step> {
    let still = REFERENCE_AIR.0 * 1e-3;
    let full = content(tank.volume, tank.full);
    let kpa = tank.full.0 * 1e-3;
    let until = night.iter().filter(|s| s.at <= stroke.at);
    let (count, taken) = until.fold((0, 0.0), |(n, sum), s| (n + 1, sum + s.of.litres.0));
    let sum = format!("{} x ({} + {still}) / {still}", decimal(tank.volume.0, 2), decimal(kpa, 1));
    let mut steps = vec![
        Step::given("volume", format!("{} l", decimal(tank.volume.0, 2))),
        Step::given("filled to", format!("{} kPa", decimal(kpa, 1))),
        Step::new("air in it, full", sum, format!("{} standard l", decimal(full, 2))),
        Step::given("its valve opens", {
            format!(
                "{} s after the start of run {} of {}",
                decimal(stroke.of.at.0, 1),
                stroke.run,
                stroke.of.show
            )
        }),
        Step::new("taken by then", format!("{count} strokes"), {
            format!("{} standard l", decimal(taken, 3))
        }),
    ];
    if let Some(pump) = tank.pump {
        let pump = format!("{} l/min while it is not full", decimal(pump.0, 2));
        steps.push(Step::given("its pump gives", pump));
    }
    let held = left.0 * 1e-3;
    steps.push(Step::new("left", "", format!("{} kPa", decimal(held, 1))));
    let asked = format!("{} kPa", decimal(stroke.of.pressure.0 * 1e-3, 1));
    steps.push(Step::given(format!("{} is fed with", stroke.of.name), asked));
    steps
}
