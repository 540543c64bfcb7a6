//! What the solvers of the crank kinds share: sizes to try, ranking, and answers.

use super::{OTHERS, PUSH_GOOD, PUSH_TIE, Prefer, ROW_LIMIT, Size, fit};
use crate::geometry::BoardPoint;
use crate::mechanism::{Bars, Cycle, Degenerate};
use crate::units::{Deg, Mm, Rad, Share};

/// One mechanism that fits, analysed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pick<M> {
    /// With exact sizes.
    pub mechanism: M,
    /// Its cycle.
    pub cycle: Cycle,
    /// By how much its ends miss what was asked at worst, degrees or mm.
    pub miss: f64,
    /// At most so large a share of builds has its motion inside the tolerance when each
    /// length is off by anything up to the build error; to first order.
    pub fit: Share,
}

/// Sizes that fit, the best first.
#[derive(Clone, Debug, PartialEq)]
pub struct Ranked<M> {
    /// The best.
    pub best: Pick<M>,
    /// The next best, each with another crank.
    pub others: Vec<Pick<M>>,
    /// The tolerance it was solved with, degrees or mm.
    pub tolerance: f64,
}

/// Why nothing fits; motions are in degrees or mm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Obstacle {
    /// The wish itself makes no sense.
    Nonsense(Degenerate),
    /// With no allowed size does the crank go right round.
    CannotTurn,
    /// All allowed sizes move it further than asked.
    TooFar {
        /// The least they move it.
        least: f64,
    },
    /// No allowed size moves it as far as asked.
    TooLittle {
        /// The most they move it.
        most: f64,
    },
    /// Each allowed size moves it too far or too little.
    BetweenSizes {
        /// The most of those that move it too little.
        below: f64,
        /// The least of those that move it too far.
        above: f64,
    },
    /// It moves as far as asked, but elsewhere.
    Elsewhere {
        /// By how much the nearest misses.
        by: f64,
    },
    /// It moves as asked, but pushes at a worse angle than is usable.
    WeakPush {
        /// The best worst push angle.
        best: Deg,
    },
}

/// One change that makes it work.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Remedy {
    /// Ask for other ends, degrees or mm.
    Ends {
        /// The lower.
        from: f64,
        /// The higher.
        to: f64,
    },
    /// Another crank.
    Crank(Mm),
    /// Another rod.
    Rod(Mm),
    /// Another clamp angle.
    Clamp(Deg),
    /// The motor elsewhere.
    Motor(BoardPoint),
}

/// Nothing fits.
#[derive(Clone, Debug, PartialEq)]
pub struct Unfit<M> {
    /// What is in the way.
    pub why: Obstacle,
    /// Single changes that work, each found by solving.
    pub nearest: Vec<(Remedy, Pick<M>)>,
}

/// A mechanism under consideration with what ranks it, all in closed form.
#[derive(Clone, Copy)]
pub(super) struct Candidate<M> {
    pub mechanism: M,
    pub crank: f64,
    /// Swing or stroke.
    pub range: f64,
    /// Worst miss of an end.
    pub miss: f64,
    /// Worst push angle, rad.
    pub push: f64,
    /// How the range changes with each length, per mm.
    pub slopes: [f64; 3],
    /// By how much either end misses, and how it changes with crank, rod, and the places of
    /// motor and guide along it, per mm; `None` where only the range counts, since the
    /// middle is set by hand.
    pub ends: Option<[(f64, [f64; 4]); 2]>,
}

/// What a solver asks of its candidates.
pub(super) struct Goal {
    pub asked: f64,
    pub tolerance: f64,
    /// Least worst push angle.
    pub floor: Deg,
    /// From here on a better push is worth nothing: the nearest motion is best.
    pub fine: Deg,
    pub prefer: Prefer,
    pub error: Mm,
}

/// Sizes on the edge of a window are inside it: their own rounding is forgiven.
const EDGE: f64 = 1e-9;
/// `light` and `even` analyse at most this many of those that fit.
const ANALYSED: usize = 64;

impl Goal {
    /// Whether the range alone fits.
    fn reaches(&self, range: f64) -> bool {
        (range - self.asked).abs() <= self.tolerance + EDGE
    }

    pub(super) fn fits<M>(&self, c: &Candidate<M>) -> bool {
        let push = c.push >= self.floor.rad().0 - 1e-12;
        self.reaches(c.range) && c.miss <= self.tolerance + EDGE && push
    }

    fn share<M>(&self, c: &Candidate<M>) -> f64 {
        let share = |slopes: &[f64], off| fit::share(slopes, self.error.0, off, self.tolerance);
        let range = share(&c.slopes, c.range - self.asked);
        // Of three that must all hold no more can hold than of the worst.
        let ends = c.ends.iter().flatten().map(|(off, slopes)| share(slopes, *off));
        ends.fold(range, f64::min)
    }

    fn pick<M: Copy>(&self, c: &Candidate<M>, cycle: impl Fn(&M) -> Cycle) -> Pick<M> {
        let (mechanism, fit) = (c.mechanism, Share(self.share(c)));
        Pick { mechanism, cycle: cycle(&mechanism), miss: c.miss, fit }
    }

    /// The best first, by the preference; `None` where nothing fits.
    pub(super) fn rank<M: Copy>(
        &self,
        all: &[Candidate<M>],
        cycle: impl Fn(&M) -> Cycle,
    ) -> Option<Ranked<M>> {
        let mut fitting: Vec<&Candidate<M>> = all.iter().filter(|c| self.fits(c)).collect();
        let top = fitting.iter().map(|c| c.push).fold(0.0, f64::max);
        if matches!(self.prefer, Prefer::Light | Prefer::Even) && fitting.len() > ANALYSED {
            let stride = fitting.len().div_ceil(ANALYSED);
            fitting = fitting.into_iter().step_by(stride).collect();
        }
        // First whether the push is good, then the preference's own measure.
        let good = |c: &Candidate<M>| {
            if c.push >= PUSH_GOOD.rad().0 - 1e-12 { 0.0 } else { 1.0 + top - c.push }
        };
        let mut keyed: Vec<([f64; 3], &Candidate<M>)> = fitting
            .into_iter()
            .map(|c| {
                let off = (c.range - self.asked).abs();
                let key = match self.prefer {
                    Prefer::Usual if c.push >= self.fine.rad().0 - 1e-12 => [-1.0, c.miss, off],
                    Prefer::Usual | Prefer::Push if c.push >= top - PUSH_TIE.rad().0 => {
                        [0.0, off, c.miss]
                    }
                    Prefer::Usual | Prefer::Push => [1.0, -c.push, off],
                    Prefer::Build => [good(c), -self.share(c), off],
                    Prefer::Light => [good(c), cycle(&c.mechanism).course.speed(), off],
                    Prefer::Even => {
                        let ratio = cycle(&c.mechanism).course.time_ratio;
                        [good(c), ratio.unwrap_or(f64::INFINITY), off]
                    }
                };
                (key, c)
            })
            .collect();
        keyed.sort_by(|(p, _), (q, _)| {
            p[0].total_cmp(&q[0]).then(p[1].total_cmp(&q[1])).then(p[2].total_cmp(&q[2]))
        });
        let mut chosen: Vec<&Candidate<M>> = Vec::with_capacity(OTHERS + 1);
        for (_, c) in keyed {
            if chosen.len() <= OTHERS && chosen.iter().all(|o| (o.crank - c.crank).abs() > 0.5) {
                chosen.push(c);
            }
        }
        let mut picks = chosen.into_iter().map(|c| self.pick(c, &cycle));
        let best = picks.next()?;
        Some(Ranked { best, others: picks.collect(), tolerance: self.tolerance })
    }

    /// What is in the way of candidates of which none fits.
    pub(super) fn obstacle<M>(&self, all: &[Candidate<M>]) -> Obstacle {
        let reaching = || all.iter().filter(|c| self.reaches(c.range));
        let best =
            reaching().filter(|c| c.miss <= self.tolerance + EDGE).map(|c| c.push).reduce(f64::max);
        if let Some(push) = best {
            return Obstacle::WeakPush { best: Rad(push).deg() };
        }
        if let Some(by) = reaching().map(|c| c.miss).reduce(f64::min) {
            return Obstacle::Elsewhere { by };
        }
        let ranges = || all.iter().map(|c| c.range);
        let below = ranges().filter(|r| *r < self.asked).reduce(f64::max);
        let above = ranges().filter(|r| *r > self.asked).reduce(f64::min);
        match (below, above) {
            (None, None) => Obstacle::CannotTurn,
            (Some(most), None) => Obstacle::TooLittle { most },
            (None, Some(least)) => Obstacle::TooFar { least },
            (Some(below), Some(above)) => Obstacle::BetweenSizes { below, above },
        }
    }
}

/// Stretch or list of values a size may have.
pub(super) enum Values {
    /// These.
    Listed(Vec<f64>),
    /// Any between.
    Any(f64, f64),
}

impl Values {
    /// The values of a length; a free one may be anything in `free`.
    pub(super) fn of(size: Size, free: (f64, f64)) -> Result<Self, Degenerate> {
        let fine = |v: f64| (Bars::SHORTEST.0..=Bars::LONGEST.0).contains(&v);
        match size {
            Size::Given(v) if fine(v) => Ok(Self::Listed(vec![v])),
            Size::Free => Ok(Self::Any(free.0, free.1)),
            Size::Between { lo, hi } if fine(lo) && fine(hi) && lo <= hi => Ok(Self::Any(lo, hi)),
            Size::Row { lo, hi, step } if fine(lo) && fine(hi) && lo <= hi && step > 0.0 => {
                let last = libm::floor((hi - lo) / step + 1e-9);
                if last >= ROW_LIMIT as f64 {
                    return Err(Degenerate::Length);
                }
                Ok(Self::Listed((0..=last as usize).map(|i| lo + step * i as f64).collect()))
            }
            _ => Err(Degenerate::Length),
        }
    }

    /// What to try: the listed values, or the wanted ones inside the stretch and its
    /// ends.
    pub(super) fn tried(&self, wanted: &[f64]) -> Vec<f64> {
        match self {
            Self::Listed(all) => all.clone(),
            Self::Any(lo, hi) => {
                let inside = wanted.iter().copied().filter(|v| *v >= *lo && *v <= *hi);
                let ends = [*lo, *hi].into_iter().filter(|v| v.is_finite());
                inside.chain(ends).collect()
            }
        }
    }
}
