//! Crank, rod and lever: open sizes found, the whole linkage analysed and checked.

use super::builds::Recipe;
use super::checks::Found;
use super::{Bench, Fitted, FittedFourBar, board, codes, sweeps};
use crate::finding::Step;
use crate::geometry::BoardPoint;
use crate::mechanism::solve::{self, Answer, Size, Sizes, Wish};
use crate::mechanism::{Assembly, FourBar, Shaft};
use crate::model::{Action, Drive, FourBarDrive, Gesture, Joint, MotorKind, Note};
use crate::units::print::decimal;
use crate::units::{Deg, Mm};

/// The swing a limb is asked for.
#[derive(Clone, Copy)]
pub(super) struct Asked<'a> {
    /// The gesture that asks.
    pub gesture: &'a Gesture,
    /// The lower end.
    pub from: Deg,
    /// The upper end.
    pub to: Deg,
    /// How much swing and ends may miss.
    pub within: Deg,
}

impl Asked<'_> {
    /// The swing asked for.
    pub fn swing(&self) -> Deg {
        self.to - self.from
    }
}

impl<'a> Bench<'a> {
    pub(super) fn four_bar(
        &mut self,
        drive: &Drive,
        said: &FourBarDrive,
        motor: usize,
    ) -> Option<Fitted> {
        self.refuse_gestures(
            "a crank",
            |a| matches!(a, Action::Sweep { .. } | Action::On | Action::Off),
            "`sweep A to B  cycle T`",
        );
        let centres = self.centres(motor)?;
        let asked = self.asked();
        let (mut exact, mut drilled, answer) = self.sizes(drive, said, centres, asked)?;
        if let Some(built) = self.built_bar(&drilled, said) {
            (exact, drilled) = (built, built);
        }
        let (analysis, as_drilled) = (exact.analyse(), drilled.analyse());
        let turns = matches!(
            self.figure.actuators[motor].motor.kind,
            MotorKind::Brushed | MotorKind::Synchronous | MotorKind::Spool
        );
        let before = self.errors();
        if turns {
            self.check_linkage(&Found {
                drive,
                said,
                linkage: &exact,
                analysis: &analysis,
                asked,
                solved: answer.as_deref(),
            });
        }
        let figures = self.carried(drive.place, &exact);
        if !figures.is_empty() {
            self.drawn_on_carrier();
        }
        let pin = super::pin(drive);
        Some(Fitted::FourBar(Box::new(FittedFourBar {
            exact,
            analysis,
            drilled,
            as_drilled,
            solved: open_names(said),
            answer,
            shaft: Shaft::turning(exact.motor()),
            pin,
            figures,
            faulty: self.errors() > before,
        })))
    }

    /// The linkage as built, where something was measured on it.
    fn built_bar(&mut self, drawn: &FourBar, said: &FourBarDrive) -> Option<FourBar> {
        let built = self.as_built(&Recipe::of_bar(drawn), &open_names(said))?;
        let bar = match built.values[..] {
            [crank, rod, lever, clamp, ..] => FourBar::new(
                (drawn.motor(), drawn.pivot()),
                (Mm(crank), Mm(rod), Mm(lever)),
                Deg(clamp),
                drawn.assembly(),
            ),
            _ => return None,
        };
        self.as_built = Some(built);
        bar.ok()
    }

    /// Motor shaft and limb pivot, where both are known.
    pub(super) fn centres(&mut self, motor: usize) -> Option<(BoardPoint, BoardPoint)> {
        let pivot = match &self.limb.joint {
            Joint::Pivot { at, .. } => *at,
            Joint::Slide { .. } => None,
        };
        match (self.figure.actuators[motor].at, pivot) {
            (Some(shaft), Some(pivot)) => Some((shaft, pivot)),
            (shaft, _) => {
                let what = if shaft.is_none() { "motor's place" } else { "pivot's place" };
                self.not_checked.push(Note::new(
                    format!("mechanism ({what} is not known)"),
                    if shaft.is_none() { "motor NAME at (x, y) mm" } else { "pivot (x, y) mm" },
                ));
                None
            }
        }
    }

    /// The first sweep; others must ask for the same ends.
    fn asked(&mut self) -> Option<Asked<'a>> {
        let limb = self.limb;
        let mut all = sweeps(limb);
        let (gesture, from, to, within) = all.next()?;
        let swing = (to - from).abs();
        let within = within.unwrap_or_else(|| solve::usual_tolerance(swing));
        let (from, to) = (from.min(to), from.max(to));
        let others: Vec<_> = all
            .filter(|(_, a, b, _)| {
                (a.min(*b) - from).abs() > within || (a.max(*b) - to).abs() > within
            })
            .map(|(g, a, b, _)| (g, a, b))
            .collect();
        for (other, a, b) in others {
            let message = format!(
                "`{}` asks for {} to {} deg, but `{}` already fixed this linkage's swing at {} to {} deg.",
                other.name.value,
                decimal(a.0, 1),
                decimal(b.0, 1),
                gesture.name.value,
                decimal(from.0, 1),
                decimal(to.0, 1)
            );
            let first = gesture.name.place;
            let found = self.report(&codes::ONE_SWING_ONLY, other.place, message);
            found.related.push(("this one comes first".to_owned(), first));
            found.help = Some(
                "ask for the same angles at another speed, or drive this limb with a servo."
                    .to_owned(),
            );
            let ends = |a: f64, b: f64| format!("{} to {} deg", decimal(a, 2), decimal(b, 2));
            self.works([
                Step::given("ends that come first", ends(from.0, to.0)),
                Step::given("ends asked for here", ends(a.0, b.0)),
            ]);
        }
        Some(Asked { gesture, from, to, within })
    }

    /// The sizes, exact and as drilled: as given, or found.
    fn sizes(
        &mut self,
        drive: &Drive,
        said: &FourBarDrive,
        centres: (BoardPoint, BoardPoint),
        asked: Option<Asked<'a>>,
    ) -> Option<(FourBar, FourBar, Option<Box<Answer>>)> {
        let given = [said.crank, said.rod, said.lever, said.clamp].map(|s| match s.size {
            Size::Given(v) => Some(v),
            _ => None,
        });
        if let [Some(crank), Some(rod), Some(lever), Some(clamp)] = given {
            // An image is put together as the image of what it mirrors.
            let image = || self.mirrored(centres).map(|(exact, ..)| exact.assembly());
            let assembly = said.assembly.or_else(image).unwrap_or_else(|| {
                likelier(centres, (Mm(crank), Mm(rod), Mm(lever)), Deg(clamp), asked)
            });
            return match FourBar::new(
                centres,
                (Mm(crank), Mm(rod), Mm(lever)),
                Deg(clamp),
                assembly,
            ) {
                Ok(linkage) => Some((linkage, linkage, None)),
                Err(_) => {
                    self.centres_meet(drive.place, [crank, rod, lever]);
                    None
                }
            };
        }
        let Some(asked) = asked else {
            let open = open_names(said).join(", ");
            self.not_checked.push(Note::new(
                format!("{open}: no gesture says how far it should swing"),
                "gesture wave { sweep A deg to B deg  cycle T }",
            ));
            return None;
        };
        if let Some(mirrored) = self.mirrored(centres) {
            return Some(mirrored);
        }
        let figure = self.figure;
        let rate = |linkage: &FourBar| board::rate(figure, linkage);
        let wish = Wish { rate: Some(&rate), ..self.wish(said, centres, asked) };
        match solve::solve(&wish) {
            Ok(answer) => {
                let (exact, drilled) = (answer.best.linkage, answer.drilled);
                Some((exact, drilled, Some(Box::new(answer))))
            }
            Err(no_fit) => {
                let no_fit = super::bar_holes::of_four_bar(said, &wish, *no_fit);
                self.no_fit(drive, said, centres, asked, &no_fit);
                None
            }
        }
    }
}

/// An answer with all its linkages seen in the mirror.
fn image(answer: &Answer, over: impl Fn(&FourBar) -> Option<FourBar>) -> Option<Box<Answer>> {
    let mut image = answer.clone();
    image.drilled = over(&answer.drilled)?;
    for choice in std::iter::once(&mut image.best).chain(&mut image.others) {
        choice.linkage = over(&choice.linkage)?;
    }
    (image.analysis, image.drilled_analysis) =
        (image.best.linkage.analyse(), image.drilled.analyse());
    Some(Box::new(image))
}

impl<'a> Bench<'a> {
    /// The answer found for the limb this one mirrors, seen in the mirror; `None`
    /// where it mirrors none or its motor is not the mirrored motor.
    fn mirrored(
        &self,
        centres: (BoardPoint, BoardPoint),
    ) -> Option<(FourBar, FourBar, Option<Box<Answer>>)> {
        let mirrors = self.limb.mirrors.as_ref()?;
        let fitted = self.done.get(self.figure.limb(&mirrors.limb)?)?.as_ref()?;
        let Fitted::FourBar(twin) = fitted.mechanism.as_ref()? else { return None };
        let near = |a: BoardPoint, b: BoardPoint| a.distance(b) < Mm(1e-6);
        if self.on_carrier() {
            fitted.riding.as_ref()?;
            // Turned over about the carrier's axis.
            let way = twin.exact.motor() - twin.exact.pivot();
            let motor = BoardPoint::mm(centres.1.x + way.x, centres.1.y - way.y);
            let over = |bar: &FourBar| {
                let (b, side) = (bar.bars(), bar.assembly().other());
                FourBar::new(centres, (b.crank, b.rod, b.lever), -bar.clamp(), side).ok()
            };
            let (exact, drilled) = (over(&twin.exact)?, over(&twin.drilled)?);
            let answer = twin.answer.as_deref().and_then(|a| image(a, over));
            return near(motor, centres.0).then_some((exact, drilled, answer));
        }
        let exact = twin.exact.mirrored(mirrors.line);
        (near(exact.motor(), centres.0) && near(exact.pivot(), centres.1)).then(|| {
            let over = |bar: &FourBar| Some(bar.mirrored(mirrors.line));
            let answer = twin.answer.as_deref().and_then(|a| image(a, over));
            (exact, twin.drilled.mirrored(mirrors.line), answer)
        })
    }

    /// The question put to the solver.
    fn wish(
        &self,
        said: &FourBarDrive,
        (motor, pivot): (BoardPoint, BoardPoint),
        asked: Asked<'_>,
    ) -> Wish<'static> {
        Wish {
            motor,
            pivot,
            sizes: Sizes {
                crank: said.crank.size,
                rod: said.rod.size,
                lever: said.lever.size,
                clamp: said.clamp.size,
            },
            sweep: (asked.from, asked.to),
            within: Some(asked.within),
            prefer: said.prefer,
            assembly: said.assembly,
            error: super::checks::BUILD_ERROR,
            system: self.figure.system,
            rate: None,
        }
    }
}

/// With every size given and no assembly said: the one whose swing comes nearer
/// to what is asked; open where nothing is asked.
pub(super) fn likelier(
    centres: (BoardPoint, BoardPoint),
    lengths: (Mm, Mm, Mm),
    clamp: Deg,
    asked: Option<Asked<'_>>,
) -> Assembly {
    let Some(asked) = asked else { return Assembly::Open };
    let miss = |assembly| {
        let motion = FourBar::new(centres, lengths, clamp, assembly).ok()?.analyse().motion?;
        let middle = motion.low? + motion.sweep / 2.0;
        Some((middle - (asked.from + asked.to) / 2.0).signed().abs())
    };
    match (miss(Assembly::Open), miss(Assembly::Crossed)) {
        (Some(open), Some(crossed)) if crossed < open => Assembly::Crossed,
        _ => Assembly::Open,
    }
}

/// The sizes of a linkage in the order of the reports.
pub(super) const BARS: [&str; 4] = ["crank", "rod", "lever", "clamp"];

/// Names of the sizes that were open.
fn open_names(said: &FourBarDrive) -> Vec<&'static str> {
    BARS.into_iter()
        .zip([said.crank, said.rod, said.lever, said.clamp])
        .filter(|(_, s)| !matches!(s.size, Size::Given(_)))
        .map(|(n, _)| n)
        .collect()
}
