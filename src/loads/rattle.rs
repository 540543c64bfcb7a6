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
use crate::mechanism::{Size, Way};
use crate::model::{DriveKind, Joint, Limb, Note, PinHoles};
use crate::units::print::decimal;
use crate::units::{Deg, MetrePerSec, Mm, print};

/// Play below this is not minded, deg (common practice, no source).
pub(super) const HEARD: f64 = 1.0;
/// Play above this is a mistake, deg (common practice, no source).
const SEEN: f64 = 2.0;
/// Play shows in any air.
const CALM: MetrePerSec = MetrePerSec(0.0);
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
    fn help(&self, fitted: &FittedFigure, index: usize, fit: PinHoles) -> String {
        let system = fitted.figure.system;
        let close = PinHoles::Close;
        let finer = fit.diameter() > close.diameter();
        let hole = print::size(close.diameter(), 1, system);
        let drill = format!("drill the holes {hole} (`holes close`)");
        let other = |play: Mm| match self.holes > 1.0 {
            true => longer_lever(fitted, index, play).map(|sizes| format!("take {sizes}")),
            // A slot's lever is where its crank runs.
            false => {
                let wanted = print::size_up(Mm(self.wanted(play)), system);
                Some(format!("let its pin run {wanted} and more from the bolt"))
            }
        };
        let rest = "a longer lever, with crank and rod to go with it, makes less of it.";
        match (finer, self.deg(close.play()) <= HEARD) {
            (true, true) => match other(fit.play()) {
                Some(other) => format!("{drill}, or {other}."),
                None => format!("{drill}."),
            },
            (true, false) => match other(close.play()) {
                Some(other) => format!("{drill} and {other}."),
                None => {
                    let left = decimal(self.deg(close.play()), 1);
                    format!("{drill}: it wags by {left} deg then; {rest}")
                }
            },
            (false, _) => match other(fit.play()) {
                Some(other) => format!("{other}."),
                None => rest.to_owned(),
            },
        }
    }

    /// The lever that would do with the push as it is.
    fn wanted(&self, play: Mm) -> f64 {
        let wanted = self.lever * self.deg(play) / HEARD;
        (wanted / ROUND - 1e-9).ceil() * ROUND
    }
}

/// Levers that are tried, the shortest first.
const TRIED: usize = 3;

/// A longer lever with which a four-bar still does what is asked and no longer wags, with
/// all that goes with it where rod or clamp are written: found by fitting it once more.
fn longer_lever(fitted: &FittedFigure, index: usize, play: Mm) -> Option<String> {
    let figure = &*fitted.figure;
    let original = |limb: &Limb| figure.limb(&limb.mirrors.as_ref()?.limb);
    let index = original(figure.limbs.get(index)?).unwrap_or(index);
    let limb = &figure.limbs[index];
    let DriveKind::FourBar(said) = &limb.drive.as_ref()?.mechanism else { return None };
    // In a tail that is drawn a hole further out may have no wood round it.
    if limb.is_its_own_lever() && limb.assumed_tail(None).is_none() {
        return None;
    }
    let wag = Wag::of(fitted, index)?;
    let (own, least) = (wag.lever, wag.wanted(play));
    let levers: Vec<f64> = match said.lever.size {
        Size::Row { lo, hi, step } if step > 0.0 => {
            let holes = (0..).map(|i| lo + step * f64::from(i)).take_while(|v| *v <= hi + 1e-9);
            holes.filter(|v| *v > own + 1e-6).collect()
        }
        _ => (0..).map(|i| least + ROUND * f64::from(i)).take(TRIED).collect(),
    };
    let written = !(said.rod.is_open() && said.clamp.is_open());
    levers.into_iter().take(TRIED).find_map(|lever| {
        let tried = fitted.tried(index, |drive| {
            if let DriveKind::FourBar(bar) = drive {
                bar.lever.size = Size::Given(lever);
                (bar.rod.size, bar.clamp.size) = (Size::Free, Size::Free);
            }
        })?;
        (Wag::of(&tried, index)?.deg(play) <= HEARD).then_some(())?;
        let Fitted::FourBar(made) = tried.limbs[index].mechanism.as_ref()? else { return None };
        Some(match written {
            true => crate::fit::sizes_in_words(&made.drilled, figure.system),
            false => {
                let [new, old] = [lever, own].map(|l| print::length(Mm(l), figure.system));
                format!("a lever of {new} instead of {old}")
            }
        })
    })
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
        let help = match limit.passes(CALM) {
            true => String::new(),
            false => wag.help(self.fitted, index, fit),
        };
        Some(Limit { typical: vec!["pin of M6"], help, ..limit })
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
            let told = limit.message(CALM, system);
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
    fn the_lever_that_would_do_does() {
        for (wag, holes, lever) in [
            (SHORT, PinHoles::Coarse, 130.0),
            (Wag { lever: 30.0, ..SHORT }, PinHoles::Close, 55.0),
        ] {
            assert_eq!(wag.wanted(holes.play()), lever);
            assert!(Wag { lever, ..wag }.deg(holes.play()) <= HEARD);
        }
    }

    #[test]
    fn a_chain_wags_by_the_sum_by_hand() {
        // s1 (r1 + r2) + s2 r2 = 0.01 x (180 + 200) + 0.02 x 200 = 3.8 + 4 mm.
        let chain = [Link { wags: 0.01, long: 180.0 }, Link { wags: 0.02, long: 200.0 }];
        assert!((at_the_end(&chain) - 7.8).abs() < 1e-12);
        // One alone: its angle times its reach.
        assert!((at_the_end(&chain[1..]) - 4.0).abs() < 1e-12);
    }
}
