//! `set`: which figure it means, and the copy it makes of it.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use crate::finding::{Finding, ItemId, Place, Spanned};
use crate::model::{Anchor, Feed, Figure};
use crate::syntax::Clause;
use crate::units::Share;

use super::copies::{self, Wish};
use super::names::NameKind;
use super::scope::Scope;
use super::{codes, figure, say};

/// Copies of the last compile: a `set` whose text did not change makes the very
/// same copy of the very same figure, so that what later stages remember of it
/// stays good.
#[derive(Clone, Debug, Default)]
pub struct Copies {
    /// By the item of the `set`: what it was made of, and the copy.
    made: BTreeMap<ItemId, (Arc<Figure>, Arc<Figure>)>,
}

/// The `set`s of a project and the figures they place.
pub(super) struct Sets<'a, 'c> {
    scope: &'a Scope,
    /// Figures by the place of their name.
    figures: BTreeMap<Place, &'a Arc<Figure>>,
    /// `set … like` by the place of their name.
    copying: BTreeMap<Place, Clause<'a>>,
    /// Names that some `set` places or copies.
    wanted: BTreeSet<&'a str>,
    copies: &'c mut Copies,
    /// The copies of this compile.
    kept: Copies,
}

impl<'a, 'c> Sets<'a, 'c> {
    pub fn new(scope: &'a Scope, figures: &'a [Arc<Figure>], copies: &'c mut Copies) -> Self {
        let sets = || scope.clauses().filter(|c| c.word() == "set");
        let name_of = |c: Clause<'a>| Some((c.text("name")?.place, c));
        let wanted = |c: Clause<'a>| Some(c.text("like").or_else(|| c.text("name"))?.value);
        Self {
            scope,
            figures: figures.iter().map(|f| (f.name.place, f)).collect(),
            copying: sets().filter(|c| c.has("like")).filter_map(name_of).collect(),
            wanted: sets().filter_map(wanted).collect(),
            copies,
            kept: Copies::default(),
        }
    }

    /// Keeps the copies of this compile for the next.
    pub fn finish(self) {
        *self.copies = self.kept;
    }

    /// The figure whose name stands here.
    pub fn described(&self, name: Place) -> Option<&'a Arc<Figure>> {
        self.figures.get(&name).copied()
    }

    /// Whether some `set` places this figure or is like it.
    pub fn wants(&self, name: &str) -> bool {
        self.wanted.contains(name)
    }

    /// The figure a `set` places.
    pub fn figure(
        &mut self,
        clause: Clause<'a>,
        findings: &mut Vec<Finding>,
    ) -> Option<Arc<Figure>> {
        let name = clause.text("name")?;
        if clause.has("like")
            && self.scope.names.find(NameKind::Copy, name.value) != Some(name.place)
        {
            return None; // Its name is taken: reported.
        }
        let of = clause.text("like").unwrap_or(name);
        let base = self.base(of, findings)?;
        self.copy(clause, name, of, base, findings)
    }

    /// The figure named so: described, or itself a copy.
    fn base(&mut self, of: Spanned<&'a str>, findings: &mut Vec<Finding>) -> Option<Arc<Figure>> {
        if let Some(place) = self.scope.names.find(NameKind::Figure, of.value) {
            return self.described(place).cloned();
        }
        let Some(place) = self.scope.names.find(NameKind::Copy, of.value) else {
            findings.push(self.scope.names.unknown(NameKind::Figure, of));
            return None;
        };
        if self.circular(of.value) {
            findings.push(
                Finding::new(
                    &codes::LIKE_CIRCLE,
                    of.place,
                    format!("{} is like itself, round other copies.", of.value),
                )
                .help("one of them must be a `figure` of its own."),
            );
            return None;
        }
        let other = *self.copying.get(&place)?;
        // What is wrong with the other copy is said where that one is set up.
        self.figure(other, &mut Vec::new())
    }

    /// Whether following `like` from a copy never ends.
    fn circular(&self, mut name: &'a str) -> bool {
        for _ in 0..=self.copying.len() {
            let Some(place) = self.scope.names.find(NameKind::Copy, name) else { return false };
            match self.copying.get(&place).and_then(|c| c.text("like")) {
                Some(next) => name = next.value,
                None => return false,
            }
        }
        true
    }

    fn copy(
        &mut self,
        clause: Clause<'a>,
        name: Spanned<&'a str>,
        of: Spanned<&'a str>,
        base: Arc<Figure>,
        findings: &mut Vec<Finding>,
    ) -> Option<Arc<Figure>> {
        let scale = scale(clause, findings)?;
        let (feed, anchor, title) = self.changes(clause, findings);
        let without = without(clause);
        let same = without.is_empty() && feed.is_none() && anchor.is_none() && title.is_none();
        if same && scale == Share(1.0) && of.value == name.value {
            return Some(base);
        }
        let item = clause.reading().item;
        if let Some((of, made)) = self.copies.made.get(&item)
            && Arc::ptr_eq(of, &base)
        {
            let made = made.clone();
            self.kept.made.insert(item, (base, made.clone()));
            return Some(made);
        }
        let (mut figure, mut wrong) = copies::copied(&base, &Wish { name, scale, without });
        figure.feed = feed.or(figure.feed);
        figure.anchor = anchor.or(figure.anchor);
        figure.title = title.or(figure.title);
        let figure = Arc::new(figure);
        if wrong.is_empty() {
            self.kept.made.insert(item, (base, figure.clone()));
        }
        findings.append(&mut wrong);
        Some(figure)
    }

    /// What a `set` says anew: feed, anchor, title.
    fn changes(
        &self,
        clause: Clause<'_>,
        findings: &mut Vec<Finding>,
    ) -> (Option<Feed>, Option<Anchor>, Option<String>) {
        let Some(block) = clause.block() else { return (None, None, None) };
        let feed = block.find("power").and_then(|c| {
            let supply = c.text("supply")?;
            if self.scope.names.find(NameKind::Supply, supply.value).is_none() {
                findings.push(self.scope.names.unknown(NameKind::Supply, supply));
            }
            Some(figure::read_feed(c, supply))
        });
        (feed, figure::anchor(block), figure::title(block))
    }
}

fn without(clause: Clause<'_>) -> Vec<Spanned<&str>> {
    let block = clause.block().into_iter();
    let clauses = block.flat_map(|b| b.all("without"));
    clauses.flat_map(|c| c.values("limb").map(|v| v.text())).collect()
}

/// The scale; the whole size where none is said, `None` where it is out of range.
fn scale(clause: Clause<'_>, findings: &mut Vec<Finding>) -> Option<Share> {
    let Some(s) = clause.get::<Share>("scale") else { return Some(Share(1.0)) };
    if (0.05..=20.0).contains(&s.value.0) {
        return Some(s.value);
    }
    findings.push(
        Finding::new(
            &codes::SCALE_OUT_OF_RANGE,
            s.place,
            format!("a scale of {} is not between 5 % and 2000 %.", say::percent(s.value.0)),
        )
        .help("100 % is the size of the figure it is like."),
    );
    None
}
