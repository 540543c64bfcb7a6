//! Word tables: which words stand in which block, and what each word takes.
//!
//! The grammar knows shapes only; what a word means is a row in a table, and the
//! table lives beside the code that owns the word (a mechanism's words in the
//! mechanism's file). The reader, "did you mean", the reference page and the
//! highlighting are all made from these rows.

use crate::units::Dimension;

/// The words of one kind of block.
#[derive(Debug)]
pub struct Table {
    /// What the block is, as messages call it: "limb".
    pub name: &'static str,
    /// One sentence for the reference page.
    pub title: &'static str,
    /// Its words.
    pub rows: &'static [Row],
    /// What a line is that starts with no word of the table: a row of bare
    /// values (frame members) or a line with its own reader (cues).
    pub bare: Option<&'static Row>,
}

impl Table {
    /// The row of a word, by its canonical spelling or another accepted one.
    #[must_use]
    pub fn find(&self, word: &str) -> Option<&'static Row> {
        self.rows.iter().find(|r| same(r.word, word) || r.also.iter().any(|a| same(a, word)))
    }
}

/// Whether two words are equal. Most differ in length or in the last letter: that is
/// looked at first, without a call.
fn same(a: &str, b: &str) -> bool {
    a.len() == b.len() && a.as_bytes().last() == b.as_bytes().last() && a == b
}

/// One word and what it takes.
#[derive(Debug)]
pub struct Row {
    /// The canonical spelling, the maker's word.
    pub word: &'static str,
    /// Other spellings that are taken: the textbook's word, a plural.
    pub also: &'static [&'static str],
    /// One sentence for the reference page.
    pub title: &'static str,
    /// Whether it may stand more than once in a block.
    pub many: bool,
    /// Its values: those without a key in order, those with a key in any order.
    pub parts: &'static [Part],
    /// The block in braces behind it.
    pub block: BlockRule,
    /// The line is kept as shapes for a reader of its own ([`super::Cursor`]).
    pub raw: bool,
}

/// One value of a word.
#[derive(Debug)]
pub struct Part {
    /// The name the program asks for it by, also shown in messages: "diameter".
    pub name: &'static str,
    /// The word (or words, with one blank) that stand before it: "at", "on drum".
    pub key: Option<&'static str>,
    /// What it is.
    pub take: Take,
    /// Whether it must stand there.
    pub need: Need,
}

/// Whether a part must stand.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Need {
    /// Exactly once.
    Must,
    /// At most once.
    May,
    /// As often as wanted, one after the other.
    Many,
}

/// Which sizes a quantity may have.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sign {
    /// Any.
    Any,
    /// Not below zero.
    NotNegative,
    /// Above zero.
    Positive,
}

/// What a part is.
#[derive(Clone, Copy, Debug)]
pub enum Take {
    /// A number with a unit of this dimension.
    Quantity(Dimension, Sign),
    /// A number with a unit of one of these dimensions (`cycle 2 s`, `cycle 2 bars`).
    OneOf(&'static [Dimension], Sign),
    /// `A to B` of this dimension.
    Range(Dimension, Sign),
    /// A length or angle that may be left open: `30 mm`, `?`, `? A to B`,
    /// `? A to B by STEP`, `40 mm of 30 to 60 mm by 10 mm`; a length also
    /// `? A to B of STOCK-BAR`, `75 mm of STOCK-BAR`.
    Open(Dimension, Sign),
    /// A row of holes: `30 to 60 mm by 10 mm`, or single values in a list.
    Holes,
    /// `(x, y) unit`.
    Point,
    /// A point that may be left open: also `?`, `? near P within L`, `? on frame`,
    /// `? in P to P` (opposite corners), `? from P to P` (along a line).
    OpenPoint,
    /// One point or more.
    Points,
    /// A bare number.
    Number,
    /// A bare whole number, from 0.
    Count,
    /// A name that is declared here or elsewhere: "motor", "figure", "limb".
    /// A dotted `figure.limb` is one name.
    Name(&'static str),
    /// One of these words.
    Choice(&'static [&'static str]),
    /// `"text"`.
    Text,
    /// The name of a stock part or thread, kept as written: `M8`, `5/16-18`, `1x2`.
    Stock,
    /// A time signature: `6/8`.
    Meter,
    /// `21:30` or `1:12.500`, kept as written for the place that knows which.
    Clock,
    /// `2027-10-22`.
    Date,
    /// Latitude and longitude: `51.8 deg -2.3 deg`, `51.8 N 2.3 W`,
    /// `51.8 deg north 2.3 deg west`.
    Coordinates,
    /// Nothing: the key alone says it (`by turns`).
    Flag,
}

/// The block behind a word.
#[derive(Clone, Copy, Debug)]
pub enum BlockRule {
    /// None.
    None,
    /// May stand.
    May(&'static Table),
    /// Must stand.
    Must(&'static Table),
    /// May stand, and its table depends on the word chosen for this part.
    ByChoice(&'static str, &'static [(&'static str, &'static Table)]),
}

impl Row {
    /// A word without values; the start of every row in a table.
    #[must_use]
    pub const fn new(word: &'static str, title: &'static str, parts: &'static [Part]) -> Self {
        Self { word, also: &[], title, many: false, parts, block: BlockRule::None, raw: false }
    }
    /// Also spelt so.
    #[must_use]
    pub const fn also(mut self, words: &'static [&'static str]) -> Self {
        self.also = words;
        self
    }
    /// May stand more than once.
    #[must_use]
    pub const fn many(mut self) -> Self {
        self.many = true;
        self
    }
    /// With a block.
    #[must_use]
    pub const fn block(mut self, rule: BlockRule) -> Self {
        self.block = rule;
        self
    }
    /// Kept as shapes for a reader of its own.
    #[must_use]
    pub const fn raw(mut self) -> Self {
        self.raw = true;
        self
    }
}

/// A part that must stand.
#[must_use]
pub const fn must(name: &'static str, take: Take) -> Part {
    Part { name, key: None, take, need: Need::Must }
}

/// A part that may stand.
#[must_use]
pub const fn may(name: &'static str, take: Take) -> Part {
    Part { name, key: None, take, need: Need::May }
}

/// A part that may stand as often as wanted.
#[must_use]
pub const fn many(name: &'static str, take: Take) -> Part {
    Part { name, key: None, take, need: Need::Many }
}

/// A part behind its key, which must stand.
#[must_use]
pub const fn must_key(key: &'static str, name: &'static str, take: Take) -> Part {
    Part { name, key: Some(key), take, need: Need::Must }
}

/// A part behind its key, which may stand.
#[must_use]
pub const fn key(key: &'static str, name: &'static str, take: Take) -> Part {
    Part { name, key: Some(key), take, need: Need::May }
}

/// A part behind its key, as often as wanted.
#[must_use]
pub const fn many_key(key: &'static str, name: &'static str, take: Take) -> Part {
    Part { name, key: Some(key), take, need: Need::Many }
}

/// A key that says it alone.
#[must_use]
pub const fn flag(word: &'static str) -> Part {
    Part { name: word, key: Some(word), take: Take::Flag, need: Need::May }
}
