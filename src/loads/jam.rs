//! A limb that is held: what gives first while its motor pushes.
//!
//! Everything is told as the motor's own effort at which it happens (torque at its shaft, or
//! push of a ram or cylinder), with the limb in the middle of its way, where the linkage
//! passes on least: the same push grows without bound towards either end. Strengths are
//! those of the parts themselves, without the factors that the checks put on them. What was
//! taken for a part that nobody named is said with it.

use super::Grade;
use super::at_stop;
use super::clamp::{comes_loose, lever_holds, lever_inputs, through_bolt};
use super::cycle::Effort;
use super::hole::{self, Forces};
use super::motor::codes::JAM;
use super::motor::{Fastest, HAND_STANDS, MotorPoint, Work};
use super::pin;
use super::rod_stock::{PinStock, RodStock};
use super::wind_limb::left_out;
use super::wind_limit::{Input, Source, input};
use super::works::spool;
use crate::finding::{Finding, Step};
use crate::fit::{Fitted, FittedFigure, SizeName};
use crate::model::{Actuator, DriveKind, Joint, Limb, MotorKind, Mount, Note};
use crate::units::print::{self, decimal};
use crate::units::{Mm, Newton};

/// Where a hand is commonly caught: this far from the bolt, m.
const HAND: f64 = 0.1;

/// Something that gives way.
#[derive(Clone, Debug, PartialEq)]
pub struct Gives {
    /// What happens, in few words: "its crank pin bends".
    pub what: &'static str,
    /// The motor's torque, N.m, or push, N, at which it does.
    pub at: f64,
    /// What was taken for a part that nobody named: "pin of M6, class 4.6".
    pub assumed: Option<&'static str>,
    /// The numbers it was computed from.
    pub inputs: Vec<Input>,
}

impl Gives {
    /// Where its numbers come from.
    #[must_use]
    pub fn grade(&self) -> Grade {
        let usual = self.inputs.iter().any(|i| i.source == Source::Typical);
        if self.assumed.is_some() || usual { Grade::Typical } else { Grade::Given }
    }
}

/// A limb that is held.
#[derive(Clone, Debug, PartialEq)]
pub struct Held {
    /// Whether its motor turns or pushes.
    pub effort: Effort,
    /// What its motor can push with: N.m, or N.
    pub motor: f64,
    /// Torque on the limb then, in the middle of its way, N.m.
    pub torque: Option<f64>,
    /// Force along its rod, belt or cord then, N.
    pub rod: Option<f64>,
    /// Force on what holds it then, 100 mm from its bolt or along its guide, N.
    pub push: Option<f64>,
    /// What gives, the first first, whether the motor gets so far or not.
    pub gives: Vec<Gives>,
}

impl Held {
    /// What gives first, where the motor pushes so hard.
    #[must_use]
    pub fn first(&self) -> Option<&Gives> {
        self.gives.first().filter(|g| g.at < self.motor)
    }
}

/// What grows and falls with the strength of a part.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum By {
    /// The motor's own effort.
    Motor,
    /// The force along rod, pin, belt or cord.
    Rod,
    /// The torque on the limb.
    Limb,
}

/// What a motor has when its limb is held.
fn effort(point: &MotorPoint, actuator: &Actuator, forces: &Forces) -> Option<(Effort, f64)> {
    let most =
        |a: Option<Newton>, b: Option<Newton>| a.into_iter().chain(b).map(|n| n.0).reduce(f64::max);
    let kind = actuator.motor.kind;
    match &point.work {
        // By its two speeds a ram may push harder than it is rated for.
        Some(Work::Strut(load)) => {
            let can = most(load.can_push, load.can_pull);
            let stops = actuator.motor.stops_at().filter(|_| kind == MotorKind::Ram);
            Some((Effort::Force, most(stops, can.map(Newton))?))
        }
        _ if kind == MotorKind::Spool => Some((Effort::Winding, forces.jam?)),
        _ => Some((Effort::Torque, forces.jam?)),
    }
}

/// How the motor's effort comes to the limb: SI units throughout.
#[derive(Clone, Copy, Debug)]
pub(super) struct Transfer {
    /// Turn of the limb, rad, or its way, m, for each rad or m of the motor.
    pub rate: Option<(f64, bool)>,
    /// The motor's effort for each N along rod, pin, belt or cord.
    pub arm: Option<f64>,
}

fn transfer(
    mechanism: &Fitted,
    drive: &DriveKind,
    (point, effort): (&MotorPoint, Effort),
    fastest: Option<Fastest>,
) -> Transfer {
    let fast = match (&point.work, mechanism) {
        (Some(Work::Servo(load)), _) => Some((load.ratio, false)),
        _ => fastest.map(|f| match (f.slides, effort) {
            (true, Effort::Torque) => (f.rate * 1e-3, true),
            (true, _) => (f.rate, true),
            (false, Effort::Torque) => (f.rate, false),
            (false, _) => (f.rate * 1e3, false),
        }),
    };
    let size = |name| mechanism.drilled(name).map(|s: f64| s * 1e-3);
    let drum = spool(mechanism).map(|r| r * 1e-3);
    // A spool's own coordinate is its cord.
    let rate = match (effort, drum) {
        (Effort::Winding, Some(r)) => fast.map(|(f, slides)| (f * r, slides)),
        (Effort::Winding, None) => None,
        _ => fast,
    };
    let arm = match (drive, effort) {
        (_, Effort::Force) => Some(1.0),
        (_, Effort::Winding) => drum,
        (DriveKind::Forearm(_), _) => size(SizeName::Lever).zip(rate).map(|(l, (r, _))| l * r),
        (DriveKind::Spin(spin), _) => match (spin.pitch, spin.teeth.first()) {
            (Some(pitch), Some(teeth)) => {
                Some(pitch.0 * 1e-3 * f64::from(*teeth) / std::f64::consts::TAU)
            }
            _ => None,
        },
        _ => size(SizeName::Crank),
    };
    Transfer { rate, arm }
}

/// What is said of a limb that is held besides.
pub(super) struct Told {
    /// What could not be told of it.
    pub not_checked: Vec<Note>,
    /// What happens where its motor runs it into its stops.
    pub at_stops: Option<Note>,
}

/// What happens when a limb is held, and what is said of it besides; `None` where nothing
/// says how hard its motor pushes.
pub(super) fn held(
    fitted: &FittedFigure,
    index: usize,
    forces: &Forces,
    point: &MotorPoint,
) -> Option<(Held, Told)> {
    let figure = &*fitted.figure;
    let limb = &figure.limbs[index];
    let actuator = figure.motor_of(index).and_then(|m| figure.actuators.get(m))?;
    let (effort, motor) = effort(point, actuator, forces)?;
    let mechanism = fitted.limbs[index].mechanism.as_ref().filter(|m| !m.faulty())?;
    let drive = &limb.drive.as_ref()?.mechanism;
    let middle = transfer(mechanism, drive, (point, effort), forces.fastest);
    let Transfer { rate, arm } = middle;
    let mut gives = Vec::new();
    let mut notes = Vec::new();
    let mut add = |by, what, at: Option<f64>, assumed, inputs: Vec<Input>| {
        let gives_at = at.filter(|t| t.is_finite());
        gives.extend(gives_at.map(|at| (by, Gives { what, at, assumed, inputs })));
    };
    let own = |field| actuator.motor.says(field);
    // What turns a force on rod, pin or belt into the motor's effort.
    let passed = || arm.map(|a| input("arm", a, if effort == Effort::Force { "1" } else { "m" }));
    match actuator.motor.survives {
        Some(torque) => {
            let survives = input("survives", torque.0, "N.m").given_or_typical(own("survives"));
            add(By::Motor, "its motor's gears give way", Some(torque.0), None, vec![survives]);
        }
        None if actuator.motor.kind == MotorKind::Servo => notes.push(Note::new(
            "whether its servo's gears strip first when it is held (the torque they survive)",
            actuator.motor.settle("survives 0.5 N.m"),
        )),
        None => {}
    }
    let seat = actuator.motor.seat.and_then(|s| s.holds);
    let holds = seat.map(|t| input("holds", t.0, "N.m").given_or_typical(own("seat")));
    let slips = seat.map(|t| t.0);
    add(
        By::Motor,
        "its crank slips on the motor's shaft",
        slips,
        None,
        holds.into_iter().collect(),
    );
    if effort == Effort::Winding && arm.is_none() {
        let what = "how hard it pulls when it is held (the diameter of its spool)";
        notes.push(Note::new(what, "spool 40 mm"));
    }
    // From torque on the limb to the motor's effort.
    let turned = rate.filter(|(_, slides)| !slides).map(|(r, _)| r);
    loose(limb, turned, &mut add);
    let standoff = || hole::standoff(figure, index).unwrap_or(0.0);
    if pin::on_crank(limb) {
        let reach = pin::reach(fitted, index);
        let pin = PinStock::of(limb);
        let gives = pin.yields / pin.stress(1.0, reach);
        let inputs = pin::inputs(limb, &pin, reach);
        let inputs = inputs.into_iter().chain(passed()).collect();
        let said = pin.typical(reach > pin.reach);
        add(By::Rod, "its crank pin bends", arm.map(|a| gives * a), said, inputs);
    }
    let rod = match drive {
        DriveKind::Strut(_) | DriveKind::Cord(_) | DriveKind::Spin(_) => None,
        _ => mechanism.drilled(SizeName::Rod),
    };
    if let Some(rod) = rod {
        let stock = RodStock::of(limb);
        let standoff = standoff();
        let bends = arm.map(|a| stock.gives(rod, standoff) * a);
        // Straight it is bent nowhere.
        let said = if standoff > 0.0 { stock.typical } else { RodStock::steel(limb) };
        let thread = &limb.build.rod_thread;
        let inputs = [
            input("yield", stock.yields, "MPa").given_or_typical(thread.yields.is_some()),
            input("diameter", stock.root, "mm").given_or_typical(thread.size.is_some()),
            input("length", rod, "mm"),
            input("standoff", standoff, "mm"),
        ];
        add(By::Rod, "its rod bends", bends, said, inputs.into_iter().chain(passed()).collect());
    }
    let tears = hole::tail_tears(fitted, index, forces).zip(arm).map(|(f, a)| f * a);
    let sheet = left_out(limb, "sheet").then_some("sheet");
    let inputs = hole::tail_inputs(fitted, index, forces);
    let inputs = inputs.into_iter().chain(passed()).collect();
    add(By::Rod, "the rod tears its hole out", tears, sheet, inputs);
    let pulled = match drive {
        DriveKind::Cord(cord) => Some(("its cord breaks", cord.breaks, "breaks 200 N")),
        DriveKind::Spin(spin) if spin.by == "belt" => {
            Some(("its belt jumps over its teeth", spin.breaks, "breaks 60 N"))
        }
        DriveKind::Spin(spin) if spin.by == "chain" => {
            Some(("its chain breaks", spin.breaks, "breaks 500 N"))
        }
        _ => None,
    };
    if let Some((what, breaks, settle)) = pulled {
        match breaks {
            Some(pull) => {
                let breaks = input("breaks", pull.0, "N").given();
                let inputs = [breaks].into_iter().chain(passed()).collect();
                add(By::Rod, what, arm.map(|a| pull.0 * a), None, inputs);
            }
            None => {
                let note = format!("whether {what} first when it is held (at what pull)");
                notes.push(Note::new(note, settle));
            }
        }
    }
    let at_stops = at_stop::told((fitted, index), (effort, motor), middle, &gives);
    let mut gives: Vec<Gives> = gives.into_iter().map(|(_, gives)| gives).collect();
    gives.sort_by(|a, b| a.at.total_cmp(&b.at));
    let push = rate.map(|(r, slides)| if slides { motor / r } else { motor / (r * HAND) });
    let held = Held {
        effort,
        motor,
        torque: turned.map(|r| motor / r).filter(|t| t.is_finite()),
        rod: arm.map(|a| motor / a).filter(|f| f.is_finite()),
        push: push.filter(|p| p.is_finite()),
        gives,
    };
    Some((held, Told { not_checked: notes, at_stops }))
}

/// The clamps of a limb in front that is turned through its bolt.
fn loose(
    limb: &Limb,
    turned: Option<f64>,
    add: &mut impl FnMut(By, &'static str, Option<f64>, Option<&'static str>, Vec<Input>),
) {
    let passed = || turned.map(|r| input("limb_per_motor", r, "1"));
    if let Some((what, torque, inputs)) = comes_loose(limb) {
        let words = ["sheet", "bolt", "outline"];
        let assumed = words.iter().any(|w| left_out(limb, w))
            || limb.build.washer.is_none()
            || limb.build.clamp.is_none();
        let said = assumed.then_some("sheet, bolt, washers and clamp");
        let inputs = inputs.into_iter().chain(passed()).collect();
        add(By::Limb, what, turned.map(|r| torque * r), said, inputs);
    }
    if limb.mount == Mount::Front && through_bolt(limb) {
        let holds = lever_holds(limb).zip(turned).map(|((t, _), r)| t * r);
        let said = Some("steel lever between two nuts");
        let inputs = lever_inputs(limb).into_iter().chain(passed()).collect();
        add(By::Limb, "its lever slips on the bolt", holds, said, inputs);
    }
}

/// What is said of a ram whose limb is held.
#[derive(Default)]
pub(super) struct RamHeld {
    /// That it pushes with more than a hand stands, where the maker wrote its force.
    pub found: Option<Finding>,
    /// What was taken for that.
    pub assumed: Vec<Note>,
}

/// What a ram does to a hand that is caught, and what its force then rests on.
pub(super) fn of_ram(fitted: &FittedFigure, index: usize, held: &Held) -> RamHeld {
    let mut told = RamHeld::default();
    let figure = &*fitted.figure;
    let limb = &figure.limbs[index];
    let actuator = figure.motor_of(index).and_then(|m| figure.actuators.get(m));
    let Some(actuator) = actuator.filter(|a| a.motor.kind == MotorKind::Ram) else { return told };
    let (sheet, system) = (&actuator.motor, figure.system);
    let force = |n: f64| print::force(Newton(n), system);
    let stops = match (sheet.speed_mm_s, sheet.loaded) {
        (Some(free), Some((loaded, at))) if sheet.stops_at().is_some_and(|s| s.0 >= held.motor) => {
            told.assumed.push(Note::new(
                format!("its ram stops at {}, its speeds carried on in a line", force(held.motor)),
                "",
            ));
            let sum = format!(
                "{} x {}/({} - {})",
                decimal(at.0, 1),
                decimal(free, 3),
                decimal(free, 3),
                decimal(loaded, 3)
            );
            Step::new("its ram stops, its speeds carried on", sum, force(held.motor))
        }
        _ => Step::given("its ram is rated for", force(held.motor)),
    };
    let Some(push) = held.push.filter(|p| *p > HAND_STANDS) else { return told };
    let slides = matches!(limb.joint, Joint::Slide { .. });
    let arm = print::length(Mm(HAND * 1e3), system);
    let place = if slides { "along its guide".to_owned() } else { format!("{arm} from the bolt") };
    let what = format!("pushes with {} {place}", force(push));
    if !(sheet.says("force") || sheet.says("loaded")) {
        told.assumed.push(Note::new(
            format!("if held, its ram {what}"),
            sheet.settle("loaded 0.006 m/s at 100 N"),
        ));
        return told;
    }
    let name = format!("{}.{}", figure.name.value, limb.name.value);
    let message = format!("if {name} is held, its ram {what}.");
    let arm = if slides {
        Step::given("pushes", "along its guide")
    } else {
        Step::given("pushes this far from the bolt", arm)
    };
    let rate = decimal(held.motor / push, 4);
    told.found = Some(
        Finding::new(&JAM, actuator.place, message)
            .help("guard the gaps it closes, or take a ram that stops at less.")
            .about(&figure.name.value, Some(&limb.name.value))
            .steps([
                arm,
                stops,
                Step::given("that place moves for each m of its ram", format!("{rate} m")),
                Step::new(
                    "it pushes with force/that",
                    format!("{}/{rate}", decimal(held.motor, 2)),
                    force(push),
                ),
                Step::given("a hand is held to stand", force(HAND_STANDS)),
            ]),
    );
    told
}
