//! The search for a place that is left open.
//!
//! A place is judged by fitting every limb that hangs on it from there: all of them must
//! come out without an error, and the worst push among them counts, up to 60 deg where
//! nobody asks for all of it (`prefer push`); of places that push as well the one with the
//! shortest rod is taken. Looked at is an even net, and rings round where the limb turns,
//! the closer the nearer: there a few millimetres change as much as many far off. From the
//! best few of both the push is climbed in ever smaller steps, down to a pencil mark; that
//! it is the best there is is not proved. Who asks for all of the push gets no less than who
//! asks for nothing: what would be found then is held against what is. A net in which
//! nothing works is made finer before it is given up. Where what works is a line that is
//! known, the line is looked at instead. What was measured on a limb says nothing of it: it
//! is looked for as it was before the limb was built, so it is found where it was marked out
//! then.

use super::codes::NOT_LOOKED_FOR;
use super::prefers::{ask_nothing, preferred};
use super::region::Region;
use super::{Fitted, FittedServo, fit_at, fit_quickly};
use crate::finding::{Finding, Severity};
use crate::geometry::{Board, BoardPoint, Dir, Outline, Vector};
use crate::mechanism::solve::Prefer;
use crate::model::Figure;
use crate::units::{Deg, Mm, Rad, System, print};

/// How hard is looked.
#[derive(Clone, Copy)]
pub(super) struct Effort {
    /// Places along each side of the first net, and of the finest one.
    pub net: usize,
    pub finest: usize,
    /// How many hills of it are followed to their tops, and how often the steps about one
    /// are halved.
    pub hills: usize,
    pub halved: usize,
    /// Whether the middle of the region will do where it pushes well.
    pub middle: bool,
    /// Places on each ring round where the limb turns; none of 0.
    pub ring: u32,
}

impl Effort {
    /// What is judged in no time.
    pub const USUAL: Self =
        Self { net: 12, finest: 48, hills: 6, halved: 8, middle: false, ring: 16 };
    /// A cam is cut anew for every place.
    pub const CAM: Self = Self { finest: 12, ring: 0, ..Self::USUAL };
    /// A second rod is solved all along the motion of the limb above.
    pub const ROD: Self = Self { net: 8, finest: 16, hills: 3, ..Self::USUAL };
    /// Guessed at: neither fitted nor checked.
    const GUESSED: Self = Self { net: 16, hills: 24, ring: 24, ..Self::USUAL };
    /// A cord, or a crank whose length is not a hole, is itself searched for.
    pub const SLOW: Self = Self { net: 6, finest: 24, hills: 2, halved: 6, middle: false, ring: 0 };
    /// A servo's arm, rod and lever are themselves the best of a search.
    pub const SERVO: Self = Self { net: 4, finest: 8, hills: 2, halved: 4, middle: true, ring: 8 };
}

/// Pushes nearer than this are equal, and the shorter rod is taken.
const SAME_PUSH: f64 = 0.05;
/// From here on a better push is worth no longer rod where nobody asks for it (common
/// practice, no source).
const FINE_PUSH: f64 = 60.0;
/// Of arm and lever that reach past each other's bolts the push counts for so much: there
/// is a place, and a roomier one is better.
const CROWDED: f64 = 0.5;
/// A place this near to a line is on it, mm.
pub(super) const ON_LINE: f64 = 0.75;

/// A place with what speaks for it.
#[derive(Clone, Copy)]
struct Seen {
    line: usize,
    share: (f64, f64),
    /// How far its neighbours lie, in shares.
    step: (f64, f64),
    at: BoardPoint,
    push: f64,
    /// From the limb's pivot, or the first end of its guide: what the rod has to bridge.
    far: f64,
}

impl Seen {
    /// The best push first, of equals the nearest.
    fn order(&self, other: &Self) -> std::cmp::Ordering {
        other.push.total_cmp(&self.push).then(self.far.total_cmp(&other.far))
    }

    /// Better push, or as good with a shorter rod.
    fn better_than(&self, other: &Self) -> bool {
        let same = (self.push - other.push).abs() <= SAME_PUSH;
        if same { self.far < other.far - 1e-9 } else { self.push > other.push }
    }
}

/// The better of two.
fn better(a: Seen, b: Seen) -> Seen {
    if b.better_than(&a) { b } else { a }
}

/// Why no place works.
pub(super) struct Nowhere {
    /// What is wrong at one of them.
    pub why: Option<String>,
    /// The nearest beside them that was found to work.
    pub works: Option<BoardPoint>,
}

impl Nowhere {
    /// The message that nowhere works, with what is wrong somewhere; and what to do.
    pub fn told(&self, what: String, wider: &str, system: System) -> (String, String) {
        let message = match &self.why {
            Some(why) => format!("{what} {why}"),
            None => what,
        };
        let help = match self.works {
            Some(at) => format!("at {} it works.", print::place((at.x, at.y), 0, system)),
            None => wider.to_owned(),
        };
        (message, help)
    }
}

/// Looks at a place of a line of a region, by its shares.
type Look<'l> = dyn FnMut(usize, (f64, f64), BoardPoint) -> Option<Seen> + 'l;

/// The best few places to climb from, each better than those beside it; and others that lie
/// apart, as far as there are too few of them. Each pair of holes has its own best place, so
/// several are followed.
fn hills(mut seen: Vec<Seen>, most: usize) -> Vec<Seen> {
    seen.sort_by(Seen::order);
    let near = |a: &Seen, b: &Seen| {
        let beside = |a: f64, b: f64, step: f64| (a - b).abs() <= 1.5 * step;
        a.line == b.line
            && beside(a.share.0, b.share.0, a.step.0)
            && beside(a.share.1, b.share.1, a.step.1)
    };
    let top = |n: &usize| !seen[..*n].iter().any(|better| near(&seen[*n], better));
    let tops: Vec<usize> = (0..seen.len()).filter(top).take(most).collect();
    let mut hills: Vec<Seen> = tops.iter().map(|n| seen[*n]).collect();
    for here in &seen {
        if hills.len() < most && !hills.iter().any(|h| near(here, h)) {
            hills.push(*here);
        }
    }
    hills
}

/// Each followed to its top, in ever smaller steps. A top may be a ridge a few millimetres
/// wide, so what was a step to the better is taken again, further each time.
fn climbed(mut hills: Vec<Seen>, halved: usize, region: &Region, look: &mut Look<'_>) -> Vec<Seen> {
    let beside = if region.is_area() { -1..=1 } else { 0..=0 };
    for hill in &mut hills {
        let (line, mut step) = (hill.line, hill.step);
        // Of many that are each nearly as good as the one before the last is not.
        let mut top = hill.push;
        let mut better = |hill: &mut Seen, share: (f64, f64)| {
            let here = region.at(line, share).and_then(|at| look(line, share, at));
            let here = here.filter(|h| h.better_than(hill) && h.push >= top - SAME_PUSH);
            top = here.map_or(top, |here| here.push.max(top));
            *hill = here.unwrap_or(*hill);
            here.is_some()
        };
        for _ in 0..halved {
            step = (0.5 * step.0, 0.5 * step.1);
            for _ in 0..AT_ONE_STEP {
                let from = hill.share;
                for (i, j) in (-1..=1).flat_map(|i| beside.clone().map(move |j| (i, j))) {
                    let by = (f64::from(i) * step.0, f64::from(j) * step.1);
                    if (i, j) != (0, 0) {
                        better(hill, (from.0 + by.0, from.1 + by.1));
                    }
                }
                let mut by = (hill.share.0 - from.0, hill.share.1 - from.1);
                if by == (0.0, 0.0) {
                    break;
                }
                while better(hill, (hill.share.0 + by.0, hill.share.1 + by.1)) {
                    by = (2.0 * by.0, 2.0 * by.1);
                }
            }
        }
        hill.step = step;
    }
    hills.sort_by(Seen::order);
    hills
}

/// Each followed to its top by steps of all lengths and directions, up to ever smaller ones:
/// what pushes best often lies on a narrow ridge that runs askew, where no step along a side
/// or half way between two is better. What was a step to the better is taken again, further
/// each time.
fn scattered(
    mut hills: Vec<Seen>,
    (halved, tries): (usize, u32),
    region: &Region,
    look: &mut Look<'_>,
) -> Vec<Seen> {
    for hill in &mut hills {
        let (line, mut count) = (hill.line, 0_u32);
        let mut top = hill.push;
        let mut better = |hill: &mut Seen, by: (f64, f64)| {
            let share = (hill.share.0 + by.0, hill.share.1 + by.1);
            let here = region.at(line, share).and_then(|at| look(line, share, at));
            let here = here.filter(|h| h.better_than(hill) && h.push >= top - SAME_PUSH);
            let step = hill.step;
            top = here.map_or(top, |here| here.push.max(top));
            *hill = here.map_or(*hill, |here| Seen { step, ..here });
            here.is_some()
        };
        for _ in 0..halved {
            let (mut failed, mut tried) = (0, 0);
            while failed < tries && tried < AT_ONE_STEP as u32 * tries {
                (count, tried) = (count + 1, tried + 1);
                let share = GOLDEN * f64::from(count);
                let far = (share - libm::floor(share)).sqrt();
                let way = Dir::radians(Rad(GOLDEN_TURN * f64::from(count)));
                let mut by = (hill.step.0 * far * way.x(), hill.step.1 * far * way.y());
                failed = if better(hill, by) { 0 } else { failed + 1 };
                while failed == 0 && better(hill, by) {
                    by = (2.0 * by.0, 2.0 * by.1);
                }
            }
            hill.step = (0.5 * hill.step.0, 0.5 * hill.step.1);
        }
    }
    hills.sort_by(Seen::order);
    hills
}

/// What is looked for, and by what it is judged.
pub(super) struct Sought<'s> {
    /// From here the rod has to bridge.
    pub home: BoardPoint,
    /// The limbs whose push counts.
    pub judged: &'s [usize],
    /// Those that have to be fitted for it.
    pub fitted: &'s [usize],
    /// How hard is looked.
    pub effort: Effort,
    /// Lines of places that are known to work, the likelier first; empty where none are.
    pub lines: Vec<Vec<BoardPoint>>,
    /// The board, where places off it do not count.
    pub board: Option<&'s Outline<Board>>,
    /// Whether it is asked why there is none.
    pub told: bool,
    /// Puts a place into the figure.
    pub put: &'s dyn Fn(&mut Figure, BoardPoint),
}

impl Sought<'_> {
    /// The best place of a region; else why there is none.
    pub(super) fn search(
        &self,
        figure: &Figure,
        region: &Region,
    ) -> Result<BoardPoint, Box<Nowhere>> {
        let found = self.searched(figure, region)?;
        Ok(self.no_worse(figure, found, &mut |asked| self.searched(asked, region).ok()))
    }

    /// A place where all of the push is asked for, or the one that is found where nobody
    /// asks, if that pushes better.
    fn no_worse(
        &self,
        figure: &Figure,
        found: BoardPoint,
        unasked: &mut dyn FnMut(&Figure) -> Option<BoardPoint>,
    ) -> BoardPoint {
        if self.worth_having(figure) <= FINE_PUSH {
            return found;
        }
        let mut there = unmeasured(figure);
        let mut push = |at: BoardPoint| {
            (self.put)(&mut there, at);
            self.push(&there).unwrap_or(0.0)
        };
        let own = push(found);
        // So far both are looked for alike, and a servo's parallelogram leads only there.
        let mut asked = figure.clone();
        for &limb in self.judged {
            if let Some(drive) = &mut asked.limbs[limb].drive {
                ask_nothing(&mut drive.mechanism);
            }
        }
        unasked(&asked).filter(|at| *at != found && push(*at) > own).unwrap_or(found)
    }

    fn searched(&self, figure: &Figure, region: &Region) -> Result<BoardPoint, Box<Nowhere>> {
        let mut figure = unmeasured(figure);
        let effort = self.effort;
        let system = figure.system;
        let most = self.worth_having(&figure);
        let mut judge = |at: BoardPoint| {
            (self.put)(&mut figure, at);
            self.push(&figure)
        };
        let mut look =
            |line, share, at| self.seen((line, share), marked(at, system), most, &mut judge);
        if effort.middle
            && region.lines() == 1
            && let Some(at) = region.at(0, (0.5, 0.5))
            && let Some(seen) = look(0, (0.5, 0.5), at)
            && seen.push >= FINE_PUSH
            && most <= FINE_PUSH
        {
            return Ok(seen.at);
        }
        for line in &self.lines {
            let mut inside = line.iter().filter_map(|at| region.nearest(*at, ON_LINE));
            if let Some(first) = inside.find_map(|at| look(0, (0.0, 0.0), at)) {
                return Ok(first.at);
            }
        }
        let mut net = effort.net;
        let mut seen = self.rings(&effort, region, &mut look);
        loop {
            seen.extend(self.net(net, region, &mut look));
            if !seen.is_empty() || net >= effort.finest {
                break;
            }
            net = (2 * net).min(effort.finest);
        }
        let best = climbed(hills(seen, effort.hills), effort.halved, region, &mut look);
        let best = best.first().map(|best| best.at);
        best.ok_or_else(|| Box::new(self.nowhere(&figure, region)))
    }

    /// The best place by a guess at the push that costs little: the best of it are climbed
    /// to, and fitted where they stand; `None` where none of them works then.
    pub(super) fn by_guess(
        &self,
        figure: &Figure,
        region: &Region,
        guess: &mut dyn FnMut(BoardPoint) -> Option<f64>,
    ) -> Option<BoardPoint> {
        let found = self.guessed(figure, region, guess)?;
        Some(self.no_worse(figure, found, &mut |asked| self.guessed(asked, region, guess)))
    }

    fn guessed(
        &self,
        figure: &Figure,
        region: &Region,
        guess: &mut dyn FnMut(BoardPoint) -> Option<f64>,
    ) -> Option<BoardPoint> {
        let mut figure = figure.clone();
        let (effort, system, most) = (Effort::GUESSED, figure.system, self.worth_having(&figure));
        let mut look = |line, share, at| self.seen((line, share), at, most, guess);
        let mut seen = self.rings(&effort, region, &mut look);
        seen.extend(self.net(effort.net, region, &mut look));
        let seen = hills(seen, effort.hills);
        let best = match region.is_area() {
            true => {
                let mut best = scattered(seen, (effort.halved / 2, TRIES), region, &mut look);
                best.truncate(FITTED);
                scattered(best, (effort.halved / 2, 2 * TRIES), region, &mut look)
            }
            false => {
                let mut best = climbed(seen, effort.halved / 2, region, &mut look);
                best.truncate(FITTED);
                climbed(best, effort.halved / 2, region, &mut look)
            }
        };
        // What is marked out turns a little otherwise than what was guessed.
        let mut judge = |at: BoardPoint| {
            (self.put)(&mut figure, at);
            self.push(&figure)
        };
        let mut fitted: Vec<Seen> = Vec::new();
        for top in &best {
            for (i, j) in [(0, 0), (-1, 0), (1, 0), (0, -1), (0, 1)] {
                let by = Vector::mm(f64::from(i), f64::from(j));
                let at = marked(region.closest(top.at + by), system);
                fitted.extend(self.seen((top.line, top.share), at, most, &mut judge));
            }
        }
        fitted.into_iter().reduce(better).map(|best| best.at)
    }

    /// A place with what speaks for it; `None` where it lies off the board, or nothing does.
    fn seen(
        &self,
        (line, share): (usize, (f64, f64)),
        at: BoardPoint,
        most: f64,
        judge: &mut dyn FnMut(BoardPoint) -> Option<f64>,
    ) -> Option<Seen> {
        if self.off_board(at) {
            return None;
        }
        let (push, far) = (judge(at)?.min(most), self.home.distance(at).0);
        Some(Seen { line, share, step: (0.0, 0.0), at, push, far })
    }

    fn off_board(&self, at: BoardPoint) -> bool {
        self.board.is_some_and(|board| !board.contains(at))
    }

    /// Those places of a net that work.
    fn net(&self, net: usize, region: &Region, look: &mut Look<'_>) -> Vec<Seen> {
        let step = 1.0 / net as f64;
        let across = |j: usize| if region.is_area() { j as f64 * step } else { 0.5 };
        let rows = if region.is_area() { net } else { 0 };
        let all = (0..region.lines()).flat_map(|line| {
            (0..=net).flat_map(move |i| (0..=rows).map(move |j| (line, i as f64 * step, j)))
        });
        all.filter_map(|(line, u, j)| {
            let share = (u, across(j));
            let seen = look(line, share, region.at(line, share)?)?;
            Some(Seen { step: (step, step), ..seen })
        })
        .collect()
    }

    /// Those places that work on rings round where the limb turns, as far out as a net is
    /// coarser than they are.
    fn rings(&self, effort: &Effort, region: &Region, look: &mut Look<'_>) -> Vec<Seen> {
        let Some((wide, high)) = region.size() else { return Vec::new() };
        let cell = wide.max(high) / effort.net as f64;
        let mut seen = Vec::new();
        let mut radius = RING;
        while (WIDER - 1.0) * radius < cell {
            let apart = 0.5 * radius;
            for n in 0..effort.ring {
                let turn = Deg(360.0 * f64::from(n) / f64::from(effort.ring));
                let at = self.home + Vector::polar(Mm(radius), Dir::degrees(turn));
                let Some(share) = region.share(at) else { continue };
                let step = (apart / wide, apart / high);
                seen.extend(look(0, share, at).map(|s| Seen { step, ..s }));
            }
            radius *= WIDER;
        }
        seen
    }

    /// Up to which push a better one is looked for: all of it where one of the limbs is to
    /// be pushed as well as can be.
    fn worth_having(&self, figure: &Figure) -> f64 {
        let asked = |l: &usize| {
            let drive = figure.limbs[*l].drive.as_ref();
            drive.is_some_and(|d| preferred(&d.mechanism) == Prefer::Push)
        };
        if self.judged.iter().any(asked) { 90.0 } else { FINE_PUSH }
    }

    /// What is wrong at the middle, and the nearest place outside that works.
    fn nowhere(&self, figure: &Figure, region: &Region) -> Nowhere {
        let system = figure.system;
        let mut at_middle = figure.clone();
        if !self.told {
            return Nowhere { why: None, works: self.outside(&mut at_middle, region) };
        }
        let why = region.at(0, (0.5, 0.5)).map(|p| marked(p, system)).and_then(|at| {
            (self.put)(&mut at_middle, at);
            let errors = fit_at(&at_middle, self.fitted).findings;
            let first = errors.into_iter().find(tells)?;
            let place = print::place((at.x, at.y), 0, system);
            Some(format!("At {place}, for one: {}", first.message))
        });
        Nowhere { why, works: self.outside(&mut at_middle, region) }
    }

    /// The nearest place beside the region that works, of a net round it and of the lines
    /// that are known to work; moved as near to it as it works on the way there.
    fn outside(&self, figure: &mut Figure, region: &Region) -> Option<BoardPoint> {
        let system = figure.system;
        let (low, high) = region.corners();
        // With where the limb turns, since the motor stands about it.
        let low = BoardPoint::mm(low.x.min(self.home.x) - ROOM, low.y.min(self.home.y) - ROOM);
        let high = BoardPoint::mm(high.x.max(self.home.x) + ROOM, high.y.max(self.home.y) + ROOM);
        let net = |net: usize| {
            let place = |n: usize, low: f64, high: f64| low + n as f64 / net as f64 * (high - low);
            let all = (0..=net).flat_map(|i| (0..=net).map(move |j| (i, j)));
            let at = |(i, j)| BoardPoint::mm(place(i, low.x, high.x), place(j, low.y, high.y));
            all.map(at).collect::<Vec<_>>()
        };
        let mut works = |at: BoardPoint| {
            (self.put)(figure, at);
            !self.off_board(at) && self.push(figure).is_some()
        };
        let off = |p: &BoardPoint| region.closest(*p).distance(*p).0;
        let mut first = |mut all: Vec<BoardPoint>| {
            all.sort_by(|a, b| off(a).total_cmp(&off(b)));
            all.into_iter().map(|p| marked(p, system)).find(|at| works(*at))
        };
        let most = self.effort.finest;
        let lines: Vec<BoardPoint> = self.lines.iter().flatten().copied().collect();
        let mut best = first(lines)
            .or_else(|| first(net(most.min(OUTSIDE))))
            .or_else(|| if most > OUTSIDE { first(net(most)) } else { None })?;
        let edge = region.closest(best);
        let (mut good, mut bad) = (0.0, 1.0);
        for _ in 0..NEARER {
            let middle = 0.5 * (good + bad);
            let at = marked(best.toward(edge, middle), system);
            if works(at) { good = middle } else { bad = middle }
        }
        best = marked(best.toward(edge, good), system);
        Some(best)
    }

    /// The worst push of the limbs; `None` where one of them has an error or no
    /// mechanism.
    fn push(&self, figure: &Figure) -> Option<f64> {
        let fitted = fit_quickly(figure, self.fitted);
        if fitted.findings.iter().any(tells) {
            return None;
        }
        let pushes = self.judged.iter().map(|&l| {
            Some(match fitted.limbs[l].mechanism.as_ref()? {
                Fitted::FourBar(bar) => bar.as_drilled.motion?.min_transmission.0,
                Fitted::Drive(drive) => drive.drilled.course.worst_push.0,
                Fitted::Servo(servo) => of_servo(servo)?,
                Fitted::Spin(_) => 90.0,
            })
        });
        pushes.collect::<Option<Vec<f64>>>()?.into_iter().reduce(f64::min)
    }
}

/// The figure as it was before anything was measured on it.
fn unmeasured(figure: &Figure) -> Figure {
    let mut figure = figure.clone();
    for limb in &mut figure.limbs {
        limb.measured = limb.measured.without_motion();
    }
    figure
}

/// The first ring round where a limb turns, mm, and how much wider each next one is.
const RING: f64 = 40.0;
const WIDER: f64 = 1.5;
/// So many of the best places by a guess are fitted.
const FITTED: usize = 4;
/// So many steps one after the other are no better before they are made smaller.
const TRIES: u32 = 6;
/// A turn cut in the golden ratio, rad, and that ratio: directions and lengths that follow
/// each other so fill a circle evenly, however many there are (H. Vogel, Mathematical
/// Biosciences 44 (1979) 179-189).
const GOLDEN_TURN: f64 = 2.399_963_229_728_653;
const GOLDEN: f64 = 0.618_033_988_749_895;
/// So often is gone on by steps of one size.
const AT_ONE_STEP: usize = 8;

/// How far round region and limb is looked for a place that works, mm; along how many places
/// at first; and how often the way to it is halved.
const ROOM: f64 = 150.0;
const OUTSIDE: usize = 24;
const NEARER: usize = 6;

/// No rod is shorter between its pins: two eyes and a nut (common practice, no source).
const EYES: Mm = Mm(20.0);

/// A servo's push; a rod shorter than its two arms lets them meet. `None` where its rod has
/// no room for its eyes.
fn of_servo(servo: &FittedServo) -> Option<f64> {
    if servo.linkage.is_some_and(|bar| bar.bars().rod < EYES) {
        return None;
    }
    let push = servo.min_transmission.map_or(90.0, |p| p.0);
    let crowded = servo.linkage.is_some_and(|bar| {
        let bars = bar.bars();
        bars.rod < bars.crank + bars.lever
    });
    Some(if crowded { push * CROWDED } else { push })
}

/// A `?` that no place answers is told once, where it stands.
fn tells(finding: &Finding) -> bool {
    finding.severity == Severity::Error && finding.code != &NOT_LOOKED_FOR
}

/// A place as it is marked out: to a millimetre, or 1/16 in.
pub(super) fn marked(at: BoardPoint, system: System) -> BoardPoint {
    let step = match system {
        System::Inch => 25.4 / 16.0,
        System::Metric | System::Both => 1.0,
    };
    let mark = |v: f64| libm::round(v / step) * step;
    BoardPoint::mm(mark(at.x), mark(at.y))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_last_net_is_finer_than_a_pencil_mark() {
        let usual = Effort::USUAL;
        let share = (0..usual.halved).fold(1.0 / usual.net as f64, |step, _| step / 2.0);
        assert!(share * 1000.0 < 0.5, "of a region a metre wide");
    }
}
