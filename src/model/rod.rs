//! What a rod is made of.

use super::BoltSize;
use crate::units::Pascal;

/// Where a rod is bent from the lever's plane to the crank's.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum RodBent {
    /// Twice, half way between its pins.
    #[default]
    Middle,
    /// Twice, right behind one of its ends.
    End,
}

impl RodBent {
    /// The words of the language, in order of the variants.
    pub const WORDS: &'static [&'static str] = &["middle", "end"];

    /// The place with this word.
    #[must_use]
    pub fn from_word(word: &str) -> Option<Self> {
        [Self::Middle, Self::End].into_iter().find(|w| Self::WORDS[*w as usize] == word)
    }
}

/// What a rod is made of, as far as it was said.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RodThread {
    /// Its thread.
    pub size: Option<BoltSize>,
    /// Yield strength of its steel.
    pub yields: Option<Pascal>,
    /// Where it is bent.
    pub bent: Option<RodBent>,
}
