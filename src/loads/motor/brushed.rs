//! A brushed motor with its limbs on it.

use super::line::{Feeding, LOCKS, Line, Running, TURNS_BACK};
use super::{Fastest, Job, Work, codes};
use crate::finding::{Severity, Step};
use crate::loads::{Effort, MotorLoad, TorqueCurve};
use crate::model::Material;
use crate::units::print::decimal;
use crate::units::{Amp, Mm, Newton, NewtonMetre, Rpm, Share, Volt, print};

/// A motor bears a third of what stops it without getting hot (common practice, no
/// source).
const SHARE: f64 = 1.0 / 3.0;
/// Single motors are weaker than their sheet by this share (common practice, no source).
const WEAKER: f64 = 0.2;
/// A supply or battery sags by this share (11.5 of 12 V; common practice, no source).
const SAG: f64 = 0.5 / 12.0;
/// What a hand is commonly held to stand between closing parts, N (from memory of the
/// limits for power-operated doors and guards; confirm before relying on it).
pub(in crate::loads) const HAND: f64 = 140.0;
/// How much slower one of a kind may be whose spread nobody said (common practice, no source).
pub const SLOWER: Share = Share(0.1);

/// What a brushed motor makes of its limbs.
#[derive(Clone, Debug)]
pub struct BrushedLoad {
    /// Its line, by its own sheet.
    pub line: Line,
    /// What feeds it.
    pub feeding: Feeding,
    /// Speed without load at that voltage.
    pub free: Rpm,
    /// Torque that stops it at that voltage, or at its driver's limit.
    pub stall: NewtonMetre,
    /// Current of the first moment: at that voltage, or at its driver's limit.
    pub start: Amp,
    /// The current its driver lets through, where it limits that.
    pub limit: Option<Amp>,
    /// The torque it must give over a turn; `None` where that is not known.
    pub load: Option<TorqueCurve>,
    /// What it does with its limbs on it at full duty; `None` where it stalls or the load
    /// is not known.
    pub running: Option<Running>,
    /// Mean speed of a slow one on a cold night at low voltage.
    pub worst: Option<Rpm>,
    /// Stall torque at that voltage or limit over the peak of the load.
    pub margin: Option<f64>,
    /// The largest torque its limbs ask of it, N.m; nought where that is not known.
    pub peak: f64,
    /// The same in the gust in which it runs, where that is known.
    pub windy: f64,
    /// What happens when its limb is held.
    pub jam: Jam,
    /// Whether its limb can turn it back.
    pub locks: Locks,
}

/// A limb that is held while its motor pushes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Jam {
    /// Current: the driver's limit, or what the voltage drives through it.
    pub current: Amp,
    /// Torque at the motor: Kt (I - I0).
    pub torque: NewtonMetre,
    /// Force at the limb in the middle of its swing, where it is least: 100 mm from its
    /// bolt, or along its guide. Towards either end it grows without bound.
    pub force: Option<Newton>,
    /// How fast the limb moves for each radian of its motor where it is fastest.
    pub moves: Option<Fastest>,
    /// Current at which the motor's gears give way, where they do so first.
    pub gears_at: Option<Amp>,
}

/// Whether a limb can turn its motor back.
#[derive(Clone, Copy, Debug, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Locks {
    /// It cannot.
    Yes,
    /// By the figures it may.
    Uncertain,
    /// It can.
    No,
}

/// By how much plywood grows heavier when it is soaked (common practice, no source).
const SOAKED: f64 = 0.2;

/// The peak of a motor whose limbs are soaked, N.m: of that peak so much is weight.
#[must_use]
pub fn wetted(peak: f64, weight: f64) -> f64 {
    peak + SOAKED * weight
}

impl BrushedLoad {
    /// The current limit at which a held limb is pushed with this share of what it is, rounded
    /// down to what a dial shows; `None` where the motor would be too weak for its own work.
    #[must_use]
    pub fn limit_for(&self, share: f64) -> Option<Amp> {
        let free = self.line.free_current.0;
        let amps = libm::floor((free + self.jam.torque.0 / self.line.kt * share) * 2.0) / 2.0;
        (amps > free && Amp(amps) >= self.least_limit()).then_some(Amp(amps))
    }

    /// The least current limit at which a weak one on a cold night does its own work with what
    /// is to be left in calm air, and in the gust in which it runs.
    #[must_use]
    pub fn least_limit(&self) -> Amp {
        let asked = (self.peak / SHARE).max(self.windy);
        self.line.chilled().current(asked.max(0.0) / (1.0 - WEAKER))
    }
}

impl Job<'_, '_> {
    /// Line, speed, margin, jam and what happens without power.
    pub(super) fn brushed(
        &mut self,
        feeding: Option<Feeding>,
        curve: Option<&TorqueCurve>,
    ) -> Option<Work> {
        let motor = self.actuator().motor.clone();
        let (Some(line), Some(feeding)) = (Line::of(&motor), feeding) else {
            self.ask();
            return None;
        };
        let limit = self.actuator().limit;
        let start = line.start_current(feeding);
        let start = limit.map_or(start, |l| l.min(start));
        let mut load = BrushedLoad {
            line,
            feeding,
            free: line.speed(feeding, 1.0, 0.0),
            stall: line.torque_at(start),
            start,
            limit,
            load: curve.cloned(),
            running: curve.and_then(|c| line.running(feeding, 1.0, c)),
            worst: None,
            margin: None,
            peak: self.cycle().map_or(0.0, |c| c.peak.max(0.0)),
            windy: self.cycle().and_then(|c| c.in_wind).unwrap_or(0.0),
            jam: self.jam(&line, start),
            locks: locks(&line, motor.self_locking),
        };
        let known = curve.is_some() || self.winds();
        load.margin = Some(load.stall.0 / load.peak).filter(|m| known && m.is_finite());
        load.worst = curve.and_then(|c| load.at_worst(c, motor.spread, motor.cold));
        if load.worst.is_some() && motor.cold.is_none() {
            self.assume("cold grease that doubles its free current", "cold 20 %");
        }
        self.overloads(&load);
        self.pushes(&load);
        self.drops(&load);
        match known {
            true => self.stalls(&load),
            false => {
                // Of a limb that was weighed another note tells what keeps its torque unknown.
                let (what, settle) = match self.bench.limbs[self.limb()].mass {
                    Some(_) => {
                        ("whether the motor is strong enough (once the limb's torque is known)", "")
                    }
                    None => (
                        "whether the motor is strong enough (the limb's torque is not known)",
                        "weighed 0.31 kg  balances 148 mm",
                    ),
                };
                self.not_made(what, settle);
            }
        }
        Some(Work::Brushed(Box::new(load)))
    }

    /// Whether it winds a cord whose pull on its spool is known: that is a torque over a
    /// way, not over a turn.
    fn winds(&self) -> bool {
        self.cycle().is_some_and(|c| c.effort == Effort::Winding)
    }

    /// Which of its figures are missing.
    fn ask(&mut self) {
        let motor = &self.actuator().motor;
        let known = [
            motor.voltage.is_some(),
            motor.free.is_some(),
            motor.free_current.is_some(),
            motor.stall.is_some(),
            motor.stall_current.is_some(),
        ];
        if known.iter().all(|k| *k) {
            return; // They contradict each other, and that was reported.
        }
        let words = ["voltage", "free speed", "free current", "stall torque", "stall current"];
        let missing = words.into_iter().zip(known).filter(|(_, k)| !k).map(|(w, _)| w);
        let what = format!(
            "motor torque, speed under load, current (`{}` does not say its {})",
            motor.name,
            crate::finding::list_of(missing, "and", 8)
        );
        self.not_made(what, "voltage 12 V  free 45 rpm 1.2 A  stall 14 N.m 16 A");
    }

    /// What its limbs ask of it.
    fn cycle(&self) -> Option<&MotorLoad> {
        self.bench.limbs[self.limb()].cycle.as_ref().map(|c| &c.motor)
    }

    fn stalls(&mut self, load: &BrushedLoad) {
        let peak = load.peak;
        if self.held_back(load, peak) {
            return;
        }
        let weak = load.weak_stall().0;
        if peak <= weak * SHARE {
            self.wet(load, peak, weak);
            return;
        }
        let motor = self.actuator().motor.name.clone();
        let limited = load.limited();
        let bad = match limited {
            Some(limit) => format!("a cold night, limited to {} A,", decimal(limit.0, 1)),
            None => "low voltage".to_owned(),
        };
        let at = if limited.is_some() { "on" } else { "at" };
        let message = format!(
            "{} needs {} of its motor at the worst place; a weak `{motor}` {at} {bad} stops at {}.",
            self.name(),
            self.torque(NewtonMetre(peak)),
            self.torque(NewtonMetre(weak))
        );
        let wanted = self.torque(NewtonMetre(3.0 * peak));
        let shorter = if self.winds() { "thinner spool" } else { "shorter crank" };
        // Rounded up to what a dial shows; more than it draws when it is held it never takes.
        let through = libm::ceil(load.least_limit().0 * 2.0) / 2.0;
        let more = match limited.filter(|_| through <= load.line.start_current(load.feeding).0) {
            Some(_) => format!("let {} A through, take ", decimal(through, 1)),
            None => String::new(),
        };
        let found = self.report(&codes::MOTOR_STALLS, message);
        found.worked = weak_sum(load);
        // How much the cold takes is not the maker's word.
        let stops = limited.map_or(weak, |l| load.line.torque_at(l).0 * (1.0 - WEAKER));
        if peak >= stops {
            found.severity = Severity::Error;
        }
        found.help = Some(format!(
            "it should stop at three times as much, {wanted}: {more}a stronger motor, a {shorter}, or a counterweight."
        ));
    }

    /// Whether rain in the wood of its limbs brings it above what it gives dry.
    fn wet(&mut self, load: &BrushedLoad, peak: f64, weak: f64) {
        let figure = &*self.bench.fitted.figure;
        let of_wood = |l: &usize| {
            let limb = &figure.limbs[*l];
            let said = !crate::loads::wind_limb::left_out(limb, "sheet");
            said && limb.sheet.as_ref().and_then(|s| s.material) == Some(Material::Plywood)
        };
        let wood = self.limbs.iter().any(of_wood);
        let weight = self.cycle().map_or(0.0, |c| c.parts.gravity.max(0.0));
        let soaked = wetted(peak, weight);
        if !wood || soaked <= weak * SHARE {
            return;
        }
        let message = format!(
            "dry, {} needs {} of its motor, a third of what stops a weak one; soaked with rain its plywood weighs \
             a fifth more, and it needs {}.",
            self.name(),
            self.torque(NewtonMetre(peak)),
            self.torque(NewtonMetre(soaked))
        );
        let found = self.report(&codes::WET_HEAVY, message);
        found.worked = weak_sum(load);
        found.worked.push(Step::new(
            "soaked, a fifth more of its weight's part",
            format!("{} + {SOAKED} x {}", decimal(peak, 4), decimal(weight, 4)),
            format!("{} N.m", decimal(soaked, 4)),
        ));
        found.help =
            Some("paint its edges well, or take a stronger motor or a counterweight.".to_owned());
    }

    /// A driver's limit that does not even let the limb pass its hardest place.
    fn held_back(&mut self, load: &BrushedLoad, peak: f64) -> bool {
        let Some(limit) = self.actuator().limit else { return false };
        let lets = load.line.torque_at(limit).0;
        if peak < lets {
            return false;
        }
        let message = format!(
            "{} needs {} at the worst place; the limit of {} A lets its motor give {}.",
            self.name(),
            self.torque(NewtonMetre(peak)),
            decimal(limit.0, 1),
            self.torque(NewtonMetre(lets))
        );
        // More than it draws when it is held it never takes.
        let needed = load.least_limit().0.ceil();
        let held = load.line.start_current(load.feeding).0;
        let found = self.report(&codes::MOTOR_STALLS, message);
        found.worked = vec![Step::new(
            "its limit lets it give, Kt (I - I0)",
            format!(
                "{} x ({} - {})",
                decimal(load.line.kt, 4),
                decimal(limit.0, 3),
                decimal(load.line.free_current.0, 4)
            ),
            format!("{} N.m", decimal(lets, 4)),
        )];
        found.severity = Severity::Error;
        found.help = Some(match needed <= held {
            true => format!("let {} A through, or take a stronger motor.", decimal(needed, 0)),
            false => format!(
                "no limit helps: held fast it draws {} A. Take a stronger motor, a shorter crank, or a counterweight.",
                decimal(held, 1)
            ),
        });
        true
    }

    /// A held limb.
    fn jam(&self, line: &Line, current: Amp) -> Jam {
        let torque = line.torque_at(current);
        let figure = &self.bench.fitted.figure;
        let straight = self.limbs.iter().find(|l| {
            let drive = figure.limbs[**l].drive.as_ref();
            drive.is_some_and(|d| matches!(d.source, crate::model::Source::Motor(_)))
        });
        let mechanism = straight.and_then(|l| self.bench.fitted.limbs[*l].mechanism.as_ref());
        // What a spool winds counts its cord, mm.
        let drum = mechanism.and_then(crate::loads::works::spool);
        let winds = self.actuator().motor.kind == crate::model::MotorKind::Spool;
        let drum = if winds { drum } else { Some(1.0) };
        // Rad of the limb for each rad of the motor, or mm along the guide.
        let moves = mechanism
            .and_then(super::pull::fastest)
            .zip(drum)
            .map(|(fastest, drum)| Fastest { rate: fastest.rate * drum, ..fastest });
        let force = moves.map(|m| Newton(torque.0 / (m.rate * if m.slides { 1e-3 } else { 0.1 })));
        let survives = self.actuator().motor.survives;
        let gears_at =
            survives.filter(|s| s.0 < torque.0).map(|s| Amp(line.free_current.0 + s.0 / line.kt));
        Jam { current, torque, force: force.filter(|f| f.0.is_finite()), moves, gears_at }
    }

    /// What a held limb or a weak gear must bear. Where no limit is said it is assumed that
    /// there is none, and noted; a limit that does not help is a finding.
    fn pushes(&mut self, load: &BrushedLoad) {
        let jam = load.jam;
        let strong = jam.force.filter(|f| f.0 > HAND);
        if strong.is_none() && jam.gears_at.is_none() {
            return;
        }
        let what = self.held(&jam, strong);
        let line = &load.line;
        let hand = strong.map(|f| HAND / f.0);
        let gears = jam.gears_at.map(|a| (a.0 - line.free_current.0) * line.kt / jam.torque.0);
        let share = hand.into_iter().chain(gears).fold(f64::MAX, f64::min);
        let clause = load.limit_for(share).map(|amps| format!("limit {} A", decimal(amps.0, 1)));
        if self.actuator().limit.is_none() {
            let what = format!("no current limit: if held, the motor {what}");
            self.assume(what, clause.unwrap_or_default());
            return;
        }
        let message = format!("if {} is held, its motor {what}.", self.name());
        let help = if let Some(clause) = clause {
            format!(
                "`{clause}` brings it to {}; near the ends of its way it pushes harder at any limit, so leave \
                 no gap there or guard it.",
                if hand.is_some() {
                    "what a hand is commonly held to stand, 140 N"
                } else {
                    "less than that"
                }
            )
        } else {
            "guard the gaps it closes; a limit low enough for a hand would stop it in its own work."
                .to_owned()
        };
        let system = self.system();
        let found = self.report(&codes::JAM, message);
        found.help = Some(help);
        let arm = Mm(100.0);
        if let (Some(moves), Some(force)) = (jam.moves, jam.force) {
            let (rate, arm) = match moves.slides {
                true => (moves.rate * 1e-3, Step::given("pushes", "along its guide")),
                false => (
                    moves.rate * 0.1,
                    Step::given("pushes this far from the bolt", print::length(arm, system)),
                ),
            };
            found.worked = vec![
                arm,
                Step::given("that place moves for each radian of the motor, at its fastest", {
                    format!("{} m", decimal(rate, 5))
                }),
                Step::new(
                    "it pushes with torque/that",
                    format!("{}/{}", decimal(jam.torque.0, 3), decimal(rate, 5)),
                    print::force(force, system),
                ),
                Step::given("a hand is held to stand", print::force(Newton(HAND), system)),
            ];
        }
    }

    /// "goes up to 16 A and pushes with 360 N 100 mm from its bolt".
    fn held(&self, jam: &Jam, strong: Option<Newton>) -> String {
        let slides = matches!(
            self.bench.fitted.figure.limbs[self.limb()].joint,
            crate::model::Joint::Slide { .. }
        );
        let place = match slides {
            true => "along its guide".to_owned(),
            false => format!("{} from the bolt", print::length(Mm(100.0), self.system())),
        };
        let mut what = format!("goes up to {} A", decimal(jam.current.0, 1));
        if let Some(force) = strong {
            what += &format!(" and pushes with {} {place}", print::force(force, self.system()));
        }
        if let (Some(_), Some(survives)) = (jam.gears_at, self.actuator().motor.survives) {
            what += &format!(
                "; its gears give way first, at {} of {}",
                self.torque(survives),
                self.torque(jam.torque)
            );
        }
        what
    }

    /// More current than its driver carries.
    fn overloads(&mut self, load: &BrushedLoad) {
        let Some(driver) = self.actuator().motor.driver.filter(|d| d.0 < load.start.0) else {
            return;
        };
        let motor = self.actuator().motor.name.clone();
        let message = format!(
            "`{motor}` draws {} A when it starts or is held; its driver carries {}.",
            decimal(load.start.0, 1),
            decimal(driver.0, 1)
        );
        let (start, line, feeding) = (load.start, &load.line, load.feeding);
        let all = line.resistance.0 + feeding.ohm.0;
        let dialled = Amp(driver.0.floor());
        let limits = if dialled >= load.least_limit() {
            format!(", or one that limits the current (`limit {} A`)", decimal(dialled.0, 0))
        } else {
            ": at a limit that this one bears the motor would be too weak".to_owned()
        };
        let found = self.report(&codes::DRIVER_OVERLOADED, message);
        found.worked = vec![
            Step::new("winding", "", format!("{} ohm", decimal(line.resistance.0, 4))),
            Step::new("cable, there and back", "", format!("{} ohm", decimal(feeding.ohm.0, 4))),
            Step::new(
                "held it draws, V/(R + cable), or its limit",
                format!("{}/{}", decimal(feeding.volts.0, 2), decimal(all, 4)),
                format!("{} A", decimal(start.0, 3)),
            ),
            Step::new("its driver carries", "", format!("{} A", decimal(driver.0, 2))),
        ];
        found.help =
            Some(format!("take a driver for {} A{limits}.", decimal(load.start.0.ceil(), 0)));
    }

    /// A limb that falls when the power goes.
    fn drops(&mut self, load: &BrushedLoad) {
        let Some(curve) = load.load.as_ref() else { return };
        // What its own friction holds: the free current's torque, felt from the limb's side.
        let friction = load.line.kt * load.line.free_current.0;
        let back = -curve.least();
        if back <= friction || load.locks == Locks::Yes {
            return;
        }
        if load.locks == Locks::Uncertain {
            self.not_made(
                "whether the limb drops when the power goes (the figures do not tell whether the gear locks)",
                "self-locking yes",
            );
            return;
        }
        let message = format!(
            "switched off, {} turns its motor back: it pushes with {} and the motor's own friction \
             holds about {}.",
            self.name(),
            self.torque(NewtonMetre(back)),
            self.torque(NewtonMetre(friction))
        );
        let limb = self.limb_word().to_owned();
        let found = self.report(&codes::LIMB_DROPS, message);
        found.worked = vec![
            Step::new("the limb pushes back with up to", "", format!("{} N.m", decimal(back, 4))),
            Step::new(
                "the motor's friction holds, Kt I0",
                format!("{} x {}", decimal(load.line.kt, 4), decimal(load.line.free_current.0, 4)),
                format!("{} N.m", decimal(friction, 4)),
            ),
        ];
        found.help = Some(format!(
            "let {limb} hang at rest where it stays by itself, balance it, or take a motor with a worm gear."
        ));
    }
}

/// What stops a weak one of a motor's kind at low voltage, or at its driver's limit.
fn weak_sum(load: &BrushedLoad) -> Vec<Step> {
    let (line, low) = (&load.line, load.feeding.sagged());
    let weak = load.weak_stall().0;
    let kt = format!("{} x {}", decimal(1.0 - WEAKER, 2), decimal(line.kt, 4));
    let stops = |sum: String| (sum, format!("{} N.m", decimal(weak, 4)));
    let mut steps = match load.limited() {
        Some(limit) => {
            let cold = line.chilled().free_current.0;
            let (sum, told) =
                stops(format!("{kt} x ({} - {})", decimal(limit.0, 3), decimal(cold, 4)));
            vec![
                Step::new(
                    "on a cold night it draws without load, 2 I0",
                    format!("2 x {}", decimal(line.free_current.0, 4)),
                    format!("{} A", decimal(cold, 4)),
                ),
                Step::new("a weak one at its limit stops at 0.8 Kt (I - 2 I0)", sum, told),
            ]
        }
        None => {
            let all = line.resistance.0 + low.ohm.0;
            let (sum, told) = stops(format!(
                "{kt} x ({}/{} - {})",
                decimal(low.volts.0, 3),
                decimal(all, 4),
                decimal(line.free_current.0, 4)
            ));
            vec![
                Step::new(
                    "a low voltage, 11.5 of 12",
                    format!("{} x 11.5/12", decimal(load.feeding.volts.0, 3)),
                    format!("{} V", decimal(low.volts.0, 3)),
                ),
                Step::new("a weak one stops at 0.8 Kt (V/(R + cable) - I0)", sum, told),
            ]
        }
    };
    steps.push(Step::new(
        "of it a limb may ask a third",
        format!("{}/3", decimal(weak, 4)),
        format!("{} N.m", decimal(weak * SHARE, 4)),
    ));
    steps
}

impl Feeding {
    /// The same on a bad evening.
    #[must_use]
    pub fn sagged(self) -> Self {
        Self { volts: Volt(self.volts.0 * (1.0 - SAG)), ..self }
    }
}

impl BrushedLoad {
    /// What stops a weak one of its kind at low voltage; where its driver gives it no more
    /// than its limit, on a cold night, when its own drag takes more of that.
    #[must_use]
    pub fn weak_stall(&self) -> NewtonMetre {
        let stops = match self.limited() {
            Some(limit) => self.line.chilled().torque_at(limit),
            None => self.line.stall(self.feeding.sagged()),
        };
        stops * (1.0 - WEAKER)
    }

    /// The current limit of its driver, where that and not its supply stops it.
    #[must_use]
    pub fn limited(&self) -> Option<Amp> {
        self.limit.filter(|l| *l < self.line.start_current(self.feeding.sagged()))
    }

    /// Mean speed of a slow one on a cold night at low voltage.
    fn at_worst(
        &self,
        curve: &TorqueCurve,
        spread: Option<Share>,
        cold: Option<Share>,
    ) -> Option<Rpm> {
        let slow = 1.0 - spread.unwrap_or(SLOWER).0;
        let low = self.feeding.sagged();
        let mean = match cold {
            Some(cold) => self.line.running(low, 1.0, curve)?.mean * (1.0 - cold.0),
            None => self.line.chilled().running(low, 1.0, curve)?.mean,
        };
        Some(mean * slow)
    }

    /// The same on a warm night: a slow one at its proper voltage.
    #[must_use]
    pub fn warm(&self, spread: Option<Share>) -> Option<Rpm> {
        Some(self.running?.mean * (1.0 - spread.map_or(0.1, |s| s.0)))
    }

    /// The duty at which it turns at a speed; above 1 where it cannot.
    #[must_use]
    pub fn duty(&self, wanted: Rpm) -> Option<f64> {
        Some(self.line.duty(self.feeding, self.load.as_ref()?, wanted))
    }

    /// Current while it runs: the largest of the turn, or without load where that is not
    /// known.
    #[must_use]
    pub fn current(&self) -> Amp {
        let load = self.load.as_ref();
        let peak =
            load.map(|c| c.torque.iter().map(|t| self.line.current(*t).0).fold(0.0, f64::max));
        Amp(peak.unwrap_or(self.line.free_current.0)).min(self.start)
    }

    /// Mean current while it runs.
    #[must_use]
    pub fn mean_current(&self) -> Amp {
        let load = self.load.as_ref();
        let mean = load.map(|c| c.mean(|t| self.line.current(t).0));
        Amp(mean.unwrap_or(self.line.free_current.0)).min(self.start)
    }
}

fn locks(line: &Line, said: Option<bool>) -> Locks {
    match said {
        Some(true) => Locks::Yes,
        Some(false) => Locks::No,
        None if line.efficiency() < LOCKS => Locks::Yes,
        None if line.efficiency() > TURNS_BACK => Locks::No,
        None => Locks::Uncertain,
    }
}
