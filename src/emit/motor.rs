//! What a motor makes of its limbs: for programs with all that is needed to work it out
//! again by hand, for people on its own row.

use super::Finite;
use super::held::{self, GivesReport, HeldReport};
use super::inputs::{self, InputReport};
use super::words::decimal;
use crate::check::Compiled;
use crate::loads::Grade;
use crate::loads::jam::Held;
use crate::loads::motor::{BrushedLoad, Locks, Work};
use crate::power::{Moved, Wear, grade_of};
use crate::units::{System, print};

/// The motor of a limb with everything on it.
#[derive(Clone, Debug, Default, serde::Serialize)]
pub struct MotorReport {
    /// Mean speed over a turn at full duty and the voltage that arrives.
    #[serde(skip_serializing_if = "Option::is_none")]
    loaded_rpm: Option<Finite>,
    /// Stall torque at that voltage over the peak of the load; of a motor in step with the
    /// mains rated torque over peak.
    #[serde(skip_serializing_if = "Option::is_none")]
    torque_margin: Option<Finite>,
    /// The same, of a slow one on a cold night at low voltage.
    #[serde(skip_serializing_if = "Option::is_none")]
    worst_rpm: Option<Finite>,
    /// Time of a turn at full duty.
    #[serde(skip_serializing_if = "Option::is_none")]
    turn_s: Option<Finite>,
    /// Peak to peak over the mean.
    #[serde(skip_serializing_if = "Option::is_none")]
    ripple_share: Option<Finite>,
    /// Slowest and fastest in the turn: what that is made of.
    #[serde(skip_serializing_if = "Option::is_none")]
    slowest_rpm: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    fastest_rpm: Option<Finite>,
    /// Duty at which it makes the speed the torque was computed at.
    #[serde(skip_serializing_if = "Option::is_none")]
    duty_share: Option<Finite>,
    /// Without load at that voltage.
    #[serde(skip_serializing_if = "Option::is_none")]
    free_rpm: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    stall_torque_nm: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    mean_current_a: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    peak_current_a: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    start_current_a: Option<Finite>,
    /// Its line: what the numbers above follow from.
    #[serde(skip_serializing_if = "Option::is_none")]
    line: Option<LineReport>,
    /// Its limb held.
    #[serde(skip_serializing_if = "Option::is_none")]
    jam: Option<JamReport>,
    /// A held limb of any other motor.
    #[serde(skip_serializing_if = "Option::is_none")]
    held: Option<HeldReport>,
    /// Whether its limb can turn it back.
    #[serde(skip_serializing_if = "Option::is_none")]
    self_locking: Option<Locks>,
    /// Servo: torque to stand still, where, share of what stops it, and speed under it.
    #[serde(skip_serializing_if = "Option::is_none")]
    hold_torque_nm: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    hold_at_deg: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    hold_share: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    speed_under_hold_rpm: Option<Finite>,
    /// Ram or cylinder: what it is asked for and what it has.
    #[serde(skip_serializing_if = "Option::is_none")]
    push_n: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pull_n: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    can_push_n: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    can_pull_n: Option<Finite>,
    /// Mean speed of a ram with its limb on it, growing longer and shorter.
    #[serde(skip_serializing_if = "Option::is_none")]
    speed_out_mm_s: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    speed_in_mm_s: Option<Finite>,
    /// What the numbers above are computed from, beside line and load.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    motor_inputs: Vec<InputReport>,
}

/// A motor's line and what feeds it.
#[derive(Clone, Debug, serde::Serialize)]
struct LineReport {
    source_v: Finite,
    cable_ohm: Finite,
    resistance_ohm: Finite,
    ke_vs: Finite,
    kt_nm_per_a: Finite,
    efficiency_share: Finite,
    free_current_a: Finite,
}

/// A held limb.
#[derive(Clone, Debug, serde::Serialize)]
struct JamReport {
    current_a: Finite,
    torque_nm: Finite,
    /// In the middle of the swing: 100 mm from the bolt, or along the guide.
    #[serde(skip_serializing_if = "Option::is_none")]
    force_n: Option<Finite>,
    /// Current at which the motor's gears give way first.
    #[serde(skip_serializing_if = "Option::is_none")]
    gears_give_way_at_a: Option<Finite>,
    /// The same place: torque on the limb, and force along its rod.
    #[serde(skip_serializing_if = "Option::is_none")]
    limb_torque_nm: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    rod_force_n: Option<Finite>,
    /// What gives, the first first, each with the motor's torque at which it does.
    gives: Vec<GivesReport>,
}

impl LineReport {
    fn of(load: &BrushedLoad) -> Option<Self> {
        Some(Self {
            source_v: Finite::new(load.feeding.volts.0)?,
            cable_ohm: Finite::new(load.feeding.ohm.0)?,
            resistance_ohm: Finite::new(load.line.resistance.0)?,
            ke_vs: Finite::new(load.line.ke)?,
            kt_nm_per_a: Finite::new(load.line.kt)?,
            efficiency_share: Finite::new(load.line.efficiency())?,
            free_current_a: Finite::new(load.line.free_current.0)?,
        })
    }
}

/// What moves a limb in the end.
fn work(compiled: &Compiled, figure: usize, limb: usize) -> Option<&Work> {
    let motor = compiled.yard.figures[figure].figure.motor_of(limb)?;
    compiled.loads[figure].motors.get(motor)?.work.as_ref()
}

impl MotorReport {
    /// Of one limb; `None` where nothing is known of its motor.
    #[must_use]
    pub fn new(compiled: &Compiled, figure: usize, limb: usize) -> Option<Self> {
        let mut report = Self::default();
        match work(compiled, figure, limb)? {
            Work::Brushed(load) => {
                report.brushed(load, speed(compiled, figure, limb));
                report.held(load, compiled.loads[figure].limbs[limb].held.as_ref());
            }
            Work::Synchronous(load) => {
                report.stall_torque_nm = Finite::new(load.rated.0);
                report.torque_margin = load.peak.and_then(|p| Finite::new(load.rated / p));
                let motor = compiled.yard.figures[figure].figure.motor_of(limb)?;
                let free = compiled.yard.figures[figure].figure.actuators[motor].motor.free;
                let kept = load.peak.is_some_and(|p| p <= load.rated);
                report.loaded_rpm = free.filter(|_| kept).and_then(|f| Finite::new(f.0));
            }
            Work::Servo(load) => {
                report.stall_torque_nm = Finite::new(load.stall.0);
                let peak = compiled.loads[figure].limbs[limb].cycle.as_ref().map(|c| c.motor.peak);
                report.torque_margin = peak.and_then(|p| Finite::new(load.stall.0 / p));
                report.hold_torque_nm = Finite::new(load.hold.0);
                report.hold_at_deg = load.at.and_then(|a| Finite::new(a.0));
                report.hold_share = Finite::new(load.share());
                report.speed_under_hold_rpm = load.speed.and_then(|s| Finite::new(s.0));
            }
            Work::Strut(load) => {
                report.push_n = Finite::new(load.push.0);
                report.pull_n = Finite::new(load.pull.0);
                report.can_push_n = load.can_push.and_then(|n| Finite::new(n.0));
                report.can_pull_n = load.can_pull.and_then(|n| Finite::new(n.0));
                let under = under_load(compiled, figure, limb);
                report.speed_out_mm_s = under.and_then(|u| Finite::new(u[0]));
                report.speed_in_mm_s = under.and_then(|u| Finite::new(u[1]));
            }
        }
        report.motor_inputs = inputs::of_motor(compiled, figure, limb);
        if report.jam.is_none() {
            let held = compiled.loads[figure].limbs[limb].held.as_ref();
            report.held = held.map(HeldReport::new);
        }
        Some(report)
    }

    fn brushed(&mut self, load: &BrushedLoad, wanted: Option<f64>) {
        self.free_rpm = Finite::new(load.free.0);
        self.stall_torque_nm = Finite::new(load.stall.0);
        self.start_current_a = Finite::new(load.start.0);
        self.torque_margin = load.margin.and_then(Finite::new);
        self.worst_rpm = load.worst.and_then(|w| Finite::new(w.0));
        self.self_locking = Some(load.locks);
        self.line = LineReport::of(load);
        self.duty_share =
            wanted.and_then(|w| load.duty(crate::units::Rpm(w))).and_then(Finite::new);
        if let Some(running) = load.running {
            self.loaded_rpm = Finite::new(running.mean.0);
            self.turn_s = Finite::new(60.0 / running.mean.0);
            self.ripple_share = Finite::new(running.ripple());
            self.slowest_rpm = Finite::new(running.slowest.0);
            self.fastest_rpm = Finite::new(running.fastest.0);
            self.mean_current_a = Finite::new(running.current.0);
            self.peak_current_a = Finite::new(running.peak_current.0);
        }
    }

    fn held(&mut self, load: &BrushedLoad, held: Option<&Held>) {
        let jam = load.jam;
        self.jam =
            Finite::new(jam.current.0).zip(Finite::new(jam.torque.0)).map(|(a, t)| JamReport {
                current_a: a,
                torque_nm: t,
                force_n: jam.force.and_then(|f| Finite::new(f.0)),
                gears_give_way_at_a: jam.gears_at.and_then(|g| Finite::new(g.0)),
                limb_torque_nm: held.and_then(|h| h.torque).and_then(Finite::new),
                rod_force_n: held.and_then(|h| h.rod).and_then(Finite::new),
                gives: held.map_or_else(Vec::new, held::gives),
            });
    }
}

/// Speed of a ram with its limb on it, growing longer and shorter, mm/s.
fn under_load(compiled: &Compiled, figure: usize, limb: usize) -> Option<[f64; 2]> {
    let motor = compiled.yard.figures[figure].figure.motor_of(limb)?;
    let free = compiled.yard.figures[figure].figure.actuators[motor].motor.speed_mm_s?;
    Some(compiled.loads[figure].motors.get(motor)?.left?.map(|left| free * left))
}

/// The speed that the motor's torque was computed at.
fn speed(compiled: &Compiled, figure: usize, limb: usize) -> Option<f64> {
    compiled.loads[figure].limbs[limb].cycle.as_ref()?.motor.speed
}

/// What it does with its limbs on it: "44 with its limbs on it", "margin 18 times".
#[must_use]
pub fn words(compiled: &Compiled, (figure, limb): (usize, usize), system: System) -> Vec<String> {
    let mut parts = Vec::new();
    match work(compiled, figure, limb) {
        Some(Work::Brushed(load)) => {
            if let Some(running) = load.running {
                let worst =
                    load.worst.map(|w| format!(", {} on a cold night at worst", decimal(w.0, 1)));
                parts.push(format!(
                    "{} rpm with its load{}{}",
                    decimal(running.mean.0, 1),
                    if load.feeding.ohm.0 > 0.0 { " at the end of its cable" } else { "" },
                    worst.unwrap_or_default()
                ));
                let (mean, peak) =
                    (decimal(running.current.0, 1), decimal(running.peak_current.0, 1));
                let amps = if mean == peak { mean } else { format!("{mean} to {peak}") };
                parts.push(format!("{amps} A, {} at the start", decimal(load.start.0, 1)));
            }
            if let Some(margin) = load.margin {
                parts.push(format!("stops at {} its peak", print::times(margin)));
            }
        }
        Some(Work::Synchronous(load)) => {
            if let Some(peak) = load.peak.filter(|p| p.0 > 0.0) {
                parts.push(format!("rated for {} its peak", print::times(load.rated / peak)));
            }
        }
        Some(Work::Servo(load)) => parts.push(format!(
            "holds {}, {} % of what stops it",
            print::torque(load.hold, system),
            decimal(load.share() * 100.0, 0)
        )),
        Some(Work::Strut(load)) => {
            if let Some(can) = load.can_push {
                // Which of the two it is asked for more.
                let (word, force, can) = match load.can_pull.filter(|_| load.pull > load.push) {
                    Some(can_pull) => ("pulls", load.pull, can_pull),
                    None => ("pushes", load.push, can),
                };
                let [force, can] = [force, can].map(|f| print::force(f, system));
                parts.push(format!("{word} {force} of {can}"));
            }
            if let Some([out, back]) = under_load(compiled, figure, limb) {
                let back = print::pace_in(back, system);
                let out = print::pace(out, system);
                parts.push(format!("{out} out and {back} in with its limb on it"));
            }
        }
        None => return parts,
    }
    parts.extend(
        compiled.loads[figure].limbs[limb].held.as_ref().and_then(|h| held::words(h, system)),
    );
    parts
}

/// How much a limb moves over the seasons.
#[derive(Clone, Debug, serde::Serialize)]
pub struct WearReport<'a> {
    cycles: Finite,
    hours: Finite,
    /// Longest share of any ten minutes in motion.
    duty_share: Finite,
    grade: Grade,
    /// What each show that moves it adds: its runs, and what one of them makes of the limb.
    shows: Vec<MovedReport<'a>>,
    inputs: Vec<InputReport>,
}

/// What one show makes of a limb.
#[derive(Clone, Debug, serde::Serialize)]
struct MovedReport<'a> {
    show: &'a str,
    /// Over the seasons.
    runs: u32,
    cycles_a_run: Finite,
    moving_s_a_run: Finite,
}

impl<'a> WearReport<'a> {
    /// Of one limb; `None` where no show of a season moves it.
    #[must_use]
    pub fn new(compiled: &'a Compiled, figure: usize, limb: usize) -> Option<Self> {
        let wear: &'a Wear = compiled.power.wear.get(figure)?.get(limb)?;
        (wear.cycles > 0.0).then_some(())?;
        Some(Self {
            cycles: Finite::new(wear.cycles)?,
            hours: Finite::new(wear.hours)?,
            duty_share: Finite::new(wear.duty)?,
            grade: grade_of(&wear.inputs),
            shows: wear.shows.iter().filter_map(MovedReport::new).collect(),
            inputs: inputs::all(&wear.inputs),
        })
    }
}

impl<'a> MovedReport<'a> {
    fn new(moved: &'a Moved) -> Option<Self> {
        Some(Self {
            show: &moved.show,
            runs: moved.runs,
            cycles_a_run: Finite::new(moved.cycles)?,
            moving_s_a_run: Finite::new(moved.time.0)?,
        })
    }
}
