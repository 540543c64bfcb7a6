//! Open sizes of a servo's arm, rod and lever, and the limb's angle at its zero.

use super::four_bar::BARS;
use super::no_fit::works;
use super::rods::TOLD;
use super::servo::{Shaft, angles};
use super::servo_trim::TRIM;
use super::{Bench, Fitted, bar_holes, checks, codes};
use crate::geometry::{BoardPoint, Dir, Vector};
use crate::mechanism::solve::{
    PUSH_GOOD, ServoAnswer, ServoChange, ServoChoice, ServoNoFit, ServoReason, ServoWish, Size,
    Sizes as Wished, explain_servo, find_servo, nearest_clamp, usual_arm_holes,
    usual_arm_lever_holes, usual_tolerance,
};
use crate::mechanism::{Assembly, Degenerate};
use crate::model::{Action, Drive, FourBarDrive, Note, Sized};
use crate::units::print::{decimal, length};
use crate::units::{Deg, Mm, System};

/// What the limb's angle at the servo's own 0 is called among the open sizes.
pub(super) const ZERO_WORD: &str = "zero";

/// By so much better it has to push to have the servo's zero elsewhere than drawn.
const WORTH: Deg = Deg(2.0);

/// Arm, rod, lever and clamp, and what was found for them.
pub(super) struct Sizes {
    pub lengths: (Mm, Mm, Mm),
    pub clamp: Deg,
    /// The limb's angle at the servo's own 0, and whether it was found here.
    pub zero: Deg,
    pub zero_found: bool,
    /// Which were left out.
    pub solved: Vec<&'static str>,
    /// How the answer is put together, and where its arm points at the servo's own 0.
    pub assembly: Option<Assembly>,
    pub arm: Option<Deg>,
    pub answer: Option<Box<ServoAnswer>>,
}

impl Bench<'_> {
    /// Arm, rod, lever, clamp and zero: as given, or found. Where nothing says how far
    /// the limb should move an open arm or lever equals the other, an open rod the
    /// distance between the centres (a parallelogram), and an open clamp sets the lever
    /// parallel to an arm that stands square to the rod.
    pub(super) fn servo_sizes(
        &mut self,
        drive: &Drive,
        (said, zero): (&FourBarDrive, &Sized),
        centres: (BoardPoint, BoardPoint),
        shaft: &Shaft,
    ) -> Option<Sizes> {
        let zero_asked = self.zero_asked(zero);
        let all = [said.crank, said.rod, said.lever, said.clamp].map(|s| given(&s));
        let open = BARS.iter().zip(all).filter(|(_, v)| v.is_none()).map(|(name, _)| *name);
        let solved: Vec<_> = open.chain(zero_asked.then_some(ZERO_WORD)).collect();
        if let ([Some(arm), Some(rod), Some(lever), Some(clamp)], false) = (all, zero_asked) {
            return Some(Sizes {
                lengths: (Mm(arm), Mm(rod), Mm(lever)),
                clamp: Deg(clamp),
                zero: shaft.zero,
                zero_found: false,
                solved,
                assembly: None,
                arm: None,
                answer: None,
            });
        }
        if let Some(image) = self.mirrored_servo(centres, &solved) {
            return Some(image);
        }
        let Some(used) = self.angles_sent(shaft.zero) else {
            return self.servo_sizes_unasked(said, centres, shaft.zero, solved);
        };
        let mut wish = self.servo_wish(said, centres, shaft, used);
        if zero_asked {
            wish.zero = zero.size;
        }
        let mut found = with_room(&wish);
        let mut zero_found = zero_asked;
        // Nobody said that it has to stand as drawn there.
        let poor = found.as_ref().map_or(Deg(0.0), |f| f.best.push);
        if zero.place.is_none() && poor < PUSH_GOOD {
            let free = with_room(&ServoWish { zero: Size::Free, ..wish });
            if let Some(better) = free.filter(|f| f.best.push > poor + WORTH) {
                (found, zero_found) = (Some(better), true);
            }
        }
        match found {
            Some(answer) => {
                self.note_servo_rows(said);
                let best = answer.best;
                if zero_found && !zero_asked {
                    // Of a limb that rides it is written as an angle of the board.
                    let on_board = decimal((best.zero + self.at_rest).0, 1);
                    let clause = format!("zero {on_board} deg");
                    let what = format!(
                        "servo at its 0 with the limb at {} deg (not as drawn, so that it turns far enough and pushes well)",
                        on_board
                    );
                    self.assumed.push(Note::new(what, clause));
                }
                let bars = best.linkage.bars();
                Some(Sizes {
                    lengths: (bars.crank, bars.rod, bars.lever),
                    clamp: best.linkage.clamp(),
                    zero: if zero_found { best.zero } else { shaft.zero },
                    zero_found,
                    solved,
                    assembly: Some(best.linkage.assembly()),
                    arm: Some(best.arm_at_zero),
                    answer: Some(Box::new(answer)),
                })
            }
            None => {
                let no = match self.quick {
                    true => ServoNoFit { reason: ServoReason::Apart, nearest: Vec::new() },
                    false => *explain_servo(&wish),
                };
                self.servo_no_fit(drive, (said, zero), &wish, no);
                None
            }
        }
    }

    /// Whether the servo's zero is to be found.
    fn zero_asked(&self, zero: &Sized) -> bool {
        zero.place.is_some() && zero.is_open()
    }

    /// The sizes found for the limb this one mirrors, seen in the mirror: chosen anew they
    /// might be others that are as good.
    fn mirrored_servo(
        &self,
        (servo, pivot): (BoardPoint, BoardPoint),
        solved: &[&'static str],
    ) -> Option<Sizes> {
        let mirrors = self.limb.mirrors.as_ref()?;
        let twin = self.done.get(self.figure.limb(&mirrors.limb)?)?.as_ref()?;
        let Some(Fitted::Servo(twin)) = &twin.mechanism else { return None };
        let (bar, arm) = (twin.linkage?, twin.arm_at_zero?);
        let image = bar.mirrored(mirrors.line);
        let near = |a: BoardPoint, b: BoardPoint| a.distance(b) < Mm(1e-6);
        let stands = !self.on_carrier() && near(image.motor(), servo) && near(image.pivot(), pivot);
        let answer = twin.answer.clone().filter(|_| stands)?;
        let bars = image.bars();
        Some(Sizes {
            lengths: (bars.crank, bars.rod, bars.lever),
            clamp: image.clamp(),
            zero: Deg(180.0) - answer.best.zero,
            zero_found: twin.zero.is_some(),
            solved: solved.to_vec(),
            assembly: Some(image.assembly()),
            arm: Some(Deg(180.0) - arm),
            answer: Some(answer),
        })
    }

    /// With nobody asking for a motion: a parallelogram.
    fn servo_sizes_unasked(
        &mut self,
        said: &FourBarDrive,
        (servo, pivot): (BoardPoint, BoardPoint),
        zero: Deg,
        solved: Vec<&'static str>,
    ) -> Option<Sizes> {
        let ground = pivot - servo;
        let (crank, lever) = (given(&said.crank), given(&said.lever));
        let Some(arm) = crank.or(lever) else {
            self.nothing_asked("arm, rod, lever");
            return None;
        };
        // On a pivot that is no way from the servo nothing is square: that is reported.
        let square = ground.dir().map_or(Deg(0.0), |d| d.deg() + Deg(90.0));
        Some(Sizes {
            lengths: (
                Mm(crank.unwrap_or(arm)),
                Mm(given(&said.rod).unwrap_or(ground.length().0)),
                Mm(lever.unwrap_or(arm)),
            ),
            clamp: given(&said.clamp).map_or_else(|| (square - zero).signed(), Deg),
            zero,
            zero_found: false,
            solved,
            assembly: None,
            arm: None,
            answer: None,
        })
    }

    /// The lowest and the highest angle that gestures and rest send the limb to, all in
    /// the turn of the circle in which the first of them counts; one angle alone is come
    /// to from where the limb stands at the servo's zero. `None` where nothing says.
    fn angles_sent(&self, zero: Deg) -> Option<(Deg, Deg)> {
        let gestures = &self.limb.gestures;
        if gestures.iter().any(|g| matches!(g.action, Action::Follow { range: None, .. })) {
            return None;
        }
        let mut all: Vec<Deg> = Vec::new();
        for asked in gestures.iter().map(angles) {
            let Some((first, last)) = asked.first().zip(asked.last()) else { continue };
            let middle = (first.0 + last.0) / 2.0;
            let about = all.first().copied().unwrap_or(middle);
            let turn = Deg(360.0 * checks::turns_between(about, middle));
            all.extend(asked.iter().map(|a| a.0 + turn));
        }
        let first = *all.first()?;
        let near = |a: Deg| a + Deg(360.0 * checks::turns_between(first, a));
        all.extend(self.limb.rest.map(|r| near(r.value)));
        let ends = |all: &[Deg]| {
            all.iter().fold((first, first), |m: (Deg, Deg), a| (m.0.min(*a), m.1.max(*a)))
        };
        let (low, high) = ends(&all);
        if (high - low).0 < 1e-6 {
            all.push(near(zero));
        }
        let (low, high) = ends(&all);
        ((high - low).0 > 1e-6).then_some((low, high))
    }

    /// Where a limb straight on its shaft stands at the servo's own 0, where that is
    /// asked for: so that what it is sent to lies in the middle of the travel.
    pub(super) fn zero_on_shaft(&mut self, zero: &Sized, shaft: &Shaft) -> Option<Deg> {
        if !self.zero_asked(zero) {
            return None;
        }
        let Some((low, high)) = self.angles_sent(shaft.drawn) else {
            self.nothing_asked(ZERO_WORD);
            return None;
        };
        let middle = (shaft.travel.0 + shaft.travel.1) / 2.0;
        let wanted = (low + high) / 2.0 - middle * shaft.turns.sign();
        // Whole degrees, where the travel has room for them.
        let spare = ((shaft.travel.1 - shaft.travel.0) - (high - low)) / 2.0;
        let marked = Deg(libm::round(wanted.0));
        let wanted = if (marked - wanted).abs() <= spare { marked } else { wanted };
        Some(nearest_clamp(zero.size, wanted))
    }

    /// The question put to the solver.
    fn servo_wish(
        &self,
        said: &FourBarDrive,
        (servo, pivot): (BoardPoint, BoardPoint),
        shaft: &Shaft,
        used: (Deg, Deg),
    ) -> ServoWish {
        let within = self.limb.gestures.iter().find_map(|g| match &g.action {
            Action::Sweep { within, .. } => *within,
            _ => None,
        });
        let turn = Deg(360.0 * checks::turns_between((used.0 + used.1) / 2.0, shaft.zero));
        ServoWish {
            servo,
            pivot,
            sizes: Wished {
                crank: said.crank.size,
                rod: said.rod.size,
                lever: said.lever.size,
                clamp: said.clamp.size,
            },
            used,
            travel: shaft.travel,
            sign: shaft.turns.sign(),
            zero: Size::Given((shaft.zero + turn).0),
            within: within.unwrap_or_else(|| usual_tolerance(used.1 - used.0)),
            prefer: said.prefer,
            assembly: said.assembly,
            error: checks::BUILD_ERROR,
            system: self.figure.system,
        }
    }

    /// What does it where the sizes given do not even reach the limb at the servo's zero: a
    /// rod, else all of them together; where nothing is asked a rod that reaches there, its
    /// arm square to the line from shaft to pin.
    pub(super) fn rod_that_reaches(
        &self,
        (said, zero): (&FourBarDrive, &Sized),
        centres: (BoardPoint, BoardPoint),
        (shaft, sizes): (&Shaft, &Sizes),
    ) -> Option<String> {
        let system = self.figure.system;
        let Some(used) = self.angles_sent(shaft.zero).filter(|_| !self.quick) else {
            let (arm, _, lever) = sizes.lengths;
            let pin = centres.1 + Vector::polar(lever, Dir::degrees(shaft.zero + sizes.clamp));
            let rod = Mm(libm::hypot(pin.distance(centres.0).0, arm.0));
            if !TOLD.contains(&rod.0) {
                return Some("move the servo to where its limb turns.".to_owned());
            }
            return Some(format!("a rod of {} reaches.", length(rod, system)));
        };
        let mut wish = self.servo_wish(said, centres, shaft, used);
        if zero.place.is_some() && zero.is_open() {
            wish.zero = zero.size;
        }
        let rod = Wished { rod: Size::Free, ..wish.sizes };
        let found = with_room(&ServoWish { sizes: rod, ..wish });
        let found = found.filter(|f| TOLD.contains(&f.best.linkage.bars().rod.0));
        if let Some(found) = found {
            let rod = found.best.linkage.bars().rod;
            return Some(format!(
                "a rod of {} does it (push {} deg at worst).",
                length(rod, system),
                decimal(found.best.push.0, 0)
            ));
        }
        let free = Size::Free;
        let all = Wished { crank: free, rod: free, lever: free, clamp: free };
        let found = with_room(&ServoWish { sizes: all, ..wish })?.best;
        let bars = found.linkage.bars();
        if !TOLD.contains(&bars.rod.0) {
            return Some("move the servo to where its limb turns.".to_owned());
        }
        Some(format!(
            "crank {}, rod {}, lever {} at {} deg does it.",
            length(bars.crank, system),
            length(bars.rod, system),
            length(bars.lever, system),
            decimal(found.linkage.clamp().0, 1)
        ))
    }

    /// Notes in which holes an open arm or lever was looked for.
    fn note_servo_rows(&mut self, said: &FourBarDrive) {
        let system = self.figure.system;
        let all = [
            ("arm", &said.crank, &said.lever, usual_arm_holes(system)),
            ("lever", &said.lever, &said.crank, usual_arm_lever_holes(system)),
        ];
        for (word, own, other, (lo, hi, step)) in all {
            if own.size != Size::Free {
                continue;
            }
            let row = format!(
                "{} to {} by {}",
                length(Mm(lo), system),
                length(Mm(hi), system),
                length(Mm(step), system)
            );
            let too = if given(other).is_some() { ", and as long as the other" } else { "" };
            self.assumed.push(Note::new(
                format!("{word} looked for at {row}{too}"),
                format!("{word} ? {row}"),
            ));
        }
    }

    fn servo_no_fit(
        &mut self,
        drive: &Drive,
        (said, zero): (&FourBarDrive, &Sized),
        wish: &ServoWish,
        no: ServoNoFit,
    ) {
        let system = self.figure.system;
        let sizes = [said.crank, said.rod, said.lever, said.clamp, *zero];
        let place = sizes.iter().find_map(|s| s.ask).unwrap_or(drive.place);
        let message = format!(
            "nothing within the ranges takes {} from {} to {} deg: {}.",
            self.name(),
            decimal(wish.used.0.0, 1),
            decimal(wish.used.1.0, 1),
            reason(&no.reason, wish)
        );
        let there = |(change, _): &(ServoChange, ServoChoice)| match *change {
            ServoChange::Arm(at) => bar_holes::has(&said.crank, at),
            ServoChange::Lever(at) => bar_holes::has(&said.lever, at),
            ServoChange::Rod(at) => bar_holes::has(&said.rod, at),
            ServoChange::Zero(_) | ServoChange::Clamp(_) | ServoChange::Ends { .. } => true,
        };
        let changes: Vec<String> = no
            .nearest
            .iter()
            .filter(|n| there(n))
            .map(|n| change(n, self.at_rest, system))
            .collect();
        let gesture = self.limb.gestures.first().map(|g| g.place);
        let found = self.report(&codes::NOTHING_FITS, place, message);
        found.help = works(changes);
        found.related.extend(gesture.map(|at| ("the motion asked for".to_owned(), at)));
    }
}

fn given(size: &Sized) -> Option<f64> {
    match size.size {
        Size::Given(v) => Some(v),
        _ => None,
    }
}

/// The answers that leave room at both ends of the travel to trim the horn; where none does,
/// those without.
fn with_room(wish: &ServoWish) -> Option<ServoAnswer> {
    let travel = (wish.travel.0 + TRIM, wish.travel.1 - TRIM);
    find_servo(&ServoWish { travel, ..*wish }).or_else(|| find_servo(wish))
}

/// What is in the way.
fn reason(why: &ServoReason, wish: &ServoWish) -> String {
    match *why {
        ServoReason::Nonsense(Degenerate::CentresMeet) => {
            "servo and pivot stand on one another".to_owned()
        }
        ServoReason::Nonsense(Degenerate::Length) => {
            "a length is too small or too large to build".to_owned()
        }
        ServoReason::Nonsense(_) => "an angle or a place is too large to compute with".to_owned(),
        ServoReason::Zero { by } => {
            let at = match wish.zero {
                Size::Given(at) => format!(" with the limb at {} deg", decimal(at, 1)),
                _ => String::new(),
            };
            format!(
                "from its own 0{at} the servo would have to turn at least {} deg beyond its travel of {} to {} deg",
                decimal(by.0.max(0.1), 1),
                decimal(wish.travel.0.0, 0),
                decimal(wish.travel.1.0, 0)
            )
        }
        ServoReason::Travel { needs, has } => format!(
            "the servo would have to turn {} deg at the least, and its travel is {} deg",
            decimal(needs.0, 1),
            decimal(has.0, 1)
        ),
        ServoReason::Apart => "no rod joins arm and lever over the whole of it".to_owned(),
        ServoReason::WeakPush { best } => format!(
            "the rod pushes at {} deg to the lever at worst, and 20 is the least that works",
            decimal(best.0, 1)
        ),
        ServoReason::Lean { best } => format!(
            "arm and rod come within {} deg of one line, where the limb turns back, and 20 is the least that works",
            decimal(best.0, 1)
        ),
    }
}

fn change((change, choice): &(ServoChange, ServoChoice), at_rest: Deg, system: System) -> String {
    let what = match *change {
        // Of a limb that rides it is written as an angle of the board.
        ServoChange::Zero(at) => format!("`zero {} deg`", decimal((at + at_rest).0, 1)),
        ServoChange::Clamp(at) => format!("the lever at {} deg", decimal(at.0, 1)),
        ServoChange::Rod(rod) => format!("a rod of {}", length(rod, system)),
        ServoChange::Arm(arm) => format!("an arm of {}", length(arm, system)),
        ServoChange::Lever(lever) => format!("a lever of {}", length(lever, system)),
        ServoChange::Ends { from, to } => {
            format!("ask for {} to {} deg", decimal(from.0, 1), decimal(to.0, 1))
        }
    };
    format!("{what} (push {} deg at worst)", decimal(choice.push.0, 0))
}
