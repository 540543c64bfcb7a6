//! Supplies, cables and air: the JSON of the report, `power.csv`, and a line each for
//! people.

use super::inputs::{self, InputReport};
use super::words::decimal;
use super::{Finite, Output};
use crate::check::Compiled;
use crate::loads::Grade;
use crate::model::{Note, Supply};
use crate::power::{AirUse, CableLoad, Drawer, Level, Strokes, SupplyLoad, amps, grade_of};
use crate::units::{System, print};

/// What goes with every fuse and conductor.
const CAUTION: &str = "figures of one country's code; local codes and licensed people decide";

/// One supply.
#[derive(Clone, Debug, serde::Serialize)]
pub struct SupplyReport<'a> {
    name: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    voltage_v: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    limit_a: Option<Finite>,
    /// Highest current of any show, starts and what converters lose counted.
    #[serde(skip_serializing_if = "Option::is_none")]
    peak_a: Option<Finite>,
    /// When it first is, after the start signal.
    #[serde(skip_serializing_if = "Option::is_none")]
    peak_at_s: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    peak_in_show: Option<&'a str>,
    /// What draws then, most first.
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    peak_of: &'a [String],
    /// How much each of them draws then, in the same order.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    peak_shares_a: Vec<Finite>,
    /// Highest without what starts take on top.
    #[serde(skip_serializing_if = "Option::is_none")]
    running_a: Option<Finite>,
    /// Time above its limit in that show.
    #[serde(skip_serializing_if = "Option::is_none")]
    over_limit_s: Option<Finite>,
    /// Of all runs of a night.
    #[serde(skip_serializing_if = "Option::is_none")]
    night_wh: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    night_ah: Option<Finite>,
    /// What a converter that feeds it passes on, where it hangs on another supply.
    #[serde(skip_serializing_if = "Option::is_none")]
    converter_share: Option<Finite>,
    /// Whether all that the numbers above follow from was given.
    #[serde(skip_serializing_if = "Option::is_none")]
    grade: Option<Grade>,
    /// What hangs on it and draws in some show.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    draws: Vec<DrawReport<'a>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    assumed: Vec<&'a str>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    not_counted: Vec<&'a str>,
}

impl<'a> SupplyReport<'a> {
    /// Of a supply with what it gives, where that is known.
    #[must_use]
    pub fn new(supply: &'a Supply, load: Option<&'a SupplyLoad>) -> Self {
        let peak = load.and_then(|l| l.peak.as_ref());
        let drawers = load.map_or(&[][..], |l| &l.drawers);
        Self {
            name: &supply.name.value,
            voltage_v: supply.voltage.and_then(|v| Finite::new(v.0)),
            limit_a: supply.limit.and_then(|a| Finite::new(a.0)),
            peak_a: peak.and_then(|p| Finite::new(p.amps.0)),
            peak_at_s: peak.and_then(|p| Finite::new(p.at.0)),
            peak_in_show: peak.map(|p| p.show.as_str()),
            peak_of: peak.map_or(&[], |p| &p.of),
            peak_shares_a: peak
                .map_or(&[][..], |p| &p.shares)
                .iter()
                .filter_map(|a| Finite::new(a.0))
                .collect(),
            running_a: peak.and_then(|p| Finite::new(p.running.0)),
            over_limit_s: peak.filter(|p| p.over.0 > 0.0).and_then(|p| Finite::new(p.over.0)),
            night_wh: load.and_then(|l| Finite::new(l.night?)),
            night_ah: load.and_then(|l| Finite::new(l.charge?.0)),
            converter_share: load
                .filter(|l| l.converts)
                .and_then(|_| Finite::new(crate::power::CONVERTED)),
            grade: drawers.iter().map(|d| grade_of(&d.inputs)).max(),
            draws: drawers.iter().filter_map(DrawReport::new).collect(),
            assumed: said(load.map_or(&[], |l| &l.assumed)),
            not_counted: said(load.map_or(&[], |l| &l.not_counted)),
        }
    }
}

/// A motor or lamp on a supply.
#[derive(Clone, Debug, serde::Serialize)]
struct DrawReport<'a> {
    of: &'a str,
    /// The supply that it hangs on, where this one feeds that.
    #[serde(skip_serializing_if = "Option::is_none")]
    through: Option<&'a str>,
    running_a: Finite,
    mean_a: Finite,
    start_a: Finite,
    /// How long it draws in a night: times the mean, what it takes.
    night_h: Finite,
    grade: Grade,
    inputs: Vec<InputReport>,
}

impl<'a> DrawReport<'a> {
    fn new(drawer: &'a Drawer) -> Option<Self> {
        Some(Self {
            of: &drawer.name,
            through: drawer.through.as_deref(),
            running_a: Finite::new(drawer.running.0)?,
            mean_a: Finite::new(drawer.mean.0)?,
            start_a: Finite::new(drawer.start.0)?,
            night_h: Finite::new(drawer.night)?,
            grade: grade_of(&drawer.inputs),
            inputs: inputs::all(&drawer.inputs),
        })
    }
}

fn said(notes: &[Note]) -> Vec<&str> {
    notes.iter().map(|n| n.what.as_str()).collect()
}

/// One figure's cable.
#[derive(Clone, Debug, serde::Serialize)]
pub struct CableReport<'a> {
    figure: &'a str,
    /// The motors alone that it feeds; none where it is the figure's.
    #[serde(skip_serializing_if = "<[_]>::is_empty")]
    motors: &'a [String],
    supply: &'a str,
    #[serde(skip_serializing_if = "Option::is_none")]
    run_m: Option<Finite>,
    /// Whether the length was said, or is the straight line and a fifth.
    run_said: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    conductor_mm2: Option<Finite>,
    /// There and back, of a chain too.
    #[serde(skip_serializing_if = "Option::is_none")]
    ohm: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    supply_v: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    running_a: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    drop_v: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    peak_a: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    drop_at_peak_v: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    fuse_a: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    fuse_advised_a: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    fuse_largest_a: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    conductor_advised_mm2: Option<Finite>,
    grade: Grade,
    inputs: Vec<InputReport>,
    who_decides: &'static str,
}

impl<'a> CableReport<'a> {
    /// Of a figure's cable.
    #[must_use]
    pub fn new(load: &'a CableLoad) -> Self {
        let counted = load.running.0 > 0.0;
        Self {
            figure: &load.figure,
            motors: &load.motors,
            supply: &load.supply,
            run_m: load.run.and_then(|r| Finite::new(r.0 * 1e-3)),
            run_said: load.measured,
            conductor_mm2: load.conductor.and_then(|c| Finite::new(c.0)),
            ohm: load.ohm.and_then(|r| Finite::new(r.0)),
            supply_v: load.volts.and_then(|v| Finite::new(v.0)),
            running_a: Finite::new(load.running.0).filter(|_| counted),
            drop_v: load.drop.filter(|_| counted).and_then(|v| Finite::new(v.0)),
            peak_a: Finite::new(load.peak.0).filter(|_| counted),
            drop_at_peak_v: load.drop_at_start.filter(|_| counted).and_then(|v| Finite::new(v.0)),
            fuse_a: load.fuse.and_then(|a| Finite::new(a.0)),
            fuse_advised_a: load.fuse_advised.and_then(|a| Finite::new(a.0)),
            fuse_largest_a: load.fuse_largest.and_then(|a| Finite::new(a.0)),
            conductor_advised_mm2: load.conductor_advised.and_then(|c| Finite::new(c.0)),
            grade: grade_of(&load.inputs),
            inputs: inputs::all(&load.inputs),
            who_decides: CAUTION,
        }
    }
}

/// Air from one tank.
#[derive(Clone, Debug, serde::Serialize)]
pub struct AirReport<'a> {
    tank: &'a str,
    /// Standard litres of the show that takes most.
    show_nl: Finite,
    #[serde(skip_serializing_if = "Option::is_none")]
    night_nl: Option<Finite>,
    grade: Grade,
    /// What each cylinder takes, show by show.
    strokes: Vec<StrokesReport<'a>>,
    /// Its tank at its emptiest.
    #[serde(skip_serializing_if = "Option::is_none")]
    level: Option<LevelReport<'a>>,
    /// What could not be held against the tank.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    not_checked: Vec<&'a str>,
}

/// A tank at its emptiest in a night, filled at its start.
#[derive(Clone, Debug, serde::Serialize)]
struct LevelReport<'a> {
    /// Gauge pressure left.
    least_kpa: Finite,
    /// In this show, at this time, in this run of the night.
    show: &'a str,
    at_s: Finite,
    run: u32,
    /// How long its pump takes to fill it again.
    #[serde(skip_serializing_if = "Option::is_none")]
    refill_s: Option<Finite>,
    inputs: Vec<InputReport>,
}

impl<'a> LevelReport<'a> {
    fn new(level: &'a Level) -> Option<Self> {
        Some(Self {
            least_kpa: Finite::new(level.least.0 * 1e-3)?,
            show: &level.show,
            at_s: Finite::new(level.at.0)?,
            run: level.run,
            refill_s: level.refill.and_then(|t| Finite::new(t.0)),
            inputs: inputs::all(&level.inputs),
        })
    }
}

/// A cylinder in one show.
#[derive(Clone, Debug, serde::Serialize)]
struct StrokesReport<'a> {
    of: &'a str,
    show: &'a str,
    /// Strokes out and back in one run.
    count: usize,
    /// Runs of the show in a night.
    runs: u32,
    /// Of one stroke out and back.
    each_nl: Finite,
    grade: Grade,
    inputs: Vec<InputReport>,
}

impl<'a> StrokesReport<'a> {
    fn new(strokes: &'a Strokes) -> Option<Self> {
        Some(Self {
            of: &strokes.name,
            show: &strokes.show,
            count: strokes.count,
            runs: strokes.runs,
            each_nl: Finite::new(strokes.each.0)?,
            grade: grade_of(&strokes.inputs),
            inputs: inputs::all(&strokes.inputs),
        })
    }
}

impl<'a> AirReport<'a> {
    /// Of a tank.
    #[must_use]
    pub fn new(air: &'a AirUse) -> Option<Self> {
        Some(Self {
            tank: &air.tank,
            show_nl: Finite::new(air.show.0)?,
            night_nl: Finite::new(air.night.0).filter(|n| n.get() > 0.0),
            grade: air.strokes.iter().map(|s| grade_of(&s.inputs)).max().unwrap_or(Grade::Given),
            strokes: air.strokes.iter().filter_map(StrokesReport::new).collect(),
            level: air.level.as_ref().and_then(LevelReport::new),
            not_checked: said(&air.not_checked),
        })
    }
}

/// `power.csv`: a row for each figure that is fed, and for motors with a supply of their own.
#[must_use]
pub fn outputs(compiled: &Compiled) -> Vec<Output> {
    let cables = &compiled.power.cables;
    if cables.is_empty() {
        return Vec::new();
    }
    vec![Output::new("power.csv", table(cables))]
}

/// The table by RFC 4180, rounded to what a meter shows.
fn table(cables: &[CableLoad]) -> String {
    let mut text = String::from(
        "figure,supply,run_m,run_said,conductor_mm2,ohm,supply_v,running_a,drop_v,peak_a,drop_at_peak_v,\
         fuse_a,fuse_advised_a,fuse_largest_a,conductor_advised_mm2,who_decides\r\n",
    );
    for load in cables {
        let row = CableReport::new(load);
        let number = |n: Option<Finite>, digits: usize| {
            n.map(|n| decimal(n.get(), digits)).unwrap_or_default()
        };
        let fields = [
            load.feeds(),
            row.supply.to_owned(),
            number(row.run_m, 1),
            if row.run_said { "yes" } else { "no" }.to_owned(),
            number(row.conductor_mm2, 2),
            number(row.ohm, 3),
            number(row.supply_v, 1),
            number(row.running_a, 2),
            number(row.drop_v, 2),
            number(row.peak_a, 2),
            number(row.drop_at_peak_v, 2),
            number(row.fuse_a, 1),
            number(row.fuse_advised_a, 1),
            number(row.fuse_largest_a, 1),
            number(row.conductor_advised_mm2, 2),
            row.who_decides.to_owned(),
        ];
        text.push_str(&fields.join(","));
        text.push_str("\r\n");
    }
    text
}

/// "peak 8.4 A of 30, at 31.2 s of evening".
#[must_use]
pub fn words(supply: &Supply, load: &SupplyLoad) -> Vec<String> {
    let mut parts = Vec::new();
    let Some(peak) = &load.peak else { return parts };
    let limit = supply.limit.map_or(String::new(), |l| format!(" of {}", amps(l)));
    parts.push(format!(
        "peak {} A{limit} at {} s of {}",
        amps(peak.amps),
        decimal(peak.at.0, 1),
        peak.show
    ));
    parts.push(format!("running {} A", amps(peak.running)));
    if let Some(night) = load.night {
        parts.push(format!("a night {} Wh", decimal(night, 1)));
    }
    parts
}

/// "5.6 l of air a show, 28 a night", "down to 520 kPa of 800", "full again in 4 min".
#[must_use]
pub fn air_words(air: &AirUse, system: System) -> Vec<String> {
    let night = if air.night.0 > 0.0 {
        format!(", {} a night", decimal(air.night.0, 1))
    } else {
        String::new()
    };
    let mut words =
        vec![format!("{} standard litres of air a show{night}", decimal(air.show.0, 1))];
    if let Some(level) = &air.level {
        let run = if level.run > 1 { format!("run {} of ", level.run) } else { String::new() };
        words.push(format!(
            "its tank goes down to {} at {} s of {run}{}",
            print::air(level.least.0 * 1e-3, system),
            decimal(level.at.0, 1),
            level.show
        ));
        words.extend(level.refill.map(|t| format!("full again in {}", print::span(t))));
    }
    words
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Amp, Mm, Mm2, Ohm, Volt};

    #[test]
    fn a_row_holds_what_a_meter_shows() {
        let load = CableLoad {
            figure: "bear".to_owned(),
            motors: Vec::new(),
            supply: "shed".to_owned(),
            run: Some(Mm(13_000.0)),
            measured: true,
            conductor: Some(Mm2(2.5)),
            ohm: Some(Ohm(0.179_296)),
            volts: Some(Volt(12.0)),
            running: Amp(1.263),
            peak: Amp(4.0),
            shared: Volt(0.0),
            drop: Some(Volt(0.226)),
            drop_at_start: Some(Volt(0.717)),
            fuse: None,
            fuse_advised: Some(Amp(2.0)),
            fuse_largest: Some(Amp(15.0)),
            conductor_advised: Some(Mm2(0.5)),
            inputs: Vec::new(),
        };
        let text = table(&[load]);
        let row = text.lines().nth(1).unwrap();
        assert!(
            row.starts_with("bear,shed,13,yes,2.5,0.179,12,1.26,0.23,4,0.72,,2,15,0.5,"),
            "{row}"
        );
        assert_eq!(text.lines().next().unwrap().split(',').count(), 16);
    }
}
