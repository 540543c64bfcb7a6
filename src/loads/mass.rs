//! What each limb weighs: what was assumed for it, and what cannot be. What is weighed,
//! balanced and drawn is put together in [`crate::fit::mass`].

use super::wind_limb::sheet_said;
use super::wind_limit::{Input, input};
use super::{Bench, codes_mass};
use crate::finding::{Finding, Step};
pub use crate::fit::mass::{
    GRAVITY, Grade, MassProperties, Origin, drawn as outlined, pendulum, weighed,
};
use crate::geometry::{OnLimb, Point};
use crate::model::{Joint, Limb, Note, Shape};
use crate::units::Mm;
use crate::units::print::{decimal, length, mass as in_words};

/// Weighed and computed mass may differ by this factor before a slip of the pen is
/// likelier than knots and paint (common practice, no source).
const APART: f64 = 2.0;

/// What a limb's mass is computed from, where it is not weighed: area x (sheet + paint)
/// and what it carries.
#[must_use]
pub fn inputs(limb: &Limb) -> Vec<Input> {
    let sheet = limb.sheet.as_deref();
    let of_sheet = |name, value: Option<f64>, unit| {
        value.map(|value| input(name, value, unit).given_or_typical(sheet_said(limb)))
    };
    let own = [
        limb.silhouette().map(|o| input("area", o.area().0 * 1e-6, "m2")),
        of_sheet("thickness", sheet.and_then(|s| s.thickness).map(|t| t.0), "mm"),
        of_sheet("sheet", sheet.and_then(|s| s.mass).map(|m| m.0), "kg/m2"),
        limb.build.paint.map(|p| input("paint", p.0, "kg/m2").given()),
    ];
    let carried = limb.carried.iter().map(|c| input("carries", c.mass.0, "kg").given());
    own.into_iter().flatten().chain(carried).collect()
}

/// The clause that would settle what a limb weighs.
fn settle(limb: &Limb) -> &'static str {
    match limb.joint {
        Joint::Slide { .. } => "weighed 0.6 kg",
        Joint::Pivot { .. } => "weighed 0.31 kg  balances 148 mm  ten-swings 8.6 s",
    }
}

/// What was assumed where only a part was measured.
fn assumed(limb: &Limb, found: &MassProperties, notes: &mut Vec<Note>) {
    let slides = matches!(limb.joint, Joint::Slide { .. });
    match found.origins {
        [Origin::Outline, ..] => {
            notes.push(Note::new("weight from outline and sheet", settle(limb)))
        }
        [_, _, Origin::Point] if !slides => notes.push(Note::new(
            "resistance to swinging as if all weight sat in one point",
            "ten-swings 8.6 s",
        )),
        [_, Origin::Outline, _] | [_, _, Origin::Scaled] if !slides => notes.push(Note::new(
            "weight spread over the limb as drawn",
            "balances 148 mm  ten-swings 8.6 s",
        )),
        _ => {}
    }
    if limb.build.counterweight.is_some() && found.origins[0] == Origin::Measured {
        notes.push(Note::new("measured before its counterweight was put on", ""));
    }
}

impl Bench<'_> {
    /// Weighs every limb.
    pub fn weigh(&mut self) {
        let figure = &self.fitted.figure;
        for (limb, loaded) in figure.limbs.iter().zip(&mut self.limbs) {
            if limb.poisoned {
                continue;
            }
            loaded.mass = weighed(limb, None);
            match &loaded.mass {
                Some(found) => assumed(limb, found, &mut loaded.assumed),
                None if limb.drive.is_some() => {
                    loaded.not_checked.push(Note::new("weight (nothing to weigh)", settle(limb)));
                }
                None => {}
            }
            self.findings.extend(implausible(limb, figure));
            self.findings.extend(unbalanced(limb, figure));
        }
    }
}

/// A weight on the scales that outline and sheet cannot explain.
fn implausible(limb: &Limb, figure: &crate::model::Figure) -> Option<Finding> {
    let weighed = limb.measured.mass?;
    let drawn = matches!(limb.shape, Some(Shape::Outline(_)));
    let sheet_said = !limb.assumed.iter().any(|n| n.settle.starts_with("sheet"));
    let shape = outlined(limb).filter(|_| drawn && sheet_said)?;
    let ratio = weighed.0 / shape.0;
    if (1.0 / APART..=APART).contains(&ratio) {
        return None;
    }
    let message = format!(
        "{}.{} is said to weigh {}, and outline and sheet come to {}.",
        figure.name.value,
        limb.name.value,
        in_words(weighed, figure.system),
        in_words(shape, figure.system)
    );
    let mut found = Finding::new(&codes_mass::WEIGHT_IMPLAUSIBLE, limb.name.place, message)
        .about(&figure.name.value, Some(&limb.name.value));
    found.worked = inputs(limb).iter().map(Input::step).collect();
    found.worked.extend([
        Step::new(
            "outline and sheet come to area x weight of sheet and paint + what it carries",
            "",
            in_words(shape, figure.system),
        ),
        Step::new("weighed", "", format!("{} kg", decimal(weighed.0, 4))),
        Step::new(
            "weighed against that",
            format!("{}/{}", decimal(weighed.0, 4), decimal(shape.0, 4)),
            format!("{} times", decimal(ratio, 3)),
        ),
        Step::new("let pass", "", format!("1/{APART} to {APART} times")),
    ]);
    found.help = Some(format!(
        "one of the three is wrong by {} times: the scales, the outline or the sheet.",
        decimal(ratio.max(1.0 / ratio), 1)
    ));
    Some(found)
}

/// A balance point off the limb, or swings quicker than any body's that balances there.
///
/// About its pivot a body of mass m with its centre d away has at least m d^2, so that ten
/// swings take at least 20 pi sqrt(d/g): those of a weight on a thread.
fn unbalanced(limb: &Limb, figure: &crate::model::Figure) -> Option<Finding> {
    let said = &limb.measured;
    let name = format!("{}.{}", figure.name.value, limb.name.value);
    let long = |d: Mm| length(d, figure.system);
    let far = said.balance.or(said.centre.map(|(far, _)| far))?;
    let drawn = matches!(limb.shape, Some(Shape::Outline(_)));
    let reach = limb.silhouette().filter(|_| drawn).map(|o| {
        let out = |p: &Point<OnLimb>| libm::hypot(p.x, p.y);
        let carried = limb.carried.iter().filter_map(|c| limb.own(c.at));
        o.corners().iter().map(out).chain(carried.map(|p| out(&p))).fold(0.0, f64::max)
    });
    let least = |d: Mm| 20.0 * std::f64::consts::PI * (d.0 * 1e-3 / GRAVITY).sqrt();
    let (message, help, sum) = if let Some(reach) = reach.filter(|r| far.0.abs() > r * SLIP) {
        (
            format!(
                "{name} is said to balance {} from its bolt, and nothing of it is further away than {}.",
                long(far),
                long(Mm(reach))
            ),
            "balance it over an edge again and measure from the middle of the bolt.".to_owned(),
            vec![Step::given("its farthest point from the bolt", long(Mm(reach)))],
        )
    } else if let Some(ten) = said.ten_swings.filter(|t| t.0 * SLIP < least(far)) {
        (
            format!(
                "ten swings of {name} are said to take {} s; balancing {} from its bolt they take at least {}.",
                decimal(ten.0, 1),
                long(far),
                decimal(least(far), 1)
            ),
            "count ten times to and fro, and measure where it balances again.".to_owned(),
            vec![
                Step::given("ten swings", format!("{} s", decimal(ten.0, 2))),
                Step::new(
                    "those of a weight on a thread, 20 pi sqrt(d/g)",
                    format!("20 x pi x sqrt({}/{GRAVITY})", decimal(far.0 * 1e-3, 4)),
                    format!("{} s", decimal(least(far), 2)),
                ),
            ],
        )
    } else {
        let (mass, stated) = (said.mass?, said.inertia?);
        let least = mass.0 * far.0 * far.0 * 1e-6;
        if stated.0 * SLIP >= least {
            return None;
        }
        (
            format!(
                "{name} is said to resist swinging with {} kg.m2; with its weight {} from the bolt it is at least {}.",
                decimal(stated.0, 5),
                long(far),
                decimal(least, 5)
            ),
            "count the inertia about the pivot, not about its own middle.".to_owned(),
            vec![
                Step::given("inertia said", format!("{} kg.m2", decimal(stated.0, 5))),
                Step::new(
                    "all of it in its centre, m d^2",
                    format!("{} x {}^2", decimal(mass.0, 4), decimal(far.0 * 1e-3, 4)),
                    format!("{} kg.m2", decimal(least, 5)),
                ),
            ],
        )
    };
    let found = Finding::new(&codes_mass::BALANCE_IMPOSSIBLE, limb.name.place, message)
        .given("from the bolt to where it balances", long(far))
        .steps(sum)
        .given("let pass", format!("{} %", decimal((SLIP - 1.0) * 100.0, 0)));
    Some(found.help(help).about(&figure.name.value, Some(&limb.name.value)))
}

/// Scales, tape and watch are let be wrong by a twentieth (common practice, no source).
const SLIP: f64 = 1.05;
