//! A servo's arm, rod and lever: which way they are put together, how far they take
//! the limb, where they lock or turn it back, and how well they push.

use super::servo::{Shaft, angles};
use super::servo_sizes::Sizes;
use super::{Bench, Fitted, FittedServo, ServoEnd, codes, servo_built};
use crate::finding::{Severity, Step};
use crate::geometry::{BoardPoint, Dir};
use crate::mechanism::solve::PUSH_FLOOR;
use crate::mechanism::{Assembly, FourBar, ServoRod};
use crate::model::{Action, Drive, FourBarDrive, Sized};
use crate::units::print::decimal;
use crate::units::{Deg, Mm, Rpm, print};

/// Limb angles this little beyond an end are at it.
const AT_END: f64 = 1e-6;
/// Arms are one where the cosine between them is above this.
const CLOSE: f64 = 1.0 - 1e-9;

/// One way to put arm, rod and lever together, and what comes of it.
struct Candidate {
    fitted: FittedServo,
    /// The least push over the travel used and the servo's angle there.
    worst: (Deg, Deg),
    /// Where rod and lever come into line in the travel used, servo angles.
    locks: Vec<Deg>,
    /// Whether a gesture goes beyond the reach for another reason.
    beyond: bool,
    /// How far the drawn pose lies beyond the reach.
    undrawn: Deg,
    /// Whether it is the image of what the limb it mirrors is put together as.
    image: bool,
}

impl Candidate {
    /// Better is less: closing over the travel used, reaching what is asked, moving as
    /// the image of the limb it mirrors, pushing well, standing as drawn. Rounded, so
    /// that equals are equal on every machine.
    fn rank(&self) -> (bool, bool, bool, i64, i64) {
        let round = |a: Deg| libm::round(a.0 * 1e6) as i64;
        let (locks, image) = (!self.locks.is_empty(), !self.image);
        (locks, self.beyond, image, -round(self.worst.0), round(self.undrawn))
    }
}

/// The part of a servo's travel that its rod allows.
pub(super) struct Stretch {
    /// Ends of the travel, shortened where rod and lever lock.
    pub free: (Deg, Deg),
    /// The limb's least and largest angle: the limb, the servo there, what ends it.
    pub low: (Deg, Deg, ServoEnd),
    pub high: (Deg, Deg, ServoEnd),
    /// Whether the servo's travel goes on beyond the ends of `free`.
    pub locks: [Option<Deg>; 2],
}

impl Bench<'_> {
    /// Through arm and rod: left-out sizes make a parallelogram with the arm; a
    /// left-out assembly is the one that works best.
    pub(super) fn through_rod(
        &mut self,
        drive: &Drive,
        (said, zero): (&FourBarDrive, &Sized),
        centres: (BoardPoint, BoardPoint),
        shaft: &Shaft,
        fastest: Option<Rpm>,
    ) -> Option<FittedServo> {
        let sizes = self.servo_sizes(drive, (said, zero), centres, shaft)?;
        let shaft = &Shaft { zero: sizes.zero, ..*shaft };
        let make = |assembly| FourBar::new(centres, sizes.lengths, sizes.clamp, assembly).ok();
        if make(Assembly::Open).is_none() {
            let meet = centres.0.distance(centres.1) < Mm(0.1);
            let (message, help) = if meet {
                (
                    "servo and pivot stand on one another: there is no linkage between them",
                    "leave arm, rod and lever out, with the limb straight on the servo; or move the servo away.",
                )
            } else {
                (
                    "arm, rod or lever is too small or too large to build",
                    "take lengths of a millimetre or more, and less than the figure is wide.",
                )
            };
            self.report(&codes::PARTS_DO_NOT_REACH, drive.place, message.to_owned()).help =
                Some(help.to_owned());
            return None;
        }
        let assemblies = sizes
            .assembly
            .or(said.assembly)
            .map_or(vec![Assembly::Open, Assembly::Crossed], |only| vec![only]);
        let candidates = assemblies.into_iter().filter_map(make).flat_map(|linkage| {
            let arms = linkage.cranks_for(Dir::degrees(shaft.zero));
            let found = |arm: &Dir| sizes.arm.is_none_or(|at| Dir::degrees(at).dot(*arm) > CLOSE);
            let arms: Vec<Dir> = arms.into_iter().filter(found).collect();
            arms.into_iter().map(move |arm| (linkage, arm))
        });
        let mut candidates: Vec<Candidate> = candidates
            .map(|(linkage, arm)| self.candidate((linkage, arm), &sizes, shaft, fastest))
            .collect();
        // Of several ways to put the drawn parts together the one that was measured was
        // taken; else the one that works best.
        candidates.sort_by_key(Candidate::rank);
        let measured = candidates.iter().position(|c| self.measured_so(c, shaft)).unwrap_or(0);
        let best = candidates.into_iter().nth(measured);
        let Some(best) = best else {
            let message = format!(
                "{} cannot stand at {} deg, where its servo is at zero: the rod does not reach.",
                self.name(),
                decimal(shaft.zero.0, 1)
            );
            let help = self.rod_that_reaches((said, zero), centres, (shaft, &sizes));
            self.report(&codes::PARTS_DO_NOT_REACH, drive.place, message).help = help;
            return None;
        };
        let best = self.candidate_as_built(best, &sizes, shaft, fastest);
        if !best.locks.is_empty() {
            self.rod_locks(drive, &best);
            return None;
        }
        self.servo_push(drive, said, best.worst);
        Some(best.fitted)
    }

    /// Whether something was measured that this way, as drawn, moves by.
    fn measured_so(&self, drawn: &Candidate, shaft: &Shaft) -> bool {
        let parts = drawn.fitted.linkage.zip(drawn.fitted.arm_at_zero);
        parts.is_some_and(|(linkage, arm)| {
            self.moves_as_measured(&servo_built::through_rod(&linkage, arm, shaft))
        })
    }

    /// The same as built, where something was measured on it.
    fn candidate_as_built(
        &mut self,
        drawn: Candidate,
        sizes: &Sizes,
        shaft: &Shaft,
        fastest: Option<Rpm>,
    ) -> Candidate {
        let Some(parts) = drawn.fitted.linkage.zip(drawn.fitted.arm_at_zero) else { return drawn };
        match self.rod_as_built((&parts.0, parts.1), &sizes.solved, shaft) {
            Some((linkage, arm)) => {
                self.candidate((linkage, Dir::degrees(arm)), sizes, shaft, fastest)
            }
            None => drawn,
        }
    }

    /// What comes of one assembly with the arm at one of the angles that put the limb
    /// where it stands at the servo's zero.
    fn candidate(
        &self,
        (linkage, arm): (FourBar, Dir),
        sizes: &Sizes,
        shaft: &Shaft,
        fastest: Option<Rpm>,
    ) -> Candidate {
        let rod = ServoRod::new(linkage, arm.deg(), shaft.turns.sign());
        let Stretch { free, low, high, locks } = stretch(&rod, shaft.zero, shaft.travel);
        let turn = self.turn_of_the_gestures((low.0, high.0));
        let mut fitted = FittedServo {
            linkage: Some(linkage),
            solved: sizes.solved.clone(),
            low: low.0 + turn,
            high: high.0 + turn,
            shaft_at_low: low.1,
            shaft_at_high: high.1,
            ends: [low.2, high.2],
            arm_at_zero: Some(arm.deg()),
            travel: shaft.travel,
            turns: shaft.turns,
            min_transmission: None,
            fastest,
            zero: sizes.zero_found.then_some(shaft.zero),
            answer: sizes.answer.clone(),
            cord: None,
            figures: Vec::new(),
        };
        let drawn = shaft.drawn + fitted.turn_for((shaft.drawn, shaft.drawn));
        let undrawn = fitted.beyond(drawn).max(Deg(0.0));
        let (used, locked, beyond) = match self.limb_angles_used(&fitted, shaft.zero) {
            None => (free, locks.into_iter().flatten().collect(), false),
            Some((least, most)) => {
                let past = [fitted.low - least, most - fitted.high].map(|by| by.0 > AT_END);
                let ends = past.into_iter().zip(fitted.ends).zip([low.1, high.1]);
                let locked = |(past, end)| past && end == ServoEnd::Locks;
                let at = ends.filter(|&(end, _)| locked(end)).map(|(_, at)| at).collect();
                let beyond = past.into_iter().zip(fitted.ends).any(|p| p.0 && !locked(p));
                ((fitted.shaft_for(least), fitted.shaft_for(most)), at, beyond)
            }
        };
        let worst = rod.least_push(used.0.min(used.1), used.0.max(used.1));
        fitted.min_transmission = Some(worst.0);
        let image = self.is_image(&linkage, arm);
        Candidate { fitted, worst, locks: locked, beyond, undrawn, image }
    }

    /// Whether a linkage with its arm so at the servo's zero is what the limb that this
    /// one mirrors shows in the mirror. Two arms can push equally well and reach
    /// differently far: chosen anew, the image might not move as an image.
    fn is_image(&self, linkage: &FourBar, arm: Dir) -> bool {
        let twin = || {
            let mirrors = self.limb.mirrors.as_ref()?;
            let twin = self.done.get(self.figure.limb(&mirrors.limb)?)?.as_ref()?;
            let Some(Fitted::Servo(twin)) = &twin.mechanism else { return None };
            let arm = Dir::degrees(twin.arm_at_zero?);
            Some((twin.linkage?.mirrored(mirrors.line), Dir::unit(-arm.x(), arm.y())))
        };
        twin().is_some_and(|(image, image_arm)| {
            image.assembly() == linkage.assembly() && image_arm.dot(arm) > 1.0 - 1e-12
        })
    }

    /// The outermost limb angles that the gestures and the rest ask for, in the turn
    /// of the reach; `None` where they leave it to the servo's whole travel.
    pub(super) fn limb_angles_used(&self, fitted: &FittedServo, zero: Deg) -> Option<(Deg, Deg)> {
        let gestures = &self.limb.gestures;
        if gestures.iter().any(|g| matches!(g.action, Action::Follow { range: None, .. })) {
            return None;
        }
        let asked = gestures.iter().flat_map(|gesture| {
            let asked = angles(gesture);
            let ends = asked.first().zip(asked.last()).map(|(a, b)| (a.0, b.0));
            let turn = ends.map_or(Deg(0.0), |ends| fitted.turn_for(ends));
            asked.into_iter().map(move |(angle, _)| angle + turn)
        });
        let (low, high) = asked.map(|a| (a, a)).reduce(|m, a| (m.0.min(a.0), m.1.max(a.1)))?;
        let rest = self.limb.rest.map(|r| r.value);
        // One angle alone is come to from where the limb stands at the servo's zero.
        let from = rest.or((high == low).then_some(zero));
        let from = from.map(|angle| angle + fitted.turn_for((angle, angle)));
        Some(from.map_or((low, high), |from| (low.min(from), high.max(from))))
    }

    fn rod_locks(&mut self, drive: &Drive, found: &Candidate) {
        let fitted = &found.fitted;
        let place = |&at: &Deg, places: usize| {
            let limb = fitted.rod().map_or(Deg(0.0), |rod| rod.limb(at));
            let turn = fitted.turn_for((limb, limb));
            let at = decimal(at.0, places);
            format!("{at} deg (the limb at {} deg)", decimal((limb + turn).0, 1))
        };
        let told = |places| found.locks.iter().map(|at| place(at, places)).collect::<Vec<_>>();
        // Two that are a hair apart are two, as far as a servo can be sent to either.
        let whole = told(0);
        let apart = |all: &[String]| all.windows(2).all(|two| two[0] != two[1]);
        let mut places = if apart(&whole) { whole } else { told(1) };
        places.dedup();
        let message = format!(
            "rod and lever of {} come into one line when the servo stands at {}.",
            self.name(),
            places.join(" and at ")
        );
        self.report(&codes::SERVO_ROD_LOCKS, drive.place, message).help = Some(
            "let arm and lever stand square to the rod in mid-travel, or take a shorter arm."
                .to_owned(),
        );
        let system = self.figure.system;
        if let Some(link) = &fitted.linkage {
            let bars = link.bars();
            for (what, size) in [
                ("arm", bars.crank),
                ("rod", bars.rod),
                ("lever", bars.lever),
                ("shaft to pivot", bars.ground),
            ] {
                self.works([Step::given(what, print::fine(size, system))]);
            }
        }
        for told in places {
            self.works([Step::given("rod and lever in one line with the servo at", told)]);
        }
    }

    /// The push angle over the travel used, judged as that of a crank. Where nobody
    /// asks for an angle the worst need never be used: no error then.
    fn servo_push(&mut self, drive: &Drive, said: &FourBarDrive, (worst, at): (Deg, Deg)) {
        let asked = !self.limb.gestures.is_empty();
        let severity = match worst {
            w if w >= super::checks::PUSH_FINE => return,
            w if w < PUSH_FLOOR && asked => Severity::Error,
            w if w < super::checks::PUSH_WEAK => Severity::Warning,
            _ => Severity::Advice,
        };
        let message = format!(
            "with the servo at {} deg the rod of {} pushes at {} deg to the lever; 45 or more is wanted.",
            decimal(libm::round(at.0) + 0.0, 0),
            self.name(),
            decimal(worst.0, 1)
        );
        let place = said.lever.place.unwrap_or(drive.place);
        let found = self.report(&codes::WEAK_PUSH, place, message);
        found.severity = severity;
        found.help = Some(
            "let arm and lever stand square to the rod in the middle of the gestures, take a shorter \
             arm or a longer lever, or ask for a smaller swing."
                .to_owned(),
        );
    }
}

/// How far a rod lets its servo go about one of the servo's angles, and which of the two
/// ends are locks.
pub(super) fn free(
    rod: &ServoRod,
    about: Deg,
    (least, most): (Deg, Deg),
) -> (Deg, Deg, [Option<Deg>; 2]) {
    let (below, above) = rod.locks_about(about);
    let below = below.filter(|b| *b >= least);
    let above = above.filter(|a| *a <= most);
    let from = below.unwrap_or(least).min(above.unwrap_or(most));
    (from, above.unwrap_or(most).max(from), [below, above])
}

/// A place of a servo's way: the limb, the servo there, what ends its way one way there.
pub(super) type Place = (Deg, Deg, ServoEnd);

/// How far a rod lets its servo go about the servo's zero, where the limb stands at
/// `zero`, and the limb's extremes there.
pub(super) fn stretch(rod: &ServoRod, zero: Deg, travel: (Deg, Deg)) -> Stretch {
    let (free, locks, points) = places(rod, (Deg(0.0), zero), travel);
    // Between two neighbours the limb turns one way. It turns back at two places of a
    // turn at most, so the widest such part holds the whole reach.
    let first = (points[0], points[1]);
    let width = |(a, b): &(Place, Place)| (a.0 - b.0).abs().0;
    let (a, b) = points
        .windows(2)
        .map(|pair| (pair[0], pair[1]))
        .fold(first, |best, next| if width(&next) > width(&best) + AT_END { next } else { best });
    let (low, high) = if a.0 <= b.0 { (a, b) } else { (b, a) };
    Stretch { free, low, high, locks }
}

/// How far a rod lets its servo go about one of the servo's angles, where the limb stands
/// so; which ends are locks; and the places, by the servo's angle and two at least, between
/// which the limb turns one way.
pub(super) fn places(
    rod: &ServoRod,
    (about, limb): (Deg, Deg),
    travel: (Deg, Deg),
) -> ((Deg, Deg), [Option<Deg>; 2], Vec<Place>) {
    let (from, to, locks) = free(rod, about, travel);
    let end = |lock: Option<Deg>| if lock.is_some() { ServoEnd::Locks } else { ServoEnd::Travel };
    let turn = {
        let at = rod.limb(about);
        limb - at - (limb - at).signed()
    };
    let mut points = vec![(from, end(locks[0]))];
    points.extend(rod.turns_back(from, to).into_iter().map(|at| (at, ServoEnd::TurnsBack)));
    points.push((to, end(locks[1])));
    let points = points.into_iter().map(|(at, end)| (rod.limb(at) + turn, at, end)).collect();
    ((from, to), locks, points)
}
