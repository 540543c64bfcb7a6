//! Ram and air cylinder on a limb that slides.

use std::sync::Arc;

use super::asked::Motion;
use super::builds::{self, Dimension, Recipe};
use super::drive::{Built, FittedDrive, FittedSize, Other, SizeName};
use super::slider_crank::{Guided, SIDEWAYS};
use super::strut::{Fixed, Said};
use super::strut_recipe::{self, ANCHOR};
use super::strut_stands::{self, Stand};
use super::{Bench, Fitted, codes};
use crate::finding::{Severity, Step};
use crate::geometry::{BoardPoint, Dir, Vector};
use crate::mechanism::{
    Assembly, Course, Extending, Lengths, Limits, RamSlide, Size, Slide, Span, Strut, Travel, Way,
};
use crate::model::Note;
use crate::units::print::{decimal, length};
use crate::units::{Deg, Mm, print};

/// A strut and the guide its limb runs in.
struct Along<'a> {
    guide: Slide,
    long: Mm,
    /// Where the limb is with the strut drawn in, where nothing else says so: the
    /// lower end asked for, else the guide's first end.
    start: Mm,
    asked: Option<Motion<'a>>,
    /// Its pin in the limb: along the slide, and left of it.
    pin: [f64; 2],
    side: Assembly,
}

impl Along<'_> {
    /// Where the pin is with the limb so far along.
    fn pin_at(&self, way: Mm) -> BoardPoint {
        let along = Vector::polar(Mm(self.pin[0]) + way, self.guide.along);
        let left = Vector::polar(Mm(self.pin[1]), self.guide.along.turned(Dir::NORTH));
        self.guide.from + along + left
    }
}

impl<'a> Bench<'a> {
    pub(super) fn strut_on_slide(
        &mut self,
        said: &Said<'_>,
        (from, to): (BoardPoint, BoardPoint),
    ) -> Option<Fitted> {
        let before = self.errors();
        let guide = Slide::between(from, to)?;
        let asked = self.motion_asked();
        let fixed = self.strut_anchor(said, from)?;
        let long = from.distance(to);
        let start = Mm(asked.as_ref().map_or(0.0, |a| a.from));
        let (lever, pin) = pin(said);
        let side = said.strut.assembly.unwrap_or_else(|| match fixed {
            Fixed::At(at) => strut_stands::likely_side(guide, long, at),
            Fixed::Open(_) | Fixed::Unknown => Assembly::Open,
        });
        let mut along = Along { guide, long, start, asked, pin, side };
        let (anchor, lengths) = self.slide_lengths(said, &along, fixed)?;
        let found = self.stands(said, &along, fixed, lengths);
        let strut = match found.first() {
            Some(best) => {
                (along.pin, along.side) = (best.pin, best.side);
                best.ram
            }
            None => self.only_stand(said, &mut along, lever, (anchor, lengths))?,
        };
        let anchor = strut.anchor();
        let (pin, side) = (along.pin, along.side);
        let exact = Mm(libm::hypot(along.pin[0], along.pin[1]));
        let named = said.strut.lever.place.is_some();
        let size = || FittedSize::length(SizeName::Lever, exact, said.strut.lever);
        let mut sizes: Vec<FittedSize> = named.then(size).into_iter().collect();
        let open = said.anchor_open().is_some();
        sizes.extend(open.then(|| self.ground_size(said, (anchor, anchor), from)));
        let recipe = recipe(&Stand { ram: strut, pin, side }, lengths, guide);
        let others = self.other_stands(&found, &sizes, (lengths, &along));
        // What was measured on it is told and checked, not the drawing.
        let hangs = self.explained(&recipe, &sizes);
        let made = hangs.as_ref();
        let made =
            made.and_then(|b| of_values(&b.values, said.strut.strut, lengths, (guide, side)));
        let strut = made.unwrap_or(strut);
        self.as_built = hangs.filter(|_| made.is_some());
        if let Some(&[along_it, beside, ..]) = self.as_built.as_ref().map(|b| &b.values[..]) {
            let pin = libm::hypot(along_it, beside);
            for size in sizes.iter_mut().filter(|s| s.name == SizeName::Lever) {
                (size.exact, size.drilled) = (pin, pin);
            }
        }
        let built = self.slide_built(said, strut)?;
        self.check_on_slide(said, &strut, &built.course, &along);
        let lengths = strut.lengths();
        let mut figures = self.strut_figures(said, lengths.stroke(), &built.course.travel);
        if open {
            figures.splice(0..0, super::strut_figures::anchor_at(self.anchor_drawn(anchor)));
        }
        Some(Fitted::Drive(Box::new(FittedDrive {
            drilled: built.clone(),
            exact: built,
            sizes,
            figures,
            others,
            fit: None,
            recipe: Some(self.recipe_as_built(recipe)),
            pin: Deg(0.0),
            faulty: self.errors() > before,
        })))
    }

    /// The struts that do what is asked with what is open, best first: from an anchor that is
    /// known the one there first. None where nothing is open or asked, or where none does.
    fn stands(
        &self,
        said: &Said<'_>,
        along: &Along<'a>,
        fixed: Fixed,
        lengths: Lengths,
    ) -> Vec<Stand> {
        let Some(asked) = along.asked.filter(|_| said.length().is_some()) else {
            return Vec::new();
        };
        let from = |anchor| {
            let (guide, long, system) = (along.guide, along.long, self.figure.system);
            let limb = self.limb;
            strut_stands::Sought { limb, said, guide, long, asked, lengths, anchor, system }
                .ranked()
        };
        let board = self.figure.board.outline.as_ref().filter(|_| !self.on_carrier());
        let lever = said.strut.lever;
        let mut first = match fixed {
            Fixed::Open(_) => return from(strut_stands::Anchor::Anywhere(board)),
            Fixed::At(at) if lever.place.is_some() && lever.is_open() => {
                from(strut_stands::Anchor::At(at))
            }
            Fixed::At(at) if said.anchor_open().is_some() => {
                let made =
                    RamSlide::new(said.strut.strut, (at, along.guide), lengths, along.pin, {
                        along.side
                    });
                made.map(|ram| Stand { ram, pin: along.pin, side: along.side })
                    .into_iter()
                    .collect()
            }
            _ => Vec::new(),
        };
        // A place that was found in a region: others of it, seen from the board.
        let open = said.anchor_open().filter(|_| !self.on_carrier() && !self.quick);
        if let (Some(best), Some(open)) = (first.first().copied(), open)
            && let Some(region) = strut_stands::region(&open.value, self.figure)
        {
            let board = board.filter(|_| region.is_area());
            first.truncate(1);
            let others = from(strut_stands::Anchor::In(&region, board)).into_iter();
            first.extend(others.filter(|o| strut_stands::differ(&best, o)));
        }
        first
    }

    /// The strut that what is said leaves, whether or not it does what is asked.
    fn only_stand(
        &mut self,
        said: &Said<'_>,
        along: &mut Along<'a>,
        lever: Size,
        (anchor, lengths): (BoardPoint, Lengths),
    ) -> Option<RamSlide> {
        let (guide, side) = (along.guide, along.side);
        let make = |pin| RamSlide::new(said.strut.strut, (anchor, guide), lengths, pin, side);
        let open = !matches!(lever, Size::Given(_));
        if let (true, Ok(plain), Some(asked)) = (open, make([0.0, 0.0]), &along.asked) {
            let s = plain.analyse();
            along.pin[0] = 0.5 * ((s.low + s.high).0 - asked.from - asked.to);
            // Where no pin makes its stroke that asked for, that is what is told.
            let strokes = (s.stroke().0 - asked.range()).abs() <= asked.within;
            if strokes && self.pin_is_odd(said, along.pin[0]) {
                return None;
            }
        }
        match make(along.pin) {
            Ok(strut) => Some(strut),
            Err(why) => {
                self.no_mechanism(said.drive.place, why);
                None
            }
        }
    }

    /// Those beside the one that is taken, with what each does.
    fn other_stands(
        &self,
        found: &[Stand],
        sizes: &[FittedSize],
        (lengths, along): (Lengths, &Along<'a>),
    ) -> Vec<Other> {
        // What rides is computed as its carrier sees it, and told on the board.
        let others = found.get(1..).filter(|_| !self.on_carrier()).unwrap_or_default().iter();
        let value = |stand: &Stand, name: SizeName| match name {
            SizeName::Ground => stand.ram.anchor().distance(along.guide.from).0,
            _ => libm::hypot(stand.pin[0], stand.pin[1]),
        };
        let other = |stand: &Stand| Other {
            at: Some(stand.ram.anchor()),
            recipe: Some(recipe(stand, lengths, along.guide)),
            ..Other::moving(
                sizes.iter().map(|s| value(stand, s.name)).collect(),
                &moving(stand.ram).course,
                None,
            )
        };
        others.map(other).collect()
    }

    /// Reports an open lever whose pin would sit on the limb's own point, or the other way
    /// along it than its angle says.
    fn pin_is_odd(&mut self, said: &Said<'_>, pin: f64) -> bool {
        // Beside the limb's line none is looked for: that is told where it is asked.
        if matches!(said.strut.clamp.size, Size::Given(a) if super::open_sizes::beside(a)) {
            return true;
        }
        let turned = matches!(said.strut.clamp.size, Size::Given(a) if turned(a));
        let on = if turned { -pin } else { pin };
        if on >= LEAST_LEVER.0 {
            return false;
        }
        let system = self.figure.system;
        let place = said.strut.lever.ask.unwrap_or(said.drive.place);
        let (message, help) = if on > -LEAST_LEVER.0 {
            (
                format!(
                    "the pin of {} would sit on the limb's own point: that is no lever.",
                    self.name()
                ),
                "leave `lever` out.".to_owned(),
            )
        } else {
            let (size, angle) = (length(Mm(-on), system), if turned { 0 } else { 180 });
            (
                format!(
                    "the pin of {} would sit {size} the other way along the limb.",
                    self.name()
                ),
                format!("write `lever {size} at {angle} deg`."),
            )
        };
        self.report(&codes::NOTHING_FITS, place, message).help = Some(help);
        true
    }

    /// Anchor and lengths; what one leaves open the other says, in line with the guide.
    fn slide_lengths(
        &mut self,
        said: &Said<'_>,
        along: &Along<'a>,
        fixed: Fixed,
    ) -> Option<(BoardPoint, Lengths)> {
        let system = self.figure.system;
        let drawn_in = along.pin_at(along.start);
        match (said.length(), fixed) {
            (Some(both), Fixed::At(at)) => Some((at, self.strut_lengths(said, both)?)),
            (Some(both), _) => {
                let lengths = self.strut_lengths(said, both)?;
                let back = match along.side {
                    Assembly::Open => -lengths.short,
                    Assembly::Crossed => lengths.long,
                };
                let at = drawn_in + Vector::polar(back, along.guide.along);
                if matches!(fixed, Fixed::Unknown) {
                    let place = format!("anchor {}", print::place((at.x, at.y), 1, system));
                    let what = format!("{} in line with the guide, {place}", said.word());
                    self.assumed.push(Note::new(what, place));
                }
                Some((at, lengths))
            }
            (None, Fixed::At(at)) => {
                let stroke = said.stroke().or_else(|| self.no_lengths(said))?;
                // Drawn in, the limb is at its start; crossed, at the other end.
                let short = match along.side {
                    Assembly::Open => at.distance(drawn_in),
                    Assembly::Crossed => at.distance(along.pin_at(along.start + stroke)),
                };
                let what = format!(
                    "drawn in, the {} is {} pin to pin",
                    said.word(),
                    length(short, system)
                );
                let clause = format!(
                    "length {} to {}",
                    length(short, system),
                    length(short + stroke, system)
                );
                self.assumed.push(Note::new(what, clause));
                Some((at, self.strut_lengths(said, (short, short + stroke))?))
            }
            (None, _) => {
                self.no_lengths(said);
                None
            }
        }
    }

    fn no_lengths(&mut self, said: &Said<'_>) -> Option<Mm> {
        let what =
            format!("mechanism (lengths and anchor of the {} are not both given)", said.word());
        self.not_checked.push(Note::new(what, "anchor (x, y) mm  length A to B mm"));
        None
    }

    /// On the part of its stroke that reaches.
    fn slide_built(&mut self, said: &Said<'_>, strut: RamSlide) -> Option<Built> {
        let system = self.figure.system;
        let s = strut.analyse();
        let Lengths { short, long } = strut.lengths();
        if !s.assembles {
            let message = format!(
                "the {} of {} is at most {} long, and its anchor lies {} beside the way of its pin.",
                said.word(),
                self.name(),
                length(long, system),
                length(strut.beside(), system)
            );
            self.report(&codes::DOES_NOT_REACH, said.drive.place, message).help =
                Some("move the anchor nearer to the limb's line.".to_owned());
            self.works([
                Step::given("its longest", print::fine(long, system)),
                Step::given("anchor beside the way of its pin", {
                    print::fine(strut.beside(), system)
                }),
            ]);
            return None;
        }
        let beside = strut.beside();
        if s.dead_centre {
            let message = format!(
                "{} long the {} of {} stands square to the guide: it pushes nothing there.",
                length(beside, system),
                said.word(),
                self.name()
            );
            self.report(&codes::DEAD_CENTRE, said.drive.place, message).help =
                Some("move the anchor back along the guide, or nearer to its line.".to_owned());
            self.works([
                Step::given("its shortest", print::fine(short, system)),
                Step::given("anchor beside the way of its pin", print::fine(beside, system)),
            ]);
        }
        Some(moving(strut))
    }

    fn check_on_slide(
        &mut self,
        said: &Said<'_>,
        strut: &RamSlide,
        course: &Course,
        along: &Along<'a>,
    ) {
        let s = strut.analyse();
        if s.dead_centre {
            return;
        }
        let place = said.drive.place;
        if course.worst_push.0 < SIDEWAYS.fine.0 - 1e-9 {
            let message = format!(
                "with its {} drawn in {} is pushed {} deg to the side of its guide; {} or less is wanted.",
                said.word(),
                self.name(),
                decimal(s.lean.0, 1),
                decimal(90.0 - SIDEWAYS.fine.0, 0)
            );
            let found = self.report(&codes::PUSHED_SIDEWAYS, place, message);
            if course.worst_push < SIDEWAYS.floor {
                found.severity = Severity::Error;
            }
            found.help = Some("move the anchor nearer to the line of the guide.".to_owned());
            let system = self.figure.system;
            let (beside, short) = (strut.beside(), strut.lengths().short);
            self.works([
                Step::new(
                    "leans asin(anchor beside the guide/length)",
                    format!(
                        "asin({}/{})",
                        print::fine_in(beside, system),
                        print::fine_in(short, system)
                    ),
                    format!("{} deg", decimal(s.lean.0, 2)),
                ),
                Step::given("wanted", format!("{} deg", decimal(90.0 - SIDEWAYS.fine.0, 0))),
            ]);
        }
        if let Some(asked) = &along.asked {
            let strokes = (s.stroke().0 - asked.range()).abs() <= asked.within;
            let lever = said.strut.lever;
            let help = strokes.then(|| {
                let by = Mm(0.5 * (asked.from + asked.to - (s.low + s.high).0));
                let way = if by.0 > 0.0 { "on" } else { "back" };
                let by = length(by.abs(), self.figure.system);
                format!("move the anchor {way} along the guide by {by}.")
            });
            // Where a lever that is open would sit is another thing for another stroke.
            let help = help.or_else(|| {
                (lever.place.is_some() && lever.is_open()).then(|| {
                    format!(
                        "no lever changes a stroke: take a {} of another one, or move its anchor sideways.",
                        said.word()
                    )
                })
            });
            self.motion_missed(place, asked, &course.travel, help);
        }
        let guided = Guided { shaft: strut.anchor(), guide: along.guide, long: along.long };
        self.in_guide(place, &course.travel, &guided);
    }
}

/// A strut that reaches, on the part of its stroke that does.
pub(super) fn moving(strut: RamSlide) -> Built {
    let s = strut.analyse();
    let Lengths { short, long } = strut.lengths();
    let beside = strut.beside();
    let from = short.max(beside);
    let (at_low, at_high) =
        if s.at_short <= s.at_long { (from.0, long.0) } else { (long.0, from.0) };
    // With b beside: s = sqrt(l^2 - b^2), s' = l/s, s'' = -b^2/s^3, both largest
    // where the strut is shortest.
    let (b, ahead) = (beside.0, ((from - beside).0 * (from + beside).0).max(0.0).sqrt());
    let rate = |v: f64| if ahead > 0.0 { v } else { f64::INFINITY };
    let limits = Limits {
        low: s.low,
        high: s.high,
        at_low,
        at_high,
        least_push: libm::cos(s.lean.rad().0),
        least_push_at: from.0,
        most_speed: rate(from.0 / ahead),
        most_acceleration: rate(b * b / (ahead * ahead * ahead)),
    };
    let (span, travel) = (Span::part(from.0, long.0), Travel::Stroke(limits));
    let worst_push = Deg(90.0) - s.lean;
    let course = Course { span, travel, worst_push, time_ratio: None };
    Built::known(strut, Way::Extending(Extending { span }), course)
}

/// How it is made: where in the limb its pin is, where anchor and guide are, and its own
/// lengths.
pub(super) fn recipe(of: &Stand, drawn: Lengths, guide: Slide) -> Recipe {
    let mut dimensions = vec![
        Dimension::offset("pin along the limb", Mm(of.pin[0])),
        Dimension::offset("pin beside the limb", Mm(of.pin[1])),
    ];
    dimensions.extend(builds::place(ANCHOR, of.ram.anchor()));
    dimensions.extend(builds::place(builds::GUIDE, guide.from));
    dimensions.extend(strut_recipe::own(drawn));
    let (strut, side) = (of.ram.strut(), of.side);
    Recipe::new(dimensions, move |v| {
        let made = of_values(v, strut, drawn, (guide, side))?;
        let lengths = made.lengths();
        let span = Span::part(lengths.short.0, lengths.long.0);
        Some((Arc::new(made), Way::Extending(Extending { span })))
    })
}

/// The strut of these values.
fn of_values(
    v: &[f64],
    strut: Strut,
    drawn: Lengths,
    (guide, side): (Slide, Assembly),
) -> Option<RamSlide> {
    let &[pin, left, ax, ay, gx, gy, ..] = v else { return None };
    let lengths = strut_recipe::lengths(drawn, v)?;
    let ends = (BoardPoint::mm(ax, ay), Slide { from: BoardPoint::mm(gx, gy), ..guide });
    RamSlide::new(strut, ends, lengths, [pin, left], side).ok()
}

/// A lever shorter than this is none.
pub(super) const LEAST_LEVER: Mm = Mm(1.0);

/// Whether an angle points back along the limb.
pub(super) fn turned(angle: f64) -> bool {
    libm::cos(Deg(angle).rad().0) < 0.0
}

/// The lever as said, and the pin it makes: left out, the pin is where the limb's own
/// point is.
pub(super) fn pin(said: &Said<'_>) -> (Size, [f64; 2]) {
    let angle = match said.strut.clamp.size {
        Size::Given(a) => a,
        _ => 0.0,
    };
    match said.strut.lever.size {
        Size::Given(length) => {
            let (sin, cos) = libm::sincos(Deg(angle).rad().0);
            (said.strut.lever.size, [length * cos, length * sin])
        }
        open if said.strut.lever.place.is_some() => (open, [0.0, 0.0]),
        _ => (Size::Given(0.0), [0.0, 0.0]),
    }
}
