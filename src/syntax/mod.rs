//! Text to typed clauses: shapes by grammar, words by table.
//!
//! `grammar/yard.pest` finds shapes (numbers, words, points, blocks) and never
//! fails; the word tables say what each word takes; [`read`] joins the two and
//! reports every mistake it finds with the word that would fit.

mod clock;
pub mod codes;
mod cursor;
mod names;
pub mod page;
mod point;
mod quantity;
mod read;
pub mod reading;
mod shapes;
mod top;
mod units;
mod value;
pub mod words;

pub use codes::CODES;
pub use cursor::{Cursor, Piece, Reported};
pub use names::{LONGEST_NAME, NEVER_NAMES};
pub use point::PointRead;
pub use quantity::Measured;
pub use read::read;
pub use reading::{Block, Clause, Datum, Got, Open, Quantity, Reading, Value};
pub use shapes::shapes;
pub use top::top_words;

/// One shape: a stretch of text and what it looks like. Children stand between a
/// node and its `end`.
#[derive(Clone, Copy, Debug)]
pub struct Shape {
    /// First byte, from the start of the item.
    pub lo: u32,
    /// One past the last byte.
    pub hi: u32,
    /// One past its last descendant on the tape.
    pub end: u32,
    /// What it looks like.
    pub kind: ShapeKind,
}

/// What a shape looks like.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ShapeKind {
    /// A run of shapes up to the end of a line or a block.
    Statement,
    /// `{ … }`.
    Block,
    /// `( … )`.
    Point,
    /// A number as written.
    Number,
    /// A word, maybe with `- . /` inside.
    Word,
    /// `"…"`.
    Text,
    /// `?`.
    Ask,
    /// `%`.
    Percent,
    /// `+ - * / : , =` standing alone.
    Op,
    /// Anything else.
    Junk,
    /// A closing mark that is missing.
    Unclosed,
    /// A closing mark too many.
    Stray,
}

/// The shapes of one item in source order.
pub type Tape = Vec<Shape>;
