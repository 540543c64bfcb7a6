//! Ram and air cylinder: open sizes found, the whole checked.

use super::asked::Motion;
use super::builds::{self, Recipe};
use super::checks::BUILD_ERROR;
use super::drive::{Built, FittedDrive, FittedSize, Other, SizeName};
use super::strut_asked::Wanted;
use super::{Bench, Fitted, strut_recipe};
use crate::finding::Spanned;
use crate::geometry::{BoardPoint, Dir, Vector};
use crate::mechanism::solve::{Anchor, RamChoice, RamNoFit, RamWish, solve_ram};
use crate::mechanism::{
    Assembly, Course, Degenerate, Extending, Lengths, Limits, Ram, Size, Span, Travel, Way,
};
use crate::model::{Actuator, Drive, DriveKind, Joint, Note, Sized, Source, StrutDrive};
use crate::syntax::Open;
use crate::units::{Deg, Mm};

/// A strut as written, with the actuator it is.
#[derive(Clone, Copy)]
pub(super) struct Said<'s> {
    pub drive: &'s Drive,
    pub strut: &'s StrutDrive,
    pub actuator: &'s Actuator,
}

impl Said<'_> {
    /// "ram", "cylinder".
    pub fn word(&self) -> &'static str {
        self.strut.strut.kind().word()
    }

    /// Shortest and longest, where said: here, or on the actuator's sheet.
    pub fn length(&self) -> Option<(Mm, Mm)> {
        self.strut.length.or(self.actuator.motor.length)
    }

    /// The question, where its anchor is open.
    pub fn anchor_open(&self) -> Option<&Spanned<Open>> {
        let own = self.strut.anchor_open.as_ref();
        own.or_else(|| self.actuator.at_open.as_ref().filter(|_| self.strut.anchor.is_none()))
    }

    /// The stroke, where said: here, or on the actuator's sheet.
    pub fn stroke(&self) -> Option<Mm> {
        self.strut.air.stroke.or(self.actuator.motor.stroke)
    }
}

/// Where the far end is fixed.
#[derive(Clone, Copy)]
pub(super) enum Fixed {
    /// There.
    At(BoardPoint),
    /// To be found.
    Open(Anchor),
    /// Left out.
    Unknown,
}

/// A strut with its sizes found.
struct Chosen {
    exact: Ram,
    drilled: Ram,
    others: Vec<RamChoice>,
    fit: Option<f64>,
}

impl<'a> Bench<'a> {
    pub(super) fn strut(
        &mut self,
        drive: &Drive,
        strut: &StrutDrive,
        motor: usize,
    ) -> Option<Fitted> {
        self.strut_gestures(strut.strut);
        if self.limb.carrier.is_some() {
            return None;
        }
        let said = Said { drive, strut, actuator: &self.figure.actuators[motor] };
        let on_it = |l: &crate::model::Limb| {
            l.drive.as_ref().is_some_and(|d| d.source == Source::Motor(motor))
        };
        if self.figure.limbs.iter().filter(|l| on_it(l)).count() > 1 {
            let word = said.word();
            let what = format!("mechanism (one {word} cannot push two limbs: give each its own)");
            let settle = format!("drive {word} {{ motor {} }}", said.actuator.motor.name);
            self.not_checked.push(Note::new(what, settle));
            return None;
        }
        match self.limb.joint {
            Joint::Pivot { at: Some(pivot), .. } => self.strut_on_pivot(&said, pivot),
            Joint::Pivot { at: None, .. } => {
                let what = "mechanism (the pivot is open; finding one is not computed yet)";
                self.not_checked.push(Note::new(what, "pivot (x, y) mm"));
                None
            }
            Joint::Slide { from, to } => self.strut_on_slide(&said, (from, to)),
        }
    }

    fn strut_on_pivot(&mut self, said: &Said<'_>, pivot: BoardPoint) -> Option<Fitted> {
        let before = self.errors();
        let Some(lengths) = said.length() else {
            let what = format!("mechanism (the {}'s lengths are not given)", said.word());
            self.not_checked.push(Note::new(what, "length A to B mm"));
            return None;
        };
        let lengths = self.strut_lengths(said, lengths)?;
        let fixed = match self.strut_anchor(said, pivot)? {
            Fixed::At(at) if at.distance(pivot) < super::ENDS_APART => {
                self.no_mechanism(said.drive.place, Degenerate::CentresMeet);
                return None;
            }
            Fixed::At(at) => Anchor::At(at),
            Fixed::Open(anchor) => anchor,
            Fixed::Unknown => {
                let what =
                    format!("mechanism (where the {} is anchored is not given)", said.word());
                self.not_checked.push(Note::new(what, "anchor (x, y) mm"));
                return None;
            }
        };
        let wanted = self.strut_wanted();
        let chosen = self.strut_sizes(said, (pivot, fixed), lengths, wanted.as_ref())?;
        let Some(exact) = built(chosen.exact) else {
            self.strut_does_not_reach(said, &chosen.exact);
            return None;
        };
        let drilled = built(chosen.drilled).unwrap_or_else(|| exact.clone());
        let anchors = (chosen.exact.anchor(), chosen.drilled.anchor());
        let ground = self.ground_size(said, anchors, pivot);
        let sizes = vec![
            ground,
            FittedSize::length(SizeName::Lever, chosen.exact.lever(), said.strut.lever),
            FittedSize::angle(SizeName::Clamp, chosen.exact.clamp(), said.strut.clamp),
        ];
        let recipe = strut_recipe::recipe(&chosen.drilled);
        let hangs = self.built_strut(&recipe, &chosen.drilled, &sizes);
        let checked = hangs.as_ref().map_or(&chosen.exact, |(ram, _)| ram);
        self.check_strut(said, checked, wanted.as_ref());
        let asked = said.anchor_open().is_some();
        let row = |r: &Ram| vec![r.ground().0, r.lever().0, r.clamp().0];
        let found = |c: &RamChoice| {
            let ram = marked(&c.ram, said.strut, fixed).unwrap_or(c.ram);
            let course = built(ram)?.course;
            let other = Other::of(self.limb, row(&ram), &strut_recipe::recipe(&ram), &course);
            // Per mm of a ram, and not per turn.
            let at = (asked && !self.on_carrier()).then(|| ram.anchor());
            Some(Other { speed: None, at, ..other })
        };
        let others: Vec<Other> = chosen.others.iter().filter_map(found).collect();
        // The share that `check` tells of it.
        let share = || builds::share_over(self.limb, &recipe, &drilled.course.travel);
        let fit = chosen.fit.map(|f| share().unwrap_or(f));
        let (ram, exact, drilled) = match hangs {
            Some((ram, built)) => (ram, built.clone(), built),
            None => (chosen.drilled, exact, drilled),
        };
        let mut figures = self.strut_figures(said, ram.lengths().stroke(), &exact.course.travel);
        let anchor = asked.then(|| self.anchor_drawn(ram.anchor()));
        figures.splice(0..0, super::strut_figures::of_ram(&ram, anchor));
        Some(Fitted::Drive(Box::new(FittedDrive {
            exact,
            drilled,
            sizes: self.sizes_as_built(&recipe, sizes),
            figures,
            others,
            fit,
            recipe: Some(self.recipe_as_built(recipe)),
            pin: Deg(0.0),
            faulty: self.errors() > before,
        })))
    }

    /// Where an anchor stands on the board as it is drawn, not as its carrier sees it.
    pub(super) fn anchor_drawn(&self, seen: BoardPoint) -> BoardPoint {
        let limb = self.drawn.limb(&self.limb.name.value).filter(|_| self.on_carrier());
        let drive = limb.and_then(|l| self.drawn.limbs[l].drive.as_ref());
        match drive.map(|d| &d.mechanism) {
            Some(DriveKind::Strut(strut)) => strut.anchor.unwrap_or(seen),
            _ => seen,
        }
    }

    /// How far the anchor, exact and as marked out, lies from where the limb turns or where
    /// its guide begins.
    pub(super) fn ground_size(
        &self,
        said: &Said<'_>,
        (exact, drilled): (BoardPoint, BoardPoint),
        home: BoardPoint,
    ) -> FittedSize {
        let far = exact.distance(home);
        let ground = Sized {
            size: said.anchor_open().map_or(Size::Given(far.0), |_| Size::Free),
            place: None,
            // A place found stands for the whole of what was said of it, on the limb
            // itself and not on its mirror image.
            ask: said.anchor_open().filter(|_| self.limb.mirrors.is_none()).map(|o| o.place),
            row: None,
            cuts: None,
            system: said.strut.lever.system,
        };
        FittedSize {
            drilled: drilled.distance(home).0,
            ..FittedSize::length(SizeName::Ground, far, ground)
        }
    }

    /// The strut as built, where something was measured on it.
    fn built_strut(
        &mut self,
        recipe: &Recipe,
        drawn: &Ram,
        sizes: &[FittedSize],
    ) -> Option<(Ram, Built)> {
        let found = self.explained(recipe, sizes)?;
        let ram = strut_recipe::ram(drawn, &found.values)?;
        let built = built(ram)?;
        self.as_built = Some(found);
        Some((ram, built))
    }

    /// Where the far end is fixed; nothing where it is open in a way that is not
    /// computed (noted).
    pub(super) fn strut_anchor(&mut self, said: &Said<'_>, pivot: BoardPoint) -> Option<Fixed> {
        if let Some(at) = said.strut.anchor {
            return Some(Fixed::At(at));
        }
        let placed = said.actuator.at.filter(|_| said.strut.anchor_open.is_none());
        let Some(open) = said.anchor_open().filter(|_| placed.is_none()) else {
            return Some(placed.map_or(Fixed::Unknown, Fixed::At));
        };
        let slides = matches!(self.limb.joint, Joint::Slide { .. });
        // On a guide a place near a point is looked for as one in a rectangle is.
        let sought = slides && open.value.near.is_some();
        let anchor = anchor_of(&open.value, pivot).filter(|_| !sought);
        if anchor.is_none() && self.limb.gestures.is_empty() {
            self.nothing_asked("anchor");
        } else if anchor.is_none() && open.value.on_frame && self.figure.frame.is_empty() {
            let what = "mechanism (there is no frame to fix the anchor on)";
            self.not_checked.push(Note::new(what, "frame 38 mm by 38 mm { (x, y) to (x, y) mm }"));
        }
        anchor.map(Fixed::Open)
    }

    fn strut_sizes(
        &mut self,
        said: &Said<'_>,
        (pivot, anchor): (BoardPoint, Anchor),
        lengths: Lengths,
        wanted: Option<&Wanted<'a>>,
    ) -> Option<Chosen> {
        let said_of = said.strut;
        if let (Anchor::At(at), Size::Given(lever), Size::Given(clamp)) =
            (anchor, said_of.lever.size, said_of.clamp.size)
        {
            let size = (Mm(lever), Deg(clamp));
            let make = |side| Ram::new(said_of.strut, (at, pivot), lengths, size, side);
            let side = said_of.assembly.unwrap_or_else(|| self.likely_side(&make, wanted));
            return match make(side) {
                Ok(ram) => Some(Chosen { exact: ram, drilled: ram, others: Vec::new(), fit: None }),
                Err(why) => {
                    self.no_mechanism(said.drive.place, why);
                    None
                }
            };
        }
        let Some(wanted) = wanted else {
            self.nothing_asked("lever, clamp, anchor");
            return None;
        };
        let wish = wish(said_of, (pivot, anchor), lengths, &wanted.motion);
        match self.strut_found(&wish) {
            Ok(mut found) => {
                let best = found.remove(0);
                let drilled = marked(&best.ram, said_of, anchor).unwrap_or(best.ram);
                Some(Chosen { exact: best.ram, drilled, others: found, fit: Some(best.fit.0) })
            }
            Err(no) => {
                let no = super::bar_holes::of_ram(&said_of.lever, &wish, *no);
                self.strut_unfit(said, &wanted.motion, &no);
                None
            }
        }
    }

    /// The answers, best first; of two that are mirror images the one whose parts
    /// stay behind the board.
    ///
    /// A mirror image is answered as its original is, and the answer mirrored.
    fn strut_found(&self, wish: &RamWish) -> Result<Vec<RamChoice>, Box<RamNoFit>> {
        let Some(line) = self.limb.mirrors.as_ref().map(|m| m.line) else {
            return self.strut_best(wish);
        };
        let back = |c: RamChoice| RamChoice { ram: c.ram.mirrored(line), ..c };
        match self.strut_best(&mirrored(wish, line)) {
            Ok(found) => Ok(found.into_iter().map(back).collect()),
            Err(_) => self.strut_best(wish),
        }
    }

    fn strut_best(&self, wish: &RamWish) -> Result<Vec<RamChoice>, Box<RamNoFit>> {
        if wish.assembly.is_some() {
            return solve_ram(wish);
        }
        let side = |assembly| solve_ram(&RamWish { assembly: Some(assembly), ..*wish });
        match (side(Assembly::Open), side(Assembly::Crossed)) {
            (Ok(open), Ok(crossed)) => {
                let (a, b) = (open[0].arm.0, crossed[0].arm.0);
                let better = if (a - b).abs() > 1e-3 {
                    b > a
                } else {
                    self.strut_outside(&crossed[0].ram) < self.strut_outside(&open[0].ram)
                };
                Ok(if better { crossed } else { open })
            }
            (Ok(found), Err(_)) | (Err(_), Ok(found)) => Ok(found),
            (Err(no), Err(_)) => Err(no),
        }
    }

    /// How many of the pins stick out from behind the board.
    fn strut_outside(&self, ram: &Ram) -> usize {
        let Some(board) = &self.figure.board.outline else { return 0 };
        let Some(m) = ram.analyse().motion else { return 0 };
        let pin =
            |limb: Deg| ram.pivot() + Vector::polar(ram.lever(), Dir::degrees(limb + ram.clamp()));
        let pins = [ram.anchor(), pin(m.low), pin(m.high)];
        pins.into_iter().filter(|p| !board.contains(*p)).count()
    }

    /// The side a strut of known sizes is built on: as the image of what its limb mirrors;
    /// the one that alone moves the limb as asked; the one it is drawn on; the nearer one.
    fn likely_side<E>(
        &self,
        make: &impl Fn(Assembly) -> Result<Ram, E>,
        wanted: Option<&Wanted<'_>>,
    ) -> Assembly {
        if let Some(image) = self.image_side() {
            return image;
        }
        // By how much both ends miss, and whether they are within what is asked for.
        let off = |side| {
            let course = built(make(side).ok()?)?.course;
            Some(wanted.map_or((0.0, false), |wanted| {
                let asked = &wanted.motion;
                let (low, high) = asked.told(&course.travel);
                let (below, above) = (low - asked.from, high - asked.to);
                let meets = match wanted.ends {
                    true => below.abs().max(above.abs()) <= asked.within,
                    false => below <= asked.within && above >= -asked.within,
                };
                ((below + above).abs(), meets)
            }))
        };
        let drawn = make(Assembly::Open).ok().and_then(|ram| self.drawn_side(&ram));
        match (off(Assembly::Open), off(Assembly::Crossed)) {
            (Some((_, true)), Some((_, false))) => Assembly::Open,
            (Some((_, false)), Some((_, true))) | (None, Some(_)) => Assembly::Crossed,
            (Some(_), None) => Assembly::Open,
            (Some((open, _)), Some((crossed, _))) => drawn.unwrap_or(match crossed < open {
                true => Assembly::Crossed,
                false => Assembly::Open,
            }),
            (None, None) => drawn.unwrap_or(Assembly::Open),
        }
    }

    /// On which side of the line from its anchor to the pivot a strut's lever pin is drawn;
    /// `None` where no tip is drawn, or the pin lies on that line.
    fn drawn_side(&self, ram: &Ram) -> Option<Assembly> {
        let (anchor, pivot) = (ram.anchor(), ram.pivot());
        let axis = (self.limb.tip? - pivot).dir()?;
        let lever = axis.turned(Dir::degrees(ram.clamp()));
        let left = (pivot - anchor).dir()?.cross(lever);
        (left.abs() > ON_LINE).then_some(match left > 0.0 {
            true => Assembly::Open,
            false => Assembly::Crossed,
        })
    }
}

/// A lever pin drawn this near to the line from anchor to pivot (the sine between them) is
/// drawn on neither side.
const ON_LINE: f64 = 1e-3;

/// An anchor that is to be found: anywhere, or in the direction of a place.
fn anchor_of(open: &Open, pivot: BoardPoint) -> Option<Anchor> {
    if open.on_frame || open.corner.is_some() {
        return None;
    }
    let Some((x, y)) = open.near else {
        return Some(Anchor::Open { distance: Size::Free, bearing: None });
    };
    let away = BoardPoint::mm(x, y) - pivot;
    let (far, dir) = (away.length().0, away.dir()?);
    let distance = match open.within {
        Some(by) => Size::Between { lo: (far - by).max(1.0), hi: far + by },
        None => Size::Free,
    };
    Some(Anchor::Open { distance, bearing: Some(dir.angle().deg()) })
}

/// What is asked of a strut on a pivot.
pub(super) fn wish(
    said: &StrutDrive,
    (pivot, anchor): (BoardPoint, Anchor),
    lengths: Lengths,
    asked: &Motion<'_>,
) -> RamWish {
    RamWish {
        strut: said.strut,
        pivot,
        anchor,
        lengths,
        lever: said.lever.size,
        clamp: said.clamp.size,
        sweep: asked.sweep(),
        within: Some(Deg(asked.within)),
        assembly: said.assembly,
        prefer: said.prefer,
        error: BUILD_ERROR,
    }
}

/// The wish seen in a mirror that stands upright at x = `line`.
fn mirrored(wish: &RamWish, line: Mm) -> RamWish {
    let turned = |a: Deg| Deg(180.0) - a;
    RamWish {
        pivot: wish.pivot.mirrored(line),
        anchor: match wish.anchor {
            Anchor::At(at) => Anchor::At(at.mirrored(line)),
            Anchor::Open { distance, bearing } => {
                Anchor::Open { distance, bearing: bearing.map(turned) }
            }
        },
        clamp: wish.clamp.negated(),
        sweep: (turned(wish.sweep.1), turned(wish.sweep.0)),
        assembly: wish.assembly.map(Assembly::other),
        ..*wish
    }
}

/// The same with the sizes a maker marks out.
fn marked(exact: &Ram, said: &StrutDrive, anchor: Anchor) -> Option<Ram> {
    let system = said.lever.system;
    let at = match anchor {
        Anchor::At(at) => at,
        Anchor::Open { .. } => {
            let mark = |v: f64| Size::Free.marked_length(Mm(v), system);
            BoardPoint::new(mark(exact.anchor().x), mark(exact.anchor().y))
        }
    };
    let size = (
        said.lever.size.marked_length(exact.lever(), system),
        said.clamp.size.marked_angle(exact.clamp()),
    );
    Ram::new(said.strut, (at, exact.pivot()), exact.lengths(), size, exact.assembly()).ok()
}

/// On the part of its stroke that closes; `None` where none does.
pub(super) fn built(ram: Ram) -> Option<Built> {
    let m = ram.analyse().motion?;
    let limits = Limits {
        low: m.low,
        high: m.high,
        at_low: m.length_at_low.0,
        at_high: m.length_at_high.0,
        least_push: libm::sin(m.least_push.rad().0),
        least_push_at: m.least_push_at.0,
        most_speed: m.most_speed.unwrap_or(f64::INFINITY),
        most_acceleration: m.most_acceleration.unwrap_or(f64::INFINITY),
    };
    let (span, travel) = (Span::part(m.from.0, m.to.0), Travel::Swing(limits));
    let course = Course { span, travel, worst_push: m.least_push, time_ratio: None };
    Some(Built::known(ram, Way::Extending(Extending { span }), course))
}
