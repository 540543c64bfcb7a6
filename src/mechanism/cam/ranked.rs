//! Cams beside the one that is taken: larger discs that push more squarely, and other levers.

use super::size::{Answer, Asked, NoFit, Wish, choices, find, nearest};
use super::{Limb, Swinging, SwingingFoot};
use crate::mechanism::Size;
use crate::mechanism::solve::{FREE_LEVER, OTHERS};
use crate::units::{Deg, Mm};

/// Base circles that are tried beside the smallest, as many times as large.
const LARGER: [f64; 6] = [1.15, 1.3, 1.5, 1.75, 2.0, 2.5];
/// A larger disc is told where it pushes by so much more squarely than the one before.
const WORTH: Deg = Deg(1.0);
/// Levers nearer than this are one.
const APART: Mm = Mm(16.0);
/// Lengths nearer than this are the same.
const SAME: Mm = Mm(1e-6);

/// The cam that is taken, and others that keep every rule: with as many open levers as base
/// circles where both are open.
///
/// # Errors
/// [`NoFit`], with what would work.
pub fn ranked(wish: &Wish) -> Result<(Answer, Vec<Answer>), NoFit> {
    let best = find(wish).map_err(|reason| NoFit { reason, nearest: nearest(wish, reason) })?;
    let levers = other_levers(wish, &best);
    let mut others = larger(wish, &best);
    others.truncate(OTHERS - levers.len().min(OTHERS / 2));
    let room = OTHERS - others.len();
    others.extend(levers.into_iter().take(room));
    Ok((best, others))
}

/// Every lever that keeps the rules with its smallest base circle, the cam that would be taken
/// first among them.
///
/// # Errors
/// [`NoFit`], with what would work.
pub fn on_each_lever(wish: &Wish) -> Result<Vec<Answer>, NoFit> {
    let best = find(wish).map_err(|reason| NoFit { reason, nearest: nearest(wish, reason) })?;
    let own = lever(&best);
    let mut all = vec![best];
    if let Asked::Rolls { lever: open, .. } = wish.limb
        && let Some(own) = own
    {
        let levers = choices(open, FREE_LEVER).into_iter().map(|v| Mm(wish.marked(open, v)));
        let others = levers.filter(|next| (*next - own).abs() > SAME);
        all.extend(others.filter_map(|next| find(&wish.on_lever(next)).ok()));
    }
    Ok(all)
}

/// The same cam on larger base circles that keep every rule and push more squarely.
#[must_use]
pub fn on_larger_discs(wish: &Wish, of: &Answer) -> Vec<Answer> {
    larger(wish, of)
}

/// Larger base circles: a larger disc, pushed more squarely.
fn larger(wish: &Wish, best: &Answer) -> Vec<Answer> {
    let base = best.cam.plan().base;
    let most = wish.rules.most.0;
    let bases: Vec<f64> = match wish.base {
        Size::Given(_) => Vec::new(),
        // The clamp settles it.
        _ if wish.clamped().is_some() => Vec::new(),
        Size::Free => LARGER.map(|by| wish.on_a_mark(base.0 * by)).into(),
        Size::Between { hi, .. } => {
            LARGER.map(|by| wish.on_a_mark(base.0 * by)).into_iter().filter(|b| *b <= hi).collect()
        }
        Size::Row { .. } => choices(wish.base, (0.0, 0.0)),
    };
    let lever = lever(best).unwrap_or(Mm(0.0));
    let mut found: Vec<Answer> = Vec::new();
    for larger in bases.into_iter().filter(|b| *b > base.0 + 0.5 && *b <= most) {
        let pressure = found.last().unwrap_or(best).facts.pressure.value;
        found.extend(wish.judge_below(Mm(larger), lever, pressure - WORTH));
    }
    found
}

/// Other levers, each with its smallest base circle; those whose cam reaches least first.
fn other_levers(wish: &Wish, best: &Answer) -> Vec<Answer> {
    let Asked::Rolls {
        lever: open @ (Size::Free | Size::Between { .. } | Size::Row { .. }), ..
    } = wish.limb
    else {
        return Vec::new();
    };
    let Some(own) = lever(best) else { return Vec::new() };
    let mut kept = vec![own];
    let all = choices(open, FREE_LEVER).into_iter().map(|v| Mm(wish.marked(open, v)));
    let mut found: Vec<Answer> = Vec::new();
    for next in all {
        if kept.iter().all(|k| (*k - next).abs() >= APART)
            && let Ok(answer) = find(&wish.on_lever(next))
        {
            kept.push(next);
            found.push(answer);
        }
    }
    found.sort_by(|a, b| a.facts.farthest.0.total_cmp(&b.facts.farthest.0));
    found.truncate(OTHERS);
    found
}

/// The lever of a limb that swings on a roller.
fn lever(answer: &Answer) -> Option<Mm> {
    match answer.cam.plan().limb {
        Limb::Swings(Swinging { foot: SwingingFoot::Roller { lever, .. }, .. }) => Some(lever),
        _ => None,
    }
}
