//! Where a hand may be caught: by what pushes there, and by who gets there.
//!
//! A place that catches is let pass where people are kept further away than an arm reaches,
//! or where all that its motors can push with is what a hand stands. A crank pushes harder
//! the nearer its limb is to the end of its way: there that bounds nothing.

use super::Bench;
use super::codes_fingers::{FINGER_DRAWN_IN, FINGER_GAP, FINGER_SHEAR};
use crate::finding::{Code, Finding, Step};
use crate::model::{DriveKind, Note};
use crate::space::{Catch, FINGER, HAND, Pinch, Reach, Role};
use crate::units::{Mm, Newton, print};

/// What a hand and its fingers stand held fast, N (ISO/TS 15066, table A.2; from memory).
pub const STANDS: f64 = 140.0;

/// What is told of one limb's bars that pass what lies beside them.
struct Passing {
    limb: usize,
    code: &'static Code,
    /// The bars, by their words, each once.
    parts: Vec<&'static str>,
    other: String,
    /// The least left between them, mm.
    apart: f64,
    /// The hardest push, N; `None` where one of them is not known.
    push: Option<f64>,
}

/// How much harder a crank pushes away from the middle of its limb's way, a share of half
/// of that way from it: 1/sqrt(1 - u^2), as a crank with a long rod passes on.
#[must_use]
pub fn grows(from_middle: f64) -> f64 {
    1.0 / (1.0 - from_middle * from_middle).max(0.0).sqrt()
}

impl Bench<'_> {
    /// Every place of the figure that catches.
    pub(super) fn fingers(&mut self) {
        if self.site.reach == Reach::Out {
            return;
        }
        let mut passing: Vec<Passing> = Vec::new();
        let mut unknown = vec![false; self.limbs.len()];
        for pinch in &self.spaced.pinches {
            let push = self.pushes(pinch);
            if push.is_some_and(|p| p <= STANDS) {
                continue;
            }
            let limb = pinch.limb.0;
            let (code, apart) = match &pinch.catch {
                Catch::Closes { .. } => {
                    self.findings.push(self.closes(pinch, push));
                    continue;
                }
                _ if !pinch.known => {
                    unknown[limb] = true;
                    continue;
                }
                Catch::Shears { apart } => (&FINGER_SHEAR, *apart),
                Catch::Draws { apart } => (&FINGER_DRAWN_IN, *apart),
            };
            let other = self.other(pinch);
            let same =
                |p: &&mut Passing| p.limb == limb && std::ptr::eq(p.code, code) && p.other == other;
            match passing.iter_mut().find(same) {
                Some(p) => {
                    if !p.parts.contains(&pinch.part.word()) {
                        p.parts.push(pinch.part.word());
                    }
                    p.apart = p.apart.min(apart);
                    p.push = p.push.zip(push).map(|(a, b)| a.max(b));
                }
                None => {
                    let parts = vec![pinch.part.word()];
                    passing.push(Passing { limb, code, parts, other, apart, push });
                }
            }
        }
        for p in passing {
            let finding = self.passes(&p);
            self.findings.push(finding);
        }
        for (limb, _) in unknown.into_iter().enumerate().filter(|(_, u)| *u) {
            // The depth of its bars follows from that of its bolt's end and from the crank's.
            let (of, settle) = match super::hole::standoff(&self.fitted.figure, limb) {
                None => ("in which depth they run", "standoff 20 mm"),
                Some(_) => ("where its bushing ends", "bushing nylon length 60 mm"),
            };
            let what = format!("fingers between its bars and what they pass ({of})");
            self.limbs[limb].not_checked.push(Note::new(what, settle));
        }
    }

    /// The hardest that anything pushes where two parts catch, N; `None` where it is not
    /// known, or has no bound.
    fn pushes(&self, pinch: &Pinch) -> Option<f64> {
        let one = |(limb, way): (usize, Option<f64>)| {
            let drive = self.fitted.figure.limbs[limb].drive.as_ref();
            let Some(drive) = drive else { return Some(0.0) };
            let held = self.limbs[limb].held.as_ref()?;
            if !matches!(pinch.catch, Catch::Closes { .. }) {
                // All along its way: where it is held in the middle of it.
                return if pinch.part == Role::Limb { held.push } else { held.rod.or(held.push) };
            }
            let cranked = matches!(
                drive.mechanism,
                DriveKind::FourBar(_)
                    | DriveKind::SlottedArm(_)
                    | DriveKind::SliderCrank(_)
                    | DriveKind::ScotchYoke(_)
                    | DriveKind::Forearm(_)
                    | DriveKind::Cam(_)
            );
            let push = held.push? * if cranked { grows(way?) } else { 1.0 };
            push.is_finite().then_some(push)
        };
        let other = pinch.other_limb.map_or(Some(0.0), one)?;
        Some(one(pinch.limb)?.max(other))
    }

    fn limb_name(&self, limb: usize) -> String {
        let figure = &self.fitted.figure;
        format!("{}.{}", figure.name.value, figure.limbs[limb].name.value)
    }

    fn other(&self, pinch: &Pinch) -> String {
        match (pinch.other, pinch.other_limb) {
            (Role::Limb, Some((l, _))) => self.limb_name(l),
            (part, Some((l, _))) => format!("the {} of {}", part.word(), self.limb_name(l)),
            (part, None) => format!("the {}", part.word()),
        }
    }

    /// ", and what moves it pushes with up to 467 N".
    fn with(&self, push: Option<f64>) -> String {
        push.map_or(String::new(), |p| {
            let force = print::force(Newton(p), self.fitted.figure.system);
            format!("; held there, it pushes with {force}")
        })
    }

    /// The push and what a hand stands, as lines of a sum; nothing where no push is known.
    fn caught(&self, push: Option<f64>) -> Vec<Step> {
        let force = |f: f64| print::force(Newton(f), self.fitted.figure.system);
        push.map_or(Vec::new(), |push| {
            vec![
                Step::given("what moves it pushes with, held there", force(push)),
                Step::given("a hand stands, held fast", force(STANDS)),
            ]
        })
    }

    fn about(&self, code: &'static Code, limb: usize, message: String, help: String) -> Finding {
        let figure = &self.fitted.figure;
        let name = &figure.limbs[limb].name;
        let finding = Finding::new(code, name.place, message).help(help);
        finding.about(&figure.name.value, Some(&name.value))
    }

    fn closes(&self, pinch: &Pinch, push: Option<f64>) -> Finding {
        let system = self.fitted.figure.system;
        let Catch::Closes { least, hand, place } = &pinch.catch else {
            unreachable!("only edges that close are told so")
        };
        let (what, needs) = if *hand { ("a hand", HAND) } else { ("a finger", FINGER) };
        let message = format!(
            "between {} and {} {what} fits, and the gap closes to {}{place}{}.",
            self.limb_name(pinch.limb.0),
            self.other(pinch),
            print::size(Mm(*least), 0, system),
            self.with(push)
        );
        let wide = print::size(Mm(needs), 0, system);
        let help = format!("keep {wide} between edges that move towards each other.");
        self.about(&FINGER_GAP, pinch.limb.0, message, help)
            .given("closes to", print::size(Mm(*least), 0, system))
            .given(format!("{what} is kept out, or free, from"), wide)
            .steps(self.caught(push))
    }

    fn passes(&self, p: &Passing) -> Finding {
        let system = self.fitted.figure.system;
        let name = self.limb_name(p.limb);
        let limb = p.parts.contains(&Role::Limb.word());
        let own = match p.parts.as_slice() {
            _ if limb => name,
            [one] => format!("the {one} of {name}"),
            [first @ .., last] => format!("the {} and {last} of {name}", first.join(", ")),
            [] => name,
        };
        let verb = if p.parts.len() == 1 { "passes" } else { "pass" };
        let apart = print::size(Mm(p.apart), 0, system);
        let stands = print::force(Newton(STANDS), system);
        let away = match &self.site.reach {
            Reach::In(Some(away)) => away.clone(),
            _ => "stand the figure where no arm reaches it (850 mm)".to_owned(),
        };
        let away =
            format!("{away}; or limit the motor's current until it pushes with {stands} or less.");
        let shears = p.code.word == FINGER_SHEAR.word;
        let message = match shears {
            true => format!(
                "{own} {verb} {} with {apart} between them: a finger over its edge is sheared{}.",
                p.other,
                self.with(p.push)
            ),
            false => format!(
                "{own} {verb} {} with {apart} between them: a finger goes in and is drawn along{}.",
                p.other,
                self.with(p.push)
            ),
        };
        let help = match shears {
            true => format!("close the back of the board; {away}"),
            false => format!(
                "let them run closer than 6 mm or further than {} apart; {away}",
                print::size(Mm(FINGER), 0, system)
            ),
        };
        self.about(p.code, p.limb, message, help)
            .given("between them", apart)
            .steps(self.caught(p.push))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_crank_pushes_harder_towards_the_end() {
        // 60 % of the way out: 1/0.8; half of it: 1/0.8660.
        assert!((grows(0.6) - 1.25).abs() < 1e-12);
        assert!((grows(0.5) - 1.154_700_5).abs() < 1e-6);
        assert!(grows(1.0).is_infinite());
    }
}
