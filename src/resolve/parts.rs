//! Parts as data: what the words of [`super::part_words`] become.

use std::sync::Arc;

use crate::finding::Finding;
use crate::geometry::Dir;
use crate::model::{
    BarStock, BenchTest, BoltSize, BushingType, CrankNut, CrankSeat, Material, MotorKind,
    MotorType, Mounting, PulseAt, Seat, ShaftSide, SheetType, Switch,
};
use crate::syntax::{Block, Clause};
use crate::units::{Amp, Deg, Kg, Mm, NewtonMetre, Rpm, Sec, Share, System, Volt};

use super::codes;

/// Mass of a stock bar's material, kg/m3: steel, aluminium and softwood by EN 1991-1-1,
/// tables A.3 and A.4 (78.5, 27 and 4.2 kN/m3 over 9.81; from memory), hard PVC from memory.
fn density(material: &str) -> Option<f64> {
    match material {
        "steel" => Some(7_850.0),
        "aluminium" => Some(2_700.0),
        "wood" => Some(430.0),
        "plastic" => Some(1_400.0),
        _ => None,
    }
}

fn share(block: Block<'_>, word: &str) -> Option<Share> {
    block.find(word)?.size("share")
}

fn answer(block: Block<'_>, word: &str) -> Option<bool> {
    Some(block.find(word)?.choice("answer")? == "yes")
}

/// Pulses with the angle that stands behind each.
pub(super) fn pulses(clause: Clause<'_>) -> Vec<PulseAt> {
    let pulse = clause.values("pulse").filter_map(|v| v.quantity::<Sec>());
    let angle = clause.values("angle").filter_map(|v| v.quantity::<Deg>());
    pulse.zip(angle).map(|(p, a)| PulseAt { pulse: p.value, angle: a.value }).collect()
}

/// A row of holes: first, last, step.
pub(super) fn holes(clause: Clause<'_>, part: &str) -> Option<(Mm, Mm, Mm)> {
    let said = clause.value(part)?;
    let Some(open) = said.open().map(|o| o.value) else {
        let each = clause.values(part).filter_map(|v| v.quantity::<Mm>()).map(|v| v.value);
        return row_of(each.collect());
    };
    let (lo, hi) = (open.from.or(open.given)?, open.to.or(open.given)?);
    Some((Mm(lo.min(hi)), Mm(lo.max(hi)), Mm(open.step.unwrap_or(0.0))))
}

/// Holes said one by one, as a row; one hole alone has no step. `None` where they
/// are not evenly spaced.
fn row_of(mut holes: Vec<Mm>) -> Option<(Mm, Mm, Mm)> {
    holes.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (first, last) = (*holes.first()?, *holes.last()?);
    let step = holes.get(1).map_or(Mm(0.0), |second| *second - first);
    // Inch holes in binary: a millionth of a millimetre is no other hole.
    let even = holes.windows(2).all(|pair| (pair[1] - pair[0] - step).abs().0 < 1e-6);
    even.then_some((first, last, step))
}

/// A motor from its block.
///
/// `base` is the built-in one it is like.
pub(super) fn motor(
    clause: Clause<'_>,
    base: Option<&MotorType>,
    findings: &mut Vec<Finding>,
) -> Option<MotorType> {
    let name = clause.text("name")?;
    let block = clause.block()?;
    let kind = match block.find("kind") {
        Some(k) => k.choice("kind").and_then(kind_of),
        None if base.is_some() => base.map(|b| b.kind),
        None => {
            if !super::poisoned(clause) {
                findings.push(
                    Finding::new(
                        &codes::MOTOR_WITHOUT_KIND,
                        name.place,
                        format!("the motor {} does not say what kind it is.", name.value),
                    )
                    .help(
                        "write `kind brushed`, synchronous, servo, ram, cylinder or spool; a motor \
                         `like wiper` has what it does not say from that built-in one.",
                    ),
                );
            }
            None
        }
    }?;
    let mut motor = sheet_figures(clause, block, kind, name.value);
    if let Some(base) = base {
        motor = motor.like(base);
        if block.find("switch").is_none() {
            motor.switch = base.switch;
        }
    }
    measured_figures(block, &mut motor);
    super::ram_words::under_load(block, &mut motor);
    Some(motor)
}

fn kind_of(word: &str) -> Option<MotorKind> {
    use MotorKind::{Brushed, Cylinder, Ram, Servo, Spool, Synchronous};
    [Brushed, Synchronous, Servo, Ram, Cylinder, Spool].into_iter().find(|k| k.word() == word)
}

/// What the maker's sheet says.
fn sheet_figures(clause: Clause<'_>, block: Block<'_>, kind: MotorKind, name: &str) -> MotorType {
    let free = block.find("free");
    let stall = block.find("stall");
    let slew = block.find("slew");
    let length = block.find("length").and_then(|c| c.value("length")?.range::<Mm>());
    let body = block.find("body");
    MotorType {
        name: name.to_owned(),
        place: clause.text("name").map_or_else(|| clause.head(), |n| n.place),
        kind,
        voltage: block.find("voltage").and_then(|c| c.size("voltage")),
        free: free.and_then(|c| c.size("speed")),
        free_current: free.and_then(|c| c.size("current")),
        stall: stall.and_then(|c| c.size("torque")),
        stall_current: stall.and_then(|c| c.size("current")),
        least_duty: share(block, "least-duty"),
        switch: match block.find("switch").and_then(|c| c.choice("switch")) {
            Some("park") => Switch::Park,
            Some("index") => Switch::Index,
            _ => Switch::None,
        },
        spread: share(block, "spread"),
        cold: share(block, "cold"),
        self_locking: answer(block, "self-locking"),
        one_way: answer(block, "one-way"),
        duty: share(block, "duty"),
        crank_holes: block.find("crank-holes").and_then(|c| holes(c, "holes")),
        seat: block.find("crank-seat").and_then(seat),
        slew: slew.and_then(|c| Some((c.size("time")?, c.size("angle")?))),
        pulses: block.all("pulse").flat_map(pulses).collect(),
        dead_band: block.find("dead-band").and_then(|c| c.size("time")),
        teeth: block.find("teeth").and_then(|c| c.value("teeth")?.count()).filter(|n| *n > 0),
        speed_mm_s: block
            .find("speed")
            .and_then(|c| c.size::<crate::units::MetrePerSec>("speed"))
            .map(|v| v.0 * 1000.0),
        loaded: None,
        force: block.find("force").and_then(|c| c.size("force")),
        holds: block.find("holds").and_then(|c| c.size("force")),
        length: length.map(|r| (r.value.0.min(r.value.1), r.value.0.max(r.value.1))),
        body: body.and_then(|c| Some((c.size("width")?, c.size("height")?))),
        mass: block.find("mass").and_then(|c| c.size::<Kg>("mass")),
        frequency: block.find("frequency").and_then(|c| c.size("frequency")),
        inertia: block.find("inertia").and_then(|c| c.size("inertia")),
        driver: block.find("driver").and_then(|c| c.size("current")),
        gear: block.find("gear").and_then(|c| Some(c.text("material")?.value.to_owned())),
        survives: block.find("survives").and_then(|c| c.size("torque")),
        case_live: answer(block, "case-live"),
        shaft: block.find("shaft").and_then(|c| c.choice("side")).map(|side| match side {
            "front" => ShaftSide::Front,
            _ => ShaftSide::Behind,
        }),
        shaft_length: block.find("shaft").and_then(|c| c.size("length")),
        mounting: block.find("mounting-holes").and_then(mounting),
        bore: block.find("bore").and_then(|c| c.size("bore")),
        piston_rod: block.find("rod").and_then(|c| c.size("rod")),
        stroke: block.find("stroke").and_then(|c| c.size("stroke")),
        measured: false,
        tested: None,
        typical: false,
        said: Vec::new(),
    }
}

/// How a crank is held on the shaft.
fn seat(c: Clause<'_>) -> Option<CrankSeat> {
    let on = Seat::from_word(c.choice("seat")?)?;
    Some(CrankSeat {
        on,
        holds: c.size("holds"),
        nut: c.choice("nut").and_then(CrankNut::from_word),
    })
}

/// More holes than this no motor has.
const MOST_HOLES: u32 = 24;

/// Holes on a circle, evenly spaced, or one by one.
fn mounting(c: Clause<'_>) -> Option<Mounting> {
    let bolt = c.text("bolt")?.map(str::to_owned);
    let mut at: Vec<(f64, f64)> =
        c.values("at").filter_map(|v| v.point()).map(|p| p.value).collect();
    if let (Some(count), Some(circle)) =
        (c.value("count").and_then(|v| v.count()), c.size::<Mm>("circle"))
    {
        let count = count.min(MOST_HOLES);
        let first = c.size::<Deg>("first").unwrap_or(Deg(90.0));
        at.extend((0..count).map(|n| {
            let dir = Dir::degrees(first + Deg(360.0 * f64::from(n) / f64::from(count)));
            (circle.0 / 2.0 * dir.x(), circle.0 / 2.0 * dir.y())
        }));
    }
    at.truncate(MOST_HOLES as usize);
    (!at.is_empty()).then_some(Mounting { bolt, diameter: None, at })
}

/// Standard gravity, m/s2 (ISO 80000-3, exact by convention).
pub(super) const GRAVITY: f64 = 9.80665;

/// What the maker measured beats what a sheet says.
///
/// The motor line is straight between free running and stall, so one loaded point
/// gives both ends: with free speed n0 and the speed n1 under torque T, the stall
/// torque is T n0/(n0 - n1), and the stall current I0 + (I1 - I0) stall/T
/// (permanent-magnet motor line, MIT "Understanding D.C. Motor Characteristics").
/// Speeds at another voltage than the motor's are scaled by the ratio of the two.
fn measured_figures(block: Block<'_>, motor: &mut MotorType) {
    if let Some(c) = block.find("counted")
        && let (Some(turns), Some(time)) = (c.size::<Deg>("turns"), c.size::<Sec>("time"))
    {
        let volts: Option<Volt> = c.size("voltage");
        let scale = match (volts, motor.voltage) {
            (Some(at), Some(rated)) => rated / at,
            _ => 1.0,
        };
        motor.voltage = motor.voltage.or(volts);
        motor.free = Some(Rpm(turns.0 / 360.0 / (time.0 / 60.0) * scale));
        motor.free_current = c.size("current").or(motor.free_current);
        motor.measured = true;
    }
    if let Some(c) = block.find("lifted") {
        lifted(c, motor);
    }
    if let Some(c) = block.find("held") {
        held(c, motor);
    }
}

fn lifted(c: Clause<'_>, motor: &mut MotorType) {
    let (Some(mass), Some(drum), Some(turns), Some(time)) =
        (c.size::<Kg>("mass"), c.size::<Mm>("drum"), c.size::<Deg>("turns"), c.size::<Sec>("time"))
    else {
        return;
    };
    let Some(free) = motor.free else { return };
    let scale = match (c.size::<Volt>("voltage"), motor.voltage) {
        (Some(at), Some(rated)) => rated / at,
        _ => 1.0,
    };
    let torque = mass.0 * GRAVITY * drum.0 / 2000.0;
    let loaded = turns.0 / 360.0 / (time.0 / 60.0) * scale;
    let slowing = 1.0 - loaded / free.0;
    let error = lifted_error(slowing, time);
    motor.tested = Some(BenchTest::Lifted { mass, slowing, error });
    if free.0 > loaded {
        let stall = torque * free.0 / (free.0 - loaded);
        motor.stall = Some(NewtonMetre(stall));
        if let (Some(i0), Some(i1)) = (motor.free_current, c.size::<Amp>("current")) {
            motor.stall_current = Some(Amp(i0.0 + (i1.0 - i0.0) * stall / torque));
        }
        motor.measured = true;
    }
}

/// By what share a stall torque from a lifted weight may be off.
///
/// Ts = T/s with the slowing s = 1 - n1/n0, so that an error of the speeds counts
/// (1 - s)/s times. Taken (common practice, no source): the weight to 2 %, the free
/// turns to 0.1 s of half a minute, the lift to 0.03 s, as a film shows it.
fn lifted_error(slowing: f64, lift: Sec) -> f64 {
    const WEIGHT: f64 = 0.02;
    const FREE: f64 = 0.1 / 27.0;
    const FILMED: f64 = 0.03;
    let speeds = libm::hypot(FREE, FILMED / lift.0);
    libm::hypot(WEIGHT, (1.0 - slowing) / slowing.max(1e-3) * speeds)
}

/// By what share a stall torque from a scale on the crank may be off (a luggage
/// scale, its arm and the voltage; common practice, no source).
const HELD_ERROR: f64 = 0.1;

/// The stall torque is proportional to the voltage, and so is the current.
fn held(c: Clause<'_>, motor: &mut MotorType) {
    let at = c.values("at").find_map(|v| v.quantity::<Mm>());
    let (Some(force), Some(arm)) = (c.size::<crate::units::Newton>("force"), at) else { return };
    let volts = c.values("at").find_map(|v| v.quantity::<Volt>());
    let scale = match (volts, motor.voltage) {
        (Some(at), Some(rated)) => rated / at.value,
        _ => 1.0,
    };
    motor.stall = Some(NewtonMetre(force.0 * arm.value.0 / 1000.0 * scale));
    motor.stall_current = c.size::<Amp>("current").map(|i| i * scale).or(motor.stall_current);
    motor.tested = Some(BenchTest::Held { error: HELD_ERROR });
    motor.measured = true;
}

/// A sheet from its block.
pub(super) fn sheet(clause: Clause<'_>) -> Option<SheetType> {
    let (name, block) = (clause.text("name")?, clause.block()?);
    Some(SheetType {
        name: name.value.to_owned(),
        place: name.place,
        thickness: block.find("thickness").and_then(|c| c.size("thickness")),
        mass: block.find("mass").and_then(|c| c.size("mass")),
        tear: block.find("tear").and_then(|c| c.size("tear")),
        material: block
            .find("material")
            .and_then(|c| c.choice("material"))
            .and_then(Material::from_word),
        crush: block.find("crush").and_then(|c| c.size("crush")),
        stiffness: block.find("stiffness").and_then(|c| c.size("along")),
        stiffness_across: block.find("stiffness").and_then(|c| c.size("across")),
        bending: block.find("bending").and_then(|c| c.size("bending")),
        sold: block.find("size").and_then(|c| c.size("across").zip(c.size("along"))),
        typical: false,
    })
}

/// A bushing from its block.
pub(super) fn bushing(clause: Clause<'_>) -> Option<BushingType> {
    let (name, block) = (clause.text("name")?, clause.block()?);
    Some(BushingType {
        name: name.value.to_owned(),
        place: name.place,
        friction: block.find("friction").and_then(|c| c.size("friction")),
        pressure: block.find("pressure").and_then(|c| c.size("pressure")),
        pv: block.find("pv").and_then(|c| c.size("pv")),
        typical: false,
    })
}

/// A thread from its block.
pub(super) fn bolt(clause: Clause<'_>) -> Option<BoltSize> {
    let (name, block) = (clause.text("name")?, clause.block()?);
    Some(BoltSize {
        name: name.value.to_owned(),
        diameter: block.find("diameter")?.size("diameter")?,
        pitch: block.find("pitch")?.size("pitch")?,
        yields: block.find("yield").and_then(|c| c.size("yield")),
        washer: block.find("washer").and_then(|c| c.size("washer")),
        tighten: block.find("tighten").and_then(|c| c.size("tighten")),
        typical: false,
    })
}

/// A stock bar from its block.
pub(super) fn bar(clause: Clause<'_>) -> Option<Arc<BarStock>> {
    let (name, block) = (clause.text("name")?, clause.block()?);
    let section = block.find("section")?;
    let (width, depth): (Mm, Mm) = (section.size("width")?, section.size("depth")?);
    let material = block.find("material").and_then(|c| c.choice("material"));
    Some(Arc::new(BarStock {
        name: name.value.to_owned(),
        width,
        depth,
        metre: material.and_then(density).map(|d| Kg(d * width.0 * depth.0 * 1e-6)),
        holes: block.find("holes").and_then(|c| Some((c.size("pitch")?, c.size("end")?))),
        length: block.find("length").and_then(|c| c.size("length")),
        kerf: block.find("kerf").and_then(|c| c.size("kerf")),
        system: block
            .find("holes")
            .and_then(|c| c.value("pitch"))
            .map_or(System::Both, crate::syntax::Got::system),
    }))
}

/// All parts of a project, by name.
#[derive(Clone, Debug, Default)]
pub struct Parts {
    /// Motors.
    pub motors: std::collections::BTreeMap<String, Arc<MotorType>>,
    /// Sheets.
    pub sheets: std::collections::BTreeMap<String, Arc<SheetType>>,
    /// Bushings.
    pub bushings: std::collections::BTreeMap<String, Arc<BushingType>>,
    /// Threads.
    pub bolts: std::collections::BTreeMap<String, BoltSize>,
    /// Stock bars.
    pub bars: std::collections::BTreeMap<String, Arc<BarStock>>,
}
