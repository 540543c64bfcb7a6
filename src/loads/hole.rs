//! Holes, rods and pins: what pulls on them and what they bear.

use super::LoadedLimb;
use super::clamp_codes::{HOLE_TEARS, PIN_OFF_EDGE, ROD_BENDS, ROD_BINDS};
use super::crank_seat::held_torque;
use super::hole_end::loaded_end;
use super::motor::{Fastest, MotorPoint, fastest};
use super::pin::{self, Before};
use super::rod_stock::RodStock;
use super::wind_limb::{left_out, sheet_said, typical_sheet};
use super::wind_limit::{Input, Limit, When, input};
use crate::finding::Severity;
use crate::fit::{Fitted, FittedFigure, SizeName};
use crate::geometry::{Dir, OnLimb, Point};
use crate::mechanism::{Path, Pin};
use crate::model::{
    DriveKind, Figure, Joint, Limb, Material, Mount, Note, PIN, RodBent, Shape, Source,
};
use crate::units::{Deg, MetrePerSec, System};

/// Against tearing: metal, and wood and plastic (common practice, no source).
const TEAR: (f64, f64) = (2.0, 3.0);
/// On yield (common practice, no source).
pub(super) const STEEL: f64 = 1.5;
/// How far a straight rod may lean in a plain hole and in a ball end, deg (common
/// practice, no source).
const LEAN: (f64, f64) = (3.0, 13.0);

/// What pulls and turns: N and N.m.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Forces {
    /// The largest torque of its drive on the limb about its pivot, in calm air, over the
    /// whole cycle at its speed: weight, inertia, friction, loads and what rides on it.
    pub torque: Option<f64>,
    /// The largest force along the rod over the same cycle.
    pub rod: Option<f64>,
    /// The torque its motor has when the limb is held: the driver's limit, or the current
    /// that the voltage at the end of its cable drives through it.
    pub jam: Option<f64>,
    /// The rod's force then, in the middle of the limb's way, where it is least.
    pub jam_rod: Option<f64>,
    /// What pushes its crank's pin then, by a rod or in a slot: torque over crank.
    pub jam_pin: Option<f64>,
    /// Torque on the limb then.
    pub jam_torque: Option<f64>,
    /// The fastest the limb moves for each radian of its motor.
    pub fastest: Option<Fastest>,
}

impl Forces {
    /// The forces of a limb; what is not known is `None`.
    #[must_use]
    pub fn of(
        fitted: &FittedFigure,
        index: usize,
        loaded: &LoadedLimb,
        motor: &MotorPoint,
    ) -> Self {
        let mechanism = fitted.limbs[index].mechanism.as_ref();
        let turns = matches!(fitted.figure.limbs[index].joint, Joint::Pivot { .. });
        let cycle = loaded.cycle.as_ref();
        let jam = held_torque(motor);
        // Only a crank pushes its pin with the motor's whole torque.
        let crank = mechanism.filter(|m| !m.faulty() && pin::on_crank(&fitted.figure.limbs[index]));
        let jam_pin = crank
            .and_then(|m| m.drilled(SizeName::Crank))
            .zip(jam)
            .map(|(crank, torque): (f64, f64)| torque / (crank * 1e-3));
        let bar = matches!(mechanism, Some(Fitted::FourBar(_)));
        let fastest = mechanism.and_then(fastest);
        let turning = fastest.filter(|f| !f.slides);
        Self {
            torque: cycle.map(|c| c.most_torque).filter(|_| turns),
            rod: cycle.and_then(|c| c.most_push),
            jam,
            jam_rod: jam_pin.filter(|_| bar),
            jam_pin,
            jam_torque: jam.zip(turning).map(|(t, f)| t / f.rate),
            fastest,
        }
    }
}

/// The hole in a limb's tail that its rod takes hold of.
pub(super) const TAIL: &str = "tail pin";

/// The hole in a limb that slides, for the pin of what pushes it.
pub(super) const SLIDE: &str = "driving pin";

/// The hole for the pin of a rod that pushes another limb.
const ROD_PIN: &str = "pin for another limb's rod";
/// Such a pin this near to the edge, mm, or outside, sits on a bracket of the maker's.
pub(super) const ON_A_BRACKET: f64 = 0.5;

/// A hole in the limb's own sheet.
pub(super) struct Hole {
    /// What goes through it.
    pub what: &'static str,
    /// Where it is.
    pub at: Point<OnLimb>,
    /// Diameter of its bolt or pin, mm.
    pub diameter: f64,
    /// Whether its pin is taken to be of M6.
    pub typical: bool,
    /// The pull on it, N, where known.
    pub pull: Option<f64>,
    /// Whether it rests on a word the maker left out.
    pub left_out: bool,
}

impl Hole {
    /// Its diameter as an input.
    fn diameter_input(&self, diameter: f64) -> Input {
        input("diameter", diameter, "mm").given_or_typical(!self.typical && !self.left_out)
    }
}

/// Everything about holes, rods and pins of a limb.
pub(super) fn limits(
    fitted: &FittedFigure,
    index: usize,
    forces: &Forces,
    motor: &MotorPoint,
) -> Vec<Limit> {
    let figure = &*fitted.figure;
    let limb = &figure.limbs[index];
    let mechanism = fitted.limbs[index].mechanism.as_ref();
    let mut limits = Vec::new();
    for hole in holes(fitted, index, forces) {
        limits.extend(off_edge(limb, &hole, figure.like.is_some()));
        let held = forces.jam_rod.map(|_| (motor, pin::before(figure, index, forces)));
        limits.extend(tears(limb, &hole, held));
        let sound = mechanism.filter(|m| !m.faulty());
        limits.extend(sound.and_then(|m| loaded_end(limb, m, &hole)));
    }
    if let Some(Fitted::FourBar(f)) = mechanism.filter(|m| !m.faulty()) {
        let (bar, standoff) = (f.drilled.bars(), standoff(figure, index));
        if let Some(s) = standoff {
            if limb.build.rod_thread.bent.is_none() {
                limits.extend(binds(limb, bar.rod.0, s));
            }
            let at_work = [(forces.rod, false), (forces.jam_rod, true)];
            limits.extend(at_work.into_iter().filter_map(|(force, jam)| {
                force.map(|force| rod(limb, (bar.rod.0, s), force, jam.then_some(motor)))
            }));
        }
    }
    limits.extend(pin::held(fitted, index, forces, motor));
    limits
}

/// What is not known of holes near an edge that rest on words left out: no finding comes of
/// those, but how near they are is told.
pub(super) fn near_edges(fitted: &FittedFigure, index: usize, forces: &Forces) -> Vec<Note> {
    let figure = &*fitted.figure;
    let limb = &figure.limbs[index];
    if left_out(limb, "outline") {
        return Vec::new();
    }
    let near = |hole: &Hole| {
        let limit = off_edge(limb, hole, false).filter(|l| l.left_out && !l.passes(CALM))?;
        let settle = match (left_out(limb, "sheet"), hole.what) {
            (true, _) => "sheet plywood-6",
            (false, TAIL) => "tail-hole 70 mm at 180 deg",
            (false, _) => "bolt M8",
        };
        let told = limit.message(CALM, figure.system);
        let what = format!("whether a hole splits out: {}, as assumed", told.trim_end_matches('.'));
        Some(Note::new(what, settle))
    };
    holes(fitted, index, forces).iter().filter_map(near).collect()
}

/// Holes near an edge split in any air.
const CALM: MetrePerSec = MetrePerSec(0.0);

/// How much further back the crank lies than the lever, mm, where it was said.
pub(super) fn standoff(figure: &Figure, index: usize) -> Option<f64> {
    let said = figure.limbs[index].drive.as_ref().and_then(|d| d.standoff);
    let motor = figure.motor_of(index).and_then(|m| figure.actuators.get(m));
    said.or_else(|| motor.and_then(|m| m.standoff)).map(|s| s.0.abs())
}

/// Where the pin on a limb's lever is in the limb's own plane, and whether the maker said
/// so; `None` for what has no lever, and of a cord, whose hole is as small as its knot.
fn lever_pin(limb: &Limb, mechanism: &Fitted) -> Option<(Point<OnLimb>, bool)> {
    let (lever, clamp, said) = match mechanism {
        Fitted::FourBar(f) => {
            let said = match limb.drive.as_ref().map(|d| &d.mechanism) {
                Some(DriveKind::FourBar(d)) => d.lever.place.is_some(),
                _ => false,
            };
            (f.drilled.bars().lever.0, f.drilled.clamp(), said)
        }
        Fitted::Servo(servo) => {
            let bar = servo.linkage?;
            let open = servo.solved.iter().any(|s| matches!(*s, "lever" | "clamp"));
            (bar.bars().lever.0, bar.clamp(), !open)
        }
        Fitted::Drive(drive) => {
            if matches!(limb.drive.as_ref()?.mechanism, DriveKind::Cord(_)) {
                return None;
            }
            let size = |name| drive.sizes.iter().find(|s| s.name == name);
            let (lever, clamp) = (size(SizeName::Lever)?, size(SizeName::Clamp));
            let said = !lever.solved() && clamp.is_some_and(|c| !c.solved());
            (lever.drilled, Deg(clamp.map_or(0.0, |c| c.drilled)), said)
        }
        Fitted::Spin(_) => return None,
    };
    let at = Dir::degrees(clamp);
    Some((Point::mm(lever * at.x(), lever * at.y()), said))
}

/// Where the pin that pushes a limb along its slide is in the limb's own plane.
fn slide_pin(mechanism: &Fitted) -> Option<Point<OnLimb>> {
    let built = &mechanism.as_drive()?.drilled;
    let span = built.course.span;
    let input = built.way.at((span.from + span.to) / 2.0).ok()?;
    let limb = built.mechanism.position(&input).ok()?.limb;
    let pins = built.mechanism.pins(&input, &limb);
    let (_, pin) = pins.into_iter().find(|(what, _)| *what == Pin::Slide)?;
    let (x, y) = (pin.x - limb.x, pin.y - limb.y);
    Some(Point::mm(x * limb.cos + y * limb.sin, y * limb.cos - x * limb.sin))
}

/// The bolt's hole, those for the pins of what pushes the limb and of the rod with which
/// it pushes another, and those for the bolts of what rides on it.
fn holes(fitted: &FittedFigure, index: usize, forces: &Forces) -> Vec<Hole> {
    let figure = &*fitted.figure;
    let limb = &figure.limbs[index];
    let sound = |at: usize| fitted.limbs[at].mechanism.as_ref().filter(|m| !m.faulty());
    let mut holes = Vec::new();
    let not_said = left_out(limb, "outline") || left_out(limb, "sheet");
    let pull = forces.jam_rod.or(forces.rod);
    if let (Joint::Pivot { .. }, Some(bolt)) = (&limb.joint, &limb.bolt) {
        let mut hole = Hole {
            what: "bolt",
            at: Point::origin(),
            diameter: bolt.diameter.0,
            typical: false,
            pull,
            left_out: not_said || left_out(limb, "bolt"),
        };
        // Off the sheet that was drawn no bolt at all has a hole.
        let off = edge(limb, &hole).is_some_and(|e| e < -ON_A_BRACKET);
        hole.left_out &= !off || left_out(limb, "outline");
        holes.push(hole);
    }
    let pin = |what, at, pull, said: bool| Hole {
        what,
        at,
        diameter: PIN.0,
        typical: true,
        pull,
        left_out: not_said || !said,
    };
    // In front of the board a lever of its own sits on the bolt.
    let tailed = limb.is_its_own_lever();
    match limb.joint {
        Joint::Pivot { .. } => {
            let at = sound(index).filter(|_| tailed).and_then(|m| lever_pin(limb, m));
            holes.extend(at.map(|(at, said)| pin(TAIL, at, pull, said)));
        }
        Joint::Slide { .. } => {
            holes.extend(sound(index).and_then(slide_pin).map(|at| pin(SLIDE, at, None, true)));
        }
    }
    for (other, pushed) in figure.limbs.iter().enumerate() {
        let from_here = pushed.drive.as_ref().is_some_and(|d| d.source == Source::Limb(index));
        let rod = sound(other)
            .filter(|_| from_here && pushed.carrier.is_none())
            .and_then(|m| m.as_drive()?.drilled.mechanism.rod());
        let at = rod.map(|[near, _]| Point::mm(near[0], near[1]));
        holes.extend(at.map(|at| pin(ROD_PIN, at, None, true)));
    }
    // What rides on the limb has its bolt in it.
    let name = &limb.name.value;
    for rider in &figure.limbs {
        let carrier = rider.carrier.and_then(|c| figure.limbs.get(c));
        if let (Joint::Pivot { at: Some(at), .. }, Some(bolt)) = (&rider.joint, &rider.bolt)
            && carrier.is_some_and(|c| c.name.value == *name)
            && let Some(own) = limb.own(*at)
        {
            holes.push(Hole {
                what: "carried limb's bolt",
                at: own,
                diameter: bolt.diameter.0,
                typical: false,
                pull: None,
                left_out: not_said || left_out(rider, "bolt"),
            });
        }
    }
    holes
}

/// Distance from a hole's middle to the edge, mm; nought and less outside the outline.
/// The blunt end of a strip without a stated tail does not count: where it is cut was
/// left to the maker.
pub(super) fn edge(limb: &Limb, hole: &Hole) -> Option<f64> {
    let outline = limb.silhouette()?;
    if let Some(Shape::Strip { width, tail }) = limb.shape
        && tail.0 == 0.0
        && hole.at.x.abs() < 1e-9
    {
        return Some(width.0 / 2.0);
    }
    let distance = outline.distance_to_edge(hole.at).0;
    // A point on the lower or left edge counts as inside.
    Some(if outline.contains(hole.at) { distance } else { -distance })
}

/// How many diameters of the bolt a hole is to stand from the edge.
///
/// 3 towards an unloaded edge of plywood (EN 1995-1-1, table 8.4; from memory), 4 with
/// two full flutes in corrugated sheet and 1.5 in metal (common practice, no source),
/// 2 in solid plastic (common practice, no source).
const fn diameters(material: Material) -> f64 {
    match material {
        Material::Plywood => 3.0,
        Material::Corrugated => 4.0,
        Material::Plastic => 2.0,
        Material::Metal => 1.5,
    }
}

/// The thickest usual bolt for which a limb's sheet has wood enough round its pivot, in the
/// household of its figure; `None` where it has too little for any.
pub(super) fn usual_bolt(limb: &Limb, system: System) -> Option<&'static str> {
    let bolts: &[(&str, f64)] = match system {
        System::Inch => &[("5/16-18", 25.4 * 5.0 / 16.0), ("1/4-20", 25.4 / 4.0)],
        _ => &[("M8", 8.0), ("M6", 6.0), ("M5", 5.0)],
    };
    let material = limb.sheet.as_deref().and_then(|s| s.material);
    let (what, at) = ("bolt", Point::origin());
    let hole = |diameter| Hole { what, at, diameter, typical: false, pull: None, left_out: false };
    let fits = |d: f64| match (material, edge(limb, &hole(d))) {
        (Some(material), Some(edge)) => edge >= diameters(material) * d,
        _ => true,
    };
    bolts.iter().find(|(_, d)| fits(*d)).map(|(name, _)| *name)
}

/// Nearer than this the sheet splits as soon as it is drilled.
const SPLITS: f64 = 1.0;

fn off_edge(limb: &Limb, hole: &Hole, copy: bool) -> Option<Limit> {
    let material = limb.sheet.as_deref()?.material?;
    let (e, d) = (edge(limb, hole)?, hole.diameter);
    // Where these pins sit follows from the guide, or from another limb's rod.
    let follows = matches!(hole.what, SLIDE | ROD_PIN);
    if follows && e <= ON_A_BRACKET {
        return None;
    }
    let wanted = diameters(material) * d;
    // Turned round, so that a smaller distance asks more than it bears.
    Some(Limit {
        code: &PIN_OFF_EDGE,
        when: When::Run,
        severity: if e < SPLITS * d && !follows { Severity::Error } else { Severity::Warning },
        goes: "a hole splits out",
        says: [
            format!("the {} of {} wants ", hole.what, limb.said()),
            format!(" to the sheet's edge of its {}, and has ", material.word()),
            if e < -ON_A_BRACKET { ": it lies outside".to_owned() } else { String::new() },
        ],
        calm: wanted,
        per_gust2: 0.0,
        bears: e,
        unit: "mm",
        inputs: vec![
            input("edge", e, "mm"),
            hole.diameter_input(d),
            input("diameters", diameters(material), "1").fixed(),
        ],
        typical: if hole.typical { vec!["pin of M6"] } else { Vec::new() },
        left_out: hole.left_out,
        help: format!(
            "move the hole inwards, or leave {wanted:.0} mm of sheet round it{}.",
            if copy { "; a copy of another size keeps its bolts" } else { "" }
        ),
    })
}

/// A hole against its pull: at work, or held by the whole push of a motor whose own parts
/// may give way before.
fn tears(limb: &Limb, hole: &Hole, held: Option<(&MotorPoint, Option<Before>)>) -> Option<Limit> {
    let sheet = limb.sheet.as_deref()?;
    let pull = hole.pull?;
    let factor = if sheet.material? == Material::Metal { TEAR.0 } else { TEAR.1 };
    // In front the torque goes through the clamp; only the tail's own pin is pulled.
    if limb.mount == Mount::Front && hole.what != TAIL {
        return None;
    }
    let tears = tear_force(limb, hole)?;
    let bears = tears / factor;
    let before = held.and_then(|(_, before)| before);
    let before = before.map(|b| (b.what, pull * b.share)).filter(|(_, at)| *at < tears);
    let mut ways = vec!["move the hole inwards".to_owned(), "screw a doubler on".to_owned()];
    ways.extend(held.and_then(|(motor, _)| pin::limit(motor, bears / pull)));
    Some(Limit {
        code: &HOLE_TEARS,
        when: When::Run,
        severity: match before {
            None => HOLE_TEARS.severity,
            // What gives first spares the hole, by all of its factor or by less.
            Some((_, at)) if at <= bears => Severity::Advice,
            Some(_) => Severity::Warning,
        },
        goes: "a hole tears out",
        says: [
            format!("the {} of {} is pulled with ", hole.what, limb.said()),
            format!("{}, and ", if held.is_some() { " when it is held" } else { "" }),
            match before {
                None => format!(" is 1/{factor:.0} of what tears it out"),
                Some((what, at)) => format!(
                    " is 1/{factor:.0} of what tears it out; but {what} first, at {at:.0} N"
                ),
            },
        ],
        calm: pull,
        per_gust2: 0.0,
        bears,
        unit: "N",
        inputs: [input("pull", pull, "N"), input("factor", factor, "1").fixed()]
            .into_iter()
            .chain(before.map(|(_, at)| input("pull_at_which_its_motor_gives_way", at, "N")))
            .chain(tear_inputs(limb, hole))
            .collect(),
        typical: typical_sheet(limb).into_iter().collect(),
        left_out: hole.left_out,
        help: pin::either(&ways),
    })
}

/// A straight rod leans in its holes.
fn binds(limb: &Limb, rod: f64, standoff: f64) -> Option<Limit> {
    let lean = libm::atan2(standoff, rod).to_degrees();
    (standoff > 0.0).then(|| Limit {
        code: &ROD_BINDS,
        when: When::Run,
        severity: if lean > LEAN.1 { Severity::Warning } else { Severity::Advice },
        goes: "its rod binds",
        says: [
            format!("the rod of {} cut straight would lean by ", limb.said()),
            " in its holes, and a plain hole takes ".into(),
            String::new(),
        ],
        calm: lean,
        per_gust2: 0.0,
        bears: LEAN.0,
        unit: "deg",
        inputs: vec![input("standoff", standoff, "mm").given(), input("rod", rod, "mm")],
        typical: Vec::new(),
        left_out: false,
        help: if lean > LEAN.1 {
            "bring lever and crank into one plane; ball ends take 13 deg.".into()
        } else {
            "bend the rod twice so that both ends lie flat (`rod-thread bent middle`), or use ball ends, which take 13 deg."
                .into()
        },
    })
}

/// The force that tears a hole out towards the edge, N.
fn tear_force(limb: &Limb, hole: &Hole) -> Option<f64> {
    let sheet = limb.sheet.as_deref()?;
    let (t, tear) = (sheet.thickness?.0, sheet.tear?.0 * 1e-6);
    Some((2.0 * t * (edge(limb, hole)? - hole.diameter / 2.0) * tear).max(0.0))
}

/// What that force is computed from.
fn tear_inputs(limb: &Limb, hole: &Hole) -> Vec<Input> {
    let Some(sheet) = limb.sheet.as_deref() else { return Vec::new() };
    let of_sheet = |name, value: Option<f64>, unit| {
        value.map(|value| input(name, value, unit).given_or_typical(sheet_said(limb)))
    };
    let all = [
        of_sheet("thickness", sheet.thickness.map(|t| t.0), "mm"),
        edge(limb, hole).map(|e| input("edge", e, "mm")),
        Some(hole.diameter_input(hole.diameter)),
        of_sheet("tear", sheet.tear.map(|t| t.0 * 1e-6), "MPa"),
    ];
    all.into_iter().flatten().collect()
}

/// What the force that tears the hole of the rod's pin out is computed from.
pub(super) fn tail_inputs(fitted: &FittedFigure, index: usize, forces: &Forces) -> Vec<Input> {
    let limb = &fitted.figure.limbs[index];
    let holes = holes(fitted, index, forces);
    holes.iter().find(|h| h.what == TAIL).map_or_else(Vec::new, |h| tear_inputs(limb, h))
}

/// The force that tears the hole of the rod's pin out of a limb behind the board, N;
/// `None` where there is no such hole.
pub(super) fn tail_tears(fitted: &FittedFigure, index: usize, forces: &Forces) -> Option<f64> {
    let limb = &fitted.figure.limbs[index];
    let holes = holes(fitted, index, forces);
    holes.iter().find(|h| h.what == TAIL).and_then(|h| tear_force(limb, h))
}

/// Bending of the rod by its own offset: at work, or with the motor that pushes it when the
/// limb is held.
fn rod(
    limb: &Limb,
    (length, standoff): (f64, f64),
    force: f64,
    held: Option<&MotorPoint>,
) -> Limit {
    let (stock, said) = (RodStock::of(limb), &limb.build.rod_thread);
    let euler = stock.buckles(length) / 2.0;
    let stress = stock.stress(force, standoff);
    // Buckling told as a stress too: what half of Euler's force would be.
    let bears = (stock.yields / STEEL).min(stress * euler / force.max(1e-9));
    let when = if held.is_some() { " when it is held" } else { "" };
    let mut ways = Vec::new();
    if stock.bent == RodBent::End {
        ways.push("bend it in its middle instead of at one end (`rod-thread bent middle`)".into());
    }
    ways.push("bring lever and crank nearer to one plane".to_owned());
    ways.extend(held.and_then(|motor| pin::limit(motor, bears / stress)));
    Limit {
        code: &ROD_BENDS,
        when: When::Run,
        severity: if held.is_some() { Severity::Warning } else { ROD_BENDS.severity },
        goes: "its rod bends",
        says: [
            format!("the motor bends the rod of {}{when} with ", limb.said()),
            ", and ".into(),
            " is what it may".into(),
        ],
        calm: stress,
        per_gust2: 0.0,
        bears,
        unit: "MPa",
        inputs: vec![
            input("force", force, "N"),
            input("standoff", standoff, "mm").given(),
            input("length", length, "mm"),
            input("diameter", stock.root, "mm").given_or_typical(said.size.is_some()),
            input("yield", stock.yields, "MPa").given_or_typical(said.yields.is_some()),
            input("buckles_halved", euler, "N"),
        ],
        typical: stock.typical.into_iter().collect(),
        left_out: false,
        help: pin::either(&ways),
    }
}
