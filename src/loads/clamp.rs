//! How limb and lever are held on the bolt, and what their holes and rods bear.
//!
//! The torque on the limb is the largest its drive turns it with over the whole cycle.
//! A jam is reckoned with where the motor's current limit, or its stall, says how hard it
//! can push.

use super::clamp_codes::{LEVER_SLIPS, LIMB_SLIPS, NUT_UNWINDS, SCREWS_TEAR};
use super::hole::Forces;
use super::jam::{self, held};
use super::motor::MotorPoint;
use super::wind_limb::{bolt_said, left_out, sheet_said, steel_said, typical_sheet, washer};
use super::wind_limit::{Input, Limit, When, input};
use super::{Bench, hole, pin};
use crate::finding::{Finding, Place, Severity};
use crate::model::{Clamp, DriveKind, Limb, Material, Mount, SheetType};

/// A nut factor of dry steel (T. H. Wentzell, Machine Design, example 6.1: 0.2).
const NUT: f64 = 0.2;
/// Faces that rub: both washers.
const FACES: f64 = 2.0;
/// The limb must be held by twice what its swing needs (common practice, no source).
const HELD: f64 = 2.0;
/// Drive screws: how many, how far from the bolt, mm; where nothing else is said.
const SCREWS: (f64, f64) = (2.0, 25.0);
/// Diameter of such a screw, mm.
const SCREW: f64 = 4.0;
/// Width of a nut's face over the diameter of its bolt (ISO 4032: 13 mm for M8).
const NUT_FACE: f64 = 1.6;
/// Against tearing of wood and plastic (common practice, no source).
const TEAR: f64 = 3.0;

/// What a material does under a washer: the share of the tension that is left after a
/// season, and its friction on steel.
///
/// Wood keeps 0.23 to 0.25 of it after a year (Journal of Wood Science 54, 2008,
/// abstract); plastic 0.2, metal 0.9, and the friction: common practice, no source.
const fn under_washer(material: Material) -> (f64, f64) {
    match material {
        Material::Plywood => (0.25, 0.3),
        Material::Corrugated | Material::Plastic => (0.2, 0.2),
        Material::Metal => (0.9, 0.15),
    }
}

/// The tension of a bolt tightened with a torque, N: T/(0.2 d); N.m and mm.
#[must_use]
pub fn tension(torque: f64, diameter: f64) -> f64 {
    torque / (NUT * diameter * 1e-3)
}

/// Torque that two rubbing faces hold, N.m, for each N of tension: uniform pressure on
/// a ring between two radii, mm.
#[must_use]
pub fn grip(friction: f64, outer: f64, inner: f64) -> f64 {
    let ring = (libm::pow(outer, 3.0) - libm::pow(inner, 3.0)) / (outer * outer - inner * inner);
    2.0 / 3.0 * FACES * friction * ring * 1e-3
}

impl Bench<'_> {
    /// Clamps, screws, holes, rods and pins of every limb.
    pub fn clamps(&mut self) {
        let figure = &*self.fitted.figure;
        for (index, limb) in figure.limbs.iter().enumerate() {
            if limb.poisoned {
                continue;
            }
            let motor = figure.motor_of(index).and_then(|m| self.motors.get(m)).cloned();
            let none = MotorPoint::default();
            let forces =
                Forces::of(self.fitted, index, &self.limbs[index], motor.as_ref().unwrap_or(&none));
            let mut grips = Vec::new();
            if limb.mount == Mount::Front {
                grips.extend(slips(limb, &forces));
                grips.extend(lever_slips(limb, &forces));
            }
            let at = motor.as_ref().unwrap_or(&none);
            grips.extend(hole::limits(self.fitted, index, &forces, at));
            self.limbs[index].not_checked.extend(super::sheet_notes::silent(limb));
            let edges = hole::near_edges(self.fitted, index, &forces);
            self.limbs[index].not_checked.extend(edges);
            self.limbs[index].assumed.extend(pin::stacked(self.fitted, index));
            grips.extend(self.pulled_bolt(index, &forces));
            grips.extend(self.rattles(index));
            grips.extend(self.chain_rattles(index));
            grips.extend(self.rod_ends(index));
            grips.extend(super::wind_limb::stubby(figure, limb));
            grips.extend(self.guide(index));
            grips.extend(self.slot(index));
            grips.extend(self.whips(index));
            grips.extend(self.seats(index, motor.as_ref().unwrap_or(&none)));
            grips.extend(self.cord_return(index));
            let cranked =
                matches!(self.fitted.limbs[index].mechanism, Some(crate::fit::Fitted::FourBar(_)));
            if cranked && forces.torque.is_some() && forces.jam.is_none() {
                self.limbs[index].not_checked.push(crate::model::Note::new(
                    "rod and holes in a jam (no stall torque or current of its motor)",
                    "stall 14 N.m 16 A",
                ));
            }
            self.judge_grips(&grips, limb);
            self.limbs[index].grips = grips;
            if let Some((held, told)) =
                held(self.fitted, index, &forces, motor.as_ref().unwrap_or(&none))
            {
                let ram = jam::of_ram(self.fitted, index, &held);
                self.findings.extend(ram.found);
                self.limbs[index].assumed.extend(ram.assumed);
                self.limbs[index].held = Some(held);
                self.limbs[index].not_checked.extend(told.not_checked);
                self.limbs[index].assumed.extend(told.at_stops);
            }
        }
        self.unwinding();
    }

    /// Findings for what does not hold in calm air.
    fn judge_grips(&mut self, grips: &[Limit], limb: &Limb) {
        let (gust, system) = (self.site.winds.stand, self.fitted.figure.system);
        for grip in grips.iter().filter(|g| !g.passes(gust)) {
            let Some(severity) = grip.severity(self.site.winds_said) else { continue };
            let finding = Finding::new(grip.code, limb.name.place, grip.message(gust, system))
                .with_severity(severity)
                .help(grip.help.clone())
                .about(&self.fitted.figure.name.value, Some(&limb.name.value));
            self.findings.push(finding);
        }
    }

    /// Nuts on parts that turn to and fro: told once for each limb that says its clamp
    /// is plain.
    fn unwinding(&mut self) {
        let figure = &*self.fitted.figure;
        for limb in &figure.limbs {
            if limb.build.clamp != Some(Clamp::Plain) || limb.poisoned {
                continue;
            }
            let place: Place = limb.name.place;
            let message = format!(
                "the nuts that clamp {} turn with it, to and fro, and work loose.",
                limb.said()
            );
            let finding = Finding::new(&NUT_UNWINDS, place, message)
                .with_severity(Severity::Advice)
                .help("lock each with a second nut and write `seen-to nut-unwinds`, or put a pin through bolt and washer, `clamp pin`.")
                .about(&figure.name.value, Some(&limb.name.value));
            self.findings.push(finding);
        }
    }
}

/// What rubbing between its washers holds a limb with.
struct Rubbing {
    /// Torque, N.m.
    holds: f64,
    /// Tension left in its bolt, N.
    left: f64,
    friction: f64,
    /// The share of its first tension that is left after a season.
    keep: f64,
    /// What its sheet bears under them, MPa.
    crush: f64,
}

fn rubbing(limb: &Limb) -> Option<Rubbing> {
    let (bolt, sheet) = (limb.bolt.as_ref()?, limb.sheet.as_deref()?);
    let (washer, _) = washer(limb)?;
    let (keep, friction) = under_washer(sheet.material?);
    let (outer, inner) = (washer.0 / 2.0, bolt.diameter.0 / 2.0 + 0.5);
    let area = std::f64::consts::PI * (outer * outer - inner * inner);
    let crush = sheet.crush?.0 * 1e-6;
    let left = tension(bolt.tighten?.0, bolt.diameter.0).min(crush * area) * keep;
    let holds = grip(friction, outer, inner) * left;
    (outer > inner).then_some(Rubbing { holds, left, friction, keep, crush })
}

impl Rubbing {
    /// What it is computed from.
    fn inputs(&self, limb: &Limb) -> Vec<Input> {
        let (Some(bolt), Some((washer, no_washer))) = (limb.bolt.as_ref(), washer(limb)) else {
            return Vec::new();
        };
        vec![
            input("washer", washer.0, "mm").given_or_typical(!no_washer),
            input("bolt", bolt.diameter.0, "mm").given_or_typical(bolt_said(limb)),
            input("hole", bolt.diameter.0 + 1.0, "mm"),
            input("tightening", bolt.tighten.map_or(0.0, |t| t.0), "N.m")
                .given_or_typical(steel_said(limb)),
            input("share_left", self.keep, "1").typical(),
            input("tension_left", self.left, "N"),
            input("friction", self.friction, "1").typical(),
            input("crush", self.crush, "MPa").given_or_typical(sheet_said(limb)),
        ]
    }
}

/// What the pull that tears drive screws out is computed from.
fn screw_inputs(limb: &Limb, sheet: &SheetType) -> Vec<Input> {
    let said = sheet_said(limb);
    let (count, radius) = SCREWS;
    vec![
        input("screws", count, "1").typical(),
        input("radius", radius, "mm").typical(),
        input("thickness", sheet.thickness.map_or(0.0, |t| t.0), "mm").given_or_typical(said),
        input("tear", sheet.tear.map_or(0.0, |t| t.0 * 1e-6), "MPa").given_or_typical(said),
        input("screw", SCREW, "mm").typical(),
        input("sheet_beyond", 2.0 * SCREW, "mm").typical(),
    ]
}

/// The force that tears a drive screw out over two diameters of sheet beyond it, N.
fn screw_tears(thickness: f64, tear: f64) -> f64 {
    2.0 * thickness * (2.0 * SCREW) * tear
}

/// The torque at which the limb comes loose from its bolt, N.m, and how people call
/// that; `None` where it is pinned, or not driven through its bolt.
pub(super) fn comes_loose(limb: &Limb) -> Option<(&'static str, f64, Vec<Input>)> {
    if limb.mount != Mount::Front || !through_bolt(limb) {
        return None;
    }
    match limb.build.clamp {
        Some(Clamp::Pin) => None,
        Some(Clamp::Screws) => {
            let sheet = limb.sheet.as_deref()?;
            let one = screw_tears(sheet.thickness?.0, sheet.tear?.0 * 1e-6);
            let holds = one * SCREWS.0 * SCREWS.1 * 1e-3;
            Some(("its drive screws tear out", holds, screw_inputs(limb, sheet)))
        }
        _ => {
            let rubs = rubbing(limb)?;
            Some(("the limb slips on its bolt", rubs.holds, rubs.inputs(limb)))
        }
    }
}

/// The torque that a lever between two nuts holds by rubbing, N.m, and the tension that is
/// left in its bolt, N.
pub(super) fn lever_holds(limb: &Limb) -> Option<(f64, f64)> {
    let bolt = limb.bolt.as_ref()?;
    let (keep, friction) = under_washer(Material::Metal);
    let left = tension(bolt.tighten?.0, bolt.diameter.0) * keep;
    let (outer, inner) = (bolt.diameter.0 * NUT_FACE / 2.0, bolt.diameter.0 / 2.0 + 0.5);
    (outer > inner).then(|| (grip(friction, outer, inner) * left, left))
}

/// What that torque is computed from.
pub(super) fn lever_inputs(limb: &Limb) -> Vec<Input> {
    let (Some(bolt), Some((_, left))) = (limb.bolt.as_ref(), lever_holds(limb)) else {
        return Vec::new();
    };
    vec![
        input("bolt", bolt.diameter.0, "mm").given_or_typical(bolt_said(limb)),
        input("nut", bolt.diameter.0 * NUT_FACE, "mm").typical(),
        input("tightening", bolt.tighten.map_or(0.0, |t| t.0), "N.m")
            .given_or_typical(steel_said(limb)),
        input("tension_left", left, "N"),
        input("friction", under_washer(Material::Metal).1, "1").typical(),
    ]
}

/// The lever behind the board, clamped on the same bolt between two nuts of its own.
fn lever_slips(limb: &Limb, forces: &Forces) -> Option<Limit> {
    let torque = forces.torque?;
    if !through_bolt(limb) || limb.build.clamp == Some(Clamp::Pin) {
        return None;
    }
    let (bears, _) = lever_holds(limb)?;
    Some(Limit {
        code: &LEVER_SLIPS,
        when: When::Run,
        severity: LEVER_SLIPS.severity,
        goes: "its lever slips on the bolt",
        says: [
            format!("twice what the lever of {} turns it with is ", limb.said()),
            ", and rubbing between its two nuts holds ".into(),
            String::new(),
        ],
        calm: HELD * torque,
        per_gust2: 0.0,
        bears,
        unit: "N.m",
        inputs: std::iter::once(input("torque", torque, "N.m")).chain(lever_inputs(limb)).collect(),
        typical: vec![match steel_said(limb) {
            true => "lever of steel between two nuts",
            false => "lever of steel between two nuts, tightened as usual",
        }],
        left_out: left_out(limb, "bolt"),
        help: "put a pin or a screw through lever and bolt, or take a thicker bolt.".into(),
    })
}

/// Whether the limb is driven through its bolt: a lever behind the board, and the limb
/// held to the bolt in front.
pub(super) fn through_bolt(limb: &Limb) -> bool {
    let Some(drive) = &limb.drive else { return false };
    match &drive.mechanism {
        DriveKind::FourBar(_) | DriveKind::Forearm(_) => true,
        DriveKind::Servo(servo) => servo.rod.is_some(),
        // A cord, a cam's roller and a crank pin's slot take hold of a lever just so.
        DriveKind::Strut(_) | DriveKind::Cord(_) | DriveKind::Cam(_) => true,
        // A slot that lies beside the pivot is cut in the limb itself.
        DriveKind::SlottedArm(arm) => arm.offset.0 == 0.0,
        _ => false,
    }
}

/// The clamp of a limb in front: by rubbing, or by screws.
fn slips(limb: &Limb, forces: &Forces) -> Option<Limit> {
    let torque = forces.torque?;
    let sheet = limb.sheet.as_deref()?;
    sheet.material?;
    if !through_bolt(limb) {
        return None;
    }
    let name = limb.said();
    let not_said = ["sheet", "bolt", "outline"].iter().any(|w| left_out(limb, w));
    match limb.build.clamp {
        Some(Clamp::Pin) => None,
        Some(Clamp::Screws) => {
            let (count, radius) = SCREWS;
            let t = sheet.thickness?.0;
            let tear = sheet.tear?.0 * 1e-6;
            // Torn out over two diameters of sheet beyond the screw.
            let bears = screw_tears(t, tear) / TEAR;
            Some(Limit {
                code: &SCREWS_TEAR,
                when: When::Run,
                severity: SCREWS_TEAR.severity,
                goes: "its drive screws tear out",
                says: [
                    format!("each of the two screws that drive {name} pulls with "),
                    ", and ".into(),
                    " is a third of what tears it out".into(),
                ],
                calm: torque / (count * radius * 1e-3),
                per_gust2: 0.0,
                bears,
                unit: "N",
                inputs: [input("torque", torque, "N.m"), input("factor", TEAR, "1").fixed()]
                    .into_iter()
                    .chain(screw_inputs(limb, sheet))
                    .collect(),
                typical: typical_sheet(limb)
                    .into_iter()
                    .chain(["place of two screws, 25 mm from the bolt"])
                    .collect(),
                left_out: not_said,
                help: "take four screws, or put them further from the bolt.".into(),
            })
        }
        said => {
            let (_, no_washer) = washer(limb)?;
            let rubs = rubbing(limb)?;
            Some(Limit {
                code: &LIMB_SLIPS,
                when: When::Run,
                severity: LIMB_SLIPS.severity,
                goes: "it slips on its bolt",
                says: [
                    format!("twice what swings {name} is "),
                    ", and after a season rubbing between its washers holds ".into(),
                    String::new(),
                ],
                calm: HELD * torque,
                per_gust2: 0.0,
                bears: rubs.holds,
                unit: "N.m",
                inputs: [input("torque", torque, "N.m"), input("factor", HELD, "1").fixed()]
                    .into_iter()
                    .chain(rubs.inputs(limb))
                    .collect(),
                typical: typical_sheet(limb)
                    .into_iter()
                    .chain((!steel_said(limb)).then_some("tightening"))
                    .chain(["creep"])
                    .collect(),
                left_out: not_said || no_washer || said.is_none(),
                help: "use larger washers, or put two screws through limb and a flange 25 mm from \
                       the bolt, `clamp screws`."
                    .into(),
            })
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ring_holds_as_the_clutch_formula_says() {
        // Uniform pressure: T = (2/3) mu F (R^3 - r^3)/(R^2 - r^2) for each face
        // (Shigley, Mechanical Engineering Design, frictional-contact axial clutch).
        // By hand for 24 mm washers on M8: R 12, r 4.5, mu 0.3, two faces, 292 N.
        assert!((grip(0.3, 12.0, 4.5) * 292.0 - 1.54).abs() < 0.01);
        // A thin ring holds mu F R for each face.
        assert!((grip(0.5, 10.0, 9.999) - 2.0 * 0.5 * 0.01).abs() < 1e-5);
    }
}
