//! Holes, rods and pins: what pulls on them and what they bear.

use std::f64::consts::PI;

use super::MassProperties;
use super::clamp_codes::{HOLE_TEARS, LIMB_RATTLES, PIN_OFF_EDGE, ROD_BENDS, ROD_BINDS};
use super::wind_limb::left_out;
use super::wind_limit::{Limit, When, input};
use crate::finding::Severity;
use crate::fit::{Fitted, FittedFigure};
use crate::geometry::{Dir, OnLimb, Point};
use crate::mechanism::{Bars, Travel};
use crate::model::{Actuator, DriveKind, Figure, Joint, Limb, Material, MotorKind, Mount, Shape};
use crate::units::Deg;

/// Standard gravity, m/s2.
const GRAVITY: f64 = 9.806_65;
/// Against tearing: metal, and wood and plastic (common practice, no source).
const TEAR: (f64, f64) = (2.0, 3.0);
/// On yield (common practice, no source).
const STEEL: f64 = 1.5;
/// Yield of a plain rod or pin, class 4.6, MPa (ISO 898-1, from memory).
const YIELD: f64 = 240.0;
/// Modulus of steel, MPa.
const STEEL_MODULUS: f64 = 205_000.0;
/// A rod of M8 thread: its minor diameter, mm (ISO 724).
const ROD: f64 = 6.647;
/// A pin of M6: diameter, minor diameter, and the play of its medium hole (ISO 273), mm.
const PIN: (f64, f64, f64) = (6.0, 4.917, 0.6);
/// How far the middle of a rod's eye stands from the crank's face, mm.
const REACH: f64 = 12.0;
/// How far a straight rod may lean in a plain hole and in a ball end, deg (common
/// practice, no source).
const LEAN: (f64, f64) = (3.0, 13.0);
/// How far a limb may wag through the play of its rod's holes, deg (common practice).
const WAG: f64 = 2.0;

/// What pulls and turns: N and N.m.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Forces {
    /// The largest torque on the limb about its pivot, in calm air: its weight at the
    /// worst place of its way, the stated load and the stated friction.
    pub torque: Option<f64>,
    /// The rod's force from that torque at the worst push angle.
    pub rod: Option<f64>,
    /// The rod's force when the limb is held in the middle of its way.
    pub jam_rod: Option<f64>,
}

impl Forces {
    /// The forces of a limb; what is not known is `None`.
    #[must_use]
    pub fn of(fitted: &FittedFigure, index: usize, mass: Option<MassProperties>) -> Self {
        let figure = &*fitted.figure;
        let limb = &figure.limbs[index];
        let mechanism = fitted.limbs[index].mechanism.as_ref();
        let torque = mass.map(|m| {
            weight_torque(&m, mechanism)
                + limb.load.map_or(0.0, |l| l.0.abs())
                + limb.friction.map_or(0.0, |f| f.0)
        });
        let torque = torque.filter(|_| matches!(limb.joint, Joint::Pivot { .. }));
        let bars = mechanism.and_then(bars);
        let rod = torque.zip(bars).map(|(t, (b, push))| t / (b.lever.0 * 1e-3 * push));
        let motor = figure.motor_of(index).and_then(|m| figure.actuators.get(m));
        let jam_rod = motor.and_then(jam).zip(bars).map(|(t, (b, _))| t / (b.crank.0 * 1e-3));
        // Only a crank pushes its rod with the motor's whole torque.
        let cranked = matches!(mechanism, Some(Fitted::FourBar(_)));
        Self { torque, rod, jam_rod: jam_rod.filter(|_| cranked) }
    }
}

/// The largest torque of the weight over the limb's way; over a whole turn where the
/// way is not known.
fn weight_torque(m: &MassProperties, mechanism: Option<&Fitted>) -> f64 {
    let arm = libm::hypot(m.centre.x, m.centre.y) * 1e-3;
    let full = m.mass.0 * GRAVITY * arm;
    let travel = mechanism.and_then(Fitted::follows).and_then(|f| f.travel);
    let (low, high) = match (travel, mechanism) {
        (Some(Travel::Swing(l)), _) => (l.low, l.high),
        (_, Some(Fitted::Servo(s))) => (s.low, s.high),
        _ => return full,
    };
    let offset = libm::atan2(m.centre.y, m.centre.x).to_degrees();
    let (low, high) = (low.0 + offset, high.0 + offset);
    // Level somewhere on its way: the whole of it.
    let level = (high / 180.0).floor() >= (low / 180.0).ceil();
    let lever = |a: f64| Dir::degrees(Deg(a)).x().abs();
    if level { full } else { full * lever(low).max(lever(high)) }
}

/// Crank, rod and lever with the sine of the worst push angle.
fn bars(mechanism: &Fitted) -> Option<(Bars, f64)> {
    let (bar, push) = match mechanism {
        Fitted::FourBar(f) if !f.faulty => (f.drilled, f.as_drilled.motion?.min_transmission),
        Fitted::Servo(s) => (s.linkage?, s.min_transmission?),
        _ => return None,
    };
    let sine = libm::sin(push.rad().0);
    (sine > 0.0).then(|| (bar.bars(), sine))
}

/// The torque with which a motor pushes when it is held, N.m: up to its driver's limit
/// on the straight line of current and torque, else its stall. `None` where neither is
/// known.
fn jam(actuator: &Actuator) -> Option<f64> {
    let motor = &actuator.motor;
    let stall = motor.stall?.0;
    if motor.kind != MotorKind::Brushed {
        return Some(stall);
    }
    let limited = || {
        let (limit, free, most) = (actuator.limit?, motor.free_current?, motor.stall_current?);
        let span = most.0 - free.0;
        (span > 0.0).then(|| stall * ((limit.0 - free.0) / span).clamp(0.0, 1.0))
    };
    Some(limited().unwrap_or(stall))
}

/// A hole in the limb's own sheet.
struct Hole {
    what: &'static str,
    at: Point<OnLimb>,
    diameter: f64,
    /// The pull on it, N, where known.
    pull: Option<f64>,
    left_out: bool,
}

/// Everything about holes, rods and pins of a limb.
pub(super) fn limits(fitted: &FittedFigure, index: usize, forces: &Forces) -> Vec<Limit> {
    let figure = &*fitted.figure;
    let limb = &figure.limbs[index];
    let mechanism = fitted.limbs[index].mechanism.as_ref();
    let mut limits = Vec::new();
    for hole in holes(figure, limb, mechanism, forces) {
        limits.extend(off_edge(limb, &hole, figure.like.is_some()));
        limits.extend(tears(limb, &hole));
    }
    if let Some(Fitted::FourBar(f)) = mechanism.filter(|m| !m.faulty()) {
        let (bar, standoff) = (f.drilled.bars(), standoff(figure, index));
        limits.extend(rattles(limb, bar, f.as_drilled.motion.map(|m| m.min_transmission)));
        if let Some(s) = standoff {
            limits.extend(binds(limb, bar.rod.0, s));
            let at_work = [(forces.rod, false), (forces.jam_rod, true)];
            limits.extend(
                at_work.into_iter().filter_map(|(force, jam)| {
                    force.map(|force| rod(limb, bar.rod.0, s, force, jam))
                }),
            );
        }
        limits.extend(forces.jam_rod.map(|force| pin(limb, force)));
    }
    limits
}

/// How much further back the crank lies than the lever, mm, where it was said.
fn standoff(figure: &Figure, index: usize) -> Option<f64> {
    let said = figure.limbs[index].drive.as_ref().and_then(|d| d.standoff);
    let motor = figure.motor_of(index).and_then(|m| figure.actuators.get(m));
    said.or_else(|| motor.and_then(|m| m.standoff)).map(|s| s.0.abs())
}

/// The bolt's hole, and behind the board the tail hole of the rod.
fn holes(figure: &Figure, limb: &Limb, mechanism: Option<&Fitted>, forces: &Forces) -> Vec<Hole> {
    let mut holes = Vec::new();
    let not_said = left_out(limb, "outline") || left_out(limb, "sheet");
    if let (Joint::Pivot { .. }, Some(bolt)) = (&limb.joint, &limb.bolt) {
        holes.push(Hole {
            what: "bolt",
            at: Point::origin(),
            diameter: bolt.diameter.0,
            pull: forces.jam_rod.or(forces.rod),
            left_out: not_said || left_out(limb, "bolt"),
        });
    }
    let behind = limb.mount == Mount::Behind;
    if let (true, Some(Fitted::FourBar(f))) = (behind, mechanism.filter(|m| !m.faulty())) {
        let lever = f.drilled.bars().lever.0;
        let at = Dir::degrees(f.drilled.clamp());
        let said = match limb.drive.as_ref().map(|d| &d.mechanism) {
            Some(DriveKind::FourBar(d)) => d.lever.place.is_some(),
            _ => false,
        };
        holes.push(Hole {
            what: "tail pin",
            at: Point::mm(lever * at.x(), lever * at.y()),
            diameter: PIN.0,
            pull: forces.jam_rod.or(forces.rod),
            left_out: not_said || !said,
        });
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
fn edge(limb: &Limb, hole: &Hole) -> Option<f64> {
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

/// Nearer than this the sheet splits as soon as it is drilled.
const SPLITS: f64 = 1.0;

fn off_edge(limb: &Limb, hole: &Hole, copy: bool) -> Option<Limit> {
    let material = limb.sheet.as_deref()?.material?;
    let (e, d) = (edge(limb, hole)?, hole.diameter);
    let wanted = diameters(material) * d;
    // Turned round, so that a smaller distance asks more than it bears.
    Some(Limit {
        code: &PIN_OFF_EDGE,
        when: When::Run,
        severity: if e < SPLITS * d { Severity::Error } else { Severity::Warning },
        goes: "a hole splits out",
        says: [
            format!("the {} of {} wants ", hole.what, limb.said()),
            format!(" to the sheet's edge of its {}, and has ", material.word()),
            String::new(),
        ],
        calm: wanted,
        per_gust2: 0.0,
        bears: e,
        unit: "mm",
        inputs: vec![
            input("edge", e, "mm"),
            input("diameter", d, "mm"),
            input("diameters", diameters(material), "1"),
        ],
        typical: if hole.what == "tail pin" { vec!["pin of M6"] } else { Vec::new() },
        left_out: hole.left_out,
        help: format!(
            "move the hole inwards, or leave {wanted:.0} mm of sheet round it{}.",
            if copy { "; a copy of another size keeps its bolts" } else { "" }
        ),
    })
}

fn tears(limb: &Limb, hole: &Hole) -> Option<Limit> {
    let sheet = limb.sheet.as_deref()?;
    let (t, tear, pull) = (sheet.thickness?.0, sheet.tear?.0 * 1e-6, hole.pull?);
    let e = edge(limb, hole)?;
    let factor = if sheet.material? == Material::Metal { TEAR.0 } else { TEAR.1 };
    // In front the torque goes through the clamp; only the tail's own pin is pulled.
    if limb.mount == Mount::Front {
        return None;
    }
    Some(Limit {
        code: &HOLE_TEARS,
        when: When::Run,
        severity: HOLE_TEARS.severity,
        goes: "a hole tears out",
        says: [
            format!("the rod pulls the {} of {} with ", hole.what, limb.said()),
            " when it is held, and ".into(),
            format!(" is 1/{factor:.0} of what tears it out"),
        ],
        calm: pull,
        per_gust2: 0.0,
        bears: (2.0 * t * (e - hole.diameter / 2.0) * tear / factor).max(0.0),
        unit: "N",
        inputs: vec![
            input("pull", pull, "N"),
            input("thickness", t, "mm"),
            input("edge", e, "mm"),
            input("diameter", hole.diameter, "mm"),
            input("tear", tear, "MPa"),
            input("factor", factor, "1"),
        ],
        typical: vec!["sheet"],
        left_out: hole.left_out,
        help: "move the hole inwards, screw a doubler on, or limit the motor's current.".into(),
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
        inputs: vec![input("standoff", standoff, "mm"), input("rod", rod, "mm")],
        typical: Vec::new(),
        left_out: false,
        help: if lean > LEAN.1 {
            "bring lever and crank into one plane; ball ends take 13 deg.".into()
        } else {
            "bend the rod twice so that both ends lie flat, or use ball ends, which take 13 deg."
                .into()
        },
    })
}

/// Stress in a rod bent twice in its middle, MPa: half the offset as lever on each
/// side, and the force itself.
#[must_use]
pub fn rod_stress(force: f64, standoff: f64) -> f64 {
    force * standoff / 2.0 / (PI * libm::pow(ROD, 3.0) / 32.0) + force / (PI * ROD * ROD / 4.0)
}

/// Bending of the rod by its own offset, as a rod bent twice in its middle.
fn rod(limb: &Limb, length: f64, standoff: f64, force: f64, jam: bool) -> Limit {
    let euler = PI * PI * STEEL_MODULUS * PI * libm::pow(ROD, 4.0) / 64.0 / (length * length) / 2.0;
    let stress = rod_stress(force, standoff);
    // Buckling told as a stress too: what half of Euler's force would be.
    let bears = (YIELD / STEEL).min(stress * euler / force.max(1e-9));
    let when = if jam { " when it is held" } else { "" };
    Limit {
        code: &ROD_BENDS,
        when: When::Run,
        severity: if jam { Severity::Warning } else { ROD_BENDS.severity },
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
            input("standoff", standoff, "mm"),
            input("length", length, "mm"),
            input("diameter", ROD, "mm"),
            input("buckles_halved", euler, "N"),
        ],
        typical: vec!["rod of M8 thread, class 4.6, bent twice in its middle"],
        left_out: false,
        help:
            "limit the motor's current (`limit 4 A`), or bring lever and crank nearer to one plane."
                .into(),
    }
}

/// The crank pin, held at one end.
fn pin(limb: &Limb, force: f64) -> Limit {
    let section = PI * libm::pow(PIN.1, 3.0) / 32.0;
    Limit {
        code: &ROD_BENDS,
        when: When::Run,
        severity: Severity::Advice,
        goes: "its crank pin bends",
        says: [
            format!("the motor bends the crank pin of {} when it is held with ", limb.said()),
            ", and ".into(),
            " is what it may".into(),
        ],
        calm: force * REACH / section,
        per_gust2: 0.0,
        bears: YIELD / STEEL,
        unit: "MPa",
        inputs: vec![
            input("force", force, "N"),
            input("reach", REACH, "mm"),
            input("root", PIN.1, "mm"),
            input("yield", YIELD, "MPa"),
        ],
        typical: vec!["pin of M6, class 4.6, 12 mm from the crank"],
        // No word says how the pin is made: told in the report, never as a fault.
        left_out: true,
        help: "take a pin of M8, class 8.8, or limit the motor's current.".into(),
    }
}

/// The play of the two pins of the rod, seen at the limb.
fn rattles(limb: &Limb, bars: Bars, push: Option<Deg>) -> Option<Limit> {
    let sine = libm::sin(push?.rad().0);
    let wag = 2.0 * PIN.2 / (bars.lever.0 * sine);
    (sine > 0.0).then(|| Limit {
        code: &LIMB_RATTLES,
        when: When::Run,
        severity: LIMB_RATTLES.severity,
        goes: "it rattles",
        says: [
            format!("the play of its rod's two holes lets {} wag by ", limb.said()),
            ", and ".into(),
            " is what nobody minds".into(),
        ],
        calm: wag.to_degrees(),
        per_gust2: 0.0,
        bears: WAG,
        unit: "deg",
        inputs: vec![
            input("play", PIN.2, "mm"),
            input("lever", bars.lever.0, "mm"),
            input("worst_push", push.map_or(0.0, |p| p.0), "deg"),
        ],
        typical: vec!["pin of M6 in a hole of 6.6"],
        left_out: false,
        help: "drill the holes 6.4, or take a longer lever.".into(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{Kg, KgM2};

    #[test]
    fn a_weight_pulls_most_where_it_is_level() {
        let m = MassProperties {
            mass: Kg(2.0),
            centre: Point::mm(100.0, 0.0),
            inertia: KgM2(0.03),
            grade: super::super::Grade::Given,
            origins: [super::super::Origin::Stated; 3],
        };
        assert!((weight_torque(&m, None) - 2.0 * GRAVITY * 0.1).abs() < 1e-12);
    }

    #[test]
    fn a_rod_out_of_line_bends_as_a_beam() {
        // By hand, 88 N 50 mm out of line: 88 x 25/28.83 + 88/34.70 = 78.8 MPa.
        assert!((rod_stress(88.0, 50.0) - 78.8).abs() < 0.1);
        assert!((rod_stress(88.0, 0.0) - 88.0 / 34.7).abs() < 0.01);
    }
}
