//! What a compile found out, as the plain data the commands show.

use std::sync::Arc;

use super::sizes;
use super::solve::{Answer, OpenSize, Question};
use crate::check::Compiled;
use crate::emit::hole_chart::HoleChart;
use crate::finding::Place;
use crate::fit::builds::{self, Recipe};
use crate::fit::chart::{self, Rows};
use crate::fit::{
    Fitted, FittedDrive, FittedFigure, FittedFourBar, FittedServo, FittedSize, FittedSpin,
    SizeName, asked as range_asked,
};
use crate::geometry::BoardPoint;
use crate::mechanism::solve::ServoChoice;
use crate::mechanism::{Analysis, FourBar, Size, Travel};
use crate::model::{Action, Actuator, DriveKind, FourBarDrive, Limb, Pin, Placed};
use crate::units::{Deg, Kg, Mm, Share, System};
use crate::watch::{Fact, LimbFacts};

/// A limb with what holds it and what was made of it.
#[derive(Clone, Copy)]
pub struct LimbView<'a> {
    /// Its figure in the yard.
    pub placed: &'a Placed,
    /// The limb.
    pub limb: &'a Limb,
    /// Its mechanism, where there is one.
    pub fitted: Option<&'a Fitted>,
    /// The angle on the board of what carries it with its motor, where its own angles count
    /// from there; else nought.
    pub at_rest: Deg,
    /// Its motor and the place that was found for it, for the first limb it moves.
    pub found: Option<(&'a Actuator, BoardPoint)>,
    /// Whether that is where it comes to from the figure that this one is a scaled copy of.
    pub scaled: bool,
    /// The counterweight that was found, where it was asked for.
    pub counterweight: Option<Kg>,
}

impl LimbView<'_> {
    /// `figure.limb`.
    #[must_use]
    pub fn name(&self) -> String {
        format!("{}.{}", self.placed.name.value, self.limb.name.value)
    }

    /// Its rod and lever as written.
    #[must_use]
    pub fn written(&self) -> Option<&FourBarDrive> {
        self.limb.drive.as_ref()?.mechanism.bars()
    }
}

/// Every limb of the yard in file order.
pub fn limbs(compiled: &Compiled) -> impl Iterator<Item = LimbView<'_>> {
    let figures = compiled.yard.figures.iter().zip(&compiled.figures).zip(&compiled.loads);
    figures.flat_map(move |((placed, fitted), loaded)| {
        let limbs = placed.figure.limbs.iter().zip(&fitted.limbs).enumerate();
        limbs.map(move |(index, (limb, fit))| LimbView {
            placed,
            limb,
            fitted: fit.mechanism.as_ref(),
            at_rest: fit.riding.as_ref().map_or(Deg(0.0), |r| r.at_rest),
            found: found(placed, fitted, index),
            scaled: scaled(compiled, placed, fitted, index),
            counterweight: loaded.limbs[index].counterweight,
        })
    })
}

/// The motor of a limb whose place was found, where the limb is the first it moves.
fn found<'a>(
    placed: &'a Placed,
    fitted: &FittedFigure,
    limb: usize,
) -> Option<(&'a Actuator, BoardPoint)> {
    let figure = &placed.figure;
    let motor = figure.motor_of(limb)?;
    let first = figure.driven_by(motor).next() == Some(limb);
    Some((&figure.actuators[motor], fitted.place_of(motor).filter(|_| first)?))
}

/// Whether what was found for a motor of a scaled copy is where the place found for the
/// original's comes to: then the text that holds both needs but one answer.
fn scaled(compiled: &Compiled, placed: &Placed, fitted: &FittedFigure, limb: usize) -> bool {
    let scaled = || {
        let (base, scale) = placed.figure.like.as_ref().filter(|(_, s)| *s != Share(1.0))?;
        let all = compiled.yard.figures.iter().zip(&compiled.figures);
        let (original, theirs) = all.into_iter().find(|(p, _)| p.name.value == *base)?;
        let name = &placed.figure.limbs[limb].name.value;
        let (_, at) = found(original, theirs, original.figure.limb(name)?)?;
        let (_, own) = found(placed, fitted, limb)?;
        let there = BoardPoint::mm(at.x * scale.0, at.y * scale.0);
        Some(own.distance(there) <= MARK)
    };
    scaled().unwrap_or(false)
}

/// Places nearer than this are one pencil mark.
const MARK: Mm = Mm(1.5);

/// The place found for a limb's motor, as an open size of it.
fn place(view: &LimbView<'_>, asked: Option<System>) -> Option<OpenSize> {
    let (actuator, at) = view.found?;
    let open = actuator.at_open?;
    let text = |system| sizes::place((at.x, at.y), system);
    Some(OpenSize {
        name: "motor",
        found: Some(text(view.placed.figure.system)),
        shown: asked.map(text),
        // All of it goes: where it might be is no longer asked.
        ask: Some(open.place).filter(|_| !view.scaled),
        follows: view.scaled.then_some("scaled"),
    })
}

/// Told of what is the image of what was found for another limb.
fn mirrored(view: &LimbView<'_>) -> Option<&'static str> {
    view.limb.mirrors.is_some().then_some("mirrored")
}

/// The angle of a crank pin on a shared motor, where it is open.
fn pin(view: &LimbView<'_>) -> Option<OpenSize> {
    let drive = view.limb.drive.as_ref()?;
    if matches!(drive.pin, Pin::At(_)) {
        return None;
    }
    Some(OpenSize {
        name: "pin",
        found: view.fitted.and_then(Fitted::pin).map(|at| sizes::angle(at.0)),
        shown: None,
        ask: drive.pin_said.and_then(|s| s.ask),
        follows: mirrored(view),
    })
}

/// The counterweight a limb asks for.
fn counterweight(view: &LimbView<'_>) -> Option<OpenSize> {
    let open = view.limb.build.counterweight.as_ref()?.open.as_ref()?;
    let ask = open.value.ask.map_or(open.place, |(lo, hi)| Place { item: open.place.item, lo, hi });
    let found = view.counterweight.map(crate::loads::counterweight::written);
    Some(OpenSize { name: "counterweight", found, shown: None, ask: Some(ask), follows: None })
}

/// The numbers `watch` tells changes of, in the household asked for or the figure's.
#[must_use]
pub fn facts(figure: &FittedFigure, asked: Option<System>) -> Arc<Vec<LimbFacts>> {
    let limbs = figure.figure.limbs.iter().zip(&figure.limbs);
    let system = asked.unwrap_or(figure.figure.system);
    let told = limbs.filter_map(|(limb, fit)| {
        let facts = of_mechanism(fit.mechanism.as_ref()?, system);
        Some(LimbFacts { limb: limb.name.value.clone(), facts })
    });
    Arc::new(told.collect())
}

fn of_mechanism(fitted: &Fitted, system: System) -> Vec<Fact> {
    let deg = |name, value: Deg| Fact { name, value: value.0, unit: "deg", digits: 1 };
    match fitted {
        Fitted::FourBar(four) => of_four_bar(&four.drilled, &four.as_drilled, system),
        Fitted::Servo(servo) => vec![
            deg("swing", servo.high - servo.low),
            deg("from", servo.low),
            deg("to", servo.high),
        ],
        Fitted::Drive(drive) => of_drive(drive, system),
        Fitted::Spin(spin) => {
            vec![Fact { name: "turns per motor turn", value: spin.ratio, unit: "", digits: 3 }]
        }
    }
}

/// A length in the household's unit.
fn length_fact(name: &'static str, value: Mm, system: System) -> Fact {
    match system {
        System::Inch => Fact { name, value: value.0 / 25.4, unit: "in", digits: 2 },
        System::Metric | System::Both => Fact { name, value: value.0, unit: "mm", digits: 1 },
    }
}

/// Motion, push and sizes of any other kind, as drilled.
fn of_drive(drive: &FittedDrive, system: System) -> Vec<Fact> {
    let deg = |name, value: Deg| Fact { name, value: value.0, unit: "deg", digits: 1 };
    let mm = |name, value: Mm| length_fact(name, value, system);
    let course = &drive.drilled.course;
    let mut facts = match &course.travel {
        Travel::Swing(l) => vec![
            deg("swing", l.range()),
            deg("from", l.low),
            deg("to", l.high),
            deg("worst push", course.worst_push),
        ],
        Travel::Stroke(l) => vec![
            mm("stroke", l.range()),
            mm("from", l.low),
            mm("to", l.high),
            deg("worst push", course.worst_push),
        ],
    };
    facts.extend(drive.sizes.iter().map(|s| {
        let name = s.name.word();
        if s.name.is_angle() { deg(name, Deg(s.drilled)) } else { mm(name, Mm(s.drilled)) }
    }));
    facts
}

/// What people see of it: the swing of the sizes as drilled, then the sizes.
fn of_four_bar(drilled: &FourBar, does: &Analysis, system: System) -> Vec<Fact> {
    let deg = |name, value: Deg| Fact { name, value: value.0, unit: "deg", digits: 1 };
    let size = |name, value: Mm| length_fact(name, value, system);
    let mut facts = Vec::new();
    if let Some(motion) = does.motion {
        facts.push(deg("swing", motion.sweep));
        facts.extend(motion.low.map(|low| deg("from", low)));
        facts.extend(motion.high.map(|high| deg("to", high)));
        facts.push(deg("worst push", motion.min_transmission));
    }
    let bars = drilled.bars();
    facts.extend([size("crank", bars.crank), size("rod", bars.rod), size("lever", bars.lever)]);
    facts.push(deg("clamp", drilled.clamp()));
    facts
}

/// Every limb with open sizes and what was found for it, shown in the household
/// asked for or the limb's own.
#[must_use]
pub fn questions(compiled: &Compiled, asked: Option<System>) -> Vec<Question> {
    limbs(compiled).filter_map(|view| question(&view, asked)).collect()
}

fn question(view: &LimbView<'_>, asked: Option<System>) -> Option<Question> {
    if let Some(Fitted::Spin(spin)) = view.fitted {
        return question_of_spin(view, spin, asked);
    }
    if let Some(drive) = view.fitted.and_then(Fitted::as_drive) {
        return question_of_drive(view, drive, asked);
    }
    let system = asked.unwrap_or(view.placed.figure.system);
    let zero = zero(view);
    let Some(drive) = view.written() else {
        let place = place(view, asked).into_iter();
        let open: Vec<OpenSize> = place.chain(counterweight(view)).chain(zero).collect();
        let limb = view.name();
        return (!open.is_empty()).then(|| Question {
            limb,
            system,
            open,
            answers: Vec::new(),
            taken: Default::default(),
        });
    };
    let built = match view.fitted {
        Some(Fitted::FourBar(four)) => Some(four.drilled),
        Some(Fitted::Servo(servo)) => servo.linkage,
        _ => None,
    };
    let bars = built.map(|b| b.bars());
    let all = [
        ("crank", &drive.crank, bars.map(|b| b.crank)),
        ("rod", &drive.rod, bars.map(|b| b.rod)),
        ("lever", &drive.lever, bars.map(|b| b.lever)),
        ("at", &drive.clamp, None),
    ];
    let sizes = all.into_iter().filter(|(_, sized, _)| !matches!(sized.size, Size::Given(_))).map(
        |(name, sized, length)| {
            let (found, shown) = match length {
                Some(Mm(mm)) => {
                    let own = sizes::length(mm, sized.system);
                    (Some(own), asked.map(|asked| sizes::length(mm, asked)))
                }
                // The clamp is the only size that is no length.
                None if name == "at" => (built.map(|b| sizes::angle(b.clamp().0)), None),
                None => (None, None),
            };
            OpenSize { name, found, shown, ask: sized.ask, follows: None }
        },
    );
    let open: Vec<OpenSize> = place(view, asked)
        .into_iter()
        .chain(pin(view))
        .chain(counterweight(view))
        .chain(sizes)
        .chain(zero)
        .collect();
    if open.is_empty() {
        return None;
    }
    let answers = match view.fitted {
        Some(Fitted::FourBar(four)) => answers(view, drive, four),
        Some(Fitted::Servo(servo)) => servo_answers(servo, view.at_rest),
        _ => built.and_then(|b| answer(&b, None)).into_iter().collect(),
    };
    let answers = answers.into_iter().map(|a| in_makers_turn(a, view.limb)).collect();
    let taken = match view.fitted {
        Some(Fitted::FourBar(four)) => builds::taken(view.limb, &Recipe::of_bar(&four.drilled)),
        _ => Default::default(),
    };
    Some(Question { limb: view.name(), system, open, answers, taken })
}

/// The open place of a motor and the open length of a belt or chain: one answer.
fn question_of_spin(
    view: &LimbView<'_>,
    spin: &FittedSpin,
    asked: Option<System>,
) -> Option<Question> {
    let length = spin.length.filter(FittedSize::solved).map(|l| OpenSize {
        name: l.name.word(),
        found: Some(sizes::length(l.exact, l.system())),
        shown: asked.map(|asked| sizes::length(l.exact, asked)),
        ask: l.ask(),
        follows: None,
    });
    let open: Vec<OpenSize> = place(view, asked)
        .into_iter()
        .chain(pin(view))
        .chain(counterweight(view))
        .chain(length)
        .collect();
    let system = asked.unwrap_or(view.placed.figure.system);
    (!open.is_empty()).then(|| Question {
        limb: view.name(),
        system,
        open,
        answers: Vec::new(),
        taken: Default::default(),
    })
}

/// The open sizes of any other kind, as drilled, and its answers.
fn question_of_drive(
    view: &LimbView<'_>,
    drive: &FittedDrive,
    asked: Option<System>,
) -> Option<Question> {
    let anchor = drive.anchor_found().map(|at| (at.x, at.y));
    let text = |s: &FittedSize, system| match s.name {
        // An anchor is looked for as a place: its distance is not what is written.
        SizeName::Ground => anchor.map_or_else(String::new, |at| sizes::place(at, system)),
        name if name.is_angle() => sizes::angle(s.drilled),
        _ => sizes::length(s.drilled, system),
    };
    let open = drive.sizes.iter().filter(|s| s.solved()).map(|s| OpenSize {
        name: if s.name.is_angle() { "at" } else { s.name.word() },
        found: Some(text(s, s.system())),
        shown: asked.filter(|_| !s.name.is_angle()).map(|asked| text(s, asked)),
        ask: s.ask(),
        follows: mirrored(view).filter(|_| s.name == SizeName::Ground),
    });
    let open: Vec<OpenSize> = place(view, asked)
        .into_iter()
        .chain(pin(view))
        .chain(counterweight(view))
        .chain(open)
        .collect();
    if open.is_empty() {
        return None;
    }
    let (low, high, slides) = match &drive.drilled.course.travel {
        Travel::Swing(l) => (l.low.0, l.high.0, false),
        Travel::Stroke(l) => (l.low.0, l.high.0, true),
    };
    let named = |values: &mut dyn Iterator<Item = f64>| {
        drive.sizes.iter().map(|s| s.name).zip(values).collect()
    };
    let chosen = Answer {
        sizes: named(&mut drive.sizes.iter().map(|s| s.drilled)),
        at: anchor.filter(|_| drive.others.iter().all(|o| o.at.is_some())),
        slides,
        low,
        high,
        push: drive.drilled.course.worst_push.0,
        fit: drive.fit.or_else(|| {
            // Of some kinds builds are counted only where they are asked for.
            let counted = drive.sizes.iter().any(FittedSize::solved);
            counted.then(|| builds::share(view.limb, drive.recipe.as_ref()?)).flatten()
        }),
        speed: drive.speed(),
        time_ratio: drive.drilled.course.time_ratio,
    };
    let others = drive.others.iter().map(|o| Answer {
        sizes: named(&mut o.sizes.iter().copied()),
        at: o.at.map(|at| (at.x, at.y)),
        slides,
        low: o.low,
        high: o.high,
        push: o.push.0,
        fit: o.share(view.limb),
        speed: o.speed,
        time_ratio: o.time_ratio,
    });
    let system = asked.unwrap_or(view.placed.figure.system);
    let answers = std::iter::once(chosen).chain(others);
    let answers = answers.map(|a| in_makers_turn(a, view.limb)).collect();
    let recipe = drive.recipe.as_ref();
    let taken = recipe.map(|r| builds::taken(view.limb, r)).unwrap_or_default();
    Some(Question { limb: view.name(), system, open, answers, taken })
}

/// The ends in the turn of the circle that the maker speaks of: 200 to 250 deg is not
/// -160 to -110.
fn in_makers_turn(answer: Answer, limb: &Limb) -> Answer {
    if answer.slides {
        return answer;
    }
    let turn = to_makers_turn((answer.low + answer.high) / 2.0, limb);
    Answer { low: answer.low + turn, high: answer.high + turn, ..answer }
}

/// Whole turns, in degrees, that bring a middle to where the limb's gestures tell it.
fn to_makers_turn(middle: f64, limb: &Limb) -> f64 {
    let said = limb.gestures.iter().find_map(|g| match &g.action {
        Action::Sweep { from, to, .. } if !g.relative => Some((from.value + to.value) / 2.0),
        Action::Turn { to, .. } | Action::Pose(to) => Some(to.value),
        _ => None,
    });
    said.map_or(0.0, |said| 360.0 * libm::round((said.0 - middle) / 360.0))
}

/// The limb's angle at its servo's own 0, where it is open.
fn zero(view: &LimbView<'_>) -> Option<OpenSize> {
    let DriveKind::Servo(said) = &view.limb.drive.as_ref()?.mechanism else { return None };
    let found = match view.fitted {
        Some(Fitted::Servo(servo)) => servo.zero,
        _ => None,
    };
    let asked = said.zero.place.is_some() && said.zero.is_open();
    (asked || found.is_some()).then(|| OpenSize {
        name: SizeName::Zero.word(),
        found: found.map(|at| sizes::angle((at + view.at_rest).0)),
        shown: None,
        ask: said.zero.ask,
        follows: mirrored(view),
    })
}

/// What was found for a servo's rod, then the next best: how far each goes is how far
/// the servo's travel takes it.
fn servo_answers(servo: &FittedServo, at_rest: Deg) -> Vec<Answer> {
    let Some(answer) = servo.answer.as_deref() else { return Vec::new() };
    let row = |choice: &ServoChoice| {
        let bars = choice.linkage.bars();
        let zero = servo.zero.map(|_| (SizeName::Zero, (choice.zero + at_rest).0));
        let lengths = [
            (SizeName::Crank, bars.crank.0),
            (SizeName::Lever, bars.lever.0),
            (SizeName::Rod, bars.rod.0),
            (SizeName::Clamp, choice.linkage.clamp().0),
        ];
        Answer {
            sizes: lengths.into_iter().chain(zero).collect(),
            at: None,
            slides: false,
            low: choice.used.0.0,
            high: choice.used.1.0,
            push: choice.push.0,
            fit: Some(choice.fit.0),
            speed: servo.speed_of(choice),
            time_ratio: None,
        }
    };
    std::iter::once(&answer.best).chain(&answer.others).map(row).collect()
}

/// The chosen linkage, then the next best, all as drilled.
fn answers(view: &LimbView<'_>, said: &FourBarDrive, four: &FittedFourBar) -> Vec<Answer> {
    let row = |bar: &FourBar| {
        let share = builds::share(view.limb, &Recipe::of_bar(bar));
        answer(bar, four.answer.as_ref().and(share))
    };
    let others = four.answer.as_deref().map(|a| a.others.as_slice()).unwrap_or_default();
    let system = view.placed.figure.system;
    let others = others.iter().filter_map(|c| row(&marked(said, &c.linkage, system)?));
    row(&four.drilled).into_iter().chain(others).collect()
}

/// A linkage with the sizes that a maker marks out.
fn marked(said: &FourBarDrive, exact: &FourBar, system: System) -> Option<FourBar> {
    let bars = exact.bars();
    let lengths = (
        said.crank.size.marked_length(bars.crank, system),
        said.rod.size.marked_length(bars.rod, system),
        said.lever.size.marked_length(bars.lever, system),
    );
    let clamp = said.clamp.size.marked_angle(exact.clamp());
    FourBar::new((exact.motor(), exact.pivot()), lengths, clamp, exact.assembly()).ok()
}

fn answer(linkage: &FourBar, fit: Option<f64>) -> Option<Answer> {
    let motion = linkage.analyse().motion?;
    let bars = linkage.bars();
    Some(Answer {
        sizes: vec![
            (SizeName::Crank, bars.crank.0),
            (SizeName::Lever, bars.lever.0),
            (SizeName::Rod, bars.rod.0),
            (SizeName::Clamp, linkage.clamp().0),
        ],
        at: None,
        slides: false,
        low: motion.low?.0,
        high: motion.high?.0,
        push: motion.min_transmission.0,
        fit,
        speed: motion.max_speed_ratio,
        time_ratio: motion.time_ratio,
    })
}

/// The hole chart of a limb, shown in the household asked for or the figure's.
///
/// # Errors
/// A sentence where the limb has no holes to chart.
pub fn chart(view: &LimbView<'_>, asked: Option<System>) -> Result<HoleChart, String> {
    let name = view.name();
    let fitted = match view.fitted {
        Some(fitted) => fitted,
        None if view.limb.drive.is_none() => {
            return Err(format!("{name} has no drive, so there are no holes to chart."));
        }
        None => {
            return Err(format!("{name} could not be worked out; `yardwright check` says why."));
        }
    };
    let system = view.placed.figure.system;
    let written = view.written().map_or((None, None), |w| (Some(&w.crank), Some(&w.lever)));
    // What gestures ask a servo for; its whole reach where they do not.
    let asks = match fitted {
        Fitted::Servo(s) if !view.limb.gestures.is_empty() => {
            Some(range_asked(view.limb, Some(s), (s.low, s.high)))
        }
        _ => None,
    };
    let near = chart::near(view.limb);
    let rows = Rows { crank: motor_holes(view), system, asked: asks, near };
    match chart::chart(fitted, written, rows) {
        Ok(chart) => Ok(HoleChart {
            limb: name,
            system: asked.unwrap_or(system),
            strict: asked.is_some(),
            chart,
        }),
        Err(instead) => Err(format!("{name} {instead}.")),
    }
}

/// The row of holes the limb's motor comes with.
fn motor_holes(view: &LimbView<'_>) -> Option<(Mm, Mm, Mm)> {
    let figure = &view.placed.figure;
    let at = figure.limb(&view.limb.name.value)?;
    figure.actuators.get(figure.motor_of(at)?)?.motor.crank_holes
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::geometry::BoardPoint;
    use crate::mechanism::Assembly;

    /// Ground 200, rod 180, lever 80: with crank 30 a crank-rocker (shortest 30 +
    /// longest 200 < 180 + 80).
    fn built(crank: f64) -> FourBar {
        let ends = (BoardPoint::mm(0.0, 0.0), BoardPoint::mm(200.0, 0.0));
        FourBar::new(ends, (Mm(crank), Mm(180.0), Mm(80.0)), Deg(0.0), Assembly::Open).unwrap()
    }

    #[test]
    fn what_changes_is_told_in_words_people_know() {
        let linkage = built(30.0);
        let facts = of_four_bar(&linkage, &linkage.analyse(), System::Metric);
        let names: Vec<&str> = facts.iter().map(|f| f.name).collect();
        let want = ["swing", "from", "to", "worst push", "crank", "rod", "lever", "clamp"];
        assert_eq!(names, want);
    }
}
