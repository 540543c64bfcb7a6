//! Who is who in a show: limbs, groups and phrases by name.

use std::collections::BTreeMap;

use crate::finding::closest;
use crate::model::{Action, Group, Phrase, Section, Song, Yard};

/// A limb of the yard: index of the placed figure, index of its limb.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct LimbRef {
    /// Index in [`Yard::figures`].
    pub figure: usize,
    /// Index in the figure's limbs.
    pub limb: usize,
}

/// Why a name leads to no limb.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Unknown {
    /// No figure of this name stands in the yard.
    Figure(String),
    /// The figure stands, it has no such limb.
    Limb {
        /// The figure.
        figure: usize,
        /// The limb's name as written.
        limb: String,
    },
    /// A name without a dot that is no group.
    Group(String),
}

/// Every name a cue can say, each with its index; names that stand twice keep the
/// first (the second is reported where it is declared).
#[derive(Debug)]
pub struct Cast<'a> {
    /// The yard.
    pub yard: &'a Yard,
    figures: BTreeMap<&'a str, usize>,
    groups: BTreeMap<&'a str, usize>,
    phrases: BTreeMap<&'a str, usize>,
}

/// Indices by name, the first of equals.
fn by_name<'a>(names: impl Iterator<Item = &'a str>) -> BTreeMap<&'a str, usize> {
    let mut map = BTreeMap::new();
    for (i, name) in names.enumerate() {
        map.entry(name).or_insert(i);
    }
    map
}

impl<'a> Cast<'a> {
    /// The names of a yard.
    #[must_use]
    pub fn new(yard: &'a Yard) -> Self {
        Self {
            yard,
            figures: by_name(yard.figures.iter().map(|f| f.name.value.as_str())),
            groups: by_name(yard.groups.iter().map(|g| g.name.value.as_str())),
            phrases: by_name(yard.phrases.iter().map(|p| p.name.value.as_str())),
        }
    }

    /// The figure named so.
    #[must_use]
    pub fn figure(&self, name: &str) -> Option<usize> {
        self.figures.get(name).copied()
    }

    /// The group named so.
    #[must_use]
    pub fn group(&self, name: &str) -> Option<&'a Group> {
        self.groups.get(name).map(|&i| &self.yard.groups[i])
    }

    /// The phrase named so, with its index.
    #[must_use]
    pub fn phrase(&self, name: &str) -> Option<(usize, &'a Phrase)> {
        self.phrases.get(name).map(|&i| (i, &self.yard.phrases[i]))
    }

    /// The limb written `figure.limb`.
    ///
    /// # Errors
    /// Where there is no such figure or limb.
    pub fn limb(&self, name: &str) -> Result<LimbRef, Unknown> {
        let Some((figure_name, limb_name)) = name.split_once('.') else {
            return Err(Unknown::Group(name.to_owned()));
        };
        let figure =
            self.figure(figure_name).ok_or_else(|| Unknown::Figure(figure_name.to_owned()))?;
        let limb = self.yard.figures[figure]
            .figure
            .limb(limb_name)
            .ok_or_else(|| Unknown::Limb { figure, limb: limb_name.to_owned() })?;
        Ok(LimbRef { figure, limb })
    }

    /// The limbs of a limb's or group's name, in group order. Members of a group
    /// that lead nowhere are left out: they are reported at the group.
    ///
    /// # Errors
    /// Where the name is neither a limb nor a group.
    pub fn limbs(&self, name: &str) -> Result<Vec<LimbRef>, Unknown> {
        if let Some(group) = self.group(name) {
            return Ok(group.members.iter().filter_map(|m| self.limb(&m.value).ok()).collect());
        }
        self.limb(name).map(|limb| vec![limb])
    }

    /// Every limb of the yard in file order.
    pub fn everybody(&self) -> impl Iterator<Item = LimbRef> + '_ {
        self.yard.figures.iter().enumerate().flat_map(|(figure, placed)| {
            (0..placed.figure.limbs.len()).map(move |limb| LimbRef { figure, limb })
        })
    }

    /// The limb as people write it.
    #[must_use]
    pub fn name_of(&self, at: LimbRef) -> String {
        let placed = &self.yard.figures[at.figure];
        format!("{}.{}", placed.name.value, placed.figure.limbs[at.limb].name.value)
    }

    /// What a limb does at a gesture's name.
    #[must_use]
    pub fn gesture(&self, at: LimbRef, name: &str) -> Option<&'a Action> {
        let gestures = &self.yard.figures[at.figure].figure.limbs[at.limb].gestures;
        gestures.iter().find(|g| g.name.value == name).map(|g| &g.action)
    }

    /// The limb's or group's name nearest to an unknown one.
    #[must_use]
    pub fn suggestion(&self, name: &str, unknown: &Unknown) -> Option<String> {
        match unknown {
            Unknown::Limb { figure, limb } => {
                let placed = &self.yard.figures[*figure];
                let limbs = placed.figure.limbs.iter().map(|l| l.name.value.as_str());
                closest(limb, limbs).map(|l| format!("{}.{l}", placed.name.value))
            }
            Unknown::Figure(figure) => {
                let near = closest(figure, self.figures.keys().copied())?;
                let limb = name.split_once('.').map_or("", |(_, l)| l);
                let known = self.limb(&format!("{near}.{limb}")).is_ok();
                Some(if known { format!("{near}.{limb}") } else { near.to_owned() })
            }
            Unknown::Group(group) => closest(group, self.groups.keys().copied()).map(str::to_owned),
        }
    }

    /// The phrase nearest to an unknown name.
    #[must_use]
    pub fn phrase_near(&self, name: &str) -> Option<&'a str> {
        closest(name, self.phrases.keys().copied())
    }
}

/// The section of a song named so.
#[must_use]
pub fn section<'a>(song: &'a Song, name: &str) -> Option<&'a Section> {
    song.sections.iter().find(|s| s.name.value == name)
}
