//! A limb moved by another limb held against what is asked of it: whether its rod reaches
//! all along, how it pushes, where it takes the limb.

use super::Bench;
use super::asked::Motion;
use super::checks::BUILD_ERROR;
use super::codes;
use super::cranked::PushRule;
use super::forearm::Fixed;
use super::forearm_sizes::{Sizes, other, wish};
use crate::finding::{Place, Step};
use crate::mechanism::solve::{self, ForearmChoice, solve_forearm};
use crate::mechanism::{Closing, ForearmAnalysis, Limits, Prefer, Size, Travel};
use crate::model::{Drive, DriveKind, ForearmDrive, Sized};
use crate::units::print::{decimal, length};
use crate::units::{Deg, Mm, System, print};

/// Push of a rod on a lever, as for every four-bar (textbook custom; the floor
/// common practice, no source).
const PUSH: PushRule = PushRule {
    code: &codes::WEAK_PUSH,
    fine: Deg(45.0),
    weak: Deg(40.0),
    floor: solve::PUSH_FLOOR,
};

/// How far anchor and pivot come apart, against what rod and lever reach.
fn closing_sum((rod, lever): (Mm, Mm), closing: &Closing, system: System) -> Vec<Step> {
    let (fine, bare) = (|l| print::fine(l, system), |l| print::fine_in(l, system));
    vec![
        Step::given("rod", fine(rod)),
        Step::given("lever", fine(lever)),
        Step::given("anchor and pivot, nearest", fine(closing.nearest)),
        Step::new("they come no nearer than", format!("|{} - {}|", bare(rod), bare(lever)), {
            fine((rod - lever).abs())
        }),
        Step::given("anchor and pivot, farthest", fine(closing.farthest)),
        Step::new("they reach", format!("{} + {}", bare(rod), bare(lever)), fine(rod + lever)),
    ]
}

/// One rod against what is asked of it.
impl Bench<'_> {
    /// Reports what is wrong with it: where its rod runs out or pushes badly, and what it
    /// is asked for and does not do.
    pub(super) fn check_forearm(
        &mut self,
        drive: &Drive,
        said: &ForearmDrive,
        fixed: &Fixed,
        (sizes, analysis): (&Sizes, &ForearmAnalysis),
        asked: Option<&Motion<'_>>,
    ) {
        let place = said.rod.place.unwrap_or(drive.place);
        let Some(motion) = analysis.motion else {
            return self.runs_out(place, fixed, sizes, (&analysis.closing, asked));
        };
        let (spare, system) = (analysis.closing.margin, self.figure.system);
        if spare < BUILD_ERROR * 4.0 {
            let message = format!(
                "{} the rod of {} reaches by {} only; four holes each {} off can take {}.",
                fixed.upper.exact.when(analysis.closing.margin_at, self.figure.system),
                self.name(),
                print::size(spare, 1, system),
                print::size(BUILD_ERROR, 1, system),
                print::size(BUILD_ERROR * 4.0, 1, system)
            );
            let help = self.what_reaches(fixed, sizes, (&analysis.closing, asked));
            self.report(&codes::ROD_MAY_RUN_OUT, place, message).help = help;
            let at = fixed.upper.exact.when(analysis.closing.margin_at, system);
            let steps = closing_sum((sizes.exact.0, sizes.exact.1), &analysis.closing, system);
            self.works(steps);
            let four = format!("4 x {}", print::fine_in(BUILD_ERROR, system));
            self.works([
                Step::given(format!("to spare, least {at}"), print::fine(spare, system)),
                Step::given("a hole is off by up to", print::fine(BUILD_ERROR, system)),
                Step::new("four of them", four, print::fine(BUILD_ERROR * 4.0, system)),
            ]);
        }
        self.second_push(said.lever.place.unwrap_or(drive.place), fixed, (sizes, &motion), asked);
        let Some(asked) = asked else { return };
        let both = [Some((*asked, true)), self.also_asked(asked).map(|a| (a, false))];
        for (asked, first) in both.into_iter().flatten() {
            let limits = if asked.gesture.relative { motion.bend } else { motion.limits };
            let Some(limits) = limits else {
                self.no_such_motion(&asked);
                continue;
            };
            if sizes.found && first {
                continue;
            }
            let help = self.forearm_that_does(said, fixed, sizes, (&asked, &limits));
            self.motion_missed(drive.place, &asked, &Travel::Swing(limits), help);
        }
    }

    /// A bend of a limb that rides on none, or a swing of one that goes round.
    fn no_such_motion(&mut self, asked: &Motion<'_>) {
        let (message, help) = if asked.gesture.relative && self.limb.carrier.is_none() {
            (
                format!("{} rides on no other limb, so it has no bend.", self.name()),
                "write `sweep A to B`, in angles of the board.",
            )
        } else {
            (
                format!("{} goes right round and does not swing to and fro.", self.name()),
                "a longer lever makes it swing.",
            )
        };
        self.report(&codes::SWEEP_MISSED, asked.gesture.place, message).help =
            Some(help.to_owned());
    }

    fn runs_out(
        &mut self,
        place: Place,
        fixed: &Fixed,
        sizes: &Sizes,
        (closing, asked): (&Closing, Option<&Motion<'_>>),
    ) {
        let system = self.figure.system;
        let (rod, lever, _) = sizes.exact;
        let folded = (rod - lever).abs();
        let message = if closing.nearest < folded {
            format!(
                "the rod of {} runs out: {} anchor and pivot are {} apart, and rod {} and lever {} cannot come nearer than {}.",
                self.name(),
                fixed.upper.exact.when(closing.nearest_at, self.figure.system),
                print::fine(closing.nearest, system),
                print::fine(rod, system),
                print::fine(lever, system),
                print::fine(folded, system)
            )
        } else {
            format!(
                "the rod of {} runs out: {} anchor and pivot are {} apart, and rod {} and lever {} reach {}.",
                self.name(),
                fixed.upper.exact.when(closing.farthest_at, self.figure.system),
                print::fine(closing.farthest, system),
                print::fine(rod, system),
                print::fine(lever, system),
                print::fine(rod + lever, system)
            )
        };
        let help = self.what_reaches(fixed, sizes, (closing, asked));
        self.report(&codes::ROD_RUNS_OUT, place, message).help = help;
        self.works(closing_sum((rod, lever), closing, system));
        let when = |at| fixed.upper.exact.when(at, system);
        let (near, far) = (when(closing.nearest_at), when(closing.farthest_at));
        self.works([Step::given("nearest", near), Step::given("farthest", far)]);
    }

    /// What reaches all the way, four hole errors in hand, and pushes well: other sizes that
    /// do what is asked, other rods for this lever, or the lever that has any.
    fn what_reaches(
        &self,
        fixed: &Fixed,
        sizes: &Sizes,
        (closing, asked): (&Closing, Option<&Motion<'_>>),
    ) -> Option<String> {
        let system = self.figure.system;
        let (lever, spare) = (sizes.exact.1, BUILD_ERROR * 4.0);
        if let Some(best) = asked.and_then(|asked| self.freely(fixed, sizes, asked))
            && best.push >= PUSH.fine
            && best.margin > spare
        {
            return Some(format!("{} does it.", self.forearm_words(&best)));
        }
        let way = (closing.nearest, closing.farthest);
        if let Some(rods) = super::rods::in_words("reaches all the way", way, lever, system) {
            return Some(rods);
        }
        let lever = (closing.farthest - closing.nearest) / 2.0 + spare;
        Some(format!(
            "with a lever of {} or more there is a rod that reaches all the way.",
            length(Mm(lever.0.ceil()), system)
        ))
    }

    fn second_push(
        &mut self,
        place: Place,
        fixed: &Fixed,
        (sizes, motion): (&Sizes, &crate::mechanism::ForearmMotion),
        asked: Option<&Motion<'_>>,
    ) {
        let worst = motion.least_push;
        let Some(severity) = PUSH.severity(worst) else { return };
        let message = format!(
            "{} the second rod of {} pushes at {} deg to the lever; 45 or more is wanted.",
            fixed.upper.exact.when(motion.least_push_at, self.figure.system),
            self.name(),
            decimal(worst.0, 1)
        );
        let help = match asked {
            Some(_) if sizes.found => Some(
                "this is the best the open sizes allow; widen their ranges or move the anchor."
                    .to_owned(),
            ),
            Some(asked) => self
                .freely(fixed, sizes, asked)
                .filter(|b| b.push.0 > worst.0 + 1.0)
                .map(|best| self.pushes(&best)),
            None => None,
        };
        let found = self.report(PUSH.code, place, message);
        found.severity = severity;
        found.help = help;
    }

    fn pushes(&self, best: &ForearmChoice) -> String {
        format!("{} pushes at {} deg at worst.", self.forearm_words(best), decimal(best.push.0, 0))
    }

    /// "rod 110 mm, lever 40 mm at 180 deg".
    fn forearm_words(&self, choice: &ForearmChoice) -> String {
        let system = self.figure.system;
        format!(
            "rod {}, lever {} at {} deg",
            length(choice.rod.length, system),
            length(choice.rod.lever, system),
            decimal(choice.clamp.0, 0)
        )
    }

    /// What would move it as asked.
    fn forearm_that_does(
        &self,
        said: &ForearmDrive,
        fixed: &Fixed,
        sizes: &Sizes,
        (asked, limits): (&Motion<'_>, &Limits<Deg>),
    ) -> Option<String> {
        let (low, high) = asked.told(&Travel::Swing(*limits));
        if ((high - low) - asked.range()).abs() <= asked.within {
            let turn = Deg((asked.from + asked.to - low - high) / 2.0);
            let clamp = (sizes.exact.2 - turn).signed();
            return (!said.clamp.is_open()).then(|| {
                format!(
                    "it moves as far as asked, but elsewhere: clamp the lever at {} deg.",
                    decimal(clamp.0, 0)
                )
            });
        }
        let best = self.freely(fixed, sizes, asked)?;
        Some(format!("{} does it.", self.forearm_words(&best)))
    }

    /// What the solver finds with rod and clamp open and the lever up to half as long
    /// again or as short.
    fn freely(&self, fixed: &Fixed, sizes: &Sizes, asked: &Motion<'_>) -> Option<ForearmChoice> {
        let step = if self.figure.system == crate::units::System::Inch { 6.35 } else { 5.0 };
        let lever = sizes.exact.1.0;
        let fewer = libm::floor(lever / (2.0 * step)).min(8.0);
        let row = Size::Row { lo: lever - fewer * step, hi: lever + fewer * step, step };
        let open = |size| Sized {
            size,
            place: None,
            ask: None,
            system: self.figure.system,
            row: None,
            cuts: None,
        };
        let said = ForearmDrive {
            anchor_open: None,
            anchor: None,
            anchor_place: None,
            rod: open(Size::Free),
            lever: open(row),
            clamp: open(Size::Free),
            assembly: match self.limb.drive.as_ref().map(|d| &d.mechanism) {
                Some(DriveKind::Forearm(said)) => said.assembly,
                _ => None,
            },
            prefer: Prefer::Usual,
        };
        let seen = fixed.upper.exact.seen();
        let choices = solve_forearm(&wish(&said, (fixed, &seen), asked)).ok()?.choices;
        // As they are marked out they must do it too.
        let does = |c: &ForearmChoice| {
            let told = other(&said, fixed, c)?;
            let turn = 360.0 * libm::round((told.low + told.high - asked.from - asked.to) / 720.0);
            let (low, high) = (told.low - turn - asked.from, told.high - turn - asked.to);
            Some([low, high, high - low].iter().all(|off| off.abs() <= asked.within))
        };
        let told = |c: &ForearmChoice| super::rods::TOLD.contains(&c.rod.length.0);
        choices.into_iter().find(|c| told(c) && (asked.gesture.relative || does(c) == Some(true)))
    }
}
