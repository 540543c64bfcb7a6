//! Finding the sizes that a maker leaves open (`?`).
//!
//! Data flows one way: a [`Wish`] is cut into hole pairs (crank, lever); for each
//! the usable rods are found in closed form (`window`); the best are ranked
//! (`search`); what was found is analysed and rounded to what can be drilled
//! ([`Answer`]); where nothing fits, `near` says what is in the way and what
//! would work, each proved by solving it.

mod cord;
mod fit;
mod forearm;
mod forearm_table;
mod holes;
mod near;
mod ram;
mod ranked;
mod scotch_yoke;
mod search;
mod servo;
mod servo_near;
mod servo_pose;
mod slider_crank;
mod slotted_arm;
mod window;

pub use cord::{CordChange, CordChoice, CordNoFit, CordReason, CordWish, Drawer, solve_cord};
pub use forearm::{
    ForearmAnswer, ForearmChange, ForearmChoice, ForearmNoFit, ForearmReason, ForearmWish,
    forearm_push, solve_forearm,
};
pub use holes::{Hole, HoleFit, WhyNot, holes};
pub use near::{Change, Nearest, NoFit, Reason};
pub use ram::{
    Anchor, FREE_ANCHOR, FREE_RAM_LEVER, RAM_PUSH_FLOOR, RamChange, RamChoice, RamNoFit, RamReason,
    RamWish, nearest_clamp, solve_ram, solve_ram_otherwise,
};
pub use ranked::{Obstacle, Pick, Ranked, Remedy, Unfit};
pub use scotch_yoke::{YokeWish, solve_scotch_yoke};
pub use servo::{
    LEAN_FLOOR, ServoAnswer, ServoChoice, ServoWish, find_servo, solve_servo, usual_arm_holes,
    usual_arm_lever_holes,
};
pub use servo_near::{ServoChange, ServoNoFit, ServoReason, explain_servo};
pub use slider_crank::{SliderWish, solve_slider_crank};
pub use slotted_arm::{SlottedWish, solve_slotted_arm};

use super::{Analysis, Assembly, Degenerate, FourBar};
use crate::geometry::BoardPoint;
use crate::units::{Deg, Mm, Share, System};

/// No answer has a worse push angle.
pub const PUSH_FLOOR: Deg = Deg(20.0);
/// From here on every push angle counts as good for all preferences but `push`.
pub const PUSH_GOOD: Deg = Deg(45.0);
/// Push angles nearer than this are a tie.
pub const PUSH_TIE: Deg = Deg(0.001);
/// A crank left free without a row is looked for in this stretch, mm.
pub const FREE_CRANK: (f64, f64) = (20.0, 60.0);
/// A lever left free without a row is looked for in this stretch, mm.
pub const FREE_LEVER: (f64, f64) = (40.0, 150.0);
/// At most this many values of one row are tried.
pub const ROW_LIMIT: usize = 2000;

/// By how much a swing and its ends may miss where nothing is said: 2 degrees or
/// 5 % of the swing, whichever is less.
#[must_use]
pub fn usual_tolerance(swing: Deg) -> Deg {
    Deg(2.0).min(swing * 0.05)
}

/// One size of a linkage as a maker states it: mm, or degrees for the clamp.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Size {
    /// Known.
    Given(f64),
    /// Open.
    Free,
    /// Open between two values.
    Between {
        /// Smallest.
        lo: f64,
        /// Largest.
        hi: f64,
    },
    /// Open on a row of holes: `lo`, `lo + step` and on while not above `hi`.
    Row {
        /// First hole.
        lo: f64,
        /// Last hole or above.
        hi: f64,
        /// From hole to hole.
        step: f64,
    },
}

impl Size {
    /// An angle's other sign: what was to the left of the axis is to its right.
    #[must_use]
    pub fn negated(self) -> Self {
        self.mapped(|v| -v)
    }

    /// The same of an angle that is counted from elsewhere, or seen in a mirror.
    #[must_use]
    pub fn mapped(self, map: impl Fn(f64) -> f64) -> Self {
        let both = |lo: f64, hi: f64| (map(lo).min(map(hi)), map(lo).max(map(hi)));
        match self {
            Self::Given(v) => Self::Given(map(v)),
            Self::Free => Self::Free,
            Self::Between { lo, hi } => {
                let (lo, hi) = both(lo, hi);
                Self::Between { lo, hi }
            }
            Self::Row { lo, hi, step } => {
                // The row counts from its first hole, which may be the last one mapped.
                let last = lo + libm::floor((hi - lo) / step) * step;
                let (lo, hi) = both(lo, last);
                Self::Row { lo, hi, step }
            }
        }
    }

    /// What a maker marks out for a length that was found: half a millimetre or
    /// 1/32 inch; a given size or a hole of a row stays as it is.
    #[must_use]
    pub fn marked_length(self, exact: Mm, system: System) -> Mm {
        Mm(self.marked(exact.0, Self::step(system)))
    }

    /// From mark to mark of a length, mm.
    const fn step(system: System) -> f64 {
        match system {
            System::Inch => 25.4 / 32.0,
            System::Metric | System::Both => 0.5,
        }
    }

    /// The same for an angle: whole degrees.
    #[must_use]
    pub fn marked_angle(self, exact: Deg) -> Deg {
        let turns = match self {
            // 220 deg lies between 0 and 360, and is -140.
            Self::Between { lo, hi } => libm::round(((lo + hi) / 2.0 - exact.0) / 360.0),
            _ => 0.0,
        };
        Deg(self.marked(exact.0 + 360.0 * turns, 1.0))
    }

    fn marked(self, exact: f64, step: f64) -> f64 {
        match self {
            Self::Given(_) | Self::Row { .. } => exact,
            Self::Free => libm::round(exact / step) * step,
            // What is marked out keeps to the range too.
            Self::Between { lo, hi } => (libm::round(exact / step) * step).clamp(lo, hi),
        }
    }
}

/// What makes one answer better than another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Default)]
pub enum Prefer {
    /// Nothing said: the largest worst push angle, as far as more of it is worth having.
    /// Of limbs on a slide that are pushed 30 degrees or less to the side the one that
    /// moves nearest to what was asked, of a servo's rod a parallelogram, of places that
    /// push at 60 degrees or more the one with the shortest rod.
    #[default]
    Usual,
    /// The largest worst push angle, whatever else.
    Push,
    /// Push at least [`PUSH_GOOD`], then the largest share of builds inside the
    /// tolerance, then the nearest swing.
    Build,
    /// Push at least [`PUSH_GOOD`], then the smallest speed ratio: the motor
    /// feels the limb's load times that.
    Light,
    /// Push at least [`PUSH_GOOD`], then the time ratio nearest 1.
    Even,
}

impl Prefer {
    /// Whether the push angle ranks.
    #[must_use]
    pub const fn by_push(self) -> bool {
        matches!(self, Self::Usual | Self::Push)
    }
}

/// The sizes of a four-bar, each given or open.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sizes {
    /// Motor shaft to crank pin, mm.
    pub crank: Size,
    /// Pin to pin, mm.
    pub rod: Size,
    /// Limb pivot to lever pin, mm.
    pub lever: Size,
    /// From the limb's axis to the lever, degrees counter-clockwise.
    pub clamp: Size,
}

/// Ranks linkages whose push angles tie: smaller is better. The caller knows the
/// board: 0 where rod and lever stay inside it and clear of the frame.
pub type Rate<'a> = &'a (dyn Fn(&FourBar) -> u32 + Sync);

/// What is asked of a four-bar.
#[derive(Clone, Copy)]
pub struct Wish<'a> {
    /// The motor shaft.
    pub motor: BoardPoint,
    /// The limb's pivot.
    pub pivot: BoardPoint,
    /// The sizes.
    pub sizes: Sizes,
    /// The limb angles to swing between; the second is the higher.
    pub sweep: (Deg, Deg),
    /// By how much swing and ends may miss; absent: [`Wish::tolerance`].
    pub within: Option<Deg>,
    /// What makes an answer better.
    pub prefer: Prefer,
    /// Fixed, or whichever is better.
    pub assembly: Option<Assembly>,
    /// By how much a built length may be off, for the share of good builds.
    pub error: Mm,
    /// What the maker measures with.
    pub system: System,
    /// Breaks ties.
    pub rate: Option<Rate<'a>>,
}

impl Wish<'_> {
    /// By how much swing and ends may miss: what is stated, else 2 degrees or
    /// 5 % of the sweep, whichever is less.
    #[must_use]
    pub fn tolerance(&self) -> Deg {
        self.within.unwrap_or_else(|| usual_tolerance(self.asked()))
    }

    /// The swing asked for.
    #[must_use]
    pub fn asked(&self) -> Deg {
        self.sweep.1 - self.sweep.0
    }
}

/// One linkage that fits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Choice {
    /// With exact sizes.
    pub linkage: FourBar,
    /// Its swing.
    pub swing: Deg,
    /// Its worst push angle.
    pub push: Deg,
    /// Its time ratio, at least 1.
    pub time_ratio: f64,
    /// Of builds whose crank, rod and lever are each off by anything up to
    /// [`Wish::error`], the share that swings as wanted within the tolerance (the
    /// clamp being set on the finished limb). To first order in the errors.
    pub fit: Share,
}

/// Sizes that fit, the best first.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
    /// The best.
    pub best: Choice,
    /// Its analysis.
    pub analysis: Analysis,
    /// The best with open sizes rounded to what can be drilled: the clamp to a
    /// degree, lengths to half a millimetre or 1/32 inch. Given sizes and holes
    /// of a row stay as they are.
    pub drilled: FourBar,
    /// The analysis of the rounded linkage.
    pub drilled_analysis: Analysis,
    /// Whether the rounded linkage still swings and ends within the tolerance.
    pub drilled_fits: bool,
    /// The tolerance it was solved with.
    pub tolerance: Deg,
    /// The best of each of the next best hole pairs, best first.
    pub others: Vec<Choice>,
}

/// How many other hole pairs an answer lists.
pub const OTHERS: usize = 4;
/// How many are looked at where another preference than the push puts them in order.
const KEPT: usize = 24;

/// The best linkage for a wish.
///
/// Every answer is a strict crank-rocker with a worst push angle of at least
/// [`PUSH_FLOOR`], whose swing misses the asked one by at most the tolerance, and
/// each end too. With crank and lever given or on rows and [`Prefer::Usual`] or [`Prefer::Push`] it is
/// the exact best; where crank or lever may take any value they are searched on a
/// grid of 25 values that is narrowed about the best to a hundredth of a
/// millimetre. The other preferences choose among, for each pair, the best-push,
/// exact-swing and border rods and nine between. Ties in push angle: [`Wish::rate`],
/// then nearest swing, then time ratio nearest 1, then the longer lever, then the
/// open assembly.
///
/// # Errors
/// Where nothing fits: what is in the way, and the nearest that works.
pub fn solve(wish: &Wish<'_>) -> Result<Answer, Box<NoFit>> {
    let plan = search::Plan::of(wish).map_err(NoFit::nonsense)?;
    let found = plan.search();
    match plan.rank(&found) {
        Some(ranked) => answer(wish, &ranked).ok_or_else(|| NoFit::nonsense(Degenerate::NotFinite)),
        None => Err(near::explain(wish, &plan)),
    }
}

/// Analyses and rounds the ranked choices.
fn answer(wish: &Wish<'_>, ranked: &[Choice]) -> Option<Answer> {
    let (best, others) = ranked.split_first()?;
    let drilled = drilled(wish, &best.linkage)?;
    let drilled_analysis = drilled.analyse();
    Some(Answer {
        best: *best,
        analysis: best.linkage.analyse(),
        drilled,
        drilled_analysis,
        drilled_fits: fits(wish, &drilled_analysis),
        tolerance: wish.tolerance(),
        others: others.to_vec(),
    })
}

/// The linkage with its solved sizes rounded to what a ruler and a drill can do: to the
/// nearest marks with which it still does what is wished, or, where none of those near does, to
/// tenths.
fn drilled(wish: &Wish<'_>, exact: &FourBar) -> Option<FourBar> {
    let (bars, sizes) = (exact.bars(), &wish.sizes);
    let crank = sizes.crank.marked_length(bars.crank, wish.system);
    let lever = sizes.lever.marked_length(bars.lever, wish.system);
    let made = |rod: Mm, clamp: Deg| {
        let lengths = (crank, rod, lever);
        FourBar::new((wish.motor, wish.pivot), lengths, clamp, exact.assembly()).ok()
    };
    let rod = sizes.rod.marked_length(bars.rod, wish.system);
    let clamp = sizes.clamp.marked_angle(exact.clamp());
    let nearest = made(rod, clamp);
    let clamps = marks(sizes.clamp, clamp.0, 1.0);
    let near = marks(sizes.rod, rod.0, Size::step(wish.system))
        .into_iter()
        .flat_map(|rod| clamps.map(|clamp| (rod, clamp)));
    let tenths = |size: Size, v: f64| match size {
        Size::Free | Size::Between { .. } => libm::round(v * 10.0) / 10.0,
        Size::Given(_) | Size::Row { .. } => v,
    };
    let finer = (tenths(sizes.rod, bars.rod.0), tenths(sizes.clamp, exact.clamp().0));
    let does = |bar: &FourBar| fits(wish, &bar.analyse());
    nearest
        .filter(does)
        .or_else(|| {
            let mut tried =
                near.chain([finer]).filter_map(|(rod, clamp)| made(Mm(rod), Deg(clamp)));
            tried.find(does)
        })
        .or(nearest)
}

/// The marks of an open size next to its own, that first, kept to its range.
fn marks(size: Size, marked: f64, step: f64) -> [f64; 3] {
    [0.0, 1.0, -1.0].map(|by| match size {
        Size::Free => marked + by * step,
        Size::Between { lo, hi } => (marked + by * step).clamp(lo, hi),
        Size::Given(_) | Size::Row { .. } => marked,
    })
}

/// Whether an analysed linkage swings and ends as wished.
fn fits(wish: &Wish<'_>, analysis: &Analysis) -> bool {
    let tolerance = wish.tolerance() + Deg(1e-9);
    let Some((low, high)) = analysis.motion.and_then(|m| m.low.zip(m.high)) else { return false };
    let miss = |got: Deg, want: Deg| (got - want).signed().abs();
    analysis.crank_turns_fully
        && (high - low - wish.asked()).abs() <= tolerance
        && miss(low, wish.sweep.0) <= tolerance
        && miss(high, wish.sweep.1) <= tolerance
}
