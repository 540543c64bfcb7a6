//! A ram or an air cylinder that lifts its limb.

use super::{Job, Work, codes};
use crate::finding::{Severity, Step};
use crate::fit::mass::guessed;
use crate::fit::{Fitted, Measure};
use crate::loads::cycle::Rod;
use crate::mechanism::Path as _;
use crate::model::{DriveKind, MotorKind};
use crate::units::print::decimal;
use crate::units::{Deg, Newton, Sec, print};

/// A ram works at up to this share of its rated force (common practice, no source).
const RAM: f64 = 0.7;
/// A cylinder likewise, where it moves slowly (common practice, no source).
const SLOW: f64 = 0.7;
/// And where it is to be quick.
const QUICK: f64 = 0.5;
/// Quick is more than this, m/s (common practice, no source).
const QUICK_SPEED: f64 = 0.5;

/// What a ram holds without power where nothing says more: the least of a survey of data
/// sheets of micro actuators (10 to 102 N, customlinearactuator.com, read).
const HOLDS: Newton = Newton(10.0);

/// What a ram or cylinder bears.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct StrutLoad {
    /// The most it must push over its whole way.
    pub push: Newton,
    /// The most it must pull, as a positive number.
    pub pull: Newton,
    /// What it can push: rated, or pressure times area.
    pub can_push: Option<Newton>,
    /// What it can pull.
    pub can_pull: Option<Newton>,
    /// How much of that is to be used.
    pub share: f64,
    /// What a ram holds without power: as said, its rated force where its screw locks, else
    /// what the weakest of a survey did. `None` of a cylinder.
    pub holds: Option<Newton>,
    /// Whether that is only taken.
    pub holds_taken: bool,
}

/// How long a cylinder's air takes at least for a way, from standing still.
struct LeastTime {
    /// What it pushes or pulls with.
    can: Newton,
    /// The time, s.
    takes: f64,
    /// What its throttle is told to.
    throttle: Option<Sec>,
    /// The throttle's word for that way.
    word: &'static str,
    /// That way.
    way: &'static str,
    /// The most that it moves, kg at its rod.
    moved: f64,
}

/// A time rounded up to what a person sets.
fn up(time: f64) -> f64 {
    libm::ceil(time * 100.0) / 100.0
}

impl Job<'_, '_> {
    pub(super) fn strut(&mut self) -> Option<Work> {
        let index = self.limb();
        let fitted = self.bench.fitted;
        let mechanism = fitted.limbs[index].mechanism.as_ref()?;
        let rod = self.bench.rods.get(self.motor).cloned().flatten();
        let Some(rod) = rod else {
            // One that binds is told so.
            if self.bench.limbs[index].mass.is_none() {
                self.not_made("what it must lift (weight is not known)", "weighed 0.6 kg");
            }
            return None;
        };
        let [push, pull] = rod.calm;
        let kind = self.actuator().motor.kind;
        let (can_push, can_pull, share) = match kind {
            MotorKind::Ram => {
                let rated = self.actuator().motor.force;
                (rated, rated, RAM)
            }
            _ => {
                let force = |name| figure(mechanism, name);
                (force("force_out"), force("force_in"), self.share(mechanism))
            }
        };
        let motor = &self.actuator().motor;
        let locked = motor.force.filter(|_| motor.self_locking == Some(true));
        let holds = (kind == MotorKind::Ram).then(|| motor.holds.or(locked).unwrap_or(HOLDS));
        let load = StrutLoad {
            push: Newton(push),
            pull: Newton(pull),
            can_push,
            can_pull,
            share,
            holds,
            holds_taken: motor.holds.is_none(),
        };
        if kind == MotorKind::Cylinder {
            let least = self.least_times(&rod, &load);
            self.left_over(&load, &least);
            self.throttled(&least);
        }
        if can_push.is_none() && kind == MotorKind::Ram {
            self.not_made(
                "whether the ram is strong enough (its force is not given)",
                "force 150 N",
            );
        }
        for (word, calm, can) in [("push", load.push, can_push), ("pull", load.pull, can_pull)] {
            if let Some(can) = can.filter(|can| calm.0 > can.0 * share) {
                match near_dead(mechanism).filter(|_| calm.0 > can.0) {
                    Some(push) => self.near_dead_centre(kind, (word, can * share), push),
                    None => self.weak(kind, word, calm, can, share),
                }
            }
        }
        if kind == MotorKind::Ram {
            self.gives_way(&load);
        }
        Some(Work::Strut(load))
    }

    /// A ram that its limb pushes back when the power goes.
    fn gives_way(&mut self, load: &StrutLoad) {
        let most = load.push.max(load.pull);
        let motor = &self.actuator().motor;
        match (motor.holds, motor.self_locking) {
            (Some(holds), _) if most > holds => {
                let message = format!(
                    "switched off, {} pushes its ram back with up to {}: it holds {}.",
                    self.name(),
                    self.force(most),
                    self.force(holds)
                );
                let found = self.report(&codes::LIMB_DROPS, message);
                found.worked = vec![
                    Step::new("the limb pushes back with up to", "", force_word(most)),
                    Step::new("it holds without power", "", force_word(holds)),
                ];
                found.help = Some(
                    "let it rest where it stays by itself, balance it, or take a ram that holds more."
                        .to_owned(),
                );
            }
            (Some(_), _) | (None, Some(true)) => {}
            (None, None) => self.not_made(
                "whether its limb pushes the ram back when the power goes (does its screw lock)",
                "holds 100 N",
            ),
            (None, Some(false)) if most.0 > 0.0 => {
                let message = format!(
                    "switched off, {} pushes its ram back with up to {}: its screw does not lock.",
                    self.name(),
                    self.force(most)
                );
                let found = self.report(&codes::LIMB_DROPS, message);
                found.worked =
                    vec![Step::new("the limb pushes back with up to", "", force_word(most))];
                found.help = Some(
                    "let it rest where it stays by itself, balance it, or take a ram whose screw locks."
                        .to_owned(),
                );
            }
            (None, Some(false)) => {}
        }
    }

    /// What a cylinder has left to move with: a throttle keeps its time only while air
    /// pushes it on.
    fn left_over(&mut self, load: &StrutLoad, least: &[LeastTime]) {
        let left = |can: Option<Newton>, load: Newton| {
            let can = can?;
            let over = (can - load).max(Newton(0.0));
            Some(format!("{} of {}", self.force(over), self.force(can)))
        };
        let left_to = [("push", load.can_push, load.push), ("pull", load.can_pull, load.pull)];
        let told =
            left_to.into_iter().filter_map(|(word, can, load)| Some((word, left(can, load)?)));
        // A cord is only pulled.
        let what = match &told.collect::<Vec<_>>()[..] {
            [("push", out), (_, back)] => {
                format!("{out} are left to push with where it is hardest, {back} to pull")
            }
            [("pull", back)] => format!("{back} are left to pull with where it is hardest"),
            _ => return,
        };
        let times: Vec<String> =
            least.iter().map(|l| format!("{} s {}", decimal(up(l.takes), 2), l.way)).collect();
        let times = match times.is_empty() {
            true => String::new(),
            false => format!("; its air alone would take {} at least", times.join(" and ")),
        };
        self.assume(
            format!(
                "its throttle keeps its times under load: {what}{times} (time it with the limb on)"
            ),
            "",
        );
    }

    /// The least time of each way that its air pushes, from standing still.
    fn least_times(&self, rod: &Rod, load: &StrutLoad) -> Vec<LeastTime> {
        let drive = self.bench.fitted.figure.limbs[self.limb()].drive.as_ref();
        let ways: &[_] = match drive.map(|d| &d.mechanism) {
            Some(DriveKind::Strut(s)) => &[
                (false, load.can_push, s.air.up, "up", "out"),
                (true, load.can_pull, s.air.down, "down", "in"),
            ],
            Some(DriveKind::Cord(c)) => &[(true, load.can_pull, c.air.up, "up", "in")],
            _ => &[],
        };
        let one = |&(shorter, can, throttle, word, way): &(bool, Option<Newton>, _, _, _)| {
            let can = can?;
            let takes = rod.least_time(shorter, can.0)?;
            let moved = rod.from_rest[usize::from(shorter)].iter().map(|p| p.mass);
            Some(LeastTime { can, takes, throttle, word, way, moved: moved.fold(0.0, f64::max) })
        };
        ways.iter().filter_map(one).collect()
    }

    /// A throttle only slows: where it is set to less than the air takes to set the limb in
    /// motion, the limb comes late.
    fn throttled(&mut self, least: &[LeastTime]) {
        for l in least {
            let Some(told) = l.throttle.filter(|t| l.takes > t.0) else { continue };
            let takes = decimal(up(l.takes), 2);
            if self.rests_on_what_nobody_said() {
                let what = format!(
                    "whether its throttle keeps {} s {}: as assumed its air takes {takes} s at least",
                    decimal(told.0, 3),
                    l.way
                );
                self.not_made(&*what, "weighed 0.6 kg");
                continue;
            }
            let message = format!(
                "{} is to go {} in {} s; from standing still the {} of its cylinder take {takes} s at \
                 the least.",
                self.name(),
                l.way,
                decimal(told.0, 3),
                self.force(l.can)
            );
            let found = self.report(&codes::CYLINDER_SLOW, message);
            found.worked = vec![
                Step::new(
                    "its throttle is to let it through in",
                    "",
                    format!("{} s", decimal(told.0, 3)),
                ),
                Step::new("its air pushes with", "", force_word(l.can)),
                Step::new(
                    "it has to move, felt at its rod",
                    "",
                    format!("{} kg", decimal(l.moved, 3)),
                ),
                Step::new(
                    "from standing still, its work turned into speed piece by piece",
                    "sum of 2 dx/(v + v'), m v^2/2 = sum of (force - load) dx",
                    format!("{} s", decimal(l.takes, 4)),
                ),
                Step::new("rounded up", "", format!("{takes} s")),
            ];
            found.help = Some(format!(
                "give it longer than `throttle {} {takes} s`, since valve and hose take time too, or take a \
                 larger bore, more pressure or a lighter limb.",
                l.word
            ));
        }
    }

    /// Whether what a cylinder moves, or its pressure, is only taken.
    fn rests_on_what_nobody_said(&self) -> bool {
        let limbs = &self.bench.fitted.figure.limbs;
        let pressure = limbs[self.limb()].drive.as_ref().and_then(|d| match &d.mechanism {
            DriveKind::Strut(s) => s.air.pressure,
            DriveKind::Cord(c) => c.air.pressure,
            _ => None,
        });
        pressure.is_none() || self.limbs.iter().any(|&l| guessed(&limbs[l]))
    }

    /// How much of its force a cylinder may be asked for.
    fn share(&self, mechanism: &Fitted) -> f64 {
        let Some(drive) = mechanism.as_drive() else { return SLOW };
        let time = drive.figures.iter().find_map(|f| match f.value {
            Measure::Time(t) if f.name == "time_up" => Some(t.0),
            _ => None,
        });
        let span = drive.made().way.source().span();
        let stroke = (span.to - span.from) * 1e-3;
        match time {
            Some(t) if t > 0.0 && stroke / t > QUICK_SPEED => QUICK,
            _ => SLOW,
        }
    }

    fn force(&self, force: Newton) -> String {
        print::force(force, self.system())
    }

    /// Reports a strut that has too little force only where it lies nearly in line.
    fn near_dead_centre(&mut self, kind: MotorKind, (word, has): (&str, Newton), push: Deg) {
        let code = if kind == MotorKind::Ram { &codes::RAM_WEAK } else { &codes::CYLINDER_WEAK };
        let what = kind.word();
        let message = format!(
            "near its dead centre {} asks its {what} to {word} with more than the {} that are to be used: there \
             {what} and lever come within {} deg of one line.",
            self.name(),
            self.force(has),
            decimal(push.0, 1)
        );
        let found = self.report(code, message);
        found.severity = Severity::Error;
        found.help = Some(
            "no stronger one helps: clamp the lever at another angle, or move the anchor, so that it stays 30 \
             deg and more away from that line."
                .to_owned(),
        );
    }

    fn weak(&mut self, kind: MotorKind, word: &str, needed: Newton, can: Newton, share: f64) {
        let (code, what) = match kind {
            MotorKind::Ram => (&codes::RAM_WEAK, "ram"),
            _ => (&codes::CYLINDER_WEAK, "cylinder"),
        };
        let message = format!(
            "{} asks its {what} to {word} with {}; it has {}, of which {} are to be used.",
            self.name(),
            self.force(needed),
            self.force(can),
            self.force(can * share)
        );
        let wanted = print::force_up(needed / share, self.system());
        let found = self.report(code, message);
        found.worked = vec![Step::new(
            "of it to be used",
            format!("{} x {}", decimal(share, 2), decimal(can.0, 2)),
            format!("{} N", decimal(can.0 * share, 2)),
        )];
        if needed.0 > can.0 {
            found.severity = Severity::Error;
        }
        found.help = Some(match kind {
            MotorKind::Ram => {
                format!("take one rated for {wanted}, a longer lever hole, or a counterweight.")
            }
            _ => format!(
                "take a bore or a pressure that gives {wanted}, a longer lever hole, or a counterweight."
            ),
        });
    }
}

/// Where a strut comes so near to one line with its lever what it must push grows without
/// end, and says nothing of the ram to buy (common practice, no source: ten degrees, where
/// it is six times the force that a square push takes).
const NEAR_DEAD: Deg = Deg(10.0);

/// The least angle between strut and lever, where that is near a dead centre.
fn near_dead(mechanism: &Fitted) -> Option<Deg> {
    let course = &mechanism.as_drive()?.made().course;
    // Of a limb that rides wherever its carrier is.
    let worst = mechanism.figure_angle("carried_push").unwrap_or(course.worst_push);
    Some(worst).filter(|push| *push < NEAR_DEAD)
}

/// A force of a sum.
fn force_word(force: Newton) -> String {
    format!("{} N", decimal(force.0, 2))
}

/// A force among a mechanism's figures.
fn figure(mechanism: &Fitted, name: &str) -> Option<Newton> {
    mechanism.as_drive()?.figures.iter().find_map(|f| match f.value {
        Measure::Force(n) if f.name == name => Some(n),
        _ => None,
    })
}
