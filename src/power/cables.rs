//! What each figure's cable costs, and the fuse before it.

use super::draw::{Draw, Draws};
use super::feeders::{self, Feeder};
use super::inputs::{self, grade_of};
use super::sweep::{Stretch, top};
use super::{Scene, amps, codes};
use crate::finding::{Finding, Place, Severity, Step, list_of};
use crate::loads::site::Site;
use crate::loads::wind_limit::Input;
use crate::loads::{Feed, Grade, cable};
use crate::units::print::{self, decimal};
use crate::units::{Amp, Mm, Mm2, Ohm, Volt};

/// A drop above this share of the voltage is too much for what is not vital (10 %:
/// marine and vehicle practice at 12 V).
pub(super) const DROP: f64 = 0.1;
/// A fuse carries this much more than what runs through it for hours (NEC 210.20(A), and
/// common fuse practice).
pub const FUSED: f64 = 1.25;
/// What is left where no conductor does.
pub(super) const NEARER: &str =
    "bring the supply nearer, or feed it with a higher voltage and convert there.";

/// What a figure's cable carries and costs.
#[derive(Clone, Debug, PartialEq)]
pub struct CableLoad {
    /// The figure.
    pub figure: String,
    /// The motors alone that it feeds, where they have a supply of their own; none where it
    /// is the figure's.
    pub motors: Vec<String>,
    /// The supply.
    pub supply: String,
    /// Length, one way.
    pub run: Option<Mm>,
    /// Whether that length was said.
    pub measured: bool,
    /// One conductor.
    pub conductor: Option<Mm2>,
    /// Resistance there and back, of a chain too.
    pub ohm: Option<Ohm>,
    /// Voltage at the supply.
    pub volts: Option<Volt>,
    /// Highest current while running; nought where nothing was counted.
    pub running: Amp,
    /// Highest with what starts take on top.
    pub peak: Amp,
    /// Volts that others cost it on the feeders that it shares with them.
    pub shared: Volt,
    /// Volts lost at the running current.
    pub drop: Option<Volt>,
    /// Volts lost at the peak.
    pub drop_at_start: Option<Volt>,
    /// Fuse as said.
    pub fuse: Option<Amp>,
    /// The smallest stock fuse that carries 1.25 times the running current.
    pub fuse_advised: Option<Amp>,
    /// The largest fuse the conductor allows.
    pub fuse_largest: Option<Amp>,
    /// The thinnest stock conductor that keeps the running drop below 10 %.
    pub conductor_advised: Option<Mm2>,
    /// What all that follows from.
    pub inputs: Vec<Input>,
}

impl CableLoad {
    /// What it feeds: `bear`, or `bear.drum` where it is a motor's own.
    #[must_use]
    pub fn feeds(&self) -> String {
        if self.motors.is_empty() {
            return self.figure.clone();
        }
        let named: Vec<String> =
            self.motors.iter().map(|m| format!("{}.{m}", self.figure)).collect();
        list_of(named.iter().map(String::as_str), "and", 6)
    }
}

/// A cable to a figure, or to motors of it that have a supply of their own.
struct Run<'a> {
    figure: usize,
    feed: &'a Feed,
    motors: Vec<usize>,
}

/// The cables to a figure: its own first, then one from each other supply that its motors
/// name. What names the figure's supply once more hangs on the figure's cable.
fn runs(figure: usize, site: &Site) -> Vec<Run<'_>> {
    let mut all: Vec<Run<'_>> =
        site.feed.iter().map(|feed| Run { figure, feed, motors: Vec::new() }).collect();
    for (motor, feed) in &site.own {
        match all.iter_mut().find(|r| r.feed.supply == feed.supply) {
            Some(run) if run.motors.is_empty() => {}
            Some(run) => run.motors.push(*motor),
            None => all.push(Run { figure, feed, motors: vec![*motor] }),
        }
    }
    all
}

/// Every figure's cables.
pub(super) fn all(scene: &Scene<'_>, draws: &Draws, findings: &mut Vec<Finding>) -> Vec<CableLoad> {
    let mut all = Vec::new();
    let mut own: Vec<Vec<&Draw>> = vec![Vec::new(); scene.loads.len()];
    for draw in draws.all.iter().filter(|d| d.through.is_none()) {
        own[draw.figure].push(draw);
    }
    let feeders = feeders::all(scene, draws);
    for (figure, loaded) in scene.loads.iter().enumerate() {
        for run in runs(figure, &loaded.site) {
            let load = one(scene, (draws, &own[figure]), &run, &feeders);
            findings.extend(dropped(scene, &run, &load, &feeders));
            findings.extend(fuse_too_large(scene, &run, &load));
            findings.extend(fuse_too_small(scene, &run, &load));
            all.push(load);
        }
    }
    findings.extend(feeders.iter().filter_map(|f| f.dropped(scene, &feeders)));
    findings.extend(feeders.iter().filter_map(|f| f.judged(scene)));
    findings.extend(unprotected(scene));
    all
}

fn one(
    scene: &Scene<'_>,
    (draws, own): (&Draws, &[&Draw]),
    run: &Run<'_>,
    feeders: &[Feeder],
) -> CableLoad {
    let feed = run.feed;
    let figure = &scene.yard.figures[run.figure];
    let highest = |starts: bool| {
        let shows = 0..scene.performances.len();
        let in_show = |show: usize| {
            let own = own.iter().filter(|d| {
                d.show == show && scene.yard.supplies[d.supply].name.value == feed.supply
            });
            let own = own.filter(|d| starts || !d.start);
            top(own.map(|d| Stretch { from: d.from, to: d.to, amps: d.amps }), None)
        };
        shows.filter_map(in_show).map(|t| t.amps).fold(Amp(0.0), Amp::max)
    };
    let (running, peak) = (highest(false), highest(true));
    let ohm = feed.ohm();
    // What others take of the same feeders costs volts here too.
    let shared = feeders::shared(scene, &feed.supply, running, feeders);
    let lost = |amps: Amp| ohm.map(|r| Volt(r.0 * amps.0) + shared);
    let wanted = feed.voltage.map(|v| v.0 * DROP - feed.upstream.0 * running.0 - shared.0);
    let mine = own.iter().filter(|d| scene.yard.supplies[d.supply].name.value == feed.supply);
    let mut names: Vec<&str> = mine.map(|d| d.name.as_str()).collect();
    names.dedup();
    let known = names.iter().filter_map(|n| draws.inputs.get(*n)).map(|i| grade_of(i));
    let known = known.max().unwrap_or(Grade::Given);
    let load = CableLoad {
        figure: figure.name.value.clone(),
        motors: run.motors.iter().map(|m| figure.figure.actuators[*m].name.clone()).collect(),
        supply: feed.supply.clone(),
        run: feed.run,
        measured: feed.measured,
        conductor: feed.conductor,
        ohm,
        volts: feed.voltage,
        running,
        peak,
        shared,
        drop: lost(running),
        drop_at_start: lost(peak),
        fuse: feed.fuse,
        fuse_advised: (running.0 > 0.0).then(|| cable::fuse_for(running)).flatten(),
        fuse_largest: feed.conductor.and_then(cable::largest_fuse),
        conductor_advised: feed
            .run
            .zip(wanted)
            .filter(|(_, w)| *w > 0.0 && running.0 > 0.0)
            .and_then(|(run, wanted)| {
                cable::conductor_for(run, running, wanted, scene.yard.system)
            }),
        inputs: Vec::new(),
    };
    CableLoad { inputs: inputs::of_cable(&load, feed, known), ..load }
}

/// Where the `power` of a cable stands.
fn place(scene: &Scene<'_>, run: &Run<'_>) -> Option<Place> {
    let figure = &scene.yard.figures[run.figure].figure;
    match run.motors.first() {
        Some(motor) => figure.actuators[*motor].supply.as_ref().map(|s| s.place),
        None => figure.feed.as_ref().map(|f| f.supply.place),
    }
}

/// The limb that a cable is about, where it is a motor's own.
fn limb<'a>(scene: &Scene<'a>, run: &Run<'_>) -> Option<&'a str> {
    let figure = &scene.yard.figures[run.figure].figure;
    let limb = figure.driven_by(*run.motors.first()?).next()?;
    Some(&figure.limbs[limb].name.value)
}

/// What a cable loses at a current, there and back.
pub(super) fn lost(amps: Amp, run: Mm, conductor: Mm2) -> Step {
    let drop = cable::resistance(run, conductor).0 * amps.0;
    let sum = format!(
        "{} A x 2 x {} m x {} ohm mm2/m / {} mm2",
        decimal(amps.0, 3),
        decimal(run.0 * 1e-3, 2),
        cable::COPPER,
        decimal(conductor.0, 2)
    );
    Step::new("lost on the way, there and back", sum, format!("{} V", decimal(drop, 2)))
}

/// What is lost held against what is let pass.
pub(super) fn judged_by(drop: Volt, volts: Volt) -> [Step; 2] {
    let share = format!("{} %", decimal(drop / volts * 100.0, 1));
    let sum = format!("{}/{} x 100", decimal(drop.0, 2), decimal(volts.0, 1));
    [
        Step::new("share of the supply's", sum, share),
        Step::given("let pass", format!("{} %", decimal(DROP * 100.0, 0))),
    ]
}

/// What a figure loses on the way, sum by sum; none where length or conductor is open.
pub(crate) fn steps(load: &CableLoad) -> Option<Vec<Step>> {
    let (drop, volts, run, conductor) = (load.drop?, load.volts?, load.run?, load.conductor?);
    let own = cable::resistance(run, conductor).0 * load.running.0;
    let feeders = drop.0 - own;
    let mut steps = vec![lost(load.running, run, conductor)];
    if feeders > 1e-9 {
        let what = format!("lost on the feeder to {}, by all that runs on it", load.supply);
        steps.push(Step::new(what, "", format!("{} V", decimal(feeders, 2))));
        let sum = format!("{} + {}", decimal(own, 2), decimal(feeders, 2));
        steps.push(Step::new("together", sum, format!("{} V", decimal(drop.0, 2))));
    }
    steps.extend(judged_by(drop, volts));
    Some(steps)
}

fn dropped(
    scene: &Scene<'_>,
    of: &Run<'_>,
    load: &CableLoad,
    feeders: &[Feeder],
) -> Option<Finding> {
    let (drop, volts) = (load.drop?, load.volts?);
    if drop.0 <= DROP * volts.0 {
        return None;
    }
    let (run, conductor, system) = (load.run?, load.conductor?, scene.yard.system);
    let own = cable::resistance(run, conductor).0 * load.running.0;
    let before = drop.0 - own;
    let message = format!(
        "{} takes up to {} A through {} of {}: {} of {} V are lost on the way, {} %{}.",
        load.feeds(),
        amps(load.running),
        print::cable_run(run, system, 1),
        print::conductor(conductor, system),
        decimal(drop.0, 1),
        decimal(volts.0, 1),
        decimal(drop / volts * 100.0, 0),
        match before > 0.05 {
            true => format!(
                ", {} V of them on the feeder to {}{}",
                decimal(before, 1),
                load.supply,
                if load.shared.0 > 0.05 { ", which others load too" } else { "" }
            ),
            false => String::new(),
        }
    );
    let help = match load.conductor_advised {
        Some(thicker) => format!("{} keeps it below 10 %.", print::conductor(thicker, system)),
        None => feeders::thicker(scene, &load.supply, DROP * volts.0 - own, feeders)
            .unwrap_or_else(|| NEARER.to_owned()),
    };
    Some(
        Finding::new(&codes::CABLE_DROP, place(scene, of), message)
            .help(help)
            .about(&load.figure, limb(scene, of))
            .given("at most at one moment", format!("{} A", decimal(load.running.0, 3)))
            .given("cable, one way", print::cable_run(run, system, 2))
            .given("conductor", print::conductor(conductor, system))
            .steps(steps(load)?),
    )
}

/// The caution that goes with fuses and conductors.
pub(super) const CAUTION: &str = "local codes and licensed people decide";

/// A fuse that lets through more than its cable may carry.
fn fuse_too_large(scene: &Scene<'_>, run: &Run<'_>, load: &CableLoad) -> Option<Finding> {
    let (fuse, largest) = (load.fuse?, load.fuse_largest?);
    if fuse <= largest {
        return None;
    }
    let message = format!(
        "a fuse of {} A does not protect {}'s cable of {}: it may carry {} A.",
        decimal(fuse.0, 1),
        load.feeds(),
        print::conductor(load.conductor?, scene.yard.system),
        decimal(largest.0, 1)
    );
    let fits = load.fuse_advised.filter(|a| *a <= largest).unwrap_or(largest);
    Some(
        Finding::new(&codes::CABLE_UNPROTECTED, place(scene, run), message)
            .help(format!(
                "take one of {} A (`fuse {} A`); {CAUTION}.",
                decimal(fits.0, 1),
                decimal(fits.0, 1)
            ))
            .about(&load.figure, limb(scene, run))
            .given("fuse", format!("{} A", decimal(fuse.0, 1)))
            .given("conductor", format!("{} mm2", decimal(load.conductor?.0, 2)))
            .given("largest fuse of such a one, by table", format!("{} A", decimal(largest.0, 1)))
            .given("running current", format!("{} A", decimal(load.running.0, 2)))
            .sum("least fuse", format!("{FUSED} x {}", decimal(load.running.0, 2)), {
                format!("{} A", decimal(FUSED * load.running.0, 2))
            }),
    )
}

/// A fuse that blows while everything runs as it should.
fn fuse_too_small(scene: &Scene<'_>, run: &Run<'_>, load: &CableLoad) -> Option<Finding> {
    let fuse = load.fuse?;
    let what = format!("{}'s cable", load.feeds());
    let found = blows(fuse, load.running, load.fuse_largest, &what)?;
    let found = Finding { place: place(scene, run), ..found };
    Some(found.about(&load.figure, limb(scene, run)))
}

/// A fuse held against a running current, in whose cable it stands.
pub(super) fn blows(fuse: Amp, running: Amp, largest: Option<Amp>, what: &str) -> Option<Finding> {
    if fuse.0 * (1.0 + 1e-9) >= FUSED * running.0 {
        return None;
    }
    let message = format!(
        "a fuse of {} A stands in {what}, and {} A run through it: {}.",
        decimal(fuse.0, 1),
        decimal(running.0, 1),
        match fuse < running {
            true => "it blows in the show",
            false => "for hours it wants a quarter more than that",
        }
    );
    let fits = cable::fuse_for(running).filter(|a| largest.is_none_or(|most| *a <= most));
    let help = match fits {
        Some(fits) => format!(
            "take one of {} A (`fuse {} A`); {CAUTION}.",
            decimal(fits.0, 1),
            decimal(fits.0, 1)
        ),
        None => format!("share the load out to more cables, or take a thicker one; {CAUTION}."),
    };
    let severity = if fuse < running { Severity::Error } else { Severity::Warning };
    let amp = |a: Amp| format!("{} A", decimal(a.0, 2));
    let found = Finding::new(&codes::FUSE_BLOWS, None, message).help(help).with_severity(severity);
    let wanted = Amp(FUSED * running.0);
    Some(found.given("its fuse", amp(fuse)).given("runs through it", amp(running)).sum(
        "for hours it wants",
        format!("{FUSED} x {}", amp(running)),
        amp(wanted),
    ))
}

/// Supplies that give more than their cables may carry, without a word of a fuse.
fn unprotected(scene: &Scene<'_>) -> Vec<Finding> {
    let one = |supply: &crate::model::Supply| {
        let (limit, conductor) = (supply.limit?, supply.cable?);
        let largest = cable::largest_fuse(conductor)?;
        let fused = |f: &Feed| f.supply != supply.name.value || f.fuse.is_some();
        let sites = scene.loads.iter().map(|l| &l.site);
        let mut feeds = sites.flat_map(|s| s.feed.iter().chain(s.own.iter().map(|(_, f)| f)));
        let all_fused = feeds.all(fused);
        if supply.fuse.is_some() || all_fused || limit <= largest {
            return None;
        }
        let message = format!(
            "{} gives up to {} A into cables of {}, which may carry {} A, and no fuse is named.",
            supply.name.value,
            decimal(limit.0, 1),
            print::conductor(conductor, scene.yard.system),
            decimal(largest.0, 1)
        );
        Some(
            Finding::new(&codes::CABLE_UNPROTECTED, supply.name.place, message)
                .help(format!(
                    "put a fuse of at most {} A before each cable and write `fuse {} A`; {CAUTION}.",
                    decimal(largest.0, 1),
                    decimal(largest.0, 1)
                ))
                .with_severity(Severity::Advice)
                .given("the supply gives up to", format!("{} A", decimal(limit.0, 1)))
                .given("conductor", format!("{} mm2", decimal(conductor.0, 2)))
                .given("largest fuse of such a one, by table", {
                    format!("{} A", decimal(largest.0, 1))
                }),
        )
    };
    scene.yard.supplies.iter().filter_map(one).collect()
}
