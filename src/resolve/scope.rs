//! The whole project as the figures see it: names and parts.

use std::sync::Arc;

use crate::finding::{Finding, ItemId, Place, Spanned};
use crate::model::{BoltSize, BushingType, MotorType, SheetType};
use crate::syntax::{Clause, Reading};

use super::drawn::{Drawings, Fetched};
use super::names::{self, Answer, Asked, NameKind, Names};
use super::parts::{self, Parts};

/// Everything a figure may look up.
#[derive(Clone, Debug, Default)]
pub struct Scope {
    /// The items of the entry file and of all files it uses, in order.
    pub items: Vec<Arc<Reading>>,
    /// Their names, and the library's.
    pub names: Names,
    /// Their parts, and the library's.
    pub parts: Parts,
    /// Whether `use parts` stands somewhere.
    pub uses_library: bool,
    /// The drawings that outlines are taken from.
    pub drawings: Drawings,
}

impl Scope {
    /// Declares every name of the project and makes its parts.
    #[must_use]
    pub fn new(
        items: Vec<Arc<Reading>>,
        library: &[Arc<Reading>],
        uses_library: bool,
    ) -> (Self, Vec<Finding>) {
        let mut findings = Vec::new();
        let mut scope = Self { uses_library, ..Self::default() };
        for reading in library {
            for clause in reading.top().clauses() {
                scope.declare_library(clause);
            }
        }
        if uses_library {
            scope.names.use_library();
        }
        for reading in &items {
            for clause in reading.top().clauses() {
                scope.declare(clause, &mut findings);
            }
        }
        scope.items = items;
        (scope, findings)
    }

    fn declare_library(&mut self, clause: Clause<'_>) {
        let Some(kind) = NameKind::of_word(clause.word()) else { return };
        let Some(name) = clause.text("name") else { return };
        self.names.declare_in_library(kind, name.value, name.place);
        if self.uses_library {
            self.add_part(kind, clause, true, &mut Vec::new());
        }
    }

    fn declare(&mut self, clause: Clause<'_>, findings: &mut Vec<Finding>) {
        let Some((kind, name)) = declared_name(clause) else { return };
        if !matches!(kind, NameKind::Bolt | NameKind::Bar) {
            names::declared(name, kind.word(), findings);
        }
        if let Some(first) = self.taken(kind, name.value) {
            findings.push(names::twice(kind.word(), name, first));
            return;
        }
        if self.names.declare(kind, name.value, name.place).is_ok() {
            self.add_part(kind, clause, false, findings);
        }
    }

    /// Where the project itself has the name already; figures and copies share
    /// one space of names, since both stand in the yard.
    fn taken(&self, kind: NameKind, name: &str) -> Option<Place> {
        let kinds: &[NameKind] = match kind {
            NameKind::Figure | NameKind::Copy => &[NameKind::Figure, NameKind::Copy],
            _ => std::slice::from_ref(&kind),
        };
        kinds.iter().find_map(|k| self.names.own(*k, name))
    }

    /// A part by its kind; of a built-in one the numbers are typical.
    fn add_part(
        &mut self,
        kind: NameKind,
        clause: Clause<'_>,
        typical: bool,
        findings: &mut Vec<Finding>,
    ) {
        match kind {
            NameKind::Motor => {
                let base = self.like(clause, findings);
                if let Some(m) = parts::motor(clause, base.as_deref(), findings) {
                    let m = MotorType { typical: typical || m.typical, ..m };
                    self.parts.motors.insert(m.name.clone(), Arc::new(m));
                }
            }
            NameKind::Sheet => {
                if let Some(s) = parts::sheet(clause) {
                    let s = SheetType { typical, ..s };
                    self.parts.sheets.insert(s.name.clone(), Arc::new(s));
                }
            }
            NameKind::Bushing => {
                if let Some(b) = parts::bushing(clause) {
                    let b = BushingType { typical, ..b };
                    self.parts.bushings.insert(b.name.clone(), Arc::new(b));
                }
            }
            NameKind::Bolt => {
                if let Some(b) = parts::bolt(clause) {
                    self.parts.bolts.insert(b.name.clone(), BoltSize { typical, ..b });
                }
            }
            NameKind::Bar => {
                if let Some(b) = parts::bar(clause) {
                    self.parts.bars.insert(b.name.clone(), b);
                }
            }
            _ => {}
        }
    }

    /// The built-in motor that one is like; one that there is not is reported.
    fn like(&self, clause: Clause<'_>, findings: &mut Vec<Finding>) -> Option<Arc<MotorType>> {
        let named = clause.text("like")?;
        let built_in = self.parts.motors.get(named.value).filter(|m| m.typical);
        if built_in.is_none() {
            findings.push(match self.names.own(NameKind::Motor, named.value) {
                Some(place) => Finding::new(
                    &super::codes::UNKNOWN_NAME,
                    named.place,
                    format!("{} is no built-in motor.", named.value),
                )
                .help("a motor is like one of those; write all of its figures here.")
                .related("it is described here", place),
                None => self.names.unknown(NameKind::Motor, named),
            });
        }
        built_in.map(Arc::clone)
    }

    /// The top-level clauses of the project in order.
    pub fn clauses(&self) -> impl Iterator<Item = Clause<'_>> {
        self.items.iter().flat_map(|r| r.top().clauses())
    }

    /// The items that describe a figure, in file order; of two with one name only
    /// the first counts.
    #[must_use]
    pub fn figures(&self) -> Vec<&Arc<Reading>> {
        let first = |clause: Clause<'_>| {
            clause
                .text("name")
                .is_some_and(|n| self.names.find(NameKind::Figure, n.value) == Some(n.place))
        };
        self.items
            .iter()
            .filter(|r| r.top().clauses().any(|c| c.word() == "figure" && first(c)))
            .collect()
    }

    /// Whether every answer somebody got would still be the same.
    #[must_use]
    pub fn still_answers(&self, asked: &[Asked]) -> bool {
        asked.iter().all(|a| self.names.ask(a.kind, &a.name) == a.answer)
    }
}

/// The name a top-level clause declares.
fn declared_name(clause: Clause<'_>) -> Option<(NameKind, Spanned<&str>)> {
    if clause.word() == "set" {
        return (clause.has("like"))
            .then(|| clause.text("name"))
            .flatten()
            .map(|n| (NameKind::Copy, n));
    }
    // A phrase's line has a reader of its own, which declares its name.
    let kind = NameKind::of_word(clause.word()).filter(|k| *k != NameKind::Phrase)?;
    Some((kind, clause.text("name")?))
}

/// The scope of a project, and a record of every name asked for: a figure is a
/// pure function of its own text and of these answers.
#[derive(Debug)]
pub struct Lookups<'a> {
    scope: &'a Scope,
    asked: Vec<Asked>,
    drawings: Vec<(String, Fetched)>,
}

impl<'a> Lookups<'a> {
    /// Nothing asked yet.
    #[must_use]
    pub fn new(scope: &'a Scope) -> Self {
        Self { scope, asked: Vec::new(), drawings: Vec::new() }
    }

    /// What was asked, and the answers; and the drawings that were looked into.
    #[must_use]
    pub fn into_asked(self) -> (Vec<Asked>, Vec<(String, Fetched)>) {
        (self.asked, self.drawings)
    }

    /// The drawing at a path that an item wrote.
    pub fn drawing(&mut self, item: ItemId, path: &str) -> Fetched {
        let found = self.scope.drawings.get(item, path);
        if !self.drawings.iter().any(|(known, _)| known == path) {
            self.drawings.push((path.to_owned(), found.clone()));
        }
        found
    }

    /// The parts (after a name of one was found).
    #[must_use]
    pub fn parts(&self) -> &'a Parts {
        &self.scope.parts
    }

    fn record(&mut self, kind: NameKind, name: &str) -> Answer {
        let answer = self.scope.names.ask(kind, name);
        if !self.asked.iter().any(|a| a.kind == kind && a.name == name) {
            self.asked.push(Asked { kind, name: name.to_owned(), answer: answer.clone() });
        }
        answer
    }

    /// Whether there is anything of the kind.
    pub fn any(&mut self, kind: NameKind) -> bool {
        self.record(kind, "") == Answer::Any(true)
    }

    /// Whether a name is declared, without a finding where it is not.
    pub fn knows(&mut self, kind: NameKind, name: &str) -> bool {
        matches!(self.record(kind, name), Answer::Found(_))
    }

    /// Whether a name is declared; says so where it is not.
    pub fn check(
        &mut self,
        kind: NameKind,
        name: Spanned<&str>,
        findings: &mut Vec<Finding>,
    ) -> bool {
        let found = self.knows(kind, name.value);
        if !found {
            findings.push(self.scope.names.unknown(kind, name));
        }
        found
    }

    /// The finding for a name that is neither one of `here` nor of the kind; it lists what
    /// fits, where it is said what would.
    pub(super) fn unknown_with<'n>(
        &mut self,
        kind: NameKind,
        name: Spanned<&str>,
        here: impl Iterator<Item = (&'n str, Place)> + Clone,
        wanted: Option<names::Wanted<'_>>,
    ) -> Finding {
        let _ = self.record(kind, name.value);
        let near_here = crate::finding::closest(name.value, here.clone().map(|(n, _)| n)).is_some();
        if near_here {
            names::unknown_here(kind.word(), name, here)
        } else {
            self.scope.names.unknown_for(kind, name, wanted)
        }
    }
}
