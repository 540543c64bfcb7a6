//! Crank and rod to a limb that slides: open sizes found, the whole checked.

use std::sync::Arc;

use super::asked::{Motion, usual_stroke_tolerance};
use super::builds::{self, Dimension, Recipe};
use super::checks::{BUILD_ERROR, fine};
use super::cranked::{Chosen, PushRule, built, others};
use super::drive::{FittedSize, SizeName};
use super::{Bench, Fitted, codes};
use crate::finding::{Place, Step};
use crate::geometry::{BoardPoint, Dir, Vector};
use crate::mechanism::solve::{Remedy, SliderWish, solve_slider_crank};
use crate::mechanism::{Cycle, Shaft, Side, Size, Slide, SliderCrank, Travel, Way};
use crate::model::{Action, Drive, Joint, Note, Sized, SliderDrive};
use crate::units::print::length;
use crate::units::{Deg, Mm, System, print};

/// Sideways push of a limb on a plain guide: 30 deg is a warning, 45 an error
/// (common practice, no source), told as the push angle that is left of 90.
pub(super) const SIDEWAYS: PushRule =
    PushRule { code: &codes::PUSHED_SIDEWAYS, fine: Deg(60.0), weak: Deg(60.0), floor: Deg(45.0) };

/// A limb's guide, and the motor's shaft that moves it.
#[derive(Clone, Copy)]
pub(super) struct Guided {
    /// The shaft.
    pub shaft: BoardPoint,
    /// The line the limb's own point runs on.
    pub guide: Slide,
    /// The guide's length.
    pub long: Mm,
}

impl Guided {
    /// How far the shaft lies left of the guide's line.
    pub fn left(&self) -> Mm {
        let to = self.shaft - self.guide.from;
        Mm(Vector::<crate::geometry::Board>::polar(Mm(1.0), self.guide.along).cross(to))
    }

    /// The middle of the guide, along it from the shaft's foot.
    fn ahead(&self) -> f64 {
        let to = self.shaft - self.guide.from;
        self.long.0 / 2.0 - Vector::polar(Mm(1.0), self.guide.along).dot(to)
    }
}

/// Where the motor stands for a longer rod to take the limb as far as its own does.
fn further_back(made: &SliderCrank, rod: Mm, system: System) -> String {
    let far = |rod: Mm| {
        let reach = rod.0 + made.crank().0;
        (reach * reach - made.offset().0 * made.offset().0).max(0.0).sqrt()
    };
    let by = (far(rod) - far(made.rod())) * made.side().sign();
    let (at, along) = (made.motor(), made.slide().along);
    print::place((at.x - by * along.x(), at.y - by * along.y()), 1, system)
}

impl<'a> Bench<'a> {
    /// Guide and shaft, where both are known; `tilt` turns the guide about its first
    /// end.
    pub(super) fn guided(&mut self, motor: usize, tilt: Deg) -> Option<Guided> {
        let Joint::Slide { from, to } = self.limb.joint else { return None };
        let Some(shaft) = self.figure.actuators[motor].at else {
            self.not_checked.push(Note::new(
                "mechanism (the motor's place is not known)",
                "motor NAME at (x, y) mm",
            ));
            return None;
        };
        let drawn = Slide::between(from, to)?;
        let along = drawn.along.turned(Dir::degrees(tilt));
        Some(Guided { shaft, guide: Slide { along, ..drawn }, long: from.distance(to) })
    }

    /// Notes an offset that is said and drawn otherwise: what is said holds.
    pub(super) fn offset_not_drawn(&mut self, guided: &Guided, said: Option<Mm>, runs: &str) {
        let Some(off) = said.filter(|said| (*said - guided.left()).abs() > BUILD_ERROR) else {
            return;
        };
        let system = self.figure.system;
        let drawn = guided.left();
        let beside = |off: Mm| {
            let side = if off.0 < 0.0 { "right" } else { "left" };
            format!("{} {side} of", length(off.abs(), system))
        };
        let text = format!(
            "{runs} so that the shaft lies {} it, as `offset` says; on the drawing the shaft lies {} the guide",
            beside(off),
            beside(drawn)
        );
        self.assumed.push(Note::new(text, format!("offset {}", length(drawn, system))));
    }

    pub(super) fn slider_crank(
        &mut self,
        drive: &Drive,
        said: &SliderDrive,
        motor: usize,
    ) -> Option<Fitted> {
        self.refuse_gestures(
            "a crank on a guide",
            |a| matches!(a, Action::Stroke { .. } | Action::On | Action::Off),
            "`stroke A to B  cycle T`",
        );
        let before = self.errors();
        let guided = self.guided(motor, said.tilt)?;
        let slide = pin_line(&guided, said.offset);
        self.offset_not_drawn(&guided, said.offset, "its rod's pin runs");
        let asked = self.motion_asked();
        let chosen = self.slider_sizes(drive, said, (&guided, slide), asked.as_ref())?;
        let sizes = |m: &SliderCrank| {
            vec![
                FittedSize::length(SizeName::Crank, m.crank(), said.crank),
                FittedSize::length(SizeName::Rod, m.rod(), said.rod),
            ]
        };
        let tilt = (said.tilt != Deg(0.0)).then_some(said.tilt);
        let marked = Marked { guide: guided.guide, offset: said.offset.is_some(), tilt };
        let recipe = |m: &SliderCrank| recipe(m, marked);
        let how = (&recipe(&chosen.drilled), &*sizes(&chosen.exact));
        let drawn = chosen.exact;
        let chosen = self.as_it_hangs(chosen, how, |v| of_values(v, (&drawn, marked)));
        let (exact, drilled) = (chosen.exact.analyse(), chosen.drilled.analyse());
        self.check_slider(drive, said, &chosen.exact, &exact, asked.as_ref());
        let travel = if chosen.fit.is_some() { drilled } else { exact }.course.travel;
        self.in_guide(drive.place, &travel, &guided);
        let shaft = Shaft::turning(guided.shaft);
        let row = |m: &SliderCrank| vec![m.crank().0, m.rod().0];
        let both = (built(chosen.exact, shaft, &exact), built(chosen.drilled, shaft, &drilled));
        let sizes = (sizes(&chosen.exact), recipe(&chosen.drilled));
        let others = others(self.limb, &chosen.others, row, |m| (recipe(m), m.analyse()));
        self.fitted(drive, before, both, sizes, (others, chosen.fit))
    }

    fn slider_sizes(
        &mut self,
        drive: &Drive,
        said: &SliderDrive,
        (guided, slide): (&Guided, Slide),
        asked: Option<&Motion<'a>>,
    ) -> Option<Chosen<SliderCrank>> {
        let side = said.side.or_else(|| asked.is_none().then(|| likely(guided)));
        if let (Size::Given(crank), Size::Given(rod)) = (said.crank.size, said.rod.size) {
            let make = |side| SliderCrank::new(guided.shaft, slide, (Mm(crank), Mm(rod)), side);
            let side = side.unwrap_or_else(|| {
                asked.map_or(likely(guided), |asked| nearer(asked, &make, guided))
            });
            return match make(side) {
                Ok(given) => Some(Chosen::given(given)),
                Err(why) => {
                    self.no_mechanism(drive.place, why);
                    None
                }
            };
        }
        let Some(asked) = asked else {
            self.nothing_asked("crank, rod");
            return None;
        };
        let wished = wish(said, guided.shaft, slide, asked);
        match solve_slider_crank(&wished) {
            Ok(ranked) => Some(Chosen::found(ranked, |m: &SliderCrank| drilled(said, m))),
            Err(no) => {
                let opened = self.slider_help(said, (guided.shaft, slide), asked);
                let again = |change: Remedy| {
                    let mut changed = wished;
                    match change {
                        Remedy::Crank(hole) => changed.crank = Size::Given(hole.0),
                        Remedy::Rod(rod) => changed.rod = Size::Given(rod.0),
                        Remedy::Motor(at) => changed.motor = at,
                        Remedy::Ends { from, to } => {
                            changed.stroke = (Mm(from), Mm(to));
                            // A shorter one may usually miss less.
                            let usual = usual_stroke_tolerance(Mm(to - from));
                            changed.within = Some(Mm(asked.within).min(usual));
                        }
                        Remedy::Clamp(_) => return None,
                    }
                    let best = solve_slider_crank(&changed).ok()?.best;
                    let travel = drilled(said, &best.mechanism)?.analyse().course.travel;
                    inside(&travel, guided.long).then_some(best)
                };
                self.unfit(drive, &[said.crank, said.rod], asked, (&no, &again), opened);
                None
            }
        }
    }

    fn check_slider(
        &mut self,
        drive: &Drive,
        said: &SliderDrive,
        made: &SliderCrank,
        cycle: &Cycle,
        asked: Option<&Motion<'a>>,
    ) {
        let system = self.figure.system;
        let place = said.rod.place.unwrap_or(drive.place);
        let (crank, rod, off) = (made.crank(), made.rod(), made.offset().abs());
        let shortest = crank + off;
        if !cycle.crank_turns_fully {
            let help = format!(
                "it goes round with a rod longer than {}.",
                length(shortest + BUILD_ERROR * 4.0, system)
            );
            self.crank_blocked(place, cycle, Some(help));
            return;
        }
        let margin = rod - shortest;
        if margin < BUILD_ERROR * 4.0 {
            let message = format!(
                "{} turns on paper by {}: its rod is hardly longer than crank and offset together.",
                self.name(),
                fine(margin, system)
            );
            let help =
                format!("take a rod of {} or more.", length(shortest + BUILD_ERROR * 4.0, system));
            self.report(&codes::CRANK_MAY_BLOCK, place, message).help = Some(help);
            let bare = |l| print::fine_in(l, system);
            self.works([Step::new(
                "rod less crank and offset",
                format!("{} - {} - {}", bare(rod), bare(crank), bare(off)),
                fine(margin, system),
            )]);
        }
        // The push is worst where crank and offset add up: sin(lean) = (a + |e|)/b.
        let longer = Mm(shortest.0 / libm::sin(Deg(30.0).rad().0));
        let help = if matches!(said.rod.size, Size::Given(_)) {
            let longer = Mm(longer.0.ceil());
            format!(
                "a rod of {} with the motor at {} leans 30 deg at most.",
                length(longer, system),
                further_back(made, longer, system)
            )
        } else {
            "this is the best the open sizes allow; widen their ranges or move the motor away."
                .to_owned()
        };
        self.push_is_weak(&SIDEWAYS, place, &cycle.course, Some(help));
        if let Some(asked) = asked.filter(|_| matches!(said.crank.size, Size::Given(_))) {
            let help = self.slider_help(said, (made.motor(), made.slide()), asked);
            self.motion_missed(drive.place, asked, &cycle.course.travel, help);
        }
    }

    /// What the solver finds for the same stroke with crank and rod open.
    fn slider_help(
        &self,
        said: &SliderDrive,
        (motor, slide): (BoardPoint, Slide),
        asked: &Motion<'_>,
    ) -> Option<String> {
        let open = SliderDrive {
            crank: Sized { size: Size::Between { lo: 1.0, hi: 1e4 }, ..said.crank },
            rod: Sized { size: Size::Free, ..said.rod },
            ..said.clone()
        };
        let found = solve_slider_crank(&wish(&open, motor, slide, asked)).ok()?.best.mechanism;
        let long = match self.limb.joint {
            Joint::Slide { from, to } => from.distance(to),
            Joint::Pivot { .. } => return None,
        };
        // As they are told they must do it too.
        let near = |v: Mm, by: f64| {
            let mark = Size::Free.marked_length(v, self.figure.system);
            [0.0, -1.0, 1.0, -2.0, 2.0].map(|n| mark + Mm(n * by))
        };
        let step = if self.figure.system == System::Inch { 25.4 / 32.0 } else { 0.5 };
        let (cranks, rods) = (near(found.crank(), step), near(found.rod(), step));
        let both = cranks.into_iter().flat_map(|c| rods.map(|r| (c, r)));
        let does = |&lengths: &(Mm, Mm)| {
            let made = SliderCrank::new(motor, slide, lengths, found.side());
            made.is_ok_and(|made| {
                let cycle = made.analyse();
                let travel = &cycle.course.travel;
                cycle.crank_turns_fully && asked.met(travel) && inside(travel, long)
            })
        };
        let (crank, rod) = both.into_iter().find(does)?;
        let system = self.figure.system;
        Some(format!("crank {}, rod {} does it.", length(crank, system), length(rod, system)))
    }

    /// Whether a stroke stays on its guide.
    pub(super) fn in_guide(&mut self, place: Place, travel: &Travel, guided: &Guided) {
        let Travel::Stroke(l) = travel else { return };
        let beyond = (-l.low.0).max((l.high - guided.long).0);
        if beyond < DRAWN.0 {
            return;
        }
        let system = self.figure.system;
        let message = format!(
            "{} slides from {} to {}, and its guide is {} long: it leaves it by {}.",
            self.name(),
            print::fine_in(l.low, system),
            fine(l.high, system),
            length(guided.long, system),
            fine(Mm(beyond), system)
        );
        self.report(&codes::LEAVES_GUIDE, place, message).help =
            Some("draw the guide longer, or move what drives it along it.".to_owned());
        self.works([
            Step::given("lowest place", fine(l.low, system)),
            Step::given("highest place", fine(l.high, system)),
            Step::given("length of the guide", fine(guided.long, system)),
            Step::given("beyond an end of it", fine(Mm(beyond), system)),
        ]);
    }
}

/// A guide drawn to a tenth of a millimetre is as long as a stroke that is no more than
/// half of that longer (common practice, no source: nobody marks out finer).
pub(super) const DRAWN: Mm = Mm(0.05);

/// The same with the sizes a maker marks out.
fn drilled(said: &SliderDrive, exact: &SliderCrank) -> Option<SliderCrank> {
    let mark = |of: &Sized, length: Mm| of.size.marked_length(length, of.system);
    let lengths = (mark(&said.crank, exact.crank()), mark(&said.rod, exact.rod()));
    SliderCrank::new(exact.motor(), exact.slide(), lengths, exact.side()).ok()
}

/// Whether a stroke stays on a guide of this length.
pub(super) fn inside(travel: &Travel, long: Mm) -> bool {
    travel.stroke().is_some_and(|l| (-l.low).max(l.high - long) < DRAWN)
}

/// Where the guide lies, and what of the line its rod's pin runs on is said in numbers.
#[derive(Clone, Copy)]
struct Marked {
    /// The limb's guide, as it leans.
    guide: Slide,
    /// Whether the shaft's place beside the pin's line is said.
    offset: bool,
    /// How far the guide leans from the line it is drawn on, where that is said.
    tilt: Option<Deg>,
}

impl Marked {
    /// How far the guide of a mechanism leans, where that is said.
    fn leans(self, made: &SliderCrank) -> Option<Deg> {
        Some(self.tilt? + made.slide().along.from(self.guide.along).deg())
    }
}

/// How it is made: crank and rod, what is said of the line its rod's pin runs on, and where
/// motor and guide stand. How far motor and guide are beside each other counts in the builds
/// by their places, and the direction of a guide by the two ends that are marked out.
fn recipe(made: &SliderCrank, marked: Marked) -> Recipe {
    let made = *made;
    let mut dimensions =
        vec![Dimension::length("crank", made.crank()), Dimension::length("rod", made.rod())];
    let offset = marked.offset.then(|| Dimension::offset("offset", made.offset()).spared());
    let tilt = marked.leans(&made).map(|t| Dimension::angle(builds::TILT, t).spared());
    dimensions.extend(offset.into_iter().chain(tilt));
    dimensions.extend(builds::place(builds::MOTOR, made.motor()));
    dimensions.extend(builds::place(builds::GUIDE, marked.guide.from));
    Recipe::new(dimensions, move |v| {
        let made = of_values(v, (&made, marked))?;
        Some((Arc::new(made), Way::Shaft(Shaft::turning(made.motor()))))
    })
}

fn of_values(v: &[f64], (drawn, marked): (&SliderCrank, Marked)) -> Option<SliderCrank> {
    let &[crank, rod, ref said @ .., mx, my, gx, gy] = v else { return None };
    let mut said = said.iter();
    let offset = if marked.offset { Some(Mm(*said.next()?)) } else { None };
    let mut slide = drawn.slide();
    if let Some(leans) = marked.leans(drawn) {
        slide.along = slide.along.turned(Dir::degrees(Deg(*said.next()?) - leans));
    }
    if offset.is_some() {
        // Beside the shaft as drawn: a motor out of its place does not move the guide.
        let guide = Slide { along: slide.along, ..marked.guide };
        slide = pin_line(&Guided { shaft: drawn.motor(), guide, long: Mm(0.0) }, offset);
    }
    slide.from = slide.from + (BoardPoint::mm(gx, gy) - marked.guide.from);
    let lengths = (Mm(crank), Mm(rod));
    SliderCrank::new(BoardPoint::mm(mx, my), slide, lengths, drawn.side()).ok()
}

/// The line the rod's pin runs on: the guide's own, or beside it so that the shaft
/// lies `offset` to its left.
fn pin_line(guided: &Guided, offset: Option<Mm>) -> Slide {
    let Some(offset) = offset else { return guided.guide };
    let along = guided.guide.along;
    let by = guided.left() - offset;
    let from = guided.guide.from + Vector::polar(by, along.turned(Dir::NORTH));
    Slide { from, along }
}

/// The side on which the guide lies.
fn likely(guided: &Guided) -> Side {
    if guided.ahead() >= 0.0 { Side::Ahead } else { Side::Behind }
}

/// The side on which the stroke comes nearer to what is asked.
fn nearer<E>(
    asked: &Motion<'_>,
    make: &impl Fn(Side) -> Result<SliderCrank, E>,
    guided: &Guided,
) -> Side {
    let miss = |side| {
        let cycle = make(side).ok()?.analyse();
        let (low, high) = asked.told(&cycle.course.travel);
        Some((low + high - asked.from - asked.to).abs())
    };
    match (miss(Side::Ahead), miss(Side::Behind)) {
        (Some(a), Some(b)) if b < a => Side::Behind,
        (Some(_), _) => Side::Ahead,
        _ => likely(guided),
    }
}

fn wish(said: &SliderDrive, motor: BoardPoint, slide: Slide, asked: &Motion<'_>) -> SliderWish {
    SliderWish {
        motor,
        slide,
        crank: said.crank.size,
        rod: said.rod.size,
        side: said.side,
        stroke: asked.stroke(),
        within: Some(Mm(asked.within)),
        prefer: said.prefer,
        error: BUILD_ERROR,
    }
}
