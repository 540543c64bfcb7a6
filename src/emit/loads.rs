//! What moving a limb takes: for programs, with everything a person needs to work it
//! out again by hand, and for people on one line.

use super::Finite;
use super::inputs::{self, InputReport};
use super::motor::MotorReport;
use super::wind::limited;
use super::words::decimal;
use crate::check::Compiled;
use crate::loads::{Effort, Grade, LimbLoad, LoadedLimb, MotorLoad, Origin, Rubs, Work};
use crate::units::{MetrePerSec, Newton, NewtonMetre, System, print};

/// What a limb weighs and what moving it takes.
#[derive(Clone, Debug, Default, serde::Serialize)]
pub struct LoadsReport {
    /// Largest torque its motor must give in calm air, everything on that motor counted.
    #[serde(skip_serializing_if = "Option::is_none")]
    peak_motor_torque_nm: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    rms_motor_torque_nm: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    peak_motor_torque_in_wind_nm: Option<Finite>,
    /// The largest with its bushings dry or dirty.
    #[serde(skip_serializing_if = "Option::is_none")]
    peak_motor_torque_dry_nm: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    least_motor_torque_nm: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    start_motor_torque_nm: Option<Finite>,
    /// The same of what pushes along a line.
    #[serde(skip_serializing_if = "Option::is_none")]
    peak_motor_force_n: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    rms_motor_force_n: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    peak_motor_force_in_wind_n: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    peak_motor_force_dry_n: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    least_motor_force_n: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    start_motor_force_n: Option<Finite>,
    /// Where peak and worst start are.
    #[serde(skip_serializing_if = "Option::is_none")]
    peak_at_deg: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    start_at_deg: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    peak_at_mm: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    start_at_mm: Option<Finite>,
    /// What the peak is made of, in its own unit.
    #[serde(skip_serializing_if = "Option::is_none")]
    peak_parts: Option<Parts>,
    #[serde(skip_serializing_if = "Option::is_none")]
    largest_part: Option<&'static str>,
    /// The largest value this limb alone takes, where it shares its motor.
    #[serde(skip_serializing_if = "Option::is_none")]
    own_peak: Option<Finite>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    shares_motor_with: Vec<String>,
    /// The speed it was computed at, and the gesture that asks for it.
    #[serde(skip_serializing_if = "Option::is_none")]
    speed_rpm: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    speed_mm_s: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    gesture: Option<String>,
    #[serde(skip_serializing_if = "Option::is_none")]
    run_wind_mps: Option<Finite>,
    /// Estimated error of the root mean square, as a share of it.
    #[serde(skip_serializing_if = "Option::is_none")]
    rms_error_share: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    evaluations: Option<usize>,
    /// Friction that was counted with.
    #[serde(skip_serializing_if = "Option::is_none")]
    friction_torque_nm: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    friction_coefficient: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    friction_radius_mm: Option<Finite>,
    /// Largest force along rod, slot or cord, and on bolt or guide, over the cycle.
    #[serde(skip_serializing_if = "Option::is_none")]
    most_rod_force_n: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    most_bolt_force_n: Option<Finite>,
    /// Mass with everything that moves with it.
    #[serde(skip_serializing_if = "Option::is_none")]
    mass_kg: Option<Finite>,
    /// What it is computed from, where it was not weighed.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    mass_inputs: Vec<InputReport>,
    /// Centre of mass from the pivot: along the limb's axis and left of it.
    #[serde(skip_serializing_if = "Option::is_none")]
    centre_mm: Option<[Finite; 2]>,
    /// Its bars, where they are cut from stock whose material is known: holes not taken
    /// off, half a width beyond each pin.
    #[serde(skip_serializing_if = "Option::is_none")]
    crank_mass_kg: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    rod_mass_kg: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    lever_mass_kg: Option<Finite>,
    /// How long those are cut.
    #[serde(skip_serializing_if = "Option::is_none")]
    crank_cut_mm: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    rod_cut_mm: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    lever_cut_mm: Option<Finite>,
    /// Moment of inertia about the pivot.
    #[serde(skip_serializing_if = "Option::is_none")]
    inertia_kgm2: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    known: Option<Known>,
    /// The counterweight that was found.
    #[serde(skip_serializing_if = "Option::is_none")]
    counterweight_kg: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    grade: Option<Grade>,
    /// Load on its bushing over bolt and length, and that times the mean rubbing speed.
    #[serde(skip_serializing_if = "Option::is_none")]
    bushing_pressure_mpa: Option<Finite>,
    #[serde(skip_serializing_if = "Option::is_none")]
    bushing_pv_mpa_mps: Option<Finite>,
    /// What those follow from, and what it stands.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    bushing_inputs: Vec<InputReport>,
    /// What its motor makes of it.
    #[serde(flatten)]
    motor: Option<MotorReport>,
    /// Largest gust in which every moving-state check of the limb and its figure passes.
    #[serde(skip_serializing_if = "Option::is_none")]
    max_run_wind_mps: Option<Finite>,
}

/// Shares of a peak.
#[derive(Clone, Copy, Debug, serde::Serialize)]
struct Parts {
    gravity: Finite,
    inertia: Finite,
    friction: Finite,
    load: Finite,
}

impl Parts {
    fn of(work: &Work) -> Option<Self> {
        Some(Self {
            gravity: Finite::new(work.gravity)?,
            inertia: Finite::new(work.inertia)?,
            friction: Finite::new(work.friction)?,
            load: Finite::new(work.load)?,
        })
    }
}

/// How each property of the mass is known.
#[derive(Clone, Copy, Debug, serde::Serialize)]
struct Known {
    mass: Origin,
    centre: Origin,
    inertia: Origin,
}

/// The largest share of a peak and what people call it.
fn largest(work: &Work) -> (&'static str, &'static str) {
    let all = [
        (work.gravity, ("gravity", "weight")),
        (work.inertia, ("inertia", "inertia")),
        (work.friction, ("friction", "friction")),
        (work.load, ("load", "load")),
    ];
    let most = |a: (f64, _), b: (f64, _)| if b.0 > a.0 { b } else { a };
    all.into_iter().reduce(most).map_or(("gravity", "weight"), |m| m.1)
}

impl LoadsReport {
    /// Of one limb; `None` where nothing is known of it.
    #[must_use]
    pub fn new(compiled: &Compiled, figure: usize, limb: usize) -> Option<Self> {
        let loaded = &compiled.loads[figure].limbs[limb];
        let mut report = Self::default();
        report.weighs(loaded);
        if report.mass_kg.is_some() {
            report.mass_inputs = inputs::of_mass(&compiled.yard.figures[figure].figure.limbs[limb]);
        }
        if let Some(load) = &loaded.cycle {
            let names = &compiled.yard.figures[figure].figure.limbs;
            let others = load.motor.limbs.iter().filter(|l| **l != limb);
            report.shares_motor_with = others.map(|l| names[*l].name.value.clone()).collect();
            report.run_wind_mps = Finite::new(compiled.loads[figure].site.winds.run.0);
            report.moves(load);
        }
        if let Some(rubs) = &loaded.rubbing {
            report.bushing_pressure_mpa = Finite::new(rubs.pressure.0 * 1e-6);
            report.bushing_pv_mpa_mps = Finite::new(rubs.pv.0 * 1e-6);
            report.bushing_inputs = inputs::all(&rubs.inputs);
        }
        report.motor = MotorReport::new(compiled, figure, limb);
        report.max_run_wind_mps = loaded.wind.as_ref().and_then(|w| limited(w.max_run));
        let known = loaded.mass.is_some() || loaded.cycle.is_some() || report.motor.is_some();
        known.then_some(report)
    }

    fn weighs(&mut self, loaded: &LoadedLimb) {
        let Some(mass) = &loaded.mass else { return };
        self.mass_kg = Finite::new(mass.mass.0);
        self.centre_mm =
            Finite::new(mass.centre.x).zip(Finite::new(mass.centre.y)).map(<[_; 2]>::from);
        self.inertia_kgm2 = Finite::new(mass.inertia.0);
        let [of_mass, centre, inertia] = mass.origins;
        self.known = Some(Known { mass: of_mass, centre, inertia });
        self.counterweight_kg = loaded.counterweight.and_then(|m| Finite::new(m.0));
        self.grade = Some(mass.grade);
    }

    fn moves(&mut self, load: &LimbLoad) {
        let motor = &load.motor;
        let (peak, rms) = (Finite::new(motor.peak), Finite::new(motor.rms));
        let (least, start) = (Finite::new(motor.least), Finite::new(motor.start.0));
        let in_wind = motor.in_wind.and_then(Finite::new);
        let dry = motor.dry.and_then(Finite::new);
        let places = (Finite::new(motor.peak_at), Finite::new(motor.start.1));
        let speed = motor.speed.and_then(Finite::new);
        if motor.effort == Effort::Force {
            (self.peak_motor_force_n, self.rms_motor_force_n) = (peak, rms);
            (self.least_motor_force_n, self.start_motor_force_n) = (least, start);
            self.peak_motor_force_in_wind_n = in_wind;
            self.peak_motor_force_dry_n = dry;
        } else {
            (self.peak_motor_torque_nm, self.rms_motor_torque_nm) = (peak, rms);
            (self.least_motor_torque_nm, self.start_motor_torque_nm) = (least, start);
            self.peak_motor_torque_in_wind_nm = in_wind;
            self.peak_motor_torque_dry_nm = dry;
        }
        if motor.effort == Effort::Torque {
            (self.peak_at_deg, self.start_at_deg) = places;
            self.speed_rpm = speed;
        } else {
            (self.peak_at_mm, self.start_at_mm) = places;
            self.speed_mm_s = speed;
        }
        self.peak_parts = Parts::of(&motor.parts);
        self.largest_part = Some(largest(&motor.parts).0);
        self.own_peak = Finite::new(load.own_peak).filter(|_| motor.limbs.len() > 1);
        self.gesture.clone_from(&motor.gesture);
        self.rms_error_share = Finite::new(motor.rms_error);
        self.evaluations = Some(motor.evaluations);
        match load.friction {
            Rubs::Not => {}
            Rubs::Given(torque) => self.friction_torque_nm = Finite::new(torque),
            Rubs::Guide(share) => self.friction_coefficient = Finite::new(share),
            Rubs::Bolt(share, radius) => {
                self.friction_coefficient = Finite::new(share);
                self.friction_radius_mm = Finite::new(radius);
            }
        }
        self.most_rod_force_n = load.most_push.and_then(Finite::new);
        self.most_bolt_force_n = Finite::new(load.most_hold);
        let mass = |piece: Option<crate::loads::Piece>| piece.and_then(|p| Finite::new(p.mass.0));
        self.crank_mass_kg = mass(load.bars.crank);
        self.rod_mass_kg = mass(load.bars.rod);
        self.lever_mass_kg = mass(load.bars.lever);
        let cut = |piece: Option<crate::loads::Piece>| piece.and_then(|p| Finite::new(p.long));
        self.crank_cut_mm = cut(load.bars.crank);
        self.rod_cut_mm = cut(load.bars.rod);
        self.lever_cut_mm = cut(load.bars.lever);
        self.grade = Some(motor.grade);
    }
}

/// A torque or a force as people read it.
fn effort(motor: &MotorLoad, value: f64, system: System) -> String {
    match motor.effort {
        Effort::Force => print::force(Newton(value), system),
        Effort::Torque | Effort::Winding => print::torque(NewtonMetre(value), system),
    }
}

/// A limb's row: "188 g   motor 0.14 N.m at 63 deg, mostly weight   rms 0.08 N.m".
#[must_use]
pub fn words(loaded: &LoadedLimb, run: MetrePerSec, system: System) -> Vec<String> {
    let mut parts = Vec::new();
    parts.extend(loaded.mass.map(|m| print::mass(m.mass, system)));
    parts.extend(loaded.counterweight.map(|m| format!("counterweight {}", print::mass(m, system))));
    let Some(load) = &loaded.cycle else { return parts };
    let motor = &load.motor;
    let at = match motor.effort {
        Effort::Torque => format!("{} deg", decimal(libm::round(motor.peak_at) % 360.0, 0)),
        Effort::Winding | Effort::Force => print::length(crate::units::Mm(motor.peak_at), system),
    };
    let together = if motor.limbs.len() > 1 { " with all on it" } else { "" };
    parts.push(format!(
        "motor {}{together} at {at}, mostly {}",
        effort(motor, motor.peak, system),
        largest(&motor.parts).1
    ));
    parts.push(format!("rms {}", effort(motor, motor.rms, system)));
    // A little more is no news.
    if let Some(dry) = motor.dry.filter(|d| *d > motor.peak * 1.05) {
        parts.push(format!("{} with dry bushings", effort(motor, dry, system)));
    }
    if let Some(windy) = motor.in_wind {
        let wind = print::wind(run, system);
        parts.push(format!("{} in {wind} of wind", effort(motor, windy, system)));
    }
    parts
}
