//! A limb on a servo as built: what was measured with the servo turned to both ends of
//! its pulses, or as far as its rod lets it.

use std::sync::Arc;

use super::Bench;
use super::builds::{self, Dimension, Recipe};
use super::servo::Shaft;
use super::servo_rod::free;
use crate::geometry::BoardPoint;
use crate::mechanism::{FourBar, Servo, ServoLink, ServoRod, Shaft as Turning, Span, Way};
use crate::units::{Deg, Mm};

/// The arm's length.
pub(super) const ARM: &str = "servo arm";
/// Which way the arm points at the servo's own zero: it sits on a toothed shaft and goes
/// on a tooth further on or back.
pub(super) const ARM_ANGLE: &str = "servo arm's angle";
/// Where a limb that sits on the shaft itself points at the servo's own zero.
const ZERO: &str = "angle at the servo's zero";
/// So little before it locks, rad, a limb's end is looked at: rod and lever still push
/// there, and the limb is less than 0.01 deg from its end.
const HAIR: f64 = 1e-10;

impl Bench<'_> {
    /// Where a limb straight on its servo's shaft points at the servo's zero: as the
    /// ends that were measured say.
    pub(super) fn zero_as_built(&mut self, shaft: &Shaft) -> Option<Deg> {
        let recipe = on_shaft(super::motor_place::home(self.limb)?, shaft);
        let found = self.as_built(&recipe, &[])?;
        let &[zero] = &found.values[..] else { return None };
        self.as_built = Some(found);
        Some(Deg(zero))
    }

    /// Arm, rod and lever as built, and where the arm points at the servo's zero.
    pub(super) fn rod_as_built(
        &mut self,
        (drawn, arm): (&FourBar, Deg),
        solved: &[&'static str],
        shaft: &Shaft,
    ) -> Option<(FourBar, Deg)> {
        let recipe = through_rod(drawn, arm, shaft);
        let open = solved.iter().map(|&word| if word == "crank" { ARM } else { word });
        let found = self.as_built(&recipe, &open.collect::<Vec<_>>())?;
        let built = of_values(drawn, &found.values)?;
        self.as_built = Some(found);
        Some(built)
    }
}

fn on_shaft(pivot: BoardPoint, shaft: &Shaft) -> Recipe {
    let (travel, sign) = (shaft.travel, shaft.turns.sign());
    Recipe::new(vec![Dimension::angle(ZERO, shaft.zero)], move |v| {
        let &[zero] = v else { return None };
        let (a, b) = (Deg(zero) + travel.0 * sign, Deg(zero) + travel.1 * sign);
        let travel = (a.min(b), a.max(b));
        let span = Span::part(travel.0.rad().0, travel.1.rad().0);
        let direct = Servo { pivot, link: ServoLink::Direct { offset: Deg(0.0) }, travel };
        Some((Arc::new(direct), Way::Shaft(Turning { at: pivot, span })))
    })
}

/// How arm, rod and lever are made, and what they go through from end to end of the
/// servo's pulses.
pub(super) fn through_rod(drawn: &FourBar, arm: Deg, shaft: &Shaft) -> Recipe {
    let bars = drawn.bars();
    let mut dimensions = vec![
        Dimension::length(ARM, bars.crank),
        Dimension::length("rod", bars.rod),
        Dimension::length("lever", bars.lever),
        Dimension::angle("clamp", drawn.clamp()),
        Dimension::angle(ARM_ANGLE, arm),
    ];
    dimensions.extend(builds::place(builds::MOTOR, drawn.motor()));
    dimensions.extend(builds::place(builds::PIVOT, drawn.pivot()));
    let (drawn, travel, sign) = (*drawn, shaft.travel, shaft.turns.sign());
    Recipe::new(dimensions, move |v| {
        let (linkage, arm) = of_values(&drawn, v)?;
        let (least, most, [below, above]) =
            free(&ServoRod::new(linkage, arm, sign), Deg(0.0), travel);
        let hair = |lock: Option<Deg>| lock.map_or(0.0, |_| HAIR);
        let (from, to) = (least.rad().0 + hair(below), most.rad().0 - hair(above));
        let ends = [from, to].map(|own| arm.rad().0 + own * sign);
        let span = Span::part(ends[0].min(ends[1]), ends[0].max(ends[1]));
        Some((Arc::new(linkage), Way::Shaft(Turning { at: linkage.motor(), span })))
    })
}

fn of_values(drawn: &FourBar, values: &[f64]) -> Option<(FourBar, Deg)> {
    let &[crank, rod, lever, clamp, arm, mx, my, px, py] = values else { return None };
    let centres = (BoardPoint::mm(mx, my), BoardPoint::mm(px, py));
    let lengths = (Mm(crank), Mm(rod), Mm(lever));
    let linkage = FourBar::new(centres, lengths, Deg(clamp), drawn.assembly()).ok()?;
    Some((linkage, Deg(arm)))
}
