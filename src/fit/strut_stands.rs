//! Where a ram or an air cylinder may stand that pushes a limb along its guide, best first.
//!
//! From b beside the line of its pin one that grows from l to L moves the limb by
//! sqrt(L^2 - b^2) - sqrt(l^2 - b^2): by its own stroke in line, by more the more it leans.
//! So what a stroke may miss leaves a strip of places on either side of the line, and one
//! before and one behind the limb. What the preferences mean here: `push` takes the one that
//! leans least, and that is `light` and `even` too, since a limb moves 1/cos(lean) mm for each
//! mm of its ram, at its most with the ram drawn in; `build` takes the one that is built right
//! most often, of those that lean 45 deg or less.

use super::asked::Motion;
use super::builds;
use super::region::Region;
use super::slider_crank::{DRAWN, SIDEWAYS};
use super::strut::Said;
use super::strut_slide::{LEAST_LEVER, moving, recipe, turned};
use super::{open_sizes, place_search};
use crate::geometry::{Board, BoardPoint, Dir, Outline, Vector};
use crate::mechanism::solve::{OTHERS, PUSH_GOOD, Prefer};
use crate::mechanism::{Assembly, Lengths, RamSlide, Size, Slide, Travel};
use crate::model::Limb;
use crate::syntax::Open;
use crate::units::{Deg, Mm, System};

/// One of them.
#[derive(Clone, Copy, Debug)]
pub(super) struct Stand {
    /// The strut.
    pub ram: RamSlide,
    /// Its pin in the limb: along the slide, and left of it, mm.
    pub pin: [f64; 2],
    /// Whether it pushes along the slide or back.
    pub side: Assembly,
}

/// What is known of the anchor.
pub(super) enum Anchor<'a> {
    /// There.
    At(BoardPoint),
    /// Anywhere, on the board where there is one.
    Anywhere(Option<&'a Outline<Board>>),
    /// Somewhere in a region, on the board where that is an area.
    In(&'a Region, Option<&'a Outline<Board>>),
}

/// What is looked for.
pub(super) struct Sought<'a> {
    pub limb: &'a Limb,
    pub said: &'a Said<'a>,
    pub guide: Slide,
    /// Its length.
    pub long: Mm,
    pub asked: Motion<'a>,
    pub lengths: Lengths,
    pub anchor: Anchor<'a>,
    pub system: System,
}

/// Places along the strip beside the line where any place will do, as shares of its width.
const SHARES: [f64; 3] = [0.0, 0.5, 1.0];
/// Anchors nearer than this are one, mm; so are those that lie so much further beside the
/// line.
const APART: f64 = 20.0;
const BESIDE: f64 = 5.0;
/// So far off the middle of what may be missed is looked, where a region leaves little.
const OFF: [f64; 7] = [0.0, 0.25, -0.25, 0.5, -0.5, 0.75, -0.75];
/// So much of what may be missed is left for rounding.
const SLACK: f64 = 1.0 - 1e-9;

impl Sought<'_> {
    /// Those that move the limb as asked inside its guide, best first; none where a size is
    /// open that nothing decides.
    pub fn ranked(&self) -> Vec<Stand> {
        let mut all: Vec<Stand> = Vec::new();
        let sides = [Assembly::Open, Assembly::Crossed];
        for side in sides.into_iter().filter(|s| self.said.strut.assembly.is_none_or(|a| a == *s)) {
            match self.anchor {
                Anchor::At(at) => self.pins_from(at, side, &mut all),
                _ => {
                    for pin in self.pins() {
                        self.anchors_for(pin, side, &mut all);
                    }
                }
            }
        }
        if let Anchor::Anywhere(Some(board)) = self.anchor {
            let on = |s: &Stand| board.contains(s.ram.anchor());
            if all.iter().any(on) {
                all.retain(on);
            }
        }
        let mut ranked: Vec<([f64; 5], Stand)> =
            all.into_iter().map(|s| (self.rank(&s), s)).collect();
        ranked.sort_by(|(a, _), (b, _)| {
            let pairs = a.iter().zip(b).map(|(a, b)| a.total_cmp(b));
            pairs.fold(std::cmp::Ordering::Equal, std::cmp::Ordering::then)
        });
        self.apart(ranked.into_iter().map(|(_, s)| s))
    }

    /// The first, and those that are something else.
    fn apart(&self, ranked: impl Iterator<Item = Stand>) -> Vec<Stand> {
        let mut kept: Vec<Stand> = Vec::new();
        for next in ranked {
            let other = |k: &Stand| match self.anchor {
                Anchor::At(_) => k.side != next.side || (k.pin[0] - next.pin[0]).abs() > 0.5,
                _ => {
                    let (a, b) = (self.left(k), self.left(&next));
                    differ(k, &next) && (k.side != next.side || (a - b).abs() >= BESIDE)
                }
            };
            if kept.len() <= OTHERS && kept.iter().all(other) {
                kept.push(next);
            }
        }
        kept
    }

    /// The pins of a lever that is given, left out, or one of a row or a range.
    fn pins(&self) -> Vec<[f64; 2]> {
        let (lever, pin) = super::strut_slide::pin(self.said);
        match lever {
            Size::Given(_) => vec![pin],
            _ => self.levers(0.0).into_iter().map(|v| [self.along(v), 0.0]).collect(),
        }
    }

    /// The values an open lever may have; of any the wanted one, of a range its ends and
    /// its middle with the wanted one.
    fn levers(&self, wanted: f64) -> Vec<f64> {
        match self.said.strut.lever.size {
            Size::Given(v) => vec![v],
            Size::Free if wanted > 0.0 => vec![wanted],
            Size::Free => Vec::new(),
            Size::Between { lo, hi } => {
                let mark = |v: f64| self.said.strut.lever.size.marked_length(Mm(v), self.system).0;
                let mut all = vec![mark(lo), mark(0.5 * (lo + hi)), mark(hi)];
                all.extend((lo..=hi).contains(&wanted).then_some(wanted));
                all
            }
            row @ Size::Row { .. } => super::guide_places::values(row, wanted),
        }
    }

    /// How far along the limb a lever's pin is.
    fn along(&self, lever: f64) -> f64 {
        match self.said.strut.clamp.size {
            Size::Given(a) if turned(a) => -lever,
            _ => lever,
        }
    }

    /// With the anchor known: the levers that put the motion where it is asked for.
    fn pins_from(&self, at: BoardPoint, side: Assembly, all: &mut Vec<Stand>) {
        // Beside the limb's own line none is looked for.
        if matches!(self.said.strut.clamp.size, Size::Given(a) if open_sizes::beside(a)) {
            return;
        }
        let Some(plain) = self.stand(at, [0.0, 0.0], side) else { return };
        let s = plain.ram.analyse();
        let pin = 0.5 * ((s.low + s.high).0 - self.asked.from - self.asked.to);
        let wanted = self.along(pin);
        let marked = self.said.strut.lever.size.marked_length(Mm(wanted), self.system).0;
        let made = |lever: f64| {
            let stand = self.stand(at, [self.along(lever), 0.0], side)?;
            (lever >= LEAST_LEVER.0 && self.moves_as_asked(&stand)).then_some(stand)
        };
        match self.said.strut.lever.size {
            Size::Free => all.extend(made(marked).or_else(|| made(wanted))),
            _ => all.extend(self.levers(marked).into_iter().filter_map(made)),
        }
    }

    /// With the pin known: anchors in line with it and beside that line.
    fn anchors_for(&self, pin: [f64; 2], side: Assembly, all: &mut Vec<Stand>) {
        let Some((near, exact, far)) = self.strip() else { return };
        let beside: Vec<f64> = match self.anchor {
            Anchor::In(..) => {
                let whole = (libm::ceil(near) as i64..=libm::floor(far) as i64).map(|b| b as f64);
                whole.chain([near, exact, far]).collect()
            }
            _ => SHARES.map(|s| near + s * (far - near)).into_iter().chain([exact]).collect(),
        };
        for b in beside.into_iter().flat_map(|b| if b > 0.0 { vec![b, -b] } else { vec![b] }) {
            all.extend(self.standing(pin, side, b));
        }
    }

    /// How far beside the line it may stand: at least, for the very stroke asked for, and at
    /// most; `None` where no place gives the stroke.
    fn strip(&self) -> Option<(f64, f64, f64)> {
        let (asked, within) = (self.asked.range(), self.asked.within * SLACK);
        let own = self.lengths.stroke().0;
        if own > asked + within {
            return None;
        }
        // Leaning more is an error whatever the stroke.
        let steepest = self.lengths.short.0 * libm::cos(SIDEWAYS.floor.rad().0) * SLACK;
        let beside = |stroke: f64| match stroke > own {
            true => RamSlide::beside_for(self.lengths, Mm(stroke)).map_or(steepest, |b| b.0),
            false => 0.0,
        };
        let (near, far) = (beside(asked - within), beside(asked + within).min(steepest));
        (near <= far).then(|| (near, beside(asked).clamp(near, far), far))
    }

    /// The strut so far beside the line of its pin, where its limb then moves as asked.
    fn standing(&self, pin: [f64; 2], side: Assembly, beside: f64) -> Option<Stand> {
        let ahead = |l: Mm| ((l.0 - beside) * (l.0 + beside)).max(0.0).sqrt();
        let (short, stroke) =
            (ahead(self.lengths.short), { ahead(self.lengths.long) - ahead(self.lengths.short) });
        let e = stroke - self.asked.range();
        let room = (self.asked.within - 0.5 * e.abs()).max(0.0) * SLACK;
        // As near to the middle as the guide lets it.
        let (low, high) = (0.5 * e - self.asked.from, self.long.0 - self.asked.to - 0.5 * e);
        let by = if low <= high { 0.0_f64.clamp(low, high) } else { 0.0 };
        let offs = OFF.iter().map(|off| by + off * self.asked.within).filter(|s| s.abs() <= room);
        let place = |by: f64| {
            let (low, high) = (self.asked.from - 0.5 * e + by, self.asked.to + 0.5 * e + by);
            let way = match side {
                Assembly::Open => low + pin[0] - short,
                Assembly::Crossed => high + pin[0] + short,
            };
            self.guide.from
                + Vector::polar(Mm(way), self.guide.along)
                + Vector::polar(Mm(pin[1] + beside), self.guide.along.turned(Dir::NORTH))
        };
        offs.map(place).find_map(|at| {
            let made = |at: BoardPoint| {
                self.stand(at, pin, side).filter(|stand| self.moves_as_asked(stand))
            };
            match self.anchor {
                Anchor::In(region, board) => {
                    let at = region.nearest(at, place_search::ON_LINE)?;
                    let at = place_search::marked(at, self.system);
                    board.is_none_or(|board| board.contains(at)).then(|| made(at)).flatten()
                }
                _ => {
                    let mark = |v: f64| Size::Free.marked_length(Mm(v), self.system);
                    made(BoardPoint::new(mark(at.x), mark(at.y))).or_else(|| made(at))
                }
            }
        })
    }

    fn stand(&self, at: BoardPoint, pin: [f64; 2], side: Assembly) -> Option<Stand> {
        let ends = (at, self.guide);
        let ram = RamSlide::new(self.said.strut.strut, ends, self.lengths, pin, side).ok()?;
        let s = ram.analyse();
        // Written down, it is put together as its place says.
        let likely = || side == likely_side(self.guide, self.long, at);
        let so = self.said.strut.assembly.is_some() || likely();
        (so && s.assembles && !s.dead_centre).then_some(Stand { ram, pin, side })
    }

    /// Whether it slides from end to end as asked, inside its guide, and does not lean too
    /// far.
    fn moves_as_asked(&self, stand: &Stand) -> bool {
        let course = moving(stand.ram).course;
        let Travel::Stroke(l) = &course.travel else { return false };
        let inside = l.low.0 > -DRAWN.0 && l.high < self.long + DRAWN;
        inside && self.asked.met(&course.travel) && course.worst_push >= SIDEWAYS.floor
    }

    /// How far left of the line of its pin the anchor is.
    fn left(&self, stand: &Stand) -> f64 {
        let away = stand.ram.anchor() - self.guide.from;
        Vector::<Board>::polar(Mm(1.0), self.guide.along).cross(away) - stand.pin[1]
    }

    /// What one is worth, the least first.
    fn rank(&self, stand: &Stand) -> [f64; 5] {
        let s = stand.ram.analyse();
        let push = Deg(90.0) - s.lean;
        let (low, high) = ((s.low.0 - self.asked.from).abs(), (s.high.0 - self.asked.to).abs());
        let tenth = |v: f64| libm::round(v * 10.0);
        let miss = tenth(low.max(high));
        let first = match self.said.strut.prefer {
            Prefer::Build => {
                let share = builds::share(self.limb, &recipe(stand, self.lengths, self.guide));
                [(PUSH_GOOD - push).0.max(0.0), -share.unwrap_or(0.0)]
            }
            _ => [tenth(s.lean.0), 0.0],
        };
        // It rather pushes than pulls, rather on the left; an image the other way round.
        let pulls = f64::from(u8::from(stand.side == Assembly::Crossed));
        let handed = if self.limb.mirrors.is_some() { 1.0 } else { -1.0 };
        [first[0], first[1], miss, pulls, handed * self.left(stand).signum()]
    }
}

/// The side of a strut that is anchored there, where nothing else is said: one that stands
/// past the middle of the guide pushes back.
pub(super) fn likely_side(guide: Slide, long: Mm, at: BoardPoint) -> Assembly {
    match guide.way(at.x, at.y) > long.0 / 2.0 {
        true => Assembly::Crossed,
        false => Assembly::Open,
    }
}

/// Whether two anchors are worth telling apart.
pub(super) fn differ(a: &Stand, b: &Stand) -> bool {
    a.ram.anchor().distance(b.ram.anchor()).0 >= APART
}

/// The region that a question leaves open, as far as it lies on the board.
pub(super) fn region(open: &Open, figure: &crate::model::Figure) -> Option<Region> {
    let region = Region::of(open, figure)?;
    match figure.board.outline.as_ref().filter(|_| region.is_area()) {
        Some(board) => region.on_board(board),
        None => Some(region),
    }
}
