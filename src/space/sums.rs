//! The sums behind what is told of gaps, backing and looks.

use super::bolts::BoltStack;
use super::clash::{By, Gap};
use super::told::{Told, coordinate, degrees};
use super::{Role, Shown};
use crate::finding::Step;
use crate::units::{Mm, System, print};

impl Told<'_> {
    /// Where two parts are in depth, and how near they come to each other.
    pub(super) fn gap_sum(&self, gap: &Gap) -> Vec<Step> {
        let system = self.fitted.figure.system;
        let size = |mm: f64| print::fine(Mm(mm), system);
        let depth = |role: Role, limb: Option<usize>| {
            let parts = &self.stack.parts;
            let part = parts.iter().find(|p| {
                p.layer.role == role && (p.limb == limb || role == Role::Body && limb.is_none())
            })?;
            let (front, back) = (part.layer.depth.front, part.layer.depth.back);
            Some(format!("{} to {}", print::fine_in(Mm(front), system), size(back)))
        };
        let word = |role: Role| match role {
            Role::Limb => "the limb",
            Role::Member => "the member",
            other => other.word(),
        };
        let mut steps = Vec::new();
        for (first, role, limb) in
            [("", gap.part, Some(gap.limb)), (" it meets", gap.other, gap.other_limb)]
        {
            if let Some(depth) = depth(role, limb) {
                let what = format!("depth behind the board's face, {}{first}", word(role));
                steps.push(Step::new(what, "", depth));
            }
        }
        let unit = match gap.by {
            By::Angle | By::Shaft => "deg",
            _ => "mm",
        };
        let of = |v: f64| match gap.by {
            By::Angle | By::Shaft => degrees(v),
            _ => v,
        };
        for (from, to) in &gap.touching {
            // The same places as the sentence names.
            let told = format!("{:.1} to {:.1} {unit}", of(*from), of(*to));
            steps.push(Step::new("they touch from", "", told));
        }
        if gap.touching.len() > 2 {
            let more = (gap.touching.len() - 1).to_string();
            steps.push(Step::new("stretches after the first", "", more));
        }
        let at = coordinate(gap.by, gap.least.at[0], system);
        let what = format!("least gap of their outlines{at}");
        steps.push(Step::new(what, "", size(gap.least.high.max(0.0))));
        if gap.widest.is_finite() && gap.widest > gap.least.high {
            steps.push(Step::new("widest gap on the way", "", size(gap.widest)));
        }
        steps
    }

    /// How far something comes out.
    pub(super) fn shown_sum(&self, shown: &Shown) -> Vec<Step> {
        let system = self.fitted.figure.system;
        let at = coordinate(shown.how, shown.at, system);
        let place = at.trim_start_matches(" at ").trim_start_matches(" with ").to_owned();
        let mut steps = Vec::new();
        if !place.is_empty() {
            steps.push(Step::new("it comes out most at", "", place));
        }
        let rule = match shown.whole {
            true => "least distance of its outline from the board's",
            false => "largest distance of its corners from the board's outline",
        };
        steps.push(Step::new(rule, "", print::fine(Mm(shown.by), system)));
        steps
    }
}

/// Everything on a bolt, one under the other, and what it comes to.
pub(super) fn bolt_sum(bolt: &BoltStack, said: Mm, system: System) -> Vec<Step> {
    let size = |mm: f64| print::fine(Mm(mm), system);
    let number = |mm: f64| print::fine_in(Mm(mm), system);
    let on = bolt.steps.iter().filter(|s| s.thick > 0.0);
    let mut steps: Vec<Step> =
        on.clone().map(|s| Step::new(s.name.clone(), "", size(s.thick))).collect();
    let all: f64 = on.clone().map(|s| s.thick).sum();
    let out = bolt.needs - all;
    steps.push(Step::new("threads that stand out", "", size(out)));
    let sum = on.map(|s| number(s.thick)).chain([number(out)]).collect::<Vec<_>>().join(" + ");
    steps.push(Step::new("it comes to", sum, size(bolt.needs)));
    steps.push(Step::new("it is long", "", size(said.0)));
    steps
}

/// How near the nearest member is, and what is wanted.
pub(super) fn wood_sum(
    system: System,
    (what, away): (&str, f64),
    wanted: Option<(f64, f64)>,
) -> Vec<Step> {
    let size = |mm: f64| print::fine(Mm(mm), system);
    let mut steps = Vec::new();
    if let Some((diameter, radius)) = wanted {
        steps.push(Step::new("bolt", "", size(diameter)));
        let sum = format!("1.5 x {}", print::fine_in(Mm(diameter), system));
        steps.push(Step::new("wood wanted round its middle", sum, size(radius)));
    }
    steps.push(Step::new(what, "", size(away)));
    steps
}
