//! Checks of a linkage whose sizes are known: does it close, turn, push and swing.

use super::four_bar::{Asked, likelier};
use super::{Bench, codes};
use crate::finding::{Place, Severity, Step};
use crate::geometry::BoardPoint;
use crate::mechanism::solve::{self, Answer, NoFit, Size, Sizes, Wish};
use crate::mechanism::{Analysis, Bars, Class, FourBar, Motion};
use crate::model::{Drive, FourBarDrive, usual_crank_holes, usual_lever_holes};
pub(super) use crate::units::print::fine;
use crate::units::print::{decimal, length};
use crate::units::{Deg, Mm, System, print};

/// Holes drilled by hand are off by this much (common practice, no source; the
/// language's default build error).
pub(super) const BUILD_ERROR: Mm = Mm(1.0);
/// From here on the push angle is fine (textbook custom).
pub(super) const PUSH_FINE: Deg = Deg(45.0);
/// How a help begins that lets every hole stay as it is.
pub(super) const RIGHT_SWING: &str = "the swing is right";
/// Below this it is worth a warning (textbook custom).
pub const PUSH_WEAK: Deg = Deg(40.0);

/// A linkage with what was said and asked of it.
pub(super) struct Found<'a> {
    pub drive: &'a Drive,
    pub said: &'a FourBarDrive,
    pub linkage: &'a FourBar,
    pub analysis: &'a Analysis,
    pub asked: Option<Asked<'a>>,
    /// The answer, where sizes were open.
    pub solved: Option<&'a Answer>,
}

impl Found<'_> {
    /// Where the size named so is written; the drive where it was left out.
    fn place_of(&self, size: &str) -> Place {
        let sized = match size {
            "crank" => self.said.crank,
            "rod" => self.said.rod,
            "lever" => self.said.lever,
            _ => self.said.clamp,
        };
        sized.place.unwrap_or(self.drive.place)
    }
}

impl Bench<'_> {
    /// One pass over everything a turning crank must do; the first thing that
    /// makes the rest pointless ends it.
    pub(super) fn check_linkage(&mut self, found: &Found<'_>) {
        let bars = found.linkage.bars();
        match found.analysis.class {
            Class::NonAssembling => return self.does_not_reach(found, &bars),
            Class::ChangePoint => return self.may_flip(found, &bars),
            _ => {}
        }
        let Some(motion) = found.analysis.motion else { return };
        if !found.analysis.crank_turns_fully {
            return self.blocked(found, &bars, &motion);
        }
        self.may_block(found, &bars);
        self.push(found, &bars, &motion);
        if let Some(asked) = found.asked {
            self.swing(found, asked, &motion);
        }
    }

    fn does_not_reach(&mut self, found: &Found<'_>, bars: &Bars) {
        let system = self.figure.system;
        let named = [
            ("the distance from motor to pivot", bars.ground),
            ("the crank", bars.crank),
            ("the rod", bars.rod),
            ("the lever", bars.lever),
        ];
        let longest = named.into_iter().max_by(|a, b| a.1.0.total_cmp(&b.1.0)).unwrap_or(named[0]);
        let others = named.iter().map(|n| n.1).sum::<Mm>() - longest.1;
        let message = format!(
            "{} of {} is {}, and the other three together are only {}: they cannot be joined.",
            longest.0,
            self.name(),
            length(longest.1, system),
            length(others, system)
        );
        let place = match longest.0 {
            "the crank" => found.place_of("crank"),
            "the rod" => found.place_of("rod"),
            "the lever" => found.place_of("lever"),
            _ => found.drive.place,
        };
        let help = self
            .that_turns(found, bars)
            .or_else(|| self.motors_that_turn([bars.crank.0, bars.rod.0, bars.lever.0]))
            .unwrap_or_else(|| {
                "take a crank that is the shortest of all four by half or more.".to_owned()
            });
        self.report(&codes::PARTS_DO_NOT_REACH, place, message).help = Some(help);
        self.works([
            Step::given(longest.0, print::fine(longest.1, system)),
            Step::given("the other three together", print::fine(others, system)),
        ]);
    }

    /// Reports a motor on the pivot of what it swings.
    pub(super) fn centres_meet(&mut self, place: Place, bars: [f64; 3]) {
        let message = format!(
            "motor and pivot of {} stand on one another: there is no linkage between them.",
            self.name()
        );
        let help = self.motors_that_turn(bars);
        self.report(&codes::PARTS_DO_NOT_REACH, place, message).help =
            Some(help.unwrap_or_else(|| {
                "move the motor away from the pivot, farther than crank and lever together."
                    .to_owned()
            }));
    }

    /// How far from the pivot the motor stands for these bars to go right round, by
    /// Grashof's rule with the crank the shortest.
    fn motors_that_turn(&self, [crank, rod, lever]: [f64; 3]) -> Option<String> {
        let (least, most) = ((rod - lever).abs() + crank, rod + lever - crank);
        (crank < rod && crank < lever && least.max(crank) + 9.0 < most).then(|| {
            format!(
                "with these bars it goes round where the motor stands {} to {} from the pivot.",
                print::size_up(Mm(least.max(crank) + 4.0), self.figure.system),
                print::size_down(Mm(most - 4.0), self.figure.system)
            )
        })
    }

    fn may_flip(&mut self, found: &Found<'_>, bars: &Bars) {
        let system = self.figure.system;
        let message = format!(
            "crank {}, rod {}, lever {} and the {} between motor and pivot all come into one line once a turn: \
             from there {} can go on either way.",
            length(bars.crank, system),
            length(bars.rod, system),
            length(bars.lever, system),
            length(bars.ground, system),
            self.name()
        );
        let help = self.that_turns(found, bars);
        self.report(&codes::LINKAGE_MAY_FLIP, found.place_of("rod"), message).help = help;
    }

    fn blocked(&mut self, found: &Found<'_>, bars: &Bars, motion: &Motion) {
        let angles: Vec<String> = motion
            .blocked_at
            .iter()
            .flatten()
            .map(|a| format!("{} deg", decimal(a.0, 0)))
            .collect();
        let message = format!(
            "the crank of {} cannot go right round: rod and lever come into one line with the crank at {}.",
            self.name(),
            angles.join(" and at ")
        );
        let help = self.that_turns(found, bars);
        let place =
            found.place_of(if self.rods_that_turn(bars).is_some() { "rod" } else { "crank" });
        self.report(&codes::CRANK_BLOCKED, place, message).help = help;
        // Rod and lever in one line: stretched, or folded on each other.
        let (g, a, b, c) = (bars.ground, bars.crank, bars.rod, bars.lever);
        let system = self.figure.system;
        let fine_in = |l| print::fine_in(l, system);
        let over = |reach: Mm| (g.0 * g.0 + a.0 * a.0 - reach.0 * reach.0) / (2.0 * g.0 * a.0);
        let rows = [("stretched", b + c, '+'), ("folded", (b - c).abs(), '-')];
        for (what, reach, sign) in rows {
            let cos = over(reach);
            if !(-1.0..=1.0).contains(&cos) {
                continue;
            }
            let sum = format!(
                "acos(({0}^2 + {1}^2 - ({2} {sign} {3})^2)/(2 x {0} x {1}))",
                fine_in(g),
                fine_in(a),
                fine_in(b),
                fine_in(c)
            );
            self.works([Step::new(
                format!("crank from the line to the pivot, rod and lever {what}"),
                sum,
                format!("{} deg", decimal(libm::acos(cos).to_degrees(), 2)),
            )]);
        }
        for at in motion.blocked_at.iter().flatten() {
            let told = format!("{} deg", decimal(at.0, 1));
            self.works([Step::given("that is with the crank at", told)]);
        }
    }

    /// What goes right round with holes off as they are and pushes well: other sizes for what
    /// is asked, or other rods. A rod with which another swing comes about is no help to one
    /// who asked for this.
    fn that_turns(&self, found: &Found<'_>, bars: &Bars) -> Option<String> {
        if found.solved.is_some() {
            return Some(
                "this is the best the open sizes allow; widen their ranges, or move the motor."
                    .to_owned(),
            );
        }
        let other = found.asked.and_then(|asked| {
            let wish = self.with_open_sizes(found, bars)?;
            let (made, push) = self.that_does(&wish, asked)?;
            (push >= PUSH_FINE).then(|| format!("{} does it.", self.sizes_in_words(&made)))
        });
        other.or_else(|| self.rods_that_turn(bars)).or_else(|| self.cranks_that_turn(bars))
    }

    /// The rods with which this crank goes right round, by Grashof's rule.
    fn rods_that_turn(&self, bars: &Bars) -> Option<String> {
        let (d, a, c) = (bars.ground, bars.crank, bars.lever);
        let shortest = a < d && a < c;
        let way = (d - a, d + a);
        shortest.then(|| super::rods::in_words("goes round", way, c, self.figure.system))?
    }

    /// The crank below which this rod and lever let it go right round.
    fn cranks_that_turn(&self, bars: &Bars) -> Option<String> {
        let (d, b, c) = (bars.ground.0, bars.rod.0, bars.lever.0);
        let most = (b + c - d).min(c + d - b).min(b + d - c).min(d.min(b).min(c));
        (most > 5.0).then(|| {
            format!(
                "it goes round with a crank shorter than {}.",
                print::size_down(Mm(most - 4.0), self.figure.system)
            )
        })
    }

    fn may_block(&mut self, found: &Found<'_>, bars: &Bars) {
        let margin = spare(bars);
        let wanted = BUILD_ERROR * 4.0;
        if margin >= wanted {
            return;
        }
        let system = self.figure.system;
        let message = format!(
            "{} turns on paper by {}; four holes each {} off can take {} of it.",
            self.name(),
            fine(margin, system),
            fine(BUILD_ERROR, system),
            fine(wanted, system)
        );
        let help = self.that_turns(found, bars);
        self.report(&codes::CRANK_MAY_BLOCK, found.place_of("rod"), message).help = help;
        let four = format!("4 x {}", print::fine_in(BUILD_ERROR, system));
        self.works([
            Step::given("a hole is off by up to", fine(BUILD_ERROR, system)),
            Step::new("four of them", four, fine(wanted, system)),
        ]);
    }

    fn push(&mut self, found: &Found<'_>, bars: &Bars, motion: &Motion) {
        let worst = motion.min_transmission;
        if worst >= PUSH_FINE {
            return;
        }
        let severity = match worst {
            w if w < solve::PUSH_FLOOR => Severity::Error,
            w if w < PUSH_WEAK => Severity::Warning,
            _ => Severity::Advice,
        };
        let message = format!(
            "with the crank at {} deg the rod of {} pushes at {} deg to the lever; 45 or more is wanted.",
            decimal(motion.min_transmission_at.0, 0),
            self.name(),
            decimal(worst.0, 1)
        );
        let help = self.better_push(found, bars, worst);
        let found = self.report(&codes::WEAK_PUSH, found.place_of("lever"), message);
        found.severity = severity;
        found.help = help;
        self.works([
            Step::given("worst with the crank at", {
                format!("{} deg", decimal(motion.min_transmission_at.0, 1))
            }),
            Step::given("push there", format!("{} deg", decimal(worst.0, 2))),
            Step::given("wanted", "45 deg"),
        ]);
    }

    /// The same swing with other sizes that push better, proved by solving.
    fn better_push(&self, found: &Found<'_>, bars: &Bars, worst: Deg) -> Option<String> {
        if found.solved.is_some() {
            return Some("this is the best the open sizes allow; widen their ranges or ask for a smaller swing.".to_owned());
        }
        let (made, push) = self.that_does(&self.with_open_sizes(found, bars)?, found.asked?)?;
        let told = decimal(push.0, 0);
        match push {
            p if p >= PUSH_FINE => {
                Some(format!("{} pushes at {told} deg at worst.", self.sizes_in_words(&made)))
            }
            p if p > worst + Deg(1.0) => Some(format!(
                "sizes near these push at {told} deg at most: ask for a smaller swing, or move the motor."
            )),
            _ => None,
        }
    }

    fn swing(&mut self, found: &Found<'_>, asked: Asked<'_>, motion: &Motion) {
        let (Some(low), Some(high)) = (motion.low, motion.high) else {
            let message =
                format!("{} goes right round and does not swing to and fro.", self.name());
            self.report(&codes::SWEEP_MISSED, asked.gesture.place, message).help =
                self.cranks_that_turn(&found.linkage.bars());
            return;
        };
        let shift = Deg(turns_between(asked.from, low) * 360.0);
        let (low, high) = (low + shift, high + shift);
        let miss = misses(asked, (low, high));
        if found.solved.is_some() || miss.iter().all(|m| m.0 <= asked.within.0 + 1e-9) {
            return;
        }
        let message = format!(
            "{} swings {} to {} deg, and `{}` asks for {} to {} (within {}).",
            self.name(),
            decimal(low.0, 1),
            decimal(high.0, 1),
            asked.gesture.name.value,
            decimal(asked.from.0, 1),
            decimal(asked.to.0, 1),
            decimal(asked.within.0, 1)
        );
        let help = if miss[0] <= asked.within {
            let turn = (asked.from + asked.to) / 2.0 - (low + high) / 2.0;
            let clamp = (found.linkage.clamp() - turn).signed();
            Some(format!(
                "{RIGHT_SWING}, its place is not: clamp the lever at {} deg.",
                decimal(clamp.0, 0)
            ))
        } else {
            self.with_open_sizes(found, &found.linkage.bars())
                .and_then(|wish| self.does_it(&wish, asked))
                .or_else(|| {
                    let (low, high) = (decimal(low.0, 1), decimal(high.0, 1));
                    Some(format!(
                        "no sizes near these do it: ask for {low} to {high} deg, as it swings."
                    ))
                })
        };
        let place = asked.gesture.place;
        let at = found.drive.place;
        let reported = self.report(&codes::SWEEP_MISSED, place, message);
        reported.help = help;
        reported.related.push(("this linkage".to_owned(), at));
        let clamp = found.linkage.clamp();
        let deg = |d: Deg| format!("{} deg", decimal(d.0, 2));
        self.works([
            Step::given("lever's pin from the limb's axis", deg(clamp)),
            Step::given("low end", deg(low)),
            Step::given("high end", deg(high)),
            Step::given("low end asked for", deg(asked.from)),
            Step::given("high end asked for", deg(asked.to)),
            Step::new(
                "swing, off by",
                format!(
                    "|({} - {}) - ({} - {})|",
                    decimal(high.0, 2),
                    decimal(low.0, 2),
                    decimal(asked.to.0, 2),
                    decimal(asked.from.0, 2)
                ),
                deg(miss[0]),
            ),
            Step::given("low end, off by", deg(miss[1])),
            Step::given("high end, off by", deg(miss[2])),
            Step::given("may be off by", deg(asked.within)),
        ]);
    }

    /// The sizes that do what a wish asks, in words.
    fn does_it(&self, wish: &Wish<'_>, asked: Asked<'_>) -> Option<String> {
        let (made, _) = self.that_does(wish, asked)?;
        Some(format!("{} does it.", self.sizes_in_words(&made)))
    }

    /// The sizes that do what a wish asks, and how they push at worst: drilled as they are
    /// told and put together as the file says, or as it is taken where the file says nothing;
    /// held to the swing once more, for a rod to half a millimetre and a clamp to a degree
    /// may miss it.
    fn that_does(&self, wish: &Wish<'_>, asked: Asked<'_>) -> Option<(FourBar, Deg)> {
        let held = |bar: &FourBar| {
            let bars = bar.bars();
            let (centres, sizes) = ((bar.motor(), bar.pivot()), (bars.crank, bars.rod, bars.lever));
            let side =
                wish.assembly.unwrap_or_else(|| likelier(centres, sizes, bar.clamp(), Some(asked)));
            let made = FourBar::new(centres, sizes, bar.clamp(), side).ok()?;
            let motion = made.analyse().motion?;
            let (low, high) = (motion.low?, motion.high?);
            let shift = Deg(turns_between(asked.from, low) * 360.0);
            let miss = misses(asked, (low + shift, high + shift));
            let does = super::rods::TOLD.contains(&made.bars().rod.0)
                && spare(&made.bars()) >= BUILD_ERROR * 4.0
                && miss.iter().all(|m| *m <= asked.within);
            does.then_some((made, motion.min_transmission))
        };
        SHARES.into_iter().find_map(|share| {
            let within = Some(wish.tolerance() * share);
            held(&solve::solve(&Wish { within, ..*wish }).ok()?.drilled)
        })
    }

    /// The same gesture with the motor's crank holes, the lever as it is or half a length
    /// either way, and rod and clamp open; put together as the file says.
    fn with_open_sizes(&self, found: &Found<'_>, bars: &Bars) -> Option<Wish<'static>> {
        let asked = found.asked?;
        let step = if self.figure.system == System::Inch { 12.7 } else { 10.0 };
        let crank = self.figure.actuators.iter().find_map(|a| a.motor.crank_holes);
        let crank = match crank {
            None => Size::Row { lo: 30.0, hi: 60.0, step: 10.0 },
            Some((lo, hi, step)) if step.0 > 0.0 => Size::Row { lo: lo.0, hi: hi.0, step: step.0 },
            Some((only, ..)) => Size::Given(only.0),
        };
        Some(Wish {
            motor: found.linkage.motor(),
            pivot: found.linkage.pivot(),
            sizes: Sizes {
                crank,
                rod: Size::Free,
                lever: Size::Row {
                    lo: (bars.lever.0 - 3.0 * step).max(step),
                    hi: bars.lever.0 + 3.0 * step,
                    step,
                },
                clamp: Size::Free,
            },
            sweep: (asked.from, asked.to),
            within: Some(asked.within),
            prefer: found.said.prefer,
            assembly: found.said.assembly,
            error: BUILD_ERROR,
            system: self.figure.system,
            rate: None,
        })
    }

    pub(super) fn sizes_in_words(&self, linkage: &FourBar) -> String {
        sizes_in_words(linkage, self.figure.system)
    }

    /// What does it with every size open, in the rows a maker drills.
    fn all_open(
        &self,
        (motor, pivot): (BoardPoint, BoardPoint),
        said: &FourBarDrive,
        asked: Asked<'_>,
    ) -> Option<String> {
        let row = |(lo, hi, step)| Size::Row { lo, hi, step };
        let system = self.figure.system;
        let (crank, lever) = (row(usual_crank_holes(system)), row(usual_lever_holes(system)));
        let wish = Wish {
            motor,
            pivot,
            sizes: Sizes { crank, rod: Size::Free, lever, clamp: Size::Free },
            sweep: (asked.from, asked.to),
            within: Some(asked.within),
            prefer: said.prefer,
            assembly: said.assembly,
            error: BUILD_ERROR,
            system: self.figure.system,
            rate: None,
        };
        self.does_it(&wish, asked)
    }

    /// Nothing fits: what is in the way, and the nearest that works.
    pub(super) fn no_fit(
        &mut self,
        drive: &Drive,
        said: &FourBarDrive,
        centres: (BoardPoint, BoardPoint),
        asked: Asked<'_>,
        no_fit: &NoFit,
    ) {
        let open = [said.crank, said.rod, said.lever, said.clamp];
        let place = open.iter().find_map(|s| s.ask).unwrap_or(drive.place);
        let message = format!(
            "nothing within the ranges swings {} from {} to {} deg: {}.",
            self.name(),
            decimal(asked.from.0, 1),
            decimal(asked.to.0, 1),
            super::no_fit::reason(no_fit, self.figure.system)
        );
        let help = super::no_fit::nearest(no_fit, self.figure.system)
            .or_else(|| self.all_open(centres, said, asked));
        let gesture = asked.gesture.place;
        let found = self.report(&codes::NOTHING_FITS, place, message);
        found.help = help;
        found.related.push(("the swing asked for".to_owned(), gesture));
        let system = self.figure.system;
        self.works(wished((asked.from.0, asked.to.0), asked.within.0, "deg"));
        self.works([Step::given("in the way", super::no_fit::reason(no_fit, system))]);
    }
}

/// "crank 40 mm, rod 160 mm, lever 80 mm at 127 deg".
#[must_use]
pub fn sizes_in_words(linkage: &FourBar, system: System) -> String {
    let bars = linkage.bars();
    format!(
        "crank {}, rod {}, lever {} at {} deg",
        length(bars.crank, system),
        length(bars.rod, system),
        length(bars.lever, system),
        decimal(linkage.clamp().0, 0)
    )
}

/// By how much a crank goes right round: the two middle bars together less the shortest and
/// the longest (Grashof).
fn spare(bars: &Bars) -> Mm {
    let mut all = [bars.ground.0, bars.crank.0, bars.rod.0, bars.lever.0];
    all.sort_by(f64::total_cmp);
    Mm(all[1] + all[2] - all[0] - all[3])
}

/// Shares of the tolerance that are tried, so that what is told keeps it once rounded.
const SHARES: [f64; 4] = [1.0, 0.6, 0.3, 0.1];

/// By how much swing and ends miss what is asked, in one turn with it.
fn misses(asked: Asked<'_>, (low, high): (Deg, Deg)) -> [Deg; 3] {
    [(high - low - asked.swing()).abs(), (low - asked.from).abs(), (high - asked.to).abs()]
}

/// What was asked of a drive, as the first lines of a sum.
pub(super) fn wished((from, to): (f64, f64), within: f64, unit: &str) -> Vec<Step> {
    let number = |v: f64| format!("{} {unit}", decimal(v, 2));
    vec![
        Step::given("asked from", number(from)),
        Step::given("asked to", number(to)),
        Step::given("may be off by", number(within)),
    ]
}

/// Whole turns that bring `angle` nearest to `to`.
pub(super) fn turns_between(to: Deg, angle: Deg) -> f64 {
    libm::round((to - angle) / Deg(360.0))
}
