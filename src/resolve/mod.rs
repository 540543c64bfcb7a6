//! Tree to model: names, units, defaults, copies.
//!
//! The steps, each a pure function of what stands before it:
//! 1. [`gather`] follows `use` from the entry file and reads every item;
//! 2. [`Scope::new`] declares all names and makes the parts;
//! 3. [`figure`] makes one figure, and records every name it asked for, so its
//!    result can be kept ([`Scope::still_answers`]);
//! 4. [`yard`] sets the figures up on the ground;
//! 5. [`program`] adds songs, groups, phrases, shows and seasons, and looks every
//!    cue up once.

pub mod cast;
mod check_cues;
pub mod codes;
mod codes_drawing;
mod codes_outline;
pub mod codes_show;
mod contradict;
mod copied_drive;
mod copies;
mod cue;
mod drawn;
mod driven;
mod drives;
mod figure;
mod figure_words;
mod gesture;
mod ground;
mod limb;
mod measured;
pub mod moment;
mod names;
mod notes;
mod part_words;
mod parts;
mod phrase;
mod place;
mod plane;
mod program;
mod project;
mod ram_words;
mod say;
mod scope;
mod season;
mod sets;
mod show;
mod song;
mod span;
mod stock;
mod told;
mod wiring;
mod words;
mod yard;

pub use check_cues::check_cues;
pub use codes::CODES;
pub use codes_drawing::CODES as CODES_DRAWING;
pub use drawn::{Drawings, Fetched, FileFault, wanted};
pub use figure::figure;
pub use names::{Answer, Asked, NameKind, Names};
pub use parts::Parts;
pub use phrase::{PHRASE, phrase};
pub use program::{program, program_again};
pub use project::{Gathered, LIBRARY, ReadItems, gather};
pub use scope::{Lookups, Scope};
pub use season::{SEASON, season};
pub use sets::Copies;
pub use show::{Cues, GROUP, SHOW, group, show};
pub use song::{SONG, SoundFault, SoundFiles, musical, song};
pub use words::ROOT;
pub use yard::{yard, yard_again};

use std::sync::Arc;

use crate::finding::{Finding, ItemId};
use crate::model::{Figure, Yard};
use crate::syntax::Clause;

/// A figure with what was found wrong and what it asked for.
#[derive(Clone, Debug)]
pub struct Resolved {
    /// The figure; `None` where the item describes none.
    pub figure: Option<Arc<Figure>>,
    /// What was found wrong.
    pub findings: Vec<Finding>,
    /// The names it asked for, and the answers: while these, the drawings and the item
    /// stay the same, so does the figure.
    pub asked: Vec<Asked>,
    /// The drawings it looked into, each with what was found there.
    pub drawings: Vec<(String, Fetched)>,
}

impl Resolved {
    /// Resolves the figure of an item.
    #[must_use]
    pub fn new(reading: &Arc<crate::syntax::Reading>, scope: &Scope) -> Self {
        let mut lookups = Lookups::new(scope);
        let (figure, findings) = figure(reading, &mut lookups);
        let (asked, drawings) = lookups.into_asked();
        Self { figure: figure.map(Arc::new), findings, asked, drawings }
    }

    /// Whether every answer it got would still be the same; `item` is what describes it.
    #[must_use]
    pub fn holds(&self, scope: &Scope, item: ItemId) -> bool {
        scope.still_answers(&self.asked) && scope.drawings.still(item, &self.drawings)
    }
}

/// Everything from the gathered items to the yard, in one go and without memory
/// of the last time.
#[must_use]
pub fn project(gathered: &Gathered) -> (Yard, Vec<Finding>) {
    let (scope, mut findings) =
        Scope::new(gathered.items.clone(), &gathered.library, gathered.uses_library);
    let figures: Vec<Resolved> =
        scope.figures().into_iter().map(|r| Resolved::new(r, &scope)).collect();
    let made: Vec<Arc<Figure>> = figures.iter().filter_map(|r| r.figure.clone()).collect();
    findings.extend(figures.into_iter().flat_map(|r| r.findings));
    let (yard, more) = yard(&scope, &made);
    findings.extend(more);
    (yard, findings)
}

/// Whether a clause or anything in its block was reported already.
fn poisoned(clause: Clause<'_>) -> bool {
    clause.poisoned() || clause.block().is_some_and(|b| b.clauses().any(poisoned))
}
