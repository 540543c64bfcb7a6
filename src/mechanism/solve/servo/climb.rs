//! From the best places of the net to the best there are.

use std::cmp::Ordering;

use super::{Allowed, Found, Levers, Plan};

/// The most steps of clamp and of rod in a climb, and the least of the rod, mm.
const TURNS: usize = 20;
const STEPS: usize = 16;
const FINEST: f64 = 0.02;
/// The steps of the rod end at this part of the first.
const FINER: f64 = 32.0;

impl Plan<'_> {
    /// Climbed from in ever smaller steps of the clamp, `first` to `finest` rad, with the
    /// best rod for each: the best often lies where the travel ends, a line that single
    /// steps of both would not follow.
    pub(super) fn climbed(&self, from: Found, (first, finest): (f64, f64)) -> Found {
        if from.parallel && from.key[0] < -9.0 && from.beyond <= 0.0 {
            return from;
        }
        let mut turn = first;
        let reach = |turn: f64| from.pair.lever * turn;
        let mut best = self.best_rod(from, from.clamp, reach(turn));
        for _ in 0..TURNS {
            let about = best;
            for by in [turn, -turn] {
                let here = self.best_rod(about, self.clamp(about.clamp + by), reach(turn));
                if here.order(&best) == Ordering::Less {
                    best = here;
                    break;
                }
            }
            if best.order(&about) != Ordering::Less {
                turn /= 2.0;
            }
            if turn < finest {
                break;
            }
        }
        best
    }

    /// The best rod near that of a find, with another clamp, looked for in steps from
    /// `reach` down; the find itself where none reaches.
    fn best_rod(&self, from: Found, clamp: f64, reach: f64) -> Found {
        let Some(levers) = Levers::at(&from.pair, &self.limb, clamp) else { return from };
        let row = match self.rods {
            Allowed::Row(_, _, step) => step,
            _ => 0.0,
        };
        let (lo, hi) = levers.rods;
        let at = |rod: f64| self.at(&from.pair, (&levers, clamp), self.rod(rod), from.elbow);
        let own = |f: &Found| f.hill() == from.hill();
        let mut best = at(from.rod.clamp(lo, hi)).filter(own);
        let mut rod = best.map_or(from.rod.clamp(lo, hi), |b| b.rod);
        let mut step = reach.max(row);
        let finest = (reach / FINER).max(FINEST).max(row / 2.0);
        for _ in 0..STEPS {
            let better = [step, -step].into_iter().find_map(|by| {
                let here = at(rod + by).filter(own)?;
                best.is_none_or(|b| here.order(&b) == Ordering::Less).then_some(here)
            });
            match better {
                Some(here) => (rod, best) = (here.rod, Some(here)),
                None => step /= 2.0,
            }
            if step < finest {
                break;
            }
        }
        best.unwrap_or(from)
    }
}
