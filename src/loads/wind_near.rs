//! Limbs that pass each other at different depths, when the wind bends them.
//!
//! The wind pushes both the same way, so that the bending of one alone counts, whichever
//! bends more; the play of their bolts may tilt them towards each other, so both tilts do.

use super::Bench;
use super::wind_codes::CLASH_IN_WIND;
use super::wind_limb::SCRAPE;
use super::wind_limit::{Limit, When, input};
use crate::model::Note;
use crate::space::{Neighbour, Role};
use crate::units::{Mm, print};

/// How far a limb leaves its plane somewhere along it.
struct Leaves {
    /// By the play of bolts, mm.
    calm: f64,
    /// And by the wind, mm for each (m/s)^2.
    bends: f64,
    /// How steep it stands by play at most, mm for each mm.
    tilt: f64,
    /// And by the wind, for each (m/s)^2.
    slope: f64,
    typical: Vec<&'static str>,
    left_out: bool,
}

impl Bench<'_> {
    /// What each limb passes, in the gust in which it runs.
    pub(super) fn wind_on_neighbours(&mut self) {
        let (run, system) = (self.site.winds.run, self.fitted.figure.system);
        for near in &self.spaced.neighbours {
            let Some(limit) = self.passing(near) else { continue };
            let limb = &mut self.limbs[near.limb];
            if !near.assumed {
                if let Some(wind) = &mut limb.wind {
                    wind.limits.push(limit);
                }
                continue;
            }
            // How far they lie apart is the maker's: asked for only where it would matter.
            if !limit.left_out && !limit.passes(run) {
                let what = format!(
                    "whether it passes {} in a gust of {} (it may move {}; how far apart they \
                     lie in depth is not said: about {}, of which {} are to stay free)",
                    self.named(near),
                    print::wind(run, system),
                    print::fine(Mm(limit.asked(run)), system),
                    print::fine(Mm(near.apart), system),
                    print::fine(Mm(SCRAPE), system),
                );
                self.limbs[near.limb].not_checked.push(Note::new(what, "gap 10 mm"));
            }
        }
    }

    /// What a limb passes, as people call it.
    fn named(&self, near: &Neighbour) -> String {
        match (near.other, near.other_limb) {
            (Role::Limb, Some(other)) => self.fitted.figure.limbs[other].said().into_owned(),
            (Role::Shaft | Role::Body, _) => format!("the motor {}", near.name),
            _ => format!("the {}", near.name),
        }
    }

    /// How far a limb leaves the plane it is drawn in so far out on arm and tail, at most;
    /// one that rides goes with what carries it: by as much as that has bent where it
    /// hangs, and further with its steepest slope. `None` where how one bends is not known.
    fn leaves(&self, index: usize, places: [f64; 2]) -> Option<Leaves> {
        let own = self.limbs[index].wind.as_ref()?.sway.as_ref()?;
        let (calm, bends) = own.at(places);
        let mut leaves = Leaves {
            calm,
            bends,
            tilt: own.tilt,
            slope: own.slopes[0].max(own.slopes[1]),
            typical: own.typical.clone(),
            left_out: own.left_out,
        };
        let limb = &self.fitted.figure.limbs[index];
        let Some(carrier) = limb.carrier else { return Some(leaves) };
        let crate::model::Joint::Pivot { at: Some(at), .. } = limb.joint else { return None };
        let at = self.fitted.figure.limbs[carrier].own(at)?;
        let below = self.leaves(carrier, [at.x.max(0.0), (-at.x).max(0.0)])?;
        // Folded out the far way, the worst of its poses.
        let out = places[0].max(places[1]);
        leaves.calm += below.calm + below.tilt * out;
        leaves.bends += below.bends + below.slope * out;
        leaves.tilt += below.tilt;
        leaves.slope += below.slope;
        leaves.typical.extend(below.typical);
        leaves.left_out |= below.left_out;
        Some(leaves)
    }

    /// One pair; `None` where how a limb bends is not known.
    fn passing(&self, near: &Neighbour) -> Option<Limit> {
        let own = self.leaves(near.limb, near.at)?;
        let other = match (near.other, near.other_limb) {
            (Role::Limb, Some(other)) => Some(self.leaves(other, near.other_at)?),
            _ => None,
        };
        let (calm, bends) = (own.calm, own.bends);
        let (other_calm, other_bends) = other.as_ref().map_or((0.0, 0.0), |o| (o.calm, o.bends));
        let mut typical = own.typical.clone();
        typical.extend(other.iter().flat_map(|o| &o.typical));
        typical.sort_unstable();
        typical.dedup();
        let (name, passed) = (self.fitted.figure.limbs[near.limb].said(), self.named(near));
        let mut limit = Limit {
            code: &CLASH_IN_WIND,
            when: When::Run,
            severity: CLASH_IN_WIND.severity,
            goes: "it bends into what it passes",
            says: [
                format!("moves {name} towards {passed} by "),
                " where they pass, and ".into(),
                " are free between them".into(),
            ],
            calm: calm + other_calm,
            per_gust2: bends.max(other_bends),
            bears: near.apart - SCRAPE,
            unit: "mm",
            inputs: vec![
                input("apart", near.apart, "mm"),
                input("arm_passes_at", near.at[0], "mm"),
                input("tail_passes_at", near.at[1], "mm"),
                input("other_arm_passes_at", near.other_at[0], "mm"),
                input("other_tail_passes_at", near.other_at[1], "mm"),
                input("tilt", calm + other_calm, "mm"),
            ],
            typical,
            left_out: own.left_out || other.as_ref().is_some_and(|o| o.left_out),
            help: String::new(),
        };
        let wanted = limit.asked(self.site.winds.run) + SCRAPE;
        limit.help = format!(
            "let {} lie between them (a longer bushing, or `gap` for what holds one of them off), \
             stiffen the sheet, or keep their ways apart.",
            print::size_up(Mm(wanted), self.fitted.figure.system)
        );
        Some(limit)
    }
}
