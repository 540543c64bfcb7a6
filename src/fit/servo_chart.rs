//! The chart of trial holes of a servo's rod: what every arm hole with every lever hole
//! makes of the limb, rod, clamp and the arm's place on the servo's shaft as they are.

use super::chart::{Cell, Chart, Holes, Rows, filled, holes};
use super::servo_rod::stretch;
use super::{FittedServo, ServoEnd, SizeName, checks};
use crate::geometry::Dir;
use crate::mechanism::solve::{usual_arm_holes, usual_arm_lever_holes};
use crate::mechanism::{Blocked, FourBar, ServoRod};
use crate::model::Sized;
use crate::units::{Deg, Mm};

/// An angle this little beyond the reach is at its end.
const AT_END: Deg = Deg(1e-6);

/// The rows with the usual holes of a servo's arm, where its motor comes with none.
pub(super) fn with_arm_holes(rows: Rows) -> Rows {
    let (lo, hi, step) = usual_arm_holes(rows.system);
    Rows { crank: rows.crank.or(Some((Mm(lo), Mm(hi), Mm(step)))), ..rows }
}

/// The chart of a servo with a rod; `None` of one without.
pub(super) fn chart(
    servo: &FittedServo,
    (arm, lever): (Option<&Sized>, Option<&Sized>),
    rows: Rows,
) -> Option<Chart> {
    let (linkage, zero) = (servo.linkage?, servo.arm_at_zero?);
    let bars = linkage.bars();
    let said = |s: Option<&Sized>| s.and_then(|s| s.row);
    let usual = with_arm_holes(rows).crank.map(|(lo, hi, step)| (lo.0, hi.0, step.0));
    let down =
        Holes { word: "arm", ..Holes::new(SizeName::Crank, holes(said(arm), usual, bars.crank.0)) };
    let usual = Some(usual_arm_lever_holes(rows.system));
    let across = Holes::new(SizeName::Lever, holes(said(lever), usual, bars.lever.0));
    let kept = vec![(SizeName::Rod, bars.rod.0), (SizeName::Clamp, linkage.clamp().0)];
    let made = |arm: f64, lever: Option<f64>| {
        let lengths = (Mm(arm), bars.rod, Mm(lever.unwrap_or(bars.lever.0)));
        let centres = (linkage.motor(), linkage.pivot());
        match FourBar::new(centres, lengths, linkage.clamp(), linkage.assembly()) {
            Err(_) => Cell::Blocked("no size".into()),
            Ok(made) => cell(&made, zero, servo, rows.asked),
        }
    };
    let used = (bars.crank.0, Some(bars.lever.0));
    let chart = filled(kept, false, (down, Some(across)), used, made);
    Some(Chart { servo: true, ..chart })
}

/// What a linkage makes of the limb over the servo's travel, and why it does not reach
/// what is asked.
fn cell(made: &FourBar, arm: Deg, servo: &FittedServo, asked: Option<(Deg, Deg)>) -> Cell {
    let blocked = |why: &str| Cell::Blocked(why.into());
    match made.at(Dir::degrees(arm)) {
        Err(Blocked::Open { gap }) if gap.0 > 0.0 => return blocked("rod too short"),
        Err(Blocked::Open { .. }) => return blocked("rod too long"),
        Err(_) => return blocked("does not meet"),
        Ok(_) => {}
    }
    let rod = ServoRod::new(*made, arm, servo.turns.sign());
    let whole = stretch(&rod, rod.limb(Deg(0.0)), servo.travel);
    // In the turn of the circle that gestures speak of.
    let middle = (servo.low + servo.high) / 2.0;
    let turn = Deg(360.0 * checks::turns_between(middle, (whole.low.0 + whole.high.0) / 2.0));
    let (low, high) = (whole.low.0 + turn, whole.high.0 + turn);
    let (mut from, mut to) = (whole.low.1, whole.high.1);
    if let Some((least, most)) = asked {
        let short = [low - least > AT_END, most - high > AT_END];
        let ends = [whole.low.2, whole.high.2];
        if let Some(end) = short.into_iter().zip(ends).find(|s| s.0).map(|s| s.1) {
            return blocked(match end {
                ServoEnd::Travel => "turns too little",
                ServoEnd::TurnsBack => "turns back",
                ServoEnd::Locks => "locks",
            });
        }
        let own = |limb: Deg| rod.servo_at(limb, from.min(to), from.max(to));
        (from, to) = (own(least).unwrap_or(from), own(most).unwrap_or(to));
    } else if whole.low.2 == ServoEnd::Locks || whole.high.2 == ServoEnd::Locks {
        return blocked("locks");
    }
    let push = rod.least_push(from.min(to), from.max(to)).0;
    let (range, centre) = ((high - low).0, ((low + high) / 2.0).0);
    Cell::Turns { range, centre, push: push.0 }
}
