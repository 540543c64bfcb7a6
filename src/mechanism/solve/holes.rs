//! The table of what every pair of holes does.

use super::search::Plan;
use super::window::Pair;
use super::{PUSH_FLOOR, Size, Sizes, Wish};
use crate::mechanism::{Assembly, Class, Degenerate, FourBar};
use crate::units::{Deg, Mm, Rad};

/// What a pair of holes does.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HoleFit {
    /// The rod: as given, or the best for the swing asked for.
    pub rod: Mm,
    /// The swing.
    pub sweep: Deg,
    /// The middle of the swing, limb angle in (-180, 180]; with an open clamp the
    /// middle asked for.
    pub centre: Deg,
    /// The worst push angle.
    pub push: Deg,
    /// Whether it fits all that was asked.
    pub fits: bool,
}

/// Why a pair of holes does not go round.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum WhyNot {
    /// The crank is not the shortest bar by enough for any rod.
    CrankTooLong,
    /// The crank is blocked with this rod; it would go round between these two.
    RodOutside {
        /// Shortest rod that goes round.
        from: Mm,
        /// Longest rod that goes round.
        to: Mm,
    },
    /// It goes round, but no rod gives the swing asked for: it reaches this far.
    Swing {
        /// The least it swings with a usable push angle.
        least: Deg,
        /// The most.
        most: Deg,
    },
    /// It would swing as asked, but pushes worse than [`PUSH_FLOOR`] or needs
    /// another rod or clamp.
    OutOfReach,
}

/// One cell of the table.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hole {
    /// The crank's hole.
    pub crank: Mm,
    /// The lever's hole.
    pub lever: Mm,
    /// What it does.
    pub outcome: Result<HoleFit, WhyNot>,
}

/// Every crank hole with every lever hole, crank by crank. With a given rod the
/// table says what each pair does with it; with an open one what the best rod for
/// the asked swing does.
///
/// # Errors
/// Where the wish makes no sense.
pub fn holes(wish: &Wish<'_>) -> Result<Vec<Hole>, Degenerate> {
    let plan = Plan::of(wish)?;
    Ok(plan.pairs().map(|pair| hole(wish, pair)).collect())
}

fn hole(wish: &Wish<'_>, pair: Pair) -> Hole {
    let outcome = match (pair.turning(), wish.sizes.rod) {
        (None, _) => Err(WhyNot::CrankTooLong),
        (Some(rods), Size::Given(b)) => {
            let outside = WhyNot::RodOutside { from: Mm(rods.lo), to: Mm(rods.hi) };
            as_built(wish, pair, b).ok_or(outside)
        }
        (Some(_), _) => best(wish, pair).ok_or_else(|| why_not(pair, wish)),
    };
    Hole { crank: Mm(pair.a), lever: Mm(pair.c), outcome }
}

/// The wish with this pair only.
fn only<'a>(wish: &Wish<'a>, pair: Pair) -> Wish<'a> {
    let (crank, lever) = (Size::Given(pair.a), Size::Given(pair.c));
    Wish { sizes: Sizes { crank, lever, ..wish.sizes }, ..*wish }
}

/// The best rod for the swing.
fn best(wish: &Wish<'_>, pair: Pair) -> Option<HoleFit> {
    let wish = only(wish, pair);
    let plan = Plan::of(&wish).ok()?;
    let choice = plan.rank(&plan.search())?.into_iter().next()?;
    described(&choice.linkage, true)
}

/// What a given rod does, whether or not it fits the wish.
fn as_built(wish: &Wish<'_>, pair: Pair, rod: f64) -> Option<HoleFit> {
    if let Some(fit) = best(wish, pair) {
        return Some(fit);
    }
    let clamp = match wish.sizes.clamp {
        Size::Given(v) => Deg(v),
        _ => Deg(0.0),
    };
    let assembly = wish.assembly.unwrap_or(Assembly::Open);
    let lengths = (Mm(pair.a), Mm(rod), Mm(pair.c));
    let linkage = FourBar::new((wish.motor, wish.pivot), lengths, clamp, assembly).ok()?;
    let fit = described(&linkage, false)?;
    let open = !matches!(wish.sizes.clamp, Size::Given(_));
    let middle = ((wish.sweep.0 + wish.sweep.1) / 2.0).signed();
    Some(if open { HoleFit { centre: middle, ..fit } } else { fit })
}

fn described(linkage: &FourBar, fits: bool) -> Option<HoleFit> {
    let analysis = linkage.analyse();
    let motion = analysis.motion.filter(|_| analysis.class == Class::CrankRocker)?;
    let (low, high) = motion.low.zip(motion.high)?;
    Some(HoleFit {
        rod: linkage.bars().rod,
        sweep: motion.sweep,
        centre: ((low + high) / 2.0).signed(),
        push: motion.min_transmission,
        fits,
    })
}

/// Which swings the pair can reach at all.
fn why_not(pair: Pair, wish: &Wish<'_>) -> WhyNot {
    let floor = libm::cos(PUSH_FLOOR.rad().0);
    let Some((least, most)) = super::near::reachable(&pair, floor) else {
        return WhyNot::OutOfReach;
    };
    let (least, most) = (Rad(least).deg(), Rad(most).deg());
    let (asked, tolerance) = (wish.asked(), wish.tolerance());
    if asked + tolerance < least || asked - tolerance > most {
        WhyNot::Swing { least, most }
    } else {
        WhyNot::OutOfReach
    }
}
