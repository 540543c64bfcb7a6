//! How far the play of its pins lets a limb wag.
//!
//! Between motor and limb each pin moves in its hole by the play of the two; at the end of a
//! lever, pushed at an angle, that turns the limb. What is pressed to one side by weight or
//! spring all along (cams and cords), and what has no pins (belts, gears, a servo's shaft),
//! is not looked at; nor is a limb that slides, where the play is as large as it is. The
//! ends of a servo's rod are no pins of M6, and looked at apart.

use super::Bench;
use super::clamp_codes::LIMB_RATTLES;
use super::wind_limit::{Input, Limit, When, input};
use crate::finding::Severity;
use crate::fit::{Fitted, FittedDrive, FittedFigure, SizeName};
use crate::geometry::Point;
use crate::mechanism::Way;
use crate::model::{DriveKind, Joint, Limb, Note, PinHoles};
use crate::units::{Deg, MetrePerSec, Mm, System, print};

/// Play below this is not minded, deg (common practice, no source).
pub(super) const HEARD: f64 = 1.0;
/// Play above this is a mistake, deg (common practice, no source).
const SEEN: f64 = 2.0;
/// A lever is told to the next so many millimetres.
const ROUND: f64 = 5.0;

/// What turns play into a turn of the limb.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Wag {
    /// How many holes add their play.
    holes: f64,
    /// From the limb's bolt to the pin, mm.
    lever: f64,
    /// The worst angle between push and lever.
    push: Deg,
}

impl Wag {
    /// Of a limb that turns and is pushed through pins.
    fn of(fitted: &FittedFigure, index: usize) -> Option<Self> {
        let limb = &fitted.figure.limbs[index];
        let mechanism = fitted.limbs[index].mechanism.as_ref().filter(|m| !m.faulty())?;
        if !matches!(limb.joint, Joint::Pivot { .. }) {
            return None;
        }
        let lever = || mechanism.drilled(SizeName::Lever);
        match (mechanism, &limb.drive.as_ref()?.mechanism) {
            (Fitted::FourBar(f), _) => {
                let push = f.as_drilled.motion?.min_transmission;
                Some(Self { holes: 2.0, lever: lever()?, push })
            }
            (Fitted::Drive(drive), DriveKind::Forearm(_) | DriveKind::Strut(_)) => {
                let push = drive.drilled.course.worst_push;
                Some(Self { holes: 2.0, lever: lever()?, push })
            }
            // One pin, least where it comes nearest to the limb's bolt.
            (Fitted::Drive(drive), DriveKind::SlottedArm(_)) => {
                let push = drive.drilled.course.worst_push;
                Some(Self { holes: 1.0, lever: nearest(limb, drive)?, push })
            }
            _ => None,
        }
    }

    /// How far the limb wags, deg, where each hole has so much play.
    fn deg(&self, play: Mm) -> f64 {
        let across = self.lever * libm::sin(self.push.rad().0);
        (self.holes * play.0 / across).to_degrees()
    }

    /// What makes it less than nobody minds.
    fn help(&self, fit: PinHoles, system: System) -> String {
        let lever = |fit: PinHoles| {
            let wanted = self.lever * self.deg(fit.play()) / HEARD;
            print::size_up(Mm((wanted / ROUND - 1e-9).ceil() * ROUND), system)
        };
        let own = print::size(Mm(self.lever), 0, system);
        let hole = print::size(PinHoles::Close.diameter(), 1, system);
        // A slot's lever is where its crank runs.
        let longer = |fit| match self.holes > 1.0 {
            true => format!("take a lever of {} instead of {own}", lever(fit)),
            false => format!("let its pin run {} and more from the bolt", lever(fit)),
        };
        match fit {
            PinHoles::Close => format!("{}.", longer(fit)),
            PinHoles::Drilled(at) if at <= PinHoles::Close.diameter() => {
                format!("{}.", longer(fit))
            }
            _ if self.deg(PinHoles::Close.play()) <= HEARD => {
                format!("drill the holes {hole} (`holes close`), or {}.", longer(fit))
            }
            _ => format!("drill the holes {hole} (`holes close`) and {}.", longer(PinHoles::Close)),
        }
    }
}

/// How near the crank pin of a slotted arm comes to the limb's bolt, mm.
pub(super) fn nearest(limb: &Limb, drive: &FittedDrive) -> Option<f64> {
    let crank = drive.sizes.iter().find(|s| s.name == SizeName::Crank)?.drilled;
    match (&drive.drilled.way, &limb.joint) {
        (Way::Shaft(shaft), Joint::Pivot { at: Some(at), .. }) => {
            Some((at.distance(shaft.at).0 - crank).abs())
        }
        _ => None,
    }
}

impl Bench<'_> {
    /// The play of its pins, seen at the limb; noted as it is drilled where that is not said.
    pub(super) fn rattles(&mut self, index: usize) -> Option<Limit> {
        let figure = &*self.fitted.figure;
        let limb = &figure.limbs[index];
        let wag = Wag::of(self.fitted, index)?;
        let fit = limb.build.holes.unwrap_or_default();
        let (hole, play, system) = (fit.diameter(), fit.play(), figure.system);
        let drilled = print::size(hole, 1, system);
        if limb.build.holes.is_none() {
            let what = format!("holes for its pins of M6 drilled {drilled}, a medium fit");
            self.limbs[index].assumed.push(Note::new(what, "holes close"));
        }
        if play.0 < 0.0 {
            let what = format!("play of its pins (a hole of {drilled} does not take M6)");
            self.limbs[index].not_checked.push(Note::new(what, "holes close"));
            return None;
        }
        let deg = wag.deg(play);
        if !deg.is_finite() {
            return None;
        }
        let far = limb.silhouette().map(|outline| outline.reach(Point::origin()));
        let tip = far.map_or(String::new(), |far| {
            format!(", {} at its end", print::size(Mm(far * deg.to_radians()), 0, system))
        });
        let through = if wag.holes > 1.0 { "its two holes" } else { "its slot" };
        let says = [
            format!("M6 in {through} of {drilled} lets {} wag by ", limb.said()),
            format!("{tip}, and "),
        ];
        let inputs = [
            input("holes", wag.holes, "1").fixed(),
            input("hole", hole.0, "mm").given_or_typical(limb.build.holes.is_some()),
            input("play", play.0, "mm"),
            input("lever", wag.lever, "mm"),
            input("worst_push", wag.push.0, "deg"),
        ];
        let reach = far.into_iter().flat_map(|far| {
            [input("reach", far, "mm"), input("at_its_end", far * deg.to_radians(), "mm")]
        });
        let limit = rattles(deg, says, inputs.into_iter().chain(reach).collect());
        Some(Limit { typical: vec!["pin of M6"], help: wag.help(fit, system), ..limit })
    }
}

/// A limb of a chain of limbs that ride on each other.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Link {
    /// How far it wags by its own pins, rad.
    wags: f64,
    /// From its bolt to that of the next one, or to the end of the last, mm.
    long: f64,
}

/// How far the end of a chain wags, mm, stretched out, where that is most: the play of each
/// moves all that lies beyond its bolt, s1 (r1 + r2) + s2 r2 of two. From the board on.
fn at_the_end(chain: &[Link]) -> f64 {
    let beyond = |n: usize| chain[n..].iter().map(|l| l.long).sum::<f64>();
    chain.iter().enumerate().map(|(n, link)| link.wags * beyond(n)).sum()
}

impl Bench<'_> {
    /// The limb and all that carry it, from the board on, and the one nearest to the
    /// board of which nobody said how its holes are drilled; `None` where the limb itself or all that carry it do not wag,
    /// or a length is not known.
    fn chain(&self, index: usize) -> Option<(Vec<Link>, Option<usize>)> {
        let figure = &*self.fitted.figure;
        let (mut chain, mut unsaid, mut at) = (Vec::new(), None, index);
        let mut long = figure.limbs[index].silhouette()?.reach(Point::origin());
        for _ in 0..figure.limbs.len() {
            let limb = &figure.limbs[at];
            let wag = Wag::of(self.fitted, at);
            let play = limb.build.holes.unwrap_or_default().play();
            let wags = wag.map_or(0.0, |w| w.deg(play).to_radians());
            chain.push(Link { wags, long });
            if wag.is_some() && limb.build.holes.is_none() {
                unsaid = Some(at);
            }
            let Some(carrier) = limb.carrier else { break };
            let Joint::Pivot { at: Some(pivot), .. } = limb.joint else { return None };
            let on = figure.limbs.get(carrier)?.own(pivot)?;
            long = libm::hypot(on.x, on.y);
            at = carrier;
        }
        chain.reverse();
        let carried = chain.iter().rev().skip(1).any(|l| l.wags > 0.0);
        let sound = chain.iter().all(|l| l.wags.is_finite() && l.wags >= 0.0);
        let own = chain.last().is_some_and(|l| l.wags > 0.0);
        (carried && own && sound).then_some((chain, unsaid))
    }

    /// The play of a limb that rides on another, with that of what carries it: seen from the
    /// bolt on the board, as one limb so long.
    pub(super) fn chain_rattles(&mut self, index: usize) -> Option<Limit> {
        let system = self.fitted.figure.system;
        let (chain, unsaid) = self.chain(index)?;
        let whole: f64 = chain.iter().map(|l| l.long).sum();
        let end = at_the_end(&chain);
        let deg = (end / whole).to_degrees();
        let limb = &self.fitted.figure.limbs[index];
        let says = [
            format!(
                "the play of its own pins and of those that carry it lets the end of {} wag by {}; seen \
                 from the bolt on the board that is ",
                limb.said(),
                print::size(Mm(end), 0, system)
            ),
            ", and ".into(),
        ];
        let mut inputs = vec![input("at_its_end", end, "mm"), input("whole_reach", whole, "mm")];
        for link in &chain {
            inputs.push(input("wags", link.wags.to_degrees(), "deg"));
            inputs.push(input("to_the_next_bolt_or_end", link.long, "mm"));
        }
        let limit = Limit {
            left_out: unsaid.is_some(),
            help: "drill the holes of those that carry it closer (`holes close`), or take longer \
                   levers there: what is nearer to the board counts most."
                .into(),
            ..rattles(deg, says, inputs)
        };
        if let Some(at) = unsaid.filter(|_| deg > HEARD) {
            let told = limit.message(MetrePerSec(0.0), system);
            let what = format!("whether it rattles: {}, as assumed", told.trim_end_matches('.'));
            self.limbs[at].not_checked.push(Note::new(what, "holes close"));
        }
        Some(limit)
    }
}

/// What lets a limb wag by an angle, against what is heard and seen.
pub(super) fn rattles(deg: f64, [wags, and]: [String; 2], inputs: Vec<Input>) -> Limit {
    Limit {
        code: &LIMB_RATTLES,
        when: When::Run,
        severity: if deg > SEEN { Severity::Warning } else { Severity::Advice },
        goes: "it rattles",
        says: [wags, and, " is what nobody minds".into()],
        calm: deg,
        per_gust2: 0.0,
        bears: HEARD,
        unit: "deg",
        inputs,
        typical: Vec::new(),
        left_out: false,
        help: String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const SHORT: Wag = Wag { holes: 2.0, lever: 80.0, push: Deg(65.5) };

    #[test]
    fn by_hand() {
        // 2 x 0.6/(80 x sin 65.5) = 1.2/72.797 = 0.016484 rad = 0.9445 deg.
        assert!((SHORT.deg(PinHoles::Medium.play()) - 0.9445).abs() < 1e-4);
        // 2 x 1.0/72.797 = 0.027474 rad = 1.5741 deg.
        assert!((SHORT.deg(PinHoles::Coarse.play()) - 1.5741).abs() < 1e-4);
    }

    #[test]
    fn a_chain_wags_by_the_sum_by_hand() {
        // s1 (r1 + r2) + s2 r2 = 0.01 x (180 + 200) + 0.02 x 200 = 3.8 + 4 mm.
        let chain = [Link { wags: 0.01, long: 180.0 }, Link { wags: 0.02, long: 200.0 }];
        assert!((at_the_end(&chain) - 7.8).abs() < 1e-12);
        // One alone: its angle times its reach.
        assert!((at_the_end(&chain[1..]) - 4.0).abs() < 1e-12);
    }

    #[test]
    fn what_it_tells_to_do_is_enough() {
        let told = SHORT.help(PinHoles::Coarse, System::Metric);
        assert_eq!(
            told,
            "drill the holes 6.4 mm (`holes close`), or take a lever of 130 mm instead of 80 mm."
        );
        let longer = Wag { lever: 130.0, ..SHORT };
        assert!(longer.deg(PinHoles::Coarse.play()) <= HEARD);
        let short = Wag { lever: 30.0, ..SHORT };
        let told = short.help(PinHoles::Medium, System::Metric);
        assert!(
            told.starts_with("drill the holes 6.4 mm (`holes close`) and take a lever of 55 mm")
        );
        assert!(Wag { lever: 55.0, ..SHORT }.deg(PinHoles::Close.play()) <= HEARD);
    }
}
