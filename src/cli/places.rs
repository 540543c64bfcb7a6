//! Where findings stand in the files people wrote.

use miette::{SourceCode, SourceSpan};
use serde::Serialize;

use crate::finding::Place;

/// A stretch of a file for people: lines and columns count from 1 in characters,
/// the end column is exclusive.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Location {
    /// The file, relative to the yard's folder, with `/`.
    pub file: String,
    /// First line.
    pub line: u32,
    /// First column.
    pub column: u32,
    /// Last line.
    pub end_line: u32,
    /// One past the last column.
    pub end_column: u32,
}

/// A place with the text around it.
pub struct Spot {
    /// Where, for people.
    pub location: Location,
    /// The whole file, for the renderer.
    pub text: Box<dyn SourceCode>,
    /// First byte in the file.
    pub lo: usize,
    /// One past the last byte in the file.
    pub hi: usize,
}

impl Spot {
    /// The stretch in the renderer's terms.
    #[must_use]
    pub fn span(&self) -> SourceSpan {
        (self.lo..self.hi).into()
    }
}

/// Something that knows the files of a compile.
pub trait Places {
    /// Where a place stands; `None` for a place of no file.
    fn spot(&self, place: Place) -> Option<Spot>;
}

/// No file was read.
pub struct Nowhere;

impl Places for Nowhere {
    fn spot(&self, _: Place) -> Option<Spot> {
        None
    }
}

/// One short text whose every item begins at its start: for tests.
#[cfg(test)]
pub struct OneText {
    name: String,
    text: String,
}

#[cfg(test)]
impl OneText {
    /// A file held in memory.
    pub fn new(name: &str, text: &str) -> Self {
        Self { name: name.into(), text: text.into() }
    }

    fn position(&self, at: usize) -> (u32, u32) {
        let before = &self.text[..at];
        let line = before.matches('\n').count() as u32 + 1;
        (line, before.rsplit('\n').next().unwrap_or("").chars().count() as u32 + 1)
    }
}

#[cfg(test)]
impl Places for OneText {
    fn spot(&self, place: Place) -> Option<Spot> {
        let (lo, hi) = (place.lo as usize, place.hi as usize);
        let ((line, column), (end_line, end_column)) = (self.position(lo), self.position(hi));
        let file = self.name.clone();
        Some(Spot {
            location: Location { file, line, column, end_line, end_column },
            text: Box::new(miette::NamedSource::new(&self.name, self.text.clone())),
            lo,
            hi,
        })
    }
}
