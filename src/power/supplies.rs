//! What each supply gives: its peak, and what a night takes.

use std::collections::BTreeMap;

use super::draw::{self, Draw, Draws, voltage};
use super::inputs::{self, grade_of};
use super::nights::Kind;
use super::sweep::{Stretch, Top, top};
use super::{Scene, Season, amps, codes};
use crate::finding::{Finding, Severity, Step, list_of};
use crate::loads::Feed;
use crate::loads::wind_limit::Input;
use crate::model::{Note, Supply};
use crate::units::print::{self, decimal};
use crate::units::{Amp, AmpHour, Mm, Sec, System, Volt};

/// A battery is used to half its charge (common practice for lead, no source).
const BATTERY: f64 = 0.5;
/// A start that waits this much is out of the way of the last.
const APART: f64 = 0.2;

/// What a supply gives.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SupplyLoad {
    /// Its name.
    pub name: String,
    /// The highest current any show asks of it; `None` where nothing that was counted
    /// hangs on it.
    pub peak: Option<Peak>,
    /// What it gives in a night of the season, Wh.
    pub night: Option<f64>,
    /// Charge a night takes.
    pub charge: Option<AmpHour>,
    /// What was assumed.
    pub assumed: Vec<Note>,
    /// What could not be counted.
    pub not_counted: Vec<Note>,
    /// What hangs on it and draws current in some show, by name.
    pub drawers: Vec<Drawer>,
    /// Whether it makes another voltage or sort of current of that of the supply it hangs on.
    pub converts: bool,
}

/// A motor or lamp that draws from a supply.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Drawer {
    /// Its name: `bear.drum`.
    pub name: String,
    /// The supply it hangs on, where this one feeds that.
    pub through: Option<String>,
    /// Current while it runs, at this supply's voltage.
    pub running: Amp,
    /// Mean of that, for the energy.
    pub mean: Amp,
    /// Current at its start.
    pub start: Amp,
    /// How long it draws in a night, h.
    pub night: f64,
    /// What the currents follow from.
    pub inputs: Vec<Input>,
}

/// The highest current.
#[derive(Clone, Debug, PartialEq)]
pub struct Peak {
    /// How much.
    pub amps: Amp,
    /// Highest without what starts take on top.
    pub running: Amp,
    /// The show.
    pub show: String,
    /// When it first is.
    pub at: Sec,
    /// What draws then, most first.
    pub of: Vec<String>,
    /// How much each of them draws.
    pub shares: Vec<Amp>,
    /// How long it is above the supply's limit, in all.
    pub over: Sec,
}

/// Adds up every supply.
pub(super) fn add_up(
    scene: &Scene<'_>,
    draws: &Draws,
    season: &Season,
    findings: &mut Vec<Finding>,
) -> Vec<SupplyLoad> {
    let one = |(index, supply): (usize, &Supply)| {
        let own: Vec<&Draw> = draws.all.iter().filter(|d| d.supply == index).collect();
        let of = |notes: &[(usize, Note)]| {
            notes.iter().filter(|(s, _)| *s == index).map(|(_, n)| n.clone()).collect()
        };
        let peak = peak(scene, supply, &own);
        if let Some(peak) = &peak {
            findings.extend(overloaded(scene, supply, peak, &own));
        }
        let volts = voltage(scene, index);
        let worst = season.worst(|k| charge_of(scene, k, &own));
        let charge = worst.filter(|_| !own.is_empty()).map(|k| AmpHour(charge_of(scene, k, &own)));
        let mut not_counted: Vec<Note> = of(&draws.not_counted);
        // One that passes another's current on gives what that one does.
        let converts = draw::converts(scene, index);
        let source = supply.from.is_none() || converts;
        if let (Some(peak), None, true) = (&peak, supply.limit, source) {
            let amps = amps(peak.amps);
            not_counted.push(Note::new(
                format!("whether it gives {amps} A (its `limit` is not written)"),
                format!("supply {} … {{ limit {} A }}", supply.name.value, {
                    decimal(peak.amps.0.ceil(), 0)
                }),
            ));
        }
        let mut assumed = of(&draws.assumed);
        assumed.extend(straight(scene, &supply.name.value));
        let load = SupplyLoad {
            name: supply.name.value.clone(),
            drawers: drawers(scene, worst, draws, &own),
            peak,
            night: charge.and_then(|c| Some(c.0 * volts?.0)),
            charge,
            assumed,
            not_counted,
            converts,
        };
        findings.extend(battery(supply, &load, volts));
        load
    };
    scene.yard.supplies.iter().enumerate().map(one).collect()
}

/// Cables of figures, and of motors with a supply of their own, that nobody measured.
fn straight(scene: &Scene<'_>, supply: &str) -> Option<Note> {
    let guessed = |f: &Feed| if f.supply == supply && !f.measured { f.run } else { None };
    let mut cables: Vec<(String, Mm)> = Vec::new();
    // The longest whose length can be written at a figure: that of its own supply.
    let mut settles: Option<Mm> = None;
    for (loaded, placed) in scene.loads.iter().zip(&scene.yard.figures) {
        let (site, name) = (&loaded.site, &placed.name.value);
        if let Some(run) = site.feed.as_ref().and_then(guessed) {
            cables.push((name.clone(), run));
            settles = Some(settles.map_or(run, |s| s.max(run)));
        }
        // A motor that names the supply of its figure hangs on the same cable.
        let elsewhere = site.feed.as_ref().is_none_or(|f| f.supply != supply);
        for (motor, feed) in site.own.iter().filter(|_| elsewhere) {
            let motor = &placed.figure.actuators[*motor].name;
            cables.extend(guessed(feed).map(|run| (format!("{name}.{motor}"), run)));
        }
    }
    let longest = cables.iter().map(|(_, run)| *run).reduce(Mm::max)?;
    let names = cables.iter().map(|(name, _)| name.as_str());
    let chain = crate::loads::site::chain(scene.yard, supply);
    let led = chain.iter().take_while(|s| s.at.is_none()).any(|s| s.run.is_some());
    let system = scene.yard.system;
    let what = format!(
        "cable to {} as long as the straight line and a fifth{}, up to {}",
        list_of(names, "and", 4),
        if led { ", less what leads to it" } else { "" },
        print::cable_run(longest, system, 1)
    );
    let settle = settles.map(|run| match system {
        System::Inch => format!("{} ft", decimal((run.0 / 304.8).ceil(), 0)),
        System::Metric | System::Both => format!("{} m", decimal((run.0 * 1e-3).ceil(), 0)),
    });
    let settle = settle.map_or(String::new(), |run| format!("power {supply} run {run}"));
    Some(Note::new(what, settle))
}

/// What hangs on a supply, by name.
fn drawers(scene: &Scene<'_>, night: Option<&Kind>, draws: &Draws, own: &[&Draw]) -> Vec<Drawer> {
    let mut all: BTreeMap<&str, (Drawer, &Draw)> = BTreeMap::new();
    // What one motor draws in a show stands in one piece.
    for run in own.chunk_by(|a, b| a.show == b.show && a.name == b.name) {
        let first = run[0];
        let (drawer, _) = all.entry(&first.name).or_insert_with(|| (Drawer::default(), first));
        let show = &scene.performances[first.show].show;
        let runs = f64::from(night.map_or(0, |k| k.played_by(first.figure, show)));
        for draw in run {
            if draw.start {
                drawer.start = drawer.start.max(draw.amps);
                continue;
            }
            drawer.running = drawer.running.max(draw.amps);
            drawer.mean = drawer.mean.max(draw.mean);
            drawer.night += (draw.to - draw.from).0 / 3600.0 * runs;
        }
    }
    let whole = |(name, (drawer, draw)): (&str, (Drawer, &Draw))| {
        let own = draws.inputs.get(name).cloned().unwrap_or_default();
        let behind = |child: usize| {
            let volts = (voltage(scene, child), voltage(scene, draw.supply));
            let amps = drawer.running / draw::ratio(scene, child);
            inputs::passed_on(amps, grade_of(&own), volts, draw::converts(scene, child))
        };
        Drawer {
            name: name.to_owned(),
            through: draw.through.map(|s| scene.yard.supplies[s].name.value.clone()),
            start: drawer.running + drawer.start,
            inputs: draw.through.map_or_else(|| own.clone(), behind),
            ..drawer
        }
    };
    all.into_iter().map(whole).collect()
}

fn stretch(draw: &Draw) -> Stretch {
    Stretch { from: draw.from, to: draw.to, amps: draw.amps }
}

fn peak(scene: &Scene<'_>, supply: &Supply, own: &[&Draw]) -> Option<Peak> {
    let in_show = |show: usize, starts: bool| -> Option<Top> {
        let all = own.iter().filter(|d| d.show == show && (starts || !d.start));
        top(all.map(|d| stretch(d)), supply.limit)
    };
    let shows = (0..scene.performances.len()).filter_map(|s| Some((s, in_show(s, true)?)));
    let (show, top) = shows.reduce(|a, b| if b.1.amps > a.1.amps { b } else { a })?;
    let running = in_show(show, false).map_or(Amp(0.0), |t| t.amps);
    let (of, shares) = at_once(own, show, top.at, |_| true)
        .into_iter()
        .map(|(name, amps)| (name, Amp(amps)))
        .unzip();
    Some(Peak {
        amps: top.amps,
        running,
        show: scene.performances[show].show.clone(),
        at: top.at,
        of,
        shares,
        over: top.over,
    })
}

/// Names with their currents at a moment, most first.
fn at_once(
    own: &[&Draw],
    show: usize,
    at: Sec,
    wanted: impl Fn(&Draw) -> bool,
) -> Vec<(String, f64)> {
    let now = own.iter().filter(|d| d.show == show && d.from <= at && at < d.to && wanted(d));
    let mut sums = std::collections::BTreeMap::<&str, f64>::new();
    for draw in now {
        *sums.entry(&draw.name).or_default() += draw.amps.0;
    }
    let mut all: Vec<(String, f64)> = sums.into_iter().map(|(n, a)| (n.to_owned(), a)).collect();
    all.sort_by(|a, b| b.1.total_cmp(&a.1).then_with(|| a.0.cmp(&b.0)));
    all
}

/// "0:41.2".
fn clock(t: Sec) -> String {
    let tenths = (t.0 * 10.0).round();
    let minutes = (tenths / 600.0).floor();
    format!("{minutes}:{:04.1}", (tenths - minutes * 600.0) / 10.0)
}

fn overloaded(scene: &Scene<'_>, supply: &Supply, peak: &Peak, own: &[&Draw]) -> Option<Finding> {
    let limit = supply.limit.filter(|l| peak.amps.0 > l.0 * (1.0 + 1e-9))?;
    let show = scene.performances.iter().position(|p| p.show == peak.show)?;
    let starts = at_once(own, show, peak.at, |d| d.start);
    let names: Vec<String> = peak.of.iter().take(6).cloned().collect();
    let message = format!(
        "{} gives {} A, and {} into {} it is asked for {}, above its limit for {} s in all: {}{}.",
        supply.name.value,
        amps(limit),
        clock(peak.at),
        peak.show,
        amps(peak.amps),
        decimal(peak.over.0, 1),
        list_of(names.iter().map(String::as_str), "and", 6),
        if starts.len() > 1 { " together" } else { "" },
    );
    let mut found = Finding::new(&codes::SUPPLY_OVERLOADED, supply.name.place, message);
    found.help = Some(if peak.running > limit {
        format!(
            "running alone takes {} A: take a stronger supply, feed some figures from another, or let \
             fewer of them move at a time.",
            amps(peak.running)
        )
    } else {
        found.severity = Severity::Warning;
        // What the rest leaves one that starts, at the moment of the peak.
        let first = starts.first();
        let own: f64 = own
            .iter()
            .filter(|d| d.show == show && first.is_some_and(|(n, _)| d.name == *n))
            .filter(|d| d.from <= peak.at && peak.at < d.to)
            .map(|d| d.amps.0)
            .sum();
        let left = libm::floor((limit.0 - (peak.amps.0 - own)) * 2.0) / 2.0;
        let runs = own - first.map_or(0.0, |(_, a)| *a);
        let does = first.is_some_and(|(name, _)| left >= needs(scene, name));
        let limits = match (first, left > runs && does) {
            (Some((name, _)), true) => format!(
                ", or let the driver of {name} limit its current (`limit {} A` behind the motor)",
                decimal(left, 1)
            ),
            _ => String::new(),
        };
        let later: Vec<&str> = starts.iter().skip(1).map(|(n, _)| n.as_str()).collect();
        match later.as_slice() {
            [] => format!(
                "its start alone is too much: running takes {} A. Take a supply for {} A{limits}.",
                amps(peak.running),
                decimal(peak.amps.0.ceil(), 0)
            ),
            later => format!(
                "running takes {} A; let {} start {APART} s apart (`stagger {APART} s` in the cue){limits}.",
                amps(peak.running),
                list_of(later.iter().copied(), "and", 6)
            ),
        }
    });
    Some(found)
}

/// The least current limit at which a motor still does its own work, A; nought where none is
/// known.
fn needs(scene: &Scene<'_>, name: &str) -> f64 {
    let figures = scene.yard.figures.iter().zip(scene.loads);
    let motors = figures.flat_map(|(placed, loaded)| {
        let named = placed.figure.actuators.iter();
        named.map(|a| format!("{}.{}", placed.name.value, a.name)).zip(&loaded.motors)
    });
    let brushed = motors.filter(|(n, _)| n == name).find_map(|(_, point)| point.brushed());
    brushed.map_or(0.0, |load| load.least_limit().0)
}

/// Ampere-hours that a night of this kind takes: of every run of every show.
fn charge_of(scene: &Scene<'_>, night: &Kind, own: &[&Draw]) -> f64 {
    let shows: Vec<&str> = scene.performances.iter().map(|p| p.show.as_str()).collect();
    let of = |d: &&Draw| {
        let runs = f64::from(night.played_by(d.figure, shows[d.show]));
        d.mean.0 * (d.to - d.from).0 / 3600.0 * runs
    };
    own.iter().map(of).sum()
}

/// A battery that does not last the night.
fn battery(supply: &Supply, load: &SupplyLoad, volts: Option<Volt>) -> Option<Finding> {
    let (full, needed) = (supply.battery?, load.charge?);
    if needed.0 <= full.0 * BATTERY {
        return None;
    }
    // A small battery's charge does not read as none.
    let charge = |ah: f64| decimal(ah, if ah < 1.0 { 3 } else { 1 });
    let energy = |wh: f64| decimal(wh, if wh < 10.0 { 1 } else { 0 });
    let wh = volts.map_or(String::new(), |v| format!(" ({} Wh)", energy(needed.0 * v.0)));
    let message = format!(
        "a night takes {} Ah{wh} of {}'s {}; a battery is used to half.",
        charge(needed.0),
        supply.name.value,
        charge(full.0)
    );
    let mut found = Finding::new(&codes::BATTERY_FLAT, supply.name.place, message).help(format!(
        "take one of {} Ah, or play less often.",
        decimal((needed.0 / BATTERY).ceil(), 0)
    ));
    found.worked = vec![
        Step::new("current x time over all runs of a night", "", {
            format!("{} Ah", decimal(needed.0, 4))
        }),
        Step::new("its charge", "", format!("{} Ah", decimal(full.0, 3))),
        Step::new("of it to be used", format!("{BATTERY} x {}", decimal(full.0, 3)), {
            format!("{} Ah", decimal(full.0 * BATTERY, 4))
        }),
    ];
    if let Some(v) = volts {
        let sum = format!("{} Ah x {} V", decimal(needed.0, 4), decimal(v.0, 1));
        found.worked.push(Step::new(
            "as energy",
            sum,
            format!("{} Wh", decimal(needed.0 * v.0, 2)),
        ));
    }
    if needed > full {
        found.severity = Severity::Error;
    }
    Some(found)
}
