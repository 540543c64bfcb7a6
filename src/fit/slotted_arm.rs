//! A crank pin in a slot of the limb or of its lever.

use std::sync::Arc;

use super::asked::Motion;
use super::builds::{self, Dimension, Recipe};
use super::checks::BUILD_ERROR;
use super::cranked::{Chosen, PushRule, built, others};
use super::drive::{Figure, FittedSize, Measure, SizeName};
use super::{Bench, Fitted, codes};
use crate::finding::Step;
use crate::geometry::BoardPoint;
use crate::mechanism::solve::{Remedy, SlottedWish, solve_slotted_arm, usual_tolerance};
use crate::mechanism::{Cycle, Shaft, Size, SlottedArm, Way};
use crate::model::{Action, Drive, Sized, SlottedDrive};
use crate::syntax::codes::LENGTH_UNBUILDABLE;
use crate::units::print::{decimal, length};
use crate::units::{Deg, Mm, System, print};

/// The pin's push on the slot: as between rod and lever.
const PUSH: PushRule =
    PushRule { code: &codes::WEAK_PUSH, fine: Deg(45.0), weak: Deg(40.0), floor: Deg(20.0) };
/// What the limb's bolt takes up round the pivot, with its nut (common practice, no
/// source: an M8 nut).
const HUB: Mm = Mm(10.0);
/// A slot longer than its pin's way by more than this is a slip of the pen (common
/// practice, no source).
const LONGEST: f64 = 10.0;
/// What stays between parts that pass one another.
const CLEAR: Mm = Mm(2.0);

/// From the middle of the limb's bolt to that of the crank pin, at least.
fn wanted_room(said: &SlottedDrive) -> Mm {
    HUB + said.runner() / 2.0 + CLEAR
}

/// Whether its crank pin passes clear of the limb's bolt.
fn clears_bolt(said: &SlottedDrive, made: &SlottedArm) -> bool {
    made.ground() - made.crank() >= wanted_room(said)
}

impl<'a> Bench<'a> {
    pub(super) fn slotted_arm(
        &mut self,
        drive: &Drive,
        said: &SlottedDrive,
        motor: usize,
    ) -> Option<Fitted> {
        self.refuse_gestures(
            "a crank",
            |a| matches!(a, Action::Sweep { .. } | Action::On | Action::Off),
            "`sweep A to B  cycle T`",
        );
        let before = self.errors();
        let centres = self.centres(motor)?;
        let asked = self.motion_asked();
        let chosen = self.slotted_sizes(drive, said, centres, asked.as_ref())?;
        let sizes = |m: &SlottedArm| {
            vec![
                FittedSize::length(SizeName::Crank, m.crank(), said.crank),
                FittedSize::angle(SizeName::Clamp, m.clamp(), said.clamp),
            ]
        };
        let how = (&recipe(&chosen.drilled), &*sizes(&chosen.exact));
        let chosen = self.as_it_hangs(chosen, how, of_values);
        let (exact, drilled) = (chosen.exact.analyse(), chosen.drilled.analyse());
        self.check_slot(drive, said, &chosen.exact, &exact);
        if let Some(asked) =
            asked.as_ref().filter(|_| chosen.fit.is_none() && exact.crank_turns_fully)
        {
            let help = self.slotted_help(said, centres, asked);
            self.motion_missed(drive.place, asked, &exact.course.travel, help);
        }
        let shaft = Shaft::turning(centres.0);
        let mut sizes = sizes(&chosen.exact);
        let slot = said.slot.is_open() && said.slot.place.is_some();
        let (runs, runner) = (ends(&chosen.drilled, said.runner()), said.runner());
        sizes.extend(slot.then(|| slot_size(runs.1 - runs.0, said.slot)));
        let row = |m: &SlottedArm| {
            let (near, far) = ends(m, runner);
            let all = [m.crank().0, m.clamp().0, (far - near).0];
            all[..if slot { 3 } else { 2 }].to_vec()
        };
        let both = (built(chosen.exact, shaft, &exact), built(chosen.drilled, shaft, &drilled));
        let sizes = (sizes, recipe(&chosen.drilled));
        let others = others(self.limb, &chosen.others, row, |m| (recipe(m), m.analyse()));
        let mut fitted = self.fitted(drive, before, both, sizes, (others, chosen.fit))?;
        if let Fitted::Drive(drive) = &mut fitted {
            drive.figures = figures(&chosen.drilled, said.runner());
        }
        Some(fitted)
    }

    fn slotted_sizes(
        &mut self,
        drive: &Drive,
        said: &SlottedDrive,
        centres: (BoardPoint, BoardPoint),
        asked: Option<&Motion<'a>>,
    ) -> Option<Chosen<SlottedArm>> {
        if let (Size::Given(crank), Size::Given(clamp)) = (said.crank.size, said.clamp.size) {
            return match SlottedArm::new(centres, Mm(crank), said.offset, Deg(clamp)) {
                Ok(given) => Some(Chosen::given(given)),
                Err(why) => {
                    self.no_mechanism(drive.place, why);
                    None
                }
            };
        }
        let Some(asked) = asked else {
            self.nothing_asked("crank, slot");
            return None;
        };
        let wished = wish(said, centres, asked);
        match solve_slotted_arm(&wished) {
            Ok(ranked) => {
                let drilled = |m: &SlottedArm| {
                    let crank = said.crank.size.marked_length(m.crank(), said.crank.system);
                    let clamp = said.clamp.size.marked_angle(m.clamp());
                    SlottedArm::new(centres, crank, m.offset(), clamp).ok()
                };
                Some(Chosen::found(ranked, drilled))
            }
            Err(no) => {
                let opened = self.slotted_help(said, centres, asked);
                let again = |change: Remedy| {
                    let mut changed = wished;
                    match change {
                        Remedy::Crank(hole) => changed.crank = Size::Given(hole.0),
                        Remedy::Clamp(angle) => changed.clamp = Size::Given(angle.0),
                        Remedy::Motor(at) => changed.motor = at,
                        Remedy::Ends { from, to } => {
                            changed.sweep = (Deg(from), Deg(to));
                            // A smaller one may usually miss less.
                            let usual = usual_tolerance(Deg(to - from));
                            changed.within = Some(Deg(asked.within).min(usual));
                        }
                        Remedy::Rod(_) => return None,
                    }
                    // No pin that meets the bolt is named.
                    let found = solve_slotted_arm(&changed).ok()?.best;
                    clears_bolt(said, &found.mechanism).then_some(found)
                };
                self.unfit(drive, &[said.crank, said.clamp], asked, (&no, &again), opened);
                None
            }
        }
    }

    /// What the solver finds for the same swing with crank and clamp open.
    fn slotted_help(
        &self,
        said: &SlottedDrive,
        centres: (BoardPoint, BoardPoint),
        asked: &Motion<'_>,
    ) -> Option<String> {
        let open = SlottedDrive {
            crank: Sized { size: Size::Between { lo: 1.0, hi: 1e4 }, ..said.crank },
            clamp: Sized { size: Size::Free, ..said.clamp },
            ..said.clone()
        };
        let wished = wish(&open, centres, asked);
        let found = solve_slotted_arm(&wished).ok()?.best.mechanism;
        // As it is marked out; where that misses, as finely as it takes.
        let (crank, clamp) = (found.crank(), found.clamp());
        let drilled = Size::Free.marked_length(crank, self.figure.system);
        let does = |&(crank, clamp): &(Mm, Deg)| {
            let (crank, clamp) = (Size::Given(crank.0), Size::Given(clamp.0));
            let found = solve_slotted_arm(&SlottedWish { crank, clamp, ..wished });
            found.is_ok_and(|found| clears_bolt(said, &found.best.mechanism))
        };
        let whole = |clamp: Deg| Deg(libm::round(clamp.0));
        let fine = |v: f64, by: f64| libm::round(v * by) / by;
        let (crank, clamp) = [
            (drilled, whole(clamp)),
            (drilled, Deg(fine(clamp.0, 10.0))),
            (Mm(fine(crank.0, 10.0)), Deg(fine(clamp.0, 10.0))),
            (Mm(fine(crank.0, 100.0)), Deg(fine(clamp.0, 100.0))),
        ]
        .into_iter()
        .find(does)?;
        let crank = match crank == drilled {
            true => length(crank, self.figure.system),
            false => format!("{} mm", decimal(crank.0, 2)),
        };
        Some(format!("crank {crank}, slot at {} deg does it.", decimal(clamp.0, 2)))
    }

    /// Room for the pin between pivot and slot, and in the slot.
    fn check_slot(&mut self, drive: &Drive, said: &SlottedDrive, made: &SlottedArm, cycle: &Cycle) {
        let system = self.figure.system;
        let place = said.crank.place.unwrap_or(drive.place);
        let apart = made.ground();
        if !cycle.crank_turns_fully {
            let most = apart - made.offset().abs() - HUB - said.runner() / 2.0 - CLEAR;
            let help = (most.0 > 1.0).then(|| {
                format!("it goes round with a crank of {} or less.", length(most, system))
            });
            self.crank_blocked(place, cycle, help);
            return;
        }
        if cycle.limb_turns {
            let message = format!(
                "the crank of {} reaches round the limb's bolt, so the limb goes right round with it.",
                self.name()
            );
            let help = format!("take a crank shorter than {}.", length(apart, system));
            self.report(&codes::SWEEP_MISSED, place, message).help = Some(help);
            return;
        }
        let room = apart - made.crank();
        let wanted = wanted_room(said);
        if room < wanted {
            let message = format!(
                "the crank pin of {} passes {} from the middle of the limb's bolt, and bolt and pin need {}.",
                self.name(),
                length(room, system),
                length(wanted, system)
            );
            let help = format!("take a crank of {} or less.", length(apart - wanted, system));
            self.report(&codes::PIN_HITS_BOLT, place, message).help = Some(help);
            let (fine, bare) = (|l| print::fine(l, system), |l| print::fine_in(l, system));
            self.works([
                Step::new(
                    "from pin to bolt",
                    format!("{} - {}", bare(apart), bare(made.crank())),
                    fine(room),
                ),
                Step::new(
                    "hub, half the pin and room",
                    format!("{} + {}/2 + {}", bare(HUB), bare(said.runner()), bare(CLEAR)),
                    fine(wanted),
                ),
            ]);
        }
        let (near, far) = ends(made, said.runner());
        let runs = far - near;
        let wrong = match said.slot.size {
            Size::Given(s) if s < runs.0 => Some((Mm(s), &codes::SLOT_TOO_SHORT, "")),
            Size::Given(s) if s > (runs * LONGEST).0 => {
                Some((Mm(s), &LENGTH_UNBUILDABLE, " of it: no arm has room for the rest"))
            }
            _ => None,
        };
        if let Some((slot, code, more)) = wrong {
            let message = format!(
                "the slot of {} is {} long, and its pin runs over {}{more}.",
                self.name(),
                length(slot, system),
                length(runs, system)
            );
            let help = format!(
                "cut it from {} to {} from the pivot (`slot {}`).",
                length(near, system),
                length(far, system),
                print::size_up(runs, system)
            );
            self.report(code, drive.place, message).help = Some(help);
            let (fine, bare) = (|l| print::fine(l, system), |l| print::fine_in(l, system));
            self.works([
                Step::given("slot", fine(slot)),
                Step::new(
                    "its pin runs over",
                    format!("{} - {}", bare(far), bare(near)),
                    fine(runs),
                ),
            ]);
        }
        let help = "a motor further from the pivot, or a shorter crank, pushes better.".to_owned();
        self.push_is_weak(&PUSH, place, &cycle.course, Some(help));
    }
}

/// How it is made: crank, slot, and where motor and pivot stand.
fn recipe(made: &SlottedArm) -> Recipe {
    let mut dimensions = vec![
        Dimension::length("crank", made.crank()),
        Dimension::offset("slot beside the pivot", made.offset()),
        Dimension::angle("slot's angle", made.clamp()),
    ];
    dimensions.extend(builds::place(builds::MOTOR, made.motor()));
    dimensions.extend(builds::place(builds::PIVOT, made.pivot()));
    Recipe::new(dimensions, |v| {
        let made = of_values(v)?;
        Some((Arc::new(made), Way::Shaft(Shaft::turning(made.motor()))))
    })
}

fn of_values(v: &[f64]) -> Option<SlottedArm> {
    let &[crank, offset, clamp, mx, my, px, py] = v else { return None };
    let ends = (BoardPoint::mm(mx, my), BoardPoint::mm(px, py));
    SlottedArm::new(ends, Mm(crank), Mm(offset), Deg(clamp)).ok()
}

/// Where the slot begins and ends, from the foot of the pivot on it: the pin's way
/// with half the pin and a little more on either side.
fn ends(arm: &SlottedArm, runner: Mm) -> (Mm, Mm) {
    let (near, far) = arm.slot();
    let more = runner / 2.0 + CLEAR;
    (near - more, far + more)
}

/// An open slot, as long as its pin runs or longer: to what a maker marks out, or to one of
/// the lengths that are left for it.
fn slot_size(runs: Mm, said: Sized) -> FittedSize {
    let step = match said.system {
        System::Inch => 25.4 / 32.0,
        System::Metric | System::Both => 0.5,
    };
    let up = |from: f64, step: f64| from + libm::ceil((runs.0 - from) / step - 1e-6) * step;
    let long = match said.size {
        Size::Given(v) => v,
        Size::Free => up(0.0, step),
        Size::Between { lo, hi } => up(0.0, step).min(hi).max(runs.0).max(lo),
        Size::Row { lo, step, .. } => up(lo, step).max(lo),
    };
    FittedSize { name: SizeName::Slot, exact: long, drilled: long, said }
}

fn figures(arm: &SlottedArm, runner: Mm) -> Vec<Figure> {
    let (near, far) = ends(arm, runner);
    let length = |name, words, value| Figure { name, words, value: Measure::Length(value) };
    vec![
        length("slot_from", "slot from the pivot begins at", near),
        length("slot_to", "slot ends at", far),
    ]
}

fn wish(
    said: &SlottedDrive,
    (motor, pivot): (BoardPoint, BoardPoint),
    asked: &Motion<'_>,
) -> SlottedWish {
    SlottedWish {
        motor,
        pivot,
        crank: said.crank.size,
        clamp: said.clamp.size,
        offset: said.offset,
        sweep: asked.sweep(),
        within: Some(Deg(asked.within)),
        prefer: said.prefer,
        error: BUILD_ERROR,
    }
}
