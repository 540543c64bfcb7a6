//! Names over the whole project: who declares what, and who asked for it.

use std::collections::BTreeMap;

use crate::finding::{Finding, Place, Spanned, closest, list_of};

use super::codes;

/// What a name stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum NameKind {
    /// A supply.
    Supply,
    /// A controller.
    Controller,
    /// A song.
    Song,
    /// A figure as described.
    Figure,
    /// A copy that `set … like` makes.
    Copy,
    /// A group.
    Group,
    /// A phrase.
    Phrase,
    /// A show.
    Show,
    /// A season.
    Season,
    /// What a motor is.
    Motor,
    /// A sheet.
    Sheet,
    /// A bushing.
    Bushing,
    /// A thread.
    Bolt,
    /// A stock bar.
    Bar,
}

impl NameKind {
    /// The kind declared by a word at the top of a file.
    #[must_use]
    pub fn of_word(word: &str) -> Option<Self> {
        Some(match word {
            "supply" => Self::Supply,
            "controller" => Self::Controller,
            "song" => Self::Song,
            "figure" => Self::Figure,
            "group" => Self::Group,
            "phrase" => Self::Phrase,
            "show" => Self::Show,
            "season" => Self::Season,
            "motor" => Self::Motor,
            "sheet" => Self::Sheet,
            "bushing" => Self::Bushing,
            "bolt" => Self::Bolt,
            "stock-bar" => Self::Bar,
            _ => return None,
        })
    }

    /// As messages call it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Supply => "supply",
            Self::Controller => "controller",
            Self::Song => "song",
            Self::Figure | Self::Copy => "figure",
            Self::Group => "group",
            Self::Phrase => "phrase",
            Self::Show => "show",
            Self::Season => "season",
            Self::Motor => "motor",
            Self::Sheet => "sheet",
            Self::Bushing => "bushing",
            Self::Bolt => "bolt",
            Self::Bar => "stock-bar",
        }
    }
}

/// What the project answers to a name: equal answers make equal figures.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Answer {
    /// It is declared here.
    Found(Place),
    /// It is not declared; the nearest that is, and whether the built-in library
    /// knows it.
    Missing {
        /// The nearest name and its place.
        near: Option<(String, Place)>,
        /// The library has it, but the project does not use the library.
        in_library: bool,
        /// What there is of the kind instead, where neither helps: a message lists it.
        known: Vec<(String, Place)>,
    },
    /// Whether there is any of the kind at all.
    Any(bool),
}

/// A name somebody asked for, and the answer: what a memo compares.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Asked {
    /// What was wanted.
    pub kind: NameKind,
    /// Its name; "" for "any at all".
    pub name: String,
    /// The answer.
    pub answer: Answer,
}

/// All names of a project.
#[derive(Clone, Debug, Default)]
pub struct Names {
    declared: BTreeMap<NameKind, BTreeMap<String, Place>>,
    library: BTreeMap<NameKind, BTreeMap<String, Place>>,
    library_used: bool,
}

impl Names {
    /// Declares a name; `Err` with the place of the first where it is taken.
    pub(super) fn declare(
        &mut self,
        kind: NameKind,
        name: &str,
        place: Place,
    ) -> Result<(), Place> {
        let of_kind = self.declared.entry(kind).or_default();
        match of_kind.get(name) {
            Some(first) => Err(*first),
            None => {
                of_kind.insert(name.to_owned(), place);
                Ok(())
            }
        }
    }

    pub(super) fn declare_in_library(&mut self, kind: NameKind, name: &str, place: Place) {
        self.library.entry(kind).or_default().insert(name.to_owned(), place);
    }

    pub(super) fn use_library(&mut self) {
        self.library_used = true;
    }

    /// The place a name is declared at; the project's own before the library's.
    #[must_use]
    pub fn find(&self, kind: NameKind, name: &str) -> Option<Place> {
        let own = self.declared.get(&kind).and_then(|n| n.get(name));
        own.or_else(|| self.in_library(kind, name).filter(|_| self.library_used)).copied()
    }

    /// Where the project itself declares a name.
    pub(super) fn own(&self, kind: NameKind, name: &str) -> Option<Place> {
        self.declared.get(&kind).and_then(|n| n.get(name)).copied()
    }

    fn in_library(&self, kind: NameKind, name: &str) -> Option<&Place> {
        self.library.get(&kind).and_then(|n| n.get(name))
    }

    /// All names of a kind, sorted.
    pub fn all(&self, kind: NameKind) -> impl Iterator<Item = (&str, Place)> {
        let own = self.declared.get(&kind).into_iter().flatten();
        let library = self.library.get(&kind).filter(|_| self.library_used).into_iter().flatten();
        own.chain(library).map(|(n, p)| (n.as_str(), *p))
    }

    /// The answer to a name.
    #[must_use]
    pub fn ask(&self, kind: NameKind, name: &str) -> Answer {
        if name.is_empty() {
            return Answer::Any(self.all(kind).next().is_some());
        }
        match self.find(kind, name) {
            Some(place) => Answer::Found(place),
            None => {
                let near = closest(name, self.all(kind).map(|(n, _)| n));
                let near = near.and_then(|n| Some((n.to_owned(), self.find(kind, n)?)));
                let in_library = self.in_library(kind, name).is_some();
                let known = match near.is_none() && !in_library {
                    true => self.all(kind).map(|(n, p)| (n.to_owned(), p)).collect(),
                    false => Vec::new(),
                };
                Answer::Missing { near, in_library, known }
            }
        }
    }

    /// The finding for a name that is not declared.
    #[must_use]
    pub fn unknown(&self, kind: NameKind, name: Spanned<&str>) -> Finding {
        self.unknown_for(kind, name, None)
    }

    /// As [`Names::unknown`], listing of the names only those that would fit where one is
    /// wanted, if any does.
    pub(super) fn unknown_for(
        &self,
        kind: NameKind,
        name: Spanned<&str>,
        wanted: Option<Wanted<'_>>,
    ) -> Finding {
        let finding = Finding::new(
            &codes::UNKNOWN_NAME,
            name.place,
            format!("there is no {} called {}.", kind.word(), name.value),
        );
        match self.ask(kind, name.value) {
            Answer::Missing { near: Some((near, place)), .. } => finding
                .help(format!("did you mean {near}?"))
                .related(format!("{near} is declared here"), place)
                .fix(format!("write {near}"), name.place, near),
            Answer::Missing { in_library: true, .. } => finding
                .help("the built-in library has one: write `use parts` at the top of the file."),
            _ => {
                let known = list_of(self.all(kind).map(|(n, _)| n), "or", 8);
                let fitting = wanted.map(|w| {
                    let ranked = self.all(kind).filter_map(|(n, _)| Some(((w.rank)(n)?, n)));
                    let mut fitting: Vec<_> = ranked.collect();
                    fitting.sort_unstable();
                    (w.by, list_of(fitting.iter().map(|(_, n)| *n), "and", 12))
                });
                match (known.is_empty(), fitting) {
                    (true, _) => finding.help(format!(
                        "nothing of that kind is declared: write `{} {} {{ … }}`.",
                        kind.word(),
                        name.value
                    )),
                    (false, Some((by, fitting))) if !fitting.is_empty() => {
                        finding.help(format!("of those declared, {by} takes {fitting}."))
                    }
                    (false, _) => finding.help(format!("declared are {known}.")),
                }
            }
        }
    }
}

/// Which names would fit where one is wanted.
#[derive(Clone, Copy)]
pub(super) struct Wanted<'a> {
    /// Who wants one: "a cord".
    pub by: &'a str,
    /// Which are listed first, the least; `None` for a name that would not do.
    pub rank: &'a dyn Fn(&str) -> Option<usize>,
}

/// A name that is nowhere in a list of local names (limbs, pegs, own motors).
pub(super) fn unknown_here<'a>(
    what: &str,
    name: Spanned<&str>,
    known: impl Iterator<Item = (&'a str, Place)> + Clone,
) -> Finding {
    let finding = Finding::new(
        &codes::UNKNOWN_NAME,
        name.place,
        format!("there is no {what} called {}.", name.value),
    );
    match closest(name.value, known.clone().map(|(n, _)| n)) {
        Some(near) => {
            let finding = finding.help(format!("did you mean {near}?")).fix(
                format!("write {near}"),
                name.place,
                near,
            );
            match known.clone().find(|(n, _)| *n == near) {
                Some((_, place)) => finding.related(format!("{near} is declared here"), place),
                None => finding,
            }
        }
        None => {
            let list = list_of(known.map(|(n, _)| n), "or", 8);
            match list.is_empty() {
                true => finding
                    .help(format!("there is none here: write `{what} {} …` first.", name.value)),
                false => finding.help(format!("declared are {list}.")),
            }
        }
    }
}

/// The finding for a name that is declared twice.
pub(super) fn twice(what: &str, name: Spanned<&str>, first: Place) -> Finding {
    Finding::new(
        &codes::NAME_TWICE,
        name.place,
        format!("there are two {what}s called {}.", name.value).replace("ys called", "ies called"),
    )
    .help("give one of them another name.")
    .related(format!("the first {} is declared here", name.value), first)
}

/// Checks a name where it is declared: a dot would make it look like a limb of
/// another figure. (The reader has checked its letters.)
pub(super) fn declared(name: Spanned<&str>, what: &str, findings: &mut Vec<Finding>) {
    if !name.value.contains('.') {
        return;
    }
    let good = name.value.replace('.', "-");
    findings.push(
        Finding::new(
            &codes::NAME_WITH_DOT,
            name.place,
            format!(
                "{} cannot be the name of a {what}: the dot stands between figure and limb.",
                name.value
            ),
        )
        .help(format!("take {good}."))
        .fix(format!("write {good}"), name.place, good),
    );
}
