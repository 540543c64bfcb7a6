//! A crank pin in the cross slot of a limb that slides.

use std::sync::Arc;

use super::asked::{Motion, usual_stroke_tolerance};
use super::builds::{self, Dimension, Recipe};
use super::checks::BUILD_ERROR;
use super::cranked::{Chosen, built, others};
use super::drive::{Figure, FittedSize, Measure, SizeName};
use super::slider_crank::{Guided, SIDEWAYS, inside};
use super::{Bench, Fitted};
use crate::geometry::{BoardPoint, Dir};
use crate::mechanism::solve::{Remedy, YokeWish, solve_scotch_yoke};
use crate::mechanism::{ScotchYoke, Shaft, Size, Slide, Way};
use crate::model::{Action, Drive, YokeDrive};
use crate::units::print::length;
use crate::units::{Deg, Mm};

impl<'a> Bench<'a> {
    pub(super) fn scotch_yoke(
        &mut self,
        drive: &Drive,
        said: &YokeDrive,
        motor: usize,
    ) -> Option<Fitted> {
        self.refuse_gestures(
            "a crank on a guide",
            |a| matches!(a, Action::Stroke { .. } | Action::On | Action::Off),
            "`stroke A to B  cycle T`",
        );
        let before = self.errors();
        let guided = self.guided(motor, Deg(0.0))?;
        self.offset_not_drawn(&guided, said.offset, "the limb is held");
        let asked = self.motion_asked();
        let chosen = self.yoke_size(drive, said, &guided, asked.as_ref())?;
        let sizes =
            |m: &ScotchYoke| vec![FittedSize::length(SizeName::Crank, m.crank(), said.crank)];
        let how = (&recipe(&chosen.drilled), &*sizes(&chosen.exact));
        let along = chosen.exact.slide().along;
        let chosen = self.as_it_hangs(chosen, how, |v| of_values(v, along));
        let (exact, drilled) = (chosen.exact.analyse(), chosen.drilled.analyse());
        let place = said.crank.place.unwrap_or(drive.place);
        let help = "let the slot lean less: `tilt` counts from the square to the guide.".to_owned();
        self.push_is_weak(&SIDEWAYS, place, &exact.course, Some(help));
        if let Some(asked) = asked.as_ref().filter(|_| chosen.fit.is_none()) {
            let any =
                crate::model::Sized { size: Size::Between { lo: 1.0, hi: 1e4 }, ..said.crank };
            let open = YokeDrive { crank: any, ..said.clone() };
            let better = solve_scotch_yoke(&wish(&open, (guided.shaft, guided.guide), asked)).ok();
            let help = better.map(|b| {
                let crank = b.best.mechanism.crank();
                format!("a crank of {} does it.", length(crank, self.figure.system))
            });
            self.motion_missed(drive.place, asked, &exact.course.travel, help);
        }
        let travel = if chosen.fit.is_some() { drilled } else { exact }.course.travel;
        self.in_guide(drive.place, &travel, &guided);
        let shaft = Shaft::turning(guided.shaft);
        let row = |m: &ScotchYoke| vec![m.crank().0];
        let both = (built(chosen.exact, shaft, &exact), built(chosen.drilled, shaft, &drilled));
        let sizes = (sizes(&chosen.exact), recipe(&chosen.drilled));
        let others = others(self.limb, &chosen.others, row, |m| (recipe(m), m.analyse()));
        let mut fitted = self.fitted(drive, before, both, sizes, (others, chosen.fit))?;
        if let Fitted::Drive(drive) = &mut fitted {
            drive.figures = figures(&chosen.drilled, said.offset);
        }
        Some(fitted)
    }

    fn yoke_size(
        &mut self,
        drive: &Drive,
        said: &YokeDrive,
        guided: &Guided,
        asked: Option<&Motion<'a>>,
    ) -> Option<Chosen<ScotchYoke>> {
        let (shaft, guide, long) = (guided.shaft, guided.guide, guided.long);
        if let Size::Given(crank) = said.crank.size {
            return match ScotchYoke::new(shaft, guide, Mm(crank), said.tilt) {
                Ok(given) => Some(Chosen::given(given)),
                Err(why) => {
                    self.no_mechanism(drive.place, why);
                    None
                }
            };
        }
        let Some(asked) = asked else {
            self.nothing_asked("crank");
            return None;
        };
        let wished = wish(said, (shaft, guide), asked);
        match solve_scotch_yoke(&wished) {
            Ok(ranked) => Some(Chosen::found(ranked, |m: &ScotchYoke| drilled(said, m))),
            Err(no) => {
                let again = |change: Remedy| {
                    let mut changed = wished;
                    match change {
                        Remedy::Crank(hole) => changed.crank = Size::Given(hole.0),
                        Remedy::Motor(at) => changed.motor = at,
                        Remedy::Ends { from, to } => {
                            changed.stroke = (Mm(from), Mm(to));
                            // A shorter one may usually miss less.
                            let usual = usual_stroke_tolerance(Mm(to - from));
                            changed.within = Some(Mm(asked.within).min(usual));
                        }
                        Remedy::Rod(_) | Remedy::Clamp(_) => return None,
                    }
                    let best = solve_scotch_yoke(&changed).ok()?.best;
                    let travel = drilled(said, &best.mechanism)?.analyse().course.travel;
                    inside(&travel, long).then_some(best)
                };
                self.unfit(drive, &[said.crank], asked, (&no, &again), None);
                None
            }
        }
    }
}

/// The same with the crank a maker marks out.
fn drilled(said: &YokeDrive, exact: &ScotchYoke) -> Option<ScotchYoke> {
    let crank = said.crank.size.marked_length(exact.crank(), said.crank.system);
    ScotchYoke::new(exact.motor(), exact.slide(), crank, exact.tilt()).ok()
}

/// How it is made: crank, and where motor and guide stand.
fn recipe(made: &ScotchYoke) -> Recipe {
    let along = made.slide().along;
    let mut dimensions =
        vec![Dimension::length("crank", made.crank()), Dimension::angle(builds::TILT, made.tilt())];
    dimensions.extend(builds::place(builds::MOTOR, made.motor()));
    dimensions.extend(builds::place(builds::GUIDE, made.slide().from));
    Recipe::new(dimensions, move |v| {
        let made = of_values(v, along)?;
        Some((Arc::new(made), Way::Shaft(Shaft::turning(made.motor()))))
    })
}

fn of_values(v: &[f64], along: Dir) -> Option<ScotchYoke> {
    let &[crank, tilt, mx, my, gx, gy] = v else { return None };
    let slide = Slide { from: BoardPoint::mm(gx, gy), along };
    ScotchYoke::new(BoardPoint::mm(mx, my), slide, Mm(crank), Deg(tilt)).ok()
}

/// Where the pin runs in the slot, and how far the shaft lies beside the guide: the
/// arm by which the pin rocks the yoke.
fn figures(yoke: &ScotchYoke, said: Option<Mm>) -> Vec<Figure> {
    let (from, to) = yoke.slot();
    let beside = said.unwrap_or_else(|| yoke.offset()).abs() + yoke.crank();
    let length = |name, words, value| Figure { name, words, value: Measure::Length(value) };
    vec![
        length("slot", "pin runs in the slot over", to - from),
        length("rocking_arm", "rocks its guide by an arm of", beside),
    ]
}

fn wish(said: &YokeDrive, (motor, slide): (BoardPoint, Slide), asked: &Motion<'_>) -> YokeWish {
    YokeWish {
        motor,
        slide,
        crank: said.crank.size,
        tilt: said.tilt,
        stroke: asked.stroke(),
        within: Some(Mm(asked.within)),
        prefer: said.prefer,
        error: BUILD_ERROR,
    }
}
