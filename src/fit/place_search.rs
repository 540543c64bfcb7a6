//! The search for a place that is left open.
//!
//! A place is judged by fitting every limb that hangs on it from there: all of them must
//! come out without an error, and the worst push among them counts, up to 60 deg; of places
//! that push as well the one with the shortest rod is taken. From the best few places of an
//! even net the push is climbed in ever smaller steps, down to a pencil mark; that it is the
//! best there is is not proved. A net in which nothing works is made finer before it is
//! given up. Where what works is a line that is known, the line is looked at instead.
//! What was measured on a limb says nothing of it: it is looked for as it was before the
//! limb was built, so it is found where it was marked out then.

use super::codes::NOT_LOOKED_FOR;
use super::region::Region;
use super::{Fitted, FittedServo, fit_at, fit_quickly};
use crate::finding::{Finding, Severity};
use crate::geometry::{Board, BoardPoint, Outline};
use crate::model::Figure;
use crate::units::{Mm, System, print};

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
}

impl Effort {
    /// What is judged in no time.
    pub const USUAL: Self = Self { net: 12, finest: 48, hills: 6, halved: 8, middle: false };
    /// A cam is cut anew for every place.
    pub const CAM: Self = Self { finest: 12, ..Self::USUAL };
    /// A second rod is solved all along the motion of the limb above.
    pub const ROD: Self = Self { net: 8, finest: 16, hills: 2, ..Self::USUAL };
    /// A cord, or a crank whose length is not a hole, is itself searched for.
    pub const SLOW: Self = Self { net: 6, finest: 24, hills: 2, halved: 6, middle: false };
    /// A servo's arm, rod and lever are themselves the best of a search.
    pub const SERVO: Self = Self { net: 4, finest: 8, hills: 2, halved: 4, middle: true };
}

/// Pushes nearer than this are equal, and the shorter rod is taken.
const SAME_PUSH: f64 = 0.05;
/// From here on a better push is worth no longer rod (common practice, no source).
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
    at: BoardPoint,
    push: f64,
    /// From the limb's pivot, or the first end of its guide: what the rod has to bridge.
    far: f64,
}

impl Seen {
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
        let mut figure = figure.clone();
        for limb in &mut figure.limbs {
            limb.measured = limb.measured.without_motion();
        }
        let effort = self.effort;
        let system = figure.system;
        let mut look = |line: usize, share: (f64, f64), at: BoardPoint| {
            let at = marked(at, system);
            if self.off_board(at) {
                return None;
            }
            (self.put)(&mut figure, at);
            let push = self.push(&figure)?.min(FINE_PUSH);
            Some(Seen { line, share, at, push, far: self.home.distance(at).0 })
        };
        if effort.middle
            && region.lines() == 1
            && let Some(at) = region.at(0, (0.5, 0.5))
            && let Some(seen) = look(0, (0.5, 0.5), at)
            && seen.push >= FINE_PUSH
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
        let (mut seen, step) = loop {
            let seen = self.net(net, region, &mut look);
            if !seen.is_empty() || net >= effort.finest {
                break (seen, 1.0 / net as f64);
            }
            net = (2 * net).min(effort.finest);
        };
        seen.sort_by(|a, b| b.push.total_cmp(&a.push).then(a.far.total_cmp(&b.far)));
        // Each pair of holes has its own best place, so several are followed.
        let mut hills: Vec<Seen> = Vec::new();
        for here in seen {
            let apart = |h: &Seen| {
                h.line != here.line
                    || (h.share.0 - here.share.0).abs().max((h.share.1 - here.share.1).abs())
                        > 1.5 * step
            };
            if hills.len() < effort.hills && hills.iter().all(apart) {
                hills.push(here);
            }
        }
        for hill in &mut hills {
            let mut step = step;
            for _ in 0..effort.halved {
                step *= 0.5;
                let about = *hill;
                for i in -1..=1 {
                    for j in if region.is_area() { -1..=1 } else { 0..=0 } {
                        let share = (
                            about.share.0 + f64::from(i) * step,
                            about.share.1 + f64::from(j) * step,
                        );
                        if let Some(at) = region.at(about.line, share)
                            && let Some(here) = look(about.line, share, at)
                            && here.better_than(hill)
                        {
                            *hill = here;
                        }
                    }
                }
            }
        }
        let best = hills.into_iter().reduce(better).map(|best| best.at);
        best.ok_or_else(|| Box::new(self.nowhere(&figure, region)))
    }

    fn off_board(&self, at: BoardPoint) -> bool {
        self.board.is_some_and(|board| !board.contains(at))
    }

    /// Those places of a net that work.
    fn net(
        &self,
        net: usize,
        region: &Region,
        look: &mut dyn FnMut(usize, (f64, f64), BoardPoint) -> Option<Seen>,
    ) -> Vec<Seen> {
        let step = 1.0 / net as f64;
        let across = |j: usize| if region.is_area() { j as f64 * step } else { 0.5 };
        let rows = if region.is_area() { net } else { 0 };
        let all = (0..region.lines()).flat_map(|line| {
            (0..=net).flat_map(move |i| (0..=rows).map(move |j| (line, i as f64 * step, j)))
        });
        all.filter_map(|(line, u, j)| {
            let share = (u, across(j));
            look(line, share, region.at(line, share)?)
        })
        .collect()
    }

    /// What is wrong at the middle, and the nearest place outside that works.
    fn nowhere(&self, figure: &Figure, region: &Region) -> Nowhere {
        let system = figure.system;
        let mut at_middle = figure.clone();
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
