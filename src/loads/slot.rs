//! The slot of a slotted arm: what the crank pin rubs off, and the sheet beside it.

use super::Bench;
use super::codes_slot::{SLOT_THIN, SLOT_WEARS};
use super::cycle::Effort;
use super::wind_limb::{left_out, sheet_said};
use super::wind_limit::{Limit, When, input};
use crate::fit::{FittedDrive, SizeName};
use crate::model::{DriveKind, Limb, Note, SlottedDrive};
use crate::space::Slot;
use crate::units::Mm;

/// Pressure times speed that nylon stands without oil, MPa.m/s (Mott, Machine Elements in
/// Mechanical Design, table 16-1: 3000 psi ft/min); sheets of wood and plastic are taken to
/// stand no more.
const PV: f64 = 0.105;
/// Sheet beside a slot, in diameters of what runs in it (common practice, no source).
const RAIL: f64 = 1.5;
/// Places along a slot at which the sheet beside it is measured.
const PLACES: usize = 64;

/// Pressure of a pin over its width in a sheet times its fastest rubbing, MPa.m/s: N, mm,
/// and the crank's turns a minute.
#[must_use]
pub fn rubbing(push: f64, pin: f64, sheet: f64, crank: f64, rpm: f64) -> f64 {
    let speed = crank * 1e-3 * rpm * std::f64::consts::PI / 30.0;
    push / (pin * sheet) * speed
}

impl Bench<'_> {
    /// What runs in a limb's slot, and what is left beside it.
    pub(super) fn slot(&mut self, index: usize) -> Vec<Limit> {
        let figure = &*self.fitted.figure;
        let limb = &figure.limbs[index];
        let Some(DriveKind::SlottedArm(said)) = limb.drive.as_ref().map(|d| &d.mechanism) else {
            return Vec::new();
        };
        let mechanism = self.fitted.limbs[index].mechanism.as_ref().filter(|m| !m.faulty());
        let Some(drive) = mechanism.and_then(|m| m.as_drive()) else { return Vec::new() };
        let Some(slot) = mechanism.and_then(|m| Slot::of(limb, m)) else { return Vec::new() };
        if slot.in_lever {
            let notes = &mut self.limbs[index].not_checked;
            if said.lever_width.is_none() {
                let what = "steel beside the slot of its lever (how wide that is)";
                notes.push(Note::new(what, "slot lever-width 30 mm"));
            }
            if said.roller.is_none() {
                let what = "wear of the slot in its lever (steel on steel: grease it, or a roller)";
                notes.push(Note::new(what, "slot roller 16 mm"));
            }
            return said.lever_width.map(|wide| narrow(limb, said, wide)).into_iter().collect();
        }
        let wears = said.roller.is_none().then(|| self.wears(index, drive)).flatten();
        let thin = thin(limb, said, &slot);
        wears.into_iter().chain(thin).collect()
    }

    /// The bare pin that rubs along its slot.
    fn wears(&self, index: usize, drive: &FittedDrive) -> Option<Limit> {
        let limb = &self.fitted.figure.limbs[index];
        let load = self.limbs[index].cycle.as_ref()?;
        let rpm = load.motor.speed.filter(|_| load.motor.effort == Effort::Torque)?;
        let (push, thick) = (load.most_push?, limb.sheet.as_deref()?.thickness?.0);
        let crank = drive.sizes.iter().find(|s| s.name == SizeName::Crank)?.drilled;
        let pin = crate::model::PIN.0;
        Some(Limit {
            code: &SLOT_WEARS,
            when: When::Run,
            severity: SLOT_WEARS.severity,
            goes: "its slot wears wide",
            says: [
                format!("the bare crank pin rubs in the slot of {} with ", limb.said()),
                ", and ".into(),
                " is what nylon stands".into(),
            ],
            calm: rubbing(push, pin, thick, crank, rpm),
            per_gust2: 0.0,
            bears: PV,
            unit: "MPa.m/s",
            inputs: vec![
                input("push", push, "N"),
                input("pin", pin, "mm").typical(),
                input("thickness", thick, "mm").given_or_typical(sheet_said(limb)),
                input("crank", crank, "mm"),
                input("speed", rpm, "rpm"),
            ],
            typical: vec!["pin of M6"],
            left_out: left_out(limb, "sheet") || left_out(limb, "outline"),
            help: "put a bearing on the pin and say `slot … roller 16 mm`, or line the slot."
                .into(),
        })
    }
}

/// The steel on both sides of a slot in a lever.
fn narrow(limb: &Limb, said: &SlottedDrive, wide: Mm) -> Limit {
    let width = limb.slot_width();
    let left = (wide.0 - width.0) / 2.0;
    let mut limit = breaks_out(limb, said, left);
    limit.says[0] = format!("the slot in the lever of {} wants ", limb.said());
    limit.says[1] = " of steel on each side, and has ".into();
    limit.help = format!("take a lever of {:.0} mm or more.", (width.0 + 2.0 * limit.calm).ceil());
    limit.inputs.push(input("lever", wide.0, "mm").given());
    limit
}

/// The sheet beside the slot, from what runs in it to the edge.
fn thin(limb: &Limb, said: &SlottedDrive, slot: &Slot) -> Option<Limit> {
    let outline = limb.silhouette()?;
    let (from, to) = slot.ends;
    let width = limb.slot_width();
    // From the middle of one round end to that of the other.
    let (near, far) = (from + width.0 / 2.0, (to - width.0 / 2.0).max(from));
    let beside = |i: usize| {
        let at = slot.at(near + (far - near) * i as f64 / PLACES as f64);
        let distance = outline.distance_to_edge(at).0;
        if outline.contains(at) { distance } else { -distance }
    };
    let left = (0..=PLACES).map(beside).fold(f64::INFINITY, f64::min) - width.0 / 2.0;
    let mut limit = breaks_out(limb, said, left);
    limit.left_out = left_out(limb, "outline");
    limit.inputs.extend([input("slot_from", from, "mm"), input("slot_to", to, "mm")]);
    Some(limit)
}

/// What is left beside a slot against what is wanted there, of a limb's own slot.
fn breaks_out(limb: &Limb, said: &SlottedDrive, left: f64) -> Limit {
    let runner = said.runner();
    // Turned round, so that a smaller width asks more than it bears.
    Limit {
        code: &SLOT_THIN,
        when: When::Run,
        severity: SLOT_THIN.severity,
        goes: "its slot breaks out",
        says: [
            format!("the slot of {} wants ", limb.said()),
            " of sheet on each side and at its ends, and has ".into(),
            String::new(),
        ],
        calm: RAIL * runner.0,
        per_gust2: 0.0,
        bears: left.max(0.0),
        unit: "mm",
        inputs: vec![
            input("left", left, "mm"),
            input("runs_in_it", runner.0, "mm").given_or_typical(said.roller.is_some()),
            input("width", limb.slot_width().0, "mm"),
        ],
        typical: if said.roller.is_none() { vec!["pin of M6"] } else { Vec::new() },
        left_out: false,
        help: "cut the limb wider along its slot, or screw a doubler on.".into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn by_hand() {
        // 20 N on 6 x 6 mm are 0.5556 MPa; 40 mm at 30 rpm 0.12566 m/s: 0.06981.
        assert!((rubbing(20.0, 6.0, 6.0, 40.0, 30.0) - 0.069_813).abs() < 1e-5);
    }
}
